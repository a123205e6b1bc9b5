//! The page with gearsets that turn: are its numbers those of the analysis, do its teeth stay in
//! mesh, and can it be worked by everybody?
//!
//! What needs no browser reads the page as text. The rest presses its buttons in a real one.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use num_traits::{ToPrimitive as _, Zero as _};
use serde_json::Value;
use toothmark::description::examples;
use toothmark::drawing::page::{Extra, PageSet, page};
use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::{GearKind, Gearset, MemberId, Place, Side, bodies_in_state};
use toothmark::kinematics::{Speed, Verdict, motions, settled};

use crate::support::browser::Browser;
use crate::support::outlines::{Contour, TOOTH_AREA, overlap_area};
use crate::support::pictures::{contours, parsed};
use crate::support::process::run;
use crate::support::sets::{read_example, read_file, read_set};

/// Teeth of the page may overlap by this part of a tooth: a chord error of 0.002 modules on each.
const OVERLAP: f64 = 1e-3;

fn html(sets: &[&Gearset]) -> String {
    let sets: Vec<PageSet<'_>> = sets.iter().map(|set| PageSet { set, extras: Vec::new() }).collect();
    page(&sets).html
}

/// The page as the program writes it, formulas and worked solutions included.
fn written(name: &str, descriptions: &[&str]) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("page-{name}"));
    fs::create_dir_all(&folder).expect("a folder");
    let mut arguments = vec!["page".to_owned()];
    for (number, description) in descriptions.iter().enumerate() {
        let file = folder.join(format!("{number}.ron"));
        fs::write(&file, description).expect("it can be written");
        arguments.push(file.to_str().expect("a plain path").to_owned());
    }
    let answer = run(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    assert_ne!(answer.code, 2, "{}", answer.stderr);
    answer.stdout
}

/// The description of a built-in gearset.
fn built_in(name: &str) -> String {
    read_file(&format!("gearsets/{name}.ron"))
}

/// The data of every section.
fn data(html: &str) -> Vec<Value> {
    let parts = html.split("<script type=\"application/json\" class=\"data\">\n").skip(1);
    let part = |part: &str| serde_json::from_str(part.split("</script>").next().expect("an end")).expect("JSON");
    parts.map(part).collect()
}

fn number(value: &Value) -> Option<Fraction> {
    value.as_str().map(|text| parse(text).expect("a fraction"))
}

#[test]
fn the_numbers_of_a_page_are_those_of_the_motion() {
    let mut determined = 0;
    for example in examples() {
        let set = read_set(example.name, example.text);
        let data = data(&html(&[&set])).remove(0);
        for (state, motion) in data["states"].as_array().expect("states").iter().zip(motions(&set)) {
            assert_eq!(state["members"][0]["speed"], "0", "the case stands");
            for member in &motion.members {
                let told = &state["members"][member.member.index()];
                let case = format!("{}, {}: {told}", example.name, motion.state);
                if let Speed::Determined(speed) = &member.speed {
                    assert_eq!(number(&told["speed"]).as_ref(), Some(speed), "{case}");
                    determined += 1;
                }
                assert_eq!(told["open"], member.speed == Speed::Free, "{case}");
            }
        }
    }
    assert!(determined > 500, "only {determined} speeds were compared");
}

/// The signed tooth count of a formula.
fn signed(set: &Gearset, gear: toothmark::gearset::GearId) -> Fraction {
    let teeth = i64::from(set.gear(gear).tooth_count().get());
    let is_negative = matches!(set.gear(gear).kind(), GearKind::Internal | GearKind::BevelCentral(Side::Output));
    fraction(if is_negative { -teeth } else { teeth }, 1)
}

#[test]
fn what_is_chosen_for_open_speeds_obeys_every_mesh_and_stays_a_choice() {
    let mut chosen = 0;
    for example in examples() {
        let set = read_set(example.name, example.text);
        for (told, shown) in motions(&set).iter().zip(settled(&set)) {
            let case = format!("{}, {}", example.name, told.state);
            if matches!(told.verdict, Verdict::Locked { .. }) {
                assert!(shown.held.is_empty(), "{case}: nothing is chosen where nothing moves");
                continue;
            }
            chosen += shown.held.len();
            assert!(shown.motion.members.iter().all(|member| member.speed != Speed::Free), "{case}");
            for (told, shown) in told.members.iter().zip(&shown.motion.members) {
                let is_open = told.speed == Speed::Free;
                assert!(is_open || told.speed == shown.speed, "{case}: {told:?} became {shown:?}");
            }
            let speed = |member: MemberId| match member.index() {
                0 => Some(Fraction::zero()),
                index => shown.motion.members[index - 1].speed.value().cloned(),
            };
            for mesh in set.meshes() {
                let gears = mesh.gears().both().map(|&gear| gear);
                let [a, b] = gears.map(|gear| speed(set.gear(gear).member()));
                let (Some(a), Some(b), Some(c)) = (a, b, speed(mesh.carrier())) else { continue };
                let sum = signed(&set, gears[0]) * (a - &c) + signed(&set, gears[1]) * (b - c);
                assert!(sum.is_zero(), "{case}: a mesh slips by {sum}");
            }
        }
    }
    assert!(chosen > 10, "only {chosen} members were held for a picture");
}

#[test]
fn a_page_names_no_other_place_and_has_no_id_twice() {
    let sets: Vec<Gearset> = examples().iter().map(|example| read_set(example.name, example.text)).collect();
    let page = html(&sets.iter().chain(&sets[..2]).collect::<Vec<_>>());
    assert!(page.contains("default-src 'none'"), "the page forbids itself to load");
    for sign in ["://", "url(", "@import", " src=", "fetch(", "XMLHttp", "innerHTML"] {
        assert!(!page.contains(sign), "the page has {sign}");
    }
    assert!(page.split(" href=\"").skip(1).all(|rest| rest.starts_with('#')), "only its own outlines");
    let ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let different: BTreeSet<&str> = ids.iter().copied().collect();
    assert!(ids.len() > 300 && ids.len() == different.len(), "{} of {} ids differ", different.len(), ids.len());
    for name in ["aria-labelledby", "aria-describedby"] {
        let before = format!(" {name}=\"");
        let named = page.split(&before).skip(1).filter_map(|rest| rest.split('"').next());
        assert!(named.flat_map(|names| names.split(' ')).all(|id| different.contains(id)), "{name}");
    }
}

#[test]
fn every_state_says_which_members_are_input_output_and_held() {
    let mut held = 0;
    for example in examples() {
        let set = read_set(example.name, example.text);
        let data = data(&html(&[&set])).remove(0);
        let told = data["states"].as_array().expect("states");
        for ((told, state), motion) in told.iter().zip(set.states()).zip(motions(&set)) {
            let bodies = bodies_in_state(&set, state);
            for member in set.member_ids().skip(1) {
                let is_held = bodies[member.index()] == MemberId::CASE;
                let roles = [(member == motion.input, "input"), (member == motion.output, "output"), (is_held, "held")];
                let roles: Vec<&str> = roles.iter().filter(|(is_so, _)| *is_so).map(|(_, role)| *role).collect();
                let case = format!("{}, {}, {}", example.name, state.name, set.member(member).name());
                assert_eq!(told["members"][member.index()]["roles"], serde_json::json!(roles), "{case}");
                held += usize::from(is_held);
            }
        }
    }
    assert!(held > 50, "only {held} members are held");
}

#[test]
fn every_member_is_drawn_with_a_mark_and_those_on_the_main_axis_with_a_rim_and_an_arrow() {
    let mut drawn = 0;
    for example in examples() {
        let set = read_set(example.name, example.text);
        let html = html(&[&set]);
        let of = |class: &str| -> BTreeSet<usize> {
            let elements = html.split('<').filter(|element| element.contains(&format!("class=\"{class}")));
            let member = |element: &str| element.split("data-member=\"").nth(1)?.split('"').next()?.parse().ok();
            elements.filter_map(member).collect()
        };
        let (rims, arrows) = (of("solid rim marked"), of("arrow"));
        let marks: BTreeSet<usize> = of("solid mark marked").union(&of("solid pins marked")).copied().collect();
        let has_gears_drawn = !html.contains("is not drawn");
        for member in set.member_ids().skip(1) {
            let (case, index) = (format!("{}, {}", example.name, set.member(member).name()), member.index());
            let is_on_main_axis = *set.member(member).place() == Place::MainAxis;
            assert_eq!(rims.contains(&index), is_on_main_axis, "{case} has a rim");
            assert_eq!(arrows.contains(&index), is_on_main_axis || has_gears_drawn, "{case} has an arrow");
            let has_gears = has_gears_drawn && !set.member(member).gears().is_empty();
            assert!(!has_gears || marks.contains(&index), "the gears of {case} have marks");
            drawn += 1;
        }
    }
    assert!(drawn > 150, "only {drawn} members are drawn");
}

#[test]
fn formulas_are_well_formed_mathml_that_breaks_before_signs_of_equality() {
    let page = written("mathml", &[&built_in("inspection-railcar"), &built_in("three-set-six-speed")]);
    let formulas = page.split("<math").skip(1).map(|rest| rest.split_once("</math>").expect("an end").0);
    let mut fractions = 0;
    for formula in formulas {
        let formula = format!("<math{formula}</math>");
        let document = parsed("a formula", &formula);
        let names = document.descendants().filter(roxmltree::Node::is_element).map(|node| node.tag_name().name());
        for name in names {
            assert!(["math", "mfrac", "mi", "mn", "mo", "mrow", "msup", "mtext"].contains(&name), "{name}: {formula}");
            fractions += usize::from(name == "mfrac");
        }
        let equal = document.descendants().filter(|node| node.text() == Some("=") && node.has_tag_name("mo"));
        assert!(equal.clone().count() <= 1 && equal.clone().all(|node| node.prev_sibling().is_none()), "{formula}");
    }
    assert!(fractions > 20, "only {fractions} fractions");
}

#[test]
fn the_markup_beside_the_pictures_is_as_looked_at() {
    let html = html(&[&read_example("millrace-winch")]);
    let html = html.split("<main>").nth(1).and_then(|rest| rest.split("<script").next()).expect("a section");
    let without_pictures = |part: &str| part.split_once("</svg>").map_or(part.to_owned(), |(_, rest)| rest.to_owned());
    let parts: Vec<String> = html.split("<svg").map(without_pictures).collect();
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("page-millrace-winch", parts.join("(picture)"));
    });
}

#[test]
fn a_further_part_is_taken_as_it_is_and_its_heading_as_text() {
    let set = read_example("millrace-winch");
    let extra = Extra { heading: "a < b".into(), html: "<p>whole</p>".into(), state: Some(1) };
    let page = page(&[PageSet { set: &set, extras: vec![extra] }]).html;
    assert!(page.contains("<summary>a &lt; b</summary>\n<p>whole</p>"));
    assert!(page.contains("<details class=\"extra\" data-state=\"1\">"));
}

#[test]
fn the_program_writes_a_page_and_keeps_what_is_there() {
    let folder = std::env::temp_dir().join(format!("toothmark-page-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder");
    let file = folder.join("page.html");
    let path = file.to_str().expect("a plain path");
    let files = ["../gearsets/millrace-winch.ron", "../gearsets/bevel-differential.ron"];
    let first = run(&["page", files[0], "-o", path]);
    assert_eq!((first.code, first.stdout.trim()), (0, path), "{}", first.stderr);
    let written = fs::read_to_string(&file).expect("it is written");
    assert_eq!(written, run(&["page", files[0]]).stdout, "a file and standard output get the same");
    assert_eq!(run(&["page", files[0], "-o", path]).code, 2, "what is there is kept");
    let second = run(&["page", files[0], files[1], "-o", path, "--force"]);
    assert_eq!(second.code, 1, "bevel gears have no face view");
    assert!(second.stdout.contains("is a bevel gear"), "{}", second.stdout);
    assert_eq!(data(&fs::read_to_string(&file).expect("it is written")).len(), 2);
    fs::remove_dir_all(&folder).expect("it can be taken away");
}

/// A gear of the picture as it stands now.
struct Seen {
    member: String,
    plane: String,
    contours: Vec<Contour>,
}

/// Every gear of every figure of the page, in the axes of the layout.
fn seen(browser: &mut Browser) -> Vec<Seen> {
    let gears = browser.value(
        "[...document.querySelectorAll('.view .gear')].map(gear => { \
         const { a, b, c, d, e, f } = gear.transform.baseVal.consolidate().matrix; \
         const figure = gear.closest('figure').dataset.group; \
         return { matrix: [a, b, c, d, e, f], plane: `${figure} ${gear.dataset.plane}`, \
         member: `${gear.dataset.member} ${gear.dataset.pin}`, \
         outline: document.querySelector(gear.querySelector('use').getAttribute('href')).getAttribute('d') }; })",
    );
    let gear = |gear: &Value| {
        let text = |key: &str| gear[key].as_str().expect("a text").to_owned();
        let m: Vec<f64> = gear["matrix"].as_array().expect("six").iter().filter_map(Value::as_f64).collect();
        let place = |[x, y]: [f64; 2]| [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]];
        let contours = contours(&text("outline")).into_iter().map(|contour| contour.into_iter().map(place).collect());
        Seen { member: text("member"), plane: text("plane"), contours: contours.collect() }
    };
    gears.as_array().expect("gears").iter().map(gear).collect()
}

/// The largest overlap of two gears of one plane, in teeth, and how many pairs there are.
fn largest_overlap(set: &Gearset, gears: &[Seen]) -> (f64, usize) {
    let module = set.meshes()[0].pitch().map_or(1.0, toothmark::gearset::Pitch::module);
    let pairs = gears.iter().enumerate().flat_map(|(at, a)| gears[..at].iter().map(move |b| (a, b)));
    let pairs: Vec<(&Seen, &Seen)> = pairs.filter(|(a, b)| a.plane == b.plane && a.member != b.member).collect();
    let overlaps = pairs.iter().map(|(a, b)| overlap_area(&a.contours, &b.contours) / (TOOTH_AREA * module * module));
    (overlaps.fold(0.0, f64::max), pairs.len())
}

#[test]
fn teeth_are_in_mesh_after_ten_thousand_turns_in_every_state() {
    for name in ["inspection-railcar", "village-bus-automatic", "hoop-reducer"] {
        let set = read_example(name);
        let Some(mut browser) = Browser::open(&format!("turns-{name}"), &html(&[&set])) else { return };
        for state in 0..set.states().len() {
            browser.click(&format!(".state[value=\"{state}\"]"));
            let before = browser.value("document.querySelector('.view').innerHTML");
            if browser.value("document.querySelector('.turn').disabled") == true {
                continue;
            }
            // In small steps of an odd size, as errors would gather, and with pauses to look.
            for turns in ["\"1/3\"", "\"12.343\"", "\"50/7\""] {
                browser.value(&format!(
                    "document.querySelector('.turns').value = {turns}; \
                     for (let i = 0; i < 500; i++) document.querySelector('.turn').click()"
                ));
                let gears = seen(&mut browser);
                let (overlap, pairs) = largest_overlap(&set, &gears);
                assert!(pairs > 5 || name == "hoop-reducer", "{name}: {pairs} pairs are looked at");
                assert!(overlap < OVERLAP, "{name}, state {state}: teeth overlap by {overlap} of a tooth");
            }
            let rolls = browser.value(
                "(() => { const { train } = document.querySelector('section'); \
                 return train.speeds.some(([turns]) => turns !== 0n); })()",
            );
            let after = browser.value("document.querySelector('.view').innerHTML");
            assert_eq!(before != after, rolls == true, "{name}, state {state}: it turns where it has a speed");
            let turned = browser.value("document.querySelector('section').train.turns.map(String).join('/')");
            let turned = parse(turned.as_str().expect("a fraction")).expect("a fraction");
            // 500 (1/3 + 12.343 + 50/7), and not a bit less.
            assert_eq!(turned, fraction(500, 1) * (fraction(1, 3) + fraction(12_343, 1000) + fraction(50, 7)));
            assert!(turned.to_f64().is_some_and(|turns| turns > 9_900.0));
        }
        assert_eq!(browser.complaints(), [""; 0], "{name}");
    }
}

#[test]
fn a_gear_of_the_page_that_is_half_a_tooth_out_overlaps() {
    let set = read_example("millrace-winch");
    let Some(mut browser) = Browser::open("half-a-tooth", &html(&[&set])) else { return };
    assert!(largest_overlap(&set, &seen(&mut browser)).0 < OVERLAP);
    browser.value(
        "(() => { const { train } = document.querySelector('section'); const gear = train.data.gears[0]; \
         train.base[gear.member] = [1n, BigInt(2 * gear.teeth)]; train.draw(); })()",
    );
    let overlap = largest_overlap(&set, &seen(&mut browser)).0;
    assert!(overlap > 10.0 * OVERLAP, "{overlap}");
}

#[test]
fn buttons_change_what_the_page_says() {
    let set = read_example("inspection-railcar");
    let Some(mut browser) = Browser::open("buttons", &written("buttons", &[&built_in("inspection-railcar")])) else {
        return;
    };
    let low = "tr[data-member=\"3\"] ";
    assert_eq!(browser.text(&format!("{low}.speed")), "0", "the low drum is held in low");
    browser.click(".state[value=\"1\"]");
    let reverse = &motions(&set)[1];
    let drum = reverse.members[2].speed.value().expect("it is determined");
    let told = browser.text(&format!("{low}.speed"));
    assert!(told.starts_with(&format!("{drum} = ")), "{told} is {drum}");
    assert!(browser.text(".says").contains("backward"));
    assert_eq!(browser.value("document.querySelector('.state[value=\"1\"]').ariaPressed"), "true");
    assert_eq!(browser.value("document.querySelector('.state[value=\"0\"]').ariaPressed"), "false");
    // Seen from the other side senses turn over.
    let sense = |browser: &mut Browser| browser.text("tr[data-member=\"1\"] .sense");
    assert_eq!(sense(&mut browser), "counter-clockwise");
    browser.click(".side[value=\"output\"]");
    assert_eq!(sense(&mut browser), "clockwise");
    assert!(browser.text(".seen").contains("mirror image"));
    browser.click(".backward");
    assert_eq!(sense(&mut browser), "counter-clockwise");
    // A member picked lights up, and is told.
    browser.click("button.member[value=\"3\"]");
    assert_eq!(browser.value("document.querySelectorAll('.gear.picked').length"), 1);
    assert!(browser.text(".says").contains("“low drum”"), "{}", browser.text(".says"));
    // One plane alone shows its own gears and their names.
    let shown = |browser: &mut Browser, what: &str| {
        let script =
            format!("[...document.querySelectorAll('{what}')].filter(one => one.getBoundingClientRect().width).length");
        browser.value(&script)
    };
    assert_eq!([shown(&mut browser, ".gear"), shown(&mut browser, ".names .name")], [3 * 4, 0], "all planes");
    browser.value(
        "(() => { const planes = document.querySelector('.planes'); planes.value = '1'; \
         planes.dispatchEvent(new Event('change')); })()",
    );
    assert_eq!([shown(&mut browser, ".gear"), shown(&mut browser, ".names .name")], [4, 4], "a sun, three planets");
    // The choice in neutral is stated.
    browser.click(".state[value=\"3\"]");
    assert!(browser.text(".says").contains("\"driven drum\" held still"), "{}", browser.text(".says"));
    assert_eq!(browser.text("tr[data-member=\"2\"] .speed"), "0 (open, as shown)");
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn a_locked_state_says_what_locks_it_and_does_not_move() {
    let text = read_file("gearsets/inspection-railcar.ron");
    let text = text.replace("\"neutral\": Apply([])", "\"both\": Apply([\"low band\", \"reverse band\"])");
    let Some(mut browser) = Browser::open("locked", &written("locked", &[&text])) else { return };
    browser.click(".turn");
    let stands = "[...document.querySelectorAll('.view, .view *')].map(part => part.getAttribute('transform')).join()";
    let before = browser.value(stands);
    browser.click(".state[value=\"3\"]");
    let says = browser.text(".says");
    assert!(says.contains("Locked") && says.contains("\"low band\"") && says.contains("\"reverse band\""), "{says}");
    assert_eq!(browser.value("[...document.querySelectorAll('.run, .turn, .step')].every(b => b.disabled)"), true);
    browser.value("document.querySelector('section').train.advance([1n, 3n])");
    assert_eq!(before, browser.value(stands), "nothing moves");
    browser.click(".state[value=\"0\"]");
    browser.value("document.querySelector('.turns').value = '1/'");
    browser.click(".turn");
    assert!(browser.text(".says").contains("“1/” is no number"), "{}", browser.text(".says"));
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn a_step_is_one_tooth_and_marks_return() {
    let Some(mut browser) = Browser::open("steps", &written("steps", &[&built_in("inspection-railcar")])) else {
        return;
    };
    // Against the carrier D turns 171/481 - 1 per turn of the input: a tooth of 26 each 37/620 turns.
    browser.click(".step");
    assert_eq!(browser.value("document.querySelector('section').train.turns.map(String).join('/')"), "37/620");
    let planets = "(() => { const { train } = document.querySelector('section'); \
                   const arm = degrees(train.place(train.data.groups[0].carrier)); \
                   return (degrees(train.place(train.data.groups[0].planet)) - arm + 720) % 360; })()";
    assert!(
        browser
            .value(planets)
            .as_f64()
            .is_some_and(|turn| (turn - 360.0 / 31.0).abs() < 1e-3 || (turn + 360.0 / 31.0 - 360.0).abs() < 1e-3)
    );
    browser.click(".return[value=\"marks\"]");
    let turn = browser.value(planets).as_f64().expect("a number");
    assert!(turn.min(360.0 - turn) < 1e-6, "the planets stand as they stood: {turn}");
    assert!(browser.text(".says").starts_with("The marks are back after "), "{}", browser.text(".says"));
    assert_eq!(browser.value("document.querySelector('section').train.turns.map(String).join('/')"), "481/10");
    // A state later the marks still return where they stood as assembled, and backward to where they were.
    browser.click(".state[value=\"1\"]");
    browser.click(".turn");
    browser.click(".backward");
    browser.click(".return[value=\"marks\"]");
    assert_eq!(browser.value("document.querySelector('section').train.turns.map(String).join('/')"), "0/1");
    // Followed, the carrier stands and the case turns.
    browser.click(".turn");
    browser.click(".follow");
    let angle = |browser: &mut Browser, part: &str| {
        let script = "(() => { const m = document.querySelector(PART).getCTM(); return Math.atan2(m.b, m.a); })()";
        browser.value(&script.replace("PART", &format!("'{part}'"))).as_f64().expect("an angle")
    };
    let before = [angle(&mut browser, ".arms"), angle(&mut browser, ".case")];
    browser.click(".step");
    assert!((angle(&mut browser, ".arms") - before[0]).abs() < 1e-6, "the carrier stands");
    assert!((angle(&mut browser, ".case") - before[1]).abs() > 1e-3, "the case turns");
}

#[test]
fn nothing_runs_by_itself_and_who_wants_no_motion_gets_steps() {
    let Some(mut browser) = Browser::open("running", &written("running", &[&built_in("millrace-winch")])) else {
        return;
    };
    let turns = |browser: &mut Browser| {
        browser.value("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done())))");
        let turns = browser.value("document.querySelector('section').train.turns.map(String).join('/')");
        parse(turns.as_str().expect("a fraction")).expect("a fraction")
    };
    assert!(turns(&mut browser).is_zero());
    browser.click(".run");
    while turns(&mut browser).is_zero() {}
    browser.click(".run");
    let stopped = turns(&mut browser);
    assert_eq!(turns(&mut browser), stopped, "it stands after stop");
    let still = serde_json::json!({ "features": [{ "name": "prefers-reduced-motion", "value": "reduce" }] });
    browser.ask("Emulation.setEmulatedMedia", &still);
    browser.load();
    browser.click(".run");
    let tooth = loop {
        let turns = turns(&mut browser);
        if !turns.is_zero() {
            break turns;
        }
    };
    browser.click(".run");
    let one = browser.value("document.querySelector('section').train.oneTooth().map(String).join('/')");
    let one = parse(one.as_str().expect("a fraction")).expect("a fraction");
    assert!((tooth / one).is_integer(), "whole teeth");
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn the_tab_key_reaches_every_control_of_two_gearsets_and_keys_press_them() {
    let page = written("keys", &[&built_in("millrace-winch"), &built_in("inspection-railcar")]);
    let Some(mut browser) = Browser::open("keys", &page) else { return };
    let controls = "const all = [...document.querySelectorAll('button, select, input, summary, [tabindex]')]\
                    .filter(element => !element.disabled && element.checkVisibility());";
    let count = browser.value(&format!("{controls} all.length")).as_u64().expect("a number");
    assert!(count > 40, "{count} controls");
    for number in 0..count {
        browser.key("Tab", 9, "");
        let reached = browser.value("all.indexOf(document.activeElement)");
        assert_eq!(reached.as_u64(), Some(number), "the order of the tab key is that of the page");
        assert_ne!(browser.value("getComputedStyle(document.activeElement).outlineStyle"), "none", "focus is seen");
        let name = browser.value("document.activeElement.textContent || document.activeElement.labels?.length || document.activeElement.ariaLabel");
        assert!(name.is_string() || name.is_number(), "a control has a name");
    }
    browser.value("document.querySelector('#set-2 .state[value=\"2\"]').focus()");
    browser.key("Enter", 13, "\r");
    assert!(browser.text("#set-2 .says").starts_with("direct"), "{}", browser.text("#set-2 .says"));
    assert!(!browser.text("#set-1 .says").starts_with("direct"), "the other gearset is left alone");
    browser.value("document.querySelector('#set-2 .follow').focus()");
    browser.key(" ", 32, " ");
    assert_eq!(browser.value("document.querySelector('#set-2 .follow').ariaPressed"), "true");
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn names_full_of_signs_are_text_in_the_page() {
    let name = "<script>window.hurt = 1</script><!-- & ' </section>";
    let text = format!(
        "Gearset(title: \"{name}\", input: \"{name}\", output: \"c\", members: {{\"{name}\": [Sun(\"<b>\", 24)], \"r\": \
         [Ring(\"R\", 60)], \"c\": []}}, planets: {{\"<img src=x onerror=hurt()>\": (carrier: \"c\", pins: Equal(3), \
         gears: [Gear(\"p\\u{{2028}}p\", 18)])}}, meshes: [(\"<b>\", \"p\\u{{2028}}p\"), (\"R\", \"p\\u{{2028}}p\")], states: \
         {{\"</script>\": Given(held: [\"r\"])}})"
    );
    let page = written("hostile", &[&text]);
    assert_eq!(page.matches("<script").count(), 2, "the data and the script");
    let Some(mut browser) = Browser::open("hostile", &page) else { return };
    assert_eq!(browser.text("h1").trim(), name);
    assert_eq!(browser.text("tr[data-member=\"1\"] button").trim(), name);
    assert_eq!(browser.text(".state").trim(), "</script>");
    assert!(browser.text(".says").contains("</script>. Ratio"), "{}", browser.text(".says"));
    assert_eq!(browser.value("document.querySelectorAll('img, b').length"), 0);
    browser.value("for (const extra of document.querySelectorAll('.extra')) extra.open = true");
    let extras = browser.value("[...document.querySelectorAll('.extra')].map(extra => extra.innerText).join()");
    let extras = extras.as_str().expect("a text");
    assert!(extras.contains("</script>") && extras.contains(name) && extras.contains("<img src=x"), "{extras}");
    assert_eq!(browser.value("window.hurt ?? null"), Value::Null);
    browser.click("button.member");
    assert!(browser.text(".says").contains(name), "{}", browser.text(".says"));
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn only_the_chosen_state_is_worked_out_and_the_script_leaves_the_working_alone() {
    let page = written("worked", &[&built_in("inspection-railcar"), &built_in("millrace-winch")]);
    let Some(mut browser) = Browser::open("worked", &page) else { return };
    let all = "[...document.querySelectorAll('#set-1 .extra')]";
    let working = format!("{all}.map(extra => extra.innerHTML).join()");
    let before = browser.value(&working);
    let shown = |browser: &mut Browser| {
        browser.value(&format!(
            "{all}.filter(extra => extra.checkVisibility()).map(extra => extra.dataset.state ?? 'all')"
        ))
    };
    assert_eq!(shown(&mut browser), serde_json::json!(["all", "0"]));
    browser.click("#set-1 .state[value=\"2\"]");
    assert_eq!(shown(&mut browser), serde_json::json!(["all", "2"]));
    let says = "document.querySelector('#set-1 .extra[data-state=\"2\"] dd').textContent.includes('direct clutch')";
    assert_eq!(browser.value(says), true, "it is the working of the state chosen");
    browser.click("#set-1 button.member");
    browser.click("#set-1 .side[value=\"output\"]");
    browser.click("#set-1 .turn");
    assert_eq!(browser.value(&working), before);
    // On paper the caution of the working is kept, though other notes are not.
    browser.ask("Emulation.setEmulatedMedia", &serde_json::json!({ "media": "print" }));
    let display = "getComputedStyle(document.querySelector('.extra .note')).display";
    assert_eq!(browser.value(display), "block");
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn the_dots_of_a_lever_lie_on_one_line_in_every_state() {
    let set = read_example("three-set-six-speed");
    let Some(mut browser) = Browser::open("levers", &written("levers", &[&built_in("three-set-six-speed")])) else {
        return;
    };
    let mut dots = 0;
    for state in 0..set.states().len() {
        browser.click(&format!(".state[value=\"{state}\"]"));
        let farthest = browser.value(
            "Math.max(...[...document.querySelectorAll('.lever svg')].flatMap(lever => { \
             const at = [...lever.querySelectorAll('.node')].map(node => \
             { const { e, f } = node.transform.baseVal.consolidate().matrix; return [e, f]; }); \
             const [[a, b], [c, d]] = [at[0], at[at.length - 1]]; \
             return at.map(([x, y]) => Math.abs((y - b) * (c - a) - (d - b) * (x - a)) / (c - a)); }))",
        );
        assert!(farthest.as_f64().is_some_and(|farthest| farthest < 0.01), "state {state}: {farthest}");
        dots = browser.value("document.querySelectorAll('.node').length").as_u64().unwrap_or(0);
    }
    assert!(dots > 4, "{dots} dots");
    assert_eq!(browser.complaints(), [""; 0]);
}

/// Words of a picture or lever that touch one another or leave it, in every state of every gearset of the page.
const TOUCHING: &str = "(() => {
    const found = new Set();
    const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 \
        && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
    const look = (picture, selector) => {
        const frame = picture.getBoundingClientRect();
        const all = [...picture.querySelectorAll(selector)].map(words => [words.textContent, words.getBoundingClientRect()]);
        const seen = all.filter(([words, box]) => box.width > 0);
        seen.forEach(([words, box], at) => {
            const isInside = box.left > frame.left - 1 && box.right < frame.right + 1 \
                && box.top > frame.top - 1 && box.bottom < frame.bottom + 1;
            if (!isInside) found.add(`${words} leaves its picture`);
            for (const [other, otherBox] of seen.slice(0, at)) if (meet(box, otherBox)) found.add(`${words} / ${other}`);
        });
        return seen.length;
    };
    let count = 0;
    for (const section of document.querySelectorAll('section.gearset')) {
        for (let state = 0; state < section.train.data.states.length; state++) {
            section.train.chooseState(state);
            section.train.advance([3n, 7n]);
            for (const lever of section.querySelectorAll('.lever svg')) count += look(lever, 'text');
            for (const figure of section.train.all('figure svg')) count += look(figure, '.number, .name');
        }
        for (const planes of section.querySelectorAll('.planes')) for (const plane of planes.options) {
            planes.value = plane.value;
            planes.dispatchEvent(new Event('change'));
            count += look(planes.closest('figure').querySelector('svg'), '.number, .name');
        }
    }
    return { found: [...found], count };
})()";

#[test]
fn no_words_of_a_picture_or_lever_touch_in_any_state_of_any_gearset() {
    let sets: Vec<Gearset> = examples().iter().map(|example| read_set(example.name, example.text)).collect();
    let Some(mut browser) = Browser::open("touching", &html(&sets.iter().collect::<Vec<_>>())) else { return };
    for width in [360, 1366] {
        let size = serde_json::json!({ "width": width, "height": 800, "deviceScaleFactor": 1, "mobile": false });
        browser.ask("Emulation.setDeviceMetricsOverride", &size);
        let looked = browser.value(TOUCHING);
        assert_eq!(looked["found"], serde_json::json!([]), "at {width}");
        assert!(looked["count"].as_u64().is_some_and(|count| count > 2000), "{} words", looked["count"]);
    }
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn all_levers_of_a_train_have_one_scale() {
    let set = read_example("bus-with-range-box");
    let page = html(&[&set]);
    let scales: Vec<&str> = page.split(" data-half=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(scales.len() > 1 && scales.iter().all(|scale| *scale == scales[0]), "{scales:?}");
    let Some(mut browser) = Browser::open("one-scale", &page) else { return };
    for state in 0..set.states().len() {
        browser.click(&format!(".state[value=\"{state}\"]"));
        // Along every lever a turn is as many units upward: heights over speeds lie on one line.
        let farthest = browser.value(
            "(() => { const { train } = document.querySelector('section'); \
             const at = train.all('.node').map(node => \
             [float(train.speed(node.dataset.member)), node.transform.baseVal.consolidate().matrix.f]); \
             const [low, high] = [Math.min, Math.max].map(end => at.find(([speed]) => speed === end(...at.map(([s]) => s)))); \
             const unit = (high[1] - low[1]) / (high[0] - low[0] || 1); \
             return Math.max(...at.map(([speed, y]) => Math.abs(y - low[1] - unit * (speed - low[0])))); })()",
        );
        assert!(farthest.as_f64().is_some_and(|farthest| farthest < 0.01), "state {state}: {farthest}");
    }
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
fn a_page_fits_narrow_and_wide_screens_and_dark_ones() {
    let bare = "Gearset(title: \"bare\", members: {\"s\": [Sun(\"S\", 24)], \"c\": []}, planets: {\"p\": (carrier: \"c\", \
                pins: Equal(3), gears: [Gear(\"P\", 18)])}, meshes: [(\"S\", \"P\")])";
    let page = written("narrow", &[&built_in("inspection-railcar"), &built_in("bevel-differential"), bare]);
    let Some(mut browser) = Browser::open("narrow", &page) else { return };
    browser.value("for (const extra of document.querySelectorAll('.extra')) extra.open = true");
    for width in [320, 360, 768, 1280, 1366, 1920] {
        let size = serde_json::json!({ "width": width, "height": 800, "deviceScaleFactor": 1, "mobile": false });
        browser.ask("Emulation.setDeviceMetricsOverride", &size);
        let needed = browser.value("document.documentElement.scrollWidth").as_u64();
        assert!(needed.is_some_and(|needed| needed <= width), "{needed:?} of {width}");
        let cut_off = browser.value(
            "[...document.querySelectorAll('button, .keeps, .speeds, .speeds :is(th, td), .says, figure')] \
             .filter(one => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 1).map(one => one.outerHTML)",
        );
        assert_eq!(cut_off, serde_json::json!([]), "at {width} something is cut off");
        let stays = "scrollTo(0, document.querySelector('.lever').getBoundingClientRect().top); \
                     document.querySelector('.states').getBoundingClientRect().top";
        let top = browser.value(stays).as_f64();
        assert!(top.is_some_and(|top| (0.0..20.0).contains(&top)), "the states are out of sight at {width}: {top:?}");
        browser.value("scrollTo(0, 0)");
    }
    let paper = "getComputedStyle(document.body).backgroundColor";
    assert_eq!(browser.value(paper), "rgb(255, 255, 255)");
    let dark = serde_json::json!({ "features": [{ "name": "prefers-color-scheme", "value": "dark" }] });
    browser.ask("Emulation.setEmulatedMedia", &dark);
    assert_eq!(browser.value(paper), "rgb(20, 22, 26)", "the page is dark where the system is");
    assert_eq!(browser.complaints(), [""; 0]);
}
