//! How a text is changed: as a person would by a slip, so that most of it can still be read.
//!
//! A text is a list of tokens: words, numbers, texts in quotes, signs, white space. Tokens change places or become
//! another of their kind, what stands in brackets is doubled, taken out or put in; now and then the text is another one
//! altogether. One change in three is left to the engine, which knows bytes and the dictionary.

use std::ops::Range;

use libfuzzer_sys::fuzzer_mutate;

use crate::draws::Draws;
use crate::made_up::{self, Kind};

/// Changes a text in its place, and tells how long it is then.
pub fn mutate(kind: Kind, bytes: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    let mut draws = Draws::new(seed);
    let changed = match (draws.below(24), std::str::from_utf8(&bytes[..size])) {
        (0, _) => made_up::text(kind, &mut draws),
        (1..=15, Ok(text)) => {
            let mut text = text.to_owned();
            for _ in 0..=draws.below(3) {
                text = with_slip(kind, &text, &mut draws);
            }
            text
        }
        _ => return fuzzer_mutate(bytes, size, most),
    };
    if changed.len() > most {
        return fuzzer_mutate(bytes, size, most);
    }
    bytes[..changed.len()].copy_from_slice(changed.as_bytes());
    changed.len()
}

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    Word,
    Number,
    Quoted,
    Sign,
    Space,
}

/// The text with one slip.
fn with_slip(kind: Kind, text: &str, draws: &mut Draws) -> String {
    let tokens = tokens(text);
    let replaced = |place: &Range<usize>, by: &str| format!("{}{by}{}", &text[..place.start], &text[place.end..]);
    let of =
        |sort: Sort| tokens.iter().filter(|(own, _)| *own == sort).map(|(_, place)| place.clone()).collect::<Vec<_>>();
    match draws.below(10) {
        0 | 1 => {
            let numbers = of(Sort::Number);
            let Some(place) = one_of(&numbers, draws) else { return text.to_owned() };
            replaced(place, &number(&text[place.clone()], draws))
        }
        2 | 3 => {
            // One of a kind in the place of another.
            let sort = *draws.pick(&[Sort::Word, Sort::Number, Sort::Quoted]);
            let alike = of(sort);
            let (Some(place), Some(other)) = (one_of(&alike, draws), one_of(&alike, draws)) else {
                return text.to_owned();
            };
            replaced(place, &text[other.clone()])
        }
        4 => {
            let words = of(Sort::Word);
            let Some(place) = one_of(&words, draws) else { return text.to_owned() };
            replaced(place, &made_up::word(kind, draws))
        }
        5 | 6 => {
            // A further entry behind a bracket that opens or a comma.
            let signs: Vec<_> =
                of(Sort::Sign).into_iter().filter(|place| "([{,".contains(&text[place.clone()])).collect();
            let Some(place) = one_of(&signs, draws) else { return made_up::entry(kind, draws) };
            format!("{} {}, {}", &text[..place.end], made_up::entry(kind, draws), &text[place.end..])
        }
        7 => {
            let Some(group) = group(text, &tokens, draws) else { return text.to_owned() };
            format!("{}, {}{}", &text[..group.end], &text[group.clone()], &text[group.end..])
        }
        8 => {
            let Some(group) = group(text, &tokens, draws) else { return text.to_owned() };
            replaced(&group, "")
        }
        _ => {
            let Some((_, place)) = one_of(&tokens, draws) else { return text.to_owned() };
            replaced(place, "")
        }
    }
}

fn one_of<'a, T>(choices: &'a [T], draws: &mut Draws) -> Option<&'a T> {
    if choices.is_empty() { None } else { Some(draws.pick(choices)) }
}

/// Another number in the place of one.
fn number(old: &str, draws: &mut Draws) -> String {
    let value: i64 = old.parse().unwrap_or(1);
    match draws.below(6) {
        0 => value.wrapping_add(1).to_string(),
        1 => value.wrapping_sub(1).to_string(),
        2 => value.wrapping_mul(2).to_string(),
        3 => draws.below(100).to_string(),
        _ => (*draws.pick(made_up::NUMBERS)).to_owned(),
    }
}

/// A token from a bracket that opens to the one that closes it, with the word before it.
fn group(text: &str, tokens: &[(Sort, Range<usize>)], draws: &mut Draws) -> Option<Range<usize>> {
    let opens = |(_, place): &&(Sort, Range<usize>)| ["(", "[", "{"].contains(&&text[place.clone()]);
    let starts: Vec<usize> = tokens.iter().filter(opens).map(|(_, place)| place.start).collect();
    let start = *one_of(&starts, draws)?;
    let mut depth = 0_usize;
    for (_, place) in tokens.iter().filter(|(_, place)| place.start >= start) {
        match &text[place.clone()] {
            "(" | "[" | "{" => depth += 1,
            ")" | "]" | "}" if depth == 1 => {
                let before = tokens.iter().find(|(sort, before)| *sort == Sort::Word && before.end == start);
                return Some(before.map_or(start, |(_, word)| word.start)..place.end);
            }
            ")" | "]" | "}" => depth -= 1,
            _ => {}
        }
    }
    None
}

/// The text as tokens, nothing left out.
fn tokens(text: &str) -> Vec<(Sort, Range<usize>)> {
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let (sort, length) = token(rest, first);
        let start = text.len() - rest.len();
        tokens.push((sort, start..start + length));
        rest = &rest[length..];
    }
    tokens
}

fn token(rest: &str, first: char) -> (Sort, usize) {
    let until = |stops: &dyn Fn(char) -> bool| rest.find(stops).unwrap_or(rest.len());
    if first == '"' {
        let mut is_escaped = false;
        let end = rest[1..].find(|letter| {
            let closes = letter == '"' && !is_escaped;
            is_escaped = letter == '\\' && !is_escaped;
            closes
        });
        (Sort::Quoted, end.map_or(1, |end| end + 2))
    } else if first.is_ascii_digit() || first == '-' && rest[1..].starts_with(|next: char| next.is_ascii_digit()) {
        (
            Sort::Number,
            1 + rest[1..].find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(rest.len() - 1),
        )
    } else if first.is_alphabetic() || first == '_' {
        (Sort::Word, until(&|letter| !letter.is_alphanumeric() && letter != '_'))
    } else if first.is_whitespace() {
        (Sort::Space, until(&|letter| !letter.is_whitespace()))
    } else {
        (Sort::Sign, first.len_utf8())
    }
}
