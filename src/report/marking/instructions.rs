//! What to mark and how to go about it, in words, in the order of the work.
//!
//! The head of the answer says which tooth of which gear is marked and where it goes; what further marks may be made as a
//! check stands with their tables.

use crate::exact::Fraction;
use crate::gearset::Gearset;
use crate::report::render::document::Fact;
use crate::report::timing::WHATEVER_DROPS_IN;
use crate::report::words::{self, degrees, list, member, short_list, told_together};
use crate::timing::{Closure, GearMarks, GroupMarking, MarkDirection, MarkPurpose, Marking, MarkingConvention};

/// What is told of all groups: what to mark, where it goes, what to beware of.
pub(super) fn statements(set: &Gearset, answer: &Marking) -> Vec<String> {
    let mut statements: Vec<String> = match &answer.groups[..] {
        [only] => {
            let nothing = unmarked(only).map(|reason| format!("Nothing to mark: {reason}."));
            nothing.into_iter().chain(of_group(set, only)).collect()
        }
        several => {
            let lines = |group: &GroupMarking| {
                let reason = unmarked(group).map(|reason| format!("{reason}."));
                (words::planets(set, &group.planets), reason.into_iter().chain(of_group(set, group)).collect())
            };
            [what_is_needed(set, several)].into_iter().chain(told_together(several.iter().map(lines))).collect()
        }
    };
    if !answer.shared_central_gears.is_empty() {
        let shared: Vec<String> = answer.shared_central_gears.iter().map(|&gear| words::gear(set, gear)).collect();
        statements.push(format!("Take another colour for each set of marks on {}.", list(&shared)));
    }
    if answer.groups.iter().any(|group| group.convention.has_marks()) {
        statements.push(
            "Cross out old marks. Mark with paint, turn the set by hand, and only then mark for good: on the end face of a \
             tooth, never on a flank or in a root."
                .into(),
        );
    }
    if answer.groups.iter().any(|group| group.pins > 1 && group.convention != MarkingConvention::Refused) {
        statements.push("Never force a planet that nearly drops in, whatever its marks say.".into());
    }
    statements
}

/// Of several groups those that have to be marked.
fn what_is_needed(set: &Gearset, groups: &[GroupMarking]) -> String {
    let marked = groups.iter().filter(|group| group.convention.has_marks());
    let marked: Vec<String> = marked.map(|group| words::planets(set, &group.planets)).collect();
    if marked.is_empty() {
        format!("Nothing to mark on any of the {} sets of planets.", groups.len())
    } else {
        format!("To be marked: {}.", list(&marked))
    }
}

/// Why the planets of a group have no marks.
fn unmarked(group: &GroupMarking) -> Option<String> {
    match group.convention {
        MarkingConvention::Refused => {
            Some("these planets do not assemble; toothmark timing says why, and what would".into())
        }
        MarkingConvention::OnePin => Some("one pin has no fellow to agree with".into()),
        MarkingConvention::AnyTooth => Some(format!("the planets are alike all round, and {WHATEVER_DROPS_IN}")),
        MarkingConvention::Radial | MarkingConvention::Parallel | MarkingConvention::Individual => None,
    }
}

/// The work on a group that has marks, and what to beware of.
fn of_group(set: &Gearset, group: &GroupMarking) -> Vec<String> {
    let mut lines = match group.convention {
        MarkingConvention::Refused => return Vec::new(),
        MarkingConvention::OnePin | MarkingConvention::AnyTooth => Vec::new(),
        MarkingConvention::Radial => work_of_radial_marks(set, group),
        MarkingConvention::Parallel => work_of_parallel_marks(set, group),
        MarkingConvention::Individual => work_of_marks_for_each_pin(set, group),
    };
    lines.extend(limits(set, group));
    lines
}

fn work_of_radial_marks(set: &Gearset, group: &GroupMarking) -> Vec<String> {
    let mut lines = same_tooth(set, group);
    lines.push(format!("Put every planet in with its mark {} (radial marks).", toward_of(group)));
    if has_spaces(group) {
        lines.push(
            "Mark the spaces as well that the teeth go into: that on pin 1, and the others from there as listed."
                .into(),
        );
    }
    lines
}

fn work_of_parallel_marks(set: &Gearset, group: &GroupMarking) -> Vec<String> {
    let mut lines = same_tooth(set, group);
    lines.push(
        "Put every planet in with its mark pointing the same way, say to twelve o'clock (parallel marks); they stay \
         parallel however far the set is turned. No central gear needs a mark. Marks to the centre do NOT serve."
            .into(),
    );
    lines
}

fn work_of_marks_for_each_pin(set: &Gearset, group: &GroupMarking) -> Vec<String> {
    let mut lines = same_tooth(set, group);
    lines.push(
        "From there count on as listed, for each pin its own, and mark the tooth at which you arrive; number planet and \
         pin. Neither radial nor parallel marks serve."
            .into(),
    );
    if has_spaces(group) {
        lines.push(format!(
            "Put planet 1 on pin 1, its marked tooth {} or nearest to that, and mark the space that it fills; count the \
             others from there as listed. Then each marked tooth goes into the space of its pin.",
            toward_of(group)
        ));
    } else {
        lines
            .push(format!("Each marked tooth stands {} on its pin, or within half a tooth of that.", toward_of(group)));
    }
    lines.push(format!("Pins: {}.", places_of_pins(&group.spacings)));
    lines
}

/// Whether the marked teeth go into spaces of central gears.
fn has_spaces(group: &GroupMarking) -> bool {
    marks_to_use(group).any(|marks| marks.central_gear.is_some())
}

/// Which tooth of which gear is the same on every planet.
fn same_tooth(set: &Gearset, group: &GroupMarking) -> Vec<String> {
    let mark = |marks: &GearMarks| {
        let alike = match marks.alike_teeth {
            1 => String::new(),
            alike => format!(" (any of {alike} that are alike, evenly round it)"),
        };
        format!("a tooth of {} on every {}{alike}", words::gear(set, marks.gear), member(set, marks.planet))
    };
    let verb = if group.convention == MarkingConvention::Individual { "Find" } else { "Mark" };
    let marks: Vec<String> = marks_to_use(group).map(mark).collect();
    let mut lines = vec![
        format!("{verb} {}, the same on each.", list(&marks)),
        "The same tooth: stand the planets on end, all the same way up, the teeth of all their gears alike, and take on \
         each the tooth in the same place."
            .to_owned(),
    ];
    if !group.any_tooth.is_empty() {
        lines.push(format!("No mark on {}: any tooth will do.", words::planets(set, &group.any_tooth)));
    }
    lines
}

fn toward_of(group: &GroupMarking) -> &'static str {
    marks_to_use(group).next().map_or("", |marks| toward(marks.direction))
}

/// What the marks do not tell.
fn limits(set: &Gearset, group: &GroupMarking) -> Vec<String> {
    let solid = group.solid.iter().map(|gears| {
        let names: Vec<String> = gears.iter().map(|&gear| words::gear(set, gear)).collect();
        format!(
            "{} are solid with one another and cannot be turned apart: seek first the tooth at which the planet on pin 1 \
             goes in, and count and set everything from there.",
            list(&names)
        )
    });
    let open = group.loops.iter().any(|closed| closed.closes == Closure::DependsOnIndex).then(|| {
        "Other planets share central gears with these, and whether all go in side by side is not told by the \
         description. Try it with one planet of each kind before anything is marked."
            .to_owned()
    });
    solid.chain(open).collect()
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

/// Which gear of each planet to take, and which marks are a check.
pub(super) fn gears_to_mark(set: &Gearset, group: &GroupMarking) -> Vec<Fact> {
    let gears = marks_to_use(group).map(|marks| gear_to_mark(set, group, marks));
    gears.chain([Fact::new("pins", places_of_pins(&group.spacings))]).collect()
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

/// What to do with the marks of every gear.
pub(super) fn order_of_work(group: &GroupMarking) -> String {
    let line = if is_bevel(group) { "straight to its side gear" } else { "on the line of centres" };
    let nearest = format!(
        "the planet on pin 1 stands with its marked tooth {line}, for a further gear or planet with the tooth that comes \
         nearest to it"
    );
    let fit =
        "Tooth and space of a pin are off the line to the same side and by the same part of a tooth, so they fit.";
    let work = if group.convention == MarkingConvention::Parallel {
        format!(
            "To set teeth into spaces instead of by direction, mark each planet for its own pin: from the same tooth count \
             on as listed, and mark the tooth at which you arrive. Count the spaces while {nearest}. {fit} Do not mix the \
             two ways: marks for each pin belong to that pin, parallel marks to any; what is said below of marks that meet \
             is said of marks for each pin."
        )
    } else {
        format!(
            "Every mark that could be made; those on further gears are a check. Count the spaces while {nearest}. {fit}"
        )
    };
    work + facing(group)
}

/// That a planet between a sun and a ring, or between two side gears, has teeth marked on both sides.
fn facing(group: &GroupMarking) -> &'static str {
    match (group.marked_on_both_sides, is_bevel(group)) {
        (false, _) => "",
        (true, true) => " Each side gear takes the tooth that faces it.",
        (true, false) => " Each central gear takes the tooth that faces it: in a ring the one that stands outward.",
    }
}

pub(super) fn is_bevel(group: &GroupMarking) -> bool {
    group.marks.iter().any(|marks| marks.direction == MarkDirection::SideGear)
}
