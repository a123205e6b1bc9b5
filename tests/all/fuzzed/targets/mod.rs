//! What is done with bytes that anybody may have written: a function for each kind of text that the library reads.
//!
//! The fuzzers in `fuzz/` call these functions with what they make up, the tests here with what is kept in `tests/corpus`.
//! Whatever the bytes are, nothing may panic; what can be read is asked everything that can be asked of it, and each
//! answer is written in every form.

mod description;
mod forms;
mod job;
mod parts;
mod question;
mod search;
mod values;

pub(crate) use description::description;
pub(crate) use job::job;
pub(crate) use parts::parts;
pub(crate) use question::question;
pub(crate) use search::search;
pub(crate) use values::values;

/// What parts a text into several: a job and its entries, the parts of a search.
const PARTING: &str = "\n===\n";

/// The built-in gearset of this name, or the railcar.
fn built_in(name: Option<&str>) -> toothmark::gearset::Gearset {
    use toothmark::description::{DEFAULT_EXAMPLE, example, read};
    let named = name.and_then(example).or_else(|| example(DEFAULT_EXAMPLE));
    read(named.expect("the default is built in")).expect("what is built in is sound")
}
