//! Do all commands say the same of what a hand notices at a seating?

use toothmark::description::example;

use crate::support::process::{command, run_with};

/// Once one command said of a seating that it would bind, and another of the same that it goes in with force: the
/// railcar's cluster a tooth over on every gear, for which 1.34 mm of backlash are 0.03 mm too little.
#[test]
fn what_goes_in_with_force_is_said_to_by_whoever_is_asked() {
    let railcar = example("inspection-railcar").expect("built in");
    let text = railcar.replacen("title:", "backlash: Millimetres(1.34), title:", 1);
    for asked in [
        vec!["wrong", "-", "--within=11/63"],
        vec!["found", "-", "--seen=input", "--gear=d", "--pin=1=0", "--pin=2=-10", "--pin=3=9"],
    ] {
        let mut wide = command(&asked);
        wide.env("COLUMNS", "250");
        let answer = run_with(wide, text.as_bytes()).stdout;
        assert!(answer.contains("with force, tight all round") && !answer.contains("would bind"), "{answer}");
    }
}
