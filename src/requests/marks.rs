//! The question `marks`: what to mark on a set without marks.

use super::options::options;
use super::{AskedAbout, NoAnswer, Question, WhatIfOptions};
use crate::gearset::Gearset;
use crate::timing::{Marking, marking};

options! {
    /// The options of `marks`.
    pub struct MarksOptions {
        ..what_if: WhatIfOptions;
    }
}

impl Question for MarksOptions {
    type Answer = Marking;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Marking), NoAnswer> {
        let set = about.gearset(&self.what_if)?;
        let found = marking(&set);
        Ok((set, found))
    }
}
