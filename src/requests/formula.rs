//! The question `formula`: ratios and speeds as formulas in the tooth counts.

use super::lookups::moving_member;
use super::options::options;
use super::words::{WordOption, word};
use super::{ArrangementOptions, AskedAbout, NoAnswer, PinsKnown, Question, StateOption, WhatIfOptions, values};
use crate::formula::{FormulasQuestion, formulas};
use crate::gearset::Gearset;
use crate::report::{Notation, WrittenFormulas, write_formulas};

options! {
    /// The options of `formula`.
    pub struct FormulaOptions {
        ..what_if: WhatIfOptions;
        ..arrangement: ArrangementOptions;
        ..only: StateOption;
        /// The speed of this member as well, a planet's also against its carrier; may be repeated
        member: Vec<String> = values::name, "NAME";
        /// How formulas are written; text where it is left out
        notation: Option<Notation> = word::<Notation>, "NOTATION" [value_parser = super::words::words::<Notation>()];
    }
}

impl WordOption for Notation {
    const THING: &'static str = "notation";
    const WORDS: &'static [(&'static str, Self, &'static str)] = &[
        ("text", Self::Text, "Plain text"),
        ("tex", Self::Tex, "TeX, for mathematics mode"),
        ("mathml", Self::MathMl, "MathML, for web pages"),
    ];
}

impl Question for FormulaOptions {
    type Answer = WrittenFormulas;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, WrittenFormulas), NoAnswer> {
        let set = about.driven(&self.what_if, &self.arrangement, PinsKnown::OrNot)?;
        let members = self.member.iter().map(|name| moving_member(&set, name)).collect::<Result<_, _>>()?;
        let question = FormulasQuestion { state: self.only.place(&set)?, members };
        let found = write_formulas(&set, &formulas(&set, &question), self.notation.unwrap_or_default());
        Ok((set, found))
    }
}
