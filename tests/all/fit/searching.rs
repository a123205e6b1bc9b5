//! Searches in which shift keeps the pin circle, against every combination closed one by one.

use toothmark::description;
use toothmark::exact::{fraction, to_float};
use toothmark::fit::{CloseQuestion, close};
use toothmark::gearset::Gearset;
use toothmark::search::{Options, Wanted};
use toothmark::timing::timing;
use toothmark::tooth_search::{RequestText, TeethPlan};

/// Two suns on a cluster, on pins 75 mm out; the second pair is open.
fn winch(sun: u16, planet: u16, teeth: &str) -> Gearset {
    let text = format!(
        r#"Gearset(
            title: "Slipway winch", input: "carrier", output: "driven drum", pitch: Module(2.5), {teeth}
            pin_circles: {{"cluster": Millimetres(75)}},
            members: {{"driven drum": [Sun("D", 30)], "low drum": [Sun("L", {sun})], "carrier": []}},
            planets: {{"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("d", 30), Gear("l", {planet})])}},
            meshes: [("D", "d"), ("L", "l")],
            controls: {{"low band": Band("low drum")}},
            states: {{"low": Apply(["low band"])}},
        )"#
    );
    description::read(&text).expect("the test describes a gearset")
}

/// inv a of the working angle at which 2.5 (z) / 2 modules of teeth stand 75 mm apart, and the sum of shifts by it.
fn sum_of_shifts(sum: u16) -> f64 {
    let angle = 20_f64.to_radians();
    let working = (2.5 * f64::from(sum) / 2.0 * angle.cos() / 75.0).acos();
    let involute = |angle: f64| angle.tan() - angle;
    f64::from(sum) * (involute(working) - involute(angle)) / (2.0 * angle.tan())
}

#[test]
fn what_is_found_is_what_closes_one_by_one() {
    let (least, most, contact) = (-0.5_f64, 0.6_f64, 1.3);
    let request = r#"Search(
        teeth: {"L": (18, 28), "l": (32, 42)}, center_distances: KeptByShift(2), room: -100,
        fit: (contact_ratio: 1.3, least_shift: -0.5, largest_shift: 0.6),
    )"#;
    let set = winch(24, 36, "");
    let request = RequestText::read(request).expect("it is a request").request(&set).expect("it fits the winch");
    let plan = TeethPlan::new(&set, &request).expect("it can be searched");
    let answer = plan.search(&Wanted::All, &Options::default()).expect("it is searched");
    let mut found: Vec<[u16; 2]> = answer.results.iter().map(|one| [one.teeth[0].1, one.teeth[1].1]).collect();
    found.sort_unstable();
    let mut expected = Vec::new();
    for sun in 18..=28_u16 {
        for planet in 32..=42_u16 {
            if (sun + planet).abs_diff(60) > 2 {
                continue;
            }
            let sum = sum_of_shifts(sun + planet);
            // As many shifts as are tried, and as many between, each with what it leaves to the planet.
            let floor = |count: u16| 1.0 - f64::from(count) / 2.0 * 20_f64.to_radians().sin().powi(2);
            let from = least.max(floor(sun)).max(sum - most);
            let to = most.min(sum - least.max(floor(planet)));
            let fits = |step: i32| {
                let sun_shift = from + (to - from) * f64::from(step) / 16.0;
                let shifts = format!(
                    r#"teeth: {{"D": (shift: 0), "d": (shift: 0), "L": (shift: "{sun_shift:.9}"), "l": (shift: "{:.9}")}},"#,
                    sum - sun_shift
                );
                let tried = winch(sun, planet, &shifts);
                let fit = close(&tried, &CloseQuestion::default()).expect("it has a pitch");
                fit.closes
                    && fit.meshes[1].contact_ratio.is_some_and(|ratio| ratio >= contact)
                    && fit.sound
                    && timing(&tried).groups[0].assembles
            };
            if from <= to + 1e-9 && (0..=16).any(fits) {
                expected.push([sun, planet]);
            }
        }
    }
    assert!(expected.len() > 10, "{expected:?}");
    assert_eq!(found, expected);
}

#[test]
fn what_is_found_closes_and_assembles_with_the_shifts_that_are_told() {
    let set = winch(24, 36, "");
    let request = r#"Search(
        teeth: {"D": (24, 34), "d": (26, 36), "L": (18, 28), "l": (32, 42)}, center_distances: KeptByShift(2),
        fit: (contact_ratio: 1.25, tip_thickness: 0.3, root_clearance: 0.2), ratios: {"low": Near(3.1)},
    )"#;
    let request = RequestText::read(request).expect("it is a request").request(&set).expect("it fits the winch");
    let plan = TeethPlan::new(&set, &request).expect("it can be searched");
    let answer = plan.search(&Wanted::Best(40), &Options::default()).expect("it is searched");
    assert!(answer.results.len() >= 40);
    let mut shifted = 0;
    for found in &answer.results {
        let fit = close(&found.set, &CloseQuestion::default()).expect("it has a pitch");
        assert!(fit.closes && fit.sound, "{:?} {:?} {:?}", found.teeth, fit.meshes, fit.gears);
        assert!((fit.pin_circles[0].radius_mm - 75.0).abs() < 2e-3);
        assert!(timing(&found.set).groups[0].assembles);
        for mesh in &fit.meshes {
            assert!(mesh.contact_ratio.is_some_and(|ratio| ratio > 1.2499), "{mesh:?}");
            let least = mesh.root_clearances_mm.expect("it closes");
            assert!(least.first.min(least.second) > 0.2 * 2.5 - 1e-3, "{mesh:?}");
        }
        for gear in &fit.gears {
            assert!(gear.tip_thickness_mm.is_some_and(|arc| arc > 0.3 * 2.5 - 1e-3), "{gear:?}");
        }
        for (gear, shift) in &found.shifts {
            let told = fit.gears.iter().find(|fit| fit.gear == *gear).expect("it is in mesh").shift;
            // Written to four decimals, and what is not written follows.
            assert!((told - to_float(shift)).abs() < 1e-4);
        }
        shifted += usize::from(found.shifts.iter().any(|(_, shift)| *shift != fraction(0, 1)));
    }
    assert!(shifted > 10, "{shifted}");
}

#[test]
fn limits_that_no_teeth_have_are_refused_at_their_place() {
    let set = winch(24, 36, "");
    let request = r#"Search(
        teeth: {"L": (18, 28)}, center_distances: KeptByShift(-2),
        fit: (contact_ratio: 13, tip_thickness: 4, least_shift: 0.5, largest_shift: 0.1),
    )"#;
    let problems = RequestText::read(request).expect("its shape is right").request(&set).expect_err("it is absurd");
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 4, "{told:?}");
    assert!(told[1].contains("13 is out of all proportion as a contact ratio"), "{told:?}");
    assert!(told[3].contains("least profile shift is larger"), "{told:?}");
}
