//! The project itself: its levels, its documents, published values.

/// The commit that a program tells it was built from.
mod commit;
/// The project's own documents: paths exist, descriptions are sound, every benchmark has its command.
mod documents;
/// How large the project is and how it is shaped.
mod figures;
/// Files that import one another in circles.
mod imports;
/// The public interface of the library.
mod interface;
/// Modules use only modules of lower levels.
mod levels;
/// The manual and the README say what the program does.
mod manual;
/// Rows of meshes are written in one place.
mod mesh_rows;
/// Printed values of published sources.
mod published;
/// Random tests: their number of cases, and what they found.
mod random_tests;
/// The sources as words and signs, for the tests that read them.
mod sources;
