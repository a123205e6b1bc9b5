//! The timing of a gearset for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken
//! away. Turns are relative to the pin's own radius, counter-clockwise seen from the input
//! side, the representative nearest to zero.

use serde::Serialize;

use super::Timing;
use super::room::GapJson;
use crate::exact::decimal;
use crate::gearset::MeshId;
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::timing::{
    ByHand, CenterDistance, Closure, GroupTiming, Loop, NewCount, PinTiming, PlanetTurn, Refusal, ToothChange, WaysOut,
};
use num_bigint::BigInt;

impl Timing<'_> {
    /// One record for each gear of each planet on each pin; turns are empty where a pin
    /// does not go together.
    pub fn records(&self) -> Records {
        let fields = vec![
            "carrier",
            "pins",
            "goes_together",
            "spacing_divisor",
            "equivalent_seatings",
            "radial_marks",
            "parallel_marks",
            "margin",
            "pin",
            "place",
            "planet",
            "turn",
            "gear",
            "teeth",
            "teeth_decimal",
        ];
        Records { fields, rows: self.groups.iter().flat_map(|group| self.group_rows(group)).collect() }
    }

    fn group_rows(&self, group: &GroupTiming) -> Vec<Vec<String>> {
        let head = vec![
            csv_name(self.set.member(group.carrier).name()),
            group.pins.len().to_string(),
            group.goes_together().to_string(),
            group.spacing_divisor.to_string(),
            group.equivalent_seatings.as_ref().map(ToString::to_string).unwrap_or_default(),
            group.marks.radial.serves().to_string(),
            group.marks.parallel.serves().to_string(),
            group.margin.as_ref().map(|margin| margin.teeth.to_string()).unwrap_or_default(),
        ];
        let mut rows = Vec::new();
        for pin in &group.pins {
            let start: Vec<String> = [head.clone(), vec![pin.pin.to_string(), pin.place.to_string()]].concat();
            let Some(turns) = &pin.turns else {
                for &planet in &group.planets {
                    let mut row = start.clone();
                    row.push(csv_name(self.set.member(planet).name()));
                    row.extend(vec![String::new(); 4]);
                    rows.push(row);
                }
                continue;
            };
            for planet in turns {
                for gear in &planet.gears {
                    let mut row = start.clone();
                    row.extend([
                        csv_name(self.set.member(planet.planet).name()),
                        planet.turn.to_string(),
                        csv_name(self.set.gear(gear.gear).name()),
                        gear.teeth.to_string(),
                        decimal(&gear.teeth, 6),
                    ]);
                    rows.push(row);
                }
            }
        }
        rows
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let groups = self.groups.iter().map(|group| self.group_json(group)).collect();
        json(&TimingJson { gearset: self.set.title().to_owned(), groups })
    }

    fn group_json(&self, group: &GroupTiming) -> GroupJson {
        let name = |id| self.set.member(id).name().to_owned();
        let turns = |turns: &Vec<PlanetTurn>| {
            turns.iter().map(|turn| (name(turn.planet), turn.turn.to_string().into())).collect()
        };
        let pin = |pin: &PinTiming| PinJson {
            pin: pin.pin,
            place: pin.place.to_string(),
            turns: pin.turns.as_ref().map(turns),
        };
        GroupJson {
            planets: group.planets.iter().map(|&planet| name(planet)).collect(),
            carrier: name(group.carrier),
            pins: group.pins.len(),
            goes_together: group.goes_together(),
            spacing_divisor: number(&group.spacing_divisor),
            equivalent_seatings: group.equivalent_seatings.as_ref().map(number),
            radial_marks: group.marks.radial.serves(),
            parallel_marks: group.marks.parallel.serves(),
            margin: group.margin.as_ref().map(|margin| Value::new(&margin.teeth)),
            pins_list: group.pins.iter().map(pin).collect(),
            equal_pin_counts: group.equal_pin_counts.clone(),
            within_backlash: group
                .margin
                .as_ref()
                .and_then(|margin| margin.by_hand)
                .map(|by_hand| by_hand == ByHand::Unnoticed),
            least_backlash_mm: group.margin.as_ref().and_then(|margin| margin.least_backlash),
            refusals: group.refusals.iter().map(|refusal| self.refusal_json(refusal)).collect(),
            loops: group.loops.iter().map(|closed| self.loop_json(closed)).collect(),
            ways_out: group.ways_out.as_ref().map(|ways_out| self.ways_out_json(ways_out)),
            room: self.room_json(group),
            equal_pins_clear: self.clear_on_equal_pins(group),
        }
    }

    fn meshes(&self, meshes: &[MeshId]) -> Vec<[String; 2]> {
        let names =
            |&mesh: &MeshId| self.set.mesh(mesh).gears().both().map(|&gear| self.set.gear(gear).name().to_owned());
        meshes.iter().map(names).collect()
    }

    fn refusal_json(&self, refusal: &Refusal) -> RefusalJson {
        RefusalJson { pin: refusal.pin, meshes: self.meshes(&refusal.meshes), misfit: Value::new(&refusal.misfit) }
    }

    fn loop_json(&self, closed: &Loop) -> LoopJson {
        let (closes, misfit) = match &closed.closure {
            Closure::Closes => ("yes", None),
            Closure::Misses(misfit) => ("no", Some(Value::new(misfit))),
            Closure::DependsOnIndex => ("depends on index", None),
        };
        LoopJson { meshes: self.meshes(&closed.meshes), closes, misfit }
    }

    fn ways_out_json(&self, ways_out: &WaysOut) -> WaysOutJson {
        let count = |new: &NewCount| (self.set.gear(new.gear).name().to_owned(), new.tooth_count.into());
        let change = |change: &ToothChange| ToothChangeJson {
            tooth_counts: change.gears.iter().map(count).collect(),
            keeps_center_distance: change.center_distance == CenterDistance::Kept,
        };
        WaysOutJson {
            places: ways_out.places.as_ref().map(|places| places.iter().map(ToString::to_string).collect()),
            tooth_changes: ways_out.tooth_changes.iter().map(change).collect(),
        }
    }
}

/// A whole number of any size as a JSON number.
fn number(value: &BigInt) -> serde_json::Number {
    value.to_string().parse().expect("digits are a JSON number")
}

#[derive(Debug, Serialize)]
struct TimingJson {
    gearset: String,
    groups: Vec<GroupJson>,
}

#[derive(Debug, Serialize)]
struct GroupJson {
    planets: Vec<String>,
    carrier: String,
    pins: usize,
    goes_together: bool,
    spacing_divisor: serde_json::Number,
    equivalent_seatings: Option<serde_json::Number>,
    radial_marks: bool,
    parallel_marks: bool,
    margin: Option<Value>,
    pins_list: Vec<PinJson>,
    equal_pin_counts: Vec<u32>,
    within_backlash: Option<bool>,
    least_backlash_mm: Option<f64>,
    refusals: Vec<RefusalJson>,
    loops: Vec<LoopJson>,
    ways_out: Option<WaysOutJson>,
    /// Empty where the centre distances do not follow, or nothing lies side by side.
    room: Vec<GapJson>,
    /// For each of `equal_pin_counts`; null where it is not known.
    equal_pins_clear: Vec<Option<bool>>,
}

#[derive(Debug, Serialize)]
struct RefusalJson {
    pin: usize,
    meshes: Vec<[String; 2]>,
    misfit: Value,
}

#[derive(Debug, Serialize)]
struct LoopJson {
    meshes: Vec<[String; 2]>,
    closes: &'static str,
    misfit: Option<Value>,
}

#[derive(Debug, Serialize)]
struct WaysOutJson {
    places: Option<Vec<String>>,
    tooth_changes: Vec<ToothChangeJson>,
}

#[derive(Debug, Serialize)]
struct ToothChangeJson {
    tooth_counts: serde_json::Map<String, serde_json::Value>,
    keeps_center_distance: bool,
}

#[derive(Debug, Serialize)]
struct PinJson {
    pin: usize,
    place: String,
    /// The turn of each planet; null where the pin does not go together.
    turns: Option<serde_json::Map<String, serde_json::Value>>,
}
