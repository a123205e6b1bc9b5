//! What the marks of planets in mesh with one another mean, for other programs: records and JSON.
//!
//! The keys of the JSON are a promise. Turns are counter-clockwise seen from the input side,
//! whichever side was looked from.

use serde::Serialize;

use super::data::{ExplanationJson, MeshJson, ReadingJson, convention, seen_from};
use super::group::FoundInGroup;
use crate::exact::decimal;
use crate::gearset::{GearId, MemberId};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::timing::{
    ByHand, GroupExplanation, GroupPin, GroupSeating, PinState, PlanetFound, PlanetRead, SeatingsKnown,
};

impl FoundInGroup<'_> {
    /// One record for each mark that was read, under each convention.
    pub fn records(&self) -> Records {
        let fields = vec![
            "convention",
            "reference",
            "pin",
            "planet",
            "in_time",
            "deviation",
            "gear",
            "teeth",
            "teeth_decimal",
            "target",
            "resolution",
            "wrong_seatings",
        ];
        let mut rows = Vec::new();
        for explanation in &self.found.explanations {
            for pin in &explanation.pins {
                rows.extend(pin.planets.iter().map(|planet| self.row(explanation, pin, planet)));
            }
        }
        Records { fields, rows }
    }

    fn row(&self, explanation: &GroupExplanation, pin: &GroupPin, planet: &PlanetFound) -> Vec<String> {
        let gear =
            self.found.read.iter().find(|read| read.planet == planet.planet).map(|read| self.gear_name(read.gear));
        vec![
            convention(explanation.convention).into(),
            explanation.reference.to_string(),
            pin.pin.to_string(),
            csv_name(&self.name(planet.planet)),
            (planet.state == PinState::InTime).to_string(),
            planet.deviation.to_string(),
            csv_name(&gear.unwrap_or_default()),
            planet.teeth.to_string(),
            decimal(&planet.teeth, 6),
            planet.target.to_string(),
            planet.resolution.to_string(),
            pin.seatings.len().to_string(),
        ]
    }

    fn name(&self, id: MemberId) -> String {
        self.set.member(id).name().to_owned()
    }

    fn gear_name(&self, id: GearId) -> String {
        self.set.gear(id).name().to_owned()
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let read = |read: &PlanetRead| ReadJson {
            planet: self.name(read.planet),
            gear: self.gear_name(read.gear),
            right_again_after: read.alone.to_string(),
            readings: read.readings.iter().map(|reading| reading.as_ref().map(ReadingJson::new)).collect(),
        };
        json(&FoundGroupJson {
            gearset: self.set.title().to_owned(),
            planets: self.found.planets.iter().map(|&id| self.name(id)).collect(),
            carrier: self.name(self.found.carrier),
            seen: seen_from(self.found.seen),
            in_time: self.found.is_in_time(),
            equivalent_seatings: self.found.equivalent_seatings.to_string(),
            alike_radial: self.found.alike.radial.serves(),
            alike_parallel: self.found.alike.parallel.serves(),
            wrong_seatings: match self.found.seatings {
                SeatingsKnown::Every => "all that fit",
                SeatingsKnown::TooMany => "too many",
            },
            read: self.found.read.iter().map(read).collect(),
            explanations: self.found.explanations.iter().map(|it| self.explanation_json(it)).collect(),
        })
    }

    fn explanation_json(&self, explanation: &GroupExplanation) -> ExplanationJson<PinJson> {
        ExplanationJson {
            convention: convention(explanation.convention),
            in_time: explanation.is_in_time(),
            could_be: explanation.could_be,
            reference: explanation.reference,
            pins: explanation.pins.iter().map(|pin| self.pin_json(pin)).collect(),
        }
    }

    fn pin_json(&self, pin: &GroupPin) -> PinJson {
        let planet = |it: &PlanetFound| PlanetJson {
            planet: self.name(it.planet),
            in_time: it.state == PinState::InTime,
            deviation: it.deviation.to_string(),
            teeth: Value::new(&it.teeth),
            target: it.target.to_string(),
            resolution: it.resolution.to_string(),
        };
        PinJson {
            pin: pin.pin,
            in_time: pin.state == PinState::InTime,
            planets: pin.planets.iter().map(planet).collect(),
            wrong_seatings: pin.seatings.iter().map(|it| self.seating_json(it)).collect(),
        }
    }

    fn seating_json(&self, GroupSeating { seating }: &GroupSeating) -> SeatingJson {
        let meshes = seating.meshes.iter().map(|mesh| MeshJson {
            mesh: self.set.mesh(mesh.mesh).gears().both().map(|&gear| self.gear_name(gear)),
            moved: mesh.teeth,
            error: Value::new(&mesh.error),
        });
        SeatingJson {
            turns: seating.turns.iter().map(ToString::to_string).collect(),
            largest_error: Value::new(&seating.largest_error),
            within_backlash: seating.by_hand.map(|by_hand| by_hand == ByHand::Unnoticed),
            least_backlash_mm: seating.goes_in_from,
            meshes: meshes.collect(),
        }
    }
}

#[derive(Debug, Serialize)]
struct FoundGroupJson {
    gearset: String,
    planets: Vec<String>,
    carrier: String,
    seen: &'static str,
    in_time: bool,
    equivalent_seatings: String,
    alike_radial: bool,
    alike_parallel: bool,
    wrong_seatings: &'static str,
    read: Vec<ReadJson>,
    explanations: Vec<ExplanationJson<PinJson>>,
}

#[derive(Debug, Serialize)]
struct ReadJson {
    planet: String,
    gear: String,
    right_again_after: String,
    readings: Vec<Option<ReadingJson>>,
}

#[derive(Debug, Serialize)]
struct PinJson {
    pin: usize,
    in_time: bool,
    planets: Vec<PlanetJson>,
    wrong_seatings: Vec<SeatingJson>,
}

#[derive(Debug, Serialize)]
struct PlanetJson {
    planet: String,
    in_time: bool,
    deviation: String,
    teeth: Value,
    target: String,
    resolution: String,
}

#[derive(Debug, Serialize)]
struct SeatingJson {
    turns: Vec<String>,
    largest_error: Value,
    within_backlash: Option<bool>,
    least_backlash_mm: Option<f64>,
    meshes: Vec<MeshJson>,
}
