//! How far does the end of a band travel, how long is its lining, does it rub, does it hold its drum?
//!
//! A band that lies round a drum over the angle theta at a gap g closes by `theta g` at its end, and its lining of
//! thickness t on a drum of radius r is `theta (r + g + t / 2)` long in its middle: differences of two arcs. Capacity is
//! that of [`crate::statics`].

mod answer;
mod question;
mod refusal;

pub use answer::{BandSetting, BandSettings};
pub use question::{BandQuestion, BandsQuestion};
pub use refusal::CannotSetBand;

use super::held::held;
use crate::exact::to_float;
use crate::gearset::{BandSizes, DraftAction, Gearset};
use crate::statics::{Wrapping, band_capacity, tension_ratio};
use std::f64::consts::TAU;

const MOST_BANDS: usize = 50;

/// So much wear of the lining is told of where nothing is said, in millimetres.
const USUAL_WEAR_MM: f64 = 0.1;

/// What to know of bands.
///
/// # Errors
/// [`CannotSetBand`], every reason, where sizes are none of a band.
///
/// # Examples
/// ```
/// use toothmark::bench::{BandQuestion, BandsQuestion, bands};
/// use toothmark::exact::fraction;
/// use toothmark::gearset::{Angle, BandSizes};
/// let sizes = BandSizes { wrap: Some(Angle::Degrees(fraction(330, 1)).into()), ..BandSizes::default() };
/// let band = BandQuestion { name: "low band".into(), sizes, gap_mm: Some(0.5), ..BandQuestion::default() };
/// let found = bands(None, &BandsQuestion { bands: vec![band], ..BandsQuestion::default() }).unwrap();
/// assert!((found.bands[0].travel_mm.unwrap() - 2.8798).abs() < 1e-4);
/// ```
pub fn bands(set: Option<&Gearset>, question: &BandsQuestion) -> Result<BandSettings, Vec<CannotSetBand>> {
    let wrong = refusal::wrong(question);
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let set = set.map(|set| with_sizes(set, question)).transpose()?;
    let told = question.bands.iter().filter(|band| band.is_told());
    let bands: Vec<BandSetting> = told.map(|band| setting(set.as_ref(), question, band)).collect();
    let torque_given = question.torque.is_some();
    let is_good = |band: &BandSetting| {
        let rubs = band.rubs == Some(true);
        !rubs && (!torque_given || band.states.iter().all(|state| state.holds))
    };
    Ok(BandSettings { good: bands.iter().all(is_good), bands, torque_given })
}

/// The gearset whose bands have the sizes that are asked about in place of those that it describes.
fn with_sizes(set: &Gearset, question: &BandsQuestion) -> Result<Gearset, Vec<CannotSetBand>> {
    let mut draft = set.draft().clone();
    for (control, band) in question.bands.iter().filter_map(|band| Some((band.control?, band))) {
        let name = set.control(control).name();
        let described = draft.controls.iter_mut().find(|it| it.name.as_str() == name).map(|it| &mut it.action);
        if let Some(DraftAction::Band(_, sizes)) = described {
            **sizes = band.sizes.clone();
        }
    }
    Gearset::new(draft).map_err(|problems| {
        problems.iter().map(|problem| CannotSetBand::NotInGearset { problem: problem.to_string() }).collect()
    })
}

fn setting(set: Option<&Gearset>, question: &BandsQuestion, band: &BandQuestion) -> BandSetting {
    let BandSizes { wrap, radius, .. } = &band.sizes;
    let wrap = wrap.as_ref().map(|wrap| to_float(&wrap.turns()) * TAU);
    let radius = radius.as_ref().map(|radius| radius.millimetres());
    // Closing the gap all round takes the difference of two arcs: theta (r + g) - theta r.
    let travel = |gap: f64| wrap.map(|wrap| wrap * gap);
    let lining =
        |((wrap, radius), thick): ((f64, f64), f64)| wrap * (radius + band.gap_mm.unwrap_or(0.0) + thick / 2.0);
    let wear_mm = band.wear_mm.unwrap_or(USUAL_WEAR_MM);
    // A drum that a dial shows out by R stands R / 2 out of its middle, to either side.
    let gap_round = band.gap_mm.map(|gap| [-0.5, 0.5].map(|side| gap + side * band.run_out_mm.unwrap_or(0.0)));
    let (_, states) = set.zip(band.control).map_or_else(Default::default, |(set, control)| {
        held(set, control, &question.torque.clone().unwrap_or_default())
    });
    BandSetting {
        band: band.name.clone(),
        wrap_degrees: wrap.map(f64::to_degrees),
        drum_diameter_mm: radius.map(|radius| 2.0 * radius),
        gap_mm: band.gap_mm,
        travel_mm: band.gap_mm.and_then(travel),
        lining_length_mm: wrap.zip(radius).zip(band.lining_mm).map(lining),
        wear_mm,
        wear_travel_mm: travel(wear_mm),
        gap_round_mm: gap_round,
        // The drum touches once a turn where it stands out by more than the gap.
        rubs: gap_round.filter(|_| band.run_out_mm.is_some()).map(|[least, _]| least < 0.0),
        tension_ratio: tension_ratio(&band.sizes),
        wrapping_on_newton_metres: band_capacity(&band.sizes, Wrapping::WrapsOn),
        unwinding_newton_metres: band_capacity(&band.sizes, Wrapping::Unwinds),
        states,
        lining_mm: band.lining_mm,
        run_out_mm: band.run_out_mm,
    }
}
