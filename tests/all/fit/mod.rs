//! What teeth are, by what was measured of them.

/// Gears of known teeth, measured and identified.
mod identify;
