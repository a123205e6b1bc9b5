//! The margin of a group: the nearest wrong seating, mesh by mesh, and whether it could
//! go in unnoticed.
//!
//! Of all seatings that are not right the margin belongs to the one whose worst mesh is
//! least out, in teeth, an exact fraction. One tooth is an arc of pi times the module at
//! the pitch circle. Since right planets and central gears give way as well, within their
//! own backlash, a wrong planet goes in where none of its meshes is out by more than the
//! backlash there.

use super::by_hand::{ByHand, EASE_BY_FORCE, MeshPlay, Room, by_hand};
use super::wrong::least_backlash;
use super::wrong_seating::{least_play_factor, nearest_wrong_seating};
use crate::exact::{ExactFit, Fraction, Target, TooManyClasses, nearest_miss, to_float};
use crate::gearset::{Gearset, MeshId, TimingRow, TimingRows};
use serde::Serialize;

/// How far a seating of a group's planets on one pin is from right: the nearest wrong
/// seating, or the closest one of a pin where none is right.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SeatingError {
    /// The largest error, in teeth.
    pub teeth: Fraction,
    /// The largest error as an arc at the pitch circle, in millimetres; none where a pitch is not given.
    pub mm: Option<f64>,
    /// The error at each mesh.
    pub errors: Vec<MeshError>,
    /// What a hand notices at the seating that is not right and goes in most easily: this
    /// one, or one whose errors fall where the backlash is larger. None where a pitch or a
    /// backlash is not given.
    pub by_hand: Option<ByHand>,
    /// The least backlash, in millimetres at the pitch circle and the same at every mesh,
    /// with which a seating that is not right goes in: this one, or one whose errors fall
    /// on finer gears. None where a pitch is not given.
    pub least_backlash_mm: Option<f64>,
}

/// The error at one mesh of a wrong seating.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
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

/// Whether every seating was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum MarginSearch {
    /// Every one: a margin found is the margin, and where none is found there is none.
    #[default]
    Complete,
    /// There were too many; no margin is given.
    #[serde(rename = "given up")]
    GivenUp,
}

/// The margin of planets that go together; `None` where there is no wrong seating.
///
/// # Errors
/// [`TooManyClasses`] for planets that mesh with one another in very many ways.
pub(super) fn margin(set: &Gearset, rows: &TimingRows) -> Result<Option<SeatingError>, TooManyClasses> {
    let sizes = MeshPlay::of(set, rows);
    let found = if rows.planet_count() > 1 {
        closest_seating(set, rows, &Target::integers(rows.len()), ExactFit::LeftOut)?
    } else {
        margin_of_cluster(set, rows, &sizes)?
    };
    // Where no seating goes in before the finest mesh takes up half a tooth, every one is looked at.
    let least_backlash =
        |margin: &SeatingError| margin.least_backlash_mm.or_else(|| least_backlash(rows, &sizes.pitches()?));
    Ok(found.map(|margin| SeatingError { least_backlash_mm: least_backlash(&margin), ..margin }))
}

fn margin_of_cluster(
    set: &Gearset,
    rows: &TimingRows,
    sizes: &MeshPlay,
) -> Result<Option<SeatingError>, TooManyClasses> {
    let counts: Vec<i64> = rows.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    let Some(seating) = nearest_wrong_seating(&counts) else { return Ok(None) };
    let goes_in = |rooms: &[Room]| {
        let play: Vec<f64> = rooms.iter().map(Room::play).collect();
        Ok(least_play_factor(&counts, &play, 1.0).is_some())
    };
    let errors = errors(rows, seating.errors);
    let mm = largest_arc(set, &errors);
    Ok(Some(SeatingError {
        teeth: seating.largest_error,
        mm,
        by_hand: sizes.rooms().map(|rooms| by_hand(&rooms, EASE_BY_FORCE, goes_in)).transpose()?,
        // Of one pitch the least error in teeth is the least arc.
        least_backlash_mm: mm.filter(|_| !sizes.pitches_differ()),
        errors,
    }))
}

/// By how much of a tooth the nearest wrong seating of planets with these rows is out; `None` where there is none.
///
/// # Errors
/// [`TooManyClasses`] for planets that mesh with one another in very many ways.
pub(crate) fn least_error_of_wrong(rows: &TimingRows) -> Result<Option<Fraction>, TooManyClasses> {
    if rows.planet_count() > 1 {
        let target = Target::integers(rows.len());
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
) -> Result<Option<SeatingError>, TooManyClasses> {
    let matrix = rows.matrix();
    let Some(miss) = nearest_miss(&matrix, target, exact_fit)? else { return Ok(None) };
    // By what the backlash of every mesh, in teeth, has to be multiplied for some seating to go in.
    let least_factor = |play: Vec<f64>| -> Result<Option<f64>, TooManyClasses> {
        let weighed = Target { tolerances: play.into_iter().map(tolerance).collect(), ..target.clone() };
        Ok(nearest_miss(&matrix, &weighed, exact_fit)?.map(|easiest| to_float(&easiest.value)))
    };
    let goes_in = |rooms: &[Room]| {
        let factor = least_factor(rooms.iter().map(Room::play).collect())?;
        Ok(factor.is_some_and(|factor| factor <= 1.0))
    };
    let sizes = MeshPlay::of(set, rows);
    let errors = errors(rows, miss.errors);
    let teeth_per_millimetre = sizes.pitches().map(|pitches| pitches.iter().map(|pitch| 1.0 / pitch).collect());
    Ok(Some(SeatingError {
        teeth: miss.value,
        mm: largest_arc(set, &errors),
        errors,
        by_hand: sizes.rooms().map(|rooms| by_hand(&rooms, EASE_BY_FORCE, goes_in)).transpose()?,
        least_backlash_mm: teeth_per_millimetre.map(least_factor).transpose()?.flatten(),
    }))
}

/// Backlash in teeth as an exact tolerance, which has to be more than none.
fn tolerance(play: f64) -> Fraction {
    const LEAST: f64 = 1e-9;
    Fraction::from_float(play.max(LEAST)).expect("pitch and backlash are finite")
}

fn errors(rows: &[TimingRow], teeth: Vec<Fraction>) -> Vec<MeshError> {
    rows.iter().zip(teeth).map(|(row, teeth)| MeshError { mesh: row.mesh, teeth }).collect()
}

/// The largest error as an arc at the pitch circle, in millimetres, if every pitch is given.
fn largest_arc(set: &Gearset, errors: &[MeshError]) -> Option<f64> {
    errors.iter().map(|error| error.arc(set)).try_fold(0.0, |largest, arc| Some(f64::max(largest, arc?)))
}
