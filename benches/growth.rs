//! How do answers grow with the train, and with the number of its states?
//! `cargo bench --bench growth`.
//!
//! Plain gearsets in series, reduction and step-up by turns so that numbers stay small, which assemble or do not; a train
//! of four of them with many states; the least of several rounds. Beside each time stands by how much it is more than for
//! the smaller train, over by how much the train is larger: 1 is linear growth. Then the pictures of the default example,
//! and how many descriptions of its size are read and solved in a second by one core.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::drawing::page::{PageSet, page};
use toothmark::drawing::{Paper, Request, draw};
use toothmark::formula::{FormulasQuestion, formulas};
use toothmark::gearset::Gearset;
use toothmark::kinematics::motions;
use toothmark::lesson::{LessonOptions, lesson, lessons};
use toothmark::timing::{marking, timing};

const ROUNDS: usize = 5;

/// What a train is asked.
type Question = fn(&Gearset);

/// Questions on one train, with the name of what is asked.
const OF_TRAINS: [(&str, Assembly, Question); 7] = [
    ("timing, none assembles", Assembly::NoSet, |set| drop(black_box(timing(set)))),
    ("timing, one does not assemble", Assembly::AllButOne, |set| drop(black_box(timing(set)))),
    ("timing, all assemble", Assembly::EverySet, |set| drop(black_box(timing(set)))),
    ("marking, none assembles", Assembly::NoSet, |set| drop(black_box(marking(set)))),
    ("a state worked out", Assembly::NoSet, |set| drop(black_box(lesson(set, "state 0", &LessonOptions::default())))),
    ("the ratio as a formula", Assembly::EverySet, |set| drop(black_box(formulas(set, &FormulasQuestion::default())))),
    ("speeds in every state", Assembly::EverySet, |set| drop(black_box(motions(set)))),
];

/// Questions on a train of four sets with many states.
const OF_STATES: [(&str, Question); 3] = [
    ("a page that moves", |set| drop(black_box(page(&[PageSet { set, extras: Vec::new() }])))),
    ("every state worked out", |set| lessons(set, &LessonOptions::default()).for_each(|it| drop(black_box(it)))),
    ("every ratio as a formula", |set| drop(black_box(formulas(set, &FormulasQuestion::default())))),
];

/// Which sets of a train go onto their pins.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Assembly {
    EverySet,
    AllButOne,
    NoSet,
}

fn main() {
    for (what, assembly, ask) in OF_TRAINS {
        let times = [60, 250].map(|sets| {
            let set = series(sets, assembly, 1);
            milliseconds(|| ask(black_box(&set)))
        });
        print_growth(what, "sets in series", [60.0, 250.0], times);
    }
    for (what, ask) in OF_STATES {
        let times = [100, 1000].map(|states| {
            let set = series(4, Assembly::EverySet, states);
            milliseconds(|| ask(black_box(&set)))
        });
        print_growth(what, "states of four sets", [100.0, 1000.0], times);
    }
    let text = description::examples()[0].text;
    let set = description::read(text).expect("an example is sound");
    let drawn = milliseconds(|| draw(black_box(&set), Request { paper: Paper::A4, only: None }));
    println!("all pictures of {}: {drawn:.1} ms", set.title());
    let solved = milliseconds(|| {
        for _ in 0..100 {
            black_box(motions(&description::read(black_box(text)).expect("an example is sound")));
        }
    });
    println!("read and solved a second: {:.0}", 100.0 * 1e3 / solved);
}

fn print_growth(what: &str, of: &str, sizes: [f64; 2], times: [f64; 2]) {
    let growth = times[1] / times[0] / (sizes[1] / sizes[0]);
    println!(
        "{what}: {:.1} ms for {} {of}, {:.1} ms for {}, {growth:.2} of linear growth",
        times[0], sizes[0], times[1], sizes[1]
    );
}

/// The least of several rounds.
fn milliseconds<T>(work: impl Fn() -> T) -> f64 {
    let round = |_| {
        let start = Instant::now();
        black_box(work());
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..ROUNDS).map(round).fold(f64::INFINITY, f64::min)
}

/// So many sets in series with so many states, in each of which every ring is held or its set is clutched.
fn series(sets: usize, assembly: Assembly, states: usize) -> Gearset {
    let mut parts = Parts::default();
    for set in 0..sets {
        let own = match assembly {
            Assembly::AllButOne if set != sets / 2 => Assembly::EverySet,
            Assembly::AllButOne => Assembly::NoSet,
            Assembly::EverySet | Assembly::NoSet => assembly,
        };
        parts.add(set, own);
    }
    for state in 0..states {
        let engaged = (0..sets).map(|set| if state > 0 && (set + state) % 4 == 0 { "clutch" } else { "band" });
        let engaged: Vec<String> = engaged.enumerate().map(|(set, kind)| format!("\"{kind} {set}\"")).collect();
        let _ = write!(parts.states, "\"state {state}\": Apply([{}]),", engaged.join(", "));
    }
    let Parts { members, planets, meshes, joins, controls, states } = parts;
    let text = format!(
        "Gearset(title: \"series\", input: \"sun 0\", output: \"{}\", members: {{{members}}}, planets: {{{planets}}}, \
         meshes: [{meshes}], joins: [{joins}], controls: {{{controls}}}, states: {{{states}}})",
        Parts::driven(sets - 1)
    );
    description::read(&text).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The lists of a description.
#[derive(Default)]
struct Parts {
    members: String,
    planets: String,
    meshes: String,
    joins: String,
    controls: String,
    states: String,
}

impl Parts {
    /// Even sets are driven at the sun, odd ones at the carrier.
    fn add(&mut self, set: usize, assembly: Assembly) {
        let (sun, planet) = [(24, 18), (27, 20), (30, 22), (33, 24), (36, 26)][set / 2 % 5];
        let ring = sun + 2 * planet;
        // On two pins any of them goes; on so many that do not divide the sum of sun and ring none does.
        let refused = [5, 7, 11].into_iter().find(|pins| (sun + ring) % pins != 0).unwrap_or(13);
        let pins = if assembly == Assembly::EverySet { 2 } else { refused };
        // Writing to a String cannot fail.
        let _ = write!(
            self.members,
            "\"sun {set}\": [Sun(\"S{set}\", {sun})], \"ring {set}\": [Ring(\"R{set}\", {ring})], \"carrier {set}\": [],"
        );
        let _ = write!(
            self.planets,
            "\"planet {set}\": (carrier: \"carrier {set}\", pins: Equal({pins}), gears: [Gear(\"P{set}\", {planet})]),"
        );
        let _ = write!(self.meshes, "(\"S{set}\", \"P{set}\"), (\"R{set}\", \"P{set}\"),");
        let _ = write!(
            self.controls,
            "\"band {set}\": Band(\"ring {set}\"), \"clutch {set}\": Clutch(\"sun {set}\", \"carrier {set}\"),"
        );
        if set > 0 {
            let driving = if set.is_multiple_of(2) { "sun" } else { "carrier" };
            let _ = write!(self.joins, "(\"{}\", \"{driving} {set}\"),", Self::driven(set - 1));
        }
    }

    /// The member of a set that drives the next.
    fn driven(set: usize) -> String {
        format!("{} {set}", if set.is_multiple_of(2) { "carrier" } else { "sun" })
    }
}
