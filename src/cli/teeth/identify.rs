//! `toothmark teeth identify`: which teeth these are, by what was measured of them.

use std::path::PathBuf;

use clap::Args;
use toothmark::exact::Fraction;
use toothmark::fit::{
    GearReading, Identification, IdentifyQuestion, KnownTeeth, MeasuredDistance, MeasuredGear, MeasuredMesh,
    ReadingMeasure,
};
use toothmark::gearset::Gearset;
use toothmark::quick::StackNames;
use toothmark::tooth::Teeth;

use super::reading::{self, MeasuredLength, ReadingOver};
use crate::cli::common::AnswerForm;
use crate::cli::completed_names;
use crate::cli::each::{DESCRIBED, ListArgument, Subjects};
use crate::cli::exit::Exit;
use crate::cli::source::{SizeArguments, gearset, pitch, titled};
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct IdentifyArguments {
    /// A description (RON) with readings of its gears, a built-in gearset by its name, or "-" for standard input; all of
    /// them are told together
    #[arg(add = completed_names::descriptions(), value_name = "FILE", group = DESCRIBED)]
    file: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    /// How many teeth the gear has, of which the readings are typed
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true, conflicts_with = DESCRIBED)]
    teeth: Option<u16>,
    /// The gear is a ring
    #[arg(long, requires = "teeth")]
    ring: bool,
    /// A caliper over so many teeth: 3=21.896, "3=0.862 in ± 0.001"; over one tooth more it tells the base pitch
    #[arg(long, value_name = "K=READING", value_parser = reading::span, allow_hyphen_values = true, requires = "teeth")]
    span: Vec<ReadingOver<u16>>,
    /// Over two pins of this diameter, in a ring between them: 4.5=86.21
    #[arg(long, value_name = "PIN=READING", value_parser = reading::pins, allow_hyphen_values = true, requires = "teeth")]
    pins: Vec<ReadingOver<f64>>,
    /// The diameter over the tips; of a ring the diameter inside them
    #[arg(long, visible_alias = "inside", value_name = "READING", value_parser = reading::reading, allow_hyphen_values = true, requires = "teeth")]
    outside: Vec<MeasuredLength>,
    /// The diameter at the roots
    #[arg(long, value_name = "READING", value_parser = reading::reading, allow_hyphen_values = true, requires = "teeth")]
    root: Vec<MeasuredLength>,
    /// How far its axis stands from that of its mate
    #[arg(long, alias = "centre-distance", value_name = "READING", value_parser = reading::reading, allow_hyphen_values = true, requires = "mate")]
    center_distance: Option<MeasuredLength>,
    /// The teeth of a gear that it meshes with: 30, or "ring 60"
    #[arg(long, value_name = "N", value_parser = mate, allow_hyphen_values = true, requires_all = ["teeth", "center_distance"])]
    mate: Option<Mate>,
    /// What readings are good to that do not say it themselves; a caliper 0.03 mm, a micrometer over pins 0.01 mm, a
    /// centre distance 0.02 mm where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = reading::within, allow_hyphen_values = true)]
    within: Option<f64>,
    /// Teeth of this module only, in millimetres
    #[arg(long, value_name = "MM", value_parser = values::module, conflicts_with = "dp", allow_hyphen_values = true)]
    module: Option<Fraction>,
    /// Teeth of this diametral pitch only, in teeth per inch of diameter
    #[arg(long, value_name = "N", value_parser = values::diametral_pitch, allow_hyphen_values = true)]
    dp: Option<Fraction>,
    /// Teeth of this pressure angle only, in degrees; 20 and 14.5 are tried where it is left out
    #[arg(long, value_name = "DEGREES", value_parser = reading::pressure_angle, allow_hyphen_values = true)]
    pressure_angle: Option<Fraction>,
    /// A size of pins at hand, to be thought of as the next measurement; may be repeated
    #[arg(long, value_name = "DIAMETER", value_parser = reading::pin, allow_hyphen_values = true)]
    pin_at_hand: Vec<f64>,
    #[command(flatten)]
    form: AnswerForm,
}

/// A gear in mesh with the measured one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Mate {
    teeth: Teeth,
    tooth_count: u16,
}

/// A tooth count from 1 to 10000.
fn count(text: &str) -> Result<u16, Refusal> {
    let hint = "count the teeth and write their number, up to 10000: --teeth 27";
    let refused = || Refusal::new(format!("{text:?} is not a tooth count"), hint);
    let count = values::tooth_count(text).and_then(|count| u16::try_from(count).ok());
    count.filter(|count| (1..=10_000).contains(count)).ok_or_else(refused)
}

/// `30`, `ring 60`.
fn mate(text: &str) -> Result<Mate, Refusal> {
    let of_ring = text.trim().strip_prefix("ring");
    let (teeth, number) = of_ring.map_or((Teeth::External, text), |number| (Teeth::Internal, number));
    Ok(Mate { teeth, tooth_count: count(number)? })
}

pub(super) fn identify(arguments: &IdentifyArguments) -> Result<Exit, Trouble> {
    let subjects = Subjects::of_files(&arguments.file, &arguments.list)?;
    subjects.answer(arguments.form, |words| answer(arguments, words))
}

fn answer(arguments: &IdentifyArguments, file: &[PathBuf]) -> Result<(Gearset, Identification), Trouble> {
    let (set, question) = match (file, arguments.teeth) {
        ([], Some(tooth_count)) => {
            let question = typed(arguments, tooth_count);
            (titled(title(&question)), question)
        }
        ([], None) => return Err(nothing_asked().into()),
        (file, _) => {
            let set = gearset(file, &SizeArguments::default(), StackNames::ByCount)?;
            let mut question = IdentifyQuestion::of_gearset(&set, known(arguments));
            question.pins_at_hand.clone_from(&arguments.pin_at_hand);
            say_within(&mut question, arguments.within);
            (set, question)
        }
    };
    let found = toothmark::fit::identify(&question).map_err(|reason| Trouble::new(&reason, reason.hint()))?;
    Ok((set, found))
}

/// Lets readings that do not say what they are good to be as good as is said for all.
fn say_within(question: &mut IdentifyQuestion, within: Option<f64>) {
    let readings = question.gears.iter_mut().flat_map(|gear| &mut gear.readings).map(|reading| &mut reading.within);
    let distances = question.meshes.iter_mut().filter_map(|mesh| mesh.distance.as_mut()).map(|read| &mut read.within);
    readings.chain(distances).for_each(|own| *own = own.or(within));
}

fn nothing_asked() -> Refusal {
    let hint = "count the teeth, and measure over some of them: --teeth 27 --span 3=21.896 --span 4=30.228; or name a \
                description with readings";
    Refusal::new("it is not said which gear is asked about", hint)
}

/// What the answer about one gear is headed with.
fn title(question: &IdentifyQuestion) -> String {
    let gear = &question.gears[0];
    let ring = if gear.teeth == Teeth::Internal { "A ring" } else { "A gear" };
    format!("{ring} of {} teeth, as measured", gear.tooth_count)
}

fn known(arguments: &IdentifyArguments) -> KnownTeeth {
    KnownTeeth {
        pitch: pitch(arguments.module.clone(), arguments.dp.clone()),
        pressure_angle: arguments.pressure_angle.clone(),
    }
}

/// What is typed of one gear.
fn typed(arguments: &IdentifyArguments, tooth_count: u16) -> IdentifyQuestion {
    let teeth = if arguments.ring { Teeth::Internal } else { Teeth::External };
    let gear = MeasuredGear { name: "the gear".into(), teeth, tooth_count, readings: readings(arguments) };
    let mate = arguments.mate.map(|mate| MeasuredGear {
        name: "its mate".into(),
        teeth: mate.teeth,
        tooth_count: mate.tooth_count,
        readings: Vec::new(),
    });
    let distance = arguments
        .center_distance
        .map(|read| MeasuredDistance { millimetres: read.millimetres, within: read.within.or(arguments.within) });
    let meshes = mate.iter().map(|_| MeasuredMesh { gears: [0, 1], distance }).collect();
    IdentifyQuestion {
        gears: [gear].into_iter().chain(mate).collect(),
        meshes,
        known: known(arguments),
        pins_at_hand: arguments.pin_at_hand.clone(),
        described: Vec::new(),
    }
}

fn readings(arguments: &IdentifyArguments) -> Vec<GearReading> {
    let spans = arguments.span.iter().map(|read| (ReadingMeasure::Span(read.over), read.reading));
    let pins = arguments.pins.iter().map(|read| (ReadingMeasure::Pins(read.over), read.reading));
    let tips = arguments.outside.iter().map(|read| (ReadingMeasure::TipDiameter, *read));
    let roots = arguments.root.iter().map(|read| (ReadingMeasure::RootDiameter, *read));
    let reading = |(measure, read): (ReadingMeasure, MeasuredLength)| GearReading {
        measure,
        millimetres: read.millimetres,
        within: read.within.or(arguments.within),
    };
    spans.chain(pins).chain(tips).chain(roots).map(reading).collect()
}
