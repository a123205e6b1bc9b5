//! The answer to "what turns how fast in each state".
//!
//! For a person first how many ratios there are and what has to be minded, then all states in one table; in full the
//! steps between them and the speed of every member, state by state. Where one state is asked for, its speeds are the
//! answer. For a table program a record a member and state.

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::inspection::RemarkKind;
use crate::kinematics::{
    MemberSpeed, MotionKind, Overspeed, RatioSpread, RatioStep, Ratios, SpeedUnit, StateRatio, VerdictKind,
};
use crate::report::answer::Answer;
use crate::report::render::document::{Block, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, key, list, member, quoted, rounded, short_list, with_decimal};
use num_traits::{One, Signed};

impl Answer for Ratios {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        if self.states.is_empty() {
            return vec![Block::no_states("there is no ratio to give")];
        }
        let mut blocks =
            vec![Block::Statements(statements(self, set)), Block::Table(overview(self, set).beginning(MOST_STATES))];
        if let [state] = &self.states[..] {
            blocks.push(speeds(self, set, state));
        }
        blocks
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        if self.states.len() < 2 {
            return Vec::new();
        }
        let rest = overview(self, set).rest(MOST_STATES).map(Block::Table);
        let steps = self.spreads.iter().map(|spread| steps(self, set, spread));
        let speeds = self.states.iter().map(|state| speeds(self, set, state));
        rest.into_iter().chain(steps).chain(speeds).chain([strength()]).collect()
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        remark == RemarkKind::DoesNotAssemble
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        // The speeds of a single state stand in the summary.
        (self.states.len() > 1)
            .then_some("the steps between forward states and the speed of every member in every state")
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

/// The most states that are listed on a screen.
const MOST_STATES: usize = 24;

/// How many ratios there are, and what has to be minded.
fn statements(answer: &Ratios, set: &Gearset) -> Vec<String> {
    let conflicts = answer.states.iter().flat_map(|state| {
        words::unlisted_one_way_clutches(set, &state.state, &state.unlisted_one_way_clutches)
            .into_iter()
            .map(|conflict| format!("Beware: {conflict}"))
    });
    let first = match &answer.states[..] {
        [StateRatio { state, ratio: Some(ratio), input, output, .. }] => format!(
            "In {}: {} {} of {} for one of {}.",
            quoted(state),
            with_decimal(ratio),
            if ratio.abs().is_one() { "turn" } else { "turns" },
            set.member(*input).name(),
            set.member(*output).name()
        ),
        _ => count_of_ratios(answer, set),
    };
    [first].into_iter().chain(conflicts).chain(overspeed(answer, set)).collect()
}

/// How many states drive, forward and backward, and between which members.
fn count_of_ratios(answer: &Ratios, set: &Gearset) -> String {
    let of = |kind: fn(&StateRatio) -> bool, words: [&str; 2]| {
        let count = answer.states.iter().filter(|state| kind(state)).count();
        (count > 0).then(|| format!("{count} {}", words[usize::from(count > 1)]))
    };
    let forward = |state: &StateRatio| state.ratio.as_ref().is_some_and(Signed::is_positive);
    let reverse = |state: &StateRatio| state.ratio.as_ref().is_some_and(Signed::is_negative);
    let kinds = [
        of(forward, ["forward ratio", "forward ratios"]),
        of(reverse, ["reverse", "reverses"]),
        of(|state| state.verdict == VerdictKind::Neutral, ["neutral", "neutrals"]),
        of(
            |state| state.verdict == VerdictKind::OutputHeld,
            ["state that holds the output", "states that hold the output"],
        ),
        of(|state| state.verdict == VerdictKind::Locked, ["state that locks up", "states that lock up"]),
    ];
    let kinds: Vec<String> = kinds.into_iter().flatten().collect();
    let ends = common_ends(answer).map_or_else(String::new, |[input, output]| {
        format!(", {} driving {}", set.member(input).name(), set.member(output).name())
    });
    let spread = match &answer.spreads[..] {
        [spread] if !spread.spread.is_one() => format!("; spread {}", rounded(&spread.spread)),
        _ => String::new(),
    };
    format!("{}{ends}{spread}.", list(&kinds))
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
    let mut headings = vec!["state", "ratio", "decimal", "the output turns"];
    if own_ends {
        headings.insert(1, "drives -> driven");
    }
    let row = |state: &StateRatio| {
        let [ratio, decimal] =
            state.ratio.as_ref().map_or(["-".into(), "-".into()], |ratio| [ratio.to_string(), rounded(ratio)]);
        let mut row = vec![state.state.clone(), ratio, decimal, output(answer, set, state)];
        if own_ends {
            let [input, output] = [state.input, state.output].map(|id| set.member(id).name());
            row.insert(1, format!("{input} -> {output}"));
        }
        row
    };
    let caption = "Ratio: turns of the input for one turn of the output; negative: the output turns backward";
    Table::new(caption, &headings, answer.states.iter().map(row).collect())
}

/// What becomes of the output: its speed, or why it has none.
fn output(answer: &Ratios, set: &Gearset, state: &StateRatio) -> String {
    match (state.verdict, &state.output_per_input) {
        (VerdictKind::Drives, _) if state.solid => "with everything else, as one".into(),
        (VerdictKind::Drives, Some(speed)) => match &answer.input_rpm {
            None => with_decimal(speed),
            Some(rpm) => format!("{} rpm", with_decimal(&(speed * rpm))),
        },
        (VerdictKind::Drives, None) => String::new(),
        (VerdictKind::OutputHeld, _) => "not at all: held".into(),
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
    let sense = match answer.speed_unit {
        SpeedUnit::PerTurnOfInput => "for one turn of the input; negative: the other way round",
        SpeedUnit::RevolutionsPerMinute => "negative: clockwise seen from the input side",
    };
    let headings = ["member", unit, "decimal", "relative to its carrier", "decimal"];
    let caption = format!("Speeds in state {}, {sense}", quoted(&state.state));
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

/// What to mind where a member outruns the input.
fn overspeed(answer: &Ratios, set: &Gearset) -> Option<String> {
    let fast = |fast: &Overspeed| {
        let name = set.member(fast.member).name();
        format!("{name} at {} times the input in {}", rounded(&fast.speed), quoted(&fast.state))
    };
    let fast: Vec<String> = answer.overspeeds.iter().map(fast).collect();
    (!fast.is_empty()).then(|| {
        format!(
            "Beware: faster than the input turns {}. A part that runs too fast can burst: keep to the limit of its \
             maker's book.",
            short_list(&fast)
        )
    })
}

fn strength() -> Block {
    Block::Note(
        "these are speeds, not loads: they do not say that a gear is strong enough, and a train that locks itself is \
         no brake for a load"
            .into(),
    )
}
