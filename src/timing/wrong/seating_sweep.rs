//! Every wrong seating of one cluster, met one after another as it is turned.
//!
//! While a cluster with the tooth counts `P_i` is turned from its right seating, the tooth
//! nearest to each gear's place changes where `P_i u` passes a half. Between two such turns
//! the whole numbers `n_i` stay as they are, and every choice of them that has an error
//! below half a tooth is met there, once a period 1/g, g the greatest common divisor of the
//! counts. Turning back mirrors turning on, and a seating is never its own mirror image: so
//! half a period shows one of every two. Error and best turn of a choice are those of
//! [`crate::timing::wrong_seating`]. Worked out here.

use num_integer::Integer;

use crate::exact::{Fraction, TooManyClasses, to_float};
use crate::timing::wrong_seating::{MinimaxErrors, seating};

/// How many comparisons are made before the sweep is given up: a few seconds.
const COMPARISON_LIMIT: usize = 50_000_000;

/// How many comparisons an exact error between two gears costs.
const EXACT_COST: usize = 20;

/// A wrong seating met by the sweep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Met {
    /// The whole teeth `n_i` that each gear is on.
    pub(super) moved: Vec<i64>,
    /// Its errors at the best turn.
    pub(super) seating: MinimaxErrors,
}

/// The wrong seatings of a cluster whose largest error is at most `most` teeth, those with a
/// turn from 0 to 1/(2g).
///
/// # Errors
/// [`TooManyClasses`] for more teeth than anybody counts.
pub(super) fn seatings_within(tooth_counts: &[i64], most: &Fraction) -> Result<Vec<Met>, TooManyClasses> {
    seatings_at_cost(tooth_counts, most, COMPARISON_LIMIT)
}

/// The same with so many comparisons at most.
fn seatings_at_cost(tooth_counts: &[i64], most: &Fraction, mut left: usize) -> Result<Vec<Met>, TooManyClasses> {
    let common = tooth_counts.iter().fold(0, |common, count| count.gcd(&common));
    let gears = tooth_counts.len();
    let mut moved = vec![0; gears];
    let mut found = Vec::new();
    while step(tooth_counts, common, &mut moved) {
        left = left.checked_sub(gears).ok_or(TooManyClasses)?;
        if is_near(tooth_counts, &moved, most) {
            left = left.checked_sub(EXACT_COST * gears * gears / 2).ok_or(TooManyClasses)?;
            let seating = seating(tooth_counts, &moved);
            if seating.largest_error <= *most {
                found.push(Met { moved: moved.clone(), seating });
            }
        }
    }
    Ok(found)
}

/// Turns on to where the next gear, or several at once, are half a tooth on; false where
/// half a period is over.
fn step(tooth_counts: &[i64], common: i64, moved: &mut [i64]) -> bool {
    // The next half of gear i is at (2 n_i + 1) / (2 P_i).
    let Some((odd, count)) = moved
        .iter()
        .zip(tooth_counts)
        .map(|(teeth, &count)| (2 * teeth + 1, count))
        .min_by(|a, b| (a.0 * b.1).cmp(&(b.0 * a.1)))
    else {
        return false;
    };
    if odd * common >= count {
        return false;
    }
    for (teeth, of) in moved.iter_mut().zip(tooth_counts) {
        if (2 * *teeth + 1) * count == odd * of {
            *teeth += 1;
        }
    }
    true
}

/// Whether no pair of gears is clearly too far out; quick, so that the exact errors are
/// worked out for few.
fn is_near(tooth_counts: &[i64], moved: &[i64], most: &Fraction) -> bool {
    let float = |value: i64| f64::from(i32::try_from(value).unwrap_or(i32::MAX));
    let limit = to_float(most) + 1e-6;
    let pair = |i: usize, j: usize| {
        let difference = (tooth_counts[j] * moved[i] - tooth_counts[i] * moved[j]).abs();
        float(difference) <= limit * float(tooth_counts[i] + tooth_counts[j])
    };
    (1..moved.len()).all(|i| (0..i).all(|j| pair(i, j)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    #[track_caller]
    fn check(tooth_counts: &[i64], most: (i64, i64), expected: &[&str]) {
        let mut found = seatings_within(tooth_counts, &fraction(most.0, most.1)).expect("few choices");
        found.sort_by(|a, b| a.seating.largest_error.cmp(&b.seating.largest_error));
        let errors: Vec<String> = found.iter().map(|met| met.seating.largest_error.to_string()).collect();
        assert_eq!(errors, expected, "{tooth_counts:?} within {most:?}");
    }

    #[test]
    fn small_clusters_have_the_seatings_that_can_be_counted_on_fingers() {
        check(&[4, 3], (1, 2), &["1/7", "2/7", "3/7"]);
        check(&[4, 3], (2, 7), &["1/7", "2/7"]);
        check(&[8, 6], (1, 2), &["1/7", "2/7", "3/7"]);
        check(&[5], (1, 2), &[]);
        check(&[5, 5], (1, 2), &[]);
        check(&[], (1, 2), &[]);
    }

    #[test]
    fn more_teeth_than_anybody_counts_are_given_up() {
        let counts: Vec<i64> = (0..60).map(|gear| 9_941 - gear).collect();
        assert_eq!(seatings_within(&counts, &fraction(1, 2)), Err(TooManyClasses));
        let few = seatings_within(&counts, &fraction(1, 100)).expect("few are so near");
        assert_eq!(few.len(), 3, "59/19823 of a tooth each time more");
    }

    /// Where nothing is near no exact error is worked out, and the steps alone have to end the sweep.
    #[test]
    fn a_sweep_is_given_up_by_its_steps_and_by_its_exact_errors() {
        let [nothing, all] = [fraction(1, 1000), fraction(1, 2)];
        // The halves of a tooth within half a period: 2 of the gear with 4 teeth, 1 of that with 3, of two gears each.
        assert_eq!(seatings_at_cost(&[4, 3], &nothing, 6), Ok(Vec::new()));
        assert_eq!(seatings_at_cost(&[4, 3], &nothing, 5), Err(TooManyClasses));
        // Each is near half a tooth, and an exact error of two gears costs 40.
        assert_eq!(seatings_at_cost(&[4, 3], &all, 126).map(|met| met.len()), Ok(3));
        assert_eq!(seatings_at_cost(&[4, 3], &all, 125), Err(TooManyClasses));
    }
}
