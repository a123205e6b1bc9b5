//! Does every module use only modules of lower levels?
//!
//! The sources are taken apart into words and signs, without comments and strings, and every path
//! that begins with `crate::`, or climbs out of its module with `super::`, is read up to its first
//! name. The table of levels is that of DEVELOPERS.md. Files that grow too long fail here as well.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use super::sources::{Source, root, sources, tokens};

/// The modules of the library with their levels: a module uses only modules of lower levels.
const LEVELS: &[(&str, i8)] = &[
    // For the tests beside the code of any module.
    ("random", -1),
    ("exact", 0),
    ("syntax", 0),
    ("gearset", 1),
    ("manual", 1),
    ("description", 2),
    ("kinematics", 2),
    ("clearance", 2),
    ("formula", 3),
    ("quick", 3),
    ("recipes", 1),
    ("statics", 3),
    ("running", 4),
    ("timing", 3),
    ("search", 1),
    ("tooth", 0),
    ("tooth_search", 5),
    ("comparison", 6),
    ("bench", 5),
    ("job", 6),
    ("fit", 4),
    ("miscount", 4),
    ("inspection", 5),
    ("practice", 4),
    ("lesson", 4),
    ("drawing", 7),
    ("report", 7),
    ("requests", 8),
];

const LONGEST_FILE: usize = 800;
const LONGEST_MAIN: usize = 40;

fn level(module: &str) -> Option<i8> {
    LEVELS.iter().find(|(name, _)| *name == module).map(|&(_, level)| level)
}

/// The top-level modules that a source names, by `crate::` or by climbing out with `super::`.
fn top_level_uses(source: &Source) -> BTreeSet<String> {
    let depth = source.modules().len();
    let tokens = tokens(&source.text);
    let sign = |at: usize| tokens.get(at).map_or("", String::as_str);
    let mut used = BTreeSet::new();
    let mut at = 0;
    while at < tokens.len() {
        let mut after = at + 1;
        let at_root = match sign(at) {
            "crate" => true,
            "super" => {
                let mut climbed = 1;
                while sign(after) == "::" && sign(after + 1) == "super" {
                    climbed += 1;
                    after += 2;
                }
                climbed >= depth
            }
            _ => false,
        };
        if at_root && sign(after) == "::" {
            used.extend(first_names(&tokens, after + 1));
        }
        at = after;
    }
    used
}

/// The first names of a path or of a group of paths that begins here.
fn first_names(tokens: &[String], start: usize) -> Vec<String> {
    let Some(first) = tokens.get(start) else { return Vec::new() };
    if first != "{" {
        return vec![first.clone()];
    }
    let mut names = Vec::new();
    let mut depth = 0_usize;
    for (at, token) in tokens.iter().enumerate().skip(start) {
        let opens_name = matches!(tokens[at - 1].as_str(), "{" | ",");
        match token.as_str() {
            "{" => depth += 1,
            "}" if depth == 1 => break,
            "}" => depth -= 1,
            name if depth == 1 && opens_name => names.push(name.to_owned()),
            _ => {}
        }
    }
    names
}

/// Every use that a file must not make, as a sentence.
fn wrong_uses(source: &Source) -> Vec<String> {
    let modules = source.modules();
    let path = source.path.display();
    let used = top_level_uses(source);
    if source.is_of_program() {
        let own = |name: &&String| *name != "cli" && !(name.as_str() == "{" || level(name).is_none());
        return used.iter().filter(own).map(|name| format!("{path} takes {name} in from below")).collect();
    }
    let mut wrong = Vec::new();
    if used.contains("cli") || tokens(&source.text).iter().any(|token| token == "toothmark") {
        wrong.push(format!("{path} uses the program"));
    }
    let Some(own) = modules.first() else { return wrong };
    let Some(own_level) = level(own) else {
        wrong.push(format!("{path}: the module {own} has no level"));
        return wrong;
    };
    let upward = used.iter().filter(|name| *name != own && level(name).is_some_and(|level| level >= own_level));
    wrong.extend(upward.map(|name| format!("{path} uses {name}, which is not below {own}")));
    wrong
}

#[test]
fn modules_use_only_modules_of_lower_levels() {
    let sources = sources();
    assert!(sources.len() > 50, "only {} files are read", sources.len());
    let wrong: Vec<String> = sources.iter().flat_map(wrong_uses).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // The uses are really seen: the highest module uses all that it shows.
    let of_report: BTreeSet<String> =
        sources.iter().filter(|source| source.path.starts_with("report")).flat_map(top_level_uses).collect();
    for below in ["exact", "gearset", "kinematics", "timing"] {
        assert!(of_report.contains(below), "report uses {of_report:?}");
    }
}

#[test]
fn every_module_has_a_level() {
    let of_lib: BTreeSet<String> = {
        let lib = fs::read_to_string(root().join("src/lib.rs")).expect("the library has a root");
        let tokens = tokens(&lib);
        let named = |pair: &[String]| (pair[0] == "mod").then(|| pair[1].clone());
        tokens.windows(2).filter_map(named).collect()
    };
    let in_table: BTreeSet<String> = LEVELS.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(of_lib, in_table, "modules of lib.rs and of the table");
}

#[test]
fn a_wrong_use_is_seen_however_it_is_written() {
    let wrong = |path: &str, text: &str| {
        let source = Source { path: path.into(), text: text.into() };
        wrong_uses(&source).len()
    };
    assert_eq!(wrong("exact/whole.rs", "use crate::gearset::Gear;"), 1);
    assert_eq!(wrong("exact/whole.rs", "use crate::{exact::fraction, gearset::{Gear, Pair}, timing};"), 2);
    assert_eq!(wrong("exact/whole.rs", "fn f() -> crate::report::Lines { todo() }"), 1);
    assert_eq!(wrong("exact/whole.rs", "pub use\n    crate :: gearset;"), 1);
    assert_eq!(wrong("exact/mod.rs", "use super::gearset::Gear;"), 1);
    assert_eq!(wrong("gearset/check/mod.rs", "use super::super::timing::timing;"), 1);
    assert_eq!(wrong("kinematics/train.rs", "#[cfg(test)] mod tests { use crate::description::read; }"), 1);
    assert_eq!(wrong("exact/whole.rs", "use toothmark::gearset::Gear;"), 1);
    assert_eq!(wrong("new_module/mod.rs", ""), 1);
    assert_eq!(wrong("cli/mod.rs", "use crate::exact::fraction;"), 1);
    // What looks like the beginning of a string is none.
    assert_eq!(wrong("exact/whole.rs", "const A: char = '\"'; use crate::gearset::Gear; const B: char = '\"';"), 1);
    assert_eq!(wrong("exact/whole.rs", "fn f<'a>(_: &'a str) -> crate::gearset::Gear<'a> { todo() }"), 1);
}

#[test]
fn a_right_use_is_left_alone() {
    let wrong = |path: &str, text: &str| wrong_uses(&Source { path: path.into(), text: text.into() });
    let none: Vec<String> = Vec::new();
    assert_eq!(wrong("timing/group.rs", "use crate::{exact::{fraction, gearset}, gearset::Gear};"), none);
    assert_eq!(
        wrong("exact/whole.rs", "// crate::gearset\nconst A: &str = \"crate::gearset\"; pub(crate) fn f() {}"),
        none
    );
    assert_eq!(wrong("exact/whole.rs", "const A: &str = r#\"\" crate::gearset \"#; const B: char = '\"';"), none);
    assert_eq!(
        wrong("exact/whole.rs", "const A: [char; 2] = ['\\'', '\"']; const B: &str = \"\\\"crate::gearset\";"),
        none
    );
    assert_eq!(wrong("gearset/check/names.rs", "use super::Problems; use crate::exact::Fraction;"), none);
    assert_eq!(wrong("cli/commands.rs", "use toothmark::timing::timing; use super::exit::Exit;"), none);
    assert_eq!(wrong("cli/exit.rs", "pub(crate) fn f() -> crate::cli::Exit { todo() }"), none);
}

#[test]
fn no_source_file_is_too_long() {
    let too_long: Vec<String> = sources()
        .iter()
        .map(|source| (source, source.text.lines().count()))
        .filter(|(source, lines)| {
            *lines > if source.path == Path::new("main.rs") { LONGEST_MAIN } else { LONGEST_FILE }
        })
        .map(|(source, lines)| format!("{} has {lines} lines", source.path.display()))
        .collect();
    assert!(too_long.is_empty(), "{}", too_long.join("\n"));
}
