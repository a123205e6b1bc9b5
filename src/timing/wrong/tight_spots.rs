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

use num_integer::Integer;
use num_traits::Signed;

use crate::exact::{Fraction, fraction, multiple};
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PlanetGroup, TimingRow};
use crate::kinematics::{Speed, StateMotion};

/// How often the parts of one group of planets come round in one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TightSpots {
    /// The state.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// Turns of each planet of the group against its carrier per turn of the input, without
    /// sign; `None` where the input does not determine them.
    pub planets: Vec<Option<Fraction>>,
    /// The meshes of the group.
    pub meshes: Vec<MeshRhythm>,
}

/// How often something comes round in one mesh.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshRhythm {
    /// The mesh.
    pub mesh: MeshId,
    /// The central gear, if it is a mesh with one.
    pub central: Option<GearId>,
    /// How often a place of the central gear passes one pin, per turn of the input.
    pub passes_one_pin: Option<Fraction>,
    /// How often the same two teeth meet, per turn of the input.
    pub same_teeth: Option<Fraction>,
}

/// How often a tight spot comes round, for each state, in one group of planets.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::motions, timing::tight_spots};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// let low = &tight_spots(&set, &set.planet_groups()[0], &motions(&set))[0];
/// assert_eq!(low.planets[0].as_ref().unwrap().to_string(), "2/3");
/// ```
pub fn tight_spots(set: &Gearset, group: &PlanetGroup, motions: &[StateMotion]) -> Vec<TightSpots> {
    motions.iter().map(|motion| in_state(set, group, motion)).collect()
}

fn in_state(set: &Gearset, group: &PlanetGroup, motion: &StateMotion) -> TightSpots {
    let planets: Vec<Option<Fraction>> = group.planets().iter().map(|&planet| rolled(motion, planet)).collect();
    let mesh = |row: &TimingRow| {
        let term = row.terms[0];
        let teeth_met = planets[term.planet].as_ref().map(|turns| multiple(turns, term.tooth_count.abs()));
        let [one, other] = set.mesh(row.mesh).gears().both().map(|&gear| teeth(set, gear));
        let once_in = |teeth: i64| teeth_met.as_ref().map(|met| met / fraction(teeth, 1));
        MeshRhythm {
            mesh: row.mesh,
            central: row.central,
            passes_one_pin: row.central.and_then(|gear| once_in(teeth(set, gear))),
            same_teeth: once_in(one.lcm(&other)),
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
