//! Did the public interface of the library change? What is public is listed from the sources and compared.
//!
//! A listing a module, in `tests/all/project/snapshots/`: declarations as they stand in the sources, with what is derived
//! and how they may grow, in the order of the files. What a list of options, fields or words makes public is read from
//! the list. `INSTA_UPDATE=always` puts the new one in its place; whatever was taken away or changed belongs into
//! CHANGELOG.md. What is `pub` can be reached from outside, also by way of a module that is not, for a lint refuses it
//! elsewhere.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::sources::{after_group, sources, tokens_outside_tests};

/// A listing for each module of the library that has anything public, and for its first page.
fn listings() -> BTreeMap<String, String> {
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    for source in sources().iter().filter(|source| !source.is_of_program()) {
        let module = source.modules().into_iter().next().unwrap_or_else(|| "lib".into());
        let lines = Listing::of(&source.text).lines;
        if !lines.is_empty() {
            let path = source.path.to_string_lossy().replace('\\', "/");
            let listing = found.entry(module).or_default();
            writeln!(listing, "{path}\n  {}", lines.join("\n  ")).expect("a text takes every line");
        }
    }
    found
}

/// What a source makes public, a line a declaration.
struct Listing {
    tokens: Vec<String>,
    lines: Vec<String>,
    /// Attributes of the next declaration.
    attributes: Vec<String>,
    /// The type whose methods follow, until it has been told.
    methods_of: Option<String>,
}

impl Listing {
    fn of(text: &str) -> Self {
        let tokens = tokens_outside_tests(text);
        let mut listing = Self { tokens, lines: Vec::new(), attributes: Vec::new(), methods_of: None };
        let mut at = 0;
        while at < listing.tokens.len() {
            at = listing.next(at);
        }
        listing
    }

    fn sign(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", String::as_str)
    }

    /// Reads what begins here, and gives the place after it.
    fn next(&mut self, at: usize) -> usize {
        match (self.sign(at), self.sign(at + 1)) {
            ("macro_rules", "!") => after_group(&self.tokens, at + 3),
            ("#", "[") => self.attribute(at),
            ("options", "!") => self.options(at + 2),
            ("impl", _) => self.implementation(at),
            ("pub", "(") => {
                self.attributes.clear();
                at + 2
            }
            ("pub", _) => self.declaration(at + 1),
            _ => at + 1,
        }
    }

    /// Keeps what is derived and how a type may grow.
    fn attribute(&mut self, at: usize) -> usize {
        let end = self.next_of(at, "]") + 1;
        if ["derive", "non_exhaustive"].contains(&self.sign(at + 2)) {
            self.attributes.push(joined(&self.tokens[at..end]));
        }
        end
    }

    /// Remembers whose methods follow; those of a trait are where the trait is.
    fn implementation(&mut self, at: usize) -> usize {
        let body = self.next_of(at, "{");
        let is_item = at == 0 || ["}", ";", "]", "{"].contains(&self.sign(at - 1));
        if is_item {
            self.methods_of = Some(joined(&self.tokens[at..body]));
        }
        if is_item { body } else { at + 1 }
    }

    /// A declaration behind `pub`.
    fn declaration(&mut self, at: usize) -> usize {
        let word = self.sign(at).to_owned();
        let end = if word == "use" { self.next_of(at, ";") } else { self.end_of_head(at) };
        let is_type = ["struct", "enum", "trait"].contains(&word.as_str());
        let is_of_type = ["fn", "const"].contains(&word.as_str()) || (word == "unsafe" || word == "async");
        if is_type {
            self.methods_of = None;
            let attributes = std::mem::take(&mut self.attributes);
            self.lines.extend(attributes);
        } else if is_of_type {
            self.lines.extend(self.methods_of.take());
        }
        self.attributes.clear();
        let is_field = !is_type && !is_of_type && !["use", "mod", "type", "static"].contains(&word.as_str());
        let indent = if is_field || (is_of_type && self.is_inside(at)) { "    " } else { "" };
        // Behind the name of a structure that is also written, what people read of it is left away.
        self.lines.push(format!("{indent}{}", joined(&self.tokens[at..end]).trim_end_matches(": \"\"")));
        match word.as_str() {
            "enum" | "trait" => self.parts_of(end, &[",", ";"]),
            _ => end,
        }
    }

    /// Whether a place lies between braces, as methods do.
    fn is_inside(&self, at: usize) -> bool {
        let count = |sign: &str| self.tokens[..at].iter().filter(|token| *token == sign).count();
        count("{") > count("}")
    }

    /// The next place of a sign.
    fn next_of(&self, start: usize, wanted: &str) -> usize {
        (start..self.tokens.len()).find(|&at| self.tokens[at] == wanted).unwrap_or(self.tokens.len())
    }

    /// The place after the head of a declaration: before its body, its value or the next field.
    fn end_of_head(&self, start: usize) -> usize {
        let mut depth = 0_usize;
        for at in start..self.tokens.len() {
            let (token, before) = (self.sign(at), self.sign(at - 1));
            match token {
                "(" | "[" | "<" => depth += 1,
                ">" if before == "-" || before == "=" => {}
                ")" | "]" | ">" if depth > 0 => depth -= 1,
                "{" | "}" | ";" | "," | "=" | "as" if depth == 0 => return at,
                _ => {}
            }
        }
        self.tokens.len()
    }

    /// Lists the variants of an enum, what a trait asks for, or options, in the body that begins at the next brace.
    fn parts_of(&mut self, at: usize, ends: &[&str]) -> usize {
        let open = self.next_of(at, "{");
        let end = after_group(&self.tokens, open);
        let mut start = open + 1;
        while start + 1 < end {
            if self.sign(start) == "#" {
                start = self.next_of(start, "]") + 1;
                continue;
            }
            let after = self.end_of_head(start);
            // The fields of a variant stand in braces; the body of a method that a trait has already does too.
            let has_fields = self.sign(after) == "{" && self.sign(start) != "fn" && self.sign(start + 1) != "fn";
            let shown = if has_fields { after_group(&self.tokens, after) } else { after };
            self.lines.extend((shown > start).then(|| format!("    {}", joined(&self.tokens[start..shown]))));
            start = self.after_part(after, end, ends);
        }
        end
    }

    /// The place after the sign or body with which a part ends.
    fn after_part(&self, mut at: usize, end: usize, ends: &[&str]) -> usize {
        while at + 1 < end {
            match self.sign(at) {
                sign if ends.contains(&sign) => return at + 1,
                "{" => {
                    let after = after_group(&self.tokens, at);
                    return after + usize::from(self.sign(after) == ",");
                }
                _ => at += 1,
            }
        }
        end
    }

    /// A list of options: the structure that it makes, with a field an option.
    fn options(&mut self, at: usize) -> usize {
        let name = self.next_of(at, "struct") + 1;
        self.lines.push(format!("struct {}", self.sign(name)));
        self.attributes.clear();
        self.parts_of(name, &[";"]);
        after_group(&self.tokens, at)
    }
}

/// Tokens as one writes them, near enough to be read.
fn joined(tokens: &[String]) -> String {
    let is_word = |text: &str| text.chars().last().is_some_and(|letter| letter.is_alphanumeric() || letter == '_');
    let mut text = String::new();
    for token in tokens {
        let after_word = (is_word(&text) || text.ends_with('>')) && (is_word(token) || token == "{" || token == "+");
        if after_word || text.ends_with([',', ':', '=', '+', ';']) && !text.ends_with("::") || token == "=" {
            text.push(' ');
        }
        text.push_str(token);
    }
    text.replace("->", " -> ").replace("  ", " ")
}

#[test]
fn the_public_interface_is_the_one_that_is_recorded() {
    let listings = listings();
    assert!(listings.len() > 20, "every module has a listing");
    for (module, listing) in listings {
        insta::assert_snapshot!(module, listing);
    }
}

#[test]
fn whatever_can_be_public_is_listed() {
    let text = r#"
        /// A thing.
        #[derive(Debug, Clone)]
        #[non_exhaustive]
        pub struct Thing<'a, T: Into<String>> { pub name: Vec<&'a T>, hidden: u8 }
        pub struct Pair(pub u8, f64);
        impl<'a> Thing<'a, String> {
            pub const MOST: usize = 4;
            /// Asks.
            pub fn ask(&self, how: impl Fn(u8) -> u8) -> Result<(), Fault> { let x = 1; }
            pub(crate) fn quiet(&self) {}
            fn private() {}
        }
        pub enum Kind { #[serde(rename = "o")] One, Two { first: u8, second: u8 }, Three(u8, Vec<u8>) }
        pub trait Ask { fn ask(&self) -> u8; fn twice(&self) -> u8 { 2 * self.ask() } type Answer; }
        options! { pub struct Options { ..what_if: WhatIf; full: bool = values::flag, "X"; } }
        fields! { pub struct Draft: "a", "b" { pub title: String = "the title"; pub pins: Vec<Pin> as Needed<Pins> = ""; } }
        pub use inner::{One, Two as Other};
        macro_rules! quiet { () => { pub fn hidden() {} } }
        pub const fn free(count: usize) -> Option<[u8; 3]> { None }
        mod tests { pub fn hidden() {} }
    "#;
    let expected = [
        "#[derive(Debug, Clone)]",
        "#[non_exhaustive]",
        "struct Thing<'a, T: Into<String>>",
        "    name: Vec<&'a T>",
        "struct Pair(pub u8, f64)",
        "impl<'a> Thing<'a, String>",
        "    const MOST: usize",
        "    fn ask(&self, how: impl Fn(u8) -> u8) -> Result<(), Fault>",
        "enum Kind",
        "    One",
        "    Two {first: u8, second: u8}",
        "    Three(u8, Vec<u8>)",
        "trait Ask",
        "    fn ask(&self) -> u8",
        "    fn twice(&self) -> u8",
        "    type Answer",
        "struct Options",
        "    ..what_if: WhatIf",
        "    full: bool",
        "struct Draft",
        "    title: String",
        "    pins: Vec<Pin>",
        "use inner::{One, Two as Other}",
        "const fn free(count: usize) -> Option<[u8; 3]>",
    ];
    assert_eq!(Listing::of(text).lines, expected);
}
