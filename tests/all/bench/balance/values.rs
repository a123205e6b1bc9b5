//! Do the formulas of balancing give what is printed and what an independent computation gives?
//!
//! `tests/balance_values.ron` holds each value with its source.

use serde::Deserialize;
use toothmark::bench::{
    Allowance, BalanceQuestion, CannotBalance, ClusterPlacing, ClusterWeights, Correction, Drilling, FoundBy,
    FoundWeight, GRAMS_PER_OUNCE, HoleDirection, PhaseReading, ReadingsGoodTo, RotorBalance, RotorSize, TrialRun,
    TrialWithPhase, Unbalance, WeightAmount, WeightSense, balance, carried_to_planes, felt_on_knife_edges, hole_grams,
    hole_unbalance, permissible_unbalance, point_of_drill, shares_of_planes, split_between,
};
use toothmark::gearset::Side;

use super::{heavy_spot, plan_in_iron, ring_of};
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

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6 * wanted.abs().max(1.0), "{found} is not {wanted}");
}

/// `U = M f`, the arm f of rolling between 0.01 and 0.05 mm, which is common practice, from memory.
#[test]
fn knife_edges_feel_the_mass_times_the_arm_of_rolling() {
    let [good, poor] = felt_on_knife_edges(4.0);
    near(good, 40.0);
    near(poor, 200.0);
}

/// 22 g at 95 mm are 2090 g mm: at that radius the same weight balances them, half a turn from where it is heavy.
#[test]
fn the_weight_to_put_on_is_the_unbalance_over_its_radius() {
    let heavy = FoundWeight { amount: WeightAmount::AtRadius { grams: 22.0, radius: 95.0 }, ..heavy_spot(0.0, 280.0) };
    let answer = asked(FoundBy::Weights { weights: vec![heavy], planes: None });
    let put_on = answer.planes[0].put_on.first().expect("nothing is said of places");
    near(put_on.grams, 22.0);
    near(put_on.radius_mm, 95.0);
    near(put_on.place_degrees, 100.0);
}

/// A size that no rotor has is named, and its hint says with which option another one is given.
#[test]
fn what_no_rotor_has_is_refused_with_the_option_that_says_it() {
    let absurd = |question: &BalanceQuestion| {
        let reason = balance(question).expect_err("it is absurd");
        let CannotBalance::Absurd { what, .. } = reason else { panic!("{reason}: {question:?}") };
        super::super::names_an_option("balance", reason.hint());
        what
    };
    let of_rotor = |grade: f64, kilograms: f64, rpm: f64| {
        let allowance = Allowance::Grade { grade, kilograms, rpm, speed: None, from_bearings: None };
        absurd(&BalanceQuestion { allowance: Some(allowance), ..BalanceQuestion::default() })
    };
    for value in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e8] {
        assert_eq!(of_rotor(value, 25.0, 1800.0), "the grade");
        assert_eq!(of_rotor(6.3, value, 1800.0), "the mass of the rotor");
        assert_eq!(of_rotor(6.3, 25.0, value), "the speed");
        let allowed = Some(Allowance::GramMillimetres(value));
        assert_eq!(
            absurd(&BalanceQuestion { allowance: allowed, ..BalanceQuestion::default() }),
            "the allowed unbalance"
        );
        let size = Some(RotorSize { width: None, diameter: value });
        let sized =
            BalanceQuestion { size, allowance: Some(Allowance::GramMillimetres(1.0)), ..BalanceQuestion::default() };
        assert_eq!(absurd(&sized), "the diameter of the rotor");
        let clusters = ClusterWeights { grams: vec![812.4, value, 809.1], pin_radius: 75.0 };
        let weighed = BalanceQuestion { clusters: Some(clusters), ..BalanceQuestion::default() };
        assert_eq!(absurd(&weighed), "the weight of a planet");
    }
}

/// A rotor ends where its holes are told that it does, or else at half of its diameter.
#[test]
fn the_rotor_ends_where_it_is_told_to() {
    let size = RotorSize { width: Some(40.0), diameter: 300.0 };
    for (size, outer_radius, ends) in [
        (None, None, None),
        (Some(size), None, Some(150.0)),
        (Some(size), Some(140.0), Some(140.0)),
        (None, Some(140.0), Some(140.0)),
    ] {
        let drilling = Drilling { drills: vec![8.0], thickness: 40.0, wall: 5.0, outer_radius, ..Drilling::default() };
        let question = BalanceQuestion {
            found: Some(FoundBy::Weights { weights: vec![heavy_spot(2090.0, 280.0)], planes: None }),
            allowance: Some(Allowance::GramMillimetres(150.0)),
            seen_from: Some(Side::Input),
            size,
            correction: Some(Correction { places: ring_of(12, 95.0), drilling: Some(drilling) }),
            ..BalanceQuestion::default()
        };
        let answer = balance(&question).unwrap_or_else(|reason| panic!("{reason}"));
        assert_eq!(answer.outer_radius_mm, ends, "{size:?}, {outer_radius:?}");
    }
}

/// Readings of `|O + V e^(i (a + p))|` with O 40, V 25 and p 1 radian.
fn runs_at(degrees: &[f64], weight: WeightAmount) -> FoundBy {
    let reading = |degrees: f64| {
        (40.0_f64.powi(2) + 25.0_f64.powi(2) + 2.0 * 40.0 * 25.0 * (degrees.to_radians() + 1.0).cos()).sqrt()
    };
    let trials = degrees.iter().map(|&degrees| TrialRun { weight, degrees, reading: reading(degrees) }).collect();
    FoundBy::Runs { as_found: 40.0, trials }
}

/// What is heavy is `O / V` times the trial: 40/25 of 10 g at 80 mm are 1280 g mm, and a trial that is half a gram
/// or 2 mm off is a twentieth or a fortieth of that.
#[test]
fn what_the_trial_of_all_runs_is_good_to_is_what_the_unbalance_is_good_to() {
    let exact = ReadingsGoodTo { grams: Some(0.0), radius: Some(0.0), degrees: Some(0.0), reading: Some(0.0) };
    for (good_to, part) in
        [(ReadingsGoodTo { grams: Some(0.5), ..exact }, 0.05), (ReadingsGoodTo { radius: Some(2.0), ..exact }, 0.025)]
    {
        let trial = WeightAmount::AtRadius { grams: 10.0, radius: 80.0 };
        let found = Some(runs_at(&[0.0, 120.0, 240.0], trial));
        let question = BalanceQuestion { found, good_to, seen_from: Some(Side::Input), ..BalanceQuestion::default() };
        let found = balance(&question).expect("it is told").found.expect("it is told");
        near(found.g_mm, 1280.0);
        near(found.within_g_mm, 1280.0 * part);
    }
}

/// By two runs the phase is told only where they are opposite, to half a degree.
#[test]
fn two_runs_that_are_not_opposite_are_refused() {
    let told = |apart: f64| {
        let found = Some(runs_at(&[30.0, 30.0 + apart], WeightAmount::GramMillimetres(800.0)));
        balance(&BalanceQuestion { found, seen_from: Some(Side::Input), ..BalanceQuestion::default() })
    };
    for apart in [90.0, 120.0, 179.4, 180.6, 270.0] {
        assert_eq!(told(apart).err(), Some(CannotBalance::TrialsNotOpposite), "{apart}");
    }
    for apart in [179.6, 180.0, 180.4] {
        assert!(told(apart).is_ok(), "{apart}");
    }
}
