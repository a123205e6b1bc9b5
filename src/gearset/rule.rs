//! The rules of a sound description, each with its sentence and its way out.
//!
//! The list of variants is the list of rules. A [`Problem`] is a broken rule with the
//! [`Part`] of the draft where it was broken; it carries the parts by name, never a
//! finished sentence.

use super::{Part, ToothCount};

/// A broken rule and where it was broken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{rule}")]
pub struct Problem {
    /// Where.
    pub part: Part,
    /// What.
    pub rule: Rule,
}

/// A kind of thing that has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// A member on the main axis.
    Member,
    /// A planet or cluster.
    Planet,
    /// A gear.
    Gear,
    /// A band, clutch or one-way clutch.
    Control,
    /// A state.
    State,
}

impl std::fmt::Display for Thing {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(match self {
            Self::Member => "member",
            Self::Planet => "planet",
            Self::Gear => "gear",
            Self::Control => "control",
            Self::State => "state",
        })
    }
}

/// What a gearset must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum Rule {
    #[error("a {thing} has an empty name")]
    EmptyName { thing: Thing },
    #[error("the name {name:?} is given to two {thing}s")]
    NameTaken { thing: Thing, name: String },
    #[error("a planet has the name {name:?}, which is a member's")]
    PlanetNamedAsMember { name: String },
    #[error("the name \"case\" means the fixed housing and cannot be given to a {thing}")]
    CaseIsTaken { thing: Thing },
    #[error("there is no {thing} {name:?}")]
    Unknown { thing: Thing, name: String, nearest: Option<String> },

    #[error("gear {gear:?} has no teeth")]
    NoTeeth { gear: String },
    #[error("gear {gear:?} has a negative tooth count, {count}")]
    NegativeTeeth { gear: String, count: i64 },
    #[error("gear {gear:?} has {count} teeth, which no gear has")]
    AbsurdTeeth { gear: String, count: i64 },

    #[error("the {what} is not greater than zero")]
    NotPositive { what: &'static str },
    #[error("the backlash is negative")]
    NegativeBacklash,
    #[error("a {what} of {size} is out of all proportion")]
    AbsurdSize { what: &'static str, size: String },

    #[error("gears {first:?} and {second:?} are both on the main axis and cannot mesh")]
    MeshOfCentralGears { first: String, second: String },
    #[error("gear {gear:?} is to mesh with itself")]
    MeshWithItself { gear: String },
    #[error("gears {first:?} and {second:?} are solid with one another and cannot mesh")]
    MeshOnOneBody { first: String, second: String },
    #[error("the mesh of {first:?} and {second:?} is given twice")]
    MeshTwice { first: String, second: String },
    #[error("gears {first:?} and {second:?} sit on pins of two carriers, {first_carrier:?} and {second_carrier:?}")]
    MeshAcrossCarriers { first: String, second: String, first_carrier: String, second_carrier: String },
    #[error("gears {first:?} and {second:?} both have internal teeth and cannot mesh")]
    MeshOfRings { first: String, second: String },
    #[error(
        "gear {internal:?} with {internal_count} internal teeth cannot go round gear {external:?} with {external_count}"
    )]
    RingTooSmall { internal: String, internal_count: u16, external: String, external_count: u16 },
    #[error("a bevel gear, {bevel:?}, is to mesh with a gear that is none, {other:?}")]
    BevelWithOther { bevel: String, other: String },
    #[error("bevel gears {first:?} and {second:?} are both on planets")]
    MeshOfBevelPlanets { first: String, second: String },
    #[error(
        "gear {gear:?} is solid with {carrier:?}, the carrier of the planet that it meshes with: that planet could not turn"
    )]
    MeshWithOwnCarrier { gear: String, carrier: String },

    #[error("planet {planet:?} has no gears")]
    PlanetWithoutGears { planet: String },
    #[error("planet {planet:?} is in mesh with nothing")]
    PlanetWithoutMesh { planet: String },
    #[error("the carrier of planet {planet:?} is itself a planet, {carrier:?}")]
    CarrierIsPlanet { planet: String, carrier: String },
    #[error("planet {planet:?} has {count} pins")]
    TooFewPins { planet: String, count: i64 },
    #[error("planet {planet:?} has {count} pins, more than any carrier holds")]
    TooManyPins { planet: String, count: i64 },
    #[error("planet {planet:?} has two pins at one place, {place} of a turn")]
    PinsCoincide { planet: String, place: String },
    #[error("planets {first:?} and {second:?} are in mesh, but their pins are not spaced alike")]
    PinsOfMeshedPlanetsDiffer { first: String, second: String },

    #[error("no {role} is given, and state {state:?} needs one")]
    NoInputOrOutput { role: Role, state: String },
    #[error("the {role} {name:?} is a planet")]
    PlanetAsInputOrOutput { role: Role, name: String },
    #[error("the {role} is the case, which stands still")]
    CaseAsInputOrOutput { role: Role },
    #[error("{name:?} is both the input and the output")]
    InputIsOutput { name: String },

    #[error("{name:?} is a planet, and a {what} acts on members of the main axis")]
    PlanetInControl { name: String, what: &'static str },
    #[error("a {what} acts on {name:?} twice")]
    ControlOnOneMember { name: String, what: &'static str },
    #[error("a band is to hold the case, which stands still")]
    BandOnCase,
    #[error("state {state:?} applies {control:?} twice")]
    AppliedTwice { state: String, control: String },
    #[error("state {state:?} holds {member:?} twice")]
    HeldTwice { state: String, member: String },
    #[error("state {state:?} gives the speed of {member:?}, its own input")]
    SpeedOfInput { state: String, member: String },
    #[error(
        "nothing connects member {member:?}: it has no gear in mesh, carries no pins, and no join or control names it"
    )]
    Unconnected { member: String },
}

/// What a member does in a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It drives.
    Input,
    /// It is driven.
    Output,
}

impl std::fmt::Display for Role {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(match self {
            Self::Input => "input",
            Self::Output => "output",
        })
    }
}

impl Rule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> String {
        self.hint_with_name().unwrap_or_else(|| self.plain_hint().into())
    }

    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the rules without a name in their hint are matched in plain_hint"
    )]
    fn hint_with_name(&self) -> Option<String> {
        Some(match self {
            Self::EmptyName { thing } => format!("write the {thing}'s name between the quotes"),
            Self::NameTaken { thing, .. } => format!("every {thing} has a name of its own; rename one of the two"),
            Self::CaseIsTaken { thing } => {
                format!("choose another name for the {thing}; \"case\" needs no entry, it is always there")
            }
            Self::Unknown { nearest: Some(nearest), .. } => format!("the nearest known name is {nearest:?}"),
            Self::Unknown { thing, .. } => format!("no {thing} of the description has a name like it"),
            _ => return None,
        })
    }

    fn plain_hint(&self) -> &'static str {
        match self {
            Self::NoTeeth { .. } => "count the teeth again and write a whole number, 1 or more",
            Self::NegativeTeeth { .. } => {
                "write the count without a sign; Ring and Internal say that the teeth point inward"
            }
            Self::AbsurdTeeth { .. } => "count the teeth again; up to 10000 are taken",
            Self::NotPositive { .. } => "write a size greater than zero, such as Module(2.5) or DiametralPitch(8)",
            Self::NegativeBacklash => {
                "write the play at the pitch circle, zero or more, such as Millimetres(0.1) or Inches(0.004)"
            }
            Self::AbsurdSize { .. } => {
                "look at the unit and the digits; module and millimetres, or diametral pitch and inches"
            }
            Self::MeshOfCentralGears { .. } => {
                "a gear on the main axis meshes with a planet's gear; name the planet gear between the two, once with each"
            }
            Self::MeshWithItself { .. } => "name the two gears that touch",
            Self::MeshOnOneBody { .. } => "name gears of two different bodies, such as a sun and a planet gear",
            Self::MeshTwice { .. } => "leave one of the two out; a mesh counts for all pins",
            Self::MeshAcrossCarriers { .. } => "planets that mesh with one another sit on one carrier",
            Self::MeshOfRings { .. } => "an internal gear meshes with an external one inside it",
            Self::RingTooSmall { .. } => {
                "count both again: the internal gear has more teeth than the gear that runs inside it"
            }
            Self::BevelWithOther { .. } => "a bevel gear meshes with a bevel gear: write Bevel for both",
            Self::MeshOfBevelPlanets { .. } => {
                "put one of the two on the main axis: Bevel(name, teeth, InputSide) in members"
            }
            Self::MeshWithOwnCarrier { .. } => "name the member that this gear is really solid with",
            Self::PlanetWithoutGears { .. } => "write the gears of one planet, such as gears: [Gear(\"p\", 18)]",
            Self::PlanetWithoutMesh { .. } => "add the pairs of gears that touch to meshes",
            Self::CarrierIsPlanet { .. } => {
                "a carrier is a member of the main axis, or \"case\" for a shaft on a fixed axis"
            }
            Self::TooFewPins { .. } => "write Equal(1) or more",
            Self::TooManyPins { .. } => "count the pins again; up to 100 are taken",
            Self::PinsCoincide { .. } => "give every pin a place of its own, in one turn",
            Self::PinsOfMeshedPlanetsDiffer { .. } => {
                "planets that mesh come in pairs: give both the same number of pins with the same spacing"
            }
            Self::NoInputOrOutput { .. } => {
                "write input: \"...\" and output: \"...\" after the title, or in the state itself"
            }
            Self::PlanetAsInputOrOutput { .. } => "name a member of the main axis, such as the planet's carrier",
            Self::CaseAsInputOrOutput { .. } => "name a member that turns",
            Self::InputIsOutput { .. } => "name two members, the one that drives and the one that is driven",
            Self::PlanetInControl { .. } => "name a member of the main axis, such as a drum or the carrier",
            Self::ControlOnOneMember { .. } => "name two different members",
            Self::BandOnCase => "name the drum or ring that the band holds",
            Self::AppliedTwice { .. } | Self::HeldTwice { .. } => "name it once",
            Self::SpeedOfInput { .. } => "the input turns once; give the speed of another member, or leave this out",
            Self::Unconnected { .. } => "add its mesh, join or control, or leave the member out",
            Self::PlanetNamedAsMember { .. } => "members and planets share one list of names; rename one of the two",
            Self::EmptyName { .. } | Self::NameTaken { .. } | Self::CaseIsTaken { .. } | Self::Unknown { .. } => {
                "give another name"
            }
        }
    }
}

impl Rule {
    /// The rule that a tooth count breaks, if it breaks one.
    pub(super) fn of_tooth_count(gear: &str, count: i64) -> Option<Self> {
        let gear = gear.to_owned();
        match count {
            0 => Some(Self::NoTeeth { gear }),
            ..0 => Some(Self::NegativeTeeth { gear, count }),
            1..=ToothCount::MAX => None,
            _ => Some(Self::AbsurdTeeth { gear, count }),
        }
    }
}
