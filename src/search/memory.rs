//! What has been counted already?
//!
//! The number of combinations that a remainder holds depends only on the values that its requirements still ask
//! for. Every thread has a table of its own; what one has counted, the others look up.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::plan::{Context, Plan};

/// The count of a remainder.
#[derive(Debug)]
pub(super) struct RemainderCount {
    pub(super) count: u128,
    /// What each test excluded, those that excluded none left out.
    pub(super) excluded: Vec<(usize, u128)>,
}

/// The counts of all threads, a table for each level.
#[derive(Debug)]
pub(super) struct SharedCounts(Vec<Mutex<HashMap<u64, Arc<RemainderCount>>>>);

impl SharedCounts {
    pub(super) fn new(plan: &Plan<'_>) -> Self {
        Self(plan.levels.iter().map(|_| Mutex::default()).collect())
    }

    pub(super) fn get(&self, depth: usize, key: u64) -> Option<Arc<RemainderCount>> {
        self.0[depth].lock().unwrap_or_else(PoisonError::into_inner).get(&key).cloned()
    }

    /// Puts a count in; false if another thread was first, whose count is the same.
    pub(super) fn put(&self, depth: usize, key: u64, counted: &Arc<RemainderCount>) -> bool {
        let mut table = self.0[depth].lock().unwrap_or_else(PoisonError::into_inner);
        table.insert(key, Arc::clone(counted)).is_none()
    }
}

/// The counts that one thread knows of one level.
#[derive(Debug)]
pub(super) enum Own {
    Dense(Vec<Option<Arc<RemainderCount>>>),
    Sparse(HashMap<u64, Arc<RemainderCount>>),
}

/// Up to this size a table has a place for every key.
const DENSE: u64 = 1 << 20;

impl Own {
    pub(super) fn new(context: Option<&Context>) -> Self {
        match context.filter(|context| context.size <= DENSE) {
            Some(context) => Self::Dense(vec![None; usize::try_from(context.size).expect("it is small")]),
            None => Self::Sparse(HashMap::new()),
        }
    }

    pub(super) fn get(&self, key: u64) -> Option<&Arc<RemainderCount>> {
        match self {
            Self::Dense(table) => table[usize::try_from(key).expect("it is in the table")].as_ref(),
            Self::Sparse(table) => table.get(&key),
        }
    }

    pub(super) fn put(&mut self, key: u64, counted: Arc<RemainderCount>) {
        match self {
            Self::Dense(table) => table[usize::try_from(key).expect("it is in the table")] = Some(counted),
            Self::Sparse(table) => {
                table.insert(key, counted);
            }
        }
    }
}

impl Context {
    /// The number of a choice of values among all.
    pub(super) fn key(&self, values: &[i64]) -> u64 {
        // Digits of mixed radix: each place is below the number of values of its unknown.
        self.unknowns.iter().fold(0, |key, &(unknown, least, size)| key * size + values[unknown].abs_diff(least))
    }
}
