//! The timing of a gearset for other programs: records and JSON.

use serde::Serialize;

use super::document::Records;
use super::escape::csv_name;
use super::json::{Value, json};
use super::timing::Timing;
use crate::exact::decimal;
use crate::timing::GroupTiming;
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
        let name = |id| self.set.member(id).name().to_owned();
        let group = |group: &GroupTiming| GroupJson {
            planets: group.planets.iter().map(|&planet| name(planet)).collect(),
            carrier: name(group.carrier),
            pins: group.pins.len(),
            goes_together: group.goes_together(),
            spacing_divisor: number(&group.spacing_divisor),
            equivalent_seatings: group.equivalent_seatings.as_ref().map(number),
            radial_marks: group.marks.radial.serves(),
            parallel_marks: group.marks.parallel.serves(),
            margin: group.margin.as_ref().map(|margin| Value::new(&margin.teeth)),
            pins_list: group
                .pins
                .iter()
                .map(|pin| PinJson {
                    pin: pin.pin,
                    place: pin.place.to_string(),
                    turns: pin.turns.as_ref().map(|turns| {
                        turns.iter().map(|turn| (name(turn.planet), turn.turn.to_string().into())).collect()
                    }),
                })
                .collect(),
        };
        json(&TimingJson { gearset: self.set.title().to_owned(), groups: self.groups.iter().map(group).collect() })
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
}

#[derive(Debug, Serialize)]
struct PinJson {
    pin: usize,
    place: String,
    /// The turn of each planet; null where the pin does not go together.
    turns: Option<serde_json::Map<String, serde_json::Value>>,
}
