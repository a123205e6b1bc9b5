//! What a reading is of, and what it is good for: the one list of everything that a job records.
//!
//! A path begins with the subject, then a dot and what it was taken of: `bush.pin 2`. Which values it has, of what it
//! can be, and in which words it is spoken of stands here alone.

use super::value::ValueKind;
use crate::gearset::nearest_name;

/// What a reading is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ReadingSubject {
    /// The teeth of a gear, counted.
    Count,
    /// What the mark on a pin shows.
    Mark,
    /// The backlash of a mesh, at one place or several.
    Backlash,
    /// The bore of a bush, at up to three places.
    Bush,
    /// The pin or shaft that runs in the bush of the same name.
    Shaft,
    /// The clearance between the two, where it was measured itself.
    Clearance,
    /// The end float of a part.
    Float,
    /// How far a pin stands from the centre.
    PinRadius,
    /// How far a part is out when it is turned, by the dial.
    RunOut,
    /// The unbalance of a part.
    Balance,
    /// A hole drilled to balance a part.
    Hole,
    /// The gap at a finger of the clutch.
    Finger,
    /// The length of a spring.
    Spring,
    /// The force of a spring at that length.
    SpringForce,
    /// The kinds of the discs of a clutch in their order.
    Pack,
    /// The gap of a band.
    Band,
    /// The thickness of a lining.
    Lining,
    /// Which oil, and how it looked.
    Oil,
    /// A part that was exchanged, and what for.
    Exchanged,
    /// Whatever else there is to say.
    Note,
}

/// What the second part of a path names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SubjectOf {
    /// A gear.
    Gear,
    /// A mesh, by its two gears.
    Mesh,
    /// A pin by its number, `pin 2`; where several kinds of planets have pins, behind the planet: `short pinion pin 2`.
    Pin,
    /// A bearing: a pin, or whatever else runs on something.
    Anything,
    /// A member of the gearset.
    Member,
    /// A band or clutch.
    Control,
}

impl ReadingSubject {
    /// Every subject, in the order in which a job takes them up.
    pub const ALL: [Self; 20] = [
        Self::Count,
        Self::Mark,
        Self::Backlash,
        Self::Bush,
        Self::Shaft,
        Self::Clearance,
        Self::Float,
        Self::PinRadius,
        Self::RunOut,
        Self::Balance,
        Self::Hole,
        Self::Finger,
        Self::Spring,
        Self::SpringForce,
        Self::Pack,
        Self::Band,
        Self::Lining,
        Self::Oil,
        Self::Exchanged,
        Self::Note,
    ];

    /// The word before the dot.
    pub fn word(self) -> &'static str {
        self.told().0
    }

    /// What it measures, for people.
    pub fn phrase(self) -> &'static str {
        self.told().1
    }

    /// The kind of its values.
    pub fn kind(self) -> ValueKind {
        self.told().2
    }

    /// What it is taken of.
    pub fn of(self) -> SubjectOf {
        self.told().3
    }

    /// Word, phrase, values and what they are taken of.
    fn told(self) -> (&'static str, &'static str, ValueKind, SubjectOf) {
        match self {
            Self::Count => ("count", "teeth counted", ValueKind::Count, SubjectOf::Gear),
            Self::Mark => ("mark", "the mark", ValueKind::Mark, SubjectOf::Pin),
            Self::Backlash => ("backlash", "backlash", ValueKind::Length, SubjectOf::Mesh),
            Self::Bush => ("bush", "bore of the bush", ValueKind::Length, SubjectOf::Anything),
            Self::Shaft => ("shaft", "shaft in the bush", ValueKind::Length, SubjectOf::Anything),
            Self::Clearance => ("clearance", "running clearance", ValueKind::Length, SubjectOf::Anything),
            Self::Float => ("float", "end float", ValueKind::Length, SubjectOf::Member),
            Self::PinRadius => ("pin radius", "pin from the centre", ValueKind::Length, SubjectOf::Pin),
            Self::RunOut => ("run-out", "run-out by the dial", ValueKind::Length, SubjectOf::Anything),
            Self::Balance => ("balance", "unbalance", ValueKind::Unbalance, SubjectOf::Member),
            Self::Hole => ("hole", "balance holes", ValueKind::Hole, SubjectOf::Member),
            Self::Finger => ("finger", "gap at the finger", ValueKind::Length, SubjectOf::Anything),
            Self::Spring => ("spring", "length of the spring", ValueKind::Length, SubjectOf::Anything),
            Self::SpringForce => ("spring force", "force of the spring", ValueKind::Force, SubjectOf::Anything),
            Self::Pack => ("pack", "order of the discs", ValueKind::Words, SubjectOf::Control),
            Self::Band => ("band", "gap of the band", ValueKind::Length, SubjectOf::Control),
            Self::Lining => ("lining", "thickness of the lining", ValueKind::Length, SubjectOf::Control),
            Self::Oil => ("oil", "oil", ValueKind::Words, SubjectOf::Anything),
            Self::Exchanged => ("exchanged", "part exchanged", ValueKind::Words, SubjectOf::Anything),
            Self::Note => ("note", "note", ValueKind::Words, SubjectOf::Anything),
        }
    }

    /// Whether a job is not done without it, where it is asked for at all: everything but what somebody may add, and a
    /// clearance, which follows from the bush and the shaft.
    pub fn is_needed(self) -> bool {
        !matches!(self, Self::Clearance | Self::Hole | Self::Exchanged | Self::Note)
    }

    /// The subject and what it is taken of, of a path such as `bush.pin 2`; none where no subject stands before the dot.
    ///
    /// # Examples
    /// ```
    /// use toothmark::job::ReadingSubject;
    /// assert_eq!(ReadingSubject::of_path("bush.pin 2"), Some((ReadingSubject::Bush, "pin 2")));
    /// assert_eq!(ReadingSubject::of_path("bushes"), None);
    /// ```
    pub fn of_path(path: &str) -> Option<(Self, &str)> {
        let (word, of) = path.split_once('.')?;
        let subject = Self::ALL.into_iter().find(|subject| subject.word() == word.trim())?;
        Some((subject, of.trim())).filter(|(_, of)| !of.is_empty())
    }

    /// The path of a reading of this subject.
    pub fn path(self, of: &str) -> String {
        format!("{}.{of}", self.word())
    }

    /// What to write in place of a path that begins with no subject; `usual` stands behind the dot where there is none.
    pub(super) fn instead_of(path: &str, usual: &str) -> String {
        let words = Self::ALL.map(Self::word);
        let (word, of) = path.split_once('.').unwrap_or((path, usual));
        match nearest_name(words.iter().copied(), word.trim()) {
            Some(nearest) => format!("write \"{nearest}.{}\"", of.trim()),
            None => format!("begin with one of these and a dot: {}", words.join(", ")),
        }
    }
}
