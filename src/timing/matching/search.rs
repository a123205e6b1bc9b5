//! Which cluster on which pin, and seated by which teeth, so that a measured set fits best?
//!
//! A low level leaves little to look at ([`MatchProblem::seatings`]), so the search ([`SetSearch`]) begins below a
//! low one and goes up. A set on equal pins that is turned on is the same; so is one in which clusters of the same
//! index change places. Worked out here.

use super::problem::{MatchProblem, Orders, SetChoice};
use super::set::SetSearch;

/// The best way found, better than the limit, and whether all were looked at.
#[derive(Debug)]
pub(super) struct SetsSearched {
    pub(super) best: Option<SetChoice>,
    pub(super) complete: bool,
}

/// So many seatings of single pins are looked at before the search gives up.
const MOST_STEPS: u32 = 20_000_000;

impl MatchProblem {
    /// The best way whose level is below a limit.
    ///
    /// A low limit leaves little to look at, so lower ones are tried first; where one of them is enough, the
    /// best way is found.
    pub(super) fn search(&self, orders: Orders, limit: f64) -> SetsSearched {
        const FIRST: [f64; 4] = [1.0 / 32.0, 1.0 / 8.0, 0.35, 0.6];
        let mut left = MOST_STEPS;
        for part in FIRST.into_iter().chain([1.0]) {
            let searched = self.search_below(orders, limit * part, &mut left);
            if searched.best.is_some() || !searched.complete {
                return searched;
            }
        }
        SetsSearched { best: None, complete: true }
    }

    fn search_below(&self, orders: Orders, limit: f64, left: &mut u32) -> SetsSearched {
        let mut search = SetSearch::new(self, orders, limit, *left);
        search.run();
        *left = search.left;
        SetsSearched { complete: search.left > 0, best: search.found }
    }
}
