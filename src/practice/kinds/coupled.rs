//! Two sets of sun, ring and plain planets with members fast to one another.
//!
//! One behind the other with both rings held where it is easy, then with a common sun shaft, then coupled crosswise.
//! Each set has a train value of its own; the members that are fast tie the two together.

use super::super::buildable::{buildable, held_state, machine, meshes};
use super::super::problem::{Difficulty, PracticeKind, PracticeProblem, Quantity};
use super::super::random::Dice;
use super::super::speeds::{Ask, speed_parts};
use super::super::train_value::TrainValue;
use super::sense;
use crate::gearset::{Draft, DraftGear, DraftMember, DraftPins, DraftPlanet, Pair};

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let mut draft = draft(dice);
    let SetCoupling { joins, held } = coupling(difficulty);
    let output = "carrier 2";
    draft.joins = joins.iter().map(|&[a, b]| Pair::of(a, b)).collect();
    draft.states.push(held_state(held, "sun S1", output));
    let set = buildable(draft)?;
    let train = |carrier, meshes: [[&str; 2]; 2]| TrainValue::through(&set, carrier, &meshes);
    let train_values =
        vec![train("carrier 1", [["S1", "P1"], ["P1", "R1"]])?, train("carrier 2", [["S2", "P2"], ["P2", "R2"]])?];
    let speed_of = |name| Some(Ask { state: 0, quantity: Quantity::Speed(set.member_named(name)?) });
    let mut asks = vec![speed_of(output)?];
    if difficulty == Difficulty::Hard {
        asks.push(speed_of("carrier 1")?);
    }
    let parts = speed_parts(&set, &train_values, &asks, dice, sense(difficulty))?;
    Some(PracticeProblem::drawn(PracticeKind::Coupled, difficulty, set, train_values, parts))
}

/// How two sets are coupled; sun S1 drives and carrier 2 is driven.
struct SetCoupling {
    /// What is fast to what.
    joins: &'static [[&'static str; 2]],
    held: &'static [&'static str],
}

fn coupling(difficulty: Difficulty) -> SetCoupling {
    match difficulty {
        Difficulty::Easy => SetCoupling { joins: &[["carrier 1", "sun S2"]], held: &["ring R1", "ring R2"] },
        Difficulty::Medium => {
            SetCoupling { joins: &[["sun S1", "sun S2"], ["carrier 1", "ring R2"]], held: &["ring R1"] }
        }
        Difficulty::Hard => {
            SetCoupling { joins: &[["carrier 1", "ring R2"], ["ring R1", "carrier 2"]], held: &["sun S2"] }
        }
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
