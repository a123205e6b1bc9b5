//! Does the library give the values that a file lists? The one runner of every `tests/*_values.ron`.
//!
//! A file is a list of sources, each with its values: what is asked, what was computed independently to twelve digits,
//! and what is printed where it is. What was read in print, what is quoted from memory and what is computed are kept
//! apart by their origin, and a ledger holds how many there are of each. What the library tells exactly is met exactly.

use std::collections::BTreeMap;
use std::fmt::Debug;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use toothmark::exact::{Fraction, to_float};

use super::sets::{exact, read_ron};

/// Computed values stand to twelve digits, and so do the readings from which some of them follow.
const TWELVE_DIGITS: f64 = 1e-10;

/// How a value came here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub(crate) enum Origin {
    /// Read in print.
    Seen,
    /// Printed, quoted from memory.
    Memory,
    /// By a second method.
    Computed,
}

/// Values of each origin: all, of these the printed ones, and those that are wrong in print; they only grow.
pub(crate) type ValueLedger = [(Origin, [usize; 3]); 3];

/// What the library tells.
#[derive(Debug, Clone)]
pub(crate) enum Told {
    /// In floats.
    Nearly(f64),
    /// Exactly.
    Exactly(Fraction),
}

impl From<f64> for Told {
    fn from(told: f64) -> Self {
        Self::Nearly(told)
    }
}

impl From<Fraction> for Told {
    fn from(told: Fraction) -> Self {
        Self::Exactly(told)
    }
}

/// What a file asks of the library.
pub(crate) trait Asked: Debug + DeserializeOwned {
    /// What the library answers; none where it has no answer.
    fn told(&self) -> Option<Told>;
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ValueSource<Q> {
    id: String,
    printed_in: String,
    origin: Origin,
    values: Vec<ListedValue<Q>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ListedValue<Q> {
    what: Q,
    computed: String,
    /// As printed, and how close it has to be.
    #[serde(default)]
    printed: Option<(String, String)>,
    /// As printed, and why that is wrong.
    #[serde(default)]
    wrong_as_printed: Option<(String, String)>,
    /// What the library gives in place of what was computed, and why that is right.
    #[serde(default)]
    differs: Option<(String, String)>,
    /// How close the library comes where it cannot be to twelve digits, and why.
    #[serde(default)]
    wider: Option<(String, String)>,
}

/// Checks every value of a file, and that there are as many as the ledger says.
#[track_caller]
pub(crate) fn agree<Q: Asked>(file: &str, ledger: ValueLedger) {
    let sources: Vec<ValueSource<Q>> = read_ron(file);
    let mut counted = BTreeMap::from([Origin::Seen, Origin::Memory, Origin::Computed].map(|origin| (origin, [0; 3])));
    for source in &sources {
        assert!(!source.printed_in.is_empty(), "{file}, {}: no word of where from", source.id);
        for value in &source.values {
            check(&format!("{file}, {}: {:?}", source.id, value.what), value);
            let [values, printed, wrong] = counted.entry(source.origin).or_default();
            *values += 1;
            *printed += usize::from(value.printed.is_some());
            *wrong += usize::from(value.wrong_as_printed.is_some());
        }
    }
    assert_eq!(counted, BTreeMap::from(ledger), "the ledger of {file}");
}

#[track_caller]
fn check<Q: Asked>(place: &str, value: &ListedValue<Q>) {
    let told = value.what.told().unwrap_or_else(|| panic!("{place} has no value"));
    let ours = match &told {
        Told::Nearly(told) => *told,
        Told::Exactly(told) => to_float(told),
    };
    let number = |digits: &str| to_float(&exact(place, digits));
    let apart = |digits: &str| (ours - number(digits)).abs();
    let is_same = |digits: &str| match &told {
        Told::Nearly(_) => apart(digits) <= TWELVE_DIGITS * number(digits).abs().max(1.0),
        Told::Exactly(told) => *told == exact(place, digits),
    };
    let computed = &value.computed;
    if let Some((instead, why)) = value.differs.as_ref().or(value.wider.as_ref()) {
        assert!(!is_same(computed) && !why.is_empty(), "{place}: {computed} is met to twelve digits: {instead}, {why}");
    }
    match (&value.differs, &value.wider) {
        (Some((instead, why)), _) => assert!(is_same(instead), "{place}: {ours} against {instead}: {why}"),
        (None, Some((within, why))) => {
            assert!(apart(computed) <= number(within), "{place}: {ours} against {computed}: {why}");
        }
        (None, None) => assert!(is_same(computed), "{place}: {ours} against {computed}"),
    }
    if let Some((printed, within)) = &value.printed {
        assert!(apart(printed) <= number(within), "{place}: {ours} for {printed} as printed");
    }
    if let Some((printed, why)) = &value.wrong_as_printed {
        let digits = printed.split_once('.').map_or(0, |(_, digits)| digits.len());
        assert!(format!("{ours:.digits$}") != *printed && !why.is_empty(), "{place}: {printed} is right after all");
    }
}
