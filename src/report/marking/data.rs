//! The marks of a gearset for other programs: records and JSON.
//!
//! Teeth and spaces are counted counter-clockwise seen from the input side, teeth of bevel
//! planets seen from the outer end of their pin. The keys of the JSON are a promise: further
//! ones may be added after them, none is taken away.

use num_bigint::BigInt;
use serde::Serialize;

use super::Marking;
use crate::gearset::{GearId, MemberId, MeshId};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::timing::{
    Convention, GearMarks, GroupMarking, Meeting, MeshPhase, PhaseOrder, Return, Rolling, StateReturn, ToothMark, UseAs,
};

impl Marking<'_> {
    /// One record for each mark; a group without marks has none.
    pub fn records(&self) -> Records {
        let fields =
            vec!["carrier", "convention", "planet", "gear", "central_gear", "use", "pin", "tooth", "space", "off_line"];
        let marks = self.groups.iter().flat_map(|group| group.gears.iter().map(move |marks| (group, marks)));
        let rows = marks.flat_map(|(group, marks)| marks.pins.iter().map(move |mark| self.row(group, marks, mark)));
        Records { fields, rows: rows.collect() }
    }

    fn row(&self, group: &GroupMarking, marks: &GearMarks, mark: &ToothMark) -> Vec<String> {
        let gear = |gear: GearId| csv_name(self.set.gear(gear).name());
        vec![
            csv_name(self.set.member(group.carrier).name()),
            convention(group.convention).into(),
            csv_name(self.set.member(marks.planet).name()),
            gear(marks.gear),
            marks.central.map(gear).unwrap_or_default(),
            use_as(marks.use_as).into(),
            mark.pin.to_string(),
            mark.tooth.to_string(),
            mark.space.map(|space| space.to_string()).unwrap_or_default(),
            mark.off_line.to_string(),
        ]
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let groups = self.groups.iter().map(|group| self.group_json(group)).collect();
        json(&MarkingJson { gearset: self.set.title().to_owned(), groups })
    }

    fn group_json(&self, group: &GroupMarking) -> GroupJson {
        GroupJson {
            planets: group.planets.iter().map(|&planet| self.member_name(planet)).collect(),
            carrier: self.member_name(group.carrier),
            pins: group.pins,
            convention: convention(group.convention),
            marks: group.gears.iter().map(|marks| self.marks_json(marks)).collect(),
            solid: group.solid.iter().map(|gears| gears.iter().map(|&gear| self.gear_name(gear)).collect()).collect(),
            phases: group.phases.iter().map(|phase| self.phase_json(phase)).collect(),
            meetings: group.meetings.iter().map(|meeting| self.meeting_json(meeting)).collect(),
            states: group.returns.iter().map(|state| self.state_json(group, state)).collect(),
        }
    }

    fn member_name(&self, member: MemberId) -> String {
        self.set.member(member).name().to_owned()
    }

    fn gear_name(&self, gear: GearId) -> String {
        self.set.gear(gear).name().to_owned()
    }

    fn mesh_names(&self, mesh: MeshId) -> [String; 2] {
        self.set.mesh(mesh).gears().both().map(|&gear| self.gear_name(gear))
    }

    fn marks_json(&self, marks: &GearMarks) -> MarksJson {
        let pin = |mark: &ToothMark| MarkJson {
            pin: mark.pin,
            tooth: mark.tooth,
            space: mark.space,
            off_line: Value::new(&mark.off_line),
        };
        MarksJson {
            planet: self.member_name(marks.planet),
            gear: self.gear_name(marks.gear),
            central_gear: marks.central.map(|gear| self.gear_name(gear)),
            use_as: use_as(marks.use_as),
            alike_teeth: marks.alike_teeth,
            pins: marks.pins.iter().map(pin).collect(),
        }
    }

    fn phase_json(&self, phase: &MeshPhase) -> PhaseJson {
        PhaseJson {
            mesh: self.mesh_names(phase.mesh),
            central_gear: self.gear_name(phase.central),
            pins: phase.pins.iter().map(Value::new).collect(),
            order: order(phase.order),
        }
    }

    fn meeting_json(&self, meeting: &Meeting) -> MeetingJson {
        MeetingJson {
            mesh: self.mesh_names(meeting.mesh),
            common_factor: meeting.common_factor,
            hunting: meeting.common_factor == 1,
            turns: [meeting.turns.first, meeting.turns.second],
        }
    }

    fn state_json(&self, group: &GroupMarking, state: &StateReturn) -> StateJson {
        let (motion, back) = match &state.rolling {
            Rolling::Rolls(back) => ("rolls", Some(back.as_ref())),
            Rolling::Stands => ("stands", None),
            Rolling::Free => ("free", None),
            Rolling::Locked => ("locked", None),
        };
        let meetings = |back: &Return| {
            let pairs = group.meetings.iter().zip(&back.meetings);
            pairs
                .map(|(at, turns)| SameTeethJson { mesh: self.mesh_names(at.mesh), turns: Value::new(turns) })
                .collect()
        };
        let turns = |back: &Return| {
            let bodies = back.turns.iter();
            bodies.map(|body| (self.gear_name(body.gear), serde_json::Value::Number(number(&body.turns)))).collect()
        };
        StateJson {
            state: state.state.clone(),
            input: self.member_name(state.input),
            motion,
            line_up: back.and_then(|back| back.line_up.as_ref()).map(Value::new),
            everything_back: back.map(|back| Value::new(&back.everything)),
            turns_by_then: back.map(turns),
            same_teeth: back.map(meetings),
        }
    }
}

/// A whole number of any size as a JSON number.
fn number(value: &BigInt) -> serde_json::Number {
    value.to_string().parse().expect("digits are a JSON number")
}

fn convention(convention: Convention) -> &'static str {
    match convention {
        Convention::Refused => "refused",
        Convention::OnePin => "one pin",
        Convention::AnyTooth => "any tooth",
        Convention::Radial => "radial",
        Convention::Parallel => "parallel",
        Convention::Individual => "individual",
    }
}

fn use_as(use_as: UseAs) -> &'static str {
    match use_as {
        UseAs::Marks => "marks",
        UseAs::Check => "check",
    }
}

fn order(order: PhaseOrder) -> &'static str {
    match order {
        PhaseOrder::InStep => "in step",
        PhaseOrder::CounterPhase => "counter-phase",
        PhaseOrder::Evenly => "evenly",
        PhaseOrder::Unevenly => "unevenly",
    }
}

#[derive(Debug, Serialize)]
struct MarkingJson {
    gearset: String,
    groups: Vec<GroupJson>,
}

#[derive(Debug, Serialize)]
struct GroupJson {
    planets: Vec<String>,
    carrier: String,
    pins: usize,
    convention: &'static str,
    marks: Vec<MarksJson>,
    solid: Vec<Vec<String>>,
    phases: Vec<PhaseJson>,
    meetings: Vec<MeetingJson>,
    states: Vec<StateJson>,
}

#[derive(Debug, Serialize)]
struct MarksJson {
    planet: String,
    gear: String,
    central_gear: Option<String>,
    #[serde(rename = "use")]
    use_as: &'static str,
    alike_teeth: i64,
    pins: Vec<MarkJson>,
}

#[derive(Debug, Serialize)]
struct MarkJson {
    pin: usize,
    tooth: i64,
    space: Option<i64>,
    off_line: Value,
}

#[derive(Debug, Serialize)]
struct PhaseJson {
    mesh: [String; 2],
    central_gear: String,
    pins: Vec<Value>,
    order: &'static str,
}

#[derive(Debug, Serialize)]
struct MeetingJson {
    mesh: [String; 2],
    common_factor: u16,
    hunting: bool,
    turns: [u16; 2],
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    input: String,
    motion: &'static str,
    line_up: Option<Value>,
    everything_back: Option<Value>,
    turns_by_then: Option<serde_json::Map<String, serde_json::Value>>,
    same_teeth: Option<Vec<SameTeethJson>>,
}

#[derive(Debug, Serialize)]
struct SameTeethJson {
    mesh: [String; 2],
    turns: Value,
}
