//! The question `teeth identify`: which teeth these are, by what was measured of them.

use super::reading::{self, MeasuredLength, ReadingOver};
use crate::exact::Fraction;
use crate::fit::{
    GearReading, Identification, IdentifyQuestion, KnownTeeth, MeasuredDistance, MeasuredGear, MeasuredMesh,
    ReadingMeasure, identify,
};
use crate::gearset::Gearset;
use crate::requests::options::options;
use crate::requests::{AskedAbout, NoAnswer, Question, Refusal, WhatIfOptions, pitch, titled, values};
use crate::tooth::Teeth;

options! {
    /// The options of `teeth identify`.
    pub struct IdentifyOptions {
        /// How many teeth the gear has, of which the readings are typed
        teeth: Option<u16> = count, "N" [conflicts_with = "described"];
        /// The gear is a ring
        ring: bool needs "teeth";
        /// A caliper over so many teeth: 3=21.896, "3=0.862 in ± 0.001"; over one tooth more it tells the base pitch
        span: Vec<ReadingOver<u16>> = reading::span, "K=READING" needs "teeth";
        /// Over two pins of this diameter, in a ring between them: 4.5=86.21
        pins: Vec<ReadingOver<f64>> = reading::pins, "PIN=READING" needs "teeth";
        /// The diameter over the tips; of a ring the diameter inside them
        outside: Vec<MeasuredLength> = reading::reading, "READING" needs "teeth" [visible_alias = "inside"];
        /// The diameter at the roots
        root: Vec<MeasuredLength> = reading::reading, "READING" needs "teeth";
        /// How far its axis stands from that of its mate
        center_distance: Option<MeasuredLength> = reading::reading, "READING" needs "mate" [alias = "centre-distance"];
        /// The teeth of a gear that it meshes with: 30, or "ring 60"
        mate: Option<Mate> = mate, "N" needs "teeth" "center_distance";
        /// What readings are good to that do not say it themselves; a caliper 0.03 mm, a micrometer over pins 0.01 mm, a
        /// centre distance 0.02 mm where it is left out
        within: Option<f64> = reading::within, "LENGTH";
        /// Teeth of this module only, in millimetres
        module: Option<Fraction> = values::module, "MM" excludes "dp";
        /// Teeth of this diametral pitch only, in teeth per inch of diameter
        dp: Option<Fraction> = values::diametral_pitch, "N";
        /// Teeth of this pressure angle only, in degrees; 20 and 14.5 are tried where it is left out
        pressure_angle: Option<Fraction> = reading::pressure_angle, "DEGREES";
        /// A size of pins at hand, to be thought of as the next measurement; may be repeated
        pin_at_hand: Vec<f64> = reading::pin, "DIAMETER";
    }
}

/// A gear in mesh with the measured one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Mate {
    teeth: Teeth,
    tooth_count: u16,
}

/// A tooth count from 1 to 10000.
fn count(text: &str) -> Result<u16, Refusal> {
    let hint = "count the teeth and write their number, up to 10000: --teeth 27";
    let refused = || Refusal::new(format!("{text:?} is not a tooth count"), hint);
    let count = values::tooth_count(text).and_then(|count| u16::try_from(count).ok());
    count.filter(|count| (1..=10_000).contains(count)).ok_or_else(refused)
}

/// `30`, `ring 60`.
fn mate(text: &str) -> Result<Mate, Refusal> {
    let of_ring = text.trim().strip_prefix("ring");
    let (teeth, number) = of_ring.map_or((Teeth::External, text), |number| (Teeth::Internal, number));
    Ok(Mate { teeth, tooth_count: count(number)? })
}

impl Question for IdentifyOptions {
    type Answer = Identification;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, Identification), NoAnswer> {
        let (set, question) = match self.teeth {
            Some(_) if about.is_named() => return Err(two_gears().into()),
            Some(tooth_count) => {
                let question = typed(self, tooth_count);
                (titled(title(&question)), question)
            }
            None if !about.is_named() => return Err(nothing_asked().into()),
            None => {
                let set = about.gearset(&WhatIfOptions::default())?;
                let mut question = IdentifyQuestion::of_gearset(&set, known(self));
                question.pins_at_hand.clone_from(&self.pin_at_hand);
                say_within(&mut question, self.within);
                (set, question)
            }
        };
        let found = identify(&question).map_err(|reason| NoAnswer::new(&reason, reason.hint()))?;
        Ok((set, found))
    }
}

fn two_gears() -> Refusal {
    Refusal::new("a description and a gear of its own are asked about", "leave one of the two out")
}

/// Lets readings that do not say what they are good to be as good as is said for all.
fn say_within(question: &mut IdentifyQuestion, within: Option<f64>) {
    let readings = question.gears.iter_mut().flat_map(|gear| &mut gear.readings).map(|reading| &mut reading.within);
    let distances = question.meshes.iter_mut().filter_map(|mesh| mesh.distance.as_mut()).map(|read| &mut read.within);
    readings.chain(distances).for_each(|own| *own = own.or(within));
}

fn nothing_asked() -> Refusal {
    let hint = "count the teeth, and measure over some of them: --teeth 27 --span 3=21.896 --span 4=30.228; or name a \
                description with readings";
    Refusal::new("it is not said which gear is asked about", hint)
}

/// What the answer about one gear is headed with.
fn title(question: &IdentifyQuestion) -> String {
    let gear = &question.gears[0];
    let ring = if gear.teeth == Teeth::Internal { "A ring" } else { "A gear" };
    format!("{ring} of {} teeth, as measured", gear.tooth_count)
}

fn known(options: &IdentifyOptions) -> KnownTeeth {
    KnownTeeth {
        pitch: pitch(options.module.clone(), options.dp.clone()),
        pressure_angle: options.pressure_angle.clone(),
    }
}

/// What is typed of one gear.
fn typed(options: &IdentifyOptions, tooth_count: u16) -> IdentifyQuestion {
    let teeth = if options.ring { Teeth::Internal } else { Teeth::External };
    let gear = MeasuredGear { name: "the gear".into(), teeth, tooth_count, readings: readings(options) };
    let mate = options.mate.map(|mate| MeasuredGear {
        name: "its mate".into(),
        teeth: mate.teeth,
        tooth_count: mate.tooth_count,
        readings: Vec::new(),
    });
    let distance = options
        .center_distance
        .map(|read| MeasuredDistance { millimetres: read.millimetres, within: read.within.or(options.within) });
    let meshes = mate.iter().map(|_| MeasuredMesh { gears: [0, 1], distance }).collect();
    IdentifyQuestion {
        gears: [gear].into_iter().chain(mate).collect(),
        meshes,
        known: known(options),
        pins_at_hand: options.pin_at_hand.clone(),
        described: Vec::new(),
    }
}

fn readings(options: &IdentifyOptions) -> Vec<GearReading> {
    let spans = options.span.iter().map(|read| (ReadingMeasure::Span(read.over), read.reading));
    let pins = options.pins.iter().map(|read| (ReadingMeasure::Pins(read.over), read.reading));
    let tips = options.outside.iter().map(|read| (ReadingMeasure::TipDiameter, *read));
    let roots = options.root.iter().map(|read| (ReadingMeasure::RootDiameter, *read));
    let reading = |(measure, read): (ReadingMeasure, MeasuredLength)| GearReading {
        measure,
        millimetres: read.millimetres,
        within: read.within.or(options.within),
    };
    spans.chain(pins).chain(tips).chain(roots).map(reading).collect()
}
