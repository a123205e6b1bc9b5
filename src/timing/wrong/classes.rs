//! The wrong seatings of one group of planets: which there are, and what becomes of each.
//!
//! A wrong seating is a positive local minimum of the largest tooth error: whole teeth `n_i` at each mesh and what is
//! left over, the error. One cluster is swept tooth by tooth ([`super::seating_sweep`]), planets in mesh with one
//! another are searched class by class ([`misses_within`]). With a pitch an error is an arc; with a backlash as well it
//! shows where the planets settle ([`super::settling`]) and what a hand notices ([`by_hand`](mod@crate::timing::by_hand)).

use std::convert::Infallible;

use num_traits::ToPrimitive;

use super::answer::{PlanetTurns, WrongMesh, WrongSeating};
use super::seating_sweep::seatings_within;
use super::settling::Settling;
use crate::exact::{Congruences, Fraction, TooManyClasses, circuits, fraction, misses_within, multiple, to_float};
use crate::gearset::{Gearset, MemberId, PlanetGroup, TimingRow, TimingRows};
use crate::timing::by_hand::{ByHand, MeshPlay, Room, by_hand, could_be};

/// A wrong seating in teeth, before its backlash is looked at.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::timing) struct Misplaced {
    /// The largest error, in teeth.
    pub(in crate::timing) largest_error: Fraction,
    /// How far each planet is turned from a right seating.
    pub(in crate::timing) turns: Vec<Fraction>,
    /// The whole teeth by which each mesh is off, signed like the turns.
    pub(in crate::timing) teeth: Vec<i64>,
    /// The error that is left over at each mesh, in teeth.
    pub(in crate::timing) errors: Vec<Fraction>,
}

impl Misplaced {
    /// Its mirror image, with every sign reversed.
    pub(in crate::timing) fn mirrored(&self) -> Self {
        Self {
            largest_error: self.largest_error.clone(),
            turns: self.turns.iter().map(|turn| -turn).collect(),
            teeth: self.teeth.iter().map(|teeth| -teeth).collect(),
            errors: self.errors.iter().map(|error| -error).collect(),
        }
    }

    /// k: the whole teeth of each row.
    fn moved(&self, rows: &[TimingRow]) -> Vec<i64> {
        rows.iter().zip(&self.teeth).map(|(row, teeth)| sense(row) * teeth).collect()
    }
}

/// The classes of whole teeth of a group, with what is needed to tell what becomes of each.
pub(in crate::timing) struct SeatingClasses {
    planets: Vec<MemberId>,
    rows: TimingRows,
    pub(super) sizes: MeshPlay,
    rooms: Option<Vec<Room>>,
    pitches: Option<Vec<f64>>,
    settling: Settling,
    ease_by_force: f64,
}

impl SeatingClasses {
    pub(in crate::timing) fn new(set: &Gearset, group: &PlanetGroup, ease_by_force: f64) -> Self {
        let rows = set.matrix().timing(group);
        let sizes = MeshPlay::of(set, &rows);
        let settling = settling(&rows);
        let (rooms, pitches) = (sizes.rooms(), sizes.pitches());
        Self { planets: group.planets().to_vec(), rows, sizes, rooms, pitches, settling, ease_by_force }
    }

    /// Every wrong seating with errors of at most `within` teeth, the least wrong first, one of two that mirror each
    /// other: that whose first planet is turned counter-clockwise.
    ///
    /// # Errors
    /// [`TooManyClasses`] where they cannot all be looked at.
    pub(in crate::timing) fn within(&self, within: &Fraction) -> Result<Vec<Misplaced>, TooManyClasses> {
        let mut all = misplaced(&self.rows, within)?;
        all.sort();
        Ok(all)
    }

    /// What becomes of a wrong seating: its arcs, the backlash that it leaves, and what a hand notices.
    pub(in crate::timing) fn weighed(&self, it: &Misplaced) -> WrongSeating {
        let least = |play: &[f64]| play.iter().copied().fold(f64::INFINITY, f64::min);
        let moved = it.moved(&self.rows);
        let play = self.rooms.as_ref().map(|rooms| self.settling.play_left(&moved, rooms));
        let mesh = |(at, row): (usize, &TimingRow)| WrongMesh {
            mesh: row.mesh,
            teeth: it.teeth[at],
            error: it.errors[at].clone(),
            error_mm: self.sizes.circular_pitch[at].map(|pitch| to_float(&it.errors[at]).abs() * pitch),
            play_left_mm: play.as_ref().map(|play| play[at]),
            backlash_mm: self.sizes.backlash[at],
        };
        let turns = self.planets.iter().zip(&it.turns);
        let by_hand = self.rooms.as_ref().map(|rooms| self.felt(&moved, rooms));
        WrongSeating {
            could_be: could_be(by_hand, &it.largest_error),
            largest_error: it.largest_error.clone(),
            turns: turns.map(|(&planet, turns)| PlanetTurns { planet, turns: turns.clone() }).collect(),
            goes_in_from_mm: self
                .pitches
                .as_ref()
                .and_then(|pitches| finite(self.settling.goes_in_from(&moved, pitches))),
            least_play_mm: play.as_deref().map(least),
            by_hand,
            meshes: self.rows.iter().enumerate().map(mesh).collect(),
        }
    }

    fn felt(&self, moved: &[i64], rooms: &[Room]) -> ByHand {
        let goes_in = |rooms: &[Room]| Ok::<_, Infallible>(self.settling.goes_in(moved, rooms));
        let Ok(felt) = by_hand(rooms, self.ease_by_force, goes_in);
        felt
    }
}

/// The least backlash, the same at every mesh, with which some wrong seating of these rows goes in; none where that is
/// not known.
pub(in crate::timing) fn least_backlash(rows: &TimingRows, pitches: &[f64]) -> Option<f64> {
    let settling = settling(rows);
    let every = misplaced(rows, &fraction(1, 2)).ok()?;
    let needed = every.iter().map(|it| settling.goes_in_from(&it.moved(rows), pitches));
    finite(needed.fold(f64::INFINITY, f64::min))
}

fn settling(rows: &TimingRows) -> Settling {
    if rows.planet_count() == 1 {
        return Settling::of_cluster(&rows.iter().map(|row| row.terms[0].tooth_count).collect::<Vec<_>>());
    }
    Settling::new(&circuits(&rows.matrix()))
}

fn misplaced(rows: &TimingRows, within: &Fraction) -> Result<Vec<Misplaced>, TooManyClasses> {
    if rows.planet_count() == 1 { of_cluster(rows, within) } else { of_meshed_planets(rows, within) }
}

fn finite(length: f64) -> Option<f64> {
    length.is_finite().then_some(length)
}

/// What a row counts as positive while the planet of its first gear turns counter-clockwise: internal
/// teeth have negative counts.
fn sense(row: &TimingRow) -> i64 {
    row.terms[0].tooth_count.signum()
}

fn of_cluster(rows: &[TimingRow], within: &Fraction) -> Result<Vec<Misplaced>, TooManyClasses> {
    let counts: Vec<i64> = rows.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    let misplaced = seatings_within(&counts, within)?.into_iter().map(|met| Misplaced {
        // P u = n + e at every gear, so at the first.
        turns: vec![(&met.seating.errors[0] + fraction(met.moved[0], 1)) / fraction(counts[0], 1)],
        largest_error: met.seating.largest_error,
        teeth: met.moved,
        errors: met.seating.errors,
    });
    Ok(misplaced.collect())
}

fn of_meshed_planets(rows: &TimingRows, within: &Fraction) -> Result<Vec<Misplaced>, TooManyClasses> {
    let matrix = rows.matrix();
    let congruences = Congruences::new(&matrix);
    let turns = |errors: &[Fraction]| congruences.solve(errors).expect("errors are those of some turns");
    let misplaced = misses_within(&matrix, within)?.into_iter().map(|miss| {
        let mirrored: Vec<Fraction> = miss.errors.iter().map(|error| -error).collect();
        let (one, other) = (turns(&miss.errors), turns(&mirrored));
        let (turns, errors) = if one >= other { (one, miss.errors) } else { (other, mirrored) };
        let teeth = rows.iter().zip(&errors).map(|(row, error)| sense(row) * whole_teeth(row, &turns, error)).collect();
        let errors = rows.iter().zip(errors).map(|(row, error)| multiple(&error, sense(row))).collect();
        Misplaced { largest_error: miss.value, turns, teeth, errors }
    });
    Ok(misplaced.collect())
}

/// The teeth that a mesh is on when the planets are turned so and it errs by so much: n = A u - e.
fn whole_teeth(row: &TimingRow, turns: &[Fraction], error: &Fraction) -> i64 {
    let turned: Fraction = row.terms.iter().map(|term| multiple(&turns[term.planet], term.tooth_count)).sum();
    (turned - error).to_integer().to_i64().expect("no planet is more than half a turn out")
}
