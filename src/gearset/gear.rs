//! A gear: one body of teeth, solid with the member that it belongs to.
//!
//! People count teeth and say what kind of gear it is; formulas want a signed count,
//! negative for internal teeth, so that external and internal pairs share one law.

use super::{DraftGear, GearDetails, MemberId};
use crate::syntax::words;

/// The kind of teeth, and with it the sign that a formula gives the tooth count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GearKind {
    /// Teeth that point outward: a sun, or an ordinary planet gear.
    External,
    /// Teeth that point inward: a ring, or an internal planet.
    Internal,
    /// A bevel gear on the main axis, at this side of the planet pins.
    BevelCentral(Side),
    /// A bevel gear on a planet pin.
    BevelPlanet,
}

impl GearKind {
    /// Whether the gear is a bevel gear, on either axis.
    pub fn is_bevel(self) -> bool {
        matches!(self, Self::BevelCentral(_) | Self::BevelPlanet)
    }
}

/// A side of the planet pins along the main axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// The side from which the gearset is viewed: the input side.
    Input,
    /// The far side.
    Output,
}

words! {
    Side for Side: "a side of the planets", "InputSide" {
        InputSide() => { Side::Input }
        OutputSide() => { Side::Output }
    }
}

/// A number of teeth: at least 1 and at most [`ToothCount::MAX`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ToothCount(u16);

impl ToothCount {
    /// The largest count that is taken for a gear; anything above is a slip of the pen.
    pub const MAX: i64 = 10_000;

    /// A count, if it lies in 1..=[`ToothCount::MAX`].
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::ToothCount;
    /// assert_eq!(ToothCount::new(26).map(ToothCount::get), Some(26));
    /// assert_eq!(ToothCount::new(0), None);
    /// ```
    pub fn new(count: i64) -> Option<Self> {
        u16::try_from(count).ok().filter(|&count| count >= 1 && i64::from(count) <= Self::MAX).map(Self)
    }

    /// The number of teeth.
    pub fn get(self) -> u16 {
        self.0
    }
}

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
