//! Requests of a search, searched within a small bound of work.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use toothmark_fuzz::{Kind, mutate};

fuzz_target!(|bytes: &[u8]| toothmark_fuzz::search(bytes));
fuzz_mutator!(|bytes: &mut [u8], size: usize, most: usize, seed: u32| {
    mutate(Kind::Search, bytes, size, most, seed)
});
