//! Holes, planets, the chart of drills, and in full what readings are good to, as tables.

use super::numbers::{amount, angle, depth_alone, short, size};
use crate::bench::{
    ClusterOnPin, DrillChart, DrillChartRow, InfluenceCoefficient, PlannedHole, RotorBalance, RunReading, TakenGoodTo,
};
use crate::gearset::MILLIMETRES_PER_INCH;
use crate::report::render::document::{Block, Fact, Records};

/// What a screen shows.
pub(super) fn of_screen(answer: &RotorBalance) -> Vec<Block> {
    let holes = holes(answer);
    let clusters = answer.clusters.as_ref().map(|placing| {
        let row = |on: &ClusterOnPin| {
            vec![on.pin.to_string(), on.cluster.to_string(), short(on.grams, 2), short(on.over_lightest_g, 2)]
        };
        let headings = ["pin", "planet", "grams", "over the lightest, g"];
        Block::table("Planets on their pins, counter-clockwise", &headings, placing.pins.iter().map(row).collect())
    });
    let charts = answer.chart.iter().flat_map(charts);
    [holes, clusters].into_iter().flatten().chain(charts).collect()
}

/// A row a hole; what is alike in all of them stands in the caption.
fn holes(answer: &RotorBalance) -> Option<Block> {
    let several = answer.planes.len() > 1;
    let radius = answer
        .plan
        .first()
        .map(|hole| hole.radius_mm)
        .filter(|radius| answer.plan.iter().all(|hole| (hole.radius_mm - radius).abs() < 1e-9));
    let columns = |plane: String, radius_of_hole: String, others: [String; 7]| {
        let head = [several.then_some(plane), radius.is_none().then_some(radius_of_hole)].into_iter().flatten();
        head.chain(others).collect::<Vec<String>>()
    };
    let row = |hole: &PlannedHole| {
        let others = [
            angle(hole.place_degrees),
            size(hole.drill_mm),
            depth_alone(hole.first_depth_mm),
            depth_alone(hole.depth_mm),
            short(hole.grams, 1),
            amount(hole.takes_g_mm),
            amount(hole.g_mm_per_mm),
        ];
        columns(hole.plane.to_string(), short(hole.radius_mm, 2), others)
    };
    let others = ["at", "drill", "first to", "then to", "g", "g mm", "per mm"].map(str::to_owned);
    let headings = columns("plane".into(), "radius".into(), others);
    let at = radius.map(|radius| format!(" {} from the axis", size(radius)));
    let caption = format!("Holes{}, what each takes off, and a mm more; depths in mm (in)", at.unwrap_or_default());
    let headings: Vec<&str> = headings.iter().map(String::as_str).collect();
    Block::table_of_some(caption, &headings, answer.plan.iter().map(row).collect())
}

/// In grams, and in ounces.
fn charts(chart: &DrillChart) -> [Block; 2] {
    let drills: Vec<String> = chart.drills_mm.iter().map(|drill| size(*drill)).collect();
    let mut headings = vec!["mm", "in"];
    headings.extend(drills.iter().map(String::as_str));
    let table = |caption: String, cells: fn(&DrillChartRow) -> Vec<String>| {
        let row = |row: &DrillChartRow| {
            let depth = [short(row.depth_mm, 2), format!("{:.3}", row.depth_mm / MILLIMETRES_PER_INCH)];
            depth.into_iter().chain(cells(row)).collect()
        };
        Block::table(caption, &headings, chart.rows.iter().map(row).collect())
    };
    let name = chart.material.name();
    [
        table(format!("Grams of {name} by drill and full depth, with a point of 118 degrees"), |row| {
            row.grams.iter().map(|grams| format!("{grams:.1}")).collect()
        }),
        table("The same in ounces".to_owned(), |row| row.ounces.iter().map(|ounces| format!("{ounces:.2}")).collect()),
    ]
}

/// What the summary rests on.
pub(super) fn in_full(answer: &RotorBalance) -> Vec<Block> {
    let trials = answer.trials.as_ref();
    let influence = trials.and_then(|trials| {
        let row = |one: &InfluenceCoefficient| {
            vec![
                one.reading.to_string(),
                one.plane.to_string(),
                format!("{:.6}", one.per_g_mm * 1000.0),
                angle(one.degrees),
            ]
        };
        let headings = ["reading", "weight in plane", "for 1000 g mm", "ahead of the weight by"];
        Block::table_of_some("How readings follow weights", &headings, trials.influence.iter().map(row).collect())
    });
    let runs = trials.and_then(|trials| {
        let row = |run: &RunReading| vec![angle(run.degrees), short(run.read, 3), short(run.predicted, 3)];
        let headings = ["trial weight at", "read", "would be"];
        Block::table_of_some("Runs, and what they would read", &headings, trials.predicted.iter().map(row).collect())
    });
    let closing = trials.and_then(|trials| trials.closing).map(|closing| {
        Block::Facts(vec![Fact::new("the runs close to (1 where they agree)", format!("{closing:.3}"))])
    });
    let good_to = answer.good_to.as_ref().map(good_to);
    [good_to, influence, runs, closing].into_iter().flatten().collect()
}

fn good_to(taken: &TakenGoodTo) -> Block {
    let usual = if taken.is_said { "" } else { " (what is not said is taken as usual)" };
    let reading = taken.reading.map(|reading| Fact::new("readings", short(reading, 4)));
    let facts = [
        Fact::new("weights", format!("{} g{usual}", short(taken.grams, 3))),
        Fact::new("their radii", format!("{} mm", short(taken.radius_mm, 3))),
        Fact::new("angles", format!("{} deg", short(taken.degrees, 3))),
    ];
    Block::Facts(facts.into_iter().chain(reading).collect())
}

/// A row a hole, or else a row a planet, or a row a depth of the chart.
pub(super) fn records(answer: &RotorBalance) -> Records {
    match (&answer.clusters, &answer.chart) {
        (Some(placing), _) if answer.planes.is_empty() => {
            let row = |on: &ClusterOnPin| {
                vec![
                    on.pin.to_string(),
                    on.cluster.to_string(),
                    on.grams.to_string(),
                    format!("{:.6}", on.over_lightest_g),
                ]
            };
            let fields = vec!["pin", "cluster", "grams", "over_lightest_g"];
            Records { fields, rows: placing.pins.iter().map(row).collect() }
        }
        (None, Some(chart)) if answer.planes.is_empty() => {
            let of_depth = |row: &DrillChartRow| {
                let one = |((drill, grams), ounces): ((&f64, &f64), &f64)| {
                    vec![row.depth_mm.to_string(), drill.to_string(), format!("{grams:.6}"), format!("{ounces:.6}")]
                };
                chart.drills_mm.iter().zip(&row.grams).zip(&row.ounces).map(one).collect::<Vec<_>>()
            };
            let fields = vec!["depth_mm", "drill_mm", "grams", "ounces"];
            Records { fields, rows: chart.rows.iter().flat_map(of_depth).collect() }
        }
        _ => Records { fields: HOLE_FIELDS.to_vec(), rows: answer.plan.iter().map(hole_record).collect() },
    }
}

const HOLE_FIELDS: [&str; 9] = [
    "plane",
    "place_degrees",
    "radius_mm",
    "drill_mm",
    "depth_mm",
    "drilled_mm",
    "first_depth_mm",
    "grams",
    "takes_g_mm",
];

fn hole_record(hole: &PlannedHole) -> Vec<String> {
    let sizes =
        [hole.place_degrees, hole.radius_mm, hole.drill_mm, hole.depth_mm, hole.drilled_mm, hole.first_depth_mm];
    let numbers = sizes.into_iter().chain([hole.grams, hole.takes_g_mm]).map(|value| short(value, 6));
    std::iter::once(hole.plane.to_string()).chain(numbers).collect()
}
