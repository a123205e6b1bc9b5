//! What do controls that make the same two bodies one carry together, and who carries it?
//!
//! The slow twin leaves all but one of them out: the one that is left carries what they have to carry together, and
//! every mesh, every member and every efficiency stays as it is. A one-way clutch carries in one sense only.

use num_traits::Zero;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Draft, DraftAction, DraftConditions, DraftControl, Efficiency, Gearset, Pair, Sense};
use toothmark::statics::{LoadSurvey, LoadedState, LoadsQuestion, OneWay, survey_loads};

use crate::support::process::{command, run_with};
use crate::support::sets::{file_stems, read_example, read_file, read_set};

/// The village bus with a further state: the band on the carrier beside its one-way clutch.
fn with_manual_low() -> String {
    read_file("gearsets/village-bus-automatic.ron").replace(
        r#""neutral": Apply([]),"#,
        r#""manual low": Apply(["forward clutch", "first one-way clutch", "reverse band"]), "neutral": Apply([]),"#,
    )
}

fn asked(set: &Gearset) -> LoadSurvey {
    let mesh_efficiency = Efficiency::new(&fraction(98, 100));
    survey_loads(set, &LoadsQuestion { mesh_efficiency, ..LoadsQuestion::default() })
}

fn state<'a>(answer: &'a LoadSurvey, name: &str) -> &'a LoadedState {
    answer.states.iter().find(|state| state.state == name).expect("a state of that name")
}

/// Of "manual low" nothing was told of carrier, band and clutch, neither the efficiency nor what happens on overrun.
/// By hand: the ratio is 66/24 = 11/4, so the carrier is held with 11/4 - 1 = 7/4; three meshes pass the power on one after
/// the other with the carrier at rest, so 0.98^3 of it comes out in both senses.
#[test]
fn a_band_beside_a_one_way_clutch_carries_a_share_in_drive_and_all_on_overrun() {
    let set = read_set("manual low", &with_manual_low());
    let answer = asked(&set);
    let low = state(&answer, "manual low");
    let [band, clutch] =
        ["reverse band", "first one-way clutch"].map(|name| set.control_named(name).expect("a control"));
    let [band, clutch] = [band, clutch].map(|control| &low.controls[control.index()]);
    let [shared] = &low.shared[..] else { panic!("{:?}", low.shared) };
    assert_eq!(shared.torque, Some(fraction(7, 4)), "on the carrier, together");
    assert_eq!(shared.carried_in_drive_by, [clutch.control, band.control], "in the order of the state");
    assert_eq!(shared.carried_on_overrun_by, [band.control]);
    assert_eq!([&band.torque, &clutch.torque], [&None, &None], "how they share it is open");
    assert_eq!(band.torque_on_overrun, Some(fraction(-7, 4)));
    assert_eq!(clutch.torque_on_overrun, Some(Fraction::zero()));
    assert_eq!(band.wants_to_turn, Some(Sense::Backward));
    assert_eq!([clutch.one_way, clutch.one_way_on_overrun], [Some(OneWay::Holds), Some(OneWay::LeavesToOthers)]);
    let carrier = set.member_named("carrier").expect("a carrier");
    let held = low.members.iter().find(|load| load.member == carrier).expect("it is listed");
    assert_eq!((&held.torque, &held.power), (&Some(fraction(7, 4)), &Some(Fraction::zero())));
    let three_meshes = fraction(98, 100) * fraction(98, 100) * fraction(98, 100);
    assert_eq!(
        [&low.efficiency, &low.efficiency_on_overrun],
        [&Some(three_meshes.clone()), &Some(three_meshes.clone())]
    );
    assert!(!low.lets_go_on_overrun, "the band holds");
    // With losses: 11/4 0.98^3 - 1 in drive; on overrun 11/4 / 0.98^3 - 1, the other way round.
    assert_eq!(band.torque_with_losses, None);
    let on_overrun = fraction(1, 1) - fraction(11, 4) / three_meshes;
    assert_eq!(band.torque_with_losses_on_overrun, Some(on_overrun));
    // In first the clutch is alone: nothing brakes there, and nothing is told of an efficiency on overrun.
    let first = state(&answer, "first");
    assert!(first.lets_go_on_overrun && first.efficiency_on_overrun.is_none());
    assert_eq!(first.locks_itself, Some([Some(false), None]), "lets go: it neither runs nor locks itself");
}

#[test]
fn what_is_shared_is_said_in_words() {
    let shown = run_with(command(&["loads", "-"]), with_manual_low().as_bytes()).stdout;
    let words = shown.split_whitespace().collect::<Vec<&str>>().join(" ");
    let expected = "In \"manual low\" first one-way clutch and reverse band have 1.75 to carry together: in drive how they \
                    share it is open, on overrun reverse band carries all.";
    assert!(words.contains(expected), "{shown}");
    let full =
        run_with(command(&["loads", "-", "--full", "--state", "manual low"]), with_manual_low().as_bytes()).stdout;
    assert!(!full.contains("statically indeterminate: how") && !full.contains("not told"), "{full}");
}

/// A one-way clutch that would be pulled open in drive leaves everything to the band from the first.
#[test]
fn a_one_way_clutch_the_wrong_way_round_beside_a_band_carries_on_overrun_alone_with_it() {
    let source = with_manual_low().replace(r#"("carrier", "case", Backward)"#, r#"("carrier", "case", Forward)"#);
    let set = read_set("turned round", &source);
    let answer = asked(&set);
    let low = state(&answer, "manual low");
    let band = &low.controls[set.control_named("reverse band").expect("a band").index()];
    assert_eq!((&band.torque, &band.torque_on_overrun), (&Some(fraction(7, 4)), &None));
}

/// The draft with a one-way clutch beside every band and clutch, and in every state one beside the first control.
fn with_one_way_clutches(draft: &Draft, stops: Sense) -> Draft {
    let mut draft = draft.clone();
    let beside = |name: &str| format!("{name} one-way");
    let one_way_beside = |control: &DraftControl| {
        let pair = match &control.action {
            DraftAction::Band(drum, _) => Pair { first: drum.clone(), second: "case".into() },
            DraftAction::Clutch(pair, _) => pair.clone(),
            DraftAction::OneWayClutch(..) => return None,
        };
        let mut one_way = control.clone();
        one_way.name = beside(&control.name).into();
        one_way.action = DraftAction::OneWayClutch(pair, stops);
        Some(one_way)
    };
    let one_way_clutches: Vec<DraftControl> = draft.controls.iter().filter_map(one_way_beside).collect();
    for state in &mut draft.states {
        if let DraftConditions::Apply(applied) = &mut state.conditions
            && let Some(first) = applied.first().map(|first| beside(first))
            && one_way_clutches.iter().any(|control| control.name.as_str() == first)
        {
            applied.push(first.as_str().into());
        }
    }
    draft.controls.extend(one_way_clutches);
    draft
}

#[test]
fn whatever_is_beside_a_control_changes_nothing_but_its_share() {
    let mut seen = 0;
    for name in file_stems("gearsets") {
        let plain = read_example(&name);
        for stops in [Sense::Forward, Sense::Backward] {
            let draft = with_one_way_clutches(plain.draft(), stops);
            let both = Gearset::new(draft).unwrap_or_else(|problems| panic!("{name}: {problems:?}"));
            let (alone, both_loads) = (asked(&plain), asked(&both));
            for (alone, beside) in alone.states.iter().zip(&both_loads.states) {
                let [shared] = &beside.shared[..] else { continue };
                let case = format!("{name}, {:?}, {stops:?}", alone.state);
                let control = shared.controls[0];
                assert_eq!(shared.torque, alone.controls[control.index()].torque, "{case}");
                assert_eq!(beside.meshes, alone.meshes, "{case}");
                assert_eq!(beside.members, alone.members, "{case}");
                assert_eq!(beside.mounts, alone.mounts, "{case}");
                assert_eq!(beside.efficiency, alone.efficiency, "{case}");
                if !alone.lets_go_on_overrun {
                    assert_eq!(beside.efficiency_on_overrun, alone.efficiency_on_overrun, "{case}");
                }
                seen += usize::from(shared.torque.as_ref().is_some_and(|torque| !torque.is_zero()));
            }
        }
    }
    assert!(seen > 60, "only {seen} states share a torque");
}
