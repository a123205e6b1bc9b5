//! The working of a practice problem, as it would be written on a board.
//!
//! Each step is laid out as it was found: tables, conditions, the formula, torques, counts, rules of assembly.

use super::words::{answer, member};
use crate::exact::Fraction;
use crate::gearset::{GearKind, Gearset, MemberId};
use crate::practice::{
    AssemblyRule, CarrierTable, CarrierTerm, FormulaCheck, GivenCondition, HoldingTorque, PinCountWorking,
    PracticeProblem, PracticeQuestion, Quantity, StateWorking, TorqueWorking, TrainValue, WorkingStep,
};
use crate::report::render::document::{Block, Table};
use num_traits::{One, Signed, Zero};

/// The working, in the order of what is asked.
pub(super) fn working(problem: &PracticeProblem) -> Vec<Block> {
    problem.working.iter().flat_map(|step| step_blocks(problem, step)).collect()
}

fn step_blocks(problem: &PracticeProblem, step: &WorkingStep) -> Vec<Block> {
    match step {
        WorkingStep::TrainValues => train_values(problem),
        WorkingStep::Speeds(working) => speeds(problem, working),
        WorkingStep::Torques(working) => vec![Block::Paragraph(torques(&problem.set, working))],
        WorkingStep::Count(place) => vec![Block::Paragraph(counts(problem, &problem.parts[*place]))],
        WorkingStep::PinCounts(working) => vec![Block::Paragraph(pin_counts(problem, working))],
    }
}

/// The train values, and why their signs are as they are.
fn train_values(problem: &PracticeProblem) -> Vec<Block> {
    let set = &problem.set;
    let is_bevel = set.gears().iter().any(|gear| gear.kind().is_bevel());
    let why = "An external mesh turns the sense over, an internal one does not; n_c is the speed of the carrier.";
    let why = (!is_bevel).then(|| why.to_owned());
    let values = problem.train_values.iter().map(|train| train_value(set, train));
    why.into_iter().chain(values).map(Block::Paragraph).collect()
}

/// What fixes x and y, the table of each carrier, and where a planet's own speed stands in it.
fn speeds(problem: &PracticeProblem, working: &StateWorking) -> Vec<Block> {
    let set = &problem.set;
    let symbols = symbols(working.tables.len());
    let of_state = match set.states() {
        [_] => String::new(),
        states => format!(", {}", states[working.state].name),
    };
    let mut blocks = vec![Block::Paragraph(conditions(set, working, &symbols))];
    blocks.extend(working.tables.iter().zip(&symbols).map(|(of, symbols)| table(set, of, symbols, &of_state)));
    blocks.extend(working.checks.iter().map(|check| Block::Paragraph(by_formula(problem, check))));
    blocks.extend(working.planet.map(|planet| Block::Paragraph(own_speed(set, planet))));
    blocks
}

/// x and y of each table, numbered where there are several.
fn symbols(tables: usize) -> Vec<[String; 2]> {
    let numbered = |table: usize, letter: &str| if tables > 1 { format!("{letter}{table}") } else { letter.to_owned() };
    (1..=tables).map(|table| ["x", "y"].map(|letter| numbered(table, letter))).collect()
}

/// The other method, with the speeds put in: both sides come to the train value.
fn by_formula(problem: &PracticeProblem, check: &FormulaCheck) -> String {
    let train = &problem.train_values[check.train];
    let [first, last] = [train.first(), train.last()].map(|gear| problem.set.gear(gear).name());
    let less = |speed: &Fraction| {
        let sign = if check.carrier.is_negative() { "+" } else { "-" };
        format!("{speed} {sign} {}", check.carrier.abs())
    };
    format!(
        "By the formula: (n_{last} - n_c) / (n_{first} - n_c) = ({}) / ({}) = {}, the train value.",
        less(&check.last),
        less(&check.first),
        check.value
    )
}

/// Where the table tells how fast a planet turns about its own pin.
fn own_speed(set: &Gearset, planet: MemberId) -> String {
    let lies = if set.is_bevel(planet) {
        "; its pin lies across the main axis, so that it has neither a sum nor a sense"
    } else {
        ""
    };
    let carrier = set.carrier_of(planet).map(|carrier| member(set, carrier)).unwrap_or_default();
    format!("Seen from {carrier}, {} turns about its pin as the second row says{lies}.", member(set, planet))
}

/// The train value as a product, and what it says of speeds.
fn train_value(set: &Gearset, train: &TrainValue) -> String {
    let name = |gear| set.gear(gear).name();
    let product: Vec<String> = train
        .meshes
        .iter()
        .map(|mesh| {
            let [a, b] = [mesh.first, mesh.second].map(|gear| set.gear(gear));
            let internal = [a, b].iter().any(|gear| gear.kind() == GearKind::Internal);
            let sign = if internal { "" } else { "-" };
            format!("({sign}{}/{})", a.tooth_count().get(), b.tooth_count().get())
        })
        .collect();
    let (first, last) = (name(train.first()), name(train.last()));
    let value = train.value(set);
    if set.gear(train.first()).kind().is_bevel() {
        let sizes = product.concat().replace('-', "");
        return format!(
            "Train value from {first} to {last}, the cage still: {sizes} in size, and the side gears turn oppositely, \
             so {value}: (n_{last} - n_c) = {value} (n_{first} - n_c), with n_c the speed of {}.",
            member(set, train.carrier)
        );
    }
    format!(
        "Train value from {first} to {last}, {} still: {} = {value}. So (n_{last} - n_c) = {value} (n_{first} - n_c).",
        member(set, train.carrier),
        product.join("")
    )
}

/// The speed of a member by x and y: `-4/11 x + y`.
fn by_symbols(term: &CarrierTerm, symbols: &[[String; 2]]) -> String {
    let [x, y] = &symbols[term.table];
    let share = &term.share;
    if share.is_zero() {
        y.clone()
    } else if share.is_one() {
        format!("{x} + {y}")
    } else if (-share).is_one() {
        format!("-{x} + {y}")
    } else {
        format!("{share} {x} + {y}")
    }
}

/// What is given, in x and y, and what follows.
fn conditions(set: &Gearset, working: &StateWorking, symbols: &[[String; 2]]) -> String {
    let line = |given: &GivenCondition| match given {
        GivenCondition::Speed { member: id, term, speed } => {
            format!("{}: {} = {speed}", member(set, *id), by_symbols(term, symbols))
        }
        GivenCondition::Joined { members, terms } => {
            let [a, b] = members.map(|id| member(set, id));
            let [of_a, of_b] = [0, 1].map(|at| by_symbols(&terms[at], symbols));
            format!("{a} with {b}: {of_a} = {of_b}")
        }
    };
    let lines: Vec<String> = working.given.iter().map(line).collect();
    let tables = working.tables.iter().zip(symbols);
    let found: Vec<String> =
        tables.map(|(table, [x, y])| format!("{x} = {}, {y} = {}", table.times, table.added)).collect();
    format!("Given, counter-clockwise positive: {}. So {}.", lines.join("; "), found.join(", "))
}

fn table(set: &Gearset, table: &CarrierTable, [x, y]: &[String; 2], of_state: &str) -> Block {
    let first = table.members.first().map(|&id| member(set, id)).unwrap_or_default();
    let names = table.members.iter().map(|&id| set.member(id).name().to_owned());
    let row = |name: String, cells: Vec<String>| [name].into_iter().chain(cells).collect();
    let all = |values: &[Fraction]| values.iter().map(ToString::to_string).collect();
    // A bevel planet, which tumbles, has no total and so nothing that is added.
    let of_totals = |cell: &dyn Fn(&Fraction) -> String| -> Vec<String> {
        table.totals.iter().map(|total| total.as_ref().map_or("-".into(), cell)).collect()
    };
    Block::Table(Table {
        caption: format!("Tabular method: {}{of_state}", member(set, table.carrier)),
        headings: [String::new()].into_iter().chain(names).collect(),
        rows: vec![
            row(format!("{} still, {first} +1", member(set, table.carrier)), all(&table.carrier_still)),
            row(format!("that {x} = {} times", table.times), all(&table.x_times)),
            row(format!("all turned as one, {y} = {}", table.added), of_totals(&|_| table.added.to_string())),
            row("sum".into(), of_totals(&ToString::to_string)),
        ],
    })
}

/// Delivered and holding torque of one state.
fn torques(set: &Gearset, working: &TorqueWorking) -> String {
    let TorqueWorking { input, torque, output, output_per_input, ratio, delivered, holding, .. } = working;
    let output = member(set, *output);
    let held = |held: &HoldingTorque| {
        format!(
            " From outside act {torque} on {}, {} on {output} and {} on {}; they add up to zero.",
            member(set, *input),
            -delivered,
            held.torque,
            member(set, held.member)
        )
    };
    format!(
        "The ratio is 1 / ({output_per_input}) = {ratio}, input turns for one turn of the output. Power out is power \
         in, so {output} delivers {ratio} times {torque} N m = {delivered} N m.{}",
        holding.iter().map(held).collect::<String>()
    )
}

/// A tooth count from the others.
fn counts(problem: &PracticeProblem, part: &PracticeQuestion) -> String {
    let set = &problem.set;
    let Quantity::Teeth(asked) = part.quantity else { return String::new() };
    let (gear, found) = (set.gear(asked).name(), answer(&part.answer));
    let count = |name: &str| set.gear_named(name).map_or(0, |gear| i64::from(set.gear(gear).tooth_count().get()));
    if problem.hidden.len() > 1 && gear == "S" {
        return format!(
            "With the ring held the ratio is 1 + R/S = {}, so S = {} / ({} - 1): {found}.",
            part.input,
            count("R"),
            part.input
        );
    }
    let is_stepped = set.gear_named("Q").is_some();
    let rule = match (is_stepped, gear) {
        (false, "R") => format!("R = {} + 2 x {}", count("S"), count("P")),
        (false, "S") => format!("S = R - 2 P = {} - 2 x {}", count("R"), count("P")),
        (false, _) => format!("P = (R - S) / 2 = ({} - {}) / 2", count("R"), count("S")),
        (true, "R") => format!("R = S + P + Q = {} + {} + {}", count("S"), count("P"), count("Q")),
        (true, gear) => {
            let others: Vec<&str> = ["S", "P", "Q"].into_iter().filter(|&other| other != gear).collect();
            let of_others: Vec<String> = others.iter().map(|other| count(other).to_string()).collect();
            format!("{gear} = R - {} = {} - {}", others.join(" - "), count("R"), of_others.join(" - "))
        }
    };
    let why = if is_stepped {
        "Both meshes have one distance between their axes: S + P = R - Q"
    } else {
        "Across the whole set the ring is as wide as the sun and two planets: R = S + 2 P"
    };
    format!("{why}. So {rule}: {found}.")
}

/// By which rule planets go together.
fn pin_counts(problem: &PracticeProblem, working: &PinCountWorking) -> String {
    let set = &problem.set;
    let [train] = &problem.train_values[..] else { return String::new() };
    let named = |gear| (set.gear(gear).name().to_owned(), set.gear(gear).tooth_count().get());
    let [(first, z_first), (last, z_last)] = [train.first(), train.last()].map(named);
    let (found, divisor) = (answer(&problem.parts[working.question].answer), &working.spacing_divisor);
    match working.rule {
        AssemblyRule::Pairs => format!(
            "Pairs of plain planets assemble where ring less sun is a multiple of their number: {z_last} - \
             {z_first} = {divisor}. Of 2 to 8 divide it: {found}."
        ),
        AssemblyRule::Plain => format!(
            "Plain planets between sun and ring assemble where the sum of both is a multiple of their number: \
             {z_first} + {z_last} = {divisor}. Of 2 to 8 divide it: {found}."
        ),
        AssemblyRule::Stepped => {
            let [(p, z_p), (q, z_q)] = train.planet_gears().map(named);
            let sign = if set.gear(train.last()).kind() == GearKind::Internal { "+" } else { "-" };
            format!(
                "A stepped planet has to meet both central gears in one setting. Its places are 1/D of a turn apart, \
                 with D = ({first} {q} {sign} {last} {p}) / (greatest common divisor of {p} and {q}), without its \
                 sign: ({z_first} x {z_q} {sign} {z_last} x {z_p}) gives D = {divisor}. Of 2 to 8 divide it: {found}."
            )
        }
    }
}
