//! What a band, a clutch or a one-way clutch does in a state, in words.
//!
//! In drive the input has the given torque; on overrun every torque has the other sign. What is
//! said of friction rests on the sizes in the description, and is an estimate.

use super::{Loads, digits, newtons};
use crate::exact::{Fraction, to_float};
use crate::gearset::{Action, BandSizes, ControlId, PlateSizes, Sense};
use crate::report::render::document::{Block, Fact};
use crate::report::words::quoted;
use crate::statics::{
    ControlLoad, OneWay, PSI, Running, StateLoads, Wrapping, band_capacity, band_load, drum_wants_to_turn, one_way,
    plate_capacity, tension_ratio, wrapping,
};
use num_traits::Signed;

impl Loads<'_> {
    /// What an applied control does, in drive and on overrun.
    pub(super) fn what_it_does(&self, state: &StateLoads, load: &ControlLoad) -> String {
        let Some(torque) = &load.torque else { return "not told".into() };
        match (self.set.control(load.control).action(), drum_wants_to_turn(torque)) {
            (Action::OneWayClutch(..), _) => self.one_way(state, load),
            (_, None) => "carries nothing".into(),
            (Action::Band(_), Some(wants)) => {
                format!("drum wants to turn {}; {}", sense(wants), sense(wants.other()))
            }
            (Action::Clutch(_), Some(_)) => "carries the torque in both".into(),
        }
    }

    /// Whether a one-way clutch holds or overruns.
    fn one_way(&self, state: &StateLoads, load: &ControlLoad) -> String {
        let does = |power| one_way(self.set, state, load.control, power).map_or("not told", one_way_word);
        let words = [Sense::Forward, Sense::Backward].map(does);
        let brakes = if self.lets_go_on_overrun(state) && load.applied { ": nothing brakes the output" } else { "" };
        if words[0] == words[1] { words[0].to_owned() } else { words.join("; ") + brakes }
    }

    /// Whether a one-way clutch that the state lists lets go when the output drives.
    pub(super) fn lets_go_on_overrun(&self, state: &StateLoads) -> bool {
        let lets_go =
            |load: &ControlLoad| one_way(self.set, state, load.control, Sense::Backward) == Some(OneWay::LetsGo);
        state.controls.iter().any(lets_go)
    }

    /// One-way clutches that cannot do what the state wants of them in drive.
    pub(super) fn one_way_warnings(&self, state: &StateLoads) -> Vec<Block> {
        let warning = |load: &ControlLoad| {
            let name = quoted(self.set.control(load.control).name());
            match one_way(self.set, state, load.control, Sense::Forward)? {
                OneWay::LetsGo => Some(Block::Warning(format!(
                    "the one-way clutch {name} is pulled open by this torque and lets go: the state does not drive so; \
                     look at the sense that it stops"
                ))),
                OneWay::WouldHold => Some(Block::Warning(format!(
                    "the one-way clutch {name} is not listed in this state but would hold in it: list it, or look at the \
                     sense that it stops"
                ))),
                OneWay::Holds | OneWay::Overruns | OneWay::Idle => None,
            }
        };
        state.controls.iter().filter_map(warning).collect()
    }

    /// How bands and clutches of the state cope, each in its own words.
    pub(super) fn friction(&self, state: &StateLoads) -> Vec<Block> {
        let mut blocks = Vec::new();
        let mut facts = Vec::new();
        for load in state.controls.iter().filter(|load| load.applied) {
            let control = self.set.control(load.control);
            let Some(torque) = load.torque.as_ref() else { continue };
            let demand = self.demand(state, load.control, torque);
            let mut says = Says { name: control.name(), facts: &mut facts, blocks: &mut blocks };
            match (control.action(), drum_wants_to_turn(torque)) {
                (Action::Band(_), Some(wants)) => self.band(control.band_sizes(), demand, wants, &mut says),
                (Action::Clutch(_), Some(_)) => self.plates(control.plate_sizes(), demand, &mut says),
                _ => {}
            }
        }
        if !facts.is_empty() {
            blocks.insert(0, Block::Facts(facts));
        }
        blocks
    }

    /// What a control has to hold: without losses, and where they are known and make it more, with them.
    fn demand(&self, state: &StateLoads, control: ControlId, torque: &Fraction) -> Demand {
        let newton_metres = |torque: &Fraction| to_float(&torque.abs()) * self.unit.newton_metres();
        let ideal = newton_metres(torque);
        let with_losses = |running: &Running| match running {
            Running::Runs(run) => {
                run.controls[control.index()].as_ref().map(|held| newton_metres(&(held * &self.torque)))
            }
            Running::SelfLocking | Running::NotTold => None,
        };
        let lossy = self.losses.iter().find(|losses| losses.state == state.motion.state);
        let more = |way: Option<&Running>| way.and_then(with_losses).map_or(ideal, |held| held.max(ideal));
        let overrun = lossy.map(|lossy| &lossy.overrun).filter(|_| !self.lets_go_on_overrun(state));
        Demand { ideal, drive: more(lossy.map(|lossy| &lossy.drive)), overrun: more(overrun) }
    }

    fn band(&self, sizes: Option<&BandSizes>, demand: Demand, wants: Sense, says: &mut Says<'_>) {
        let Some(from_anchor) = sizes.and_then(|sizes| sizes.from_anchor) else {
            says.fact(
                "",
                format!(
                    "wraps itself on in drive if it leads {} from its anchor to the end that is pulled, unwinds if it leads \
                     {}; on overrun the other way round",
                    sense(wants),
                    sense(wants.other())
                ),
            );
            return self.band_tensions(sizes, demand, None, says);
        };
        let [drive, overrun] = [wants, wants.other()].map(|wants| wrapping(from_anchor, wants));
        says.fact(
            "",
            format!(
                "leads {} from its anchor: {} in drive, {} on overrun",
                sense(from_anchor),
                wrapping_word(drive),
                wrapping_word(overrun)
            ),
        );
        self.band_tensions(sizes, demand, Some([drive, overrun]), says);
    }

    fn band_tensions(
        &self,
        sizes: Option<&BandSizes>,
        demand: Demand,
        wrapping: Option<[Wrapping; 2]>,
        says: &mut Says<'_>,
    ) {
        let Some((sizes, ratio)) = sizes.and_then(|sizes| Some((sizes, tension_ratio(sizes)?))) else { return };
        says.fact("tension ratio", format!("{} by friction and wrap, an estimate", digits(ratio)));
        let Some(found) = band_load(sizes, demand.ideal) else { return };
        let worked = wrapping.map(|both| {
            both.map(|wrapping| match wrapping {
                Wrapping::WrapsOn => found.slack,
                Wrapping::Unwinds => found.tight,
            })
        });
        let pull = worked.map_or_else(String::new, |[drive, overrun]| {
            format!("; pull with at least {} in drive, {} on overrun", newtons(drive), newtons(overrun))
        });
        says.fact("ends", format!("tight {}, slack {}{pull}", newtons(found.tight), newtons(found.slack)));
        if let Some([tight, slack]) = found.pressure {
            let [tight, slack] = [tight, slack].map(pressure_in_words);
            says.fact("lining pressure", format!("{tight} at the tight end, {slack} at the slack end"));
        }
        let ways = [("in drive", demand.drive), ("on overrun", demand.overrun)];
        for ((when, demand), wrapping) in ways.into_iter().zip(wrapping.into_iter().flatten()) {
            if let Some(capacity) = band_capacity(sizes, wrapping) {
                says.capacity(&format!("capacity {when}"), &self.capacity(capacity, demand));
            }
        }
    }

    fn plates(&self, sizes: Option<&PlateSizes>, demand: Demand, says: &mut Says<'_>) {
        let Some(capacity) = sizes.and_then(plate_capacity) else { return };
        let demand = demand.drive.max(demand.overrun);
        says.fact("", format!("has {} to carry", self.in_unit(demand)));
        let pressure = capacity.uniform_pressure;
        says.fact("capacity, new plates", format!("{} by uniform pressure, an estimate", self.in_unit(pressure)));
        says.capacity("capacity, worn in, by uniform wear", &self.capacity(capacity.uniform_wear, demand));
    }

    /// What a capacity is worth when the torque on the input is as given.
    fn capacity(&self, capacity: f64, demand: f64) -> Capacity {
        let share = capacity / demand;
        let enough_for = self.in_unit(share * to_float(&self.torque) * self.unit.newton_metres());
        Capacity { told: self.in_unit(capacity), enough_for, share }
    }

    /// A torque in newton metres in the unit of the answer.
    fn in_unit(&self, newton_metres: f64) -> String {
        format!("{} {}", digits(newton_metres / self.unit.newton_metres()), self.unit.symbol())
    }
}

/// What a control has to hold, in newton metres.
#[derive(Debug, Clone, Copy)]
struct Demand {
    /// Without losses.
    ideal: f64,
    /// In drive; with losses where they make it more.
    drive: f64,
    /// On overrun, likewise.
    overrun: f64,
}

/// A capacity in words, and how many times the demand it is.
struct Capacity {
    told: String,
    enough_for: String,
    share: f64,
}

/// Where what is said of one control goes.
struct Says<'a> {
    name: &'a str,
    facts: &'a mut Vec<Fact>,
    blocks: &'a mut Vec<Block>,
}

impl Says<'_> {
    fn fact(&mut self, subject: &str, answer: String) {
        let subject = if subject.is_empty() { self.name.to_owned() } else { format!("- {subject}") };
        self.facts.push(Fact::new(&subject, answer));
    }

    /// A capacity beside the demand, and a warning where it is not enough.
    fn capacity(&mut self, subject: &str, found: &Capacity) {
        let Capacity { told, enough_for, share } = found;
        let verdict = if *share < 1.0 { "SLIPS" } else { "holds" };
        self.fact(subject, format!("{told}, enough for {enough_for} on the input: {verdict}, by this estimate"));
        if *share < 1.0 {
            self.blocks.push(Block::Warning(format!(
                "{}, {subject}: less than the demand by this estimate. What slips burns its lining; look at lining, oil and \
                 sizes before more force is put on it",
                quoted(self.name)
            )));
        }
    }
}

/// A pressure in newtons per square millimetre with pounds per square inch beside.
pub(in crate::report) fn pressure_in_words(pressure: f64) -> String {
    format!("{} N/mm2 ({} psi)", digits(pressure), digits(pressure * PSI))
}

/// The word for what a one-way clutch does.
pub(super) fn one_way_word(does: OneWay) -> &'static str {
    match does {
        OneWay::Holds => "holds",
        OneWay::LetsGo => "lets go",
        OneWay::Overruns => "overruns",
        OneWay::Idle => "carries nothing",
        OneWay::WouldHold => "would hold",
    }
}

/// The sense in which a drum that is held with this torque wants to turn.
pub(super) fn wants_word(torque: &Fraction) -> Option<&'static str> {
    drum_wants_to_turn(torque).map(sense)
}

fn sense(sense: Sense) -> &'static str {
    match sense {
        Sense::Forward => "forward",
        Sense::Backward => "backward",
    }
}

fn wrapping_word(wrapping: Wrapping) -> &'static str {
    match wrapping {
        Wrapping::WrapsOn => "wraps itself on",
        Wrapping::Unwinds => "unwinds",
    }
}
