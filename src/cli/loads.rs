//! `toothmark loads`: what the arguments mean, and the answer.
//!
//! A torque is a number with its unit behind it, N m unless it says lb ft.

use clap::Args;
use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::Efficiency;
use toothmark::report::Loads;
use toothmark::statics::{LoadOptions, StateLoads, TorqueUnit, loads as work_out, losses};

use super::arguments::{Format, SourceArgument};
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::show;

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
    let (torque, unit) = match arguments.torque.as_deref() {
        None => (fraction(1, 1), TorqueUnit::NewtonMetres),
        Some(text) => torque(text).ok_or_else(|| Trouble::NotATorque { text: text.to_owned() })?,
    };
    let mesh_efficiency = arguments.mesh_efficiency.as_deref().map(efficiency).transpose()?;
    let set = gearset(arguments.source.file.as_deref())?;
    let options = LoadOptions { torque: torque.clone() };
    let mut states = work_out(&set, &options);
    let mut lossy = losses(&set, mesh_efficiency).unwrap_or_default();
    if let Some(name) = &arguments.state {
        states.retain(|state: &StateLoads| state.motion.state == *name);
        lossy.retain(|state| state.state == *name);
        if states.is_empty() {
            let known = set.states().iter().map(|state| state.name.clone()).collect();
            return Err(Trouble::NoSuchState { name: name.clone(), known });
        }
    }
    let answer = Loads { set: &set, states: &states, torque, unit, losses: &lossy, mesh_efficiency };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(Exit::Done)
}

fn efficiency(text: &str) -> Result<Efficiency, Trouble> {
    let found = parse(text).as_ref().and_then(Efficiency::new);
    found.ok_or_else(|| Trouble::NotAnEfficiency { text: text.to_owned() })
}

/// A torque as people write it, greater than zero: on overrun all signs turn, and that is said anyhow.
fn torque(text: &str) -> Option<(Fraction, TorqueUnit)> {
    let start = text.find(|letter: char| letter.is_alphabetic()).unwrap_or(text.len());
    let (number, unit) = text.split_at(start);
    let letters: String = unit.chars().filter(|letter| letter.is_alphabetic()).collect::<String>().to_lowercase();
    let unit = match letters.as_str() {
        "" | "nm" => TorqueUnit::NewtonMetres,
        "lbft" | "lbfft" | "ftlb" | "ftlbf" => TorqueUnit::PoundFeet,
        _ => return None,
    };
    parse(number).filter(|torque| *torque > fraction(0, 1)).map(|torque| (torque, unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_torque_is_read_with_its_unit() {
        let newtons = |number| Some((fraction(number, 1), TorqueUnit::NewtonMetres));
        for text in ["30", "30 N m", "30Nm", "30 N·m"] {
            assert_eq!(torque(text), newtons(30), "{text}");
        }
        for text in ["22 lb ft", "22lbft", "22 ft-lb", "22 lbf ft"] {
            assert_eq!(torque(text), Some((fraction(22, 1), TorqueUnit::PoundFeet)), "{text}");
        }
        for text in ["", "0", "-5", "N m", "30 kg", "30 lb", "1e3", "3 4"] {
            assert_eq!(torque(text), None, "{text}");
        }
    }
}
