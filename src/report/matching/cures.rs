//! What helps a set of measured clusters, and what to mind: for a person.
//!
//! Whether turning or exchanging clusters brings the set closer, what to do with one that binds in
//! every order, and for which central gears and pins the answer holds.

use super::fixed;
use super::{Matches, Way, verdict_of_set};
use crate::report::render::document::Block;
use crate::report::words::{list, quoted};
use crate::timing::{MatchSearch, Matching, SeatedPin, Verdict};

impl Matches<'_> {
    /// Whether another order or another seating does better.
    pub(super) fn cures(&self, matching: &Matching, blocks: &mut Vec<Block>) {
        let thing = self.thing(matching);
        if let (Some(listed), Some(as_found)) = (&matching.listed, &matching.as_found)
            && listed != as_found
        {
            blocks.push(Block::Paragraph(format!(
                "Turning helps: turned as toothmark timing lists for equal {thing}s, the set matches within {}; turned \
                 as listed here, within {}.",
                self.play(listed).0,
                self.play(as_found).0
            )));
        }
        if let Some(exchanged) = &matching.exchanged {
            let pin = |pin: &SeatedPin| format!("{} on pin {}", quoted(&matching.clusters[pin.cluster]), pin.pin);
            let order: Vec<String> = exchanged.pins.iter().map(pin).collect();
            let verdict = exchanged.verdict.map(|it| format!(", {} the backlash", verdict_of_set(it)));
            blocks.push(Block::Paragraph(format!(
                "Exchanging helps: with {} the set matches within {}{}.",
                list(&order),
                self.play(exchanged).0,
                verdict.unwrap_or_default()
            )));
            self.seated(matching, exchanged, Way::Exchanged, blocks);
        } else if matching.search == MatchSearch::Complete {
            let listed = matching.listed.is_some() && matching.listed == matching.as_found;
            let seating = if listed { " and no other seating" } else { "" };
            let order = if matching.clusters.len() > matching.pin_count { "choice or order" } else { "order" };
            blocks.push(Block::Paragraph(format!("No other {order} of the {thing}s{seating} fits better.")));
        }
        if matching.search == MatchSearch::GivenUp {
            blocks.push(Block::Note(
                "there are too many orders and seatings to look at all; a better one may exist".into(),
            ));
        }
        let best = matching.exchanged.as_ref().or(matching.as_found.as_ref());
        if best.is_none_or(|best| best.verdict == Some(Verdict::Beyond)) {
            let cure = if fixed::counts(matching) {
                "have the clusters, or the central gears that are fixed to one another, set to the same index"
                    .to_owned()
            } else {
                format!("replace the odd {thing} by one with the index of the others, or have the gears set anew")
            };
            blocks.push(Block::Warning(format!(
                "this set binds: {cure}. Do not make room by pressing, and do not run it in"
            )));
        }
    }
}

pub(super) fn cautions(matchings: &[Matching]) -> [&'static str; 3] {
    [
        if matchings.iter().any(|matching| fixed::counts(matching) || fixed::is_unknown(matching)) {
            "a common difference cancels only at central gears that turn freely while fitting: at gears that are fixed to \
             one another it is felt. Whole teeth of a gear are no difference. Pins that were not measured are taken to stand where they should"
        } else {
            "a common difference cancels: only what sets one cluster apart from the others is felt, and whole teeth of a gear are no \
             difference. It is told for central gears that turn freely while fitting; pins that were not measured are taken to stand where they should"
        },
        "measure on sound flanks, and always on the same one of each tooth; worn teeth and loose rivets make readings \
         that hold for one day",
        "do not force a planet that nearly drops in, and do not run a unit that binds at one place of every turn",
    ]
}
