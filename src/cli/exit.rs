//! With which code does the program end?
//!
//! A script that asks has to tell three things apart: an answer, the answer no, and a question that
//! could not be put. Each is one variant here and one number; nothing else in the program knows the
//! numbers. A panic has a code of its own (101), so it is never taken for an answer.

use std::io::Write as _;
use std::process::ExitCode;

use toothmark::report::{Outcome, brief};

/// How the program ends; the later, the worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Exit {
    /// 0: there is an answer, and it is on standard output.
    Done,
    /// 1: there is an answer, and it is no: a group of planets does not go together.
    AnswerIsNo,
    /// 2: there is no answer: the description has a fault, or the arguments ask for what there is not.
    WrongRequest,
}

impl From<Outcome> for Exit {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Yes => Self::Done,
            Outcome::No => Self::AnswerIsNo,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(match exit {
            Exit::Done => 0,
            Exit::AnswerIsNo => 1,
            Exit::WrongRequest => 2,
        })
    }
}

/// Help and version are answers; anything else that the argument reader says is a wrong request.
pub(super) fn of_arguments(error: &clap::Error) -> Exit {
    if !error.use_stderr() {
        // Nothing can be done where standard output itself is closed.
        let _ = error.print();
        return Exit::Done;
    }
    let told = error.render().ansi().to_string();
    let lines = told.lines().map(|line| brief(line).into_owned() + "\n");
    // Nothing can be done where standard error itself is closed.
    let _ = anstream::stderr().lock().write_all(lines.collect::<String>().as_bytes());
    Exit::WrongRequest
}
