//! After how many turns of the input do marks line up again, and the same teeth meet?
//!
//! All is seen from the carrier: planets turn on pins that stand, and a central gear turns
//! `-P/Z` times as often as a planet that it meets. With v the turns of every body per turn
//! of the input, exact fractions in lowest terms, the smallest number of input turns that
//! makes all of them whole is the least common multiple of their denominators over the
//! greatest common divisor of their numerators. Two gears in mesh with a and b teeth bring
//! the same two teeth together after lcm(a, b) teeth.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

use super::tooth_marks::{GearMarks, UseAs};
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, Gearset, MemberId, MeshId, Pair, PlanetGroup, TimingRow};
use crate::kinematics::{Speed, StateMotion};

/// When the same two teeth of a mesh meet again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Meeting {
    /// The mesh.
    pub mesh: MeshId,
    /// The greatest common divisor of the two counts; 1: a hunting pair, every tooth of one
    /// meets every tooth of the other.
    pub common_factor: u16,
    /// The turns of each gear as seen from the carrier, in the order of the mesh.
    pub turns: Pair<u16>,
}

/// What becomes of the marks of a group in one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateReturn {
    /// The state's name.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// How the planets of the group move on their pins.
    pub rolling: Rolling,
}

/// How the planets of a group move against their carrier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Rolling {
    /// They roll, and come round again.
    Rolls(Box<Return>),
    /// They stand still on their pins: marks never part.
    Stands,
    /// The input does not determine how they move.
    Free,
    /// The input cannot turn.
    Locked,
}

impl Rolling {
    /// Whether they roll at a known speed.
    pub fn rolls(&self) -> bool {
        matches!(self, Self::Rolls(_))
    }
}

/// After how many turns of the input things come round again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Return {
    /// Every marked tooth stands in a marked space again, as seen from the carrier, with the
    /// marks made that are enough ([`UseAs::Marks`]); `None` where nothing is marked.
    pub line_up: Option<Fraction>,
    /// Every tooth of planets and central gears stands where it stood, as seen from the carrier.
    pub everything: Fraction,
    /// The turns of each body against the carrier by then: planets by their first gear in mesh,
    /// central gears each. Negative the other way round than the first; the same in every state.
    pub turns: Vec<BodyTurns>,
    /// For each mesh of the group when the same two teeth meet again on one pin.
    pub meetings: Vec<Fraction>,
}

/// How often a gear has turned against the carrier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BodyTurns {
    /// The gear.
    pub gear: GearId,
    /// Its turns.
    pub turns: BigInt,
}

pub(super) fn meetings(set: &Gearset, rows: &[TimingRow]) -> Vec<Meeting> {
    let meeting = |row: &TimingRow| {
        let Pair { first, second } = set.mesh(row.mesh).gears();
        let [first, second] = [first, second].map(|gear| set.gear(gear).tooth_count().get());
        let common_factor = first.gcd(&second);
        let turns = Pair { first: second / common_factor, second: first / common_factor };
        Meeting { mesh: row.mesh, common_factor, turns }
    };
    rows.iter().map(meeting).collect()
}

pub(super) fn state_returns(
    set: &Gearset,
    group: &PlanetGroup,
    rows: &[TimingRow],
    marks: &[GearMarks],
    motions: &[StateMotion],
) -> Vec<StateReturn> {
    let rolling = |motion: &StateMotion| match planet_speeds(group, motion) {
        Err(rolling) => rolling,
        Ok(speeds) => Rolling::Rolls(Box::new(come_round(set, rows, marks, &speeds))),
    };
    let of_state = |motion: &StateMotion| StateReturn {
        state: motion.state.clone(),
        input: motion.input,
        rolling: rolling(motion),
    };
    motions.iter().map(of_state).collect()
}

/// The speed of each planet of a group as seen from the carrier. They are in mesh with one
/// another, so that either all stand, or none does.
fn planet_speeds(group: &PlanetGroup, motion: &StateMotion) -> Result<Vec<Fraction>, Rolling> {
    let relative = |&planet: &MemberId| {
        let member = motion.members.iter().find(|member| member.member == planet);
        member.and_then(|member| member.relative_to_carrier.as_ref())
    };
    let speed = |planet: &MemberId| match relative(planet) {
        Some(Speed::Determined(speed)) if speed.is_zero() => Err(Rolling::Stands),
        Some(Speed::Determined(speed)) => Ok(speed.clone()),
        Some(Speed::Locked) => Err(Rolling::Locked),
        Some(Speed::Free | Speed::WithoutMeaning) | None => Err(Rolling::Free),
    };
    group.planets().iter().map(speed).collect()
}

fn come_round(set: &Gearset, rows: &[TimingRow], marks: &[GearMarks], planets: &[Fraction]) -> Return {
    let bodies = body_speeds(rows, planets);
    let sense = planets[0].signum();
    let everything = least_multiple(bodies.iter().map(|(_, speed)| speed));
    let turns = bodies
        .iter()
        .map(|(gear, speed)| BodyTurns { gear: *gear, turns: (speed * &everything * &sense).to_integer() });
    let meeting = |row: &TimingRow| {
        let term = row.terms[0];
        let other = row.central.unwrap_or_else(|| row.terms[row.terms.len() - 1].gear);
        let [own, other] = [term.gear, other].map(|gear| i64::from(set.gear(gear).tooth_count().get()));
        fraction(other / own.gcd(&other), 1) / planets[term.planet].abs()
    };
    Return {
        line_up: line_up(set, marks, &bodies),
        turns: turns.collect(),
        meetings: rows.iter().map(meeting).collect(),
        everything,
    }
}

/// The speed of each body as seen from the carrier: of each planet by its first gear in mesh,
/// and of each central gear.
fn body_speeds(rows: &[TimingRow], planets: &[Fraction]) -> Vec<(GearId, Fraction)> {
    let mut bodies: Vec<(GearId, Fraction)> = Vec::new();
    for (planet, speed) in planets.iter().enumerate() {
        let first = rows.iter().flat_map(|row| &row.terms).find(|term| term.planet == planet);
        bodies.extend(first.map(|term| (term.gear, speed.clone())));
    }
    for row in rows {
        let Some(central) = row.central else { continue };
        if !bodies.iter().any(|(gear, _)| *gear == central) {
            let term = row.terms[0];
            bodies.push((central, &planets[term.planet] * fraction(-term.tooth_count, row.place_coefficient)));
        }
    }
    bodies
}

/// When each marked planet has made whole turns and each central gear has moved its marked
/// spaces onto one another; marks that are a check only are left aside.
fn line_up(set: &Gearset, marks: &[GearMarks], bodies: &[(GearId, Fraction)]) -> Option<Fraction> {
    let speed_of = |gear: GearId| bodies.iter().find(|(body, _)| *body == gear).map(|(_, speed)| speed);
    let same_body = |gear: GearId| bodies.iter().find(|(body, _)| set.gear(*body).member() == set.gear(gear).member());
    let mut patterns: Vec<Fraction> = Vec::new();
    for marks in marks.iter().filter(|marks| marks.use_as == UseAs::Marks) {
        patterns.extend(same_body(marks.gear).map(|(_, speed)| speed.clone()));
        if let Some(speed) = marks.central.and_then(speed_of) {
            let teeth = set.gear(marks.central?).tooth_count().get().into();
            patterns.push(speed * fraction(teeth, period(&marks.spaces(), teeth)));
        }
    }
    (!patterns.is_empty()).then(|| least_multiple(&patterns))
}

/// By how many spaces a gear has to turn for its marked spaces to stand where marked ones stood.
fn period(spaces: &[i64], teeth: i64) -> i64 {
    let repeats = |by: &i64| spaces.iter().all(|space| spaces.binary_search(&((space + by) % teeth)).is_ok());
    (1..teeth).filter(|by| teeth % by == 0).find(repeats).unwrap_or(teeth)
}

/// The smallest positive number that makes every one of these fractions, none of them zero,
/// whole when multiplied.
fn least_multiple<'a>(values: impl IntoIterator<Item = &'a Fraction>) -> Fraction {
    let start = (BigInt::one(), BigInt::zero());
    let (numerator, denominator) =
        values.into_iter().fold(start, |(lcm, gcd), value| (lcm.lcm(value.denom()), gcd.gcd(value.numer())));
    Fraction::new(numerator, if denominator.is_zero() { BigInt::one() } else { denominator })
}
