//! Do paper discs tell what the timing tells, and can they be cut out and laid on?

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use roxmltree::{Document, Node};
use toothmark::drawing::{Paper, Pictures, Request, draw};
use toothmark::gearset::{Gearset, Side};
use toothmark::timing::timing;

use crate::support::pictures::{contours, gears, moved, number, parsed};
use crate::support::sets::{file_stems, read_example, read_set};

/// How far two drawn places may be apart that are one, in millimetres.
const TOLERANCE: f64 = 0.01;

/// Pins of unequal spacing, each planet so small that its words stand on a tab.
const SMALL: &str = r#"Gearset(title: "small", pitch: Module("0.5"), members: {"s": [Sun("A", 12)], "r": [Ring("R", 36)], "c": []},
    planets: {"p": (carrier: "c", pins: Degrees(["0", "90", "195"]), gears: [Gear("a", 12)])},
    meshes: [("A", "a"), ("R", "a")])"#;
/// Planets of module 8 that are larger than the paper.
const LARGE: &str = r#"Gearset(title: "large", pitch: Module(8), members: {"s": [Sun("A", 20)], "r": [Ring("R", 80)], "c": []},
    planets: {"p": (carrier: "c", pins: Equal(4), gears: [Gear("a", 30)])}, meshes: [("A", "a"), ("R", "a")])"#;

/// A disc as drawn, in places of its page.
#[derive(Debug)]
struct DrawnDisc {
    center: [f64; 2],
    /// The corners of the paper that is cut out.
    rim: Vec<[f64; 2]>,
    /// The end of the mark that begins at the centre.
    mark: [f64; 2],
    pin: usize,
}

impl DrawnDisc {
    /// The least distance of its rim from its centre: a tab reaches farther.
    fn radius(&self) -> f64 {
        self.rim.iter().map(|corner| apart(*corner, self.center)).fold(f64::INFINITY, f64::min)
    }

    /// From the arrow, which points down, to the mark: degrees clockwise on the paper, from -180 to 180.
    fn turn(&self) -> f64 {
        let [x, y] = [0, 1].map(|axis| self.mark[axis] - self.center[axis]);
        -x.atan2(y).to_degrees()
    }
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The pages of discs of a set, by name of the file.
fn pages(set: &Gearset, paper: Paper) -> Vec<(String, String)> {
    let pictures = draw(set, Request { paper, only: Some(Pictures::Discs) }).pictures;
    pictures.into_iter().map(|picture| (picture.file_name, picture.svg)).collect()
}

fn attribute(node: Node<'_, '_>, key: &str) -> f64 {
    number(node.attribute(key).unwrap_or_else(|| panic!("no {key}")))
}

/// What is cut out along a line of its own dashes.
fn rims(page: &Document<'_>) -> Vec<Vec<[f64; 2]>> {
    let cut = page.descendants().filter(|node| node.attribute("stroke-dasharray") == Some("2 2"));
    let rim = |node: Node<'_, '_>| {
        if let Some(data) = node.attribute("d") {
            return contours(data).remove(0);
        }
        let [x, y, radius] = ["cx", "cy", "r"].map(|key| attribute(node, key));
        let angles = (0..720).map(|step| TAU * f64::from(step) / 720.0);
        angles.map(|angle| [x + radius * angle.cos(), y + radius * angle.sin()]).collect()
    };
    cut.map(rim).collect()
}

/// The discs of a page, each found by the gears on it.
fn discs(page: &Document<'_>) -> Vec<DrawnDisc> {
    let rims = rims(page);
    let lines: Vec<[[f64; 2]; 2]> = page
        .descendants()
        .filter(|node| node.has_tag_name("line"))
        .map(|node| [["x1", "y1"], ["x2", "y2"]].map(|end| end.map(|key| attribute(node, key))))
        .collect();
    let mut discs: Vec<DrawnDisc> = Vec::new();
    for gear in gears(page) {
        let center = gear.center();
        if discs.iter().any(|disc| apart(disc.center, center) < 1.0) {
            continue;
        }
        let mark = lines.iter().find(|[from, _]| apart(*from, center) < TOLERANCE).expect("a mark begins there");
        let nearest =
            |rim: &&Vec<[f64; 2]>| rim.iter().map(|corner| apart(*corner, center)).fold(f64::INFINITY, f64::min);
        let rim = rims.iter().min_by(|a, b| nearest(a).total_cmp(&nearest(b))).expect("it is cut out").clone();
        discs.push(DrawnDisc { center: mark[0], rim, mark: mark[1], pin: gear.pin.expect("a pin") });
    }
    discs
}

/// The mark ended inside the teeth, so that nothing outside of the paper could be laid to it.
#[test]
fn the_mark_of_a_disc_runs_from_its_centre_to_its_rim() {
    let mut count = 0;
    for name in file_stems("gearsets").iter().map(String::as_str).chain(["small"]) {
        let set = if name == "small" { read_set(name, SMALL) } else { read_example(name) };
        for (file, svg) in pages(&set, Paper::A4) {
            for disc in discs(&parsed(&file, &svg)) {
                let to_rim = disc.rim.iter().map(|corner| apart(*corner, disc.mark)).fold(f64::INFINITY, f64::min);
                assert!(to_rim < disc.radius() * TAU / 720.0, "{name}, {file}: {to_rim} mm from the rim");
                let length = apart(disc.center, disc.mark);
                assert!((length - disc.radius()).abs() < TOLERANCE, "{name}, {file}: {length} mm, {}", disc.radius());
                count += 1;
            }
        }
    }
    assert!(count > 150, "only {count} discs");
}

/// Whether a place is inside of a closed line: a ray from there crosses it an odd number of times.
fn is_inside([x, y]: [f64; 2], line: &[[f64; 2]]) -> bool {
    let next = line.iter().cycle().skip(1);
    let crosses = |(a, b): (&[f64; 2], &[f64; 2])| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    };
    line.iter().zip(next).filter(|&ends| crosses(ends)).count() % 2 == 1
}

#[test]
fn discs_on_a_page_lie_apart_and_on_the_paper_with_their_words() {
    let mut count = 0;
    let names = ["inspection-railcar", "two-sun-braid-gear", "cannot-be-trio", "quarry-wheel-hub", "small"];
    for (name, paper) in names.iter().flat_map(|&name| [(name, Paper::A4), (name, Paper::Letter)]) {
        let set = if name == "small" { read_set(name, SMALL) } else { read_example(name) };
        for (file, svg) in pages(&set, paper) {
            let case = format!("{name}, {paper:?}, {file}");
            let page = parsed(&file, &svg);
            let ([x, y], [width, height]) = (moved(&page), paper.size());
            let inside = |[a, b]: [f64; 2]| a + x > 8.0 && a + x < width - 8.0 && b + y > 18.0 && b + y < height - 24.0;
            let rims = rims(&page);
            for (at, rim) in rims.iter().enumerate() {
                assert!(rim.iter().all(|corner| inside(*corner)), "{case}: a rim is cut");
                for other in &rims[..at] {
                    assert!(!rim.iter().any(|corner| is_inside(*corner, other)), "{case}: two discs overlap");
                    assert!(!other.iter().any(|corner| is_inside(*corner, rim)), "{case}: two discs overlap");
                }
                count += 1;
            }
            // Words beside the discs begin where no disc is, and are no wider than the page.
            let group =
                page.descendants().find(|node| node.attribute("transform").is_some_and(|it| it.starts_with("tr")));
            let texts = group.expect("the sheet").descendants().filter(|node| node.has_tag_name("text"));
            for text in texts.filter(|text| text.attribute("text-anchor").is_none()) {
                let letters = u32::try_from(text.text().unwrap_or_default().chars().count()).expect("a small number");
                let [left, base] = ["x", "y"].map(|key| attribute(text, key));
                for place in [0.0, 0.5, 1.0].map(|part| [left + part * 1.55 * f64::from(letters), base - 1.0]) {
                    assert!(inside(place), "{case}: {:?} is cut", text.text());
                    assert!(!rims.iter().any(|rim| is_inside(place, rim)), "{case}: {:?} on a disc", text.text());
                }
            }
        }
    }
    assert!(count >= 2 * 2 * (3 + 6 + 3 + 3 + 3), "only {count} discs");
}

/// What a legend says of a mark, by pin.
fn legends(page: &Document<'_>) -> BTreeMap<usize, String> {
    let texts: Vec<&str> =
        page.descendants().filter(|node| node.has_tag_name("text")).filter_map(|node| node.text()).collect();
    let words = texts.join(" ");
    let of_pin = |legend: &str| {
        let pin = legend.split(',').next().expect("a pin").parse().ok()?;
        let place = legend.split("to the rim: the mark, ").nth(1)?;
        Some((pin, place.split(" Scale").next()?.split(" NOT TO").next()?.split(" any tooth").next()?.to_owned()))
    };
    words.split("pin ").filter_map(of_pin).collect()
}

#[test]
fn a_disc_and_its_legend_show_what_the_timing_says_of_its_pin() {
    let mut count = 0;
    for name in ["inspection-railcar", "orchard-truck", "quarry-wheel-hub", "small"] {
        let set = if name == "small" { read_set(name, SMALL) } else { read_example(name) };
        let timed = &timing(&set).groups[0];
        for (file, svg) in pages(&set, Paper::A4) {
            let page = parsed(&file, &svg);
            let side = if file.contains("-input-") { Side::Input } else { Side::Output };
            let legends = legends(&page);
            for disc in discs(&page) {
                let turn = timed.pins[disc.pin - 1].turns.as_ref().expect("it fits").values().next().expect("a planet");
                // Counter-clockwise seen from the input side is positive.
                let degrees = toothmark::exact::to_float(turn) * 360.0;
                let clockwise = if side == Side::Input { -degrees } else { degrees };
                let off = (disc.turn() - clockwise).rem_euclid(360.0);
                assert!(off.min(360.0 - off) < 0.01, "{name}, {file}: {} against {clockwise}", disc.turn());
                let legend = &legends[&disc.pin];
                let (amount, sense) = match legend.split_once(" degrees ") {
                    Some((amount, sense)) => (number(amount), sense),
                    None => (0.0, "clockwise"),
                };
                let told = if sense.starts_with("clockwise") { amount } else { -amount };
                assert!((told - clockwise).abs() < 1e-4, "{name}, {file}: {legend:?} against {clockwise}");
                assert_eq!(amount == 0.0, legend == "to the centre", "{name}, {file}: {legend:?}");
                count += 1;
            }
        }
    }
    assert_eq!(count, 4 * 2 * 3, "four gearsets, two sides, three pins");
}

/// Three wide discs took two pages, and the discs of each planet pages of their own.
#[test]
fn discs_of_all_planets_share_pages_and_nest() {
    for name in ["inspection-railcar", "two-sun-braid-gear"] {
        let names: Vec<String> = pages(&read_example(name), Paper::A4).into_iter().map(|(file, _)| file).collect();
        assert_eq!(names.len(), 2, "{name}: a page a side, {names:?}");
    }
    let names: Vec<String> = pages(&read_set("large", LARGE), Paper::A4).into_iter().map(|(file, _)| file).collect();
    assert!(names.iter().all(|name| name.contains("-planet-1-pin-")), "larger than the paper: {names:?}");
}

#[test]
fn a_disc_without_room_has_its_words_on_a_tab_away_from_its_mark() {
    for (file, svg) in pages(&read_set("small", SMALL), Paper::A4) {
        for disc in discs(&parsed(&file, &svg)) {
            let farthest = |a: &&[f64; 2], b: &&[f64; 2]| apart(**a, disc.center).total_cmp(&apart(**b, disc.center));
            let tab = disc.rim.iter().max_by(farthest).expect("a rim");
            assert!(apart(*tab, disc.center) > disc.radius() + 8.0, "{file}: a tab");
            let aside = [disc.mark, *tab].map(|place| place[0] - disc.center[0]);
            assert!(aside[0] * aside[1] < 1e-6, "{file}, pin {}: the mark is on the tab", disc.pin);
        }
    }
}
