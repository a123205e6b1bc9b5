//! Does `print.html` come out of a printer as it should: a sheet of paper each, and 100 mm as 100 mm?
//!
//! The size is read from the PDF that a browser makes of the page.

use std::collections::BTreeSet;

use roxmltree::Document;
use toothmark::drawing::{Drawings, Paper, Pictures, Request, draw, print_page};
use toothmark::gearset::Gearset;

use crate::support::browser::Browser;
use crate::support::pdf::{PrintedPage, printed_pages};
use crate::support::pictures::{gears, parsed};
use crate::support::sets::{read_example, read_set};

/// How much a length may differ on the paper, in millimetres.
const TOLERANCE: f64 = 0.3;

fn drawn(set: &Gearset, paper: Paper, only: Option<Pictures>) -> (Drawings, String) {
    let drawings = draw(set, Request { paper, only });
    let page = print_page(set, &drawings, paper).expect("there is something to print");
    (drawings, page)
}

/// Printed from a browser, the pictures alone came out at 91 to 94 percent.
#[test]
fn a_browser_prints_a_sheet_each_and_100_mm_as_100_mm() {
    let set = read_example("inspection-railcar");
    for (name, paper, only) in [("print-a4", Paper::A4, None), ("print-letter", Paper::Letter, Some(Pictures::Discs))] {
        let (drawings, page) = drawn(&set, paper, only);
        let Some(mut browser) = Browser::open(name, &page) else { return };
        assert_eq!(browser.complaints(), Vec::<String>::new(), "{name}: it needs nothing else");
        let sheets = drawings.pictures.iter().filter(|picture| picture.kind != Pictures::Faces).count();
        let printed = printed_pages(&browser.print());
        assert_eq!(printed.len(), sheets, "{name}: a page a sheet");
        let near = |a: [f64; 2], b: [f64; 2]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < TOLERANCE);
        if only == Some(Pictures::Discs) {
            // The tips of 37 teeth of module 2.5, and 3 mm round them: so long is the mark from the centre to the rim.
            let radius = 2.5 * (37.0 + 2.0) / 2.0 + 3.0;
            let is_mark = |[from, to]: &&[[f64; 2]; 2]| {
                ((to[0] - from[0]).hypot(to[1] - from[1]) - radius).abs() < TOLERANCE / 2.0
            };
            // Some versions of the browser draw a line that is turned twice.
            let marks = |page: &PrintedPage| {
                let mut marks: Vec<_> = page.lines.iter().filter(is_mark).collect();
                marks.dedup();
                marks.len()
            };
            let discs: usize = printed.iter().map(marks).sum();
            assert_eq!(discs, 6, "{name}: marks of {radius} mm");
        }
        for (index, page) in printed.iter().enumerate() {
            assert!(near(page.size, paper.size()), "{name}, sheet {}: {:?} mm", index + 1, page.size);
            // The ruler begins 8 mm from the left edge of the paper and is 15 mm above the lower one.
            let level = paper.size()[1] - 15.0;
            let ruler = page.lines.iter().find(|[from, to]| near(*from, [8.0, level]) && near(*to, [108.0, level]));
            let length = ruler.map(|[from, to]| (to[0] - from[0]).hypot(to[1] - from[1]));
            assert!(
                length.is_some_and(|length| (length - 100.0).abs() < TOLERANCE),
                "{name}, sheet {}: {length:?}",
                index + 1
            );
        }
    }
}

/// The mirror image of a view or of a disc lay on the same sheet, where either can be taken for the other.
#[test]
fn no_sheet_shows_both_views() {
    let mut views = BTreeSet::new();
    for name in ["inspection-railcar", "village-bus-automatic"] {
        for picture in drawn(&read_example(name), Paper::A4, None).0.pictures {
            let of_picture: BTreeSet<String> =
                gears(&parsed(name, &picture.svg)).into_iter().map(|gear| gear.view).collect();
            let is_whole = picture.kind == Pictures::Faces;
            assert!(is_whole || of_picture.len() < 2, "{name}, {}: {of_picture:?}", picture.file_name);
            views.extend(of_picture);
        }
    }
    assert_eq!(views.len(), 2, "both sides are drawn");
}

/// A gear may have the name of a pattern, and a title may look like an element.
#[test]
fn the_pictures_on_a_page_keep_their_names_and_have_ids_of_their_own() {
    let text = r#"Gearset(title: "</title><b>", members: {"s": [Sun("url(#rising)", 24)], "c": []},
        planets: {"p": (carrier: "c", pins: Equal(3), gears: [Gear("id=\"window\"", 18)])},
        meshes: [("url(#rising)", "id=\"window\"")])"#;
    let (drawings, page) = drawn(&read_set("names", text), Paper::A4, None);
    let page = page.strip_prefix("<!DOCTYPE html>\n").expect("it is HTML");
    let document = Document::parse(page).expect("it is well formed");
    assert_eq!(document.descendants().filter(|node| node.has_tag_name("b")).count(), 0);
    let ids: Vec<&str> = document.descendants().filter_map(|node| node.attribute("id")).collect();
    assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "every id once");
    for node in document.descendants() {
        for used in ["fill", "clip-path"].iter().filter_map(|key| node.attribute(*key)?.strip_prefix("url(#")) {
            assert!(ids.contains(&used.trim_end_matches(')')), "there is no {used}");
        }
    }
    let printed = drawings.pictures.iter().filter(|picture| picture.kind != Pictures::Faces);
    let names_of =
        |document: &Document<'_>| -> Vec<String> { gears(document).into_iter().map(|gear| gear.name).collect() };
    let alone: Vec<String> = printed.flat_map(|picture| names_of(&parsed("names", &picture.svg))).collect();
    assert_eq!(names_of(&document), alone);
    assert!(alone.contains(&"url(#rising)".to_owned()) && alone.contains(&"id=\"window\"".to_owned()), "{alone:?}");
}
