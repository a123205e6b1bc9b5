//! How many speeds must be given, and how many does a state give?
//!
//! Every body that turns has a speed, every mesh that does not follow from the others is one
//! equation between them: what is left over must be given. A plain set has four bodies and two
//! meshes, and so asks for two speeds.

use crate::gearset::{Gearset, State};
use crate::kinematics::dependent_meshes;

/// The count of what is free and what is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Freedom {
    /// Members that turn, planets included, one of each kind.
    pub members: usize,
    /// Joins for good: each makes one member of two.
    pub joins: usize,
    /// Meshes in all.
    pub meshes: usize,
    /// Those that follow from others.
    pub dependent: usize,
    /// What the state gives: the input, and each hold, clutch or given speed.
    pub given: usize,
}

impl Freedom {
    pub(super) fn new(set: &Gearset, state: &State) -> Self {
        Self {
            members: set.members().len() - 1,
            joins: set.joins().len(),
            meshes: set.meshes().len(),
            dependent: dependent_meshes(set).len(),
            given: 1 + state.restraints.len(),
        }
    }

    /// How many speeds must be given; below zero only where joins repeat one another.
    pub fn needed(&self) -> i64 {
        let count = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
        count(self.members) - count(self.joins) - (count(self.meshes) - count(self.dependent))
    }
}
