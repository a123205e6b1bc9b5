//! Which sums can washers make, in how many ways, and by which stacks?
//!
//! Sums are built up one size of washer at a time. After each size there is one entry for every number of washers and
//! every sum that they can make, with the number of its stacks: a new size adds 0, 1, 2 ... of itself to each. So the
//! work grows with the number of different sums and not with that of stacks. Sizes are taken from the thickest to the
//! thinnest, so that a size comes before all others of a stack, and the first stacks of an entry, in the order of their
//! thinnest washer, then their next, are among those that come from the first stacks of the entries before.

use super::refusal::CannotChooseWashers;
use std::collections::BTreeMap;

/// The most entries that are gone through, and the most stacks that are kept.
const MOST_ENTRIES: usize = 300_000;

/// Washers of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WasherSize {
    /// Its thickness in units, above 0.
    pub(super) thickness: i64,
    /// How many there are.
    pub(super) count: usize,
}

/// A stack: the thickness of each washer in units, the thinnest first.
pub(super) type Thicknesses = Vec<i64>;

/// Every sum of washers up to a limit.
#[derive(Debug)]
pub(super) struct WasherSums {
    /// By the number of washers and their sum.
    entries: BTreeMap<(usize, i64), SumEntry>,
    /// The thinnest stack that is thicker than the limit, of several the one with the fewest washers.
    pub(super) beyond: Option<Thicknesses>,
}

/// The stacks of one sum.
#[derive(Debug, Default)]
struct SumEntry {
    count: u64,
    /// The first of them.
    first: Vec<Thicknesses>,
}

impl WasherSums {
    /// All sums up to `limit` of up to `most` washers; of each sum the first `keep` stacks.
    ///
    /// `sizes` has every thickness once, in rising order. The count of stacks fits: out of 200 washers there are fewer
    /// than 2^63 ways to take up to 12.
    pub(super) fn new(sizes: &[WasherSize], most: usize, limit: i64, keep: usize) -> Result<Self, CannotChooseWashers> {
        let nothing = SumEntry { count: 1, first: vec![Vec::new()] };
        let mut sums = Self { entries: BTreeMap::from([((0, 0), nothing)]), beyond: None };
        for size in sizes.iter().rev() {
            sums = sums.with(*size, most, limit, keep)?;
        }
        if limit < 0 {
            sums.entries.clear();
            sums.beyond = Some(Vec::new());
        }
        Ok(sums)
    }

    /// The same with a size that is thinner than all before.
    fn with(self, size: WasherSize, most: usize, limit: i64, keep: usize) -> Result<Self, CannotChooseWashers> {
        let mut next = Self { entries: BTreeMap::new(), beyond: self.beyond };
        let mut kept = 0;
        for ((washers, sum), entry) in self.entries {
            let mut with_more = sum;
            for more in 0..=size.count.min(most - washers) {
                if more > 0 {
                    with_more = with_more.checked_add(size.thickness).ok_or(CannotChooseWashers::NoCommonUnit)?;
                }
                let grown = entry.first.iter().map(|stack| [vec![size.thickness; more], stack.clone()].concat());
                if with_more > limit {
                    // One washer less would be within the limit, so that the thinnest stack beyond it is met here.
                    grown.for_each(|stack| next.note_beyond(stack));
                    break;
                }
                let found = next.entries.entry((washers + more, with_more)).or_default();
                found.count += entry.count;
                kept += entry.first.len();
                found.first.extend(grown);
            }
            if next.entries.len() > MOST_ENTRIES || kept > MOST_ENTRIES {
                return Err(CannotChooseWashers::TooManySums);
            }
        }
        for entry in next.entries.values_mut() {
            entry.first.sort();
            entry.first.truncate(keep);
        }
        Ok(next)
    }

    fn note_beyond(&mut self, stack: Thicknesses) {
        let key = |stack: &Thicknesses| (stack.iter().map(|&size| i128::from(size)).sum::<i128>(), stack.len());
        let better = |old: &Thicknesses| (key(&stack), &stack) < (key(old), old);
        if self.beyond.as_ref().is_none_or(better) {
            self.beyond = Some(stack);
        }
    }

    /// How many stacks there are from this sum on.
    pub(super) fn count_from(&self, least: i64) -> u64 {
        self.entries.iter().filter(|((_, sum), _)| *sum >= least).map(|(_, entry)| entry.count).sum()
    }

    /// The stacks that are kept, from this sum on, each with its sum.
    pub(super) fn stacks_from(&self, least: i64) -> impl Iterator<Item = (i64, &Thicknesses)> {
        let serving = self.entries.iter().filter(move |((_, sum), _)| *sum >= least);
        serving.flat_map(|((_, sum), entry)| entry.first.iter().map(|stack| (*sum, stack)))
    }

    /// The thickest stack that there is, of several the one with the fewest washers.
    pub(super) fn thickest(&self) -> Option<(i64, &Thicknesses)> {
        let order = |((washers, sum), _): &(&(usize, i64), &SumEntry)| (-i128::from(*sum), *washers);
        let ((_, sum), entry) = self.entries.iter().min_by_key(order)?;
        entry.first.first().map(|stack| (*sum, stack))
    }
}
