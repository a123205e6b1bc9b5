//! The answer to "the marks show this now: is it in time?".
//!
//! First in words which planet to turn and which way ([`statements`]), then a line a pin; in full whether it is in time by
//! each way of making the marks, what would have to be turned, and every wrong seating that fits.
//! Senses are those of the side that the reader looked from. Records have a row for each mark that was read, under each
//! convention.

mod statements;
mod tables;
mod wording;

use self::statements::{misfit, statements, unnoticed};
use self::tables::{pins, what_to_do};
pub(super) use self::wording::readings;
use self::wording::{Wording, notes};
use crate::exact::{decimal, fraction, multiple};
use crate::gearset::{GearId, Gearset, MemberId};
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Fact, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, counted, key, list, member, mixed};
use crate::timing::{Explanation, FoundTiming, PinFound, PlanetFound, PlanetRead, SeatingsKnown, WayOfMarking};

/// So many marks are listed on a screen.
const MOST_ROWS: usize = 16;

impl Answer for FoundTiming {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let pins = pins(self, set).map(|table| Block::Table(table.beginning(MOST_ROWS)));
        [Block::Statements(statements(self, set))].into_iter().chain(pins).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let rest = pins(self, set).and_then(|table| table.rest(MOST_ROWS)).map(Block::Table);
        let different = || self.explanations.iter().filter(|it| !it.same_as_first);
        let warnings = different().filter_map(|it| unnoticed(self, set, it)).map(Block::Warning);
        let tables = different().flat_map(|it| what_to_do(self, set, it));
        let facts =
            [Block::Heading(heading(self, set))].into_iter().chain(warnings).chain([Block::Facts(facts(self, set))]);
        rest.into_iter().chain(facts).chain(tables).chain(notes(self, set)).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("what each way of making the marks would mean, and every wrong seating that fits")
    }

    fn records(&self, set: &Gearset) -> Records {
        let mut fields = vec![
            "planet",
            "convention",
            "reference",
            "pin",
            "in_time",
            "deviation",
            "gear",
            "teeth",
            "teeth_decimal",
            "target",
            "resolution",
            "wrong_seatings",
        ];
        let mut rows: Vec<Vec<String>> = Vec::new();
        for explanation in &self.explanations {
            for pin in &explanation.pins {
                rows.extend(pin.planets.iter().map(|planet| record(set, explanation, pin, planet)));
            }
        }
        if self.planet.is_none() {
            // Where planets mesh with one another each pin has several, and they come after it.
            fields[..4].rotate_left(1);
            for row in &mut rows {
                row[..4].rotate_left(1);
            }
        }
        Records { fields, rows }
    }

    fn outcome(&self) -> Outcome {
        self.in_time.into()
    }
}

fn record(set: &Gearset, explanation: &Explanation, pin: &PinFound, planet: &PlanetFound) -> Vec<String> {
    vec![
        csv_name(set.member(planet.planet).name()),
        key(&explanation.convention),
        explanation.reference.to_string(),
        pin.pin.to_string(),
        planet.in_time.to_string(),
        planet.deviation.to_string(),
        csv_name(set.gear(planet.gear).name()),
        planet.teeth.to_string(),
        decimal(&planet.teeth, 6),
        planet.target.to_string(),
        planet.resolution.to_string(),
        pin.wrong_seatings.len().to_string(),
    ]
}

fn heading(answer: &FoundTiming, set: &Gearset) -> String {
    let read: Vec<String> = answer.read.iter().map(|read| member(set, read.planet)).collect();
    let pins = counted(pin_count(answer), "pin");
    let each = if answer.planet.is_some() { "" } else { " each" };
    let from = Wording::of(answer, set).seen_from();
    format!("Marks of {} on {}, {pins}{each}, as found, seen from {from}", list(&read), member(set, answer.carrier))
}

fn pin_count(answer: &FoundTiming) -> usize {
    answer.read.first().map_or(0, |read| read.readings.len())
}

fn facts(answer: &FoundTiming, set: &Gearset) -> Vec<Fact> {
    let wording = Wording::of(answer, set);
    let mut facts = vec![Fact::new("in time", verdict(answer, set)), Fact::new("read", readings(set))];
    if answer.planet.is_none() {
        facts.extend(coarse(answer, set));
    }
    let explanations = answer.explanations.iter();
    facts.extend(explanations.map(|it| Fact::new(wording.name(it.convention), what_it_means(answer, set, it))));
    if answer.planet.is_some() {
        facts.extend(wording.alike().map(|alike| Fact::new("same tooth, could be", alike)));
    }
    facts.extend(seatings_alike(answer, set).map(|alike| Fact::new("seatings", alike)));
    facts
}

fn verdict(answer: &FoundTiming, set: &Gearset) -> String {
    let wording = Wording::of(answer, set);
    let Some(first) = answer.explanations.first() else {
        return "NO: these planets do not assemble however they are turned; toothmark timing says why".into();
    };
    if answer.made.is_some() {
        return if answer.in_time { "yes, as the marks were made".into() } else { "NO, as the marks were made".into() };
    }
    let others = answer.explanations[1..].iter().filter(|it| it.in_time);
    let others: Vec<&str> = others.map(|it| wording.if_made(it.convention)).collect();
    let alike = wording.if_made(WayOfMarking::Alike);
    let fits = first.pins.iter().flat_map(|pin| &pin.wrong_seatings).any(|seating| seating.could_be);
    let said = match (answer.in_time, first.in_time, others.is_empty()) {
        (true, ..) if fits => {
            format!("yes as far as could be read, {alike}; a wrong seating fits as well, see below")
        }
        (true, ..) if answer.wrong_seatings == SeatingsKnown::TooMany => {
            format!("yes as far as could be read, {alike}; there are too many wrong seatings to look at")
        }
        (true, ..) => format!("yes, {alike}"),
        (false, true, _) => format!("NOT CERTAIN: {alike} it may be, but see the warning"),
        (false, false, true) => "NO, whichever way the marks were made".into(),
        (false, false, false) => format!("NO, {alike}; yes, {}", others.join(", or ")),
    };
    let is_unread = |pin: &usize| answer.read.iter().all(|read| read.readings[pin - 1].is_none());
    let unread: Vec<String> = (1..=pin_count(answer)).filter(is_unread).map(|pin| format!("pin {pin}")).collect();
    if unread.is_empty() { said } else { format!("{said}; nothing is known of {}", list(&unread)) }
}

/// Which readings cannot tell one seating from another, and which planets were not read.
fn coarse(answer: &FoundTiming, set: &Gearset) -> Vec<Fact> {
    let names = |planets: Vec<MemberId>| planets.into_iter().map(|id| member(set, id)).collect::<Vec<_>>();
    let coarse = answer.read.iter().filter(|read| read.too_coarse).map(|read| read.planet);
    let is_unread = |id: &MemberId| answer.read.iter().all(|read| read.planet != *id);
    let unread = answer.planets.iter().copied().filter(is_unread);
    let told = [
        (
            "too coarse",
            names(coarse.collect()),
            "these readings cannot tell one right seating from the next, or from what lies between",
        ),
        ("not read", names(unread.collect()), "may stand anywhere that fits what was read of the others"),
    ];
    let told = told.into_iter().filter(|(_, names, _)| !names.is_empty());
    told.map(|(label, names, end)| Fact::new(label, format!("{}: {end}", list(&names)))).collect()
}

/// What was found, by one convention, in a sentence.
fn what_it_means(answer: &FoundTiming, set: &Gearset, explanation: &Explanation) -> String {
    if explanation.same_as_first {
        return "comes to the same: a set that is in time has such marks on the same teeth".into();
    }
    if explanation.in_time {
        return "in time".into();
    }
    let wording = Wording::of(answer, set);
    let stands = |(pin, planet): (&PinFound, &PlanetFound)| {
        let teeth = wording.teeth(planet.gear).in_words(&planet.deviation);
        match answer.planet {
            Some(_) => format!("pin {} by {teeth}", pin.pin),
            None => format!("{} on pin {} by {teeth}", member(set, planet.planet), pin.pin),
        }
    };
    let out: Vec<String> = explanation.out().map(stands).collect();
    let doubt = match misfit(answer, set, explanation) {
        Some(doubt) => format!(". {doubt}"),
        None => String::new(),
    };
    format!("out against pin {}: {}{doubt}", explanation.reference, list(&out))
}

/// How many seatings are equally good, where that is to be said.
fn seatings_alike(answer: &FoundTiming, set: &Gearset) -> Option<String> {
    let count = &answer.equivalent_seatings;
    if answer.planet.is_some() {
        return (*count > 1.into()).then(|| format!("{count} on each pin, all equally good; the nearest is meant"));
    }
    let alone = |read: &PlanetRead| {
        let teeth = multiple(&read.right_again_after, tooth_count(set, read.gear));
        let word = if teeth > fraction(1, 1) { "teeth" } else { "tooth" };
        let gear = words::gear(set, read.gear);
        format!("{} can be turned alone by {} {word} of {gear}", member(set, read.planet), mixed(&teeth))
    };
    let alone: Vec<String> = answer.read.iter().map(alone).collect();
    Some(format!("{count} on each pin, all equally good; the nearest is meant: {} and be in time again", list(&alone)))
}

fn tooth_count(set: &Gearset, gear: GearId) -> i64 {
    set.gear(gear).tooth_count().get().into()
}
