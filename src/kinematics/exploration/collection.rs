//! The uses of a train, sorted by their ratios as they are found.
//!
//! Every fixed quotient of two bodies is found once, and used in both ways. States are added to the uses
//! that they make.

use std::collections::HashMap;

use super::bodies::{ControlPairs, DrivableBodies, Ends};
use super::{ExplorationQuestion, FoundRatio, RestraintChoice, StandingMember, Use};
use crate::exact::{FixedQuotient, Fraction, Merged, Merger};
use crate::gearset::{ControlId, Gearset, MemberId, Restraint};
use crate::kinematics::StateMotion;

/// The uses found so far, by ratio.
pub(super) struct Collection<'a> {
    bodies: &'a DrivableBodies,
    ends: Ends,
    /// For each ratio its uses, and where each pair of input and output stands among them.
    by_ratio: HashMap<Fraction, Vec<Use>>,
}

impl<'a> Collection<'a> {
    pub(super) fn new(bodies: &'a DrivableBodies, ends: Ends) -> Self {
        Self { bodies, ends, by_ratio: HashMap::new() }
    }

    /// Does something with the use of a ratio, which is new where it was not found before.
    fn with_use(&mut self, ratio: Fraction, [input, output]: [usize; 2], change: impl FnOnce(&mut Use)) {
        if !self.ends.are(input, output) {
            return;
        }
        let [input, output] = [input, output].map(|body| self.bodies.watched[body]);
        let uses = self.by_ratio.entry(ratio).or_default();
        let place = uses.iter().position(|known| known.input == input && known.output == output);
        let place = place.unwrap_or_else(|| {
            uses.push(Use {
                input,
                output,
                choices: Vec::new(),
                controls: Vec::new(),
                states: Vec::new(),
                solid: false,
            });
            uses.len() - 1
        });
        change(&mut uses[place]);
    }

    pub(super) fn add_choices(&mut self, any: &Merged) {
        for FixedQuotient { pair: [one, other], quotient, mergers } in &any.quotients {
            // w_one / w_other is the ratio with `one` as input, and its reciprocal that with `other`.
            self.with_use(quotient.clone(), [*one, *other], |found| found.choices.clone_from(mergers));
            self.with_use(quotient.recip(), [*other, *one], |found| found.choices.clone_from(mergers));
        }
    }

    pub(super) fn add_controls(&mut self, by_controls: &Merged, controls: &ControlPairs) {
        for FixedQuotient { pair: [one, other], quotient, mergers } in &by_controls.quotients {
            let sets: Vec<Vec<ControlId>> =
                mergers.iter().map(|&merger| controls.of(&by_controls.mergers[merger])).collect();
            self.with_use(quotient.clone(), [*one, *other], |found| found.controls.clone_from(&sets));
            self.with_use(quotient.recip(), [*other, *one], |found| found.controls.clone_from(&sets));
        }
    }

    /// A state that drives by what it holds and couples alone.
    pub(super) fn add_state(&mut self, set: &Gearset, motion: &StateMotion) {
        let given_speed = |restraint: &Restraint| matches!(restraint, Restraint::Turning(..));
        let is_plain = set.state_named(&motion.state).is_some_and(|state| !state.restraints.iter().any(given_speed));
        let (Some(ratio), true) = (motion.verdict.ratio(), is_plain) else { return };
        let [input, output] =
            [motion.input, motion.output].map(|member| self.bodies.of(member).map(|body| self.bodies.watched[body]));
        let uses = self.by_ratio.get_mut(ratio).into_iter().flatten();
        for found in uses.filter(|found| Some(found.input) == input && Some(found.output) == output) {
            found.states.push(motion.state.clone());
        }
    }

    /// All that is wanted, rising, and the nearest on both sides of it.
    pub(super) fn ratios(
        self,
        choices: &[RestraintChoice],
        wanted: &ExplorationQuestion,
    ) -> (Vec<FoundRatio>, [Option<Fraction>; 2]) {
        let (from, to) = match (&wanted.from, &wanted.to) {
            (Some(from), Some(to)) if from > to => (Some(to), Some(from)),
            (from, to) => (from.as_ref(), to.as_ref()),
        };
        let mut nearest: [Option<Fraction>; 2] = [None, None];
        let mut ratios = Vec::new();
        for (ratio, uses) in self.by_ratio {
            if from.is_some_and(|from| ratio < *from) {
                let best = nearest[0].take().filter(|best| *best >= ratio);
                nearest[0] = Some(best.unwrap_or(ratio));
            } else if to.is_some_and(|to| ratio > *to) {
                let best = nearest[1].take().filter(|best| *best <= ratio);
                nearest[1] = Some(best.unwrap_or(ratio));
            } else {
                ratios.push(FoundRatio { ratio, uses });
            }
        }
        ratios.sort_by(|a, b| {
            // a/b < c/d exactly if a d < c b, as both denominators are positive.
            (a.ratio.numer() * b.ratio.denom()).cmp(&(b.ratio.numer() * a.ratio.denom()))
        });
        let size = |found: &Use| found.choices.first().map_or(usize::MAX, |&first| choices[first].at_once);
        for found in ratios.iter_mut().flat_map(|found| &mut found.uses) {
            found.solid = found.choices.iter().all(|&choice| choices[choice].solid);
        }
        for found in &mut ratios {
            found.uses.sort_by_key(|found| (size(found), found.controls.is_empty(), found.input, found.output));
        }
        (ratios, nearest)
    }
}

/// A merger of bodies as what is held and what is coupled.
pub(super) fn choice(bodies: &DrivableBodies, merger: &Merger, freedom: usize) -> RestraintChoice {
    let mut held = Vec::new();
    let mut sets: Vec<(usize, Vec<MemberId>)> = Vec::new();
    for &[member, first] in &merger.pairs {
        let member = bodies.watched[member];
        if first == 0 {
            held.push(member);
        } else if let Some((_, set)) = sets.iter_mut().find(|set| set.0 == first) {
            set.push(member);
        } else {
            sets.push((first, vec![bodies.watched[first], member]));
        }
    }
    let at_once = merger.pairs.len();
    RestraintChoice {
        held,
        coupled: sets.into_iter().map(|(_, set)| set).collect(),
        at_once,
        freedom: merger.freedom,
        // Each restraint that does something takes one freedom away: f = F - k unless one is spare.
        has_spare: merger.freedom + at_once > freedom,
        solid: merger.all_alike,
    }
}

/// What keeps each body from turning, besides being held itself.
pub(super) fn standing(bodies: &DrivableBodies, any: &Merged, choices: &[RestraintChoice]) -> Vec<StandingMember> {
    let of_body = |body: usize| {
        let member = bodies.watched[body];
        let by_others = |place: &usize| !choices[*place].held.contains(&member);
        StandingMember { member, choices: any.zeros[body].iter().copied().filter(by_others).collect() }
    };
    (1..bodies.watched.len()).map(of_body).collect()
}
