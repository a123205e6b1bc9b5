//! Paper discs of each planet: cut out, laid on the pin, arrow to the centre, and the mark of the
//! real planet belongs where the mark of the disc is.
//!
//! A disc carries the outlines of all gears of its planet in register, each plane in its own line.
//! There is one for each pin and side. No disc is cut by the edge of a page as long as it is
//! smaller than the page.

use std::f64::consts::{FRAC_PI_2, PI};

use super::Paper;
use super::face::{View, contours};
use super::layout::{Layout, Mark, PlacedGear};
use super::notes;
use super::pages::window;
use super::pins::Side;
use super::sheet::{Anchor, Hatch, Part, Pen, Shape, Sheet, shortened, width_of, wrapped};
use crate::gearset::{Gearset, MemberId};
use crate::timing::GroupTiming;

const TEXT: f64 = 3.0;
const STEP: f64 = 4.0;
/// Paper outside the longest teeth, in millimetres.
const EDGE: f64 = 3.0;
/// Lines of words below a disc.
const LINES: f64 = 4.0;
/// The least width of a disc with its words.
const LEAST_WIDTH: f64 = 84.0;

/// The discs of every planet of a group with the end of their file names.
pub(super) fn sheets(set: &Gearset, timed: &GroupTiming, layout: &Layout, paper: Paper) -> Vec<(String, Sheet)> {
    let discs = |(index, &planet): (usize, &MemberId)| {
        let discs = Discs::new(set, timed, layout, planet);
        (format!("planet-{}", index + 1), discs.sheet(paper))
    };
    timed.planets.iter().enumerate().map(discs).collect()
}

struct Discs<'a> {
    set: &'a Gearset,
    timed: &'a GroupTiming,
    layout: &'a Layout,
    planet: MemberId,
    /// Of the paper that is cut out.
    radius: f64,
}

impl<'a> Discs<'a> {
    fn new(set: &'a Gearset, timed: &'a GroupTiming, layout: &'a Layout, planet: MemberId) -> Self {
        let gears = layout.gears.iter().flatten().filter(|gear| set.gear(gear.gear).member() == planet);
        let reach = gears.map(PlacedGear::reach).fold(0.0, f64::max);
        Self { set, timed, layout, planet, radius: reach + EDGE }
    }

    fn marks(&self) -> impl Iterator<Item = &'a Mark> {
        let planet = self.planet;
        self.layout.marks.iter().filter(move |mark| mark.planet == planet)
    }

    /// The gears on a pin with their planes.
    fn gears(&self, pin: usize) -> impl Iterator<Item = (usize, &'a PlacedGear)> {
        let (set, planet) = (self.set, self.planet);
        let planes = self.layout.gears.iter().enumerate();
        planes
            .flat_map(|(plane, gears)| gears.iter().map(move |gear| (plane, gear)))
            .filter(move |(_, gear)| gear.pin == Some(pin) && set.gear(gear.gear).member() == planet)
    }

    fn sheet(&self, paper: Paper) -> Sheet {
        let cell = [(2.0 * self.radius + 4.0).max(LEAST_WIDTH), 2.0 * self.radius + LINES * STEP + 4.0];
        let discs: Vec<(&Mark, Side)> =
            self.marks().flat_map(|mark| [(mark, Side::Input), (mark, Side::Output)]).collect();
        let name = self.set.member(self.planet).name();
        let title = format!("{}: paper discs of \"{name}\"", self.set.title());
        let mut sheet = Sheet { overlap: 0.0, ..Sheet::new(title, self.layout.least_module()) };
        for (index, (mark, side)) in discs.into_iter().enumerate() {
            let [left, top] = place(index, cell, window(paper));
            sheet.size = [sheet.size[0].max(left + cell[0]), sheet.size[1].max(top + cell[1])];
            let view = View { side, axis: [left + cell[0] / 2.0, top + 2.0 + self.radius] };
            self.disc(&mut sheet, mark, view);
            self.words(&mut sheet, mark, view, cell[0]);
        }
        sheet
    }

    fn disc(&self, sheet: &mut Sheet, mark: &Mark, view: View) {
        // The line to the centre points down.
        let turned = -FRAC_PI_2 - mark.to_axis;
        sheet.circle(view.axis, self.radius, Pen::Cut);
        for (plane, gear) in self.gears(mark.pin) {
            let placed = |point: [f64; 2]| view.at(rotated(from(point, gear.center), turned));
            let contours = contours(gear).into_iter().map(|contour| contour.into_iter().map(placed).collect());
            let part = Part {
                gear: self.set.gear(gear.gear).name().to_owned(),
                pin: Some(mark.pin),
                view: view.side.key(),
                plane: plane + 1,
            };
            sheet.shapes.push(Shape::Area {
                contours: contours.collect(),
                pen: Pen::Plane(plane),
                hatch: Hatch::None,
                part: Some(part),
            });
        }
        self.lines(sheet, view, mark, turned);
    }

    /// The line of centres with its arrow, and the mark.
    fn lines(&self, sheet: &mut Sheet, view: View, mark: &Mark, turned: f64) {
        let center = view.axis;
        let down = |radius: f64, aside: f64| [center[0] + aside, center[1] + radius];
        sheet.line(down(-self.radius, 0.0), down(self.radius, 0.0), Pen::Center);
        for aside in [-1.5, 1.5] {
            sheet.line(down(self.radius - 3.0, aside), down(self.radius, 0.0), Pen::Outline);
        }
        let roots = self.gears(mark.pin).map(|(_, gear)| gear.form.root_radius().min(gear.form.tip_radius()));
        let root = roots.fold(f64::INFINITY, f64::min);
        sheet.cross(center, (root * 0.2).min(3.0));
        let spot = (root * 0.06).clamp(0.7, 1.4);
        let direction = mark.direction + turned;
        let polar = |radius: f64| view.at([radius * direction.cos(), radius * direction.sin()]);
        sheet.line(center, polar(root - spot), Pen::Outline);
        sheet.shapes.push(Shape::Spot { center: polar(root - spot), radius: spot });
        sheet.line(polar(self.radius - EDGE), polar(self.radius), Pen::Outline);
        let [x, y] = free_place(view, mark.direction + turned, root);
        let size = (root * 0.2).clamp(1.2, 3.2);
        sheet.bold([x, y - size * 0.7], size, Anchor::Middle, format!("pin {}", mark.pin));
        sheet.words([x, y + size * 0.5], size, Anchor::Middle, view.side.key());
        sheet.words([x, y + size * 1.7], size, Anchor::Middle, "side up");
    }

    /// What is said below a disc.
    fn words(&self, sheet: &mut Sheet, mark: &Mark, view: View, width: f64) {
        let (side, [x, y]) = (view.side, view.axis);
        let left = x - width / 2.0 + 1.0;
        let mut y = y + self.radius + STEP;
        let heading = format!("pin {}, {} side up; arrow to the centre", mark.pin, side.key());
        sheet.bold([left, y], TEXT, Anchor::Start, heading);
        let counted_on = self.gears(mark.pin).next().map(|(_, gear)| gear.gear);
        let place = counted_on.map(|gear| notes::mark_line(self.set, self.timed, mark, gear, side)).unwrap_or_default();
        let scale = notes::scale(self.set, self.layout);
        let lines = [place, scale];
        for line in lines.iter().filter_map(|line| wrapped(line, TEXT, width).into_iter().next()) {
            y += STEP;
            sheet.words([left, y], TEXT, Anchor::Start, shortened(&line, TEXT, width));
        }
        self.legend(sheet, mark, [left, y + STEP], width);
    }

    /// Which line is which gear.
    fn legend(&self, sheet: &mut Sheet, mark: &Mark, [left, y]: [f64; 2], width: f64) {
        let gears: Vec<(usize, String)> =
            self.gears(mark.pin).map(|(plane, gear)| (plane, notes::gear(self.set, gear.gear))).collect();
        let mut x = left;
        for (plane, name) in &gears {
            let room = width / f64::from(u32::try_from(gears.len()).unwrap_or(u32::MAX)) - 14.0;
            sheet.line([x, y - 1.0], [x + 9.0, y - 1.0], Pen::Plane(*plane));
            let name = shortened(name, TEXT, room);
            sheet.words([x + 10.5, y], TEXT, Anchor::Start, name.clone());
            x += 14.0 + width_of(&name, TEXT).min(room);
        }
    }
}

/// Where words on a disc are crossed by neither the line of centres nor the mark in this direction.
fn free_place(view: View, mark: f64, root: f64) -> [f64; 2] {
    let right = mark.cos() * if view.side == Side::Input { 1.0 } else { -1.0 } > 0.0;
    let aside = if right { -root / 2.0 } else { root / 2.0 };
    [view.axis[0] + aside, view.axis[1]]
}

/// Where a disc lies: row by row, page below page, no page cutting one that is smaller than it.
fn place(index: usize, cell: [f64; 2], window: [f64; 2]) -> [f64; 2] {
    let float = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let fit = |axis: usize| (1..1000).take_while(|&count| float(count) * cell[axis] <= window[axis]).count();
    let [columns, rows] = [fit(0), fit(1)];
    if columns == 0 || rows == 0 {
        return [0.0, float(index) * cell[1]];
    }
    let (page, on_page) = (index / (columns * rows), index % (columns * rows));
    [float(on_page % columns) * cell[0], float(page) * window[1] + float(on_page / columns) * cell[1]]
}

fn from([x, y]: [f64; 2], center: [f64; 2]) -> [f64; 2] {
    [x - center[0], y - center[1]]
}

fn rotated([x, y]: [f64; 2], angle: f64) -> [f64; 2] {
    let (sin, cos) = (angle % (2.0 * PI)).sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}
