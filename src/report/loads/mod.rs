//! The answer to "which torque is where in each state".
//!
//! For a person first what carries most and what to beware of, then all states in one table ([`screen`]); in full for
//! each state the torque on every member, at every control and join
//! and in every mesh, in drive and, where it differs in more than its sign, on overrun; last what losses leave. For a
//! table program a record a member, control, join or mesh and state.

pub(super) mod control;
mod losses;
mod pins;
mod screen;

use crate::exact::{Fraction, fraction};
use crate::gearset::{Action, ControlId, Gearset, MemberId, MeshId, NEWTONS_PER_POUND_FORCE};
use crate::inspection::RemarkKind;
use crate::kinematics::VerdictKind;
use crate::report::answer::{Answer, bears_on_gears};
use crate::report::render::document::{Block, Fact, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{key, member, mesh, quoted, rounded, short_list, with_decimal};
use crate::statics::{Balanced, JoinLoad, LoadSurvey, LoadedControl, LoadedMesh, LoadedState, MemberLoad, SharedLoad};
use num_traits::{Signed, Zero};

impl Answer for LoadSurvey {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        if self.states.is_empty() {
            return vec![Block::no_states("there is nothing to load")];
        }
        screen::screen(self, set)
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        if self.states.is_empty() {
            return Vec::new();
        }
        let states = self.states.iter().flat_map(|state| details(self, set, state));
        let all = [conventions(self), overview(self, set)].into_iter().chain(states);
        all.chain(losses::losses(self, set)).chain(pins::cautions(self, set)).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("the exact torque on every member, control, mesh and pin, state by state")
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        remark == RemarkKind::DoesNotAssemble || bears_on_gears(remark)
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec!["state", "verdict", "balance", "kind", "name", "torque", "torque_decimal", "power_share"];
        Records { fields, rows: self.states.iter().flat_map(|state| records(set, state)).collect() }
    }
}

fn records(set: &Gearset, state: &LoadedState) -> Vec<Vec<String>> {
    let record = |kind: &str, what: &str, torque: Option<&Fraction>, power: Option<&Fraction>| {
        vec![
            csv_name(&state.state),
            key(&state.verdict),
            key(&state.balance),
            kind.to_owned(),
            csv_name(what),
            torque.map_or_else(String::new, ToString::to_string),
            torque.map_or_else(String::new, rounded),
            power.map_or_else(String::new, rounded),
        ]
    };
    let members = state
        .members
        .iter()
        .map(|load| record("member", set.member(load.member).name(), load.torque.as_ref(), load.power.as_ref()));
    let controls = state
        .controls
        .iter()
        .map(|load| record("control", set.control(load.control).name(), load.torque.as_ref(), None));
    let joins = state.joins.iter().map(|load| {
        let names = load.members.each().map(|member| set.member(member).name());
        record("join", &names.join(" / "), load.torque.as_ref(), None)
    });
    let meshes = state.meshes.iter().map(|load| {
        let torque = load.torques.as_ref().map(|[on_first, ..]| on_first);
        record("mesh", &gear_names(set, load.gears).join(" / "), torque, load.rolling_power.as_ref())
    });
    members.chain(controls).chain(joins).chain(meshes).collect()
}

fn gear_names(set: &Gearset, mesh: MeshId) -> [&str; 2] {
    set.mesh(mesh).gears().each().map(|gear| set.gear(gear).name())
}

fn conventions(answer: &LoadSurvey) -> Block {
    let unit = key(&answer.torque_unit);
    let torque = format!("{} {unit} on the input; all torques in {unit}", with_decimal(&answer.torque));
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

fn overview(answer: &LoadSurvey, set: &Gearset) -> Block {
    let row = |state: &LoadedState| {
        let torque = state.output_torque.as_ref();
        vec![
            state.state.clone(),
            verdict(state).into(),
            torque.map_or_else(|| "-".into(), ToString::to_string),
            torque.map_or_else(|| "-".into(), rounded),
            carried_by(set, state),
            state.circulating_power.as_ref().map_or_else(|| "-".into(), percent),
        ]
    };
    let headings = ["state", "what it does", "load on the output", "decimal", "held by", "circulating power"];
    Block::table("States", &headings, answer.states.iter().map(row).collect())
}

/// Every control with its torque, in short.
fn carried_by(set: &Gearset, state: &LoadedState) -> String {
    let one = |load: &LoadedControl| {
        let torque = match (&load.torque, shared_with(state, load)) {
            (Some(torque), _) => rounded(torque),
            (None, Some(SharedLoad { torque: Some(whole), .. })) => format!("a share of {}", rounded(whole)),
            (None, _) => "?".into(),
        };
        format!("{} {torque}", set.control(load.control).name())
    };
    let all: Vec<String> = state.controls.iter().filter(|load| load.applied).map(one).collect();
    if all.is_empty() || state.balance == Balanced::WithoutTorque { "-".into() } else { short_list(&all) }
}

/// What a control whose part is open carries together with others.
fn shared_with<'a>(state: &'a LoadedState, load: &LoadedControl) -> Option<&'a SharedLoad> {
    state.shared.iter().find(|shared| load.torque.is_none() && shared.controls.contains(&load.control))
}

fn details(answer: &LoadSurvey, set: &Gearset, state: &LoadedState) -> Vec<Block> {
    let mut blocks = vec![Block::Heading(format!("State {}", quoted(&state.state)))];
    if state.balance == Balanced::WithoutTorque {
        blocks.push(Block::Paragraph(without_torque(state).into()));
        return blocks;
    }
    if state.balance == Balanced::Indeterminate {
        blocks.extend(indeterminate(set, state).map(Block::Warning));
    }
    blocks.extend(state.shared.iter().filter_map(|load| screen::together(set, state, load)).map(Block::Paragraph));
    blocks.extend(control::one_way_warnings(set, state).into_iter().map(Block::Warning));
    blocks.push(members(set, state));
    blocks.extend(controls(set, state));
    blocks.extend(control::friction(answer, set, state));
    blocks.extend(joins(set, state));
    blocks.push(meshes(set, state));
    if state.verdict == VerdictKind::Drives {
        blocks.push(powers(set, state));
    }
    blocks.extend(pins::pins(set, state));
    blocks
}

/// What equilibrium leaves open, by name; how controls that do the same share what is told of them together is left out.
fn open_parts(set: &Gearset, state: &LoadedState) -> Vec<String> {
    let name = |member: MemberId| set.member(member).name().to_owned();
    let is_told_together =
        |load: &LoadedControl| shared_with(state, load).is_some_and(|shared| shared.torque.is_some());
    let mut open: Vec<String> =
        state.members.iter().filter(|load| load.torque.is_none()).map(|load| name(load.member)).collect();
    let controls = state.controls.iter().filter(|load| load.torque.is_none() && !is_told_together(load));
    open.extend(controls.map(|load| set.control(load.control).name().to_owned()));
    let joins = state.joins.iter().filter(|load| load.torque.is_none());
    open.extend(
        joins.map(|load| format!("the join of {} and {}", name(load.members.first), name(load.members.second))),
    );
    let meshes = state.meshes.iter().filter(|load| load.torques.is_none());
    open.extend(meshes.map(|load| format!("mesh {}", mesh(set, load.gears))));
    open
}

fn indeterminate(set: &Gearset, state: &LoadedState) -> Option<String> {
    let open = open_parts(set, state);
    (!open.is_empty()).then(|| {
        format!(
            "statically indeterminate: how the torque divides depends on clearances and on what gives way, not on \
             tooth counts. Not told: {}. Every other number holds whatever those are",
            short_list(&open)
        )
    })
}

fn members(set: &Gearset, state: &LoadedState) -> Block {
    let row = |load: &MemberLoad| {
        let [torque, decimal] = torque_cells(load.torque.as_ref());
        let power = load.power.as_ref().map_or_else(|| "-".into(), percent);
        vec![member_with_role(set, load.member, state), torque, decimal, power]
    };
    let mut rows: Vec<Vec<String>> = state.members.iter().filter(|load| is_shown(set, load)).map(row).collect();
    let [mounts, decimal] = torque_cells(state.mounts.as_ref());
    rows.push(vec!["case (what its mounts take up)".into(), mounts, decimal, "0 %".into()]);
    Block::table("Torque on the members", &["member", "torque", "decimal", "power put in"], rows)
}

/// Whether a member is on the main axis or on one that is fixed: of a planet the pins are told.
fn is_shown(set: &Gearset, load: &MemberLoad) -> bool {
    set.carrier_of(load.member).is_none_or(|carrier| carrier == MemberId::CASE)
}

fn member_with_role(set: &Gearset, id: MemberId, state: &LoadedState) -> String {
    let name = set.member(id).name();
    if id == state.input {
        format!("{name} (input)")
    } else if id == state.output {
        format!("{name} (output)")
    } else {
        name.to_owned()
    }
}

fn controls(set: &Gearset, state: &LoadedState) -> Option<Block> {
    let row = |load: &LoadedControl| {
        let [torque, decimal] = match shared_with(state, load).and_then(|shared| shared.whole_on(set, load.control)) {
            Some(whole) => [format!("a share of {whole}"), format!("of {}", rounded(&whole))],
            None => torque_cells(load.torque.as_ref()),
        };
        let name = set.control(load.control).name().to_owned();
        vec![name, acts_on(set, load.control), torque, decimal, control::what_it_does(set, state, load)]
    };
    let is_one_way = |load: &LoadedControl| matches!(set.control(load.control).action(), Action::OneWayClutch(..));
    let shown = state.controls.iter().filter(|load| load.applied || is_one_way(load));
    let headings = ["control", "torque on", "torque", "decimal", "in drive; on overrun"];
    Block::table_of_some("Controls", &headings, shown.map(row).collect())
}

/// The member whose torque is given.
fn acts_on(set: &Gearset, control: ControlId) -> String {
    let name = |id: MemberId| set.member(id).name().to_owned();
    match set.control(control).action() {
        Action::Band(drum) => name(drum),
        Action::Clutch(pair) | Action::OneWayClutch(pair, _) => {
            format!("{} (opposite on {})", name(pair.first), name(pair.second))
        }
    }
}

fn joins(set: &Gearset, state: &LoadedState) -> Option<Block> {
    let row = |load: &JoinLoad| {
        let [torque, decimal] = torque_cells(load.torque.as_ref());
        let [first, second] = load.members.each().map(|id| member(set, id));
        vec![first, second, torque, decimal]
    };
    Block::table_of_some("Joins", &["on", "from", "torque", "decimal"], state.joins.iter().map(row).collect())
}

fn meshes(set: &Gearset, state: &LoadedState) -> Block {
    let has_pitch = set.meshes().iter().any(|mesh| mesh.pitch().is_some());
    let row = |load: &LoadedMesh| {
        let torque = |place: usize| load.torques.as_ref().map_or_else(|| "not told".into(), |all| rounded(&all[place]));
        let mut row = vec![mesh(set, load.gears)];
        row.extend((0..3).map(torque));
        if has_pitch {
            row.push(load.force_per_pin_newtons.map_or_else(|| "-".into(), |force| each_of(force, load.pins)));
        }
        row
    };
    let mut headings = vec!["mesh", "torque on the first", "on the second", "on the carrier"];
    if has_pitch {
        headings.push("tangential force");
    }
    Block::table("Torque in the meshes, all pins together", &headings, state.meshes.iter().map(row).collect())
}

fn powers(set: &Gearset, state: &LoadedState) -> Block {
    let row = |load: &LoadedMesh| {
        let given = load.power_given.iter().map(|given| given.as_ref().map_or_else(|| "-".into(), percent));
        [mesh(set, load.gears), rolling(set, load)].into_iter().chain(given).collect()
    };
    let headings = ["mesh", "seen from the carrier", "given to the first", "to the second", "to the carrier"];
    Block::table("Power through the meshes", &headings, state.meshes.iter().map(row).collect())
}

/// Who drives whom as seen from the carrier, and with which share of the power.
fn rolling(set: &Gearset, load: &LoadedMesh) -> String {
    let Some(power) = &load.rolling_power else { return "-".into() };
    let name = |gear| set.gear(gear).name();
    match load.driver.zip(load.driven) {
        Some((driver, driven)) => format!("{} drives {}: {}", name(driver), name(driven), percent(&power.abs())),
        None if load.torque_per_tooth.as_ref().is_some_and(Zero::is_zero) => "idle".into(),
        None => "loaded, does not roll".into(),
    }
}

fn verdict(state: &LoadedState) -> &'static str {
    match (state.verdict, state.balance) {
        (VerdictKind::Drives, Balanced::Determined) => "drives",
        (VerdictKind::Drives, Balanced::Indeterminate) => "drives; statically indeterminate",
        (VerdictKind::Drives, Balanced::WithoutTorque) => "drives, but nothing takes up a torque on the input",
        (VerdictKind::Neutral, _) => "neutral: no torque can be passed on",
        (VerdictKind::OutputHeld, _) => "output held, the input runs free: no torque can be passed on",
        (VerdictKind::Locked, _) => "locked: how the torque divides is not determined",
    }
}

fn without_torque(state: &LoadedState) -> &'static str {
    match state.verdict {
        VerdictKind::Drives => {
            "the output is driven by the member whose speed is given; a torque on the input finds nothing to push \
             against"
        }
        VerdictKind::Neutral => {
            "the input turns and nothing holds it back: neither input nor output can carry a torque"
        }
        VerdictKind::OutputHeld => "the output stands, the input turns freely and can carry no torque",
        VerdictKind::Locked => "the input cannot turn",
    }
}

fn torque_cells(torque: Option<&Fraction>) -> [String; 2] {
    torque.map_or(["not told".into(), "-".into()], |torque| [torque.to_string(), rounded(torque)])
}

/// A force on each of so many pins.
pub(super) fn each_of(per_pin: f64, pins: usize) -> String {
    if pins == 1 { newtons(per_pin) } else { format!("{} on each of {pins} pins", newtons(per_pin)) }
}

/// A force in newtons with pounds force beside.
fn newtons(newtons: f64) -> String {
    format!("{} N ({} lbf)", digits(newtons), digits(newtons / NEWTONS_PER_POUND_FORCE))
}

/// A share as a percentage.
fn percent(share: &Fraction) -> String {
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
