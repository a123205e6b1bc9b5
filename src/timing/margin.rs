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
use crate::exact::{ExactFit, Fraction, Target, TooManyClasses, fraction, nearest_miss, to_float};
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

impl From<bool> for Fit {
    fn from(fits: bool) -> Self {
        if fits { Self::WithinBacklash } else { Self::BeyondBacklash }
    }
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

/// Whether every seating was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarginSearch {
    /// Every one: a margin found is the margin, and where none is found there is none.
    Complete,
    /// There were too many; no margin is given.
    GivenUp,
}

/// The margin of planets that go together; `None` where there is no wrong seating.
///
/// # Errors
/// [`TooManyClasses`] for planets that mesh with one another in very many ways.
pub(super) fn margin(set: &Gearset, equations: &[Equation], planets: usize) -> Result<Option<Margin>, TooManyClasses> {
    if planets > 1 {
        return closest_seating(set, equations, planets, &Target::whole(equations.len()), ExactFit::LeftOut);
    }
    let counts: Vec<i64> = equations.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    Ok(nearest_wrong_seating(&counts).map(|seating| Margin {
        teeth: seating.largest_error,
        errors: errors(equations, seating.errors),
        unnoticed: play(set, equations).map(|play| goes_in_unnoticed(&counts, &play).into()),
    }))
}

/// The seating that comes closest to a target given in teeth; `None` where there is none
/// within half a tooth.
///
/// # Errors
/// [`TooManyClasses`] where there are too many to look at.
pub(super) fn closest_seating(
    set: &Gearset,
    equations: &[Equation],
    planets: usize,
    target: &Target,
    exact_fit: ExactFit,
) -> Result<Option<Margin>, TooManyClasses> {
    let matrix = matrix(equations, planets);
    let Some(miss) = nearest_miss(&matrix, target, exact_fit)? else { return Ok(None) };
    let unnoticed = match play(set, equations) {
        None => None,
        Some(play) => {
            let weighed = Target { tolerances: play.into_iter().map(tolerance).collect(), ..target.clone() };
            let easiest = nearest_miss(&matrix, &weighed, exact_fit)?;
            Some(easiest.is_some_and(|easiest| easiest.value <= fraction(1, 1)).into())
        }
    };
    Ok(Some(Margin { teeth: miss.value, errors: errors(equations, miss.errors), unnoticed }))
}

/// Play in teeth as an exact tolerance: more than none, and less than half a tooth,
/// beyond which the next seating begins.
fn tolerance(play: f64) -> Fraction {
    const LEAST: f64 = 1e-9;
    const MOST: f64 = 0.499;
    Fraction::from_float(play.clamp(LEAST, MOST)).expect("a clamped float is finite")
}

fn errors(equations: &[Equation], teeth: Vec<Fraction>) -> Vec<MeshError> {
    equations.iter().zip(teeth).map(|(row, teeth)| MeshError { mesh: row.mesh, teeth }).collect()
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
