//! What becomes of the teeth of one gear: tips, roots, the end of its involute, the wall to its bore?

use super::answer::{GearFault, GearFit};
use super::cutting::{CutRoot, cut_root, form_radius_of};
use super::meshes::path_in;
use crate::clearance::TeethInMesh;
use crate::gearset::{GearId, Gearset};
use crate::tooth::{RoomVerdict, Teeth, ToothError, ToothForm, least_shift_without_undercut, tip_thickness};

/// A tip below this is commonly avoided, in modules (common practice).
const USUAL_TIP: f64 = 0.4;
/// Between bore and roots commonly at least so many whole depths (from memory).
const USUAL_WALL: f64 = 1.2;
/// Modules beyond which shifts are unusual.
const USUAL_SHIFT: f64 = 1.0;

/// What becomes of the teeth of a gear.
pub(super) fn gear_fit(set: &Gearset, teeth: &TeethInMesh, gear: GearId) -> GearFit {
    let form = teeth.form(gear);
    let root = cut_root(&form);
    let full = ToothForm { tip_limit: None, ..form };
    let bore = set.described_teeth(gear).and_then(|told| told.bore.as_ref()).map(|bore| bore.millimetres());
    let root_radius = match &root {
        Ok(CutRoot::Shaper(shaped)) => shaped.root_radius,
        _ => form.root_radius(),
    };
    let is_external = form.teeth == Teeth::External;
    let wall = bore.filter(|_| is_external).map(|bore| root_radius - bore / 2.0);
    let working_from = working_flank_from(set, teeth, gear);
    let mut faults = Vec::new();
    faults.extend(at_tip(&form));
    faults.extend(at_root(&form, root.as_ref()));
    let usual_mm = USUAL_WALL * (form.addendum + form.dedendum) * form.module;
    let thin = wall.filter(|wall| *wall < usual_mm);
    faults.extend(thin.map(|wall_mm| GearFault::ThinWall { wall_mm, usual_mm }));
    faults.extend((form.profile_shift.abs() > USUAL_SHIFT).then_some(GearFault::LargeShift));
    faults.sort_by_key(GearFault::weight);
    GearFit {
        gear,
        shift: form.profile_shift,
        tip_diameter_mm: 2.0 * form.tip_radius(),
        root_diameter_mm: 2.0 * root_radius,
        tip_thickness_mm: tip_thickness(&form).ok(),
        form_diameter_mm: root.as_ref().ok().and_then(form_radius_of).map(|radius| 2.0 * radius),
        faults,
        module_mm: form.module,
        tip_shortened_mm: (full.tip_radius() - form.tip_radius()).abs(),
        working_flank_from_mm: working_from.map(|radius| 2.0 * radius),
        thinning_mm: form.thinning,
        undercut_below: least_shift_without_undercut(&form, form.straight_dedendum()).ok(),
        wall_mm: wall,
        shift_described: set.described_shift(gear).is_some(),
    }
}

/// Where the working flank of a gear begins near its root over all its meshes, as a radius.
fn working_flank_from(set: &Gearset, teeth: &TeethInMesh, gear: GearId) -> Option<f64> {
    let own = set.mesh_ids().filter(|&mesh| set.mesh(mesh).gears().contains(&gear));
    let starts = own.filter_map(|mesh| {
        let (path, gears) = path_in(set, teeth, mesh)?;
        Some(if gears.first == gear { path.first_starts_at } else { path.second_starts_at })
    });
    match teeth.form(gear).teeth {
        Teeth::External => starts.reduce(f64::min),
        Teeth::Internal => starts.reduce(f64::max),
    }
}

fn at_tip(form: &ToothForm) -> Option<GearFault> {
    match tip_thickness(form) {
        Err(ToothError::NoInvolute) => Some(GearFault::NoInvoluteAtTip),
        Err(_) => None,
        Ok(arc) if arc <= 0.0 => Some(GearFault::Pointed),
        Ok(arc) => {
            let modules = arc / form.module;
            (modules < USUAL_TIP).then_some(GearFault::ThinTip { modules })
        }
    }
}

fn at_root(form: &ToothForm, root: Result<&CutRoot, &ToothError>) -> Vec<GearFault> {
    let mut faults = Vec::new();
    match root {
        Ok(CutRoot::Rack(flank)) if is_lacking(flank.room) => {
            let least_shift = least_shift_without_undercut(form, form.straight_dedendum()).ok();
            faults.push(GearFault::Undercut { least_shift });
        }
        Ok(CutRoot::Shaper(shaped)) => {
            if is_lacking(shaped.flank.room) {
                faults.push(GearFault::Undercut { least_shift: None });
            }
            let least = shaped.least_tip_radius.filter(|least| is_lacking(form.tip_radius() - least));
            faults.extend(least.map(|radius| GearFault::TipTrimmed { least_tip_diameter_mm: 2.0 * radius }));
        }
        Ok(CutRoot::Rack(_) | CutRoot::NotSaid) => {}
        Err(_) => faults.push(GearFault::CannotBeCut),
    }
    faults
}

fn is_lacking(room: f64) -> bool {
    RoomVerdict::of(room, RoomVerdict::ROUNDING) == RoomVerdict::Lacking
}
