//! The answer to a question about balance.

use serde::Serialize;

use super::chart::DrillChart;
use super::clusters::ClusterPlacing;
use super::hole::HoleDirection;
use super::material::DrilledMaterial;
use super::plan::{PlanLimit, PlannedHole};
use super::speed::FastestSpeed;
use super::unbalance::Unbalance;
use crate::gearset::Side;

/// What is told of the balance of a rotor.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RotorBalance {
    /// What may be left in the whole rotor.
    pub allowed_g_mm: Option<f64>,
    /// What was found; of two planes their sum.
    pub found: Option<FoundUnbalance>,
    /// The holes to drill, plane by plane, the largest first.
    pub plan: Vec<PlannedHole>,
    /// What they leave; of two planes the sum.
    pub left: Option<Unbalance>,
    /// Whether no other choice of places, drills and depths does it with fewer holes, nearer to the heavy side or with less
    /// left, or none is needed; false where nothing was planned.
    pub proven: bool,
    /// What is to be done.
    pub verdict: BalanceVerdict,
    /// From which side angles are seen, counter-clockwise from the mark.
    pub seen_from: Option<Side>,
    /// By what the residual is allowed, where a grade says so.
    pub allowance: Option<GradeAllowance>,
    /// Each plane, one or two.
    pub planes: Vec<PlaneBalance>,
    /// How the rotor answered to trial weights.
    pub trials: Option<TrialAnswers>,
    /// What readings were taken to be good to.
    pub good_to: Option<TakenGoodTo>,
    /// Where and with what is drilled.
    pub drilling: Option<DrillingTerms>,
    /// The radius where the rotor ends, where it was told.
    pub outer_radius_mm: Option<f64>,
    /// What to beware of.
    pub cautions: Vec<BalanceCaution>,
    /// Which planet goes on which pin.
    pub clusters: Option<ClusterPlacing>,
    /// What drills take off.
    pub chart: Option<DrillChart>,
}

/// What is to be done with a rotor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum BalanceVerdict {
    /// Nothing was found, or nothing was asked of it.
    NothingFound,
    /// No more is left than is allowed.
    WithinAllowed,
    /// Too much is left, or it is not told what is allowed, and no places were named.
    ToCorrect,
    /// Two angles are possible: one has to be tried.
    TwoAngles,
    /// Readings contradict one another: nothing is drilled by them.
    MeasureAgain,
    /// Holes are to be drilled.
    Drill,
    /// Weights are to be put on.
    PutOn,
    /// Nothing that can be done at these places is enough.
    NothingReaches,
}

/// A residual by a grade.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GradeAllowance {
    /// G, in mm/s.
    pub grade: f64,
    /// The mass of the rotor.
    pub kilograms: f64,
    /// Its fastest speed.
    pub rpm: f64,
    /// Where that speed comes from.
    pub speed: Option<FastestSpeed>,
    /// How far the centre of mass may be from the axis.
    pub micrometres: f64,
    /// What knife edges feel of such a rotor: good ones, and poor ones.
    pub felt_on_knife_edges_g_mm: [f64; 2],
}

/// An unbalance that was found.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FoundUnbalance {
    /// How large.
    pub g_mm: f64,
    /// Where the rotor is too heavy.
    pub degrees: f64,
    /// What it is good to, by what readings are good to.
    pub within_g_mm: f64,
    /// What its size alone is good to, which does not change with its angle.
    pub size_within_g_mm: f64,
}

/// One plane of a rotor.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlaneBalance {
    /// Counted from 1.
    pub plane: usize,
    /// What may be left in this plane.
    pub allowed_g_mm: Option<f64>,
    /// What was found.
    pub found: FoundUnbalance,
    /// The other angle that would give the same readings.
    pub or_degrees: Option<f64>,
    /// What is to be done.
    pub verdict: BalanceVerdict,
    /// The holes to drill, the largest first.
    pub plan: Vec<PlannedHole>,
    /// Weights to put on, where nothing is drilled: at the places, or else where it is light at the radius of the weights
    /// it was found by; of two possible angles both.
    pub put_on: Vec<WeightToPutOn>,
    /// What is left then.
    pub left: Option<Unbalance>,
    /// The most that is left when every hole is half a millimetre too deep or too shallow.
    pub left_by_depth_g_mm: Option<f64>,
    /// The most that is left when the metal is three per cent lighter or heavier than it is taken to be.
    pub left_by_density_g_mm: Option<f64>,
    /// What keeps the rotor from coming down to what is allowed.
    pub limits: Vec<PlanLimit>,
}

/// A weight to be put on at a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WeightToPutOn {
    /// Where.
    pub place_degrees: f64,
    /// How far from the axis.
    pub radius_mm: f64,
    /// How heavy.
    pub grams: f64,
}

/// How a rotor answered to trial weights.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TrialAnswers {
    /// What each reading was, or the size of it, run by run, and what it would be if the answer were exact; empty where
    /// as many readings were taken as are needed.
    pub predicted: Vec<RunReading>,
    /// What runs without phase close to: 1 where they agree.
    pub closing: Option<f64>,
    /// Whether readings agree so far that something follows from them.
    pub agrees: bool,
    /// Whether the trial weight in each plane changed readings by as much as tells something.
    pub tells: Vec<bool>,
    /// The influence coefficients, for each reading and plane: how large, for a g mm, and at which angle.
    pub influence: Vec<InfluenceCoefficient>,
}

/// A reading beside what it would be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct RunReading {
    /// Where the trial weight stood.
    pub degrees: f64,
    /// What was read.
    pub read: f64,
    /// What would be read.
    pub predicted: f64,
}

/// What a unit of unbalance in a plane makes a reading.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct InfluenceCoefficient {
    /// Which reading, counted from 1.
    pub reading: usize,
    /// The plane of the weight, counted from 1.
    pub plane: usize,
    /// For a g mm.
    pub per_g_mm: f64,
    /// By how much the reading is ahead of the weight.
    pub degrees: f64,
}

/// What readings were taken to be good to, each with whether it was said.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TakenGoodTo {
    /// Weights.
    pub grams: f64,
    /// Their radii.
    pub radius_mm: f64,
    /// Angles.
    pub degrees: f64,
    /// Readings of a machine, in their own unit; none where there are none.
    pub reading: Option<f64>,
    /// Whether all were said, and none is what is usual.
    pub is_said: bool,
}

/// Where and with what a rotor is drilled.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct DrillingTerms {
    /// Into a face, or into a rim.
    pub direction: HoleDirection,
    /// What is drilled.
    pub material: DrilledMaterial,
    /// Its density.
    pub density_g_cm3: f64,
    /// Along the drill.
    pub thickness_mm: f64,
    /// What is left behind the point and beside a hole.
    pub wall_mm: f64,
    /// Where the rotor ends.
    pub outer_radius_mm: Option<f64>,
    /// The drills at hand.
    pub drills_mm: Vec<f64>,
    /// The step of depths.
    pub depth_step_mm: f64,
    /// The least depth.
    pub least_depth_mm: f64,
    /// The places, with holes that are there.
    pub places: Vec<DrillingPlace>,
}

/// A place of a rotor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct DrillingPlace {
    /// Where.
    pub degrees: f64,
    /// How far from the axis.
    pub radius_mm: f64,
    /// The diameter of a hole that is there.
    pub drilled_drill_mm: Option<f64>,
    /// Its depth.
    pub drilled_depth_mm: Option<f64>,
}

/// What to beware of.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum BalanceCaution {
    /// Knife edges may not show what is allowed.
    KnifeEdges,
    /// Readings are good to more than is allowed.
    ReadingsTooCoarse,
    /// What was found is no more than is allowed, but may be by what it is good to.
    MayBeOver,
    /// A trial weight changed readings by too little.
    TrialTellsLittle,
    /// Runs without phase do not agree.
    RunsDisagree,
    /// One plane may not be enough.
    OnePlane,
    /// The speed is not known in every state.
    SpeedOpen,
    /// Holes half a millimetre off, or metal of another density, may leave more than is allowed.
    DepthCounts,
}

impl PlaneBalance {
    /// Whether it is within what is allowed, and by what it is good to may be beyond.
    pub fn may_be_over(&self) -> bool {
        let most = self.found.g_mm + self.found.size_within_g_mm;
        self.verdict == BalanceVerdict::WithinAllowed && self.allowed_g_mm.is_some_and(|allowed| most > allowed)
    }
}

impl RotorBalance {
    /// Whether the rotor is in balance, can be brought there, or nothing was asked that could be answered by no.
    pub fn is_good(&self) -> bool {
        let clusters = self.clusters.as_ref().and_then(|clusters| clusters.is_within_allowed);
        let can_be_done = match self.verdict {
            BalanceVerdict::MeasureAgain | BalanceVerdict::NothingReaches => false,
            BalanceVerdict::NothingFound
            | BalanceVerdict::WithinAllowed
            | BalanceVerdict::ToCorrect
            | BalanceVerdict::TwoAngles
            | BalanceVerdict::Drill
            | BalanceVerdict::PutOn => true,
        };
        can_be_done && clusters != Some(false)
    }
}
