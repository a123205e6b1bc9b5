//! The answer to "what turns how fast in each state", for a person.
//!
//! First all states in one table, what has to be minded and the steps between them, then
//! the speed of every member, state by state. For other programs see
//! [`self::data`].

pub(super) mod data;

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId, Place, Restraint};
use crate::kinematics::{Drive, ForwardSteps, MemberMotion, Overspeed, Speed, StateMotion, Verdict, overspeeds};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{list, member, one_way_conflicts, quoted, rounded, short_list, with_decimal};
use num_traits::{One, Signed};

/// The motions of a gearset's states and how they are to be shown.
#[derive(Debug, Clone)]
pub struct Ratios<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The states to show.
    pub motions: &'a [StateMotion],
    /// The forward states in order, for every input and output.
    pub forward_steps: &'a [ForwardSteps],
    /// The input's speed in revolutions per minute, if speeds are wanted for one.
    pub input_rpm: Option<Fraction>,
}

impl Ratios<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![self.conventions()];
        if self.motions.is_empty() {
            blocks.push(Block::no_states("there is no ratio to give"));
            return Document { title: self.set.title().to_owned(), blocks };
        }
        blocks.push(Block::Table(self.overview()));
        for motion in self.motions {
            blocks.extend(self.warnings(motion));
        }
        blocks.extend(self.forward_steps.iter().map(|steps| self.steps(steps)));
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

    /// All states in one table.
    pub(super) fn overview(&self) -> Table {
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

    pub(super) fn restraint(&self, restraint: &Restraint) -> String {
        let name = |id: &MemberId| self.set.member(*id).name().to_owned();
        match restraint {
            Restraint::Control(control) => self.set.control(*control).name().to_owned(),
            Restraint::Held(held) => format!("{} held", name(held)),
            Restraint::Joined(pair) => format!("{} joined to {}", name(&pair.first), name(&pair.second)),
            Restraint::Turning(turning, _) => format!("the given speed of {}", name(turning)),
        }
    }

    fn warnings(&self, motion: &StateMotion) -> Vec<Block> {
        one_way_conflicts(self.set, motion).into_iter().map(Block::Warning).collect()
    }

    fn steps(&self, steps: &ForwardSteps) -> Block {
        let mut rows: Vec<Vec<String>> = steps
            .steps
            .iter()
            .map(|step| vec![format!("{} to {}", step.from, step.to), step.step.to_string(), rounded(&step.step)])
            .collect();
        rows.push(vec!["spread, slowest to fastest".into(), steps.spread.to_string(), rounded(&steps.spread)]);
        let ends = format!("{} to {}", member(self.set, steps.input), member(self.set, steps.output));
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
        let fast = |fast: &Overspeed| {
            let name = self.set.member(fast.member).name();
            format!("{name} at {} times the input in {}", rounded(&fast.speed), quoted(&fast.state))
        };
        let fast: Vec<String> = overspeeds(self.set, self.motions).iter().map(fast).collect();
        if !fast.is_empty() {
            blocks.push(Block::Warning(format!(
                "turning faster than the input though they are not the output: {}. A part that runs too fast can \
                 burst; keep each below the limit of its maker's book",
                short_list(&fast)
            )));
        }
        blocks.push(Block::Note(
            "these are speeds, not loads: they do not say that a gear is strong enough, and a train that locks itself \
             is no brake for a load"
                .into(),
        ));
        blocks
    }
}
