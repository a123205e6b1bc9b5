//! What teeth are, by what was measured of them, and how they fit.

/// Backlash on displaced pins and who carries first, by worked out values.
mod backlash;
/// The same backlash where wrong seatings are looked for.
mod backlash_of_seatings;
/// What a person reads of it, and what is refused.
mod backlash_shown;
/// The same by flanks brought into contact.
mod backlash_twin;
/// How teeth close on their pins.
mod closing;
/// Gears of known teeth, measured and identified.
mod identify;
/// The same as a person asks and is answered.
mod identify_asked;
/// Orders for whoever cuts gears.
mod order;
/// Clusters of several classes, cut as their sheets say.
mod order_classes;
/// Searches in which shift keeps the pin circle.
mod searching;
/// Distances at which pins could stand.
mod windows;
