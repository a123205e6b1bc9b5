//! Clusters of three gears on the pins of a flywheel, three suns, and bands on two of their drums.
//!
//! The flywheel carries the clusters and drives. Each band gives a state of its own: one drum held turns the driven
//! one slowly forward, the other turns it backward.

use super::super::buildable::{buildable, meshes};
use super::super::problem::{Difficulty, PracticeKind, PracticeProblem, Quantity};
use super::super::random::Dice;
use super::super::speeds::{Ask, speed_parts};
use super::super::train_value::TrainValue;
use super::sense;
use crate::gearset::{Draft, DraftControl, DraftGear, DraftMember, DraftPins, DraftPlanet, DraftState, Gearset};

/// The state with the low band, and that with the reverse band.
pub(super) const LOW: usize = 0;
pub(super) const REVERSE: usize = 1;

pub(super) fn draw(difficulty: Difficulty, dice: &mut Dice) -> Option<PracticeProblem> {
    let set = buildable(draft(dice))?;
    let train_values = train_values(&set)?;
    let [output, low, reverse] =
        ["driven drum", "low drum", "reverse drum"].map(|name| set.member_named(name).map(Quantity::Speed));
    let ask = |state, quantity: Option<Quantity>| Some(Ask { state, quantity: quantity? });
    let (state, idle_drum) = if dice.toss() { (LOW, reverse) } else { (REVERSE, low) };
    let asks = match difficulty {
        Difficulty::Easy => vec![ask(state, output)?],
        Difficulty::Medium => vec![ask(LOW, output)?, ask(REVERSE, output)?],
        Difficulty::Hard => vec![ask(LOW, output)?, ask(REVERSE, output)?, ask(state, idle_drum)?],
    };
    let parts = speed_parts(&set, &train_values, &asks, dice, sense(difficulty))?;
    Some(PracticeProblem::drawn(PracticeKind::Cluster, difficulty, set, train_values, parts))
}

/// From the driven drum to that of either band.
pub(super) fn train_values(set: &Gearset) -> Option<Vec<TrainValue>> {
    let to_drum = |gear, sun| TrainValue::through(set, "flywheel", &[["D", "d"], [gear, sun]]);
    Some(vec![to_drum("l", "L")?, to_drum("r", "R")?])
}

/// A gearset of one sum of teeth: D + d = L + l = R + r. A band gives a lower speed forward where its drum
/// has fewer teeth than the driven one, and reverse where it has more.
pub(super) fn draft(dice: &mut Dice) -> Draft {
    const MACHINES: [&str; 4] =
        ["A works railcar", "A shunting tractor", "A slipway winch for two speeds", "A narrow-gauge ballast car"];
    let (driven, sum) = (dice.between(21, 30), dice.between(48, 66));
    let (low, reverse) = (driven - dice.between(3, 8), driven + dice.between(2, 7));
    let cluster = [("d", sum - driven), ("l", sum - low), ("r", sum - reverse)];
    let drum = |name: &str, gear, count| DraftMember::new(name, [DraftGear::sun(gear, count)]);
    Draft {
        title: dice.pick(&MACHINES).unwrap_or_default().to_owned(),
        input: Some("flywheel".into()),
        output: Some("driven drum".into()),
        members: vec![
            DraftMember::new("flywheel", []),
            drum("driven drum", "D", driven),
            drum("low drum", "L", low),
            drum("reverse drum", "R", reverse),
        ],
        planets: vec![DraftPlanet::new(
            "cluster",
            "flywheel",
            DraftPins::Equal(3),
            cluster.map(|(name, count)| DraftGear::planet(name, count)),
        )],
        meshes: meshes(&[["D", "d"], ["L", "l"], ["R", "r"]]),
        controls: vec![DraftControl::band("low band", "low drum"), DraftControl::band("reverse band", "reverse drum")],
        states: vec![DraftState::apply("low", ["low band"]), DraftState::apply("reverse", ["reverse band"])],
        ..Draft::default()
    }
}
