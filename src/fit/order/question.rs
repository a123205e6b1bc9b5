//! What is asked for with an order, and why there is none.

use crate::fit::close::{CloseQuestion, FitRefusal};
use crate::gearset::{GearId, Gearset};

/// What an order is for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OrderQuestion {
    /// The gears to cut; all but those that are kept where none is named.
    pub gears: Vec<GearId>,
    /// Gears that are there and stay as they are.
    pub kept: Vec<GearId>,
    /// The least and the most backlash of every mesh; that of the description as the least where it is left out.
    pub backlash: Option<BacklashLimits>,
    /// By how much tip diameters may fall short, in millimetres: of a ring, be larger.
    pub tip_tolerance: Option<f64>,
    /// The pins at hand, in millimetres; usual sizes where there are none.
    pub pins: Vec<f64>,
    /// The name of the measured cluster that new ones are to be like; the first where none is named.
    pub like: Option<String>,
    /// How shifts are shared out that are not described.
    pub shifts: CloseQuestion,
}

/// The backlash of a mesh as an arc at the pitch circle, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BacklashLimits {
    /// At least, 0 or more.
    pub least: f64,
    /// At most.
    pub most: f64,
}

/// Why there is no order.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CannotOrder {
    /// The teeth have no size, or none are those of spur gears.
    #[error(transparent)]
    NoTeeth(#[from] FitRefusal),
    /// A gear is in no mesh of spur gears.
    #[error("{gear} is in no mesh of spur gears")]
    NotInMesh {
        /// The gear.
        gear: String,
    },
    /// A gear meshes with gears of two pitches.
    #[error("{gear} has meshes of two pitches, which no one gear has")]
    TwoPitches {
        /// The gear.
        gear: String,
    },
    /// Everything is kept.
    #[error("nothing is left to order: every gear is kept")]
    NothingLeft,
    /// A gear is to be cut and kept.
    #[error("{gear} is to be cut and is to be kept")]
    CutAndKept {
        /// The gear.
        gear: String,
    },
    /// The most backlash is less than the least.
    #[error("the most backlash, {most} mm, is not above the least, {least} mm")]
    LimitsReversed {
        /// The least.
        least: f64,
        /// The most.
        most: f64,
    },
    /// The backlash is more than half a tooth.
    #[error("a backlash of {most} mm is more than half a tooth of {gear}")]
    BeyondHalfATooth {
        /// The most.
        most: f64,
        /// The gear.
        gear: String,
    },
    /// The tips would fall short by more than the teeth are high.
    #[error("tips {by} mm shorter leave no teeth on {gear}")]
    NoTeethLeft {
        /// The tolerance.
        by: f64,
        /// The gear.
        gear: String,
    },
    /// None of the pins at hand serves.
    #[error("a pin of {pin} mm {fault} of {gear}")]
    Pin {
        /// The pin nearest to the ideal one.
        pin: f64,
        /// What is wrong with it.
        fault: PinFault,
        /// The gear.
        gear: String,
        /// Pins that serve, from the thinnest to the thickest, in millimetres.
        serve: Option<[f64; 2]>,
    },
    /// No measured cluster has this name.
    #[error("no cluster {name:?} is measured")]
    UnknownCluster {
        /// The name.
        name: String,
        /// Those that are.
        known: Vec<String>,
    },
}

/// What is wrong with a pin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PinFault {
    /// It touches no involute, or the root first.
    #[error("falls through the spaces")]
    FallsThrough,
    /// It touches at the tips or beyond.
    #[error("sits on the tips")]
    SitsOnTips,
    /// It does not stand proud of the tips.
    #[error("lies below the tips")]
    BelowTips,
}

impl CannotOrder {
    /// What to write instead.
    pub fn hint(&self) -> String {
        match self {
            Self::NoTeeth(reason) => reason.hint().into(),
            Self::NotInMesh { .. } => "spur gears in mesh can be ordered, nothing else".into(),
            Self::TwoPitches { .. } => "look at the pitch: of its meshes".into(),
            Self::NothingLeft => "leave out --keep for the gears to cut".into(),
            Self::CutAndKept { .. } => "name it with --gear or with --keep, not with both".into(),
            Self::LimitsReversed { .. } => "write the least first: --backlash-limits 0.08..0.15".into(),
            Self::BeyondHalfATooth { .. } => "write millimetres, such as --backlash-limits 0.08..0.15".into(),
            Self::NoTeethLeft { .. } => "write millimetres of the diameter, such as --tip-tolerance 0.1".into(),
            Self::Pin { serve: Some([least, most]), .. } => {
                format!("pins from {least:.2} to {most:.2} mm serve, such as --pin {:.2}", f64::midpoint(*least, *most))
            }
            Self::Pin { serve: None, .. } => "leave out --pin: no pin of a usual size serves this gear".into(),
            Self::UnknownCluster { known, .. } if known.is_empty() => {
                "the description has no measured clusters; measured: tells of them".into()
            }
            Self::UnknownCluster { known, .. } => format!("those measured are {}", known.join(", ")),
        }
    }
}

/// A gear as messages name it.
pub(super) fn named(set: &Gearset, gear: GearId) -> String {
    set.gear(gear).with_count()
}
