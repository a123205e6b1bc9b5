//! The answer to "what does whoever cuts the gears need to know".
//!
//! For a person first what to order and what to see to before, then the measures of each gear on a line; in full a sheet a
//! gear and a sheet a cluster, as they are printed. For a table program a record a gear.

mod sheets;
mod statements;
mod wording;

use crate::fit::{LengthLimits, OrderedGear, TeethOrder};
use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Document, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, Units, rounded};
use sheets::{cluster_sheet, gear_sheet, head};
use statements::statements;
use wording::{capital, limits, pitch, shift};

/// So many gears are shown on a screen.
const MOST_GEARS: usize = 12;

impl Answer for TeethOrder {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let gears = Block::Table(gears(self, set).beginning(MOST_GEARS));
        vec![Block::Statements(statements(self, set)), gears, Block::fit_not_strength()]
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let rest = gears(self, set).rest(MOST_GEARS).map(Block::Table);
        rest.into_iter().chain(all_sheets(self, set)).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("a sheet a gear with all its circles and limits, and a sheet a cluster; -o order.html prints them")
    }

    /// Distances are told by whether the meshes close.
    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        matches!(
            remark,
            RemarkKind::DoesNotAssemble | RemarkKind::OverlappingTips | RemarkKind::BacklashBeyondHalfATooth
        )
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "gear",
            "member",
            "pieces",
            "teeth",
            "module",
            "diametral_pitch",
            "pressure_angle_degrees",
            "shift",
            "pitch_diameter_mm",
            "base_diameter_mm",
            "tip_diameter_mm",
            "tip_least_mm",
            "tip_most_mm",
            "root_diameter_mm",
            "whole_depth_mm",
            "tip_thickness_mm",
            "form_diameter_mm",
            "span_teeth",
            "span_least_mm",
            "span_most_mm",
            "pin_mm",
            "over_pins_least_mm",
            "over_pins_most_mm",
            "thinning_least_mm",
            "thinning_most_mm",
        ];
        Records { fields, rows: self.gears.iter().map(|gear| record(set, gear)).collect() }
    }

    /// No where something has to be seen to before the order is given.
    fn outcome(&self) -> Outcome {
        self.can_be_given().into()
    }
}

/// The sheets of an order, to be printed and handed to the cutter.
pub fn order_sheets(set: &Gearset, order: &TeethOrder) -> Document {
    let said = Block::Statements(statements(order, set));
    let blocks = [vec![head(), said], all_sheets(order, set), vec![Block::fit_not_strength()]].concat();
    Document { title: format!("Order: {}", set.title()), blocks }
}

fn all_sheets(order: &TeethOrder, set: &Gearset) -> Vec<Block> {
    let gears = order.gears.iter().flat_map(|gear| gear_sheet(set, gear));
    gears.chain(order.clusters.iter().flat_map(|cluster| cluster_sheet(set, cluster))).collect()
}

/// The measures of each gear on a line.
fn gears(order: &TeethOrder, set: &Gearset) -> Table {
    let pitches = common(order, pitch);
    let pins = common(order, |gear| gear.over_pins.map(|pins| wording::pin(pins.pin_mm)).unwrap_or_default());
    let units = common_units(order, set);
    let lengths = units.map_or("lengths in the unit of the pitch", |units| match units {
        Units::Millimetres => "lengths in mm",
        Units::Inches => "lengths in inches",
    });
    let caption = match (&order.gears[..], &pitches) {
        ([first, ..], Some(pitch)) => {
            let angle = rounded(&first.pressure_angle_degrees);
            format!("{}, {angle} deg; x: profile shift; {lengths}", capital(pitch))
        }
        _ => format!("x: profile shift; {lengths}"),
    };
    let between = if order.gears.iter().any(|gear| gear.is_ring) { " (ring: between)" } else { "" };
    let over_pins = match &pins {
        Some(pin) => format!("over {pin} pins{between}"),
        None => format!("over pins{between}"),
    };
    let mut headings = vec!["gear", "make", "x", "tips", "span over teeth", &over_pins];
    if pitches.is_none() {
        headings.push("pitch");
    }
    let row = |gear: &OrderedGear| {
        let own = Units::of_gear(set, gear.gear);
        let mut row = vec![
            words::gear(set, gear.gear),
            gear.pieces.to_string(),
            shift(gear.shift),
            own.number(gear.tip_diameter_mm),
            span(gear, own),
            over_pins_of(gear, pins.as_deref(), own),
        ];
        row.extend(pitches.is_none().then(|| pitch(gear)));
        row
    };
    Table::new(caption, &headings, order.gears.iter().map(row).collect())
}

/// The unit of all gears; none where some are of a diametral pitch and some of a module.
fn common_units(order: &TeethOrder, set: &Gearset) -> Option<Units> {
    let mut units = order.gears.iter().map(|gear| Units::of_gear(set, gear.gear));
    let first = units.next()?;
    units.all(|other| other == first).then_some(first)
}

/// What is the same of all gears.
fn common(order: &TeethOrder, of: impl Fn(&OrderedGear) -> String) -> Option<String> {
    let first = of(order.gears.first()?);
    order.gears.iter().all(|gear| of(gear) == first).then_some(first).filter(|common| !common.is_empty())
}

fn span(gear: &OrderedGear, units: Units) -> String {
    gear.span.map_or_else(|| "-".into(), |span| format!("{}: {}", span.teeth, limits(span.limits(), units)))
}

/// The reading over pins, with their size where the heading does not tell it.
fn over_pins_of(gear: &OrderedGear, of_all: Option<&str>, units: Units) -> String {
    match gear.over_pins {
        None => "-".into(),
        Some(pins) if of_all.is_some() => limits(pins.limits(), units),
        Some(pins) => format!("{}: {}", wording::pin(pins.pin_mm), limits(pins.limits(), units)),
    }
}

fn record(set: &Gearset, gear: &OrderedGear) -> Vec<String> {
    let length = |millimetres: Option<f64>| millimetres.map(|it| format!("{it:.4}")).unwrap_or_default();
    let both = |bounds: Option<LengthLimits>| {
        [bounds.and_then(|bounds| bounds.least_mm), bounds.and_then(|bounds| bounds.most_mm)].map(length)
    };
    let mut row = vec![
        csv_name(set.gear(gear.gear).name()),
        csv_name(set.member(gear.member).name()),
        gear.pieces.to_string(),
        gear.teeth.to_string(),
        rounded(&gear.module),
        gear.diametral_pitch.as_ref().map(rounded).unwrap_or_default(),
        rounded(&gear.pressure_angle_degrees),
        format!("{:.4}", gear.shift),
    ];
    row.extend([gear.pitch_diameter_mm, gear.base_diameter_mm, gear.tip_diameter_mm].map(|it| length(Some(it))));
    row.extend(both(gear.tip_limits));
    row.extend([gear.root_diameter_mm, gear.whole_depth_mm].map(|it| length(Some(it))));
    row.extend([gear.tip_thickness_mm, gear.form_diameter_mm].map(length));
    row.push(gear.span.map(|span| span.teeth.to_string()).unwrap_or_default());
    row.extend(both(gear.span.map(|span| span.limits())));
    row.push(length(gear.over_pins.map(|pins| pins.pin_mm)));
    row.extend(both(gear.over_pins.map(|pins| pins.limits())));
    row.extend(both(Some(gear.thinning)));
    row
}
