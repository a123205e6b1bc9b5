//! The answer to "what rolls, rubs, idles and stands in each state", for a person.
//!
//! First which way every member turns in every state and what a control meets when it is applied
//! (see `running_change`); then bearings and meshes state by state; last what was asked for: limits,
//! and what can make a noise. For other programs see `running_data`.

pub(super) mod bushes;
mod change;
mod data;

use self::bushes::Loaded;
use crate::exact::{Fraction, fraction, to_float};
use crate::gearset::{Gearset, MemberId, MeshId, Place, Restraint};
use crate::kinematics::Speed;
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{list, member, mesh, one_way_conflicts, quoted, rounded, with_decimal};
use crate::running::{
    BearingMotion, Beyond, Finding, Judgement, Limits, Listened, MeshMotion, Reason, RunsOn, StateWork, Suspect, Work,
    bearings, beyond, suspects,
};
use num_traits::Signed;

/// Feet in a metre: a foot is 0.3048 m by definition.
pub(super) const FEET_PER_METRE: f64 = 1.0 / 0.3048;

/// What runs in the states of a gearset, and what was asked about it.
#[derive(Debug, Clone)]
pub struct Running<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// What all its states do.
    pub states: &'a [StateWork],
    /// The one state to show; all where it is `None`.
    pub only: Option<&'a str>,
    /// The input's speed in revolutions per minute, if one is given.
    pub input_rpm: Option<Fraction>,
    /// How fast members may turn.
    pub limits: Limits,
    /// Where a noise is heard and where it is not.
    pub listened: Option<Listened>,
    /// The loads of all states, if a torque is given.
    pub loaded: Option<Loaded>,
}

impl Running<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![self.facts()];
        if self.states.is_empty() {
            blocks.push(Block::no_states("nothing is known of what turns"));
            return Document { title: self.set.title().to_owned(), blocks };
        }
        blocks.extend(self.members());
        blocks.extend(self.held_from_rest());
        blocks.extend(self.engagements());
        for state in self.shown() {
            blocks.push(Block::Heading(format!("State {}", quoted(&state.motion.state))));
            blocks.extend(one_way_conflicts(self.set, &state.motion).into_iter().map(Block::Warning));
            blocks.push(Block::Table(self.bearings(state)));
            blocks.extend(self.bushes(state));
            blocks.push(Block::Table(self.meshes(state)));
            blocks.extend(Self::silent(state));
        }
        blocks.extend(self.overspeed());
        blocks.extend(self.noise());
        blocks.extend(self.about_bushes());
        blocks.push(Block::Note(
            "loads are those without friction: with little load, or when the output drives, a mesh that idles may \
             rattle and one that is loaded may change sides. A drum that nothing holds can outrun the engine, and cast \
             iron comes apart when it does"
                .into(),
        ));
        Document { title: self.set.title().to_owned(), blocks }
    }

    /// The states to show.
    pub(super) fn shown(&self) -> impl Iterator<Item = &StateWork> {
        self.states.iter().filter(|state| self.only.is_none_or(|only| only == state.motion.state))
    }

    fn facts(&self) -> Block {
        let mut facts = vec![
            Fact::new(
                "speed",
                "turns per turn of the input, as exact fractions in toothmark ratios; forward: in the input's sense",
            ),
            Fact::new("teeth", "so many teeth of either gear pass the contact in one turn of the input"),
            Fact::new("loaded, idle", "whether a mesh that rolls passes power; dead: it does not roll"),
        ];
        if let Some(rpm) = &self.input_rpm {
            facts.push(Fact::new("input", format!("at {} revolutions per minute", with_decimal(rpm))));
        }
        Block::Facts(facts)
    }

    pub(super) fn restraint(&self, restraint: &Restraint) -> String {
        let name = |id: &MemberId| self.set.member(*id).name().to_owned();
        match restraint {
            Restraint::Control(control) => self.set.control(*control).name().to_owned(),
            Restraint::Held(held) => format!("{} held", name(held)),
            Restraint::Joined(pair) => format!("{} joined to {}", name(&pair.first), name(&pair.second)),
            Restraint::Turning(turning, _) => format!("{} driven", name(turning)),
        }
    }

    fn bearings(&self, state: &StateWork) -> Table {
        let all = bearings(self.set);
        let mut headings = vec!["bearing", "turns", "decimal"];
        if self.input_rpm.is_some() {
            headings.extend(["rpm", "rubbing"]);
        }
        let row = |(bearing, motion): (&RunsOn, &BearingMotion)| {
            let mut row = vec![self.bearing(bearing)];
            row.extend(both(&motion.relative));
            if let Some(rpm) = &self.input_rpm {
                let turns = motion.relative.value().map(|speed| speed * rpm);
                row.push(turns.as_ref().map_or("-".into(), rounded));
                row.push(self.rubbing(bearing, &motion.relative).map_or("-".into(), |speed| {
                    format!("{speed:.3} m/s ({:.0} ft/min)", speed * FEET_PER_METRE * 60.0)
                }));
            }
            row
        };
        Table {
            caption: "Bearings, the first against the second".into(),
            headings: headings.into_iter().map(String::from).collect(),
            rows: all.iter().zip(&state.bearings).map(row).collect(),
        }
    }

    /// The rubbing speed in metres a second, where diameter and speeds are known: pi d n.
    pub(super) fn rubbing(&self, bearing: &RunsOn, relative: &Speed) -> Option<f64> {
        let metres = bearing.diameter.as_ref()?.millimetres() / 1000.0;
        let turns = to_float(&(relative.value()?.abs() * self.input_rpm.as_ref()?.abs())) / 60.0;
        Some(std::f64::consts::PI * metres * turns)
    }

    pub(super) fn bearing(&self, bearing: &RunsOn) -> String {
        let (first, second) = (member(self.set, bearing.first), member(self.set, bearing.second));
        match (bearing.on_pin, bearing.second == MemberId::CASE) {
            (true, true) => format!("{first} in the case"),
            (true, false) => format!("{first} on its pins in {second}"),
            (false, _) => format!("{first} on {second}"),
        }
    }

    fn meshes(&self, state: &StateWork) -> Table {
        let mut headings = vec!["mesh", "teeth", "decimal"];
        if self.input_rpm.is_some() {
            headings.push("Hz");
        }
        headings.push("what it does");
        let row = |found: &MeshMotion| {
            let mut row = vec![mesh(self.set, found.mesh)];
            row.extend(both(&found.teeth));
            if self.input_rpm.is_some() {
                row.push(self.contact_rate(&found.teeth).as_ref().map_or("-".into(), rounded));
            }
            row.push(work(found.work).into());
            row
        };
        Table {
            caption: "Meshes".into(),
            headings: headings.into_iter().map(String::from).collect(),
            rows: state.meshes.iter().map(row).collect(),
        }
    }

    /// How many teeth pass in a second, for a given speed of the input.
    pub(super) fn contact_rate(&self, teeth: &Speed) -> Option<Fraction> {
        Some(teeth.value()? * self.input_rpm.as_ref()?.abs() / fraction(60, 1))
    }

    /// That no tooth can be heard in a state.
    fn silent(state: &StateWork) -> Option<Block> {
        let is_dead = !state.meshes.is_empty() && state.meshes.iter().all(|mesh| mesh.work == Work::Dead);
        is_dead.then(|| {
            let state = quoted(&state.motion.state);
            Block::Note(format!("in {state} no mesh rolls: a noise that is heard there is not one of teeth in mesh"))
        })
    }

    /// What is beyond its limit.
    pub(super) fn beyond(&self) -> Vec<Beyond> {
        let Some(rpm) = &self.input_rpm else { return Vec::new() };
        let mut found = beyond(self.states, rpm, &self.limits);
        found.retain(|found| self.only.is_none_or(|only| only == found.state));
        found
    }

    fn overspeed(&self) -> Vec<Block> {
        if self.limits == Limits::default() {
            return Vec::new();
        }
        let row = |found: &Beyond| {
            let name = self.set.member(found.member).name().to_owned();
            vec![name, found.state.clone(), rounded(&found.speed), rounded(&found.limit)]
        };
        let rows: Vec<Vec<String>> = self.beyond().iter().map(row).collect();
        if rows.is_empty() {
            return vec![Block::Paragraph("No member whose speed is determined turns faster than its limit.".into())];
        }
        let headings = ["member", "state", "rpm", "limit"].map(String::from).to_vec();
        vec![
            Block::Table(Table { caption: "Faster than they may".into(), headings, rows }),
            Block::Warning(
                "a part that runs too fast can burst: run the input slower, or do not use that state".into(),
            ),
        ]
    }

    /// Every suspect, with what is to be held of it.
    pub(super) fn findings(&self) -> Vec<Finding> {
        self.listened.as_ref().map_or_else(Vec::new, |listened| suspects(self.set, self.states, listened))
    }

    /// Whether a noise was asked about and nothing fits.
    pub fn nothing_fits(&self) -> bool {
        let is_out = |found: &Finding| matches!(found.judgement, Judgement::Out(_));
        self.listened.is_some() && self.findings().iter().all(is_out)
    }

    fn noise(&self) -> Vec<Block> {
        let Some(listened) = &self.listened else { return Vec::new() };
        let states = |places: &[usize]| list(&places.iter().map(|&place| self.state(place)).collect::<Vec<_>>());
        let all = bearings(self.set);
        let row = |found: &Finding| vec![self.suspect(&all, found.suspect), self.judgement(found)];
        let mut blocks = vec![
            Block::Heading(format!(
                "Noise heard in {}, not heard in {}",
                states(&listened.heard),
                states(&listened.not_heard)
            )),
            Block::Table(Table {
                caption: "What can make it, the likeliest first".into(),
                headings: ["part", "what is to be held of it"].map(String::from).to_vec(),
                rows: self.findings().iter().map(row).collect(),
            }),
        ];
        if self.nothing_fits() {
            blocks.push(Block::Warning(
                "nothing in the gearset fits: look at what is joined to it, at the axle and at the engine, and listen \
                 again in each state"
                    .into(),
            ));
        }
        blocks.push(Block::Note(
            "this rules out what cannot be and proves nothing: a noise of the axle is easily taken for one of the \
             gearbox. Listen with the wheels chocked and the driven ones off the ground on stands"
                .into(),
        ));
        blocks
    }

    pub(super) fn state(&self, place: usize) -> String {
        quoted(&self.states[place].motion.state)
    }

    fn suspect(&self, all: &[RunsOn], suspect: Suspect) -> String {
        match suspect {
            Suspect::Mesh(id) => self.mesh(id),
            Suspect::Bearing(place) => format!("bearing of {}", self.bearing(&all[place])),
            Suspect::Member(id) if *self.set.member(id).place() == Place::MainAxis => {
                format!("{}, turning in the case", member(self.set, id))
            }
            Suspect::Member(id) => format!("{}, touching what is fixed", member(self.set, id)),
        }
    }

    fn mesh(&self, id: MeshId) -> String {
        format!("mesh of {}", mesh(self.set, id))
    }

    fn judgement(&self, found: &Finding) -> String {
        let heard = self.listened.as_ref().map_or(0, |listened| listened.heard.len());
        match &found.judgement {
            Judgement::Fits if found.loaded > 0 && found.loaded == heard => "fits; loaded wherever it is heard".into(),
            Judgement::Fits if found.loaded > 0 => {
                format!("fits; loaded in {} of {heard} states in which it is heard", found.loaded)
            }
            Judgement::Fits => "fits".into(),
            Judgement::FitsUnderLoad => {
                "fits if it sounds under load only: it rolls idle where nothing is heard".into()
            }
            Judgement::Out(reasons) => {
                let reasons: Vec<String> = reasons.iter().map(|reason| self.reason(reason)).collect();
                format!("out: {}", list(&reasons))
            }
        }
    }

    pub(super) fn reason(&self, reason: &Reason) -> String {
        match reason {
            Reason::StillWhereHeard(state) => format!("does not move in {}", self.state(*state)),
            Reason::MovesWhereSilent(state) => format!("moves in {} too", self.state(*state)),
        }
    }
}

/// A speed as a fraction and as a decimal.
fn both(speed: &Speed) -> [String; 2] {
    match speed {
        Speed::Determined(value) => [value.to_string(), rounded(value)],
        Speed::Free => ["free".into(), "free".into()],
        Speed::Locked => ["locked".into(), "locked".into()],
        Speed::WithoutMeaning => ["-".into(), "-".into()],
    }
}

/// What a mesh does, for people and for programs.
pub(super) fn work(work: Work) -> &'static str {
    match work {
        Work::Loaded => "loaded",
        Work::Idle => "idle",
        Work::Rolls => "rolls",
        Work::Dead => "dead",
        Work::Unknown => "not determined",
    }
}
