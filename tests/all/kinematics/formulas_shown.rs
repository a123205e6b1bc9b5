//! Are formulas written so that they can be read back: as text, as TeX, as MathML?
//!
//! Text is read by a small reader of sums and products and worked out with the counts; MathML goes through a reader
//! of XML, in TeX the braces are counted. Names that are no words must not break out of any of them.

use num_bigint::BigInt;
use serde_json::Value;
use toothmark::description::examples;
use toothmark::exact::{Fraction, parse};
use toothmark::gearset::Gearset;

use crate::support::process::{command, run, run_with};
use crate::support::sets::read_set;

/// Names that would do harm where they are not escaped.
const HOSTILE: &str = r#"Gearset(
    title: "<script>alert(1)</script>",
    members: {
        "in": [Sun("<script>", 21)], "out\\end": [Sun("} \\end{x} $%#_~^&", 33)], "a|b": [],
    },
    planets: {
        "two\nlines": (carrier: "a|b", pins: Equal(2), gears: [Gear("7 + 1", 25), Gear("quote \" back \\", 13)]),
    },
    meshes: [("<script>", "7 + 1"), ("} \\end{x} $%#_~^&", "quote \" back \\")],
    states: {"```": Given(held: ["out\\end"], input: "in", output: "a|b")},
)"#;

fn json(arguments: &[&str], text: &str) -> Value {
    let all = [&["formula", "-", "--format", "json"], arguments].concat();
    let answer = run_with(command(&all), text.as_bytes());
    assert_eq!((answer.code, answer.stderr.as_str()), (0, ""), "{arguments:?}");
    serde_json::from_str(&answer.stdout).expect("the answer is JSON")
}

/// Every formula of an answer, wherever it stands.
fn formulas(value: &Value) -> Vec<&Value> {
    match value {
        Value::Object(map) if map.contains_key("with_counts") => vec![value],
        Value::Object(map) => map.values().flat_map(formulas).collect(),
        Value::Array(list) => list.iter().flat_map(formulas).collect(),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => Vec::new(),
    }
}

/// Every formula of a gearset, those of all its members among them.
fn all_formulas(set: &Gearset, text: &str, notation: &str) -> Value {
    let names: Vec<String> = set.members().iter().skip(1).map(|member| member.name().to_owned()).collect();
    let mut arguments = vec!["--notation", notation];
    for name in &names {
        arguments.extend(["--member", name]);
    }
    json(&arguments, text)
}

/// Reads a formula and works it out.
struct Reader<'a> {
    letters: std::iter::Peekable<std::str::Chars<'a>>,
    set: &'a Gearset,
}

impl Reader<'_> {
    fn value(set: &Gearset, text: &str) -> Fraction {
        let mut reader = Reader { letters: text.chars().peekable(), set };
        let value = reader.sum();
        assert_eq!(reader.next_sign(), None, "all of {text} is read");
        value
    }

    fn next_sign(&mut self) -> Option<char> {
        while self.letters.next_if_eq(&' ').is_some() {}
        self.letters.peek().copied()
    }

    fn takes(&mut self, sign: char) -> bool {
        self.next_sign() == Some(sign) && self.letters.next().is_some()
    }

    fn sum(&mut self) -> Fraction {
        let mut sum = if self.takes('-') { -self.product() } else { self.product() };
        loop {
            if self.takes('+') {
                sum += self.product();
            } else if self.takes('-') {
                sum -= self.product();
            } else {
                return sum;
            }
        }
    }

    fn product(&mut self) -> Fraction {
        let mut product = self.power();
        loop {
            if self.takes('*') {
                product *= self.power();
            } else if self.takes('/') {
                product /= self.power();
            } else {
                return product;
            }
        }
    }

    fn power(&mut self) -> Fraction {
        let base = self.atom();
        if !self.takes('^') {
            return base;
        }
        let exponent = self.atom().to_integer();
        num_traits::pow(base, usize::try_from(exponent).expect("exponents are small"))
    }

    fn atom(&mut self) -> Fraction {
        if self.takes('(') {
            let inner = self.sum();
            assert!(self.takes(')'), "a bracket is closed");
            return inner;
        }
        let mut name = String::new();
        if self.takes('"') {
            while let Some(letter) = self.letters.next().filter(|&letter| letter != '"') {
                name.push(if letter == '\\' { self.letters.next().expect("a letter follows") } else { letter });
            }
        } else {
            while let Some(letter) = self.letters.next_if(|letter| letter.is_alphanumeric() || *letter == '_') {
                name.push(letter);
            }
            if name.starts_with(|letter: char| letter.is_ascii_digit()) {
                return parse(&name).expect("it is a number");
            }
        }
        let gear = self.set.gear_named(&name).unwrap_or_else(|| panic!("{name:?} is a gear"));
        Fraction::from(BigInt::from(self.set.gear(gear).tooth_count().get()))
    }
}

/// The value of numerator over denominator, term by term.
fn quotient_of_terms(set: &Gearset, formula: &Value) -> Fraction {
    let power = |power: &Value| {
        let gear = power["gear"].as_str().and_then(|name| set.gear_named(name)).expect("it is a gear");
        let exponent = power["exponent"].as_u64().and_then(|exponent| u32::try_from(exponent).ok());
        BigInt::from(set.gear(gear).tooth_count().get()).pow(exponent.expect("an exponent is small"))
    };
    let term = |term: &Value| {
        let coefficient = term["coefficient"].as_str().and_then(|text| text.parse().ok());
        let powers = term["powers"].as_array().expect("a list").iter();
        powers.map(power).fold(coefficient.expect("a whole number"), |product: BigInt, factor| product * factor)
    };
    let sum = |part: &str| formula[part].as_array().expect("a list").iter().map(term).sum::<BigInt>();
    Fraction::new(sum("numerator"), sum("denominator"))
}

#[test]
fn what_is_written_has_the_value_that_is_told() {
    let built_in = examples().iter().map(|example| (example.name, example.text));
    for (name, text) in built_in.chain([("hostile", HOSTILE)]) {
        let set = read_set(name, text);
        let answer = all_formulas(&set, text, "text");
        for formula in formulas(&answer) {
            let value = formula["value"]["fraction"].as_str().and_then(parse).expect("there is a value");
            for key in ["formula", "one_plus", "with_counts"] {
                if let Some(written) = formula[key].as_str() {
                    assert_eq!(Reader::value(&set, written), value, "{name}: {written}");
                }
            }
            assert_eq!(quotient_of_terms(&set, formula), value, "{name}: {formula}");
        }
        assert!(!formulas(&answer).is_empty() || name == "loom-differential", "{name} has formulas");
    }
}

#[test]
fn mathml_is_well_formed_whatever_gears_are_called() {
    let built_in = examples().iter().map(|example| (example.name, example.text));
    for (name, text) in built_in.chain([("hostile", HOSTILE)]) {
        let set = read_set(name, text);
        for formula in formulas(&all_formulas(&set, text, "mathml")) {
            for written in ["formula", "one_plus", "with_counts"].iter().filter_map(|key| formula[key].as_str()) {
                let page = roxmltree::Document::parse(written).unwrap_or_else(|error| panic!("{written}: {error}"));
                let known = ["math", "mrow", "mfrac", "msup", "mi", "mn", "mo"];
                for element in page.descendants().filter(roxmltree::Node::is_element) {
                    let tag = element.tag_name();
                    assert!(known.contains(&tag.name()), "{written}");
                    assert_eq!(tag.namespace(), Some("http://www.w3.org/1998/Math/MathML"), "{written}");
                    let is_name = tag.name() == "mi";
                    let text = element.text().unwrap_or_default();
                    assert!(!is_name || set.gear_named(text).is_some(), "{text:?} is a gear");
                    let parts = element.children().filter(roxmltree::Node::is_element).count();
                    assert!(!["mfrac", "msup"].contains(&tag.name()) || parts == 2, "{written}");
                }
            }
        }
    }
}

#[test]
fn tex_has_its_braces_balanced_whatever_gears_are_called() {
    let built_in = examples().iter().map(|example| (example.name, example.text));
    for (name, text) in built_in.chain([("hostile", HOSTILE)]) {
        let set = read_set(name, text);
        for formula in formulas(&all_formulas(&set, text, "tex")) {
            for written in ["formula", "one_plus", "with_counts"].iter().filter_map(|key| formula[key].as_str()) {
                is_balanced(written);
            }
        }
    }
}

/// Whether braces match and every command is one of those that formulas are written with.
#[track_caller]
fn is_balanced(written: &str) {
    let commands = [
        "frac",
        "cdot",
        "text",
        "left",
        "right",
        "textbackslash",
        "textasciitilde",
        "textasciicircum",
        "textless",
        "textgreater",
    ];
    let letters: Vec<char> = written.chars().collect();
    let (mut depth, mut at) = (0, 0);
    while at < letters.len() {
        match letters[at] {
            '\\' => {
                let word: String = letters[at + 1..].iter().take_while(|letter| letter.is_ascii_alphabetic()).collect();
                let is_escape = word.is_empty() && "{}$&#_%".contains(letters[at + 1]);
                assert!(is_escape || commands.contains(&word.as_str()), "{word:?} in {written}");
                at += word.len().max(1);
            }
            '{' => depth += 1,
            '}' => depth -= 1,
            '$' | '&' | '#' | '%' | '~' => panic!("{:?} in {written}", letters[at]),
            _ => {}
        }
        assert!(depth >= 0, "{written}");
        at += 1;
    }
    assert_eq!(depth, 0, "{written}");
}

#[test]
fn no_name_breaks_out_of_markdown_or_moves_the_cursor() {
    for notation in ["text", "tex", "mathml"] {
        for format in ["text", "markdown"] {
            let arguments = ["formula", "-", "--notation", notation, "--format", format, "--member", "two\nlines"];
            let answer = run_with(command(&arguments), HOSTILE.as_bytes());
            assert_eq!((answer.code, answer.stderr.as_str()), (0, ""), "{arguments:?}");
            assert!(format == "text" || !answer.stdout.contains("<script>"), "{}", answer.stdout);
            let fences = answer.stdout.lines().filter(|line| line.starts_with("```")).count();
            assert!(fences % 2 == usize::from(format == "text"), "{}", answer.stdout);
            assert!(!answer.stdout.contains("two\nlines"), "{}", answer.stdout);
        }
    }
}

#[test]
fn an_unknown_state_or_member_gets_the_nearest_name() {
    for (arguments, expected) in [
        (["formula", "--state", "lwo"], "write \"low\"; the states are low, reverse, direct, neutral"),
        (["formula", "--member", "flywhel"], "write \"flywheel\"; the members are"),
        (["formula", "--member", "case"], "the members are"),
        (["formula", "--notation", "roman"], "mathml"),
        (["formula", "--format", "tsv"], "json"),
    ] {
        let answer = run(&arguments);
        assert_eq!((answer.code, answer.stdout.as_str()), (2, ""), "{arguments:?}");
        assert!(answer.stderr.contains(expected), "{arguments:?}: {}", answer.stderr);
    }
}

#[test]
fn a_table_program_gets_a_record_for_each_formula() {
    let answer = run(&["formula", "--format", "csv", "--state", "low", "--member", "cluster"]);
    assert_eq!((answer.code, answer.stderr.as_str()), (0, ""));
    let mut reader = csv::Reader::from_reader(answer.stdout.as_bytes());
    let columns = ["quantity", "member", "found", "value"];
    let places = columns.map(|column| reader.headers().expect("RFC 4180").iter().position(|known| known == column));
    let records: Vec<csv::StringRecord> = reader.records().map(|record| record.expect("RFC 4180")).collect();
    let told: Vec<[&str; 4]> =
        records.iter().map(|record| places.map(|place| &record[place.expect("a column")])).collect();
    // In low the output turns 171/481 of the flywheel: the cluster (26/31) (1 - 171/481) = 20/37 against it.
    assert_eq!(
        told,
        [
            ["ratio", "", "drives", "481/171"],
            ["speed", "cluster", "determined", "57/37"],
            ["relative to carrier", "cluster", "determined", "20/37"],
        ]
    );
}

/// An answer kept as a snapshot.
#[track_caller]
fn shown(arguments: &[&str], columns: &str, text: &str, name: &str) {
    let mut asked = command(&[&["formula", "-"], arguments].concat());
    asked.env("COLUMNS", columns);
    let answer = run_with(asked, text.as_bytes());
    assert_eq!(answer.code, 0, "{}", answer.stderr);
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(format!("formula-{name}"), answer.stdout);
    });
}

#[test]
fn formulas_are_shown_in_every_format_and_notation() {
    let text = |name: &str| toothmark::description::example(name).expect("it is built in");
    shown(&[], "100", text("inspection-railcar"), "inspection-railcar");
    shown(&["--member", "planet", "--state", "ring held"], "100", text("millrace-winch"), "member-millrace-winch");
    shown(&["--format", "markdown", "--notation", "tex"], "100", text("millrace-winch"), "tex-markdown-millrace-winch");
    shown(&["--notation", "mathml", "--state", "ring held"], "100", text("millrace-winch"), "mathml-millrace-winch");
    shown(&["--format", "json", "--state", "ring held"], "100", text("millrace-winch"), "json-millrace-winch");
    shown(&["--state", "second"], "44", text("town-bus-pre-selector"), "narrow-town-bus-pre-selector");
    shown(&["--notation", "text"], "100", HOSTILE, "hostile-names");
    shown(&["--notation", "tex"], "100", HOSTILE, "tex-hostile-names");
}

/// Two stepped planets between one sun and two rings on one body: it turns only because both give one ratio.
#[test]
fn a_formula_that_holds_at_these_counts_only_says_on_which_condition() {
    let text = r#"Gearset(
        title: "Twice", members: {"sun": [Sun("S", 20)], "ring": [Ring("R", 90), Ring("Q", 90)], "arm": []},
        planets: {
            "one": (carrier: "arm", pins: Equal(2), gears: [Gear("a", 30), Gear("b", 20)]),
            "two": (carrier: "arm", pins: Equal(2), gears: [Gear("c", 24), Gear("d", 16)]),
        },
        meshes: [("S", "a"), ("b", "R"), ("S", "c"), ("d", "Q")],
        states: {"ring held": Given(held: ["ring"], input: "sun", output: "arm")},
    )"#;
    shown(&[], "100", text, "only-at-these-counts");
}
/// Every stage doubles the terms of the product, which is held expanded.
#[test]
fn a_formula_that_would_fill_pages_is_refused_with_a_word() {
    let each = |stages: usize, text: &dyn Fn(usize) -> String| (0..stages).map(text).collect::<String>();
    let member = |i| format!(r#""sun {i}": [Sun("S{i}", 24)], "ring {i}": [Ring("R{i}", 60)], "carrier {i}": [],"#);
    let planet = |i| format!(r#""planet {i}": (carrier: "carrier {i}", pins: Equal(3), gears: [Gear("p{i}", 18)]),"#);
    let text = format!(
        r#"Gearset(title: "stages", members: {{{}}}, planets: {{{}}}, meshes: [{}], joins: [{}{}],
        states: {{"all held": Given(input: "sun 0", output: "carrier 24")}})"#,
        each(25, &member),
        each(25, &planet),
        each(25, &|i| format!(r#"("S{i}", "p{i}"), ("R{i}", "p{i}"),"#)),
        each(25, &|i| format!(r#"("ring {i}", "case"),"#)),
        each(24, &|i| format!(r#"("carrier {i}", "sun {}"),"#, i + 1)),
    );
    let answer = json(&[], &text);
    assert_eq!(answer["states"][0]["verdict"], "too long");
    assert!(answer["states"][0]["ratio"].is_null(), "{answer}");
}
