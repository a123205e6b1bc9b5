//! The answer to "which teeth are these".
//!
//! For a person first the pitch and what to measure next, what is told of wear, and what to beware of; then the
//! candidates and what tells the first two apart. In full every reading with what each candidate lacks of it, and the
//! base pitches. For a table program a record a candidate and gear.

mod statements;
mod tables;

use crate::fit::{CandidateGear, Identification, ToothCandidate};
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{Units, rounded};

impl Answer for Identification {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let said = Block::Statements(statements::statements(self, Units::of_set(set)));
        [vec![said], tables::of_screen(self), vec![Block::fit_not_strength()]].concat()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        tables::in_full(self)
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("each reading beside what every candidate would read")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        let fields = vec![
            "family",
            "pitch",
            "module",
            "diametral_pitch",
            "pressure_angle",
            "depth",
            "chi_squared",
            "alive",
            "gear",
            "shift",
            "thinning_mm",
        ];
        let of_candidate = |one: &ToothCandidate| one.gears.iter().map(|gear| record(one, gear)).collect::<Vec<_>>();
        Records { fields, rows: self.candidates.iter().flat_map(of_candidate).collect() }
    }

    /// No where nothing fits.
    fn outcome(&self) -> Outcome {
        self.fits().into()
    }
}

fn record(one: &ToothCandidate, gear: &CandidateGear) -> Vec<String> {
    vec![
        one.family.to_string(),
        one.pitch.clone(),
        rounded(&one.module),
        rounded(&one.diametral_pitch),
        rounded(&one.pressure_angle),
        one.depth.clone(),
        format!("{:.6}", one.chi_squared),
        one.alive.to_string(),
        csv_name(&gear.gear),
        format!("{:.6}", gear.shift),
        gear.thinning_mm.map(|thinning| format!("{thinning:.6}")).unwrap_or_default(),
    ]
}
