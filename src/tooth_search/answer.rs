//! What came of a search for other tooth counts: the whole answer.

use std::ops::ControlFlow;

use serde::{Deserialize, Serialize, Serializer};

use super::distances;
use super::distances::MissedDistance;
use super::fault::TeethFault;
use super::fitting::{MeshShift, shift_sums};
use super::gearset_of::gearset_of;
use super::goals;
use super::plan::{FixedWish, TeethPlan, TurnedWish, ratios_of};
use super::sense;
use super::text::RequestText;
use crate::description;
use crate::exact::Fraction;
use crate::gearset::{Draft, GearId, Gearset, MemberId, MeshId, PlanetGroup};
use crate::search::{Combination, Excluded, Miss, NearestMisses, Options, SearchOutcome, Wanted};
use crate::timing::{least_error_of_wrong, rows_assemble};

/// About so many choices are made for what comes nearest without one requirement, and as many for how many do: for all
/// requirements of the village bus with five gears, two of them without end, a quarter of a second.
pub(super) const NEAR_CHOICES: u128 = 50_000;

/// Gearsets that serve, and the proof of what was left out.
#[derive(Debug, Clone, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TeethAnswer {
    /// Whether it is proven that none is better, and all that serve were counted.
    pub complete: bool,
    /// How many combinations there are, in the space or in the part of it that was searched.
    pub combinations: u128,
    /// How many times a value was chosen: the work done.
    pub visited: u128,
    /// How many combinations meet the request, whether they are among the best or not; at least so many where not all
    /// were counted.
    pub count: u128,
    /// The gearsets found: the best first, or all that nothing beats.
    pub results: Vec<TeethFound>,
    /// What is better, a measure each.
    pub goals: Vec<String>,
    /// How many meet all requirements so far looked at, but cannot be among the results by the goals.
    pub beaten: u128,
    /// How many were not looked at because the search was stopped.
    pub undecided: u128,
    /// How many each requirement excluded, noticed first there; requirements of one name are told one by one.
    pub excluded: Vec<Excluded>,
    /// The part that was searched, counted from 1, and how many there are; none for the whole.
    pub part: Option<[usize; 2]>,
    /// The question, with which parts are merged; none where it was not asked as a text.
    pub origin: Option<SearchOrigin>,
    /// Whether every combination was found or excluded, so that none better exists.
    pub proven: bool,
    /// Whether all that serve were counted: a search that is stopped counts some only.
    pub counted: Counted,
    /// What became of the combinations that `count` left out.
    pub counting: Counting,
    /// Where nothing serves, what would with one requirement fewer; none where it was not looked for.
    pub near_misses: Option<NearMisses>,
    /// The wishes for a ratio that were taken with the other sign.
    pub wishes_turned: Vec<TurnedWish>,
    /// Where nothing serves but the gearset as it is, gears that have to be free as well for anything to; empty where
    /// they were not looked for.
    pub free_as_well: Vec<FreeAsWell>,
    /// The wishes that are met whatever is found, as nothing that may change is in their values.
    pub wishes_fixed: Vec<FixedWish>,
    /// What became of the search where it came to the bound on its memory; none where it did not.
    pub memory_reached: Option<MemoryReached>,
}

/// What becomes of a search that comes to the bound on its memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum MemoryReached {
    /// It ended, with the results that it had.
    #[serde(rename = "ended")]
    Ended,
    /// It remembered no more of what it had counted, so that the count took longer.
    #[serde(rename = "counted anew")]
    CountedAnew,
}

/// Whether the combinations that serve were counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Counted {
    /// All of them.
    #[serde(rename = "all")]
    All,
    /// There may be more.
    #[serde(rename = "at least")]
    AtLeast,
}

/// The account of a count: what serves, is excluded and is undecided adds up to all combinations.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Counting {
    /// How many combinations there are, in the space or in the part of it that was counted, which need not hold the
    /// same combinations as the part that was searched. Where the count of a part was not begun: those of the space.
    pub combinations: u128,
    /// How many of them break a requirement.
    pub excluded: u128,
    /// How many of them were not looked at.
    pub undecided: u128,
}

/// What was asked, as texts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct SearchOrigin {
    /// The gearset, as a description.
    pub description: String,
    /// The request, as RON.
    pub request: String,
    /// How many were asked for; none for all.
    pub results_asked: Option<usize>,
}

/// A gearset that serves.
#[derive(Debug, Clone, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TeethFound {
    /// The counts of all gears that could change.
    #[serde(serialize_with = "as_map")]
    #[cfg_attr(feature = "report", schemars(with = "std::collections::BTreeMap<GearId, u16>"))]
    pub teeth: Vec<(GearId, u16)>,
    /// The number of pins of the first planet of each group.
    #[serde(serialize_with = "as_map")]
    #[cfg_attr(feature = "report", schemars(with = "std::collections::BTreeMap<MemberId, usize>"))]
    pub pins: Vec<(MemberId, usize)>,
    /// The ratio of every state that drives, in the order of the description.
    #[serde(serialize_with = "as_map")]
    #[cfg_attr(feature = "report", schemars(with = "std::collections::BTreeMap<String, Fraction>"))]
    pub ratios: Vec<(String, Fraction)>,
    /// The measure of the first goal.
    pub objective: Option<Fraction>,
    /// The measure of every goal.
    pub measures: Vec<Fraction>,
    /// The module of every mesh that could have another.
    pub modules: Vec<MeshModule>,
    /// The planets whose number of pins is not what it was.
    pub pins_changed: Vec<MemberId>,
    /// The states whose ratio is not what it was.
    pub ratios_changed: Vec<String>,
    /// How far the nearest wrong seating of each group of planets is out, in teeth; none where there is none.
    pub margins: Vec<Option<Fraction>>,
    /// The profile shift, in modules, of every gear that is cut anew, where teeth were to be fitted.
    #[serde(serialize_with = "as_map")]
    #[cfg_attr(feature = "report", schemars(with = "std::collections::BTreeMap<GearId, Fraction>"))]
    pub shifts: Vec<(GearId, Fraction)>,
    /// The meshes whose counts and shifts ask for another distance than the pin circle of their planet is, with the shift
    /// that keeps it.
    pub shift_sums: Vec<MeshShift>,
    /// The values of the train that were wished for.
    pub values: Vec<FoundValue>,
    /// The states whose output turns the other way than that of the gearset as it is.
    pub senses_changed: Vec<String>,
    /// The states whose output turns the other way than was wished for.
    pub senses_missed: Vec<String>,
    /// The gearset, with nothing that was measured or found on the parts as they are.
    #[serde(skip)]
    pub set: Gearset,
}

/// A value of the train that was wished for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FoundValue {
    /// What it is called.
    pub name: String,
    /// The value, without its sign; none where the train has none.
    pub value: Option<Fraction>,
}

/// The module of a mesh.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct MeshModule {
    /// The mesh.
    pub mesh: MeshId,
    /// Its module, in millimetres.
    pub module: Fraction,
}

/// A gear that has to be free as well, and the counts with which something then serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FreeAsWell {
    /// The gear.
    pub gear: GearId,
    /// The fewest teeth that it is to have.
    pub fewest: u16,
    /// The most.
    pub most: u16,
}

/// What would serve with one requirement fewer.
#[derive(Debug, Clone, Default, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NearMisses {
    /// What was found, in the order of the requirements.
    pub found: Vec<NearMiss>,
    /// Requirements without which nothing was found before the search ended, so that something may serve.
    pub open: Vec<String>,
}

impl TeethAnswer {
    /// Whether what comes nearest was not looked for to the end.
    pub fn is_near_open(&self) -> bool {
        self.near_misses.as_ref().is_some_and(|near| !near.is_whole())
    }
}

impl NearMisses {
    /// Whether all was looked at, so that nothing comes nearer and all are counted.
    pub fn is_whole(&self) -> bool {
        self.open.is_empty() && self.found.iter().all(|miss| miss.proven && miss.counted == Counted::All)
    }
}

/// A gearset that breaks one requirement and no other.
#[derive(Debug, Clone, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NearMiss {
    /// The requirement.
    pub without: String,
    /// How far it is from the window that the requirement is, if it is one.
    pub by: Option<Fraction>,
    /// Whether none is nearer, proven; a search that ended before its end may have missed one.
    pub proven: bool,
    /// How many combinations break this requirement and no other; at least so many where not all were counted.
    pub count: u128,
    /// Whether all of them were counted.
    pub counted: Counted,
    /// The gearset.
    pub found: TeethFound,
    /// The same as `by` as a distance, where it is one.
    pub distance: Option<MissedDistance>,
}

impl SearchOrigin {
    /// The question for so many results, or all.
    pub fn new(set: &Gearset, request: &RequestText, results_asked: Option<usize>) -> Self {
        Self { description: description::write(set.draft()), request: request.write(), results_asked }
    }
}

impl Counting {
    /// The account of what serves that an outcome is. Where the best were searched for, what they beat was not looked at
    /// to the end; where nothing was found, nothing was beaten: a goal sets aside what it has no value for, a ratio that
    /// does not exist, and that breaks a requirement too.
    pub(super) fn of(outcome: &SearchOutcome) -> Self {
        let excluded = outcome.excluded.iter().map(|one| one.combinations).sum::<u128>();
        let counts =
            matches!(outcome.wanted, Wanted::All | Wanted::Count) || (outcome.complete && outcome.found.is_empty());
        let (excluded, open) = if counts { (excluded + outcome.beaten, 0) } else { (excluded, outcome.beaten) };
        Self { combinations: outcome.combinations, excluded, undecided: outcome.undecided + open }
    }

    /// The account of a count that is still to be made, of so many combinations.
    pub(super) fn not_begun(combinations: u128) -> Self {
        Self { combinations, excluded: 0, undecided: combinations }
    }

    /// The account and the count, where so many were found in another way that more serve than were counted.
    pub(super) fn with_at_least(mut self, count: u128, found: u128) -> (u128, Self) {
        self.undecided = self.undecided.saturating_sub(found.saturating_sub(count));
        (count.max(found), self)
    }

    /// Whether this many that serve close the account.
    pub(super) fn closes_with(self, count: u128) -> bool {
        let accounted = count.checked_add(self.excluded).and_then(|sum| sum.checked_add(self.undecided));
        accounted == Some(self.combinations)
    }

    pub(super) fn counted(self) -> Counted {
        if self.undecided == 0 { Counted::All } else { Counted::AtLeast }
    }
}

impl TeethFound {
    /// The draft of the gearset, with a title that says which counts and pins are not those of `before`.
    pub fn titled_draft(&self, before: &Gearset) -> Draft {
        let mut draft = self.set.draft().clone();
        let changed = self.teeth.iter().filter(|(gear, teeth)| before.gear(*gear).tooth_count().get() != *teeth);
        let teeth = changed.map(|(gear, teeth)| format!("{} {teeth}", before.gear(*gear).name()));
        let pins = self.pins.iter().filter(|(planet, _)| self.pins_changed.contains(planet));
        let pins = pins.map(|(planet, pins)| format!("{pins} of {}", before.member(*planet).name()));
        let changes: Vec<String> = teeth.chain(pins).collect();
        let changes = if changes.is_empty() { "as it is".to_owned() } else { changes.join(", ") };
        draft.title = format!("{}: {changes}", before.title());
        draft
    }
}

impl TeethAnswer {
    /// How many combinations all requirements of each name excluded together, the most first.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, search::{Options, Wanted}, tooth_search::*};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let gear = set.gear_named("S").unwrap();
    /// let request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let answer = plan.search(&Wanted::All, &Options::default()).unwrap();
    /// let excluded: u128 = answer.excluded_by_name().iter().map(|one| one.combinations).sum();
    /// assert_eq!(answer.count + excluded, answer.combinations);
    /// ```
    pub fn excluded_by_name(&self) -> Vec<Excluded> {
        let mut sums: Vec<Excluded> = Vec::new();
        for one in self.excluded.iter().filter(|one| one.combinations > 0) {
            match sums.iter_mut().find(|sum| sum.name == one.name) {
                Some(sum) => sum.combinations += one.combinations,
                None => sums.push(one.clone()),
            }
        }
        sums.sort_by_key(|sum| std::cmp::Reverse(sum.combinations));
        sums
    }
}

impl TeethPlan<'_> {
    /// Finds what was asked as a text: the best so many of one goal, or all that nothing beats in every goal, or all
    /// that serve; where nothing serves, what comes nearest.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the question cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, search::Options, tooth_search::*};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let text = RequestText::read(r#"Search(teeth: { "S": (12, 30) }, ratios: { "ring held": Near(3.6) })"#).unwrap();
    /// let request = text.request(&set).unwrap();
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let answer = plan.answer(&SearchOrigin::new(&set, &text, Some(1)), &Options::default()).unwrap();
    /// assert_eq!(answer.results[0].teeth[0].1, 24);
    /// ```
    pub fn answer(&self, origin: &SearchOrigin, options: &Options<'_>) -> Result<TeethAnswer, TeethFault> {
        let mut answer = self.search(&self.wanted(origin.results_asked), options)?;
        answer.origin = Some(origin.clone());
        self.look_for_near_misses(&mut answer, Some(NEAR_CHOICES), options)?;
        self.look_for_partners(&mut answer, options)?;
        Ok(answer)
    }

    /// Finds all that serve, and hands over one after another, made as it is asked for, until it is told to break: of what is
    /// not yet handed over only the counts are kept, so that there may be many. The answer has no results.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the question cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use std::ops::ControlFlow;
    /// use toothmark::{description, search::Options, tooth_search::*};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let text = RequestText::read(r#"Search(teeth: { "S": (12, 30), "p": (12, 40), "R": (40, 99) })"#).unwrap();
    /// let request = text.request(&set).unwrap();
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let mut suns = Vec::new();
    /// let take = |found: TeethFound| {
    ///     suns.push(found.teeth[0].1);
    ///     ControlFlow::Continue(())
    /// };
    /// let answer = plan.answer_each(&SearchOrigin::new(&set, &text, None), &Options::default(), take).unwrap();
    /// assert_eq!(u128::try_from(suns.len()).unwrap(), answer.count);
    /// ```
    pub fn answer_each(
        &self,
        origin: &SearchOrigin,
        options: &Options<'_>,
        mut take: impl FnMut(TeethFound) -> ControlFlow<()>,
    ) -> Result<TeethAnswer, TeethFault> {
        let mut outcome = self.problem.search(&Wanted::All, options)?;
        let (count, counting) = (outcome.count, Counting::of(&outcome));
        let found = std::mem::take(&mut outcome.found);
        let is_nothing = found.is_empty();
        // One at a time: a gearset and all that is told of it are a hundred times as large as its counts.
        let _ = found.iter().filter_map(|found| self.gearset_found(found)).try_for_each(&mut take);
        let part = options.part.map(|part| [part.index + 1, part.of]);
        let mut answer = TeethAnswer { part, ..self.finished(outcome, count, counting) };
        answer.origin = Some(origin.clone());
        if is_nothing {
            self.look_for_near_misses(&mut answer, Some(NEAR_CHOICES), options)?;
            self.look_for_partners(&mut answer, options)?;
        }
        Ok(answer)
    }

    /// What would serve with one requirement fewer, where it is proven that nothing serves, with so many choices at most for
    /// each search. Where it is stopped, what was found before stays.
    pub(super) fn look_for_near_misses(
        &self,
        answer: &mut TeethAnswer,
        most_choices: Option<u128>,
        options: &Options<'_>,
    ) -> Result<(), TeethFault> {
        if answer.results.is_empty() && answer.proven && answer.part.is_none() {
            let most_choices = [most_choices, options.most_choices].into_iter().flatten().min();
            let found = self.near_misses(&Options { progress: None, most_choices, ..*options })?;
            if answer.near_misses.is_none() || !options.is_stop_requested() {
                answer.near_misses = Some(found);
            }
        }
        Ok(())
    }

    /// For every requirement that alone stands in the way, what comes nearest to it.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the problem cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, search::Options, tooth_search::*};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let ranges = ["L", "l"].map(|name| set.gear_named(name).unwrap());
    /// let ranges = ranges.map(|gear| TeethRange { gear, fewest: 15, most: 45 });
    /// let mut request = TeethRequest::new(ranges);
    /// request.ratios.push(RatioWish { state: "low".into(), wish: Wish::Between(fraction(5, 1), fraction(6, 1)) });
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let misses = plan.near_misses(&Options::default()).unwrap();
    /// // Sums of 57 give no 5; without one sum there is one.
    /// assert!(misses.found.iter().any(|miss| miss.without == "cluster keeps one centre distance"));
    /// assert!(misses.is_whole());
    /// ```
    pub fn near_misses(&self, options: &Options<'_>) -> Result<NearMisses, TeethFault> {
        let NearestMisses { found, mut open } = self.problem.nearest_misses(options)?;
        let near = found.into_iter().filter_map(|Miss { name: without, by, is_proven, count, is_counted, values }| {
            let Some(found) = self.gearset_found(&Combination { values, measures: Vec::new() }) else {
                // What makes no gearset at all is no miss, but another one may make one.
                open.extend((!is_proven).then_some(without));
                return None;
            };
            // A part changes or does not: it misses nothing by anything.
            let by = by.filter(|_| self.set.member_ids().all(|member| goals::stays(self.set, member) != without));
            let distance = by.as_ref().and_then(|by| distances::missed(self, &without, by));
            let counted = if is_counted { Counted::All } else { Counted::AtLeast };
            Some(NearMiss { without, by, proven: is_proven, count, counted, found, distance })
        });
        let found = near.collect();
        Ok(NearMisses { found, open })
    }

    /// The answer that an outcome is, with how many serve.
    pub(super) fn finished(&self, outcome: SearchOutcome, count: u128, counting: Counting) -> TeethAnswer {
        let counted = counting.counted();
        TeethAnswer {
            complete: outcome.complete && counted == Counted::All,
            combinations: outcome.combinations,
            visited: outcome.visited,
            count,
            // The limits of descriptions are among the requirements, so that whatever serves makes a gearset.
            results: outcome.found.iter().filter_map(|found| self.gearset_found(found)).collect(),
            goals: self.goal_names(),
            beaten: outcome.beaten,
            undecided: outcome.undecided,
            excluded: outcome.excluded,
            part: None,
            origin: None,
            proven: outcome.complete,
            counted,
            counting,
            near_misses: None,
            wishes_turned: self.turned_wishes.clone(),
            free_as_well: Vec::new(),
            wishes_fixed: self.fixed_wishes.clone(),
            memory_reached: outcome.memory_reached.then_some(match outcome.wanted {
                Wanted::Count => MemoryReached::CountedAnew,
                Wanted::Best(_) | Wanted::All | Wanted::Within(_) | Wanted::Pareto => MemoryReached::Ended,
            }),
        }
    }

    fn gearset_found(&self, found: &Combination) -> Option<TeethFound> {
        let values: Vec<i64> = self.all_unknowns().into_iter().map(|unknown| found.values[unknown.place()]).collect();
        let set = gearset_of(self.set, &self.unknowns, &values)?;
        let modules = &self.unknowns.modules;
        let module = |mesh: MeshId| {
            Some(MeshModule { mesh, module: modules.of_value(found.values[modules.unknown(mesh)?.place()]) })
        };
        let varied = self.set.gear_ids().filter(|gear| self.unknowns.teeth[gear.index()].is_some());
        let ratios = ratios_of(&set);
        let groups = set.planet_groups().iter().zip(self.set.planet_groups());
        let moved = groups.clone().filter(|(now, before)| now.places().len() != before.places().len());
        Some(TeethFound {
            teeth: varied.map(|gear| (gear, set.gear(gear).tooth_count().get())).collect(),
            pins: groups.map(|(now, _)| (now.planets()[0], now.places().len())).collect(),
            pins_changed: moved.map(|(now, _)| now.planets()[0]).collect(),
            ratios_changed: changed(&ratios, &self.ratios_now),
            shift_sums: shift_sums(&set, (!self.unknowns.moves_pins).then_some(self.set)),
            values: self.values_of(&set),
            senses_changed: sense::turned(&ratios, &self.ratios_now),
            senses_missed: sense::missed(&ratios, &self.wishes),
            ratios,
            objective: found.measures.first().cloned(),
            measures: found.measures.clone(),
            modules: self.set.mesh_ids().filter_map(module).collect(),
            shifts: self.unknowns.fitting.as_ref().and_then(|fitting| fitting.new_shifts(&set)).unwrap_or_default(),
            margins: set.planet_groups().iter().map(|group| margin(&set, group)).collect(),
            set,
        })
    }
}

/// How far the nearest wrong seating of planets that go together is out; with one pin there is none.
fn margin(set: &Gearset, group: &PlanetGroup) -> Option<Fraction> {
    let (rows, spacings) = (set.matrix().timing(group), group.spacings());
    let may_be_wrong = spacings.len() > 1 && rows_assemble(&rows, &spacings);
    may_be_wrong.then(|| least_error_of_wrong(&rows).ok().flatten()).flatten()
}

/// The states whose ratio is another one now.
fn changed(ratios: &[(String, Fraction)], before: &[(String, Fraction)]) -> Vec<String> {
    ratios.iter().filter(|ratio| !before.contains(ratio)).map(|(state, _)| state.clone()).collect()
}

/// Pairs as a map in their order.
fn as_map<K: Serialize, V: Serialize, S: Serializer>(pairs: &[(K, V)], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(pairs.iter().map(|(key, value)| (key, value)))
}
