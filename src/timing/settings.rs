//! On which gear is the turn of each planet counted, and by how many whole teeth?
//!
//! With P the count of a gear and t the turn of its planet from its own radius, `P t` teeth lie between the line of
//! centres and the mark. Counted as the nearest integer m the gear is set off by `r = P t - m`; the seatings of that
//! gear are a tooth apart, so the right one is the nearest while `|r| < 1/2`. At `|r| = 1/2` the seatings to either side
//! are as near, and only one of them is right: there another gear is counted on, or none. Worked out here.

use num_traits::Signed;
use serde::Serialize;

use super::pin_timing::PinTiming;
use super::tooth_marks::{GearMarks, MarkPurpose, nearest_tooth};
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, MemberId};

/// How a planet is set on one pin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlanetSetting {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The planet.
    pub planet: MemberId,
    /// The turn from the line of centres to the mark, counter-clockwise seen from the input side, in turns.
    pub turn: Fraction,
    /// The same counted in whole teeth; none where the line stands exactly between two teeth of every gear, and the
    /// direction of the mark has to be set by its angle.
    pub counted: Option<CountedTeeth>,
}

/// A turn counted in whole teeth of one gear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CountedTeeth {
    /// The gear to count on: the one that is marked, unless its count is not unique on this pin.
    pub gear: GearId,
    /// The whole teeth from the tooth nearest to the line of centres round to the mark, counter-clockwise positive.
    pub teeth: i64,
    /// How far that tooth is from the line, in teeth: less than half a tooth.
    pub off_line: Fraction,
}

/// Pin by pin how each planet that has marks is set.
pub(super) fn settings(marks: &[GearMarks], pins: &[PinTiming]) -> Vec<PlanetSetting> {
    let marked = || marks.iter().filter(|marks| marks.purpose == MarkPurpose::Marks);
    pins.iter().flat_map(|pin| marked().filter_map(|marks| setting(marks, pin))).collect()
}

fn setting(marks: &GearMarks, pin: &PinTiming) -> Option<PlanetSetting> {
    let turn = pin.turns.as_ref()?.get(&marks.planet)?.clone();
    // One gear serves on every pin unless it is half a tooth off on some.
    let serves = marks.worst_off_line() < fraction(1, 2);
    let gears = pin.gears.iter().filter(|turned| turned.planet == marks.planet);
    let counted = gears.filter(|turned| !serves || turned.gear == marks.gear).map(|turned| {
        let (teeth, off_line) = nearest_tooth(&turned.teeth);
        CountedTeeth { gear: turned.gear, teeth, off_line }
    });
    let best = counted.min_by_key(|counted| (counted.off_line.abs(), counted.gear != marks.gear));
    Some(PlanetSetting {
        pin: pin.pin,
        planet: marks.planet,
        turn,
        counted: best.filter(|counted| counted.off_line.abs() < fraction(1, 2)),
    })
}
