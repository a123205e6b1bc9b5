//! How long does it take to work out all loads of a train of eight members in four states, exactly?
//! `cargo bench --bench loads`.
//!
//! Speeds, torques and powers of every member, control, join and mesh; nothing is kept from one
//! round to the next. The median of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::statics::{Balanced, LoadOptions, loads};

/// Two gearsets, each of sun, planet, ring and carrier, coupled by one join and by clutches.
const TRAIN: &str = r#"Gearset(
    title: "Two gearsets of eight members",
    input: "sun 1",
    output: "carrier 2",
    members: {
        "sun 1": [Sun("S", 30)], "ring 1": [Ring("R", 72)], "carrier 1": [],
        "sun 2": [Sun("T", 37)], "ring 2": [Ring("U", 83)], "carrier 2": [],
    },
    planets: {
        "planet 1": (carrier: "carrier 1", pins: Equal(3), gears: [Gear("p", 21)]),
        "planet 2": (carrier: "carrier 2", pins: Equal(3), gears: [Gear("q", 23)]),
    },
    meshes: [("S", "p"), ("R", "p"), ("T", "q"), ("U", "q")],
    joins: [("carrier 1", "ring 2")],
    controls: {
        "band 1": Band("ring 1"), "band 2": Band("sun 2"),
        "clutch 1": Clutch("sun 1", "ring 1"), "clutch 2": Clutch("sun 1", "sun 2"),
    },
    states: {
        "first": Apply(["band 1", "band 2"]),
        "second": Apply(["band 1", "clutch 2"]),
        "third": Apply(["clutch 1", "band 2"]),
        "fourth": Apply(["clutch 1", "clutch 2"]),
    },
)"#;

const ROUNDS: usize = 5001;

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let set = description::read(TRAIN).expect("the description is sound");
    let options = LoadOptions::default();
    let states = loads(&set, &options);
    assert_eq!((set.members().len() - 1, states.len()), (8, 4), "eight members and four states");
    assert!(states.iter().all(|state| state.balanced == Balanced::Determined), "every torque is told");
    let mut microseconds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            black_box(loads(black_box(&set), &options));
            start.elapsed().as_secs_f64() * 1e6 / 4.0
        })
        .collect();
    microseconds.sort_by(f64::total_cmp);
    println!(
        "all loads of a train of eight members: {:.1} microseconds a state (median of {ROUNDS})",
        microseconds[ROUNDS / 2]
    );
}
