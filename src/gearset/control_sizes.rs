//! The sizes of a band and of a plate clutch, each of which may be left out.
//!
//! They are kept as they were given, exactly and with their unit, so that a description
//! written back out says what its author said. What can be worked out depends on which of
//! them there are.

use super::{Length, Sense, meant};
use crate::exact::{Fraction, TypedNumber, fraction, to_float};
use crate::syntax::{LeafOrigin, Spanned, fields, words};

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

words! {
    Angle for Angle: "an angle", "Degrees(330)", meant angle_meant {
        Degrees("Degrees(330)"; value: Fraction = "a number of degrees", "330") => { Angle::Degrees(value) }
        Turns("Turns(\"11/12\")"; value: Fraction = "a part of a turn", "\"11/12\"") => { Angle::Turns(value) }
    }
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

words! {
    Force for Force: "a force", "Newtons(500)", meant force_meant {
        Newtons("Newtons(500)"; value: Fraction = "a number of newtons", "500") => { Force::Newtons(value) }
        PoundsForce("PoundsForce(110)"; value: Fraction = "a number of pounds force", "110") => {
            Force::PoundsForce(value)
        }
    }
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

fields! {
    /// What is known of a band.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct BandSizes:
        "a bracket with the sizes of the band", "(wrap: Degrees(330), friction: \"0.12\", radius: Millimetres(100))"
    {
        /// How far the lining lies round the drum.
        pub wrap: Option<Spanned<Angle>> = "how far the lining lies round the drum", "Degrees(330)", "up to 10 turns";
        /// The coefficient of friction.
        pub friction: Option<Spanned<Fraction>> = "the coefficient of friction", "\"0.12\"", "above 0 and up to 2";
        /// The radius of the drum.
        pub radius: Option<Spanned<Length>> = "a length", "Millimetres(100)", "above 0";
        /// The width of the lining.
        pub width: Option<Spanned<Length>> = "a length", "Millimetres(100)", "above 0";
        /// The sense in which one goes round the drum along the band, from its anchored end to the end
        /// that is pulled.
        pub from_anchor: Option<Sense> =
            "the sense from the anchor of the band to the end that is pulled", "Forward";
        /// The force at the end that is pulled.
        pub pull: Option<Spanned<Force>> = "a force", "Newtons(500)", "above 0";
    }
}

fields! {
    /// What is known of the plates of a clutch.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct PlateSizes:
        "a bracket with the sizes of the plates",
        "(faces: 8, friction: \"0.1\", outer_radius: Millimetres(60), inner_radius: Millimetres(45), force: Newtons(1500))"
    {
        /// How many faces rub.
        pub faces: Option<Spanned<Fraction>> = "the number of faces that rub", "8", "from 1 to 1000";
        /// The coefficient of friction.
        pub friction: Option<Spanned<Fraction>> = "the coefficient of friction", "\"0.12\"", "above 0 and up to 2";
        /// The outer radius of the faces.
        pub outer_radius: Option<Spanned<Length>> = "a length", "Millimetres(100)", "above 0";
        /// The inner radius of the faces.
        pub inner_radius: Option<Spanned<Length>> = "a length", "Millimetres(100)", "above 0";
        /// The force that presses the plates together.
        pub force: Option<Spanned<Force>> = "a force", "Newtons(500)", "above 0";
    }
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

/// A number that is given, with its place.
pub(super) type GivenSize<'a> = (ControlSize, &'a Fraction, &'a LeafOrigin);

impl BandSizes {
    /// Every number that is given.
    pub(super) fn numbers(&self) -> Vec<GivenSize<'_>> {
        let all = [
            self.wrap.as_ref().map(|wrap| (ControlSize::Wrap, wrap.value(), wrap.mark())),
            self.friction.as_ref().map(|friction| (ControlSize::Friction, &**friction, friction.mark())),
            self.radius.as_ref().map(|radius| (ControlSize::Radius, radius.value(), radius.mark())),
            self.width.as_ref().map(|width| (ControlSize::Width, width.value(), width.mark())),
            self.pull.as_ref().map(|pull| (ControlSize::Pull, pull.value(), pull.mark())),
        ];
        all.into_iter().flatten().collect()
    }
}

impl PlateSizes {
    /// Every number that is given.
    pub(super) fn numbers(&self) -> Vec<GivenSize<'_>> {
        let all = [
            self.faces.as_ref().map(|faces| (ControlSize::Faces, &**faces, faces.mark())),
            self.friction.as_ref().map(|friction| (ControlSize::Friction, &**friction, friction.mark())),
            self.outer_radius.as_ref().map(|radius| (ControlSize::OuterRadius, radius.value(), radius.mark())),
            self.inner_radius.as_ref().map(|radius| (ControlSize::InnerRadius, radius.value(), radius.mark())),
            self.force.as_ref().map(|force| (ControlSize::Force, force.value(), force.mark())),
        ];
        all.into_iter().flatten().collect()
    }
}

/// An angle in degrees: `330°`, `330 deg`.
fn angle_meant(written: &str) -> Option<String> {
    let degrees = TypedNumber::read(&meant::plain(written)).ok().filter(|typed| !typed.words.is_empty())?;
    let degrees = degrees.with_unit(&["°", "deg", "degree", "degrees"]).ok()?;
    Some(meant::text::<Angle>(&Angle::Degrees(degrees)))
}

/// A force by its unit: `400 N`, `90 lbf`.
fn force_meant(written: &str) -> Option<String> {
    let TypedNumber { value, words, .. } = TypedNumber::read(&meant::plain(written)).ok()?;
    match words.concat().as_str() {
        "n" | "newton" | "newtons" => Some(meant::text::<Force>(&Force::Newtons(value))),
        "kn" => Some(meant::text::<Force>(&Force::Newtons(value * fraction(1000, 1)))),
        "lb" | "lbs" | "lbf" | "pounds" => Some(meant::text::<Force>(&Force::PoundsForce(value))),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gearset::meant::means;

    #[test]
    fn angles_and_forces_are_understood_by_their_units() {
        means(angle_meant, &[("330°", Some("Degrees(330)")), ("330 deg", Some("Degrees(330)")), ("330", None)]);
        means(force_meant, &[("400 N", Some("Newtons(400)")), ("90 lbf", Some("PoundsForce(90)")), ("400", None)]);
    }
}
