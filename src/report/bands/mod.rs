//! The answer to "how far does a band travel, how long is its lining, does it rub, does it hold?".
//!
//! First what rubs or slips, then travel and lining of each band; a row a band, and what it holds in both senses. In full
//! every state. Records have a row for each band.

mod statements;

use crate::bench::{BandSetting, BandSettings, HeldTorque};
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::matching::sizes::short_arc;
use crate::report::render::document::{Block, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::key;

/// So many rows fit on a screen.
const MOST_ROWS: usize = 8;

impl Answer for BandSettings {
    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let statements = Block::Statements(statements::statements(self));
        let foot = Block::Note("fit, not strength: what a band holds is an estimate, as friction in oil varies".into());
        let table = what_they_hold(self).unwrap_or_else(|| sizes(self));
        vec![statements, Block::Table(table.beginning(MOST_ROWS)), foot]
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        let table = what_they_hold(self);
        let sizes = sizes(self);
        let tables = match table {
            Some(table) => [table.rest(MOST_ROWS), Some(sizes)],
            None => [sizes.rest(MOST_ROWS), None],
        };
        tables.into_iter().flatten().map(Block::Table).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        let has_states = self.bands.iter().any(|band| !band.states.is_empty());
        has_states.then_some("the sizes of every band, with its gap round the drum and its tension ratio")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        let fields = vec![
            "band",
            "wrap_degrees",
            "drum_diameter_mm",
            "gap_mm",
            "travel_mm",
            "lining_length_mm",
            "wear_travel_mm",
            "gap_least_mm",
            "gap_most_mm",
            "rubs",
            "wrapping_on_newton_metres",
            "unwinding_newton_metres",
        ];
        Records { fields, rows: self.bands.iter().map(record).collect() }
    }

    fn outcome(&self) -> Outcome {
        self.good.into()
    }
}

fn record(band: &BandSetting) -> Vec<String> {
    let number = |value: Option<f64>| value.map(|value| format!("{value:.6}")).unwrap_or_default();
    let round = band.gap_round_mm;
    vec![
        csv_name(&band.band),
        number(band.wrap_degrees),
        number(band.drum_diameter_mm),
        number(band.gap_mm),
        number(band.travel_mm),
        number(band.lining_length_mm),
        number(band.wear_travel_mm),
        number(round.map(|[least, _]| least)),
        number(round.map(|[_, most]| most)),
        band.rubs.map(|rubs| if rubs { "yes" } else { "no" }.to_owned()).unwrap_or_default(),
        number(band.wrapping_on_newton_metres),
        number(band.unwinding_newton_metres),
    ]
}

/// What every band has to hold, where that is known.
fn what_they_hold(answer: &BandSettings) -> Option<Table> {
    let states = answer.bands.iter().flat_map(|band| band.states.iter().map(move |state| (band, state)));
    let rows: Vec<Vec<String>> = states.map(|(band, state)| with_name(band, state)).collect();
    let headings = ["band", "state", "drum pulls it", "holds, N m", "has to, N m", "enough for, N m"];
    let caption = if answer.torque_given { "What bands hold" } else { "What bands hold, for 1 N m on the input" };
    (!rows.is_empty()).then(|| Table::new(caption, &headings, rows))
}

fn sizes(answer: &BandSettings) -> Table {
    let row = |band: &BandSetting| {
        let number =
            |value: Option<f64>, digits: usize| value.map_or_else(|| "-".into(), |value| format!("{value:.digits$}"));
        let round = band.gap_round_mm.map_or_else(|| "-".into(), |[least, most]| format!("{least:.2} to {most:.2}"));
        vec![
            band.band.clone(),
            number(band.wrap_degrees, 0),
            number(band.drum_diameter_mm, 1),
            band.travel_mm.map_or_else(|| "-".into(), short_arc),
            number(band.lining_length_mm, 1),
            round,
            number(band.tension_ratio, 2),
        ]
    };
    let headings = ["band", "wrap, deg", "drum", "travel, mm (thou)", "lining", "gap round", "tension ratio"];
    Table::new("Bands, in millimetres", &headings, answer.bands.iter().map(row).collect())
}

/// A state with the name of its band.
fn with_name(band: &BandSetting, state: &HeldTorque) -> Vec<String> {
    let [capacity, demand] = of_both(state);
    vec![
        band.band.clone(),
        format!("{} {}", state.state, key(&state.when)),
        pulls(state),
        capacity,
        demand,
        format!("{:.0}", state.enough_for_newton_metres),
    ]
}

fn pulls(state: &HeldTorque) -> String {
    match state.wraps_on {
        Some(true) => "on",
        Some(false) => "off",
        None => "-",
    }
    .into()
}

/// What a control has to hold, state by state.
pub(in crate::report) fn held(caption: &str, states: &[HeldTorque]) -> Option<Block> {
    let row = |state: &HeldTorque| {
        let [capacity, demand] = of_both(state);
        vec![
            state.state.clone(),
            key(&state.when),
            pulls(state),
            capacity,
            demand,
            format!("{:.0}", state.enough_for_newton_metres),
            if state.holds { "holds" } else { "SLIPS" }.into(),
        ]
    };
    let headings = ["state", "when", "drum pulls it", "holds, N m", "has to, N m", "enough for, N m", "verdict"];
    Block::table_of_some(caption, &headings, states.iter().map(row).collect())
}

/// What a control can hold and what it has to, in words for two cells.
fn of_both(held: &HeldTorque) -> [String; 2] {
    [held.capacity_newton_metres, held.demand_newton_metres].map(|torque| format!("{torque:.1}"))
}
