//! What is asked of bands: their sizes, what was measured, what they have to hold.

use crate::gearset::{Action, BandSizes, ControlId, Gearset};
use crate::statics::InputTorque;

/// What is asked of bands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BandsQuestion {
    /// The bands.
    pub bands: Vec<BandQuestion>,
    /// The torque on the input that they have to hold; 1 N m where nothing is said.
    pub torque: Option<InputTorque>,
}

/// A band.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BandQuestion {
    /// What people call it.
    pub name: String,
    /// Wrap, friction, radius of the drum, width, sense and pull, as far as they are known.
    pub sizes: BandSizes,
    /// The band in the description, where there is one.
    pub control: Option<ControlId>,
    /// The thickness of its lining, in millimetres.
    pub lining_mm: Option<f64>,
    /// The gap between lining and drum, released.
    pub gap_mm: Option<f64>,
    /// How much thinner the lining gets; 0.1 mm where nothing is said.
    pub wear_mm: Option<f64>,
    /// What a dial on the drum shows over a turn.
    pub run_out_mm: Option<f64>,
}

impl BandsQuestion {
    /// The bands of a description with their sizes as far as it tells them, nothing measured; only one of them where it is
    /// named.
    pub fn of_gearset(set: &Gearset, only: Option<ControlId>) -> Self {
        let is_asked = |control: &ControlId| only.is_none_or(|only| only == *control);
        let band = |control: ControlId| {
            let found = set.control(control);
            let is_band = matches!(found.action(), Action::Band(_));
            is_band.then(|| BandQuestion {
                name: found.name().to_owned(),
                sizes: found.band_sizes().cloned().unwrap_or_default(),
                control: Some(control),
                ..BandQuestion::default()
            })
        };
        Self { bands: set.control_ids().filter(is_asked).filter_map(band).collect(), torque: None }
    }
}

impl BandQuestion {
    /// What an only band is called that has no name.
    pub const WITHOUT_NAME: &str = "the band";

    /// Whether anything is known of it; of a band of which nothing is nothing is told.
    pub(super) fn is_told(&self) -> bool {
        let measured = [self.lining_mm, self.gap_mm, self.wear_mm, self.run_out_mm];
        self.sizes != BandSizes::default() || measured.iter().any(Option::is_some)
    }
}
