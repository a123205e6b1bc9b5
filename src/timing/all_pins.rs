//! Could the planets of all pins be pushed together where no seating is right, and what backlash would be left?
//!
//! With the central gears turned by `phi_j` teeth and the planets of pin k by `u_k` the mesh of row r is
//! `e_kr = A_r u_k + phi_r - Z_r x_k - n_kr` teeth off its middle, n whole. A mesh with circular pitch a and backlash b
//! gives way b / 2 to either side, so all go in at once where `2 a |e| <= b` at every mesh of every pin. The least of the
//! largest `2 a |e|` over all u, phi and n is the exact minimum of a [`JointFit`]. Pin 1 is no better than the others
//! here: a pin that is d off from it and another that is d off the other way need twice as much together.
//! Worked out here.

use serde::Serialize;

use super::by_hand::{ByHand, EASE_BY_FORCE, LEAST, MeshPlay, Room, by_hand};
use super::solver::Solver;
use crate::exact::{Fraction, GivingWay, JointFit, TooManyClasses, fraction, to_float};
use crate::gearset::{Gearset, TimingRows};

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

/// What becomes of them; `None` where a pitch is not given, or where no seating comes within half a tooth.
pub(super) fn pushed_together(
    set: &Gearset,
    rows: &TimingRows,
    solver: &Solver,
    spacings: &[Fraction],
) -> Option<PushedTogether> {
    let modules: Option<Vec<Fraction>> =
        rows.iter().map(|row| Some(set.mesh(row.mesh).pitch()?.exact_module())).collect();
    let all = AllPins::new(rows, &pins_apart(solver, spacings), &modules?);
    let least_backlash_mm = all.least_backlash().ok()??;
    let rooms = MeshPlay::of(set, rows).rooms();
    Some(PushedTogether {
        least_backlash_mm,
        by_hand: rooms.as_ref().and_then(|rooms| by_hand(rooms, EASE_BY_FORCE, |rooms| all.go_in(rooms)).ok()),
        play_left_mm: rooms.and_then(|rooms| all.play_left(&rooms, least_backlash_mm).ok()),
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

/// The meshes of all pins at once, lengths in parts of the finest pitch.
struct AllPins {
    fit: JointFit,
    right_sides: Vec<Vec<Fraction>>,
    finest_pitch: f64,
    /// 1 / (2 a) for each mesh: the teeth that a unit of backlash takes up to either side.
    teeth_per_backlash: Vec<Fraction>,
}

impl AllPins {
    fn new(rows: &TimingRows, places: &[Fraction], modules: &[Fraction]) -> Self {
        let finest = modules.iter().min().cloned().unwrap_or_default();
        Self {
            fit: JointFit::new(&rows.matrix(), &rows.central_matrix()),
            right_sides: places.iter().map(|place| rows.right_sides(place)).collect(),
            finest_pitch: std::f64::consts::PI * to_float(&finest),
            teeth_per_backlash: modules.iter().map(|module| &finest / (module * fraction(2, 1))).collect(),
        }
    }

    /// The least backlash, the same at every mesh; `None` where the finest would be half a tooth out.
    fn least_backlash(&self) -> Result<Option<f64>, TooManyClasses> {
        let backlash = GivingWay::in_parts_of(self.teeth_per_backlash.clone());
        let least = self.fit.least(&self.right_sides, &backlash, &fraction(1, 1))?;
        Ok(least.map(|least| to_float(&least) * self.finest_pitch))
    }

    /// Whether all go in with these backlashes.
    fn go_in(&self, rooms: &[Room]) -> Result<bool, TooManyClasses> {
        self.fit.is_within(&self.right_sides, rooms.iter().map(|room| exact(room.play() / 2.0)).collect())
    }

    /// The greatest t with `2 a |e| <= b - t` at every mesh: that which some mesh is short of is least.
    fn play_left(&self, rooms: &[Room], least_backlash: f64) -> Result<f64, TooManyClasses> {
        let teeth = |room: &Room| exact(room.backlash / (2.0 * room.circular_pitch));
        let backlash = GivingWay { base: rooms.iter().map(teeth).collect(), rate: self.teeth_per_backlash.clone() };
        let least_given = rooms.iter().map(|room| room.backlash).fold(f64::INFINITY, f64::min);
        if rooms.iter().all(|room| room.backlash - least_given < LEAST) {
            return Ok(least_given - least_backlash);
        }
        // What is needed at every mesh is left over from the least.
        let enough = exact((least_backlash - least_given) / self.finest_pitch);
        let short = self.fit.least(&self.right_sides, &backlash, &enough)?;
        Ok(-to_float(&short.unwrap_or(enough)) * self.finest_pitch)
    }
}

/// A part of a tooth or of a pitch, rounded far below [`LEAST`], so that numbers stay short.
fn exact(part: f64) -> Fraction {
    const STEPS: f64 = 1_099_511_627_776.0;
    let steps = Fraction::from_float((part * STEPS).round()).expect("pitch and backlash are finite");
    steps / Fraction::from_float(STEPS).expect("a power of two")
}
