//! What is measured, fitted and balanced on the bench, and what to do about it?
//!
//! Each analysis takes what was measured of one unit as plain numbers, in a question that can be built without a
//! gearset; speeds, torques and bearings come from the gearset where one is known. An answer says first what to do.
//! What a part bears is not told anywhere here: this is fit, and not strength.

mod neutral;

pub use neutral::{
    CannotTestNeutral, DragOutcome, DragPlace, DragRow, HeldOutputSpeed, NeutralQuestion, NeutralTest, neutral,
};
