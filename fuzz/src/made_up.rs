//! Texts that are made up: sound or nearly so, of every kind, and single entries to put into others.
//!
//! Which words and entries there are is asked of the library, by the reference of each kind of text and the schema of
//! requests, so that a new field is made up as soon as it can be read.

use std::fmt::Write as _;
use std::sync::LazyLock;

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::Value;
use toothmark::description::{self, Reference, examples};
use toothmark::gearset::{Draft, Gearset};
use toothmark::job;
use toothmark::report::Answer as _;
use toothmark::requests::request_schema;
use toothmark::search::{Options, WorkShare};
use toothmark::tooth_search::{CountWish, RequestText, SearchOrigin, TeethPlan};

use crate::draws::Draws;
use crate::trains;

/// A kind of text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The description of a gearset.
    Description,
    /// The request of a search.
    Search,
    /// The file of a job, with readings to enter.
    Job,
    /// The parts of a search.
    Parts,
    /// A question with its options.
    Question,
    /// The value of an option.
    Values,
}

/// Numbers at edges, of machine words and of rules, and such as people write.
pub(crate) const NUMBERS: &[&str] = &[
    "0",
    "1",
    "2",
    "3",
    "-1",
    "4",
    "5",
    "6",
    "12",
    "13",
    "57",
    "100",
    "101",
    "10000",
    "10001",
    "65535",
    "65536",
    "2147483647",
    "4294967296",
    "9223372036854775807",
    "-9223372036854775808",
    "9223372036854775808",
    "18446744073709551615",
    "340282366920938463463374607431768211455",
    "0.5",
    "0.98",
    "1.0",
    "0.0000001",
    "123456789.123456789",
    "\"1/3\"",
    "\"-1/2\"",
    "\"1900/7\"",
    "\"1/0\"",
    "\"45 1/4\"",
    "\"0.1\"",
    "1e9",
    "-0",
    "20.5",
];

/// Values as they are typed, with units and without.
const VALUES: &[&str] = &[
    "0",
    "1",
    "-1",
    "3",
    "1/3",
    "2.5",
    "0,5",
    "1,500",
    "98%",
    "30 N m",
    "22 lb ft",
    "0.1mm",
    "4 thou",
    "0.006in",
    "75 in",
    "1.9 m",
    "2.75:1",
    "900 rpm",
    "L=21,l=36",
    "cluster=71.25mm",
    "l=-0.467,L=0.1",
    "0, 91.5, 180",
    "cluster=4",
    "low drum held: flywheel 45 for driven drum 16",
    "ring=-1/2",
    "3/64",
    "0.08..0.15",
    "1=0deg",
    "2=33deg",
    "2=3 cw",
    "d",
    "D",
    "L",
    "l",
    "D with d",
    "low",
    "flywheel",
    "cluster",
    "input",
    "output",
    "same-tooth",
    "20.9,21.4,20.6",
    "41.37 ± 0.05",
    "3=21.896",
    "2=out:0.05mm",
    "25kg",
    "120 g cm at 30",
    "1/2",
    "45 1/4",
    "9223372036854775807",
    "1e400",
    "0.000000000000000000001",
    "equal-sliding",
    "tex",
    "mathml",
    "sun 26",
    "P31",
];

/// Words and entries of each kind of text.
struct Vocabulary {
    words: Vec<String>,
    entries: Vec<String>,
}

impl Vocabulary {
    fn of(references: &[Reference]) -> Self {
        let entry = |it: &Reference| {
            if it.word.starts_with(char::is_uppercase) {
                it.example.to_owned()
            } else {
                format!("{}: {}", it.word, it.example)
            }
        };
        Self {
            words: references.iter().map(|it| it.word.to_owned()).collect(),
            entries: references.iter().map(entry).collect(),
        }
    }
}

static DESCRIPTION: LazyLock<Vocabulary> = LazyLock::new(|| Vocabulary::of(&description::reference()));
static SEARCH: LazyLock<Vocabulary> = LazyLock::new(|| Vocabulary::of(&RequestText::reference()));
static JOB: LazyLock<Vocabulary> =
    LazyLock::new(|| Vocabulary::of(&[job::reference(), description::reference()].concat()));

/// Every question with its options.
static QUESTIONS: LazyLock<Vec<(String, Vec<String>)>> = LazyLock::new(|| {
    let schema: Value = serde_json::from_str(&request_schema()).expect("a schema is JSON");
    let questions = schema["oneOf"].as_array().cloned().unwrap_or_default();
    let question = |it: &Value| {
        let name = it["properties"]["question"]["const"].as_str().unwrap_or_default().to_owned();
        let options = it["properties"]["options"]["properties"].as_object();
        (name, options.map(|all| all.keys().cloned().collect()).unwrap_or_default())
    };
    questions.iter().map(question).collect()
});

fn vocabulary(kind: Kind) -> &'static Vocabulary {
    match kind {
        Kind::Search => &SEARCH,
        Kind::Job => &JOB,
        Kind::Description | Kind::Parts | Kind::Question | Kind::Values => &DESCRIPTION,
    }
}

/// A word of this kind of text.
pub(crate) fn word(kind: Kind, draws: &mut Draws) -> String {
    draws.pick(&vocabulary(kind).words).clone()
}

/// Something that may stand in a list or bracket of this kind of text.
pub(crate) fn entry(kind: Kind, draws: &mut Draws) -> String {
    match kind {
        Kind::Question if draws.once_in(2) => option(draws),
        Kind::Values => value(draws),
        _ => draws.pick(&vocabulary(kind).entries).clone(),
    }
}

/// A whole text of this kind.
pub(crate) fn text(kind: Kind, draws: &mut Draws) -> String {
    match kind {
        Kind::Description => description::write(&draft(draws)),
        Kind::Search => request(draws),
        Kind::Job => job_with_entries(draws).unwrap_or_default(),
        Kind::Parts => parts(draws).unwrap_or_default(),
        Kind::Question => question(draws),
        Kind::Values => value(draws),
    }
}

fn value(draws: &mut Draws) -> String {
    let choices = if draws.once_in(4) { NUMBERS } else { VALUES };
    let one = draws.pick(choices).trim_matches('"');
    if draws.once_in(3) { format!("{one},{}", draws.pick(VALUES)) } else { one.to_owned() }
}

/// A sound train, or one of a file with other tooth counts.
fn draft(draws: &mut Draws) -> Draft {
    let mut seed = [0; 32];
    seed.fill_with(|| draws.number() as u8);
    let random = TestRng::from_seed(RngAlgorithm::ChaCha, &seed);
    let mut runner = TestRunner::new_with_rng(Config::default(), random);
    let tree = match draws.below(6) {
        0 => trains::train().new_tree(&mut runner).map(|tree| tree.current()),
        1 | 2 => trains::cluster().new_tree(&mut runner).map(|tree| tree.current()),
        3 => trains::meshed_pair().new_tree(&mut runner).map(|tree| tree.current()),
        _ => trains::small_train().new_tree(&mut runner).map(|tree| tree.current()),
    };
    tree.unwrap_or_default()
}

/// A built-in gearset with its name.
fn built_in(draws: &mut Draws) -> (&'static str, Gearset) {
    let all = examples();
    let name = draws.pick(all).name;
    let text = description::example(name).unwrap_or_default();
    (name, description::read(text).expect("what is built in is sound"))
}

/// A request about a built-in gearset.
fn request(draws: &mut Draws) -> String {
    let (name, set) = built_in(draws);
    let mut text = format!("Search(\n    gearset: \"{name}\",\n    teeth: {{");
    for gear in set.gears() {
        if draws.once_in(3) {
            let count = usize::from(gear.tooth_count().get());
            let fewest = count.saturating_sub(draws.below(6)).max(4);
            let _ = write!(text, "{:?}: ({fewest}, {}), ", gear.name(), count + draws.below(6));
        }
    }
    text += "},\n    ratios: {";
    for state in set.states() {
        if draws.once_in(2) {
            let wish = *draws.pick(&["Near(2.75)", "Between(2, 3)", "Near(\"-5/2\")", "AtLeast(2)", "AtMost(4)"]);
            let _ = write!(text, "{:?}: {wish}, ", state.name);
        }
    }
    text += "},\n";
    for _ in 0..draws.below(4) {
        let _ = writeln!(text, "    {},", draws.pick(&SEARCH.entries));
    }
    text + ")\n"
}

/// A blank job, with some readings to enter.
fn job_with_entries(draws: &mut Draws) -> Option<String> {
    let set = if draws.once_in(2) { built_in(draws).1 } else { Gearset::new(draft(draws)).ok()? };
    let blank = job::blank(&set);
    let mut text = job::write(&blank) + "\n===\n";
    for _ in 0..draws.below(6) {
        let path = blank.readings.get(draws.below(blank.readings.len())).map(|it| it.path.to_string());
        let column = *draws.pick(&["wanted", "found", "left", "with", "within", "because"]);
        let _ = writeln!(text, "{}.{column}={}", path.unwrap_or_default(), value(draws));
    }
    Some(text)
}

/// The parts of a small search, or some of them.
fn parts(draws: &mut Draws) -> Option<String> {
    let (_, set) = built_in(draws);
    let mut text = RequestText::default();
    for _ in 0..=draws.below(2) {
        let gear = draws.pick(set.gears());
        let count = i64::from(gear.tooth_count().get());
        text.allow_teeth(gear.name(), (count - 6).max(4), count + 6);
    }
    if let Some(state) = set.states().get(draws.below(set.states().len() + 1)) {
        text.wish_ratio(&state.name, draws.pick(&["2.75", "2..3", "-3..-1"])).ok()?;
    }
    let request = text.request(&set).ok()?;
    let plan = TeethPlan::new(&set, &request).ok()?;
    let origin = SearchOrigin::new(&set, &text, (!draws.once_in(3)).then_some(2));
    let of = 1 + draws.below(3);
    let mut written = Vec::new();
    for index in 0..of {
        let options = Options {
            threads: std::num::NonZeroUsize::new(1),
            part: (of > 1).then_some(WorkShare { index, of }),
            most_choices: Some(1000),
            ..Options::default()
        };
        let mut answer = plan.answer(&origin, &options).ok()?;
        if draws.once_in(2) {
            plan.count(&mut answer, CountWish::AtLeast, &options).ok()?;
        }
        if !draws.once_in(6) {
            written.push(answer.json(&set));
        }
    }
    Some(written.join("\n===\n"))
}

fn option(draws: &mut Draws) -> String {
    let (_, options) = draws.pick(&QUESTIONS);
    if options.is_empty() { String::new() } else { option_of(options, draws) }
}

fn option_of(options: &[String], draws: &mut Draws) -> String {
    format!("\n--{}={}", draws.pick(options).replace('_', "-"), value(draws))
}

/// A question in words, now and then as JSON.
fn question(draws: &mut Draws) -> String {
    let (name, options) = draws.pick(&QUESTIONS);
    let about = match draws.below(4) {
        0 => "26:31 20:37 31:26".to_owned(),
        1 => format!("{}:{}:{}", 10 + draws.below(40), 10 + draws.below(40), 40 + draws.below(80)),
        2 => built_in(draws).0.to_owned(),
        _ => description::write(&draft(draws)),
    };
    if draws.once_in(3) {
        let given: serde_json::Map<String, Value> = (0..draws.below(4))
            .filter_map(|_| Some((options.get(draws.below(options.len()))?.clone(), Value::from(value(draws)))))
            .collect();
        return serde_json::json!({ "question": name, "description": about, "options": given }).to_string();
    }
    let mut text = name.replace(' ', "\n");
    for _ in 0..draws.below(4) {
        text += &if options.is_empty() { String::new() } else { option_of(options, draws) };
    }
    format!("{text}\n--pins={}\n\n{about}", 1 + draws.below(6))
}
