//! Is every problem of a practice sheet sound, and is its answer that of the printed question?
//!
//! The questions are read back word by word from the sheet as a student gets it, and solved here by dense
//! elimination, by trying tooth counts and by trying teeth; nothing of the library's own solvers is used.

use std::collections::{BTreeMap, HashSet};
use std::fs;
use std::sync::LazyLock;

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};
use roxmltree::ParsingOptions;
use toothmark::clearance::gaps;
use toothmark::exact::Fraction;
use toothmark::practice::{
    CannotFill, Difficulty, Mistake, PracticeAnswer, PracticeKind, PracticeProblem, PracticeQuestion, PracticeSheet,
    Quantity, SheetRequest, practice_sheet,
};
use toothmark::report::{Block, Document, answer_key, markdown, question_sheet};
use toothmark::timing::timing;

use crate::support::process::{package, run};
use crate::support::sets::read_set;

const DIFFICULTIES: [Difficulty; 3] = [Difficulty::Easy, Difficulty::Medium, Difficulty::Hard];

#[track_caller]
fn sheet(kind: Option<PracticeKind>, difficulty: Difficulty, count: usize, seed: u64) -> PracticeSheet {
    practice_sheet(&SheetRequest { kind, difficulty, count, seed })
        .unwrap_or_else(|error| panic!("{kind:?} {difficulty:?} seed {seed}: {error}"))
}

/// Sheets of every kind and difficulty, made once.
static SHEETS: LazyLock<Vec<PracticeSheet>> = LazyLock::new(|| {
    let of = |kind, difficulty| (1..=3).map(move |seed| sheet(Some(kind), difficulty, 5, seed * 7919));
    let all = PracticeKind::ALL.into_iter().flat_map(|kind| DIFFICULTIES.map(|difficulty| (kind, difficulty)));
    all.flat_map(|(kind, difficulty)| of(kind, difficulty)).collect()
});

fn problems() -> impl Iterator<Item = &'static PracticeProblem> {
    SHEETS.iter().flat_map(|sheet| &sheet.problems)
}

fn parts() -> impl Iterator<Item = &'static PracticeQuestion> {
    problems().flat_map(|problem| &problem.parts)
}

fn number(value: i64) -> Fraction {
    Fraction::from(BigInt::from(value))
}

/// `3`, `3 3/5`, `1/2`.
#[track_caller]
fn read_number(text: &str) -> Fraction {
    text.split(' ').map(|part| part.parse::<Fraction>().unwrap_or_else(|_| panic!("{text:?} is no number"))).sum()
}

/// A gear as it was read: whose it is, and its teeth, signed as formulas want it.
#[derive(Debug, Clone)]
struct Gear {
    body: String,
    sign: i64,
    teeth: Option<i64>,
}

/// What a printed question says.
#[derive(Debug, Default, Clone)]
struct Read {
    gears: BTreeMap<String, Gear>,
    carrier_of: BTreeMap<String, String>,
    meshes: Vec<(String, String)>,
    fast: Vec<(String, String)>,
    held: Vec<String>,
    bands: BTreeMap<String, String>,
    turning: Vec<(String, Fraction)>,
    torque: Option<(String, Fraction)>,
    ratio: Option<Fraction>,
}

/// Bodies are called the same with and without article, at the beginning of a sentence or within.
fn body(text: &str) -> String {
    let text = text.trim();
    let text = text.strip_prefix("The ").or_else(|| text.strip_prefix("the ")).unwrap_or(text);
    let mut letters = text.chars();
    letters.next().map(|first| first.to_ascii_lowercase().to_string() + letters.as_str()).unwrap_or_default()
}

/// `a, b and c`.
fn items(text: &str) -> Vec<String> {
    text.split(", ").flat_map(|part| part.split(" and ")).map(str::to_owned).collect()
}

/// `41 teeth`, or nothing where they are to be found.
#[track_caller]
fn read_teeth(text: &str) -> Option<i64> {
    if text == "a number of teeth that is to be found" {
        return None;
    }
    let digits = text.strip_suffix(" teeth").unwrap_or_else(|| panic!("{text:?} are no teeth"));
    Some(digits.parse().expect("a whole number"))
}

/// `340 rpm clockwise`.
#[track_caller]
fn read_sensed(text: &str, unit: &str) -> Fraction {
    let (magnitude, sense) = text.split_once(&format!(" {unit} ")).unwrap_or_else(|| panic!("{text:?} has no {unit}"));
    match sense {
        "counter-clockwise" => read_number(magnitude),
        "clockwise" => -read_number(magnitude),
        _ => panic!("{text:?} has no sense"),
    }
}

impl Read {
    /// Every sentence of a statement has to be understood.
    #[track_caller]
    fn statement(text: &str) -> Self {
        let mut read = Self::default();
        for sentence in text.trim_end_matches('.').split(". ") {
            read.sentence(sentence);
        }
        read
    }

    #[track_caller]
    fn sentence(&mut self, sentence: &str) {
        if sentence.ends_with(" has this gearset")
            || sentence == "All gears are of one module and have no profile shift"
            || sentence == "Losses are left out of account"
        {
        } else if sentence.starts_with("The axes of the planets are square to the main axis; A stands on the input") {
            self.gears.get_mut("B").expect("side gear B").sign = -1;
        } else if let Some((carrier, planets)) = sentence.split_once(" equally spaced ") {
            self.planets(carrier, planets);
        } else if let Some(pairs) = sentence.strip_prefix("In mesh are ") {
            for pair in items(pairs) {
                let (a, b) = pair.split_once(" with ").expect("two gears");
                self.meshes.push((a.to_owned(), b.to_owned()));
            }
        } else if let Some(pair) = sentence.strip_suffix(" are fast to one another") {
            let (a, b) = pair.split_once(" and ").expect("two bodies");
            self.fast.push((body(a), body(b)));
        } else if let Some(held) = sentence.strip_suffix(" is held") {
            self.held.push(body(held));
        } else if sentence.contains(" can hold ") {
            for band in items(sentence) {
                let (band, drum) = band.split_once(" can hold ").expect("a band and a drum");
                self.bands.insert(body(band), body(drum));
            }
        } else if let Some((driven, rest)) = sentence.split_once(" is driven with a torque of ") {
            let torque = rest.strip_suffix(", seen from the input side, and turns that way").expect("the view");
            self.torque = Some((body(driven), read_sensed(torque, "N m")));
        } else if let Some(driven) = sentence.strip_suffix(", seen from the input side") {
            for one in items(driven) {
                let (who, speed) = one.split_once(" turns at ").expect("who turns");
                self.turning.push((body(who), read_sensed(speed, "rpm")));
            }
        } else if let Some((who, rest)) = sentence.split_once(" turns ") {
            let (times, other) = rest.split_once(" times for one turn of ").expect("a ratio");
            let other = other.strip_suffix(", in the same sense").expect("a sense");
            self.turning = vec![(body(who), number(1)), (body(other), Fraction::one() / read_number(times))];
            self.ratio = Some(read_number(times));
        } else if sentence.contains(" teeth") {
            for one in items(sentence) {
                self.central(&one);
            }
        } else {
            panic!("{sentence:?} is not understood");
        }
    }

    #[track_caller]
    fn central(&mut self, text: &str) {
        let (who, gear, teeth) = if let Some((who, gear)) = text.split_once(" carries sun ") {
            let (name, teeth) = gear.split_once(" with ").expect("teeth");
            (body(who), name.to_owned(), teeth)
        } else {
            let (who, teeth) = text.split_once(" has ").expect("teeth");
            (body(who), who.rsplit(' ').next().expect("a name").to_owned(), teeth)
        };
        let sign = if who.starts_with("ring ") { -1 } else { 1 };
        self.gears.insert(gear, Gear { body: who, sign, teeth: read_teeth(teeth) });
    }

    #[track_caller]
    fn planets(&mut self, carrier: &str, planets: &str) {
        let carrier = body(carrier.rsplit_once(" has ").expect("pins").0);
        let (_, planets) = planets.split_once(" a ").expect("a planet");
        let (solid, planets) = match planets.split_once(" of gear ") {
            Some((name, gears)) => {
                (Some(name), gears.strip_suffix(", fast to one another").expect("fast").replace("gear ", ""))
            }
            None => (None, planets.replace("a planet ", "").replace("planet ", "")),
        };
        for gear in items(&planets) {
            let (name, teeth) = gear.split_once(" with ").expect("teeth");
            let planet = solid.map_or_else(|| format!("planet {name}"), str::to_owned);
            self.carrier_of.insert(planet.clone(), carrier.clone());
            self.gears.insert(name.to_owned(), Gear { body: planet, sign: 1, teeth: read_teeth(teeth) });
        }
    }

    fn teeth(&self, gear: &str) -> i64 {
        self.gears[gear].teeth.expect("known teeth")
    }

    fn signed(&self, gear: &str) -> i64 {
        self.teeth(gear) * self.gears[gear].sign
    }

    /// The speed of every body with this one held as well and these driven.
    fn speeds(&self, held: Option<&str>, turning: &[(String, Fraction)]) -> BTreeMap<String, Fraction> {
        let mut names: Vec<String> = self.gears.values().map(|gear| gear.body.clone()).collect();
        names.extend(self.carrier_of.values().cloned());
        names.sort();
        names.dedup();
        let at = |name: &str| names.iter().position(|other| other == name).unwrap_or_else(|| panic!("who is {name:?}"));
        let mut rows: Vec<Vec<Fraction>> = Vec::new();
        let mut row = |terms: &[(usize, i64)], value: Fraction| {
            let mut row = vec![Fraction::zero(); names.len() + 1];
            for &(at, factor) in terms {
                row[at] += number(factor);
            }
            row[names.len()] = value;
            rows.push(row);
        };
        for (a, b) in &self.meshes {
            let bodies = [a, b].map(|gear| self.gears[gear].body.clone());
            let carrier = bodies.iter().find_map(|body| self.carrier_of.get(body)).expect("a planet");
            let (z_a, z_b) = (self.signed(a), self.signed(b));
            row(&[(at(&bodies[0]), z_a), (at(&bodies[1]), z_b), (at(carrier), -z_a - z_b)], number(0));
        }
        for (a, b) in &self.fast {
            row(&[(at(a), 1), (at(b), -1)], number(0));
        }
        for name in self.held.iter().map(String::as_str).chain(held) {
            row(&[(at(name), 1)], number(0));
        }
        for (name, speed) in turning {
            row(&[(at(name), 1)], speed.clone());
        }
        let solved = eliminated(rows, names.len());
        names.into_iter().zip(solved).collect()
    }
}

/// The only solution of rows `coefficients | value`.
fn eliminated(mut rows: Vec<Vec<Fraction>>, unknowns: usize) -> Vec<Fraction> {
    for column in 0..unknowns {
        let pivot = (column..rows.len()).find(|&at| !rows[at][column].is_zero()).expect("the question is determined");
        rows.swap(column, pivot);
        let scale = rows[column][column].clone();
        let pivot: Vec<Fraction> = rows[column].iter().map(|value| value / &scale).collect();
        for (at, row) in rows.iter_mut().enumerate() {
            let factor = row[column].clone();
            for (value, of_pivot) in row.iter_mut().zip(&pivot) {
                *value = if at == column { of_pivot.clone() } else { &*value - &factor * of_pivot };
            }
        }
    }
    assert!(rows[unknowns..].iter().all(|row| row.iter().all(Zero::is_zero)), "the question contradicts itself");
    rows.iter().take(unknowns).map(|row| row[unknowns].clone()).collect()
}

/// The statement and the questions of each problem, as printed.
fn printed(document: &Document) -> Vec<Vec<String>> {
    let mut problems: Vec<Vec<String>> = Vec::new();
    for block in &document.blocks {
        match block {
            Block::Heading(_) => problems.push(Vec::new()),
            Block::Paragraph(text) => {
                if let Some(problem) = problems.last_mut() {
                    problem.push(text.clone());
                }
            }
            Block::Statements(_)
            | Block::Facts(_)
            | Block::Table(_)
            | Block::Warning(_)
            | Block::Note(_)
            | Block::Source { .. }
            | Block::Picture(_) => panic!("a question sheet has no {block:?}"),
        }
    }
    problems
}

/// The answer to a question.
#[track_caller]
fn solved(read: &Read, question: &str) -> PracticeAnswer {
    let question = question.strip_prefix('(').and_then(|rest| rest.split_once(") ")).map_or(question, |(_, rest)| rest);
    let (band, question) = match question.split_once(" is applied. ") {
        Some((band, rest)) => (Some(read.bands[&body(band)].as_str()), rest),
        None => (None, question),
    };
    if let Some(who) = question.strip_prefix("How many teeth has ").and_then(|rest| rest.strip_suffix('?')) {
        return PracticeAnswer::Teeth(number(count_by_trying(read, who.rsplit(' ').next().expect("a gear"))));
    }
    if question.starts_with("Which numbers of ") {
        assert!(question.contains("from 2 to 8"), "{question}");
        return PracticeAnswer::PinCounts((2..=8).filter(|&count| goes_together(read, count)).collect());
    }
    let known = with_counts_found(read);
    if let Some(who) =
        question.strip_prefix("What torque does ").and_then(|rest| rest.strip_suffix(" deliver, and in which sense?"))
    {
        return PracticeAnswer::Torque(delivered(&known, band, &body(who)));
    }
    if let Some(rest) = question.strip_prefix("What torque must be put on ") {
        let held = body(rest.strip_suffix(" to hold it, and in which sense?").expect("a holding torque"));
        let (driven, torque) = read.torque.clone().expect("a torque");
        // Of the three members with torque from outside, the output is the one that is left.
        let others = read.gears.values().map(|gear| &gear.body).chain(read.carrier_of.values());
        let drums: Vec<&String> = read.bands.values().collect();
        let output = others
            .filter(|name| !read.carrier_of.contains_key(*name) && **name != driven && **name != held)
            .find(|name| !drums.contains(name))
            .expect("an output");
        return PracticeAnswer::Torque(delivered(&known, band, output) - torque);
    }
    let speeds = known.speeds(band, &known.turning);
    if let Some((who, frame)) = question.split_once(" turn about its own pin, seen from ") {
        let carrier = &speeds[&body(frame.trim_end_matches('?'))];
        if let Some(who) = who.strip_prefix("How fast does ") {
            return PracticeAnswer::Rate((&speeds[&body(who)] - carrier).abs());
        }
        let who = who.strip_prefix("How fast, and in which sense, does ").expect("who");
        return PracticeAnswer::Speed(&speeds[&body(who)] - carrier);
    }
    let who = question.strip_prefix("How fast, and in which sense, does ").expect("a question");
    let who = who.strip_suffix(" turn?").or_else(|| who.strip_suffix(" turn, seen from the case?")).expect("turn");
    PracticeAnswer::Speed(speeds[&body(who)].clone())
}

/// By the power: what is brought in goes out.
fn delivered(read: &Read, band: Option<&str>, output: &str) -> Fraction {
    let (driven, torque) = read.torque.clone().expect("a torque");
    let speeds = read.speeds(band, &[(driven, number(1))]);
    torque / &speeds[output]
}

/// The same with every count filled in.
fn with_counts_found(read: &Read) -> Read {
    let mut known = read.clone();
    for (name, gear) in &mut known.gears {
        gear.teeth = gear.teeth.or_else(|| Some(count_by_trying(read, name)));
    }
    known
}

/// The only counts with which all meshes have one distance between their axes, and the ratio is as told.
fn count_by_trying(read: &Read, asked: &str) -> i64 {
    let hidden: Vec<&String> =
        read.gears.iter().filter(|(_, gear)| gear.teeth.is_none()).map(|(name, _)| name).collect();
    let mut found = Vec::new();
    let tries = if hidden.len() == 1 { 1 } else { 150 };
    for first in 1..=150 {
        for second in 1..=tries {
            let mut tried = Read { gears: read.gears.clone(), meshes: read.meshes.clone(), ..Read::default() };
            for (name, count) in hidden.iter().zip([first, second]) {
                tried.gears.get_mut(*name).expect("a gear").teeth = Some(count);
            }
            let doubled: Vec<i64> =
                tried.meshes.iter().map(|(a, b)| (tried.signed(a) + tried.signed(b)).abs()).collect();
            let ratio = number(tried.teeth("R")) / number(tried.teeth("S")) + number(1);
            if doubled.windows(2).all(|pair| pair[0] == pair[1])
                && read.ratio.as_ref().is_none_or(|told| *told == ratio)
            {
                found.push(tried.teeth(asked));
            }
        }
    }
    assert_eq!(found.len(), 1, "{asked}: {found:?}");
    found[0]
}

/// Tries every tooth of the planets on every pin.
fn goes_together(read: &Read, count: u32) -> bool {
    let count = i64::from(count);
    (0..count).all(|pin| {
        let place = number(pin) / number(count);
        let bodies: HashSet<&String> = read.carrier_of.keys().collect();
        // Each planet has one central mesh; a stepped one has two, in which the first says which turns to try.
        let of = |planet: &String| -> Vec<Fraction> {
            let central = |(a, b): &(String, String)| -> Option<(i64, i64)> {
                [(a, b), (b, a)].into_iter().find_map(|(own, other)| {
                    let is_own = read.gears[own].body == *planet && !bodies.contains(&read.gears[other].body);
                    is_own.then(|| (read.teeth(own), read.signed(other)))
                })
            };
            let central: Vec<(i64, i64)> = read.meshes.iter().filter_map(central).collect();
            let (own, other) = central[0];
            let turns = (0..own).map(|tooth| (number(tooth) + number(other) * &place) / number(own));
            let fits = |turn: &Fraction| {
                central.iter().all(|&(own, other)| (number(own) * turn - number(other) * &place).is_integer())
            };
            turns.filter(fits).collect()
        };
        let turns: BTreeMap<&String, Vec<Fraction>> =
            read.carrier_of.keys().map(|planet| (planet, of(planet))).collect();
        let between =
            read.meshes.iter().find(|(a, b)| [a, b].iter().all(|gear| bodies.contains(&read.gears[*gear].body)));
        match between {
            None => turns.values().all(|turns| !turns.is_empty()),
            Some((p, q)) => turns[&read.gears[p].body].iter().any(|turn_p| {
                turns[&read.gears[q].body]
                    .iter()
                    .any(|turn_q| (number(read.teeth(p)) * turn_p + number(read.teeth(q)) * turn_q).is_integer())
            }),
        }
    })
}

#[test]
fn every_answer_is_that_of_the_printed_question() {
    let mut solved_parts = 0;
    for sheet in SHEETS.iter() {
        let printed = printed(&question_sheet(sheet));
        assert_eq!(printed.len(), sheet.problems.len());
        for (text, problem) in printed.iter().zip(&sheet.problems) {
            let read = Read::statement(&text[0]);
            assert_eq!(text.len() - 1, problem.parts.len(), "{text:?}");
            for (question, part) in text[1..].iter().zip(&problem.parts) {
                assert_eq!(solved(&read, question), part.answer, "{} {question}", text[0]);
                solved_parts += 1;
            }
        }
    }
    assert!(solved_parts > 500, "{solved_parts}");
}

#[test]
fn no_wrong_answer_is_right_and_no_two_are_one() {
    for part in parts() {
        let mut seen: HashSet<&PracticeAnswer> = HashSet::from([&part.answer]);
        assert!(part.wrong.len() >= 2, "{part:?}");
        assert!(part.wrong.iter().all(|wrong| seen.insert(&wrong.answer)), "{part:?}");
        let mistakes: HashSet<_> = part.wrong.iter().map(|wrong| wrong.mistake).collect();
        assert_eq!(mistakes.len(), part.wrong.len(), "{part:?}");
    }
}

/// The printed question as somebody reads it who makes this mistake; nothing for mistakes that are made later.
#[allow(clippy::wildcard_enum_match_arm, reason = "the others are no misreadings")]
fn misread(read: &Read, mistake: Mistake) -> Option<Read> {
    let mut misread = with_counts_found(read);
    let teeth = |gear: &str| read.gears.get(gear).and_then(|gear| gear.teeth);
    match mistake {
        Mistake::InternalMeshSign => misread.gears.values_mut().for_each(|gear| gear.sign = 1),
        Mistake::BevelSign => misread.gears.get_mut("B")?.sign = 1,
        Mistake::StepSwapped => {
            let (p, q) = (misread.teeth("P"), misread.gears.get("Q")?.teeth);
            misread.gears.get_mut("P")?.teeth = q;
            misread.gears.get_mut("Q")?.teeth = Some(p);
        }
        Mistake::StepIgnored => {
            misread.gears.get_mut("Q")?.teeth = Some(misread.teeth("P"));
        }
        // Fast to one another means one body, and no mesh between them.
        Mistake::PairTakenForStep => {
            misread.gears.get_mut("Q")?.body = "planet P".into();
            misread.meshes.retain(|(a, b)| (a.as_str(), b.as_str()) != ("P", "Q"));
            misread.carrier_of.remove("planet Q");
        }
        // The last gear, taken to have as many teeth as the planet.
        Mistake::IdlerCounts if misread.fast.is_empty() => {
            let last = if read.gears.contains_key("R") { "R" } else { "B" };
            misread.gears.get_mut(last)?.teeth = teeth("P");
        }
        Mistake::SenseOverlooked => {
            let against = &misread.turning[0].1 * &misread.turning[1].1;
            assert!(against.is_negative(), "its sense is the same");
            misread.turning[1].1 = -misread.turning[1].1.clone();
        }
        Mistake::TakenAsHeld => misread.turning[1].1 = number(0),
        Mistake::TakenAsEqual => {
            let last = if read.gears.contains_key("R") { ["S", "R"] } else { ["A", "B"] };
            let first = misread.gears.get(last[0])?.teeth;
            misread.gears.get_mut(last[1])?.teeth = first;
            // Through one plain planet, in a bevel differential.
            misread.gears.get_mut(last[1])?.sign = -1;
            let planet = misread.gears.get("P")?.teeth;
            if let Some(gear) = misread.gears.get_mut("Q") {
                gear.teeth = planet;
                if gear.body == "planet Q" {
                    return None;
                }
            }
        }
        _ => return None,
    }
    Some(misread)
}

#[test]
fn wrong_answers_are_those_of_the_question_misread() {
    let mut seen = HashSet::new();
    for sheet in SHEETS.iter() {
        for (text, problem) in printed(&question_sheet(sheet)).iter().zip(&sheet.problems) {
            let read = Read::statement(&text[0]);
            let three_way = [
                PracticeKind::Simple,
                PracticeKind::Stepped,
                PracticeKind::Meshed,
                PracticeKind::Bevel,
                PracticeKind::Coupled,
            ];
            for (question, part) in text[1..].iter().zip(&problem.parts) {
                let of_central = matches!(part.quantity, Quantity::Speed(id) if problem.set.carrier_of(id).is_none());
                if !three_way.contains(&problem.kind) || !of_central {
                    continue;
                }
                for wrong in &part.wrong {
                    if read.gears.contains_key("B")
                        && wrong.mistake == Mistake::TakenAsEqual
                        && read.gears["A"].body == "sun A"
                    {
                        continue;
                    }
                    if let Some(misread) = misread(&read, wrong.mistake) {
                        let found = solved(&misread, question);
                        assert_eq!(found, wrong.answer, "{:?}: {} {question}", wrong.mistake, text[0]);
                        seen.insert(wrong.mistake);
                    }
                }
            }
        }
    }
    assert!(seen.len() >= 9, "{seen:?}");
}

#[test]
fn every_gearset_could_be_built() {
    for problem in problems() {
        let set = &problem.set;
        assert!(timing(set).assembles(), "{:?}", set.draft());
        for group in set.planet_groups() {
            match gaps(set, group) {
                Ok(gaps) => assert!(gaps.iter().all(|gap| gap.modules > 0.25), "{:?}", set.draft()),
                Err(_) => assert_eq!(problem.kind, PracticeKind::Bevel),
            }
        }
        assert!(set.gears().iter().all(|gear| (13..=170).contains(&gear.tooth_count().get())), "{:?}", set.draft());
    }
}

#[test]
fn answers_are_whole_numbers() {
    for part in parts() {
        match &part.answer {
            PracticeAnswer::Speed(value)
            | PracticeAnswer::Rate(value)
            | PracticeAnswer::Torque(value)
            | PracticeAnswer::Teeth(value) => {
                assert!(value.is_integer() && !value.is_zero(), "{part:?}");
            }
            PracticeAnswer::PinCounts(counts) => assert!(!counts.is_empty(), "{part:?}"),
        }
    }
}

#[test]
fn no_two_problems_of_a_sheet_are_alike() {
    for (kind, count) in PracticeKind::ALL.map(|kind| (Some(kind), 20)).into_iter().chain([(None, 50)]) {
        let sheet = sheet(kind, Difficulty::Medium, count, 11);
        let without_given = |text: &str| {
            let text: String = text.split_once(" has this gearset.").expect("a machine").1.into();
            text.split(' ').filter(|word| !word.contains("clockwise")).collect::<Vec<_>>().join(" ")
        };
        let texts: HashSet<String> =
            printed(&question_sheet(&sheet)).iter().map(|problem| without_given(&problem.join(" "))).collect();
        assert_eq!(texts.len(), count, "{kind:?}");
    }
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_another_seed_another() {
    let made = |seed| {
        let sheet = sheet(None, Difficulty::Medium, 9, seed);
        (markdown(&question_sheet(&sheet)), markdown(&answer_key(&sheet)))
    };
    assert_eq!(made(5), made(5));
    assert_ne!(made(5).0, made(6).0);
    // A seed of 2^64 - 1 is one like any other.
    assert_ne!(made(u64::MAX).0, made(0).0);
}

#[test]
fn a_mixed_sheet_has_every_kind_in_turn() {
    let kinds: Vec<PracticeKind> =
        sheet(None, Difficulty::Hard, 18, 3).problems.iter().map(|problem| problem.kind).collect();
    assert_eq!(kinds[..9], PracticeKind::ALL);
    assert_eq!(kinds[9..], PracticeKind::ALL);
}

#[test]
fn what_is_hard_asks_more_than_what_is_easy() {
    for kind in PracticeKind::ALL {
        let parts =
            |difficulty| sheet(Some(kind), difficulty, 6, 2).problems.iter().map(|it| it.parts.len()).sum::<usize>();
        let given_twice = sheet(Some(kind), Difficulty::Hard, 1, 2).problems[0].set.states()[0].restraints.len();
        assert!(parts(Difficulty::Easy) <= parts(Difficulty::Hard), "{kind:?}");
        assert!(given_twice <= 1, "{kind:?}");
    }
}

#[test]
fn a_count_beyond_the_range_is_told() {
    let of = |count| practice_sheet(&SheetRequest { kind: None, difficulty: Difficulty::Easy, count, seed: 1 });
    assert_eq!(of(0), Err(CannotFill::Count { count: 0 }));
    assert_eq!(of(51), Err(CannotFill::Count { count: 51 }));
    assert!(of(1).is_ok());
}

#[test]
fn wrong_requests_say_what_to_write() {
    let cases: [(&[&str], &str); 8] = [
        (&["--count", "0"], "write a whole number from 1 to 50"),
        (&["--count", "51"], "a sheet has from 1 to 50 problems, not 51"),
        (&["--count", "many"], "\"many\" is not a number of problems"),
        (&["--count=-3"], "\"-3\" is not a number of problems"),
        (&["--seed", "x"], "write a whole number from 0 to"),
        (&["--kind", "worm"], "possible values: mixed, simple"),
        (&["--format", "html"], "name a folder with -o"),
        (&["--questions", "a.txt", "--key", "a.txt"], "name two files"),
    ];
    for (arguments, meant) in cases {
        let wrong = run(&[&["problems"], arguments].concat());
        assert_eq!(wrong.code, 2, "{arguments:?}: {}", wrong.stderr);
        assert!(wrong.stderr.contains(meant), "{arguments:?}: {}", wrong.stderr);
    }
}

#[test]
fn files_are_written_once_and_kept() {
    let folder = package().join("target").join(format!("practice-{}", std::process::id()));
    let path = folder.to_str().expect("a plain path");
    let arguments = ["problems", "--seed", "4", "-n", "2", "--format", "html", "-o", path];
    let first = run(&arguments);
    assert_eq!(first.code, 0, "{}", first.stderr);
    assert!(first.stdout.ends_with("seed 4\n"), "{}", first.stdout);
    let page = |name: &str| fs::read_to_string(folder.join(name)).expect("it was written");
    let (questions, key) = (page("questions.html"), page("key.html"));
    assert!(questions.contains("<h2>Problem 2</h2>") && !questions.contains("mistake"), "{questions}");
    assert!(key.contains("the mistake behind it") && key.contains("--seed 4"), "{key}");
    for text in [&questions, &key] {
        let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
        roxmltree::Document::parse_with_options(text, options).expect("the page is well formed");
    }
    let made = sheet(None, Difficulty::Medium, 2, 4);
    for (at, problem) in made.problems.iter().enumerate() {
        let written = page(&format!("problem-{}.ron", at + 1));
        assert_eq!(read_set("problem", &written).draft(), problem.set.draft());
    }
    fs::write(folder.join("key.html"), "mine").expect("it can be written");
    let again = run(&arguments);
    assert_eq!(again.code, 2, "{}", again.stderr);
    assert!(again.stderr.contains("--force"), "{}", again.stderr);
    let forced = run(&[&arguments[..], &["--force"]].concat());
    assert_eq!(forced.code, 0, "{}", forced.stderr);
    assert_eq!(page("key.html"), key);
    fs::remove_dir_all(&folder).expect("it can be taken away");
}

#[test]
fn a_seed_that_was_chosen_makes_the_sheet_again() {
    let chosen = run(&["problems", "-n", "1", "--format", "markdown"]);
    let seed = chosen.stdout.split("--seed ").nth(1).and_then(|rest| rest.split_whitespace().next()).expect("a seed");
    let again = run(&["problems", "-n", "1", "--format", "markdown", "--seed", seed]);
    assert_eq!(chosen.stdout, again.stdout);
}

#[test]
fn the_sheet_and_the_key_as_people_see_them() {
    let shown = run(&["problems", "--kind", "mixed", "--difficulty", "medium", "-n", "9", "--seed", "12"]);
    assert_eq!(shown.code, 0, "{}", shown.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("problems-mixed-medium", shown.stdout);
    });
    let hard = sheet(Some(PracticeKind::Torque), Difficulty::Hard, 1, 12);
    assert!(hard.problems[0].parts.iter().any(|part| matches!(part.quantity, Quantity::Holding(_))));
}
