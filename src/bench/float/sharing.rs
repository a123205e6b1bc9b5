//! Which stacks do several gaps get that share the washers at hand?
//!
//! Of each gap all stacks that serve it are listed, the nearest to its best float first. Gap by gap one is taken for
//! which there are still washers; a branch is left as soon as the distances so far, with the least that the gaps to come
//! can add, are beyond the third best choice found. So the three best are proven. Choices are counted only where the
//! product of the lists is small enough to go through all.

use super::refusal::CannotChooseWashers;
use super::sums::{Thicknesses, WasherSize};

/// So many choices are told.
pub(super) const TOLD: usize = 3;

/// Choices are counted up to this product of the numbers of stacks.
const MOST_COUNTED: usize = 1_000_000;

/// The most branches that are gone into for the best choices, and for any one.
const MOST_BRANCHES: usize = 20_000_000;
const MOST_BRANCHES_FOR_ANY: usize = 200_000;

/// A stack that serves a gap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct ServingStack {
    /// How far from the best float it is, in units.
    pub(super) distance: i64,
    /// Its washers.
    pub(super) washers: Thicknesses,
}

/// The best choices, each a stack of every gap, and how many there are where that is counted.
#[derive(Debug, Default)]
pub(super) struct SharedChoices {
    pub(super) best: Vec<Vec<Thicknesses>>,
    pub(super) count: Option<u64>,
}

/// The best choices of several gaps: the least distance together, the fewest washers, the thinnest first.
pub(super) fn shared_choices(
    gaps: &[Vec<ServingStack>],
    sizes: &[WasherSize],
) -> Result<SharedChoices, CannotChooseWashers> {
    let product = gaps.iter().try_fold(1_usize, |product, stacks| product.checked_mul(stacks.len()));
    let counts_all = product.is_some_and(|product| product <= MOST_COUNTED);
    // The least that the gaps from each on can add.
    let mut to_come = vec![0_i64; gaps.len() + 1];
    for (at, stacks) in gaps.iter().enumerate().rev() {
        let least = stacks.iter().map(|stack| stack.distance).min().unwrap_or(0);
        to_come[at] = to_come[at + 1].saturating_add(least);
    }
    let left = sizes.iter().map(|size| size.count).collect();
    let looks_for = if counts_all { LookingFor::All } else { LookingFor::TheBest };
    let mut search = StackSearch { gaps, sizes, to_come, looks_for, left, found: Vec::new(), count: 0, branches: 0 };
    search.from(&mut Vec::new(), 0)?;
    let best = search.found.into_iter().map(|(_, washers)| washers).collect();
    Ok(SharedChoices { best, count: counts_all.then_some(search.count) })
}

/// Whether there is any choice at all; not where that takes too long to find.
pub(super) fn can_share(gaps: &[Vec<ServingStack>], sizes: &[WasherSize]) -> bool {
    let left = sizes.iter().map(|size| size.count).collect();
    let (to_come, looks_for) = (vec![0; gaps.len() + 1], LookingFor::Any);
    let mut search = StackSearch { gaps, sizes, to_come, looks_for, left, found: Vec::new(), count: 0, branches: 0 };
    search.from(&mut Vec::new(), 0).is_ok() && !search.found.is_empty()
}

/// What a search is after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum LookingFor {
    /// The best choices, and the number of all.
    All,
    TheBest,
    Any,
}

/// How good a choice is: the distances together and the number of washers.
type Worth = (i64, usize);

struct StackSearch<'a> {
    gaps: &'a [Vec<ServingStack>],
    sizes: &'a [WasherSize],
    to_come: Vec<i64>,
    looks_for: LookingFor,
    /// How many washers of each size are left.
    left: Vec<usize>,
    found: Vec<(Worth, Vec<Thicknesses>)>,
    count: u64,
    branches: usize,
}

impl StackSearch<'_> {
    /// Goes on behind the stacks that are taken.
    fn from(&mut self, taken: &mut Vec<Thicknesses>, distance: i64) -> Result<(), CannotChooseWashers> {
        let gaps = self.gaps;
        let Some(stacks) = gaps.get(taken.len()) else {
            self.note(taken, distance);
            return Ok(());
        };
        for stack in stacks {
            self.branches += 1;
            let most = if self.looks_for == LookingFor::Any { MOST_BRANCHES_FOR_ANY } else { MOST_BRANCHES };
            if self.branches > most {
                return Err(CannotChooseWashers::TooManyWays);
            }
            let so_far = distance.saturating_add(stack.distance);
            if self.is_beyond(so_far.saturating_add(self.to_come[taken.len() + 1])) {
                break;
            }
            if self.take(&stack.washers) {
                taken.push(stack.washers.clone());
                self.from(taken, so_far)?;
                taken.pop();
                self.give_back(&stack.washers);
            }
        }
        Ok(())
    }

    /// Whether nothing at this distance is of interest; lists are in the order of distance.
    fn is_beyond(&self, distance: i64) -> bool {
        match self.looks_for {
            LookingFor::All => false,
            LookingFor::TheBest => self.found.len() == TOLD && self.found.last().is_some_and(|it| it.0.0 < distance),
            LookingFor::Any => !self.found.is_empty(),
        }
    }

    fn note(&mut self, taken: &[Thicknesses], distance: i64) {
        self.count += 1;
        self.found.push(((distance, taken.iter().map(Vec::len).sum()), taken.to_vec()));
        self.found.sort();
        self.found.truncate(TOLD);
    }

    /// Takes the washers of a stack if all are left.
    fn take(&mut self, washers: &[i64]) -> bool {
        for (at, &washer) in washers.iter().enumerate() {
            let place = self.place(washer);
            if self.left[place] == 0 {
                self.give_back(&washers[..at]);
                return false;
            }
            self.left[place] -= 1;
        }
        true
    }

    fn give_back(&mut self, washers: &[i64]) {
        for &washer in washers {
            let place = self.place(washer);
            self.left[place] += 1;
        }
    }

    fn place(&self, washer: i64) -> usize {
        let found = self.sizes.binary_search_by_key(&washer, |size| size.thickness);
        found.expect("a stack has washers of the sizes at hand")
    }
}
