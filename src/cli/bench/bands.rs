//! `toothmark bench bands`: travel, lining and gap of bands, and whether they hold.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::bench::{self, BandQuestion, BandSettings, BandsQuestion};
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Action, Angle, BandSizes, ControlId, Force, Gearset, Length};
use toothmark::statics::InputTorque;

use super::BenchSource;
use crate::cli::common::AnswerForm;
use crate::cli::completed_names;
use crate::cli::each::{DESCRIBED, ListArgument, Subjects};
use crate::cli::exit::Exit;
use crate::cli::sizes;
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct BandsArguments {
    /// A description (RON), a built-in gearset by its name, or the record of a job; all of its bands are told, and sizes
    /// that are typed win over its own
    #[arg(add = completed_names::descriptions(), value_name = "FILE", group = DESCRIBED)]
    file: Vec<PathBuf>,
    #[command(flatten)]
    list: ListArgument,
    /// Only this band of the description
    #[arg(long, value_name = "NAME", requires = DESCRIBED, allow_hyphen_values = true)]
    band: Option<String>,
    /// How far the band lies round its drum, in degrees
    #[arg(long, value_name = "DEGREES", value_parser = degrees, allow_hyphen_values = true)]
    wrap: Option<Fraction>,
    /// The diameter of the drum
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    drum: Option<Length>,
    /// The thickness of the lining
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    lining: Option<Length>,
    /// The gap between lining and drum, released
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    gap: Option<Length>,
    /// How much thinner the lining gets; 0.1 mm where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    wear: Option<Length>,
    /// What a dial on the drum shows over a turn
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    run_out: Option<Length>,
    /// The coefficient of friction
    #[arg(long, value_name = "N", value_parser = friction, allow_hyphen_values = true)]
    friction: Option<Fraction>,
    /// The force on the end that is worked: "600 N", "130 lbf"
    #[arg(long, value_name = "FORCE", value_parser = pull, allow_hyphen_values = true)]
    pull: Option<Fraction>,
    /// The torque on the input that the bands have to hold: "80 N m" or "60 lb ft"
    #[arg(long, value_name = "TORQUE", value_parser = values::torque, allow_hyphen_values = true, requires = DESCRIBED)]
    torque: Option<InputTorque>,
    #[command(flatten)]
    form: AnswerForm,
}

fn degrees(text: &str) -> Result<Fraction, Refusal> {
    values::number(text, "a wrap", "write degrees, such as --wrap 330", &["°", "deg", "degree", "degrees"])
}

fn friction(text: &str) -> Result<Fraction, Refusal> {
    values::number(text, "a coefficient of friction", "write a number such as 0.12", &[])
}

fn pull(text: &str) -> Result<Fraction, Refusal> {
    let newtons = Fraction::from_float(sizes::newtons(text)?);
    newtons.ok_or_else(|| Refusal::new(format!("{text:?} is not a force"), "write a force such as \"600 N\""))
}

pub(super) fn bands(arguments: &BandsArguments) -> Result<Exit, Trouble> {
    let subjects = Subjects::of_files(&arguments.file, &arguments.list)?;
    subjects.answer(arguments.form, |words| answer(arguments, words.first().map(PathBuf::as_path)))
}

fn answer(arguments: &BandsArguments, file: Option<&Path>) -> Result<(Gearset, BandSettings), Trouble> {
    let described = file.map(super::described).transpose()?;
    let mut question = if let Some(BenchSource { set, job }) = &described {
        let only = arguments.band.as_deref().map(|name| band(set, name)).transpose()?;
        job.as_ref().map_or_else(|| BandsQuestion::of_gearset(set, only), |job| job.bands_question(only))
    } else {
        let band = BandQuestion { name: BandQuestion::WITHOUT_NAME.into(), ..BandQuestion::default() };
        BandsQuestion { bands: vec![band], torque: None }
    };
    question.torque.clone_from(&arguments.torque);
    for band in &mut question.bands {
        tell(arguments, band);
    }
    let described = described.map(|source| source.set);
    let found = bench::bands(described.as_ref(), &question).map_err(|reasons| {
        Trouble::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    let set = described.unwrap_or_else(|| super::titled("The band"));
    Ok((set, found))
}

/// What the arguments say of a band, which wins over what a file says of it.
fn tell(arguments: &BandsArguments, band: &mut BandQuestion) {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    let BandSizes { wrap, radius, friction, pull, .. } = &mut band.sizes;
    if let Some(typed) = &arguments.wrap {
        *wrap = Some(Angle::Degrees(typed.clone()).into());
    }
    if let Some(drum) = &arguments.drum {
        *radius = Some(Length::Millimetres(drum.exact_millimetres() / fraction(2, 1)).into());
    }
    if let Some(typed) = &arguments.friction {
        *friction = Some(typed.clone().into());
    }
    if let Some(newtons) = &arguments.pull {
        *pull = Some(Force::Newtons(newtons.clone()).into());
    }
    // What is typed now was measured after what the record of a job says.
    band.lining_mm = mm(&arguments.lining).or(band.lining_mm);
    band.gap_mm = mm(&arguments.gap).or(band.gap_mm);
    band.wear_mm = mm(&arguments.wear).or(band.wear_mm);
    band.run_out_mm = mm(&arguments.run_out).or(band.run_out_mm);
}

/// The band of this name.
fn band(set: &Gearset, name: &str) -> Result<ControlId, Refusal> {
    let bands = || set.control_ids().filter(|&control| matches!(set.control(control).action(), Action::Band(_)));
    let known: Vec<&str> = bands().map(|control| set.control(control).name()).collect();
    bands().find(|&control| set.control(control).name() == name).ok_or_else(|| Refusal::unknown("band", name, &known))
}
