//! How an exact number is written in a text: bare, or in quotes where it is a fraction.

use num_traits::Signed;

use super::TypedReading;
use crate::exact::{Fraction, TypedNumber, decimal, fraction, parse};
use crate::syntax::{Element, Flaw, Form, Node, Reader, Writer, leaf, write};

/// An exact number, bare or in quotes.
impl Form for Fraction {
    type Value = Self;
    const THING: Element = Element { meant, ..leaf("a number", "2.5") };

    fn read(node: &Node, _: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        let written = reader.text(node.place.clone());
        let bare = written.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(written);
        let value = parse(bare);
        if value.is_none() {
            let found = written.to_owned();
            let flaw = meant(written)
                .map(|meant| Flaw::shape(format!("a number belongs here, not {found}"), format!("write {meant}")));
            reader.leaf_at(node.place.clone(), flaw.unwrap_or(Flaw::NotANumber { found }));
        }
        Some(value.unwrap_or_default())
    }

    /// A number of few decimals as it is, anything else as a fraction in quotes.
    fn write(value: &Self, out: &mut Writer) {
        const DECIMALS: i64 = 1_000_000;
        // Below that a decimal has an exponent, which no text of a description may have.
        let least = fraction(1, 100_000);
        let is_within = (least..fraction(DECIMALS, 1)).contains(&value.abs());
        let short = is_within && (value * fraction(DECIMALS, 1)).is_integer();
        out.push(&if value.is_integer() {
            value.to_string()
        } else if short {
            decimal(value, 12)
        } else {
            format!("\"{value}\"")
        });
    }
}

/// The number that somebody meant, as it is to be written: 14.5 for `14 1/2` and `14.5°`, 0.98 for `98%`, -10 for
/// `10 clockwise`.
fn meant(written: &str) -> Option<String> {
    let written = written.trim_matches('"');
    let TypedNumber { value, words, .. } = TypedNumber::read(written).ok()?;
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let value = match words.as_slice() {
        [] | ["mm" | "module" | "dp" | "n" | "lb"] => value,
        ["%"] => value / fraction(100, 1),
        _ => TypedReading::read(written).ok()?.value,
    };
    Some(write::<Fraction>(&value).trim_end().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A millionth was written `1e-6`, which is refused where it is read: so was any number of six decimals below 0.00001.
    #[test]
    fn a_number_is_read_as_it_was_written() {
        for value in [1, -1, 9, 10, -10, 11, 500_000, 999_999, 1_500_000].map(|parts| fraction(parts, 1_000_000)) {
            let written = write::<Fraction>(&value);
            assert_eq!(read(&written), value, "{written}");
        }
    }

    fn read(written: &str) -> Fraction {
        let bare = written.trim().trim_matches('"');
        assert!(!bare.contains('e'), "no exponent: {written}");
        parse(bare).expect("what is written is a number")
    }
}
