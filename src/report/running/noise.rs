//! What can make a noise, for a person.

use super::{bearing, nothing_fits};
use crate::gearset::{Gearset, Place};
use crate::report::render::document::{Block, Table};
use crate::report::words::{list, member, mesh, quoted};
use crate::running::{Finding, Judgement, Running, Suspect};

/// Every suspect with what is to be held of it, where a noise was asked about.
pub(super) fn noise(answer: &Running, set: &Gearset) -> Vec<Block> {
    if answer.noise.is_none() {
        return Vec::new();
    }
    let (heard, not_heard) = (states(&answer.heard), states(&answer.not_heard));
    let mut blocks = vec![
        Block::Heading(format!("Noise heard in {heard}, not heard in {not_heard}")),
        Block::Table(suspects(answer, set)),
    ];
    if nothing_fits(answer) {
        blocks.push(Block::Warning(NOTHING.into()));
    }
    blocks.push(Block::Note(
        "this rules out what cannot be and proves nothing: a noise of the axle is easily taken for one of the \
         gearbox. Listen with the wheels chocked and the driven ones off the ground on stands"
            .into(),
    ));
    blocks
}

/// Where to look when no part fits.
const NOTHING: &str = "nothing in the gearset fits: look at what is joined to it, at the axle and at the engine, and \
                       listen again in each state";

fn states(names: &[String]) -> String {
    list(&names.iter().map(|name| quoted(name)).collect::<Vec<_>>())
}

/// The suspects, the likeliest first.
pub(super) fn suspects(answer: &Running, set: &Gearset) -> Table {
    let row = |found: &Finding| vec![suspect(set, found.suspect), judgement(answer, found)];
    Table::new(
        "What can make it, the likeliest first",
        &["part", "what is to be held of it"],
        answer.noise.iter().flatten().map(row).collect(),
    )
}

/// What is likeliest to make the noise, where one was asked about.
pub(super) fn verdict(answer: &Running, set: &Gearset) -> Option<String> {
    let noise = answer.noise.as_ref()?;
    let heard = states(&answer.heard);
    if nothing_fits(answer) {
        return Some(format!("Heard in {heard}: {NOTHING}."));
    }
    let fitting = noise.iter().filter(|found| found.judgement != Judgement::Out).count();
    let likeliest = noise.first().map(|found| suspect(set, found.suspect))?;
    Some(format!(
        "Heard in {heard}: look first at the {likeliest}; of {} parts {fitting} can make it. This rules out and proves nothing.",
        noise.len()
    ))
}

fn suspect(set: &Gearset, suspect: Suspect) -> String {
    match suspect {
        Suspect::Mesh(id) => format!("mesh of {}", mesh(set, id)),
        Suspect::Bearing(bodies) => format!("bearing of {}", bearing(set, bodies)),
        Suspect::Member([id]) if *set.member(id).place() == Place::MainAxis => {
            format!("{}, turning in the case", member(set, id))
        }
        Suspect::Member([id]) => format!("{}, touching what is fixed", member(set, id)),
    }
}

fn judgement(answer: &Running, found: &Finding) -> String {
    let (loaded, heard) = (found.loaded_where_heard, answer.heard.len());
    match found.judgement {
        Judgement::Fits if loaded > 0 && loaded == heard => "fits; loaded wherever it is heard".into(),
        Judgement::Fits if loaded > 0 => format!("fits; loaded in {loaded} of {heard} states in which it is heard"),
        Judgement::Fits => "fits".into(),
        Judgement::FitsUnderLoad => "fits if it sounds under load only: it rolls idle where nothing is heard".into(),
        Judgement::Out => {
            format!("out: {}", list(&found.reasons.iter().map(ToString::to_string).collect::<Vec<_>>()))
        }
    }
}
