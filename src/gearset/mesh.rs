//! Two gears in mesh, in a checked gearset.

use super::{Efficiency, GearId, Length, MemberId, Pair, Pitch};

/// Two gears in mesh; at least one of them is a planet's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mesh {
    pub(super) gears: Pair<GearId>,
    pub(super) carrier: MemberId,
    pub(super) pitch: Option<Pitch>,
    pub(super) backlash: Option<Length>,
    pub(super) efficiency: Option<Efficiency>,
}

impl Mesh {
    /// The two gears, in the order of the description.
    pub fn gears(&self) -> Pair<GearId> {
        self.gears
    }

    /// The carrier of the pin or pins in this mesh.
    pub fn carrier(&self) -> MemberId {
        self.carrier
    }

    /// The pitch, if one was given for this mesh or for the set.
    pub fn pitch(&self) -> Option<&Pitch> {
        self.pitch.as_ref()
    }

    /// The backlash, if one was given for this mesh or for the set.
    pub fn backlash(&self) -> Option<&Length> {
        self.backlash.as_ref()
    }

    /// The efficiency, if one was given for this mesh or for the set.
    pub fn efficiency(&self) -> Option<Efficiency> {
        self.efficiency
    }
}
