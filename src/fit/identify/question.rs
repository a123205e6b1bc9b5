//! What was measured of gears, and what is known of their teeth beforehand?
//!
//! Millimetres throughout. A reading that does not say what it is good to is taken as good to what is usual with its
//! instrument: a caliper 0.03 mm, a micrometer over or between pins 0.01 mm, a centre distance 0.02 mm; a root
//! diameter 0.1 mm, for cutters do not leave it any better.

use std::fmt;

use crate::exact::Fraction;
use crate::gearset::Pitch;
use crate::tooth::Teeth;

/// What was measured, and what is known beforehand.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct IdentifyQuestion {
    /// The gears with what was read of each.
    pub gears: Vec<MeasuredGear>,
    /// Which of them mesh: gears that do were cut alike.
    pub meshes: Vec<MeasuredMesh>,
    /// What is known of the teeth.
    pub known: KnownTeeth,
    /// The diameters of the pins at hand, in millimetres; where there are none, those usual are thought of.
    pub pins_at_hand: Vec<f64>,
    /// The pitches that the description says, to be held against the readings.
    pub described: Vec<DescribedPitch>,
}

/// A pitch that the description says of a gear.
#[derive(Debug, Clone, PartialEq)]
pub struct DescribedPitch {
    /// The place of the gear in the list of gears.
    pub gear: usize,
    /// Its pitch.
    pub pitch: Pitch,
}

/// What is known of teeth before they are measured.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct KnownTeeth {
    /// Their pitch.
    pub pitch: Option<Pitch>,
    /// Their pressure angle in degrees.
    pub pressure_angle: Option<Fraction>,
}

/// A gear with what was read of it.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredGear {
    /// What it is called.
    pub name: String,
    /// Which way its teeth point.
    pub teeth: Teeth,
    /// How many there are.
    pub tooth_count: u16,
    /// What was read.
    pub readings: Vec<GearReading>,
}

/// A reading of a gear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GearReading {
    /// What was measured.
    pub measure: ReadingMeasure,
    /// What it reads.
    pub millimetres: f64,
    /// What it is good to either way, above 0; as is usual where nothing is said.
    pub within: Option<f64>,
}

/// What is measured of a gear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingMeasure {
    /// A caliper over so many teeth.
    Span(u16),
    /// A micrometer over two pins of this diameter, in a ring between them.
    Pins(f64),
    /// The diameter over the tips, of a ring inside them.
    TipDiameter,
    /// The diameter at the roots.
    RootDiameter,
}

/// Two gears in mesh, by their places in the list of gears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredMesh {
    /// The two.
    pub gears: [usize; 2],
    /// How far apart their axes stand, where that was measured.
    pub distance: Option<MeasuredDistance>,
}

/// A centre distance as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredDistance {
    /// What it reads.
    pub millimetres: f64,
    /// What it is good to either way, above 0; as is usual where nothing is said.
    pub within: Option<f64>,
}

impl MeasuredDistance {
    /// What a centre distance is good to that does not say so, in millimetres.
    pub(super) const USUAL: f64 = 0.02;
}

impl ReadingMeasure {
    /// What a reading is good to that does not say so, in millimetres.
    pub(super) fn usual(self) -> f64 {
        match self {
            Self::Span(_) | Self::TipDiameter => 0.03,
            Self::Pins(_) => 0.01,
            Self::RootDiameter => 0.1,
        }
    }

    /// Whether it tells the thickness of teeth, from which shift and wear cannot be told apart.
    pub(super) fn is_of_thickness(self) -> bool {
        matches!(self, Self::Span(_) | Self::Pins(_))
    }

    /// What it is called on such teeth: `span over 3 teeth`.
    pub(super) fn named(self, teeth: Teeth) -> String {
        NamedMeasure { measure: self, teeth }.to_string()
    }
}

/// A measure in the words for external teeth or a ring.
struct NamedMeasure {
    measure: ReadingMeasure,
    teeth: Teeth,
}

impl fmt::Display for NamedMeasure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let is_ring = self.teeth == Teeth::Internal;
        match self.measure {
            ReadingMeasure::Span(1) => write!(formatter, "span over 1 tooth"),
            ReadingMeasure::Span(teeth) => write!(formatter, "span over {teeth} teeth"),
            ReadingMeasure::Pins(pin) if is_ring => write!(formatter, "between pins of {} mm", rounded(pin)),
            ReadingMeasure::Pins(pin) => write!(formatter, "over pins of {} mm", rounded(pin)),
            ReadingMeasure::TipDiameter if is_ring => formatter.write_str("inside diameter"),
            ReadingMeasure::TipDiameter => formatter.write_str("outside diameter"),
            ReadingMeasure::RootDiameter => formatter.write_str("root diameter"),
        }
    }
}

/// A diameter of a pin to the micrometre, without zeros behind.
fn rounded(pin: f64) -> f64 {
    (pin * 1000.0).round() / 1000.0
}
