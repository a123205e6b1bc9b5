//! What does a spur gear look like in its own plane?
//!
//! Involute geometry on bare numbers: lengths in millimetres, angles in radians, the chord error
//! passed in. Nothing here knows of members, pins or timing. Basic rack: that of ISO 53:1998,
//! profile A (20 degrees, addendum 1, dedendum 1.25), unless other numbers are given.

mod clearance;
mod distance;
mod form;
mod outline;

pub use clearance::{largest_external_tip, smallest_internal_tip, tips_foul};
pub use distance::{backlash_growth, center_distance};
pub use form::{Teeth, ToothForm};
pub use outline::{Outline, OutlineError, outline};
