//! The question `explore`: every use of a train.

use super::lookups::member;
use super::options::options;
use super::{AskedAbout, NoAnswer, PinsKnown, Question, WhatIfOptions, values};
use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::kinematics::{CannotExplore, Exploration, ExplorationQuestion, explore};

options! {
    /// The options of `explore`.
    pub struct ExploreOptions {
        ..what_if: WhatIfOptions;
        /// How many may be held or coupled at once; by default as many as leave one freedom
        at_once: Option<usize> = values::count, "N";
        /// Only what this member drives
        input: Option<String> = values::name, "MEMBER";
        /// Only what drives this member
        output: Option<String> = values::name, "MEMBER";
        /// Only ratios from this one on, such as 2.5, 5/2 or, reversed, -4
        from: Option<Fraction> = values::ratio, "RATIO";
        /// Only ratios up to this one
        to: Option<Fraction> = values::ratio, "RATIO";
    }
}

impl Question for ExploreOptions {
    type Answer = Exploration;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Exploration), NoAnswer> {
        let set = about.gearset_with(&self.what_if.what_if(), PinsKnown::OrNot)?;
        let ends = [&self.input, &self.output];
        let [input, output] = ends.map(|name| name.as_deref().map(|name| member(&set, name)).transpose());
        let (from, to) = (self.from.clone(), self.to.clone());
        let question = ExplorationQuestion { at_once: self.at_once, input: input?, output: output?, from, to };
        let found = explore(&set, &question).map_err(|reason| NoAnswer::new(&reason, hint(&reason)))?;
        Ok((set, found))
    }
}

fn hint(reason: &CannotExplore) -> String {
    match reason {
        CannotExplore::TooMany { largest: Some(largest), .. } => format!("write --at-once {largest} or less"),
        CannotExplore::TooLarge { .. } | CannotExplore::TooMany { largest: None, .. } => {
            "join what never turns against one another in the description, or explore a part of the train".into()
        }
        CannotExplore::NotUsable { .. } => "name a member of the main axis that turns".into(),
        CannotExplore::OneBody { .. } => "name two members that can turn apart".into(),
    }
}
