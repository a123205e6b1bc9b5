//! How is every planet turned, also where no turn is right?
//!
//! A pin that goes together has its turns from the timing. For any other the closest seating is
//! looked up: of all whole tooth moves the one whose worst mesh is least out, and the turns that
//! leave just its errors.

use crate::exact::{Congruences, ExactFit, Fraction, Target, nearest_miss};
use crate::gearset::{Gearset, PlanetGroup, TimingRows};
use crate::timing::GroupTiming;

/// For each pin the turn of each planet of the group relative to its own radius, in turns.
///
/// # Errors
/// The first pin, counted from 1, of which too many seatings would have to be looked at.
pub(super) fn seatings(set: &Gearset, group: &PlanetGroup, timed: &GroupTiming) -> Result<Vec<Vec<Fraction>>, usize> {
    let rows = set.matrix().timing(group);
    let spacings = group.spacings();
    let seating = |(pin, place): (usize, &Fraction)| match &timed.pins[pin].turns {
        Some(turns) => Ok(turns.values().cloned().collect()),
        None => closest(&rows, place).ok_or(pin + 1),
    };
    spacings.iter().enumerate().map(seating).collect()
}

/// The turns of the closest seating at a place.
fn closest(rows: &TimingRows, place: &Fraction) -> Option<Vec<Fraction>> {
    let matrix = rows.matrix();
    let target = Target { offset: rows.right_sides(place), ..Target::integers(rows.len()) };
    let miss = nearest_miss(&matrix, &target, ExactFit::Counted).ok()??;
    let right: Vec<Fraction> = target.offset.iter().zip(&miss.errors).map(|(offset, error)| offset + error).collect();
    Congruences::new(&matrix).solve(&right).ok()
}
