//! Every wrong seating for other programs: records and JSON, never cut.
//!
//! The keys of the JSON are a promise: further ones may be added after them, none is taken
//! away. Turns are counter-clockwise seen from the input side; of two seatings that mirror
//! each other one is given. Lengths are in millimetres at the pitch circle.

use serde::Serialize;

use super::{Wrong, listed};
use crate::exact::decimal;
use crate::gearset::{Length, MemberId, MeshId};
use crate::report::render::document::Records;
use crate::report::render::escape::csv_name;
use crate::report::render::values::{Value, json};
use crate::timing::{ByHand, FoundSeatings, GroupSeatings, TightSpots, WrongMesh, WrongSeating};

impl Wrong<'_> {
    /// One record for each mesh of each wrong seating.
    pub fn records(&self) -> Records {
        let fields = vec![
            "carrier",
            "planets",
            "number",
            "largest_error",
            "largest_error_decimal",
            "turns",
            "goes_in_from_mm",
            "least_play_mm",
            "by_hand",
            "first_gear",
            "second_gear",
            "teeth",
            "error",
            "error_mm",
            "play_left_mm",
        ];
        Records { fields, rows: self.groups.iter().flat_map(|group| self.group_rows(group)).collect() }
    }

    fn group_rows(&self, group: &GroupSeatings) -> Vec<Vec<String>> {
        let length = |value: Option<f64>| value.map(|value| format!("{value:.6}")).unwrap_or_default();
        let name = |id| csv_name(self.set.member(id).name());
        let planets = group.planets.iter().map(|&planet| name(planet)).collect::<Vec<_>>().join(" ");
        let row = |number: usize, seating: &WrongSeating, mesh: &WrongMesh| {
            let [first, second] = self.gears(mesh.mesh);
            vec![
                name(group.carrier),
                planets.clone(),
                number.to_string(),
                seating.largest_error.to_string(),
                decimal(&seating.largest_error, 6),
                seating.turns.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
                length(seating.goes_in_from),
                length(seating.least_play),
                seating.by_hand.map(word).unwrap_or_default().to_owned(),
                csv_name(&first),
                csv_name(&second),
                mesh.teeth.to_string(),
                mesh.error.to_string(),
                length(mesh.arc),
                length(mesh.play_left),
            ]
        };
        let seatings = listed(group).unwrap_or_default().iter().enumerate();
        seatings
            .flat_map(|(at, seating)| seating.meshes.iter().map(move |mesh| (at, seating, mesh)))
            .map(|(at, seating, mesh)| row(at + 1, seating, mesh))
            .collect()
    }

    /// The answer as JSON.
    pub fn json(&self) -> String {
        json(&WrongJson {
            gearset: self.set.title().to_owned(),
            within: Value::new(&self.question.within),
            ease_by_force_mm: self.question.ease_by_force,
            groups: self.groups.iter().map(|group| self.group_json(group)).collect(),
        })
    }

    fn group_json(&self, group: &GroupSeatings) -> GroupJson {
        let name = |id| self.set.member(id).name().to_owned();
        GroupJson {
            planets: group.planets.iter().map(|&planet| name(planet)).collect(),
            carrier: name(group.carrier),
            pins: group.pins,
            answer: match group.found {
                FoundSeatings::Every(_) => "listed",
                FoundSeatings::OnePin => "one pin",
                FoundSeatings::DoesNotGoTogether => "does not go together",
                FoundSeatings::TooMany => "too many",
            },
            wrong_seatings: listed(group)
                .unwrap_or_default()
                .iter()
                .map(|seating| self.seating_json(group, seating))
                .collect(),
            tight_spots: group.tight_spots.iter().map(|spots| self.spots_json(group, spots)).collect(),
        }
    }

    fn seating_json(&self, group: &GroupSeatings, seating: &WrongSeating) -> SeatingJson {
        let mesh = |mesh: &WrongMesh| MeshJson {
            gears: self.gears(mesh.mesh),
            teeth: mesh.teeth,
            error: Value::new(&mesh.error),
            error_mm: mesh.arc,
            play_left_mm: mesh.play_left,
            backlash_mm: self.set.mesh(mesh.mesh).backlash().map(Length::millimetres),
        };
        let turns = group.planets.iter().zip(&seating.turns);
        SeatingJson {
            largest_error: Value::new(&seating.largest_error),
            turns: turns.map(|(&id, turn)| Named { planet: self.name(id), turns: Some(Value::new(turn)) }).collect(),
            goes_in_from_mm: seating.goes_in_from,
            least_play_mm: seating.least_play,
            by_hand: seating.by_hand.map(word),
            meshes: seating.meshes.iter().map(mesh).collect(),
        }
    }

    fn spots_json(&self, group: &GroupSeatings, spots: &TightSpots) -> SpotsJson {
        let planets = group.planets.iter().zip(&spots.planets);
        SpotsJson {
            state: spots.state.clone(),
            input: self.name(spots.input),
            planets: planets
                .map(|(&id, rate)| Named { planet: self.name(id), turns: rate.as_ref().map(Value::new) })
                .collect(),
            meshes: spots
                .meshes
                .iter()
                .map(|rhythm| RhythmJson {
                    gears: self.gears(rhythm.mesh),
                    passes_one_pin: rhythm.passes_one_pin.as_ref().map(Value::new),
                    same_teeth: rhythm.same_teeth.as_ref().map(Value::new),
                })
                .collect(),
        }
    }

    fn name(&self, member: MemberId) -> String {
        self.set.member(member).name().to_owned()
    }

    fn gears(&self, mesh: MeshId) -> [String; 2] {
        self.set.mesh(mesh).gears().both().map(|&gear| self.set.gear(gear).name().to_owned())
    }
}

fn word(by_hand: ByHand) -> &'static str {
    match by_hand {
        ByHand::Unnoticed => "unnoticed",
        ByHand::WithForce => "with force",
        ByHand::WillNotEnter => "will not enter",
    }
}

#[derive(Debug, Serialize)]
struct WrongJson {
    gearset: String,
    within: Value,
    ease_by_force_mm: f64,
    groups: Vec<GroupJson>,
}

#[derive(Debug, Serialize)]
struct GroupJson {
    planets: Vec<String>,
    carrier: String,
    pins: usize,
    answer: &'static str,
    wrong_seatings: Vec<SeatingJson>,
    tight_spots: Vec<SpotsJson>,
}

#[derive(Debug, Serialize)]
struct SeatingJson {
    largest_error: Value,
    turns: Vec<Named>,
    goes_in_from_mm: Option<f64>,
    least_play_mm: Option<f64>,
    by_hand: Option<&'static str>,
    meshes: Vec<MeshJson>,
}

#[derive(Debug, Serialize)]
struct Named {
    planet: String,
    turns: Option<Value>,
}

#[derive(Debug, Serialize)]
struct MeshJson {
    gears: [String; 2],
    teeth: i64,
    error: Value,
    error_mm: Option<f64>,
    play_left_mm: Option<f64>,
    backlash_mm: Option<f64>,
}

#[derive(Debug, Serialize)]
struct SpotsJson {
    state: String,
    input: String,
    planets: Vec<Named>,
    meshes: Vec<RhythmJson>,
}

#[derive(Debug, Serialize)]
struct RhythmJson {
    gears: [String; 2],
    passes_one_pin: Option<Value>,
    same_teeth: Option<Value>,
}
