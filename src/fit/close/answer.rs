//! How teeth close on their pins, as every form of the answer shows it.

use serde::Serialize;

use crate::clearance::Gap;
use crate::gearset::{GearId, MemberId, MeshId, Pair};

/// How every mesh closes on its pin circle, and what that makes of the teeth.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ToothFit {
    /// The title of the gearset.
    pub gearset: String,
    /// Whether every mesh closes.
    pub closes: bool,
    /// Every spur mesh, in the order of the description.
    pub meshes: Vec<MeshFit>,
    /// Every gear in one of them, in the order of the description.
    pub gears: Vec<GearFit>,
    /// Where the pins of each planet stand that meshes with a central gear.
    pub pin_circles: Vec<PinCircleFit>,
    /// The room between gears that are not in mesh, with these tips.
    pub neighbours: Vec<Gap>,
    /// For every part of the train whose shifts can be shared out, the ways to do so; the first is the one taken.
    pub splits: Vec<SharedShift>,
    /// Whether nothing fouls, binds, is undercut or pointed.
    pub sound: bool,
    /// Bevel meshes, which are left out.
    pub left_out: Vec<MeshId>,
    /// The way to share out shifts that was asked for; it changes nothing where `splits` has no part.
    pub split_asked: SplitWay,
}

/// A mesh on its pin circle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct MeshFit {
    /// The two gears.
    pub gears: Pair<GearId>,
    /// How far apart they stand; none where no distance is left.
    pub center_distance_mm: Option<f64>,
    /// The working pressure angle there.
    pub working_pressure_angle_degrees: Option<f64>,
    /// The sum of their shifts, in a ring pair that of the ring less that of the gear, in modules.
    pub shift_sum: f64,
    /// How many pairs of teeth are in contact on average.
    pub contact_ratio: Option<f64>,
    /// The backlash at the pitch circles.
    pub backlash_mm: Option<f64>,
    /// What is wrong or worth knowing, the weightiest first.
    pub faults: Vec<MeshFault>,
    /// From the tip of the first gear to the root of the second, and the other way round.
    pub root_clearances_mm: Option<Pair<f64>>,
    /// The mesh.
    pub mesh: MeshId,
}

/// A gear as it has to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GearFit {
    /// The gear.
    pub gear: GearId,
    /// Its profile shift, in modules.
    pub shift: f64,
    /// The diameter of its tips.
    pub tip_diameter_mm: f64,
    /// The diameter of its roots.
    pub root_diameter_mm: f64,
    /// The arc of a tooth at its tip; none where there is no involute.
    pub tip_thickness_mm: Option<f64>,
    /// The diameter from which on, of a ring up to which, the flank is an involute as it is cut; none where nothing is
    /// said of the cutter of a ring.
    pub form_diameter_mm: Option<f64>,
    /// What is wrong or worth knowing, the weightiest first.
    pub faults: Vec<GearFault>,
    /// The module, in millimetres.
    pub module_mm: f64,
    /// By how much the tips are shorter than full, as a radius.
    pub tip_shortened_mm: f64,
    /// Where the working flank begins at the root, the farthest in of its meshes; of a ring the farthest out.
    pub working_flank_from_mm: Option<f64>,
    /// By how much each tooth is thinner than its shift makes it, as an arc at the pitch circle.
    pub thinning_mm: f64,
    /// The shift below which a rack undercuts the gear; none for a ring.
    pub undercut_below: Option<f64>,
    /// From the bore to the roots, where the bore is described.
    pub wall_mm: Option<f64>,
    /// Whether the shift is described; if not it follows from the pin circle, or is none.
    pub shift_described: bool,
}

/// Where the pins of a planet stand, and where they could stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PinCircleFit {
    /// The planet.
    pub planet: MemberId,
    /// From the main axis to a pin.
    pub radius_mm: f64,
    /// Where that comes from.
    pub origin: PinCircleOrigin,
    /// Between which distances every gear could be cut to fit without undercut or tips that are too thin, with the shifts
    /// that are described; none where there is no such distance.
    pub window_mm: Option<Pair<f64>>,
    /// Two meshes that allow no common distance, where there is none.
    pub quarrel: Option<Pair<MeshId>>,
    /// The distance at which the largest sum of shifts is least.
    pub least_shift_mm: Option<f64>,
}

/// Where a pin circle comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum PinCircleOrigin {
    /// It is described.
    Described,
    /// The first mesh with a central gear stands there by its counts and shifts.
    Mesh,
}

/// A part of the train in which one shift can be chosen: the ways to do so.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SharedShift {
    /// The mesh that the rules of two gears are applied to.
    pub mesh: MeshId,
    /// The ways, each with the shifts of all gears of the part.
    pub ways: Vec<SplitShifts>,
    /// The way that was asked for; where it gives no shifts another is taken.
    pub asked: SplitWay,
}

/// A way to share out a sum of shifts.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct SplitShifts {
    /// The way.
    pub split: SplitWay,
    /// Whether it is the one that the answer goes by.
    pub taken: bool,
    /// Every gear with its shift; none where the way gives none.
    pub shifts: Option<Vec<GearShift>>,
}

/// A gear with a shift.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GearShift {
    /// The gear.
    pub gear: GearId,
    /// Its shift in modules.
    pub shift: f64,
}

/// How a sum of shifts is shared out between two gears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum SplitWay {
    /// The described shifts stay, and the fewest other gears are shifted.
    #[default]
    AsDrawn,
    /// The flanks of both gears slide alike at their roots.
    EqualSliding,
    /// By the difference of the counts from 30; from memory.
    DifferenceRule,
    /// By the inverse of the ratio; from memory.
    InverseRatio,
    /// By the logarithm of the ratio; from memory.
    Logarithm,
    /// Half to each.
    Halves,
    /// As drawn, but moved as far as it takes for no gear to be undercut or too thin at its tips.
    NoUndercut,
}

impl SplitWay {
    /// Every way.
    pub const ALL: [Self; 7] = [
        Self::AsDrawn,
        Self::EqualSliding,
        Self::DifferenceRule,
        Self::InverseRatio,
        Self::Logarithm,
        Self::Halves,
        Self::NoUndercut,
    ];
}

/// How much a fault matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultWeight {
    /// It cannot be used so.
    Fails,
    /// It is commonly avoided.
    Doubtful,
    /// It has to be known.
    Note,
}

/// What is wrong with a mesh, or worth knowing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(tag = "fault", rename_all = "kebab-case")]
#[non_exhaustive]
pub enum MeshFault {
    /// Its shifts do not close it on the pin circle: by so many modules their sum is too large, or too small where it is
    /// negative.
    DoesNotClose {
        /// In modules.
        shift_off: f64,
    },
    /// No shifts close it: the base circles leave no line of action at that distance.
    TooClose,
    /// Its counts and shifts leave no distance, or the gears cannot mesh.
    NoMesh,
    /// The teeth let go before the next ones take hold.
    LetsGo {
        /// The contact ratio, below 1; 0 where teeth do not reach one another.
        contact_ratio: f64,
    },
    /// A contact ratio below 1.2.
    ShortContact {
        /// The contact ratio.
        contact_ratio: f64,
    },
    /// A tip runs into the root opposite.
    TipFoulsRoot {
        /// The gear of the tip.
        gear: GearId,
        /// By so much.
        by_mm: f64,
    },
    /// A tip clears the root opposite by less than 0.15 module.
    TipNearRoot {
        /// The gear of the tip.
        gear: GearId,
        /// The clearance.
        clearance_mm: f64,
    },
    /// A tip reaches below the involute of its partner.
    TipBeyondFlank {
        /// The gear of the tip.
        gear: GearId,
        /// By how much its radius is too large, of a ring too small.
        by_mm: f64,
        /// The tip diameter that it allows.
        tip_diameter_mm: f64,
    },
    /// The tips of a gear and its ring meet away from the line of action.
    TipsMeet,
    /// The teeth are too thick for the distance: the gears do not turn.
    Binds {
        /// By so much, at the pitch circles.
        by_mm: f64,
    },
    /// The gear goes into its ring along the axis only.
    AlongAxisOnly,
}

/// What is wrong with a gear, or worth knowing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(tag = "fault", rename_all = "kebab-case")]
#[non_exhaustive]
pub enum GearFault {
    /// The cutter has cut into the flank.
    Undercut {
        /// The least shift without; none where a shaper cuts it.
        least_shift: Option<f64>,
    },
    /// The flanks meet before the tip.
    Pointed,
    /// The tip is thinner than is commonly allowed.
    ThinTip {
        /// In modules.
        modules: f64,
    },
    /// The tip of a ring lies inside its base circle, where there is no involute.
    NoInvoluteAtTip,
    /// The cutter takes the tips of the ring away.
    TipTrimmed {
        /// Down to this diameter they stay.
        least_tip_diameter_mm: f64,
    },
    /// The cutter and the gear do not mesh.
    CannotBeCut,
    /// Too little is left between bore and roots.
    ThinWall {
        /// The wall.
        wall_mm: f64,
        /// What is commonly wanted.
        usual_mm: f64,
    },
    /// No gear is commonly shifted as far.
    LargeShift,
}

impl MeshFault {
    /// How much it matters.
    pub fn weight(&self) -> FaultWeight {
        match self {
            Self::ShortContact { .. } | Self::TipNearRoot { .. } => FaultWeight::Doubtful,
            Self::AlongAxisOnly => FaultWeight::Note,
            Self::DoesNotClose { .. }
            | Self::TooClose
            | Self::NoMesh
            | Self::LetsGo { .. }
            | Self::TipFoulsRoot { .. }
            | Self::TipBeyondFlank { .. }
            | Self::TipsMeet
            | Self::Binds { .. } => FaultWeight::Fails,
        }
    }
}

impl GearFault {
    /// How much it matters.
    pub fn weight(&self) -> FaultWeight {
        /// A tip below this is not recommended, in modules (common practice).
        const LEAST_TIP: f64 = 0.2;
        match self {
            Self::ThinTip { modules } if *modules >= LEAST_TIP => FaultWeight::Doubtful,
            Self::ThinWall { .. } | Self::LargeShift | Self::NoInvoluteAtTip => FaultWeight::Doubtful,
            Self::Undercut { .. }
            | Self::Pointed
            | Self::ThinTip { .. }
            | Self::TipTrimmed { .. }
            | Self::CannotBeCut => FaultWeight::Fails,
        }
    }
}
