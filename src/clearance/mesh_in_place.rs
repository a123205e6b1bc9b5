//! A mesh at its centre distance: how much backlash has it there, and how much elsewhere?
//!
//! The distance is that of the pin circle where one is known, whether or not shifts close the mesh on it; else that of the
//! teeth as they fit. Where the backlash of the mesh is described the teeth are taken to be thinner by what is missing to
//! it: at the pitch circles a thinning adds its own length to the backlash, at whatever distance ([`mesh_backlash`]).

use serde::Serialize;

use super::fitted::TeethInMesh;
use crate::gearset::{Gearset, Length, MeshId};
use crate::tooth::{
    InvolutePair, MeshBacklash, RoomVerdict, ToothError, ToothForm, closed_distance, mesh_backlash, shift_of_thickness,
    thickness_at_pitch_circle, working_pressure_angle,
};

/// Where the backlash of a mesh is known from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum BacklashSource {
    /// It is described, or given with the question.
    #[serde(rename = "described")]
    Described,
    /// It follows from the teeth: their shifts, their thinning, the pin circle.
    #[serde(rename = "teeth")]
    Teeth,
    /// It is not known: what is told is what comes to it and what goes off it.
    #[serde(rename = "not known")]
    NotKnown,
}

/// A mesh at its centre distance.
#[derive(Debug, Clone)]
pub(crate) struct MeshInPlace {
    pub(crate) mesh: MeshId,
    pub(crate) source: BacklashSource,
    /// With every pin in its place, in millimetres.
    pub(crate) distance: f64,
    /// Its gears, as thin as their backlash asks for.
    pair: InvolutePair,
}

impl MeshInPlace {
    /// A mesh with its teeth as they fit; `None` where they have no place.
    pub(crate) fn new(set: &Gearset, teeth: &TeethInMesh, mesh: MeshId) -> Option<Self> {
        let as_cut = teeth.pair(set, mesh).ok()?;
        let distance = match teeth.circles.of_mesh(set, mesh) {
            Some(circle) => circle,
            None => teeth.distance(mesh).ok()?,
        };
        let now = mesh_backlash(&as_cut, distance).ok()?.at_pitch_circle;
        let described = set.mesh(mesh).backlash().map(Length::millimetres);
        let missing = described.map_or(0.0, |described| described - now);
        let thinned = ToothForm { thinning: as_cut.first().thinning + missing, ..*as_cut.first() };
        let pair = InvolutePair::new(&thinned, as_cut.second()).ok()?;
        let is_known = || set.mesh(mesh).gears().each().iter().any(|&gear| teeth.is_thickness_known(gear));
        let source = if described.is_some() {
            BacklashSource::Described
        } else if is_known() || now.abs() > RoomVerdict::ROUNDING {
            BacklashSource::Teeth
        } else {
            BacklashSource::NotKnown
        };
        Some(Self { mesh, source, distance, pair })
    }

    /// The backlash at a centre distance.
    ///
    /// # Errors
    /// As [`mesh_backlash`].
    pub(crate) fn backlash_at(&self, distance: f64) -> Result<MeshBacklash, ToothError> {
        mesh_backlash(&self.pair, distance)
    }

    /// The backlash in its place, as an arc at the pitch circles in millimetres, where it is known.
    pub(crate) fn known_backlash(&self) -> Option<f64> {
        let known = (self.source != BacklashSource::NotKnown).then(|| self.backlash_at(self.distance).ok());
        known.flatten().map(|backlash| backlash.at_pitch_circle)
    }

    /// Whether a pin further out gives it more backlash: that of two external gears; one in a ring loses it.
    pub(crate) fn gains_outward(&self) -> bool {
        !self.pair.has_ring()
    }

    /// The centre distance at which no backlash is left: there teeth of their real thickness close.
    ///
    /// # Errors
    /// As [`closed_distance`].
    pub(crate) fn closed_distance(&self) -> Result<f64, ToothError> {
        let thick = |gear: &ToothForm| -> Result<ToothForm, ToothError> {
            let full = ToothForm { thinning: 0.0, ..*gear };
            Ok(ToothForm { profile_shift: shift_of_thickness(&full, thickness_at_pitch_circle(gear)?)?, ..full })
        };
        closed_distance(&InvolutePair::new(&thick(self.pair.first())?, &thick(self.pair.second())?)?)
    }

    /// The pressure angle at the working circles, in radians.
    pub(crate) fn working_pressure_angle(&self) -> Option<f64> {
        working_pressure_angle(&self.pair, self.distance).ok()
    }

    /// Its gears: the one inside a ring first, else in the order of the description.
    pub(crate) fn pair(&self) -> &InvolutePair {
        &self.pair
    }
}
