//! Rotors: what may be left, what was found, where to drill.

/// What a person sees, and what is refused.
mod asked;
/// The picture of a rotor, read back.
mod picture;
/// Drilling plans against every choice.
mod plans;
/// A rotor that is simulated, with noise in its readings.
mod simulated;
/// Printed and computed values.
mod values;

use toothmark::bench::{
    Allowance, BalanceQuestion, Correction, CorrectionPlace, Drilling, FoundBy, FoundWeight, RotorBalance,
    WeightAmount, WeightSense, balance,
};
use toothmark::gearset::Side;

/// A heavy spot of so many g mm.
fn heavy_spot(g_mm: f64, degrees: f64) -> FoundWeight {
    let amount = WeightAmount::GramMillimetres(g_mm);
    FoundWeight { amount, degrees, sense: WeightSense::Heavy, along_axis: 0.0 }
}

/// Places so many degrees apart.
fn ring_of(places: u32, radius: f64) -> Vec<CorrectionPlace> {
    let degrees = |place: u32| 360.0 * f64::from(place) / f64::from(places);
    (0..places).map(|place| CorrectionPlace { degrees: degrees(place), radius }).collect()
}

/// What is asked of a rotor with one heavy spot.
fn drilled(
    (g_mm, degrees): (f64, f64),
    allowed: f64,
    places: Vec<CorrectionPlace>,
    drilling: Drilling,
) -> BalanceQuestion {
    BalanceQuestion {
        allowance: Some(Allowance::GramMillimetres(allowed)),
        seen_from: Some(Side::Input),
        found: Some(FoundBy::Weights { weights: vec![heavy_spot(g_mm, degrees)], planes: None }),
        correction: Some(Correction { places, drilling: Some(drilling) }),
        ..BalanceQuestion::default()
    }
}

/// A disc of cast iron, 26 mm thick, with a wall of 4 mm.
fn iron(drills: &[f64]) -> Drilling {
    Drilling { drills: drills.to_vec(), thickness: 26.0, wall: 4.0, ..Drilling::default() }
}

/// The plan for it with places every 30 degrees at 95 mm.
fn plan_in_iron(found: (f64, f64), allowed: f64, drills: &[f64]) -> RotorBalance {
    balance(&drilled(found, allowed, ring_of(12, 95.0), iron(drills))).unwrap_or_else(|reason| panic!("{reason}"))
}
