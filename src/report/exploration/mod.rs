//! The answer to "in how many ways could this train be used", for a person.
//!
//! First how much is free and how many choices there are, then every ratio with its uses, then what
//! keeps the wanted input from turning. A long answer is cut short for people, with a word on how
//! to narrow it; for other programs it is whole, see [`self::data`].

mod data;

use crate::exact::Fraction;
use crate::gearset::{ControlId, Gearset, MemberId, Pair};
use crate::kinematics::{Choice, Exploration, FoundRatio, Use, Wanted};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{counted, list, member, quoted, rounded, with_decimal};

/// So many rows of ratios are shown to a person.
const MOST_ROWS: usize = 60;
/// So many uses of one ratio.
const MOST_USES: usize = 4;

/// Every way to use a train, and what was wanted.
#[derive(Debug, Clone)]
pub struct Explored<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// What was looked for.
    pub wanted: &'a Wanted,
    /// What was found.
    pub found: &'a Exploration,
}

impl Explored<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![self.facts(), Block::Table(self.tally())];
        if self.found.at_once + 1 < self.found.freedom && self.wanted.at_once.is_none() {
            blocks.push(Block::Note(format!(
                "only up to {} at once are tried here, for there would be too many choices; {} at once leave one \
                 freedom",
                self.found.at_once,
                self.found.freedom - 1
            )));
        }
        blocks.extend(self.ratios());
        blocks.extend(self.standing());
        blocks.push(Block::Note(
            "a ratio is not a gearbox: whether a drum can be reached by a band, whether a clutch finds room and whether \
             teeth, pins and bearings bear the torque is not looked at. A one-way clutch holds in one sense only. \
             Another ratio is another speed: think of brakes, tyres, the speedometer, insurance and the law"
                .into(),
        ));
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn facts(&self) -> Block {
        let found = self.found;
        let mut facts = vec![
            Fact::new("ratio", "input turns per output turn; negative: the output turns backward"),
            Fact::new(
                "tried",
                format!("holding to the case and coupling to one another, up to {} at once", found.at_once),
            ),
            Fact::new(
                "freedom",
                match found.freedom {
                    0 => "none: the train is locked by its own meshes and joins".to_owned(),
                    1 => "1 with nothing applied: one input drives everything, and one restraint locks it".to_owned(),
                    2 => "2 with nothing applied: one restraint leaves one, so that one input drives everything; two lock \
                          the train, unless one of them is spare"
                        .to_owned(),
                    freedom => format!(
                        "{freedom} with nothing applied: {} restraints leave one, so that one input drives everything; \
                         {freedom} lock the train, unless one of them is spare",
                        freedom - 1
                    ),
                },
            ),
        ];
        let as_one = self.joined();
        if !as_one.is_empty() {
            facts.push(Fact::new("joined for good", format!("{}; they count as one", as_one.join("; "))));
        }
        for (subject, wanted) in [("input", self.wanted.input), ("output", self.wanted.output)] {
            facts.extend(wanted.map(|wanted| Fact::new(subject, self.name(wanted))));
        }
        let bound = |bound: &Option<Fraction>| bound.as_ref().map_or("any".to_owned(), with_decimal);
        if self.wanted.from.is_some() || self.wanted.to.is_some() {
            let range = format!("{} to {}", bound(&self.wanted.from), bound(&self.wanted.to));
            facts.push(Fact::new("ratios wanted", range));
        }
        Block::Facts(facts)
    }

    /// Members joined for good, as pairs in words.
    fn joined(&self) -> Vec<String> {
        let pair =
            |join: &Pair<MemberId>| format!("{} and {}", member(self.set, join.first), member(self.set, join.second));
        self.set.joins().iter().map(pair).collect()
    }

    fn name(&self, member: MemberId) -> &str {
        self.set.member(member).name()
    }

    /// How many choices there are and what they leave.
    fn tally(&self) -> Table {
        let most = self.found.choices.iter().map(|choice| choice.freedom).max().unwrap_or(0);
        let mut headings = vec!["at once".to_owned(), "choices".to_owned(), "lock".to_owned()];
        headings.extend((1..=most).map(|freedom| format!("leave {freedom}")));
        headings.push("hold something to spare".into());
        let row = |at_once: usize| {
            let of_size = || self.found.choices.iter().filter(move |choice| choice.at_once == at_once);
            let mut row = vec![at_once.to_string(), of_size().count().to_string()];
            row.extend(
                (0..=most).map(|freedom| of_size().filter(|choice| choice.freedom == freedom).count().to_string()),
            );
            row.push(of_size().filter(|choice| choice.has_spare).count().to_string());
            row
        };
        Table {
            caption: "How much freedom the choices leave".into(),
            headings,
            rows: (0..=self.found.at_once).map(row).collect(),
        }
    }

    fn ratios(&self) -> Vec<Block> {
        if self.found.ratios.is_empty() {
            return vec![Block::Warning(self.nothing())];
        }
        let mut rows: Vec<Vec<String>> = Vec::new();
        let mut shown = 0;
        for found in &self.found.ratios {
            if rows.len() >= MOST_ROWS {
                break;
            }
            rows.extend(self.rows_of(found));
            shown += 1;
        }
        let headings = ["ratio", "decimal", "drives -> driven", "held or coupled", "by the controls"];
        let mut blocks = vec![Block::Table(Table {
            caption: format!("{}, each by the fewest restraints", counted(self.found.ratios.len(), "ratio")),
            headings: headings.map(String::from).to_vec(),
            rows,
        })];
        let left = self.found.ratios.len() - shown;
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
    fn nothing(&self) -> String {
        let near = [("below", &self.found.next_below), ("above", &self.found.next_above)];
        let near: Vec<String> =
            near.iter().filter_map(|(side, ratio)| Some(format!("{} {side}", with_decimal(ratio.as_ref()?)))).collect();
        if near.is_empty() {
            return format!("no choice gives such a ratio with up to {} at once", self.found.at_once);
        }
        let are = if near.len() == 1 { "is" } else { "are" };
        format!("no choice gives a ratio in that range; the nearest {are} {}", list(&near))
    }

    fn rows_of(&self, found: &FoundRatio) -> Vec<Vec<String>> {
        let choices = &self.found.choices;
        let is_solid = |found: &Use| found.choices.iter().all(|&choice| choices[choice].solid);
        let (solid, other): (Vec<&Use>, Vec<&Use>) = found.uses.iter().partition(|found| is_solid(found));
        let mut rows: Vec<Vec<String>> = Vec::new();
        let exact = [found.ratio.to_string(), rounded(&found.ratio)];
        let mut push = |ends: String, how: String, controls: String| {
            let exact = if rows.is_empty() { exact.clone() } else { Default::default() };
            rows.push([exact.to_vec(), vec![ends, how, controls]].concat());
        };
        if let [first, rest @ ..] = solid.as_slice() {
            let mut direct = Use::clone(first);
            direct.states = solid.iter().flat_map(|found| found.states.iter().cloned()).collect();
            let ends = if rest.is_empty() { self.ends(first) } else { self.any_ends() };
            push(ends, format!("direct: {}", self.how(first)), self.controls(&direct));
        }
        for found in other.iter().take(MOST_USES) {
            push(self.ends(found), self.how(found), self.controls(found));
        }
        if other.len() > MOST_USES {
            push(format!("and {} more", other.len() - MOST_USES), String::new(), String::new());
        }
        rows
    }

    fn ends(&self, found: &Use) -> String {
        format!("{} -> {}", self.name(found.input), self.name(found.output))
    }

    /// The ends where everything turns as one.
    fn any_ends(&self) -> String {
        match (self.wanted.input, self.wanted.output) {
            (None, None) => "any -> any other".into(),
            (Some(input), _) => format!("{} -> any other", self.name(input)),
            (None, Some(output)) => format!("any other -> {}", self.name(output)),
        }
    }

    /// The shortest choices in words.
    fn how(&self, found: &Use) -> String {
        let choices: Vec<&Choice> = found.choices.iter().map(|&choice| &self.found.choices[choice]).collect();
        let Some(first) = choices.first() else { return "only by the controls".into() };
        match choices.len() {
            1 => self.choice(first),
            2 => format!("{}, or {}", self.choice(first), self.choice(choices[1])),
            more => format!("{}, or {} other ways", self.choice(first), more - 1),
        }
    }

    pub(super) fn choice(&self, choice: &Choice) -> String {
        let mut parts = Vec::new();
        if !choice.held.is_empty() {
            let held: Vec<String> = choice.held.iter().map(|&held| self.name(held).to_owned()).collect();
            parts.push(format!("{} held", list(&held)));
        }
        for coupled in &choice.coupled {
            let coupled: Vec<String> = coupled.iter().map(|&coupled| self.name(coupled).to_owned()).collect();
            parts.push(format!("{} coupled", list(&coupled)));
        }
        if parts.is_empty() { "nothing".into() } else { parts.join("; ") }
    }

    /// The controls that reach a use, and the states that are it.
    fn controls(&self, found: &Use) -> String {
        let set = |controls: &Vec<ControlId>| {
            let names: Vec<String> =
                controls.iter().map(|&control| self.set.control(control).name().to_owned()).collect();
            if names.is_empty() { "none needed".into() } else { names.join(" + ") }
        };
        let mut sets: Vec<String> = found.controls.iter().map(set).collect();
        if sets.len() > 2 {
            let more = sets.len() - 1;
            sets.truncate(1);
            sets.push(format!("{more} other ways"));
        }
        let states: Vec<String> = found.states.iter().map(|state| quoted(state)).collect();
        match (sets.is_empty(), states.is_empty()) {
            (true, true) => "no".into(),
            (true, false) => format!("state {}", list(&states)),
            (false, true) => sets.join(", or "),
            (false, false) => format!("{} (state {})", sets.join(", or "), list(&states)),
        }
    }

    /// What keeps the wanted input from turning.
    fn standing(&self) -> Option<Block> {
        let input = self.wanted.input?;
        let standing = self.found.standing.iter().find(|standing| standing.member == input)?;
        let shown = standing.choices.iter().take(MOST_USES);
        let mut choices: Vec<String> = shown.map(|&choice| self.choice(&self.found.choices[choice])).collect();
        if standing.choices.len() > MOST_USES {
            choices.push(format!("{} other choices", standing.choices.len() - MOST_USES));
        }
        let choices = choices.join(", or with ");
        (!choices.is_empty()).then(|| Block::Warning(format!("{} cannot turn with {choices}", member(self.set, input))))
    }

    /// Whether a ratio was found.
    pub fn has_ratios(&self) -> bool {
        !self.found.ratios.is_empty()
    }
}
