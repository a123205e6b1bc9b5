//! The question `match`: whether measured clusters match as a set.

use super::options::options;
use super::{AskedAbout, NoAnswer, Question, WhatIfOptions};
use crate::gearset::Gearset;
use crate::timing::{Matching, matching};

options! {
    /// The options of `match`.
    pub struct MatchOptions {
        ..what_if: WhatIfOptions;
    }
}

impl Question for MatchOptions {
    type Answer = Matching;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Matching), NoAnswer> {
        let set = about.gearset(&self.what_if)?;
        let matched = matching(&set).map_err(|refusal| NoAnswer::new(&refusal, refusal.hint()))?;
        Ok((set, matched))
    }
}
