//! How long does it take to find every way to use a train of four gearsets?
//!
//! Run with `cargo bench --bench exploring`. The gearsets are coupled at random, but the same
//! for every run, so that seven bodies are left, of which two have to be held or coupled, and
//! then so that eight are left and three have to be. Every body has a band, every two of them
//! a clutch: all pairs (or threes) of controls, all inputs and outputs. The median is shown.

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::kinematics::{ExplorationQuestion, explore};

const ROUNDS: usize = 51;

fn main() {
    let joins = ["S0 S1", "C0 R1", "C1 R2", "S2 S3", "C2 R3"];
    for joined in [joins.as_slice(), &joins[..4]] {
        measure(&four_gearsets(joined));
    }
}

/// Four gearsets of sun, planet, ring and carrier; each join names two members.
fn four_gearsets(joins: &[&str]) -> Gearset {
    let (mut members, mut planets, mut meshes) = (String::new(), String::new(), String::new());
    for (set, [sun, planet]) in [[24, 18], [30, 21], [36, 16], [27, 24]].into_iter().enumerate() {
        let ring = sun + 2 * planet;
        let _ =
            write!(members, r#""S{set}": [Sun("s{set}", {sun})], "R{set}": [Ring("r{set}", {ring})], "C{set}": [],"#);
        let _ = write!(planets, r#""P{set}": (carrier: "C{set}", pins: Equal(3), gears: [Gear("p{set}", {planet})]),"#);
        let _ = write!(meshes, r#"("s{set}", "p{set}"), ("r{set}", "p{set}"),"#);
    }
    let pair =
        |join: &&str| join.split_once(' ').map(|(one, other)| format!(r#"("{one}", "{other}"),"#)).unwrap_or_default();
    let joined: String = joins.iter().map(pair).collect();
    let is_first = |member: &String| !joins.iter().any(|join| join.ends_with(member.as_str()));
    let bodies: Vec<String> =
        (0..4).flat_map(|set| ["S", "R", "C"].map(|part| format!("{part}{set}"))).filter(is_first).collect();
    let mut controls = String::new();
    for (place, body) in bodies.iter().enumerate() {
        let _ = write!(controls, r#""{body} band": Band("{body}"),"#);
        for other in &bodies[..place] {
            let _ = write!(controls, r#""{body} {other} clutch": Clutch("{body}", "{other}"),"#);
        }
    }
    let text = format!(
        r#"Gearset(title: "four", members: {{{members}}}, planets: {{{planets}}}, meshes: [{meshes}], joins: [{joined}],
        controls: {{{controls}}})"#
    );
    description::read(&text).unwrap_or_else(|faults| panic!("{faults}"))
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn measure(set: &Gearset) {
    let found = explore(set, &ExplorationQuestion::default()).expect("it is within bounds");
    let mut milliseconds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            black_box(explore(black_box(set), &ExplorationQuestion::default())).expect("it is within bounds");
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    milliseconds.sort_by(f64::total_cmp);
    println!(
        "{} bodies, up to {} at once, {} controls: {} choices, {} ratios in {:.1} milliseconds (median of {ROUNDS})",
        found.members.len(),
        found.at_once,
        set.controls().len(),
        found.choices.len(),
        found.ratios.len(),
        milliseconds[ROUNDS / 2]
    );
}
