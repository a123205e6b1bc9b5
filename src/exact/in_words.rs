//! How are fractions of machine words calculated without numbers of any size?
//!
//! Nearly every fraction has a numerator and a denominator of 64 bits; of two of those whatever is needed on the way to a
//! sum, product or comparison has 128 bits at most. `None` where one does not fit, and the numbers of any size take over.
//! In lowest terms from the beginning, so that common divisors are those of 64 bits: D. E. Knuth, The Art of Computer
//! Programming 2, section 4.5.1 (from memory).

use std::cmp::Ordering;

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::ToPrimitive;

/// Numerator and denominator of a fraction in lowest terms, the negative of each a word as well.
#[derive(Clone, Copy)]
struct Words {
    numerator: i64,
    denominator: i64,
}

fn words(of: &BigRational) -> Option<Words> {
    let numerator = of.numer().to_i64().filter(|&numerator| numerator != i64::MIN)?;
    Some(Words { numerator, denominator: of.denom().to_i64()? })
}

fn product_of(one: i64, other: i64) -> i128 {
    i128::from(one) * i128::from(other)
}

/// In lowest terms, the denominator positive.
fn fraction(numerator: i128, denominator: i128) -> BigRational {
    BigRational::new_raw(BigInt::from(numerator), BigInt::from(denominator))
}

pub(super) fn sum(one: &BigRational, other: &BigRational) -> Option<BigRational> {
    combined(words(one)?, words(other)?)
}

pub(super) fn difference(one: &BigRational, other: &BigRational) -> Option<BigRational> {
    let other = words(other)?;
    combined(words(one)?, Words { numerator: -other.numerator, ..other })
}

/// `a/b + c/d = (a d' + c b') / (b' d)` with `g = gcd(b, d)`, `b' = b/g`, `d' = d/g`; the numerator has a divisor in common
/// with g at most.
fn combined(
    Words { numerator: a, denominator: b }: Words,
    Words { numerator: c, denominator: d }: Words,
) -> Option<BigRational> {
    let common = b.gcd(&d);
    let (b, d_reduced) = (b / common, d / common);
    let numerator = product_of(a, d_reduced) + product_of(c, b);
    let remainder = i64::try_from(numerator % i128::from(common)).ok()?;
    let divisor = remainder.gcd(&common);
    Some(fraction(numerator / i128::from(divisor), product_of(b, d / divisor)))
}

pub(super) fn product(one: &BigRational, other: &BigRational) -> Option<BigRational> {
    let (Words { numerator: a, denominator: b }, Words { numerator: c, denominator: d }) = (words(one)?, words(other)?);
    // What a has in common with d, and c with b, is all that there is to be cancelled.
    let (of_a, of_c) = (a.gcd(&d), c.gcd(&b));
    Some(fraction(product_of(a / of_a, c / of_c), product_of(b / of_c, d / of_a)))
}

/// `None` as well where it is divided by zero.
pub(super) fn quotient(one: &BigRational, other: &BigRational) -> Option<BigRational> {
    let (Words { numerator: a, denominator: b }, Words { numerator: c, denominator: d }) = (words(one)?, words(other)?);
    if c == 0 {
        return None;
    }
    let (numerators, denominators) = (a.gcd(&c), b.gcd(&d));
    let sign = i128::from(c.signum());
    let numerator = product_of(a / numerators, d / denominators) * sign;
    Some(fraction(numerator, product_of(b / denominators, c / numerators) * sign))
}

/// Which of two is larger: `a d` beside `c b`, the denominators being positive.
pub(super) fn order(one: &BigRational, other: &BigRational) -> Option<Ordering> {
    let (one, other) = (words(one)?, words(other)?);
    Some(product_of(one.numerator, other.denominator).cmp(&product_of(other.numerator, one.denominator)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_traits::Zero;
    use proptest::prelude::*;

    /// Small, near the ends of a word and beyond them; many with factors in common.
    fn integer() -> impl Strategy<Value = i128> {
        let word = i128::from(i64::MAX);
        prop_oneof![
            -12..=12_i128,
            (-5000..5000_i128).prop_map(|factor| factor * 5040),
            Just(word),
            Just(-word),
            Just(-word - 1),
            word - 100..word + 100,
            (-1_i128 << 100)..(1 << 100),
        ]
    }

    fn rational() -> impl Strategy<Value = BigRational> {
        let divisor = integer().prop_filter("no zero", |divisor| *divisor != 0);
        (integer(), divisor).prop_map(|(of, by)| BigRational::new(of.into(), by.into()))
    }

    /// What is said in words is what numbers of any size say, in lowest terms.
    #[track_caller]
    fn agrees(in_words: Option<BigRational>, slow: &BigRational) {
        let Some(found) = in_words else { return };
        assert_eq!((found.numer(), found.denom()), (slow.numer(), slow.denom()), "as numbers of any size say");
    }

    proptest! {
        #![proptest_config(crate::random::cases(2000))]

        #[test]
        fn fractions_of_words_are_those_of_numbers_of_any_size(one in rational(), other in rational()) {
            agrees(sum(&one, &other), &(&one + &other));
            agrees(difference(&one, &other), &(&one - &other));
            agrees(product(&one, &other), &(&one * &other));
            if other.is_zero() {
                prop_assert!(quotient(&one, &other).is_none(), "nothing is divided by zero");
            } else {
                agrees(quotient(&one, &other), &(&one / &other));
            }
            prop_assert!(order(&one, &other).is_none_or(|order| order == one.cmp(&other)), "{one} beside {other}");
        }
    }

    #[test]
    fn words_serve_up_to_their_ends() {
        let most = BigRational::from_integer(i64::MAX.into());
        let least = BigRational::new(1.into(), i64::MAX.into());
        assert!(sum(&most, &most).is_some() && product(&most, &most).is_some() && quotient(&most, &least).is_some());
        let beyond = BigRational::from_integer(i64::MIN.into());
        assert!(sum(&beyond, &most).is_none() && order(&most, &beyond).is_none());
    }
}
