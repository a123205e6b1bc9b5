//! `toothmark schema`: what the keys of an answer are.

use clap::Args;

use super::exit::Exit;
use super::output::write;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct SchemaArguments {
    /// The command whose JSON is described
    #[arg(required = true)]
    pub(super) command: Vec<String>,
}

/// Shows the schema of an answer.
pub(super) fn schema(of_answer: fn() -> String) -> Result<Exit, Trouble> {
    write(&of_answer())?;
    Ok(Exit::Done)
}
