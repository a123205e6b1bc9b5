//! How long does it take to work out the timing of one cluster of four gears with about 200 teeth
//! each, its nearest wrong seating included? `cargo bench --bench timing`.
//!
//! Nothing is kept from one round to the next; the median of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::timing::timing;

/// Counts without a common factor, so that every tooth is a seating to look at.
const CLUSTER: &str = r#"Gearset(
    title: "Four gears of two hundred teeth",
    members: {"a": [Sun("A", 100)], "b": [Sun("B", 103)], "c": [Sun("C", 97)], "d": [Sun("D", 101)], "carrier": []},
    planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [
        Gear("e", 200), Gear("f", 197), Gear("g", 203), Gear("h", 199),
    ])},
    meshes: [("A", "e"), ("B", "f"), ("C", "g"), ("D", "h")],
)"#;

const ROUNDS: usize = 2001;

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let set = description::read(CLUSTER).expect("the description is sound");
    let goes = timing(&set).groups[0].assembles;
    assert!(goes, "a cluster that goes together, so that the margin is looked for");
    let mut microseconds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            black_box(timing(black_box(&set)));
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    microseconds.sort_by(f64::total_cmp);
    println!(
        "timing of a cluster of four gears with 200 teeth: {:.1} microseconds (median of {ROUNDS})",
        microseconds[ROUNDS / 2]
    );
}
