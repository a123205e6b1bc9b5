//! How does one part find what is best in its share, and knows nothing of the others?
//!
//! All together would soon know how good the best are; alone it goes through much that is no good. So it tries its share
//! with few choices, then looks for a bound anywhere in the space with as many, and again with more of both, before it
//! works its share off. What belongs to a part depends on the question alone, so that all parts cut the space alike
//! whatever bounds they find.

use super::bound::Bound;
use super::crew::{Bounds, whole, work_off};
use super::listing::{ListedUntil, Listing};
use super::outcome::{Combination, SearchOutcome};
use super::own_choices::OwnChoices;
use super::pareto::costs;
use super::plan::{Plan, wide};
use super::probe::{MOST_CHOICES, probe};
use super::problem::{Options, Wanted, WorkShare};

/// About so many beginnings all parts together go through, so that several threads have something to do in each of few
/// parts; each of many goes through all of them in vain but for a few choices.
const STARTS: usize = 160;

/// The work is shared out by the level at which there are so many choices for each part.
const CHOICES: usize = 8;

/// And no farther than to the level where so many values were chosen for each part: every part lists them all.
const MOST_LISTED: usize = 16;

/// How many values may be chosen in each trial, in the share and then elsewhere.
const TRIALS: [u128; 3] = [8_000, 64_000, 256_000];

/// Where one in so many combinations of the share was decided, the next trial is likely to come to its end.
const LIKELY: u128 = 8;

/// Searches one part.
pub(super) fn search(mut plan: Plan<'_>, part: WorkShare, options: &Options<'_>) -> SearchOutcome {
    let mut bounds = Bounds::new(&plan);
    let until = ListedUntil { starts: STARTS / part.of, left: CHOICES * part.of, visited: wide(MOST_LISTED * part.of) };
    let listing = Listing::new(&plan, &bounds.costs, &until, options);
    let share = Some(OwnChoices::new(part, listing.depth));
    let [.., last] = TRIALS;
    let most = if plan.improves() { options.most_choices.unwrap_or(u128::MAX) } else { 0 };
    for choices in TRIALS.into_iter().filter(|&choices| choices <= most) {
        let few = Options { part: None, most_choices: Some(choices), progress: None, ..*options };
        plan.share = share;
        let own = work_off(&plan, &bounds, &listing, &few);
        plan.share = None;
        if !own.complete && !options.is_stop_requested() {
            bounds.heed(&own.found, &plan);
            let will_end = own.undecided <= own.combinations - own.combinations / LIKELY;
            if !will_end || choices == last {
                bounds.heed_elsewhere(&plan, &few);
            }
        }
        if own.complete || options.is_stop_requested() {
            if let (true, Some(progress)) = (own.complete, options.progress) {
                progress(1.0);
            }
            return own;
        }
    }
    plan.share = share;
    work_off(&plan, &bounds, &listing, options)
}

impl Bounds {
    /// Takes in what a search of the whole comes to with so few choices.
    fn heed_elsewhere(&mut self, plan: &Plan<'_>, few: &Options<'_>) {
        match plan.wanted {
            Wanted::Best(wanted) if few.most_choices.is_some_and(|choices| choices <= MOST_CHOICES) => {
                if let Some(ceiling) = probe(plan, *wanted, few).ceiling {
                    self.costs.lower_to(ceiling);
                }
            }
            Wanted::Best(_) | Wanted::Pareto | Wanted::All | Wanted::Within(_) | Wanted::Count => {
                self.heed(&whole(plan, few).found, plan);
            }
        }
    }

    /// Takes in combinations that serve, in order.
    fn heed(&mut self, found: &[Combination], plan: &Plan<'_>) {
        match plan.wanted {
            Wanted::Best(wanted) => {
                if let Some(last) = wanted.checked_sub(1).and_then(|last| found.get(last)) {
                    let cost = costs(&last.measures, &plan.problem.goals).swap_remove(0);
                    self.costs.lower_to(Bound::new(cost));
                }
            }
            Wanted::Pareto => self.add_to_front(found, plan),
            Wanted::All | Wanted::Within(_) | Wanted::Count => {}
        }
    }
}
