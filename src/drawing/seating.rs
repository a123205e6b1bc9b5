//! How is every planet turned, also where no turn is right?
//!
//! A pin that goes together has its turns from the timing. For any other the closest seating is
//! looked up: of all whole tooth moves the one whose worst mesh is least out, and the turns that
//! leave just its errors.

use crate::exact::{Congruences, ExactFit, Fraction, IntegerMatrix, Target, multiple, nearest_miss};
use crate::gearset::{Gearset, PlanetGroup};
use crate::timing::{Equation, GroupTiming, equations};

use super::layout::NotDrawn;

/// For each pin the turn of each planet of the group relative to its own radius, in turns.
pub(super) fn seatings(
    set: &Gearset,
    group: &PlanetGroup,
    timed: &GroupTiming,
) -> Result<Vec<Vec<Fraction>>, NotDrawn> {
    let rows = equations(set, group);
    let spacings = group.spacings();
    let seating = |(pin, place): (usize, &Fraction)| match &timed.pins[pin].turns {
        Some(turns) => Ok(turns.iter().map(|turn| turn.turn.clone()).collect()),
        None => closest(&rows, group.planets().len(), place).ok_or(NotDrawn::NoSeating(pin + 1)),
    };
    spacings.iter().enumerate().map(seating).collect()
}

/// The turns of the closest seating at a place.
fn closest(rows: &[Equation], planets: usize, place: &Fraction) -> Option<Vec<Fraction>> {
    let entry = |row: &Equation, planet: usize| -> i64 {
        row.terms.iter().filter(|term| term.planet == planet).map(|term| term.tooth_count).sum()
    };
    let entries = rows.iter().flat_map(|row| (0..planets).map(move |planet| entry(row, planet)));
    let matrix = IntegerMatrix::new(rows.len(), planets, entries);
    let offset: Vec<Fraction> = rows.iter().map(|row| multiple(place, row.place_coefficient)).collect();
    let target = Target { offset, ..Target::whole(rows.len()) };
    let miss = nearest_miss(&matrix, &target, ExactFit::Counted).ok()??;
    let right: Vec<Fraction> = target.offset.iter().zip(&miss.errors).map(|(offset, error)| offset + error).collect();
    Congruences::new(&matrix).solve(&right).ok()
}
