//! How many cases a random test draws, for the other tests.

use proptest::test_runner::Config;

/// The same for the tests beside the code.
#[path = "../../../src/random.rs"]
mod number;

pub(crate) use number::cases;

/// As many cases that tell something, where most of what is drawn does not.
pub(crate) fn telling_cases(usual: u32) -> Config {
    let config = cases(usual);
    Config { max_global_rejects: config.cases.saturating_mul(200), ..config }
}
