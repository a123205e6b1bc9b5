//! `toothmark compare`: gearsets from files, or one with some of its tooth counts changed.
//!
//! Every gearset gets a letter, which heads its column and names its lines on the chart. A change of counts is checked
//! like a description, so that what could not be described cannot be compared either.

use std::path::{Path, PathBuf};

use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches, value_parser};
use toothmark::comparison::{Candidate, Comparison};
use toothmark::drawing::{ChartScale, Charted, chart};
use toothmark::exact::{Fraction, to_float};
use toothmark::gearset::{Gearset, Length};
use toothmark::kinematics::{StateMotion, motions};
use toothmark::quick::StackNames;

use super::common::AnswerForm;
use super::completed_names;
use super::exit::Exit;
use super::lookups::gear;
use super::output::{answer, write};
use super::place::{ForceArgument, OutputPlaces};
use super::source::{SizeArguments, gearset, gearsets};
use super::trouble::{Refusal, Trouble};
use super::values::{self, CountChange};
use super::waiting::at_work;

#[derive(Debug, Args)]
pub(super) struct CompareArguments {
    /// Descriptions (RON), at most 26; changes are told against the first. "-" reads standard input
    #[arg(add = completed_names::descriptions(), value_name = FILE_OR_STACK)]
    what: Vec<PathBuf>,
    #[command(flatten)]
    and: AndArguments,
    #[command(flatten)]
    sizes: SizeArguments,
    /// The first gearset with other tooth counts, such as L=21,l=36; may be repeated
    #[arg(long, value_name = "GEAR=TEETH,...", value_parser = values::count_change, allow_hyphen_values = true)]
    with: Vec<CountChange>,
    /// Write a chart (SVG) of output speed against input speed to this file; "-" is standard output
    #[arg(long, value_name = "FILE")]
    chart: Option<PathBuf>,
    /// The fastest speed of the input on the chart; 2000 if left out
    #[arg(long, value_name = "RPM", value_parser = values::forward_speed, requires = "chart", allow_hyphen_values = true)]
    rpm: Option<Fraction>,
    /// How far one turn of the output carries: "1.9 m" or "75 in"; then the chart is in km/h
    #[arg(long, value_name = "LENGTH", value_parser = values::travel, requires = "chart", allow_hyphen_values = true)]
    travel: Option<Length>,
    #[command(flatten)]
    force: ForceArgument,
    #[command(flatten)]
    form: AnswerForm,
}

/// Further gearsets, each behind an `--and` of its own, where a stack cannot be told from its neighbours.
#[derive(Debug, Default)]
struct AndArguments {
    groups: Vec<Vec<PathBuf>>,
}

impl Args for AndArguments {
    fn augment_args(command: Command) -> Command {
        let and = Arg::new(AND).long(AND).num_args(1..).action(ArgAction::Append).value_name(FILE_OR_STACK);
        let help = "Another gearset beside the first, such as --and 26:31 20:36 31:26; may be repeated";
        command.arg(and.value_parser(value_parser!(PathBuf)).help(help))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for AndArguments {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let groups = matches.get_occurrences::<PathBuf>(AND).into_iter().flatten();
        Ok(Self { groups: groups.map(|words| words.cloned().collect()).collect() })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

const AND: &str = "and";
const FILE_OR_STACK: &str = "FILE|SUN:PLANET:RING";

impl CompareArguments {
    /// The words of the command line, a part for each gearset.
    fn typed(&self) -> Vec<&[PathBuf]> {
        let groups = std::iter::once(&self.what[..]).chain(self.and.groups.iter().map(Vec::as_slice));
        groups.flat_map(gearsets).collect()
    }
}

/// As many gearsets as are told apart at a glance.
const MOST: usize = 26;

pub(super) fn compare(arguments: &CompareArguments) -> Result<Exit, Trouble> {
    let scale = scale(arguments);
    let file = arguments.chart.as_deref().filter(|path| *path != Path::new("-"));
    let mut places = OutputPlaces::new(arguments.force, arguments.typed().into_iter().flatten().map(PathBuf::as_path));
    file.map(|path| places.check_file(path)).transpose()?;
    let sets = sets(arguments)?;
    let candidates: Vec<Candidate<'_>> =
        sets.iter().map(|(source, set)| Candidate { source: source.clone(), set }).collect();
    let comparison = at_work(|| toothmark::comparison::compare(&candidates));
    if arguments.chart.is_some() && file.is_none() {
        write(&drawn(&candidates, &comparison, scale))?;
        return Ok(Exit::Done);
    }
    let printed = answer(candidates[0].set, &comparison, arguments.form);
    file.map(|path| places.write(path, &drawn(&candidates, &comparison, scale))).transpose()?;
    printed
}

/// The gearsets, each with where it comes from.
fn sets(arguments: &CompareArguments) -> Result<Vec<(String, Gearset)>, Trouble> {
    let typed = arguments.typed();
    let changes = arguments.with.len();
    if typed.len() + changes > MOST {
        let sentence = format!("{} gearsets and {changes} changes are more than a comparison shows", typed.len());
        return Err(Trouble::new(sentence, format!("compare {MOST} gearsets at most")));
    }
    let mut found: Vec<(String, Gearset)> = Vec::new();
    for words in typed {
        found.push((name(words), gearset(words, &arguments.sizes, StackNames::ByPlace)?));
    }
    for change in &arguments.with {
        let set = changed(&found[0].1, change)?;
        found.push((format!("with {}", change.text), set));
    }
    Ok(found)
}

/// What a gearset is called by where it comes from.
fn name(words: &[PathBuf]) -> String {
    if words.is_empty() {
        return "built-in".into();
    }
    words.iter().map(|word| word.display().to_string()).collect::<Vec<_>>().join(" ")
}

/// A gearset with the tooth counts of a change.
fn changed(set: &Gearset, change: &CountChange) -> Result<Gearset, Refusal> {
    let count = |(name, count): &(String, i64)| Ok((gear(set, name)?, *count));
    let counts = change.counts.iter().map(count).collect::<Result<Vec<_>, Refusal>>()?;
    set.with_tooth_counts(counts).map_err(|problems| {
        let problem = &problems[0];
        Refusal::new(format!("with {}: {problem}", change.text), problem.rule.hint())
    })
}

fn scale(arguments: &CompareArguments) -> ChartScale {
    const USUAL: f64 = 2000.0;
    const MILLIMETRES_PER_METRE: f64 = 1000.0;
    ChartScale {
        input_rpm: arguments.rpm.as_ref().map_or(USUAL, to_float),
        travel: arguments.travel.as_ref().map(|travel| travel.millimetres() / MILLIMETRES_PER_METRE),
    }
}

fn drawn(candidates: &[Candidate<'_>], comparison: &Comparison, scale: ChartScale) -> String {
    let motions: Vec<Vec<StateMotion>> = candidates.iter().map(|candidate| motions(candidate.set)).collect();
    let names = comparison.sets.iter().map(|compared| &compared.column);
    let charted: Vec<Charted<'_>> = names.zip(&motions).map(|(name, motions)| Charted { name, motions }).collect();
    chart(&charted, scale)
}
