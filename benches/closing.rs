//! How long does it take to close teeth on their pins, and what does a search pay for looking at them?
//! `cargo bench --bench closing`.
//!
//! Clusters of two and three gears, one with a ring, a train of several sets. Then other counts for two pairs of a cluster,
//! with equal sums and nothing asked of teeth, with limits of contact and shift, and with shift that keeps the pin circle.
//! Medians, nothing kept from one round to the next.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::exact::fraction;
use toothmark::fit::{CloseQuestion, close};
use toothmark::gearset::{Draft, Gearset, Pitch};
use toothmark::search::{Options, Wanted};
use toothmark::tooth_search::{RequestText, TeethPlan};

const ROUNDS: usize = 501;
const SEARCHES: usize = 15;

const REQUESTS: [(&str, &str); 3] = [
    ("nothing asked of teeth", ""),
    ("contact, tips and shifts within limits", "fit: (contact_ratio: 1.3, tip_thickness: 0.3, largest_shift: 0.6),"),
    (
        "the pin circle kept by shift, within limits",
        "center_distances: KeptByShift(2), fit: (contact_ratio: 1.3, tip_thickness: 0.3, largest_shift: 0.6),",
    ),
];

fn built_in(name: &str) -> Gearset {
    let text = description::example(name).expect("it is built in");
    let set = description::read(text).expect("a built-in description is sound");
    let pitch = Some(Pitch::Module(fraction(5, 2)).into());
    let sized = Draft { pitch: pitch.filter(|_| set.draft().pitch.is_none()), ..set.draft().clone() };
    if set.draft().pitch.is_some() { set } else { Gearset::new(sized).expect("a module breaks no rule") }
}

/// The median of some rounds, in milliseconds.
fn median(rounds: usize, mut ask: impl FnMut()) -> f64 {
    let mut milliseconds: Vec<f64> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            ask();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    milliseconds.sort_by(f64::total_cmp);
    milliseconds[rounds / 2]
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    for name in ["millrace-winch", "inspection-railcar", "ropeway-hub-by-shift", "three-set-six-speed"] {
        let set = built_in(name);
        let time = median(ROUNDS, || {
            black_box(close(black_box(&set), &CloseQuestion::default()).expect("every mesh has a pitch"));
        });
        println!("close {name:<40} {time:>8.3} ms");
    }
    let set = built_in("hill-tramway-car");
    let mut first = None;
    for (name, asked) in REQUESTS {
        let text = format!(
            r#"Search(teeth: {{"D": (20, 36), "d": (24, 40), "L": (16, 32), "l": (28, 44)}},
            ratios: {{"low": Near(2.9)}}, {asked})"#
        );
        let text = RequestText::read(&text).expect("it is a request");
        let request = text.request(&set).expect("it fits the gearset");
        let mut count = 0;
        // A plan remembers what it fitted, so that each round makes its own.
        let time = median(SEARCHES, || {
            let plan = TeethPlan::new(&set, &request).expect("it can be searched");
            let answer = plan.search(&Wanted::Best(10), &Options::default()).expect("it is searched");
            count = answer.count;
        });
        let times = time / *first.get_or_insert(time);
        println!("search, {name:<46} {time:>8.2} ms, {times:.2} times, {count} serve");
    }
}
