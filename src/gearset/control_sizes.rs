//! The sizes of a band and of a plate clutch, each of which may be left out.
//!
//! They are kept as they were given, exactly and with their unit, so that a description
//! written back out says what its author said. What can be worked out depends on which of
//! them there are.

use super::{Length, Sense};
use crate::exact::{Fraction, fraction, to_float};

/// Newtons in a pound force: 0.45359237 kg times 9.80665 m/s2, both by definition.
pub const NEWTONS_PER_POUND_FORCE: f64 = 0.453_592_37 * 9.806_65;

/// An angle, in the unit in which it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Angle {
    /// Degrees.
    Degrees(Fraction),
    /// Parts of a turn.
    Turns(Fraction),
}

impl Angle {
    /// The number as given, in its own unit.
    pub fn value(&self) -> &Fraction {
        match self {
            Self::Degrees(value) | Self::Turns(value) => value,
        }
    }

    /// The angle in turns.
    pub fn turns(&self) -> Fraction {
        match self {
            Self::Degrees(value) => value / fraction(360, 1),
            Self::Turns(value) => value.clone(),
        }
    }
}

/// A force, in the unit in which it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Force {
    /// Newtons.
    Newtons(Fraction),
    /// Pounds force.
    PoundsForce(Fraction),
}

impl Force {
    /// The number as given, in its own unit.
    pub fn value(&self) -> &Fraction {
        match self {
            Self::Newtons(value) | Self::PoundsForce(value) => value,
        }
    }

    /// The force in newtons.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Force};
    /// assert!((Force::PoundsForce(fraction(100, 1)).newtons() - 444.82).abs() < 0.01);
    /// ```
    pub fn newtons(&self) -> f64 {
        match self {
            Self::Newtons(value) => to_float(value),
            Self::PoundsForce(value) => to_float(value) * NEWTONS_PER_POUND_FORCE,
        }
    }
}

/// What is known of a band.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BandSizes {
    /// How far the lining lies round the drum.
    pub wrap: Option<Angle>,
    /// The coefficient of friction.
    pub friction: Option<Fraction>,
    /// The radius of the drum.
    pub radius: Option<Length>,
    /// The width of the lining.
    pub width: Option<Length>,
    /// The sense in which one goes round the drum along the band, from its anchored end to the end
    /// that is pulled.
    pub from_anchor: Option<Sense>,
    /// The force at the end that is pulled.
    pub pull: Option<Force>,
}

/// What is known of the plates of a clutch.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlateSizes {
    /// How many faces rub.
    pub faces: Option<Fraction>,
    /// The coefficient of friction.
    pub friction: Option<Fraction>,
    /// The outer radius of the faces.
    pub outer_radius: Option<Length>,
    /// The inner radius of the faces.
    pub inner_radius: Option<Length>,
    /// The force that presses the plates together.
    pub force: Option<Force>,
}

/// The sizes of one control.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum ControlSizes {
    Band(Box<BandSizes>),
    Plates(Box<PlateSizes>),
}

/// A size of a control.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each variant names the field of the sizes that it points at")]
pub enum ControlSize {
    Wrap,
    Friction,
    Radius,
    Width,
    Pull,
    Faces,
    OuterRadius,
    InnerRadius,
    Force,
}

impl ControlSize {
    /// What people call it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Wrap => "wrap",
            Self::Friction => "friction",
            Self::Radius => "radius",
            Self::Width => "width",
            Self::Pull => "pull",
            Self::Faces => "number of faces",
            Self::OuterRadius => "outer radius",
            Self::InnerRadius => "inner radius",
            Self::Force => "force",
        }
    }

    /// The largest that is taken for it, in the unit in which it is given: what is beyond is a slip.
    pub(super) fn most(self, angle: Option<&Angle>) -> i64 {
        match (self, angle) {
            (Self::Wrap, Some(Angle::Degrees(_))) => 3600,
            (Self::Wrap, _) => 10,
            (Self::Friction, _) => 2,
            (Self::Radius | Self::Width | Self::OuterRadius | Self::InnerRadius, _) => 10_000,
            (Self::Faces, _) => 1000,
            (Self::Pull | Self::Force, _) => 1_000_000_000,
        }
    }
}

impl std::fmt::Display for ControlSize {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.name())
    }
}

impl BandSizes {
    /// Every number that is given.
    pub(super) fn numbers(&self) -> Vec<(ControlSize, &Fraction)> {
        let all = [
            (ControlSize::Wrap, self.wrap.as_ref().map(Angle::value)),
            (ControlSize::Friction, self.friction.as_ref()),
            (ControlSize::Radius, self.radius.as_ref().map(Length::value)),
            (ControlSize::Width, self.width.as_ref().map(Length::value)),
            (ControlSize::Pull, self.pull.as_ref().map(Force::value)),
        ];
        all.into_iter().filter_map(|(size, value)| Some((size, value?))).collect()
    }
}

impl PlateSizes {
    /// Every number that is given.
    pub(super) fn numbers(&self) -> Vec<(ControlSize, &Fraction)> {
        let all = [
            (ControlSize::Faces, self.faces.as_ref()),
            (ControlSize::Friction, self.friction.as_ref()),
            (ControlSize::OuterRadius, self.outer_radius.as_ref().map(Length::value)),
            (ControlSize::InnerRadius, self.inner_radius.as_ref().map(Length::value)),
            (ControlSize::Force, self.force.as_ref().map(Force::value)),
        ];
        all.into_iter().filter_map(|(size, value)| Some((size, value?))).collect()
    }
}
