//! Clutches: finger screws, springs, packs and plates against sums done by hand and the loads of the gearset.

use toothmark::bench::{
    CannotSetClutch, ClutchQuestion, ClutchSetting, FingersQuestion, PlatesQuestion, SpringQuestion, SpringReading,
    clutch,
};
use toothmark::exact::fraction;
use toothmark::gearset::Gearset;
use toothmark::statics::{InputTorque, LoadsQuestion, TorqueUnit, survey_loads};

use crate::support::sets::{read_file, read_set};

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

fn fingers(gaps: &[f64], wanted_mm: Option<f64>) -> FingersQuestion {
    FingersQuestion { gaps_mm: gaps.to_vec(), wanted_mm, pitch_mm: Some(1.27), ..FingersQuestion::default() }
}

/// What is told of turns where the pitch is.
#[track_caller]
fn pitch_known(turns: Option<f64>) -> f64 {
    turns.expect("the pitch is given")
}

fn of_fingers(fingers: FingersQuestion) -> ClutchQuestion {
    ClutchQuestion { fingers: Some(fingers), ..ClutchQuestion::default() }
}

#[track_caller]
fn found(question: &ClutchQuestion) -> ClutchSetting {
    clutch(None, question).unwrap_or_else(|reasons| panic!("{reasons:?}"))
}

/// First to the finger that is nearest, then all alike: gaps 20.9, 21.4 and 20.6, wanted 20.64.
#[test]
fn fingers_are_made_equal_and_then_turned_alike() {
    let setting = found(&of_fingers(fingers(&[20.9, 21.4, 20.6], Some(20.64)))).fingers.expect("it is asked");
    for finger in &setting.fingers {
        let told = pitch_known(finger.equal_first_turns) + pitch_known(setting.then_all_turns);
        near(told, pitch_known(finger.turns), 1e-11);
    }
    near(setting.equal_first_mm, 20.6, 1e-12);
    assert_eq!(setting.fingers.iter().map(|finger| finger.within).collect::<Vec<_>>(), [false, false, true]);
    assert!(!setting.all_within, "two fingers are off");
}

/// Turning the screws as told closes every gap to what is wanted, whatever the lever.
#[test]
fn what_is_told_brings_every_gap_to_what_is_wanted() {
    for lever in [0.5, 1.0, 2.5] {
        let gaps = [3.0, 3.4, 2.7, 3.15];
        let question = FingersQuestion { lever: Some(lever), ..fingers(&gaps, Some(3.1)) };
        let setting = found(&of_fingers(question)).fingers.expect("it is asked");
        for (finger, gap) in setting.fingers.iter().zip(gaps) {
            let per_turn = 1.27 * lever;
            near(gap - pitch_known(finger.equal_first_turns) * per_turn, 3.15, 1e-12);
            near(3.15 - pitch_known(setting.then_all_turns) * per_turn, 3.1, 1e-12);
            near(gap - pitch_known(finger.turns) * per_turn, 3.1, 1e-12);
        }
    }
    // Without a gap that is wanted all go to the mean: (20.9 + 21.4 + 20.7) / 3 = 21.
    let setting = found(&of_fingers(fingers(&[20.9, 21.4, 20.7], None))).fingers.expect("it is asked");
    near(setting.wanted_mm, 21.0, 1e-12);
    assert!(setting.wanted_is_mean, "nobody wanted it");
    near(pitch_known(setting.then_all_turns), 0.0, 1e-12);
    // A gap that is off by just as much as it may be.
    let just = FingersQuestion { within_mm: Some(0.1), ..fingers(&[20.9, 20.7], Some(20.8)) };
    assert!(found(&of_fingers(just)).good, "both are within 0.1");
}

/// A bench that does not know its thread measures gaps all the same, and was refused.
#[test]
fn without_a_pitch_the_gaps_are_told() {
    let question = FingersQuestion { pitch_mm: None, ..fingers(&[20.9, 21.4, 20.6], Some(20.64)) };
    let setting = found(&of_fingers(question)).fingers.expect("it is asked");
    assert!(setting.fingers.iter().all(|finger| finger.turns.is_none() && finger.flats.is_none()), "{setting:?}");
    for (finger, close) in setting.fingers.iter().zip([0.26, 0.76, -0.04]) {
        near(finger.close_mm, close, 1e-12);
        near(finger.equal_first_close_mm + setting.then_all_close_mm, close, 1e-12);
    }
}

fn spring(readings: [(f64, f64); 2]) -> SpringQuestion {
    SpringQuestion {
        readings: readings.map(|(mm, newtons)| SpringReading { mm, newtons }),
        ..SpringQuestion::default()
    }
}

fn of_spring(spring: SpringQuestion) -> ClutchQuestion {
    ClutchQuestion { spring: Some(spring), ..ClutchQuestion::default() }
}

/// 60 mm 900 N and 45 mm 1800 N is 60 N a millimetre, free at 75 mm. Wire 8, 4.5 coils that spring: 6.5 touch at 52 mm.
#[test]
fn springs_press_as_computed() {
    let sizes = SpringQuestion {
        working_mm: Some(50.0),
        wire_mm: Some(8.0),
        coil_mm: Some(62.0),
        coils: Some(4.5),
        ..spring([(60.0, 900.0), (45.0, 1800.0)])
    };
    let setting = found(&of_spring(sizes.clone()));
    let told = setting.spring.expect("it is asked");
    near(told.rate_newtons_per_mm, 60.0, 1e-12);
    near(told.free_length_mm, 75.0, 1e-12);
    near(told.coil_bound_mm.expect("wire and coils are given"), 52.0, 1e-12);
    assert!(!setting.good && told.left_to_coil_bound_mm.is_some_and(|left| left < 0.0), "{told:?}");
    let open = SpringQuestion { all_coils: Some(5.0), ..sizes };
    assert!(found(&of_spring(open)).good, "five coils of 8 mm touch at 40");
}

/// Its rate is 60 N/mm and 900 N are left at 60 mm, so that it is free at 75 mm.
#[test]
fn a_spring_works_at_any_length_up_to_its_free_one() {
    let at = |working_mm: f64| {
        let question = SpringQuestion { working_mm: Some(working_mm), ..spring([(60.0, 900.0), (45.0, 1800.0)]) };
        clutch(None, &of_spring(question))
    };
    for working in [50.0, 60.0, 61.0, 70.0, 74.9] {
        let spring = at(working).expect("it is shorter").spring.expect("it is asked");
        near(spring.working_force_newtons.expect("its length is given"), 60.0 * (75.0 - working), 1e-9);
    }
    let free = |told: &CannotSetClutch| matches!(told, CannotSetClutch::LongerThanFree { free, .. } if free == "75.00");
    assert!(at(75.1).is_err_and(|reasons| reasons.iter().any(free)));
}

fn pack_of(kinds: &str) -> ClutchQuestion {
    ClutchQuestion { pack: kinds.split_whitespace().map(String::from).collect(), ..ClutchQuestion::default() }
}

#[test]
fn two_discs_of_a_kind_in_a_row_are_found() {
    let pack = found(&pack_of("s l l s l s s l")).pack.expect("it is asked");
    let places: Vec<(usize, &str)> = pack.two_in_a_row.iter().map(|fault| (fault.place, fault.kind.as_str())).collect();
    assert_eq!((places, pack.faces, pack.alternates), (vec![(2, "l"), (6, "s")], 5, false));
}

fn tractor() -> Gearset {
    read_set("peat-railway-tractor", &read_file("gearsets/peat-railway-tractor.ron"))
}

fn plates(set: &Gearset, newton_metres: i64) -> ClutchQuestion {
    let control = set.control_named("direct clutch").expect("it has one");
    let torque = InputTorque { amount: fraction(newton_metres, 1), unit: TorqueUnit::NewtonMetres };
    ClutchQuestion { plates: Some(PlatesQuestion { control, torque: Some(torque) }), ..ClutchQuestion::default() }
}

/// 12 faces, 0.08, 1400 N, (70 + 52) / 2 mm: 12 x 0.08 x 1400 x 0.061 = 81.984 N m. With the spring of CL3 at 50 mm
/// through a lever of 2, a tenth lost: 1500 x 2 x 0.9 = 2700 N; and with 9 discs 8 faces: 8 x 0.08 x 2700 x 0.061.
#[test]
fn plates_hold_by_what_was_measured() {
    let set = tractor();
    let described = clutch(Some(&set), &plates(&set, 40)).expect("it has plates").plates.expect("they are asked");
    near(described.worn_in_newton_metres, 81.984, 1e-9);
    // The same as the loads say, for they are asked.
    let torque = InputTorque { amount: fraction(40, 1), unit: TorqueUnit::NewtonMetres };
    let survey = survey_loads(&set, &LoadsQuestion { torque, ..LoadsQuestion::default() });
    let direct = survey.states.iter().find(|state| state.state == "direct").expect("it has one");
    let verdict = direct.controls[2].capacity.as_ref().expect("it has plates").verdicts[0];
    near(described.states[0].demand_newton_metres, verdict.demand_newton_metres, 1e-12);
    near(described.states[0].enough_for_newton_metres, verdict.enough_for_newton_metres, 1e-12);
    let lever = SpringQuestion {
        working_mm: Some(50.0),
        lever: Some(2.0),
        lost: Some(0.1),
        ..spring([(60.0, 900.0), (45.0, 1800.0)])
    };
    let question = ClutchQuestion { spring: Some(lever), ..pack_of("s l s l s l s l s") };
    let question = ClutchQuestion { plates: plates(&set, 40).plates, ..question };
    let measured = clutch(Some(&set), &question).expect("it has plates").plates.expect("they are asked");
    assert!(measured.by_spring && measured.by_pack, "{measured:?}");
    near(measured.worn_in_newton_metres, 8.0 * 0.08 * 2700.0 * 0.061, 1e-9);
    assert!(!clutch(Some(&set), &plates(&set, 4000)).expect("it has plates").good, "4000 N m slip");
}

#[test]
fn what_is_no_clutch_is_refused() {
    use CannotSetClutch as Refused;
    #[track_caller]
    fn refuses(question: &ClutchQuestion, is_it: impl Fn(&Refused) -> bool) {
        let reasons = clutch(None, question).expect_err("it is refused");
        assert!(reasons.iter().any(&is_it), "{reasons:?}");
        assert!(reasons.iter().all(|reason| !reason.hint().is_empty()), "{reasons:?}");
        for size in reasons.iter().filter(|reason| matches!(reason, Refused::NoSize { .. })) {
            super::names_an_option("clutch", size.hint());
        }
    }
    refuses(&ClutchQuestion::default(), |it| *it == Refused::NothingAsked);
    refuses(&of_fingers(fingers(&[], None)), |it| matches!(it, Refused::FingerCount { count: 0 }));
    for gap in [-1.0, f64::NAN, 1e9] {
        refuses(&of_fingers(fingers(&[gap], None)), |it| matches!(it, Refused::NoSize { what: "gap", .. }));
    }
    for lever in [0.0, -1.0, f64::NAN] {
        let question = FingersQuestion { lever: Some(lever), ..fingers(&[20.0], None) };
        refuses(&of_fingers(question), |it| matches!(it, Refused::NoSize { what: "lever of the fingers", .. }));
    }
    let no_pitch = FingersQuestion { pitch_mm: Some(0.0), ..fingers(&[20.0], None) };
    refuses(&of_fingers(no_pitch), |it| matches!(it, Refused::NoSize { .. }));
    refuses(&of_spring(spring([(60.0, 900.0), (60.0, 900.0)])), |it| matches!(it, Refused::SameLength { .. }));
    refuses(&of_spring(spring([(60.0, 1800.0), (45.0, 900.0)])), |it| *it == Refused::NoRate);
    let long = SpringQuestion { working_mm: Some(80.0), ..spring([(60.0, 900.0), (45.0, 1800.0)]) };
    refuses(&of_spring(long), |it| matches!(it, Refused::LongerThanFree { .. }));
    let coil = SpringQuestion { wire_mm: Some(8.0), coil_mm: Some(8.0), ..spring([(60.0, 900.0), (45.0, 1800.0)]) };
    refuses(&of_spring(coil), |it| matches!(it, Refused::CoilBelowWire { .. }));
    refuses(&pack_of("s"), |it| matches!(it, Refused::PackCount { count: 1 }));
    refuses(&pack_of("s l x"), |it| matches!(it, Refused::Kinds { count: 3 }));
    let set = tractor();
    refuses(&plates(&set, 40), |it| *it == Refused::NoGearset);
}
