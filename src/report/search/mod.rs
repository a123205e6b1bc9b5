//! The answer to "which other tooth counts would serve".
//!
//! First what was looked at and whether it is proven, then the best beside one another, then what excluded all others;
//! where nothing serves, what would if one requirement were left out. For a table program a record a result and gear.

use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{counted, list, mixed, rounded, with_decimal};
use crate::tooth_search::{Counted, NearMiss, TeethAnswer, TeethFound};

impl Answer for TeethAnswer {
    fn title(&self, set: &Gearset) -> String {
        format!("{}: other tooth counts", set.title())
    }

    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let mut blocks = vec![Block::Facts(facts(self))];
        if !self.proven {
            blocks.push(Block::Warning(
                "the search was stopped: what is listed serves, but it is NOT proven that none is better".into(),
            ));
        }
        if self.results.is_empty() {
            blocks.extend(nothing(self, set));
        } else {
            blocks.push(Block::Table(results(self, set)));
            blocks.push(Block::Note(
                "these are counts that mesh and go together. Whether teeth and pins are strong enough, and whether a \
                 cutter makes them, nothing here says; compare shows what else changes"
                    .into(),
            ));
        }
        blocks
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        vec![Block::Table(excluded(self))]
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec!["result", "gear", "teeth", "objective"];
        let mut rows = Vec::new();
        for (place, found) in self.results.iter().enumerate() {
            let objective = found.objective.as_ref().map(ToString::to_string).unwrap_or_default();
            for &(gear, teeth) in &found.teeth {
                let gear = csv_name(set.gear(gear).name());
                rows.push(vec![(place + 1).to_string(), gear, teeth.to_string(), objective.clone()]);
            }
        }
        Records { fields, rows }
    }

    /// A part that holds nothing is no answer to the question, but done.
    fn outcome(&self) -> Outcome {
        (self.proven && (self.part.is_some() || !self.results.is_empty())).into()
    }
}

fn facts(answer: &TeethAnswer) -> Vec<Fact> {
    let scope = match answer.part {
        None => String::new(),
        Some([part, of]) => format!(" in part {part} of {of}"),
    };
    let at_least = if answer.counted == Counted::All { "" } else { "at least " };
    let proof = if answer.proven {
        "complete: every combination was found or excluded, so that none better exists"
    } else {
        "NOT complete"
    };
    vec![
        Fact::new("combinations", format!("{}{scope}", grouped(answer.combinations))),
        Fact::new("serve", format!("{at_least}{}", grouped(answer.count))),
        Fact::new("proof", proof),
        Fact::new("work done", format!("{} choices of a value", grouped(answer.visited))),
        Fact::new("better is", list(&answer.goals)),
    ]
}

fn results(answer: &TeethAnswer, set: &Gearset) -> Table {
    let mut headings: Vec<String> = ["", "teeth", "ratios that change"].map(String::from).to_vec();
    headings.extend(answer.goals.iter().cloned());
    headings.push("nearest wrong seating".into());
    let row = |(place, found): (usize, &TeethFound)| {
        let mut row = vec![(place + 1).to_string(), teeth(set, found), ratios(found)];
        row.extend(found.measures.iter().map(with_decimal));
        row.push(margins(found));
        row
    };
    let rows = answer.results.iter().enumerate().map(row).collect();
    Table { caption: format!("Best first: {}", counted(answer.results.len(), "gearset")), headings, rows }
}

/// The counts and modules that could change, and the pins where they are not as described.
fn teeth(set: &Gearset, found: &TeethFound) -> String {
    let teeth = found.teeth.iter().map(|&(gear, teeth)| format!("{} {teeth}", set.gear(gear).name()));
    let pins = found.pins.iter().filter(|(planet, _)| found.pins_changed.contains(planet));
    let pins = pins.map(|&(planet, pins)| format!("{} of {}", counted(pins, "pin"), set.member(planet).name()));
    let modules = found.modules.iter();
    let modules = modules.map(|of| format!("module {} of {}", rounded(&of.module), set.mesh_name(of.mesh)));
    teeth.chain(pins).chain(modules).collect::<Vec<_>>().join(", ")
}

/// The ratios that are not what they were.
fn ratios(found: &TeethFound) -> String {
    let ratio = |(state, ratio): &(String, Fraction)| format!("{state} {}", with_decimal(ratio));
    let new: Vec<String> =
        found.ratios.iter().filter(|(state, _)| found.ratios_changed.contains(state)).map(ratio).collect();
    if new.is_empty() { "as they are".into() } else { new.join(", ") }
}

/// The margin of every group of planets.
fn margins(found: &TeethFound) -> String {
    let margin = |margin: &Option<Fraction>| match margin {
        None => "none".to_owned(),
        Some(margin) => format!("{} tooth", mixed(margin)),
    };
    found.margins.iter().map(margin).collect::<Vec<_>>().join(", ")
}

fn excluded(answer: &TeethAnswer) -> Table {
    let mut rows: Vec<(String, u128)> =
        answer.excluded_by_name().into_iter().map(|one| (one.name, one.combinations)).collect();
    let listed = u128::try_from(answer.results.len()).unwrap_or(u128::MAX);
    rows.push(("none: listed".into(), listed));
    rows.push(("none seen: no better than those listed".into(), answer.beaten));
    rows.push(("not looked at".into(), answer.undecided));
    rows.retain(|(_, combinations)| *combinations > 0);
    Table {
        caption: "What became of every combination: the requirement at which it dropped out, alone or together with \
                  others before it and with what was found already"
            .into(),
        headings: ["requirement", "combinations"].map(String::from).to_vec(),
        rows: rows.into_iter().map(|(name, combinations)| vec![name, grouped(combinations)]).collect(),
    }
}

fn nothing(answer: &TeethAnswer, set: &Gearset) -> Vec<Block> {
    let Some(near_misses) = &answer.near_misses else { return vec![Block::Warning("nothing serves".into())] };
    let Some(most) = near_misses.iter().max_by_key(|miss| miss.count) else {
        let hint = "give up more than one, or widen the ranges";
        return vec![Block::Warning(format!("nothing serves, and no single requirement is to blame: {hint}"))];
    };
    let most = format!("nothing serves; most would without the requirement \"{}\"", most.without);
    let row = |miss: &NearMiss| {
        let by = miss.by.as_ref().map(|by| format!(", missed by {}", rounded(by))).unwrap_or_default();
        vec![format!("{}{by}", miss.without), grouped(miss.count), teeth(set, &miss.found), ratios(&miss.found)]
    };
    let table = Table {
        caption: "Near misses: what breaks one requirement and no other".into(),
        headings: ["requirement", "break it alone", "nearest", "ratios that change"].map(String::from).to_vec(),
        rows: near_misses.iter().map(row).collect(),
    };
    vec![Block::Warning(most), Block::Table(table)]
}

/// A whole number with a space every three digits.
fn grouped(number: u128) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn large_numbers_are_told_in_groups() {
        assert_eq!([0, 999, 1000, 170_834_423].map(grouped), ["0", "999", "1 000", "170 834 423"]);
    }
}
