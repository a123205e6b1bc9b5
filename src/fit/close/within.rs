//! Do gears that are cut anew have shifts within limits that close their meshes?
//!
//! What can be chosen is chosen as drawn, moved as far as the limits of every gear ask; where a mesh does not work so, it is
//! tried at equal steps over all that the limits leave.

use super::allowed::{AllowedShifts, ToothLimits};
use super::answer::{FaultWeight, MeshFit};
use super::meshes::mesh_fit;
use crate::clearance::{FitQuestion, ShiftTree, TeethInMesh};
use crate::gearset::{GearId, MeshId};
use crate::tooth::{Teeth, tip_thickness};

/// The teeth within limits with which these meshes close and work; `None` where there are none.
pub(crate) fn teeth_within(question: &FitQuestion<'_>, meshes: &[MeshId], limits: &ToothLimits) -> Option<TeethInMesh> {
    let drawn = question.teeth_of(meshes);
    if !drawn.closing.open.is_empty() || !drawn.impossible.is_empty() {
        return None;
    }
    let allowed = AllowedShifts::but_tips(question, &drawn, limits);
    let ranges: Vec<[f64; 2]> =
        drawn.closing.trees.iter().map(|tree| allowed.range(tree).map(inside)).collect::<Option<_>>()?;
    let trees = || drawn.closing.trees.iter().zip(&ranges);
    let as_drawn =
        trees().flat_map(|(tree, [least, most])| shifts_at(tree, tree.taken.clamp(*least, most.max(*least))));
    let as_drawn: Vec<(GearId, f64)> = as_drawn.collect();
    // What can be chosen may have to be elsewhere, for contact or for tips.
    let elsewhere = (0..=TRIED).map(|step| {
        let part = f64::from(step) / f64::from(TRIED);
        trees().flat_map(|(tree, [least, most])| shifts_at(tree, least + (most - least) * part)).collect()
    });
    let is_open = drawn.closing.trees.iter().any(|tree| tree.fixed.is_none());
    let mut choices = std::iter::once(as_drawn).chain(elsewhere.filter(|_| is_open));
    choices.find_map(|chosen| working(question, meshes, &chosen, limits))
}

/// A range without its ends, where it is wide enough: shifts are written with four decimals, and a limit that is kept to the
/// last of them is broken by the rounding.
fn inside([least, most]: [f64; 2]) -> [f64; 2] {
    const ROUNDING: f64 = 1e-4;
    if most - least > 2.0 * ROUNDING { [least + ROUNDING, most - ROUNDING] } else { [least, most] }
}

/// So many steps of what can be chosen are tried.
const TRIED: u32 = 8;

fn shifts_at(tree: &ShiftTree, t: f64) -> impl Iterator<Item = (GearId, f64)> + '_ {
    tree.gears.iter().map(move |open| (open.gear, open.at(t)))
}

/// The teeth with these shifts, if every mesh works.
fn working(
    question: &FitQuestion<'_>,
    meshes: &[MeshId],
    chosen: &[(GearId, f64)],
    limits: &ToothLimits,
) -> Option<TeethInMesh> {
    const ROUNDING: f64 = 1e-9;
    let teeth = question.with_chosen(chosen).teeth_of(meshes);
    let holds = |fit: &MeshFit| {
        let module = teeth.form(fit.gears.first).module;
        let root = fit.root_clearances_mm.map_or(f64::NEG_INFINITY, |both| both.first.min(both.second));
        fit.contact_ratio.is_some_and(|ratio| ratio >= limits.least_contact_ratio)
            && root >= limits.least_root_clearance * module - ROUNDING
            && fit.faults.iter().all(|fault| fault.weight() > FaultWeight::Fails)
    };
    let is_thick = |(gear, _): &(GearId, f64)| {
        let form = teeth.form(*gear);
        // The tips of a ring thicken outward.
        form.teeth == Teeth::Internal
            || tip_thickness(&form).is_ok_and(|arc| arc >= limits.least_tip * form.module - ROUNDING)
    };
    let works = chosen.iter().all(is_thick) && meshes.iter().all(|&mesh| holds(&mesh_fit(question.set, &teeth, mesh)));
    works.then_some(teeth)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shift_inside_a_range_is_within_it_as_written_with_four_decimals() {
        for range @ [least, most] in [[-0.300_04, 0.512_37], [0.1, 0.101], [0.123_456, 0.234_567]] {
            let [first, last] = inside(range);
            assert!(least < first && first < last && last < most, "{range:?}");
            for shift in [first, f64::midpoint(first, last), last] {
                let written = (shift * 1e4).round() / 1e4;
                assert!((least..=most).contains(&written), "{shift} of {range:?}");
            }
        }
    }
}
