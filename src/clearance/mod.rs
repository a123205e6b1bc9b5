//! Where do the pins stand, what lies in one axial plane, and how much room is between gears that
//! are not in mesh?
//!
//! Centre distances follow from tooth counts, modules and profile shifts; what does not follow is
//! refused with the part that stands in the way. Lengths are floats, for tips and directions are
//! irrational; two lengths nearer than 0.002 mm are one.

mod closing;
mod described;
mod distances;
mod fitted;
mod gaps;
mod known_circles;
mod mesh_in_place;
mod pins;
mod planes;

use crate::gearset::{GearId, MemberId, MeshId};

pub(crate) use closing::{Closing, SAME_SHIFT, ShiftEquation, ShiftTree};
pub(crate) use described::DescribedTeeth;
pub(crate) use distances::{AskedDistance, asked_distance, asked_distances, is_with_main_axis, leaves_no_distance};
pub(crate) use fitted::{FitQuestion, TeethInMesh, as_described, mesh_distance, mesh_module};
pub use gaps::{Faces, Gap, Tips, gaps, gaps_of_equal_pins};
pub(crate) use gaps::{SizedGroup, equal_pins_clear, gaps_of_teeth, gaps_with, known_gaps};
pub(crate) use known_circles::KnownCircles;
pub use mesh_in_place::BacklashSource;
pub(crate) use mesh_in_place::MeshInPlace;
pub(crate) use pins::{PinCircles, SAME_DISTANCE};
pub(crate) use planes::join;
pub use planes::{Plane, planes};

/// Why the pins of a group have no place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotPlaced {
    /// No mesh keeps its planets anywhere.
    NoMesh,
    /// A bevel gear has no pin circle.
    Bevel(GearId),
    /// A gear has meshes of two pitches.
    TwoPitches(GearId),
    /// A planet meshes with no central gear, or stands on the main axis.
    NoDistance(MemberId),
    /// The tooth counts and profile shifts of a mesh leave no centre distance.
    NoCenterDistance(MeshId),
    /// Two planets cannot reach each other at their centre distances.
    NoTriangle(MeshId),
}
