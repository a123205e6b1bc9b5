//! What one reading shows: a length, a count, a mark, an unbalance, a drilled hole, a force, or words.
//!
//! In a file a value is told with its word, as `Millimetres(16.02)`, or is a text in quotes; on the command line it is
//! typed as people write it, `16.02`, `0.631 in`, and what kind it is follows from what is measured.

use std::fmt::{self, Display, Formatter};

use num_traits::{One, Signed, ToPrimitive};

use crate::exact::{Fraction, Mistyped, TypedNumber, decimal, fraction};
use crate::gearset::{Length, ReadingUnit, TypedReading};
use crate::syntax::{Element, Form, Inside, LeafOrigin, Node, NodeKind, Reader, Spanned, Writer, nothing_else, words};

/// What a reading shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum JobValue {
    /// A length.
    Length(Length),
    /// A count, of teeth or of anything else.
    Count(i64),
    /// So many teeth of a gear of the planet from the line to the centre to the mark.
    Teeth(String, Fraction),
    /// So many degrees from the line to the centre to the mark.
    Degrees(Fraction),
    /// An unbalance in gram millimetres, and at how many degrees counter-clockwise from the mark it is too heavy, where
    /// that was told.
    GramMillimetres(Fraction, Option<Fraction>),
    /// A hole drilled at so many degrees, of a diameter and a full-diameter depth in millimetres.
    Hole(Fraction, Fraction, Fraction),
    /// A force in newtons.
    Newtons(Fraction),
    /// What somebody says.
    Words(String),
}

/// The kinds of values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ValueKind {
    /// A length.
    Length,
    /// A count.
    Count,
    /// What a mark shows, in teeth of a gear or in degrees.
    Mark,
    /// An unbalance.
    Unbalance,
    /// A drilled hole.
    Hole,
    /// A force.
    Force,
    /// Words.
    Words,
}

/// A value with a word before its brackets.
struct MeasuredValue;

words! {
    MeasuredValue for JobValue: "a value", "Millimetres(16.02)" {
        Millimetres("Millimetres(16.02)"; size: Fraction = "a number of millimetres", "16.02") => {
            JobValue::Length(Length::Millimetres(size))
        }
        Inches("Inches(0.631)"; size: Fraction = "a number of inches", "0.631") => { JobValue::Length(Length::Inches(size)) }
        Count("Count(26)"; count: i64 = "a whole number", "26", "from 0 on") => { JobValue::Count(count) }
        Teeth(
            "Teeth(\"l\", -6)";
            gear: String = "the name of the gear in quotes", "\"l\"";
            teeth: Fraction = "the number of teeth from the line to the centre to the mark", "-6"
        ) => { JobValue::Teeth(gear, teeth) }
        Degrees("Degrees(-120)"; degrees: Fraction = "the number of degrees from the line to the centre to the mark", "-120") => {
            JobValue::Degrees(degrees)
        }
        GramMillimetres(
            "GramMillimetres(2122, 100)";
            size: Fraction = "an unbalance in gram millimetres", "2122", "from 0 on";
            degrees: Option<Fraction> = "where it is too heavy, in degrees counter-clockwise from the mark", "100"
        ) => { JobValue::GramMillimetres(size, degrees) }
        Hole(
            "Hole(90, 12, 18)";
            degrees: Fraction = "where the hole is, in degrees", "90";
            diameter: Fraction = "its diameter in millimetres", "12", "above 0";
            depth: Fraction = "its depth at full diameter in millimetres", "18", "above 0"
        ) => { JobValue::Hole(degrees, diameter, depth) }
        Newtons("Newtons(900)"; size: Fraction = "a number of newtons", "900", "from 0 on") => { JobValue::Newtons(size) }
    }
}

/// A text in quotes, or a word with its brackets.
impl Form for JobValue {
    type Value = Self;
    const THING: Element = Element { name: "a value, or a text in quotes", ..<MeasuredValue as Form>::THING };

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        if matches!(node.kind, NodeKind::Text) {
            return <String as Form>::read(node, thing, reader).map(Self::Words);
        }
        <MeasuredValue as Form>::read(node, thing, reader)
    }

    fn write(value: &Self, out: &mut Writer) {
        if let Self::Words(text) = value {
            <String as Form>::write(text, out);
        } else {
            <MeasuredValue as Form>::write(value, out);
        }
    }
}

/// Values of one reading, taken at several places.
pub(super) struct OneOrMore;

impl Form for OneOrMore {
    type Value = Vec<Spanned<JobValue>>;
    const THING: Element = Element {
        name: "a value, or several in square brackets",
        example: "[Millimetres(16.02), Millimetres(16.03)]",
        rule: "",
        inside: Inside::List(&<JobValue as Form>::THING),
        meant: nothing_else,
    };
    const IS_OPTIONAL: bool = true;

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value> {
        if node.group('[').is_some() {
            return <Vec<Spanned<JobValue>> as Form>::read(node, thing, reader);
        }
        Some(vec![<Spanned<JobValue> as Form>::read(node, &<JobValue as Form>::THING, reader)?])
    }

    fn absent() -> Option<Self::Value> {
        Some(Vec::new())
    }

    fn is_absent(value: &Self::Value) -> bool {
        value.is_empty()
    }

    fn write(value: &Self::Value, out: &mut Writer) {
        match &value[..] {
            [only] => <Spanned<JobValue> as Form>::write(only, out),
            several => <Vec<Spanned<JobValue>> as Form>::write(&several.to_vec(), out),
        }
    }

    fn marks(value: &mut Self::Value, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        <Vec<Spanned<JobValue>> as Form>::marks(value, visit);
    }
}

impl JobValue {
    /// Which kind of value it is.
    pub fn kind(&self) -> ValueKind {
        match self {
            Self::Length(_) => ValueKind::Length,
            Self::Count(_) => ValueKind::Count,
            Self::Teeth(..) | Self::Degrees(_) => ValueKind::Mark,
            Self::GramMillimetres(..) => ValueKind::Unbalance,
            Self::Hole(..) => ValueKind::Hole,
            Self::Newtons(_) => ValueKind::Force,
            Self::Words(_) => ValueKind::Words,
        }
    }

    /// The gear that the teeth of a mark are counted on; none of anything else.
    pub fn counted_on(&self) -> Option<&str> {
        if let Self::Teeth(gear, _) = self { Some(gear) } else { None }
    }

    /// The length that it is; none of anything else.
    pub(super) fn into_length(self) -> Option<Length> {
        if let Self::Length(length) = self { Some(length) } else { None }
    }

    /// The number that is compared with what is wanted: millimetres, gram millimetres, newtons, a count; none of marks,
    /// holes and words.
    pub fn size(&self) -> Option<Fraction> {
        match self {
            Self::Length(length) => Some(length.exact_millimetres()),
            Self::Count(count) => Some(fraction(*count, 1)),
            Self::GramMillimetres(size, _) | Self::Newtons(size) => Some(size.clone()),
            Self::Teeth(..) | Self::Degrees(_) | Self::Hole(..) | Self::Words(_) => None,
        }
    }
}

/// As it is read: `16.02 mm`, `0.631 in`, `26`, `hole at 90 degrees, 12 mm, 18 mm deep`; a mark with its sense for whoever
/// looks, `10 teeth of d clockwise`.
impl Display for JobValue {
    fn fmt(&self, out: &mut Formatter<'_>) -> fmt::Result {
        let number = |value: &Fraction| decimal(value, DIGITS);
        match self {
            Self::Length(Length::Millimetres(size)) => write!(out, "{} mm", number(size)),
            Self::Length(Length::Inches(size)) => write!(out, "{} in", number(size)),
            Self::Count(count) => write!(out, "{count}"),
            Self::Teeth(gear, teeth) => {
                let word = if teeth.abs().is_one() { "tooth" } else { "teeth" };
                write!(out, "{} {word} of {gear}{}", number(&teeth.abs()), sense(teeth))
            }
            Self::Degrees(degrees) => write!(out, "{} degrees{}", number(&degrees.abs()), sense(degrees)),
            Self::GramMillimetres(size, None) => write!(out, "{} g mm", number(size)),
            Self::GramMillimetres(size, Some(degrees)) => {
                write!(out, "{} g mm at {} degrees", number(size), number(degrees))
            }
            Self::Hole(degrees, diameter, depth) => {
                write!(out, "hole at {} degrees, {} mm, {} mm deep", number(degrees), number(diameter), number(depth))
            }
            Self::Newtons(size) => write!(out, "{} N", number(size)),
            Self::Words(words) => out.write_str(words),
        }
    }
}

/// Values side by side, with a unit that is that of all told once: `0.12, 0.13, 0.12 mm`.
///
/// # Examples
/// ```
/// use toothmark::job::{JobValue, ValueKind, side_by_side};
/// let read = |typed: &str| ValueKind::Length.typed(typed).unwrap();
/// assert_eq!(side_by_side([&read("0.2"), &read("0.6")], " to "), "0.2 to 0.6 mm");
/// assert_eq!(side_by_side([&read("0.2"), &read("8 thou")], ", "), "0.2 mm, 0.008 in");
/// ```
pub fn side_by_side<'a>(values: impl IntoIterator<Item = &'a JobValue>, between: &str) -> String {
    let is_size = |value: &&JobValue| value.size().is_some();
    let values: Vec<&JobValue> = values.into_iter().collect();
    let mut shown: Vec<String> = values.iter().map(ToString::to_string).collect();
    let unit = |text: &str| text.split_once(' ').map(|(_, unit)| unit.to_owned());
    let of_all = shown.last().and_then(|last| unit(last));
    if values.iter().all(is_size) && shown.iter().all(|text| unit(text) == of_all) {
        let bare = shown.len().saturating_sub(1);
        shown[..bare].iter_mut().for_each(|text| text.truncate(text.find(' ').unwrap_or(text.len())));
    }
    shown.join(between)
}

/// Which way a mark stands from the line to the centre, counter-clockwise positive.
fn sense(turn: &Fraction) -> &'static str {
    match () {
        () if turn.is_positive() => " ccw",
        () if turn.is_negative() => " clockwise",
        () => "",
    }
}

/// Significant digits that are shown of a reading.
const DIGITS: u32 = 9;

impl ValueKind {
    /// Reads a value as it is typed.
    ///
    /// # Errors
    /// [`Mistyped`] where the text is no value of this kind.
    ///
    /// # Examples
    /// ```
    /// use toothmark::job::{JobValue, ValueKind};
    /// assert_eq!(ValueKind::Length.typed("0.631 in").unwrap().to_string(), "0.631 in");
    /// assert_eq!(ValueKind::Hole.typed("90 12 x 18").unwrap().to_string(), "hole at 90 degrees, 12 mm, 18 mm deep");
    /// assert_eq!(ValueKind::Unbalance.typed("2122 at 100 deg").unwrap().to_string(), "2122 g mm at 100 degrees");
    /// assert!(ValueKind::Count.typed("half").is_err());
    /// ```
    pub fn typed(self, text: &str) -> Result<JobValue, Mistyped> {
        match self {
            Self::Length => Length::typed(text).map(|(length, _)| JobValue::Length(length)),
            Self::Count => count(text).map(JobValue::Count),
            Self::Mark => mark(text),
            Self::Unbalance => unbalance(text),
            Self::Hole => hole(text),
            Self::Force => of_unit(text, &["n", "newton", "newtons"]).map(JobValue::Newtons),
            Self::Words => Ok(JobValue::Words(text.trim().to_owned())),
        }
    }

    /// How a value of this kind is typed, for a hint.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "16.02, \"0.631 in\"",
            Self::Count => "26",
            Self::Mark => "\"3 teeth l clockwise\", \"-120 deg\"",
            Self::Unbalance => "836, \"2122 at 100 deg\", \"2.9 oz in at 100 deg\"",
            Self::Hole => "\"90 12 x 18\", which is 12 mm wide and 18 mm deep at 90 degrees",
            Self::Force => "900",
            Self::Words => "a sentence",
        }
    }
}

fn of_unit(text: &str, units: &[&str]) -> Result<Fraction, Mistyped> {
    TypedNumber::read(text)?.with_unit(units)
}

/// `836`, `2122 g mm at 100 deg`, `2.9 oz in@100`.
fn unbalance(text: &str) -> Result<JobValue, Mistyped> {
    let (size, angle) = text.split_once('@').or_else(|| text.split_once(" at ")).unzip();
    let size = TypedNumber::read(size.unwrap_or(text))?;
    let scale = match size.words.concat().as_str() {
        "" | "gmm" | "grammm" | "grammillimetres" => fraction(1, 1),
        "ozin" | "ounceinches" => grams_per_ounce() * fraction(254, 10),
        other => return Err(Mistyped::UnknownWord { word: other.to_owned() }),
    };
    let degrees = angle.map(counter_clockwise).transpose()?;
    Ok(JobValue::GramMillimetres(size.value * scale, degrees))
}

/// By definition, the avoirdupois ounce.
fn grams_per_ounce() -> Fraction {
    fraction(28_349_523_125, 1_000_000_000)
}

/// `100`, `100 deg`, `100 deg cw`, which is -100.
fn counter_clockwise(text: &str) -> Result<Fraction, Mistyped> {
    let typed = TypedNumber::read(text)?;
    let words: Vec<&str> = typed.words.iter().map(String::as_str).collect();
    let (words, is_clockwise) = match words[..] {
        [ref before @ .., "cw"] => (before, true),
        [ref before @ .., "ccw"] => (before, false),
        ref all => (all, false),
    };
    match words {
        [] | ["deg" | "degree" | "degrees" | "\u{b0}"] if is_clockwise => Ok(-typed.value),
        [] | ["deg" | "degree" | "degrees" | "\u{b0}"] => Ok(typed.value),
        _ => Err(Mistyped::UnknownWord { word: words.join(" ") }),
    }
}

fn count(text: &str) -> Result<i64, Mistyped> {
    let not_whole = || Mistyped::UnknownWord { word: text.trim().to_owned() };
    let value = of_unit(text, &["teeth", "tooth"])?;
    let count = value.is_integer().then(|| value.numer().to_i64()).flatten();
    count.filter(|count| *count >= 0).ok_or_else(not_whole)
}

/// `3 teeth l`, `-120 deg`, `10 teeth of d clockwise`: a reading with the gear that its teeth are counted on.
///
/// The name of a gear may be anything, so it is what is left behind the longest beginning that is a reading.
fn mark(text: &str) -> Result<JobValue, Mistyped> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let no_gear = || Mistyped::UnknownWord { word: text.trim().to_owned() };
    for count in (1..=words.len()).rev() {
        let (reading, gear) = words.split_at(count);
        let reading = reading.join(" ");
        let Ok(typed) = TypedReading::read(&reading) else { continue };
        return match (typed.unit, gear) {
            (ReadingUnit::Degrees, []) => Ok(JobValue::Degrees(typed.value)),
            (ReadingUnit::Degrees, _) | (ReadingUnit::Teeth, []) => Err(no_gear()),
            (ReadingUnit::Teeth, gear) => teeth(&reading, typed, gear),
        };
    }
    Err(TypedReading::read(text).err().unwrap_or_else(no_gear))
}

/// Teeth of a gear; the sense may stand behind its name.
fn teeth(reading: &str, typed: TypedReading, gear: &[&str]) -> Result<JobValue, Mistyped> {
    let gear = if let ["of", name @ ..] = gear { name } else { gear };
    if let [name @ .., sense] = gear
        && !name.is_empty()
        && !typed.has_sense
    {
        match TypedReading::read(&format!("{reading} {sense}")) {
            Ok(typed) if typed.has_sense => return Ok(JobValue::Teeth(name.join(" "), typed.value)),
            Err(fault @ Mistyped::SignAndSense) => return Err(fault),
            Ok(_) | Err(_) => {}
        }
    }
    Ok(JobValue::Teeth(gear.join(" "), typed.value))
}

/// `90 12 x 18`: degrees, diameter, depth.
fn hole(text: &str) -> Result<JobValue, Mistyped> {
    let parts: Vec<&str> = text.split(['x', ' ', '@']).map(str::trim).filter(|part| !part.is_empty()).collect();
    let [degrees, diameter, depth] = parts[..] else {
        return Err(Mistyped::UnknownWord { word: text.trim().to_owned() });
    };
    let number = |part: &str, units: &[&str]| of_unit(part, units);
    Ok(JobValue::Hole(number(degrees, &["deg"])?, number(diameter, &["mm"])?, number(depth, &["mm"])?))
}
