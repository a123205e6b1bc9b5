//! Do the marks fit, tooth by tooth, and does everything come back when it is said to?
//!
//! Spaces are found by walking round the central gear, teeth that meet by counting both gears
//! on by one tooth at a time, and the turns of the input after which everything is back by
//! trying one number after the other, with the speeds of the members themselves. Where a planet
//! touches a central gear, and which way each then moves, is a table of kinds of gears.

use num_rational::Ratio;
use num_traits::{Signed, Zero};
use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction, part_of_turn};
use toothmark::gearset::{Draft, DraftPins, GearKind, Gearset, Side};
use toothmark::kinematics::{StateMotion, motions};
use toothmark::timing::{
    GearMarks, GroupMarking, MarkPurpose, MarkingConvention, PhaseOrder, StateReturn, ToothMark, marking,
};

use crate::support::random::telling_cases;
use crate::support::sets::{file_stems, read_example, read_set, vectors};
use crate::support::trains::{cluster, meshed_pair, small_cluster, train, with_a_pitch_unknown};
use crate::timing::timing_twin::{Small, off, rows, small};

/// Every gearset of the project, with its name.
fn all_sets() -> Vec<(String, Gearset)> {
    let examples = file_stems("gearsets").into_iter().map(|name| (name.clone(), read_example(&name)));
    examples.chain(vectors().into_iter().map(|set| ("vector".to_owned(), set))).collect()
}

fn teeth(set: &Gearset, gear: toothmark::gearset::GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}

/// The turn of a planet from its own radius that the mark on one of its gears stands for.
fn turn_of(set: &Gearset, marks: &GearMarks, mark: &ToothMark) -> Small {
    (small(&mark.off_line) - mark.tooth) / teeth(set, marks.gear)
}

/// Whether tooth and space move to the same side of the line when both bodies turn counter-clockwise.
fn same_side(set: &Gearset, marks: &GearMarks) -> bool {
    let central = set.gear(marks.central_gear.expect("it meets a central gear")).kind();
    match (set.gear(marks.gear).kind(), central) {
        // The sun lies between pin and centre: what is its right is the planet's left.
        (GearKind::External, GearKind::External) => false,
        // The ring lies beyond the planet, and a hoop beyond the sun.
        (GearKind::External, GearKind::Internal) | (GearKind::Internal, GearKind::External) => true,
        // Seen from outside, the near teeth of a bevel planet go one way and the far ones the other.
        (GearKind::BevelPlanet, GearKind::BevelCentral(side)) => side == Side::Output,
        (planet, central) => panic!("{planet:?} does not mesh with {central:?}"),
    }
}

/// Walks round the central gear, space by space, to the one that is marked, and says how many
/// pitches it stands counter-clockwise of the line of a pin.
fn walk_to(space: i64, teeth: i64, place: Small) -> Small {
    let mut beyond = -place * teeth;
    for _ in 0..space {
        beyond += Small::from_integer(1);
    }
    // The nearest way round.
    if beyond > Small::new(teeth, 2) {
        beyond - teeth
    } else if beyond < -Small::new(teeth, 2) {
        beyond + teeth
    } else {
        beyond
    }
}

/// The number of marks looked at.
#[track_caller]
fn check_marks(case: &str, set: &Gearset) -> usize {
    let mut looked_at = 0;
    for (group, marked) in set.planet_groups().iter().zip(marking(set).groups) {
        let spacings = group.spacings();
        for marks in &marked.marks {
            assert_eq!(marks.pins.len(), marked.pins, "{case}: a mark for every pin");
            for (mark, place) in marks.pins.iter().zip(&spacings) {
                looked_at += 1;
                assert!(mark.off_line.abs() <= fraction(1, 2), "{case}: another tooth is nearer: {mark:?}");
                let Some(central) = marks.central_gear else { continue };
                let space = walk_to(mark.space.expect("it meets a gear"), teeth(set, central), small(place));
                let tooth = small(&mark.off_line);
                let expected = if same_side(set, marks) { tooth } else { -tooth };
                assert!((space - expected).is_zero(), "{case}: {mark:?} misses its space, {space} against {expected}");
            }
        }
        check_seated(case, set, &marked, group);
        check_choice(case, &marked);
    }
    looked_at
}

/// The marks of one planet mean one turn of it, and with it all meshes are right.
#[track_caller]
fn check_seated(case: &str, set: &Gearset, marked: &GroupMarking, group: &toothmark::gearset::PlanetGroup) {
    if marked.marks.is_empty() {
        return;
    }
    for (pin, place) in group.spacings().iter().enumerate() {
        let turn = |planet: usize| {
            let of_planet = marked.marks.iter().filter(|marks| marks.planet == marked.planets[planet]);
            let turns: Vec<Small> = of_planet.map(|marks| turn_of(set, marks, &marks.pins[pin])).collect();
            assert!(turns.iter().all(|turn| *turn == turns[0]), "{case}: gears of one planet disagree: {turns:?}");
            turns.first().copied()
        };
        let x = small(place);
        for row in rows(set, group) {
            // A planet with any tooth is not marked; the rest of its row has no unknown left only where it is absent.
            let terms: Option<Vec<Small>> =
                row.planets.iter().map(|&(planet, teeth)| Some(turn(planet)? * teeth)).collect();
            if let Some(terms) = terms {
                let sum: Small = terms.into_iter().sum();
                assert!(off(sum - x * row.central).is_zero(), "{case}: pin {} does not mesh: {row:?}", pin + 1);
            }
        }
    }
}

/// One gear of each marked planet is the one to use, and none of its others is nearer to the line.
#[track_caller]
fn check_choice(case: &str, marked: &GroupMarking) {
    for marks in &marked.marks {
        let of_planet: Vec<&GearMarks> = marked.marks.iter().filter(|other| other.planet == marks.planet).collect();
        let used: Vec<_> = of_planet.iter().filter(|marks| marks.purpose == MarkPurpose::Marks).collect();
        assert_eq!(used.len(), 1, "{case}: one gear of a planet is used");
        assert!(used[0].worst_off_line() <= marks.worst_off_line(), "{case}: another gear is nearer to the line");
    }
}

#[test]
fn marked_teeth_fill_marked_spaces_in_every_gearset() {
    let looked_at: usize = all_sets().iter().map(|(case, set)| check_marks(case, set)).sum();
    assert!(looked_at > 100, "{looked_at} marks");
}

/// Common practice, no source: between the marks of three planets a gear with 27 teeth shows eight unmarked.
#[test]
fn a_gear_with_27_teeth_and_three_planets_shows_eight_unmarked_between_marks() {
    let text = "Gearset(title: \"t\", members: {\"c\": [], \"d\": [Sun(\"D\", 27)], \"l\": [Sun(\"L\", 21)], \
                \"r\": [Sun(\"R\", 30)]}, planets: {\"k\": (carrier: \"c\", pins: Equal(3), gears: [Gear(\"d1\", 27), \
                Gear(\"l1\", 33), Gear(\"r1\", 24)])}, meshes: [(\"D\", \"d1\"), (\"L\", \"l1\"), (\"R\", \"r1\")])";
    let marked = &marking(&read_set("27 teeth", text)).groups[0];
    assert_eq!(marked.convention, MarkingConvention::Radial);
    assert_eq!(marked.marks[0].spaces, [0, 9, 18]);
    assert!(marked.marks[0].pins.iter().all(|mark| mark.tooth == 0 && mark.off_line.is_zero()));
}

/// The conventions from the simplest on, each in a gearset that needs it.
#[test]
fn the_simplest_convention_that_serves_is_taken() {
    let takes = |name: &str, convention: MarkingConvention| {
        assert_eq!(marking(&read_example(name)).groups[0].convention, convention, "{name}");
    };
    takes("cannot-be-trio", MarkingConvention::Refused);
    takes("hoop-reducer", MarkingConvention::OnePin);
    takes("millrace-winch", MarkingConvention::AnyTooth);
    // Parallel marks serve as well.
    takes("hill-tramway-car", MarkingConvention::Radial);
    takes("inspection-railcar", MarkingConvention::Parallel);
    takes("orchard-truck", MarkingConvention::Individual);
}

/// Seats each planet of a kind that is not marked in every one of its teeth.
#[track_caller]
fn check_any_tooth(set: &Gearset) -> bool {
    let marked = &marking(set).groups[0];
    let (rows, spacings) = (rows(set, &set.planet_groups()[0]), set.planet_groups()[0].spacings());
    let seat = |x: Small, (teeth, central): (i64, i64), tooth: i64| {
        let turn = (x * central + tooth) / teeth;
        rows.iter().all(|row| off(turn * row.planets[0].1 - x * row.central).is_zero())
    };
    let right = spacings.iter().all(|place| {
        let x = small(place);
        let pairs = rows.iter().map(|row| (row.planets[0].1, row.central));
        pairs.into_iter().all(|pair| (0..pair.0.abs()).all(|tooth| seat(x, pair, tooth)))
    });
    if marked.pins > 1 && marked.convention != MarkingConvention::Refused {
        assert_eq!(marked.convention == MarkingConvention::AnyTooth, right, "{rows:?}");
    }
    right
}

/// Counts both gears on by a tooth until the first two meet again: how many teeth of the other
/// met the first tooth of the one on the way, and the turns of both.
fn count_on(one: u16, other: u16) -> (u16, [u16; 2]) {
    let (mut at, mut turns, mut met) = ([0, 0], [0, 0], 0);
    loop {
        met += u16::from(at[0] == 0);
        for (gear, teeth) in [one, other].into_iter().enumerate() {
            at[gear] = (at[gear] + 1) % teeth;
            turns[gear] += u16::from(at[gear] == 0);
        }
        if at == [0, 0] {
            return (met, turns);
        }
    }
}

#[test]
fn the_same_teeth_meet_again_when_counting_tooth_by_tooth_says_so() {
    let mut looked_at = 0;
    for (case, set) in all_sets() {
        for meeting in marking(&set).groups.into_iter().flat_map(|group| group.meetings) {
            let [one, other] = set.mesh(meeting.mesh).gears().both().map(|&gear| set.gear(gear).tooth_count().get());
            let (met, turns) = count_on(one, other);
            assert_eq!([meeting.turns.first, meeting.turns.second], turns, "{case}: {one} with {other}");
            assert_eq!(met, other / meeting.common_factor, "{case}: teeth of {other} that meet one of {one}");
            looked_at += 1;
        }
    }
    assert!(looked_at > 80, "{looked_at} meshes");
}

/// A body that has to come round: its turns against the carrier per turn of the input.
fn speeds_against_carrier(set: &Gearset, group: &GroupMarking, motion: &StateMotion) -> Option<Vec<Small>> {
    let speed = |member| {
        let found = motion.members.iter().find(|motion| motion.member == member);
        found.map_or(Some(fraction(0, 1)), |motion| motion.speed.value().cloned())
    };
    let carrier = speed(group.carrier);
    let mut speeds = Vec::new();
    for &planet in &group.planets {
        let motion = motion.members.iter().find(|motion| motion.member == planet)?;
        speeds.push(small(motion.relative_to_carrier.as_ref()?.value()?));
    }
    for phase in &group.phases {
        // Where the members' own speeds are free, their difference may still be known: not asked here.
        speeds.push(small(&(speed(set.gear(phase.central_gear).member())? - carrier.as_ref()?)));
    }
    Some(speeds)
}

/// The first number of turns of the input that makes every body whole, tried one after the
/// other: whole turns of the first body, then two, and so on.
fn first_return(speeds: &[Small], most: i64) -> Option<Small> {
    (1..=most)
        .map(|turns| Small::from_integer(turns) / speeds[0].abs())
        .find(|input| speeds.iter().all(|speed| (speed * input).is_integer()))
}

/// Whether every marked tooth is in a marked space after so many turns of the input.
fn marks_meet(set: &Gearset, group: &GroupMarking, motion: &StateMotion, input: Small) -> bool {
    let speed = |member| {
        let found = motion.members.iter().find(|motion| motion.member == member).expect("a member");
        found.relative_to_carrier.as_ref().and_then(|speed| speed.value()).map(small)
    };
    // Once the marks that are a check were reckoned in, which few people make.
    group.marks.iter().filter(|marks| marks.purpose == MarkPurpose::Marks).all(|marks| {
        let planet = speed(marks.planet).expect("it rolls") * input;
        let Some(central) = marks.central_gear else { return planet.is_integer() };
        let (signed, z) = (set.gear(marks.gear).signed_tooth_count(), set.gear(central).signed_tooth_count());
        let turned = -planet * signed / z;
        let places: Vec<Small> =
            marks.spaces.iter().map(|&space| Small::new(space, z.abs()) + turned).map(|at| at - at.floor()).collect();
        planet.is_integer() && marks.spaces.iter().all(|&space| places.contains(&Small::new(space, z.abs())))
    })
}

/// How many states were looked at.
#[track_caller]
fn check_returns(case: &str, set: &Gearset, most: i64) -> usize {
    let mut looked_at = 0;
    let motions = motions(set);
    for group in marking(set).groups {
        for (state, motion) in group.states.iter().zip(&motions) {
            let Some(back) = &state.everything_back else { continue };
            if let Some(speeds) = speeds_against_carrier(set, &group, motion)
                && let Some(everything) = first_return(&speeds, most)
            {
                assert_eq!(small(back), everything, "{case}, {}: {speeds:?}", state.state);
                looked_at += 1;
                check_turns(case, &speeds, state, back);
            }
            check_line_up(&format!("{case}, {}", motion.state), set, &group, motion, state);
        }
    }
    looked_at
}

#[track_caller]
fn check_turns(case: &str, speeds: &[Small], state: &StateReturn, back: &Fraction) {
    let turns: Vec<Fraction> = state.turns_by_then.iter().map(|body| Fraction::from(body.turns.clone())).collect();
    for speed in speeds {
        let size = (speed * small(back)).abs();
        assert!(turns.iter().any(|turns| small(turns).abs() == size), "{case}: {size} turns are not told: {turns:?}");
    }
}

#[track_caller]
fn check_line_up(case: &str, set: &Gearset, group: &GroupMarking, motion: &StateMotion, state: &StateReturn) {
    let Some(line_up) = &state.line_up else {
        assert!(group.marks.is_empty(), "{case}: marks never meet again");
        return;
    };
    let marked = group.marks[0].planet;
    let speed = motion.members.iter().find(|motion| motion.member == marked).expect("a planet");
    let speed = small(speed.relative_to_carrier.as_ref().and_then(|speed| speed.value()).expect("it rolls")).abs();
    let tried = (1..=600).map(|turns| Ratio::from_integer(turns) / speed);
    if let Some(first) = tried.into_iter().find(|&input| marks_meet(set, group, motion, input)) {
        assert_eq!(small(line_up), first, "{case}");
    }
    assert!(
        (state.everything_back.as_ref().expect("it rolls") / line_up).is_integer(),
        "{case}: marks meet when everything is back"
    );
}

#[test]
fn everything_is_back_after_the_turns_that_trying_finds() {
    let looked_at: usize = all_sets().iter().map(|(case, set)| check_returns(case, set, 3000)).sum();
    assert!(looked_at > 100, "{looked_at} states");
}

/// Walks on from the line of pin 1 by whole pitches and says what is left to the line of each pin.
#[test]
fn phases_are_what_is_left_after_walking_by_whole_pitches() {
    let mut looked_at = 0;
    for (case, set) in all_sets() {
        for (group, marked) in set.planet_groups().iter().zip(marking(&set).groups) {
            for phase in &marked.phases {
                for (left, place) in phase.pins.iter().zip(group.spacings()) {
                    let mut way = small(&place) * teeth(&set, phase.central_gear);
                    while way >= Small::from_integer(1) {
                        way -= 1;
                    }
                    assert_eq!(small(left), way, "{case}");
                    looked_at += 1;
                }
            }
        }
    }
    assert!(looked_at > 200, "{looked_at} phases");
}

/// A winch with these counts, on so many equal pins.
fn winch(sun: i64, planet: i64, ring: i64, pins: &str) -> GroupMarking {
    let text = format!(
        "Gearset(title: \"t\", members: {{\"s\": [Sun(\"S\", {sun})], \"r\": [Ring(\"R\", {ring})], \"c\": []}}, planets: \
         {{\"p\": (carrier: \"c\", pins: {pins}, gears: [Gear(\"p1\", {planet})])}}, meshes: [(\"S\", \"p1\"), (\"R\", \
         \"p1\")])"
    );
    marking(&read_set("winch", &text)).groups.remove(0)
}

#[test]
fn planets_are_in_step_in_counter_phase_or_in_sequence() {
    let orders = |marked: &GroupMarking| marked.phases.iter().map(|phase| phase.order).collect::<Vec<_>>();
    assert_eq!(orders(&winch(24, 18, 60, "Equal(3)")), [PhaseOrder::InStep; 2]);
    assert_eq!(orders(&winch(30, 24, 78, "Equal(4)")), [PhaseOrder::CounterPhase; 2]);
    assert_eq!(orders(&winch(25, 20, 65, "Equal(3)")), [PhaseOrder::Evenly; 2]);
    // Places 0, 1/9, 1/2 of 90 teeth together: 26/9 and 13 pitches at the sun.
    let uneven = winch(26, 19, 64, "Turns([0, \"1/9\", \"1/2\"])");
    assert_eq!(orders(&uneven), [PhaseOrder::Unevenly; 2]);
    assert!(uneven.phases[0].counter_phase_pairs.is_empty(), "{:?}", uneven.phases);
    let four = winch(30, 24, 78, "Equal(4)");
    assert_eq!(four.phases[0].counter_phase_pairs, [[1, 2], [2, 3], [1, 4], [3, 4]]);
}

#[test]
fn central_gears_on_one_body_are_said_to_be_solid() {
    let text = "Gearset(title: \"t\", members: {\"c\": [], \"d\": [Sun(\"D\", 27)], \"l\": [Sun(\"L\", 21)], \
                \"r\": [Sun(\"R\", 30)]}, planets: {\"k\": (carrier: \"c\", pins: Equal(3), gears: [Gear(\"d1\", 27), \
                Gear(\"l1\", 33), Gear(\"r1\", 24)])}, meshes: [(\"D\", \"d1\"), (\"L\", \"l1\"), (\"R\", \"r1\")], \
                joins: [(\"l\", \"case\"), (\"r\", \"case\")])";
    let set = read_set("joined", text);
    let solid = marking(&set).groups[0].solid.clone();
    assert_eq!(solid, [[set.gear_named("L").unwrap(), set.gear_named("R").unwrap()]]);
    assert!(marking(&read_example("inspection-railcar")).groups[0].solid.is_empty(), "three drums turn by themselves");
}

/// The same planets with pins at the places seen from the other side.
fn turned_over(draft: &Draft) -> Gearset {
    let set = Gearset::new(draft.clone()).expect("a sound draft");
    let places = set.planet_groups()[0].places().iter().map(|place| part_of_turn(&-place));
    let mut draft = draft.clone();
    draft.planets[0].pins = DraftPins::turns(places).into();
    Gearset::new(draft).expect("places that differ")
}

proptest! {
    #![proptest_config(telling_cases(150))]

    #[test]
    fn marked_teeth_of_clusters_fill_marked_spaces(draft in cluster()) {
        prop_assume!(check_marks("a cluster", &Gearset::new(draft).unwrap()) > 0);
    }

    #[test]
    fn planets_stay_unmarked_exactly_where_every_tooth_is_right(draft in small_cluster()) {
        check_any_tooth(&Gearset::new(draft).unwrap());
    }

    #[test]
    fn seen_from_the_other_side_teeth_and_spaces_are_counted_the_other_way(draft in cluster()) {
        let set = Gearset::new(draft.clone()).unwrap();
        prop_assume!(!set.gears()[0].kind().is_bevel());
        let (one, other) = (marking(&set).groups.remove(0), marking(&turned_over(&draft)).groups.remove(0));
        prop_assert_eq!(one.convention, other.convention);
        for (marks, mirrored) in one.marks.iter().zip(&other.marks) {
            for (mark, mirrored) in marks.pins.iter().zip(&mirrored.pins) {
                // Halfway between two teeth either may be taken.
                if mark.off_line.abs() < fraction(1, 2) {
                    prop_assert_eq!(&mark.off_line, &-&mirrored.off_line);
                    let alike = teeth(&set, marks.gear) / marks.alike_teeth;
                    prop_assert_eq!((mark.tooth + mirrored.tooth) % alike, 0);
                    let spaces = mark.space.unwrap() + mirrored.space.unwrap();
                    prop_assert_eq!(spaces % teeth(&set, marks.central_gear.unwrap()), 0);
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(telling_cases(30))]

    #[test]
    fn marked_teeth_of_any_train_fill_marked_spaces(draft in train(), pair in meshed_pair()) {
        let looked_at = [draft, pair].map(|draft| check_marks("a train", &Gearset::new(with_a_pitch_unknown(draft)).unwrap()));
        prop_assume!(looked_at.iter().sum::<usize>() > 0);
    }

    #[test]
    fn everything_is_back_in_any_train_when_trying_says_so(draft in train()) {
        prop_assume!(check_returns("a train", &Gearset::new(with_a_pitch_unknown(draft)).unwrap(), 600) > 0);
    }
}
