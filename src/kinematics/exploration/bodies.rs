//! What can be held, coupled, drive and be driven, and how much of it at once is tried.
//!
//! Members joined for good are one body. A planet neither is held nor drives, unless it is a single
//! shaft on a fixed axis.

use super::{CannotExplore, ExplorationQuestion, MOST_TRIED};
use crate::exact::{Merger, Mergers, count_mergers};
use crate::gearset::{Bodies, ControlId, Gearset, MemberId, Pair, Place};
use crate::kinematics::train::Train;

/// The bodies that can stand, drive and be driven; those joined for good are one.
pub(super) struct DrivableBodies {
    /// One member for each body, the case first.
    pub(super) watched: Vec<MemberId>,
    /// For each member the place of its body among those; `None` for a planet.
    body: Vec<Option<usize>>,
    /// What can never turn, whatever is applied: it is one with the case.
    pub(super) never_turning: Vec<MemberId>,
}

impl DrivableBodies {
    pub(super) fn new(set: &Gearset) -> Self {
        let for_good = Bodies::for_good(set);
        let mut watched = Vec::new();
        let mut body = vec![None; set.members().len()];
        for member in set.member_ids().filter(|&member| is_body(set, member)) {
            if for_good.of(member) == member {
                watched.push(member);
            }
            body[member.index()] = watched.iter().position(|&known| known == for_good.of(member));
        }
        // Of those joined for good the one that the description drives, or drives with, stands for them.
        for end in [&set.draft().output, &set.draft().input] {
            let end = end.as_ref().and_then(|name| set.member_named(name));
            if let Some((end, Some(body @ 1..))) = end.map(|end| (end, body[end.index()])) {
                watched[body] = end;
            }
        }
        Self { watched, body, never_turning: Vec::new() }
    }

    /// Takes for one with the case what the meshes and joins keep from turning by themselves: it drives nothing, is driven
    /// by nothing, and to hold it does nothing.
    pub(super) fn without_what_stands(mut self, train: &Train<'_>) -> Self {
        let nothing = Mergers::Of { pairs: Vec::new(), most: 0 };
        let stands = train.merge(&self.watched, &nothing).zeros;
        let turns = |place: usize| place == 0 || stands[place].is_empty();
        // Places move down by those that are taken out before them.
        let mut new_place = Vec::new();
        let mut kept = 0;
        for place in 0..self.watched.len() {
            new_place.push(if turns(place) { kept } else { 0 });
            kept += usize::from(turns(place));
        }
        let (watched, never_turning) = (0..self.watched.len()).partition::<Vec<usize>, _>(|&place| turns(place));
        self.body.iter_mut().flatten().for_each(|place| *place = new_place[*place]);
        self.never_turning = never_turning.into_iter().map(|place| self.watched[place]).collect();
        self.watched = watched.into_iter().map(|place| self.watched[place]).collect();
        self
    }

    pub(super) fn of(&self, member: MemberId) -> Option<usize> {
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
pub(super) struct Ends {
    input: Option<usize>,
    output: Option<usize>,
}

impl Ends {
    pub(super) fn new(
        set: &Gearset,
        bodies: &DrivableBodies,
        wanted: &ExplorationQuestion,
    ) -> Result<Self, CannotExplore> {
        let name = |member: MemberId| set.member(member).name().to_owned();
        let ends = Self { input: end(set, bodies, wanted.input)?, output: end(set, bodies, wanted.output)? };
        match (wanted.input, wanted.output) {
            (Some(input), Some(output)) if ends.input == ends.output => {
                Err(CannotExplore::OneBody { input: name(input), output: name(output) })
            }
            _ => Ok(ends),
        }
    }

    pub(super) fn are(self, input: usize, output: usize) -> bool {
        self.input.is_none_or(|wanted| wanted == input) && self.output.is_none_or(|wanted| wanted == output)
    }
}

/// The body of a member that is wanted as an end, if it may be one.
fn end(set: &Gearset, bodies: &DrivableBodies, wanted: Option<MemberId>) -> Result<Option<usize>, CannotExplore> {
    let Some(member) = wanted else { return Ok(None) };
    match bodies.of(member) {
        None | Some(0) => Err(CannotExplore::NotUsable { name: set.member(member).name().to_owned() }),
        body => Ok(body),
    }
}

/// How much can be chosen at will with nothing applied.
pub(super) fn freedom(train: &Train<'_>, bodies: &DrivableBodies) -> usize {
    train.merge(&bodies.watched, &Mergers::Of { pairs: Vec::new(), most: 0 }).mergers[0].freedom
}

/// How many are held or coupled at once.
pub(super) fn at_once(
    set: &Gearset,
    bodies: &DrivableBodies,
    freedom: usize,
    wanted: Option<usize>,
) -> Result<usize, CannotExplore> {
    let on_main_axis = bodies.watched[1..].iter().filter(|&&member| set.is_on_main_axis(member)).count();
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
pub(super) struct ControlPairs {
    pub(super) pairs: Vec<[usize; 2]>,
    pub(super) controls: Vec<ControlId>,
}

impl ControlPairs {
    pub(super) fn new(set: &Gearset, bodies: &DrivableBodies) -> Self {
        let mut found = Self { pairs: Vec::new(), controls: Vec::new() };
        for control in set.control_ids() {
            let Pair { first, second } = set.control(control).made_one();
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

    /// The controls that a choice among them applies.
    pub(super) fn of(&self, merger: &Merger) -> Vec<ControlId> {
        merger.places.iter().map(|&place| self.controls[place]).collect()
    }
}
