//! Which of the washers at hand give an end float that is wanted?
//!
//! `F = space - parts - washers`, all exact decimals. Sums of washers are built up one washer at a time ([`sums`]);
//! where several gaps share them, stacks are handed out gap by gap ([`sharing`]). Washers only take float away: where
//! there is too little already, something has to come off. A gear that is pressed on goes further by the clearance that
//! is too much.

mod answer;
mod checked;
mod question;
mod refusal;
mod relief;
mod sharing;
mod sums;

pub use answer::{EndFloat, FloatRemedy, FloatUnit, GapFloat, WasherStack};
pub use question::{ExactReading, FloatGap, FloatQuestion, MeasuredGap};
pub use refusal::CannotChooseWashers;

use crate::exact::{Fraction, to_float};
use checked::{CheckedFloat, CheckedGap};
use num_traits::{Signed, Zero};
use relief::{SharingRelief, relief};
use sharing::{ServingStack, SharedChoices, TOLD, shared_choices};
use sums::{Thicknesses, WasherSums};

/// Which washers give every gap the float that is wanted.
///
/// # Errors
/// [`CannotChooseWashers`], every reason, where sizes are none or there is more than can be gone through.
///
/// # Examples
/// ```
/// use toothmark::bench::{ExactReading, FloatGap, FloatQuestion, MeasuredGap, end_float};
/// use toothmark::exact::{Fraction, fraction};
/// use toothmark::gearset::Length;
/// let mm = |hundredths| Length::Millimetres(fraction(hundredths, 100));
/// let float_now = MeasuredGap::Float(ExactReading::new(mm(60)));
/// let gap = FloatGap { name: None, measured: float_now, wanted: [mm(15), mm(25)], best: None };
/// let washers = [10, 25, 30].map(|size| ExactReading::new(mm(size))).to_vec();
/// let answer = end_float(&FloatQuestion { gaps: vec![gap], washers, most: Some(2) }).unwrap();
/// assert_eq!(answer.stacks[0].washers, [fraction(1, 10), fraction(3, 10)]);
/// assert_eq!(answer.stacks[0].float, fraction(1, 5));
/// ```
pub fn end_float(question: &FloatQuestion) -> Result<EndFloat, Vec<CannotChooseWashers>> {
    let checked = CheckedFloat::new(question)?;
    choose(question, &checked).map_err(|reason| vec![reason])
}

fn choose(question: &FloatQuestion, checked: &CheckedFloat) -> Result<EndFloat, CannotChooseWashers> {
    let washered: Vec<&CheckedGap> = checked.gaps.iter().filter(|gap| !gap.is_pressed).collect();
    // Of one gap the first few stacks of each sum are enough; for several all that serve are needed.
    let keep = if washered.len() > 1 { usize::MAX } else { TOLD };
    let sums_of = |gap: &&CheckedGap| WasherSums::new(&checked.sizes, question.most(), gap.most_sum, keep);
    let sums: Vec<WasherSums> = washered.iter().map(sums_of).collect::<Result<_, _>>()?;
    let serving: Vec<Vec<ServingStack>> = washered.iter().zip(&sums).map(|(gap, sums)| serving(gap, sums)).collect();
    let choices = match (&washered[..], &serving[..]) {
        ([gap], [stacks]) => SharedChoices {
            best: stacks.iter().take(TOLD).map(|stack| vec![stack.washers.clone()]).collect(),
            count: Some(sums[0].count_from(gap.least_sum)),
        },
        ([], _) => SharedChoices { best: Vec::new(), count: Some(0) },
        _ => shared_choices(&serving, &checked.sizes)?,
    };
    let stacks = choices.best.iter().enumerate().flat_map(|(at, choice)| {
        washered.iter().zip(choice).map(move |(gap, stack)| checked.stack(gap, stack, at + 1))
    });
    let stacks: Vec<WasherStack> = stacks.collect();
    let mut sums = sums.iter();
    let told = |gap: &CheckedGap| {
        let of_gap = if gap.is_pressed { None } else { sums.next() };
        told(checked, gap, of_gap)
    };
    let gaps: Vec<GapFloat> = checked.gaps.iter().map(told).collect();
    let all_alone = gaps.iter().all(|gap| gap.stacks_alone != Some(0));
    let is_short = stacks.is_empty() && all_alone && !washered.is_empty();
    let helps = if is_short { relief(checked, &washered, &serving, question.most()) } else { None };
    let (one_too_few_of, made) = match helps {
        Some(SharingRelief::AnotherOf(washer)) => (Some(checked.value(washer)), None),
        Some(SharingRelief::WasherFor(gap)) => (None, Some(washered[gap])),
        None => (None, None),
    };
    let missing = gaps.iter().find_map(|gap| gap.missing.clone()).or_else(|| one_too_few_of.clone());
    let missing = missing.or_else(|| made.map(|gap| &gap.float_now - &gap.best));
    Ok(EndFloat {
        missing: missing.filter(|_| stacks.is_empty()),
        stacks,
        unit: checked.unit,
        choices: choices.count,
        gaps,
        most_in_stack: question.most(),
        usual_error_taken: checked.usual_error_taken,
        one_too_few_of,
        washer_for: made.and_then(|gap| gap.name.clone()),
        washers_at_hand: question.washers.len(),
    })
}

/// The stacks that serve a gap: the nearest to the best float first, then the fewest washers, the thinnest first.
fn serving(gap: &CheckedGap, sums: &WasherSums) -> Vec<ServingStack> {
    let stack = |(sum, washers): (i64, &Thicknesses)| ServingStack {
        distance: (sum - gap.best_sum).abs(),
        washers: washers.clone(),
    };
    let mut all: Vec<ServingStack> = sums.stacks_from(gap.least_sum).map(stack).collect();
    all.sort_by(|a, b| (a.distance, a.washers.len(), &a.washers).cmp(&(b.distance, b.washers.len(), &b.washers)));
    all
}

/// What is told of one gap by itself.
fn told(checked: &CheckedFloat, gap: &CheckedGap, sums: Option<&WasherSums>) -> GapFloat {
    let stacks_alone = sums.map(|sums| sums.count_from(gap.least_sum));
    let too_much = &gap.float_now - &gap.best;
    let serves_none = stacks_alone == Some(0);
    let remedy =
        serves_none.then(|| if gap.float_now < gap.wanted[0] { FloatRemedy::TakeOff } else { FloatRemedy::MakeWasher });
    let press = |off: &Fraction| &gap.float_now - off;
    GapFloat {
        gap: gap.name.clone(),
        float_now: gap.float_now.clone(),
        wanted: gap.wanted.clone(),
        best: gap.best.clone(),
        stacks_alone,
        missing: serves_none.then(|| too_much.abs()),
        remedy,
        nearest: sums.filter(|_| serves_none).and_then(|sums| nearest(checked, gap, sums)),
        press_by: gap.is_pressed.then(|| too_much.clone()),
        // The greatest float is left by the least press.
        press_within: gap.is_pressed.then(|| [press(&gap.wanted[1]), press(&gap.wanted[0])]),
        worst_case: gap.errors.iter().cloned().sum(),
        root_of_squares: root_of_squares(gap.errors.iter()),
    }
}

/// The stack whose float is nearest to what is wanted, of those that leave too much and those that leave too little.
fn nearest(checked: &CheckedFloat, gap: &CheckedGap, sums: &WasherSums) -> Option<WasherStack> {
    let below = sums.thickest().map(|(_, stack)| stack);
    let candidates = below.into_iter().chain(&sums.beyond).filter(|stack| !stack.is_empty());
    let stacks = candidates.map(|stack| checked.stack(gap, stack, 1));
    let off = |stack: &WasherStack| {
        let [least, most] = [&gap.wanted[0] - &stack.float, &stack.float - &gap.wanted[1]];
        if least > most { least } else { most }
    };
    stacks.min_by(|a, b| off(a).cmp(&off(b)))
}

/// The root of the sum of squares of errors.
fn root_of_squares<'a>(errors: impl Iterator<Item = &'a Fraction>) -> f64 {
    to_float(&errors.map(|error| error * error).sum::<Fraction>()).sqrt()
}

impl CheckedFloat {
    /// A stack of a gap, and the float with it.
    fn stack(&self, gap: &CheckedGap, thicknesses: &Thicknesses, choice: usize) -> WasherStack {
        let washers: Vec<Fraction> = thicknesses.iter().map(|&washer| self.value(washer)).collect();
        let float = &gap.float_now - washers.iter().cloned().sum::<Fraction>();
        let errors: Vec<&Fraction> = gap.errors.iter().chain(thicknesses.iter().map(|at| self.error(*at))).collect();
        // The worst case: every reading is out by as much as it may be, all the same way.
        let worst = errors.iter().copied().cloned().sum::<Fraction>();
        let float_worst_case = [&float - &worst, &float + &worst];
        WasherStack {
            washers,
            choice,
            gap: gap.name.clone(),
            root_of_squares: root_of_squares(errors.into_iter()),
            is_sure: float_worst_case[0] >= gap.wanted[0] && float_worst_case[1] <= gap.wanted[1],
            float_worst_case,
            float,
        }
    }

    /// A thickness in the unit of the answer.
    fn value(&self, thickness: i64) -> Fraction {
        Fraction::from_integer(thickness.into()) * &self.tick
    }

    /// How far the reading of a washer may be out.
    fn error(&self, thickness: i64) -> &Fraction {
        self.washer_errors.get(&thickness).unwrap_or(&self.no_error)
    }
}

/// Whether a size is above 0 and one that a gearbox has.
fn is_size(millimetres: &Fraction) -> bool {
    millimetres.is_positive() && is_within_reason(millimetres)
}

/// Whether a size is one that a gearbox has, or 0.
fn is_within_reason(millimetres: &Fraction) -> bool {
    const LARGEST: i64 = 10_000;
    (millimetres.is_zero() || millimetres.is_positive()) && *millimetres <= crate::exact::fraction(LARGEST, 1)
}
