//! The tables of bushes: a row a bush, what pressing in does, every place, every fit when warm.

use crate::bench::{BushFit, BushFits, BushPlace, BushVerdict, CloseIn, HotBushFit};
use crate::report::matching::sizes::short_arc;
use crate::report::render::document::{Block, Table};

/// So many bushes fit on a screen.
pub(super) const MOST_BUSHES: usize = 5;

/// Every bush with its clearance.
pub(super) fn bushes(answer: &BushFits) -> Table {
    let row = |bush: &BushFit| {
        let bore = bush.finished_bore_mm.map(|[least, most]| format!("{least:.3} to {most:.3}"));
        vec![
            bush.bush.clone(),
            verdict(bush.verdict),
            clearance(bush.clearance_mm),
            // Inches for each inch: thousandths for each inch are a thousand times that.
            format!("{:.4} ({:.1})", bush.clearance_per_bore, bush.clearance_per_bore * 1000.0),
            bore.unwrap_or_else(|| "-".into()),
        ]
    };
    let headings = ["bush", "verdict", "clear, mm (thou)", "per mm (thou per inch)", "finish the bore at"];
    Table::new("Bushes, clearance on the diameter", &headings, answer.bushes.iter().map(row).collect())
}

/// What pressing in does, where bushes are pressed in.
pub(super) fn pressed(answer: &BushFits) -> Option<Table> {
    let row = |bush: &BushFit| {
        let pressed = bush.pressed.as_ref()?;
        let share = match pressed.close_in {
            CloseIn::Elastic => format!("{:.0} %", pressed.share_of_interference * 100.0),
            CloseIn::AllOfInterference => "taken as all".into(),
        };
        Some(vec![
            bush.bush.clone(),
            pressed.bore_before_pressing_mm.map_or_else(|| "-".into(), |bore| format!("{bore:.3}")),
            short_arc(pressed.closes_in_mm),
            share,
            pressed.drop_in_kelvin.map_or_else(|| "-".into(), |kelvin| format!("{kelvin:.0}")),
        ])
    };
    let rows: Vec<Vec<String>> = answer.bushes.iter().filter_map(row).collect();
    let headings = ["bush", "bore before pressing", "closes by", "of interference", "warm housing, K"];
    (!rows.is_empty()).then(|| Table::new("If it is bored before it is pressed in", &headings, rows))
}

/// Every place that was measured.
pub(super) fn places(answer: &BushFits) -> Block {
    let row = |(bush, place): (&BushFit, &BushPlace)| {
        let [bore, shaft] = [0, 1].map(|of| {
            let size = |mm: Option<f64>| mm.map_or_else(|| "-".into(), |mm| format!("{mm:.3}"));
            format!("{}, {}", size(bush.oval_mm[of]), size(bush.taper_mm[of]))
        });
        vec![
            bush.bush.clone(),
            place.place.to_string(),
            clearance(place.clearance_mm),
            verdict(place.verdict),
            bore,
            shaft,
        ]
    };
    let all = answer.bushes.iter().flat_map(|bush| bush.places.iter().map(move |place| (bush, place)));
    let headings = ["bush", "place", "clear, mm (thou)", "verdict", "bore oval, tapered", "shaft oval, tapered"];
    Block::table("Places along each bush", &headings, all.map(row).collect())
}

/// Every fit when warm.
pub(super) fn hot(answer: &BushFits) -> Option<Block> {
    let row = |(bush, hot): (&BushFit, &HotBushFit)| {
        vec![
            bush.bush.clone(),
            format!("{:+.0}", hot.bush_kelvin),
            format!("{:+.0}", hot.shaft_kelvin),
            short_arc(hot.cold_clearance_mm),
            short_arc(hot.clearance_mm),
            hot.interference_mm.map_or_else(|| "-".into(), short_arc),
        ]
    };
    let all = answer.bushes.iter().flat_map(|bush| bush.hot.iter().map(move |hot| (bush, hot)));
    let headings = ["bush", "bush, K", "shaft, K", "clear cold, mm (thou)", "clear hot", "interference left"];
    Block::table_of_some("The fit when warm", &headings, all.map(row).collect())
}

fn verdict(verdict: Option<BushVerdict>) -> String {
    match verdict {
        Some(BushVerdict::Good) => "good",
        Some(BushVerdict::Worn) => "worn",
        Some(BushVerdict::TooTight) => "too tight",
        None => "-",
    }
    .into()
}

fn clearance([least, most]: [f64; 2]) -> String {
    if most - least < 0.0005 { short_arc(most) } else { format!("{least:.3} to {}", short_arc(most)) }
}
