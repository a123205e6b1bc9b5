//! Is the backlash of meshes on displaced pins what it should be, and does whoever carries first do so?
//!
//! Values worked out to thirty digits by flanks in contact (MS12, LS1 to LS5), through the public functions; what
//! `match` says of the same pins; what is refused.

use toothmark::description;
use toothmark::fit::{
    BacklashQuestion, BacklashRefusal, BacklashSurvey, BacklashVerdict, BushClearance, CarryingContact, ContactsUntold,
    PinOf, RunOut, SharedForce, SharingQuestion, ToldPin, backlash,
};
use toothmark::gearset::{GearId, Gearset};
use toothmark::timing::{FirstContact, matching};

use crate::support::sets::read_file;

/// Two central gears with a planet between, or one cluster of two gears.
fn between(centrals: [&str; 2], planet: &str, meshes: [&str; 2], sizes: &str) -> Gearset {
    let [a, b] = centrals;
    let [p, q] = meshes;
    read(&format!(
        "Gearset(title: \"t\", {sizes},
            members: {{\"a\": [{a}], \"b\": [{b}], \"carrier\": []}},
            planets: {{\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [{planet}])}},
            meshes: [(\"A\", \"{p}\"), (\"B\", \"{q}\")])"
    ))
}

fn cluster(a: [i64; 2], b: [i64; 2]) -> Gearset {
    let gears = format!("Gear(\"p\", {}), Gear(\"q\", {})", a[1], b[1]);
    let suns = [format!("Sun(\"A\", {})", a[0]), format!("Sun(\"B\", {})", b[0])];
    between([&suns[0], &suns[1]], &gears, ["p", "q"], "pitch: Module(2.5)")
}

/// Sun, planet and ring; the planets assemble on three pins.
fn simple() -> Gearset {
    between(["Sun(\"A\", 30)", "Ring(\"B\", 66)"], "Gear(\"p\", 18)", ["p", "p"], "pitch: Module(2.5)")
}

#[track_caller]
fn read(text: &str) -> Gearset {
    description::read(text).unwrap_or_else(|faults| panic!("{text}: {faults:?}"))
}

pub(crate) fn railcar(sizes: &str) -> Gearset {
    let text = read_file("gearsets/inspection-railcar.ron");
    read(&text.replace("pitch: Module(2.5),", &format!("pitch: Module(2.5), {sizes}")))
}

fn pin(pin: usize, outward_mm: f64, ahead_mm: f64) -> ToldPin {
    ToldPin { of: PinOf { planet: None, pin }, outward_mm, ahead_mm }
}

fn with_pins(pins: Vec<ToldPin>) -> BacklashQuestion {
    BacklashQuestion { pins, ..BacklashQuestion::default() }
}

#[track_caller]
fn asked(set: &Gearset, question: &BacklashQuestion) -> BacklashSurvey {
    backlash(set, question).unwrap_or_else(|reasons| panic!("{reasons:?}"))
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() < within, "{found}, not {expected}");
}

fn gear(set: &Gearset, name: &str) -> GearId {
    set.gear_named(name).expect("it is one of its gears")
}

/// The contact in which this gear pushes clockwise and that one holds.
#[track_caller]
fn contact<'a>(set: &Gearset, survey: &'a BacklashSurvey, pushing: &str, holding: &str) -> &'a CarryingContact {
    let [pushing, holding] = [pushing, holding].map(|name| gear(set, name));
    let is_it = |contact: &&CarryingContact| {
        contact.contact.pushing_gears == [pushing] && contact.contact.holding_gears == [holding]
    };
    survey.groups.iter().flat_map(|group| &group.contacts).find(is_it).expect("these two carry torque")
}

/// How far the pushing gear has still to come for a pin.
#[track_caller]
fn to_come(contact: &FirstContact, pin: usize) -> f64 {
    let found = contact.pins.iter().find(|it| it.pin == pin).expect("there is the pin");
    found.mm_to_come.expect("there is a pitch")
}

/// MS12: at another distance, with the same teeth.
#[test]
fn backlash_is_told_at_three_circles() {
    for (sizes, a, p, outward, expected) in [
        (
            "pitch: Module(2.5), backlash: Millimetres(0)",
            "Sun(\"A\", 20)",
            31,
            0.1,
            [0.073_337_527_578_2, 0.068_806_801_254_6, 0.073_222_668_490_4],
        ),
        ("pitch: Module(2.5), backlash: Millimetres(0.12)", "Sun(\"A\", 20)", 31, 0.0, [0.12, 0.112_763_114_494, 0.12]),
        (
            "pitch: DiametralPitch(8), pressure_angle: 14.5, backlash: Inches(0)",
            "Sun(\"A\", 20)",
            31,
            0.1016,
            [0.053_107_001_917_4, 0.051_350_978_150_7, 0.053_040_441_363_5],
        ),
        (
            "pitch: DiametralPitch(8), backlash: Inches(0)",
            "Sun(\"A\", 20)",
            31,
            0.1016,
            [0.074_400_763_960_9, 0.069_826_223_809_8, 0.074_307_515_314_3],
        ),
        (
            "pitch: Module(2), backlash: Millimetres(0)",
            "Ring(\"A\", 66)",
            18,
            -0.1,
            [0.072_066_956_936_9, 0.067_862_167_151, 0.072_217_409_874_1],
        ),
        (
            "pitch: Module(2), backlash: Millimetres(0.1)",
            "Ring(\"A\", 66)",
            18,
            0.05,
            [0.063_526_504_282, 0.059_633_269_309_3, 0.063_460_399_699],
        ),
    ] {
        let set = between([a, "Sun(\"B\", 40)"], &format!("Gear(\"p\", {p}), Gear(\"q\", 41)"), ["p", "q"], sizes);
        let survey = asked(&set, &with_pins(vec![pin(2, outward, 0.0)]));
        let now = survey.groups[0].meshes[0].pins[1].now;
        let found = [now.at_working_circle_mm, now.normal_mm, now.at_pitch_circle_mm];
        found.iter().zip(expected).for_each(|(found, expected)| near(*found, expected, 1e-11));
    }
}

/// LS3, each error a hundredth of that of the vector, whose values are those of the limit of small errors.
#[test]
fn a_pin_out_of_its_place_carries_later_by_as_much_as_its_flanks_open() {
    const PART: f64 = 0.01;
    let railcar = railcar("backlash: Millimetres(0.06),");
    let of_30 = cluster([30, 30], [24, 36]);
    for (set, names, outward, along) in [
        (&railcar, ["D", "L"], 0.066_891_826_838_1, 0.016_216_216_216_2),
        (&railcar, ["L", "D"], 0.079_838_632_032_6, 0.019_354_838_709_7),
        (&of_30, ["A", "B"], 0.066_727_876_282_1, 0.016_666_666_666_7),
        (&simple(), ["A", "B"], 0.0, 0.2),
    ] {
        let [pushing, holding] = names;
        let lag = |outward: f64, ahead: f64, late: usize| {
            let survey = asked(set, &with_pins(vec![pin(2, outward * PART, ahead * PART)]));
            let contact = &contact(set, &survey, pushing, holding).contact;
            // Of the others one stands for all.
            (to_come(contact, late) - to_come(contact, if late == 2 { 1 } else { 2 })) / PART
        };
        near(lag(0.1, 0.0, 2), outward, 1e-4 * outward + 1e-9);
        near(lag(-0.1, 0.0, 1), outward, 1e-4 * outward + 1e-9);
        // In one sense it comes later, in the other earlier.
        near(lag(0.0, 0.1, 2).abs(), along, 1e-9);
        near(lag(0.0, 0.1, 2) + lag(0.0, -0.1, 2), 0.0, 1e-9);
    }
}

/// LS4: a planet of 30 teeth on a sun of 30, each thinned by 0.05 mm, 0.06 mm of clearance in its bush.
#[test]
fn a_bush_with_clearance_lets_the_backlash_come_and_go() {
    let sizes = "pitch: Module(2.5), backlash: Millimetres(0.1)";
    let gears = "Gear(\"p\", 30), Gear(\"q\", 36)";
    let set = between(["Sun(\"A\", 30)", "Sun(\"B\", 24)"], gears, ["p", "q"], sizes);
    let clearances = vec![BushClearance { of: None, mm: 0.06 }];
    let survey = asked(&set, &BacklashQuestion { clearances, ..BacklashQuestion::default() });
    let mesh = &survey.groups[0].meshes[0];
    near(mesh.now.at_working_circle_mm, 0.1, 1e-11);
    near(mesh.most.at_working_circle_mm, 0.121_919_885_979, 1e-11);
    near(mesh.least.at_working_circle_mm, 0.078_163_524_234_3, 1e-11);
    near(mesh.rocked_mm, 0.16, 1e-11);
    assert_eq!(mesh.verdict, Some(BacklashVerdict::Turns));
    // All bushes alike: no pin waits for another.
    assert_eq!(survey.groups[0].worst_contact, None);
}

/// LS5: a pin 0.10 mm too far in takes more than there is at each of its three meshes.
#[test]
fn a_pin_too_far_in_binds_and_is_told_where_it_would_be_free() {
    let set = railcar("backlash: Millimetres(0.06),");
    let survey = asked(&set, &with_pins(vec![pin(2, -0.1, 0.0)]));
    assert!(survey.binds);
    let group = &survey.groups[0];
    for mesh in &group.meshes {
        near(mesh.now.at_working_circle_mm, -0.012_389_104_266_2, 1e-11);
        assert_eq!((mesh.now_on_pin, mesh.verdict), (2, Some(BacklashVerdict::Binds)));
        near(mesh.pins[0].now.at_pitch_circle_mm, 0.06, 1e-11);
        near(mesh.pins[1].to_take_off_mm.unwrap(), -mesh.now.at_pitch_circle_mm, 1e-15);
    }
    // As far out as it is told to be set, it has just none.
    let out = group.pins[1].to_move_outward_mm.expect("a place of the pin helps");
    let moved = asked(&set, &with_pins(vec![pin(2, -0.1 + out, 0.0)]));
    let now = moved.groups[0].meshes[0].now.at_pitch_circle_mm;
    near(now, 0.0, 1e-9);
    // Or with what is to be taken off.
    let thin =
        railcar(&format!("backlash: Millimetres({:.12}),", 0.06 + group.meshes[0].pins[1].to_take_off_mm.unwrap()));
    near(asked(&thin, &with_pins(vec![pin(2, -0.1, 0.0)])).groups[0].meshes[0].now.normal_mm, 0.0, 1e-11);
}

/// Between sun and ring a pin further out takes from the ring what it gives to the sun.
#[test]
fn between_sun_and_ring_no_place_of_the_pin_helps_teeth_that_are_too_thick() {
    let sizes = "pitch: Module(2.5), backlash: Millimetres(0.02)";
    let set = between(["Sun(\"A\", 30)", "Ring(\"B\", 66)"], "Gear(\"p\", 18)", ["p", "p"], sizes);
    let told = asked(&set, &with_pins(vec![pin(3, 0.1, 0.0)]));
    let [sun, ring] = &told.groups[0].meshes[..] else { panic!("two meshes") };
    assert_eq!((sun.verdict, ring.verdict), (Some(BacklashVerdict::Turns), Some(BacklashVerdict::Binds)));
    // Further in again, to where the ring just turns: the nearest place.
    let back = told.groups[0].pins[2].to_move_outward_mm.expect("its own place is one");
    assert!(back < -0.05 && back > -0.1, "{back}");
    assert!(ring.pins[2].now.at_pitch_circle_mm < -0.05);
}

#[test]
fn run_out_takes_and_gives_once_a_turn() {
    let set = railcar("backlash: Millimetres(0.06),");
    let run_outs = vec![RunOut::new(gear(&set, "D"), 0.2)];
    let survey = asked(&set, &BacklashQuestion { run_outs, ..BacklashQuestion::default() });
    let [d, l, _] = &survey.groups[0].meshes[..] else { panic!("three meshes") };
    // D stands 0.1 mm out of the middle: as near as the pin of the vector above.
    near(d.least.at_working_circle_mm, -0.012_389_104_266_2, 1e-11);
    assert_eq!(d.verdict, Some(BacklashVerdict::MayBind));
    near(l.least.at_pitch_circle_mm, 0.06, 1e-12);
    assert!(!survey.binds, "the middle of the run-out has backlash");
}

/// A planet in a looser bush comes later by the lag of its displacement in the sense of the force: between sun and
/// ring that is along the circle, by twice as much.
#[test]
fn a_planet_in_a_looser_bush_comes_later() {
    let set = simple();
    let clearances = vec![
        BushClearance { of: None, mm: 0.02 },
        BushClearance { of: Some(PinOf { planet: None, pin: 2 }), mm: 0.08 },
    ];
    let survey = asked(&set, &BacklashQuestion { clearances, ..BacklashQuestion::default() });
    for (pushing, holding) in [("A", "B"), ("B", "A")] {
        let contact = &contact(&set, &survey, pushing, holding).contact;
        near(to_come(contact, 2), 2.0 * (0.08 - 0.02) / 2.0, 1e-9);
        near(to_come(contact, 3), 0.0, 1e-9);
    }
    assert_eq!(survey.groups[0].pins[1].bush_clearance_mm.to_string(), "0.08");
}

/// Pins of planets between sun and ring, each so much earlier in the sense in which the sun pushes clockwise: by twice
/// what it stands further along.
fn early(early: [f64; 3]) -> Vec<ToldPin> {
    let survey = asked(&simple(), &with_pins(vec![pin(1, 0.0, 0.01)]));
    let set = simple();
    let is_late = to_come(&contact(&set, &survey, "A", "B").contact, 1) > 1e-6;
    let sense = if is_late { -1.0 } else { 1.0 };
    (1..=3).zip(early).map(|(at, early)| pin(at, 0.0, sense * early / 2.0)).collect()
}

fn shared(set: &Gearset, pins: Vec<ToldPin>, newtons: f64, floats: Option<&str>) -> Vec<[f64; 2]> {
    let floats = floats.map(|name| gear(set, name));
    let sharing = Some(SharingQuestion { stiffness: 100_000.0, load: SharedForce::Newtons(newtons), floats });
    let survey = asked(set, &BacklashQuestion { pins, sharing, ..BacklashQuestion::default() });
    let shares = &contact(set, &survey, "A", "B").shares;
    assert_eq!(shares.len(), 1, "one force is given");
    shares[0].pins.iter().map(|pin| [pin.newtons, pin.carries_from_newtons]).collect()
}

/// LS1.
#[test]
fn pins_share_as_equal_springs() {
    for (force, expected) in [
        (3000.0, [500.0, 2500.0, 0.0]),
        (1500.0, [0.0, 1500.0, 0.0]),
        (9000.0, [2_666.666_666_67, 4_666.666_666_67, 1_666.666_666_67]),
    ] {
        let found = shared(&simple(), early([0.0, 0.02, -0.01]), force, None);
        let joins = [2000.0, 0.0, 4000.0];
        for ([newtons, from], (expected, joins)) in found.iter().zip(expected.iter().zip(joins)) {
            near(*newtons, *expected, 1e-4);
            near(*from, joins, 1e-4);
        }
    }
}

/// LS2.
#[test]
fn three_pins_share_alike_where_a_gear_floats_and_four_by_opposite_pairs() {
    for [newtons, _] in shared(&simple(), early([0.0, 0.02, -0.01]), 3000.0, Some("A")) {
        near(newtons, 1000.0, 1e-6);
    }
    let four = read(
        "Gearset(title: \"t\", pitch: Module(2.5),
            members: {\"a\": [Sun(\"A\", 30)], \"b\": [Ring(\"B\", 66)], \"carrier\": []},
            planets: {\"planet\": (carrier: \"carrier\", pins: Equal(4), gears: [Gear(\"p\", 18)])},
            meshes: [(\"A\", \"p\"), (\"B\", \"p\")])",
    );
    let first_early = vec![early([0.02, 0.0, 0.0])[0]];
    let found = shared(&four, first_early, 4000.0, Some("B"));
    let expected = [1500.0, 500.0, 1500.0, 500.0];
    found.iter().zip(expected).for_each(|([newtons, _], expected)| near(*newtons, expected, 1e-4));
}

/// With a torque on the input the force of the pushing gear is that of the balance: the sun of 30 teeth, module 2.5,
/// driven with 75 N m pushes with 75 / 0.0375 = 2000 N.
#[test]
fn the_force_that_pins_share_follows_from_the_torque_on_the_input() {
    let set = read(
        "Gearset(title: \"t\", pitch: Module(2.5), input: \"a\", output: \"carrier\",
            members: {\"a\": [Sun(\"A\", 30)], \"b\": [Ring(\"B\", 66)], \"carrier\": []},
            planets: {\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])},
            meshes: [(\"A\", \"p\"), (\"B\", \"p\")],
            states: {\"low\": Given(held: [\"b\"])})",
    );
    let torque = toothmark::statics::InputTorque {
        amount: toothmark::exact::fraction(75, 1),
        unit: toothmark::statics::TorqueUnit::NewtonMetres,
    };
    let sharing = Some(SharingQuestion { stiffness: 20_000.0, load: SharedForce::Torque(torque), floats: None });
    let survey = asked(&set, &BacklashQuestion { sharing, ..BacklashQuestion::default() });
    for contact in &survey.groups[0].contacts {
        let [shared] = &contact.shares[..] else { panic!("one state, one sense: {contact:?}") };
        near(shared.force_newtons, 2000.0, 1e-6);
        near(shared.worst_share, 1.0, 1e-9);
    }
    // The sun turned counter-clockwise pushes the planets clockwise.
    let drive = contact(&set, &survey, "A", "B");
    assert_eq!(drive.load_cases[0].power, toothmark::statics::PowerSense::Drive);
}

#[test]
fn without_a_stiffness_there_is_no_word_of_shares() {
    let survey = asked(&railcar("backlash: Millimetres(0.06),"), &with_pins(vec![pin(2, 0.1, 0.0)]));
    assert!(survey.groups[0].contacts.iter().all(|contact| contact.shares.is_empty()));
}

/// Two suns of one count on planets of one count: the carrier takes nothing, and there is no load to share.
#[test]
fn central_gears_of_one_ratio_leave_the_carrier_unloaded() {
    let set = cluster([26, 31], [26, 31]);
    let sharing = Some(SharingQuestion { stiffness: 1e5, load: SharedForce::Newtons(1e3), floats: None });
    let survey = asked(&set, &BacklashQuestion { sharing, ..BacklashQuestion::default() });
    let contacts = &survey.groups[0].contacts;
    assert!(contacts.iter().all(|contact| contact.leaves_carrier_unloaded && contact.shares.is_empty()));
    assert!(!contacts.is_empty());
}

/// Measured radii and places of three pins, as `match` and `backlash` see them.
#[test]
fn match_says_the_same_of_the_same_pins() {
    for (sizes, chords, clusters) in [
        (
            "teeth: {\"l\": (thinned: Millimetres(0.1)), \"d\": (thinned: Millimetres(0.2)), \"R\": (thinned: \
          Millimetres(0.15))}, pin_circles: {\"cluster\": Millimetres(71.25)},",
            "[71.25, 71.22, 71.28], [123.41, 123.41, 123.41], 0.1",
            "",
        ),
        ("backlash: Millimetres(0.2),", "[71.25, 71.15, 71.28], [123.35, 123.37, 123.41], 0.05", ""),
        (
            "backlash: Millimetres(0.2),",
            "[71.25, 71.30, 71.20], [123.46, 123.33, 123.38], 0.1",
            "clusters: {\"1\": Index([]), \"2\": Index([Teeth(\"l\", 0.01)]), \"3\": Like(\"1\")},",
        ),
    ] {
        let text = read_file("gearsets/inspection-railcar.ron")
            .replace("pitch: Module(2.5),", &format!("pitch: Module(2.5), {sizes}"))
            .replace(
                "    controls:",
                &format!("    measured: {{\"cluster\": ({clusters} pins: Chords({chords}))}},\n    controls:"),
            );
        let set = read(&text);
        let matched = matching(&set).expect("they are matched").groups.remove(0);
        let seated = matched.as_found.expect("they assemble");
        let survey = asked(&set, &BacklashQuestion::default());
        let group = &survey.groups[0];
        let contacts: Vec<&FirstContact> = group.contacts.iter().map(|contact| &contact.contact).collect();
        assert_eq!(contacts, seated.first_contacts.iter().collect::<Vec<_>>());
        assert!(group.worst_contact.is_some());
        for (stand, off) in group.pins.iter().zip(&matched.pins_off) {
            near(stand.outward_mm, off.outward_mm.unwrap(), 1e-12);
        }
        for (mesh, at) in group.meshes.iter().zip(0..) {
            for (pin, seated) in mesh.pins.iter().zip(&seated.pins) {
                let half = seated.residuals[at].half_backlash_mm.unwrap();
                near(pin.now.at_pitch_circle_mm, 2.0 * half, 1e-12);
            }
        }
        // Told by hand as they were measured, they are the same again.
        let told = group.pins.iter().map(|stand| pin(stand.pin, stand.outward_mm, stand.ahead_mm)).collect();
        let again = asked(&set, &with_pins(told));
        for (found, other) in again.groups[0].contacts.iter().zip(&group.contacts) {
            for (found, other) in found.contact.pins.iter().zip(&other.contact.pins) {
                assert_eq!(found.pin, other.pin);
                near(found.teeth_left, other.teeth_left, 1e-9);
            }
        }
    }
}

/// Planets in mesh with one another: backlash everywhere, by the distance of their pins; no order of carrying.
#[test]
fn planets_in_mesh_have_their_backlash_told_and_no_order_of_carrying() {
    let set = read(
        "Gearset(title: \"t\", pitch: Module(2), backlash: Millimetres(0.1),
            members: {\"a\": [Sun(\"A\", 24)], \"b\": [Ring(\"B\", 84)], \"carrier\": []},
            planets: {
                \"inner\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 20)]),
                \"outer\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"q\", 22)]),
            },
            meshes: [(\"A\", \"p\"), (\"p\", \"q\"), (\"B\", \"q\")])",
    );
    let inner = set.member_named("inner");
    let out = |outward_mm: f64, ahead_mm: f64| ToldPin { of: PinOf { planet: inner, pin: 2 }, outward_mm, ahead_mm };
    // Sun 24 and 20 at 44 mm, ring 84 and 22 at 62 mm, 20 and 22 at 42 mm: the angle at the axis by its cosine.
    let cosine: f64 = (44.0_f64.powi(2) + 62.0_f64.powi(2) - 42.0_f64.powi(2)) / (2.0 * 44.0 * 62.0);
    let apart = |r: f64, along: f64| {
        let angle = cosine.acos() - along / 44.0;
        (r.powi(2) + 62.0_f64.powi(2) - 2.0 * r * 62.0 * angle.cos()).sqrt()
    };
    for (outward, along) in [(0.05, 0.0), (0.0, 0.05), (-0.03, 0.04)] {
        let survey = asked(&set, &with_pins(vec![out(outward, along)]));
        let group = &survey.groups[0];
        assert_eq!(group.contacts_untold, Some(ContactsUntold::MeshedPlanets));
        let between = &group.meshes[1];
        near(between.center_distance_mm, 42.0, 1e-9);
        near(between.pins[1].center_distance_mm, apart(44.0 + outward, along), 1e-9);
        near(between.pins[0].now.at_pitch_circle_mm, 0.1, 1e-12);
        near(group.meshes[0].pins[1].center_distance_mm, 44.0 + outward, 1e-12);
    }
}

#[test]
fn what_there_is_not_and_absurd_sizes_are_refused_all_at_once() {
    let set = railcar("");
    let not_a_number = f64::NAN;
    let refused = |question: BacklashQuestion| backlash(&set, &question).expect_err("it is refused");
    let pins = vec![pin(4, 0.1, 0.0), pin(0, 0.1, 0.0), pin(1, 1.5, 0.0), pin(2, not_a_number, 0.0), pin(3, 0.0, -2.0)];
    let reasons = refused(with_pins(pins));
    assert!(
        matches!(
            reasons[..],
            [
                BacklashRefusal::NoSuchPin { pin: 4, pins: 3, .. },
                BacklashRefusal::NoSuchPin { pin: 0, .. },
                BacklashRefusal::PinTooFar { pin: 1, .. },
                BacklashRefusal::PinTooFar { pin: 2, .. },
                BacklashRefusal::PinTooFar { pin: 3, .. },
            ]
        ),
        "{reasons:?}"
    );
    let reasons = refused(BacklashQuestion {
        pins: vec![pin(1, 0.1, 0.0), pin(1, 0.0, 0.1)],
        clearances: vec![BushClearance { of: None, mm: -0.05 }, BushClearance { of: None, mm: 1.5 }],
        run_outs: vec![RunOut::new(gear(&set, "D"), -0.1), RunOut::new(gear(&set, "D"), not_a_number)],
        sharing: Some(SharingQuestion { stiffness: 0.0, load: SharedForce::Newtons(1.0), floats: None }),
        ..BacklashQuestion::default()
    });
    assert_eq!(reasons.len(), 6, "{reasons:?}");
    let sharing = |stiffness, newtons, floats| {
        let sharing = Some(SharingQuestion { stiffness, load: SharedForce::Newtons(newtons), floats });
        refused(BacklashQuestion { sharing, ..BacklashQuestion::default() }).remove(0)
    };
    assert!(matches!(sharing(1e5, -1.0, None), BacklashRefusal::Force { .. }));
    assert!(matches!(sharing(1e5, 1e3, Some(gear(&set, "d"))), BacklashRefusal::CannotFloat { .. }));
    for reason in reasons {
        assert!(!reason.hint().is_empty() && !reason.to_string().ends_with('.'), "{reason}");
    }
}

#[test]
fn without_a_pitch_or_with_bevel_gears_alone_nothing_is_told() {
    let text = read_file("gearsets/inspection-railcar.ron").replace("pitch: Module(2.5),", "");
    assert_eq!(backlash(&read(&text), &BacklashQuestion::default()), Err(vec![BacklashRefusal::NoPitch]));
    let bevel = read(&read_file("gearsets/bevel-differential.ron"));
    assert_eq!(backlash(&bevel, &BacklashQuestion::default()), Err(vec![BacklashRefusal::NoMesh]));
}
