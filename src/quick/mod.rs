//! What can be asked of a gearset without writing a description: a group typed as a stack of tooth counts, other
//! counts or pins in place of those described, and what drives, is driven and is held.
//!
//! Each makes or changes a [`Draft`](crate::gearset::Draft), which is checked by the same rules as one that was read
//! from a file; what comes after cannot tell them apart.

mod arrangements;
mod outline;
mod stack;
mod turns;
mod what_if;

pub use arrangements::{Arrangement, Arrangements, MOST_ARRANGEMENTS, set_states};
pub use outline::{GearsetOutline, OutlineFault};
pub use stack::{MOST_GEARS, StackNames, is_stack, stack};
pub use turns::turns;
pub use what_if::{CannotAsk, WhatIf};
