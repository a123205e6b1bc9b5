//! What rolls, rubs, idles and stands in each state: is it so?
//!
//! Speeds are compared with those of a gearbox of three suns worked out by hand, and with differences
//! of speeds on random trains. Whether a mesh passes power a slow twin says that merges nothing: one
//! unknown a mesh, band, clutch and join, every member in balance, a dense matrix. What a mesh that
//! idles is worth is tried by leaving it out.

use std::collections::BTreeSet;

use num_traits::{Signed, Zero};
use proptest::prelude::*;
use serde_json::Value;
use toothmark::description::{examples, read};
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Action, Gearset, MemberId, Pair, Restraint, State};
use toothmark::kinematics::{motions, observe};
use toothmark::running::{
    Finding, Judgement, Limits, Listened, RunningQuestion, RunningState, Suspect, WhyLeftOut, bearings, engagements,
    running, standing_state,
};
use toothmark::statics::MeshWork;

use crate::exact::elimination::{Matrix, kernel};
use crate::support::process::{Run, command, run, run_with};
use crate::support::random::cases;
use crate::support::sets::exact;
use crate::support::trains::train;

/// Suns 27, 21 and 30 on a cluster of 27, 33 and 24.
const THREE_SUNS: &str = r#"Gearset(
    title: "Creamery lorry, two speeds and reverse",
    input: "flywheel",
    output: "driven drum",
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
        "slow band": Band("slow drum"),
        "reverse band": Band("reverse drum"),
        "direct clutch": Clutch("flywheel", "driven drum"),
        "wheel brake": Band("driven drum"),
    },
    bearings: [
        ("cluster", "flywheel", (diameter: Millimetres(20))),
        ("slow drum", "driven drum", (diameter: Inches(1.5))),
        ("reverse drum", "slow drum", (diameter: Millimetres(60))),
        ("driven drum", "case"),
    ],
    states: {
        "low": Apply(["slow band"]),
        "reverse": Apply(["reverse band"]),
        "direct": Apply(["direct clutch"]),
        "standing": Apply(["wheel brake"]),
        "neutral": Apply([]),
    },
)"#;

fn three_suns() -> Gearset {
    read(THREE_SUNS).unwrap_or_else(|faults| panic!("{faults}"))
}

#[track_caller]
fn is(speed: Option<&Fraction>, expected: &str) {
    assert_eq!(speed, Some(&exact("expected", expected)), "{speed:?} is {expected}");
}

/// What runs in every state.
fn states_of(set: &Gearset) -> Vec<RunningState> {
    running(set, &RunningQuestion::default()).states
}

/// What can make the noise.
fn suspects(set: &Gearset, heard: &[usize], not_heard: &[usize]) -> Vec<Finding> {
    let listened = Some(Listened { heard: heard.to_vec(), not_heard: not_heard.to_vec() });
    running(set, &RunningQuestion { listened, ..RunningQuestion::default() }).noise.expect("it was asked about")
}

/// With the output at n turns the drums turn 1 + k (n - 1), where k is 11/7 for the slow drum and 4/5 for
/// the reverse drum; the cluster turns (27/27) (1 - n) against the flywheel.
#[test]
fn the_drums_of_three_suns_turn_as_worked_out_by_hand() {
    let set = three_suns();
    let states = states_of(&set);
    let table = [
        // state, output, slow drum, reverse drum, cluster on its pin, teeth of d, s and r
        (3, ["0", "-4/7", "1/5", "1"], ["27", "33", "24"]),
        (0, ["4/11", "0", "27/55", "7/11"], ["189/11", "21", "168/11"]),
        (1, ["-1/4", "-27/28", "0", "5/4"], ["135/4", "165/4", "30"]),
        (2, ["1", "1", "1", "0"], ["0", "0", "0"]),
    ];
    for (state, speeds, teeth) in table {
        let state = &states[state];
        for (member, expected) in ["driven drum", "slow drum", "reverse drum"].iter().zip(&speeds) {
            let id = set.member_named(member).unwrap();
            is(state.members.iter().find(|found| found.member == id).unwrap().speed.as_ref(), expected);
        }
        // A planet turns against its pin the other way than the output lags behind: only its size is listed.
        let relative = state.bearings[0].relative.as_ref().unwrap();
        assert_eq!(relative.abs(), exact("cluster", speeds[3]));
        for (mesh, expected) in state.meshes.iter().zip(teeth) {
            is(mesh.teeth.as_ref(), expected);
        }
    }
}

/// In low the slow pair carries and the reverse pair idles, in reverse the other way about; in direct nothing rolls.
#[test]
fn the_meshes_of_three_suns_are_loaded_idle_or_dead() {
    let states = states_of(&three_suns());
    let work = |state: usize| states[state].meshes.iter().map(|mesh| mesh.work).collect::<Vec<MeshWork>>();
    assert_eq!(work(0), [MeshWork::Loaded, MeshWork::Loaded, MeshWork::Idle]);
    assert_eq!(work(1), [MeshWork::Loaded, MeshWork::Idle, MeshWork::Loaded]);
    assert_eq!(work(2), [MeshWork::Dead; 3]);
    assert_eq!(work(3), [MeshWork::Idle; 3], "with the output held and both drums free no torque can pass");
    assert_eq!(work(4), [MeshWork::Unknown; 3]);
}

/// By the table above: the cluster turns 5/4 on its pins in reverse, where 135/4 teeth of D pass under load, while the 165/4
/// of S pass idle; in direct everything turns once, the driven drum named first.
#[test]
fn what_is_fastest_and_busiest_is_found() {
    let found = running(&three_suns(), &RunningQuestion::default());
    let set = three_suns();
    let of = |part: &Option<toothmark::running::FastestPart>| {
        let part = part.clone().expect("something turns");
        (part.state, set.member(part.member).name().to_owned(), part.speed.abs().to_string())
    };
    assert_eq!(of(&found.fastest_on_pins), ("reverse".into(), "cluster".into(), "5/4".into()));
    assert_eq!(of(&found.fastest_member), ("direct".into(), "driven drum".into(), "1".into()));
    let busiest = found.busiest_mesh.expect("something is loaded");
    assert_eq!((busiest.state.as_str(), busiest.teeth.to_string()), ("reverse", "135/4".into()));
    assert_eq!(set.mesh_ids().next(), Some(busiest.gears), "D with d");
}

/// Changes from rest were left out without a word: of the splitter a one-way clutch holds while the output stands, of the
/// village bus what turns behind open clutches is free then.
#[test]
fn what_is_left_out_from_rest_is_said_with_its_reason() {
    let asked = |name: &str| {
        let text = toothmark::description::example(name).expect("it is built in");
        let set = read(text).expect("it is sound");
        let told = running(&set, &RunningQuestion::default()).left_out;
        let shown = run_with(command(&["motion", "-"]), text.as_bytes()).stdout;
        (set, told, shown.split_whitespace().collect::<Vec<&str>>().join(" "))
    };
    let (set, told, shown) = asked("tractor-under-load-splitter");
    let clutch = set.control_named("carrier one-way clutch").expect("a clutch");
    let whole: Vec<(&str, WhyLeftOut)> = told.iter().map(|found| (found.into.as_str(), found.why)).collect();
    assert_eq!(whole, [("low step", WhyLeftOut::OneWayHolds), ("direct", WhyLeftOut::OneWayHolds)]);
    assert!(told.iter().all(|found| found.held_by == [clutch] && found.applied.is_none()));
    assert!(
        shown.contains("with the output standing carrier one-way clutch holds and the input cannot turn"),
        "{shown}"
    );
    let (_, told, shown) = asked("village-bus-automatic");
    let first: Vec<&str> =
        told.iter().filter(|found| found.into == "first").filter_map(|found| found.applied.as_deref()).collect();
    assert_eq!(first, ["forward clutch", "first one-way clutch"]);
    assert!(told.iter().all(|found| found.why == WhyLeftOut::Free), "{told:?}");
    assert!(shown.contains("the standing output leaves open how they turn"), "{shown}");
    // Of three suns every change from rest is told.
    assert_eq!(running(&three_suns(), &RunningQuestion::default()).left_out, []);
}

#[test]
fn a_band_meets_its_drum_in_opposite_senses_from_rest_and_from_direct() {
    let set = three_suns();
    let found = engagements(&set);
    let met = |into: &str, from: Option<&str>| {
        let found = found.iter().find(|found| found.into == into && found.from.as_deref() == from);
        found.and_then(|found| found.before.clone())
    };
    for (into, from, expected) in [
        ("low", None, "-4/7"),
        ("low", Some("direct"), "1"),
        ("low", Some("reverse"), "-27/28"),
        ("reverse", None, "1/5"),
        ("reverse", Some("low"), "27/55"),
        ("direct", None, "1"),
        ("direct", Some("low"), "7/11"),
    ] {
        assert_eq!(met(into, from), Some(exact(into, expected)), "into {into} from {from:?}");
    }
    assert_eq!(met("low", Some("neutral")), None, "what is free has no speed that could be told");
}

#[test]
fn bearings_are_those_of_the_pins_and_of_the_description() {
    let set = three_suns();
    let found = bearings(&set);
    assert_eq!(found.iter().map(|bearing| bearing.on_pin).collect::<Vec<bool>>(), [true, false, false, false]);
    assert!(found[0].diameter.is_some(), "a planet named with its carrier has the diameter of its pin");
    let low = &states_of(&set)[0];
    // Slow drum 0 against 4/11; reverse drum 27/55 against 0; driven drum in the case.
    for (bearing, expected) in low.bearings[1..].iter().zip(["-4/11", "27/55", "4/11"]) {
        is(bearing.relative.as_ref(), expected);
    }
}

/// Heard in low and reverse, silent in direct: meshes and the cluster on its pin; the flywheel is out.
#[test]
fn a_noise_is_found_by_elimination() {
    let set = three_suns();
    let found = suspects(&set, &[0, 1], &[2]);
    let fits = |found: &&Finding| found.judgement == Judgement::Fits;
    let fitting: Vec<Suspect> = found.iter().filter(fits).map(|found| found.suspect).collect();
    let meshes: Vec<Suspect> = set.mesh_ids().map(Suspect::Mesh).collect();
    assert_eq!(fitting[..3], meshes, "the drive pair first, loaded in both");
    let bearing = |place: usize| Suspect::Bearing([bearings(&set)[place].first, bearings(&set)[place].second]);
    assert!(fitting.contains(&bearing(0)) && !fitting.contains(&bearing(3)), "{fitting:?}");
    assert!(!fitting.iter().any(|suspect| matches!(suspect, Suspect::Member(_))), "all members turn in direct");
    // Heard in low, silent in reverse: the slow pair idles there, so it fits only if load makes it sound.
    let found = suspects(&set, &[0], &[1]);
    let of = |suspect: Suspect| found.iter().find(|found| found.suspect == suspect).unwrap();
    assert_eq!(of(meshes[1]).judgement, Judgement::FitsUnderLoad);
    assert_eq!(
        (of(meshes[0]).judgement, of(meshes[0]).reasons.len()),
        (Judgement::Out, 1),
        "loaded in reverse as well"
    );
    let reverse_drum = Suspect::Member([set.member_named("reverse drum").unwrap()]);
    assert_eq!(of(reverse_drum).judgement, Judgement::Fits, "it turns in low and stands in reverse");
}

#[test]
fn what_is_beyond_its_limit_is_found_in_either_sense() {
    let set = three_suns();
    let slow_drum = set.member_named("slow drum").unwrap();
    let limits = Limits { every: Some(fraction(5000, 1)), members: [(slow_drum, fraction(900, 1))].into() };
    let question = RunningQuestion { input_rpm: Some(fraction(1000, 1)), limits, ..RunningQuestion::default() };
    let found = running(&set, &question).beyond_limit;
    let states: Vec<&str> = found.iter().map(|found| found.state.as_str()).collect();
    assert_eq!(states, ["reverse", "direct"], "-27/28 and 1 of 1000");
    assert!(found.iter().all(|found| found.member == slow_drum));
    assert_eq!(found[0].rpm, fraction(-27000, 28));
}

/// What passes the meshes, by a dense matrix with an unknown for every mesh and everything that takes torque.
struct Statics {
    columns: usize,
    rows: Matrix,
}

impl Statics {
    fn new(set: &Gearset, state: &State) -> Self {
        let (mut columns, mut entries) = (0, Vec::new());
        let mut unknown = |terms: &[(i64, MemberId)]| {
            entries.extend(terms.iter().map(|&(value, member)| (member.index(), columns, value)));
            columns += 1;
        };
        for mesh in set.meshes() {
            let [a, b] = mesh.gears().both().map(|&gear| set.gear(gear));
            let (z_a, z_b) = (a.signed_tooth_count(), b.signed_tooth_count());
            unknown(&[(z_a, a.member()), (z_b, b.member()), (-z_a - z_b, mesh.carrier())]);
        }
        unknown(&[(1, state.input)]);
        unknown(&[(1, state.output)]);
        let mut couple = |pair: &Pair<MemberId>| unknown(&[(1, pair.first), (-1, pair.second)]);
        set.joins().iter().for_each(&mut couple);
        for restraint in &state.restraints {
            let pair = match restraint {
                Restraint::Held(member) | Restraint::Turning(member, _) => {
                    Pair { first: *member, second: MemberId::CASE }
                }
                Restraint::Joined(pair) => *pair,
                Restraint::Control(control) => match set.control(*control).action() {
                    Action::Band(member) => Pair { first: member, second: MemberId::CASE },
                    Action::Clutch(pair) | Action::OneWayClutch(pair, _) => pair,
                },
            };
            couple(&pair);
        }
        let mut rows = vec![vec![Fraction::zero(); columns]; set.members().len()];
        for (member, column, value) in entries {
            rows[member][column] += fraction(value, 1);
        }
        // The case bears everything.
        rows.remove(0);
        Self { columns, rows }
    }

    /// What each mesh does if it rolls, for a torque on the input.
    fn work(self, meshes: usize) -> Vec<MeshWork> {
        let basis = kernel(self.rows, self.columns);
        let Some(turning) = basis.iter().find(|vector| !vector[meshes].is_zero()) else {
            return vec![MeshWork::Idle; meshes];
        };
        let load = |mesh: usize| {
            let factor = &turning[mesh] / &turning[meshes];
            let holds = basis.iter().all(|vector| vector[mesh] == &factor * &vector[meshes]);
            match (holds, factor.is_zero()) {
                (false, _) => MeshWork::Rolls,
                (true, true) => MeshWork::Idle,
                (true, false) => MeshWork::Loaded,
            }
        };
        (0..meshes).map(load).collect()
    }
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn meshes_pass_power_as_torques_written_out_in_full_say(draft in train()) {
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        for (state, work) in set.states().iter().zip(states_of(&set)) {
            let expected = Statics::new(&set, state).work(set.meshes().len());
            for (mesh, expected) in work.meshes.iter().zip(expected) {
                if !matches!(mesh.work, MeshWork::Dead | MeshWork::Unknown) {
                    prop_assert_eq!(mesh.work, expected, "{:?}", mesh);
                }
            }
        }
    }

    #[test]
    fn relative_speeds_are_differences_and_both_gears_count_the_same_teeth(draft in train()) {
        let Ok(set) = Gearset::new(draft) else { return Ok(()) };
        for work in states_of(&set) {
            let speed = |member: MemberId| {
                let found = work.members.iter().find(|found| found.member == member);
                found.map_or(Some(Fraction::zero()), |found| found.speed.clone())
            };
            for (bearing, motion) in bearings(&set).iter().zip(&work.bearings) {
                if let (Some(first), Some(second)) = (speed(bearing.first), speed(bearing.second)) {
                    // Members that stand have a speed even where the input cannot turn.
                    if let Some(relative) = &motion.relative {
                        prop_assert_eq!(relative, &(first - second));
                    }
                }
            }
            for (mesh, motion) in set.meshes().iter().zip(&work.meshes) {
                for gear in mesh.gears().both().map(|&gear| set.gear(gear)) {
                    if let (Some(own), Some(carrier), Some(teeth)) =
                        (speed(gear.member()), speed(mesh.carrier()), motion.teeth.as_ref())
                    {
                        prop_assert_eq!(teeth, &((own - carrier) * fraction(gear.signed_tooth_count(), 1)).abs());
                    }
                }
            }
        }
    }
}

#[test]
fn a_mesh_that_idles_can_be_left_out_and_the_ratio_stays() {
    let (mut idle, mut loaded) = (0, 0);
    for example in examples() {
        let set = read(example.text).unwrap();
        for (state, (work, motion)) in states_of(&set).iter().zip(motions(&set)).enumerate() {
            let Some(ratio) = motion.verdict.ratio() else { continue };
            for mesh in &work.meshes {
                let mut draft = set.draft().clone();
                draft.meshes.remove(mesh.gears.index());
                let Ok(without) = Gearset::new(draft) else { continue };
                let left = motions(&without)[state].verdict.ratio().cloned();
                if mesh.work == MeshWork::Idle {
                    assert_eq!(left.as_ref(), Some(ratio), "{}: {}", example.name, work.state);
                    idle += 1;
                } else if mesh.work == MeshWork::Loaded {
                    assert_ne!(left.as_ref(), Some(ratio), "{}: {}", example.name, work.state);
                    loaded += 1;
                }
            }
        }
    }
    assert!(idle > 20 && loaded > 20, "{idle} that idle and {loaded} that are loaded");
}

#[test]
fn what_a_control_meets_is_the_difference_of_speeds_before() {
    let mut met = 0;
    for example in examples() {
        let set = read(example.text).unwrap();
        for found in engagements(&set) {
            let into = set.state_named(&found.into).unwrap();
            let from =
                found.from.as_ref().map_or_else(|| standing_state(into), |name| set.state_named(name).unwrap().clone());
            let motion = &observe(&set, &[from], &[])[0].motion;
            let speed = |member: MemberId| {
                let found = motion.members.iter().find(|found| found.member == member);
                found.map_or(Some(Fraction::zero()), |found| found.speed.value().cloned())
            };
            if let (Some(first), Some(second)) = (speed(found.first), speed(found.second)) {
                assert_eq!(found.before, Some(first - second), "{}: {found:?}", example.name);
                met += 1;
            }
        }
    }
    assert!(met > 60, "only {met}");
}

fn asked(arguments: &[&str]) -> Run {
    run_with(command(&[&["motion", "-"], arguments].concat()), THREE_SUNS.as_bytes())
}

#[test]
fn json_has_its_keys_and_rates_of_a_given_speed() {
    let answer = asked(&["--format", "json", "--rpm", "1100", "--heard", "low", "--limit", "1000"]);
    let json: Value = serde_json::from_str(&answer.stdout).expect("JSON");
    let keys = |value: &Value| value.as_object().expect("an object").keys().cloned().collect::<Vec<String>>();
    // Further ones may come after those that are promised.
    let promised = |value: &Value, expected: &[&str]| assert_eq!(keys(value)[..expected.len()], *expected);
    promised(
        &json,
        &["gearset", "input_rpm", "states", "engagements", "beyond_limit", "noise", "torque", "torque_unit"],
    );
    let low = &json["states"][0];
    promised(low, &["state", "members", "bearings", "meshes"]);
    promised(&low["bearings"][0], &["first", "second", "on_pin", "relative", "rubbing_m_per_s", "bush"]);
    promised(&low["meshes"][0], &["gears", "teeth", "hertz", "work"]);
    promised(&json["engagements"][0], &["into", "from", "applied", "first", "second", "before"]);
    promised(&json["beyond_limit"][0], &["member", "state", "rpm", "limit"]);
    promised(&json["noise"][0], &["kind", "names", "judgement", "reasons"]);
    // 21 teeth a turn, 1100 turns a minute.
    assert_eq!(low["meshes"][1]["hertz"]["fraction"], "385");
    // The cluster turns 700 times a minute on a pin of 20 mm: pi 0.02 700/60 m/s.
    let rubbing = low["bearings"][0]["rubbing_m_per_s"].as_f64().unwrap();
    assert!((rubbing - 0.733_038_285_837_617_9).abs() < 1e-12, "{rubbing}");
}

#[track_caller]
fn refused(arguments: &[&str], words: &[&str]) {
    let Run { code, stdout, stderr } = asked(arguments);
    assert_eq!((code, stdout.as_str()), (2, ""), "{arguments:?}: {stderr}");
    for word in words {
        assert!(stderr.contains(word), "{arguments:?}: {stderr}");
    }
}

#[test]
fn a_wrong_request_says_what_to_write() {
    refused(&["--state", "lo"], &["there is no state \"lo\"", "low, reverse, direct"]);
    refused(&["--heard", "low,revers"], &["there is no state \"revers\"", "low, reverse"]);
    refused(
        &["--heard", "low", "--not-heard", "low"],
        &["heard and not heard in state \"low\"", "name each state once"],
    );
    refused(&["--not-heard", "low"], &["not said where the noise is heard", "--heard"]);
    refused(&["--rpm", "fast"], &["is not a speed", "1500"]);
    refused(&["--limit", "2000"], &["no speed of the input", "--rpm"]);
    refused(&["--rpm", "1500", "--limit", "much"], &["\"much\" is not a limit", "2500"]);
    refused(&["--rpm", "1500", "--limit=-5"], &["is not a limit"]);
    // The case was taken, and then said not to turn too fast.
    refused(&["--rpm", "1500", "--limit", "case=5"], &["there is no member \"case\"", "slow drum"]);
    refused(&["--rpm", "1500", "--limit", "drum=5"], &["there is no member \"drum\"", "slow drum"]);
}

#[test]
fn nothing_that_fits_is_the_answer_no() {
    let answer = asked(&["--full", "--heard", "direct", "--not-heard", "low,reverse"]);
    assert_eq!(answer.code, 1, "{}", answer.stderr);
    assert!(answer.stdout.contains("nothing in the gearset fits"), "{}", answer.stdout);
    // A name with a comma of its own is taken as it is.
    let text = THREE_SUNS.replace("\"standing\":", "\"neutral, standing\":");
    let heard = ["motion", "-", "--heard", "neutral, standing", "--heard", "low,reverse"];
    assert_eq!(run_with(command(&heard), text.as_bytes()).code, 0);
}

#[test]
fn every_example_is_answered_in_every_format() {
    for example in examples() {
        for format in ["text", "markdown", "csv", "json"] {
            let answer =
                run_with(command(&["motion", "-", "--format", format, "--rpm", "900"]), example.text.as_bytes());
            assert_eq!((answer.code, answer.stderr.as_str()), (0, ""), "{} as {format}", example.name);
        }
    }
    let lengths: BTreeSet<usize> = csv::Reader::from_reader(asked(&["--format", "csv"]).stdout.as_bytes())
        .records()
        .map(|record| record.expect("RFC 4180").len())
        .collect();
    assert_eq!(lengths, BTreeSet::from([7]));
    assert_eq!(run(&["motion"]).code, 0, "without a file the default is taken");
}

/// An answer on the three suns, kept as a snapshot.
#[track_caller]
fn shown(name: &str, arguments: &[&str]) {
    let answer = asked(&[&["--full"], arguments].concat());
    assert!(answer.code < 2, "{}", answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("motion-{name}"), answer.stdout);
    });
}

#[test]
fn motion_is_shown_in_every_format() {
    shown("three-suns", &[]);
    shown("three-suns-low-at-speed", &["--state", "low", "--rpm", "1500", "--limit", "1400", "--limit=cluster=2600"]);
    shown("three-suns-noise", &["--state", "direct", "--heard", "low,reverse", "--not-heard", "direct"]);
    shown("three-suns-csv", &["--format", "csv"]);
    shown("three-suns-markdown", &["--format", "markdown", "--state", "reverse"]);
    shown("three-suns-json", &["--format", "json", "--state", "low"]);
}

/// A one-way clutch was said to bring to rest what turns in the sense that it lets through, and in a start from rest to
/// meet its member turning in the sense that it stops, which cannot be.
#[test]
fn a_one_way_clutch_overruns_or_holds_from_the_first() {
    let text = toothmark::description::example("tractor-under-load-splitter").expect("it is built in");
    let set = read(text).expect("it is sound");
    assert!(
        engagements(&set).iter().all(|found| found.from.is_some()),
        "the input cannot turn while the output stands"
    );
    let answer = run_with(command(&["motion", "-", "--full"]), text.as_bytes()).stdout;
    let words: Vec<&str> = answer.split_whitespace().filter(|word| !word.starts_with(['│', '┆'])).collect();
    let answer = words.join(" ");
    assert!(answer.contains("with the output standing, \"carrier one-way clutch\" would hold"), "{answer}");
    assert!(answer.contains("overruns: carrier"), "{answer}");
    assert!(!answer.contains("comes to rest from"), "{answer}");
}

#[test]
fn a_state_that_leaves_out_a_one_way_clutch_that_would_hold_is_warned_of() {
    let text = r#"Gearset(title: "One way", input: "sun", output: "carrier",
        members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []},
        planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])},
        meshes: [("S", "p"), ("R", "p")],
        controls: {"sprag": OneWayClutch("ring", "case", Forward), "clutch": Clutch("ring", "sun")},
        states: {"direct": Apply(["clutch"])})"#;
    for command_name in ["motion", "ratios", "loads"] {
        let answer = run_with(command(&[command_name, "-", "--full"]), text.as_bytes()).stdout;
        assert!(answer.contains("one-way clutch \"sprag\" is not listed"), "{command_name}: {answer}");
    }
}
