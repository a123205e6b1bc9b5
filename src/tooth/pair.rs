//! Which two gears mesh, and what of them adds up?
//!
//! For two external gears counts and shifts are added; for a gear in a ring they are subtracted, those of the ring less
//! those of the gear. With s = +1 for an external pair and -1 for a ring pair: `z_S = z_2 + s z_1`, `x_S = x_2 + s
//! x_1`, and the pitch circles touch at the nominal distance `a_d = m z_S / 2`.

use super::form::{Teeth, ToothForm};
use super::refusal::{ToothError, check};

/// Two gears of one module and pressure angle that can mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InvolutePair {
    first: ToothForm,
    second: ToothForm,
}

impl InvolutePair {
    /// Two gears in either order.
    ///
    /// # Errors
    /// [`ToothError::TwoRings`], [`ToothError::RingTooSmall`], [`ToothError::DifferentRack`], or that of a gear.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth::{InvolutePair, Teeth, ToothForm};
    /// let gear = ToothForm::standard(Teeth::External, 20, 2.0);
    /// let pair = InvolutePair::new(&ToothForm::standard(Teeth::Internal, 60, 2.0), &gear).unwrap();
    /// assert_eq!(pair.first().tooth_count, 20);
    /// assert!((pair.nominal_distance() - 40.0).abs() < 1e-12);
    /// ```
    pub fn new(a: &ToothForm, b: &ToothForm) -> Result<Self, ToothError> {
        const ALIKE: f64 = 1e-9;
        check(a)?;
        check(b)?;
        let module_apart = (a.module - b.module).abs() > ALIKE * a.module;
        if module_apart || (a.pressure_angle - b.pressure_angle).abs() > ALIKE {
            return Err(ToothError::DifferentRack);
        }
        let (first, second) = match (a.teeth, b.teeth) {
            (Teeth::Internal, Teeth::Internal) => return Err(ToothError::TwoRings),
            (Teeth::Internal, Teeth::External) => (*b, *a),
            (Teeth::External, _) => (*a, *b),
        };
        if second.teeth == Teeth::Internal && second.tooth_count <= first.tooth_count {
            return Err(ToothError::RingTooSmall);
        }
        Ok(Self { first, second })
    }

    /// The gear inside the ring, or the one named first.
    pub fn first(&self) -> &ToothForm {
        &self.first
    }

    /// The ring, or the gear named second.
    pub fn second(&self) -> &ToothForm {
        &self.second
    }

    /// Whether one of the two is a ring.
    pub fn has_ring(&self) -> bool {
        self.second.teeth == Teeth::Internal
    }

    /// `x_S` in modules: the sum of the shifts, in a ring pair that of the ring less that of the gear.
    pub fn shift_sum(&self) -> f64 {
        sum(&self.first, &self.second, |gear| gear.profile_shift)
    }

    /// `a_d` in millimetres: the distance at which the pitch circles touch.
    pub fn nominal_distance(&self) -> f64 {
        self.count_sum() * self.module() / 2.0
    }

    /// The distance at which the base circles touch, in millimetres, or that of the ring the gear's from within: every
    /// mesh stands farther apart.
    pub fn least_distance(&self) -> f64 {
        self.nominal_distance() * self.pressure_angle().cos()
    }

    /// `z_S`.
    pub(super) fn count_sum(&self) -> f64 {
        sum(&self.first, &self.second, ToothForm::count)
    }

    /// +1 for an external pair, -1 for a ring pair.
    pub(super) fn sign(&self) -> f64 {
        if self.has_ring() { -1.0 } else { 1.0 }
    }

    pub(super) fn module(&self) -> f64 {
        self.first.module
    }

    pub(super) fn pressure_angle(&self) -> f64 {
        self.first.pressure_angle
    }
}

/// A sum over two gears; of a gear in a ring the difference, that of the ring less that of the gear.
fn sum(first: &ToothForm, second: &ToothForm, of: fn(&ToothForm) -> f64) -> f64 {
    match second.teeth {
        Teeth::External => of(second) + of(first),
        Teeth::Internal => of(second) - of(first),
    }
}
