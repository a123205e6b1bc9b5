//! What is known of the teeth of a gear beside their number: how far they are shifted, how deep they are, how thick,
//! what cuts them; and where the pins of a planet stand.
//!
//! Everything may be left out: then teeth are full, without shift, cut by a rack, and pins stand where the meshes ask
//! for them.

use super::{Length, Spanned};
use crate::exact::{Fraction, fraction};
use crate::syntax::{entry, fields, words};

/// How deep teeth are, in modules from the pitch circle of a gear without shift.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ToothDepth {
    /// Stub teeth of this addendum: the root lies a fifth of a module deeper than the tip is high.
    Stub(Fraction),
    /// Teeth told by both.
    Told {
        /// Up to the tip.
        addendum: Fraction,
        /// Down to the root.
        dedendum: Fraction,
    },
}

impl ToothDepth {
    /// From the pitch circle up to the tip, in modules.
    pub fn addendum(&self) -> &Fraction {
        match self {
            Self::Stub(addendum) | Self::Told { addendum, .. } => addendum,
        }
    }

    /// From the pitch circle down to the root, in modules.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::ToothDepth};
    /// assert_eq!(ToothDepth::Stub(fraction(4, 5)).dedendum(), fraction(1, 1));
    /// ```
    pub fn dedendum(&self) -> Fraction {
        match self {
            Self::Stub(addendum) => addendum + fraction(1, 5),
            Self::Told { dedendum, .. } => dedendum.clone(),
        }
    }
}

/// What cuts teeth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ToothCutter {
    /// A rack or hob; external teeth only.
    Rack,
    /// A pinion-shaped cutter.
    Shaper {
        /// Its teeth.
        tooth_count: i64,
        /// Its profile shift, in modules: positive while it is new.
        shift: Fraction,
    },
}

words! {
    ToothDepth for ToothDepth: "the depth of the teeth in modules", "Stub(0.8)" {
        Stub("Stub(0.8)"; addendum: Fraction = "the addendum in modules", "0.8", "from 0.3 to 1.6") => {
            ToothDepth::Stub(addendum)
        }
        Depth(
            "Depth(1, 1.25)";
            addendum: Fraction = "the addendum in modules", "1", "from 0.3 to 1.6";
            dedendum: Fraction = "the dedendum in modules", "1.25", "from the addendum to 2"
        ) => { ToothDepth::Told { addendum, dedendum } }
    }
}

words! {
    ToothCutter for ToothCutter: "what cuts the teeth", "Shaper(25, 0.1)" {
        Rack() => { ToothCutter::Rack }
        Shaper(
            "Shaper(25, 0.1)";
            tooth_count: i64 = "the number of teeth of the cutter", "25", "from 6 to 300";
            shift: Fraction = "the profile shift of the cutter in modules", "0.1", "from -1 to 1"
        ) => { ToothCutter::Shaper { tooth_count, shift } }
    }
}

fields! {
    /// What is known of the teeth of a gear.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftTeeth of {
        /// The gear.
        pub gear
    }: "a bracket with what is known of the teeth of the gear", "(shift: 0.25)" {
        /// How far the teeth stand farther out from the axis than usual, in modules; for a ring as well.
        pub shift: Option<Spanned<Fraction>> = "the profile shift of the gear in modules", "0.25", "from -2 to 2";
        /// How deep they are: 1 and 1.25 modules where nothing is said.
        pub depth: Option<Spanned<ToothDepth>> = "the depth of the teeth in modules", "Stub(0.8)";
        /// By how much each tooth is thinner than its shift makes it, as an arc at the pitch circle: cut so, or worn.
        pub thinned: Option<Spanned<Length>> = "the thinning of the teeth", "Millimetres(0.07)", "from 0 on";
        /// What cuts them: a rack where nothing is said, of a ring a pinion-shaped cutter.
        pub cut_by: Option<Spanned<ToothCutter>> = "what cuts the teeth", "Shaper(25, 0.1)";
        /// The diameter over the tips, in a ring between them, as measured or turned down.
        pub tip: Option<Spanned<Length>> = "the tip diameter of the gear", "Millimetres(97.5)", "above 0";
        /// The diameter of its bore.
        pub bore: Option<Spanned<Length>> = "the bore of the gear", "Millimetres(20)", "above 0";
    }
}

entry! {
    /// Where the pins of a planet stand.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftPinCircle {
        /// The planet.
        pub planet;
        /// From the main axis to the middle of each pin.
        pub radius: Spanned<Length> = "the distance from the main axis to the pins", "Millimetres(71.25)", "above 0";
    }
}

impl DraftTeeth {
    /// A gear of whose teeth nothing is known yet.
    pub fn new(gear: impl Into<Spanned<String>>) -> Self {
        Self { gear: gear.into(), shift: None, depth: None, thinned: None, cut_by: None, tip: None, bore: None }
    }
}
