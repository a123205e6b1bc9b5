//! How far do tips stay clear of the roots opposite?
//!
//! External pair: `c = a - r_a1 - r_f2` and the other way round. Gear in a ring: `r_f2 - a - r_a1` at the gear's tip
//! and `r_a2 - a - r_f1` at the ring's. A quarter module is usual.

use super::pair::InvolutePair;
use super::refusal::{ToothError, size};

/// The clearance between tips and roots, in millimetres; negative where they foul.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RootClearances {
    /// From the tip of [`InvolutePair::first`] to the root of the second gear.
    pub at_first_tip: f64,
    /// From the tip of [`InvolutePair::second`] to the root of the first gear.
    pub at_second_tip: f64,
}

/// The root clearances of a pair at a centre distance, in millimetres, with the tips and roots that its forms have.
///
/// # Errors
/// [`ToothError`] where the distance is no size.
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, Teeth, ToothForm, root_clearances};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.0);
/// let pair = InvolutePair::new(&gear(20), &gear(31)).unwrap();
/// assert!((root_clearances(&pair, 51.0).unwrap().at_first_tip - 0.5).abs() < 1e-9);
/// ```
pub fn root_clearances(pair: &InvolutePair, distance: f64) -> Result<RootClearances, ToothError> {
    let (first, second, distance) = (pair.first(), pair.second(), size(distance)?);
    // In a ring pair all lengths of the ring run the other way.
    let side = pair.sign();
    Ok(RootClearances {
        at_first_tip: side * (distance - second.root_radius()) - first.tip_radius(),
        at_second_tip: side * (distance - second.tip_radius()) - first.root_radius(),
    })
}
