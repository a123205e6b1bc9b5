//! What is measured, fitted and balanced on the bench, and what to do about it?
//!
//! Each analysis takes what was measured of one unit as plain numbers, in a question that can be built without a
//! gearset; speeds, torques and bearings come from the gearset where one is known. An answer says first what to do.
//! What a part bears is not told anywhere here: this is fit, and not strength.

mod balance;
mod bands;
mod bushes;
mod clutch;
mod float;
mod held;
mod neutral;

pub use balance::{
    Allowance, BalanceCaution, BalanceQuestion, BalanceVerdict, CannotBalance, ChartQuestion, ClusterOnPin,
    ClusterPlacing, ClusterWeights, Correction, CorrectionPlace, DrillChart, DrillChartRow, DrilledHole,
    DrilledMaterial, Drilling, DrillingPlace, DrillingTerms, FastestSpeed, FoundBy, FoundUnbalance, FoundWeight,
    GRAM_MILLIMETRES_PER_OUNCE_INCH, GRAMS_PER_OUNCE, GradeAllowance, HoleDirection, InfluenceCoefficient,
    PhaseReading, PlanLimit, PlaneBalance, PlannedHole, ReadingsGoodTo, RotorBalance, RotorSize, RunReading,
    TakenGoodTo, TrialAnswers, TrialRun, TrialWithPhase, USUAL_GRADE, Unbalance, WeightAmount, WeightSense,
    WeightToPutOn, balance, carried_to_planes, fastest_speed, felt_on_knife_edges, hole_grams, hole_unbalance,
    permissible_unbalance, point_of_drill, shares_of_planes, split_between,
};
pub use bands::{BandQuestion, BandSetting, BandSettings, BandsQuestion, CannotSetBand, bands};
pub(crate) use bushes::bearing_names;
pub use bushes::{
    BushFit, BushFits, BushPlace, BushQuestion, BushVerdict, BushesQuestion, CannotFitBush, CloseIn, ElasticMaterial,
    HeatUntold, HotBushFit, MeasuredDiameter, PressedBush, PressedBushFit, PressedRings, bush_fits, elastic,
};
pub use clutch::{
    CannotSetClutch, ClutchQuestion, ClutchSetting, FingerSetting, FingerSettings, FingersQuestion, PackFault,
    PackOrder, PlateHold, PlatesQuestion, SpringQuestion, SpringReading, SpringSetting, clutch, discs_as_typed,
};
pub use float::{
    CannotChooseWashers, EndFloat, ExactReading, FloatGap, FloatQuestion, FloatRemedy, FloatUnit, GapFloat,
    MeasuredGap, WasherStack, end_float,
};
pub use held::HeldTorque;
pub use neutral::{
    CannotTestNeutral, DragOutcome, DragPlace, DragRow, HeldOutputSpeed, NeutralQuestion, NeutralTest, neutral,
};
