//! How are the planets of a group marked and set: not at all, by direction, or pin by pin?
//!
//! The simplest marking convention that serves is taken: none at all, then radial marks, then parallel ones, then marks
//! for each pin. No mark is needed where all gears in mesh of each planet have one count, P: a turn by 1/P moves every
//! one of them by a whole tooth, so all seatings of a planet that are a tooth apart are alike.

use num_integer::Integer;
use serde::Serialize;

use super::marks::Marks;
use crate::gearset::TimingRow;

/// How the planets of a group are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum MarkingConvention {
    /// Not at all: the planets do not assemble.
    Refused,
    /// Not at all: there is one pin, and no fellow to agree with.
    #[serde(rename = "one pin")]
    OnePin,
    /// Not at all: all gears in mesh of each planet have the same count, so any tooth will do.
    #[serde(rename = "any tooth")]
    AnyTooth,
    /// The same tooth of every planet, all to the centre.
    Radial,
    /// The same tooth of every planet, all pointing the same way.
    Parallel,
    /// On each pin another tooth, the one nearest to the line of centres.
    Individual,
}

impl MarkingConvention {
    /// Whether planets are marked at all.
    pub fn has_marks(self) -> bool {
        match self {
            Self::Refused | Self::OnePin | Self::AnyTooth => false,
            Self::Radial | Self::Parallel | Self::Individual => true,
        }
    }
}

/// The simplest convention that serves for planets that assemble on so many pins.
pub(super) fn convention(rows: &[TimingRow], planets: usize, pins: usize, marks: Marks) -> MarkingConvention {
    if pins == 1 {
        MarkingConvention::OnePin
    } else if (0..planets).all(|planet| any_tooth_will_do(rows, planet)) {
        MarkingConvention::AnyTooth
    } else if marks.radial.serves() {
        MarkingConvention::Radial
    } else if marks.parallel.serves() {
        MarkingConvention::Parallel
    } else {
        MarkingConvention::Individual
    }
}

/// Whether a planet looks the same after a turn by one tooth: all its gears in mesh have one count.
pub(super) fn any_tooth_will_do(rows: &[TimingRow], planet: usize) -> bool {
    let alike = alike_teeth(rows, planet);
    teeth_in_mesh(rows, planet).all(|teeth| teeth == alike)
}

/// How many teeth of each gear of a planet cannot be told apart: the greatest common divisor of the counts
/// of its gears in mesh.
pub(super) fn alike_teeth(rows: &[TimingRow], planet: usize) -> i64 {
    teeth_in_mesh(rows, planet).fold(0, |common, teeth| common.gcd(&teeth))
}

fn teeth_in_mesh(rows: &[TimingRow], planet: usize) -> impl Iterator<Item = i64> {
    let terms = rows.iter().flat_map(|row| &row.terms).filter(move |term| term.planet == planet);
    terms.map(|term| term.tooth_count.abs())
}
