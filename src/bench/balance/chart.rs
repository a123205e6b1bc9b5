//! How much does each drill take off at each depth?
//!
//! The formula of [`hole_grams`] for drills and depths at hand. Beside it stands a rule of the trade, that an inch of
//! half-inch drill is about 30 grams in iron or steel: common practice without a source, and a fifth more than it is.

use serde::Serialize;

use super::hole::hole_grams;
use super::material::DrilledMaterial;
use super::question::ChartQuestion;
use super::unbalance::GRAMS_PER_OUNCE;
use crate::gearset::MILLIMETRES_PER_INCH;

/// What drills take off.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct DrillChart {
    /// The material.
    pub material: DrilledMaterial,
    /// Its density.
    pub density_g_cm3: f64,
    /// The diameters of the drills, a column each.
    pub drills_mm: Vec<f64>,
    /// Each depth.
    pub rows: Vec<DrillChartRow>,
    /// What an inch of half-inch drill takes off.
    pub half_inch_g: f64,
    /// What a rule of the trade says that it takes off in iron or steel; none for other metals.
    pub half_inch_by_rule_g: Option<f64>,
}

/// What drills take off at one depth.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct DrillChartRow {
    /// The full depth, without the point.
    pub depth_mm: f64,
    /// For each drill.
    pub grams: Vec<f64>,
    /// The same in ounces.
    pub ounces: Vec<f64>,
}

/// About 30 grams.
const RULE: f64 = 30.0;
const USUAL_DRILLS: [f64; 6] = [6.0, 8.0, 10.0, 12.0, 12.7, 14.0];
const USUAL_DEPTHS: [f64; 9] = [3.0, 5.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0];

/// The chart of a material.
pub(super) fn chart(question: &ChartQuestion) -> DrillChart {
    let density = question.material.density();
    let or_usual = |given: &[f64], usual: &[f64]| if given.is_empty() { usual.to_vec() } else { given.to_vec() };
    let drills_mm = or_usual(&question.drills, &USUAL_DRILLS);
    let row = |depth_mm: f64| {
        let grams: Vec<f64> = drills_mm.iter().map(|drill| hole_grams(density, *drill, depth_mm)).collect();
        DrillChartRow { depth_mm, ounces: grams.iter().map(|grams| grams / GRAMS_PER_OUNCE).collect(), grams }
    };
    let is_of_rule = matches!(question.material, DrilledMaterial::CastIron | DrilledMaterial::Steel);
    DrillChart {
        material: question.material,
        density_g_cm3: density,
        rows: or_usual(&question.depths, &USUAL_DEPTHS).into_iter().map(row).collect(),
        drills_mm,
        half_inch_g: hole_grams(density, MILLIMETRES_PER_INCH / 2.0, MILLIMETRES_PER_INCH),
        half_inch_by_rule_g: is_of_rule.then_some(RULE),
    }
}
