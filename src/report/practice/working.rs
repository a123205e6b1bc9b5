//! The working of a practice problem, as it would be written on a board.
//!
//! Speeds by one table a carrier and the two conditions that fix x and y, then by the formula of relative speeds;
//! torques from the ratio; counts from the distance between axes; planets that go together by the rule of
//! their kind. Every number is one of the problem.

use num_traits::{One, Signed, Zero};

use super::words::{answer, member};
use crate::exact::Fraction;
use crate::gearset::{Action, GearKind, Gearset, MemberId, Restraint, State};
use crate::practice::{Answer, CarrierTable, Part, Problem, Quantity, TrainValue, carrier_tables};
use crate::report::render::document::{Block, Table};
use crate::timing::{Method, timing};

/// The working, in the order of what is asked.
pub(super) fn working(problem: &Problem) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut shown: Vec<usize> = Vec::new();
    for part in &problem.parts {
        match part.quantity {
            Quantity::Speed(_) | Quantity::PlanetSpeed(_) if shown.contains(&part.state) => {}
            Quantity::Speed(_) | Quantity::PlanetSpeed(_) => {
                blocks.extend(values_once(problem, &shown));
                shown.push(part.state);
                blocks.extend(speeds(problem, part, &part.input));
            }
            Quantity::Delivered(_) => {
                blocks.extend(values_once(problem, &shown));
                shown.push(part.state);
                blocks.extend(speeds(problem, part, &Fraction::one()));
                blocks.push(Block::Paragraph(torques(problem, part)));
            }
            Quantity::Holding(_) => {}
            Quantity::Teeth(_) => blocks.push(Block::Paragraph(counts(problem, part))),
            Quantity::PinCounts => blocks.push(Block::Paragraph(pin_counts(problem, part))),
        }
    }
    blocks
}

/// The train values, before the first state that needs them.
fn values_once(problem: &Problem, shown: &[usize]) -> Vec<Block> {
    if !shown.is_empty() {
        return Vec::new();
    }
    let set = &problem.set;
    let is_bevel = set.gears().iter().any(|gear| gear.kind().is_bevel());
    let why = "An external mesh turns the sense over, an internal one does not; n_c is the speed of the carrier.";
    let why = (!is_bevel).then(|| why.to_owned());
    let values = problem.train_values.iter().map(|train| train_value(set, train));
    why.into_iter().chain(values).map(Block::Paragraph).collect()
}

/// What fixes x and y, the table of each carrier, and where a planet's own speed stands in it.
fn speeds(problem: &Problem, part: &Part, input: &Fraction) -> Vec<Block> {
    let set = &problem.set;
    let state = &set.states()[part.state];
    let tables = carrier_tables(set, part.state, input);
    let mut blocks = Vec::new();
    let symbols: Vec<[String; 2]> = (1..=tables.len())
        .map(|at| ["x", "y"].map(|letter| if tables.len() > 1 { format!("{letter}{at}") } else { letter.to_owned() }))
        .collect();
    blocks.push(Block::Paragraph(conditions(set, state, &tables, &symbols, input)));
    let applied = set.states().len() > 1;
    for (carrier_table, symbols) in tables.iter().zip(&symbols) {
        let of_state = if applied { format!(", {}", state.name) } else { String::new() };
        blocks.push(table(set, carrier_table, symbols, &of_state));
    }
    let checks = problem.train_values.iter().filter_map(|train| by_formula(set, train, &tables));
    blocks.extend(checks.map(Block::Paragraph));
    let planet = problem.parts.iter().find_map(|part| match part.quantity {
        Quantity::PlanetSpeed(planet) => Some(planet),
        Quantity::Speed(_)
        | Quantity::Delivered(_)
        | Quantity::Holding(_)
        | Quantity::Teeth(_)
        | Quantity::PinCounts => None,
    });
    blocks.extend(planet.map(|planet| Block::Paragraph(own_speed(set, planet))));
    blocks
}

/// The other method, with the speeds put in: both sides come to the train value.
fn by_formula(set: &Gearset, train: &TrainValue, tables: &[CarrierTable]) -> Option<String> {
    let table = tables.iter().find(|table| table.carrier == train.carrier)?;
    let total = |gear| {
        let member = set.gear(gear).member();
        table.totals[table.members.iter().position(|&other| other == member)?].clone()
    };
    let (first, last) = (total(train.first())?, total(train.last())?);
    let less = |speed: &Fraction| {
        let sign = if table.added.is_negative() { "+" } else { "-" };
        format!("{speed} {sign} {}", table.added.abs())
    };
    let name = |gear| set.gear(gear).name();
    Some(format!(
        "By the formula: (n_{last_name} - n_c) / (n_{first_name} - n_c) = ({}) / ({}) = {}, the train value.",
        less(&last),
        less(&first),
        (&last - &table.added) / (&first - &table.added),
        last_name = name(train.last()),
        first_name = name(train.first()),
    ))
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
fn by_symbols(share: &Fraction, [x, y]: &[String; 2]) -> String {
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
fn conditions(
    set: &Gearset,
    state: &State,
    tables: &[CarrierTable],
    symbols: &[[String; 2]],
    input: &Fraction,
) -> String {
    let by = |id: MemberId| {
        tables.iter().zip(symbols).find_map(|(table, symbols)| {
            let at = table.members.iter().position(|&member| member == id)?;
            Some(by_symbols(&table.carrier_still[at], symbols))
        })
    };
    let mut lines = Vec::new();
    let mut fixed = |id: MemberId, speed: &Fraction| {
        lines.extend(by(id).map(|sum| format!("{}: {sum} = {speed}", member(set, id))));
    };
    for restraint in &state.restraints {
        match restraint {
            Restraint::Held(id) => fixed(*id, &Fraction::zero()),
            Restraint::Turning(id, speed) => fixed(*id, &(speed.value() * input)),
            Restraint::Control(control) => {
                if let Action::Band(id) = set.control(*control).action() {
                    fixed(id, &Fraction::zero());
                }
            }
            Restraint::Joined(_) => {}
        }
    }
    fixed(state.input, input);
    for join in set.joins() {
        let [a, b] = join.both().map(|&id| id);
        if let (Some(of_a), Some(of_b)) = (by(a), by(b)) {
            lines.push(format!("{} with {}: {of_a} = {of_b}", member(set, a), member(set, b)));
        }
    }
    let found: Vec<String> = tables
        .iter()
        .zip(symbols)
        .map(|(table, [x, y])| format!("{x} = {}, {y} = {}", table.times, table.added))
        .collect();
    format!("Given, counter-clockwise positive: {}. So {}.", lines.join("; "), found.join(", "))
}

fn table(set: &Gearset, table: &CarrierTable, [x, y]: &[String; 2], of_state: &str) -> Block {
    let first = table.members.first().map(|&id| member(set, id)).unwrap_or_default();
    let names = table.members.iter().map(|&id| set.member(id).name().to_owned());
    let row = |name: String, cells: Vec<String>| [name].into_iter().chain(cells).collect();
    let each = |value: &dyn Fn(&Fraction) -> String| table.carrier_still.iter().map(value).collect::<Vec<_>>();
    let totals = table.totals.iter().map(|total| total.as_ref().map_or("-".into(), ToString::to_string));
    Block::Table(Table {
        caption: format!("Tabular method: {}{of_state}", member(set, table.carrier)),
        headings: [String::new()].into_iter().chain(names).collect(),
        rows: vec![
            row(format!("{} still, {first} +1", member(set, table.carrier)), each(&ToString::to_string)),
            row(format!("that {x} = {} times", table.times), each(&|share| (share * &table.times).to_string())),
            row(
                format!("all turned as one, {y} = {}", table.added),
                table
                    .totals
                    .iter()
                    .map(|total| total.as_ref().map_or("-".into(), |_| table.added.to_string()))
                    .collect(),
            ),
            row("sum".into(), totals.collect()),
        ],
    })
}

/// Delivered and holding torque of one state.
fn torques(problem: &Problem, part: &Part) -> String {
    let set = &problem.set;
    let state = &set.states()[part.state];
    let Quantity::Delivered(output) = part.quantity else { return String::new() };
    let Answer::Torque(delivered) = &part.answer else { return String::new() };
    let ratio = delivered / &part.input;
    let beside = problem.parts.iter().filter(|other| other.state == part.state);
    let holding = beside.filter_map(|other| match (other.quantity, &other.answer) {
        (Quantity::Holding(held), Answer::Torque(torque)) => Some(format!(
            " From outside act {} on {}, {} on {} and {torque} on {}; they add up to zero.",
            part.input,
            member(set, state.input),
            -delivered,
            member(set, output),
            member(set, held)
        )),
        _ => None,
    });
    format!(
        "The ratio is 1 / ({}) = {ratio}, input turns for one turn of the output. Power out is power in, so {} \
         delivers {ratio} times {} N m = {delivered} N m.{}",
        ratio.recip(),
        member(set, output),
        part.input,
        holding.collect::<String>()
    )
}

/// A tooth count from the others.
fn counts(problem: &Problem, part: &Part) -> String {
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
fn pin_counts(problem: &Problem, part: &Part) -> String {
    let set = &problem.set;
    let [train] = &problem.train_values[..] else { return String::new() };
    let named = |gear| (set.gear(gear).name().to_owned(), set.gear(gear).tooth_count().get());
    let [(first, z_first), (last, z_last)] = [train.first(), train.last()].map(named);
    let found = answer(&part.answer);
    let [to_planet, .., from_planet] = &train.meshes[..] else { return String::new() };
    let divisor = timing(set, Method::Quickest).into_iter().next().map(|group| group.spacing_divisor.to_string());
    let divisor = divisor.unwrap_or_default();
    if train.meshes.len() == 3 {
        return format!(
            "Pairs of plain planets go together where ring less sun is a multiple of their number: {z_last} - \
             {z_first} = {divisor}. Of 2 to 8 divide it: {found}."
        );
    }
    if to_planet.second == from_planet.first {
        return format!(
            "Plain planets between sun and ring go together where the sum of both is a multiple of their number: \
             {z_first} + {z_last} = {divisor}. Of 2 to 8 divide it: {found}."
        );
    }
    let [(p, z_p), (q, z_q)] = [to_planet.second, from_planet.first].map(named);
    let sign = if set.gear(train.last()).kind() == GearKind::Internal { "+" } else { "-" };
    format!(
        "A stepped planet has to meet both central gears in one setting. Its places are 1/D of a turn apart, with D = \
         ({first} {q} {sign} {last} {p}) / (greatest common divisor of {p} and {q}), without its sign: \
         ({z_first} x {z_q} {sign} {z_last} x {z_p}) gives D = {divisor}. Of 2 to 8 divide it: {found}."
    )
}
