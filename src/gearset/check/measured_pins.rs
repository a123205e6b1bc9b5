//! Pins that were measured: one measure for each, that can be, and that agree with one another.

use num_traits::Signed;

use crate::exact::{Fraction, fraction};
use crate::gearset::measured_pins::{MeasuredPins, PinTrouble};
use crate::gearset::{IndexRule, Part, PinSize, Problems};

/// A pin further than this from where the description has it is another one, in degrees.
const FARTHEST: f64 = 5.0;

/// Checks the measured pins of a planet that has a name and places in the description.
pub(super) fn check(
    measured: usize,
    pins: &MeasuredPins,
    (planet, described): (&str, &[Fraction]),
    problems: &mut Problems,
) {
    let planet = planet.to_owned();
    if !pins.error().is_positive() {
        problems.add(Part::PinError { measured }, IndexRule::PinErrorNotPositive { planet });
        return;
    }
    if !has_sizes(measured, pins, (&planet, described.len()), problems) {
        return;
    }
    match pins.off(described) {
        Ok(found) => {
            for (pin, found) in found.iter().enumerate() {
                if found.turns.abs() * 360.0 > FARTHEST {
                    let (planet, degrees) = (planet.clone(), in_degrees(found.turns));
                    let rule = IndexRule::PinElsewhere { planet, pin: pin + 1, degrees };
                    problems.add(Part::PinMeasured { measured, pin }, rule);
                }
            }
        }
        Err(PinTrouble::ImpossibleChord { pin }) => {
            problems.add(Part::Chord { measured, pin }, IndexRule::ImpossibleChord { planet, pin: pin + 1 });
        }
        Err(PinTrouble::OpenRing { pin, turns }) => {
            let rule = IndexRule::OpenRing { planet, pin: pin + 1, degrees: in_degrees(turns) };
            problems.add(Part::Chord { measured, pin }, rule);
        }
    }
}

/// Whether there are as many measures as pins, and lengths that can be.
fn has_sizes(measured: usize, pins: &MeasuredPins, (planet, count): (&str, usize), problems: &mut Problems) -> bool {
    let before = problems.len();
    let lists: Vec<(PinSize, &[Fraction])> = match pins {
        MeasuredPins::Degrees { places, .. } => vec![(PinSize::Place, places)],
        MeasuredPins::Chords { radii, chords, .. } => vec![(PinSize::Radius, radii), (PinSize::Chord, chords)],
    };
    if lists.len() == 2 && count < 3 {
        let rule = IndexRule::ChordsOfFewPins { planet: planet.to_owned(), pins: count };
        problems.add(Part::PinError { measured }, rule);
    }
    for (what, sizes) in lists {
        if sizes.len() != count {
            let planet = planet.to_owned();
            let rule = IndexRule::PinCount { planet, what, measured: sizes.len(), pins: count };
            problems.add(Part::PinError { measured }, rule);
        }
        let is_wrong = |size: &Fraction| what != PinSize::Place && !size.is_positive();
        for (pin, _) in sizes.iter().enumerate().filter(|(_, size)| is_wrong(size)) {
            let part = if what == PinSize::Chord {
                Part::Chord { measured, pin }
            } else {
                Part::PinMeasured { measured, pin }
            };
            problems.add(part, IndexRule::PinSizeNotPositive { planet: planet.to_owned(), what, pin: pin + 1 });
        }
    }
    problems.len() == before
}

/// Turns as degrees that go into a sentence: to thousandths.
fn in_degrees(turns: f64) -> Fraction {
    let thousandths = Fraction::from_float(turns * 360_000.0).unwrap_or_default().round();
    thousandths / fraction(1000, 1)
}
