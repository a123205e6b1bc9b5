//! Pins out of their places and bushes with clearance, as they are told.
//!
//! What is told of a pin takes the place of what was measured of it.

use crate::gearset::PinOff;

/// How far a pin stands out of its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinError {
    /// The pin, counted from 1.
    pub pin: usize,
    /// How much further out than its circle it stands, in millimetres.
    pub outward_mm: f64,
    /// How far along its circle, in millimetres, counter-clockwise seen from the input side.
    pub ahead_mm: f64,
}

/// What is told of the pins of one kind of planet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PinErrors {
    /// Pins out of their places; of the others holds what was measured.
    pub pins: Vec<PinError>,
    /// For each pin the clearance of its bush on the diameter, in millimetres; empty where none is told.
    pub bush_clearances_mm: Vec<f64>,
}

impl PinErrors {
    /// Where pins are found, those of which something is told in place of what was measured, on a circle in
    /// millimetres.
    pub(super) fn place(
        &self,
        measured: Option<Vec<PinOff>>,
        circle: Option<f64>,
        pin_count: usize,
    ) -> Option<Vec<PinOff>> {
        let Some(circle) = circle.filter(|_| !self.pins.is_empty()) else { return measured };
        let mut found = measured.unwrap_or_default();
        found.resize(pin_count, PinOff { turns: 0.0, uncertainty: 0.0 });
        for told in &self.pins {
            if let Some(pin) = found.get_mut(told.pin.wrapping_sub(1)) {
                // An arc over the circumference of the circle is a part of a turn.
                *pin = PinOff { turns: told.ahead_mm / (std::f64::consts::TAU * circle), uncertainty: 0.0 };
            }
        }
        Some(found)
    }
}
