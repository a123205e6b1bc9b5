//! Which convention of marks serves, and what a central gear shows between marks.
//!
//! Radial marks (all to the centre) serve if a turn of zero relative to its own radius
//! is right for every planet; parallel marks (all pointing the same way) if a turn of
//! zero in space is. Between the lines of centres of two neighbouring pins, a central
//! gear with Z teeth shows `Z (x_2 - x_1)` pitches, and one unmarked tooth fewer where
//! that is whole: 27 teeth and three equal pins show eight (common practice, no source).

use crate::exact::{Fraction, fraction, multiple, multiple_is_integer};
use crate::gearset::{GearId, Gearset, TimingRow};
use num_traits::ToPrimitive;
use serde::Serialize;

/// Which conventions of marks serve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Marks {
    /// The mark of every planet points to the centre.
    pub radial: Serves,
    /// The marks of all planets point the same way in space.
    pub parallel: Serves,
}

/// Whether a convention serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Serves {
    /// It does, for every pin.
    Yes,
    /// It does not, for some pin.
    No,
}

impl From<bool> for Serves {
    fn from(serves: bool) -> Self {
        if serves { Self::Yes } else { Self::No }
    }
}

impl Serves {
    /// Whether it serves.
    pub fn serves(self) -> bool {
        self == Self::Yes
    }
}

/// What a central gear shows between the lines of centres of neighbouring pins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CentralSpacing {
    /// The central gear.
    pub gear: GearId,
    /// The pitches from each pin to the next, counter-clockwise seen from the input side,
    /// beginning with the pin at the smallest place.
    pub pitches: Vec<Fraction>,
    /// For each of these how many unmarked teeth stand between two marked ones; none where no tooth falls on both
    /// lines.
    pub unmarked_teeth: Vec<Option<i64>>,
}

pub(super) fn marks(set: &Gearset, rows: &[TimingRow], spacings: &[Fraction]) -> Marks {
    let whole_everywhere = |coefficient: &dyn Fn(&TimingRow) -> i64| {
        rows.iter().all(|row| {
            let coefficient = coefficient(row);
            spacings.iter().all(|place| multiple_is_integer(place, coefficient))
        })
    };
    // Marks of bevel planets turn about different axes and have no common direction.
    let bevel = rows.iter().flat_map(|row| &row.terms).any(|term| set.gear(term.gear).kind().is_bevel());
    Marks {
        radial: whole_everywhere(&|row| row.place_coefficient).into(),
        parallel: (!bevel && whole_everywhere(&TimingRow::place_coefficient_in_space)).into(),
    }
}

pub(super) fn central_spacings(set: &Gearset, rows: &[TimingRow], places: &[Fraction]) -> Vec<CentralSpacing> {
    let mut sorted = places.to_vec();
    sorted.sort();
    let first_again = sorted[0].clone() + fraction(1, 1);
    let next = sorted.iter().skip(1).chain([&first_again]);
    let gaps: Vec<Fraction> = sorted.iter().zip(next).map(|(place, next)| next - place).collect();
    let mut gears: Vec<GearId> = Vec::new();
    for gear in rows.iter().filter_map(|row| row.central) {
        if !gears.contains(&gear) {
            gears.push(gear);
        }
    }
    gears.into_iter().map(|gear| central_spacing(set, gear, &gaps)).collect()
}

fn central_spacing(set: &Gearset, gear: GearId, gaps: &[Fraction]) -> CentralSpacing {
    let teeth = set.gear(gear).tooth_count().get().into();
    // Z (x_2 - x_1) pitches lie from line to line; where that is whole, both ends are teeth.
    let pitches: Vec<Fraction> = gaps.iter().map(|gap| multiple(gap, teeth)).collect();
    let unmarked = |pitches: &Fraction| pitches.is_integer().then(|| pitches.to_integer().to_i64()).flatten();
    let unmarked_teeth = pitches.iter().map(|pitches| Some(unmarked(pitches)? - 1)).collect();
    CentralSpacing { gear, pitches, unmarked_teeth }
}
