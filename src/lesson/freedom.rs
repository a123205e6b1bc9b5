//! How many speeds must be given, and how many does a state give?
//!
//! Every body that turns has a speed, every mesh that does not follow from the others is one
//! equation between them: what is left over must be given. A plain set has four bodies and two
//! meshes, and so asks for two speeds.

use super::Arithmetic;
use crate::gearset::{Bodies, Gearset, State};
use crate::kinematics::independent_meshes;

/// The count of what is free and what is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Freedom {
    /// Members that turn, planets included, one of each kind.
    pub members: usize,
    /// How many fewer they are because members are joined for good.
    pub joins: usize,
    /// Meshes in all.
    pub meshes: usize,
    /// How many of them only repeat others.
    pub dependent: usize,
    /// What the state gives: the input, and each hold, clutch or given speed.
    pub given: usize,
}

impl Freedom {
    /// The count of a gearset of which no state gives anything yet.
    pub(super) fn before_any_state(set: &Gearset) -> Self {
        Self {
            members: set.members().len() - 1,
            joins: set.members().len() - Bodies::for_good(set).count(),
            meshes: set.meshes().len(),
            dependent: set.meshes().len() - independent_meshes(set),
            given: 0,
        }
    }

    /// The same with what a state gives.
    pub(super) fn in_state(self, state: &State) -> Self {
        Self { given: 1 + state.restraints.len(), ..self }
    }

    /// How many speeds must be given: members and dependent meshes, less joins and meshes.
    ///
    /// # Examples
    /// ```
    /// use toothmark::lesson::Freedom;
    /// // Sun, ring, planet and carrier with two meshes: that of the input and one more.
    /// let plain = Freedom { members: 4, joins: 0, meshes: 2, dependent: 0, given: 2 };
    /// assert_eq!(plain.needed(), 2);
    /// ```
    pub fn needed(&self) -> usize {
        (self.members + self.dependent).saturating_sub(self.joins + self.meshes)
    }

    /// The same as it is written: members less joins less meshes plus dependent ones; what is none is left out.
    pub fn written(&self) -> [Arithmetic; 2] {
        let count = |number: usize| Arithmetic::whole(i64::try_from(number).unwrap_or(i64::MAX));
        let less = |number: usize| Arithmetic::Product(vec![Arithmetic::whole(-1), count(number)]);
        let mut terms = vec![count(self.members)];
        terms.extend((self.joins > 0).then(|| less(self.joins)));
        terms.push(less(self.meshes));
        terms.extend((self.dependent > 0).then(|| count(self.dependent)));
        [Arithmetic::Sum(terms), count(self.needed())]
    }
}
