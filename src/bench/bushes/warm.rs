//! What does heat do to a bush on its shaft and in its housing?
//!
//! A bush that is pressed in grows with its housing, as [`PressedRings`] tell; a bore of which only the material is known
//! grows freely. The shaft grows for itself. Lengths in millimetres, on the diameter.

use super::answer::{HeatUntold, HotBushFit};
use super::material::elastic;
use super::press_fit::PressedRings;
use super::question::{BushQuestion, BushesQuestion};
use super::rings;
use crate::gearset::BushMaterial;

/// How a bore grows.
enum WarmBore {
    Pressed { rings: PressedRings, interference: f64 },
    Free { expansion_per_kelvin: f64 },
}

/// The fit with bush and shaft equally warm, and with the shaft hotter; none where no heat is asked about.
pub(super) fn hot(
    question: &BushesQuestion,
    bush: &BushQuestion,
    bore: f64,
    cold: f64,
) -> Result<Vec<HotBushFit>, HeatUntold> {
    let Some(kelvin) = question.hot_kelvin else { return Ok(Vec::new()) };
    let warm = WarmBore::of(bush, bore)?;
    let shaft_expansion = elastic(bush.shaft_of.unwrap_or(BushMaterial::Steel)).expansion_per_kelvin;
    let at = |shaft_kelvin: f64| {
        // The shaft, as thick as the bore less what is clear, grows by d_s alpha_s dT_s.
        let clearance_mm = cold + warm.growth(bore, kelvin) - (bore - cold) * shaft_expansion * shaft_kelvin;
        let interference_mm = warm.interference(kelvin);
        HotBushFit {
            bush_kelvin: kelvin,
            shaft_kelvin,
            cold_clearance_mm: cold,
            clearance_mm,
            interference_mm,
            closes_up: clearance_mm < cold / 2.0,
            lets_go: interference_mm.is_some_and(|left| left <= 0.0),
        }
    };
    let hotter = question.shaft_hotter_kelvin;
    let shafts = if hotter == 0.0 { vec![kelvin] } else { vec![kelvin, kelvin + hotter] };
    Ok(shafts.into_iter().map(at).collect())
}

impl WarmBore {
    fn of(bush: &BushQuestion, bore: f64) -> Result<Self, HeatUntold> {
        match (bush.pressed, bush.bore_of) {
            (Some(pressed), _) => {
                let rings = rings(&pressed, bore).ok_or(HeatUntold::NeedsBothMaterials)?;
                Ok(Self::Pressed { rings, interference: pressed.interference_mm })
            }
            (None, Some(material)) => Ok(Self::Free { expansion_per_kelvin: elastic(material).expansion_per_kelvin }),
            (None, None) => Err(HeatUntold::NeedsMaterialOfBore),
        }
    }

    fn growth(&self, bore: f64, kelvin: f64) -> f64 {
        match self {
            Self::Pressed { rings, interference } => rings.bore_growth(kelvin, *interference),
            Self::Free { expansion_per_kelvin } => bore * expansion_per_kelvin * kelvin,
        }
    }

    /// What is left of the interference; none where nothing is pressed.
    fn interference(&self, kelvin: f64) -> Option<f64> {
        match self {
            Self::Pressed { rings, interference } => Some(interference + rings.interference_growth(kelvin)),
            Self::Free { .. } => None,
        }
    }
}
