//! Is every way to use a train found, and is nothing found that is not there?
//!
//! The slow twin parts the bodies of a train in every way, writes each choice as rows of a dense
//! matrix over the rationals, and reads off its kernel which pairs keep a fixed quotient. Whether a
//! choice rests on something needless it finds by looking at all smaller ones. The controls are
//! tried in the same way, subset by subset.

use std::collections::{BTreeMap, BTreeSet};

use num_traits::{One, Zero};
use proptest::prelude::*;
use serde_json::Value;
use toothmark::description::{example, examples, read};
use toothmark::exact::{Fraction, count_mergers, fraction};
use toothmark::gearset::{Action, Gearset, MemberId, Place, Restraint};
use toothmark::kinematics::{CannotExplore, Exploration, ExplorationQuestion, RestraintChoice, explore, motions};

use crate::exact::elimination::{Matrix, kernel, reduce};
use crate::support::process::{Run, command, run, run_with};
use crate::support::random::cases;
use crate::support::sets::read_example;
use crate::support::trains::small_train;

/// A choice as the sets of bodies that are one, each with two or more, the case as 0.
type Parts = BTreeSet<BTreeSet<usize>>;
/// Input and output.
type Ends = (usize, usize);

/// Every way to part `bodies` things into sets, as the number of the set of each.
fn partings(bodies: usize) -> Vec<Vec<usize>> {
    let mut all = vec![vec![0]];
    for _ in 1..bodies {
        let longer = |sets: Vec<usize>| {
            let most = sets.iter().max().map_or(0, |most| most + 1);
            (0..=most).map(move |set| [sets.clone(), vec![set]].concat())
        };
        all = all.into_iter().flat_map(longer).collect();
    }
    all
}

/// The train as dense rows, and the columns of the bodies that are looked at.
struct Dense<'a> {
    set: &'a Gearset,
    rows: Matrix,
    bodies: Vec<usize>,
}

impl<'a> Dense<'a> {
    fn new(set: &'a Gearset, members: &[MemberId]) -> Self {
        let mut dense = Self { set, rows: Vec::new(), bodies: vec![0] };
        dense.bodies.extend(members.iter().map(|member| member.index()));
        dense.row(&[(1, 0)]);
        for mesh in set.meshes() {
            let [a, b] = mesh.gears().both().map(|&gear| set.gear(gear));
            let [z_a, z_b] = [a.signed_tooth_count(), b.signed_tooth_count()];
            dense.row(&[(z_a, a.member().index()), (z_b, b.member().index()), (-z_a - z_b, mesh.carrier().index())]);
        }
        for join in set.joins() {
            dense.row(&[(1, join.first.index()), (-1, join.second.index())]);
        }
        dense
    }

    fn row(&mut self, terms: &[(i64, usize)]) {
        let mut row = vec![Fraction::zero(); self.set.members().len()];
        for &(value, column) in terms {
            row[column] += fraction(value, 1);
        }
        self.rows.push(row);
    }

    /// The kernel as the bodies see it, when pairs of members are equal.
    fn seen(&self, equal: &[(usize, usize)]) -> Matrix {
        let mut with = Self { set: self.set, rows: self.rows.clone(), bodies: Vec::new() };
        for &(one, other) in equal {
            with.row(&[(1, one), (-1, other)]);
        }
        let basis = kernel(with.rows, self.set.members().len());
        basis.iter().map(|vector| self.bodies.iter().map(|&body| vector[body].clone()).collect()).collect()
    }
}

/// The ratio of every input and output that keep one.
fn fixed(seen: &Matrix, bodies: usize) -> BTreeMap<Ends, Fraction> {
    let mut found = BTreeMap::new();
    for input in 1..bodies {
        for output in (1..bodies).filter(|&output| output != input) {
            let Some(turning) = seen.iter().find(|vector| !vector[output].is_zero()) else { continue };
            let ratio = &turning[input] / &turning[output];
            if !ratio.is_zero() && seen.iter().all(|vector| vector[input] == &vector[output] * &ratio) {
                found.insert((input, output), ratio);
            }
        }
    }
    found
}

fn rank(seen: &Matrix, bodies: usize) -> usize {
    reduce(&mut seen.clone(), bodies).len()
}

fn parts(set_of: &[usize]) -> Parts {
    let sets: BTreeSet<usize> = set_of.iter().copied().collect();
    let members = |set: usize| (0..set_of.len()).filter(|&body| set_of[body] == set).collect::<BTreeSet<usize>>();
    sets.into_iter().map(members).filter(|set| set.len() > 1).collect()
}

fn size(parts: &Parts) -> usize {
    parts.iter().map(|set| set.len() - 1).sum()
}

fn contains(larger: &Parts, smaller: &Parts) -> bool {
    smaller.iter().all(|small| larger.iter().any(|large| small.is_subset(large)))
}

/// Every choice of the twin, with what it leaves.
fn tried(dense: &Dense<'_>, at_once: usize) -> Vec<(Parts, Matrix)> {
    let bodies = dense.bodies.len();
    let beside =
        |body: &usize| !matches!(dense.set.members()[dense.bodies[*body]].place(), Place::MainAxis | Place::Case);
    let allowed = |parts: &Parts| parts.iter().all(|set| set.contains(&0) || !set.iter().any(beside));
    let all = partings(bodies).into_iter().map(|sets| parts(&sets));
    all.filter(|parts| size(parts) <= at_once && allowed(parts))
        .map(|parts| {
            let first = |set: &BTreeSet<usize>| *set.first().expect("no set is empty");
            let equal: Vec<(usize, usize)> = parts
                .iter()
                .flat_map(|set| set.iter().map(move |&body| (dense.bodies[first(set)], dense.bodies[body])))
                .collect();
            let seen = dense.seen(&equal);
            (parts, seen)
        })
        .collect()
}

/// For each ratio and ends the choices among `all` that give it, without those that contain another one
/// which fixes the same ends.
fn uses<T: Ord + Clone>(
    all: &[(T, BTreeMap<Ends, Fraction>)],
    contains: impl Fn(&T, &T) -> bool,
) -> BTreeMap<(Fraction, Ends), BTreeSet<T>> {
    let mut found: BTreeMap<(Fraction, Ends), BTreeSet<T>> = BTreeMap::new();
    for (choice, ratios) in all {
        for (ends, ratio) in ratios {
            let needless = all
                .iter()
                .any(|(other, ratios)| other != choice && contains(choice, other) && ratios.contains_key(ends));
            if !needless {
                found.entry((ratio.clone(), *ends)).or_default().insert(choice.clone());
            }
        }
    }
    found
}

fn place(found: &Exploration, member: MemberId) -> usize {
    1 + found.members.iter().position(|&known| known == member).expect("a body")
}

fn parts_of(found: &Exploration, choice: &RestraintChoice) -> Parts {
    let places = |members: &[MemberId]| members.iter().map(|&member| place(found, member)).collect::<BTreeSet<usize>>();
    let mut held = places(&choice.held);
    held.insert(0);
    let sets = std::iter::once(held).chain(choice.coupled.iter().map(|set| places(set)));
    sets.filter(|set| set.len() > 1).collect()
}

/// Compares an exploration with the twin.
fn compare(set: &Gearset, found: &Exploration) -> Result<(), TestCaseError> {
    let dense = Dense::new(set, &found.members);
    let bodies = dense.bodies.len();
    let all = tried(&dense, found.at_once);
    let freedoms: BTreeMap<Parts, usize> =
        all.iter().map(|(parts, seen)| (parts.clone(), rank(seen, bodies))).collect();
    let claimed: BTreeMap<Parts, usize> =
        found.choices.iter().map(|choice| (parts_of(found, choice), choice.freedom)).collect();
    prop_assert_eq!(claimed.len(), found.choices.len(), "a choice is named twice");
    prop_assert_eq!(&claimed, &freedoms);
    for choice in &found.choices {
        prop_assert_eq!(choice.at_once, size(&parts_of(found, choice)));
        prop_assert_eq!(choice.has_spare, found.freedom - choice.freedom < choice.at_once);
    }
    let ratios: Vec<(Parts, BTreeMap<Ends, Fraction>)> =
        all.iter().map(|(parts, seen)| (parts.clone(), fixed(seen, bodies))).collect();
    compare_uses(found, &uses(&ratios, contains))?;
    compare_standing(found, &all);
    compare_controls(set, found, &dense)
}

fn compare_uses(
    found: &Exploration,
    expected: &BTreeMap<(Fraction, Ends), BTreeSet<Parts>>,
) -> Result<(), TestCaseError> {
    let mut claimed: BTreeMap<(Fraction, Ends), BTreeSet<Parts>> = BTreeMap::new();
    for ratio in &found.ratios {
        for used in ratio.uses.iter().filter(|used| !used.choices.is_empty()) {
            let ends = (place(found, used.input), place(found, used.output));
            let sizes: Vec<usize> = used.choices.iter().map(|&choice| found.choices[choice].at_once).collect();
            prop_assert!(sizes.is_sorted(), "the smallest choice comes first");
            let sets = used.choices.iter().map(|&choice| parts_of(found, &found.choices[choice])).collect();
            claimed.insert((ratio.ratio.clone(), ends), sets);
        }
    }
    prop_assert_eq!(&claimed, expected);
    prop_assert!(found.ratios.is_sorted_by(|a, b| a.ratio < b.ratio), "rising, and none twice");
    Ok(())
}

/// What keeps each body from turning.
fn compare_standing(found: &Exploration, all: &[(Parts, Matrix)]) {
    for standing in &found.standing {
        let body = place(found, standing.member);
        let stands: Vec<&Parts> = all
            .iter()
            .filter(|(_, seen)| seen.iter().all(|vector| vector[body].is_zero()))
            .map(|(parts, _)| parts)
            .collect();
        let needed = |parts: &Parts| !stands.iter().any(|other| *other != parts && contains(parts, other));
        let by_others = |parts: &Parts| !parts.iter().any(|set| set.contains(&0) && set.contains(&body));
        let expected: BTreeSet<Parts> =
            stands.iter().filter(|parts| needed(parts) && by_others(parts)).map(|&parts| parts.clone()).collect();
        let claimed: BTreeSet<Parts> =
            standing.choices.iter().map(|&choice| parts_of(found, &found.choices[choice])).collect();
        assert_eq!(claimed, expected, "what makes body {body} stand");
    }
}

fn compare_controls(set: &Gearset, found: &Exploration, dense: &Dense<'_>) -> Result<(), TestCaseError> {
    let controls: Vec<_> = set.control_ids().collect();
    let pair = |control: usize| match set.control(controls[control]).action() {
        Action::Band(member) => (member.index(), 0),
        Action::Clutch(pair) | Action::OneWayClutch(pair, _) => (pair.first.index(), pair.second.index()),
    };
    let subsets = (0..1_usize << controls.len())
        .map(|bits| (0..controls.len()).filter(|control| bits >> control & 1 == 1).collect::<BTreeSet<usize>>());
    let all: Vec<(BTreeSet<usize>, BTreeMap<Ends, Fraction>)> = subsets
        .filter(|subset| subset.len() <= found.at_once)
        .map(|subset| {
            let equal: Vec<(usize, usize)> = subset.iter().map(|&control| pair(control)).collect();
            (subset, fixed(&dense.seen(&equal), dense.bodies.len()))
        })
        .collect();
    let expected = uses(&all, |larger, smaller| smaller.is_subset(larger));
    let mut claimed: BTreeMap<(Fraction, Ends), BTreeSet<BTreeSet<usize>>> = BTreeMap::new();
    for ratio in &found.ratios {
        for used in ratio.uses.iter().filter(|used| !used.controls.is_empty()) {
            let ends = (place(found, used.input), place(found, used.output));
            let sets = used.controls.iter().map(|set| set.iter().map(|control| control.index()).collect()).collect();
            claimed.insert((ratio.ratio.clone(), ends), sets);
        }
    }
    prop_assert_eq!(claimed, expected);
    Ok(())
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn every_use_of_a_random_train_is_found_and_nothing_else(draft in small_train(), at_once in 0_usize..4) {
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        let wanted = ExplorationQuestion { at_once: Some(at_once), ..ExplorationQuestion::default() };
        // One of seven bodies with three of its many controls at once was refused: 69,525 choices.
        let Ok(found) = explore(&set, &wanted) else {
            prop_assert!(set.members().len() > 6, "a train of five bodies and the case is within bounds");
            return Err(TestCaseError::reject("more choices than are listed"));
        };
        // The twin tries every parting of the bodies: 203 of five and the case.
        prop_assume!(found.members.len() <= 5);
        compare(&set, &found)?;
    }
}

#[test]
fn every_use_of_small_built_in_gearsets_is_found() {
    for name in ["inspection-railcar", "millrace-winch", "loom-differential", "bevel-differential"] {
        let set = read_example(name);
        for at_once in [None, Some(3)] {
            let found = explore(&set, &ExplorationQuestion { at_once, ..ExplorationQuestion::default() }).unwrap();
            compare(&set, &found).unwrap_or_else(|error| panic!("{name}: {error}"));
        }
    }
}

#[test]
fn every_state_that_drives_by_what_it_holds_is_among_the_uses() {
    let mut states = 0;
    for example in examples() {
        let set = read(example.text).unwrap();
        let found = explore(&set, &ExplorationQuestion::default()).unwrap();
        for (motion, state) in motions(&set).iter().zip(set.states()) {
            let given = state.restraints.iter().any(|restraint| matches!(restraint, Restraint::Turning(..)));
            let Some(ratio) = motion.verdict.ratio().filter(|_| !given && found.at_once + 1 >= found.freedom) else {
                continue;
            };
            let found = found.ratios.iter().find(|found| found.ratio == *ratio);
            let uses = found.map_or([].as_slice(), |found| found.uses.as_slice());
            let named = uses.iter().filter(|used| used.states.contains(&state.name)).count();
            assert_eq!(named, 1, "{}: {}", example.name, state.name);
            states += 1;
        }
    }
    assert!(states > 60, "only {states} states are looked at");
}

/// Trade rule: two held at once lock a single set, none held leaves it free.
#[test]
fn two_held_lock_a_simple_set_and_none_leaves_it_free() {
    let set = read_example("millrace-winch");
    let found = explore(&set, &ExplorationQuestion { at_once: Some(2), ..ExplorationQuestion::default() }).unwrap();
    let freedom = |held: usize| {
        let of_size = found.choices.iter().filter(move |choice| choice.held.len() == held && choice.coupled.is_empty());
        of_size.map(|choice| choice.freedom).collect::<BTreeSet<usize>>()
    };
    assert_eq!([freedom(0), freedom(1), freedom(2)], [[2].into(), [1].into(), [0].into()]);
    // All three coupled is one coupling more than needed.
    let solid: Vec<&RestraintChoice> = found.choices.iter().filter(|choice| choice.solid).collect();
    assert_eq!(solid.iter().map(|choice| choice.has_spare).collect::<Vec<bool>>(), [false, false, false, true]);
}

#[test]
fn a_range_and_ends_leave_only_what_was_asked_for() {
    let set = read_example("inspection-railcar");
    let member = |name: &str| set.member_named(name);
    let wanted = ExplorationQuestion {
        input: member("flywheel"),
        output: member("driven drum"),
        from: Some(fraction(3, 1)),
        to: Some(fraction(2, 1)),
        ..ExplorationQuestion::default()
    };
    let found = explore(&set, &wanted).unwrap();
    let shown: Vec<String> = found.ratios.iter().map(|found| found.ratio.to_string()).collect();
    assert_eq!(shown, ["481/171"], "bounds in either order");
    assert_eq!((found.next_below, found.next_above), (Some(Fraction::one()), None));
    let nothing = explore(&set, &ExplorationQuestion { from: Some(fraction(3, 1)), to: None, ..wanted }).unwrap();
    assert_eq!((nothing.ratios, nothing.next_below), (vec![], Some(fraction(481, 171))));
}

/// 481/171 is within 481/171 to 481/171, and neither next below nor next above it.
#[test]
fn a_ratio_at_the_end_of_a_range_is_within_it() {
    let set = read_example("inspection-railcar");
    let ends = [set.member_named("flywheel"), set.member_named("driven drum")];
    let wanted = |from: Option<Fraction>, to: Option<Fraction>| {
        let [input, output] = ends;
        let found = explore(&set, &ExplorationQuestion { input, output, from, to, ..ExplorationQuestion::default() });
        let found = found.expect("both can drive");
        let shown: Vec<String> = found.ratios.iter().map(|found| found.ratio.to_string()).collect();
        (shown, found.next_below, found.next_above)
    };
    let low = || Some(fraction(481, 171));
    assert_eq!(wanted(low(), low()), (vec!["481/171".into()], Some(Fraction::one()), None));
    assert_eq!(wanted(low(), None).0, ["481/171"]);
    assert_eq!(wanted(Some(Fraction::one()), low()).0, ["1", "481/171"]);
    let below = fraction(480, 171);
    let (shown, _, next_above) = wanted(Some(Fraction::one()), Some(below));
    assert_eq!((shown, next_above), (vec!["1".to_owned()], low()));
}

#[test]
fn what_cannot_drive_is_refused() {
    let set = read_example("town-bus-pre-selector");
    let member = |name: &str| set.member_named(name);
    let refused = |wanted: ExplorationQuestion| explore(&set, &wanted).unwrap_err();
    let planet = refused(ExplorationQuestion { input: member("first planet"), ..ExplorationQuestion::default() });
    assert_eq!(planet, CannotExplore::NotUsable { name: "first planet".into() });
    let case = refused(ExplorationQuestion { output: Some(MemberId::CASE), ..ExplorationQuestion::default() });
    assert_eq!(case, CannotExplore::NotUsable { name: "case".into() });
    let ends = ExplorationQuestion {
        input: member("second carrier"),
        output: member("first drum"),
        ..ExplorationQuestion::default()
    };
    assert!(matches!(refused(ends), CannotExplore::OneBody { .. }), "they are joined for good");
}

/// A shaft with two gears on a lay shaft at two ratios: `30 w + 30 v = 0` and `40 w + 20 v = 0`, so neither ever turns. It
/// was listed among what may drive, and to hold it counted as a choice.
#[test]
fn what_can_never_turn_neither_drives_nor_is_driven() {
    let text = r#"Gearset(title: "Stuck shaft", input: "sun", output: "carrier",
        members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": [], "stuck shaft": [Sun("A", 30), Sun("B", 40)]},
        planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)]),
            "lay shaft": (carrier: "case", pins: Equal(1), gears: [Gear("a", 30), Gear("b", 20)])},
        meshes: [("S", "p"), ("R", "p"), ("A", "a"), ("B", "b")],
        controls: {"band": Band("ring"), "brake": Band("stuck shaft"), "clutch": Clutch("ring", "stuck shaft")},
        states: {"low": Apply(["band"])})"#;
    let set = read(text).unwrap_or_else(|faults| panic!("{faults}"));
    let found = explore(&set, &ExplorationQuestion { at_once: Some(2), ..ExplorationQuestion::default() }).unwrap();
    let names = |members: &[MemberId]| members.iter().map(|&id| set.member(id).name().to_owned()).collect::<Vec<_>>();
    assert_eq!(names(&found.members), ["sun", "ring", "carrier"]);
    // On a fixed axis with a single pin the lay shaft could drive as well, if it could turn.
    assert_eq!(names(&found.never_turning), ["stuck shaft", "lay shaft"]);
    compare(&set, &found).unwrap_or_else(|error| panic!("{error}"));
    // As many choices as of a plain set: none, three held, three coupled; and 1 + 3 + 3 of two, all coupled among them.
    assert_eq!(found.tally.iter().map(|row| row.choices).collect::<Vec<usize>>(), [1, 6, 7]);
    let shaft = set.member_named("stuck shaft");
    let refused = explore(&set, &ExplorationQuestion { input: shaft, ..ExplorationQuestion::default() }).unwrap_err();
    assert_eq!(refused, CannotExplore::NotUsable { name: "stuck shaft".into() });
    let shown = run_with(command(&["explore", "-"]), text.as_bytes()).stdout;
    assert!(shown.contains("stuck shaft and lay shaft never turn, whatever is applied"), "{shown}");
}

/// Of the railcar first what its states do, then what its ends can do besides; any other use comes later.
#[test]
fn the_most_useful_uses_come_first() {
    let set = read_example("inspection-railcar");
    let found = explore(&set, &ExplorationQuestion::default()).unwrap();
    let ratio = |place: usize| found.ratios[found.most_useful[place].ratio].ratio.to_string();
    assert_eq!([ratio(0), ratio(1), ratio(2)], ["-676/285", "481/171", "1"], "reverse, low, and direct last");
    let uses: usize = found.ratios.iter().map(|found| found.uses.len()).sum();
    let places: BTreeSet<(usize, usize)> = found.most_useful.iter().map(|place| (place.ratio, place.found)).collect();
    assert_eq!((places.len(), found.most_useful.len()), (uses, uses), "every use has one place");
    let usual = |place: usize| {
        let use_place = found.most_useful[place];
        let used = &found.ratios[use_place.ratio].uses[use_place.found];
        found.usual_ends.is_some_and(|ends| (ends.input, ends.output) == (used.input, used.output))
    };
    let order: Vec<bool> = (0..uses).map(|place| !usual(place)).collect();
    assert!(order.is_sorted() && !order[2] && order[3], "{order:?}");
}

/// A row of `sets` gearsets of which none knows of another.
fn apart(sets: usize) -> Gearset {
    let part = |text: &str| (0..sets).map(|set| text.replace('#', &set.to_string())).collect::<String>();
    let members = part(r#""s#": [Sun("S#", 24)], "r#": [Ring("R#", 60)], "c#": [],"#);
    let planets = part(r#""p#": (carrier: "c#", pins: Equal(3), gears: [Gear("P#", 18)]),"#);
    let meshes = part(r#"("S#", "P#"), ("R#", "P#"),"#);
    let text = format!("Gearset(title: \"t\", members: {{{members}}}, planets: {{{planets}}}, meshes: [{meshes}])");
    read(&text).unwrap_or_else(|faults| panic!("{faults}"))
}

#[test]
fn many_bodies_are_explored_as_far_as_bounds_go_and_more_is_refused() {
    let set = apart(12);
    let found = explore(&set, &ExplorationQuestion::default()).unwrap();
    assert_eq!((found.freedom, found.at_once), (24, 1));
    let refused =
        explore(&set, &ExplorationQuestion { at_once: Some(23), ..ExplorationQuestion::default() }).unwrap_err();
    assert!(
        matches!(refused, CannotExplore::TooMany { largest: Some(1), choices, .. } if choices > 1 << 60),
        "{refused:?}"
    );
}

/// As many as there are ways to make three members of each set one with others or with the case; planets, of which
/// there are several, cannot be held.
#[test]
fn the_choices_that_are_too_many_are_counted() {
    const SETS: usize = 20;
    for at_once in [4, 6] {
        let wanted = ExplorationQuestion { at_once: Some(at_once), ..ExplorationQuestion::default() };
        let refused = explore(&apart(SETS), &wanted);
        let Err(CannotExplore::TooMany { choices, .. }) = refused else { panic!("{at_once} at once: {refused:?}") };
        assert_eq!(choices, count_mergers(3 * SETS, 0, at_once), "{at_once} at once");
    }
}

#[test]
fn a_train_of_very_many_bodies_is_refused() {
    assert!(matches!(
        explore(&apart(101), &ExplorationQuestion::default()),
        Err(CannotExplore::TooLarge { bodies: 303 })
    ));
    let found = explore(&apart(100), &ExplorationQuestion::default()).unwrap();
    assert_eq!((found.at_once, found.ratios.len()), (0, 0), "nothing applied, nothing fixed");
}

#[track_caller]
fn refused(arguments: &[&str], words: &[&str]) {
    let Run { code, stdout, stderr } = run(arguments);
    assert_eq!((code, stdout.as_str()), (2, ""), "{arguments:?}: {stderr}");
    for word in words {
        assert!(stderr.contains(word), "{arguments:?}: {stderr}");
    }
}

#[test]
fn a_wrong_request_says_what_to_write() {
    refused(&["explore", "--input", "drum"], &["there is no member \"drum\"", "flywheel, driven drum, low drum"]);
    refused(&["explore", "--input", "cluster"], &["cannot drive", "name a member of the main axis"]);
    refused(&["explore", "--output", "case"], &["cannot drive", "name a member of the main axis"]);
    refused(&["explore", "--input", "flywheel", "--output", "flywheel"], &["one body", "can turn apart"]);
    refused(&["explore", "--from", "fast"], &["\"fast\" is not a ratio", "11/4"]);
    refused(&["explore", "--to", "1/0"], &["is not a ratio"]);
    refused(&["explore", "--at-once=-1"], &["--at-once"]);
    refused(&["explore", "--at-once=two"], &["--at-once"]);
}

#[test]
fn nothing_in_the_range_is_the_answer_no_with_the_nearest_ratios() {
    let answer = run(&["explore", "--full", "--from", "2.82", "--to", "2.85"]);
    assert_eq!(answer.code, 1, "{}", answer.stderr);
    let words = answer.stdout.split_whitespace().collect::<Vec<&str>>().join(" ");
    assert!(words.contains("481/171 = 2.81287 below and 143/50 = 2.86 above"), "{words}");
}

#[test]
fn json_has_its_keys_and_places_that_exist() {
    for example in examples() {
        let answer = run_with(command(&["explore", "-", "--format", "json"]), example.text.as_bytes());
        let json: Value = serde_json::from_str(&answer.stdout).expect("JSON");
        let keys: Vec<&String> = json.as_object().unwrap().keys().collect();
        let promised =
            ["gearset", "freedom", "at_once", "members", "choices", "ratios", "standing", "next_below", "next_above"];
        let later = ["wanted", "cut_short", "tally", "never_turning", "usual_ends", "most_useful"];
        assert_eq!(keys, [&promised[..], &later].concat(), "{}", example.name);
        let choices = json["choices"].as_array().unwrap().len();
        for ratio in json["ratios"].as_array().unwrap() {
            assert!(ratio["ratio"]["fraction"].is_string() && ratio["ratio"]["decimal"].is_number(), "{ratio}");
            for used in ratio["uses"].as_array().unwrap() {
                let keys: Vec<&String> = used.as_object().unwrap().keys().collect();
                assert_eq!(keys, ["input", "output", "choices", "controls", "states", "solid"]);
                let places = used["choices"].as_array().unwrap().iter().map(|place| place.as_u64().unwrap());
                assert!(places.clone().count() > 0 && places.clone().all(|place| place < choices as u64), "{used}");
            }
        }
    }
}

/// The answer on a built-in gearset, kept as a snapshot.
#[track_caller]
fn shown(arguments: &[&str], name: &str) {
    let text = example(name).expect("a built-in gearset");
    let answer = run_with(command(&[&["explore", "-", "--full"], arguments].concat()), text.as_bytes());
    assert!(answer.code < 2, "{}", answer.stderr);
    let snapshot =
        format!("explore-{}{name}", arguments.join("-").replace('/', "-").replace("--", "").replace(' ', "-") + "-");
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(snapshot, answer.stdout);
    });
}

#[test]
fn uses_are_shown_in_every_format_and_narrowed() {
    shown(&[], "inspection-railcar");
    shown(&["--format=json"], "millrace-winch");
    shown(&["--format=csv"], "millrace-winch");
    shown(&["--format=markdown", "--at-once=2"], "millrace-winch");
    shown(&["--input=input shaft", "--output=output shaft"], "town-bus-pre-selector");
    shown(&["--input=input shaft", "--from=-3", "--to=-2"], "common-sun-two-set");
    shown(&["--input=input shaft", "--output=output ring", "--from=2"], "three-set-six-speed");
    shown(&["--from=6"], "inspection-railcar");
}
