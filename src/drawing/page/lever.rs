//! The lever diagram of a train, which moves with the state.
//!
//! Each lever is a picture of its own: across stand its members at their places, upward their speeds,
//! which the script sets, on one scale for all levers of the train; all lie on one straight line. A small dial on each
//! turns as its member does. Names and speeds stand below, in as many rows as it takes that none touches another
//! in any state.

use super::open_group;
use super::words;
use crate::drawing::notes::quoted;
use crate::drawing::sheet::shortened;
use crate::drawing::svg::{Svg, number};
use crate::exact::to_float;
use crate::gearset::{Gearset, MemberId};
use crate::kinematics::{LeverNode, MergedLever, StateMotion, levers, merged_levers, motions, settled};

/// The width of the picture; the nodes keep away from its edges.
const WIDTH: f64 = 400.0;
const EDGE: f64 = 40.0;
/// From the top to the bottom of what moves, and from a dial at its highest to the top.
const HEIGHT: f64 = 240.0;
const MARGIN: f64 = 24.0;
/// The size of words, their mean width for it in a wide sans serif, and a line of them.
const TEXT: f64 = 13.0;
const LETTER: f64 = 0.64;
const LINE: f64 = 17.0;
/// A row of words has a line for names and one for speeds.
const ROW: f64 = 2.0 * LINE + 6.0;
/// What is left between words of one row.
const GAP: f64 = 10.0;

/// Every lever that can move, with its heading.
pub(super) fn diagrams(html: &mut Svg, set: &Gearset, id: &str) {
    let all = levers(set);
    let moves = |lever: &&MergedLever| lever.merged.iter().all(|&index| !all[index].is_stiff);
    let merged = merged_levers(set);
    let motions = motions(set);
    let shown: Vec<StateMotion> = settled(set).into_iter().map(|settled| settled.motion).collect();
    for (index, lever) in merged.iter().filter(&moves).enumerate() {
        open_group(html, "further lever", &format!("lever diagram {}", index + 1));
        let number = if merged.len() > 1 { format!(" {}", index + 1) } else { String::new() };
        html.words("h2", &[], &format!("Lever diagram{number}"));
        let nodes = placed(set, lever, &motions, &shown);
        diagram(html, &nodes, &format!("{id}-lever-{}", index + 1));
        html.close("div");
    }
    if merged.iter().any(|lever| moves(&lever)) {
        html.words("p", &[("class", "note".into())], LEGEND);
    }
}

const LEGEND: &str = "Across: places that follow from the tooth counts. Upward: turns per turn of the input, on one scale \
                      for all levers; the thin line is the case, which stands. The dots of one lever lie on one straight \
                      line in every state. Filled: the input. A double ring: the output. On the ground: held.";

/// A node with its words.
struct PlacedNode {
    /// Those of the train that are one here, the first of which is drawn.
    members: Vec<MemberId>,
    names: String,
    /// Along the lever.
    x: f64,
    /// The middle of the words, so that they stay in the picture.
    middle: f64,
    /// The row of words, from 0.
    row: u32,
}

/// The nodes of a lever, each with its words in the first row that has room for them in every state.
fn placed(set: &Gearset, lever: &MergedLever, motions: &[StateMotion], shown: &[StateMotion]) -> Vec<PlacedNode> {
    let last = lever.nodes.last().map_or(1.0, |node| to_float(&node.position)).max(f64::MIN_POSITIVE);
    let mut ends: Vec<f64> = Vec::new();
    let mut nodes = Vec::new();
    for node in &lever.nodes {
        let x = EDGE + (WIDTH - 2.0 * EDGE) * to_float(&node.position) / last;
        let members: Vec<MemberId> = std::iter::once(node.member).chain(node.joined.iter().copied()).collect();
        let roles = motions.iter().map(|motion| words::role(&roles(set, motion, &members)).chars().count());
        let roles = roles.max().unwrap_or(0);
        let names = shortened(&names(set, node), TEXT, WIDTH - width(roles) - 2.0 * GAP);
        let speeds =
            shown.iter().filter_map(|motion| motion.member(node.member)?.speed.value().map(ToString::to_string));
        let speed = speeds.map(|speed| speed.chars().count()).max().unwrap_or(0);
        let half = width((names.chars().count() + roles).max(speed)) / 2.0;
        let middle = x.min(WIDTH - half - 2.0).max(half + 2.0);
        let row = ends.iter().position(|&end| end + GAP < middle - half).unwrap_or(ends.len());
        if row == ends.len() {
            ends.push(0.0);
        }
        ends[row] = middle + half;
        nodes.push(PlacedNode { members, names, x, middle, row: u32::try_from(row).unwrap_or(u32::MAX) });
    }
    nodes
}

/// How wide so many letters are at most, as a rule.
fn width(letters: usize) -> f64 {
    f64::from(u32::try_from(letters).unwrap_or(u32::MAX)) * TEXT * LETTER
}

/// What the members of a node are in a state, each role once.
fn roles(set: &Gearset, motion: &StateMotion, members: &[MemberId]) -> Vec<&'static str> {
    let mut roles: Vec<&str> = Vec::new();
    for role in members.iter().flat_map(|&member| words::roles(set, motion, member)) {
        if !roles.contains(&role) {
            roles.push(role);
        }
    }
    roles
}

fn diagram(html: &mut Svg, nodes: &[PlacedNode], id: &str) {
    let [title, description] = ["title", "description"].map(|part| format!("{id}-{part}"));
    let half = HEIGHT / 2.0;
    let rows = nodes.iter().map(|node| node.row + 1).max().unwrap_or(0);
    let height = HEIGHT + ROW * f64::from(rows) + 4.0;
    html.open(
        "svg",
        &[
            ("viewBox", [0.0, -half, WIDTH, height].map(number).join(" ")),
            ("role", "img".into()),
            ("aria-labelledby", format!("{title} {description}")),
            ("data-half", number(half - MARGIN)),
        ],
    );
    html.words("title", &[("id", title)], "Lever diagram");
    let names: Vec<&str> = nodes.iter().map(|node| node.names.as_str()).collect();
    html.words("desc", &[("id", description)], &format!("From left to right: {}.", names.join(", ")));
    html.empty("line", &[("class", "zero".into()), ("x1", "8".into()), ("x2", number(WIDTH - 8.0))]);
    for node in nodes {
        post(html, node.x, half + LINE * 0.2 + ROW * f64::from(node.row));
    }
    html.empty("line", &[("class", "lever-bar".into())]);
    for placed in nodes {
        words_below(html, placed, half + LINE + ROW * f64::from(placed.row));
        node(html, placed);
    }
    html.close("svg");
}

/// From the top down to the words of a node.
fn post(html: &mut Svg, x: f64, bottom: f64) {
    let ends = [("x1", x), ("x2", x), ("y1", MARGIN - HEIGHT / 2.0), ("y2", bottom)];
    let ends = ends.map(|(key, value)| (key, number(value)));
    html.empty("line", &[&[("class", "post".to_owned())], &ends[..]].concat());
}

/// The names of a node with what it is in the state, and below them its speed; the script fills both in.
fn words_below(html: &mut Svg, node: &PlacedNode, line: f64) {
    let members: Vec<String> = node.members.iter().map(|member| member.index().to_string()).collect();
    let at = |class: &str, line: f64| {
        let place = [("x", node.middle), ("y", line), ("font-size", TEXT)].map(|(key, value)| (key, number(value)));
        [&[("class", class.to_owned())], &place[..]].concat()
    };
    let told = [("data-member", members.join(" ")), ("data-name", node.names.clone())];
    html.words("text", &[&at("name named", line)[..], &told].concat(), &node.names);
    let told = [("data-member", node.members[0].index().to_string())];
    html.words("text", &[&at("name value", line + LINE)[..], &told].concat(), "");
}

/// What moves at a node: the dial, and what tells input, output and held.
fn node(html: &mut Svg, node: &PlacedNode) {
    let members: Vec<String> = node.members.iter().map(|member| member.index().to_string()).collect();
    html.open(
        "g",
        &[
            ("class", "node".into()),
            ("data-member", node.members[0].index().to_string()),
            ("data-members", members.join(" ")),
            ("data-x", number(node.x)),
        ],
    );
    html.empty("path", &[("class", "ground".into()), ("d", GROUND.into())]);
    html.empty("circle", &[("class", "ring".into()), ("r", "13".into())]);
    html.open("g", &[("class", "dial".into())]);
    html.empty("circle", &[("r", "9".into())]);
    html.empty("line", &[("y2", "-9".into())]);
    html.close("g");
    html.close("g");
}

/// What a held node stands on.
const GROUND: &str = "M0 9V15M-12 15H12M-8 15L-13 21M-1 15L-6 21M6 15L1 21M12 15L8 21";

/// The members of a node: those joined for good are one.
fn names(set: &Gearset, node: &LeverNode) -> String {
    let members = std::iter::once(&node.member).chain(&node.joined);
    members.map(|&member| quoted(set, member).replace('"', "")).collect::<Vec<_>>().join(" = ")
}
