//! How does one mesh work at its distance: angle, contact, backlash, room at the roots, tips where they should not be?

use super::answer::{MeshFault, MeshFit};
use super::cutting::form_radius;
use crate::clearance::FittedTeeth;
use crate::gearset::{GearId, Gearset, MeshId, Pair};
use crate::tooth::{
    FormRadii, InvolutePair, PathOfContact, RoomVerdict, Teeth, ToothError, largest_external_tip, mesh_backlash,
    path_of_contact, radial_entry, root_clearances, smallest_internal_tip, tips_foul, working_pressure_angle,
};

/// Below this contact ratio a mesh is commonly thought rough (common practice).
const SHORT_CONTACT: f64 = 1.2;
/// Below so many modules of root clearance dirt and run-out are commonly thought to reach the root (common practice).
const NEAR_ROOT: f64 = 0.15;
/// Backlash below zero by no more is rounding.
const ROUNDING_MM: f64 = 1e-6;

/// How one mesh works at its distance.
pub(super) fn mesh_fit(set: &Gearset, teeth: &FittedTeeth, mesh: MeshId) -> MeshFit {
    let gears = set.mesh(mesh).gears();
    let mut fit = MeshFit {
        gears,
        center_distance_mm: None,
        working_pressure_angle_degrees: None,
        shift_sum: 0.0,
        contact_ratio: None,
        backlash_mm: None,
        faults: why_open(teeth, mesh),
        root_clearances_mm: None,
        mesh,
    };
    match (teeth.pair(set, mesh), teeth.distance(mesh)) {
        (Ok(pair), Ok(distance)) => fill(&mut fit, &MeshAtWork { set, teeth, mesh, pair, distance }),
        _ if fit.faults.is_empty() => fit.faults.push(MeshFault::NoMesh),
        _ => {}
    }
    fit.faults.sort_by_key(MeshFault::weight);
    fit
}

/// Two gears in mesh at their distance.
struct MeshAtWork<'a> {
    set: &'a Gearset,
    teeth: &'a FittedTeeth,
    mesh: MeshId,
    pair: InvolutePair,
    distance: f64,
}

/// Why a mesh does not close on its pin circle.
fn why_open(teeth: &FittedTeeth, mesh: MeshId) -> Vec<MeshFault> {
    let open = teeth.closing.open.iter().filter(|open| open.mesh == mesh);
    let mut faults: Vec<MeshFault> = open.map(|open| MeshFault::DoesNotClose { shift_off: open.off }).collect();
    let impossible = teeth.impossible.iter().filter(|(other, _)| *other == mesh);
    let too_close = |reason: ToothError| reason == ToothError::TooClose;
    faults
        .extend(impossible.map(|(_, reason)| if too_close(*reason) { MeshFault::TooClose } else { MeshFault::NoMesh }));
    faults
}

fn fill(fit: &mut MeshFit, work: &MeshAtWork<'_>) {
    let MeshAtWork { pair, distance, .. } = work;
    fit.center_distance_mm = Some(*distance);
    fit.working_pressure_angle_degrees = working_pressure_angle(pair, *distance).ok().map(f64::to_degrees);
    fit.shift_sum = pair.shift_sum();
    let path = work.path();
    let ratio = path.map_or(0.0, |path| path.ratio);
    fit.contact_ratio = Some(ratio);
    if ratio < 1.0 {
        fit.faults.push(MeshFault::LetsGo { contact_ratio: ratio });
    } else if ratio < SHORT_CONTACT {
        fit.faults.push(MeshFault::ShortContact { contact_ratio: ratio });
    }
    if let Ok(backlash) = mesh_backlash(pair, *distance) {
        fit.backlash_mm = Some(backlash.at_pitch_circle);
        if backlash.at_pitch_circle < -ROUNDING_MM {
            fit.faults.push(MeshFault::Binds { by_mm: -backlash.at_pitch_circle });
        }
    }
    fit.root_clearances_mm = work.root_clearances();
    if let Some(clearances) = fit.root_clearances_mm {
        let both = [(fit.gears.first, clearances.first), (fit.gears.second, clearances.second)];
        fit.faults.extend(both.into_iter().filter_map(|(gear, clearance)| work.at_root(gear, clearance)));
    }
    fit.faults.extend(work.tips_beyond_flanks());
    if pair.has_ring() {
        fit.faults.extend(tips_foul(pair.first(), pair.second(), *distance).then_some(MeshFault::TipsMeet));
        let entry = radial_entry(pair).ok();
        let goes_in = entry.is_some_and(|entry| entry.verdict(RoomVerdict::ROUNDING) != RoomVerdict::Lacking);
        fit.faults.extend((!goes_in).then_some(MeshFault::AlongAxisOnly));
    }
}

/// Where the tips of a mesh make its flanks work, whether or not there is involute.
pub(super) fn path_in(set: &Gearset, teeth: &FittedTeeth, mesh: MeshId) -> Option<(PathOfContact, Pair<GearId>)> {
    let (pair, distance) = (teeth.pair(set, mesh).ok()?, teeth.distance(mesh).ok()?);
    let path = path_of_contact(&pair, distance, FormRadii::default()).ok()?;
    Some((path, MeshAtWork { set, teeth, mesh, pair, distance }.gears()))
}

impl MeshAtWork<'_> {
    /// The gears in the order of the pair, a ring last.
    fn gears(&self) -> Pair<GearId> {
        let Pair { first, second } = self.set.mesh(self.mesh).gears();
        if self.teeth.form(first).teeth == Teeth::Internal {
            Pair { first: second, second: first }
        } else {
            Pair { first, second }
        }
    }

    fn path(&self) -> Result<PathOfContact, ToothError> {
        let end = |gear| form_radius(self.set, self.teeth, gear);
        let Pair { first, second } = self.gears();
        path_of_contact(&self.pair, self.distance, FormRadii { first: end(first), second: end(second) })
    }

    /// From the tip of each gear to the root of the other, in the order of the mesh.
    fn root_clearances(&self) -> Option<Pair<f64>> {
        let found = root_clearances(&self.pair, self.distance).ok()?;
        let in_order = self.gears() == self.set.mesh(self.mesh).gears();
        let (first, second) = (found.at_first_tip, found.at_second_tip);
        Some(if in_order { Pair { first, second } } else { Pair { first: second, second: first } })
    }

    fn at_root(&self, gear: GearId, clearance: f64) -> Option<MeshFault> {
        if clearance < -RoomVerdict::ROUNDING {
            Some(MeshFault::TipFoulsRoot { gear, by_mm: -clearance })
        } else {
            let near = NEAR_ROOT * self.teeth.form(gear).module;
            (clearance < near).then_some(MeshFault::TipNearRoot { gear, clearance_mm: clearance })
        }
    }

    /// Tips that reach past the point where the line of action touches the partner's base circle.
    fn tips_beyond_flanks(&self) -> Vec<MeshFault> {
        let (first, second) = (self.pair.first(), self.pair.second());
        let gears = self.gears();
        let beyond = |gear: GearId, by: f64| {
            (by > RoomVerdict::ROUNDING).then_some(MeshFault::TipBeyondFlank { gear, by_mm: by })
        };
        let limit = largest_external_tip(first, second, self.distance);
        let found = if self.pair.has_ring() {
            let least = smallest_internal_tip(second, first, self.distance);
            [least.and_then(|least| beyond(gears.second, least - second.tip_radius())), None]
        } else {
            let of_second = largest_external_tip(second, first, self.distance);
            [
                limit.and_then(|limit| beyond(gears.first, first.tip_radius() - limit)),
                of_second.and_then(|limit| beyond(gears.second, second.tip_radius() - limit)),
            ]
        };
        found.into_iter().flatten().collect()
    }
}

impl MeshFault {
    /// Whether a mesh with this fault does not close.
    pub fn keeps_open(&self) -> bool {
        matches!(self, Self::DoesNotClose { .. } | Self::TooClose | Self::NoMesh)
    }
}
