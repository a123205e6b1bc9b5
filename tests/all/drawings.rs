//! Do the pictures show the gearset, at its size?
//!
//! They are read back: outlines of gears in mesh do not overlap, and do where a planet is put in
//! wrong; lengths are those of the gearset; pages join; nothing from a file is markup; and the
//! program writes what it says, over nothing that is there.

use std::collections::BTreeMap;
use std::f64::consts::TAU;
use std::fs;
use std::path::PathBuf;

use roxmltree::Document;
use toothmark::drawing::{Drawings, Paper, Picture, Pictures, Request, draw, layout};
use toothmark::exact::to_float;
use toothmark::gearset::{DraftPins, DraftShift, Gearset};
use toothmark::timing::{Method, timing};

use crate::outlines::{CLEAR_OVERLAP, NO_OVERLAP, TOOTH_AREA};
use crate::pictures::{DrawnGear, gears, lines, moved, parsed, size, words};
use crate::process::run;
use crate::sets::{exact, file_stems, read_example, read_file, read_set, with_pins};

/// How many meshes of the pictures of the examples were looked at, each in both views; it only grows.
const MESHES: usize = 660;
/// How many planets of the examples were put in one tooth out; it only grows.
const WRONG_PLANETS: usize = 27;

fn drawn(set: &Gearset, paper: Paper, only: Option<Pictures>) -> Drawings {
    draw(set, Request { paper, only })
}

fn faces(set: &Gearset) -> Vec<Picture> {
    drawn(set, Paper::A4, Some(Pictures::Faces)).pictures
}

fn is_of_one_plane(picture: &Picture) -> bool {
    picture.file_name.contains("-plane-")
}

/// The pairs of gears of one picture and view that the description says are in mesh.
fn in_mesh<'a>(set: &Gearset, gears: &'a [DrawnGear]) -> Vec<[&'a DrawnGear; 2]> {
    let meshes = |a: &str, b: &str| {
        set.meshes().iter().any(|mesh| {
            let names = mesh.gears().both().map(|&gear| set.gear(gear).name());
            names == [a, b] || names == [b, a]
        })
    };
    let pairs = gears.iter().flat_map(|a| gears.iter().map(move |b| [a, b]));
    pairs
        .filter(|[a, b]| a.name < b.name && a.view == b.view && meshes(&a.name, &b.name))
        .filter(|[a, b]| a.pin.is_none() || b.pin.is_none() || a.pin == b.pin)
        .collect()
}

/// The area of a tooth of the gearset; the coarsest where there are several pitches.
fn tooth_area(set: &Gearset) -> f64 {
    let modules = set.meshes().iter().map(|mesh| mesh.pitch().map_or(1.0, toothmark::gearset::Pitch::module));
    TOOTH_AREA * modules.fold(0.0, f64::max).powi(2)
}

#[test]
fn drawn_gears_in_mesh_do_not_overlap_in_either_view() {
    let mut count = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        if timing(&set, Method::Quickest).iter().any(|group| !group.goes_together()) {
            continue;
        }
        for picture in faces(&set).iter().filter(|picture| is_of_one_plane(picture)) {
            let gears = gears(&parsed(&name, &picture.svg));
            for [a, b] in in_mesh(&set, &gears) {
                let overlap = a.overlap(b) / tooth_area(&set);
                assert!(
                    overlap < NO_OVERLAP,
                    "{name}, {}: {} and {} overlap by {overlap}",
                    picture.file_name,
                    a.name,
                    b.name
                );
                count += 1;
            }
        }
    }
    assert_eq!(count, MESHES, "the ledger of meshes");
}

/// The planets of the loom differential have the size of the gap between the suns: drawn in one
/// plane, each would touch the sun of the other.
#[test]
fn drawn_gears_of_one_plane_that_are_not_in_mesh_stay_clear_of_one_another() {
    let mut count = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        for picture in faces(&set).iter().filter(|picture| is_of_one_plane(picture)) {
            let gears = gears(&parsed(&name, &picture.svg));
            let meshing = in_mesh(&set, &gears);
            let is_meshing = |a: &DrawnGear, b: &DrawnGear| {
                meshing.iter().any(|pair| pair.iter().all(|gear| std::ptr::eq(*gear, a) || std::ptr::eq(*gear, b)))
            };
            let input: Vec<&DrawnGear> = gears.iter().filter(|gear| gear.view == "input").collect();
            for (index, &a) in input.iter().enumerate() {
                for &b in input[..index].iter().filter(|b| !is_meshing(a, b)) {
                    let overlap = a.overlap(b);
                    assert!(overlap < NO_OVERLAP, "{name}, {}: {} and {}", picture.file_name, a.name, b.name);
                    count += 1;
                }
            }
        }
    }
    assert!(count > 300, "only {count} pairs were looked at");
}

/// The planet on pin 2, turned back by one tooth of its first gear, has to be felt at another gear.
#[test]
fn a_drawn_planet_one_tooth_out_overlaps_another_gear() {
    let mut count = 0;
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        for planet in set.member_ids().filter(|&id| set.carrier_of(id).is_some()) {
            let of_planet: Vec<(&str, f64)> = set
                .member(planet)
                .gears()
                .iter()
                .map(|&gear| (set.gear(gear).name(), f64::from(set.gear(gear).tooth_count().get())))
                .collect();
            // By how much of a tooth the other gears are out; too little is taken up by thin teeth.
            let first = of_planet[0].1;
            let out = of_planet
                .iter()
                .map(|(_, teeth)| ((teeth / first) - (teeth / first).round()).abs())
                .fold(0.0, f64::max);
            if out < 0.05 {
                continue;
            }
            let pictures = faces(&set);
            let pictures: Vec<Document<'_>> = pictures
                .iter()
                .filter(|picture| is_of_one_plane(picture))
                .map(|picture| parsed(&name, &picture.svg))
                .collect();
            let worst =
                pictures.iter().map(|picture| turned_overlap(&set, &of_planet, &gears(picture))).fold(0.0, f64::max);
            if pictures
                .iter()
                .all(|picture| gears(picture).iter().all(|gear| gear.name != of_planet[0].0 || gear.pin != Some(2)))
            {
                continue;
            }
            assert!(worst > CLEAR_OVERLAP, "{name}: {of_planet:?} goes in one tooth out, with an overlap of {worst}");
            count += 1;
        }
    }
    assert_eq!(count, WRONG_PLANETS, "the ledger of wrong planets");
}

/// The greatest overlap of a planet on pin 2 that is turned by one tooth of its first gear.
fn turned_overlap(set: &Gearset, of_planet: &[(&str, f64)], gears: &[DrawnGear]) -> f64 {
    let is_turned = |gear: &DrawnGear| gear.pin == Some(2) && of_planet.iter().any(|(name, _)| *name == gear.name);
    let pairs = in_mesh(set, gears).into_iter().filter(|pair| pair.iter().any(|gear| is_turned(gear)));
    let overlap = |[a, b]: [&DrawnGear; 2]| {
        let (planet, other) = if is_turned(a) { (a, b) } else { (b, a) };
        planet.turned(planet.center(), TAU / of_planet[0].1).overlap(other) / tooth_area(set)
    };
    pairs.map(overlap).fold(0.0, f64::max)
}

#[test]
fn a_group_that_does_not_go_together_is_drawn_at_its_closest_with_the_misfit_that_timing_tells() {
    let refused = [
        ("cannot-be-trio", read_example("cannot-be-trio")),
        ("half-works-trio", read_example("half-works-trio")),
        (
            "loom-differential",
            with_pins("four", &read_example("loom-differential"), "left planet", &DraftPins::Equal(4)),
        ),
    ];
    for (name, set) in refused {
        let timed = &timing(&set, Method::Quickest)[0];
        let layout = layout(&set, &set.planet_groups()[0], timed).expect("it is drawn");
        let drawn_misfit = layout.worst_misfit().expect("it does not fit").teeth.abs();
        let told = to_float(&timed.closest.as_ref().expect("timing tells").seating.teeth);
        assert!((drawn_misfit - told).abs() < 1e-9, "{name}: {drawn_misfit} of a tooth against {told}");
        let drawings = drawn(&set, Paper::A4, None);
        assert_eq!(drawings.remarks.len(), 1, "{name}: {:?}", drawings.remarks);
        for picture in drawings.pictures.iter().filter(|picture| picture.file_name.starts_with("face")) {
            let words = words(&parsed(name, &picture.svg));
            assert!(words.contains("DOES NOT GO TOGETHER"), "{name}, {}: {words}", picture.file_name);
        }
    }
}

#[test]
fn lengths_on_paper_are_those_of_the_gearset() {
    let set = read_example("inspection-railcar");
    let picture = &faces(&set)[0];
    let document = parsed("plane 1", &picture.svg);
    size("plane 1", &document);
    let gears = gears(&document);
    let of =
        |name: &str, pin: Option<usize>| gears.iter().find(|gear| gear.name == name && gear.pin == pin).expect("drawn");
    let (sun, planet) = (of("D", None), of("d", Some(1)));
    // D 26 and d 31 of module 2.5: tips 1 module outside the pitch circle, roots 1.25 inside.
    assert_near("tip of D", sun.radii()[1], 35.0);
    assert_near("root of D", sun.radii()[0], 32.5 - 3.125);
    assert_near("tip of d", planet.radii()[1], 38.75 + 2.5);
    let ([x, y], [a, b]) = (sun.center(), planet.center());
    assert_near("centre distance", (x - a).hypot(y - b), 71.25);
    let circles = document.descendants().filter(|node| node.has_tag_name("circle"));
    let radii: Vec<&str> = circles.filter_map(|node| node.attribute("r")).collect();
    assert!(radii.contains(&"32.5") && radii.contains(&"38.75"), "pitch circles {radii:?}");
}

#[track_caller]
fn assert_near(what: &str, found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-3, "{what}: {found} instead of {expected}");
}

/// The slow pair asks for half a module more than the others; its shifts take that away.
#[test]
fn profile_shifts_bring_every_plane_to_one_centre_distance() {
    let distances = |set: &Gearset| -> Vec<f64> {
        let pictures = faces(set);
        let planes = pictures.iter().filter(|picture| is_of_one_plane(picture));
        planes
            .map(|picture| {
                let gears = gears(&parsed("shifted", &picture.svg));
                let [[x, y], [a, b]] =
                    [None, Some(1)].map(|pin| gears.iter().find(|gear| gear.pin == pin).expect("it is drawn").center());
                for [a, b] in in_mesh(set, &gears) {
                    assert!(a.overlap(b) / TOOTH_AREA < NO_OVERLAP, "{} and {} overlap", a.name, b.name);
                }
                (x - a).hypot(y - b)
            })
            .collect()
    };
    let set = read_example("profile-shift-swap");
    let [first, second, third] = distances(&set)[..] else { panic!("three planes") };
    assert_near("planes without shift", first, third);
    assert_near("the slow pair without shift", second - first, 0.5);
    let mut draft = set.draft().clone();
    let shift = |gear: &str, modules: &str| DraftShift { gear: gear.into(), modules: exact("a shift", modules) };
    draft.profile_shifts = vec![shift("L", "0"), shift("l", "-0.4671")];
    let shifted = Gearset::new(draft).expect("it is sound");
    let [first, second, third] = distances(&shifted)[..] else { panic!("three planes") };
    assert_near("planes that have none", first, third);
    assert_near("the slow pair with its shift", second, first);
    let words = words(&parsed("shifted", &faces(&shifted)[1].svg));
    assert!(words.contains("-0.4671 at l"), "{words}");
}

#[test]
fn the_view_from_the_output_side_is_the_mirror_image_of_that_from_the_input_side() {
    for picture in faces(&read_example("two-ring-braid-gear")) {
        let gears = gears(&parsed("braid", &picture.svg));
        let of_view = |view: &str| -> Vec<&DrawnGear> { gears.iter().filter(|gear| gear.view == view).collect() };
        let (input, output) = (of_view("input"), of_view("output"));
        assert_eq!(input.len(), output.len(), "{}: both views show the same", picture.file_name);
        // Left and right change about the middle between the two axes.
        let middle = input[0].center()[0] + output[0].center()[0];
        for (a, b) in input.iter().zip(output) {
            assert_eq!((&a.name, a.pin), (&b.name, b.pin), "{}", picture.file_name);
            for (p, q) in a.contours.iter().flatten().zip(b.contours.iter().flatten()) {
                let off = (p[0] + q[0] - middle).hypot(p[1] - q[1]);
                assert!(off < 1e-2, "{}: {} is not mirrored, {p:?} against {q:?}", picture.file_name, a.name);
            }
        }
    }
}

#[test]
fn every_picture_names_its_view_and_says_whether_it_is_to_scale() {
    for (name, scale) in [("inspection-railcar", "Scale 1:1, module 2.5"), ("village-bus-automatic", "NOT TO SCALE")] {
        for picture in faces(&read_example(name)) {
            let words = words(&parsed(name, &picture.svg));
            for needed in ["SEEN FROM THE INPUT SIDE", "SEEN FROM THE OUTPUT SIDE", scale] {
                assert!(words.contains(needed), "{name}, {}: no {needed:?} in {words}", picture.file_name);
            }
        }
        for picture in drawn(&read_example(name), Paper::A4, Some(Pictures::Discs)).pictures {
            let words = words(&parsed(name, &picture.svg)).replace("\n", " ");
            for needed in ["input side up; arrow to the centre", "output side up; arrow to the centre", scale] {
                assert!(words.contains(needed), "{name}, {}: no {needed:?} in {words}", picture.file_name);
            }
        }
    }
}

#[test]
fn pages_have_the_size_of_the_paper_and_a_ruler_of_100_mm() {
    let set = read_example("inspection-railcar");
    for (paper, expected) in [(Paper::A4, [210.0, 297.0]), (Paper::Letter, [215.9, 279.4])] {
        for only in [Pictures::Pages, Pictures::Discs] {
            let pages = drawn(&set, paper, Some(only)).pictures;
            assert!(pages.len() > 2, "{paper:?}, {only:?}: {} pages", pages.len());
            for page in pages {
                let document = parsed(&page.file_name, &page.svg);
                let size = size(&page.file_name, &document);
                assert!(size.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9), "{}: {size:?}", page.file_name);
                let rulers = lines(&document)
                    .into_iter()
                    .filter(|[[x, y], [a, b]]| (a - x - 100.0).abs() < 1e-9 && (y - b).abs() < 1e-9);
                assert_eq!(rulers.count(), 1, "{}: the ruler", page.file_name);
                assert!(words(&document).contains("100 mm"), "{}: what the ruler is for", page.file_name);
            }
        }
    }
}

/// The pages of one sheet, by row and column.
type Sheet = BTreeMap<(usize, usize), String>;

/// The pages of a set of pictures, by sheet.
fn sheets(pictures: &[Picture]) -> BTreeMap<String, Sheet> {
    let mut sheets: BTreeMap<String, Sheet> = BTreeMap::new();
    for picture in pictures {
        let (sheet, place) = picture.file_name.split_once("-row-").expect("a page has its row");
        let (row, column) = place.trim_end_matches(".svg").split_once("-column-").expect("a page has its column");
        let place = (row.parse().expect("a number"), column.parse().expect("a number"));
        sheets.entry(sheet.to_owned()).or_default().insert(place, picture.svg.clone());
    }
    sheets
}

/// The crosses of a page, as places of the sheet.
fn crosses(case: &str, svg: &str) -> Vec<[f64; 2]> {
    let document = parsed(case, svg);
    let [x, y] = moved(&document);
    let all = lines(&document);
    let level = all.iter().filter(|[a, b]| (a[1] - b[1]).abs() < 1e-9 && (b[0] - a[0] - 6.0).abs() < 1e-9);
    level.map(|[a, b]| [f64::midpoint(a[0], b[0]) - x, a[1] - y]).collect()
}

#[test]
fn neighbouring_pages_share_the_crosses_by_which_they_are_joined() {
    let mut joined = 0;
    for paper in [Paper::A4, Paper::Letter] {
        for (name, pages) in sheets(&drawn(&read_example("inspection-railcar"), paper, Some(Pictures::Pages)).pictures)
        {
            for (&(row, column), page) in &pages {
                for neighbour in [(row, column + 1), (row + 1, column)].iter().filter_map(|place| pages.get(place)) {
                    let (here, there) = (crosses(&name, page), crosses(&name, neighbour));
                    let near = |a: &[f64; 2], b: &[f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-3;
                    let shared = here.iter().filter(|a| there.iter().any(|b| near(a, b))).count();
                    assert_eq!(shared, 2, "{name}, row {row}, column {column}: {here:?} against {there:?}");
                    joined += 1;
                }
            }
        }
    }
    assert!(joined > 30, "only {joined} pages were joined");
}

#[test]
fn pages_show_every_gear_of_the_whole_picture_where_it_is() {
    let set = read_example("inspection-railcar");
    let whole = faces(&set);
    for (name, pages) in sheets(&drawn(&set, Paper::A4, Some(Pictures::Pages)).pictures) {
        let stem = name.replacen("page", "face", 1);
        let picture =
            whole.iter().find(|picture| picture.file_name == format!("{stem}.svg")).expect("the whole picture");
        for gear in gears(&parsed(&stem, &picture.svg)) {
            let shows = |svg: &String| gears(&parsed(&name, svg)).iter().any(|other| other.contours == gear.contours);
            assert!(pages.values().any(shows), "{name}: {} on pin {:?} is on no page", gear.name, gear.pin);
        }
    }
}

#[test]
fn no_disc_is_cut_by_the_edge_of_a_page() {
    for name in ["inspection-railcar", "village-bus-automatic", "cannot-be-trio"] {
        let set = read_example(name);
        let mut discs = 0;
        for page in drawn(&set, Paper::Letter, Some(Pictures::Discs)).pictures {
            let document = parsed(name, &page.svg);
            let [x, y] = moved(&document);
            let [width, height] = Paper::Letter.size();
            for gear in gears(&document) {
                let corners = gear.contours.iter().flatten().map(|corner| [corner[0] + x, corner[1] + y]);
                let inside = |[x, y]: [f64; 2]| x > 8.0 && x < width - 8.0 && y > 18.0 && y < height - 24.0;
                assert!(corners.into_iter().all(inside), "{name}, {}: {} is cut", page.file_name, gear.name);
                discs += 1;
            }
        }
        assert!(discs >= 6, "{name}: {discs} outlines on discs");
    }
}

const ODD_NAMES: &str = r#"Gearset(
    title: "</title><script>alert(1)</script> & \"odd\"",
    members: {"sun & <b>": [Sun("S\"'><x", 24)], "ring": [Ring("R&amp;", 60)], "carrier</svg>": []},
    planets: {"../../planet <i>": (carrier: "carrier</svg>", pins: Equal(3), gears: [Gear("p]]>", 18)])},
    meshes: [("S\"'><x", "p]]>"), ("R&amp;", "p]]>")],
)"#;

#[test]
fn nothing_from_a_file_is_markup_or_a_path() {
    let set = read_set("odd names", ODD_NAMES);
    let pictures = drawn(&set, Paper::A4, None).pictures;
    assert!(pictures.len() >= 3, "{} pictures", pictures.len());
    for picture in pictures {
        let plain = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
        assert!(picture.file_name.trim_end_matches(".svg").chars().all(plain), "{}", picture.file_name);
        let document = parsed(&picture.file_name, &picture.svg);
        let known = ["svg", "title", "defs", "pattern", "path", "rect", "text", "line", "circle", "g", "clipPath"];
        let elements = document.descendants().filter(roxmltree::Node::is_element);
        for element in elements {
            assert!(
                known.contains(&element.tag_name().name()),
                "{}: <{}>",
                picture.file_name,
                element.tag_name().name()
            );
        }
        let names: Vec<String> = gears(&document).into_iter().map(|gear| gear.name).collect();
        assert!(names.contains(&"p]]>".to_owned()), "{}: {names:?}", picture.file_name);
    }
}

#[test]
fn two_groups_of_one_file_name_get_pictures_of_their_own() {
    let text = r#"Gearset(title: "two", members: {"s": [Sun("A", 24), Sun("B", 24)], "c": [], "e": []},
        planets: {"a b": (carrier: "c", pins: Equal(3), gears: [Gear("p", 18)]),
                  "a-b": (carrier: "e", pins: Equal(3), gears: [Gear("q", 18)])},
        meshes: [("A", "p"), ("B", "q")])"#;
    let mut names: Vec<String> =
        drawn(&read_set("two", text), Paper::A4, None).pictures.into_iter().map(|picture| picture.file_name).collect();
    let count = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), count, "{names:?}");
    assert!(names.contains(&"face-a-b-2-plane-1.svg".to_owned()), "{names:?}");
}

fn read_example_of_tests(path: &str) -> Gearset {
    read_set(path, &read_file(&format!("tests/{path}")))
}

#[test]
fn what_cannot_be_drawn_is_said_in_words() {
    let remark = |text: &str| drawn(&read_set(text, text), Paper::A4, None).remarks.join("; ");
    let set = |planets: &str, meshes: &str| {
        let ring = if meshes.contains('R') { r#""r": [Ring("R", 72)],"# } else { "" };
        format!(
            r#"Gearset(title: "t", members: {{"s": [Sun("A", 24)], {ring} "c": []}},
            planets: {{{planets}}}, meshes: [{meshes}])"#
        )
    };
    let planet =
        |name: &str, gear: &str| format!(r#""{name}": (carrier: "c", pins: Equal(3), gears: [Gear({gear})]),"#);
    let near =
        set(&[planet("p", r#""p", 12"#), planet("q", r#""q", 12"#)].concat(), r#"("A", "p"), ("R", "q"), ("p", "q")"#);
    assert!(drawn(&read_set("near", &near), Paper::A4, None).remarks.is_empty(), "these reach each other");
    let far =
        set(&[planet("p", r#""p", 10"#), planet("q", r#""q", 9"#)].concat(), r#"("A", "p"), ("R", "q"), ("p", "q")"#);
    assert!(remark(&far).contains("cannot reach each other"), "{}", remark(&far));
    let small = set(&planet("p", r#""p", 2"#), r#"("A", "p")"#);
    assert!(remark(&small).contains("the teeth of p 2 cannot be drawn"), "{}", remark(&small));
    let none = r#"Gearset(title: "t", members: {})"#;
    assert!(remark(none).contains("nothing to draw"), "{}", remark(none));
    let beside = &read_example_of_tests("accepted/planets-of-two-kinds-half-a-tooth-apart.ron");
    assert_eq!(
        drawn(beside, Paper::A4, None).remarks.is_empty(),
        timing(beside, Method::Quickest).iter().all(toothmark::timing::GroupTiming::goes_together),
        "planets of two kinds that do not go in side by side are remarked on"
    );
    let large = set(&planet("p", r#""p", 1500"#), r#"("A", "p")"#);
    assert!(remark(&large).contains("pages of A4 would be too many"), "{}", remark(&large));
}

/// A folder that is gone when the test ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("toothmark-{name}-{}", std::process::id()));
        Self(path)
    }

    fn path(&self) -> &str {
        self.0.to_str().expect("a plain path")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn the_program_writes_what_it_lists_and_nothing_over_what_is_there() {
    let folder = Folder::new("draw");
    let inner = format!("{}/made/here", folder.path());
    let first = run(&["draw", "-o", &inner]);
    assert_eq!((first.code, first.stderr.as_str()), (0, ""), "{}", first.stdout);
    let mut listed: Vec<String> = first.stdout.lines().map(str::to_owned).collect();
    listed.sort();
    let there = fs::read_dir(&inner).expect("the folder is made").map(|entry| entry.expect("it can be read").path());
    let mut there: Vec<String> = there.map(|path| path.display().to_string()).collect();
    there.sort();
    assert_eq!(listed, there, "what is listed is what is there");

    fs::write(&there[0], "mine").expect("it can be written");
    let again = run(&["draw", "-o", &inner]);
    assert_eq!(again.code, 2, "{}", again.stdout);
    assert!(again.stderr.contains("is there already") && again.stderr.contains("--force"), "{}", again.stderr);
    assert_eq!(fs::read_to_string(&there[0]).expect("it is there"), "mine", "nothing was written over");
    assert_eq!(run(&["draw", "-o", &inner, "--force"]).code, 0);
    assert_ne!(fs::read_to_string(&there[0]).expect("it is there"), "mine", "with --force it is");
}

#[test]
fn the_program_draws_only_what_is_asked_for() {
    for (only, start) in [("faces", "face-"), ("pages", "page-"), ("discs", "disc-")] {
        let folder = Folder::new(only);
        let run = run(&["draw", "-o", folder.path(), "--only", only, "--paper", "letter"]);
        let names: Vec<&str> = run.stdout.lines().filter_map(|line| line.rsplit('/').next()).collect();
        assert!(!names.is_empty() && names.iter().all(|name| name.starts_with(start)), "{only}: {names:?}");
    }
}

#[test]
fn the_program_ends_with_1_where_not_everything_goes_together_or_can_be_drawn() {
    for (name, words) in [("cannot-be-trio", "does not go together"), ("bevel-differential", "is a bevel gear")] {
        let folder = Folder::new(name);
        let run = run(&["draw", &format!("../gearsets/{name}.ron"), "-o", folder.path(), "--only", "faces"]);
        assert_eq!((run.code, run.stdout.contains(words)), (1, true), "{name}: {}", run.stdout);
    }
}

#[test]
fn a_folder_that_cannot_be_made_is_a_wrong_request() {
    let file = Folder::new("file");
    fs::write(&file.0, "a file").expect("it can be written");
    let run = run(&["draw", "-o", file.path()]);
    fs::remove_file(&file.0).expect("it is there");
    assert_eq!(run.code, 2, "{}", run.stdout);
    assert!(run.stderr.contains("there is a file of that name"), "{}", run.stderr);
}
