//! What number did somebody mean who typed this, and what stands beside it?
//!
//! People type `−10`, `9,67`, `.15`, `2½ in`, `10 1/3 ccw` and `120°`. [`TypedNumber::read`] takes such a text apart into
//! its one number, exactly, and the words beside it, which whoever asked gives a meaning. Files are read by the strict
//! [`parse`]. Where a text has two meanings none is chosen: the fault says both.

use num_traits::Signed;

use super::{Fraction, parse};

/// A number as typed, with the words before and behind it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct TypedNumber {
    /// The number, with its sign.
    pub value: Fraction,
    /// Whether a sign was typed.
    pub has_sign: bool,
    /// What stands beside the number, in small letters, without points and hyphens: `["mm"]`, `["deg", "cw"]`.
    /// Signs that are units stand alone: `°`, `"` (in any form of it), `'` and `%`.
    pub words: Vec<String>,
}

/// Why a text is not the number that was asked for.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Mistyped {
    /// There is no number, there are several, or it is written in a way that is not read.
    #[error("this is no number")]
    NotANumber,
    /// More digits than anybody has measured.
    #[error("this has {digits} digits")]
    TooManyDigits {
        /// How many there are.
        digits: usize,
    },
    /// The comma of `1,500` may be a decimal comma, or part thousands.
    #[error("the comma may be a decimal point, or part thousands")]
    CommaOfTwoMeanings {
        /// With a decimal point.
        decimal: String,
        /// Without the comma.
        whole: String,
    },
    /// Commas, points or spaces part groups of digits.
    #[error("digits are in groups")]
    Grouped {
        /// The same without groups.
        plain: String,
    },
    /// A word beside the number is none that belongs there.
    #[error("{word:?} does not belong here")]
    UnknownWord {
        /// The word.
        word: String,
    },
    /// Some commas of a list part its numbers, others seem to be decimal points.
    #[error("commas part numbers and are decimal points as well")]
    CommasInList {
        /// The list with decimal points.
        meant: String,
    },
    /// `-10 cw` may be 10 one way or 10 the other way.
    #[error("a sign and a sense stand together")]
    SignAndSense,
}

impl Mistyped {
    /// What to write instead, where that can be told of the text alone.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::TypedNumber;
    /// let fault = TypedNumber::read("1,500 rpm").unwrap_err();
    /// assert_eq!(fault.hint().unwrap(), "a decimal point is wanted: 1.500? or without the comma: 1500");
    /// ```
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::CommaOfTwoMeanings { decimal, whole } => {
                Some(format!("a decimal point is wanted: {decimal}? or without the comma: {whole}"))
            }
            Self::CommasInList { meant } => Some(format!("a decimal point is wanted: {meant:?}?")),
            Self::Grouped { plain } => Some(format!("write {plain}")),
            Self::SignAndSense => Some("write the sense or the sign, not both".into()),
            Self::NotANumber | Self::TooManyDigits { .. } | Self::UnknownWord { .. } => None,
        }
    }
}

impl TypedNumber {
    /// Takes a text apart into its number and the words beside it.
    ///
    /// # Errors
    /// [`Mistyped`] where there is not exactly one number, or its commas have two meanings.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{TypedNumber, fraction};
    /// let typed = TypedNumber::read("−2½ in.")?;
    /// assert_eq!((typed.value, typed.words), (fraction(-5, 2), vec!["in".to_owned()]));
    /// assert_eq!(TypedNumber::read("9,67")?.value, fraction(967, 100));
    /// # Ok::<(), toothmark::exact::Mistyped>(())
    /// ```
    pub fn read(text: &str) -> Result<Self, Mistyped> {
        /// So many letters make no word of a unit.
        const LONGEST: usize = 200;
        let digits = text.chars().filter(char::is_ascii_digit).count();
        if digits > LARGEST_DIGITS {
            return Err(Mistyped::TooManyDigits { digits });
        }
        if text.len() > LONGEST {
            return Err(Mistyped::NotANumber);
        }
        let text = in_plain_signs(text);
        let (before, number, behind) = around_number(&text).ok_or(Mistyped::NotANumber)?;
        if !is_of_words(before, before.trim_end().chars().next_back())
            || !is_of_words(behind, behind.trim_start_matches([' ', '-']).chars().next())
        {
            return Err(Mistyped::NotANumber);
        }
        let value = number_of(number)?;
        let has_sign = number.starts_with(['-', '+']);
        let words = words_of(before).chain(words_of(behind)).collect();
        Ok(Self { value, has_sign, words })
    }

    /// Takes a list of numbers apart, between commas or semicolons, each with one of these units or without.
    ///
    /// Between semicolons a comma is a decimal one. Between commas none is: of `0, 91,5, 180`, where a comma without a
    /// space stands among others, it is not known what is meant; nor of `12,05`, since nobody writes 5 as 05.
    ///
    /// # Errors
    /// [`Mistyped`] of the first number that cannot be read, or of the commas.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::{TypedNumber, fraction};
    /// let places = vec![fraction(0, 1), fraction(183, 2), fraction(180, 1)];
    /// assert_eq!(TypedNumber::list("0, 91.5, 180°", &["°"]), Ok(places.clone()));
    /// assert_eq!(TypedNumber::list("0; 91,5; 180", &[]), Ok(places));
    /// let fault = TypedNumber::list("0, 91,5, 180", &[]).unwrap_err();
    /// assert_eq!(fault.hint().unwrap(), "a decimal point is wanted: \"0, 91.5, 180\"?");
    /// let fault = TypedNumber::list("12,02,25,4", &[]).unwrap_err();
    /// assert_eq!(fault.hint().unwrap(), "a decimal point is wanted: \"12.02, 25.4\"?");
    /// ```
    pub fn list(text: &str, units: &[&str]) -> Result<Vec<Fraction>, Mistyped> {
        let read = |part: &str| Self::read(part).and_then(|typed| typed.with_unit(units));
        if text.contains(';') {
            return text.split(';').map(read).collect();
        }
        let parts: Vec<&str> = text.trim().split(',').collect();
        let touching = parts.iter().skip(1).filter(|part| part.starts_with(is_digit)).count();
        if touching > 0 && touching + 1 < parts.len() {
            let join = |part: &&str| if part.starts_with(is_digit) { format!(".{part}") } else { format!(",{part}") };
            let meant = parts[0].to_owned() + &parts[1..].iter().map(join).collect::<String>();
            return Err(Mistyped::CommasInList { meant });
        }
        if let Some(meant) = with_decimals(&parts) {
            return Err(Mistyped::CommasInList { meant });
        }
        parts.into_iter().map(read).collect()
    }

    /// The least and the most of a range such as `8..24 thou`; a unit that stands at one of them is that of both. None
    /// where there are no two points between them.
    ///
    /// # Examples
    /// ```
    /// use toothmark::exact::TypedNumber;
    /// assert_eq!(TypedNumber::range("8..24 thou").unwrap(), ["8 thou", "24 thou"]);
    /// assert_eq!(TypedNumber::range("0.2 mm...6").unwrap(), ["0.2 mm", ".6 mm"]);
    /// assert_eq!(TypedNumber::range("0.2"), None);
    /// ```
    pub fn range(text: &str) -> Option<[String; 2]> {
        let (least, most) = text.split_once("..")?;
        let unit =
            |part: &str| Self::read(part).ok().map(|typed| typed.words.join(" ")).filter(|unit| !unit.is_empty());
        let complete = |part: &str, other: &str| match (unit(part), unit(other)) {
            (None, Some(unit)) => format!("{} {unit}", part.trim()),
            (Some(_), _) | (None, None) => part.trim().to_owned(),
        };
        Some([complete(least, most), complete(most, least)])
    }

    /// The number, where at most one of these words stands beside it.
    ///
    /// # Errors
    /// [`Mistyped::UnknownWord`] where another word does.
    pub fn with_unit(self, units: &[&str]) -> Result<Fraction, Mistyped> {
        let joined = self.words.concat();
        if joined.is_empty() || units.contains(&joined.as_str()) {
            Ok(self.value)
        } else {
            Err(Mistyped::UnknownWord { word: self.words.join(" ") })
        }
    }

    /// Whether the number is below zero.
    pub fn is_negative(&self) -> bool {
        self.value.is_negative()
    }
}

/// What is meant by `12,05`, where a part that begins with 0 can only be decimals.
fn with_decimals(parts: &[&str]) -> Option<String> {
    let is_decimals =
        |part: &str| part.len() > 1 && part.starts_with('0') && part.bytes().all(|it| it.is_ascii_digit());
    let is_whole = |part: &str| !part.contains('.');
    let found = parts.windows(2).any(|pair| is_whole(pair[0]) && is_decimals(pair[1]));
    // Of an even number of parts every second one is decimals.
    let meant = || match parts.len() % 2 {
        0 => parts.chunks(2).map(|pair| pair.join(".")).collect::<Vec<_>>().join(", "),
        _ => parts.join("; ").replace("; 0", ".0"),
    };
    found.then(meant)
}

/// The longest number that is read has so many digits; [`parse`] refuses some of that length itself.
const LARGEST_DIGITS: usize = 77;

/// The text in the signs of a plain keyboard: one minus, one space, one stroke, fractions written out.
fn in_plain_signs(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.trim().chars() {
        match letter {
            // Hyphens, dashes and the minus sign.
            '\u{2010}'..='\u{2014}' | '\u{2212}' | '\u{fe63}' | '\u{ff0d}' => plain.push('-'),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '\u{2033}' | '\u{201c}' | '\u{201d}' | '\u{2036}' => plain.push('"'),
            '\u{2032}' | '\u{2018}' | '\u{2019}' => plain.push('\''),
            '\u{ba}' | '\u{2da}' => plain.push('°'),
            '\u{3bc}' => plain.push('µ'),
            _ if letter.is_whitespace() => plain.push(' '),
            _ => match VULGAR.iter().find(|(sign, _)| *sign == letter) {
                // A space, so that 2½ is 2 1/2.
                Some((_, written)) => plain.extend([" ", written]),
                None => plain.push(letter),
            },
        }
    }
    plain.trim().to_owned()
}

/// Fractions that are one character.
const VULGAR: [(char, &str); 15] = [
    ('½', "1/2"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅕', "1/5"),
    ('⅖', "2/5"),
    ('⅗', "3/5"),
    ('⅘', "4/5"),
    ('⅙', "1/6"),
    ('⅚', "5/6"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
];

/// What stands before the number, the number with its sign, and what stands behind it.
fn around_number(text: &str) -> Option<(&str, &str, &str)> {
    let first = text.find(|letter: char| letter.is_ascii_digit())?;
    let mut start =
        first - text[..first].chars().next_back().filter(|&letter| matches!(letter, '.' | ',')).map_or(0, |_| 1);
    // A sign belongs to the number unless a word runs into it.
    let before = text[..start].trim_end();
    if before.ends_with(['-', '+']) && !before[..before.len() - 1].ends_with(char::is_alphabetic) {
        start = before.len() - 1;
    }
    let length = text[first..].find(|letter: char| !is_of_number(letter)).unwrap_or(text.len() - first);
    // The hyphen of "2-inch" is not the number's.
    let end = first + text[first..first + length].trim_end_matches([' ', '-']).len();
    Some((&text[..start], &text[start..end], &text[end..]))
}

fn is_of_number(letter: char) -> bool {
    letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/' | '-' | ' ')
}

/// Whether a text holds words alone, by its letter next to the number.
fn is_of_words(text: &str, nearest: Option<char>) -> bool {
    let is_word = |letter: char| letter.is_alphabetic() || matches!(letter, '°' | '"' | '\'' | '%');
    nearest.is_none_or(is_word) && !text.contains(is_digit)
}

/// The words of a text in small letters, without the points and hyphens in them.
fn words_of(text: &str) -> impl Iterator<Item = String> {
    let mut apart = String::new();
    for letter in text.to_lowercase().chars() {
        match letter {
            '°' | '"' | '%' | '\'' => apart.extend([' ', letter, ' ']),
            '.' | '-' | '·' | '*' => {}
            _ => apart.push(letter),
        }
    }
    // Two strokes are inches as well.
    let apart = apart.replace("'  '", "\"");
    apart.split_whitespace().map(ToOwned::to_owned).collect::<Vec<_>>().into_iter()
}

/// The number in signs of a plain keyboard.
fn number_of(number: &str) -> Result<Fraction, Mistyped> {
    let (sign, magnitude) = match number.strip_prefix(['-', '+']) {
        Some(magnitude) => (&number[..1], magnitude.trim_start()),
        None => ("", number),
    };
    let point = with_point(sign, magnitude)?;
    // 2-1/2 is 2 1/2.
    let joined = match point.split_once('-') {
        Some((whole, part)) if whole.ends_with(is_digit) && part.starts_with(is_digit) && part.contains('/') => {
            format!("{whole} {part}")
        }
        _ => point,
    };
    parse(&format!("{sign}{joined}")).ok_or(Mistyped::NotANumber)
}

/// The same with a decimal point where there is a decimal comma.
fn with_point(sign: &str, magnitude: &str) -> Result<String, Mistyped> {
    let commas = magnitude.matches(',').count();
    if commas == 1 && !magnitude.contains('.') {
        let (whole, decimals) = magnitude.split_once(',').unwrap_or_default();
        if !decimals.starts_with(is_digit) {
            return Err(Mistyped::NotANumber);
        }
        let decimal = format!("{whole}.{decimals}");
        // 1,500 has two meanings; 0,152 and 12,5 have one.
        if is_group(decimals) && is_first_group(whole) {
            let [decimal, whole] = [decimal, format!("{whole}{decimals}")].map(|text| format!("{sign}{text}"));
            return Err(Mistyped::CommaOfTwoMeanings { decimal, whole });
        }
        return Ok(decimal);
    }
    match without_groups(magnitude) {
        Some(plain) => Err(Mistyped::Grouped { plain: format!("{sign}{plain}") }),
        None if commas > 0 => Err(Mistyped::NotANumber),
        None => Ok(magnitude.to_owned()),
    }
}

/// A number whose digits are in groups of three, without these: `1,234.5`, `1.234,5`, `1 234`, `1,234,567`.
fn without_groups(magnitude: &str) -> Option<String> {
    let between = *[',', '.', ' '].iter().find(|&&letter| {
        let last = magnitude.rfind([',', '.']).map_or("", |at| &magnitude[at..=at]);
        magnitude.contains(letter) && (magnitude.matches(letter).count() > 1 || last != letter.to_string())
    })?;
    let (whole, decimals) =
        magnitude.split_at(magnitude.rfind(|l| matches!(l, ',' | '.') && l != between).unwrap_or(magnitude.len()));
    let (first, groups) = whole.split_once(between)?;
    let decimals = decimals.replace(',', ".");
    let is_plain = decimals.is_empty() || decimals[1..].bytes().all(|digit| digit.is_ascii_digit());
    (is_first_group(first) && groups.split(between).all(is_group) && is_plain)
        .then(|| format!("{}{decimals}", whole.replace(between, "")))
}

/// One to three digits that do not begin with a zero.
fn is_first_group(text: &str) -> bool {
    matches!(text.len(), 1..=3) && text.bytes().all(|digit| digit.is_ascii_digit()) && !text.starts_with('0')
}

fn is_group(text: &str) -> bool {
    text.len() == 3 && text.bytes().all(|digit| digit.is_ascii_digit())
}

fn is_digit(letter: char) -> bool {
    letter.is_ascii_digit()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fraction;

    #[track_caller]
    fn reads(text: &str, (numerator, denominator): (i64, i64), words: &[&str]) {
        let typed = TypedNumber::read(text).unwrap_or_else(|fault| panic!("{text:?}: {fault}"));
        assert_eq!(typed.value, fraction(numerator, denominator), "{text:?}");
        assert_eq!(typed.words, words, "{text:?}");
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        reads("10", (10, 1), &[]);
        reads(" -10 ", (-10, 1), &[]);
        reads("+ 10", (10, 1), &[]);
        reads("\u{2212}10", (-10, 1), &[]);
        reads("\u{2013} 10", (-10, 1), &[]);
        reads(".15", (3, 20), &[]);
        reads("-.5", (-1, 2), &[]);
        reads("5.", (5, 1), &[]);
        reads("9,67", (967, 100), &[]);
        reads(",15", (3, 20), &[]);
        reads("0,152", (19, 125), &[]);
        reads("12,5000", (25, 2), &[]);
        reads("10 1/3", (31, 3), &[]);
        reads("-10 1/3", (-31, 3), &[]);
        reads("10-1/3", (31, 3), &[]);
        reads("-10-1/3", (-31, 3), &[]);
        reads("10⅓", (31, 3), &[]);
        reads("½", (1, 2), &[]);
        reads("-½", (-1, 2), &[]);
        reads("1\u{2044}8", (1, 8), &[]);
    }

    #[test]
    fn what_stands_beside_a_number_is_taken_apart() {
        reads("0.006in", (3, 500), &["in"]);
        reads("0.006 In.", (3, 500), &["in"]);
        reads("1/8\"", (1, 8), &["\""]);
        reads("1/8\u{201d}", (1, 8), &["\""]);
        reads("1/8''", (1, 8), &["\""]);
        reads("2 1/2-inch", (5, 2), &["inch"]);
        reads("-120°", (-120, 1), &["°"]);
        reads("120° cw", (120, 1), &["°", "cw"]);
        reads("120 Degrees CW", (120, 1), &["degrees", "cw"]);
        reads("10 counter-clockwise", (10, 1), &["counterclockwise"]);
        reads("ccw 10 1/3", (31, 3), &["ccw"]);
        reads("22 lb-ft", (22, 1), &["lbft"]);
        reads("30 N·m", (30, 1), &["nm"]);
        reads("98%", (98, 1), &["%"]);
    }

    #[test]
    fn a_comma_of_two_meanings_is_not_chosen_from() {
        let two = |decimal: &str, whole: &str| {
            Err(Mistyped::CommaOfTwoMeanings { decimal: decimal.into(), whole: whole.into() })
        };
        let grouped = |plain: &str| Err(Mistyped::Grouped { plain: plain.into() });
        for (text, expected) in [
            ("1,500", two("1.500", "1500")),
            ("-12,345 rpm", two("-12.345", "-12345")),
            ("1,234.5", grouped("1234.5")),
            ("1.234,5", grouped("1234.5")),
            ("1 500", grouped("1500")),
            ("1,234,567", grouped("1234567")),
            ("1.234.567", grouped("1234567")),
        ] {
            assert_eq!(TypedNumber::read(text), expected, "{text:?}");
        }
    }

    #[test]
    fn what_is_not_one_number_is_refused() {
        for text in [
            "", " ", "ten", "-", ".", ",", "1/0", "1/", "/2", "3 4", "1e3", "0x10", "10 deg 5", "1,2,3", "9,", "1,5/2",
            "5-3", "10 -1/3", "--10", "1.2.3", "1..2", "٣",
        ] {
            assert_eq!(TypedNumber::read(text), Err(Mistyped::NotANumber), "{text:?}");
        }
        let long = "1".repeat(100_000);
        assert_eq!(TypedNumber::read(&long), Err(Mistyped::TooManyDigits { digits: 100_000 }));
        assert_eq!(TypedNumber::read(&"x".repeat(100_000)), Err(Mistyped::NotANumber));
    }
}
