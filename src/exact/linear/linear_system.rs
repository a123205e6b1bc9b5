//! What follows, exactly, from homogeneous linear equations when one unknown is given?
//!
//! A [`LinearSystem`] is built once and solved under many [`Conditions`]: unknowns set
//! equal or held at zero, a few more equations, and a driver whose value is 1. What the
//! driver does not determine is told from what is zero; nothing is ever rounded, and
//! numbers grow to any size where they must. The method is Gaussian elimination in two
//! stages, see `reduction`.

use std::sync::OnceLock;

use num_bigint::BigInt;

use super::dependency::{Dependencies, dependencies};
use super::equations::{Conditions, Equality, Equation, Solution};
use super::mergers::{Merged, Mergers, Watched, merge};
use super::reduction::ReducedSystem;
use crate::exact::checked_integer::in_widening_words;

/// Homogeneous linear equations with integer coefficients in numbered unknowns, of which
/// unknown 0 is always zero.
///
/// # Examples
/// ```
/// use toothmark::exact::{Conditions, Equality, LinearSystem, Term, fraction};
/// // 30 x1 + 78 x2 - 108 x3 = 0
/// let terms = [Term::of(30, 1), Term::of(78, 2), Term::of(-108, 3)];
/// let system = LinearSystem::new(4, vec![terms.into_iter().collect()], &[]);
///
/// let held = system.solve(&Conditions::of(1, vec![Equality::held(2)]));
/// assert_eq!(held.values[3], Some(fraction(5, 18)));
/// assert_eq!(held.freedom, 0);
///
/// let free = system.solve(&Conditions::of(1, vec![]));
/// assert_eq!(free.values[3], None);
/// assert_eq!(free.freedom, 1);
/// ```
#[derive(Debug, Clone)]
pub struct LinearSystem {
    unknowns: usize,
    equations: Vec<Equation>,
    is_inner: Vec<bool>,
    reduced: Widths,
    /// With no unknown eliminated: for conditions that name an inner unknown.
    unreduced: OnceLock<Widths>,
}

/// The same system in numbers of three widths, the wider ones made when needed; `None`
/// if a number does not fit.
#[derive(Debug, Clone)]
struct Widths {
    inner: Vec<usize>,
    narrow: Option<ReducedSystem<i64>>,
    double: OnceLock<Option<ReducedSystem<i128>>>,
    unbounded: OnceLock<Option<ReducedSystem<BigInt>>>,
}

impl LinearSystem {
    /// Makes a system of the unknowns `0..unknowns` ready to be solved.
    ///
    /// `inner` lists unknowns that conditions seldom or never name, in any order; they
    /// are eliminated here, once. The answers do not depend on it, only the time they
    /// take. Unknown 0 in it is passed over.
    ///
    /// # Panics
    /// If there is no unknown 0, or if an equation or `inner` names an unknown that is
    /// not in `0..unknowns`.
    pub fn new(unknowns: usize, equations: Vec<Equation>, inner: &[usize]) -> Self {
        assert!(unknowns > 0, "unknown 0 is part of every system");
        for equation in &equations {
            check_equation(equation, unknowns);
        }
        let mut is_inner = vec![false; unknowns];
        for &unknown in inner {
            check_unknown(unknown, unknowns);
            is_inner[unknown] = unknown != 0;
        }
        let inner = (0..unknowns).filter(|&unknown| is_inner[unknown]).collect();
        let reduced = Widths::new(unknowns, &equations, inner);
        Self { unknowns, equations, is_inner, reduced, unreduced: OnceLock::new() }
    }

    /// What follows from the equations under the conditions.
    ///
    /// The values are those of the solution whose driver is 1. A driver that is held,
    /// or that the equations force to zero, cannot turn.
    ///
    /// # Panics
    /// If the conditions name an unknown that the system does not have.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Conditions, Equality, LinearSystem, fraction};
    /// let system = LinearSystem::new(3, vec![], &[]);
    /// let mut conditions = Conditions::of(1, vec![Equality::of(1, 2)]);
    /// assert_eq!(system.solve(&conditions).values[2], Some(fraction(1, 1)));
    /// conditions.equalities.push(Equality::held(2));
    /// assert!(!system.solve(&conditions).driver_can_turn);
    /// ```
    pub fn solve(&self, conditions: &Conditions) -> Solution {
        let system = if self.names_inner(conditions) {
            self.unreduced.get_or_init(|| Widths::new(self.unknowns, &self.equations, Vec::new()))
        } else {
            &self.reduced
        };
        in_widening_words(
            || system.narrow.as_ref()?.solve(conditions),
            || system.double(self)?.solve(conditions),
            || system.unbounded(self)?.solve(conditions),
        )
    }

    /// Which pairs of watched unknowns get a fixed quotient by which choice of equalities.
    ///
    /// # Panics
    /// If an unknown is watched, or always equal to another, that the system does not have or
    /// that is inner, or if the first one watched is not unknown 0.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{LinearSystem, Mergers, Term, Watched};
    /// // 1 x1 + 3 x2 - 4 x3 = 0
    /// let terms = [Term::of(1, 1), Term::of(3, 2), Term::of(-4, 3)];
    /// let system = LinearSystem::new(4, vec![terms.into_iter().collect()], &[]);
    /// let watched = Watched { unknowns: vec![0, 1, 2, 3], always: vec![] };
    /// let found = system.merge(&watched, &Mergers::Of { pairs: vec![[2, 0], [2, 3]], most: 1 });
    /// let first = &found.quotients[0];
    /// assert_eq!((first.pair, first.quotient.to_string()), ([1, 2], "1".to_owned()));
    /// let zero_two = found.quotients.iter().find(|found| found.quotient.to_string() == "4").unwrap();
    /// assert_eq!((zero_two.pair, &found.mergers[zero_two.mergers[0]].places), ([1, 3], &vec![0]));
    /// ```
    pub fn merge(&self, watched: &Watched, mergers: &Mergers) -> Merged {
        let Watched { unknowns, always } = watched;
        assert!(unknowns.first() == Some(&0), "unknown 0 is the first that is watched");
        let named = always.iter().flat_map(|equality| [equality.left, equality.right]);
        for unknown in unknowns.iter().copied().chain(named) {
            check_unknown(unknown, self.unknowns);
            assert!(!self.is_inner[unknown], "unknown {unknown} is inner and cannot be watched");
        }
        let system = &self.reduced;
        let count = unknowns.len();
        in_widening_words(
            || merge(system.narrow.as_ref()?.directions(watched)?, count, mergers),
            || merge(system.double(self)?.directions(watched)?, count, mergers),
            || merge(system.unbounded(self)?.directions(watched)?, count, mergers),
        )
    }

    /// The rank of the equations and which of them depend on others, when the given
    /// unknowns are equal (unknown 0 is zero, so its coefficients do not count).
    ///
    /// # Panics
    /// If an equality names an unknown that the system does not have.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{Equality, Equation, LinearSystem, Term};
    /// let difference = |one, other| -> Equation {
    ///     [Term::of(1, one), Term::of(-1, other)].into_iter().collect()
    /// };
    /// // x1 = x2, x2 = x3, x3 = x4: independent, until x1 = x3 is given as well.
    /// let equations = vec![difference(1, 2), difference(2, 3), difference(3, 4)];
    /// let system = LinearSystem::new(5, equations, &[]);
    /// assert_eq!(system.dependencies(&[]).rank, 3);
    /// let found = system.dependencies(&[Equality::of(1, 3)]);
    /// assert_eq!(found.rank, 2);
    /// assert_eq!(found.dependent, [0, 1]);
    /// ```
    pub fn dependencies(&self, equalities: &[Equality]) -> Dependencies {
        for &equality in equalities {
            check_equality(equality, self.unknowns);
        }
        let (unknowns, equations) = (self.unknowns, &self.equations);
        in_widening_words(
            || dependencies::<i64>(unknowns, equations, equalities),
            || dependencies::<i128>(unknowns, equations, equalities),
            || dependencies::<BigInt>(unknowns, equations, equalities),
        )
    }

    /// Whether conditions name an inner unknown; checks that they name none that does
    /// not exist.
    fn names_inner(&self, conditions: &Conditions) -> bool {
        let Conditions { driver, equalities, equations } = conditions;
        check_unknown(*driver, self.unknowns);
        let mut found = self.is_inner[*driver];
        for equality in equalities {
            check_equality(*equality, self.unknowns);
            found |= self.is_inner[equality.left] || self.is_inner[equality.right];
        }
        for equation in equations {
            check_equation(equation, self.unknowns);
            found |= equation.terms().iter().any(|term| self.is_inner[term.unknown]);
        }
        found
    }
}

impl Widths {
    fn new(unknowns: usize, equations: &[Equation], inner: Vec<usize>) -> Self {
        let narrow = ReducedSystem::new(unknowns, equations, &inner);
        Self { inner, narrow, double: OnceLock::new(), unbounded: OnceLock::new() }
    }

    fn double(&self, system: &LinearSystem) -> Option<&ReducedSystem<i128>> {
        self.double.get_or_init(|| ReducedSystem::new(system.unknowns, &system.equations, &self.inner)).as_ref()
    }

    fn unbounded(&self, system: &LinearSystem) -> Option<&ReducedSystem<BigInt>> {
        self.unbounded.get_or_init(|| ReducedSystem::new(system.unknowns, &system.equations, &self.inner)).as_ref()
    }
}

fn check_unknown(unknown: usize, unknowns: usize) {
    assert!(unknown < unknowns, "there is no unknown {unknown} in a system of {unknowns}");
}

fn check_equality(equality: Equality, unknowns: usize) {
    check_unknown(equality.left.max(equality.right), unknowns);
}

fn check_equation(equation: &Equation, unknowns: usize) {
    for term in equation.terms() {
        check_unknown(term.unknown, unknowns);
    }
}
