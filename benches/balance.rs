//! How long does it take to plan the holes of a rotor? `cargo bench --bench balance`.
//!
//! Twelve places, six drills and twenty depths of each, for one hole, two, three, and where nothing reaches: then every
//! choice of up to three holes is excluded, the least is looked for, and each limit is let go in turn. Besides the places
//! where the wall keeps holes apart, and the most places that are taken. Nothing is kept from one round to the next; the
//! median of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::bench::{
    Allowance, BalanceQuestion, Correction, CorrectionPlace, Drilling, FoundBy, FoundWeight, WeightAmount, WeightSense,
    balance,
};
use toothmark::gearset::Side;

const ROUNDS: usize = 21;

/// A rotor that is too heavy by so many g mm, at an angle between places; the depths of each drill are 3 to 22 mm.
fn question(g_mm: f64, allowed: f64, places: u32, spacing: f64) -> BalanceQuestion {
    let place = |number: u32| CorrectionPlace { degrees: spacing * f64::from(number), radius: 95.0 };
    let amount = WeightAmount::GramMillimetres(g_mm);
    let heavy = FoundWeight { amount, degrees: 100.0, sense: WeightSense::Heavy, along_axis: 0.0 };
    let drilling =
        Drilling { drills: vec![5.0, 6.0, 8.0, 10.0, 12.0, 12.7], thickness: 31.0, wall: 4.0, ..Drilling::default() };
    BalanceQuestion {
        allowance: Some(Allowance::GramMillimetres(allowed)),
        seen_from: Some(Side::Input),
        found: Some(FoundBy::Weights { weights: vec![heavy], planes: None }),
        correction: Some(Correction { places: (0..places).map(place).collect(), drilling: Some(drilling) }),
        ..BalanceQuestion::default()
    }
}

/// The median time in milliseconds, how many holes, and what they leave.
fn measure(question: &BalanceQuestion) -> (f64, usize, f64) {
    let (mut holes, mut left) = (0, 0.0);
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            let answer = black_box(balance(black_box(question)).expect("the question can be asked"));
            let milliseconds = start.elapsed().as_secs_f64() * 1e3;
            (holes, left) = (answer.plan.len(), answer.left.map_or(0.0, |left| left.g_mm));
            milliseconds
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    (rounds[ROUNDS / 2], holes, left)
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    for (name, question) in [
        ("one hole", question(1200.0, 300.0, 12, 30.0)),
        ("two holes", question(2122.0, 120.0, 12, 30.0)),
        ("three holes", question(4800.0, 120.0, 12, 30.0)),
        ("no three reach a hundredth", question(2122.0, 0.01, 12, 30.0)),
        ("nothing reaches, by far", question(20_000.0, 120.0, 12, 30.0)),
        ("holes that keep one another away", question(2122.0, 0.01, 12, 8.0)),
        ("as many places as are taken", question(2122.0, 0.01, 36, 10.0)),
    ] {
        let (milliseconds, holes, left) = measure(&question);
        println!("{name:<36} {milliseconds:>8.3} ms  {holes} holes leave {left:.4} g mm");
    }
}
