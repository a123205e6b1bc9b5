//! Does the picture of a rotor show its holes where they are drilled, and at its scale?

use toothmark::bench::{Correction, HoleDirection, RotorBalance, balance};
use toothmark::drawing::{Paper, rotor_pictures};

use super::{drilled, iron, plan_in_iron, ring_of};
use crate::support::pictures::{DrawnGear, gears, parsed, size};
use crate::support::process::{command, run_with};

const DRILLS: [f64; 4] = [6.0, 8.0, 10.0, 12.0];

fn drawn(answer: &RotorBalance) -> Vec<DrawnGear> {
    let pictures = rotor_pictures(answer, "Disc", Paper::A4);
    let [picture] = &pictures[..] else { panic!("{} pictures", pictures.len()) };
    let document = parsed("rotor", picture);
    near(size("rotor", &document), [210.0, 297.0]);
    gears(&document)
}

#[track_caller]
fn near(found: [f64; 2], expected: [f64; 2]) {
    let off = (found[0] - expected[0]).hypot(found[1] - expected[1]);
    assert!(off < 0.01, "{found:?} for {expected:?}");
}

/// The mark is up and angles go counter-clockwise: 90 degrees are on the left, 120 further down.
#[test]
fn holes_stand_where_they_are_drilled_at_full_size() {
    let places = ring_of(12, 70.0);
    let answer = balance(&drilled((1500.0, 100.0), 120.0, places, iron(&DRILLS))).expect("a plan");
    let angles: Vec<(f64, f64)> =
        answer.plan.iter().map(|hole| (hole.place_degrees.to_radians(), hole.drill_mm)).collect();
    let holes = drawn(&answer);
    assert_eq!((holes.len(), angles.len()), (2, 2));
    let [first, second] = [0, 1].map(|hole: usize| {
        let (angle, drill) = angles[hole];
        let [least, greatest] = holes[hole].radii();
        assert!((least - drill / 2.0).abs() < 0.01 && (greatest - drill / 2.0).abs() < 0.01, "{least} {greatest}");
        [-70.0 * angle.sin(), -70.0 * angle.cos()]
    });
    let [at_first, at_second] = [0, 1].map(|hole: usize| holes[hole].center());
    near([at_second[0] - at_first[0], at_second[1] - at_first[1]], [second[0] - first[0], second[1] - first[1]]);
}

/// 95 mm and half of the largest drill are more than the paper has room for.
#[test]
fn what_does_not_fit_is_drawn_smaller_and_says_so() {
    let answer = plan_in_iron((2122.0, 100.0), 120.0, &DRILLS);
    let holes = drawn(&answer);
    let [first, second] = [0, 1].map(|hole: usize| holes[hole].center());
    // 90 and 120 degrees: a chord of 2 x 95 mm x sin 15 degrees, at 1 to 1.5.
    let chord = (second[0] - first[0]).hypot(second[1] - first[1]);
    assert!((chord * 1.5 - 190.0 * 15.0_f64.to_radians().sin()).abs() < 0.01, "{chord}");
    assert!(rotor_pictures(&answer, "Disc", Paper::Letter)[0].contains("balance, 1:1.5"));
}

/// A hole from the rim is a rectangle with a point, its full depth and 0.3004 d more towards the axis.
#[test]
fn holes_from_the_rim_are_seen_from_the_side() {
    let mut asked = drilled((700.0, 0.0), 60.0, ring_of(12, 70.0), iron(&DRILLS));
    let Some(Correction { drilling: Some(drilling), .. }) = &mut asked.correction else { panic!("it is drilled") };
    drilling.direction = HoleDirection::Radial;
    let answer = balance(&asked).expect("a plan");
    let [hole] = &answer.plan[..] else { panic!("{:?}", answer.plan) };
    let outline = drawn(&answer)[0].contours[0].clone();
    // The mark is up: the hole is as wide as the drill and goes down.
    let [xs, ys] = [0, 1].map(|axis: usize| outline.iter().map(|point| point[axis]).collect::<Vec<f64>>());
    let spread = |values: &[f64]| {
        values.iter().copied().fold(f64::MIN, f64::max) - values.iter().copied().fold(f64::MAX, f64::min)
    };
    let told = [spread(&xs), spread(&ys)];
    near(told, [hole.drill_mm, hole.depth_mm + 0.300_430_3 * hole.drill_mm]);
}

/// Names are escaped, two planes are two files, and a file that is there is kept.
#[test]
fn pictures_are_written_beside_the_answer() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("rotor-pictures");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("rotor.svg").display().to_string();
    let two = ["--reading=8.5@63", "--reading=6.5@206", "--trial=10g@95mm@270deg=5.9@123;4.5@228"];
    let asked = [&["bench", "balance", "--seen=input", "--trial=12g@95mm@180deg=6.2@36;10.4@162"], &two[..]].concat();
    let asked = [&asked[..], &["--picture", &path]].concat();
    let first = run_with(command(&asked), b"");
    assert_eq!(first.code, 0, "{}", first.stderr);
    for name in ["rotor.svg", "rotor-plane-2.svg"] {
        let svg = std::fs::read_to_string(folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(parsed(name, &svg).root_element().has_tag_name(("http://www.w3.org/2000/svg", "svg")), "{name}");
        assert!(first.stderr.contains(name), "{}", first.stderr);
    }
    let again = run_with(command(&asked), b"");
    assert_eq!((again.code, again.stdout.as_str()), (2, ""), "{}", again.stderr);
    let nothing = run_with(command(&["bench", "balance", "--chart", "--picture", "nothing.svg"]), b"");
    assert_eq!(nothing.code, 2, "{}", nothing.stdout);
}
