//! How much later than its fellows does a planet take load whose pin stands out of its place?
//!
//! One central gear pushes, the other stands, and the planet is free on its pin: it lies against the standing gear, and
//! what is left open at the pushing one is its lag, an arc at that gear's working circle. With the base radii r of the
//! planet's two gears, the working angles w, q = +1 for an external mesh and -1 in a ring, the pin R further out and T
//! further along in the sense in which the pushing gear moves against the carrier, the lag is `(r_A / cos w_A) (R (q_A
//! sin w_A / r_A + q_B sin w_B / r_B) + T (cos w_A / r_A + e cos w_B / r_B))`, e = +1 between sun and ring, -1 where both
//! meshes are of one kind. Exact in the limit of small errors. Between sun and ring the radial part vanishes and the lag
//! is 2 T.

use super::form::{Teeth, ToothForm};
use super::pair::InvolutePair;
use super::refusal::{ToothError, number, size};
use super::working::working_pressure_angle;

/// A gear of a planet in mesh with a central gear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanetMesh {
    base_radius: f64,
    working_pressure_angle: f64,
    central: Teeth,
}

impl PlanetMesh {
    /// A planet gear and the central gear that it meshes with, at their centre distance in millimetres.
    ///
    /// # Errors
    /// [`ToothError::RingPlanet`] where the planet gear is a ring, those of [`InvolutePair::new`] and
    /// [`working_pressure_angle`].
    pub fn new(planet: &ToothForm, central: &ToothForm, distance: f64) -> Result<Self, ToothError> {
        if planet.teeth == Teeth::Internal {
            return Err(ToothError::RingPlanet);
        }
        let pair = InvolutePair::new(planet, central)?;
        Ok(Self {
            base_radius: size(planet.base_radius())?,
            working_pressure_angle: working_pressure_angle(&pair, distance)?,
            central: central.teeth,
        })
    }

    /// How far a flank opens when the pin moves out by 1, as a turn of the planet in radians.
    fn opened_outward(self) -> f64 {
        let outside = match self.central {
            Teeth::External => 1.0,
            Teeth::Internal => -1.0,
        };
        outside * self.working_pressure_angle.sin() / self.base_radius
    }

    /// How far a flank opens when the pin moves along by 1, as a turn of the planet in radians.
    fn opened_along(self) -> f64 {
        self.working_pressure_angle.cos() / self.base_radius
    }
}

/// How far a pin stands out of its place, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PinDisplacement {
    /// Away from the main axis.
    pub outward: f64,
    /// Along the pin circle, in the sense in which the pushing gear moves against the carrier.
    pub along: f64,
}

/// How much later the planet takes load, in millimetres at the working circle of the pushing gear; negative where it is
/// earlier.
///
/// # Errors
/// [`ToothError::PinDisplaced`] where a part of the displacement is more than a millimetre: a wrong unit, or pins in
/// another order.
///
/// # Examples
/// ```
/// use toothmark::tooth::{PinDisplacement, PlanetMesh, Teeth, ToothForm, lag};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.5);
/// let pushing = PlanetMesh::new(&gear(31), &gear(26), 71.25).unwrap();
/// let holding = PlanetMesh::new(&gear(37), &gear(20), 71.25).unwrap();
/// let outward = PinDisplacement { outward: 0.1, ..PinDisplacement::default() };
/// assert!((lag(pushing, holding, outward).unwrap() - 0.066_892).abs() < 1e-6);
/// ```
pub fn lag(pushing: PlanetMesh, holding: PlanetMesh, pin: PinDisplacement) -> Result<f64, ToothError> {
    const MOST: f64 = 1.0;
    // Not a number either.
    if !(pin.outward.abs() <= MOST && pin.along.abs() <= MOST) {
        return Err(ToothError::PinDisplaced);
    }
    let either_side = if pushing.central == holding.central { -1.0 } else { 1.0 };
    let turn = pin.outward * (pushing.opened_outward() + holding.opened_outward())
        + pin.along * (pushing.opened_along() + either_side * holding.opened_along());
    // The working radius of the planet's pushed gear is r_A / cos w_A.
    number(turn * pushing.base_radius / pushing.working_pressure_angle.cos())
}
