//! Face views: a sheet for each axial plane, and one with all planes over each other.
//!
//! Each view has its name and the places of its marks below. The view from the output side is the
//! mirror image, left to right: a picture has both side by side, pages to print have sheets of their own for each.

use std::f64::consts::{PI, TAU};

use super::layout::{Layout, PlacedGear, PlacedMark};
use super::notes;
use super::sheet::{Anchor, GearTag, Hatch, Pen, Shape, Sheet, shortened, wrapped};
use crate::gearset::{GearId, Gearset, Side};
use crate::timing::GroupTiming;
use crate::tooth::Teeth;

/// The edge of a sheet, in millimetres.
const EDGE: f64 = 8.0;
/// The most width of a line of notes: on a page to print they take one column, so that no page holds their ends alone.
const NOTES: f64 = 150.0;
/// The least width of a view, for what is written below it.
const LEAST_WIDTH: f64 = 88.0;
/// From the farthest gear to the number of a pin.
const NUMBER: f64 = 6.5;
/// Round a view, for the numbers of pins.
const ROUND: f64 = 10.0;
const TITLE: f64 = 5.0;
const TEXT: f64 = 3.2;
const STEP: f64 = 4.4;

/// Every sheet of a group, seen from these sides, with the end of its file name.
pub(super) fn sheets(set: &Gearset, timed: &GroupTiming, layout: &Layout, sides: &[Side]) -> Vec<(String, Sheet)> {
    let count = layout.planes.len();
    let sheet = |planes| Face { set, timed, layout, planes, sides }.sheet();
    let mut sheets: Vec<(String, Sheet)> =
        (0..count).map(|plane| (format!("plane-{}", plane + 1), sheet(vec![plane]))).collect();
    if count > 1 {
        sheets.push(("all-planes".into(), sheet((0..count).collect())));
    }
    sheets
}

/// A sheet in the making.
struct Face<'a> {
    set: &'a Gearset,
    timed: &'a GroupTiming,
    layout: &'a Layout,
    planes: Vec<usize>,
    sides: &'a [Side],
}

/// A view on a sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct View {
    pub(super) side: Side,
    /// Where the main axis is on the sheet.
    pub(super) axis: [f64; 2],
}

impl View {
    /// A point of the layout on the sheet.
    pub(super) fn at(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let x = if self.side == Side::Input { x } else { -x };
        [self.axis[0] + x, self.axis[1] - y]
    }

    /// The point so far from another in a direction of the layout.
    fn from(self, [x, y]: [f64; 2], radius: f64, direction: f64) -> [f64; 2] {
        self.at([x + radius * direction.cos(), y + radius * direction.sin()])
    }
}

impl Face<'_> {
    fn sheet(&self) -> Sheet {
        let reach =
            self.gears().map(|(_, gear)| gear.center[0].hypot(gear.center[1]) + gear.reach()).fold(0.0, f64::max);
        let [up, down] = self.heights(reach);
        let cell = (2.0 * (reach + ROUND)).max(LEAST_WIDTH);
        let width = 2.0 * EDGE + self.sides.iter().map(|_| cell).sum::<f64>();
        let seen = if let [side] = self.sides { format!(", {} side", side.key()) } else { String::new() };
        let title = format!("{}: {}{seen}", self.set.title(), self.subject());
        let mut sheet = Sheet { size: [width, 0.0], ..Sheet::new(title, self.layout.least_module()) };
        let top = self.heading(&mut sheet);
        let mut bottom: f64 = 0.0;
        for (index, &side) in self.sides.iter().enumerate() {
            let left = EDGE + if index == 0 { 0.0 } else { cell };
            let view = View { side, axis: [left + cell / 2.0, top + up] };
            self.view(&mut sheet, view, reach);
            bottom = bottom.max(self.below(&mut sheet, view, [left, top + up + down], cell));
        }
        let mut y = self.legend(&mut sheet, bottom + 3.0);
        for note in notes::notes(self.set, self.timed, self.layout, &self.planes) {
            for line in wrapped(&note, TEXT, (width - 2.0 * EDGE).min(NOTES)) {
                sheet.words([EDGE, y], TEXT, Anchor::Start, line);
                y += STEP;
            }
        }
        sheet.size[1] = y + EDGE;
        sheet
    }

    fn gears(&self) -> impl Iterator<Item = (usize, &PlacedGear)> {
        self.planes.iter().flat_map(|&plane| self.layout.gears[plane].iter().map(move |gear| (plane, gear)))
    }

    /// How far the view reaches up and down from the main axis, with the numbers of the pins.
    fn heights(&self, reach: f64) -> [f64; 2] {
        let numbers = self.marks().map(|mark| (-(reach + NUMBER) * mark.to_axis.sin(), 4.0));
        let gears = self.gears().map(|(_, gear)| (gear.center[1], gear.reach() + 2.0));
        let all: Vec<(f64, f64)> = numbers.chain(gears).collect();
        [1.0, -1.0].map(|sign| all.iter().map(|(y, round)| sign * y + round).fold(0.0, f64::max))
    }

    fn is_of_all(&self) -> bool {
        self.planes.len() > 1
    }

    fn subject(&self) -> String {
        match self.planes[..] {
            [plane] => {
                let count = self.layout.planes.len();
                let name = notes::plane_name(self.set, &self.layout.planes[plane]);
                format!("plane {} of {count}: {name}", plane + 1)
            }
            _ => "all planes over each other".into(),
        }
    }

    /// The title and what the sheet shows; where the views begin.
    fn heading(&self, sheet: &mut Sheet) -> f64 {
        let width = sheet.size[0] - 2.0 * EDGE;
        let mut y = EDGE + TITLE;
        sheet.bold([EDGE, y], TITLE, Anchor::Start, shortened(self.set.title(), TITLE, width));
        let lines = [notes::group_name(self.set, self.timed), self.subject(), notes::scale(self.set, self.layout)];
        for line in lines.iter().flat_map(|line| wrapped(line, TEXT, width)) {
            y += STEP + 0.4;
            sheet.words([EDGE, y], TEXT, Anchor::Start, shortened(&line, TEXT, width));
        }
        let warning = notes::warning(self.set, self.timed, self.layout);
        for line in warning.iter().flat_map(|warning| wrapped(warning, TEXT * 1.15, width)) {
            y += STEP + 0.8;
            sheet.bold([EDGE, y], TEXT * 1.15, Anchor::Start, line);
        }
        y + 3.0
    }

    fn view(&self, sheet: &mut Sheet, view: View, reach: f64) {
        for on_axis in [true, false] {
            for (plane, gear) in self.gears().filter(|(_, gear)| gear.pin.is_none() == on_axis) {
                sheet.shapes.push(self.area(view, plane, gear));
            }
        }
        if !self.is_of_all() {
            for (_, gear) in self.gears() {
                sheet.circle(view.at(gear.center), gear.form.pitch_radius(), Pen::Center);
            }
        }
        sheet.cross(view.axis, 2.0);
        for mark in self.marks() {
            self.pin(sheet, view, mark, reach);
        }
        if !self.is_of_all() {
            for (_, gear) in self.gears() {
                self.label(sheet, view, gear);
            }
        }
    }

    /// The marks of the planets that have a gear on the sheet.
    fn marks(&self) -> impl Iterator<Item = &PlacedMark> {
        self.layout.marks.iter().filter(|mark| self.gear_of(mark).is_some())
    }

    /// The first gear of a planet on its pin, of those on the sheet.
    fn gear_of(&self, mark: &PlacedMark) -> Option<&PlacedGear> {
        self.gears().map(|(_, gear)| gear).find(|gear| gear.is_of(self.set, mark))
    }

    fn area(&self, view: View, plane: usize, gear: &PlacedGear) -> Shape {
        let contours =
            contours(gear).into_iter().map(|contour| contour.into_iter().map(|point| view.at(point)).collect());
        let hatch = match (self.is_of_all() || gear.pin.is_some(), gear.form.teeth) {
            (true, _) => Hatch::None,
            (false, Teeth::External) => Hatch::Rising,
            (false, Teeth::Internal) => Hatch::Falling,
        };
        let pen = if self.is_of_all() { Pen::Plane(plane) } else { Pen::Outline };
        let name = self.set.gear(gear.gear).name().to_owned();
        let part = GearTag { gear: name, pin: gear.pin, view: view.side.key(), plane: plane + 1 };
        Shape::Area { contours: contours.collect(), pen, hatch, part: Some(part) }
    }

    /// The line of centres, the number of the pin and the mark.
    fn pin(&self, sheet: &mut Sheet, view: View, mark: &PlacedMark, reach: f64) {
        let Some(gear) = self.gear_of(mark) else { return };
        let center = if self.is_of_all() { mark.center } else { gear.center };
        let outward = mark.to_axis + PI;
        sheet.line(view.axis, view.from([0.0; 2], reach + 3.0, outward), Pen::Center);
        let [x, y] = view.from([0.0; 2], reach + NUMBER, outward);
        sheet.bold([x, y + TEXT * 0.35], TEXT, Anchor::Middle, mark.pin.to_string());
        sheet.cross(view.at(center), 1.5);
        let inner = self.gears().map(|(_, gear)| gear).filter(|gear| gear.is_of(self.set, mark));
        let radius =
            inner.map(|gear| gear.form.root_radius().min(gear.form.tip_radius())).fold(f64::INFINITY, f64::min);
        let spot = (radius * 0.06).clamp(0.7, 1.4);
        let at = view.from(center, radius - spot, mark.direction);
        sheet.line(view.at(center), at, Pen::Outline);
        sheet.shapes.push(Shape::Spot { center: at, radius: spot });
    }

    /// The name of a gear where no line runs, as far as there is such a place.
    fn label(&self, sheet: &mut Sheet, view: View, gear: &PlacedGear) {
        let words = notes::gear(self.set, gear.gear);
        if gear.form.teeth == Teeth::Internal {
            let at = view.from(
                gear.center,
                gear.reach() + 2.5,
                -PI / 4.0 * if view.side == Side::Input { 1.0 } else { 3.0 },
            );
            sheet.words([at[0], at[1] + TEXT], TEXT, Anchor::Start, words);
            return;
        }
        let root = gear.form.root_radius();
        let lines: Vec<f64> = self.lines_from(gear).collect();
        let free = |direction: &f64| lines.iter().map(|line| apart(*direction, *line)).fold(PI, f64::min);
        let candidates = (0..16).map(|part| TAU * f64::from(part) / 16.0);
        let direction = candidates.max_by(|a, b| free(a).total_cmp(&free(b))).unwrap_or(0.0);
        // Smaller letters are not legible on paper; a white edge lifts them off what they cross.
        let size = (root * 0.28).clamp(2.5, 3.6);
        let [x, y] = view.from(gear.center, root * 0.55, direction);
        sheet.words([x, y + size * 0.35], size, Anchor::Middle, shortened(&words, size, 2.0 * root));
    }

    /// The directions of the lines that leave the centre of a gear.
    fn lines_from(&self, gear: &PlacedGear) -> impl Iterator<Item = f64> {
        let lines = self.marks().filter(|mark| gear.pin.is_none() || gear.is_of(self.set, mark));
        lines.flat_map(move |mark| {
            let of_pin = [mark.direction, mark.to_axis, mark.to_axis + PI];
            if gear.pin.is_some() { of_pin.to_vec() } else { vec![mark.to_axis + PI] }
        })
    }

    /// The name of a view and where its marks stand; where the text ends.
    fn below(&self, sheet: &mut Sheet, view: View, [left, top]: [f64; 2], cell: f64) -> f64 {
        let mut y = top + 3.0;
        for line in wrapped(view.side.caption(), TEXT * 1.1, cell) {
            sheet.bold([view.axis[0], y], TEXT * 1.1, Anchor::Middle, line);
            y += STEP;
        }
        y += 1.0;
        for (index, line) in wrapped(notes::marks_heading(self.timed), TEXT, cell).into_iter().enumerate() {
            y += if index == 0 { 0.0 } else { STEP };
            sheet.words([left, y], TEXT, Anchor::Start, line);
        }
        for mark in self.marks() {
            let counted_on: Option<GearId> = self.gear_of(mark).map(|gear| gear.gear);
            let line = counted_on.map(|gear| notes::mark_line(self.set, self.timed, mark, gear, view.side));
            for line in line.iter().flat_map(|line| wrapped(line, TEXT, cell - 4.0)) {
                y += STEP;
                sheet.words([left + 2.0, y], TEXT, Anchor::Start, line);
            }
        }
        y + STEP
    }

    /// Which line is which plane; where the text goes on.
    fn legend(&self, sheet: &mut Sheet, top: f64) -> f64 {
        let mut y = top;
        if self.is_of_all() {
            for &plane in &self.planes {
                sheet.line([EDGE, y - 1.0], [EDGE + 22.0, y - 1.0], Pen::Plane(plane));
                let name = notes::plane_name(self.set, &self.layout.planes[plane]);
                let words = shortened(&format!("plane {}: {name}", plane + 1), TEXT, sheet.size[0] - 34.0);
                sheet.words([EDGE + 25.0, y], TEXT, Anchor::Start, words);
                y += STEP + 0.6;
            }
            y += 1.0;
        }
        y
    }
}

/// The outline of a gear; that of a ring with its rim.
pub(super) fn contours(gear: &PlacedGear) -> Vec<Vec<[f64; 2]>> {
    const CHORDS: u32 = 360;
    if gear.form.teeth == Teeth::External {
        return vec![gear.points.clone()];
    }
    let rim = (0..CHORDS).map(|chord| TAU * f64::from(chord) / f64::from(CHORDS));
    let [x, y] = gear.center;
    let rim = rim.map(|angle| [x + gear.reach() * angle.cos(), y + gear.reach() * angle.sin()]).collect();
    vec![rim, gear.points.clone()]
}

/// The angle between two directions.
fn apart(a: f64, b: f64) -> f64 {
    let angle = (a - b).rem_euclid(TAU);
    angle.min(TAU - angle)
}
