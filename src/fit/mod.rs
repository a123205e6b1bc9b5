//! What are the teeth of a gearset, do they close on its pins, and what does whoever cuts or sets them need to know?
//!
//! The formulas of `tooth` asked of gears, meshes and pins. Fit alone: nothing here proves a tooth strong enough.

mod backlash;
mod close;
mod identify;
mod order;

pub use backlash::{
    BacklashOfMesh, BacklashOnPin, BacklashQuestion, BacklashRefusal, BacklashSizes, BacklashSurvey, BacklashUntold,
    BacklashVerdict, BushClearance, CarryingContact, ContactsUntold, GroupBacklash, LoadCase, PinOf, PinShare,
    PinStand, RunOut, SharedByPins, SharedForce, SharingQuestion, ToldPin, backlash,
};
pub(crate) use close::teeth_within;
pub use close::{
    CloseQuestion, FaultWeight, FitRefusal, GearFault, GearFit, GearShift, MeshFault, MeshFit, PinCircleFit,
    PinCircleOrigin, SharedShift, SplitShifts, SplitWay, ToothFit, ToothLimits, close,
};
pub use identify::{
    BasePitchReading, CandidateGear, CannotIdentify, ContradictingReading, DescribedPitch, GearReading, Identification,
    IdentifiedFamily, IdentifyQuestion, KnownTeeth, MeasuredDistance, MeasuredGear, MeasuredMesh, NextMeasurement,
    PitchAgreement, PitchAsDescribed, Predicted, ReadingMeasure, ReadingMisfit, TakenReading, ToothCandidate,
    ToothVerdict, WornTeeth, identify,
};
pub use order::{
    BacklashLimits, CannotOrder, IndexAlike, IndexSource, KeptGear, LengthLimits, OrderQuestion, OrderedCluster,
    OrderedGear, OrderedIndex, OrderedMesh, OrderedPins, OrderedSpan, PinFault, StruckMark, TeethOrder, order,
};
