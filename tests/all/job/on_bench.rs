//! Do the commands of the bench and the record of a job give one answer about a rotor and a clutch?

use std::fs;

use serde_json::Value;
use toothmark::job::{self, FindingWeight, JobEntry, JobFinding, JobVerdict, ReadingSubject};

use crate::support::process::{package, run};

/// A rotor with two holes and what was weighed then, fingers, a spring and a pack.
const KEPT: &str = "jobs/version-2-with-angles.ron";
const DISC: [&str; 5] = ["--allowed=120", "--places=12@95mm", "--drills=6,8", "--thickness=26mm", "--wall=4mm"];

fn in_json(arguments: &[&str]) -> Value {
    let answer = run(&[&["bench"], arguments, &["--format=json"]].concat());
    serde_json::from_str(&answer.stdout).unwrap_or_else(|error| panic!("{arguments:?}: {error}\n{}", answer.stderr))
}

fn kept() -> String {
    fs::read_to_string(package().join("tests").join(KEPT)).expect("the file is kept")
}

fn judged(text: &str) -> JobVerdict {
    job::judge(&job::read(text).unwrap_or_else(|faults| panic!("{faults}")))
}

#[track_caller]
fn finding<'a>(verdict: &'a JobVerdict, about: &str) -> &'a JobFinding {
    verdict.findings.iter().find(|finding| finding.about == about).unwrap_or_else(|| panic!("{:#?}", verdict.findings))
}

#[track_caller]
fn says(text: &str, about: &str, weight: FindingWeight, words: &str) {
    let verdict = judged(text);
    let finding = finding(&verdict, about);
    assert_eq!((finding.weight, finding.says.as_str()), (weight, words), "{finding:?}");
}

#[test]
fn an_unbalance_is_typed_with_its_angle_or_without() {
    let typed = |text: &str| ReadingSubject::Balance.kind().typed(text).map(|value| value.to_string()).ok();
    for (text, read) in [
        ("836", "836 g mm"),
        ("2122 g mm at 100 deg", "2122 g mm at 100 degrees"),
        ("2122@100", "2122 g mm at 100 degrees"),
        ("2122 at 100 deg ccw", "2122 g mm at 100 degrees"),
        ("2122 at 100 deg cw", "2122 g mm at -100 degrees"),
        // 28.349523125 g times 25.4 mm.
        ("1 oz in at 0", "720.077887 g mm at 0 degrees"),
    ] {
        assert_eq!(typed(text).as_deref(), Some(read), "{text}");
    }
    for text in ["", "heavy", "836 kg", "836 at", "836 at noon", "836 at 100 mm", "836 at 100 deg at 3"] {
        assert_eq!(typed(text), None, "{text}");
    }
}

/// The record, and the same typed: 680.5 g mm at 97 degrees, seen from the input side, with both holes.
#[test]
fn a_rotor_of_the_record_is_drilled_as_one_that_is_typed() {
    let of_job = in_json(&[&["balance", KEPT], &DISC[..]].concat());
    let typed = ["--found=680.5 g mm at 97", "--seen=input", "--drilled=90deg 12mm x 12", "--drilled=120deg 12mm x 5"];
    let typed = in_json(&[&["balance"], &DISC[..], &typed].concat());
    assert!(typed["plan"].as_array().is_some_and(|plan| !plan.is_empty()), "{typed}");
    for key in ["allowed_g_mm", "found", "plan", "left", "seen_from", "drilling"] {
        assert_eq!(of_job[key], typed[key], "{key}");
    }
}

/// 680.5 of 836 g mm: the record and the command say the same, and of more than is wanted as well.
#[test]
fn a_rotor_is_judged_as_the_bench_does() {
    let answer = run(&["bench", "balance", KEPT]);
    assert!(answer.code == 0 && answer.stdout.contains("Leave it as it is: 680 g mm"), "{}", answer.stdout);
    let text = kept();
    says(&text, "balance.carrier", FindingWeight::Good, "680.5 g mm at 97 degrees");
    let strict = text.replace("GramMillimetres(836)]", "GramMillimetres(680)]");
    let off = "680.5 g mm at 97 degrees as left";
    says(&strict, "balance.carrier", FindingWeight::DoNotClose, off);
}

/// What may be left was taken for what has to be left where it is one number: 17 of 836 g mm were told as too much.
#[test]
fn one_unbalance_that_is_wanted_is_the_most() {
    let text = kept().replace("[GramMillimetres(0), GramMillimetres(836)]", "GramMillimetres(836)");
    says(&text, "balance.carrier", FindingWeight::Good, "680.5 g mm at 97 degrees");
}

/// Nothing that a machine shows is as good as it gets; a trial weight of nothing tells nothing.
#[test]
fn no_unbalance_at_all_is_good() {
    let text = kept().replace("GramMillimetres(\"680.5\", 97)", "GramMillimetres(0)");
    says(&text, "balance.carrier", FindingWeight::Good, "0 g mm");
    let trial = ["bench", "balance", "--seen=input", "--reading=4@0", "--trial=0 g mm at 0=5@3"];
    assert_eq!(run(&trial).code, 2);
}

/// What was weighed before the holes were drilled says nothing of what is left.
#[test]
fn a_rotor_that_was_drilled_since_is_weighed_again() {
    let later = kept().replace("left_on: \"2026-11-21\"", "left_on: \"2026-11-23\"");
    let words = "680.5 g mm at 97 degrees, weighed before holes were drilled: weigh again";
    says(&later, "balance.carrier", FindingWeight::Missing, words);
    assert!(job::read(&later).unwrap().balance("carrier").unwrap().drilled_since);
}

/// A record without a reading was told that nothing is asked, or that it has no plates.
#[test]
fn a_record_in_which_nothing_was_read_says_what_to_enter() {
    for (asked, enter) in [("balance", "balance.sun.left="), ("clutch", "finger.1.left=")] {
        let answer = run(&["bench", asked, "jobs/version-2.ron"]);
        assert!(answer.code == 2 && answer.stderr.contains(enter), "{}", answer.stderr);
    }
    // Nobody asked about the rotor.
    let answer = run(&["bench", "balance", KEPT, "--chart"]);
    assert!(answer.code == 0 && !answer.stdout.contains("Allowed"), "{}", answer.stdout);
}

/// Files of before have no angle: whether it is too much can be told, where to drill cannot.
#[test]
fn without_an_angle_nothing_is_drilled() {
    let answer = run(&["bench", "balance", "jobs/version-1.ron"]);
    assert_eq!((answer.code, answer.stdout.as_str()), (2, ""));
    assert!(
        answer.stderr.contains("without the angle") && answer.stderr.contains("balance.carrier.left="),
        "{answer:?}"
    );
    // What is typed is newer than the record.
    let answer = run(&["bench", "balance", "jobs/version-1.ron", "--found=17 g mm at 100", "--seen=output"]);
    assert!(answer.code == 0 && answer.stdout.contains("836 g mm are allowed"), "{answer:?}");
}

/// CL2 and CL3, computed: 20.9, 21.4 and 20.6 for 20.64 by 20 threads an inch; 60 N/mm; five discs in turn.
#[test]
fn a_clutch_of_the_record_is_set_as_one_that_is_typed() {
    let of_job = in_json(&["clutch", KEPT, "--pitch=1.27"]);
    let typed = in_json(&[
        "clutch",
        "--finger=20.9,21.4,20.6",
        "--wanted=20.64",
        "--pitch=1.27",
        "--spring=60=900,45=1800",
        "--pack=steel,lined,steel,lined,steel",
    ]);
    assert_eq!(of_job, typed);
    let flats = of_job["fingers"]["fingers"][1]["flats"].as_f64().expect("a number");
    assert!((flats - 3.590_551_181).abs() < 1e-8, "{flats}");
    let answer = run(&["bench", "clutch", KEPT]);
    assert!(answer.code == 1 && answer.stdout.contains("finger 2 0.80 mm closer"), "{}", answer.stdout);
}

/// A file of version 1 that gets an angle or a pack says from then on that it is of version 2, whatever else is in it.
#[test]
fn an_older_file_takes_angles_and_packs() {
    let text = fs::read_to_string(package().join("tests/jobs/version-1.ron")).unwrap();
    for typed in ["balance.carrier.left=17 at -30 deg", "balance.carrier.found=3 oz in at 20 deg cw"] {
        let entered = job::enter(&text, &[JobEntry::typed(typed).unwrap()], None).unwrap();
        let read = job::read(&entered).unwrap_or_else(|faults| panic!("{faults}"));
        assert_eq!(*read.draft().version, 2, "{typed}");
        assert_eq!(job::read(&job::write(read.draft())).as_ref(), Ok(&read), "{typed}");
    }
    let without = job::enter(&text, &[JobEntry::typed("balance.carrier.left=16").unwrap()], None).unwrap();
    assert_eq!(*job::read(&without).unwrap().draft().version, 1);
    let pack = [JobEntry::typed("pack.lock.left=SLSLS").unwrap()];
    let entered = job::enter(&kept().replace("version: 2", "version: 1"), &pack, None).unwrap();
    assert_eq!(*job::read(&entered).unwrap().draft().version, 2);
}

/// A gap 0.04 mm off was good enough for the bench, and the record forbade to close the unit.
#[test]
fn fingers_and_packs_are_judged_as_the_bench_does() {
    let text = kept();
    says(&text, "finger.3", FindingWeight::Good, "20.6 mm");
    says(&text, "finger.1", FindingWeight::DoNotClose, "20.9 mm as left");
    says(&text, "pack.lock", FindingWeight::Good, "5 discs, 4 pairs of faces");
    let stacked = text.replace("steel, lined, steel, lined, steel", "SLLS");
    let words = "two of a kind lie on one another: 4 discs, 2 pairs of faces as left";
    says(&stacked, "pack.lock", FindingWeight::DoNotClose, words);
    // A range keeps its ends: 20.6 to 20.8 holds 20.6, and not 20.9.
    let range = text.replace("wanted: Millimetres(20.64)", "wanted: [Millimetres(20.6), Millimetres(20.8)]");
    says(&range, "finger.3", FindingWeight::Good, "20.6 mm");
    says(&range, "finger.1", FindingWeight::DoNotClose, "20.9 mm as left");
    let apart = text.replacen("wanted: Millimetres(20.64)", "wanted: Millimetres(20.7)", 1);
    assert!(job::read(&apart).unwrap().clutch_question(None).is_err(), "one is wanted at 20.7");
}
