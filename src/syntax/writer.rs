//! Writes values as text, laid out as people lay it out: one field a line, and one entry a line where there are many.

const INDENT: &str = "    ";

/// A text that is being written.
#[derive(Debug, Default)]
pub(crate) struct Writer {
    text: String,
    open: Vec<Bracket>,
    /// The next list is laid out with one entry a line.
    is_spread: bool,
}

#[derive(Debug)]
struct Bracket {
    closing: char,
    layout: EntryLayout,
    is_empty: bool,
}

/// Whether entries stand in one line or in a line each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum EntryLayout {
    InOneLine,
    OneALine,
}

impl Writer {
    /// For a value inside brackets that somebody else writes.
    pub(crate) fn in_line() -> Self {
        let around = Bracket { closing: ')', layout: EntryLayout::InOneLine, is_empty: true };
        Self { open: vec![around], ..Self::default() }
    }

    pub(crate) fn push(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// Lays the next list out with one entry a line.
    pub(crate) fn one_a_line(&mut self) {
        self.is_spread = true;
    }

    /// Opens round brackets behind a word, or behind none; those of a whole text, and those that are laid out so, have one
    /// field a line.
    pub(crate) fn open_fields(&mut self, word: &str) {
        self.push(word);
        let is_spread = std::mem::take(&mut self.is_spread) || self.open.is_empty();
        let layout = if is_spread { EntryLayout::OneALine } else { EntryLayout::InOneLine };
        self.open('(', ')', layout);
    }

    /// Opens a list of so many entries.
    pub(crate) fn open_list(&mut self, opening: char, closing: char, entries: usize) {
        let is_spread = std::mem::take(&mut self.is_spread) && entries > 0;
        self.open(opening, closing, if is_spread { EntryLayout::OneALine } else { EntryLayout::InOneLine });
    }

    fn open(&mut self, opening: char, closing: char, layout: EntryLayout) {
        self.text.push(opening);
        self.open.push(Bracket { closing, layout, is_empty: true });
    }

    /// Begins the next entry.
    pub(crate) fn next(&mut self) {
        let Some(bracket) = self.open.last_mut() else { return };
        match (bracket.layout, std::mem::take(&mut bracket.is_empty)) {
            (EntryLayout::OneALine, true) => {}
            (EntryLayout::OneALine, false) => self.text.push(','),
            (EntryLayout::InOneLine, true) => return,
            (EntryLayout::InOneLine, false) => return self.text.push_str(", "),
        }
        self.line();
    }

    /// Begins the next field.
    pub(crate) fn field(&mut self, name: &str) {
        self.next();
        self.push(name);
        self.push(": ");
    }

    pub(crate) fn close(&mut self) {
        let Some(bracket) = self.open.pop() else { return };
        if bracket.layout == EntryLayout::OneALine && !bracket.is_empty {
            self.text.push(',');
            self.line();
        }
        self.text.push(bracket.closing);
    }

    /// Begins a line, as far in as brackets with lines are open.
    fn line(&mut self) {
        self.text.push('\n');
        let depth = self.open.iter().filter(|bracket| bracket.layout == EntryLayout::OneALine).count();
        self.text.push_str(&INDENT.repeat(depth));
    }

    /// The text, with the end of its last line.
    pub(crate) fn finish(mut self) -> String {
        self.text.push('\n');
        self.text
    }
}
