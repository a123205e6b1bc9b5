//! `toothmark new`: a first description, from questions on a terminal or from arguments.
//!
//! Nothing is written before everything is known and sound; who stops midway is told the command that goes on there.

mod answers;
mod interview;
mod written;

use std::io::{self, IsTerminal as _};
use std::path::PathBuf;

use clap::Args;
use toothmark::exact::Fraction;
use toothmark::gearset::{Gearset, Length, Pair};
use toothmark::inspection::remarks;
use toothmark::quick::{GearsetOutline, OutlineFault};
use toothmark::report::{Answer as _, Extent};

use self::answers::Answers;
use self::interview::interview;
use self::written::written;
use super::common::DocumentFormat;
use super::exit::Exit;
use super::output::{tell_done, write, write_document};
use super::place::{ForceArgument, OutputPlaces};
use super::source::pitch;
use super::trouble::{Refusal, Source, Trouble};
use super::values::{self, PinsOf};

#[derive(Debug, Default, Args)]
pub(super) struct NewArguments {
    /// The gears on a pin, each with the sun before and the ring behind it: 26:31 20:37 31:26
    #[arg(value_name = "SUN:PLANET:RING")]
    gears: Vec<String>,
    /// A second planet that meshes with the first gear, with its sun or ring: 28:19
    #[arg(long, value_name = "SUN:PLANET:RING")]
    short_pinion: Option<String>,
    /// How many pins, equally spaced, or their places in degrees: 3, or "0, 91.5, 180"
    #[arg(long, value_name = "PINS", value_parser = values::pins, allow_hyphen_values = true)]
    pins: Option<PinsOf>,
    /// The name of a member: "sun 20=low drum", "carrier=flywheel"; may be repeated
    #[arg(long, value_name = "MEMBER=NAME", value_parser = pair, allow_hyphen_values = true)]
    name: Vec<(String, String)>,
    /// The member that drives
    #[arg(long, value_name = "MEMBER", allow_hyphen_values = true)]
    input: Option<String>,
    /// The member that is driven
    #[arg(long, value_name = "MEMBER", allow_hyphen_values = true)]
    output: Option<String>,
    /// A band with the member that it holds: "low=sun 20"; may be repeated
    #[arg(long, value_name = "NAME=MEMBER", value_parser = pair, allow_hyphen_values = true)]
    band: Vec<(String, String)>,
    /// A clutch with the members that it couples: "direct=carrier,sun 26"; may be repeated
    #[arg(long, value_name = "NAME=MEMBER,MEMBER", value_parser = clutch, allow_hyphen_values = true)]
    clutch: Vec<(String, Pair<String>)>,
    /// The module of every mesh, in millimetres
    #[arg(long, value_name = "MM", value_parser = values::module, conflicts_with = "dp", allow_hyphen_values = true)]
    module: Option<Fraction>,
    /// The diametral pitch of every mesh, in teeth per inch of diameter
    #[arg(long, value_name = "N", value_parser = values::diametral_pitch, allow_hyphen_values = true)]
    dp: Option<Fraction>,
    /// The backlash of every mesh: 0.1mm or 0.004in
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    backlash: Option<Length>,
    /// What the gearset is
    #[arg(long, value_name = "TEXT", allow_hyphen_values = true)]
    title: Option<String>,
    /// Ask on the terminal for what is not told here
    #[arg(long)]
    ask: bool,
    /// The file for the description; without it the description goes to standard output
    #[arg(short = 'o', long, value_name = "FILE")]
    file: Option<PathBuf>,
    #[command(flatten)]
    force: ForceArgument,
}

pub(super) fn new(arguments: NewArguments) -> Result<Exit, Trouble> {
    let (force, file) = (arguments.force, arguments.file.clone());
    let mut places = OutputPlaces::new(force, None);
    file.as_deref().map(|path| places.check_file(path)).transpose()?;
    if arguments.ask || arguments.gears.is_empty() {
        if !(io::stdin().is_terminal() && io::stderr().is_terminal()) {
            return Err(no_terminal().into());
        }
        return interview(Answers::of(arguments), file.as_deref(), places);
    }
    let outline = outline(arguments)?;
    let set = gearset(&outline)?;
    match file {
        None => write(&written(&set))?,
        Some(path) => {
            places.write(&path, &written(&set))?;
            show(&set)?;
            tell_done([format!("The description is written to {}", path.display())])?;
        }
    }
    Ok(Exit::Done)
}

/// What was understood, in words.
fn show(set: &Gearset) -> Result<(), Trouble> {
    write_document(&remarks(set).document(set, Extent::Full), DocumentFormat::Text)
}

fn outline(arguments: NewArguments) -> Result<GearsetOutline, Refusal> {
    let NewArguments {
        gears, short_pinion, pins, name, input, output, band, clutch, module, dp, backlash, title, ..
    } = arguments;
    let pins = pins.map(|(_, pins)| pins).ok_or_else(|| {
        Refusal::new("it is not said how many pins there are", "add --pins 3, as many as there are, or --ask")
    })?;
    let has_controls = !band.is_empty() || !clutch.is_empty();
    if has_controls && (input.is_none() || output.is_none()) {
        let hint = "add --input and --output, such as --input carrier --output \"sun 26\"";
        return Err(Refusal::new("bands and clutches are told, but not what drives and what is driven", hint));
    }
    Ok(GearsetOutline {
        title,
        short_pinion,
        names: name,
        bands: band,
        clutches: clutch,
        input,
        output,
        pitch: pitch(module, dp),
        backlash,
        ..GearsetOutline::new(gears.join(" "), pins)
    })
}

/// The gearset of an outline, or what is wrong with it.
fn gearset(outline: &GearsetOutline) -> Result<Gearset, Trouble> {
    let draft = outline.draft().map_err(|fault| not_understood(outline, fault))?;
    Gearset::new(draft).map_err(|problems| {
        Trouble::Refused(problems.iter().map(|problem| Refusal::new(problem, problem.rule.hint())).collect())
    })
}

fn not_understood(outline: &GearsetOutline, fault: OutlineFault) -> Trouble {
    match fault {
        OutlineFault::Gears(faults) => Trouble::Faults { text: Source::typed(&outline.gears), faults },
        OutlineFault::ShortPinion(faults) => {
            Trouble::Faults { text: Source::typed(outline.short_pinion.as_deref().unwrap_or_default()), faults }
        }
        OutlineFault::Name(reason) => Trouble::new(&reason, reason.hint()),
        other => Trouble::new(other, "toothmark manual description tells how it is written by hand"),
    }
}

fn no_terminal() -> Refusal {
    let hint = "type what there is instead: toothmark new 26:31 20:37 31:26 --pins 3 --input carrier --output \"sun 26\" \
                --band \"low=sun 20\" -o mine.ron";
    Refusal::new("questions can be asked on a terminal only", hint)
}

/// `low=sun 20`.
fn pair(text: &str) -> Result<(String, String), Refusal> {
    let pair = values::name_and_value(text).filter(|(name, value)| !name.is_empty() && !value.is_empty());
    pair.map(|(name, value)| (name.to_owned(), value.to_owned())).ok_or_else(|| {
        Refusal::new(
            format!("{text:?} is not a name with its member"),
            "write both with = between, such as \"low=sun 20\"",
        )
    })
}

/// `direct=carrier,sun 26`.
fn clutch(text: &str) -> Result<(String, Pair<String>), Refusal> {
    let read = || {
        let (name, members) = values::name_and_value(text).filter(|(name, _)| !name.is_empty())?;
        let (first, second) = members.split_once(',')?;
        Some((name.to_owned(), Pair::of(first.trim(), second.trim())))
    };
    read().ok_or_else(|| {
        let hint = "write its name and the two members that it couples, such as \"direct=carrier,sun 26\"";
        Refusal::new(format!("{text:?} is not a clutch"), hint)
    })
}
