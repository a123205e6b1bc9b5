//! A band or a clutch of a checked gearset.

use super::{Action, BandSizes, MemberId, Pair, PlateSizes};

/// A control with its members resolved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Control {
    pub(super) name: String,
    pub(super) action: Action<MemberId>,
    pub(super) band: Option<BandSizes>,
    pub(super) plates: Option<PlateSizes>,
}

impl Control {
    /// The control's name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it does, and to which members.
    pub fn action(&self) -> Action<MemberId> {
        self.action
    }

    /// The two members that it makes one while it is applied: the second is the case for a band.
    pub fn made_one(&self) -> Pair<MemberId> {
        match self.action {
            Action::Band(member) => Pair { first: member, second: MemberId::CASE },
            Action::Clutch(pair) | Action::OneWayClutch(pair, _) => pair,
        }
    }

    /// The sizes of a band, where they are given.
    pub fn band_sizes(&self) -> Option<&BandSizes> {
        self.band.as_ref()
    }

    /// The sizes of the plates of a clutch, where they are given.
    pub fn plate_sizes(&self) -> Option<&PlateSizes> {
        self.plates.as_ref()
    }
}
