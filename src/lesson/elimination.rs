//! Equations solved step by step, as on the board, every step with its reason.
//!
//! Next comes always the equation with the fewest unknowns left, the first of several: what is
//! known is inserted, the unknowns are collected, and one of them is told by the others, one with
//! the factor 1 or -1 if there is any. What was found before is brought up to date at once.

use std::collections::BTreeMap;

use num_traits::{One, Signed};

use super::expression::{Arithmetic, LinearForm, Symbol};
use crate::exact::Fraction;
use crate::gearset::MemberId;

/// An equation of a lesson, with its reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    /// Why it holds.
    pub why: ConditionReason,
    /// One side.
    pub left: Arithmetic,
    /// The other.
    pub right: Arithmetic,
}

/// Why an equation holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConditionReason {
    /// The arm is the fixed case.
    ArmIsCase,
    /// The member stands still.
    Stands(MemberId),
    /// The speed of the member is given.
    Given(MemberId),
    /// Both members turn as one.
    Together(MemberId, MemberId),
    /// Nothing can turn against this arm.
    Stiff(MemberId),
    /// By the formula, from the first member to the last.
    Formula(MemberId, MemberId),
}

/// A line on the board: expressions that are all equal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardLine {
    /// What is done in it.
    pub step: BoardStep,
    /// The expressions, with signs of equality between them.
    pub chain: Vec<Arithmetic>,
}

/// What is done in a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoardStep {
    /// An equation with what is known inserted, by its number from 1.
    Insert(usize),
    /// The unknowns on one side, the numbers on the other.
    Collect,
    /// One unknown is found from the line above.
    Solve,
    /// One unknown is found from an equation as it stands, by its number from 1.
    SolveAtOnce(usize),
    /// An unknown that was told by others, with the others inserted.
    Update,
    /// An equation says nothing new, by its number from 1.
    NothingNew(usize),
    /// The speed of a member.
    Total(MemberId),
}

/// Equations solved.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Worked {
    /// The equations, numbered from 1 in this order.
    pub conditions: Vec<Condition>,
    /// The steps.
    pub lines: Vec<BoardLine>,
    /// What each unknown comes to; a form with unknowns left for one that is not determined.
    pub known: BTreeMap<Symbol, LinearForm>,
}

/// Solves equations that do not contradict one another.
pub(super) fn solve(conditions: Vec<Condition>) -> Worked {
    // For each equation that is left its left side less its right one, with what is known: as one unknown after another
    // becomes known, only equations with that unknown change.
    let mut left: Vec<(usize, LinearForm)> = conditions.iter().map(Condition::difference).enumerate().collect();
    let mut worked = Worked { conditions, ..Worked::default() };
    while let Some(next) = (0..left.len()).min_by_key(|&at| left[at].1.parts.len()) {
        let (index, difference) = left.remove(next);
        let Some(symbol) = worked.use_up(index, &difference) else { continue };
        let just = BTreeMap::from([(symbol, worked.known[&symbol].clone())]);
        for (_, difference) in left.iter_mut().filter(|(_, difference)| difference.parts.contains_key(&symbol)) {
            *difference = difference.with(&just);
        }
    }
    worked
}

impl Condition {
    /// Left side less right side.
    fn difference(&self) -> LinearForm {
        let form = |side: &Arithmetic| side.form().expect("equations of a lesson are linear");
        form(&self.left).plus(&form(&self.right), &-Fraction::one())
    }
}

impl Worked {
    /// Finds one unknown from an equation, of which this is what is left with what is known, and writes down how.
    fn use_up(&mut self, index: usize, difference: &LinearForm) -> Option<Symbol> {
        let Some(symbol) = easiest(difference) else {
            let sides = self.inserted(index);
            self.push(BoardStep::NothingNew(index + 1), sides.to_vec());
            return None;
        };
        let mut others = LinearForm { constant: Fraction::default(), ..difference.clone() };
        let factor = others.parts.remove(&symbol).expect("it is an unknown of the difference");
        let number = LinearForm::number(-difference.constant.clone());
        let solve = self.write_before_solving(index, difference, &factor);
        // factor x + others + constant = 0.
        let found = number.clone().plus(&others, &-Fraction::one()).scaled(&factor.recip());
        let mut chain = vec![Arithmetic::Symbol(symbol)];
        if others.parts.is_empty() && !factor.abs().is_one() {
            chain.push(number.expression().over(Arithmetic::Number(factor)));
        }
        chain.push(found.expression());
        self.push(solve, chain);
        self.update(symbol, &found);
        self.known.insert(symbol, found);
        Some(symbol)
    }

    /// The sides of an equation with what is known.
    fn inserted(&self, index: usize) -> [Arithmetic; 2] {
        let Condition { left, right, .. } = &self.conditions[index];
        [left, right].map(|side| side.inserted(&self.known))
    }

    /// The equation with what is known inserted, and its unknowns collected, each where it changes anything; gives the
    /// step that solves what then stands there.
    fn write_before_solving(&mut self, index: usize, difference: &LinearForm, factor: &Fraction) -> BoardStep {
        let condition = &self.conditions[index];
        let sides = self.inserted(index);
        let changed = sides[0] != condition.left || sides[1] != condition.right;
        let unknowns = LinearForm { constant: Fraction::default(), ..difference.clone() };
        let collected = [unknowns.expression(), LinearForm::number(-difference.constant.clone()).expression()];
        let collects = difference.parts.len() == 1 && !factor.abs().is_one() && collected != sides;
        let is_open = |side: &Arithmetic| side.form().is_some_and(|side| !side.parts.is_empty());
        let inserts = changed || collects || sides.iter().all(is_open) || difference.parts.len() > 1;
        if inserts {
            self.push(BoardStep::Insert(index + 1), sides.to_vec());
        }
        if collects {
            self.push(BoardStep::Collect, collected.to_vec());
        }
        if inserts { BoardStep::Solve } else { BoardStep::SolveAtOnce(index + 1) }
    }

    /// Brings what was told by an unknown up to date.
    fn update(&mut self, symbol: Symbol, found: &LinearForm) {
        let just = BTreeMap::from([(symbol, found.clone())]);
        let stale: Vec<Symbol> =
            self.known.iter().filter(|(_, form)| form.parts.contains_key(&symbol)).map(|(symbol, _)| *symbol).collect();
        for told in stale {
            let was = self.known[&told].clone();
            let now = was.with(&just);
            let inserted = was.expression().inserted(&just);
            let mut chain = vec![Arithmetic::Symbol(told), inserted];
            if chain[1] != now.expression() {
                chain.push(now.expression());
            }
            self.push(BoardStep::Update, chain);
            self.known.insert(told, now);
        }
    }

    /// A line with the value of a member: the expression, with what is known, and what it comes to.
    pub(super) fn total(&mut self, symbol: Symbol, member: MemberId, expression: &Arithmetic) {
        let value = expression.form().expect("speeds are linear").with(&self.known).expression();
        let mut chain = vec![Arithmetic::Symbol(symbol)];
        for next in [expression.clone(), expression.inserted(&self.known), value] {
            if chain.last() != Some(&next) {
                chain.push(next);
            }
        }
        self.push(BoardStep::Total(member), chain);
    }

    fn push(&mut self, step: BoardStep, chain: Vec<Arithmetic>) {
        self.lines.push(BoardLine { step, chain });
    }
}

/// The unknown that is told by the others: one with the factor 1 or -1, or else the last.
fn easiest(difference: &LinearForm) -> Option<Symbol> {
    let plain = difference.parts.iter().find(|(_, factor)| factor.abs().is_one());
    plain.or_else(|| difference.parts.iter().next_back()).map(|(symbol, _)| *symbol)
}
