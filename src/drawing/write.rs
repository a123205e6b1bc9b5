//! A sheet as SVG of exact size: one unit is one millimetre.

use super::sheet::{Anchor, Hatch, Pen, Shape, Sheet, Weight};
use super::svg::{Svg, number, path};

/// A whole sheet, however large.
pub(super) fn whole(sheet: &Sheet) -> String {
    let mut svg = Svg::default();
    begin(&mut svg, sheet.size, &sheet.title);
    for shape in &sheet.shapes {
        draw(&mut svg, shape, sheet.weight);
    }
    svg.close("svg");
    svg.finish()
}

/// The beginning of a picture of this size in millimetres, on white.
pub(super) fn begin(svg: &mut Svg, [width, height]: [f64; 2], title: &str) {
    let [w, h] = [number(width), number(height)];
    svg.open(
        "svg",
        &[
            ("xmlns", "http://www.w3.org/2000/svg".into()),
            ("width", format!("{w}mm")),
            ("height", format!("{h}mm")),
            ("viewBox", format!("0 0 {w} {h}")),
            ("font-family", "sans-serif".into()),
        ],
    );
    svg.words("title", &[], title);
    svg.open("defs", &[]);
    hatch(svg, "rising", "45");
    hatch(svg, "falling", "135");
    svg.close("defs");
    svg.empty("rect", &[("width", w), ("height", h), ("fill", "white".into())]);
}

/// Thin lines 1.8 mm apart.
fn hatch(svg: &mut Svg, id: &str, angle: &str) {
    svg.open(
        "pattern",
        &[
            ("id", id.into()),
            ("width", "1.8".into()),
            ("height", "1.8".into()),
            ("patternUnits", "userSpaceOnUse".into()),
            ("patternTransform", format!("rotate({angle})")),
        ],
    );
    svg.empty("path", &[("d", "M0 0H1.8".into()), ("stroke", "black".into()), ("stroke-width", "0.12".into())]);
    svg.close("pattern");
}

/// One shape.
pub(super) fn draw(svg: &mut Svg, shape: &Shape, weight: f64) {
    match shape {
        Shape::Area { contours, pen, hatch, part } => {
            let mut attributes = vec![("d", path(contours)), ("fill-rule", "evenodd".into()), ("fill", fill(*hatch))];
            attributes.extend(stroke(*pen, weight));
            if let Some(part) = part {
                attributes.push(("data-gear", part.gear.clone()));
                attributes.push(("data-pin", part.pin.map_or_else(|| "axis".into(), |pin| pin.to_string())));
                attributes.push(("data-view", part.view.into()));
                attributes.push(("data-plane", part.plane.to_string()));
            }
            svg.empty("path", &attributes);
        }
        Shape::Line { from, to, pen } => {
            let ends = [("x1", from[0]), ("y1", from[1]), ("x2", to[0]), ("y2", to[1])];
            let mut attributes: Vec<_> = ends.map(|(key, value)| (key, number(value))).to_vec();
            attributes.extend(stroke(*pen, weight));
            svg.empty("line", &attributes);
        }
        Shape::Circle { center, radius, pen } => {
            let mut attributes = round(*center, *radius).to_vec();
            attributes.push(("fill", "none".into()));
            attributes.extend(stroke(*pen, weight));
            svg.empty("circle", &attributes);
        }
        Shape::Spot { center, radius } => svg.empty("circle", &round(*center, *radius)),
        Shape::Words { at, size, anchor, weight, words } => {
            let mut attributes = vec![("x", number(at[0])), ("y", number(at[1])), ("font-size", number(*size))];
            match anchor {
                Anchor::Start => {}
                Anchor::Middle => attributes.push(("text-anchor", "middle".into())),
                Anchor::End => attributes.push(("text-anchor", "end".into())),
            }
            if *weight == Weight::Bold {
                attributes.push(("font-weight", "bold".into()));
            }
            // A white edge keeps words legible where a line runs behind them.
            let edge = [("paint-order", "stroke"), ("stroke", "white"), ("stroke-linejoin", "round")];
            attributes.extend(edge.map(|(key, value)| (key, value.to_owned())));
            attributes.push(("stroke-width", number(size * 0.3)));
            svg.words("text", &attributes, words);
        }
    }
}

fn round([x, y]: [f64; 2], radius: f64) -> [(&'static str, String); 3] {
    [("cx", number(x)), ("cy", number(y)), ("r", number(radius))]
}

fn stroke(pen: Pen, weight: f64) -> Vec<(&'static str, String)> {
    let (width, dashes) = pen.stroke(weight);
    let mut attributes = vec![("stroke", "black".into()), ("stroke-width", number(width))];
    if !dashes.is_empty() {
        let dashes: Vec<String> = dashes.into_iter().map(number).collect();
        attributes.push(("stroke-dasharray", dashes.join(" ")));
    }
    attributes
}

fn fill(hatch: Hatch) -> String {
    match hatch {
        Hatch::None => "none",
        Hatch::Rising => "url(#rising)",
        Hatch::Falling => "url(#falling)",
    }
    .into()
}
