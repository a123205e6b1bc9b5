//! Do planets share a force as every subset of them that could carry says?
//!
//! A subset carries rightly where its springs add up to the force, none of them pulls, and no planet outside would be
//! pressed. All subsets are tried. The seed is printed.

use std::f64::consts::TAU;

use toothmark::tooth::{ToothError, share_load, share_load_floating};

use super::lots::Lots;

const SEED: u64 = 1431;
const CASES: u32 = 2000;

/// Lags that often agree.
fn some_lag(lots: &mut Lots) -> f64 {
    let any = lots.between(-0.1, 0.1);
    lots.pick(&[0.0, 0.01, any])
}

/// The forces of the subsets that carry rightly, as bits of the planets.
fn by_subsets(lags: &[f64], stiffness: f64, force: f64) -> Vec<Vec<f64>> {
    let carries = |subset: u32, planet: usize| subset >> planet & 1 == 1;
    let forces = |subset: u32| {
        let sum: f64 = (0..lags.len()).filter(|&planet| carries(subset, planet)).map(|planet| lags[planet]).sum();
        let pushed = (force / stiffness + sum) / f64::from(subset.count_ones());
        let right = (0..lags.len()).all(|planet| carries(subset, planet) == (lags[planet] < pushed));
        right.then(|| lags.iter().map(|lag| stiffness * (pushed - lag).max(0.0)).collect())
    };
    (1..1 << lags.len()).filter_map(forces).collect()
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn planets_share_as_the_one_subset_that_can_carry() {
    let mut lots = Lots::new(SEED);
    let mut not_all = 0_u32;
    for _ in 0..CASES {
        let lags: Vec<f64> = (0..lots.count(1, 7)).map(|_| some_lag(&mut lots)).collect();
        let (stiffness, force) = (lots.between(1e3, 1e6), lots.between(1.0, 1e4));
        let shares = share_load(&lags, stiffness, force).expect("sound numbers");
        let subsets = by_subsets(&lags, stiffness, force);
        assert_eq!(subsets.len(), 1, "of {lags:?} under {force}");
        for (ours, theirs) in shares.forces.iter().zip(&subsets[0]) {
            assert!((ours - theirs).abs() < 1e-6 * force, "{lags:?}: {ours} against {theirs}");
        }
        for (planet, joins) in shares.joins_at.iter().enumerate().filter(|(_, joins)| **joins > 1e-6) {
            let carried = |force| share_load(&lags, stiffness, force).expect("sound numbers").forces[planet];
            assert!(carried(joins * 0.999) <= 0.0, "{lags:?}: planet {planet} carries before {joins}");
            assert!(carried(joins * 1.001) > 0.0, "{lags:?}: planet {planet} does not carry after {joins}");
        }
        not_all += u32::from(shares.forces.iter().any(|&force| force <= 0.0));
    }
    println!("seed {SEED}: {CASES} cases, in {not_all} not all planets carry");
    assert!(not_all > CASES / 10, "all planets carry nearly always: {not_all}");
}

#[test]
fn a_floating_gear_is_pushed_nowhere() {
    let mut lots = Lots::new(SEED + 1);
    for _ in 0..CASES {
        let lags: Vec<f64> = (0..lots.count(2, 4)).map(|_| lots.between(-0.05, 0.05)).collect();
        let force = lots.between(100.0, 1e4);
        let shares = share_load_floating(&lags, 1e5, force).expect("sound numbers").forces;
        let turned =
            |planet: u16| TAU * f64::from(planet) / f64::from(u16::try_from(lags.len()).expect("at most four"));
        let along = |part: fn(f64) -> f64| -> f64 {
            (0_u16..).zip(&shares).map(|(planet, force)| part(turned(planet)) * force).sum()
        };
        for (what, left) in
            [("turns", shares.iter().sum::<f64>() - force), ("x", along(f64::cos)), ("y", along(f64::sin))]
        {
            assert!(left.abs() < 1e-9 * force, "{lags:?}: {shares:?} leave {left} along {what}");
        }
        assert!(shares.iter().all(|&force| force >= 0.0), "a planet of {lags:?} pulls: {shares:?}");
        // What floating cannot take up: opposite pairs out of line with one another, as long as both carry.
        if let [a, b, c, d] = lags[..]
            && shares.iter().all(|&force| force > 0.0)
        {
            let expected = force / 4.0 - 1e5 * (a - b + c - d) / 4.0;
            assert!((shares[0] - expected).abs() < 1e-6 * force, "{lags:?}: {} against {expected}", shares[0]);
        }
    }
}

#[test]
fn what_is_no_load_is_refused() {
    assert_eq!(share_load(&[], 1e5, 1.0), Err(ToothError::NoSize));
    assert_eq!(share_load(&[0.0], 0.0, 1.0), Err(ToothError::NoSize));
    assert_eq!(share_load(&[0.0], 1e5, -1.0), Err(ToothError::NoSize));
    assert_eq!(share_load(&[f64::NAN], 1e5, 1.0), Err(ToothError::OutOfRange));
    assert_eq!(share_load_floating(&[0.0; 5], 1e5, 1.0), Err(ToothError::FloatingPlanets));
    assert_eq!(share_load_floating(&[0.0], 1e5, 1.0), Err(ToothError::FloatingPlanets));
    assert_eq!(share_load_floating(&[0.0, f64::INFINITY], 1e5, 1.0), Err(ToothError::OutOfRange));
}
