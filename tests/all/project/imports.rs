//! Do files import one another in circles?
//!
//! Every path of a source that begins in the project is followed to the file that defines what it names, through what
//! modules hand on. A module and its child may name one another; no other files may, neither of two folders nor of
//! one.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::sources::{Source, sources, tokens_outside_tests};

/// A path that a source names, with the name that it has there.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Named {
    path: Vec<String>,
    name: String,
}

/// The files of a crate, and which of them uses which.
pub(super) struct Imports {
    files: Vec<PathBuf>,
    modules: BTreeMap<Vec<String>, usize>,
    named: Vec<Vec<Named>>,
}

impl Imports {
    /// Of the library, or of the program.
    pub(super) fn of<'a>(sources: impl Iterator<Item = &'a Source>) -> Self {
        let sources: Vec<&Source> = sources.collect();
        let modules: BTreeMap<Vec<String>, usize> =
            sources.iter().enumerate().map(|(file, source)| (source.modules(), file)).collect();
        let named = sources.iter().map(|source| named(source, &modules)).collect();
        Self { files: sources.iter().map(|source| source.path.clone()).collect(), modules, named }
    }

    /// The file that defines what a path names; `None` for a path that leads out of the crate.
    fn definition(&self, path: &[String], hops: usize) -> Option<usize> {
        const MOST_HOPS: usize = 20;
        let mut module: Vec<String> = Vec::new();
        for (at, name) in path.iter().enumerate() {
            module.push(name.clone());
            if self.modules.contains_key(&module) {
                continue;
            }
            module.pop();
            let file = *self.modules.get(&module)?;
            let handed_on = self.named[file].iter().find(|named| named.name == *name && named.path != path[..=at]);
            return match handed_on {
                Some(named) if hops < MOST_HOPS => {
                    let further: Vec<String> = named.path.iter().chain(&path[at + 1..]).cloned().collect();
                    self.definition(&further, hops + 1)
                }
                _ => Some(file),
            };
        }
        self.modules.get(&module).copied()
    }

    /// For each file those that it uses.
    fn uses(&self) -> Vec<BTreeSet<usize>> {
        let of = |(file, named): (usize, &Vec<Named>)| -> BTreeSet<usize> {
            named.iter().filter_map(|named| self.definition(&named.path, 0)).filter(|&used| used != file).collect()
        };
        self.named.iter().enumerate().map(of).collect()
    }

    /// The files in circles, each circle once; a module and its children tie no circle.
    pub(super) fn circles(&self) -> Vec<Vec<&Path>> {
        let uses = self.uses();
        let apart = |file: usize, used: usize| !self.is_parent(file, used) && !self.is_parent(used, file);
        let uses: Vec<Vec<usize>> = uses
            .iter()
            .enumerate()
            .map(|(file, used)| used.iter().copied().filter(|&used| apart(file, used)).collect())
            .collect();
        let reached: Vec<BTreeSet<usize>> = (0..uses.len()).map(|file| reached(&uses, file)).collect();
        let mut circles: Vec<Vec<&Path>> = Vec::new();
        for file in 0..uses.len() {
            let circle: Vec<usize> =
                reached[file].iter().copied().filter(|&other| reached[other].contains(&file)).collect();
            if circle.first() == Some(&file) && circle.len() > 1 {
                circles.push(circle.into_iter().map(|file| self.files[file].as_path()).collect());
            }
        }
        circles
    }

    /// Whether a file is the module that another one is a child of.
    fn is_parent(&self, parent: usize, child: usize) -> bool {
        let module = |file: usize| self.modules.iter().find(|(_, other)| **other == file).map(|(module, _)| module);
        let (Some(parent), Some(child)) = (module(parent), module(child)) else { return false };
        child.split_last().is_some_and(|(_, above)| above == parent.as_slice())
    }
}

/// The files that a file leads to, itself among them if it leads back.
fn reached(uses: &[Vec<usize>], file: usize) -> BTreeSet<usize> {
    let mut reached = BTreeSet::new();
    let mut next = vec![file];
    while let Some(file) = next.pop() {
        next.extend(uses[file].iter().copied().filter(|&used| reached.insert(used)));
    }
    reached
}

/// Every path of a source that begins in the crate.
fn named(source: &Source, modules: &BTreeMap<Vec<String>, usize>) -> Vec<Named> {
    let tokens = tokens_outside_tests(&source.text);
    let own = source.modules();
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        // What stands behind "in" says who may see something.
        let is_path = at == 0 || !["::", "in"].contains(&tokens[at - 1].as_str());
        if tokens[at] == "use" {
            at = tree(&tokens, at + 1, &[], &mut found);
        } else if is_path && ["crate", "super", "self"].contains(&tokens[at].as_str()) {
            at = tree(&tokens, at, &[], &mut found);
        } else {
            at += 1;
        }
    }
    found.into_iter().filter_map(|named| Some(Named { path: absolute(&named.path, &own, modules)?, ..named })).collect()
}

/// Reads a path, or a tree of paths in braces; gives the place after it.
fn tree(tokens: &[String], start: usize, before: &[String], found: &mut Vec<Named>) -> usize {
    let mut path = before.to_vec();
    let mut at = start;
    loop {
        match tokens.get(at).map(String::as_str) {
            Some("{") => {
                at += 1;
                while tokens.get(at).is_some_and(|token| token != "}") {
                    at = tree(tokens, at, &path, found);
                    at += usize::from(tokens.get(at).is_some_and(|token| token == ","));
                }
                return at + 1;
            }
            Some("self") if !path.is_empty() => {}
            Some(word) if word.starts_with(|letter: char| letter.is_alphabetic() || letter == '_') => {
                path.push(word.to_owned());
            }
            _ => return at + 1,
        }
        at += 1;
        if tokens.get(at).is_none_or(|token| token != "::") {
            break;
        }
        at += 1;
    }
    let mut name = path.last().cloned().unwrap_or_default();
    if tokens.get(at).is_some_and(|token| token == "as") {
        name = tokens.get(at + 1).cloned().unwrap_or_default();
        at += 2;
    }
    found.push(Named { path, name });
    at
}

/// A path from the root of the crate; `None` for one that begins elsewhere.
fn absolute(path: &[String], own: &[String], modules: &BTreeMap<Vec<String>, usize>) -> Option<Vec<String>> {
    let climbed = path.iter().take_while(|name| *name == "super").count();
    let (above, rest) = match path.first()?.as_str() {
        "crate" => (Vec::new(), &path[1..]),
        "self" => (own.to_vec(), &path[1..]),
        "super" => (own[..own.len().checked_sub(climbed)?].to_vec(), &path[climbed..]),
        child => {
            let module = [own, &[child.to_owned()]].concat();
            modules.get(&module)?;
            (own.to_vec(), path)
        }
    };
    Some(above.into_iter().chain(rest.iter().cloned()).collect())
}

/// The circles of the library and of the program.
pub(super) fn circles_of(sources: &[Source]) -> Vec<String> {
    let library = Imports::of(sources.iter().filter(|source| !source.is_of_program()));
    let program = Imports::of(sources.iter().filter(|source| source.is_of_program()));
    let shown =
        |circle: Vec<&Path>| circle.iter().map(|file| file.display().to_string()).collect::<Vec<_>>().join(", ");
    library.circles().into_iter().chain(program.circles()).map(shown).collect()
}

#[test]
fn no_files_import_one_another_in_a_circle() {
    let circles = circles_of(&sources());
    assert!(circles.is_empty(), "{} circles:\n{}", circles.len(), circles.join("\n"));
}

#[test]
fn a_circle_is_seen_however_its_paths_are_written() {
    let circles = |files: &[(&str, &str)]| {
        let source = |&(path, text): &(&str, &str)| Source { path: path.into(), text: text.into() };
        circles_of(&files.iter().map(source).collect::<Vec<_>>())
    };
    let root = ("lib.rs", "mod a; mod b;");
    assert_eq!(
        circles(&[root, ("a.rs", "use crate::b::B;"), ("b.rs", "fn f() -> super::a::A { todo() }")]),
        ["a.rs, b.rs"]
    );
    assert_eq!(
        circles(&[root, ("a.rs", "use crate::{b::{B, C}, x};"), ("b.rs", "use super::a::{self};")]),
        ["a.rs, b.rs"]
    );
    // Through what a module hands on.
    let module = ("a/mod.rs", "mod one; mod two; pub use one::One; pub(crate) use two::Two as Second;");
    assert_eq!(
        circles(&[root, module, ("a/one.rs", "use super::Second;"), ("a/two.rs", "use crate::a::One;")]),
        ["a/one.rs, a/two.rs"]
    );
    // A child that asks its parent, and tests that ask anybody, are no circle.
    let child = ("a/one.rs", "use super::Thing; pub struct One; mod tests { use crate::a::two::Two; }");
    assert_eq!(circles(&[root, module, child, ("a/two.rs", "use super::one::One; pub struct Two;")]), [""; 0]);
}
