//! The question `teeth close`: whether all meshes close on their pins, with which shifts, and what that makes of the teeth.

use super::shifts::ShiftOptions;
use crate::fit::{ToothFit, close};
use crate::gearset::Gearset;
use crate::requests::options::options;
use crate::requests::{AskedAbout, NoAnswer, PinsKnown, Question, WhatIfOptions};

options! {
    /// The options of `teeth close`.
    pub struct CloseOptions {
        ..what_if: WhatIfOptions;
        ..shifts: ShiftOptions;
    }
}

impl Question for CloseOptions {
    type Answer = ToothFit;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, ToothFit), NoAnswer> {
        let set = about.gearset_with(&self.shifts.told(&self.what_if), PinsKnown::OrNot)?;
        let question = self.shifts.question(&set)?;
        let fit = close(&set, &question).map_err(|reason| NoAnswer::new(&reason, reason.hint()))?;
        Ok((set, fit))
    }
}
