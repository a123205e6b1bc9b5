//! A bush: what runs on a shaft with a clearance that is allowed, and how it is pressed into its housing.

use super::Length;
use crate::syntax::{Spanned, fields, tuple, words};
use serde::Serialize;

/// A material of bushes, shafts and housings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "each variant is the material that it names")]
pub enum BushMaterial {
    Steel,
    CastIron,
    Bronze,
    Brass,
    Aluminium,
}

words! {
    BushMaterial for BushMaterial: "a material", "Bronze" {
        Steel() => { BushMaterial::Steel }
        CastIron() => { BushMaterial::CastIron }
        Bronze() => { BushMaterial::Bronze }
        Brass() => { BushMaterial::Brass }
        Aluminium() => { BushMaterial::Aluminium }
    }
}

impl BushMaterial {
    /// Every material.
    pub const ALL: [Self; 5] = [Self::Steel, Self::CastIron, Self::Bronze, Self::Brass, Self::Aluminium];

    /// What people call it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Steel => "steel",
            Self::CastIron => "cast iron",
            Self::Bronze => "bronze",
            Self::Brass => "brass",
            Self::Aluminium => "aluminium",
        }
    }
}

/// The least and the greatest clearance that is allowed, on the diameter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllowedClearance {
    /// The least.
    pub least: Spanned<Length>,
    /// The greatest.
    pub most: Spanned<Length>,
}

tuple! {
    AllowedClearance for AllowedClearance:
        "the least and the greatest clearance", "(Millimetres(0.02), Millimetres(0.06))";
    least: Spanned<Length> = "the least clearance on the diameter", "Millimetres(0.02)", "0 or more";
    most: Spanned<Length> = "the greatest clearance on the diameter", "Millimetres(0.06)", "up to 1 mm"
    => { AllowedClearance { least, most } }
}

fields! {
    /// How a bush is pressed in.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct BushSizes:
        "a bracket with the sizes of the bush",
        "(outside: Millimetres(20), interference: Millimetres(0.03), housing: Millimetres(40), of: Bronze, into: Steel)"
    {
        /// Its outside diameter.
        pub outside: Spanned<Length> = "the outside diameter of the bush", "Millimetres(20)", "above 0";
        /// By how much it is larger than the hole, on the diameter.
        pub interference: Spanned<Length> = "the interference on the diameter", "Millimetres(0.03)", "above 0";
        /// The outside diameter of what it is pressed into; of a gear that at the roots.
        pub housing: Spanned<Length> = "the outside diameter of the housing", "Millimetres(40)", "above 0";
        /// What the bush is made of.
        pub of: Option<BushMaterial> = "the material of the bush", "Bronze";
        /// What it is pressed into.
        pub into: Option<BushMaterial> = "the material of the housing", "Steel";
    }
}
