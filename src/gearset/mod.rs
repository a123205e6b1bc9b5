//! The gearset in the words of the trade: members, gears, meshes, controls, states.
//!
//! A [`Draft`] says what somebody wrote down; [`Gearset::new`] checks it against every
//! [`Rule`] and gives a [`Gearset`] that cannot be wrong. [`remarks`](crate::inspection::remarks) says what is legal
//! but worth a second look. What turns how, what is under which torque and how planets go together is read from its
//! [`MeshMatrix`].
//!
//! ```
//! use toothmark::gearset::{Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, DraftState};
//! use toothmark::gearset::{Gearset, Given};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let set = Gearset::new(Draft {
//!     title: "Millrace winch".into(),
//!     input: Some("sun".into()),
//!     output: Some("carrier".into()),
//!     members: vec![
//!         DraftMember::new("sun", [DraftGear::sun("S", 24)]),
//!         DraftMember::new("ring", [DraftGear::ring("R", 60)]),
//!         DraftMember::new("carrier", []),
//!     ],
//!     planets: vec![DraftPlanet::new("planet", "carrier", DraftPins::Equal(3), [DraftGear::planet("p", 18)])],
//!     meshes: vec![DraftMesh::of("S", "p"), DraftMesh::of("R", "p")],
//!     states: vec![DraftState::given("low", Given { held: vec!["ring".into()], ..Given::default() })],
//!     ..Draft::default()
//! })?;
//! assert_eq!(set.state_named("low").map(|state| state.input), set.member_named("sun"));
//! assert_eq!(toothmark::kinematics::motions(&set)[0].verdict.ratio().unwrap().to_string(), "7/2");
//! # Ok(())
//! # }
//! ```

mod bearing;
mod bodies;
mod bush;
mod check;
mod control;
mod control_sizes;
mod dial;
mod draft;
mod efficiency;
mod found;
mod gear;
mod gear_kind;
mod identity;
mod index;
mod length;
mod meant;
mod measured_pins;
mod member;
mod mesh;
mod mesh_matrix;
mod model;
mod number;
mod pair;
mod planet_group;
mod problem;
mod readings;
mod recounted;
mod rule;
mod sense;
mod state;
mod tooth_details;
mod turned;
mod typed;

pub use crate::syntax::{Spanned, nearest_name};
pub use bearing::{Bearing, BearingSize, BearingSizes, DraftBearing};
pub(crate) use bodies::Bodies;
pub use bodies::bodies_in_state;
pub use bush::{AllowedClearance, BushMaterial, BushSizes};
pub use check::bodies::MOST_PINS;
pub use control::Control;
pub use control_sizes::{Angle, BandSizes, ControlSize, Force, NEWTONS_PER_POUND_FORCE, PlateSizes};
pub use dial::{DraftDial, backlash_from_dial};
pub use draft::{
    Action, CASE, Draft, DraftAction, DraftBacklash, DraftConditions, DraftControl, DraftGear, DraftMember, DraftMesh,
    DraftPins, DraftPlanet, DraftShift, DraftState, DraftTurning, GearDetails, Given, MeshSizes,
};
pub use efficiency::Efficiency;
pub use found::{DraftFound, DraftMark, DraftMarks, FoundMarks, MarkReading};
pub use gear::Gear;
pub use gear_kind::{GearKind, Side, ToothCount};
pub use identity::{ControlId, GearId, MemberId, MeshId};
pub use index::{
    DraftCluster, DraftIndex, DraftMeasured, DraftReading, IndexReading, Measured, MeasuredCluster, Offset, Uncertainty,
};
pub use length::{Length, MILLIMETRES_PER_INCH, Pitch};
pub use measured_pins::{MeasuredPins, PinOff};
pub use member::{Member, Place};
pub use mesh::Mesh;
pub(crate) use mesh_matrix::rolling_terms;
pub use mesh_matrix::{MatrixEntry, MeshMatrix, MeshRow, PlanetTerm, SignedGear, TimingRow, TimingRows};
pub use model::Gearset;
pub use pair::Pair;
pub use planet_group::PlanetGroup;
pub use problem::{Problem, Problems};
pub use readings::{DraftPinReading, DraftReadings, DraftSpan, ReadingKind};
pub(crate) use recounted::{Recount, Recounting};
pub use rule::{
    Binding, FoundRule, IndexRule, MeshRule, NameRule, PartKind, PinSize, PlanetRule, ReadingRule, Role, Rule, Scope,
    SizeRule, ToothRule, ToothSize, UsageRule,
};
pub use sense::Sense;
pub use state::{GivenSpeed, Restraint, State};
pub use tooth_details::{DraftPinCircle, DraftTeeth, ToothCutter, ToothDepth};
pub use turned::{CountedTurns, DraftTurns, DraftTurnsOf};
pub use typed::{ReadingUnit, TypedReading};
