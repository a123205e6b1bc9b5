//! The motions of a gearset for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken
//! away. Fractions are strings, and a speed that is no number is null beside the word for it.

use serde::Serialize;

use super::Ratios;
use crate::exact::{Fraction, fraction};
use crate::kinematics::{ForwardSteps, Speed, StateMotion, Step, Verdict};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::json::{Value, json};
use crate::report::words::rounded;

impl Ratios<'_> {
    /// The answer for other programs, one record a member and state.
    pub fn records(&self) -> Records {
        let fields = vec![
            "state",
            "verdict",
            "ratio",
            "ratio_decimal",
            "member",
            "speed",
            "speed_decimal",
            "relative_to_carrier",
            "relative_to_carrier_decimal",
        ];
        let both = |value: Option<&Fraction>| {
            value.map_or([String::new(), String::new()], |value| [value.to_string(), rounded(value)])
        };
        let factor = self.input_rpm.clone().unwrap_or_else(|| fraction(1, 1));
        let speeds = |speed: Option<&Speed>| both(speed.and_then(Speed::value).map(|value| value * &factor).as_ref());
        let rows = self.motions.iter().flat_map(|motion| {
            motion.members.iter().map(move |found| {
                let mut row = vec![csv_name(&motion.state), verdict_key(&motion.verdict).to_owned()];
                row.extend(both(motion.verdict.ratio()));
                row.push(csv_name(self.set.member(found.member).name()));
                row.extend(speeds(Some(&found.speed)));
                row.extend(speeds(found.relative_to_carrier.as_ref()));
                row
            })
        });
        Records { fields, rows: rows.collect() }
    }

    /// The answer as JSON; speeds are per turn of the input, or in rpm where one is given.
    pub fn json(&self) -> String {
        let factor = self.input_rpm.clone().unwrap_or_else(|| fraction(1, 1));
        let speed = |speed: &Speed| speed.value().map(|value| Value::new(&(value * &factor)));
        let name = |member| self.set.member(member).name().to_owned();
        let state = |motion: &StateMotion| StateJson {
            state: motion.state.clone(),
            verdict: verdict_key(&motion.verdict),
            ratio: motion.verdict.ratio().map(Value::new),
            members: motion
                .members
                .iter()
                .map(|found| MemberJson {
                    member: name(found.member),
                    speed: speed(&found.speed),
                    relative_to_carrier: found.relative_to_carrier.as_ref().and_then(speed),
                    motion: motion_key(&found.speed),
                })
                .collect(),
            input: name(motion.input),
            output: name(motion.output),
            locked_by: match &motion.verdict {
                Verdict::Locked { by } => by.iter().map(|restraint| self.restraint(restraint)).collect(),
                Verdict::Drives { .. } | Verdict::Neutral | Verdict::OutputHeld => Vec::new(),
            },
        };
        json(&RatiosJson {
            gearset: self.set.title().to_owned(),
            states: self.motions.iter().map(state).collect(),
            speed_unit: if self.input_rpm.is_some() { "rpm" } else { "turns per turn of the input" },
            steps: self.forward_steps.iter().flat_map(|steps| self.steps_json(steps)).collect(),
        })
    }

    fn steps_json(&self, steps: &ForwardSteps) -> Vec<StepJson> {
        let name = |member| self.set.member(member).name().to_owned();
        let step = |step: &Step| StepJson {
            input: name(steps.input),
            output: name(steps.output),
            from: step.from.clone(),
            to: step.to.clone(),
            step: Value::new(&step.step),
        };
        steps.steps.iter().map(step).collect()
    }
}

/// How a member moves, as JSON has it.
fn motion_key(speed: &Speed) -> &'static str {
    match speed {
        Speed::Determined(_) => "determined",
        Speed::Free => "free",
        Speed::Locked => "locked",
        Speed::WithoutMeaning => "tumbles",
    }
}

/// The verdict as JSON and CSV have it.
pub(in crate::report) fn verdict_key(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Drives { .. } => "drives",
        Verdict::Locked { .. } => "locked",
        Verdict::Neutral => "neutral",
        Verdict::OutputHeld => "output held",
    }
}

#[derive(Debug, Serialize)]
struct RatiosJson {
    gearset: String,
    states: Vec<StateJson>,
    speed_unit: &'static str,
    steps: Vec<StepJson>,
}

#[derive(Debug, Serialize)]
struct StepJson {
    input: String,
    output: String,
    from: String,
    to: String,
    step: Value,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    verdict: &'static str,
    ratio: Option<Value>,
    members: Vec<MemberJson>,
    input: String,
    output: String,
    locked_by: Vec<String>,
}

#[derive(Debug, Serialize)]
struct MemberJson {
    member: String,
    speed: Option<Value>,
    relative_to_carrier: Option<Value>,
    motion: &'static str,
}
