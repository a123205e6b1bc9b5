//! Are the roots of outlines those that a cutter leaves?
//!
//! A blank of one pitch is laid about the middle of a space, and the tooth of a rack or of a pinion-shaped cutter is
//! taken away from it at some hundred positions while both roll. What is left is compared with the outline as a general
//! polygon library measures areas. The tools are drawn here, from their own measures. The seed is printed.

use std::f64::consts::{FRAC_PI_2, PI};

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use toothmark::tooth::{Outline, OutlineError, RootCutter, Teeth, ToothForm, center_distance, outline, tip_thickness};

use super::lots::Lots;
use crate::support::outlines::{AXIS, Contour, overlap_area, polar, steps};

const SEED: u64 = 1521;
/// From one position of the tool to the next: the turn of the gear in radians, and along the pitch line in modules.
const TURN: f64 = 0.015;
const STEP: f64 = 0.12;
/// Chords of half the tip of a pinion-shaped cutter.
const TIP_CHORDS: u32 = 4;
/// Chord error of the outlines and of the arcs of tools, in modules.
const CHORD: f64 = 2e-4;

/// A tool that rolls with a gear.
#[derive(Debug, Clone, Copy)]
struct Tool {
    /// Half the width of the tooth at the pitch line or the base circle, in millimetres or radians.
    half: f64,
    /// The tooth's depth below the pitch line, or the tip radius.
    tip: f64,
    rounding: f64,
    /// Of a pinion-shaped cutter.
    pinion: Option<Pinion>,
}

#[derive(Debug, Clone, Copy)]
struct Pinion {
    teeth: f64,
    base_radius: f64,
    distance: f64,
}

/// The rack of a gear without a cutter named.
fn rack_of(form: &ToothForm) -> Tool {
    let width = form.module * (FRAC_PI_2 - 2.0 * form.profile_shift * form.pressure_angle.tan()) + form.thinning;
    let tip = (form.dedendum - form.profile_shift) * form.module;
    let straight = (form.addendum - form.profile_shift) * form.module;
    let tool = |rounding| Tool { half: width / 2.0, tip, rounding, pinion: None };
    // The largest rounding up to 0.38 modules that leaves a straight flank down to the mate's tips, and a tip.
    let fits = |rounding: f64| {
        let [aside, depth] = tool(rounding).rounding_center(form);
        aside >= 0.0 && depth + rounding * form.pressure_angle.sin() >= straight
    };
    let (mut fitting, mut most) = (0.0, 0.38 * form.module);
    for _ in 0..50 {
        let middle = f64::midpoint(fitting, most);
        *(if fits(middle) { &mut fitting } else { &mut most }) = middle;
    }
    tool(fitting)
}

/// A cutter of so many teeth that reaches the root.
fn pinion_of(form: &ToothForm, tooth_count: u16, profile_shift: f64) -> Option<Tool> {
    let angle = form.pressure_angle;
    let plain = ToothForm {
        pressure_angle: angle,
        profile_shift,
        ..ToothForm::standard(Teeth::External, tooth_count, form.module)
    };
    let distance = center_distance(form, &plain)?;
    let thickness = form.module * (FRAC_PI_2 + 2.0 * profile_shift * angle.tan()) + form.thinning;
    Some(Tool {
        half: thickness / 2.0 / plain.pitch_radius() + angle.tan() - angle,
        tip: plain.pitch_radius() + (profile_shift + form.dedendum) * form.module,
        rounding: 0.0,
        pinion: Some(Pinion { teeth: f64::from(tooth_count), base_radius: plain.base_radius(), distance }),
    })
}

impl Tool {
    /// Across from the middle of the tooth, and below the pitch line: a rounding away from the tip and from the flank.
    fn rounding_center(&self, form: &ToothForm) -> [f64; 2] {
        let depth = self.tip - self.rounding;
        let flank_there = self.half - depth * form.pressure_angle.tan();
        [flank_there - self.rounding / form.pressure_angle.cos(), depth]
    }

    /// The right half of the tooth from its tip on, in its own frame: across and along, the tip along +x.
    fn right_half(&self, form: &ToothForm) -> Vec<[f64; 2]> {
        let Some(pinion) = self.pinion else {
            let [aside, depth] = self.rounding_center(form);
            let arc = steps(20).map(|part| (FRAC_PI_2 - form.pressure_angle) * part);
            let arc = arc.map(|turn| [depth + self.rounding * turn.cos(), aside + self.rounding * turn.sin()]);
            let height = 4.0 * form.module;
            return arc.chain([[-height, self.half + height * form.pressure_angle.tan()]]).collect();
        };
        let half_at = |radius: f64| {
            let tangent = ((radius / pinion.base_radius).powi(2) - 1.0).max(0.0).sqrt();
            self.half - tangent + tangent.atan()
        };
        let tip = steps(TIP_CHORDS).map(|part| (self.tip, half_at(self.tip) * part));
        let flank = steps(90).skip(1).map(|part| self.tip + (pinion.base_radius - self.tip) * part);
        let flank = flank.map(|radius| (radius, half_at(radius)));
        let foot = [(0.8 * pinion.base_radius, self.half)];
        tip.chain(flank).chain(foot).map(|(radius, angle)| polar(AXIS, radius, angle)).collect()
    }

    /// A point of the tooth in the frame of the gear, the middle of the space along +x, after rolling so far along the
    /// pitch circles.
    fn placed(&self, form: &ToothForm, [along, across]: [f64; 2], rolled: f64) -> [f64; 2] {
        let (point, turn) = match self.pinion {
            // The rack's tip points to the axis.
            None => ([form.pitch_radius() - along, across + rolled], -rolled / form.pitch_radius()),
            Some(pinion) => {
                let own = rolled / (pinion.teeth * form.module / 2.0);
                let side = if form.teeth == Teeth::External { -1.0 } else { 1.0 };
                let (sin, cos) = own.sin_cos();
                let turned = [along * cos - across * sin, along * sin + across * cos];
                ([pinion.distance + side * turned[0], turned[1]], -rolled / form.pitch_radius())
            }
        };
        let (sin, cos) = turn.sin_cos();
        [point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos]
    }

    /// What the right half of the tooth takes away: at every position, and what a sharp tip sweeps between two of them.
    fn cuts(&self, form: &ToothForm) -> Vec<Contour> {
        let mut half = self.right_half(form);
        // Down the middle of the tooth.
        let middle = |[along, _]: [f64; 2]| [along, 0.0];
        half.extend([middle(half[half.len() - 1]), middle(half[0])]);
        let positions = self.positions(form);
        let at = |points: &[[f64; 2]], rolled| -> Contour {
            points.iter().map(|&point| self.placed(form, point, rolled)).collect()
        };
        let mut cuts: Vec<Contour> = positions.iter().map(|&rolled| at(&half, rolled)).collect();
        if self.pinion.is_some() {
            let tip = [half[0], half[TIP_CHORDS as usize]];
            for pair in positions.windows(2) {
                let (now, next) = (at(&tip, pair[0]), at(&tip, pair[1]));
                cuts.extend([vec![now[0], now[1], next[1]], vec![now[0], next[1], next[0]]]);
            }
        }
        cuts.iter_mut().filter(|contour| signed_area(contour) < 0.0).for_each(|contour| contour.reverse());
        cuts
    }

    /// How far the tool has rolled at each position: close together where most is cut, and farther until it has left.
    fn positions(&self, form: &ToothForm) -> Vec<f64> {
        let far = match self.pinion {
            // The tip has left the blank on its parabola.
            None => {
                let deep = form.tip_radius() - form.root_radius();
                (deep * (2.0 * form.pitch_radius() + deep)).sqrt() + 2.0 * form.module
            }
            Some(pinion) => pinion.teeth * form.module * 0.6,
        };
        let near = far.min(4.5 * form.module);
        // Flanks turn little from one position to the next.
        let step = (TURN * form.pitch_radius()).min(STEP * form.module);
        let outer: Vec<f64> = steps(8).map(|part| near + (far - near) * part).skip(1).collect();
        let mut positions: Vec<f64> = outer.iter().rev().map(|rolled| -rolled).collect();
        positions.extend((0..).map(|number| f64::from(number) * step - near).take_while(|&rolled| rolled < near));
        positions.extend(outer);
        positions
    }
}

impl Tool {
    /// Of a pinion-shaped cutter that is not pointed: how far its tip stays from the tangent point of the gear's base
    /// circle on the line of action.
    fn room(&self, form: &ToothForm) -> Option<f64> {
        let pinion = self.pinion?;
        let tangent = ((self.tip / pinion.base_radius).powi(2) - 1.0).max(0.0).sqrt();
        let is_pointed = self.half <= tangent - tangent.atan() + 0.02 / pinion.teeth;
        let reach = (self.tip.powi(2) - pinion.base_radius.powi(2)).sqrt();
        let line = (pinion.distance.powi(2) - (form.base_radius() + pinion.base_radius).powi(2)).sqrt();
        (!is_pointed && !reach.is_nan()).then(|| if form.teeth == Teeth::External { line - reach } else { reach })
    }

    /// Within it the cutter's flank is none.
    fn least_ring_tip(&self, form: &ToothForm) -> f64 {
        let pinion = self.pinion.expect("rings are cut by pinion-shaped cutters");
        let line = (pinion.distance.powi(2) - (form.base_radius() - pinion.base_radius).powi(2)).max(0.0).sqrt();
        form.base_radius().hypot(line)
    }
}

/// The area inside a contour, positive if it runs counter-clockwise.
fn signed_area(contour: &[[f64; 2]]) -> f64 {
    let sides = contour.iter().zip(contour.iter().cycle().skip(1));
    sides.map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// The blank of half a pitch, from the middle of a space to the middle of a tooth.
fn blank(form: &ToothForm) -> Contour {
    let half = PI / f64::from(form.tooth_count);
    let (tip, root) = (form.tip_radius(), form.root_radius());
    let beyond = if form.teeth == Teeth::External { root - 0.2 * form.module } else { root + 0.2 * form.module };
    let arc = |radius: f64| steps(30).map(move |part| polar(AXIS, radius, half * part));
    let mut back: Contour = arc(beyond.max(0.01 * form.module)).collect();
    back.reverse();
    arc(tip).chain(back).collect()
}

/// The outline turned so that the middle of a space lies along +x.
fn space_ahead(form: &ToothForm, outline: &Outline) -> Contour {
    let (sin, cos) = (PI / f64::from(form.tooth_count)).sin_cos();
    outline.points.iter().map(|[x, y]| [x * cos - y * sin, x * sin + y * cos]).collect()
}

/// The area by which outline and cut blank differ, and the length of the outline's sides in the blank.
fn difference(form: &ToothForm, outline: &Outline, tool: &Tool) -> f64 {
    let blank = vec![blank(form)];
    // A few positions at a time: all at once cross one another over and over.
    let cut = tool.cuts(form).chunks(8).fold(blank.clone(), |left, cuts| {
        let cut = left.overlay_as::<i64>(&cuts.to_vec(), OverlayRule::Difference, FillRule::NonZero);
        // Slivers of the boundary that the library leaves aside do not matter here.
        cut.into_iter().flatten().collect()
    });
    let rule = if form.teeth == Teeth::External { OverlayRule::Intersect } else { OverlayRule::Difference };
    let drawn = blank.overlay_as::<i64>(&vec![space_ahead(form, outline)], rule, FillRule::NonZero);
    let drawn: Vec<Contour> = drawn.into_iter().flatten().collect();
    overlap_area(&cut, &cut) + overlap_area(&drawn, &drawn) - 2.0 * overlap_area(&cut, &drawn)
}

fn random_form(lots: &mut Lots, teeth: Teeth) -> ToothForm {
    let (few, some, many) = (lots.count(6, 14), lots.count(12, 60), lots.count(50, 110));
    let count = if teeth == Teeth::External { lots.pick(&[few, some]) } else { many };
    let (addendum, dedendum) = lots.pick(&[(1.0, 1.25), (1.0, 1.25), (0.8, 1.0), (1.0, 1.157), (1.0, 1.4)]);
    ToothForm {
        pressure_angle: lots.pick(&[14.5_f64, 17.5, 20.0, 20.0, 20.0, 22.5, 25.0]).to_radians(),
        profile_shift: lots.between(-0.6, 0.9),
        addendum,
        dedendum,
        thinning: lots.between(0.0, 0.1),
        ..ToothForm::standard(teeth, count, lots.between(1.0, 5.0))
    }
}

/// What was compared.
#[derive(Debug, Default)]
struct Compared {
    gears: u32,
    undercut: u32,
    pointed: u32,
    worst: f64,
}

impl Compared {
    #[track_caller]
    fn compare(&mut self, form: &ToothForm, tool: &Tool) {
        let drawn = match outline(form, CHORD * form.module) {
            Ok(drawn) => drawn,
            Err(error) => {
                assert_eq!(error, OutlineError::Pointed, "{form:?}");
                self.pointed += 1;
                return;
            }
        };
        let area = difference(form, &drawn, tool);
        // A side, half a root and half a tip. Off by chords of the outline, of the tool, and between its positions.
        let length = (form.tip_radius() - form.root_radius()).abs() + 2.0 * form.module;
        let off = area / length / form.module;
        assert!(off < 3.0 * CHORD, "{form:?} by {tool:?}: off by {off} modules, {area} square millimetres");
        self.worst = self.worst.max(off);
        self.gears += 1;
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn roots_of_gears_are_those_that_a_rack_leaves() {
    let mut lots = Lots::new(SEED);
    let mut compared = Compared::default();
    while compared.gears < 100 {
        let form = random_form(&mut lots, Teeth::External);
        if tip_thickness(&form).is_err() {
            continue;
        }
        compared.compare(&form, &rack_of(&form));
        let least = form.addendum - f64::from(form.tooth_count) * form.pressure_angle.sin().powi(2) / 2.0;
        compared.undercut += u32::from(form.profile_shift < least);
    }
    println!("seed {SEED}: {compared:?}");
    assert!(compared.undercut > 30, "hardly a gear is undercut: {compared:?}");
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn racks_are_straight_down_to_where_their_rounding_begins() {
    let mut lots = Lots::new(SEED + 3);
    let [mut gears, mut deeper] = [0_u32; 2];
    while gears < 500 {
        let form = random_form(&mut lots, Teeth::External);
        let dedendum = form.addendum + lots.between(0.05, 0.5);
        let form = ToothForm { dedendum, ..form };
        let rack = rack_of(&form);
        let [_, depth] = rack.rounding_center(&form);
        // The rounding goes over into the flank where its normal is that of the flank.
        let below_pitch_line = depth + rack.rounding * form.pressure_angle.sin();
        let straight = below_pitch_line / form.module + form.profile_shift;
        let told = form.straight_dedendum();
        assert!((told - straight).abs() < 1e-9, "{form:?}: {told}, not {straight}");
        if let Ok(drawn) = outline(&form, 0.1 * form.module) {
            let sine = form.pressure_angle.sin();
            let curvature = form.pitch_radius() * sine - (straight - form.profile_shift) * form.module / sine;
            // Of undercut gears the involute begins where the trochoid crosses it.
            let begins = form.base_radius().hypot(curvature);
            let is_begun = curvature < 0.0 || begins > form.tip_radius() || (begins - drawn.form_radius).abs() < 1e-9;
            assert!(is_begun, "{form:?}: {begins}, not {}", drawn.form_radius);
        }
        gears += 1;
        deeper += u32::from(straight > form.addendum + 1e-3);
    }
    println!("seed {}: {gears} gears, {deeper} with a rack straight below the tips of the mate", SEED + 3);
    assert!(deeper > 50, "{deeper} of {gears}");
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn roots_of_gears_are_those_that_a_pinion_shaped_cutter_leaves() {
    let mut lots = Lots::new(SEED + 1);
    let mut compared = Compared::default();
    while compared.gears < 50 {
        let (tooth_count, profile_shift) = (lots.count(12, 40), lots.between(-0.1, 0.3));
        let cut_by = RootCutter::Shaper { tooth_count, profile_shift };
        let form = ToothForm { cut_by, ..random_form(&mut lots, Teeth::External) };
        let Some(tool) = pinion_of(&form, tooth_count, profile_shift) else { continue };
        let Some(form_room) = tool.room(&form) else { continue };
        compared.compare(&form, &tool);
        compared.undercut += u32::from(form_room < 0.0);
    }
    println!("seed {}: {compared:?}", SEED + 1);
    assert!(compared.undercut > 5, "hardly a gear is undercut: {compared:?}");
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn roots_of_rings_are_those_that_a_pinion_shaped_cutter_leaves() {
    let mut lots = Lots::new(SEED + 2);
    let mut compared = Compared::default();
    while compared.gears < 50 {
        let form = random_form(&mut lots, Teeth::Internal);
        let (tooth_count, shift) = (lots.count(14, 30), lots.between(-0.1, 0.3));
        // Every other ring names no cutter: one of 25 teeth and the ring's own shift is taken.
        let named = lots.count(0, 1) == 1;
        let (form, tool) = if named {
            let cut_by = RootCutter::Shaper { tooth_count, profile_shift: shift };
            (ToothForm { cut_by, ..form }, pinion_of(&form, tooth_count, shift))
        } else {
            (form, pinion_of(&form, (form.tooth_count / 2).min(25), form.profile_shift))
        };
        let Some(tool) = tool else { continue };
        // A cutter that is pointed, or takes away the ring's tips, leaves something else.
        let least_tip = tool.least_ring_tip(&form);
        let form = ToothForm { tip_limit: Some(least_tip + 0.05 * form.module), ..form };
        if tool.room(&form).is_some() && form.tip_radius() < form.pitch_radius() {
            compared.compare(&form, &tool);
        }
    }
    println!("seed {}: {compared:?}", SEED + 2);
}
