//! Gearsets side by side for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken away.
//! Records are the cells of the tables that a person sees, one a row.

use serde::Serialize;

use super::{Compared, Comparison, group_name};
use crate::clearance::Gap;
use crate::comparison::{PartChange, changes};
use crate::gearset::{ControlId, Gear, Gearset};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::statics::{ControlLoad, StateLoads};
use crate::timing::{GroupTiming, Meeting};

impl Comparison<'_> {
    /// The answer for other programs, one record a cell.
    pub fn records(&self) -> Records {
        let mut rows = Vec::new();
        for question in self.questions() {
            for row in question.rows {
                for (compared, cell) in self.sets.iter().zip(row.cells) {
                    let [name, cell] = [&row.name, &cell].map(|text| csv_name(text));
                    rows.push(vec![question.caption.to_owned(), name, compared.letter.clone(), cell]);
                }
            }
        }
        Records { fields: vec!["table", "row", "column", "cell"], rows }
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let sets = self.sets.iter().map(|compared| self.set_json(compared)).collect();
        json(&ComparisonJson { sets })
    }

    fn set_json(&self, compared: &Compared) -> SetJson {
        let set = &compared.set;
        let answers = &compared.answers;
        let gear = |gear: &Gear| GearJson {
            gear: gear.name().to_owned(),
            member: set.member(gear.member()).name().to_owned(),
            teeth: gear.tooth_count().get(),
        };
        SetJson {
            column: compared.letter.clone(),
            source: compared.source.clone(),
            gearset: set.title().to_owned(),
            gears: set.gears().iter().map(gear).collect(),
            states: answers.states.iter().map(|state| state_json(set, state)).collect(),
            groups: answers.timing.iter().map(|group| group_json(set, group)).collect(),
            gaps: answers.gaps.iter().flatten().flatten().map(|gap| gap_json(set, gap)).collect(),
            meetings: answers
                .marking
                .iter()
                .flat_map(|group| &group.meetings)
                .map(|it| meeting_json(set, it))
                .collect(),
            parts_changed: changes(&self.sets[0].set, set).iter().map(changed_name).collect(),
        }
    }
}

fn state_json(set: &Gearset, state: &StateLoads) -> StateJson {
    let name = |control: ControlId| set.control(control).name().to_owned();
    let control =
        |load: &ControlLoad| ControlJson { control: name(load.control), torque: load.torque.as_ref().map(Value::new) };
    StateJson {
        state: state.motion.state.clone(),
        verdict: state.motion.verdict.kind(),
        ratio: state.motion.verdict.ratio().map(Value::new),
        controls: state.controls.iter().filter(|load| load.applied).map(control).collect(),
    }
}

fn group_json(set: &Gearset, group: &GroupTiming) -> GroupJson {
    GroupJson {
        planets: group_name(set, group),
        pins: group.pins.len(),
        goes_together: group.assembles,
        radial_marks: group.radial_marks,
        parallel_marks: group.parallel_marks,
        margin: group.margin.as_ref().map(Value::new),
        unnoticed: group.within_backlash,
    }
}

fn gap_json(set: &Gearset, gap: &Gap) -> GapJson {
    GapJson {
        gears: gap.gears.both().map(|&gear| set.gear(gear).name().to_owned()),
        modules: gap.modules,
        millimetres: gap.millimetres,
    }
}

fn meeting_json(set: &Gearset, meeting: &Meeting) -> MeetingJson {
    MeetingJson {
        mesh: set.mesh_name(meeting.mesh),
        common_factor: meeting.common_factor,
        turns: meeting.turns.both().map(|&turns| turns),
    }
}

fn changed_name(change: &PartChange) -> String {
    match change {
        PartChange::Gone { member } | PartChange::New { member, .. } | PartChange::Teeth { member, .. } => member,
        PartChange::Pins { carrier, .. } => carrier,
    }
    .clone()
}

#[derive(Debug, Serialize)]
struct ComparisonJson {
    sets: Vec<SetJson>,
}

#[derive(Debug, Serialize)]
struct SetJson {
    column: String,
    source: String,
    gearset: String,
    gears: Vec<GearJson>,
    states: Vec<StateJson>,
    groups: Vec<GroupJson>,
    gaps: Vec<GapJson>,
    meetings: Vec<MeetingJson>,
    parts_changed: Vec<String>,
}

#[derive(Debug, Serialize)]
struct GearJson {
    gear: String,
    member: String,
    teeth: u16,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    verdict: crate::kinematics::VerdictKind,
    ratio: Option<Value>,
    controls: Vec<ControlJson>,
}

#[derive(Debug, Serialize)]
struct ControlJson {
    control: String,
    torque: Option<Value>,
}

#[derive(Debug, Serialize)]
struct GroupJson {
    planets: String,
    pins: usize,
    goes_together: bool,
    radial_marks: bool,
    parallel_marks: bool,
    margin: Option<Value>,
    unnoticed: Option<bool>,
}

#[derive(Debug, Serialize)]
struct GapJson {
    gears: [String; 2],
    modules: f64,
    millimetres: Option<f64>,
}

#[derive(Debug, Serialize)]
struct MeetingJson {
    mesh: String,
    common_factor: u16,
    turns: [u16; 2],
}
