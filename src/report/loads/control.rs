//! What a band, a clutch or a one-way clutch does in a state, in words.
//!
//! In drive the input has the given torque; on overrun every torque has the other sign. What is
//! said of friction rests on the sizes in the description, and is an estimate.

use super::{digits, newtons};
use crate::gearset::{Action, Control, Gearset, Sense};
use crate::report::render::document::{Block, Fact};
use crate::report::words::{key, quoted};
use crate::statics::{Capacity, CapacityVerdict, LoadSurvey, LoadedControl, LoadedState, OneWay, PSI, PowerSense};

/// What an applied control does, in drive and on overrun.
pub(super) fn what_it_does(set: &Gearset, state: &LoadedState, load: &LoadedControl) -> String {
    if load.torque.is_none() && load.wants_to_turn.is_none() {
        return "not told".into();
    }
    match (set.control(load.control).action(), load.wants_to_turn) {
        (Action::OneWayClutch(..), _) => one_way(state, load),
        (_, None) => "carries nothing".into(),
        (Action::Band(_), Some(wants)) => format!("drum wants to turn {}; {}", key(&wants), key(&wants.other())),
        (Action::Clutch(_), Some(_)) => "carries the torque in both".into(),
    }
}

/// Whether a one-way clutch holds or overruns.
fn one_way(state: &LoadedState, load: &LoadedControl) -> String {
    let [drive, overrun] = [load.one_way, load.one_way_on_overrun].map(|does| match does {
        Some(does) => key(&does),
        None => "not told".into(),
    });
    let brakes = if state.lets_go_on_overrun && load.applied { ": nothing brakes the output" } else { "" };
    if drive == overrun { drive } else { format!("{drive}; {overrun}{brakes}") }
}

/// One-way clutches that cannot do what the state wants of them in drive.
pub(super) fn one_way_warnings(set: &Gearset, state: &LoadedState) -> Vec<String> {
    let in_state = format!("state {}", quoted(&state.state));
    let warning = |load: &LoadedControl| {
        let name = quoted(set.control(load.control).name());
        match load.one_way? {
            OneWay::LetsGo => Some(format!(
                "the one-way clutch {name} is pulled open by this torque and lets go: {in_state} does not drive so; look \
                 at the sense that it stops"
            )),
            OneWay::WouldHold => Some(format!(
                "the one-way clutch {name} is not listed in {in_state} but would hold in it: list it, or look at the \
                 sense that it stops"
            )),
            OneWay::Holds | OneWay::LeavesToOthers | OneWay::Overruns | OneWay::Idle => None,
        }
    };
    state.controls.iter().filter_map(warning).collect()
}

/// How bands and clutches of the state cope, each in its own words.
pub(super) fn friction(answer: &LoadSurvey, set: &Gearset, state: &LoadedState) -> Vec<Block> {
    let (mut facts, mut warnings) = (Vec::new(), Vec::new());
    for load in &state.controls {
        let Some(wants) = load.wants_to_turn else { continue };
        let control = set.control(load.control);
        let capacity = load.capacity.as_ref();
        let mut told = match control.action() {
            Action::Band(_) => band(control, capacity, wants),
            Action::Clutch(_) => capacity.map_or_else(Vec::new, |capacity| plates(answer, control, capacity)),
            Action::OneWayClutch(..) => continue,
        };
        for verdict in capacity.map_or(&[][..], |capacity| &capacity.verdicts) {
            let subject = match verdict.when {
                PowerSense::Either => "capacity, worn in, by uniform wear".to_owned(),
                PowerSense::Drive | PowerSense::Overrun => format!("capacity {}", key(&verdict.when)),
            };
            told.push(Fact::new(&format!("- {subject}"), enough(answer, verdict)));
            if !verdict.holds {
                warnings.push(slips(control, &subject));
            }
        }
        facts.extend(told);
    }
    let facts = if facts.is_empty() { None } else { Some(Block::Facts(facts)) };
    facts.into_iter().chain(warnings).collect()
}

/// A capacity beside the demand.
fn enough(answer: &LoadSurvey, verdict: &CapacityVerdict) -> String {
    format!(
        "{}, enough for {} on the input: {}, by this estimate",
        in_unit(answer, verdict.capacity_newton_metres),
        in_unit(answer, verdict.enough_for_newton_metres),
        if verdict.holds { "holds" } else { "SLIPS" }
    )
}

fn slips(control: &Control, subject: &str) -> Block {
    Block::Warning(format!(
        "{}, {subject}: less than the demand by this estimate. What slips burns its lining; look at lining, oil and \
         sizes before more force is put on it",
        quoted(control.name())
    ))
}

/// How a band lies on its drum, with which tensions it holds, and with which pressure.
fn band(control: &Control, capacity: Option<&Capacity>, wants: Sense) -> Vec<Fact> {
    let mut facts = vec![Fact::new(control.name(), wrapping(control, capacity, wants))];
    let Some(capacity) = capacity else { return facts };
    let Some(ratio) = capacity.tension_ratio else { return facts };
    facts.push(Fact::new("- tension ratio", format!("{} by friction and wrap, an estimate", digits(ratio))));
    if let Some((tight, slack)) = capacity.tight_end_newtons.zip(capacity.slack_end_newtons) {
        let pull = capacity.least_pull_newtons.map_or_else(String::new, |[drive, overrun]| {
            format!("; pull with at least {} in drive, {} on overrun", newtons(drive), newtons(overrun))
        });
        facts.push(Fact::new("- ends", format!("tight {}, slack {}{pull}", newtons(tight), newtons(slack))));
    }
    if let Some(ends) = capacity.lining_pressure_newtons_per_mm2 {
        let [tight, slack] = ends.map(pressure_in_words);
        facts.push(Fact::new("- lining pressure", format!("{tight} at the tight end, {slack} at the slack end")));
    }
    facts
}

fn wrapping(control: &Control, capacity: Option<&Capacity>, wants: Sense) -> String {
    let from_anchor = control.band_sizes().and_then(|sizes| sizes.from_anchor);
    match from_anchor.zip(capacity.and_then(|capacity| capacity.wraps_on)) {
        Some((from_anchor, ways)) => {
            let [drive, overrun] = ways.map(|wraps_on| if wraps_on { "self-energising" } else { "de-energising" });
            format!("leads {} from its anchor: {drive} in drive, {overrun} on overrun", key(&from_anchor))
        }
        None => format!(
            "self-energising in drive if it leads {} from its anchor to the end that is pulled, de-energising if it \
             leads {}; on overrun the other way round",
            key(&wants),
            key(&wants.other())
        ),
    }
}

fn plates(answer: &LoadSurvey, control: &Control, capacity: &Capacity) -> Vec<Fact> {
    let demands = capacity.verdicts.iter().map(|verdict| {
        Fact::new(control.name(), format!("has {} to carry", in_unit(answer, verdict.demand_newton_metres)))
    });
    let new = capacity.plates_new_newton_metres.map(|new| {
        Fact::new("- capacity, new plates", format!("{} by uniform pressure, an estimate", in_unit(answer, new)))
    });
    demands.chain(new).collect()
}

/// A torque in newton metres in the unit of the answer.
fn in_unit(answer: &LoadSurvey, newton_metres: f64) -> String {
    let unit = answer.torque_unit;
    format!("{} {}", digits(newton_metres / unit.newton_metres()), key(&unit))
}

/// A pressure in newtons per square millimetre with pounds per square inch beside.
pub(in crate::report) fn pressure_in_words(pressure: f64) -> String {
    format!("{} N/mm2 ({} psi)", digits(pressure), digits(pressure * PSI))
}
