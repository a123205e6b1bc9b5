//! Other tooth counts for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken away. What
//! follows the results is enough to merge parts: the request and the gearset, as RON.

use serde::{Deserialize, Serialize};
use serde_json::Number;

use super::Searched;
use crate::exact::Fraction;
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::tooth_search::{Counted, TeethFound};

/// What the JSON of a search says beside the answer, so that parts can be merged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SearchOrigin {
    /// The gearset, as a description.
    pub description: String,
    /// The request, as RON.
    pub request: String,
    /// How many were asked for; null for all.
    pub results_asked: Option<usize>,
}

impl Searched<'_> {
    /// The answer for other programs, one record a gear of a result.
    pub fn records(&self) -> Records {
        let fields = vec!["result", "gear", "teeth", "objective"];
        let mut rows = Vec::new();
        for (place, found) in self.answer.found.iter().enumerate() {
            for &(gear, teeth) in &found.teeth {
                let measure = found.measures.first().map(ToString::to_string).unwrap_or_default();
                rows.push(vec![
                    (place + 1).to_string(),
                    csv_name(self.set.gear(gear).name()),
                    teeth.to_string(),
                    measure,
                ]);
            }
        }
        Records { fields, rows }
    }

    /// The answer as JSON.
    pub fn json(&self, origin: &SearchOrigin) -> String {
        let outcome = &self.answer.outcome;
        let excluded = |one: &crate::search::Excluded| ExcludedJson {
            requirement: one.name.clone(),
            combinations: number(one.combinations),
        };
        json(&SearchJson {
            complete: outcome.complete && self.answer.counted == Counted::All,
            combinations: number(outcome.combinations),
            visited: number(outcome.visited),
            count: number(self.answer.serving),
            results: self.answer.found.iter().map(|found| self.result(found)).collect(),
            goals: self.goals.to_vec(),
            beaten: number(outcome.beaten),
            undecided: number(outcome.undecided),
            excluded: outcome.excluded.iter().map(excluded).collect(),
            part: self.part,
            origin: origin.clone(),
        })
    }

    fn result(&self, found: &TeethFound) -> ResultJson {
        let teeth = |&(gear, teeth): &(_, u16)| (self.set.gear(gear).name().to_owned(), Number::from(teeth).into());
        let ratio = |(state, ratio): &(String, Fraction)| (state.clone(), ratio.to_string().into());
        let module = |(mesh, module): &(_, Fraction)| (self.set.mesh_name(*mesh), module.to_string().into());
        ResultJson {
            teeth: found.teeth.iter().map(teeth).collect(),
            pins: self.pins(found),
            ratios: found.ratios.iter().map(ratio).collect(),
            objective: found.measures.first().map(Value::new),
            measures: found.measures.iter().map(ToString::to_string).collect(),
            modules: found.modules.iter().map(module).collect(),
        }
    }
}

impl Searched<'_> {
    /// The number of pins; where not all planets have the same, that of each.
    fn pins(&self, found: &TeethFound) -> serde_json::Value {
        match found.pins.split_first() {
            Some((&(_, first), others)) if others.iter().all(|&(_, pins)| pins == first) => first.into(),
            _ => {
                let name = |planet| self.set.member(planet).name().to_owned();
                let each = found.pins.iter().map(|&(planet, pins)| (name(planet), pins.into()));
                serde_json::Value::Object(each.collect())
            }
        }
    }
}

/// A whole number of any size.
fn number(value: u128) -> Number {
    value.to_string().parse().expect("a whole number is a JSON number")
}

#[derive(Debug, Serialize)]
struct SearchJson {
    complete: bool,
    combinations: Number,
    visited: Number,
    count: Number,
    results: Vec<ResultJson>,
    goals: Vec<String>,
    beaten: Number,
    undecided: Number,
    excluded: Vec<ExcludedJson>,
    part: Option<[usize; 2]>,
    origin: SearchOrigin,
}

#[derive(Debug, Serialize)]
struct ResultJson {
    teeth: serde_json::Map<String, serde_json::Value>,
    pins: serde_json::Value,
    ratios: serde_json::Map<String, serde_json::Value>,
    objective: Option<Value>,
    measures: Vec<String>,
    modules: serde_json::Map<String, serde_json::Value>,
}

#[derive(Debug, Serialize)]
struct ExcludedJson {
    requirement: String,
    combinations: Number,
}
