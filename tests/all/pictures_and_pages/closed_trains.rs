//! Have the meshes of a train that is laid out the backlash that the formulas say, and no overlap?
//!
//! Every mesh of every pin: its second gear is turned on the drawing until it touches the first, both ways.

use std::f64::consts::PI;

use toothmark::description;
use toothmark::drawing::{PlacedGear, layout};
use toothmark::gearset::Gearset;
use toothmark::timing::timing;
use toothmark::tooth::{
    FormRadii, InvolutePair, Teeth, mesh_backlash, outline, path_of_contact, working_pressure_angle,
};

use crate::support::outlines::{Contour, overlap_area};
use crate::support::sets::{file_stems, read_example};
use crate::support::touching::{Chord, chords, turns};

/// Chord error of a layout, in millimetres.
const DRAWN: f64 = 0.005;

fn from([x, y]: [f64; 2], [from_x, from_y]: [f64; 2]) -> [f64; 2] {
    [x - from_x, y - from_y]
}

fn length([x, y]: [f64; 2]) -> f64 {
    x.hypot(y)
}

/// The chords of a gear where both gears reach, seen from the centre of the one that turns.
fn near(gear: &PlacedGear, both: [&PlacedGear; 2], center: [f64; 2]) -> Vec<Chord> {
    let bands = both.map(|gear| {
        let radii: Vec<f64> = gear.points.iter().map(|&point| length(from(point, gear.center))).collect();
        let least = radii.iter().copied().fold(f64::INFINITY, f64::min);
        (gear.center, least - 0.1..radii.into_iter().fold(0.0, f64::max) + 0.1)
    });
    let is_near = |point: [f64; 2]| bands.iter().all(|(center, band)| band.contains(&length(from(point, *center))));
    let near = chords(&gear.points, is_near);
    near.into_iter().map(|chord| chord.map(|point| from(point, center))).collect()
}

/// The backlash of two placed gears at the working circle: by turning the second, and by the formula.
fn backlashes(first: &PlacedGear, second: &PlacedGear) -> [f64; 2] {
    let distance = length(from(first.center, second.center));
    let pair = InvolutePair::new(&first.form, &second.form).expect("they mesh");
    let working = working_pressure_angle(&pair, distance).expect("they mesh");
    let both = [first, second];
    let turned = turns(&near(first, both, second.center), &near(second, both, second.center));
    let radius = second.form.base_radius() / working.cos();
    [turned.into_iter().sum::<f64>() * radius, mesh_backlash(&pair, distance).expect("they mesh").at_working_circle]
}

/// The area in which two gears overlap.
fn overlap(first: &PlacedGear, second: &PlacedGear) -> f64 {
    let shape = |gear: &PlacedGear| -> Vec<Contour> {
        if gear.form.teeth == Teeth::External {
            return vec![gear.points.clone()];
        }
        let rim = gear.form.root_radius() + gear.form.module;
        let circle = (0..360).map(|degree| PI * f64::from(degree) / 180.0);
        let [x, y] = gear.center;
        vec![circle.map(|turn| [x + rim * turn.cos(), y + rim * turn.sin()]).collect(), gear.points.clone()]
    };
    overlap_area(&shape(first), &shape(second))
}

/// Checks every mesh of a set that assembles, and tells how many there were.
#[track_caller]
fn check(case: &str, set: &Gearset) -> u32 {
    let timed = timing(set);
    let mut meshes = 0;
    for (group, timed) in set.planet_groups().iter().zip(&timed.groups).filter(|(_, timed)| timed.assembles) {
        let Ok(layout) = layout(set, group, timed) else { continue };
        for (plane, gears) in layout.planes.iter().zip(&layout.gears) {
            for [a, b] in plane.meshes.iter().map(|&mesh| set.mesh(mesh).gears().each()) {
                let of = |id| gears.iter().filter(move |gear| gear.gear == id);
                let pairs = of(a).flat_map(|first| of(b).map(move |second| (first, second)));
                // Two planet gears mesh on one pin, a central gear with those of all.
                for (first, second) in pairs.filter(|(a, b)| a.pin.is_none() || b.pin.is_none() || a.pin == b.pin) {
                    check_mesh(case, first, second);
                    meshes += 1;
                }
            }
        }
    }
    meshes
}

#[track_caller]
fn check_mesh(case: &str, first: &PlacedGear, second: &PlacedGear) {
    let [drawn, formula] = backlashes(first, second);
    assert!(drawn < formula + 5.0 * DRAWN, "{case}: {drawn} drawn, {formula} mm by the formula");
    // Tips that reach into the fillets opposite take some of it.
    if meets_involutes_alone(first, second) {
        assert!(drawn > formula - 5.0 * DRAWN, "{case}: {drawn} drawn, {formula} mm by the formula");
        let area = overlap(first, second);
        assert!(area < DRAWN * first.form.module, "{case}: {area} square millimetres overlap");
    }
}

/// Whether the path of contact ends on either gear before its fillet begins.
fn meets_involutes_alone(first: &PlacedGear, second: &PlacedGear) -> bool {
    let pair = InvolutePair::new(&first.form, &second.form).expect("they mesh");
    let distance = length(from(first.center, second.center));
    let Ok(path) = path_of_contact(&pair, distance, FormRadii::default()) else { return false };
    let ends = [pair.first(), pair.second()].map(|form| outline(form, DRAWN).expect("it was drawn").form_radius);
    let outside = if pair.has_ring() { -1.0 } else { 1.0 };
    path.first_starts_at > ends[0] && outside * (path.second_starts_at - ends[1]) > 0.0
}

#[expect(clippy::print_stdout, reason = "what was counted")]
#[test]
fn meshes_of_the_examples_have_their_backlash_as_drawn() {
    let meshes: u32 = file_stems("gearsets").iter().map(|name| check(name, &read_example(name))).sum();
    println!("{meshes} meshes");
    assert!(meshes > 200, "{meshes} meshes");
}

/// Sun, planets and ring on a pin circle that only shifts close; those of sun and ring follow.
fn shifted(lots: &mut u64) -> Gearset {
    // A linear congruence modulo 2^64, of which the upper half is used.
    let mut below = |limit: u32| {
        *lots = lots.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from(*lots >> 32).expect("half of 64 bits") % limit
    };
    let (planet, sun) = (18 + below(14), 18 + below(20));
    // Every third ring has a tooth more than it would have without shift.
    let ring = sun + 2 * planet + u32::from(below(3) == 0);
    let pins = (2..6).find(|pins| (sun + ring).is_multiple_of(*pins)).unwrap_or(1);
    let (shift, thinned) = (f64::from(below(40)) / 100.0, 0.04 + f64::from(below(5)) / 100.0);
    let circle = 2.5 * (f64::from(sun + planet) / 2.0 + f64::from(below(30)) / 100.0);
    let text = format!(
        r#"Gearset(
            title: "shifted", pitch: Module(2.5), pin_circles: {{"planet": Millimetres({circle:.3})}},
            teeth: {{
                "S": (thinned: Millimetres({thinned:.2})), "R": (thinned: Millimetres({thinned:.2})),
                "P": (shift: {shift:.2}, thinned: Millimetres({thinned:.2})),
            }},
            members: {{"sun": [Sun("S", {sun})], "ring": [Ring("R", {ring})], "carrier": []}},
            planets: {{"planet": (carrier: "carrier", pins: Equal({pins}), gears: [Gear("P", {planet})])}},
            meshes: [("S", "P"), ("R", "P")],
        )"#
    );
    description::read(&text).unwrap_or_else(|faults| panic!("{text}: {faults:?}"))
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn shifted_sets_on_a_pin_circle_have_their_backlash_as_drawn() {
    const SEED: u64 = 1630;
    const SETS: u32 = 40;
    let mut lots = SEED;
    let meshes: u32 = (0..SETS).map(|number| check(&format!("set {number} of seed {SEED}"), &shifted(&mut lots))).sum();
    println!("seed {SEED}: {meshes} meshes of {SETS} sets");
    assert!(meshes > 2 * SETS, "{meshes} meshes of {SETS} sets");
}
