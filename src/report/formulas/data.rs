//! Formulas for other programs: JSON.
//!
//! Beside each formula as written stand its numerator and denominator term by term, so that nobody has to read it
//! apart. Coefficients are strings of any length; the keys are a promise, as everywhere.

use num_bigint::BigInt;
use serde::Serialize;

use super::Formulas;
use crate::exact::{Monomial, Polynomial, RationalFunction};
use crate::formula::{Derived, FormulaVerdict, MemberFormula, RatioFormula, SpeedFormula, counts};
use crate::gearset::MemberId;
use crate::report::render::values::{Value, json};
use crate::report::words::notation::Notation;

impl Formulas<'_> {
    /// The answer as JSON.
    pub fn json(&self) -> String {
        let state = |(at, ratio): (usize, &RatioFormula)| StateJson {
            state: ratio.state.clone(),
            input: self.name(ratio.input),
            output: self.name(ratio.output),
            verdict: verdict_key(&ratio.verdict),
            ratio: ratio.verdict.ratio().map(|formula| self.formula_json(formula)),
            only_where: ratio.conditions.iter().map(|condition| self.condition(condition)).collect(),
            otherwise: ratio.otherwise.as_ref().map(|verdict| OtherwiseJson {
                verdict: verdict_key(verdict),
                formula: verdict.ratio().map(|formula| self.formula_json(formula)),
            }),
            members: self.members.get(at).into_iter().flatten().map(|member| self.member_json(member)).collect(),
        };
        json(&FormulasJson {
            gearset: self.set.title().to_owned(),
            notation: match self.notation {
                Notation::Text => "text",
                Notation::Tex => "tex",
                Notation::MathMl => "mathml",
            },
            states: self.ratios.iter().enumerate().map(state).collect(),
        })
    }

    fn name(&self, member: MemberId) -> String {
        self.set.member(member).name().to_owned()
    }

    fn member_json(&self, found: &MemberFormula) -> MemberJson {
        MemberJson {
            member: self.name(found.member),
            speed: self.speed_json(&found.speed),
            relative_to_carrier: found.relative_to_carrier.as_ref().map(|relative| self.speed_json(relative)),
        }
    }

    fn speed_json(&self, derived: &Derived) -> SpeedJson {
        SpeedJson {
            motion: motion_key(&derived.speed),
            formula: derived.speed.formula().map(|formula| self.formula_json(formula)),
            only_where: derived.conditions.iter().map(|condition| self.condition(condition)).collect(),
            otherwise: derived.otherwise.as_ref().map(motion_key),
        }
    }

    fn formula_json(&self, formula: &RationalFunction) -> FormulaJson {
        let written = self.written(formula, self.notation);
        let math = |side: String| self.notation.equation(&[side]);
        FormulaJson {
            formula: math(written.formula),
            one_plus: written.one_plus.map(math),
            with_counts: math(written.with_counts),
            value: formula.value(&counts(self.set)).as_ref().map(Value::new),
            numerator: self.terms_json(formula.numerator()),
            denominator: self.terms_json(formula.denominator()),
        }
    }

    fn terms_json(&self, polynomial: &Polynomial) -> Vec<TermJson> {
        let gears = self.set.gears();
        let term = |(monomial, coefficient): (&Monomial, &BigInt)| TermJson {
            coefficient: coefficient.to_string(),
            powers: monomial
                .powers()
                .iter()
                .map(|power| PowerJson { gear: gears[power.unknown].name().to_owned(), exponent: power.exponent })
                .collect(),
        };
        polynomial.terms().map(term).collect()
    }
}

fn verdict_key(verdict: &FormulaVerdict) -> &'static str {
    match verdict {
        FormulaVerdict::Drives(_) => "drives",
        FormulaVerdict::Locked => "locked",
        FormulaVerdict::Neutral => "neutral",
        FormulaVerdict::OutputHeld => "output held",
        FormulaVerdict::TooLong => "too long",
    }
}

fn motion_key(speed: &SpeedFormula) -> &'static str {
    match speed {
        SpeedFormula::Determined(_) => "determined",
        SpeedFormula::Free => "free",
        SpeedFormula::Locked => "locked",
        SpeedFormula::WithoutMeaning => "tumbles",
        SpeedFormula::TooLong => "too long",
    }
}

#[derive(Debug, Serialize)]
struct FormulasJson {
    gearset: String,
    notation: &'static str,
    states: Vec<StateJson>,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    input: String,
    output: String,
    verdict: &'static str,
    ratio: Option<FormulaJson>,
    only_where: Vec<String>,
    otherwise: Option<OtherwiseJson>,
    members: Vec<MemberJson>,
}

#[derive(Debug, Serialize)]
struct OtherwiseJson {
    verdict: &'static str,
    formula: Option<FormulaJson>,
}

#[derive(Debug, Serialize)]
struct MemberJson {
    member: String,
    speed: SpeedJson,
    relative_to_carrier: Option<SpeedJson>,
}

#[derive(Debug, Serialize)]
struct SpeedJson {
    motion: &'static str,
    formula: Option<FormulaJson>,
    only_where: Vec<String>,
    otherwise: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct FormulaJson {
    formula: String,
    one_plus: Option<String>,
    with_counts: String,
    value: Option<Value>,
    numerator: Vec<TermJson>,
    denominator: Vec<TermJson>,
}

#[derive(Debug, Serialize)]
struct TermJson {
    coefficient: String,
    powers: Vec<PowerJson>,
}

#[derive(Debug, Serialize)]
struct PowerJson {
    gear: String,
    exponent: u32,
}
