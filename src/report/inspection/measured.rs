//! What a description says of measured clusters and pins, in words.

use crate::exact::Fraction;
use crate::gearset::{
    DraftCluster, DraftIndex, DraftMeasured, DraftReading, Gearset, Length, MeasuredPins, Offset, Spanned, Uncertainty,
};
use crate::report::render::document::Fact;
use crate::report::words::{list, quoted, rounded};

/// A line for each measured planet, cluster by cluster.
pub(super) fn measured(set: &Gearset) -> impl Iterator<Item = Fact> + '_ {
    set.draft().measured.iter().map(|measured| {
        let DraftMeasured { planet, uncertainty, clusters, central, pins } = measured;
        let mut parts: Vec<String> = clusters.iter().map(cluster).collect();
        if !central.is_empty() {
            parts.push(format!("central gears: {}", list(&central.iter().map(reading).collect::<Vec<_>>())));
        }
        parts.extend(uncertainty.as_ref().map(|size| format!("each reading give or take {}", self::uncertainty(size))));
        parts.extend(pins.as_ref().map(self::pins));
        Fact::new(&format!("measured {}", quoted(planet)), parts.join("; "))
    })
}

fn cluster(DraftCluster { name, index }: &DraftCluster) -> String {
    let index = match index {
        DraftIndex::Like(other) => format!("like {}", quoted(other)),
        DraftIndex::Readings(readings) if readings.is_empty() => "all gears in line".to_owned(),
        DraftIndex::Readings(readings) => list(&readings.iter().map(reading).collect::<Vec<_>>()),
    };
    format!("{}: {index}", quoted(name))
}

fn reading(DraftReading { gear, offset }: &DraftReading) -> String {
    match offset {
        Offset::Teeth(teeth) => format!("{gear} off by {} of a tooth", rounded(teeth)),
        Offset::Degrees(degrees) => format!("{gear} off by {} degrees", rounded(degrees)),
        Offset::Millimetres { arc, radius } => {
            format!("{gear} off by {} mm at radius {}", rounded(arc), rounded(radius))
        }
        Offset::Inches { arc, radius } => format!("{gear} off by {} in at radius {}", rounded(arc), rounded(radius)),
    }
}

fn length(length: &Length) -> String {
    match length {
        Length::Millimetres(size) => format!("{} mm", rounded(size)),
        Length::Inches(size) => format!("{} in", rounded(size)),
    }
}

fn uncertainty(uncertainty: &Uncertainty) -> String {
    match uncertainty {
        Uncertainty::Teeth(teeth) => format!("{} of a tooth", rounded(teeth)),
        Uncertainty::Degrees(degrees) => format!("{} degrees", rounded(degrees)),
        Uncertainty::Arc(length) => self::length(length),
    }
}

fn pins(pins: &MeasuredPins) -> String {
    let numbers = |values: &[Spanned<Fraction>]| list(&values.iter().map(|value| rounded(value)).collect::<Vec<_>>());
    match pins {
        MeasuredPins::Degrees { places, error } => {
            format!("pins at {} degrees, give or take {}", numbers(places), rounded(error))
        }
        MeasuredPins::Chords { radii, chords, error } => format!(
            "pins on radii {} with chords {} to the next, give or take {}",
            numbers(radii),
            numbers(chords),
            rounded(error)
        ),
    }
}
