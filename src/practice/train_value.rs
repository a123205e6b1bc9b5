//! How do two central gears turn against one another while their carrier stands, and what follows from a
//! wrong answer to that?
//!
//! The train value t is the product of `-z_driver / z_driven`, signed tooth counts, along the meshes from the
//! first gear to the last; then `n_last - n_carrier = t (n_first - n_carrier)`, whatever moves. Right speeds
//! come from `kinematics`; here speeds are solved from train values that somebody got wrong.
//! Source: Willis (1841), "Principles of Mechanism", on epicyclic trains.

use crate::exact::{Equation, Fraction, LinearSystem};
use crate::gearset::{GearId, Gearset, MatrixEntry, MemberId, Pair, State, rolling_terms};
use num_traits::{One, ToPrimitive};

/// The way from one central gear to another through the planets of one carrier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrainValue {
    /// The carrier.
    pub carrier: MemberId,
    /// The gears of each mesh on the way: the one that drives and the one that is driven.
    pub meshes: Vec<Pair<GearId>>,
}

impl TrainValue {
    /// The way through these meshes, driver before driven, by the names of the gears.
    pub(super) fn through(set: &Gearset, carrier: &str, meshes: &[[&str; 2]]) -> Option<Self> {
        let mesh = |[a, b]: &[&str; 2]| Some(Pair { first: set.gear_named(a)?, second: set.gear_named(b)? });
        Some(Self { carrier: set.member_named(carrier)?, meshes: meshes.iter().map(mesh).collect::<Option<Vec<_>>>()? })
    }

    /// The gear that the way begins with.
    ///
    /// # Panics
    /// If the way has no mesh.
    pub fn first(&self) -> GearId {
        self.meshes.first().expect("a way has a mesh").first
    }

    /// The gear that the way ends with.
    ///
    /// # Panics
    /// If the way has no mesh.
    pub fn last(&self) -> GearId {
        self.meshes.last().expect("a way has a mesh").second
    }

    /// The gears of the planets that mesh with the first and the last gear.
    pub(crate) fn planet_gears(&self) -> [GearId; 2] {
        let [first, last] = [self.meshes.first(), self.meshes.last()].map(|mesh| mesh.expect("a way has a mesh"));
        [first.second, last.first]
    }

    /// t: turns of the last gear for one of the first, seen from the carrier; negative where they turn oppositely.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, gearset::Pair, practice::TrainValue};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let [sun, planet, ring] = ["S", "p", "R"].map(|name| set.gear_named(name).unwrap());
    /// // The sun of 24 drives the planet, and that the ring of 60.
    /// let meshes = vec![Pair { first: sun, second: planet }, Pair { first: planet, second: ring }];
    /// let train = TrainValue { carrier: set.member_named("carrier").unwrap(), meshes };
    /// assert_eq!(train.value(&set), fraction(-2, 5));
    /// ```
    pub fn value(&self, set: &Gearset) -> Fraction {
        self.meshes.iter().fold(Fraction::one(), |product, mesh| product * set.mesh_ratio(mesh.first, mesh.second))
    }
}

/// A train value that somebody got, right or wrong.
pub(super) struct Relation {
    pub(super) first: MemberId,
    pub(super) last: MemberId,
    pub(super) carrier: MemberId,
    pub(super) value: Fraction,
}

/// The speed of a member per turn of the input, if the relations were right; `None` where they do not tell it.
pub(super) fn speed_by(set: &Gearset, relations: &[Relation], state: &State, member: MemberId) -> Option<Fraction> {
    let equations = relations.iter().map(equation).collect::<Option<Vec<_>>>()?;
    let system = LinearSystem::new(set.members().len(), equations, &[]);
    system.solve(&set.speed_conditions(state.input, &state.restraints)).values[member.index()].clone()
}

/// The row of a pair with the train value c/d, as if it were a mesh: `d n_last - c n_first - (d - c) n_carrier = 0`.
fn equation(relation: &Relation) -> Option<Equation> {
    let [c, d] = [relation.value.numer().to_i64()?, relation.value.denom().to_i64()?];
    let last = MatrixEntry { coefficient: d, member: relation.last };
    let first = MatrixEntry { coefficient: -c, member: relation.first };
    Some(rolling_terms(last, first, relation.carrier).into_iter().collect())
}
