//! Does one job file go through a whole rebuild, from stripping to signing off, by the commands alone?
//!
//! The railcar and everything that is read of it are invented. What each command has to say was worked out by hand.

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::process::{Run, command, run_with};

/// A bench with a file on it.
struct Bench {
    folder: PathBuf,
}

impl Bench {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("toothmark-rebuild-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("a folder can be made");
        Self { folder }
    }

    fn run(&self, arguments: &[&str]) -> Run {
        let mut program = command(arguments);
        program.current_dir(&self.folder);
        run_with(program, b"")
    }

    /// Asks, and looks for words in what is said.
    #[track_caller]
    fn asks(&self, arguments: &[&str], code: i32, words: &[&str]) {
        let answer = self.run(arguments);
        assert_eq!(answer.code, code, "{arguments:?}\n{}{}", answer.stdout, answer.stderr);
        // Lines are broken where they are full.
        let said = answer.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in words {
            assert!(said.contains(words), "{arguments:?} does not say {words:?}\n{}", answer.stdout);
        }
    }

    /// Enters readings of a day.
    #[track_caller]
    fn enters(&self, date: &str, readings: &[&str]) {
        let answer = self.run(&[&["job", "set", "railcar.ron", "--date", date], readings].concat());
        assert_eq!((answer.code, answer.stderr.as_str()), (0, ""), "{readings:?}");
    }

    fn text(&self, file: &str) -> String {
        fs::read_to_string(self.path(file)).unwrap_or_else(|error| panic!("{file}: {error}"))
    }

    fn path(&self, file: &str) -> PathBuf {
        Path::new(&self.folder).join(file)
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

/// Worn bushes on pin 2, one cluster a tooth out, a drum that floats too much, a band that is too loose.
fn strip(bench: &Bench) {
    bench.asks(
        &[
            "job",
            "new",
            "inspection-railcar",
            "--machine",
            "railcar 12",
            "--unit",
            "gearbox 31",
            "--by",
            "bench 2",
            "--date",
            "2026-11-20",
            "-o",
            "railcar.ron",
        ],
        0,
        &["railcar.ron"],
    );
    let counts = ["D=26", "L=20", "R=31", "d=31", "l=37", "r=26"].map(|count| {
        let (gear, count) = count.split_once('=').expect("a gear and its count");
        format!("count.{gear}.found={count}")
    });
    bench.enters("2026-11-20", &counts.each_ref().map(String::as_str));
    bench.enters(
        "2026-11-20",
        &["mark.pin 1.found=0 teeth d", "mark.pin 2.found=-10 teeth d", "mark.pin 3.found=9 teeth d"],
    );
    for mesh in ["D with d", "L with l", "R with r"] {
        let wanted = format!("backlash.{mesh}.wanted=0.08..0.16");
        let found = format!("backlash.{mesh}.found=0.20, 0.22, 0.19");
        bench.enters("2026-11-20", &[&wanted, &found]);
    }
    for pin in ["pin 1", "pin 2", "pin 3"] {
        let bore = if pin == "pin 2" { "16.11" } else { "16.05" };
        let entries = [
            format!("bush.{pin}.found={bore}"),
            format!("bush.{pin}.within=0.005"),
            format!("shaft.{pin}.found=15.99"),
            format!("shaft.{pin}.within=0.005"),
            format!("clearance.{pin}.wanted=0.02..0.08"),
        ];
        bench.enters("2026-11-20", &entries.each_ref().map(String::as_str));
    }
    for part in ["flywheel", "driven drum", "low drum", "reverse drum"] {
        let float = if part == "low drum" { "1.55" } else { "0.40" };
        bench.enters("2026-11-20", &[&format!("float.{part}.wanted=0.2..0.6"), &format!("float.{part}.found={float}")]);
    }
    for (band, drum) in [("low band", "low drum"), ("reverse band", "reverse drum")] {
        let entries = [
            format!("run-out.{drum}.wanted=0..0.15"),
            format!("run-out.{drum}.found=0.08"),
            format!("band.{band}.wanted=0.4..0.8"),
            format!("band.{band}.found=1.6"),
            format!("lining.{band}.wanted=4..6"),
            format!("lining.{band}.found=2.5"),
        ];
        bench.enters("2026-11-20", &entries.each_ref().map(String::as_str));
    }
    bench.enters("2026-11-20", &["oil.gearbox.found=black, lint in the screen", "balance.flywheel.wanted=0..836"]);
}

/// What the bench says about what was found.
fn decide(bench: &Bench) {
    // Wrong: the marks, three meshes, a float, two bands, two linings, a bush. Not known: an unbalance that nobody read, and
    // as found only three floats, two run-outs, two bushes and the oil.
    bench.asks(&["job", "railcar.ron"], 1, &["Do not close it: 10 things are wrong, 9 more are not known."]);
    bench.asks(
        &["job", "railcar.ron", "--format", "json"],
        1,
        &["pin 3 out of time by the marks as found", "0.12 mm clear as found: too loose"],
    );
    // 16.11 - 15.99 is 0.12, and 0.08 is allowed.
    bench.asks(&["bench", "bushes", "railcar.ron"], 1, &["pin 2", "0.120"]);
    // 1.55 less 1.25 is 0.30, less 1.00 is 0.55; 0.40 needs none.
    let washers = ["bench", "float", "--float", "low drum=1.55", "--wanted", "0.2..0.6", "--washers", "1.00,1.25,1.60"];
    bench.asks(&washers, 0, &["1.25"]);
    // G 6.3, 25 kg, 1800 rpm: 9549.3 x 6.3 x 25 / 1800 = 835.6 g mm.
    bench.asks(
        &[
            "bench",
            "balance",
            "railcar.ron",
            "--part",
            "flywheel",
            "--engine-rpm",
            "1800",
            "--mass",
            "25kg",
            "--found",
            "22.34 g at 95 mm at 100 deg",
            "--seen",
            "input",
            "--places",
            "12@95mm",
            "--drills",
            "6,8,10,12",
            "--thickness",
            "26mm",
            "--wall",
            "4mm",
        ],
        0,
        &["836 g mm", "12 mm"],
    );
    // The low drum on the case: 171/481 of the input; 600 rpm make 213.306.
    bench.asks(&["bench", "neutral", "railcar.ron", "--rpm", "600"], 0, &["213.306", "low band"]);
}

/// Everything as it is left.
fn assemble(bench: &Bench) {
    let day = "2026-11-27";
    bench.enters(day, &["mark.pin 1.left=0 teeth d", "mark.pin 2.left=-10 teeth d", "mark.pin 3.left=10 teeth d"]);
    for mesh in ["D with d", "L with l", "R with r"] {
        bench.enters(day, &[&format!("backlash.{mesh}.left=0.12, 0.13, 0.12")]);
    }
    for pin in ["pin 1", "pin 2", "pin 3"] {
        bench.enters(day, &[&format!("bush.{pin}.left=16.03"), &format!("shaft.{pin}.left=15.99")]);
    }
    for (part, float) in [("flywheel", "0.40"), ("driven drum", "0.40"), ("low drum", "0.30"), ("reverse drum", "0.35")]
    {
        bench.enters(day, &[&format!("float.{part}.left={float}")]);
    }
    for (band, drum) in [("low band", "low drum"), ("reverse band", "reverse drum")] {
        let entries = [
            format!("run-out.{drum}.left=0.08"),
            format!("band.{band}.left=0.6"),
            format!("lining.{band}.left=5"),
            format!("exchanged.{band}.left=new lining"),
        ];
        bench.enters(day, &entries.each_ref().map(String::as_str));
    }
    let last = [
        "exchanged.pin 2.left=new bush",
        "exchanged.pin 2.because=0.12 mm clear as found",
        "hole.flywheel.left=90 12 x 18",
        "balance.flywheel.left=680",
        "oil.gearbox.left=SAE 30, 1.2 l",
        "note.neutral.left=free, 600 rpm, wheel stood",
    ];
    bench.enters(day, &last);
}

#[test]
fn a_railcar_is_rebuilt_with_one_file() {
    let bench = Bench::new("whole");
    strip(&bench);
    fs::copy(bench.path("railcar.ron"), bench.path("as-found.ron")).expect("it can be copied");
    decide(&bench);
    assemble(&bench);
    bench.asks(&["job", "railcar.ron"], 0, &["Nothing in the record keeps this unit open"]);
    bench.asks(&["job", "railcar.ron", "-o", "railcar.html"], 0, &["railcar.html"]);
    let sheet = bench.text("railcar.html");
    for said in ["railcar 12", "gearbox 31", "bench 2", "0.12, 0.13, 0.12 mm", "hole at 90 degrees", "new lining"] {
        assert!(sheet.contains(said), "the sheet lacks {said:?}");
    }
    // Nothing that was found is lost.
    bench.asks(&["job", "diff", "as-found.ron", "railcar.ron"], 0, &["bush.pin 2", "16.11 mm"]);
    assert!(bench.text("railcar.ron").contains("Millimetres(16.11)"));
}

/// What a person sees of the record at the end.
#[test]
fn the_record_of_the_rebuilt_railcar_reads_well() {
    let bench = Bench::new("found");
    strip(&bench);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("job-as-found", bench.run(&["job", "railcar.ron"]).stdout);
    });
    let mut program = command(&["job", "railcar.ron"]);
    program.current_dir(&bench.folder).env("COLUMNS", "80");
    let screen = run_with(program, b"").stdout;
    assert!(screen.lines().count() <= 40 && screen.lines().all(|line| line.chars().count() <= 80), "{screen}");
}
