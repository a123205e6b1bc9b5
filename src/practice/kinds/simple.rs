//! Sun, ring and plain planets: ring = sun + 2 planets, all of one module.
//!
//! Any of the three members is held, another drives; where it is hard two of them are driven. The same drafts
//! serve the questions about tooth counts, torques and assembly.

use super::super::buildable::{machine, meshes};
use super::super::problem::{Difficulty, PracticeKind, PracticeProblem};
use super::super::random::Dice;
use super::ThreeWay;
use crate::gearset::{Draft, DraftGear, DraftMember, DraftPins, DraftPlanet};

pub(super) const MEMBERS: [&str; 3] = ["sun S", "ring R", "carrier"];
pub(super) const WAY: [[&str; 2]; 2] = [["S", "P"], ["P", "R"]];

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let draft = draft(dice);
    ThreeWay { draft, members: MEMBERS, way: &WAY, planet: "planet P" }.problem(PracticeKind::Simple, difficulty, dice)
}

/// A gearset without states; whether its planets go together is left open.
pub(super) fn draft(dice: &mut Dice) -> Draft {
    let (sun, planet) = (dice.between(14, 42), dice.between(14, 36));
    let pins = dice.between(3, 5);
    Draft {
        title: machine(dice),
        members: vec![
            DraftMember::new("sun S", [DraftGear::sun("S", sun)]),
            DraftMember::new("ring R", [DraftGear::ring("R", sun + 2 * planet)]),
            DraftMember::new("carrier", []),
        ],
        planets: vec![DraftPlanet::new(
            "planet P",
            "carrier",
            DraftPins::Equal(pins),
            [DraftGear::planet("P", planet)],
        )],
        meshes: meshes(&[["S", "P"], ["P", "R"]]),
        ..Draft::default()
    }
}
