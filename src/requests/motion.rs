//! The question `motion`: what rolls, rubs and stands, and what can be heard.
//!
//! Several states stand between commas or in several texts; one whose own name has a comma is taken as it is.

use super::lookups::{moving_member, states};
use super::options::options;
use super::values::LimitOf;
use super::{
    ArrangementOptions, AskedAbout, NoAnswer, PinsKnown, Question, Refusal, StateOption, WhatIfOptions, values,
};
use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::running::{Limits, Listened, Running, RunningQuestion, running};
use crate::statics::InputTorque;

options! {
    /// The options of `motion`.
    pub struct MotionOptions {
        ..what_if: WhatIfOptions;
        ..arrangement: ArrangementOptions;
        ..only: StateOption;
        /// The input's speed in revolutions per minute: gives rubbing speeds and contact rates
        rpm: Option<Fraction> = values::speed, "N";
        /// The torque on the input, "30 N m" or "22 lb ft": gives the force of planets on their pins
        torque: Option<InputTorque> = values::torque, "TORQUE";
        /// How fast members may turn, in revolutions per minute: 2500 for all, "low drum=1800" for one
        limit: Vec<LimitOf> = values::limit, "[MEMBER=]N";
        /// States in which a noise is heard, between commas
        heard: Vec<String> = values::name, "STATES";
        /// States in which it is not heard
        not_heard: Vec<String> = values::name, "STATES";
    }
}

impl Question for MotionOptions {
    type Answer = Running;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Running), NoAnswer> {
        if self.rpm.is_none() && !self.limit.is_empty() {
            let hint = "write --rpm with the fastest speed of the input as well";
            return Err(NoAnswer::new("a limit is given, but no speed of the input", hint));
        }
        let set = about.driven(&self.what_if, &self.arrangement, PinsKnown::Needed)?;
        let question = RunningQuestion {
            state: self.only.place(&set)?,
            input_rpm: self.rpm.clone(),
            torque: self.torque.clone(),
            limits: limits(&set, &self.limit)?,
            listened: listened(&set, self)?,
        };
        let found = running(&set, &question);
        Ok((set, found))
    }
}

fn limits(set: &Gearset, given: &[LimitOf]) -> Result<Limits, Refusal> {
    let mut limits = Limits::default();
    for LimitOf { member, rpm } in given {
        match member {
            None => limits.every = Some(rpm.clone()),
            Some(name) => drop(limits.members.insert(moving_member(set, name)?, rpm.clone())),
        }
    }
    Ok(limits)
}

fn listened(set: &Gearset, options: &MotionOptions) -> Result<Option<Listened>, Refusal> {
    if options.heard.is_empty() && options.not_heard.is_empty() {
        return Ok(None);
    }
    let listened = Listened { heard: states(set, &options.heard)?, not_heard: states(set, &options.not_heard)? };
    if let Some(&both) = listened.heard.iter().find(|state| listened.not_heard.contains(state)) {
        let sentence = format!("a noise cannot be heard and not heard in state {:?}", set.states()[both].name);
        return Err(Refusal::new(sentence, "name each state once, in --heard or in --not-heard"));
    }
    if listened.heard.is_empty() {
        let hint = "write --heard with the states in which it is heard";
        return Err(Refusal::new("it is not said where the noise is heard", hint));
    }
    Ok(Some(listened))
}
