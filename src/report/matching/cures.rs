//! What helps a set of measured clusters, and what to mind: for a person.
//!
//! Whether turning or exchanging clusters brings the set closer, what to do with one that binds in
//! every order, and for which central gears and pins the answer holds.

use super::seated::{Way, seated};
use super::sizes::side;
use super::{needed, thing};
use crate::gearset::Gearset;
use crate::report::render::document::Block;
use crate::report::words::{list, quoted};
use crate::timing::{FixedIndex, GroupMatching, MatchCure, Matching, PlayVerdict, Seated, SeatedPin};

/// Whether another order or another seating does better.
pub(super) fn cures(set: &Gearset, group: &GroupMatching) -> Vec<Block> {
    let mut blocks: Vec<Block> = turning(set, group).into_iter().collect();
    match &group.exchanged {
        Some(exchanged) => {
            blocks.push(exchanging(exchanged));
            blocks.extend(seated(set, group, exchanged, Way::Exchanged));
        }
        None if group.all_looked_at => blocks.push(nothing_better(set, group)),
        None => {}
    }
    if !group.all_looked_at {
        blocks
            .push(Block::Note("there are too many orders and seatings to look at all; a better one may exist".into()));
    }
    blocks
}

fn turning(set: &Gearset, group: &GroupMatching) -> Option<Block> {
    let (listed, as_found) = (group.listed.as_ref()?, group.as_found.as_ref()?);
    group.reseated.then(|| {
        Block::Paragraph(format!(
            "Turning helps: turned as toothmark timing lists for equal {}s, the set matches within {}; turned as \
             listed here, within {}.",
            thing(set, group),
            needed(&listed.needs),
            needed(&as_found.needs)
        ))
    })
}

fn exchanging(exchanged: &Seated) -> Block {
    let pin = |pin: &SeatedPin| format!("{} on pin {}", quoted(&pin.cluster), pin.pin);
    let order: Vec<String> = exchanged.pins.iter().map(pin).collect();
    let verdict = exchanged.verdict.map(|it| format!(", {} the backlash", verdict_of_set(it)));
    Block::Paragraph(format!(
        "Exchanging helps: with {} the set matches within {}{}.",
        list(&order),
        needed(&exchanged.needs),
        verdict.unwrap_or_default()
    ))
}

fn verdict_of_set(verdict: PlayVerdict) -> &'static str {
    match verdict {
        PlayVerdict::Within => "within",
        PlayVerdict::Beyond => "still beyond",
        PlayVerdict::CannotBeTold => "and it cannot be told whether that is within",
    }
}

fn nothing_better(set: &Gearset, group: &GroupMatching) -> Block {
    let listed = group.listed.is_some() && group.as_found.is_some() && !group.reseated;
    let seating = if listed { " and no other seating" } else { "" };
    let order = if group.spares.is_empty() { "order" } else { "choice or order" };
    Block::Paragraph(format!("No other {order} of the {}s{seating} fits better.", thing(set, group)))
}

/// What would help a set that binds, as an order to carry out.
pub(super) fn cure(set: &Gearset, group: &GroupMatching, cure: MatchCure) -> String {
    let thing = thing(set, group);
    match cure {
        MatchCure::PinCircle => {
            let pins: Vec<String> = group.pins_without_backlash.iter().map(ToString::to_string).collect();
            let pins = if pins.len() == 1 { format!("pin {}", pins[0]) } else { format!("pins {}", list(&pins)) };
            format!("Have {pins} set on the pin circle, for no {thing} has backlash there.")
        }
        MatchCure::FixedGears => {
            format!("Have the {thing}s, or the central gears that are fixed to one another, set to the same index.")
        }
        MatchCure::Assembly => {
            format!("Even equal {thing}s do not assemble on these pins: toothmark timing says why, and what would.")
        }
        MatchCure::OddCluster => {
            let odd = group.differences.iter().filter(|it| it.told_apart).map(|it| quoted(&it.cluster));
            match &odd.collect::<Vec<_>>()[..] {
                [odd] => {
                    format!("Replace {odd} by a {thing} with the index of the others, or have its gears set anew.")
                }
                _ => format!(
                    "Replace the odd {thing}s by ones with the index of the others, or have their gears set anew."
                ),
            }
        }
        MatchCure::PinPlaces => {
            let off = group.pins_off.iter().zip(1..).filter(|(pin, _)| pin.degrees.abs() > pin.uncertainty_degrees);
            let off =
                off.map(|(pin, number)| format!("pin {number} {:.3} degrees {}", pin.degrees.abs(), side(pin.degrees)));
            format!(
                "Have the pins set in their places: against pin 1, seen from the input side, off are {}.",
                list(&off.collect::<Vec<_>>())
            )
        }
    }
}

pub(super) fn cautions(answer: &Matching) -> [Block; 3] {
    let is_felt =
        |group: &GroupMatching| group.has_fixed_gears(FixedIndex::Counts) || group.has_fixed_gears(FixedIndex::Unknown);
    let common = if answer.groups.iter().any(is_felt) {
        "a common difference cancels only at central gears that turn freely while fitting: at gears that are fixed to \
         one another it is felt. Whole teeth of a gear are no difference. Pins that were not measured are taken to \
         stand where they should"
    } else {
        "a common difference cancels: only what sets one cluster apart from the others is felt, and whole teeth of a \
         gear are no difference. It is told for central gears that turn freely while fitting; pins that were not \
         measured are taken to stand where they should"
    };
    [
        common,
        "measure on sound flanks, and always on the same one of each tooth; worn teeth and loose rivets make readings \
         that hold for one day",
        "do not force a planet that nearly drops in, and do not run a unit that binds at one place of every turn",
    ]
    .map(|caution| Block::Note(caution.into()))
}
