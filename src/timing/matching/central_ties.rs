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

use super::problem::{central_count, float};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Bodies, GearId, GearKind, Gearset, Measured, PlanetGroup, TimingRow};

/// Central gears in mesh with a cluster that are fixed to one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FixedGears {
    /// The gears, in the order of the description: the first is the one that others are measured against.
    pub gears: Vec<GearId>,
    /// What that does to the answer.
    pub relation: FixedRelation,
    /// Whether their ratios differ: then the clusters hold them fast to the carrier, and all of it turns as one piece.
    pub lock: bool,
}

/// What is known of how fixed gears stand against each other, and whether it matters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FixedRelation {
    /// It is given, and counts: a difference that all clusters have in common is felt as well.
    Counts,
    /// Their ratios differ and they can be turned together, so it does not matter.
    TurnedOut,
    /// It matters and is not known: clusters are matched with one another only. These gears would have to be
    /// measured; none where a reading would not be enough.
    Unknown {
        /// The gears without a reading.
        unread: Vec<GearId>,
    },
}

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
enum Body {
    Turns,
    Stands,
}

/// A row that hangs on a body by a gear.
struct Hung {
    row: usize,
    gear: GearId,
    ratio: Fraction,
    /// The gear from which its index is known: the first of the body, or its own.
    known_from: GearId,
}

impl CentralTies {
    pub(super) fn new(set: &Gearset, group: &PlanetGroup, equations: &[TimingRow], measured: &Measured) -> Self {
        let bodies = Bodies::for_good(set);
        let body_of = |row: &TimingRow| bodies.of(set.gear(central(row)).member()).index();
        let mut ties = Self {
            phases: Vec::new(),
            bodies: equations.iter().map(body_of).collect(),
            offsets: vec![0.0; equations.len()],
            doubts: vec![0.0; equations.len()],
            fixed: Vec::new(),
            shared: Vec::new(),
        };
        let mut of_phases: Vec<(usize, GearId, Fraction)> = Vec::new();
        let mut seen: Vec<usize> = Vec::new();
        let hung = |of: usize| -> Vec<Hung> {
            let on_body = equations.iter().enumerate().filter(|(_, row)| body_of(row) == of);
            hang(on_body, measured)
        };
        for (row, equation) in equations.iter().enumerate() {
            let of = body_of(equation);
            let hung = hung(of);
            let own = hung.iter().find(|hung| hung.row == row).expect("every row hangs on its body");
            let key = (of, own.known_from, own.ratio.clone());
            let phase = of_phases.iter().position(|other| *other == key).unwrap_or(of_phases.len());
            if phase == of_phases.len() {
                of_phases.push(key);
            }
            ties.phases.push(phase);
            let shared = hung.iter().filter(|it| it.known_from == own.known_from && it.ratio == own.ratio).count() > 1;
            if shared {
                ties.shared.push((phase, own.known_from));
                ties.offsets[row] = offset(set, equation, measured);
                ties.doubts[row] = doubt(set, equation, measured);
            }
            if !seen.contains(&of) {
                seen.push(of);
                let while_fitting = if of == bodies.of(group.carrier()).index() { Body::Stands } else { Body::Turns };
                ties.fixed.extend(fixed(&hung, while_fitting));
            }
        }
        ties.do_not_take_in_twice();
        ties.shared.sort();
        ties.shared.dedup();
        ties
    }
}

impl CentralTies {
    /// Turning one body against the carrier takes in how its gears at two ratios stand. With two such bodies that
    /// leaves a condition between them, which is not looked at.
    fn do_not_take_in_twice(&mut self) {
        if self.fixed.iter().filter(|fixed| fixed.lock).count() > 1 {
            for fixed in self.fixed.iter_mut().filter(|fixed| fixed.lock) {
                fixed.relation = FixedRelation::Unknown { unread: Vec::new() };
            }
        }
    }
}

fn central(row: &TimingRow) -> GearId {
    row.central.expect("without meshed planets every mesh has a central gear")
}

fn hang<'a>(on_body: impl Iterator<Item = (usize, &'a TimingRow)>, measured: &Measured) -> Vec<Hung> {
    let rows: Vec<(usize, &TimingRow)> = on_body.collect();
    let first = rows.iter().map(|(_, row)| central(row)).min();
    let is_read = |gear: GearId| measured.central.iter().any(|reading| reading.gear == gear);
    let hung = |&(number, row): &(usize, &TimingRow)| {
        let gear = central(row);
        let known_from = first.filter(|_| is_read(gear)).unwrap_or(gear);
        let ratio = fraction(central_count(row), row.terms[0].tooth_count.abs());
        Hung { row: number, gear, ratio, known_from }
    };
    rows.iter().map(hung).collect()
}

/// What is to be said of the gears of one body.
fn fixed(hung: &[Hung], while_fitting: Body) -> Option<FixedGears> {
    let mut gears: Vec<GearId> = hung.iter().map(|hung| hung.gear).collect();
    gears.sort();
    gears.dedup();
    if hung.len() < 2 {
        return None;
    }
    let mut phases: Vec<(GearId, &Fraction)> = hung.iter().map(|hung| (hung.known_from, &hung.ratio)).collect();
    phases.sort();
    phases.dedup();
    let is_free = |[a, b]: [&(GearId, &Fraction); 2]| a.1 != b.1 && while_fitting == Body::Turns;
    let relation = match phases.as_slice() {
        [_] => FixedRelation::Counts,
        [a, b] if is_free([a, b]) => {
            if hung.len() == 2 {
                FixedRelation::TurnedOut
            } else {
                FixedRelation::Counts
            }
        }
        _ => {
            let unread = |gear: &&GearId| **gear != gears[0] && hung.iter().any(|it| it.known_from == **gear);
            FixedRelation::Unknown { unread: gears.iter().filter(unread).copied().collect() }
        }
    };
    let lock = hung.iter().any(|it| it.ratio != hung[0].ratio);
    Some(FixedGears { gears, relation, lock })
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
