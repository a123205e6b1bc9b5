//! What is asked of a rotor: what may be left, what was found and how, and where it may be drilled.
//!
//! Lengths are millimetres, weights grams, the mass of the rotor kilograms, angles degrees counter-clockwise from a mark,
//! seen from the side that is named.

use super::hole::HoleDirection;
use super::material::DrilledMaterial;
use super::speed::FastestSpeed;
use super::unbalance::{Unbalance, degrees_apart};
use crate::gearset::Side;

/// A question about the balance of a rotor; every part may be left out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BalanceQuestion {
    /// What may be left.
    pub allowance: Option<Allowance>,
    /// From which side angles are seen; needed as soon as there is one.
    pub seen_from: Option<Side>,
    /// What was found, and how.
    pub found: Option<FoundBy>,
    /// What readings are good to.
    pub good_to: ReadingsGoodTo,
    /// What is to be corrected where.
    pub correction: Option<Correction>,
    /// Width and diameter of the rotor.
    pub size: Option<RotorSize>,
    /// Planets of unequal weight, and the radius of their pins.
    pub clusters: Option<ClusterWeights>,
    /// A chart of drills and depths.
    pub chart: Option<ChartQuestion>,
}

/// What may be left in a rotor.
#[derive(Debug, Clone, PartialEq)]
pub enum Allowance {
    /// So many gram millimetres.
    GramMillimetres(f64),
    /// By a grade.
    Grade {
        /// G, in mm/s: 6.3 for flywheels.
        grade: f64,
        /// The mass of the rotor, in kg.
        kilograms: f64,
        /// How fast it turns at most.
        rpm: f64,
        /// The state in which it does, where that follows from a description.
        speed: Option<FastestSpeed>,
        /// The distances of the centre of mass from the two bearings, in mm, by which two planes share; halves where they
        /// are left out.
        from_bearings: Option<[f64; 2]>,
    },
}

/// How an unbalance was found.
#[derive(Debug, Clone, PartialEq)]
pub enum FoundBy {
    /// By weights: heavy spots, or putty on the light side.
    Weights {
        /// Each weight.
        weights: Vec<FoundWeight>,
        /// Where two planes stand along the axis, in mm; one plane where they are left out.
        planes: Option<[f64; 2]>,
    },
    /// By readings with their phase in one plane, or in two.
    Phases {
        /// As found, a reading a plane.
        as_found: Vec<PhaseReading>,
        /// With a trial weight in each plane in turn.
        trials: Vec<TrialWithPhase>,
    },
    /// By readings without phase: as found, and with one trial weight at several places.
    Runs {
        /// As found.
        as_found: f64,
        /// Each run.
        trials: Vec<TrialRun>,
    },
}

/// A weight on a rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundWeight {
    /// The weight, or its unbalance.
    pub amount: WeightAmount,
    /// Where it stands.
    pub degrees: f64,
    /// What it is.
    pub sense: WeightSense,
    /// Where it stands along the axis, in mm.
    pub along_axis: f64,
}

/// How heavy a weight is, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeightAmount {
    /// Grams at a radius in mm.
    AtRadius {
        /// Grams.
        grams: f64,
        /// Millimetres.
        radius: f64,
    },
    /// Gram millimetres.
    GramMillimetres(f64),
}

/// What a weight on a rotor is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum WeightSense {
    /// The rotor is as much too heavy there.
    #[default]
    Heavy,
    /// With it there the rotor was in balance: it is too heavy opposite.
    Balancing,
}

/// A reading with its phase, counted in the sense of all angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhaseReading {
    /// How large, in any unit, the same for all.
    pub amount: f64,
    /// The phase.
    pub degrees: f64,
}

/// A trial weight in one plane, and what was read with it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialWithPhase {
    /// The weight.
    pub weight: WeightAmount,
    /// Where it stood.
    pub degrees: f64,
    /// A reading a plane.
    pub readings: Vec<PhaseReading>,
}

/// A trial weight at a place, and what was read with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialRun {
    /// The weight, the same in every run.
    pub weight: WeightAmount,
    /// Where it stood.
    pub degrees: f64,
    /// The reading.
    pub reading: f64,
}

/// What readings are good to, each what is usual where it is left out.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ReadingsGoodTo {
    /// Weights, in grams; an unbalance that is told in g mm is taken as exact, but for its angle.
    pub grams: Option<f64>,
    /// Radii of weights, in mm.
    pub radius: Option<f64>,
    /// Angles of weights and phases, in degrees.
    pub degrees: Option<f64>,
    /// Readings of a machine, in their own unit.
    pub reading: Option<f64>,
}

/// Where a rotor is corrected.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// The places.
    pub places: Vec<CorrectionPlace>,
    /// How metal is taken off; weights are put on where it is left out.
    pub drilling: Option<Drilling>,
}

/// A place where a rotor may be corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CorrectionPlace {
    /// Where.
    pub degrees: f64,
    /// How far from the axis, in mm; of a hole that is drilled inward the radius of the rim.
    pub radius: f64,
}

/// What may be drilled with what.
#[derive(Debug, Clone, PartialEq)]
pub struct Drilling {
    /// Into a face, or into a rim.
    pub direction: HoleDirection,
    /// The diameters of drills at hand.
    pub drills: Vec<f64>,
    /// What is drilled.
    pub material: DrilledMaterial,
    /// How thick it is there, along the drill.
    pub thickness: f64,
    /// How much is to be left behind the point, and beside a hole.
    pub wall: f64,
    /// The radius where the rotor ends, where a hole into its face could break out; half its diameter where that is told.
    pub outer_radius: Option<f64>,
    /// Depths are multiples of this.
    pub depth_step: f64,
    /// No hole is shallower.
    pub least_depth: f64,
    /// Holes that are drilled already and may be deepened.
    pub drilled: Vec<DrilledHole>,
}

impl Default for Drilling {
    fn default() -> Self {
        Self {
            direction: HoleDirection::Axial,
            drills: Vec::new(),
            material: DrilledMaterial::default(),
            thickness: 0.0,
            wall: 0.0,
            outer_radius: None,
            depth_step: 1.0,
            least_depth: 3.0,
            drilled: Vec::new(),
        }
    }
}

/// A hole that is there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrilledHole {
    /// Where: one of the places.
    pub degrees: f64,
    /// Its diameter.
    pub drill: f64,
    /// Its full depth.
    pub depth: f64,
}

/// The size of a rotor, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RotorSize {
    /// Along the axis, which says whether one plane is enough.
    pub width: Option<f64>,
    /// Over all: holes keep off that edge.
    pub diameter: f64,
}

/// Planets of unequal weight on equally spaced pins.
#[derive(Debug, Clone, PartialEq)]
pub struct ClusterWeights {
    /// The weight of each, in grams.
    pub grams: Vec<f64>,
    /// The radius of the pin circle, in mm.
    pub pin_radius: f64,
}

/// A chart of what drills take off.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartQuestion {
    /// The material.
    pub material: DrilledMaterial,
    /// Diameters, in mm; usual ones where there are none.
    pub drills: Vec<f64>,
    /// Full depths, in mm; usual ones where there are none.
    pub depths: Vec<f64>,
}

impl FoundBy {
    /// The radius of the weights, of several that of the first that says it.
    pub(super) fn radius(&self) -> Option<f64> {
        match self {
            Self::Weights { weights, .. } => weights.iter().find_map(|weight| weight.amount.radius()),
            Self::Phases { trials, .. } => trials.iter().find_map(|trial| trial.weight.radius()),
            Self::Runs { trials, .. } => trials.iter().find_map(|run| run.weight.radius()),
        }
    }
}

impl WeightAmount {
    /// The unbalance at an angle.
    pub fn at(self, degrees: f64) -> Unbalance {
        Unbalance::new(self.gram_millimetres(), degrees)
    }

    /// In g mm.
    pub fn gram_millimetres(self) -> f64 {
        match self {
            Self::AtRadius { grams, radius } => grams * radius,
            Self::GramMillimetres(amount) => amount,
        }
    }

    /// The radius, where it is known.
    pub fn radius(self) -> Option<f64> {
        match self {
            Self::AtRadius { radius, .. } => Some(radius),
            Self::GramMillimetres(_) => None,
        }
    }
}

impl DrilledHole {
    /// Holes are found at their places so near, in degrees.
    const AT_PLACE: f64 = 0.5;

    /// Whether it stands at a place.
    pub(super) fn is_at(&self, place: CorrectionPlace) -> bool {
        degrees_apart(self.degrees, place.degrees) <= Self::AT_PLACE
    }
}
