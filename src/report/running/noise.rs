//! What can make a noise, for a person.

use super::{bearing, nothing_fits};
use crate::gearset::{Gearset, Place};
use crate::report::render::document::Block;
use crate::report::words::{list, member, mesh, quoted};
use crate::running::{Finding, Judgement, Running, Suspect};

/// Every suspect with what is to be held of it, where a noise was asked about.
pub(super) fn noise(answer: &Running, set: &Gearset) -> Vec<Block> {
    let Some(noise) = &answer.noise else { return Vec::new() };
    let states = |names: &[String]| list(&names.iter().map(|name| quoted(name)).collect::<Vec<_>>());
    let row = |found: &Finding| vec![suspect(set, found.suspect), judgement(answer, found)];
    let mut blocks = vec![
        Block::Heading(format!("Noise heard in {}, not heard in {}", states(&answer.heard), states(&answer.not_heard))),
        Block::table(
            "What can make it, the likeliest first",
            &["part", "what is to be held of it"],
            noise.iter().map(row).collect(),
        ),
    ];
    if nothing_fits(answer) {
        blocks.push(Block::Warning(
            "nothing in the gearset fits: look at what is joined to it, at the axle and at the engine, and listen \
             again in each state"
                .into(),
        ));
    }
    blocks.push(Block::Note(
        "this rules out what cannot be and proves nothing: a noise of the axle is easily taken for one of the \
         gearbox. Listen with the wheels chocked and the driven ones off the ground on stands"
            .into(),
    ));
    blocks
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
