//! The answer to "in how many ways could this train be used".
//!
//! For a person first how many uses there are and which of them the controls reach, then the most useful of them; in full
//! how much is free, how many choices there are, and every ratio with its uses. A long answer is cut short for people, with a word on how to narrow it; for
//! other programs it is complete, a record for each choice of each use.

use crate::exact::Fraction;
use crate::gearset::{ControlId, Gearset, MemberId, Pair};
use crate::inspection::RemarkKind;
use crate::kinematics::{ChoiceTally, Exploration, FoundRatio, RestraintChoice, Use, UsePlace};
use crate::report::answer::{Answer, Outcome, bears_on_gears};
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{counted, list, member, quoted, rounded, short_list, with_decimal};

/// So many rows of ratios are shown to a person.
const MOST_ROWS: usize = 60;
/// So many uses of one ratio.
const MOST_USES: usize = 4;

impl Answer for Exploration {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let statements = statements(self, set);
        let table = most_useful(self, set).map(|table| Block::Table(table.below(&statements)));
        [Block::Statements(statements)].into_iter().chain(table).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let mut blocks = vec![facts(self, set), Block::Table(tally(&self.tally))];
        blocks.extend(ratios(self, set));
        blocks.push(Block::Note(
            "a ratio is not a gearbox: whether a drum can be reached by a band, whether a clutch finds room and whether \
             teeth, pins and bearings bear the torque is not looked at. A one-way clutch holds in one sense only. \
             Another ratio is another speed: think of brakes, tyres, the speedometer, insurance and the law"
                .into(),
        ));
        blocks
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("every ratio with all its uses, and how much freedom the choices leave")
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        remark == RemarkKind::DoesNotAssemble || bears_on_gears(remark)
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "ratio",
            "ratio_decimal",
            "input",
            "output",
            "at_once",
            "held",
            "coupled",
            "freedom",
            "controls",
            "states",
        ];
        let uses = self.ratios.iter().flat_map(|found| found.uses.iter().map(move |used| (found, used)));
        let rows = uses.flat_map(|(found, used)| {
            used.choices.iter().map(move |&choice| record(set, &found.ratio, used, &self.choices[choice]))
        });
        Records { fields, rows: rows.collect() }
    }

    /// Yes if a ratio was found.
    fn outcome(&self) -> Outcome {
        (!self.ratios.is_empty()).into()
    }
}

fn record(set: &Gearset, ratio: &Fraction, used: &Use, choice: &RestraintChoice) -> Vec<String> {
    let coupled: Vec<String> = choice.coupled.iter().map(|coupled| names(set, coupled).join(" + ")).collect();
    let controls: Vec<String> = used.controls.iter().map(|controls| control_names(set, controls).join(" + ")).collect();
    vec![
        ratio.to_string(),
        rounded(ratio),
        csv_name(set.member(used.input).name()),
        csv_name(set.member(used.output).name()),
        choice.at_once.to_string(),
        csv_name(&names(set, &choice.held).join("; ")),
        csv_name(&coupled.join("; ")),
        choice.freedom.to_string(),
        csv_name(&controls.join("; ")),
        csv_name(&used.states.join("; ")),
    ]
}

fn names(set: &Gearset, members: &[MemberId]) -> Vec<String> {
    members.iter().map(|&member| set.member(member).name().to_owned()).collect()
}

fn control_names(set: &Gearset, controls: &[ControlId]) -> Vec<String> {
    controls.iter().map(|&control| set.control(control).name().to_owned()).collect()
}

fn statements(answer: &Exploration, set: &Gearset) -> Vec<String> {
    let mut said = vec![count(answer, set)];
    said.push(format!("Freedom is {}.", freedom(answer.freedom)));
    if answer.cut_short {
        said.push(format!(
            "Only up to {} at once are tried here, for there would be too many choices; {} at once leave one freedom.",
            answer.at_once,
            answer.freedom - 1
        ));
    }
    if !answer.never_turning.is_empty() {
        let names = names(set, &answer.never_turning);
        let (turns, drives) = if names.len() == 1 {
            ("turns", "it neither drives nor is driven")
        } else {
            ("turn", "they neither drive nor are driven")
        };
        said.push(format!("{} never {turns}, whatever is applied: {drives}.", short_list(&names)));
    }
    said.extend(standing(answer, set));
    if !answer.ratios.is_empty() {
        said.push(
            "Beware: a ratio is not a gearbox. Whether a band can reach its drum, a clutch finds room and teeth bear the \
             torque is not looked at; brakes, tyres and law go by the old ratio."
                .into(),
        );
    }
    said
}

/// How many ratios and uses there are, and how many of those between the usual ends the controls reach.
fn count(answer: &Exploration, set: &Gearset) -> String {
    if answer.ratios.is_empty() {
        return format!("Nothing found: {}.", nothing(answer));
    }
    let uses = answer.most_useful.len();
    let all = format!("{} in {}", counted(answer.ratios.len(), "ratio"), counted(uses, "use"));
    let usual: Vec<&Use> =
        answer.most_useful.iter().map(|&place| at(answer, place).1).filter(|found| is_usual(answer, found)).collect();
    let Some(ends) = answer.usual_ends.filter(|_| !usual.is_empty()) else {
        return format!("{all}: each says what drives, what is driven, and what is held or coupled for it.");
    };
    let [input, output] = [ends.input, ends.output].map(|member| set.member(member).name());
    let reached = usual.iter().filter(|found| !found.controls.is_empty() || !found.states.is_empty()).count();
    let by_controls = match (reached, usual.len() - reached) {
        (_, 0) => "the controls reach all of them".to_owned(),
        (0, _) => "no control reaches them yet: each takes a new band or clutch".to_owned(),
        (reached, new) => format!("the controls reach {reached}, and {new} would take a new band or clutch"),
    };
    match usual.len() {
        1 => {
            let by_controls = if reached == 1 { "the controls reach it" } else { "it would take a new band or clutch" };
            format!("{all}; one of them drives {output} from {input}: {by_controls}.")
        }
        count => format!("{all}; {count} of them drive {output} from {input}: {by_controls}."),
    }
}

/// A use and its ratio.
fn at(answer: &Exploration, place: UsePlace) -> (&Fraction, &Use) {
    let found = &answer.ratios[place.ratio];
    (&found.ratio, &found.uses[place.found])
}

fn is_usual(answer: &Exploration, found: &Use) -> bool {
    answer.usual_ends.is_some_and(|ends| ends.input == found.input && ends.output == found.output)
}

/// The uses between the usual ends, or where there are none all uses, the most useful first.
fn most_useful(answer: &Exploration, set: &Gearset) -> Option<Table> {
    let all = || answer.most_useful.iter().map(|&place| at(answer, place));
    let has_usual = all().any(|(_, found)| is_usual(answer, found));
    let shown = all().filter(|(_, found)| !has_usual || is_usual(answer, found));
    let row = |(ratio, found): (&Fraction, &Use)| {
        let direct = if found.solid { "direct: " } else { "" };
        let how = format!("{direct}{}", how(answer, set, found));
        let row = vec![rounded(ratio), how, controls(set, found, &found.states)];
        if has_usual { row } else { [vec![row[0].clone(), ends(set, found)], row[1..].to_vec()].concat() }
    };
    let rows: Vec<Vec<String>> = shown.map(row).collect();
    let mut headings = vec!["ratio", "held or coupled", "by the controls"];
    if !has_usual {
        headings.insert(1, "drives -> driven");
    }
    let between = match answer.usual_ends.filter(|_| has_usual) {
        Some(ends) => format!("From {} to {}", member(set, ends.input), member(set, ends.output)),
        None => "The most useful first".into(),
    };
    let caption = format!("{between}; ratio: turns of the driver for one of the driven, negative: backward");
    (!rows.is_empty()).then(|| Table::new(caption, &headings, rows))
}

fn facts(answer: &Exploration, set: &Gearset) -> Block {
    let wanted = &answer.wanted;
    let mut facts = vec![
        Fact::new("ratio", "input turns per output turn; negative: the output turns backward"),
        Fact::new(
            "tried",
            format!("holding to the case and coupling to one another, up to {} at once", answer.at_once),
        ),
        Fact::new("freedom", freedom(answer.freedom)),
    ];
    let pair = |join: &Pair<MemberId>| format!("{} and {}", member(set, join.first), member(set, join.second));
    let as_one: Vec<String> = set.joins().iter().map(pair).collect();
    if !as_one.is_empty() {
        facts.push(Fact::new("joined for good", format!("{}; they count as one", as_one.join("; "))));
    }
    for (subject, wanted) in [("input", wanted.input), ("output", wanted.output)] {
        facts.extend(wanted.map(|wanted| Fact::new(subject, set.member(wanted).name())));
    }
    let bound = |bound: &Option<Fraction>| bound.as_ref().map_or("any".to_owned(), with_decimal);
    if wanted.from.is_some() || wanted.to.is_some() {
        facts.push(Fact::new("ratios wanted", format!("{} to {}", bound(&wanted.from), bound(&wanted.to))));
    }
    Block::Facts(facts)
}

fn freedom(freedom: usize) -> String {
    match freedom {
        0 => "none: the train is locked by its own meshes and joins".to_owned(),
        1 => "1 with nothing applied: one input drives everything, and one restraint locks it".to_owned(),
        2 => "2 with nothing applied: one restraint leaves one, so that one input drives everything; two lock the train, \
              unless one of them is a spare restraint, which the others make up for"
            .to_owned(),
        freedom => format!(
            "{freedom} with nothing applied: {} restraints leave one, so that one input drives everything; {freedom} \
             lock the train, unless one of them is a spare restraint, which the others make up for",
            freedom - 1
        ),
    }
}

/// How many choices there are and what they leave.
fn tally(tally: &[ChoiceTally]) -> Table {
    let most_free = tally.first().map_or(0, |row| row.by_freedom.len().saturating_sub(1));
    let mut headings = vec!["at once".to_owned(), "choices".to_owned(), "lock".to_owned()];
    headings.extend((1..=most_free).map(|freedom| format!("leave {freedom}")));
    headings.push("have a spare restraint".into());
    let row = |row: &ChoiceTally| {
        let counts = [row.at_once, row.choices].into_iter().chain(row.by_freedom.iter().copied());
        counts.chain([row.with_spare]).map(|count| count.to_string()).collect()
    };
    Table {
        caption: "How much freedom the choices leave; a spare restraint is one without which they leave no more".into(),
        headings,
        rows: tally.iter().map(row).collect(),
    }
}

fn ratios(answer: &Exploration, set: &Gearset) -> Vec<Block> {
    if answer.ratios.is_empty() {
        return Vec::new();
    }
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut shown = 0;
    for found in &answer.ratios {
        if rows.len() >= MOST_ROWS {
            break;
        }
        rows.extend(rows_of(answer, set, found));
        shown += 1;
    }
    let headings = ["ratio", "decimal", "drives -> driven", "held or coupled", "by the controls"];
    let caption = format!("{}, each by the fewest restraints", counted(answer.ratios.len(), "ratio"));
    let mut blocks = vec![Block::table(caption, &headings, rows)];
    let left = answer.ratios.len() - shown;
    if left > 0 {
        blocks.push(Block::Note(format!(
            "{} more; narrow the question with --from and --to, --input, --output or --at-once, or take all of them \
             with --format csv or json",
            counted(left, "ratio")
        )));
    }
    blocks
}

/// That there is nothing, and what is nearest.
fn nothing(answer: &Exploration) -> String {
    let near = [("below", &answer.next_below), ("above", &answer.next_above)];
    let near: Vec<String> =
        near.iter().filter_map(|(side, ratio)| Some(format!("{} {side}", with_decimal(ratio.as_ref()?)))).collect();
    if near.is_empty() {
        return format!("no choice gives such a ratio with up to {} at once", answer.at_once);
    }
    let are = if near.len() == 1 { "is" } else { "are" };
    format!("no choice gives a ratio in that range; the nearest {are} {}", list(&near))
}

/// The rows of one ratio: the exact value stands in the first alone.
fn rows_of(answer: &Exploration, set: &Gearset, found: &FoundRatio) -> Vec<Vec<String>> {
    let (solid, other): (Vec<&Use>, Vec<&Use>) = found.uses.iter().partition(|found| found.solid);
    let mut rows: Vec<[String; 3]> = Vec::new();
    if let [first, further @ ..] = solid.as_slice() {
        let states: Vec<String> = solid.iter().flat_map(|found| found.states.iter().cloned()).collect();
        let ends = if further.is_empty() { ends(set, first) } else { any_ends(answer, set) };
        rows.push([ends, format!("direct: {}", how(answer, set, first)), controls(set, first, &states)]);
    }
    for found in other.iter().take(MOST_USES) {
        rows.push([ends(set, found), how(answer, set, found), controls(set, found, &found.states)]);
    }
    if other.len() > MOST_USES {
        rows.push([format!("and {} more", other.len() - MOST_USES), String::new(), String::new()]);
    }
    let exact = [[found.ratio.to_string(), rounded(&found.ratio)]];
    let exact = exact.into_iter().chain(std::iter::repeat(Default::default()));
    exact.zip(rows).map(|(exact, row)| [exact.to_vec(), row.to_vec()].concat()).collect()
}

fn ends(set: &Gearset, found: &Use) -> String {
    let [input, output] = [found.input, found.output].map(|member| set.member(member).name());
    format!("{input} -> {output}")
}

/// The ends where everything turns as one.
fn any_ends(answer: &Exploration, set: &Gearset) -> String {
    match (answer.wanted.input, answer.wanted.output) {
        (None, None) => "any -> any other".into(),
        (Some(input), _) => format!("{} -> any other", set.member(input).name()),
        (None, Some(output)) => format!("any other -> {}", set.member(output).name()),
    }
}

/// The shortest choices in words.
fn how(answer: &Exploration, set: &Gearset, found: &Use) -> String {
    let in_words = |place: usize| choice(set, &answer.choices[place]);
    match found.choices.as_slice() {
        [] => "only by the controls".into(),
        [only] => in_words(*only),
        [first, second] => format!("{}, or {}", in_words(*first), in_words(*second)),
        [first, more @ ..] => format!("{}, or {} other ways", in_words(*first), more.len()),
    }
}

fn choice(set: &Gearset, choice: &RestraintChoice) -> String {
    let mut parts = Vec::new();
    if !choice.held.is_empty() {
        parts.push(format!("{} held", list(&names(set, &choice.held))));
    }
    parts.extend(choice.coupled.iter().map(|coupled| format!("{} coupled", list(&names(set, coupled)))));
    if parts.is_empty() { "nothing".into() } else { parts.join("; ") }
}

/// The controls that reach a use, and the states that are it.
fn controls(set: &Gearset, found: &Use, states: &[String]) -> String {
    let together = |controls: &Vec<ControlId>| {
        let names = control_names(set, controls);
        if names.is_empty() { "none needed".into() } else { names.join(" + ") }
    };
    let mut ways: Vec<String> = found.controls.iter().map(together).collect();
    if ways.len() > 2 {
        let more = ways.len() - 1;
        ways.truncate(1);
        ways.push(format!("{more} other ways"));
    }
    let states: Vec<String> = states.iter().map(|state| quoted(state)).collect();
    match (ways.is_empty(), states.is_empty()) {
        (true, true) => "no".into(),
        (true, false) => format!("state {}", list(&states)),
        (false, true) => ways.join(", or "),
        (false, false) => format!("{} (state {})", ways.join(", or "), list(&states)),
    }
}

/// What keeps the wanted input from turning.
fn standing(answer: &Exploration, set: &Gearset) -> Option<String> {
    let input = answer.wanted.input?;
    let standing = answer.standing.iter().find(|standing| standing.member == input)?;
    let shown = standing.choices.iter().take(MOST_USES);
    let mut choices: Vec<String> = shown.map(|&place| choice(set, &answer.choices[place])).collect();
    if standing.choices.len() > MOST_USES {
        choices.push(format!("{} other choices", standing.choices.len() - MOST_USES));
    }
    let choices = choices.join(", or with ");
    (!choices.is_empty()).then(|| format!("Beware: {} cannot turn with {choices}.", member(set, input)))
}
