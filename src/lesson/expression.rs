//! Arithmetic as it stands on the board: expressions that are shown before they are worked out.
//!
//! An expression keeps the shape in which it is written; a [`LinearForm`] is what it comes to, a number
//! plus multiples of unknowns. Everything in a lesson is linear in its unknowns.

use std::collections::BTreeMap;

use num_traits::{One, Signed, Zero};

use crate::exact::{Fraction, fraction};
use crate::gearset::MemberId;

/// An unknown of a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Symbol {
    /// The turns of all members of a set with its arm, by the number of the table.
    Together(usize),
    /// The turns of the first gear with the arm fixed, by the number of the table.
    First(usize),
    /// The speed of a member.
    Speed(MemberId),
    /// The speed of a bevel planet against its carrier.
    Relative(MemberId),
}

/// An expression as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Arithmetic {
    /// A number.
    Number(Fraction),
    /// An unknown.
    Symbol(Symbol),
    /// Terms that are added.
    Sum(Vec<Arithmetic>),
    /// Factors that are multiplied.
    Product(Vec<Arithmetic>),
    /// The first over the second.
    Quotient(Box<[Arithmetic; 2]>),
}

impl Arithmetic {
    /// A whole number.
    pub(super) fn whole(value: i64) -> Self {
        Self::Number(fraction(value, 1))
    }

    /// One expression over another.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::fraction;
    /// use toothmark::lesson::Arithmetic;
    /// let third = Arithmetic::Number(fraction(1, 1)).over(Arithmetic::Number(fraction(3, 1)));
    /// assert_eq!(third.form().unwrap().value(), Some(fraction(1, 3)));
    /// ```
    #[must_use]
    pub fn over(self, other: Self) -> Self {
        Self::Quotient(Box::new([self, other]))
    }

    /// `self - other`.
    pub(super) fn minus(self, other: Self) -> Self {
        Self::Sum(vec![self, Self::Product(vec![Self::whole(-1), other])])
    }

    /// What the expression comes to; `None` where it divides by zero or is not linear.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::fraction;
    /// use toothmark::lesson::{Arithmetic, Symbol};
    /// let x = Arithmetic::Symbol(Symbol::First(0));
    /// let form = Arithmetic::Product(vec![Arithmetic::Number(fraction(2, 5)), x]).form().unwrap();
    /// assert_eq!(form.parts[&Symbol::First(0)], fraction(2, 5));
    /// ```
    pub fn form(&self) -> Option<LinearForm> {
        Some(match self {
            Self::Number(value) => LinearForm::number(value.clone()),
            Self::Symbol(symbol) => LinearForm::of(*symbol),
            Self::Sum(terms) => {
                let mut sum = LinearForm::default();
                for term in terms {
                    sum = sum.plus(&term.form()?, &Fraction::one());
                }
                sum
            }
            Self::Product(factors) => {
                let mut product = LinearForm::number(Fraction::one());
                for factor in factors {
                    product = product.times(&factor.form()?)?;
                }
                product
            }
            Self::Quotient(parts) => {
                let by = parts[1].form()?.value().filter(|by| !by.is_zero())?;
                parts[0].form()?.scaled(&by.recip())
            }
        })
    }

    /// The expression with what is known written in the place of its symbols.
    pub(super) fn inserted(&self, known: &BTreeMap<Symbol, LinearForm>) -> Self {
        let all = |parts: &[Self]| parts.iter().map(|part| part.inserted(known)).collect::<Vec<_>>();
        match self {
            Self::Number(_) => self.clone(),
            Self::Symbol(symbol) => known.get(symbol).map_or_else(|| self.clone(), LinearForm::expression),
            Self::Sum(terms) => Self::Sum(all(terms)),
            Self::Product(factors) => Self::Product(all(factors)),
            Self::Quotient(parts) => parts[0].inserted(known).over(parts[1].inserted(known)),
        }
    }
}

/// A number plus multiples of unknowns; no multiple is zero.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LinearForm {
    /// The number.
    pub constant: Fraction,
    /// The multiples.
    pub parts: BTreeMap<Symbol, Fraction>,
}

impl LinearForm {
    pub(super) fn number(constant: Fraction) -> Self {
        Self { constant, parts: BTreeMap::new() }
    }

    pub(super) fn of(symbol: Symbol) -> Self {
        Self { constant: Fraction::zero(), parts: BTreeMap::from([(symbol, Fraction::one())]) }
    }

    /// Its value, if no unknown is left in it.
    pub fn value(&self) -> Option<Fraction> {
        self.parts.is_empty().then(|| self.constant.clone())
    }

    pub(super) fn plus(mut self, other: &Self, factor: &Fraction) -> Self {
        self.constant += &other.constant * factor;
        for (symbol, part) in &other.parts {
            *self.parts.entry(*symbol).or_default() += part * factor;
        }
        self.parts.retain(|_, part| !part.is_zero());
        self
    }

    pub(super) fn scaled(&self, factor: &Fraction) -> Self {
        Self::default().plus(self, factor)
    }

    fn times(&self, other: &Self) -> Option<Self> {
        match (self.value(), other.value()) {
            (Some(factor), _) => Some(other.scaled(&factor)),
            (_, Some(factor)) => Some(self.scaled(&factor)),
            (None, None) => None,
        }
    }

    /// With what is known in the place of its symbols.
    pub(super) fn with(&self, known: &BTreeMap<Symbol, Self>) -> Self {
        self.parts.iter().fold(Self::number(self.constant.clone()), |sum, (symbol, part)| match known.get(symbol) {
            Some(form) => sum.plus(form, part),
            None => sum.plus(&Self::of(*symbol), part),
        })
    }

    /// As it is written: the unknowns first, then the number, which goes before a first unknown below zero.
    pub(super) fn expression(&self) -> Arithmetic {
        let part = |(symbol, part): (&Symbol, &Fraction)| {
            let symbol = Arithmetic::Symbol(*symbol);
            if part.is_one() { symbol } else { Arithmetic::Product(vec![Arithmetic::Number(part.clone()), symbol]) }
        };
        let mut terms: Vec<Arithmetic> = self.parts.iter().map(part).collect();
        if terms.is_empty() || !self.constant.is_zero() {
            let is_first = self.parts.values().next().is_some_and(Signed::is_negative);
            terms.insert(if is_first { 0 } else { terms.len() }, Arithmetic::Number(self.constant.clone()));
        }
        if terms.len() == 1 { terms.swap_remove(0) } else { Arithmetic::Sum(terms) }
    }
}
