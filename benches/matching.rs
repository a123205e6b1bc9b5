//! How long does it take to match five measured clusters of three gears with 60 teeth: all orders on five
//! pins, all seatings? `cargo bench --bench matching`.
//!
//! Once with clusters that differ as they come from two units, once with indexes drawn at random, where
//! nothing fits well and little can be passed over. Nothing is kept from one round to the next; the median
//! of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::timing::{MatchSearch, matching};

const ROUNDS: usize = 101;

/// Five clusters on five pins, the index of each in thousandths of a tooth for the second gear and the third.
fn set(index: [[i32; 2]; 5], pins: &str) -> Gearset {
    let cluster = |(at, [second, third]): (usize, [i32; 2])| {
        let [second, third] = [second, third].map(|thousandths| f64::from(thousandths) / 1000.0);
        format!("\"{at}\": Index([Teeth(\"b\", {second}), Teeth(\"c\", {third})]), ")
    };
    let clusters: String = index.into_iter().enumerate().map(cluster).collect();
    let text = format!(
        "Gearset(
            title: \"Five clusters\", pitch: Module(2), backlash: Millimetres(0.1),
            members: {{\"A\": [Sun(\"S\", 40)], \"B\": [Sun(\"T\", 41)], \"C\": [Sun(\"U\", 39)], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: {pins}, gears: [
                Gear(\"a\", 60), Gear(\"b\", 59), Gear(\"c\", 61),
            ])}},
            meshes: [(\"S\", \"a\"), (\"T\", \"b\"), (\"U\", \"c\")],
            measured: {{\"cluster\": (uncertainty: Teeth(0.002), clusters: {{{clusters}}})}},
        )"
    );
    description::read(&text).expect("the description is sound")
}

fn milliseconds(set: &Gearset) -> f64 {
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            let matched = black_box(matching(black_box(set)).expect("it can be matched"));
            let milliseconds = start.elapsed().as_secs_f64() * 1e3;
            assert_eq!(matched[0].search, MatchSearch::Complete, "everything was looked at");
            milliseconds
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    rounds[ROUNDS / 2]
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let alike = [[0, 0], [12, -5], [-8, 3], [20, 15], [0, 9]];
    let random = [[0, 0], [312, -105], [-411, 233], [87, 402], [-250, -333]];
    for (pins, place) in [("Equal(5)", "equal pins"), ("Degrees([0, 71, 144.5, 217, 287])", "unequal pins")] {
        for (index, kind) in [(alike, "of two units"), (random, "at random")] {
            let time = milliseconds(&set(index, pins));
            println!("matching five clusters {kind} on {place}: {time:.3} ms (median of {ROUNDS})");
        }
    }
}
