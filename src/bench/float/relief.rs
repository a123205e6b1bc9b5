//! What helps several gaps that could each be served alone, and not all together?
//!
//! First another washer of a thickness that is at hand, the thinnest that helps; each is tried by choosing again with it.
//! Else a washer made for one of the gaps, so that those at hand are enough for the others.

use super::checked::{CheckedFloat, CheckedGap};
use super::serving;
use super::sharing::{ServingStack, can_share};
use super::sums::{WasherSize, WasherSums};

/// What helps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SharingRelief {
    /// Another washer of this thickness, in ticks.
    AnotherOf(i64),
    /// A washer made for the gap at this place among those that washers close.
    WasherFor(usize),
}

/// More stacks than this are not gone through again for every thickness.
const MOST_STACKS: usize = 20_000;
/// So many thicknesses are tried.
const MOST_TRIED: usize = 40;

/// What helps these gaps, with the stacks that serve each; none where nothing is found.
pub(super) fn relief(
    checked: &CheckedFloat,
    washered: &[&CheckedGap],
    stacks: &[Vec<ServingStack>],
    most: usize,
) -> Option<SharingRelief> {
    let is_small = stacks.iter().map(Vec::len).sum::<usize>() <= MOST_STACKS;
    let tried = if is_small { MOST_TRIED } else { 0 };
    let helps = |at: &usize| {
        let sizes = with_another(&checked.sizes, *at);
        let of_gap = |gap: &&CheckedGap| {
            WasherSums::new(&sizes, most, gap.most_sum, usize::MAX).ok().map(|sums| serving(gap, &sums))
        };
        let stacks: Option<Vec<Vec<ServingStack>>> = washered.iter().map(of_gap).collect();
        stacks.is_some_and(|stacks| can_share(&stacks, &sizes))
    };
    if let Some(at) = (0..checked.sizes.len().min(tried)).find(helps) {
        return Some(SharingRelief::AnotherOf(checked.sizes[at].thickness));
    }
    let is_enough_without = |gap: &usize| {
        let others = stacks.iter().enumerate().filter(|(at, _)| at != gap).map(|(_, stacks)| stacks.clone());
        can_share(&others.collect::<Vec<_>>(), &checked.sizes)
    };
    (0..stacks.len()).find(is_enough_without).map(SharingRelief::WasherFor)
}

/// The washers at hand with one more of the size at this place.
fn with_another(sizes: &[WasherSize], at: usize) -> Vec<WasherSize> {
    let mut sizes = sizes.to_vec();
    sizes[at].count += 1;
    sizes
}
