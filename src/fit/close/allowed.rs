//! Which shifts does a gear allow, and which values does that leave to what can be chosen?

use std::collections::BTreeMap;

use crate::clearance::{FitQuestion, ShiftTree, TeethInMesh};
use crate::gearset::GearId;
use crate::tooth::{Teeth, least_shift_without_undercut, shift_for_tip_thickness};

/// Shifts that are apart by no more are one, in modules.
pub(super) const ROUNDING: f64 = 1e-9;

/// What teeth are to be that are cut anew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothLimits {
    /// The least contact ratio of a mesh.
    pub least_contact_ratio: f64,
    /// The least thickness of a tip, in modules.
    pub least_tip: f64,
    /// The least clearance from a tip to the root opposite, in modules.
    pub least_root_clearance: f64,
    /// The least and the largest shift of a gear, in modules.
    pub shifts: [f64; 2],
    /// Whether a rack may undercut them.
    pub may_be_undercut: bool,
}

impl Default for ToothLimits {
    /// Teeth that work at all, not undercut: tips of 0.2 module and shifts up to 1.5 (common practice).
    fn default() -> Self {
        Self {
            least_contact_ratio: 1.0,
            least_tip: 0.2,
            least_root_clearance: 0.0,
            shifts: [-1.5, 1.5],
            may_be_undercut: false,
        }
    }
}

/// The shifts that gears allow, in modules: from where a rack begins to undercut them to where their tips become too thin,
/// or the described one alone.
#[derive(Debug)]
pub(super) struct AllowedShifts {
    of_gears: BTreeMap<GearId, [f64; 2]>,
}

impl AllowedShifts {
    /// Of teeth that work.
    pub(super) fn new(question: &FitQuestion<'_>, teeth: &TeethInMesh, limits: &ToothLimits) -> Self {
        let mut allowed = Self::but_tips(question, teeth, limits);
        let open = allowed.of_gears.iter_mut().filter(|(gear, _)| question.described_shift(**gear).is_none());
        for (&gear, range) in open {
            let form = teeth.form(gear);
            if let Ok(thin) = shift_for_tip_thickness(&form, limits.least_tip * form.module) {
                range[1] = range[1].min(thin);
            }
        }
        allowed
    }

    /// The same without a look at tips, which takes longer than all the rest.
    pub(super) fn but_tips(question: &FitQuestion<'_>, teeth: &TeethInMesh, limits: &ToothLimits) -> Self {
        let of_gear = |gear: GearId| {
            if let Some(shift) = question.described_shift(gear) {
                return (gear, [shift; 2]);
            }
            let form = teeth.form(gear);
            let sound = if form.teeth == Teeth::External && !limits.may_be_undercut {
                least_shift_without_undercut(&form, form.straight_dedendum()).unwrap_or(f64::NEG_INFINITY)
            } else {
                f64::NEG_INFINITY
            };
            (gear, [limits.shifts[0].max(sound), limits.shifts[1]])
        };
        Self { of_gears: teeth.gears().map(of_gear).collect() }
    }

    pub(super) fn of(&self, gear: GearId) -> [f64; 2] {
        self.of_gears.get(&gear).copied().unwrap_or([f64::NEG_INFINITY, f64::INFINITY])
    }

    /// The values of the unknown of a tree with which every gear has a shift that it allows; `None` where there are none.
    pub(super) fn range(&self, tree: &ShiftTree) -> Option<[f64; 2]> {
        let [least, most] = self.ends(tree);
        (most - least >= -ROUNDING).then_some([least, most])
    }

    /// How much of its unknown a tree has to choose from; negative where the gears quarrel by so much.
    pub(super) fn room(&self, tree: &ShiftTree) -> f64 {
        let [least, most] = self.ends(tree);
        most - least
    }

    /// The largest of the least values that the gears of a tree leave to its unknown, and the least of the largest.
    fn ends(&self, tree: &ShiftTree) -> [f64; 2] {
        let mut range = tree.fixed.map_or([f64::NEG_INFINITY, f64::INFINITY], |t| [t, t]);
        for open in &tree.gears {
            let ends = self.of(open.gear).map(|end| (end - open.constant) / open.direction);
            range = [range[0].max(ends[0].min(ends[1])), range[1].min(ends[0].max(ends[1]))];
        }
        range
    }
}
