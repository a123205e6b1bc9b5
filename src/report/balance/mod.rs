//! The answer to questions about the balance of a rotor.
//!
//! First what to drill or to put on, in one line a plane; then what was found and allowed, and what to beware of; then a
//! row a hole. In full what readings were taken to be good to, and how the rotor answered to trial weights. Planets of
//! unequal weight and the chart of drills are told the same way, alone or behind that. Records have a row a hole, or else
//! a row a planet, or a row a depth.

mod numbers;
mod statements;
mod tables;

use crate::bench::RotorBalance;
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records};

impl Answer for RotorBalance {
    fn title(&self, set: &Gearset) -> String {
        let speed = self.allowance.as_ref().and_then(|allowance| allowance.speed.as_ref());
        speed.map_or(set.title().to_owned(), |speed| format!("{}: {}", set.title(), speed.member))
    }

    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let said = Block::Statements(statements::statements(self));
        let foot = Block::Note(
            "fit, not strength: nothing here says that a rotor, or the wall behind a hole, bears what it turns at"
                .into(),
        );
        [vec![said], tables::of_screen(self), vec![foot]].concat()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        tables::in_full(self)
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        let has_more = !tables::in_full(self).is_empty();
        has_more.then_some("what readings are good to, and how trials were answered")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        tables::records(self)
    }

    fn outcome(&self) -> Outcome {
        self.is_good().into()
    }
}
