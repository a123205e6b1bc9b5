//! `toothmark loads`: the torque on every member, mesh, band and clutch, and where power goes.

use clap::Args;
use toothmark::gearset::Efficiency;
use toothmark::statics::{InputTorque, LoadsQuestion, survey_loads};

use super::common::{AnswerForm, StateArgument};
use super::exit::Exit;
use super::source::{ArrangementArguments, PinsKnown, SourceArguments};
use super::trouble::Trouble;
use super::values;

#[derive(Debug, Args)]
pub(super) struct LoadsArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    arrangement: ArrangementArguments,
    #[command(flatten)]
    only: StateArgument,
    /// The torque on the input: "30 N m" or "22 lb ft"; 1 N m if left out
    #[arg(long, value_name = "TORQUE", value_parser = values::torque, allow_hyphen_values = true)]
    torque: Option<InputTorque>,
    /// The part of the power that every mesh passes on, such as 0.98, instead of what the description says
    #[arg(long, value_name = "PART", value_parser = values::efficiency, allow_hyphen_values = true)]
    mesh_efficiency: Option<Efficiency>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn loads(arguments: &LoadsArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset_driven(&arguments.arrangement, PinsKnown::Needed)?;
        let LoadsArguments { torque, mesh_efficiency, .. } = arguments;
        let state = arguments.only.place(&set)?;
        let torque = torque.clone().unwrap_or_default();
        let question = LoadsQuestion { state, torque, mesh_efficiency: *mesh_efficiency };
        let found = survey_loads(&set, &question);
        Ok((set, found))
    })
}
