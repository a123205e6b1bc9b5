//! What to do with what was found, in plain words: which planet to turn, which way, or why nothing has to be turned.

use super::tables::{errors, goes_in, moved};
use super::wording::{PlanetKind, Wording};
use crate::gearset::Gearset;
use crate::report::words::{list, member, short_list};
use crate::timing::{
    Explanation, FoundTiming, NearSeating, OtherWayRound, PinFound, PlanetFound, SeatingsKnown, WayOfMarking,
};

/// So many orders are given at once.
const MOST_ORDERS: usize = 4;

/// How a planet is put right.
const HOW_TO_TURN: &str = "Take a planet out of mesh to turn it and let it drop in freely, never by force; then turn the whole set by hand \
     before you close the case.";

/// What to do, and what to beware of.
pub(super) fn statements(answer: &FoundTiming, set: &Gearset) -> Vec<String> {
    let Some(likeliest) = answer.likeliest() else {
        return vec![
            "Out of time whatever the marks show: these planets do not assemble however they are turned; toothmark \
             timing says why, and what would."
                .into(),
        ];
    };
    let mut said: Vec<String> = other_way_round(answer).into_iter().collect();
    said.extend(if likeliest.in_time { in_time(answer, set, likeliest) } else { orders(answer, set, likeliest) });
    said.extend(unread(answer));
    said.extend(how_they_were_made(answer, set));
    said
}

/// Read the other way round the set is in time.
fn other_way_round(answer: &FoundTiming) -> Option<String> {
    let seen = answer.seen.name();
    let check = match answer.in_time_if.first()? {
        OtherWayRound::Numbering => {
            format!("from which side you numbered the pins (the table below has them as seen from {seen})")
        }
        OtherWayRound::Sign => format!("from which side you counted (plus is counter-clockwise, seen from {seen})"),
        OtherWayRound::Both => format!("whether you numbered and counted as seen from {seen}"),
    };
    let several = if answer.in_time_if.len() > 1 { ", and from which you counted" } else { "" };
    Some(format!(
        "Turn nothing yet: read the other way round this set is in time. Check {check}{several}; --seen names the side. \
         Only if all was read as seen from {seen}:"
    ))
}

fn in_time(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Vec<String> {
    let wording = Wording::of(answer, set);
    let ways = answer.explanations.iter().filter(|it| it.in_time && !it.same_as_first);
    let ways: Vec<&str> = ways.map(|it| wording.if_made(it.convention)).collect();
    let made = wording.if_made(explanation.convention);
    let is_asked = answer.made.is_some() || explanation.convention == WayOfMarking::Alike;
    let unsure = unnoticed(answer, set, explanation);
    let first = match (&unsure, is_asked) {
        (Some(_), _) => {
            format!("Not certain: read the marks again, to a fraction of a tooth. In time it may be, {made}.")
        }
        (None, true) => format!("In time, {made}: nothing has to be turned."),
        (None, false) => format!("In time only {}: then nothing has to be turned.", ways.join(", or ")),
    };
    let fits = explanation.pins.iter().find_map(|pin| Some((pin, pin.wrong_seatings.iter().find(|it| it.could_be)?)));
    let fits = fits.filter(|_| unsure.is_none()).map(|(pin, seating)| {
        let stands = format!("{}, which {}", off_by(answer, set, pin, seating), goes_in(seating));
        format!("A wrong seating fits as well, as far as was read: {stands}. A reading to a fraction of a tooth tells.")
    });
    let too_many = (answer.wrong_seatings == SeatingsKnown::TooMany)
        .then(|| "There are too many wrong seatings to say whether one of them fits as well.".into());
    let beware = unsure.map(|text| format!("Beware: {text}."));
    [Some(first), beware, fits, too_many, otherwise(answer, set)].into_iter().flatten().collect()
}

/// What is out if the same tooth is marked, where the set is in time by another way of making marks alone.
fn otherwise(answer: &FoundTiming, set: &Gearset) -> Option<String> {
    let first = answer.explanations.first().filter(|it| answer.made.is_none() && !it.in_time)?;
    let mut pins: Vec<String> = first.out().map(|(pin, _)| format!("pin {}", pin.pin)).collect();
    pins.dedup();
    let made = Wording::of(answer, set).if_made(first.convention);
    let are = if pins.len() == 1 { "is" } else { "are" };
    Some(format!(
        "Out of time {made}: then {} {are} out, and --made same-tooth says how to turn what.",
        short_list(&pins)
    ))
}

/// What to turn, a line a planet, then where it stands now and how sure that is.
fn orders(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Vec<String> {
    let wording = Wording::of(answer, set);
    let out: Vec<(&PinFound, &PlanetFound)> = explanation.out().collect();
    let mut said: Vec<String> =
        out.iter().take(MOST_ORDERS).map(|(pin, planet)| order(&wording, set, pin.pin, planet)).collect();
    if out.len() > MOST_ORDERS {
        said.push(format!("{} more are out; the table below has them.", out.len() - MOST_ORDERS));
    }
    let reference = explanation.reference;
    let made = wording.if_made(explanation.convention);
    said.push(format!("That is {made}; pin {reference} {}.", wording.stays()));
    let beware = unnoticed(answer, set, explanation).map(|text| format!("Beware: {text}."));
    let doubt = misfit(answer, set, explanation).map(|text| format!("{text}."));
    // Where the readings are doubted as a whole what they would come to is of no use.
    let stands =
        if answer.in_time_if.is_empty() { beware.or_else(|| where_it_stands(answer, set, explanation)) } else { None };
    said.extend(doubt.or(stands));
    said.push(HOW_TO_TURN.into());
    said
}

/// One planet to be turned.
fn order(wording: &Wording<'_>, set: &Gearset, pin: usize, planet: &PlanetFound) -> String {
    let name = match wording.kind {
        PlanetKind::Cluster => "its cluster".into(),
        PlanetKind::Plain => "its planet".into(),
        PlanetKind::Meshed => member(set, planet.planet),
    };
    let teeth = wording.teeth(planet.gear);
    let line = if wording.is_bevel() { "the direction of the input side" } else { "its line to the centre" };
    let or_mark = if wording.is_along() {
        String::new()
    } else {
        format!(" (or set its mark {} {line})", teeth.beside(&planet.target))
    };
    format!("Pin {pin}: turn {name} {}, seen from {}{or_mark}.", teeth.turn_it(planet), wording.seen_from())
}

/// The wrong seatings that the pins which are out stand in.
fn where_it_stands(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Option<String> {
    let is_meshed = Wording::of(answer, set).kind == PlanetKind::Meshed;
    // Of planets in mesh several seatings may be equally near to what was read; then none is where they stand.
    let is_told = |(pin, _): &(&PinFound, &NearSeating)| {
        !is_meshed || pin.wrong_seatings.iter().filter(|seating| seating.could_be).count() < 2
    };
    let stands: Vec<String> = stood_in(explanation)
        .filter(is_told)
        .map(|(pin, seating)| format!("{}, which {}", off_by(answer, set, pin, seating), goes_in(seating)))
        .collect();
    (!stands.is_empty()).then(|| format!("As it stands {}.", short_list(&stands)))
}

/// How a pin is off that stands in a seating: `pin 3 is off by 1 ccw on d 31`.
fn off_by(answer: &FoundTiming, set: &Gearset, pin: &PinFound, seating: &NearSeating) -> String {
    format!("pin {} is off by {}", pin.pin, moved(answer, set, seating))
}

/// What is said where gears could not be in mesh as they were read: the seating that comes nearest, and only then that
/// the readings may be at fault.
pub(super) fn misfit(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Option<String> {
    if explanation.could_be || answer.wrong_seatings == SeatingsKnown::TooMany {
        return None;
    }
    let nearest: Vec<String> = stood_in(explanation).map(|(pin, seating)| off_by(answer, set, pin, seating)).collect();
    let fits = if nearest.is_empty() {
        "No seating fits these readings".to_owned()
    } else {
        format!("The seatings that come nearest: {}", short_list(&nearest))
    };
    let doubt = "the marks were made in another way, or something was miscounted";
    Some(format!("{fits}. Gears could hardly be in mesh like that: {doubt}"))
}

fn stood_in(explanation: &Explanation) -> impl Iterator<Item = (&PinFound, &NearSeating)> {
    explanation.pins.iter().filter_map(|pin| Some((pin, &pin.wrong_seatings[pin.stands_in?])))
}

/// A wrong seating that could have gone in unnoticed.
pub(super) fn unnoticed(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> Option<String> {
    let (pin, seating) = explanation.unnoticed().next()?;
    let wording = Wording::of(answer, set);
    Some(format!(
        "a WRONG seating fits what was found, and goes in within the backlash: {}, the {} ({}), with the gears out by \
         only {}. {}",
        wording.if_made(explanation.convention),
        wording.may_be_away(pin.pin),
        moved(answer, set, seating),
        errors(set, seating),
        wording.set_in_time(pin)
    ))
}

/// Pins of which nothing was read.
fn unread(answer: &FoundTiming) -> Option<String> {
    let count = answer.read.first().map_or(0, |read| read.readings.len());
    let is_unread = |pin: &usize| answer.read.iter().all(|read| read.readings[pin - 1].is_none());
    let unread: Vec<String> = (1..=count).filter(is_unread).map(|pin| format!("pin {pin}")).collect();
    (!unread.is_empty()).then(|| format!("Nothing is known of {}: no mark was read there.", list(&unread)))
}

/// How to tell how the marks were made, where that decides.
fn how_they_were_made(answer: &FoundTiming, set: &Gearset) -> Option<String> {
    let first = answer.explanations.first()?;
    let decides = answer.explanations.iter().any(|it| it.in_time != first.in_time);
    if answer.made.is_some() || !decides {
        return None;
    }
    let planets = if Wording::of(answer, set).kind == PlanetKind::Cluster { "clusters" } else { "planets" };
    Some(format!(
        "Not sure how the marks were made? Stand the {planets} side by side, the teeth of all gears alike: marks in the same \
         place are on the same tooth (--made same-tooth); others were made in place (--made in-place) or for each pin \
         (--made each-pin)."
    ))
}
