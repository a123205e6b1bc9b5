//! Numbers and lists in words, the same in every answer.
//!
//! Decimals have six significant digits, rounded from the exact value itself; lengths are
//! given in millimetres with inches beside them, teeth as people say them: `9 1/3`.

pub(super) mod arithmetic;
mod units;

pub(in crate::report) use self::units::Units;
pub(in crate::report) use crate::exact::mixed;
use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::{ControlId, GearId, Gearset, MemberId, MeshId};
use crate::inspection::{Remark, RemarkKind, RemarkedPart};
use crate::timing::ByHand;
use serde::Serialize;

/// Significant digits of a decimal that a person reads.
const DIGITS: u32 = 6;

/// A decimal to read.
pub(in crate::report) fn rounded(value: &Fraction) -> String {
    decimal(value, DIGITS)
}

/// A fraction with its decimal, which is left out where the fraction is whole.
pub(in crate::report) fn with_decimal(value: &Fraction) -> String {
    if value.is_integer() { value.to_string() } else { format!("{value} = {}", rounded(value)) }
}

/// A turn in degrees.
pub(in crate::report) fn degrees(turns: &Fraction) -> String {
    rounded(&(turns * fraction(360, 1)))
}

/// `a`, `a and b`, `a, b and c`.
pub(in crate::report) fn list(items: &[String]) -> String {
    match items {
        [] => "none".into(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// The first few items, and how many more there are.
pub(in crate::report) fn short_list(items: &[String]) -> String {
    first_few(items, 6)
}

/// So many items in words and how many more there are; one more is told as well.
pub(in crate::report) fn first_few(items: &[String], most: usize) -> String {
    if items.len() <= most + 1 {
        return list(items);
    }
    format!("{} and {} more", items[..most].join(", "), items.len() - most)
}

/// `1 pin`, `3 pins`.
pub(in crate::report) fn counted(count: usize, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

/// A member's name in quotes, or "the case".
pub(in crate::report) fn member(set: &Gearset, member: MemberId) -> String {
    if member == MemberId::CASE { "the case".into() } else { quoted(set.member(member).name()) }
}

/// Planets on their carrier, with the number of their pins: what is told of them is headed with that.
pub(in crate::report) fn group(set: &Gearset, planets: &[MemberId], carrier: MemberId, pins: usize) -> String {
    format!("{} on {}, {}", self::planets(set, planets), member(set, carrier), counted(pins, "pin"))
}

/// Planets by their names.
pub(in crate::report) fn planets(set: &Gearset, planets: &[MemberId]) -> String {
    list(&planets.iter().map(|&planet| member(set, planet)).collect::<Vec<_>>())
}

/// What is told of several things, each line behind their names; of those that are told the same together.
pub(in crate::report) fn told_together(things: impl Iterator<Item = (String, Vec<String>)>) -> Vec<String> {
    let mut told: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for (name, lines) in things {
        match told.iter_mut().find(|(_, told)| *told == lines) {
            Some((names, _)) => names.push(name),
            None => told.push((vec![name], lines)),
        }
    }
    let behind = |(names, lines): &(Vec<String>, Vec<String>)| -> Vec<String> {
        lines.iter().map(|line| format!("{}: {line}", list(names))).collect()
    };
    told.iter().flat_map(behind).collect()
}

/// One-way clutches that a state leaves out although they would hold in it, a sentence each.
pub(in crate::report) fn unlisted_one_way_clutches(set: &Gearset, state: &str, clutches: &[ControlId]) -> Vec<String> {
    let conflict = |&clutch: &ControlId| {
        format!(
            "in state {} the one-way clutch {} is not listed, yet with these speeds it would hold: list it in the state \
             if it carries there, or look at the sense that it stops",
            quoted(state),
            quoted(set.control(clutch).name())
        )
    };
    clutches.iter().map(conflict).collect()
}

/// What is worth a second look, in one line.
pub(in crate::report) fn remark(set: &Gearset, remark: &Remark) -> String {
    match (remark.kind, &remark.parts[..]) {
        (RemarkKind::UnequalCenterDistance, [RemarkedPart::Member(planet), ..]) => {
            let planet = quoted(set.member(*planet).name());
            format!("the meshes of {planet} ask for two centre distances: only profile shift makes that right")
        }
        (RemarkKind::BacklashBeyondHalfATooth, [RemarkedPart::Mesh(mesh)]) => {
            format!("the backlash of {} is more than half a tooth: look at its unit", self::mesh(set, *mesh))
        }
        _ => remark.text.clone(),
    }
}

/// What a hand notices of a wrong seating.
pub(in crate::report) fn felt(by_hand: ByHand) -> &'static str {
    match by_hand {
        ByHand::Unnoticed => "goes in UNNOTICED",
        ByHand::WithForce => "goes in with force, tight all round",
        ByHand::WillNotEnter => "will not go in",
    }
}

/// The word that stands for a value in what other programs read.
pub(in crate::report) fn key(value: &impl Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        _ => unreachable!("a value that has a word is serialised as one"),
    }
}

/// A name in quotes.
pub(in crate::report) fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}

/// A mesh by its two gears with their counts: `D 26 with d 31`.
pub(in crate::report) fn mesh(set: &Gearset, mesh: MeshId) -> String {
    let [first, second] = set.mesh(mesh).gears().each().map(|id| gear(set, id));
    format!("{first} with {second}")
}

/// A gear with its tooth count: `D 26`.
pub(in crate::report) fn gear(set: &Gearset, gear: GearId) -> String {
    set.gear(gear).with_count()
}

/// Millimetres with inches beside.
pub(in crate::report) fn length(millimetres: f64) -> String {
    let inches = millimetres / crate::gearset::MILLIMETRES_PER_INCH;
    format!("{millimetres:.3} mm ({inches:.4} in)")
}

/// Thousandths of an inch.
pub(in crate::report) fn thou(millimetres: f64) -> f64 {
    millimetres / crate::gearset::MILLIMETRES_PER_INCH * 1000.0
}
