//! Numbers in the words of a picture.

use num_traits::Signed;

use crate::exact::{Fraction, decimal, fraction};

/// A turn in degrees, without its sign.
pub(super) fn degrees(turns: &Fraction) -> String {
    trimmed(&decimal(&(turns.abs() * fraction(360, 1)), 6))
}

/// A length or an angle with so many decimals at most.
pub(super) fn short(value: f64, decimals: usize) -> String {
    trimmed(&format!("{value:.decimals$}"))
}

/// An amount with so many decimals; one that would be rounded to nothing is not told as none.
pub(super) fn amount(value: f64, decimals: usize) -> String {
    let told = short(value, decimals);
    if told == "0" && value > 0.0 {
        let least = format!("{:.decimals$}", 0.1_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX)));
        return format!("less than {least}");
    }
    told
}

fn trimmed(text: &str) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::mixed;

    #[test]
    fn numbers_are_as_people_write_them() {
        assert_eq!(mixed(&fraction(-31, 3)), "10 1/3");
        assert_eq!(degrees(&fraction(-1, 3)), "120");
        assert_eq!([amount(0.000_04, 4), amount(0.0, 4), amount(0.25, 3)], ["less than 0.0001", "0", "0.25"]);
        assert_eq!([short(2.5, 4), short(10.0, 2), short(25.4 / 2.5, 3)], ["2.5", "10", "10.16"]);
    }
}
