//! What to mark and how to go about it, in words.
//!
//! The marking convention first, then for each planet the gear to take, then the order of work for the tables of
//! teeth and spaces.

use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::report::render::document::Fact;
use crate::report::words::{self, degrees, list, member, short_list};
use crate::timing::{GearMarks, GroupMarking, MarkDirection, MarkPurpose, MarkingConvention};

pub(super) fn convention(group: &GroupMarking) -> String {
    let toward = marks_to_use(group).next().map_or("", |marks| toward(marks.direction));
    match group.convention {
        MarkingConvention::Refused => {
            "nothing to mark: these planets do not go together; toothmark timing says why, and what would go".into()
        }
        MarkingConvention::OnePin => "none needed: one pin has no fellow to agree with".into(),
        MarkingConvention::AnyTooth => {
            "none needed: the planets are alike all round, and whichever tooth drops in freely is right".into()
        }
        MarkingConvention::Radial => format!("radial: the same tooth of every planet, on every pin {toward}"),
        MarkingConvention::Parallel => {
            "parallel: the same tooth of every planet, all marks pointing the same way, as all to twelve o'clock; \
             radial marks do NOT serve"
                .into()
        }
        MarkingConvention::Individual => format!(
            "for each pin its own: neither radial nor parallel marks serve. Mark on each planet the tooth listed \
             below; on its own pin it stands {toward}, or within half a tooth of that"
        ),
    }
}

fn marks_to_use(group: &GroupMarking) -> impl Iterator<Item = &GearMarks> {
    group.marks.iter().filter(|marks| marks.purpose == MarkPurpose::Marks)
}

fn toward(direction: MarkDirection) -> &'static str {
    match direction {
        MarkDirection::Outward => "straight outward, to the ring",
        MarkDirection::SideGear => "to the same side gear",
        MarkDirection::Centre => "straight to the centre",
    }
}

/// Which gear of each planet to take, what "the same tooth" is, and what stays unmarked.
pub(super) fn how_to_mark(set: &Gearset, group: &GroupMarking) -> Vec<Fact> {
    if group.marks.is_empty() {
        return Vec::new();
    }
    let mut facts: Vec<Fact> = marks_to_use(group).map(|marks| gear_to_mark(set, group, marks)).collect();
    facts.push(Fact::new(
        "the same tooth",
        "stand the planets on end, all the same way up, turned so that the teeth of all their gears stand alike, and \
         take on each the tooth in the same place",
    ));
    if !group.any_tooth.is_empty() {
        let unmarked: Vec<String> = group.any_tooth.iter().map(|&planet| member(set, planet)).collect();
        facts.push(Fact::new("not marked", format!("{}: any tooth will do", list(&unmarked))));
    }
    facts.push(Fact::new("pins", places_of_pins(&group.spacings)));
    facts
}

fn gear_to_mark(set: &Gearset, group: &GroupMarking, marks: &GearMarks) -> Fact {
    let spaces = if group.convention == MarkingConvention::Parallel { "to set teeth into spaces also" } else { "and" };
    let with = marks.central_gear.map(|central| format!(", {spaces} spaces of {}", words::gear(set, central)));
    let checked = group.marks.iter().any(|other| other.planet == marks.planet && other.mesh != marks.mesh);
    let enough = if checked { "; the other marks listed are a check" } else { "" };
    let alike = match marks.alike_teeth {
        1 => String::new(),
        alike => format!("; {alike} of its teeth, evenly round it, are alike, and any of them will do"),
    };
    let gear = words::gear(set, marks.gear);
    let subject = format!("on {}", member(set, marks.planet));
    Fact::new(&subject, format!("teeth of {gear}{}{enough}{alike}", with.unwrap_or_default()))
}

fn places_of_pins(spacings: &[Fraction]) -> String {
    let place = |(place, pin): (&Fraction, usize)| format!("pin {pin} at {}", degrees(place));
    format!(
        "{} degrees from pin 1, counter-clockwise seen from the input side and clockwise seen from the output side",
        short_list(&spacings.iter().zip(1..).skip(1).map(place).collect::<Vec<_>>())
    )
}

/// What to do with the tables that follow.
pub(super) fn order_of_work(group: &GroupMarking) -> String {
    let first = first_planet(group);
    let work = match group.convention {
        MarkingConvention::Parallel => format!(
            "To set by direction this is all, and no central gear needs a mark. To set teeth into spaces instead, mark \
             each planet for its own pin: from the same tooth count on as listed, and mark the tooth at which you \
             arrive. {first} Tooth and space of a pin are off the line to the same side and by the same part of a tooth, \
             so they fit"
        ),
        MarkingConvention::Individual => format!(
            "Number the planets and their pins. Find the same tooth on each, count from it as listed, and mark the tooth \
             at which you arrive. {first} Then each marked tooth goes into the marked space of its pin: both are off the \
             line of centres to the same side and by the same part of a tooth"
        ),
        MarkingConvention::Refused
        | MarkingConvention::OnePin
        | MarkingConvention::AnyTooth
        | MarkingConvention::Radial => format!("{first} Then each marked tooth goes into a marked space"),
    };
    work + facing(group)
}

fn first_planet(group: &GroupMarking) -> &'static str {
    if is_bevel(group) {
        "Set the planet on pin 1 with its marked tooth straight to its side gear (for a further gear take the tooth that \
         comes nearest to that), and mark the space that it fills; count the other spaces from there."
    } else {
        "Set the planet on pin 1 with its marked tooth on the line of centres (for a further gear or planet take the \
         tooth that comes nearest to it), and mark the space that it fills; count the other spaces from there."
    }
}

/// That a planet between a sun and a ring, or between two side gears, has teeth marked on both sides.
fn facing(group: &GroupMarking) -> &'static str {
    match (group.marked_on_both_sides, is_bevel(group)) {
        (false, _) => "",
        (true, true) => ". Each side gear takes the tooth that faces it",
        (true, false) => ". Each central gear takes the tooth that faces it: in a ring the one that stands outward",
    }
}

pub(super) fn is_bevel(group: &GroupMarking) -> bool {
    group.marks.iter().any(|marks| marks.direction == MarkDirection::SideGear)
}
