//! Numbers as people type them: speeds, ratios, torques, lengths, `NAME=VALUE`, the same in every command.
//!
//! Each function is the value parser of an argument.

use num_traits::{Signed, Zero};
use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::{DraftPins, Efficiency, Length};
use toothmark::search::WorkShare;
use toothmark::statics::{InputTorque, TorqueUnit};

use super::trouble::Refusal;

/// A speed in revolutions per minute, with its sign.
pub(super) fn speed(text: &str) -> Result<Fraction, Refusal> {
    parse(text).ok_or_else(|| not_a_speed(text))
}

/// A speed of the input that turns something.
pub(super) fn speed_but_zero(text: &str) -> Result<Fraction, Refusal> {
    parse(text).filter(|speed| !speed.is_zero()).ok_or_else(|| not_a_speed(text))
}

fn not_a_speed(text: &str) -> Refusal {
    Refusal::new(format!("{text:?} is not a speed"), "write a number such as 1500, 62.5 or 400/3")
}

/// A speed of the input above zero.
pub(super) fn forward_speed(text: &str) -> Result<Fraction, Refusal> {
    positive(text).ok_or_else(|| {
        let hint = "write revolutions per minute above 0, such as 1800";
        Refusal::new(format!("{text:?} is not a speed of the input"), hint)
    })
}

/// A ratio, with its sign.
pub(super) fn ratio(text: &str) -> Result<Fraction, Refusal> {
    parse(text)
        .ok_or_else(|| Refusal::new(format!("{text:?} is not a ratio"), "write a number such as 2.75, 11/4 or -4"))
}

/// A torque with its unit, N m where none is named; greater than zero: on overrun all signs turn, and that
/// is said anyhow.
pub(super) fn torque(text: &str) -> Result<InputTorque, Refusal> {
    torque_of(text).ok_or_else(|| {
        let hint = "write a number greater than zero with its unit, such as \"30 N m\" or \"22 lb ft\"";
        Refusal::new(format!("{text:?} is not a torque"), hint)
    })
}

fn torque_of(text: &str) -> Option<InputTorque> {
    let (number, unit) = at_unit(text);
    let letters: String = unit.chars().filter(|letter| letter.is_alphabetic()).collect::<String>().to_lowercase();
    let unit = match letters.as_str() {
        "" | "nm" => TorqueUnit::NewtonMetres,
        "lbft" | "lbfft" | "ftlb" | "ftlbf" => TorqueUnit::PoundFeet,
        _ => return None,
    };
    positive(number).map(|amount| InputTorque { amount, unit })
}

/// The efficiency of a mesh.
pub(super) fn efficiency(text: &str) -> Result<Efficiency, Refusal> {
    parse(text).as_ref().and_then(Efficiency::new).ok_or_else(|| {
        let hint = "write the part of the power that a mesh passes on, more than 0 and at most 1, such as 0.98";
        Refusal::new(format!("{text:?} is not the efficiency of a mesh"), hint)
    })
}

/// A length, 0 or more: millimetres, or inches where "in" stands behind the number.
pub(super) fn length(text: &str) -> Result<Length, Refusal> {
    let (number, unit) = at_unit(text.trim());
    let of_unit: fn(Fraction) -> Length = match unit.trim() {
        "" | "mm" => Length::Millimetres,
        "in" => Length::Inches,
        _ => return Err(not_a_length(text)),
    };
    let value = parse(number).filter(|value| !value.is_negative());
    value.map(of_unit).ok_or_else(|| not_a_length(text))
}

/// Why a text is no length: a number may be refused for its digits alone.
fn not_a_length(text: &str) -> Refusal {
    /// So many are read whatever they are.
    const FEW: usize = 70;
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    if digits > FEW {
        let hint = "nobody has measured so much: round it, such as to 0.152 or 0.006in";
        return Refusal::new(format!("a length of {digits} digits is given"), hint);
    }
    Refusal::new(format!("{text:?} is not a length"), "write millimetres such as 0.15, or inches such as 0.006in")
}

/// How far one turn of the output carries: a length with its unit, above zero.
pub(super) fn travel(text: &str) -> Result<Length, Refusal> {
    travel_of(text).ok_or_else(|| {
        let hint = "write a length above 0 with its unit: \"1.9 m\", \"1900 mm\", \"75 in\"";
        Refusal::new(format!("{text:?} is not how far a turn carries"), hint)
    })
}

fn travel_of(text: &str) -> Option<Length> {
    let (number, unit) = at_unit(text);
    let value = positive(number)?;
    Some(match unit.trim() {
        "m" => Length::Millimetres(value * fraction(1000, 1)),
        "mm" => Length::Millimetres(value),
        "in" => Length::Inches(value),
        "ft" => Length::Inches(value * fraction(12, 1)),
        _ => return None,
    })
}

/// A limit of speed, of one member or of all.
#[derive(Debug, Clone)]
pub(super) struct LimitOf {
    /// The member; every member where none is named.
    pub(super) member: Option<String>,
    /// Revolutions per minute, 0 or more.
    pub(super) rpm: Fraction,
}

/// `2500`, or `low drum=1800`.
pub(super) fn limit(text: &str) -> Result<LimitOf, Refusal> {
    let (member, number) = match name_and_value(text) {
        Some((name, number)) => (Some(name.to_owned()), number),
        None => (None, text),
    };
    let rpm = parse(number).filter(|limit| !limit.is_negative()).ok_or_else(|| {
        let hint = "write revolutions per minute, such as 2500, or a member with its own: \"low drum=1800\"";
        Refusal::new(format!("{text:?} is not a limit"), hint)
    })?;
    Ok(LimitOf { member, rpm })
}

/// Other tooth counts for some gears.
#[derive(Debug, Clone)]
pub(super) struct CountChange {
    /// As typed.
    pub(super) text: String,
    /// The gears with their new counts.
    pub(super) counts: Vec<(String, i64)>,
}

/// `L=21,l=36`.
pub(super) fn count_change(text: &str) -> Result<CountChange, Refusal> {
    let not_a_change = || {
        let hint = "write gears with their new counts, such as --with L=21,l=36";
        Refusal::new(format!("{text:?} is not a change of tooth counts"), hint)
    };
    let count = |pair: String| {
        let (name, count) = name_and_value(&pair)?;
        Some((name.to_owned(), count.parse().ok()?))
    };
    let counts: Option<_> = pairs(text).into_iter().map(count).collect();
    Ok(CountChange { text: text.to_owned(), counts: counts.ok_or_else(not_a_change)? })
}

/// Pins, of the planet that is named or of the only ones.
pub(super) type PinsOf = (Option<String>, DraftPins);

/// `3`, `0, 91.5, 180` in degrees, or the same for one planet: `cluster=4`.
pub(super) fn pins(text: &str) -> Result<PinsOf, Refusal> {
    let (planet, pins) = match name_and_value(text) {
        Some((planet, pins)) => (Some(planet.to_owned()), pins),
        None => (None, text),
    };
    let places: Option<Vec<Fraction>> = pins.split(',').map(parse).collect();
    let pins = match (pins.trim().parse(), places) {
        (Ok(count), _) if count > 0 => DraftPins::Equal(count),
        (_, Some(places)) if places.len() > 1 => DraftPins::degrees(places),
        _ => {
            let hint =
                "write how many there are, equally spaced, or the place of each in degrees: 3, or \"0, 91.5, 180\"";
            return Err(Refusal::new(format!("{text:?} does not say where pins are"), hint));
        }
    };
    Ok((planet, pins))
}

/// A module or a diametral pitch.
pub(super) fn pitch(text: &str) -> Result<Fraction, Refusal> {
    positive(text).ok_or_else(|| {
        let hint = "write the number alone: --module 2.5 in millimetres, or --dp 10 in teeth per inch of diameter";
        Refusal::new(format!("{text:?} is not a pitch"), hint)
    })
}

/// A member with its turns per turn of the input: `ring 78=-1/2`.
pub(super) fn speed_of(text: &str) -> Result<(String, Fraction), Refusal> {
    let read = name_and_value(text).and_then(|(member, speed)| Some((member.to_owned(), parse(speed)?)));
    read.ok_or_else(|| {
        let hint = "write the member and its turns per turn of the input, such as \"ring 78=-1/2\"";
        Refusal::new(format!("{text:?} is not a member with its speed"), hint)
    })
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
pub(super) fn name_and_value(text: &str) -> Option<(&str, &str)> {
    text.rsplit_once('=').map(|(name, value)| (name.trim(), value.trim()))
}

/// A part of a search as typed, counted from 1: `3/64`.
pub(super) fn part(text: &str) -> Result<WorkShare, Refusal> {
    let read = || {
        let (index, of) = text.split_once('/')?;
        let (index, of): (usize, usize) = (index.trim().parse().ok()?, of.trim().parse().ok()?);
        (1..=of).contains(&index).then(|| WorkShare { index: index - 1, of })
    };
    read().ok_or_else(|| {
        Refusal::new(format!("{text:?} is not a part"), "write which part and of how many, such as 3/64")
    })
}

fn positive(text: &str) -> Option<Fraction> {
    parse(text).filter(Signed::is_positive)
}

/// A number and its unit, which begins with the first letter.
fn at_unit(text: &str) -> (&str, &str) {
    text.split_at(text.find(char::is_alphabetic).unwrap_or(text.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_torque_is_read_with_its_unit() {
        let told = |number, unit| Some(InputTorque { amount: fraction(number, 1), unit });
        for text in ["30", "30 N m", "30Nm", "30 N·m"] {
            assert_eq!(torque_of(text), told(30, TorqueUnit::NewtonMetres), "{text}");
        }
        for text in ["22 lb ft", "22lbft", "22 ft-lb", "22 lbf ft"] {
            assert_eq!(torque_of(text), told(22, TorqueUnit::PoundFeet), "{text}");
        }
        for text in ["", "0", "-5", "N m", "30 kg", "30 lb", "1e3", "3 4"] {
            assert_eq!(torque_of(text), None, "{text}");
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
            let difference = travel_of(text).map(|found| (found.millimetres() - millimetres_meant).abs());
            assert!(difference.is_some_and(|difference| difference < 1e-9), "{text}: {difference:?}");
        };
        close("1.9 m", 1900.0);
        close("1900mm", 1900.0);
        close("75 in", 1905.0);
        close("6 ft", 1828.8);
        assert_eq!([travel_of("1.9"), travel_of("-1 m"), travel_of("1 ell"), travel_of("")], [const { None }; 4]);
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
