//! What does a spur gear look like in its own plane, what do its measures read, and what does a pair of them do?
//!
//! Involute geometry on bare numbers: lengths in millimetres, angles in radians, the tolerance of a drawing or a
//! decision passed in. Nothing here knows of members, pins or timing. Basic rack: that of ISO 53:1998, profile A (20
//! degrees, addendum 1, dedendum 1.25), unless other numbers are given. A profile shift is positive away from the axis,
//! for rings too: the shift of a ring is minus that of ISO 21771, which counts the teeth of a ring negative.

mod backlash;
mod clearance;
mod contact;
mod cutter;
mod distance;
mod form;
mod index;
mod involute;
mod lag;
mod outline;
mod pair;
mod pin_pitch;
mod pins;
mod rack;
mod refusal;
mod root;
mod roots;
mod shaper;
mod sharing;
mod sliding;
mod span;
mod split;
mod thickness;
mod tip_shift;
mod tips;
mod undercut;
mod verdict;
mod working;

pub use backlash::{MeshBacklash, mesh_backlash};
pub use clearance::{TipLimits, largest_external_tip, smallest_internal_tip, tip_limits, tips_foul};
pub use contact::{FormRadii, PathOfContact, path_of_contact};
pub use distance::{backlash_growth, center_distance};
pub use form::{RootCutter, Teeth, ToothForm};
pub use index::{IndexLengths, index_lengths};
pub use involute::{inverse_involute, involute};
pub use lag::{PinDisplacement, PlanetMesh, lag};
pub use outline::{Outline, outline};
pub use pair::InvolutePair;
pub use pin_pitch::{PinMeasurement, base_pitch_from_pins};
pub use pins::{PinReading, pin_reading, pin_touching_at, thickness_from_pins};
pub use refusal::{OutlineError, ToothError};
pub use roots::{RootClearances, root_clearances};
pub(crate) use shaper::shaper_of;
pub use shaper::{ShapedGear, shape};
pub use sharing::{LoadShares, share_load, share_load_floating};
pub use sliding::{RootSliding, root_sliding};
pub use span::{base_pitch, span, span_touch_radius, teeth_to_span, thickness_from_span, usable_spans};
pub use split::{ShiftSplit, SplitRule, split_shift};
pub use thickness::{
    ChordalThickness, chordal_thickness, pointed_radius, shift_of_thickness, thickness_at, thickness_at_pitch_circle,
    tip_thickness,
};
pub use tip_shift::shift_for_tip_thickness;
pub use tips::{RadialEntry, radial_entry, room_between_tips};
pub use undercut::{CutFlank, flank_cut_by_rack, least_count_without_undercut, least_shift_without_undercut};
pub use verdict::RoomVerdict;
pub use working::{
    closed_distance, closed_pressure_angle, distance_modification, shift_sum_for, tip_shortening,
    working_pressure_angle,
};
