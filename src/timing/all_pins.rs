//! Could the planets of all pins be pushed together where no seating is right, and what backlash would be left?
//!
//! With the central gears turned by `phi_j` teeth and the planets of pin k by `u_k` the mesh of row r is
//! `e_kr = A_r u_k + phi_r - Z_r x_k - n_kr` teeth off its middle, n whole. A mesh with circular pitch a and backlash b
//! gives way b / 2 to either side, so all go in at once where `2 a |e| <= b` at every mesh of every pin. The least of the
//! largest `2 a |e|` over all u, phi and n is an exact minimum over a lattice ([`nearest_miss`]). Pin 1 is no better than
//! the others here: a pin that is d off from it and another that is d off the other way need twice as much together.
//! Worked out here.

use serde::Serialize;

use super::by_hand::{ByHand, EASE_BY_FORCE, LEAST, MeshPlay, Room, by_hand};
use super::solver::Solver;
use crate::exact::{ExactFit, Fraction, IntegerMatrix, LatticeMiss, Target, TooManyClasses, nearest_miss, to_float};
use crate::gearset::TimingRows;

/// With more meshes than these, those of all pins counted, the minimum takes too long.
const MOST_MESHES: usize = 9;

/// The backlash left is worked out to so many millimetres where backlashes differ.
const LEAST_STEP: f64 = 1e-7;

/// What becomes of planets that have no right seating if all are pushed together at once.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PushedTogether {
    /// The least backlash, in millimetres at the pitch circle and the same at every mesh, with which all go in.
    pub least_backlash_mm: f64,
    /// What a hand notices; none where a backlash is not given.
    pub by_hand: Option<ByHand>,
    /// The backlash left at the tightest mesh, in millimetres, as much as can be; below 0 what it is short of. None where a
    /// backlash is not given.
    pub play_left_mm: Option<f64>,
}

/// What becomes of them; `None` where a pitch is not given, where no seating comes within half a tooth, or where there
/// is too much to look at.
pub(super) fn pushed_together(
    sizes: &MeshPlay,
    rows: &TimingRows,
    solver: &Solver,
    spacings: &[Fraction],
) -> Option<PushedTogether> {
    let pitches = sizes.pitches()?;
    let all = AllPins::new(rows, &pins_apart(solver, spacings))?;
    // In millimetres each error counts 2 a |e|, the backlash that takes it up.
    let uniform = all.nearest(&pitches.iter().map(|pitch| 0.5 / pitch).collect::<Vec<_>>())?;
    let least_backlash_mm = to_float(&uniform.value);
    let rooms = sizes.rooms();
    let goes_in = |rooms: &[Room]| {
        let half_play: Vec<f64> = rooms.iter().map(|room| room.play() / 2.0).collect();
        Ok::<bool, TooManyClasses>(all.nearest(&half_play).is_some_and(|miss| to_float(&miss.value) <= 1.0))
    };
    Some(PushedTogether {
        least_backlash_mm,
        by_hand: rooms.as_ref().and_then(|rooms| by_hand(rooms, EASE_BY_FORCE, goes_in).ok()),
        play_left_mm: rooms.map(|rooms| all.play_left(&rooms, least_backlash_mm)),
    })
}

/// The places that are not as good as one before: those at which a seating that is right at one is right at the other.
fn pins_apart(solver: &Solver, spacings: &[Fraction]) -> Vec<Fraction> {
    let mut apart: Vec<Fraction> = Vec::new();
    for place in spacings {
        if apart.iter().all(|other| solver.turns(&(place - other)).is_none()) {
            apart.push(place.clone());
        }
    }
    apart
}

/// The meshes of all pins as one system.
struct AllPins {
    matrix: IntegerMatrix,
    offset: Vec<Fraction>,
}

impl AllPins {
    /// Nothing where there are too many meshes.
    fn new(rows: &TimingRows, places: &[Fraction]) -> Option<Self> {
        if rows.len() * places.len() > MOST_MESHES {
            return None;
        }
        let offset = places.iter().flat_map(|place| rows.right_sides(place)).collect();
        Some(Self { matrix: rows.matrix_of_pins(places.len()), offset })
    }

    /// The seating of all pins whose largest error is least, each in parts of the tolerance of its row.
    fn nearest(&self, tolerances: &[f64]) -> Option<LatticeMiss> {
        let tolerance = |&size: &f64| Fraction::from_float(size.max(LEAST)).expect("pitch and backlash are finite");
        let of_one_pin: Vec<Fraction> = tolerances.iter().map(tolerance).collect();
        let tolerances = of_one_pin.iter().cycle().take(self.offset.len()).cloned().collect();
        let target = Target { offset: self.offset.clone(), tolerances };
        nearest_miss(&self.matrix, &target, ExactFit::Counted).ok().flatten()
    }

    /// The greatest t with `2 a |e| <= b - t` at every mesh, to within `LEAST_STEP`. With one backlash b that is b less
    /// what is needed.
    fn play_left(&self, rooms: &[Room], least_backlash: f64) -> f64 {
        let leaves = |left: f64| {
            let tolerances: Vec<f64> =
                rooms.iter().map(|room| (room.backlash - left) / (2.0 * room.circular_pitch)).collect();
            self.nearest(&tolerances).is_some_and(|miss| to_float(&miss.value) <= 1.0)
        };
        let backlashes = || rooms.iter().map(|room| room.backlash);
        let least_given = backlashes().fold(f64::INFINITY, f64::min);
        // Every mesh has what is needed or more for this much, and none has more left than it has.
        let (mut left, mut too_much) = (least_given - least_backlash, least_given);
        if backlashes().all(|backlash| backlash - least_given < LEAST) {
            return left;
        }
        while too_much - left > LEAST_STEP {
            let middle = f64::midpoint(left, too_much);
            if leaves(middle) {
                left = middle;
            } else {
                too_much = middle;
            }
        }
        left
    }
}
