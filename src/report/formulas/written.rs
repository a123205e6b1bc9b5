//! Formulas written out in one notation: the answer that is shown.
//!
//! What a formula is comes from the analysis ([`crate::formula`]); a notation is a form, so it is chosen here. Each
//! formula stands in the names of the gears, with its counts put in, and term by term for programs that read it apart.

use num_bigint::BigInt;
use schemars::JsonSchema;
use serde::Serialize;

use super::notation::{Letters, Notation};
use crate::exact::{Fraction, Monomial, Polynomial, RationalFunction};
use crate::formula::{
    DerivedSpeed, Formula, FormulaVerdict, FormulaVerdictKind, MemberFormula, SpeedFormula, SpeedFormulaKind,
    StateFormulas, counts, expanded, factored, one_plus,
};
use crate::gearset::{GearId, Gearset, MemberId};

/// The formulas of the states of a gearset.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct WrittenFormulas {
    /// The title of the gearset.
    pub gearset: String,
    /// How formulas are written.
    pub notation: Notation,
    /// The states, in the order of the description.
    pub states: Vec<WrittenState>,
}

/// The formulas of one state.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct WrittenState {
    /// The state's name.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// What becomes of the output at the counts of the gearset.
    pub verdict: FormulaVerdictKind,
    /// Input turns per output turn, where the output turns.
    pub ratio: Option<WrittenFormula>,
    /// What has to hold for it, as equations in plain text: empty where it holds for counts chosen at will.
    pub only_where: Vec<String>,
    /// What counts chosen at will do, where that is something else.
    pub otherwise: Option<WrittenCase>,
    /// The members whose speeds were asked for.
    pub members: Vec<WrittenMember>,
}

/// What becomes of the output with counts chosen at will.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct WrittenCase {
    /// What becomes of it.
    pub verdict: FormulaVerdictKind,
    /// The ratio.
    pub formula: Option<WrittenFormula>,
    /// The ratio in plain text.
    pub in_plain_text: Option<String>,
}

/// The speed of a member.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct WrittenMember {
    /// The member.
    pub member: MemberId,
    /// Its speed as seen from the case.
    pub speed: WrittenSpeed,
    /// Its speed as seen from its carrier, if it has one.
    pub relative_to_carrier: Option<WrittenSpeed>,
}

/// A speed in turns per turn of the input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct WrittenSpeed {
    /// How far there is a formula for it.
    pub motion: SpeedFormulaKind,
    /// The formula, at the counts of the gearset.
    pub formula: Option<WrittenFormula>,
    /// What has to hold for it, as equations in plain text: empty where it holds for counts chosen at will.
    pub only_where: Vec<String>,
    /// What counts chosen at will do, where that is something else.
    pub otherwise: Option<SpeedFormulaKind>,
    /// The formula with counts chosen at will, in plain text.
    pub otherwise_in_plain_text: Option<String>,
}

/// A formula written out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct WrittenFormula {
    /// In the names of the gears, in factors.
    pub formula: String,
    /// As one plus something, where that is simpler to read.
    pub one_plus: Option<String>,
    /// With the counts put in.
    pub with_counts: String,
    /// Its value at the counts.
    pub value: Option<Fraction>,
    /// The terms above the line, multiplied out.
    pub numerator: Vec<FormulaTerm>,
    /// The terms below it.
    pub denominator: Vec<FormulaTerm>,
    /// All of it with signs of equality between, down to its value.
    pub equation: String,
}

/// A product of a number and powers of tooth counts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct FormulaTerm {
    /// The number, an integer of any length.
    pub coefficient: String,
    /// The powers.
    pub powers: Vec<TermPower>,
}

/// A power of the tooth count of a gear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct TermPower {
    /// The gear.
    pub gear: GearId,
    /// The exponent, at least 1.
    pub exponent: u32,
}

/// Writes formulas out in a notation.
///
/// # Examples
/// ```
/// use toothmark::formula::{FormulasQuestion, formulas};
/// use toothmark::report::{Notation, write_formulas};
/// let set = toothmark::description::read(toothmark::description::example("millrace-winch").unwrap()).unwrap();
/// let written = write_formulas(&set, &formulas(&set, &FormulasQuestion::default()), Notation::Text);
/// assert_eq!(written.states[0].ratio.as_ref().unwrap().formula, "(S + R) / S");
/// ```
pub fn write_formulas(set: &Gearset, states: &[StateFormulas], notation: Notation) -> WrittenFormulas {
    let names = set.gears().iter().map(|gear| gear.name().to_owned()).collect();
    let writer = FormulaWriter { ids: set.gear_ids().collect(), names, counts: counts(set), notation };
    WrittenFormulas {
        gearset: set.title().to_owned(),
        notation,
        states: states.iter().map(|state| writer.state(state)).collect(),
    }
}

/// What formulas of a gearset are written with.
struct FormulaWriter {
    ids: Vec<GearId>,
    names: Vec<String>,
    counts: Vec<BigInt>,
    notation: Notation,
}

impl FormulaWriter {
    fn state(&self, found: &StateFormulas) -> WrittenState {
        let case = |verdict: &FormulaVerdict| WrittenCase {
            verdict: verdict.kind(),
            formula: verdict.ratio().map(|formula| self.formula(formula)),
            in_plain_text: verdict.ratio().map(|formula| self.in_plain_text(&factored(formula))),
        };
        WrittenState {
            state: found.state.clone(),
            input: found.input,
            output: found.output,
            verdict: found.verdict.kind(),
            ratio: found.verdict.ratio().map(|formula| self.formula(formula)),
            only_where: found.conditions.iter().map(|condition| self.condition(condition)).collect(),
            otherwise: found.otherwise.as_ref().map(case),
            members: found.members.iter().map(|member| self.member(member)).collect(),
        }
    }

    fn member(&self, found: &MemberFormula) -> WrittenMember {
        WrittenMember {
            member: found.member,
            speed: self.speed(&found.speed),
            relative_to_carrier: found.relative_to_carrier.as_ref().map(|relative| self.speed(relative)),
        }
    }

    fn speed(&self, found: &DerivedSpeed) -> WrittenSpeed {
        let otherwise = found.otherwise.as_ref();
        let otherwise_formula = otherwise.and_then(SpeedFormula::formula);
        WrittenSpeed {
            motion: found.speed.kind(),
            formula: found.speed.formula().map(|formula| self.formula(formula)),
            only_where: found.conditions.iter().map(|condition| self.condition(condition)).collect(),
            otherwise: otherwise.map(SpeedFormula::kind),
            otherwise_in_plain_text: otherwise_formula.map(|formula| self.in_plain_text(&factored(formula))),
        }
    }

    fn formula(&self, formula: &RationalFunction) -> WrittenFormula {
        let side = |expression: &Formula, letters| self.notation.expression(expression, letters);
        let expression = factored(formula);
        let in_names = side(&expression, Letters::Names(&self.names));
        let one_plus = one_plus(formula).map(|simple| side(&simple, Letters::Names(&self.names)));
        let with_counts = side(&expression, Letters::Counts(&self.counts));
        let value = formula.value(&self.counts);
        let number = value.as_ref().map(|value| self.notation.number(value));
        let alone = |side: &String| self.notation.equation(std::slice::from_ref(side));
        // A side that says what the one before says is left out.
        let mut sides: Vec<String> = [Some(in_names.clone()), one_plus.clone(), Some(with_counts.clone()), number]
            .into_iter()
            .flatten()
            .collect();
        sides.dedup();
        WrittenFormula {
            formula: alone(&in_names),
            one_plus: one_plus.as_ref().map(alone),
            with_counts: alone(&with_counts),
            value,
            numerator: self.terms(formula.numerator()),
            denominator: self.terms(formula.denominator()),
            equation: self.notation.equation(&sides),
        }
    }

    fn terms(&self, polynomial: &Polynomial) -> Vec<FormulaTerm> {
        let term = |(monomial, coefficient): (&Monomial, &BigInt)| FormulaTerm {
            coefficient: coefficient.to_string(),
            powers: monomial
                .powers()
                .iter()
                .map(|power| TermPower { gear: self.ids[power.unknown], exponent: power.exponent })
                .collect(),
        };
        polynomial.terms().map(term).collect()
    }

    fn in_plain_text(&self, expression: &Formula) -> String {
        Notation::Text.expression(expression, Letters::Names(&self.names))
    }

    /// What has to be 0, as an equation of what is added and what is taken away.
    fn condition(&self, condition: &Polynomial) -> String {
        let expression = expanded(condition);
        let terms = if let Formula::Sum(terms) = expression { terms } else { vec![expression] };
        let (mut added, mut taken) = (Vec::new(), Vec::new());
        for term in terms {
            if let Formula::Negative(term) = term { taken.push(*term) } else { added.push(term) }
        }
        [added, taken].map(|terms| self.in_plain_text(&sum(terms))).join(" = ")
    }
}

fn sum(mut terms: Vec<Formula>) -> Formula {
    match terms.len() {
        0 => Formula::Number(BigInt::ZERO),
        1 => terms.remove(0),
        _ => Formula::Sum(terms),
    }
}
