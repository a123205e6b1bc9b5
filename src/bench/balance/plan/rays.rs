//! Which holes can be drilled at each place, and what does each take off?
//!
//! A place is a ray: whatever is drilled there takes off a vector in its direction, and only its length is open. Each
//! choice of drill and depth is one length; a hole that is there already leaves the choice to deepen it. A hole has to
//! leave the wall behind its point, at the edge and beside its neighbours.

use num_complex::Complex64;

use super::super::hole::{HoleDirection, deepest, point_of_drill};
use super::super::question::{CorrectionPlace, DrilledHole, Drilling};
use super::super::refusal::CannotBalance;

/// A place with all that can be drilled there.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ray {
    /// The place.
    pub(super) place: CorrectionPlace,
    /// Of length 1.
    pub(super) direction: Complex64,
    /// Where it stands, in mm.
    pub(super) middle: Complex64,
    /// What can be drilled, the least first; none where nothing can be.
    pub(super) choices: Vec<HoleChoice>,
    /// A hole that is there.
    pub(super) drilled: Option<DrilledHole>,
}

/// A hole that can be drilled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HoleChoice {
    /// What it takes off, in g mm.
    pub(super) takes: f64,
    /// The diameter.
    pub(super) drill: f64,
    /// The full depth.
    pub(super) depth: f64,
}

impl Ray {
    /// The least and the most that a hole takes off here; nothing where none can be drilled.
    pub(super) fn least_and_most(&self) -> [f64; 2] {
        [self.choices.first(), self.choices.last()].map(|choice| choice.map_or(0.0, |choice| choice.takes))
    }
}

/// So many choices are taken at all places together.
const MOST_CHOICES: usize = 30_000;
/// So many depths of one drill.
const MOST_DEPTHS: u32 = 2_000;
/// Lengths that differ by less are alike, in mm.
const TOLERANCE: f64 = 1e-9;

/// The rays of all places.
pub(super) fn rays(places: &[CorrectionPlace], drilling: &Drilling) -> Result<Vec<Ray>, CannotBalance> {
    let mut rays: Vec<Ray> = places.iter().map(|place| ray(*place, drilling)).collect();
    let count = rays.iter().map(|ray| ray.choices.len()).sum();
    if count > MOST_CHOICES {
        return Err(CannotBalance::TooMany { what: "choices of place, drill and depth", count, most: MOST_CHOICES });
    }
    // A hole that is there keeps its neighbours away.
    let there: Vec<(Complex64, f64)> = rays.iter().filter_map(|ray| Some((ray.middle, ray.drilled?.drill))).collect();
    for ray in &mut rays {
        let middle = ray.middle;
        let is_clear = |choice: &HoleChoice| {
            let apart = |&(other, drill): &(Complex64, f64)| {
                other == middle || is_apart(middle, choice.drill, other, drill, drilling.wall)
            };
            there.iter().all(apart)
        };
        ray.choices.retain(is_clear);
    }
    Ok(rays)
}

/// Whether two holes leave the wall between them.
pub(super) fn is_apart(first: Complex64, first_drill: f64, second: Complex64, second_drill: f64, wall: f64) -> bool {
    (first - second).norm() >= f64::midpoint(first_drill, second_drill) + wall - TOLERANCE
}

fn ray(place: CorrectionPlace, drilling: &Drilling) -> Ray {
    let direction = Complex64::from_polar(1.0, place.degrees.to_radians());
    let drilled = drilling.drilled.iter().find(|hole| hole.is_at(place)).copied();
    let mut choices: Vec<HoleChoice> = match drilled {
        Some(hole) => deepened(place, drilling, hole),
        None => drilling.drills.iter().flat_map(|&drill| of_drill(place, drilling, drill)).collect(),
    };
    // Of two that take off the same the wider hole is the shallower one.
    choices.sort_by(|a, b| a.takes.total_cmp(&b.takes).then(b.drill.total_cmp(&a.drill)));
    Ray { place, direction, middle: direction * place.radius, choices, drilled }
}

fn of_drill(place: CorrectionPlace, drilling: &Drilling, drill: f64) -> Vec<HoleChoice> {
    let breaks_out = |outer: f64| place.radius + drill / 2.0 + drilling.wall > outer + TOLERANCE;
    if drilling.direction == HoleDirection::Axial && drilling.outer_radius.is_some_and(breaks_out) {
        return Vec::new();
    }
    let choice = |depth: f64| HoleChoice { takes: drilling.takes(drill, depth, place.radius), drill, depth };
    depths(place, drilling, drill, drilling.least_depth).map(choice).collect()
}

/// The hole that is there, deeper: what more is taken off.
fn deepened(place: CorrectionPlace, drilling: &Drilling, hole: DrilledHole) -> Vec<HoleChoice> {
    let off = drilling.takes(hole.drill, hole.depth, place.radius);
    let choice = |depth: f64| {
        let takes = drilling.takes(hole.drill, depth, place.radius) - off;
        HoleChoice { takes, drill: hole.drill, depth }
    };
    depths(place, drilling, hole.drill, hole.depth + 2.0 * TOLERANCE).map(choice).collect()
}

/// Multiples of the step from the least depth to where the wall begins.
fn depths(place: CorrectionPlace, drilling: &Drilling, drill: f64, least: f64) -> impl Iterator<Item = f64> {
    let step = drilling.depth_step;
    let by_wall = deepest(drilling.thickness, drilling.wall, drill);
    // A hole from the rim ends before the axis.
    let by_axis = match drilling.direction {
        HoleDirection::Axial => f64::INFINITY,
        HoleDirection::Radial => place.radius - point_of_drill(drill),
    };
    let most = by_wall.min(by_axis) + TOLERANCE;
    let multiples = (1..=MOST_DEPTHS).map(move |times| f64::from(times) * step);
    multiples.skip_while(move |depth| *depth < least - TOLERANCE).take_while(move |depth| *depth <= most)
}
