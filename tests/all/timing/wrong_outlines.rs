//! Do wrong seatings overlap as the table of them says?
//!
//! Seatings of the examples are laid out as involute outlines, measured by a general polygon
//! library. With central gears that lean half way, one jams while the backlash is a little
//! less than what it goes in from, and is clear when it is a little more. Meshed planets are
//! laid out without any lean: then a mesh is clear once half the backlash covers its error.

use std::f64::consts::PI;

use toothmark::exact::{fraction, to_float};
use toothmark::gearset::Gearset;
use toothmark::timing::{SeatingQuestion, SeatingsAnswer, WrongSeating, wrong_seatings};

use crate::support::face_view::check_margin;
use crate::support::outlines::NO_OVERLAP;
use crate::support::sets::{read_example, timing_of};
use crate::timing::outlined_timing::layout;

/// The wrong seatings of the first group out by a fifth of a tooth at most: with more backlash than
/// that, teeth come to a point.
#[track_caller]
fn seatings(name: &str, set: &Gearset) -> Vec<WrongSeating> {
    let question = SeatingQuestion { within: fraction(1, 5), ..SeatingQuestion::default() };
    let group = wrong_seatings(set, &question).expect("no dial").groups.remove(0);
    assert_eq!(group.answer, SeatingsAnswer::Listed, "{name}");
    group.wrong_seatings
}

/// Lays out the first few wrong seatings of a cluster.
#[track_caller]
fn check_cluster(name: &str, planet: &str, number: usize) {
    let set = read_example(name);
    let timing = timing_of(name, &set, planet);
    let seatings = seatings(name, &set);
    assert!(seatings.len() >= number, "{name}: only {} wrong seatings", seatings.len());
    for seating in &seatings[..number] {
        let case = format!("{name} turned by {}", seating.turns[0].turns);
        check_margin(
            &layout(&case, &set, &timing),
            to_float(&seating.turns[0].turns),
            to_float(&seating.largest_error),
        );
        if let Some(from) = seating.goes_in_from_mm {
            // One pitch everywhere: what it goes in from is the largest error as an arc.
            let pitch = set.meshes()[0].pitch().expect("given").circular_pitch();
            assert!((from - to_float(&seating.largest_error) * pitch).abs() < 1e-9, "{case}: from {from}");
        }
    }
}

/// Lays out the first few wrong seatings of a pair of meshed planets.
#[track_caller]
fn check_pair(name: &str, planet: &str, number: usize) {
    let set = read_example(name);
    let timing = timing_of(name, &set, planet);
    let seatings = seatings(name, &set);
    assert!(seatings.len() >= number, "{name}: only {} wrong seatings", seatings.len());
    for seating in &seatings[..number] {
        let case = format!("{name} turned by {} and {}", seating.turns[0].turns, seating.turns[1].turns);
        let mut wrong = layout(&case, &set, &timing);
        wrong.planets.turns[1] += to_float(&seating.turns[0].turns);
        wrong.partners.as_mut().expect("they mesh").planets.turns[1] += to_float(&seating.turns[1].turns);
        let arc = to_float(&seating.largest_error) * PI;
        let (jams, fits) = (wrong.overlap(1, arc * 0.95), wrong.overlap(1, arc * 1.05));
        assert!(jams > NO_OVERLAP, "{case}: fits with less play than its error ({jams})");
        assert!(fits < NO_OVERLAP, "{case}: jams with more play than its error ({fits})");
    }
}

#[test]
fn wrong_clusters_jam_below_the_backlash_that_the_table_says_and_are_clear_above() {
    check_cluster("inspection-railcar", "cluster", 5);
    check_cluster("trap-gear", "cluster", 4);
    check_cluster("orchard-truck", "cluster", 3);
    check_cluster("solar-tracker", "cluster", 3);
    check_cluster("tower-clock-jack", "cluster", 3);
    check_cluster("profile-shift-swap", "cluster", 2);
}

#[test]
fn wrong_pairs_of_planets_overlap_by_the_error_that_the_table_says() {
    check_pair("two-sun-braid-gear", "first cluster", 4);
    check_pair("double-stepped-hoist", "inner cluster", 4);
    check_pair("two-ring-braid-gear", "first cluster", 3);
}
