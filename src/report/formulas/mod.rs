//! The answer to "what is the ratio as a formula", for a person.
//!
//! State by state: the formula in the names of the gears, with the counts put in, and the value beneath; then the
//! speeds of the members that were asked for. For other programs see [`self::data`].

mod data;

use num_bigint::BigInt;

use crate::exact::{Polynomial, RationalFunction};
use crate::formula::{
    Derived, Expression, FormulaVerdict, MemberFormula, RatioFormula, SpeedFormula, counts, expanded, factored,
    one_plus,
};
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Document, Fact};
use crate::report::words::notation::{Letters, Notation};
use crate::report::words::{list, member, rounded};

/// Formulas of a gearset and how they are to be written.
#[derive(Debug, Clone)]
pub struct Formulas<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The states to show.
    pub ratios: &'a [RatioFormula],
    /// For each of these states the members to show.
    pub members: &'a [Vec<MemberFormula>],
    /// How formulas are written.
    pub notation: Notation,
}

/// A formula written out.
pub(super) struct Written {
    /// In the names of the gears, in factors.
    pub(super) formula: String,
    /// As one plus something, where that is simpler to read.
    pub(super) one_plus: Option<String>,
    /// With the counts put in.
    pub(super) with_counts: String,
}

impl Formulas<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut facts = vec![
            Fact::new("names", "each stands for the tooth count of the gear of that name, as counted"),
            Fact::new("ratio", "input turns per output turn; negative: the output turns backward"),
        ];
        if self.members.iter().any(|members| !members.is_empty()) {
            facts.push(Fact::new("speed", "turns per turn of the input; positive: in the input's sense"));
        }
        let mut blocks = vec![Block::Facts(facts)];
        if self.ratios.is_empty() {
            blocks.push(Block::no_states("there is no ratio to write as a formula"));
        }
        for (at, ratio) in self.ratios.iter().enumerate() {
            blocks.push(Block::Heading(ratio.state.clone()));
            self.add_ratio(ratio, &mut blocks);
            for member in self.members.get(at).into_iter().flatten() {
                self.add_member(member, &mut blocks);
            }
        }
        blocks.push(Block::Note(
            "a formula says how fast things turn, not whether planets of such counts fit, go together or are strong \
             enough"
                .into(),
        ));
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn add_ratio(&self, ratio: &RatioFormula, blocks: &mut Vec<Block>) {
        let subject = format!("ratio, {} to {}", member(self.set, ratio.input), member(self.set, ratio.output));
        match ratio.verdict.ratio() {
            Some(formula) => self.add_formula(&subject, formula, blocks),
            None => blocks.push(no_formula(&subject, verdict_words(&ratio.verdict))),
        }
        let otherwise = ratio.otherwise.as_ref().map(|verdict| match verdict.ratio() {
            Some(formula) => format!("the ratio is {}", self.side(formula)),
            None => format!("there is no ratio, {}", verdict_words(verdict)),
        });
        blocks.extend(self.warning(&ratio.conditions, otherwise));
    }

    fn add_member(&self, found: &MemberFormula, blocks: &mut Vec<Block>) {
        let name = member(self.set, found.member);
        self.add_speed(&format!("speed of {name}"), &found.speed, blocks);
        if let (Some(relative), Some(carrier)) = (&found.relative_to_carrier, self.set.carrier_of(found.member)) {
            let carrier = member(self.set, carrier);
            self.add_speed(&format!("speed of {name} against {carrier}"), relative, blocks);
        }
    }

    fn add_speed(&self, subject: &str, derived: &Derived, blocks: &mut Vec<Block>) {
        match derived.speed.formula() {
            Some(formula) => self.add_formula(subject, formula, blocks),
            None => blocks.push(no_formula(subject, speed_words(&derived.speed))),
        }
        let otherwise = derived.otherwise.as_ref().map(|speed| match speed.formula() {
            Some(formula) => format!("it is {}", self.side(formula)),
            None => format!("there is no such speed, {}", speed_words(speed)),
        });
        blocks.extend(self.warning(&derived.conditions, otherwise));
    }

    /// A formula with its counts and its value.
    fn add_formula(&self, subject: &str, formula: &RationalFunction, blocks: &mut Vec<Block>) {
        let Written { formula: in_names, one_plus, with_counts } = self.written(formula, self.notation);
        let Some(value) = formula.value(&counts(self.set)) else { return };
        let number = self.notation.number(&value);
        if self.notation == Notation::Text {
            let mut facts = vec![Fact::new(subject, in_names)];
            facts.extend(one_plus.map(|simple| Fact::new("the same", simple)));
            let decimal = (!value.is_integer()).then(|| rounded(&value));
            let sides: Vec<String> = different([with_counts, number]).into_iter().chain(decimal).collect();
            facts.push(Fact::new("with the counts", self.notation.equation(&sides)));
            // A number has no counts in it.
            facts.truncate(if formula.is_constant() { 1 } else { facts.len() });
            blocks.push(Block::Facts(facts));
        } else {
            let sides = different([in_names].into_iter().chain(one_plus).chain([with_counts, number]));
            blocks.push(Block::Paragraph(subject.to_owned()));
            blocks.push(Block::Source { language: self.language(), text: self.notation.equation(&sides) });
        }
    }

    /// A formula in the names of the gears, with its counts put in and in its simpler form.
    pub(super) fn written(&self, formula: &RationalFunction, notation: Notation) -> Written {
        let (names, counts) = (self.names(), counts(self.set));
        let side = |expression: &Expression, letters| notation.expression(expression, letters);
        let expression = factored(formula);
        Written {
            formula: side(&expression, Letters::Names(&names)),
            one_plus: one_plus(formula).map(|simple| side(&simple, Letters::Names(&names))),
            with_counts: side(&expression, Letters::Counts(&counts)),
        }
    }

    /// A formula in plain text.
    fn side(&self, formula: &RationalFunction) -> String {
        self.written(formula, Notation::Text).formula
    }

    /// What has to be 0, as an equation of what is added and what is taken away.
    pub(super) fn condition(&self, condition: &Polynomial) -> String {
        let mut sides = [Vec::new(), Vec::new()];
        let whole = expanded(condition);
        let terms = if let Expression::Sum(terms) = whole { terms } else { vec![whole] };
        for term in terms {
            if let Expression::Negative(term) = term { sides[1].push(*term) } else { sides[0].push(term) }
        }
        let names = self.names();
        let side = |mut terms: Vec<Expression>| {
            let sum = match terms.len() {
                0 => Expression::Number(BigInt::ZERO),
                1 => terms.remove(0),
                _ => Expression::Sum(terms),
            };
            Notation::Text.expression(&sum, Letters::Names(&names))
        };
        sides.map(side).join(" = ")
    }

    fn warning(&self, conditions: &[Polynomial], otherwise: Option<String>) -> Option<Block> {
        let otherwise = otherwise?;
        let conditions: Vec<String> = conditions.iter().map(|condition| self.condition(condition)).collect();
        Some(Block::Warning(format!(
            "this holds only where {}, as it is with these counts; with counts chosen at will {otherwise}",
            list(&conditions)
        )))
    }

    fn names(&self) -> Vec<String> {
        self.set.gears().iter().map(|gear| gear.name().to_owned()).collect()
    }

    fn language(&self) -> &'static str {
        if self.notation == Notation::Tex { "math" } else { "mathml" }
    }
}

fn no_formula(subject: &str, why: &str) -> Block {
    Block::Facts(vec![Fact::new(subject, format!("none: {why}"))])
}

/// The sides of an equation without those that say what the one before says.
fn different(sides: impl IntoIterator<Item = String>) -> Vec<String> {
    let mut sides: Vec<String> = sides.into_iter().collect();
    sides.dedup();
    sides
}

/// What a state does, in words.
fn verdict_words(verdict: &FormulaVerdict) -> &'static str {
    match verdict {
        FormulaVerdict::Drives(_) => "it drives",
        FormulaVerdict::Locked => "the input is locked",
        FormulaVerdict::Neutral => "neutral, the output is free",
        FormulaVerdict::OutputHeld => "the output stands still",
        FormulaVerdict::TooLong => "the formula is too long to be written; toothmark ratios has the number",
    }
}

/// A speed that is no formula, in words.
fn speed_words(speed: &SpeedFormula) -> &'static str {
    match speed {
        SpeedFormula::Determined(_) => "determined",
        SpeedFormula::Free => "it is free",
        SpeedFormula::Locked => "the input is locked",
        SpeedFormula::WithoutMeaning => "it tumbles: it has a speed against its carrier only",
        SpeedFormula::TooLong => "the formula is too long to be written; toothmark ratios has the number",
    }
}
