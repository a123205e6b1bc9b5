//! How long does it take to find the best of many designs, proven? `cargo bench --bench searching`.
//!
//! Then the question as the program asks it: other tooth counts for the railcar, through gears, pins and states.
//!
//! The published problems of `benches/designs/`, and clusters of three and of four gears for wanted ratios on three
//! pins: all of them, against a plain loop over the same tooth counts in which all that a person would compute is
//! computed. The space with four gears is a thousand times larger; what is visited grows by what meets the
//! conditions. The least of several rounds, as other work on the machine only adds, with one thread and with two,
//! nothing kept between rounds. And how near simulated annealing comes to the best compound train.

use std::hint::black_box;
use std::num::NonZeroUsize;
use std::time::Instant;

use num_integer::Integer;
use toothmark::description;
use toothmark::exact::fraction;
use toothmark::search::{
    Expression, Options, Requirement, SearchOutcome, SearchProblem, Space, Variable, Wanted, WorkShare,
};
use toothmark::tooth_search::{CountWish, RequestText, TeethPlan};

mod annealing;
mod designs;

const ROUNDS: usize = 25;
/// Runs of annealing, and evaluations in each.
const RUNS: u32 = 20;
const EVALUATIONS: u64 = 100_000;

/// Parts into which a search is shared out.
const PARTS: usize = 64;

const LEAST: i64 = 15;
const MOST: i64 = 45;

/// Output turns for one of the carrier while another sun is held, as windows: low, reverse, and a third speed.
const WINDOWS: [[(i64, i64); 2]; 3] = [[(10, 29), (10, 27)], [(-10, 23), (-10, 25)], [(10, 19), (10, 17)]];

/// A cluster of some gears, each with a sun; the first sun is the output.
fn cluster(gears: usize) -> SearchProblem {
    let mut space = Space::new();
    let pair = |at| {
        let mut one = |name: &str| space.range(&format!("{name} {at}"), LEAST..=MOST);
        (one("sun"), one("planet"))
    };
    let pairs: Vec<(Variable, Variable)> = (0..gears).map(pair).collect();
    let mut problem = SearchProblem::new(space);
    let (output, driver) = pairs[0];
    for (&(sun, planet), window) in pairs[1..].iter().zip(WINDOWS) {
        problem.require("one centre distance", (sun + planet).equals(output + driver));
        let speed = 1 - sun * driver / (planet * output);
        let [a, b] = window.map(|(turns, of)| fraction(turns, of));
        problem.require("ratio", speed.within(a.clone().min(b.clone()), a.max(b)));
    }
    for (at, &(sun, planet)) in pairs.iter().enumerate() {
        for &(other_sun, other_planet) in &pairs[..at] {
            let whole = |v: &[i64]| go_together(v[0], v[1], v[2], v[3]);
            problem.require("three pins", Requirement::code([sun, planet, other_sun, other_planet], whole));
        }
    }
    let suns: Vec<Expression> = pairs.iter().map(|&(sun, _)| sun.into()).collect();
    problem.minimise(Expression::largest(suns).expect("there is one"));
    problem
}

/// Whether two gears of a cluster go in at thirds of a turn.
fn go_together(sun: i64, planet: i64, other_sun: i64, other_planet: i64) -> bool {
    (sun * other_planet - other_sun * planet) % (3 * planet.gcd(&other_planet)) == 0
}

/// The same clusters by a loop over output, its planet and the other suns, the other planets from the sum.
fn by_loop(gears: usize) -> usize {
    let mut chosen = Vec::new();
    let mut found = 0;
    for output in LEAST..=MOST {
        for driver in LEAST..=MOST {
            chosen.push((output, driver));
            found += with_more(gears, &mut chosen);
            chosen.pop();
        }
    }
    found
}

fn with_more(gears: usize, chosen: &mut Vec<(i64, i64)>) -> usize {
    if chosen.len() == gears {
        return 1;
    }
    let (output, driver) = chosen[0];
    let [(a, b), (c, d)] = WINDOWS[chosen.len() - 1];
    let mut found = 0;
    for sun in LEAST..=MOST {
        let planet = output + driver - sun;
        if !(LEAST..=MOST).contains(&planet) {
            continue;
        }
        let (turns, of) = (planet * output - sun * driver, planet * output);
        let (from_first, from_second) = (turns * b - a * of, turns * d - c * of);
        let inside = from_first.signum() * from_second.signum() <= 0;
        if inside && chosen.iter().all(|&(other, its)| go_together(sun, planet, other, its)) {
            chosen.push((sun, planet));
            found += with_more(gears, chosen);
            chosen.pop();
        }
    }
    found
}

/// The least time in milliseconds with its answer.
fn least<A>(mut work: impl FnMut() -> A) -> (f64, A) {
    let mut timed = || {
        let start = Instant::now();
        let answer = black_box(work());
        (start.elapsed().as_secs_f64() * 1e3, answer)
    };
    let mut rounds: Vec<(f64, A)> = (0..ROUNDS).map(|_| timed()).collect();
    rounds.sort_by(|a, b| a.0.total_cmp(&b.0));
    rounds.swap_remove(0)
}

/// A row of the table in DEVELOPERS.md: what was measured, how long it took in the first release, how long it takes, and what
/// it is to take at most.
#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn row(what: &str, [first_release, at_most]: [&str; 2], now: &str) {
    println!("| {what} | {first_release} | {now} | {at_most} |");
}

/// Where nothing was measured in the first release, or nothing is asked.
const NONE: [&str; 2] = ["", ""];

fn measure(name: &str, problem: &SearchProblem, wanted: &Wanted, bounds: [&str; 2]) -> SearchOutcome {
    let with = |threads: usize| {
        let options = Options { threads: NonZeroUsize::new(threads), ..Options::default() };
        least(|| problem.search(wanted, &options).expect("the problem is sound"))
    };
    let ((one, outcome), (two, _)) = (with(1), with(2));
    let (count, all, visited) = (outcome.count, outcome.combinations, outcome.visited);
    let what = format!("{name}: {count} of {all}, {visited} visited; on two cores");
    row(&what, bounds, &format!("{one:.2} ms; {two:.2} ms"));
    outcome
}

/// All six gears of the railcar with 15 to 45 teeth, equal sums, three pins, two ratios in windows: the ten with the
/// fewest parts changed, and how many there are.
fn measure_railcar() {
    let set =
        description::read(description::example("inspection-railcar").expect("it is built in")).expect("it is sound");
    let mut text = RequestText::default();
    for gear in ["D", "L", "R", "d", "l", "r"] {
        text.allow_teeth(gear, LEAST, MOST);
    }
    text.wish_ratio("low", "2.7..2.9").expect("two numbers");
    text.wish_ratio("reverse", "-2.6..-2.3").expect("two numbers");
    let request = text.request(&set).expect("every name is there");
    let with = |threads: usize| {
        let options = Options { threads: NonZeroUsize::new(threads), ..Options::default() };
        let plan = || TeethPlan::new(&set, &request).expect("the request is sound");
        least(|| plan().search(&Wanted::Best(10), &options).expect("the problem is sound"))
    };
    let ((one, answer), (two, _)) = (with(1), with(2));
    let (serve, all) = (answer.count, answer.combinations);
    let parts: Vec<f64> = (0..PARTS)
        .map(|index| {
            let part = Some(WorkShare { index, of: PARTS });
            let options = Options { threads: NonZeroUsize::new(1), part, ..Options::default() };
            let plan = TeethPlan::new(&set, &request).expect("the request is sound");
            least(|| plan.search(&Wanted::Best(10), &options).expect("the problem is sound")).0
        })
        .collect();
    let (sum, slowest) = (parts.iter().sum::<f64>(), parts.iter().copied().fold(0.0, f64::max));
    let mean = sum / f64::from(u32::try_from(PARTS).expect("a few"));
    let what = format!("railcar with two windows: the best of {serve} that serve of {all}, all counted; on two cores");
    row(&what, ["8 ms", ""], &format!("{one:.2} ms; {two:.2} ms"));
    let shares = format!("{:.1} times; {:.1} times", sum / one, slowest / mean);
    row(
        &format!("its {PARTS} parts together, of the whole; the slowest, of the mean"),
        ["64 times", "3 times; 1.5 times"],
        &shares,
    );
}

/// A question as the program asks it: a built-in gearset, the gears that may change, the ratios that are wished for.
struct Question {
    name: &'static str,
    bounds: [&'static str; 2],
    set: &'static str,
    teeth: &'static [(&'static str, i64, i64)],
    ratios: &'static [(&'static str, &'static str)],
}

/// Questions in which no window says where to look: only targets.
const QUESTIONS: [Question; 4] = [
    Question {
        name: "railcar, six gears 15..45, one target",
        bounds: ["4.6 s", "100 ms"],
        set: "inspection-railcar",
        teeth: &[("D", 15, 45), ("L", 15, 45), ("R", 15, 45), ("d", 15, 45), ("l", 15, 45), ("r", 15, 45)],
        ratios: &[("low", "2.75")],
    },
    Question {
        name: "railcar, six gears 12..80, two targets",
        bounds: ["minutes", "1 s"],
        set: "inspection-railcar",
        teeth: &[("D", 12, 80), ("L", 12, 80), ("R", 12, 80), ("d", 12, 80), ("l", 12, 80), ("r", 12, 80)],
        ratios: &[("low", "2.75"), ("reverse", "-2.5")],
    },
    Question {
        name: "village bus, five gears, four targets",
        bounds: ["over 60 s", "2 s"],
        set: "village-bus-automatic",
        teeth: &[("A", 12, 60), ("B", 12, 60), ("R", 40, 120), ("s", 12, 60), ("l", 12, 60)],
        ratios: &[("first", "3"), ("second", "1.7"), ("fourth", "0.7"), ("reverse", "-2.3")],
    },
    Question {
        name: "town bus, nine gears, three targets",
        bounds: ["over 60 s", "2 s"],
        set: "town-bus-pre-selector",
        teeth: &[
            ("S1", 16, 40),
            ("R1", 60, 90),
            ("p1", 14, 40),
            ("S2", 16, 40),
            ("R2", 60, 90),
            ("p2", 14, 40),
            ("S3", 16, 40),
            ("R3", 60, 90),
            ("p3", 14, 40),
        ],
        ratios: &[("first", "4.2"), ("second", "2.4"), ("third", "1.5")],
    },
];

/// The ten best, proven, and how many serve as far as they are counted without a word, by one thread.
fn measure_question(question: &Question) {
    let set = description::read(description::example(question.set).expect("it is built in")).expect("it is sound");
    let mut text = RequestText::default();
    question.teeth.iter().for_each(|&(gear, fewest, most)| text.allow_teeth(gear, fewest, most));
    question.ratios.iter().for_each(|&(state, wish)| text.wish_ratio(state, wish).expect("a number"));
    let request = text.request(&set).expect("every name is there");
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    let options = Options { threads: NonZeroUsize::new(1), ..Options::default() };
    let (found, answer) = least(|| plan.search(&Wanted::Best(10), &options).expect("the problem is sound"));
    let (counting, counted) = least(|| {
        let mut answer = answer.clone();
        plan.count(&mut answer, CountWish::AtLeast, &options).expect("the problem is sound");
        answer
    });
    let what = format!(
        "{}: the best of {} proven; then at least {} counted",
        question.name, answer.combinations, counted.count
    );
    row(&what, question.bounds, &format!("{found:.1} ms; {counting:.1} ms"));
}

fn measure_annealing(best: &SearchOutcome) {
    let [x1, x2, x3, x4] = [0, 1, 2, 3].map(|at| i32::try_from(best.found[0].values[at]).expect("it is small"));
    let least = annealing::distance([x1, x2, x3, x4]);
    let begun = Instant::now();
    let run = |run: u32| annealing::distance(annealing::anneal(run.into(), EVALUATIONS).expect("nothing in it fails"));
    let mut nearest: Vec<f64> = (0..RUNS).map(run).collect();
    let time = begun.elapsed().as_secs_f64() * 1e3 / f64::from(RUNS);
    nearest.sort_by(f64::total_cmp);
    // The order of the factors may change the last digits.
    let reached = nearest.iter().filter(|&&distance| distance < least * 1.001).count();
    let median = nearest[nearest.len() / 2] / least;
    let what = format!(
        "the same annealed with {EVALUATIONS} evaluations: {reached} of {RUNS} runs reach the best, the median is {median:.1} \
         times as far off; a run"
    );
    row(&what, NONE, &format!("{time:.2} ms"));
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    println!("| what is searched, on one core | first release | now | at most |");
    println!("| --- | --: | --: | --: |");
    let best = measure("compound train, best", &designs::compound_train(), &Wanted::Best(1), ["0.8 ms", ""]);
    measure_annealing(&best);
    let designs::PlanetaryTrain { mut problem, ratio_error } = designs::planetary_train();
    measure("planetary train, count", &problem, &Wanted::Count, ["176 ms", "60 ms"]);
    problem.minimise(ratio_error);
    let best = measure("planetary train, best", &problem, &Wanted::Best(1), ["3.8 ms", "1.2 ms"]);
    assert_eq!(best.found[0].measures[0], fraction(2093, 4000), "the best that is known");
    measure("planetary train, within 0.53", &problem, &Wanted::Within(fraction(53, 100)), ["24 ms", "10 ms"]);
    for (gears, bounds) in [(3, ["1.5 ms", "0.24 ms"]), (4, NONE)] {
        let outcome = measure(&format!("clusters of {gears} gears"), &cluster(gears), &Wanted::All, bounds);
        let (plain, found) = least(|| by_loop(gears));
        assert_eq!(outcome.found.len(), found, "both find the same number");
        row("the same by a loop written for them alone", NONE, &format!("{plain:.2} ms"));
    }
    measure_railcar();
    QUESTIONS.iter().for_each(measure_question);
}
