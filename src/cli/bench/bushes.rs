//! `toothmark bench bushes`: whether bushes are good, and what to bore them to.

use std::path::PathBuf;

use clap::Args;
use toothmark::bench::{BushQuestion, BushesQuestion, ExactReading, MeasuredDiameter, PressedBush, bush_fits};
use toothmark::exact::to_float;
use toothmark::gearset::{BushMaterial, Length};

use super::BenchSource;
use crate::cli::common::AnswerForm;
use crate::cli::completed_names;
use crate::cli::exit::Exit;
use crate::cli::output::answer;
use crate::cli::sizes::{self, OfName, told_of};
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct BushesArguments {
    /// A description (RON) whose bearings have bore and shaft, or "-" for standard input; all of them are told
    #[arg(add = completed_names::descriptions(), value_name = "FILE")]
    file: Option<PathBuf>,
    /// The bore, of one of several bushes by its name: 16.02, "pin 2=16.02"; at up to three places along it
    /// 16.02,16.03,16.02; two ways across a place 16.02x16.04
    #[arg(long, value_name = "[BUSH=]LENGTH,...", value_parser = places, allow_hyphen_values = true)]
    bore: Vec<OfName<Vec<MeasuredDiameter>>>,
    /// The shaft or pin in it, at one place or at as many as the bore
    #[arg(long, value_name = "[BUSH=]LENGTH,...", value_parser = places, allow_hyphen_values = true)]
    shaft: Vec<OfName<Vec<MeasuredDiameter>>>,
    /// The clearance that is allowed, on the diameter: 0.02..0.06
    #[arg(long, value_name = "[BUSH=]LEAST..MOST", value_parser = band, allow_hyphen_values = true)]
    allowed: Vec<OfName<[Length; 2]>>,
    /// The outside diameter of a bush that is pressed in
    #[arg(long, value_name = "[BUSH=]LENGTH", value_parser = one, allow_hyphen_values = true)]
    bush_outside: Vec<OfName<Length>>,
    /// By how much it is larger than its hole, on the diameter
    #[arg(long, value_name = "[BUSH=]LENGTH", value_parser = one, allow_hyphen_values = true)]
    interference: Vec<OfName<Length>>,
    /// The outside diameter of what it is pressed into; of a gear that at the roots
    #[arg(long, value_name = "[BUSH=]LENGTH", value_parser = one, allow_hyphen_values = true)]
    housing: Vec<OfName<Length>>,
    /// What the bush is made of: bronze, brass, steel, "cast iron" or aluminium
    #[arg(long, value_name = "[BUSH=]MATERIAL", value_parser = material)]
    of: Vec<OfName<BushMaterial>>,
    /// What it is pressed into
    #[arg(long, value_name = "[BUSH=]MATERIAL", value_parser = material)]
    into: Vec<OfName<BushMaterial>>,
    /// What the shaft is made of; steel where it is left out
    #[arg(long, value_name = "[BUSH=]MATERIAL", value_parser = material)]
    shaft_of: Vec<OfName<BushMaterial>>,
    /// By how many kelvin (degrees Celsius) it is warmer in service
    #[arg(long, value_name = "KELVIN", value_parser = kelvin, allow_hyphen_values = true)]
    hot: Option<f64>,
    /// By how many kelvin the shaft is warmer still
    #[arg(long, value_name = "KELVIN", value_parser = kelvin, allow_hyphen_values = true, requires = "hot")]
    shaft_hotter: Option<f64>,
    /// What each reading is good to; 0.01 mm where it is left out
    #[arg(long, value_name = "LENGTH", value_parser = values::length, allow_hyphen_values = true)]
    within: Option<Length>,
    #[command(flatten)]
    form: AnswerForm,
}

/// Diameters between commas, a place each, two ways across with an x between.
fn places(text: &str) -> Result<OfName<Vec<MeasuredDiameter>>, Refusal> {
    sizes::named(text, |text| {
        // The list tells units and decimal commas apart; what stands across is read in the same way.
        let lists = text.replace('×', "x").to_lowercase();
        let sign = if lists.contains(';') { ';' } else { ',' };
        let ways: Vec<usize> = lists.split(sign).map(|place| place.matches('x').count()).collect();
        if ways.iter().any(|&ways| ways > 1) {
            return Err(Refusal::new(
                format!("{text:?} has more than two ways across at a place"),
                "write the widest and the narrowest: 16.02x16.04",
            ));
        }
        let separator = sign.to_string();
        let mut read = sizes::lengths(&lists.replace('x', &separator))?.into_iter().map(|length| length.millimetres());
        let place = |ways: usize| {
            Some(MeasuredDiameter { mm: read.next()?, across_mm: if ways > 0 { read.next() } else { None } })
        };
        Ok(ways.into_iter().filter_map(place).collect())
    })
}

fn one(text: &str) -> Result<OfName<Length>, Refusal> {
    sizes::named(text, |text| sizes::reading(text).map(|ExactReading { length, .. }| length))
}

fn band(text: &str) -> Result<OfName<[Length; 2]>, Refusal> {
    sizes::named(text, sizes::band)
}

fn kelvin(text: &str) -> Result<f64, Refusal> {
    let hint = "write by how many kelvin, which are degrees Celsius: --hot 80";
    values::number(text, "a difference of temperature", hint, &["k", "kelvin", "c", "°c"])
        .map(|number| to_float(&number))
}

fn material(text: &str) -> Result<OfName<BushMaterial>, Refusal> {
    sizes::named(text, |text| {
        let plain = |name: &str| name.to_lowercase().replace(['-', '_', ' '], "");
        let typed = match plain(text).as_str() {
            "iron" => "castiron".to_owned(),
            "aluminum" => "aluminium".to_owned(),
            other => other.to_owned(),
        };
        let known = BushMaterial::ALL.map(BushMaterial::name);
        BushMaterial::ALL
            .into_iter()
            .find(|material| plain(material.name()) == typed)
            .ok_or_else(|| Refusal::unknown("material", text, &known))
    })
}

pub(super) fn bushes(arguments: &BushesArguments) -> Result<Exit, Trouble> {
    let (set, mut question) = match &arguments.file {
        Some(file) => {
            let BenchSource { set, job } = super::described(file)?;
            let question = job.map_or_else(|| BushesQuestion::of_gearset(&set), |job| job.bushes_question());
            (set, question)
        }
        None => (super::titled("Bushes"), BushesQuestion::default()),
    };
    question.bushes.extend(typed(arguments)?);
    question.hot_kelvin = arguments.hot;
    question.shaft_hotter_kelvin = arguments.shaft_hotter.unwrap_or(0.0);
    if let Some(within) = &arguments.within {
        question.bushes.iter_mut().for_each(|bush| bush.within_mm = Some(within.millimetres()));
    }
    let found = bush_fits(&question).map_err(|reasons| {
        Trouble::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    answer(&set, &found, arguments.form)
}

/// The bushes of the arguments: each bore with what is told of the same name, or of none.
fn typed(arguments: &BushesArguments) -> Result<Vec<BushQuestion>, Trouble> {
    let (found, wrong): (Vec<_>, Vec<_>) =
        arguments.bore.iter().map(|bore| bush(arguments, bore)).partition(Result::is_ok);
    let mut wrong: Vec<Refusal> = wrong.into_iter().filter_map(Result::err).collect();
    let known: Vec<&str> = arguments.bore.iter().filter_map(|bore| bore.name.as_deref()).collect();
    wrong.extend(names(arguments).into_iter().filter(|name| !known.contains(name)).map(|name| {
        let hint = format!("give its bore as well, such as --bore \"{name}=16.02\"");
        Refusal::new(format!("there is no bore of the bush {name:?}"), hint)
    }));
    if arguments.bore.is_empty() && wrong.is_empty() && !arguments.shaft.is_empty() {
        wrong.push(Refusal::new("there is a shaft, but no bore", "give the bore as well, such as --bore 16.02"));
    }
    if wrong.is_empty() { Ok(found.into_iter().filter_map(Result::ok).collect()) } else { Err(Trouble::Refused(wrong)) }
}

/// Every name that something but a bore is told of.
fn names(arguments: &BushesArguments) -> Vec<&str> {
    fn of<T>(told: &[OfName<T>]) -> impl Iterator<Item = &str> {
        told.iter().filter_map(|it| it.name.as_deref())
    }
    let lengths = [&arguments.bush_outside, &arguments.interference, &arguments.housing];
    let materials = [&arguments.of, &arguments.into, &arguments.shaft_of];
    of(&arguments.shaft)
        .chain(of(&arguments.allowed))
        .chain(lengths.into_iter().flat_map(|told| of(told)))
        .chain(materials.into_iter().flat_map(|told| of(told)))
        .collect()
}

fn bush(arguments: &BushesArguments, bore: &OfName<Vec<MeasuredDiameter>>) -> Result<BushQuestion, Refusal> {
    let name = bore.name.as_deref();
    let called = name.unwrap_or("the bush");
    let shaft = told_of(&arguments.shaft, name).ok_or_else(|| {
        Refusal::new(format!("there is no shaft for {called}"), "give the shaft as well, such as --shaft 15.97")
    })?;
    Ok(BushQuestion {
        name: name.unwrap_or("the shaft").to_owned(),
        bore: bore.value.clone(),
        shaft: shaft.clone(),
        allowed_mm: told_of(&arguments.allowed, name).map(|band| band.each_ref().map(Length::millimetres)),
        pressed: pressed(arguments, name)?,
        shaft_of: told_of(&arguments.shaft_of, name).copied(),
        within_mm: None,
    })
}

/// How a bush is pressed in, which takes its outside, its interference and its housing.
fn pressed(arguments: &BushesArguments, name: Option<&str>) -> Result<Option<PressedBush>, Refusal> {
    let [outside, interference, housing] =
        [&arguments.bush_outside, &arguments.interference, &arguments.housing].map(|told| told_of(told, name));
    let mm = |length: &Length| length.millimetres();
    match (outside, interference, housing) {
        (None, None, None) => Ok(None),
        (Some(outside), Some(interference), Some(housing)) => Ok(Some(PressedBush {
            outside_mm: mm(outside),
            interference_mm: mm(interference),
            housing_mm: mm(housing),
            of: told_of(&arguments.of, name).copied(),
            into: told_of(&arguments.into, name).copied(),
        })),
        _ => Err(Refusal::new(
            "how a bush is pressed in takes its outside, its interference and its housing",
            "give all three: --bush-outside 20 --interference 0.03 --housing 40",
        )),
    }
}
