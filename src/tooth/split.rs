//! How is the sum of the shifts that a distance needs shared between the two gears?
//!
//! Any split closes the mesh; tips, undercut and sliding tell splits apart. None is called stronger here. With `z_1` the
//! smaller count, `u = z_2 / z_1` and the sum `x_S` the rules are: equal specific sliding at both roots; the difference
//! rule, `x_1 - x_2 = 0.03 (z_2 - z_1)`, from 60 teeth in all on `0.06 (30 - z_1)`, nothing where the smaller gear has 30
//! or more (Henriot, from memory); the inverse ratio, `x_1 = l (u - 1)/(u + 1) + x_S/(u + 1)` with l from 0.5 to 0.75
//! (ISO/TR 4467:1982, from memory); the logarithm, `x_1 = x_S/2 + (1/2 - x_S/2) lg u / lg(z_1 z_2 / 100)` (Niemann and
//! Winter, 1983, from memory); halves.

use super::form::ToothForm;
use super::pair::InvolutePair;
use super::refusal::{ToothError, number};
use super::sliding::{RootCurvatures, root_sliding};
use super::working::{shift_sum_for, tip_shortening};

/// A way to share the sum of the shifts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum SplitRule {
    /// Both flanks slide alike where they slide most, at their roots.
    EqualSliding,
    /// A difference that grows with what the counts lack of 30.
    Difference,
    /// The smaller gear takes more, by the ratio and a factor from 0.5 to 0.75.
    InverseRatio(f64),
    /// The smaller gear takes more, by the logarithm of the ratio.
    Logarithm,
    /// Each gear takes one half; in a ring pair, where the ring's shift counts less the gear's, half of either sign.
    Halves,
}

/// The shifts of a pair, in modules.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ShiftSplit {
    /// Of [`InvolutePair::first`].
    pub first: f64,
    /// Of [`InvolutePair::second`].
    pub second: f64,
}

/// The shifts with which a pair meshes without backlash at a centre distance, in millimetres, shared by a rule; the
/// shifts of the forms are not looked at.
///
/// # Errors
/// [`ToothError::NoSplit`] where no shift of the smaller gear from -0.9 to 1.3 makes the sliding alike, where ten teeth
/// with ten leave the logarithm without a value, or where a rule for external pairs is asked of a ring; those of
/// [`shift_sum_for`].
///
/// # Examples
/// ```
/// use toothmark::tooth::{InvolutePair, SplitRule, Teeth, ToothForm, split_shift};
/// let gear = |count| ToothForm::standard(Teeth::External, count, 2.5);
/// let pair = InvolutePair::new(&gear(24), &gear(37)).unwrap();
/// let split = split_shift(&pair, 75.0, SplitRule::EqualSliding).unwrap();
/// assert!((split.first - 0.010_171_5).abs() < 1e-7);
/// assert!((split.second + 0.477_249_9).abs() < 1e-7);
/// ```
pub fn split_shift(pair: &InvolutePair, distance: f64, rule: SplitRule) -> Result<ShiftSplit, ToothError> {
    let sum = shift_sum_for(pair, distance)?;
    let first = match rule {
        SplitRule::EqualSliding => of_equal_sliding(pair, distance, sum)?,
        // x_2 = s x_1 = x_S / 2.
        SplitRule::Halves => pair.sign() * sum / 2.0,
        SplitRule::Difference | SplitRule::InverseRatio(_) | SplitRule::Logarithm => by_counts(pair, sum, rule)?,
    };
    Ok(split(pair, sum, number(first)?))
}

/// The second gear gets what the first leaves: `x_2 = x_S - s x_1`.
fn split(pair: &InvolutePair, sum: f64, first: f64) -> ShiftSplit {
    ShiftSplit { first, second: sum - pair.sign() * first }
}

/// The shift of the first gear by a rule that looks at the counts of an external pair alone.
fn by_counts(pair: &InvolutePair, sum: f64, rule: SplitRule) -> Result<f64, ToothError> {
    if pair.has_ring() {
        return Err(ToothError::NoSplit);
    }
    let (first, second) = (pair.first().count(), pair.second().count());
    let (few, many) = (first.min(second), first.max(second));
    let ratio = many / few;
    let of_few = match rule {
        SplitRule::Difference => f64::midpoint(sum, difference(few, many)),
        SplitRule::InverseRatio(factor) => (number(factor)? * (ratio - 1.0) + sum) / (ratio + 1.0),
        SplitRule::Logarithm => {
            let scale = (few * many / 100.0).log10();
            if scale <= 0.0 {
                return Err(ToothError::NoSplit);
            }
            sum / 2.0 + (0.5 - sum / 2.0) * ratio.log10() / scale
        }
        SplitRule::EqualSliding | SplitRule::Halves => return Err(ToothError::NoSplit),
    };
    Ok(if first <= second { of_few } else { sum - of_few })
}

/// `x_1 - x_2` of the smaller gear and the larger.
fn difference(few: f64, many: f64) -> f64 {
    if few + many >= 60.0 { 0.06 * (30.0 - few).max(0.0) } else { 0.03 * (many - few) }
}

/// The shift of the first gear at which both roots slide alike, with the tips as they are cut: full, shortened for root
/// clearance, not beyond their limits.
fn of_equal_sliding(pair: &InvolutePair, distance: f64, sum: f64) -> Result<f64, ToothError> {
    const LEAST: f64 = -0.9;
    const MOST: f64 = 1.3;
    const ALIKE: f64 = 1e-6;
    let more = |first: f64| first_slides_more(&cut(pair, distance, split(pair, sum, first))?, distance);
    // The bracket is meant for the smaller gear.
    let (mut low, mut high) = if pair.has_ring() || pair.first().tooth_count <= pair.second().tooth_count {
        (LEAST, MOST)
    } else {
        (sum - MOST, sum - LEAST)
    };
    if !more(low)? || more(high)? {
        return Err(ToothError::NoSplit);
    }
    // Invariant: the first gear slides more at `low` and not at `high`, as its shift keeps the other's tip off its root
    // and sends its own towards the other's. Sixty halvings leave nothing of the bracket.
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if more(middle)? {
            low = middle;
        } else {
            high = middle;
        }
    }
    let sliding =
        root_sliding(&cut(pair, distance, split(pair, sum, high))?, distance).map_err(|_| ToothError::NoSplit)?;
    // Where tips stop growing at their limits sliding may jump from one side to the other.
    let alike = (sliding.of_first - sliding.of_second).abs() < ALIKE * (1.0 + sliding.of_first.abs());
    if alike { Ok(high) } else { Err(ToothError::NoSplit) }
}

/// Whether the first gear slides more at its root than the second; a tip beyond the tangent point slides without bound.
fn first_slides_more(pair: &InvolutePair, distance: f64) -> Result<bool, ToothError> {
    let ends = RootCurvatures::of(pair, distance)?;
    if ends.of_first <= 0.0 || ends.of_second <= 0.0 {
        return Ok(ends.of_first <= 0.0);
    }
    let sliding = root_sliding(pair, distance)?;
    Ok(sliding.of_first < sliding.of_second)
}

/// The pair with these shifts and its tips shortened by `k = y - x_S` modules.
fn cut(pair: &InvolutePair, distance: f64, shifts: ShiftSplit) -> Result<InvolutePair, ToothError> {
    let shifted = |form: &ToothForm, profile_shift| ToothForm { profile_shift, ..*form };
    let full = InvolutePair::new(&shifted(pair.first(), shifts.first), &shifted(pair.second(), shifts.second))?;
    let shortening = tip_shortening(&full, distance)?;
    let shortened = |form: &ToothForm| ToothForm { addendum: form.addendum + shortening, ..*form };
    InvolutePair::new(&shortened(full.first()), &shortened(full.second()))
}
