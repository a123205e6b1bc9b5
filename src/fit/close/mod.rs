//! Do all meshes of a pin close on its circle, with which shifts, and what does that make of the teeth?
//!
//! Each planet that meshes with a central gear stands on the pin circle that is described, or where its first such mesh
//! stands by counts and shifts. That distance asks a sum of shifts of each of its meshes; the sums are solved over
//! everything that meshes ([`Closing`](crate::clearance::Closing)), described shifts stay, and what is left to choose is
//! shared out as asked. Then every tooth is judged as it would be cut. Limits that are common practice are named where
//! they stand. Fit alone: nothing here proves a tooth strong enough.

mod allowed;
mod answer;
mod cutting;
mod gears;
mod meshes;
mod splits;
mod window;
mod within;

use allowed::AllowedShifts;
pub use allowed::ToothLimits;
pub use answer::{
    FaultWeight, GearFault, GearFit, GearShift, MeshFault, MeshFit, PinCircleFit, PinCircleOrigin, SharedShift,
    SplitShifts, SplitWay, ToothFit,
};

use crate::clearance::{FitQuestion, Gap, SizedGroup, TeethInMesh, as_described, gaps_of_teeth, is_with_main_axis};
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PlanetGroup};
use gears::gear_fit;
use meshes::mesh_fit;
use splits::{TeethToShare, shared_shifts, taken_shifts};
use window::pin_circle_fit;
pub(crate) use within::teeth_within;

/// What is asked of the teeth.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct CloseQuestion {
    /// How shifts are shared out that are not described.
    pub split: SplitWay,
    /// The mesh that the rules of two gears are applied to in the part of the train that it belongs to; the first of
    /// each part else.
    pub mesh: Option<MeshId>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FitRefusal {
    /// A mesh has no pitch, so nothing has a length.
    #[error("no pitch is known of {mesh}, so its teeth have no size")]
    NoPitch {
        /// The mesh, by its gears.
        mesh: String,
    },
    /// Every mesh is one of bevel gears.
    #[error("there is no mesh of spur gears")]
    NoSpurMesh,
    /// Nothing meshes.
    #[error("no gears are in mesh")]
    NoMesh,
}

impl FitRefusal {
    /// What to do instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoPitch { .. } => "give it: pitch: Module(2.5) in the description, or --module 2.5 or --dp 10",
            Self::NoSpurMesh => "bevel teeth are not spur teeth, and nothing is worked out for them here",
            Self::NoMesh => "say which gears mesh: meshes: [(\"S\", \"p\")] in the description",
        }
    }
}

/// How every mesh closes on its pin circle, and what that makes of the teeth.
///
/// # Errors
/// [`FitRefusal`] where teeth have no size, or none are those of spur gears.
///
/// # Examples
/// ```
/// use toothmark::{description, fit::{CloseQuestion, close}};
/// let text = r#"Gearset(
///     title: "Slipway winch", pitch: Module(2.5),
///     pin_circles: {"cluster": Millimetres(75)},
///     members: {"driven drum": [Sun("D", 30)], "low drum": [Sun("L", 24)], "carrier": []},
///     planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("d", 30), Gear("l", 37)])},
///     meshes: [("D", "d"), ("L", "l")],
/// )"#;
/// let fit = close(&description::read(text).unwrap(), &CloseQuestion::default()).unwrap();
/// assert!(fit.closes);
/// // 61 teeth of module 2.5 stand 76.25 mm apart without shift.
/// assert!((fit.meshes[1].shift_sum + 0.467_078).abs() < 1e-6);
/// ```
pub fn close(set: &Gearset, question: &CloseQuestion) -> Result<ToothFit, FitRefusal> {
    closed_teeth(set, question).map(|(fit, _)| fit)
}

/// The same with the teeth themselves.
pub(super) fn closed_teeth(set: &Gearset, question: &CloseQuestion) -> Result<(ToothFit, TeethInMesh), FitRefusal> {
    let (spur, left_out) = spur_meshes(set)?;
    let count = as_described(set);
    let mut asked = FitQuestion::described(set, &count);
    let described: Vec<MemberId> = asked.circles.iter().map(|(planet, _)| planet).collect();
    asked.circles.extend(circles_by_meshes(set, &asked.teeth(&spur), &described));
    let drawn = asked.teeth(&spur);
    let allowed = AllowedShifts::new(&asked, &drawn, &ToothLimits::default());
    let splits = shared_shifts(&TeethToShare { asked: &asked, teeth: &drawn, allowed: &allowed }, question);
    let chosen: Vec<(GearId, f64)> = taken_shifts(&splits);
    let taken = asked.with_chosen(&chosen);
    let teeth = taken.teeth(&spur);
    let meshes: Vec<MeshFit> = spur.iter().map(|&mesh| mesh_fit(set, &teeth, mesh)).collect();
    let gears: Vec<GearFit> = teeth.gears().map(|gear| gear_fit(set, &teeth, gear)).collect();
    let circle = |(planet, radius): (MemberId, f64)| {
        let is_described = described.contains(&planet);
        let origin = if is_described { PinCircleOrigin::Described } else { PinCircleOrigin::Mesh };
        pin_circle_fit(&TeethToShare { asked: &taken, teeth: &drawn, allowed: &allowed }, planet, radius, origin)
    };
    let neighbours = neighbours(set, &teeth);
    let is_sound = meshes.iter().flat_map(|mesh| &mesh.faults).all(|fault| fault.weight() > FaultWeight::Fails)
        && gears.iter().flat_map(|gear| &gear.faults).all(|fault| fault.weight() > FaultWeight::Fails)
        && !neighbours.iter().any(Gap::is_foul);
    let fit = ToothFit {
        gearset: set.title().to_owned(),
        closes: meshes.iter().all(|mesh| !mesh.faults.iter().any(MeshFault::keeps_open)),
        pin_circles: taken.circles.iter().map(circle).collect(),
        neighbours,
        meshes,
        gears,
        splits,
        sound: is_sound,
        left_out,
        split_asked: question.split,
    };
    Ok((fit, teeth))
}

/// Every spur mesh, each with a pitch, and the bevel meshes.
fn spur_meshes(set: &Gearset) -> Result<(Vec<MeshId>, Vec<MeshId>), FitRefusal> {
    let is_spur = |mesh: &MeshId| !set.gear(set.mesh(*mesh).gears().first).kind().is_bevel();
    let (spur, bevel): (Vec<MeshId>, Vec<MeshId>) = set.mesh_ids().partition(is_spur);
    if spur.is_empty() {
        return Err(if bevel.is_empty() { FitRefusal::NoMesh } else { FitRefusal::NoSpurMesh });
    }
    match spur.iter().find(|&&mesh| set.mesh(mesh).pitch().is_none()) {
        Some(&mesh) => Err(FitRefusal::NoPitch { mesh: set.mesh_name(mesh) }),
        None => Ok((spur, bevel)),
    }
}

/// The pin circles of planets of which none is described: where their first mesh with a central gear stands.
fn circles_by_meshes(set: &Gearset, teeth: &TeethInMesh, described: &[MemberId]) -> Vec<(MemberId, f64)> {
    let planets = set.planet_groups().iter().flat_map(PlanetGroup::planets).copied();
    let open = planets.filter(|planet| !described.contains(planet));
    let of_planet = |planet: MemberId| {
        let own = set.mesh_ids().filter(|&mesh| is_with_main_axis(set, mesh, planet));
        own.into_iter().find_map(|mesh| teeth.distance(mesh).ok()).map(|distance| (planet, distance))
    };
    open.filter_map(of_planet).collect()
}

/// The room between gears that are not in mesh, of every group whose pins have a place.
fn neighbours(set: &Gearset, teeth: &TeethInMesh) -> Vec<Gap> {
    let count = as_described(set);
    let of_group = |group| {
        let sizes = SizedGroup { set, group, count: &count, places: group.places() };
        gaps_of_teeth(&sizes, teeth).unwrap_or_default()
    };
    set.planet_groups().iter().flat_map(of_group).collect()
}
