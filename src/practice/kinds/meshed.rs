//! Planets in pairs: P meshes with the sun and with Q, Q meshes with the ring.
//!
//! The train value from sun to ring is positive, and neither planet is in it. Counts are free within what leaves the
//! triangle of sun, P and Q its angles, so that the room between neighbours is tried on the gearset itself.

use super::super::buildable::{machine, meshes};
use super::super::problem::{Difficulty, PracticeKind, PracticeProblem};
use super::super::random::Dice;
use super::ThreeWay;
use crate::gearset::{Draft, DraftGear, DraftMember, DraftPins, DraftPlanet};

pub(super) const MEMBERS: [&str; 3] = ["sun S", "ring R", "carrier"];
pub(super) const WAY: [[&str; 2]; 3] = [["S", "P"], ["P", "Q"], ["Q", "R"]];

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let draft = draft(dice)?;
    ThreeWay { draft, members: MEMBERS, way: &WAY, planet: "planet P" }.problem(PracticeKind::Meshed, difficulty, dice)
}

/// A gearset without states whose pairs go together by the rule that ring less sun is a multiple of their
/// number. The pins stand where the axes of sun, P and Q make a triangle.
pub(super) fn draft(dice: &mut Dice) -> Option<Draft> {
    let (sun, p, q) = (dice.between(18, 42), dice.between(14, 24), dice.between(14, 24));
    let ring = sun + p + q + dice.between(4, 26);
    let pins = dice.between(2, 4);
    let planet = |name: &str, gear, count| {
        DraftPlanet::new(name, "carrier", DraftPins::Equal(pins), [DraftGear::planet(gear, count)])
    };
    ((ring - sun) % pins == 0).then(|| Draft {
        title: machine(dice),
        members: vec![
            DraftMember::new("sun S", [DraftGear::sun("S", sun)]),
            DraftMember::new("ring R", [DraftGear::ring("R", ring)]),
            DraftMember::new("carrier", []),
        ],
        planets: vec![planet("planet P", "P", p), planet("planet Q", "Q", q)],
        meshes: meshes(&WAY),
        ..Draft::default()
    })
}
