//! What follows exactly from homogeneous linear equations under conditions, with numbers that grow as they must.

pub(super) mod dependency;
pub(super) mod directions;
pub(super) mod elimination;
pub(super) mod equations;
pub(super) mod linear_system;
pub(super) mod mergers;
pub(super) mod merging;
pub(super) mod reduction;
pub(super) mod sparse;
