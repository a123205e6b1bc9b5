//! Which limit keeps a rotor from being balanced by drilling?
//!
//! Each limit is let go by itself, and the plan is tried again: deeper holes, drills of other sizes, holes nearer to the edge, places
//! half-way between those that are given, half the step of depth, shallower holes. A limit whose absence would let the
//! rotor come down to what is allowed is in the way.

use serde::Serialize;

use super::super::question::{CorrectionPlace, Drilling};
use super::super::unbalance::degrees_within_a_turn;
use super::PlanAsked;
use super::rays::rays;
use super::search::Choices;

/// A limit that is in the way of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PlanLimit {
    /// Holes would have to be deeper: the wall that is left, or the thickness.
    Wall,
    /// A larger drill would do, or one in between.
    Drills,
    /// A smaller drill would do.
    SmallerDrill,
    /// Places half-way between those given would do.
    Places,
    /// Half the step of depth would do.
    DepthStep,
    /// Shallower holes would do.
    LeastDepth,
    /// Holes nearer to the edge would do.
    Edge,
    /// More than one limit is in the way, or more holes are needed than are planned at a time.
    Several,
}

/// The limits in the way, each of which alone is.
pub(super) fn in_the_way(asked: &PlanAsked<'_>) -> Vec<PlanLimit> {
    let drilled = [
        PlanLimit::Edge,
        PlanLimit::Wall,
        PlanLimit::Drills,
        PlanLimit::SmallerDrill,
        PlanLimit::DepthStep,
        PlanLimit::LeastDepth,
    ];
    let reaches_without = |limit: &PlanLimit| {
        let freed = without(*limit, asked.drilling);
        // What changes nothing is not tried again.
        freed != *asked.drilling && reaches(asked, asked.places, &freed)
    };
    let mut limits: Vec<PlanLimit> = drilled.into_iter().filter(reaches_without).collect();
    if reaches(asked, &with_places_between(asked.places), asked.drilling) {
        limits.push(PlanLimit::Places);
    }
    if limits.is_empty() { vec![PlanLimit::Several] } else { limits }
}

/// Whether holes at these places reach; where letting go makes more choices than are tried, that is not told.
fn reaches(asked: &PlanAsked<'_>, places: &[CorrectionPlace], drilling: &Drilling) -> bool {
    let Ok(rays) = rays(places, drilling) else { return false };
    let choices = Choices { found: asked.found.vector(), rays: &rays, wall: drilling.wall };
    choices.fewest(asked.allowed).is_some()
}

fn without(limit: PlanLimit, drilling: &Drilling) -> Drilling {
    let mut freed = drilling.clone();
    match limit {
        PlanLimit::Wall => freed.thickness *= 3.0,
        PlanLimit::Drills => freed.drills.extend(drills_between_and_above(&drilling.drills)),
        PlanLimit::SmallerDrill => {
            let smallest = drilling.drills.iter().copied().reduce(f64::min);
            freed.drills.extend(smallest.into_iter().flat_map(|smallest| [smallest * 0.5, smallest * 0.75]));
        }
        PlanLimit::DepthStep => freed.depth_step /= 2.0,
        PlanLimit::LeastDepth => freed.least_depth = drilling.depth_step,
        PlanLimit::Edge => freed.outer_radius = None,
        PlanLimit::Places | PlanLimit::Several => {}
    }
    freed
}

/// Half-way between neighbours, and half as large again as the largest.
fn drills_between_and_above(drills: &[f64]) -> Vec<f64> {
    let mut sorted = drills.to_vec();
    sorted.sort_by(f64::total_cmp);
    let between = sorted.windows(2).map(|pair| f64::midpoint(pair[0], pair[1]));
    let above = sorted.last().into_iter().flat_map(|largest| [largest * 1.25, largest * 1.5]);
    between.chain(above).collect()
}

/// The places, and between each and the next one more.
fn with_places_between(places: &[CorrectionPlace]) -> Vec<CorrectionPlace> {
    let mut sorted = places.to_vec();
    sorted.sort_by(|a, b| degrees_within_a_turn(a.degrees).total_cmp(&degrees_within_a_turn(b.degrees)));
    let next = sorted.iter().cycle().skip(1);
    let between = sorted.iter().zip(next).map(|(place, next)| CorrectionPlace {
        degrees: place.degrees + degrees_within_a_turn(next.degrees - place.degrees) / 2.0,
        radius: f64::midpoint(place.radius, next.radius),
    });
    let between: Vec<CorrectionPlace> = if sorted.len() > 1 { between.collect() } else { Vec::new() };
    [sorted, between].concat()
}
