//! The subcommand `formula`: ratios and speeds as formulas in the tooth counts.
//!
//! States and members are named as in the description; what a formula is and how it is written is the library's.

use clap::{Args, ValueEnum};
use toothmark::formula::{ratios, speeds};
use toothmark::report::{Formulas, Notation};

use super::common::{Format, SourceArgument, StateArgument, formats};
use super::exit::Exit;
use super::input::gearset;
use super::lookups::moving_member;
use super::output::{write, write_document};
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct FormulaArguments {
    #[command(flatten)]
    source: SourceArgument,
    #[command(flatten)]
    only: StateArgument,
    /// The speed of this member as well, a planet's also against its carrier; may be repeated
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    member: Vec<String>,
    /// How formulas are written
    #[arg(long, value_enum, default_value_t)]
    notation: NotationArgument,
    /// The form of the answer
    #[arg(long, value_parser = formats(&[Format::Text, Format::Markdown, Format::Json]), default_value = "text")]
    format: Format,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum NotationArgument {
    /// Plain text
    #[default]
    Text,
    /// TeX, for mathematics mode
    Tex,
    #[value(help = "MathML, for web pages")]
    Mathml,
}

pub(super) fn formula(arguments: &FormulaArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let wanted = arguments.member.iter().map(|name| moving_member(&set, name)).collect::<Result<Vec<_>, _>>()?;
    let only = arguments.only.place(&set)?.map(|place| set.states()[place].name.as_str());
    let is_shown = |name: &String| only.is_none_or(|only| only == name);
    let (ratios, members): (Vec<_>, Vec<_>) =
        ratios(&set).into_iter().zip(speeds(&set, &wanted)).filter(|(ratio, _)| is_shown(&ratio.state)).unzip();
    let notation = match arguments.notation {
        NotationArgument::Text => Notation::Text,
        NotationArgument::Tex => Notation::Tex,
        NotationArgument::Mathml => Notation::MathMl,
    };
    let answer = Formulas { set: &set, ratios: &ratios, members: &members, notation };
    if arguments.format == Format::Json {
        write(&answer.json())?;
    } else {
        write_document(&answer.document(), arguments.format)?;
    }
    Ok(Exit::Done)
}
