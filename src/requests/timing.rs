//! The question `timing`: whether and how the planets go together.

use super::options::options;
use super::{AskedAbout, NoAnswer, PinsKnown, Question, TurnedOption, WhatIfOptions};
use crate::gearset::Gearset;
use crate::timing::{Timing, timing};

options! {
    /// The options of `timing`.
    pub struct TimingOptions {
        ..what_if: WhatIfOptions;
        ..turned: TurnedOption;
    }
}

impl Question for TimingOptions {
    type Answer = Timing;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Timing), NoAnswer> {
        let set = about.gearset_with(&self.turned.what_if(&self.what_if), PinsKnown::Needed)?;
        let found = timing(&set);
        Ok((set, found))
    }
}
