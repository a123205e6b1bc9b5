//! The answer on timing in plain words: whether planets assemble, how to set them, what to beware of.
//!
//! Of several groups of planets those that are told the same are told together.

use super::{refused, room};
use crate::exact::{Fraction, decimal};
use crate::gearset::{Gearset, Length};
use crate::report::words::{self, length, list, mesh, told_together, with_decimal};
use crate::timing::{ByHand, Closure, GroupTiming, Loop, MarginSearch, MarkingConvention, MeshError, PinOrder};

/// What is said of planets that are alike all round, or have no fellow.
pub(in crate::report) const WHATEVER_DROPS_IN: &str = "whichever tooth drops in freely is right";

/// What is told of all groups: the verdict, what to do, what to beware of.
pub(super) fn statements(set: &Gearset, groups: &[GroupTiming]) -> Vec<String> {
    let mut statements = match groups {
        [only] => of_group(set, only),
        several => of_several(set, several),
    };
    statements.extend(closing(groups));
    statements
}

/// What is told of one group by itself.
pub(in crate::report) fn of_group(set: &Gearset, group: &GroupTiming) -> Vec<String> {
    let mut lines = vec![format!("{}.", verdict(set, group))];
    lines.extend(how_to_set(set, group));
    lines.extend(cautions(set, group));
    lines
}

/// The common verdict, then what is told of each group behind its name; groups told the same in one line.
fn of_several(set: &Gearset, groups: &[GroupTiming]) -> Vec<String> {
    let lines = |group: &GroupTiming| {
        let first = obstacle(set, group).unwrap_or_else(|| instruction(set, group));
        let first = [format!("{first}.")].into_iter();
        (words::planets(set, &group.planets), first.chain(how_to_set(set, group)).chain(cautions(set, group)).collect())
    };
    let told = told_together(groups.iter().map(lines));
    [common_verdict(set, groups)].into_iter().chain(told).collect()
}

fn common_verdict(set: &Gearset, groups: &[GroupTiming]) -> String {
    let names = |groups: Vec<&GroupTiming>| {
        list(&groups.iter().map(|group| words::planets(set, &group.planets)).collect::<Vec<_>>())
    };
    let refused: Vec<&GroupTiming> = groups.iter().filter(|group| !group.assembles).collect();
    if !refused.is_empty() {
        return format!("Does NOT assemble: {}.", names(refused));
    }
    if groups.iter().any(is_open) {
        return "Each set of planets assembles by itself; whether all go in side by side is not known.".into();
    }
    format!("All {} sets of planets assemble.", groups.len())
}

/// Whether the planets assemble and how they are set.
fn verdict(set: &Gearset, group: &GroupTiming) -> String {
    match obstacle(set, group) {
        Some(obstacle) => format!("Does NOT assemble: {obstacle}"),
        None if is_open(group) => format!("Assembles by itself: {}", instruction(set, group)),
        None => format!("Assembles: {}", instruction(set, group)),
    }
}

/// What keeps the planets of a group out: a pin, or those of another kind.
fn obstacle(set: &Gearset, group: &GroupTiming) -> Option<String> {
    if !group.pins_assemble() {
        return Some(refusal(set, group));
    }
    let missed = group.loops.iter().find(|closed| closed.closes == Closure::Misses)?;
    Some(format!(
        "these cannot all mesh, however the first planets are turned: {}; the worst of them is out by {} of a tooth or \
         more. Pins of one kind have to stand elsewhere against those of the other, or tooth counts have to change",
        meshes(set, missed),
        missed.misfit.as_ref().map(with_decimal).unwrap_or_default()
    ))
}

/// That a pin is refused, and by how much at its closest.
fn refusal(set: &Gearset, group: &GroupTiming) -> String {
    let refused: Vec<String> =
        group.pins.iter().filter(|pin| pin.turns.is_none()).map(|pin| pin.pin.to_string()).collect();
    let pins = if refused.len() == 1 { "pin" } else { "pins" };
    let by = group.closest.as_ref().map(|closest| {
        let out_by = closest.seating.mm.map(|arc| format!(", {}", length(arc))).unwrap_or_default();
        let teeth = part_of_tooth(&closest.seating.teeth);
        // What all pins together need is told by itself, where it is known.
        let backlash =
            if group.pushed_together.is_some() { String::new() } else { backlash(set, &closest.seating.errors) };
        format!("; turned as well as can be, pin {} is out by {teeth} of a tooth{out_by}{backlash}", closest.pin)
    });
    format!("with pin 1 set, nothing fits on {pins} {}{}", list(&refused), by.unwrap_or_default())
}

/// The backlash that an error stands against, where it is given for every mesh.
fn backlash(set: &Gearset, errors: &[MeshError]) -> String {
    let given: Option<Vec<f64>> =
        errors.iter().map(|error| set.mesh(error.mesh).backlash().map(Length::millimetres)).collect();
    let Some(given) = given.filter(|given| !given.is_empty()) else { return String::new() };
    let [least, largest] =
        [given.iter().copied().fold(f64::INFINITY, f64::min), given.iter().copied().fold(0.0, f64::max)];
    if least < largest {
        format!(", against a backlash of {} to {}", length(least), length(largest))
    } else {
        format!(", against a backlash of {}", length(least))
    }
}

/// How the planets of a group that assembles are set.
fn instruction(set: &Gearset, group: &GroupTiming) -> String {
    let bevel = super::is_bevel(set, group);
    match (group.convention, bevel, group.parallel_marks) {
        (MarkingConvention::Refused, ..) => "nothing can be set".into(),
        (MarkingConvention::OnePin, ..) if is_open(group) => "one pin has no fellow of its kind to agree with".into(),
        (MarkingConvention::OnePin, ..) => {
            format!("one pin has no fellow to agree with, and {WHATEVER_DROPS_IN}")
        }
        (MarkingConvention::AnyTooth, ..) if group.wrong_could_be == Some(false) => {
            format!("{WHATEVER_DROPS_IN}, and no planet needs a mark")
        }
        (MarkingConvention::AnyTooth, ..) => "any tooth of a planet will do, and none needs a mark".into(),
        (MarkingConvention::Radial, true, _) => {
            "set the marks of all planets along the main axis, all to the input side or all to the output side".into()
        }
        (MarkingConvention::Radial, false, true) => {
            "set the marks of all planets straight outward from the centre, or all to the centre (radial marks); all to \
             twelve o'clock (parallel marks) serves as well"
                .into()
        }
        (MarkingConvention::Radial, false, false) => {
            "set the marks of all planets straight outward from the centre, or all to the centre (radial marks); \
             parallel marks, all to twelve o'clock, do NOT serve"
                .into()
        }
        (MarkingConvention::Parallel, ..) => {
            "set the marks of all planets the same way, say all to twelve o'clock, seen from either side (parallel \
             marks); radial marks, all to the centre, do NOT serve"
                .into()
        }
        (MarkingConvention::Individual, true, _) => {
            "set every planet as listed; marks that all point to the same side do NOT serve".into()
        }
        (MarkingConvention::Individual, false, _) => {
            "set every planet as listed; neither radial nor parallel marks serve".into()
        }
    }
}

/// What the mark is, and how the list is read.
fn how_to_set(set: &Gearset, group: &GroupTiming) -> Vec<String> {
    match group.convention {
        MarkingConvention::Radial | MarkingConvention::Parallel => {
            vec!["The mark is the same tooth of every planet; toothmark marks tells how to find it.".into()]
        }
        MarkingConvention::Individual => {
            let count = if super::is_bevel(set, group) {
                "On pin 1 the mark points along the main axis, to the input side. On each other pin count from the tooth that \
                 stands nearest to there round to the mark, seen from the outer end of the pin."
            } else {
                "On pin 1 the mark points straight to the centre. On each other pin count from the tooth nearest to the line to \
                 the centre round to the mark: so many teeth, that way round."
            };
            let angle = group.settings.iter().any(|setting| setting.counted.is_none()).then(|| {
                "Where no gear is named the line falls exactly between two teeth of every gear: set the mark by its degrees."
                    .to_owned()
            });
            let mark = "The mark is the same tooth of every planet: stand them on end, the teeth of all their gears alike. \
                        Marks of each pin's own, as toothmark marks tells them, need no list.";
            [mark.to_owned(), count.to_owned()].into_iter().chain(angle).chain([pin_order(group.pin_order)]).collect()
        }
        MarkingConvention::Refused | MarkingConvention::OnePin | MarkingConvention::AnyTooth => Vec::new(),
    }
}

/// Which way round the pins are numbered, from both sides.
pub(in crate::report) fn pin_order(order: PinOrder) -> String {
    match order {
        PinOrder::CounterClockwise => {
            "Pins are numbered counter-clockwise (ccw) seen from the input side, clockwise seen from the output side."
                .into()
        }
        PinOrder::Clockwise => {
            "Pins are numbered clockwise seen from the input side, counter-clockwise (ccw) seen from the output side."
                .into()
        }
        PinOrder::Mixed => {
            "Pins are not numbered one after the other: mind the place of each, counter-clockwise (ccw).".into()
        }
    }
}

/// What to beware of: wrong seatings, other planets, tips.
fn cautions(set: &Gearset, group: &GroupTiming) -> Vec<String> {
    let open = group.loops.iter().filter(|closed| closed.closes == Closure::DependsOnIndex);
    let open = open.map(|closed| {
        format!(
            "Beside the other planets it is open: {} close a loop, and whether it closes depends on how the gears of one \
             body stand against each other (their index) or on an angle between planets, which are not given. Try it \
             with one planet of each kind first.",
            meshes(set, closed)
        )
    });
    let pushed = refused::pushed_together(group);
    wrong_seating(group).into_iter().chain(pushed).chain(open).chain(room::cautions(set, group)).collect()
}

/// Whether a wrong seating goes in; nothing where that has been said.
fn wrong_seating(group: &GroupTiming) -> Option<String> {
    let planet = if group.planets.len() == 1 { "a planet" } else { "the planets of a pin" };
    let goes = if group.planets.len() == 1 { "goes" } else { "go" };
    if group.margin_search == MarginSearch::GivenUp {
        return Some(format!(
            "Whether {planet} can be put in wrong is not known: there are too many seatings to look at."
        ));
    }
    let margin = part_of_tooth(group.margin.as_ref().filter(|_| group.assembles)?);
    if group.wrong_could_be == Some(false) && group.convention == MarkingConvention::AnyTooth {
        return None;
    }
    Some(match (group.by_hand, group.least_backlash_mm) {
        (Some(ByHand::Unnoticed), _) => {
            format!(
                "Beware: with the backlash given {planet} {goes} in WRONG without anyone noticing: trust the marks."
            )
        }
        (Some(ByHand::WithForce), _) => format!(
            "Beware: with the backlash given {planet} can be forced in wrong, and the set is then tight all round."
        ),
        (Some(ByHand::WillNotEnter), _) => {
            "With the backlash given no wrong seating goes in: what drops in freely is right.".into()
        }
        (None, _) if group.wrong_could_be == Some(false) => {
            format!("No wrong seating goes in, the nearest is {margin} of a tooth out: {WHATEVER_DROPS_IN}.")
        }
        (None, Some(arc)) => format!(
            "Beware: with a backlash of {} or more {planet} {goes} in WRONG without anyone noticing.",
            length(arc)
        ),
        (None, None) => format!(
            "Beware: the nearest wrong seating is {margin} of a tooth out; with that much backlash {planet} {goes} in \
             WRONG without anyone noticing."
        ),
    })
}

/// A part of a tooth as a bench can use it.
fn part_of_tooth(part: &Fraction) -> String {
    const DIGITS: u32 = 3;
    decimal(part, DIGITS)
}

/// What to do last, wherever planets are put on several pins.
fn closing(groups: &[GroupTiming]) -> Option<String> {
    let assembled = groups.iter().any(|group| group.assembles && group.pin_count > 1);
    assembled.then(|| "Never force a planet that nearly drops in; turn the set by hand before closing.".to_owned())
}

fn is_open(group: &GroupTiming) -> bool {
    group.loops.iter().any(|closed| closed.closes == Closure::DependsOnIndex)
}

fn meshes(set: &Gearset, closed: &Loop) -> String {
    list(&closed.meshes.iter().map(|&id| mesh(set, id)).collect::<Vec<_>>())
}
