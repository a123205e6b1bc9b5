//! How long does it take to read a job of many readings, to judge it, and to enter one more? `cargo bench --bench job`.
//!
//! The record of a railcar with five hundred readings beside those that a new job asks for, all of them taken twice.
//! Medians, nothing kept from one round to the next.

use std::hint::black_box;
use std::time::Instant;

use toothmark::description;
use toothmark::job::{self, DraftJob, DraftJobReading, JobEntry, ReadingSubject};

const ROUNDS: usize = 101;
const READINGS: usize = 500;

/// The median of some rounds, in milliseconds.
fn median(mut ask: impl FnMut()) -> f64 {
    let mut milliseconds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            ask();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    milliseconds.sort_by(f64::total_cmp);
    milliseconds[ROUNDS / 2]
}

/// A job of the railcar with bushes and shafts without end.
fn long_job() -> String {
    let text = description::example("inspection-railcar").expect("it is built in");
    let set = description::read(text).expect("a built-in description is sound");
    let mut draft: DraftJob = job::blank(&set);
    let value = |text: &str| ReadingSubject::Bush.kind().typed(text).expect("it is a length").into();
    for number in 0..READINGS / 2 {
        for (subject, size) in [(ReadingSubject::Bush, "16.02"), (ReadingSubject::Shaft, "15.98")] {
            let path = subject.path(&format!("bearing {number}"));
            let (found, left) = (vec![value("16.05")], vec![value(size)]);
            draft.readings.push(DraftJobReading { found, left, ..DraftJobReading::new(path) });
        }
    }
    job::write(&draft)
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() {
    let text = long_job();
    let read = job::read(&text).expect("the job is sound");
    let entry = [JobEntry::typed("bush.bearing 7.left=16.03").expect("it is an entry")];
    println!("read   {:>8.3} ms", median(|| drop(black_box(job::read(black_box(&text))))));
    println!("judge  {:>8.3} ms", median(|| drop(black_box(job::judge(black_box(&read))))));
    println!("enter  {:>8.3} ms", median(|| drop(black_box(job::enter(black_box(&text), &entry, None)))));
}
