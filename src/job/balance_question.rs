//! What does the bench ask about the balance of a member, as a job has it?
//!
//! The most that is wanted is what may be left; what was read last is the heavy spot, its angle counted counter-clockwise
//! from the mark as seen from the side of the job; balance holes that were drilled may be deepened.

use super::draft::DraftJobReading;
use super::last_read::LastRead;
use super::read::Job;
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::bench::{
    Allowance, BalanceQuestion, DrilledHole, FoundBy, FoundWeight, ReadingsGoodTo, WeightAmount, WeightSense,
};
use crate::exact::{Fraction, to_float};
use crate::gearset::Side;

/// What the record of a job knows of the balance of a member.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RecordedBalance {
    /// What may be left, in g mm.
    pub allowed_g_mm: Option<f64>,
    /// What was read last, the worst of several, in g mm.
    pub read_g_mm: Option<f64>,
    /// Where it is too heavy, where that was read.
    pub degrees: Option<f64>,
    /// The side from which angles are seen, the input side where the job does not say.
    pub seen_from: Side,
    /// Holes that are drilled.
    pub holes: Vec<DrilledHole>,
    /// Whether holes were drilled after it was read, so that it says nothing any more.
    pub drilled_since: bool,
}

impl Job {
    /// What the record knows of the balance of a member; none where it has no row for that.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, job::{self, JobEntry}};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let read = ["balance.flywheel.wanted=0..836", "balance.flywheel.found=2122 at 100 deg"];
    /// let read = read.map(|typed| JobEntry::typed(typed).unwrap());
    /// let job = job::read(&job::enter(&job::write(&job::blank(&set)), &read, None).unwrap()).unwrap();
    /// let balance = job.balance("flywheel").unwrap();
    /// assert_eq!((balance.allowed_g_mm, balance.degrees), (Some(836.0), Some(100.0)));
    /// ```
    pub fn balance(&self, member: &str) -> Option<RecordedBalance> {
        let reading = self.reading(ReadingSubject::Balance, member)?;
        let holes = self.reading(ReadingSubject::Hole, member);
        let last = LastRead::of(reading);
        let worst = last.iter().flat_map(|last| &last.values).filter_map(|value| unbalance(value));
        let worst = worst.max_by(|a, b| a.0.cmp(b.0));
        Some(RecordedBalance {
            allowed_g_mm: reading.wanted.last().and_then(|most| most.size()).map(|most| to_float(&most)),
            read_g_mm: worst.map(|(size, _)| to_float(size)),
            degrees: worst.and_then(|(_, degrees)| degrees).map(to_float),
            seen_from: self.seen_from(),
            holes: holes.and_then(LastRead::of).map(|holes| drilled(&holes)).unwrap_or_default(),
            drilled_since: holes.is_some_and(|holes| is_later(holes, reading)),
        })
    }

    /// The members of which the balance was read, or what may be left.
    pub fn balanced_members(&self) -> impl Iterator<Item = &str> {
        let balances = self.readings().filter(|(subject, _, _)| *subject == ReadingSubject::Balance);
        balances.map(|(_, member, _)| member)
    }
}

impl RecordedBalance {
    /// What the bench is asked: whether so much may be left. Where no angle was read any serves, for the size is what
    /// counts then.
    pub fn question(&self) -> BalanceQuestion {
        let weight = |g_mm: f64| FoundWeight {
            amount: WeightAmount::GramMillimetres(g_mm),
            degrees: self.degrees.unwrap_or(0.0),
            sense: WeightSense::Heavy,
            along_axis: 0.0,
        };
        BalanceQuestion {
            allowance: self.allowed_g_mm.map(Allowance::GramMillimetres),
            seen_from: Some(self.seen_from),
            found: self.read_g_mm.map(|g_mm| FoundBy::Weights { weights: vec![weight(g_mm)], planes: None }),
            good_to: ReadingsGoodTo::default(),
            ..BalanceQuestion::default()
        }
    }
}

fn unbalance(value: &JobValue) -> Option<(&Fraction, Option<&Fraction>)> {
    if let JobValue::GramMillimetres(size, degrees) = value { Some((size, degrees.as_ref())) } else { None }
}

fn drilled(holes: &LastRead<'_>) -> Vec<DrilledHole> {
    let hole = |value: &&JobValue| {
        let JobValue::Hole(degrees, drill, depth) = value else { return None };
        let [degrees, drill, depth] = [degrees, drill, depth].map(to_float);
        Some(DrilledHole { degrees, drill, depth })
    };
    holes.values.iter().filter_map(hole).collect()
}

/// Whether holes were drilled when the balance had been read: in a later column of the record, or in the same one on a
/// later day.
fn is_later(holes: &DraftJobReading, balance: &DraftJobReading) -> bool {
    match (holes.left.is_empty(), balance.left.is_empty()) {
        (false, true) => holes.left != holes.found,
        (true, _) => false,
        // Dates are written so that the later one is the greater.
        (false, false) => holes.left_on.as_deref().zip(balance.left_on.as_deref()).is_some_and(|(h, b)| h > b),
    }
}
