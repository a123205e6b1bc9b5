//! A bearing: two bodies of which one runs in or on the other.
//!
//! A bush between two drums, a drum on a sleeve of the case. That every planet runs on its pin
//! is known without being said; named with its carrier, a planet gets the sizes of its pin.

use super::{AllowedClearance, BushSizes, Length, MemberId, Pair};
use crate::syntax::{Maybe, Spanned, fields, tuple};

/// A size of a bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum BearingSize {
    /// The diameter at which its members rub.
    Diameter,
    /// The width of the surface that bears.
    Width,
    /// The bore as measured.
    Bore,
    /// The shaft as measured.
    Shaft,
    /// The outside diameter of its bush.
    Outside,
    /// By how much the bush is larger than its hole.
    Interference,
    /// The outside diameter of the housing of the bush.
    Housing,
}

impl std::fmt::Display for BearingSize {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(match self {
            Self::Diameter => "diameter",
            Self::Width => "width",
            Self::Bore => "bore",
            Self::Shaft => "shaft",
            Self::Outside => "outside of the bush",
            Self::Interference => "interference",
            Self::Housing => "housing",
        })
    }
}

/// Two members that bear on one another, as somebody writes them down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftBearing {
    /// The names of the two members.
    pub members: Pair<Spanned<String>>,
    /// What is known of the bearing.
    pub sizes: BearingSizes,
}

tuple! {
    DraftBearing for DraftBearing: "a bearing", "(\"low drum\", \"sun\")";
    first: Spanned<String> = "the name of a member in quotes", "\"low drum\"";
    second: Spanned<String> = "the name of another member in quotes", "\"case\"";
    sizes: Maybe<BearingSizes> = "the third entry of a bearing", "(diameter: Millimetres(40))"
    => { DraftBearing { members: Pair { first, second }, sizes } }
}

fields! {
    /// What is known of a bearing.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct BearingSizes: "the third entry of a bearing", "(diameter: Millimetres(40))" {
        /// The diameter at which they rub.
        pub diameter: Option<Spanned<Length>> = "the diameter", "Millimetres(40)", "above 0";
        /// How wide the surface is that bears, along the axis.
        pub width: Option<Spanned<Length>> = "a length", "Millimetres(100)", "above 0";
        /// The bore as measured, at its widest.
        pub bore: Option<Spanned<Length>> = "the bore as measured", "Millimetres(16.02)", "above 0";
        /// The shaft in it as measured, at its thinnest.
        pub shaft: Option<Spanned<Length>> = "the shaft as measured", "Millimetres(15.97)", "above 0";
        /// The clearance that is allowed, on the diameter.
        pub allowed: Option<AllowedClearance> =
            "the least and the greatest clearance", "(Millimetres(0.02), Millimetres(0.06))";
        /// How its bush is pressed in.
        pub bush: Option<BushSizes> =
            "a bracket with the sizes of the bush",
            "(outside: Millimetres(20), interference: Millimetres(0.03), housing: Millimetres(40), of: Bronze, into: Steel)";
    }
}

impl DraftBearing {
    /// Two members that bear on one another, of sizes that are not known.
    pub fn of(first: impl Into<Spanned<String>>, second: impl Into<Spanned<String>>) -> Self {
        Self { members: Pair::of(first, second), sizes: BearingSizes::default() }
    }
}

/// Two members of a checked gearset that bear on one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bearing {
    pub(super) members: Pair<MemberId>,
    pub(super) sizes: BearingSizes,
}

impl Bearing {
    /// The two members, in the order of the description.
    pub fn members(&self) -> Pair<MemberId> {
        self.members
    }

    /// The diameter at which they rub, if it was given.
    pub fn diameter(&self) -> Option<&Length> {
        self.sizes.diameter.as_deref()
    }

    /// The width of the surface that bears, along the axis, if it was given.
    pub fn width(&self) -> Option<&Length> {
        self.sizes.width.as_deref()
    }

    /// The bore as measured, if it was.
    pub fn bore(&self) -> Option<&Length> {
        self.sizes.bore.as_deref()
    }

    /// The shaft as measured, if it was.
    pub fn shaft(&self) -> Option<&Length> {
        self.sizes.shaft.as_deref()
    }

    /// The clearance that is allowed, on the diameter, if it was given: above 0, the greatest not less than the least.
    pub fn allowed(&self) -> Option<&AllowedClearance> {
        self.sizes.allowed.as_ref()
    }

    /// How its bush is pressed in, if it was given.
    pub fn bush(&self) -> Option<&BushSizes> {
        self.sizes.bush.as_ref()
    }
}
