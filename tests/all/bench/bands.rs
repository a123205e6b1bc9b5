//! Bands: travel and lining against arcs, what they hold against the loads of the gearset.

use toothmark::bench::{BandQuestion, BandsQuestion, CannotSetBand, bands};
use toothmark::exact::fraction;
use toothmark::gearset::{Angle, BandSizes, Length};
use toothmark::statics::{InputTorque, LoadsQuestion, TorqueUnit, survey_loads};

use crate::support::sets::{read_file, read_set};

#[track_caller]
fn near(found: Option<f64>, wanted: f64, within: f64) {
    assert!(found.is_some_and(|found| (found - wanted).abs() <= within), "{found:?} is not {wanted}");
}

fn sizes(degrees: i64) -> BandSizes {
    BandSizes {
        wrap: Some(Angle::Degrees(fraction(degrees, 1)).into()),
        radius: Some(Length::Millimetres(fraction(95, 1)).into()),
        ..BandSizes::default()
    }
}

fn band() -> BandQuestion {
    BandQuestion {
        name: "low band".into(),
        sizes: sizes(330),
        lining_mm: Some(5.0),
        gap_mm: Some(0.5),
        run_out_mm: Some(0.3),
        ..BandQuestion::default()
    }
}

fn ask(band: BandQuestion) -> BandsQuestion {
    BandsQuestion { bands: vec![band], torque: None }
}

/// The end travels by the difference of two arcs, which a polygon of a hundred thousand sides has as well.
#[test]
fn travel_is_the_difference_of_two_drawn_arcs() {
    let length = |radius: f64, degrees: f64| {
        let sides = 100_000;
        let step = degrees.to_radians() / f64::from(sides);
        let corner = |at: i32| (radius * (f64::from(at) * step).cos(), radius * (f64::from(at) * step).sin());
        let side = |at: i32| {
            let ((x, y), (to_x, to_y)) = (corner(at), corner(at + 1));
            (to_x - x).hypot(to_y - y)
        };
        (0..sides).map(side).sum::<f64>()
    };
    for (degrees, gap) in [(330, 0.5), (320, 1.25), (700, 0.2)] {
        let question = ask(BandQuestion { sizes: sizes(degrees), gap_mm: Some(gap), ..band() });
        let found = bands(None, &question).expect("sizes of a band");
        let degrees = f64::from(i32::try_from(degrees).expect("it is small"));
        near(found.bands[0].travel_mm, length(95.0 + gap, degrees) - length(95.0, degrees), 1e-5);
        near(found.bands[0].lining_length_mm, length(95.0 + gap + 2.5, degrees), 1e-5);
    }
}

/// A drum out by a dial reading of 1.2 stands 0.6 out of its middle: the gap of 0.5 is short by 0.1.
#[test]
fn a_drum_that_is_out_by_more_than_twice_the_gap_rubs() {
    for (run_out, rubs) in [(1.2, true), (1.0, false), (0.99, false)] {
        let found = bands(None, &ask(BandQuestion { run_out_mm: Some(run_out), ..band() })).expect("sizes of a band");
        assert_eq!((found.bands[0].rubs, found.good), (Some(rubs), !rubs), "{run_out}");
    }
    let unknown = bands(None, &ask(BandQuestion { run_out_mm: None, ..band() })).expect("sizes of a band");
    assert_eq!(unknown.bands[0].rubs, None);
}

/// What a band holds is what the loads say, in drive and on overrun.
#[test]
fn bands_hold_what_the_loads_say() {
    let set = read_set("peat-railway-tractor", &read_file("gearsets/peat-railway-tractor.ron"));
    let torque = InputTorque { amount: fraction(40, 1), unit: TorqueUnit::NewtonMetres };
    let question = BandsQuestion { torque: Some(torque.clone()), ..BandsQuestion::of_gearset(&set, None) };
    let found = bands(Some(&set), &question).expect("it has bands");
    let names: Vec<&str> = found.bands.iter().map(|band| band.band.as_str()).collect();
    assert_eq!(names, ["low band", "reverse band"]);
    let survey = survey_loads(&set, &LoadsQuestion { torque, ..LoadsQuestion::default() });
    let mut compared = 0;
    for (band, state) in found.bands.iter().zip(["low", "reverse"]) {
        let loaded = survey.states.iter().find(|it| it.state == state).expect("it has one");
        let control = loaded.controls.iter().find(|it| it.applied).expect("it applies one");
        let verdicts = &control.capacity.as_ref().expect("it has sizes").verdicts;
        assert_eq!(band.states.len(), verdicts.len(), "{band:?}");
        for (held, verdict) in band.states.iter().zip(verdicts) {
            near(Some(held.capacity_newton_metres), verdict.capacity_newton_metres, 1e-12);
            near(Some(held.demand_newton_metres), verdict.demand_newton_metres, 1e-12);
            assert_eq!(held.holds, verdict.holds, "{band:?}");
            compared += 1;
        }
        assert_eq!(band.states[0].wraps_on, Some(true), "both lead from the anchor so that the drum pulls them on");
    }
    assert_eq!(compared, 4, "two bands, in drive and on overrun");
    let only = BandsQuestion::of_gearset(&set, set.control_named("reverse band"));
    assert_eq!(only.bands.len(), 1);
}

/// Without a torque nobody asks whether a band holds; 4000 N m slip through any of the tractor.
#[test]
fn a_band_is_good_where_it_holds_what_is_put_in() {
    let set = read_set("peat-railway-tractor", &read_file("gearsets/peat-railway-tractor.ron"));
    let good = |newton_metres: Option<i64>| {
        let torque = |amount: i64| InputTorque { amount: fraction(amount, 1), unit: TorqueUnit::NewtonMetres };
        let torque = newton_metres.map(torque);
        let found = bands(Some(&set), &BandsQuestion { torque, ..BandsQuestion::of_gearset(&set, None) });
        let found = found.expect("it has bands");
        (found.good, found.bands.iter().flat_map(|band| &band.states).all(|state| state.holds))
    };
    assert_eq!(good(Some(1)), (true, true));
    assert_eq!(good(Some(4000)), (false, false));
    assert!(good(None).0);
}

/// What was asked of a band only filled gaps of its description, and what it holds stayed that of the description:
/// `600 (e^(0.3 x 320 deg) - 1) 95 mm` with another friction, by hand from the belt equation.
#[test]
fn sizes_that_are_asked_about_are_those_that_hold() {
    let set = read_set("peat-railway-tractor", &read_file("gearsets/peat-railway-tractor.ron"));
    let mut question = BandsQuestion::of_gearset(&set, set.control_named("low band"));
    let pull = question.bands[0].sizes.pull.as_ref().expect("it is described").newtons();
    question.bands[0].sizes.friction = Some(fraction(3, 10).into());
    let found = &bands(Some(&set), &question).expect("it has bands").bands[0];
    let on = pull * ((0.3 * 320_f64.to_radians()).exp() - 1.0) * 0.095;
    near(found.wrapping_on_newton_metres, on, 1e-9);
    near(Some(found.states[0].capacity_newton_metres), on, 1e-9);
}

/// A band of which a description tells no size is told of as soon as something is measured of it.
#[test]
fn bands_without_described_sizes_take_those_that_are_asked_about() {
    let set = read_set("inspection-railcar", &read_file("gearsets/inspection-railcar.ron"));
    let mut question = BandsQuestion::of_gearset(&set, None);
    assert_eq!(bands(Some(&set), &question), Err(vec![CannotSetBand::NoBand]));
    question.bands[1].gap_mm = Some(0.5);
    let found = bands(Some(&set), &question).expect("one is told of").bands;
    assert_eq!(
        found.iter().map(|band| (&band.band[..], band.gap_mm)).collect::<Vec<_>>(),
        [("reverse band", Some(0.5))]
    );
}

#[test]
fn what_is_no_band_is_refused() {
    #[track_caller]
    fn refuses(question: &BandsQuestion, is_it: impl Fn(&CannotSetBand) -> bool) {
        let reasons = bands(None, question).expect_err("it is refused");
        assert!(reasons.iter().any(&is_it), "{reasons:?}");
        assert!(reasons.iter().all(|reason| !reason.hint().is_empty()), "{reasons:?}");
    }
    refuses(&BandsQuestion::default(), |it| *it == CannotSetBand::NoBand);
    for degrees in [0, -10, 721] {
        let question = ask(BandQuestion { sizes: sizes(degrees), ..band() });
        refuses(&question, |it| matches!(it, CannotSetBand::Wrap { .. }));
    }
    for gap in [-0.1, f64::NAN, 1e6] {
        let question = ask(BandQuestion { gap_mm: Some(gap), ..band() });
        refuses(&question, |it| matches!(it, CannotSetBand::NoSize { what: "gap", .. }));
    }
    refuses(&ask(BandQuestion { lining_mm: Some(-1.0), ..band() }), |it| matches!(it, CannotSetBand::NoSize { .. }));
    let many = BandsQuestion { bands: vec![band(); 51], torque: None };
    refuses(&many, |it| matches!(it, CannotSetBand::TooManyBands { .. }));
}
