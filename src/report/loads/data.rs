//! The loads of a gearset for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken
//! away. Fractions are strings; a torque that is not determined is null.

use serde::Serialize;

use super::Loads;
use super::control::{one_way_word, wants_word};
use crate::exact::{Fraction, to_float};
use crate::gearset::{MemberId, Sense};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::report::words::rounded;
use crate::statics::{
    Balanced, ControlLoad, MemberLoad, MeshLoad, PinLoad, Running, StateLoads, Wrapping, band_capacity, band_load,
    circulating_power, drum_wants_to_turn, efficiency, mesh_force, one_way, pin_force, plate_capacity, tension_ratio,
    wrapping,
};

impl Loads<'_> {
    /// The answer for other programs, one record a member, control, join or mesh and state.
    pub fn records(&self) -> Records {
        let fields = vec!["state", "verdict", "balance", "kind", "name", "torque", "torque_decimal", "power_share"];
        let name = |member| csv_name(self.set.member(member).name());
        let mut rows = Vec::new();
        for state in self.states {
            let mut add = |kind: &str, what: String, torque: Option<&Fraction>, power: Option<&Fraction>| {
                let mut row =
                    vec![csv_name(&state.motion.state), crate::report::words::key(&state.motion.verdict.kind())];
                row.extend([balance_key(state.balanced).to_owned(), kind.to_owned(), what]);
                row.extend([
                    torque.map_or_else(String::new, ToString::to_string),
                    torque.map_or_else(String::new, rounded),
                ]);
                row.push(power.map_or_else(String::new, rounded));
                rows.push(row);
            };
            for load in &state.members {
                add("member", name(load.member), load.torque.as_ref(), load.power.as_ref());
            }
            for load in &state.controls {
                add("control", csv_name(self.set.control(load.control).name()), load.torque.as_ref(), None);
            }
            for load in &state.joins {
                let [first, second] = load.members.both().map(|&member| self.set.member(member).name());
                add("join", csv_name(&format!("{first} / {second}")), load.torque.as_ref(), None);
            }
            for load in &state.meshes {
                let [first, second] = self.gear_names(load);
                let torque = load.torques(self.set).map(|[torque, ..]| torque);
                let rolling = load.rolling_power.as_ref();
                add("mesh", csv_name(&format!("{first} / {second}")), torque.as_ref(), rolling);
            }
        }
        Records { fields, rows }
    }

    fn gear_names(&self, load: &MeshLoad) -> [&str; 2] {
        self.set.mesh(load.mesh).gears().both().map(|&gear| self.set.gear(gear).name())
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        json(&LoadsJson {
            gearset: self.set.title().to_owned(),
            states: (0..self.states.len()).map(|index| self.state_json(index)).collect(),
            torque_unit: self.unit.symbol(),
        })
    }

    fn state_json(&self, index: usize) -> StateJson {
        let (state, losses) = (&self.states[index], self.losses.get(index));
        let of = |running: Option<&Running>| running.and_then(efficiency).as_ref().map(Value::new);
        let name = |member| self.set.member(member).name().to_owned();
        let value = |torque: &Option<Fraction>| torque.as_ref().map(Value::new);
        StateJson {
            state: state.motion.state.clone(),
            verdict: state.motion.verdict.kind(),
            members: self.members_json(state),
            controls: self.controls_json(state),
            efficiency: of(losses.map(|losses| &losses.drive)),
            input: name(state.motion.input),
            output: name(state.motion.output),
            balance: balance_key(state.balanced),
            joins: state
                .joins
                .iter()
                .map(|load| JoinJson {
                    members: load.members.both().map(|&member| name(member)),
                    torque: value(&load.torque),
                })
                .collect(),
            meshes: state.meshes.iter().map(|load| self.mesh_json(load)).collect(),
            mounts: value(&state.mounts),
            circulating_power: value(&circulating_power(self.set, state)),
            efficiency_on_overrun: of(losses.map(|losses| &losses.overrun)),
            locks_itself: losses.map(|losses| [&losses.drive, &losses.overrun].map(|way| *way == Running::SelfLocking)),
            lost: losses.and_then(|losses| lost(&losses.drive)),
            pins: state.pins.iter().map(|load| self.pins_json(state, load)).collect(),
        }
    }

    fn pins_json(&self, state: &StateLoads, load: &PinLoad) -> PinsJson {
        let planet = |&planet: &MemberId| {
            let force = pin_force(self.set, state, planet, self.unit);
            PlanetJson {
                planet: self.set.member(planet).name().to_owned(),
                tangential_newtons: force.map(|force| force.tangential),
                outward_newtons: force.map(|force| force.outward),
                force_per_pin_newtons: force.map(|force| force.per_pin()),
            }
        };
        PinsJson {
            carrier: self.set.member(load.carrier).name().to_owned(),
            pins: load.pins,
            torque: load.torque.as_ref().map(Value::new),
            planets: self.set.planet_groups()[load.group].planets().iter().map(planet).collect(),
        }
    }

    fn members_json(&self, state: &StateLoads) -> Vec<MemberJson> {
        let json = |load: &MemberLoad| MemberJson {
            member: self.set.member(load.member).name().to_owned(),
            torque: load.torque.as_ref().map(Value::new),
            power: load.power.as_ref().map(Value::new),
        };
        state.members.iter().map(json).collect()
    }

    fn controls_json(&self, state: &StateLoads) -> Vec<ControlJson> {
        let one_way = |load: &ControlLoad, power| one_way(self.set, state, load.control, power).map(one_way_word);
        let json = |load: &ControlLoad| ControlJson {
            control: self.set.control(load.control).name().to_owned(),
            torque: load.torque.as_ref().map(Value::new),
            applied: load.applied,
            wants_to_turn: load.torque.as_ref().filter(|_| load.applied).and_then(wants_word),
            one_way: one_way(load, Sense::Forward),
            one_way_on_overrun: one_way(load, Sense::Backward),
            capacity: self.capacity_json(load),
        };
        state.controls.iter().map(json).collect()
    }

    /// What a band or clutch can hold; nothing where its sizes say nothing of that.
    fn capacity_json(&self, load: &ControlLoad) -> Option<CapacityJson> {
        let control = self.set.control(load.control);
        let (band, plates) = (control.band_sizes(), control.plate_sizes().and_then(plate_capacity));
        let torque = load.torque.as_ref().filter(|_| load.applied);
        let newton_metres = torque.map(|torque| to_float(torque) * self.unit.newton_metres());
        let tensions = band.and_then(|sizes| band_load(sizes, newton_metres?));
        let wants = torque.and_then(drum_wants_to_turn);
        let wraps_on = |power: Sense| {
            let wants = if power == Sense::Forward { wants? } else { wants?.other() };
            Some(wrapping(band?.from_anchor?, wants) == Wrapping::WrapsOn)
        };
        let capacity = CapacityJson {
            tension_ratio: band.and_then(tension_ratio),
            band_wrapping_on_newton_metres: band.and_then(|sizes| band_capacity(sizes, Wrapping::WrapsOn)),
            band_unwinding_newton_metres: band.and_then(|sizes| band_capacity(sizes, Wrapping::Unwinds)),
            wraps_on: wraps_on(Sense::Forward).zip(wraps_on(Sense::Backward)).map(|(drive, overrun)| [drive, overrun]),
            tight_end_newtons: tensions.map(|found| found.tight),
            slack_end_newtons: tensions.map(|found| found.slack),
            plates_worn_in_newton_metres: plates.map(|found| found.uniform_wear),
            plates_new_newton_metres: plates.map(|found| found.uniform_pressure),
        };
        (band.is_some() || plates.is_some()).then_some(capacity)
    }

    fn mesh_json(&self, load: &MeshLoad) -> MeshJson {
        let torques = load.torques(self.set);
        let force = mesh_force(self.set, load, self.unit);
        let value = |share: &Option<Fraction>| share.as_ref().map(Value::new);
        MeshJson {
            gears: self.gear_names(load).map(ToOwned::to_owned),
            torques: torques.map(|torques| torques.map(|torque| Value::new(&torque))),
            rolling_power: value(&load.rolling_power),
            force_newtons: force.map(|force| force.all_pins),
            force_per_pin_newtons: force.map(|force| force.per_pin),
        }
    }
}

/// What each mesh loses in drive.
fn lost(running: &Running) -> Option<Vec<Value>> {
    let Running::Runs(run) = running else { return None };
    Some(run.lost.iter().map(Value::new).collect())
}

fn balance_key(balanced: Balanced) -> &'static str {
    match balanced {
        Balanced::Determined => "determined",
        Balanced::Indeterminate => "indeterminate",
        Balanced::WithoutTorque => "without torque",
    }
}

#[derive(Debug, Serialize)]
struct LoadsJson {
    gearset: String,
    states: Vec<StateJson>,
    torque_unit: &'static str,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    verdict: crate::kinematics::VerdictKind,
    members: Vec<MemberJson>,
    controls: Vec<ControlJson>,
    efficiency: Option<Value>,
    input: String,
    output: String,
    balance: &'static str,
    joins: Vec<JoinJson>,
    meshes: Vec<MeshJson>,
    mounts: Option<Value>,
    circulating_power: Option<Value>,
    efficiency_on_overrun: Option<Value>,
    /// In drive and on overrun.
    locks_itself: Option<[bool; 2]>,
    lost: Option<Vec<Value>>,
    pins: Vec<PinsJson>,
}

#[derive(Debug, Serialize)]
struct MemberJson {
    member: String,
    torque: Option<Value>,
    power: Option<Value>,
}

#[derive(Debug, Serialize)]
struct ControlJson {
    control: String,
    torque: Option<Value>,
    applied: bool,
    wants_to_turn: Option<&'static str>,
    one_way: Option<&'static str>,
    one_way_on_overrun: Option<&'static str>,
    capacity: Option<CapacityJson>,
}

/// What a band or a clutch can hold by the sizes given for it, in newton metres and newtons: estimates.
#[derive(Debug, Serialize)]
struct CapacityJson {
    tension_ratio: Option<f64>,
    band_wrapping_on_newton_metres: Option<f64>,
    band_unwinding_newton_metres: Option<f64>,
    wraps_on: Option<[bool; 2]>,
    tight_end_newtons: Option<f64>,
    slack_end_newtons: Option<f64>,
    plates_worn_in_newton_metres: Option<f64>,
    plates_new_newton_metres: Option<f64>,
}

/// The pins of one group of planets: the forces of each planet are in newtons, all pins together but the last.
#[derive(Debug, Serialize)]
struct PinsJson {
    carrier: String,
    pins: usize,
    torque: Option<Value>,
    planets: Vec<PlanetJson>,
}

#[derive(Debug, Serialize)]
struct PlanetJson {
    planet: String,
    tangential_newtons: Option<f64>,
    outward_newtons: Option<f64>,
    force_per_pin_newtons: Option<f64>,
}

#[derive(Debug, Serialize)]
struct JoinJson {
    members: [String; 2],
    torque: Option<Value>,
}

#[derive(Debug, Serialize)]
struct MeshJson {
    gears: [String; 2],
    torques: Option<[Value; 3]>,
    rolling_power: Option<Value>,
    force_newtons: Option<f64>,
    force_per_pin_newtons: Option<f64>,
}
