//! How much thinner has each gear to be, so that every mesh has the backlash that it is to have?
//!
//! With the thinnings t of its two gears a mesh has the backlash `j = j_0 + t_1 + t_2` at the pitch circle, `j_0` that of
//! teeth that are not thinned: so each mesh needs a sum. A gear has one thinning for all its meshes. It takes half of
//! what the mesh needs that needs least of it, all where its mate is kept as it is; what then is missing the gears of
//! fewest meshes make up. Beside a given gear that is thinner than its mesh needs the thinning of the other is below zero:
//! its teeth are thicker. Worked out here.

use std::collections::BTreeMap;

use crate::gearset::GearId;

/// What the thinnings of two gears in mesh have to come to, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NeededThinning {
    pub(super) gears: [GearId; 2],
    pub(super) sum: f64,
}

/// The thinning of each gear with which no sum is more than needed, and as few as can be are less; those of some gears
/// are given.
pub(super) fn at_most(needs: &[NeededThinning], given: &BTreeMap<GearId, f64>) -> BTreeMap<GearId, f64> {
    let mut thinning = given.clone();
    for gear in free_gears(needs, given) {
        let share = |need: &NeededThinning| match given.get(&need.mate(gear)) {
            Some(of_mate) => need.sum - of_mate,
            None => need.sum / 2.0,
        };
        let own = needs.iter().filter(|need| need.gears.contains(&gear));
        thinning.insert(gear, own.map(share).fold(f64::INFINITY, f64::min));
    }
    for gear in free_gears(needs, given) {
        let own = needs.iter().filter(|need| need.gears.contains(&gear));
        let missing = own.map(|need| need.missing(&thinning)).fold(f64::INFINITY, f64::min);
        raise(&mut thinning, gear, missing);
    }
    thinning
}

/// The same with which no sum is less than needed, and as few as can be are more.
pub(super) fn at_least(needs: &[NeededThinning], given: &BTreeMap<GearId, f64>) -> BTreeMap<GearId, f64> {
    let mut thinning = at_most(needs, given);
    let in_order = free_gears(needs, given);
    for need in needs {
        let missing = need.missing(&thinning);
        // Of the two the gear of fewest meshes makes up what is missing.
        if let Some(&gear) = in_order.iter().find(|gear| need.gears.contains(gear)) {
            raise(&mut thinning, gear, missing);
        }
    }
    thinning
}

impl NeededThinning {
    fn mate(&self, gear: GearId) -> GearId {
        if self.gears[0] == gear { self.gears[1] } else { self.gears[0] }
    }

    /// How much the thinnings fall short of the sum.
    fn missing(&self, thinning: &BTreeMap<GearId, f64>) -> f64 {
        self.sum - self.gears.iter().filter_map(|gear| thinning.get(gear)).sum::<f64>()
    }
}

fn raise(thinning: &mut BTreeMap<GearId, f64>, gear: GearId, by: f64) {
    if let Some(thinning) = thinning.get_mut(&gear).filter(|_| by > 0.0 && by.is_finite()) {
        *thinning += by;
    }
}

/// The gears whose thinning is open, those of fewest meshes first.
fn free_gears(needs: &[NeededThinning], given: &BTreeMap<GearId, f64>) -> Vec<GearId> {
    let mut meshes: BTreeMap<GearId, usize> = BTreeMap::new();
    for gear in needs.iter().flat_map(|need| need.gears).filter(|gear| !given.contains_key(gear)) {
        *meshes.entry(gear).or_default() += 1;
    }
    let mut gears: Vec<(usize, GearId)> = meshes.into_iter().map(|(gear, count)| (count, gear)).collect();
    gears.sort_unstable();
    gears.into_iter().map(|(_, gear)| gear).collect()
}
