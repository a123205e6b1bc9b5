//! `toothmark explain`: what the arguments mean, and the answer.
//!
//! Without a named state the first that drives is worked out, and the answer says so; the lever is
//! drawn for the page only.

use clap::Args;
use toothmark::drawing::lever;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::Gearset;
use toothmark::kinematics::motions;
use toothmark::lesson::{Lesson, LessonOptions, lesson, lessons};
use toothmark::report::{CaptionedPicture, Document, Explained, StateChoice};
use toothmark::requests::{ArrangementOptions, PinsKnown, WhatIfOptions};

use super::common::DocumentFormat;
use super::completed_names;
use super::exit::Exit;
use super::lookups::state;
use super::output::Said;
use super::source::SourceArguments;
use super::trouble::{Refusal, Trouble};
use super::values;

#[derive(Debug, Args)]
pub(super) struct ExplainArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    what_if: WhatIfOptions,
    #[command(flatten)]
    arrangement: ArrangementOptions,
    /// The state to work out; the first that drives if left out
    #[arg(add = completed_names::states(), long, value_name = "NAME", allow_hyphen_values = true)]
    state: Option<String>,
    /// The speed of the input, in revolutions per minute or any other unit; 1 if left out
    #[arg(long, value_name = "N", value_parser = values::speed_but_zero, allow_hyphen_values = true)]
    rpm: Option<Fraction>,
    /// The form of the answer
    #[arg(long, value_enum, default_value = "text")]
    format: DocumentFormat,
}

pub(super) fn explain(arguments: &ExplainArguments) -> Result<Exit, Trouble> {
    let levers = if arguments.format == DocumentFormat::Html { Levers::Drawn } else { Levers::Named };
    arguments.source.say(|about, file| {
        let set = about.driven(&arguments.what_if, &arguments.arrangement, PinsKnown::OrNot)?;
        let (state, chosen) = match &arguments.state {
            Some(name) => (state(&set, name)?, StateChoice::Named),
            None => (first_that_drives(&set).ok_or_else(no_states)?, StateChoice::FirstThatDrives),
        };
        let input_speed = arguments.rpm.clone().unwrap_or_else(|| fraction(1, 1));
        let document = worked_out(&set, state, input_speed, chosen, levers);
        let said = Said::document(document, arguments.format, file)?;
        Ok((set, said))
    })
}

fn no_states() -> Refusal {
    Refusal::new(
        "the description has no states, so that there is none to work out",
        "add one, such as states: {\"low\": Given(held: [\"ring\"], input: \"sun\", output: \"carrier\")}",
    )
}

/// Whether levers are drawn beside a worked solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Levers {
    /// They are.
    Drawn,
    /// It is told how to have them drawn.
    Named,
}

/// The worked solution of a state, by its place.
fn worked_out(set: &Gearset, state: usize, input_speed: Fraction, chosen: StateChoice, levers: Levers) -> Document {
    let lesson = lesson(set, &set.states()[state].name, &LessonOptions { input_speed });
    let lesson = lesson.expect("it is a state of the gearset");
    let caption = match levers {
        Levers::Drawn => "the levers with the speeds as arrows, to scale",
        Levers::Named => "the levers with the speeds as arrows, to scale: --format html draws them",
    };
    let picture = CaptionedPicture { caption: caption.to_owned(), svg: lever(set, &lesson.motion) };
    Explained { set, lesson: &lesson, pictures: &[picture], chosen }.document()
}

/// The worked solution of every state, without the levers.
pub(super) fn all_worked_out(set: &Gearset) -> impl Iterator<Item = Document> {
    let document =
        move |lesson: Lesson| Explained { set, lesson: &lesson, pictures: &[], chosen: StateChoice::Named }.document();
    lessons(set, &LessonOptions::default()).map(document)
}

/// The first state that drives, or the first of all.
fn first_that_drives(set: &Gearset) -> Option<usize> {
    let all = motions(set);
    let drives = all.iter().position(|motion| motion.verdict.ratio().is_some());
    drives.or((!all.is_empty()).then_some(0))
}
