//! The answer to "which torque is where in each state", for a person.
//!
//! First all states in one table, then for each state the torque on every member, at every control
//! and join and in every mesh, in drive and, where it differs in more than its sign, on overrun.
//! For other programs see [`self::data`].

pub(super) mod control;
mod data;
mod losses;
mod pins;

use crate::exact::{Fraction, fraction};
use crate::gearset::{Action, ControlId, Efficiency, Gearset, MemberId, NEWTONS_PER_POUND_FORCE};
use crate::kinematics::Verdict;
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{member, mesh, quoted, rounded, short_list, with_decimal};
use crate::statics::{
    Balanced, ControlLoad, MeshForce, MeshLoad, StateLoads, StateLosses, TorqueUnit, circulating_power, mesh_force,
    power_given,
};
use num_traits::{Signed, Zero};

/// The loads of a gearset's states and how they are to be shown.
#[derive(Debug, Clone)]
pub struct Loads<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The states to show.
    pub states: &'a [StateLoads],
    /// The torque on the input.
    pub torque: Fraction,
    /// The unit of all torques.
    pub unit: TorqueUnit,
    /// What losses do in the same states; empty where no efficiency is given.
    pub losses: &'a [StateLosses],
    /// The efficiency that took the place of those in the description.
    pub mesh_efficiency: Option<Efficiency>,
}

impl Loads<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![self.conventions()];
        if self.states.is_empty() {
            blocks.push(Block::no_states("there is nothing to load"));
            return Document { title: self.set.title().to_owned(), blocks };
        }
        blocks.push(Block::Table(self.overview()));
        for state in self.states {
            blocks.extend(self.state(state));
        }
        blocks.extend(self.losses());
        blocks.extend(self.cautions());
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn conventions(&self) -> Block {
        let unit = self.unit.symbol();
        let torque = format!("{} {unit} on the input; all torques in {unit}", with_decimal(&self.torque));
        Block::Facts(vec![
            Fact::new("torque", torque),
            Fact::new(
                "sense",
                "positive: in the sense of positive rotation, counter-clockwise seen from the input side when the input \
                 turns so",
            ),
            Fact::new("on a member", "what engine, load, band or anything else fast to the case puts on it"),
            Fact::new("power", "as a share of the input power; without losses unless it is said otherwise"),
            Fact::new("overrun", "the output drives: without losses every torque changes its sign and nothing else"),
        ])
    }

    fn overview(&self) -> Table {
        let row = |state: &StateLoads| {
            let (torque, decimal) = match output_torque(state) {
                Some(torque) => (torque.to_string(), rounded(torque)),
                None => ("-".into(), "-".into()),
            };
            let round = circulating_power(self.set, state).as_ref().map_or_else(|| "-".into(), percent);
            vec![state.motion.state.clone(), verdict(state), torque, decimal, self.carried_by(state), round]
        };
        let headings = ["state", "what it does", "load on the output", "decimal", "held by", "power that goes round"];
        Table {
            caption: "States".into(),
            headings: headings.map(String::from).to_vec(),
            rows: self.states.iter().map(row).collect(),
        }
    }

    /// Every control with its torque, in short.
    fn carried_by(&self, state: &StateLoads) -> String {
        let one = |load: &ControlLoad| {
            let torque = load.torque.as_ref().map_or_else(|| "?".into(), rounded);
            format!("{} {torque}", self.set.control(load.control).name())
        };
        let all: Vec<String> = state.controls.iter().filter(|load| load.applied).map(one).collect();
        if all.is_empty() || state.balanced == Balanced::WithoutTorque { "-".into() } else { short_list(&all) }
    }

    fn state(&self, state: &StateLoads) -> Vec<Block> {
        let mut blocks = vec![Block::Heading(format!("State {}", quoted(&state.motion.state)))];
        if state.balanced == Balanced::WithoutTorque {
            blocks.push(Block::Paragraph(without_torque(state)));
            return blocks;
        }
        if state.balanced == Balanced::Indeterminate {
            blocks.push(Block::Warning(self.indeterminate(state)));
        }
        blocks.extend(self.one_way_warnings(state));
        blocks.push(Block::Table(self.members(state)));
        blocks.extend(self.controls(state));
        blocks.extend(self.friction(state));
        blocks.extend(self.joins(state));
        blocks.push(Block::Table(self.meshes(state)));
        if matches!(state.motion.verdict, Verdict::Drives { .. }) {
            blocks.push(Block::Table(self.powers(state)));
        }
        blocks.extend(self.pins(state));
        blocks
    }

    /// What equilibrium leaves open, by name.
    fn indeterminate(&self, state: &StateLoads) -> String {
        let name = |member: MemberId| self.set.member(member).name().to_owned();
        let mut open: Vec<String> =
            state.members.iter().filter(|load| load.torque.is_none()).map(|load| name(load.member)).collect();
        let controls = state.controls.iter().filter(|load| load.torque.is_none());
        open.extend(controls.map(|load| self.set.control(load.control).name().to_owned()));
        let joins = state.joins.iter().filter(|load| load.torque.is_none());
        open.extend(
            joins.map(|load| format!("the join of {} and {}", name(load.members.first), name(load.members.second))),
        );
        let meshes = state.meshes.iter().filter(|load| load.torque_per_tooth.is_none());
        open.extend(meshes.map(|load| format!("mesh {}", mesh(self.set, load.mesh))));
        format!(
            "statically indeterminate: how the torque divides depends on clearances and on what gives way, not on tooth \
             counts. Not told: {}. Every other number holds whatever those are",
            short_list(&open)
        )
    }

    fn members(&self, state: &StateLoads) -> Table {
        let load = |load: &crate::statics::MemberLoad| {
            let [torque, decimal] = torque_cells(load.torque.as_ref());
            let power = load.power.as_ref().map_or_else(|| "-".into(), percent);
            vec![self.member_with_role(load.member, state), torque, decimal, power]
        };
        let mut rows: Vec<Vec<String>> = state
            .members
            .iter()
            .filter(|load| self.set.carrier_of(load.member).is_none_or(|carrier| carrier == MemberId::CASE))
            .map(load)
            .collect();
        let [mounts, decimal] = torque_cells(state.mounts.as_ref());
        rows.push(vec!["case (what its mounts take up)".into(), mounts, decimal, "0 %".into()]);
        Table {
            caption: "Torque on the members".into(),
            headings: ["member", "torque", "decimal", "power put in"].map(String::from).to_vec(),
            rows,
        }
    }

    fn member_with_role(&self, id: MemberId, state: &StateLoads) -> String {
        let name = self.set.member(id).name();
        if id == state.motion.input {
            format!("{name} (input)")
        } else if id == state.motion.output {
            format!("{name} (output)")
        } else {
            name.to_owned()
        }
    }

    fn controls(&self, state: &StateLoads) -> Option<Block> {
        let rows: Vec<Vec<String>> = state
            .controls
            .iter()
            .filter(|load| load.applied || matches!(self.set.control(load.control).action(), Action::OneWayClutch(..)))
            .map(|load| {
                let [torque, decimal] = torque_cells(load.torque.as_ref());
                let name = self.set.control(load.control).name().to_owned();
                vec![name, self.acts_on(load.control), torque, decimal, self.what_it_does(state, load)]
            })
            .collect();
        let headings = ["control", "torque on", "torque", "decimal", "in drive; on overrun"];
        (!rows.is_empty()).then(|| {
            Block::Table(Table { caption: "Controls".into(), headings: headings.map(String::from).to_vec(), rows })
        })
    }

    /// The member whose torque is given.
    fn acts_on(&self, control: ControlId) -> String {
        let name = |id: MemberId| self.set.member(id).name().to_owned();
        match self.set.control(control).action() {
            Action::Band(drum) => name(drum),
            Action::Clutch(pair) | Action::OneWayClutch(pair, _) => {
                format!("{} (opposite on {})", name(pair.first), name(pair.second))
            }
        }
    }

    fn joins(&self, state: &StateLoads) -> Option<Block> {
        let rows: Vec<Vec<String>> = state
            .joins
            .iter()
            .map(|load| {
                let [torque, decimal] = torque_cells(load.torque.as_ref());
                let name = |id: MemberId| member(self.set, id);
                vec![name(load.members.first), name(load.members.second), torque, decimal]
            })
            .collect();
        let headings = ["on", "from", "torque", "decimal"];
        (!rows.is_empty()).then(|| {
            Block::Table(Table { caption: "Joins".into(), headings: headings.map(String::from).to_vec(), rows })
        })
    }

    fn meshes(&self, state: &StateLoads) -> Table {
        let has_pitch = state.meshes.iter().any(|load| self.set.mesh(load.mesh).pitch().is_some());
        let row = |load: &MeshLoad| {
            let torques = load.torques(self.set);
            let torque = |place: usize| torques.as_ref().map_or_else(|| "not told".into(), |all| rounded(&all[place]));
            let mut row = vec![mesh(self.set, load.mesh)];
            row.extend((0..3).map(torque));
            if has_pitch {
                row.push(mesh_force(self.set, load, self.unit).map_or_else(|| "-".into(), |found| force(&found)));
            }
            row
        };
        let mut headings = vec!["mesh", "torque on the first", "on the second", "on the carrier"];
        if has_pitch {
            headings.push("tangential force");
        }
        Table {
            caption: "Torque in the meshes, all pins together".into(),
            headings: headings.into_iter().map(String::from).collect(),
            rows: state.meshes.iter().map(row).collect(),
        }
    }

    fn powers(&self, state: &StateLoads) -> Table {
        let row = |load: &MeshLoad| {
            let given = power_given(self.set, state, load.mesh);
            let given = |place: usize| given[place].as_ref().map_or_else(|| "-".into(), percent);
            let mut row = vec![mesh(self.set, load.mesh), self.rolling(load)];
            row.extend((0..3).map(given));
            row
        };
        let headings = ["mesh", "seen from the carrier", "given to the first", "to the second", "to the carrier"];
        Table {
            caption: "Power through the meshes".into(),
            headings: headings.map(String::from).to_vec(),
            rows: state.meshes.iter().map(row).collect(),
        }
    }

    /// Who drives whom as seen from the carrier, and with which share of the power.
    fn rolling(&self, load: &MeshLoad) -> String {
        let Some(power) = &load.rolling_power else { return "-".into() };
        let name = |gear| self.set.gear(gear).name();
        match load.driver_and_driven(self.set) {
            Some([driver, driven]) => {
                format!("{} drives {}: {}", name(driver), name(driven), percent(&power.abs()))
            }
            None if load.torque_per_tooth.as_ref().is_some_and(Zero::is_zero) => "idle".into(),
            None => "loaded, does not roll".into(),
        }
    }
}

/// What the load puts on the output, where the state drives.
fn output_torque(state: &StateLoads) -> Option<&Fraction> {
    let drives = matches!(state.motion.verdict, Verdict::Drives { .. });
    state.member(state.motion.output).torque.as_ref().filter(|_| drives)
}

fn verdict(state: &StateLoads) -> String {
    match (&state.motion.verdict, state.balanced) {
        (Verdict::Drives { .. }, Balanced::Determined) => "drives".into(),
        (Verdict::Drives { .. }, Balanced::Indeterminate) => "drives; statically indeterminate".into(),
        (Verdict::Drives { .. }, Balanced::WithoutTorque) => {
            "drives, but nothing takes up a torque on the input".into()
        }
        (Verdict::Neutral, _) => "neutral: no torque can be passed on".into(),
        (Verdict::OutputHeld, _) => "output held, the input runs free: no torque can be passed on".into(),
        (Verdict::Locked { .. }, _) => "locked: how the torque divides is not determined".into(),
    }
}

fn without_torque(state: &StateLoads) -> String {
    match &state.motion.verdict {
        Verdict::Drives { .. } => {
            "the output is driven by the member whose speed is given; a torque on the input finds nothing to push \
             against"
        }
        Verdict::Neutral => "the input turns and nothing holds it back: neither input nor output can carry a torque",
        Verdict::OutputHeld => "the output stands, the input turns freely and can carry no torque",
        Verdict::Locked { .. } => "the input cannot turn",
    }
    .to_owned()
}

fn torque_cells(torque: Option<&Fraction>) -> [String; 2] {
    torque.map_or(["not told".into(), "-".into()], |torque| [torque.to_string(), rounded(torque)])
}

fn force(force: &MeshForce) -> String {
    each_of(force.per_pin, force.pins)
}

/// A force on each of so many pins.
pub(super) fn each_of(per_pin: f64, pins: usize) -> String {
    if pins == 1 { newtons(per_pin) } else { format!("{} on each of {pins} pins", newtons(per_pin)) }
}

/// A force in newtons with pounds force beside.
pub(super) fn newtons(newtons: f64) -> String {
    format!("{} N ({} lbf)", digits(newtons), digits(newtons / NEWTONS_PER_POUND_FORCE))
}

/// A share as a percentage.
pub(super) fn percent(share: &Fraction) -> String {
    format!("{} %", crate::exact::decimal(&(share * fraction(100, 1)), 5))
}

/// A measured size with four significant digits, or six decimals.
pub(super) fn digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let (mut decimals, mut bound) = (0, 1000.0);
    while value.abs() < bound && decimals < 6 {
        decimals += 1;
        bound /= 10.0;
    }
    format!("{value:.decimals$}")
}
