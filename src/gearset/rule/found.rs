//! Rules of marks as they were found: readings of pins that there are, which agree.
//!
//! A reading that cannot be is told by its pin. Whether what was found is in time is no
//! rule but a question.

/// What the readings of marks must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum FoundRule {
    #[error("marks are read on {name:?}, which is not a planet")]
    NotAPlanet { name: String },
    #[error("the marks of planet {planet:?} are given twice")]
    ReadTwice { planet: String },
    #[error("a mark is read on pin {pin}, and planet {planet:?} has {pins} pins")]
    NoSuchPin { planet: String, pin: usize, pins: usize },
    #[error("{marks} marks are given for the {pins} pins of planet {planet:?}")]
    MarksMissing { planet: String, marks: usize, pins: usize },
    #[error("fewer than two marks of planet {planet:?} are read, so there is nothing to compare")]
    NothingToCompare { planet: String },
    #[error("the reading of pin {pin} counts teeth of {gear:?}, which is no gear in mesh of planet {planet:?}")]
    GearOfAnother { planet: String, pin: usize, gear: String },
    #[error("the reading of pin {pin} goes along {gear:?}, which is no central gear in mesh with planet {planet:?}")]
    NotAlong { planet: String, pin: usize, gear: String },
    #[error("the mark of pin {pin} is read in another way than those before it")]
    MixedReadings { pin: usize },
    #[error("along gear {gear:?} more than one stretch between marks was not counted")]
    StretchesMissing { gear: String },
    #[error("the teeth from mark to mark along gear {gear:?} add up to {sum}, not to {teeth}")]
    RoundDoesNotClose { gear: String, sum: i64, teeth: i64, pins: i64 },
    #[error("the reading of pin {pin} is more than one turn, or runs backward along a central gear")]
    MoreThanATurn { pin: usize },
    #[error("readings in degrees are said to be good to {within}")]
    AbsurdWithin { within: String },
}

impl FoundRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NotAPlanet { .. } => "name the planet whose marks were read",
            Self::ReadTwice { .. } => "give its marks once, and name each other planet with its own",
            Self::NoSuchPin { .. } => "pins are numbered from 1; give one reading a pin",
            Self::MarksMissing { .. } => "write one entry a pin, Unread for a mark that was not seen",
            Self::NothingToCompare { .. } => "read the marks of two pins or more of a planet that has them",
            Self::GearOfAnother { .. } => "count on a gear of the planet that is in mesh, or read the mark in degrees",
            Self::NotAlong { .. } => "count along a sun or ring that the planet meshes with",
            Self::MixedReadings { .. } => {
                "count from mark to mark along one central gear for all pins, or read every mark from its own line to \
                 the centre"
            }
            Self::StretchesMissing { .. } => "count at least all but one; the last follows from the tooth count",
            // Between two marked teeth n apart stand n - 1 unmarked ones.
            Self::RoundDoesNotClose { sum, teeth, pins, .. } if sum.checked_add(*pins) == Some(*teeth) => {
                "these look like the unmarked teeth between the marks: toothmark found takes them as --unmarked; in a \
                 description write one more for each pin"
            }
            Self::RoundDoesNotClose { sum, teeth, pins, .. } if teeth.checked_add(*pins) == Some(*sum) => {
                "these look like the teeth from mark to mark, each with one too many: toothmark found takes them as \
                 --along, and --unmarked is for the unmarked teeth between"
            }
            Self::RoundDoesNotClose { .. } => {
                "count again: all the way round they add up to the teeth of the gear; a stretch that is in doubt may be \
                 left unread"
            }
            Self::MoreThanATurn { .. } => {
                "count the shorter way from the line to the centre; along a central gear from each pin to the next"
            }
            Self::AbsurdWithin { .. } => "write degrees above 0 and up to 10, such as 0.5",
        }
    }
}
