//! What stands round the gears: a rim for every member on the main axis, as a drum has one.
//!
//! A rim turns as its member does and carries a mark; its name stands still at the top, with what the member is in
//! the state, and an arrow at the bottom shows which way it turns. A held rim is hatched. Rims tell by words
//! and strokes, so that they serve in print as well; they are not to scale.

use crate::drawing::sheet::shortened;
use crate::drawing::svg::{Svg, number};
use crate::gearset::{Gearset, MemberId};
use crate::syntax::visible;

/// The inner edge of the innermost rim, in parts of the reach of the gears.
const INNERMOST: f64 = 1.14;
/// What all rims together may take, and the widest and narrowest of them, in the same parts.
const ALL: f64 = 0.42;
const WIDEST: f64 = 0.095;
const NARROWEST: f64 = 0.06;
/// The part of its width that a rim fills, and the size of its words.
const FILLED: f64 = 0.86;
const WORDS: f64 = 0.72;

/// The rims of a figure.
pub(super) struct Rims {
    /// The members from the innermost rim to the outermost.
    members: Vec<MemberId>,
    /// The inner edge of the innermost.
    inner: f64,
    /// The width of each.
    width: f64,
}

impl Rims {
    /// The rims round gears that reach so far.
    pub(super) fn new(members: &[MemberId], reach: f64) -> Self {
        let count = f64::from(u32::try_from(members.len().max(1)).unwrap_or(u32::MAX));
        let width = (ALL / count).clamp(NARROWEST, WIDEST) * reach;
        Self { members: members.to_vec(), inner: INNERMOST * reach, width }
    }

    /// The rims of members without gears in between.
    pub(super) fn alone(members: &[MemberId]) -> Self {
        Self { members: members.to_vec(), inner: 40.0, width: 10.0 }
    }

    /// The outer edge of the outermost.
    pub(super) fn outer(&self) -> f64 {
        self.members.iter().fold(self.inner, |edge, _| edge + self.width)
    }

    /// Every member with the radius of the middle of its rim.
    fn middles(&self) -> impl Iterator<Item = (MemberId, f64)> {
        let middles = (0_u32..).map(|place| self.inner + self.width * (f64::from(place) + 0.5));
        self.members.iter().copied().zip(middles)
    }

    /// What turns: the bands with their marks, in the axes of the layout.
    pub(super) fn turning(&self, svg: &mut Svg) {
        for (member, radius) in self.middles() {
            svg.open(
                "g",
                &[
                    ("class", "solid rim marked".into()),
                    ("style", format!("--hue: {}", hue(member))),
                    ("data-member", member.index().to_string()),
                    ("data-x", "0".into()),
                    ("data-y", "0".into()),
                    ("data-tooth", "0".into()),
                ],
            );
            let circle = |class: &str, width: f64| {
                let lengths = [("r", radius), ("stroke-width", width)].map(|(key, length)| (key, number(length)));
                [&[("class", class.to_owned())], &lengths[..]].concat()
            };
            svg.empty("circle", &circle("edge", self.width * FILLED));
            svg.empty("circle", &circle("band", self.width * (FILLED - 0.12)));
            svg.empty("circle", &circle("hatch", self.width * (FILLED - 0.12)));
            self.mark(svg, radius);
            svg.close("g");
        }
    }

    /// The mark of a rim: a wedge that points outward.
    fn mark(&self, svg: &mut Svg, radius: f64) {
        let half = self.width * FILLED / 2.0;
        let [inner, outer] = [radius - half, radius + half].map(number);
        let wide = number(self.width * 0.42);
        svg.empty("path", &[("class", "spot".into()), ("d", format!("M{outer} 0L{inner} {wide}L{inner} -{wide}Z"))]);
    }

    /// What stands still before the eye: names at the top, arrows at the bottom.
    pub(super) fn still(&self, svg: &mut Svg, set: &Gearset, id: &str) {
        let size = self.width * WORDS;
        for (member, radius) in self.middles() {
            let id = format!("{id}-rim-{}", member.index());
            let (baseline, index) = (number(radius - 0.36 * size), member.index().to_string());
            // From the bottom clockwise all round, so that its middle is the top.
            let half = |end: &str| format!("A{baseline} {baseline} 0 0 1 0 {end}");
            let round = format!("M0 {baseline}{}{}", half(&format!("-{baseline}")), half(&baseline));
            svg.empty("path", &[("id", id.clone()), ("class", "line".into()), ("d", round)]);
            svg.open("text", &[("class", "rim-name".into()), ("font-size", number(size))]);
            let name = shortened(set.member(member).name(), size, 2.5 * radius);
            let place = [("href", format!("#{id}")), ("startOffset", "50%".into())];
            svg.words("textPath", &[&place, &named(member, &name)[..]].concat(), &name);
            svg.close("text");
            svg.open("g", &[("class", "arrow".into()), ("data-member", index), ("transform", "rotate(180)".into())]);
            arrow(svg, radius, (0.17 * self.inner / radius).min(1.0), self.width * 0.34);
            svg.close("g");
        }
    }
}

/// The names of the rims as a list, the outermost first, for where they are too small to be read on the picture.
pub(super) fn legend(html: &mut Svg, set: &Gearset, members: &[MemberId]) {
    html.open("div", &[("class", "legend".into())]);
    html.words("span", &[], "Rims, from the outermost:");
    html.open("ol", &[]);
    for &member in members.iter().rev() {
        html.open("li", &[("style", format!("--hue: {}", hue(member)))]);
        html.words("span", &[("class", "swatch".into()), ("aria-hidden", "true".into())], "");
        let name = set.member(member).name();
        html.words("span", &named(member, name), name);
        html.close("li");
    }
    html.close("ol");
    html.close("div");
}

/// What the script writes a name by, with what its member is in the state.
fn named(member: MemberId, name: &str) -> Vec<(&'static str, String)> {
    vec![("class", "named".into()), ("data-member", member.index().to_string()), ("data-name", visible(name))]
}

/// An arrow counter-clockwise over the top of a circle about the origin, as wide as two angles, in the axes of the screen.
pub(super) fn arrow(svg: &mut Svg, radius: f64, angle: f64, head: f64) {
    let (sin, cos) = angle.sin_cos();
    let [from, to] = [radius * sin, -radius * sin].map(number);
    let [round, height] = [radius, -radius * cos].map(number);
    svg.empty(
        "path",
        &[("class", "line".into()), ("d", format!("M{from} {height}A{round} {round} 0 0 0 {to} {height}"))],
    );
    // At its end the arrow points along (-cos, sin) of its angle; outward is (-sin, -cos).
    let point = |along: f64, out: f64| {
        let x = -radius * sin - along * cos - out * sin;
        let y = -radius * cos + along * sin - out * cos;
        format!("{} {}", number(x), number(y))
    };
    let tip = [point(1.6 * head, 0.0), point(-0.4 * head, head), point(-0.4 * head, -head)];
    svg.empty("path", &[("class", "head".into()), ("d", format!("M{}Z", tip.join("L")))]);
}

/// The hue of a member, in degrees: neighbours are far apart.
pub(super) fn hue(member: MemberId) -> usize {
    member.index() * 137 % 360
}
