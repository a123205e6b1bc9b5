//! Two sets of sun, ring and plain planets with members fast to one another.
//!
//! One behind the other with both rings held where it is easy, then with a common sun shaft, then coupled crosswise.
//! Each set has a train value of its own; the members that are fast tie the two together.

use super::super::buildable::{buildable, held_state, machine, meshes};
use super::super::problem::{Difficulty, Kind, Problem, Quantity};
use super::super::random::Dice;
use super::super::speeds::speed_parts;
use super::super::train_value::TrainValue;
use super::sense;
use crate::gearset::{Draft, DraftGear, DraftMember, DraftPins, DraftPlanet, DraftState, Pair};

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<Problem> {
    let mut draft = draft(dice);
    let (joins, state, output) = coupling(difficulty);
    draft.joins = joins.iter().map(|&[a, b]| Pair::of(a, b)).collect();
    draft.states.push(state);
    let set = buildable(draft)?;
    let train = |carrier, meshes: [[&str; 2]; 2]| TrainValue::through(&set, carrier, &meshes);
    let train_values =
        vec![train("carrier 1", [["S1", "P1"], ["P1", "R1"]])?, train("carrier 2", [["S2", "P2"], ["P2", "R2"]])?];
    let mut asks = vec![(0, Quantity::Speed(set.member_named(output)?))];
    if difficulty == Difficulty::Hard {
        asks.push((0, Quantity::Speed(set.member_named("carrier 1")?)));
    }
    let parts = speed_parts(&set, &train_values, &asks, dice, sense(difficulty))?;
    Some(Problem { kind: Kind::Coupled, difficulty, set, train_values, hidden: Vec::new(), parts })
}

/// What is fast to what, what is held and driven, and what comes out.
fn coupling(difficulty: Difficulty) -> (&'static [[&'static str; 2]], DraftState, &'static str) {
    match difficulty {
        Difficulty::Easy => {
            (&[["carrier 1", "sun S2"]], held_state(&["ring R1", "ring R2"], "sun S1", "carrier 2"), "carrier 2")
        }
        Difficulty::Medium => (
            &[["sun S1", "sun S2"], ["carrier 1", "ring R2"]],
            held_state(&["ring R1"], "sun S1", "carrier 2"),
            "carrier 2",
        ),
        Difficulty::Hard => (
            &[["carrier 1", "ring R2"], ["ring R1", "carrier 2"]],
            held_state(&["sun S2"], "sun S1", "carrier 2"),
            "carrier 2",
        ),
    }
}

fn draft(dice: &mut Dice) -> Draft {
    let mut draft = Draft { title: machine(dice), ..Draft::default() };
    for set in ["1", "2"] {
        let (sun, planet) = (dice.between(15, 36), dice.between(14, 30));
        let name = |word: &str| format!("{word}{set}");
        draft.members.extend([
            DraftMember::new(name("sun S"), [DraftGear::sun(name("S"), sun)]),
            DraftMember::new(name("ring R"), [DraftGear::ring(name("R"), sun + 2 * planet)]),
            DraftMember::new(name("carrier "), []),
        ]);
        let pins = DraftPins::Equal(dice.between(3, 4));
        let gears = [DraftGear::planet(name("P"), planet)];
        draft.planets.push(DraftPlanet::new(name("planet P"), name("carrier "), pins, gears));
        let [s, p, r] = ["S", "P", "R"].map(name);
        draft.meshes.extend(meshes(&[[&s, &p], [&p, &r]]));
    }
    draft
}
