//! The shape of a description: what may stand where, with every leaf left as written.
//!
//! Serde checks the shape alone. Each name and number stays a [`Raw`] slice of the source
//! text, so that its place is known for good and a wrong leaf is one problem among
//! several instead of the end of reading.

use std::fmt;
use std::marker::PhantomData;

use ron::value::RawValue;
use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};

use super::ordered::Ordered;

/// A leaf as it stands in the source, without the white space and comments round it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Raw<'a>(pub(super) &'a str);

impl<'de: 'a, 'a> Deserialize<'de> for Raw<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw: &'de RawValue = Deserialize::deserialize(deserializer)?;
        Ok(Raw(raw.trim().get_ron()))
    }
}

/// A map in the order of the file, doubled keys and all.
pub(super) type Entries<'a, V> = Ordered<Raw<'a>, V>;

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, rename = "Gearset", bound(deserialize = "'de: 'a"))]
pub(super) struct GearsetText<'a> {
    pub(super) title: Raw<'a>,
    #[serde(default)]
    pub(super) input: Option<Raw<'a>>,
    #[serde(default)]
    pub(super) output: Option<Raw<'a>>,
    #[serde(default)]
    pub(super) pitch: Option<PitchText<'a>>,
    #[serde(default)]
    pub(super) backlash: Option<LengthText<'a>>,
    #[serde(default)]
    pub(super) pressure_angle: Option<Raw<'a>>,
    #[serde(default)]
    pub(super) profile_shifts: Entries<'a, Raw<'a>>,
    #[serde(default)]
    pub(super) efficiency: Option<Raw<'a>>,
    pub(super) members: Entries<'a, Vec<MemberGearText<'a>>>,
    #[serde(default)]
    pub(super) planets: Entries<'a, PlanetText<'a>>,
    #[serde(default)]
    pub(super) meshes: Vec<MeshText<'a>>,
    #[serde(default)]
    pub(super) joins: Vec<PairText<'a>>,
    #[serde(default)]
    pub(super) measured: Entries<'a, MeasuredText<'a>>,
    #[serde(default)]
    pub(super) controls: Entries<'a, ControlText<'a>>,
    #[serde(default)]
    pub(super) bearings: Vec<BearingText<'a>>,
    #[serde(default)]
    pub(super) states: Entries<'a, StateText<'a>>,
    #[serde(default)]
    pub(super) found: Option<FoundText<'a>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum PitchText<'a> {
    Module(Raw<'a>),
    DiametralPitch(Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum LengthText<'a> {
    Millimetres(Raw<'a>),
    Inches(Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum MemberGearText<'a> {
    Sun(Raw<'a>, Raw<'a>),
    Ring(Raw<'a>, Raw<'a>),
    Bevel(Raw<'a>, Raw<'a>, SideText),
}

#[derive(Debug, Clone, Copy, serde::Deserialize)]
pub(super) enum SideText {
    InputSide,
    OutputSide,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct PlanetText<'a> {
    pub(super) carrier: Raw<'a>,
    pub(super) pins: PinsText<'a>,
    pub(super) gears: Vec<PlanetGearText<'a>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum PinsText<'a> {
    Equal(Raw<'a>),
    Turns(Vec<Raw<'a>>),
    Degrees(Vec<Raw<'a>>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum PlanetGearText<'a> {
    Gear(Raw<'a>, Raw<'a>),
    Internal(Raw<'a>, Raw<'a>),
    Bevel(Raw<'a>, Raw<'a>),
}

/// Two names in brackets.
#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) struct PairText<'a>(pub(super) Raw<'a>, pub(super) Raw<'a>);

/// Two gear names in brackets and, where they are given, the sizes of their mesh.
#[derive(Debug)]
pub(super) struct MeshText<'a> {
    pub(super) first: Raw<'a>,
    pub(super) second: Raw<'a>,
    pub(super) sizes: MeshSizesText<'a>,
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct MeshSizesText<'a> {
    #[serde(default)]
    pub(super) pitch: Option<PitchText<'a>>,
    #[serde(default)]
    pub(super) backlash: Option<MeshBacklashText<'a>>,
    #[serde(default)]
    pub(super) efficiency: Option<Raw<'a>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum MeshBacklashText<'a> {
    Millimetres(Raw<'a>),
    Inches(Raw<'a>),
    Dial(Raw<'a>, LengthText<'a>, LengthText<'a>),
}

impl<'de: 'a, 'a> Deserialize<'de> for MeshText<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TwoOrThree<'a>(PhantomData<&'a ()>);

        impl<'de: 'a, 'a> Visitor<'de> for TwoOrThree<'a> {
            type Value = MeshText<'a>;

            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("two gear names in brackets")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut sequence: A) -> Result<Self::Value, A::Error> {
                let first = sequence.next_element()?.ok_or_else(|| A::Error::invalid_length(0, &self))?;
                let second = sequence.next_element()?.ok_or_else(|| A::Error::invalid_length(1, &self))?;
                Ok(MeshText { first, second, sizes: sequence.next_element()?.unwrap_or_default() })
            }
        }

        deserializer.deserialize_tuple(3, TwoOrThree(PhantomData))
    }
}

/// Two member names in brackets and, where they are given, the sizes of their bearing.
#[derive(Debug)]
pub(super) struct BearingText<'a> {
    pub(super) first: Raw<'a>,
    pub(super) second: Raw<'a>,
    pub(super) sizes: BearingSizesText<'a>,
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct BearingSizesText<'a> {
    #[serde(default)]
    pub(super) diameter: Option<LengthText<'a>>,
    #[serde(default)]
    pub(super) width: Option<LengthText<'a>>,
}

impl<'de: 'a, 'a> Deserialize<'de> for BearingText<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TwoOrThree<'a>(PhantomData<&'a ()>);

        impl<'de: 'a, 'a> Visitor<'de> for TwoOrThree<'a> {
            type Value = BearingText<'a>;

            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("two member names in brackets")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut sequence: A) -> Result<Self::Value, A::Error> {
                let first = sequence.next_element()?.ok_or_else(|| A::Error::invalid_length(0, &self))?;
                let second = sequence.next_element()?.ok_or_else(|| A::Error::invalid_length(1, &self))?;
                Ok(BearingText { first, second, sizes: sequence.next_element()?.unwrap_or_default() })
            }
        }

        deserializer.deserialize_tuple(3, TwoOrThree(PhantomData))
    }
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct MeasuredText<'a> {
    #[serde(default)]
    pub(super) uncertainty: Option<UncertaintyText<'a>>,
    #[serde(default)]
    pub(super) clusters: Entries<'a, IndexText<'a>>,
    #[serde(default)]
    pub(super) central: Vec<ReadingText<'a>>,
    #[serde(default)]
    pub(super) pins: Option<MeasuredPinsText<'a>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum MeasuredPinsText<'a> {
    Degrees(Vec<Raw<'a>>, Raw<'a>),
    Chords(Vec<Raw<'a>>, Vec<Raw<'a>>, Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum UncertaintyText<'a> {
    Teeth(Raw<'a>),
    Degrees(Raw<'a>),
    Millimetres(Raw<'a>),
    Inches(Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum IndexText<'a> {
    Index(Vec<ReadingText<'a>>),
    Like(Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum ReadingText<'a> {
    Teeth(Raw<'a>, Raw<'a>),
    Degrees(Raw<'a>, Raw<'a>),
    Millimetres(Raw<'a>, Raw<'a>, Raw<'a>),
    Inches(Raw<'a>, Raw<'a>, Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum ControlText<'a> {
    Band(Raw<'a>, #[serde(default)] BandText<'a>),
    Clutch(Raw<'a>, Raw<'a>, #[serde(default)] PlatesText<'a>),
    OneWayClutch(Raw<'a>, Raw<'a>, SenseText),
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct BandText<'a> {
    #[serde(default)]
    pub(super) wrap: Option<AngleText<'a>>,
    #[serde(default)]
    pub(super) friction: Option<Raw<'a>>,
    #[serde(default)]
    pub(super) radius: Option<LengthText<'a>>,
    #[serde(default)]
    pub(super) width: Option<LengthText<'a>>,
    #[serde(default)]
    pub(super) from_anchor: Option<SenseText>,
    #[serde(default)]
    pub(super) pull: Option<ForceText<'a>>,
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct PlatesText<'a> {
    #[serde(default)]
    pub(super) faces: Option<Raw<'a>>,
    #[serde(default)]
    pub(super) friction: Option<Raw<'a>>,
    #[serde(default)]
    pub(super) outer_radius: Option<LengthText<'a>>,
    #[serde(default)]
    pub(super) inner_radius: Option<LengthText<'a>>,
    #[serde(default)]
    pub(super) force: Option<ForceText<'a>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum AngleText<'a> {
    Degrees(Raw<'a>),
    Turns(Raw<'a>),
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum ForceText<'a> {
    Newtons(Raw<'a>),
    PoundsForce(Raw<'a>),
}

#[derive(Debug, Clone, Copy, serde::Deserialize)]
pub(super) enum SenseText {
    Forward,
    Backward,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) enum StateText<'a> {
    Apply(Vec<Raw<'a>>),
    Given {
        #[serde(default)]
        held: Vec<Raw<'a>>,
        #[serde(default)]
        joined: Vec<PairText<'a>>,
        #[serde(default)]
        turning: Entries<'a, Raw<'a>>,
        #[serde(default)]
        input: Option<Raw<'a>>,
        #[serde(default)]
        output: Option<Raw<'a>>,
    },
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "'de: 'a"))]
pub(super) struct FoundText<'a> {
    pub(super) seen: SideText,
    pub(super) planet: Raw<'a>,
    pub(super) marks: Vec<MarkText<'a>>,
    #[serde(default)]
    pub(super) beside: Entries<'a, Vec<MarkText<'a>>>,
    #[serde(default)]
    pub(super) within: Option<Raw<'a>>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(bound(deserialize = "'de: 'a"))]
pub(super) enum MarkText<'a> {
    Teeth(Raw<'a>, Raw<'a>),
    Degrees(Raw<'a>),
    Along(Raw<'a>, Raw<'a>),
    Unread,
}
