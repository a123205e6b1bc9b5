//! The parts of a search put together: is every one of them what a search of its request finds?
//!
//! Parts come back from other machines, and a file can be cut short or edited. So the account of each has to close,
//! of the combinations that were searched and of those that were counted, and each result is searched for again in a
//! space of that one combination.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::answer::{Counting, NEAR_CHOICES, SearchOrigin, TeethAnswer};
use super::fault::TeethFault;
use super::plan::TeethPlan;
use crate::exact::{Fraction, parse};
use crate::gearset::{Gearset, MeshId};
use crate::search::{Combination, Excluded, Options, SearchOutcome, Wanted};

/// A part of a search as it was written; nothing of it is believed yet.
#[derive(Debug, Clone, Deserialize)]
pub struct SearchPart {
    combinations: u128,
    visited: u128,
    count: u128,
    results: Vec<WrittenResult>,
    beaten: u128,
    undecided: u128,
    excluded: Vec<WrittenExclusion>,
    part: Option<[usize; 2]>,
    origin: SearchOrigin,
    counting: Counting,
}

#[derive(Debug, Clone, Deserialize)]
struct WrittenResult {
    teeth: BTreeMap<String, i64>,
    pins: BTreeMap<String, i64>,
    measures: Vec<WrittenFraction>,
    modules: Vec<WrittenModule>,
}

#[derive(Debug, Clone, Deserialize)]
struct WrittenModule {
    mesh: [String; 2],
    module: WrittenFraction,
}

#[derive(Debug, Clone, Deserialize)]
struct WrittenFraction {
    fraction: String,
}

#[derive(Debug, Clone, Deserialize)]
struct WrittenExclusion {
    requirement: String,
    combinations: u128,
}

/// What parts come to together.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct MergedSearch {
    /// The answer; proven only where no part is missing.
    pub answer: TeethAnswer,
    /// How many parts are missing.
    pub missing: usize,
    /// The first few of them, by their numbers.
    pub first_missing: Vec<usize>,
    /// The parts whose combinations were not counted though those of others were, by their places in the list: at least
    /// so many serve as the others have counted.
    pub not_counted: Vec<usize>,
}

/// Why parts cannot be put together; they are told by their places in the list.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MergeFault {
    /// There are no parts.
    #[error("there are no parts")]
    NoParts,
    /// One is of another search than the first.
    #[error("part {0} of the list is of another search than the first")]
    OtherSearch(usize),
    /// One has a number that there is not.
    #[error("one says that it is part {part} of {of}")]
    NoSuchPart {
        /// Its place in the list.
        place: usize,
        /// The number that it has.
        part: usize,
        /// Of how many.
        of: usize,
    },
    /// Two are the same part.
    #[error("two are the same part")]
    Twice([usize; 2]),
    /// One is not what a search of its request finds.
    #[error("part {0} of the list does not hold what a search of its request finds")]
    NotFound(usize),
    /// Together they are not the search of any request.
    #[error("the parts do not add up")]
    DoNotAddUp,
    /// The search for near misses failed.
    #[error(transparent)]
    Search(#[from] TeethFault),
}

/// As many missing parts as are told by their numbers.
const LISTED: usize = 20;

impl SearchPart {
    /// The question that it is a part of.
    pub fn origin(&self) -> &SearchOrigin {
        &self.origin
    }

    /// How many results it holds.
    pub fn results(&self) -> usize {
        self.results.len()
    }

    fn number(&self) -> usize {
        self.part.map_or(1, |[number, _]| number)
    }

    fn of(&self) -> usize {
        self.part.map_or(1, |[_, of]| of)
    }

    /// Whether nothing in it was counted though there was something to count.
    fn is_not_counted(&self) -> bool {
        self.counting.combinations > 0 && self.counting.undecided == self.counting.combinations
    }
}

impl TeethPlan<'_> {
    /// Puts parts of a search together, in any order; the plan is that of the origin of the first.
    ///
    /// # Errors
    /// [`MergeFault`] where they are not parts of one search, each once, as it was written.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, tooth_search::{MergeFault, TeethPlan, TeethRange, TeethRequest}};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let gear = set.gear_named("S").unwrap();
    /// let request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// assert_eq!(plan.merge(&[]).unwrap_err(), MergeFault::NoParts);
    /// ```
    pub fn merge(&self, parts: &[SearchPart]) -> Result<MergedSearch, MergeFault> {
        let first = parts.first().ok_or(MergeFault::NoParts)?;
        let numbers = numbers(parts)?;
        let missing = first.of() - numbers.len();
        let count = sum(parts.iter().map(|part| part.count)).ok_or(MergeFault::DoNotAddUp)?;
        let counting = self.counting(parts, missing).ok_or(MergeFault::DoNotAddUp)?;
        let not_counted = not_counted(parts);
        let mut outcome = self.outcome(parts, missing)?;
        outcome.complete &= missing == 0;
        // Whatever serves is listed, or beaten by what is listed.
        let most = outcome.count.checked_add(outcome.beaten);
        if outcome.complete && counting.undecided == 0 && (count < outcome.count || Some(count) > most) {
            return Err(MergeFault::DoNotAddUp);
        }
        let (count, counting) = counting.with_at_least(count, outcome.count);
        let mut answer = self.finished(outcome, count, counting);
        answer.origin = Some(first.origin.clone());
        self.look_for_near_misses(&mut answer, Some(NEAR_CHOICES), &Options::default())?;
        self.look_for_partners(&mut answer, &Options::default())?;
        let first_missing = (1..=first.of()).filter(|number| !numbers.contains_key(number)).take(LISTED).collect();
        Ok(MergedSearch { answer, missing, first_missing, not_counted })
    }

    /// The account of what was counted; combinations of parts that are missing, or were not counted, are undecided.
    fn counting(&self, parts: &[SearchPart], missing: usize) -> Option<Counting> {
        // A count is cut into parts of its own: what a part that was not counted holds is not what it would have counted.
        let counted: Vec<&SearchPart> = parts.iter().filter(|part| !part.is_not_counted()).collect();
        let all = |of: fn(&Counting) -> u128| sum(counted.iter().map(|part| of(&part.counting)));
        let combinations =
            self.known_combinations(all(|it| it.combinations)?, missing + parts.len() - counted.len())?;
        let undecided = all(|it| it.undecided)?.checked_add(combinations - all(|it| it.combinations)?)?;
        Some(Counting { combinations, excluded: all(|it| it.excluded)?, undecided })
    }

    /// All combinations of the space, if so many can be those of the parts; `None` where they cannot.
    fn known_combinations(&self, of_parts: u128, missing: usize) -> Option<u128> {
        let all = self.problem().space().combinations()?;
        (of_parts == all || (missing > 0 && of_parts < all)).then_some(all)
    }

    /// What the parts have found together.
    fn outcome(&self, parts: &[SearchPart], missing: usize) -> Result<SearchOutcome, MergeFault> {
        let mut outcomes: Vec<SearchOutcome> = Vec::new();
        for (place, part) in parts.iter().enumerate() {
            let restored = self.restored(part).filter(|outcome| {
                self.is_as_written(part, outcome) && outcomes.first().is_none_or(|first| are_alike(outcome, first))
            });
            outcomes.push(restored.ok_or(MergeFault::NotFound(place))?);
        }
        let combinations = sum(outcomes.iter().map(|outcome| outcome.combinations)).ok_or(MergeFault::DoNotAddUp)?;
        self.known_combinations(combinations, missing).ok_or(MergeFault::DoNotAddUp)?;
        sum(outcomes.iter().map(|outcome| outcome.visited)).ok_or(MergeFault::DoNotAddUp)?;
        outcomes.into_iter().reduce(SearchOutcome::merge).ok_or(MergeFault::NoParts)
    }

    /// The outcome of a part; `None` where a name or number in it is none.
    fn restored(&self, part: &SearchPart) -> Option<SearchOutcome> {
        let excluded = part.excluded.iter();
        Some(SearchOutcome {
            found: part.results.iter().map(|result| self.combination(result)).collect::<Option<_>>()?,
            count: u128::try_from(part.results.len()).ok()?,
            combinations: part.combinations,
            visited: part.visited,
            excluded: excluded
                .map(|one| Excluded { name: one.requirement.clone(), combinations: one.combinations })
                .collect(),
            beaten: part.beaten,
            undecided: part.undecided,
            complete: part.undecided == 0,
            memory_reached: false,
            wanted: self.wanted(part.origin.results_asked),
            larger_is_better: self.problem.larger_is_better(),
        })
    }

    /// The values of a result; `None` where a name or number in it is none.
    fn combination(&self, result: &WrittenResult) -> Option<Combination> {
        let mut values = vec![0; self.problem.space().len()];
        for (gear, &teeth) in &result.teeth {
            values[self.teeth(self.set.gear_named(gear)?)?.place()] = teeth;
        }
        for (planet, &pins) in &result.pins {
            // The pins of every group are told, also of such as stay.
            if let Some(unknown) = self.pins(self.set.member_named(planet)?) {
                values[unknown.place()] = pins;
            }
        }
        for WrittenModule { mesh, module } in &result.modules {
            let modules = &self.unknowns.modules;
            values[modules.unknown(mesh_of(self.set, mesh)?)?.place()] = modules.value_of(&parse(&module.fraction)?)?;
        }
        let measures = result.measures.iter().map(|measure| parse(&measure.fraction));
        Some(Combination { values, measures: measures.collect::<Option<Vec<Fraction>>>()? })
    }

    /// Whether both accounts of a part close, and each of its results meets the request with the measures that are told.
    fn is_as_written(&self, part: &SearchPart, outcome: &SearchOutcome) -> bool {
        let excluded = outcome.excluded.iter().map(|one| one.combinations);
        let account = excluded.chain([outcome.count, outcome.beaten, outcome.undecided]);
        sum(account) == Some(outcome.combinations)
            && part.counting.closes_with(part.count)
            && (outcome.wanted != Wanted::All || part.count == outcome.count)
            && outcome.found.iter().all(|found| self.problem.confirms(found))
    }
}

/// The place of every part by its number, if they are of one search and each is there once.
fn numbers(parts: &[SearchPart]) -> Result<BTreeMap<usize, usize>, MergeFault> {
    let mut seen: BTreeMap<usize, usize> = BTreeMap::new();
    for (place, part) in parts.iter().enumerate() {
        let of = parts[0].of();
        if part.origin != parts[0].origin || part.of() != of {
            return Err(MergeFault::OtherSearch(place));
        }
        if !(1..=of).contains(&part.number()) {
            return Err(MergeFault::NoSuchPart { place, part: part.number(), of });
        }
        if let Some(other) = seen.insert(part.number(), place) {
            return Err(MergeFault::Twice([place, other]));
        }
    }
    Ok(seen)
}

/// The places of the parts that were not counted, where others were.
fn not_counted(parts: &[SearchPart]) -> Vec<usize> {
    let places: Vec<usize> = (0..parts.len()).filter(|&place| parts[place].is_not_counted()).collect();
    if places.len() == parts.len() { Vec::new() } else { places }
}

fn mesh_of(set: &Gearset, names: &[String; 2]) -> Option<MeshId> {
    let gears = |mesh: MeshId| set.mesh(mesh).gears().each().map(|gear| set.gear(gear).name());
    set.mesh_ids().find(|&mesh| gears(mesh) == *names)
}

/// A sum; `None` where it is too large.
fn sum(mut numbers: impl Iterator<Item = u128>) -> Option<u128> {
    numbers.try_fold(0, |sum: u128, one| sum.checked_add(one))
}

/// Whether the requirements of two parts are the same.
fn are_alike(one: &SearchOutcome, other: &SearchOutcome) -> bool {
    one.excluded.iter().map(|excluded| &excluded.name).eq(other.excluded.iter().map(|excluded| &excluded.name))
}
