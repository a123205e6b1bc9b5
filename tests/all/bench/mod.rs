//! Does what is told on the bench agree with printed values, and with plainer ways to find it?

/// What drags when the output turns in neutral.
mod neutral;
