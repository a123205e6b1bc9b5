//! How often does a tight spot come round, and so which part carries it?
//!
//! Per turn of the input, in each state, as seen from the carrier, on which every mesh keeps
//! its place:
//!
//! - a spot on a planet meets the same mating gear once a turn of the planet against its carrier;
//! - a spot on a central gear meets each pin once a turn of that gear against the carrier;
//! - two given teeth of a mesh meet again after lcm(P, Z) teeth, P and Z their tooth counts.
//!
//! A wrong seating itself has no rhythm: all its meshes roll with a constant error. Worked
//! out here.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::Signed;

use super::answer::{MeshRhythm, PlanetTurns, TightSpots};
use crate::exact::{Fraction, fraction, multiple};
use crate::gearset::{GearId, Gearset, MemberId, PlanetGroup, TimingRow};
use crate::kinematics::{Speed, StateMotion};

/// How often a tight spot comes round, for each state, in one group of planets.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::motions, timing::tight_spots};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = &tight_spots(&set, &set.planet_groups()[0], &motions(&set))[0];
/// assert_eq!(low.planets[0].turns.as_ref().unwrap().to_string(), "2/3");
/// ```
pub fn tight_spots(set: &Gearset, group: &PlanetGroup, motions: &[StateMotion]) -> Vec<TightSpots> {
    motions.iter().map(|motion| in_state(set, group, motion)).collect()
}

fn in_state(set: &Gearset, group: &PlanetGroup, motion: &StateMotion) -> TightSpots {
    let planets = group.planets().iter().map(|&planet| PlanetTurns { planet, turns: rolled(motion, planet) });
    let planets: Vec<PlanetTurns<Option<Fraction>>> = planets.collect();
    let mesh = |row: &TimingRow| {
        let term = row.terms[0];
        // |P| teeth of the planet are met in each of its turns.
        let met = planets[term.planet].turns.as_ref().map(|turns| multiple(turns, term.tooth_count.abs()));
        let once_in = |teeth: i64| met.as_ref().map(|met| met / fraction(teeth, 1));
        let [one, other] = set.mesh(row.mesh).gears().each().map(|gear| teeth(set, gear));
        let passes_one_pin = row.central.and_then(|gear| once_in(teeth(set, gear)));
        MeshRhythm {
            mesh: row.mesh,
            passes_any_pin: passes_one_pin.as_ref().map(|passes| passes * BigInt::from(group.places().len())),
            passes_one_pin,
            same_teeth: once_in(one.lcm(&other)),
            central_gear: row.central,
        }
    };
    let meshes = set.matrix().timing(group).iter().map(mesh).collect();
    TightSpots { state: motion.state.clone(), input: motion.input, planets, meshes }
}

/// How often a planet turns against its carrier per turn of the input, without sign.
fn rolled(motion: &StateMotion, planet: MemberId) -> Option<Fraction> {
    let found = motion.members.iter().find(|member| member.member == planet)?;
    found.relative_to_carrier.as_ref().and_then(Speed::value).map(Signed::abs)
}

fn teeth(set: &Gearset, gear: GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}
