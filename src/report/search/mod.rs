//! The answer to "which other tooth counts would serve".
//!
//! First what was looked at and whether it is proven, then the best beside one another, then what excluded all others;
//! where nothing serves, what would if one requirement were left out. For a table program a record a result and gear.

use std::collections::BTreeSet;

use num_traits::{One, Signed, Zero};
use serde::Serialize;
use serde_json::Value;

use crate::exact::Fraction;
use crate::gearset::{GearId, Gearset, PlanetGroup, State};
use crate::report::answer::{Answer, Outcome};
use crate::report::render::csv::{csv, csv_rows};
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::render::json::{json_line, value};
use crate::report::words::{counted, first_few, list, mixed, rounded, with_decimal};
use crate::tooth_search::{
    Counted, FoundValue, FreeAsWell, MemoryReached, MeshShift, NearMiss, TeethAnswer, TeethFound, TurnedWish,
};

impl Answer for TeethAnswer {
    fn title(&self, set: &Gearset) -> String {
        format!("{}: other tooth counts", set.title())
    }

    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let table = if self.results.is_empty() { near_misses(self, set) } else { Some(results(self, set)) };
        let tables = table.into_iter().chain(values(self));
        let tables = tables.map(|table| Block::Table(table.beginning(MOST_RESULTS)));
        [Block::Statements(statements(self, set))].into_iter().chain(tables).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let listed = (!self.results.is_empty()).then(|| results(self, set));
        let rest = listed.into_iter().chain(values(self)).filter_map(|table| table.rest(MOST_RESULTS));
        rest.map(Block::Table).chain([Block::Facts(facts(self)), Block::Table(excluded(self))]).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("the work done and what excluded all other combinations")
    }

    fn records(&self, set: &Gearset) -> Records {
        let numbered = self.results.iter().enumerate();
        let rows = numbered.flat_map(|(place, found)| rows_of(set, place + 1, found)).collect();
        Records { fields: FIELDS.to_vec(), rows }
    }

    /// A part that holds nothing is no answer to the question, but done.
    fn outcome(&self) -> Outcome {
        (self.proven && (self.part.is_some() || self.count > 0 || !self.results.is_empty())).into()
    }
}

const FIELDS: [&str; 4] = ["result", "gear", "teeth", "objective"];

/// The records of one result, a gear each.
fn rows_of(set: &Gearset, number: usize, found: &TeethFound) -> Vec<Vec<String>> {
    let objective = found.objective.as_ref().map(ToString::to_string).unwrap_or_default();
    let row = |&(gear, teeth): &(GearId, u16)| {
        vec![number.to_string(), csv_name(set.gear(gear).name()), teeth.to_string(), objective.clone()]
    };
    found.teeth.iter().map(row).collect()
}

/// A result by itself as JSON on one line: its number from 1, and what the JSON of the whole answer tells of it.
///
/// # Examples
/// ```
/// use toothmark::{description, report::result_line, search::{Options, Wanted}, tooth_search::*};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let gear = set.gear_named("S").unwrap();
/// let request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
/// let answer = TeethPlan::new(&set, &request).unwrap().search(&Wanted::All, &Options::default()).unwrap();
/// assert!(result_line(&set, 1, &answer.results[0]).starts_with(r#"{"result":1,"found":{"teeth":{"S":24}"#));
/// ```
pub fn result_line(set: &Gearset, number: usize, found: &TeethFound) -> String {
    json_line(&NumberedResult { result: number, found: value(set, found) })
}

#[derive(Serialize)]
struct NumberedResult {
    result: usize,
    found: Value,
}

/// The answer to results that were told one by one, as JSON on one line: whether it is yes, and the answer without them.
///
/// # Examples
/// ```
/// use toothmark::{description, report::account_line, search::{Options, Wanted}, tooth_search::*};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let gear = set.gear_named("S").unwrap();
/// let request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
/// let answer = TeethPlan::new(&set, &request).unwrap().search(&Wanted::Count, &Options::default()).unwrap();
/// assert!(account_line(&set, &answer).starts_with(r#"{"outcome":"yes","answer":{"complete":true"#));
/// ```
pub fn account_line(set: &Gearset, answer: &TeethAnswer) -> String {
    json_line(&AccountOfResults { outcome: answer.outcome(), answer: value(set, answer) })
}

#[derive(Serialize)]
struct AccountOfResults {
    outcome: Outcome,
    answer: Value,
}

/// A result by itself as CSV: a record a gear, headed by the names of the columns if it is the first.
///
/// # Examples
/// ```
/// use toothmark::{description, report::result_records, search::{Options, Wanted}, tooth_search::*};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let gear = set.gear_named("S").unwrap();
/// let request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
/// let answer = TeethPlan::new(&set, &request).unwrap().search(&Wanted::All, &Options::default()).unwrap();
/// assert_eq!(result_records(&set, 1, &answer.results[0]), "result,gear,teeth,objective\n1,S,24,0\n");
/// assert_eq!(result_records(&set, 2, &answer.results[0]), "2,S,24,0\n");
/// ```
pub fn result_records(set: &Gearset, number: usize, found: &TeethFound) -> String {
    let rows = rows_of(set, number, found);
    if number == 1 { csv(&Records { fields: FIELDS.to_vec(), rows }) } else { csv_rows(&rows) }
}

/// The most requirements that are named in one sentence.
const MOST_OPEN: usize = 3;

/// The most gearsets that are listed on a screen.
const MOST_RESULTS: usize = 8;

/// How many combinations serve, as far as they were counted: the beginning of a sentence.
///
/// # Examples
/// ```
/// use toothmark::{description, report::how_many_serve, search::{Options, Wanted}, tooth_search::*};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let gear = set.gear_named("S").unwrap();
/// let request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
/// let answer = TeethPlan::new(&set, &request).unwrap().search(&Wanted::All, &Options::default()).unwrap();
/// assert_eq!(how_many_serve(&answer), "1 of 9 combinations serves");
/// ```
pub fn how_many_serve(answer: &TeethAnswer) -> String {
    let (searched, scope) = (grouped(answer.combinations), scope(answer));
    // What a part counts need not be what it searches and lists.
    let counting = answer.part.map_or_else(String::new, |[part, of]| format!(" that part {part} of {of} counts"));
    let counted = format!("{} combinations{counting}", grouped(answer.counting.combinations));
    let serve = if answer.count == 1 { "serves" } else { "serve" };
    let listed = u128::try_from(answer.results.len()).unwrap_or(u128::MAX);
    match answer.counted {
        Counted::All => format!("{} of {counted} {serve}", grouped(answer.count)),
        Counted::AtLeast if answer.count < listed.max(1) => {
            format!("How many of {searched} combinations{scope} serve was not counted")
        }
        Counted::AtLeast => format!("At least {} of {counted} {serve}", grouped(answer.count)),
    }
}

/// The part of the work that an answer is of, if it is one.
fn scope(answer: &TeethAnswer) -> String {
    answer.part.map_or_else(String::new, |[part, of]| format!(" in part {part} of {of}"))
}

/// How many serve, which is the best, whether that is proven, and what has to be minded.
fn statements(answer: &TeethAnswer, set: &Gearset) -> Vec<String> {
    let counted = how_many_serve(answer);
    let first = match (&answer.results[..], answer.proven) {
        ([_, _, ..], true) if answer.goals.len() > 1 => several_goals(answer, &counted),
        ([best, ..], true) => format!("The best, proven: {}. {counted}.", teeth(set, best)),
        ([best, ..], false) => {
            format!(
                "The best so far: {}. {counted}. NOT proven: not everything was looked at, and a better one may exist.",
                teeth(set, best)
            )
        }
        ([], true) => format!(
            "Nothing serves: none of {} combinations{} meets every requirement.",
            grouped(answer.combinations),
            scope(answer)
        ),
        ([], false) => format!("Nothing is listed. {counted}. NOT proven: not everything was looked at."),
    };
    let mind = "These counts mesh and assemble. Whether teeth and pins are strong enough, and whether a cutter makes them, \
                nothing here says; compare shows what else changes.";
    let mind = (!answer.results.is_empty()).then(|| mind.to_owned());
    let nearest = if answer.results.is_empty() { nearest(answer) } else { None };
    [first]
        .into_iter()
        .chain(memory_reached(answer).map(String::from))
        .chain(free_as_well(answer, set))
        .chain(nearest)
        .chain(left_open(answer))
        .chain(wishes_turned(answer))
        .chain(wishes_fixed(answer))
        .chain(other_senses(answer, set))
        .chain(mind)
        .chain(shifts_left_out(answer, set))
        .chain(two_distances(answer))
        .collect()
}

/// What became of a search that came to the bound on its memory, as a sentence; none where it did not.
///
/// # Examples
/// ```
/// use toothmark::{description, report::memory_reached, search::{MemoryBound, Options, Wanted}, tooth_search::*};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let ranges = ["S", "p", "R"].map(|name| TeethRange { gear: set.gear_named(name).unwrap(), fewest: 12, most: 99 });
/// let request = TeethRequest::new(ranges);
/// let plan = TeethPlan::new(&set, &request).unwrap();
/// let memory = Some(MemoryBound { bytes: 1, per_found: 0 });
/// let answer = plan.search(&Wanted::All, &Options { memory, ..Options::default() }).unwrap();
/// assert!(memory_reached(&answer).unwrap().starts_with("The search ended"));
/// ```
pub fn memory_reached(answer: &TeethAnswer) -> Option<&'static str> {
    answer.memory_reached.map(|reached| match reached {
        MemoryReached::Ended => {
            "The search ended where its results came to the bound on memory: raise --memory, ask for fewer results or for \
             a goal that tells them apart, narrow the ranges, or have all told one by one with --all --lines."
        }
        MemoryReached::CountedAnew => {
            "The count came to the bound on memory and remembered no more, so that it took longer: --memory raises it."
        }
    })
}

/// Where several things are better, no result is the best.
fn several_goals(answer: &TeethAnswer, counted: &str) -> String {
    let listed = answer.results.len();
    if answer.counted == Counted::All && u128::try_from(listed) == Ok(answer.count) {
        return format!("{counted}: these, proven.");
    }
    format!("Proven: nothing beats one of these {listed} in all of what is better at once. {counted}.")
}

/// The gears that have to be free as well.
fn free_as_well(answer: &TeethAnswer, set: &Gearset) -> Option<String> {
    let name = |one: &FreeAsWell| set.gear(one.gear).name().to_owned();
    let flag = |one: &FreeAsWell| as_typed("--teeth", &format!("{}={}..{}", name(one), one.fewest, one.most));
    let names: Vec<String> = answer.free_as_well.iter().map(name).collect();
    let flags: Vec<String> = answer.free_as_well.iter().map(flag).collect();
    let others =
        if answer.results.is_empty() { "Something serves" } else { "This is the gearset as it is. Others serve" };
    (!names.is_empty()).then(|| format!("{others} if {} may change as well: add {}", list(&names), flags.join(" ")))
}

/// An option as it is typed into a shell.
fn as_typed(option: &str, value: &str) -> String {
    let is_plain = value.chars().all(|letter| letter.is_ascii_alphanumeric() || "=.,_-".contains(letter));
    if is_plain { format!("{option} {value}") } else { format!("{option} '{}'", value.replace('\'', "'\\''")) }
}

/// The wishes that were taken with the other sign.
fn wishes_turned(answer: &TeethAnswer) -> Option<String> {
    let one = |turned: &TurnedWish| {
        let taken: Vec<String> = turned.taken.iter().map(rounded).collect();
        let way = if turned.taken.iter().any(Signed::is_negative) { "backwards" } else { "forwards" };
        format!("{} turns the output {way} whatever these counts are, so {} was taken", turned.state, taken.join(".."))
    };
    let told: Vec<String> = answer.wishes_turned.iter().map(one).collect();
    (!told.is_empty()).then(|| format!("The sign of a wish was changed: {}.", told.join("; ")))
}

/// The wishes that are met whatever is found.
fn wishes_fixed(answer: &TeethAnswer) -> Option<String> {
    let told: Vec<String> =
        answer.wishes_fixed.iter().map(|met| format!("the {} is {}", met.name, with_decimal(&met.value))).collect();
    let asks = if told.len() == 1 { "This wish is" } else { "These wishes are" };
    (!told.is_empty()).then(|| {
        format!("{asks} met whatever these counts are, as nothing that may change is in them: {}.", list(&told))
    })
}

/// The results that turn a state the other way than it turns now, or than was wished for.
fn other_senses(answer: &TeethAnswer, set: &Gearset) -> Vec<String> {
    let of_state = |state: &State| {
        let changed = other_sense(answer, &state.name, |found| &found.senses_changed, "now");
        [changed, other_sense(answer, &state.name, |found| &found.senses_missed, "was wished for")]
    };
    set.states().iter().flat_map(of_state).flatten().collect()
}

/// The results in whose list a state stands.
fn other_sense(
    answer: &TeethAnswer,
    state: &str,
    lists: impl Fn(&TeethFound) -> &Vec<String>,
    than: &str,
) -> Option<String> {
    let turns = |found: &TeethFound| lists(found).iter().any(|other| other == state);
    let results = results_where(answer, turns)?;
    let first = answer.results.iter().find(|found| turns(found))?;
    let (_, ratio) = first.ratios.iter().find(|(other, _)| other == state)?;
    let way = if ratio.is_negative() { "backwards" } else { "forwards" };
    Some(format!("Beware: in {results} \"{state}\" turns the output {way}, the other way than {than}."))
}

/// The gears whose profile shift belongs to another count than that of a result.
fn shifts_left_out(answer: &TeethAnswer, set: &Gearset) -> Option<String> {
    let shifted =
        |gear: GearId, teeth: u16| !set.profile_shift(gear).is_zero() && set.gear(gear).tooth_count().get() != teeth;
    let counts = answer.results.iter().flat_map(|found| &found.teeth);
    let gears: BTreeSet<GearId> =
        counts.filter(|&&(gear, teeth)| shifted(gear, teeth)).map(|&(gear, _)| gear).collect();
    let names: Vec<String> = gears.into_iter().map(|gear| set.gear(gear).name().to_owned()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "Beware: the profile shift of {} belongs to the teeth as they are; where the count is another it is left out.",
            list(&names)
        )
    })
}

/// The listed results of which something holds, by their places in the table; `None` where there is none.
fn results_where(answer: &TeethAnswer, holds: impl Fn(&TeethFound) -> bool) -> Option<String> {
    let numbered = answer.results.iter().take(MOST_RESULTS).enumerate().filter(|(_, found)| holds(found));
    let places: Vec<String> = numbered.map(|(at, _)| (at + 1).to_string()).collect();
    let results = if places.len() == 1 { "result" } else { "results" };
    (!places.is_empty()).then(|| format!("{results} {}", list(&places)))
}

/// Whether a mesh of a result stands on the pin circle only with a profile shift, which nothing has chosen.
fn asks_for_shift(found: &TeethFound) -> bool {
    !found.shift_sums.is_empty() && found.shifts.is_empty()
}

/// The results whose meshes ask for two centre distances.
fn two_distances(answer: &TeethAnswer) -> Option<String> {
    let results = results_where(answer, asks_for_shift)?;
    Some(format!(
        "Beware: in {results} a mesh asks for another centre distance than the pin circle: it has to be cut with profile \
         shift, as much in both gears together as the table says."
    ))
}

fn facts(answer: &TeethAnswer) -> Vec<Fact> {
    vec![
        Fact::new("work done", format!("{} choices of a value", grouped(answer.visited))),
        Fact::new("better is", list(&answer.goals)),
    ]
}

fn results(answer: &TeethAnswer, set: &Gearset) -> Table {
    let mut headings: Vec<String> = ["", "teeth", "ratios that change"].map(String::from).to_vec();
    headings.extend(answer.goals.iter().cloned());
    let has_sums = answer.results.iter().any(asks_for_shift);
    headings.extend(has_sums.then(|| "shift of both gears x".to_owned()));
    let has_shifts = answer.results.iter().any(|found| !found.shifts.is_empty());
    headings.extend(has_shifts.then(|| "shifts x".to_owned()));
    headings.push("nearest wrong seating".into());
    let row = |(place, found): (usize, &TeethFound)| {
        let mut row = vec![(place + 1).to_string(), teeth(set, found), ratios(found)];
        row.extend(found.measures.iter().map(with_decimal));
        row.extend(has_sums.then(|| shift_sums(set, found)));
        row.extend(has_shifts.then(|| shifts(set, found)));
        row.push(margins(set, found));
        row
    };
    let rows = answer.results.iter().enumerate().map(row).collect();
    Table { caption: format!("Best first: {}", counted(answer.results.len(), "gearset")), headings, rows }
}

/// The counts and modules that could change, and the pins where they are not as described.
fn teeth(set: &Gearset, found: &TeethFound) -> String {
    let teeth = found.teeth.iter().map(|&(gear, teeth)| format!("{} {teeth}", set.gear(gear).name()));
    let pins = found.pins.iter().filter(|(planet, _)| found.pins_changed.contains(planet));
    let pins = pins.map(|&(planet, pins)| format!("{} of {}", counted(pins, "pin"), set.member(planet).name()));
    let modules = found.modules.iter();
    let modules = modules.map(|of| format!("module {} of {}", rounded(&of.module), set.mesh_name(of.mesh)));
    teeth.chain(pins).chain(modules).collect::<Vec<_>>().join(", ")
}

/// The ratios that are not what they were.
fn ratios(found: &TeethFound) -> String {
    let ratio = |(state, ratio): &(String, Fraction)| {
        let way = if ratio.is_negative() { " (BACKWARDS)" } else { " (FORWARDS)" };
        let way = if found.senses_changed.contains(state) { way } else { "" };
        format!("{state} {}{way}", with_decimal(ratio))
    };
    let new: Vec<String> =
        found.ratios.iter().filter(|(state, _)| found.ratios_changed.contains(state)).map(ratio).collect();
    if new.is_empty() { "as they are".into() } else { new.join(", ") }
}

/// The values of the train that were wished for, a column each.
fn values(answer: &TeethAnswer) -> Option<Table> {
    let names = answer.results.first()?.values.iter().map(|value| value.name.clone());
    let headings: Vec<String> = [String::new()].into_iter().chain(names).collect();
    let value = |one: &FoundValue| one.value.as_ref().map_or_else(|| "none".to_owned(), rounded);
    let row = |(place, found): (usize, &TeethFound)| {
        [(place + 1).to_string()].into_iter().chain(found.values.iter().map(value)).collect::<Vec<_>>()
    };
    let rows = answer.results.iter().enumerate().map(row).collect();
    (headings.len() > 1).then(|| Table { caption: "Values that were wished for".into(), headings, rows })
}

/// The profile shifts of gears that are cut anew.
fn shifts(set: &Gearset, found: &TeethFound) -> String {
    let of_gear = |(gear, shift): &(GearId, Fraction)| format!("{} {}", set.gear(*gear).name(), signed(shift));
    found.shifts.iter().map(of_gear).collect::<Vec<_>>().join(", ")
}

/// A shift with its sign; 0 has none.
fn signed(shift: &Fraction) -> String {
    if shift.is_positive() { format!("+{}", rounded(shift)) } else { rounded(shift) }
}

/// The shifts that meshes need for their pin circle, both gears together.
fn shift_sums(set: &Gearset, found: &TeethFound) -> String {
    let of_mesh = |shift: &MeshShift| {
        let sum = shift.sum.as_ref().map_or_else(|| "cannot".to_owned(), signed);
        format!("{} {sum}", set.mesh_name(shift.mesh))
    };
    let told: Vec<String> = found.shift_sums.iter().map(of_mesh).collect();
    if told.is_empty() { "none".into() } else { told.join(", ") }
}

/// The margin of every group of planets; of several each with the names of its planets.
fn margins(set: &Gearset, found: &TeethFound) -> String {
    let groups = set.planet_groups();
    if found.margins.iter().all(Option::is_none) {
        return "none".into();
    }
    let margin = |(margin, group): (&Option<Fraction>, &PlanetGroup)| {
        let told = match margin {
            None => "none".to_owned(),
            Some(margin) => format!("{} tooth", mixed(margin)),
        };
        let names: Vec<&str> = group.planets().iter().map(|&planet| set.member(planet).name()).collect();
        if groups.len() > 1 { format!("{} {told}", names.join(" and ")) } else { told }
    };
    found.margins.iter().zip(groups).map(margin).collect::<Vec<_>>().join(", ")
}

fn excluded(answer: &TeethAnswer) -> Table {
    let mut rows: Vec<(String, u128)> =
        answer.excluded_by_name().into_iter().map(|one| (one.name, one.combinations)).collect();
    let listed = u128::try_from(answer.results.len()).unwrap_or(u128::MAX);
    rows.push(("none: listed".into(), listed));
    // Where all that serve are listed nothing was beaten by them.
    let is_all = answer.counted == Counted::All && answer.count == listed;
    let beaten = if is_all { "what is wished for has a value" } else { "none seen: no better than those listed" };
    rows.push((beaten.into(), answer.beaten));
    rows.push(("not looked at".into(), answer.undecided));
    rows.retain(|(_, combinations)| *combinations > 0);
    Table {
        caption: "What became of every combination: the requirement at which it dropped out, alone or together with \
                  others before it and with what was found already"
            .into(),
        headings: ["requirement", "combinations"].map(String::from).to_vec(),
        rows: rows.into_iter().map(|(name, combinations)| vec![name, grouped(combinations)]).collect(),
    }
}

/// What would serve if one requirement were left out.
fn nearest(answer: &TeethAnswer) -> Option<String> {
    let near = answer.near_misses.as_ref()?;
    let is_all = near.is_whole();
    Some(match near.found.iter().max_by_key(|miss| miss.count) {
        Some(most) if is_all => format!("Most would serve without the requirement \"{}\".", most.without),
        Some(most) => format!("Something would serve without the requirement \"{}\".", most.without),
        None if is_all => "No single requirement is to blame: give up more than one, or widen the ranges.".into(),
        None => "No near miss was found before the search for them ended: narrow the ranges, or give up more than one \
                 requirement."
            .into(),
    })
}

/// The requirements without which nothing was found so far, and something may serve.
fn left_open(answer: &TeethAnswer) -> Option<String> {
    let open = &answer.near_misses.as_ref()?.open;
    let named: Vec<String> = open.iter().map(|name| format!("\"{name}\"")).collect();
    let named = first_few(&named, MOST_OPEN);
    (!open.is_empty()).then(|| format!("Still open: whether anything serves without one of these alone: {named}."))
}

/// How far a near miss is off: a distance in teeth and millimetres, anything else as it is.
fn missed_by(miss: &NearMiss) -> Option<String> {
    let Some(distance) = &miss.distance else { return miss.by.as_ref().map(rounded) };
    let teeth = distance.teeth.as_ref().map(|teeth| {
        let word = if teeth.is_one() { "tooth" } else { "teeth" };
        format!("{} {word} of the sum", mixed(teeth))
    });
    let millimetres = distance.millimetres.as_ref().map(|distance| format!("{} mm", rounded(distance)));
    let told: Vec<String> = teeth.into_iter().chain(millimetres).collect();
    (!told.is_empty()).then(|| told.join(", "))
}

fn near_misses(answer: &TeethAnswer, set: &Gearset) -> Option<Table> {
    let row = |miss: &NearMiss| {
        let or_less = if miss.proven { "" } else { " or less" };
        let by = missed_by(miss).map(|by| format!(", missed by {by}{or_less}")).unwrap_or_default();
        let count = grouped(miss.count);
        let count = if miss.counted == Counted::All { count } else { format!("at least {count}") };
        let so_far = if miss.proven { "" } else { " (nearest so far)" };
        vec![
            format!("{}{by}", miss.without),
            count,
            format!("{}{so_far}", teeth(set, &miss.found)),
            ratios(&miss.found),
        ]
    };
    let rows: Vec<Vec<String>> = answer.near_misses.iter().flat_map(|near| &near.found).map(row).collect();
    (!rows.is_empty()).then(|| Table {
        caption: "Near misses: what breaks one requirement and no other".into(),
        headings: ["requirement", "break it alone", "nearest", "ratios that change"].map(String::from).to_vec(),
        rows,
    })
}

/// A whole number with a space every three digits.
fn grouped(number: u128) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn large_numbers_are_told_in_groups() {
        assert_eq!([0, 999, 1000, 170_834_423].map(grouped), ["0", "999", "1 000", "170 834 423"]);
    }
}
