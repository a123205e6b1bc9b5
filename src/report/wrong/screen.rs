//! Whether a planet can be put in wrong, in plain words, and the few seatings that matter.
//!
//! With the backlash known those matter that go in, by hand or with force; otherwise the nearest few, each with the
//! backlash from which on it goes in.

use crate::exact::{fraction, to_float};
use crate::gearset::{GearId, Gearset};
use crate::report::render::document::Table;
use crate::report::timing::WHATEVER_DROPS_IN;
use crate::report::words::{self, length, list, member, mesh, with_decimal};
use crate::timing::{ByHand, DialBacklash, GroupSeatings, SeatingsAnswer, WrongSeating, WrongSeatings};

/// So many seatings are shown where it is not known which go in.
const NEAREST: usize = 5;

/// So many seatings that go in are shown.
const MOST_THAT_GO_IN: usize = 8;

/// What to do where a wrong seating can hide.
const SET_EVERY_ONE: &str = "Set every planet by its marks or by the list of toothmark timing";

/// What to do, group by group, and what to beware of.
pub(super) fn statements(answer: &WrongSeatings, set: &Gearset) -> Vec<String> {
    if answer.groups.is_empty() {
        return vec!["No planets are described, so none can be put in wrong.".into()];
    }
    let mut said: Vec<String> = answer.groups.iter().map(|group| verdict(answer, set, group)).collect();
    let seatings = || answer.groups.iter().flat_map(|group| &group.wrong_seatings);
    said.extend(answer.dial_readings.iter().map(|reading| dial(set, reading)));
    if answer.groups.iter().any(|group| group.more_could_go_in && group.answer == SeatingsAnswer::Listed) {
        let more = "not all that could go in are listed: some mesh has more backlash than the error asked for";
        said.push(format!("Beware: {more}. Ask with --within 1/2."));
    }
    if seatings().any(|it| it.by_hand == Some(ByHand::Unnoticed)) {
        said.push(
            "Turn the whole set by hand before you close the case, though a seating that hides shows nothing.".into(),
        );
    }
    let is_open = |group: &GroupSeatings| group.wrong_could_be != Some(false);
    let mut open = answer.groups.iter().filter(|group| is_open(group)).flat_map(|group| &group.wrong_seatings);
    if open.any(|it| it.by_hand.is_none()) {
        let missing = if seatings().any(|it| it.goes_in_from_mm.is_none()) {
            "Pitch and backlash of the meshes are not all known: add them (pitch: Module(2), backlash"
        } else {
            "The backlash of the meshes is not known: add it (backlash"
        };
        said.push(format!(
            "{missing}: Millimetres(0.15)) or a dial reading (--reading, --radius and --gear); then only what goes in is \
             listed."
        ));
    }
    said
}

/// Whether the planets of a group can be put in wrong, and what follows; where there are several groups, of which.
fn verdict(answer: &WrongSeatings, set: &Gearset, group: &GroupSeatings) -> String {
    let said = of_group(answer, group);
    if answer.groups.len() < 2 {
        return said;
    }
    let names: Vec<String> = group.planets.iter().map(|&planet| member(set, planet)).collect();
    format!("Of {}: {}{}", list(&names), said[..1].to_lowercase(), &said[1..])
}

fn of_group(answer: &WrongSeatings, group: &GroupSeatings) -> String {
    match (group.answer, &group.wrong_seatings[..]) {
        (SeatingsAnswer::OnePin, _) => "Nothing to mind: one pin has no fellow to differ from.".into(),
        (SeatingsAnswer::DoesNotGoTogether, _) => {
            "No seating is right: these planets do not assemble at all, and toothmark timing says why.".into()
        }
        (SeatingsAnswer::TooMany, _) => format!(
            "{SET_EVERY_ONE}: there are too many wrong seatings to look at. Ask for fewer with a smaller --within."
        ),
        (SeatingsAnswer::Listed, []) if answer.within == fraction(1, 2) => {
            "Whatever drops in freely is right: there is no wrong seating.".into()
        }
        (SeatingsAnswer::Listed, []) => {
            format!("No wrong seating is within {} of a tooth; --within 1/2 lists all.", answer.within)
        }
        (SeatingsAnswer::Listed, [nearest, ..]) if group.wrong_could_be == Some(false) && nearest.by_hand.is_none() => {
            format!(
                "Nothing to mind: {WHATEVER_DROPS_IN}, for the nearest wrong seating is {} of a tooth out, more than the \
                 backlash of any gear.",
                nearest.largest_error
            )
        }
        (SeatingsAnswer::Listed, [nearest, ..]) => of_listed(answer, group, nearest),
    }
}

fn of_listed(answer: &WrongSeatings, group: &GroupSeatings, nearest: &WrongSeating) -> String {
    let seatings = &group.wrong_seatings;
    let count_of_all = seatings.len();
    let felt: Option<Vec<ByHand>> = seatings.iter().map(|seating| seating.by_hand).collect();
    let Some(felt) = felt else { return by_backlash(count_of_all, nearest) };
    let count = |it: ByHand| felt.iter().filter(|felt| **felt == it).count();
    let (unnoticed, forced) = (count(ByHand::Unnoticed), count(ByHand::WithForce));
    let ease = length(answer.ease_by_force_mm);
    match (unnoticed, forced) {
        (0, 0) if group.more_could_go_in => {
            format!("{SET_EVERY_ONE}: none of the wrong seatings looked at goes in, but others may.")
        }
        (0, 0) => {
            let from = nearest.goes_in_from_mm.map(|from| format!("; the nearest takes {} of backlash", length(from)));
            let looked_at = format!("{count_of_all} looked at{}", from.unwrap_or_default());
            format!("Whatever drops in freely is right: no wrong seating goes in, not even with force ({looked_at}).")
        }
        (0, _) => format!(
            "Never force a planet that nearly drops in: no wrong seating goes in freely, but {forced} of {count_of_all} \
             with force (an estimate: up to {ease} short of backlash)."
        ),
        _ => {
            let goes = if unnoticed == 1 { "goes" } else { "go" };
            let or_forced = match forced {
                0 => String::new(),
                _ => format!(", {forced} more with force (an estimate: up to {ease} short of backlash)"),
            };
            format!("{SET_EVERY_ONE}: {unnoticed} of {count_of_all} wrong seatings {goes} in UNNOTICED{or_forced}.")
        }
    }
}

/// Where it is not known what a hand notices.
fn by_backlash(count: usize, nearest: &WrongSeating) -> String {
    match nearest.goes_in_from_mm {
        Some(from) => format!(
            "Measure the backlash: from {} at every mesh on, {} goes in. With less, whatever drops in freely is right; \
             otherwise set every planet by its marks.",
            length(from),
            nearest_of(count)
        ),
        None => format!(
            "{SET_EVERY_ONE}: {} is out by {} of a tooth.",
            nearest_of(count),
            with_decimal(&nearest.largest_error)
        ),
    }
}

fn nearest_of(count: usize) -> String {
    if count == 1 { "the one wrong seating".into() } else { format!("the nearest of {count} wrong seatings") }
}

fn dial(set: &Gearset, reading: &DialBacklash) -> String {
    format!(
        "The dial on {}, {} at a radius of {}, makes {} of backlash at the pitch circle of {}.",
        words::gear(set, reading.gear),
        length(reading.reading_mm),
        length(reading.radius_mm),
        length(reading.backlash_mm),
        mesh(set, reading.mesh)
    )
}

/// The seatings that go in, or, where that is not known, the nearest; nothing where there are none.
pub(super) fn could_go_in(set: &Gearset, group: &GroupSeatings) -> Option<Table> {
    if group.wrong_could_be == Some(false) {
        return None;
    }
    let seatings = &group.wrong_seatings;
    let is_known = seatings.iter().all(|seating| seating.by_hand.is_some());
    let with_pitch = seatings.iter().all(|seating| seating.goes_in_from_mm.is_some());
    let matters = seatings.iter().filter(|seating| seating.could_be);
    let row = |seating: &WrongSeating| {
        let mut row = vec![format!("{} of a tooth", seating.largest_error)];
        row.extend((group.planets.len() == 1).then(|| teeth_over(set, seating)));
        row.push(turned(set, group, seating));
        row.extend(seating.goes_in_from_mm.filter(|_| with_pitch).map(length));
        row.extend(seating.by_hand.filter(|_| is_known).map(|by_hand| words::felt(by_hand).into()));
        row
    };
    let rows: Vec<Vec<String>> = matters.map(row).collect();
    let mut headings = vec!["out by at most"];
    headings.extend((group.planets.len() == 1).then_some("teeth over"));
    headings.push("turned, degrees");
    headings.extend(with_pitch.then_some("backlash from"));
    headings.extend(is_known.then_some("by hand"));
    let (what, most) = if is_known { ("Those that go in", MOST_THAT_GO_IN) } else { ("The nearest", NEAREST) };
    let names: Vec<String> = group.planets.iter().map(|&planet| member(set, planet)).collect();
    let caption = format!("{what}, {}; each also the other way round", list(&names));
    (!rows.is_empty()).then(|| Table::new(caption, &headings, rows).beginning(most))
}

/// The whole teeth by which each gear of a planet is over: `6 d, 7 l, 5 r`.
fn teeth_over(set: &Gearset, seating: &WrongSeating) -> String {
    let is_planet = |gear: &GearId| set.carrier_of(set.gear(*gear).member()).is_some();
    let on = seating.meshes.iter().filter_map(|it| {
        let own = set.mesh(it.mesh).gears().both().into_iter().copied().find(is_planet)?;
        Some(format!("{} {}", it.teeth, set.gear(own).name()))
    });
    let mut on: Vec<String> = on.collect();
    on.dedup();
    on.join(", ")
}

/// How far each planet is turned, to a tenth of a degree.
fn turned(set: &Gearset, group: &GroupSeatings, seating: &WrongSeating) -> String {
    let turned = seating.turns.iter().map(|it| {
        let degrees = format!("{:.1}", to_float(&it.turns) * 360.0);
        if group.planets.len() == 1 { degrees } else { format!("{degrees} {}", member(set, it.planet)) }
    });
    list(&turned.collect::<Vec<_>>())
}
