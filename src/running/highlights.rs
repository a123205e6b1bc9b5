//! What wears, howls and bursts first: the fastest planet on its pins, the fastest member, the mesh with most teeth under
//! load.

use super::state::{FastestPart, RunningState};
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId, MeshId};
use crate::statics::MeshWork;
use num_traits::{Signed, Zero};
use serde::Serialize;

/// The state in which most teeth pass a mesh under load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BusiestMesh {
    /// The state.
    pub state: String,
    /// The two gears.
    pub gears: MeshId,
    /// How many teeth of either pass in one turn of the input.
    pub teeth: Fraction,
}

/// What is fastest in a state: the planet on its pins, then the member of the main axis in the case, the input left out.
pub(super) fn fastest_in(set: &Gearset, state: &RunningState) -> [Option<FastestPart>; 2] {
    let part = |member, against, speed: &Fraction| FastestPart {
        state: state.state.clone(),
        member,
        against,
        speed: speed.clone(),
    };
    let on_pins = state.bearings.iter().filter(|bearing| bearing.on_pin);
    let on_pins = on_pins.filter_map(|bearing| Some(part(bearing.first, bearing.second, bearing.relative.as_ref()?)));
    let input = set.state_named(&state.state).map(|found| found.input);
    let in_case = state.members.iter().filter(|found| set.is_on_main_axis(found.member) && Some(found.member) != input);
    let in_case = in_case.filter_map(|found| Some(part(found.member, MemberId::CASE, found.speed.as_ref()?)));
    [fastest(on_pins), fastest(in_case)]
}

/// The fastest of all in either sense, the first of several; what stands is none.
pub(super) fn fastest(parts: impl Iterator<Item = FastestPart>) -> Option<FastestPart> {
    let turning = parts.filter(|part| !part.speed.is_zero());
    turning.reduce(|most, part| if part.speed.abs() > most.speed.abs() { part } else { most })
}

/// The mesh that most teeth pass under load, the first of several.
pub(super) fn busiest_mesh(states: &[RunningState]) -> Option<BusiestMesh> {
    let mut busiest: Option<BusiestMesh> = None;
    for (state, mesh) in states.iter().flat_map(|state| state.meshes.iter().map(move |mesh| (state, mesh))) {
        let Some(teeth) = mesh.teeth.as_ref().filter(|_| mesh.work == MeshWork::Loaded) else { continue };
        if busiest.as_ref().is_none_or(|most| *teeth > most.teeth) {
            busiest = Some(BusiestMesh { state: state.state.clone(), gears: mesh.gears, teeth: teeth.clone() });
        }
    }
    busiest
}
