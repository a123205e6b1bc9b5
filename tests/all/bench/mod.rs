//! Does what is told on the bench agree with printed values, and with plainer ways to find it?

/// Rotors: what may be left, what was found, where to drill.
mod balance;
/// What drags when the output turns in neutral.
mod neutral;
