//! What of single meshes, gears and controls is worth a second look.

use std::collections::HashSet;

use super::{Remark, RemarkKind, RemarkedPart, with_counts};
use crate::exact::to_float;
use crate::gearset::{ControlId, GearId, GearKind, Gearset, MeshId, Restraint};

pub(super) fn backlash_beyond_half_a_tooth(set: &Gearset) -> impl Iterator<Item = Remark> + '_ {
    set.mesh_ids().filter(|&mesh| is_beyond_half_a_tooth(set, mesh)).map(|mesh| Remark {
        kind: RemarkKind::BacklashBeyondHalfATooth,
        text: format!(
            "the backlash of {} is more than half a tooth: look at its unit and digits; with so much backlash any seating \
             goes in",
            with_counts(set, mesh)
        ),
        parts: vec![RemarkedPart::Mesh(mesh)],
    })
}

fn is_beyond_half_a_tooth(set: &Gearset, mesh: MeshId) -> bool {
    let mesh = set.mesh(mesh);
    let half_a_tooth = mesh.pitch().map(|pitch| pitch.circular_pitch() / 2.0);
    mesh.backlash().zip(half_a_tooth).is_some_and(|(backlash, half)| backlash.millimetres() > half)
}

pub(super) fn idle_gears(set: &Gearset) -> impl Iterator<Item = Remark> + '_ {
    let meshed: HashSet<GearId> =
        set.meshes().iter().flat_map(|mesh| [mesh.gears().first, mesh.gears().second]).collect();
    set.gear_ids().filter(move |gear| !meshed.contains(gear)).map(|gear| Remark {
        kind: RemarkKind::IdleGear,
        text: format!("gear \"{}\" is in mesh with nothing", set.gear(gear).name()),
        parts: vec![RemarkedPart::Gear(gear)],
    })
}

/// One remark on all gears that a hob undercuts.
pub(super) fn undercut_gears(set: &Gearset) -> Option<Remark> {
    /// By so little, in modules, nobody shifts a gear: 17 teeth at 20 degrees pass.
    const SLIGHT: f64 = 0.02;
    let undercut = |gear: &(GearId, f64)| to_float(&set.profile_shift(gear.0)) < gear.1 - SLIGHT;
    let needed = set.gear_ids().filter_map(|gear| Some((gear, shift_without_undercut(set, gear)?)));
    let gears: Vec<(GearId, f64)> = needed.filter(undercut).collect();
    let told: Vec<String> =
        gears.iter().map(|&(gear, shift)| format!("{} by {shift:.2} modules", set.gear(gear).with_count())).collect();
    (!gears.is_empty()).then(|| Remark {
        kind: RemarkKind::UndercutTeeth,
        text: format!("a hob undercuts full teeth so few, unless they are shifted outward: {}", told.join(", ")),
        parts: gears.into_iter().map(|(gear, _)| RemarkedPart::Gear(gear)).collect(),
    })
}

/// x = 1 - z sin^2 a / 2 for full-depth teeth of the rack, ISO 53 from memory; `None` for rings and bevel gears, which
/// no rack cuts.
fn shift_without_undercut(set: &Gearset, gear: GearId) -> Option<f64> {
    let angle = to_float(&set.pressure_angle()).to_radians();
    let gear = set.gear(gear);
    (gear.kind() == GearKind::External).then(|| 1.0 - f64::from(gear.tooth_count().get()) * angle.sin().powi(2) / 2.0)
}

pub(super) fn unused_controls(set: &Gearset) -> impl Iterator<Item = Remark> + '_ {
    let restraints = set.states().iter().flat_map(|state| &state.restraints);
    let applied: HashSet<ControlId> = restraints
        .filter_map(|restraint| match restraint {
            Restraint::Control(control) => Some(*control),
            Restraint::Held(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
        })
        .collect();
    set.control_ids().filter(move |control| !applied.contains(control)).map(|control| Remark {
        kind: RemarkKind::UnusedControl,
        text: format!("no state applies \"{}\"", set.control(control).name()),
        parts: vec![RemarkedPart::Control(control)],
    })
}
