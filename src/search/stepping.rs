//! Which of equally spaced values are multiples?
//!
//! first + slope i = 0 (mod divisor) has no solution unless gcd(slope, divisor) divides the first value, and
//! else one in every divisor / gcd values.

use num_integer::Integer;
use num_traits::ToPrimitive;

/// Every `step`-th value beginning with the one at `first`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Steps {
    pub(super) first: usize,
    pub(super) step: usize,
}

/// Of `number` values the places i for which the divisor divides first + slope i; the divisor is not zero.
pub(super) fn solve(first: i64, slope: i64, divisor: i64, number: usize) -> Steps {
    let none = Steps { first: number, step: 1 };
    let [first, slope, divisor] = [first, slope, divisor].map(i128::from);
    let divisor = divisor.abs();
    let (first, slope) = (first.mod_floor(&divisor), slope.mod_floor(&divisor));
    if divisor <= 64 {
        let place = |at: i128| (first + slope * at) % divisor == 0;
        let Some(start) = (0..divisor).find(|&at| place(at)) else { return none };
        let step = (1..=divisor).find(|&at| slope * at % divisor == 0).unwrap_or(divisor);
        return at(start, step, none);
    }
    let common = slope.extended_gcd(&divisor);
    if first % common.gcd != 0 {
        return none;
    }
    let step = divisor / common.gcd;
    // slope x = gcd (mod divisor), hence slope (-first / gcd) x = -first.
    let start = ((-first / common.gcd).mod_floor(&step) * common.x.mod_floor(&step)).mod_floor(&step);
    at(start, step, none)
}

fn at(start: i128, step: i128, none: Steps) -> Steps {
    match (start.to_usize(), step.to_usize()) {
        (Some(first), Some(step)) => Steps { first, step },
        (Some(first), None) => Steps { first, step: usize::MAX },
        _ => none,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_places_are_those_that_trying_finds() {
        for divisor in (-9..=9).chain([97, 100, 128]).filter(|&divisor| divisor != 0) {
            for first in -12..12 {
                for slope in (-7..7).chain([50, 64]) {
                    let steps = solve(first, slope, divisor, 300);
                    let tried: Vec<usize> = (0..300_usize)
                        .filter(|&at| (first + slope * i64::try_from(at).unwrap()) % divisor == 0)
                        .collect();
                    let solved: Vec<usize> = (steps.first.min(300)..300).step_by(steps.step).collect();
                    assert_eq!(solved, tried, "{divisor} divides {first} + {slope} i");
                }
            }
        }
    }
}
