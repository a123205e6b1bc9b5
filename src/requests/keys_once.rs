//! Has an object of some JSON a key twice?
//!
//! A reader of JSON keeps the later of two values, or the earlier, without a word.

use std::collections::HashSet;
use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};

/// Any JSON whose objects have every key once; nothing of it is kept.
#[derive(Debug)]
pub(super) struct KeysOnce;

impl<'de> Deserialize<'de> for KeysOnce {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Self, D::Error> {
        reader.deserialize_any(Self)
    }
}

impl<'de> Visitor<'de> for KeysOnce {
    type Value = Self;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("JSON whose objects have every key once")
    }

    fn visit_bool<E>(self, _: bool) -> Result<Self, E> {
        Ok(self)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Self, E> {
        Ok(self)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Self, E> {
        Ok(self)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Self, E> {
        Ok(self)
    }

    fn visit_str<E>(self, _: &str) -> Result<Self, E> {
        Ok(self)
    }

    fn visit_unit<E>(self) -> Result<Self, E> {
        Ok(self)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut values: A) -> Result<Self, A::Error> {
        while values.next_element::<Self>()?.is_some() {}
        Ok(self)
    }

    // A number of any size comes as an object with one key.
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Self, A::Error> {
        let mut keys: HashSet<String> = HashSet::new();
        while let Some(key) = entries.next_key::<String>()? {
            if keys.contains(&key) {
                return Err(A::Error::custom(format!("the key {key:?} is given twice")));
            }
            keys.insert(key);
            entries.next_value::<Self>()?;
        }
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_found_twice_however_deep_it_stands() {
        let told = |json: &str| serde_json::from_str::<KeysOnce>(json).err().map(|error| error.to_string());
        for sound in [r#"{"a": 1, "b": [{"a": 1.5e400}, null, true, -3, "a"]}"#, "12345678901234567890123", "[]"] {
            assert_eq!(told(sound), None, "{sound}");
        }
        let again = told(r#"{"a": [{"b": 1, "\u0062": 2}]}"#).expect("b stands there twice");
        assert!(again.starts_with("the key \"b\" is given twice at line 1 column "), "{again}");
    }
}
