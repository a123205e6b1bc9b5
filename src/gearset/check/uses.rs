//! Joins, controls and states: members named where they may be, and nothing left over.

use std::collections::HashSet;

use super::Problems;
use super::names::Names;
use crate::gearset::draft::{Action, DraftConditions, Given};
use crate::gearset::model::{Control, GivenSpeed, MemberId, Restraint, State};
use crate::gearset::{Draft, DraftState, Pair, Part, Place, Role, Rule, Which};

/// What the uses of members are checked against.
pub(super) struct Known<'a> {
    pub(super) draft: &'a Draft,
    pub(super) names: &'a Names<'a>,
    /// Where each member turns; `None` for a planet whose pins or carrier are wrong.
    pub(super) places: &'a [Option<Place>],
}

impl Known<'_> {
    /// A named member that is not a planet.
    fn not_a_planet(&self, name: &str, what: &'static str, part: Part, problems: &mut Problems) -> Option<MemberId> {
        let member = self.names.member(name, part, problems)?;
        if self.is_planet(member) {
            problems.add(part, Rule::PlanetInControl { name: name.to_owned(), what });
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
        what: &'static str,
        part: impl Fn(Which) -> Part,
        problems: &mut Problems,
    ) -> Option<Pair<MemberId>> {
        let first = self.not_a_planet(&pair.first, what, part(Which::First), problems);
        let second = self.not_a_planet(&pair.second, what, part(Which::Second), problems);
        let (first, second) = (first?, second?);
        if first == second {
            let name = pair.second.clone();
            problems.add(part(Which::Second), Rule::ControlOnOneMember { name, what });
            return None;
        }
        Some(Pair { first, second })
    }
}

pub(super) fn joins(known: &Known<'_>, problems: &mut Problems) -> Vec<Option<Pair<MemberId>>> {
    let join = |(join, pair): (usize, &Pair<String>)| {
        known.pair(pair, "join", |which| Part::JoinMember { join, which }, problems)
    };
    known.draft.joins.iter().enumerate().map(join).collect()
}

pub(super) fn controls(known: &Known<'_>, problems: &mut Problems) -> Vec<Option<Control>> {
    let mut controls = Vec::new();
    for (index, control) in known.draft.controls.iter().enumerate() {
        let part = |which| Part::ControlMember { control: index, which };
        let action = match &control.action {
            Action::Band(member) => {
                let part = part(Which::First);
                let member = known.not_a_planet(member, "band", part, problems);
                if member == Some(MemberId::CASE) {
                    problems.add(part, Rule::BandOnCase);
                }
                member.map(Action::Band)
            }
            Action::Clutch(pair) => known.pair(pair, "clutch", part, problems).map(Action::Clutch),
            Action::OneWayClutch(pair, stops) => {
                known.pair(pair, "one-way clutch", part, problems).map(|pair| Action::OneWayClutch(pair, *stops))
            }
        };
        controls.push(action.map(|action| Control { name: control.name.clone(), action }));
    }
    controls
}

/// The input and output of the set, looked at even where no state uses them.
pub(super) fn check_ends(known: &Known<'_>, problems: &mut Problems) {
    let draft = known.draft;
    let input = draft.input.as_ref().and_then(|name| end(known, name, Role::Input, Part::Input, problems));
    let output = draft.output.as_ref().and_then(|name| end(known, name, Role::Output, Part::Output, problems));
    if let (Some(name), true) = (&draft.output, input.is_some() && input == output) {
        problems.add(Part::Output, Rule::InputIsOutput { name: name.clone() });
    }
}

/// A member that may drive or be driven.
fn end(known: &Known<'_>, name: &str, role: Role, part: Part, problems: &mut Problems) -> Option<MemberId> {
    let member = known.names.member(name, part, problems)?;
    if member == MemberId::CASE {
        problems.add(part, Rule::CaseAsInputOrOutput { role });
        return None;
    }
    if known.is_planet(member) {
        problems.add(part, Rule::PlanetAsInputOrOutput { role, name: name.to_owned() });
        return None;
    }
    Some(member)
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
        problems.add(Part::StateOutput { state: index }, Rule::InputIsOutput { name });
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
    let (of_set, part) = match role {
        Role::Input => (&known.draft.input, Part::StateInput { state }),
        Role::Output => (&known.draft.output, Part::StateOutput { state }),
    };
    if let Some(name) = own {
        return end(known, name, role, part, problems);
    }
    let Some(name) = of_set else {
        let state_name = known.draft.states[state].name.clone();
        problems.add(Part::StateName { state }, Rule::NoInputOrOutput { role, state: state_name });
        return None;
    };
    end(known, name, role, part, &mut Problems::default())
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
            problems.add(part, Rule::AppliedTwice { state, control });
        }
    }
    restraints
}

fn given(known: &Known<'_>, state: usize, state_name: &str, given: &Given, problems: &mut Problems) -> Vec<Restraint> {
    let mut held = HashSet::new();
    let mut restraints = Vec::new();
    for (index, name) in given.held.iter().enumerate() {
        let part = Part::Held { state, index };
        let Some(member) = known.not_a_planet(name, "hold", part, problems) else { continue };
        if held.insert(member) {
            restraints.push(Restraint::Held(member));
        } else {
            let (state, member) = (state_name.to_owned(), name.clone());
            problems.add(part, Rule::HeldTwice { state, member });
        }
    }
    for (index, pair) in given.joined.iter().enumerate() {
        let part = |which| Part::JoinedMember { state, index, which };
        restraints.extend(known.pair(pair, "join", part, problems).map(Restraint::Joined));
    }
    for (index, turning) in given.turning.iter().enumerate() {
        let part = Part::TurningMember { state, index };
        let member = known.not_a_planet(&turning.member, "given speed", part, problems);
        let speed = GivenSpeed::new(&turning.speed);
        if speed.is_none() {
            let size = turning.speed.to_string();
            problems.add(Part::TurningSpeed { state, index }, Rule::AbsurdSize { what: "speed", size });
        }
        restraints.extend(member.zip(speed).map(|(member, speed)| Restraint::Turning(member, speed)));
    }
    restraints
}

fn speeds_of_others(known: &Known<'_>, state: usize, input: MemberId, given: &Given, problems: &mut Problems) {
    for (index, turning) in given.turning.iter().enumerate() {
        let part = Part::TurningMember { state, index };
        if known.names.member(&turning.member, part, &mut Problems::default()) == Some(input) {
            let (state, member) = (known.draft.states[state].name.clone(), turning.member.clone());
            problems.add(part, Rule::SpeedOfInput { state, member });
        }
    }
}
