//! `toothmark examples`: the built-in gearsets.

use clap::Args;
use toothmark::description::{self, DEFAULT_EXAMPLE};

use super::exit::Exit;
use super::output::write;
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct ExamplesArguments {
    /// Print this one; without a name all are listed
    name: Option<String>,
}

pub(super) fn examples(arguments: &ExamplesArguments) -> Result<Exit, Trouble> {
    let Some(name) = &arguments.name else {
        let widest = description::examples().iter().map(|example| example.name.len()).max().unwrap_or(0);
        let line = |example: &description::Example| {
            let title = description::read(example.text).map(|set| set.title().to_owned()).unwrap_or_default();
            format!("{:<widest$}  {title}\n", example.name)
        };
        write(&description::examples().iter().map(line).collect::<String>())?;
        return Ok(Exit::Done);
    };
    let text = description::example(name.trim_end_matches(".ron")).ok_or_else(|| no_such_example(name))?;
    write(text)?;
    Ok(Exit::Done)
}

fn no_such_example(name: &str) -> Trouble {
    let hint = match description::nearest_example(name) {
        Some(nearest) => format!("the nearest name is {nearest:?}"),
        None => format!("toothmark examples lists them; the default is {DEFAULT_EXAMPLE:?}"),
    };
    Trouble::new(format!("there is no built-in gearset {name:?}"), hint)
}
