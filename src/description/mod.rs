//! The description of a gearset: RON text to a checked [`Gearset`](crate::gearset::Gearset)
//! and back, every fault with its place.
//!
//! Reading goes in three steps: the shape (serde, leaves left as written), the draft
//! (leaves read, places remembered), the gearset (rules checked). The built-in examples
//! are the files of `gearsets/`.
//!
//! ```
//! use toothmark::description;
//!
//! fn main() -> Result<(), Box<dyn std::error::Error>> {
//!     let set = description::read(description::example("millrace-winch").unwrap())?;
//!     assert_eq!(set.gears().len(), 3);
//!     Ok(())
//! }
//! ```

mod convert;
mod examples;
mod fault;
mod faults;
mod grammar;
mod line_index;
mod ordered;
mod read;
mod schema;
mod shape;
mod surroundings;
mod tokens;
mod wording;
mod write;

pub use examples::{DEFAULT_EXAMPLE, Example, example, examples, nearest_example};
pub use fault::{Fault, FaultKind};
pub use faults::Faults;
pub use line_index::{LineAndColumn, LineIndex};
pub(crate) use ordered::Ordered;
pub use read::{LARGEST_FILE, read, read_bytes};
pub use write::write;
