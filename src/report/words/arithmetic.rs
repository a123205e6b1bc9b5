//! Expressions of a lesson as a line of text, with the names of its unknowns.
//!
//! Members get short signs: a plain name of one word stays as it is, of others the first letters
//! are taken. A line reads from left to right with the usual precedence; `2/5 x` is two fifths of x.

use std::collections::BTreeMap;

use num_traits::{One, Signed};

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::lesson::{Arithmetic, Symbol};

/// The longest name that is its own sign.
const LONGEST: usize = 8;

/// The signs of the unknowns of a lesson.
#[derive(Debug)]
pub(in crate::report) struct Signs {
    of: BTreeMap<MemberId, String>,
    tables: usize,
}

impl Signs {
    pub(in crate::report) fn new(set: &Gearset, tables: usize) -> Self {
        let mut of: BTreeMap<MemberId, String> = BTreeMap::new();
        for member in set.member_ids() {
            let short = short(set.member(member).name());
            let taken = |sign: &String| of.values().any(|other| other == sign);
            let numbered = (2..).map(|number| format!("{short}{number}"));
            let sign = std::iter::once(short.clone()).chain(numbered).find(|sign| !taken(sign));
            of.insert(member, sign.unwrap_or(short));
        }
        Self { of, tables }
    }

    pub(in crate::report) fn symbol(&self, symbol: Symbol) -> String {
        let numbered = |letter: &str, table: usize| {
            if self.tables == 1 { letter.to_owned() } else { format!("{letter}{}", table + 1) }
        };
        match symbol {
            Symbol::Together(table) => numbered("y", table),
            Symbol::First(table) => numbered("x", table),
            Symbol::Speed(member) => format!("n_{}", self.of[&member]),
            Symbol::Relative(member) => format!("r_{}", self.of[&member]),
        }
    }

    /// Equal expressions as a line; of neighbours that look the same one is written.
    pub(in crate::report) fn line(&self, chain: &[Arithmetic]) -> String {
        let mut shown: Vec<String> = chain.iter().map(|expression| self.expression(expression)).collect();
        shown.dedup();
        shown.join(" = ")
    }

    pub(in crate::report) fn expression(&self, expression: &Arithmetic) -> String {
        match expression {
            Arithmetic::Number(value) => value.to_string(),
            Arithmetic::Symbol(symbol) => self.symbol(*symbol),
            Arithmetic::Sum(terms) => self.sum(terms),
            Arithmetic::Product(factors) => {
                let (sign, size) = self.signed(factors);
                format!("{sign}{size}")
            }
            Arithmetic::Quotient(parts) => {
                let [over, under] = [self.factor(&parts[0], Spot::First), self.divisor(&parts[1])];
                let is_number = |part: &Arithmetic| matches!(part, Arithmetic::Number(value) if value.is_integer());
                let stroke = if parts.iter().all(is_number) { "/" } else { " / " };
                format!("{over}{stroke}{under}")
            }
        }
    }

    fn sum(&self, terms: &[Arithmetic]) -> String {
        let mut shown = String::new();
        for term in terms {
            let (sign, size) = match term {
                Arithmetic::Product(factors) => self.signed(factors),
                Arithmetic::Number(value) => (minus(value), value.abs().to_string()),
                Arithmetic::Sum(_) => ("", format!("({})", self.expression(term))),
                Arithmetic::Symbol(_) | Arithmetic::Quotient(_) => ("", self.factor(term, Spot::First)),
            };
            match (shown.is_empty(), sign) {
                (true, _) => shown = format!("{sign}{size}"),
                (false, "-") => shown = format!("{shown} - {size}"),
                (false, _) => shown = format!("{shown} + {size}"),
            }
        }
        shown
    }

    /// The sign of a product that begins with a number, and the rest of it.
    fn signed(&self, factors: &[Arithmetic]) -> (&'static str, String) {
        let (sign, first) = match factors.first() {
            Some(Arithmetic::Number(value)) => (minus(value), Some(value.abs())),
            _ => ("", None),
        };
        let rest = &factors[usize::from(first.is_some())..];
        let mut shown = match first {
            // A number below zero has no sign of its own behind a plus: `1 * (-2)`.
            Some(value) if value.is_one() && !rest.is_empty() && (sign == "-" || !is_below_zero(rest)) => String::new(),
            Some(value) => value.to_string(),
            None => String::new(),
        };
        for factor in rest {
            let spot = if shown.is_empty() && sign.is_empty() { Spot::First } else { Spot::Later };
            let next = self.factor(factor, spot);
            shown = match factor {
                _ if shown.is_empty() => next,
                Arithmetic::Symbol(_) => format!("{shown} {next}"),
                Arithmetic::Number(_) | Arithmetic::Sum(_) | Arithmetic::Product(_) | Arithmetic::Quotient(_) => {
                    format!("{shown} * {next}")
                }
            };
        }
        (sign, shown)
    }

    /// A factor, in brackets where it needs them; a negative number may come first without.
    fn factor(&self, expression: &Arithmetic, spot: Spot) -> String {
        let shown = self.expression(expression);
        match expression {
            Arithmetic::Symbol(_) => shown,
            Arithmetic::Number(value) if spot == Spot::First || !value.is_negative() => shown,
            Arithmetic::Quotient(parts) if is_plain(&parts[0]) => shown,
            Arithmetic::Number(_) | Arithmetic::Sum(_) | Arithmetic::Product(_) | Arithmetic::Quotient(_) => {
                format!("({shown})")
            }
        }
    }

    fn divisor(&self, expression: &Arithmetic) -> String {
        let shown = self.expression(expression);
        match expression {
            Arithmetic::Number(value) if value.is_integer() && !value.is_negative() => shown,
            Arithmetic::Symbol(_) => shown,
            Arithmetic::Number(_) | Arithmetic::Sum(_) | Arithmetic::Product(_) | Arithmetic::Quotient(_) => {
                format!("({shown})")
            }
        }
    }
}

/// Whether the first of some factors is a number below zero.
fn is_below_zero(factors: &[Arithmetic]) -> bool {
    matches!(factors.first(), Some(Arithmetic::Number(value)) if value.is_negative())
}

/// Where a factor stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Spot {
    /// At the beginning of a product, a sum or a quotient.
    First,
    /// Behind a sign.
    Later,
}

/// Whether an expression is a number that is not negative.
fn is_plain(expression: &Arithmetic) -> bool {
    matches!(expression, Arithmetic::Number(value) if !value.is_negative())
}

fn minus(value: &Fraction) -> &'static str {
    if value.is_negative() { "-" } else { "" }
}

/// A short sign for a name: the name itself, or the first letters of its words.
fn short(name: &str) -> String {
    let words: Vec<&str> =
        name.split(|letter: char| !letter.is_ascii_alphanumeric()).filter(|it| !it.is_empty()).collect();
    match words.as_slice() {
        [] => "m".into(),
        [one] if *one == name && one.len() <= LONGEST => name.to_owned(),
        [one] => one.chars().take(LONGEST).collect(),
        several => several.iter().filter_map(|word| word.chars().next()).collect(),
    }
}
