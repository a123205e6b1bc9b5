//! Answers as JSON with stable keys.
//!
//! An answer is serialised as it is, by a serializer that knows the gearset: a member, a gear and a control become
//! their names, a mesh the names of its two gears, an exact number the object `{"fraction", "decimal"}`, and an
//! integer of any size a number. Nothing else is changed, so the keys are the names of the fields of the answer.

use std::fmt::Write as _;
use std::str::FromStr;

use serde::Serialize;
use serde::ser::{
    Error as _, SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant, SerializeTuple,
    SerializeTupleStruct, SerializeTupleVariant, Serializer,
};
use serde_json::{Error, Map, Number, Value};

use crate::exact::{Fraction, INTEGER_SERIALIZED_AS, decimal};
use crate::gearset::{ControlId, GearId, Gearset, MemberId, MeshId};
use crate::syntax::is_shown_as_escape;

/// Significant digits of the decimal beside a fraction.
const DIGITS: u32 = 17;

/// An answer as indented JSON with a line break at its end.
pub(in crate::report) fn json(set: &Gearset, answer: &(impl Serialize + ?Sized)) -> String {
    safe(serde_json::to_string_pretty(&value(set, answer)).expect("a value can always be written")) + "\n"
}

/// An answer as a JSON value.
pub(in crate::report) fn value(set: &Gearset, answer: &(impl Serialize + ?Sized)) -> Value {
    answer.serialize(Named { set }).expect("an answer has keys that are texts, and nothing in it fails")
}

/// JSON on one line, with a line break at its end.
pub(crate) fn json_line(value: &impl Serialize) -> String {
    safe(serde_json::to_string(value).expect("a value can always be written")) + "\n"
}

/// The same JSON without a character that a terminal would obey: such stand in strings alone, where an escape means
/// the same.
fn safe(json: String) -> String {
    // Nearly every answer is plain ASCII, of which a terminal shows everything.
    if json.bytes().all(|byte| byte == b'\n' || (b' '..=b'~').contains(&byte)) {
        return json;
    }
    let mut safe = String::with_capacity(json.len());
    for letter in json.chars() {
        if letter != '\n' && is_shown_as_escape(letter) {
            let mut units = [0; 2];
            for unit in letter.encode_utf16(&mut units) {
                // Writing to a String cannot fail.
                let _ = write!(safe, "\\u{unit:04x}");
            }
        } else {
            safe.push(letter);
        }
    }
    safe
}

/// Serialises into a JSON value, with the names of one gearset in place of its identities.
#[derive(Clone, Copy)]
struct Named<'a> {
    set: &'a Gearset,
}

impl Named<'_> {
    /// What stands for a newtype that has a form of its own here; `None` for any other.
    fn in_its_own_form(self, kind: &str, value: &Value) -> Option<Value> {
        let index = || usize::try_from(value.as_u64()?).ok();
        Some(match kind {
            MemberId::SERIALIZED_AS => self.set.members().get(index()?)?.name().into(),
            GearId::SERIALIZED_AS => self.set.gears().get(index()?)?.name().into(),
            ControlId::SERIALIZED_AS => self.set.controls().get(index()?)?.name().into(),
            MeshId::SERIALIZED_AS => {
                let gears = self.set.meshes().get(index()?)?.gears();
                gears.each().map(|gear| self.set.gear(gear).name()).into_iter().collect()
            }
            Fraction::SERIALIZED_AS => exact(&value.as_str()?.parse().ok()?),
            INTEGER_SERIALIZED_AS => number(value.as_str()?),
            _ => return None,
        })
    }
}

/// An exact number: the text of its fraction, of any length, and the decimal nearest to it.
fn exact(value: &Fraction) -> Value {
    let fields = [("fraction", value.to_string().into()), ("decimal", number(&decimal(value, DIGITS)))];
    Value::Object(fields.into_iter().map(|(key, value)| (key.to_owned(), value)).collect())
}

/// A number of any size from its digits.
fn number(digits: &str) -> Value {
    Value::Number(Number::from_str(digits).expect("digits are a JSON number"))
}

/// A value within its variant, if it belongs to one.
fn within(variant: Option<&'static str>, value: Value) -> Value {
    match variant {
        None => value,
        Some(variant) => Value::Object([(variant.to_owned(), value)].into_iter().collect()),
    }
}

/// A list in the making.
struct List<'a> {
    named: Named<'a>,
    variant: Option<&'static str>,
    items: Vec<Value>,
}

impl List<'_> {
    fn push(&mut self, item: &(impl Serialize + ?Sized)) -> Result<(), Error> {
        self.items.push(item.serialize(self.named)?);
        Ok(())
    }
}

/// An object in the making.
struct Object<'a> {
    named: Named<'a>,
    variant: Option<&'static str>,
    fields: Map<String, Value>,
    key: Option<String>,
}

impl Object<'_> {
    fn insert(&mut self, key: String, value: &(impl Serialize + ?Sized)) -> Result<(), Error> {
        self.fields.insert(key, value.serialize(self.named)?);
        Ok(())
    }
}

/// Values that JSON has a form for already.
macro_rules! as_it_is {
    ($($method:ident($type:ty);)*) => {$(
        fn $method(self, value: $type) -> Result<Value, Error> {
            serde_json::value::Serializer.$method(value)
        }
    )*};
}

impl<'a> Serializer for Named<'a> {
    type Ok = Value;
    type Error = Error;
    type SerializeSeq = List<'a>;
    type SerializeTuple = List<'a>;
    type SerializeTupleStruct = List<'a>;
    type SerializeTupleVariant = List<'a>;
    type SerializeMap = Object<'a>;
    type SerializeStruct = Object<'a>;
    type SerializeStructVariant = Object<'a>;

    as_it_is! {
        serialize_bool(bool);
        serialize_i8(i8);
        serialize_i16(i16);
        serialize_i32(i32);
        serialize_i64(i64);
        serialize_i128(i128);
        serialize_u8(u8);
        serialize_u16(u16);
        serialize_u32(u32);
        serialize_u64(u64);
        serialize_u128(u128);
        serialize_f32(f32);
        serialize_f64(f64);
        serialize_char(char);
        serialize_str(&str);
        serialize_bytes(&[u8]);
        serialize_unit_struct(&'static str);
    }

    fn serialize_unit(self) -> Result<Value, Error> {
        Ok(Value::Null)
    }

    fn serialize_none(self) -> Result<Value, Error> {
        Ok(Value::Null)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<Value, Error> {
        value.serialize(self)
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, variant: &'static str) -> Result<Value, Error> {
        Ok(variant.into())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, kind: &'static str, value: &T) -> Result<Value, Error> {
        let value = value.serialize(self)?;
        Ok(self.in_its_own_form(kind, &value).unwrap_or(value))
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<Value, Error> {
        Ok(within(Some(variant), value.serialize(self)?))
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<List<'a>, Error> {
        Ok(List { named: self, variant: None, items: Vec::new() })
    }

    fn serialize_tuple(self, _: usize) -> Result<List<'a>, Error> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<List<'a>, Error> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<List<'a>, Error> {
        Ok(List { named: self, variant: Some(variant), items: Vec::new() })
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Object<'a>, Error> {
        Ok(Object { named: self, variant: None, fields: Map::new(), key: None })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Object<'a>, Error> {
        self.serialize_map(None)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<Object<'a>, Error> {
        Ok(Object { named: self, variant: Some(variant), fields: Map::new(), key: None })
    }
}

macro_rules! list {
    ($($kind:ident::$method:ident;)*) => {$(
        impl $kind for List<'_> {
            type Ok = Value;
            type Error = Error;

            fn $method<T: Serialize + ?Sized>(&mut self, item: &T) -> Result<(), Error> {
                self.push(item)
            }

            fn end(self) -> Result<Value, Error> {
                Ok(within(self.variant, Value::Array(self.items)))
            }
        }
    )*};
}

list! {
    SerializeSeq::serialize_element;
    SerializeTuple::serialize_element;
    SerializeTupleStruct::serialize_field;
    SerializeTupleVariant::serialize_field;
}

macro_rules! object {
    ($($kind:ident)*) => {$(
        impl $kind for Object<'_> {
            type Ok = Value;
            type Error = Error;

            fn serialize_field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), Error> {
                self.insert(key.to_owned(), value)
            }

            fn end(self) -> Result<Value, Error> {
                Ok(within(self.variant, Value::Object(self.fields)))
            }
        }
    )*};
}

object! { SerializeStruct SerializeStructVariant }

impl SerializeMap for Object<'_> {
    type Ok = Value;
    type Error = Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Error> {
        let key = key.serialize(self.named)?;
        self.key = Some(key.as_str().ok_or_else(|| Error::custom("a key is not a text"))?.to_owned());
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        let key = self.key.take().ok_or_else(|| Error::custom("a value stands before its key"))?;
        self.insert(key, value)
    }

    fn end(self) -> Result<Value, Error> {
        Ok(Value::Object(self.fields))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::description;
    use crate::exact::fraction;

    #[derive(Serialize)]
    enum Kind {
        Plain,
        #[serde(rename = "of a gear")]
        OfGear(GearId),
        At {
            place: Fraction,
        },
    }

    #[derive(Serialize)]
    struct Everything {
        member: MemberId,
        case: MemberId,
        mesh: Option<MeshId>,
        speeds: Vec<Option<Fraction>>,
        turns: BTreeMap<MemberId, Fraction>,
        kinds: [Kind; 3],
        text: &'static str,
        open: f64,
    }

    #[test]
    fn identities_become_names_and_exact_numbers_one_form() {
        let set = description::read(description::example("millrace-winch").expect("built in")).expect("sound");
        let member = set.member_named("carrier").expect("it has one");
        let answer = Everything {
            member,
            case: MemberId::CASE,
            mesh: set.mesh_ids().next(),
            speeds: vec![Some(fraction(-1, 3)), None],
            turns: [(member, fraction(1, 2))].into(),
            kinds: [
                Kind::Plain,
                Kind::OfGear(set.gear_ids().next().expect("a gear")),
                Kind::At { place: fraction(2, 1) },
            ],
            text: "a\u{9b}2J\u{202e}\n\u{1f600}",
            open: f64::INFINITY,
        };
        let third = r#"{"fraction":"-1/3","decimal":-0.33333333333333333}"#;
        let expected = format!(
            r#"{{"member":"carrier","case":"case","mesh":["S","p"],"speeds":[{third},null],"turns":{{"carrier":{{"fraction":"1/2","decimal":0.5}}}},"kinds":["Plain",{{"of a gear":"S"}},{{"At":{{"place":{{"fraction":"2","decimal":2}}}}}}],"text":"a\u009b2J\u202e\n😀","open":null}}"#
        );
        let indented = json(&set, &answer);
        let value: Value = serde_json::from_str(&indented).expect("it is JSON");
        assert_eq!(safe(value.to_string()), expected);
        assert!(!indented.contains(['\u{9b}', '\u{202e}']), "a terminal would obey {indented:?}");
        assert_eq!(value["text"], answer.text);
    }
}
