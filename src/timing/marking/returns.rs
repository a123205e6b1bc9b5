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
use serde::Serialize;

use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, Gearset, MemberId, MeshId, Pair, PlanetGroup, TimingRow};
use crate::kinematics::{Speed, StateMotion};
use crate::timing::tooth_marks::{GearMarks, MarkPurpose};

/// When the same two teeth of a mesh meet again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ToothMeeting {
    /// The gears in mesh.
    pub mesh: MeshId,
    /// The greatest common divisor of the two counts.
    pub common_factor: u16,
    /// Whether it is a hunting pair, with a common factor of 1: every tooth of one meets every tooth of the other.
    pub hunting: bool,
    /// The turns of each gear as seen from the carrier, in the order of the mesh.
    pub turns: Pair<u16>,
}

/// What becomes of the marks of a group in one state; only where its planets roll is there a return to tell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct StateReturn {
    /// The state's name.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// How the planets of the group move on their pins.
    pub motion: PlanetRolling,
    /// The turns of the input until every marked tooth stands in a marked space again, as seen from the carrier; marks
    /// that are a check are left aside. None where nothing is marked.
    pub line_up: Option<Fraction>,
    /// The turns of the input until every tooth of planets and central gears stands where it stood, as seen from the
    /// carrier.
    pub everything_back: Option<Fraction>,
    /// The turns of each body against the carrier by then, the same in every state: planets by their first gear in
    /// mesh, central gears each; negative where a body turns the other way round than the first.
    pub turns_by_then: Vec<BodyTurns>,
    /// For each mesh of the group when the same two teeth meet again on one pin.
    pub same_teeth: Vec<SameTeeth>,
}

/// How the planets of a group move against their carrier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum PlanetRolling {
    /// They roll, and come round again.
    Rolls,
    /// They stand still on their pins: marks never part.
    Stands,
    /// The input does not determine how they move.
    Free,
    /// The input cannot turn.
    Locked,
}

/// How often a gear has turned against the carrier.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BodyTurns {
    /// The gear.
    pub gear: GearId,
    /// Its turns.
    #[serde(serialize_with = "crate::exact::serialize_integer")]
    #[cfg_attr(feature = "report", schemars(with = "i64"))]
    pub turns: BigInt,
}

/// When the same two teeth of a mesh meet again on one pin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SameTeeth {
    /// The gears in mesh.
    pub mesh: MeshId,
    /// The turns of the input.
    pub turns: Fraction,
}

pub(super) fn meetings(set: &Gearset, rows: &[TimingRow]) -> Vec<ToothMeeting> {
    rows.iter().map(|row| meeting(set, row.mesh)).collect()
}

fn meeting(set: &Gearset, mesh: MeshId) -> ToothMeeting {
    let [first, second] = set.mesh(mesh).gears().each().map(|gear| set.gear(gear).tooth_count().get());
    let common_factor = first.gcd(&second);
    // lcm(a, b) teeth are b / gcd(a, b) turns of the first gear and a / gcd(a, b) of the second.
    let turns = Pair { first: second / common_factor, second: first / common_factor };
    ToothMeeting { mesh, common_factor, hunting: common_factor == 1, turns }
}

/// What becomes of the marks of a group in the state of a motion.
pub(super) fn state_return(
    set: &Gearset,
    group: &PlanetGroup,
    rows: &[TimingRow],
    marks: &[GearMarks],
    motion: &StateMotion,
) -> StateReturn {
    let planets = planet_speeds(group, motion);
    let bodies = planets.as_ref().map(|planets| body_speeds(rows, planets)).unwrap_or_default();
    let everything_back = least_multiple(bodies.iter().map(|(_, speed)| speed));
    StateReturn {
        state: motion.state.clone(),
        input: motion.input,
        line_up: line_up(set, marks, &bodies),
        turns_by_then: everything_back.as_ref().map(|turns| turns_after(turns, &bodies)).unwrap_or_default(),
        everything_back,
        same_teeth: planets.as_ref().map(|planets| same_teeth(set, rows, planets)).unwrap_or_default(),
        motion: planets.err().unwrap_or(PlanetRolling::Rolls),
    }
}

/// The speed of each planet of a group as seen from the carrier, none of them zero. They are in mesh with one
/// another, so that either all stand, or none does.
fn planet_speeds(group: &PlanetGroup, motion: &StateMotion) -> Result<Vec<Fraction>, PlanetRolling> {
    group.planets().iter().map(|&planet| planet_speed(planet, motion)).collect()
}

fn planet_speed(planet: MemberId, motion: &StateMotion) -> Result<Fraction, PlanetRolling> {
    match motion.member(planet).and_then(|member| member.relative_to_carrier.as_ref()) {
        Some(Speed::Determined(speed)) if speed.is_zero() => Err(PlanetRolling::Stands),
        Some(Speed::Determined(speed)) => Ok(speed.clone()),
        Some(Speed::Locked) => Err(PlanetRolling::Locked),
        Some(Speed::Free | Speed::WithoutMeaning) | None => Err(PlanetRolling::Free),
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

/// The turns of each body by the time that the input has made so many, counted in the sense of the first.
fn turns_after(input: &Fraction, bodies: &[(GearId, Fraction)]) -> Vec<BodyTurns> {
    let input = bodies.first().map(|(_, speed)| input * speed.signum()).unwrap_or_default();
    bodies.iter().map(|(gear, speed)| BodyTurns { gear: *gear, turns: (speed * &input).to_integer() }).collect()
}

fn same_teeth(set: &Gearset, rows: &[TimingRow], planets: &[Fraction]) -> Vec<SameTeeth> {
    rows.iter().map(|row| SameTeeth { mesh: row.mesh, turns: same_teeth_again(set, row, planets) }).collect()
}

fn same_teeth_again(set: &Gearset, row: &TimingRow, planets: &[Fraction]) -> Fraction {
    let term = row.terms[0];
    let other = row.central.unwrap_or_else(|| row.terms[row.terms.len() - 1].gear);
    let [own, other] = [term.gear, other].map(|gear| i64::from(set.gear(gear).tooth_count().get()));
    // lcm(a, b) teeth are b / gcd(a, b) turns of the planet, which makes |v| of them in a turn of the input.
    fraction(other / own.gcd(&other), 1) / planets[term.planet].abs()
}

/// When each marked planet has made whole turns and each central gear has moved its marked
/// spaces onto one another; marks that are a check only are left aside.
fn line_up(set: &Gearset, marks: &[GearMarks], bodies: &[(GearId, Fraction)]) -> Option<Fraction> {
    let speed_of = |gear: GearId| bodies.iter().find(|(body, _)| *body == gear).map(|(_, speed)| speed);
    let same_body = |gear: GearId| bodies.iter().find(|(body, _)| set.gear(*body).member() == set.gear(gear).member());
    let mut patterns: Vec<Fraction> = Vec::new();
    for marks in marks.iter().filter(|marks| marks.purpose == MarkPurpose::Marks) {
        patterns.extend(same_body(marks.gear).map(|(_, speed)| speed.clone()));
        if let Some(speed) = marks.central_gear.and_then(speed_of) {
            let teeth = set.gear(marks.central_gear?).tooth_count().get().into();
            patterns.push(speed * fraction(teeth, period(&marks.spaces, teeth)));
        }
    }
    least_multiple(&patterns)
}

/// By how many spaces a gear has to turn for its marked spaces to stand where marked ones stood.
fn period(spaces: &[i64], teeth: i64) -> i64 {
    let repeats = |by: &i64| spaces.iter().all(|space| spaces.binary_search(&((space + by) % teeth)).is_ok());
    (1..teeth).filter(|by| teeth % by == 0).find(repeats).unwrap_or(teeth)
}

/// The smallest positive number that makes every one of these fractions, none of them zero,
/// whole when multiplied; none where there are none.
fn least_multiple<'a>(values: impl IntoIterator<Item = &'a Fraction>) -> Option<Fraction> {
    // lcm of the denominators over gcd of the numerators.
    let start = (BigInt::one(), BigInt::zero());
    let (lcm, gcd) =
        values.into_iter().fold(start, |(lcm, gcd), value| (lcm.lcm(value.denom()), gcd.gcd(value.numer())));
    (!gcd.is_zero()).then(|| Fraction::new(lcm, gcd))
}
