//! Which points of a translate of `Z^d` lie within given ranges of linear forms?
//!
//! Method: coordinate by coordinate. A form that ends with coordinate j leaves, once those before are chosen, an
//! interval for it. A coordinate that no form ends with counts modulo a step only, and is tried once round.
//! Worked out here.

use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use super::class_search::TooManyClasses;
use super::integer_matrix::dot;
use crate::exact::rational::Fraction;

/// The points p with `low <= f.p <= high`.
pub(super) struct FormRange<'a> {
    /// f up to its last entry other than zero.
    pub(super) form: &'a [BigInt],
    pub(super) low: Fraction,
    pub(super) high: Fraction,
}

/// The points of `shift + Z^d` within all ranges; `steps[j]` is what a coordinate counts modulo where no range ends with
/// it, and `left` how many beginnings of points may be looked at, from which those that were are taken off.
pub(super) fn points_in_ranges(
    shift: &[Fraction],
    ranges: &[FormRange<'_>],
    steps: &[Option<BigInt>],
    left: &mut u32,
) -> Result<Vec<Vec<Fraction>>, TooManyClasses> {
    let mut points = vec![Vec::new()];
    for (at, offset) in shift.iter().enumerate() {
        let ending: Vec<&FormRange<'_>> = ranges.iter().filter(|range| range.form.len() == at + 1).collect();
        let mut longer = Vec::new();
        for point in &points {
            let interval = ending.iter().map(|range| range.interval(point, offset));
            let within = interval.reduce(|one, other| (one.0.max(other.0), one.1.min(other.1)));
            let once_round = || (BigInt::zero(), steps[at].as_ref().map_or_else(BigInt::zero, |step| step - 1));
            let (mut next, last) = within.unwrap_or_else(once_round);
            while next <= last {
                *left = left.checked_sub(1).ok_or(TooManyClasses)?;
                longer.push([point, [offset + &next].as_slice()].concat());
                next += BigInt::one();
            }
        }
        points = longer;
    }
    Ok(points)
}

impl FormRange<'_> {
    /// The first and the last integer w with `low <= f.(point, offset + w) <= high`.
    fn interval(&self, point: &[Fraction], offset: &Fraction) -> (BigInt, BigInt) {
        let (last, earlier) = (&self.form[point.len()], &self.form[..point.len()]);
        let so_far = dot(earlier, point);
        let ends = [&self.low, &self.high].map(|end| (end - &so_far) / last - offset);
        let [low, high] = if last.is_negative() { [&ends[1], &ends[0]] } else { [&ends[0], &ends[1]] };
        (low.ceil().to_integer(), high.floor().to_integer())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    #[test]
    fn a_range_ends_with_a_coordinate_and_the_others_go_once_round() {
        let form = [2.into(), (-1).into()];
        let ranges = [FormRange { form: &form, low: fraction(0, 1), high: fraction(1, 1) }];
        let steps = [Some(BigInt::from(2)), None];
        let points = points_in_ranges(&[fraction(1, 4), fraction(0, 1)], &ranges, &steps, &mut 100);
        // 1/2 - w and 5/2 - w within 0 and 1.
        let expected = [[fraction(1, 4), fraction(0, 1)], [fraction(5, 4), fraction(2, 1)]];
        assert_eq!(points.expect("few points"), expected, "one w for each");
        let points = points_in_ranges(&[fraction(1, 4), fraction(0, 1)], &ranges, &steps, &mut 3);
        assert_eq!(points, Err(TooManyClasses), "two beginnings and two points");
    }
}
