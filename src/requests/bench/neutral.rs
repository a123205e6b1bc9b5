//! The question `bench neutral`: what drags, by how fast the output turns in neutral.

use crate::bench::{NeutralQuestion, NeutralTest, neutral};
use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::requests::options::options;
use crate::requests::{
    ArrangementOptions, AskedAbout, NoAnswer, PinsKnown, Question, StateOption, WhatIfOptions, values,
};

options! {
    /// The options of `bench neutral`.
    pub struct NeutralOptions {
        ..what_if: WhatIfOptions;
        ..arrangement: ArrangementOptions;
        ..only: StateOption;
        /// Speeds in revolutions per minute for this speed of the input, instead of per turn
        rpm: Option<Fraction> = values::speed_but_zero, "N";
    }
}

impl Question for NeutralOptions {
    type Answer = NeutralTest;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, NeutralTest), NoAnswer> {
        let set = about.driven(&self.what_if, &self.arrangement, PinsKnown::OrNot)?;
        let question = NeutralQuestion { state: self.only.place(&set)?, input_rpm: self.rpm.clone() };
        let test = neutral(&set, &question).map_err(|reason| NoAnswer::new(&reason, reason.hint()))?;
        Ok((set, test))
    }
}
