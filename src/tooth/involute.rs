//! What is the involute function of an angle, and which angle has a given one?
//!
//! inv a = tan a - a: the angle through which a taut thread has been unrolled from the base circle less the angle seen
//! from the centre. It is odd and rises without bound towards a right angle. Source: ISO 21771:2007, from memory.

use std::f64::consts::FRAC_PI_2;

/// inv a = tan a - a of an angle in radians.
///
/// Near zero, where the two terms cancel, its power series takes their place, so that the relative error stays near
/// 1e-13 everywhere. Not finite where the angle is not.
///
/// # Examples
/// ```
/// use toothmark::tooth::involute;
/// assert!((involute(20_f64.to_radians()) - 0.014_904_383_867).abs() < 1e-12);
/// ```
pub fn involute(angle: f64) -> f64 {
    // The first term left out is below 2e-16 of the sum here.
    const SMALL: f64 = 0.05;
    if angle.abs() >= SMALL {
        return angle.tan() - angle;
    }
    // tan a - a = a^3/3 + 2a^5/15 + 17a^7/315 + 62a^9/2835 + 1382a^11/155925 + ...
    let square = angle * angle;
    let terms = [1.0 / 3.0, 2.0 / 15.0, 17.0 / 315.0, 62.0 / 2835.0, 1382.0 / 155_925.0];
    angle * square * terms.iter().rev().fold(0.0, |sum, term| sum * square + term)
}

/// The angle in radians, between -pi/2 and pi/2, whose involute function is this; `None` where the value is not finite.
///
/// # Examples
/// ```
/// use toothmark::tooth::{inverse_involute, involute};
/// let angle = inverse_involute(0.034_316_129_694_9).unwrap();
/// assert!((angle.to_degrees() - 26.088_563_442).abs() < 1e-8);
/// assert_eq!(inverse_involute(f64::NAN), None);
/// ```
pub fn inverse_involute(value: f64) -> Option<f64> {
    const STEPS: u32 = 100;
    const CLOSE: f64 = 1e-15;
    if !value.is_finite() {
        return None;
    }
    let goal = value.abs();
    if goal < f64::MIN_POSITIVE {
        return Some(0.0);
    }
    // Both starts lie above the angle a: inv a >= a^3/3, and tan a = inv a + a < inv a + pi/2. From above Newton's
    // method descends on a convex function and never overshoots.
    let mut angle = (3.0 * goal).cbrt().min((goal + FRAC_PI_2).atan());
    for _ in 0..STEPS {
        // inv' a = tan^2 a.
        let step = (involute(angle) - goal) / angle.tan().powi(2);
        // Rounding turns the sign of the last step, or leaves no step next to a right angle.
        if step <= CLOSE * angle {
            break;
        }
        angle -= step;
    }
    Some(angle.copysign(value))
}
