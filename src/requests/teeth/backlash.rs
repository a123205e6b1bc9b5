//! The question `teeth backlash`: the backlash of every mesh, which pin binds, which carries first.

use super::pins::{self, TypedClearance, TypedPin, TypedPinError, TypedRunOut};
use crate::fit::{
    self, BacklashQuestion, BacklashRefusal, BacklashSurvey, BushClearance, PinOf, RunOut, SharedForce,
    SharingQuestion, ToldPin,
};
use crate::gearset::{Gearset, MemberId, PlanetGroup};
use crate::requests::options::options;
use crate::requests::{AskedAbout, NoAnswer, Question, Refusal, StateOption, WhatIfOptions, lookups, values};
use crate::statics::InputTorque;

options! {
    /// The options of `teeth backlash`.
    pub struct BacklashOptions {
        ..what_if: WhatIfOptions;
        ..only: StateOption;
        /// The clearance of every bush on its pin, on the diameter: 0.05mm or 2thou; of one pin alone 2=0.08mm
        clearance: Vec<TypedClearance> = pins::clearance, "[PIN=]LENGTH";
        /// A pin out of its place, seen from the input side: 2=out:0.05mm, 2=in:2thou, 2=out:0.05mm,ccw:0.02mm; long:2=...
        /// where there are several planets; in place of what the description says was measured of the pin
        pin: Vec<TypedPinError> = pins::pin_error, "[PLANET:]PIN=SIDE:LENGTH,...";
        /// What a dial on the teeth of a gear shows over a turn: D=0.04mm; may be repeated
        run_out: Vec<TypedRunOut> = pins::run_out, "GEAR=LENGTH";
        /// How stiff a planet is on its pin, in N/mm along the working circle of the pushing gear: only with it is it told how
        /// the pins share a load
        stiffness: Option<f64> = pins::stiffness, "N/MM";
        /// The torque on the input that pins share: "30 N m" or "22 lb ft"
        torque: Option<InputTorque> = values::torque, "TORQUE" needs "stiffness";
        /// The force of the pushing gear that pins share, at its working circle, in newtons
        tooth_force: Option<f64> = pins::force, "FORCE" needs "stiffness" excludes "torque";
        /// A central gear that is free to float among the planets
        floats: Option<String> = values::name, "GEAR" needs "stiffness";
    }
}

impl Question for BacklashOptions {
    type Answer = BacklashSurvey;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, BacklashSurvey), NoAnswer> {
        let set = about.gearset(&self.what_if)?;
        let question = question(&set, self)?;
        let found = fit::backlash(&set, &question).map_err(|reasons| refused(&reasons))?;
        Ok((set, found))
    }
}

fn refused(reasons: &[BacklashRefusal]) -> NoAnswer {
    NoAnswer::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
}

/// What is asked, in the names of the gearset; every name that is none is told.
fn question(set: &Gearset, options: &BacklashOptions) -> Result<BacklashQuestion, NoAnswer> {
    let mut wrong = Vec::new();
    let pins = collected(options.pin.iter().map(|pin| told_pin(set, pin)), &mut wrong);
    let clearances = collected(options.clearance.iter().map(|clearance| bush(set, clearance)), &mut wrong);
    let run_outs = collected(options.run_out.iter().map(|run_out| told_run_out(set, run_out)), &mut wrong);
    let state = options.only.place(set).map_err(|refusal| wrong.push(refusal)).ok().flatten();
    let sharing = sharing(set, options).map_err(|refusal| wrong.push(refusal)).ok().flatten();
    if wrong.is_empty() {
        Ok(BacklashQuestion { clearances, pins, run_outs, state, sharing })
    } else {
        Err(NoAnswer::Refused(wrong))
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
fn sharing(set: &Gearset, options: &BacklashOptions) -> Result<Option<SharingQuestion>, Refusal> {
    let Some(stiffness) = options.stiffness else { return Ok(None) };
    let load = match (&options.torque, options.tooth_force) {
        (Some(torque), _) => SharedForce::Torque(torque.clone()),
        (None, Some(force)) => SharedForce::Newtons(force),
        (None, None) => {
            return Err(Refusal::new(
                "a stiffness is given, but no load for the pins to share",
                "add --torque \"30 N m\", the torque on the input, or --tooth-force 3000, that of the pushing gear in newtons",
            ));
        }
    };
    let floats = options.floats.as_deref().map(|name| lookups::gear(set, name)).transpose()?;
    Ok(Some(SharingQuestion { stiffness, load, floats }))
}
