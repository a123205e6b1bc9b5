//! Which problems stand on a sheet?
//!
//! One after the other is drawn from the seed; what stands on the sheet already is not taken again, also
//! where only the machine or the given speed differs.

use std::collections::HashSet;

use super::kinds::draw;
use super::problem::{Difficulty, PracticeKind, PracticeProblem};
use super::random::Dice;
use super::working::working;

/// The most problems on one sheet.
pub const MOST_PROBLEMS: usize = 50;

/// How many draws in a row may be useless before the range is taken to be used up.
const PATIENCE: usize = 6000;

/// Which problems are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetRequest {
    /// Their kind; `None` takes the kinds in turn.
    pub kind: Option<PracticeKind>,
    /// How hard they are.
    pub difficulty: Difficulty,
    /// How many.
    pub count: usize,
    /// What everything is chosen from; the same request gives the same sheet on every machine.
    pub seed: u64,
}

/// The problems of a sheet, with the request that makes them again.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct PracticeSheet {
    /// What was asked for.
    pub request: SheetRequest,
    /// The problems, no two alike.
    pub problems: Vec<PracticeProblem>,
}

/// Why there is no such sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CannotFill {
    /// No problem, or more than [`MOST_PROBLEMS`].
    #[error("a sheet has from 1 to {MOST_PROBLEMS} problems, not {count}")]
    Count {
        /// How many were wanted.
        count: usize,
    },
    /// The range has too few problems.
    #[error("of this kind and difficulty only {found} different problems were found")]
    UsedUp {
        /// The kind that came to its end.
        kind: PracticeKind,
        /// How many of it stand on the sheet.
        found: usize,
    },
}

/// The sheet that a request asks for.
///
/// # Errors
/// [`CannotFill`] where the count is no count for a sheet, or where the range of a kind is used up.
///
/// # Examples
/// ```
/// use toothmark::practice::{PracticeAnswer, Difficulty, PracticeKind, SheetRequest, practice_sheet};
/// let request = SheetRequest { kind: Some(PracticeKind::Simple), difficulty: Difficulty::Easy, count: 2, seed: 7 };
/// let sheet = practice_sheet(&request).unwrap();
/// let part = &sheet.problems[0].parts[0];
/// assert!(matches!(&part.answer, PracticeAnswer::Speed(speed) if speed.is_integer()));
/// assert!(part.wrong.iter().all(|wrong| wrong.answer != part.answer));
/// assert_eq!(practice_sheet(&request), Ok(sheet));
/// ```
pub fn practice_sheet(request: &SheetRequest) -> Result<PracticeSheet, CannotFill> {
    if !(1..=MOST_PROBLEMS).contains(&request.count) {
        return Err(CannotFill::Count { count: request.count });
    }
    filled(request, PATIENCE)
}

fn filled(request: &SheetRequest, patience: usize) -> Result<PracticeSheet, CannotFill> {
    let mut dice = Dice::new(request.seed);
    let mut problems: Vec<PracticeProblem> = Vec::new();
    let mut seen = HashSet::new();
    while problems.len() < request.count {
        let kind = request.kind.unwrap_or(PracticeKind::ALL[problems.len() % PracticeKind::ALL.len()]);
        let drawn = (0..patience).find_map(|_| {
            let problem = draw(kind, request.difficulty, &mut dice)?;
            seen.insert(likeness(&problem)).then_some(problem)
        });
        let Some(problem) = drawn else {
            let found = problems.iter().filter(|problem| problem.kind == kind).count();
            return Err(CannotFill::UsedUp { kind, found });
        };
        problems.push(PracticeProblem { working: working(&problem), ..problem });
    }
    Ok(PracticeSheet { request: *request, problems })
}

/// What two problems have in common that are alike: kind, tooth counts, what is held, driven and asked.
fn likeness(problem: &PracticeProblem) -> String {
    let counts: Vec<u16> = problem.set.gears().iter().map(|gear| gear.tooth_count().get()).collect();
    let asked: Vec<String> = problem
        .parts
        .iter()
        .map(|part| {
            let state = problem.set.states().get(part.state);
            let restraints = state.map(|state| (state.input, &state.restraints));
            format!("{:?} {restraints:?}", part.quantity)
        })
        .collect();
    format!("{:?} {counts:?} {:?} {asked:?}", problem.kind, problem.hidden)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_that_is_used_up_is_told_with_its_kind() {
        let request = SheetRequest { kind: Some(PracticeKind::Bevel), difficulty: Difficulty::Easy, count: 3, seed: 1 };
        assert_eq!(filled(&request, 0), Err(CannotFill::UsedUp { kind: PracticeKind::Bevel, found: 0 }));
    }
}
