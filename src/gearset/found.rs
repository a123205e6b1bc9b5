//! What the marks of one kind of planet show now, as somebody found them on the bench.
//!
//! [`DraftFound`] is what was written down; [`Found`] has passed every [`FoundRule`] and
//! points at planet and gears that there are. Senses are those of the side named: positive
//! is counter-clockwise for whoever looks from there.
//!
//! [`FoundRule`]: super::FoundRule

use super::{GearId, MemberId, Side};
use crate::exact::{Fraction, fraction};

/// Marks as somebody wrote them down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftFound {
    /// The side that was looked from.
    pub seen: Side,
    /// The planet whose marks they are.
    pub planet: String,
    /// What each mark shows, in the order of the pins.
    pub marks: Vec<DraftMark>,
    /// How far a reading in degrees may be out, in degrees; half a degree where not given.
    pub within: Option<Fraction>,
}

/// What a mark shows, as written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftMark {
    /// So many teeth of this gear of the planet from the line to the centre to the mark.
    Teeth(String, Fraction),
    /// So many degrees from the line to the centre to the mark.
    Degrees(Fraction),
    /// So many teeth of this central gear from the space that the marked tooth of this pin
    /// lies in to that of the next pin, in the order in which the pins are numbered.
    Along(String, i64),
    /// The mark was not seen.
    Unread,
}

/// Marks of a planet that there is, one entry a pin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The side that was looked from.
    pub seen: Side,
    /// The planet whose marks they are.
    pub planet: MemberId,
    /// What each mark shows, in the order of the pins.
    pub marks: Vec<Mark>,
    /// How far a reading in degrees may be out, in degrees.
    pub within: Fraction,
}

/// What a mark shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mark {
    /// So many teeth of this gear of the planet from the line to the centre to the mark.
    Teeth(GearId, Fraction),
    /// So many degrees from the line to the centre to the mark.
    Degrees(Fraction),
    /// So many teeth of this central gear from the space that the marked tooth of this pin
    /// lies in to that of the next pin, in the order in which the pins are numbered.
    Along(GearId, i64),
    /// The mark was not seen.
    Unread,
}

/// How far a reading in degrees may be out where nothing else is said: half a degree.
pub(super) fn usual_within() -> Fraction {
    fraction(1, 2)
}
