//! How far does the bore of a bush close when it is pressed in, and what do fit and clearance do with heat?
//!
//! Two rings under pressure at the surface where they touch, stress in their plane alone, after Lamé and Clapeyron
//! (1833), "Mémoire sur l'équilibre intérieur des corps solides homogènes". Rings that are round and of one thickness:
//! webs and teeth beside a bush stiffen its housing, so that the bore closes a little more than told. Lengths in
//! millimetres, on the diameter.

use super::material::ElasticMaterial;

/// A bush of one material in a housing of another, cold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressedRings {
    /// The bore of the bush.
    pub bore: f64,
    /// The diameter at which bush and housing touch.
    pub fit: f64,
    /// The outside diameter of the housing.
    pub housing: f64,
    /// What the bush is made of.
    pub bush: ElasticMaterial,
    /// What the housing is made of.
    pub into: ElasticMaterial,
}

impl PressedRings {
    /// The pressure between them with this interference, in newtons per square millimetre.
    ///
    /// `p = (delta / d_f) / [((D^2 + d_f^2) / (D^2 - d_f^2) + nu_h) / E_h + ((d_f^2 + d_i^2) / (d_f^2 - d_i^2) - nu_b) / E_b]`
    pub fn pressure(&self, interference: f64) -> f64 {
        let squares = [self.bore, self.fit, self.housing].map(|diameter| diameter * diameter);
        let [inner, fit, outer] = squares;
        // How much of its diameter each ring gives way by under a pressure of 1.
        let housing = ((outer + fit) / (outer - fit) + self.into.poisson) / self.into.modulus;
        let bush = ((fit + inner) / (fit - inner) - self.bush.poisson) / self.bush.modulus;
        interference / self.fit / (housing + bush)
    }

    /// The part of the interference by which the bore closes: `kappa = 2 p d_f^2 d_i / (E_b (d_f^2 - d_i^2)) / delta`.
    pub fn closing_share(&self) -> f64 {
        let [inner, fit] = [self.bore, self.fit].map(|diameter| diameter * diameter);
        2.0 * self.pressure(1.0) * fit * self.bore / (self.bush.modulus * (fit - inner))
    }

    /// How much the interference grows with so many kelvin: `(alpha_b - alpha_h) d_f dT`.
    pub fn interference_growth(&self, kelvin: f64) -> f64 {
        (self.bush.expansion_per_kelvin - self.into.expansion_per_kelvin) * self.fit * kelvin
    }

    /// How much the bore grows with so many kelvin: as free, less what the greater interference closes it by.
    ///
    /// `d_i alpha_b dT - kappa (alpha_b - alpha_h) d_f dT`: linear, and good to a micrometre or two. A bush that has let go
    /// opens no further than by what it was closed.
    pub fn bore_growth(&self, kelvin: f64, interference: f64) -> f64 {
        let free = self.bore * self.bush.expansion_per_kelvin * kelvin;
        free - self.closing_share() * self.interference_growth(kelvin).max(-interference)
    }

    /// By how much warmer the housing takes in the bush with 0.02 mm to spare: `(delta + 0.02) / (alpha_h d_f)`.
    pub fn drop_in_kelvin(&self, interference: f64) -> f64 {
        const TO_SPARE: f64 = 0.02;
        (interference + TO_SPARE) / (self.into.expansion_per_kelvin * self.fit)
    }
}
