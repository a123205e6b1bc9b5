//! Which commit is the program built from? `toothmark --version` tells it.
//!
//! Asked only where the folder of the package is a checkout, and only for a release build: a package from a registry
//! has the version alone, and so has a build for tests, which would be done anew after every commit. The date is that of
//! the commit, so that two builds of one commit are alike, byte for byte.

use std::env;
use std::path::Path;
use std::process::Command;

/// What the program is made of; a change elsewhere leaves it as committed.
const MADE_OF: [&str; 5] = ["build.rs", "Cargo.toml", "Cargo.lock", "gearsets", "src"];

fn main() {
    let is_checkout = Path::new(".git").exists();
    let is_release = env::var("PROFILE").is_ok_and(|profile| profile == "release");
    let commit = if is_checkout && is_release { commit() } else { None };
    let version = env::var("CARGO_PKG_VERSION").expect("cargo says it");
    let version = commit.map_or(version.clone(), |commit| format!("{version} ({commit})"));
    tell("rustc-env", &format!("TOOTHMARK_VERSION={version}"));
    // A script that names no file is run again after every change in the package.
    tell("rerun-if-changed", "build.rs");
}

/// Number and date of the commit, and whether something was changed since.
fn commit() -> Option<String> {
    let known = git(&["log", "-1", "--no-show-signature", "--format=%H %cs"])?;
    let (number, date) = known.split_once(' ')?;
    watch_head();
    MADE_OF.iter().filter(|name| Path::new(name).exists()).for_each(|name| tell("rerun-if-changed", name));
    // As many digits whatever else the repository holds: an abbreviation by git itself grows with it.
    let number = number.get(..10)?;
    let changed = git(&[&["status", "--porcelain", "--"], &MADE_OF[..]].concat())?;
    Some(if changed.is_empty() { format!("{number}, {date}") } else { format!("{number} and changes, {date}") })
}

/// Lets the script run again when another commit is checked out or made.
fn watch_head() {
    let branch = git(&["symbolic-ref", "--quiet", "HEAD"]);
    for name in ["HEAD", "packed-refs", "reftable"].into_iter().chain(branch.as_deref()) {
        let Some(path) = git(&["rev-parse", "--git-path", name]) else { continue };
        // A branch whose reference is packed has no file of its own until the next commit makes one in the folder. A
        // path that is missing would let the script run every time.
        let is_branch = Some(name) == branch.as_deref();
        let mut there = Path::new(&path).ancestors().take(if is_branch { usize::MAX } else { 1 });
        if let Some(there) = there.find(|it| it.exists()) {
            tell("rerun-if-changed", &there.to_string_lossy());
        }
    }
}

/// What git says, where there is one and it can tell.
fn git(arguments: &[&str]) -> Option<String> {
    let said = Command::new("git").args(arguments).output().ok().filter(|said| said.status.success())?;
    String::from_utf8(said.stdout).ok().map(|text| text.trim_end().to_owned())
}

/// Says something to cargo.
#[allow(clippy::print_stdout, reason = "cargo reads what a build script prints")]
fn tell(what: &str, value: &str) {
    println!("cargo::{what}={value}");
}
