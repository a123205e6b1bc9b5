//! Joins, controls and states: members named where they may be, and nothing left over.
//!
//! A join, control or state acts on members of the main axis, on the case, or on a single
//! shaft on a fixed axis; the input and output of a state are two of those that turn.

use std::collections::HashSet;

use super::names::Names;
use crate::gearset::draft::{Action, DraftAction, DraftConditions, Given};
use crate::gearset::{
    Binding, Draft, DraftState, DraftTurning, Pair, Place, Problems, Role, Scope, SizeRule, Spanned, UsageRule,
};
use crate::gearset::{Control, GivenSpeed, MemberId, Restraint, State};

/// What the uses of members are checked against.
pub(super) struct UseContext<'a> {
    pub(super) draft: &'a Draft,
    pub(super) names: &'a Names<'a>,
    /// Where each member turns; `None` for a planet whose pins or carrier are wrong.
    pub(super) places: &'a [Option<Place>],
}

impl UseContext<'_> {
    /// A named member that is not a planet.
    pub(super) fn not_a_planet(
        &self,
        name: &Spanned<String>,
        binding: &Binding,
        problems: &mut Problems,
    ) -> Option<MemberId> {
        let member = self.names.member(name, problems)?;
        if self.is_planet(member) {
            let rule = UsageRule::PlanetBound { name: name.to_string(), binding: binding.clone() };
            problems.add(name.mark(), rule);
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

    fn pair(&self, pair: &Pair<Spanned<String>>, binding: &Binding, problems: &mut Problems) -> Option<Pair<MemberId>> {
        let first = self.not_a_planet(&pair.first, binding, problems);
        let second = self.not_a_planet(&pair.second, binding, problems);
        let (first, second) = (first?, second?);
        if first == second {
            let (name, binding) = (pair.second.to_string(), binding.clone());
            problems.add(pair.second.mark(), UsageRule::BoundToItself { name, binding });
            return None;
        }
        Some(Pair { first, second })
    }
}

pub(super) fn joins(known: &UseContext<'_>, problems: &mut Problems) -> Vec<Option<Pair<MemberId>>> {
    known.draft.joins.iter().map(|pair| known.pair(pair, &Binding::Join, problems)).collect()
}

pub(super) fn controls(known: &UseContext<'_>, problems: &mut Problems) -> Vec<Option<Control>> {
    let mut controls = Vec::new();
    for control in &known.draft.controls {
        let name = || control.name.to_string();
        let action = match &control.action {
            DraftAction::Band(held, _) => {
                let member = known.not_a_planet(held, &Binding::Band(name()), problems);
                if member == Some(MemberId::CASE) {
                    problems.add(held.mark(), UsageRule::BandOnCase { control: name() });
                }
                member.map(Action::Band)
            }
            DraftAction::Clutch(pair, _) => known.pair(pair, &Binding::Clutch(name()), problems).map(Action::Clutch),
            DraftAction::OneWayClutch(pair, stops) => {
                let pair = known.pair(pair, &Binding::OneWayClutch(name()), problems);
                pair.map(|pair| Action::OneWayClutch(pair, *stops))
            }
        };
        let (band, plates) = (control.band_sizes().cloned(), control.plate_sizes().cloned());
        controls.push(action.map(|action| Control { name: name(), action, band, plates }));
    }
    controls
}

/// The input and output of the set, looked at even where no state uses them.
pub(super) fn check_ends(known: &UseContext<'_>, problems: &mut Problems) {
    let draft = known.draft;
    let input = draft.input.as_ref().and_then(|name| End::of_set(Role::Input).check(known, name, problems));
    let output = draft.output.as_ref().and_then(|name| End::of_set(Role::Output).check(known, name, problems));
    if let (Some(name), true) = (&draft.output, input.is_some() && input == output) {
        let rule = UsageRule::InputIsOutput { scope: Scope::WholeSet, name: name.to_string() };
        problems.add(name.mark(), rule);
    }
}

/// An input or output, of the set or of a state.
#[derive(Clone, Copy)]
struct End<'a> {
    role: Role,
    state: Option<&'a DraftState>,
}

impl End<'_> {
    fn of_set(role: Role) -> Self {
        Self { role, state: None }
    }

    fn scope(self) -> Scope {
        self.state.map_or(Scope::WholeSet, |state| Scope::State(state.name.to_string()))
    }

    /// A member that may drive or be driven.
    fn check(self, known: &UseContext<'_>, name: &Spanned<String>, problems: &mut Problems) -> Option<MemberId> {
        let role = self.role;
        let member = known.names.member(name, problems)?;
        if member == MemberId::CASE {
            problems.add(name.mark(), UsageRule::CaseAsInputOrOutput { role, scope: self.scope() });
            return None;
        }
        if known.is_planet(member) {
            let (scope, at, name) = (self.scope(), name.mark(), name.to_string());
            problems.add(at, UsageRule::PlanetAsInputOrOutput { role, scope, name });
            return None;
        }
        Some(member)
    }
}

pub(super) fn states(known: &UseContext<'_>, problems: &mut Problems) -> Vec<Option<State>> {
    check_ends(known, problems);
    let mut states = Vec::new();
    for state in &known.draft.states {
        states.push(check_state(known, state, problems));
    }
    states
}

fn check_state(known: &UseContext<'_>, state: &DraftState, problems: &mut Problems) -> Option<State> {
    let before = problems.len();
    let nothing = Given::default();
    let given = match &state.conditions {
        DraftConditions::Apply(_) => &nothing,
        DraftConditions::Given(given) => given,
    };
    let input = state_end(known, state, given.input.as_ref(), Role::Input, problems);
    let output = state_end(known, state, given.output.as_ref(), Role::Output, problems);
    if let (Some(input), Some(output)) = (input, output)
        && input == output
        && let Some(name) = given.output.as_ref().or(given.input.as_ref())
    {
        let at = given.output.as_ref().map_or(state.name.mark(), Spanned::mark);
        let rule = UsageRule::InputIsOutput { scope: Scope::State(state.name.to_string()), name: name.to_string() };
        problems.add(at, rule);
    }
    let restraints = match &state.conditions {
        DraftConditions::Apply(controls) => applied(known, &state.name, controls, problems),
        DraftConditions::Given(given) => self::given(known, &state.name, given, problems),
    };
    if let (Some(input), DraftConditions::Given(given)) = (input, &state.conditions) {
        speeds_of_others(known, &state.name, input, given, problems);
    }
    (problems.len() == before)
        .then(|| Some(State { name: state.name.to_string(), input: input?, output: output?, restraints }))
        .flatten()
}

/// The input or output of a state: its own, or that of the set, which was checked already.
fn state_end(
    known: &UseContext<'_>,
    state: &DraftState,
    own: Option<&Spanned<String>>,
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
        let rule = UsageRule::NoInputOrOutput { role, state: state.name.to_string() };
        problems.add(state.name.mark(), rule);
        return None;
    };
    End::of_set(role).check(known, name, &mut Problems::none())
}

fn applied(
    known: &UseContext<'_>,
    state: &str,
    controls: &[Spanned<String>],
    problems: &mut Problems,
) -> Vec<Restraint> {
    let mut seen = HashSet::new();
    let mut restraints = Vec::new();
    for name in controls {
        let Some(control) = known.names.control(name, problems) else { continue };
        if seen.insert(control) {
            restraints.push(Restraint::Control(control));
        } else {
            let (state, control) = (state.to_owned(), name.to_string());
            problems.add(name.mark(), UsageRule::AppliedTwice { state, control });
        }
    }
    restraints
}

fn given(known: &UseContext<'_>, state: &str, given: &Given, problems: &mut Problems) -> Vec<Restraint> {
    let name = || state.to_owned();
    let mut held = HashSet::new();
    let mut restraints = Vec::new();
    for member_name in &given.held {
        let Some(member) = known.not_a_planet(member_name, &Binding::HeldInState(name()), problems) else {
            continue;
        };
        if held.insert(member) {
            restraints.push(Restraint::Held(member));
        } else {
            let rule = UsageRule::HeldTwice { state: name(), member: member_name.to_string() };
            problems.add(member_name.mark(), rule);
        }
    }
    for pair in &given.joined {
        restraints.extend(known.pair(pair, &Binding::JoinedInState(name()), problems).map(Restraint::Joined));
    }
    for DraftTurning { member, speed } in &given.turning {
        let found = known.not_a_planet(member, &Binding::TurningInState(name()), problems);
        let given_speed = GivenSpeed::new(speed);
        if given_speed.is_none() {
            let rule = SizeRule::AbsurdSpeed { state: name(), member: member.to_string(), speed: (**speed).clone() };
            problems.add(speed.mark(), rule);
        }
        restraints.extend(found.zip(given_speed).map(|(member, speed)| Restraint::Turning(member, speed)));
    }
    restraints
}

fn speeds_of_others(known: &UseContext<'_>, state: &str, input: MemberId, given: &Given, problems: &mut Problems) {
    for turning in &given.turning {
        if known.names.member(&turning.member, &mut Problems::none()) == Some(input) {
            let (state, member) = (state.to_owned(), turning.member.to_string());
            problems.add(turning.member.mark(), UsageRule::SpeedOfInput { state, member });
        }
    }
}
