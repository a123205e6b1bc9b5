//! Which readings cannot be?
//!
//! What is wrong with one reading is told before anything is fitted to it: a reading of a ring that no ring has, a span
//! over half the teeth, spans that do not rise, sizes that nobody measures.

use super::family::Family;
use super::question::{GearReading, IdentifyQuestion, MeasuredGear, ReadingMeasure};
use crate::tooth::Teeth;

/// Why teeth cannot be told from what was read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CannotIdentify {
    /// Nothing was read.
    #[error("nothing was measured")]
    NothingMeasured,
    /// Too few teeth to be measured like this.
    #[error("{gear} has {teeth} teeth: below {LEAST_TEETH} no span or pins read sound flanks")]
    FewTeeth {
        /// The gear.
        gear: String,
        /// Its tooth count.
        teeth: u16,
    },
    /// A span of a ring.
    #[error("{gear} is a ring, over whose teeth no caliper goes")]
    SpanOfRing {
        /// The gear.
        gear: String,
    },
    /// A span over no tooth, or over half of them and more.
    #[error("a span over {span} of the {teeth} teeth of {gear} cannot be taken")]
    SpanCount {
        /// The gear.
        gear: String,
        /// Over how many teeth.
        span: u16,
        /// Its tooth count.
        teeth: u16,
    },
    /// More teeth between the jaws, and no more millimetres.
    #[error("{gear} reads no more over {more} teeth than over {fewer}")]
    SpansNotRising {
        /// The gear.
        gear: String,
        /// Over how many teeth.
        fewer: u16,
        /// Over how many more.
        more: u16,
    },
    /// A size that nobody measures, or an uncertainty that is none.
    #[error("the {reading} of {gear} is {millimetres} mm, good to {within} mm")]
    AbsurdReading {
        /// The gear.
        gear: String,
        /// What was read.
        reading: String,
        /// The reading.
        millimetres: f64,
        /// What it is good to.
        within: f64,
    },
    /// A pin that nobody lays into a space.
    #[error("a pin of {millimetres} mm goes between no teeth")]
    AbsurdPin {
        /// Its diameter.
        millimetres: f64,
    },
    /// The roots stand further out than the tips, of a ring further in.
    #[error("the roots of {gear} are beyond its tips")]
    RootBeyondTip {
        /// The gear.
        gear: String,
    },
    /// More gears cut alike than are fitted together.
    #[error("{gears} gears that mesh were measured: no more than {MOST_GEARS} are fitted together")]
    TooManyGears {
        /// How many.
        gears: usize,
    },
    /// More readings than are compared with one another.
    #[error("{readings} readings were taken of gears that mesh: no more than {MOST_READINGS} are told together")]
    TooManyReadings {
        /// How many.
        readings: usize,
    },
    /// No usual teeth can be read like this.
    #[error("no usual teeth of {gear} can be read like this")]
    NoTeeth {
        /// The gear.
        gear: String,
        /// Whether pins were used.
        has_pins: bool,
    },
}

impl CannotIdentify {
    /// What to do instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingMeasured => {
                "measure a gear over three teeth and over four, then its outside diameter: --teeth 27 --span 3=21.896 --span \
                 4=30.228, or in a description readings: {\"p\": (spans: {3: Millimetres(21.896), 4: Millimetres(30.228)})}"
            }
            Self::FewTeeth { .. } => "count the teeth again; such a gear is compared with a drawing at 10:1",
            Self::SpanOfRing { .. } => "measure between two pins instead, with two sizes of pins: --pins 5=145.30",
            Self::SpanCount { .. } => {
                "take fewer than half of the teeth between the jaws: about one in nine, and one more"
            }
            Self::SpansNotRising { .. } => "measure both again, and look which reading belongs to which count",
            Self::AbsurdReading { .. } => "look at the unit and the digits; millimetres where none is named",
            Self::AbsurdPin { .. } => {
                "name pins from 0.1 to 200 mm: they touch both flanks near the pitch circle, about 1.7 modules thick"
            }
            Self::RootBeyondTip { .. } => "look which of the two diameters is which",
            Self::TooManyGears { .. } => "leave out the readings of gears that are sound",
            Self::TooManyReadings { .. } => "give one reading of each kind a gear: the mean of what was read round it",
            Self::NoTeeth { has_pins: true, .. } => {
                "look at the pins: they have to touch both flanks near the pitch circle, about 1.7 modules thick"
            }
            Self::NoTeeth { has_pins: false, .. } => "count the teeth again, and measure again",
        }
    }
}

/// Gears of fewer teeth have no flank to be measured.
const LEAST_TEETH: u16 = 6;
/// No more gears are fitted together.
const MOST_GEARS: usize = 12;
/// No more readings are told together: where nothing fits, each of them is left out in turn.
const MOST_READINGS: usize = 100;
/// The largest reading, in millimetres.
const LARGEST: f64 = 10_000.0;
/// The thinnest and the thickest pin at hand, in millimetres: those of module 0.06 and of module 120.
const PINS: std::ops::RangeInclusive<f64> = 0.1..=200.0;
/// A reading that is good to more tells nothing, in millimetres.
const LARGEST_WITHIN: f64 = 2.0;

/// Checks every reading by itself.
pub(super) fn check(question: &IdentifyQuestion) -> Result<(), CannotIdentify> {
    let distances = question.meshes.iter().filter_map(|mesh| mesh.distance);
    for distance in distances {
        is_a_size("the pins", "centre distance", distance.millimetres, distance.within)?;
    }
    if let Some(&millimetres) = question.pins_at_hand.iter().find(|pin| !PINS.contains(pin)) {
        return Err(CannotIdentify::AbsurdPin { millimetres });
    }
    let mut measured = question.gears.iter().filter(|gear| !gear.readings.is_empty()).peekable();
    if measured.peek().is_none() {
        return Err(CannotIdentify::NothingMeasured);
    }
    measured.try_for_each(check_gear)
}

fn check_gear(gear: &MeasuredGear) -> Result<(), CannotIdentify> {
    let name = || gear.name.clone();
    if gear.tooth_count < LEAST_TEETH {
        return Err(CannotIdentify::FewTeeth { gear: name(), teeth: gear.tooth_count });
    }
    for GearReading { measure, millimetres, within } in &gear.readings {
        is_a_size(&gear.name, &measure.named(gear.teeth), *millimetres, *within)?;
        match *measure {
            ReadingMeasure::Span(_) if gear.teeth == Teeth::Internal => {
                return Err(CannotIdentify::SpanOfRing { gear: name() });
            }
            ReadingMeasure::Span(span) if span == 0 || 2 * u32::from(span) >= gear.tooth_count.into() => {
                return Err(CannotIdentify::SpanCount { gear: name(), span, teeth: gear.tooth_count });
            }
            ReadingMeasure::Pins(pin) => is_a_size(&gear.name, "pins", pin, None)?,
            ReadingMeasure::Span(_) | ReadingMeasure::TipDiameter | ReadingMeasure::RootDiameter => {}
        }
    }
    check_spans_rise(gear)?;
    check_circles(gear)
}

/// A length above 0 that somebody could have measured, good to something.
fn is_a_size(gear: &str, reading: &str, millimetres: f64, within: Option<f64>) -> Result<(), CannotIdentify> {
    const LEAST: f64 = 1e-5;
    let is_size = (0.01..=LARGEST).contains(&millimetres);
    if is_size && within.is_none_or(|within| (LEAST..=LARGEST_WITHIN).contains(&within) && within < millimetres) {
        return Ok(());
    }
    let (gear, reading) = (gear.to_owned(), reading.to_owned());
    Err(CannotIdentify::AbsurdReading { gear, reading, millimetres, within: within.unwrap_or_default() })
}

fn check_spans_rise(gear: &MeasuredGear) -> Result<(), CannotIdentify> {
    let mut spans: Vec<(u16, f64)> = gear
        .readings
        .iter()
        .filter_map(|reading| match reading.measure {
            ReadingMeasure::Span(teeth) => Some((teeth, reading.millimetres)),
            ReadingMeasure::Pins(_) | ReadingMeasure::TipDiameter | ReadingMeasure::RootDiameter => None,
        })
        .collect();
    spans.sort_by_key(|(teeth, _)| *teeth);
    let falls = |pair: &&[(u16, f64)]| pair[0].0 < pair[1].0 && pair[0].1 >= pair[1].1;
    match spans.windows(2).find(falls) {
        None => Ok(()),
        Some(pair) => {
            let (fewer, more) = (pair[0].0, pair[1].0);
            Err(CannotIdentify::SpansNotRising { gear: gear.name.clone(), fewer, more })
        }
    }
}

fn check_circles(gear: &MeasuredGear) -> Result<(), CannotIdentify> {
    let read = |sought: ReadingMeasure| {
        gear.readings.iter().find(|reading| reading.measure == sought).map(|reading| reading.millimetres)
    };
    let (Some(tip), Some(root)) = (read(ReadingMeasure::TipDiameter), read(ReadingMeasure::RootDiameter)) else {
        return Ok(());
    };
    let is_sound = match gear.teeth {
        Teeth::External => root < tip,
        Teeth::Internal => root > tip,
    };
    if is_sound { Ok(()) } else { Err(CannotIdentify::RootBeyondTip { gear: gear.name.clone() }) }
}

/// Checks that a family is not too large.
pub(super) fn check_family(family: &Family<'_>) -> Result<(), CannotIdentify> {
    let (gears, readings) = (family.gears.len(), family.readings.len());
    if gears > MOST_GEARS {
        Err(CannotIdentify::TooManyGears { gears })
    } else if readings > MOST_READINGS {
        Err(CannotIdentify::TooManyReadings { readings })
    } else {
        Ok(())
    }
}

/// That no rack could be read so.
pub(super) fn no_teeth(family: &Family<'_>) -> CannotIdentify {
    let has_pins =
        |gear: &&&MeasuredGear| gear.readings.iter().any(|reading| matches!(reading.measure, ReadingMeasure::Pins(_)));
    let with_pins = family.gears.iter().find(has_pins);
    let gear = with_pins.unwrap_or(&family.gears[0]).name.clone();
    CannotIdentify::NoTeeth { gear, has_pins: with_pins.is_some() }
}
