//! Which numbers give no teeth, no mesh and no reading?

use std::ops::RangeInclusive;

use super::form::ToothForm;

/// Why a formula of teeth has no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ToothError {
    /// A number is not finite, or beyond a million.
    #[error("a number is not finite or absurdly large")]
    OutOfRange,
    /// A module, tooth count, radius, distance or diameter is below a millionth.
    #[error("a size is not above zero")]
    NoSize,
    /// The pressure angle of the rack is not within 1 to 60 degrees.
    #[error("the pressure angle is not within 1 to 60 degrees")]
    PressureAngle,
    /// The teeth have no involute there: the place is inside the base circle, or where flanks have met before.
    #[error("there is no involute at that radius")]
    NoInvolute,
    /// Both gears are rings.
    #[error("two rings do not mesh")]
    TwoRings,
    /// The ring has no more teeth than the gear inside it.
    #[error("the ring has no more teeth than the gear inside it")]
    RingTooSmall,
    /// Gears of different module or pressure angle at the pitch circle.
    #[error("the gears are not of one module and pressure angle")]
    DifferentRack,
    /// No working pressure angle: the shifts leave no mesh.
    #[error("no working pressure angle: the shifts leave no mesh")]
    NoMesh,
    /// The centre distance is not above that at which the base circles touch.
    #[error("the centre distance is too small for the base circles")]
    TooClose,
    /// The tips do not reach one another on the line of action.
    #[error("the teeth do not reach one another")]
    NoContact,
    /// A ring has no span, and no rack cuts it.
    #[error("a ring is measured between pins and cut by a shaper")]
    RingTeeth,
    /// What was asked concerns a gear in a ring.
    #[error("neither of the two gears is a ring")]
    NotInRing,
    /// A span over no tooth, or over half of them and more.
    #[error("a span is taken over at least one and less than half of the teeth")]
    SpanCount,
    /// The pin touches no flank in the space, or no involute.
    #[error("the pin does not touch both flanks")]
    PinSize,
    /// No shift gives that thickness.
    #[error("no profile shift gives that thickness")]
    NoShift,
    /// The rule shares the sum of the shifts in no way that these gears allow.
    #[error("the sum of the shifts cannot be shared so")]
    NoSplit,
    /// A gear of a planet is a ring.
    #[error("a planet gear is a ring")]
    RingPlanet,
    /// A pin is more than a millimetre out of its place: a wrong unit, or pins in another order.
    #[error("a pin is more than a millimetre out of its place")]
    PinDisplaced,
    /// What a floating gear makes of its planets is told for two to four of them.
    #[error("with a floating gear two to four planets share")]
    FloatingPlanets,
}

/// Why there is no outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum OutlineError {
    /// The root circle or the base circle would have no size.
    #[error("too few teeth for a root circle")]
    NoRoot,
    /// The flanks meet before the tip.
    #[error("the teeth are pointed before they reach their tips")]
    Pointed,
    /// The flanks of neighbouring teeth meet above the root.
    #[error("the spaces close above their roots")]
    NoSpace,
    /// The cutter that is named does not roll with the gear, or its tip lies within its own base circle.
    #[error("the cutter does not cut these teeth")]
    Cutter,
    /// A number that is not finite, or a size that is not above zero.
    #[error("a size is not above zero")]
    NoSize,
}

/// Largest amount of any number, in its unit.
const MOST: f64 = 1e6;
/// Smallest size.
const LEAST: f64 = 1e-6;

/// A finite number of sensible amount.
pub(super) fn number(value: f64) -> Result<f64, ToothError> {
    if value.abs() <= MOST { Ok(value) } else { Err(ToothError::OutOfRange) }
}

/// A size above zero.
pub(super) fn size(value: f64) -> Result<f64, ToothError> {
    let value = number(value)?;
    if value >= LEAST { Ok(value) } else { Err(ToothError::NoSize) }
}

/// The pressure angle at the pitch circle, in radians.
pub(super) fn pressure_angle(angle: f64) -> Result<f64, ToothError> {
    const DEGREES: RangeInclusive<f64> = 1.0..=60.0;
    if DEGREES.contains(&angle.to_degrees()) { Ok(angle) } else { Err(ToothError::PressureAngle) }
}

/// The numbers of a gear give teeth whose sizes can be worked with.
pub(super) fn check(form: &ToothForm) -> Result<(), ToothError> {
    size(form.module)?;
    size(form.count())?;
    pressure_angle(form.pressure_angle)?;
    let may_be_none = [form.cutter_addendum, form.tip_limit].map(|value| value.unwrap_or(0.0));
    [form.profile_shift, form.addendum, form.dedendum, form.thinning]
        .into_iter()
        .chain(may_be_none)
        .try_for_each(|value| number(value).map(drop))
}
