//! Stepped planets between a sun and a ring, or between two suns.
//!
//! All gears are of one module, so that both meshes have one distance between their axes: the last count follows
//! from the other three.

use super::super::buildable::{machine, meshes};
use super::super::problem::{Difficulty, PracticeKind, PracticeProblem};
use super::super::random::Dice;
use super::ThreeWay;
use crate::gearset::{Draft, DraftGear, DraftMember, DraftPins, DraftPlanet, GearKind};

pub(super) const PLANET: &str = "stepped planet";

/// A gearset without states, with the names of its central members and the way between them.
pub(super) struct Stepped {
    pub(super) draft: Draft,
    pub(super) members: [&'static str; 3],
    pub(super) way: [[&'static str; 2]; 2],
}

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let Stepped { draft, members, way } = either(dice)?;
    ThreeWay { draft, members, way: &way, planet: PLANET }.problem(PracticeKind::Stepped, difficulty, dice)
}

/// One or the other.
pub(super) fn either(dice: &mut Dice) -> Option<Stepped> {
    if dice.toss() { with_ring(dice) } else { with_two_suns(dice) }
}

/// Sun S with P, ring R with Q: S + P = R - Q.
pub(super) fn with_ring(dice: &mut Dice) -> Option<Stepped> {
    let (sun, large, small) = (dice.between(15, 36), dice.between(18, 42), dice.between(14, 30));
    let draft = draft(dice, [DraftGear::sun("S", sun), DraftGear::ring("R", sun + large + small)], [large, small]);
    let stepped = Stepped { draft, members: ["sun S", "ring R", "carrier"], way: [["S", "P"], ["Q", "R"]] };
    (large != small).then_some(stepped)
}

/// Sun A with P, sun B with Q: A + P = B + Q.
fn with_two_suns(dice: &mut Dice) -> Option<Stepped> {
    let (first, planet) = (dice.between(18, 48), dice.between(16, 36));
    let second = first + dice.between(-12, 12);
    let draft =
        draft(dice, [DraftGear::sun("A", first), DraftGear::sun("B", second)], [planet, first + planet - second]);
    let stepped = Stepped { draft, members: ["sun A", "sun B", "carrier"], way: [["A", "P"], ["Q", "B"]] };
    (first != second).then_some(stepped)
}

fn draft(dice: &mut Dice, [first, last]: [DraftGear; 2], [p, q]: [i64; 2]) -> Draft {
    let name = |gear: &DraftGear| {
        let kind = if gear.kind == GearKind::Internal { "ring" } else { "sun" };
        format!("{kind} {}", gear.name)
    };
    let pins = DraftPins::Equal(dice.between(2, 4));
    let gears = [DraftGear::planet("P", p), DraftGear::planet("Q", q)];
    Draft {
        title: machine(dice),
        meshes: meshes(&[[&first.name, "P"], ["Q", &last.name]]),
        members: vec![
            DraftMember::new(name(&first), [first]),
            DraftMember::new(name(&last), [last]),
            DraftMember::new("carrier", []),
        ],
        planets: vec![DraftPlanet::new(PLANET, "carrier", pins, gears)],
        ..Draft::default()
    }
}
