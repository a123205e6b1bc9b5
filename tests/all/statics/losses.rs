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
use toothmark::statics::{PowerFlow, StateLosses, losses};

use crate::statics::loads_twin::{dense_with, outside};
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

/// What is told of drive, as it is on the overrun of the set driven from its other end, where the
/// torque of 1 is taken out at what was the output.
fn mirrored(other: &StateLosses) -> PowerFlow {
    let PowerFlow::Runs(run) = &other.drive else { return other.drive.clone() };
    let mut run = run.clone();
    run.output_torque = -run.output_torque.recip();
    PowerFlow::Runs(run)
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

#[track_caller]
fn agrees_with_the_twin(case: &str, set: &Gearset) -> [usize; 3] {
    let mut seen = [0; 3];
    let Some(all) = losses(set, None) else { return seen };
    for ((state, motion), found) in set.states().iter().zip(motions(set)).zip(&all) {
        let case = format!("{case}, {:?}", state.name);
        for (running, sign) in [(&found.drive, 1), (&found.overrun, -1)] {
            if !matches!(motion.verdict, Verdict::Drives { .. }) {
                assert_eq!(running, &PowerFlow::NotTold, "{case}");
                continue;
            }
            let Some(expected) = twin(set, state, &motion, sign) else { continue };
            match running {
                PowerFlow::Runs(run) => {
                    assert!(expected.contains(&run.efficiency), "{case}: {} of {expected:?}", run.efficiency);
                    assert!(
                        expected.iter().all(|one| *one == run.efficiency),
                        "{case}: not the only one, {expected:?}"
                    );
                    let lost: Fraction = run.lost.iter().sum();
                    assert_eq!(&run.efficiency + lost, Fraction::one(), "{case}: power is made or lost");
                    seen[0] += 1;
                }
                PowerFlow::SelfLocking => {
                    assert!(expected.is_empty(), "{case}: {sign}, {expected:?}");
                    seen[1] += 1;
                }
                PowerFlow::NotTold => seen[2] += 1,
            }
        }
    }
    seen
}

#[test]
fn every_gearset_has_the_efficiency_of_the_twin() {
    let mut seen = [0; 3];
    for name in file_stems("gearsets") {
        for part in [98, 70] {
            let mut draft = read_example(&name).draft().clone();
            draft.efficiency = Some(fraction(part, 100).into());
            let set = Gearset::new(draft).expect("it was sound");
            let found = agrees_with_the_twin(&name, &set);
            seen.iter_mut().zip(found).for_each(|(sum, found)| *sum += found);
        }
    }
    let [runs, locks, _] = seen;
    assert!(runs > 150 && locks > 20, "runs, locks itself, not told: {seen:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn random_trains_have_the_efficiency_of_the_twin(draft in train()) {
        if let Ok(set) = Gearset::new(draft) {
            agrees_with_the_twin("random", &set);
        }
    }
}
