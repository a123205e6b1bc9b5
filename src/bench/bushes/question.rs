//! What is asked of bushes: what was measured of each, what is allowed, how it is pressed in.

use crate::gearset::BushMaterial;

/// What is asked of bushes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BushesQuestion {
    /// The bushes.
    pub bushes: Vec<BushQuestion>,
    /// By how many kelvin bushes and housings are warmer in service than when they were measured.
    pub hot_kelvin: Option<f64>,
    /// By how many kelvin the shafts are warmer still.
    pub shaft_hotter_kelvin: f64,
}

/// A bush, or a bore, that runs on a shaft or pin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BushQuestion {
    /// What people call it.
    pub name: String,
    /// The bore at one to three places along it.
    pub bore: Vec<MeasuredDiameter>,
    /// The shaft at one place, or at as many as the bore.
    pub shaft: Vec<MeasuredDiameter>,
    /// The least and the greatest clearance that is allowed, on the diameter, in millimetres.
    pub allowed_mm: Option<[f64; 2]>,
    /// How the bush is pressed in.
    pub pressed: Option<PressedBush>,
    /// What the bore is in, where it is not said how it is pressed in: then it grows freely with heat.
    pub bore_of: Option<BushMaterial>,
    /// What the shaft is made of; steel where nothing is said.
    pub shaft_of: Option<BushMaterial>,
    /// What each reading is good to, in millimetres; [`BushQuestion::USUAL_WITHIN_MM`] where nothing is said.
    pub within_mm: Option<f64>,
}

/// A diameter as measured, one way or two ways across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredDiameter {
    /// The reading.
    pub mm: f64,
    /// The reading across the first.
    pub across_mm: Option<f64>,
}

/// A bush that is pressed into its housing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressedBush {
    /// Its outside diameter.
    pub outside_mm: f64,
    /// By how much it is larger than the hole, on the diameter.
    pub interference_mm: f64,
    /// The outside diameter of the housing.
    pub housing_mm: f64,
    /// What the bush is made of.
    pub of: Option<BushMaterial>,
    /// What the housing is made of.
    pub into: Option<BushMaterial>,
}

impl MeasuredDiameter {
    /// The least and the greatest reading.
    pub fn least_and_most(self) -> [f64; 2] {
        let across = self.across_mm.unwrap_or(self.mm);
        [self.mm.min(across), self.mm.max(across)]
    }

    /// The mean of the readings.
    pub fn mean(self) -> f64 {
        f64::midpoint(self.mm, self.across_mm.unwrap_or(self.mm))
    }
}

impl BushQuestion {
    /// What an only bush is called that has no name.
    pub const WITHOUT_NAME: &str = "the bush";

    /// What it is called in a sentence: `the bush of pin 2`, or `the bush` of an only one without a name.
    pub fn called(&self) -> String {
        called(&self.name)
    }

    /// What a reading is good to where nothing is said, in millimetres: as with a micrometer.
    pub const USUAL_WITHIN_MM: f64 = 0.01;

    /// What each reading is good to, in millimetres.
    pub fn within_mm(&self) -> f64 {
        self.within_mm.unwrap_or(Self::USUAL_WITHIN_MM)
    }
}

/// `the bush of pin 2`, or `the bush`.
pub(super) fn called(name: &str) -> String {
    if name == BushQuestion::WITHOUT_NAME { name.to_owned() } else { format!("the bush of {name}") }
}
