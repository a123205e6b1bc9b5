//! How is it decided that a combination meets a requirement, or what it costs?

use super::interval::Interval;
use super::measure::CostCode;
use super::program::{Program, Width};
use super::requirement::Code;

/// How a requirement, derived quantity or goal is tested when all is known.
#[derive(Clone, Debug)]
pub(super) struct Test {
    pub(super) kind: TestKind,
    /// The root of its expression and the interval in which it has to be.
    pub(super) root: Option<(usize, Interval)>,
    /// Unknowns and derived quantities as written, one bit each.
    pub(super) scope: u64,
    /// The unknowns behind them.
    pub(super) behind: u64,
}

#[derive(Clone, Debug)]
pub(super) enum TestKind {
    Window(Program),
    Multiple(Program),
    CommonDivisor(Program, i64),
    /// Code, and what has to be zero somewhere for the code to be asked.
    Code(Code, Option<Program>),
    Derived(Program),
    Goal(Program),
    /// A goal in code.
    Measure(CostCode),
}

impl TestKind {
    pub(super) fn width(&self) -> Width {
        match self {
            Self::Window(program)
            | Self::Multiple(program)
            | Self::CommonDivisor(program, _)
            | Self::Derived(program)
            | Self::Goal(program)
            | Self::Code(_, Some(program)) => program.width(),
            Self::Code(_, None) | Self::Measure(_) => Width::Narrow,
        }
    }
}
