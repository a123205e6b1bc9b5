//! A text in RON as a tree of values, each with its place, and every fault of its signs.
//!
//! Reading goes on behind a value that is out of place, behind a comma or colon that is missing, behind a fraction
//! without quotes. It ends where nothing more can be known of what is meant: at a bracket that closes another one, at a
//! quote or comment without an end, at a quote that is missing. What depends on what should stand at a place is left
//! in the tree, and told by whoever reads it: a value that is missing, or that is followed by something other than a
//! comma.

use std::cell::OnceCell;
use std::ops::Range;

use ron::extensions::Extensions;

use super::flaw::Flaw;
use super::line_index::LineIndex;
use super::pasted::pasted;
use super::thing::{Inside, Root};
use super::tokens::{Token, TokenKind, Tokens, without_quotes};
use super::wording::{bracket_of, found, missing_comma, shortened, slash_or_fraction, unclosed_quote};

/// Brackets may stand so deep inside one another; half a dozen are needed.
const DEEPEST: usize = 64;

/// A value with its place.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// What stands before its colon, where it has one.
    pub(crate) key: Option<Box<Node>>,
    pub(crate) place: Range<usize>,
    pub(crate) kind: NodeKind,
    /// The token behind it.
    pub(crate) after: Range<usize>,
    /// Where it is followed by something else than a comma or the end of its brackets: the place where these open.
    pub(crate) run_on: Option<usize>,
    /// Where what is written at its place ends, with what runs on.
    until: usize,
}

/// What a value is.
#[derive(Debug, Clone)]
pub(crate) enum NodeKind {
    /// Letters, digits and the signs of a number, without quotes.
    Word,
    /// Text between quotes.
    Text,
    /// Brackets with what they hold.
    Group(BracketGroup),
    /// A value is missing, and something else stands at its place.
    Nothing,
    /// What stands there has been told to be wrong.
    Told,
}

/// Brackets with what they hold.
#[derive(Debug, Clone)]
pub(crate) struct BracketGroup {
    /// The word before them.
    pub(crate) word: Option<Range<usize>>,
    /// The bracket that opens.
    pub(crate) opening: char,
    pub(crate) items: Vec<Node>,
    /// Whether reading ended before they were closed.
    pub(crate) is_cut: bool,
}

impl Node {
    fn new(place: Range<usize>, kind: NodeKind) -> Self {
        let end = place.end;
        Self { key: None, after: end..end, place, kind, run_on: None, until: end }
    }

    /// All that is written at its place, with what runs on up to the next comma or bracket.
    pub(crate) fn extent(&self) -> Range<usize> {
        self.place.start..self.until.max(self.place.end)
    }

    /// The brackets, if these are of that kind and without a word.
    pub(crate) fn group(&self, opening: char) -> Option<&BracketGroup> {
        match &self.kind {
            NodeKind::Group(group) if group.opening == opening && group.word.is_none() => Some(group),
            NodeKind::Word | NodeKind::Text | NodeKind::Group(_) | NodeKind::Nothing | NodeKind::Told => None,
        }
    }

    /// The word, or that before the brackets.
    pub(crate) fn word(&self) -> Option<Range<usize>> {
        match &self.kind {
            NodeKind::Word => Some(self.place.clone()),
            NodeKind::Group(group) => group.word.clone(),
            NodeKind::Text | NodeKind::Nothing | NodeKind::Told => None,
        }
    }

    /// Its first token: a word or bracket where it is a group.
    pub(crate) fn first_token(&self) -> Range<usize> {
        match &self.kind {
            NodeKind::Group(group) => group.word.clone().unwrap_or(self.place.start..self.place.start + 1),
            NodeKind::Word | NodeKind::Text | NodeKind::Nothing | NodeKind::Told => self.place.clone(),
        }
    }

    /// What a rule points at: the number in `Module(2.5)`, else all of it.
    pub(crate) fn essence(&self) -> Range<usize> {
        match &self.kind {
            NodeKind::Group(BracketGroup { word: Some(_), items, .. }) if !items.is_empty() => items[0].place.clone(),
            NodeKind::Word | NodeKind::Text | NodeKind::Group(_) | NodeKind::Nothing | NodeKind::Told => {
                self.place.clone()
            }
        }
    }
}

/// Takes a text apart: its value, and what is wrong with its signs.
pub(crate) fn parse(source: &str, root: &Root) -> (Node, Vec<(Range<usize>, Flaw)>) {
    let mut parser = Parser::new(source, root);
    if !parser.settings() {
        return (Node::new(0..0, NodeKind::Told), parser.flaws);
    }
    let mut node = parser.value();
    node.after = parser.next_place();
    // A word alone, or a value of another kind, is told by the beginning that is missing.
    let is_group = matches!(node.kind, NodeKind::Group(_));
    parser.tell_typographic_quotes();
    if is_group && parser.text() == "/" {
        parser.slash();
    } else if is_group && let Some(token) = parser.next.take() {
        let sentence = format!("something stands after the end of {}", root.the);
        parser.tell(token.place, Flaw::shape(sentence, format!("one file holds one {}(...)", root.thing.word())));
    }
    (node, parser.flaws)
}

struct Parser<'a> {
    source: &'a str,
    root: &'a Root,
    tokens: Tokens<'a>,
    /// The next token; none at the end of the file, or where reading has ended.
    next: Option<Token>,
    /// The last token that was passed.
    last: Option<Token>,
    flaws: Vec<(Range<usize>, Flaw)>,
    /// Reading has ended before the file.
    is_stopped: bool,
    /// Names between typographic quotes, which are told once.
    printed: Vec<Range<usize>>,
    /// The brackets that are open.
    open: Vec<char>,
    /// Brackets were taken as closed where another entry of those outside begins.
    is_resumed: bool,
    /// Where lines begin, once that is asked for.
    lines: OnceCell<LineIndex<'a>>,
}

impl<'a> Parser<'a> {
    fn new(source: &'a str, root: &'a Root) -> Self {
        let mut parser = Self {
            source,
            root,
            tokens: Tokens::of(source),
            next: None,
            last: None,
            flaws: Vec::new(),
            is_stopped: false,
            printed: Vec::new(),
            open: Vec::new(),
            is_resumed: false,
            lines: OnceCell::new(),
        };
        parser.next = parser.following();
        parser
    }

    /// The next token of a description; comments of other languages are told, and typographic quotes read as quotes.
    fn following(&mut self) -> Option<Token> {
        loop {
            let token = self.tokens.next()?;
            match token.kind {
                TokenKind::ForeignComment => self.tell_foreign_comment(token.place),
                TokenKind::PrintedText => {
                    self.printed.push(token.place.clone());
                    return Some(Token { kind: TokenKind::Text, ..token });
                }
                TokenKind::Word | TokenKind::Text | TokenKind::Unclosed | TokenKind::Mark => return Some(token),
            }
        }
    }

    fn tell_foreign_comment(&mut self, place: Range<usize>) {
        let text = self.source[place.clone()].trim_end();
        let comment = text.trim_start_matches(['#', '-']).trim_start();
        let hint =
            pasted(comment).map_or("write // before a comment".to_owned(), |comment| format!("write // {comment}"));
        self.tell(place.start..place.start + text.len(), Flaw::shape("comments begin with //", hint));
    }

    /// One sentence for all typographic quotes, at the first.
    fn tell_typographic_quotes(&mut self) {
        let Some(first) = self.printed.first().cloned() else { return };
        let others = match self.printed.len() - 1 {
            0 => String::new(),
            1 => ", and the other name with such quotes in the same way".to_owned(),
            others => format!(", and the {others} other names with such quotes in the same way"),
        };
        let text = &self.source[first.clone()];
        let hint = format!("write {:?}{others}", without_quotes(text));
        let these = if text.starts_with('`') { "backquotes" } else { "typographic quotes" };
        let sentence = format!("names stand between straight double quotes, not between {these}");
        self.tell(first, Flaw::shape(sentence, hint));
    }

    /// The next token as it is written; empty where reading ends.
    fn text(&self) -> &'a str {
        self.next.as_ref().map_or("", |token| &self.source[token.place.clone()])
    }

    fn kind(&self) -> Option<TokenKind> {
        self.next.as_ref().map(|token| token.kind)
    }

    fn pass(&mut self) -> Range<usize> {
        let place = self.next_place();
        if let Some(token) = self.next.take() {
            self.last = Some(token);
            self.next = self.following();
        }
        place
    }

    /// The place of the next token; at the end of the file that behind the last one.
    fn next_place(&self) -> Range<usize> {
        let end = self.last.as_ref().map_or(0, |token| token.place.end);
        self.next.as_ref().map_or(end..end, |token| token.place.clone())
    }

    fn tell(&mut self, place: Range<usize>, flaw: Flaw) {
        self.flaws.push((place, flaw));
    }

    /// Nothing more can be known of what is meant.
    fn stop(&mut self) {
        (self.next, self.is_stopped) = (None, true);
    }

    /// The number, from 1, of the line that a byte is in.
    fn line_of(&self, byte: usize) -> usize {
        self.lines.get_or_init(|| LineIndex::new(self.source)).line(byte)
    }

    /// Passes settings of the reader that change nothing; others are told, and end the reading.
    fn settings(&mut self) -> bool {
        while self.text() == "#" {
            let start = self.next_place().start;
            let mut parts = Vec::new();
            while !matches!(parts.last(), Some(&("]" | ""))) {
                parts.push(self.text());
                self.pass();
            }
            let is_known = |name: &&str| *name == "," || Extensions::from_ident(name).is_some();
            let is_sound = match parts.as_slice() {
                ["#", "!", "[", "enable", "(", names @ .., ")", "]"] => names.iter().all(is_known) && !names.is_empty(),
                ["#", "!", "[", "type" | "schema", "=", text, "]"] => text.starts_with('"'),
                _ => false,
            };
            if !is_sound {
                let end = self.source[start..].find(['\n', '\r']).map_or(self.source.len(), |length| start + length);
                let word = self.root.thing.word();
                let hint = format!("leave this line out; nothing but comments stands before {word}(");
                let sentence = format!("{} needs no settings of the reader", self.root.what);
                self.tell(start..end, Flaw::shape(sentence, hint));
                return false;
            }
        }
        true
    }

    fn value(&mut self) -> Node {
        match self.kind() {
            Some(TokenKind::Text | TokenKind::PrintedText) => Node::new(self.pass(), NodeKind::Text),
            Some(TokenKind::Word) => {
                let is_name = self.text().starts_with(|letter: char| letter.is_alphabetic() || letter == '_');
                let word = self.pass();
                if is_name && self.text() == "(" { self.group(Some(word)) } else { Node::new(word, NodeKind::Word) }
            }
            Some(TokenKind::Mark) if matches!(self.text(), "(" | "[" | "{") => self.group(None),
            Some(TokenKind::Unclosed) => {
                self.unclosed();
                Node::new(self.next_place(), NodeKind::Told)
            }
            Some(TokenKind::Mark | TokenKind::ForeignComment) | None => Node::new(self.next_place(), NodeKind::Nothing),
        }
    }

    fn group(&mut self, word: Option<Range<usize>>) -> Node {
        let opening = self.text().chars().next().unwrap_or('(');
        let place = self.pass();
        let start = word.as_ref().map_or(place.start, |word| word.start);
        if self.open.len() == DEEPEST {
            let hint = format!("{} has at most half a dozen levels", self.root.what);
            self.tell(place.clone(), Flaw::shape("brackets are nested too deep", hint));
            self.stop();
            return Node::new(place, NodeKind::Told);
        }
        self.open.push(opening);
        let mut items = Vec::new();
        let is_cut = loop {
            match self.text() {
                "" => {
                    // After a comma or the bracket itself an entry may be missing, if one is wanted there.
                    let wants_more = matches!(self.last_text(), "(" | ",") && opening == '(' && !self.is_stopped;
                    items.extend(wants_more.then(|| Node::new(self.next_place(), NodeKind::Nothing)));
                    self.unclosed_bracket(place.start);
                    break true;
                }
                ")" | "]" | "}" => break !self.close(opening, place.start),
                _ if !items.is_empty() && self.is_entry_of_outer() => {
                    self.tell_unclosed_before(opening, place.start);
                    break true;
                }
                _ => items.push(self.item(opening, place.start)),
            }
        };
        self.open.pop();
        let end = self.last.as_ref().map_or(place.end, |last| last.place.end);
        Node::new(start..end, NodeKind::Group(BracketGroup { word, opening, items, is_cut }))
    }

    /// Whether what comes is an entry of the brackets outside: a name with its colon in a list within braces, or a
    /// field of the whole text in braces or a list.
    fn is_entry_of_outer(&self) -> bool {
        let mut ahead = self.tokens.clone();
        let Some((innermost, outer)) = self.open.split_last() else { return false };
        if *innermost == '(' || ahead.next().is_none_or(|token| &self.source[token.place] != ":") {
            return false;
        }
        match self.kind() {
            Some(TokenKind::Text) => *innermost == '[' && outer.last() == Some(&'{'),
            Some(TokenKind::Word) => {
                let Inside::Fields(fields) = self.root.thing.inside else { return false };
                outer.first() == Some(&'(') && fields.iter().any(|field| field.word == self.text())
            }
            Some(TokenKind::PrintedText | TokenKind::ForeignComment | TokenKind::Unclosed | TokenKind::Mark) | None => {
                false
            }
        }
    }

    /// Brackets end where an entry of those outside begins.
    fn tell_unclosed_before(&mut self, opening: char, start: usize) {
        let (name, closing) = bracket_of(opening);
        let (place, line) = (self.next_place(), self.line_of(start));
        let sentence =
            format!("the {name} that opens in line {line} is not closed before {}", found(self.source, place.clone()));
        let last = self.last.as_ref().map_or(0, |last| last.place.end.saturating_sub(1));
        let hint = format!("write {closing} at the end of line {}", self.line_of(last));
        if !self.is_resumed {
            self.tell(place, Flaw::shape(sentence, hint));
        }
        self.is_resumed = true;
    }

    fn last_text(&self) -> &'a str {
        self.last.as_ref().map_or("", |token| &self.source[token.place.clone()])
    }

    /// Passes the bracket that closes; where it is one of another kind, that is told.
    fn close(&mut self, opening: char, start: usize) -> bool {
        let (name, closing) = bracket_of(opening);
        if self.text().starts_with(closing) {
            self.pass();
            return true;
        }
        let found = self.text();
        let sentence =
            format!("the {name} that opens in line {} is not closed before this {found}", self.line_of(start));
        let hint = format!("write {closing} where it ends, or leave this {found} out");
        self.tell(self.next_place(), Flaw::shape(sentence, hint));
        self.stop();
        false
    }

    fn unclosed_bracket(&mut self, start: usize) {
        if !self.is_stopped {
            let (name, closing) = bracket_of(self.source[start..].chars().next().unwrap_or('('));
            let sentence = format!("the {name} that opens in line {} is never closed", self.line_of(start));
            self.tell(self.next_place(), Flaw::shape(sentence, format!("write {closing} where it ends")));
            self.stop();
        }
    }

    /// A quote or comment without an end is at fault where it opens, not where the file ends.
    fn unclosed(&mut self) {
        let start = self.next_place().start;
        if self.text().starts_with("/*") {
            let hint = "write */ where the comment ends, or // before a comment of one line";
            self.tell(start..start + 2, Flaw::shape("the comment that opens here is never closed", hint));
        } else {
            let end = start + self.text().find('"').map_or(0, |quote| quote + 1);
            self.tell(start..end, unclosed_quote(&self.source[start..end]));
        }
        self.stop();
    }

    /// One entry of a group, with what stands before its colon, and the comma behind it.
    fn item(&mut self, opening: char, start: usize) -> Node {
        let mut node = self.value();
        if self.text() == ":" && !matches!(node.kind, NodeKind::Nothing | NodeKind::Told) {
            node.after = self.pass();
            let value = self.value();
            node = Node { key: Some(Box::new(node)), ..value };
        }
        node.after = self.next_place();
        if self.text() == ";" {
            self.semicolon();
            return node;
        }
        if !self.is_at_separator() && !std::mem::take(&mut self.is_resumed) {
            self.run_on(&mut node, opening, start);
            node.until = self.last.as_ref().map_or(0, |last| last.place.end);
        }
        if self.text() == "," {
            self.pass();
        }
        node
    }

    /// A semicolon is taken for the comma that it stands for.
    fn semicolon(&mut self) {
        let place = self.pass();
        self.tell(place, Flaw::shape("a comma belongs here, not ;", "write , in place of ;"));
    }

    /// A stroke that touches a number means inches, and opens no name.
    fn stroke_of_inches(&mut self) {
        let is_number = self.last_text().starts_with(|letter: char| letter.is_ascii_digit());
        let touches = self.last.as_ref().map(|last| last.place.end) == Some(self.next_place().start);
        if is_number && touches && self.text().starts_with('"') {
            let start = self.next_place().start;
            self.next = Some(Token { place: start..start + 1, kind: TokenKind::Mark });
            self.tokens.go_to(start + 1);
        }
    }

    fn is_at_separator(&self) -> bool {
        matches!(self.text(), "" | "," | ")" | "]" | "}")
    }

    /// An entry is followed by something else than a comma or the end of its brackets.
    fn run_on(&mut self, node: &mut Node, opening: char, start: usize) {
        let is_alone = node.key.is_none();
        self.stroke_of_inches();
        match (&node.kind, self.kind()) {
            (_, Some(TokenKind::Unclosed)) if self.text().starts_with("/*") || !self.touches() => {
                self.unclosed();
                return;
            }
            (NodeKind::Nothing | NodeKind::Told, _) => {}
            _ if self.text() == "/" => {
                if self.slash() {
                    node.kind = NodeKind::Told;
                }
            }
            _ if self.quote_is_missing() => {
                self.tell_missing_quote(node, opening, start);
                node.kind = NodeKind::Told;
                self.stop();
                return;
            }
            // The next field begins without a comma before it.
            _ if self.is_key_ahead(opening) => return self.tell_missing_comma(start),
            (NodeKind::Word, _) => node.run_on = Some(start),
            (NodeKind::Text, _) if is_alone && opening == '{' => node.run_on = Some(start),
            (_, Some(TokenKind::Word | TokenKind::Text)) if is_alone => return self.tell_missing_comma(start),
            (_, Some(TokenKind::Word | TokenKind::Text)) => self.tell_missing_comma(start),
            _ => node.run_on = Some(start),
        }
        self.skip_entry();
    }

    /// Whether the next field or name comes with its colon: fields are words in round brackets, names text in braces.
    fn is_key_ahead(&self, opening: char) -> bool {
        let mut ahead = self.tokens.clone();
        let wanted = if opening == '{' { TokenKind::Text } else { TokenKind::Word };
        self.kind() == Some(wanted) && ahead.next().is_some_and(|token| &self.source[token.place] == ":")
    }

    fn tell_missing_comma(&mut self, start: usize) {
        let line = self.line_of(start);
        let place = self.next_place();
        self.tell(place.clone(), missing_comma(self.source, place, (start, line), None));
    }

    /// Whether the next token touches the text before it.
    fn touches(&self) -> bool {
        let (Some(last), Some(next)) = (&self.last, &self.next) else { return false };
        last.kind == TokenKind::Text
            && matches!(next.kind, TokenKind::Word | TokenKind::Unclosed)
            && last.place.end == next.place.start
    }

    /// Whether names and what stands between them seem to have changed places: quoted text that a word touches, or
    /// that goes over lines.
    fn quote_is_missing(&self) -> bool {
        let over_lines = |token: Option<&Token>| {
            token.is_some_and(|token| {
                matches!(token.kind, TokenKind::Text | TokenKind::Unclosed)
                    && self.source[token.place.clone()].contains('\n')
            })
        };
        self.touches() || over_lines(self.last.as_ref()) || over_lines(self.next.as_ref())
    }

    fn tell_missing_quote(&mut self, node: &Node, opening: char, start: usize) {
        const HINT: &str = "look for a double quote that is missing before this place";
        let place = self.next_place();
        let here = found(self.source, place.clone());
        let sentence = if node.key.is_none() && opening == '{' {
            let before = shortened(self.last_text());
            format!("a colon belongs between {before} and {here}")
        } else {
            let (name, _) = bracket_of(opening);
            let line = self.line_of(start);
            format!("a comma is missing before {here}, or the {name} that opens in line {line} is not closed")
        };
        self.tell(place, Flaw::shape(sentence, HINT));
    }

    /// A slash outside quotes opens a comment, or is a fraction that lacks its quotes; whether it is one.
    fn slash(&mut self) -> bool {
        let (place, fraction) = slash_or_fraction(self.source, self.next_place().start);
        let is_fraction = fraction.is_some();
        let flaw = if let Some(fraction) = fraction {
            Flaw::shape("the quotes round this fraction are missing", format!("write \"{fraction}\""))
        } else {
            let hint = "write // before a comment, and a fraction in quotes, such as \"5/2\"";
            Flaw::shape("a slash stands alone", hint)
        };
        self.tell(place, flaw);
        is_fraction
    }

    /// Goes to the comma or bracket that ends an entry which has been told, or is to be told, to be wrong.
    fn skip_entry(&mut self) {
        let mut open: Vec<char> = Vec::new();
        loop {
            let text = self.text();
            match (text, self.kind()) {
                ("", _) => return,
                ("," | ")" | "]" | "}", _) if open.is_empty() => return,
                ("(" | "[" | "{", _) => open.extend(text.chars()),
                (")" | "]" | "}", _) => {
                    let fits = open.pop().is_some_and(|opening| text.starts_with(bracket_of(opening).1));
                    if !fits {
                        return self.stop();
                    }
                }
                (_, Some(TokenKind::Unclosed)) => return self.unclosed(),
                _ => {}
            }
            self.pass();
        }
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use proptest::prelude::*;
    use serde::de::IgnoredAny;

    use super::*;
    use crate::random::cases;
    use crate::syntax::thing::nothing_else;
    use crate::syntax::{Element, Inside};

    const ROOT: Root = Root {
        what: "a description",
        the: "the description",
        thing: Element {
            name: "a gearset",
            example: "Gearset(...)",
            rule: "",
            inside: Inside::Fields(&[]),
            meant: nothing_else,
        },
    };

    fn is_of_ron(source: &str) -> bool {
        let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
        options.from_str::<IgnoredAny>(source).is_ok()
    }

    /// Whether nothing in a value is left to be told by whoever reads it.
    fn is_sound(source: &str, node: &Node) -> bool {
        let key_is_sound = |node: &Node| node.key.as_ref().is_none_or(|key| is_sound(source, key));
        let all = |group: &BracketGroup, is_named: fn(&Node) -> bool| {
            !group.is_cut
                && group.items.iter().all(|item| is_named(item) && key_is_sound(item) && is_sound(source, item))
        };
        node.run_on.is_none()
            && match &node.kind {
                NodeKind::Nothing | NodeKind::Told => false,
                NodeKind::Word | NodeKind::Text => is_of_ron(&source[node.place.clone()]),
                NodeKind::Group(BracketGroup { word: Some(word), items, .. }) if &source[word.clone()] == "Some" => {
                    items.len() == 1 && items[0].key.is_none() && is_sound(source, &items[0])
                }
                NodeKind::Group(group) if group.word.clone().is_some_and(|word| !is_of_ron(&source[word])) => false,
                NodeKind::Group(group) if group.opening == '{' => all(group, |item| item.key.is_some()),
                NodeKind::Group(group) => {
                    let is_field =
                        |item: &Node| item.key.as_ref().is_some_and(|key| matches!(key.kind, NodeKind::Word));
                    all(group, |item| item.key.is_none()) || group.opening == '(' && all(group, is_field)
                }
            }
    }

    /// What is taken apart without a flaw is what RON takes; a text that is no group is refused in any case.
    #[track_caller]
    fn agrees_with_ron(source: &str) {
        let (node, flaws) = parse(source, &ROOT);
        let accepted = flaws.is_empty() && is_sound(source, &node);
        let is_group = matches!(node.kind, NodeKind::Group(_));
        assert!(!is_group || accepted == is_of_ron(source), "accepted: {accepted}, {flaws:?}: {source}");
    }

    fn files(folder: &str) -> Vec<String> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let paths =
            std::fs::read_dir(folder).expect("the folder is there").map(|entry| entry.expect("an entry").path());
        paths.filter_map(|path| std::fs::read_to_string(path).ok()).collect()
    }

    #[test]
    fn every_file_is_taken_or_refused_as_ron_takes_and_refuses_it() {
        for folder in ["gearsets", "tests/accepted", "tests/rejected", "tests/rejected_requests"] {
            for source in files(folder) {
                agrees_with_ron(source.trim_start_matches('\u{feff}'));
            }
        }
    }

    #[test]
    fn settings_and_forms_of_ron_that_hardly_anybody_writes_are_taken() {
        for source in [
            "#![enable(implicit_some)]\n(a: 1)",
            "#![enable(unwrap_newtypes, implicit_some,)]\n#![type = \"gearset\"]\nGearset(a: Some(1), b: None)",
            "(a: r#\"x\"#, b: 'c', c: (), d: [], e: {}, f: (1,), g: {1: 2, \"x\": [{}]},)",
            "/* a */ Gearset /* b */ ( /* c /* d */ */ a /* e */ : /* f */ B /* g */ (1) // h\n)",
        ] {
            assert!(is_of_ron(source), "{source}");
            agrees_with_ron(source);
        }
    }

    #[test]
    fn every_slip_in_an_example_is_seen_where_ron_sees_one() {
        let example = files("gearsets").into_iter().min_by_key(String::len).expect("files");
        for (at, letter) in example.char_indices() {
            let (before, after) = (&example[..at], &example[at + letter.len_utf8()..]);
            agrees_with_ron(before);
            agrees_with_ron(&format!("{before}{after}"));
            for slip in ["(", "]", "}", "\"", "'", ",", ":", "/", "/*", "-", "\\", "x", "7", " ", "\u{e9}", "\0"] {
                agrees_with_ron(&format!("{before}{slip}{letter}{after}"));
            }
        }
    }

    proptest! {
        #![proptest_config(cases(300))]

        #[test]
        fn damage_is_seen_where_ron_sees_it(
            which in any::<prop::sample::Index>(),
            hits in prop::collection::vec((any::<prop::sample::Index>(), "[\"\\(){}\\[\\],:0-9/x\n*_. -]{0,2}"), 1..4),
        ) {
            let mut files = files("gearsets");
            let mut text: Vec<char> = files.swap_remove(which.index(files.len())).chars().collect();
            for (at, inserted) in hits {
                let at = at.index(text.len());
                text.splice(at..=at, inserted.chars());
            }
            agrees_with_ron(&text.into_iter().collect::<String>());
        }
    }

    #[test]
    fn nothing_nested_too_deep_or_never_closed_is_gone_into() {
        for bracket in ["(", "[", "{", "(a:", "{1:", "x("] {
            let (_, flaws) = parse(&bracket.repeat(100_000), &ROOT);
            assert_eq!(flaws.len(), 1, "{bracket}");
        }
    }
}
