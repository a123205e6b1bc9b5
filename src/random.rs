//! How many cases does a random test draw? One place says it for all of them, those of `tests/all` too.
//!
//! Each names what is enough with every change; `TOOTHMARK_CASES=20` draws twenty times as many, as `.ci/nightly` does.
//! A case that fails is kept in `proptest-regressions/`, or in `tests/proptest-regressions/`, and is tried first from
//! then on; the file belongs into the repository with what mends it.

use proptest::test_runner::Config;

/// As many cases as are usual, times what the environment asks for.
pub(crate) fn cases(usual: u32) -> Config {
    Config::with_cases(usual.saturating_mul(times()))
}

fn times() -> u32 {
    match std::env::var("TOOTHMARK_CASES") {
        Err(_) => 1,
        Ok(text) => text.parse().expect("TOOTHMARK_CASES says how many times as many cases, such as 20"),
    }
}
