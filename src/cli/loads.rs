//! `toothmark loads`: what the arguments mean, and the answer.
//!
//! How a state and a torque are read is said in [`super::request`].

use clap::Args;
use toothmark::exact::parse;
use toothmark::gearset::Efficiency;
use toothmark::statics::{LoadsQuestion, survey_loads};

use super::common::{Format, SourceArgument};
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::answer;
use super::request::{state, torque};

#[derive(Debug, Args)]
pub(super) struct LoadsArguments {
    #[command(flatten)]
    pub(super) source: SourceArgument,
    /// Only this state
    #[arg(long, value_name = "NAME")]
    pub(super) state: Option<String>,
    /// The torque on the input: "30 N m" or "22 lb ft"; 1 N m if left out
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    pub(super) torque: Option<String>,
    /// The part of the power that every mesh passes on, such as 0.98, instead of what the description says
    #[arg(long, value_name = "PART", allow_hyphen_values = true)]
    pub(super) mesh_efficiency: Option<String>,
    /// The form of the answer
    #[arg(long, value_enum, default_value_t)]
    pub(super) format: Format,
}

pub(super) fn loads(arguments: &LoadsArguments) -> Result<Exit, Trouble> {
    let torque = arguments.torque.as_deref().map(torque).transpose()?.unwrap_or_default();
    let mesh_efficiency = arguments.mesh_efficiency.as_deref().map(efficiency).transpose()?;
    let set = gearset(arguments.source.file.as_deref())?;
    let state = arguments.state.as_deref().map(|name| state(&set, name)).transpose()?;
    let question = LoadsQuestion { state, torque, mesh_efficiency };
    answer(&set, &survey_loads(&set, &question), arguments.format)
}

fn efficiency(text: &str) -> Result<Efficiency, Trouble> {
    let found = parse(text).as_ref().and_then(Efficiency::new);
    found.ok_or_else(|| Trouble::NotAnEfficiency { text: text.to_owned() })
}
