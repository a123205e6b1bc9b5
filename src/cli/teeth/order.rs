//! `toothmark teeth order`: what whoever cuts the gears needs to know, a sheet a gear and a sheet a cluster.

use std::path::PathBuf;

use clap::Args;
use toothmark::fit::{BacklashLimits, OrderQuestion, TeethOrder};
use toothmark::gearset::{GearId, Gearset, Length};
use toothmark::report::order_sheets;

use super::reading;
use super::shifts::ShiftArguments;
use crate::cli::common::{AnswerForm, PrintFormat};
use crate::cli::completed_names;
use crate::cli::exit::Exit;
use crate::cli::lookups;
use crate::cli::output::Said;
use crate::cli::place::OutputPlaces;
use crate::cli::sizes;
use crate::cli::source::{OneSource, PinsKnown, SourceArguments};
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct OrderArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    shifts: ShiftArguments,
    /// Only these gears; may be repeated
    #[arg(add = completed_names::gears(), long, value_name = "GEAR", allow_hyphen_values = true)]
    gear: Vec<String>,
    /// Gears that are there and stay as they are: their mates take all the backlash; may be repeated, or L,D
    #[arg(add = completed_names::gears(), long, value_name = "GEAR,...", allow_hyphen_values = true)]
    keep: Vec<String>,
    /// The least and the most backlash of every mesh, along the pitch circle: 0.08..0.15, or "3..6 thou"
    #[arg(long, value_name = "LEAST..MOST", value_parser = backlash_limits, allow_hyphen_values = true)]
    backlash_limits: Option<BacklashLimits>,
    /// By how much the diameter over the tips may fall short; inside the tips of a ring, by how much it may be larger
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    tip_tolerance: Option<Length>,
    /// A size of pins at hand, such as 4.5mm; may be repeated, and usual sizes are taken where it is left out
    #[arg(long, value_name = "DIAMETER", value_parser = reading::pin, allow_hyphen_values = true)]
    pin: Vec<f64>,
    /// The measured cluster whose index new ones are to have; the first where it is left out
    #[arg(long, value_name = "CLUSTER", allow_hyphen_values = true)]
    like: Option<String>,
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

/// `0.08..0.15`, `3..6 thou`: a unit that stands at the end is that of both.
fn backlash_limits(text: &str) -> Result<BacklashLimits, Refusal> {
    let hint = "write the least and the most: 0.08..0.15 in millimetres, or \"3..6 thou\"";
    let limits =
        sizes::band(text).map_err(|_| Refusal::new(format!("{text:?} does not say two limits of backlash"), hint))?;
    let [least, most] = limits.map(|length| length.millimetres());
    Ok(BacklashLimits { least, most })
}

pub(super) fn order(arguments: &OrderArguments) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(arguments.source.force, arguments.source.file());
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let order = |one: &OneSource<'_>, file: Option<&str>| {
        let set = one.gearset_with(arguments.shifts.told(), PinsKnown::Needed)?;
        let question = question(&set, arguments)?;
        let order = toothmark::fit::order(&set, &question).map_err(|reason| Trouble::new(&reason, reason.hint()))?;
        in_its_form(&set, &order, arguments, file)
    };
    match &arguments.output {
        None => arguments.source.say(order),
        Some(path) => arguments.source.say_alone("a file for an order", order)?.write_to(places, path),
    }
}

fn question(set: &Gearset, arguments: &OrderArguments) -> Result<OrderQuestion, Refusal> {
    Ok(OrderQuestion {
        gears: gears(set, &arguments.gear)?,
        kept: gears(set, &arguments.keep)?,
        backlash: arguments.backlash_limits,
        tip_tolerance: arguments.tip_tolerance.as_ref().map(Length::millimetres).filter(|by| *by > 0.0),
        pins: arguments.pin.clone(),
        like: arguments.like.clone(),
        shifts: arguments.shifts.question(set)?,
    })
}

/// Gears by their names, between commas or one a text; a gear whose own name has a comma is taken as it is.
fn gears(set: &Gearset, texts: &[String]) -> Result<Vec<GearId>, Refusal> {
    let mut found = Vec::new();
    for text in texts {
        match lookups::gear(set, text) {
            Ok(gear) => found.push(gear),
            Err(_) => {
                for name in text.split(',') {
                    found.push(lookups::gear(set, name.trim())?);
                }
            }
        }
    }
    Ok(found)
}

fn in_its_form(
    set: &Gearset,
    order: &TeethOrder,
    arguments: &OrderArguments,
    file: Option<&str>,
) -> Result<Said, Trouble> {
    let usual = if arguments.output.is_some() { PrintFormat::Html } else { PrintFormat::Text };
    let format = arguments.format.unwrap_or(usual).of_answer();
    let form = format.map(|format| AnswerForm { format, full: arguments.full });
    Said::printed(set, order, form, || order_sheets(set, order), file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_of_backlash_are_two_lengths_of_one_unit() {
        let read =
            |text: &str| backlash_limits(text).map(|limits| [limits.least, limits.most].map(|it| (it * 1e6).round()));
        assert_eq!(read("0.08..0.15").ok(), Some([80_000.0, 150_000.0]));
        assert_eq!(read("0,08 .. 0,15 mm").ok(), Some([80_000.0, 150_000.0]));
        assert_eq!(read("3..6 thou").ok(), Some([76_200.0, 152_400.0]));
        assert_eq!(read("0.003in..0.15mm").ok(), Some([76_200.0, 150_000.0]));
        for text in ["", "0.08", "0.08-0.15", "..0.15", "0.08..", "-0.1..0.1", "a..b"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
