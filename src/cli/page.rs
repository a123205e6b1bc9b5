//! `toothmark page`: gearsets that turn, as one page for a browser.
//!
//! The formulas and the worked solutions are those of the other subcommands, handed to the page as HTML. What
//! could not be drawn is told beside the file and by the exit code.

use std::path::PathBuf;

use clap::Args;
use toothmark::drawing::page::{self, Extra, PageSet};
use toothmark::formula::{FormulasQuestion, formulas};
use toothmark::gearset::Gearset;
use toothmark::quick::StackNames;
use toothmark::report::{Answer, Block, Document, Extent, Notation, html_fragment, write_formulas};

use super::completed_names;
use super::exit::Exit;
use super::explain::all_worked_out;
use super::output::{tell_done, write};
use super::place::{ForceArgument, OutputPlaces};
use super::source::{SizeArguments, gearset, gearsets};
use super::trouble::Trouble;
use super::waiting::at_work;

#[derive(Debug, Args)]
pub(super) struct PageArguments {
    /// Descriptions (RON), side by side on the page, "-" for standard input; or the gears on a pin: 30:24:78
    #[arg(add = completed_names::descriptions(), value_name = "FILE|SUN:PLANET:RING")]
    pub(super) what: Vec<PathBuf>,
    #[command(flatten)]
    sizes: SizeArguments,
    /// The file for the page; without it the page goes to standard output
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
}

pub(super) fn page(arguments: &PageArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.force, arguments.what.iter().map(PathBuf::as_path));
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let sets: Vec<Gearset> = gearsets(&arguments.what)
        .into_iter()
        .map(|one| gearset(one, &arguments.sizes, StackNames::ByCount))
        .collect::<Result<_, _>>()?;
    let page = at_work(|| {
        let sets: Vec<PageSet<'_>> = sets.iter().map(|set| PageSet { set, extras: extras(set) }).collect();
        page::page(&sets)
    });
    match &arguments.output {
        None => write(&page.html)?,
        Some(path) => {
            places.write(path, &page.html)?;
            let notes = page.remarks.iter().map(|remark| format!("note: {remark}"));
            tell_done(std::iter::once(path.display().to_string()).chain(notes))?;
        }
    }
    Ok(if page.remarks.is_empty() { Exit::Done } else { Exit::AnswerIsNo })
}

/// The formulas of all states, and below them the worked solution of the state that is shown.
fn extras(set: &Gearset) -> Vec<Extra> {
    if set.states().is_empty() {
        return Vec::new();
    }
    let formulas = Extra { heading: "Formulas".into(), html: formulas_html(set), state: None };
    let worked = all_worked_out(set).enumerate().map(|(place, document)| Extra {
        heading: "Worked out".into(),
        html: html_fragment(&document),
        state: Some(place),
    });
    std::iter::once(formulas).chain(worked).collect()
}

/// The formulas of all states as HTML, each set by the browser.
fn formulas_html(set: &Gearset) -> String {
    let written = write_formulas(set, &formulas(set, &FormulasQuestion::default()), Notation::MathMl);
    let document = written.document(set, Extent::Full);
    document.blocks.into_iter().map(|block| formula_block(&document.title, block)).collect()
}

/// A block as HTML; a formula in a box of its own, which breaks before a sign of equality where the screen is narrow,
/// and scrolls where one side alone is wider.
fn formula_block(title: &str, block: Block) -> String {
    let Block::Source { language: "mathml", text } = &block else {
        return html_fragment(&Document { title: title.to_owned(), blocks: vec![block] });
    };
    // In HTML the element is known by its name.
    let math = text.replacen(" xmlns=\"http://www.w3.org/1998/Math/MathML\"", "", 1);
    let math = math.replace("<mo>=</mo>", "</math>\n<math displaystyle=\"true\"><mo>=</mo>");
    format!("<div class=\"formula\" role=\"group\" aria-label=\"formula\" tabindex=\"0\">{math}</div>\n")
}
