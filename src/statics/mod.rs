//! Which torque acts on every member, mesh, band and clutch in a state, and where does power go?
//!
//! Torques are the transpose of the speeds. A mesh of gears a and b with the torque per tooth f puts
//! the torque `z_a f` on the member of a, `z_b f` on that of b and `-(z_a + z_b) f` on the carrier,
//! z being signed tooth counts; controls and joins put a torque on one member and its opposite on the
//! other; and the torques on every member add up to zero. Whatever then holds for every speed that
//! the meshes allow is the principle of virtual work. What equilibrium alone does not determine is
//! called indeterminate, and no number is given for it.
//! Sources: the law of the rolling pair in `kinematics`, and Lagrange (1788), "Mécanique analytique",
//! part 1, section 2, for virtual work.

mod balance;
mod beside;
mod capacity;
mod circulation;
mod force;
mod friction;
mod loads;
mod losses;
mod mesh_load;
mod one_way;
mod power;
mod senses;
mod shared;
mod survey;

pub use capacity::{Capacity, CapacityVerdict, PowerSense};
pub use circulation::circulating_power;
pub(crate) use force::force_depends_on_places;
pub use force::{InputTorque, MeshForce, PSI, PinForce, TorqueUnit, mesh_force, pin_force};
pub use friction::{
    BandLoad, PlateCapacity, Wrapping, band_capacity, band_load, drum_wants_to_turn, plate_capacity, tension_ratio,
    wrapping,
};
pub use loads::{Balanced, ControlLoad, JoinLoad, LoadOptions, MemberLoad, PinLoad, StateLoads, loads, loads_of};
pub use losses::{LossesUntold, PowerFlow, Run, StateLosses, losses, losses_of};
pub use mesh_load::MeshLoad;
pub use one_way::{OneWay, one_way};
pub use power::{MeshWork, mesh_work, power_given, teeth_per_turn};
pub use shared::SharedLoad;
pub use survey::{
    HeaviestLoad, LoadSurvey, LoadedControl, LoadedMesh, LoadedPins, LoadedPlanet, LoadedState, LoadsQuestion,
    LossyAnswer, survey_loads,
};
