//! A gearset in which single tooth counts are tried, one after the other.
//!
//! To check a whole gearset anew for every count that is tried would take as long as the gearset is; here only what
//! depends on the count is set, and set back. Everything that was measured stays, for the parts are the same: it is the
//! count that is doubted. A profile shift belongs to the count that it was given with, and is left out with another.

use super::{GearId, GearKind, Gearset, ToothCount};

/// A gear with another count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Recount {
    pub(crate) gear: GearId,
    pub(crate) count: ToothCount,
}

/// A gearset whose counts can be tried.
#[derive(Debug)]
pub(crate) struct Recounting {
    set: Gearset,
}

impl Recounting {
    pub(crate) fn new(set: &Gearset) -> Self {
        Self { set: set.clone() }
    }

    /// The gearset as it is.
    pub(crate) fn set(&self) -> &Gearset {
        &self.set
    }

    /// What is true of the gearset with these counts, each of another gear; `None` where an internal gear would have no
    /// more teeth than the gear inside it, which no gearset has.
    pub(crate) fn with<T>(&mut self, recounts: &[Recount], ask: impl FnOnce(&Gearset) -> T) -> Option<T> {
        let as_counted: Vec<Recount> = recounts
            .iter()
            .map(|&Recount { gear, .. }| Recount { gear, count: self.set.gear(gear).tooth_count() })
            .collect();
        let (shifts, teeth) = (self.set.draft.profile_shifts.clone(), self.set.draft.teeth.clone());
        for &recount in recounts {
            self.put(recount);
            self.set.draft.forget_teeth_of(&self.set.gears[recount.gear.index()].name);
        }
        let is_sound = recounts.iter().all(|recount| self.reaches_round(recount.gear));
        let answer = is_sound.then(|| ask(&self.set));
        for recount in as_counted {
            self.put(recount);
        }
        (self.set.draft.profile_shifts, self.set.draft.teeth) = (shifts, teeth);
        answer
    }

    fn put(&mut self, Recount { gear, count }: Recount) {
        self.set.gears[gear.index()].tooth_count = count;
        let signed = self.set.gears[gear.index()].signed_tooth_count();
        for &mesh in &self.set.meshes_of_gears[gear.index()] {
            self.set.matrix.set_count(mesh, gear, signed);
        }
    }

    /// Whether each internal gear that this one is in mesh with, or is, has more teeth than the gear inside it.
    fn reaches_round(&self, gear: GearId) -> bool {
        self.set.meshes_of(gear).iter().all(|&mesh| {
            let [a, b] = self.set.mesh(mesh).gears().each().map(|gear| self.set.gear(gear));
            match (a.kind(), b.kind()) {
                (GearKind::Internal, _) => a.tooth_count() > b.tooth_count(),
                (_, GearKind::Internal) => b.tooth_count() > a.tooth_count(),
                _ => true,
            }
        })
    }
}
