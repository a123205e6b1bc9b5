//! What a question is about: a description, or a planetary group typed as a stack of tooth counts, with other counts,
//! pins and sizes in place of its own.
//!
//! The words of the help are those of the comments here.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::description::{self, Faults};
use toothmark::exact::Fraction;
use toothmark::gearset::{Draft, DraftTurns, Gearset, Length, Pitch};
use toothmark::job;
use toothmark::quick::{
    Arrangement, Arrangements, CannotAsk, MOST_ARRANGEMENTS, StackNames, WhatIf, is_stack, set_states, stack,
};
use toothmark::report::Answer;

use super::common::AnswerForm;
use super::completed_names;
use super::each::{DESCRIBED, ListArgument, Subjects};
use super::exit::Exit;
use super::input::source;
use super::output::{Said, eprint_notes};
use super::place::{ForceArgument, OutputPlaces};
use super::trouble::{Refusal, Source, Trouble};
use super::values::{self, CountChange, PinsOf};

/// What a question is about.
#[derive(Debug, Args)]
pub(super) struct SourceArguments {
    /// Descriptions (RON), each answered for itself, a built-in gearset by its name, "-" for standard input, or the gears
    /// on a pin, each with the sun before and the ring behind it: 26:31 20:37 31:26, or 18:36 :20:74, or 30:24:78
    #[arg(add = completed_names::descriptions(), value_name = "FILE|SUN:PLANET:RING", group = DESCRIBED)]
    what: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    #[command(flatten)]
    sizes: SizeArguments,
    /// Other tooth counts, such as L=21,l=36
    #[arg(long, value_name = "GEAR=TEETH,...", value_parser = values::count_change, allow_hyphen_values = true, help_heading = WHAT_IF)]
    with: Vec<CountChange>,
    /// Write the description of what is asked about to this file
    #[arg(long, value_name = "FILE", help_heading = WHAT_IF)]
    save: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
}

const WHAT_IF: &str = "Without a description, or in place of what it says";

/// Pins, pitch and backlash.
#[derive(Debug, Default, Args)]
pub(super) struct SizeArguments {
    /// How many pins, equally spaced, or their places in degrees: 3, or "0, 91.5, 180", or cluster=4
    #[arg(long, value_name = "PINS", value_parser = values::pins, allow_hyphen_values = true, help_heading = WHAT_IF)]
    pins: Vec<PinsOf>,
    #[command(flatten)]
    teeth: ToothSizeArguments,
}

/// Pitch and backlash.
#[derive(Debug, Default, Clone, Args)]
pub(super) struct ToothSizeArguments {
    /// The module of every mesh, in millimetres
    #[arg(long, value_name = "MM", value_parser = values::module, conflicts_with = "dp", allow_hyphen_values = true, help_heading = WHAT_IF)]
    module: Option<Fraction>,
    /// The diametral pitch of every mesh, in teeth per inch of diameter
    #[arg(long, value_name = "N", value_parser = values::diametral_pitch, allow_hyphen_values = true, help_heading = WHAT_IF)]
    dp: Option<Fraction>,
    /// The backlash of every mesh: 0.1mm or 0.004in
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, help_heading = WHAT_IF)]
    backlash: Option<Length>,
}

/// What drives, what is driven and what is held.
#[derive(Debug, Args)]
pub(super) struct ArrangementArguments {
    /// The member that drives
    #[arg(add = completed_names::members(), long, value_name = "MEMBER", allow_hyphen_values = true, help_heading = WHAT_IF)]
    input: Option<String>,
    /// The member that is driven
    #[arg(add = completed_names::members(), long, value_name = "MEMBER", allow_hyphen_values = true, help_heading = WHAT_IF)]
    output: Option<String>,
    /// A member that is held; may be repeated
    #[arg(add = completed_names::members(), long, value_name = "MEMBER", allow_hyphen_values = true, help_heading = WHAT_IF)]
    held: Vec<String>,
    /// A member that is driven as well, with its turns per turn of the input: "ring 78=-1/2"
    #[arg(long, value_name = "MEMBER=SPEED", value_parser = values::speed_of, allow_hyphen_values = true, help_heading = WHAT_IF)]
    with_speed: Vec<(String, Fraction)>,
}

/// Turns counted by hand.
#[derive(Debug, Args)]
pub(super) struct TurnedArgument {
    /// Turns counted by hand, good to a quarter of a turn or as said; may be repeated: "low drum held: flywheel 45 for
    /// driven drum 16 within 1/8"
    #[arg(long, value_name = "TURNS", value_parser = values::turned, allow_hyphen_values = true)]
    turned: Vec<DraftTurns>,
}

/// Whether an answer rests on the number of pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PinsKnown {
    /// It does: a group without their number is refused.
    Needed,
    /// It does not: speeds are the same with any number of pins.
    OrNot,
}

impl SourceArguments {
    /// Answers for each gearset that is asked about.
    pub(super) fn answer<A: Answer>(
        &self,
        form: AnswerForm,
        ask: impl Fn(&OneSource<'_>) -> Result<(Gearset, A), Trouble> + Sync,
    ) -> Result<Exit, Trouble> {
        self.say(|one, file| {
            let (set, found) = ask(one)?;
            Ok(Said::answer(&set, &found, form, file))
        })
    }

    /// Says something of each gearset that is asked about.
    pub(super) fn say(
        &self,
        say: impl Fn(&OneSource<'_>, Option<&str>) -> Result<Said, Trouble> + Sync,
    ) -> Result<Exit, Trouble> {
        let subjects = self.subjects()?;
        if self.save.is_some() {
            let words = subjects.alone("what is saved")?;
            return Subjects::One(words).say(|words, file| self.noted(words, file, &say));
        }
        subjects.say(|words, file| self.noted(words, file, &say))
    }

    /// What is said, with what is to be noted beside it.
    fn noted(
        &self,
        words: &[PathBuf],
        file: Option<&str>,
        say: impl Fn(&OneSource<'_>, Option<&str>) -> Result<Said, Trouble>,
    ) -> Result<Said, Trouble> {
        let one = OneSource { arguments: self, what: words, notes: RefCell::default() };
        let mut said = say(&one, file)?;
        let of_file = file.map(|file| format!("{file}: ")).unwrap_or_default();
        said.notes.extend(one.notes.into_inner().into_iter().map(|note| of_file.clone() + &note));
        Ok(said)
    }

    /// Says something of the only gearset that is asked about, for what is made of one.
    pub(super) fn say_alone(
        &self,
        what: &str,
        say: impl Fn(&OneSource<'_>, Option<&str>) -> Result<Said, Trouble>,
    ) -> Result<Said, Trouble> {
        self.noted(&self.subjects()?.alone(what)?, None, say)
    }

    /// The only gearset that is asked about, for what is made of one.
    pub(super) fn alone(&self, what: &str) -> Result<Gearset, Trouble> {
        let words = self.subjects()?.alone(what)?;
        let one = OneSource { arguments: self, what: &words, notes: RefCell::default() };
        let set = one.gearset()?;
        eprint_notes(one.notes.into_inner());
        Ok(set)
    }

    /// What the words name: one gearset, or files that are asked about one by one.
    fn subjects(&self) -> Result<Subjects, Trouble> {
        if is_one_stack(&self.what) {
            return Ok(Subjects::One(self.what.clone()));
        }
        let is_no_file = |word: &PathBuf| {
            word.to_string_lossy().starts_with(|letter: char| letter.is_ascii_digit()) && !word.exists()
        };
        if let [first, others @ ..] = &self.what[..]
            && !others.is_empty()
            && self.what.iter().any(is_no_file)
        {
            return Err(several(first, others).into());
        }
        Subjects::of_files(&self.what, &self.list)
    }

    /// The file that is read, if it is one.
    pub(super) fn file(&self) -> Option<&Path> {
        self.what.first().map(PathBuf::as_path)
    }

    fn what_if(&self) -> WhatIf {
        let tooth_counts = self.with.iter().flat_map(|change| change.counts.iter().cloned()).collect();
        WhatIf { tooth_counts, ..self.sizes.what_if() }
    }
}

/// One of the gearsets that are asked about.
pub(super) struct OneSource<'a> {
    arguments: &'a SourceArguments,
    /// The words that name it.
    what: &'a [PathBuf],
    /// What is to be told beside the answer.
    notes: RefCell<Vec<String>>,
}

impl OneSource<'_> {
    /// The gearset that is asked about; a stack has the states that there are.
    pub(super) fn gearset(&self) -> Result<Gearset, Trouble> {
        self.changed(&Arrangement::default(), PinsKnown::Needed).map(|(set, _)| set)
    }

    /// The same, with turns counted by hand.
    pub(super) fn gearset_turned(&self, turned: &TurnedArgument) -> Result<Gearset, Trouble> {
        self.gearset_with(WhatIf { turned: turned.turned.clone(), ..WhatIf::default() }, PinsKnown::Needed)
    }

    /// The same with pin circles, shifts or turns in place of those described; what is told of counts, pins and sizes is
    /// that of the arguments here.
    pub(super) fn gearset_with(&self, told: WhatIf, pins: PinsKnown) -> Result<Gearset, Trouble> {
        let WhatIf { pin_circles, shifts, turned, .. } = told;
        let what_if = WhatIf { pin_circles, shifts, turned, ..self.arguments.what_if() };
        self.changed_by(&what_if, &Arrangement::default(), pins).map(|(set, _)| set)
    }

    /// The same for an answer that is about speeds and not about states.
    pub(super) fn gearset_of_speeds(&self) -> Result<Gearset, Trouble> {
        self.changed(&Arrangement::default(), PinsKnown::OrNot).map(|(set, _)| set)
    }

    /// The same for an answer about its states, which can be asked for; says where not all of them are shown.
    pub(super) fn gearset_driven(
        &self,
        arrangement: &ArrangementArguments,
        pins: PinsKnown,
    ) -> Result<Gearset, Trouble> {
        let (set, ways) = self.changed(&arrangement.arrangement(), pins)?;
        if ways.of == 0 && is_one_stack(self.what) {
            let hint =
                "a group needs two central gears or more, such as 26:31 20:37 or 30:24:78, and members that can turn";
            return Err(Trouble::new("nothing drives anything so, with one member held", hint));
        }
        if ways.shown < ways.of {
            let told = format!(
                "{MOST_ARRANGEMENTS} of {} ways are shown; --held, --input and --output choose others",
                ways.of
            );
            self.notes.borrow_mut().push(told);
        }
        Ok(set)
    }

    fn changed(&self, arrangement: &Arrangement, pins: PinsKnown) -> Result<(Gearset, Arrangements), Trouble> {
        self.changed_by(&self.arguments.what_if(), arrangement, pins)
    }

    fn changed_by(
        &self,
        what_if: &WhatIf,
        arrangement: &Arrangement,
        pins: PinsKnown,
    ) -> Result<(Gearset, Arrangements), Trouble> {
        let SourceArguments { save, sizes, force, .. } = self.arguments;
        let mut places = OutputPlaces::new(*force, self.arguments.file());
        save.as_deref().map(|path| places.check_file(path)).transpose()?;
        let mut asked = AskedDraft::of(self.what, sizes, pins, StackNames::ByCount)?;
        what_if.change(&mut asked.draft).map_err(cannot_ask)?;
        let ways = asked.set_states(arrangement)?;
        let set = asked.gearset()?;
        if let Some(path) = save {
            places.write(path, &description::write(set.draft()))?;
            self.notes.borrow_mut().push(format!("the description is written to {}", path.display()));
        }
        Ok((set, ways))
    }
}

impl SizeArguments {
    /// The sizes of the teeth, with pins that are told elsewhere.
    pub(super) fn new(pins: Vec<PinsOf>, teeth: ToothSizeArguments) -> Self {
        Self { pins, teeth }
    }

    fn what_if(&self) -> WhatIf {
        let ToothSizeArguments { module, dp, backlash } = &self.teeth;
        let pitch = pitch(module.clone(), dp.clone());
        WhatIf { pins: self.pins.clone(), pitch, backlash: backlash.clone(), ..WhatIf::default() }
    }
}

impl ArrangementArguments {
    fn arrangement(&self) -> Arrangement {
        let Self { input, output, held, with_speed } = self;
        Arrangement { held: held.clone(), turning: with_speed.clone(), input: input.clone(), output: output.clone() }
    }
}

/// The pitch that is told as a module or as a diametral pitch.
pub(super) fn pitch(module: Option<Fraction>, dp: Option<Fraction>) -> Option<Pitch> {
    module.map(Pitch::Module).or_else(|| dp.map(Pitch::Diametral))
}

/// The gearset of words of the command line that stand together, changed by these sizes.
pub(super) fn gearset(what: &[PathBuf], sizes: &SizeArguments, names: StackNames) -> Result<Gearset, Trouble> {
    let mut asked = AskedDraft::of(what, sizes, PinsKnown::Needed, names)?;
    sizes.what_if().change(&mut asked.draft).map_err(cannot_ask)?;
    asked.set_states(&Arrangement::default())?;
    asked.gearset()
}

/// A gearset of which nothing is known but its title: what is asked without one is answered under it.
pub(super) fn titled(title: impl Into<String>) -> Gearset {
    let draft = Draft { title: title.into(), ..Draft::default() };
    Gearset::new(draft).expect("a title alone breaks no rule")
}

/// The words of the command line, in parts that are a gearset each: a stack is one, and so is every file.
pub(super) fn gearsets(what: &[PathBuf]) -> Vec<&[PathBuf]> {
    if is_one_stack(what) || what.is_empty() { vec![what] } else { what.chunks(1).collect() }
}

/// Whether the words are the gears of one planet.
pub(super) fn is_one_stack(what: &[PathBuf]) -> bool {
    is_stack(&joined(what)) && !what.iter().any(|word| word.exists())
}

/// The words as they were typed.
fn joined(what: &[PathBuf]) -> String {
    what.iter().map(|word| word.display().to_string()).collect::<Vec<_>>().join(" ")
}

/// A draft that is asked about, with the text that its places are in.
struct AskedDraft {
    text: Source,
    draft: Draft,
    is_stack: bool,
}

impl AskedDraft {
    fn of(what: &[PathBuf], sizes: &SizeArguments, pins: PinsKnown, names: StackNames) -> Result<Self, Trouble> {
        if is_one_stack(what) {
            if sizes.pins.is_empty() && pins == PinsKnown::Needed {
                return Err(Trouble::new(
                    "it is not said how many pins there are",
                    "add --pins 3, as many as there are",
                ));
            }
            return Self::of_stack(what, names);
        }
        match what {
            [] => Self::of_file(None),
            [file] => Self::of_file(Some(file)),
            [first, others @ ..] => Err(several(first, others).into()),
        }
    }

    fn of_file(file: Option<&Path>) -> Result<Self, Trouble> {
        let text = source(file)?;
        match description::text_of(&text.bytes).and_then(described) {
            Ok(draft) => Ok(Self { text, draft, is_stack: false }),
            Err(faults) => Err(Trouble::Faults { text, faults }),
        }
    }

    fn of_stack(words: &[PathBuf], names: StackNames) -> Result<Self, Trouble> {
        let typed = joined(words);
        let text = Source::typed(&typed);
        match stack(&typed, names) {
            Ok(draft) => Ok(Self { text, draft, is_stack: true }),
            Err(faults) => Err(Trouble::Faults { text, faults }),
        }
    }

    /// States as asked; a stack without a wish gets those that there are.
    fn set_states(&mut self, arrangement: &Arrangement) -> Result<Arrangements, Trouble> {
        if !self.is_stack && *arrangement == Arrangement::default() {
            return Ok(Arrangements { shown: self.draft.states.len(), of: self.draft.states.len() });
        }
        set_states(&mut self.draft, arrangement).map_err(cannot_ask)
    }

    /// The gearset, or what is wrong: what was read with its place, what was asked in its own words.
    fn gearset(self) -> Result<Gearset, Trouble> {
        Gearset::new(self.draft).map_err(|problems| {
            let asked = problems.iter().filter(|problem| problem.place.is_none());
            let refusals: Vec<Refusal> = asked.map(|problem| Refusal::new(problem, problem.rule.hint())).collect();
            if !refusals.is_empty() {
                return Trouble::Refused(refusals);
            }
            let read = description::text_of(&self.text.bytes).unwrap_or_default();
            let faults = Faults::of_problems(read, problems);
            Trouble::Faults { text: self.text, faults }
        })
    }
}

/// What a text describes; the record of a job has a description in it.
fn described(text: &str) -> Result<Draft, Faults> {
    if job::is_job(text) { job::read(text).map(|job| job.description()) } else { description::read_draft(text) }
}

fn several(first: &Path, others: &[PathBuf]) -> Refusal {
    let others = others.iter().map(|other| format!("{:?}", other.display().to_string())).collect::<Vec<_>>().join(", ");
    Refusal::new(
        format!("{:?} and {others} are asked about at once", first.display().to_string()),
        "name one description, or type the gears on a pin as 26:31 20:37 31:26; toothmark compare sets several side by side",
    )
}

fn cannot_ask(reason: CannotAsk) -> Trouble {
    let hint = reason.hint();
    Trouble::new(reason, hint)
}
