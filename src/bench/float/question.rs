//! What is asked of end float: the gaps, what is wanted in each, the washers at hand.

use crate::exact::{Fraction, fraction};
use crate::gearset::Length;

/// A length as it was read, exactly, with what the reading is good to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExactReading {
    /// The reading.
    pub length: Length,
    /// How far it may be out, either way; 0.01 mm, as with a micrometer, where nothing is said.
    pub within: Option<Length>,
}

/// What is asked of end float.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FloatQuestion {
    /// The gaps. They share the washers.
    pub gaps: Vec<FloatGap>,
    /// Every washer at hand, each as often as there is one of it.
    pub washers: Vec<ExactReading>,
    /// The most washers that may stand in one gap; [`FloatQuestion::USUAL_MOST`] where nothing is said.
    pub most: Option<usize>,
}

/// A gap that washers close, or a gear that is pressed on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FloatGap {
    /// What people call it; may be left out of the only one.
    pub name: Option<String>,
    /// What was measured.
    pub measured: MeasuredGap,
    /// The least and the greatest float that is allowed.
    pub wanted: [Length; 2],
    /// The best float; the middle of what is allowed where it is not given.
    pub best: Option<Length>,
}

/// What was measured of a gap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MeasuredGap {
    /// The space, and what stands in it besides washers.
    Space {
        /// The space between the faces.
        space: ExactReading,
        /// The parts in it.
        parts: Vec<ExactReading>,
    },
    /// The float, as it is without the washers that are to be chosen.
    Float(ExactReading),
    /// The clearance of a gear that is pressed on further, without washers.
    Pressed(ExactReading),
}

impl FloatQuestion {
    /// So many washers may stand in one gap where nothing else is said.
    pub const USUAL_MOST: usize = 3;

    /// The most washers that may stand in one gap.
    pub fn most(&self) -> usize {
        self.most.unwrap_or(Self::USUAL_MOST)
    }
}

impl ExactReading {
    /// A reading of which nothing is said.
    pub fn new(length: Length) -> Self {
        Self { length, within: None }
    }

    /// How far it may be out, in millimetres.
    pub fn exact_within_millimetres(&self) -> Fraction {
        self.within.as_ref().map_or_else(|| fraction(1, 100), Length::exact_millimetres)
    }
}

impl MeasuredGap {
    /// Every reading of the gap: the space or the float first.
    pub fn readings(&self) -> impl Iterator<Item = &ExactReading> {
        let (first, parts) = match self {
            Self::Space { space, parts } => (space, &parts[..]),
            Self::Float(reading) | Self::Pressed(reading) => (reading, &[][..]),
        };
        [first].into_iter().chain(parts)
    }
}
