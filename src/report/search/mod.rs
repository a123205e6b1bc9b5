//! The answer to "which other tooth counts would serve", for a person.
//!
//! First what was looked at and whether it is proven, then the best beside one another, then what
//! excluded all others; where nothing serves, what would if one requirement were left out. For other
//! programs see [`self::data`].

pub(super) mod data;

use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::kinematics::motions;
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{counted, list, mixed, rounded, with_decimal};
use crate::timing::{Method, timing};
use crate::tooth_search::{Counted, NearMiss, TeethAnswer, TeethFound};

/// A search and how it ended.
#[derive(Debug, Clone, Copy)]
pub struct Searched<'a> {
    /// The gearset as it is.
    pub set: &'a Gearset,
    /// What was found.
    pub answer: &'a TeethAnswer,
    /// Where nothing was found, what would serve with one requirement less; `None` where it was not asked.
    pub near_misses: Option<&'a [NearMiss]>,
    /// What each measure is, in the order of the goals.
    pub goals: &'a [String],
    /// The part that was searched, counted from 1, and how many there are; `None` for the whole.
    pub part: Option<[usize; 2]>,
}

impl Searched<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![Block::Facts(self.facts())];
        if !self.answer.outcome.complete {
            blocks.push(Block::Warning(
                "the search was stopped: what is listed serves, but it is NOT proven that none is better".into(),
            ));
        }
        if self.answer.found.is_empty() {
            blocks.extend(self.nothing());
        } else {
            blocks.push(Block::Table(self.table()));
            blocks.push(Block::Note(
                "these are counts that mesh and go together. Whether teeth and pins are strong enough, and whether a \
                 cutter makes them, nothing here says; compare shows what else changes"
                    .into(),
            ));
        }
        blocks.push(Block::Table(self.excluded()));
        Document { title: format!("{}: other tooth counts", self.set.title()), blocks }
    }

    fn facts(&self) -> Vec<Fact> {
        let outcome = &self.answer.outcome;
        let scope = match self.part {
            None => String::new(),
            Some([part, of]) => format!(" in part {part} of {of}"),
        };
        let at_least = if self.answer.counted == Counted::All { "" } else { "at least " };
        let proof = if outcome.complete {
            "complete: every combination was found or excluded, so that none better exists"
        } else {
            "NOT complete"
        };
        vec![
            Fact::new("combinations", format!("{}{scope}", grouped(outcome.combinations))),
            Fact::new("serve", format!("{at_least}{}", grouped(self.answer.serving))),
            Fact::new("proof", proof),
            Fact::new("work done", format!("{} choices of a value", grouped(outcome.visited))),
            Fact::new("better is", list(self.goals)),
        ]
    }

    fn table(&self) -> Table {
        let mut headings: Vec<String> = ["", "teeth", "ratios that change"].map(String::from).to_vec();
        headings.extend(self.goals.iter().cloned());
        headings.push("nearest wrong seating".into());
        let row = |(place, found): (usize, &TeethFound)| {
            let mut row = vec![(place + 1).to_string(), self.teeth(found), self.ratios(found)];
            row.extend(found.measures.iter().map(with_decimal));
            row.push(margins(&found.set));
            row
        };
        let rows = self.answer.found.iter().enumerate().map(row).collect();
        Table { caption: format!("Best first: {}", counted(self.answer.found.len(), "gearset")), headings, rows }
    }

    /// The counts and modules that could change, and the pins where they are not as described.
    fn teeth(&self, found: &TeethFound) -> String {
        let teeth = found.teeth.iter().map(|&(gear, teeth)| format!("{} {teeth}", self.set.gear(gear).name()));
        let pins = found.pins.iter().zip(self.set.planet_groups());
        let pins = pins.filter(|((_, pins), group)| *pins != group.places().len());
        let pins =
            pins.map(|((planet, pins), _)| format!("{} of {}", counted(*pins, "pin"), self.set.member(*planet).name()));
        let modules = found
            .modules
            .iter()
            .map(|(mesh, module)| format!("module {} of {}", rounded(module), self.set.mesh_name(*mesh)));
        teeth.chain(pins).chain(modules).collect::<Vec<_>>().join(", ")
    }

    /// The ratios that are not what they were.
    fn ratios(&self, found: &TeethFound) -> String {
        let now = motions(self.set);
        let is_new = |(state, ratio): &&(String, Fraction)| {
            !now.iter().any(|motion| motion.state == *state && motion.verdict.ratio() == Some(ratio))
        };
        let ratio = |(state, ratio): &(String, Fraction)| format!("{state} {}", with_decimal(ratio));
        let new: Vec<String> = found.ratios.iter().filter(is_new).map(ratio).collect();
        if new.is_empty() { "as they are".into() } else { new.join(", ") }
    }

    fn excluded(&self) -> Table {
        let outcome = &self.answer.outcome;
        let mut rows: Vec<(String, u128)> = Vec::new();
        for one in outcome.excluded.iter().filter(|one| one.combinations > 0) {
            match rows.iter_mut().find(|(name, _)| *name == one.name) {
                Some((_, sum)) => *sum += one.combinations,
                None => rows.push((one.name.clone(), one.combinations)),
            }
        }
        rows.sort_by_key(|(_, combinations)| std::cmp::Reverse(*combinations));
        rows.push(("none: listed".into(), outcome.count));
        rows.push(("none seen: no better than those listed".into(), outcome.beaten));
        rows.push(("not looked at".into(), outcome.undecided));
        rows.retain(|(_, combinations)| *combinations > 0);
        Table {
            caption:
                "What became of every combination: the requirement at which it dropped out, alone or together with \
                      others before it and with what was found already"
                    .into(),
            headings: ["requirement", "combinations"].map(String::from).to_vec(),
            rows: rows.into_iter().map(|(name, combinations)| vec![name, grouped(combinations)]).collect(),
        }
    }

    fn nothing(&self) -> Vec<Block> {
        let Some(near_misses) = self.near_misses else { return vec![Block::Warning("nothing serves".into())] };
        let Some(most) = near_misses.iter().max_by_key(|miss| miss.count) else {
            let hint = "give up more than one, or widen the ranges";
            return vec![Block::Warning(format!("nothing serves, and no single requirement is to blame: {hint}"))];
        };
        let most = format!("nothing serves; most would without the requirement \"{}\"", most.without);
        let mut blocks = vec![Block::Warning(most)];
        let row = |miss: &NearMiss| {
            let by = miss.by.as_ref().map(|by| format!(", missed by {}", rounded(by))).unwrap_or_default();
            vec![
                format!("{}{by}", miss.without),
                grouped(miss.count),
                self.teeth(&miss.found),
                self.ratios(&miss.found),
            ]
        };
        blocks.push(Block::Table(Table {
            caption: "Near misses: what breaks one requirement and no other".into(),
            headings: ["requirement", "break it alone", "nearest", "ratios that change"].map(String::from).to_vec(),
            rows: near_misses.iter().map(row).collect(),
        }));
        blocks
    }
}

/// The margin of every group of planets.
fn margins(set: &Gearset) -> String {
    let groups = timing(set, Method::Quickest);
    let margin = |group: &crate::timing::GroupTiming| match &group.margin {
        None => "none".to_owned(),
        Some(margin) => format!("{} tooth", mixed(&margin.teeth)),
    };
    groups.iter().map(margin).collect::<Vec<_>>().join(", ")
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
