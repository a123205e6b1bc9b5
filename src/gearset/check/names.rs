//! Names: each given once, and each that is used is known.
//!
//! The first bearer of a name keeps it, so that one doubled name gives one problem. An
//! unknown name is answered with the nearest known one, by edit distance.

use std::collections::HashMap;

use crate::gearset::draft::CASE;
use crate::gearset::{ControlId, GearId, MemberId};
use crate::gearset::{Draft, DraftGear, NameRule, PartKind, Problems, Spanned, nearest_name};

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
            add(&mut names.controls, &control.name, ControlId(index), PartKind::Control, problems);
        }
        let mut states = HashMap::<&str, usize>::new();
        for (index, state) in draft.states.iter().enumerate() {
            add(&mut states, &state.name, index, PartKind::State, problems);
        }
        names
    }

    fn gather_bodies(&mut self, draft: &'d Draft, problems: &mut Problems) {
        for (index, member) in draft.members.iter().enumerate() {
            if member.name == *CASE {
                problems.add(member.name.mark(), NameRule::CaseIsTaken { thing: PartKind::Member });
            } else {
                let identity = member_of(draft, Owner::Member(index));
                add(&mut self.members, &member.name, identity, PartKind::Member, problems);
            }
        }
        for (index, planet) in draft.planets.iter().enumerate() {
            if planet.name == *CASE {
                problems.add(planet.name.mark(), NameRule::CaseIsTaken { thing: PartKind::Planet });
                continue;
            }
            match self.members.get(planet.name.as_str()) {
                Some(member) if member.index() <= draft.members.len() => {
                    let rule = NameRule::PlanetNamedAsMember { name: planet.name.to_string() };
                    problems.add(planet.name.mark(), rule);
                }
                _ => {
                    let identity = member_of(draft, Owner::Planet(index));
                    add(&mut self.members, &planet.name, identity, PartKind::Planet, problems);
                }
            }
        }
    }

    fn gather_gears(&mut self, draft: &'d Draft, problems: &mut Problems) {
        for (number, listed) in gears_of(draft).enumerate() {
            add(&mut self.gears, &listed.gear.name, GearId(number), PartKind::Gear, problems);
        }
    }

    pub(super) fn member(&self, name: &Spanned<String>, problems: &mut Problems) -> Option<MemberId> {
        self.find(&self.members, name, PartKind::Member, problems)
    }

    /// The body of this name where that of a planet belongs.
    pub(super) fn planet(&self, name: &Spanned<String>, problems: &mut Problems) -> Option<MemberId> {
        self.find(&self.members, name, PartKind::Planet, problems)
    }

    pub(super) fn gear(&self, name: &Spanned<String>, problems: &mut Problems) -> Option<GearId> {
        self.find(&self.gears, name, PartKind::Gear, problems)
    }

    pub(super) fn control(&self, name: &Spanned<String>, problems: &mut Problems) -> Option<ControlId> {
        self.find(&self.controls, name, PartKind::Control, problems)
    }

    fn find<T: Copy>(
        &self,
        known: &HashMap<&str, T>,
        name: &Spanned<String>,
        thing: PartKind,
        problems: &mut Problems,
    ) -> Option<T> {
        let found = known.get(name.as_str()).copied();
        if found.is_none() {
            self.guesses.set(self.guesses.get() + 1);
            let nearest =
                (self.guesses.get() <= MOST_GUESSES).then(|| nearest_name(guesses(known, name), name)).flatten();
            problems.add(name.mark(), NameRule::Unknown { thing, name: name.to_string(), nearest });
        }
        found
    }
}

/// Whose gear: that of a member on the main axis or of a planet, by its number in the draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Owner {
    Member(usize),
    Planet(usize),
}

/// A gear of a draft with its owner.
pub(super) struct ListedGear<'d> {
    pub(super) owner: Owner,
    pub(super) gear: &'d DraftGear,
}

/// Every gear of a draft, in the order that gives them their identities.
pub(super) fn gears_of(draft: &Draft) -> impl Iterator<Item = ListedGear<'_>> {
    let of_members = draft.members.iter().enumerate().map(|(index, member)| (Owner::Member(index), &member.gears));
    let of_planets = draft.planets.iter().enumerate().map(|(index, planet)| (Owner::Planet(index), &planet.gears));
    of_members.chain(of_planets).flat_map(|(owner, gears)| gears.iter().map(move |gear| ListedGear { owner, gear }))
}

/// The identity that a member or planet of the draft gets: the case comes first.
pub(super) fn member_of(draft: &Draft, owner: Owner) -> MemberId {
    match owner {
        Owner::Member(index) => MemberId(1 + index),
        Owner::Planet(index) => MemberId(1 + draft.members.len() + index),
    }
}

fn add<'d, T>(
    known: &mut HashMap<&'d str, T>,
    name: &'d Spanned<String>,
    identity: T,
    thing: PartKind,
    problems: &mut Problems,
) {
    if let Some(rule) = unfit(name, thing) {
        problems.add(name.mark(), rule);
    }
    if known.contains_key(name.as_str()) {
        problems.add(name.mark(), NameRule::NameTaken { thing, name: name.to_string() });
    } else {
        known.insert(name, identity);
    }
}

/// Why a text can be no name. Blanks around a name are typed freely in options and readings, so that one which is part of it
/// would be lost: the sheet of a job could not be made where a gear was called so.
pub(super) fn unfit(name: &str, thing: PartKind) -> Option<NameRule> {
    if name.trim().is_empty() {
        return Some(NameRule::EmptyName { thing });
    }
    (name.trim() != name).then(|| NameRule::BlankAtEnd { name: name.to_owned() })
}

/// The known names that may be offered: the case only where nothing but capitals differ.
fn guesses<'n, T>(known: &'n HashMap<&str, T>, name: &str) -> impl Iterator<Item = &'n str> {
    let means_case = name.eq_ignore_ascii_case(CASE);
    known.keys().copied().filter(move |&known| known != CASE || means_case)
}
