//! The program `toothmark`: arguments in, answers out.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run().into()
}
