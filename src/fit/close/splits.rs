//! Where a shift can be chosen: how is it shared out by each of the known ways?
//!
//! In a part of the train whose shifts nothing fixes one of them is free ([`ShiftTree`]). A way gives the shifts of the
//! two gears of one mesh; the others follow from theirs.

use super::CloseQuestion;
use super::allowed::AllowedShifts;
use super::answer::{GearShift, SharedShift, SplitShifts, SplitWay};
use crate::clearance::{FitQuestion, ShiftTree, TeethInMesh};
use crate::gearset::{GearId, MeshId};
use crate::tooth::{InvolutePair, SplitRule, ToothForm, split_shift};

/// The factor of the inverse ratio, in the middle of the usual range from 0.5 to 0.75.
const INVERSE_RATIO_FACTOR: f64 = 0.6;

/// Teeth whose shifts can be chosen in part.
pub(super) struct TeethToShare<'a> {
    pub(super) asked: &'a FitQuestion<'a>,
    pub(super) teeth: &'a TeethInMesh,
    pub(super) allowed: &'a AllowedShifts,
}

/// Every part of the train in which a shift can be chosen, with the ways to do so.
pub(super) fn shared_shifts(to_share: &TeethToShare<'_>, question: &CloseQuestion) -> Vec<SharedShift> {
    let open = to_share.teeth.closing.trees.iter().filter(|tree| tree.fixed.is_none());
    open.filter_map(|tree| shared_shift(to_share, tree, question)).collect()
}

/// The shifts of every way that is taken.
pub(super) fn taken_shifts(splits: &[SharedShift]) -> Vec<(GearId, f64)> {
    let taken = splits.iter().flat_map(|part| &part.ways).filter(|way| way.taken);
    taken.flat_map(|way| way.shifts.iter().flatten()).map(|shift| (shift.gear, shift.shift)).collect()
}

fn shared_shift(to_share: &TeethToShare<'_>, tree: &ShiftTree, question: &CloseQuestion) -> Option<SharedShift> {
    let set = to_share.asked.set;
    let holds = |mesh: &MeshId| {
        set.mesh(*mesh).gears().each().iter().all(|gear| tree.gears.iter().any(|open| open.gear == *gear))
    };
    let mesh = question.mesh.filter(holds).or_else(|| set.mesh_ids().find(holds))?;
    let mut ways: Vec<SplitShifts> = SplitWay::ALL
        .into_iter()
        .map(|split| SplitShifts { split, taken: false, shifts: shifts_by(to_share, tree, mesh, split) })
        .collect();
    let wanted = ways.iter().position(|way| way.split == question.split && way.shifts.is_some());
    ways[wanted.unwrap_or(0)].taken = true;
    Some(SharedShift { mesh, ways, asked: question.split })
}

fn shifts_by(
    TeethToShare { asked, teeth, allowed }: &TeethToShare<'_>,
    tree: &ShiftTree,
    mesh: MeshId,
    split: SplitWay,
) -> Option<Vec<GearShift>> {
    let at = |t: f64| tree.gears.iter().map(|open| GearShift { gear: open.gear, shift: open.at(t) }).collect();
    let rule = match split {
        SplitWay::AsDrawn => return Some(at(tree.taken)),
        SplitWay::NoUndercut => {
            let [least, most] = allowed.range(tree)?;
            return Some(at(tree.taken.clamp(least, most.max(least))));
        }
        SplitWay::EqualSliding => SplitRule::EqualSliding,
        SplitWay::DifferenceRule => SplitRule::Difference,
        SplitWay::InverseRatio => SplitRule::InverseRatio(INVERSE_RATIO_FACTOR),
        SplitWay::Logarithm => SplitRule::Logarithm,
        SplitWay::Halves => SplitRule::Halves,
    };
    let (set, distance) = (asked.set, teeth.distance(mesh).ok()?);
    let equation = teeth.equation(set, mesh, distance).ok()?;
    let drawn = teeth.pair(set, mesh).ok()?;
    // The tips are those of the shifts that are sought.
    let full = |form: &ToothForm| ToothForm { tip_limit: None, ..*form };
    let pair = InvolutePair::new(&full(drawn.first()), &full(drawn.second())).ok()?;
    let shift = split_shift(&pair, distance, rule).ok()?.first;
    let first = tree.gears.iter().find(|open| open.gear == equation.first)?;
    Some(at((shift - first.constant) / first.direction))
}
