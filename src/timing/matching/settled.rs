//! A set in one order and seating, settled as strictly best as it can be: what is every mesh off?
//!
//! With the place of pin k (the turn of its cluster) and the phase of row i, both in turns of the cluster, the row is
//! off by `place - phase - turn` asked for, times P in teeth.

use super::answer::{FixedIndex, FixedTurn, NeededBacklash, PlayVerdict, Residual, Seated, SeatedPin, Weighing};
use super::matcher::Matcher;
use super::problem::{NOTHING, SetChoice, central_count, float, nearest_zero};
use super::tension::{Link, least_level, strict_places};
use crate::exact::{Fraction, to_float};
use crate::gearset::{GearId, MeshId, Pitch};
use crate::timing::by_hand::LEAST;
use crate::timing::convention::MarkingConvention;
use num_traits::ToPrimitive;

/// A set in one order and seating, its clusters and central gears in their places.
pub(super) struct SettledSet<'a> {
    pub(super) matcher: &'a Matcher<'a>,
    choice: &'a SetChoice,
    links: Vec<Link>,
    /// The turns of the clusters, then the phases.
    places: Vec<f64>,
}

impl Matcher<'_> {
    pub(super) fn seated(&self, choice: &SetChoice) -> Seated {
        SettledSet::new(self, choice).told()
    }

    /// The teeth of the gear from whose mark the others are measured.
    fn reference_count(&self) -> f64 {
        let reference = self.set.member(self.measured.planet).gears()[0];
        f64::from(self.set.gear(reference).tooth_count().get())
    }

    /// How much a mesh may be off, in teeth, with this cluster on this pin.
    fn doubt(&self, pin: usize, cluster: usize, row: usize) -> f64 {
        self.index_doubts[cluster][row] + self.pin_doubts[pin][row] + self.ties.doubts[row]
    }

    /// What the least and the most that something can take say of the backlash.
    fn verdict(&self, least: f64, most: f64) -> Option<PlayVerdict> {
        // How fixed gears stand that were not measured may take any backlash.
        let is_open = self.ties.fixed.iter().any(|fixed| fixed.index == FixedIndex::Unknown);
        let most = if is_open { f64::INFINITY } else { most };
        let verdict = if most <= 1.0 + NOTHING {
            PlayVerdict::Within
        } else if least > 1.0 + NOTHING {
            PlayVerdict::Beyond
        } else {
            PlayVerdict::CannotBeTold
        };
        (self.weighing == Weighing::Backlash).then_some(verdict)
    }
}

impl<'a> SettledSet<'a> {
    pub(super) fn new(matcher: &'a Matcher<'a>, choice: &'a SetChoice) -> Self {
        let links: Vec<Link> = matcher.problem.links(&choice.turns).collect();
        let places = strict_places(matcher.problem.nodes(), &links);
        Self { matcher, choice, links, places }
    }

    fn told(&self) -> Seated {
        let least = self.level_with_doubt(-1.0).min(self.choice.level);
        let most = self.level_with_doubt(1.0).max(self.choice.level);
        let pins: Vec<SeatedPin> = (0..self.pin_count()).map(|pin| self.pin(pin)).collect();
        Seated {
            level: self.choice.level,
            least,
            most,
            verdict: self.matcher.verdict(least, most),
            first_contacts: self.first_contacts(),
            fixed_turns: self.matcher.ties.shared.iter().filter_map(|shared| self.fixed_turn(shared)).collect(),
            needs: self.needed_backlash(),
            tight_meshes: tight_meshes(&pins),
            convention: self.convention(&pins),
            pins,
        }
    }

    pub(super) fn pin_count(&self) -> usize {
        self.choice.clusters.len()
    }

    /// How far a row is ahead on a pin, in turns of the cluster.
    pub(super) fn off(&self, pin: usize, row: usize) -> f64 {
        let phase = self.pin_count() + self.matcher.problem.phases[row];
        self.places[pin] - self.places[phase] - self.choice.turns[pin][row]
    }

    fn pin(&self, pin: usize) -> SeatedPin {
        let matcher = self.matcher;
        let turn = nearest_zero(self.places[pin] - self.places[0], float(matcher.problem.common()));
        let turn_teeth = turn * matcher.reference_count();
        SeatedPin {
            pin: pin + 1,
            place: matcher.group.places()[pin].clone(),
            cluster: matcher.measured.clusters[self.choice.clusters[pin]].name.clone(),
            turn_degrees: turn * 360.0,
            residuals: (0..matcher.equations.len()).map(|row| self.residual(pin, row)).collect(),
            turn_teeth,
            counted_teeth: counted(turn_teeth),
        }
    }

    /// How the marks of the reference gear are set.
    fn convention(&self, pins: &[SeatedPin]) -> MarkingConvention {
        let problem = &self.matcher.problem;
        let common = float(problem.common());
        let spacings = self.matcher.group.spacings();
        // A mark that points as that on pin 1 does has turned back by as much as its pin stands ahead.
        let is_parallel = |(pin, spacing): (&SeatedPin, &Fraction)| {
            let apart = nearest_zero(pin.turn_degrees / 360.0 + to_float(spacing), common);
            counted(apart * self.matcher.reference_count()) == Some(0)
        };
        if pins.len() == 1 {
            MarkingConvention::OnePin
        } else if problem.rows.iter().all(|row| row.count == problem.common()) {
            MarkingConvention::AnyTooth
        } else if pins.iter().all(|pin| pin.counted_teeth == Some(0)) {
            MarkingConvention::Radial
        } else if pins.iter().zip(&spacings).all(is_parallel) {
            MarkingConvention::Parallel
        } else {
            MarkingConvention::Individual
        }
    }

    fn residual(&self, pin: usize, row: usize) -> Residual {
        let problem = &self.matcher.problem;
        let mesh = self.matcher.equations[row].mesh;
        let teeth = self.off(pin, row) * float(problem.rows[row].count);
        let uncertainty = self.matcher.doubt(pin, self.choice.clusters[pin], row);
        // What is short at either flank by the radius of the pin adds to the error.
        let short = problem.shortages[pin][row];
        let taken = |doubt: f64| (teeth.abs() + short + doubt) / problem.rows[row].tolerance;
        let tooth = self.matcher.set.mesh(mesh).pitch().map(Pitch::circular_pitch);
        let backlash = self.matcher.backlash(row);
        Residual {
            mesh,
            teeth,
            uncertainty_teeth: uncertainty,
            mm: tooth.map(|tooth| teeth * tooth),
            verdict: self.matcher.verdict(taken(-uncertainty), taken(uncertainty)),
            uncertainty_mm: tooth.map(|tooth| uncertainty * tooth),
            half_backlash_mm: backlash.map(|backlash| backlash / 2.0 - short * tooth.unwrap_or_default()),
        }
    }

    /// The level when every reading is off by its uncertainty: the worse way, or with the sign -1 the better.
    fn level_with_doubt(&self, sign: f64) -> f64 {
        let problem = &self.matcher.problem;
        let doubtful = |(at, link): (usize, &Link)| {
            let (pin, row) = (at / problem.rows.len(), at % problem.rows.len());
            let doubt = self.matcher.doubt(pin, self.choice.clusters[pin], row) / float(problem.rows[row].count);
            Link { doubt: link.doubt + sign * doubt, ..*link }
        };
        let links: Vec<Link> = self.links.iter().enumerate().map(doubtful).collect();
        least_level(problem.nodes(), &links, 0.0)
    }

    /// The mesh that needs most backlash, as an arc if every pitch is given; the first of those that need as much but for
    /// rounding.
    fn needed_backlash(&self) -> NeededBacklash {
        let needs: Vec<NeededBacklash> = (0..self.matcher.equations.len()).map(|row| self.needed_by(row)).collect();
        let in_arcs = needs.iter().all(|need| need.mm.is_some());
        let size = |need: &NeededBacklash| need.mm.filter(|_| in_arcs).unwrap_or(need.teeth);
        let most = needs.iter().map(size).fold(0.0, f64::max);
        let most = needs.into_iter().find(|need| size(need) >= most - LEAST).expect("planets are in mesh");
        NeededBacklash { mm: most.mm.filter(|_| in_arcs), ..most }
    }

    /// As much to both sides as the worst pin is off and short of.
    fn needed_by(&self, row: usize) -> NeededBacklash {
        let problem = &self.matcher.problem;
        let on_pin =
            |pin: usize| (self.off(pin, row) * float(problem.rows[row].count)).abs() + problem.shortages[pin][row];
        let teeth = 2.0 * (0..self.pin_count()).map(on_pin).fold(0.0, f64::max);
        let mesh = self.matcher.equations[row].mesh;
        let tooth = self.matcher.set.mesh(mesh).pitch().map(Pitch::circular_pitch);
        NeededBacklash { mesh, teeth, mm: tooth.map(|tooth| teeth * tooth) }
    }

    /// How the central gears of a phase that several rows share stand, where it matters which of their teeth.
    ///
    /// The phase is `-r theta`; it looks the same after one turn over the common divisor of the cluster's counts.
    fn fixed_turn(&self, &(phase, gear): &(usize, GearId)) -> Option<FixedTurn> {
        let matcher = self.matcher;
        let row = matcher.ties.phases.iter().position(|of_row| *of_row == phase)?;
        let common = float(matcher.problem.common_of_phase(row));
        let count = float(matcher.problem.rows[row].count);
        if common + 0.5 > count {
            return None;
        }
        let phase_turn = nearest_zero(self.places[0] - self.places[self.pin_count() + phase], common);
        let ratio = float(central_count(&matcher.equations[row])) / count;
        let turn = phase_turn / ratio;
        let teeth = turn * f64::from(matcher.set.gear(gear).tooth_count().get());
        Some(FixedTurn { gear, degrees: turn * 360.0, teeth })
    }
}

/// The nearest whole tooth, where it is the one: the seatings to either side of a half are as near, and a set that is
/// settled in its backlash stands a little beside it.
fn counted(teeth: f64) -> Option<i64> {
    /// So far from a whole tooth, in teeth, the next one may be taken for it.
    const MOST: f64 = 0.45;
    let nearest = teeth.round();
    ((teeth - nearest).abs() < MOST).then(|| nearest.to_i64()).flatten()
}

/// The meshes that are not within their backlash on some pin.
fn tight_meshes(pins: &[SeatedPin]) -> Vec<MeshId> {
    let residuals = pins.iter().flat_map(|pin| &pin.residuals);
    let is_beyond = |residual: &&Residual| residual.verdict == Some(PlayVerdict::Beyond);
    let mut meshes: Vec<MeshId> = residuals.filter(is_beyond).map(|residual| residual.mesh).collect();
    meshes.sort();
    meshes.dedup();
    meshes
}
