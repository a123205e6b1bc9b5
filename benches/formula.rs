//! How long does it take to derive every formula of a train of four coupled gearsets?
//! `cargo bench --bench formula`.
//!
//! Four gearsets of sun, planet, ring and carrier, five joins between them; in each state two members are held, or one
//! is held and two are clutched. The ratio of every state, then the speed of every member in every state as well; the
//! median of many rounds, and the longest formula.

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::formula::{FormulasQuestion, formulas};
use toothmark::gearset::Gearset;

const ROUNDS: usize = 51;

/// Four gearsets as one train, with a state for each choice of what is held and clutched that drives.
fn four_gearsets() -> Gearset {
    let (mut members, mut planets, mut meshes) = (String::new(), String::new(), String::new());
    for (set, [sun, planet]) in [[24, 18], [30, 21], [36, 16], [27, 24]].into_iter().enumerate() {
        let ring = sun + 2 * planet;
        let _ =
            write!(members, r#""S{set}": [Sun("s{set}", {sun})], "R{set}": [Ring("r{set}", {ring})], "C{set}": [],"#);
        let _ = write!(planets, r#""P{set}": (carrier: "C{set}", pins: Equal(3), gears: [Gear("p{set}", {planet})]),"#);
        let _ = write!(meshes, r#"("s{set}", "p{set}"), ("r{set}", "p{set}"),"#);
    }
    let bodies = ["R0", "C0", "C1", "S2", "S3", "R3"];
    let mut states = String::new();
    for (at, one) in bodies.iter().enumerate() {
        for other in &bodies[at + 1..] {
            let ends = r#"input: "S0", output: "C3""#;
            let _ = write!(states, r#""{one} and {other}": Given(held: ["{one}", "{other}"], {ends}),"#);
            let _ = write!(
                states,
                r#""{one}, {other} as S0": Given(held: ["{one}"], joined: [("S0", "{other}")], {ends}),"#
            );
        }
    }
    let text = format!(
        r#"Gearset(title: "four", members: {{{members}}}, planets: {{{planets}}}, meshes: [{meshes}],
        joins: [("S0", "S1"), ("C0", "R1"), ("C1", "R2"), ("S2", "S3"), ("C2", "R3")], states: {{{states}}})"#
    );
    description::read(&text).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The median of many rounds, in milliseconds.
fn median<T>(work: impl Fn() -> T) -> f64 {
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            black_box(work());
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    rounds[ROUNDS / 2]
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let set = four_gearsets();
    let of_ratios = FormulasQuestion::default();
    let all = formulas(&set, &of_ratios);
    let driving: Vec<_> = all.iter().filter_map(|found| found.verdict.ratio()).collect();
    let terms = |polynomial: &toothmark::exact::Polynomial| polynomial.terms().len();
    let longest = driving.iter().map(|it| terms(it.numerator()) + terms(it.denominator())).max().unwrap_or(0);
    let with_speeds = FormulasQuestion { members: set.member_ids().skip(1).collect(), ..FormulasQuestion::default() };
    println!(
        "{} states, {} of them drive, up to {longest} terms: the ratios {:.2} ms, with the speeds of {} members {:.1} ms \
         (median of {ROUNDS})",
        all.len(),
        driving.len(),
        median(|| formulas(black_box(&set), &of_ratios)),
        with_speeds.members.len(),
        median(|| formulas(black_box(&set), &with_speeds)),
    );
}
