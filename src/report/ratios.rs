//! The answer to "what turns how fast in each state", as document, records and JSON.

use serde::Serialize;

use super::document::{Block, Document, Fact, Records, Table};
use super::escape::csv_name;
use super::json::{Value, json};
use super::words::{list, member, quoted, rounded, short_list, with_decimal};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, MemberId, Place, Restraint};
use crate::kinematics::{Drive, Ladder, MemberMotion, Speed, StateMotion, Verdict};
use num_traits::{One, Signed};

/// The motions of a gearset's states and how they are to be shown.
#[derive(Debug, Clone)]
pub struct Ratios<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The states to show.
    pub motions: &'a [StateMotion],
    /// The forward states in order, for every input and output.
    pub ladders: &'a [Ladder],
    /// The input's speed in revolutions per minute, if speeds are wanted for one.
    pub input_rpm: Option<Fraction>,
}

impl Ratios<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![self.conventions()];
        if self.motions.is_empty() {
            blocks.push(Block::Note(
                "no states are described, so there is no ratio to give; add states to the description, such as \
                 \"low\": Apply([\"low band\"])"
                    .into(),
            ));
            return Document { title: self.set.title().to_owned(), blocks };
        }
        blocks.push(Block::Table(self.overview()));
        for motion in self.motions {
            blocks.extend(self.warnings(motion));
        }
        blocks.extend(self.ladders.iter().map(|ladder| self.steps(ladder)));
        blocks.extend(self.motions.iter().map(|motion| Block::Table(self.speeds(motion))));
        blocks.extend(self.safety());
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn conventions(&self) -> Block {
        let mut facts = Vec::new();
        if let Some([input, output]) = self.common_ends() {
            facts.push(Fact::new("input", self.set.member(input).name()));
            facts.push(Fact::new("output", self.set.member(output).name()));
        }
        facts.push(Fact::new("ratio", "input turns per output turn; negative: the output turns backward"));
        facts.push(Fact::new(
            "speed",
            match &self.input_rpm {
                None => "turns per turn of the input; positive: in the input's sense".to_owned(),
                Some(rpm) => {
                    format!("revolutions per minute with the input at {}; positive: counter-clockwise seen from the input side", with_decimal(rpm))
                }
            },
        ));
        Block::Facts(facts)
    }

    /// The input and output, if all states shown have the same.
    fn common_ends(&self) -> Option<[MemberId; 2]> {
        let first = self.motions.first()?;
        let same = |motion: &StateMotion| motion.input == first.input && motion.output == first.output;
        self.motions.iter().all(same).then_some([first.input, first.output])
    }

    fn overview(&self) -> Table {
        let own_ends = self.common_ends().is_none();
        let mut headings = vec!["state", "what it does", "ratio", "decimal", "output per input"];
        if own_ends {
            headings.insert(1, "drives -> driven");
        }
        let row = |motion: &StateMotion| {
            let (ratio, decimal, inverse) = match motion.verdict.ratio() {
                Some(ratio) => (ratio.to_string(), rounded(ratio), with_decimal(&ratio.recip())),
                None => ("-".into(), "-".into(), if motion.verdict == Verdict::OutputHeld { "0" } else { "-" }.into()),
            };
            let mut row = vec![motion.state.clone(), self.verdict(motion), ratio, decimal, inverse];
            if own_ends {
                let name = |id| self.set.member(id).name();
                row.insert(1, format!("{} -> {}", name(motion.input), name(motion.output)));
            }
            row
        };
        Table {
            caption: "States".into(),
            headings: headings.into_iter().map(String::from).collect(),
            rows: self.motions.iter().map(row).collect(),
        }
    }

    fn verdict(&self, motion: &StateMotion) -> String {
        match &motion.verdict {
            Verdict::Drives { drive: Drive::Solid, .. } => "direct: everything turns as one".into(),
            Verdict::Drives { ratio, .. } if ratio.is_negative() => "reversed".into(),
            Verdict::Drives { ratio, .. } if ratio.is_one() => "drives one to one".into(),
            Verdict::Drives { .. } => "drives".into(),
            Verdict::OutputHeld => "output held: the input turns, the output stands".into(),
            Verdict::Neutral => {
                let free = self.free_members(motion);
                let are = if free.len() == 1 { "is" } else { "are" };
                format!("neutral: {} {are} free", short_list(&free))
            }
            Verdict::Locked { by } => match by.as_slice() {
                [] => "locked by its own meshes and joins".into(),
                [one] => format!("locked by {}", self.restraint(one)),
                several => {
                    let names: Vec<String> = several.iter().map(|one| self.restraint(one)).collect();
                    format!("locked by {} together", list(&names))
                }
            },
        }
    }

    fn free_members(&self, motion: &StateMotion) -> Vec<String> {
        let on_main_axis = |motion: &&MemberMotion| matches!(self.set.member(motion.member).place(), Place::MainAxis);
        motion
            .members
            .iter()
            .filter(|motion| motion.speed == Speed::Free)
            .filter(on_main_axis)
            .map(|motion| self.set.member(motion.member).name().to_owned())
            .collect()
    }

    fn restraint(&self, restraint: &Restraint) -> String {
        let name = |id: &MemberId| self.set.member(*id).name().to_owned();
        match restraint {
            Restraint::Control(control) => self.set.control(*control).name().to_owned(),
            Restraint::Held(held) => format!("{} held", name(held)),
            Restraint::Joined(pair) => format!("{} joined to {}", name(&pair.first), name(&pair.second)),
            Restraint::Turning(turning, _) => format!("the given speed of {}", name(turning)),
        }
    }

    fn warnings(&self, motion: &StateMotion) -> Vec<Block> {
        let conflict = |control| {
            let control = quoted(self.set.control(control).name());
            Block::Warning(format!(
                "in state {} the one-way clutch {control} is not listed, yet with these speeds it would hold: \
                 list it in the state if it carries there, or look at the sense that it stops",
                quoted(&motion.state)
            ))
        };
        motion.one_way_conflicts.iter().map(|found| conflict(found.control)).collect()
    }

    fn steps(&self, ladder: &Ladder) -> Block {
        let mut rows: Vec<Vec<String>> = ladder
            .steps
            .iter()
            .map(|step| vec![format!("{} to {}", step.from, step.to), step.step.to_string(), rounded(&step.step)])
            .collect();
        rows.push(vec!["spread, slowest to fastest".into(), ladder.spread.to_string(), rounded(&ladder.spread)]);
        let ends = format!("{} to {}", member(self.set, ladder.input), member(self.set, ladder.output));
        Block::Table(Table {
            caption: format!("Steps between forward states, {ends}"),
            headings: ["step", "quotient of ratios", "decimal"].map(String::from).to_vec(),
            rows,
        })
    }

    fn speeds(&self, motion: &StateMotion) -> Table {
        let scaled = |speed: &Fraction| self.input_rpm.as_ref().map_or_else(|| speed.clone(), |rpm| speed * rpm);
        let cells = |speed: &Speed| match speed {
            Speed::Determined(value) => {
                let value = scaled(value);
                [value.to_string(), rounded(&value)]
            }
            Speed::Free => ["free".into(), "free".into()],
            Speed::Locked => ["locked".into(), "locked".into()],
            Speed::WithoutMeaning => ["tumbles".into(), "-".into()],
        };
        let row = |found: &MemberMotion| {
            let mut row = vec![self.member_with_role(found.member, motion)];
            row.extend(cells(&found.speed));
            row.extend(found.relative_to_carrier.as_ref().map_or(["-".into(), "-".into()], cells));
            row
        };
        let unit = if self.input_rpm.is_some() { "rpm" } else { "turns" };
        let headings = ["member", unit, "decimal", "relative to its carrier", "decimal"];
        Table {
            caption: format!("Speeds in state {}", quoted(&motion.state)),
            headings: headings.map(String::from).to_vec(),
            rows: motion.members.iter().map(row).collect(),
        }
    }

    fn member_with_role(&self, id: MemberId, motion: &StateMotion) -> String {
        let name = self.set.member(id).name();
        if id == motion.input {
            format!("{name} (input)")
        } else if id == motion.output {
            format!("{name} (output)")
        } else if let Some(carrier) = self.set.carrier_of(id) {
            format!("{name} (on {})", self.set.member(carrier).name())
        } else {
            name.to_owned()
        }
    }

    /// What to mind where a member outruns the input, or where something hangs on the train.
    fn safety(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        let fast: Vec<String> = self.set.member_ids().filter_map(|member| self.fastest(member)).collect();
        if !fast.is_empty() {
            blocks.push(Block::Warning(format!(
                "turning faster than the input though they are not the output: {}. A drum that overspeeds can burst; \
                 keep each below the limit of its maker's book",
                short_list(&fast)
            )));
        }
        blocks.push(Block::Note(
            "geometry and motion only; nothing here proves a gear strong enough, and no reducer may be relied on to \
             hold a load by itself"
                .into(),
        ));
        blocks
    }

    /// A member of the main axis at its fastest, if that is faster than the input and it
    /// is not what the state drives.
    fn fastest(&self, member: MemberId) -> Option<String> {
        if *self.set.member(member).place() != Place::MainAxis {
            return None;
        }
        let speed_in = |motion: &StateMotion| {
            let found = motion.members.iter().find(|found| found.member == member && motion.output != member)?;
            Some((found.speed.value()?.clone(), motion.state.clone()))
        };
        let (speed, state) = self.motions.iter().filter_map(speed_in).max_by(|(a, _), (b, _)| a.abs().cmp(&b.abs()))?;
        let name = self.set.member(member).name();
        (speed.abs() > Fraction::one())
            .then(|| format!("{name} at {} times the input in {}", rounded(&speed), quoted(&state)))
    }

    /// The answer for other programs, one record a member and state.
    pub fn records(&self) -> Records {
        let fields = vec![
            "state",
            "verdict",
            "ratio",
            "ratio_decimal",
            "member",
            "speed",
            "speed_decimal",
            "relative_to_carrier",
            "relative_to_carrier_decimal",
        ];
        let both = |value: Option<&Fraction>| {
            value.map_or([String::new(), String::new()], |value| [value.to_string(), rounded(value)])
        };
        let factor = self.input_rpm.clone().unwrap_or_else(|| fraction(1, 1));
        let speeds = |speed: Option<&Speed>| both(speed.and_then(Speed::value).map(|value| value * &factor).as_ref());
        let rows = self.motions.iter().flat_map(|motion| {
            motion.members.iter().map(move |found| {
                let mut row = vec![csv_name(&motion.state), verdict_key(&motion.verdict).to_owned()];
                row.extend(both(motion.verdict.ratio()));
                row.push(csv_name(self.set.member(found.member).name()));
                row.extend(speeds(Some(&found.speed)));
                row.extend(speeds(found.relative_to_carrier.as_ref()));
                row
            })
        });
        Records { fields, rows: rows.collect() }
    }

    /// The answer as JSON; speeds are per turn of the input, or in rpm where one is given.
    pub fn json(&self) -> String {
        let factor = self.input_rpm.clone().unwrap_or_else(|| fraction(1, 1));
        let speed = |speed: &Speed| speed.value().map(|value| Value::new(&(value * &factor)));
        let state = |motion: &StateMotion| StateJson {
            state: motion.state.clone(),
            verdict: verdict_key(&motion.verdict),
            ratio: motion.verdict.ratio().map(Value::new),
            members: motion
                .members
                .iter()
                .map(|found| MemberJson {
                    member: self.set.member(found.member).name().to_owned(),
                    speed: speed(&found.speed),
                    relative_to_carrier: found.relative_to_carrier.as_ref().and_then(speed),
                })
                .collect(),
        };
        json(&RatiosJson { gearset: self.set.title().to_owned(), states: self.motions.iter().map(state).collect() })
    }
}

/// The verdict as JSON and CSV have it.
fn verdict_key(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Drives { .. } => "drives",
        Verdict::Locked { .. } => "locked",
        Verdict::Neutral => "neutral",
        Verdict::OutputHeld => "output held",
    }
}

#[derive(Debug, Serialize)]
struct RatiosJson {
    gearset: String,
    states: Vec<StateJson>,
}

#[derive(Debug, Serialize)]
struct StateJson {
    state: String,
    verdict: &'static str,
    ratio: Option<Value>,
    members: Vec<MemberJson>,
}

#[derive(Debug, Serialize)]
struct MemberJson {
    member: String,
    speed: Option<Value>,
    relative_to_carrier: Option<Value>,
}
