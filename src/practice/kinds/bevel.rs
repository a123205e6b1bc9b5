//! Bevel planets between two side gears, two of them on pins square to the main axis.
//!
//! Plain planets between equal side gears where it is easy, stepped planets between unequal ones where it is hard.
//! Every planet gear is smaller than its side gear, so that the two planets do not touch.

use super::super::buildable::{machine, meshes};
use super::super::problem::{Difficulty, PracticeKind, PracticeProblem};
use super::super::random::Dice;
use super::ThreeWay;
use crate::gearset::{Draft, DraftGear, DraftMember, DraftPins, DraftPlanet, Side};

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let side = dice.between(20, 48);
    let planet = dice.between(13, side - 3);
    let is_stepped = difficulty == Difficulty::Hard || (difficulty == Difficulty::Medium && dice.toss());
    let members = ["side gear A", "side gear B", "cage"];
    if !is_stepped {
        let draft = draft(dice, [side, side], vec![DraftGear::bevel_planet("P", planet)]);
        let way = [["A", "P"], ["P", "B"]];
        return ThreeWay { draft, members, way: &way, planet: "planet P" }.problem(
            PracticeKind::Bevel,
            difficulty,
            dice,
        );
    }
    let other_side = dice.between(20, 48);
    let small = dice.between(13, other_side - 3);
    if small == planet {
        return None;
    }
    let gears = vec![DraftGear::bevel_planet("P", planet), DraftGear::bevel_planet("Q", small)];
    let draft = draft(dice, [side, other_side], gears);
    let way = [["A", "P"], ["Q", "B"]];
    ThreeWay { draft, members, way: &way, planet: "stepped planet" }.problem(PracticeKind::Bevel, difficulty, dice)
}

fn draft(dice: &mut Dice, sides: [i64; 2], gears: Vec<DraftGear>) -> Draft {
    const MACHINES: [&str; 4] =
        ["The back axle of a delivery van", "A rope-walk machine", "A dough mixer", "The drive of a rotary screen"];
    let (name, last) = if gears.len() == 1 { ("planet P", "P") } else { ("stepped planet", "Q") };
    let machine = if gears.len() == 1 { dice.pick(&MACHINES).unwrap_or_default().to_owned() } else { machine(dice) };
    Draft {
        title: machine,
        members: vec![
            DraftMember::new("side gear A", [DraftGear::bevel("A", sides[0], Side::Input)]),
            DraftMember::new("side gear B", [DraftGear::bevel("B", sides[1], Side::Output)]),
            DraftMember::new("cage", []),
        ],
        meshes: meshes(&[["A", "P"], [last, "B"]]),
        planets: vec![DraftPlanet::new(name, "cage", DraftPins::Equal(2), gears)],
        ..Draft::default()
    }
}
