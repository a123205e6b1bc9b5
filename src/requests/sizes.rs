//! Sizes that were measured, as they are typed: `front=41.37`, `12.02,25.40,0.85 mm`, `0.2..0.6`, `"41.37 ± 0.05"`.

use crate::bench::ExactReading;
use crate::exact::{Mistyped, TypedNumber, to_float};
use crate::gearset::{Length, NEWTONS_PER_POUND_FORCE};
use num_traits::Signed;

use super::refusal::Refusal;
use super::values::{name_and_value, refused};

/// Something that may be told of one thing by its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct OfName<T> {
    /// The name before `=`.
    pub(super) name: Option<String>,
    /// What stands behind it.
    pub(super) value: T,
}

/// Reads what stands behind a name, or alone.
pub(super) fn named<T>(text: &str, read: impl Fn(&str) -> Result<T, Refusal>) -> Result<OfName<T>, Refusal> {
    match name_and_value(text) {
        Some(("", _)) => {
            Err(Refusal::new(format!("{text:?} has no name before ="), "write the name, or leave out = as well"))
        }
        Some((name, value)) => Ok(OfName { name: Some(name.to_owned()), value: read(value)? }),
        None => Ok(OfName { name: None, value: read(text)? }),
    }
}

/// What of these is told of a name: that which names it, or else that which names nothing.
pub(super) fn told_of<'a, T>(told: &'a [OfName<T>], name: Option<&str>) -> Option<&'a T> {
    let of = |name: Option<&str>| told.iter().rev().find(|it| it.name.as_deref() == name).map(|it| &it.value);
    of(name).or_else(|| of(None))
}

/// What is told twice of one name, of which the later would win unseen.
pub(super) fn told_twice<T>(argument: &str, told: &[OfName<T>]) -> Option<Refusal> {
    let is_again = |at: usize| told[..at].iter().any(|other| other.name == told[at].name);
    let twice = &told[(0..told.len()).find(|&at| is_again(at))?];
    let of = twice.name.as_ref().map(|name| format!(" for {name:?}")).unwrap_or_default();
    let hint = format!("give it once, or say of what each is: {argument} \"NAME=...\"");
    Some(Refusal::new(format!("{argument} is given twice{of}"), hint))
}

const HINT: &str = "write millimetres or inches: 41.37, \"1.629 in\", \"41.37 ± 0.05\"";

/// What stands between a reading and what it is good to.
const GOOD_TO: [&str; 4] = ["±", "+-", "+/-", "within"];

/// A reading of 0 or more, exactly.
pub(super) fn reading(text: &str) -> Result<ExactReading, Refusal> {
    with_unit(text).map(|(reading, _)| reading)
}

/// A reading, and whether its unit is typed.
fn with_unit(text: &str) -> Result<(ExactReading, bool), Refusal> {
    let parts = GOOD_TO.iter().find_map(|sign| text.split_once(sign));
    let (value, within) = parts.map_or((text, None), |(value, within)| (value, Some(within)));
    let Some(within) = within else {
        let (length, has_unit) = length(value, text)?;
        return Ok((ExactReading { length, within: None }, has_unit));
    };
    // A unit that stands at one of the two is that of both; but nobody reads a size in thousandths of a millimetre.
    let is_of_both = |unit: &&str| !["µm", "um", "micron", "microns"].contains(unit);
    let unit = [value, within].into_iter().find_map(unit_of).filter(is_of_both).unwrap_or_default();
    let [(length, has_unit), (within, _)] = [in_unit(value, unit, text)?, in_unit(within, unit, text)?];
    Ok((ExactReading { length, within: Some(within) }, has_unit))
}

/// Readings between commas or semicolons; a unit behind the last is that of all that have none.
pub(super) fn readings(text: &str) -> Result<Vec<ExactReading>, Refusal> {
    if let Err(fault @ Mistyped::CommasInList { .. }) = TypedNumber::list(text, &[]) {
        return Err(refused(text, "a list of sizes", HINT, &fault));
    }
    let sign = if text.contains(';') { ';' } else { ',' };
    let parts: Vec<&str> = text.split(sign).map(str::trim).collect();
    let unit = parts.last().and_then(|last| unit_of(last)).unwrap_or_default();
    let read = |part: &&str| {
        let (reading, has_unit) = with_unit(part)?;
        if has_unit || unit.is_empty() { Ok(reading) } else { self::reading(&format!("{part} {unit}")) }
    };
    parts.iter().map(read).collect()
}

/// Lengths between commas, of which it is not asked what they are good to.
pub(super) fn lengths(text: &str) -> Result<Vec<Length>, Refusal> {
    readings(text)?.into_iter().map(|reading| alone(reading, text)).collect()
}

/// A length of 0 or more, of which it is not asked what it is good to.
pub(super) fn length_alone(text: &str) -> Result<Length, Refusal> {
    alone(reading(text)?, text)
}

fn alone(reading: ExactReading, text: &str) -> Result<Length, Refusal> {
    match reading.within {
        None => Ok(reading.length),
        Some(_) => Err(Refusal::new(
            format!("{text:?} says what a size is good to, which is not asked of it"),
            "write the size alone: 41.37",
        )),
    }
}

/// `0.2..0.6`, `"8..24 thou"`: two lengths, the least first.
pub(super) fn band(text: &str) -> Result<[Length; 2], Refusal> {
    let hint = "write the least and the greatest: 0.2..0.6, or \"8..24 thou\"";
    let not_one = || Refusal::new(format!("{text:?} does not say the least and the greatest"), hint);
    let [least, most] = TypedNumber::range(text).ok_or_else(not_one)?;
    let read = |end: &str| length(end, text).map(|(length, _)| length).map_err(|_| not_one());
    Ok([read(&least)?, read(&most)?])
}

/// The unit behind a number, as it is written.
fn unit_of(part: &str) -> Option<&str> {
    let part = part.trim();
    let behind = part.rfind(|letter: char| letter.is_ascii_digit() || letter == '.').map_or(0, |at| at + 1);
    Some(part[behind..].trim()).filter(|unit| !unit.is_empty())
}

/// A length in its own unit, or in this one where it has none, and whether it has one of the two.
fn in_unit(part: &str, unit: &str, whole: &str) -> Result<(Length, bool), Refusal> {
    match length(part, whole)? {
        (_, false) if !unit.is_empty() => length(&format!("{part} {unit}"), whole),
        read => Ok(read),
    }
}

/// A force, newtons where no unit stands behind the number.
pub(super) fn newtons(text: &str) -> Result<f64, Refusal> {
    let (what, hint) = ("a force", "write newtons such as 900, or pounds such as 200lbf");
    let typed = TypedNumber::read(text).map_err(|fault| refused(text, what, hint, &fault))?;
    let unit = match typed.words.concat().as_str() {
        "" | "n" | "newton" | "newtons" => 1.0,
        "kn" => 1000.0,
        "lbf" | "lb" | "lbs" | "pound" | "pounds" => NEWTONS_PER_POUND_FORCE,
        _ => return Err(Refusal::new(format!("{text:?} is not {what}"), hint)),
    };
    Ok(to_float(&typed.value) * unit)
}

/// A length of 0 or more, and whether its unit is typed.
pub(super) fn length(part: &str, whole: &str) -> Result<(Length, bool), Refusal> {
    let (length, has_unit) = Length::typed(part).map_err(|fault| {
        if let Mistyped::CommaOfTwoMeanings { decimal, whole: thousands } = &fault {
            two_meanings(part, decimal, thousands)
        } else {
            refused(whole, "a size", HINT, &fault)
        }
    })?;
    if length.value().is_negative() {
        return Err(Refusal::new(format!("{whole:?} is below zero"), HINT));
    }
    Ok((length, has_unit))
}

/// Both readings of `21,896`, and what to type for each.
fn two_meanings(typed: &str, decimal: &str, thousands: &str) -> Refusal {
    let typed = typed.trim();
    let sentence = format!("the comma of {typed:?} can be a decimal point, or part thousands");
    Refusal::new(sentence, format!("type {decimal} if it is a decimal point, {thousands} if it parts thousands"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    #[test]
    fn a_unit_behind_the_last_is_that_of_all() {
        let inches = |thousandths| Length::Inches(fraction(thousandths, 1000));
        assert_eq!(lengths(".015, .018in").unwrap(), [inches(15), inches(18)]);
        assert_eq!(lengths("1.25,1.55").unwrap()[1], Length::Millimetres(fraction(31, 20)));
        assert_eq!(
            lengths("0,5; 1,25").unwrap(),
            [Length::Millimetres(fraction(1, 2)), Length::Millimetres(fraction(5, 4))]
        );
        assert_eq!(band(".005...025 in").unwrap(), [inches(5), inches(25)]);
        // Once the unit of "thou" was told as inches, and 0.8..2.4 thou allowed 20 mm.
        assert_eq!(band("8..24 thou").unwrap(), [inches(8), inches(24)]);
        // Once "8 thou..24" went to 24 mm.
        assert_eq!(band("8 thou..24").unwrap(), [inches(8), inches(24)]);
        assert_eq!(lengths("15,18 thou").unwrap(), [inches(15), inches(18)]);
        // Once what a size was good to was left away without a word, and 12,02 was two sizes.
        assert!(lengths("15 ± 1").is_err() && length_alone("15 ± 1").is_err());
        assert!(["12,02", "12,02,25,40"].iter().all(|list| lengths(list).is_err()));
        let read = reading("862 ± 1 thou").unwrap();
        assert_eq!((read.length, read.within), (inches(862), Some(inches(1))));
        let read = reading("1.629 ± 0.001 in").unwrap();
        assert_eq!((read.length, read.within), (inches(1629), Some(inches(1))));
        for text in ["", "x", "1,", "12,02, 25,40", "-1", "1 ± x"] {
            assert!(readings(text).is_err(), "{text:?}");
        }
        for text in ["", "1", "1..", "..2", "a..b", "-1..2"] {
            assert!(band(text).is_err(), "{text:?}");
        }
    }

    #[test]
    fn a_name_may_stand_before_it() {
        let told = [named("0.2..0.6", band).unwrap(), named("front=0.1..0.3", band).unwrap()];
        assert_eq!(told_of(&told, Some("front")), Some(&told[1].value));
        assert_eq!(told_of(&told, Some("rear")), Some(&told[0].value));
        assert!(named("=0.2..0.6", band).is_err());
        assert!(told_twice("--wanted", &told).is_none());
        let again = [&told[..], &told[..1]].concat();
        assert_eq!(told_twice("--wanted", &again).unwrap().sentence, "--wanted is given twice");
    }
}
