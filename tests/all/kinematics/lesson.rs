//! Is every line on the board true, and do table, formula and lever agree with the speeds?
//!
//! The printed arithmetic is read back by a small evaluator that knows nothing of the library: every
//! sign of equality must hold exactly when the unknowns have the values of one motion of the train.

use std::collections::BTreeMap;

use proptest::prelude::*;
use roxmltree::ParsingOptions;
use toothmark::description::{self, examples};
use toothmark::drawing::lever;
use toothmark::exact::{Fraction, fraction, parse, to_float};
use toothmark::gearset::{Gearset, MemberId};
use toothmark::kinematics::{Verdict, levers, motions};
use toothmark::lesson::{
    Arithmetic, BoardStep, ColumnKind, Lesson, LessonOptions, LinearForm, Symbol, WayOfWorking, Worked, lesson,
};
use toothmark::report::{Block, Explained, StateChoice, Table};

use crate::support::process::{command, run, run_with};
use crate::support::random::cases;
use crate::support::sets::{member_motion, motion, read_example, read_file, read_set};
use crate::support::trains::train;

/// Reads `2/5 x - (1 + y) * 3` from left to right; a symbol or bracket after a factor multiplies.
struct Reader<'a> {
    tokens: Vec<String>,
    at: usize,
    values: &'a BTreeMap<String, Fraction>,
}

fn tokens(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < letters.len() {
        let word = letters[at..].iter().take_while(|letter| letter.is_ascii_alphanumeric() || **letter == '_').count();
        if !letters[at].is_whitespace() {
            found.push(letters[at..at + word.max(1)].iter().collect());
        }
        at += word.max(1);
    }
    found
}

impl Reader<'_> {
    fn next(&self) -> &str {
        self.tokens.get(self.at).map_or("", String::as_str)
    }

    fn take(&mut self, sign: &str) -> bool {
        let is_next = self.next() == sign;
        self.at += usize::from(is_next);
        is_next
    }

    fn sum(&mut self) -> Fraction {
        let mut sum = self.product();
        loop {
            if self.take("+") {
                sum += self.product();
            } else if self.take("-") {
                sum -= self.product();
            } else {
                return sum;
            }
        }
    }

    fn product(&mut self) -> Fraction {
        let mut product = self.factor();
        loop {
            if self.take("/") {
                product /= self.factor();
            } else if self.take("*")
                || self.next().starts_with(|letter: char| letter.is_ascii_alphabetic() || letter == '(')
            {
                product *= self.factor();
            } else {
                return product;
            }
        }
    }

    fn factor(&mut self) -> Fraction {
        if self.take("-") {
            return -self.factor();
        }
        if self.take("(") {
            let sum = self.sum();
            assert!(self.take(")"), "a bracket is closed: {:?}", self.tokens);
            return sum;
        }
        let token = self.next().to_owned();
        self.at += 1;
        let number = parse(&token).or_else(|| self.values.get(&token).cloned());
        number.unwrap_or_else(|| panic!("{token:?} in {:?} has no value", self.tokens))
    }
}

#[track_caller]
fn evaluate(text: &str, values: &BTreeMap<String, Fraction>) -> Fraction {
    let mut reader = Reader { tokens: tokens(text), at: 0, values };
    let value = reader.sum();
    assert_eq!(reader.at, reader.tokens.len(), "{text:?} is read to its end");
    value
}

#[test]
fn the_reader_of_arithmetic_reads_as_a_class_does() {
    let values = BTreeMap::from([("x".to_owned(), fraction(5, 7)), ("n_sun".to_owned(), fraction(1, 1))]);
    for (text, expected) in [
        ("2/5 x", (2, 7)),
        ("1 - 2 - 3", (-4, 1)),
        ("-7/5 x", (-1, 1)),
        ("-1 / (-7/5)", (5, 7)),
        ("(-24/18) * 18/60", (-2, 5)),
        ("2 (n_sun - x)", (4, 7)),
    ] {
        assert_eq!(evaluate(text, &values), fraction(expected.0, expected.1), "{text}");
    }
}

/// One motion of the train: what the lesson leaves open is chosen, the rest follows.
struct Motion<'a> {
    lesson: &'a Lesson,
    worked: &'a Worked,
}

impl Motion<'_> {
    fn symbol(&self, symbol: Symbol) -> Fraction {
        let chosen = match symbol {
            Symbol::Together(table) => fraction(i64::try_from(table).expect("there are few tables") + 2, 7),
            Symbol::First(_) | Symbol::Speed(_) | Symbol::Relative(_) => fraction(3, 5),
        };
        self.worked.known.get(&symbol).map_or(chosen, |form| self.form(form))
    }

    fn form(&self, form: &LinearForm) -> Fraction {
        form.parts.iter().map(|(symbol, part)| part * self.symbol(*symbol)).sum::<Fraction>() + &form.constant
    }

    /// The value of every sign that can stand in a line.
    fn values(&self, shown: &Explained<'_>) -> BTreeMap<String, Fraction> {
        let mut values = BTreeMap::new();
        for (index, table) in self.lesson.tables.iter().enumerate() {
            for symbol in [Symbol::Together(index), Symbol::First(index)] {
                values.insert(shown.sign(symbol), self.symbol(symbol));
            }
            for column in &table.columns {
                let symbol = match column.kind {
                    ColumnKind::Tumbling => Symbol::Relative(column.member),
                    ColumnKind::Arm | ColumnKind::Central | ColumnKind::Planet => Symbol::Speed(column.member),
                };
                let value = self.form(&column.total(index).form().expect("totals are linear"));
                let before = values.insert(shown.sign(symbol), value.clone());
                assert!(before.is_none_or(|before| before == value), "one member, one speed in all tables");
            }
        }
        values
    }
}

fn tables(blocks: &[Block]) -> impl Iterator<Item = &Table> {
    blocks.iter().filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None })
}

/// Checks every line of a state's lesson; gives how many there were.
#[track_caller]
pub(crate) fn lines_are_true(set: &Gearset, state: &str, input_speed: &Fraction) -> usize {
    let lesson = lesson(set, state, &LessonOptions { input_speed: input_speed.clone() }).expect("the state is there");
    let shown = Explained { set, lesson: &lesson, pictures: &[], chosen: StateChoice::Named };
    let document = shown.document();
    let Some(worked) = &lesson.by_table else { return 0 };
    let motion = Motion { lesson: &lesson, worked };
    let values = motion.values(&shown);
    let mut count = 0;
    for table in tables(&document.blocks) {
        for row in &table.rows {
            let cells = if table.headings[0] == "line" { &row[..1] } else { &row[1..] };
            for cell in cells.iter().filter(|cell| table.headings[0] == "line" || cell.contains('=')) {
                let sides: Vec<Fraction> = cell.split(" = ").map(|side| evaluate(side, &values)).collect();
                assert!(
                    !sides.is_empty() && sides.windows(2).all(|pair| pair[0] == pair[1]),
                    "{state}: {cell}: {sides:?}"
                );
                count += usize::from(sides.len() > 1);
            }
        }
    }
    signs_are_introduced(&document.blocks, state);
    let mut ways = vec![WayOfWorking::Table, WayOfWorking::Formula];
    if lesson.tables.iter().any(|table| !table.lever.is_stiff) {
        ways.push(WayOfWorking::Lever);
    }
    if lesson.short.is_some() {
        ways.insert(1, WayOfWorking::ShortTable);
    }
    assert_eq!(lesson.agreement, ways, "{state}");
    for worked in [&lesson.by_table, &lesson.by_formula] {
        agree(&lesson, worked.as_ref().expect("it is solved"), input_speed);
    }
    count
}

/// Every sign for a speed is told before it is used, and arithmetic is not clumsy.
#[track_caller]
fn signs_are_introduced(blocks: &[Block], state: &str) {
    let Some(Block::Facts(facts)) = blocks.first() else { panic!("{state}: it begins with what is given") };
    let told = &facts.iter().find(|fact| fact.subject == "speeds").expect("speeds are named").answer;
    let told = tokens(told);
    for table in tables(blocks) {
        for row in &table.rows {
            let line = &row[usize::from(table.headings[0] != "line")];
            let is_sign = |token: &&String| token.starts_with("n_") || token.starts_with("r_");
            let unknown = tokens(line).into_iter().find(|token| is_sign(&token) && !told.contains(token));
            assert_eq!(unknown, None, "{state}: {line}");
            let is_clumsy = line.contains("- 1 * (-") || row[1] == "so" && line.contains("/ (-1)");
            assert!(!is_clumsy, "{state}: {line}");
        }
    }
}

/// What the method says of each member is what the solver of speeds says.
#[track_caller]
fn agree(lesson: &Lesson, worked: &Worked, input_speed: &Fraction) {
    for line in &worked.lines {
        let BoardStep::Total(member) = line.step else { continue };
        let found = lesson.motion.members.iter().find(|found| found.member == member).expect("it turns");
        let relative = matches!(line.chain[0], Arithmetic::Symbol(Symbol::Relative(_)));
        let speed = if relative { found.relative_to_carrier.as_ref().expect("it is a planet") } else { &found.speed };
        let told = match line.chain.last() {
            Some(Arithmetic::Number(value)) => Some(value.clone()),
            _ => None,
        };
        assert_eq!(told, speed.value().map(|value| value * input_speed), "{}: {line:?}", lesson.state.name);
    }
}

#[test]
fn every_line_of_every_example_is_true_and_all_methods_agree() {
    let mut count = 0;
    for example in examples() {
        let set = read_example(example.name);
        for state in set.states() {
            count += lines_are_true(&set, &state.name, &fraction(1, 1));
            count += lines_are_true(&set, &state.name, &fraction(-1500, 7));
        }
    }
    assert!(count > 5000, "{count} lines");
}

proptest! {
    #![proptest_config(cases(60))]
    #[test]
    fn every_line_of_a_random_train_is_true_and_all_methods_agree(draft in train()) {
        if let Ok(set) = Gearset::new(draft) {
            for state in set.states() {
                lines_are_true(&set, &state.name, &fraction(5, 3));
            }
        }
    }

    #[test]
    fn what_must_be_given_is_what_the_state_gives_or_leaves_free(draft in train()) {
        if let Ok(set) = Gearset::new(draft) {
            for motion in motions(&set).iter().filter(|motion| !matches!(motion.verdict, Verdict::Locked { .. })) {
                let lesson = lesson(&set, &motion.state, &LessonOptions::default()).expect("the state is there");
                // Conditions may repeat one another, so as many as are given at most are worth something.
                prop_assert!(lesson.freedom.needed() <= motion.freedom + lesson.freedom.given, "{:?}", lesson.freedom);
                prop_assert!(motion.freedom < lesson.freedom.needed(), "the input itself takes one");
            }
        }
    }
}

#[test]
fn a_train_that_its_meshes_lock_to_one_block_has_no_lever_and_says_so() {
    // It was told that table, formula and lever agree, under a heading of the lever with nothing below it.
    let text = r#"Gearset(title: "block", members: {"s": [Sun("S", 24), Sun("T", 30)], "r": [Ring("R", 60)], "c": []},
        planets: {"p": (carrier: "c", pins: Equal(3), gears: [Gear("P", 18), Gear("Q", 20)])},
        meshes: [("S", "P"), ("R", "P"), ("T", "Q")], states: {"solid": Given(input: "s", output: "c")})"#;
    let answer = run_with(command(&["explain", "-"]), text.as_bytes());
    let words = answer.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("All agree: table and formula come to these speeds."), "{words}");
    assert!(words.contains("There is no lever to draw") && !words.contains("picture:"), "{words}");
}

/// A ring and the planet in it, both joined to the case that carries the planet: their table had no first gear, and the
/// program ended in the middle of a page.
#[test]
fn a_mesh_within_one_body_has_no_lever_and_no_table() {
    let text = r#"Gearset(title: "one body", input: "frame", output: "ring",
        members: { "frame": [Ring("a", 21)], "ring": [Ring("b", 64)] },
        planets: { "inner": (carrier: "frame", pins: Equal(1), gears: [Gear("c", 34)]),
                   "fast": (carrier: "case", pins: Equal(1), gears: [Gear("d", 10)]) },
        meshes: [("b", "c"), ("a", "d")], joins: [("case", "fast"), ("fast", "frame")],
        states: { "standing": Given(held: []) })"#;
    let set = description::read(text).expect("it is sound");
    let worked = lesson(&set, "standing", &LessonOptions::default()).expect("it is a state");
    assert_eq!(worked.tables.len(), 1, "that of the ring b with the planet c");
    assert_eq!(levers(&set).len(), 1);
}

#[test]
fn a_way_that_comes_to_another_speed_is_not_said_to_agree() {
    let set = read_example("millrace-winch");
    let right = lesson(&set, "ring held", &LessonOptions::default()).expect("the state is there");
    let mut wrong = right.clone();
    let last = wrong.by_formula.as_mut().and_then(|worked| worked.lines.last_mut()).expect("it is solved");
    *last.chain.last_mut().expect("a line says something") = Arithmetic::Number(fraction(1, 9));
    assert_eq!(wrong.ways_that_agree(&set), [WayOfWorking::Table, WayOfWorking::ShortTable, WayOfWorking::Lever]);
    let mut wrong = right.clone();
    wrong.short.as_mut().expect("the ring is held").table.columns[2].train_value = fraction(1, 2);
    assert_eq!(wrong.ways_that_agree(&set), [WayOfWorking::Table, WayOfWorking::Formula, WayOfWorking::Lever]);
    let mut wrong = right;
    wrong.tables[0].lever.nodes[1].position = fraction(6, 1);
    assert_eq!(wrong.ways_that_agree(&set), [WayOfWorking::Table, WayOfWorking::ShortTable, WayOfWorking::Formula]);
}

#[test]
fn what_holds_and_what_is_put_on_pins_is_said_in_words() {
    for (name, state, told) in [
        ("millrace-winch", "ring held", "To hold \"ring\" takes 5/2 = 2.5 times the torque of the input."),
        ("millrace-winch", "ring held", "\"planet\", all 3 together"),
        ("hill-tramway-car", "low", "\"slow band\" puts 2 times the torque of the input on \"slow drum\"."),
        ("hill-tramway-car", "direct", "on \"flywheel\", and the opposite on \"driven drum\"."),
        ("bevel-reducer", "held gear fast", "speed of \"cluster\" against \"cage\""),
        ("town-bus-pre-selector", "third", "one sign: n\\_fd for n\\_sc and n\\_sd for n\\_tc."),
        ("millrace-winch", "ring held", "All agree: table, table in short, formula and lever come to these speeds."),
        ("bevel-differential", "straight on", "All agree: table, formula and lever come"),
    ] {
        let file = format!("../gearsets/{name}.ron");
        let answer = run(&["explain", &file, "--state", state, "--format", "markdown"]);
        assert!(answer.stdout.contains(told), "{name}, {state}: {told}: {}", answer.stdout);
    }
}

#[test]
fn a_printed_example_is_worked_row_by_row() {
    // Khurmi and Gupta, Theory of Machines, example 13.6, p. 443: ring 72 held, sun 32, planet 20, arm at 18; sun
    // 58.5 and planet -46.8. The rows follow from the counts.
    let set = read_set(
        "13.6",
        r#"Gearset(title: "13.6", members: {"arm": [], "sun": [Sun("S", 32)], "ring": [Ring("R", 72)]},
        planets: {"planet": (carrier: "arm", pins: Equal(1), gears: [Gear("p", 20)])},
        meshes: [("S", "p"), ("R", "p")],
        states: {"ring held": Given(held: ["ring"], input: "arm", output: "sun")})"#,
    );
    let lesson = lesson(&set, "ring held", &LessonOptions { input_speed: fraction(18, 1) }).unwrap();
    let table = &lesson.tables[0];
    let row: Vec<String> = table.columns.iter().map(|column| column.train_value.to_string()).collect();
    // Arm fixed, the ring turned once: planet 72/20, sun -72/32.
    assert_eq!(row, ["0", "1", "18/5", "-9/4"]);
    let solved = lesson.by_table.as_ref().unwrap();
    let value = |symbol| solved.known[&symbol].value().unwrap();
    assert_eq!([value(Symbol::Together(0)), value(Symbol::First(0))], [fraction(18, 1), fraction(-18, 1)]);
    let speeds = motions(&set);
    let sun = member_motion("13.6", &set, motion("13.6", &speeds, "ring held"), "sun");
    assert_eq!(sun.speed.value().unwrap() * fraction(18, 1), fraction(117, 2));
    lines_are_true(&set, "ring held", &fraction(18, 1));
}

#[test]
fn a_reverted_train_is_worked_row_by_row() {
    // Khurmi and Gupta, Theory of Machines, example 13.12, p. 451: F = 800 - 800 (26/80) (82/28); the book prints 38.
    let set = read_set(
        "13.12",
        r#"Gearset(title: "13.12", members: {"arm": [], "held": [Sun("E", 26)], "driven": [Sun("C", 28)]},
        planets: {"pair": (carrier: "arm", pins: Equal(1), gears: [Gear("b", 80), Gear("d", 82)])},
        meshes: [("E", "b"), ("C", "d")],
        states: {"on": Given(held: ["held"], input: "arm", output: "driven")})"#,
    );
    let lesson = lesson(&set, "on", &LessonOptions { input_speed: fraction(800, 1) }).unwrap();
    let driven = lesson.tables[0].columns.last().unwrap();
    assert_eq!(driven.train_value, fraction(26 * 82, 80 * 28));
    let line = lesson.by_table.unwrap().lines.into_iter().rfind(|line| line.step == BoardStep::Total(driven.member));
    assert_eq!(line.unwrap().chain.last(), Some(&Arithmetic::Number(fraction(270, 7))));
}

/// Arrows of a drawn lever: member, exact speed, length upward.
fn arrows(svg: &str) -> Vec<(String, Fraction, f64)> {
    let read = roxmltree::Document::parse_with_options(svg, ParsingOptions::default()).expect("it is well formed");
    let number = |node: roxmltree::Node<'_, '_>, key| {
        node.attribute(key).and_then(|text| text.parse::<f64>().ok()).expect("a number")
    };
    read.descendants()
        .filter_map(|node| {
            let speed = parse(node.attribute("data-speed")?).expect("a fraction");
            Some((node.attribute("data-member")?.to_owned(), speed, number(node, "y1") - number(node, "y2")))
        })
        .collect()
}

#[test]
fn arrows_of_a_drawn_lever_are_as_long_as_the_speeds() {
    let mut count = 0;
    for example in examples() {
        let set = read_example(example.name);
        for motion in motions(&set) {
            let arrows = arrows(&lever(&set, &motion));
            let Some(longest) = arrows.iter().max_by(|a, b| a.2.abs().total_cmp(&b.2.abs())) else { continue };
            let scale = longest.2 / to_float(&longest.1);
            for (member, speed, length) in &arrows {
                let expected = to_float(speed) * scale;
                // Coordinates are told to a thousandth.
                assert!((length - expected).abs() < 2e-3, "{}: {member}: {length} for {speed}", example.name);
                let id = set.member_named(member).expect("a member");
                let known = motion.members.iter().find(|found| found.member == id);
                let known =
                    if id == MemberId::CASE { Some(fraction(0, 1)) } else { known.unwrap().speed.value().cloned() };
                assert_eq!(known.as_ref(), Some(speed), "{}: {member}", example.name);
                count += 1;
            }
        }
    }
    assert!(count > 300, "{count} arrows");
}

/// A set whose names are full of signs that HTML takes for its own.
const HOSTILE: &str = r#"Gearset(title: "<script>", input: "<i>&", output: "c", members: {"<i>&": [Sun("<b>", 24)], "r'": [Ring("R", 60)],
    "c": []}, planets: {"<img src=x>": (carrier: "c", pins: Equal(3), gears: [Gear("p", 18)])},
    meshes: [("<b>", "p"), ("R", "p")], states: {"</td>": Given(held: ["r'"])})"#;

#[test]
fn a_page_with_names_full_of_signs_is_well_formed() {
    let answer = run_with(command(&["explain", "-", "--format", "html"]), HOSTILE.as_bytes());
    assert_eq!((answer.code, answer.stderr.as_str()), (0, ""));
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let read = roxmltree::Document::parse_with_options(&answer.stdout, options).expect("the page is well formed");
    let elements = |name: &str| read.descendants().filter(|node| node.has_tag_name(name)).count();
    assert_eq!([elements("script"), elements("i"), elements("b"), elements("img")], [0; 4]);
    let held = read.descendants().find_map(|node| node.attribute("data-held"));
    assert_eq!(held, Some("r'"));
}

#[test]
fn neutral_and_locked_states_are_explained_and_not_solved() {
    let neutral = run(&["explain", "--state", "neutral"]);
    assert_eq!(neutral.code, 0);
    let words = neutral.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("this is neutral. Hold, join or drive another member."), "{words}");
    assert!(!neutral.stdout.contains("Solved") && !neutral.stdout.contains("Answer"));
    let locked = run(&["explain", "accepted/locked-by-two-bands.ron", "--state", "tied up"]);
    assert!(!locked.stdout.contains("Solved"), "{}", locked.stderr);
}

#[test]
fn requests_for_a_lesson_that_cannot_be_met_say_what_to_write() {
    for (arguments, expected) in [
        (vec!["explain", "--state", "lo"], "write \"low\"; the states are low, reverse, direct, neutral"),
        (vec!["explain", "--state", ""], "the states are low, reverse, direct, neutral"),
        (vec!["explain", "accepted/nothing-but-a-title.ron"], "the description has no states"),
        (vec!["explain", "--rpm", "0"], "write a number such as 1500"),
        (vec!["explain", "--format", "csv"], "html"),
    ] {
        let answer = run(&arguments);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{arguments:?}");
        assert!(answer.stderr.contains(expected), "{arguments:?}: {}", answer.stderr);
    }
}

#[test]
fn a_narrow_terminal_shows_a_lesson_that_fits() {
    let mut narrow = command(&["explain"]);
    narrow.env("COLUMNS", "44");
    let answer = run_with(narrow, b"");
    assert!(answer.stdout.lines().all(|line| line.chars().count() <= 44), "{}", answer.stdout);
}

/// A lesson as the program writes it, kept as a snapshot.
#[track_caller]
fn shown(name: &str, arguments: &[&str]) {
    let answer = run(&[&["explain", &format!("../gearsets/{name}.ron")], arguments].concat());
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        let asked = arguments.join("").replace("--", "-").replace(' ', "-");
        insta::assert_snapshot!(format!("explain{asked}-{name}"), answer.stdout);
    });
}

#[test]
fn lessons_as_a_class_sees_them() {
    shown("millrace-winch", &["--state=ring held"]);
    shown("bevel-differential", &[]);
    shown("lock-keepers-astern-gear", &["--format=markdown"]);
    shown("cross-coupled-two-set", &[]);
    shown("cannot-be-trio", &["--state=neutral"]);
}

/// A state may name the case among what it holds, which changes nothing. The torques of the lesson asked for that of
/// the case, which has none of its own, and the program broke down.
#[test]
fn the_case_among_what_is_held_is_worked_out() {
    let source = read_file("gearsets/millrace-winch.ron").replace("held: [\"ring\"]", "held: [\"ring\", \"case\"]");
    let shown = run_with(command(&["explain", "-"]), source.as_bytes());
    assert_eq!(shown.code, 0, "{}", shown.stderr);
    assert!(shown.stdout.contains("To hold \"ring\" takes"), "{}", shown.stdout);
    assert!(!shown.stdout.contains("To hold the case"), "{}", shown.stdout);
}
