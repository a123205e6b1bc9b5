//! The gearset in the words of the trade: members, gears, meshes, controls, states.
//!
//! A [`Draft`] says what somebody wrote down; [`Gearset::new`] checks it against every
//! [`Rule`] and gives a [`Gearset`] that cannot be wrong. [`notes`] says what is legal
//! but worth a second look.

mod check;
mod draft;
mod gear;
mod length;
mod model;
mod nearest;
mod note;
mod rule;

pub use draft::{
    Action, CASE, Draft, DraftConditions, DraftControl, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet,
    DraftState, DraftTurning, Given, Owner, Pair, Part, Sense, Which,
};
pub use gear::{Gear, GearKind, Side, ToothCount};
pub use length::{Length, MILLIMETRES_PER_INCH, Pitch};
pub use model::{
    Control, ControlId, GearId, Gearset, GivenSpeed, Member, MemberId, Mesh, MeshId, Place, PlanetGroup, Restraint,
    State,
};
pub use nearest::nearest_name;
pub use note::{Note, notes};
pub use rule::{Problem, Role, Rule, Thing};
