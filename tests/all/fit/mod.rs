//! What teeth are, by what was measured of them.

/// How teeth close on their pins.
mod closing;
/// Gears of known teeth, measured and identified.
mod identify;
