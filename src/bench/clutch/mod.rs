//! How far is each finger of a clutch to be turned, does its spring press, is its pack in order, does it hold?
//!
//! Fingers: `turns = (gap - wanted) / (pitch lever)`, in flats of a hexagon six times that; all equal first, then all
//! alike. Spring: the line through two readings; what a new one would have is `G d^4 / (8 D^3 n)`, for round wire and
//! as found in every textbook of machine elements. Capacity is that of [`crate::statics`].

mod answer;
mod plates;
mod question;
mod refusal;

pub use answer::{ClutchSetting, FingerSetting, FingerSettings, PackFault, PackOrder, PlateHold, SpringSetting};
pub use question::{ClutchQuestion, FingersQuestion, PlatesQuestion, SpringQuestion, SpringReading, discs_as_typed};
pub use refusal::CannotSetClutch;

use crate::gearset::Gearset;

/// Shear modulus of spring steel, in newtons per square millimetre: a usual value, good to a few per cent.
const SPRING_STEEL: f64 = 79_000.0;

/// Gaps nearer than this are equal.
const MARGIN_MM: f64 = 1e-9;

const MOST_FINGERS: usize = 24;
const MOST_DISCS: usize = 200;

/// What to turn on a clutch, and what it holds then.
///
/// # Errors
/// [`CannotSetClutch`], every reason, where nothing is asked or a size is none.
///
/// # Examples
/// ```
/// use toothmark::bench::{ClutchQuestion, FingersQuestion, clutch};
/// let gaps_mm = vec![20.9, 21.4, 20.6];
/// let fingers =
///     FingersQuestion { gaps_mm, wanted_mm: Some(20.64), pitch_mm: Some(1.27), ..FingersQuestion::default() };
/// let question = ClutchQuestion { fingers: Some(fingers), ..ClutchQuestion::default() };
/// let found = clutch(None, &question).unwrap().fingers.unwrap();
/// assert!((found.fingers[1].flats.unwrap() - 3.59).abs() < 0.001);
/// ```
pub fn clutch(set: Option<&Gearset>, question: &ClutchQuestion) -> Result<ClutchSetting, Vec<CannotSetClutch>> {
    let wrong = wrong(question);
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let fingers = question.fingers.as_ref().map(fingers);
    let spring = question.spring.as_ref().map(spring);
    let pack = (!question.pack.is_empty()).then(|| pack(&question.pack));
    let plates = plates::plates(set, question, spring.as_ref(), pack.as_ref()).map_err(|reason| vec![reason])?;
    let is_set = fingers.as_ref().is_none_or(|fingers| fingers.all_within);
    let springs = spring.is_none_or(|spring| spring.left_to_coil_bound_mm.is_none_or(|left| left > 0.0));
    let in_order = pack.as_ref().is_none_or(|pack| pack.alternates);
    let holds = plates.as_ref().is_none_or(|plates| !plates.torque_given || plates.states.iter().all(|it| it.holds));
    Ok(ClutchSetting { fingers, spring, pack, plates, good: is_set && springs && in_order && holds })
}

fn fingers(question: &FingersQuestion) -> FingerSettings {
    let gaps = &question.gaps_mm;
    let mean = || gaps.iter().zip(1_u32..).fold(0.0, |mean, (gap, count)| mean + (gap - mean) / f64::from(count));
    let wanted_mm = question.wanted_mm.unwrap_or_else(mean);
    let within_mm = question.within_mm.unwrap_or(FingersQuestion::USUAL_WITHIN_MM);
    let nearest = |a: &f64, b: &f64| (a - wanted_mm).abs().total_cmp(&(b - wanted_mm).abs());
    let equal_first_mm = match question.wanted_mm {
        Some(_) => gaps.iter().copied().min_by(nearest).unwrap_or(wanted_mm),
        None => wanted_mm,
    };
    // A screw that goes in closes the gap: turns = (gap - wanted) / (pitch lever).
    let per_turn = question.pitch_mm.map(|pitch| pitch * question.lever.unwrap_or(1.0));
    let turns = |close_mm: f64| per_turn.map(|per_turn| close_mm / per_turn);
    let name = |at: usize| question.names.get(at).cloned().unwrap_or_else(|| (at + 1).to_string());
    let finger = |(at, &gap_mm): (usize, &f64)| {
        let (close_mm, equal_first_close_mm) = (gap_mm - wanted_mm, gap_mm - equal_first_mm);
        FingerSetting {
            finger: at + 1,
            gap_mm,
            turns: turns(close_mm),
            flats: turns(close_mm).map(|turns| 6.0 * turns),
            equal_first_turns: turns(equal_first_close_mm),
            within: close_mm.abs() <= within_mm + MARGIN_MM,
            name: name(at),
            close_mm,
            equal_first_close_mm,
        }
    };
    let fingers: Vec<FingerSetting> = gaps.iter().enumerate().map(finger).collect();
    let extreme = |pick: fn(f64, f64) -> f64| gaps.iter().copied().reduce(pick).unwrap_or(wanted_mm);
    FingerSettings {
        wanted_mm,
        equal_first_mm,
        then_all_turns: turns(equal_first_mm - wanted_mm),
        then_all_close_mm: equal_first_mm - wanted_mm,
        spread_mm: extreme(f64::max) - extreme(f64::min),
        within_mm,
        wanted_is_mean: question.wanted_mm.is_none(),
        all_within: fingers.iter().all(|finger| finger.within),
        fingers,
    }
}

fn spring(question: &SpringQuestion) -> SpringSetting {
    let [first, second] = question.readings;
    let rate = (second.newtons - first.newtons) / (first.mm - second.mm);
    let at = |length: f64| first.newtons + rate * (first.mm - length);
    // Ends that are closed and ground lie on a coil that does not spring, one at either end.
    let all_coils = question.all_coils.or_else(|| question.coils.map(|coils| coils + 2.0));
    let coil_bound_mm = question.wire_mm.zip(all_coils).map(|(wire, coils)| wire * coils);
    let working_force = question.working_mm.map(at);
    let sizes = question.wire_mm.zip(question.coil_mm).zip(question.coils);
    // R = G d^4 / (8 D^3 n).
    let as_new = sizes.map(|((wire, coil), coils)| SPRING_STEEL * wire.powi(4) / (8.0 * coil.powi(3) * coils));
    let lever = question.lever.map(|lever| lever * (1.0 - question.lost.unwrap_or(0.0)));
    SpringSetting {
        rate_newtons_per_mm: rate,
        free_length_mm: first.mm + first.newtons / rate,
        working_length_mm: question.working_mm,
        working_force_newtons: working_force,
        coil_bound_mm,
        left_to_coil_bound_mm: question.working_mm.zip(coil_bound_mm).map(|(working, bound)| working - bound),
        rate_of_new_newtons_per_mm: as_new,
        force_on_plates_newtons: working_force.zip(lever).map(|(force, lever)| force * lever),
    }
}

/// In a pack of which both kinds take turns every disc but the last rubs on the next.
fn pack(kinds: &[String]) -> PackOrder {
    let alike = kinds.windows(2).enumerate().filter(|(_, pair)| pair[0] == pair[1]);
    let two_in_a_row: Vec<PackFault> =
        alike.map(|(at, pair)| PackFault { place: at + 1, kind: pair[0].clone() }).collect();
    PackOrder {
        discs: kinds.len(),
        faces: kinds.len().saturating_sub(1 + two_in_a_row.len()),
        alternates: two_in_a_row.is_empty(),
        two_in_a_row,
    }
}

/// Everything that is wrong with a question.
fn wrong(question: &ClutchQuestion) -> Vec<CannotSetClutch> {
    let ClutchQuestion { fingers, spring, pack, plates } = question;
    if fingers.is_none() && spring.is_none() && pack.is_empty() && plates.is_none() {
        return vec![CannotSetClutch::NothingAsked];
    }
    let mut wrong = Vec::new();
    wrong.extend(fingers.iter().flat_map(wrong_fingers));
    wrong.extend(spring.iter().flat_map(wrong_spring));
    if !pack.is_empty() && !(2..=MOST_DISCS).contains(&pack.len()) {
        wrong.push(CannotSetClutch::PackCount { count: pack.len() });
    } else {
        let mut kinds: Vec<&String> = pack.iter().collect();
        kinds.sort();
        kinds.dedup();
        if kinds.len() > 2 {
            wrong.push(CannotSetClutch::Kinds { count: kinds.len() });
        }
    }
    wrong
}

fn wrong_fingers(question: &FingersQuestion) -> Vec<CannotSetClutch> {
    let count = question.gaps_mm.len();
    if !(1..=MOST_FINGERS).contains(&count) {
        return vec![CannotSetClutch::FingerCount { count }];
    }
    let gaps = question.gaps_mm.iter().map(|&gap| ("gap", gap, 0.0..=1000.0));
    let wanted = question.wanted_mm.map(|gap| ("wanted gap", gap, 0.0..=1000.0));
    let within = question.within_mm.map(|within| ("gap that may be off", within, 0.0..=10.0));
    let pitch = question.pitch_mm.map(|pitch| ("pitch of the screws", pitch, 0.01..=100.0));
    let lever = question.lever.map(|lever| ("lever of the fingers", lever, 0.01..=100.0));
    out_of_range(gaps.chain(wanted).chain(within).chain(pitch).chain(lever))
}

fn wrong_spring(question: &SpringQuestion) -> Vec<CannotSetClutch> {
    let length = 0.001..=10_000.0;
    let readings = question.readings.iter().flat_map(|read| {
        [("length of the spring", read.mm, 0.001..=10_000.0), ("force of the spring", read.newtons, 0.0..=1e7)]
    });
    let lengths = [
        ("working length", question.working_mm),
        ("thickness of the wire", question.wire_mm),
        ("diameter of the coils", question.coil_mm),
    ];
    let lengths = lengths.into_iter().filter_map(|(what, mm)| Some((what, mm?, length.clone())));
    let counts = [("number of coils", question.coils), ("number of all coils", question.all_coils)];
    let counts = counts.into_iter().filter_map(|(what, count)| Some((what, count?, 0.25..=1000.0)));
    let lever = question.lever.map(|lever| ("lever of the spring", lever, 0.01..=100.0));
    let lost = question.lost.map(|lost| ("part that friction takes", lost, 0.0..=0.9));
    let mut wrong = out_of_range(readings.chain(lengths).chain(counts).chain(lever).chain(lost));
    if !wrong.is_empty() {
        return wrong;
    }
    let [first, second] = question.readings;
    let rate = (second.newtons - first.newtons) / (first.mm - second.mm);
    if (first.mm - second.mm).abs() < 1e-6 {
        wrong.push(CannotSetClutch::SameLength { mm: format!("{:.3}", first.mm) });
    } else if rate <= 0.0 {
        wrong.push(CannotSetClutch::NoRate);
    } else if let Some(working) = question.working_mm
        && working > first.mm + first.newtons / rate
    {
        let free = format!("{:.2}", first.mm + first.newtons / rate);
        wrong.push(CannotSetClutch::LongerThanFree { mm: format!("{working:.2}"), free });
    }
    if let Some((wire, coil)) = question.wire_mm.zip(question.coil_mm)
        && coil <= wire
    {
        wrong.push(CannotSetClutch::CoilBelowWire { wire: format!("{wire:.2}"), coil: format!("{coil:.2}") });
    }
    wrong
}

/// Sizes that are not within their limits.
fn out_of_range(
    sizes: impl Iterator<Item = (&'static str, f64, std::ops::RangeInclusive<f64>)>,
) -> Vec<CannotSetClutch> {
    let outside = sizes.filter(|(_, value, range)| !range.contains(value));
    outside.map(|(what, value, _)| CannotSetClutch::NoSize { what, value: value.to_string() }).collect()
}
