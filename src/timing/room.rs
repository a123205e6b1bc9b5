//! How much room do the planets of a group leave one another, on the pins as described and on others?
//!
//! Where the pin circle does not follow from the description nothing is told: so where meshes of one planet ask for
//! different distances and no pitch says which modules they have.

use crate::clearance::{Gap, PinCircles, gaps, gaps_of_equal_pins};
use crate::gearset::{Gearset, PlanetGroup};

/// The room between gears that lie side by side, on the pins as described; empty where it is not known.
pub(super) fn room(set: &Gearset, group: &PlanetGroup) -> Vec<Gap> {
    if is_placed(set, group) { gaps(set, group).unwrap_or_default() } else { Vec::new() }
}

/// For each number of equal pins whether neighbours clear one another, where that is known.
pub(super) fn equal_pins_clear(set: &Gearset, group: &PlanetGroup, counts: &[u32]) -> Vec<Option<bool>> {
    let is_placed = is_placed(set, group);
    let clear = |&pins: &u32| {
        let gaps = gaps_of_equal_pins(set, group, pins).ok().filter(|_| is_placed)?;
        Some(!gaps.iter().any(Gap::is_foul))
    };
    counts.iter().map(clear).collect()
}

/// Whether it is known where the pins stand.
fn is_placed(set: &Gearset, group: &PlanetGroup) -> bool {
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    PinCircles::new(set, group).is_ok_and(|circles| has_pitch || circles.is_nominal())
}
