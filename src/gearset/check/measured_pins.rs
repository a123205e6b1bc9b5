//! Pins that were measured: one measure for each, that can be, and that agree with one another.

use num_traits::Signed;

use crate::exact::{Fraction, fraction};
use crate::gearset::measured_pins::{MeasuredPins, PinTrouble};
use crate::gearset::{IndexRule, PinSize, Problems, Spanned};

/// A pin further than this from where the description has it is another one, in degrees.
const FARTHEST: f64 = 5.0;

/// Checks the measured pins of a planet that has a name and places in the description.
pub(super) fn check(pins: &MeasuredPins, (planet, described): (&str, &[Fraction]), problems: &mut Problems) {
    let planet = planet.to_owned();
    if !pins.error().is_positive() {
        problems.add(pins.error().mark(), IndexRule::PinErrorNotPositive { planet });
        return;
    }
    let lists = lists(pins);
    let are_read = lists.iter().all(|(_, sizes)| sizes.iter().all(|size| size.get().is_some()));
    if !has_sizes(pins, (&planet, described.len()), problems) || !are_read {
        return;
    }
    let [first, last] = [0, lists.len() - 1].map(|list| lists[list].1);
    match pins.off(described) {
        Ok(found) => {
            for (pin, found) in found.iter().enumerate() {
                if found.turns.abs() * 360.0 > FARTHEST {
                    let (planet, degrees) = (planet.clone(), in_degrees(found.turns));
                    let rule = IndexRule::PinElsewhere { planet, pin: pin + 1, degrees };
                    problems.add(first[pin].mark(), rule);
                }
            }
        }
        Err(PinTrouble::ImpossibleChord { pin }) => {
            problems.add(last[pin].mark(), IndexRule::ImpossibleChord { planet, pin: pin + 1 });
        }
        Err(PinTrouble::OpenRing { pin, turns }) => {
            let rule = IndexRule::OpenRing { planet, pin: pin + 1, degrees: in_degrees(turns) };
            problems.add(last[pin].mark(), rule);
        }
    }
}

/// What is measured of each pin: its place, or its radius and its chord to the next.
fn lists(pins: &MeasuredPins) -> Vec<(PinSize, &[Spanned<Fraction>])> {
    match pins {
        MeasuredPins::Degrees { places, .. } => vec![(PinSize::Place, places)],
        MeasuredPins::Chords { radii, chords, .. } => vec![(PinSize::Radius, radii), (PinSize::Chord, chords)],
    }
}

/// Whether there are as many measures as pins, and lengths that can be.
fn has_sizes(pins: &MeasuredPins, (planet, count): (&str, usize), problems: &mut Problems) -> bool {
    let mut are_sound = pins.error().get().is_some();
    let lists = lists(pins);
    let error = pins.error().mark();
    if lists.len() == 2 && count < 3 {
        problems.add(error, IndexRule::ChordsOfFewPins { planet: planet.to_owned(), pins: count });
        are_sound = false;
    }
    for (what, sizes) in lists {
        if sizes.len() != count {
            let planet = planet.to_owned();
            problems.add(error, IndexRule::PinCount { planet, what, measured: sizes.len(), pins: count });
            are_sound = false;
        }
        let is_wrong = |size: &Spanned<Fraction>| what != PinSize::Place && !size.is_positive();
        for (pin, size) in sizes.iter().enumerate().filter(|(_, size)| is_wrong(size)) {
            let rule = IndexRule::PinSizeNotPositive { planet: planet.to_owned(), what, pin: pin + 1 };
            problems.add(size.mark(), rule);
            are_sound = false;
        }
    }
    are_sound
}

/// Turns as degrees that go into a sentence: to thousandths.
fn in_degrees(turns: f64) -> Fraction {
    let thousandths = Fraction::from_float(turns * 360_000.0).unwrap_or_default().round();
    thousandths / fraction(1000, 1)
}
