//! Does `toothmark --version` tell the commit that the program was built from, and nothing where there is none?
//!
//! The build script is compiled as cargo does it and run in folders of its own: without a checkout and without git, in a
//! fresh checkout, after changes, after the branch was packed away. Without git these tests are skipped and say so.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::support::process::{package, run};

/// A folder with a package in it and the build script beside it, ready to run.
struct Checkout {
    folder: PathBuf,
    script: PathBuf,
}

impl Checkout {
    /// A folder that nobody has checked out.
    fn without_git(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("commit-{name}"));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(folder.join("src")).expect("the folder can be made");
        for file in ["build.rs", "Cargo.toml", "src/main.rs", "notes.md"] {
            fs::write(folder.join(file), "as committed\n").expect("it can be written");
        }
        let script = folder.with_extension("script");
        let compiler = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".to_owned());
        let mut build = Command::new(compiler);
        build.args(["--edition", "2024", "-o"]).arg(&script).arg(package().join("build.rs"));
        assert!(build.status().expect("the compiler starts").success(), "the build script compiles");
        Self { folder, script }
    }

    /// A checkout with one commit of a known date; `None` where there is no git.
    fn with_commit(name: &str) -> Option<Self> {
        if Command::new("git").arg("--version").output().is_err() {
            writeln!(std::io::stderr(), "SKIPPED, no git: {name}").expect("standard error is open");
            return None;
        }
        let checkout = Self::without_git(name);
        checkout.git(&["init", "--quiet"]);
        checkout.commit();
        Some(checkout)
    }

    fn commit(&self) {
        self.git(&["add", "."]);
        self.git(&["commit", "--quiet", "--allow-empty", "--message", "A commit"]);
    }

    /// Runs git with no settings but these, and gives what it says.
    fn git(&self, arguments: &[&str]) -> String {
        let mut git = Command::new("git");
        git.args(arguments).current_dir(&self.folder);
        for (key, value) in
            [("NAME", "Somebody"), ("EMAIL", "nobody@example.org"), ("DATE", "2026-02-03T23:30:00+05:00")]
        {
            git.env(format!("GIT_AUTHOR_{key}"), value).env(format!("GIT_COMMITTER_{key}"), value);
        }
        git.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_NOSYSTEM", "1");
        let said = git.output().expect("git starts");
        assert!(said.status.success(), "git {arguments:?}: {}", String::from_utf8_lossy(&said.stderr));
        String::from_utf8(said.stdout).expect("it is UTF-8").trim().to_owned()
    }

    /// The first ten digits of the commit.
    fn number(&self) -> String {
        self.git(&["rev-parse", "HEAD"])[..10].to_owned()
    }

    /// What the script tells cargo when it is run for a build of this profile.
    fn told(&self, profile: &str) -> Told {
        let mut script = Command::new(&self.script);
        script.current_dir(&self.folder).env("PROFILE", profile);
        Told::by(&mut script)
    }
}

/// What the script told cargo.
struct Told {
    version: String,
    watched: Vec<String>,
}

impl Told {
    fn by(script: &mut Command) -> Self {
        let output = script.env("CARGO_PKG_VERSION", "0.9.0").output().expect("the script starts");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let text = String::from_utf8(output.stdout).expect("it is UTF-8");
        let all = |key: &str| text.lines().filter_map(|line| line.strip_prefix(key)).map(str::to_owned).collect();
        let versions: Vec<String> = all("cargo::rustc-env=TOOTHMARK_VERSION=");
        let [version] = versions.try_into().expect("it is told once");
        Self { version, watched: all("cargo::rerun-if-changed=") }
    }
}

#[test]
fn outside_a_checkout_only_the_version_is_told_and_git_is_not_asked() {
    let folder = Checkout::without_git("none");
    let git = folder.folder.join("git");
    fs::write(&git, "#!/bin/sh\ntouch asked\necho 0123456789abcdef 2026-02-03\n").unwrap();
    make_executable(&git);
    let told = Told::by(
        Command::new(&folder.script).current_dir(&folder.folder).env("PROFILE", "release").env("PATH", &folder.folder),
    );
    assert_eq!((told.version.as_str(), told.watched), ("0.9.0", vec!["build.rs".to_owned()]));
    assert!(!folder.folder.join("asked").exists(), "the folder may lie in a checkout of something else");
}

#[cfg(unix)]
fn make_executable(file: &Path) {
    use std::os::unix::fs::PermissionsExt as _;
    fs::set_permissions(file, fs::Permissions::from_mode(0o755)).expect("it is ours");
}

#[cfg(not(unix))]
fn make_executable(_: &Path) {}

#[test]
fn a_release_tells_its_commit_with_the_date_and_whether_something_was_changed() {
    let Some(checkout) = Checkout::with_commit("changed") else { return };
    let number = checkout.number();
    assert_eq!(checkout.told("release").version, format!("0.9.0 ({number}, 2026-02-03)"));
    assert_eq!(checkout.told("debug").version, "0.9.0", "a build for tests would be done anew after every commit");
    fs::write(checkout.folder.join("notes.md"), "changed\n").unwrap();
    assert_eq!(
        checkout.told("release").version,
        format!("0.9.0 ({number}, 2026-02-03)"),
        "the program is not made of notes"
    );
    fs::write(checkout.folder.join("src/more.rs"), "new\n").unwrap();
    assert_eq!(checkout.told("release").version, format!("0.9.0 ({number} and changes, 2026-02-03)"));
}

/// Cargo runs a script again when a file that it watches was changed since, and every time where one is missing.
#[test]
fn another_commit_changes_a_watched_file_and_none_is_missing() {
    let Some(checkout) = Checkout::with_commit("watched") else { return };
    for is_packed in [false, true] {
        if is_packed {
            checkout.git(&["pack-refs", "--all"]);
        }
        let watched = checkout.told("release").watched;
        assert!(watched.iter().all(|path| checkout.folder.join(path).exists()), "{watched:?}");
        let inside = |path: &Path| {
            let path = path.strip_prefix(&checkout.folder).expect("it is below").to_string_lossy().into_owned();
            watched.iter().any(|watched| Path::new(&path).starts_with(watched))
        };
        let branch = checkout.git(&["rev-parse", "--symbolic-full-name", "HEAD"]);
        checkout.commit();
        assert!(inside(&checkout.folder.join(".git").join(branch)), "packed: {is_packed}, {watched:?}");
        assert!(inside(&checkout.folder.join(".git/HEAD")), "{watched:?}");
        assert!(inside(&checkout.folder.join("src/main.rs")), "{watched:?}");
    }
}

/// The tests run whatever build there is, so the commit is not compared.
#[test]
fn the_short_flag_tells_the_version_alone_and_the_long_one_the_commit_behind_it() {
    let version = concat!("toothmark ", env!("CARGO_PKG_VERSION"));
    assert_eq!(run(&["-V"]).stdout, format!("{version}\n"));
    let long = run(&["--version"]);
    let rest = long.stdout.trim_end().strip_prefix(version).expect("it begins with the version");
    assert!(rest.is_empty() || (rest.starts_with(" (") && rest.ends_with(')')), "{}", long.stdout);
    assert_eq!((long.code, long.stderr.as_str()), (0, ""));
}
