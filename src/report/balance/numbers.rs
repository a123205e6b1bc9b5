//! Unbalances, weights and depths in words.

use crate::bench::{GRAM_MILLIMETRES_PER_OUNCE_INCH, GRAMS_PER_OUNCE};
use crate::gearset::MILLIMETRES_PER_INCH;

/// As many digits as a bench can use: none behind the point from 100 on, two below 10.
pub(super) fn amount(value: f64) -> String {
    let decimals = if value.abs() >= 99.5 {
        0
    } else if value.abs() >= 9.95 {
        1
    } else {
        2
    };
    short(value, decimals)
}

/// With so many decimals at most.
pub(super) fn short(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// `836 g mm (1.16 oz in)`.
pub(super) fn unbalance(g_mm: f64) -> String {
    format!("{} g mm ({} oz in)", amount(g_mm), of_ounces(g_mm / GRAM_MILLIMETRES_PER_OUNCE_INCH))
}

/// `9.05 g (0.32 oz)`.
pub(super) fn weight(grams: f64) -> String {
    format!("{} g ({} oz)", short(grams, 1), of_ounces(grams / GRAMS_PER_OUNCE))
}

/// Two decimals, of little ones more, so that they are not told as none.
fn of_ounces(value: f64) -> String {
    let decimals = if value >= 0.1 {
        2
    } else if value >= 0.01 {
        3
    } else {
        4
    };
    short(value, decimals)
}

/// `12 mm`, with inches where they are even ones: `12.7 mm (1/2 in)`.
pub(super) fn size(millimetres: f64) -> String {
    let text = format!("{} mm", short(millimetres, 3));
    even_inches(millimetres).map_or(text.clone(), |inches| format!("{text} ({inches} in)"))
}

/// `18 mm (0.709 in)`.
pub(super) fn depth(millimetres: f64) -> String {
    format!("{} mm ({:.3} in)", short(millimetres, 2), millimetres / MILLIMETRES_PER_INCH)
}

/// The same below a heading that names both: `18 (0.709)`.
pub(super) fn depth_alone(millimetres: f64) -> String {
    format!("{} ({:.3})", short(millimetres, 2), millimetres / MILLIMETRES_PER_INCH)
}

/// `90 deg`.
pub(super) fn angle(degrees: f64) -> String {
    // What rounds to a whole turn is the mark.
    let text = short(degrees, 1);
    format!("{} deg", if text == "360" { "0" } else { &text })
}

/// Inches in sixty-fourths, of what is made in them.
fn even_inches(millimetres: f64) -> Option<String> {
    let parts = millimetres / MILLIMETRES_PER_INCH * 64.0;
    let whole = parts.round();
    if (parts - whole).abs() > 1e-6 || !(1.0..=640.0).contains(&whole) {
        return None;
    }
    let denominator =
        [1.0_f64, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0].into_iter().find(|of| (whole * of / 64.0).fract() < 1e-9)?;
    let numerator = whole * denominator / 64.0;
    Some(if denominator > 1.0 { format!("{numerator:.0}/{denominator:.0}") } else { format!("{numerator:.0}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_told_as_they_are_made() {
        assert_eq!(
            [size(12.0), size(12.7), size(6.35), size(25.4)],
            ["12 mm", "12.7 mm (1/2 in)", "6.35 mm (1/4 in)", "25.4 mm (1 in)"]
        );
        assert_eq!([amount(2122.4), amount(17.46), amount(5.079), amount(99.7)], ["2122", "17.5", "5.08", "100"]);
        assert_eq!([angle(359.98), angle(24.96), angle(-0.0)], ["0 deg", "25 deg", "0 deg"]);
        assert_eq!([unbalance(836.0), weight(28.35)], ["836 g mm (1.16 oz in)", "28.4 g (1 oz)"]);
        assert_eq!([unbalance(1.0), unbalance(20.0)], ["1 g mm (0.0014 oz in)", "20 g mm (0.028 oz in)"]);
    }
}
