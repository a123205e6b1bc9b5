//! `toothmark teeth backlash`: the backlash of every mesh, which pin binds, which carries first.

use clap::Args;
use toothmark::fit::{
    self, BacklashQuestion, BacklashRefusal, BushClearance, PinOf, RunOut, SharedForce, SharingQuestion, ToldPin,
};
use toothmark::gearset::{Gearset, MemberId, PlanetGroup};
use toothmark::statics::InputTorque;

use super::pins::{self, TypedClearance, TypedPin, TypedPinError, TypedRunOut};
use crate::cli::common::{AnswerForm, StateArgument};
use crate::cli::completed_names;
use crate::cli::exit::Exit;
use crate::cli::lookups;
use crate::cli::source::SourceArguments;
use crate::cli::trouble::{Refusal, Trouble};
use crate::cli::values;

#[derive(Debug, Args)]
pub(super) struct BacklashArguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    only: StateArgument,
    /// The clearance of every bush on its pin, on the diameter: 0.05mm or 2thou; of one pin alone 2=0.08mm
    #[arg(long, value_name = "[PIN=]LENGTH", value_parser = pins::clearance, allow_hyphen_values = true)]
    clearance: Vec<TypedClearance>,
    /// A pin out of its place, seen from the input side: 2=out:0.05mm, 2=in:2thou, 2=out:0.05mm,ccw:0.02mm; long:2=...
    /// where there are several planets; in place of what the description says was measured of the pin
    #[arg(long, value_name = "[PLANET:]PIN=SIDE:LENGTH,...", value_parser = pins::pin_error, allow_hyphen_values = true)]
    pin: Vec<TypedPinError>,
    /// What a dial on the teeth of a gear shows over a turn: D=0.04mm; may be repeated
    #[arg(add = completed_names::gears(), long, value_name = "GEAR=LENGTH", value_parser = pins::run_out, allow_hyphen_values = true)]
    run_out: Vec<TypedRunOut>,
    /// How stiff a planet is on its pin, in N/mm along the working circle of the pushing gear: only with it is it told how
    /// the pins share a load
    #[arg(long, value_name = "N/MM", value_parser = pins::stiffness, allow_hyphen_values = true)]
    stiffness: Option<f64>,
    /// The torque on the input that pins share: "30 N m" or "22 lb ft"
    #[arg(long, value_name = "TORQUE", value_parser = values::torque, allow_hyphen_values = true, requires = "stiffness")]
    torque: Option<InputTorque>,
    /// The force of the pushing gear that pins share, at its working circle, in newtons
    #[arg(long, value_name = "FORCE", value_parser = pins::force, allow_hyphen_values = true, requires = "stiffness", conflicts_with = "torque")]
    tooth_force: Option<f64>,
    /// A central gear that is free to float among the planets
    #[arg(add = completed_names::gears(), long, value_name = "GEAR", allow_hyphen_values = true, requires = "stiffness")]
    floats: Option<String>,
    #[command(flatten)]
    form: AnswerForm,
}

pub(super) fn backlash(arguments: &BacklashArguments) -> Result<Exit, Trouble> {
    arguments.source.answer(arguments.form, |one| {
        let set = one.gearset()?;
        let question = question(&set, arguments)?;
        let found = fit::backlash(&set, &question).map_err(|reasons| refused(&reasons))?;
        Ok((set, found))
    })
}

fn refused(reasons: &[BacklashRefusal]) -> Trouble {
    Trouble::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
}

/// What is asked, in the names of the gearset; every name that is none is told.
fn question(set: &Gearset, arguments: &BacklashArguments) -> Result<BacklashQuestion, Trouble> {
    let mut wrong = Vec::new();
    let pins = collected(arguments.pin.iter().map(|pin| told_pin(set, pin)), &mut wrong);
    let clearances = collected(arguments.clearance.iter().map(|clearance| bush(set, clearance)), &mut wrong);
    let run_outs = collected(arguments.run_out.iter().map(|run_out| told_run_out(set, run_out)), &mut wrong);
    let state = arguments.only.place(set).map_err(|refusal| wrong.push(refusal)).ok().flatten();
    let sharing = sharing(set, arguments).map_err(|refusal| wrong.push(refusal)).ok().flatten();
    if wrong.is_empty() {
        Ok(BacklashQuestion { clearances, pins, run_outs, state, sharing })
    } else {
        Err(Trouble::Refused(wrong))
    }
}

/// What can be read, and beside it why the others cannot.
fn collected<T>(read: impl Iterator<Item = Result<T, Refusal>>, wrong: &mut Vec<Refusal>) -> Vec<T> {
    let mut found = Vec::new();
    for read in read {
        match read {
            Ok(value) => found.push(value),
            Err(refusal) => wrong.push(refusal),
        }
    }
    found
}

fn told_pin(set: &Gearset, pin: &TypedPinError) -> Result<ToldPin, Refusal> {
    Ok(ToldPin { of: pin_of(set, &pin.of)?, outward_mm: pin.outward_mm, ahead_mm: pin.ahead_mm })
}

fn bush(set: &Gearset, clearance: &TypedClearance) -> Result<BushClearance, Refusal> {
    let of = clearance.of.as_ref().map(|pin| pin_of(set, pin)).transpose()?;
    Ok(BushClearance { of, mm: clearance.mm })
}

fn told_run_out(set: &Gearset, run_out: &TypedRunOut) -> Result<RunOut, Refusal> {
    Ok(RunOut::new(lookups::gear(set, &run_out.gear)?, run_out.mm))
}

fn pin_of(set: &Gearset, pin: &TypedPin) -> Result<PinOf, Refusal> {
    let planet = pin.planet.as_deref().map(|name| planet(set, name)).transpose()?;
    Ok(PinOf { planet, pin: pin.pin })
}

/// A planet by its name.
fn planet(set: &Gearset, name: &str) -> Result<MemberId, Refusal> {
    let planets = || set.planet_groups().iter().flat_map(PlanetGroup::planets).copied();
    let names: Vec<&str> = planets().map(|planet| set.member(planet).name()).collect();
    planets().find(|&planet| set.member(planet).name() == name).ok_or_else(|| Refusal::unknown("planet", name, &names))
}

/// How the pins share a load, where a stiffness is given.
fn sharing(set: &Gearset, arguments: &BacklashArguments) -> Result<Option<SharingQuestion>, Refusal> {
    let Some(stiffness) = arguments.stiffness else { return Ok(None) };
    let load = match (&arguments.torque, arguments.tooth_force) {
        (Some(torque), _) => SharedForce::Torque(torque.clone()),
        (None, Some(force)) => SharedForce::Newtons(force),
        (None, None) => {
            return Err(Refusal::new(
                "a stiffness is given, but no load for the pins to share",
                "add --torque \"30 N m\", the torque on the input, or --tooth-force 3000, that of the pushing gear in newtons",
            ));
        }
    };
    let floats = arguments.floats.as_deref().map(|name| lookups::gear(set, name)).transpose()?;
    Ok(Some(SharingQuestion { stiffness, load, floats }))
}
