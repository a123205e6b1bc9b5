//! What the marks mean, for other programs: records and JSON.
//!
//! The keys of the JSON are a promise, as those of the timing. Turns are counter-clockwise
//! seen from the input side, whichever side was looked from; of bevel planets, from the outer end of each pin.

use serde::Serialize;

use super::Found;
use crate::exact::decimal;
use crate::gearset::{MemberId, Side};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::timing::{ByHand, Explanation, NearSeating, PinFound, PinState, Reading, WayOfMarking};

impl Found<'_> {
    /// One record for each pin that was read, under each convention.
    pub fn records(&self) -> Records {
        let fields = vec![
            "planet",
            "convention",
            "reference",
            "pin",
            "in_time",
            "deviation",
            "gear",
            "teeth",
            "teeth_decimal",
            "target",
            "resolution",
            "wrong_seatings",
        ];
        let rows = self.found.explanations.iter().flat_map(|it| it.pins.iter().map(|pin| self.row(it, pin)));
        Records { fields, rows: rows.collect() }
    }

    fn row(&self, explanation: &Explanation, pin: &PinFound) -> Vec<String> {
        vec![
            csv_name(self.set.member(self.found.planet).name()),
            convention(explanation.convention).into(),
            explanation.reference.to_string(),
            pin.pin.to_string(),
            (pin.state == PinState::InTime).to_string(),
            pin.deviation.to_string(),
            csv_name(self.set.gear(self.found.gear).name()),
            pin.teeth.to_string(),
            decimal(&pin.teeth, 6),
            pin.target.to_string(),
            pin.resolution.to_string(),
            pin.seatings.len().to_string(),
        ]
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let name = |id: MemberId| self.set.member(id).name().to_owned();
        json(&FoundJson {
            gearset: self.set.title().to_owned(),
            planet: name(self.found.planet),
            carrier: name(self.found.carrier),
            seen: seen_from(self.found.seen),
            in_time: self.found.is_in_time(),
            gear: self.set.gear(self.found.gear).name().to_owned(),
            equivalent_seatings: self.found.equivalent_seatings,
            alike_radial: self.found.alike.radial.serves(),
            alike_parallel: self.found.alike.parallel.serves(),
            readings: self.found.readings.iter().map(|reading| reading.as_ref().map(ReadingJson::new)).collect(),
            explanations: self.found.explanations.iter().map(|it| self.explanation_json(it)).collect(),
        })
    }

    fn explanation_json(&self, explanation: &Explanation) -> ExplanationJson<PinJson> {
        ExplanationJson {
            convention: convention(explanation.convention),
            in_time: explanation.is_in_time(),
            could_be: explanation.could_be,
            reference: explanation.reference,
            pins: explanation.pins.iter().map(|pin| self.pin_json(pin)).collect(),
        }
    }

    fn pin_json(&self, pin: &PinFound) -> PinJson {
        PinJson {
            pin: pin.pin,
            in_time: pin.state == PinState::InTime,
            deviation: pin.deviation.to_string(),
            teeth: Value::new(&pin.teeth),
            target: pin.target.to_string(),
            resolution: pin.resolution.to_string(),
            wrong_seatings: pin.seatings.iter().map(|seating| self.seating_json(seating)).collect(),
        }
    }

    fn seating_json(&self, seating: &NearSeating) -> SeatingJson {
        let meshes = seating.errors.iter().zip(&seating.moved).map(|(error, &moved)| MeshJson {
            mesh: self.set.mesh(error.mesh).gears().both().map(|&gear| self.set.gear(gear).name().to_owned()),
            moved,
            error: Value::new(&error.teeth),
        });
        SeatingJson {
            turn: seating.turn.to_string(),
            largest_error: Value::new(&seating.largest_error),
            within_backlash: seating.by_hand.map(|by_hand| by_hand == ByHand::Unnoticed),
            least_backlash_mm: seating.least_backlash,
            meshes: meshes.collect(),
        }
    }
}

pub(super) fn seen_from(side: Side) -> &'static str {
    match side {
        Side::Input => "input side",
        Side::Output => "output side",
    }
}

pub(super) fn convention(convention: WayOfMarking) -> &'static str {
    match convention {
        WayOfMarking::Alike => "same tooth",
        WayOfMarking::RadialInPlace => "radial in place",
        WayOfMarking::ParallelInPlace => "parallel in place",
    }
}

#[derive(Debug, Serialize)]
struct FoundJson {
    gearset: String,
    planet: String,
    carrier: String,
    seen: &'static str,
    in_time: bool,
    gear: String,
    equivalent_seatings: i64,
    alike_radial: bool,
    alike_parallel: bool,
    readings: Vec<Option<ReadingJson>>,
    explanations: Vec<ExplanationJson<PinJson>>,
}

#[derive(Debug, Serialize)]
pub(super) struct ReadingJson {
    turn: String,
    resolution: String,
}

impl ReadingJson {
    pub(super) fn new(reading: &Reading) -> Self {
        Self { turn: reading.turn.to_string(), resolution: reading.resolution.to_string() }
    }
}

/// The frame of an explanation, of one planet or of several that mesh: what differs is what is told of a pin.
#[derive(Debug, Serialize)]
pub(super) struct ExplanationJson<Pin> {
    pub(super) convention: &'static str,
    pub(super) in_time: bool,
    pub(super) could_be: bool,
    pub(super) reference: usize,
    pub(super) pins: Vec<Pin>,
}

#[derive(Debug, Serialize)]
struct PinJson {
    pin: usize,
    in_time: bool,
    deviation: String,
    teeth: Value,
    target: String,
    resolution: String,
    wrong_seatings: Vec<SeatingJson>,
}

#[derive(Debug, Serialize)]
struct SeatingJson {
    turn: String,
    largest_error: Value,
    within_backlash: Option<bool>,
    least_backlash_mm: Option<f64>,
    meshes: Vec<MeshJson>,
}

#[derive(Debug, Serialize)]
pub(super) struct MeshJson {
    pub(super) mesh: [String; 2],
    pub(super) moved: i64,
    pub(super) error: Value,
}
