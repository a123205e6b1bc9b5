//! Do bands and plate clutches hold what tables and textbooks say they hold?
//!
//! The values of the textbook are from memory, and marked so; whatever is worked out from other numbers
//! of the same example is compared with these. Without a size nothing is worked out that rests on it.

use toothmark::exact::fraction;
use toothmark::gearset::{Angle, BandSizes, Force, Length, NEWTONS_PER_POUND_FORCE, PlateSizes, Sense};
use toothmark::statics::{
    TorqueUnit, Wrapping, band_capacity, band_load, drum_wants_to_turn, plate_capacity, tension_ratio, wrapping,
};

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} is not {expected}");
}

fn band(degrees: i64, friction_in_hundredths: i64) -> BandSizes {
    BandSizes {
        wrap: Some(Angle::Degrees(fraction(degrees, 1)).into()),
        friction: Some(fraction(friction_in_hundredths, 100).into()),
        ..BandSizes::default()
    }
}

/// A common table of the trade, wrap 330 degrees.
#[test]
fn the_tension_grows_with_wrap_and_friction_as_the_table_has_it() {
    for (friction, ratio) in [(10, 1.78), (12, 2.00), (15, 2.37), (30, 5.63)] {
        near(tension_ratio(&band(330, friction)).expect("all is given"), ratio, 0.005);
    }
    let in_turns = BandSizes { wrap: Some(Angle::Turns(fraction(11, 12)).into()), ..band(1, 12) };
    near(tension_ratio(&in_turns).expect("all is given"), tension_ratio(&band(330, 12)).expect("all is given"), 1e-12);
}

/// Budynas and Nisbett, Shigley's Mechanical Engineering Design, a problem of the chapter on brakes (from
/// memory): a drum of 14 in, a band of 4 in, friction 0.20, wrap 270 degrees, at most 90 psi: 2520 lbf and 982 lbf.
#[test]
fn a_band_brake_of_a_textbook_has_its_tensions_and_its_pressure() {
    let (radius, width) = (Length::Inches(fraction(7, 1)), Length::Inches(fraction(4, 1)));
    let sizes = BandSizes { radius: Some(radius.into()), width: Some(width.into()), ..band(270, 20) };
    let torque = (2520.0 - 982.0) * 7.0 / 12.0 * TorqueUnit::PoundFeet.newton_metres();
    let load = band_load(&sizes, torque).expect("all is given");
    near(load.tight / NEWTONS_PER_POUND_FORCE, 2520.0, 1.0);
    near(load.slack / NEWTONS_PER_POUND_FORCE, 982.0, 1.0);
    let [tight, _] = load.pressure.expect("a width is given");
    near(tight * 25.4 * 25.4 / NEWTONS_PER_POUND_FORCE, 90.0, 0.05);
}

#[test]
fn a_band_just_holds_the_torque_for_which_its_worked_end_is_pulled() {
    let sizes = BandSizes { radius: Some(Length::Millimetres(fraction(100, 1)).into()), ..band(330, 12) };
    let load = band_load(&sizes, 50.0).expect("all is given");
    for (wrapping, pull) in [(Wrapping::WrapsOn, load.slack), (Wrapping::Unwinds, load.tight)] {
        // Newtons as an exact fraction near the float.
        let thousandths = format!("{pull:.3}").replace('.', "").parse().expect("digits");
        let pulled = BandSizes { pull: Some(Force::Newtons(fraction(thousandths, 1000)).into()), ..sizes.clone() };
        near(band_capacity(&pulled, wrapping).expect("all is given"), 50.0, 0.001);
    }
    assert!(load.tight > load.slack, "{load:?}");
}

#[test]
fn a_drum_pulls_a_band_on_when_it_drags_it_away_from_its_anchor() {
    assert_eq!(wrapping(Sense::Forward, Sense::Forward), Wrapping::WrapsOn);
    assert_eq!(wrapping(Sense::Forward, Sense::Backward), Wrapping::Unwinds);
    assert_eq!(drum_wants_to_turn(&fraction(-5, 1)), Some(Sense::Forward));
    assert_eq!(drum_wants_to_turn(&fraction(0, 1)), None);
}

/// The same book, a problem of the chapter on clutches (from memory): one pair of faces of 250 mm and 175 mm
/// diameter, friction 0.30, 4 kN: 127.5 N m by uniform wear. Uniform pressure by its formula: 128.8 N m.
#[test]
fn a_plate_clutch_of_a_textbook_carries_its_torque() {
    let tenths = |tenths| Some(Length::Millimetres(fraction(tenths, 10)).into());
    let sizes = PlateSizes {
        faces: Some(fraction(1, 1).into()),
        friction: Some(fraction(3, 10).into()),
        outer_radius: tenths(1250),
        inner_radius: tenths(875),
        force: Some(Force::Newtons(fraction(4000, 1)).into()),
    };
    let capacity = plate_capacity(&sizes).expect("all is given");
    near(capacity.uniform_wear, 127.5, 1e-9);
    let cubes = 0.125_f64.powi(3) - 0.0875_f64.powi(3);
    near(capacity.uniform_pressure, 1200.0 * 2.0 / 3.0 * cubes / (0.125_f64.powi(2) - 0.0875_f64.powi(2)), 1e-9);
    assert!(capacity.uniform_wear < capacity.uniform_pressure, "{capacity:?}");
}

#[test]
fn without_a_size_nothing_is_worked_out_that_rests_on_it() {
    let full = BandSizes { radius: Some(Length::Millimetres(fraction(100, 1)).into()), ..band(330, 12) };
    assert!(tension_ratio(&BandSizes { wrap: None, ..full.clone() }).is_none(), "no wrap");
    assert!(tension_ratio(&BandSizes { friction: None, ..full.clone() }).is_none(), "no friction");
    assert!(band_load(&BandSizes { radius: None, ..full.clone() }, 1.0).is_none(), "no radius");
    assert!(band_load(&full, 1.0).is_some_and(|load| load.pressure.is_none()), "no width");
    assert!(band_capacity(&full, Wrapping::WrapsOn).is_none(), "no pull");
    assert!(plate_capacity(&PlateSizes::default()).is_none(), "nothing");
}
