//! How is an exact fraction read, rounded and shown?
//!
//! A [`Fraction`] is a ratio of two integers of any size, always in lowest
//! terms. Everything that this library calls exact is one. The only way from an
//! exact value to a float is [`to_float`], and the only way to a decimal that a
//! person reads is [`decimal`], which rounds the exact value itself. Long division is all
//! the method there is.

use super::rational::Fraction;
use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{One, Signed, ToPrimitive, Zero};

/// The longest text that [`parse`] reads as a number, in characters.
const LONGEST_TEXT: usize = 1000;

/// The longest numerator and denominator that [`parse`] accepts, in bits: 77 digits.
const LONGEST_WHOLE: u64 = 256;

/// The fraction `numerator / denominator`.
///
/// # Panics
/// If `denominator` is zero.
///
/// # Examples
/// ```
/// use toothmark::exact::fraction;
/// assert_eq!(fraction(6, -4).to_string(), "-3/2");
/// ```
pub fn fraction(numerator: i64, denominator: i64) -> Fraction {
    if numerator == i64::MIN || denominator == i64::MIN || denominator == 0 {
        return Fraction::new(numerator.into(), denominator.into());
    }
    // Put into lowest terms in machine words, which is done in a fraction of the time.
    let (numerator, denominator) = Ratio::new(numerator, denominator).into();
    Fraction::new_raw(numerator.into(), denominator.into())
}

/// Reads a number as people write it: `3`, `-3/4`, `91.5`, `91 3/7`.
///
/// Returns `None` for anything else: exponents, separators of thousands, a zero
/// denominator, or a number with more than 77 digits, which nobody has measured.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, parse};
/// assert_eq!(parse("91 3/7"), Some(fraction(640, 7)));
/// assert_eq!(parse("-0.5"), Some(fraction(-1, 2)));
/// assert_eq!(parse("1/0"), None);
/// ```
pub fn parse(text: &str) -> Option<Fraction> {
    let text = text.trim();
    if text.len() > LONGEST_TEXT {
        return None;
    }
    let (negative, magnitude) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let value = match magnitude.split_once('/') {
        None => parse_decimal(magnitude)?,
        Some((before, denominator)) => {
            let denominator = parse_digits(denominator)?;
            if denominator.is_zero() {
                return None;
            }
            let (whole, numerator) = match before.trim_end().rsplit_once(' ') {
                Some((whole, numerator)) => (parse_digits(whole.trim_end())?, numerator),
                None => (BigInt::zero(), before),
            };
            Fraction::from(whole) + Fraction::new(parse_digits(numerator)?, denominator)
        }
    };
    let short = value.numer().bits() <= LONGEST_WHOLE && value.denom().bits() <= LONGEST_WHOLE;
    short.then(|| if negative { -value } else { value })
}

fn parse_decimal(text: &str) -> Option<Fraction> {
    let Some((whole, decimals)) = text.split_once('.') else {
        return parse_digits(text).map(Fraction::from);
    };
    if whole.is_empty() && decimals.is_empty() {
        return None;
    }
    let digits = format!("{whole}{decimals}");
    let places = u32::try_from(decimals.len()).ok()?;
    Some(Fraction::new(parse_digits(&digits)?, BigInt::from(10).pow(places)))
}

fn parse_digits(text: &str) -> Option<BigInt> {
    let text = text.trim();
    (!text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())).then(|| text.parse().ok()).flatten()
}

/// The integer nearest to a value; halfway between two, the one farther from zero.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, nearest_integer};
/// assert_eq!(nearest_integer(&fraction(28, 3)), 9.into());
/// assert_eq!(nearest_integer(&fraction(-1, 2)), (-1).into());
/// ```
pub fn nearest_integer(value: &Fraction) -> BigInt {
    value.round().to_integer()
}

/// The value less the integer that brings it nearest to zero: in (-1/2, 1/2].
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, nearest_zero};
/// assert_eq!(nearest_zero(&fraction(5, 3)), fraction(-1, 3));
/// assert_eq!(nearest_zero(&fraction(-1, 2)), fraction(1, 2));
/// ```
pub fn nearest_zero(value: &Fraction) -> Fraction {
    // value - floor(value), in [0, 1), and 1 less where that is above 1/2.
    let part = value.numer().mod_floor(value.denom());
    let beyond_half = &part + &part > *value.denom();
    in_lowest_terms(if beyond_half { part - value.denom() } else { part }, value)
}

/// How far a value is from the nearest integer: in [0, 1/2].
///
/// # Examples
/// ```
/// use toothmark::exact::{distance_to_integer, fraction};
/// assert_eq!(distance_to_integer(&fraction(11, 4)), fraction(1, 4));
/// ```
pub fn distance_to_integer(value: &Fraction) -> Fraction {
    nearest_zero(value).abs()
}

/// The part of a value in [0, 1): a place on the circle, in turns.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, part_of_turn};
/// assert_eq!(part_of_turn(&fraction(-1, 3)), fraction(2, 3));
/// ```
pub fn part_of_turn(value: &Fraction) -> Fraction {
    in_lowest_terms(value.numer().mod_floor(value.denom()), value)
}

/// A value whose numerator differs from another's by whole turns: it stays in lowest terms.
fn in_lowest_terms(numerator: BigInt, of: &Fraction) -> Fraction {
    Fraction::new_raw(numerator, of.denom().clone())
}

/// A value times an integer.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, multiple};
/// assert_eq!(multiple(&fraction(1, 6), 4), fraction(2, 3));
/// ```
pub fn multiple(value: &Fraction, factor: i64) -> Fraction {
    // One and minus one need no search for a common divisor, which is long for long numbers.
    match factor {
        1 => value.clone(),
        -1 => -value,
        _ => value * BigInt::from(factor),
    }
}

/// Whether a value times an integer is an integer, which is so exactly if the denominator
/// divides that number.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, multiple_is_integer};
/// assert!(multiple_is_integer(&fraction(1, 6), 12) && !multiple_is_integer(&fraction(1, 6), 4));
/// ```
pub fn multiple_is_integer(value: &Fraction, factor: i64) -> bool {
    BigInt::from(factor).is_multiple_of(value.denom())
}

/// A mixed number without its sign, as people say teeth.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, mixed};
/// assert_eq!(mixed(&fraction(-28, 3)), "9 1/3");
/// assert_eq!(mixed(&fraction(1, 3)), "1/3");
/// assert_eq!(mixed(&fraction(9, 1)), "9");
/// ```
pub fn mixed(value: &Fraction) -> String {
    let value = value.abs();
    let (whole, part) = (value.trunc(), value.fract());
    match (whole.is_zero(), part.is_zero()) {
        (_, true) => whole.to_string(),
        (true, false) => part.to_string(),
        (false, false) => format!("{whole} {part}"),
    }
}

/// The float nearest to an exact value, of two equally near the one whose last bit is zero: the
/// one door from exact to approximate.
///
/// Never NaN. What lies beyond the range of `f64` becomes infinite or zero, with its sign.
///
/// # Panics
/// If numerator and denominator are both zero, which no fraction in lowest terms has.
///
/// # Examples
/// ```
/// use toothmark::exact::{fraction, to_float};
/// assert!((to_float(&fraction(1, 3)) - 0.333_333).abs() < 1e-6);
/// ```
pub fn to_float(value: &Fraction) -> f64 {
    value.to_f64().expect("a fraction in lowest terms is no zero over zero")
}

/// A value rounded to `digits` significant digits, halves away from zero, trailing
/// zeros left out; from the exact value, so right at any size.
///
/// Values of 10^15 and more, or below 10^-5, are written with an exponent.
///
/// # Panics
/// If `digits` is zero.
///
/// # Examples
/// ```
/// use toothmark::exact::{decimal, fraction};
/// assert_eq!(decimal(&fraction(481, 171), 5), "2.8129");
/// assert_eq!(decimal(&fraction(-7, 2), 5), "-3.5");
/// assert_eq!(decimal(&fraction(2, 3_000_000), 3), "6.67e-7");
/// ```
pub fn decimal(value: &Fraction, digits: u32) -> String {
    assert!(digits > 0, "a decimal has at least one digit");
    if value.is_zero() {
        return "0".to_owned();
    }
    let (mantissa, exponent) = of_machine_words(value, digits).unwrap_or_else(|| of_any_size(&value.abs(), digits));
    let text = if (-5..15).contains(&exponent) {
        plain(&mantissa, exponent)
    } else {
        format!("{}e{exponent}", plain(&mantissa, 0))
    };
    if value.is_negative() { format!("-{text}") } else { text }
}

/// The digits of a positive value, as many as are asked for, and the exponent of the first.
fn of_any_size(magnitude: &Fraction, digits: u32) -> (String, i64) {
    let exponent = decimal_exponent(magnitude);
    let mantissa = scaled_round(magnitude, i64::from(digits) - 1 - exponent);
    // Rounding up may carry into one digit more, as 99.96 to 100.0.
    if mantissa == BigInt::from(10).pow(digits) {
        return ((mantissa / BigInt::from(10)).to_string(), exponent + 1);
    }
    (mantissa.to_string(), exponent)
}

/// The same in machine words, by the same formulas; `None` where something does not fit into them.
fn of_machine_words(value: &Fraction, digits: u32) -> Option<(String, i64)> {
    let numerator = u128::from(value.numer().magnitude().to_u64()?);
    let denominator = u128::from(value.denom().to_u64()?);
    let scaled = |number: u128, power: i64| {
        let scale = 10_u128.checked_pow(u32::try_from(power.max(0)).ok()?)?;
        number.checked_mul(scale)
    };
    let guess = i64::from(numerator.ilog10()) - i64::from(denominator.ilog10());
    let is_below = scaled(numerator, -guess)? < scaled(denominator, guess)?;
    let exponent = if is_below { guess - 1 } else { guess };
    let power = i64::from(digits) - 1 - exponent;
    let (numerator, denominator) = (scaled(numerator, power)?, scaled(denominator, -power)?);
    // floor(n/d + 1/2)
    let mantissa = numerator.checked_mul(2)?.checked_add(denominator)? / denominator.checked_mul(2)?;
    if mantissa == 10_u128.checked_pow(digits)? {
        return Some(((mantissa / 10).to_string(), exponent + 1));
    }
    Some((mantissa.to_string(), exponent))
}

/// The largest k with 10^k <= value, for a positive value.
fn decimal_exponent(value: &Fraction) -> i64 {
    let length = |number: &BigInt| i64::try_from(number.to_string().len()).unwrap_or(i64::MAX);
    // A quotient of numbers with m and n digits lies above 10^(m - n - 1) and below 10^(m - n + 1).
    let guess = length(value.numer()) - length(value.denom());
    let below = match u32::try_from(guess.unsigned_abs()) {
        Ok(power) if guess >= 0 => value < &Fraction::from(BigInt::from(10).pow(power)),
        Ok(power) => value * Fraction::from(BigInt::from(10).pow(power)) < Fraction::one(),
        Err(_) => false,
    };
    if below { guess - 1 } else { guess }
}

/// `value * 10^power`, rounded to the nearest integer.
fn scaled_round(value: &Fraction, power: i64) -> BigInt {
    let scale = BigInt::from(10).pow(u32::try_from(power.unsigned_abs()).unwrap_or(u32::MAX));
    let (numerator, denominator) = if power >= 0 {
        (value.numer() * scale, value.denom().clone())
    } else {
        (value.numer().clone(), value.denom() * scale)
    };
    // floor(n/d + 1/2)
    (numerator * BigInt::from(2) + &denominator).div_floor(&(denominator * BigInt::from(2)))
}

/// Digits d1 d2 d3 ... with the point after the digit that stands for 10^0.
fn plain(digits: &str, exponent: i64) -> String {
    let text = match usize::try_from(exponent) {
        Ok(exponent) if exponent + 1 >= digits.len() => {
            format!("{digits}{}", "0".repeat(exponent + 1 - digits.len()))
        }
        Ok(exponent) => format!("{}.{}", &digits[..=exponent], &digits[exponent + 1..]),
        Err(_) => {
            let zeros = usize::try_from(-exponent - 1).unwrap_or(0);
            format!("0.{}{digits}", "0".repeat(zeros))
        }
    };
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, expected: Option<(i64, i64)>) {
        assert_eq!(parse(text), expected.map(|(a, b)| fraction(a, b)), "reading {text:?}");
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        reads("0", Some((0, 1)));
        reads(" 1/3 ", Some((1, 3)));
        reads("-676/285", Some((-676, 285)));
        reads("+2", Some((2, 1)));
        reads("1 1/2", Some((3, 2)));
        reads("-1 1/2", Some((-3, 2)));
        reads(".5", Some((1, 2)));
        reads("5.", Some((5, 1)));
    }

    #[test]
    fn what_is_not_a_number_is_not_read() {
        for text in ["", " ", ".", "-", "1e3", "1/0", "1/", "/2", "--1", "0x10", "1/2/3", "1.5/2", "1_0", "½"] {
            reads(text, None);
        }
        reads(&"9".repeat(78), None);
    }

    /// Numbers that grow past what machine words hold, with every number of digits that is asked for.
    #[test]
    fn machine_words_tell_the_same_digits_as_integers_of_any_size() {
        let mut seed = 1_u64;
        let mut next = |bits: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            i64::try_from(seed >> (64 - bits)).unwrap_or(1).max(1)
        };
        for round in 0..20_000_u64 {
            let value = fraction(next(1 + round % 62), next(1 + round / 3 % 62));
            let digits = 1 + u32::try_from(round % 17).unwrap_or(0);
            let found = of_machine_words(&value, digits);
            assert_eq!(found, Some(of_any_size(&value, digits)), "{value}, {digits} digits");
        }
        let large = fraction(i64::MAX, 1);
        assert_eq!(of_machine_words(&(&large * &large), 17), None);
        assert_eq!(of_machine_words(&fraction(999_999, 1000), 3), Some(("100".into(), 3)));
    }

    #[track_caller]
    fn shows(numerator: i64, denominator: i64, digits: u32, expected: &str) {
        assert_eq!(decimal(&fraction(numerator, denominator), digits), expected, "{numerator}/{denominator}");
    }

    #[test]
    fn decimals_are_rounded_from_the_exact_value() {
        shows(0, 1, 4, "0");
        shows(1, 1, 4, "1");
        shows(100, 1, 2, "100");
        shows(123_456, 1, 3, "123000");
        shows(1, 3, 4, "0.3333");
        shows(2, 3, 4, "0.6667");
        shows(99_999, 100_000, 3, "1");
        shows(-1, 8, 2, "-0.13");
        shows(1, 100_000, 3, "0.00001");
        shows(1, 1_000_000, 3, "1e-6");
        shows(1_234_567_890_123_456, 1, 4, "1.235e15");
    }

    #[test]
    fn a_number_beyond_every_float_still_has_its_decimal() {
        let huge = Fraction::from(BigInt::from(7).pow(1000)) / Fraction::from(BigInt::from(2).pow(100));
        // 7^1000 = 1.2532...e845, 2^100 = 1.2676...e30: from logarithms, 845.0980 - 30.1030 = 814.9950.
        assert!(decimal(&huge, 3).ends_with("e814"), "{}", decimal(&huge, 3));
        becomes(&huge, f64::INFINITY);
        becomes(&-&huge, f64::NEG_INFINITY);
        becomes(&huge.recip(), 0.0);
        becomes(&-huge.recip(), -0.0);
    }

    /// Compared bit by bit, so that a zero has its sign and NaN is nothing else.
    #[track_caller]
    fn becomes(value: &Fraction, float: f64) {
        assert_eq!(to_float(value).to_bits(), float.to_bits(), "{value} as {float:e}");
    }

    #[test]
    fn a_float_is_the_nearest_one_even_where_floats_end() {
        becomes(&fraction(0, 1), 0.0);
        becomes(&fraction(-1, 3), -1.0 / 3.0);
        // Halfway between 2^53 and 2^53 + 2, and a little beyond.
        becomes(&fraction((1 << 53) + 1, 1), 9_007_199_254_740_992.0);
        becomes(&fraction((1 << 54) + 3, 2), 9_007_199_254_740_994.0);
        let power = |exponent: u32| Fraction::from(BigInt::from(2).pow(exponent));
        // The smallest float is 2^-1074: half of it is nearer to none, three quarters are not.
        becomes(&power(1074).recip(), f64::from_bits(1));
        becomes(&power(1075).recip(), 0.0);
        becomes(&(fraction(3, 4) / power(1074)), f64::from_bits(1));
        // The largest is 2^1024 - 2^971; what is half a step above it or more is infinite.
        becomes(&(power(1024) - power(971)), f64::MAX);
        becomes(&(power(1024) - power(970) - fraction(1, 1)), f64::MAX);
        becomes(&(power(1024) - power(970)), f64::INFINITY);
        // Both parts are beyond every float, their quotient is not: 7 + 7^-999.
        let seven = |exponent: u32| BigInt::from(7).pow(exponent);
        becomes(&Fraction::new(seven(1000) + 1, seven(999)), 7.0);
    }
}
