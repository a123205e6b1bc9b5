//! The sources of the project as words and signs, for the tests that read them.

use std::fs;
use std::path::{Path, PathBuf};

pub(super) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A source file: its place below `src` and its text.
pub(super) struct Source {
    pub(super) path: PathBuf,
    pub(super) text: String,
}

impl Source {
    /// The modules down to this file: `gearset/check/mod.rs` is `[gearset, check]`.
    pub(super) fn modules(&self) -> Vec<String> {
        let mut parts: Vec<String> =
            self.path.with_extension("").iter().map(|part| part.to_string_lossy().into_owned()).collect();
        if parts.last().is_some_and(|last| matches!(last.as_str(), "mod" | "lib" | "main")) {
            parts.pop();
        }
        parts
    }

    pub(super) fn is_of_program(&self) -> bool {
        self.path == Path::new("main.rs") || self.path.starts_with("cli")
    }
}

/// Every source of the project.
pub(super) fn sources() -> Vec<Source> {
    sources_of(root())
}

/// Every source of a checkout, below its `src`.
pub(super) fn sources_of(checkout: &Path) -> Vec<Source> {
    let folder = checkout.join("src");
    let below = |(path, text): (PathBuf, String)| {
        let path = path.strip_prefix(&folder).expect("it is below src").to_owned();
        Source { path, text }
    };
    let mut found: Vec<Source> = rust_files(std::slice::from_ref(&folder)).into_iter().map(below).collect();
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

/// Every file of Rust below some folders, with its text.
pub(super) fn rust_files(folders: &[PathBuf]) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    let mut folders = folders.to_vec();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("the folder is there") {
            let path = entry.expect("it can be listed").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let text = fs::read_to_string(&path).expect("a source is text");
                found.push((path, text));
            }
        }
    }
    found
}

/// The words and signs of a source, without comments, strings and white space; `::` is one
/// sign, a string is `""`.
pub(super) fn tokens(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < letters.len() {
        let (token, end) = next_token(&letters, at);
        tokens.extend(token);
        at = end;
    }
    tokens
}

/// The token that begins here, if what does is one, and the place after it.
fn next_token(letters: &[char], at: usize) -> (Option<String>, usize) {
    let is_of_word = |letter: &char| letter.is_alphanumeric() || *letter == '_';
    let word = letters[at..].iter().take_while(|letter| is_of_word(letter)).count();
    if let Some(end) = comment_end(letters, at).or_else(|| character_end(letters, at)) {
        (None, end)
    } else if let Some(end) = raw_string_end(letters, at).or_else(|| string_end(letters, at)) {
        (Some("\"\"".to_owned()), end)
    } else if word > 0 {
        (Some(letters[at..at + word].iter().collect()), at + word)
    } else if letters[at..].starts_with(&[':', ':']) {
        (Some("::".to_owned()), at + 2)
    } else {
        ((!letters[at].is_whitespace()).then(|| letters[at].to_string()), at + 1)
    }
}

/// The place after a comment that begins here, if one does: that of the line break.
fn comment_end(letters: &[char], at: usize) -> Option<usize> {
    let length = || letters[at..].iter().take_while(|&&letter| letter != '\n').count();
    letters[at..].starts_with(&['/', '/']).then(|| at + length())
}

/// The place after a string that begins here, if one does.
fn string_end(letters: &[char], at: usize) -> Option<usize> {
    (letters[at] == '"').then(|| after_closing(letters, at + 1, '"'))
}

/// The place after a character between single quotes that begins here, if one does; a lifetime does not.
fn character_end(letters: &[char], at: usize) -> Option<usize> {
    let is_character = letters.get(at + 1) == Some(&'\\') || letters.get(at + 2) == Some(&'\'');
    (letters[at] == '\'' && is_character).then(|| after_closing(letters, at + 1, '\''))
}

/// The place after the next closing sign; one behind a stroke does not close.
fn after_closing(letters: &[char], mut at: usize, sign: char) -> usize {
    while at < letters.len() && letters[at] != sign {
        at += if letters[at] == '\\' { 2 } else { 1 };
    }
    at + 1
}

/// The place after a raw string that begins here, if one does.
fn raw_string_end(letters: &[char], at: usize) -> Option<usize> {
    let before = at.checked_sub(1).and_then(|before| letters.get(before));
    if letters[at] != 'r' || before.is_some_and(|letter| letter.is_alphanumeric() || *letter == '_') {
        return None;
    }
    let hashes = letters[at + 1..].iter().take_while(|&&letter| letter == '#').count();
    let start = at + 1 + hashes;
    if letters.get(start) != Some(&'"') {
        return None;
    }
    let closes = |&end: &usize| letters[end] == '"' && letters[end + 1..].iter().take(hashes).all(|&c| c == '#');
    (start + 1..letters.len()).find(closes).map(|end| end + 1 + hashes)
}

/// The words and signs of a source outside its modules of tests.
pub(super) fn tokens_outside_tests(text: &str) -> Vec<String> {
    let all = tokens(text);
    let mut kept = Vec::new();
    let mut at = 0;
    while at < all.len() {
        let opens_module = all[at] == "mod" && all.get(at + 2).is_some_and(|token| token == "{");
        if opens_module {
            at = after_group(&all, at + 2);
        } else {
            kept.push(all[at].clone());
            at += 1;
        }
    }
    kept
}

/// The place after the brace that closes the one at this place.
pub(super) fn after_group(tokens: &[String], opening: usize) -> usize {
    let mut depth = 0_usize;
    for (at, token) in tokens.iter().enumerate().skip(opening) {
        match token.as_str() {
            "{" => depth += 1,
            "}" if depth == 1 => return at + 1,
            "}" => depth -= 1,
            _ => {}
        }
    }
    tokens.len()
}
