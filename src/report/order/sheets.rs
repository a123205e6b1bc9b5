//! A sheet a gear and a sheet a cluster, with a column for what was made and blank lines for what is agreed.

use super::wording::{limits, limits_in_inches, pin, pitch, shift};
use crate::exact::Fraction;
use crate::fit::{IndexSource, LengthLimits, OrderedCluster, OrderedGear, OrderedIndex, StruckMark};
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Fact};
use crate::report::words::{self, counted, degrees, list, member, rounded};
use crate::timing::MarkingConvention;
use num_traits::{Signed, Zero};

/// What nobody but customer and cutter can say.
const AGREED: &str = "As agreed with the cutter";

/// Whose order it is.
pub(super) fn head() -> Block {
    Block::table("", &["machine", "order number", "date", "by"], vec![vec![String::new(); 4]])
}

/// Everything of one gear.
pub(super) fn gear_sheet(set: &Gearset, gear: &OrderedGear) -> [Block; 3] {
    let ring = if gear.is_ring { ", a ring" } else { "" };
    let heading = format!(
        "{}{ring} of {}: {}",
        words::gear(set, gear.gear),
        member(set, gear.member),
        counted(gear.pieces, "piece")
    );
    let rows = [as_told(gear), circles(gear), measures(gear)].concat();
    let agreed = Block::table(AGREED, &["grade", "run-out", "hardness", "material"], vec![vec![String::new(); 4]]);
    [Block::Heading(heading), Block::table("", &["", "mm", "in", "as made"], rows), agreed]
}

fn as_told(gear: &OrderedGear) -> Vec<Vec<String>> {
    let told = |what: &str, wanted: String| row(what, [wanted, String::new()]);
    vec![
        told("teeth", gear.teeth.to_string()),
        told("pitch", format!("{}, {} deg", pitch(gear), rounded(&gear.pressure_angle_degrees))),
        told("profile shift, outward", format!("x {}", shift(gear.shift))),
    ]
}

fn circles(gear: &OrderedGear) -> Vec<Vec<String>> {
    let tips = if gear.is_ring { "inside diameter" } else { "outside diameter" };
    let tip_limits = gear.tip_limits.unwrap_or_else(|| one(gear.tip_diameter_mm));
    let mut rows = vec![
        length(tips, tip_limits),
        length("pitch diameter", one(gear.pitch_diameter_mm)),
        length("base diameter", one(gear.base_diameter_mm)),
        length("root diameter, not thinned", one(gear.root_diameter_mm)),
        length("whole depth", one(gear.whole_depth_mm)),
    ];
    let from = if gear.is_ring { "flank sound out to diameter" } else { "flank sound from diameter" };
    rows.extend(gear.form_diameter_mm.map(|diameter| length(from, one(diameter))));
    rows
}

fn measures(gear: &OrderedGear) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    rows.extend(gear.span.map(|span| {
        let teeth = if span.teeth == 1 { "1 tooth".to_owned() } else { format!("{} teeth", span.teeth) };
        length(&format!("span over {teeth}"), span.limits())
    }));
    rows.extend(gear.over_pins.map(|pins| {
        let over = if gear.is_ring { "between" } else { "over" };
        let what = format!("{over} pins of {}", pin(pins.pin_mm));
        length(&what, pins.limits())
    }));
    rows.push(length("teeth thinned, arc", gear.thinning));
    rows.extend(gear.tip_thickness_mm.map(|arc| length("tooth at its tip, at most", one(arc))));
    rows
}

fn row(what: &str, wanted: [String; 2]) -> Vec<String> {
    [what.to_owned()].into_iter().chain(wanted).chain([String::new()]).collect()
}

fn length(what: &str, bounds: LengthLimits) -> Vec<String> {
    row(what, [limits(bounds), limits_in_inches(bounds)])
}

fn one(millimetres: f64) -> LengthLimits {
    LengthLimits::exactly(millimetres)
}

/// Everything of one cluster.
pub(super) fn cluster_sheet(set: &Gearset, cluster: &OrderedCluster) -> Vec<Block> {
    let heading = format!("{}: {}, alike", member(set, cluster.planet), counted(cluster.pieces, "piece"));
    let first = words::gear(set, cluster.index[0].gear);
    let caption = format!(
        "Index: how far a tooth stands from the marked tooth of {first}; ccw is counter-clockwise seen from the input side, \
         clockwise from the output side; lengths at the pitch circle in mm"
    );
    let headings = ["gear", "of a tooth", "of a turn", "degrees", "arc", "chord", "alike within", "as made"];
    let rows = cluster.index.iter().map(|index| index_row(set, index));
    let blank =
        ["order of the faces from the input side", "run-out of each gear against the bore", "index, how measured"];
    vec![
        Block::Heading(heading),
        Block::table(caption, &headings, rows.collect()),
        Block::Facts(facts(set, cluster)),
        Block::table(AGREED, &["", "wanted", "as made"], blank.map(blank_row).to_vec()),
    ]
}

fn blank_row(what: &str) -> Vec<String> {
    vec![what.to_owned(), String::new(), String::new()]
}

fn facts(set: &Gearset, cluster: &OrderedCluster) -> Vec<Fact> {
    let index = match cluster.index_source {
        IndexSource::Refused => "alike clusters do not assemble on these pins: order none yet".to_owned(),
        IndexSource::Free => "any will do, if all are alike; here a tooth of each gear stands on one line".to_owned(),
        IndexSource::Needed => {
            "to be read from a cluster that ran here: whether all planets go in depends on it".into()
        }
        IndexSource::Measured => format!("as on cluster {:?}", cluster.like.as_deref().unwrap_or_default()),
    };
    let mut facts = vec![Fact::new("index", index)];
    facts.extend(cluster.alike.map(|alike| {
        let within = format!(
            "within {:.3} deg, {} at {}: no mesh then loses more than half of its least backlash",
            alike.degrees,
            words::length(alike.arc_mm),
            words::gear(set, alike.gear)
        );
        Fact::new("alike", within)
    }));
    facts.push(Fact::new("marks", marks(set, cluster)));
    facts
}

fn index_row(set: &Gearset, index: &OrderedIndex) -> Vec<String> {
    let sense = match &index.turns {
        turns if turns.is_zero() => "",
        turns if turns.is_positive() => " ccw",
        _ => " cw",
    };
    let size = |value: &Fraction| format!("{}{sense}", value.abs());
    vec![
        words::gear(set, index.gear),
        size(&index.teeth),
        size(&index.turns),
        format!("{}{sense}", degrees(&index.turns.abs())),
        format!("{:.3}", index.arc_mm.abs()),
        format!("{:.3}", index.chord_mm.abs()),
        index.alike_within_mm.map_or_else(|| "-".into(), |within| format!("{within:.3}")),
        String::new(),
    ]
}

/// What to strike, as the marks of the set have it.
fn marks(set: &Gearset, cluster: &OrderedCluster) -> String {
    const WHERE: &str = "on the end face of the tooth, never on a flank";
    let gears = |marks: &[StruckMark]| {
        list(&marks.iter().map(|mark| format!("a tooth of {}", words::gear(set, mark.gear))).collect::<Vec<_>>())
    };
    match cluster.convention {
        MarkingConvention::Refused => "none: alike clusters do not assemble".into(),
        MarkingConvention::OnePin | MarkingConvention::AnyTooth => "none needed".into(),
        MarkingConvention::Radial => {
            format!("strike {}, the same on each, {WHERE}; it goes to the centre", gears(&cluster.marks))
        }
        MarkingConvention::Parallel => {
            format!("strike {}, the same on each, {WHERE}; all point the same way", gears(&cluster.marks))
        }
        MarkingConvention::Individual => {
            let of_pins = cluster.marks.iter().flat_map(|mark| mark.teeth.iter().enumerate().map(of_pin));
            format!(
                "number them for their pins and strike {}, {WHERE}: {}, counted from the same tooth of each",
                gears(&cluster.marks),
                list(&of_pins.collect::<Vec<_>>())
            )
        }
    }
}

fn of_pin((pin, tooth): (usize, &i64)) -> String {
    let sense = if *tooth < 0 { " cw" } else { " ccw" };
    let sense = if *tooth == 0 { "" } else { sense };
    format!("pin {} the tooth {}{sense}", pin + 1, tooth.abs())
}
