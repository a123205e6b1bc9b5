//! How are the options of a question told once?
//!
//! A list names each with its words, its type, how its text is read and how a value is called. From it follow the
//! structure, how it is read from the JSON values of a request, what the schema of requests says of it, and, for the
//! program, its arguments.

use serde_json::{Map, Value};

use super::refusal::Refusal;

/// The options of a question, told by one list.
pub trait QuestionOptions: Default {
    /// Reads them from the values of a request, and takes those that it knows.
    fn read(given: &mut GivenOptions<'_>) -> Self;

    /// Every option with what it is.
    fn told(list: &mut Vec<OptionWords>);
}

/// An option as people read of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OptionWords {
    /// Its name in a request.
    pub name: &'static str,
    /// What it says.
    pub help: &'static str,
    /// How many values it takes.
    pub takes: OptionKind,
    /// The options that have to be given beside it.
    pub needs: &'static [&'static str],
    /// The options that cannot be given beside it.
    pub excludes: &'static [&'static str],
}

/// How many values an option takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OptionKind {
    /// `true` or `false`.
    Flag,
    /// One.
    One,
    /// One or a list.
    Several,
}

/// The values of a request, and what is wrong with them.
#[derive(Debug)]
pub struct GivenOptions<'a> {
    values: &'a Map<String, Value>,
    known: Vec<&'static str>,
    wrong: Vec<Refusal>,
}

impl<'a> GivenOptions<'a> {
    /// The options that are read from these values, each of which has to be known.
    pub(super) fn read<O: QuestionOptions>(values: &'a Map<String, Value>) -> Result<O, Vec<Refusal>> {
        let mut given = GivenOptions { values, known: Vec::new(), wrong: Vec::new() };
        let options = O::read(&mut given);
        let unknown = values.keys().filter(|name| !given.known.contains(&name.as_str()));
        let unknown: Vec<Refusal> = unknown.map(|name| Refusal::unknown("option", name, &given.known)).collect();
        let wrong = [given.wrong, unknown, together::<O>(values)].concat();
        if wrong.is_empty() { Ok(options) } else { Err(wrong) }
    }

    /// The value of an option, where one is given; `null` is none.
    fn value(&mut self, name: &'static str) -> Option<&'a Value> {
        self.known.push(name);
        self.values.get(name).filter(|value| !value.is_null())
    }

    /// An option that is there or not.
    pub fn flag(&mut self, name: &'static str) -> bool {
        match self.value(name) {
            None => false,
            Some(Value::Bool(flag)) => *flag,
            Some(_) => {
                self.refuse(name, &Refusal::new("a value that is neither true nor false", "write true or false"));
                false
            }
        }
    }

    /// An option with one value.
    pub fn one<T>(&mut self, name: &'static str, read: fn(&str) -> Result<T, Refusal>) -> Option<T> {
        let value = self.value(name)?;
        self.text(name, value, read)
    }

    /// An option with one value or a list of them.
    pub fn several<T>(&mut self, name: &'static str, read: fn(&str) -> Result<T, Refusal>) -> Vec<T> {
        match self.value(name) {
            None => Vec::new(),
            Some(Value::Array(values)) => values.iter().filter_map(|value| self.text(name, value, read)).collect(),
            Some(value) => self.text(name, value, read).into_iter().collect(),
        }
    }

    /// A value as it would be typed.
    fn text<T>(&mut self, name: &'static str, value: &Value, read: fn(&str) -> Result<T, Refusal>) -> Option<T> {
        let read = match value {
            Value::String(text) => read(text),
            // The digits are those of the request.
            Value::Number(number) => read(&number.to_string()),
            Value::Null | Value::Bool(_) | Value::Array(_) | Value::Object(_) => {
                Err(Refusal::new("a value that is no text and no number", "write it as it is typed, in quotes"))
            }
        };
        read.map_err(|refusal| self.refuse(name, &refusal)).ok()
    }

    fn refuse(&mut self, name: &str, refusal: &Refusal) {
        self.wrong.push(Refusal::new(format!("{name}: {}", refusal.sentence), refusal.hint.clone()));
    }
}

/// What is wrong with the options that are given together.
fn together<O: QuestionOptions>(values: &Map<String, Value>) -> Vec<Refusal> {
    let is_given =
        |name: &&&str| values.get(**name).is_some_and(|value| !value.is_null() && *value != Value::Bool(false));
    let (mut told, mut wrong) = (Vec::new(), Vec::new());
    if !values.is_empty() {
        O::told(&mut told);
    }
    for OptionWords { name, needs, excludes, .. } in told.iter().filter(|option| is_given(&&option.name)) {
        let missing = needs.iter().filter(|needed| !is_given(needed));
        wrong.extend(
            missing.map(|needed| {
                Refusal::new(format!("{name} is given without {needed}"), format!("give {needed} as well"))
            }),
        );
        let beside = excludes.iter().filter(is_given);
        wrong.extend(
            beside.map(|other| {
                Refusal::new(format!("{name} and {other} cannot be given together"), "give one of the two")
            }),
        );
    }
    wrong
}

/// Tells the options of a question once.
macro_rules! options {
    ($(
        $(#[doc = $about:tt])+
        $vis:vis struct $name:ident {
            $( .. $flat:ident : $flat_type:ty ; )*
            $( $(#[doc = $help:tt])+ $field:ident : $kind:ident $(< $type:ty > = $read:path, $value:tt)?
                $(needs $($needed:literal)+)? $(excludes $($excluded:literal)+)? $([$($more:tt)+])? ; )*
        }
    )+) => {$(
        $(#[doc = $about])+
        #[derive(Debug, Clone, Default)]
        #[cfg_attr(feature = "cli", derive(clap::Args))]
        $vis struct $name {
            $(
                #[cfg_attr(feature = "cli", command(flatten))]
                $flat: $flat_type,
            )*
            $(
                $(#[doc = $help])+
                #[cfg_attr(feature = "cli", arg(
                    long
                    $(, value_name = $value, value_parser = $read, allow_hyphen_values = true)?
                    $(, requires_all = [$($needed),+])?
                    $(, conflicts_with_all = [$($excluded),+])?
                    $(, $($more)+)?
                ))]
                $field: $kind $(<$type>)?,
            )*
        }

        impl $crate::requests::options::QuestionOptions for $name {
            fn read(given: &mut $crate::requests::options::GivenOptions<'_>) -> Self {
                let _ = &given;
                Self {
                    $($flat: <$flat_type as $crate::requests::options::QuestionOptions>::read(given),)*
                    $($field: $crate::requests::options::read!(given $kind $field $($read)?),)*
                }
            }

            fn told(list: &mut Vec<$crate::requests::options::OptionWords>) {
                $(<$flat_type as $crate::requests::options::QuestionOptions>::told(list);)*
                $(list.push($crate::requests::options::OptionWords {
                    name: stringify!($field),
                    help: concat!($($help),+).trim_ascii(),
                    takes: $crate::requests::options::kind!($kind),
                    needs: &[$($($needed),+)?],
                    excludes: &[$($($excluded),+)?],
                });)*
                let _ = list;
            }
        }
    )+};
}

/// How many values an option of this type takes.
macro_rules! kind {
    (bool) => {
        $crate::requests::options::OptionKind::Flag
    };
    (Option) => {
        $crate::requests::options::OptionKind::One
    };
    (Vec) => {
        $crate::requests::options::OptionKind::Several
    };
}

/// Reads an option from the values of a request.
macro_rules! read {
    ($given:ident bool $field:ident) => {
        $given.flag(stringify!($field))
    };
    ($given:ident Option $field:ident $read:expr) => {
        $given.one(stringify!($field), $read)
    };
    ($given:ident Vec $field:ident $read:expr) => {
        $given.several(stringify!($field), $read)
    };
}

pub(super) use {kind, options, read};
