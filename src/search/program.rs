//! How is an expression computed exactly, and fast?
//!
//! As straight-line whole-number arithmetic: every value is a numerator and, where there is one, a denominator
//! that is not negative. From the ranges of the unknowns follows a range for every intermediate result; if all
//! of them fit into 64 bits the program runs in those, else in 128, else in numbers of any size. So no
//! overflow can occur, and none has to be looked for.

use std::collections::BTreeSet;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, ToPrimitive, Zero};

use super::graph::{Graph, GraphNode};
use crate::exact::{Fraction, fraction};

/// A sequence of operations on registers, with the registers that hold its results.
#[derive(Clone, Debug)]
pub(super) struct Program {
    steps: Vec<Instruction>,
    /// The unknowns that are read, with their registers.
    inputs: Vec<(usize, usize)>,
    /// Divisors: where one is zero there is no value.
    divisors: Vec<usize>,
    results: Vec<usize>,
    file: File,
}

/// The registers in the narrowest width that is proven to suffice.
#[derive(Clone, Debug)]
enum File {
    Narrow(Vec<i64>),
    Double(Vec<i128>),
    Unbounded(Vec<BigInt>),
}

/// The width in which a problem is computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Width {
    /// 64 bits.
    Narrow,
    /// 128 bits.
    Double,
    /// As many as it takes.
    Unbounded,
}

#[derive(Clone, Copy, Debug)]
enum Instruction {
    Add {
        a: usize,
        b: usize,
        to: usize,
    },
    Subtract {
        a: usize,
        b: usize,
        to: usize,
    },
    Multiply {
        a: usize,
        b: usize,
        to: usize,
    },
    Absolute {
        a: usize,
        to: usize,
    },
    /// The sign, -1, 0 or 1.
    Sign {
        a: usize,
        to: usize,
    },
    /// `pick[0]` where a >= b, else `pick[1]`.
    Select {
        a: usize,
        b: usize,
        pick: [usize; 2],
        to: usize,
    },
}

impl Program {
    /// Computes the results; false where a divisor is zero.
    pub(super) fn run(&mut self, values: &[i64]) -> bool {
        let inputs = &self.inputs;
        match &mut self.file {
            File::Narrow(file) => {
                for &(from, to) in inputs {
                    file[to] = values[from];
                }
                run(&self.steps, file);
                self.divisors.iter().all(|&at| file[at] != 0)
            }
            File::Double(file) => {
                for &(from, to) in inputs {
                    file[to] = values[from].into();
                }
                run(&self.steps, file);
                self.divisors.iter().all(|&at| file[at] != 0)
            }
            File::Unbounded(file) => {
                for &(from, to) in inputs {
                    file[to] = values[from].into();
                }
                run(&self.steps, file);
                self.divisors.iter().all(|&at| !file[at].is_zero())
            }
        }
    }

    /// Computes the results and says whether every one is at least zero; false where there is no value.
    pub(super) fn is_not_negative(&mut self, values: &[i64]) -> bool {
        self.run(values)
            && match &self.file {
                File::Narrow(file) => self.results.iter().all(|&at| file[at] >= 0),
                File::Double(file) => self.results.iter().all(|&at| file[at] >= 0),
                File::Unbounded(file) => self.results.iter().all(|&at| !file[at].is_negative()),
            }
    }

    /// By how much the ends of a window are kept, in the same unit, and negative where they are not; that of the one end twice
    /// where it has only one. `None` if there is no value or it is not in 64 bits.
    pub(super) fn margins(&mut self, values: &[i64]) -> Option<[i64; 2]> {
        if !self.run(values) {
            return None;
        }
        let File::Narrow(file) = &self.file else { return None };
        Some([file[*self.results.first()?], file[*self.results.last()?]])
    }

    /// What a register was in the last run, if that was in 64 bits.
    pub(super) fn register(&self, at: usize) -> Option<i64> {
        let File::Narrow(file) = &self.file else { return None };
        file.get(at).copied()
    }

    /// Computes the results and says whether none is zero; false where there is no value.
    pub(super) fn has_no_zero(&mut self, values: &[i64]) -> bool {
        self.run(values)
            && match &self.file {
                File::Narrow(file) => self.results.iter().all(|&at| file[at] != 0),
                File::Double(file) => self.results.iter().all(|&at| file[at] != 0),
                File::Unbounded(file) => self.results.iter().all(|&at| !file[at].is_zero()),
            }
    }

    /// A result of the last run in 64 bits, if it was in those.
    pub(super) fn narrow(&self, result: usize) -> Option<i64> {
        match &self.file {
            File::Narrow(file) => Some(file[self.results[result]]),
            File::Double(_) | File::Unbounded(_) => None,
        }
    }

    /// A result of the last run.
    pub(super) fn whole(&self, result: usize) -> BigInt {
        let at = self.results[result];
        match &self.file {
            File::Narrow(file) => file[at].into(),
            File::Double(file) => file[at].into(),
            File::Unbounded(file) => file[at].clone(),
        }
    }

    /// The first result of the last run by the second.
    pub(super) fn quotient_of_results(&self) -> Fraction {
        match (self.narrow(0), self.narrow(1)) {
            (Some(numerator), Some(denominator)) => fraction(numerator, denominator),
            _ => Fraction::new(self.whole(0), self.whole(1)),
        }
    }

    /// What kind of functions of some unknowns, one bit each, the results are.
    pub(super) fn degrees(&self, unknowns: u64) -> Degrees {
        let mut degrees = vec![Some(0); self.registers()];
        for &(unknown, to) in &self.inputs {
            degrees[to] = Some(u32::from(unknowns & (1 << unknown) != 0));
        }
        let mut turns = BTreeSet::new();
        for step in &self.steps {
            let (degree, to) = match *step {
                Instruction::Add { a, b, to } | Instruction::Subtract { a, b, to } => {
                    (degrees[a].zip(degrees[b]).map(|(a, b)| a.max(b)), to)
                }
                Instruction::Multiply { a, b, to } => {
                    (degrees[a].zip(degrees[b]).and_then(|(a, b)| a.checked_add(b)), to)
                }
                Instruction::Absolute { a, to } => {
                    turns.insert(a);
                    (degrees[a], to)
                }
                Instruction::Sign { a, to } => {
                    turns.insert(a);
                    (degrees[a].map(|_| 0), to)
                }
                Instruction::Select { a, b, pick: [one, other], to } => {
                    ([a, b, one, other].iter().all(|&at| degrees[at] == Some(0)).then_some(0), to)
                }
            };
            degrees[to] = degree;
        }
        turns.retain(|&at| degrees[at] != Some(0));
        let is_followed = turns.iter().all(|&at| degrees[at] == Some(1));
        Degrees {
            of_results: self.results.iter().map(|&at| degrees[at].filter(|_| is_followed)).collect(),
            has_value_everywhere: self.divisors.iter().all(|&at| degrees[at] == Some(0)),
            turns,
        }
    }

    /// How the results are linear in some unknowns together; `None` if they are not, or turn at several places.
    pub(super) fn linear_in(&self, unknowns: u64) -> Option<Linear> {
        let Degrees { of_results, mut turns, .. } = self.degrees(unknowns);
        let turn = turns.pop_first();
        let is_linear = turns.is_empty()
            && !of_results.is_empty()
            && of_results.iter().all(|degree| degree.is_some_and(|degree| degree <= 1));
        is_linear.then_some(Linear { turn })
    }

    fn registers(&self) -> usize {
        match &self.file {
            File::Narrow(file) => file.len(),
            File::Double(file) => file.len(),
            File::Unbounded(file) => file.len(),
        }
    }

    pub(super) fn width(&self) -> Width {
        match self.file {
            File::Narrow(_) => Width::Narrow,
            File::Double(_) => Width::Double,
            File::Unbounded(_) => Width::Unbounded,
        }
    }
}

/// The results of a program as functions of some unknowns.
pub(super) struct Degrees {
    /// The degrees of the polynomials that they are as long as nothing that turns changes its sign; `None` of what is none.
    pub(super) of_results: Vec<Option<u32>>,
    /// Whether nothing that depends on the unknowns is divided by.
    has_value_everywhere: bool,
    /// The registers of what is linear and is taken without its sign.
    turns: BTreeSet<usize>,
}

impl Degrees {
    /// Whether the results are polynomials throughout.
    pub(super) fn are_polynomials(&self) -> bool {
        self.has_value_everywhere && self.turns.is_empty()
    }
}

/// Results that are linear in some unknowns.
pub(super) struct Linear {
    /// The register on either side of whose zero they are, if they are not throughout.
    pub(super) turn: Option<usize>,
}

fn run<N: Clone + Integer + Signed>(steps: &[Instruction], file: &mut [N]) {
    for step in steps {
        match *step {
            Instruction::Add { a, b, to } => file[to] = file[a].clone() + file[b].clone(),
            Instruction::Subtract { a, b, to } => file[to] = file[a].clone() - file[b].clone(),
            Instruction::Multiply { a, b, to } => file[to] = file[a].clone() * file[b].clone(),
            Instruction::Absolute { a, to } => file[to] = file[a].abs(),
            Instruction::Sign { a, to } => file[to] = file[a].signum(),
            Instruction::Select { a, b, pick, to } => {
                file[to] = file[pick[usize::from(file[a] < file[b])]].clone();
            }
        }
    }
}

/// A value under construction: its registers; the denominator is one where there is none.
#[derive(Clone, Copy, Debug)]
struct Ratio {
    numerator: usize,
    denominator: Option<usize>,
}

/// Builds one program from nodes of a graph.
#[derive(Debug)]
pub(super) struct Assembly<'a> {
    graph: &'a Graph,
    ranges: &'a [(i64, i64)],
    steps: Vec<Instruction>,
    inputs: Vec<(usize, usize)>,
    divisors: Vec<usize>,
    /// The least and the largest value of every register, and of a constant both.
    bounds: Vec<(BigInt, BigInt)>,
    done: Vec<Option<Ratio>>,
}

impl<'a> Assembly<'a> {
    /// A program over the nodes of a graph whose unknowns have these ranges.
    pub(super) fn new(graph: &'a Graph, ranges: &'a [(i64, i64)]) -> Self {
        let done = vec![None; graph.nodes.len()];
        let (steps, inputs, divisors, bounds) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Self { graph, ranges, steps, inputs, divisors, bounds, done }
    }

    /// Results that are both not negative exactly if the node's value is between the bounds.
    pub(super) fn window(mut self, root: usize, low: Option<&Fraction>, high: Option<&Fraction>) -> Program {
        let value = self.value(root);
        let mut results = Vec::new();
        for (bound, is_low) in [(low, true), (high, false)] {
            let Some(bound) = bound else { continue };
            let scaled = self.times_constant(value.numerator, bound.denom());
            let limit = match value.denominator {
                Some(denominator) => self.times_constant(denominator, bound.numer()),
                None => self.constant(bound.numer().clone()),
            };
            results.push(if is_low { self.subtract(scaled, limit) } else { self.subtract(limit, scaled) });
        }
        self.finish(results)
    }

    /// Two results: numerator and denominator, the latter positive.
    pub(super) fn ratio(mut self, root: usize) -> Program {
        let value = self.value(root);
        let one = value.denominator.unwrap_or_else(|| self.constant(BigInt::one()));
        self.finish(vec![value.numerator, one])
    }

    /// Results each of which is zero exactly if the value of its node is.
    pub(super) fn zeros(mut self, roots: &[usize]) -> Program {
        let results = roots.iter().map(|&root| self.value(root).numerator).collect();
        self.finish(results)
    }

    /// Two results, the second of which divides the first exactly if the quotient of the nodes is whole.
    pub(super) fn quotient(mut self, of: usize, divisor: usize) -> Program {
        let (of, by) = (self.value(of), self.value(divisor));
        let numerator = self.scaled(of.numerator, by.denominator);
        let denominator = self.scaled(by.numerator, of.denominator);
        self.divisors.push(denominator);
        self.finish(vec![numerator, denominator])
    }

    /// Four results: two ratios.
    pub(super) fn pair(mut self, nodes: [usize; 2]) -> Program {
        let [a, b] = nodes.map(|node| self.value(node));
        let one = self.constant(BigInt::one());
        let results = [a, b].into_iter().flat_map(|value| [value.numerator, value.denominator.unwrap_or(one)]);
        let results = results.collect();
        self.finish(results)
    }

    fn finish(self, results: Vec<usize>) -> Program {
        let fits = |limit: &BigInt| self.bounds.iter().all(|(low, high)| -low <= *limit && high <= limit);
        let start = || self.bounds.iter().map(|(low, _)| low);
        // Constants stand in their registers from the beginning; the others are overwritten.
        let file = if fits(&i64::MAX.into()) {
            File::Narrow(start().map(|low| low.to_i64().expect("it fits")).collect())
        } else if fits(&i128::MAX.into()) {
            File::Double(start().map(|low| low.to_i128().expect("it fits")).collect())
        } else {
            File::Unbounded(start().cloned().collect())
        };
        Program { steps: self.steps, inputs: self.inputs, divisors: self.divisors, results, file }
    }

    fn register(&mut self, low: BigInt, high: BigInt) -> usize {
        self.bounds.push((low, high));
        self.bounds.len() - 1
    }

    fn constant(&mut self, value: BigInt) -> usize {
        self.register(value.clone(), value)
    }

    fn add(&mut self, a: usize, b: usize) -> usize {
        let bounds = (&self.bounds[a].0 + &self.bounds[b].0, &self.bounds[a].1 + &self.bounds[b].1);
        let to = self.register(bounds.0, bounds.1);
        self.steps.push(Instruction::Add { a, b, to });
        to
    }

    fn subtract(&mut self, a: usize, b: usize) -> usize {
        let bounds = (&self.bounds[a].0 - &self.bounds[b].1, &self.bounds[a].1 - &self.bounds[b].0);
        let to = self.register(bounds.0, bounds.1);
        self.steps.push(Instruction::Subtract { a, b, to });
        to
    }

    fn multiply(&mut self, a: usize, b: usize) -> usize {
        let ((a_low, a_high), (b_low, b_high)) = (&self.bounds[a], &self.bounds[b]);
        let ends = [a_low * b_low, a_low * b_high, a_high * b_low, a_high * b_high];
        let low = ends.iter().min().expect("there are four").clone();
        let high = ends.iter().max().expect("there are four").clone();
        let to = self.register(low, high);
        self.steps.push(Instruction::Multiply { a, b, to });
        to
    }

    fn times_constant(&mut self, a: usize, factor: &BigInt) -> usize {
        if factor.is_one() {
            return a;
        }
        let factor = self.constant(factor.clone());
        self.multiply(a, factor)
    }

    fn scaled(&mut self, a: usize, factor: Option<usize>) -> usize {
        factor.map_or(a, |factor| self.multiply(a, factor))
    }

    fn absolute(&mut self, a: usize) -> usize {
        let (low, high) = &self.bounds[a];
        if !low.is_negative() {
            return a;
        }
        let largest = low.abs().max(high.abs());
        let to = self.register(BigInt::zero(), largest);
        self.steps.push(Instruction::Absolute { a, to });
        to
    }

    fn select(&mut self, a: usize, b: usize, pick: [usize; 2]) -> usize {
        let [one, other] = pick.map(|at| self.bounds[at].clone());
        let to = self.register(one.0.min(other.0), one.1.max(other.1));
        self.steps.push(Instruction::Select { a, b, pick, to });
        to
    }

    fn value(&mut self, at: usize) -> Ratio {
        if let Some(done) = self.done[at] {
            return done;
        }
        let value = self.assemble(at);
        self.done[at] = Some(value);
        value
    }

    fn assemble(&mut self, at: usize) -> Ratio {
        let whole = |numerator| Ratio { numerator, denominator: None };
        match self.graph.nodes[at].clone() {
            GraphNode::Constant(value) => {
                let numerator = self.constant(value.numer().clone());
                let denominator = (!value.is_integer()).then(|| self.constant(value.denom().clone()));
                Ratio { numerator, denominator }
            }
            GraphNode::Measure(_) => unreachable!("code is called, not computed here"),
            GraphNode::Variable(place) => {
                let (low, high) = self.ranges[place];
                let register = self.register(low.into(), high.into());
                self.inputs.push((place, register));
                whole(register)
            }
            GraphNode::Sum(a, b) => self.combine(a, b, Self::add),
            GraphNode::Difference(a, b) => self.combine(a, b, Self::subtract),
            GraphNode::Product(a, b) => {
                let (a, b) = (self.value(a), self.value(b));
                self.product(a, b)
            }
            GraphNode::Quotient(a, b) => self.divide(a, b),
            GraphNode::Power(a, exponent) => {
                let base = self.value(a);
                let one = whole(self.constant(BigInt::one()));
                (0..exponent).fold(one, |product, round| if round == 0 { base } else { self.product(product, base) })
            }
            GraphNode::Absolute(a) => {
                let value = self.value(a);
                Ratio { numerator: self.absolute(value.numerator), denominator: value.denominator }
            }
            GraphNode::Larger(a, b) => self.choose(a, b, |pick| pick),
            GraphNode::Smaller(a, b) => self.choose(a, b, |[one, other]| [other, one]),
        }
    }

    fn product(&mut self, a: Ratio, b: Ratio) -> Ratio {
        let numerator = self.multiply(a.numerator, b.numerator);
        Ratio { numerator, denominator: self.denominator(a, b) }
    }

    /// The product of two denominators, where one that is missing is 1.
    fn denominator(&mut self, a: Ratio, b: Ratio) -> Option<usize> {
        match (a.denominator, b.denominator) {
            (Some(a), Some(b)) => Some(self.multiply(a, b)),
            (one, other) => one.or(other),
        }
    }

    /// Both numerators over one denominator: `a / b` and `c / d` are `a d / b d` and `c b / b d`.
    fn common(&mut self, a: usize, b: usize) -> ([usize; 2], Option<usize>) {
        let (a, b) = (self.value(a), self.value(b));
        if a.denominator == b.denominator {
            return ([a.numerator, b.numerator], a.denominator);
        }
        let numerators = [self.scaled(a.numerator, b.denominator), self.scaled(b.numerator, a.denominator)];
        (numerators, self.denominator(a, b))
    }

    fn combine(&mut self, a: usize, b: usize, sign: fn(&mut Self, usize, usize) -> usize) -> Ratio {
        let ([a, b], denominator) = self.common(a, b);
        Ratio { numerator: sign(self, a, b), denominator }
    }

    fn choose(&mut self, a: usize, b: usize, order: fn([usize; 2]) -> [usize; 2]) -> Ratio {
        let ([one, other], denominator) = self.common(a, b);
        Ratio { numerator: self.select(one, other, order([one, other])), denominator }
    }

    fn divide(&mut self, a: usize, b: usize) -> Ratio {
        let (a, b) = (self.value(a), self.value(b));
        let mut numerator = self.scaled(a.numerator, b.denominator);
        let mut denominator = self.scaled(b.numerator, a.denominator);
        let (low, high) = self.bounds[denominator].clone();
        if !low.is_positive() && !high.is_negative() {
            self.divisors.push(denominator);
        }
        // Denominators are kept above zero, so that ratios compare as their numerators do.
        if low.is_negative() {
            let sign = self.register((-1).into(), 1.into());
            self.steps.push(Instruction::Sign { a: denominator, to: sign });
            numerator = self.multiply(numerator, sign);
            denominator = self.absolute(denominator);
        }
        Ratio { numerator, denominator: Some(denominator) }
    }
}
