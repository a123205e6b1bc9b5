//! `toothmark teeth order`: the order in a form to print, or as any answer.

use std::path::PathBuf;

use clap::Args;
use toothmark::gearset::Gearset;
use toothmark::report::order_sheets;
use toothmark::requests::{AskedAbout, NoAnswer, OrderOptions, Question as _};

use crate::cli::common::{AnswerForm, PrintFormat};
use crate::cli::exit::Exit;
use crate::cli::output::Said;
use crate::cli::place::OutputPlaces;
use crate::cli::source::SourceArguments;
use crate::cli::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct OrderArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    question: OrderOptions,
    /// The form; without it text, and html where -o is given
    #[arg(long, value_enum)]
    format: Option<PrintFormat>,
    /// All sheets; html, csv and json always have them
    #[arg(long)]
    full: bool,
    /// The file for the order; without it the order goes to standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(super) fn order(arguments: &OrderArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.source.force, arguments.source.file());
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let usual = if arguments.output.is_some() { PrintFormat::Html } else { PrintFormat::Text };
    let format = arguments.format.unwrap_or(usual).of_answer();
    let form = format.map(|format| AnswerForm { format, full: arguments.full });
    let order = |about: &mut AskedAbout<'_>, file: Option<&str>| -> Result<(Gearset, Said), NoAnswer> {
        let (set, order) = arguments.question.ask(about)?;
        let said = Said::printed(&set, &order, form, || order_sheets(&set, &order), file)?;
        Ok((set, said))
    };
    match &arguments.output {
        None => arguments.source.say(order),
        Some(path) => {
            let said = arguments.source.say_alone("a file for an order", |about| order(about, None))?;
            said.write_to(places, path)
        }
    }
}
