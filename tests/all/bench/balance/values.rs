//! Do the formulas of balancing give what is printed and what an independent computation gives?
//!
//! `tests/balance_values.ron` holds each value with its source.

use serde::Deserialize;
use toothmark::bench::{
    Allowance, BalanceQuestion, ClusterPlacing, ClusterWeights, FoundBy, FoundWeight, GRAMS_PER_OUNCE, HoleDirection,
    PhaseReading, RotorBalance, TrialRun, TrialWithPhase, Unbalance, WeightAmount, WeightSense, balance,
    carried_to_planes, hole_grams, hole_unbalance, permissible_unbalance, point_of_drill, shares_of_planes,
    split_between,
};
use toothmark::gearset::Side;

use super::{heavy_spot, plan_in_iron};
use crate::support::values::{Asked, Origin, Told, ValueLedger, agree};

const LEDGER: ValueLedger = [(Origin::Seen, [17, 2, 1]), (Origin::Memory, [19, 5, 0]), (Origin::Computed, [68, 22, 1])];

/// The size of a vector, or its angle.
#[derive(Debug, Clone, Copy, Deserialize)]
enum Part {
    Size,
    Angle,
}

/// A size at an angle.
type Polar = (f64, f64);
/// An unbalance at an angle, and where it stands along the axis.
type Placed = (f64, f64, f64);

/// Readings; trial weights stand at a radius of 1 mm.
#[derive(Debug, Clone, Deserialize)]
enum Readings {
    /// As found, the trial, with it.
    Phase(Polar, Polar, Polar),
    /// As found; the trial in the left plane and both readings; the same in the right plane.
    TwoPhases((Polar, Polar), (Polar, Polar, Polar), (Polar, Polar, Polar)),
    /// As found, the grams of the trial, its places with readings.
    Runs(f64, f64, Vec<Polar>),
}

#[derive(Debug, Clone, Deserialize)]
enum Quantity {
    /// Grade, kg, rpm.
    Permissible(f64, f64, f64),
    Micrometres(f64, f64, f64),
    /// The distances of the centre of mass from the bearings, and which plane.
    Share(f64, f64, f64, (f64, f64), usize),
    /// Of grade 1 for a pound at 1 rpm.
    OunceInches,
    /// Density, drill, depth.
    Grams(f64, f64, f64),
    Point(f64),
    /// Density, drill, depth, radius.
    Radial(f64, f64, f64, f64),
    Axial(f64, f64, f64, f64),
    /// A weight, its radius, another radius.
    AtAnotherRadius(f64, f64, f64),
    Split(f64, f64, Polar, usize),
    Carried(Vec<Placed>, (f64, f64), usize, Part),
    Summed(Vec<Placed>, Part),
    /// The larger of what two planes are left with, as a part of 1080.
    LeftOf(Vec<Placed>, (f64, f64)),
    /// What is to be put on in a plane.
    Balanced(Readings, usize, Part),
    /// What a trial of so many grams at an angle makes alone.
    EffectOfTrial(Readings, f64, f64, Part),
    Influence(Readings, usize, Part),
    Closing(Readings),
    Predicted(Readings, usize),
    OrAngle(Readings),
    /// Found, at, allowed, holes of the plan.
    LeftByPlan(f64, f64, f64, Vec<(f64, f64, f64)>, Part),
    GramsOfPlan(f64, f64, f64),
    /// What a millimetre more of a drill takes off.
    PerMillimetre(f64),
    /// The deepest hole.
    Deepest(f64),
    BestOrder(Vec<f64>),
    WorstOrder(Vec<f64>),
}

impl Asked for Quantity {
    fn told(&self) -> Option<Told> {
        Some(self.value().into())
    }
}

impl Quantity {
    fn value(&self) -> f64 {
        match self {
            Self::Permissible(grade, mass, rpm) => permissible_unbalance(*grade, *mass, *rpm),
            Self::Micrometres(grade, kilograms, rpm) => {
                let by_grade = Allowance::Grade {
                    grade: *grade,
                    kilograms: *kilograms,
                    rpm: *rpm,
                    speed: None,
                    from_bearings: None,
                };
                let asked = BalanceQuestion { allowance: Some(by_grade), ..BalanceQuestion::default() };
                balance(&asked).expect("it is told").allowance.expect("it is told").micrometres
            }
            Self::Share(grade, mass, rpm, (to_first, to_second), plane) => {
                shares_of_planes([*to_first, *to_second])[*plane] * permissible_unbalance(*grade, *mass, *rpm)
            }
            Self::OunceInches => Unbalance::new(permissible_unbalance(1.0, GRAMS_PER_OUNCE * 0.016, 1.0), 0.0).oz_in(),
            Self::Grams(density, drill, depth) => hole_grams(*density, *drill, *depth),
            Self::Point(drill) => point_of_drill(*drill),
            Self::Radial(density, drill, depth, radius) => {
                hole_unbalance(HoleDirection::Radial, *density, [*drill, *depth], *radius)
            }
            Self::Axial(density, drill, depth, radius) => {
                hole_unbalance(HoleDirection::Axial, *density, [*drill, *depth], *radius)
            }
            Self::AtAnotherRadius(weight, radius, other) => {
                WeightAmount::AtRadius { grams: *weight, radius: *radius }.gram_millimetres() / other
            }
            Self::Split(size, degrees, (first, second), at) => {
                split_between(Unbalance::new(*size, *degrees), [*first, *second]).expect("it is told")[*at]
            }
            Self::Carried(..) | Self::Summed(..) | Self::LeftOf(..) => self.of_placed(),
            Self::LeftByPlan(..) | Self::GramsOfPlan(..) | Self::PerMillimetre(_) | Self::Deepest(_) => self.of_plan(),
            Self::BestOrder(grams) => ordered(grams).left.g_mm,
            Self::WorstOrder(grams) => ordered(grams).worst_g_mm,
            Self::Balanced(..)
            | Self::EffectOfTrial(..)
            | Self::Influence(..)
            | Self::Closing(_)
            | Self::Predicted(..)
            | Self::OrAngle(_) => self.of_readings(),
        }
    }

    #[expect(clippy::wildcard_enum_match_arm, reason = "each function knows the quantities of one kind")]
    fn of_placed(&self) -> f64 {
        let unbalances = |placed: &[Placed]| -> Vec<(Unbalance, f64)> {
            placed.iter().map(|(size, degrees, z)| (Unbalance::new(*size, *degrees), *z)).collect()
        };
        match self {
            Self::Carried(placed, (left, right), plane, part) => {
                part.of(carried_to_planes(&unbalances(placed), [*left, *right])[*plane])
            }
            Self::Summed(placed, part) => {
                let weights = placed.iter().map(|(size, degrees, _)| heavy_spot(*size, *degrees)).collect();
                let found = asked(FoundBy::Weights { weights, planes: None }).found.expect("it is told");
                part.of(Unbalance::new(found.g_mm, found.degrees))
            }
            Self::LeftOf(placed, (left, right)) => {
                let left = carried_to_planes(&unbalances(placed), [*left, *right]);
                left[0].g_mm.max(left[1].g_mm) / 1080.0
            }
            _ => unreachable!("it is asked for what is placed along an axis"),
        }
    }

    #[expect(clippy::wildcard_enum_match_arm, reason = "each function knows the quantities of one kind")]
    fn of_readings(&self) -> f64 {
        match self {
            Self::Balanced(readings, plane, part) => {
                let found = readings.asked().planes[*plane].found;
                part.of(Unbalance::new(found.g_mm, found.degrees).opposite())
            }
            Self::EffectOfTrial(readings, grams, degrees, part) => {
                let influence = readings.asked().trials.expect("it is told").influence[0];
                part.of(Unbalance::new(influence.per_g_mm * grams, influence.degrees + degrees))
            }
            Self::Influence(readings, at, part) => {
                let influence = readings.asked().trials.expect("it is told").influence[*at];
                part.of(Unbalance::new(influence.per_g_mm, influence.degrees))
            }
            Self::Closing(readings) => readings.asked().trials.expect("it is told").closing.expect("it is told"),
            Self::Predicted(readings, run) => readings.asked().trials.expect("it is told").predicted[*run].predicted,
            Self::OrAngle(readings) => {
                let other = readings.asked().planes[0].or_degrees.expect("it is told");
                Unbalance::new(1.0, other).opposite().degrees
            }
            _ => unreachable!("it is asked for what follows from readings"),
        }
    }

    #[expect(clippy::wildcard_enum_match_arm, reason = "each function knows the quantities of one kind")]
    fn of_plan(&self) -> f64 {
        match self {
            Self::LeftByPlan(size, degrees, allowed, holes, part) => {
                let answer = plan_in_iron((*size, *degrees), *allowed, &[6.0, 8.0, 10.0, 12.0]);
                let mut told: Vec<(f64, f64, f64)> =
                    answer.plan.iter().map(|hole| (hole.place_degrees, hole.drill_mm, hole.depth_mm)).collect();
                told.sort_by(|a, b| a.0.total_cmp(&b.0));
                assert_eq!(&told, holes, "the holes of {self:?}");
                part.of(answer.left.expect("it is told"))
            }
            Self::GramsOfPlan(size, degrees, allowed) => {
                let answer = plan_in_iron((*size, *degrees), *allowed, &[6.0, 8.0, 10.0, 12.0]);
                answer.plan.iter().map(|hole| hole.grams).sum()
            }
            // More than can be taken off at all, so that holes are as deep as they can be.
            Self::PerMillimetre(drill) => plan_in_iron((1e5, 90.0), 100.0, &[*drill]).plan[0].g_mm_per_mm,
            Self::Deepest(drill) => plan_in_iron((1e5, 90.0), 100.0, &[*drill]).plan[0].depth_mm,
            _ => unreachable!("it is asked for a plan"),
        }
    }
}

impl Part {
    fn of(self, unbalance: Unbalance) -> f64 {
        match self {
            Self::Size => unbalance.g_mm,
            Self::Angle => unbalance.degrees,
        }
    }
}

impl Readings {
    fn asked(&self) -> RotorBalance {
        let reading = |&(amount, degrees): &Polar| PhaseReading { amount, degrees };
        let weight = |grams: f64| WeightAmount::AtRadius { grams, radius: 1.0 };
        let trial = |&(grams, degrees): &Polar, read: &[Polar]| TrialWithPhase {
            weight: weight(grams),
            degrees,
            readings: read.iter().map(reading).collect(),
        };
        asked(match self {
            Self::Phase(as_found, put_on, read) => {
                FoundBy::Phases { as_found: vec![reading(as_found)], trials: vec![trial(put_on, &[*read])] }
            }
            Self::TwoPhases(as_found, left, right) => FoundBy::Phases {
                as_found: vec![reading(&as_found.0), reading(&as_found.1)],
                trials: [left, right].map(|(put_on, first, second)| trial(put_on, &[*first, *second])).to_vec(),
            },
            Self::Runs(as_found, grams, runs) => {
                let run = |&(degrees, reading): &Polar| TrialRun { weight: weight(*grams), degrees, reading };
                FoundBy::Runs { as_found: *as_found, trials: runs.iter().map(run).collect() }
            }
        })
    }
}

fn asked(found: FoundBy) -> RotorBalance {
    let question = BalanceQuestion { found: Some(found), seen_from: Some(Side::Input), ..BalanceQuestion::default() };
    balance(&question).unwrap_or_else(|reason| panic!("{reason}"))
}

fn ordered(grams: &[f64]) -> ClusterPlacing {
    let clusters = ClusterWeights { grams: grams.to_vec(), pin_radius: 75.0 };
    let question = BalanceQuestion { clusters: Some(clusters), ..BalanceQuestion::default() };
    balance(&question).expect("it is told").clusters.expect("it is told")
}

#[test]
fn formulas_of_balancing_give_what_is_printed_and_what_was_computed() {
    agree::<Quantity>("tests/balance_values.ron", LEDGER);
}

/// Weights on the light side are opposite to what is heavy.
#[test]
fn putty_that_balances_stands_opposite_to_what_is_heavy() {
    let putty = FoundWeight { sense: WeightSense::Balancing, ..heavy_spot(2090.0, 280.0) };
    let found = asked(FoundBy::Weights { weights: vec![putty], planes: None }).found.expect("it is told");
    assert!((found.g_mm - 2090.0).abs() < 1e-9 && (found.degrees - 100.0).abs() < 1e-9, "{found:?}");
}
