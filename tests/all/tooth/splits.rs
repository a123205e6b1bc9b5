//! Does every split close its mesh, and does that of equal sliding slide alike?
//!
//! The sliding is worked out a second time from the velocities of both bodies at the ends of the path. The seed is
//! printed.

use toothmark::tooth::{
    InvolutePair, PinDisplacement, PlanetMesh, ShiftSplit, SplitRule, Teeth, ToothError, ToothForm, closed_distance,
    lag, split_shift, tip_shortening, working_pressure_angle,
};

use super::lots::Lots;

const SEED: u64 = 1455;
const PAIRS: u32 = 1000;

/// The pair with its shifts, tips shortened for root clearance.
fn cut(pair: &InvolutePair, distance: f64, split: ShiftSplit) -> InvolutePair {
    let shifted = |form: &ToothForm, profile_shift| ToothForm { profile_shift, ..*form };
    let full = InvolutePair::new(&shifted(pair.first(), split.first), &shifted(pair.second(), split.second));
    let full = full.expect("the gears mesh");
    let shortening = tip_shortening(&full, distance).expect("a mesh");
    let short = |form: &ToothForm| ToothForm { addendum: form.addendum + shortening, ..*form };
    InvolutePair::new(&short(full.first()), &short(full.second())).expect("the gears mesh")
}

/// How much of its own rolling a flank slides back where its root meets the other's tip, of either gear: the point of
/// the line of action at which the other's tip circle crosses it, and the speed of both bodies along the flank there.
/// The first gear turns about the origin, the second about (distance, 0).
fn sliding(pair: &InvolutePair, distance: f64) -> [f64; 2] {
    let (first, second) = (pair.first(), pair.second());
    // A ring turns as its gear does, an external gear the other way.
    let side = if pair.has_ring() { 1.0 } else { -1.0 };
    let turn = side * f64::from(first.tooth_count) / f64::from(second.tooth_count);
    // Both bodies have one speed at the pitch point: p = t (p - a). In a ring it lies beyond the gear's axis.
    let pitch_point = distance / (1.0 - 1.0 / turn);
    let (sine, cosine) = working_pressure_angle(pair, distance).expect("a mesh").sin_cos();
    // The line of action leans by the working angle; t along it is 0 at the pitch point.
    let at = |t: f64| [pitch_point - t * sine, t * cosine];
    // Where the circle about (x, 0) crosses it, the first or the last time.
    let crossing = |x: f64, radius: f64, which: f64| {
        let half = (pitch_point - x) * sine;
        half + which * (half * half - (pitch_point - x).powi(2) + radius * radius).sqrt()
    };
    // w (-y, x - c) along the flank, (cos, sin).
    let speeds = |t: f64| {
        let [x, y] = at(t);
        let of = |omega: f64, center: f64| omega * (-y * cosine + (x - center) * sine);
        [of(1.0, 0.0), of(turn, distance)]
    };
    // The tangent point of the first gear's base circle lies at p sin w, so an external gear's tip works below 0.
    let [of_second, own_of_second] = speeds(crossing(0.0, first.tip_radius(), side));
    let [own_of_first, of_first] = speeds(crossing(distance, second.tip_radius(), 1.0));
    [1.0 - of_first / own_of_first, 1.0 - of_second / own_of_second]
}

fn random_pair(lots: &mut Lots) -> (InvolutePair, f64) {
    loop {
        let ring = lots.count(0, 3) == 0;
        let module = lots.between(1.0, 5.0);
        let first = ToothForm::standard(Teeth::External, lots.count(12, 50), module);
        let (teeth, more) = if ring { (Teeth::Internal, lots.count(16, 60)) } else { (Teeth::External, 0) };
        let count = if ring { first.tooth_count + more } else { lots.count(12, 90) };
        let second = ToothForm { profile_shift: lots.between(-0.6, 1.0), ..ToothForm::standard(teeth, count, module) };
        let pair = InvolutePair::new(&first, &second).expect("sound gears");
        if let Ok(distance) = closed_distance(&pair) {
            return (pair, distance);
        }
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn equal_sliding_is_equal_by_the_velocities_of_both_flanks() {
    let mut lots = Lots::new(SEED);
    let [mut external, mut rings, mut none] = [0_u32; 3];
    for _ in 0..PAIRS {
        let (pair, distance) = random_pair(&mut lots);
        let split = match split_shift(&pair, distance, SplitRule::EqualSliding) {
            Ok(split) => split,
            Err(error) => {
                assert_eq!(error, ToothError::NoSplit, "{pair:?}");
                none += 1;
                continue;
            }
        };
        let [first, second] = sliding(&cut(&pair, distance, split), distance);
        assert!((first - second).abs() < 1e-6 * (1.0 + first.abs()), "{pair:?}: {first} and {second}");
        assert!(first < 0.0, "{pair:?}: roots slide back: {first}");
        *(if pair.has_ring() { &mut rings } else { &mut external }) += 1;
    }
    println!("seed {SEED}: {external} external pairs, {rings} with rings, {none} without such a split");
    assert!(external > PAIRS / 2 && rings > PAIRS / 20, "hardly a split: {external}, {rings}");
}

#[test]
fn every_split_closes_its_mesh_and_does_not_ask_which_gear_is_named_first() {
    let mut lots = Lots::new(SEED + 1);
    let rules = [
        SplitRule::EqualSliding,
        SplitRule::Difference,
        SplitRule::InverseRatio(0.6),
        SplitRule::Logarithm,
        SplitRule::Halves,
    ];
    for _ in 0..PAIRS {
        let (pair, distance) = random_pair(&mut lots);
        let turned = InvolutePair::new(pair.second(), pair.first()).expect("the same gears");
        for rule in rules {
            let by_counts = rule != SplitRule::EqualSliding && rule != SplitRule::Halves;
            match split_shift(&pair, distance, rule) {
                Ok(split) => {
                    let closed = closed_distance(&cut(&pair, distance, split)).expect("a mesh");
                    assert!((closed - distance).abs() < 1e-6, "{pair:?} by {rule:?}: {closed}");
                    let other = split_shift(&turned, distance, rule).expect("the same gears");
                    // The gear inside a ring is the first in any order.
                    let swapped = if pair.has_ring() { other.first } else { other.second };
                    let same_count = pair.first().tooth_count == pair.second().tooth_count;
                    assert!(same_count || (swapped - split.first).abs() < 1e-9, "{pair:?} by {rule:?}: {swapped}");
                }
                Err(error) => {
                    assert_eq!(error, ToothError::NoSplit, "{pair:?} by {rule:?}");
                    assert!(pair.has_ring() || !by_counts, "{pair:?} by {rule:?}");
                }
            }
        }
    }
}

#[test]
fn alike_gears_share_alike_by_every_rule() {
    let gear = ToothForm { profile_shift: 0.2, ..ToothForm::standard(Teeth::External, 40, 2.0) };
    let pair = InvolutePair::new(&gear, &gear).expect("sound gears");
    let distance = closed_distance(&pair).expect("a mesh");
    for rule in [
        SplitRule::EqualSliding,
        SplitRule::Difference,
        SplitRule::InverseRatio(0.5),
        SplitRule::Logarithm,
        SplitRule::Halves,
    ] {
        let split = split_shift(&pair, distance, rule).expect("a split");
        assert!((split.first - 0.2).abs() < 1e-9, "by {rule:?}: {split:?}");
    }
}

#[test]
fn what_leaves_no_lag_and_no_split_is_refused() {
    let gear = |count| ToothForm::standard(Teeth::External, count, 1.0);
    let ring = ToothForm::standard(Teeth::Internal, 60, 1.0);
    assert_eq!(PlanetMesh::new(&ring, &gear(20), 20.0), Err(ToothError::RingPlanet));
    let mesh = PlanetMesh::new(&gear(20), &gear(20), 20.0).expect("a mesh");
    for pin in [(1.1, 0.0), (0.0, -1.1), (f64::NAN, 0.0), (0.0, f64::INFINITY)] {
        let pin = PinDisplacement { outward: pin.0, along: pin.1 };
        assert_eq!(lag(mesh, mesh, pin), Err(ToothError::PinDisplaced), "{pin:?}");
    }
    let tens = InvolutePair::new(&gear(10), &gear(10)).expect("sound gears");
    assert_eq!(split_shift(&tens, 10.0, SplitRule::Logarithm), Err(ToothError::NoSplit));
    let in_ring = InvolutePair::new(&gear(20), &ring).expect("sound gears");
    assert_eq!(split_shift(&in_ring, 20.0, SplitRule::Difference), Err(ToothError::NoSplit));
    assert_eq!(split_shift(&tens, 10.0, SplitRule::InverseRatio(f64::NAN)), Err(ToothError::OutOfRange));
}
