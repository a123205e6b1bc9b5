//! Candidates, what tells them apart, and in full each reading beside what they would read, as tables.

use crate::fit::{Identification, IdentifiedFamily, NextMeasurement, ToothCandidate};
use crate::report::render::document::{Block, Table};
use crate::report::words::{rounded, thou};

/// So many candidates of a family are shown on a screen, and so many measurements.
const MOST_CANDIDATES: usize = 5;
const MOST_MEASUREMENTS: usize = 4;

/// The candidates of each family, and what tells the first two apart.
pub(super) fn of_screen(answer: &Identification) -> Vec<Block> {
    let of_family = |(number, family): (usize, &IdentifiedFamily)| {
        let table = candidates(answer, number, family).beginning(MOST_CANDIDATES);
        [Some(Block::Table(table)), wear(answer, number), measurements(family)]
    };
    answer.families.iter().enumerate().flat_map(of_family).flatten().collect()
}

/// Every candidate, every reading of each, the base pitches.
pub(super) fn in_full(answer: &Identification) -> Vec<Block> {
    let of_family = |(number, family): (usize, &IdentifiedFamily)| {
        let rest = candidates(answer, number, family).rest(MOST_CANDIDATES).map(Block::Table);
        [rest, Some(readings(answer, number, family)), base_pitches(family)]
    };
    answer.families.iter().enumerate().flat_map(of_family).flatten().collect()
}

/// The candidates of a family, the best first.
pub(super) fn of_family(answer: &Identification, number: usize) -> Vec<&ToothCandidate> {
    answer.candidates.iter().filter(|candidate| candidate.family == number).collect()
}

fn candidates(answer: &Identification, number: usize, family: &IdentifiedFamily) -> Table {
    let several = answer.families.len() > 1;
    let of = if several { format!(" of {}", family.gears.join(", ")) } else { String::new() };
    let caption = format!("Teeth{of} that fit, and what comes nearest");
    let is_one_gear = family.gears.len() == 1;
    let row = |one: &&ToothCandidate| {
        let mut row = vec![one.pitch.clone(), rounded(&one.pressure_angle), one.depth.clone()];
        if is_one_gear {
            row.push(format!("{:+.3}", one.shift));
        }
        row.push(worst(one));
        row.push(if one.alive { "fits".into() } else { "no".into() });
        row
    };
    let mut headings = vec!["pitch", "angle", "depth", "worst misfit, mm (thou)", ""];
    if is_one_gear {
        headings.insert(3, "shift x");
    }
    Table::new(caption, &headings, of_family(answer, number).iter().map(row).collect())
}

/// The largest misfit of a candidate.
pub(super) fn worst(one: &ToothCandidate) -> String {
    let worst = one.misfits.iter().map(|misfit| misfit.mm.abs()).fold(0.0, f64::max);
    format!("{worst:.3} ({:.1})", thou(worst))
}

/// The gears of the best candidate, where there are several.
fn wear(answer: &Identification, number: usize) -> Option<Block> {
    let best = of_family(answer, number).into_iter().find(|one| one.alive && one.gears.len() > 1)?;
    let rows = best.gears.iter().map(|gear| {
        let thinner = match (gear.thinning_mm, gear.thinning_without_shift_mm) {
            (Some(thinning), _) => format!("{thinning:.3} ({:.1})", thou(thinning)),
            (None, Some(thinning)) => format!("open; {thinning:.3} ({:.1}) if x is 0", thou(thinning)),
            (None, None) => "open".into(),
        };
        vec![gear.gear.clone(), format!("{:+.3}", gear.shift), thinner]
    });
    let caption = format!("Its gears as {}, {} deg", best.pitch, rounded(&best.pressure_angle));
    Some(Block::table(caption, &["gear", "shift x", "thinner by, mm (thou)"], rows.collect()))
}

/// What tells the two best apart, and what each would read.
fn measurements(family: &IdentifiedFamily) -> Option<Block> {
    let first = family.measurements.first()?;
    let names: Vec<String> = first.predicted.iter().map(|of| of.teeth.clone()).collect();
    let headings = ["measure", "good to, mm", &names[0], &names[1], "apart, in that"];
    let row = |next: &NextMeasurement| {
        let of_gear = next.gear.as_ref().filter(|_| family.gears.len() > 1);
        let measure = of_gear.map_or_else(|| next.reading.clone(), |gear| format!("{} of {gear}", next.reading));
        let mut row = vec![measure, two_decimals(next.within_mm)];
        row.extend(next.predicted.iter().map(|of| format!("{:.3}", of.mm)));
        row.push(format!("{:.1}", next.separates_by));
        row
    };
    let rows = family.measurements.iter().take(MOST_MEASUREMENTS).map(row).collect();
    Some(Block::table("What tells the first two apart, in mm", &headings, rows))
}

/// Without zeros that say nothing.
fn two_decimals(millimetres: f64) -> String {
    let micrometres = (millimetres * 1000.0).round() / 1000.0;
    micrometres.to_string()
}

fn readings(answer: &Identification, number: usize, family: &IdentifiedFamily) -> Block {
    let shown: Vec<&ToothCandidate> = of_family(answer, number).into_iter().take(MOST_CANDIDATES).collect();
    let name = |one: &&ToothCandidate| format!("{}, {} deg, {}", one.pitch, rounded(&one.pressure_angle), one.depth);
    let names: Vec<String> = shown.iter().map(name).collect();
    let mut headings = vec!["gear", "reading", "mm", "good to"];
    headings.extend(names.iter().map(String::as_str));
    let row = |(place, taken): (usize, &crate::fit::TakenReading)| {
        let usual = if taken.within_is_given { "" } else { ", as usual" };
        let mut row = vec![
            taken.gear.clone().unwrap_or_default(),
            taken.reading.clone(),
            format!("{:.3}", taken.mm),
            format!("{}{usual}", two_decimals(taken.within_mm)),
        ];
        row.extend(shown.iter().map(|one| {
            let misfit = one.misfits[place].mm;
            format!("{misfit:+.3} ({:+.1})", thou(misfit))
        }));
        row
    };
    let rows = family.readings.iter().enumerate().map(row).collect();
    Block::table("Readings, and by how much each is larger than of these teeth, in mm (thou)", &headings, rows)
}

fn base_pitches(family: &IdentifiedFamily) -> Option<Block> {
    let row = |read: &crate::fit::BasePitchReading| {
        vec![
            read.gear.clone(),
            read.readings.clone(),
            format!("{:.3}", read.millimetres),
            format!("{:.3}", read.within_mm),
        ]
    };
    let rows = family.base_pitches.iter().map(row).collect();
    Block::table_of_some("Base pitches, whatever shift and wear", &["gear", "from", "mm", "good to"], rows)
}
