//! The levers of a state to scale: places along the bar, speeds as arrows from the line of rest.
//!
//! One band for each lever, all with the same scale of speeds: the thin line is rest, an arrow up a
//! positive speed, an arrow down a negative one, and the thick bar joins their tips. Members that the
//! state holds have the ground drawn under them; members that turn as one on two levers are joined
//! by a broken line. Nothing is told by colour.

use super::sheet::{shortened, width_of};
use super::svg::{Svg, number};
use crate::exact::{Fraction, decimal, to_float};
use crate::gearset::{Gearset, MemberId, bodies_in_state};
use crate::kinematics::{LeverNode, StateMotion, merged_levers};

/// Width of the picture, in millimetres.
const WIDTH: f64 = 160.0;
/// From an edge to the outermost node.
const MARGIN: f64 = 18.0;
/// The size of words.
const TEXT: f64 = 3.2;
/// From one line of words to the next.
const STEP: f64 = 4.4;
/// The length of the longest arrow.
const REACH: f64 = 26.0;
/// The length of the head of an arrow.
const HEAD: f64 = 2.2;
/// Words are cut to this width.
const WIDEST: f64 = 62.0;

/// A node as it is drawn.
struct Placed {
    body: MemberId,
    name: String,
    /// Along the bar.
    x: f64,
    /// The speed, if it has one.
    speed: Option<Fraction>,
    words: String,
    /// The line of words in which it is named, from 0.
    row: usize,
}

/// The levers of a gearset in one state as an SVG element; levers that share two bodies are one.
///
/// Every arrow carries `data-lever` and `data-member`, its length is proportional to the speed, and
/// `data-speed` is the exact value.
///
/// # Examples
/// ```
/// use toothmark::{description, drawing::lever, kinematics::motions};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let svg = lever(&set, &motions(&set)[0]);
/// assert!(svg.starts_with("<svg") && svg.contains("data-speed=\"2/7\""));
/// ```
pub fn lever(set: &Gearset, motion: &StateMotion) -> String {
    let bodies = set.state_named(&motion.state).map(|state| bodies_in_state(set, state)).unwrap_or_default();
    let levers: Vec<Vec<Placed>> =
        merged_levers(set).iter().map(|lever| placed(set, motion, &bodies, &lever.nodes)).collect();
    let speeds = || levers.iter().flatten().filter_map(|node| node.speed.as_ref()).map(to_float);
    let fastest = speeds().fold(0.0, |most: f64, speed| most.max(speed.abs()));
    let scale = if fastest > 0.0 { REACH / fastest } else { 0.0 };
    let [up, down] = [1.0, -1.0].map(|sign| speeds().map(|speed| sign * speed * scale).fold(0.0, f64::max));
    let mut bands = Vec::new();
    let mut y = STEP;
    for lever in &levers {
        let rest = y + STEP + up;
        bands.push(rest);
        let rows = lever.iter().map(|node| node.row + 1).max().unwrap_or(0);
        y = rest + down + 2.0 * STEP + STEP * f64::from(u32::try_from(rows).unwrap_or(u32::MAX));
    }
    let mut svg = Svg::default();
    begin(&mut svg, y, &format!("{}: levers in {}", set.title(), motion.state));
    connections(&mut svg, &levers, &bands);
    for (index, (lever, &rest)) in levers.iter().zip(&bands).enumerate() {
        band(&mut svg, index, lever, Band { rest, scale, words: rest + down + 2.0 * STEP });
    }
    svg.close("svg");
    svg.finish()
}

/// Where a lever is drawn.
#[derive(Clone, Copy)]
struct Band {
    /// The line of rest.
    rest: f64,
    /// Millimetres for one unit of speed.
    scale: f64,
    /// The first line of words.
    words: f64,
}

fn begin(svg: &mut Svg, height: f64, title: &str) {
    let [width, height] = [number(WIDTH), number(height)];
    svg.open(
        "svg",
        &[
            ("xmlns", "http://www.w3.org/2000/svg".into()),
            ("class", "tall".into()),
            ("width", format!("{width}mm")),
            ("height", format!("{height}mm")),
            ("viewBox", format!("0 0 {width} {height}")),
            ("font-family", "sans-serif".into()),
        ],
    );
    svg.words("title", &[], title);
    svg.empty("rect", &[("width", width), ("height", height), ("fill", "white".into())]);
}

fn placed(set: &Gearset, motion: &StateMotion, bodies: &[MemberId], nodes: &[LeverNode]) -> Vec<Placed> {
    let last = nodes.iter().map(|node| to_float(&node.position)).fold(0.0, f64::max);
    let along = if last > 0.0 { (WIDTH - 2.0 * MARGIN) / last } else { 0.0 };
    let mut ends: Vec<f64> = Vec::new();
    let mut placed = Vec::new();
    for node in nodes {
        let speed = motion.speed(node.member);
        let body = bodies.get(node.member.index()).copied().unwrap_or(node.member);
        let name = set.member(node.member).name().to_owned();
        let told = match &speed {
            Some(speed) if speed.is_integer() => speed.to_string(),
            Some(speed) => format!("{speed} = {}", decimal(speed, 4)),
            None => "not determined".into(),
        };
        let held = if body == MemberId::CASE && node.member != MemberId::CASE { ", held" } else { "" };
        let words = format!("{}{held}: {told}", shortened(&name, TEXT, WIDEST / 2.0));
        let x = MARGIN + along * to_float(&node.position);
        let half = width_of(&words, TEXT) / 2.0;
        let middle = middle(x, half);
        let row = ends.iter().position(|&end| end + 2.0 < middle - half).unwrap_or(ends.len());
        if row == ends.len() {
            ends.push(0.0);
        }
        ends[row] = middle + half;
        placed.push(Placed { body, name, x, speed, words, row });
    }
    placed
}

/// Where the middle of words stands so that they stay on the picture.
fn middle(x: f64, half: f64) -> f64 {
    x.max(half + 1.0).min((WIDTH - half - 1.0).max(half + 1.0))
}

/// Broken lines between the nodes of bodies that stand on two levers, one after the other.
fn connections(svg: &mut Svg, levers: &[Vec<Placed>], bands: &[f64]) {
    for (later, nodes) in levers.iter().enumerate() {
        for node in nodes.iter().filter(|node| node.body != MemberId::CASE) {
            let same = |earlier: &usize| levers[*earlier].iter().find(|other| other.body == node.body);
            let Some((earlier, other)) = (0..later).rev().find_map(|earlier| Some((earlier, same(&earlier)?))) else {
                continue;
            };
            let mut attributes = stroke([other.x, bands[earlier]], [node.x, bands[later]], 0.3);
            attributes.push(("stroke-dasharray", "1.5 1.2".into()));
            attributes.push(("data-joined", node.name.clone()));
            svg.empty("line", &attributes);
        }
    }
}

fn band(svg: &mut Svg, index: usize, nodes: &[Placed], band: Band) {
    let tip = |node: &Placed| node.speed.as_ref().map(|speed| band.rest - to_float(speed) * band.scale);
    svg.empty("line", &stroke([MARGIN - 8.0, band.rest], [WIDTH - MARGIN + 8.0, band.rest], 0.15));
    svg.words("text", &words([1.0, band.rest + 1.0], "start"), "0");
    let tips: Vec<[f64; 2]> = nodes.iter().filter_map(|node| Some([node.x, tip(node)?])).collect();
    if let (true, Some(&first), Some(&last)) = (tips.len() == nodes.len(), tips.first(), tips.last()) {
        let mut attributes = stroke(first, last, 0.9);
        attributes.push(("data-bar", (index + 1).to_string()));
        svg.empty("line", &attributes);
    }
    let line = |node: &Placed| band.words + STEP * f64::from(u32::try_from(node.row).unwrap_or(u32::MAX));
    for node in nodes {
        svg.empty("line", &stroke([node.x, band.rest], [node.x, line(node) - TEXT], 0.1));
    }
    for node in nodes {
        if let (Some(end), Some(speed)) = (tip(node), &node.speed) {
            arrow(svg, index, node, [band.rest, end], speed);
        }
        svg.empty("circle", &[("cx", number(node.x)), ("cy", number(band.rest)), ("r", "1".into())]);
        if node.body == MemberId::CASE {
            ground(svg, node, band.rest);
        }
        let half = width_of(&node.words, TEXT) / 2.0;
        svg.words("text", &words([middle(node.x, half), line(node)], "middle"), &node.words);
    }
}

/// An arrow from rest to the tip; a member at rest has one without length.
fn arrow(svg: &mut Svg, index: usize, node: &Placed, [rest, tip]: [f64; 2], speed: &Fraction) {
    let mut attributes = stroke([node.x, rest], [node.x, tip], 0.4);
    attributes.push(("data-lever", (index + 1).to_string()));
    attributes.push(("data-member", node.name.clone()));
    attributes.push(("data-speed", speed.to_string()));
    svg.empty("line", &attributes);
    let head = HEAD.min((tip - rest).abs());
    let back = if tip < rest { head } else { -head };
    if (tip - rest).abs() > 0.1 {
        let [left, right] = [node.x - HEAD / 2.0, node.x + HEAD / 2.0].map(number);
        let [end, start] = [tip, tip + back].map(number);
        svg.empty("path", &[("d", format!("M{} {end}L{left} {start}L{right} {start}Z", number(node.x)))]);
    }
}

/// The ground under a held member.
fn ground(svg: &mut Svg, node: &Placed, rest: f64) {
    let below = rest + 2.6;
    let mut attributes = stroke([node.x - 3.0, below], [node.x + 3.0, below], 0.4);
    attributes.push(("data-held", node.name.clone()));
    svg.empty("line", &attributes);
    svg.empty("line", &stroke([node.x, rest], [node.x, below], 0.4));
    for at in [-2.0, 0.0, 2.0] {
        svg.empty("line", &stroke([node.x + at, below], [node.x + at - 1.2, below + 1.4], 0.25));
    }
}

fn stroke(from: [f64; 2], to: [f64; 2], width: f64) -> Vec<(&'static str, String)> {
    let ends = [("x1", from[0]), ("y1", from[1]), ("x2", to[0]), ("y2", to[1]), ("stroke-width", width)];
    let mut attributes: Vec<_> = ends.map(|(key, value)| (key, number(value))).to_vec();
    attributes.push(("stroke", "black".into()));
    attributes
}

fn words(at: [f64; 2], anchor: &str) -> Vec<(&'static str, String)> {
    vec![
        ("x", number(at[0])),
        ("y", number(at[1])),
        ("font-size", number(TEXT)),
        ("text-anchor", anchor.into()),
        ("paint-order", "stroke".into()),
        ("stroke", "white".into()),
        ("stroke-width", number(TEXT * 0.3)),
    ]
}
