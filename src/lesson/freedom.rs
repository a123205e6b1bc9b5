//! How many speeds must be given, and how many does a state give?
//!
//! Every body that turns has a speed, every mesh that does not follow from the others is one
//! equation between them: what is left over must be given. A plain set has four bodies and two
//! meshes, and so asks for two speeds.

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
    pub(super) fn new(set: &Gearset, state: &State) -> Self {
        Self {
            members: set.members().len() - 1,
            joins: set.members().len() - Bodies::for_good(set).count(),
            meshes: set.meshes().len(),
            dependent: set.meshes().len() - independent_meshes(set),
            given: 1 + state.restraints.len(),
        }
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
}
