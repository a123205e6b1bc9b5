//! Candidates, what tells them apart, and in full each reading beside what they would read, as tables.

use crate::fit::{CandidateGear, Identification, IdentifiedFamily, NextMeasurement, ToothCandidate, ToothVerdict};
use crate::report::render::document::{Block, Table};
use crate::report::words::{rounded, thou};

/// So many candidates of a gear are shown on a screen, of several gears cut alike so many, and so many measurements.
const MOST_CANDIDATES: usize = 5;
const MOST_OF_SEVERAL: usize = 3;
const MOST_MEASUREMENTS: usize = 4;

/// The candidates, the gears of the best, and of one family what tells the first two apart.
pub(super) fn of_screen(answer: &Identification) -> Vec<Block> {
    let candidates = match &answer.families[..] {
        [only] => candidates(answer, 0, only).beginning(most_candidates(only)),
        _ => of_each(answer),
    };
    let apart = match &answer.families[..] {
        [only] if is_apart_on_screen(only) => measurements(only),
        _ => None,
    };
    let gears = if answer.families.len() > MOST_FAMILIES { None } else { gears(answer) };
    [Some(Block::Table(candidates)), gears, apart].into_iter().flatten().collect()
}

/// Of more families the gears are told in full only, and of each the best candidate on the screen.
const MOST_FAMILIES: usize = 2;

/// Whether a table says on the screen what tells two candidates apart; where depths alone are open, and of several gears,
/// the statements do.
fn is_apart_on_screen(family: &IdentifiedFamily) -> bool {
    family.verdict != ToothVerdict::DepthOpen && family.gears.len() == 1
}

/// So many candidates are shown on a screen.
fn most_candidates(family: &IdentifiedFamily) -> usize {
    if family.gears.len() > 1 { MOST_OF_SEVERAL } else { MOST_CANDIDATES }
}

/// The best candidates of each of several families.
fn of_each(answer: &Identification) -> Table {
    let row = |one: &&ToothCandidate| {
        let gears = answer.families[one.family].gears.join(", ");
        let fits = if one.alive { "fits" } else { "no fit" };
        let angle = rounded(&one.pressure_angle);
        vec![gears, one.pitch.clone(), angle, one.depth.clone(), worst(one), fits.into()]
    };
    let most = if answer.families.len() > MOST_FAMILIES { 1 } else { 2 };
    let best = |number: usize| of_family(answer, number).into_iter().take(most);
    let rows = (0..answer.families.len()).flat_map(best).collect::<Vec<_>>();
    let headings = ["gears", "pitch", "angle", "depth", "worst misfit, mm (thou)", ""];
    Table::new("Teeth that fit, and what comes nearest", &headings, rows.iter().map(row).collect())
}

/// Every candidate, every reading of each, the base pitches.
pub(super) fn in_full(answer: &Identification) -> Vec<Block> {
    let of_family = |(number, family): (usize, &IdentifiedFamily)| {
        let is_only = answer.families.len() == 1;
        let all = candidates(answer, number, family);
        let rest = if is_only { all.rest(most_candidates(family)) } else { Some(all) };
        let is_shown = is_only && is_apart_on_screen(family);
        let apart = if is_shown { None } else { measurements(family) };
        [rest.map(Block::Table), apart, Some(readings(answer, number, family)), base_pitches(family)]
    };
    let gears = if answer.families.len() > MOST_FAMILIES { gears(answer) } else { None };
    gears.into_iter().chain(answer.families.iter().enumerate().flat_map(of_family).flatten()).collect()
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
        row.push(if one.alive { "fits" } else { "no fit" }.into());
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

/// The gears of the best candidates, where there are several.
fn gears(answer: &Identification) -> Option<Block> {
    let best = |number: usize| of_family(answer, number).into_iter().find(|one| one.alive);
    let best: Vec<&ToothCandidate> = (0..answer.families.len()).filter_map(best).collect();
    let gears = best.iter().flat_map(|one| one.gears.iter().map(move |gear| (one, gear)));
    let row = |(one, gear): (&&ToothCandidate, &CandidateGear)| {
        let thinner = match (gear.thinning_mm, gear.thinning_without_shift_mm) {
            (Some(thinning), _) => format!("{thinning:.3} ({:.1})", thou(thinning)),
            (None, Some(thinning)) if thinning > 0.01 => {
                format!("open; {thinning:.3} ({:.1}) if x is 0", thou(thinning))
            }
            (None, _) => "open".into(),
        };
        vec![gear.gear.clone(), one.pitch.clone(), format!("{:+.3}", gear.shift), thinner]
    };
    let rows: Vec<Vec<String>> = gears.map(row).collect();
    let headings = ["gear", "pitch", "shift x", "thinner by, mm (thou)"];
    (rows.len() > 1).then(|| Block::table("Each gear, if it is what fits best", &headings, rows))
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
