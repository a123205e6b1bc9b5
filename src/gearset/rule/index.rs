//! Rules of measured clusters: one for every pin, readings of its own gears that agree.
//!
//! Each names the reading that breaks it, so that one slip costs one reading.

use std::fmt::{self, Display, Formatter};

use crate::exact::{Fraction, decimal};

/// What measured clusters must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum IndexRule {
    #[error("{name:?} is not a planet, and nothing else has clusters")]
    MeasuredMember { name: String },
    #[error("planet {planet:?} is measured twice")]
    MeasuredTwice { planet: String },
    #[error("only {clusters} clusters are measured for planet {planet:?}, which has {pins} pins")]
    ClusterCount { planet: String, clusters: usize, pins: usize },
    #[error("cluster {cluster:?} is like {other:?}, which has no readings of its own")]
    LikeWithoutReadings { cluster: String, other: String },
    #[error("cluster {cluster:?} has a reading of gear {gear:?}, which is not on planet {planet:?}")]
    ReadingOfForeignGear { cluster: String, gear: String, planet: String },
    #[error("cluster {cluster:?} has a reading of gear {gear:?}, from which all others are measured")]
    ReadingOfFirstGear { cluster: String, gear: String },
    #[error("the reading of gear {gear:?} of cluster {cluster:?} has a radius that is not greater than zero")]
    RadiusNotPositive { cluster: String, gear: String },
    #[error("the reading of gear {gear:?} of cluster {cluster:?} is {} of a tooth, half a tooth or more", decimal(.teeth, 3))]
    HalfTooth { cluster: String, gear: String, teeth: Fraction },
    #[error(
        "two readings of gear {gear:?} of cluster {cluster:?} contradict each other: {} and {} of a tooth",
        decimal(.first, 3),
        decimal(.second, 3)
    )]
    Contradiction { cluster: String, gear: String, first: Fraction, second: Fraction },
    #[error(
        "gear {gear:?} is not fixed to another central gear that planet {planet:?} meshes with, so it stands against none"
    )]
    CentralNotFixed { gear: String, planet: String },
    #[error("gear {gear:?} is the first of those that are fixed to one another, from which the others are measured")]
    CentralFirst { gear: String },
    #[error("central gear {gear:?} is read twice")]
    CentralTwice { gear: String },
    #[error("the reading of central gear {gear:?} has a radius that is not greater than zero")]
    CentralRadiusNotPositive { gear: String },
    #[error("the reading of central gear {gear:?} is {} of a tooth, half a tooth or more", decimal(.teeth, 3))]
    CentralHalfTooth { gear: String, teeth: Fraction },
    #[error("the uncertainty of the readings of {planet:?} is negative")]
    NegativeUncertainty { planet: String },
    #[error("the uncertainty of the readings of {planet:?} is a quarter of a tooth or more at gear {gear:?}")]
    LargeUncertainty { planet: String, gear: String },
    #[error("{measured} {what} are measured for planet {planet:?}, which has {pins} pins")]
    PinCount { planet: String, what: PinSize, measured: usize, pins: usize },
    #[error("of the {what} of the pins of planet {planet:?}, number {pin} is not greater than zero")]
    PinSizeNotPositive { planet: String, what: PinSize, pin: usize },
    #[error("the error of the measured pins of {planet:?} is not greater than zero")]
    PinErrorNotPositive { planet: String },
    #[error("the chord from pin {pin} to the next of planet {planet:?} cannot be: it does not fit the two radii")]
    ImpossibleChord { planet: String, pin: usize },
    #[error(
        "the chords of planet {planet:?} contradict one another: once round is {} degrees off, and the chord \
         from pin {pin} is the most unlikely",
        decimal(.degrees, 4)
    )]
    OpenRing { planet: String, pin: usize, degrees: Fraction },
    #[error("pin {pin} of planet {planet:?} is measured {} degrees from where the description has it", decimal(.degrees, 4))]
    PinElsewhere { planet: String, pin: usize, degrees: Fraction },
    #[error("planet {planet:?} has {pins} pins, and chords tell places from three pins on")]
    ChordsOfFewPins { planet: String, pins: usize },
    #[error(
        "the uncertainty of the readings of {planet:?} is an arc, and gear {gear:?} has no pitch to tell its radius"
    )]
    UncertaintyWithoutRadius { planet: String, gear: String },
}

/// What is measured of pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinSize {
    /// The place.
    Place,
    /// The distance from the main axis.
    Radius,
    /// The distance from the next pin.
    Chord,
}

impl Display for PinSize {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Place => "places",
            Self::Radius => "radii",
            Self::Chord => "chords",
        })
    }
}

impl IndexRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::MeasuredMember { .. } => "write the name of a planet with several pins",
            Self::MeasuredTwice { .. } => "put all its clusters into one entry",
            Self::ClusterCount { .. } => {
                "write one cluster for every pin, in the order of the pins, and after them those to spare"
            }
            Self::LikeWithoutReadings { .. } => "name a cluster that is written with Index([...])",
            Self::ReadingOfForeignGear { .. } => "name a gear of the cluster that was measured",
            Self::ReadingOfFirstGear { .. } => {
                "leave this reading out: the mark of the first gear is where the others are measured from"
            }
            Self::RadiusNotPositive { .. } => {
                "write the arc and then the radius at which it was measured, such as Millimetres(\"l\", 0.05, 31)"
            }
            Self::HalfTooth { .. } => {
                "mark the tooth that stands nearest to the mark of the first gear, and measure to that one"
            }
            Self::Contradiction { .. } => {
                "measure this gear again and leave the wrong reading out, or write the uncertainty that they really have"
            }
            Self::CentralNotFixed { .. } => "leave this reading out: central gears that can be turned need none",
            Self::CentralFirst { .. } => "leave this reading out, and read the others against it",
            Self::CentralTwice { .. } => "write one reading, the mean of both",
            Self::CentralRadiusNotPositive { .. } => {
                "write the arc and then the radius at which it was measured, such as Millimetres(\"S\", 0.05, 31)"
            }
            Self::CentralHalfTooth { .. } => {
                "mark the tooth that stands nearest to the mark of the first of these gears, and measure to that one"
            }
            Self::NegativeUncertainty { .. } => "write how far off a reading may be, zero or more, such as Teeth(0.01)",
            Self::LargeUncertainty { .. } => {
                "look at the unit; readings as uncertain as that do not tell one tooth from the next"
            }
            Self::PinCount { .. } => {
                "write one for every pin, in the order of the description; the last chord goes back to the first pin"
            }
            Self::PinSizeNotPositive { .. } => "write the distance as it was measured, in one unit throughout",
            Self::PinErrorNotPositive { .. } => "write how far off each measure may be: no measure is exact",
            Self::ImpossibleChord { .. } => "measure it again, and look at the order of the chords and at the units",
            Self::OpenRing { .. } => {
                "measure that chord and its two radii again; where all stand, write the error that they really have"
            }
            Self::PinElsewhere { .. } => {
                "number the pins as the description does, counter-clockwise seen from the input side"
            }
            Self::ChordsOfFewPins { .. } => "write their places instead, such as Degrees([0, 180.02], 0.02)",
            Self::UncertaintyWithoutRadius { .. } => {
                "write the uncertainty in teeth or degrees, or add a pitch, such as pitch: Module(2.5)"
            }
        }
    }
}
