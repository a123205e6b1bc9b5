//! What does a cutter leave near the root of a gear?

use crate::clearance::TeethInMesh;
use crate::exact::to_float;
use crate::gearset::{GearId, Gearset, ToothCutter};
use crate::tooth::{CutFlank, ShapedGear, Teeth, ToothError, ToothForm, flank_cut_by_rack, shape};

/// What the cutter of a gear leaves near its root.
pub(super) enum CutRoot {
    Rack(CutFlank),
    Shaper(ShapedGear),
    /// A ring of whose cutter nothing is said.
    NotSaid,
}

/// Where the involute of a gear ends near its root, as it is cut, in millimetres; `None` where nothing is said.
pub(super) fn form_radius(set: &Gearset, teeth: &TeethInMesh, gear: GearId) -> Option<f64> {
    cut_root(set, gear, &teeth.form(gear)).ok().as_ref().and_then(form_radius_of)
}

/// Where the involute ends, in millimetres.
pub(super) fn form_radius_of(root: &CutRoot) -> Option<f64> {
    match root {
        CutRoot::Rack(flank) => Some(flank.form_radius),
        CutRoot::Shaper(shaped) => Some(shaped.flank.form_radius),
        CutRoot::NotSaid => None,
    }
}

/// What is left near the root of a gear with these teeth.
pub(super) fn cut_root(set: &Gearset, gear: GearId, form: &ToothForm) -> Result<CutRoot, ToothError> {
    let cutter = set.described_teeth(gear).and_then(|told| told.cut_by.as_deref());
    match (cutter, form.teeth) {
        (Some(ToothCutter::Shaper { tooth_count, shift }), _) => {
            let tooth_count = u16::try_from(*tooth_count).map_err(|_| ToothError::OutOfRange)?;
            let cutter = ToothForm {
                profile_shift: to_float(shift),
                addendum: form.dedendum,
                pressure_angle: form.pressure_angle,
                ..ToothForm::standard(Teeth::External, tooth_count, form.module)
            };
            shape(form, &cutter).map(CutRoot::Shaper)
        }
        (_, Teeth::External) => flank_cut_by_rack(form, form.straight_dedendum()).map(CutRoot::Rack),
        (_, Teeth::Internal) => Ok(CutRoot::NotSaid),
    }
}
