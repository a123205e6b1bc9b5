//! What somebody means who describes a gearset in words of the trade: as text of a description, ready to paste.
//!
//! `2.5 mm` is `Module(2.5)`, `10 DP` is `DiametralPitch(10)`, `4 thou` is `Inches(0.004)`, an annulus is a `Ring`, three
//! pins are `Equal(3)`. Only what can be meant in one way is told.

use num_traits::ToPrimitive;

use super::{Angle, DraftPins, Force, Length, Pitch};
use crate::exact::{Fraction, TypedNumber, fraction, parse};
use crate::syntax::{Form, write};

/// A pitch by its unit: `2.5 mm`, `10 DP`, `m=2.5`, `Module: 2.5`.
pub(super) fn pitch(written: &str) -> Option<String> {
    let plain = plain(written);
    if matches!(plain.trim().to_lowercase().as_str(), "dp" | "diametralpitch") {
        return Some("DiametralPitch(10), with the number of your gears".into());
    }
    // "m2.5" is a word of its own.
    let spaced = plain.replacen(|letter: char| letter.is_ascii_digit(), "\u{1}", 1);
    let at = spaced.find('\u{1}')?;
    Some(text::<Pitch>(&Pitch::typed(&format!("{} {}", &plain[..at], &plain[at..])).ok()??))
}

/// A length by its unit: `0.1 mm`, `0.004 in`, `4 thou`, `mm(0.1)`.
pub(super) fn length(written: &str) -> Option<String> {
    let bare = written.strip_prefix('"').and_then(|text| text.strip_suffix('"')).unwrap_or(written);
    let (length, has_unit) = Length::typed(&plain(bare)).ok()?;
    has_unit.then(|| text::<Length>(&length))
}

/// An angle in degrees: `330°`, `330 deg`.
pub(super) fn angle(written: &str) -> Option<String> {
    let degrees = TypedNumber::read(&plain(written)).ok().filter(|typed| !typed.words.is_empty())?;
    let degrees = degrees.with_unit(&["°", "deg", "degree", "degrees"]).ok()?;
    Some(text::<Angle>(&Angle::Degrees(degrees)))
}

/// A force by its unit: `400 N`, `90 lbf`.
pub(super) fn force(written: &str) -> Option<String> {
    let TypedNumber { value, words, .. } = TypedNumber::read(&plain(written)).ok()?;
    match words.concat().as_str() {
        "n" | "newton" | "newtons" => Some(text::<Force>(&Force::Newtons(value))),
        "kn" => Some(text::<Force>(&Force::Newtons(value * fraction(1000, 1)))),
        "lb" | "lbs" | "lbf" | "pounds" => Some(text::<Force>(&Force::PoundsForce(value))),
        _ => None,
    }
}

/// The same in signs of plain text: brackets, equals signs and colons part words only.
fn plain(written: &str) -> String {
    written.replace(['(', ')', '=', ':'], " ")
}

/// A value as it is written, in one line.
fn text<F: Form>(value: &F::Value) -> String {
    write::<F>(value).lines().map(str::trim).collect::<String>().replace(",)", ")")
}

/// Pins by their number or their places: `3`, `3 pins`, `three`, `[0, 120, 240]`.
pub(super) fn pins(written: &str) -> Option<String> {
    const WORDS: [&str; 7] = ["two", "three", "four", "five", "six", "seven", "eight"];
    let places = written.strip_prefix('[').and_then(|text| text.strip_suffix(']'));
    if let Some(places) = places {
        return places_of_pins(places);
    }
    let lower = plain(written).trim_matches('"').to_lowercase();
    let first = lower.trim().trim_start_matches("equal").trim();
    let first = first.trim_end_matches("pins").trim_end_matches("planets").trim();
    let count = WORDS.iter().position(|word| *word == first).map(|at| at + 2).or_else(|| first.parse().ok())?;
    // 120 degrees from pin to pin are three of them.
    let count = if count >= 45 && 360 % count == 0 { 360 / count } else { count };
    let pins = DraftPins::Equal(count.to_i64()?);
    (1..=100).contains(&count).then(|| text::<DraftPins>(&pins))
}

/// Places in parts of a turn where all are below one, in degrees else; one number alone counts the pins.
fn places_of_pins(written: &str) -> Option<String> {
    let read = |place: &str| parse(place.trim().trim_matches('"'));
    let places: Vec<Fraction> = written.trim_end_matches(',').split(',').map(read).collect::<Option<_>>()?;
    if let [only] = places.as_slice() {
        return only.to_i64().filter(|_| only.is_integer()).and_then(|count| pins(&count.to_string()));
    }
    let are_turns = places.iter().all(|place| *place < fraction(1, 1));
    let pins = if are_turns { DraftPins::turns(places) } else { DraftPins::degrees(places) };
    Some(text::<DraftPins>(&pins))
}

/// A gear on the main axis by the word that the trade has for it.
pub(super) fn central_gear(written: &str) -> Option<String> {
    renamed(
        written,
        &[
            ("Ring", &["ring", "annulus", "internal", "ringgear", "internalgear"]),
            ("Sun", &["sun", "gear", "external", "pinion", "sungear", "spur", "central"]),
            ("Bevel", &["bevel", "side", "sidegear", "bevelgear"]),
        ],
    )
}

/// A gear of a planet by the word that the trade has for it.
pub(super) fn planet_gear(written: &str) -> Option<String> {
    renamed(
        written,
        &[
            ("Gear", &["gear", "planet", "pinion", "external", "sun", "planetgear", "spur"]),
            ("Internal", &["internal", "ring", "annulus"]),
            ("Bevel", &["bevel", "bevelgear"]),
        ],
    )
}

/// A control by the word that the trade has for it.
pub(super) fn control(written: &str) -> Option<String> {
    renamed(
        written,
        &[
            ("Band", &["band", "brake", "bandbrake"]),
            ("Clutch", &["clutch", "plateclutch", "coupling"]),
            ("OneWayClutch", &["onewayclutch", "sprag", "freewheel", "overrunningclutch", "oneway"]),
        ],
    )
}

/// A state by the controls that are applied in it: `["low band"]`, `"low band"`.
pub(super) fn state(written: &str) -> Option<String> {
    if written.starts_with('[') && written.ends_with(']') && !written.contains(['(', ':']) {
        return Some(format!("Apply({written})"));
    }
    if written.starts_with('"') && written.ends_with('"') && written.matches('"').count() == 2 {
        return Some(format!("Apply([{written}])"));
    }
    renamed(written, &[("Apply", &["apply", "applied", "engage", "engaged"]), ("Given", &["given"])])
}

/// Another word before the same brackets; the first list that holds the word in any case of letters.
fn renamed(written: &str, words: &[(&str, &[&str])]) -> Option<String> {
    let (word, brackets) = written.split_at(written.find('(')?);
    let lower: String = word.to_lowercase().chars().filter(|letter| letter.is_alphanumeric()).collect();
    let (right, _) = words.iter().find(|(_, known)| known.contains(&lower.as_str()))?;
    (brackets.ends_with(')')).then(|| format!("{right}{brackets}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn means(meant: fn(&str) -> Option<String>, cases: &[(&str, Option<&str>)]) {
        for (written, expected) in cases {
            assert_eq!(meant(written).as_deref(), *expected, "{written}");
        }
    }

    #[test]
    fn sizes_are_understood_by_their_units() {
        means(
            pitch,
            &[
                ("2.5mm", Some("Module(2.5)")),
                ("2,5 mm", Some("Module(2.5)")),
                ("m=2.5", Some("Module(2.5)")),
                ("m2.5", Some("Module(2.5)")),
                ("Module: 2.5", Some("Module(2.5)")),
                ("10 DP", Some("DiametralPitch(10)")),
                ("DP(10)", Some("DiametralPitch(10)")),
                ("2.5", None),
                ("10 in", None),
            ],
        );
        means(
            length,
            &[
                ("0.1 mm", Some("Millimetres(0.1)")),
                ("\"0.1 mm\"", Some("Millimetres(0.1)")),
                ("4 thou", Some("Inches(0.004)")),
                ("0.004\"", Some("Inches(0.004)")),
                ("1/8 in", Some("Inches(0.125)")),
                ("mm(0.1)", Some("Millimetres(0.1)")),
                ("0.1", None),
                ("0.1 ell", None),
            ],
        );
        means(angle, &[("330°", Some("Degrees(330)")), ("330 deg", Some("Degrees(330)")), ("330", None)]);
        means(force, &[("400 N", Some("Newtons(400)")), ("90 lbf", Some("PoundsForce(90)")), ("400", None)]);
    }

    #[test]
    fn pins_are_understood_by_number_and_places() {
        means(
            pins,
            &[
                ("3", Some("Equal(3)")),
                ("3 pins", Some("Equal(3)")),
                ("three", Some("Equal(3)")),
                ("120", Some("Equal(3)")),
                ("equal(4)", Some("Equal(4)")),
                ("[3]", Some("Equal(3)")),
                ("[0, 120, 240]", Some("Degrees([0, 120, 240])")),
                ("[0, \"1/3\", \"2/3\"]", Some("Turns([0, \"1/3\", \"2/3\"])")),
                ("many", None),
                ("0", None),
                ("1000", None),
            ],
        );
    }

    #[test]
    fn parts_are_understood_by_the_words_of_the_trade() {
        means(
            central_gear,
            &[
                ("Annulus(\"R\", 60)", Some("Ring(\"R\", 60)")),
                ("SUN(\"S\", 24)", Some("Sun(\"S\", 24)")),
                ("Wheel(\"S\", 24)", None),
                ("Annulus", None),
            ],
        );
        means(planet_gear, &[("Pinion(\"p\", 18)", Some("Gear(\"p\", 18)"))]);
        means(control, &[("Brake(\"ring\")", Some("Band(\"ring\")"))]);
        means(
            state,
            &[("[\"low band\"]", Some("Apply([\"low band\"])")), ("\"low band\"", Some("Apply([\"low band\"])"))],
        );
    }
}
