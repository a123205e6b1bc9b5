//! Rules of teeth beside their number, and of pin circles.

use std::fmt::{self, Display, Formatter};

/// A size of teeth, or of where pins stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToothSize {
    /// From the pitch circle to the tip.
    Addendum,
    /// From the pitch circle to the root.
    Dedendum,
    /// By how much teeth are thinner.
    Thinning,
    /// The diameter of the tips.
    TipDiameter,
    /// The diameter of the bore.
    Bore,
    /// The teeth of a cutter.
    CutterTeeth,
    /// The profile shift of a cutter.
    CutterShift,
}

impl Display for ToothSize {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Addendum => "an addendum",
            Self::Dedendum => "a dedendum",
            Self::Thinning => "a thinning",
            Self::TipDiameter => "a tip diameter",
            Self::Bore => "a bore",
            Self::CutterTeeth => "a number of cutter teeth",
            Self::CutterShift => "a cutter shift",
        })
    }
}

/// What teeth and pin circles must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum ToothRule {
    #[error("the teeth of gear {gear:?} are told twice")]
    TeethTwice { gear: String },
    #[error("the profile shift of gear {gear:?} stands in profile_shifts as well")]
    ShiftInBoth { gear: String },
    #[error("gear {gear:?} is a bevel gear, and these teeth are those of spur gears")]
    TeethOfBevel { gear: String },
    #[error("{size} of {value} for gear {gear:?} is out of all proportion")]
    AbsurdSize { gear: String, size: ToothSize, value: String },
    #[error("the dedendum of gear {gear:?} is smaller than its addendum")]
    ShallowRoot { gear: String },
    #[error("gear {gear:?} is a ring, which no rack cuts")]
    RingCutByRack { gear: String },
    #[error("the cutter of gear {gear:?} has {count} teeth and does not go into the ring of {teeth}")]
    CutterTooLarge { gear: String, count: i64, teeth: u16 },
    #[error("a length is given for the teeth of gear {gear:?}, which has no pitch")]
    LengthWithoutPitch { gear: String },
    #[error("{tip} over the tips of gear {gear:?} does not go with its {teeth} teeth, which ask for about {usual}")]
    TipUnlikeTeeth { gear: String, tip: String, teeth: u16, usual: String },
    #[error("the pin circle of {planet:?} is given twice")]
    PinCircleTwice { planet: String },
    #[error("{member:?} turns on the main axis and not on pins")]
    PinCircleOfCentral { member: String },
    #[error("planet {planet:?} has bevel gears, and no pin circle")]
    PinCircleOfBevel { planet: String },
    #[error("the pin circle of {planet:?} is not greater than zero")]
    PinCircleNotPositive { planet: String },
    #[error("a pin circle is given for {planet:?}, whose meshes have no pitch")]
    PinCircleWithoutPitch { planet: String },
    #[error("a pin circle of {radius} for {planet:?} does not go with its meshes, which ask for about {asked}")]
    PinCircleUnlikeMeshes { planet: String, radius: String, asked: String },
}

impl ToothRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::TeethTwice { .. } | Self::PinCircleTwice { .. } => "give it once",
            Self::ShiftInBoth { .. } => "give it in one of the two places",
            Self::TeethOfBevel { .. } | Self::PinCircleOfBevel { .. } => "leave it out",
            Self::AbsurdSize { size, .. } => match size {
                ToothSize::Addendum => "write it in modules, from 0.3 to 1.6; full teeth have 1, stub teeth 0.8",
                ToothSize::Dedendum => "write it in modules, up to 2; full teeth have 1.25 or 1.157, stub teeth 1",
                ToothSize::Thinning => "write an arc at the pitch circle, from 0 to 10 mm, such as Millimetres(0.07)",
                ToothSize::TipDiameter | ToothSize::Bore => {
                    "write a diameter above 0 and up to 10 metres, such as Millimetres(97.5) or Inches(3.25)"
                }
                ToothSize::CutterTeeth => "count the teeth of the cutter; from 6 to 300 are taken",
                ToothSize::CutterShift => "write it in modules, from -1 to 1; 0 where nothing is known of the cutter",
            },
            Self::ShallowRoot { .. } => "write both in modules, the addendum first, such as Depth(1, 1.25)",
            Self::RingCutByRack { .. } | Self::CutterTooLarge { .. } => {
                "write Shaper with a smaller number of teeth, such as Shaper(25, 0)"
            }
            Self::LengthWithoutPitch { .. } | Self::PinCircleWithoutPitch { .. } => {
                "give the pitch, such as pitch: Module(2.5)"
            }
            Self::TipUnlikeTeeth { .. } => "write the diameter over the tips, and look at the unit and the pitch",
            Self::PinCircleOfCentral { .. } => "name a planet",
            Self::PinCircleNotPositive { .. } => {
                "measure from the main axis to the middle of a pin, such as Millimetres(71.25)"
            }
            Self::PinCircleUnlikeMeshes { .. } => {
                "write the distance from the main axis to a pin, not the diameter of the circle; look at the unit"
            }
        }
    }
}
