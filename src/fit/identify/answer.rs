//! What the teeth may be: the whole answer.
//!
//! Finished: candidates ranked, their misfits, what is told of wear, and what to measure next.

use serde::Serialize;

use crate::exact::Fraction;

/// What the teeth of gears may be, by what was read of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Identification {
    /// What fits and what comes nearest to it, family by family, the best first.
    pub candidates: Vec<ToothCandidate>,
    /// What to measure next, of the first family of which something is open.
    pub next: Option<NextMeasurement>,
    /// Gears cut alike, with what is told of each such family.
    pub families: Vec<IdentifiedFamily>,
}

/// Teeth that may be.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ToothCandidate {
    /// The module in millimetres.
    pub module: Fraction,
    /// The diametral pitch, in teeth per inch of diameter.
    pub diametral_pitch: Fraction,
    /// The pressure angle in degrees.
    pub pressure_angle: Fraction,
    /// How high the teeth are: `full`, `full 1.25`, `full 1.157`, `stub`, `stub 6/8`; `open` where no reading tells.
    pub depth: String,
    /// The shift of the first gear, in modules.
    pub shift: f64,
    /// How much thinner its teeth are than cut without backlash, as an arc at the pitch circle in millimetres; null
    /// where shift and wear cannot be told apart.
    pub thinning_mm: Option<f64>,
    /// The sum of squares of misfit over uncertainty.
    pub chi_squared: f64,
    /// Whether the readings allow these teeth.
    pub alive: bool,
    /// Each reading less what these teeth would read.
    pub misfits: Vec<ReadingMisfit>,
    /// The pitch as it is called: `9 DP`, `module 2.75`.
    pub pitch: String,
    /// The place of the family in the list of families, from 0.
    pub family: usize,
    /// The shift and the wear of each gear.
    pub gears: Vec<CandidateGear>,
    /// Gears that are thinned, where the readings cannot do without.
    pub worn: Vec<WornTeeth>,
}

/// A reading less what teeth would read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ReadingMisfit {
    /// What was read.
    pub reading: String,
    /// By how much the reading is larger, in millimetres.
    pub mm: f64,
    /// The gear; none for a centre distance.
    pub gear: Option<String>,
}

/// A gear of a candidate.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CandidateGear {
    /// The gear.
    pub gear: String,
    /// Its shift, in modules, away from its axis.
    pub shift: f64,
    /// How much thinner its teeth are, in millimetres; null where shift and wear cannot be told apart.
    pub thinning_mm: Option<f64>,
    /// How much thinner its teeth would be if it had no shift, in millimetres; null where wear is told from shift, or
    /// the teeth would be thicker.
    pub thinning_without_shift_mm: Option<f64>,
}

/// Teeth that are thinned.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WornTeeth {
    /// The gear that it is, or those among which the readings cannot tell it.
    pub gears: Vec<String>,
    /// By how much in all, as an arc at the pitch circle in millimetres.
    pub thinning_mm: f64,
}

/// Gears cut alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct IdentifiedFamily {
    /// The gears of which something is told.
    pub gears: Vec<String>,
    /// What came of it.
    pub verdict: ToothVerdict,
    /// How many candidates the readings allow.
    pub alive: usize,
    /// The base pitches that readings tell by themselves.
    pub base_pitches: Vec<BasePitchReading>,
    /// What to measure next, the most telling first: what tells the two best candidates apart, or the depths of the
    /// only one.
    pub measurements: Vec<NextMeasurement>,
    /// The readings, with what each was taken to be good to.
    pub readings: Vec<TakenReading>,
    /// Where nothing fits all readings: the first without which something does.
    pub contradicting: Option<ContradictingReading>,
    /// Whether the best candidate is of 14 1/2 degrees and no three spans in a row show that its flanks are involutes.
    pub may_be_composite: bool,
    /// Spans of the best candidate whose jaws touch less than a tenth of the module below the tips, or on the fillet.
    pub doubtful_spans: Vec<String>,
    /// The pitches that the description says, each once, with what the readings say of it.
    pub described: Vec<PitchAsDescribed>,
}

/// A pitch that the description says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PitchAsDescribed {
    /// The pitch: `module 2.5`.
    pub pitch: String,
    /// What the readings say of it.
    pub agreement: PitchAgreement,
    /// The largest misfit of a reading, in millimetres; null where no teeth of this pitch come near.
    pub misfit_mm: Option<f64>,
}

/// What readings say of a described pitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum PitchAgreement {
    /// No other fits better.
    #[serde(rename = "best")]
    Best,
    /// It fits, and another fits better.
    #[serde(rename = "fits")]
    Fits,
    /// It fits, and another fits better by more than three standard deviations.
    #[serde(rename = "unlikely")]
    Unlikely,
    /// They rule it out.
    #[serde(rename = "ruled out")]
    RuledOut,
}

/// A reading that does not go with the others.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ContradictingReading {
    /// The reading.
    pub reading: String,
    /// The gear; none for a centre distance.
    pub gear: Option<String>,
    /// The teeth that fit all others: `9 DP, 20 deg`.
    pub teeth: String,
    /// By how much the reading is larger than that of these teeth, in millimetres.
    pub mm: f64,
}

/// What readings say of teeth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum ToothVerdict {
    /// One pitch, angle and depth.
    #[serde(rename = "told")]
    Told,
    /// One pitch and angle, of several depths.
    #[serde(rename = "depth open")]
    DepthOpen,
    /// Several pitches or angles, which a further reading tells apart.
    #[serde(rename = "several")]
    Several,
    /// Several, and nothing that can be measured here tells them apart.
    #[serde(rename = "cannot be told apart")]
    CannotBeToldApart,
    /// No standard pitch has the base pitch that was read.
    #[serde(rename = "no standard pitch")]
    NoStandardPitch,
    /// Nothing fits all readings.
    #[serde(rename = "nothing fits")]
    NothingFits,
}

impl ToothVerdict {
    /// Whether something fits.
    pub fn fits(self) -> bool {
        !matches!(self, Self::NoStandardPitch | Self::NothingFits)
    }
}

/// A base pitch told by two readings.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct BasePitchReading {
    /// The gear.
    pub gear: String,
    /// The readings.
    pub readings: String,
    /// The base pitch in millimetres.
    #[serde(rename = "mm")]
    pub millimetres: f64,
    /// What it is good to, in millimetres.
    pub within_mm: f64,
}

/// What to measure next.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NextMeasurement {
    /// What to measure.
    pub reading: String,
    /// How far apart the two are, in units of what the reading is good to.
    pub separates_by: f64,
    /// The gear to measure; none for a centre distance.
    pub gear: Option<String>,
    /// What the reading has to be good to, in millimetres.
    pub within_mm: f64,
    /// What it would be of each of the two.
    pub predicted: Vec<Predicted>,
}

/// What a reading would be of some teeth.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Predicted {
    /// The teeth: `9 DP, 20 deg`, or their depth where that alone is open.
    pub teeth: String,
    /// What they would read, in millimetres.
    pub mm: f64,
}

/// A reading as it was taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TakenReading {
    /// What was read.
    pub reading: String,
    /// The gear; none for a centre distance.
    pub gear: Option<String>,
    /// What it reads, in millimetres.
    pub mm: f64,
    /// What it is good to, in millimetres.
    pub within_mm: f64,
    /// Whether that was said; otherwise it is what is usual.
    pub within_is_given: bool,
}

impl Identification {
    /// Whether something fits in every family.
    pub fn fits(&self) -> bool {
        !self.families.is_empty() && self.families.iter().all(|family| family.verdict.fits())
    }
}
