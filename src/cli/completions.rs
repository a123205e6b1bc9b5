//! `toothmark completions`: what a shell needs to complete commands, or manual pages for `man`.

use std::path::{Path, PathBuf};

use clap::{Args, Command, ValueEnum};
use clap_complete::env::{Bash, EnvCompleter, Fish, Powershell, Zsh};

use super::exit::Exit;
use super::output::{tell_done, write};
use super::place::{ForceArgument, NewFile, OutputPlaces};
use super::trouble::Trouble;

#[derive(Debug, Args)]
pub(super) struct CompletionsArguments {
    /// The shell
    #[arg(value_enum, required_unless_present = "man")]
    shell: Option<ShellArgument>,
    /// Write a manual page for each command into this folder instead; it is made where there is none
    #[arg(long, value_name = "DIR", conflicts_with = "shell")]
    man: Option<PathBuf>,
    #[command(flatten)]
    force: ForceArgument,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum ShellArgument {
    /// source <(toothmark completions bash)
    Bash,
    /// toothmark completions zsh > _toothmark, in a folder of fpath
    Zsh,
    /// toothmark completions fish > ~/.config/fish/completions/toothmark.fish
    Fish,
    /// toothmark completions powershell | Out-String | Invoke-Expression
    Powershell,
}

/// Writes what a shell needs to complete a line; it asks the program, which knows the names in the description.
pub(super) fn completions(arguments: &CompletionsArguments, program: Command) -> Result<Exit, Trouble> {
    if let Some(folder) = &arguments.man {
        return manual_pages(folder, arguments.force, program);
    }
    let shell: &dyn EnvCompleter = match arguments.shell {
        None | Some(ShellArgument::Bash) => &Bash,
        Some(ShellArgument::Zsh) => &Zsh,
        Some(ShellArgument::Fish) => &Fish,
        Some(ShellArgument::Powershell) => &Powershell,
    };
    let mut script = Vec::new();
    let written = shell.write_registration("COMPLETE", PROGRAM, PROGRAM, PROGRAM, &mut script);
    written.expect("a vector takes every byte");
    let mut script = String::from_utf8_lossy(&script).into_owned();
    if matches!(arguments.shell, Some(ShellArgument::Zsh)) {
        script.push_str(ZSH_FIRST_TIME);
    }
    write(&script)?;
    Ok(Exit::Done)
}

/// A file of fpath is read by zsh when the program is completed for the first time, and is asked to complete at once;
/// the script only says who will from then on.
const ZSH_FIRST_TIME: &str = "\
if [[ $funcstack[1] == _toothmark ]]; then
    _clap_dynamic_completer_toothmark
fi
";

const PROGRAM: &str = "toothmark";

/// A page for the program and one for each command.
fn manual_pages(folder: &Path, force: ForceArgument, program: Command) -> Result<Exit, Trouble> {
    let mut places = OutputPlaces::new(force, None);
    places.check_folder(folder)?;
    let files: Vec<NewFile> = with_subcommands(program).into_iter().map(|command| page(folder, command)).collect();
    for file in &files {
        places.check_file(&file.path)?;
    }
    let (written, outcome) = places.write_all(&files);
    let told = tell_done(files[..written].iter().map(|file| file.path.display().to_string()));
    outcome?;
    told.map(|()| Exit::Done)
}

/// A command, and those below it.
fn with_subcommands(command: Command) -> Vec<Command> {
    let below: Vec<Command> =
        command.get_subcommands().filter(|command| command.get_name() != "help").cloned().collect();
    std::iter::once(command).chain(below.into_iter().flat_map(with_subcommands)).collect()
}

fn page(folder: &Path, command: Command) -> NewFile {
    let path = folder.join(format!("{}.1", command.get_display_name().unwrap_or(command.get_name())));
    let mut text = Vec::new();
    clap_mangen::Man::new(command).render(&mut text).expect("a vector takes every byte");
    NewFile { path, text: String::from_utf8_lossy(&text).into_owned() }
}
