//! Is a timing answer the one that is found by trying every tooth?
//!
//! The twin knows the condition in space only: planet gear P and central gear Z, both
//! signed, mesh on the pin at place x when `P p - (P + Z) x` is whole, p the planet's turn in
//! space (worked out here: the teeth that pass the line of centres, counted from the first pin).
//! It seats the first gear in every one of its teeth and looks whether the others fit. Cases
//! that do not reach what a property is about are thrown away, so that none passes unseen.

use std::collections::BTreeSet;

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{Signed, ToPrimitive, Zero};
use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{Congruences, Fraction, fraction};
use toothmark::gearset::{Draft, DraftPins, Gearset, MeshId, Pitch, PlanetGroup};
use toothmark::timing::{Closure, GroupTiming, PinTiming, ToothChange, timing};

use crate::support::random::telling_cases;
use crate::support::trains::{cluster, meshed_pair, small_cluster, train, with_a_pitch_unknown};

pub(crate) type Small = Ratio<i64>;

/// A mesh as the twin sees it: the planets by their place in the group with the counts of
/// their gears, and the count of the central gear, 0 where there is none.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) planets: Vec<(usize, i64)>,
    pub(crate) central: i64,
}

pub(crate) fn rows(set: &Gearset, group: &PlanetGroup) -> Vec<Row> {
    let row = |&mesh: &_| {
        let mut row = Row { planets: Vec::new(), central: 0 };
        for &gear in set.mesh(mesh).gears().both() {
            let gear = set.gear(gear);
            match group.planets().iter().position(|&planet| planet == gear.member()) {
                Some(planet) => row.planets.push((planet, gear.signed_tooth_count())),
                None => row.central = gear.signed_tooth_count(),
            }
        }
        row
    };
    group.meshes().iter().map(row).collect()
}

pub(crate) fn small(value: &Fraction) -> Small {
    Small::new(value.numer().to_i64().expect("a machine word"), value.denom().to_i64().expect("a machine word"))
}

/// The part nearest to zero, halves positive.
fn near_zero(value: Small) -> Small {
    let part = value - value.floor();
    if part > Small::new(1, 2) { part - 1 } else { part }
}

pub(crate) fn off(value: Small) -> Small {
    near_zero(value).abs()
}

/// How much a row is out, in teeth, with the planets turned so in space.
fn row_off(row: &Row, turns: &[Small], x: Small) -> Small {
    let sum: i64 = row.planets.iter().map(|planet| planet.1).sum::<i64>() + row.central;
    off(row.planets.iter().map(|&(planet, teeth)| turns[planet] * teeth).sum::<Small>() - x * sum)
}

/// All turns in [0, 1) of the planets of a pin that fit, found tooth by tooth: a mesh with one
/// planet not yet seated offers as many places for it as that has teeth.
pub(crate) fn seatings(rows: &[Row], planets: usize, x: Small) -> Vec<Vec<Small>> {
    let mut known: Vec<Vec<Option<Small>>> = vec![vec![None; planets]];
    while let Some(next) = rows.iter().find_map(|row| {
        let open: Vec<_> = row.planets.iter().filter(|planet| known[0][planet.0].is_none()).collect();
        (open.len() == 1).then(|| (row, *open[0]))
    }) {
        let (row, (planet, teeth)) = next;
        let sum: i64 = row.planets.iter().map(|planet| planet.1).sum::<i64>() + row.central;
        let seat = |turns: Vec<Option<Small>>| {
            let others = row.planets.iter().filter_map(|&(other, count)| Some(turns[other]? * count)).sum::<Small>();
            (0..teeth.abs()).map(move |tooth| {
                let turn = (x * sum - others + tooth) / teeth;
                let mut turns = turns.clone();
                turns[planet] = Some(turn - turn.floor());
                turns
            })
        };
        known = known.into_iter().flat_map(seat).collect();
    }
    let seated = known.into_iter().map(|turns| turns.into_iter().collect::<Option<Vec<_>>>().expect("all are seated"));
    let fits = |turns: &Vec<Small>| rows.iter().all(|row| row_off(row, turns, x).is_zero());
    seated.filter(fits).collect::<BTreeSet<_>>().into_iter().collect()
}

#[track_caller]
fn check_against_every_tooth(set: &Gearset) {
    for (group, timing) in set.planet_groups().iter().zip(timing(set).groups) {
        let rows = rows(set, group);
        let planets = group.planets().len();
        let first = seatings(&rows, planets, Small::zero());
        assert_eq!(timing.equivalent_seatings, Some(first.len().into()), "equivalent seatings of {rows:?}");
        let (mut radial, mut parallel) = (true, true);
        for (pin, place) in timing.pins.iter().zip(group.spacings()) {
            let x = small(&place);
            let found = seatings(&rows, planets, x);
            let relative = found.iter().map(|turns| turns.iter().map(|turn| near_zero(*turn - x)).collect::<Vec<_>>());
            let nearest =
                relative.min_by_key(|turns| turns.iter().map(|t| (t.abs(), t.is_negative())).collect::<Vec<_>>());
            let turns = pin.turns.as_ref().map(|turns| turns.values().map(small).collect::<Vec<_>>());
            assert_eq!(turns, nearest, "turns at {x} of {rows:?}");
            assert!(found.is_empty() || found.len() == first.len(), "as many seatings at every pin: {rows:?}");
            radial &= found.contains(&vec![x - x.floor(); planets]);
            parallel &= found.contains(&vec![Small::zero(); planets]);
            check_gear_turns(set, pin);
        }
        assert_eq!(timing.radial_marks, radial, "radial marks of {rows:?}");
        assert_eq!(timing.parallel_marks, parallel, "parallel marks of {rows:?}");
    }
}

#[track_caller]
fn check_gear_turns(set: &Gearset, pin: &PinTiming) {
    assert_eq!(pin.gears.is_empty(), pin.turns.is_none(), "gears are turned where there is a turn");
    for turned in &pin.gears {
        let teeth = fraction(set.gear(turned.gear).tooth_count().get().into(), 1);
        let turn = &pin.turns.as_ref().expect("some gear is turned")[&turned.planet];
        assert_eq!(turned.teeth, turn * teeth, "the turn of a gear in teeth");
        assert_eq!(set.gear(turned.gear).member(), turned.planet, "the planet of a gear");
    }
}

/// What the Smith form says of the rows of a group, apart from the closed form: the conditions hold at a place if and
/// only if the congruences have a solution there.
struct BySmithForm {
    spacing_divisor: BigInt,
    equivalent_seatings: Option<BigInt>,
    turns: Vec<Option<Vec<Fraction>>>,
}

fn by_smith_form(set: &Gearset, group: &PlanetGroup) -> BySmithForm {
    let rows = set.matrix().timing(group);
    let congruences = Congruences::new(&rows.matrix());
    let central: Vec<BigInt> = rows.iter().map(|row| row.place_coefficient.into()).collect();
    BySmithForm {
        spacing_divisor: congruences.divisor(&central),
        equivalent_seatings: congruences.solutions_modulo_one(),
        turns: group.spacings().iter().map(|place| congruences.solve(&rows.right_sides(place)).ok()).collect(),
    }
}

#[track_caller]
fn check_against_the_smith_form(set: &Gearset) {
    for (group, timing) in set.planet_groups().iter().zip(timing(set).groups) {
        let smith = by_smith_form(set, group);
        assert_eq!(timing.spacing_divisor, smith.spacing_divisor, "the divisor of {:?}", rows(set, group));
        assert_eq!(timing.equivalent_seatings, smith.equivalent_seatings, "the seatings of {:?}", rows(set, group));
        let turns = timing.pins.iter().map(|pin| Some(pin.turns.as_ref()?.values().cloned().collect::<Vec<_>>()));
        assert_eq!(turns.collect::<Vec<_>>(), smith.turns, "the turns of {:?}", rows(set, group));
        let counts: Vec<u32> = (2..=8).filter(|&count: &u32| (&smith.spacing_divisor % count).is_zero()).collect();
        assert_eq!(timing.equal_pin_counts, counts, "equal pins of {:?}", rows(set, group));
        let refused = smith.turns.iter().any(Option::is_none);
        assert_eq!((timing.refusals.is_empty(), timing.remedies.is_none()), (!refused, !refused), "refused: {refused}");
    }
}

/// The places k/n that fit, against D, for all n up to `most`; whole numbers only, for speed.
#[track_caller]
fn check_divisor(set: &Gearset, most: i64) {
    let (group, timing) = (&set.planet_groups()[0], &timing(set).groups[0]);
    let pairs: Vec<(i64, i64)> = rows(set, group).iter().map(|row| (row.planets[0].1, row.central)).collect();
    let (teeth, central) = pairs[0];
    for (k, n) in (1..=most).flat_map(|n| (0..n).map(move |k| (k, n))).filter(|(k, n)| k.gcd(n) == 1) {
        // p = turn / (teeth n) for every tooth of the first gear.
        let fits = |turn: i64| pairs.iter().all(|(p, z)| (p * turn - (p + z) * k * teeth) % (teeth * n) == 0);
        let together = (0..teeth).any(|tooth| fits((teeth + central) * k + tooth * n));
        let allowed = (&timing.spacing_divisor * k % n).is_zero();
        assert_eq!(allowed, together, "place {k}/{n} with D = {} of {pairs:?}", timing.spacing_divisor);
        if k == 1 && (2..=8).contains(&n) {
            let listed = timing.equal_pin_counts.contains(&u32::try_from(n).expect("a few pins"));
            assert_eq!(listed, together, "{n} equal pins of {pairs:?}");
        }
    }
}

fn with_places(draft: &Draft, places: Vec<Fraction>) -> Gearset {
    let mut draft = draft.clone();
    draft.planets[0].pins = DraftPins::turns(places).into();
    Gearset::new(draft).expect("places that differ")
}

pub(crate) fn pins_go_together(set: &Gearset) -> bool {
    set.planet_groups().iter().all(|group| by_smith_form(set, group).turns.iter().all(Option::is_some))
}

fn all_go_together(set: &Gearset) -> bool {
    let misses = |group: &GroupTiming| group.loops.iter().any(|closed| closed.closes == Closure::Misses);
    pins_go_together(set) && !timing(set).groups.iter().any(misses)
}

/// How many ways out of each kind were tried: other places, other tooth counts.
type Tried = [usize; 2];

/// Tries every way out of a gearset; the places only where its one planet is all that has any.
#[track_caller]
fn check_ways_out(set: &Gearset) -> Tried {
    let mut tried = [0, 0];
    for ways in timing(set).groups.into_iter().filter_map(|group| group.remedies) {
        if let (Some(places), [_]) = (ways.places, set.draft().planets.as_slice()) {
            // A loop that other pins close or not is no matter of the places of further pins.
            assert!(pins_go_together(&with_places(set.draft(), places.clone())), "the nearest places: {places:?}");
            tried[0] += 1;
        }
        for change in &ways.tooth_changes {
            check_tooth_change(set, change);
            tried[1] += 1;
        }
    }
    tried
}

#[track_caller]
fn check_tooth_change(set: &Gearset, change: &ToothChange) {
    let changed =
        set.with_tooth_counts(change.tooth_counts.iter().map(|(&gear, &count)| (gear, count))).expect("a sound change");
    assert!(all_go_together(&changed), "with {change:?}");
    if !change.keeps_center_distance {
        return;
    }
    for planet in set.member_ids().filter(|&member| set.carrier_of(member).is_some()) {
        let touched = |mesh: &MeshId| {
            set.mesh(*mesh).gears().both().into_iter().any(|gear| change.tooth_counts.contains_key(gear))
        };
        let with_main_axis = |mesh: &MeshId| {
            let members = set.mesh(*mesh).gears().both().map(|&gear| set.gear(gear).member());
            members.contains(&planet) && members.into_iter().any(|member| set.carrier_of(member).is_none())
        };
        let (changed_meshes, others): (Vec<MeshId>, Vec<MeshId>) =
            set.mesh_ids().filter(with_main_axis).partition(touched);
        let agreed =
            others.split_first().filter(|(first, rest)| rest.iter().all(|&other| is_one([set, set], [**first, other])));
        for mesh in changed_meshes {
            let stays = match agreed {
                Some((&other, _)) => is_one([set, &changed], [other, mesh]),
                None => is_one([set, &changed], [mesh, mesh]),
            };
            assert!(stays, "centre distance: {change:?}");
        }
    }
}

/// Whether two meshes of two gearsets are at one distance: half of Z + P, for a ring of Z - P, times the module, to a
/// hundredth of a module. What has a pitch and what has none is not.
fn is_one(sets: [&Gearset; 2], meshes: [MeshId; 2]) -> bool {
    let distance = |at: usize| {
        let mesh = sets[at].mesh(meshes[at]);
        let counts = mesh.gears().both().map(|&gear| sets[at].gear(gear).signed_tooth_count());
        let sum = counts.into_iter().sum::<i64>().abs().to_f64().expect("a small number");
        (mesh.pitch().is_some(), mesh.pitch().map_or(1.0, Pitch::module), sum)
    };
    let ((has_pitch, module, sum), (other_has, other_module, other_sum)) = (distance(0), distance(1));
    has_pitch == other_has && (module * sum - other_module * other_sum).abs() / 2.0 < 0.01 * module.max(other_module)
}

/// A cluster with so many teeth on each gear, on suns with so many, on three pins.
fn wide_cluster(gears: &[(i64, i64)]) -> Gearset {
    let each = |text: &dyn Fn(usize, i64, i64) -> String| -> String {
        gears.iter().enumerate().map(|(at, &(planet, sun))| text(at, planet, sun)).collect::<Vec<_>>().join(", ")
    };
    let text = format!(
        "Gearset(title: \"t\", members: {{\"c\": [], {}}}, planets: {{\"k\": (carrier: \"c\", pins: Equal(3), \
         gears: [{}])}}, meshes: [{}])",
        each(&|at, _, sun| format!("\"m{at}\": [Sun(\"S{at}\", {sun})]")),
        each(&|at, planet, _| format!("Gear(\"g{at}\", {planet})")),
        each(&|at, _, _| format!("(\"S{at}\", \"g{at}\")")),
    );
    description::read(&text).expect("a sound description")
}

/// Once eight gears with thousands of teeth were too much for a machine word in the closed
/// form, which multiplied the Bezout factors of one gear after the other.
#[test]
fn clusters_of_eight_gears_with_thousands_of_teeth_agree_with_the_smith_form() {
    let planets = [8704, 9664, 8736, 9968, 9976, 9812, 9910, 9947];
    for suns in [[10_000, 9999, 10_000, 9999, 10_000, 9999, 10_000, 9999], [9996; 8], [9997; 8]] {
        let set = wide_cluster(&planets.into_iter().zip(suns).collect::<Vec<_>>());
        check_against_the_smith_form(&set);
    }
}

/// Once the factors of a refusal were machine words, too short for four planets in a row.
#[test]
fn a_chain_of_planets_with_thousands_of_teeth_says_why_it_is_refused() {
    let planet = |at: usize, [left, right]: [i64; 2]| {
        format!(
            "\"p{at}\": (carrier: \"c\", pins: Equal(5), gears: [Gear(\"a{at}\", {left}), Gear(\"b{at}\", {right})])"
        )
    };
    let counts = [[9973, 9967], [9949, 9941], [9931, 9929], [9923, 9907]];
    let planets: Vec<String> = counts.into_iter().enumerate().map(|(at, counts)| planet(at, counts)).collect();
    let text = format!(
        "Gearset(title: \"t\", members: {{\"c\": [], \"s\": [Sun(\"S\", 9001)], \"t\": [Sun(\"T\", 9007)]}}, planets: {{{}}}, \
         meshes: [(\"S\", \"a0\"), (\"b0\", \"a1\"), (\"b1\", \"a2\"), (\"b2\", \"a3\"), (\"T\", \"b3\")])",
        planets.join(", ")
    );
    let set = description::read(&text).expect("a sound description");
    let refusals = &timing(&set).groups[0].refusals;
    // The one dependency has the products of counts as factors; five places of a fifth, of which one goes.
    assert_eq!(refusals.iter().map(|refusal| refusal.pin).collect::<Vec<_>>(), [2, 3, 4, 5]);
    assert!(refusals.iter().all(|refusal| refusal.misfit.is_positive() && refusal.meshes.len() == 5));
}

/// Once every train with one pin a planet was held to go together. Here an even and an odd gear of one
/// planet meet the same sun and ring of one body: what suits the one is half a tooth out for the other.
#[test]
fn one_planet_whose_even_and_odd_gear_meet_one_sun_and_ring_does_not_go_in() {
    let set = |q: i64| {
        let text = format!(
            "Gearset(title: \"t\", members: {{\"c\": [], \"a\": [Sun(\"S\", 24), Ring(\"R\", 60)]}}, planets: {{\"k\": (carrier: \
             \"c\", pins: Equal(1), gears: [Gear(\"p\", 18), Gear(\"q\", {q})])}}, meshes: [(\"S\", \"p\"), (\"R\", \"p\"), (\"S\", \
             \"q\"), (\"R\", \"q\")])"
        );
        description::read(&text).expect("a sound description")
    };
    assert!(timing(&set(15)).groups[0].pins_assemble(), "there is one pin");
    assert!(!all_go_together(&set(15)), "half a tooth, shared by four meshes");
    assert!(all_go_together(&set(16)), "two even gears");
}

proptest! {
    #![proptest_config(telling_cases(120))]

    #[test]
    fn a_cluster_is_seated_as_by_trying_every_tooth(draft in cluster()) {
        check_against_every_tooth(&Gearset::new(draft).unwrap());
    }

    #[test]
    fn the_spacing_divisor_allows_the_places_where_some_tooth_fits(draft in small_cluster()) {
        check_divisor(&Gearset::new(draft).unwrap(), 60);
    }

    #[test]
    fn meshed_planets_are_seated_as_by_trying_every_tooth_of_both(draft in meshed_pair()) {
        check_against_every_tooth(&Gearset::new(draft).unwrap());
    }

    #[test]
    fn closed_form_and_smith_form_agree_in_every_field(draft in train(), one in cluster()) {
        for set in [draft, one].map(|draft| Gearset::new(with_a_pitch_unknown(draft)).unwrap()) {
            check_against_the_smith_form(&set);
        }
    }

    #[test]
    fn with_single_pins_the_pins_of_every_train_go_together(mut draft in train()) {
        draft.planets.iter_mut().for_each(|planet| planet.pins = DraftPins::Equal(1).into());
        let set = Gearset::new(draft).unwrap();
        let groups = timing(&set).groups;
        // A loop of meshes that does not close is no matter of pins.
        let loops = groups.iter().flat_map(|group| &group.loops).any(|closed| closed.closes == Closure::Misses);
        prop_assert!(pins_go_together(&set));
        prop_assert!(groups.iter().all(|group| group.pins_assemble() && (loops || group.assembles)));
    }

    #[test]
    fn every_way_out_goes_together(draft in train(), pair in meshed_pair()) {
        let tried = [draft, pair].map(|draft| check_ways_out(&Gearset::new(with_a_pitch_unknown(draft)).unwrap()));
        prop_assume!(tried.concat().iter().sum::<usize>() > 0, "neither offers a way out");
    }

    #[test]
    fn every_way_out_of_a_cluster_goes_together(draft in cluster()) {
        let [places, changes] = check_ways_out(&Gearset::new(with_a_pitch_unknown(draft)).unwrap());
        prop_assume!(places > 0 && changes > 0, "not both ways out");
    }

    #[test]
    fn the_numbers_of_equal_pins_listed_are_those_that_go_together(draft in cluster()) {
        let counts = timing(&Gearset::new(draft.clone()).unwrap()).groups[0].equal_pin_counts.clone();
        for number in 2..=8 {
            let places = (0..number).map(|pin| fraction(pin, number)).collect();
            prop_assert_eq!(all_go_together(&with_places(&draft, places)), counts.contains(&u32::try_from(number).unwrap()));
        }
    }

    #[test]
    fn seen_from_the_other_side_every_turn_is_negated(draft in cluster()) {
        let set = Gearset::new(draft.clone()).unwrap();
        let mirrored = set.planet_groups()[0].places().iter().map(|place| -place).collect();
        let (one, other) = (&timing(&set).groups[0], &timing(&with_places(&draft, mirrored)).groups[0]);
        prop_assert_eq!((one.radial_marks, one.parallel_marks), (other.radial_marks, other.parallel_marks));
        prop_assert_eq!(&one.margin, &other.margin);
        let seatings = Fraction::from(one.equivalent_seatings.clone().unwrap());
        for (one, other) in one.pins.iter().zip(&other.pins) {
            prop_assert_eq!(one.turns.is_some(), other.turns.is_some());
            for ((_, one), (_, other)) in one.turns.iter().flatten().zip(other.turns.iter().flatten()) {
                prop_assert!(((one + other) * &seatings).is_integer(), "{:?} {:?}", one, other);
            }
        }
    }
}
