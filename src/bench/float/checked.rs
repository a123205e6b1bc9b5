//! A question about end float that has an answer: sizes that a gearbox has, counted in one unit of length.

use super::answer::FloatUnit;
use super::question::{ExactReading, FloatGap, FloatQuestion, MeasuredGap};
use super::refusal::CannotChooseWashers;
use super::sums::WasherSize;
use super::{is_size, is_within_reason};
use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::Length;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, ToPrimitive};
use std::collections::BTreeMap;

const MOST_GAPS: usize = 8;
const MOST_WASHERS: usize = 200;
const MOST_PARTS: usize = 200;
const MOST_IN_STACK: usize = 12;

/// A question whose sizes have been looked at, in the unit of its answer.
pub(super) struct CheckedFloat {
    pub(super) unit: FloatUnit,
    pub(super) gaps: Vec<CheckedGap>,
    /// Every thickness once, in rising order, in ticks.
    pub(super) sizes: Vec<WasherSize>,
    /// The length of which every length here is a multiple.
    pub(super) tick: Fraction,
    /// How far readings of washers of a thickness may be out: the farthest of those alike.
    pub(super) washer_errors: BTreeMap<i64, Fraction>,
    pub(super) no_error: Fraction,
    pub(super) usual_error_taken: bool,
}

/// A gap in the unit of the answer; sums of washers in ticks.
pub(super) struct CheckedGap {
    pub(super) name: Option<String>,
    pub(super) is_pressed: bool,
    pub(super) float_now: Fraction,
    pub(super) wanted: [Fraction; 2],
    pub(super) best: Fraction,
    pub(super) errors: Vec<Fraction>,
    /// The least and the greatest sum of washers that leave what is wanted, and that which leaves the best.
    pub(super) least_sum: i64,
    pub(super) most_sum: i64,
    pub(super) best_sum: i64,
}

impl CheckedFloat {
    pub(super) fn new(question: &FloatQuestion) -> Result<Self, Vec<CannotChooseWashers>> {
        let mut wrong = counts_that_are_wrong(question);
        wrong.extend(question.gaps.iter().flat_map(sizes_that_are_wrong));
        wrong.extend(question.washers.iter().flat_map(|washer| wrong_reading(washer, "washer", is_size)));
        if !wrong.is_empty() {
            return Err(wrong);
        }
        Self::in_ticks(question).ok_or_else(|| vec![CannotChooseWashers::NoCommonUnit])
    }

    /// Every length as a multiple of one; `None` where the multiples are too large for that.
    fn in_ticks(question: &FloatQuestion) -> Option<Self> {
        let unit = FloatUnit::of(question);
        let in_unit = |length: &Length| unit.of_millimetres(&length.exact_millimetres());
        let mut gaps: Vec<CheckedGap> = question.gaps.iter().map(|gap| CheckedGap::in_unit(gap, unit)).collect();
        let washers: Vec<Fraction> = question.washers.iter().map(|washer| in_unit(&washer.length)).collect();
        let bounds = gaps.iter().flat_map(|gap| gap.wanted.iter().chain([&gap.best, &gap.float_now]));
        let common = bounds.chain(&washers).fold(BigInt::one(), |common, length| common.lcm(length.denom()));
        let tick = Fraction::new(BigInt::one(), common);
        // The sums of a dozen washers, and of the distances of eight gaps, fit as well.
        let ticks = |length: &Fraction| (length / &tick).to_integer().to_i64().filter(|it| it.abs() < i64::MAX / 1000);
        for gap in &mut gaps {
            [gap.least_sum, gap.most_sum] =
                [ticks(&(&gap.float_now - &gap.wanted[1]))?, ticks(&(&gap.float_now - &gap.wanted[0]))?];
            gap.best_sum = ticks(&(&gap.float_now - &gap.best))?;
        }
        let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
        let mut washer_errors: BTreeMap<i64, Fraction> = BTreeMap::new();
        for (washer, reading) in washers.iter().zip(&question.washers) {
            let thickness = ticks(washer)?;
            *counts.entry(thickness).or_default() += 1;
            let error = unit.of_millimetres(&reading.exact_within_millimetres());
            let farthest = washer_errors.entry(thickness).or_default();
            *farthest = error.max(farthest.clone());
        }
        let readings = || question.gaps.iter().flat_map(|gap| gap.measured.readings()).chain(&question.washers);
        Some(Self {
            unit,
            gaps,
            sizes: counts.into_iter().map(|(thickness, count)| WasherSize { thickness, count }).collect(),
            tick,
            washer_errors,
            no_error: fraction(0, 1),
            usual_error_taken: readings().any(|reading| reading.within.is_none()),
        })
    }
}

impl CheckedGap {
    fn in_unit(gap: &FloatGap, unit: FloatUnit) -> Self {
        let in_unit = |length: &Length| unit.of_millimetres(&length.exact_millimetres());
        let mut readings = gap.measured.readings().map(|reading| in_unit(&reading.length));
        // F = space - parts.
        let first = readings.next().unwrap_or_default();
        let float_now = readings.fold(first, |float, part| float - part);
        let wanted = gap.wanted.each_ref().map(in_unit);
        let middle = (&wanted[0] + &wanted[1]) / fraction(2, 1);
        Self {
            name: gap.name.clone(),
            is_pressed: matches!(gap.measured, MeasuredGap::Pressed(_)),
            float_now,
            best: gap.best.as_ref().map_or(middle, in_unit),
            wanted,
            errors: gap
                .measured
                .readings()
                .map(|reading| unit.of_millimetres(&reading.exact_within_millimetres()))
                .collect(),
            least_sum: 0,
            most_sum: 0,
            best_sum: 0,
        }
    }
}

/// What is too many, too few, or told twice.
fn counts_that_are_wrong(question: &FloatQuestion) -> Vec<CannotChooseWashers> {
    let mut wrong = Vec::new();
    let (gaps, washers) = (question.gaps.len(), question.washers.len());
    if gaps == 0 {
        wrong.push(CannotChooseWashers::NoGap);
    }
    if gaps > MOST_GAPS {
        wrong.push(CannotChooseWashers::TooManyGaps { count: gaps, most: MOST_GAPS });
    }
    if washers > MOST_WASHERS {
        wrong.push(CannotChooseWashers::TooManyWashers { count: washers, most: MOST_WASHERS });
    }
    if !(1..=MOST_IN_STACK).contains(&question.most()) {
        wrong.push(CannotChooseWashers::MostInStack { count: question.most(), most: MOST_IN_STACK });
    }
    if gaps > 1 && question.gaps.iter().any(|gap| gap.name.is_none()) {
        wrong.push(CannotChooseWashers::GapWithoutName);
    }
    let names: Vec<&String> = question.gaps.iter().take(MOST_GAPS).filter_map(|gap| gap.name.as_ref()).collect();
    let twice = names.iter().enumerate().filter(|(at, name)| names[..*at].contains(name));
    wrong.extend(twice.map(|(_, name)| CannotChooseWashers::SameName { name: (*name).clone() }));
    wrong
}

/// What is wrong with the sizes of a gap.
fn sizes_that_are_wrong(gap: &FloatGap) -> Vec<CannotChooseWashers> {
    let mut wrong = Vec::new();
    match &gap.measured {
        MeasuredGap::Space { space, parts } => {
            wrong.extend(wrong_reading(space, "space", is_size));
            if parts.len() > MOST_PARTS {
                wrong.push(CannotChooseWashers::TooManyParts { count: parts.len(), most: MOST_PARTS });
            }
            wrong.extend(parts.iter().flat_map(|part| wrong_reading(part, "part", is_size)));
        }
        MeasuredGap::Float(float) => wrong.extend(wrong_reading(float, "float", is_within_reason)),
        MeasuredGap::Pressed(now) => wrong.extend(wrong_reading(now, "clearance", is_within_reason)),
    }
    let [least, most] = gap.wanted.each_ref().map(Length::exact_millimetres);
    let written = || gap.wanted.each_ref().map(written);
    if least > most || !is_within_reason(&least) || !is_within_reason(&most) {
        let [least, most] = written();
        wrong.push(CannotChooseWashers::NoBand { least, most });
    } else if let Some(best) = &gap.best
        && !(least..=most).contains(&best.exact_millimetres())
    {
        let [least, most] = written();
        wrong.push(CannotChooseWashers::BestOutside { best: self::written(best), least, most });
    }
    wrong
}

/// What is wrong with a reading, of which a size is wanted that is so.
fn wrong_reading(
    reading: &ExactReading,
    what: &'static str,
    is_right: fn(&Fraction) -> bool,
) -> Vec<CannotChooseWashers> {
    let size = (!is_right(&reading.length.exact_millimetres()))
        .then(|| CannotChooseWashers::NoSize { what, value: written(&reading.length) });
    let within = reading.exact_within_millimetres();
    let error = (within.is_negative() || within > fraction(1, 1))
        .then(|| CannotChooseWashers::NoError { value: reading.within.as_ref().map(written).unwrap_or_default() });
    size.into_iter().chain(error).collect()
}

/// A length as people write it.
fn written(length: &Length) -> String {
    let unit = match length {
        Length::Millimetres(_) => "mm",
        Length::Inches(_) => "in",
    };
    format!("{} {unit}", decimal(length.value(), 6))
}
