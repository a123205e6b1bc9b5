//! Central gears that are fixed to one another: how far does each bind the others while clusters are fitted?
//!
//! With theta the turn of a body of central gears and r = Z / P of a row, P positive, the phase of the row, in turns of
//! the cluster, is `-r theta` and a constant (the place of teeth on the line of centres, as in
//! [`crate::timing::loops`]):
//!
//! `(h + 1/2 - k sign(Z)) / P (mod 1/P)`,
//!
//! h being 0 for a planet at a sun, P/2 in a ring and Z/2 for a planet with internal teeth, k the index of the
//! central gear in teeth. Rows of one ratio that hang on one body share their phase. Two ratios on one body are
//! as free as two bodies, for theta takes in what they are apart; on the carrier there is no theta to
//! turn. Worked out here.

use super::answer::{FixedGears, FixedIndex};
use super::problem::{central_count, float};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Bodies, GearId, GearKind, Gearset, Measured, PlanetGroup, TimingRow};

/// What the rows of a cluster hang on.
#[derive(Debug)]
pub(super) struct CentralTies {
    /// For each row its phase, counted from 0.
    pub(super) phases: Vec<usize>,
    /// For each row the body that its central gear is on.
    pub(super) bodies: Vec<usize>,
    /// For each row the constant of its phase, in teeth of the cluster's gear; 0 where it has the phase alone.
    pub(super) offsets: Vec<f64>,
    /// For each row by how much that may be off.
    pub(super) doubts: Vec<f64>,
    pub(super) fixed: Vec<FixedGears>,
    /// The phases that several rows share, with the gear whose mark tells theta.
    pub(super) shared: Vec<(usize, GearId)>,
}

/// Whether a body can be turned against the carrier while the clusters are fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum WhileFitting {
    Turns,
    Stands,
}

/// A row that hangs on a body by a central gear.
struct HungRow {
    body: usize,
    gear: GearId,
    /// r = Z / P.
    ratio: Fraction,
    /// The gear from which its index is known: the first of the body, or its own.
    known_from: GearId,
}

impl CentralTies {
    pub(super) fn new(set: &Gearset, group: &PlanetGroup, equations: &[TimingRow], measured: &Measured) -> Self {
        let bodies = Bodies::for_good(set);
        let body_of = |row: &TimingRow| bodies.of(set.gear(central(row)).member()).index();
        let rows = hang(equations, &equations.iter().map(body_of).collect::<Vec<_>>(), measured);
        let phases = number_phases(&rows);
        let is_shared = |row: usize| rows.iter().filter(|other| other.has_phase_of(&rows[row])).count() > 1;
        let of_shared = |of: fn(&Gearset, &TimingRow, &Measured) -> f64| -> Vec<f64> {
            let of_row = |(row, equation)| if is_shared(row) { of(set, equation, measured) } else { 0.0 };
            equations.iter().enumerate().map(of_row).collect()
        };
        let mut shared: Vec<(usize, GearId)> =
            (0..rows.len()).filter(|&row| is_shared(row)).map(|row| (phases[row], rows[row].known_from)).collect();
        shared.sort();
        shared.dedup();
        Self {
            offsets: of_shared(offset),
            doubts: of_shared(doubt),
            bodies: rows.iter().map(|row| row.body).collect(),
            fixed: fixed_gears(&rows, bodies.of(group.carrier()).index()),
            phases,
            shared,
        }
    }
}

impl HungRow {
    /// Whether two rows have one phase: on one body, from one index, at one ratio.
    fn has_phase_of(&self, other: &Self) -> bool {
        self.body == other.body && self.known_from == other.known_from && self.ratio == other.ratio
    }
}

fn central(row: &TimingRow) -> GearId {
    row.central.expect("without meshed planets every mesh has a central gear")
}

fn hang(equations: &[TimingRow], bodies: &[usize], measured: &Measured) -> Vec<HungRow> {
    let is_read = |gear: GearId| measured.central.iter().any(|reading| reading.gear == gear);
    let hung = |(equation, &body): (&TimingRow, &usize)| {
        let gear = central(equation);
        let on_body = equations.iter().zip(bodies).filter(|(_, other)| **other == body);
        let first = on_body.map(|(row, _)| central(row)).min();
        HungRow {
            body,
            gear,
            ratio: fraction(central_count(equation), equation.terms[0].tooth_count.abs()),
            known_from: first.filter(|_| is_read(gear)).unwrap_or(gear),
        }
    };
    equations.iter().zip(bodies).map(hung).collect()
}

/// For each row its phase, counted from 0.
fn number_phases(rows: &[HungRow]) -> Vec<usize> {
    let mut firsts: Vec<&HungRow> = Vec::new();
    let mut phases = Vec::new();
    for row in rows {
        let known = firsts.iter().position(|first| first.has_phase_of(row));
        phases.push(known.unwrap_or(firsts.len()));
        if known.is_none() {
            firsts.push(row);
        }
    }
    phases
}

/// What is to be said of each body with several rows.
fn fixed_gears(rows: &[HungRow], carrier: usize) -> Vec<FixedGears> {
    let mut found: Vec<FixedGears> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let on_body: Vec<&HungRow> = rows.iter().filter(|other| other.body == row.body).collect();
        if on_body.len() > 1 && !rows[..at].iter().any(|earlier| earlier.body == row.body) {
            let while_fitting = if row.body == carrier { WhileFitting::Stands } else { WhileFitting::Turns };
            found.push(on_one_body(&on_body, while_fitting));
        }
    }
    // Turning one body against the carrier takes in how its gears at two ratios stand. With two such bodies that
    // leaves a condition between them, which is not looked at.
    if found.iter().filter(|fixed| fixed.locked).count() > 1 {
        for fixed in found.iter_mut().filter(|fixed| fixed.locked) {
            (fixed.index, fixed.unread) = (FixedIndex::Unknown, Vec::new());
        }
    }
    found
}

/// What is to be said of the gears of one body.
fn on_one_body(rows: &[&HungRow], while_fitting: WhileFitting) -> FixedGears {
    let mut gears: Vec<GearId> = rows.iter().map(|row| row.gear).collect();
    gears.sort();
    gears.dedup();
    let mut phases: Vec<(GearId, &Fraction)> = rows.iter().map(|row| (row.known_from, &row.ratio)).collect();
    phases.sort();
    phases.dedup();
    let index = match phases.as_slice() {
        [_] => FixedIndex::Counts,
        // One turn of the body takes in the difference of two ratios.
        [a, b] if a.1 != b.1 && while_fitting == WhileFitting::Turns => {
            if rows.len() == 2 {
                FixedIndex::TurnedOut
            } else {
                FixedIndex::Counts
            }
        }
        _ => FixedIndex::Unknown,
    };
    let is_unread = |gear: &GearId| *gear != gears[0] && rows.iter().any(|row| row.known_from == *gear);
    let unread = match index {
        FixedIndex::Unknown => gears.iter().copied().filter(is_unread).collect(),
        FixedIndex::Counts | FixedIndex::TurnedOut => Vec::new(),
    };
    FixedGears { locked: rows.iter().any(|row| row.ratio != rows[0].ratio), gears, index, unread }
}

/// The constant of the phase of a row, in teeth of the cluster's gear.
fn offset(set: &Gearset, row: &TimingRow, measured: &Measured) -> f64 {
    let (planet, gear) = (set.gear(row.terms[0].gear), set.gear(central(row)));
    let half_turns = if planet.kind() == GearKind::Internal {
        gear.tooth_count().get()
    } else if gear.kind() == GearKind::Internal {
        planet.tooth_count().get()
    } else {
        0
    };
    let read = measured.central.iter().find(|reading| reading.gear == central(row));
    let index = read.map_or(0.0, |reading| reading.offset.teeth(gear.tooth_count().get()));
    let sense = float(central_count(row).signum());
    (f64::from(half_turns) / 2.0 + 0.5 - sense * index).rem_euclid(1.0)
}

/// How much the index of a central gear may be off, in teeth.
fn doubt(set: &Gearset, row: &TimingRow, measured: &Measured) -> f64 {
    let (gear, uncertainty) = (central(row), measured.uncertainty.as_ref());
    let Some(reading) = measured.central.iter().find(|reading| reading.gear == gear) else { return 0.0 };
    let count = set.gear(gear).tooth_count().get();
    let pitch_radius = set.mesh(row.mesh).pitch().map(|pitch| pitch.module() * f64::from(count) / 2.0);
    let radius = reading.offset.radius().or(pitch_radius);
    uncertainty.and_then(|uncertainty| uncertainty.teeth(count, radius)).unwrap_or(0.0)
}
