//! A gear: one body of teeth, solid with the member that it belongs to.

use super::{DraftGear, GearDetails, GearKind, MemberId, Side, ToothCount};

/// A gear of a checked gearset.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gear {
    pub(super) name: String,
    pub(super) member: MemberId,
    pub(super) kind: GearKind,
    pub(super) tooth_count: ToothCount,
    pub(super) details: GearDetails,
}

impl Gear {
    /// The gear of a member, if its tooth count is one.
    pub(super) fn new(draft: &DraftGear, member: MemberId) -> Option<Self> {
        Some(Self {
            name: draft.name.to_string(),
            member,
            kind: draft.kind,
            tooth_count: ToothCount::new(*draft.tooth_count.get()?)?,
            details: draft.details.clone(),
        })
    }

    /// The gear's name, unique in the set.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The member that the gear is solid with.
    pub fn member(&self) -> MemberId {
        self.member
    }

    /// The kind of teeth.
    pub fn kind(&self) -> GearKind {
        self.kind
    }

    /// The name with the tooth count, `D 26`; a name that tells the count stands alone, `S26`.
    ///
    /// # Examples
    /// ```
    /// use toothmark::description;
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// assert_eq!(set.gears()[0].with_count(), "S 24");
    /// ```
    pub fn with_count(&self) -> String {
        let count = self.tooth_count.get().to_string();
        let mut numbers = self.name.split(|letter: char| !letter.is_ascii_digit());
        if numbers.any(|number| number == count) { self.name.clone() } else { format!("{} {count}", self.name) }
    }

    /// What whoever works on the gear should remember, if it was noted.
    pub fn note(&self) -> Option<&str> {
        self.details.note.as_ref().map(|note| note.as_str())
    }

    /// The number of teeth, as counted.
    pub fn tooth_count(&self) -> ToothCount {
        self.tooth_count
    }

    /// The tooth count as formulas take it: negative for internal teeth and for a
    /// central bevel gear on the output side.
    pub fn signed_tooth_count(&self) -> i64 {
        let count = i64::from(self.tooth_count.get());
        match self.kind {
            GearKind::External | GearKind::BevelPlanet | GearKind::BevelCentral(Side::Input) => count,
            GearKind::Internal | GearKind::BevelCentral(Side::Output) => -count,
        }
    }
}
