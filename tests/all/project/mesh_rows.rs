//! Does any file write the row of a mesh itself, where the mesh matrix has it?
//!
//! A row `+z_a, +z_b, -(z_a + z_b)` needs signed tooth counts, the negative sum of two, and something that solves it.
//! Signed counts are made below `src/gearset/` and nowhere else; matrices, equations and systems are made from scratch
//! only in the files listed here, which add to the rows what is not a mesh; and a negative sum stands in no module that
//! works with meshes.

use super::sources::{Source, sources, tokens, tokens_outside_tests};

/// Words, and where they may stand: folders and files below `src`.
const RESERVED: &[(&[&str], &[&str])] = &[
    (&["signed_tooth_count"], &["gearset/"]),
    (&["SignedGear", "{"], &["gearset/"]),
    (&["MeshRow", "{"], &["gearset/"]),
    // Loops put the columns of what is not described beside those of the matrix.
    (&["IntegerMatrix", "::", "new"], &["exact/", "gearset/", "timing/loops.rs"]),
    // The speed of one member against another is one more unknown; a practice problem has rows that are wrong.
    (
        &["LinearSystem", "::", "new"],
        &["exact/", "kinematics/train.rs", "statics/balance.rs", "practice/train_value.rs"],
    ),
    (&["Term", "::", "of"], &["exact/", "gearset/", "kinematics/train.rs", "statics/balance.rs"]),
    (&["rolling_terms"], &["gearset/", "practice/train_value.rs"]),
];

/// Folders in which `-(a + b)` and `-a - b` have other meanings: numbers as such, lengths and pictures, layout.
const NEGATIVE_SUMS: &[&str] =
    &["exact/", "gearset/", "tooth/", "search/", "drawing/", "clearance/", "report/", "cli/"];

/// Every row, or part of one, that a file writes itself.
fn own_rows(source: &Source) -> Vec<String> {
    let path = source.path.display().to_string();
    let tokens = tokens_outside_tests(&source.text);
    let may = |places: &[&str]| places.iter().any(|place| path.starts_with(place));
    let has = |words: &[&str]| tokens.windows(words.len()).any(|window| window == words);
    let mut found: Vec<String> = RESERVED
        .iter()
        .filter(|(words, places)| has(words) && !may(places))
        .map(|(words, _)| format!("{path} says {}", words.concat()))
        .collect();
    if !may(NEGATIVE_SUMS) {
        let sums = (0..tokens.len()).filter(|&at| is_negative_sum(&tokens, at));
        found.extend(sums.map(|at| format!("{path}: {}", tokens[at..tokens.len().min(at + 12)].join(" "))));
    }
    found
}

/// Whether `-(a + b)` or `-a - b` begins here.
fn is_negative_sum(tokens: &[String], at: usize) -> bool {
    let word = |at: usize| tokens.get(at).map_or("", String::as_str);
    let after_operand = at > 0 && (is_operand_end(word(at - 1)) && word(at - 1) != "return");
    if word(at) != "-" || after_operand || word(at + 1) == ">" {
        return false;
    }
    let end = operand_end(tokens, at + 1);
    let (open, close) = (at + 1, end.saturating_sub(1));
    let sum_in_brackets = word(open) == "(" && word(close) == ")" && closing(tokens, open) == close && {
        let mut depth = 0_usize;
        (open..close).any(|at| {
            match word(at) {
                "(" | "[" | "{" => depth += 1,
                ")" | "]" | "}" => depth -= 1,
                _ => {}
            }
            depth == 1 && matches!(word(at), "+" | "-") && is_operand_end(word(at - 1))
        })
    };
    sum_in_brackets || (word(end) == "-" && are_alike(tokens, at + 1, end))
}

/// Whether what is subtracted twice is of one kind, as `first.0` and `second.0` or z and y are: the operand from `start`
/// to the sign at `minus`, and the one after it.
fn are_alike(tokens: &[String], start: usize, minus: usize) -> bool {
    let end = operand_end(tokens, minus + 1).min(tokens.len());
    let (one, other) = (&tokens[start..minus], &tokens[minus + 1..end]);
    let is_symbol = |operand: &[String]| operand.len() == 1 && (operand[0].len() <= 2 || operand[0].contains("z_"));
    (one.len() > 1 && one.last() == other.last()) || (is_symbol(one) && is_symbol(other))
}

/// Whether a word or sign ends something that can be subtracted from.
fn is_operand_end(word: &str) -> bool {
    matches!(word, ")" | "]" | "\"\"") || word.chars().all(|letter| letter.is_alphanumeric() || letter == '_')
}

/// The place after an operand that begins here: a path with its fields, calls and places, or something in brackets.
fn operand_end(tokens: &[String], start: usize) -> usize {
    let word = |at: usize| tokens.get(at).map_or("", String::as_str);
    let mut at = start;
    while matches!(word(at), "&" | "*") {
        at += 1;
    }
    loop {
        at = if matches!(word(at), "(" | "[") { closing(tokens, at) + 1 } else { at + 1 };
        match word(at) {
            "." | "::" => at += 1,
            "(" | "[" | "?" => {}
            _ => return at,
        }
    }
}

/// The bracket that closes the one here.
fn closing(tokens: &[String], open: usize) -> usize {
    let mut depth = 0_usize;
    for (at, token) in tokens.iter().enumerate().skip(open) {
        match token.as_str() {
            "(" | "[" | "{" => depth += 1,
            ")" | "]" | "}" if depth == 1 => return at,
            ")" | "]" | "}" => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    tokens.len()
}

#[test]
fn no_file_writes_rows_of_its_own() {
    let sources = sources();
    let found: Vec<String> = sources.iter().flat_map(own_rows).collect();
    assert!(found.is_empty(), "take them from gearset::MeshMatrix:\n{}", found.join("\n"));
    // No place is allowed what it does not do.
    for (words, places) in RESERVED {
        for place in *places {
            let says = |source: &Source| tokens(&source.text).windows(words.len()).any(|window| window == *words);
            let of_place = |source: &&Source| source.path.display().to_string().starts_with(place);
            assert!(sources.iter().filter(of_place).any(says), "{place} does not say {}", words.concat());
        }
    }
}

#[test]
fn a_row_is_seen_however_it_is_written() {
    let found = |path: &str, text: &str| own_rows(&Source { path: path.into(), text: text.into() }).len();
    // As the rows of speeds, of polynomials and of losses could be written.
    let of_speeds = "fn f() { let (z_a, z_b) = (a.signed_tooth_count(), b.signed_tooth_count());
        [(z_a, a.member()), (z_b, b.member()), (-(z_a + z_b), mesh.carrier())] }";
    assert_eq!(found("statics/loads.rs", of_speeds), 2);
    assert_eq!(found("formula/rows.rs", "let sum = -(&count(a) + &count(b));"), 1);
    assert_eq!(found("statics/losses.rs", "[(p * z, a), (q * y, b), (-(p * z + q * y), c)]"), 1);
    assert_eq!(found("statics/power.rs", "None => -first.0 - second.0,"), 1);
    assert_eq!(found("kinematics/lever.rs", "let c = -row.gears[0].tooth_count - row.gears[1].tooth_count;"), 1);
    assert_eq!(found("timing/loops.rs", "return -(z(a) - (y + 1));"), 1);
    assert_eq!(found("kinematics/lever.rs", "let c = -z_a - z_b;"), 1);
    // As the matrix of the timing could be.
    assert_eq!(found("drawing/seating.rs", "let matrix = IntegerMatrix::new(rows.len(), planets, entries);"), 1);
    assert_eq!(found("lesson/freedom.rs", "let rank = LinearSystem::new(3, rows, &[]).dependencies(&[]).rank;"), 1);
    assert_eq!(found("running/work.rs", "exact :: Term\n:: of(z, 1)"), 1);
    assert_eq!(found("timing/group.rs", "SignedGear { gear, member, tooth_count: -count }"), 1);
}

#[test]
fn what_is_no_row_is_left_alone() {
    let found = |path: &str, text: &str| own_rows(&Source { path: path.into(), text: text.into() });
    let none: Vec<String> = Vec::new();
    assert_eq!(found("timing/marks.rs", "// -(z_a + z_b)\nfn f(a: i64) -> i64 { b - (a + c) - d - e }"), none);
    assert_eq!(found("timing/wrong/mod.rs", "play >= -ease_by_force - LEAST"), none);
    assert_eq!(found("timing/marks.rs", "let f = |x: i64| -x; g(-y, z - 1, -f(a + b))"), none);
    assert_eq!(
        found("statics/power.rs", "for term in set.matrix().row(mesh).terms() { add(-term.coefficient) }"),
        none
    );
    assert_eq!(found("gearset/gear.rs", "pub fn signed_tooth_count(&self) -> i64 { -(a + b) }"), none);
}
