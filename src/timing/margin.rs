//! The margin of a group: the nearest wrong seating, mesh by mesh, and whether it could
//! go in unnoticed.
//!
//! Of all seatings that are not right the margin belongs to the one whose worst mesh is
//! least out, in teeth, an exact fraction. One tooth is an arc of pi times the module at
//! the pitch circle. Since right planets and central gears give way as well, within their
//! own backlash, a wrong planet goes in where none of its meshes is out by more than the
//! backlash there.

use super::wrong_seating::{least_play_factor, nearest_wrong_seating};
use crate::exact::{ExactFit, Fraction, Target, TooManyClasses, nearest_miss, to_float};
use crate::gearset::{Gearset, MeshId, TimingRow, TimingRows};

/// How far a seating of a group's planets on one pin is from right: the nearest wrong
/// seating, or the closest one of a pin where none is right.
#[derive(Debug, Clone, PartialEq)]
pub struct Margin {
    /// The largest error, in teeth.
    pub teeth: Fraction,
    /// The error at each mesh.
    pub errors: Vec<MeshError>,
    /// Whether a seating that is not right stays within the backlash of every mesh: this
    /// one, or one whose errors fall where the play is larger. `None` where a pitch or a
    /// backlash is not given.
    pub unnoticed: Option<Fit>,
    /// The least backlash, in millimetres at the pitch circle and the same at every mesh,
    /// with which a seating that is not right goes in: this one, or one whose errors fall
    /// on finer gears. `None` where a pitch is not given.
    pub least_backlash: Option<f64>,
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
        largest_arc(set, &self.errors)
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
pub(super) fn margin(set: &Gearset, rows: &TimingRows) -> Result<Option<Margin>, TooManyClasses> {
    if rows.planet_count() > 1 {
        return closest_seating(set, rows, &Target::whole(rows.len()), ExactFit::LeftOut);
    }
    let counts: Vec<i64> = rows.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    Ok(nearest_wrong_seating(&counts).map(|seating| {
        let errors = errors(rows, seating.errors);
        let largest_arc = largest_arc(set, &errors);
        Margin {
            teeth: seating.largest_error,
            unnoticed: play(set, rows).map(|play| least_play_factor(&counts, &play, 1.0).is_some().into()),
            least_backlash: largest_arc
                .zip(teeth_per_millimetre(set, rows))
                .map(|(arc, play)| least_play_factor(&counts, &play, arc).unwrap_or(arc)),
            errors,
        }
    }))
}

/// By how much of a tooth the nearest wrong seating of planets with these rows is out; `None` where there is none.
///
/// # Errors
/// [`TooManyClasses`] for planets that mesh with one another in very many ways.
pub(crate) fn least_error_of_wrong(rows: &TimingRows) -> Result<Option<Fraction>, TooManyClasses> {
    if rows.planet_count() > 1 {
        let target = Target::whole(rows.len());
        return Ok(nearest_miss(&rows.matrix(), &target, ExactFit::LeftOut)?.map(|miss| miss.value));
    }
    let counts: Vec<i64> = rows.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    Ok(nearest_wrong_seating(&counts).map(|seating| seating.largest_error))
}

/// The seating that comes closest to a target given in teeth; `None` where there is none
/// within half a tooth.
///
/// # Errors
/// [`TooManyClasses`] where there are too many to look at.
pub(super) fn closest_seating(
    set: &Gearset,
    rows: &TimingRows,
    target: &Target,
    exact_fit: ExactFit,
) -> Result<Option<Margin>, TooManyClasses> {
    let matrix = rows.matrix();
    let Some(miss) = nearest_miss(&matrix, target, exact_fit)? else { return Ok(None) };
    let least_factor = |play: Option<Vec<f64>>| -> Result<Option<f64>, TooManyClasses> {
        let Some(play) = play else { return Ok(None) };
        let weighed = Target { tolerances: play.into_iter().map(tolerance).collect(), ..target.clone() };
        let easiest = nearest_miss(&matrix, &weighed, exact_fit)?;
        Ok(Some(easiest.map_or(f64::INFINITY, |easiest| to_float(&easiest.value))))
    };
    Ok(Some(Margin {
        teeth: miss.value,
        errors: errors(rows, miss.errors),
        unnoticed: least_factor(play(set, rows))?.map(|factor| (factor <= 1.0).into()),
        least_backlash: least_factor(teeth_per_millimetre(set, rows))?.filter(|factor| factor.is_finite()),
    }))
}

/// Play in teeth as an exact tolerance, which has to be more than none.
fn tolerance(play: f64) -> Fraction {
    const LEAST: f64 = 1e-9;
    Fraction::from_float(play.max(LEAST)).expect("pitch and backlash are finite")
}

fn errors(rows: &[TimingRow], teeth: Vec<Fraction>) -> Vec<MeshError> {
    rows.iter().zip(teeth).map(|(row, teeth)| MeshError { mesh: row.mesh, teeth }).collect()
}

/// The backlash of every mesh in teeth, if pitch and backlash are given for all.
pub(super) fn play(set: &Gearset, rows: &[TimingRow]) -> Option<Vec<f64>> {
    // Beyond half a tooth the next seating begins.
    const MOST: f64 = 0.499;
    let backlash = rows.iter().map(|row| Some(set.mesh(row.mesh).backlash()?.millimetres()));
    let teeth = backlash.zip(teeth_per_millimetre(set, rows)?).map(|(arc, teeth)| Some((arc? * teeth).min(MOST)));
    teeth.collect()
}

/// How many teeth of every mesh a millimetre at the pitch circle is, if every pitch is given.
pub(super) fn teeth_per_millimetre(set: &Gearset, rows: &[TimingRow]) -> Option<Vec<f64>> {
    rows.iter().map(|row| Some(1.0 / set.mesh(row.mesh).pitch()?.circular_pitch())).collect()
}

/// The largest error as an arc at the pitch circle, in millimetres, if every pitch is given.
fn largest_arc(set: &Gearset, errors: &[MeshError]) -> Option<f64> {
    errors.iter().map(|error| error.arc(set)).try_fold(0.0, |largest, arc| Some(f64::max(largest, arc?)))
}
