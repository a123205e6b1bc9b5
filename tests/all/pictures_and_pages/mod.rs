//! Pictures, sheets and the page.

/// Trains laid out: their meshes have the backlash that is worked out for them.
mod closed_trains;
/// Paper discs: their marks reach the rim, they lie apart on the paper, their legends are those of the timing.
mod discs;
/// Drawn pictures: their outlines fit, their sizes are right, their pages join, their names are escaped.
mod drawings;
/// The page with gearsets that turn, as text and in a real browser.
mod page;
/// The file to print, as HTML and as the PDF of a real browser.
mod print;
/// The job sheet: well formed, complete in itself, safe from names.
mod sheet;
/// Outlines of teeth against the independent ones, and against rolling them.
mod tooth_forms;
