//! Do drawn gears touch, and leave one another, where the formulas say?
//!
//! Pairs are drawn as outlines and turned on the drawing: one gear about its axis until a corner of either meets a chord
//! of the other, which is exact for polygons; now and then the area that overlaps is measured as well. What of a flank is
//! an involute is read off the drawing by the normals of its chords, which touch the base circle. The seed is
//! printed.

use std::f64::consts::{PI, TAU};

use toothmark::tooth::{
    FormRadii, InvolutePair, Outline, RootCutter, Teeth, ToothForm, closed_distance, involute, mesh_backlash, outline,
    path_of_contact, room_between_tips, root_clearances, thickness_at_pitch_circle, working_pressure_angle,
};

use super::lots::Lots;
use crate::support::outlines::{Contour, overlap_area};
use crate::support::touching::{Chord, chords, turns};

const SEED: u64 = 1600;
/// Chord error of the drawings, in millimetres.
const DRAWN: f64 = 1e-3;
/// Where it is asked from where on flanks part, which they do very slowly.
const DRAWN_FINE: f64 = 1e-5;

/// A smaller root clearance is warned of, in modules.
const USUAL_CLEARANCE: f64 = 0.15;

/// A mesh as drawn: the second gear at the origin, the first along +x.
struct Drawn {
    pair: InvolutePair,
    distance: f64,
    outlines: [Outline; 2],
}

fn random_gear(lots: &mut Lots, teeth: Teeth, count: u16, module: f64, angle: f64) -> ToothForm {
    let (addendum, dedendum) = lots.pick(&[(1.0, 1.25), (1.0, 1.25), (0.8, 1.0), (1.0, 1.4)]);
    let shaper = RootCutter::Shaper { tooth_count: lots.count(12, 24), profile_shift: lots.between(0.0, 0.2) };
    ToothForm {
        pressure_angle: angle,
        profile_shift: lots.between(-0.4, 0.6),
        addendum,
        dedendum,
        thinning: lots.between(0.02, 0.1),
        cut_by: lots.pick(&[RootCutter::Usual, RootCutter::Usual, shaper]),
        ..ToothForm::standard(teeth, count, module)
    }
}

/// A random mesh that can be drawn, every third one in a ring.
fn random_mesh(lots: &mut Lots, chord: f64) -> Drawn {
    loop {
        let (module, ring) = (lots.between(1.0, 4.0), lots.count(0, 2) == 0);
        let angle = lots.pick(&[14.5_f64, 20.0, 20.0, 25.0]).to_radians();
        let count = lots.count(9, 40);
        let first = random_gear(lots, Teeth::External, count, module, angle);
        let second = if ring {
            let count = (count + lots.count(14, 60)).max(40);
            random_gear(lots, Teeth::Internal, count, module, angle)
        } else {
            let count = lots.count(9, 70);
            random_gear(lots, Teeth::External, count, module, angle)
        };
        let opened = lots.between(-0.1, 0.25) * if ring { -1.0 } else { 1.0 };
        if let Some(drawn) = drawn(&first, &second, opened, chord) {
            return drawn;
        }
    }
}

fn drawn(first: &ToothForm, second: &ToothForm, opened: f64, chord: f64) -> Option<Drawn> {
    let pair = InvolutePair::new(first, second).ok()?;
    let distance = closed_distance(&pair).ok()? + opened;
    working_pressure_angle(&pair, distance).ok()?;
    let outlines = [outline(first, chord).ok()?, outline(second, chord).ok()?];
    Some(Drawn { pair, distance, outlines })
}

fn turned(points: &[[f64; 2]], turn: f64, along: f64) -> Contour {
    let (sin, cos) = turn.sin_cos();
    points.iter().map(|[x, y]| [along + x * cos - y * sin, x * sin + y * cos]).collect()
}

impl Drawn {
    fn side(&self) -> f64 {
        if self.pair.has_ring() { -1.0 } else { 1.0 }
    }

    /// Both gears in the middle of their backlash, the first rolled on by a part of its pitch.
    fn placed(&self, part: f64) -> [Contour; 2] {
        let [pitch, other] = [self.pair.first(), self.pair.second()].map(|form| TAU / f64::from(form.tooth_count));
        let toward = if self.pair.has_ring() { 0.0 } else { PI };
        // A space of the second gear lies half a pitch from its tooth.
        [
            turned(&self.outlines[0].points, toward + part * pitch, self.distance),
            turned(&self.outlines[1].points, (0.5 - self.side() * part) * other, 0.0),
        ]
    }

    /// How far the second gear turns either way until it touches the first, in radians.
    fn turns(&self, part: f64) -> [f64; 2] {
        let [first, second] = self.placed(part);
        turns(&self.near(&first), &self.near(&second))
    }

    /// The chords near the mesh.
    fn near(&self, contour: &Contour) -> Vec<Chord> {
        let (first, second) = (&self.pair.first(), &self.pair.second());
        let [inner, outer] = if self.pair.has_ring() {
            [second.tip_radius(), second.root_radius()]
        } else {
            [second.root_radius(), second.tip_radius()]
        };
        let slack = 0.1 * first.module;
        let is_near = |[x, y]: [f64; 2]| {
            let (own, other) = (x.hypot(y), (x - self.distance).hypot(y));
            (inner - slack..outer + slack).contains(&own) && other < first.tip_radius() + slack
        };
        chords(contour, is_near)
    }

    /// The area that overlaps.
    fn overlap(&self, part: f64, turn: f64) -> f64 {
        let [first, second] = self.placed(part);
        let second = turned(&second, turn, 0.0);
        if !self.pair.has_ring() {
            return overlap_area(&[first], &[second]);
        }
        let rim = self.pair.second().root_radius() + self.pair.second().module;
        let rim =
            (0..360).map(|part| TAU * f64::from(part) / 360.0).map(|angle| [rim * angle.cos(), rim * angle.sin()]);
        overlap_area(&[first], &[rim.collect(), second])
    }

    /// Where the involutes of the drawings begin near the roots.
    fn ends(&self) -> FormRadii {
        FormRadii { first: Some(self.outlines[0].form_radius), second: Some(self.outlines[1].form_radius) }
    }

    /// Whether the formulas say that nothing but flanks meets, with so much room in modules.
    fn is_clear(&self, room: f64) -> Option<bool> {
        let (first, second) = (self.pair.first(), self.pair.second());
        let room = room * first.module;
        let path = path_of_contact(&self.pair, self.distance, FormRadii::default()).ok()?;
        let clearances = root_clearances(&self.pair, self.distance).ok()?;
        let tips =
            room_between_tips(&self.pair, self.distance).ok()?.map_or(f64::INFINITY, |turn| turn * second.tip_radius());
        let starts = path.first_starts_at - self.outlines[0].form_radius;
        let starts = starts.min(self.side() * (path.second_starts_at - self.outlines[1].form_radius));
        let least = clearances.at_first_tip.min(clearances.at_second_tip);
        // Of less clearance a fillet may take all, though the tip opposite has left the involute before.
        let usual = least > USUAL_CLEARANCE * first.module;
        let least = least.min(starts).min(tips);
        let is_clear = least > room && usual;
        (is_clear || least < -room).then_some(is_clear)
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn drawn_gears_turn_by_their_backlash_unless_the_formulas_say_that_more_than_flanks_meets() {
    let mut lots = Lots::new(SEED);
    let [mut clear, mut rings, mut fouling, mut found] = [0_u32; 4];
    let mut worst = 0.0_f64;
    while clear < 500 {
        let mesh = random_mesh(&mut lots, DRAWN);
        let backlash = mesh_backlash(&mesh.pair, mesh.distance).expect("they mesh").at_working_circle;
        let ratio = path_of_contact(&mesh.pair, mesh.distance, mesh.ends()).map_or(0.0, |path| path.ratio);
        let Some(is_clear) = mesh.is_clear(if ratio > 0.0 { 0.02 } else { 0.0 }) else { continue };
        if backlash < 0.01 || ratio < 1.02 {
            continue;
        }
        let working = working_pressure_angle(&mesh.pair, mesh.distance).expect("they mesh");
        let radius = mesh.pair.second().base_radius() / working.cos();
        let parts = [0.0, 0.21, 0.43, 0.68, 0.87].map(|part| part + lots.between(-0.1, 0.1));
        let off = parts.map(|part| mesh.turns(part).into_iter().sum::<f64>() * radius - backlash);
        if is_clear {
            let most = off.into_iter().fold(0.0, |most: f64, off| most.max(off.abs()));
            // Two chords to either side, across a flank that leans.
            assert!(most < 6.0 * DRAWN, "{:?} at {}: off by {off:?} of {backlash}", mesh.pair, mesh.distance);
            worst = worst.max(most);
            clear += 1;
            rings += u32::from(mesh.pair.has_ring());
            if clear % 25 == 0 {
                mesh.check_touch(parts[0]);
            }
        } else {
            fouling += 1;
            found += u32::from(off.into_iter().any(|off| off < -6.0 * DRAWN));
        }
    }
    println!(
        "seed {SEED}: {clear} clear pairs, {rings} with rings, worst {worst} mm; {found} of {fouling} seen to foul"
    );
    assert!(rings > 60 && fouling > 50, "{rings} rings, {fouling} foul");
    assert!(found * 10 > fouling * 7, "of {fouling} pairs said to foul {found} do");
}

impl Drawn {
    /// Turned a little less than until it touches nothing overlaps, a little farther something does.
    #[track_caller]
    fn check_touch(&self, part: f64) {
        let [ahead, back] = self.turns(part);
        let little = 1e-3 / self.pair.second().tip_radius();
        for (turn, overlaps) in
            [(ahead - little, false), (ahead + little, true), (little - back, false), (-back - little, true)]
        {
            let area = self.overlap(part, turn);
            assert_eq!(area > 1e-7, overlaps, "{:?} turned by {turn}: {area}", self.pair);
        }
    }

    /// Whether the flanks of one tooth of the first gear, rolled on from the line of centres, touch as involutes do, when
    /// the second gear is turned ahead.
    fn touches(&self, part: f64, half_backlash: f64) -> bool {
        let [first, second] = self.placed(part);
        let (mut first, second) = (self.near(&first), self.near(&second));
        let pitch = TAU / f64::from(self.pair.first().tooth_count);
        let toward = if self.pair.has_ring() { 0.0 } else { PI };
        first.retain(|[[x, y], _]| {
            let turn = y.atan2(x - self.distance) - toward - part * pitch;
            (turn - TAU * (turn / TAU).round()).abs() < pitch / 2.0
        });
        let [ahead, _] = turns(&first, &second);
        (ahead - half_backlash).abs() * self.pair.second().tip_radius() < 4.0 * DRAWN_FINE
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn one_pair_of_drawn_flanks_touches_for_as_many_pitches_as_the_contact_ratio() {
    let mut lots = Lots::new(SEED + 1);
    let [mut pairs, mut rings] = [0_u32; 2];
    let mut worst = 0.0_f64;
    while pairs < 30 {
        let mesh = random_mesh(&mut lots, DRAWN_FINE);
        let backlash = mesh_backlash(&mesh.pair, mesh.distance).expect("they mesh").at_working_circle;
        let Ok(path) = path_of_contact(&mesh.pair, mesh.distance, mesh.ends()) else { continue };
        if backlash < 0.01 || path.ratio < 0.5 || mesh.is_clear(0.02) != Some(true) {
            continue;
        }
        let working = working_pressure_angle(&mesh.pair, mesh.distance).expect("they mesh");
        let half = backlash / 2.0 / (mesh.pair.second().base_radius() / working.cos());
        let touches = |part: f64| mesh.touches(part, half);
        // Over the path as the formulas say and a little beyond: the first and the last place of contact.
        let steps: Vec<f64> = (-50..=50).map(|step| f64::from(step) / 20.0).filter(|&part| touches(part)).collect();
        let (Some(&first), Some(&last)) = (steps.first(), steps.last()) else { panic!("no contact: {:?}", mesh.pair) };
        let edge = |inside: f64, outside: f64| {
            let (mut inside, mut outside) = (inside, outside);
            for _ in 0..10 {
                let middle = f64::midpoint(inside, outside);
                *(if touches(middle) { &mut inside } else { &mut outside }) = middle;
            }
            inside
        };
        let ratio = edge(last, last + 1.0 / 20.0) - edge(first, first - 1.0 / 20.0);
        let off = ratio - path.ratio;
        assert!(off.abs() < 0.06, "{:?} at {}: {ratio} against {}", mesh.pair, mesh.distance, path.ratio);
        worst = worst.max(off.abs());
        pairs += 1;
        rings += u32::from(mesh.pair.has_ring());
    }
    println!("seed {}: {pairs} pairs, {rings} with rings, worst {worst}", SEED + 1);
    assert!(rings > 2, "{rings} rings");
}

/// How much wider than its involutes a drawn space is at a point, on one side, as an arc; the middle of a tooth lies on
/// the x axis.
fn beside_involute(form: &ToothForm, [x, y]: [f64; 2]) -> f64 {
    let (radius, pitch) = (x.hypot(y), TAU / f64::from(form.tooth_count));
    let angle = y.atan2(x);
    let half = (angle - pitch * (angle / pitch).round()).abs();
    let turned = involute((form.base_radius() / radius).acos()) - involute(form.pressure_angle);
    let side = if form.teeth == Teeth::External { -1.0 } else { 1.0 };
    let tooth = thickness_at_pitch_circle(form).expect("drawn") / 2.0 / form.pitch_radius() + side * turned;
    (tooth - half) * radius
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn drawn_flanks_are_involutes_up_to_where_the_trochoid_meets_them_and_no_farther() {
    let mut lots = Lots::new(SEED + 2);
    let [mut gears, mut undercut] = [0_u32; 2];
    while gears < 600 {
        let ring = lots.count(0, 3) == 0;
        let (teeth, count) =
            if ring { (Teeth::Internal, lots.count(40, 90)) } else { (Teeth::External, lots.count(7, 60)) };
        let angle = lots.pick(&[14.5_f64, 20.0, 25.0]).to_radians();
        let (module, any) = (lots.between(1.0, 4.0), lots.between(-0.7, 0.6));
        let form = ToothForm { profile_shift: any, ..random_gear(&mut lots, teeth, count, module, angle) };
        let Ok(drawn) = outline(&form, DRAWN) else { continue };
        if (form.tip_radius() - drawn.form_radius).abs() < 0.3 * module || form.tip_radius() < form.base_radius() {
            continue;
        }
        gears += 1;
        let beyond = |point: &[f64; 2]| {
            if ring {
                drawn.form_radius - point[0].hypot(point[1])
            } else {
                point[0].hypot(point[1]) - drawn.form_radius
            }
        };
        let on_tip = |point: &[f64; 2]| (point[0].hypot(point[1]) - form.tip_radius()).abs() < 1e-9;
        for point in drawn.points.iter().filter(|point| beyond(point) > 1e-9 && !on_tip(point)) {
            let off = beside_involute(&form, *point);
            assert!(off.abs() < 1e-6, "{form:?}: {point:?} is {off} off its involute");
        }
        // Just below the flank leaves the involute: an undercut at an angle, a fillet gently.
        let below = drawn.points.iter().filter(|point| (-0.25 * module..-0.1 * module).contains(&beyond(point)));
        let below = below.filter(|point| point[0].hypot(point[1]) > form.base_radius());
        for point in below {
            let off = beside_involute(&form, *point);
            assert!(off.abs() > 1e-4 * module, "{form:?}: {point:?} is {off} off its involute below its end");
        }
        let reaches = drawn.form_radius - form.base_radius();
        undercut += u32::from(
            !ring
                && reaches > 0.0
                && drawn.points.iter().any(|point| {
                    let inside = beyond(point) < -1e-6 && point[0].hypot(point[1]) > form.base_radius();
                    inside && beside_involute(&form, *point) > 1e-4
                }),
        );
    }
    println!("seed {}: {gears} gears, {undercut} undercut", SEED + 2);
    assert!(undercut > 20, "{undercut} of {gears} undercut");
}
