//! Does what is told on the bench agree with printed values, and with plainer ways to find it?

/// Rotors: what may be left, what was found, where to drill.
mod balance;
/// How far bands travel, and what they hold.
mod bands;
/// Whether bushes are good, and what pressing in and heat do to them.
mod bushes;
/// Finger screws, springs, packs and plates.
mod clutch;
/// Which washers give the float that is wanted.
mod float;
/// What drags when the output turns in neutral.
mod neutral;
/// What is printed first, what other programs read, what is refused.
mod shown;
/// Values that are listed, against what is told.
mod values;

use crate::support::process::run;

/// A hint names an option that the command has.
#[track_caller]
fn names_an_option(command: &str, hint: &str) {
    let option = hint.split_whitespace().find(|word| word.starts_with("--"));
    let option = option.unwrap_or_else(|| panic!("no option in {hint:?}"));
    let help = run(&["bench", command, "--help"]).stdout;
    let has_it = help.split(|c: char| c.is_whitespace() || c == ',').any(|word| word == option);
    assert!(has_it, "{command} has no {option} of {hint:?}");
}
