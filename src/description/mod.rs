//! The description of a gearset: RON text to a checked [`Gearset`](crate::gearset::Gearset)
//! and back, every fault with its place.
//!
//! Reading goes in three steps: the tree of values, the draft (leaves read, each with its
//! place), the gearset (rules checked). The shape of a draft is told once, beside its
//! structures in `src/gearset/`; [`reference()`] is that shape for a manual. The built-in
//! examples are the files of `gearsets/`.
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

mod examples;
mod fault;
mod faults;
mod read;

pub use examples::{DEFAULT_EXAMPLE, Example, example, examples, nearest_example};
pub use fault::{Fault, FaultKind};
pub use faults::Faults;
pub use read::{LARGEST_FILE, read, read_bytes, read_draft, text_of, write};
pub(crate) use read::{read_shape, text_in};

pub use crate::syntax::{Flaw, LineAndColumn, LineIndex, Reference};

/// Every field and word of a description with what belongs there, for a manual.
///
/// # Examples
/// ```
/// use toothmark::description;
/// let pins = description::reference().into_iter().find(|it| (it.of, it.word) == ("a planet", "pins")).unwrap();
/// assert_eq!((pins.what, pins.example, pins.is_optional), ("the spacing of the pins", "Equal(3)", false));
/// ```
pub fn reference() -> Vec<Reference> {
    crate::syntax::references(&read::ROOT.thing)
}
