//! A rotor with its heavy spot and the holes to drill, to be laid beside the drill press.
//!
//! The face is seen from the side from which angles are counted, its mark up, at 1:1 where it fits the paper and else at
//! the next usual scale. Places are crosses, holes to drill hatched circles with their numbers, holes that are there
//! plain ones; holes from the rim inward are seen from the side. Below stands what to do at each.

use super::Paper;
use super::numbers::short;
use super::pages::{pages, window};
use super::sheet::{Anchor, GearTag, Hatch, Pen, Shape, Sheet, wrapped};
use crate::bench::{
    DrillingPlace, DrillingTerms, HoleDirection, PlaneBalance, PlannedHole, RotorBalance, WeightToPutOn, point_of_drill,
};

/// Scales of drawings, as what a millimetre on paper stands for.
const SCALES: [f64; 8] = [1.0, 1.5, 2.0, 2.5, 5.0, 10.0, 20.0, 50.0];
/// Room round the rotor for its angles, in millimetres of paper.
const MARGIN: f64 = 14.0;
/// The size of words, and from one line to the next.
const TEXT: f64 = 3.2;
const STEP: f64 = 4.6;
/// Of a circle in straight lines so many.
const SIDES: u32 = 72;

/// A page a plane of the rotor, as SVG of the size of the paper; none where nothing was found.
///
/// # Examples
/// ```
/// use toothmark::bench::{BalanceQuestion, FoundBy, FoundWeight, WeightAmount, WeightSense, balance};
/// use toothmark::drawing::{Paper, rotor_pictures};
/// use toothmark::gearset::Side;
/// let amount = WeightAmount::AtRadius { grams: 22.0, radius: 95.0 };
/// let heavy = FoundWeight { amount, degrees: 100.0, sense: WeightSense::Heavy, along_axis: 0.0 };
/// let found = FoundBy::Weights { weights: vec![heavy], planes: None };
/// let asked = BalanceQuestion { found: Some(found), seen_from: Some(Side::Input), ..BalanceQuestion::default() };
/// let pictures = rotor_pictures(&balance(&asked).unwrap(), "Flywheel", Paper::A4);
/// assert!(pictures[0].contains("heavy"));
/// ```
pub fn rotor_pictures(balance: &RotorBalance, title: &str, paper: Paper) -> Vec<String> {
    let picture = |plane: &PlaneBalance| {
        let face = RotorFace::new(balance, plane, paper);
        let of = if balance.planes.len() > 1 { format!(", plane {}", plane.plane) } else { String::new() };
        let pages = pages(&face.sheet(format!("{title}{of}: balance, {}", face.scale_in_words())), paper);
        // The scale is chosen so that the face fits on one page.
        pages.ok().and_then(|pages| pages.into_iter().next()).map(|page| page.svg).unwrap_or_default()
    };
    balance.planes.iter().map(picture).collect()
}

/// One face of a rotor on its paper.
struct RotorFace<'a> {
    balance: &'a RotorBalance,
    plane: &'a PlaneBalance,
    legend: Vec<String>,
    size: [f64; 2],
    /// What a millimetre on paper stands for.
    scale: f64,
    middle: [f64; 2],
    /// The radius that everything of the rotor lies within, on paper.
    reach: f64,
}

impl<'a> RotorFace<'a> {
    fn new(balance: &'a RotorBalance, plane: &'a PlaneBalance, paper: Paper) -> Self {
        let size = window(paper);
        let legend: Vec<String> =
            legend(balance, plane).iter().flat_map(|line| wrapped(line, TEXT, size[0] - 8.0)).collect();
        let lines = f64::from(u32::try_from(legend.len()).unwrap_or(u32::MAX));
        let height = size[1] - (lines + 2.0) * STEP;
        let room = size[0].min(height) / 2.0 - MARGIN;
        let reach = reach(balance, plane);
        let fits = |scale: &&f64| reach / **scale <= room;
        // What is larger than any scale allows is drawn as large as it fits.
        let scale = SCALES.iter().find(fits).copied().unwrap_or(reach / room);
        Self { balance, plane, legend, size, scale, middle: [size[0] / 2.0, height / 2.0], reach: reach / scale }
    }

    fn scale_in_words(&self) -> String {
        format!("1:{}", short(self.scale, 2))
    }

    fn sheet(&self, title: String) -> Sheet {
        let mut sheet = Sheet { size: self.size, overlap: 0.0, ..Sheet::new(title, 2.5) };
        self.outline(&mut sheet);
        for place in self.places() {
            self.place(&mut sheet, &place);
        }
        for (number, hole) in self.plane.plan.iter().enumerate() {
            self.hole(&mut sheet, hole, number + 1);
        }
        for weight in &self.plane.put_on {
            sheet.shapes.push(Shape::Circle {
                center: self.at(weight.place_degrees, weight.radius_mm),
                radius: 2.5,
                pen: Pen::Outline,
            });
        }
        self.heavy_spot(&mut sheet);
        let below = self.middle[1] + self.reach + MARGIN + STEP;
        let lines = std::iter::successors(Some(below), |y| Some(y + STEP));
        for (line, y) in self.legend.iter().zip(lines) {
            sheet.words([4.0, y], TEXT, Anchor::Start, line.clone());
        }
        sheet
    }

    /// Angles go counter-clockwise from the mark, which is up; on paper y goes down.
    fn at(&self, degrees: f64, radius: f64) -> [f64; 2] {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let radius = radius / self.scale;
        [self.middle[0] - radius * sine, self.middle[1] - radius * cosine]
    }

    /// The rim where it is known, the axis, and the mark.
    fn outline(&self, sheet: &mut Sheet) {
        if let Some(radius) = rim(self.balance) {
            sheet.circle(self.middle, radius / self.scale, Pen::Outline);
        }
        let arm = self.reach;
        let [x, y] = self.middle;
        sheet.line([x - arm, y], [x + arm, y], Pen::Center);
        sheet.line([x, y - arm], [x, y + arm], Pen::Center);
        sheet.line([x, y - self.reach - 2.0], [x, y - self.reach - 8.0], Pen::Mark);
        sheet.bold([x + 2.0, y - self.reach - 6.0], TEXT, Anchor::Start, "mark, 0 deg");
    }

    fn places(&self) -> Vec<DrillingPlace> {
        self.balance.drilling.as_ref().map(|terms| terms.places.clone()).unwrap_or_default()
    }

    /// A cross where a hole may be, its angle outside, and a hole that is there.
    fn place(&self, sheet: &mut Sheet, place: &DrillingPlace) {
        let at = self.at(place.degrees, place.radius_mm);
        sheet.cross(at, 2.0);
        if let Some(drill) = place.drilled_drill_mm.filter(|_| !self.is_radial()) {
            sheet.circle(at, drill / 2.0 / self.scale, Pen::Thin);
        }
        // The mark has its own words.
        if place.degrees > 0.05 && place.degrees < 359.95 {
            let [x, y] = self.at(place.degrees, (self.reach + 6.0) * self.scale);
            sheet.words([x, y + TEXT / 3.0], TEXT * 0.9, Anchor::Middle, short(place.degrees, 1));
        }
    }

    fn is_radial(&self) -> bool {
        self.balance.drilling.as_ref().is_some_and(|terms| terms.direction == HoleDirection::Radial)
    }

    /// A hatched hole with its number towards the axis.
    fn hole(&self, sheet: &mut Sheet, hole: &PlannedHole, number: usize) {
        let contour = if self.is_radial() { self.in_the_rim(hole) } else { self.in_the_face(hole) };
        let part = GearTag { gear: format!("hole {number}"), pin: None, view: "balance", plane: hole.plane };
        sheet.shapes.push(Shape::Area {
            contours: vec![contour],
            pen: Pen::Outline,
            hatch: Hatch::Rising,
            part: Some(part),
        });
        let point = point_of_drill(hole.drill_mm);
        let depth = if self.is_radial() { hole.depth_mm + point } else { hole.drill_mm / 2.0 };
        let [x, y] = self.at(hole.place_degrees, hole.radius_mm - depth - 5.0 * self.scale);
        sheet.bold([x, y + TEXT / 3.0], TEXT, Anchor::Middle, number.to_string());
    }

    fn in_the_face(&self, hole: &PlannedHole) -> Vec<[f64; 2]> {
        let [x, y] = self.at(hole.place_degrees, hole.radius_mm);
        let radius = hole.drill_mm / 2.0 / self.scale;
        let corner = |side: u32| {
            let angle = std::f64::consts::TAU * f64::from(side) / f64::from(SIDES);
            [x + radius * angle.cos(), y + radius * angle.sin()]
        };
        (0..SIDES).map(corner).collect()
    }

    /// Cylinder and point of a hole that is drilled from the rim inward.
    fn in_the_rim(&self, hole: &PlannedHole) -> Vec<[f64; 2]> {
        let (half, rim) = (hole.drill_mm / 2.0, hole.radius_mm);
        let bottom = rim - hole.depth_mm;
        let tip = bottom - point_of_drill(hole.drill_mm);
        let corner = |along: f64, aside: f64| {
            let (sine, cosine) = hole.place_degrees.to_radians().sin_cos();
            let [x, y] = self.at(hole.place_degrees, along);
            [x - aside / self.scale * cosine, y + aside / self.scale * sine]
        };
        vec![corner(rim, half), corner(bottom, half), corner(tip, 0.0), corner(bottom, -half), corner(rim, -half)]
    }

    /// A line towards where the rotor is too heavy, with a spot at its end.
    fn heavy_spot(&self, sheet: &mut Sheet) {
        /// As a part of the reach: inside of the holes.
        const LENGTH: f64 = 0.6;
        let end = self.at(self.plane.found.degrees, self.reach * self.scale * LENGTH);
        sheet.line(self.middle, end, Pen::Mark);
        sheet.shapes.push(Shape::Spot { center: end, radius: 1.8 });
        // Holes are near the heavy side: the words stand across the axis from it.
        let [x, y] = self.at(self.plane.found.degrees + 180.0, 18.0 * self.scale);
        let words = format!("heavy: {} deg", short(self.plane.found.degrees, 1));
        sheet.bold([x, y + TEXT / 3.0], TEXT, Anchor::Middle, words);
    }
}

/// The radius of the rim, where it is known.
fn rim(balance: &RotorBalance) -> Option<f64> {
    let of_places = |terms: &DrillingTerms| terms.places.iter().map(|place| place.radius_mm).fold(0.0, f64::max);
    let by_holes = balance.drilling.as_ref().filter(|terms| terms.direction == HoleDirection::Radial).map(of_places);
    balance.outer_radius_mm.or(by_holes)
}

/// What everything of the rotor lies within, in millimetres.
fn reach(balance: &RotorBalance, plane: &PlaneBalance) -> f64 {
    /// Of a rotor of which no size is known.
    const ANY: f64 = 50.0;
    let terms = balance.drilling.as_ref();
    let drill = terms.map_or(0.0, |terms| terms.drills_mm.iter().copied().fold(0.0, f64::max));
    let places = terms.into_iter().flat_map(|terms| &terms.places).map(|place| place.radius_mm + drill / 2.0);
    let weights = plane.put_on.iter().map(|weight: &WeightToPutOn| weight.radius_mm);
    let reach = places.chain(weights).chain(rim(balance)).fold(0.0, f64::max);
    if reach > 0.0 { reach } else { ANY }
}

/// What stands below the face.
fn legend(balance: &RotorBalance, plane: &PlaneBalance) -> Vec<String> {
    let side = balance.seen_from.map(|side| format!("seen from {}, ", side.name())).unwrap_or_default();
    let mut lines = vec![
        format!("{side}angles counter-clockwise from the mark"),
        format!(
            "too heavy by {} g mm at {} deg, good to {} g mm{}",
            amount(plane.found.g_mm),
            short(plane.found.degrees, 1),
            amount(plane.found.within_g_mm),
            plane.allowed_g_mm.map(|allowed| format!("; {} g mm are allowed", amount(allowed))).unwrap_or_default()
        ),
    ];
    let hole = |(number, hole): (usize, &PlannedHole)| {
        format!(
            "hole {}: {} deg, {} mm from the axis, drill {} mm, first {} mm deep, then {} mm",
            number + 1,
            short(hole.place_degrees, 1),
            short(hole.radius_mm, 2),
            short(hole.drill_mm, 2),
            short(hole.first_depth_mm, 2),
            short(hole.depth_mm, 2)
        )
    };
    lines.extend(plane.plan.iter().enumerate().map(hole));
    let weight = |weight: &WeightToPutOn| {
        let WeightToPutOn { grams, place_degrees, radius_mm, .. } = weight;
        let [grams, degrees, radius] =
            [(grams, 1), (place_degrees, 1), (radius_mm, 2)].map(|(it, decimals)| short(*it, decimals));
        format!("put on {grams} g at {degrees} deg, {radius} mm from the axis")
    };
    lines.extend(plane.put_on.iter().map(weight));
    if let (Some(left), false) = (plane.left, plane.plan.is_empty()) {
        lines.push(format!(
            "leaves {} g mm at {} deg; depths are those of the full diameter; drill to the first depth, weigh again, then \
             plan the rest",
            amount(left.g_mm),
            short(left.degrees, 0)
        ));
    }
    lines.push("fit, not strength: this does not say that the rotor bears its holes".to_owned());
    lines
}

/// An unbalance with as many decimals as it needs: of a small rotor 0.4 g mm are not 0.
fn amount(g_mm: f64) -> String {
    let decimals = match g_mm {
        100.0.. => 0,
        10.0.. => 1,
        _ => 2,
    };
    short(g_mm, decimals)
}
