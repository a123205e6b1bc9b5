//! Names: each given once, and each that is used is known.
//!
//! The first bearer of a name keeps it, so that one doubled name gives one problem. An
//! unknown name is answered with the nearest known one, by edit distance.

use std::collections::HashMap;

use crate::gearset::draft::CASE;
use crate::gearset::model::{ControlId, GearId, MemberId};
use crate::gearset::nearest::nearest_name;
use crate::gearset::{Draft, DraftGear, NameRule, Owner, Part, Problems, Thing};

/// So many unknown names get a guess; a file with more is not mended by guesses, and
/// each guess looks at every known name.
const MOST_GUESSES: usize = 100;

/// Everything that can be named, by name.
pub(super) struct Names<'d> {
    members: HashMap<&'d str, MemberId>,
    gears: HashMap<&'d str, GearId>,
    controls: HashMap<&'d str, ControlId>,
    guesses: std::cell::Cell<usize>,
}

impl<'d> Names<'d> {
    pub(super) fn gather(draft: &'d Draft, problems: &mut Problems) -> Self {
        let mut names = Self {
            members: HashMap::from([(CASE, MemberId::CASE)]),
            gears: HashMap::new(),
            controls: HashMap::new(),
            guesses: 0.into(),
        };
        names.gather_bodies(draft, problems);
        names.gather_gears(draft, problems);
        for (index, control) in draft.controls.iter().enumerate() {
            let part = Part::ControlName { control: index };
            add(&mut names.controls, &control.name, ControlId(index), Naming { thing: Thing::Control, part }, problems);
        }
        let mut states = HashMap::<&str, usize>::new();
        for (index, state) in draft.states.iter().enumerate() {
            let part = Part::StateName { state: index };
            add(&mut states, &state.name, index, Naming { thing: Thing::State, part }, problems);
        }
        names
    }

    fn gather_bodies(&mut self, draft: &'d Draft, problems: &mut Problems) {
        for (index, member) in draft.members.iter().enumerate() {
            let owner = Owner::Member(index);
            let part = Part::OwnerName(owner);
            if member.name == CASE {
                problems.add(part, NameRule::CaseIsTaken { thing: Thing::Member });
            } else {
                add(
                    &mut self.members,
                    &member.name,
                    member_of(draft, owner),
                    Naming { thing: Thing::Member, part },
                    problems,
                );
            }
        }
        for (index, planet) in draft.planets.iter().enumerate() {
            let owner = Owner::Planet(index);
            let part = Part::OwnerName(owner);
            if planet.name == CASE {
                problems.add(part, NameRule::CaseIsTaken { thing: Thing::Planet });
                continue;
            }
            match self.members.get(planet.name.as_str()) {
                Some(member) if member.index() <= draft.members.len() => {
                    problems.add(part, NameRule::PlanetNamedAsMember { name: planet.name.clone() });
                }
                _ => add(
                    &mut self.members,
                    &planet.name,
                    member_of(draft, owner),
                    Naming { thing: Thing::Planet, part },
                    problems,
                ),
            }
        }
    }

    fn gather_gears(&mut self, draft: &'d Draft, problems: &mut Problems) {
        for (number, listed) in gears_of(draft).enumerate() {
            let part = Part::GearName { owner: listed.owner, gear: listed.position };
            add(&mut self.gears, &listed.gear.name, GearId(number), Naming { thing: Thing::Gear, part }, problems);
        }
    }

    pub(super) fn member(&self, name: &str, part: Part, problems: &mut Problems) -> Option<MemberId> {
        self.find(&self.members, name, Naming { thing: Thing::Member, part }, problems)
    }

    pub(super) fn gear(&self, name: &str, part: Part, problems: &mut Problems) -> Option<GearId> {
        self.find(&self.gears, name, Naming { thing: Thing::Gear, part }, problems)
    }

    pub(super) fn control(&self, name: &str, part: Part, problems: &mut Problems) -> Option<ControlId> {
        self.find(&self.controls, name, Naming { thing: Thing::Control, part }, problems)
    }

    fn find<T: Copy>(
        &self,
        known: &HashMap<&str, T>,
        name: &str,
        naming: Naming,
        problems: &mut Problems,
    ) -> Option<T> {
        let Naming { thing, part } = naming;
        let found = known.get(name).copied();
        if found.is_none() {
            self.guesses.set(self.guesses.get() + 1);
            let nearest =
                (self.guesses.get() <= MOST_GUESSES).then(|| nearest_name(guesses(known, name), name)).flatten();
            problems.add(part, NameRule::Unknown { thing, name: name.to_owned(), nearest });
        }
        found
    }
}

/// A gear of a draft with where it stands.
pub(super) struct ListedGear<'d> {
    pub(super) owner: Owner,
    pub(super) position: usize,
    pub(super) gear: &'d DraftGear,
}

/// Every gear of a draft, in the order that gives them their identities.
pub(super) fn gears_of(draft: &Draft) -> impl Iterator<Item = ListedGear<'_>> {
    let of_members = draft.members.iter().enumerate().map(|(index, member)| (Owner::Member(index), &member.gears));
    let of_planets = draft.planets.iter().enumerate().map(|(index, planet)| (Owner::Planet(index), &planet.gears));
    of_members.chain(of_planets).flat_map(|(owner, gears)| {
        gears.iter().enumerate().map(move |(position, gear)| ListedGear { owner, position, gear })
    })
}

/// The identity that a member or planet of the draft gets: the case comes first.
pub(super) fn member_of(draft: &Draft, owner: Owner) -> MemberId {
    match owner {
        Owner::Member(index) => MemberId(1 + index),
        Owner::Planet(index) => MemberId(1 + draft.members.len() + index),
    }
}

/// What is named, and where.
#[derive(Clone, Copy)]
struct Naming {
    thing: Thing,
    part: Part,
}

fn add<'d, T>(known: &mut HashMap<&'d str, T>, name: &'d str, identity: T, naming: Naming, problems: &mut Problems) {
    let Naming { thing, part } = naming;
    if name.trim().is_empty() {
        problems.add(part, NameRule::EmptyName { thing });
    } else if known.contains_key(name) {
        problems.add(part, NameRule::NameTaken { thing, name: name.to_owned() });
    } else {
        known.insert(name, identity);
    }
}

/// The known names that may be offered: the case only where nothing but capitals differ.
fn guesses<'n, T>(known: &'n HashMap<&str, T>, name: &str) -> impl Iterator<Item = &'n str> {
    let means_case = name.eq_ignore_ascii_case(CASE);
    known.keys().copied().filter(move |&known| known != CASE || means_case)
}
