//! The JSON Schema of an answer: what its keys are and what stands under each.
//!
//! The schemas of structures are derived beside them; here stand those of the numbers and identities, whose form is
//! given by [`super::json`].

use std::borrow::Cow;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::exact::Fraction;
use crate::gearset::{ControlId, GearId, MemberId, MeshId};

/// The schema of an answer, as indented JSON with a line break at its end.
pub(crate) fn schema<A: JsonSchema>() -> String {
    // Of what is written, so that every key is required, also one whose value may be null.
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let schema = generator.into_root_schema_for::<A>();
    serde_json::to_string_pretty(&schema).expect("a schema can always be written") + "\n"
}

macro_rules! written_as {
    ($($type:ty, $name:literal, $schema:expr;)*) => {$(
        impl JsonSchema for $type {
            fn schema_name() -> Cow<'static, str> {
                $name.into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                $schema
            }
        }
    )*};
}

written_as! {
    Fraction, "Exact", json_schema!({
        "description": "An exact number: its fraction in lowest terms, and the nearest decimal.",
        "type": "object",
        "properties": { "fraction": { "type": "string" }, "decimal": { "type": "number" } },
        "required": ["fraction", "decimal"],
        "additionalProperties": false,
    });
    MemberId, "Member", json_schema!({ "description": "The name of a member, or \"case\".", "type": "string" });
    GearId, "Gear", json_schema!({ "description": "The name of a gear.", "type": "string" });
    ControlId, "Control", json_schema!({ "description": "The name of a control.", "type": "string" });
    MeshId, "Mesh", json_schema!({
        "description": "The names of the two gears in mesh.",
        "type": "array",
        "items": { "type": "string" },
        "minItems": 2,
        "maxItems": 2,
    });
}
