//! The question `found`: what marks that were found mean, and what readings such as `2=-10` and their fellows mean.
//!
//! Every reading that cannot be understood is told, not only the first. What the readings mean
//! for a gearset is checked by the same rules as those of a description.

use std::collections::{BTreeMap, BTreeSet};

use super::options::options;
use super::values::{self, number, refused};
use super::words::{WordOption, word};
use super::{AskedAbout, NoAnswer, Question, Refusal, WhatIfOptions};
use crate::exact::{Fraction, Mistyped};
use crate::gearset::{
    DraftFound, DraftMark, DraftMarks, FoundRule, GearId, Gearset, MemberId, Place, Problem, ReadingUnit, Rule, Side,
    TypedReading,
};
use crate::timing::{FoundTiming, MadeMarks, NoFoundAnswer, found_as_made};

options! {
    /// The options of `found`.
    pub struct FoundOptions {
        ..what_if: WhatIfOptions;
        /// The side that you look from; needed with --pin
        seen: Option<Side> = word::<Side>, "SEEN" [value_parser = super::words::words::<Side>()];
        /// The planet whose marks were read, where there are several
        planet: Option<String> = values::name, "NAME";
        /// The gear of the planet on which teeth are counted; one for each planet that has several
        gear: Vec<String> = values::name, "NAME" excludes "along";
        /// The central gear along which teeth are counted, from the space that the marked tooth of
        /// each pin lies in to that of the next pin
        along: Option<String> = values::name, "NAME";
        /// The central gear along which the unmarked teeth were counted that lie between the marks of each pin and the
        /// next; as --along, with one tooth less each time
        unmarked: Option<String> = values::name, "NAME" excludes "along" "gear";
        /// How the marks were made, where that is known: on the same tooth of every planet, in place while the set was
        /// right, or for each pin on the tooth nearest the line to the centre
        made: Option<MadeMarks> = word::<MadeMarks>, "MADE" [value_parser = super::words::words::<MadeMarks>()];
        /// What a mark shows: teeth or degrees from the line to the centre, counter-clockwise
        /// positive, such as 1=0, 2=-10, 2="10 cw", 2="10 1/3 ccw" or 3=120deg; long:2=-3 where planets mesh with one
        /// another and those of several are read; takes the place of the readings in the description
        pin: Vec<String> = values::name, "[PLANET:]PIN=READING" needs "seen";
        /// How many degrees a reading in degrees may be out (0.5 where not given)
        within: Option<String> = values::name, "DEGREES" needs "pin";
    }
}

impl WordOption for Side {
    const THING: &'static str = "side";
    const WORDS: &'static [(&'static str, Self, &'static str)] =
        &[("input", Self::Input, "The input side"), ("output", Self::Output, "The output side")];
}

impl WordOption for MadeMarks {
    const THING: &'static str = "way to mark";
    const WORDS: &'static [(&'static str, Self, &'static str)] = &[
        ("same-tooth", Self::SameTooth, "The same tooth of every planet"),
        ("in-place", Self::InPlace, "In place, while the set was right"),
        ("each-pin", Self::EachPin, "For each pin its own tooth"),
    ];
}

impl Question for FoundOptions {
    type Answer = FoundTiming;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, FoundTiming), NoAnswer> {
        let set = with_readings(about.gearset(&self.what_if)?, self)?;
        let found = found_as_made(&set, self.made).map_err(|reason| not_judged(&reason))?;
        Ok((set, found))
    }
}

fn not_judged(reason: &NoFoundAnswer) -> NoAnswer {
    let hint = match reason {
        NoFoundAnswer::NothingFound => HOW_TO_READ,
        NoFoundAnswer::TurnsFreely { .. } => "compare the marks with the tooth list of toothmark timing",
        NoFoundAnswer::OtherGroup { .. } => "ask for one of them at a time, each by itself",
        NoFoundAnswer::TooMuchOpen => {
            "read the marks more exactly, in teeth or in degrees that are good to less than a tooth, or fewer of them"
        }
    };
    NoAnswer::new(reason, hint)
}

impl FoundOptions {
    /// The central gear along which was counted, and how many teeth more than were counted lie between two marks.
    fn counted_along(&self) -> Option<(&str, i64)> {
        let along = self.along.as_deref().map(|gear| (gear, 0));
        along.or_else(|| self.unmarked.as_deref().map(|gear| (gear, 1)))
    }
}

/// How readings are given.
const HOW_TO_READ: &str =
    "say what each mark shows, such as --seen input --gear d --pin 1=0 --pin 2=-10, or write found: (...)";

/// The most pins that any planet has, and a little more.
const MOST_PINS: usize = 1000;

/// The gearset with the readings of the options, where there are any, in place of its own.
fn with_readings(set: Gearset, options: &FoundOptions) -> Result<Gearset, NoAnswer> {
    if options.pin.is_empty() {
        return if set.found().is_some() {
            Ok(set)
        } else {
            Err(NoAnswer::new("the description says nothing of marks as they were found", HOW_TO_READ))
        };
    }
    let mut wrong = unknown_gears(&set, options);
    let mut read = by_planet(&set, options, &mut wrong)?.into_iter().map(|(planet, texts)| DraftMarks {
        planet: set.member(planet).name().into(),
        marks: marks(&set, planet, options, &texts, &mut wrong),
    });
    let first = read.next();
    let beside = read.collect();
    let within = options.within.as_deref().map(|text| {
        let read = number(text, "a number of degrees", "write degrees, such as --within 0.5", &["deg", "degrees", "°"]);
        read.map_err(|refusal| wrong.push(refusal))
    });
    let seen = options.seen.unwrap_or(Side::Input);
    let within = within.and_then(Result::ok).map(Into::into);
    let Some(DraftMarks { planet, marks }) = first.filter(|_| wrong.is_empty()) else {
        return Err(NoAnswer::Refused(wrong));
    };
    let mut draft = set.draft().clone();
    draft.found = Some(DraftFound { seen, planet, marks, beside, within });
    // The description was sound, so whatever is wrong now is wrong with the readings.
    Gearset::new(draft)
        .map_err(|problems| NoAnswer::Refused(problems.iter().map(|it| wrong_reading(&set, it)).collect()))
}

/// A broken rule with its hint.
fn wrong_reading(set: &Gearset, problem: &Problem) -> Refusal {
    if let Rule::Found(rule) = &problem.rule {
        return Refusal::new(problem.to_string(), hint(set, rule));
    }
    Refusal::new(problem.to_string(), problem.rule.hint())
}

/// What to write instead, with the pins and gears that there are.
fn hint(set: &Gearset, rule: &FoundRule) -> String {
    let of = |planet: &String| set.member_named(planet).unwrap_or(MemberId::CASE);
    if let FoundRule::NoSuchPin { pins, .. } = rule {
        format!("its pins are numbered from 1 to {pins}; give one reading a pin")
    } else if let FoundRule::NothingToCompare { planet } = rule {
        format!("read the marks of two of its {} pins or more", pins(set, of(planet)))
    } else if let FoundRule::GearOfAnother { planet, .. } = rule {
        let own = own_gears(set, of(planet)).join(", ");
        format!("its gears in mesh are {own}; count on one of these, or read the mark in degrees")
    } else if let FoundRule::NotAlong { planet, .. } = rule {
        format!("it meshes with {}; count along one of these", mates(set, of(planet)).join(", "))
    } else {
        rule.hint().to_owned()
    }
}

/// Gears of the options that there are not.
fn unknown_gears(set: &Gearset, options: &FoundOptions) -> Vec<Refusal> {
    let all = planets(set);
    let own = || gears_in_mesh(set, |gear| all.contains(&set.gear(gear).member())).join(", ");
    let mates = || all.iter().flat_map(|&planet| mates(set, planet)).collect::<BTreeSet<_>>();
    let unknown = |name: &&String| set.gear_named(name).is_none();
    let of_planets = options.gear.iter().filter(unknown).map(|name| {
        Refusal::new(format!("there is no gear {name:?}"), format!("the gears of planets in mesh are {}", own()))
    });
    let central = options.along.iter().chain(&options.unmarked).filter(unknown).map(|name| {
        let mates = mates().into_iter().collect::<Vec<_>>().join(", ");
        Refusal::new(format!("there is no gear {name:?}"), format!("the gears that planets mesh with are {mates}"))
    });
    of_planets.chain(central).collect()
}

/// The number of pins of a planet.
fn pins(set: &Gearset, planet: MemberId) -> usize {
    match set.member(planet).place() {
        Place::Pin { pins, .. } => pins.len(),
        Place::Case | Place::MainAxis => 0,
    }
}

/// The names of the gears of the main axis that a planet meshes with.
fn mates(set: &Gearset, planet: MemberId) -> Vec<&str> {
    let has = |gears: [&GearId; 2], member| gears.iter().any(|&&gear| set.gear(gear).member() == member);
    gears_in_mesh(set, |gear| {
        let on_main_axis = matches!(set.member(set.gear(gear).member()).place(), Place::MainAxis);
        let own = |gears: [&GearId; 2]| gears.contains(&&gear) && has(gears, planet);
        on_main_axis && set.meshes().iter().any(|mesh| own(mesh.gears().both()))
    })
}

/// A reading as typed.
#[derive(Clone, Copy)]
struct Typed<'a> {
    text: &'a str,
    /// The same without the planet.
    reading: &'a str,
}

/// The readings of each planet, in the order in which planets come up: `long:2=-3` names the planet, or the
/// beginning of its name where no other begins so.
fn by_planet<'a>(
    set: &Gearset,
    options: &'a FoundOptions,
    wrong: &mut Vec<Refusal>,
) -> Result<Vec<(MemberId, Vec<Typed<'a>>)>, NoAnswer> {
    let mut read: Vec<(MemberId, Vec<Typed<'_>>)> = Vec::new();
    for text in &options.pin {
        let (of, reading) = match text.rsplit_once('=').and_then(|(pin, _)| pin.rsplit_once(':')) {
            None => (planet(set, options)?, text.as_str()),
            Some((name, _)) => match named(set, name.trim()) {
                Ok(of) => (of, &text[name.len() + 1..]),
                Err(reading) => {
                    wrong.push(reading);
                    continue;
                }
            },
        };
        match read.iter_mut().find(|(planet, _)| *planet == of) {
            Some((_, texts)) => texts.push(Typed { text, reading }),
            None => read.push((of, vec![Typed { text, reading }])),
        }
    }
    match read.iter().find(|(planet, _)| pins(set, *planet) == 1) {
        Some((alone, _)) => Err(NoAnswer::Refused(vec![one_pin(set, *alone)])),
        None => Ok(read),
    }
}

/// A planet without a fellow cannot be out of time.
fn one_pin(set: &Gearset, planet: MemberId) -> Refusal {
    let others: Vec<MemberId> = planets(set).into_iter().filter(|&id| pins(set, id) > 1).collect();
    let names: Vec<&str> = others.iter().map(|&id| set.member(id).name()).collect();
    Refusal::new(
        format!("planet {:?} is on one pin, so its mark has no fellow to be compared with", set.member(planet).name()),
        if names.is_empty() {
            "a single planet is right wherever all of its gears mesh".to_owned()
        } else {
            format!("read the marks of {}", names.join(", "))
        },
    )
}

fn planets(set: &Gearset) -> Vec<MemberId> {
    set.member_ids().filter(|&id| matches!(set.member(id).place(), Place::Pin { .. })).collect()
}

fn named(set: &Gearset, name: &str) -> Result<MemberId, Refusal> {
    let name_of = |id: MemberId| set.member(id).name();
    let planets = planets(set);
    let exact = planets.iter().copied().find(|&id| name_of(id) == name);
    let beginning: Vec<MemberId> = planets.iter().copied().filter(|&id| name_of(id).starts_with(name)).collect();
    let only = if let [only] = beginning[..] { Some(only) } else { None };
    exact.or(only).ok_or_else(|| {
        let known: Vec<&str> = planets.iter().map(|&id| name_of(id)).collect();
        Refusal::new(
            format!("a reading is of planet {name:?}, and there is none, or more than one, whose name begins so"),
            format!(
                "the planets are {}; write the planet, :, the pin, = and the reading, such as {}:2=-10",
                known.join(", "),
                known.first().copied().unwrap_or("planet")
            ),
        )
    })
}

/// The planet whose marks they are: the one named, that of the description, or the only one.
fn planet(set: &Gearset, options: &FoundOptions) -> Result<MemberId, NoAnswer> {
    let planets = planets(set);
    let names = || planets.iter().map(|&id| set.member(id).name()).collect::<Vec<_>>();
    if let Some(name) = &options.planet {
        let named = planets.iter().find(|&&id| set.member(id).name() == *name);
        return named.copied().ok_or_else(|| Refusal::unknown("planet", name, &names()).into());
    }
    // A shaft on a fixed axis has no fellow to be out of time with.
    let fellows: Vec<&MemberId> = planets.iter().filter(|&&id| pins(set, id) > 1).collect();
    match (set.found(), fellows.as_slice(), planets.as_slice()) {
        (Some(found), ..) => Ok(found.planet),
        (None, &[&only], _) | (None, [], &[only]) => Ok(only),
        (None, _, []) => Err(Refusal::new(
            "no planets are described, so there are no marks to read",
            "marks are those of planets on the pins of a carrier: describe them first",
        )
        .into()),
        (None, ..) => Err(NoAnswer::new(
            "it is not said which planet the marks are on",
            format!("add --planet with one of {}", names().join(", ")),
        )),
    }
}

/// A mark a pin, as many as the planet has pins or as were read.
fn marks(
    set: &Gearset,
    planet: MemberId,
    options: &FoundOptions,
    texts: &[Typed<'_>],
    wrong: &mut Vec<Refusal>,
) -> Vec<DraftMark> {
    let mut read: BTreeMap<usize, (&str, DraftMark)> = BTreeMap::new();
    for &typed in texts {
        let text = typed.text;
        match one(set, planet, options, typed) {
            Err(reading) => wrong.push(reading),
            Ok((pin, mark)) => match read.get(&pin) {
                Some((before, other)) if *other != mark => wrong.push(Refusal::new(
                    format!("pin {pin} is read twice, as {before:?} and as {text:?}"),
                    "look at its mark again and give one of the two",
                )),
                _ => drop(read.insert(pin, (text, mark))),
            },
        }
    }
    let last = read.keys().next_back().copied().unwrap_or(0).max(pins(set, planet));
    (1..=last).map(|pin| read.remove(&pin).map_or(DraftMark::Unread, |(_, mark)| mark)).collect()
}

/// One reading, such as `2=-10`, `2=10 1/3 cw` or `3=120deg`.
fn one(
    set: &Gearset,
    planet: MemberId,
    options: &FoundOptions,
    Typed { text, reading }: Typed<'_>,
) -> Result<(usize, DraftMark), Refusal> {
    let (pin, value) = pin_and_value(reading).ok_or_else(|| not_a_reading(text, reading))?;
    let TypedReading { value: teeth, unit, has_sense, .. } =
        TypedReading::read(value).map_err(|fault| mistyped_reading(text, &fault))?;
    if unit == ReadingUnit::Degrees {
        return Ok((pin, DraftMark::degrees(teeth)));
    }
    if let Some((gear, more)) = options.counted_along() {
        let counted = Some(&teeth)
            .filter(|_| !has_sense)
            .and_then(whole)
            .and_then(|teeth| teeth.checked_add(more))
            .ok_or_else(|| not_whole(text))?;
        return Ok((pin, DraftMark::along(gear, counted)));
    }
    let own = |name: &&String| set.member(planet).gears().iter().any(|&gear| set.gear(gear).name() == **name);
    let gear = match (options.gear.iter().find(own), options.gear.as_slice()) {
        (Some(gear), _) => gear.clone(),
        // One that is of no planet that was read is a mistake, to be told as such.
        (None, [other]) if gear_is_of_none(set, options, other) => other.clone(),
        (None, _) => only_gear(set, planet).ok_or_else(|| which_gear(set, planet, text))?,
    };
    Ok((pin, DraftMark::teeth(gear, teeth)))
}

/// The number of a pin and what its mark shows: "2=-10", "pin 2=10 cw".
fn pin_and_value(reading: &str) -> Option<(usize, &str)> {
    let (pin, value) = reading.split_once('=')?;
    let pin = pin.trim();
    let pin = pin.strip_prefix("pin").unwrap_or(pin).trim().parse().ok();
    Some((pin.filter(|pin| (1..=MOST_PINS).contains(pin))?, value.trim()))
}

const A_READING: &str = "write the pin, = and teeth or degrees, such as 2=-10, 2=\"10 1/3 cw\" or 3=120deg";

/// Why a text is no reading; where only the sign between the pin and its reading is another, with the right one.
fn not_a_reading(text: &str, reading: &str) -> Refusal {
    let parted = reading.trim().split_once([':', ' ', '\t']).map(|(pin, value)| (pin.trim(), value.trim()));
    let meant = parted
        .filter(|(pin, value)| pin_and_value(&format!("{pin}={value}")).is_some() && TypedReading::read(value).is_ok());
    let hint = meant.map_or(A_READING.to_owned(), |(pin, value)| format!("write {}", typed_again(pin, value)));
    Refusal::new(format!("{text:?} is not a reading"), hint)
}

/// A reading as it is to be typed, in quotes where it has spaces.
fn typed_again(pin: &str, value: &str) -> String {
    if value.contains(' ') { format!("{pin}=\"{value}\"") } else { format!("{pin}={value}") }
}

fn mistyped_reading(text: &str, fault: &Mistyped) -> Refusal {
    if *fault == Mistyped::SignAndSense {
        let hint = "counter-clockwise is positive, so write 10 cw or -10 for one and 10 ccw or 10 for the other";
        return Refusal::new(format!("{text:?} has a sign and a sense, and can be meant both ways"), hint);
    }
    refused(text, "a reading", A_READING, fault)
}

fn whole(teeth: &Fraction) -> Option<i64> {
    teeth.is_integer().then(|| teeth.numer().to_string().parse().ok()).flatten()
}

fn not_whole(text: &str) -> Refusal {
    Refusal::new(
        format!("{text:?} is no whole number of teeth along the central gear"),
        "count the teeth from the space that one marked tooth lies in to that of the next, such as 2=9",
    )
}

/// The names of the gears in mesh that are asked for.
fn gears_in_mesh(set: &Gearset, wanted: impl Fn(GearId) -> bool) -> Vec<&str> {
    let in_mesh = |gear: &GearId| set.meshes().iter().any(|mesh| mesh.gears().contains(gear));
    set.gear_ids().filter(in_mesh).filter(|&gear| wanted(gear)).map(|gear| set.gear(gear).name()).collect()
}

fn own_gears(set: &Gearset, planet: MemberId) -> Vec<&str> {
    gears_in_mesh(set, |gear| set.gear(gear).member() == planet)
}

/// Whether a gear is of no planet, or the readings name no planets.
fn gear_is_of_none(set: &Gearset, options: &FoundOptions, gear: &str) -> bool {
    let of_planet = |&id: &MemberId| set.member(id).gears().iter().any(|&own| set.gear(own).name() == gear);
    !options.pin.iter().any(|text| text.contains(':')) || !planets(set).iter().any(of_planet)
}

fn only_gear(set: &Gearset, planet: MemberId) -> Option<String> {
    match own_gears(set, planet).as_slice() {
        [only] => Some((*only).to_owned()),
        _ => None,
    }
}

fn which_gear(set: &Gearset, planet: MemberId, text: &str) -> Refusal {
    let names = own_gears(set, planet);
    Refusal::new(
        format!("it is not said on which gear the teeth of {text:?} were counted"),
        format!("add --gear with one of {}, or write degrees, such as 2=-120deg", names.join(", ")),
    )
}
