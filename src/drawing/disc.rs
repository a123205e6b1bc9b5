//! Paper discs of each planet: cut out, laid on the pin, arrow to the centre, and the mark of the
//! real planet belongs where the mark of the disc is.
//!
//! A disc carries the outlines of all gears of its planet in register, each plane in its own line. Its mark runs from
//! the centre to the rim, so that it is seen beside a planet that lies on the paper, and at any smaller circle that
//! the disc is cut to. There is one for each pin and side; those of the two sides, mirror images of each other, are on
//! different sheets. What a small disc has no room for stands on a tab, and the whole legend beside the disc.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::face::{View, contours};
use super::layout::{Layout, PlacedGear, PlacedMark};
use super::notes;
use super::numbers::short;
use super::packing::{Piece, Rectangle};
use super::sheet::{Anchor, GearTag, Hatch, Pen, Shape, Sheet, Weight, shortened, width_of, wrapped};
use crate::gearset::{Gearset, Side};
use crate::timing::{GroupTiming, MarkingConvention};

/// The size of the words beside a disc.
const TEXT: f64 = 3.0;
const STEP: f64 = 4.0;
/// Paper outside the longest teeth, in millimetres.
const EDGE: f64 = 3.0;
/// The sizes of the words on a disc, whose letters are then at least 1.8 mm high.
const ON_DISC: [f64; 3] = [3.2, 2.9, 2.6];
/// From one line of the words on a disc to the next, of their size.
const LEADING: f64 = 1.2;
/// From the line of centres to the words on a disc.
const FROM_LINE: f64 = 0.8;
/// From the line of centres to the middle of those words at most: a large disc is joined of pages, of which they are
/// to stand on one.
const FARTHEST: f64 = 30.0;
/// The sample of a line in the legend, with the room before its words.
const SAMPLE: [f64; 2] = [9.0, 10.5];

/// The disc of a planet for a pin, with the side that is up.
pub(super) struct Disc<'a> {
    set: &'a Gearset,
    timed: &'a GroupTiming,
    layout: &'a Layout,
    pub(super) mark: &'a PlacedMark,
    side: Side,
    /// The gears of the planet with their planes.
    gears: Vec<(usize, &'a PlacedGear)>,
    /// Of the paper that is cut out.
    radius: f64,
    /// The least radius at which a gear has teeth.
    root: f64,
}

impl<'a> Disc<'a> {
    pub(super) fn new(
        set: &'a Gearset,
        timed: &'a GroupTiming,
        layout: &'a Layout,
        mark: &'a PlacedMark,
        side: Side,
    ) -> Self {
        let planes = layout.gears.iter().enumerate();
        let gears = planes.flat_map(|(plane, gears)| gears.iter().map(move |gear| (plane, gear)));
        let gears: Vec<_> = gears.filter(|(_, gear)| gear.is_of(set, mark)).collect();
        let radius = gears.iter().map(|(_, gear)| gear.reach()).fold(0.0, f64::max) + EDGE;
        let roots = gears.iter().map(|(_, gear)| gear.form.root_radius().min(gear.form.tip_radius()));
        let root = roots.fold(f64::INFINITY, f64::min);
        Self { set, timed, layout, mark, side, gears, radius, root }
    }

    /// What has to find room on a page, with words at most as wide as this.
    pub(super) fn piece(&self, most: f64) -> Piece {
        let lines = self.lines(most);
        let legend = self.gears.iter().map(|(_, gear)| SAMPLE[1] + width_of(&self.name(gear, most), TEXT));
        let widths = lines.iter().map(|(_, line)| width_of(line, TEXT));
        let width = widths.chain(legend).fold(0.0, f64::max);
        let height = float(lines.len() + self.gears.len()) * STEP + 1.0;
        Piece { radius: self.radius, tab: self.tab(), words: [width, height] }
    }

    /// The direction of the mark from the arrow's line, which points down.
    fn direction(&self) -> f64 {
        self.mark.direction + self.turned()
    }

    /// By how much the layout is turned so that the line to the centre points down.
    fn turned(&self) -> f64 {
        -FRAC_PI_2 - self.mark.to_axis
    }

    /// To the right (1) or to the left (-1), whichever the mark does not point to.
    fn away_from_mark(&self) -> f64 {
        let right = self.direction().cos() * if self.side == Side::Input { 1.0 } else { -1.0 } > 1e-9;
        if right { -1.0 } else { 1.0 }
    }

    /// Width and height of the words on the disc.
    fn size_of_words(&self, size: f64) -> [f64; 2] {
        let words = self.words_on_disc();
        let longest = words.iter().map(|(_, line)| width_of(line, size) * 1.15).fold(0.0, f64::max);
        [longest, float(words.len()) * LEADING * size]
    }

    /// The greatest size at which the words have room inside the teeth on one side of the line of centres, with the
    /// distance of their middle from it.
    fn inside(&self) -> Option<(f64, f64)> {
        ON_DISC.into_iter().find_map(|size| {
            let [width, height] = self.size_of_words(size);
            // Half the chord of the root circle at the upper and lower end of the words.
            let chord = (self.root.powi(2) - (height / 2.0).powi(2)).max(0.0).sqrt();
            let middle = f64::midpoint(chord, FROM_LINE).min(FARTHEST);
            (chord - FROM_LINE >= width).then_some((size, middle))
        })
    }

    /// The tab for the words of a disc without room for them, about its centre.
    fn tab(&self) -> Option<Rectangle> {
        let [longest, height] = self.size_of_words(ON_DISC[2]);
        let height = height + 2.0;
        // It begins where its corners are on the rim.
        let start = (self.radius.powi(2) - (height / 2.0).powi(2)).max(0.0).sqrt();
        let length = self.radius - start + longest + 3.0;
        let left = if self.away_from_mark() > 0.0 { start } else { -start - length };
        let tab = Rectangle { corner: [left, -height / 2.0], size: [length, height] };
        self.inside().is_none().then_some(tab)
    }

    /// Draws the disc about a centre.
    pub(super) fn draw(&self, sheet: &mut Sheet, center: [f64; 2]) {
        let view = View { side: self.side, axis: center };
        sheet.shapes.push(self.rim(center));
        for &(plane, gear) in &self.gears {
            sheet.shapes.push(self.gear(view, plane, gear));
        }
        self.arrow(sheet, center);
        self.mark(sheet, view);
        self.words_of_disc(sheet, center);
    }

    /// The line to cut along, round the tab where there is one.
    fn rim(&self, center: [f64; 2]) -> Shape {
        const CHORDS: u32 = 720;
        let Some(tab) = self.tab() else { return Shape::Circle { center, radius: self.radius, pen: Pen::Cut } };
        let (away, half) = (self.away_from_mark(), tab.size[1] / 2.0);
        let from = (half / self.radius).min(1.0).asin();
        let arc = (0..=CHORDS).map(|chord| from + (TAU - 2.0 * from) * f64::from(chord) / f64::from(CHORDS));
        let mut contour: Vec<[f64; 2]> =
            arc.map(|angle| [away * self.radius * angle.cos(), self.radius * angle.sin()]).collect();
        let end = tab.corner[0].abs().max((tab.corner[0] + tab.size[0]).abs());
        contour.extend([[away * end, -half], [away * end, half]]);
        let contour = contour.into_iter().map(|[x, y]| [center[0] + x, center[1] + y]).collect();
        Shape::Area { contours: vec![contour], pen: Pen::Cut, hatch: Hatch::None, part: None }
    }

    fn gear(&self, view: View, plane: usize, gear: &PlacedGear) -> Shape {
        let placed = |point: [f64; 2]| view.at(rotated(from(point, gear.center), self.turned()));
        let contours = contours(gear).into_iter().map(|contour| contour.into_iter().map(placed).collect());
        let part = GearTag {
            gear: self.set.gear(gear.gear).name().to_owned(),
            pin: Some(self.mark.pin),
            view: self.side.key(),
            plane: plane + 1,
        };
        Shape::Area { contours: contours.collect(), pen: Pen::Plane(plane), hatch: Hatch::None, part: Some(part) }
    }

    /// The line of centres with its arrow.
    fn arrow(&self, sheet: &mut Sheet, center: [f64; 2]) {
        let down = |radius: f64, aside: f64| [center[0] + aside, center[1] + radius];
        sheet.line(down(-self.radius, 0.0), down(self.radius, 0.0), Pen::Center);
        for aside in [-1.5, 1.5] {
            sheet.line(down(self.radius - EDGE, aside), down(self.radius, 0.0), Pen::Outline);
        }
        sheet.cross(center, (self.root * 0.2).min(3.0));
    }

    /// The mark: from the centre to the rim, with a dot inside the teeth.
    fn mark(&self, sheet: &mut Sheet, view: View) {
        let direction = self.direction();
        let polar = |radius: f64| view.at([radius * direction.cos(), radius * direction.sin()]);
        let spot = (self.root * 0.06).clamp(0.7, 1.4);
        sheet.line(view.axis, polar(self.radius), Pen::Mark);
        sheet.shapes.push(Shape::Spot { center: polar(self.root - spot), radius: spot });
    }

    /// Which pin, which side up, and whether it fits.
    fn words_on_disc(&self) -> Vec<(Weight, String)> {
        let plain = [self.side.key(), "side up"].map(|words| (Weight::Plain, words.to_owned()));
        let refusal = self.refusal().unwrap_or(&[]).iter().map(|&words| (Weight::Bold, words.to_owned()));
        std::iter::once((Weight::Bold, format!("pin {}", self.mark.pin))).chain(plain).chain(refusal).collect()
    }

    /// The words on the paper that is cut out: inside the teeth or on the tab.
    fn words_of_disc(&self, sheet: &mut Sheet, [x, y]: [f64; 2]) {
        let lines = self.words_on_disc();
        let (size, middle) = self.inside().unwrap_or_else(|| {
            let end = self.tab().map_or(0.0, |tab| tab.corner[0].abs().max((tab.corner[0] + tab.size[0]).abs()));
            (ON_DISC[2], f64::midpoint(end, self.radius))
        });
        let middle = self.away_from_mark() * middle;
        let first = y - float(lines.len()) * LEADING * size / 2.0 + size * 0.95;
        for (index, (weight, words)) in lines.into_iter().enumerate() {
            let at = [x + middle, first + float(index) * LEADING * size];
            sheet.shapes.push(Shape::Words { at, size, anchor: Anchor::Middle, weight, words });
        }
    }

    /// What is said on the disc itself where something does not fit.
    fn refusal(&self) -> Option<&'static [&'static str]> {
        if self.timed.pins[self.mark.pin - 1].turns.is_none() {
            Some(&["DOES NOT", "FIT"])
        } else if self.timed.assembles {
            None
        } else {
            Some(&["SET DOES", "NOT FIT"])
        }
    }

    /// What is said beside a disc, above its lines; the first is the heading.
    fn lines(&self, width: f64) -> Vec<(Weight, String)> {
        let (pin, side) = (self.mark.pin, self.side.key());
        let of = if self.timed.planets.len() > 1 {
            format!(" of {}", notes::quoted(self.set, self.mark.planet))
        } else {
            String::new()
        };
        let mut lines = vec![(Weight::Bold, format!("pin {pin}{of}, {side} side up; arrow to the centre"))];
        if let Some((_, counted_on)) = self.gears.first() {
            let place = notes::mark_place(self.set, self.timed, self.mark, counted_on.gear, self.side);
            let the_mark = if self.timed.pins[pin - 1].turns.is_some() { "the mark, " } else { "" };
            lines.push((Weight::Plain, format!("thick line to the rim: {the_mark}{place}")));
        }
        if self.timed.convention == MarkingConvention::AnyTooth {
            lines.push((Weight::Plain, "any tooth will do: whichever drops in is right".into()));
        }
        lines.push((Weight::Plain, self.scale()));
        let wrapped = |(weight, line): (Weight, String)| {
            wrapped(&line, TEXT, width).into_iter().map(move |line| (weight, shortened(&line, TEXT, width)))
        };
        lines.into_iter().flat_map(wrapped).collect()
    }

    fn scale(&self) -> String {
        if self.layout.has_pitch {
            let across = short(2.0 * self.radius, 1);
            format!("{}; {across} mm across", notes::scale(self.set, self.layout))
        } else {
            "NOT TO SCALE: a pitch is missing; the angles are true".into()
        }
    }

    fn name(&self, gear: &PlacedGear, width: f64) -> String {
        shortened(&notes::gear(self.set, gear.gear), TEXT, width - SAMPLE[1])
    }

    /// Words and legend of a disc, not wider than this, below and to the right of a place.
    pub(super) fn words(&self, sheet: &mut Sheet, [left, top]: [f64; 2], width: f64) {
        let mut y = top - 1.0;
        for (weight, words) in self.lines(width) {
            y += STEP;
            sheet.shapes.push(Shape::Words { at: [left, y], size: TEXT, anchor: Anchor::Start, weight, words });
        }
        for &(plane, gear) in &self.gears {
            y += STEP;
            sheet.line([left, y - 1.0], [left + SAMPLE[0], y - 1.0], Pen::Plane(plane));
            sheet.words([left + SAMPLE[1], y], TEXT, Anchor::Start, self.name(gear, width));
        }
    }
}

fn float(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

fn from([x, y]: [f64; 2], center: [f64; 2]) -> [f64; 2] {
    [x - center[0], y - center[1]]
}

fn rotated([x, y]: [f64; 2], angle: f64) -> [f64; 2] {
    let (sin, cos) = (angle % TAU).sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}
