//! Bushes: pressing in against two rings solved as linear equations, heat against free growth and pressing again.

use toothmark::bench::{
    BushQuestion, BushVerdict, BushesQuestion, CannotFitBush, CloseIn, ElasticMaterial, HeatUntold, MeasuredDiameter,
    PressedBush, PressedRings, bush_fits, elastic,
};
use toothmark::description;
use toothmark::gearset::BushMaterial::{self, Aluminium, Bronze, CastIron, Steel};

use crate::support::sets::read_file;

fn rings(bore: f64, fit: f64, housing: f64, bush: BushMaterial, into: BushMaterial) -> PressedRings {
    PressedRings { bore, fit, housing, bush: elastic(bush), into: elastic(into) }
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// The displacement of each ring is `u = A r + B / r`. Nothing presses on the bore and on the outside, both rings press
/// on one another alike, and where they touch their displacements differ by half the interference.
fn closing_by_equations(rings: &PressedRings, interference: f64) -> [f64; 2] {
    let radial = |of: ElasticMaterial, r: f64| {
        let stiff = of.modulus / (1.0 - of.poisson * of.poisson);
        [stiff * (1.0 + of.poisson), -stiff * (1.0 - of.poisson) / (r * r)]
    };
    let (inner, fit, outer) = (rings.bore / 2.0, rings.fit / 2.0, rings.housing / 2.0);
    let [free_a, free_b] = radial(rings.bush, inner);
    let [bush_a, bush_b] = radial(rings.bush, fit);
    let [into_a, into_b] = radial(rings.into, fit);
    let [open_a, open_b] = radial(rings.into, outer);
    let [a, b, ..] = solved([
        [free_a, free_b, 0.0, 0.0, 0.0],
        [bush_a, bush_b, -into_a, -into_b, 0.0],
        [0.0, 0.0, open_a, open_b, 0.0],
        [-fit, -1.0 / fit, fit, 1.0 / fit, interference / 2.0],
    ]);
    [-(bush_a * a + bush_b * b), -2.0 * (a * inner + b / inner)]
}

/// Four equations by elimination, the largest coefficient first.
fn solved(mut rows: [[f64; 5]; 4]) -> [f64; 4] {
    // Stresses and displacements differ by many powers of ten.
    for row in &mut rows {
        let largest = row[..4].iter().fold(0.0_f64, |most, it| most.max(it.abs()));
        for it in row {
            *it /= largest;
        }
    }
    for at in 0..4 {
        let pivot = (at..4).max_by(|&a, &b| rows[a][at].abs().total_cmp(&rows[b][at].abs())).expect("rows are left");
        rows.swap(at, pivot);
        for below in 0..4 {
            if below != at {
                let factor = rows[below][at] / rows[at][at];
                let pivot = rows[at];
                for (it, above) in rows[below].iter_mut().zip(pivot) {
                    *it -= factor * above;
                }
            }
        }
    }
    std::array::from_fn(|at| rows[at][4] / rows[at][at])
}

#[test]
fn every_pair_of_rings_closes_in_as_their_equations_say() {
    for (bush, into) in BushMaterial::ALL.into_iter().flat_map(|a| BushMaterial::ALL.map(|b| (a, b))) {
        for (bore, fit, housing) in [(16.0, 20.0, 40.0), (50.8, 101.6, 127.0), (38.0, 39.0, 41.0), (5.0, 30.0, 400.0)] {
            let rings = rings(bore, fit, housing, bush, into);
            let [pressure, closes] = closing_by_equations(&rings, 0.03);
            near(rings.pressure(0.03), pressure, 1e-7 * pressure);
            near(rings.closing_share() * 0.03, closes, 1e-9);
        }
    }
}

/// Each part expands freely, then they are pressed together again with the interference that there is then.
#[test]
fn heat_does_what_free_growth_and_pressing_again_do() {
    let interference = 0.03;
    for kelvin in [-40.0, 80.0, 150.0] {
        for into in [Steel, CastIron, Aluminium] {
            let cold = rings(16.0, 20.0, 40.0, Bronze, into);
            let closed = cold.bore - cold.closing_share() * interference;
            let [bush, housing] = [cold.bush, cold.into].map(|of| 1.0 + of.expansion_per_kelvin * kelvin);
            let warm = PressedRings { bore: 16.0 * bush, fit: 20.0 * bush, housing: 40.0 * housing, ..cold };
            let warm_interference = (20.0 + interference) * bush - 20.0 * housing;
            let closed_warm = warm.bore - warm.closing_share() * warm_interference;
            near(cold.bore_growth(kelvin, interference), closed_warm - closed, 2e-4);
            near(interference + cold.interference_growth(kelvin), warm_interference, 1e-4);
        }
    }
}

fn at(mm: f64) -> Vec<MeasuredDiameter> {
    vec![MeasuredDiameter { mm, across_mm: None }]
}

fn pin(bore: Vec<MeasuredDiameter>, shaft: Vec<MeasuredDiameter>) -> BushQuestion {
    BushQuestion { name: "pin 2".into(), bore, shaft, allowed_mm: Some([0.02, 0.06]), ..BushQuestion::default() }
}

fn ask(bush: BushQuestion) -> BushesQuestion {
    BushesQuestion { bushes: vec![bush], ..BushesQuestion::default() }
}

#[track_caller]
fn verdict(bore: f64, shaft: f64, wanted: BushVerdict) {
    let found = bush_fits(&ask(pin(at(bore), at(shaft)))).expect("sizes of a bush");
    assert_eq!(found.bushes[0].verdict, Some(wanted), "{bore} on {shaft}");
    assert_eq!(found.good, wanted == BushVerdict::Good, "{bore} on {shaft}");
}

#[test]
fn what_is_just_at_a_limit_is_within_it() {
    verdict(16.02, 15.97, BushVerdict::Good);
    // 16.03 - 15.97 is 0.0600000000000005 in floats.
    verdict(16.03, 15.97, BushVerdict::Good);
    verdict(15.99, 15.97, BushVerdict::Good);
    verdict(16.031, 15.97, BushVerdict::Worn);
    verdict(15.989, 15.97, BushVerdict::TooTight);
}

/// Bores in steps of a thousandth on a shaft of 15.97 that may have from 0.02 to 0.06: the bore and the shaft may each
/// be off by what they are good to, apart or towards one another.
#[test]
fn a_verdict_is_sure_just_where_readings_that_are_out_do_not_change_it() {
    const GOOD_TO: f64 = 0.004;
    let asked = |bore: f64, shaft: f64| {
        let bush = BushQuestion { within_mm: Some(GOOD_TO), ..pin(at(bore), at(shaft)) };
        bush_fits(&ask(bush)).expect("sizes of a bush").bushes[0].clone()
    };
    let mut seen = [0; 2];
    for step in 0..80 {
        // Half a thousandth keeps off the limits.
        let bore = 15.9805 + f64::from(step) * 0.001;
        let [apart, towards] = [GOOD_TO, -GOOD_TO].map(|off| asked(bore + off, 15.97 - off).verdict);
        let found = asked(bore, 15.97);
        assert_eq!(found.is_sure, apart == found.verdict && towards == found.verdict, "{bore}");
        seen[usize::from(found.is_sure)] += 1;
    }
    assert_eq!(seen, [32, 48], "8 thousandths on both sides of both limits");
}

/// Bore 16.03 x 16.05, 16.02, 16.02 on a shaft of 15.97, 15.98, 15.99: clearances 0.06 to 0.08, 0.04, 0.03; oval by 0.02,
/// tapered by 16.04 - 16.02 and 0.02. Finished at 15.99 + 0.02 to 15.97 + 0.06.
#[test]
fn places_along_a_bush_are_judged_each() {
    let bore = [(16.03, Some(16.05)), (16.02, None), (16.02, None)];
    let bore = bore.map(|(mm, across_mm)| MeasuredDiameter { mm, across_mm }).to_vec();
    let shaft = [15.97, 15.98, 15.99].map(|mm| MeasuredDiameter { mm, across_mm: None }).to_vec();
    let found = &bush_fits(&ask(pin(bore, shaft))).expect("sizes of a bush").bushes[0];
    let verdicts: Vec<BushVerdict> = found.places.iter().filter_map(|place| place.verdict).collect();
    assert_eq!(verdicts, [BushVerdict::Worn, BushVerdict::Good, BushVerdict::Good]);
    near(found.clearance_mm[0], 0.03, 1e-12);
    near(found.clearance_mm[1], 0.08, 1e-12);
    near(found.oval_mm[0].expect("measured two ways"), 0.02, 1e-12);
    assert_eq!(found.oval_mm[1], None);
    near(found.taper_mm[0].expect("three places"), 0.02, 1e-12);
    near(found.taper_mm[1].expect("three places"), 0.02, 1e-12);
    let [least, most] = found.finished_bore_mm.expect("there is one");
    near(least, 16.01, 1e-12);
    near(most, 16.03, 1e-12);
}

/// A shaft that is tapered by more than the band is wide: nothing runs on it as it should.
#[test]
fn a_shaft_can_be_too_uneven_for_any_bore() {
    let shaft = [15.92, 15.97].map(|mm| MeasuredDiameter { mm, across_mm: None }).to_vec();
    let found = &bush_fits(&ask(pin(at(16.0), shaft))).expect("sizes of a bush").bushes[0];
    assert!(found.shaft_too_uneven && found.finished_bore_mm.is_none());
}

fn pressed(of: Option<BushMaterial>, into: Option<BushMaterial>) -> PressedBush {
    PressedBush { outside_mm: 20.0, interference_mm: 0.03, housing_mm: 40.0, of, into }
}

/// Without materials all of the interference is taken, and said so; with them the bore is opened by what it closes.
#[test]
fn a_bush_is_bored_larger_before_it_is_pressed_in() {
    let bush = |of, into| BushQuestion { pressed: Some(pressed(of, into)), ..pin(at(16.10), at(15.97)) };
    let found = |bush: BushQuestion| bush_fits(&ask(bush)).expect("sizes of a bush").bushes[0].pressed.clone();
    let rule = found(bush(None, None)).expect("it is pressed");
    assert_eq!(rule.close_in, CloseIn::AllOfInterference);
    near(rule.bore_before_pressing_mm.expect("a band is given"), 16.04, 1e-12);
    assert_eq!(rule.drop_in_kelvin, None);
    let elastic = found(bush(Some(Bronze), Some(Steel))).expect("it is pressed");
    assert_eq!(elastic.close_in, CloseIn::Elastic);
    // The middle of 0.02..0.06 on 15.97 is 16.01; a bore of 16 closes by 0.02558.
    near(elastic.bore_before_pressing_mm.expect("a band is given"), 16.0356, 1e-4);
    // (0.03 + 0.02) / (11.5e-6 * 20) = 217 K: too hot for a hardened gear.
    near(elastic.drop_in_kelvin.expect("steel grows"), 217.391, 1e-3);
    assert!(elastic.too_hot_for_hardened_gears);
}

/// In aluminium 0.005 of interference is gone at 80 kelvin: 0.005 - 5e-6 * 20 * 80 = -0.003.
#[test]
fn a_bush_can_let_go_of_a_housing_that_grows_more() {
    let pressed = PressedBush { interference_mm: 0.005, ..pressed(Some(Bronze), Some(Aluminium)) };
    let bush = BushQuestion { pressed: Some(pressed), ..pin(at(16.02), at(15.97)) };
    let question = BushesQuestion { hot_kelvin: Some(80.0), shaft_hotter_kelvin: 20.0, ..ask(bush) };
    let found = bush_fits(&question).expect("sizes of a bush");
    let [alike, hotter] = &found.bushes[0].hot[..] else { panic!("{found:?}") };
    near(alike.interference_mm.expect("it is pressed"), -0.003, 1e-12);
    assert!(alike.lets_go && !found.good);
    near(alike.clearance_mm - hotter.clearance_mm, 15.97 * 11.5e-6 * 20.0, 1e-12);
}

/// A bush that had let go was opened on by the interference that it no longer had: 0.003 x 0.616 here, 0.04 mm of a thick
/// bush of iron in brass. Free of its housing it is as large as it was before pressing, and grows as if alone.
#[test]
fn a_bush_that_lets_go_opens_no_further_than_it_was_closed() {
    let pressed = PressedBush { interference_mm: 0.005, ..pressed(Some(Bronze), Some(Aluminium)) };
    let bush = BushQuestion { pressed: Some(pressed), ..pin(at(16.02), at(15.97)) };
    let question = BushesQuestion { hot_kelvin: Some(80.0), ..ask(bush) };
    let hot = bush_fits(&question).expect("sizes of a bush").bushes[0].hot[0];
    let cold = rings(16.02, 20.0, 40.0, Bronze, Aluminium);
    let before_pressing = 16.02 + closing_by_equations(&cold, 0.005)[1];
    let warm = before_pressing * (1.0 + 18e-6 * 80.0) - 15.97 * (1.0 + 11.5e-6 * 80.0);
    near(hot.clearance_mm, warm, 1e-5);
}

/// Without a word of pressing nothing was told of heat although it was asked. 16.02 x 18e-6 x 80 = 0.0230688 wider, the
/// shaft 15.97 x 11.5e-6 x 80 = 0.0146924 thicker: 0.0583764 of 0.05.
#[test]
fn a_bore_of_known_material_grows_freely() {
    let told = |bush: BushQuestion| {
        let question = BushesQuestion { hot_kelvin: Some(80.0), ..ask(bush) };
        bush_fits(&question).expect("sizes of a bush").bushes[0].clone()
    };
    let plain = || pin(at(16.02), at(15.97));
    let free = told(BushQuestion { bore_of: Some(Bronze), ..plain() });
    near(free.hot[0].clearance_mm, 0.058_376_4, 1e-12);
    assert_eq!((free.hot[0].interference_mm, free.hot[0].lets_go, free.heat_untold), (None, false, None));
    assert_eq!(told(plain()).heat_untold, Some(HeatUntold::NeedsMaterialOfBore));
    let half = PressedBush { into: None, ..pressed(Some(Bronze), None) };
    let half = told(BushQuestion { pressed: Some(half), ..plain() });
    assert_eq!((half.heat_untold, half.hot), (Some(HeatUntold::NeedsBothMaterials), vec![]));
}

#[test]
fn what_is_no_bush_is_refused() {
    #[track_caller]
    fn refuses(question: &BushesQuestion, is_it: impl Fn(&CannotFitBush) -> bool) {
        let reasons = bush_fits(question).expect_err("it is refused");
        assert!(reasons.iter().any(&is_it), "{reasons:?}");
        assert!(reasons.iter().all(|reason| !reason.hint().is_empty() && !reason.to_string().is_empty()));
    }
    use CannotFitBush as Refused;
    let sound = || pin(at(16.02), at(15.97));
    let press = |pressed: PressedBush| ask(BushQuestion { pressed: Some(pressed), ..sound() });
    let usual = pressed(Some(Bronze), Some(Steel));
    refuses(&BushesQuestion::default(), |it| *it == Refused::NoBush);
    refuses(&ask(pin(Vec::new(), at(15.97))), |it| matches!(it, Refused::Places { count: 0, .. }));
    refuses(&ask(pin(at(16.02).repeat(7), at(15.97))), |it| matches!(it, Refused::Places { count: 7, .. }));
    refuses(&ask(pin(at(16.02).repeat(3), at(15.97).repeat(2))), |it| matches!(it, Refused::UnlikePlaces { .. }));
    for size in [0.0, -1.0, f64::NAN, f64::INFINITY, 20_000.0] {
        refuses(&ask(pin(at(size), at(15.97))), |it| matches!(it, Refused::NoDiameter { .. }));
    }
    refuses(&ask(pin(at(16.02), at(1.597))), |it| matches!(it, Refused::NoPair { .. }));
    for band in [[0.06, 0.02], [-0.01, 0.02], [0.02, 6.0], [f64::NAN, 0.1]] {
        refuses(&ask(BushQuestion { allowed_mm: Some(band), ..sound() }), |it| matches!(it, Refused::NoBand { .. }));
    }
    refuses(&press(PressedBush { outside_mm: 16.0, ..usual }), |it| matches!(it, Refused::NoWall { .. }));
    refuses(&press(PressedBush { outside_mm: 16.0, ..usual }), |it| it.to_string().contains("16.000"));
    refuses(&press(PressedBush { housing_mm: 20.0, ..usual }), |it| matches!(it, Refused::NoHousing { .. }));
    for interference in [-0.01, f64::NAN] {
        let question = press(PressedBush { interference_mm: interference, ..usual });
        refuses(&question, |it| matches!(it, Refused::Interference { .. }));
    }
    refuses(&press(PressedBush { interference_mm: 0.061, ..usual }), |it| matches!(it, Refused::Crushes { .. }));
    assert!(bush_fits(&press(PressedBush { interference_mm: 0.06, ..usual })).is_ok());
    let two = BushesQuestion { bushes: vec![sound(), sound()], ..ask(sound()) };
    refuses(&two, |it| matches!(it, Refused::SameName { .. }));
    refuses(&BushesQuestion { hot_kelvin: Some(f64::NAN), ..ask(sound()) }, |it| matches!(it, Refused::Heat { .. }));
    refuses(&BushesQuestion { shaft_hotter_kelvin: 900.0, ..ask(sound()) }, |it| matches!(it, Refused::Heat { .. }));
    let many = BushesQuestion { bushes: vec![sound(); 201], ..ask(sound()) };
    refuses(&many, |it| matches!(it, Refused::TooManyBushes { .. }));
}

/// A description with two bushes between the same members, one of them without a shaft.
#[test]
fn a_description_tells_its_bushes() {
    let text = read_file("tests/accepted/bushes.ron");
    let set = description::read(&text).expect("it is sound");
    let found = bush_fits(&BushesQuestion::of_gearset(&set)).expect("sizes of bushes");
    let names: Vec<&str> = found.bushes.iter().map(|bush| bush.bush.as_str()).collect();
    assert_eq!(names, ["cluster on flywheel", "low drum on driven drum", "low drum on driven drum, bush 2"]);
    near(found.bushes[0].clearance_mm[0], 0.05, 1e-12);
    assert_eq!(found.bushes[0].pressed.as_ref().map(|pressed| pressed.close_in), Some(CloseIn::Elastic));
    assert_eq!(found.bushes[2].verdict, Some(BushVerdict::Worn));
    // What is written reads as the same.
    let again = description::read(&description::write(set.draft())).expect("what is written is sound");
    assert_eq!(again.bearings(), set.bearings());
}
