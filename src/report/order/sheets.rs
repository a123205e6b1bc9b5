//! A sheet a gear and a sheet a cluster, with a column for what was made and blank lines for what is agreed.

use super::statements::pins;
use super::wording::{limits, pin, pitch, shift};
use crate::exact::Fraction;
use crate::fit::{IndexSource, LengthLimits, OrderedCluster, OrderedGear, OrderedIndex, StruckMark};
use crate::gearset::Gearset;
use crate::report::render::document::{Block, Fact};
use crate::report::words::{self, Units, counted, degrees, list, member, rounded};
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
    let units = Units::of_gear(set, gear.gear);
    let rows = [as_told(gear), circles(gear, units), measures(gear, units)].concat();
    let agreed = Block::table(AGREED, &["grade", "run-out", "hardness", "material"], vec![vec![String::new(); 4]]);
    [Block::Heading(heading), Block::table("", &["", units.name(), units.other().name(), "as made"], rows), agreed]
}

fn as_told(gear: &OrderedGear) -> Vec<Vec<String>> {
    let told = |what: &str, wanted: String| row(what, [wanted, String::new()]);
    vec![
        told("teeth", gear.teeth.to_string()),
        told("pitch", format!("{}, {} deg", pitch(gear), rounded(&gear.pressure_angle_degrees))),
        told("profile shift, outward", format!("x {}", shift(gear.shift))),
    ]
}

fn circles(gear: &OrderedGear, units: Units) -> Vec<Vec<String>> {
    let tips = if gear.is_ring { "inside diameter" } else { "outside diameter" };
    let tip_limits = gear.tip_limits.unwrap_or_else(|| one(gear.tip_diameter_mm));
    let mut rows = vec![
        length(units, tips, tip_limits),
        length(units, "pitch diameter", one(gear.pitch_diameter_mm)),
        length(units, "base diameter", one(gear.base_diameter_mm)),
        length(units, "root diameter, not thinned", one(gear.root_diameter_mm)),
        length(units, "whole depth", one(gear.whole_depth_mm)),
    ];
    let from = if gear.is_ring { "flank sound out to diameter" } else { "flank sound from diameter" };
    rows.extend(gear.form_diameter_mm.map(|diameter| length(units, from, one(diameter))));
    rows
}

fn measures(gear: &OrderedGear, units: Units) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    rows.extend(gear.span.map(|span| {
        let teeth = if span.teeth == 1 { "1 tooth".to_owned() } else { format!("{} teeth", span.teeth) };
        length(units, &format!("span over {teeth}"), span.limits())
    }));
    rows.extend(gear.over_pins.map(|pins| {
        let over = if gear.is_ring { "between" } else { "over" };
        let what = format!("{over} pins of {}", pin(pins.pin_mm));
        length(units, &what, pins.limits())
    }));
    rows.push(length(units, "teeth thinned, arc", gear.thinning));
    rows.extend(gear.tip_thickness_mm.map(|arc| length(units, "tooth at its tip, at most", one(arc))));
    rows
}

fn row(what: &str, wanted: [String; 2]) -> Vec<String> {
    [what.to_owned()].into_iter().chain(wanted).chain([String::new()]).collect()
}

fn length(units: Units, what: &str, bounds: LengthLimits) -> Vec<String> {
    row(what, [units, units.other()].map(|units| limits(bounds, units)))
}

fn one(millimetres: f64) -> LengthLimits {
    LengthLimits::exactly(millimetres)
}

/// Everything of one cluster.
pub(super) fn cluster_sheet(set: &Gearset, cluster: &OrderedCluster) -> Vec<Block> {
    let name = member(set, cluster.planet);
    let pieces = counted(cluster.pieces, "piece");
    let heading = match &cluster.class {
        Some(class) => format!("{name}, class {class}: {pieces}, for {}", pins(cluster)),
        None if cluster.index.is_empty() => format!("{name}: none yet"),
        None => format!("{name}: {pieces}, alike"),
    };
    let blank =
        ["order of the faces from the input side", "run-out of each gear against the bore", "index, how measured"];
    let index = cluster.index.first().map(|first| index_table(set, cluster, first));
    let agreed = Block::table(AGREED, &["", "wanted", "as made"], blank.map(blank_row).to_vec());
    let head = [Block::Heading(heading)].into_iter().chain(index);
    head.chain([Block::Facts(facts(set, cluster)), agreed]).collect()
}

fn index_table(set: &Gearset, cluster: &OrderedCluster, first: &OrderedIndex) -> Block {
    let units = Units::of_gear(set, first.gear);
    let caption = format!(
        "Index: how far a tooth stands from the marked tooth of {}; ccw is counter-clockwise seen from the input side, \
         clockwise from the output side; lengths at the pitch circle in {}",
        words::gear(set, first.gear),
        units.name()
    );
    let headings = ["gear", "of a tooth", "of a turn", "degrees", "arc", "chord", "alike within", "as made"];
    let rows = cluster.index.iter().map(|index| index_row(set, index, units));
    Block::table(caption, &headings, rows.collect())
}

fn blank_row(what: &str) -> Vec<String> {
    vec![what.to_owned(), String::new(), String::new()]
}

fn facts(set: &Gearset, cluster: &OrderedCluster) -> Vec<Fact> {
    let index = match cluster.index_source {
        IndexSource::Refused => "alike clusters do not assemble on these pins: order none yet".to_owned(),
        IndexSource::Free => "any will do, if all are alike; here a tooth of each gear stands on one line".to_owned(),
        IndexSource::Needed => {
            "to be read from a cluster that ran here: whether all planets go in depends on it; order none yet".into()
        }
        IndexSource::Class => class_index(cluster),
        IndexSource::Measured => format!("as on cluster {:?}", cluster.like.as_deref().unwrap_or_default()),
    };
    let mut facts = vec![Fact::new("index", index)];
    facts.extend(cluster.alike.map(|alike| {
        let within = format!(
            "within {:.3} deg, {} at {}: no mesh then loses more than half of its least backlash",
            alike.degrees,
            Units::of_gear(set, alike.gear).length(alike.arc_mm),
            words::gear(set, alike.gear)
        );
        Fact::new("alike", within)
    }));
    facts.push(Fact::new("marks", marks(set, cluster)));
    facts
}

/// What the index of a class goes by.
fn class_index(cluster: &OrderedCluster) -> String {
    let from = match &cluster.like {
        Some(like) => format!("worked out from that of cluster {like:?}"),
        None => {
            "class A has a tooth of each gear on one line, and any other will do if the gears of all classes are turned alike".into()
        }
    };
    format!("its own, for alike clusters do not assemble here: {from}")
}

fn index_row(set: &Gearset, index: &OrderedIndex, units: Units) -> Vec<String> {
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
        units.number(index.arc_mm.abs()),
        units.number(index.chord_mm.abs()),
        index.alike_within_mm.map_or_else(|| "-".into(), |within| units.number(within)),
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
            let of_pins = cluster.marks.iter().flat_map(|mark| cluster.for_pins.iter().zip(&mark.teeth).map(of_pin));
            format!(
                "number them for their pins and strike {}, {WHERE}: counted from {}, {}; it goes nearest to the line of \
                 centres",
                gears(&cluster.marks),
                if cluster.class.is_some() { "the tooth of the index" } else { "the same tooth of each" },
                list(&of_pins.collect::<Vec<_>>()),
            )
        }
    }
}

fn of_pin((pin, tooth): (&usize, &i64)) -> String {
    match tooth {
        0 => format!("pin {pin} that tooth itself"),
        tooth if *tooth > 0 => format!("pin {pin} tooth {tooth} ccw of it"),
        tooth => format!("pin {pin} tooth {} cw of it", -tooth),
    }
}
