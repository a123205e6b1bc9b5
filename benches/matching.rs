//! How long does it take to match five measured clusters of three gears with about 60 teeth: all orders on five
//! pins, all seatings? `cargo bench --bench matching`.
//!
//! With clusters that differ as they come from two units, with one that was set wrong, and with indexes drawn at
//! random, where nothing fits well, little can be passed over and the search may give up. Nothing is kept from one round to the next; the median
//! of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::timing::matching;

const ROUNDS: usize = 31;

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
            members: {{\"A\": [Sun(\"S\", 40)], \"B\": [Sun(\"T\", 33)], \"C\": [Sun(\"U\", 47)], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: {pins}, gears: [
                Gear(\"a\", 60), Gear(\"b\", 67), Gear(\"c\", 53),
            ])}},
            meshes: [(\"S\", \"a\"), (\"T\", \"b\"), (\"U\", \"c\")],
            measured: {{\"cluster\": (uncertainty: Teeth(0.002), clusters: {{{clusters}}})}},
        )"
    );
    description::read(&text).expect("the description is sound")
}

/// The median time, and whether everything was looked at.
fn measure(set: &Gearset) -> (f64, bool) {
    let mut all_looked_at = true;
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            let matched = black_box(matching(black_box(set)).expect("it can be matched"));
            let milliseconds = start.elapsed().as_secs_f64() * 1e3;
            all_looked_at = matched.groups[0].all_looked_at;
            milliseconds
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    (rounds[ROUNDS / 2], all_looked_at)
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let alike = [[0, 0], [12, -5], [-8, 3], [20, 15], [0, 9]];
    let wrong = [[0, 0], [12, -5], [-8, 3], [320, -140], [0, 9]];
    let random = [[0, 0], [312, -105], [-411, 233], [87, 402], [-250, -333]];
    for (pins, place) in [("Equal(5)", "equal pins"), ("Degrees([0, 71, 144.5, 217, 287])", "unequal pins")] {
        for (index, kind) in [(alike, "of two units"), (wrong, "with one set wrong"), (random, "at random")] {
            let (time, all_looked_at) = measure(&set(index, pins));
            let looked_at = if all_looked_at { "all looked at" } else { "given up" };
            println!("matching five clusters {kind} on {place}: {time:.3} ms (median of {ROUNDS}, {looked_at})");
        }
    }
}
