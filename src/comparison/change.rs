//! Which parts have to be made or bought anew for another gearset?
//!
//! A body is changed by another tooth count, or another kind, of a gear on it, and a carrier by another number
//! or place of pins. Planets count once for each pin. Bodies are the same where their names are.

use serde::Serialize;

use crate::clearance::{PinCircles, SAME_DISTANCE};
use crate::gearset::{Gear, Gearset, Member, MemberId, Place, PlanetGroup};

/// A part that differs between two gearsets.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(tag = "change", rename_all = "lowercase")]
pub enum PartChange {
    /// Only the first has it.
    Gone {
        /// Its name.
        member: String,
    },
    /// Only the second has it.
    New {
        /// Its name.
        member: String,
        /// How many pieces.
        pieces: usize,
    },
    /// Gears on it differ.
    Teeth {
        /// Its name.
        member: String,
        /// How many pieces the second has.
        pieces: usize,
        /// The gears that differ.
        gears: Vec<TeethChange>,
    },
    /// The pins on a carrier stand elsewhere.
    Pins {
        /// The carrier.
        carrier: String,
        /// The planet whose pins they are.
        planet: String,
        /// How many pins there were, and are.
        count: [usize; 2],
        /// The radius of their circle before and after, in millimetres, or in modules where no
        /// pitch is given; `None` where it does not follow from the description.
        radius: Option<[f64; 2]>,
        /// Whether that is in millimetres.
        in_millimetres: bool,
    },
}

/// A gear that differs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct TeethChange {
    /// Its name.
    pub gear: String,
    /// The teeth before; `None` for a gear that was not there.
    pub before: Option<u16>,
    /// The teeth after; `None` for one that is gone.
    pub after: Option<u16>,
}

impl PartChange {
    /// The name of the part.
    pub fn part(&self) -> &str {
        match self {
            Self::Gone { member } | Self::New { member, .. } | Self::Teeth { member, .. } => member,
            Self::Pins { carrier, .. } => carrier,
        }
    }
}

/// The parts that differ between two gearsets, in the order of the first; what is new comes last.
///
/// # Examples
/// ```
/// use toothmark::{comparison::{PartChange, changes}, description};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let gears = ["L", "l"].map(|name| set.gear_named(name).unwrap());
/// let changed = set.with_tooth_counts(gears.into_iter().zip([21, 36])).unwrap();
/// let parts = changes(&set, &changed);
/// let [PartChange::Teeth { member, pieces: 1, .. }, PartChange::Teeth { pieces: 3, .. }] = &parts[..] else {
///     panic!("the low drum and three clusters")
/// };
/// assert_eq!(member, "low drum");
/// ```
pub fn changes(before: &Gearset, after: &Gearset) -> Vec<PartChange> {
    let mut found = Vec::new();
    for id in before.member_ids().skip(1) {
        let member = before.member(id);
        match after.member_named(member.name()) {
            None => found.push(PartChange::Gone { member: member.name().to_owned() }),
            Some(other) => found.extend(changed_body([before, after], [id, other])),
        }
    }
    for id in after.member_ids().skip(1) {
        let member = after.member(id);
        if before.member_named(member.name()).is_none() {
            found.push(PartChange::New { member: member.name().to_owned(), pieces: pieces(member) });
        }
    }
    found
}

fn changed_body(sets: [&Gearset; 2], ids: [MemberId; 2]) -> Vec<PartChange> {
    let [before, after] = [0, 1].map(|at| sets[at].member(ids[at]));
    let gears = changed_gears(sets, [before, after]);
    let mut found = Vec::new();
    if !gears.is_empty() {
        found.push(PartChange::Teeth { member: after.name().to_owned(), pieces: pieces(after), gears });
    }
    found.extend(changed_pins(sets, ids));
    found
}

fn changed_gears(sets: [&Gearset; 2], members: [&Member; 2]) -> Vec<TeethChange> {
    let gears = |at: usize| -> Vec<&Gear> { members[at].gears().iter().map(|&gear| sets[at].gear(gear)).collect() };
    let [before, after] = [gears(0), gears(1)];
    let count = |gear: &Gear| gear.tooth_count().get();
    let named = |gears: &[&Gear], name: &str| gears.iter().find(|gear| gear.name() == name).copied().cloned();
    let mut found = Vec::new();
    for gear in &before {
        let other = named(&after, gear.name());
        if other.as_ref().is_none_or(|other| count(other) != count(gear) || other.kind() != gear.kind()) {
            found.push(TeethChange {
                gear: gear.name().to_owned(),
                before: Some(count(gear)),
                after: other.as_ref().map(count),
            });
        }
    }
    let new = after.iter().filter(|gear| named(&before, gear.name()).is_none());
    found.extend(new.map(|gear| TeethChange { gear: gear.name().to_owned(), before: None, after: Some(count(gear)) }));
    found
}

fn changed_pins(sets: [&Gearset; 2], ids: [MemberId; 2]) -> Option<PartChange> {
    let [Place::Pin { pins: before, .. }, Place::Pin { pins: after, carrier }] =
        [0, 1].map(|at| sets[at].member(ids[at]).place())
    else {
        return None;
    };
    // A radius in millimetres and one in modules cannot be compared.
    let (radius, in_millimetres) = match [0, 1].map(|at| pin_radius(sets[at], ids[at])) {
        [Some((before, in_millimetres)), Some((after, also))] if in_millimetres == also => {
            (Some([before, after]), in_millimetres)
        }
        _ => (None, false),
    };
    let moved = before != after || radius.is_some_and(|[before, after]| (before - after).abs() > SAME_DISTANCE);
    moved.then(|| PartChange::Pins {
        carrier: sets[1].member(*carrier).name().to_owned(),
        planet: sets[1].member(ids[1]).name().to_owned(),
        count: [before.len(), after.len()],
        radius,
        in_millimetres,
    })
}

/// The radius of a planet's pin circle, as far as it follows from the description, and whether it is in millimetres.
fn pin_radius(set: &Gearset, planet: MemberId) -> Option<(f64, bool)> {
    let of_planet = |group: &&PlanetGroup| group.planets().contains(&planet);
    let group = set.planet_groups().iter().find(of_planet)?;
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    PinCircles::new(set, group).ok().map(|circles| (circles.radius(planet), has_pitch))
}

fn pieces(member: &Member) -> usize {
    match member.place() {
        Place::Case | Place::MainAxis => 1,
        Place::Pin { pins, .. } => pins.len(),
    }
}
