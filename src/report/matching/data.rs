//! Measured clusters for other programs: records and JSON.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken away.
//! Residuals and turns are counter-clockwise positive, seen from the input side.

use serde::Serialize;

use super::Matches;
use crate::gearset::{GearId, MeshId, PinOff};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::json;
use crate::timing::{
    FirstContact, FixedGears, FixedRelation, FixedTurn, MatchSearch, Matching, Residual, Seated, SeatedPin, Verdict,
    Weighing,
};

impl Matches<'_> {
    /// One record for each mesh on each pin, for the clusters as found and, where that does better,
    /// exchanged.
    pub fn records(&self) -> Records {
        let fields = vec![
            "planet",
            "order",
            "pin",
            "place",
            "cluster",
            "turn_degrees",
            "mesh_first",
            "mesh_second",
            "residual_teeth",
            "residual_mm",
            "uncertainty_teeth",
            "half_backlash_mm",
            "verdict",
        ];
        let mut rows = Vec::new();
        for matching in self.matchings {
            for (order, seated) in [("as found", &matching.as_found), ("exchanged", &matching.exchanged)] {
                for pin in seated.iter().flat_map(|seated| &seated.pins) {
                    rows.extend(pin.residuals.iter().map(|residual| self.record(matching, order, pin, residual)));
                }
            }
        }
        Records { fields, rows }
    }

    fn record(&self, matching: &Matching, order: &str, pin: &SeatedPin, residual: &Residual) -> Vec<String> {
        let [first, second] = self.mesh_names(residual.mesh);
        let mesh = self.set.mesh(residual.mesh);
        let arc = mesh.pitch().map(|pitch| residual.teeth * pitch.circular_pitch());
        let half = mesh.backlash().map(|backlash| backlash.millimetres() / 2.0);
        let size = |size: Option<f64>| size.map(|size| format!("{size:.6}")).unwrap_or_default();
        vec![
            csv_name(self.set.member(matching.planet).name()),
            order.to_owned(),
            pin.pin.to_string(),
            pin.place.to_string(),
            csv_name(&matching.clusters[pin.cluster]),
            format!("{:.6}", pin.turn * 360.0),
            csv_name(&first),
            csv_name(&second),
            format!("{:.6}", residual.teeth),
            size(arc),
            format!("{:.6}", residual.uncertainty),
            size(half),
            residual.verdict.map(verdict).unwrap_or_default().to_owned(),
        ]
    }

    fn mesh_names(&self, mesh: MeshId) -> [String; 2] {
        self.set.mesh(mesh).gears().both().map(|&gear| self.set.gear(gear).name().to_owned())
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        let groups = self.matchings.iter().map(|matching| self.group_json(matching)).collect();
        json(&MatchingJson { gearset: self.set.title().to_owned(), groups })
    }

    fn group_json(&self, matching: &Matching) -> GroupJson {
        let seated = |seated: &Option<Seated>| seated.as_ref().map(|seated| self.seated_json(matching, seated));
        let difference = |difference: &crate::timing::Difference| DifferenceJson {
            cluster: matching.clusters[difference.cluster].clone(),
            told_apart: difference.told_apart,
            teeth: difference
                .gears
                .iter()
                .map(|&(gear, teeth)| (self.set.gear(gear).name().to_owned(), teeth.into()))
                .collect(),
        };
        GroupJson {
            planet: self.set.member(matching.planet).name().to_owned(),
            carrier: self.set.member(matching.carrier).name().to_owned(),
            clusters: matching.clusters.clone(),
            pins_off: matching.pins.as_ref().map(|pins| pins.iter().map(pin_off).collect()),
            weighing: match matching.weighing {
                Weighing::Backlash => "half backlash",
                Weighing::Millimetres => "millimetres",
                Weighing::Teeth => "teeth",
            },
            listed: seated(&matching.listed),
            as_found: seated(&matching.as_found),
            exchanged: seated(&matching.exchanged),
            all_looked_at: matching.search == MatchSearch::Complete,
            differences: matching.differences.iter().map(difference).collect(),
            pin_count: matching.pin_count,
            fixed_gears: matching.fixed.iter().map(|fixed| self.fixed_json(fixed)).collect(),
        }
    }

    fn seated_json(&self, matching: &Matching, seated: &Seated) -> SeatedJson {
        let residual = |residual: &Residual| ResidualJson {
            mesh: self.mesh_names(residual.mesh),
            teeth: residual.teeth,
            uncertainty_teeth: residual.uncertainty,
            mm: self.set.mesh(residual.mesh).pitch().map(|pitch| residual.teeth * pitch.circular_pitch()),
            verdict: residual.verdict.map(verdict),
        };
        let pin = |pin: &SeatedPin| PinJson {
            pin: pin.pin,
            place: pin.place.to_string(),
            cluster: matching.clusters[pin.cluster].clone(),
            turn_degrees: pin.turn * 360.0,
            residuals: pin.residuals.iter().map(residual).collect(),
        };
        let contact = |contact: &FirstContact| ContactJson {
            pushing: self.mesh_names(contact.pushing[0]),
            holding: self.mesh_names(contact.holding[0]),
            pins: contact.pins.iter().map(|pin| ContactPinJson { pin: pin.pin, teeth_left: pin.left }).collect(),
            uncertainty_teeth: contact.uncertainty,
            all_pushing: contact.pushing.iter().map(|&mesh| self.mesh_names(mesh)).collect(),
            all_holding: contact.holding.iter().map(|&mesh| self.mesh_names(mesh)).collect(),
        };
        SeatedJson {
            level: seated.level,
            least: seated.least,
            most: seated.most,
            verdict: seated.verdict.map(verdict),
            pins_list: seated.pins.iter().map(pin).collect(),
            first_contacts: seated.first_contacts.iter().map(contact).collect(),
            fixed_turns: seated.fixed_turns.iter().map(|turn| self.fixed_turn_json(turn)).collect(),
        }
    }

    fn fixed_json(&self, fixed: &FixedGears) -> FixedJson {
        let name = |gear: &GearId| self.set.gear(*gear).name().to_owned();
        let (index, unread) = match &fixed.relation {
            FixedRelation::Counts => ("counts", &[][..]),
            FixedRelation::TurnedOut => ("does not matter", &[][..]),
            FixedRelation::Unknown { unread } => ("unknown", unread.as_slice()),
        };
        FixedJson { gears: fixed.gears.iter().map(name).collect(), index, unread: unread.iter().map(name).collect() }
    }

    fn fixed_turn_json(&self, turn: &FixedTurn) -> FixedTurnJson {
        FixedTurnJson { gear: self.set.gear(turn.gear).name().to_owned(), degrees: turn.turn * 360.0 }
    }
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Beyond => "beyond",
        Verdict::CannotBeTold => "cannot be told",
    }
}

fn pin_off(pin: &PinOff) -> PinOffJson {
    PinOffJson { degrees: pin.turns * 360.0, uncertainty_degrees: pin.uncertainty * 360.0 }
}

#[derive(Debug, Serialize)]
struct PinOffJson {
    degrees: f64,
    uncertainty_degrees: f64,
}

#[derive(Debug, Serialize)]
struct MatchingJson {
    gearset: String,
    groups: Vec<GroupJson>,
}

#[derive(Debug, Serialize)]
struct GroupJson {
    planet: String,
    carrier: String,
    clusters: Vec<String>,
    /// Null where the pins were not measured.
    pins_off: Option<Vec<PinOffJson>>,
    weighing: &'static str,
    listed: Option<SeatedJson>,
    as_found: Option<SeatedJson>,
    exchanged: Option<SeatedJson>,
    all_looked_at: bool,
    differences: Vec<DifferenceJson>,
    /// Clusters after so many are spares.
    pin_count: usize,
    fixed_gears: Vec<FixedJson>,
}

#[derive(Debug, Serialize)]
struct FixedJson {
    gears: Vec<String>,
    /// Of these gears: "counts", "does not matter" or "unknown".
    index: &'static str,
    unread: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FixedTurnJson {
    gear: String,
    /// From the line to pin 1, while the mark there points to the centre.
    degrees: f64,
}

#[derive(Debug, Serialize)]
struct SeatedJson {
    level: f64,
    least: f64,
    most: f64,
    verdict: Option<&'static str>,
    pins_list: Vec<PinJson>,
    first_contacts: Vec<ContactJson>,
    fixed_turns: Vec<FixedTurnJson>,
}

#[derive(Debug, Serialize)]
struct PinJson {
    pin: usize,
    place: String,
    cluster: String,
    turn_degrees: f64,
    residuals: Vec<ResidualJson>,
}

#[derive(Debug, Serialize)]
struct ResidualJson {
    mesh: [String; 2],
    teeth: f64,
    uncertainty_teeth: f64,
    /// Null where no pitch is given.
    mm: Option<f64>,
    /// Null where backlash or pitch is not given.
    verdict: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct ContactJson {
    pushing: [String; 2],
    holding: [String; 2],
    pins: Vec<ContactPinJson>,
    uncertainty_teeth: f64,
    /// Several where central gears are fixed to one another, the first of them as above.
    all_pushing: Vec<[String; 2]>,
    all_holding: Vec<[String; 2]>,
}

#[derive(Debug, Serialize)]
struct ContactPinJson {
    pin: usize,
    teeth_left: f64,
}

#[derive(Debug, Serialize)]
struct DifferenceJson {
    cluster: String,
    told_apart: bool,
    teeth: serde_json::Map<String, serde_json::Value>,
}
