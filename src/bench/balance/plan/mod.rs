//! Where and how deep is a rotor drilled?
//!
//! The plan is the fewest holes that leave no more than is allowed, at the places nearest to the heavy side, and of these
//! the ones that leave least, proven over all choices of place, drill and depth ([`search`]). What it leaves is worked
//! out of the depths as they are told, and beside it what half a millimetre of depth and three per cent of density make
//! of it. Where nothing reaches, each limit is let go by itself to see which one is in the way ([`limits`]).

mod limits;
mod rays;
mod search;

use num_complex::Complex64;
use serde::Serialize;

pub use limits::PlanLimit;

use super::hole::{hole_grams, hole_unbalance};
use super::question::{CorrectionPlace, Drilling};
use super::refusal::CannotBalance;
use super::unbalance::Unbalance;
use rays::{HoleChoice, Ray};
use search::Choices;

/// A hole to be drilled.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlannedHole {
    /// The plane, counted from 1.
    pub plane: usize,
    /// Where, in degrees counter-clockwise from the mark.
    pub place_degrees: f64,
    /// How far from the axis; of a hole drilled inward the radius of the rim.
    pub radius_mm: f64,
    /// The diameter of the drill.
    pub drill_mm: f64,
    /// The full depth, without the point.
    pub depth_mm: f64,
    /// How deep the hole is already; 0 where there is none.
    pub drilled_mm: f64,
    /// Two thirds of the way, where the rotor is weighed again.
    pub first_depth_mm: f64,
    /// What it takes off.
    pub grams: f64,
    /// The unbalance that it takes off.
    pub takes_g_mm: f64,
    /// What a millimetre more of depth takes off.
    pub g_mm_per_mm: f64,
}

/// A plan for one plane.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DrillingPlan {
    pub(super) holes: Vec<PlannedHole>,
    pub(super) left: Unbalance,
    /// The most that is left when each hole is half a millimetre too deep or too shallow.
    pub(super) left_by_depth: f64,
    /// The most that is left when the metal is three per cent heavier or lighter.
    pub(super) left_by_density: f64,
    /// Why nothing reaches; none where the plan does.
    pub(super) limits: Vec<PlanLimit>,
}

/// How far depths are off on a drill press, in mm.
const DEPTH_ERROR: f64 = 0.5;
/// How far densities are off.
const DENSITY_ERROR: f64 = 0.03;

/// What is asked of one plane.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlanAsked<'a> {
    pub(super) found: Unbalance,
    pub(super) allowed: f64,
    pub(super) places: &'a [CorrectionPlace],
    pub(super) drilling: &'a Drilling,
    /// Counted from 1.
    pub(super) plane: usize,
}

impl PlanAsked<'_> {
    /// The holes that bring an unbalance down to what is allowed, or else as far down as they can.
    pub(super) fn plan(&self) -> Result<DrillingPlan, CannotBalance> {
        let rays = rays::rays(self.places, self.drilling)?;
        let choices = Choices { found: self.found.vector(), rays: &rays, wall: self.drilling.wall };
        let reaching = choices.fewest(self.allowed);
        let limits = if reaching.is_some() { Vec::new() } else { limits::in_the_way(self) };
        let chosen = reaching.unwrap_or_else(|| choices.least_left());
        let mut holes: Vec<PlannedHole> =
            chosen.holes.iter().map(|&(ray, choice)| hole(&rays[ray], choice, self.drilling, self.plane)).collect();
        holes.sort_by(|a, b| b.takes_g_mm.total_cmp(&a.takes_g_mm));
        let denser = |by: f64| self.left(&holes, |_, hole| hole.takes_g_mm * by).norm();
        Ok(DrillingPlan {
            left: Unbalance::of(self.left(&holes, |_, hole| hole.takes_g_mm)),
            left_by_depth: self.left_by_depth(&holes),
            left_by_density: denser(1.0 + DENSITY_ERROR).max(denser(1.0 - DENSITY_ERROR)),
            holes,
            limits,
        })
    }

    /// What holes leave, each taking so much.
    fn left(&self, holes: &[PlannedHole], takes: impl Fn(usize, &PlannedHole) -> f64) -> Complex64 {
        let off = |(number, hole)| Unbalance::new(takes(number, hole), hole.place_degrees).vector();
        self.found.vector() - holes.iter().enumerate().map(off).sum::<Complex64>()
    }

    /// The worst over every choice of too deep and too shallow.
    fn left_by_depth(&self, holes: &[PlannedHole]) -> f64 {
        let takes = |hole: &PlannedHole, error: f64| {
            let at = |depth: f64| self.drilling.takes(hole.drill_mm, depth, hole.radius_mm);
            hole.takes_g_mm + at(hole.depth_mm + error) - at(hole.depth_mm)
        };
        let worst = |signs: usize| {
            let error = |number: usize| if signs >> number & 1 == 1 { DEPTH_ERROR } else { -DEPTH_ERROR };
            self.left(holes, |number, hole| takes(hole, error(number))).norm()
        };
        (0..1_usize << holes.len()).map(worst).fold(0.0, f64::max)
    }
}

impl Drilling {
    /// What a hole takes off, in g mm.
    fn takes(&self, drill: f64, depth: f64, radius: f64) -> f64 {
        hole_unbalance(self.direction, self.material.density(), [drill, depth], radius)
    }
}

fn hole(ray: &Ray, choice: HoleChoice, drilling: &Drilling, plane: usize) -> PlannedHole {
    let density = drilling.material.density();
    let (drill, depth, radius) = (choice.drill, choice.depth, ray.place.radius);
    let drilled = ray.drilled.map_or(0.0, |hole| hole.depth);
    let grams_there = ray.drilled.map_or(0.0, |hole| hole_grams(density, hole.drill, hole.depth));
    let takes = |depth: f64| drilling.takes(drill, depth, radius);
    PlannedHole {
        plane,
        place_degrees: Unbalance::new(0.0, ray.place.degrees).degrees,
        radius_mm: radius,
        drill_mm: drill,
        depth_mm: depth,
        drilled_mm: drilled,
        first_depth_mm: two_thirds(drilled, depth, drilling.depth_step),
        grams: hole_grams(density, drill, depth) - grams_there,
        takes_g_mm: choice.takes,
        g_mm_per_mm: takes(depth + 0.5) - takes(depth - 0.5),
    }
}

/// Two thirds of the way, down to a whole half step.
fn two_thirds(from: f64, to: f64, step: f64) -> f64 {
    let half = step / 2.0;
    let depth = from + (to - from) * 2.0 / 3.0;
    ((depth / half + 1e-9).floor() * half).max(from)
}
