//! Are efficiencies right, and does what is said to lock itself lock itself?
//!
//! Single sets have closed formulas. For any train the slow twin tries every combination of who
//! drives whom in the meshes, solves the dense balance for each, and keeps those whose torques agree
//! with what was assumed. What is put in must always be what comes out and what is lost.

use num_traits::{One, Signed, Zero};
use proptest::prelude::*;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Efficiency, Gearset, MeshId, Restraint, State};
use toothmark::kinematics::{StateMotion, Verdict, motions};
use toothmark::statics::{
    InputTorque, LoadsQuestion, LossesUntold, PowerFlow, StateLosses, TorqueUnit, losses, survey_loads,
};

use crate::statics::loads_twin::{dense_with, outside};
use crate::support::process::{command, run_with};
use crate::support::random::cases;
use crate::support::sets::{file_stems, read_example, read_set};
use crate::support::trains::train;

fn percent(value: i64) -> Option<Efficiency> {
    Efficiency::new(&fraction(value, 100))
}

/// The efficiency in drive or on overrun, where power is passed on.
#[track_caller]
fn told(flow: &PowerFlow) -> Fraction {
    flow.run().expect("it is told").efficiency.clone()
}

fn simple_set(state: &str) -> String {
    format!(
        r#"Gearset(title: "Simple set", efficiency: "0.95",
            members: {{"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []}},
            planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])}},
            meshes: [("S", "p"), ("R", "p")],
            states: {{"one": Given({state})}})"#
    )
}

/// With k ring teeth per sun tooth and h the efficiency with the carrier held. Each is the power that
/// comes out over that which is put in when the torques on sun, ring and carrier are as 1 : k h : 1 + k h
/// (the sun drives the ring) or as h : k : h + k.
#[test]
fn a_single_set_has_the_efficiencies_of_the_closed_formulas() {
    let (one, k, h) = (fraction(1, 1), fraction(5, 2), fraction(95 * 95, 10_000));
    let under = |value: Fraction| &one / value;
    let cases = [
        (r#"held: ["carrier"], input: "sun", output: "ring""#, h.clone()),
        (r#"held: ["carrier"], input: "ring", output: "sun""#, h.clone()),
        (r#"held: ["ring"], input: "sun", output: "carrier""#, (&one + &k * &h) / (&one + &k)),
        (r#"held: ["ring"], input: "carrier", output: "sun""#, (&one + &k) / (&one + &k / &h)),
        (r#"held: ["sun"], input: "ring", output: "carrier""#, (&k + &h) / (&one + &k)),
        (r#"held: ["sun"], input: "carrier", output: "ring""#, (&one + &k) / (&k + under(h.clone()))),
    ];
    for (state, expected) in cases {
        let set = read_set(state, &simple_set(state));
        assert_eq!(told(&losses(&set, None).expect("an efficiency is given")[0].drive), expected, "{state}");
    }
    // Overrun is drive from the other end.
    let [there, back] =
        [r#"held: ["ring"], input: "sun", output: "carrier""#, r#"held: ["ring"], input: "carrier", output: "sun""#]
            .map(|state| losses(&read_set(state, &simple_set(state)), None).expect("an efficiency is given"));
    assert_eq!(there[0].overrun, mirrored(&back[0]), "overrun");
}

/// Two suns on a cluster of two gears, the carrier driven and the first sun turned with it at a given speed.
fn two_drives(counts: [i64; 4], speed: &str, part: i64) -> String {
    let [sun, planet, other_sun, other_planet] = counts;
    format!(
        r#"Gearset(title: "Two drives", efficiency: "{part}/100",
            members: {{"first": [Sun("A", {sun})], "second": [Sun("B", {other_sun})], "carrier": []}},
            planets: {{"cluster": (carrier: "carrier", pins: Equal(1), gears: [Gear("a", {planet}), Gear("b", {other_planet})])}},
            meshes: [("A", "a"), ("B", "b")],
            states: {{"two": Given(turning: {{"first": "{speed}"}}, input: "carrier", output: "second")}})"#
    )
}

/// The efficiencies of such a set. Seen from the carrier the second sun has the torque -i h^k of the first, with
/// i = (a B)/(A b), h the efficiency of both meshes and k = 1 where the first drives, -1 where the second does; all
/// torques add up to zero, so that the first has 1/(i h^k - 1) for the torque 1 on the carrier. It drives if
/// that times r - 1 is above zero, r being its speed: for h < i < 1/h and r < 1 both are so.
fn of_two_drives([sun, planet, other_sun, other_planet]: [i64; 4], r: &Fraction, part: i64) -> Vec<Fraction> {
    let (one, i) = (Fraction::one(), fraction(planet * other_sun, sun * other_planet));
    let h = fraction(part * part, 10_000);
    let mut found = Vec::new();
    for (first_drives, factor) in [(true, &i * &h), (false, &i / &h)] {
        if factor.is_one() {
            continue;
        }
        let first = (&factor - &one).recip();
        let drives = &first * (r - &one);
        let second_speed = &one + (r - &one) / &i;
        let powers = [one.clone(), &first * r, -(&factor * &first) * second_speed];
        let put_in: Fraction = powers.iter().filter(|power| power.is_positive()).sum();
        let delivered: Fraction = powers.iter().filter(|power| power.is_negative()).sum();
        if (drives.is_zero() || drives.is_positive() == first_drives) && !delivered.is_zero() {
            found.push(-delivered / put_in);
        }
    }
    found.sort();
    found.dedup();
    found
}

/// The efficiency in drive was 100/119 as if that were the only answer; the other agrees with itself as well. By hand,
/// with i = 21/19 and h = 81/100: where the first sun drives it has -1900/199 and the second 1701/199, so that 950/199
/// come out of 1 + 1863/398; where the second drives they have 513/187 and -700/187, and 1150/561 come out of 887/374.
#[test]
fn two_drives_have_two_answers_and_both_are_told() {
    let counts = [20, 20, 21, 19];
    let set = read_set("two drives", &two_drives(counts, "1/2", 90));
    let drive = &losses(&set, None).expect("an efficiency is given")[0].drive;
    let told: Vec<Fraction> = drive.runs().iter().map(|run| run.efficiency.clone()).collect();
    assert_eq!(told, [fraction(100, 119), fraction(2300, 2661)]);
    let loads: Vec<Fraction> = drive.runs().iter().map(|run| run.output_torque.clone()).collect();
    assert_eq!(loads, [fraction(1701, 199), fraction(-700, 187)]);
    assert_eq!(told, of_two_drives(counts, &fraction(1, 2), 90));
    let answer = survey_loads(&set, &LoadsQuestion::default());
    let further = &answer.states[0].further_answers;
    assert_eq!((&answer.states[0].efficiency, further[0].len()), (&Some(fraction(100, 119)), 1));
    assert_eq!(further[0][0].efficiency, fraction(2300, 2661));
    let shown = run_with(command(&["loads", "-"]), two_drives(counts, "1/2", 90).as_bytes()).stdout;
    let words = shown.split_whitespace().collect::<Vec<&str>>().join(" ");
    assert!(
        words.contains("2 answers with losses agree with themselves, with 84.034 % and 86.434 % passed on"),
        "{shown}"
    );
}

/// Simple sets one after the other, every ring held: who drives whom is open in each of them but the first.
fn in_a_row(sets: usize) -> String {
    let each = |words: fn(usize) -> String| (1..=sets).map(words).collect::<Vec<_>>().join(", ");
    let members = each(|at| format!("\"r{at}\": [Ring(\"R{at}\", 60)], \"m{at}\": [Sun(\"S{}\", 24)]", at + 1));
    let planets = each(|at| format!("\"k{at}\": (carrier: \"m{at}\", pins: Equal(3), gears: [Gear(\"p{at}\", 18)])"));
    let meshes = each(|at| format!("(\"S{at}\", \"p{at}\"), (\"R{at}\", \"p{at}\")"));
    let held = each(|at| format!("\"r{at}\""));
    let members = members.replace(&format!("[Sun(\"S{}\", 24)]", sets + 1), "[]");
    format!(
        "Gearset(title: \"Sets in a row\", efficiency: \"0.98\", members: {{\"m0\": [Sun(\"S1\", 24)], {members}}},
         planets: {{{planets}}}, meshes: [{meshes}],
         states: {{\"all\": Given(held: [{held}], input: \"m0\", output: \"m{sets}\")}})"
    )
}

/// Of a train whose combinations are too many to try one answer was told as if there could be no other.
#[test]
fn where_other_answers_were_not_looked_for_it_is_said() {
    // Sun and ring of a set follow one another, and the first set follows the input: six senses are open in seven sets.
    for (sets, all) in [(3, true), (7, true), (16, false)] {
        let set = read_set("sets in a row", &in_a_row(sets));
        let answer = &losses(&set, None).expect("an efficiency is given")[0];
        // Each passes on (1 + 5/2 h) / (1 + 5/2), h the efficiency of both meshes.
        let of_one = (fraction(1, 1) + fraction(5, 2) * fraction(98 * 98, 10_000)) / fraction(7, 2);
        assert_eq!(
            (told(&answer.drive), answer.all_looked_for),
            ((0..sets).fold(fraction(1, 1), |all, _| all * &of_one), all)
        );
        let survey = survey_loads(&set, &LoadsQuestion::default());
        assert_eq!(survey.states[0].all_answers_looked_for, Some(all));
        let shown = run_with(command(&["loads", "-"]), in_a_row(sets).as_bytes()).stdout;
        let words = shown.split_whitespace().collect::<Vec<&str>>().join(" ");
        assert_eq!(words.contains("others were not looked for"), !all, "{shown}");
    }
}

/// What is told of drive, as it is on the overrun of the set driven from its other end, where the
/// torque of 1 is taken out at what was the output.
fn mirrored(other: &StateLosses) -> PowerFlow {
    let PowerFlow::Runs(mut runs) = other.drive.clone() else { return other.drive.clone() };
    for run in &mut runs {
        run.output_torque = -run.output_torque.recip();
    }
    PowerFlow::Runs(runs)
}

const TWO_RINGS: &str = r#"Gearset(title: "Two rings", members: {"one": [Ring("R", 90)], "two": [Ring("Q", 87)], "carrier": []},
    planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("r", 36), Gear("q", 33)])},
    meshes: [("R", "r"), ("Q", "q")],
    states: {"reduction": Given(held: ["one"], input: "carrier", output: "two")})"#;

/// Values of two meshes of 2 % loss each, carrier in and the second central gear held, as the trade has them.
#[test]
fn great_reductions_lose_more_than_their_meshes_suggest() {
    let cases = [
        ("slipway-screw", "0.93"),
        ("tower-clock-jack", "0.78"),
        ("trap-gear", "0.46"),
        ("garden-plough-final-drive", "0.85"),
        ("two rings", "0.58"),
    ];
    for (name, printed) in cases {
        let set = if name == "two rings" { read_set(name, TWO_RINGS) } else { read_example(name) };
        let all = losses(&set, percent(98)).expect("an efficiency is given");
        let found: Vec<String> =
            all.iter().map(|state| format!("{:.2}", toothmark::exact::to_float(&told(&state.drive)))).collect();
        assert!(found.iter().any(|found| found == printed), "{name}: {found:?}");
    }
}

/// A reduction of 30.5 that loses half of its power in drive cannot be driven from its output: and may
/// nevertheless not be trusted to hold a load.
#[test]
fn a_great_reduction_locks_itself_on_overrun() {
    let set = read_example("trap-gear");
    let all = losses(&set, percent(98)).expect("an efficiency is given");
    assert!(all.iter().any(|state| state.overrun == PowerFlow::SelfLocking), "{all:?}");
}

#[test]
fn direct_drive_loses_nothing() {
    let set = read_example("hill-tramway-car");
    let all = losses(&set, percent(90)).expect("an efficiency is given");
    let direct = all.iter().find(|state| state.state == "direct").expect("a state");
    assert_eq!([&direct.drive, &direct.overrun].map(told), [Fraction::one(), Fraction::one()]);
}

#[test]
fn without_an_efficiency_nothing_is_said_of_losses() {
    assert_eq!(losses(&read_example("millrace-winch"), None), None);
}

/// The efficiencies of all combinations that agree with their torques and deliver power; `None` if
/// more meshes roll than are tried.
fn twin(set: &Gearset, state: &State, motion: &StateMotion, sign: i64) -> Option<Vec<Fraction>> {
    let teeth: Vec<Option<Fraction>> = set.mesh_ids().map(|mesh| teeth(set, mesh, motion)).collect();
    let rolls = |mesh: &usize| teeth[*mesh].as_ref().is_some_and(|teeth| !teeth.is_zero());
    let rolling: Vec<usize> = (0..teeth.len()).filter(rolls).collect();
    if rolling.len() > 6 {
        return None;
    }
    let mut found = Vec::new();
    for drivers in 0..1_usize << rolling.len() {
        // In each rolling mesh the first or the second gear drives, and the other gets a part.
        let mut parts = vec![[Fraction::one(), Fraction::one()]; teeth.len()];
        for (place, &mesh) in rolling.iter().enumerate() {
            let efficiency = set.meshes()[mesh].efficiency().map_or_else(Fraction::one, Efficiency::value);
            parts[mesh][usize::from(drivers >> place & 1 == 0)] = efficiency;
        }
        let Some(values) = dense_with(set, state, &parts) else { continue };
        let torques = &values[values.len() - teeth.len()..];
        let agrees = rolling.iter().enumerate().all(|(place, &mesh)| {
            let Some(torque) = &torques[mesh] else { return false };
            // What the mesh gives to the first gear is below zero where the first gear drives.
            let given = torque * teeth[mesh].as_ref().expect("it rolls") * fraction(sign, 1);
            given.is_zero() || given.is_negative() == (drivers >> place & 1 == 0)
        });
        let powers: Option<Vec<Fraction>> = motion
            .members
            .iter()
            .map(|moves| {
                // What stands takes no power, whether its torque is open or not.
                if moves.speed.value().is_some_and(Zero::is_zero) {
                    return Some(Fraction::zero());
                }
                let torque = outside(set, state, moves.member, &values)?;
                if torque.is_zero() { Some(torque) } else { Some(torque * moves.speed.value()? * fraction(sign, 1)) }
            })
            .collect();
        let Some(powers) = powers.filter(|_| agrees) else { continue };
        let delivered: Fraction = powers.iter().filter(|power| power.is_negative()).sum();
        let put_in: Fraction = powers.iter().filter(|power| power.is_positive()).sum();
        let output = &powers[state.output.index() - 1] * fraction(sign, 1);
        let second = state.restraints.iter().any(|one| matches!(one, Restraint::Turning(..)));
        if !put_in.is_zero() && !delivered.is_zero() && (second || output.is_negative()) {
            found.push(-delivered / put_in);
        }
    }
    Some(found)
}

/// The teeth of the first gear that pass, from the speeds of both members and the carrier where they
/// have one, else from the planet's own.
fn teeth(set: &Gearset, mesh: MeshId, motion: &StateMotion) -> Option<Fraction> {
    let gears = set.mesh(mesh).gears();
    let [first, second] = gears.both().map(|&gear| set.gear(gear));
    let moves = |member: toothmark::gearset::MemberId| &motion.members[member.index() - 1];
    let of_first = moves(first.member()).relative_to_carrier.as_ref().and_then(|speed| speed.value().cloned());
    let of_second = moves(second.member()).relative_to_carrier.as_ref().and_then(|speed| speed.value().cloned());
    let of_first = of_first.map(|speed| speed * fraction(first.signed_tooth_count(), 1));
    of_first.or_else(|| of_second.map(|speed| -speed * fraction(second.signed_tooth_count(), 1)))
}

/// How many run with one answer, run with several, lock themselves, are not told.
#[track_caller]
fn agrees_with_the_twin(case: &str, set: &Gearset) -> [usize; 4] {
    let mut seen = [0; 4];
    let Some(all) = losses(set, None) else { return seen };
    for ((state, motion), found) in set.states().iter().zip(motions(set)).zip(&all) {
        let case = format!("{case}, {:?}", state.name);
        for (running, sign) in [(&found.drive, 1), (&found.overrun, -1)] {
            if !matches!(motion.verdict, Verdict::Drives { .. }) {
                assert_eq!(running, &PowerFlow::NotTold(LossesUntold::NoPower), "{case}");
                continue;
            }
            let Some(mut expected) = twin(set, state, &motion, sign) else { continue };
            expected.sort();
            expected.dedup();
            match running {
                PowerFlow::Runs(runs) => {
                    let mut told: Vec<Fraction> = runs.iter().map(|run| run.efficiency.clone()).collect();
                    assert!(told.is_sorted(), "{case}: the least comes first, {told:?}");
                    // Two answers can leave the same efficiency with other torques.
                    told.dedup();
                    assert_eq!(told, expected, "{case}: {sign}");
                    for run in runs {
                        let lost: Fraction = run.lost.iter().sum();
                        assert_eq!(&run.efficiency + lost, Fraction::one(), "{case}: power is made or lost");
                    }
                    seen[usize::from(told.len() > 1)] += 1;
                }
                PowerFlow::SelfLocking => {
                    assert!(expected.is_empty(), "{case}: {sign}, {expected:?}");
                    seen[2] += 1;
                }
                PowerFlow::NotTold(_) => seen[3] += 1,
            }
        }
    }
    seen
}

#[test]
fn every_gearset_has_the_efficiency_of_the_twin() {
    let mut seen = [0; 4];
    for name in file_stems("gearsets") {
        for part in [98, 70, 40] {
            let mut draft = read_example(&name).draft().clone();
            draft.efficiency = Some(fraction(part, 100).into());
            let set = Gearset::new(draft).expect("it was sound");
            let found = agrees_with_the_twin(&name, &set);
            seen.iter_mut().zip(found).for_each(|(sum, found)| *sum += found);
        }
    }
    let [runs, _, locks, _] = seen;
    assert!(runs > 150 && locks > 20, "runs, runs in several ways, locks itself, not told: {seen:?}");
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn random_trains_have_the_efficiency_of_the_twin(draft in train()) {
        if let Ok(set) = Gearset::new(draft) {
            agrees_with_the_twin("random", &set);
        }
    }

    #[test]
    fn sets_with_two_drives_have_the_answers_of_the_closed_formula(
        counts in prop::array::uniform4(18_i64..26), speed in 1_i64..12, part in 60_i64..99,
    ) {
        let speed = fraction(speed, 6);
        let [sun, planet, other_sun, other_planet] = counts;
        // With i = 1 nothing can take up a torque on the carrier.
        prop_assume!(sun * other_planet != planet * other_sun);
        let set = read_set("two drives", &two_drives(counts, &speed.to_string(), part));
        let [Verdict::Drives { .. }] = &motions(&set).iter().map(|motion| motion.verdict.clone()).collect::<Vec<_>>()[..]
        else { return Ok(()) };
        let told = &losses(&set, None).expect("an efficiency is given")[0].drive;
        let mut told: Vec<Fraction> = told.runs().iter().map(|run| run.efficiency.clone()).collect();
        told.dedup();
        prop_assert_eq!(told, of_two_drives(counts, &speed, part), "{:?} at {} with {}", counts, speed, part);
    }

    /// With such losses many trains lock themselves, and combinations that do not agree come near to it.
    #[test]
    fn random_trains_that_lose_very_much_have_all_answers_of_the_twin(draft in train(), part in 20_i64..80) {
        let mut draft = draft;
        draft.efficiency = Some(fraction(part, 100).into());
        if let Ok(set) = Gearset::new(draft) {
            agrees_with_the_twin("random", &set);
        }
    }
}

/// Torques are in proportion, with losses as without.
#[test]
fn with_losses_as_much_more_comes_out_as_is_put_in() {
    let set = read_set("sets in a row", &in_a_row(3));
    let output = |amount: Fraction| {
        let torque = InputTorque { amount, unit: TorqueUnit::NewtonMetres };
        let survey = survey_loads(&set, &LoadsQuestion { torque, ..LoadsQuestion::default() });
        survey.states[0].output_torque_with_losses.clone().expect("an efficiency is given")
    };
    let one = output(fraction(1, 1));
    for amount in [fraction(40, 1), fraction(-7, 3)] {
        assert_eq!(output(amount.clone()), &one * &amount);
    }
}
