//! Does a rotor come into balance by what is told of it, when its readings are as good as they are said to be?
//!
//! A rotor of known unbalance and known answer to weights gives the readings that are asked for, each off by no more than
//! it is good to, by numbers of a seed. What is told of it has to agree with the rotor, and the holes that are planned
//! have to leave in the rotor what the plan says, within that.

use std::f64::consts::TAU;

use num_complex::Complex64;
use toothmark::bench::{
    Allowance, BalanceQuestion, Correction, Drilling, FoundBy, FoundWeight, PhaseReading, ReadingsGoodTo, RotorBalance,
    TrialRun, TrialWithPhase, WeightAmount, WeightSense, balance, hole_unbalance,
};
use toothmark::gearset::Side;

use super::ring_of;
use crate::tooth::lots::Lots;

const GOOD_TO: ReadingsGoodTo =
    ReadingsGoodTo { grams: Some(0.3), radius: Some(0.5), degrees: Some(1.0), reading: Some(0.04) };

/// Off by no more than this.
fn off_by(lots: &mut Lots, most: f64) -> f64 {
    lots.between(-most, most)
}

fn vector(lots: &mut Lots, least: f64, most: f64) -> Complex64 {
    Complex64::from_polar(lots.between(least, most), lots.between(0.0, TAU))
}

/// How a trial weight is told, and what it truly is.
fn trial(lots: &mut Lots, degrees: f64) -> (WeightAmount, Complex64) {
    let (grams, radius) = (lots.between(15.0, 25.0), lots.between(85.0, 95.0));
    let truly = (grams + off_by(lots, 0.3)) * (radius + off_by(lots, 0.5));
    (WeightAmount::AtRadius { grams, radius }, Complex64::from_polar(truly, degrees.to_radians()))
}

fn read(lots: &mut Lots, reading: Complex64) -> PhaseReading {
    PhaseReading {
        amount: (reading.norm() + off_by(lots, 0.04)).max(0.0),
        degrees: reading.arg().to_degrees() + off_by(lots, 1.0),
    }
}

/// By putty that brings a rotor into balance, two weights of it.
fn by_weights(lots: &mut Lots) -> (FoundBy, Vec<Complex64>) {
    let mut truly = Complex64::ZERO;
    let weights = (0..2).map(|_| {
        let (grams, radius, degrees) = (lots.between(5.0, 25.0), lots.between(80.0, 100.0), lots.between(0.0, 360.0));
        let size = (grams + off_by(lots, 0.3)) * (radius + off_by(lots, 0.5));
        truly += Complex64::from_polar(size, (degrees + off_by(lots, 1.0)).to_radians());
        FoundWeight {
            amount: WeightAmount::AtRadius { grams, radius },
            degrees,
            sense: WeightSense::Balancing,
            along_axis: 0.0,
        }
    });
    let weights = weights.collect();
    (FoundBy::Weights { weights, planes: None }, vec![-truly])
}

/// By a machine in one plane or two, whose readings are some millimetres a second.
fn by_phases<const N: usize>(lots: &mut Lots) -> (FoundBy, Vec<Complex64>) {
    let truly: [Complex64; N] = std::array::from_fn(|_| vector(lots, 800.0, 2500.0));
    // A weight in a plane moves its own bearing more than the other.
    let answers: [[Complex64; N]; N] = std::array::from_fn(|reading| {
        std::array::from_fn(
            |plane| if reading == plane { vector(lots, 0.003, 0.004) } else { vector(lots, 0.0, 0.0015) },
        )
    });
    let reads = |unbalance: &[Complex64; N]| -> [Complex64; N] {
        std::array::from_fn(|reading| (0..N).map(|plane| answers[reading][plane] * unbalance[plane]).sum())
    };
    let as_found = reads(&truly).map(|reading| read(lots, reading)).to_vec();
    let trials = (0..N).map(|plane| {
        let degrees = lots.between(0.0, 360.0);
        let (weight, put_on) = trial(lots, degrees);
        let mut with = truly;
        with[plane] += put_on;
        TrialWithPhase { weight, degrees, readings: reads(&with).map(|reading| read(lots, reading)).to_vec() }
    });
    let trials = trials.collect();
    (FoundBy::Phases { as_found, trials }, truly.to_vec())
}

/// By runs without phase: the trial is the same in each.
fn by_runs(lots: &mut Lots) -> (FoundBy, Vec<Complex64>) {
    let truly = vector(lots, 800.0, 2500.0);
    let answer = vector(lots, 0.003, 0.004);
    let (weight, put_on) = trial(lots, 0.0);
    let trials = [0.0, 120.0, 240.0].map(|degrees: f64| {
        let turned = put_on * Complex64::from_polar(1.0, degrees.to_radians());
        TrialRun { weight, degrees, reading: ((answer * (truly + turned)).norm() + off_by(lots, 0.04)).max(0.0) }
    });
    let as_found = ((answer * truly).norm() + off_by(lots, 0.04)).max(0.0);
    (FoundBy::Runs { as_found, trials: trials.to_vec() }, vec![truly])
}

fn asked(found: FoundBy) -> RotorBalance {
    let drilling =
        Drilling { drills: vec![6.0, 8.0, 10.0, 12.0, 16.0], thickness: 40.0, wall: 5.0, ..Drilling::default() };
    let question = BalanceQuestion {
        allowance: Some(Allowance::GramMillimetres(150.0)),
        seen_from: Some(Side::Output),
        found: Some(found),
        good_to: GOOD_TO,
        correction: Some(Correction { places: ring_of(12, 95.0), drilling: Some(drilling) }),
        ..BalanceQuestion::default()
    };
    balance(&question).unwrap_or_else(|reason| panic!("{reason}: {question:?}"))
}

/// How far what is left in a rotor is from what the plan says, in what readings are good to; the worst plane.
#[track_caller]
fn off(answer: &RotorBalance, truly: &[Complex64]) -> f64 {
    let of_plane = |(plane, truly): (&toothmark::bench::PlaneBalance, &Complex64)| {
        let takes = plane.plan.iter().map(|hole| {
            let size = hole_unbalance(
                answer.drilling.as_ref().expect("it is told").direction,
                7.2,
                [hole.drill_mm, hole.depth_mm],
                hole.radius_mm,
            );
            Complex64::from_polar(size, hole.place_degrees.to_radians())
        });
        let left = truly - takes.sum::<Complex64>();
        let told = plane.left.unwrap_or_else(|| panic!("nothing is planned: {plane:?}"));
        let told = Complex64::from_polar(told.g_mm, told.degrees.to_radians());
        assert!(told.norm() <= plane.allowed_g_mm.expect("it is told"), "{plane:?}");
        (left - told).norm() / plane.found.within_g_mm
    };
    answer.planes.iter().zip(truly).map(of_plane).fold(0.0, f64::max)
}

/// Numbers that were read: of so many that err at random, each by up to what it is good to, the sum errs by the root of
/// as many times that at most, as long as it follows them in proportion.
#[track_caller]
fn check(what: &str, numbers: f64, rotor: fn(&mut Lots) -> (FoundBy, Vec<Complex64>)) {
    let mut lots = Lots::new(20_251_129);
    let (mut squares, mut rotors) = (0.0, 0.0);
    for _ in 0..150 {
        let (found, truly) = rotor(&mut lots);
        let answer = asked(found);
        let off = off(&answer, &truly);
        assert!(off <= 1.1 * f64::sqrt(numbers), "{what}: {off} times what it is good to: {answer:?}");
        squares += off * off;
        rotors += 1.0;
    }
    // Uniform errors up to u have a deviation of u / sqrt 3; so has the answer, and not a tenth of it.
    let deviation = f64::sqrt(squares / rotors);
    assert!((0.2..0.9).contains(&deviation), "{what}: {deviation}");
}

#[test]
fn a_rotor_comes_into_balance_by_putty() {
    check("putty", 6.0, by_weights);
}

#[test]
fn a_rotor_comes_into_balance_by_phase_in_one_plane() {
    check("one plane", 6.0, by_phases::<1>);
}

#[test]
fn a_rotor_comes_into_balance_by_phase_in_two_planes() {
    check("two planes", 16.0, by_phases::<2>);
}

#[test]
fn a_rotor_comes_into_balance_by_runs_without_phase() {
    check("four runs", 6.0, by_runs);
}
