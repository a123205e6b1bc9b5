//! A problem searched: planned, then worked off.

use super::crew;
use super::outcome::{Combination, SearchOutcome};
use super::own_choices::MOST_PARTS;
use super::part;
use super::plan::Plan;
use super::problem::{NotSearchable, Options, SearchProblem, Wanted};
use super::program::Width;

impl SearchProblem {
    /// Finds what is wanted, exhaustively: whatever is not found is excluded, and the answer says by what.
    ///
    /// # Errors
    /// A [`NotSearchable`] if the problem or the question cannot be searched.
    pub fn search(&self, wanted: &Wanted, options: &Options<'_>) -> Result<SearchOutcome, NotSearchable> {
        if let Some(part) = options.part.filter(|part| part.index >= part.of || part.of > MOST_PARTS) {
            return Err(NotSearchable::Part { index: part.index, of: part.of });
        }
        self.check_goals(wanted)?;
        let plan = Plan::new(self, wanted)?;
        Ok(match options.part.filter(|part| part.of > 1) {
            Some(part) => part::search(plan, part, options),
            None => crew::whole(&plan, options),
        })
    }

    /// Whether a combination meets every requirement with the measures that are told of it, by a search of the space
    /// that holds it alone.
    pub(crate) fn confirms(&self, found: &Combination) -> bool {
        let mut alone = self.clone();
        let searched = alone.space.narrow(&found.values).map(|()| alone.search(&Wanted::All, &Options::default()));
        searched.is_some_and(|outcome| outcome.is_ok_and(|outcome| outcome.found == [found.clone()]))
    }

    /// The widest arithmetic that any of the exact computations needs, by the proof that none overflows.
    ///
    /// # Errors
    /// As [`SearchProblem::search`].
    pub fn width(&self) -> Result<Width, NotSearchable> {
        Ok(Plan::new(self, &Wanted::All)?.width())
    }
}
