//! Runs the program for the other tests, the same on every machine.
//!
//! Its environment is empty but for the locale, no colour and a width of 100 columns; its
//! folder is `tests`.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// What the program wrote and how it ended.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

/// The folder of the package.
pub(crate) fn package() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// The program in the package's `tests` folder, without colour, 100 columns wide, in UTF-8.
pub(crate) fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_toothmark"));
    command
        .args(arguments)
        .current_dir(package().join("tests"))
        .env_clear()
        .env("NO_COLOR", "1")
        .env("LC_ALL", "C.UTF-8")
        .env("COLUMNS", "100");
    command
}

/// Runs a command with something on its standard input.
pub(crate) fn run_with(mut command: Command, input: &[u8]) -> Run {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut standard_input = child.stdin.take().expect("it is piped");
    let input = input.to_vec();
    let writer = std::thread::spawn(move || {
        // The program may stop reading where it has seen enough.
        let _ = standard_input.write_all(&input);
    });
    let Output { status, stdout, stderr } = child.wait_with_output().expect("the program ends");
    writer.join().expect("writing does not panic");
    let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
    let run = Run { code: status.code().expect("it is not killed"), stdout: text(stdout), stderr: text(stderr) };
    assert!(!run.stderr.contains("panicked"), "{}", run.stderr);
    run
}

/// Runs the program with nothing on its standard input.
pub(crate) fn run(arguments: &[&str]) -> Run {
    run_with(command(arguments), b"")
}
