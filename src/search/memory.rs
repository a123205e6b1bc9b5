//! What has been counted already?
//!
//! The number of combinations that a remainder holds depends only on the values that its requirements still ask
//! for. Every thread has a table of its own; what one has counted, the others look up. Of both no more is kept than the
//! bound on memory allows.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::kept::Kept;
use super::plan::{Context, Plan};

/// The count of a remainder.
#[derive(Debug)]
pub(super) struct RemainderCount {
    pub(super) count: u128,
    /// What each test excluded, those that excluded none left out.
    pub(super) excluded: Vec<(usize, u128)>,
}

/// About what a place in a table takes, the room between the places included.
const PLACE: usize = 64;

impl RemainderCount {
    /// About how many bytes it takes where it is shared.
    fn size(&self) -> usize {
        const COUNTERS: usize = 2 * size_of::<usize>();
        COUNTERS + size_of::<Self>() + self.excluded.capacity() * size_of::<(usize, u128)>()
    }
}

/// The counts of all threads, a table for each level.
#[derive(Debug)]
pub(super) struct SharedCounts<'a> {
    tables: Vec<Mutex<HashMap<u64, Arc<RemainderCount>>>>,
    kept: &'a Kept,
}

impl<'a> SharedCounts<'a> {
    pub(super) fn new(plan: &Plan<'_>, kept: &'a Kept) -> Self {
        Self { tables: plan.levels.iter().map(|_| Mutex::default()).collect(), kept }
    }

    pub(super) fn get(&self, depth: usize, key: u64) -> Option<Arc<RemainderCount>> {
        self.tables[depth].lock().unwrap_or_else(PoisonError::into_inner).get(&key).cloned()
    }

    /// Puts a count in, if it may be kept; false if another thread was first, whose count is the same.
    pub(super) fn put(&self, depth: usize, key: u64, counted: &Arc<RemainderCount>) -> bool {
        let mut table = self.tables[depth].lock().unwrap_or_else(PoisonError::into_inner);
        if table.contains_key(&key) {
            return false;
        }
        if self.kept.remembers(PLACE + counted.size()) {
            table.insert(key, Arc::clone(counted));
        }
        true
    }
}

/// The counts that one thread knows, a table for each level.
#[derive(Debug)]
pub(super) struct OwnCounts<'a> {
    tables: Vec<Own>,
    /// What all threads keep, where anything is remembered, and what of it is in these tables.
    kept: Option<&'a Kept>,
    size: usize,
}

impl<'a> OwnCounts<'a> {
    pub(super) fn new(plan: &Plan<'_>, shared: Option<&SharedCounts<'a>>) -> Self {
        let mut own = Self { tables: Vec::new(), kept: shared.map(|shared| shared.kept), size: 0 };
        for level in &plan.levels {
            let table = own.table(level.context.as_ref());
            own.tables.push(table);
        }
        own
    }

    /// A table for what a level remembers: with a place for every key, if there are few and may be so many.
    fn table(&mut self, context: Option<&Context>) -> Own {
        let places = context.filter(|context| context.size <= DENSE).and_then(|it| usize::try_from(it.size).ok());
        match places.filter(|&places| self.adds(places * size_of::<Option<Arc<RemainderCount>>>())) {
            Some(places) => Own::Dense(vec![None; places]),
            None => Own::Sparse(HashMap::new()),
        }
    }

    /// Whether so many bytes more may be kept, where anything is; they are counted then.
    fn adds(&mut self, more: usize) -> bool {
        let may_be = self.kept.is_some_and(|kept| kept.remembers(more));
        self.size += if may_be { more } else { 0 };
        may_be
    }

    pub(super) fn get(&self, depth: usize, key: u64) -> Option<&Arc<RemainderCount>> {
        self.tables[depth].get(key)
    }

    /// Puts a count in, if it may be kept.
    pub(super) fn put(&mut self, depth: usize, key: u64, counted: &Arc<RemainderCount>) {
        if matches!(self.tables[depth], Own::Dense(_)) || self.adds(PLACE) {
            self.tables[depth].put(key, Arc::clone(counted));
        }
    }
}

impl Drop for OwnCounts<'_> {
    fn drop(&mut self) {
        self.kept.iter().for_each(|kept| kept.forgets(self.size));
    }
}

/// The counts that one thread knows of one level.
#[derive(Debug)]
enum Own {
    Dense(Vec<Option<Arc<RemainderCount>>>),
    Sparse(HashMap<u64, Arc<RemainderCount>>),
}

/// Up to this size a table has a place for every key.
const DENSE: u64 = 1 << 20;

impl Own {
    fn get(&self, key: u64) -> Option<&Arc<RemainderCount>> {
        match self {
            Self::Dense(table) => table[usize::try_from(key).expect("it is in the table")].as_ref(),
            Self::Sparse(table) => table.get(&key),
        }
    }

    fn put(&mut self, key: u64, counted: Arc<RemainderCount>) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_size_of_a_count_is_that_of_its_parts_and_little_more() {
        for tests in [0, 1, 3, 20] {
            let counted = RemainderCount { count: 7, excluded: vec![(0, 1); tests] };
            let parts = size_of_val(&counted) + size_of_val(&counted.excluded[..]);
            let told = counted.size();
            assert!((parts..=parts + PLACE).contains(&told), "{told} bytes for parts of {parts}");
        }
    }
}
