//! How long does a full diagnosis of marks as found take, of five clusters of three gears with about
//! 60 teeth? `cargo bench --bench found`.
//!
//! A set that is in time and one with a cluster put in wrong, read in whole teeth and in degrees; with a backlash
//! that lets wrong seatings in, with one that does not, and where none is given. Nothing is kept from one
//! round to the next; the median of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::gearset::Gearset;
use toothmark::timing::found;

const ROUNDS: usize = 301;

/// Five clusters on five pins that go together in one way only, with these marks.
fn set(marks: &str, backlash: &str) -> Gearset {
    let text = format!(
        "Gearset(
            title: \"Five clusters\", pitch: Module(2), {backlash}
            members: {{\"A\": [Sun(\"S\", 40)], \"B\": [Sun(\"T\", 33)], \"C\": [Sun(\"U\", 47)], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: Equal(5), gears: [
                Gear(\"a\", 60), Gear(\"b\", 67), Gear(\"c\", 53),
            ])}},
            meshes: [(\"S\", \"a\"), (\"T\", \"b\"), (\"U\", \"c\")],
            found: (seen: InputSide, planet: \"cluster\", marks: [{marks}]),
        )"
    );
    description::read(&text).expect("the description is sound")
}

/// The median time, and how many wrong seatings fit what was read.
fn measure(set: &Gearset) -> (f64, usize) {
    let mut fitting = 0;
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            let answer = black_box(found(black_box(set)).expect("it can be judged"));
            let milliseconds = start.elapsed().as_secs_f64() * 1e3;
            assert!(!answer.explanations.is_empty(), "the clusters go together");
            fitting = answer.explanations.iter().flat_map(|it| &it.pins).map(|pin| pin.wrong_seatings.len()).sum();
            milliseconds
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    (rounds[ROUNDS / 2], fitting)
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let teeth = |marks: [i32; 5]| marks.map(|mark| format!("Teeth(\"a\", {mark})")).join(", ");
    let degrees = |marks: [i32; 5]| marks.map(|mark| format!("Degrees({mark})")).join(", ");
    let readings = [
        ("in time, whole teeth", teeth([0, -12, -24, 24, 12])),
        ("one pin out, whole teeth", teeth([0, -12, -17, 24, 12])),
        ("all marks to the centre, degrees", degrees([0, 0, 0, 0, 0])),
    ];
    for (kind, marks) in &readings {
        for backlash in ["", "backlash: Millimetres(0.1),", "backlash: Millimetres(1.5),"] {
            let (time, fitting) = measure(&set(marks, backlash));
            let backlash = if backlash.is_empty() { "no backlash given" } else { backlash.trim_end_matches(',') };
            println!("{kind}, {backlash}: {time:.3} ms (median of {ROUNDS}, {fitting} wrong seatings fit)");
        }
    }
}
