//! What does a picture show? Its SVG is read back as a viewer would read it.
//!
//! A picture that is not well-formed ends the test. Gears are found by the names that they carry,
//! lengths are taken from the numbers of the paths, in millimetres.

use roxmltree::{Document, Node};

use crate::support::outlines::{Contour, overlap_area};

/// A gear as drawn.
#[derive(Debug, Clone)]
pub(crate) struct DrawnGear {
    pub(crate) name: String,
    /// The pin, or none on the main axis.
    pub(crate) pin: Option<usize>,
    pub(crate) view: String,
    pub(crate) contours: Vec<Contour>,
}

impl DrawnGear {
    /// The mean of its corners, which is its centre: every tooth has the same corners.
    pub(crate) fn center(&self) -> [f64; 2] {
        let teeth = self.contours.last().expect("a gear has an outline");
        let count = f64::from(u32::try_from(teeth.len()).expect("a small number"));
        [0, 1].map(|axis| teeth.iter().map(|point| point[axis]).sum::<f64>() / count)
    }

    /// The least and the greatest distance of its toothed outline from its centre.
    pub(crate) fn radii(&self) -> [f64; 2] {
        let [x, y] = self.center();
        let teeth = self.contours.last().expect("a gear has an outline");
        let radii = teeth.iter().map(|point| (point[0] - x).hypot(point[1] - y));
        radii.fold([f64::INFINITY, 0.0], |[least, greatest], radius| [least.min(radius), greatest.max(radius)])
    }

    /// The same gear turned about a point.
    pub(crate) fn turned(&self, about: [f64; 2], angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        let turn = |[x, y]: [f64; 2]| {
            let (x, y) = (x - about[0], y - about[1]);
            [about[0] + x * cos - y * sin, about[1] + x * sin + y * cos]
        };
        let contours = self.contours.iter().map(|contour| contour.iter().map(|&point| turn(point)).collect());
        Self { contours: contours.collect(), ..self.clone() }
    }

    pub(crate) fn overlap(&self, other: &Self) -> f64 {
        overlap_area(&self.contours, &other.contours)
    }
}

/// A picture as an XML document.
#[track_caller]
pub(crate) fn parsed<'a>(case: &str, svg: &'a str) -> Document<'a> {
    Document::parse(svg).unwrap_or_else(|error| panic!("{case}: {error}"))
}

/// Width and height in millimetres, which the box of the view agrees with.
#[track_caller]
pub(crate) fn size(case: &str, picture: &Document<'_>) -> [f64; 2] {
    let root = picture.root_element();
    let size = ["width", "height"].map(|key| {
        let length = root.attribute(key).and_then(|length| length.strip_suffix("mm"));
        length.unwrap_or_else(|| panic!("{case}: no {key} in mm")).parse().expect("a number")
    });
    let view: Vec<f64> = root.attribute("viewBox").expect("a view").split(' ').map(number).collect();
    assert_eq!(view, [0.0, 0.0, size[0], size[1]], "{case}: a unit is a millimetre");
    size
}

/// The gears of a picture.
pub(crate) fn gears(picture: &Document<'_>) -> Vec<DrawnGear> {
    let gear = |node: Node<'_, '_>| {
        Some(DrawnGear {
            name: node.attribute("data-gear")?.to_owned(),
            pin: node.attribute("data-pin")?.parse().ok(),
            view: node.attribute("data-view")?.to_owned(),
            contours: contours(node.attribute("d")?),
        })
    };
    picture.descendants().filter_map(gear).collect()
}

/// The words of a picture, one text a line.
pub(crate) fn words(picture: &Document<'_>) -> String {
    let texts = picture.descendants().filter(|node| node.has_tag_name("text"));
    texts.filter_map(|node| node.text()).map(|words| words.to_owned() + "\n").collect()
}

/// The straight lines of a picture outside of what is moved.
pub(crate) fn lines(picture: &Document<'_>) -> Vec<[[f64; 2]; 2]> {
    let lines = picture.root_element().children().filter(|node| node.has_tag_name("line"));
    lines
        .map(|node| {
            [["x1", "y1"], ["x2", "y2"]].map(|keys| keys.map(|key| number(node.attribute(key).expect("an end"))))
        })
        .collect()
}

/// How far the sheet is moved on a page.
pub(crate) fn moved(picture: &Document<'_>) -> [f64; 2] {
    let transform = picture.descendants().find_map(|node| node.attribute("transform")).expect("the sheet is moved");
    let inner = transform.strip_prefix("translate(").and_then(|rest| rest.strip_suffix(')')).expect("only moved");
    let mut parts = inner.split(' ').map(number);
    [(); 2].map(|()| parts.next().expect("two numbers"))
}

pub(crate) fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text:?} is no number"))
}

/// Closed lines of absolute corners.
pub(crate) fn contours(data: &str) -> Vec<Contour> {
    let contour = |part: &str| -> Contour {
        let corner = |corner: &str| {
            let (x, y) = corner.split_once(' ').expect("two numbers");
            [number(x), number(y)]
        };
        part.trim_start_matches('M').split('L').map(corner).collect()
    };
    data.split('Z').filter(|part| !part.is_empty()).map(contour).collect()
}
