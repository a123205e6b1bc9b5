//! What is a rotor made of, and what does a cubic centimetre of that weigh?

use serde::Serialize;

/// A material that is drilled.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DrilledMaterial {
    /// Grey cast iron, 7.2 g/cm3.
    #[default]
    CastIron,
    /// Steel, 7.85 g/cm3.
    Steel,
    /// Bronze, 8.8 g/cm3.
    Bronze,
    /// Aluminium, 2.7 g/cm3.
    Aluminium,
    /// Any other, with its density in g/cm3.
    OfDensity(f64),
}

impl DrilledMaterial {
    /// Those with a name.
    pub const NAMED: [Self; 4] = [Self::CastIron, Self::Steel, Self::Bronze, Self::Aluminium];

    /// In g/cm3; castings differ by some three per cent.
    pub fn density(self) -> f64 {
        match self {
            Self::CastIron => 7.2,
            Self::Steel => 7.85,
            Self::Bronze => 8.8,
            Self::Aluminium => 2.7,
            Self::OfDensity(density) => density,
        }
    }

    /// In words: `cast iron`.
    pub fn name(self) -> &'static str {
        match self {
            Self::CastIron => "cast iron",
            Self::Steel => "steel",
            Self::Bronze => "bronze",
            Self::Aluminium => "aluminium",
            Self::OfDensity(_) => "metal",
        }
    }
}
