//! The subcommand `formula`: ratios and speeds as formulas in the tooth counts.
//!
//! States and members are named as in the description; what a formula is and how it is written is the library's.

use clap::{Args, ValueEnum};
use toothmark::formula::{ratios, speeds};
use toothmark::gearset::{Gearset, MemberId};
use toothmark::report::{Formulas, Notation};

use super::common::SourceArgument;
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::{write, write_markdown, write_text};

#[derive(Debug, Args)]
pub(super) struct FormulaArguments {
    #[command(flatten)]
    source: SourceArgument,
    /// Only this state
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    state: Option<String>,
    /// The speed of this member as well, a planet's also against its carrier; may be repeated
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    member: Vec<String>,
    /// How formulas are written
    #[arg(long, value_enum, default_value_t)]
    notation: NotationArgument,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    format: FormulaFormat,
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

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum FormulaFormat {
    /// Text for a terminal
    #[default]
    Text,
    /// Markdown
    Markdown,
    /// JSON with stable keys
    Json,
}

pub(super) fn formula(arguments: &FormulaArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let wanted = arguments.member.iter().map(|name| member(&set, name)).collect::<Result<Vec<_>, _>>()?;
    let states: Vec<String> = set.states().iter().map(|state| state.name.clone()).collect();
    let is_shown = |name: &String| arguments.state.as_ref().is_none_or(|wanted| wanted == name);
    if let Some(name) = arguments.state.clone().filter(|name| !states.contains(name)) {
        return Err(Trouble::NoSuchState { name, known: states });
    }
    let (ratios, members): (Vec<_>, Vec<_>) =
        ratios(&set).into_iter().zip(speeds(&set, &wanted)).filter(|(ratio, _)| is_shown(&ratio.state)).unzip();
    let notation = match arguments.notation {
        NotationArgument::Text => Notation::Text,
        NotationArgument::Tex => Notation::Tex,
        NotationArgument::Mathml => Notation::MathMl,
    };
    let answer = Formulas { set: &set, ratios: &ratios, members: &members, notation };
    match arguments.format {
        FormulaFormat::Text => write_text(&answer.document()),
        FormulaFormat::Markdown => write_markdown(&answer.document()),
        FormulaFormat::Json => write(&answer.json()),
    }?;
    Ok(Exit::Done)
}

fn member(set: &Gearset, name: &str) -> Result<MemberId, Trouble> {
    set.member_named(name).filter(|&member| member != MemberId::CASE).ok_or_else(|| Trouble::NoSuchMember {
        name: name.to_owned(),
        known: set.members().iter().skip(1).map(|member| member.name().to_owned()).collect(),
    })
}
