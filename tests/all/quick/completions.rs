//! Does a shell complete a line with what the description that it names has?

use crate::support::process::{command, run, run_with};

/// What completes the last word of a line, as the program tells the script that it wrote for bash.
fn completed(line: &[&str]) -> Vec<String> {
    let mut asked = command(&[&["--", "toothmark"], line].concat());
    let index = line.len().to_string();
    asked.envs([("COMPLETE", "bash"), ("_CLAP_IFS", "\n"), ("_CLAP_COMPLETE_INDEX", &index)]);
    run_with(asked, b"").stdout.lines().map(str::to_owned).collect()
}

#[test]
fn names_are_those_of_the_description() {
    assert_eq!(completed(&["loads", "--state", ""]), ["low", "reverse", "direct", "neutral"]);
    assert_eq!(completed(&["ratios", "30:24:78", "--held", ""]), ["carrier", "sun 30", "ring 78"]);
    assert_eq!(completed(&["found", "quarry-wheel-hub", "--gear", ""]), ["S", "R", "large", "small"]);
    assert_eq!(completed(&["timing", "hill-tram"]), ["hill-tramway-car"]);
    assert_eq!(completed(&["tim"]), ["timing"]);
    // A file that is no description has no names, and does no harm.
    assert_eq!(completed(&["loads", "README.md", "--state", "n"]), ["neutral"]);
}

/// zsh reads a file of fpath when a line is completed for the first time, and expects it to complete that line too; the
/// script only said who completes from then on, and the first line was not completed.
#[test]
fn zsh_completes_the_first_line_as_well() {
    let script = run(&["completions", "zsh"]).stdout;
    let registers =
        script.find("\ncompdef _clap_dynamic_completer_toothmark toothmark\n").expect("it says who completes");
    let asks = script[registers..].find("$funcstack[1] == _toothmark").expect("it notices that it is asked itself");
    assert!(script[registers + asks..].contains("\n    _clap_dynamic_completer_toothmark\n"), "{script}");
}

#[test]
fn every_shell_gets_a_script_and_every_command_a_manual_page() {
    for shell in ["bash", "zsh", "fish", "powershell"] {
        let script = run(&["completions", shell]);
        assert!(script.code == 0 && script.stdout.contains("toothmark"), "{shell}: {}", script.stderr);
    }
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("man");
    let _ = std::fs::remove_dir_all(&folder);
    let written = run(&["completions", "--man", &folder.display().to_string()]);
    assert_eq!(written.code, 0, "{}", written.stderr);
    let timing = std::fs::read_to_string(folder.join("toothmark-timing.1")).expect("the page is written");
    assert!(timing.starts_with(".ie") && timing.contains("Whether the planets assemble"), "{timing}");
    let again = run(&["completions", "--man", &folder.display().to_string()]);
    assert!(again.code == 2 && again.stderr.contains("is there already"), "{}", again.stderr);
}
