//! How is a text from outside shown, that may hold anything?
//!
//! Control characters move a cursor, marks turn the direction of writing, others are no character at all: each is shown
//! as an escape, nothing is dropped in silence. Markup takes some letters for its own.

use std::fmt::Write as _;

/// Shows control characters, line breaks and marks of writing direction as escapes.
pub(crate) fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in text.chars() {
        if is_shown_as_escape(letter) {
            // Writing to a String cannot fail.
            let _ = write!(shown, "{}", letter.escape_unicode());
        } else {
            shown.push(letter);
        }
    }
    shown
}

/// Whether a terminal or a page acts on a character, or forbids it, in place of showing it.
pub(crate) fn is_shown_as_escape(letter: char) -> bool {
    letter.is_control() || changes_direction(letter) || matches!(letter, '\u{fffe}' | '\u{ffff}')
}

/// The marks that make a line read in another order than it is written.
fn changes_direction(letter: char) -> bool {
    matches!(letter, '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}

/// Text between the tags or in an attribute of HTML and SVG.
pub(crate) fn markup(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in visible(text).chars() {
        match letter {
            '<' => shown.push_str("&lt;"),
            '>' => shown.push_str("&gt;"),
            '&' => shown.push_str("&amp;"),
            '"' => shown.push_str("&quot;"),
            '\'' => shown.push_str("&#39;"),
            _ => shown.push(letter),
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_from_outside_moves_the_cursor() {
        assert_eq!(visible("a\u{1b}[2Jb\nc\u{202e}d"), "a\\u{1b}[2Jb\\u{a}c\\u{202e}d");
        assert_eq!(visible("Kübel 1"), "Kübel 1");
    }

    #[test]
    fn nothing_from_outside_is_markup() {
        assert_eq!(markup("a<b & \"c\"'"), "a&lt;b &amp; &quot;c&quot;&#39;");
        assert_eq!(markup("a\u{0}b\u{202e}c\nd\u{ffff}"), "a\\u{0}b\\u{202e}c\\u{a}d\\u{ffff}");
        assert_eq!(markup("Kübel 1"), "Kübel 1");
    }
}
