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
    /// Marks read on further planets of the same pins, which mesh with that planet.
    pub beside: Vec<DraftMarks>,
    /// How far a reading in degrees may be out, in degrees; half a degree where not given.
    pub within: Option<Fraction>,
}

/// The marks of a further planet, as written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftMarks {
    /// The planet.
    pub planet: String,
    /// What each of its marks shows, in the order of the pins.
    pub marks: Vec<DraftMark>,
}

impl DraftFound {
    /// The planets whose marks were read, each with its marks.
    pub fn planets(&self) -> impl Iterator<Item = (&str, &[DraftMark])> {
        let beside = self.beside.iter().map(|beside| (beside.planet.as_str(), beside.marks.as_slice()));
        std::iter::once((self.planet.as_str(), self.marks.as_slice())).chain(beside)
    }
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
    /// Marks read on further planets.
    pub beside: Vec<(MemberId, Vec<Mark>)>,
    /// How far a reading in degrees may be out, in degrees.
    pub within: Fraction,
}

impl Found {
    /// The planets whose marks were read, each as if it were the only one.
    pub fn planets(&self) -> Vec<Found> {
        let alone = |planet: MemberId, marks: &Vec<Mark>| Found {
            planet,
            marks: marks.clone(),
            beside: Vec::new(),
            seen: self.seen,
            within: self.within.clone(),
        };
        let beside = self.beside.iter().map(|(planet, marks)| alone(*planet, marks));
        std::iter::once(alone(self.planet, &self.marks)).chain(beside).collect()
    }
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
