//! Could somebody build this gearset, and does its question have numbers that a person can work with?
//!
//! A draft is taken only if it breaks no rule, goes together at its pins, has teeth enough on every gear and leaves
//! room between neighbours; a speed or torque only if every answer that follows from it is whole.

use super::random::Dice;
use crate::clearance::{NotPlaced, gaps};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Draft, DraftMesh, DraftState, GearKind, Gearset, Given, MeshId, PlanetGroup};
use crate::timing::all_assemble;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::ToPrimitive;

/// The least room between the tips of neighbours, in modules: no set stands just at the limit, so that
/// rounding decides nothing.
const LEAST_ROOM: f64 = 0.3;

/// The fewest teeth of any gear on a sheet.
pub(super) const FEWEST_TEETH: i64 = 13;

/// The gearset of a draft, if it breaks no rule, goes together and leaves room between neighbours.
pub(super) fn buildable(draft: Draft) -> Option<Gearset> {
    let set = Gearset::new(draft).ok()?;
    let counts_enough = set.gears().iter().all(|gear| i64::from(gear.tooth_count().get()) >= FEWEST_TEETH);
    let clears = set.planet_groups().iter().all(|group| clears(&set, group));
    (counts_enough && clears && all_assemble(&set)).then_some(set)
}

fn clears(set: &Gearset, group: &PlanetGroup) -> bool {
    match gaps(set, group) {
        Ok(gaps) => gaps.iter().all(|gap| gap.modules > LEAST_ROOM),
        // On crossed axes two planets face one another and cannot touch as long as each is smaller than
        // the side gear that it meshes with.
        Err(NotPlaced::Bevel(_)) => {
            group.places().len() == 2 && group.meshes().iter().all(|&mesh| is_smaller_on_the_pin(set, mesh))
        }
        Err(_) => false,
    }
}

fn is_smaller_on_the_pin(set: &Gearset, mesh: MeshId) -> bool {
    let [a, b] = set.mesh(mesh).gears().each().map(|gear| set.gear(gear));
    let (planet, side) = if a.kind() == GearKind::BevelPlanet { (a, b) } else { (b, a) };
    planet.tooth_count() < side.tooth_count()
}

/// Meshes by the names of their gears.
pub(super) fn meshes(pairs: &[[&str; 2]]) -> Vec<DraftMesh> {
    pairs.iter().map(|[a, b]| DraftMesh::of(*a, *b)).collect()
}

/// A state, named "asked", with these members held.
pub(super) fn held_state(held: &[&str], input: &str, output: &str) -> DraftState {
    let given = Given {
        held: held.iter().map(|&name| name.into()).collect(),
        input: Some(input.into()),
        output: Some(output.into()),
        ..Given::default()
    };
    DraftState::given("asked", given)
}

/// A machine for a gearset of any kind.
pub(super) fn machine(dice: &mut Dice) -> String {
    const MACHINES: [&str; 10] = [
        "A boathouse winch",
        "A workshop hoist",
        "A quarry wagon's wheel hub",
        "A grain mill",
        "A harbour capstan",
        "A yard turntable",
        "A brickworks conveyor",
        "A drainage pump",
        "A sawmill feed",
        "A bell ringer's hoist",
    ];
    dice.pick(&MACHINES).unwrap_or_default().to_owned()
}

/// A number for the input, of which every one of these shares is whole: from `low` to `high`, round where
/// that can be; `None` where there is none.
pub(super) fn whole_scale(dice: &mut Dice, shares: &[Fraction], low: i64, high: i64) -> Option<Fraction> {
    let common = shares.iter().fold(BigInt::from(1), |common, share| common.lcm(share.denom())).to_i64()?;
    let round = common.lcm(&10);
    let step = if round <= high / 2 { round } else { common };
    let (least, most) = ((low + step - 1) / step, high / step);
    (least <= most).then(|| fraction(step * dice.between(least, most), 1))
}
