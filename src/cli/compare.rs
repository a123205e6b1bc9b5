//! `toothmark compare`: gearsets from files, or one with some of its tooth counts changed.
//!
//! Every gearset gets a letter, which heads its column and names its lines on the chart. A change of counts is checked
//! like a description, so that what could not be described cannot be compared either.

use std::path::{Path, PathBuf};

use clap::Args;
use toothmark::comparison::answers;
use toothmark::drawing::{ChartScale, Charted, chart};
use toothmark::exact::{Fraction, fraction, parse, to_float};
use toothmark::gearset::{GearId, Gearset, Length};
use toothmark::kinematics::StateMotion;
use toothmark::report::{Compared, Comparison};

use super::common::Format;
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::{show, write};
use super::place::{ForceArgument, Places};

#[derive(Debug, Args)]
pub(super) struct CompareArguments {
    /// Descriptions (RON), at most 26; changes are told against the first. "-" reads standard input
    pub(super) files: Vec<PathBuf>,
    /// The first gearset with other tooth counts, such as L=21,l=36; may be repeated
    #[arg(long, value_name = "GEAR=TEETH,...", allow_hyphen_values = true)]
    pub(super) with: Vec<String>,
    /// Write a chart (SVG) of output speed against input speed to this file; "-" is standard output
    #[arg(long, value_name = "FILE")]
    pub(super) chart: Option<PathBuf>,
    /// The fastest speed of the input on the chart; 2000 if left out
    #[arg(long, value_name = "RPM", requires = "chart", allow_hyphen_values = true)]
    pub(super) rpm: Option<String>,
    /// How far one turn of the output carries: "1.9 m" or "75 in"; then the chart is in km/h
    #[arg(long, value_name = "LENGTH", requires = "chart", allow_hyphen_values = true)]
    pub(super) travel: Option<String>,
    #[command(flatten)]
    pub(super) force: ForceArgument,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

/// Why gearsets cannot be compared as asked.
#[derive(Debug, thiserror::Error)]
pub(super) enum WrongComparison {
    #[error("{files} descriptions and {changes} changes are more than a comparison shows")]
    TooMany { files: usize, changes: usize },
    #[error("{text:?} is not a change of tooth counts")]
    NotAChange { text: String },
    #[error("there is no gear {name:?}")]
    NoSuchGear { name: String, known: Vec<String> },
    #[error("with {change}: {sentence}")]
    CannotBe { change: String, sentence: String, hint: String },
    #[error("{text:?} is not a speed of the input")]
    NotASpeed { text: String },
    #[error("{text:?} is not how far a turn carries")]
    NotALength { text: String },
}

impl WrongComparison {
    /// What to write instead.
    pub(super) fn hint(&self) -> String {
        match self {
            Self::TooMany { .. } => format!("compare {MOST} gearsets at most"),
            Self::NotAChange { .. } => "write gears with their new counts, such as --with L=21,l=36".into(),
            Self::NoSuchGear { known, .. } => format!("the gears are {}", known.join(", ")),
            Self::CannotBe { hint, .. } => hint.clone(),
            Self::NotASpeed { .. } => "write revolutions per minute above 0, such as 1800".into(),
            Self::NotALength { .. } => "write a length above 0 with its unit: \"1.9 m\", \"1900 mm\", \"75 in\"".into(),
        }
    }
}

/// As many gearsets as columns have letters.
const MOST: usize = 26;

pub(super) fn compare(arguments: &CompareArguments) -> Result<Exit, Trouble> {
    let scale = scale(arguments)?;
    let file = arguments.chart.as_deref().filter(|path| *path != Path::new("-"));
    let mut places = Places::new(arguments.force, arguments.files.iter().map(PathBuf::as_path));
    file.map(|path| places.check_file(path)).transpose()?;
    let sets = sets(arguments)?;
    if arguments.chart.is_some() && file.is_none() {
        write(&drawn(&sets, scale))?;
        return Ok(Exit::Done);
    }
    let answer = Comparison { sets: &sets };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    file.map(|path| places.write(path, &drawn(&sets, scale))).transpose()?;
    Ok(Exit::Done)
}

fn sets(arguments: &CompareArguments) -> Result<Vec<Compared>, Trouble> {
    let (files, changes) = (arguments.files.len().max(1), arguments.with.len());
    if files + changes > MOST {
        return Err(WrongComparison::TooMany { files, changes }.into());
    }
    let mut found: Vec<(String, Gearset)> = Vec::new();
    if arguments.files.is_empty() {
        found.push(("built-in".into(), gearset(None)?));
    }
    for file in &arguments.files {
        found.push((file.display().to_string(), gearset(Some(file))?));
    }
    for change in &arguments.with {
        let set = changed(&found[0].1, change)?;
        found.push((format!("with {change}"), set));
    }
    let column = |(letter, (source, set)): (char, (String, Gearset))| Compared {
        letter: letter.to_string(),
        source,
        answers: answers(&set),
        set,
    };
    Ok(('A'..='Z').zip(found).map(column).collect())
}

/// A gearset with the tooth counts of a change.
fn changed(set: &Gearset, change: &str) -> Result<Gearset, WrongComparison> {
    let counts = pairs(change).into_iter().map(|pair| count(set, change, &pair)).collect::<Result<Vec<_>, _>>()?;
    set.with_tooth_counts(counts).map_err(|problems| {
        let problem = &problems[0];
        WrongComparison::CannotBe {
            change: change.to_owned(),
            sentence: problem.to_string(),
            hint: problem.rule.hint().into_owned(),
        }
    })
}

/// The pairs of a list; a comma may stand in a name, since a pair ends only after its count.
fn pairs(change: &str) -> Vec<String> {
    let mut pairs: Vec<String> = Vec::new();
    let mut is_whole = true;
    for piece in change.split(',') {
        match pairs.last_mut().filter(|_| !is_whole) {
            None => pairs.push(piece.to_owned()),
            Some(open) => *open = format!("{open},{piece}"),
        }
        is_whole = piece.contains('=');
    }
    pairs
}

fn count(set: &Gearset, change: &str, pair: &str) -> Result<(GearId, i64), WrongComparison> {
    let not_a_change = || WrongComparison::NotAChange { text: change.to_owned() };
    let (name, count) = pair.rsplit_once('=').ok_or_else(not_a_change)?;
    let count = count.trim().parse().map_err(|_| not_a_change())?;
    let gear = set.gear_named(name.trim()).ok_or_else(|| WrongComparison::NoSuchGear {
        name: name.trim().to_owned(),
        known: set.gears().iter().map(|gear| gear.name().to_owned()).collect(),
    })?;
    Ok((gear, count))
}

fn scale(arguments: &CompareArguments) -> Result<ChartScale, WrongComparison> {
    const USUAL: i64 = 2000;
    let rpm = match &arguments.rpm {
        None => fraction(USUAL, 1),
        Some(text) => positive(text).ok_or_else(|| WrongComparison::NotASpeed { text: text.clone() })?,
    };
    let travel = match &arguments.travel {
        None => None,
        Some(text) => Some(metres(text).ok_or_else(|| WrongComparison::NotALength { text: text.clone() })?),
    };
    Ok(ChartScale { input_rpm: to_float(&rpm), travel })
}

fn positive(text: &str) -> Option<Fraction> {
    parse(text.trim()).filter(|value| *value > fraction(0, 1))
}

/// A length in metres.
fn metres(text: &str) -> Option<f64> {
    const MILLIMETRES_PER_METRE: f64 = 1000.0;
    let start = text.find(char::is_alphabetic)?;
    let (number, unit) = text.split_at(start);
    let value = positive(number)?;
    let millimetres = match unit.trim() {
        "m" => Length::Millimetres(value * fraction(1000, 1)),
        "mm" => Length::Millimetres(value),
        "in" => Length::Inches(value),
        "ft" => Length::Inches(value * fraction(12, 1)),
        _ => return None,
    };
    Some(millimetres.millimetres() / MILLIMETRES_PER_METRE)
}

fn drawn(sets: &[Compared], scale: ChartScale) -> String {
    let motions: Vec<Vec<StateMotion>> = sets
        .iter()
        .map(|compared| compared.answers.states.iter().map(|state| state.motion.clone()).collect())
        .collect();
    let charted: Vec<Charted<'_>> =
        sets.iter().zip(&motions).map(|(compared, motions)| Charted { name: &compared.letter, motions }).collect();
    chart(&charted, scale)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_of_changes_may_have_commas_in_names() {
        assert_eq!(pairs("L=21,l=36"), ["L=21", "l=36"]);
        assert_eq!(pairs("low, wide=21,l=36"), ["low, wide=21", "l=36"]);
        assert_eq!(pairs("nothing"), ["nothing"]);
    }

    #[test]
    fn lengths_have_a_unit() {
        let close = |text, metres_meant: f64| {
            let difference = metres(text).map(|found| (found - metres_meant).abs());
            assert!(difference.is_some_and(|difference| difference < 1e-12), "{text}: {difference:?}");
        };
        close("1.9 m", 1.9);
        close("1900mm", 1.9);
        close("75 in", 1.905);
        assert_eq!([metres("1.9"), metres("-1 m"), metres("1 ell"), metres("")], [None; 4]);
    }
}
