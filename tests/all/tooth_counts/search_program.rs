//! Does the program search as the library does: in parts, stopped, into files, in every format?
//!
//! What is wrong with a request is a table of cases. GNU parallel is Debian's `parallel`; where it is not
//! there its test says so and does nothing, unless `TOOTHMARK_PARALLEL` is `required`, as it is in
//! `.ci/run`.

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use toothmark::description::{self, LARGEST_FILE};
use toothmark::exact::fraction;
use toothmark::gearset::Spanned;
use toothmark::kinematics::motions;
use toothmark::tooth_search::{CenterDistances, Goal, MarksWanted, RequestText, WantedValue, Wish};

use crate::support::process::{Run, command, run, run_with};
use crate::support::sets::read_example;

/// Low near 11/4 and reverse in a window, with cluster gears and drums that may change.
const ASKED: [&str; 12] = [
    "search",
    "--teeth",
    "L=17..25",
    "--teeth",
    "l=32..40",
    "--teeth",
    "R=27..33",
    "--teeth",
    "r=24..30",
    "--ratio",
    "low=11/4",
    "--ratio=reverse=-3..-2",
];

fn with(further: &[&str]) -> Vec<String> {
    ASKED.iter().chain(further).map(ToString::to_string).collect()
}

fn run_all(arguments: &[String]) -> Run {
    run(&arguments.iter().map(String::as_str).collect::<Vec<_>>())
}

/// An empty folder for a test.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("search-{name}"));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the folder can be made");
    folder
}

fn json_of(run: &Run) -> Value {
    serde_json::from_str(&run.stdout).unwrap_or_else(|error| panic!("{error}: {} {}", run.stdout, run.stderr))
}

/// Writes the JSON of every part, and gives the paths.
fn parts(folder: &Path, of: usize, further: &[&str]) -> Vec<String> {
    let part = |index: usize| {
        let part = format!("{index}/{of}");
        let run = run_all(&with(&[&["--format", "json", "--part", &part], further].concat()));
        assert_eq!(run.code, 0, "a part is done whatever it holds: {}", run.stderr);
        let path = folder.join(format!("part-{index}.json"));
        fs::write(&path, run.stdout).expect("it can be written");
        path.display().to_string()
    };
    (1..=of).map(part).collect()
}

fn merge(paths: &[String]) -> Run {
    run(&[&["merge", "--format", "json"], &paths.iter().map(String::as_str).collect::<Vec<_>>()[..]].concat())
}

#[track_caller]
fn assert_alike(merged: &Value, whole: &Value) {
    for key in ["complete", "combinations", "count", "results", "goals"] {
        assert_eq!(merged[key], whole[key], "{key}");
    }
}

#[test]
fn parts_in_any_order_are_the_whole() {
    let folder = folder("parts");
    for further in [&["--results", "3"][..], &["--all"]] {
        let whole = json_of(&run_all(&with(&[&["--format", "json"], further].concat())));
        assert_eq!(whole["complete"], true);
        assert!(whole["results"].as_array().is_some_and(|results| results.len() >= 3));
        for of in 1..=4 {
            let mut paths = parts(&folder, of, further);
            assert_alike(&json_of(&merge(&paths)), &whole);
            paths.reverse();
            let merged = merge(&paths);
            assert_eq!(merged.code, 0, "{}", merged.stderr);
            assert_alike(&json_of(&merged), &whole);
        }
    }
}

/// Files of a test of `merge`.
struct Parts {
    folder: PathBuf,
    paths: Vec<String>,
    /// The text of one that holds results.
    source: String,
    /// The text of one that has counted some.
    counted: String,
}

impl Parts {
    fn new(name: &str) -> Self {
        let folder = folder(name);
        let paths = parts(&folder, 3, &[]);
        let texts = paths.iter().map(|path| fs::read_to_string(path).expect("it was written"));
        let texts: Vec<String> = texts.collect();
        let of_json = |text: &str| serde_json::from_str::<Value>(text).expect("it is JSON");
        let holds_results = |text: &&String| of_json(text)["results"] != json!([]);
        let has_counted = |text: &&String| of_json(text)["count"] != json!(0);
        let source = texts.iter().find(holds_results).expect("a part holds results").clone();
        let counted = texts.iter().find(has_counted).expect("a part has counted").clone();
        Self { folder, paths, source, counted }
    }

    fn written(&self, name: &str, text: &[u8]) -> String {
        let path = self.folder.join(name);
        fs::write(&path, text).expect("it can be written");
        path.display().to_string()
    }

    fn edited(&self, name: &str, edit: impl Fn(&mut Value)) -> String {
        self.edited_from(&self.source, name, edit)
    }

    fn edited_from(&self, source: &str, name: &str, edit: impl Fn(&mut Value)) -> String {
        let mut value: Value = serde_json::from_str(source).expect("it is JSON");
        edit(&mut value);
        self.written(&format!("{name}.json"), value.to_string().as_bytes())
    }
}

#[track_caller]
fn assert_not_merged(name: &str, paths: &[String], meant: &str) {
    let wrong = merge(paths);
    assert_eq!((wrong.code, wrong.stdout.as_str()), (2, ""), "{name}: {}", wrong.stderr);
    assert!(wrong.stderr.contains(meant) && wrong.stderr.contains("hint: "), "{name}: {}", wrong.stderr);
}

/// A profile shift belongs to the teeth that it was cut with. Once the descriptions of results carried the shifts of the
/// old counts.
#[test]
fn changed_gears_leave_their_profile_shifts() {
    let folder = folder("shifts");
    let railcar = crate::support::sets::read_file("gearsets/inspection-railcar.ron")
        .replace("    states:", "    profile_shifts: {\"L\": 0.2, \"l\": -0.2, \"D\": 0.1, \"d\": -0.1},\n    states:");
    let path = folder.join("shifted.ron");
    fs::write(&path, railcar).expect("it can be written");
    let results = folder.join("results").display().to_string();
    let path = path.display().to_string();
    let teeth = ["--teeth=L=21..22", "--teeth=l=35..36", "--ratio=low=3.28"];
    let shown = run(&[&["search", "--gearset", &path, "--write", &results][..], &teeth[..]].concat());
    let words = shown.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("the profile shift of L and l belongs to the teeth as they are"), "{words}{}", shown.stderr);
    let written: Vec<String> = fs::read_dir(&results)
        .expect("results are written")
        .map(|entry| fs::read_to_string(entry.expect("an entry").path()).expect("a text"))
        .collect();
    assert!(!written.is_empty());
    for text in &written {
        let shifts =
            text.split("profile_shifts:").nth(1).and_then(|rest| rest.split('}').next()).expect("some are kept");
        assert!(shifts.contains("\"D\"") && !shifts.to_lowercase().contains("\"l\""), "{text}");
    }
}

#[test]
fn parts_that_do_not_make_a_whole_are_told() {
    let parts_of_three = Parts::new("not-whole");
    let (paths, source) = (&parts_of_three.paths, &parts_of_three.source);
    let missing = merge(&[paths[2].clone(), paths[0].clone()]);
    assert_eq!((missing.code, json_of(&missing)["complete"].clone()), (1, json!(false)));
    assert!(missing.stderr.contains("part 2 is missing, so that nothing is proven"), "{}", missing.stderr);
    let shown = run(&["merge", &paths[0]]);
    assert!(shown.stdout.contains("NOT proven") && shown.stdout.contains("At least"), "{}", shown.stdout);

    let other = parts(&folder("not-whole-other"), 3, &["--margin", "1/9"]);
    assert_not_merged("twice", &[paths[0].clone(), paths[0].clone()], "are the same part");
    assert_not_merged("another search", &[paths[0].clone(), other[1].clone()], "is a part of another search");
    let texts: [(&str, &[u8]); 4] = [
        ("cut in two", &source.as_bytes()[..source.len() / 2]),
        ("no text", &[0xff, 0xfe, 0]),
        ("empty", b""),
        ("other JSON", b"{\"a\": 1}"),
    ];
    for (name, text) in texts {
        assert_not_merged(name, &[parts_of_three.written(name, text)], "is not the JSON of a search");
    }
    let none = parts_of_three.folder.join("none.json").display().to_string();
    assert_not_merged("no such file", &[none], "there is no such file");
}

/// A part whose `count` was edited was put together with the others.
#[test]
fn parts_that_were_edited_are_told() {
    /// What is edited, and how.
    type Edit = (&'static str, fn(&mut Value));
    let parts = Parts::new("edited");
    let not_found: [Edit; 11] = [
        ("teeth", |it| it["results"][0]["teeth"]["L"] = json!(16)),
        ("no teeth", |it| it["results"][0]["teeth"]["L"] = json!(0)),
        ("pins", |it| it["results"][0]["pins"] = json!({ "custer": 3 })),
        ("measure", |it| it["results"][0]["measures"][0]["fraction"] = json!("0")),
        ("result gone", |it| drop(it["results"].as_array_mut().map(Vec::pop))),
        ("excluded", |it| it["excluded"][0]["combinations"] = json!(7)),
        ("beaten", |it| it["beaten"] = json!(u64::MAX)),
        ("count", |it| it["count"] = json!(u64::MAX)),
        ("one more", |it| it["count"] = json!(it["count"].as_u64().expect("a few") + 1)),
        ("not counted", |it| it["counting"]["excluded"] = json!(7)),
        ("undecided", |it| it["counting"]["undecided"] = json!(1)),
    ];
    let meant = "does not hold what a search of its request finds";
    for (name, edit) in not_found {
        assert_not_merged(name, &[parts.edited(name, edit)], meant);
    }
    let one_less = |it: &mut Value| it["count"] = json!(it["count"].as_u64().expect("some") - 1);
    assert_not_merged("one less", &[parts.edited_from(&parts.counted, "one-less", one_less)], meant);
    let others: [(Edit, &str); 3] = [
        (("part", |it| it["part"] = json!([9, 3])), "says that it is part 9 of 3"),
        (("request", |it| it["origin"]["request"] = json!("Search(")), "sound request"),
        (("gearset", |it| it["origin"]["description"] = json!("Gearset(")), "sound request"),
    ];
    for ((name, edit), meant) in others {
        assert_not_merged(name, &[parts.edited(name, edit)], meant);
    }
    let renamed = parts.edited_from(&parts.counted, "renamed", |it| {
        it["excluded"][0]["requirement"] = json!("other");
        let other = it["part"][0] == json!(1);
        it["part"] = if other { json!([2, 3]) } else { json!([1, 3]) };
    });
    let original = parts.written("original.json", parts.counted.as_bytes());
    assert_not_merged("renamed", &[original, renamed], meant);
}

/// All results of all parts are held at once, and nothing bounded how many.
#[test]
fn parts_with_too_many_results_are_refused() {
    let parts = Parts::new("many");
    let none = json!({ "teeth": {}, "pins": {}, "measures": [], "modules": [] });
    let many = parts.edited("many", |it| it["results"] = vec![none.clone(); 60_000].into());
    let other = parts.edited("other", |it| it["results"] = vec![none.clone(); 60_000].into());
    assert_not_merged("many", &[many, other], "the parts hold more than 100000 results");
}

/// However many serve, each is told as it is made: as a line of JSON, or as its rows of CSV.
#[test]
fn all_results_are_told_one_by_one() {
    let all = |further: &[&str]| run_all(&with(&[&["--all"], further].concat()));
    let whole = json_of(&all(&["--format", "json"]));
    let told = all(&["--lines"]);
    assert_eq!(told.code, 0, "{}", told.stderr);
    let lines: Vec<Value> = told.stdout.lines().map(|line| serde_json::from_str(line).expect("it is JSON")).collect();
    let (account, results) = lines.split_last().expect("the account is the last");
    let results_of_whole = whole["results"].as_array().expect("a list");
    assert!(results_of_whole.len() > 5, "{}", results_of_whole.len());
    let numbered = results_of_whole.iter().enumerate();
    let expected: Vec<Value> = numbered.map(|(at, found)| json!({ "result": at + 1, "found": found })).collect();
    assert_eq!(results, expected);
    assert_eq!((&account["outcome"], &account["answer"]["results"]), (&json!("yes"), &json!([])));
    for key in ["count", "combinations", "excluded", "proven", "counted", "origin"] {
        assert_eq!(account["answer"][key], whole[key], "{key}");
    }

    let csv = all(&["--format", "csv"]).stdout;
    let mut rows = csv.lines();
    assert_eq!(rows.next(), Some("result,gear,teeth,objective"));
    let gears = results_of_whole[0]["teeth"].as_object().expect("counts").len();
    assert_eq!(rows.count(), results_of_whole.len() * gears);

    let nothing =
        run(&["search", "--all", "--lines", "--teeth", "L=17..25", "--teeth", "l=32..40", "--ratio", "low=9..10"]);
    let account: Value = serde_json::from_str(&nothing.stdout).expect("one line");
    assert_eq!((nothing.code, &account["outcome"]), (1, &json!("no")));
    assert!(!account["answer"]["near_misses"]["found"].as_array().expect("a list").is_empty(), "{account}");
    for refused in [["--lines", "--results=5"], ["--lines", "--format=json"]] {
        assert_eq!(run_all(&with(&refused)).code, 2);
    }
}

/// A part was read without a limit.
#[cfg(unix)]
#[test]
fn a_part_without_an_end_is_not_read_to_it() {
    let endless = run(&["merge", "/dev/zero"]);
    assert_eq!((endless.code, endless.stdout.as_str()), (2, ""));
    assert!(endless.stderr.contains("\"/dev/zero\" is too large for a part of a search"), "{}", endless.stderr);
}

/// Parts that were counted in one way and in another were said not to add up.
#[test]
fn parts_that_were_not_counted_are_told_and_merged() {
    let folder = folder("counted-otherwise");
    let counted = parts(&folder, 2, &[]);
    let whole = json_of(&merge(&counted));
    let uncounted = parts(&self::folder("not-counted"), 2, &["--count", "none"]);
    let mixed = merge(&[uncounted[0].clone(), counted[1].clone()]);
    assert_eq!(mixed.code, 0, "{}", mixed.stderr);
    assert!(mixed.stderr.contains(&format!("{} was not counted (--count none)", uncounted[0])), "{}", mixed.stderr);
    let merged = json_of(&mixed);
    assert_eq!(merged["results"], whole["results"]);
    assert_eq!((&merged["proven"], &merged["counted"]), (&json!(true), &json!("at least")));
    assert!(merged["count"].as_u64() <= whole["count"].as_u64(), "{merged}");
    let none = merge(&uncounted);
    assert!(none.code == 0 && none.stderr.is_empty(), "{}", none.stderr);
}

/// A part that had nothing to search was taken as counted, though its share of the count is another one: of 64 parts of a
/// small search five of six that serve were lost.
#[test]
fn many_parts_of_a_small_search_count_all_that_serve() {
    let folder = folder("many-parts");
    let asked = "search --gearset millrace-winch --teeth S=18..27 --teeth R=52..61 --teeth p=15..24 --marks radial";
    let asked: Vec<&str> = asked.split(' ').chain(["--results", "1", "--count", "exact"]).collect();
    let whole = json_of(&run(&[&asked[..], &["--format", "json"]].concat()));
    let part = |index: usize| {
        let part = run(&[&asked[..], &["--format", "json", "--part", &format!("{index}/64")]].concat());
        let path = folder.join(format!("part-{index}.json"));
        fs::write(&path, &part.stdout).expect("it can be written");
        (path.display().to_string(), json_of(&part))
    };
    let parts: Vec<(String, Value)> = (1..=64).map(part).collect();
    let sum = |of: fn(&Value) -> &Value| parts.iter().filter_map(|(_, part)| of(part).as_u64()).sum::<u64>();
    assert!(parts.iter().any(|(_, part)| part["combinations"] == 0), "some have nothing to search");
    assert_eq!(Some(sum(|part| &part["combinations"])), whole["combinations"].as_u64());
    assert_eq!(Some(sum(|part| &part["counting"]["combinations"])), whole["combinations"].as_u64());
    assert_eq!(Some(sum(|part| &part["count"])), whole["count"].as_u64());
    let merged = merge(&parts.into_iter().map(|(path, _)| path).collect::<Vec<_>>());
    assert_eq!((merged.code, merged.stderr.as_str()), (0, ""));
    let merged = json_of(&merged);
    assert_alike(&merged, &whole);
    assert_eq!((&merged["counted"], &merged["count"]), (&json!("all"), &whole["count"]));
}

/// Every count of every range was put in a list: of 20,000 wide ranges 200 million, for minutes.
#[test]
fn many_ranges_that_overlap_are_one() {
    let path = folder("many-ranges").join("request.ron");
    let ranges = "(18, 9000), 19, (5, 20), ".repeat(10_000);
    let request = |counts: &str| {
        let text = format!("Search(gearset: \"millrace-winch\", teeth: {{\"S\": OneOf([{counts}])}}, most_parts: 1)");
        fs::write(&path, text).expect("it can be written");
        let mut answer = json_of(&run(&["search", &path.display().to_string(), "--format", "json"]));
        answer.as_object_mut().expect("an object").remove("origin");
        answer
    };
    assert_eq!(request(&ranges), request("(5, 9000)"));
}

/// A part of more parts than there can be was told with the number from which the engine counts, 0, and without its flag; a
/// range of the stock that was turned round was told as one of a gear named "the stock".
#[test]
fn parts_and_stock_that_cannot_be_are_told_as_they_were_typed() {
    let parts = run_all(&with(&["--part", "1/65537"]));
    assert_eq!(parts.code, 2);
    assert!(parts.stderr.contains("--part: \"1/65537\" is not a part"), "{}", parts.stderr);
    assert!(parts.stderr.contains("65536 at most"), "{}", parts.stderr);
    let stock = run_all(&with(&["--stock", "18..22,9..5"]));
    assert_eq!(stock.code, 2);
    assert!(stock.stderr.contains("--stock: from 9 to 5 teeth is no range of counts"), "{}", stock.stderr);
    assert!(!stock.stderr.contains("gear"), "{}", stock.stderr);
}

/// Where every account closes, the whole still has to: what serves is listed, or beaten by what is listed.
#[test]
fn more_that_serve_than_are_listed_or_beaten_are_refused() {
    let folder = folder("too-many");
    let paths = parts(&folder, 2, &["--results", "3"]);
    assert_eq!(merge(&paths).code, 0);
    let mut value: Value = serde_json::from_str(&fs::read_to_string(&paths[0]).expect("it was written")).expect("JSON");
    let count = value["count"].as_u64().expect("a few") + value["counting"]["excluded"].as_u64().expect("some");
    value["count"] = json!(count);
    value["counting"]["excluded"] = json!(0);
    fs::write(&paths[0], value.to_string()).expect("it can be written");
    let wrong = merge(&paths);
    assert!(wrong.code == 2 && wrong.stderr.contains("the parts do not add up"), "{} {}", wrong.stdout, wrong.stderr);
}

#[test]
fn gnu_parallel_searches_in_parts() {
    let asked = Command::new("parallel").arg("--version").stdin(Stdio::null()).output();
    if !asked.is_ok_and(|version| String::from_utf8_lossy(&version.stdout).starts_with("GNU parallel")) {
        assert!(std::env::var("TOOTHMARK_PARALLEL").as_deref() != Ok("required"), "there is no GNU parallel");
        // Not by a macro: what those print is kept back where a test succeeds.
        writeln!(std::io::stderr(), "SKIPPED, no GNU parallel").expect("standard error is open");
        return;
    }
    let folder = folder("parallel");
    let request = folder.join("request.ron");
    fs::write(&request, REQUEST).expect("it can be written");
    let line = format!(
        "{} search request.ron --part {{}}/2 --threads 1 --format json > part-{{}}.json",
        env!("CARGO_BIN_EXE_toothmark")
    );
    let done =
        Command::new("parallel").current_dir(&folder).args([&line, ":::", "1", "2"]).stdin(Stdio::null()).output();
    let done = done.expect("it was there");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let paths = [1, 2].map(|part| folder.join(format!("part-{part}.json")).display().to_string());
    let whole = run(&["search", &request.display().to_string(), "--format", "json"]);
    assert_alike(&json_of(&merge(&paths)), &json_of(&whole));
}

/// The script of the manual, run for every number as the queue runs it (tried once on the queue that Debian 12 packages): handed
/// in again it does what a kill has left.
#[cfg(unix)]
#[test]
fn an_array_of_jobs_searches_in_parts_and_goes_on_after_a_kill() {
    let chapter = toothmark::manual::chapters().iter().find(|chapter| chapter.text.contains("#SBATCH"));
    let text = chapter.expect("the manual has the script").text;
    let script = text.split("```lines search.sh\n").nth(1).expect("a block").split("```").next().expect("its lines");
    let folder = folder("array");
    fs::write(folder.join("search.sh"), script).expect("it can be written");
    fs::write(folder.join("request.ron"), REQUEST).expect("it can be written");
    let program = Path::new(env!("CARGO_BIN_EXE_toothmark")).parent().expect("it is in a folder");
    let path = format!("{}:/usr/bin:/bin", program.display());
    let run_job = |number: usize| {
        let mut job = Command::new("sh");
        job.arg("search.sh").current_dir(&folder).env("PATH", &path).env("SLURM_ARRAY_TASK_ID", number.to_string());
        assert!(job.status().expect("there is a shell").success(), "job {number}");
    };
    let parts = |numbers: std::ops::RangeInclusive<usize>| -> Vec<String> {
        numbers.map(|number| folder.join(format!("part-{number}.json")).display().to_string()).collect()
    };
    (1..=64).filter(|number| number % 3 != 0).for_each(run_job);
    // One was killed while it wrote.
    fs::write(folder.join("part-3.json.new"), "{\"complete\": ").expect("it can be written");
    let first = fs::metadata(&parts(1..=1)[0]).and_then(|file| file.modified()).expect("it is there");
    (1..=64).for_each(run_job);
    assert_eq!(fs::metadata(&parts(1..=1)[0]).and_then(|file| file.modified()).ok(), Some(first), "done once");
    let whole = run(&["search", &folder.join("request.ron").display().to_string(), "--format", "json"]);
    assert_alike(&json_of(&merge(&parts(1..=64))), &json_of(&whole));
}

/// A small request: the quarry hub with another cluster.
const REQUEST: &str = r#"Search(
    gearset: "quarry-wheel-hub",
    teeth: { "S": (18, 22), "large": (38, 42), "small": (14, 18), "R": (74, 78) },
    ratios: { "ring held": Between("10", "11") },
    room: "1/4",
)
"#;

/// Whether a process takes care of SIGINT itself, as soon as it does (Linux).
#[cfg(target_os = "linux")]
fn catches_interrupts(process: u32) -> bool {
    let status = fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigCgt:")).unwrap_or("0").trim().to_owned();
    u64::from_str_radix(&mask, 16).is_ok_and(|mask| mask & 0b10 != 0)
}

/// The answer is there before a count of hours begins, and Ctrl-C ends the count alone.
#[cfg(target_os = "linux")]
#[test]
fn a_count_is_ended_and_the_answer_stands() {
    let mut long: Vec<String> = ["D", "L", "R", "d", "l", "r"].map(|gear| format!("--teeth={gear}=12..400")).to_vec();
    long.extend(["--ratio=low=2.7..2.9", "--results=1", "--count=exact"].map(String::from));
    let arguments: Vec<&str> = ["search"].into_iter().chain(long.iter().map(String::as_str)).collect();
    let mut child = command(&arguments).stdout(Stdio::piped()).spawn().expect("the program starts");
    let mut output = BufReader::new(child.stdout.take().expect("it is piped"));
    let mut told = String::new();
    while !told.contains("The best, proven") {
        assert_ne!(output.read_line(&mut told).expect("it is text"), 0, "{told}");
    }
    let sent = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(sent.expect("kill is there").success());
    output.read_to_string(&mut told).expect("it is text");
    assert_eq!(child.wait().expect("it ends").code(), Some(0), "{told}");
    assert!(told.contains("\nCounted: At least "), "{told}");
}

#[cfg(target_os = "linux")]
#[test]
fn signals_end_a_long_search_with_what_it_has() {
    for (format, signal) in [("json", "-INT"), ("text", "-TERM"), ("json", "-HUP")] {
        let mut long = vec!["search".to_owned(), "--format".into(), format.into(), "--margin=1/40".into()];
        for gear in ["D", "L", "R", "d", "l", "r"] {
            long.push(format!("--teeth={gear}=12..400"));
        }
        long.extend(["--ratio=low=2.8139".to_owned(), "--sums-within=9".to_owned()]);
        let mut child = command(&long.iter().map(String::as_str).collect::<Vec<_>>())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        while !catches_interrupts(child.id()) {
            assert!(child.try_wait().expect("it can be asked").is_none(), "it is still at work");
            std::thread::yield_now();
        }
        let sent = Command::new("kill").args([signal, &child.id().to_string()]).status();
        assert!(sent.expect("kill is there").success());
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(output.status.code(), Some(1), "{signal}: {}", String::from_utf8_lossy(&output.stderr));
        let text = String::from_utf8(output.stdout).expect("it is UTF-8");
        if format == "json" {
            let json: Value = serde_json::from_str(&text).expect("it is whole");
            assert_eq!(json["complete"], false);
            assert_ne!(json["undecided"], 0);
        } else {
            assert!(text.contains("NOT proven") && !text.contains("At least 0"), "{text}");
            assert!(!text.contains("Near misses"), "{text}");
        }
    }
}

#[test]
fn results_are_written_as_descriptions_that_give_the_listed_ratios() {
    let folder = folder("write");
    let results = folder.join("results");
    let path = results.display().to_string();
    let found = run_all(&with(&["--results", "4", "--format", "json", "--write", &path]));
    assert_eq!(found.code, 0, "{}", found.stderr);
    let listed = json_of(&found)["results"].as_array().expect("a list").clone();
    assert!(listed.len() >= 4);
    for (place, listed) in listed.iter().enumerate() {
        let source = fs::read_to_string(results.join(format!("result-{}.ron", place + 1))).expect("it was written");
        let set = description::read(&source).expect("it reads in again");
        let low = format!("L {}", listed["teeth"]["L"]);
        let is_told = set.title().contains(&low) || listed["teeth"]["L"] == json!(20);
        assert!(set.title().starts_with("Works inspection railcar") && is_told, "{}", set.title());
        for (gear, teeth) in listed["teeth"].as_object().expect("names") {
            let id = set.gear_named(gear).expect("it is there");
            assert_eq!(json!(set.gear(id).tooth_count().get()), *teeth);
        }
        let motions = motions(&set);
        for (state, ratio) in listed["ratios"].as_object().expect("names") {
            let motion = motions.iter().find(|motion| motion.state == *state).expect("it is there");
            assert_eq!(json!(motion.verdict.ratio().expect("it drives").to_string()), ratio["fraction"]);
        }
    }
    let again = run_all(&with(&["--results", "4", "--write", &path]));
    assert!(again.code == 2 && again.stderr.contains("is there already"), "{}", again.stderr);
    let forced = run_all(&with(&["--results", "4", "--format", "json", "--write", &path, "--force"]));
    assert_eq!((forced.code, forced.stdout), (0, found.stdout), "{}", forced.stderr);
}

#[test]
fn the_keys_of_the_json_are_as_promised() {
    let json = json_of(&run_all(&with(&["--format", "json", "--results", "1"])));
    let keys = |value: &Value| value.as_object().expect("an object").keys().cloned().collect::<Vec<_>>();
    let all = [
        "complete",
        "combinations",
        "visited",
        "count",
        "results",
        "goals",
        "beaten",
        "undecided",
        "excluded",
        "part",
        "origin",
    ];
    assert_eq!(keys(&json)[..all.len()], all);
    assert_eq!(keys(&json["results"][0])[..6], ["teeth", "pins", "ratios", "objective", "measures", "modules"]);
    assert_eq!(json["results"][0]["pins"], json!({ "cluster": 3 }));
    assert_eq!(json["results"][0]["measures"], json!([json["results"][0]["objective"]]));
    assert_eq!(keys(&json["results"][0]["objective"]), ["fraction", "decimal"]);
    assert_eq!(json["combinations"], 9 * 9 * 7 * 7);
    let csv = run_all(&with(&["--format", "csv", "--results", "1"])).stdout;
    assert!(csv.starts_with("result,gear,teeth,objective\n1,L,"), "{csv}");
}

#[test]
fn the_number_of_threads_and_of_results_changes_no_answer() {
    let more = |further: &[&str]| json_of(&run_all(&with(&[&["--sums-within=3", "--format=json"], further].concat())));
    let one = more(&["--threads", "1"]);
    assert_eq!(one, more(&["--threads", "3"]));
    let all = more(&["--all"]);
    let all = all["results"].as_array().expect("a list");
    assert_eq!(json!(all.len()), one["count"]);
    let ten = one["results"].as_array().expect("a list");
    assert!(ten.len() >= 10 && ten.len() < all.len());
    assert_eq!(ten[..], all[..ten.len()], "the best first");
}

fn shown(name: &str, columns: &str, arguments: &[&str]) {
    let mut program = command(&[arguments, &["--full"]].concat());
    program.env("COLUMNS", columns);
    let answer = run_with(program, b"");
    assert!(answer.code < 2, "{}", answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, answer.stdout);
    });
}

#[test]
fn a_search_shows_the_best_the_proof_and_what_excluded_the_rest() {
    let best = [&ASKED[..], &["--results", "3"]].concat();
    shown("search-best", "100", &best);
    shown("search-best-narrow", "48", &best);
    let pair = ["search", "--teeth=L=15..30", "--teeth=l=27..42", "--ratio=low=2.5", "--keep-pin-circle"];
    shown("search-compare", "100", &[&pair[..], &["--results", "1", "--compare"]].concat());
    let near = ["search", "--teeth=L=19..21", "--teeth=l=33..38", "--ratio=low=2..2.75", "--margin=1/8"];
    shown("search-near-misses", "100", &near);
    let nothing = ["search", "--teeth=L=19..21", "--teeth=l=36..38", "--ratio=low=2.7..2.75", "--margin=1/4"];
    shown("search-nothing", "100", &nothing);
}

#[test]
fn a_request_written_out_reads_in_as_the_same() {
    let mut text = RequestText::default();
    assert_eq!(RequestText::read(&text.write()), Ok(text.clone()));
    text.gearset = Some("say \"when\".ron".into());
    text.allow_teeth("L", 15, 30);
    text.allow_teeth("größer\n", 25, 45);
    text.allow_counts("R", [(18, 18), (20, 28)]);
    text.stock = vec![(12, 12).into(), (18, 40).into()];
    text.kept = vec!["low drum".into()];
    text.tell_cost("cluster", 3);
    text.most_cost = Some(5.into());
    text.allow_pins("cluster", vec![3, 4]);
    for (state, wish) in [("low", "11/4"), ("reverse", "-3..-2"), ("a", "largest"), ("b", "smallest")] {
        text.wish_ratio(state, wish).expect("numbers");
    }
    for wish in ["2.5", "2..3", "..4", "0.9..", "largest"] {
        let wish: Spanned<Wish> = wish.parse::<Wish>().expect("a wish").into();
        text.wish_value(WantedValue::Step("low".into(), "direct".into(), wish.clone()));
        text.wish_value(WantedValue::Spread(wish.clone()));
        text.wish_value(WantedValue::Speed("cluster".into(), wish.clone(), None));
        text.wish_value(WantedValue::Torque("low band".into(), wish.clone(), Some("low".into())));
        text.wish_value(WantedValue::Efficiency(wish, Some("low".into())));
    }
    text.mesh_efficiency = Some(fraction(49, 50).into());
    text.marks = MarksWanted::Parallel;
    text.margin = Some(fraction(1, 20).into());
    text.room = Some(fraction(-1, 2).into());
    text.fewest_teeth = Some(17.into());
    text.most_parts = Some(3.into());
    text.goals = vec![Goal::FewestTeeth, Goal::FewestParts, Goal::LeastCost];
    for shared in
        [CenterDistances::Equal, CenterDistances::Within(fraction(3, 2)), CenterDistances::Kept, CenterDistances::Free]
    {
        text.center_distances = shared.into();
        assert_eq!(RequestText::read(&text.write()), Ok(text.clone()), "{}", text.write());
    }
}

/// A request that is wrong, a part of what is said, and a part of the hint.
type Wrong = (Vec<u8>, &'static str, &'static str);

fn wrong_requests() -> Vec<Wrong> {
    let teeth = "teeth: { \"L\": (15, 30) }";
    let within = |rest: &str| format!("Search({teeth}, {rest})").into_bytes();
    let whole = |text: &str| text.as_bytes().to_vec();
    vec![
        (whole("Search(teeth: { \"LL\": (15, 30) })"), "there is no gear \"LL\"", "did you mean \"L\"?"),
        (whole("Search(teeth: { \"zzzz\": (15, 30) })"), "there is no gear \"zzzz\"", "\"D\", \"L\", \"R\""),
        (within("ratios: { \"loww\": Largest }"), "there is no state \"loww\"", "did you mean \"low\"?"),
        (within("ratios: { \"neutral\": Largest }"), "in state \"neutral\" the output is not driven", "drives"),
        (within("pins: { \"clusters\": [3] }"), "there is no planet \"clusters\"", "did you mean \"cluster\"?"),
        (within("pins: { \"cluster\": [0, 3] }"), "cannot have 0 pins", "from 1 to 100"),
        (within("pins: { \"cluster\": [-3] }"), "cannot have -3 pins", "from 1 to 100"),
        (within("pins: { \"cluster\": [] }"), "is to have no pins", "[3, 4]"),
        (whole("Search(teeth: { \"L\": (30, 15) })"), "from 30 to 15 teeth", "the fewest teeth first"),
        (whole("Search(teeth: { \"L\": (0, 15) })"), "0 is not a number of teeth", "from 1 to"),
        (whole("Search(teeth: { \"L\": (1, 99999999) })"), "99999999 is not a number of teeth", "from 1 to"),
        (whole("Search(teeth: { \"L\": (15, 30), \"L\": (15, 20) })"), "gear \"L\" is named twice", "leave one"),
        (within("ratios: { \"low\": Largest, \"low\": Smallest }"), "state \"low\" is named twice", "leave one"),
        (within("teeth: {}"), "the field \"teeth\" is given twice", "leave one"),
        (whole("Search()"), "no gear is named", "name gears"),
        (
            within("ratios: { \"low\": Near(\"0\") }"),
            "what is wanted of the ratio of state \"low\" cannot be",
            "other than 0",
        ),
        (within("ratios: { \"low\": Between(\"3\", \"2\") }"), "cannot be", "from the lower to the higher"),
        (within("ratios: { \"low\": Near() }"), "the ratio that is wanted is missing", "Near(2.75)"),
        (within("ratios: { \"low\": Near(\"two\") }"), "a number belongs here, not \"two\"", "in quotes"),
        (within("ratios: { \"low\": Near(\"1/0\") }"), "a number belongs here, not \"1/0\"", "in quotes"),
        (within("margin: \"-1/4\""), "-1/4 is below 0", "0 or a number above it"),
        (within("center_distances: Within(\"-1\")"), "-1 is below 0", "0 or a number above it"),
        (within("center_distances: Within(\"x\")"), "a number belongs here, not \"x\"", "in quotes"),
        (within("colour: 3"), "a request has no field \"colour\"", "the fields are"),
        (within("goals: [Cheapest]"), "Cheapest is not one of the words", "FewestParts, FewestTeeth or LeastCost"),
        (within("gearset: \"no-such-file.ron\""), "there is no such file", "name a file"),
        (whole("Search(teeth: 3)"), "the list of gears that may change in braces belongs here", "(15, 30)"),
        (whole("Gearset()"), "a request begins with Search(", "--gearset"),
        (whole("  \n"), "the file is empty", "write Search("),
        (vec![b'S', 0xff, 0xfe], "not UTF-8", "plain text"),
        (vec![b' '; LARGEST_FILE + 1], "larger than", "of a request"),
        (whole(&"(".repeat(100_000)), "brackets are nested too deep", "half a dozen"),
    ]
}

fn wrong_values_and_counts() -> Vec<Wrong> {
    let within = |rest: &str| format!("Search(teeth: {{ \"L\": (15, 30) }}, {rest})").into_bytes();
    let whole = |text: &str| text.as_bytes().to_vec();
    vec![
        (whole("Search(teeth: { \"L\": OneOf([]) })"), "a count of a list that holds none", "OneOf([18, 20"),
        (whole("Search(teeth: { \"L\": OneOf([18, 0]) })"), "0 is not a number of teeth", "from 1 to"),
        (whole("Search(teeth: { \"L\": OneOf([(30, 18)]) })"), "from 30 to 18 teeth", "the fewest teeth first"),
        (whole("Search(teeth: { \"L\": [15, 30] })"), "the fewest and the most teeth belongs here", "(15, 30)"),
        (whole("Search(teeth: { \"L\": (25, 30) }, stock: [12, 13, (40, 50)])"), "in the stock", "add to the stock"),
        (within("kept: [\"clutser\"]"), "there is no member \"clutser\"", "did you mean \"cluster\"?"),
        (within("costs: { \"cluster\": -3 }"), "-3 is not a cost", "from 0 to"),
        (within("costs: { \"cluster\": 3, \"cluster\": 4 }"), "member \"cluster\" is named twice", "leave one"),
        (
            within("values: [Step(\"low\", \"driect\", Near(2))]"),
            "there is no state \"driect\"",
            "did you mean \"direct\"?",
        ),
        (within("values: [Speed(\"custer\", AtMost(4))]"), "there is no member \"custer\"", "\"cluster\"?"),
        (within("values: [Torque(\"low bnad\", AtMost(4))]"), "there is no band or clutch", "\"low band\"?"),
        (
            within("values: [Torque(\"low band\", AtMost(4), \"reverse\")]"),
            "the torque of low band in reverse cannot be told",
            "wish",
        ),
        (within("values: [Efficiency(AtLeast(0.9))]"), "no mesh has an efficiency", "--mesh-efficiency 0.98"),
        (
            within("values: [Efficiency(Near(0.9))], mesh_efficiency: 0.98"),
            "what is wanted of the efficiency cannot be",
            "a window alone",
        ),
        (within("values: [Spread(Near(-3))]"), "what is wanted of the spread cannot be", "a target above 0"),
        (
            within("values: [Spread(AtMost(3)), Spread(AtLeast(2))]"),
            "the window of the spread is told twice",
            "leave one",
        ),
        (
            within("values: [Speed(\"flywheel\", Near(2))]"),
            "nothing that may change is in the speed of flywheel",
            "leave the wish out",
        ),
        (within("mesh_efficiency: 98"), "98 is not the efficiency of a mesh", "0.98"),
    ]
}

#[test]
fn wrong_requests_say_what_is_wrong_and_what_to_write() {
    let folder = folder("wrong");
    let path = folder.join("request.ron");
    let request = path.display().to_string();
    for (text, meant, hint) in [wrong_requests(), wrong_values_and_counts()].concat() {
        fs::write(&path, &text).expect("it can be written");
        let wrong = run(&["search", &request]);
        let text = String::from_utf8_lossy(&text[..text.len().min(80)]).into_owned();
        assert_eq!(wrong.code, 2, "{text}: {} {}", wrong.stdout, wrong.stderr);
        let hinted = wrong.stderr.split_once("hint: ").unwrap_or_else(|| panic!("{text}: {}", wrong.stderr)).1;
        assert!(wrong.stderr.contains(meant) && hinted.contains(hint), "{text}: {}", wrong.stderr);
        assert_eq!(wrong.stdout, "", "{text}");
    }
}

/// Nobody was told that a target which was typed lies outside of a window in the file.
#[test]
fn what_stands_against_something_else_is_told_with_both() {
    let request = folder("against").join("request.ron").display().to_string();
    let text = "Search(\n    gearset: \"inspection-railcar\",\n    teeth: { \"L\": (15, 30), \"l\": (27, 42) },\n    \
                ratios: { \"low\": Near(2.5) },\n)\n";
    fs::write(&request, text).expect("it can be written");
    let asked = |flags: &[&str]| run(&[&["search", &request, "--format=json"], flags].concat());
    let against = asked(&["--ratio=low=3..3.5", "--keep=low drum", "--fewest-teeth=43"]);
    for told in [
        format!("the target of low lies outside its window (line 4 of {request}, --ratio)"),
        format!("L may change, and low drum with it is to stay (line 3 of {request}, --keep)"),
        format!("l is to have 42 teeth at most, and 43 at least (line 3 of {request}, --fewest-teeth)"),
    ] {
        assert!(against.stderr.contains(&told), "{told}: {}", against.stderr);
    }
    let inside = asked(&["--ratio=low=2..3", "--keep=reverse drum", "--fewest-teeth=14"]);
    assert_eq!(inside.stderr, "");
    let typed = run(&["search", "--teeth=L=15..30", "--ratio=low=2.5", "--ratio=low=3..3.5"]);
    assert!(typed.stderr.contains("the target of low lies outside its window (--ratio)"), "{}", typed.stderr);
    let signs = run(&["search", "--teeth=R=27..33", "--teeth=r=24..30", "--ratio=reverse=2", "--ratio=reverse=-3..-1"]);
    assert!(!signs.stderr.contains("outside"), "{}", signs.stderr);
}

/// Flags beside a request were refused: whoever wanted one number changed had to edit the file, or type all of it.
#[test]
fn flags_are_added_to_a_request() {
    let folder = folder("flags");
    let path = folder.join("request.ron");
    let text = "Search(\n    gearset: \"inspection-railcar\",\n    teeth: { \"L\": (15, 30), \"l\": (27, 42) },\n    \
                ratios: { \"low\": Near(2.5) },\n    most_parts: 3,\n)\n";
    fs::write(&path, text).expect("it can be written");
    let request = path.display().to_string();
    let asked = |flags: &[&str]| run(&[&["search", &request, "--format=json"], flags].concat());
    let results = |run: &Run| json_of(run)["results"].clone();
    let alone = |flags: &[&str]| results(&run(&[&["search", "--format=json"], flags].concat()));

    let added = asked(&["--most-parts=2", "--ratio=low=2.6..2.7", "--teeth=l=30..42", "--keep-pin-circle"]);
    let typed = [
        "--teeth=L=15..30",
        "--teeth=l=30..42",
        "--ratio=low=2.5",
        "--ratio=low=2.6..2.7",
        "--most-parts=2",
        "--keep-pin-circle",
    ];
    assert_eq!(results(&added), alone(&typed), "{}", added.stderr);
    assert!(
        added.stderr.contains(&format!("--teeth for l is taken in place of line 3 of {request}")),
        "{}",
        added.stderr
    );
    assert!(
        added.stderr.contains(&format!("--most-parts is taken in place of line 5 of {request}")),
        "{}",
        added.stderr
    );
    assert!(!added.stderr.contains("--ratio for"), "a window beside a target: {}", added.stderr);
    let same = asked(&["--teeth=L=15..30"]);
    assert_eq!(same.stderr, "", "what says the same takes no place");

    fs::write(&path, text.replace("most_parts: 3", "values: [Torque(\"low band\", AtMost(2))]"))
        .expect("it can be written");
    let valued = asked(&["--torque=low band=..1.5", "--keep=reverse drum"]);
    let note = format!("--torque for the window of the torque of low band is taken in place of line 5 of {request}");
    assert!(valued.code == 0 && valued.stderr.contains(&note), "{}", valued.stderr);
    let torque = |found: &Value| found["values"][0]["value"]["decimal"].as_f64();
    let torques: Vec<Option<f64>> = results(&valued).as_array().expect("a list").iter().map(torque).collect();
    assert!(
        !torques.is_empty() && torques.iter().all(|torque| torque.is_some_and(|torque| torque <= 1.5)),
        "{torques:?}"
    );
    fs::write(&path, text).expect("it can be written");

    let other = asked(&["--gearset", "village-bus-automatic"]);
    assert!(other.code == 2 && other.stderr.contains("there is no gear"), "{}", other.stderr);
    let hub = ["--gearset=quarry-wheel-hub", "--teeth=S=18..22", "--teeth=R=74..78"];
    let stocked = folder.join("stock.ron");
    fs::write(&stocked, "Search(stock: [18, 20, 74, 76, 78])").expect("it can be written");
    let stocked = stocked.display().to_string();
    let with_file = run(&[&["search", &stocked, "--format=json"], &hub[..]].concat());
    let with_flag = [&hub[..], &["--stock=18,20,74,76,78"]].concat();
    assert_eq!(results(&with_file), alone(&with_flag), "{}", with_file.stderr);
}

/// What is wrong is told with its flag or its line.
#[test]
fn what_is_wrong_with_flags_or_a_file_is_told_with_its_place() {
    let request = folder("wrong-flags").join("request.ron").display().to_string();
    let text = "Search(\n    gearset: \"inspection-railcar\",\n    teeth: { \"L\": (15, 30), \"l\": (27, 42) },\n    \
                ratios: { \"low\": Near(2.5) },\n)\n";
    fs::write(&request, text).expect("it can be written");
    let asked = |flags: &[&str]| run(&[&["search", &request, "--format=json"], flags].concat());
    let wrong = asked(&["--teeth=LL=15..30", "--cost=custer=3"]);
    assert_eq!((wrong.code, wrong.stdout.as_str()), (2, ""));
    assert!(wrong.stderr.contains("--teeth: there is no gear \"LL\""), "{}", wrong.stderr);
    assert!(wrong.stderr.contains("--cost: there is no member \"custer\""), "{}", wrong.stderr);
    fs::write(&request, text.replace("\"low\"", "\"lwo\"")).expect("it can be written");
    let both = asked(&["--teeth=LL=15..30"]);
    assert!(both.stderr.contains(&format!("{request}, line 4: there is no state \"lwo\"")), "{}", both.stderr);
    assert!(both.stderr.contains("--teeth: there is no gear \"LL\""), "{}", both.stderr);
}

/// That nothing is in the stock was shown at the gear, not at the stock.
#[test]
fn a_stock_that_holds_nothing_is_shown_where_it_stands() {
    let request = folder("no-stock").join("request.ron").display().to_string();
    let text = "Search(\n    gearset: \"barn-hoist-three-centre\",\n    teeth: { \"A\": (200, 210) },\n    stock: [5, 6],\n)\n";
    let gear = description::read(description::example("barn-hoist-three-centre").unwrap()).unwrap();
    let gear = gear.gears()[0].name().to_owned();
    fs::write(&request, text.replace("\"A\"", &format!("{gear:?}"))).expect("it can be written");
    let wrong = run(&["search", &request]);
    assert_eq!(wrong.code, 2, "{}", wrong.stdout);
    assert!(wrong.stderr.contains(&format!("{request}:4:13")), "{}", wrong.stderr);
    let typed =
        run(&["search", "--gearset", "barn-hoist-three-centre", &format!("--teeth={gear}=200..210"), "--stock=5"]);
    assert!(typed.stderr.starts_with("error: --stock: none of the counts"), "{}", typed.stderr);
}

/// A goal that was told twice made two, so that results were compared in both.
#[test]
fn a_goal_that_is_told_twice_is_one() {
    let asked = |goals: &[&str]| {
        let goals: Vec<String> = goals.iter().map(|goal| format!("--goal={goal}")).collect();
        let teeth = ["search", "--teeth=L=18..22", "--teeth=l=35..39", "--format=json"];
        json_of(&run(&teeth.into_iter().chain(goals.iter().map(String::as_str)).collect::<Vec<_>>()))
    };
    let twice = asked(&["fewest-teeth", "fewest-parts", "fewest-teeth"]);
    assert_eq!(twice["goals"], json!(["fewest teeth", "fewest parts changed"]));
    assert_eq!(asked(&["fewest-teeth", "fewest-teeth"])["results"], asked(&["fewest-teeth"])["results"]);
}

/// A window that no count which may change can bear on, and that is met, was dropped without a word.
#[test]
fn a_wish_that_is_met_whatever_is_found_is_told() {
    let asked =
        ["search", "--teeth=R=30..32", "--speed=cluster in low=..9", "--torque=low band=..9", "--ratio=low=2..3"];
    let told = run(&asked).stdout;
    assert!(told.contains("These wishes are met whatever these counts are"), "{told}");
    let json = json_of(&run(&[&asked[..], &["--format=json"]].concat()));
    let names: Vec<&str> =
        json["wishes_fixed"].as_array().unwrap().iter().filter_map(|it| it["name"].as_str()).collect();
    assert_eq!(names, ["ratio of low", "speed of cluster in low", "torque of low band in low"]);
    assert_eq!(json["wishes_fixed"][0]["value"]["fraction"], "481/171");
    let open = json_of(&run(&["search", "--teeth=L=19..21", "--speed=cluster in low=..9", "--format=json"]));
    assert_eq!(open["wishes_fixed"], json!([]));
}

/// How many serve and how many are listed agree for every gearset there is, with everything that is described of it.
#[test]
fn counts_and_results_agree_for_every_gearset() {
    for example in description::examples() {
        let set = description::read(example.text).expect("an example is sound");
        let ranges = set.gears().iter().take(2).map(|gear| {
            let teeth = i64::from(gear.tooth_count().get());
            format!("--teeth={}={}..{}", gear.name(), (teeth - 2).max(1), teeth + 2)
        });
        let ranges: Vec<String> = ranges.collect();
        let words: Vec<&str> = ["search", "--gearset", example.name, "--all", "--sums-within=9", "--format=json"]
            .into_iter()
            .chain(ranges.iter().map(String::as_str))
            .collect();
        let json = json_of(&run(&words));
        assert_eq!(json["complete"], true, "{}", example.name);
        assert_eq!(
            json["results"].as_array().map(Vec::len),
            json["count"].as_u64().map(|count| usize::try_from(count).unwrap()),
            "{}",
            example.name
        );
    }
}

#[test]
fn wrong_arguments_are_named() {
    let arguments = [
        (vec!["search", "--pins", "cluster=3,120"], "from 1 to 100"),
        (vec!["search", "--teeth", "L=18..22,l=35..39"], "repeat it: --teeth L=18..22 --teeth l=35..39"),
        (vec!["search", "--pins", "cluster=3,planet=4"], "repeat it: --pins cluster=3 --pins planet=4"),
        // The message named a whole group of flags, or said that the value was no flag.
        (vec!["search", "--teeth", "L=15..20", "--spread", "3", "--spread", "4"], "error: --spread: the target of the"),
        (vec!["search", "--teeth", "L=15..20", "--sums-within", "-1"], "error: --sums-within: -1 is below 0"),
        (vec!["search", "--teeth", "L=15..20", "--by-shift", "-1"], "error: --by-shift: -1 is below 0"),
        (vec!["search", "--teeth", "L=15..20", "--least-shift", "9"], "error: --least-shift: 9 is out of all"),
        (vec!["search", "--teeth", "L=15..20", "--contact-ratio", "9"], "error: --contact-ratio: 9 is out of all"),
        (vec!["search", "--teeth", "L=15..20", "--memory", "7"], "--memory: \"7\" is not an amount of memory"),
        (vec!["search", "--modules", "L with l=2,5000"], "a module of 5000, which is out of all proportion"),
        (vec!["search", "no-such-request.ron"], "there is no such file"),
        (vec!["search", "."], "is a folder"),
        (vec!["search", "--teeth", "L"], "--teeth: \"L\" is not a range of teeth"),
        (vec!["search", "--teeth", "LL=15..20"], "--teeth: there is no gear \"LL\""),
        (vec!["search", "--teeth", "L=15..20", "--stock", "18;20"], "--stock: \"18;20\" is not a list of counts"),
        (vec!["search", "--teeth", "L=15..20", "--keep", "drum"], "--keep: there is no member \"drum\""),
        (vec!["search", "--teeth", "L=15..20", "--cost", "cluster"], "--cost: \"cluster\" is not what a member costs"),
        (vec!["search", "--teeth", "L=15..20", "--margin", "x"], "--margin: "),
        (vec!["search", "--teeth", "L=15..20", "--step", "low=2"], "--step: \"low=2\" is not a wish"),
        (
            vec!["search", "--teeth", "L=15..20", "--torque", "reverse band=..2"],
            "--torque: nothing that may change is in",
        ),
        (vec!["search", "--teeth", "L=15..20", "--speed", "custer=..2"], "--speed: there is no member \"custer\""),
        (vec!["search", "--teeth", "L=15..20", "--speed", "cluster=fast"], "--speed: \"fast\" is not a value"),
        (vec!["search", "--teeth", "L=15..20", "--ratio", "low"], "--ratio: \"low\" is not a wish for a ratio"),
        (vec!["search", "--teeth", "L=15..20", "--ratio", "reverse=-2"], "--ratio: nothing that may change"),
        (vec!["search", "--teeth", "L=15..20", "--teeth", "L=15..20"], "--teeth: gear \"L\" is named twice"),
        (vec!["search", "--pins", "cluster=3", "--pins", "cluster=4"], "--pins: planet \"cluster\" is named twice"),
        (vec!["search", "--teeth", "L=15..20", "--pins", "cluster"], "--pins: \"cluster\" is not a choice of pins"),
        (vec!["search", "--teeth", "L=15..20", "--part", "3/2"], "is not a part"),
        (vec!["search", "--teeth", "L=15..20", "--part", "0/2"], "is not a part"),
        (vec!["search", "--teeth", "L=15..20", "--results", "0"], "--results"),
        (vec!["search", "--teeth", "L=15..20", "--sums-within", "1", "--keep-pin-circle"], "--keep-pin-circle"),
        (vec!["search", "--teeth", "L=15..20", "--compare", "--format", "json"], "a comparison is for people"),
        (vec!["search"], "no gear is named"),
    ];
    for (arguments, meant) in arguments {
        let wrong = run(&arguments);
        assert_eq!(wrong.code, 2, "{arguments:?}: {}", wrong.stderr);
        assert!(wrong.stderr.contains(meant), "{arguments:?}: {}", wrong.stderr);
    }
}

#[test]
fn the_request_of_the_manual_is_sound_and_serves() {
    let chapter = toothmark::manual::chapter("counts").expect("a chapter").text;
    let start = chapter.find("\nSearch(").expect("it is there") + 1;
    let text = &chapter[start..start + chapter[start..].find("\n)").expect("it ends") + 2];
    let text = text.replace("mine.ron", "inspection-railcar");
    let answer = run_with(command(&["search", "-", "--format", "json"]), text.as_bytes());
    let json = json_of(&answer);
    assert!(json["complete"] == true && json["count"] != 0, "{} {}", answer.stdout, answer.stderr);
}

#[test]
fn a_request_names_a_gearset_beside_it_or_a_built_in_one() {
    let folder = folder("beside");
    let text = REQUEST.replace("quarry-wheel-hub", "mine.ron");
    fs::write(folder.join("request.ron"), text).expect("it can be written");
    fs::write(folder.join("mine.ron"), description::write(read_example("quarry-wheel-hub").draft()))
        .expect("so can it");
    fs::write(folder.join("built-in.ron"), REQUEST).expect("it can be written");
    let [beside, built_in] = ["request.ron", "built-in.ron"].map(|name| {
        let answer = run(&["search", &folder.join(name).display().to_string(), "--format", "json"]);
        json_of(&answer)["results"].clone()
    });
    assert!(beside.as_array().is_some_and(|results| !results.is_empty()));
    assert_eq!(beside, built_in);
    let piped = run_with(command(&["search", "-", "--format", "json"]), REQUEST.as_bytes());
    assert_eq!(json_of(&piped)["results"], built_in);
}

/// Faults of a request were told without the line that they are in, one at a time.
#[test]
fn every_rejected_request_gets_its_message() {
    let folder = crate::support::process::package().join("tests/rejected_requests");
    let entries = fs::read_dir(folder).expect("the folder can be read");
    let names: Vec<String> =
        entries.map(|entry| entry.expect("an entry").file_name().into_string().expect("a plain name")).collect();
    assert!(names.len() >= 20, "only {} files", names.len());
    for name in names {
        let path = format!("rejected_requests/{name}");
        let answer = run(&["search", &path]);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{name}: {}", answer.stderr);
        assert!(answer.stderr.contains(&format!("{path}:")) && answer.stderr.contains("hint: "), "{}", answer.stderr);
        insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(format!("rejected-request-{}", name.trim_end_matches(".ron")), answer.stderr);
        });
    }
}

/// Every pin was worked out before it was asked whether a carrier can have so many: 64 gigabytes for these.
#[test]
fn a_thousand_million_pins_are_refused_before_they_are_counted() {
    let wrong = run(&["search", "--pins", "cluster=1000000000"]);
    assert_eq!(wrong.code, 2, "{}", wrong.stderr);
    assert!(wrong.stderr.contains("cannot have 1000000000 pins"), "{}", wrong.stderr);
    let set = read_example("inspection-railcar");
    let mut request = toothmark::tooth_search::TeethRequest::new([]);
    request.pins = vec![(set.member_named("cluster").expect("it is there"), vec![1_000_000_000])];
    let fault = toothmark::tooth_search::TeethPlan::new(&set, &request).expect_err("no carrier has so many");
    assert!(fault.to_string().contains("1000000000 pins"), "{fault}");
}

#[test]
fn numbers_of_a_request_stand_with_quotes_or_without() {
    let read = |low: &str, margin: &str| {
        RequestText::read(&format!(
            "Search(teeth: {{\"L\": (15, 30)}}, ratios: {{\"low\": Near({low})}}, margin: {margin})"
        ))
    };
    assert_eq!(read("2.75", "0.05"), read("\"11/4\"", "\"1/20\""));
    assert!(read("2.75", "0.05").is_ok());
}

/// What comes nearest was searched for to the end without a word, for a minute and more, where the answer stood at once.
#[test]
fn near_misses_are_told_at_once_and_to_the_end_where_that_is_asked_for() {
    let asked = [
        "search",
        "--teeth=L=12..70",
        "--teeth=l=12..70",
        "--teeth=D=12..70",
        "--teeth=d=12..70",
        "--ratio=low=30..31",
    ];
    let bounded = run(&asked);
    assert_eq!(bounded.code, 1);
    assert!(bounded.stdout.contains("Something would serve without"), "{}", bounded.stdout);
    assert!(bounded.stdout.contains("at least "), "{}", bounded.stdout);
    assert!(bounded.stderr.contains("--count exact searches for near misses to the end"), "{}", bounded.stderr);

    let exact = run(&[&asked[..], &["--count=exact"]].concat());
    assert_eq!((exact.code, exact.stderr.as_str()), (1, ""));
    let (first, to_the_end) =
        exact.stdout.split_once("With near misses searched for to the end:").expect("it goes on after the answer");
    assert_eq!(first.trim_end(), bounded.stdout.trim_end());
    assert!(to_the_end.contains("Most would serve without") && !to_the_end.contains("at least"), "{to_the_end}");

    let value = run(&[&asked[..], &["--count=exact", "--format=json"]].concat());
    let value: Value = serde_json::from_str(&value.stdout).expect("it is JSON");
    let near = value["near_misses"]["found"].as_array().expect("a list");
    let is_whole = |miss: &Value| miss["proven"] == json!(true) && miss["counted"] == json!("all");
    assert!(near.len() == 2 && near.iter().all(is_whole), "{near:?}");
}
