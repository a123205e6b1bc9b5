//! How does one mesh work at its distance: angle, contact, backlash, room at the roots, tips where they should not be?

use super::answer::{MeshFault, MeshFit};
use super::cutting::form_radius;
use crate::clearance::{MeshInPlace, TeethInMesh};
use crate::gearset::{GearId, Gearset, MeshId, Pair};
use crate::tooth::{
    FormRadii, InvolutePair, PathOfContact, RoomVerdict, Teeth, ToothError, ToothForm, path_of_contact, radial_entry,
    root_clearances, tip_limits, tips_foul, working_pressure_angle,
};

/// Below this contact ratio a mesh is commonly thought rough (common practice).
const SHORT_CONTACT: f64 = 1.2;
/// Below so many modules of root clearance dirt and run-out are commonly thought to reach the root (common practice).
const NEAR_ROOT: f64 = 0.15;
/// Backlash of no more is rounding: shifts are written with four decimals.
const ROUNDING_MM: f64 = 1e-3;

/// How one mesh works at its distance.
pub(super) fn mesh_fit(set: &Gearset, teeth: &TeethInMesh, mesh: MeshId) -> MeshFit {
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
    teeth: &'a TeethInMesh,
    mesh: MeshId,
    pair: InvolutePair,
    distance: f64,
}

/// Why a mesh does not close on its pin circle.
fn why_open(teeth: &TeethInMesh, mesh: MeshId) -> Vec<MeshFault> {
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
    if let Some(arc) = work.backlash() {
        fit.backlash_mm = Some(if (-ROUNDING_MM..0.0).contains(&arc) { 0.0 } else { arc });
        if arc < -ROUNDING_MM {
            fit.faults.push(MeshFault::Binds { by_mm: -arc });
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
        // Of tips inside the base circle it cannot be told, and that they have no involute is told of the gear.
        let is_stuck =
            radial_entry(pair).is_ok_and(|entry| entry.verdict(RoomVerdict::ROUNDING) == RoomVerdict::Lacking);
        fit.faults.extend(is_stuck.then_some(MeshFault::AlongAxisOnly));
    }
}

/// Where the tips of a mesh make its flanks work, whether or not there is involute; its gears in the order of the pair.
pub(super) fn path_in(set: &Gearset, teeth: &TeethInMesh, mesh: MeshId) -> Option<(PathOfContact, Pair<GearId>)> {
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
        path_of_contact(&self.pair, self.distance, self.ends())
    }

    /// Where the involutes of the pair end near their roots.
    fn ends(&self) -> FormRadii {
        let end = |gear| form_radius(&self.teeth.form(gear));
        let Pair { first, second } = self.gears();
        FormRadii { first: end(first), second: end(second) }
    }

    /// At the pitch circles.
    fn backlash(&self) -> Option<f64> {
        let in_place = MeshInPlace::new(self.set, self.teeth, self.mesh)?;
        in_place.backlash_at(in_place.distance).ok().map(|backlash| backlash.at_pitch_circle)
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

    /// Tips that reach below the involute of their partner: past the point where the line of action touches its base
    /// circle, or where its cutter leaves no involute.
    fn tips_beyond_flanks(&self) -> Vec<MeshFault> {
        let Ok(limits) = tip_limits(&self.pair, self.distance, self.ends()) else { return Vec::new() };
        let (gears, pair) = (self.gears(), &self.pair);
        let of_first = limits.first.and_then(|limit| beyond(gears.first, pair.first(), limit));
        of_first.into_iter().chain(beyond(gears.second, pair.second(), limits.second)).collect()
    }
}

/// A tip that reaches beyond this radius, of a ring inside it.
fn beyond(gear: GearId, form: &ToothForm, limit: f64) -> Option<MeshFault> {
    let by = if form.teeth == Teeth::Internal { limit - form.tip_radius() } else { form.tip_radius() - limit };
    let fault = MeshFault::TipBeyondFlank { gear, by_mm: by, tip_diameter_mm: 2.0 * limit };
    (by > RoomVerdict::ROUNDING).then_some(fault)
}

impl MeshFault {
    /// Whether a mesh with this fault does not close.
    pub fn keeps_open(&self) -> bool {
        matches!(self, Self::DoesNotClose { .. } | Self::TooClose | Self::NoMesh)
    }
}
