//! SVG text: elements, attributes, numbers, and the escape that every name goes through.
//!
//! A name may hold anything. Letters that XML takes for its own become entities; those that it
//! forbids, and those that turn the direction of writing, are shown as escapes.

use std::fmt::Write as _;

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
        let _ = writeln!(self.text, "{}</{name}>", escaped(words));
    }

    fn tag(&mut self, name: &str, attributes: Attributes<'_>, end: &str) {
        let _ = write!(self.text, "<{name}");
        for (key, value) in attributes {
            let _ = write!(self.text, " {key}=\"{}\"", escaped(value));
        }
        self.text.push_str(end);
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

/// A text that is no markup, and nothing that XML forbids.
pub(super) fn escaped(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in visible(text).chars() {
        match letter {
            '&' => shown.push_str("&amp;"),
            '<' => shown.push_str("&lt;"),
            '>' => shown.push_str("&gt;"),
            '"' => shown.push_str("&quot;"),
            '\'' => shown.push_str("&#39;"),
            _ => shown.push(letter),
        }
    }
    shown
}

/// A text with escapes for what XML forbids and for what moves a cursor or turns the direction of writing.
pub(super) fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in text.chars() {
        if letter.is_control() || is_unfit(letter) {
            let _ = write!(shown, "{}", letter.escape_unicode());
        } else {
            shown.push(letter);
        }
    }
    shown
}

/// What XML forbids beside control characters, and what changes the direction of writing.
fn is_unfit(letter: char) -> bool {
    matches!(letter, '\u{fffe}' | '\u{ffff}' | '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}

/// Millimetres to a tenth of a micrometre, without zeros at the end.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// The data of a path through closed lines.
pub(super) fn path(contours: &[Vec<[f64; 2]>]) -> String {
    let mut data = String::new();
    for contour in contours {
        for (at, [x, y]) in contour.iter().enumerate() {
            let _ = write!(data, "{}{} {}", if at == 0 { "M" } else { "L" }, number(*x), number(*y));
        }
        data.push('Z');
    }
    data
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_from_a_file_is_markup() {
        assert_eq!(escaped("a<b & \"c\"'"), "a&lt;b &amp; &quot;c&quot;&#39;");
        assert_eq!(escaped("a\u{0}b\u{202e}c\nd"), "a\\u{0}b\\u{202e}c\\u{a}d");
        assert_eq!(escaped("Kübel 1"), "Kübel 1");
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!([number(-0.000_01), number(71.25), number(100.0)], ["0", "71.25", "100"]);
    }
}
