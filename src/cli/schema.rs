//! `toothmark schema`: what the keys of an answer are.

use clap::Args;
use clap::builder::PossibleValuesParser;
use toothmark::comparison::Comparison;
use toothmark::inspection::Remarks;
use toothmark::kinematics::{Exploration, Ratios};
use toothmark::report::{Answer, WrittenFormulas};
use toothmark::running::Running;
use toothmark::statics::LoadSurvey;
use toothmark::timing::{FoundTiming, Marking, Matching, Timing, WrongSeatings};
use toothmark::tooth_search::TeethAnswer;

use super::exit::Exit;
use super::output::write;
use super::trouble::Trouble;

/// The commands that answer in JSON, with the schema of the answer.
const ANSWERS: &[DescribedAnswer] = &[
    DescribedAnswer { command: "ratios", schema: Ratios::schema },
    DescribedAnswer { command: "timing", schema: Timing::schema },
    DescribedAnswer { command: "explore", schema: Exploration::schema },
    DescribedAnswer { command: "loads", schema: LoadSurvey::schema },
    DescribedAnswer { command: "compare", schema: Comparison::schema },
    DescribedAnswer { command: "search", schema: TeethAnswer::schema },
    DescribedAnswer { command: "merge", schema: TeethAnswer::schema },
    DescribedAnswer { command: "check", schema: Remarks::schema },
    DescribedAnswer { command: "motion", schema: Running::schema },
    DescribedAnswer { command: "formula", schema: WrittenFormulas::schema },
    DescribedAnswer { command: "found", schema: FoundTiming::schema },
    DescribedAnswer { command: "wrong", schema: WrongSeatings::schema },
    DescribedAnswer { command: "marks", schema: Marking::schema },
    DescribedAnswer { command: "match", schema: Matching::schema },
];

/// The answer of a command.
struct DescribedAnswer {
    command: &'static str,
    schema: fn() -> String,
}

#[derive(Debug, Args)]
pub(super) struct SchemaArguments {
    /// The command whose JSON is described
    #[arg(value_parser = PossibleValuesParser::new(ANSWERS.iter().map(|answer| answer.command)))]
    pub(super) command: String,
}

pub(super) fn schema(arguments: &SchemaArguments) -> Result<Exit, Trouble> {
    let answer = ANSWERS.iter().find(|answer| answer.command == arguments.command);
    write(&(answer.expect("the parser lets the commands of the table pass only").schema)())?;
    Ok(Exit::Done)
}
