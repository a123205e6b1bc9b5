//! Are measured clusters matched as they should be?
//!
//! Small sets are matched a second time by the exact search for the nearest miss, order by order, and
//! those of two pins by trying every place where the worst gear can change. Residuals are put back into
//! the rows. What all clusters have in common, and turning the whole set, must change nothing; readings
//! that are off by no more than their uncertainty must stay within the bounds that were given.

use num_traits::{ToPrimitive, Zero};
use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{ExactFit, Fraction, IntegerMatrix, Target, fraction, multiple, nearest_miss};
use toothmark::gearset::{
    Draft, DraftCluster, DraftGear, DraftIndex, DraftMeasured, DraftMember, DraftMesh, DraftPins, DraftPlanet,
    DraftReading, Gearset, Length, MeasuredPins, Offset, Pitch, Uncertainty,
};
use toothmark::timing::{GroupMatching, MatchRefusal, PlayVerdict, Seated, Weighing, matching};

use crate::support::process::{command, run, run_with};
use crate::support::random::cases;

/// A cluster between suns, or rings where the central count is negative, with an index for each gear of
/// each cluster, the first gear's being 0.
#[derive(Debug, Clone)]
pub(crate) struct Set {
    /// Teeth of each gear of the cluster and of its central gear.
    pub(crate) gears: Vec<(i64, i64)>,
    pub(crate) places: Vec<Fraction>,
    pub(crate) index: Vec<Vec<Fraction>>,
}

fn reading(gear: usize, teeth: &Fraction) -> DraftReading {
    DraftReading { gear: format!("p{gear}").into(), offset: Offset::Teeth(teeth.clone().into()) }
}

impl Set {
    pub(crate) fn draft(&self) -> Draft {
        let central = |(at, &(_, count)): (usize, &(i64, i64))| {
            let name = format!("c{at}");
            let gear = if count > 0 { DraftGear::sun(&name, count) } else { DraftGear::ring(&name, -count) };
            DraftMember::new(format!("m{at}"), [gear])
        };
        let planet_gear = |(at, &(count, _)): (usize, &(i64, i64))| DraftGear::planet(format!("p{at}"), count);
        let cluster = |(at, index): (usize, &Vec<Fraction>)| DraftCluster {
            name: format!("cluster {at}").into(),
            index: DraftIndex::Readings((1..self.gears.len()).map(|gear| reading(gear, &index[gear])).collect()),
        };
        let members = self.gears.iter().enumerate().map(central).chain([DraftMember::new("carrier", [])]);
        let gears: Vec<DraftGear> = self.gears.iter().enumerate().map(planet_gear).collect();
        let pins = DraftPins::turns(self.places.clone());
        Draft {
            title: "measured".into(),
            members: members.collect(),
            planets: vec![DraftPlanet::new("planet", "carrier", pins, gears)],
            meshes: (0..self.gears.len()).map(|at| DraftMesh::of(format!("c{at}"), format!("p{at}"))).collect(),
            measured: vec![DraftMeasured {
                planet: "planet".into(),
                uncertainty: None,
                central: Vec::new(),
                clusters: self.index.iter().enumerate().map(cluster).collect(),
                pins: None,
            }],
            ..Draft::default()
        }
    }

    pub(crate) fn matching(&self) -> GroupMatching {
        matched(self.draft())
    }
}

#[track_caller]
pub(crate) fn matched(draft: Draft) -> GroupMatching {
    let set = Gearset::new(draft).expect("the set is sound");
    matching(&set).expect("it can be matched").groups.remove(0)
}

/// Sets of two or three pins and two or three gears; indexes are small, or anything.
fn sets() -> impl Strategy<Value = Set> {
    let gear = (3..9_i64, prop_oneof![3..12_i64, -20..-9_i64]);
    let fraction_of = |limit: i64| (-limit..=limit).prop_map(|hundredths| fraction(hundredths, 100));
    (prop::collection::vec(gear, 2..=3), 2..=3_usize, any::<bool>()).prop_flat_map(move |(gears, pins, equal)| {
        let equal_places: Vec<Fraction> = (0..pins).map(|pin| fraction(whole(pin), whole(pins))).collect();
        let off = prop::collection::vec(-20..20_i64, pins);
        let places = off.prop_map(move |off| {
            let place = |(place, off): (&Fraction, &i64)| place + fraction(if equal { 0 } else { *off }, 360);
            equal_places.iter().zip(&off).map(place).collect::<Vec<_>>()
        });
        let index = prop_oneof![2 => fraction_of(3), 1 => fraction_of(49)];
        let indexes = prop::collection::vec(prop::collection::vec(index, gears.len()), pins);
        (Just(gears), places, indexes).prop_map(|(gears, places, mut index)| {
            for index in &mut index {
                index[0] = Fraction::zero();
            }
            Set { gears, places, index }
        })
    })
}

pub(crate) fn whole(number: usize) -> i64 {
    i64::try_from(number).expect("small")
}

/// The least largest error of a set in one order, by the exact search over all seatings.
fn exact_level(set: &Set, order: &[usize]) -> Option<f64> {
    let (pins, gears) = (set.places.len(), set.gears.len());
    let mut entries = Vec::new();
    let mut offset = Vec::new();
    for (pin, &cluster) in order.iter().enumerate() {
        for (gear, &(planet, central)) in set.gears.iter().enumerate() {
            let turn = (0..pins).map(|column| if column == pin { planet } else { 0 });
            let phase = (0..gears).map(|column| -i64::from(column == gear));
            entries.extend(turn.chain(phase));
            offset.push(multiple(&(&set.places[pin] - &set.places[0]), central) - &set.index[cluster][gear]);
        }
    }
    let matrix = IntegerMatrix::new(pins * gears, pins + gears, entries);
    let target = Target { offset, ..Target::integers(pins * gears) };
    let miss = nearest_miss(&matrix, &target, ExactFit::Counted).expect("few classes")?;
    miss.value.to_f64().filter(|&level| level < 0.25 - 1e-9)
}

pub(crate) fn orders(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let longer = |order: Vec<usize>| {
        (0..count).map(move |at| {
            let mut order = order.clone();
            order.insert(at, count - 1);
            order
        })
    };
    orders(count - 1).into_iter().flat_map(longer).collect()
}

#[track_caller]
pub(crate) fn same(found: Option<f64>, expected: Option<f64>, what: &str) {
    match (found, expected) {
        // At the limit either may be right.
        (Some(level), None) | (None, Some(level)) => assert!(level > 0.249_999, "{found:?}, not {expected:?}: {what}"),
        _ => {
            let difference = found.unwrap_or_default() - expected.unwrap_or_default();
            assert!(difference.abs() < 2e-6, "{found:?}, not {expected:?}: {what}");
        }
    }
}

/// Which cluster of a draft of a set has this name.
pub(crate) fn number_of(cluster: &str) -> usize {
    cluster.trim_start_matches("cluster ").parse().expect("clusters are named by their number")
}

/// Puts every residual back into its row.
#[track_caller]
fn check_rows(set: &Set, seated: &Seated) {
    for (gear, &(planet, central)) in set.gears.iter().enumerate() {
        let row = |pin: usize| {
            let seated = &seated.pins[pin];
            let x = (&set.places[pin] - &set.places[0]).to_f64().expect("small");
            let index = set.index[number_of(&seated.cluster)][gear].to_f64().expect("small");
            float(planet) * seated.turn_degrees / 360.0 - float(central) * x + index - seated.residuals[gear].teeth
        };
        for pin in 1..set.places.len() {
            let apart = row(pin) - row(0);
            assert!((apart - apart.round()).abs() < 1e-7, "{set:?}: {seated:?}");
        }
    }
    let errors = seated.pins.iter().flat_map(|pin| &pin.residuals).map(|residual| residual.teeth.abs());
    let largest = errors.fold(0.0, f64::max);
    assert!((largest - seated.level).abs() < 1e-7, "{largest} is not the level of {seated:?}");
}

pub(crate) fn float(count: i64) -> f64 {
    count.to_f64().expect("small")
}

pub(crate) fn level(seated: Option<&Seated>) -> Option<f64> {
    seated.map(|seated| seated.level)
}

/// The better of the clusters as found and exchanged.
pub(crate) fn best(matching: &GroupMatching) -> Option<f64> {
    level(matching.best())
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn the_best_order_and_seating_is_that_of_the_exact_search_of_all(set in sets()) {
        let matching = set.matching();
        let as_found: Vec<usize> = (0..set.places.len()).collect();
        same(level(matching.as_found.as_ref()), exact_level(&set, &as_found), "as found");
        let all = orders(set.places.len()).into_iter().filter_map(|order| exact_level(&set, &order));
        same(best(&matching), all.min_by(f64::total_cmp), "any order");
        for seated in [&matching.listed, &matching.as_found, &matching.exchanged].into_iter().flatten() {
            check_rows(&set, seated);
        }
        if let (Some(exchanged), Some(as_found)) = (&matching.exchanged, &matching.as_found) {
            prop_assert!(exchanged.level < as_found.level);
        }
    }

    #[test]
    fn two_pins_fit_as_well_as_the_best_place_of_a_fine_comb(mut set in sets()) {
        set.places.truncate(2);
        set.index.truncate(2);
        let comb = |at: u32| {
            let turn = f64::from(at) / 5000.0;
            let error = |(gear, &(planet, central)): (usize, &(i64, i64))| {
                let x = (&set.places[1] - &set.places[0]).to_f64().expect("small");
                let index = (&set.index[1][gear] - &set.index[0][gear]).to_f64().expect("small");
                let apart = float(planet) * turn - float(central) * x + index;
                (apart - apart.round()).abs() / 2.0
            };
            set.gears.iter().enumerate().map(error).fold(0.0, f64::max)
        };
        let least = (0..5000).map(comb).fold(f64::INFINITY, f64::min);
        // Between two teeth of the comb an error changes by no more than 8 teeth / 5000 / 2 / 2.
        let found = level(set.matching().as_found.as_ref()).unwrap_or(0.25);
        prop_assert!(found <= least + 1e-9 && least <= found + 5e-4, "{} {}", found, least);
    }

    #[test]
    fn an_index_that_all_clusters_have_more_changes_nothing(set in sets(), more in -10..10_i64) {
        let mut shifted = set.clone();
        let more = fraction(more, 100);
        for index in &mut shifted.index {
            index[1] = &index[1] + &more;
        }
        prop_assume!(shifted.index.iter().all(|index| index[1] < fraction(1, 2) && index[1] > fraction(-1, 2)));
        let (before, after) = (set.matching(), shifted.matching());
        same(level(after.as_found.as_ref()), level(before.as_found.as_ref()), "as found");
        same(level(after.listed.as_ref()), level(before.listed.as_ref()), "listed");
        same(best(&after), best(&before), "best");
    }

    #[test]
    fn turning_the_whole_set_changes_nothing(set in sets(), degrees in 0..360_i64) {
        let mut turned = set.clone();
        turned.places.iter_mut().for_each(|place| *place += fraction(degrees, 360));
        let mut begun_elsewhere = set.clone();
        begun_elsewhere.places.rotate_left(1);
        begun_elsewhere.index.rotate_left(1);
        let before = set.matching();
        for after in [turned.matching(), begun_elsewhere.matching()] {
            same(level(after.as_found.as_ref()), level(before.as_found.as_ref()), "as found");
            same(best(&after), best(&before), "best");
        }
    }

    #[test]
    fn seen_from_the_other_side_the_set_fits_as_well(set in sets()) {
        let mut mirrored = set.clone();
        mirrored.places.iter_mut().for_each(|place| *place = -&*place);
        mirrored.index.iter_mut().flatten().for_each(|index| *index = -&*index);
        same(best(&mirrored.matching()), best(&set.matching()), "mirrored");
    }

    #[test]
    fn readings_that_are_off_by_no_more_than_said_stay_within_the_bounds(
        set in sets(),
        off in prop::collection::vec(-1.0..1.0_f64, 9),
    ) {
        let mut draft = set.draft();
        draft.measured[0].uncertainty = Some(Uncertainty::Teeth(fraction(1, 100)).into());
        let bounds = matched(draft);
        let mut other = set.clone();
        for (cluster, index) in other.index.iter_mut().enumerate() {
            for (gear, index) in index.iter_mut().enumerate().skip(1) {
                *index += Fraction::from_float(off[3 * cluster + gear] * 0.01).expect("small");
            }
        }
        prop_assume!(other.index.iter().flatten().all(|index| *index < fraction(49, 100) && *index > fraction(-49, 100)));
        let found = other.matching();
        if let (Some(bounds), Some(found)) = (&bounds.listed, &found.listed) {
            prop_assert!(bounds.least - 1e-7 <= found.level && found.level <= bounds.most + 1e-7);
        }
        if let (Some(bounds), Some(found)) = (&bounds.as_found, &found.as_found) {
            prop_assert!(found.level <= bounds.most + 1e-7, "no worse than the seating that was told");
        }
    }

    #[test]
    fn what_was_measured_reads_in_again_as_it_was_written(set in sets(), kind in 0..4_usize) {
        let mut draft = set.draft();
        draft.pitch = Some(Pitch::Module(fraction(5, 2)).into());
        let measured = &mut draft.measured[0];
        let size = fraction(1, 100);
        let (offset, uncertainty) = match kind {
            0 => (Offset::Degrees(size.clone().into()), Uncertainty::Degrees(size)),
            1 => (
                Offset::Millimetres { arc: size.clone().into(), radius: fraction(91, 3).into() },
                Uncertainty::Arc(Length::Millimetres(size)),
            ),
            2 => (
                Offset::Inches { arc: fraction(1, 700).into(), radius: fraction(5, 4).into() },
                Uncertainty::Arc(Length::Inches(fraction(1, 1000))),
            ),
            _ => (Offset::Teeth(fraction(-1, 7).into()), Uncertainty::Teeth(size)),
        };
        measured.uncertainty = Some(uncertainty.into());
        measured.clusters[0].index = DraftIndex::Readings(vec![DraftReading { gear: "p1".into(), offset }]);
        measured.clusters[1].index = DraftIndex::Like("cluster 0".into());
        let turns = |place: &Fraction| multiple(place, 360);
        let places = set.places.iter().map(|place| turns(place).into()).collect();
        measured.pins = Some(MeasuredPins::Degrees { places, error: fraction(1, 50).into() });
        let text = description::write(&draft);
        let built = Gearset::new(draft).expect("the set is sound");
        let again = description::read(&text);
        prop_assert_eq!(again.as_ref(), Ok(&built), "{}", text);
        prop_assert_eq!(description::write(built.draft()), text);
    }
}

/// A cluster of two gears on three equal pins, module 2.5, with so much backlash and this measured.
fn text(backlash: &str, measured: &str) -> String {
    format!(
        "Gearset(title: \"Winch from two units\", {backlash}
            members: {{\"drive\": [Sun(\"D\", 30)], \"slow\": [Sun(\"S\", 24)], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"d\", 30), Gear(\"s\", 36)])}},
            meshes: [(\"D\", \"d\"), (\"S\", \"s\")],
            measured: {{\"cluster\": ({measured})}},
        )"
    )
}

const SIZES: &str = "pitch: Module(2.5), backlash: Millimetres(0.1),";
const ODD_ONE: &str = "clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"s\", 0.02)]), \"three\": Like(\"one\")}";

#[track_caller]
pub(crate) fn of_text(text: &str) -> GroupMatching {
    let set = description::read(text).expect("the description is sound");
    matching(&set).expect("it can be matched").groups.remove(0)
}

#[test]
fn the_odd_cluster_shares_its_difference_with_the_others_by_the_play_of_each_gear() {
    // Gear s of cluster two is 0.02 of a tooth ahead. Turned back by u turns it is 30 u out at d and
    // 0.02 - 36 u at s: alike at u = 0.02 / 66, and half of that to either side of the central gear.
    let matching = of_text(&text(SIZES, ODD_ONE));
    let seated = matching.as_found.expect("it goes together");
    let each = 30.0 * 0.02 / 66.0 / 2.0;
    for pin in &seated.pins {
        let sign = if pin.pin == 2 { -1.0 } else { 1.0 };
        let expected = [each * sign, -each * sign];
        for (residual, expected) in pin.residuals.iter().zip(expected) {
            assert!((residual.teeth - expected).abs() < 1e-9, "{seated:?}");
        }
    }
    assert_eq!((matching.weighing, seated.verdict), (Weighing::Backlash, Some(PlayVerdict::Within)));
    assert_eq!(matching.exchanged, None);
    let told: Vec<bool> = matching.differences.iter().map(|difference| difference.told_apart).collect();
    assert_eq!(told, [false, true, false]);
}

#[test]
fn the_verdict_turns_where_the_play_just_suffices() {
    let needed = 2.0 * (30.0 * 0.02 / 66.0 / 2.0) * 2.5 * std::f64::consts::PI;
    for (backlash, expected) in [(needed * 1.001, PlayVerdict::Within), (needed * 0.999, PlayVerdict::Beyond)] {
        let sizes = format!("pitch: Module(2.5), backlash: Millimetres({backlash:.9}),");
        let seated = of_text(&text(&sizes, ODD_ONE)).as_found.expect("it goes together");
        assert_eq!(seated.verdict, Some(expected), "{backlash}");
        let doubtful = format!("uncertainty: Teeth(0.001), {ODD_ONE}");
        let seated = of_text(&text(&sizes, &doubtful)).as_found.expect("it goes together");
        assert_eq!(seated.verdict, Some(PlayVerdict::CannotBeTold), "{backlash}");
    }
}

#[test]
fn readings_in_any_unit_mean_the_same() {
    // 0.02 of a tooth of 36 is 0.2 degrees, and at radius 45 an arc of 0.157 mm.
    let arc = 0.2_f64.to_radians() * 45.0;
    let (radius, inches) = (45.0 / 25.4, arc / 25.4);
    let readings = [
        "Degrees(\"s\", 0.2)".to_owned(),
        format!("Millimetres(\"s\", {arc:.12}, 45)"),
        format!("Inches(\"s\", {inches:.12}, {radius:.12})"),
    ];
    let expected = of_text(&text(SIZES, ODD_ONE)).as_found.expect("it goes together").level;
    for reading in readings {
        let found = of_text(&text(SIZES, &ODD_ONE.replace("Teeth(\"s\", 0.02)", &reading)));
        assert!((found.as_found.expect("it goes together").level - expected).abs() < 1e-6, "{reading}");
    }
}

#[test]
fn a_cluster_one_seating_off_is_turned_to_another() {
    // Index 12/30 of a tooth: turned by one tooth of d, gear s is 36/30 on, 1/5 too much; by two teeth
    // 2/5, which is what the cluster has too little.
    let measured = "clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"s\", -0.4)]), \"three\": Like(\"one\")}";
    let matching = of_text(&text(SIZES, measured));
    let (listed, as_found) = (matching.listed.expect("equal clusters go"), matching.as_found.expect("it goes"));
    assert!(listed.level > 1.0 && as_found.level < 1e-6, "{} {}", listed.level, as_found.level);
    let nearest = as_found.pins[1].turn_teeth.rem_euclid(5.0);
    assert!((nearest - 2.0).abs() < 1e-6, "two teeth of d on, or one of the equal seatings: {nearest}");
}

#[test]
fn clusters_made_for_places_that_equal_ones_refuse_go_there() {
    // Suns 31 and 23 with 31 and 39 teeth do not go together on three equal pins; clusters of three classes do.
    let set = |index: [Fraction; 3]| Set {
        gears: vec![(31, 31), (39, 23)],
        places: (0..3).map(|pin| fraction(pin, 3)).collect(),
        index: index.map(|index| vec![Fraction::zero(), index]).to_vec(),
    };
    let alike = set([fraction(0, 1), fraction(0, 1), fraction(0, 1)]).matching();
    assert!(alike.listed.is_none() && level(alike.as_found.as_ref()).is_none_or(|level| level > 1e-3));
    let classes = set([fraction(0, 1), fraction(1, 3), fraction(-1, 3)]);
    let made = classes.matching();
    assert!(best(&made).is_some_and(|level| level < 1e-9), "{made:?}");
    let mixed = set([fraction(0, 1), fraction(-1, 3), fraction(1, 3)]).matching();
    let exchanged = [&made, &mixed].into_iter().filter(|matching| matching.exchanged.is_some()).count();
    assert_eq!(exchanged, 1, "one of the two orders is right, the other is put right by exchanging");
    assert!(best(&mixed).is_some_and(|level| level < 1e-9), "{mixed:?}");
}

#[test]
fn the_pin_that_lags_carries_first() {
    // The sun turns a plain planet clockwise against the ring and drives the carrier counter-clockwise: it
    // catches first the planet on the pin that stands back, last the one that stands ahead.
    let text = "Gearset(title: \"t\", pitch: Module(2),
        members: {\"sun\": [Sun(\"S\", 24)], \"ring\": [Ring(\"R\", 60)], \"carrier\": []},
        planets: {\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])},
        meshes: [(\"S\", \"p\"), (\"R\", \"p\")],
        measured: {\"planet\": (pins: Degrees([0, 120.1, 239.9], 0.001))})";
    let set = description::read(text).expect("the description is sound");
    let seated = matching(&set).expect("it can be matched").groups.remove(0).as_found.expect("it goes together");
    let driven = &seated.first_contacts[0];
    assert_eq!(driven.pushing.index(), 0, "the sun pushes");
    let order: Vec<usize> = driven.pins.iter().map(|pin| pin.pin).collect();
    assert_eq!(order, [3, 1, 2]);
    // The carrier has to move on by 0.1 degrees, and so has the planet's contact with the ring that is held.
    let left = 0.1 / 360.0 * (24.0 + 60.0);
    assert!((driven.pins[1].teeth_left - left).abs() < 1e-9, "{driven:?}");
    let back: Vec<usize> = seated.first_contacts[1].pins.iter().map(|pin| pin.pin).collect();
    assert_eq!(back, [2, 1, 3], "the other sense is the other way round");
}

#[test]
fn what_cannot_be_matched_is_refused_with_the_reason() {
    let set = Set {
        gears: vec![(30, 30), (36, 24)],
        places: vec![fraction(0, 1), fraction(1, 2)],
        index: vec![vec![Fraction::zero(); 2]; 2],
    };
    let mut nothing = set.draft();
    nothing.measured.clear();
    assert_eq!(matching(&Gearset::new(nothing).expect("sound")), Err(MatchRefusal::NothingMeasured));
    for (name, expected) in [
        ("bevel-differential", Some("has bevel gears")),
        ("loom-differential", Some("meshes with another planet")),
        ("common-sun-two-set", None),
    ] {
        let text = description::example(name).expect("an example");
        let mut draft = description::read(text).expect("sound").draft().clone();
        let planet = draft.planets[0].name.clone();
        let cluster = |pin: i64| DraftCluster { name: pin.to_string().into(), index: DraftIndex::Readings(Vec::new()) };
        let clusters = (0..draft.planets[0].pins.count()).map(cluster).collect();
        draft.measured.push(DraftMeasured { planet, uncertainty: None, clusters, central: Vec::new(), pins: None });
        let answer = matching(&Gearset::new(draft).expect("sound"));
        let reason = answer.err().map(|refusal| refusal.to_string()).unwrap_or_default();
        assert_eq!(reason.is_empty(), expected.is_none(), "{name}: {reason}");
        assert!(reason.contains(expected.unwrap_or_default()), "{name}: {reason}");
    }
}

#[track_caller]
pub(crate) fn shown(name: &str, text: &str, code: i32) {
    let answer = run_with(command(&["match", "-", "--full"]), text.as_bytes());
    assert_eq!((answer.code, answer.stderr.as_str()), (code, ""), "{name}");
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("match-{name}"), answer.stdout);
    });
}

#[test]
fn a_person_sees_the_odd_cluster_its_residuals_and_what_to_do() {
    shown("odd-one", &text(SIZES, &format!("uncertainty: Teeth(0.001), {ODD_ONE}")), 0);
    shown("without-sizes", &text("", ODD_ONE), 0);
    shown("binds", &text(SIZES, &ODD_ONE.replace("0.02", "0.09")), 1);
    shown("reseated", &text(SIZES, &ODD_ONE.replace("0.02", "-0.4")), 0);
    let pins = "pins: Chords([75, 75, 75.01], [129.90, 129.92, 129.95], 0.02)";
    shown("pins", &text(SIZES, pins), 0);
    let exchanged = "pins: Degrees([0, 119.9, 240.3], 0.001), clusters: {\"a\": Index([Teeth(\"s\", -0.03)]), \
                     \"b\": Index([]), \"c\": Index([])}";
    shown("exchanged", &text(SIZES, exchanged), 0);
}

#[test]
fn every_format_tells_the_same() {
    let text = text(SIZES, ODD_ONE);
    let answer =
        |format: &str| run_with(command(&["match", "-", "--full", "--format", format]), text.as_bytes()).stdout;
    let json: serde_json::Value = serde_json::from_str(&answer("json")).expect("the answer is JSON");
    let keys = |value: &serde_json::Value| value.as_object().expect("an object").keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&json), ["gearset", "groups"]);
    let group = &json["groups"][0];
    let expected = [
        "planet",
        "carrier",
        "clusters",
        "pins_off",
        "weighing",
        "listed",
        "as_found",
        "exchanged",
        "all_looked_at",
        "differences",
        "pin_count",
        "fixed_gears",
        "reference",
        "spares",
        "reseated",
        "binds",
        "pin_radii",
        "pin_circle_mm",
        "pins_without_backlash",
        "advised",
        "cure",
    ];
    assert_eq!(keys(group), expected);
    assert_eq!(
        keys(&group["as_found"]),
        [
            "level",
            "least",
            "most",
            "verdict",
            "pins_list",
            "first_contacts",
            "fixed_turns",
            "needs",
            "tight_meshes",
            "convention"
        ]
    );
    let csv = answer("csv");
    assert_eq!(csv.lines().count(), 1 + 3 * 2, "{csv}");
    let teeth = &group["as_found"]["pins_list"][1]["residuals"][0]["teeth"];
    assert!(csv.contains(&format!("{:.6}", teeth.as_f64().expect("a number"))), "{csv}");
    assert!(answer("markdown").contains("| 2 | \"two\" |"), "{}", answer("markdown"));
}

#[test]
fn clusters_that_differ_two_by_two_are_told_against_the_one_between_them() {
    let index = [0, 1, 1, -1, -1].map(|tenths| vec![Fraction::zero(), fraction(tenths, 10)]).to_vec();
    let places = (0..5).map(|pin| fraction(pin, 5)).collect();
    let set = Set { gears: vec![(30, 30), (35, 25)], places, index };
    let differences = set.matching().differences;
    let told: Vec<bool> = differences.iter().map(|difference| difference.told_apart).collect();
    assert_eq!(told, [false, true, true, true, true]);
    let text = description::write(&set.draft());
    let answer = run_with(command(&["match", "-", "--full"]), text.as_bytes()).stdout;
    assert!(answer.contains("measured against \"cluster 0\", which is most like the others"), "{answer}");
}

/// Once two clusters that read nearly half a tooth to either side were told to be nearly a whole tooth apart.
#[test]
fn a_difference_of_more_than_half_a_tooth_is_told_as_what_is_left_the_other_way() {
    let read = [fraction(45, 100), fraction(-45, 100), fraction(45, 100)];
    let set = Set {
        gears: vec![(30, 30), (36, 24)],
        places: (0..3).map(|pin| fraction(pin, 3)).collect(),
        index: read.into_iter().map(|read| vec![Fraction::zero(), read]).collect(),
    };
    let matching = set.matching();
    let odd = &matching.differences[1];
    assert!(odd.told_apart && !matching.differences[0].told_apart && !matching.differences[2].told_apart);
    assert!((odd.teeth.values().nth(1).expect("two gears") - 0.1).abs() < 1e-9, "{odd:?}");
    let answer = run_with(command(&["match", "-", "--full"]), description::write(&set.draft()).as_bytes()).stdout;
    assert!(answer.contains("is off by +0.1000 of a tooth"), "{answer}");
}

#[test]
fn a_single_cluster_matches_itself() {
    let set =
        Set { gears: vec![(30, 30), (35, 25)], places: vec![Fraction::zero()], index: vec![vec![Fraction::zero(); 2]] };
    let answer = run_with(command(&["match", "-", "--full"]), description::write(&set.draft()).as_bytes());
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    assert!(answer.stdout.contains("\"cluster 0\" is alone on its carrier"), "{}", answer.stdout);
}

#[test]
fn without_readings_the_program_says_what_to_write() {
    let answer = run(&["match"]);
    assert_eq!((answer.code, answer.stdout.as_str()), (2, ""));
    assert!(answer.stderr.contains("no cluster has been measured") && answer.stderr.contains("measured: {"));
}

#[test]
fn a_set_that_nothing_brings_together_is_said_to_be_one() {
    let measured = "clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"s\", 0.1)]), \"three\": Like(\"one\")}";
    let text = text(SIZES, measured).replace("Gear(\"d\", 30), Gear(\"s\", 36)", "Gear(\"d\", 1), Gear(\"s\", 1)");
    let text =
        text.replace("0.1)]", "0.499)]").replace("Sun(\"D\", 30)", "Sun(\"D\", 3)").replace("\"S\", 24", "\"S\", 3");
    let answer = run_with(command(&["match", "-", "--full"]), text.as_bytes());
    assert_eq!(answer.code, 1, "{}", answer.stdout);
}
