//! Does an order tell the cutter what the gears have to be?
//!
//! Values worked out elsewhere to thirty digits, two ways each, read through the whole analysis; the measures of every
//! built-in gearset turned back into the thickness that they were ordered for; the index held against the timing and the
//! marks.

use toothmark::description::{examples, read};
use toothmark::exact::{Fraction, fraction, to_float};
use toothmark::fit::{
    BacklashLimits, CannotOrder, FitRefusal, IndexSource, OrderQuestion, OrderedGear, PinFault, TeethOrder, order,
};
use toothmark::gearset::{Draft, GearId, Gearset, Pitch};
use toothmark::quick::WhatIf;
use toothmark::timing::{marking, timing};
use toothmark::tooth::{Teeth, ToothForm, thickness_from_pins, thickness_from_span};

use crate::support::process::{command, run, run_with};

/// A carrier with a sun for every gear of one cluster, the gears in mesh adding up to the same.
fn cluster(pairs: &[(u16, u16)], extra: &str) -> Gearset {
    let each = |text: &dyn Fn(usize, u16, u16) -> String| {
        let texts: Vec<String> = pairs.iter().enumerate().map(|(at, &(sun, planet))| text(at, sun, planet)).collect();
        texts.join(", ")
    };
    let drums = each(&|at, sun, _| format!("\"drum {at}\": [Sun(\"S{at}\", {sun})]"));
    let gears = each(&|at, _, planet| format!("Gear(\"p{at}\", {planet})"));
    let meshes = each(&|at, _, _| format!("(\"S{at}\", \"p{at}\")"));
    let text = format!(
        "Gearset(title: \"to order\", {extra} members: {{\"carrier\": [], {drums}}}, planets: {{\"cluster\": (carrier: \
         \"carrier\", pins: Equal(1), gears: [{gears}])}}, meshes: [{meshes}])"
    );
    read(&text).unwrap_or_else(|faults| panic!("{text}: {faults:?}"))
}

fn gear_named(set: &Gearset, name: &str) -> GearId {
    set.gear_named(name).unwrap_or_else(|| panic!("there is no {name}"))
}

#[track_caller]
fn ordered(set: &Gearset, question: &OrderQuestion) -> TeethOrder {
    order(set, question).unwrap_or_else(|reason| panic!("{reason}"))
}

#[track_caller]
fn of<'a>(order: &'a TeethOrder, set: &Gearset, name: &str) -> &'a OrderedGear {
    let gear = gear_named(set, name);
    order.gears.iter().find(|ordered| ordered.gear == gear).unwrap_or_else(|| panic!("{name} is not ordered"))
}

fn limits(least: f64, most: f64) -> OrderQuestion {
    OrderQuestion { backlash: Some(BacklashLimits { least, most }), ..OrderQuestion::default() }
}

#[track_caller]
fn is_close(found: Option<f64>, meant: f64, tolerance: f64) {
    assert!(found.is_some_and(|found| (found - meant).abs() <= tolerance), "{found:?} is not {meant}");
}

/// 37 teeth of module 2.5 with the shift -0.4671, thinned by 0.05 to 0.09 mm.
#[test]
fn a_shifted_gear_has_two_limits_over_teeth_and_over_pins() {
    let set = cluster(&[(30, 30), (24, 37)], "pitch: Module(2.5), teeth: {\"p1\": (shift: \"-0.4671\")},");
    let answer = ordered(&set, &OrderQuestion { pins: vec![4.5], ..limits(0.1, 0.18) });
    let gear = of(&answer, &set, "p1");
    let (span, pins) = (gear.span.expect("it has a span"), gear.over_pins.expect("the pin serves"));
    assert_eq!(span.teeth, 4);
    // The mate takes up what the four digits of the shift leave, so that the mesh closes.
    is_close(span.least_mm, 26.243_302_074_9, 1e-9);
    is_close(span.most_mm, 26.280_889_779_8, 1e-9);
    is_close(pins.least_mm, 96.699_942_242_2, 1e-9);
    is_close(pins.most_mm, 96.811_220_556_3, 1e-9);
    assert!(answer.can_be_given());
}

/// A kept gear that is worn thinner than the backlash that is wanted: its mate has to be thicker than its shift makes it,
/// and nobody was told.
#[test]
fn teeth_that_have_to_be_thicker_than_their_shift_are_said() {
    let set = cluster(&[(30, 30)], "pitch: Module(2.5), teeth: {\"S0\": (thinned: Millimetres(0.2))},");
    let answer = ordered(&set, &OrderQuestion { kept: vec![gear_named(&set, "S0")], ..limits(0.08, 0.15) });
    let thinning = of(&answer, &set, "p0").thinning;
    // 0.08 and 0.15 mm less what the worn one leaves.
    is_close(thinning.least_mm, -0.12, 1e-9);
    is_close(thinning.most_mm, -0.05, 1e-9);
    is_close(answer.meshes[0].backlash.least_mm, 0.08, 1e-9);
    is_close(answer.meshes[0].backlash.most_mm, 0.15, 1e-9);
    let sheet = |thinned: &str| {
        let text = toothmark::description::write(set.draft()).replace("0.2", thinned);
        let asked = command(&["teeth", "order", "-", "--keep", "S0", "--backlash-limits", "0.08..0.15"]);
        run_with(asked, text.as_bytes()).stdout.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(
        sheet("0.2").contains("p0 30 has to be thicker than its shift makes it, by 0.050 to 0.120 mm"),
        "{}",
        sheet("0.2")
    );
    assert!(!sheet("0.05").contains("thicker"), "{}", sheet("0.05"));
}

/// Spans that handbooks print for module 1, 20 degrees, no shift.
#[test]
fn spans_are_those_of_the_tables() {
    let printed =
        [(17, 2, 4.6663), (20, 3, 7.6604), (25, 3, 7.7305), (30, 4, 10.7526), (40, 5, 13.8448), (50, 6, 16.9370)];
    for (count, teeth, millimetres) in printed {
        let set = cluster(&[(count, 30)], "pitch: Module(1),");
        let span = of(&ordered(&set, &OrderQuestion::default()), &set, "S0").span.expect("it has a span");
        assert_eq!(span.teeth, teeth, "{count} teeth");
        is_close(span.most_mm, millimetres, 0.000_06);
        assert_eq!(span.least_mm, None, "nothing tells the most backlash");
    }
}

#[test]
fn the_ideal_pin_touches_at_the_pitch_circle() {
    let text = "Gearset(title: \"hub\", pitch: Module(1), members: {\"sun\": [Sun(\"S\", 20)], \"ring\": [Ring(\"R\", 40)], \
                \"carrier\": []}, planets: {\"planet\": (carrier: \"carrier\", pins: Equal(1), gears: [Gear(\"P\", 10)])}, \
                meshes: [(\"S\", \"P\"), (\"R\", \"P\")])";
    let set = read(text).expect("it is sound");
    let answer = ordered(
        &set,
        &OrderQuestion { gears: vec![gear_named(&set, "S"), gear_named(&set, "R")], ..OrderQuestion::default() },
    );
    let pins = |name: &str| of(&answer, &set, name).over_pins.expect("a pin serves");
    is_close(Some(pins("S").ideal_pin_mm), 1.724_449_121_93, 1e-10);
    is_close(Some(pins("R").ideal_pin_mm), 1.648_886_556_36, 1e-10);
    // The nearest quarters of a millimetre.
    is_close(Some(pins("S").pin_mm), 1.75, 1e-12);
    is_close(Some(pins("R").pin_mm), 1.75, 1e-12);
    // Thinner teeth let pins further in, and between the pins of a ring further out.
    assert!(pins("S").most_mm.is_some() && pins("S").least_mm.is_none());
    assert!(pins("R").least_mm.is_some() && pins("R").most_mm.is_none());
}

/// Every built-in gearset with spur gears, all of module 2.5.
fn built_in() -> impl Iterator<Item = (&'static str, Gearset)> {
    examples().iter().filter_map(|example| {
        let mut draft = read(example.text).expect("a built-in gearset").draft().clone();
        let pitch = Some(Pitch::Module(fraction(5, 2)));
        WhatIf { pitch, ..WhatIf::default() }.change(&mut draft).expect("nothing is named");
        let set = Gearset::new(draft).expect("it has a pitch");
        let is_spur = set.meshes().iter().any(|mesh| !set.gear(mesh.gears().first).kind().is_bevel());
        is_spur.then_some((example.name, set))
    })
}

/// The teeth of an ordered gear, whatever their thickness.
fn teeth_of(gear: &OrderedGear) -> ToothForm {
    let teeth = if gear.is_ring { Teeth::Internal } else { Teeth::External };
    ToothForm { profile_shift: gear.shift, ..ToothForm::standard(teeth, gear.teeth, to_float(&gear.module)) }
}

/// `s = m (pi/2 +- 2 x tan a) - t`, turned round.
fn thinning_meant(gear: &OrderedGear, thickness: f64) -> f64 {
    let side = if gear.is_ring { -1.0 } else { 1.0 };
    let tangent = to_float(&gear.pressure_angle_degrees).to_radians().tan();
    to_float(&gear.module) * (std::f64::consts::FRAC_PI_2 + side * 2.0 * gear.shift * tangent) - thickness
}

#[test]
fn measures_turned_back_are_the_thinning_and_meshes_have_their_backlash() {
    let mut measured = 0;
    for (name, set) in built_in() {
        let answer = ordered(&set, &limits(0.08, 0.15));
        for gear in &answer.gears {
            let form = teeth_of(gear);
            if let Some(span) = gear.span {
                // The thinnest tooth reads least.
                for (reading, thinning) in
                    [(span.least_mm, gear.thinning.most_mm), (span.most_mm, gear.thinning.least_mm)]
                {
                    let thickness = thickness_from_span(&form, span.teeth, reading.unwrap()).unwrap();
                    is_close(thinning, thinning_meant(gear, thickness), 1e-9);
                    measured += 1;
                }
            }
            if let Some(pins) = gear.over_pins {
                let thick_first =
                    if gear.is_ring { [pins.least_mm, pins.most_mm] } else { [pins.most_mm, pins.least_mm] };
                for (reading, thinning) in thick_first.into_iter().zip([gear.thinning.least_mm, gear.thinning.most_mm])
                {
                    let thickness = thickness_from_pins(&form, pins.pin_mm, reading.unwrap()).unwrap();
                    is_close(thinning, thinning_meant(gear, thickness), 1e-9);
                    measured += 1;
                }
            }
        }
        for mesh in answer.meshes.iter().filter(|_| answer.closes) {
            let gears = set.mesh(mesh.mesh).gears().each();
            let of_both = |limit: fn(&OrderedGear) -> Option<f64>| -> f64 {
                let own = answer.gears.iter().filter(|gear| gears.contains(&gear.gear));
                own.map(|gear| limit(gear).unwrap()).sum()
            };
            // Where a mesh closes without backlash its backlash is what its two gears are thinned by.
            let (least, most) = (of_both(|gear| gear.thinning.least_mm), of_both(|gear| gear.thinning.most_mm));
            assert!(least > 0.08 - 1e-9 && most < 0.15 + 1e-9, "{name}: {least} to {most} at {mesh:?}");
            assert!(mesh.is_within_limits, "{name}: {mesh:?}");
        }
    }
    assert!(measured > 400, "{measured}");
}

/// Gears on two pins between them share what each mesh needs; a chain of four has one thinning a gear.
#[test]
fn a_gear_of_several_meshes_has_one_thinning() {
    let set = read(toothmark::description::example("lock-keepers-astern-gear").unwrap()).unwrap();
    let set = Gearset::new(Draft { pitch: Some(Pitch::Module(fraction(2, 1)).into()), ..set.draft().clone() }).unwrap();
    let answer = ordered(&set, &limits(0.1, 0.2));
    for gear in &answer.gears {
        is_close(gear.thinning.least_mm, 0.05, 1e-12);
        is_close(gear.thinning.most_mm, 0.1, 1e-12);
    }
}

#[test]
fn a_gear_that_is_kept_leaves_all_backlash_to_its_mate() {
    let pitch = "pitch: Module(2.5), teeth: {\"S0\": (thinned: Millimetres(0.03))},";
    let set = cluster(&[(30, 30), (24, 36)], pitch);
    let keep = |names: &[&str]| OrderQuestion {
        kept: names.iter().map(|name| gear_named(&set, name)).collect(),
        ..limits(0.1, 0.18)
    };
    let answer = ordered(&set, &keep(&["S0", "p1"]));
    let kept: Vec<(f64, bool)> = answer.kept.iter().map(|kept| (kept.thinning_mm, kept.is_told)).collect();
    assert_eq!(kept, [(0.03, true), (0.0, false)]);
    assert_eq!(answer.gears.len(), 2);
    let mate = of(&answer, &set, "p0").thinning;
    is_close(mate.least_mm, 0.07, 1e-12);
    is_close(mate.most_mm, 0.15, 1e-12);
    let mate = of(&answer, &set, "S1").thinning;
    is_close(mate.least_mm, 0.1, 1e-12);
    is_close(mate.most_mm, 0.18, 1e-12);
}

/// Of two kept gears that are thinned too much nothing can make less backlash.
#[test]
fn kept_gears_that_stand_against_the_limits_are_told() {
    let set = cluster(&[(30, 30), (24, 36)], "pitch: Module(2.5), teeth: {\"S0\": (thinned: Millimetres(0.3))},");
    let question = OrderQuestion { kept: vec![gear_named(&set, "S0")], ..limits(0.1, 0.18) };
    // The new gear is thicker than its shift makes it, which is a matter of cutting.
    let answer = ordered(&set, &question);
    is_close(of(&answer, &set, "p0").thinning.least_mm, -0.2, 1e-12);
    assert!(answer.can_be_given());
}

/// Without limits the described backlash is the least, and described thinnings stay.
#[test]
fn without_limits_the_thickest_tooth_is_told_alone() {
    let extra = "pitch: Module(2.5), backlash: Millimetres(0.1), teeth: {\"S1\": (thinned: Millimetres(0.02))},";
    let set = cluster(&[(30, 30), (24, 36)], extra);
    let answer = ordered(&set, &OrderQuestion::default());
    let thinning = |name: &str| of(&answer, &set, name).thinning;
    is_close(thinning("S0").least_mm, 0.05, 1e-12);
    is_close(thinning("S1").least_mm, 0.02, 1e-12);
    is_close(thinning("p1").least_mm, 0.08, 1e-12);
    assert_eq!(thinning("p1").most_mm, None);
    let span = of(&answer, &set, "p1").span.unwrap();
    assert!(span.most_mm.is_some() && span.least_mm.is_none());
}

/// An index as angle, arc and chord, each worked out elsewhere.
#[test]
fn an_index_that_was_read_is_told_at_the_pitch_circle_of_its_gear() {
    let cases = [
        ((24, 36), "Module(2.5)", (1, 50), "0.2", 0.157_079_632_679, 0.157_079_552_931),
        ((23, 37), "Module(2.5)", (1, 10), "36/37", std::f64::consts::FRAC_PI_4, 0.785_388_726_41),
        ((27, 33), "DiametralPitch(8)", (1, 60), "2/11", 0.166_242_611_252, 0.166_242_541_5),
        ((36, 24), "DiametralPitch(8)", (2, 9), "10/3", 2.216_568_150_03, 2.216_255_568_23),
    ];
    for (pair, pitch, (over, under), degrees, arc, chord) in cases {
        let measured = format!(
            "pitch: {pitch}, measured: {{\"cluster\": (clusters: {{\"one\": Index([Teeth(\"p1\", \"{over}/{under}\")])}})}},"
        );
        let set = cluster(&[(30, 30), pair], &measured);
        let answer = ordered(&set, &limits(0.1, 0.18));
        let cluster = &answer.clusters[0];
        assert_eq!((cluster.index_source, cluster.like.as_deref()), (IndexSource::Measured, Some("one")));
        let index = &cluster.index[1];
        assert_eq!(index.teeth, fraction(over, under));
        assert_eq!(index.degrees, toothmark::exact::parse(degrees).unwrap());
        is_close(Some(index.arc_mm), arc, 1e-10);
        is_close(Some(index.chord_mm), chord, 1e-10);
        // Half of the least backlash at the larger gear, by the same angle at the smaller one.
        let larger = cluster.index.iter().map(|index| index.alike_within_mm.unwrap()).fold(0.0, f64::max);
        is_close(Some(larger), 0.05, 1e-12);
        is_close(cluster.alike.map(|alike| alike.arc_mm), 0.05, 1e-12);
    }
}

/// Seated on any pin, all gears of a cluster stand as the timing and the marks count them with the ordered index.
#[test]
fn the_index_is_that_of_timing_and_marks() {
    let mut held = 0;
    for (name, set) in built_in() {
        let answer = ordered(&set, &limits(0.08, 0.15));
        let (timing, marking) = (timing(&set), marking(&set));
        for cluster in answer.clusters.iter().filter(|cluster| cluster.index_source == IndexSource::Free) {
            let turns =
                |gear: GearId| &cluster.index.iter().find(|index| index.gear == gear).expect("it is told").turns;
            let count = |gear: GearId| fraction(set.gear(gear).tooth_count().get().into(), 1);
            let group = timing.groups.iter().find(|group| group.planets.contains(&cluster.planet)).unwrap();
            for pin in &group.pins {
                let own: Vec<_> = pin.gears.iter().filter(|turned| turned.planet == cluster.planet).collect();
                for pair in own.windows(2) {
                    let by_timing = &pair[1].teeth / count(pair[1].gear) - &pair[0].teeth / count(pair[0].gear);
                    assert_eq!(by_timing, turns(pair[1].gear) - turns(pair[0].gear), "{name} pin {}", pin.pin);
                    held += 1;
                }
            }
            // A marked tooth number n, off the line by r: the planet is turned by (r - n) / P.
            let group = marking.groups.iter().find(|group| group.planets.contains(&cluster.planet)).unwrap();
            let own: Vec<_> = group.marks.iter().filter(|marks| marks.planet == cluster.planet).collect();
            for pair in own.windows(2) {
                for (one, other) in pair[0].pins.iter().zip(&pair[1].pins) {
                    let turn = |mark: &toothmark::timing::ToothMark, gear: GearId| -> Fraction {
                        (&mark.off_line - fraction(mark.tooth, 1)) / count(gear)
                    };
                    let by_marks = turn(other, pair[1].gear) - turn(one, pair[0].gear);
                    assert_eq!(by_marks, turns(pair[1].gear) - turns(pair[0].gear), "{name} pin {}", one.pin);
                    held += 1;
                }
            }
        }
    }
    assert!(held > 150, "{held}");
}

#[test]
fn what_cannot_be_ordered_is_refused_with_its_reason() {
    let set = cluster(&[(30, 30), (24, 36)], "pitch: Module(2.5),");
    let gear = |name: &str| gear_named(&set, name);
    let refused = |question: OrderQuestion| order(&set, &question).expect_err("it cannot be");
    let plain = OrderQuestion::default;
    assert!(matches!(refused(limits(0.15, 0.08)), CannotOrder::LimitsReversed { .. }));
    assert!(matches!(refused(limits(3.0, 6.0)), CannotOrder::BeyondHalfATooth { .. }));
    assert!(matches!(refused(OrderQuestion { tip_tolerance: Some(20.0), ..plain() }), CannotOrder::NoTeethLeft { .. }));
    let both = OrderQuestion { gears: vec![gear("S0")], kept: vec![gear("S0")], ..plain() };
    assert!(matches!(refused(both), CannotOrder::CutAndKept { .. }));
    let all = set.gear_ids().collect();
    assert_eq!(refused(OrderQuestion { kept: all, ..plain() }), CannotOrder::NothingLeft);
    assert!(matches!(
        refused(OrderQuestion { like: Some("two".into()), ..plain() }),
        CannotOrder::UnknownCluster { .. }
    ));
    for (pin, meant) in [(0.5, PinFault::FallsThrough), (3.0, PinFault::BelowTips), (9.0, PinFault::SitsOnTips)] {
        let reason = refused(OrderQuestion { pins: vec![pin], ..plain() });
        let CannotOrder::Pin { fault, serve: Some([least, most]), .. } = reason else { panic!("{pin}: {reason}") };
        assert_eq!(fault, meant, "{pin}");
        assert!(least < 4.25 && most > 4.25, "{least} to {most}");
    }
    // Pins of more than 20 mm were never looked at, and of these teeth it was said that no pin serves.
    let large = cluster(&[(24, 37)], "pitch: Module(20),");
    let thin = OrderQuestion { pins: vec![5.0], ..plain() };
    let Err(CannotOrder::Pin { serve: Some([least, most]), .. }) = order(&large, &thin) else { panic!("34 mm serves") };
    assert!(least < 34.0 && most > 34.0, "{least} to {most}");
    let without = cluster(&[(30, 30), (24, 36)], "");
    assert!(matches!(
        order(&without, &OrderQuestion::default()),
        Err(CannotOrder::NoTeeth(FitRefusal::NoPitch { .. }))
    ));
}

/// A pair of stub teeth is named as cutters name it, and its depth is that of the second pitch.
#[test]
fn stub_teeth_are_ordered_by_their_pair() {
    let set = cluster(&[(30, 30)], "pitch: DiametralPitch(8), teeth: {\"S0\": (depth: Stub(\"0.8\"))},");
    let answer = ordered(&set, &limits(0.08, 0.15));
    let gear = of(&answer, &set, "S0");
    assert_eq!(gear.stub_pair.as_deref(), Some("8/10"));
    // 30 teeth of 8 to the inch, with the addendum of 10.
    is_close(Some(gear.tip_diameter_mm), 25.4 * (30.0 / 8.0 + 2.0 / 10.0), 1e-9);
    assert_eq!(of(&answer, &set, "p0").stub_pair, None);
    // The addendum of full teeth is that of their own pitch.
    let set = cluster(&[(30, 30)], "pitch: DiametralPitch(8), teeth: {\"S0\": (depth: Depth(1, 1.25))},");
    assert_eq!(of(&ordered(&set, &limits(0.08, 0.15)), &set, "S0").stub_pair, None);
}

#[test]
fn tips_may_fall_short_and_those_of_a_ring_be_larger() {
    let text = "Gearset(title: \"hub\", pitch: Module(2), members: {\"sun\": [Sun(\"S\", 24)], \"ring\": [Ring(\"R\", 60)], \
                \"carrier\": []}, planets: {\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"P\", 18)])}, \
                meshes: [(\"S\", \"P\"), (\"R\", \"P\")])";
    let set = read(text).expect("it is sound");
    let answer = ordered(&set, &OrderQuestion { tip_tolerance: Some(0.1), ..limits(0.08, 0.15) });
    // The ring is opened to where its tips leave the involutes of the planets: at L + sqrt(r_F^2 - r_b^2) from the point where
    // the line of action leaves its own base circle, with L = 42 sin 20 and r_F of 18 teeth cut by a rack.
    let (sin, cos) = 20_f64.to_radians().sin_cos();
    let ring = 2.0 * (60.0 * cos).hypot(42.0 * sin + 18.0 * sin - 2.0 / sin);
    for (name, least, most) in [("S", 51.9, 52.0), ("P", 39.9, 40.0), ("R", ring, ring + 0.1)] {
        let limits = of(&answer, &set, name).tip_limits.expect("a tolerance is asked for");
        is_close(limits.least_mm, least, 1e-9);
        is_close(limits.most_mm, most, 1e-9);
    }
    assert_eq!(of(&answer, &set, "P").pieces, 3);
    // A planet with one gear has no index.
    assert!(answer.clusters.is_empty());
}

/// What the program prints at 80 columns.
#[track_caller]
fn printed(arguments: &[&str]) -> String {
    let mut asked = command(&[&["teeth", "order"], arguments].concat());
    asked.env("COLUMNS", "80");
    let told = run_with(asked, b"");
    assert!(told.code < 2, "{arguments:?}: {}", told.stderr);
    format!("{}\nexit code {}\n", told.stdout, told.code)
}

#[test]
fn what_is_printed_says_what_to_order() {
    let shifted = ["30:30", "24:37", "--pins", "3", "--module", "2.5", "--pin-circle", "75mm"];
    let limits = ["--backlash-limits", "0.1..0.18"];
    let of_one = ["--gear", "P37", "--pin", "4.5mm", "--tip-tolerance", "0.1"];
    let asked: [(&str, Vec<&str>); 8] = [
        ("shift", [&shifted[..], &limits].concat()),
        ("one-gear-full", [&shifted[..], &limits, &of_one, &["--full"]].concat()),
        ("kept", [&shifted[..], &limits, &["--keep", "S24,S30"]].concat()),
        ("open", vec!["30:30", "24:37", "--pins", "3", "--module", "2.5", "--shift", "P37=0,S24=0"]),
        ("no-backlash", vec!["inspection-railcar"]),
        ("ring", vec!["five-speed-hub-two-suns", "--dp", "10", "--backlash-limits", "3..6 thou"]),
        ("refused", vec!["half-works-trio", "--module", "2", "--backlash", "0.1mm"]),
        ("measured-full", vec!["accepted/index-to-order.ron", "--gear", "s", "--full"]),
    ];
    for (name, arguments) in asked {
        insta::assert_snapshot!(format!("teeth-order-{name}"), printed(&arguments));
    }
}

#[test]
fn other_programs_get_every_number() {
    let shifted = ["30:30", "24:37", "--pins", "3", "--module", "2.5", "--pin-circle", "75mm"];
    for format in ["json", "csv", "markdown"] {
        let asked = [&shifted[..], &["--backlash-limits", "0.1..0.18", "--gear", "P37", "--format", format]].concat();
        insta::assert_snapshot!(format!("teeth-order-{format}"), printed(&asked));
    }
}

/// The sheets to print: one table a gear that no page break parts, a column for what was made.
#[test]
fn the_page_to_print_has_a_sheet_a_gear_and_a_sheet_a_cluster() {
    let run = run(&["teeth", "order", "inspection-railcar", "--backlash-limits", "0.08..0.15", "--format", "html"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let headings: Vec<&str> = run.stdout.split("<h2>").skip(1).filter_map(|rest| rest.split("</h2>").next()).collect();
    assert_eq!(headings[0], "D 26 of &quot;driven drum&quot;: 1 piece");
    assert_eq!(headings.len(), 7, "{headings:?}");
    assert!(headings[6].starts_with("&quot;cluster&quot;: 3 pieces"), "{headings:?}");
    assert_eq!(run.stdout.matches("<th>as made</th>").count(), 8);
    assert_eq!(run.stdout.matches("<th>hardness</th>").count(), 6);
}

#[test]
fn every_order_fits_on_one_screen() {
    for example in examples() {
        for sizes in [&["--module", "2.5"][..], &["--dp", "10", "--backlash-limits", "3..6 thou"]] {
            let mut program = command(&[&["teeth", "order", example.name], sizes].concat());
            program.env("COLUMNS", "80");
            let told = run_with(program, b"");
            let lines = told.stdout.lines().count();
            assert!(lines <= 40, "{}: {lines} lines\n{}", example.name, told.stdout);
            assert!(told.code < 2 || told.stderr.contains("no mesh of spur gears"), "{}", told.stderr);
        }
    }
}

#[test]
fn what_is_mistyped_is_refused_with_a_way_out() {
    let refused = |arguments: &[&str], told: &str| {
        let run = run(&[&["teeth", "order"], arguments].concat());
        assert_eq!(run.code, 2, "{arguments:?}");
        assert!(run.stderr.contains(told), "{arguments:?}: {}", run.stderr);
    };
    let stack = ["30:30", "24:36", "--pins", "3", "--module", "2.5"];
    refused(&["30:30", "24:36", "--pins", "3"], "--module 2.5");
    refused(&["30:30", "24:36", "--module", "2.5"], "--pins 3");
    refused(&["bevel-differential", "--module", "2"], "no mesh of spur gears");
    for (asked, told) in [
        (["--gear", "P31"], "P30"),
        (["--keep", "P30,S25"], "S24"),
        (["--backlash-limits", "0.15..0.08"], "the least first"),
        (["--backlash-limits", "0.08"], "two limits of backlash"),
        (["--backlash-limits", "2..9"], "half a tooth"),
        (["--pin", "1mm"], "falls through the spaces"),
        (["--pin", "12mm"], "serve, such as --pin"),
        (["--pin", "0"], "0"),
        (["--tip-tolerance", "15"], "leave no teeth"),
        (["--like", "two"], "no cluster"),
        (["--at", "S with p"], "S30 with P30"),
        (["--format", "pdf"], "html"),
    ] {
        refused(&[&stack[..], &asked].concat(), told);
    }
}

/// What stands there is kept, and an order is never lost to a place that cannot be written.
#[test]
fn an_order_is_written_where_it_is_asked_for() {
    let file = std::env::temp_dir().join(format!("toothmark-order-{}.html", std::process::id()));
    let place = file.to_str().expect("a plain name");
    let asked = ["teeth", "order", "inspection-railcar", "-o", place];
    assert_eq!(run(&asked).stdout.trim(), place);
    assert!(std::fs::read_to_string(&file).expect("it is there").starts_with("<!DOCTYPE html>"));
    assert!(run(&asked).stderr.contains("is there already"));
    let csv = [&asked[..], &["--force", "--format", "csv"]].concat();
    assert_eq!(run(&csv).code, 0);
    assert!(std::fs::read_to_string(&file).expect("it is there").starts_with("gear,member,pieces"));
    std::fs::remove_file(&file).expect("it was written");
}
