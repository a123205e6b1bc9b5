//! The answer to "which washers give the float that is wanted?".
//!
//! First what to fit or to press, and what is left then; next choices, and what the answer is good to; where nothing
//! serves, what is missing. In full what every gap is now. Records have a row for each stack.

mod statements;

use crate::bench::{EndFloat, FloatUnit, GapFloat, WasherStack};
use crate::exact::{Fraction, decimal, to_float};
use crate::gearset::{Gearset, MILLIMETRES_PER_INCH};
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::key;

impl Answer for EndFloat {
    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let statements = Block::Statements(statements::statements(self));
        let foot = Block::Note("fit, not strength: exact sums of the sizes as they were measured".into());
        [Some(statements), choices(self), Some(foot)].into_iter().flatten().collect()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        vec![gaps(self)]
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("the float of every gap now, and how far the readings of it may be out")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        let fields =
            vec!["choice", "gap", "washers", "float", "float_least", "float_most", "root_of_squares", "sure", "unit"];
        Records { fields, rows: self.stacks.iter().map(|stack| record(self, stack)).collect() }
    }

    fn outcome(&self) -> Outcome {
        self.serves().into()
    }
}

fn record(answer: &EndFloat, stack: &WasherStack) -> Vec<String> {
    let [least, most] = stack.float_worst_case.each_ref().map(plain);
    vec![
        stack.choice.to_string(),
        stack.gap.as_deref().map(csv_name).unwrap_or_default(),
        stack.washers.iter().map(plain).collect::<Vec<_>>().join(" "),
        plain(&stack.float),
        least,
        most,
        format!("{:.6}", stack.root_of_squares),
        if stack.is_sure { "yes" } else { "no" }.into(),
        key(&answer.unit),
    ]
}

/// The choices with what each is good to.
fn choices(answer: &EndFloat) -> Option<Block> {
    let unit = key(&answer.unit);
    let named = answer.stacks.iter().any(|stack| stack.gap.is_some());
    let row = |stack: &WasherStack| {
        let [least, most] = stack.float_worst_case.each_ref().map(|float| decimal(float, 3));
        let gap = named.then(|| stack.gap.clone().unwrap_or_default());
        let rest =
            [washers(stack), plain(&stack.float), other_unit(answer.unit, &stack.float), format!("{least} to {most}")];
        [stack.choice.to_string()].into_iter().chain(gap).chain(rest).collect()
    };
    let other = if answer.unit == FloatUnit::Millimetres { "thou" } else { "mm" };
    let [with, float] = [format!("washers, {unit}"), format!("float, {unit}")];
    let headings = [&["choice"][..], if named { &["gap"] } else { &[] }, &[&with, &float, other, "in the worst case"]];
    Block::table_of_some("Choices, the best first", &headings.concat(), answer.stacks.iter().map(row).collect())
}

fn gaps(answer: &EndFloat) -> Block {
    let row = |gap: &GapFloat| {
        let [least, most] = gap.wanted.each_ref().map(plain);
        vec![
            gap.gap.clone().unwrap_or_else(|| "the gap".into()),
            plain(&gap.float_now),
            format!("{least} to {most}, best {}", plain(&gap.best)),
            gap.stacks_alone.map_or_else(|| "-".into(), |count| count.to_string()),
            plain(&gap.worst_case),
            format!("{:.3}", gap.root_of_squares),
        ]
    };
    let headings = ["gap", "without washers", "wanted", "stacks if alone", "out by, worst case", "by root of squares"];
    let caption = format!("Gaps, in {}", key(&answer.unit));
    Block::table(caption, &headings, answer.gaps.iter().map(row).collect())
}

/// `1.25 + 1.55`, `none`.
fn washers(stack: &WasherStack) -> String {
    match &stack.washers[..] {
        [] => "none".into(),
        washers => washers.iter().map(plain).collect::<Vec<_>>().join(" + "),
    }
}

/// A number of the unit of the answer.
fn plain(value: &Fraction) -> String {
    decimal(value, 6)
}

/// A length in the other unit: thousandths of an inch beside millimetres, millimetres beside inches.
fn other_unit(unit: FloatUnit, value: &Fraction) -> String {
    let value = to_float(value);
    match unit {
        FloatUnit::Millimetres => format!("{:.1}", value / MILLIMETRES_PER_INCH * 1000.0),
        FloatUnit::Inches => format!("{:.3}", value * MILLIMETRES_PER_INCH),
    }
}
