//! The question `check`: what a description says, and everything worth a second look.

use super::options::options;
use super::{AskedAbout, NoAnswer, PinsKnown, Question, TurnedOption, WhatIfOptions};
use crate::gearset::Gearset;
use crate::inspection::{Remarks, remarks};

options! {
    /// The options of `check`.
    pub struct CheckOptions {
        ..what_if: WhatIfOptions;
        ..turned: TurnedOption;
    }
}

impl Question for CheckOptions {
    type Answer = Remarks;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Remarks), NoAnswer> {
        let set = about.gearset_with(&self.turned.what_if(&self.what_if), PinsKnown::Needed)?;
        let found = remarks(&set);
        Ok((set, found))
    }
}
