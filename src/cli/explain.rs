//! `toothmark explain`: what the arguments mean, and the answer.
//!
//! Without a named state the first that drives is worked out, and the answer says so; the lever is
//! drawn for the page only.

use clap::{Args, ValueEnum};
use toothmark::drawing::lever;
use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::Gearset;
use toothmark::kinematics::motions;
use toothmark::lesson::{LessonOptions, lesson};
use toothmark::report::{Document, Explained, Picture, StateChoice, html};

use super::common::SourceArgument;
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::{write, write_markdown, write_text};

#[derive(Debug, Args)]
pub(super) struct ExplainArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// The state to work out; the first that drives if left out
    #[arg(long, value_name = "NAME")]
    pub(super) state: Option<String>,
    /// The speed of the input, in revolutions per minute or any other unit; 1 if left out
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(super) rpm: Option<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: LessonFormat,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum LessonFormat {
    /// Text for a terminal
    #[default]
    Text,
    /// Markdown
    Markdown,
    /// One page for a browser, with the lever drawn to scale
    Html,
}

pub(super) fn explain(arguments: &ExplainArguments) -> Result<Exit, Trouble> {
    let input_speed = match arguments.rpm.as_deref() {
        None => fraction(1, 1),
        Some(text) => parse(text)
            .filter(|speed| *speed != fraction(0, 1))
            .ok_or_else(|| Trouble::NotASpeed { text: text.to_owned() })?,
    };
    let set = gearset(arguments.source.file.as_deref())?;
    let (state, chosen) = match &arguments.state {
        Some(name) => (name.clone(), StateChoice::Named),
        None => (first_that_drives(&set).ok_or(Trouble::NoStates)?, StateChoice::FirstThatDrives),
    };
    let levers = if arguments.format == LessonFormat::Html { Levers::Drawn } else { Levers::Named };
    let document = worked_out(&set, &state, input_speed, chosen, levers).ok_or_else(|| Trouble::NoSuchState {
        name: state.clone(),
        known: set.states().iter().map(|state| state.name.clone()).collect(),
    })?;
    match arguments.format {
        LessonFormat::Text => write_text(&document),
        LessonFormat::Markdown => write_markdown(&document),
        LessonFormat::Html => write(&html(&document)),
    }?;
    Ok(Exit::Done)
}

/// Whether levers are drawn beside a worked solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Levers {
    /// They are.
    Drawn,
    /// It is told how to have them drawn.
    Named,
    /// They stand elsewhere.
    LeftOut,
}

/// The worked solution of a state; `None` where there is no such state.
pub(super) fn worked_out(
    set: &Gearset,
    state: &str,
    input_speed: Fraction,
    chosen: StateChoice,
    levers: Levers,
) -> Option<Document> {
    let lesson = lesson(set, state, &LessonOptions { input_speed })?;
    let caption = match levers {
        Levers::Drawn => Some("the levers with the speeds as arrows, to scale"),
        Levers::Named => Some("the levers with the speeds as arrows, to scale: --format html draws them"),
        Levers::LeftOut => None,
    };
    let picture = |caption: &str| Picture { caption: caption.to_owned(), svg: lever(set, &lesson.motion) };
    let pictures: Vec<Picture> = caption.map(picture).into_iter().collect();
    Some(Explained { set, lesson: &lesson, pictures: &pictures, chosen }.document())
}

/// The first state that drives, or the first of all.
fn first_that_drives(set: &Gearset) -> Option<String> {
    let all = motions(set);
    let drives = all.iter().find(|motion| motion.verdict.ratio().is_some());
    drives.or(all.first()).map(|motion| motion.state.clone())
}
