//! Rules of planets: gears in mesh, a carrier on the main axis, pins that can be.
//!
//! Planets that mesh with one another come in as many pairs as there are pins, so that
//! their pins are spaced alike.

use crate::exact::Fraction;

/// What planets and their pins must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum PlanetRule {
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
    PinsCoincide { planet: String, place: Fraction },
    #[error("planets {first:?} and {second:?} are in mesh, but their pins are not spaced alike")]
    PinsOfMeshedPlanetsDiffer { first: String, second: String },
}

impl PlanetRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
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
        }
    }
}
