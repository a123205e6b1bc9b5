//! Paper discs of each planet: cut out, laid on the pin, arrow to the centre, and the mark of the
//! real planet belongs where the mark of the disc is.
//!
//! A disc carries the outlines of all gears of its planet in register, each plane in its own line.
//! There is one for each pin and side; those of the two sides, mirror images of each other, are on different sheets.
//! Discs that fit on a page are never cut by its edge; one that is larger gets a sheet of its own, whose pages are
//! joined like those of a face view.

use std::f64::consts::{FRAC_PI_2, PI};

use super::Paper;
use super::face::{View, contours};
use super::layout::{Layout, PlacedGear, PlacedMark};
use super::notes;
use super::pages::window;
use super::sheet::{Anchor, GearTag, Hatch, Pen, Shape, Sheet, Weight, shortened, wrapped};
use crate::gearset::{Gearset, MemberId, Side};
use crate::timing::GroupTiming;

const TEXT: f64 = 3.0;
const STEP: f64 = 4.0;
/// Paper outside the longest teeth, in millimetres.
const EDGE: f64 = 3.0;
/// Words have no room inside roots of a smaller radius.
const LEAST_ROOT: f64 = 12.0;
/// Paper outside the teeth where the words of the disc stand there.
const EDGE_WITH_WORDS: f64 = 14.0;
/// The least width of words beside a disc.
const LEAST_WIDTH_BESIDE: f64 = 60.0;
/// The size of the words on a disc, whose letters are then at least 1.8 mm high.
const ON_DISC: [f64; 2] = [2.6, 3.2];
/// The least width of a disc with its words.
const LEAST_WIDTH: f64 = 96.0;

/// The discs of every planet of a group with the end of their file names.
pub(super) fn sheets(set: &Gearset, timed: &GroupTiming, layout: &Layout, paper: Paper) -> Vec<(String, Sheet)> {
    let discs = |(index, &planet): (usize, &MemberId)| {
        let discs = Discs::new(set, timed, layout, planet, window(paper));
        let name = format!("planet-{}", index + 1);
        if discs.fit(window(paper)) { discs.sheets(&name, window(paper)) } else { discs.single_sheets(&name) }
    };
    timed.planets.iter().enumerate().flat_map(discs).collect()
}

struct Discs<'a> {
    set: &'a Gearset,
    timed: &'a GroupTiming,
    layout: &'a Layout,
    planet: MemberId,
    /// Of the paper that is cut out.
    radius: f64,
    /// Of the longest teeth, where the words stand outside of them for want of room inside.
    words_beyond: Option<f64>,
    /// The width of the words.
    width: f64,
    /// Whether the words stand beside the disc: where no second disc has room there.
    beside: bool,
}

impl<'a> Discs<'a> {
    fn new(set: &'a Gearset, timed: &'a GroupTiming, layout: &'a Layout, planet: MemberId, window: [f64; 2]) -> Self {
        let gears = || layout.gears.iter().flatten().filter(|gear| set.gear(gear.gear).member() == planet);
        let reach = gears().map(PlacedGear::reach).fold(0.0, f64::max);
        let root = gears().map(|gear| gear.form.root_radius()).fold(f64::INFINITY, f64::min);
        let words_beyond = (root < LEAST_ROOT).then_some(reach);
        let radius = reach + if words_beyond.is_some() { EDGE_WITH_WORDS } else { EDGE };
        let disc = 2.0 * radius + 4.0;
        let room = window[0] - disc;
        let beside = room < disc && room >= LEAST_WIDTH_BESIDE;
        Self {
            set,
            timed,
            layout,
            planet,
            radius,
            words_beyond,
            width: if beside { room } else { disc.max(LEAST_WIDTH) },
            beside,
        }
    }

    fn marks(&self) -> impl Iterator<Item = &'a PlacedMark> {
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

    /// Every disc: a pin and the side that is up.
    fn discs(&self) -> Vec<(&'a PlacedMark, Side)> {
        self.marks().flat_map(|mark| [(mark, Side::Input), (mark, Side::Output)]).collect()
    }

    /// The room of the largest disc with its words.
    fn cell(&self) -> [f64; 2] {
        let lines = |(mark, side): (&PlacedMark, Side)| self.lines(mark, side).len() + self.gears(mark.pin).count();
        let lines = self.discs().into_iter().map(lines).max().unwrap_or(0);
        let (disc, words) = (2.0 * self.radius + 4.0, float(lines) * STEP + 2.0);
        if self.beside { [disc + self.width, disc.max(words + STEP)] } else { [self.width, disc + words] }
    }

    fn fit(&self, window: [f64; 2]) -> bool {
        self.cell().iter().zip(window).all(|(cell, window)| *cell <= window)
    }

    fn title(&self) -> String {
        format!("{}: paper discs of \"{}\"", self.set.title(), self.set.member(self.planet).name())
    }

    /// A sheet for each side, no disc cut by the edge of a page.
    fn sheets(&self, name: &str, window: [f64; 2]) -> Vec<(String, Sheet)> {
        let sheet = |side: Side| (format!("{name}-{}", side.key()), self.sheet(side, window));
        [Side::Input, Side::Output].map(sheet).into()
    }

    fn sheet(&self, side: Side, window: [f64; 2]) -> Sheet {
        let cell = self.cell();
        let title = format!("{}, {} side up", self.title(), side.key());
        let mut sheet = Sheet { overlap: 0.0, ..Sheet::new(title, self.layout.least_module()) };
        for (index, mark) in self.marks().enumerate() {
            let corner = place(index, cell, window);
            sheet.size = [0, 1].map(|axis| sheet.size[axis].max(corner[axis] + cell[axis]));
            self.disc_at(&mut sheet, mark, side, corner);
        }
        sheet
    }

    /// A sheet for each disc, to be joined of several pages.
    fn single_sheets(&self, name: &str) -> Vec<(String, Sheet)> {
        let sheet = |(mark, side): (&PlacedMark, Side)| {
            let title = format!("{}, pin {}, {} side up", self.title(), mark.pin, side.key());
            let mut sheet = Sheet { size: self.cell(), ..Sheet::new(title, self.layout.least_module()) };
            self.disc_at(&mut sheet, mark, side, [0.0; 2]);
            (format!("{name}-pin-{}-{}", mark.pin, side.key()), sheet)
        };
        self.discs().into_iter().map(sheet).collect()
    }

    /// A disc with its words in the cell at this corner.
    fn disc_at(&self, sheet: &mut Sheet, mark: &PlacedMark, side: Side, [left, top]: [f64; 2]) {
        let disc = 2.0 * self.radius + 4.0;
        let middle = if self.beside { disc / 2.0 } else { self.width / 2.0 };
        let view = View { side, axis: [left + middle, top + disc / 2.0] };
        self.disc(sheet, mark, view);
        self.words(
            sheet,
            mark,
            side,
            if self.beside { [left + disc, top + 2.0] } else { [left + 1.0, top + disc - 2.0] },
        );
    }

    fn disc(&self, sheet: &mut Sheet, mark: &PlacedMark, view: View) {
        // The line to the centre points down.
        let turned = -FRAC_PI_2 - mark.to_axis;
        sheet.circle(view.axis, self.radius, Pen::Cut);
        for (plane, gear) in self.gears(mark.pin) {
            let placed = |point: [f64; 2]| view.at(rotated(from(point, gear.center), turned));
            let contours = contours(gear).into_iter().map(|contour| contour.into_iter().map(placed).collect());
            let part = GearTag {
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
        self.center_line(sheet, view, mark, turned);
    }

    /// The line of centres with its arrow, and the mark.
    fn center_line(&self, sheet: &mut Sheet, view: View, mark: &PlacedMark, turned: f64) {
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
        self.words_on_disc(sheet, view, mark, root);
    }

    /// Which pin, which side up, and whether it fits.
    fn words_on_disc(&self, sheet: &mut Sheet, view: View, mark: &PlacedMark, root: f64) {
        let direction = mark.direction - FRAC_PI_2 - mark.to_axis;
        let size = (root * 0.2).clamp(ON_DISC[0], ON_DISC[1]);
        let [x, y] = view.axis;
        let aside = self.words_beyond.map_or(root / 2.0, |reach| reach + EDGE_WITH_WORDS / 2.0 - 0.5);
        let aside = x + away_from_mark(view, direction) * aside;
        sheet.bold([aside, y - size * 0.7], size, Anchor::Middle, format!("pin {}", mark.pin));
        sheet.words([aside, y + size * 0.5], size, Anchor::Middle, view.side.key());
        sheet.words([aside, y + size * 1.7], size, Anchor::Middle, "side up");
        if let Some(words) = self.refusal(mark) {
            // Above the middle, or below it where the mark points up.
            let up = if direction.sin() > 0.4 { 1.0 } else { -1.0 };
            let far = self.words_beyond.map_or((root * 0.6).max(3.2 * size), |reach| reach + 2.0 * size);
            let middle = y + up * far + size * 0.35;
            sheet.bold([x, middle - size * 0.6], size, Anchor::Middle, words[0]);
            sheet.bold([x, middle + size * 0.6], size, Anchor::Middle, words[1]);
        }
    }

    /// What is said on the disc itself where something does not fit.
    fn refusal(&self, mark: &PlacedMark) -> Option<[&'static str; 2]> {
        if self.timed.pins[mark.pin - 1].turns.is_none() {
            Some(["DOES NOT", "FIT"])
        } else if self.timed.assembles {
            None
        } else {
            Some(["SET DOES", "NOT FIT"])
        }
    }

    /// What is said of a disc, above its legend; the first is the heading.
    fn lines(&self, mark: &PlacedMark, side: Side) -> Vec<(Weight, String)> {
        let heading = format!("pin {}, {} side up; arrow to the centre", mark.pin, side.key());
        let counted_on = self.gears(mark.pin).next().map(|(_, gear)| gear.gear);
        let place = counted_on.map(|gear| notes::mark_line(self.set, self.timed, mark, gear, side));
        let scale = notes::scale(self.set, self.layout);
        let lines = [(Weight::Bold, Some(heading)), (Weight::Plain, place), (Weight::Plain, Some(scale))];
        let wrapped = |(weight, line): (Weight, Option<String>)| {
            let lines = line.map(|line| wrapped(&line, TEXT, self.width - 2.0)).unwrap_or_default();
            lines.into_iter().map(move |line| (weight, shortened(&line, TEXT, self.width - 2.0)))
        };
        lines.into_iter().flat_map(wrapped).collect()
    }

    /// Words and legend of a disc, below this place.
    fn words(&self, sheet: &mut Sheet, mark: &PlacedMark, side: Side, [left, top]: [f64; 2]) {
        let mut y = top;
        for (weight, words) in self.lines(mark, side) {
            y += STEP;
            sheet.shapes.push(Shape::Words { at: [left, y], size: TEXT, anchor: Anchor::Start, weight, words });
        }
        for (plane, gear) in self.gears(mark.pin) {
            y += STEP;
            sheet.line([left, y - 1.0], [left + 9.0, y - 1.0], Pen::Plane(plane));
            let name = shortened(&notes::gear(self.set, gear.gear), TEXT, self.width - 14.0);
            sheet.words([left + 10.5, y], TEXT, Anchor::Start, name);
        }
    }
}

/// To the right (1) or to the left (-1), whichever the mark in this direction does not point to.
fn away_from_mark(view: View, mark: f64) -> f64 {
    let right = mark.cos() * if view.side == Side::Input { 1.0 } else { -1.0 } > 0.0;
    if right { -1.0 } else { 1.0 }
}

/// Where a disc that fits on a page lies: row by row, page below page.
fn place(index: usize, cell: [f64; 2], window: [f64; 2]) -> [f64; 2] {
    let fit = |axis: usize| (2..1000).take_while(|&count| float(count) * cell[axis] <= window[axis]).count() + 1;
    let [columns, rows] = [fit(0), fit(1)];
    let (page, on_page) = (index / (columns * rows), index % (columns * rows));
    [float(on_page % columns) * cell[0], float(page) * window[1] + float(on_page / columns) * cell[1]]
}

fn float(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

fn from([x, y]: [f64; 2], center: [f64; 2]) -> [f64; 2] {
    [x - center[0], y - center[1]]
}

fn rotated([x, y]: [f64; 2], angle: f64) -> [f64; 2] {
    let (sin, cos) = (angle % (2.0 * PI)).sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}
