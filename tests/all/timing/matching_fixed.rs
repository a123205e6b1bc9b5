//! Matching beside central gears that are fixed to one another, and with clusters to spare.
//!
//! The twin is the exact search for the nearest miss with one unknown for each body of central gears, and the place of
//! teeth on the line of centres counted by hand. A relation that is what the untied gears would choose must
//! change nothing, any other nothing for the better.

use num_traits::{ToPrimitive, Zero};
use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{ExactFit, Fraction, IntegerMatrix, Target, fraction, multiple, nearest_miss};
use toothmark::gearset::{Draft, DraftReading, Offset, Pair};
use toothmark::timing::{FixedGears, FixedIndex, GroupMatching, PlayVerdict, Seated};

use crate::support::process::{command, run_with};
use crate::support::random::cases;
use crate::timing::matching::{Set, best, float, level, matched, number_of, of_text, orders, same, shown, whole};

/// A set with the bodies that its central gears are on, and how each stands against the first of its body.
#[derive(Debug, Clone)]
struct Fixed {
    set: Set,
    bodies: Vec<usize>,
    central: Vec<Fraction>,
}

impl Fixed {
    fn first_on_body(&self, gear: usize) -> usize {
        self.bodies.iter().position(|body| *body == self.bodies[gear]).expect("its own")
    }

    fn followers(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.bodies.len()).filter(|&gear| self.first_on_body(gear) != gear)
    }

    fn unread(&self) -> Draft {
        let mut draft = self.set.draft();
        for gear in self.followers() {
            draft.joins.push(Pair::of(format!("m{}", self.first_on_body(gear)), format!("m{gear}")));
        }
        draft
    }

    fn draft(&self) -> Draft {
        let mut draft = self.unread();
        let reading = |gear: usize| DraftReading {
            gear: format!("c{gear}").into(),
            offset: Offset::Teeth(self.central[gear].clone().into()),
        };
        draft.measured[0].central = self.followers().map(reading).collect();
        draft
    }

    fn matching(&self) -> GroupMatching {
        matched(self.draft())
    }

    /// What the row of a gear is off with the mark of its planet gear to the centre and that of the central gear
    /// on the line to the pin, before any index: two teeth meet at a sun, and in a ring if the planet has a tooth
    /// opposite its mark.
    fn constant(&self, gear: usize) -> Fraction {
        let (planet, central) = self.set.gears[gear];
        if central > 0 { fraction(1, 2) } else { fraction(planet + 1, 2) }
    }

    /// The least largest error in one order, with one unknown turn for each body.
    fn exact_level(&self, order: &[usize]) -> Option<f64> {
        let (pins, gears) = (self.set.places.len(), self.set.gears.len());
        let (mut entries, mut offset) = (Vec::new(), Vec::new());
        for (pin, &cluster) in order.iter().enumerate() {
            for (gear, &(planet, central)) in self.set.gears.iter().enumerate() {
                let is_alone = self.bodies.iter().filter(|body| **body == self.bodies[gear]).count() == 1;
                let turn = (0..pins).map(|column| if column == pin { planet } else { 0 });
                let by_body = if is_alone { 1 } else { central };
                let body = (0..gears).map(|column| if column == self.bodies[gear] { by_body } else { 0 });
                entries.extend(turn.chain(body));
                // A planet gear ahead goes with a sun that is behind, and with a ring that is ahead.
                let ahead = &self.central[gear] * fraction(central.signum(), 1);
                let constant = if is_alone { Fraction::zero() } else { self.constant(gear) - ahead };
                let place = multiple(&(&self.set.places[pin] - &self.set.places[0]), central);
                offset.push(place - &self.set.index[cluster][gear] + constant);
            }
        }
        let matrix = IntegerMatrix::new(pins * gears, pins + gears, entries);
        let target = Target { offset, ..Target::integers(pins * gears) };
        let miss = nearest_miss(&matrix, &target, ExactFit::Counted).ok()??;
        miss.value.to_f64().filter(|&level| level < 0.25 - 1e-9)
    }

    fn is_known(matching: &GroupMatching) -> bool {
        !matching.has_fixed_gears(FixedIndex::Unknown)
    }
}

/// Two or three gears, some of one ratio, on bodies of their own or on common ones.
fn fixed_sets(spares: usize) -> impl Strategy<Value = Fixed> {
    let gear = (2..5_i64, prop_oneof![2..6_i64, -11..-6_i64]);
    let gears = prop::collection::vec((gear, any::<bool>(), 1..=2_i64), 2..=3);
    (gears, 2..=3_usize, any::<bool>()).prop_flat_map(move |(gears, pins, equal)| {
        let first = gears[0].0;
        let alike = |&(own, alike, times): &((i64, i64), bool, i64)| {
            if alike { (first.0 * times, first.1 * times) } else { own }
        };
        let gears: Vec<(i64, i64)> = gears.iter().map(alike).collect();
        let hundredths = |limit: i64| (-limit..=limit).prop_map(|hundredths| fraction(hundredths, 100));
        let off = prop::collection::vec(-20..20_i64, pins);
        let place = move |(pin, off): (usize, &i64)| {
            fraction(whole(pin), whole(pins)) + fraction(if equal { 0 } else { *off }, 360)
        };
        let places = off.prop_map(move |off| off.iter().enumerate().map(place).collect::<Vec<_>>());
        let index = prop_oneof![2 => hundredths(3), 1 => hundredths(49)];
        let indexes = prop::collection::vec(prop::collection::vec(index, gears.len()), pins + spares);
        let bodies = prop::collection::vec(0..2_usize, gears.len());
        let central = prop::collection::vec(prop_oneof![hundredths(3), hundredths(49)], gears.len());
        (Just(gears), places, indexes, bodies, central).prop_map(|(gears, places, mut index, bodies, central)| {
            for index in &mut index {
                index[0] = Fraction::zero();
            }
            let mut fixed = Fixed { set: Set { gears, places, index }, bodies, central };
            for gear in 0..fixed.bodies.len() {
                if fixed.first_on_body(gear) == gear {
                    fixed.central[gear] = Fraction::zero();
                }
            }
            fixed
        })
    })
}

/// The index of the second gear for which the untied answer serves, with the first row as it is there.
fn ideal(fixed: &Fixed, seated: &Seated) -> f64 {
    let phase = |gear: usize| {
        let index = fixed.set.index[number_of(&seated.pins[0].cluster)][gear].to_f64().expect("small");
        let constant = fixed.constant(gear).to_f64().expect("small");
        index - seated.pins[0].residuals[gear].teeth - constant
    };
    let central = |gear: usize| float(fixed.set.gears[gear].1);
    let index = (phase(0) / central(0) * central(1) - phase(1)) * central(1).signum();
    index - index.round()
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn beside_fixed_gears_the_best_is_that_of_the_exact_search_of_all(fixed in fixed_sets(0)) {
        let matching = fixed.matching();
        prop_assume!(Fixed::is_known(&matching));
        let count = fixed.set.places.len();
        let as_found: Vec<usize> = (0..count).collect();
        same(level(matching.as_found.as_ref()), fixed.exact_level(&as_found), "as found");
        let all = orders(count).into_iter().filter_map(|order| fixed.exact_level(&order));
        same(best(&matching), all.min_by(f64::total_cmp), "any order");
        if let (Some(listed), Some(found)) = (&matching.listed, &matching.as_found) {
            prop_assert!(listed.level >= found.level - 1e-9);
        }
    }

    #[test]
    fn fixing_gears_never_helps_and_a_relation_that_is_ideal_changes_nothing(fixed in fixed_sets(0)) {
        let mut fixed = Fixed { bodies: vec![0, 0, 1], ..fixed };
        fixed.bodies.truncate(fixed.set.gears.len());
        let (free, tied) = (fixed.set.matching(), fixed.matching());
        let at_limit = |matching: &GroupMatching| best(matching).unwrap_or(0.25);
        prop_assert!(at_limit(&tied) >= at_limit(&free) - 2e-6, "{} {}", at_limit(&tied), at_limit(&free));
        if let Some(seated) = &free.as_found {
            let index = ideal(&fixed, seated);
            prop_assume!(index.abs() < 0.499);
            fixed.central[1] = Fraction::from_float(index).expect("small");
            same(level(fixed.matching().as_found.as_ref()), level(Some(seated)), "ideal");
        }
    }

    #[test]
    fn gears_that_are_fixed_in_an_unknown_way_are_matched_as_if_they_were_free(fixed in fixed_sets(0)) {
        let unread = matched(fixed.unread());
        prop_assert_eq!(best(&unread), best(&fixed.set.matching()));
        let is_sure = |seated: &Seated| seated.verdict == Some(PlayVerdict::Within);
        prop_assert!(Fixed::is_known(&unread) || !unread.as_found.as_ref().is_some_and(is_sure));
        let told = unread.fixed_gears.iter().any(|fixed| fixed.index != FixedIndex::TurnedOut);
        let one_ratio = |a: usize, b: usize| {
            let (a, b) = (fixed.set.gears[a], fixed.set.gears[b]);
            a.0 * b.1 == b.0 * a.1
        };
        if fixed.followers().any(|gear| one_ratio(gear, fixed.first_on_body(gear))) {
            prop_assert!(told, "{:?}", unread.fixed_gears);
        }
    }

    #[test]
    fn with_clusters_to_spare_the_best_is_that_of_every_choice(fixed in fixed_sets(1)) {
        let matching = fixed.matching();
        prop_assume!(Fixed::is_known(&matching));
        let pins = fixed.set.places.len();
        let mut choices = orders(pins + 1);
        for order in &mut choices {
            order.truncate(pins);
        }
        let all = choices.into_iter().filter_map(|order| fixed.exact_level(&order));
        same(best(&matching), all.min_by(f64::total_cmp), "any choice");
    }

    #[test]
    fn readings_of_central_gears_read_in_again_as_they_were_written(fixed in fixed_sets(1)) {
        let draft = fixed.draft();
        let again = description::read(&description::write(&draft)).expect("what is written is sound");
        prop_assert_eq!(again.draft(), &draft);
    }
}

/// Four clusters of two gears, on equal pins or not, the central gears fixed to one another or not.
fn four_clusters() -> impl Strategy<Value = Fixed> {
    let index = prop::collection::vec((-49..=49_i64).prop_map(|hundredths| fraction(hundredths, 100)), 4);
    let gears = prop::sample::select(vec![[(3, 3), (4, 4)], [(4, 3), (3, 5)], [(2, 4), (3, 6)], [(5, 4), (3, -9)]]);
    (index, gears, any::<bool>(), 0..2_usize).prop_map(|(index, gears, equal, second)| {
        let place = |pin: i64| fraction(pin, 4) + fraction(if equal { 0 } else { pin * pin }, 100);
        let places = (0..4).map(place).collect();
        let index = index.into_iter().map(|index| vec![Fraction::zero(), index]).collect();
        let central = vec![Fraction::zero(), fraction(i64::from(second == 0), 7)];
        Fixed { set: Set { gears: gears.to_vec(), places, index }, bodies: vec![0, second], central }
    })
}

proptest! {
    #![proptest_config(cases(12))]

    #[test]
    fn of_four_clusters_the_best_order_is_that_of_the_exact_search_of_all(fixed in four_clusters()) {
        let all = orders(4).into_iter().filter_map(|order| fixed.exact_level(&order));
        same(best(&fixed.matching()), all.min_by(f64::total_cmp), "any order");
    }
}

/// A drum with two rows of teeth and planets that are split as well, or two gears on one drum.
fn split(gears: [(u32, u32); 2], measured: &str) -> String {
    let [(p, s), (q, t)] = gears;
    format!(
        "Gearset(title: \"Split drum\", pitch: Module(2), backlash: Millimetres(0.1),
            members: {{\"drum\": [Sun(\"S\", {s}), Sun(\"T\", {t})], \"rim\": [Ring(\"R\", 60)], \"carrier\": []}},
            planets: {{\"pair\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", {p}), Gear(\"q\", {q})])}},
            meshes: [(\"S\", \"p\"), (\"T\", \"q\"), (\"R\", \"p\")],
            measured: {{\"pair\": ({measured})}},
        )"
    )
}

const ALIKE: &str = "clusters: {\"one\": Index([Teeth(\"q\", 0.1)]), \"two\": Like(\"one\"), \"three\": Like(\"one\")}";

#[test]
fn what_all_clusters_have_in_common_is_felt_by_gears_that_are_fixed() {
    // The planet is 0.1 of a tooth ahead at T, so T has to be as much behind; where it is in line, each of the two
    // meshes takes half of it.
    let answer = |central: &str| {
        let text = split([(18, 24), (18, 24)], &format!("{central}, {ALIKE}"));
        of_text(&text).as_found.expect("it goes together")
    };
    assert!(answer("central: [Teeth(\"T\", -0.1)]").level < 1e-9);
    let off = answer("central: [Teeth(\"T\", 0)]");
    let worst = off.pins[0].residuals.iter().map(|it| it.teeth.abs()).fold(0.0, f64::max);
    assert!((worst - 0.05).abs() < 1e-9, "{off:?}");
    assert_eq!(off.verdict, Some(PlayVerdict::Beyond));
    let degrees = answer("central: [Degrees(\"T\", -1.5)]");
    assert!(degrees.level < 1e-9, "1.5 degrees are 0.1 of 24 teeth");
}

#[test]
fn how_far_a_central_reading_may_be_off_widens_the_bounds() {
    let measured = format!("uncertainty: Teeth(0.01), central: [Teeth(\"T\", -0.1)], {ALIKE}");
    let seated = of_text(&split([(18, 24), (18, 24)], &measured)).as_found.expect("it goes together");
    let doubts: Vec<f64> = seated.pins[0].residuals.iter().map(|it| it.uncertainty_teeth).collect();
    assert!((doubts[0]).abs() < 1e-12 && (doubts[1] - 0.02).abs() < 1e-12, "of both readings: {doubts:?}");
    assert!(seated.most > seated.level);
}

/// Two central gears on one body, the second with this index, and one alike cluster: how the first stands.
fn first_stands(central: [&str; 2], planets: [&str; 2], index: &str) -> f64 {
    let [first, second] = central;
    let [p, q] = planets;
    let text = format!(
        "Gearset(title: \"t\", members: {{\"m\": [{first}, {second}], \"carrier\": []}},
            planets: {{\"planet\": (carrier: \"carrier\", pins: Equal(1), gears: [{p}, {q}])}},
            meshes: [(\"S\", \"p\"), (\"T\", \"q\")],
            measured: {{\"planet\": (central: [Teeth(\"T\", \"{index}\")])}})"
    );
    let found = of_text(&text).as_found.expect("it goes together");
    assert!(found.level < 1e-9, "the index was chosen to fit: {found:?}");
    found.fixed_turns[0].degrees / 360.0
}

#[test]
fn fixed_gears_stand_with_a_space_where_the_first_planet_has_a_tooth() {
    let part = |turn: f64, count: f64| (turn * count).rem_euclid(1.0);
    let at = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found}, not {expected}");
    // The mark of the planet, on the line of centres, is a tooth.
    let sun = first_stands(["Sun(\"S\", 24)", "Sun(\"T\", 36)"], ["Gear(\"p\", 18)", "Gear(\"q\", 27)"], "1/4");
    at(part(sun, 24.0), 0.5);
    // Opposite the mark a planet of 21 teeth has a space.
    let ring = first_stands(["Ring(\"S\", 63)", "Ring(\"T\", 42)"], ["Gear(\"p\", 21)", "Gear(\"q\", 14)"], "1/6");
    at(part(ring, 63.0), 0.0);
    // A hoop touches its sun on the side away from its own centre.
    let hoop =
        first_stands(["Sun(\"S\", 15)", "Sun(\"T\", 18)"], ["Internal(\"p\", 25)", "Internal(\"q\", 30)"], "-0.3");
    at(part(hoop + 0.5, 15.0), 0.5);
}

#[test]
fn gears_with_other_counts_come_as_near_as_their_teeth_let_them() {
    // The planet may stand at (n + 1/2) / 30 by its first gear, at (m + 1/2) / 40 by its second: 1/240 of a turn
    // apart at best, of which each takes what it has in teeth, 1/240 = e / 30 + e / 40.
    let text = "Gearset(title: \"t\", members: {\"m\": [Sun(\"S\", 24), Sun(\"T\", 32)], \"carrier\": []},
        planets: {\"p\": (carrier: \"carrier\", pins: Equal(1), gears: [Gear(\"d\", 30), Gear(\"s\", 40)])},
        meshes: [(\"S\", \"d\"), (\"T\", \"s\")],
        measured: {\"p\": (central: [Teeth(\"T\", 0)])})";
    let found = of_text(text).as_found.expect("it goes together").level;
    assert!((found - 1.0 / 14.0).abs() < 1e-9, "{found}");
}

#[test]
fn a_gear_that_meets_two_gears_of_one_cluster_needs_no_reading() {
    let text = "Gearset(title: \"Long sun\", members: {\"m\": [Sun(\"S\", 24)], \"carrier\": []},
        planets: {\"pair\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18), Gear(\"q\", 18)])},
        meshes: [(\"S\", \"p\"), (\"S\", \"q\")],
        measured: {\"pair\": (clusters: {\"1\": Index([Teeth(\"q\", 0.1)]), \"2\": Like(\"1\"), \"3\": Like(\"1\")})})";
    let matching = of_text(text);
    assert_eq!(matching.fixed_gears[0].index, FixedIndex::Counts);
    assert!((matching.as_found.expect("it goes together").level - 0.05).abs() < 1e-9);
}

/// Which pins begin to carry in which order and with what left, the drum driving and the rim.
fn order_of(measured: &str) -> [Vec<(usize, f64)>; 2] {
    let seated = of_text(&split([(18, 24), (18, 24)], measured)).as_found.expect("it goes together");
    let [drives, driven] = &seated.first_contacts[..] else { panic!("drum and rim, each way: {seated:?}") };
    assert_eq!(
        [drives.all_pushing.len(), drives.all_holding.len(), driven.all_pushing.len()],
        [2, 1, 1],
        "meshes of each side"
    );
    [drives, driven].map(|contact| contact.pins.iter().map(|pin| (pin.pin, pin.teeth_left)).collect())
}

#[test]
fn of_two_gears_on_one_drum_the_one_that_touches_first_says_which_pin_carries() {
    // Gear q is ahead on pin 2 and behind on pin 3. The drum, turning the clusters clockwise, touches q of pin 2
    // 0.02 of a tooth before p of all, on pin 3 p first; held by the drum it is q of pin 3 that touches first.
    let clusters =
        "clusters: {\"1\": Index([]), \"2\": Index([Teeth(\"q\", 0.02)]), \"3\": Index([Teeth(\"q\", -0.02)])}";
    let [drives, driven] = order_of(&format!("central: [Teeth(\"T\", 0)], {clusters}"));
    let as_told = |found: &[(usize, f64)], first: usize, others: [usize; 2]| {
        let is = |(pin, left): (usize, f64), meant: usize, play: f64| pin == meant && (left - play).abs() < 1e-9;
        is(found[0], first, 0.0) && is(found[1], others[0], 0.02) && is(found[2], others[1], 0.02)
    };
    assert!(as_told(&drives, 2, [1, 3]), "{drives:?}");
    assert!(as_told(&driven, 3, [1, 2]), "{driven:?}");
}

#[test]
fn who_carries_first_is_not_told_of_fixed_gears_that_were_not_measured_or_have_no_backlash() {
    let unread = of_text(&split([(18, 24), (18, 24)], ALIKE)).as_found.expect("it goes together");
    assert!(unread.first_contacts.is_empty(), "{unread:?}");
    let read = split([(18, 24), (18, 24)], &format!("central: [Teeth(\"T\", 0)], {ALIKE}"));
    let without = of_text(&read.replace(" backlash: Millimetres(0.1),", "")).as_found.expect("it goes together");
    assert!(without.first_contacts.is_empty(), "{without:?}");
}

#[test]
fn two_bodies_of_two_ratios_each_are_not_said_to_take_in_how_their_gears_stand() {
    // With one cluster four meshes are off by four constants, and only the cluster and two bodies can be turned.
    let text = "Gearset(title: \"t\", members: {\"m\": [Sun(\"A\", 24), Sun(\"B\", 30)],
            \"n\": [Sun(\"C\", 20), Sun(\"D\", 28)], \"carrier\": []},
        planets: {\"p\": (carrier: \"carrier\", pins: Equal(2),
            gears: [Gear(\"a\", 24), Gear(\"b\", 18), Gear(\"c\", 28), Gear(\"d\", 20)])},
        meshes: [(\"A\", \"a\"), (\"B\", \"b\"), (\"C\", \"c\"), (\"D\", \"d\")],
        measured: {\"p\": (central: [Teeth(\"B\", 0), Teeth(\"D\", 0)])})";
    let fixed = of_text(text).fixed_gears;
    assert_eq!(fixed.len(), 2);
    let is_open = |fixed: &FixedGears| fixed.index == FixedIndex::Unknown && fixed.unread.is_empty();
    assert!(fixed.iter().all(|fixed| fixed.locked && is_open(fixed)), "{fixed:?}");
}

#[test]
fn a_person_sees_what_fixed_gears_do_to_the_answer() {
    let uneven = [(18, 24), (27, 36)];
    shown("fixed", &split(uneven, &format!("central: [Teeth(\"T\", 0.16)], {ALIKE}")), 0);
    shown("fixed-unknown", &split(uneven, ALIKE), 0);
    shown("fixed-binds", &split([(18, 24), (18, 24)], &format!("central: [Teeth(\"T\", 0.3)], {ALIKE}")), 1);
}

#[test]
fn a_person_sees_which_clusters_to_take_and_which_is_left() {
    let clusters = "clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"q\", 0.1)]), \"three\": Like(\"one\"),
        \"shelf\": Like(\"one\")}";
    let text = split([(18, 24), (24, 30)], clusters);
    shown("spare", &text, 0);
    let json = run_with(command(&["match", "-", "--format", "json"]), text.as_bytes()).stdout;
    assert!(json.contains("\"pin_count\": 3") && json.contains("\"does not matter\""), "{json}");
}
