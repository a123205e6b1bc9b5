//! The arguments as typed.
//!
//! Each command's own stand beside it. Here a command is told to the program: its line in the help, which is its comment,
//! the function that answers it, the purpose that it serves, the schema of its answer.

use std::ffi::OsString;

use clap::builder::{PossibleValue, PossibleValuesParser, Resettable, StyledStr};
use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand};
use toothmark::bench::{BandSettings, BushFits, ClutchSetting, EndFloat, NeutralTest, RotorBalance};
use toothmark::comparison::Comparison;
use toothmark::fit::{BacklashSurvey, Identification, TeethOrder, ToothFit};
use toothmark::inspection::Remarks;
use toothmark::job::{JobDifference, JobVerdict};
use toothmark::kinematics::{Exploration, Ratios};
use toothmark::report::{Answer, WrittenFormulas};
use toothmark::requests::{
    CheckOptions, ExploreOptions, FormulaOptions, FoundOptions, LoadsOptions, MarksOptions, MatchOptions,
    MotionOptions, QuestionReply, RatiosOptions, TimingOptions, WrongOptions, request_schema,
};
use toothmark::running::Running;
use toothmark::statics::LoadSurvey;
use toothmark::timing::{FoundTiming, Marking, Matching, Timing, WrongSeatings};
use toothmark::tooth_search::TeethAnswer;

use super::answer;
use super::bench::{self, BenchArguments};
use super::compare::{self, CompareArguments};
use super::completed_names;
use super::completions::{self, CompletionsArguments};
use super::draw::{self, DrawArguments};
use super::examples::{self, ExamplesArguments};
use super::exit::Exit;
use super::explain::{self, ExplainArguments};
use super::job::{self, JobArguments};
use super::manual::{self, ManualArguments};
use super::merge::{self, MergeArguments};
use super::new::{self, NewArguments};
use super::output::write;
use super::page::{self, PageArguments};
use super::problems::{self, ProblemsArguments};
use super::schema;
use super::search::{self, SearchArguments};
use super::sheet::{self, SheetArguments};
use super::source::Asks;
use super::teeth::{self, TeethArguments};
use super::trouble::{Refusal, Trouble};

/// Exact ratios and exact timing of planetary gearsets whose planets are clusters
///
/// Where a file is taken, a built-in gearset can be named instead, as in "toothmark timing hill-tramway-car", and "-"
/// reads standard input; without either it is an inspection railcar with two speeds and reverse. Exit code 0: done;
/// 1: the answer is no, such as planets that do not assemble; 2: the file or the request is wrong.
#[derive(Debug, Parser)]
#[command(version, long_version = env!("TOOTHMARK_VERSION"), max_term_width = 100)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub(super) enum Command {
    /// Whether the planets assemble, how each is set, what to beware of
    Timing(Box<Asks<TimingOptions>>),
    /// Which teeth and spaces to mark on a set without marks
    Marks(Box<Asks<MarksOptions>>),
    /// What marks show as found: in time or not, which planet to turn
    Found(Box<Asks<FoundOptions>>),
    /// Every wrong seating: how far out, and whether a hand would notice
    Wrong(Box<Asks<WrongOptions>>),
    /// Whether measured clusters match, who carries first, what to swap
    Match(Box<Asks<MatchOptions>>),
    /// A job sheet: parts, settings from both sides, columns to fill in
    Sheet(SheetArguments),
    /// Pictures of exact size: face views, pages at 1:1, paper discs
    Draw(DrawArguments),
    /// A page for a browser on which the gears turn, with exact speeds
    Page(PageArguments),
    /// The ratio of every state; with --full the speed of every member
    Ratios(Box<Asks<RatiosOptions>>),
    /// The same as a formula in the tooth counts, and any speed
    Formula(Box<Asks<FormulaOptions>>),
    /// Every use of the train: what to hold, couple, drive and be driven
    Explore(Box<Asks<ExploreOptions>>),
    /// Torque on every member, mesh, band and clutch, power and losses
    Loads(Box<Asks<LoadsOptions>>),
    /// What rolls, rubs and stands, what a control meets, speeds, noise
    Motion(Box<Asks<MotionOptions>>),
    /// Gearsets side by side, or one with other tooth counts
    Compare(Box<CompareArguments>),
    /// Other tooth counts for a ratio that assemble, the best proven
    Search(Box<SearchArguments>),
    /// The parts of a search put together
    Merge(MergeArguments),
    /// What the teeth are: questions of pitch, shift and fit
    Teeth(TeethArguments),
    /// On the bench: balance, bands, bushes, clutch, end float, neutral
    Bench(BenchArguments),
    /// The record of a job: what must not be closed yet, what is missing
    Job(Box<JobArguments>),
    /// A state worked out step by step for a class
    Explain(ExplainArguments),
    /// Practice problems that could be built, with key and wrong answers
    Problems(ProblemsArguments),
    /// What a description says, in words, and every problem with it
    Check(Box<Asks<CheckOptions>>),
    /// A first description, from questions or from arguments
    New(NewArguments),
    /// The built-in gearsets: lists them, or prints one to start from
    Examples(ExamplesArguments),
    /// The manual, chapter by chapter
    Manual(ManualArguments),
    /// Completions for a shell, and manual pages
    Completions(CompletionsArguments),
    /// Answers requests of another program, a JSON line each
    ///
    /// A request is a JSON object on a line of standard input, such as
    ///   {"question": "ratios", "description": "inspection-railcar", "options": {"rpm": 900}}
    ///
    /// "question" names a command that asks about one gearset; a search is none. "description" is the text of a
    /// description, the name of a built-in gearset or the gears on a pin; "file" is a path in its place. "options" are
    /// those of the command, their words parted by _ and not by -. An "id" is given back. The answer is a line with
    /// "outcome" and "answer", which is what the command prints as JSON, or with "errors". toothmark schema request lists
    /// the questions and describes the one, toothmark schema answer the other.
    Answer,
    /// The JSON Schema of a command's answer
    Schema(SchemaArguments),
}

#[derive(Debug, Args)]
pub(super) struct SchemaArguments {
    /// The command whose JSON is described; request is what answer is asked
    #[arg(required = true, value_parser = described())]
    command: Vec<String>,
}

impl Arguments {
    /// Answers what is asked; where nothing is, tells what can be.
    pub(super) fn run(self) -> Result<Exit, Trouble> {
        if let Some(command) = self.command {
            return command.run();
        }
        write(&command().render_help().ansi().to_string())?;
        Ok(Exit::Done)
    }
}

impl Command {
    /// Answers what is asked, and says how the program ends by it.
    fn run(self) -> Result<Exit, Trouble> {
        match self {
            Self::Timing(asked) => asked.answer(),
            Self::Marks(asked) => asked.answer(),
            Self::Found(asked) => asked.answer(),
            Self::Wrong(asked) => asked.answer(),
            Self::Match(asked) => asked.answer(),
            Self::Sheet(arguments) => sheet::sheet(&arguments),
            Self::Draw(arguments) => draw::draw(&arguments),
            Self::Page(arguments) => page::page(&arguments),
            Self::Ratios(asked) => asked.answer(),
            Self::Formula(asked) => asked.answer(),
            Self::Explore(asked) => asked.answer(),
            Self::Loads(asked) => asked.answer(),
            Self::Motion(asked) => asked.answer(),
            Self::Compare(arguments) => compare::compare(&arguments),
            Self::Search(arguments) => search::search(&arguments),
            Self::Merge(arguments) => merge::merge(&arguments),
            Self::Teeth(arguments) => teeth::teeth(&arguments, command()),
            Self::Bench(arguments) => bench::bench(&arguments, command()),
            Self::Job(arguments) => job::job(&arguments),
            Self::Explain(arguments) => explain::explain(&arguments),
            Self::Problems(arguments) => problems::problems(&arguments),
            Self::Check(asked) => asked.answer(),
            Self::New(arguments) => new::new(arguments),
            Self::Examples(arguments) => examples::examples(&arguments),
            Self::Manual(arguments) => manual::manual(&arguments),
            Self::Completions(arguments) => completions::completions(&arguments, command()),
            Self::Answer => answer::answer(),
            Self::Schema(SchemaArguments { command }) => {
                let name = command.join(" ");
                let known = answers().find(|(known, _)| *known == name);
                schema::schema(known.ok_or_else(|| unknown_answer(&name))?.1)
            }
        }
    }
}

/// Commands that serve one purpose.
struct Purpose {
    heading: &'static str,
    commands: &'static [Listed],
}

/// A command as it is listed, and the schema of its answer where it answers in JSON.
struct Listed {
    name: &'static str,
    schema: Option<Schema>,
}

/// Writes the schema of an answer.
type Schema = fn() -> String;

/// A command that answers in JSON.
const fn answers_in_json(name: &'static str, schema: Schema) -> Listed {
    Listed { name, schema: Some(schema) }
}

/// A command whose answer has no JSON.
const fn of_its_own_form(name: &'static str) -> Listed {
    Listed { name, schema: None }
}

/// Every command once, by what people want to do with it.
const PURPOSES: &[Purpose] = &[
    Purpose {
        heading: "Describe a gearset",
        commands: &[of_its_own_form("new"), of_its_own_form("examples"), answers_in_json("check", Remarks::schema)],
    },
    Purpose {
        heading: "Assemble it",
        commands: &[
            answers_in_json("timing", Timing::schema),
            answers_in_json("marks", Marking::schema),
            answers_in_json("found", FoundTiming::schema),
            answers_in_json("wrong", WrongSeatings::schema),
            answers_in_json("match", Matching::schema),
        ],
    },
    Purpose {
        heading: "Put it on paper or on a screen",
        commands: &[of_its_own_form("sheet"), of_its_own_form("draw"), of_its_own_form("page")],
    },
    Purpose {
        heading: "Know its ratios and loads",
        commands: &[
            answers_in_json("ratios", Ratios::schema),
            answers_in_json("formula", WrittenFormulas::schema),
            answers_in_json("explore", Exploration::schema),
            answers_in_json("loads", LoadSurvey::schema),
            answers_in_json("motion", Running::schema),
        ],
    },
    Purpose {
        heading: "Change its tooth counts",
        commands: &[
            answers_in_json("compare", Comparison::schema),
            answers_in_json("search", TeethAnswer::schema),
            answers_in_json("merge", TeethAnswer::schema),
        ],
    },
    Purpose {
        heading: "Measure, close and order its teeth",
        commands: &[
            answers_in_json("teeth identify", Identification::schema),
            answers_in_json("teeth close", ToothFit::schema),
            answers_in_json("teeth order", TeethOrder::schema),
            answers_in_json("teeth backlash", BacklashSurvey::schema),
        ],
    },
    Purpose {
        heading: "Fit and prove it on the bench",
        commands: &[
            answers_in_json("bench balance", RotorBalance::schema),
            answers_in_json("bench bands", BandSettings::schema),
            answers_in_json("bench bushes", BushFits::schema),
            answers_in_json("bench clutch", ClutchSetting::schema),
            answers_in_json("bench float", EndFloat::schema),
            answers_in_json("bench neutral", NeutralTest::schema),
        ],
    },
    Purpose {
        heading: "Keep the record of a job",
        commands: &[
            of_its_own_form("job new"),
            of_its_own_form("job set"),
            answers_in_json("job", JobVerdict::schema),
            answers_in_json("job diff", JobDifference::schema),
        ],
    },
    Purpose { heading: "Teach", commands: &[of_its_own_form("explain"), of_its_own_form("problems")] },
    Purpose {
        heading: "Ask from another program",
        commands: &[answers_in_json("answer", QuestionReply::schema), of_its_own_form("schema")],
    },
    Purpose {
        heading: "Look something up",
        commands: &[of_its_own_form("manual"), of_its_own_form("completions"), of_its_own_form("help")],
    },
];

/// Questions without a file, as they are typed.
const QUICK_QUESTIONS: &[&str] = &[
    "toothmark timing 26:31 20:37 31:26 --pins 3",
    "toothmark ratios 30:24:78",
    "toothmark teeth identify --teeth 27 --span 3=21.896 --span 4=30.228",
    "toothmark teeth close 30:30 24:37 --module 2.5 --pin-circle 75mm",
    "toothmark loads 30:24:78 --pins 4 --held \"ring 78\" --input \"sun 30\"",
];

/// The commands that answer in JSON, with the schemas of their answers, and the request of another program with its own.
fn answers() -> impl Iterator<Item = (&'static str, Schema)> {
    let request: (_, Schema) = ("request", request_schema);
    listed().filter_map(|it| it.schema.map(|schema| (it.name, schema))).chain([request])
}

fn listed() -> impl Iterator<Item = &'static Listed> {
    PURPOSES.iter().flat_map(|purpose| purpose.commands)
}

/// What a shell completes behind `schema`, and the help lists: a command below another by both words, or by either.
fn names_of_answers() -> Vec<PossibleValue> {
    let hidden = answers().filter(|(name, _)| name.contains(' ')).flat_map(|(name, _)| name.split(' '));
    let hidden = hidden.map(|word| PossibleValue::new(word).hide(true));
    answers().map(|(name, _)| PossibleValue::new(name)).chain(hidden).collect()
}

/// Words each of which belongs to a command that answers in JSON, and that together are none.
fn unknown_answer(name: &str) -> Refusal {
    let known: Vec<&str> = answers().map(|(name, _)| name).collect();
    Refusal::unknown("answer in JSON", name, &known)
}

/// Reads the arguments of the process.
pub(super) fn parse() -> Result<Arguments, clap::Error> {
    let words: Vec<OsString> = std::env::args_os().collect();
    // Help and refusals may name any command; for anything else only what is asked for is made ready.
    let asked = Arguments::command().try_get_matches_from(&words);
    if let Some(arguments) = asked.ok().and_then(|matches| Arguments::from_arg_matches(&matches).ok()) {
        return Ok(arguments);
    }
    let mut command = command();
    let matches = command.try_get_matches_from_mut(words)?;
    Arguments::from_arg_matches(&matches).map_err(|error| error.format(&mut command))
}

/// What may stand behind `schema`.
fn described() -> PossibleValuesParser {
    PossibleValuesParser::new(names_of_answers())
}

/// The program as shells complete it: with the names in the description that is asked about.
pub(super) fn completed_command() -> clap::Command {
    let mut command = command();
    complete_names(&mut command);
    command
}

/// Lets options be completed with the names of what they ask for.
fn complete_names(command: &mut clap::Command) {
    let asks_of_gearset = command.get_positionals().any(|it| ["what", "file"].contains(&it.get_id().as_str()));
    *command = std::mem::take(command).mut_args(|argument| match argument.get_id().as_str() {
        _ if !asks_of_gearset => argument,
        "state" => argument.add(completed_names::states()),
        "input" | "output" | "held" | "member" | "part" => argument.add(completed_names::members()),
        "gear" | "along" | "unmarked" | "keep" | "floats" | "run_out" => argument.add(completed_names::gears()),
        "planet" => argument.add(completed_names::planets()),
        _ => argument,
    });
    for below in command.get_subcommands_mut() {
        complete_names(below);
    }
}

/// The program as its argument reader knows it, the commands of its help grouped by purpose.
pub(super) fn command() -> clap::Command {
    let named = Arguments::command();
    let mut command = named.clone();
    command.build();
    tell_again(&mut command, &named);
    let groups: Vec<String> = PURPOSES.iter().map(|purpose| group(&command, purpose)).collect();
    command.help_template(format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\nThe gears on a pin, sun:planet:ring, will do for a \
         question:\n  {}\n\n{}\nOptions:\n{{options}}{{after-help}}",
        QUICK_QUESTIONS.join("\n  "),
        groups.join("\n")
    ))
}

/// What is put off until a command is asked for tells of itself over what its name had told: that is told again.
fn tell_again(command: &mut clap::Command, named: &clap::Command) {
    for told in named.get_subcommands() {
        let Some(below) = command.find_subcommand_mut(told.get_name()) else { continue };
        let again = |text: Option<&StyledStr>| text.cloned().map_or(Resettable::Reset, Resettable::Value);
        *below = std::mem::take(below).about(again(told.get_about())).long_about(again(told.get_long_about()));
    }
}

/// The commands of a purpose under its heading, a line each.
fn group(command: &clap::Command, purpose: &Purpose) -> String {
    /// The longest name of a command of the first level.
    const USUAL: usize = 11;
    let width = purpose.commands.iter().map(|listed| listed.name.len()).fold(USUAL, usize::max);
    let line = |Listed { name, .. }: &Listed| {
        let about = found(command, name).and_then(clap::Command::get_about);
        format!("  {name:<width$}  {}\n", about.map(ToString::to_string).unwrap_or_default())
    };
    format!("{}:\n{}", purpose.heading, purpose.commands.iter().map(line).collect::<String>())
}

/// The command of this name, which may be one below another: `teeth identify`.
fn found<'a>(command: &'a clap::Command, name: &str) -> Option<&'a clap::Command> {
    name.split(' ').try_fold(command, |command, word| command.find_subcommand(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_quick_question_is_understood() {
        for question in QUICK_QUESTIONS {
            let words = shell_words::split(question).expect("its quotes are closed");
            let asked = Arguments::try_parse_from(words).unwrap_or_else(|error| panic!("{question}: {error}"));
            assert!(asked.command.is_some_and(|command| command.run().is_ok()), "{question}");
        }
    }

    /// A command, or those below it, which are asked for by both words.
    fn names(command: &clap::Command) -> Vec<String> {
        let below = command.get_subcommands().map(clap::Command::get_name).filter(|name| *name != "help");
        let below: Vec<String> = below.map(|name| format!("{} {name}", command.get_name())).collect();
        // One that takes a file of its own is asked for by its word as well.
        let own = below.is_empty() || command.get_name() == "help" || command.get_positionals().next().is_some();
        let own = own.then(|| command.get_name().to_owned());
        if command.get_name() == "help" { own.into_iter().collect() } else { own.into_iter().chain(below).collect() }
    }

    #[test]
    fn every_command_has_one_purpose_and_fits_on_a_line() {
        let command = command();
        let mut listed: Vec<&str> = listed().map(|it| it.name).collect();
        let mut known: Vec<String> = command.get_subcommands().flat_map(names).collect();
        listed.sort_unstable();
        known.sort_unstable();
        assert_eq!(listed, known);
        for line in
            PURPOSES.iter().flat_map(|purpose| group(&command, purpose).lines().map(str::to_owned).collect::<Vec<_>>())
        {
            assert!(line.len() <= 80, "{line}");
        }
    }
}
