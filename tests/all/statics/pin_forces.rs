//! With which force do planets press on their pins, and bushes on what they run on?
//!
//! Levers: a tangential force times the radius of the pins is the torque on the carrier, whatever the
//! planet is made of. Whole forces are compared with the vectors of a drawing board: each mesh pushes
//! along its line of action, from the point where the pitch circles touch.

use serde_json::Value;
use toothmark::exact::{fraction, to_float};
use toothmark::gearset::{Gearset, MemberId, Pitch, PlanetGroup};
use toothmark::running::bearings;
use toothmark::statics::{LoadOptions, StateLoads, TorqueUnit, loads, pin_force};

use crate::support::process::{Run, command, run_with};
use crate::support::sets::{file_stems, read_example, read_set};

fn near(case: &str, found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * (1.0 + expected.abs()), "{case}: {found} and not {expected}");
}

/// The force on the planet of the first group by its vectors: along the line from the centre, and across it.
fn by_vectors(set: &Gearset, state: &StateLoads) -> [f64; 2] {
    let angle = to_float(&set.pressure_angle()).to_radians();
    let mut sum = [0.0, 0.0];
    for load in &state.meshes {
        let gears = set.mesh(load.mesh).gears().both().map(|&gear| set.gear(gear));
        let is_planet = |gear: &toothmark::gearset::Gear| set.carrier_of(gear.member()).is_some();
        let [planet, central] = if is_planet(gears[0]) { gears } else { [gears[1], gears[0]] };
        let module = set.mesh(load.mesh).pitch().expect("a pitch").module();
        // Signed radii in metres; the pin stands at their sum, the circles touch at the central radius.
        let radius = |gear: &toothmark::gearset::Gear| {
            f64::from(i32::try_from(gear.signed_tooth_count()).expect("a tooth count")) * module / 2e3
        };
        let pin = (radius(planet) + radius(central)).abs();
        let touch = if radius(planet) + radius(central) > 0.0 { radius(central) } else { -radius(central) };
        let torque = to_float(load.torque_per_tooth.as_ref().expect("it is told")) * radius(planet) * 2e3 / module;
        // The moment of the force across about the axis of the planet is its torque.
        let across = torque / (touch - pin);
        // The teeth of the planet lie on the far side of the touching point from its mate's.
        let apart = if radius(planet) > 0.0 { pin - touch } else { touch - pin };
        sum[0] += across.abs() * angle.tan() * apart.signum();
        sum[1] += across;
    }
    sum
}

/// A planet with an internal gear round a small sun had the force of that mesh with the wrong sign, which showed
/// only where another of its meshes pushed as well.
#[test]
fn the_forces_on_a_pin_are_the_vectors_of_its_meshes_and_have_the_lever_of_its_carrier() {
    let both_ways = read_set(
        "a planet inside and out",
        r#"Gearset(title: "A planet inside and out", members: {"sun": [Sun("S", 30)], "ring": [Ring("R", 72)], "carrier": []},
            planets: {"planet": (carrier: "carrier", pins: Equal(1), gears: [Internal("h", 42), Gear("g", 60)])},
            meshes: [("S", "h"), ("R", "g")],
            states: {"ring held": Given(held: ["ring"], input: "sun", output: "carrier")})"#,
    );
    let names = ["millrace-winch", "hill-tramway-car", "quarry-wheel-hub", "hoop-reducer", "trap-gear"];
    let mut seen = 0;
    for set in names.map(read_example).into_iter().chain([both_ways]) {
        let mut draft = set.draft().clone();
        draft.pitch = Some(Pitch::Module(fraction(5, 2)).into());
        draft.meshes.iter_mut().for_each(|mesh| mesh.sizes.pitch = None);
        let set = Gearset::new(draft).expect("it was sound");
        let [first, second] = set.meshes()[0].gears().both().map(|&gear| set.gear(gear).signed_tooth_count());
        let radius = 2.5 * to_float(&fraction((first + second).abs(), 2000));
        for state in loads(&set, &LoadOptions::default()) {
            let planet = set.planet_groups()[0].planets()[0];
            let Some(force) = pin_force(&set, &state, planet, TorqueUnit::NewtonMetres) else { continue };
            let torque = to_float(state.pins[0].torque.as_ref().expect("it is known"));
            near(set.title(), force.tangential * radius, torque);
            let [outward, across] = by_vectors(&set, &state);
            near(set.title(), force.tangential, across);
            near(set.title(), force.outward, outward);
            seen += 1;
        }
    }
    assert!(seen >= 10, "only {seen} states");
}

/// Planets of a bevel gear, and planets in mesh with one another, are pushed whichever way they stand.
#[test]
fn where_forces_depend_on_the_places_of_planets_none_is_told() {
    let mut seen = [0; 2];
    for name in file_stems("gearsets") {
        let mut draft = read_example(&name).draft().clone();
        draft.pitch = Some(Pitch::Module(fraction(5, 2)).into());
        draft.meshes.iter_mut().for_each(|mesh| mesh.sizes.pitch = None);
        let Ok(set) = Gearset::new(draft) else { continue };
        let is_planet = |member: MemberId| set.planet_groups().iter().any(|group| group.planets().contains(&member));
        let depends = |planet: MemberId| {
            let gears = set.meshes().iter().map(|mesh| mesh.gears().both().map(|&gear| set.gear(gear)));
            let own = gears.filter(|gears| gears.iter().any(|gear| gear.member() == planet));
            own.into_iter().any(|[a, b]| a.kind().is_bevel() || is_planet(a.member()) && is_planet(b.member()))
        };
        for state in loads(&set, &LoadOptions::default()) {
            for &planet in set.planet_groups().iter().flat_map(PlanetGroup::planets) {
                let force = pin_force(&set, &state, planet, TorqueUnit::NewtonMetres);
                seen[usize::from(force.is_some())] += usize::from(depends(planet) || force.is_some());
                assert!(force.is_none() || !depends(planet), "{name}: {force:?}");
            }
        }
    }
    assert!(seen.iter().all(|&seen| seen > 5), "planets of both kinds: {seen:?}");
}

/// Sun and ring of one module push the planet inward and outward alike; a cluster between suns is only pushed out.
#[test]
fn a_plain_planet_is_not_pushed_outward_and_a_cluster_between_suns_is() {
    let mut draft = read_example("millrace-winch").draft().clone();
    draft.pitch = Some(Pitch::Module(fraction(2, 1)).into());
    let set = Gearset::new(draft).expect("it was sound");
    let low = &loads(&set, &LoadOptions::default())[0];
    let force = pin_force(&set, low, set.planet_groups()[0].planets()[0], TorqueUnit::NewtonMetres).unwrap();
    near("outward", force.outward, 0.0);
    // 1 N m on the sun of 24 mm radius is 41.67 N, on the ring the same, on three pins.
    near("each pin", force.per_pin(), 2.0 * 1000.0 / 24.0 / 3.0);
    let pounds = pin_force(&set, low, set.planet_groups()[0].planets()[0], TorqueUnit::PoundFeet).unwrap();
    near("in lb ft", pounds.per_pin() / force.per_pin(), TorqueUnit::PoundFeet.newton_metres());
}

/// Suns 27, 21 and 30 on a cluster of 27, 33 and 24, module 3, bushes of 20 mm.
const LORRY: &str = r#"Gearset(
    title: "Creamery lorry, two speeds and reverse",
    input: "flywheel",
    output: "driven drum",
    pitch: Module(3),
    members: {
        "flywheel": [],
        "driven drum": [Sun("D", 27)],
        "slow drum": [Sun("S", 21)],
        "reverse drum": [Sun("R", 30)],
    },
    planets: {
        "cluster": (carrier: "flywheel", pins: Equal(3), gears: [Gear("d", 27), Gear("s", 33), Gear("r", 24)]),
    },
    meshes: [("D", "d"), ("S", "s"), ("R", "r")],
    controls: {
        "slow band": Band("slow drum", (wrap: Degrees(330), friction: "0.12", radius: Millimetres(100),
            from_anchor: Backward, pull: Newtons(400))),
        "reverse band": Band("reverse drum"),
        "direct clutch": Clutch("flywheel", "driven drum", (faces: 8, friction: "0.1", outer_radius: Millimetres(60),
            inner_radius: Millimetres(40), force: Newtons(1500))),
    },
    bearings: [
        ("cluster", "flywheel", (diameter: Millimetres(20), width: Millimetres(25))),
        ("cluster", "flywheel", (diameter: Millimetres(20), width: Inches("1.25"))),
        ("slow drum", "driven drum", (diameter: Inches(1.5), width: Millimetres(30))),
    ],
    states: {
        "low": Apply(["slow band"]),
        "reverse": Apply(["reverse band"]),
        "direct": Apply(["direct clutch"]),
        "neutral": Apply([]),
    },
)"#;

fn asked(arguments: &[&str], text: &str) -> Run {
    run_with(command(&[arguments, &["--full"]].concat()), text.as_bytes())
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let answer = asked(&[arguments, &["-", "--format", "json"]].concat(), LORRY);
    assert_eq!((answer.code, answer.stderr.as_str()), (0, ""), "{arguments:?}");
    serde_json::from_str(&answer.stdout).expect("JSON")
}

#[test]
fn widths_of_two_bushes_add_up_where_they_have_one_diameter() {
    near("two alike", bearings(&read_set("lorry", LORRY))[0].width.expect("it is given"), 25.0 + 31.75);
    for text in [
        LORRY.replace("Millimetres(20), width: Inches", "Millimetres(21), width: Inches"),
        LORRY.replace(", width: Inches(\"1.25\")", ""),
        LORRY
            .replace("(\"cluster\", \"flywheel\", (diameter: Millimetres(20), width: Millimetres(25))),", "")
            .replace("(\"cluster\", \"flywheel\", (diameter: Millimetres(20), width: Inches(\"1.25\"))),", ""),
    ] {
        assert_eq!(bearings(&read_set("lorry", &text))[0].width, None, "{text}");
    }
}

/// 40 N m on pins 81 mm out are 493.8 N; 110 N m on D and 70 N m on S at their pitch radii, times the tangent of 20
/// degrees, push outward: 1797.4 N. Over three pins, 20 by 56.75 mm, at 7/11 of 1200 turns a minute.
#[test]
fn pressure_and_pressure_times_speed_are_those_worked_out_by_hand() {
    let answer = json(&["motion", "--rpm", "1200", "--torque", "40 N m"]);
    let bush = &answer["states"][0]["bearings"][0]["bush"];
    let outward = (110.0 / 0.0405 + 70.0 / 0.0315) * 20_f64.to_radians().tan();
    let force = (40.0 / 0.081_f64).hypot(outward) / 3.0;
    let speed = std::f64::consts::PI * 0.020 * 1200.0 / 60.0 * 7.0 / 11.0;
    near("force", bush["force_per_pin_newtons"].as_f64().unwrap(), force);
    near("pressure", bush["pressure_newtons_per_mm2"].as_f64().unwrap(), force / (20.0 * 56.75));
    near("times speed", bush["pressure_times_speed"].as_f64().unwrap(), force / (20.0 * 56.75) * speed);
    assert!(answer["states"][0]["bearings"][1]["bush"].is_null(), "of drums on one another no force is known");
    assert_eq!((answer["torque"]["fraction"].as_str(), answer["torque_unit"].as_str()), (Some("40"), Some("N m")));
    // In direct the meshes are not loaded at all.
    near("direct", answer["states"][2]["bearings"][0]["bush"]["force_per_pin_newtons"].as_f64().unwrap(), 0.0);
    let without = json(&["motion", "--torque", "40 N m"]);
    let bush = &without["states"][0]["bearings"][0]["bush"];
    assert!(bush["pressure_times_speed"].is_null() && bush["pressure_newtons_per_mm2"].is_number(), "{bush}");
    assert!(json(&["motion", "--rpm", "1200"])["states"][0]["bearings"][0]["bush"].is_null());
}

#[test]
fn motion_says_what_to_write_where_a_force_or_a_pressure_is_not_told() {
    let told = |text: &str| asked(&["motion", "-", "--torque", "30 lb ft"], text).stdout;
    let all = told(LORRY);
    assert!(all.contains("30 lb ft on the input, an estimate") && !all.contains("write pitch"), "{all}");
    assert!(told(&LORRY.replace("pitch: Module(3),", "")).contains("write pitch: Module(2.5)"));
    assert!(told(&LORRY.replace(", width: Millimetres(25)", "")).contains("width of every bush"));
    let refused = asked(&["motion", "-", "--torque", "hard"], LORRY);
    assert_eq!(refused.code, 2);
    assert!(
        refused.stderr.contains("\"hard\" is not a torque") && refused.stderr.contains("30 N m"),
        "{}",
        refused.stderr
    );
}

/// 60 mm and 40 mm, 1.5 kN, 8 faces, friction 0.1: 8 0.1 1500 0.05 N m worn in, and by uniform pressure
/// 8 0.1 1500 (2/3) (0.06^3 - 0.04^3) / (0.06^2 - 0.04^2) N m when new.
#[test]
fn what_bands_and_plates_hold_is_in_the_json_of_loads() {
    let answer = json(&["loads", "--torque", "40 N m"]);
    let control = |state: usize, control: usize| answer["states"][state]["controls"][control]["capacity"].clone();
    let band = control(0, 0);
    let number = |value: &Value, key: &str| value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"));
    let ratio = (0.12 * 330_f64.to_radians()).exp();
    near("ratio", number(&band, "tension_ratio"), ratio);
    near("wrapping on", number(&band, "band_wrapping_on_newton_metres"), 400.0 * 0.1 * (ratio - 1.0));
    near("unwinding", number(&band, "band_unwinding_newton_metres"), 400.0 * 0.1 * (1.0 - 1.0 / ratio));
    near("tight less slack", number(&band, "tight_end_newtons") - number(&band, "slack_end_newtons"), 70.0 / 0.1);
    assert_eq!(band["wraps_on"], serde_json::json!([true, false]));
    assert!(control(2, 0)["tight_end_newtons"].is_null(), "a band that is not applied has no tension");
    assert!(control(1, 1).is_null(), "of a band without sizes nothing is told");
    let plates = control(2, 2);
    near("worn in", number(&plates, "plates_worn_in_newton_metres"), 8.0 * 0.1 * 1500.0 * 0.05);
    let new =
        8.0 * 0.1 * 1500.0 * 2.0 / 3.0 * (0.06_f64.powi(3) - 0.04_f64.powi(3)) / (0.06_f64.powi(2) - 0.04_f64.powi(2));
    near("new", number(&plates, "plates_new_newton_metres"), new);
    let pins = &answer["states"][0]["pins"][0];
    near("tangential", number(&pins["planets"][0], "tangential_newtons"), -40.0 / 0.081);
    assert_eq!((pins["carrier"].as_str(), pins["pins"].as_u64()), (Some("flywheel"), Some(3)));
}

/// The capacity was weighed against the torque without losses even where losses were known, which ask a band
/// for more on overrun: a band was said to hold that slips.
#[test]
fn a_band_that_holds_only_without_losses_is_said_to_slip() {
    let shown = |losses: &[&str]| {
        asked(
            &[&["loads", "-", "--state", "low"], losses].concat(),
            &LORRY.replace("pull: Newtons(400)", "pull: Newtons(38)"),
        )
    };
    // 1 N m on the input: 1.75 N m without losses, which 38 N hold on overrun by 38 0.1 (1 - 1/1.996) = 1.896.
    let without = shown(&[]).stdout;
    assert!(!without.contains("SLIPS"), "{without}");
    // With losses the load brings in more than 2.75 N m, and the band holds what it brings in less 1 N m.
    let with = shown(&["--mesh-efficiency", "0.95"]).stdout;
    assert!(with.contains("SLIPS") && with.contains("\"slow band\", capacity on overrun"), "{with}");
}

/// With several clutches of known sizes nobody could tell whose capacity stood where: the lines had no name before them.
#[test]
fn what_plates_hold_stands_under_the_name_of_their_clutch() {
    let answer = asked(&["loads", "-", "--state", "direct", "--torque", "40 N m"], LORRY).stdout;
    let line =
        |start: &str| answer.lines().position(|line| line.starts_with(start)).unwrap_or_else(|| panic!("{answer}"));
    let named =
        answer.lines().position(|line| line.starts_with("direct clutch ") && line.contains("has 40.00 N m to carry"));
    assert_eq!(named.map(|place| place + 1), Some(line("- capacity, new plates")), "{answer}");
}

#[test]
fn the_built_in_tractor_shows_bushes_bands_and_plates() {
    let text = toothmark::description::example("peat-railway-tractor").expect("it is built in");
    let motion = asked(&["motion", "-", "--rpm", "1200", "--torque", "40 N m", "--state", "low"], text).stdout;
    // By hand: 40 N m at 75 mm across; (119.22 / 0.03625 + 79.22 / 0.02875) N times the tangent of 20 degrees outward.
    assert!(motion.contains("754.6 N") && motion.contains("0.8131 N/mm2"), "{motion}");
    assert!(asked(&["loads", "-", "--torque", "40 N m"], text).stdout.contains("lining pressure"));
}

/// A state that drives had a dash for its efficiency and not a word why.
#[test]
fn a_state_without_an_efficiency_says_why() {
    let text = r#"Gearset(title: "Side by side", input: "sun", output: "carrier", efficiency: "0.98",
        members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []},
        planets: {"one": (carrier: "carrier", pins: Degrees([0]), gears: [Gear("p", 18)]),
            "other": (carrier: "carrier", pins: Degrees([180]), gears: [Gear("q", 18)])},
        meshes: [("S", "p"), ("R", "p"), ("S", "q"), ("R", "q")],
        states: {"low": Given(held: ["ring"])})"#;
    let answer = asked(&["loads", "-"], text).stdout;
    assert!(answer.contains("no efficiency is told of \"low\": torques that are not determined"), "{answer}");
    assert!(!asked(&["loads", "-", "--mesh-efficiency", "0.98"], LORRY).stdout.contains("no efficiency is told"));
}
