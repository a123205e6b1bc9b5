//! A small picture of a group for a sheet of text: both views, all planes over each other.
//!
//! It is composed at the size that it has on paper, so that its letters are legible there; the
//! gears are made as small as the room asks. Nothing is to be measured on it, and whatever else a
//! face view tells is left to the text beside it. Teeth too fine to be told apart at that size are
//! left out, and pitch circles stand in their place.

use std::f64::consts::PI;

use super::face::{View, contours};
use super::layout::{Layout, PlacedGear, PlacedMark};
use super::notes;
use super::sheet::{Anchor, GearTag, Hatch, Pen, Shape, Sheet, shortened, width_of};
use crate::gearset::{Gearset, Side};
use crate::timing::GroupTiming;

/// Width of the picture, in millimetres.
const WIDTH: f64 = 145.0;
/// The greatest height of the picture.
const HEIGHT: f64 = 77.0;
/// The size of words; their letters are 2.5 mm high.
const TEXT: f64 = 3.5;
/// The size of the numbers of pins.
const NUMBER: f64 = 4.2;
/// From one line of words to the next.
const STEP: f64 = 5.0;
/// From the farthest gear to the middle of the number of its pin.
const TO_NUMBER: f64 = 4.0;
/// Room outside the farthest gear.
const ROUND: f64 = 6.5;
/// Teeth whose pitch is less than this on paper are not drawn.
const FINEST_PITCH: f64 = 0.9;
/// The part of the picture of the gears that their outlines may blacken.
const MOST_INK: f64 = 0.35;

/// The sheet of a group.
pub(super) fn sheet(set: &Gearset, timed: &GroupTiming, layout: &Layout) -> Sheet {
    let title = format!("{}: {}", set.title(), notes::group_name(set, timed));
    let mut sheet = Sheet { size: [WIDTH, 0.0], weight: 0.5, ..Sheet::new(title, 1.0) };
    let mut y = STEP;
    let name = shortened(&notes::group_name(set, timed), TEXT, WIDTH * 0.92);
    sheet.bold([WIDTH / 2.0, y], TEXT, Anchor::Middle, name);
    if let Some(warning) = notes::short_warning(timed, layout) {
        y += STEP;
        sheet.bold([WIDTH / 2.0, y], TEXT, Anchor::Middle, warning);
    }
    let small = Small::new(set, layout, HEIGHT - y - 2.0 - STEP);
    for (index, side) in [Side::Input, Side::Output].into_iter().enumerate() {
        let x = WIDTH * if index == 0 { 0.25 } else { 0.75 };
        small.view(&mut sheet, View { side, axis: [x, y + 1.0 + small.up] });
        let name = format!("SEEN FROM THE {} SIDE", side.key().to_uppercase());
        sheet.bold([x, y + small.up + small.down + STEP], TEXT, Anchor::Middle, name);
    }
    sheet.size[1] = y + small.up + small.down + STEP + 2.0;
    sheet
}

/// A group made small.
struct Small<'a> {
    set: &'a Gearset,
    layout: &'a Layout,
    /// From the layout to paper.
    scale: f64,
    /// From the main axis to the farthest gear, on paper.
    reach: f64,
    /// Room above the main axis, with the numbers of the pins.
    up: f64,
    /// Room below it.
    down: f64,
    /// Whether outlines of teeth would be a black patch.
    is_too_fine: bool,
}

impl<'a> Small<'a> {
    fn new(set: &'a Gearset, layout: &'a Layout, height: f64) -> Self {
        let gears = || layout.gears.iter().flatten();
        let reach = gears().map(|gear| gear.center[0].hypot(gear.center[1]) + gear.reach()).fold(0.0, f64::max);
        let numbers = || layout.marks.iter().map(|mark| -reach * mark.to_axis.sin());
        let [up, down] = [1.0, -1.0].map(|sign| {
            let gears = gears().map(|gear| sign * gear.center[1] + gear.reach());
            gears.chain(numbers().map(|y| sign * y)).fold(0.0, f64::max)
        });
        let scale = ((height - 2.0 * ROUND) / (up + down)).min((WIDTH / 4.0 - ROUND) / reach);
        let (width, _) = Pen::Plane(0).stroke(0.5);
        let ink: f64 = gears().map(|gear| around(&gear.points) * scale * width).sum();
        let is_too_fine = ink > MOST_INK * PI * (reach * scale).powi(2);
        let [up, down] = [up, down].map(|height| height * scale + ROUND);
        Self { set, layout, scale, reach: reach * scale, up, down, is_too_fine }
    }

    fn view(&self, sheet: &mut Sheet, view: View) {
        for (plane, gears) in self.layout.gears.iter().enumerate() {
            for gear in gears {
                sheet.shapes.push(self.gear(view, plane, gear));
            }
        }
        sheet.cross(view.axis, 1.5);
        for mark in &self.layout.marks {
            self.mark(sheet, view, mark);
        }
        self.numbers(sheet, view);
    }

    fn at(&self, view: View, point: [f64; 2]) -> [f64; 2] {
        view.at(point.map(|length| length * self.scale))
    }

    fn gear(&self, view: View, plane: usize, gear: &PlacedGear) -> Shape {
        if self.is_too_fine || PI * gear.form.module * self.scale < FINEST_PITCH {
            let radius = gear.form.pitch_radius() * self.scale;
            return Shape::Circle { center: self.at(view, gear.center), radius, pen: Pen::Thin };
        }
        let placed = |contour: Vec<[f64; 2]>| contour.into_iter().map(|point| self.at(view, point)).collect();
        let gear_name = self.set.gear(gear.gear).name().to_owned();
        let part = GearTag { gear: gear_name, pin: gear.pin, view: view.side.key(), plane: plane + 1 };
        let contours = contours(gear).into_iter().map(placed).collect();
        Shape::Area { contours, pen: Pen::Plane(plane), hatch: Hatch::None, part: Some(part) }
    }

    /// The line from the centre of a planet to its mark.
    fn mark(&self, sheet: &mut Sheet, view: View, mark: &PlacedMark) {
        let own = self.layout.gears.iter().flatten().filter(|gear| gear.is_of(self.set, mark));
        let roots = own.map(|gear| gear.form.root_radius());
        let root = roots.fold(f64::INFINITY, f64::min) * 0.9;
        if !root.is_finite() {
            return;
        }
        let [x, y] = mark.center;
        let end = [x + root * mark.direction.cos(), y + root * mark.direction.sin()];
        let (center, end) = (self.at(view, mark.center), self.at(view, end));
        sheet.line(center, end, Pen::Outline);
        let radius = (root * self.scale * 0.2).clamp(0.25, 0.9);
        sheet.shapes.push(Shape::Spot { center: end, radius });
    }

    /// The numbers of the pins; of those that stand too close only the first.
    fn numbers(&self, sheet: &mut Sheet, view: View) {
        let radius = self.reach + TO_NUMBER;
        let mut taken: Vec<[f64; 2]> = Vec::new();
        for mark in &self.layout.marks {
            let outward = mark.to_axis + PI;
            let [x, y] = view.at([radius * outward.cos(), radius * outward.sin()]);
            let number = mark.pin.to_string();
            let apart = width_of(&number, NUMBER) + NUMBER / 2.0;
            if taken.iter().all(|other| (other[0] - x).hypot(other[1] - y) > apart) {
                taken.push([x, y]);
                sheet.bold([x, y + NUMBER * 0.35], NUMBER, Anchor::Middle, number);
            }
        }
    }
}

/// The length of a closed line.
fn around(points: &[[f64; 2]]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| (a[0] - b[0]).hypot(a[1] - b[1])).sum()
}
