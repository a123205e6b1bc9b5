//! Every way to use a train, for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken
//! away. A use names its choices by their places in the list of choices, counted from 0.

use serde::Serialize;

use super::Explored;
use crate::gearset::{ControlId, MemberId};
use crate::kinematics::{Choice, FoundRatio, Standing, Use};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::report::words::rounded;

impl Explored<'_> {
    /// The answer for other programs, one record for each choice of each use.
    pub fn records(&self) -> Records {
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
        let uses = self.found.ratios.iter().flat_map(|found| found.uses.iter().map(move |used| (found, used)));
        let rows = uses.flat_map(|(found, used)| {
            used.choices.iter().map(move |&choice| self.record(found, used, &self.found.choices[choice]))
        });
        Records { fields, rows: rows.collect() }
    }

    fn record(&self, found: &FoundRatio, used: &Use, choice: &Choice) -> Vec<String> {
        let coupled: Vec<String> = choice.coupled.iter().map(|set| self.names(set).join(" + ")).collect();
        let controls: Vec<String> = used.controls.iter().map(|set| self.control_names(set).join(" + ")).collect();
        vec![
            found.ratio.to_string(),
            rounded(&found.ratio),
            csv_name(self.set.member(used.input).name()),
            csv_name(self.set.member(used.output).name()),
            choice.at_once.to_string(),
            csv_name(&self.names(&choice.held).join("; ")),
            csv_name(&coupled.join("; ")),
            choice.freedom.to_string(),
            csv_name(&controls.join("; ")),
            csv_name(&used.states.join("; ")),
        ]
    }

    fn names(&self, members: &[MemberId]) -> Vec<String> {
        members.iter().map(|&member| self.set.member(member).name().to_owned()).collect()
    }

    fn control_names(&self, controls: &[ControlId]) -> Vec<String> {
        controls.iter().map(|&control| self.set.control(control).name().to_owned()).collect()
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let choice = |choice: &Choice| ChoiceJson {
            held: self.names(&choice.held),
            coupled: choice.coupled.iter().map(|set| self.names(set)).collect(),
            at_once: choice.at_once,
            freedom: choice.freedom,
            has_spare: choice.has_spare,
            solid: choice.solid,
        };
        let used = |used: &Use| UseJson {
            input: self.set.member(used.input).name().to_owned(),
            output: self.set.member(used.output).name().to_owned(),
            choices: used.choices.clone(),
            controls: used.controls.iter().map(|set| self.control_names(set)).collect(),
            states: used.states.clone(),
        };
        let ratio = |found: &FoundRatio| RatioJson {
            ratio: Value::new(&found.ratio),
            uses: found.uses.iter().map(used).collect(),
        };
        let standing = |standing: &Standing| StandingJson {
            member: self.set.member(standing.member).name().to_owned(),
            choices: standing.choices.clone(),
        };
        json(&ExplorationJson {
            gearset: self.set.title().to_owned(),
            freedom: self.found.freedom,
            at_once: self.found.at_once,
            members: self.names(&self.found.members),
            choices: self.found.choices.iter().map(choice).collect(),
            ratios: self.found.ratios.iter().map(ratio).collect(),
            standing: self.found.standing.iter().map(standing).collect(),
            next_below: self.found.next_below.as_ref().map(Value::new),
            next_above: self.found.next_above.as_ref().map(Value::new),
        })
    }
}

#[derive(Debug, Serialize)]
struct ExplorationJson {
    gearset: String,
    freedom: usize,
    at_once: usize,
    members: Vec<String>,
    choices: Vec<ChoiceJson>,
    ratios: Vec<RatioJson>,
    standing: Vec<StandingJson>,
    next_below: Option<Value>,
    next_above: Option<Value>,
}

#[derive(Debug, Serialize)]
struct ChoiceJson {
    held: Vec<String>,
    coupled: Vec<Vec<String>>,
    at_once: usize,
    freedom: usize,
    has_spare: bool,
    solid: bool,
}

#[derive(Debug, Serialize)]
struct RatioJson {
    ratio: Value,
    uses: Vec<UseJson>,
}

#[derive(Debug, Serialize)]
struct UseJson {
    input: String,
    output: String,
    choices: Vec<usize>,
    controls: Vec<Vec<String>>,
    states: Vec<String>,
}

#[derive(Debug, Serialize)]
struct StandingJson {
    member: String,
    choices: Vec<usize>,
}
