//! Pins as measured on a carrier: their places, or radii and chords, with their error.
//!
//! A chord c between pins on radii r and s spans the angle whose cosine is
//! `(r^2 + s^2 - c^2) / (2 r s)`. Once round the angles make whole turns; what is missing within the error
//! is shared evenly, and the first pin stays where it is.

use crate::exact::{Fraction, to_float};
use crate::syntax::{Needed, Spanned, words};

/// The pins of one kind of planet as measured, in the order of the description.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MeasuredPins {
    /// The place of each in degrees, counter-clockwise seen from the input side.
    Degrees {
        /// The places.
        places: Vec<Spanned<Fraction>>,
        /// How much each may be off.
        error: Spanned<Fraction>,
    },
    /// Radii and chords, all in one unit of length.
    Chords {
        /// The distance of each pin from the main axis.
        radii: Vec<Spanned<Fraction>>,
        /// The distance from each pin to the next, from the last to the first.
        chords: Vec<Spanned<Fraction>>,
        /// How much each of them may be off.
        error: Spanned<Fraction>,
    },
}

words! {
    MeasuredPins for MeasuredPins: "the pins as measured", "Degrees([0, 119.97, 240.02], 0.02)" {
        Degrees(
            "Degrees([0, 119.97, 240.02], 0.02)";
            places: Needed<Vec<Spanned<Fraction>>> = "the list of pin places in square brackets", "[0, 120, 240]";
            error: Spanned<Fraction> = "the error of each place in degrees", "0.02", "above 0"
        ) => { MeasuredPins::Degrees { places, error } }
        Chords(
            "Chords([70, 70, 70.02], [121.2, 121.3, 121.25], 0.02)";
            radii: Needed<Vec<Spanned<Fraction>>> =
                "the list of the radii of the pins in square brackets", "[70, 70, 70.02]", "above 0";
            chords: Needed<Vec<Spanned<Fraction>>> =
                "the list of chords from pin to pin in square brackets", "[121.2, 121.3, 121.25]", "above 0";
            error: Spanned<Fraction> = "the error of each radius and chord", "0.02", "above 0"
        ) => { MeasuredPins::Chords { radii, chords, error } }
    }
}

/// Where a pin is found to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinOff {
    /// How far from where the description has it, the first pin taken as it is: in turns,
    /// counter-clockwise seen from the input side.
    pub turns: f64,
    /// How much that may be off.
    pub uncertainty: f64,
}

/// Why places cannot be told from radii and chords; pins count from 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum PinTrouble {
    /// No triangle has these two radii and this chord.
    ImpossibleChord { pin: usize },
    /// The angles miss a whole turn by more than their errors; this chord is the most unlike the description.
    OpenRing { pin: usize, turns: f64 },
}

impl MeasuredPins {
    /// How much each measure may be off.
    pub fn error(&self) -> &Spanned<Fraction> {
        match self {
            Self::Degrees { error, .. } | Self::Chords { error, .. } => error,
        }
    }

    /// Where each pin is found, given where the description has it, in turns; `None` where that cannot be
    /// told, which no checked gearset has.
    pub fn found(&self, described: &[Fraction]) -> Option<Vec<PinOff>> {
        self.off(described).ok()
    }

    /// Where each pin is found, given where the description has it, in turns; as many as there are pins.
    pub(super) fn off(&self, described: &[Fraction]) -> Result<Vec<PinOff>, PinTrouble> {
        let described: Vec<f64> = described.iter().map(to_float).collect();
        match self {
            Self::Degrees { places, error } => {
                let uncertainty = 2.0 * to_float(error) / 360.0;
                let places: Vec<f64> = places.iter().map(|place| to_float(place) / 360.0).collect();
                let off = |pin: usize| PinOff {
                    turns: nearest_zero(places[pin] - places[0] - described[pin] + described[0]),
                    uncertainty: if pin == 0 { 0.0 } else { uncertainty },
                };
                Ok((0..places.len()).map(off).collect())
            }
            Self::Chords { radii, chords, error } => {
                let floats =
                    |values: &[Spanned<Fraction>]| values.iter().map(|value| to_float(value)).collect::<Vec<f64>>();
                by_chords(&floats(radii), &floats(chords), to_float(error), &described)
            }
        }
    }
}

fn by_chords(radii: &[f64], chords: &[f64], error: f64, described: &[f64]) -> Result<Vec<PinOff>, PinTrouble> {
    let count = radii.len();
    let mut steps = Vec::new();
    for pin in 0..count {
        let next = (pin + 1) % count;
        let impossible = PinTrouble::ImpossibleChord { pin };
        let angle = spanned(radii[pin], radii[next], chords[pin]).ok_or(impossible)?;
        let widest = spanned(radii[pin] - error, radii[next] - error, chords[pin] + error).unwrap_or(0.5);
        let wanted = (described[next] - described[pin]).rem_euclid(1.0);
        let step = if wanted > 0.5 { 1.0 - angle } else { angle };
        steps.push((nearest_zero(step - wanted), (widest - angle).abs()));
    }
    let missing: f64 = steps.iter().map(|step| step.0).sum();
    let error = |steps: &[(f64, f64)]| steps.iter().fold(0.0, |sum, step| sum + step.1);
    if missing.abs() > error(&steps) {
        let unlike = |pin: usize| steps[pin].0.abs();
        let pin = (0..count).max_by(|&a, &b| unlike(a).total_cmp(&unlike(b))).unwrap_or_default();
        return Err(PinTrouble::OpenRing { pin, turns: missing });
    }
    let share = missing / f64::from(u16::try_from(count).unwrap_or(u16::MAX));
    let off = |pin: usize| PinOff {
        turns: steps[..pin].iter().fold(0.0, |sum, step| sum + step.0 - share),
        uncertainty: f64::min(error(&steps[..pin]), error(&steps[pin..])),
    };
    Ok((0..count).map(off).collect())
}

/// The angle at the main axis between two pins, in turns, up to a half.
fn spanned(radius: f64, other: f64, chord: f64) -> Option<f64> {
    let cosine = (radius * radius + other * other - chord * chord) / (2.0 * radius * other);
    (-1.0..=1.0).contains(&cosine).then(|| cosine.acos() / std::f64::consts::TAU)
}

/// A turn less whole turns, nearest to zero.
fn nearest_zero(turns: f64) -> f64 {
    turns - turns.round()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    fn thirds() -> [Fraction; 3] {
        [fraction(0, 1), fraction(1, 3), fraction(2, 3)]
    }

    fn chords(sizes: [i64; 3], error: i64) -> MeasuredPins {
        MeasuredPins::Chords {
            radii: vec![fraction(70, 1).into(); 3],
            chords: sizes.iter().map(|size| fraction(*size, 1000).into()).collect(),
            error: fraction(error, 1000).into(),
        }
    }

    #[test]
    fn equal_chords_on_equal_radii_are_equal_pins() {
        // 70 times the square root of 3.
        let off = chords([121_244; 3], 20).off(&thirds()).expect("they close");
        assert!(off.iter().all(|pin| pin.turns.abs() < 1e-6), "{off:?}");
        assert!(off[0].uncertainty.abs() < 1e-12 && off[1].uncertainty > 1e-5, "{off:?}");
    }

    #[test]
    fn a_pin_moved_along_its_circle_is_found_there() {
        // Chords of 120.1, 119.9 and 120 degrees.
        let off = chords([121_305, 121_182, 121_244], 10).off(&thirds()).expect("they close");
        assert!((off[1].turns * 360.0 - 0.1).abs() < 2e-3, "{off:?}");
        assert!((off[2].turns * 360.0).abs() < 2e-3, "{off:?}");
    }

    #[test]
    fn the_chord_that_contradicts_the_others_is_named() {
        let trouble = chords([121_244, 123_000, 121_244], 20).off(&thirds());
        assert!(matches!(trouble, Err(PinTrouble::OpenRing { pin: 1, .. })), "{trouble:?}");
        let trouble = chords([121_244, 141_000, 121_244], 20).off(&thirds());
        assert_eq!(trouble, Err(PinTrouble::ImpossibleChord { pin: 1 }));
    }

    #[test]
    fn gaps_of_more_than_half_a_turn_are_spanned_the_long_way() {
        let places = [fraction(0, 1), fraction(1, 4), fraction(3, 8)];
        let chord = |degrees: f64| Fraction::from_float(2.0 * (degrees / 360.0 * std::f64::consts::PI).sin()).unwrap();
        let pins = MeasuredPins::Chords {
            radii: vec![fraction(1, 1).into(); 3],
            chords: [90.0, 45.0, 135.0].map(|degrees| chord(degrees).into()).to_vec(),
            error: fraction(1, 10_000).into(),
        };
        let off = pins.off(&places).expect("they close");
        assert!(off.iter().all(|pin| pin.turns.abs() < 1e-9), "{off:?}");
    }
}
