//! Rules of numbers: tooth counts, pitch, backlash and given speeds.
//!
//! What cannot be is told from what is out of all proportion: the one is a slip of the
//! pen, the other mostly a slip of the unit.

use super::Scope;
use crate::exact::Fraction;
use crate::gearset::{BearingSize, ControlSize, ToothCount};

/// What the numbers of a gearset must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum SizeRule {
    #[error("gear {gear:?} has no teeth")]
    NoTeeth { gear: String },
    #[error("gear {gear:?} has a negative tooth count, {count}")]
    NegativeTeeth { gear: String, count: i64 },
    #[error("gear {gear:?} has {count} teeth, which no gear has")]
    AbsurdTeeth { gear: String, count: i64 },
    #[error("the module of {scope} is not greater than zero")]
    ModuleNotPositive { scope: Scope },
    #[error("the diametral pitch of {scope} is not greater than zero")]
    DiametralPitchNotPositive { scope: Scope },
    #[error("the backlash of {scope} is negative")]
    NegativeBacklash { scope: Scope },
    #[error("the dial that tells the backlash of {scope} stood on gear {gear:?}, which is not in that mesh")]
    DialOnAnotherGear { gear: String, scope: Scope },
    #[error("the radius of the dial that tells the backlash of {scope} is not greater than zero")]
    DialRadiusNotPositive { scope: Scope },
    #[error("the dial reading that tells the backlash of {scope} is negative")]
    NegativeDialReading { scope: Scope },
    #[error("{scope} has a dial reading and no pitch, so the backlash at the pitch circle is not known")]
    DialWithoutPitch { scope: Scope },
    #[error("a module of {size} for {scope} is out of all proportion")]
    AbsurdModule { scope: Scope, size: Fraction },
    #[error("a diametral pitch of {size} for {scope} is out of all proportion")]
    AbsurdDiametralPitch { scope: Scope, size: Fraction },
    #[error("a backlash of {size} for {scope} is out of all proportion")]
    AbsurdBacklash { scope: Scope, size: Fraction },
    #[error("a pressure angle of {degrees} degrees is out of all proportion")]
    AbsurdPressureAngle { degrees: Fraction },
    #[error("a profile shift of {modules} for gear {gear:?} is out of all proportion")]
    AbsurdProfileShift { gear: String, modules: Fraction },
    #[error("the profile shift of gear {gear:?} is given twice")]
    ProfileShiftTwice { gear: String },
    #[error("gear {gear:?} is a bevel gear, and a profile shift is for spur gears")]
    ProfileShiftOfBevel { gear: String },
    #[error("the {size} of the bearing of {first:?} on {second:?} is not greater than zero")]
    BearingSizeNotPositive { first: String, second: String, size: BearingSize },
    #[error("a {size} of {value} for the bearing of {first:?} on {second:?} is out of all proportion")]
    AbsurdBearingSize { first: String, second: String, size: BearingSize, value: Fraction },
    #[error("the clearance allowed for the bearing of {first:?} on {second:?} is none")]
    NoAllowedClearance { first: String, second: String },
    #[error("the bush of {first:?} on {second:?} is not larger outside than its bore")]
    BushWithoutWall { first: String, second: String },
    #[error("the housing of the bush of {first:?} on {second:?} is not larger than the bush")]
    BushWithoutHousing { first: String, second: String },
    #[error("the efficiency of {scope}, {size}, is not more than zero and at most one")]
    EfficiencyOutOfRange { scope: Scope, size: Fraction },
    #[error("the efficiency of {scope} has more digits than anybody has measured")]
    AbsurdEfficiency { scope: Scope },
    #[error("the {size} of {control:?} is not greater than zero")]
    ControlSizeNotPositive { control: String, size: ControlSize },
    #[error("{value} as the {size} of {control:?} is out of all proportion")]
    AbsurdControlSize { control: String, size: ControlSize, value: Fraction },
    #[error("{control:?} has {value} faces, which is no whole number")]
    BrokenFaces { control: String, value: Fraction },
    #[error("the inner radius of {control:?} is not smaller than its outer radius")]
    InnerRadiusNotInside { control: String },
    #[error("{turns} turns of {member:?} are out of all proportion")]
    AbsurdTurns { member: String, turns: Fraction },
    #[error("{turns} turns of {member:?} that are good to {within} of a turn tell nothing")]
    TooFewTurns { member: String, turns: Fraction, within: Fraction },
    #[error("turns are said to be good to {within} of a turn")]
    NegativeWithinOfTurns { within: Fraction },
    #[error("a speed of {speed} for {member:?} in state {state:?} is out of all proportion")]
    AbsurdSpeed { state: String, member: String, speed: Fraction },
}

impl SizeRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoTeeth { .. } => "count the teeth again and write a whole number, 1 or more",
            Self::NegativeTeeth { .. } => {
                "write the count without a sign; Ring and Internal say that the teeth point inward"
            }
            Self::AbsurdTeeth { .. } => "count the teeth again; up to 10000 are taken",
            Self::ModuleNotPositive { .. } | Self::DiametralPitchNotPositive { .. } => {
                "write a size greater than zero, such as Module(2.5) or DiametralPitch(8)"
            }
            Self::NegativeBacklash { .. } => {
                "write the backlash at the pitch circle, zero or more, such as Millimetres(0.1) or Inches(0.004)"
            }
            Self::DialOnAnotherGear { .. } => "name the gear of the mesh that was rocked while the other was held",
            Self::DialRadiusNotPositive { .. } => {
                "measure from the axis of the gear to the tip of the indicator, such as Millimetres(60) or Inches(2.5)"
            }
            Self::NegativeDialReading { .. } => {
                "write how far the dial moves from stop to stop, zero or more, such as Millimetres(0.2)"
            }
            Self::DialWithoutPitch { .. } => "give the pitch, such as pitch: Module(2.5)",
            Self::AbsurdModule { .. } | Self::AbsurdDiametralPitch { .. } | Self::AbsurdBacklash { .. } => {
                "look at the unit and the digits; module and millimetres, or diametral pitch and inches"
            }
            Self::AbsurdPressureAngle { .. } => "write degrees from 10 to 35; 20 is usual, older gears have 14.5",
            Self::AbsurdProfileShift { .. } => "write the shift in modules, from -2 to 2, such as 0.25",
            Self::ProfileShiftTwice { .. } => "give it once",
            Self::ProfileShiftOfBevel { .. } => "leave it out",
            Self::AbsurdTurns { .. } => {
                "write how often it went round, above 0 and up to 100000, whichever way: 45, or \"45 1/4\""
            }
            Self::TooFewTurns { .. } => "turn it further: the more turns are counted, the more they tell",
            Self::NegativeWithinOfTurns { .. } => "write a part of a turn, 0 or more, such as \"1/8\"",
            Self::BearingSizeNotPositive { size, .. } => positive_size_of_bearing(*size),
            Self::NoAllowedClearance { .. } => {
                "write the least and the greatest on the diameter, 0 or more and up to 1 mm, such as (Millimetres(0.02), \
                 Millimetres(0.06))"
            }
            Self::BushWithoutWall { .. } => "outside is the diameter of the bush where it sits in its housing",
            Self::BushWithoutHousing { .. } => {
                "housing is the outside diameter of what the bush is pressed into; of a gear that at the roots"
            }
            Self::AbsurdBearingSize { .. } => "look at the unit and the digits; up to 10 metres are taken",
            Self::EfficiencyOutOfRange { .. } => {
                "write which part of the power a mesh passes on, such as \"0.98\"; 2 in 100 lost is 0.98"
            }
            Self::AbsurdEfficiency { .. } => "write a decimal or fraction of up to nine digits, such as \"0.98\"",
            Self::ControlSizeNotPositive { .. } => "write a size greater than zero, or leave it out",
            Self::AbsurdControlSize { .. } => {
                "look at the unit and the digits; radii, not diameters, and friction as a number such as \"0.12\""
            }
            Self::BrokenFaces { .. } => "count the faces that rub: two for each plate between two others",
            Self::InnerRadiusNotInside { .. } => "measure where the lining begins and where it ends, from the centre",
            Self::AbsurdSpeed { .. } => {
                "look at the digits; a speed has up to 15 in its numerator and up to 15 in its denominator"
            }
        }
    }

    /// The rule that a tooth count breaks, if it breaks one.
    pub(in crate::gearset) fn of_tooth_count(gear: &str, count: i64) -> Option<Self> {
        let gear = gear.to_owned();
        match count {
            0 => Some(Self::NoTeeth { gear }),
            ..0 => Some(Self::NegativeTeeth { gear, count }),
            1..=ToothCount::MAX => None,
            _ => Some(Self::AbsurdTeeth { gear, count }),
        }
    }
}

/// What to write for a size of a bearing that is not above zero.
fn positive_size_of_bearing(size: BearingSize) -> &'static str {
    match size {
        BearingSize::Width => {
            "write how wide the bush is along the axis, greater than zero, such as Millimetres(25) or Inches(1)"
        }
        BearingSize::Diameter => {
            "write the diameter at which they rub, greater than zero, such as Millimetres(40) or Inches(1.5)"
        }
        BearingSize::Interference => {
            "write by how much the bush is larger than its hole, above zero, such as Millimetres(0.03), or leave bush out"
        }
        BearingSize::Bore | BearingSize::Shaft | BearingSize::Outside | BearingSize::Housing => {
            "write the diameter as measured, greater than zero, such as Millimetres(16.02) or Inches(0.63)"
        }
    }
}
