//! How much does a search keep, and may it keep more?
//!
//! Two things grow with a search: the counts that it remembers and the combinations that it has found, ties among them.
//! Both are counted here, for all threads together. What may not be remembered is counted anew where it is asked for again;
//! a combination more than may be kept ends the search, which has found then what it has.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use super::outcome::Combination;
use super::plan::Plan;
use super::problem::MemoryBound;
use crate::exact::Fraction;

/// What the system keeps beside a piece of memory that it hands out.
const BESIDE: usize = 16;

/// What is kept, by all threads.
#[derive(Debug)]
pub(super) struct Kept {
    bound: Option<MemoryBound>,
    /// What one combination takes.
    of_found: u64,
    bytes: AtomicU64,
    /// Whether something was not remembered.
    forgot: AtomicBool,
    /// Whether a combination was one more than may be kept.
    is_full: AtomicBool,
}

impl Kept {
    pub(super) fn new(plan: &Plan<'_>, bound: Option<MemoryBound>) -> Self {
        let measures = plan.problem.goals.len();
        // Numerator and denominator of a measure have digits of their own.
        let digits = 2 * (size_of::<u64>() + BESIDE);
        let values = plan.leaves.len() * size_of::<i64>();
        let found = size_of::<Combination>() + values + measures * (size_of::<Fraction>() + digits) + 2 * BESIDE;
        Self {
            bound,
            of_found: bytes(found).saturating_add(bound.map_or(0, |bound| bound.per_found)),
            bytes: AtomicU64::new(0),
            forgot: AtomicBool::new(false),
            is_full: AtomicBool::new(false),
        }
    }

    /// Whether so many bytes may be remembered as well; they are counted then.
    pub(super) fn remembers(&self, more: usize) -> bool {
        let Some(bound) = self.bound else { return true };
        let more = bytes(more);
        let fits = self.bytes.fetch_add(more, Ordering::Relaxed).saturating_add(more) <= bound.bytes;
        if !fits {
            self.bytes.fetch_sub(more, Ordering::Relaxed);
            self.forgot.store(true, Ordering::Relaxed);
        }
        fits
    }

    /// So many bytes are remembered no longer.
    pub(super) fn forgets(&self, fewer: usize) {
        if self.bound.is_some() {
            self.bytes.fetch_sub(bytes(fewer), Ordering::Relaxed);
        }
    }

    /// Counts a combination that is kept; whether it was one too many.
    pub(super) fn keeps_found(&self) -> bool {
        let Some(bound) = self.bound else { return false };
        let before = self.bytes.fetch_add(self.of_found, Ordering::Relaxed);
        let is_one_too_many = before.saturating_add(self.of_found) > bound.bytes;
        if is_one_too_many {
            self.is_full.store(true, Ordering::Relaxed);
        }
        is_one_too_many
    }

    /// So many combinations are kept no longer.
    pub(super) fn drops_found(&self, number: usize) {
        if self.bound.is_some() {
            self.bytes.fetch_sub(self.of_found.saturating_mul(bytes(number)), Ordering::Relaxed);
        }
    }

    /// Whether the search ends because no more may be kept.
    pub(super) fn is_full(&self) -> bool {
        self.is_full.load(Ordering::Relaxed)
    }

    /// Whether the bound made a difference.
    pub(super) fn was_reached(&self) -> bool {
        self.is_full() || self.forgot.load(Ordering::Relaxed)
    }
}

fn bytes(number: usize) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX)
}
