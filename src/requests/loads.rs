//! The question `loads`: the torque on every member, mesh, band and clutch, and where power goes.

use super::options::options;
use super::{ArrangementOptions, AskedAbout, NoAnswer, PinsKnown, Question, StateOption, WhatIfOptions, values};
use crate::gearset::{Efficiency, Gearset};
use crate::statics::{InputTorque, LoadSurvey, LoadsQuestion, survey_loads};

options! {
    /// The options of `loads`.
    pub struct LoadsOptions {
        ..what_if: WhatIfOptions;
        ..arrangement: ArrangementOptions;
        ..only: StateOption;
        /// The torque on the input: "30 N m" or "22 lb ft"; 1 N m if left out
        torque: Option<InputTorque> = values::torque, "TORQUE";
        /// The part of the power that every mesh passes on, such as 0.98, instead of what the description says
        mesh_efficiency: Option<Efficiency> = values::efficiency, "PART";
    }
}

impl Question for LoadsOptions {
    type Answer = LoadSurvey;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, LoadSurvey), NoAnswer> {
        let set = about.driven(&self.what_if, &self.arrangement, PinsKnown::Needed)?;
        let torque = self.torque.clone().unwrap_or_default();
        let state = self.only.place(&set)?;
        let found = survey_loads(&set, &LoadsQuestion { state, torque, mesh_efficiency: self.mesh_efficiency });
        Ok((set, found))
    }
}
