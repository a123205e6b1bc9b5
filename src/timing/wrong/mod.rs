//! Every wrong seating of the planets on one pin: how far each is out, and what a hand feels.
//!
//! A wrong seating is a positive local minimum of the largest tooth error: whole teeth `n_i`
//! at each mesh and what is left over, the error. One cluster is swept tooth by tooth
//! ([`seating_sweep`]), planets in mesh with one another are searched class by class
//! ([`misses_within`]). With a pitch an error is an arc; with a backlash as well it shows
//! where the planet settles ([`settling`]) and whether it goes in ([`by_hand`](super::by_hand)).

mod dial_reading;
mod seating_sweep;
mod settling;
mod tight_spots;

pub use dial_reading::{DialReading, DialReadingProblem, backlash_at_pitch_circle, with_dial_readings};
pub use tight_spots::{MeshRhythm, TightSpots, tight_spots};

use std::convert::Infallible;

use num_traits::ToPrimitive;

use crate::exact::{Congruences, Fraction, TooManyClasses, circuits, fraction, misses_within, multiple, to_float};
use crate::gearset::{Gearset, MemberId, MeshId, PlanetGroup, TimingRow, TimingRows};
use crate::kinematics::motions;
use crate::timing::by_hand::{ByHand, EASE_BY_FORCE, LEAST, Room, Sizes, by_hand};
use crate::timing::solver::Solver;
use seating_sweep::seatings_within;
use settling::Settling;

/// What is asked of [`wrong_seatings`].
#[derive(Debug, Clone, PartialEq)]
pub struct SeatingQuestion {
    /// The largest error, in teeth, up to which wrong seatings are listed; no error is above
    /// half a tooth.
    pub within: Fraction,
    /// How much of a shortage of play is taken up by force, in millimetres.
    pub ease_by_force: f64,
}

impl Default for SeatingQuestion {
    fn default() -> Self {
        Self { within: fraction(1, 2), ease_by_force: EASE_BY_FORCE }
    }
}

/// The wrong seatings of one group of planets.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupSeatings {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// The number of pins.
    pub pins: usize,
    /// What was found.
    pub found: FoundSeatings,
    /// The largest error, in teeth, with which a planet could go in unnoticed or by force at
    /// all, at any mesh; `None` where a pitch or a backlash is not given.
    pub farthest_by_hand: Option<f64>,
    /// How often a tight spot comes round in each state, by the part that carries it.
    pub tight_spots: Vec<TightSpots>,
}

/// The wrong seatings found, or why none are looked for.
#[derive(Debug, Clone, PartialEq)]
pub enum FoundSeatings {
    /// Every one within the error asked for, the least wrong first: that with the smallest largest error in
    /// teeth, or, where pitches are given that differ, that which [goes in from](WrongSeating::goes_in_from) the
    /// least backlash. Of two that mirror each
    /// other only one is listed, that in which the first planet that turns differently is
    /// turned counter-clockwise seen from the input side: the other has every sign reversed.
    Every(Vec<WrongSeating>),
    /// There is one pin, and so no fellow from which its planets could differ.
    OnePin,
    /// The planets do not go together, so there is no right seating to be off from.
    DoesNotGoTogether,
    /// There are too many to look at.
    TooMany,
}

/// A wrong seating of the planets on one pin.
#[derive(Debug, Clone, PartialEq)]
pub struct WrongSeating {
    /// The largest error, in teeth.
    pub largest_error: Fraction,
    /// How far each planet is turned from the nearest right seating, in turns,
    /// counter-clockwise seen from the input side positive; for several planets the nearest
    /// for the first, of these for the second, and so on.
    pub turns: Vec<Fraction>,
    /// Every mesh of the planets.
    pub meshes: Vec<WrongMesh>,
    /// The backlash with which it goes in, in millimetres at the pitch circle, the same at
    /// every mesh; `None` where a pitch is not given.
    pub goes_in_from: Option<f64>,
    /// The play that is left in the tightest mesh once the planets have settled where it is
    /// most, in millimetres; negative: it is short of so much. `None` where a pitch or a
    /// backlash is not given.
    pub least_play: Option<f64>,
    /// What a hand feels; `None` where a pitch or a backlash is not given.
    pub by_hand: Option<ByHand>,
}

/// One mesh of a wrong seating.
#[derive(Debug, Clone, PartialEq)]
pub struct WrongMesh {
    /// The mesh.
    pub mesh: MeshId,
    /// The whole teeth by which the planets are off at this mesh, signed like their turns.
    pub teeth: i64,
    /// The error that is left over, in teeth, where the largest error of all meshes is least.
    pub error: Fraction,
    /// The error as an arc at the pitch circle, in millimetres, without its sign.
    pub arc: Option<f64>,
    /// The backlash less the error, in millimetres, once the planets have settled where the
    /// tightest mesh has most.
    pub play_left: Option<f64>,
}

/// Every wrong seating of every group of planets, in the order of the description.
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{ByHand, FoundSeatings, SeatingQuestion, wrong_seatings}};
/// let set = description::read(description::example("trap-gear").unwrap()).unwrap();
/// let groups = wrong_seatings(&set, &SeatingQuestion::default());
/// let FoundSeatings::Every(seatings) = &groups[0].found else { panic!("three pins go together") };
/// assert_eq!(seatings[0].largest_error.to_string(), "1/119");
/// assert_eq!(seatings[0].by_hand, Some(ByHand::Unnoticed));
/// ```
pub fn wrong_seatings(set: &Gearset, question: &SeatingQuestion) -> Vec<GroupSeatings> {
    let motions = motions(set);
    let of_group = |group| GroupSeatings {
        tight_spots: tight_spots(set, group, &motions),
        ..of_group(set, group, question, usize::MAX)
    };
    set.planet_groups().iter().map(of_group).collect()
}

/// The wrong seatings of one group, without its tight spots; [`FoundSeatings::TooMany`] also where there are
/// more than `most`.
pub(super) fn of_group(set: &Gearset, group: &PlanetGroup, question: &SeatingQuestion, most: usize) -> GroupSeatings {
    let rows = set.matrix().timing(group);
    let solver = Solver::new(&rows);
    let sizes = Sizes::of(set, &rows);
    let found = if group.places().len() == 1 {
        FoundSeatings::OnePin
    } else if group.spacings().iter().any(|place| solver.turns(place).is_none()) {
        FoundSeatings::DoesNotGoTogether
    } else {
        every(group, &rows, question, &sizes, most).map_or(FoundSeatings::TooMany, FoundSeatings::Every)
    };
    let farthest = |room: &Room| (room.backlash + question.ease_by_force) / room.circular_pitch;
    GroupSeatings {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        pins: group.places().len(),
        found,
        farthest_by_hand: sizes.rooms().map(|rooms| rooms.iter().map(farthest).fold(0.0, f64::max)),
        tight_spots: Vec::new(),
    }
}

fn every(
    group: &PlanetGroup,
    rows: &TimingRows,
    question: &SeatingQuestion,
    sizes: &Sizes,
    most: usize,
) -> Result<Vec<WrongSeating>, TooManyClasses> {
    let mut placed = match group.planets() {
        [_] => of_cluster(rows, &question.within)?,
        _ => of_meshed_planets(rows, &question.within)?,
    };
    if placed.len() > most {
        return Err(TooManyClasses);
    }
    placed.sort_by(|a, b| (&a.largest_error, &a.turns).cmp(&(&b.largest_error, &b.turns)));
    let settling = match group.planets() {
        [_] => Settling::of_cluster(&rows.iter().map(|row| row.terms[0].tooth_count).collect::<Vec<_>>()),
        _ => Settling::new(&circuits(&rows.matrix())),
    };
    let mut seatings: Vec<WrongSeating> =
        placed.into_iter().map(|placed| weighed(placed, rows, question, sizes, &settling)).collect();
    // Where all pitches are alike the order is that of the errors, and exact.
    if sizes.pitches_differ() {
        let rounded = |backlash: f64| (backlash / LEAST).round();
        let needed = |seating: &WrongSeating| seating.goes_in_from.map_or(f64::INFINITY, rounded);
        seatings.sort_by(|a, b| needed(a).total_cmp(&needed(b)));
    }
    Ok(seatings)
}

/// A wrong seating in teeth, before its play is looked at.
struct Placed {
    largest_error: Fraction,
    turns: Vec<Fraction>,
    teeth: Vec<i64>,
    errors: Vec<Fraction>,
}

/// What a row counts as positive while the planet of its first gear turns counter-clockwise: internal
/// teeth have negative counts.
fn sense(row: &TimingRow) -> i64 {
    row.terms[0].tooth_count.signum()
}

fn of_cluster(rows: &[TimingRow], within: &Fraction) -> Result<Vec<Placed>, TooManyClasses> {
    let counts: Vec<i64> = rows.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    let placed = seatings_within(&counts, within)?.into_iter().map(|met| Placed {
        turns: vec![(&met.seating.errors[0] + fraction(met.moved[0], 1)) / fraction(counts[0], 1)],
        largest_error: met.seating.largest_error,
        teeth: met.moved,
        errors: met.seating.errors,
    });
    Ok(placed.collect())
}

fn of_meshed_planets(rows: &TimingRows, within: &Fraction) -> Result<Vec<Placed>, TooManyClasses> {
    let matrix = rows.matrix();
    let congruences = Congruences::new(&matrix);
    let turns = |errors: &[Fraction]| congruences.solve(errors).expect("errors are those of some turns");
    let placed = misses_within(&matrix, within)?.into_iter().map(|miss| {
        let mirrored: Vec<Fraction> = miss.errors.iter().map(|error| -error).collect();
        let (one, other) = (turns(&miss.errors), turns(&mirrored));
        let (turns, errors) = if one >= other { (one, miss.errors) } else { (other, mirrored) };
        let teeth = rows.iter().zip(&errors).map(|(row, error)| sense(row) * whole_teeth(row, &turns, error)).collect();
        let errors = rows.iter().zip(errors).map(|(row, error)| multiple(&error, sense(row))).collect();
        Placed { largest_error: miss.value, turns, teeth, errors }
    });
    Ok(placed.collect())
}

/// The teeth that a mesh is on when the planets are turned so and it errs by so much.
fn whole_teeth(row: &TimingRow, turns: &[Fraction], error: &Fraction) -> i64 {
    let turned: Fraction = row.terms.iter().map(|term| multiple(&turns[term.planet], term.tooth_count)).sum();
    (turned - error).to_integer().to_i64().expect("no planet is more than half a turn out")
}

fn weighed(
    placed: Placed,
    rows: &[TimingRow],
    question: &SeatingQuestion,
    sizes: &Sizes,
    settling: &Settling,
) -> WrongSeating {
    let least = |play: &[f64]| play.iter().copied().fold(f64::INFINITY, f64::min);
    let moved: Vec<i64> = rows.iter().zip(&placed.teeth).map(|(row, teeth)| sense(row) * teeth).collect();
    let rooms = sizes.rooms();
    let play = rooms.as_ref().map(|rooms| settling.play_left(&moved, rooms));
    let meshes = rows.iter().zip(placed.errors).enumerate().map(|(at, (row, error))| WrongMesh {
        mesh: row.mesh,
        teeth: placed.teeth[at],
        arc: sizes.circular_pitch[at].map(|pitch| to_float(&error).abs() * pitch),
        error,
        play_left: play.as_ref().map(|play| play[at]),
    });
    let by_hand = rooms.map(|rooms| {
        let goes_in = |rooms: &[Room]| Ok::<_, Infallible>(settling.goes_in(&moved, rooms));
        let Ok(by_hand) = by_hand(&rooms, question.ease_by_force, goes_in);
        by_hand
    });
    WrongSeating {
        meshes: meshes.collect(),
        largest_error: placed.largest_error,
        turns: placed.turns,
        goes_in_from: sizes.without_backlash().map(|rooms| -least(&settling.play_left(&moved, &rooms))),
        least_play: play.as_deref().map(least),
        by_hand,
    }
}
