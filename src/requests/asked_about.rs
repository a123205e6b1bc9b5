//! What is a question about: a description, the record of a job, or gears that are typed, with other counts, pins, sizes
//! and states in place of their own?

use crate::description::{self, DEFAULT_EXAMPLE, Faults};
use crate::gearset::{Draft, Gearset};
use crate::job::{self, Job};
use crate::quick::{
    Arrangement, Arrangements, CannotAsk, MOST_ARRANGEMENTS, StackNames, WhatIf, is_stack, set_states, stack,
};

use super::refusal::{NoAnswer, Refusal};
use super::what_if::{ArrangementOptions, WhatIfOptions};

/// What a question is about.
#[derive(Debug)]
pub struct AskedAbout<'a> {
    described: Described<'a>,
    /// What is to be told beside the answer.
    notes: Vec<String>,
}

/// What describes a gearset.
#[derive(Debug, Clone, Copy)]
enum Described<'a> {
    /// Nothing is named: the default, where one is needed.
    No,
    /// The text of a description or of a job.
    Text(&'a str),
    /// The gears on a pin.
    Stack(&'a str),
}

/// Whether an answer rests on the number of pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinsKnown {
    /// It does: a group without their number is refused.
    Needed,
    /// It does not: speeds are the same with any number of pins.
    OrNot,
}

/// What a question of the bench is asked about.
#[derive(Debug)]
#[non_exhaustive]
pub struct GearsetOrJob {
    /// The gearset.
    pub set: Gearset,
    /// The job whose record it is, where the text is one.
    pub job: Option<Job>,
}

/// A gearset of which nothing is known but its title: what is asked without one is answered under it.
pub(super) fn titled(title: impl Into<String>) -> Gearset {
    let draft = Draft { title: title.into(), ..Draft::default() };
    Gearset::new(draft).expect("a title alone breaks no rule")
}

/// A draft that is asked about, with the text that its places are in.
struct AskedDraft<'a> {
    text: &'a str,
    draft: Draft,
    is_stack: bool,
}

impl<'a> AskedAbout<'a> {
    /// Nothing: a question that needs a gearset is about the default one.
    pub fn not_named() -> Self {
        Self { described: Described::No, notes: Vec::new() }
    }

    /// The text of a description or of the record of a job.
    pub fn of_text(text: &'a str) -> Self {
        Self { described: Described::Text(text), notes: Vec::new() }
    }

    /// The gears on a pin, as they are typed.
    pub fn of_stack(typed: &'a str) -> Self {
        Self { described: Described::Stack(typed), notes: Vec::new() }
    }

    /// What a request names: a built-in gearset, the gears on a pin, or the text itself.
    pub(super) fn named(description: &'a str) -> Self {
        match description::example(description) {
            Some(text) => Self::of_text(text),
            None if is_stack(description) => Self::of_stack(description),
            None => Self::of_text(description),
        }
    }

    /// Whether anything is named.
    pub fn is_named(&self) -> bool {
        !matches!(self.described, Described::No)
    }

    /// The text that is named, or the gears as they are typed.
    pub(super) fn text(&self) -> Option<&'a str> {
        match self.described {
            Described::No => None,
            Described::Stack(text) | Described::Text(text) => Some(text),
        }
    }

    /// What is to be told beside the answer, taken out of it.
    pub fn notes(&mut self) -> Vec<String> {
        std::mem::take(&mut self.notes)
    }

    /// The gearset with what is asked in place of its own; a stack has the states that there are.
    ///
    /// # Errors
    /// Faults of the description, or why what is asked cannot be.
    pub fn gearset(&self, what_if: &WhatIfOptions) -> Result<Gearset, NoAnswer> {
        self.gearset_with(&what_if.what_if(), PinsKnown::Needed)
    }

    /// The same of an answer that may be about speeds alone, and with anything else that is asked.
    ///
    /// # Errors
    /// Faults of the description, or why what is asked cannot be.
    pub fn gearset_with(&self, what_if: &WhatIf, pins: PinsKnown) -> Result<Gearset, NoAnswer> {
        Ok(self.changed(what_if, &Arrangement::default(), pins, StackNames::ByCount)?.0)
    }

    /// The gearset of one column of several, where a gear has the same name in all of them.
    ///
    /// # Errors
    /// Faults of the description, or why what is asked cannot be.
    pub fn gearset_named(&self, what_if: &WhatIf, names: StackNames) -> Result<Gearset, NoAnswer> {
        Ok(self.changed(what_if, &Arrangement::default(), PinsKnown::Needed, names)?.0)
    }

    /// The gearset of an answer about its states, which can be asked for; notes where not all of them are shown.
    ///
    /// # Errors
    /// Faults of the description, or why what is asked cannot be.
    pub fn driven(
        &mut self,
        what_if: &WhatIfOptions,
        arrangement: &ArrangementOptions,
        pins: PinsKnown,
    ) -> Result<Gearset, NoAnswer> {
        let arrangement = arrangement.arrangement();
        let (set, ways) = self.changed(&what_if.what_if(), &arrangement, pins, StackNames::ByCount)?;
        if ways.of == 0 && matches!(self.described, Described::Stack(_)) {
            let hint =
                "a group needs two central gears or more, such as 26:31 20:37 or 30:24:78, and members that can turn";
            return Err(NoAnswer::new("nothing drives anything so, with one member held", hint));
        }
        if ways.shown < ways.of {
            let told = "ways are shown; --held, --input and --output choose others";
            self.notes.push(format!("{MOST_ARRANGEMENTS} of {} {told}", ways.of));
        }
        Ok(set)
    }

    /// The gearset that is named, if one is, and the job whose record it is.
    ///
    /// # Errors
    /// Faults of the text.
    pub fn gearset_or_job(&self) -> Result<Option<GearsetOrJob>, NoAnswer> {
        let Some(text) = self.text() else { return Ok(None) };
        if !job::is_job(text) {
            return Ok(Some(GearsetOrJob { set: description::read(text)?, job: None }));
        }
        let job = job::read(text)?;
        Ok(Some(GearsetOrJob { set: job.gearset().clone(), job: Some(job) }))
    }

    fn changed(
        &self,
        what_if: &WhatIf,
        arrangement: &Arrangement,
        pins: PinsKnown,
        names: StackNames,
    ) -> Result<(Gearset, Arrangements), NoAnswer> {
        let mut asked = self.draft(if what_if.pins.is_empty() { pins } else { PinsKnown::OrNot }, names)?;
        what_if.change(&mut asked.draft).map_err(cannot_ask)?;
        let ways = asked.set_states(arrangement)?;
        Ok((asked.gearset()?, ways))
    }

    fn draft(&self, pins: PinsKnown, names: StackNames) -> Result<AskedDraft<'a>, NoAnswer> {
        let text = match self.described {
            Described::No => description::example(DEFAULT_EXAMPLE).unwrap_or_default(),
            Described::Text(text) => text,
            Described::Stack(_) if pins == PinsKnown::Needed => {
                let hint = "add --pins 3, as many as there are";
                return Err(NoAnswer::new("it is not said how many pins there are", hint));
            }
            Described::Stack(typed) => {
                return Ok(AskedDraft { text: typed, draft: stack(typed, names)?, is_stack: true });
            }
        };
        Ok(AskedDraft { text, draft: described(text)?, is_stack: false })
    }
}

impl AskedDraft<'_> {
    /// States as asked; a stack without a wish gets those that there are.
    fn set_states(&mut self, arrangement: &Arrangement) -> Result<Arrangements, NoAnswer> {
        if !self.is_stack && *arrangement == Arrangement::default() {
            return Ok(Arrangements { shown: self.draft.states.len(), of: self.draft.states.len() });
        }
        set_states(&mut self.draft, arrangement).map_err(cannot_ask)
    }

    /// The gearset, or what is wrong: what was read with its place, what was asked in its own words.
    fn gearset(self) -> Result<Gearset, NoAnswer> {
        Gearset::new(self.draft).map_err(|problems| {
            let asked = problems.iter().filter(|problem| problem.place.is_none());
            let refusals: Vec<Refusal> = asked.map(|problem| Refusal::new(problem, problem.rule.hint())).collect();
            if refusals.is_empty() { Faults::of_problems(self.text, problems).into() } else { refusals.into() }
        })
    }
}

/// What a text describes; the record of a job has a description in it.
fn described(text: &str) -> Result<Draft, Faults> {
    if job::is_job(text) { job::read(text).map(|job| job.description()) } else { description::read_draft(text) }
}

fn cannot_ask(reason: CannotAsk) -> NoAnswer {
    let hint = reason.hint();
    NoAnswer::new(reason, hint)
}
