//! How far apart do two gears stand that mesh without backlash, and what does another distance do to their backlash?
//!
//! With z, x the counts and shifts, m the module and a the pressure angle at the pitch circles, the
//! pressure angle w of the mesh follows from `inv w = inv a + 2 tan a (x_1 + x_2) / (z_1 + z_2)` and
//! the centre distance is `m (z_1 + z_2) cos a / (2 cos w)`; for a gear 1 in a ring 2, whose shift
//! counts away from the axis as well, both sums are differences, 2 less 1.
//! Source: ISO 21771:2007, from memory.

use super::form::{Teeth, ToothForm};
use super::involute::{inverse_involute, involute};

/// The centre distance of two gears of one module that mesh without backlash when their teeth are
/// not thinned, in millimetres; `None` where the shifts leave no mesh.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, center_distance};
/// let gear = |teeth, count, profile_shift| {
///     ToothForm { profile_shift, ..ToothForm::standard(teeth, count, 2.0) }
/// };
/// let (a, b) = (gear(Teeth::External, 24, 0.0), gear(Teeth::External, 37, 0.0));
/// assert!((center_distance(&a, &b).unwrap() - 61.0).abs() < 1e-9);
/// let (a, b) = (gear(Teeth::External, 24, -0.5), gear(Teeth::External, 37, 0.0));
/// assert!((center_distance(&a, &b).unwrap() - 60.0).abs() < 0.1);
/// ```
pub fn center_distance(a: &ToothForm, b: &ToothForm) -> Option<f64> {
    let count = sum(a, b, ToothForm::count);
    let shift = sum(a, b, |gear| gear.profile_shift);
    let nominal = count * a.module / 2.0;
    if shift.abs() < f64::EPSILON {
        return (count > 0.0).then_some(nominal);
    }
    let angle = a.pressure_angle;
    let working = inverse_involute(involute(angle) + 2.0 * angle.tan() * shift / count)?;
    (count > 0.0 && working > 0.0).then(|| nominal * angle.cos() / working.cos())
}

/// By how much backlash grows, as an arc at the pitch circles, when the centre distance changes, in millimetres; `None`
/// where the involutes do not reach one another at one of the distances.
///
/// With `a_d = m (z_1 + z_2) / 2` and the working pressure angle `cos w = a_d cos a / distance` it grows by
/// `2 a_d (inv w' - inv w)`, near `2 tan w` of the change; in a ring, whose count sum is a difference, it shrinks by that.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, backlash_growth};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.5);
/// let closer = backlash_growth(&gear(26), &gear(31), 71.25, 71.15).unwrap();
/// assert!((closer + 0.0724).abs() < 1e-4, "0.10 mm closer takes 0.072 mm");
/// ```
pub fn backlash_growth(a: &ToothForm, b: &ToothForm, from: f64, to: f64) -> Option<f64> {
    let sign = if a.teeth == b.teeth { 1.0 } else { -1.0 };
    let nominal = sum(a, b, ToothForm::count) * a.module / 2.0;
    let involute_of_working_angle = |distance: f64| {
        let cosine = nominal * a.pressure_angle.cos() / distance;
        (cosine > 0.0 && cosine <= 1.0).then(|| involute(cosine.acos()))
    };
    Some(sign * 2.0 * nominal * (involute_of_working_angle(to)? - involute_of_working_angle(from)?))
}

/// A sum over two gears; of a gear in a ring the difference, that of the ring first.
pub(super) fn sum(a: &ToothForm, b: &ToothForm, of: impl Fn(&ToothForm) -> f64) -> f64 {
    match (a.teeth, b.teeth) {
        (Teeth::Internal, Teeth::External) => of(a) - of(b),
        (Teeth::External, Teeth::Internal) => of(b) - of(a),
        (Teeth::External, Teeth::External) | (Teeth::Internal, Teeth::Internal) => of(a) + of(b),
    }
}
