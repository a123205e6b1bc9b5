//! The answer to "what is the ratio as a formula".
//!
//! For a person state by state: the formula in the names of the gears, with the counts put in, and the value beneath;
//! then the speeds of the members that were asked for. For a table program a record a formula.

pub(super) mod notation;
pub(super) mod written;

use self::notation::Notation;
use self::written::{FormulaTerm, WrittenFormula, WrittenFormulas, WrittenMember, WrittenSpeed, WrittenState};
use crate::formula::{FormulaVerdictKind, SpeedFormulaKind};
use crate::gearset::Gearset;
use crate::report::answer::Answer;
use crate::report::render::document::{Block, Fact, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{key, list, member, rounded};

impl Answer for WrittenFormulas {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let mut facts = vec![
            Fact::new("names", "each stands for the tooth count of the gear of that name, as counted"),
            Fact::new("ratio", "input turns per output turn; negative: the output turns backward"),
        ];
        if self.states.iter().any(|state| !state.members.is_empty()) {
            facts.push(Fact::new("speed", "turns per turn of the input; positive: in the input's sense"));
        }
        let mut blocks = vec![Block::Facts(facts)];
        if self.states.is_empty() {
            blocks.push(Block::no_states("there is no ratio to write as a formula"));
        }
        blocks.extend(self.states.iter().flat_map(|state| details(self.notation, set, state)));
        blocks.push(Block::Note(
            "a formula says how fast things turn, not whether planets of such counts fit, assemble or are strong \
             enough"
                .into(),
        ));
        blocks
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "state",
            "quantity",
            "member",
            "found",
            "formula",
            "with_counts",
            "value",
            "value_decimal",
            "only_where",
        ];
        Records { fields, rows: self.states.iter().flat_map(|state| records(set, state)).collect() }
    }
}

fn records(set: &Gearset, state: &WrittenState) -> Vec<Vec<String>> {
    let record = |quantity: &str, member: &str, found: String, formula: Option<&WrittenFormula>, only: &[String]| {
        let value = formula.and_then(|formula| formula.value.as_ref());
        vec![
            csv_name(&state.state),
            quantity.to_owned(),
            csv_name(member),
            found,
            formula.map_or_else(String::new, |formula| csv_name(&formula.formula)),
            formula.map_or_else(String::new, |formula| csv_name(&formula.with_counts)),
            value.map(ToString::to_string).unwrap_or_default(),
            value.map(rounded).unwrap_or_default(),
            csv_name(&only.join("; ")),
        ]
    };
    let mut rows = vec![record("ratio", "", key(&state.verdict), state.ratio.as_ref(), &state.only_where)];
    for found in &state.members {
        let name = set.member(found.member).name();
        let speeds = [("speed", Some(&found.speed)), ("relative to carrier", found.relative_to_carrier.as_ref())];
        rows.extend(speeds.into_iter().filter_map(|(quantity, speed)| {
            let speed = speed?;
            Some(record(quantity, name, key(&speed.motion), speed.formula.as_ref(), &speed.only_where))
        }));
    }
    rows
}

fn details(notation: Notation, set: &Gearset, state: &WrittenState) -> Vec<Block> {
    let subject = format!("ratio, {} to {}", member(set, state.input), member(set, state.output));
    let mut blocks = vec![Block::Heading(state.state.clone())];
    match &state.ratio {
        Some(ratio) => blocks.extend(formula(notation, &subject, ratio)),
        None => blocks.push(no_formula(&subject, verdict(state.verdict))),
    }
    blocks.extend(state.otherwise.as_ref().map(|otherwise| {
        let otherwise = match &otherwise.in_plain_text {
            Some(formula) => format!("the ratio is {formula}"),
            None => format!("there is no ratio, {}", verdict(otherwise.verdict)),
        };
        only_where(&state.only_where, &otherwise)
    }));
    blocks.extend(state.members.iter().flat_map(|found| speeds(notation, set, found)));
    blocks
}

fn speeds(notation: Notation, set: &Gearset, found: &WrittenMember) -> Vec<Block> {
    let name = member(set, found.member);
    let mut blocks = speed(notation, &format!("speed of {name}"), &found.speed);
    if let (Some(relative), Some(carrier)) = (&found.relative_to_carrier, set.carrier_of(found.member)) {
        blocks.extend(speed(notation, &format!("speed of {name} against {}", member(set, carrier)), relative));
    }
    blocks
}

fn speed(notation: Notation, subject: &str, found: &WrittenSpeed) -> Vec<Block> {
    let mut blocks = match &found.formula {
        Some(written) => formula(notation, subject, written),
        None => vec![no_formula(subject, motion(found.motion))],
    };
    blocks.extend(found.otherwise.map(|otherwise| {
        let otherwise = match &found.otherwise_in_plain_text {
            Some(formula) => format!("it is {formula}"),
            None => format!("there is no such speed, {}", motion(otherwise)),
        };
        only_where(&found.only_where, &otherwise)
    }));
    blocks
}

/// A formula with its counts and its value.
fn formula(notation: Notation, subject: &str, written: &WrittenFormula) -> Vec<Block> {
    let Some(value) = &written.value else { return Vec::new() };
    let language = match notation {
        Notation::Text => {
            let mut facts = vec![Fact::new(subject, written.formula.clone())];
            if !is_constant(written) {
                facts.extend(written.one_plus.clone().map(|simple| Fact::new("the same", simple)));
                let decimal = (!value.is_integer()).then(|| rounded(value));
                let mut sides = vec![written.with_counts.clone(), value.to_string()];
                sides.dedup();
                sides.extend(decimal);
                facts.push(Fact::new("with the counts", sides.join(" = ")));
            }
            return vec![Block::Facts(facts)];
        }
        Notation::Tex => "math",
        Notation::MathMl => "mathml",
    };
    vec![Block::Paragraph(subject.to_owned()), Block::Source { language, text: written.equation.clone() }]
}

/// Whether a formula is a number, which has no counts in it.
fn is_constant(written: &WrittenFormula) -> bool {
    let is_number = |term: &FormulaTerm| term.powers.is_empty();
    written.numerator.iter().chain(&written.denominator).all(is_number)
}

fn only_where(conditions: &[String], otherwise: &str) -> Block {
    Block::Warning(format!(
        "this holds only where {}, as it is with these counts; with counts chosen at will {otherwise}",
        list(conditions)
    ))
}

fn no_formula(subject: &str, why: &str) -> Block {
    Block::Facts(vec![Fact::new(subject, format!("none: {why}"))])
}

const TOO_LONG: &str = "the formula is too long to be written; toothmark ratios has the number";

/// What a state does, in words.
fn verdict(verdict: FormulaVerdictKind) -> &'static str {
    match verdict {
        FormulaVerdictKind::Drives => "it drives",
        FormulaVerdictKind::Locked => "the input is locked",
        FormulaVerdictKind::Neutral => "neutral, the output is free",
        FormulaVerdictKind::OutputHeld => "the output stands still",
        FormulaVerdictKind::TooLong => TOO_LONG,
    }
}

/// A speed that is no formula, in words.
fn motion(motion: SpeedFormulaKind) -> &'static str {
    match motion {
        SpeedFormulaKind::Determined => "determined",
        SpeedFormulaKind::Free => "it is free",
        SpeedFormulaKind::Locked => "the input is locked",
        SpeedFormulaKind::Tumbles => "it tumbles: it has a speed against its carrier only",
        SpeedFormulaKind::TooLong => TOO_LONG,
    }
}
