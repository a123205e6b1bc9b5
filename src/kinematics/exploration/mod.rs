//! In how many ways could a train be used: what is held, what is coupled, what drives, what is driven?
//!
//! A choice says which members stand and which turn as one. Every choice up to a number of
//! restraints at once is tried; all that drives and all that is driven follows from it at
//! once, since whatever keeps a fixed quotient to the input is an output. Members joined for
//! good count as one. The same is done with the controls that the description has, which
//! tells what can be reached without a new part.

mod bodies;
mod collection;

use super::motion::motions;
use super::train::Train;
use crate::exact::{Fraction, Mergers};
use crate::gearset::{ControlId, Gearset, MemberId};
use bodies::{ControlPairs, DrivableBodies, Ends, at_once, freedom};
use collection::{Collection, choice, standing};
use serde::Serialize;

/// The work that is done at most: choices times pairs of members.
pub const MOST_TRIED: u64 = 4_000_000;

/// So many bodies that could drive and be driven are explored.
pub const MOST_BODIES: usize = 300;

/// What is looked for; by default everything that leaves one way of turning or more.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct ExplorationQuestion {
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
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Exploration {
    /// The title of the gearset.
    pub gearset: String,
    /// How many speeds can be chosen at will with nothing held and nothing coupled.
    pub freedom: usize,
    /// How many were held or coupled at once at most.
    pub at_once: usize,
    /// What may stand, drive and be driven, one for all that are joined for good.
    pub members: Vec<MemberId>,
    /// Every choice, by the number of its restraints; the first is to apply nothing.
    pub choices: Vec<RestraintChoice>,
    /// Every ratio that is wanted, rising.
    pub ratios: Vec<FoundRatio>,
    /// For each member what keeps it from turning, apart from holding itself.
    pub standing: Vec<StandingMember>,
    /// The nearest ratio below those that are wanted.
    pub next_below: Option<Fraction>,
    /// The nearest ratio above those that are wanted.
    pub next_above: Option<Fraction>,
    /// What was asked.
    pub wanted: ExplorationQuestion,
    /// Whether fewer restraints at once were tried than leave one freedom, as there would be too many choices.
    pub cut_short: bool,
    /// How much freedom the choices leave, by the number of their restraints, from none on.
    pub tally: Vec<ChoiceTally>,
    /// Members that can never turn, as the meshes and joins alone keep them from it: one for all that are joined for good.
    pub never_turning: Vec<MemberId>,
    /// What drives and what is driven as a rule: that of the description, or of all its states.
    pub usual_ends: Option<UsualEnds>,
    /// All uses, the most useful first: those between the usual ends, among these those of a state, then those that the
    /// controls reach, then those that take the fewest restraints.
    pub most_useful: Vec<UsePlace>,
}

/// What drives and what is driven as a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct UsualEnds {
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
}

/// Where a use stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct UsePlace {
    /// The place of its ratio in [`Exploration::ratios`].
    pub ratio: usize,
    /// Its place in [`FoundRatio::uses`].
    pub found: usize,
}

/// How many choices of so many restraints there are, and what they leave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ChoiceTally {
    /// So many are held or coupled at once.
    pub at_once: usize,
    /// How many such choices there are.
    pub choices: usize,
    /// How many of them leave a freedom of 0, 1, 2 and so on.
    pub by_freedom: Vec<usize>,
    /// How many have a spare restraint: one without which the others leave no more freedom.
    pub with_spare: usize,
}

/// What is held and what is coupled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RestraintChoice {
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
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FoundRatio {
    /// Input turns per output turn.
    pub ratio: Fraction,
    /// The uses that give it: those that take the fewest restraints first, then those that the
    /// controls reach.
    pub uses: Vec<Use>,
}

/// What drives, what is driven, and what has to be done for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
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
    /// Whether everything turns as one.
    pub solid: bool,
}

/// What keeps a member from turning.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct StandingMember {
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
/// use toothmark::{description, kinematics::{ExplorationQuestion, explore}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let found = explore(&set, &ExplorationQuestion::default()).unwrap();
/// let ratios: Vec<String> = found.ratios.iter().map(|found| found.ratio.to_string()).collect();
/// assert_eq!(ratios, ["-5/2", "-2/5", "2/7", "5/7", "1", "7/5", "7/2"]);
/// ```
pub fn explore(set: &Gearset, wanted: &ExplorationQuestion) -> Result<Exploration, CannotExplore> {
    let bodies = DrivableBodies::new(set);
    if bodies.watched.len() - 1 > MOST_BODIES {
        return Err(CannotExplore::TooLarge { bodies: bodies.watched.len() - 1 });
    }
    let train = Train::new(set);
    let bodies = bodies.without_what_stands(&train);
    let ends = Ends::new(set, &bodies, wanted)?;
    let freedom = freedom(&train, &bodies);
    let at_once = at_once(set, &bodies, freedom, wanted.at_once)?;
    // On the main axis any two bodies can be coupled; a shaft beside it can only be held.
    let with_others = bodies.watched.iter().map(|&member| set.is_on_main_axis(member)).collect();
    let any = train.merge(&bodies.watched, &Mergers::Any { with_others, most: at_once });
    let controls = ControlPairs::new(set, &bodies);
    let by_controls = train.merge(&bodies.watched, &Mergers::Of { pairs: controls.pairs.clone(), most: at_once });
    let mut found = Collection::new(&bodies, ends);
    found.add_choices(&any);
    found.add_controls(&by_controls, &controls);
    for motion in &motions(set) {
        found.add_state(set, motion);
    }
    let choices: Vec<RestraintChoice> = any.mergers.iter().map(|merger| choice(&bodies, merger, freedom)).collect();
    let (ratios, [next_below, next_above]) = found.ratios(&choices, wanted);
    let usual_ends = usual_ends(set, &bodies);
    Ok(Exploration {
        gearset: set.title().to_owned(),
        freedom,
        at_once,
        members: bodies.watched[1..].to_vec(),
        standing: standing(&bodies, &any, &choices),
        next_below,
        next_above,
        wanted: wanted.clone(),
        // n - 1 independent restraints leave one of n freedoms.
        cut_short: wanted.at_once.is_none() && at_once + 1 < freedom,
        tally: tally(&choices, at_once),
        most_useful: most_useful(&ratios, &choices, usual_ends),
        ratios,
        never_turning: bodies.never_turning,
        usual_ends,
        choices,
    })
}

/// Input and output of the description, or of all its states, by the members that stand for their bodies.
fn usual_ends(set: &Gearset, bodies: &DrivableBodies) -> Option<UsualEnds> {
    let draft = set.draft();
    let named = |name: &str| set.member_named(name);
    let of_set = draft.input.as_ref().zip(draft.output.as_ref());
    let of_set = of_set.and_then(|(input, output)| Some([named(input)?, named(output)?]));
    let of_states = || {
        let mut ends = set.states().iter().map(|state| [state.input, state.output]);
        ends.next().filter(|first| ends.all(|other| other == *first))
    };
    let body = |member| bodies.of(member).filter(|&body| body > 0).map(|body| bodies.watched[body]);
    let [input, output] = of_set.or_else(of_states)?;
    let (input, output) = (body(input)?, body(output)?);
    (input != output).then_some(UsualEnds { input, output })
}

fn most_useful(ratios: &[FoundRatio], choices: &[RestraintChoice], usual: Option<UsualEnds>) -> Vec<UsePlace> {
    let places = ratios
        .iter()
        .enumerate()
        .flat_map(|(ratio, found)| (0..found.uses.len()).map(move |found| UsePlace { ratio, found }));
    let mut places: Vec<UsePlace> = places.collect();
    // Of those that are alike the order stays: rising ratios.
    places.sort_by_key(|place| {
        let found = &ratios[place.ratio].uses[place.found];
        let is_usual = usual.is_some_and(|usual| usual.input == found.input && usual.output == found.output);
        let restraints = found.choices.first().map_or(usize::MAX, |&choice| choices[choice].at_once);
        (!is_usual, found.states.is_empty(), found.controls.is_empty(), found.solid, restraints)
    });
    places
}

fn tally(choices: &[RestraintChoice], most_at_once: usize) -> Vec<ChoiceTally> {
    let most_free = choices.iter().map(|choice| choice.freedom).max().unwrap_or(0);
    let empty = |at_once| ChoiceTally { at_once, choices: 0, by_freedom: vec![0; most_free + 1], with_spare: 0 };
    let mut tally: Vec<ChoiceTally> = (0..=most_at_once).map(empty).collect();
    for choice in choices {
        // No choice has more restraints than were tried at once.
        let row = &mut tally[choice.at_once];
        row.choices += 1;
        row.by_freedom[choice.freedom] += 1;
        row.with_spare += usize::from(choice.has_spare);
    }
    tally
}
