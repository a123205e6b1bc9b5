//! Do drawn gears touch, and leave one another, where the formulas say?
//!
//! Pairs are drawn as outlines and turned on the drawing: one gear about its axis until a corner of either meets a chord
//! of the other, which is exact for polygons; now and then the area that overlaps is measured as well. What of a flank is
//! an involute is read off the drawing by the normals of its chords, which touch the base circle. The seed is
//! printed.

use std::f64::consts::{PI, TAU};

use toothmark::tooth::{
    FormRadii, InvolutePair, Outline, RootCutter, Teeth, ToothForm, closed_distance, involute, mesh_backlash, outline,
    path_of_contact, room_between_tips, root_clearances, thickness_at_pitch_circle, tip_limits, working_pressure_angle,
};

use super::lots::Lots;
use crate::support::outlines::{Contour, overlap_area};
use crate::support::touching::{Chord, TurnableLine, chords, gap_to, turns};

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
}

/// A flank of the first gear and the one of the second that drives it when that turns counter-clockwise, each from the
/// corner of its tip to the middle of the space, about its own axis, the middle of its tooth on the x axis.
struct FlankPair<'a> {
    mesh: &'a Drawn,
    first: Vec<[f64; 2]>,
    second: TurnableLine,
}

fn open_line(points: &[[f64; 2]]) -> Vec<Chord> {
    points.windows(2).map(|ends| [ends[0], ends[1]]).collect()
}

impl<'a> FlankPair<'a> {
    fn of(mesh: &'a Drawn) -> Self {
        let half = |form: &ToothForm| PI / f64::from(form.tooth_count);
        let flank = |outline: &Outline, from: f64, to: f64| {
            let is_of = |[x, y]: &&[f64; 2]| (from..=to).contains(&y.atan2(*x));
            let mut points: Vec<[f64; 2]> = outline.points.iter().filter(is_of).copied().collect();
            // The outline may begin on it.
            points.sort_by(|[x, y], [other_x, other_y]| y.atan2(*x).abs().total_cmp(&other_y.atan2(*other_x).abs()));
            let is_tip = |[x, y]: &[f64; 2]| (x.hypot(*y) - outline.tip_radius).abs() < 1e-9;
            let corner = points.iter().rposition(is_tip).expect("a flank ends at the tip");
            points.split_off(corner)
        };
        let (own, other) = (half(mesh.pair.first()), half(mesh.pair.second()));
        // The driven side lies below the line of centres, on which the first gear's tooth points to the second gear's
        // axis, in a ring away from it.
        let [from, to] = if mesh.pair.has_ring() { [-own, 0.0] } else { [0.0, own] };
        let second = TurnableLine::of(&open_line(&flank(&mesh.outlines[1], 0.0, other)));
        Self { mesh, first: flank(&mesh.outlines[0], from, to), second }
    }

    /// How far the second gear turns until the two touch, with the first rolled on from the line of centres by so many
    /// pitches, in radians.
    fn gap(&self, part: f64) -> f64 {
        let Drawn { pair, distance, .. } = self.mesh;
        let [pitch, other] = [pair.first(), pair.second()].map(|form| TAU / f64::from(form.tooth_count));
        let toward = if pair.has_ring() { 0.0 } else { PI };
        let first = turned(&self.first, toward + part * pitch, *distance);
        gap_to(&open_line(&first), &self.second, -(0.5 + self.mesh.side() * part) * other)
    }
}

impl FlankPair<'_> {
    /// Where the flanks touch first and last, in pitches from the line of centres, where they do so for half a pitch; a
    /// gap larger by no more than the second number is none.
    ///
    /// Behind its ends the gap grows as the square of the way, so that the end lies as far before the place of a little as
    /// this lies before that of four times as much.
    fn contact(&self, touching: f64, little: f64) -> Option<[f64; 2]> {
        const STEP: f64 = 0.25;
        let steps = (-10..=10).map(|step| f64::from(step) * STEP);
        let met: Vec<f64> = steps.filter(|&part| (self.gap(part) - touching).abs() < little).collect();
        let end = |met: f64, way: f64| {
            let place = |more: f64| {
                let opens = |part: f64| self.gap(part) - touching > more;
                let (mut near, mut far) = (met, met + way * STEP);
                while !opens(far) {
                    (near, far) = (far, far + way * STEP);
                }
                for _ in 0..12 {
                    let middle = f64::midpoint(near, far);
                    *(if opens(middle) { &mut far } else { &mut near }) = middle;
                }
                near
            };
            2.0 * place(little) - place(4.0 * little)
        };
        Some([end(*met.first()?, -1.0), end(*met.last()?, 1.0)])
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn one_pair_of_drawn_flanks_touches_for_as_many_pitches_as_the_contact_ratio() {
    let mut lots = Lots::new(SEED + 1);
    let [mut pairs, mut rings] = [0_u32; 2];
    let mut worst = 0.0_f64;
    while pairs < 500 {
        let coarse = random_mesh(&mut lots, 0.1);
        let backlash = mesh_backlash(&coarse.pair, coarse.distance).expect("they mesh").at_working_circle;
        let Ok(path) = path_of_contact(&coarse.pair, coarse.distance, coarse.ends()) else { continue };
        if backlash < 0.01 || path.ratio < 0.5 || coarse.is_clear(0.02) != Some(true) {
            continue;
        }
        let mesh = coarse.drawn_finer(DRAWN_FINE);
        let working = working_pressure_angle(&mesh.pair, mesh.distance).expect("they mesh");
        let half = backlash / 2.0 / (mesh.pair.second().base_radius() / working.cos());
        let little = 20.0 * DRAWN_FINE / mesh.pair.second().tip_radius();
        let contact = FlankPair::of(&mesh).contact(half, little);
        let [first, last] = contact.unwrap_or_else(|| panic!("no contact: {:?}", mesh.pair));
        let (ratio, expected) = (last - first, path.ratio);
        assert!((ratio - expected).abs() < 0.02, "{:?} at {}: {ratio}, not {expected}", mesh.pair, mesh.distance);
        worst = worst.max((ratio - expected).abs());
        pairs += 1;
        rings += u32::from(mesh.pair.has_ring());
    }
    println!("seed {}: {pairs} pairs, {rings} with rings, worst {worst}", SEED + 1);
    assert!(rings > 60, "{rings} rings");
}

impl Drawn {
    /// The same with shorter chords.
    fn drawn_finer(&self, chord: f64) -> Self {
        let outlines = [self.pair.first(), self.pair.second()]
            .map(|form| outline(form, chord).expect("it was drawn with longer chords"));
        Self { pair: self.pair, distance: self.distance, outlines }
    }
}

/// A gear in a ring hardly larger, both with whole flanks down to the tips opposite, without backlash.
fn random_tight_ring(lots: &mut Lots) -> Option<Drawn> {
    let (module, count) = (lots.between(1.0, 4.0), lots.count(16, 50));
    let (addendum, pressure_angle) = (lots.pick(&[0.7, 0.8, 1.0]), lots.pick(&[20_f64, 25.0]).to_radians());
    let form = |teeth, count, profile_shift| ToothForm {
        addendum,
        profile_shift,
        pressure_angle,
        ..ToothForm::standard(teeth, count, module)
    };
    let gear = form(Teeth::External, count, lots.between(0.0, 0.5));
    let ring = form(Teeth::Internal, count + lots.count(4, 14), lots.between(0.0, 0.7));
    let distance = closed_distance(&InvolutePair::new(&gear, &ring).ok()?).ok()?;
    let ends = FormRadii { first: Some(outline(&gear, 0.1).ok()?.form_radius), second: None };
    let least = tip_limits(&InvolutePair::new(&gear, &ring).ok()?, distance, ends).ok()?.second + 0.02 * module;
    let ring = ToothForm { tip_limit: Some(least.max(ring.tip_radius())), ..ring };
    // Some tooth of the ring is left.
    if ring.tip_radius() > ring.pitch_radius() + ring.profile_shift * module - 0.2 * module {
        return None;
    }
    let coarse = drawn(&gear, &ring, 0.0, 0.1)?;
    let path = path_of_contact(&coarse.pair, distance, coarse.ends()).ok()?;
    let reaches = coarse.outlines[1].form_radius - path.second_starts_at;
    (path.ratio > 0.5 && reaches > 0.02 * module).then_some(coarse)
}

impl FlankPair<'_> {
    /// The least gap behind contact, on the way of the gear's tip out of the ring's space.
    fn least_gap_beyond(&self, [first, last]: [f64; 2]) -> f64 {
        const STEP: f64 = 0.1;
        let steps = |from: f64, step: f64| {
            let parts = (0..200).map(|number| from + step * f64::from(number));
            let gaps = parts.map(|part| (part, self.gap(part))).take_while(|(_, gap)| gap.is_finite());
            gaps.collect::<Vec<(f64, f64)>>()
        };
        let beyond = |end: f64, way: f64| {
            // It opens wide before it closes again: from there on fine steps are taken.
            let wide = steps(end, 4.0 * way * STEP).into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
            let mut gaps = steps(wide.0 - 4.0 * way * STEP, way * STEP);
            // The last place where they face one another.
            let (mut facing, mut past) = (gaps.last()?.0, gaps.last()?.0 + way * STEP);
            for _ in 0..26 {
                let middle = f64::midpoint(facing, past);
                *(if self.gap(middle).is_finite() { &mut facing } else { &mut past }) = middle;
            }
            gaps.push((facing, self.gap(facing)));
            // From where it is widest on.
            let top = (0..gaps.len()).max_by(|&a, &b| gaps[a].1.total_cmp(&gaps[b].1))?;
            gaps[top..].iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))
        };
        // On the other way the ring's tip leaves the gear's root, and the gap grows to the end.
        let both = [beyond(first, -1.0), beyond(last, 1.0)].into_iter().flatten();
        let (at, mut least) = both.min_by(|a, b| a.1.total_cmp(&b.1)).expect("the ends of contact have a gap");
        // By golden sections; where they face one another no longer the gap is infinite.
        let golden = f64::midpoint(5_f64.sqrt(), -1.0);
        let (mut from, mut to) = (at - STEP, at + STEP);
        let mut inner = [to - golden * (to - from), from + golden * (to - from)].map(|part| (part, self.gap(part)));
        for _ in 0..20 {
            let [near, far] = inner;
            least = least.min(near.1).min(far.1);
            let asked = |part: f64| (part, self.gap(part));
            if near.1 < far.1 {
                to = far.0;
                inner = [asked(to - golden * (to - from)), near];
            } else {
                from = near.0;
                inner = [far, asked(from + golden * (to - from))];
            }
        }
        least
    }
}

/// Where little room or none is left the least gap is that from corner to corner, as the formula has it; where there is
/// more the corner may pass a little nearer before.
#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn tips_of_a_drawn_gear_leave_its_ring_with_the_room_away_from_the_line_of_action() {
    let mut lots = Lots::new(SEED + 3);
    let [mut clear, mut fouling, mut near] = [0_u32; 3];
    let [mut worst, mut worst_near] = [0.0_f64; 2];
    while clear + fouling < 500 {
        let Some(coarse) = random_tight_ring(&mut lots) else { continue };
        let Some(room) = room_between_tips(&coarse.pair, coarse.distance).expect("they mesh") else { continue };
        let mesh = coarse.drawn_finer(DRAWN_FINE * coarse.pair.first().module);
        let flanks = FlankPair::of(&mesh);
        // In modules at the tips of the ring.
        let reach = mesh.pair.second().tip_radius() / mesh.pair.first().module;
        let contact = flanks.contact(0.0, 20.0 * DRAWN_FINE / reach);
        let contact = contact.unwrap_or_else(|| panic!("no contact: {:?}", mesh.pair));
        let (gap, room) = (flanks.least_gap_beyond(contact) * reach, room * reach);
        assert!(gap < room + 1e-6, "{:?}: {gap}, not {room}", mesh.pair);
        assert_eq!(gap > 0.0, room > 0.0, "{:?}: {gap}, not {room}", mesh.pair);
        worst = worst.max(room - gap);
        if room < 0.1 {
            assert!(room - gap < 2e-3, "{:?}: {gap}, not {room}", mesh.pair);
            worst_near = worst_near.max(room - gap);
            near += 1;
        }
        *(if room > 0.0 { &mut clear } else { &mut fouling }) += 1;
    }
    println!(
        "seed {}: {clear} clear, {fouling} foul; worst {worst} modules, of {near} with little room {worst_near}",
        SEED + 3
    );
    assert!(fouling > 40 && near > 80, "{fouling} of them foul, {near} nearly");
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
