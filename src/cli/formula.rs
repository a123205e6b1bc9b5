//! The subcommand `formula`: ratios and speeds as formulas in the tooth counts.
//!
//! States and members are named as in the description; what a formula is and how it is written is the library's.

use clap::{Args, ValueEnum};
use toothmark::formula::{FormulasQuestion, formulas};
use toothmark::report::{Notation, write_formulas};

use super::common::{AnswerForm, StateArgument};
use super::completed_names;
use super::exit::Exit;
use super::lookups::moving_member;
use super::source::{ArrangementArguments, PinsKnown, SourceArguments};
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct FormulaArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    arrangement: ArrangementArguments,
    #[command(flatten)]
    only: StateArgument,
    /// The speed of this member as well, a planet's also against its carrier; may be repeated
    #[arg(add = completed_names::members(), long, value_name = "NAME", allow_hyphen_values = true)]
    member: Vec<String>,
    /// How formulas are written
    #[arg(long, value_enum, default_value_t)]
    notation: NotationArgument,
    #[command(flatten)]
    form: AnswerForm,
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
    let notation = match arguments.notation {
        NotationArgument::Text => Notation::Text,
        NotationArgument::Tex => Notation::Tex,
        NotationArgument::Mathml => Notation::MathMl,
    };
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_driven(&arguments.arrangement, PinsKnown::OrNot)?;
        let members = arguments.member.iter().map(|name| moving_member(&set, name)).collect::<Result<_, _>>()?;
        let question = FormulasQuestion { state: arguments.only.place(&set)?, members };
        let found = write_formulas(&set, &formulas(&set, &question), notation);
        Ok((set, found))
    })
}
