//! What the marks of one kind of planet show now, as somebody found them on the bench.
//!
//! [`DraftFound`] is what was written down; [`FoundMarks`] has passed every [`FoundRule`] and
//! points at planet and gears that there are. Senses are those of the side named: positive
//! is counter-clockwise for whoever looks from there.
//!
//! [`FoundRule`]: super::FoundRule

use super::{GearId, MemberId, Side};
use crate::exact::{Fraction, fraction};
use crate::syntax::{Map, Needed, Spanned, entry, fields, words};

fields! {
    /// Marks as somebody wrote them down.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftFound:
        "the marks as found", "(seen: InputSide, planet: \"planet\", marks: [Teeth(\"p\", 0), Teeth(\"p\", -6)])"
    {
        /// The side that was looked from.
        pub seen: Side = "the side that was looked from", "InputSide";
        /// The planet whose marks they are.
        pub planet: Spanned<String> = "the name of the planet in quotes", "\"planet\"";
        /// What each mark shows, in the order of the pins.
        pub marks: Vec<DraftMark> as Needed<Vec<DraftMark>> =
            "the list of the marks in square brackets, one a pin", "[Teeth(\"p\", 0), Teeth(\"p\", -6)]";
        /// Marks read on further planets of the same pins, which mesh with that planet.
        pub beside: Vec<DraftMarks> as Map<DraftMarks> =
            "the marks of further planets in braces", "{\"short pinion\": [Teeth(\"p\", 0), Unread]}";
        /// How far a reading in degrees may be out, in degrees; half a degree where not given.
        pub within: Option<Spanned<Fraction>> =
            "how many degrees a reading may be out", "0.5", "above 0 and up to 10";
    }
}

entry! {
    /// The marks of a further planet, as written down.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftMarks {
        /// The planet.
        pub planet;
        /// What each of its marks shows, in the order of the pins.
        pub marks: Vec<DraftMark> =
            "the list of the marks in square brackets, one a pin", "[Teeth(\"p\", 0), Teeth(\"p\", -6)]";
    }
}

impl DraftFound {
    /// The planets whose marks were read, each with its marks.
    pub fn planets(&self) -> impl Iterator<Item = (&Spanned<String>, &[DraftMark])> {
        let beside = self.beside.iter().map(|beside| (&beside.planet, beside.marks.as_slice()));
        std::iter::once((&self.planet, self.marks.as_slice())).chain(beside)
    }
}

/// What a mark shows, as written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftMark {
    /// So many teeth of this gear of the planet from the line to the centre to the mark.
    Teeth(Spanned<String>, Spanned<Fraction>),
    /// So many degrees from the line to the centre to the mark.
    Degrees(Spanned<Fraction>),
    /// So many teeth of this central gear from the space that the marked tooth of this pin
    /// lies in to that of the next pin, in the order in which the pins are numbered.
    Along(Spanned<String>, Spanned<i64>),
    /// The mark was not seen.
    Unread,
}

words! {
    DraftMark for DraftMark: "what a mark shows", "Teeth(\"p\", -6)" {
        Teeth(
            "Teeth(\"p\", -6)";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            teeth: Spanned<Fraction> = "the number of teeth from the line to the centre to the mark", "-6"
        ) => { DraftMark::Teeth(gear, teeth) }
        Degrees(
            "Degrees of a mark", "Degrees(-120)";
            degrees: Spanned<Fraction> = "the number of degrees from the line to the centre to the mark", "-120"
        ) => { DraftMark::Degrees(degrees) }
        Along(
            "Along(\"S\", 8)";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            teeth: Spanned<i64> = "the number of teeth from this mark to the next along the central gear", "8"
        ) => { DraftMark::Along(gear, teeth) }
        Unread() => { DraftMark::Unread }
    }
}

impl DraftMark {
    /// So many teeth of a gear of the planet.
    pub fn teeth(gear: impl Into<Spanned<String>>, teeth: Fraction) -> Self {
        Self::Teeth(gear.into(), teeth.into())
    }

    /// So many degrees.
    pub fn degrees(degrees: Fraction) -> Self {
        Self::Degrees(degrees.into())
    }

    /// So many teeth along a central gear.
    pub fn along(gear: impl Into<Spanned<String>>, teeth: i64) -> Self {
        Self::Along(gear.into(), teeth.into())
    }
}

/// Marks of a planet that there is, one entry a pin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundMarks {
    /// The side that was looked from.
    pub seen: Side,
    /// The planet whose marks they are.
    pub planet: MemberId,
    /// What each mark shows, in the order of the pins.
    pub marks: Vec<MarkReading>,
    /// Marks read on further planets.
    pub beside: Vec<(MemberId, Vec<MarkReading>)>,
    /// How far a reading in degrees may be out, in degrees.
    pub within: Fraction,
}

impl FoundMarks {
    /// The planets whose marks were read, each as if it were the only one.
    pub fn planets(&self) -> Vec<FoundMarks> {
        let alone = |planet: MemberId, marks: &Vec<MarkReading>| FoundMarks {
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
pub enum MarkReading {
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
