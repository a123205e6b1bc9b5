//! Would the readings be in time if they had been taken the other way round?
//!
//! From the other side the pins of a carrier follow one another the other way round, and a turn has the other sign. Who
//! numbers the pins, or counts teeth, as seen from the side that is not named reads a set that is right as one that is
//! not. With N pins and pin 1 where it is, pin k is then pin `N + 2 - k`, and along a central gear the stretch from pin
//! k to the next is the one from pin `N + 1 - k`; a reading of t is one of -t.

use serde::Serialize;

use crate::exact::Fraction;
use crate::gearset::{FoundMarks, MarkReading};

/// What may have been taken the other way round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum OtherWayRound {
    /// The pins were numbered clockwise seen from the input side.
    #[serde(rename = "numbering")]
    Numbering,
    /// The teeth or degrees were counted with the other sign.
    #[serde(rename = "sign")]
    Sign,
    /// Both: everything was done from the side that is not named.
    #[serde(rename = "numbering and sign")]
    Both,
}

impl OtherWayRound {
    pub(super) const ALL: [Self; 3] = [Self::Numbering, Self::Sign, Self::Both];

    /// What the marks of one planet show if this was the other way round; nothing where the pins are not described in
    /// their order round the carrier.
    pub(super) fn read_again(self, found: &FoundMarks, spacings: &[Fraction]) -> Option<FoundMarks> {
        let mut marks = found.marks.clone();
        if self != Self::Sign {
            if !spacings.is_sorted() {
                return None;
            }
            marks = renumbered(&marks);
        }
        if self != Self::Numbering {
            marks = marks.iter().map(with_other_sign).collect();
        }
        Some(FoundMarks { marks, ..found.clone() })
    }
}

/// Pin 1 stays, the last becomes the second; of stretches from pin to pin the last becomes the first.
fn renumbered(marks: &[MarkReading]) -> Vec<MarkReading> {
    let mut marks = marks.to_vec();
    let is_along = marks.iter().any(|mark| matches!(mark, MarkReading::Along(..)));
    if is_along {
        marks.reverse();
    } else if let Some((_, others)) = marks.split_first_mut() {
        others.reverse();
    }
    marks
}

fn with_other_sign(mark: &MarkReading) -> MarkReading {
    match mark {
        MarkReading::Teeth(gear, teeth) => MarkReading::Teeth(*gear, -teeth),
        MarkReading::Degrees(degrees) => MarkReading::Degrees(-degrees),
        MarkReading::Along(..) | MarkReading::Unread => mark.clone(),
    }
}
