//! The answer to "what turns how fast in each state".
//!
//! For a person first all states in one table, what has to be minded and the steps between them, then
//! the speed of every member, state by state; for a table program a record a member and state.

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::kinematics::{
    MemberSpeed, MotionKind, Overspeed, RatioSpread, RatioStep, Ratios, SpeedUnit, StateRatio, VerdictKind,
};
use crate::report::answer::Answer;
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, key, list, member, quoted, rounded, short_list, with_decimal};
use num_traits::{One, Signed};

impl Answer for Ratios {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let mut blocks = vec![conventions(self, set)];
        if self.states.is_empty() {
            blocks.push(Block::no_states("there is no ratio to give"));
            return blocks;
        }
        blocks.push(Block::Table(overview(self, set)));
        for state in &self.states {
            let conflicts = words::unlisted_one_way_clutches(set, &state.state, &state.unlisted_one_way_clutches);
            blocks.extend(conflicts.into_iter().map(Block::Warning));
        }
        blocks
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        if self.states.is_empty() {
            return Vec::new();
        }
        let steps = self.spreads.iter().map(|spread| steps(self, set, spread));
        let speeds = self.states.iter().map(|state| speeds(self, set, state));
        steps.chain(speeds).chain(safety(self, set)).collect()
    }

    fn records(&self, set: &Gearset) -> Records {
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
        let rows = self.states.iter().flat_map(|state| state.members.iter().map(|found| record(set, state, found)));
        Records { fields, rows: rows.collect() }
    }
}

fn record(set: &Gearset, state: &StateRatio, found: &MemberSpeed) -> Vec<String> {
    let mut row = vec![csv_name(&state.state), key(&state.verdict)];
    row.extend(with_decimal_beside(state.ratio.as_ref()));
    row.push(csv_name(set.member(found.member).name()));
    row.extend(with_decimal_beside(found.speed.as_ref()));
    row.extend(with_decimal_beside(found.relative_to_carrier.as_ref()));
    row
}

/// A fraction and its decimal, a cell each.
fn with_decimal_beside(value: Option<&Fraction>) -> [String; 2] {
    value.map_or_else(Default::default, |value| [value.to_string(), rounded(value)])
}

fn conventions(answer: &Ratios, set: &Gearset) -> Block {
    let mut facts = Vec::new();
    if let Some([input, output]) = common_ends(answer) {
        facts.push(Fact::new("input", set.member(input).name()));
        facts.push(Fact::new("output", set.member(output).name()));
    }
    facts.push(Fact::new("ratio", "input turns per output turn; negative: the output turns backward"));
    facts.push(Fact::new(
        "speed",
        match &answer.input_rpm {
            None => "turns per turn of the input; positive: in the input's sense".to_owned(),
            Some(rpm) => {
                format!(
                    "revolutions per minute with the input at {}; positive: counter-clockwise seen from the input side",
                    with_decimal(rpm)
                )
            }
        },
    ));
    Block::Facts(facts)
}

/// The input and output, if all states shown have the same.
fn common_ends(answer: &Ratios) -> Option<[MemberId; 2]> {
    let first = answer.states.first()?;
    let same = |state: &StateRatio| state.input == first.input && state.output == first.output;
    answer.states.iter().all(same).then_some([first.input, first.output])
}

/// All states in one table.
pub(in crate::report) fn overview(answer: &Ratios, set: &Gearset) -> Table {
    let own_ends = common_ends(answer).is_none();
    let mut headings = vec!["state", "what it does", "ratio", "decimal", "output per input"];
    if own_ends {
        headings.insert(1, "drives -> driven");
    }
    let row = |state: &StateRatio| {
        let [ratio, decimal] =
            state.ratio.as_ref().map_or(["-".into(), "-".into()], |ratio| [ratio.to_string(), rounded(ratio)]);
        let inverse = state.output_per_input.as_ref().map_or("-".into(), with_decimal);
        let mut row = vec![state.state.clone(), verdict(set, state), ratio, decimal, inverse];
        if own_ends {
            let [input, output] = [state.input, state.output].map(|id| set.member(id).name());
            row.insert(1, format!("{input} -> {output}"));
        }
        row
    };
    Table::new("States", &headings, answer.states.iter().map(row).collect())
}

fn verdict(set: &Gearset, state: &StateRatio) -> String {
    match (state.verdict, &state.ratio) {
        (VerdictKind::Drives, _) if state.solid => "direct: everything turns as one".into(),
        (VerdictKind::Drives, Some(ratio)) if ratio.is_negative() => "reversed".into(),
        (VerdictKind::Drives, Some(ratio)) if ratio.is_one() => "drives one to one".into(),
        (VerdictKind::Drives, _) => "drives".into(),
        (VerdictKind::OutputHeld, _) => "output held: the input turns, the output stands".into(),
        (VerdictKind::Neutral, _) => {
            let free: Vec<String> = state.free_members.iter().map(|&id| set.member(id).name().to_owned()).collect();
            let are = if free.len() == 1 { "is" } else { "are" };
            format!("neutral: {} {are} free", short_list(&free))
        }
        (VerdictKind::Locked, _) => match state.locked_by.as_slice() {
            [] => "locked by its own meshes and joins".into(),
            [one] => format!("locked by {one}"),
            several => format!("locked by {} together", list(several)),
        },
    }
}

fn steps(answer: &Ratios, set: &Gearset, spread: &RatioSpread) -> Block {
    let between = |step: &&RatioStep| step.input == spread.input && step.output == spread.output;
    let row =
        |step: &RatioStep| vec![format!("{} to {}", step.from, step.to), step.step.to_string(), rounded(&step.step)];
    let mut rows: Vec<Vec<String>> = answer.steps.iter().filter(between).map(row).collect();
    rows.push(vec!["spread, slowest to fastest".into(), spread.spread.to_string(), rounded(&spread.spread)]);
    let ends = format!("{} to {}", member(set, spread.input), member(set, spread.output));
    let caption = format!("Steps between forward states, {ends}");
    Block::table(caption, &["step", "quotient of ratios", "decimal"], rows)
}

fn speeds(answer: &Ratios, set: &Gearset, state: &StateRatio) -> Block {
    let row = |found: &MemberSpeed| {
        let mut row = vec![member_with_role(set, found.member, state)];
        row.extend(speed(found.motion, found.speed.as_ref()));
        row.extend(
            found
                .motion_relative_to_carrier
                .map_or(["-".into(), "-".into()], |motion| speed(motion, found.relative_to_carrier.as_ref())),
        );
        row
    };
    let unit = match answer.speed_unit {
        SpeedUnit::PerTurnOfInput => "turns",
        SpeedUnit::RevolutionsPerMinute => "rpm",
    };
    let headings = ["member", unit, "decimal", "relative to its carrier", "decimal"];
    let caption = format!("Speeds in state {}", quoted(&state.state));
    Block::table(caption, &headings, state.members.iter().map(row).collect())
}

/// A speed in two cells: the fraction and its decimal, or the word for what it is.
fn speed(motion: MotionKind, speed: Option<&Fraction>) -> [String; 2] {
    match motion {
        MotionKind::Determined => with_decimal_beside(speed),
        MotionKind::Free => ["free".into(), "free".into()],
        MotionKind::Locked => ["locked".into(), "locked".into()],
        MotionKind::Tumbles => ["tumbles".into(), "-".into()],
    }
}

fn member_with_role(set: &Gearset, id: MemberId, state: &StateRatio) -> String {
    let name = set.member(id).name();
    if id == state.input {
        format!("{name} (input)")
    } else if id == state.output {
        format!("{name} (output)")
    } else if let Some(carrier) = set.carrier_of(id) {
        format!("{name} (on {})", set.member(carrier).name())
    } else {
        name.to_owned()
    }
}

/// What to mind where a member outruns the input, or where something hangs on the train.
fn safety(answer: &Ratios, set: &Gearset) -> Vec<Block> {
    let mut blocks = Vec::new();
    let fast = |fast: &Overspeed| {
        let name = set.member(fast.member).name();
        format!("{name} at {} times the input in {}", rounded(&fast.speed), quoted(&fast.state))
    };
    let fast: Vec<String> = answer.overspeeds.iter().map(fast).collect();
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
