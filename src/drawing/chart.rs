//! Gearsets side by side as a chart: output speed against input speed, and the ladder of the states.
//!
//! Left one line a state from the origin, for speed is in proportion; right one upright a gearset,
//! with a rung where the output turns so fast for one turn of the input, on a scale of powers so
//! that equal steps look equal. Each gearset has a dash of its own, and every line its name.

use super::numbers::short;
use super::sheet::{Anchor, Pen, Sheet, shortened};
use super::write;
use crate::exact::to_float;
use crate::kinematics::StateMotion;

/// What one gearset does, and what it is called.
#[derive(Debug, Clone, Copy)]
pub struct Charted<'a> {
    /// Its name, short.
    pub name: &'a str,
    /// The motion of its states.
    pub motions: &'a [StateMotion],
}

/// What the chart is drawn for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChartScale {
    /// The fastest speed of the input, in revolutions per minute; above zero.
    pub input_rpm: f64,
    /// How far one turn of the output carries the vehicle, in metres; `None` for a chart of the
    /// output's speed.
    pub travel: Option<f64>,
}

const HEIGHT: f64 = 170.0;
/// The plot of speeds: left, right, top and bottom.
const PLOT: [f64; 4] = [24.0, 150.0, 16.0, 152.0];
/// Where the first ladder stands, and how far it is to the next.
const LADDERS: [f64; 2] = [210.0, 44.0];
const TEXT: f64 = 3.5;
/// From one name to the next.
const STEP: f64 = 4.6;

/// A state that turns its output.
struct Line<'a> {
    set: usize,
    state: &'a str,
    /// Turns of the output for one of the input.
    output: f64,
}

/// The chart, as SVG 170 mm high and wider by 44 mm for each gearset; names are escaped.
///
/// # Examples
/// ```
/// use toothmark::{description, drawing::{ChartScale, Charted, chart}, kinematics::motions};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let sets = [Charted { name: "A", motions: &motions(&set) }];
/// let svg = chart(&sets, ChartScale { input_rpm: 1800.0, travel: None });
/// assert!(svg.starts_with("<svg") && svg.contains("A: reverse"));
/// ```
pub fn chart(sets: &[Charted<'_>], scale: ChartScale) -> String {
    let title = "Output speed against input speed, and the ladder of states".to_owned();
    let count = f64::from(u32::try_from(sets.len()).unwrap_or(u32::MAX));
    let size = [LADDERS[0] + LADDERS[1] * count, HEIGHT];
    let mut sheet = Sheet { size, weight: 1.0, ..Sheet::new(title, 2.5) };
    let lines = lines(sets);
    plot(&mut sheet, sets, &lines, scale);
    ladders(&mut sheet, sets, &lines);
    write::whole(&sheet)
}

fn lines<'a>(sets: &[Charted<'a>]) -> Vec<Line<'a>> {
    let mut lines = Vec::new();
    for (set, charted) in sets.iter().enumerate() {
        for StateMotion { state, verdict, .. } in charted.motions {
            lines.extend(verdict.ratio().map(|ratio| Line { set, state, output: to_float(&ratio.recip()) }));
        }
    }
    lines
}

/// A length of 1, 2 or 5 times a power of ten that divides a span into five to ten parts or so.
fn tick(span: f64) -> f64 {
    let power = 10_f64.powf((span / 5.0).log10().floor());
    let parts = [1.0, 2.0, 5.0, 10.0].map(|part| part * power);
    parts.into_iter().find(|part| span / part <= 8.0).unwrap_or(span)
}

/// Multiples of a step within a span, from the least.
fn multiples(step: f64, [least, greatest]: [f64; 2]) -> Vec<f64> {
    const SLACK: f64 = 1e-9;
    let mut at = (least / step - SLACK).ceil();
    let mut found = Vec::new();
    while at * step <= greatest + step * SLACK {
        found.push(at * step + 0.0);
        at += 1.0;
    }
    found
}

/// The plot of speeds: from speeds to places on the sheet.
struct Plot {
    scale: ChartScale,
    /// The least and the greatest speed of an output; 0 lies between.
    span: [f64; 2],
}

impl Plot {
    fn new(lines: &[Line<'_>], scale: ChartScale) -> Self {
        let mut plot = Self { scale, span: [0.0, f64::MIN_POSITIVE] };
        let speeds = || lines.iter().map(|line| plot.speed(line));
        let least = speeds().fold(0.0, f64::min);
        let greatest = speeds().fold(f64::MIN_POSITIVE, f64::max).max(least.abs() * 0.1);
        plot.span = [least, greatest];
        plot
    }

    /// The speed of an output where the input is fastest, in rpm or in km/h.
    fn speed(&self, line: &Line<'_>) -> f64 {
        const MINUTES_PER_HOUR: f64 = 60.0;
        const METRES_PER_KILOMETRE: f64 = 1000.0;
        let factor = self.scale.travel.map_or(1.0, |travel| travel * MINUTES_PER_HOUR / METRES_PER_KILOMETRE);
        line.output * self.scale.input_rpm * factor
    }

    fn x(&self, rpm: f64) -> f64 {
        let [left, right, _, _] = PLOT;
        left + (right - left) * rpm / self.scale.input_rpm
    }

    fn y(&self, speed: f64) -> f64 {
        let [_, _, top, bottom] = PLOT;
        let [least, greatest] = self.span;
        bottom - (bottom - top) * (speed - least) / (greatest - least)
    }
}

fn plot(sheet: &mut Sheet, sets: &[Charted<'_>], lines: &[Line<'_>], scale: ChartScale) {
    let plot = Plot::new(lines, scale);
    grid(sheet, &plot);
    let right = PLOT[1];
    let mut names: Vec<(f64, String)> = Vec::new();
    for line in lines {
        let end = plot.y(plot.speed(line));
        sheet.line([plot.x(0.0), plot.y(0.0)], [right, end], Pen::Plane(line.set));
        let is_same = |other: &&Line<'_>| other.state == line.state && other.output.total_cmp(&line.output).is_eq();
        let same: Vec<&Line<'_>> = lines.iter().filter(is_same).collect();
        if same[0].set == line.set {
            let letters: Vec<&str> = same.iter().map(|line| sets[line.set].name).collect();
            names.push((end, format!("{}: {}", letters.join(", "), line.state)));
        }
    }
    for name in spread(names) {
        sheet.line([right, name.beside], [right + 4.0, name.height - 1.2], Pen::Thin);
        sheet.words([right + 5.0, name.height], TEXT, Anchor::Start, shortened(&name.words, TEXT, 48.0));
    }
}

/// The lines of round speeds, with their numbers, and what is measured along both sides.
fn grid(sheet: &mut Sheet, plot: &Plot) {
    let [left, right, top, bottom] = PLOT;
    let (fastest, [least, greatest]) = (plot.scale.input_rpm, plot.span);
    for rpm in multiples(tick(fastest), [0.0, fastest]) {
        let x = plot.x(rpm);
        sheet.line([x, top], [x, bottom], Pen::Thin);
        sheet.words([x, bottom + STEP], TEXT, Anchor::Middle, short(rpm, 3));
    }
    for speed in multiples(tick(greatest - least), plot.span) {
        let y = plot.y(speed);
        sheet.line([left, y], [right, y], Pen::Thin);
        sheet.words([left - 1.5, y + 1.2], TEXT, Anchor::End, short(speed, 3));
    }
    let unit = if plot.scale.travel.is_some() { "speed in km/h" } else { "output in rpm" };
    sheet.bold([left, top - 6.0], TEXT, Anchor::Start, unit);
    sheet.bold([f64::midpoint(left, right), bottom + 2.4 * STEP], TEXT, Anchor::Middle, "input in rpm");
}

/// A name beside what it names.
struct Name {
    /// The height of what is named.
    beside: f64,
    /// The height of the name.
    height: f64,
    words: String,
}

/// Names moved apart so that none covers another.
fn spread(mut names: Vec<(f64, String)>) -> Vec<Name> {
    names.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let mut placed: Vec<Name> = Vec::new();
    for (beside, words) in names {
        let free = placed.last().map_or(f64::NEG_INFINITY, |last| last.height + STEP);
        placed.push(Name { beside, height: (beside + 1.2).max(free), words });
    }
    let mut most = HEIGHT - 3.0;
    for name in placed.iter_mut().rev() {
        name.height = name.height.min(most);
        most = name.height - STEP;
    }
    placed
}

/// For each gearset an upright with its states.
fn ladders(sheet: &mut Sheet, sets: &[Charted<'_>], lines: &[Line<'_>]) {
    // A logarithmic scale: equal steps of the ratio are equal distances.
    let sizes = || lines.iter().map(|line| line.output.abs().ln());
    let [least, greatest] = [sizes().fold(0.0, f64::min), sizes().fold(0.0, f64::max)];
    let [_, _, top, bottom] = PLOT;
    let span = (greatest - least).max(0.1);
    let y = |output: f64| bottom - (bottom - top) * (output.abs().ln() - least) / span;
    let [mut left, width] = LADDERS;
    sheet.bold([left, top - 6.0], TEXT, Anchor::Start, "output turns per input turn");
    for (set, charted) in sets.iter().enumerate() {
        sheet.line([left, top], [left, bottom], Pen::Plane(set));
        sheet.bold([left, bottom + STEP], TEXT, Anchor::Middle, shortened(charted.name, TEXT, width));
        let words = |line: &Line<'_>| format!("{} {}", short(line.output, 3), line.state);
        let rungs = lines.iter().filter(|line| line.set == set).map(|line| (y(line.output), words(line))).collect();
        for name in spread(rungs) {
            sheet.line([left, name.beside], [left + 3.0, name.beside], Pen::Outline);
            sheet.line([left + 3.0, name.beside], [left + 5.0, name.height - 1.2], Pen::Thin);
            sheet.words([left + 5.5, name.height], TEXT, Anchor::Start, shortened(&name.words, TEXT, width - 7.0));
        }
        left += width;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_neither_few_nor_many() {
        for span in [0.07, 1.0, 3.0, 7.9, 1800.0, 123_456.0] {
            let step = tick(span);
            let count = multiples(step, [0.0, span]).len();
            assert!((4..=9).contains(&count), "{count} ticks of {step} on {span}");
        }
        assert_eq!(
            multiples(2.0, [-3.0, 4.0]).into_iter().map(|value| short(value, 3)).collect::<Vec<_>>(),
            ["-2", "0", "2", "4"]
        );
    }
}
