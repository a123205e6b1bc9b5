//! The lever diagram of a train, which moves with the state.
//!
//! Each lever is a picture of its own: across stand its members at their places, upward their speeds,
//! which the script sets; all lie on one straight line. A small dial on each turns as its member does.

use super::open_group;
use crate::drawing::notes::quoted;
use crate::drawing::sheet::shortened;
use crate::drawing::svg::{Svg, number};
use crate::exact::to_float;
use crate::gearset::{Gearset, MemberId};
use crate::kinematics::{LeverNode, MergedLever, levers, merged_levers};

/// The width of the picture; the nodes keep away from its edges.
const WIDTH: f64 = 400.0;
const EDGE: f64 = 60.0;
/// From the top to the bottom of what moves.
const HEIGHT: f64 = 240.0;
/// A line of names.
const LINE: f64 = 17.0;
const TEXT: f64 = 13.0;
/// Names stand on so many lines in turn, since nodes can be close together.
const LINES: usize = 3;

/// Every lever that can move, with its heading.
pub(super) fn diagrams(html: &mut Svg, set: &Gearset, id: &str) {
    let all = levers(set);
    let moves = |lever: &&MergedLever| lever.merged.iter().all(|&index| !all[index].is_stiff);
    let merged = merged_levers(set);
    for (index, lever) in merged.iter().filter(moves).enumerate() {
        open_group(html, "further lever", &format!("lever diagram {}", index + 1));
        let number = if merged.len() > 1 { format!(" {}", index + 1) } else { String::new() };
        html.words("h2", &[], &format!("Lever diagram{number}"));
        diagram(html, set, lever, &format!("{id}-lever-{}", index + 1));
        html.words("p", &[("class", "note".into())], LEGEND);
        html.close("div");
    }
}

const LEGEND: &str = "Across: places that follow from the tooth counts. Upward: turns per turn of the input; the thin \
                      line is the case, which stands. The dots of one lever lie on one straight line in every state.";

fn diagram(html: &mut Svg, set: &Gearset, lever: &MergedLever, id: &str) {
    let [title, description] = ["title", "description"].map(|part| format!("{id}-{part}"));
    let half = HEIGHT / 2.0;
    let height = HEIGHT + LINE * 3.5;
    html.open(
        "svg",
        &[
            ("viewBox", [0.0, -half, WIDTH, height].map(number).join(" ")),
            ("role", "img".into()),
            ("aria-labelledby", format!("{title} {description}")),
            ("data-half", number(half - 22.0)),
        ],
    );
    html.words("title", &[("id", title)], "Lever diagram");
    let names: Vec<String> = lever.nodes.iter().map(|node| names(set, node)).collect();
    html.words("desc", &[("id", description)], &format!("From left to right: {}.", names.join(", ")));
    html.empty("line", &[("class", "zero".into()), ("x1", "8".into()), ("x2", number(WIDTH - 8.0))]);
    html.empty("line", &[("class", "lever-bar".into())]);
    let last = lever.nodes.last().map_or(1.0, |node| to_float(&node.position));
    for (index, node) in lever.nodes.iter().enumerate() {
        let x = EDGE + (WIDTH - 2.0 * EDGE) * to_float(&node.position) / last.max(f64::MIN_POSITIVE);
        let line = half + LINE * (1.0 + number_of_line(index));
        self::node(html, node.member, x, [half, line]);
        let words = shortened(&names[index], TEXT, WIDTH / 2.0);
        let attributes = [("x", number(x)), ("y", number(line)), ("font-size", number(TEXT)), ("class", "name".into())];
        html.words("text", &attributes, &words);
    }
    html.close("svg");
}

fn number_of_line(index: usize) -> f64 {
    f64::from(u8::try_from(index % LINES).unwrap_or(0)) - 0.2
}

/// What moves at a node: the dial, and the speed beside it.
fn node(html: &mut Svg, member: MemberId, x: f64, [half, line]: [f64; 2]) {
    let ends = [("x1", x), ("x2", x), ("y1", 20.0 - half), ("y2", line - TEXT)];
    let mut attributes = vec![("class", "post".to_owned())];
    attributes.extend(ends.map(|(key, value)| (key, number(value))));
    html.empty("line", &attributes);
    html.open("g", &[("class", "node".into()), ("data-member", member.index().to_string()), ("data-x", number(x))]);
    html.open("g", &[("class", "dial".into())]);
    html.empty("circle", &[("r", "9".into())]);
    html.empty("line", &[("y2", "-9".into())]);
    html.close("g");
    html.words("text", &[("class", "name value".into()), ("x", "13".into()), ("font-size", number(TEXT))], "");
    html.close("g");
}

/// The members of a node: those joined for good are one.
fn names(set: &Gearset, node: &LeverNode) -> String {
    let members = std::iter::once(&node.member).chain(&node.joined);
    members.map(|&member| quoted(set, member).replace('"', "")).collect::<Vec<_>>().join(" = ")
}
