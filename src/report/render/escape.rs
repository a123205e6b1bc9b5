//! Text from a file, made safe for each place where it is shown.
//!
//! A name may hold anything: control characters that move a cursor, marks that turn the
//! direction of writing, signs that Markdown or a table program takes for its own. Each
//! place has its own rule, and nothing is dropped silently.

use std::borrow::Cow;

use crate::syntax;

/// The most letters of a sentence in which text from outside stands, and what is put for those left out.
const LONGEST_SENTENCE: usize = 300;
const LEFT_OUT: &str = " ... ";

/// A sentence for people, without the middle of anything endless in it; what is cut is marked.
///
/// # Examples
/// ```
/// use toothmark::report::brief;
/// assert_eq!(brief("there is no gear \"x\""), "there is no gear \"x\"");
/// assert_eq!(brief(&"x".repeat(1_000_000)).chars().count(), 305);
/// ```
pub fn brief(sentence: &str) -> Cow<'_, str> {
    let half = LONGEST_SENTENCE / 2;
    if sentence.chars().nth(LONGEST_SENTENCE).is_none() {
        return Cow::Borrowed(sentence);
    }
    let first = sentence.char_indices().nth(half).map_or(sentence.len(), |(end, _)| end);
    let last = sentence.char_indices().rev().nth(half - 1).map_or(0, |(start, _)| start);
    Cow::Owned([&sentence[..first], LEFT_OUT, &sentence[last..]].concat())
}

/// Shows control characters, line breaks and marks of writing direction as escapes.
///
/// # Examples
/// ```
/// use toothmark::report::visible;
/// assert_eq!(visible("sun\u{1b}[2J"), "sun\\u{1b}[2J");
/// ```
pub fn visible(text: &str) -> String {
    syntax::visible(text)
}

/// Text between the tags or in an attribute of HTML and SVG.
///
/// # Examples
/// ```
/// use toothmark::report::markup;
/// assert_eq!(markup("<sun> & 'ring'"), "&lt;sun&gt; &amp; &#39;ring&#39;");
/// ```
pub fn markup(text: &str) -> String {
    syntax::markup(text)
}

/// Markdown with nothing left in it that Markdown or HTML would take for its own.
pub(in crate::report) fn markdown(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in syntax::visible(text).chars() {
        match letter {
            '<' => shown.push_str("&lt;"),
            '>' => shown.push_str("&gt;"),
            '&' => shown.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '{' | '}' | '|' | '#' | '~' | '!' | '$' => {
                shown.push('\\');
                shown.push(letter);
            }
            _ => shown.push(letter),
        }
    }
    shown
}

/// A name in a CSV cell that no spreadsheet takes for a formula.
pub fn csv_name(name: &str) -> String {
    let name = syntax::visible(name);
    if name.starts_with(['=', '+', '-', '@']) { format!("'{name}") } else { name }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_from_a_file_is_markup() {
        assert_eq!(markdown("a|b<script>*c*"), "a\\|b&lt;script&gt;\\*c\\*");
    }

    #[test]
    fn no_name_is_a_formula() {
        assert_eq!(csv_name("=1+2"), "'=1+2");
        assert_eq!(csv_name("sun"), "sun");
    }
}
