//! How stiff are the materials of bushes and housings, and how do they grow with heat?
//!
//! Usual values of the handbooks at room temperature; alloys differ by a few per cent, which moves a fit by less than a
//! micrometre or two.

use crate::gearset::BushMaterial;

/// How stiff a material is, and how it grows with heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ElasticMaterial {
    /// The modulus of elasticity, in newtons per square millimetre.
    pub modulus: f64,
    /// The ratio of Poisson.
    pub poisson: f64,
    /// The growth of a length with heat, per kelvin.
    pub expansion_per_kelvin: f64,
}

/// How stiff a material is, and how it grows with heat.
pub fn elastic(material: BushMaterial) -> ElasticMaterial {
    let (modulus, poisson, expansion) = match material {
        BushMaterial::Steel => (206_000.0, 0.29, 11.5),
        BushMaterial::CastIron => (110_000.0, 0.26, 10.5),
        BushMaterial::Bronze => (105_000.0, 0.34, 18.0),
        BushMaterial::Brass => (103_400.0, 0.34, 19.0),
        BushMaterial::Aluminium => (70_000.0, 0.33, 23.0),
    };
    ElasticMaterial { modulus, poisson, expansion_per_kelvin: expansion * 1e-6 }
}
