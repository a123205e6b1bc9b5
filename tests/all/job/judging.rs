//! Does the record of a job say what follows from its readings?

use toothmark::job::{self, FindingWeight, JobEntry, JobFinding, JobVerdict};

use crate::support::sets::{read_example, read_set};

fn judged(example: &str, entries: &[&str]) -> JobVerdict {
    let set = read_example(example);
    let entries =
        entries.iter().map(|typed| JobEntry::typed(typed).unwrap_or_else(|reason| panic!("{typed}: {reason}")));
    let entries: Vec<JobEntry> = entries.collect();
    let text = job::enter(&job::write(&job::blank(&set)), &entries, None).unwrap_or_else(|reason| panic!("{reason}"));
    job::judge(&job::read(&text).unwrap_or_else(|faults| panic!("{faults}")))
}

#[track_caller]
fn finding<'a>(verdict: &'a JobVerdict, about: &str) -> &'a JobFinding {
    verdict.findings.iter().find(|finding| finding.about == about).unwrap_or_else(|| panic!("{:#?}", verdict.findings))
}

#[track_caller]
fn says(entries: &[&str], about: &str, weight: FindingWeight, words: &str) {
    let verdict = judged("inspection-railcar", entries);
    let finding = finding(&verdict, about);
    assert_eq!((finding.weight, finding.says.as_str()), (weight, words), "{finding:?}");
}

#[test]
fn a_blank_job_is_all_gaps() {
    let verdict = judged("inspection-railcar", &[]);
    assert!(!verdict.ready && verdict.findings.iter().all(|finding| finding.not_read));
    // 6 gears, 3 marks, 3 meshes, 3 bushes and 3 pins, 4 parts that float, 2 bands with drum, gap and lining, oil.
    assert_eq!(verdict.findings.len(), 6 + 3 + 3 + 6 + 4 + 6 + 1);
}

#[test]
fn a_size_is_judged_by_what_is_wanted_and_what_it_is_good_to() {
    let wanted = "float.low drum.wanted=0.2..0.6";
    says(&[wanted, "float.low drum.left=0.3"], "float.low drum", FindingWeight::Good, "0.3 mm");
    says(&[wanted, "float.low drum.left=0.6"], "float.low drum", FindingWeight::Good, "0.6 mm");
    says(&[wanted, "float.low drum.left=0.62"], "float.low drum", FindingWeight::DoNotClose, "0.62 mm as left");
    // Good to 0.02 mm, 0.61 mm may be 0.59.
    let within = "float.low drum.within=0.02";
    let again = "0.61 mm: measure more exactly, or again";
    says(&[wanted, within, "float.low drum.left=0.61"], "float.low drum", FindingWeight::Missing, again);
    says(&[wanted, within, "float.low drum.left=0.63"], "float.low drum", FindingWeight::DoNotClose, "0.63 mm as left");
    let found = "0.3 mm as found, not read again";
    says(&[wanted, "float.low drum.found=0.3"], "float.low drum", FindingWeight::Missing, found);
    // The worst of several places is what counts.
    let worst = "0.3, 0.7, 0.4 mm as left";
    says(&[wanted, "float.low drum.left=0.3, 0.7, 0.4"], "float.low drum", FindingWeight::DoNotClose, worst);
    says(&["float.low drum.left=0.3"], "float.low drum", FindingWeight::Noted, "0.3 mm, not judged");
    // One value alone is met where it is no farther off than the reading is good to.
    let one = ["float.low drum.wanted=0.3", "float.low drum.within=0.02"];
    let with = |left: &'static str| [&one[..], &[left]].concat();
    says(&with("float.low drum.left=0.32"), "float.low drum", FindingWeight::Good, "0.32 mm");
    says(&with("float.low drum.left=0.33"), "float.low drum", FindingWeight::DoNotClose, "0.33 mm as left");
    // An inch is 25.4 mm: 0.02 in is 0.508 mm.
    says(&[wanted, "float.low drum.left=0.02 in"], "float.low drum", FindingWeight::Good, "0.02 in");
}

#[test]
fn a_count_that_is_not_the_described_one_is_told_as_such() {
    says(&["count.L.found=20"], "count.L", FindingWeight::Good, "20");
    says(&["count.L.found=21"], "count.L", FindingWeight::DoNotClose, "21 teeth counted: count again");
}

#[test]
fn no_backlash_is_never_good() {
    let binds = "0.1, 0 mm: it binds";
    says(&["backlash.D with d.left=0.1, 0"], "backlash.D with d", FindingWeight::DoNotClose, binds);
}

/// Place by place: 16.05 - 15.98 and 16.02 - 15.97, each reading good to 0.01 mm where nothing is said.
#[test]
fn a_bush_is_judged_with_what_runs_in_it() {
    let read = ["bush.pin 2.left=16.05, 16.02", "shaft.pin 2.left=15.98, 15.97"];
    let with = |more: &[&'static str]| [&read[..], more].concat();
    let about = "clearance.pin 2";
    let clear = "0.05 to 0.07 mm clear";
    says(&read, about, FindingWeight::Noted, &format!("{clear}, not judged"));
    says(&with(&["clearance.pin 2.wanted=0.03..0.08"]), about, FindingWeight::Good, clear);
    let loose = format!("{clear} as left: too loose");
    says(&with(&["clearance.pin 2.wanted=0.01..0.04"]), about, FindingWeight::DoNotClose, &loose);
    let again = format!("{clear}: measure more exactly, or again");
    says(&with(&["clearance.pin 2.wanted=0.03..0.06"]), about, FindingWeight::Missing, &again);
    let exactly = ["clearance.pin 2.wanted=0.03..0.06", "bush.pin 2.within=0.002", "shaft.pin 2.within=0.002"];
    says(&with(&exactly), about, FindingWeight::DoNotClose, &loose);
    let tight = ["bush.pin 2.left=16.00", "shaft.pin 2.left=16.00"];
    says(&tight, about, FindingWeight::DoNotClose, "0 mm clear: it binds");
    says(&with(&["clearance.pin 2.left=0.05"]), about, FindingWeight::Noted, "0.05 mm, not judged");
    let unlike = ["bush.pin 2.left=16.05, 16.02, 16.03", "shaft.pin 2.left=15.98, 15.97"];
    says(&unlike, about, FindingWeight::Missing, "the clearance cannot be told");
}

/// The railcar goes in with its marks parallel, a third of 31 teeth from pin to pin: 0, -10 1/3, -20 2/3, which is 10 1/3.
#[test]
fn the_marks_of_all_pins_are_one_question() {
    let marks = |third: &'static str| ["mark.pin 1.left=0 teeth d", "mark.pin 2.left=-10 teeth d", third];
    says(&marks("mark.pin 3.left=10 teeth d"), "mark.cluster", FindingWeight::Good, "in time by the marks as left");
    let out = "pin 3 out of time by the marks as left";
    says(&marks("mark.pin 3.left=9 teeth d"), "mark.cluster", FindingWeight::DoNotClose, out);
}

#[test]
fn a_reason_stands_in_place_of_a_reading() {
    says(&["bush.pin 2.because=pressed in by the maker"], "bush.pin 2", FindingWeight::Noted, "not read");
}

#[test]
fn a_set_that_does_not_assemble_is_never_ready() {
    let verdict = judged("cannot-be-trio", &[]);
    let first = &verdict.findings[0];
    assert_eq!((first.weight, first.says.as_str()), (FindingWeight::DoNotClose, "does not assemble as described"));
}

#[test]
fn findings_come_by_weight_and_then_in_the_order_of_the_file() {
    let entries =
        ["float.low drum.wanted=0.2..0.6", "float.low drum.left=0.9", "count.d.found=30", "oil.gearbox.left=new"];
    let verdict = judged("inspection-railcar", &entries);
    assert!(verdict.findings.is_sorted_by_key(|finding| finding.weight));
    assert_eq!([&verdict.findings[0].about, &verdict.findings[1].about], ["count.d", "float.low drum"]);
}

/// A record without any reading was told as one that can be closed and signed off, and rows that somebody took out of
/// the file were not missed.
#[test]
fn what_the_description_knows_is_missed_where_its_row_is_gone() {
    let blank = job::blank(&read_example("inspection-railcar"));
    let gaps = |readings: Vec<job::DraftJobReading>| {
        let text = job::write(&job::DraftJob { readings, ..blank.clone() });
        let verdict = job::judge(&job::read(&text).unwrap());
        assert!(!verdict.ready);
        let gaps = verdict.findings.iter().filter(|finding| finding.not_read);
        let mut gaps: Vec<String> = gaps.map(|gap| gap.about.clone()).collect();
        gaps.sort();
        gaps
    };
    let mut all: Vec<String> = blank.readings.iter().map(|reading| reading.path.to_string()).collect();
    all.sort();
    assert_eq!(gaps(Vec::new()), all);
    let every_other = blank.readings.iter().step_by(2).cloned().collect();
    assert_eq!(gaps(every_other), all);
}

/// Without `wanted` in the file a count was not held against the description, and with another one against that alone.
#[test]
fn a_count_is_held_against_the_description_whatever_is_wanted() {
    let mut blank = job::blank(&read_example("inspection-railcar"));
    blank.readings.iter_mut().for_each(|reading| reading.wanted.clear());
    let told = |typed: &[&str]| {
        let entries: Vec<JobEntry> = typed.iter().map(|typed| JobEntry::typed(typed).unwrap()).collect();
        let text = job::enter(&job::write(&blank), &entries, None).unwrap();
        let verdict = job::judge(&job::read(&text).unwrap());
        let finding = finding(&verdict, "count.L");
        (finding.weight, finding.says.clone(), finding.because.clone())
    };
    let described = || "20 described".to_owned();
    assert_eq!(
        told(&["count.L.found=21"]),
        (FindingWeight::DoNotClose, "21 teeth counted: count again".into(), described())
    );
    assert_eq!(told(&["count.L.found=20"]), (FindingWeight::Good, "20".into(), described()));
    let unlike = "20 teeth counted as described, but 21 wanted: which is it?";
    assert_eq!(told(&["count.L.wanted=21", "count.L.found=20"]), (FindingWeight::Missing, unlike.into(), described()));
}

/// A bush that was good as found and not read again counted as good, and a float in the same case as missing. What is
/// left in the unit is what counts; what was not touched is said to be left as found.
#[test]
fn what_was_read_as_found_only_is_read_again_or_said_to_be_left_so() {
    let wanted = ["clearance.pin 2.wanted=0.03..0.08"];
    let with = |more: &[&'static str]| [&wanted[..], more].concat();
    let found = ["bush.pin 2.found=16.05", "shaft.pin 2.found=16"];
    let about = "clearance.pin 2";
    says(&with(&found), about, FindingWeight::Missing, "0.05 mm clear as found, not read again");
    let verdict = judged("inspection-railcar", &with(&found));
    assert_eq!(finding(&verdict, about).read_again, ["bush.pin 2", "shaft.pin 2"]);
    let bush = [found[0], found[1], "bush.pin 2.left=16.04"];
    says(&with(&bush), about, FindingWeight::Missing, "0.04 mm clear, shaft.pin 2 not read again");
    let both = [found[0], found[1], "bush.pin 2.left=16.04", "shaft.pin 2.left=as found"];
    says(&with(&both), about, FindingWeight::Good, "0.04 mm clear");
    let loose = [found[0], found[1], "bush.pin 2.left=16.2"];
    let words = "0.2 mm clear, shaft.pin 2 not read again: too loose";
    says(&with(&loose), about, FindingWeight::DoNotClose, words);
    let oil = "black as found, not read again";
    says(&["oil.gearbox.found=black"], "oil.gearbox", FindingWeight::Missing, oil);
    says(&["oil.gearbox.found=black", "oil.gearbox.left=SAE 30"], "oil.gearbox", FindingWeight::Noted, "SAE 30");
}

/// The marks of two pins as left were good for a third that had been found out of time and not been read again.
#[test]
fn a_mark_that_was_not_read_again_keeps_the_unit_open() {
    let read = ["mark.pin 3.found=9 teeth d", "mark.pin 1.left=0 teeth d", "mark.pin 2.left=-10 teeth d"];
    let again = "in time by the marks as left, but not read again: mark.pin 3";
    says(&read, "mark.cluster", FindingWeight::Missing, again);
    let left = [&read[..], &["mark.pin 3.left=as found"]].concat();
    says(&left, "mark.cluster", FindingWeight::DoNotClose, "pin 3 out of time by the marks as left");
}

/// Seen from the output side every mark stands the other way: -10 from there is 10 from the input side, and pins 2 and 3
/// change their marks. `seen` could be set with an editor alone, and such marks were judged from the input side.
#[test]
fn marks_are_judged_from_the_side_that_they_were_read_from() {
    let read = ["mark.pin 1.left=0 teeth d", "mark.pin 2.left=10 teeth d ccw", "mark.pin 3.left=10 teeth d clockwise"];
    let verdict = judged("inspection-railcar", &read);
    assert_eq!(finding(&verdict, "mark.cluster").weight, FindingWeight::DoNotClose);
    let from_output = [&["seen=output"], &read[..]].concat();
    says(&from_output, "mark.cluster", FindingWeight::Good, "in time by the marks as left");
}

/// A shaft whose bush will not be read, for a reason that is told, was not spoken of at all.
#[test]
fn a_shaft_alone_is_told_as_not_judged() {
    let read = ["bush.pin 2.because=pressed in by the maker", "shaft.pin 2.left=15.98"];
    says(&read, "shaft.pin 2", FindingWeight::Noted, "15.98 mm, not judged");
    assert_eq!(finding(&judged("inspection-railcar", &read), "shaft.pin 2").because, "bush.pin 2 is not read");
}

/// A goal that is moved until what was left meets it is seen beside the verdict.
#[test]
fn what_was_wanted_before_stands_beside_the_verdict() {
    let read = ["float.low drum.wanted=0.2..0.6", "float.low drum.left=0.7", "float.low drum.wanted=0.2..0.8"];
    let clearance = ["clearance.pin 1.wanted=0.02..0.04", "clearance.pin 1.wanted=0.02..0.08"];
    let fit = ["bush.pin 1.left=16.05", "shaft.pin 1.left=16"];
    let verdict = judged("inspection-railcar", &[&read[..], &clearance, &fit].concat());
    let because = |about: &str| finding(&verdict, about).because.clone();
    assert_eq!(because("float.low drum"), "wanted 0.2 to 0.8 mm (before: 0.2 to 0.6 mm)");
    assert_eq!(because("clearance.pin 1"), "wanted 0.02 to 0.08 mm (before: 0.02 to 0.04 mm)");
}

/// Who measures the clearance itself need not know bore and shaft.
#[test]
fn a_clearance_that_was_measured_needs_no_bore() {
    let verdict = judged("inspection-railcar", &["clearance.pin 2.left=0.05"]);
    let about = |path: &str| verdict.findings.iter().any(|finding| finding.about == path);
    assert!(!about("bush.pin 2") && !about("shaft.pin 2") && about("bush.pin 1") && about("shaft.pin 1"));
}

/// A bore out of what is wanted of it was noted as not judged, since only its clearance was looked at.
#[test]
fn a_bore_is_held_against_what_is_wanted_of_it() {
    let entries = ["bush.pin 2.wanted=16..16.03", "bush.pin 2.left=16.5", "shaft.pin 2.left=15.98"];
    says(&entries, "bush.pin 2", FindingWeight::DoNotClose, "16.5 mm as left");
}

/// A job beside itself told four readings as changed: found then, left since.
#[test]
fn a_job_beside_itself_has_no_changes() {
    let path = crate::support::process::package().join("tests/jobs/version-1.ron");
    let text = std::fs::read_to_string(path).unwrap();
    let kept = job::read(&text).unwrap();
    let same = job::difference(&kept, &kept);
    assert_eq!((same.changes.len(), same.alike), (0, 18));
    // Copied with the file, a dated reading was not read again; one that was found alike on another day was.
    let later = text.replace("date: \"2026-11-20\"", "date: \"2026-12-01\"");
    let about = |later: &str| -> Vec<String> {
        job::difference(&kept, &job::read(later).unwrap()).changes.into_iter().map(|change| change.about).collect()
    };
    assert!(!about(&later).contains(&"backlash.A with b".into()));
    let again = later.replace("found_on: \"2026-11-20\"", "found_on: \"2026-12-01\"");
    assert!(about(&again).contains(&"backlash.A with b".into()));
}

/// Once nothing was said of a bush whose shaft has no row in the file.
#[test]
fn a_bush_without_a_shaft_is_a_gap() {
    let verdict = judged("inspection-railcar", &["bush.low drum on case.left=40.05"]);
    let gap = finding(&verdict, "shaft.low drum on case");
    assert!(gap.not_read && gap.weight == FindingWeight::Missing, "{gap:?}");
    let measured = ["bush.low drum on case.left=40.05", "clearance.low drum on case.left=0.05"];
    let verdict = judged("inspection-railcar", &measured);
    assert!(verdict.findings.iter().all(|finding| finding.about != "shaft.low drum on case"));
}

/// Once a record in which nothing is wanted could be signed off without a word.
#[test]
fn what_is_not_judged_is_told_beside_the_verdict() {
    let verdict = judged("inspection-railcar", &["float.low drum.left=0.3", "clearance.pin 1.left=0.05"]);
    let not_judged: Vec<&str> =
        verdict.findings.iter().filter(|finding| finding.not_judged).map(|finding| finding.about.as_str()).collect();
    assert_eq!(not_judged, ["float.low drum", "clearance.pin 1"]);
}

/// Where two bushes bore between the same two members, or two bands lay on one drum, `sheet` panicked and `job new` refused
/// what it had made up itself: a reading stood in the blank job twice. A fuzzer came across it.
#[test]
fn what_two_parts_share_is_read_once_and_what_they_do_not_share_twice() {
    let text = r#"Gearset(
        title: "t",
        members: {"drum": [Sun("S", 20)], "carrier": []},
        planets: {"p": (carrier: "carrier", pins: Equal(3), gears: [Gear("P", 20)])},
        meshes: [("S", "P")],
        bearings: [
            ("drum", "carrier", (diameter: Millimetres(40))),
            ("drum", "carrier", (bore: Millimetres(40.05), shaft: Millimetres(40), allowed: (Millimetres(0.02), Millimetres(0.04)))),
        ],
        controls: {"slow band": Band("drum"), "parking band": Band("drum")},
    )"#;
    let set = read_set("two bushes and two bands", text);
    let blank = job::blank(&set);
    let begun = job::Job::new(blank.clone()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let paths: Vec<&str> = blank.readings.iter().map(|reading| reading.path.as_str()).collect();
    let of = |beginning: &str| paths.iter().copied().filter(|path| path.starts_with(beginning)).collect::<Vec<_>>();
    assert_eq!(of("run-out."), ["run-out.drum"]);
    assert_eq!(of("band."), ["band.slow band", "band.parking band"]);
    let bushes = of("bush.").into_iter().filter(|path| !path.starts_with("bush.pin")).collect::<Vec<_>>();
    assert_eq!(bushes, ["bush.drum on carrier", "bush.drum on carrier, bush 2"]);
    // What the description knows of the second bush is that of the second one: 0.15 mm where 0.04 mm are allowed.
    let typed = ["bush.drum on carrier, bush 2.left=40.15", "shaft.drum on carrier, bush 2.left=40"];
    let entries: Vec<JobEntry> = typed.iter().map(|typed| JobEntry::typed(typed).unwrap()).collect();
    let text = job::enter(&job::write(begun.draft()), &entries, None).unwrap_or_else(|reason| panic!("{reason}"));
    let verdict = job::judge(&job::read(&text).unwrap());
    let found = finding(&verdict, "clearance.drum on carrier, bush 2");
    assert_eq!(found.weight, FindingWeight::DoNotClose, "{}: {}", found.says, found.because);
}
