//! How does every gear stand so that teeth meet spaces?
//!
//! The first planet on pin 1 stands with a tooth of each of its gears on its mark. From there
//! every gear in mesh with one that stands is turned to mesh with it; a planet gear that no mesh
//! has reached stands with a tooth on the mark of its own planet. What a planet gear is ahead of
//! its mark is its index as drawn, alike on every pin.
//!
//! With g the direction from gear a to gear b and t the direction of a tooth, in turns, z the
//! counts: two external gears mesh when `z_a (g - t_a) + z_b (g + 1/2 - t_b) = 1/2 (mod 1)`, since
//! the teeth run against each other along the line of centres; a ring a with a gear b inside when
//! `z_a (g - t_a) - z_b (g - t_b) = 1/2 (mod 1)`.

use std::f64::consts::TAU;

use crate::gearset::{GearId, GearKind, Gearset, MeshId};

/// A gear of one pin, or on the main axis, as far as its phase goes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stand {
    pub(super) gear: GearId,
    pub(super) center: [f64; 2],
    /// The direction of a tooth, in radians; not a number until it is known.
    pub(super) tooth: f64,
}

/// Turns every gear of pin 1 whose tooth is not yet known, and those on the main axis.
///
/// `marks` gives the direction of the mark of each planet gear.
pub(super) fn propagate(set: &Gearset, meshes: &[(MeshId, [usize; 2])], stands: &mut [Stand], marks: &[Option<f64>]) {
    let mut seeds = (0..stands.len()).filter(|&at| marks[at].is_some());
    loop {
        let known = meshes.iter().find_map(|&(_, [a, b])| match (stands[a].tooth.is_nan(), stands[b].tooth.is_nan()) {
            (false, true) => Some((a, b)),
            (true, false) => Some((b, a)),
            _ => None,
        });
        if let Some((known, open)) = known {
            stands[open].tooth = meshing(set, &stands[known], &stands[open]);
        } else if let Some(seed) = seeds.next() {
            if stands[seed].tooth.is_nan() {
                stands[seed].tooth = marks[seed].unwrap_or(0.0);
            }
        } else {
            return;
        }
    }
}

/// The direction of a tooth of a gear that meshes with one that stands, in radians.
fn meshing(set: &Gearset, known: &Stand, open: &Stand) -> f64 {
    let unturned = Stand { tooth: 0.0, ..*open };
    let error = misfit(set, known, &unturned);
    // Turning the open gear by one of its teeth moves the misfit by one.
    let (count, sign) = (teeth(set, open.gear), misfit_sign(set, known, open));
    error * sign / count * TAU
}

/// By how much of a tooth two gears miss each other, from -1/2 to 1/2.
pub(super) fn misfit(set: &Gearset, a: &Stand, b: &Stand) -> f64 {
    let (a, b) = if is_internal(set, b.gear) { (b, a) } else { (a, b) };
    let direction = (b.center[1] - a.center[1]).atan2(b.center[0] - a.center[0]) / TAU;
    // The condition for two gears, or for a ring with a gear inside, less its 1/2.
    let of_a = teeth(set, a.gear) * (direction - a.tooth / TAU);
    let raw = if is_internal(set, a.gear) {
        of_a - teeth(set, b.gear) * (direction - b.tooth / TAU) - 0.5
    } else {
        of_a + teeth(set, b.gear) * (direction + 0.5 - b.tooth / TAU) - 0.5
    };
    raw - raw.round()
}

/// Whether turning the second gear forward takes from the misfit (+1) or adds to it (-1).
fn misfit_sign(set: &Gearset, known: &Stand, open: &Stand) -> f64 {
    if is_internal(set, known.gear) && !is_internal(set, open.gear) { -1.0 } else { 1.0 }
}

fn is_internal(set: &Gearset, gear: GearId) -> bool {
    set.gear(gear).kind() == GearKind::Internal
}

fn teeth(set: &Gearset, gear: GearId) -> f64 {
    f64::from(set.gear(gear).tooth_count().get())
}
