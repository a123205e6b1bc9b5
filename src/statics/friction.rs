//! Does a band hold its drum, and a plate clutch its torque?
//!
//! Round a drum the tension of a band grows from the slack to the tight end by `e^(mu theta)`, mu being
//! the coefficient of friction and theta the wrap in radians; the difference of both tensions times
//! the radius is the torque. Where the drum pulls away from the anchored end, that end is the tight
//! one and the drum helps to pull the band on (it is self-energising); where it pulls away from the end
//! that is worked, whoever works it pulls against the drum (it is de-energising).
//! Sources: Euler (1769), "Remarques sur l'effet du frottement dans l'equilibre", Mémoires de
//! l'académie des sciences de Berlin 18; Eytelwein (1808), "Handbuch der Statik fester Körper".
//! Plates: Budynas and Nisbett, "Shigley's Mechanical Engineering Design", the section on frictional
//! contact axial clutches, for uniform wear and uniform pressure. Friction in oil varies: estimates.

use crate::exact::{Fraction, to_float};
use crate::gearset::{BandSizes, Force, Length, PlateSizes, Sense};
use std::f64::consts::TAU;

/// What becomes of a band when its drum wants to turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wrapping {
    /// The drum pulls the band on: the anchored end is the tight one.
    WrapsOn,
    /// The drum pulls against whoever works the band: the end that is worked is the tight one.
    Unwinds,
}

/// What becomes of a band that leads from its anchor in this sense, on a drum that wants to turn so.
///
/// # Examples
/// ```
/// use toothmark::{gearset::Sense, statics::{Wrapping, wrapping}};
/// assert_eq!(wrapping(Sense::Backward, Sense::Backward), Wrapping::WrapsOn);
/// assert_eq!(wrapping(Sense::Backward, Sense::Forward), Wrapping::Unwinds);
/// ```
pub fn wrapping(from_anchor: Sense, drum_wants_to_turn: Sense) -> Wrapping {
    if from_anchor == drum_wants_to_turn { Wrapping::WrapsOn } else { Wrapping::Unwinds }
}

/// How many times the tension of the slack end that of the tight end is: `e^(mu theta)`.
///
/// `None` where wrap or friction is not given.
///
/// # Examples
/// ```
/// use toothmark::{exact::fraction, gearset::{Angle, BandSizes}, statics::tension_ratio};
/// let (wrap, friction) = (Some(Angle::Degrees(fraction(330, 1)).into()), Some(fraction(12, 100).into()));
/// let ratio = tension_ratio(&BandSizes { wrap, friction, ..BandSizes::default() }).unwrap();
/// assert!((ratio - 2.00).abs() < 0.005);
/// ```
pub fn tension_ratio(sizes: &BandSizes) -> Option<f64> {
    let wrap = to_float(&sizes.wrap.as_ref()?.turns()) * TAU;
    Some((to_float(sizes.friction.as_ref()?) * wrap).exp())
}

/// The tensions in a band that just holds a torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandLoad {
    /// The tension of the tight end, in newtons.
    pub tight: f64,
    /// The tension of the slack end, in newtons: less, and the drum slips.
    pub slack: f64,
    /// The pressure of the lining at the tight end and at the slack end, in newtons per square millimetre;
    /// `None` without a width.
    pub pressure: Option<[f64; 2]>,
}

/// The tensions in a band that just holds a torque in newton metres; `None` where wrap, friction
/// or radius is not given, or friction next to nothing.
///
/// The pressure is tension over width and radius, as for any rope round a drum.
pub fn band_load(sizes: &BandSizes, newton_metres: f64) -> Option<BandLoad> {
    let radius = sizes.radius.as_ref()?.millimetres();
    // T = (t_1 - t_2) r and t_1 = e^(mu theta) t_2, so t_2 = T / r / (e^(mu theta) - 1).
    let slack = newton_metres.abs() * 1000.0 / radius / (tension_ratio(sizes)? - 1.0);
    let tight = slack * tension_ratio(sizes)?;
    // Friction or wrap next to nothing would take a pull that no number tells.
    if !tight.is_finite() {
        return None;
    }
    let pressure = sizes.width.as_ref().map(|width| [tight, slack].map(|end| end / (radius * width.millimetres())));
    Some(BandLoad { tight, slack, pressure })
}

/// The torque that a band holds with the force given for the end that is worked, in newton metres;
/// `None` where a size that it takes is not given.
pub fn band_capacity(sizes: &BandSizes, wrapping: Wrapping) -> Option<f64> {
    let (ratio, radius) = (tension_ratio(sizes)?, sizes.radius.as_ref()?.millimetres() / 1000.0);
    let pull = sizes.pull.as_ref()?.newtons();
    // T = (t_1 - t_2) r, the end that is worked being the slack one where the band wraps on, the tight one otherwise.
    Some(match wrapping {
        Wrapping::WrapsOn => pull * (ratio - 1.0) * radius,
        Wrapping::Unwinds => pull * (1.0 - 1.0 / ratio) * radius,
    })
}

/// The torque that a plate clutch carries, in newton metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateCapacity {
    /// Worn in, where pressure times radius is the same everywhere: the lower of the two, and the one to
    /// count on.
    pub uniform_wear: f64,
    /// New, where the pressure is the same everywhere.
    pub uniform_pressure: f64,
}

/// What plates carry with the force given for them; `None` where a size is not given.
///
/// With n faces, friction mu, force F, outer radius R and inner radius r: `n mu F (R + r) / 2` for uniform
/// wear, `n mu F (2/3) (R^3 - r^3) / (R^2 - r^2)` for uniform pressure.
///
/// # Examples
/// ```
/// use toothmark::exact::fraction;
/// use toothmark::gearset::{Force, Length, PlateSizes};
/// use toothmark::statics::plate_capacity;
/// let millimetres = |tenths| Some(Length::Millimetres(fraction(tenths, 10)).into());
/// let capacity = plate_capacity(&PlateSizes {
///     faces: Some(fraction(1, 1).into()),
///     friction: Some(fraction(3, 10).into()),
///     outer_radius: millimetres(1250),
///     inner_radius: millimetres(875),
///     force: Some(Force::Newtons(fraction(4000, 1)).into()),
/// }).unwrap();
/// assert!((capacity.uniform_wear - 127.5).abs() < 1e-9);
/// ```
pub fn plate_capacity(sizes: &PlateSizes) -> Option<PlateCapacity> {
    let metres = |length: &Length| length.millimetres() / 1000.0;
    let (outer, inner) = (sizes.outer_radius.as_deref().map(metres)?, sizes.inner_radius.as_deref().map(metres)?);
    let grip = to_float(&(sizes.faces.as_deref()? * sizes.friction.as_deref()?))
        * sizes.force.as_deref().map(Force::newtons)?;
    Some(PlateCapacity {
        uniform_wear: grip * (outer + inner) / 2.0,
        // (R^3 - r^3) / (R^2 - r^2) without the difference of near numbers.
        uniform_pressure: grip * 2.0 / 3.0 * (outer * outer + outer * inner + inner * inner) / (outer + inner),
    })
}

/// The sense in which a drum wants to turn that is held with this torque; `None` for none.
///
/// # Examples
/// ```
/// use toothmark::{exact::fraction, gearset::Sense, statics::drum_wants_to_turn};
/// assert_eq!(drum_wants_to_turn(&fraction(7, 4)), Some(Sense::Backward));
/// ```
pub fn drum_wants_to_turn(held_with: &Fraction) -> Option<Sense> {
    match held_with.numer().sign() {
        num_bigint::Sign::Plus => Some(Sense::Backward),
        num_bigint::Sign::Minus => Some(Sense::Forward),
        num_bigint::Sign::NoSign => None,
    }
}
