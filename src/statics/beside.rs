//! Which controls of a state make the same two bodies one?

use crate::gearset::{Bodies, ControlId, Gearset, MemberId, Pair, Restraint, State};

/// A control beside others: 1 if its first member is of the body of the first of them, else -1.
#[derive(Debug, Clone, Copy)]
pub(super) struct BesideOthers {
    pub(super) control: ControlId,
    pub(super) sign: i64,
}

/// The controls of a state that make the same two bodies one, where there are several.
pub(super) fn side_by_side(set: &Gearset, bodies: &Bodies, state: &State) -> Vec<Vec<BesideOthers>> {
    let mut found: Vec<(Pair<MemberId>, Vec<BesideOthers>)> = Vec::new();
    for restraint in &state.restraints {
        let Restraint::Control(control) = *restraint else { continue };
        let Pair { first, second } = set.control(control).made_one();
        let made_one = Pair { first: bodies.of(first), second: bodies.of(second) };
        let turned = Pair { first: made_one.second, second: made_one.first };
        match found.iter_mut().find(|(pair, _)| *pair == made_one || *pair == turned) {
            Some((pair, controls)) => {
                controls.push(BesideOthers { control, sign: if *pair == made_one { 1 } else { -1 } });
            }
            // What is one body for good needs no control.
            None if made_one.first == made_one.second => {}
            None => found.push((made_one, vec![BesideOthers { control, sign: 1 }])),
        }
    }
    found.into_iter().map(|(_, controls)| controls).filter(|controls| controls.len() > 1).collect()
}
