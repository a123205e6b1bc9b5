//! Sheets of paper discs: as many on a page as have room at their size, one side up on each sheet.
//!
//! Discs of all planets of a group lie on the same pages. One that is larger than a page has a sheet of its own, whose
//! pages are joined like those of a face view.

use super::Paper;
use super::disc::Disc;
use super::layout::Layout;
use super::notes;
use super::packing::{Beside, ORDERS, Packing, Piece, PiecePlace};
use super::pages::window;
use super::sheet::Sheet;
use crate::gearset::{Gearset, MemberId, Side};
use crate::timing::GroupTiming;

/// Round a disc on a sheet of its own, and between discs and the edge of a page, in millimetres.
const ROUND: f64 = 2.0;
/// The widths of words that are tried: three columns a page, two, and beside a large disc.
const WIDTHS: [f64; 3] = [56.0, 64.0, 82.0];

/// The discs of every planet of a group with the end of their file names.
pub(super) fn sheets(set: &Gearset, timed: &GroupTiming, layout: &Layout, paper: Paper) -> Vec<(String, Sheet)> {
    let of_side = |side: Side| {
        let disc = |mark| Disc::new(set, timed, layout, mark, side);
        let of_planet = |planet: &MemberId| {
            layout.marks.iter().filter(|mark| mark.planet == *planet).map(disc).collect::<Vec<Disc<'_>>>()
        };
        let discs: Vec<Vec<Disc<'_>>> = timed.planets.iter().map(of_planet).collect();
        let laid = densest(&discs, window(paper));
        let title = |of: &str| format!("{}: paper {of}, {} side up", set.title(), side.key());
        let together = laid.together(title("discs"), layout, window(paper));
        let single = |disc: &Disc<'_>| {
            let of = format!("disc of {}, pin {}", notes::quoted(set, disc.mark.planet), disc.mark.pin);
            single(disc, title(&of), layout)
        };
        let alone = laid.alone.iter().map(|(planet, disc)| {
            (format!("planet-{}-pin-{}-{}", planet + 1, disc.mark.pin, side.key()), single(disc))
        });
        together.map(|sheet| (format!("planets-{}", side.key()), sheet)).into_iter().chain(alone).collect::<Vec<_>>()
    };
    [Side::Input, Side::Output].into_iter().flat_map(of_side).collect()
}

/// Discs with their places on pages.
struct Laid<'a> {
    /// The greatest width of their words.
    width: f64,
    placed: Vec<(&'a Disc<'a>, PiecePlace)>,
    /// Those too large for a page, with the number of their planet.
    alone: Vec<(usize, &'a Disc<'a>)>,
    /// How many pages there are, and how far down the last of them is used.
    used: (usize, f64),
}

/// Of the ways to set the words, the one that takes the fewest pages, and the least of the last of them.
fn densest<'a>(discs: &'a [Vec<Disc<'a>>], window: [f64; 2]) -> Laid<'a> {
    let ways = WIDTHS.iter().flat_map(|&width| ORDERS.map(|order| (width, order)));
    let laid = ways.map(|(width, order)| lay(discs, window, width, order));
    let better = |best: Laid<'a>, other: Laid<'a>| {
        let pages = (other.alone.len(), other.used.0).cmp(&(best.alone.len(), best.used.0));
        if pages.then(other.used.1.total_cmp(&best.used.1)).is_lt() { other } else { best }
    };
    laid.reduce(better).expect("there are widths to try")
}

/// Lays the discs of each planet one after another.
fn lay<'a>(discs: &'a [Vec<Disc<'a>>], window: [f64; 2], width: f64, order: [Beside; 4]) -> Laid<'a> {
    let mut packing = Packing::new(window.map(|length| length - 2.0 * ROUND), order);
    let mut laid = Laid { width, placed: Vec::new(), alone: Vec::new(), used: (0, 0.0) };
    for (planet, discs) in discs.iter().enumerate() {
        // What has no room before the place of a disc has none for the next of the same size.
        let mut from = (0, 0.0);
        for (disc, piece) in discs.iter().zip(pieces(discs, width)) {
            if let Some(place) = packing.place(&piece, from) {
                from = (place.page, place.center[1]);
                laid.placed.push((disc, place));
            } else {
                laid.alone.push((planet, disc));
            }
        }
    }
    laid.used = packing.used();
    laid
}

/// What has to find room of each disc, with room for the longest words of any.
fn pieces(discs: &[Disc<'_>], width: f64) -> Vec<Piece> {
    let pieces: Vec<Piece> = discs.iter().map(|disc| disc.piece(width)).collect();
    let longest = [0, 1].map(|axis| pieces.iter().map(|piece| piece.words[axis]).fold(0.0, f64::max));
    pieces.into_iter().map(|piece| Piece { words: longest, ..piece }).collect()
}

impl Laid<'_> {
    /// The sheet of all discs that fit on a page, page below page.
    fn together(&self, title: String, layout: &Layout, window: [f64; 2]) -> Option<Sheet> {
        let pages = f64::from(u32::try_from(self.used.0).unwrap_or(u32::MAX));
        let size = [window[0], pages * window[1]];
        let mut sheet = Sheet { size, overlap: 0.0, ..Sheet::new(title, layout.least_module()) };
        for (disc, place) in &self.placed {
            let above = f64::from(u32::try_from(place.page).unwrap_or(u32::MAX)) * window[1];
            let on_sheet = |[x, y]: [f64; 2]| [x + ROUND, y + ROUND + above];
            disc.draw(&mut sheet, on_sheet(place.center));
            disc.words(&mut sheet, on_sheet(place.words.corner), self.width);
        }
        (!self.placed.is_empty()).then_some(sheet)
    }
}

/// A sheet of one disc, to be joined of several pages.
fn single(disc: &Disc<'_>, title: String, layout: &Layout) -> Sheet {
    let width = WIDTHS[2];
    let piece = disc.piece(width);
    let beside = piece.tab.map_or(0.0, |tab| tab.size[0]);
    let across = 2.0 * (piece.radius + ROUND);
    let size = [(across + 2.0 * beside).max(piece.words[0] + 2.0 * ROUND), across + piece.words[1] + ROUND];
    let mut sheet = Sheet { size, ..Sheet::new(title, layout.least_module()) };
    disc.draw(&mut sheet, [size[0] / 2.0, across / 2.0]);
    disc.words(&mut sheet, [ROUND, across], width);
    sheet
}
