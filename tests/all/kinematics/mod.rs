//! Speeds, ratios, formulas, every way to use a train, lessons and practice.

/// Every way to use a train against trying each with a dense solver.
mod exploration;
/// Formulas against the exact speeds, at the counts as described and at others; published ones.
mod formulas;
/// Formulas as they are written: read back, escaped, narrow.
mod formulas_shown;
/// Lessons: every line of arithmetic read back, all methods against the speeds, the drawn lever.
pub(crate) mod lesson;
/// Levers of basic sets against speeds.
mod levers;
/// The matrix of the meshes against the rolling of pitch circles, and its three readings against one another.
mod mesh_matrix;
/// Members that outrun the input against a search through all states.
mod overspeed;
/// Practice problems, read back from the printed sheet and solved by other means.
mod practice;
/// Speeds and ratios of random trains: substitution, relabelling, inversion, scaling.
mod properties;
