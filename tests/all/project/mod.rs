//! The project itself: its levels, its documents, published values.

/// The project's own documents: paths exist, descriptions are sound, every benchmark has its command.
mod documents;
/// Modules use only modules of lower levels.
mod levels;
/// Printed values of published sources.
mod published;
