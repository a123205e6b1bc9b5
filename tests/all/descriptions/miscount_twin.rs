//! Is every change of one gear and of two found that explains something, and nothing else?
//!
//! The twin tries all of them on gearsets described anew, and asks everything of each: sums of teeth by adding them,
//! assembly, room and ratios by the analyses of whole gearsets. Sets are those that close and assemble or nearly so, with
//! one or two counts spoilt.

use std::collections::BTreeMap;

use proptest::prelude::*;
use toothmark::clearance::{Gap, gaps};
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{
    CountedTurns, Draft, DraftPins, DraftState, DraftTurns, DraftTurnsOf, GearId, GearKind, Gearset, Given,
};
use toothmark::kinematics::{Verdict, motions};
use toothmark::miscount::{MOST_EXPLANATIONS, Miscount, miscounts};
use toothmark::quick::{StackNames, stack};

use crate::support::random::cases;
use crate::timing::timing_twin::pins_go_together;

/// A gear of the cluster with what it meshes with: sun, planet, ring.
#[derive(Debug, Clone, Copy)]
enum Plane {
    Sun(i64),
    Ring(i64),
    Both(i64),
}

fn plane() -> impl Strategy<Value = Plane> {
    prop_oneof![(9..25_i64).prop_map(Plane::Sun), (9..25_i64).prop_map(Plane::Ring), (9..25_i64).prop_map(Plane::Both)]
}

/// A stack whose sums are all one number.
fn typed(planes: &[Plane], sum: i64) -> String {
    let gear = |plane: &Plane| match *plane {
        Plane::Sun(planet) => format!("{}:{planet}", sum - planet),
        Plane::Ring(planet) => format!(":{planet}:{}", sum + planet),
        Plane::Both(planet) => format!("{}:{planet}:{}", sum - planet, sum + planet),
    };
    planes.iter().map(gear).collect::<Vec<_>>().join(" ")
}

/// Turns of the carrier for 16 of the first member with gears, the last one held, as they would be counted.
fn turns(draft: &Draft, counts: &Gearset) -> Option<(DraftState, DraftTurns)> {
    let of = |place: usize| draft.members[place].name.to_string();
    let last = draft.members.len() - 1;
    let carrier = draft.planets[0].carrier.to_string();
    let others: Vec<String> = (0..=last).map(of).filter(|name| *name != carrier).collect();
    let [first, .., held] = &others[..] else { return None };
    let given = Given {
        held: vec![held.as_str().into()],
        input: Some(carrier.as_str().into()),
        output: Some(first.as_str().into()),
        ..Given::default()
    };
    let state = DraftState::given("by hand", given);
    let mut with_state = counts.draft().clone();
    with_state.states = vec![state.clone()];
    let motions = motions(&Gearset::new(with_state).ok()?);
    let ratio = motions[0].verdict.ratio()?;
    let quarters = fraction(4, 1);
    let counted = (num_traits::Signed::abs(ratio) * fraction(16, 1) * &quarters).round() / quarters;
    (counted > fraction(1, 4)).then(|| {
        let member =
            |name: &String, turns: Fraction| DraftTurnsOf { member: name.as_str().into(), turns: turns.into() };
        let (first, second) = (member(&carrier, counted), member(first, fraction(16, 1)));
        (state, DraftTurns { held: vec![held.as_str().into()], first, second, within: None })
    })
}

/// What each piece of evidence says, in the order in which they are told.
fn says(set: &Gearset, interval: Option<&[Fraction; 2]>) -> Vec<Option<bool>> {
    let group = &set.planet_groups()[0];
    let sum = |&mesh: &toothmark::gearset::MeshId| {
        let [a, b] = set.mesh(mesh).gears().each().map(|gear| set.gear(gear));
        let [m, n] = [a, b].map(|gear| i64::from(gear.tooth_count().get()));
        if a.kind() == GearKind::Internal || b.kind() == GearKind::Internal { (m - n).abs() } else { m + n }
    };
    let sums: Vec<i64> = group.meshes().iter().map(sum).collect();
    let is_one = sums.iter().all(|other| *other == sums[0]);
    let mut said = Vec::new();
    said.extend((sums.len() > 1).then_some(Some(is_one)));
    // A cluster alone closes no loop.
    said.extend((group.places().len() > 1).then(|| Some(pins_go_together(set))));
    let room = gaps(set, group).ok().filter(|gaps| is_one && !gaps.is_empty());
    said.push(room.map(|gaps| !gaps.iter().any(Gap::is_foul)));
    said.extend(interval.map(|[least, most]| match &motions(set)[0].verdict {
        Verdict::Drives { ratio, .. } => {
            let size = num_traits::Signed::abs(ratio);
            Some(*least <= size && size <= *most)
        }
        Verdict::OutputHeld => Some(false),
        Verdict::Locked { .. } | Verdict::Neutral => None,
    }));
    said
}

type Changes = Vec<(GearId, i64)>;

/// Every change of one gear and of two that leaves a gearset, alone as well.
fn tried(set: &Gearset, interval: Option<&[Fraction; 2]>) -> BTreeMap<Changes, Vec<Option<bool>>> {
    let count = |gear: GearId| i64::from(set.gear(gear).tooth_count().get());
    let mut all = BTreeMap::new();
    let near = |gear: GearId| [-2, -1, 1, 2].map(|more| (gear, count(gear) + more));
    let mut ask = |changes: Changes| {
        if let Ok(changed) = set.with_tooth_counts(changes.iter().copied()) {
            all.insert(changes, says(&changed, interval));
        }
    };
    set.gear_ids().flat_map(near).for_each(|one| ask(vec![one]));
    let gears: Vec<GearId> = set.gear_ids().collect();
    for (at, &first) in gears.iter().enumerate() {
        for &second in &gears[at + 1..] {
            for one in near(first) {
                for other in near(second) {
                    ask(vec![one, other]);
                }
            }
        }
    }
    let alone = |all: &BTreeMap<Changes, Vec<Option<bool>>>, changes: &Changes| {
        changes.iter().all(|one| all.contains_key(&vec![*one]))
    };
    let sound: Vec<Changes> = all.keys().filter(|changes| alone(&all, changes)).cloned().collect();
    all.retain(|changes, _| sound.contains(changes));
    all
}

fn disagreeing(said: &[Option<bool>]) -> usize {
    said.iter().filter(|said| **said == Some(false)).count()
}

fn agreeing(said: &[Option<bool>]) -> usize {
    said.iter().filter(|said| **said == Some(true)).count()
}

/// What explains something, best first.
fn explaining(set: &Gearset, interval: Option<&[Fraction; 2]>) -> Vec<(Changes, Vec<Option<bool>>)> {
    let as_counted = disagreeing(&says(set, interval));
    let all = tried(set, interval);
    let explains = |changes: &Changes, said: &Vec<Option<bool>>| {
        let against = disagreeing(said);
        let less_than_alone = |one: &(GearId, i64)| changes.len() == 1 || against < disagreeing(&all[&vec![*one]]);
        against < as_counted && changes.iter().all(less_than_alone)
    };
    let mut found: Vec<_> =
        all.iter().filter(|(changes, said)| explains(changes, said)).map(|(a, b)| (a.clone(), b.clone())).collect();
    let teeth = |changes: &Changes| -> i64 {
        changes.iter().map(|&(gear, count)| (count - i64::from(set.gear(gear).tooth_count().get())).abs()).sum()
    };
    found.sort_by_key(|(changes, said)| {
        (changes.len(), disagreeing(said), usize::MAX - agreeing(said), teeth(changes), changes.clone())
    });
    found
}

fn told(miscount: &Miscount) -> (Changes, usize, usize) {
    let changes = miscount.changes.iter().map(|(&gear, &count)| (gear, i64::from(count))).collect();
    (changes, miscount.disagrees_with.len(), miscount.agrees_with.len())
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn nothing_is_left_out_and_nothing_added(
        planes in prop::collection::vec(plane(), 1..3),
        sum in 30..60_i64,
        pins in 1..5_i64,
        spoilt in prop::collection::vec((0..9_usize, -2..3_i64), 0..3),
        is_turned in any::<bool>(),
    ) {
        let mut draft = stack(&typed(&planes, sum), StackNames::ByCount).expect("a stack");
        draft.planets[0].pins = DraftPins::Equal(pins).into();
        let Ok(right) = Gearset::new(draft.clone()) else { return Ok(()) };
        let by_hand = turns(&draft, &right).filter(|_| is_turned);
        let gears = right.gears().len();
        for (gear, more) in spoilt {
            draft.gears_mut().nth(gear % gears).into_iter().for_each(|gear| *gear.tooth_count += more);
        }
        draft.states = by_hand.iter().map(|(state, _)| state.clone()).collect();
        draft.turned = by_hand.into_iter().map(|(_, turned)| turned).collect();
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        let interval = set.turned().first().map(CountedTurns::ratios);

        let (check, listed) = miscounts(&set);
        prop_assert!(check.all_tried);
        let said: Vec<Option<bool>> = check.evidence.iter().map(|evidence| evidence.agrees).collect();
        prop_assert_eq!(said, says(&set, interval.as_ref()));
        let expected = explaining(&set, interval.as_ref());
        prop_assert_eq!(check.explanations, expected.len());
        let expected: Vec<_> = expected
            .into_iter()
            .take(MOST_EXPLANATIONS)
            .map(|(changes, said)| (changes, disagreeing(&said), agreeing(&said)))
            .collect();
        prop_assert_eq!(listed.iter().map(told).collect::<Vec<_>>(), expected);
    }
}
