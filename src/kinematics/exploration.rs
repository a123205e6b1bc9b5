//! In how many ways could a train be used: what is held, what is coupled, what drives, what is driven?
//!
//! A choice says which members stand and which turn as one. Every choice up to a number of
//! restraints at once is tried; all that drives and all that is driven follows from it at
//! once, since whatever keeps a fixed quotient to the input is an output. Members joined for
//! good count as one. The same is done with the controls that the description has, which
//! tells what can be reached without a new part.

use std::collections::HashMap;

use super::motion::{StateMotion, motions};
use super::train::Train;
use crate::exact::{FixedQuotient, Fraction, Merged, Merger, Mergers, count_mergers};
use crate::gearset::{Action, ControlId, Gearset, MemberId, Pair, Place, Restraint};

/// The work that is done at most: choices times pairs of members.
pub const MOST_TRIED: u64 = 4_000_000;

/// So many bodies that could drive and be driven are explored.
pub const MOST_BODIES: usize = 300;

/// What is looked for; by default everything that leaves one way of turning or more.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Wanted {
    /// How many may be held or coupled at once; by default as many as leave one freedom, fewer
    /// where there would be too many choices.
    pub at_once: Option<usize>,
    /// Only uses that this member drives.
    pub input: Option<MemberId>,
    /// Only uses that drive this member.
    pub output: Option<MemberId>,
    /// Only ratios that are not below this one; where it is above `to`, the two change places.
    pub from: Option<Fraction>,
    /// Only ratios that are not above this one.
    pub to: Option<Fraction>,
}

/// Every way to use a train, as far as it was wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exploration {
    /// How many speeds can be chosen at will with nothing held and nothing coupled.
    pub freedom: usize,
    /// How many were held or coupled at once at most.
    pub at_once: usize,
    /// What may stand, drive and be driven, one for all that are joined for good.
    pub members: Vec<MemberId>,
    /// Every choice, by the number of its restraints; the first is to apply nothing.
    pub choices: Vec<Choice>,
    /// Every ratio that is wanted, rising.
    pub ratios: Vec<FoundRatio>,
    /// For each member what keeps it from turning, apart from holding itself.
    pub standing: Vec<Standing>,
    /// The nearest ratio below those that are wanted.
    pub next_below: Option<Fraction>,
    /// The nearest ratio above those that are wanted.
    pub next_above: Option<Fraction>,
}

/// What is held and what is coupled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Members held to the case.
    pub held: Vec<MemberId>,
    /// Members that turn as one, set by set.
    pub coupled: Vec<Vec<MemberId>>,
    /// How many restraints that takes: one for each member held, and one less for each set
    /// than it has members.
    pub at_once: usize,
    /// How many speeds can still be chosen at will; 0 where everything is locked.
    pub freedom: usize,
    /// Whether one of its restraints does nothing beside the others.
    pub has_spare: bool,
    /// Whether everything turns as one.
    pub solid: bool,
}

/// A ratio and the uses that give it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundRatio {
    /// Input turns per output turn.
    pub ratio: Fraction,
    /// The uses that give it: those that take the fewest restraints first, then those that the
    /// controls reach.
    pub uses: Vec<Use>,
}

/// What drives, what is driven, and what has to be done for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// The choices that give the ratio, by their places in [`Exploration::choices`], those with
    /// the fewest restraints first. None contains another: all that is in one is needed.
    pub choices: Vec<usize>,
    /// Controls that give the ratio when they are applied together; in each set all are needed.
    pub controls: Vec<Vec<ControlId>>,
    /// The states of the description that are this use.
    pub states: Vec<String>,
}

/// What keeps a member from turning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// The member.
    pub member: MemberId,
    /// Choices that do not hold it, yet leave it no turn; by their places in
    /// [`Exploration::choices`]. All that is in one is needed.
    pub choices: Vec<usize>,
}

/// Why a train was not explored.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CannotExplore {
    /// The number of choices is beyond bounds.
    #[error("up to {at_once} at once there are {choices} choices, more than can be tried")]
    TooMany {
        /// What was wanted.
        at_once: usize,
        /// How many choices it has.
        choices: u64,
        /// The largest number at once that can be tried, if there is one.
        largest: Option<usize>,
    },
    /// The train is too large.
    #[error("{bodies} bodies could drive and be driven, and up to {MOST_BODIES} are explored")]
    TooLarge {
        /// How many there are.
        bodies: usize,
    },
    /// A planet, or what stands for good, neither drives nor is driven.
    #[error("{name:?} cannot drive or be driven: it is a planet, or it stands for good")]
    NotUsable {
        /// Its name.
        name: String,
    },
    /// Input and output are the same body.
    #[error("{input:?} and {output:?} are one body, so there is no ratio between them")]
    OneBody {
        /// What should drive.
        input: String,
        /// What should be driven.
        output: String,
    },
}

/// Tries every choice of what is held or coupled, and finds every ratio that it gives.
///
/// # Errors
/// Where there are too many choices, or where what should drive or be driven cannot.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::{Wanted, explore}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let found = explore(&set, &Wanted::default()).unwrap();
/// let ratios: Vec<String> = found.ratios.iter().map(|found| found.ratio.to_string()).collect();
/// assert_eq!(ratios, ["-5/2", "-2/5", "2/7", "5/7", "1", "7/5", "7/2"]);
/// ```
pub fn explore(set: &Gearset, wanted: &Wanted) -> Result<Exploration, CannotExplore> {
    let bodies = Bodies::new(set);
    if bodies.watched.len() - 1 > MOST_BODIES {
        return Err(CannotExplore::TooLarge { bodies: bodies.watched.len() - 1 });
    }
    let ends = Ends::new(set, &bodies, wanted)?;
    let train = Train::new(set);
    let freedom = freedom(&train, &bodies);
    let at_once = at_once(set, &bodies, freedom, wanted.at_once)?;
    let with_others = bodies.watched.iter().map(|&member| is_on_main_axis(set, member)).collect();
    let any = train.merge(&bodies.watched, &Mergers::Any { with_others, most: at_once });
    let controls = ControlPairs::new(set, &bodies);
    let by_controls = train.merge(&bodies.watched, &Mergers::Of { pairs: controls.pairs.clone(), most: at_once });
    let mut found = Collection::new(&bodies, ends);
    found.add_choices(&any);
    found.add_controls(&by_controls, &controls);
    for motion in &motions(set) {
        found.add_state(set, motion);
    }
    let choices: Vec<Choice> = any.mergers.iter().map(|merger| choice(&bodies, merger, freedom)).collect();
    let (ratios, [next_below, next_above]) = found.ratios(&choices, wanted);
    let standing = standing(&bodies, &any, &choices);
    let members = bodies.watched[1..].to_vec();
    Ok(Exploration { freedom, at_once, members, choices, ratios, standing, next_below, next_above })
}

fn is_on_main_axis(set: &Gearset, member: MemberId) -> bool {
    *set.member(member).place() == Place::MainAxis
}

/// The bodies that can stand, drive and be driven; those joined for good are one.
struct Bodies {
    /// One member for each body, the case first.
    watched: Vec<MemberId>,
    /// For each member the place of its body among those; `None` for a planet.
    body: Vec<Option<usize>>,
}

impl Bodies {
    fn new(set: &Gearset) -> Self {
        let mut first: Vec<usize> = (0..set.members().len()).collect();
        for join in set.joins() {
            let [one, other] = join.both().map(|member| first[member.index()]);
            first.iter_mut().filter(|body| **body == one.max(other)).for_each(|body| *body = one.min(other));
        }
        let mut watched = Vec::new();
        let mut body = vec![None; first.len()];
        for member in set.member_ids().filter(|&member| is_body(set, member)) {
            if first[member.index()] == member.index() {
                watched.push(member);
            }
            body[member.index()] = watched.iter().position(|known| known.index() == first[member.index()]);
        }
        // Of those joined for good the one that the description drives, or drives with, stands for them.
        for end in [&set.draft().output, &set.draft().input] {
            let end = end.as_ref().and_then(|name| set.member_named(name));
            if let Some((end, Some(body @ 1..))) = end.map(|end| (end, body[end.index()])) {
                watched[body] = end;
            }
        }
        Self { watched, body }
    }

    fn of(&self, member: MemberId) -> Option<usize> {
        self.body[member.index()]
    }

    fn pairs(&self) -> u64 {
        let bodies = self.watched.len() - 1;
        u64::try_from(bodies * bodies.saturating_sub(1) / 2).unwrap_or(u64::MAX).max(1)
    }
}

/// Whether a member may be held and may drive: not so a planet, unless it is a single shaft on a fixed axis.
fn is_body(set: &Gearset, member: MemberId) -> bool {
    match set.member(member).place() {
        Place::Case | Place::MainAxis => true,
        Place::Pin { carrier, pins } => *carrier == MemberId::CASE && pins.len() == 1,
    }
}

/// The bodies that may drive and be driven, as far as that is wanted.
#[derive(Clone, Copy)]
struct Ends {
    input: Option<usize>,
    output: Option<usize>,
}

impl Ends {
    fn new(set: &Gearset, bodies: &Bodies, wanted: &Wanted) -> Result<Self, CannotExplore> {
        let name = |member: MemberId| set.member(member).name().to_owned();
        let body = |member: Option<MemberId>| match member.map(|member| (member, bodies.of(member))) {
            None => Ok(None),
            Some((member, None | Some(0))) => Err(CannotExplore::NotUsable { name: name(member) }),
            Some((_, body)) => Ok(body),
        };
        let ends = Self { input: body(wanted.input)?, output: body(wanted.output)? };
        match (wanted.input, wanted.output) {
            (Some(input), Some(output)) if ends.input == ends.output => {
                Err(CannotExplore::OneBody { input: name(input), output: name(output) })
            }
            _ => Ok(ends),
        }
    }

    fn are(self, input: usize, output: usize) -> bool {
        self.input.is_none_or(|wanted| wanted == input) && self.output.is_none_or(|wanted| wanted == output)
    }
}

/// How much can be chosen at will with nothing applied.
fn freedom(train: &Train<'_>, bodies: &Bodies) -> usize {
    train.merge(&bodies.watched, &Mergers::Of { pairs: Vec::new(), most: 0 }).mergers[0].freedom
}

/// How many are held or coupled at once.
fn at_once(set: &Gearset, bodies: &Bodies, freedom: usize, wanted: Option<usize>) -> Result<usize, CannotExplore> {
    let on_main_axis = bodies.watched[1..].iter().filter(|&&member| is_on_main_axis(set, member)).count();
    let beside = bodies.watched.len() - 1 - on_main_axis;
    let choices = |at_once: usize| count_mergers(on_main_axis, beside, at_once);
    let in_bounds = |at_once: &usize| {
        let tried = choices(*at_once).saturating_add(subsets(set.controls().len(), *at_once));
        tried.saturating_mul(bodies.pairs()) <= MOST_TRIED
    };
    match wanted {
        None => Ok((0..freedom).take_while(in_bounds).last().unwrap_or(0)),
        // More than there are bodies cannot be held.
        Some(at_once) if in_bounds(&at_once.min(bodies.watched.len() - 1)) => Ok(at_once.min(bodies.watched.len() - 1)),
        Some(at_once) => {
            let largest = (0..at_once).take_while(in_bounds).last();
            Err(CannotExplore::TooMany { at_once, choices: choices(at_once.min(bodies.watched.len() - 1)), largest })
        }
    }
}

/// How many sets of at most so many things there are.
fn subsets(things: usize, most: usize) -> u64 {
    count_mergers(0, things, most)
}

/// The controls as pairs of bodies.
struct ControlPairs {
    pairs: Vec<[usize; 2]>,
    controls: Vec<ControlId>,
}

impl ControlPairs {
    fn new(set: &Gearset, bodies: &Bodies) -> Self {
        let mut found = Self { pairs: Vec::new(), controls: Vec::new() };
        for control in set.control_ids() {
            let Pair { first, second } = match set.control(control).action() {
                Action::Band(member) => Pair { first: member, second: MemberId::CASE },
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => pair,
            };
            // What is joined for good already needs no control.
            if let (Some(first), Some(second)) = (bodies.of(first), bodies.of(second))
                && first != second
            {
                found.pairs.push([first, second]);
                found.controls.push(control);
            }
        }
        found
    }
}

fn choice(bodies: &Bodies, merger: &Merger, freedom: usize) -> Choice {
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
    Choice {
        held,
        coupled: sets.into_iter().map(|(_, set)| set).collect(),
        at_once,
        freedom: merger.freedom,
        has_spare: merger.freedom + at_once > freedom,
        solid: merger.all_alike,
    }
}

fn standing(bodies: &Bodies, any: &Merged, choices: &[Choice]) -> Vec<Standing> {
    let of_body = |body: usize| {
        let member = bodies.watched[body];
        let by_others = |place: &usize| !choices[*place].held.contains(&member);
        Standing { member, choices: any.zeros[body].iter().copied().filter(by_others).collect() }
    };
    (1..bodies.watched.len()).map(of_body).collect()
}

/// The uses found so far, by ratio.
struct Collection<'a> {
    bodies: &'a Bodies,
    ends: Ends,
    /// For each ratio its uses, and where each pair of input and output stands among them.
    by_ratio: HashMap<Fraction, Vec<Use>>,
}

impl<'a> Collection<'a> {
    fn new(bodies: &'a Bodies, ends: Ends) -> Self {
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
            uses.push(Use { input, output, choices: Vec::new(), controls: Vec::new(), states: Vec::new() });
            uses.len() - 1
        });
        change(&mut uses[place]);
    }

    fn add_choices(&mut self, any: &Merged) {
        for FixedQuotient { pair: [one, other], quotient, mergers } in &any.quotients {
            self.with_use(quotient.clone(), [*one, *other], |found| found.choices.clone_from(mergers));
            self.with_use(quotient.recip(), [*other, *one], |found| found.choices.clone_from(mergers));
        }
    }

    fn add_controls(&mut self, by_controls: &Merged, controls: &ControlPairs) {
        for FixedQuotient { pair: [one, other], quotient, mergers } in &by_controls.quotients {
            let set = |&merger: &usize| -> Vec<ControlId> {
                by_controls.mergers[merger].places.iter().map(|&place| controls.controls[place]).collect()
            };
            let sets: Vec<Vec<ControlId>> = mergers.iter().map(set).collect();
            self.with_use(quotient.clone(), [*one, *other], |found| found.controls.clone_from(&sets));
            self.with_use(quotient.recip(), [*other, *one], |found| found.controls.clone_from(&sets));
        }
    }

    /// A state that drives by what it holds and couples alone.
    fn add_state(&mut self, set: &Gearset, motion: &StateMotion) {
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
    fn ratios(self, choices: &[Choice], wanted: &Wanted) -> (Vec<FoundRatio>, [Option<Fraction>; 2]) {
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
            // Both denominators are positive.
            (a.ratio.numer() * b.ratio.denom()).cmp(&(b.ratio.numer() * a.ratio.denom()))
        });
        let size = |found: &Use| found.choices.first().map_or(usize::MAX, |&first| choices[first].at_once);
        for found in &mut ratios {
            found.uses.sort_by_key(|found| (size(found), found.controls.is_empty(), found.input, found.output));
        }
        (ratios, nearest)
    }
}
