//! The smallest parts of a description: words and numbers, quoted text, single marks.
//!
//! The reader proper stops at a place and says little of what stands round it. This one
//! takes any text apart, sound or not, so that a message can tell what is found where.

use std::ops::Range;

/// A part of the source that stands for itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token {
    pub(super) place: Range<usize>,
    pub(super) kind: TokenKind,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TokenKind {
    /// Letters, digits and the signs of a number, without quotes.
    Word,
    /// Anything between quotes, with them.
    Text,
    /// The same between typographic quotes: “low drum”.
    PrintedText,
    /// A comment as other languages have it, to the end of its line: `# ...` or `-- ...`.
    ForeignComment,
    /// A quote or a comment that is opened and never closed, to the end of the source.
    Unclosed,
    /// A bracket, comma, colon or any other single character.
    Mark,
}

/// Takes a source apart from its beginning; white space and comments are left out.
#[derive(Debug, Clone)]
pub(super) struct Tokens<'a> {
    source: &'a str,
    at: usize,
}

impl<'a> Tokens<'a> {
    pub(super) fn of(source: &'a str) -> Self {
        Self { source, at: 0 }
    }

    /// Goes on from another place.
    pub(super) fn go_to(&mut self, at: usize) {
        self.at = at;
    }

    fn rest(&self) -> &'a str {
        &self.source[self.at..]
    }

    /// Goes to the next token, or to a comment that is not closed.
    fn skip_blanks(&mut self) {
        loop {
            let rest = self.rest();
            let after = rest.trim_start_matches(is_blank);
            self.at += rest.len() - after.len();
            let comment = match after.get(..2) {
                Some("//") => after.find('\n').unwrap_or(after.len()),
                Some("/*") => block_comment(after).unwrap_or(0),
                _ => 0,
            };
            if comment == 0 {
                return;
            }
            self.at += comment;
        }
    }
}

impl Iterator for Tokens<'_> {
    type Item = Token;

    fn next(&mut self) -> Option<Token> {
        self.skip_blanks();
        let rest = self.rest();
        let first = rest.chars().next()?;
        let (length, kind) = if rest.starts_with("/*") {
            (rest.len(), TokenKind::Unclosed)
        } else if let Some(length) = foreign_comment(rest).filter(|_| !self.source[..self.at].ends_with(is_of_word)) {
            (length, TokenKind::ForeignComment)
        } else if let Some(length) = printed_text(rest) {
            (length, TokenKind::PrintedText)
        } else if let Some(opening) = opening_quote(rest) {
            quoted(rest, opening).map_or((rest.len(), TokenKind::Unclosed), |length| (length, TokenKind::Text))
        } else if first == '\'' {
            single_quoted(rest).map_or((1, TokenKind::Mark), |length| (length, TokenKind::Text))
        } else if is_of_word(first) {
            (rest.find(|letter| !is_of_word(letter)).unwrap_or(rest.len()), TokenKind::Word)
        } else {
            (first.len_utf8(), TokenKind::Mark)
        };
        let place = self.at..self.at + length;
        self.at = place.end;
        Some(Token { place, kind })
    }
}

/// The place of the first token of a source.
pub(crate) fn first_token(source: &str) -> Range<usize> {
    Tokens::of(source).next().map_or(0..0, |token| token.place)
}

/// Whether a comment stands in a sound text: between two tokens is more than white space.
pub(crate) fn has_comment(source: &str) -> bool {
    let mut end = 0;
    let is_told = Tokens::of(source).any(|token| {
        let between = &source[end..token.place.start];
        end = token.place.end;
        !between.chars().all(is_blank)
    });
    is_told || !source[end..].chars().all(is_blank)
}

/// The white space of a description, which is that of Rust.
fn is_blank(letter: char) -> bool {
    matches!(letter, '\t'..='\r' | ' ' | '\u{85}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}')
}

fn is_of_word(letter: char) -> bool {
    // The last ones are in no sound text, but in numbers as people write them.
    letter.is_alphanumeric() || matches!(letter, '_' | '.' | '+' | '-' | '\u{2212}' | '\u{2013}' | '°' | '%')
}

/// The length of a comment that begins as in other languages; settings of the reader, `#![...]`, are none.
fn foreign_comment(text: &str) -> Option<usize> {
    let is_comment = text.starts_with('#') && !text[1..].trim_start().starts_with('!')
        || text.strip_prefix("--").is_some_and(|behind| behind.starts_with(is_blank));
    is_comment.then(|| text.find(['\n', '\r']).unwrap_or(text.len()))
}

/// Typographic quotes with those that may close them.
const PRINTED_QUOTES: [(char, &[char]); 7] = [
    ('\u{201c}', &['\u{201d}', '\u{201c}', '"']),
    ('\u{201d}', &['\u{201d}', '"']),
    ('\u{201e}', &['\u{201c}', '\u{201d}', '"']),
    ('\u{ab}', &['\u{bb}']),
    ('\u{2018}', &['\u{2019}', '\u{2018}']),
    ('\u{201a}', &['\u{2018}', '\u{2019}']),
    ('`', &['`', '\'']),
];

/// A name between typographic quotes has so many letters at most.
const LONGEST_NAME: usize = 100;

/// The length of text that opens or closes with a typographic quote, and ends in its line.
fn printed_text(text: &str) -> Option<usize> {
    let opening = text.chars().next()?;
    let inside = &text[opening.len_utf8()..];
    let closing = PRINTED_QUOTES.iter().find(|(quote, _)| *quote == opening).map(|(_, closing)| *closing);
    if opening != '"' && closing.is_none() {
        return None;
    }
    let mut letters = inside.char_indices().take(LONGEST_NAME).take_while(|(_, letter)| !matches!(letter, '\n' | '\r'));
    let is_closing = |letter: char| closing.unwrap_or(&['"', '\u{201c}', '\u{201d}']).contains(&letter);
    let (end, last) = letters.find(|&(_, letter)| is_closing(letter))?;
    let end = end + last.len_utf8();
    // Text that opens with a straight quote closes with a typographic one only where the value ends behind it.
    let behind = inside[end..].trim_start_matches([' ', '\t']);
    let ends = behind.is_empty() || behind.starts_with([',', ':', ')', ']', '}', '\n', '\r']);
    (closing.is_some() || last != '"' && ends).then_some(opening.len_utf8() + end)
}

/// What stands between quotes of any kind.
pub(super) fn without_quotes(text: &str) -> &str {
    let is_quote = |letter: char| {
        matches!(letter, '"' | '\'' | '\u{201d}' | '\u{bb}' | '\u{2019}')
            || PRINTED_QUOTES.iter().any(|(quote, _)| *quote == letter)
    };
    text.trim_matches(is_quote)
}

/// The length of a block comment, comments inside it counted; `None` if it has no end.
fn block_comment(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    let mut at = 0;
    loop {
        at += text[at..].find(['/', '*'])?;
        match text.get(at..at + 2) {
            Some("/*") => (depth, at) = (depth + 1, at + 2),
            Some("*/") => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return Some(at);
        }
    }
}

/// What opens text in double quotes: the quote, or marks of plain text and the quote.
fn opening_quote(text: &str) -> Option<&str> {
    let bare = text.strip_prefix('b').unwrap_or(text);
    let marks = bare.strip_prefix('r').map_or(bare, |rest| rest.trim_start_matches('#'));
    marks.starts_with('"').then(|| &text[..=text.len() - marks.len()])
}

/// The length of text in double quotes; `None` if it has no end.
fn quoted(text: &str, opening: &str) -> Option<usize> {
    let inside = &text[opening.len()..];
    if opening.contains('r') {
        let closing = format!("\"{}", "#".repeat(opening.matches('#').count()));
        return inside.find(&closing).map(|end| opening.len() + end + closing.len());
    }
    let mut letters = inside.char_indices();
    while let Some((index, letter)) = letters.next() {
        match letter {
            '"' => return Some(opening.len() + index + 1),
            '\\' => letters.next().map_or((), |_| ()),
            _ => {}
        }
    }
    None
}

/// The length of text in single quotes, which ends in its line; `None` if it has no end.
fn single_quoted(text: &str) -> Option<usize> {
    let mut letters = text.char_indices().skip(1).take_while(|&(_, letter)| letter != '\n').peekable();
    // One letter may be a quote itself: '\'' or '"'.
    if letters.next()?.1 == '\\' {
        letters.next()?;
    }
    letters.find(|&(_, letter)| letter == '\'').map(|(index, _)| index + 1)
}

#[cfg(test)]
mod tests {
    use super::{TokenKind, Tokens};

    #[track_caller]
    fn apart(source: &str, expected: &[&str]) {
        let tokens: Vec<&str> = Tokens::of(source).map(|token| &source[token.place]).collect();
        assert_eq!(tokens, expected, "{source:?}");
    }

    #[test]
    fn words_text_and_marks_are_told_apart() {
        apart("Sun(\"S\", 24)", &["Sun", "(", "\"S\"", ",", "24", ")"]);
        apart("a:-1.5 §\u{a0}5/2", &["a", ":", "-1.5", "§", "\u{a0}", "5", "/", "2"]);
        apart("\"a \\\" b\"\"c\" '\\'' '\"' 'winch' '", &["\"a \\\" b\"", "\"c\"", "'\\''", "'\"'", "'winch'", "'"]);
        apart("r#\"a\"b\"# br\"c\" b\"d\" ring r#e", &["r#\"a\"b\"#", "br\"c\"", "b\"d\"", "ring", "r", "#", "e"]);
    }

    #[test]
    fn comments_are_left_out() {
        apart("a // b\n /* c /* d */ e */ f //", &["a", "f"]);
        apart("/**/ a /***/ b /*/ c */ d", &["a", "b", "d"]);
    }

    #[test]
    fn what_is_never_closed_goes_to_the_end() {
        for source in ["/* a /* b */", "\"a\\\"", "r##\"a\"#", "\"", "/*", "/*/"] {
            let tokens: Vec<_> = Tokens::of(source).collect();
            assert_eq!(tokens.len(), 1, "{source:?}: {tokens:?}");
            assert_eq!((tokens[0].kind, tokens[0].place.clone()), (TokenKind::Unclosed, 0..source.len()), "{source:?}");
        }
    }
}
