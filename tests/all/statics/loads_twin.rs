//! Do torques balance, and are exactly those told that equilibrium determines?
//!
//! The slow twin writes the balance of every member as a dense row over all torques that a state
//! allows, brings the rows to reduced form over the fractions, and reads off which torques have one
//! value. Beside it stand the balance of every member and the principle of virtual work, as sums.

use num_traits::{One, Zero};
use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Action, Gearset, MemberId, Pair, Restraint, State};
use toothmark::kinematics::{Verdict, motions};
use toothmark::statics::{Balanced, LoadOptions, StateLoads, loads, power_given};

use crate::support::random::cases;
use crate::support::sets::{file_stems, read_example, vectors};
use crate::support::trains::train;

/// A torque that a state allows, with its coefficient on each member.
struct Unknown {
    on: Vec<(MemberId, i64)>,
}

/// The two members of whatever couples a pair.
fn couple(pair: Pair<MemberId>) -> Unknown {
    Unknown { on: vec![(pair.first, 1), (pair.second, -1)] }
}

fn mesh_unknown(set: &Gearset, mesh: usize) -> Unknown {
    let mesh = &set.meshes()[mesh];
    let [a, b] = mesh.gears().both().map(|&gear| set.gear(gear));
    let (z_a, z_b) = (a.signed_tooth_count(), b.signed_tooth_count());
    Unknown { on: vec![(a.member(), z_a), (b.member(), z_b), (mesh.carrier(), -z_a - z_b)] }
}

/// The ends of a state, each once: the input first.
fn ends(state: &State) -> Vec<MemberId> {
    let mut ends = vec![state.input, state.output];
    for restraint in &state.restraints {
        if let Restraint::Held(member) | Restraint::Turning(member, _) = restraint {
            ends.push(*member);
        }
    }
    let mut seen = Vec::new();
    ends.retain(|end| !seen.contains(end) && (seen.push(*end), true).1);
    ends
}

/// All torques of a state in the order: ends, controls of the state, joins of the state, joins for good, meshes.
fn unknowns(set: &Gearset, state: &State) -> Vec<Unknown> {
    let mut found: Vec<Unknown> = ends(state).into_iter().map(|end| Unknown { on: vec![(end, 1)] }).collect();
    for restraint in &state.restraints {
        if let Restraint::Control(control) = restraint {
            found.push(match set.control(*control).action() {
                Action::Band(member) => Unknown { on: vec![(member, 1)] },
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => couple(pair),
            });
        }
    }
    for restraint in &state.restraints {
        if let Restraint::Joined(pair) = restraint {
            found.push(couple(*pair));
        }
    }
    found.extend(set.joins().iter().map(|&pair| couple(pair)));
    found.extend((0..set.meshes().len()).map(|mesh| mesh_unknown(set, mesh)));
    found
}

/// Each torque for the torque 1 on the input, where it has one value; `None` if there is no balance.
fn dense(set: &Gearset, state: &State) -> Option<Vec<Option<Fraction>>> {
    let ideal: Vec<[Fraction; 2]> = vec![[Fraction::one(), Fraction::one()]; set.meshes().len()];
    dense_with(set, state, &ideal)
}

/// The same where each mesh puts a part of its torque, given for both gears, on their members.
pub(crate) fn dense_with(set: &Gearset, state: &State, parts: &[[Fraction; 2]]) -> Option<Vec<Option<Fraction>>> {
    let unknowns = unknowns(set, state);
    let first_mesh = unknowns.len() - parts.len();
    let count = unknowns.len();
    // One row a member, and one that says what the input has; the last column is the right side.
    let mut rows = vec![vec![Fraction::zero(); count + 1]; set.members().len()];
    for (column, unknown) in unknowns.iter().enumerate() {
        let part = |place: usize| {
            let coefficient = |place: usize| fraction(unknown.on[place].1, 1);
            match (column.checked_sub(first_mesh).map(|mesh| &parts[mesh]), place) {
                (None, _) => coefficient(place),
                (Some(parts), 0 | 1) => coefficient(place) * &parts[place],
                (Some(parts), _) => -(coefficient(0) * &parts[0] + coefficient(1) * &parts[1]),
            }
        };
        for (place, (member, _)) in unknown.on.iter().enumerate() {
            rows[member.index()][column] += part(place);
        }
    }
    // What acts on the case needs no balance.
    rows[0].fill(Fraction::zero());
    rows[0][0] = Fraction::one();
    rows[0][count] = Fraction::one();
    let mut pivots = Vec::new();
    for column in 0..count {
        let at = pivots.len();
        let Some(row) = (at..rows.len()).find(|&row| !rows[row][column].is_zero()) else { continue };
        rows.swap(at, row);
        let pivot = rows[at][column].clone();
        rows[at].iter_mut().for_each(|entry| *entry = &*entry / &pivot);
        let pivot_row = rows[at].clone();
        for (_, row) in rows.iter_mut().enumerate().filter(|(row, _)| *row != at) {
            let factor = row[column].clone();
            if !factor.is_zero() {
                row.iter_mut().zip(&pivot_row).for_each(|(entry, pivot)| *entry = &*entry - &factor * pivot);
            }
        }
        pivots.push(column);
    }
    if rows[pivots.len()..].iter().any(|row| !row[count].is_zero()) {
        return None;
    }
    let mut values = vec![None; count];
    for (row, &column) in rows.iter().zip(&pivots) {
        if (0..count).all(|other| other == column || row[other].is_zero()) {
            values[column] = Some(row[count].clone());
        }
    }
    Some(values)
}

/// The same torques from the answer of the library.
fn told(set: &Gearset, state: &State, loads: &StateLoads) -> Vec<Option<Fraction>> {
    let applied = state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Control(control) => Some(loads.control(*control).torque.clone()),
        Restraint::Held(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
    });
    let for_good = set.joins().len();
    let joins = loads.joins[for_good..].iter().chain(&loads.joins[..for_good]).map(|load| load.torque.clone());
    let meshes = loads.meshes.iter().map(|load| load.torque_per_tooth.clone());
    applied.chain(joins).chain(meshes).collect()
}

/// The torque from outside on a member: the sum of all that is not between members.
pub(crate) fn outside(set: &Gearset, state: &State, member: MemberId, values: &[Option<Fraction>]) -> Option<Fraction> {
    let meshes = set.meshes().len();
    let unknowns = unknowns(set, state);
    let not_meshes = unknowns[..unknowns.len() - meshes].iter().zip(values);
    let mut sum = Fraction::zero();
    for (unknown, value) in not_meshes {
        let between = unknown.on.len() == 2 && unknown.on.iter().all(|(member, _)| *member != MemberId::CASE);
        for &(_, coefficient) in unknown.on.iter().filter(|(on, _)| *on == member && !between) {
            sum += value.as_ref()? * fraction(coefficient, 1);
        }
    }
    Some(sum)
}

#[track_caller]
fn agrees_with_the_twin(case: &str, set: &Gearset) {
    for (state, loads) in set.states().iter().zip(loads(set, &LoadOptions::default())) {
        let case = format!("{case}, {:?}", state.name);
        let Some(values) = dense(set, state) else {
            assert_eq!(loads.balanced, Balanced::WithoutTorque, "{case}");
            assert!(loads.members.iter().all(|load| load.torque.is_none()), "{case}: {:?}", loads.members);
            continue;
        };
        let inner = ends(state).len();
        assert_eq!(told(set, state, &loads), values[inner..], "{case}");
        // Controls on the same members act on them with their sum, which one of them alone would have.
        let alone = without_repeated_controls(set, state);
        let summed = dense(set, &alone).expect("what one of them holds is held");
        for load in &loads.members {
            assert_eq!(load.torque, outside(set, &alone, load.member, &summed), "{case}: {load:?}");
        }
        let determined = values.iter().all(Option::is_some);
        assert_eq!(loads.balanced == Balanced::Determined, determined, "{case}: {:?}", loads.balanced);
        let mounts = mounts(set, state, &values);
        // Where torques are open the sum of one side may be known without that of the other.
        if determined || (mounts.is_some() && loads.mounts.is_some()) {
            assert_eq!(loads.mounts, mounts, "{case}: mounts");
        }
        in_balance(&case, set, state, &loads);
    }
}

/// The state without controls that act on the same members as one before them.
fn without_repeated_controls(set: &Gearset, state: &State) -> State {
    let mut seen: Vec<Pair<MemberId>> = Vec::new();
    let mut alone = state.clone();
    alone.restraints.retain(|restraint| {
        let Restraint::Control(control) = restraint else { return true };
        let members = set.control(*control).made_one();
        !seen.contains(&members) && (seen.push(members), true).1
    });
    alone
}

/// What the case needs so that all that acts on it adds up to zero: whatever holds a member to it has
/// the opposite on it. Not where a state holds its own input or output, which is one torque then.
fn mounts(set: &Gearset, state: &State, values: &[Option<Fraction>]) -> Option<Fraction> {
    let driven = |member: MemberId| {
        let turning = |one: &Restraint| matches!(one, Restraint::Turning(turning, _) if *turning == member);
        member == state.input || member == state.output || state.restraints.iter().any(turning)
    };
    let ends = ends(state);
    let mut sum = Fraction::zero();
    for (index, (unknown, value)) in unknowns(set, state).iter().zip(values).enumerate() {
        let held = index < ends.len() && !driven(ends[index]);
        let band = index >= ends.len() && unknown.on.len() == 1;
        // What a bevel mesh puts on a shaft across the main axis is no torque about that axis: the case has the
        // opposite of what the other gear has.
        let is_across = |member: MemberId| set.carrier_of(member).is_some() && set.is_bevel(member);
        let on_case_alone = unknown.on.iter().any(|(member, _)| *member == MemberId::CASE);
        let across = unknown.on.iter().filter(|(member, _)| on_case_alone && is_across(*member));
        let on_case = unknown.on.iter().filter(|(member, _)| *member == MemberId::CASE).chain(across);
        let opposite = unknown.on.iter().filter(|(member, _)| (held || band) && !is_across(*member));
        for (coefficient, sign) in on_case.map(|on| (on.1, 1)).chain(opposite.map(|on| (on.1, -1))) {
            sum -= value.as_ref()? * fraction(sign * coefficient, 1);
        }
    }
    Some(sum)
}

/// Everything that acts on a member adds up to zero, and the power of everything from outside as well.
#[track_caller]
fn in_balance(case: &str, set: &Gearset, state: &State, loads: &StateLoads) {
    let mut sums: Vec<Option<Fraction>> =
        std::iter::once(None).chain(loads.members.iter().map(|load| load.torque.clone())).collect();
    let mut add = |member: MemberId, torque: Option<Fraction>| {
        let sum = &mut sums[member.index()];
        *sum = sum.take().zip(torque).map(|(sum, torque)| sum + torque);
    };
    let mut between = |pair: Pair<MemberId>, torque: &Option<Fraction>| {
        if pair.first != MemberId::CASE && pair.second != MemberId::CASE {
            add(pair.first, torque.clone());
            add(pair.second, torque.as_ref().map(|torque| -torque));
        }
    };
    for load in &loads.controls {
        if let Action::Clutch(pair) | Action::OneWayClutch(pair, _) = set.control(load.control).action() {
            between(pair, &load.torque);
        }
    }
    loads.joins.iter().for_each(|load| between(load.members, &load.torque));
    for load in &loads.meshes {
        let members = mesh_unknown(set, load.mesh.index()).on;
        for (index, (member, _)) in members.into_iter().enumerate() {
            add(member, load.torques(set).map(|torques| torques[index].clone()));
        }
    }
    for (member, sum) in sums.iter().enumerate().skip(1) {
        assert!(sum.as_ref().is_none_or(Zero::is_zero), "{case}: {member} has {sum:?} left");
    }
    if let (Verdict::Drives { .. }, Balanced::Determined) = (&loads.motion.verdict, loads.balanced) {
        let power: Option<Fraction> = loads.members.iter().map(|load| load.power.clone()).sum();
        assert_eq!(power, Some(Fraction::zero()), "{case}: power is made or lost");
        assert_eq!(loads.member(state.input).power, Some(Fraction::one()), "{case}");
        for load in &loads.meshes {
            let [Some(first), Some(second), Some(carrier)] = &power_given(set, loads, load.mesh) else { continue };
            assert!((first + second + carrier).is_zero(), "{case}: {load:?}");
        }
    }
}

#[test]
fn every_gearset_has_the_torques_of_the_twin() {
    for name in file_stems("gearsets") {
        agrees_with_the_twin(&name, &read_example(&name));
    }
    for (index, set) in vectors().iter().enumerate() {
        agrees_with_the_twin(&format!("vector {index}"), set);
    }
}

/// Without losses the torques are the speeds turned round: load times output speed is the input power.
#[test]
fn in_every_gearset_the_load_on_the_output_is_the_ratio_with_its_sign_turned() {
    let mut seen = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        for (motion, loads) in motions(&set).iter().zip(loads(&set, &LoadOptions::default())) {
            let second_drive = set
                .state_named(&motion.state)
                .is_some_and(|state| state.restraints.iter().any(|one| matches!(one, Restraint::Turning(..))));
            let Some(ratio) = motion.verdict.ratio().filter(|_| !second_drive) else { continue };
            assert_eq!(loads.member(motion.output).torque, Some(-ratio), "{name}, {:?}", motion.state);
            seen += 1;
        }
    }
    assert!(seen > 80, "only {seen} states drive");
}

proptest! {
    #![proptest_config(cases(250))]

    #[test]
    fn random_trains_have_the_torques_of_the_twin(draft in train()) {
        if let Ok(set) = Gearset::new(draft) {
            agrees_with_the_twin("random", &set);
        }
    }

    #[test]
    fn another_torque_on_the_input_changes_every_torque_in_proportion(draft in train(), torque in -50_i64..50) {
        prop_assume!(torque != 0);
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        let torque = fraction(torque, 7);
        let one = loads(&set, &LoadOptions::default());
        for (one, other) in one.iter().zip(loads(&set, &LoadOptions { torque: torque.clone() })) {
            for (one, other) in one.members.iter().zip(&other.members) {
                prop_assert_eq!(one.torque.as_ref().map(|one| one * &torque), other.torque.clone());
                prop_assert_eq!(&one.power, &other.power);
            }
        }
    }
}
