//! Questions of what the teeth are, and what whoever cuts or sets them needs to know.

mod backlash;
mod close;
mod identify;
mod order;
mod pins;
mod reading;
mod shifts;

pub use backlash::BacklashOptions;
pub use close::CloseOptions;
pub use identify::IdentifyOptions;
pub use order::OrderOptions;
pub use shifts::ShiftOptions;
