//! The question `ratios`: the ratio of every state and every speed.

use super::options::options;
use super::{ArrangementOptions, AskedAbout, NoAnswer, PinsKnown, Question, StateOption, WhatIfOptions, values};
use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::kinematics::{Ratios, RatiosQuestion, ratios};

options! {
    /// The options of `ratios`.
    pub struct RatiosOptions {
        ..what_if: WhatIfOptions;
        ..arrangement: ArrangementOptions;
        ..only: StateOption;
        /// Speeds in revolutions per minute for this speed of the input, instead of per turn
        rpm: Option<Fraction> = values::speed, "N";
    }
}

impl Question for RatiosOptions {
    type Answer = Ratios;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Ratios), NoAnswer> {
        let set = about.driven(&self.what_if, &self.arrangement, PinsKnown::OrNot)?;
        let question = RatiosQuestion { state: self.only.place(&set)?, input_rpm: self.rpm.clone() };
        let found = ratios(&set, &question);
        Ok((set, found))
    }
}
