//! What the fuzzers share: the functions that they call, which are those of the tests, and how texts are made up.

#[path = "../../tests/all/fuzzed/targets/mod.rs"]
mod targets;
// Some of the trains are drawn by the tests only, and its own tests are no part of this.
#[allow(dead_code, unused_imports)]
#[path = "../../tests/all/support/trains.rs"]
mod trains;

mod draws;
mod made_up;
mod mutator;

pub use made_up::Kind;
pub use mutator::mutate;

/// Whatever can be made of a description.
pub fn description(bytes: &[u8]) {
    targets::description(bytes);
}

/// Whatever can be made of the request of a search.
pub fn search(bytes: &[u8]) {
    targets::search(bytes);
}

/// Whatever can be made of the file of a job.
pub fn job(bytes: &[u8]) {
    targets::job(bytes);
}

/// Whatever can be made of the parts of a search.
pub fn parts(bytes: &[u8]) {
    targets::parts(bytes);
}

/// Whatever can be made of a question.
pub fn question(bytes: &[u8]) {
    targets::question(bytes);
}

/// Whatever can be made of a value.
pub fn values(bytes: &[u8]) {
    targets::values(bytes);
}
