//! SVG text: elements, attributes, numbers; every name goes through the escape of markup.

use std::fmt::Write as _;

use num_traits::ToPrimitive;

use crate::syntax::markup;

/// The attributes of an element.
pub(super) type Attributes<'a> = &'a [(&'a str, String)];

/// An SVG text being written.
#[derive(Debug, Default)]
pub(super) struct Svg {
    text: String,
}

impl Svg {
    /// An element without content.
    pub(super) fn empty(&mut self, name: &str, attributes: Attributes<'_>) {
        self.tag(name, attributes, "/>\n");
    }

    /// The beginning of an element with others inside.
    pub(super) fn open(&mut self, name: &str, attributes: Attributes<'_>) {
        self.tag(name, attributes, ">\n");
    }

    /// The end of an element.
    pub(super) fn close(&mut self, name: &str) {
        // Writing to a String cannot fail, here and below.
        let _ = writeln!(self.text, "</{name}>");
    }

    /// Markup that is known to be sound.
    #[cfg(feature = "report")]
    pub(super) fn markup(&mut self, markup: &str) {
        self.text.push_str(markup);
    }

    /// An element with words inside.
    pub(super) fn words(&mut self, name: &str, attributes: Attributes<'_>, words: &str) {
        self.tag(name, attributes, ">");
        let _ = writeln!(self.text, "{}</{name}>", markup(words));
    }

    fn tag(&mut self, name: &str, attributes: Attributes<'_>, end: &str) {
        let _ = write!(self.text, "<{name}");
        for (key, value) in attributes {
            // Writing to a String cannot fail, as above.
            let _ = write!(self.text, " {key}=\"");
            push_escaped(&mut self.text, value);
            self.text.push('"');
        }
        self.text.push_str(end);
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

/// Adds a text that is no markup, and nothing that XML forbids.
fn push_escaped(out: &mut String, text: &str) {
    // Long path data is plain, and copied as it is.
    let is_plain = |byte: u8| matches!(byte, b' '..=b'~') && !matches!(byte, b'&' | b'<' | b'>' | b'"' | b'\'');
    if text.bytes().all(is_plain) { out.push_str(text) } else { out.push_str(&markup(text)) }
}

/// Millimetres to a micrometre, without zeros at the end.
pub(super) fn number(value: f64) -> String {
    let mut text = String::new();
    push_number(&mut text, value);
    text
}

/// Adds a number as [`number`] writes it.
fn push_number(out: &mut String, value: f64) {
    if let Some(parts) = thousandths(value) {
        push_thousandths(out, parts);
        return;
    }
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    out.push_str(if text == "-0" { "0" } else { text });
}

/// A length as so many thousandths: written from an integer a number takes a fraction of the time. `None` where it is
/// too large for that, or lies so near half-way between two of them that the product may be rounded to the wrong side.
fn thousandths(value: f64) -> Option<i64> {
    /// Products up to here are out by far less than what is kept from half-way.
    const LARGEST: f64 = 1e6;
    const FROM_HALF_WAY: f64 = 1e-4;
    let parts = value * 1e3;
    let nearest = parts.round();
    let is_clear = value.abs() < LARGEST && (parts - nearest).abs() < 0.5 - FROM_HALF_WAY;
    nearest.to_i64().filter(|_| is_clear)
}

/// Adds an integer number of thousandths as a decimal, without zeros at the end.
fn push_thousandths(out: &mut String, parts: i64) {
    const PARTS: u64 = 1000;
    let (sign, size) = (if parts < 0 { "-" } else { "" }, parts.unsigned_abs());
    let _ = write!(out, "{sign}{}", size / PARTS);
    let (mut below, mut digits) = (size % PARTS, 3);
    if below == 0 {
        return;
    }
    while below.is_multiple_of(10) {
        (below, digits) = (below / 10, digits - 1);
    }
    let _ = write!(out, ".{below:0digits$}");
}

/// The data of a path through closed lines.
pub(super) fn path(contours: &[Vec<[f64; 2]>]) -> String {
    let mut data = String::new();
    for contour in contours {
        for (at, [x, y]) in contour.iter().enumerate() {
            data.push(if at == 0 { 'M' } else { 'L' });
            push_number(&mut data, *x);
            data.push(' ');
            push_number(&mut data, *y);
        }
        data.push('Z');
    }
    data
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Formatting the float itself is the slow twin.
    #[test]
    fn a_number_from_thousandths_is_the_float_rounded() {
        let mut values = vec![0.0, -0.0, 0.0005, 0.0015, 0.1255, 1e5 + 0.0005, 2.5e6, 1e300, f64::NAN, -0.000_49];
        values.extend((-40_000..40_000).map(|at| f64::from(at) * 0.000_125));
        values.extend((0..40_000).map(|at| f64::from(at) * 1.234_567_891 - 20_000.0));
        for value in values {
            let text = format!("{value:.3}");
            let text = text.trim_end_matches('0').trim_end_matches('.');
            assert_eq!(number(value), if text == "-0" { "0" } else { text }, "{value:?}");
        }
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!([number(-0.0001), number(71.25), number(100.0)], ["0", "71.25", "100"]);
    }
}
