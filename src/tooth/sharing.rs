//! Which planets carry, and how much, when some take load later than others?
//!
//! The planets are equal springs between rigid bodies, k newton per millimetre along the working circle of the pushing
//! gear; a planet that lags by l has a force `k (s - l)`, never below zero, where s is how far the pushing gear has come
//! when all forces add up to the one on it. With the lags in rising order planet n begins to carry at `k sum (l_n -
//! l_i)` over those before it. A central gear free to float moves until the forces push it nowhere: two or three planets
//! then share alike, and of four those that stand opposite, `F/4 + k (- l_1 + l_2 - l_3 + l_4)/4` and the other sign.

use super::refusal::{ToothError, number, size};

/// What each planet carries.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LoadShares {
    /// The force of each planet, in newton, in the order of the lags.
    pub forces: Vec<f64>,
    /// The force on the pushing gear from which on each planet carries, in newton.
    pub joins_at: Vec<f64>,
}

/// The forces of planets between bodies that do not float: their lags in millimetres, the stiffness of one in newton per
/// millimetre, the force on the pushing gear in newton, all at its working circle.
///
/// # Errors
/// [`ToothError::NoSize`] without planets, or where stiffness or force is not above zero; [`ToothError::OutOfRange`].
///
/// # Examples
/// ```
/// use toothmark::tooth::share_load;
/// let shares = share_load(&[0.0, -0.02, 0.01], 100_000.0, 3000.0).unwrap();
/// assert!((shares.forces[1] - 2500.0).abs() < 1e-6);
/// assert!((shares.joins_at[2] - 4000.0).abs() < 1e-6);
/// ```
pub fn share_load(lags: &[f64], stiffness: f64, force: f64) -> Result<LoadShares, ToothError> {
    let (stiffness, force) = (size(stiffness)?, size(force)?);
    let mut order: Vec<f64> = lags.iter().map(|&lag| number(lag)).collect::<Result<_, _>>()?;
    order.sort_by(f64::total_cmp);
    let pushed = pushed(&order, stiffness, force)?;
    let joins_at =
        lags.iter().map(|&lag| stiffness * order.iter().map(|earlier| (lag - earlier).max(0.0)).sum::<f64>());
    Ok(LoadShares {
        forces: lags.iter().map(|lag| stiffness * (pushed - lag).max(0.0)).collect(),
        joins_at: joins_at.collect(),
    })
}

/// s, how far the pushing gear comes: with the n earliest planets carrying `F = k (n s - sum l)`, and no more of them
/// carry once the next lags by s or more.
fn pushed(order: &[f64], stiffness: f64, force: f64) -> Result<f64, ToothError> {
    let mut sum = 0.0;
    let mut carrying = 0.0;
    for (number, &lag) in order.iter().enumerate() {
        sum += lag;
        carrying += 1.0;
        let pushed = (force / stiffness + sum) / carrying;
        if order.get(number + 1).is_none_or(|&next| next >= pushed) {
            return Ok(pushed);
        }
    }
    Err(ToothError::NoSize)
}

/// The forces of two to four planets at equal angles, in their order round the axis, where one of the two central gears
/// floats; otherwise as [`share_load`].
///
/// # Errors
/// [`ToothError::FloatingPlanets`] of any other number of planets; as [`share_load`].
///
/// # Examples
/// ```
/// use toothmark::tooth::share_load_floating;
/// let shares = share_load_floating(&[-0.02, 0.0, 0.0, 0.0], 100_000.0, 4000.0).unwrap();
/// assert!((shares.forces[0] - 1500.0).abs() < 1e-6);
/// assert!((shares.forces[1] - 500.0).abs() < 1e-6);
/// ```
pub fn share_load_floating(lags: &[f64], stiffness: f64, force: f64) -> Result<LoadShares, ToothError> {
    let (stiffness, force) = (size(stiffness)?, size(force)?);
    lags.iter().try_for_each(|&lag| number(lag).map(drop))?;
    match *lags {
        [_, _] => Ok(LoadShares { forces: vec![force / 2.0; 2], joins_at: vec![0.0; 2] }),
        [_, _, _] => Ok(LoadShares { forces: vec![force / 3.0; 3], joins_at: vec![0.0; 3] }),
        [a, b, c, d] => {
            // Two springs, each a pair of opposite planets: forces alike within a pair, 2k (s - the mean of its lags).
            let pairs = share_load(&[f64::midpoint(a, c), f64::midpoint(b, d)], 2.0 * stiffness, force)?;
            let of_each = |of_pairs: &[f64], part: f64| of_pairs.iter().chain(of_pairs).map(|of| of * part).collect();
            Ok(LoadShares { forces: of_each(&pairs.forces, 0.5), joins_at: of_each(&pairs.joins_at, 1.0) })
        }
        _ => Err(ToothError::FloatingPlanets),
    }
}
