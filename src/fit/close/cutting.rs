//! What does a cutter leave near the root of a gear?

use crate::tooth::{
    CutFlank, RootCutter, ShapedGear, Teeth, ToothError, ToothForm, flank_cut_by_rack, shape, shaper_of,
};

/// What the cutter of a gear leaves near its root.
pub(super) enum CutRoot {
    Rack(CutFlank),
    Shaper(ShapedGear),
    /// A ring of whose cutter nothing is said.
    NotSaid,
}

/// Where the involute of a gear ends near its root, as it is cut, in millimetres; `None` where nothing is said.
pub(super) fn form_radius(form: &ToothForm) -> Option<f64> {
    cut_root(form).ok().as_ref().and_then(form_radius_of)
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
pub(super) fn cut_root(form: &ToothForm) -> Result<CutRoot, ToothError> {
    match (form.cut_by, form.teeth) {
        (RootCutter::Shaper { tooth_count, profile_shift }, _) => {
            shape(form, &shaper_of(form, tooth_count, profile_shift)).map(CutRoot::Shaper)
        }
        (RootCutter::Usual, Teeth::External) => flank_cut_by_rack(form, form.straight_dedendum()).map(CutRoot::Rack),
        (RootCutter::Usual, Teeth::Internal) => Ok(CutRoot::NotSaid),
    }
}
