//! What several tests need: gearsets from files, runs of the program, random trains, outlines, pictures, a browser.

/// A real browser for the other tests.
pub(crate) mod browser;
/// Sets laid out seen along the main axis: which seatings overlap, and at what backlash one goes in.
pub(crate) mod face_view;
/// Flanks with jaws and pins laid on, knowing nothing of the library.
pub(crate) mod flanks;
/// A folder of a test.
pub(crate) mod folder;
/// Involute outlines and their overlap, knowing nothing of the library.
pub(crate) mod outlines;
/// What a browser printed, read back from its PDF.
pub(crate) mod pdf;
/// Pictures read back from their SVG, for the other tests.
pub(crate) mod pictures;
/// Runs the program for the other tests.
pub(crate) mod process;
/// How many cases random tests draw.
pub(crate) mod random;
/// Gearsets from the files of the project, and what is looked up in their answers, for the other tests.
pub(crate) mod sets;
/// Drawn gears turned until they touch.
pub(crate) mod touching;
/// Random trains for the other tests.
pub(crate) mod trains;
/// Values that files list, against what the library tells.
pub(crate) mod values;
/// Gears in space, and whether a tooth of one stands in a space of the other, knowing nothing of the library.
pub(crate) mod wheels;
