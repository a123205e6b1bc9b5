//! `toothmark bench clutch`: what to turn at the fingers, what the spring does, whether the pack is in order and holds.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;
use toothmark::bench::{self, ClutchQuestion, FingersQuestion, PlatesQuestion, SpringQuestion, SpringReading};
use toothmark::exact::to_float;
use toothmark::gearset::{ControlId, Gearset, Length};
use toothmark::statics::InputTorque;

use crate::cli::common::AnswerForm;
use crate::cli::completed_names;
use crate::cli::exit::Exit;
use crate::cli::output::answer;
use crate::cli::sizes;
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct ClutchArguments {
    /// A description (RON) whose clutch has plates with their sizes, or a built-in gearset by its name
    #[arg(add = completed_names::descriptions(), value_name = "FILE")]
    file: Option<PathBuf>,
    /// The gap at every finger: 20.9,21.4,20.6
    #[arg(long, value_name = "LENGTH,...", value_parser = lengths, allow_hyphen_values = true)]
    finger: Option<TypedLengths>,
    /// The gap that is wanted; all are brought to their mean where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "finger")]
    wanted: Option<Length>,
    /// The pitch of the thread of the finger screws: 1.27 of 20 threads to an inch
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "finger")]
    pitch: Option<Length>,
    /// By how much the gap changes for each millimetre that a screw goes in; 1 where it is left out
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true, requires = "finger")]
    lever: Option<f64>,
    /// How far a gap may be off; 0.1 mm where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "finger")]
    within: Option<Length>,
    /// The spring at two lengths, each with its force: 60=900,45=1800 (millimetres and newtons, or "2in=200lbf")
    #[arg(long, value_name = "LENGTH=FORCE,...", value_parser = spring, allow_hyphen_values = true)]
    spring: Option<[SpringReading; 2]>,
    /// The length at which the spring works
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "spring")]
    working: Option<Length>,
    /// The thickness of its wire
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "spring")]
    wire: Option<Length>,
    /// The diameter of its coils in the middle of the wire
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true, requires = "spring")]
    coil: Option<Length>,
    /// How many of its coils spring
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true, requires = "spring")]
    coils: Option<f64>,
    /// How many coils it has with those at its ends; two more than spring where it is left out
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true, requires = "spring")]
    all_coils: Option<f64>,
    /// How many times the force of the spring presses on the plates; 1 where nothing is between them. With it the spring
    /// counts in place of the force in the description
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true, requires = "working")]
    spring_lever: Option<f64>,
    /// The part of that which friction takes
    #[arg(long, value_name = "PART", value_parser = plain, allow_hyphen_values = true, requires = "spring_lever")]
    lost: Option<f64>,
    /// The kinds of the discs in their order: steel,lined,steel,lined; or a letter each: SLSLS
    #[arg(long, value_name = "KIND,...", value_parser = pack)]
    pack: Option<TypedPack>,
    /// Which clutch of the description; the only one with plates where it is left out
    #[arg(long, value_name = "NAME", requires = "file", allow_hyphen_values = true)]
    clutch: Option<String>,
    /// The torque on the input that the plates have to hold: "80 N m" or "60 lb ft"
    #[arg(long, value_name = "TORQUE", value_parser = values::torque, allow_hyphen_values = true, requires = "file")]
    torque: Option<InputTorque>,
    #[command(flatten)]
    form: AnswerForm,
}

/// Lengths of a list, in millimetres.
#[derive(Debug, Clone)]
struct TypedLengths(Vec<f64>);

/// The kinds of discs in their order.
#[derive(Debug, Clone)]
struct TypedPack(Vec<String>);

fn lengths(text: &str) -> Result<TypedLengths, Refusal> {
    Ok(TypedLengths(sizes::lengths(text)?.iter().map(Length::millimetres).collect()))
}

fn plain(text: &str) -> Result<f64, Refusal> {
    values::number(text, "a number", "write a number, such as 1 or 4.5", &[]).map(|number| to_float(&number))
}

fn spring(text: &str) -> Result<[SpringReading; 2], Refusal> {
    let hint = "write two lengths, each with its force: --spring 60=900,45=1800, or \"2.4in=200lbf, 1.8in=400lbf\"";
    let not_one = || Refusal::new(format!("{text:?} is not a spring at two lengths"), hint);
    let sign = if text.contains(';') { ';' } else { ',' };
    let read = |reading: &str| {
        let (length, newtons) = values::name_and_value(reading).ok_or_else(not_one)?;
        Ok(SpringReading { mm: values::length(length)?.millimetres(), newtons: sizes::newtons(newtons)? })
    };
    let read: Vec<SpringReading> = text.split(sign).map(read).collect::<Result<_, Refusal>>()?;
    <[SpringReading; 2]>::try_from(read).map_err(|_| not_one())
}

fn pack(text: &str) -> Result<TypedPack, Refusal> {
    let words: Vec<String> =
        text.split([',', ';', ' ', '-']).filter(|word| !word.is_empty()).map(str::to_lowercase).collect();
    match &words[..] {
        [] => Err(Refusal::new("no disc of the pack is named", "write their kinds in order: --pack steel,lined,steel")),
        // A letter a disc, of the two kinds that there are.
        [letters] if letters.chars().collect::<BTreeSet<char>>().len() <= 2 => {
            Ok(TypedPack(letters.chars().map(String::from).collect()))
        }
        _ => Ok(TypedPack(words)),
    }
}

pub(super) fn clutch(arguments: &ClutchArguments) -> Result<Exit, Trouble> {
    let described = arguments.file.as_deref().map(super::described).transpose()?.map(|source| source.set);
    let plates = described.as_ref().map(|set| plates(set, arguments)).transpose()?;
    let question = ClutchQuestion {
        fingers: fingers(arguments)?,
        spring: arguments.spring.map(|readings| spring_question(arguments, readings)),
        pack: arguments.pack.as_ref().map(|pack| pack.0.clone()).unwrap_or_default(),
        plates,
    };
    let found = bench::clutch(described.as_ref(), &question).map_err(|reasons| {
        Trouble::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    let set = described.unwrap_or_else(|| super::titled("The clutch"));
    answer(&set, &found, arguments.form)
}

fn fingers(arguments: &ClutchArguments) -> Result<Option<FingersQuestion>, Refusal> {
    let Some(TypedLengths(gaps_mm)) = &arguments.finger else { return Ok(None) };
    let pitch = arguments.pitch.as_ref().ok_or_else(|| {
        Refusal::new(
            "the pitch of the finger screws is not given",
            "add --pitch 1.27, or \"1/20 in\": the pitch is an inch over the threads to an inch",
        )
    })?;
    Ok(Some(FingersQuestion {
        gaps_mm: gaps_mm.clone(),
        wanted_mm: arguments.wanted.as_ref().map(Length::millimetres),
        pitch_mm: pitch.millimetres(),
        lever: arguments.lever,
        within_mm: arguments.within.as_ref().map(Length::millimetres),
    }))
}

fn spring_question(arguments: &ClutchArguments, readings: [SpringReading; 2]) -> SpringQuestion {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    SpringQuestion {
        readings,
        working_mm: mm(&arguments.working),
        wire_mm: mm(&arguments.wire),
        coil_mm: mm(&arguments.coil),
        coils: arguments.coils,
        all_coils: arguments.all_coils,
        lever: arguments.spring_lever,
        lost: arguments.lost,
    }
}

/// The clutch that is named, or the only one with plates.
fn plates(set: &Gearset, arguments: &ClutchArguments) -> Result<PlatesQuestion, Refusal> {
    let with_plates: Vec<ControlId> =
        set.control_ids().filter(|&control| set.control(control).plate_sizes().is_some()).collect();
    let names: Vec<&str> = with_plates.iter().map(|&control| set.control(control).name()).collect();
    let control = match (&arguments.clutch, &with_plates[..]) {
        (Some(name), _) => with_plates.iter().copied().find(|&control| set.control(control).name() == name),
        (None, &[only]) => Some(only),
        (None, []) => {
            return Err(Refusal::new(
                "the description has no clutch with sizes of its plates",
                "write them behind its members: Clutch(\"sun\", \"carrier\", (faces: 8, friction: \"0.1\", outer_radius: \
                 Millimetres(60), inner_radius: Millimetres(45), force: Newtons(1500)))",
            ));
        }
        (None, _) => {
            let hint = format!("add --clutch; the clutches are {}", names.join(", "));
            return Err(Refusal::new("it is not said which clutch is asked about", hint));
        }
    };
    let unknown = || Refusal::unknown("clutch", arguments.clutch.as_deref().unwrap_or_default(), &names);
    Ok(PlatesQuestion { control: control.ok_or_else(unknown)?, torque: arguments.torque.clone() })
}
