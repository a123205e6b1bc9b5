//! What does a description say was measured of its gears?
//!
//! The readings of each gear; which gears mesh, and so were cut alike; and the distance of a mesh on the main axis, where
//! the radii of the pins were measured (their mean) or the pin circle is described.

use super::question::{
    DescribedPitch, GearReading, IdentifyQuestion, KnownTeeth, MeasuredDistance, MeasuredGear, MeasuredMesh,
    ReadingMeasure,
};
use crate::exact::to_float;
use crate::gearset::{DraftReadings, GearId, GearKind, Gearset, Length, MeasuredPins, MemberId, MeshId, Spanned};
use crate::tooth::Teeth;

impl IdentifyQuestion {
    /// What is asked of the spur gears of a gearset by the readings that it describes, in the order of its gears.
    ///
    /// # Examples
    /// ```
    /// use toothmark::description;
    /// use toothmark::fit::{IdentifyQuestion, KnownTeeth, identify};
    /// let set = description::read(description::example("worn-goods-hoist").unwrap()).unwrap();
    /// let answer = identify(&IdentifyQuestion::of_gearset(&set, KnownTeeth::default())).unwrap();
    /// assert_eq!(answer.candidates[0].pitch, "9 DP");
    /// ```
    pub fn of_gearset(set: &Gearset, known: KnownTeeth) -> Self {
        let spur: Vec<GearId> = set.gear_ids().filter(|&gear| !set.gear(gear).kind().is_bevel()).collect();
        let place = |gear: GearId| spur.iter().position(|&other| other == gear);
        let mesh = |mesh: MeshId| {
            let [first, second] = set.mesh(mesh).gears().each();
            Some(MeasuredMesh { gears: [place(first)?, place(second)?], distance: distance(set, mesh) })
        };
        Self {
            gears: spur.iter().map(|&gear| measured(set, gear)).collect(),
            meshes: set.mesh_ids().filter_map(mesh).collect(),
            // What the question says is known takes the place of what is described.
            described: if known.pitch.is_none() { described_pitches(set, &spur) } else { Vec::new() },
            known,
            pins_at_hand: Vec::new(),
        }
    }
}

/// The pitches of the meshes of these gears.
fn described_pitches(set: &Gearset, gears: &[GearId]) -> Vec<DescribedPitch> {
    let of_gear = |(place, &gear): (usize, &GearId)| {
        let meshes = set.meshes().iter().filter(move |mesh| mesh.gears().contains(&gear));
        meshes.filter_map(move |mesh| Some(DescribedPitch { gear: place, pitch: mesh.pitch()?.clone() }))
    };
    gears.iter().enumerate().flat_map(of_gear).collect()
}

fn measured(set: &Gearset, gear: GearId) -> MeasuredGear {
    let known = set.gear(gear);
    let is_ring = known.kind() == GearKind::Internal;
    MeasuredGear {
        name: known.name().to_owned(),
        teeth: if is_ring { Teeth::Internal } else { Teeth::External },
        tooth_count: known.tooth_count().get(),
        readings: set.readings(gear).map(readings).unwrap_or_default(),
    }
}

fn readings(written: &DraftReadings) -> Vec<GearReading> {
    let within = written.within.as_ref().map(|within| within.millimetres());
    let reading = |measure: ReadingMeasure, length: &Spanned<Length>| GearReading {
        measure,
        millimetres: length.millimetres(),
        within,
    };
    // Every count was checked to be below half of the teeth.
    let spans = written
        .spans
        .iter()
        .filter_map(|span| Some(reading(ReadingMeasure::Span(u16::try_from(*span.teeth).ok()?), &span.reading)));
    let pins = written.pins.iter().map(|read| reading(ReadingMeasure::Pins(read.pin.millimetres()), &read.reading));
    let tip = written.outside.iter().map(|length| reading(ReadingMeasure::TipDiameter, length));
    let root = written.root.iter().map(|length| reading(ReadingMeasure::RootDiameter, length));
    spans.chain(pins).chain(tip).chain(root).collect()
}

/// The distance of a mesh between a planet and the main axis: the measured radius of its pins, or the described one.
fn distance(set: &Gearset, mesh: MeshId) -> Option<MeasuredDistance> {
    let members = set.mesh(mesh).gears().each().map(|gear| set.gear(gear).member());
    let on_pins: Vec<MemberId> = members.into_iter().filter(|&member| set.carrier_of(member).is_some()).collect();
    let [planet] = on_pins[..] else { return None };
    let measured = set.measured().iter().find(|measured| measured.planet == planet);
    if let Some(MeasuredPins::Chords { radii, error, .. }) = measured.and_then(|measured| measured.pins.as_ref()) {
        let pins = f64::from(u32::try_from(radii.len()).ok()?);
        let mean = radii.iter().map(|radius| to_float(radius)).sum::<f64>() / pins;
        return Some(MeasuredDistance { millimetres: mean, within: Some(to_float(error)) });
    }
    let radius = set.described_pin_circle(planet)?;
    Some(MeasuredDistance { millimetres: radius.millimetres(), within: None })
}
