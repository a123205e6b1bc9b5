//! `toothmark bench clutch`: what to turn at the fingers, what the spring does, whether the pack is in order and holds.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::bench::{
    self, ClutchQuestion, ClutchSetting, FingersQuestion, PlatesQuestion, SpringQuestion, SpringReading,
};
use toothmark::exact::to_float;
use toothmark::gearset::{ControlId, Gearset, Length};
use toothmark::statics::InputTorque;

use crate::cli::common::AnswerForm;
use crate::cli::completed_names;
use crate::cli::each::{DESCRIBED, ListArgument, Subjects};
use crate::cli::exit::Exit;
use crate::cli::sizes;
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct ClutchArguments {
    /// A description (RON) whose clutch has plates with their sizes, or a built-in gearset by its name; or a job, whose
    /// record has fingers, a spring at two lengths and a pack
    #[arg(add = completed_names::descriptions(), value_name = "FILE", group = DESCRIBED)]
    file: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    /// The gap at every finger: 20.9,21.4,20.6
    #[arg(long, value_name = "LENGTH,...", value_parser = lengths, allow_hyphen_values = true)]
    finger: Option<TypedLengths>,
    /// The gap that is wanted; all are brought to their mean where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    wanted: Option<Length>,
    /// The pitch of the thread of the finger screws: 1.27 of 20 threads to an inch; without it no turns are told
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    pitch: Option<Length>,
    /// By how much the gap changes for each millimetre that a screw goes in; 1 where it is left out
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true)]
    lever: Option<f64>,
    /// How far a gap may be off; 0.1 mm where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    within: Option<Length>,
    /// The spring at two lengths, each with its force: 60=900,45=1800 (millimetres and newtons, or "2in=200lbf")
    #[arg(long, value_name = "LENGTH=FORCE,...", value_parser = spring, allow_hyphen_values = true)]
    spring: Option<[SpringReading; 2]>,
    /// The length at which the spring works
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    working: Option<Length>,
    /// The thickness of its wire
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    wire: Option<Length>,
    /// The diameter of its coils in the middle of the wire
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    coil: Option<Length>,
    /// How many of its coils spring
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true)]
    coils: Option<f64>,
    /// How many coils it has with those at its ends; two more than spring where it is left out
    #[arg(long, value_name = "N", value_parser = plain, allow_hyphen_values = true)]
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
    #[arg(long, value_name = "NAME", requires = DESCRIBED, allow_hyphen_values = true)]
    clutch: Option<String>,
    /// The torque on the input that the plates have to hold: "80 N m" or "60 lb ft"
    #[arg(long, value_name = "TORQUE", value_parser = values::torque, allow_hyphen_values = true, requires = DESCRIBED)]
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
    let discs = bench::discs_as_typed(text);
    if discs.is_empty() {
        let hint = "write their kinds in order: --pack steel,lined,steel";
        return Err(Refusal::new("no disc of the pack is named", hint));
    }
    Ok(TypedPack(discs))
}

pub(super) fn clutch(arguments: &ClutchArguments) -> Result<Exit, Trouble> {
    let subjects = Subjects::of_files(&arguments.file, &arguments.list)?;
    subjects.answer(arguments.form, |words| answer(arguments, words.first().map(PathBuf::as_path)))
}

fn answer(arguments: &ClutchArguments, file: Option<&Path>) -> Result<(Gearset, ClutchSetting), Trouble> {
    let source = file.map(super::described).transpose()?;
    let job = source.as_ref().and_then(|source| source.job.as_ref());
    let recorded = job.map(|job| job.clutch_question(arguments.clutch.as_deref())).transpose();
    let recorded = recorded.map_err(|reason| {
        Refusal::new(reason, "give them here, --finger and --wanted, or enter one gap: \"finger.1.wanted=20.64\"")
    })?;
    let recorded = recorded.unwrap_or_default();
    let described = source.as_ref().map(|source| &source.set);
    let question = ClutchQuestion {
        fingers: fingers(arguments, recorded.fingers)?,
        spring: spring_question(arguments, recorded.spring)?,
        pack: arguments.pack.as_ref().map(|pack| pack.0.clone()).unwrap_or(recorded.pack),
        plates: None,
    };
    // A job may be about the rest of its clutch alone.
    let of_job = job.and(Some(&question));
    let plates = described.map(|set| plates(set, arguments, of_job)).transpose()?.flatten();
    let found = bench::clutch(described, &ClutchQuestion { plates, ..question }).map_err(|reasons| {
        Trouble::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    let set = source.map_or_else(|| super::titled("The clutch"), |source| source.set);
    Ok((set, found))
}

/// The fingers as they are typed, or as a job has them; what is typed of them counts in either case.
fn fingers(arguments: &ClutchArguments, recorded: Option<FingersQuestion>) -> Result<Option<FingersQuestion>, Refusal> {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    let ClutchArguments { wanted, pitch, lever, within, .. } = arguments;
    let typed = arguments.finger.as_ref();
    let typed = typed.map(|gaps| FingersQuestion { gaps_mm: gaps.0.clone(), ..FingersQuestion::default() });
    let Some(fingers) = typed.or(recorded) else {
        let is_told = wanted.is_some() || pitch.is_some() || lever.is_some() || within.is_some();
        let hint = "add --finger 20.9,21.4,20.6, the gap at every finger";
        return if is_told { Err(Refusal::new("the gaps at the fingers are not given", hint)) } else { Ok(None) };
    };
    Ok(Some(FingersQuestion {
        wanted_mm: mm(wanted).or(fingers.wanted_mm),
        pitch_mm: mm(pitch),
        lever: *lever,
        within_mm: mm(within).or(fingers.within_mm),
        ..fingers
    }))
}

/// The spring as it is typed, or as a job has it.
fn spring_question(
    arguments: &ClutchArguments,
    recorded: Option<SpringQuestion>,
) -> Result<Option<SpringQuestion>, Refusal> {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    let ClutchArguments { working, wire, coil, coils, all_coils, spring_lever, lost, .. } = arguments;
    let readings = arguments.spring.or_else(|| recorded.map(|spring| spring.readings));
    let lengths = [working, wire, coil].map(mm);
    let Some(readings) = readings else {
        let is_told = lengths.iter().any(Option::is_some) || coils.is_some() || all_coils.is_some();
        let hint = "add --spring 60=900,45=1800, two lengths with the force at each; a job has them as spring.main and \
                    spring force.main with two values each";
        return if is_told { Err(Refusal::new("the spring is not given", hint)) } else { Ok(None) };
    };
    let [working_mm, wire_mm, coil_mm] = lengths;
    Ok(Some(SpringQuestion {
        readings,
        working_mm,
        wire_mm,
        coil_mm,
        coils: *coils,
        all_coils: *all_coils,
        lever: *spring_lever,
        lost: *lost,
    }))
}

/// The clutch that is named, or the only one with plates; none where there is none and enough else is told.
fn plates(
    set: &Gearset,
    arguments: &ClutchArguments,
    of_job: Option<&ClutchQuestion>,
) -> Result<Option<PlatesQuestion>, Refusal> {
    let is_told = of_job.is_some_and(|question| *question != ClutchQuestion::default());
    let with_plates: Vec<ControlId> =
        set.control_ids().filter(|&control| set.control(control).plate_sizes().is_some()).collect();
    let names: Vec<&str> = with_plates.iter().map(|&control| set.control(control).name()).collect();
    let control = match (&arguments.clutch, &with_plates[..]) {
        (_, []) if is_told && arguments.torque.is_none() => return Ok(None),
        (Some(name), _) => with_plates.iter().copied().find(|&control| set.control(control).name() == name),
        (None, &[only]) => Some(only),
        (None, []) if of_job.is_some() && arguments.torque.is_none() => {
            let hint = "enter what was read, toothmark job set FILE \"finger.1.left=20.9\", or \"pack.direct \
                        clutch.left=SLSLS\"; or give it here with --finger, --spring or --pack";
            return Err(Refusal::new("the job has no reading of fingers, a spring at two lengths or a pack", hint));
        }
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
    Ok(Some(PlatesQuestion { control: control.ok_or_else(unknown)?, torque: arguments.torque.clone() }))
}
