//! Rules of two gears in mesh: they are on two bodies, one of them a planet, and their
//! teeth fit.
//!
//! The carrier of a mesh is that of its planet or planets, so that it must be one.

/// What two gears in mesh must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum MeshRule {
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
    #[error("bevel gears {first:?} and {second:?} are not one on the main axis and one on a planet")]
    BevelsNotOnBothAxes { first: String, second: String },
    #[error(
        "gear {gear:?} is solid with {carrier:?}, the carrier of the planet that it meshes with: that planet could not turn"
    )]
    MeshWithOwnCarrier { gear: String, carrier: String },
}

impl MeshRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
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
            Self::BevelsNotOnBothAxes { .. } => {
                "put one of the two on the main axis: Bevel(name, teeth, InputSide) in members"
            }
            Self::MeshWithOwnCarrier { .. } => "name the member that this gear is really solid with",
        }
    }
}
