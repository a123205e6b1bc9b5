//! Which shifts does a gear allow, and which values does that leave to what can be chosen?

use super::cutting::straight;
use crate::clearance::{FitQuestion, ShiftTree, TeethInMesh};
use crate::gearset::GearId;
use crate::tooth::{Teeth, least_shift_without_undercut, shift_for_tip_thickness};

/// Modules beyond which no gear, and no sum of two, is shifted.
pub(super) const MOST_SHIFT: f64 = 1.5;
/// The least tip that is recommended, in modules (common practice).
const LEAST_TIP: f64 = 0.2;

/// The shifts that a gear allows, in modules: from where a rack begins to undercut it to where its tips become too thin, or
/// the described one alone.
pub(super) fn allowed(question: &FitQuestion<'_>, teeth: &TeethInMesh, gear: GearId) -> [f64; 2] {
    if let Some(shift) = question.described_shift(gear) {
        return [shift; 2];
    }
    let form = teeth.form(gear);
    if form.teeth == Teeth::Internal {
        return [-MOST_SHIFT, MOST_SHIFT];
    }
    let least = least_shift_without_undercut(&form, straight(&form)).unwrap_or(-MOST_SHIFT);
    let most = shift_for_tip_thickness(&form, LEAST_TIP * form.module).unwrap_or(MOST_SHIFT);
    [least.max(-MOST_SHIFT), most.min(MOST_SHIFT)]
}

/// The values of the unknown of a tree with which every gear has a shift that it allows; `None` where there are none.
pub(super) fn allowed_range(question: &FitQuestion<'_>, teeth: &TeethInMesh, tree: &ShiftTree) -> Option<[f64; 2]> {
    const ROUNDING: f64 = 1e-9;
    let mut range = tree.fixed.map_or([f64::NEG_INFINITY, f64::INFINITY], |t| [t, t]);
    for open in &tree.gears {
        let ends = allowed(question, teeth, open.gear).map(|end| (end - open.constant) / open.direction);
        range = [range[0].max(ends[0].min(ends[1])), range[1].min(ends[0].max(ends[1]))];
    }
    (range[0] <= range[1] + ROUNDING).then_some(range)
}
