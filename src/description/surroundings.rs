//! What stands round a place in a description, and what belongs there.
//!
//! The brackets that are open at the place are followed through the tree of the grammar;
//! where the text has left the grammar, nothing is known of what belongs.

use super::grammar::{FILE, Inside, Thing};
use super::tokens::{Token, TokenKind, Tokens};

/// A place with what is open round it, what stands before it, and what is found there.
#[derive(Debug)]
pub(super) struct Surroundings<'a> {
    source: &'a str,
    frames: Vec<Frame>,
    /// The last token before the place.
    pub(super) before: Option<Token>,
    /// The token at the place; `None` at the end of the file.
    pub(super) found: Option<Token>,
}

/// A bracket that is open, and how far its content has been read.
#[derive(Debug)]
struct Frame {
    thing: Option<&'static Thing>,
    opening: usize,
    /// The entry that the place is in, from 0.
    entry: usize,
    /// What stands before the colon of the entry.
    key: Option<Token>,
    /// The last token of the entry.
    last: Option<Token>,
}

impl<'a> Surroundings<'a> {
    /// What stands round a byte of a source.
    pub(super) fn of(source: &'a str, place: usize) -> Self {
        let outermost = Frame { thing: Some(&FILE), opening: 0, entry: 0, key: None, last: None };
        let mut around = Self { source, frames: vec![outermost], before: None, found: None };
        for token in Tokens::of(source) {
            if token.place.end > place {
                around.found = Some(token);
                break;
            }
            around.pass(token);
        }
        around
    }

    fn pass(&mut self, token: Token) {
        self.before = Some(token.clone());
        match &self.source[token.place.clone()] {
            "(" | "[" | "{" => {
                let thing = self.opened();
                self.frames.push(Frame { thing, opening: token.place.start, entry: 0, key: None, last: None });
                return;
            }
            ")" | "]" | "}" if self.frames.len() > 1 => drop(self.frames.pop()),
            _ => {}
        }
        let text = &self.source[token.place.clone()];
        let Some(frame) = self.frames.last_mut() else { return };
        match text {
            "," => (frame.entry, frame.key, frame.last) = (frame.entry + 1, None, None),
            ":" if frame.key.is_none() => frame.key = frame.last.take(),
            _ => frame.last = Some(token),
        }
    }

    fn frame(&self) -> Option<&Frame> {
        self.frames.last()
    }

    fn text(&self, token: Option<&Token>) -> Option<&'a str> {
        token.map(|token| &self.source[token.place.clone()])
    }

    /// The thing whose brackets open next.
    fn opened(&self) -> Option<&'static Thing> {
        let wanted = self.wanted()?;
        if matches!(wanted.inside, Inside::Kinds(_)) { self.kind_before() } else { Some(wanted) }
    }

    /// The thing whose brackets the place is in.
    pub(super) fn within(&self) -> Option<&'static Thing> {
        self.frame()?.thing
    }

    /// The thing that belongs at the place, after the field's colon where there is one.
    pub(super) fn wanted(&self) -> Option<&'static Thing> {
        let frame = self.frame()?;
        match (&frame.thing?.inside, self.text(frame.key.as_ref())) {
            (Inside::Fields(fields), Some(key)) => of_word(fields, key),
            (Inside::Named(thing), Some(_)) | (Inside::List(thing), _) => Some(thing),
            (Inside::Entries { things, .. }, _) => things.get(frame.entry).copied(),
            _ => None,
        }
    }

    /// Whether the name of a field, or of a thing in braces, belongs at the place.
    pub(super) fn wants_key(&self) -> bool {
        let inside = self.within().map(|thing| &thing.inside);
        matches!(inside, Some(Inside::Fields(_) | Inside::Named(_))) && self.frame().is_some_and(|f| f.key.is_none())
    }

    /// The known word just before the place, whose brackets should follow.
    pub(super) fn kind_before(&self) -> Option<&'static Thing> {
        let Inside::Kinds(kinds) = self.wanted()?.inside else { return None };
        of_word(kinds, self.entry_so_far()?)
    }

    /// The last token of the entry that the place is in.
    pub(super) fn entry_so_far(&self) -> Option<&'a str> {
        self.text(self.frame()?.last.as_ref())
    }

    /// Whether the entry has begun with something that stands without quotes.
    pub(super) fn begun_without_quotes(&self) -> bool {
        let last = self.frame().and_then(|frame| frame.last.as_ref());
        last.is_some_and(|token| token.kind == TokenKind::Word)
    }

    /// A field of the brackets that the place is in.
    pub(super) fn field(&self, name: &str) -> Option<&'static Thing> {
        let Inside::Fields(fields) = self.within()?.inside else { return None };
        of_word(fields, name)
    }

    /// The innermost bracket that is open: where it opens, and the one that closes it.
    pub(super) fn bracket(&self) -> Option<(usize, char)> {
        let opening = self.frames.get(1..)?.last()?.opening;
        let closing = match self.source.as_bytes()[opening] {
            b'(' => ')',
            b'[' => ']',
            _ => '}',
        };
        Some((opening, closing))
    }

    /// The number, from 1, of the line that a byte is in.
    pub(super) fn line_of(&self, byte: usize) -> usize {
        self.source[..byte].matches('\n').count() + 1
    }

    /// The text of the last token before the place; empty where there is none.
    pub(super) fn before_text(&self) -> &'a str {
        self.text(self.before.as_ref()).unwrap_or_default()
    }

    /// The text of the token at the place; empty at the end of the file.
    pub(super) fn found_text(&self) -> &'a str {
        self.text(self.found.as_ref()).unwrap_or_default()
    }
}

/// The thing that goes by a word.
fn of_word(things: &[(&'static str, &'static Thing)], word: &str) -> Option<&'static Thing> {
    things.iter().find(|(known, _)| *known == word).map(|&(_, thing)| thing)
}
