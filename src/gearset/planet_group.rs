//! Planets that are timed together: those connected by meshes among themselves, or one alone.
//!
//! All planets of a group stand on pins of one carrier, as many pins for each and at the same
//! distances; which planets belong together is worked out when a draft is checked.

use super::{MemberId, MeshId};
use crate::exact::{Fraction, part_of_turn};

/// Planets that are timed together: those connected by meshes among themselves, or one alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanetGroup {
    pub(super) carrier: MemberId,
    pub(super) planets: Vec<MemberId>,
    pub(super) places: Vec<Fraction>,
    pub(super) meshes: Vec<MeshId>,
}

impl PlanetGroup {
    /// The carrier of the pins.
    pub fn carrier(&self) -> MemberId {
        self.carrier
    }

    /// The planets, in the order of the description.
    pub fn planets(&self) -> &[MemberId] {
        &self.planets
    }

    /// The place of each pin of the first planet, in turns, in [0, 1), as described.
    pub fn places(&self) -> &[Fraction] {
        &self.places
    }

    /// How far each pin is from the first, in turns, in [0, 1).
    pub fn spacings(&self) -> Vec<Fraction> {
        spacings(&self.places)
    }

    /// Every mesh of these planets.
    pub fn meshes(&self) -> &[MeshId] {
        &self.meshes
    }
}

/// How far each place is from the first, in turns, in [0, 1).
pub(super) fn spacings(places: &[Fraction]) -> Vec<Fraction> {
    places.iter().map(|place| part_of_turn(&(place - &places[0]))).collect()
}
