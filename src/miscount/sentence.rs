//! What there is to say of counts that do not agree, in a sentence.

use super::{CountCheck, CountVerdict, EvidenceKind, Miscount};
use crate::clearance::{AskedDistance, asked_distances};
use crate::gearset::{GearId, Gearset, MemberId};

/// So many counts are named side by side.
const MOST_NAMED: usize = 4;

/// What disagrees, which gears to count again and what they would have, and the gears; `None` where nothing disagrees.
pub(crate) fn sentence(set: &Gearset, check: &CountCheck, found: &[Miscount]) -> Option<(String, Vec<GearId>)> {
    if matches!(check.verdict, CountVerdict::Consistent | CountVerdict::NothingToCompare) {
        return None;
    }
    let best = best(found);
    let gears: Vec<GearId> = {
        let mut gears: Vec<GearId> = Vec::new();
        for gear in best.iter().flat_map(|miscount| miscount.changes.keys()) {
            if !gears.contains(gear) {
                gears.push(*gear);
            }
        }
        gears
    };
    let mut said = vec![format!("{}: {}", what_disagrees(set, check), advice(set, check, best, &gears))];
    said.extend(second_best(set, found, best));
    said.extend(all_agreeing(set, found, best));
    if !check.all_tried {
        said.push("not every change was tried, there are too many".into());
    }
    Some((said.join("; "), gears))
}

/// Those that as few gears and as little evidence speak against as against the first.
fn best(found: &[Miscount]) -> &[Miscount] {
    let as_the_first = |miscount: &&Miscount| {
        miscount.changes.len() == found[0].changes.len()
            && miscount.disagrees_with.len() == found[0].disagrees_with.len()
    };
    &found[..found.iter().take_while(as_the_first).count()]
}

/// All that disagrees, centre distances with their numbers.
fn what_disagrees(set: &Gearset, check: &CountCheck) -> String {
    let planets = set.planet_groups().iter().flat_map(|group| group.planets().iter().copied());
    let mut told: Vec<String> = planets.filter_map(|planet| unequal_sums(set, planet)).collect();
    let against = check.evidence.iter().filter(|evidence| evidence.agrees == Some(false));
    let is_off_circle = against.clone().any(|evidence| evidence.kind == EvidenceKind::PinCircle);
    told.extend(is_off_circle.then(|| "another pin circle measured".to_owned()));
    told.extend(against.filter_map(|evidence| match evidence.kind {
        EvidenceKind::CenterDistances | EvidenceKind::PinCircle => None,
        EvidenceKind::Assembly => Some(format!("no {}", evidence.text)),
        EvidenceKind::Room => Some(format!("no {} to pass", evidence.text)),
        EvidenceKind::Turns => Some(format!("no agreement with {}", evidence.text)),
    }));
    told.truncate(MOST_NAMED);
    if told.is_empty() { "the counts leave no centre distance".to_owned() } else { told.join(", ") }
}

/// The sums of the teeth of a planet's meshes, differences in a ring, where they should be one; distances where the
/// teeth are not all of one size or shifted.
fn unequal_sums(set: &Gearset, planet: MemberId) -> Option<String> {
    let asked = asked_distances(set, planet);
    let (first, others) = asked.split_first()?;
    others.iter().find(|other| first.is_that_of(other) == Some(false))?;
    let of = set.member(planet).name();
    let module = |asked: &AskedDistance| asked.millimetres.map_or(1.0, |length| length / asked.modules);
    let is_plain = set.draft().profile_shifts.is_empty()
        && others.iter().all(|other| (module(other) - module(first)).abs() < f64::EPSILON * module(first));
    let told: Vec<String> = if is_plain {
        asked.iter().map(|asked| set.matrix().row(asked.mesh).tooth_sum().abs().to_string()).collect()
    } else {
        asked.iter().map(|asked| format!("{:.2}", asked.millimetres.unwrap_or(asked.modules))).collect()
    };
    let what = if is_plain { "tooth sums" } else { "centre distances" };
    Some(format!("{what} {} on \"{of}\"", told.join(", ")))
}

/// What to count again, and what would then be right.
fn advice(set: &Gearset, check: &CountCheck, best: &[Miscount], gears: &[GearId]) -> String {
    let again = alternatives(gears.iter().map(|&gear| set.gear(gear).name().to_owned()).collect(), "and");
    let counts = alternatives(best.iter().map(|miscount| counts(set, miscount)).collect(), "or");
    let makes = match best.first() {
        Some(first) if first.disagrees_with.is_empty() => format!("{counts} would make all agree"),
        Some(first) if best.len() == 1 => format!("{counts} would leave only {}", first.disagrees_with.join(" and ")),
        _ => format!("{counts} would agree with more"),
    };
    match (check.profile_shift_explains, best.is_empty()) {
        (true, true) => "nothing else speaks against the counts, so profile shift explains it".to_owned(),
        (true, false) => format!(
            "nothing else speaks against the counts, so the teeth may have profile shift; if not, count {again} again: \
             {makes}"
        ),
        (false, false) => format!("count {again} again: {makes}"),
        (false, true) => "no other count of one gear or of two, within 2 teeth, would agree with more: look at the \
                          pins, the measurements and what was held"
            .to_owned(),
    }
}

/// As many changed gears as the best, and one piece of evidence more against them, the same for all.
fn second_best(set: &Gearset, found: &[Miscount], best: &[Miscount]) -> Option<String> {
    let first = best.first()?;
    let others = &found[best.len()..];
    let next = others.first().filter(|next| {
        next.changes.len() == first.changes.len() && next.disagrees_with.len() == first.disagrees_with.len() + 1
    })?;
    let as_the_next = |miscount: &&Miscount| {
        miscount.changes.len() == next.changes.len() && miscount.disagrees_with == next.disagrees_with
    };
    let alike = others.iter().take_while(as_the_next).map(|miscount| counts(set, miscount)).collect();
    Some(format!("{} all but {}", alternatives(alike, "or"), next.disagrees_with.join(" and ")))
}

/// Changes of two gears that everything agrees with, where no change of one is such.
fn all_agreeing(set: &Gearset, found: &[Miscount], best: &[Miscount]) -> Option<String> {
    best.first().filter(|best| !best.disagrees_with.is_empty())?;
    let agreeing = found.iter().filter(|miscount| miscount.disagrees_with.is_empty());
    let told: Vec<String> = agreeing.map(|miscount| counts(set, miscount)).collect();
    (!told.is_empty()).then(|| format!("{} would make all agree", alternatives(told, "or")))
}

/// `d 31`, `D 26 with l 37`; a gear whose name ends in a number `P31 as 30`.
fn counts(set: &Gearset, miscount: &Miscount) -> String {
    let count = |(&gear, count): (&GearId, &u16)| {
        let name = set.gear(gear).name();
        let word = if name.ends_with(|letter: char| letter.is_ascii_digit()) { " as" } else { "" };
        format!("{name}{word} {count}")
    };
    miscount.changes.iter().map(count).collect::<Vec<_>>().join(" with ")
}

/// `a`, `a or b`, `a, b or c`; of many the first.
fn alternatives(mut words: Vec<String>, or: &str) -> String {
    let others = words.len().saturating_sub(MOST_NAMED);
    words.truncate(MOST_NAMED);
    if others > 0 {
        words.push(format!("{others} others"));
    }
    match words.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} {or} {last}", before.join(", ")),
        _ => words.concat(),
    }
}
