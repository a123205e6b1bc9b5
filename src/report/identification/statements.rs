//! Which teeth these are in plain words: the pitch, what to measure next, what is told of wear, what to beware of.

use super::tables::of_family;
use crate::fit::{
    BasePitchReading, CandidateGear, Identification, IdentifiedFamily, NextMeasurement, PitchAgreement,
    PitchAsDescribed, ToothCandidate, ToothVerdict, WornTeeth,
};
use crate::gearset::MILLIMETRES_PER_INCH;
use crate::report::words::{Units, list, rounded, thou};

/// What is told of every family, each behind the names of its gears where there are several.
pub(super) fn statements(answer: &Identification, units: Units) -> Vec<String> {
    let of_one = |(number, family): (usize, &IdentifiedFamily)| {
        let mut said = said(&of_family(answer, number), family, units);
        if answer.families.len() > 1 {
            said = said.iter().map(|line| format!("{}: {line}", family.gears.join(", "))).collect();
        }
        said
    };
    let mut said: Vec<String> = answer.families.iter().enumerate().flat_map(of_one).collect();
    said.extend(usual_uncertainties(answer));
    said
}

fn said(candidates: &[&ToothCandidate], family: &IdentifiedFamily, units: Units) -> Vec<String> {
    let alive: Vec<&ToothCandidate> = candidates.iter().copied().filter(|one| one.alive).collect();
    let mut said: Vec<String> = described(&alive, family, units).collect();
    said.push(verdict(candidates, &alive, family, units));
    said.extend(next(family, units));
    said.extend(alive.first().map(|best| wear(best, family, units)).unwrap_or_default());
    said.extend(cautions(family));
    said
}

/// Where the readings do not say first what the description says of the pitch.
fn described(alive: &[&ToothCandidate], family: &IdentifiedFamily, units: Units) -> impl Iterator<Item = String> {
    let best = alive.first().map(|best| best.pitch.clone());
    family.described.iter().filter_map(move |told| {
        let pitch = &told.pitch;
        match (told.agreement, &best) {
            (PitchAgreement::Best, _) => None,
            (PitchAgreement::Fits, Some(best)) => {
                Some(format!("The description says {pitch}, which fits too; {best} fits better."))
            }
            (PitchAgreement::Unlikely, Some(best)) => Some(format!(
                "The readings speak against the description: it says {pitch}, {best} fits far better{}. Measure as told here, \
                 then correct pitch:.",
                out_by(told, units)
            )),
            (PitchAgreement::RuledOut, Some(best)) => Some(format!(
                "The readings contradict the description: it says {pitch}, they say {best}{}. Correct pitch: or measure again.",
                out_by(told, units)
            )),
            (_, None) => Some(format!("The description says {pitch}, which does not fit the readings{}.", out_by(told, units))),
        }
    })
}

/// ` (module 2.5 leaves one out by 0.310 mm, 12.2 thou)`.
fn out_by(told: &PitchAsDescribed, units: Units) -> String {
    let told_of = |mm: f64| format!(" ({} leaves one out by {})", told.pitch, both(mm, units));
    told.misfit_mm.map_or_else(String::new, told_of)
}

/// What fits, the best first.
fn verdict(
    candidates: &[&ToothCandidate],
    alive: &[&ToothCandidate],
    family: &IdentifiedFamily,
    units: Units,
) -> String {
    match (family.verdict, alive) {
        (ToothVerdict::NoStandardPitch, _) => no_standard_pitch(family),
        (_, []) => nothing_fits(candidates, family, units),
        (_, [only]) => {
            let depth =
                if only.depth == "open" { "; how deep they are is open".into() } else { format!(", {}", only.depth) };
            format!("{}{}{depth}: fits ({}).", base_pitch(family), name(only), misfit(only, units))
        }
        (_, [first, others @ ..]) => {
            let as_well = |one: &&ToothCandidate| format!("{} ({})", name_beside(one, first), misfit(one, units));
            let told: Vec<String> = others.iter().take(MOST_TOLD).map(as_well).collect();
            let more = others.len().saturating_sub(MOST_TOLD);
            let more = if more == 0 { String::new() } else { format!(", and {more} more") };
            // What is worse by three standard deviations is not ruled out by itself.
            let is_remote = others[0].chi_squared - first.chi_squared > 9.0;
            let fits = match (is_remote, others.len()) {
                (true, _) => "less likely, and not ruled out",
                (false, 1) => "fits as well",
                (false, _) => "fit as well",
            };
            format!(
                "{}{} ({}) fits best; {}: {fits}{more}.",
                base_pitch(family),
                name_beside(first, others[0]),
                misfit(first, units),
                told.join("; ")
            )
        }
    }
}

/// So many candidates beside the best are told in words.
const MOST_TOLD: usize = 2;

/// `Base pitch 8.332 mm: `.
fn base_pitch(family: &IdentifiedFamily) -> String {
    family.base_pitches.first().map(|read| format!("Base pitch {:.3} mm: ", read.millimetres)).unwrap_or_default()
}

/// `9 DP, 20 deg, no shift`.
fn name(one: &ToothCandidate) -> String {
    let of_gear = |gear: &CandidateGear| shift(gear.shift);
    let shifts = match &one.gears[..] {
        [only] => format!(", {}", of_gear(only)),
        _ => String::new(),
    };
    format!("{}, {} deg{shifts}", one.pitch, rounded(&one.pressure_angle))
}

/// The same, with its depth where another differs in that.
fn name_beside(one: &ToothCandidate, other: &ToothCandidate) -> String {
    let is_told = one.depth != other.depth && ![one, other].iter().any(|one| one.depth == "open");
    if is_told { format!("{}, {}", name(one), one.depth) } else { name(one) }
}

fn shift(shift: f64) -> String {
    /// No reading tells so little.
    const NOTHING: f64 = 0.005;
    if shift.abs() < NOTHING { "no shift".into() } else { format!("x {shift:+.3}") }
}

/// `to 0.016 mm, 0.6 thou`.
fn misfit(one: &ToothCandidate, units: Units) -> String {
    format!("to {}", both(one.misfits.iter().map(|misfit| misfit.mm.abs()).fold(0.0, f64::max), units))
}

/// `0.016 mm, 0.6 thou`, or the other way round.
fn both(mm: f64, units: Units) -> String {
    match units {
        Units::Millimetres => format!("{mm:.3} mm, {:.1} thou", thou(mm)),
        Units::Inches => format!("{:.1} thou, {mm:.3} mm", thou(mm)),
    }
}

fn no_standard_pitch(family: &IdentifiedFamily) -> String {
    let read = |read: &BasePitchReading| {
        format!("{} tell a base pitch of {:.3} mm, good to {:.3}", read.readings, read.millimetres, read.within_mm)
    };
    let told = family.base_pitches.first().map(read).unwrap_or_default();
    format!(
        "No standard pitch: {told}. A worn step, or jaws that sat on a fillet or tip: measure both over one tooth less, \
         at another place of the gear."
    )
}

fn nothing_fits(candidates: &[&ToothCandidate], family: &IdentifiedFamily, units: Units) -> String {
    if let Some(reading) = &family.contradicting {
        let of = reading.gear.as_ref().filter(|_| family.gears.len() > 1).map(|gear| format!(" of {gear}"));
        let word = if reading.mm > 0.0 { "more" } else { "less" };
        return format!(
            "Nothing usual fits all readings. Without the {}{} {} fits: it reads {} {word} than \
             that; measure it again, and look for tips turned down, wear or another place.",
            reading.reading,
            of.unwrap_or_default(),
            reading.teeth,
            units.arc(reading.mm.abs())
        );
    }
    let nearest = candidates.first().map(|one| format!(" Nearest is {} ({}).", name(one), misfit(one, units)));
    format!(
        "Nothing usual fits all readings.{} Measure again; where another pressure angle may be: --pressure-angle 15, \
         17.5, 22.5 or 25.",
        nearest.unwrap_or_default()
    )
}

/// What to measure next, and what it would be.
fn next(family: &IdentifiedFamily, units: Units) -> Option<String> {
    let next = family.next();
    match (family.verdict, next) {
        (ToothVerdict::CannotBeToldApart, _) => Some("Nothing you can measure here tells the first two apart.".into()),
        (_, None) => None,
        (ToothVerdict::DepthOpen, Some(next)) if next.reading == "root diameter" => {
            Some(format!("Only the depth of the roots is open; their diameter tells: {}.", predicted(next, units)))
        }
        (_, Some(next)) => Some(format!(
            "Measure next: the {}{}, good to {}: {}.",
            next.reading,
            next.gear.as_ref().filter(|_| family.gears.len() > 1).map(|gear| format!(" of {gear}")).unwrap_or_default(),
            good_to(next.within_mm, units),
            predicted(next, units)
        )),
    }
}

/// `0.03 mm`, or `1.2 thou`.
fn good_to(mm: f64, units: Units) -> String {
    match units {
        Units::Millimetres => format!("{mm} mm"),
        Units::Inches => format!("{:.1} thou", thou(mm)),
    }
}

/// `81.84 mm (3.222 in) says 9 DP, 20 deg; ...`.
fn predicted(next: &NextMeasurement, units: Units) -> String {
    let says = |of: &crate::fit::Predicted| {
        let inches = of.mm / MILLIMETRES_PER_INCH;
        let length = match units {
            Units::Millimetres => format!("{:.2} mm ({inches:.4} in)", of.mm),
            Units::Inches => format!("{inches:.4} in ({:.2} mm)", of.mm),
        };
        format!("{length} says {}", of.teeth)
    };
    next.predicted.iter().map(says).collect::<Vec<_>>().join("; ")
}

/// What is told of wear, and what is not.
fn wear(best: &ToothCandidate, family: &IdentifiedFamily, units: Units) -> Vec<String> {
    /// Less thinning than this is not worth a word, in millimetres.
    const NOTHING: f64 = 0.01;
    let mut said: Vec<String> = best.worn.iter().map(|worn| worn_teeth(worn, family, units)).collect();
    let is_doubtful = |gear: &&CandidateGear| gear.thinning_without_shift_mm.is_some_and(|thinning| thinning > NOTHING);
    let doubtful: Vec<&CandidateGear> = best.gears.iter().filter(is_doubtful).collect();
    if best.worn.is_empty() {
        said.extend(doubtful.iter().map(|gear| {
            let thinning = gear.thinning_without_shift_mm.unwrap_or_default();
            let of = if family.gears.len() > 1 { format!(" of {}", gear.gear) } else { String::new() };
            format!(
                "Shift{of} {:+.3}, or no shift and teeth worn thinner by {}: spans and pins \
                 cannot tell which; its diameter over the tips does, or an unworn place.",
                gear.shift,
                units.arc(thinning)
            )
        }));
    }
    said
}

fn worn_teeth(worn: &WornTeeth, family: &IdentifiedFamily, units: Units) -> String {
    let by = units.arc(worn.thinning_mm);
    match &worn.gears[..] {
        [_] if family.gears.len() == 1 => {
            format!("Its teeth are thinner by {by} at the pitch circle than its tips say: wear, or backlash cut in.")
        }
        [only] => format!("{only} is thinner by {by} at the pitch circle: wear, or backlash cut in."),
        several => format!(
            "{} together are thinner by {by} at the pitch circle; which of them is worn only a diameter over tips tells.",
            list(several)
        ),
    }
}

fn cautions(family: &IdentifiedFamily) -> Vec<String> {
    let mut said = Vec::new();
    if !family.doubtful_spans.is_empty() {
        said.push(format!(
            "Beware: for such teeth the {} touches too near the tip or the fillet; take another count.",
            list(&family.doubtful_spans)
        ));
    }
    if family.may_be_composite {
        said.push(
            "Beware: old teeth of 14.5 degrees may be involutes near the pitch circle only; a span over a third count that \
             agrees shows that these are."
                .into(),
        );
    }
    said
}

/// Which readings were taken to be good to what is usual.
fn usual_uncertainties(answer: &Identification) -> Option<String> {
    let mut told: Vec<String> = Vec::new();
    for reading in answer.families.iter().flat_map(|family| &family.readings).filter(|it| !it.within_is_given) {
        let line = format!("{} to {} mm", kind(&reading.reading), reading.within_mm);
        if !told.contains(&line) {
            told.push(line);
        }
    }
    (!told.is_empty())
        .then(|| format!("What readings are good to is taken as usual where it is not said: {}.", list(&told)))
}

/// What readings of a kind are called.
fn kind(reading: &str) -> &str {
    let kinds = [
        ("span", "spans"),
        ("over pins", "over pins"),
        ("between pins", "between pins"),
        ("centre", "centre distance"),
    ];
    kinds.iter().find(|(begins, _)| reading.starts_with(begins)).map_or(reading, |(_, kind)| kind)
}
