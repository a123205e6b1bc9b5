//! What does a spur gear look like in its own plane, what do its measures read, and what does a pair of them do?
//!
//! Involute geometry on bare numbers: lengths in millimetres, angles in radians, the tolerance of a drawing or a decision
//! passed in. Nothing here knows of members, pins or timing. Basic rack: that of ISO 53:1998, profile A (20 degrees,
//! addendum 1, dedendum 1.25), unless other numbers are given. A profile shift is positive away from the axis, for rings
//! too: the shift of a ring is minus that of ISO 21771, which counts the teeth of a ring negative.

mod clearance;
mod distance;
mod form;
mod involute;
mod outline;
mod refusal;
mod span;
mod thickness;
mod verdict;

pub use clearance::{largest_external_tip, smallest_internal_tip, tips_foul};
pub use distance::{backlash_growth, center_distance};
pub use form::{Teeth, ToothForm};
pub use involute::{inverse_involute, involute};
pub use outline::{Outline, OutlineError, outline};
pub use refusal::ToothError;
pub use span::{base_pitch, span, span_touch_radius, teeth_to_span, thickness_from_span, usable_spans};
pub use thickness::{
    ChordalThickness, chordal_thickness, pointed_radius, shift_of_thickness, thickness_at, thickness_at_pitch_circle,
    tip_thickness,
};
pub use verdict::RoomVerdict;
