//! Lengths and pitches of an order in words.

use crate::exact::{Fraction, fraction};
use crate::fit::{LengthLimits, OrderedGear};
use crate::gearset::MILLIMETRES_PER_INCH;
use crate::report::words::{Units, mixed, rounded};

/// The pitch as it is told: `module 2.5`, `10 DP`, `stub 8/10 DP`.
pub(super) fn pitch(gear: &OrderedGear) -> String {
    match (&gear.stub_pair, &gear.diametral_pitch) {
        (Some(pair), _) => format!("stub {pair} DP"),
        (None, Some(pitch)) => format!("{} DP", rounded(pitch)),
        (None, None) => format!("module {}", rounded(&gear.module)),
    }
}

/// With a capital at the beginning of a caption.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A shift with its sign; none at all is 0.
pub(super) fn shift(modules: f64) -> String {
    let shown = format!("{modules:+.3}");
    if shown.ends_with("0.000") { "0".into() } else { shown }
}

/// The size of a pin: `4.5 mm`, or in 64ths of an inch where it is one of these.
pub(super) fn pin(millimetres: f64) -> String {
    const NEAR: f64 = 1e-6;
    let in_64ths = millimetres * 64.0 / MILLIMETRES_PER_INCH;
    let nearest = Fraction::from_float(in_64ths.round()).filter(|_| (in_64ths - in_64ths.round()).abs() < NEAR);
    match nearest {
        Some(count) => format!("{} in", mixed(&(count * fraction(1, 64)))),
        None => format!("{} mm", (millimetres * 1000.0).round() / 1000.0),
    }
}

/// Two limits in a unit that a heading names, or the one that is told.
pub(super) fn limits(limits: LengthLimits, units: Units) -> String {
    between(limits, |millimetres| units.number(millimetres))
}

/// Both units.
pub(super) fn limits_in_both(limits: LengthLimits, units: Units) -> String {
    let other = units.other();
    let [first, second] = [units, other].map(|units| format!("{} {}", self::limits(limits, units), units.name()));
    format!("{first} ({second})")
}

fn between(limits: LengthLimits, shown: impl Fn(f64) -> String) -> String {
    match (limits.least_mm.map(&shown), limits.most_mm.map(&shown)) {
        (Some(least), Some(most)) if least == most => least,
        (Some(least), Some(most)) => format!("{least} to {most}"),
        (Some(least), None) => format!("from {least}"),
        (None, Some(most)) => format!("up to {most}"),
        (None, None) => "-".into(),
    }
}
