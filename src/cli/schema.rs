//! `toothmark schema`: what the keys of an answer are.

use super::exit::Exit;
use super::output::write;
use super::trouble::Trouble;

/// Shows the schema of an answer.
pub(super) fn schema(of_answer: fn() -> String) -> Result<Exit, Trouble> {
    write(&of_answer())?;
    Ok(Exit::Done)
}
