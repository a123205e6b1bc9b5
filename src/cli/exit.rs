//! Exit codes.

use std::process::ExitCode;

/// How the program ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// 0: the question was answered.
    Done,
    /// 1: a sound question whose answer is no, such as a group that does not go together.
    AnswerIsNo,
    /// 2: the file or the request is wrong.
    WrongRequest,
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
    // Nothing can be done where standard error itself is closed.
    let _ = error.print();
    if error.use_stderr() { Exit::WrongRequest } else { Exit::Done }
}
