//! Descriptions: what is read, refused and written, and the facts of the built-in gearsets.

/// Numbers of any size in any place.
mod any_size;
/// Dial readings of backlash in a description.
mod dial;
/// Every file of `gearsets/` against its listed facts, and further vectors.
mod gearset_facts;
/// What is worth a second look, kind by kind.
mod inspection;
/// Which tooth count is wrong, with sets worked out by hand.
mod miscount;
/// The same against every change tried by plain means.
mod miscount_twin;
/// One tiny file a problem, with the message that it gets.
mod rejected;
/// Writing a description and reading it again.
mod round_trip;
