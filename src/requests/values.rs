//! Numbers as people type them: speeds, ratios, torques, lengths, `NAME=VALUE`, the same in every command.
//!
//! Each function reads the value of an option.

#![allow(clippy::missing_errors_doc, reason = "each refuses what is none of what it reads, in its own words")]

use num_traits::{Signed, Zero};

use super::refusal::Refusal;
use crate::exact::{Fraction, Mistyped, TypedNumber, fraction};
use crate::gearset::{DraftPins, DraftTurns, Efficiency, Length};
use crate::quick::turns;
use crate::search::{MOST_PARTS, WorkShare};
use crate::statics::{InputTorque, TorqueUnit};

/// A name as it is.
///
/// # Errors
/// None: any text may be a name.
pub fn name(text: &str) -> Result<String, Refusal> {
    Ok(text.to_owned())
}

/// How many: a whole number of 0 or more.
///
/// # Errors
/// Anything else.
pub fn count(text: &str) -> Result<usize, Refusal> {
    let count = text.trim().parse();
    count.map_err(|_| Refusal::new(format!("{text:?} is not a whole number"), "write digits only, such as 3"))
}

/// A speed in revolutions per minute, with its sign.
pub fn speed(text: &str) -> Result<Fraction, Refusal> {
    number(text, "a speed", SPEED_HINT, PER_MINUTE)
}

/// A speed of the input that turns something.
pub fn speed_but_zero(text: &str) -> Result<Fraction, Refusal> {
    speed(text)
        .and_then(|speed| (!speed.is_zero()).then_some(speed).ok_or_else(|| not_one(text, "a speed", SPEED_HINT)))
}

const SPEED_HINT: &str = "write a number such as 1500, 62.5 or 400/3";

/// How the unit of a speed is written, which is always the same and need not be.
const PER_MINUTE: &[&str] = &["rpm", "r/min", "rev/min", "1/min", "min1"];

/// A speed of the input above zero.
pub fn forward_speed(text: &str) -> Result<Fraction, Refusal> {
    let (what, hint) = ("a speed of the input", "write revolutions per minute above 0, such as 1800");
    let speed = number(text, what, hint, PER_MINUTE)?;
    if speed.is_positive() { Ok(speed) } else { Err(not_one(text, what, hint)) }
}

/// A ratio, with its sign; what is geared down "2.75:1" is 2.75.
pub fn ratio(text: &str) -> Result<Fraction, Refusal> {
    let to_one = text.split_once(':').filter(|(_, one)| one.trim() == "1").map(|(ratio, _)| ratio);
    number(to_one.unwrap_or(text), "a ratio", "write a number such as 2.75, 11/4 or -4", &[])
}

/// A number with one of these units or without.
pub fn number(text: &str, what: &str, hint: &str, units: &[&str]) -> Result<Fraction, Refusal> {
    TypedNumber::read(text).and_then(|typed| typed.with_unit(units)).map_err(|fault| refused(text, what, hint, &fault))
}

/// Why what was typed is refused: what is wrong with its signs, or else that it is not what is asked for.
pub fn refused(text: &str, what: &str, hint: &str, fault: &Mistyped) -> Refusal {
    let sentence = if let Mistyped::CommaOfTwoMeanings { .. } = fault {
        format!("{text:?} is not {what}: its comma can be a decimal point, or part thousands")
    } else if let Mistyped::Grouped { .. } = fault {
        format!("{text:?} is not {what}: its digits stand in groups")
    } else if let Mistyped::CommasInList { .. } = fault {
        format!("{text:?} is not {what}: its commas part places and seem to be decimal points as well")
    } else if let Mistyped::TooManyDigits { digits } = fault {
        format!("{what} of {digits} digits is given")
    } else {
        return not_one(text, what, hint);
    };
    let own = fault.hint();
    Refusal::new(sentence, own.unwrap_or_else(|| hint.to_owned()))
}

fn not_one(text: &str, what: &str, hint: &str) -> Refusal {
    Refusal::new(format!("{text:?} is not {what}"), hint)
}

/// A torque with its unit, N m where none is named; greater than zero: on overrun all signs turn, and that
/// is said anyhow.
pub fn torque(text: &str) -> Result<InputTorque, Refusal> {
    let hint = "write a number greater than zero with its unit, such as \"30 N m\" or \"22 lb ft\"";
    torque_of(text).map_err(|fault| refused(text, "a torque", hint, &fault))
}

fn torque_of(text: &str) -> Result<InputTorque, Mistyped> {
    let typed = TypedNumber::read(text)?;
    let unit = match typed.words.concat().as_str() {
        "" | "nm" | "newtonmetres" | "newtonmeters" => TorqueUnit::NewtonMetres,
        "lbft" | "lbfft" | "ftlb" | "ftlbf" | "ftlbs" | "lbsft" | "poundfeet" | "footpounds" => TorqueUnit::PoundFeet,
        word => return Err(Mistyped::UnknownWord { word: word.to_owned() }),
    };
    if !typed.value.is_positive() {
        return Err(Mistyped::NotANumber);
    }
    Ok(InputTorque { amount: typed.value, unit })
}

/// The efficiency of a mesh, as a part or per cent.
pub fn efficiency(text: &str) -> Result<Efficiency, Refusal> {
    let what = "the efficiency of a mesh";
    let hint = "write the part of the power that a mesh passes on, more than 0 and at most 1, such as 0.98 or 98%";
    let typed = TypedNumber::read(text).map_err(|fault| refused(text, what, hint, &fault))?;
    let scale = if typed.words == ["%"] { fraction(1, 100) } else { fraction(1, 1) };
    let part = typed.with_unit(&["%"]).ok().map(|part| part * scale);
    part.as_ref().and_then(Efficiency::new).ok_or_else(|| not_one(text, what, hint))
}

/// A length, 0 or more: millimetres where no unit stands behind the number.
pub fn length(text: &str) -> Result<Length, Refusal> {
    let (what, hint) = ("a length", "write millimetres such as 0.15, or inches such as 0.006in or 6 thou");
    let read = Length::typed(text).map_err(|fault| {
        let is_long = matches!(fault, Mistyped::TooManyDigits { .. });
        let hint = if is_long { "nobody has measured so much: round it, such as to 0.152 or 0.006in" } else { hint };
        refused(text, what, hint, &fault)
    });
    let (read, _) = read?;
    if read.value().is_negative() { Err(not_one(text, what, hint)) } else { Ok(read) }
}

/// How far one turn of the output carries: a length with its unit, above zero.
pub fn travel(text: &str) -> Result<Length, Refusal> {
    let (what, hint) =
        ("how far a turn carries", "write a length above 0 with its unit: \"1.9 m\", \"1900 mm\", \"75 in\"");
    let (length, has_unit) = Length::typed(text).map_err(|fault| refused(text, what, hint, &fault))?;
    if has_unit && length.value().is_positive() { Ok(length) } else { Err(not_one(text, what, hint)) }
}

/// A limit of speed, of one member or of all.
#[derive(Debug, Clone)]
pub struct LimitOf {
    /// The member; every member where none is named.
    pub member: Option<String>,
    /// Revolutions per minute, 0 or more.
    pub rpm: Fraction,
}

/// `2500`, or `low drum=1800`.
pub fn limit(text: &str) -> Result<LimitOf, Refusal> {
    let (member, number) = match name_and_value(text) {
        Some((name, number)) => (Some(name.to_owned()), number),
        None => (None, text),
    };
    let hint = "write revolutions per minute, such as 2500, or a member with its own: \"low drum=1800\"";
    let rpm = TypedNumber::read(number).and_then(|typed| typed.with_unit(PER_MINUTE));
    let rpm = rpm.map_err(|fault| refused(text, "a limit", hint, &fault))?;
    if rpm.is_negative() { Err(not_one(text, "a limit", hint)) } else { Ok(LimitOf { member, rpm }) }
}

/// Other tooth counts for some gears.
#[derive(Debug, Clone)]
pub struct CountChange {
    /// As typed.
    pub text: String,
    /// The gears with their new counts.
    pub counts: Vec<(String, i64)>,
}

/// `L=21,l=36`.
pub fn count_change(text: &str) -> Result<CountChange, Refusal> {
    let not_a_change = || {
        let hint = "write gears with their new counts, such as --with L=21,l=36";
        Refusal::new(format!("{text:?} is not a change of tooth counts"), hint)
    };
    let count = |pair: String| {
        let (name, count) = name_and_value(&pair)?;
        Some((name.to_owned(), tooth_count(count)?))
    };
    let counts: Option<_> = pairs(text).into_iter().map(count).collect();
    Ok(CountChange { text: text.to_owned(), counts: counts.ok_or_else(not_a_change)? })
}

/// The pin circle of the planet that is named or of the only one.
pub type PinCircleOf = (Option<String>, Length);

/// `71.25mm`, `2.805in`, or of one planet: `cluster=71.25mm`.
pub fn pin_circle(text: &str) -> Result<PinCircleOf, Refusal> {
    match name_and_value(text) {
        Some((planet, radius)) => Ok((Some(planet.to_owned()), length(radius)?)),
        None => Ok((None, length(text)?)),
    }
}

/// Gears with their profile shifts.
#[derive(Debug, Clone)]
pub struct Shifts {
    /// Each gear with its shift.
    pub shifts: Vec<(String, Fraction)>,
}

/// `l=-0.467,L=0.1`.
pub fn shifts(text: &str) -> Result<Shifts, Refusal> {
    let shift = |pair: String| {
        let (name, shift) = name_and_value(&pair)?;
        Some((name.to_owned(), TypedNumber::read(shift).ok().filter(|shift| shift.words.is_empty())?.value))
    };
    let shifts: Option<_> = pairs(text).into_iter().map(shift).collect();
    let shifts = shifts.ok_or_else(|| {
        let hint = "write gears with their shifts in modules, away from the axis positive, such as --shift l=-0.467";
        Refusal::new(format!("{text:?} is no profile shift of a gear"), hint)
    })?;
    Ok(Shifts { shifts })
}

/// Pins, of the planet that is named or of the only ones.
pub type PinsOf = (Option<String>, DraftPins);

/// `3`, `0, 91.5, 180` in degrees, or the same for one planet: `cluster=4`.
pub fn pins(text: &str) -> Result<PinsOf, Refusal> {
    let (planet, pins) = match name_and_value(text) {
        Some((planet, pins)) => (Some(planet.to_owned()), pins),
        None => (None, text),
    };
    let what = "a number or list of pins";
    let hint = "write how many there are, equally spaced, or the place of each in degrees: 3, or \"0, 91.5, 180\"";
    let places = TypedNumber::list(pins, &["deg", "degrees", "°"]);
    let pins = match (whole(pins, &["pin", "pins"]), places) {
        (Some(count), _) if count > 0 => DraftPins::Equal(count),
        (_, Ok(places)) if places.len() > 1 => DraftPins::degrees(places),
        (_, Err(fault @ Mistyped::CommasInList { .. })) => return Err(refused(text, what, hint, &fault)),
        _ => return Err(Refusal::new(format!("{text:?} does not say where pins are"), hint)),
    };
    Ok((planet, pins))
}

/// Turns counted by hand.
pub fn turned(text: &str) -> Result<DraftTurns, Refusal> {
    turns(text).ok_or_else(|| {
        let hint = "write what is held and the turns of two members: \"low drum held: flywheel 45 for driven drum 16\", \
                    with \"within 1/8\" at the end where both are good to that";
        Refusal::new(format!("{text:?} does not say how often two members turned"), hint)
    })
}

/// A module in millimetres.
pub fn module(text: &str) -> Result<Fraction, Refusal> {
    pitch(text, &["mm", "module", "m"])
}

/// A diametral pitch, in teeth per inch of diameter.
pub fn diametral_pitch(text: &str) -> Result<Fraction, Refusal> {
    pitch(text, &["dp", "diametralpitch"])
}

fn pitch(text: &str, units: &[&str]) -> Result<Fraction, Refusal> {
    let hint = "write --module 2.5 in millimetres, or --dp 10 in teeth per inch of diameter";
    let pitch = number(text, "a pitch", hint, units)?;
    if pitch.is_positive() { Ok(pitch) } else { Err(not_one(text, "a pitch", hint)) }
}

/// A member with its turns per turn of the input: `ring 78=-1/2`.
pub fn speed_of(text: &str) -> Result<(String, Fraction), Refusal> {
    let (what, hint) =
        ("a member with its speed", "write the member and its turns per turn of the input, such as \"ring 78=-1/2\"");
    let (member, speed) = name_and_value(text).ok_or_else(|| not_one(text, what, hint))?;
    let speed = TypedNumber::read(speed).and_then(|typed| typed.with_unit(&[]));
    Ok((member.to_owned(), speed.map_err(|fault| refused(text, what, hint, &fault))?))
}

/// A whole number of teeth, with the word or without it.
pub fn tooth_count(text: &str) -> Option<i64> {
    whole(text, &["t", "teeth", "tooth"])
}

fn whole(text: &str, units: &[&str]) -> Option<i64> {
    let count = TypedNumber::read(text).ok()?.with_unit(units).ok()?;
    count.is_integer().then(|| count.numer().to_string().parse().ok()).flatten()
}

/// The pairs of a list; a comma may stand in a name, since a pair ends only after its count.
fn pairs(change: &str) -> Vec<String> {
    let mut pairs: Vec<String> = Vec::new();
    let mut is_whole = true;
    for piece in change.split(',') {
        match pairs.last_mut().filter(|_| !is_whole) {
            None => pairs.push(piece.to_owned()),
            Some(open) => *open = format!("{open},{piece}"),
        }
        is_whole = piece.contains('=');
    }
    pairs
}

/// A name and what stands behind its last `=`; a name may hold one itself.
pub fn name_and_value(text: &str) -> Option<(&str, &str)> {
    text.rsplit_once('=').map(|(name, value)| (name.trim(), value.trim()))
}

/// A part of a search as typed, counted from 1: `3/64`.
pub fn part(text: &str) -> Result<WorkShare, Refusal> {
    let read = || {
        let (index, of) = text.split_once('/')?;
        let (index, of): (usize, usize) = (index.trim().parse().ok()?, of.trim().parse().ok()?);
        (of <= MOST_PARTS && (1..=of).contains(&index)).then(|| WorkShare { index: index - 1, of })
    };
    read().ok_or_else(|| {
        Refusal::new(
            format!("{text:?} is not a part"),
            format!("write which part and of how many, {MOST_PARTS} at most, such as 3/64"),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_torque_is_read_with_its_unit() {
        let told = |number, unit| Ok(InputTorque { amount: fraction(number, 1), unit });
        for text in ["30", "30 N m", "30Nm", "30 N·m", "30,0 nm", "30 newton metres"] {
            assert_eq!(torque_of(text), told(30, TorqueUnit::NewtonMetres), "{text}");
        }
        for text in ["22 lb ft", "22lbft", "22 ft-lb", "22 lbf ft", "22 ft-lbs"] {
            assert_eq!(torque_of(text), told(22, TorqueUnit::PoundFeet), "{text}");
        }
        for text in ["", "0", "-5", "N m", "30 kg", "30 lb", "1e3", "3 4"] {
            assert!(torque_of(text).is_err(), "{text}");
        }
    }

    #[test]
    fn numbers_have_units_and_commas_as_people_write_them() {
        let sentence = |refusal: Refusal| (refusal.sentence, refusal.hint);
        assert_eq!(speed("1500 rpm").ok(), Some(fraction(1500, 1)));
        assert_eq!(speed("\u{2212}62,5").ok(), Some(fraction(-125, 2)));
        assert_eq!(ratio("2.75:1").ok(), Some(fraction(11, 4)));
        assert_eq!(ratio("1:4").map_err(sentence).unwrap_err().0, "\"1:4\" is not a ratio");
        assert_eq!(efficiency("98%").ok(), Efficiency::new(&fraction(49, 50)));
        assert_eq!(efficiency("98 %").ok(), efficiency("0,98").ok());
        assert_eq!(efficiency("98").map_err(sentence).unwrap_err().0, "\"98\" is not the efficiency of a mesh");
        assert_eq!(
            speed("1,500").map_err(sentence),
            Err((
                "\"1,500\" is not a speed: its comma can be a decimal point, or part thousands".into(),
                "a decimal point is wanted: 1.500? or without the comma: 1500".into()
            ))
        );
        assert_eq!(speed("1,234.5").map_err(sentence).unwrap_err().1, "write 1234.5");
        assert_eq!(
            ["21", "21 teeth", "21T", "21.5", "21 in", "1e9"].map(tooth_count),
            [Some(21), Some(21), Some(21), None, None, None]
        );
        assert_eq!(tooth_count("99999999999999999999"), None);
    }

    #[test]
    fn places_of_pins_are_a_list_in_which_commas_have_one_meaning() {
        let degrees = |places: &[i64]| Some(DraftPins::degrees(places.iter().map(|&twice| fraction(twice, 2))));
        let read = |text| pins(text).ok().map(|(_, pins)| pins);
        assert_eq!(read("3"), Some(DraftPins::Equal(3)));
        assert_eq!(read("3 pins"), Some(DraftPins::Equal(3)));
        for text in ["0, 91.5, 180", "0,91.5,180", "0°; 91,5°; 180°", "0, 91 1/2, 180 deg"] {
            assert_eq!(read(text), degrees(&[0, 183, 360]), "{text}");
        }
        let refusal = pins("0, 91,5, 180").unwrap_err();
        assert_eq!(refusal.hint, "a decimal point is wanted: \"0, 91.5, 180\"?");
        for text in ["", "3.4", "0", "-3", "three", "0, x", "1,,2"] {
            assert!(pins(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_list_of_changes_may_have_commas_in_names() {
        assert_eq!(pairs("L=21,l=36"), ["L=21", "l=36"]);
        assert_eq!(pairs("low, wide=21,l=36"), ["low, wide=21", "l=36"]);
        assert_eq!(pairs("nothing"), ["nothing"]);
        assert_eq!(name_and_value("a=b = 15"), Some(("a=b", "15")));
    }

    #[test]
    fn what_a_turn_carries_has_a_unit() {
        let close = |text, millimetres_meant: f64| {
            let difference = travel(text).ok().map(|found| (found.millimetres() - millimetres_meant).abs());
            assert!(difference.is_some_and(|difference| difference < 1e-9), "{text}: {difference:?}");
        };
        close("1.9 m", 1900.0);
        close("1900mm", 1900.0);
        close("75 in", 1905.0);
        close("6 ft", 1828.8);
        assert!(["1.9", "-1 m", "0 m", "1 ell", ""].iter().all(|text| travel(text).is_err()));
    }

    #[test]
    fn a_length_is_in_millimetres_or_inches() {
        let read = |text| length(text).map(|length| length.millimetres()).map_err(|refusal| refusal.sentence);
        assert!(read("0.15").is_ok_and(|found| (found - 0.15).abs() < 1e-12));
        assert!(read("0.006 in").is_ok_and(|found| (found - 0.1524).abs() < 1e-12));
        assert_eq!(read("-1"), Err("\"-1\" is not a length".to_owned()));
        assert_eq!(read("1 ell"), Err("\"1 ell\" is not a length".to_owned()));
    }
}
