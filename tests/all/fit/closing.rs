//! How teeth close on their pins, against values of the formulas computed elsewhere to thirty digits and against sums of
//! shifts worked out here.

use toothmark::description;
use toothmark::fit::{CloseQuestion, FitRefusal, GearFault, MeshFault, SplitWay, ToothFit, close};
use toothmark::gearset::Gearset;

use crate::support::process::{command, run, run_with};

const NEAR: f64 = 1e-9;

fn described(text: &str) -> Gearset {
    description::read(text).expect("the test describes a gearset")
}

fn fit(text: &str) -> ToothFit {
    close(&described(text), &CloseQuestion::default()).expect("every mesh has a pitch")
}

/// Hub gear of two suns on one long planet and a ring, module 1.
fn hub(more: &str) -> String {
    format!(
        r#"Gearset(
            title: "hub", pitch: Module(1), {more}
            members: {{"a": [Sun("A", 42)], "b": [Sun("B", 36)], "ring": [Ring("R", 72)], "carrier": []}},
            planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 14), Gear("q", 20)])}},
            meshes: [("A", "p"), ("B", "q"), ("R", "p")],
        )"#
    )
}

fn shift(fit: &ToothFit, set: &Gearset, name: &str) -> f64 {
    let gear = set.gear_named(name).expect("it is described");
    fit.gears.iter().find(|fit| fit.gear == gear).expect("it is in mesh").shift
}

#[test]
fn sums_of_shifts_close_a_described_pin_circle() {
    let fit = fit(&hub("pin_circles: {\"planet\": Millimetres(28.5)},"));
    assert!(fit.closes);
    let sums: Vec<f64> = fit.meshes.iter().map(|mesh| mesh.shift_sum).collect();
    for (sum, expected) in sums.iter().zip([0.531_780_156_469, 0.531_780_156_469, -0.465_254_083_327]) {
        assert!((sum - expected).abs() < NEAR, "{sums:?}");
    }
    let angle = fit.meshes[2].working_pressure_angle_degrees.expect("it closes");
    assert!((angle - 17.024_733_365_5).abs() < NEAR);
}

#[test]
fn what_follows_from_one_described_shift_follows() {
    let text = hub("teeth: {\"p\": (shift: 0.3)}, pin_circles: {\"planet\": Millimetres(28.5)},");
    let set = described(&text);
    let fit = fit(&text);
    assert!((shift(&fit, &set, "A") - 0.231_780_156_469).abs() < NEAR);
    assert!((shift(&fit, &set, "R") + 0.165_254_083_327).abs() < NEAR);
    assert!(fit.splits.iter().all(|part| part.mesh != set.mesh_named("A with p").expect("it is there")));
}

#[test]
fn two_shifts_that_quarrel_are_left_and_said() {
    let text = hub("teeth: {\"p\": (shift: 0.3), \"A\": (shift: 0)}, pin_circles: {\"planet\": Millimetres(28.5)},");
    let fit = fit(&text);
    assert!(!fit.closes && !fit.sound);
    let off = fit
        .meshes
        .iter()
        .flat_map(|mesh| &mesh.faults)
        .find_map(|fault| if let MeshFault::DoesNotClose { shift_off } = fault { Some(*shift_off) } else { None });
    assert!((off.expect("one does not close").abs() - 0.231_780_156_469).abs() < NEAR);
}

#[test]
fn the_circle_of_opposite_sums_is_found() {
    let text = r#"Gearset(
        title: "t", pitch: Module(1), pin_circles: {"planet": Millimetres(12)},
        members: {"sun": [Sun("S", 11)], "ring": [Ring("R", 37)], "carrier": []},
        planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 12)])},
        meshes: [("S", "p"), ("R", "p")],
    )"#;
    let fit = fit(text);
    assert!((fit.meshes[0].shift_sum - 0.571_935_635_404).abs() < NEAR);
    assert!((fit.meshes[1].shift_sum + 0.409_988_461_108).abs() < NEAR);
    let least = fit.pin_circles[0].least_shift_mm.expect("there is one");
    assert!((least - 11.909_682_179_2).abs() < 1e-7, "{least}");
}

#[test]
fn a_gear_cut_by_a_shaper_ends_where_it_does() {
    let text = r#"Gearset(
        title: "t", pitch: Module(1),
        teeth: {"R": (shift: 0.4, cut_by: Shaper(25, 0.1)), "p": (shift: 0.4)},
        members: {"sun": [Sun("S", 36)], "ring": [Ring("R", 72)], "carrier": []},
        planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])},
        meshes: [("R", "p"), ("S", "p")],
    )"#;
    let set = described(text);
    let fit = fit(text);
    let ring = fit.gears.iter().find(|fit| fit.gear == set.gear_named("R").expect("it is described"));
    let ring = ring.expect("it is in mesh");
    assert!((ring.form_diameter_mm.expect("a shaper cuts it") / 2.0 - 37.499_419_453).abs() < 1e-8);
    assert!((ring.root_diameter_mm / 2.0 - 37.637_277_218_7).abs() < 1e-8);
}

#[test]
fn contact_ratio_and_undercut_are_those_of_the_formulas() {
    let text = r#"Gearset(
        title: "t", pitch: Module(2.5), pin_circles: {"cluster": Millimetres(63.75)},
        members: {"a": [Sun("A", 20)], "b": [Sun("B", 12)], "carrier": []},
        planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 31), Gear("q", 39)])},
        meshes: [("A", "p"), ("B", "q")],
    )"#;
    let set = described(text);
    let fit = fit(text);
    // 20 with 31 of full depth at the nominal distance.
    assert!((fit.meshes[0].contact_ratio.expect("it closes") - 1.608_788_350_24).abs() < NEAR);
    let undercut = fit.gears.iter().find(|fit| fit.gear == set.gear_named("B").expect("it is described"));
    let fault = undercut.expect("it is in mesh").faults.first().copied();
    // x = 1 - 12 sin^2 20 / 2.
    let least = 1.0 - 6.0 * 20_f64.to_radians().sin().powi(2);
    assert!(
        matches!(fault, Some(GearFault::Undercut { least_shift: Some(shift) }) if (shift - least).abs() < NEAR),
        "{fault:?}"
    );
    assert!(!fit.sound && fit.closes);
}

#[test]
fn ways_to_share_a_shift_are_those_of_the_formulas() {
    let text = r#"Gearset(
        title: "t", pitch: Module(2.5), pin_circles: {"cluster": Millimetres(75)},
        members: {"d": [Sun("D", 30)], "l": [Sun("L", 24)], "carrier": []},
        planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("d", 30), Gear("l", 37)])},
        meshes: [("D", "d"), ("L", "l")],
    )"#;
    let set = described(text);
    let question = CloseQuestion { split: SplitWay::EqualSliding, mesh: set.mesh_named("L with l") };
    let equal = close(&set, &question).expect("every mesh has a pitch");
    // Both specific slidings alike, found by another method to seven digits.
    assert!((shift(&equal, &set, "L") - 0.010_171_5).abs() < 1e-6);
    let drawn = fit(text);
    assert!(shift(&drawn, &set, "L").abs() < NEAR, "the sun stays as it is");
    assert!((shift(&drawn, &set, "l") + 0.467_078_397_291).abs() < NEAR);
    assert!(shift(&drawn, &set, "D").abs() < NEAR && shift(&drawn, &set, "d").abs() < NEAR);
}

/// A rounding of 0.38 modules does not fill 0.3 modules of clearance below the mate's tips; tips that are turned down after
/// cutting leave the rack as it is.
#[test]
fn involutes_of_stub_teeth_begin_where_the_rounding_of_their_rack_ends() {
    let text = |teeth: &str| {
        format!(
            r#"Gearset(
                title: "t", pitch: Module(2), teeth: {{"A": ({teeth})}},
                members: {{"a": [Sun("A", 30)], "carrier": []}},
                planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 24)])}},
                meshes: [("A", "p")],
            )"#
        )
    };
    // r_F^2 = r_b^2 + (r sin a - h m / sin a)^2.
    let begins = |straight: f64| {
        let sine = 20_f64.to_radians().sin();
        2.0 * (30.0 * 20_f64.to_radians().cos()).hypot(30.0 * sine - straight * 2.0 / sine)
    };
    let cases = [
        ("depth: Stub(0.8)", 0.8),
        ("depth: Depth(0.8, 1.1)", 1.1 - 0.38 * (1.0 - 20_f64.to_radians().sin())),
        ("depth: Depth(1, 1.25)", 1.0),
        ("depth: Depth(1, 1.25), tip: Millimetres(63)", 1.0),
    ];
    for (teeth, straight) in cases {
        let set = described(&text(teeth));
        let fit = fit(&text(teeth));
        let gear = fit.gears.iter().find(|fit| fit.gear == set.gear_named("A").expect("it is described"));
        let told = gear.expect("it is in mesh").form_diameter_mm.expect("a rack cuts it");
        assert!((told - begins(straight)).abs() < 1e-9, "{teeth}: {told}, not {}", begins(straight));
    }
}

/// Tips that are described changed the rounding of the rack: larger ones made a gear undercut that was not.
#[test]
fn described_tips_leave_roots_as_they_are() {
    let text = |tip: &str| {
        format!(
            r#"Gearset(
                title: "t", pitch: Module(2.5), teeth: {{"A": (shift: 0.2{tip})}},
                members: {{"a": [Sun("A", 14)], "carrier": []}},
                planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 30)])}},
                meshes: [("A", "p")],
            )"#
        )
    };
    let sun = |tip: &str| {
        let set = described(&text(tip));
        let gear = set.gear_named("A");
        fit(&text(tip)).gears.into_iter().find(|fit| Some(fit.gear) == gear).expect("it is in mesh")
    };
    let is_undercut =
        |fit: &toothmark::fit::GearFit| fit.faults.iter().any(|fault| matches!(fault, GearFault::Undercut { .. }));
    let plain = sun("");
    // x = 1 - 14 sin^2 20 / 2 is 0.181.
    assert!(!is_undercut(&plain));
    // Full ones would be 41 mm.
    for diameter in [38.5, 42.0] {
        let told = sun(&format!(", tip: Millimetres({diameter})"));
        assert!((told.tip_diameter_mm - diameter).abs() < NEAR);
        let roots = |fit: &toothmark::fit::GearFit| {
            (fit.form_diameter_mm, fit.root_diameter_mm, fit.undercut_below, is_undercut(fit))
        };
        assert_eq!(roots(&told), roots(&plain), "{diameter}");
    }
}

/// Tips of a ring inside its base circle, of which the entry along the radius cannot be told, were told to go in along the
/// axis only.
#[test]
fn of_ring_tips_without_involute_no_way_in_is_told() {
    let faults = |tip: &str| {
        let fit = fit(&format!(
            r#"Gearset(
                title: "t", pitch: Module(1), teeth: {{"R": ({tip})}},
                members: {{"ring": [Ring("R", 30)], "carrier": []}},
                planets: {{"planet": (carrier: "carrier", pins: Equal(1), gears: [Gear("p", 14)])}},
                meshes: [("R", "p")],
            )"#
        ));
        let along = fit.meshes[0].faults.contains(&MeshFault::AlongAxisOnly);
        (along, fit.gears.iter().any(|gear| gear.faults.contains(&GearFault::NoInvoluteAtTip)))
    };
    // The base circle has a diameter of 28.191 mm.
    assert_eq!(faults("tip: Millimetres(28)"), (false, true));
    assert_eq!(faults("tip: Millimetres(28.2)"), (false, false));
}

#[test]
fn teeth_without_a_size_are_refused() {
    let text = hub("").replace("pitch: Module(1),", "");
    let refused = close(&described(&text), &CloseQuestion::default()).expect_err("nothing has a length");
    assert_eq!(refused, FitRefusal::NoPitch { mesh: "A with p".into() });
    let bevel = r#"Gearset(
        title: "t",
        members: {"s": [Bevel("A", 20, InputSide)], "c": []},
        planets: {"p": (carrier: "c", pins: Equal(2), gears: [Bevel("p", 12)])},
        meshes: [("A", "p")],
    )"#;
    assert_eq!(close(&described(bevel), &CloseQuestion::default()), Err(FitRefusal::NoSpurMesh));
}

/// A description without any mesh was told that bevel teeth are not spur teeth.
#[test]
fn gears_of_which_none_mesh_are_not_taken_for_bevel_gears() {
    let refused = close(&described("Gearset(title: \"t\", members: {})"), &CloseQuestion::default());
    let refused = refused.expect_err("nothing meshes");
    assert_eq!(refused, FitRefusal::NoMesh);
    assert!(refused.hint().contains("meshes: [") && !refused.hint().contains("bevel"), "{}", refused.hint());
}

/// What the program prints at 80 columns.
#[track_caller]
fn printed(arguments: &[&str]) -> String {
    let mut asked = command(&[&["teeth", "close"], arguments].concat());
    asked.env("COLUMNS", "80");
    let told = run_with(asked, b"");
    assert!(told.code < 2, "{arguments:?}: {}", told.stderr);
    format!("{}\nexit code {}\n", told.stdout, told.code)
}

#[test]
fn what_is_printed_says_what_to_do() {
    let asked: [(&str, &[&str]); 5] = [
        ("shift", &["30:30", "24:37", "--module", "2.5", "--pin-circle", "75mm", "--backlash", "0.1mm"]),
        ("ring", &["11:12:37", "--module", "2", "--pin-circle", "24mm", "--split", "equal-sliding"]),
        ("given", &["30:30", "24:37", "--module", "2.5", "--pin-circle", "75mm", "--shift", "P37=-0.4,S24=0"]),
        ("full", &["42:14:72", "36:20", "--module", "1", "--pin-circle", "28.5mm", "--full"]),
        ("json", &["30:30", "24:37", "--module", "2.5", "--pin-circle", "75mm", "--format", "json"]),
    ];
    for (name, arguments) in asked {
        insta::assert_snapshot!(format!("teeth-close-{name}"), printed(arguments));
    }
}

/// The rules for two external gears say nothing of a ring, and the shifts as drawn were told as if they were theirs.
#[test]
fn a_way_to_share_a_shift_that_gives_none_is_said() {
    let arguments = ["teeth", "close", ":24:64", "--module", "2.5", "--pin-circle", "50.5mm", "--split", "logarithm"];
    let told = run(&arguments).stdout;
    assert!(told.contains("--split logarithm gives no shifts for R64 with P24: they are as-drawn."), "{told}");
}

/// Shifts that are all described leave nothing to share out, and a split that was asked for was ignored in silence.
#[test]
fn a_way_to_share_shifts_where_none_is_open_is_said() {
    let told = |more: &[&str]| {
        let mesh = ["teeth", "close", "30:30", "24:37", "--module", "2.5", "--pin-circle", "75mm"];
        run(&[&mesh[..], more].concat()).stdout
    };
    let fixed = told(&["--shift", "S30=0,P37=-0.4", "--split", "halves"]);
    assert!(fixed.contains("--split halves changes nothing: no shift is left to choose."), "{fixed}");
    let silent = [told(&["--shift", "S30=0,P37=-0.4"]), told(&["--split", "halves"])];
    assert!(silent.iter().all(|told| !told.contains("changes nothing")), "{silent:?}");
}

/// Eight clusters where three have room: their meshes close, and the answer said so and nothing else.
#[test]
fn neighbours_in_one_another_s_way_keep_teeth_from_being_cut_so() {
    let asked = |pins| ["teeth", "close", "20:26", "26:20", "--module", "2.5", "--pins", pins];
    let (room, none) = (run(&asked("3")), run(&asked("8")));
    assert_eq!((room.code, none.code), (0, 1), "{}", none.stdout);
    // 2 x 57.5 sin 22.5 degrees from pin to pin, less 70: worked out by hand.
    assert!(none.stdout.contains("The tips of P26 on pin 1 and P26 on pin 2 overlap by 25.991 mm"), "{}", none.stdout);
}

#[test]
fn what_cannot_be_asked_is_refused_with_a_way_out() {
    let refused = |arguments: &[&str], told: &str| {
        let run = run(&[&["teeth", "close"], arguments].concat());
        assert_eq!(run.code, 2, "{arguments:?}");
        assert!(run.stderr.contains(told), "{arguments:?}: {}", run.stderr);
    };
    refused(&["30:30", "24:37"], "no pitch is known");
    refused(&["30:30", "--module", "2", "--pin-circle", "-3"], "millimetres");
    refused(&["30:30", "--module", "2", "--pin-circle", "120mm"], "not the diameter");
    refused(&["30:30", "--module", "2", "--shift", "P31=0.1"], "P30");
    refused(&["30:30", "--module", "2", "--shift", "P30=9"], "from -2 to 2");
    refused(&["30:30", "--module", "2", "--shift", "P30"], "--shift l=-0.467");
    refused(&["30:30", "--module", "2", "--at", "S with p"], "S30 with P30");
    refused(&["30:30", "24:36", "--module", "2", "--at", "X"], "the meshes are");
    refused(&["30:30", "--module", "2", "--split", "best"], "equal-sliding");
}

fn of_two_meshes(sun: u16, planet: u16, ring: u16, more: &str) -> Gearset {
    described(&format!(
        r#"Gearset(title: "t", pitch: Module(1), {more}
            teeth: {{"S": (shift: 0), "p": (shift: 0), "R": (shift: 0)}},
            members: {{"sun": [Sun("S", {sun})], "ring": [Ring("R", {ring})], "carrier": []}},
            planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", {planet})])}},
            meshes: [("S", "p"), ("R", "p")])"#
    ))
}

/// Without shifts the sun asks for `(z_S + z_p) / 2` and the ring for `(z_R - z_p) / 2`.
#[test]
fn the_meshes_that_ask_for_the_farthest_and_the_nearest_pins_quarrel() {
    for (ring, farthest, nearest) in [(66, "R with p", "S with p"), (54, "S with p", "R with p")] {
        let set = of_two_meshes(20, 20, ring, "");
        let fit = close(&set, &CloseQuestion::default()).expect("every mesh has a pitch");
        let quarrel = fit.pin_circles[0].quarrel.expect("20 mm and 23 or 17 mm");
        let named = |name: &str| set.mesh_named(name).expect("it is described");
        assert_eq!((quarrel.first, quarrel.second), (named(farthest), named(nearest)), "{ring}");
        assert_eq!(fit.pin_circles[0].window_mm, None);
    }
    let set = of_two_meshes(20, 20, 60, "");
    let fit = close(&set, &CloseQuestion::default()).expect("every mesh has a pitch");
    assert_eq!(fit.pin_circles[0].quarrel, None, "both ask for 20 mm");
}

/// Base circles of 20 + 20 teeth are 18.79 mm apart where they touch.
#[test]
fn pins_nearer_than_the_base_circles_are_told_to_be_too_close() {
    let faults = |radius: &str| {
        let set = of_two_meshes(20, 20, 60, &format!("pin_circles: {{\"planet\": Millimetres({radius})}},"));
        let fit = close(&set, &CloseQuestion::default()).expect("every mesh has a pitch");
        fit.meshes[0].faults.clone()
    };
    assert!(faults("18.7").contains(&MeshFault::TooClose) && !faults("18.7").contains(&MeshFault::NoMesh));
    assert!(!faults("18.9").contains(&MeshFault::TooClose));
}
