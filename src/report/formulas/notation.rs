//! Formulas written out: as plain text, as `TeX`, as `MathML`.
//!
//! Text uses signs that any keyboard has, so that a formula can be put into a calculator. `TeX` is for
//! mathematics mode with amsmath's `\text`; `MathML` is presentation markup of the W3C (version 3, 2014). Names of
//! gears are escaped by the rules of each.

use num_bigint::BigInt;
use schemars::JsonSchema;
use serde::Serialize;

use crate::formula::Formula;
use crate::syntax::{markup, visible};

/// How a formula is written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Notation {
    /// Plain text.
    #[default]
    Text,
    /// `TeX`, for mathematics mode.
    Tex,
    /// `MathML`.
    MathMl,
}

/// What stands for an unknown.
#[derive(Clone, Copy)]
pub(super) enum Letters<'a> {
    /// The name of its gear.
    Names(&'a [String]),
    /// Its tooth count.
    Counts(&'a [BigInt]),
}

impl Notation {
    /// Several expressions with signs of equality between them.
    pub(super) fn equation(self, sides: &[String]) -> String {
        match self {
            Self::Text | Self::Tex => sides.join(" = "),
            Self::MathMl => {
                let sides = sides.join("<mo>=</mo>");
                format!("<math xmlns=\"http://www.w3.org/1998/Math/MathML\" displaystyle=\"true\">{sides}</math>")
            }
        }
    }

    /// A number, whole or a fraction, as one side of an equation.
    pub(super) fn number(self, value: &crate::exact::Fraction) -> String {
        let minus = if *value < crate::exact::fraction(0, 1) { "-" } else { "" };
        let (above, below) = (value.numer().magnitude(), value.denom());
        match self {
            Self::Text => value.to_string(),
            Self::Tex if value.is_integer() => value.to_string(),
            Self::Tex => format!("{minus}\\frac{{{above}}}{{{below}}}"),
            Self::MathMl => {
                let number = format!("<mn>{above}</mn>");
                let number =
                    if value.is_integer() { number } else { format!("<mfrac>{number}<mn>{below}</mn></mfrac>") };
                if minus.is_empty() { number } else { format!("<mrow><mo>&#x2212;</mo>{number}</mrow>") }
            }
        }
    }

    /// An expression as one side of an equation.
    pub(super) fn expression(self, expression: &Formula, letters: Letters<'_>) -> String {
        match self {
            Self::Text => text(expression, letters),
            Self::Tex => tex(expression, letters),
            Self::MathMl => mathml(expression, letters),
        }
    }
}

/// A quotient of at most so many letters is written without blanks.
const SHORT: usize = 24;

fn text(expression: &Formula, letters: Letters<'_>) -> String {
    let inner = |part: &Formula| text(part, letters);
    // Within a product or above a line only sums are put in brackets, below it products as well.
    let factor = |part: &Formula| {
        let is_open = is_signed(part) || is_quotient(part);
        if is_open { format!("({})", inner(part)) } else { inner(part) }
    };
    match expression {
        Formula::Number(number) => number.to_string(),
        Formula::Unknown(unknown) => match letters {
            Letters::Names(names) => plain_name(&names[*unknown]),
            Letters::Counts(counts) => counts[*unknown].to_string(),
        },
        Formula::Power(base, exponent) => format!("{}^{exponent}", factor(base)),
        Formula::Negative(part) => format!("-{}", if is_quotient(part) { inner(part) } else { factor(part) }),
        Formula::Sum(terms) => sum(terms, " + ", " - ", inner),
        Formula::Product(factors) => factors.iter().map(factor).collect::<Vec<_>>().join("*"),
        Formula::Quotient(above, below) => {
            let above = factor(above);
            let below = if let Formula::Product(_) = **below { format!("({})", inner(below)) } else { factor(below) };
            let letters = above.chars().count() + below.chars().count();
            let is_tight = letters <= SHORT && !above.contains(' ') && !below.contains(' ');
            if is_tight { format!("{above}/{below}") } else { format!("{above} / {below}") }
        }
    }
}

/// Whether signs stand in it or before it.
fn is_signed(expression: &Formula) -> bool {
    matches!(expression, Formula::Sum(_) | Formula::Negative(_))
}

fn is_quotient(expression: &Formula) -> bool {
    matches!(expression, Formula::Quotient(..))
}

/// Terms with the signs between them.
fn sum(terms: &[Formula], plus: &str, minus: &str, term: impl Fn(&Formula) -> String) -> String {
    let mut written = String::new();
    for (place, part) in terms.iter().enumerate() {
        if place == 0 {
            written += &term(part);
        } else if let Formula::Negative(part) = part {
            written += minus;
            written += &term(part);
        } else {
            written += plus;
            written += &term(part);
        }
    }
    written
}

/// A name that is a word stands as it is, any other in quotes.
fn plain_name(name: &str) -> String {
    let begins = name.chars().next().is_some_and(char::is_alphabetic);
    if begins && name.chars().all(|letter| letter.is_alphanumeric() || letter == '_') {
        return name.to_owned();
    }
    format!("\"{}\"", visible(&name.replace('\\', "\\\\").replace('"', "\\\"")))
}

fn tex(expression: &Formula, letters: Letters<'_>) -> String {
    let inner = |part: &Formula| tex(part, letters);
    let factor = |part: &Formula| {
        if is_signed(part) { format!("\\left({}\\right)", inner(part)) } else { inner(part) }
    };
    match expression {
        Formula::Number(number) => number.to_string(),
        Formula::Unknown(unknown) => match letters {
            Letters::Names(names) => tex_name(&names[*unknown]),
            Letters::Counts(counts) => counts[*unknown].to_string(),
        },
        Formula::Power(base, exponent) => format!("{{{}}}^{{{exponent}}}", factor(base)),
        Formula::Negative(part) => format!("-{}", factor(part)),
        Formula::Sum(terms) => sum(terms, " + ", " - ", inner),
        Formula::Product(factors) => factors.iter().map(factor).collect::<Vec<_>>().join(" \\cdot "),
        Formula::Quotient(above, below) => format!("\\frac{{{}}}{{{}}}", inner(above), inner(below)),
    }
}

/// A single letter stands as it is, any other name as text.
fn tex_name(name: &str) -> String {
    let mut letters = name.chars();
    if letters.next().is_some_and(|letter| letter.is_ascii_alphabetic()) && letters.next().is_none() {
        return name.to_owned();
    }
    let mut text = String::new();
    for letter in visible(name).chars() {
        match letter {
            '\\' => text.push_str("\\textbackslash{}"),
            '~' => text.push_str("\\textasciitilde{}"),
            '^' => text.push_str("\\textasciicircum{}"),
            '<' => text.push_str("\\textless{}"),
            '>' => text.push_str("\\textgreater{}"),
            '{' | '}' | '$' | '&' | '#' | '_' | '%' => text.extend(['\\', letter]),
            _ => text.push(letter),
        }
    }
    format!("\\text{{{text}}}")
}

fn mathml(expression: &Formula, letters: Letters<'_>) -> String {
    let inner = |part: &Formula| mathml(part, letters);
    let factor = |part: &Formula| {
        if is_signed(part) { format!("<mrow><mo>(</mo>{}<mo>)</mo></mrow>", inner(part)) } else { inner(part) }
    };
    match expression {
        Formula::Number(number) => format!("<mn>{number}</mn>"),
        Formula::Unknown(unknown) => match letters {
            Letters::Names(names) => format!("<mi>{}</mi>", markup(&names[*unknown])),
            Letters::Counts(counts) => format!("<mn>{}</mn>", counts[*unknown]),
        },
        Formula::Power(base, exponent) => format!("<msup>{}<mn>{exponent}</mn></msup>", factor(base)),
        Formula::Negative(part) => format!("<mrow><mo>&#x2212;</mo>{}</mrow>", factor(part)),
        Formula::Sum(terms) => format!("<mrow>{}</mrow>", sum(terms, "<mo>+</mo>", "<mo>&#x2212;</mo>", inner)),
        Formula::Product(factors) => {
            let factors: Vec<String> = factors.iter().map(factor).collect();
            format!("<mrow>{}</mrow>", factors.join("<mo>&#xB7;</mo>"))
        }
        Formula::Quotient(above, below) => format!("<mfrac>{}{}</mfrac>", inner(above), inner(below)),
    }
}
