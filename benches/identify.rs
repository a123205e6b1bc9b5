//! How long does it take to tell teeth by what was measured of them? `cargo bench --bench identify`.
//!
//! A gear by two spans, the same with its outside diameter, by two sizes of pins, worn; a ring between pins. Nothing is
//! kept from one round to the next; the median of many rounds is printed.

use std::hint::black_box;
use std::time::Instant;

use toothmark::fit::{GearReading, IdentifyQuestion, MeasuredGear, ReadingMeasure, identify};
use toothmark::tooth::Teeth;

const ROUNDS: usize = 1001;

fn question((teeth, tooth_count): (Teeth, u16), readings: &[(ReadingMeasure, f64)]) -> IdentifyQuestion {
    let reading = |&(measure, millimetres): &(ReadingMeasure, f64)| GearReading { measure, millimetres, within: None };
    let readings = readings.iter().map(reading).collect();
    let gear = MeasuredGear { name: "gear".into(), teeth, tooth_count, readings };
    IdentifyQuestion { gears: vec![gear], ..IdentifyQuestion::default() }
}

/// The median time in milliseconds, and how many candidates are left.
fn measure(question: &IdentifyQuestion) -> (f64, usize) {
    let mut alive = 0;
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            let answer = black_box(identify(black_box(question)).expect("the readings can be"));
            let milliseconds = start.elapsed().as_secs_f64() * 1e3;
            alive = answer.candidates.iter().filter(|one| one.alive).count();
            milliseconds
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    (rounds[ROUNDS / 2], alive)
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    use ReadingMeasure::{Pins, RootDiameter, Span, TipDiameter};
    let gear = (Teeth::External, 27);
    let spans = [(Span(3), 21.896), (Span(4), 30.228)];
    let with_tips = [spans[0], spans[1], (TipDiameter, 81.84)];
    let worn = [(Span(3), 21.746), (Span(4), 30.078), (TipDiameter, 81.84), (RootDiameter, 69.15)];
    for (name, question) in [
        ("two spans", question(gear, &spans)),
        ("two spans and the outside diameter", question(gear, &with_tips)),
        ("two spans and both diameters, worn", question(gear, &worn)),
        ("a gear over two sizes of pins", question(gear, &[(Pins(5.0), 76.981), (Pins(4.0), 73.755)])),
        (
            "a ring between two sizes of pins",
            question((Teeth::Internal, 60), &[(Pins(4.2), 145.303), (Pins(4.8), 142.801)]),
        ),
    ] {
        let (milliseconds, alive) = measure(&question);
        println!("{name:<40} {milliseconds:>8.3} ms  {alive} left");
    }
}
