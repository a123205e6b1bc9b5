//! What runs in the states of a gearset, for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken
//! away. Speeds are per turn of the input; what depends on a speed of the input is null without.

use serde::Serialize;
use serde_json::Number;

use super::{Running, work};
use crate::exact::Fraction;
use crate::gearset::MemberId;
use crate::kinematics::Speed;
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::report::words::{key, rounded};
use crate::running::{Engagement, Finding, Judgement, RunsOn, StateWork, Suspect, bearings, engagements};

impl Running<'_> {
    /// The answer for other programs: one record for each member, bearing and mesh of a state.
    pub fn records(&self) -> Records {
        let fields = vec!["state", "kind", "first", "second", "value", "value_decimal", "work"];
        Records { fields, rows: self.shown().flat_map(|state| self.records_of(state)).collect() }
    }

    fn records_of(&self, state: &StateWork) -> Vec<Vec<String>> {
        let record = |kind: &str, names: [&str; 2], speed: &Speed, work: &str| {
            let value = speed.value();
            vec![
                csv_name(&state.motion.state),
                kind.to_owned(),
                csv_name(names[0]),
                csv_name(names[1]),
                value.map(ToString::to_string).unwrap_or_default(),
                value.map(rounded).unwrap_or_default(),
                work.to_owned(),
            ]
        };
        let name = |member: MemberId| self.set.member(member).name();
        let members =
            state.motion.members.iter().map(|found| record("member", [name(found.member), ""], &found.speed, ""));
        let all = bearings(self.set);
        let bearings = all.iter().zip(&state.bearings).map(|(bearing, motion)| {
            record("bearing", [name(bearing.first), name(bearing.second)], &motion.relative, "")
        });
        let meshes = state.meshes.iter().map(|found| {
            let [first, second] = self.set.mesh(found.mesh).gears().both().map(|&gear| self.set.gear(gear).name());
            record("mesh", [first, second], &found.teeth, work(found.work))
        });
        members.chain(bearings).chain(meshes).collect()
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        json(&RunningJson {
            gearset: self.set.title().to_owned(),
            input_rpm: self.input_rpm.as_ref().map(Value::new),
            states: self.shown().map(|state| self.state_json(state)).collect(),
            engagements: self.engagements_json(),
            beyond_limit: self
                .beyond()
                .into_iter()
                .map(|found| BeyondJson {
                    member: self.name(found.member),
                    state: found.state,
                    rpm: Value::new(&found.speed),
                    limit: Value::new(&found.limit),
                })
                .collect(),
            noise: self.listened.is_some().then(|| {
                let all = bearings(self.set);
                self.findings().iter().map(|found| self.noise_json(&all, found)).collect()
            }),
            torque: self.loaded.as_ref().map(|loaded| Value::new(&loaded.torque)),
            torque_unit: self.loaded.as_ref().map(|loaded| key(&loaded.unit)),
        })
    }

    fn name(&self, member: MemberId) -> String {
        self.set.member(member).name().to_owned()
    }

    fn state_json(&self, state: &StateWork) -> StateJson {
        let all = bearings(self.set);
        let bearings = all.iter().zip(&state.bearings).map(|(bearing, motion)| BearingJson {
            first: self.name(bearing.first),
            second: self.name(bearing.second),
            on_pin: bearing.on_pin,
            relative: value(&motion.relative),
            rubbing_m_per_s: self.rubbing(bearing, &motion.relative).and_then(Number::from_f64),
            bush: self.bush(bearing, &motion.relative, &state.motion.state).map(|bush| BushJson {
                force_per_pin_newtons: bush.force.per_pin(),
                pressure_newtons_per_mm2: bush.pressure,
                pressure_times_speed: bush.pressure_times_speed,
            }),
        });
        let meshes = state.meshes.iter().map(|found| MeshJson {
            gears: self.set.mesh(found.mesh).gears().both().map(|&gear| self.set.gear(gear).name().to_owned()),
            teeth: value(&found.teeth),
            hertz: self.contact_rate(&found.teeth).as_ref().map(Value::new),
            work: work(found.work),
        });
        let members = state
            .motion
            .members
            .iter()
            .map(|found| MemberJson { member: self.name(found.member), speed: value(&found.speed) });
        StateJson {
            state: state.motion.state.clone(),
            members: members.collect(),
            bearings: bearings.collect(),
            meshes: meshes.collect(),
        }
    }

    fn engagements_json(&self) -> Vec<EngagementJson> {
        let mut found = engagements(self.set);
        found.retain(|found| self.only.is_none_or(|only| only == found.into));
        let engagement = |found: Engagement| EngagementJson {
            applied: self.restraint(&found.restraint),
            first: self.name(found.bodies.first),
            second: self.name(found.bodies.second),
            before: value(&found.before),
            into: found.into,
            from: found.from,
        };
        found.into_iter().map(engagement).collect()
    }

    fn noise_json(&self, all: &[RunsOn], found: &Finding) -> NoiseJson {
        let (kind, names) = match found.suspect {
            Suspect::Mesh(mesh) => {
                ("mesh", self.set.mesh(mesh).gears().both().map(|&gear| self.set.gear(gear).name().to_owned()).to_vec())
            }
            Suspect::Bearing(place) => {
                let bearing = &all[place];
                ("bearing", vec![self.name(bearing.first), self.name(bearing.second)])
            }
            Suspect::Member(member) => ("member", vec![self.name(member)]),
        };
        let (judgement, reasons) = match &found.judgement {
            Judgement::Fits => ("fits", Vec::new()),
            Judgement::FitsUnderLoad => ("fits under load", Vec::new()),
            Judgement::Out(reasons) => ("out", reasons.iter().map(|reason| self.reason(reason)).collect()),
        };
        NoiseJson { kind, names, judgement, reasons }
    }
}

fn value(speed: &Speed) -> Option<Value> {
    speed.value().map(|value: &Fraction| Value::new(value))
}

#[derive(Debug, Serialize)]
struct RunningJson {
    gearset: String,
    input_rpm: Option<Value>,
    states: Vec<StateJson>,
    engagements: Vec<EngagementJson>,
    beyond_limit: Vec<BeyondJson>,
    noise: Option<Vec<NoiseJson>>,
    torque: Option<Value>,
    torque_unit: Option<String>,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    members: Vec<MemberJson>,
    bearings: Vec<BearingJson>,
    meshes: Vec<MeshJson>,
}

#[derive(Debug, Serialize)]
struct MemberJson {
    member: String,
    speed: Option<Value>,
}

#[derive(Debug, Serialize)]
struct BearingJson {
    first: String,
    second: String,
    on_pin: bool,
    relative: Option<Value>,
    rubbing_m_per_s: Option<Number>,
    bush: Option<BushJson>,
}

/// The last is in newtons per square millimetre times metres a second.
#[derive(Debug, Serialize)]
struct BushJson {
    force_per_pin_newtons: f64,
    pressure_newtons_per_mm2: Option<f64>,
    pressure_times_speed: Option<f64>,
}

#[derive(Debug, Serialize)]
struct MeshJson {
    gears: [String; 2],
    teeth: Option<Value>,
    hertz: Option<Value>,
    work: &'static str,
}

#[derive(Debug, Serialize)]
struct EngagementJson {
    into: String,
    from: Option<String>,
    applied: String,
    first: String,
    second: String,
    before: Option<Value>,
}

#[derive(Debug, Serialize)]
struct BeyondJson {
    member: String,
    state: String,
    rpm: Value,
    limit: Value,
}

#[derive(Debug, Serialize)]
struct NoiseJson {
    kind: &'static str,
    names: Vec<String>,
    judgement: &'static str,
    reasons: Vec<String>,
}
