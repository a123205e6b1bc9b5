//! The steps between neighbouring forward states, and the spread over all of them.
//!
//! States are compared that share input and output. Sorted from the slowest output to
//! the fastest, the step between two is the quotient of their ratios, and the spread is
//! the quotient of the first and the last.

use super::motion::StateMotion;
use crate::exact::Fraction;
use crate::gearset::MemberId;
use num_traits::Signed;
use serde::Serialize;

/// The forward states between one input and one output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForwardSteps {
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// From each state to the next faster one; at least one.
    pub steps: Vec<Step>,
    /// The slowest ratio over the fastest.
    pub spread: Fraction,
}

/// From one forward state to the next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct Step {
    /// The state with the slower output.
    pub from: String,
    /// The state with the faster output.
    pub to: String,
    /// The quotient of their ratios, 1 or more.
    pub step: Fraction,
}

/// The steps between forward states, for every input and output with at least two of these.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::{forward_steps, motions}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let found = forward_steps(&motions(&set));
/// assert_eq!(found[0].steps[0].from, "low");
/// assert_eq!(found[0].spread.to_string(), "481/171");
/// ```
pub fn forward_steps(motions: &[StateMotion]) -> Vec<ForwardSteps> {
    let mut ends: Vec<[MemberId; 2]> = Vec::new();
    for motion in motions {
        if !ends.contains(&[motion.input, motion.output]) {
            ends.push([motion.input, motion.output]);
        }
    }
    ends.into_iter().filter_map(|[input, output]| steps(motions, input, output)).collect()
}

fn steps(motions: &[StateMotion], input: MemberId, output: MemberId) -> Option<ForwardSteps> {
    let mut forward: Vec<(&StateMotion, &Fraction)> = motions
        .iter()
        .filter(|motion| motion.input == input && motion.output == output)
        .filter_map(|motion| Some((motion, motion.verdict.ratio()?)))
        .filter(|(_, ratio)| ratio.is_positive())
        .collect();
    // The larger the ratio, the slower the output.
    forward.sort_by(|(_, a), (_, b)| b.cmp(a));
    let (slowest, fastest) = (forward.first()?.1, forward.last()?.1);
    let steps: Vec<Step> = forward
        .windows(2)
        .map(|pair| Step { from: pair[0].0.state.clone(), to: pair[1].0.state.clone(), step: pair[0].1 / pair[1].1 })
        .collect();
    (!steps.is_empty()).then(|| ForwardSteps { input, output, spread: slowest / fastest, steps })
}
