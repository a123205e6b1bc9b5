//! Joins, controls and states: members named where they may be, and nothing left over.
//!
//! A join, control or state acts on members of the main axis, on the case, or on a single
//! shaft on a fixed axis; the input and output of a state are two of those that turn.

use std::collections::HashSet;

use super::names::Names;
use crate::gearset::draft::{Action, DraftConditions, Given};
use crate::gearset::model::{Control, GivenSpeed, MemberId, Restraint, State};
use crate::gearset::{
    Binding, Draft, DraftState, DraftTurning, Pair, Part, Place, Problems, Role, Scope, SizeRule, UsageRule, Which,
};

/// What the uses of members are checked against.
pub(super) struct Known<'a> {
    pub(super) draft: &'a Draft,
    pub(super) names: &'a Names<'a>,
    /// Where each member turns; `None` for a planet whose pins or carrier are wrong.
    pub(super) places: &'a [Option<Place>],
}

impl Known<'_> {
    /// A named member that is not a planet.
    fn not_a_planet(&self, name: &str, binding: &Binding, part: Part, problems: &mut Problems) -> Option<MemberId> {
        let member = self.names.member(name, part, problems)?;
        if self.is_planet(member) {
            problems.add(part, UsageRule::PlanetBound { name: name.to_owned(), binding: binding.clone() });
            return None;
        }
        Some(member)
    }

    /// Whether a member is one of several, or turns on a carrier; a single shaft on a fixed
    /// axis is neither.
    fn is_planet(&self, member: MemberId) -> bool {
        match &self.places[member.index()] {
            Some(Place::Pin { carrier, pins }) => *carrier != MemberId::CASE || pins.len() > 1,
            Some(Place::Case | Place::MainAxis) | None => false,
        }
    }

    fn pair(
        &self,
        pair: &Pair<String>,
        binding: &Binding,
        part: impl Fn(Which) -> Part,
        problems: &mut Problems,
    ) -> Option<Pair<MemberId>> {
        let first = self.not_a_planet(&pair.first, binding, part(Which::First), problems);
        let second = self.not_a_planet(&pair.second, binding, part(Which::Second), problems);
        let (first, second) = (first?, second?);
        if first == second {
            let (name, binding) = (pair.second.clone(), binding.clone());
            problems.add(part(Which::Second), UsageRule::BoundToItself { name, binding });
            return None;
        }
        Some(Pair { first, second })
    }
}

pub(super) fn joins(known: &Known<'_>, problems: &mut Problems) -> Vec<Option<Pair<MemberId>>> {
    let join = |(join, pair): (usize, &Pair<String>)| {
        known.pair(pair, &Binding::Join, |which| Part::JoinMember { join, which }, problems)
    };
    known.draft.joins.iter().enumerate().map(join).collect()
}

pub(super) fn controls(known: &Known<'_>, problems: &mut Problems) -> Vec<Option<Control>> {
    let mut controls = Vec::new();
    for (index, control) in known.draft.controls.iter().enumerate() {
        let part = |which| Part::ControlMember { control: index, which };
        let name = || control.name.clone();
        let action = match &control.action {
            Action::Band(member) => {
                let part = part(Which::First);
                let member = known.not_a_planet(member, &Binding::Band(name()), part, problems);
                if member == Some(MemberId::CASE) {
                    problems.add(part, UsageRule::BandOnCase { control: name() });
                }
                member.map(Action::Band)
            }
            Action::Clutch(pair) => known.pair(pair, &Binding::Clutch(name()), part, problems).map(Action::Clutch),
            Action::OneWayClutch(pair, stops) => {
                let pair = known.pair(pair, &Binding::OneWayClutch(name()), part, problems);
                pair.map(|pair| Action::OneWayClutch(pair, *stops))
            }
        };
        let (band, plates) = (control.band_sizes().cloned(), control.plate_sizes().cloned());
        controls.push(action.map(|action| Control { name: name(), action, band, plates }));
    }
    controls
}

/// The input and output of the set, looked at even where no state uses them.
pub(super) fn check_ends(known: &Known<'_>, problems: &mut Problems) {
    let draft = known.draft;
    let input = draft.input.as_ref().and_then(|name| End::of_set(Role::Input).check(known, name, problems));
    let output = draft.output.as_ref().and_then(|name| End::of_set(Role::Output).check(known, name, problems));
    if let (Some(name), true) = (&draft.output, input.is_some() && input == output) {
        problems.add(Part::Output, UsageRule::InputIsOutput { scope: Scope::WholeSet, name: name.clone() });
    }
}

/// An input or output, of the set or of a state by its number.
#[derive(Clone, Copy)]
struct End {
    role: Role,
    state: Option<usize>,
}

impl End {
    fn of_set(role: Role) -> Self {
        Self { role, state: None }
    }

    fn part(self) -> Part {
        match (self.role, self.state) {
            (Role::Input, None) => Part::Input,
            (Role::Output, None) => Part::Output,
            (Role::Input, Some(state)) => Part::StateInput { state },
            (Role::Output, Some(state)) => Part::StateOutput { state },
        }
    }

    fn scope(self, draft: &Draft) -> Scope {
        self.state.map_or(Scope::WholeSet, |state| Scope::State(draft.states[state].name.clone()))
    }

    /// A member that may drive or be driven.
    fn check(self, known: &Known<'_>, name: &str, problems: &mut Problems) -> Option<MemberId> {
        let (role, part) = (self.role, self.part());
        let member = known.names.member(name, part, problems)?;
        if member == MemberId::CASE {
            problems.add(part, UsageRule::CaseAsInputOrOutput { role, scope: self.scope(known.draft) });
            return None;
        }
        if known.is_planet(member) {
            let (scope, name) = (self.scope(known.draft), name.to_owned());
            problems.add(part, UsageRule::PlanetAsInputOrOutput { role, scope, name });
            return None;
        }
        Some(member)
    }
}

pub(super) fn states(known: &Known<'_>, problems: &mut Problems) -> Vec<Option<State>> {
    check_ends(known, problems);
    let mut states = Vec::new();
    for (index, state) in known.draft.states.iter().enumerate() {
        states.push(check_state(known, index, state, problems));
    }
    states
}

fn check_state(known: &Known<'_>, index: usize, state: &DraftState, problems: &mut Problems) -> Option<State> {
    let before = problems.len();
    let nothing = Given::default();
    let given = match &state.conditions {
        DraftConditions::Apply(_) => &nothing,
        DraftConditions::Given(given) => given,
    };
    let input = state_end(known, index, given.input.as_ref(), Role::Input, problems);
    let output = state_end(known, index, given.output.as_ref(), Role::Output, problems);
    if let (Some(input), Some(output)) = (input, output)
        && input == output
        && (given.input.is_some() || given.output.is_some())
    {
        let name = given.output.as_ref().or(given.input.as_ref()).cloned().unwrap_or_default();
        let scope = Scope::State(state.name.clone());
        problems.add(Part::StateOutput { state: index }, UsageRule::InputIsOutput { scope, name });
    }
    let restraints = match &state.conditions {
        DraftConditions::Apply(controls) => applied(known, index, &state.name, controls, problems),
        DraftConditions::Given(given) => self::given(known, index, &state.name, given, problems),
    };
    if let (Some(input), DraftConditions::Given(given)) = (input, &state.conditions) {
        speeds_of_others(known, index, input, given, problems);
    }
    (problems.len() == before)
        .then(|| Some(State { name: state.name.clone(), input: input?, output: output?, restraints }))
        .flatten()
}

/// The input or output of a state: its own, or that of the set, which was checked already.
fn state_end(
    known: &Known<'_>,
    state: usize,
    own: Option<&String>,
    role: Role,
    problems: &mut Problems,
) -> Option<MemberId> {
    if let Some(name) = own {
        return End { role, state: Some(state) }.check(known, name, problems);
    }
    let of_set = match role {
        Role::Input => &known.draft.input,
        Role::Output => &known.draft.output,
    };
    let Some(name) = of_set else {
        let state_name = known.draft.states[state].name.clone();
        problems.add(Part::StateName { state }, UsageRule::NoInputOrOutput { role, state: state_name });
        return None;
    };
    End::of_set(role).check(known, name, &mut Problems::none())
}

fn applied(
    known: &Known<'_>,
    index: usize,
    state: &str,
    controls: &[String],
    problems: &mut Problems,
) -> Vec<Restraint> {
    let mut seen = HashSet::new();
    let mut restraints = Vec::new();
    for (position, name) in controls.iter().enumerate() {
        let part = Part::Applied { state: index, index: position };
        let Some(control) = known.names.control(name, part, problems) else { continue };
        if seen.insert(control) {
            restraints.push(Restraint::Control(control));
        } else {
            let (state, control) = (state.to_owned(), name.clone());
            problems.add(part, UsageRule::AppliedTwice { state, control });
        }
    }
    restraints
}

fn given(known: &Known<'_>, state: usize, state_name: &str, given: &Given, problems: &mut Problems) -> Vec<Restraint> {
    let name = || state_name.to_owned();
    let mut held = HashSet::new();
    let mut restraints = Vec::new();
    for (index, member_name) in given.held.iter().enumerate() {
        let part = Part::Held { state, index };
        let Some(member) = known.not_a_planet(member_name, &Binding::HeldInState(name()), part, problems) else {
            continue;
        };
        if held.insert(member) {
            restraints.push(Restraint::Held(member));
        } else {
            problems.add(part, UsageRule::HeldTwice { state: name(), member: member_name.clone() });
        }
    }
    for (index, pair) in given.joined.iter().enumerate() {
        let part = |which| Part::JoinedMember { state, index, which };
        restraints.extend(known.pair(pair, &Binding::JoinedInState(name()), part, problems).map(Restraint::Joined));
    }
    for (index, DraftTurning { member, speed }) in given.turning.iter().enumerate() {
        let part = Part::TurningMember { state, index };
        let found = known.not_a_planet(member, &Binding::TurningInState(name()), part, problems);
        let given_speed = GivenSpeed::new(speed);
        if given_speed.is_none() {
            let rule = SizeRule::AbsurdSpeed { state: name(), member: member.clone(), speed: speed.clone() };
            problems.add(Part::TurningSpeed { state, index }, rule);
        }
        restraints.extend(found.zip(given_speed).map(|(member, speed)| Restraint::Turning(member, speed)));
    }
    restraints
}

fn speeds_of_others(known: &Known<'_>, state: usize, input: MemberId, given: &Given, problems: &mut Problems) {
    for (index, turning) in given.turning.iter().enumerate() {
        let part = Part::TurningMember { state, index };
        if known.names.member(&turning.member, part, &mut Problems::none()) == Some(input) {
            let (state, member) = (known.draft.states[state].name.clone(), turning.member.clone());
            problems.add(part, UsageRule::SpeedOfInput { state, member });
        }
    }
}
