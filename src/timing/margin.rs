//! The margin of a group: the nearest wrong seating, mesh by mesh, and whether it could
//! go in unnoticed.
//!
//! The margin is the smallest positive local minimum of the largest tooth error, in
//! teeth, an exact fraction. As an arc at the pitch circle, an error of one tooth is pi
//! times the module. The wrong planet, its fellows and the free central gears each lean a
//! little, so a seating goes in unnoticed when the error at every mesh, as an arc, is not
//! more than the backlash there.

use super::equations::{Equation, matrix};
use super::wrong_seating::{goes_in_unnoticed, nearest_wrong_seating};
use crate::exact::{ExactFit, Fraction, Target, nearest_miss, to_float};
use crate::gearset::{Gearset, MeshId};

/// The nearest wrong seating of a group's planets on one pin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Margin {
    /// The largest error, in teeth.
    pub teeth: Fraction,
    /// The error at each mesh.
    pub errors: Vec<MeshError>,
    /// Whether a wrong seating stays within the backlash of every mesh: this one, or one
    /// whose errors fall where the play is larger. `None` where a pitch or a backlash is
    /// not given.
    pub unnoticed: Option<Fit>,
}

/// Whether a wrong seating goes in within the backlash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// It does: nobody will feel it.
    WithinBacklash,
    /// It does not.
    BeyondBacklash,
}

/// The error at one mesh of a wrong seating.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshError {
    /// The mesh.
    pub mesh: MeshId,
    /// The error in teeth, signed: counter-clockwise turn of the planet is positive.
    pub teeth: Fraction,
}

impl MeshError {
    /// The error as an arc at the pitch circle, in millimetres, without its sign; `None`
    /// where no pitch is given.
    pub fn arc(&self, set: &Gearset) -> Option<f64> {
        Some(to_float(&self.teeth).abs() * set.mesh(self.mesh).pitch()?.circular_pitch())
    }
}

impl Margin {
    /// The largest error as an arc at the pitch circle, in millimetres; `None` where the
    /// pitch of a mesh is not given.
    pub fn largest_arc(&self, set: &Gearset) -> Option<f64> {
        self.errors.iter().map(|error| error.arc(set)).try_fold(0.0, |largest, arc| Some(f64::max(largest, arc?)))
    }
}

/// The margin of a group that goes together; `None` where there is no wrong seating.
pub(super) fn margin(set: &Gearset, equations: &[Equation], planets: usize) -> Option<Margin> {
    let play = play(set, equations);
    if planets == 1 {
        let counts: Vec<i64> = equations.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
        let seating = nearest_wrong_seating(&counts)?;
        return Some(Margin {
            teeth: seating.largest_error,
            errors: errors(equations, seating.errors),
            unnoticed: play.map(|play| fit(goes_in_unnoticed(&counts, &play))),
        });
    }
    closest_seating(set, equations, planets, &Target::whole(equations.len()), ExactFit::LeftOut)
}

/// The seating that comes closest to a target given in teeth; `None` where there is none
/// within half a tooth, or where there are too many to look at.
pub(super) fn closest_seating(
    set: &Gearset,
    equations: &[Equation],
    planets: usize,
    target: &Target,
    exact_fit: ExactFit,
) -> Option<Margin> {
    let miss = nearest_miss(&matrix(equations, planets), target, exact_fit).ok()??;
    let errors = errors(equations, miss.errors);
    let unnoticed = play(set, equations)
        .map(|play| fit(errors.iter().zip(play).all(|(error, play)| to_float(&error.teeth).abs() <= play)));
    Some(Margin { teeth: miss.value, errors, unnoticed })
}

fn errors(equations: &[Equation], teeth: Vec<Fraction>) -> Vec<MeshError> {
    equations.iter().zip(teeth).map(|(row, teeth)| MeshError { mesh: row.mesh, teeth }).collect()
}

fn fit(fits: bool) -> Fit {
    if fits { Fit::WithinBacklash } else { Fit::BeyondBacklash }
}

/// The backlash of every mesh in teeth, if pitch and backlash are given for all.
fn play(set: &Gearset, equations: &[Equation]) -> Option<Vec<f64>> {
    equations
        .iter()
        .map(|row| {
            let mesh = set.mesh(row.mesh);
            Some(mesh.backlash()?.millimetres() / mesh.pitch()?.circular_pitch())
        })
        .collect()
}
