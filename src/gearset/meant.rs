//! What somebody means who describes a gearset in words of the trade: as text of a description, ready to paste.
//!
//! `2.5 mm` is `Module(2.5)`, `10 DP` is `DiametralPitch(10)`, `4 thou` is `Inches(0.004)`, an annulus is a `Ring`, three
//! pins are `Equal(3)`. Only what can be meant in one way is told.

use crate::syntax::{Form, write};

/// A text in which brackets, equals signs and colons part words only.
pub(super) fn plain(written: &str) -> String {
    written.replace(['(', ')', '=', ':'], " ")
}

/// A value as it is written, in one line.
pub(super) fn text<F: Form>(value: &F::Value) -> String {
    write::<F>(value).lines().map(str::trim).collect::<String>().replace(",)", ")")
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

/// Checks what is understood of each text.
#[cfg(test)]
#[track_caller]
pub(super) fn means(meant: fn(&str) -> Option<String>, cases: &[(&str, Option<&str>)]) {
    for (written, expected) in cases {
        assert_eq!(meant(written).as_deref(), *expected, "{written}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
