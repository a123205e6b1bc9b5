//! How an exact number is written in a text: bare, or in quotes where it is a fraction.

use num_traits::Signed;

use crate::exact::{Fraction, decimal, fraction, parse};
use crate::syntax::{Element, Flaw, Form, Node, Reader, Writer, leaf};

/// An exact number, bare or in quotes.
impl Form for Fraction {
    type Value = Self;
    const THING: Element = leaf("a number", "2.5");

    fn read(node: &Node, _: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        let written = reader.text(node.place.clone());
        let bare = written.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(written);
        let value = parse(bare);
        if value.is_none() {
            reader.leaf_at(node.place.clone(), Flaw::NotANumber { found: written.to_owned() });
        }
        Some(value.unwrap_or_default())
    }

    /// A number of few decimals as it is, anything else as a fraction in quotes.
    fn write(value: &Self, out: &mut Writer) {
        const DECIMALS: i64 = 1_000_000;
        let short = (value * fraction(DECIMALS, 1)).is_integer() && value.abs() < fraction(DECIMALS, 1);
        out.push(&if value.is_integer() {
            value.to_string()
        } else if short {
            decimal(value, 12)
        } else {
            format!("\"{value}\"")
        });
    }
}
