//! The job sheet: is the page complete in itself, well formed, and safe from what names hold?
//!
//! The HTML is read back by an XML reader, which takes nothing that is not well formed; what
//! it should say is looked at in the snapshot of the same sheet as Markdown.

use roxmltree::{Document, ParsingOptions};

use crate::support::process::{command, run_with};

const NAME: &str = "<script>alert(1)</script> & \\\" 'ring'";

/// A set of one plain planet whose names are full of signs that HTML takes for its own.
fn hostile() -> String {
    format!(
        "Gearset(title: \"{NAME}\", input: \"{NAME}\", output: \"c\", members: {{\"{NAME}\": [Sun(\"<b>\", 24)], \"r\": \
         [Ring(\"R\", 60)], \"c\": []}}, planets: {{\"<img src=x>\": (carrier: \"c\", pins: Equal(3), gears: \
         [Gear(\"p\", 18)])}}, meshes: [(\"<b>\", \"p\"), (\"R\", \"p\")], states: {{\"</td>\": Given(held: [\"r\"])}})"
    )
}

fn sheet(text: &str) -> String {
    let answer = run_with(command(&["sheet", "-"]), text.as_bytes());
    assert!(answer.code < 2 && answer.stderr.is_empty(), "{}: {}", answer.code, answer.stderr);
    answer.stdout
}

#[test]
fn names_full_of_signs_are_text_and_nothing_else() {
    let page = sheet(&hostile());
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let read = Document::parse_with_options(&page, options).expect("the page is well formed");
    let elements = |name: &str| read.descendants().filter(|node| node.has_tag_name(name)).count();
    assert_eq!([elements("script"), elements("b"), elements("img"), elements("h1")], [0, 0, 0, 1]);
    let text: String = read.descendants().filter_map(|node| node.text()).collect();
    for name in [&NAME.replace('\\', ""), "<b>", "<img src=x>", "</td>"] {
        assert!(text.contains(name), "{name} is shown as written");
    }
}

#[test]
fn the_page_of_every_example_is_well_formed_and_loads_nothing() {
    for example in toothmark::description::examples() {
        let page = sheet(example.text);
        let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
        let read =
            Document::parse_with_options(&page, options).unwrap_or_else(|error| panic!("{}: {error}", example.name));
        let loads = |node: &roxmltree::Node<'_, '_>| node.has_attribute("src") || node.has_attribute("href");
        assert!(!read.descendants().any(|node| loads(&node)), "{} loads something", example.name);
        // A hatch within the page itself is no load.
        assert!(!page.replace("url(#", "").contains("url("), "{} loads something", example.name);
        assert!(!page.contains("@import"), "{} loads something", example.name);
    }
}

#[test]
fn a_sheet_has_a_row_to_fill_in_for_every_gear_mesh_and_pin() {
    let answer = run_with(command(&["sheet", "-", "--format", "markdown"]), hostile().as_bytes()).stdout;
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("sheet-hostile-names", answer);
    });
}

/// Once a set without planets was told how its pins are numbered and what their marks point to.
#[test]
fn a_sheet_of_a_set_without_planets_says_nothing_of_pins_and_planets() {
    let text = "Gearset(title: \"t\", members: {\"shaft\": [], \"drum\": []}, controls: {\"clutch\": Clutch(\"shaft\", \"drum\")})";
    let answer = run_with(command(&["sheet", "-", "--format", "markdown"]), text.as_bytes());
    assert!(answer.code == 0 && answer.stdout.contains("end float"), "{}{}", answer.stdout, answer.stderr);
    for word in ["pin", "planet", "mark,", "the list"] {
        assert!(!answer.stdout.contains(word), "{word}: {}", answer.stdout);
    }
}

/// All of them stood at the end, on the last sheet of paper.
#[test]
fn a_caution_stands_where_it_is_met() {
    let text = toothmark::description::example("inspection-railcar").expect("it is built in");
    let answer = run_with(command(&["sheet", "-", "--format", "markdown"]), text.as_bytes()).stdout;
    let at = |words: &str| answer.find(words).unwrap_or_else(|| panic!("no {words:?} in {answer}"));
    let order = [
        "## Conventions",
        "say from which side you look",
        "## Parts",
        "clutch springs are under load",
        "drums are heavy",
        "| part | gear |",
        "do not force a planet",
        "| pin | gear |",
        "## Readings",
        "it does not say that a gear is strong enough",
    ];
    assert!(order.map(at).is_sorted(), "{answer}");
}

#[test]
fn a_table_longer_than_a_sheet_of_paper_is_broken_between_rows_and_no_other() {
    let is_broken = |pins: usize| {
        let text = format!(
            r#"Gearset(title: "t", members: {{"s": [Sun("A", 144)], "c": []}},
            planets: {{"p": (carrier: "c", pins: Equal({pins}), gears: [Gear("p", 12)])}}, meshes: [("A", "p")])"#
        );
        sheet(&text).contains("<table class=\"long\">")
    };
    assert_eq!([4, 36].map(is_broken), [false, true]);
}
