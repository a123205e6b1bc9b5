//! The shape of a text as data: what belongs at a place, in words for people.
//!
//! The macros write it beside every structure that can be read; messages, the writing and the reference go by it.

/// Something that a text has at a certain place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Element {
    /// What it is, with its article.
    pub(crate) name: &'static str,
    /// How it may look, as an example.
    pub(crate) example: &'static str,
    /// Which values are taken; empty where all are.
    pub(crate) rule: &'static str,
    /// What it consists of.
    pub(crate) inside: Inside,
    /// The text to write for what somebody wrote in words of their own, as `Module(2.5)` for `2.5 mm`.
    pub(crate) meant: fn(&str) -> Option<String>,
}

/// For things of which nothing else than their own form is understood.
pub(crate) fn nothing_else(_: &str) -> Option<String> {
    None
}

/// What a thing consists of.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Inside {
    /// A name, a number or a word alone.
    Nothing,
    /// One of several words, most with brackets of their own.
    Kinds(&'static [Alternative]),
    /// Fields in round brackets.
    Fields(&'static [Field]),
    /// Entries in round brackets, so many of which are needed.
    Entries { needed: usize, things: &'static [Element] },
    /// Any number of one thing in square brackets.
    List(&'static Element),
    /// Names in quotes, each with the thing that belongs to it, in braces.
    Named(&'static Element),
}

/// A field with what belongs behind its colon.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Field {
    pub(crate) word: &'static str,
    /// The sentence that explains it.
    pub(crate) help: &'static str,
    pub(crate) thing: Element,
    pub(crate) is_needed: bool,
}

/// A word with what belongs in its brackets.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Alternative {
    pub(crate) word: &'static str,
    pub(crate) thing: Element,
}

impl Alternative {
    /// Whether the word stands alone, without brackets.
    pub(crate) fn is_bare(&self) -> bool {
        matches!(self.thing.inside, Inside::Nothing)
    }
}

impl Element {
    /// Whether it is a name in quotes.
    pub(crate) fn is_name(&self) -> bool {
        let begins_name = |letter: &str| !letter.starts_with(|it: char| it.is_ascii_digit() || it == '-');
        matches!(self.inside, Inside::Nothing) && self.example.strip_prefix('"').is_some_and(begins_name)
    }

    /// Whether it is a number.
    pub(crate) fn is_number(&self) -> bool {
        let number = self.example.trim_start_matches(['"', '-']);
        matches!(self.inside, Inside::Nothing) && number.starts_with(|letter: char| letter.is_ascii_digit())
    }

    /// The word before its brackets, where it has one.
    pub(crate) fn word(&self) -> &'static str {
        self.example.split('(').next().unwrap_or(self.example)
    }

    /// The same; nothing where brackets stand alone.
    pub(crate) fn named(&self) -> &'static str {
        if self.word().starts_with(char::is_alphabetic) { self.word() } else { "" }
    }

    /// How many of the entries are needed: all but those at the end that may be left out.
    pub(crate) const fn needed(optional: &[bool]) -> usize {
        let mut needed = optional.len();
        while needed > 0 && optional[needed - 1] {
            needed -= 1;
        }
        needed
    }
}

/// What a whole text is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Root {
    /// What it is, with its article: "a description".
    pub(crate) what: &'static str,
    /// The same with the definite article.
    pub(crate) the: &'static str,
    /// What it is of, and its word.
    pub(crate) thing: Element,
}
