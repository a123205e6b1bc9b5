//! Where do paper discs and their words lie on pages, without touching each other or the edge?
//!
//! First fit on a grid: page by page, row by row from the top and in a row from the left, each disc takes the first
//! place where it and its words touch nothing that lies there already. Round things nest: of three discs too wide to
//! stand two abreast, the second lies between the first and the third. Nothing is turned, made smaller or cut.

/// From one place to the next, in millimetres.
const GRID: f64 = 1.0;
/// Paper between two things, in millimetres.
const GAP: f64 = 2.0;

/// A disc with what goes with it, in millimetres.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) radius: f64,
    /// A tab on the rim, as a box about the centre of the disc.
    pub(super) tab: Option<Rectangle>,
    /// Width and height of the words beside it.
    pub(super) words: [f64; 2],
}

/// A box with upright sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rectangle {
    /// Its upper left corner.
    pub(super) corner: [f64; 2],
    pub(super) size: [f64; 2],
}

/// Where a piece lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PiecePlace {
    /// Counted from 0.
    pub(super) page: usize,
    /// The centre of the disc on its page.
    pub(super) center: [f64; 2],
    /// Where its words stand on that page.
    pub(super) words: Rectangle,
}

/// A side of a disc where its words may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Beside {
    Right,
    Left,
    Below,
    /// Below, with the right ends of both under each other.
    BelowFlushRight,
    Above,
}

/// Orders in which the sides of a disc are tried for its words.
pub(super) const ORDERS: [[Beside; 4]; 3] = [
    [Beside::Right, Beside::Left, Beside::Below, Beside::Above],
    [Beside::Right, Beside::BelowFlushRight, Beside::Left, Beside::Above],
    [Beside::Below, Beside::Right, Beside::Left, Beside::Above],
];

/// Pages of one size that are filled one after another.
pub(super) struct Packing {
    window: [f64; 2],
    order: [Beside; 4],
    placed: Vec<(PiecePlace, Piece)>,
}

impl Packing {
    pub(super) fn new(window: [f64; 2], order: [Beside; 4]) -> Self {
        Self { window, order, placed: Vec::new() }
    }

    /// Lays a piece, not before this page and height; `None` where it is too large for an empty page.
    pub(super) fn place(&mut self, piece: &Piece, from: (usize, f64)) -> Option<PiecePlace> {
        // The page behind the last one used is empty.
        let last = self.placed.iter().map(|(place, _)| place.page + 1).max().unwrap_or(0).max(from.0);
        let place =
            (from.0..=last).find_map(|page| self.on_page(page, piece, if page == from.0 { from.1 } else { 0.0 }))?;
        self.placed.push((place, piece.clone()));
        Some(place)
    }

    /// The first free place on a page.
    fn on_page(&self, page: usize, piece: &Piece, top: f64) -> Option<PiecePlace> {
        let there: Vec<&(PiecePlace, Piece)> = self.placed.iter().filter(|(place, _)| place.page == page).collect();
        let [columns, rows] = self.window.map(|length| steps(length - 2.0 * piece.radius));
        let center = |(row, column): (u32, u32)| [column, row].map(|step| piece.radius + GRID * f64::from(step));
        let is_below_top = |row: &u32| center((*row, 0))[1] >= top;
        let grid = (0..rows).filter(is_below_top).flat_map(|row| (0..columns).map(move |column| (row, column)));
        let free = |center: &[f64; 2]| self.is_free(piece, *center, &there);
        grid.map(center).filter(free).find_map(|center| {
            let words = self.words(piece, center, &there)?;
            Some(PiecePlace { page, center, words })
        })
    }

    /// Whether a disc and its tab can lie here.
    fn is_free(&self, piece: &Piece, center: [f64; 2], there: &[&(PiecePlace, Piece)]) -> bool {
        let clear_of_disc = there.iter().all(|(place, other)| {
            let [x, y] = [0, 1].map(|axis| place.center[axis] - center[axis]);
            x.hypot(y) >= piece.radius + other.radius + GAP
        });
        clear_of_disc
            && there.iter().all(|(place, other)| other.boxes(place).all(|taken| taken.misses(center, piece.radius)))
            && piece.tab_at(center).is_none_or(|tab| self.is_clear(tab, there))
    }

    /// Whether a box is on the page and touches nothing there.
    fn is_clear(&self, rectangle: Rectangle, there: &[&(PiecePlace, Piece)]) -> bool {
        let inside = [0, 1].into_iter().all(|axis| {
            rectangle.corner[axis] >= 0.0 && rectangle.corner[axis] + rectangle.size[axis] <= self.window[axis]
        });
        inside
            && there.iter().all(|(place, other)| {
                rectangle.misses(place.center, other.radius)
                    && other.boxes(place).all(|taken| taken.is_apart(&rectangle))
            })
    }

    /// How many pages are used, and how far down the last of them.
    pub(super) fn used(&self) -> (usize, f64) {
        let end = |(place, piece): &(PiecePlace, Piece)| {
            (place.page + 1, (place.center[1] + piece.radius).max(place.words.corner[1] + place.words.size[1]))
        };
        let ends = self.placed.iter().map(end);
        ends.fold((0, 0.0), |last, end| if end.0 > last.0 || (end.0 == last.0 && end.1 > last.1) { end } else { last })
    }

    /// Where the words of a disc have room.
    fn words(&self, piece: &Piece, center: [f64; 2], there: &[&(PiecePlace, Piece)]) -> Option<Rectangle> {
        let tab = piece.tab_at(center);
        let corners = self.order.into_iter().flat_map(|side| piece.corners(side, center));
        let words = corners.map(|corner| Rectangle { corner, size: piece.words });
        words.filter(|words| tab.is_none_or(|tab| tab.is_apart(words))).find(|words| self.is_clear(*words, there))
    }
}

impl Piece {
    /// The corners that the words may have on a side of the disc.
    fn corners(&self, side: Beside, [x, y]: [f64; 2]) -> [[f64; 2]; 3] {
        let ([width, height], radius) = (self.words, self.radius);
        let tops = [y - radius, y - height / 2.0, y + radius - height];
        let lefts = [x - width / 2.0, x - radius, x + radius - width];
        match side {
            Beside::Right => tops.map(|top| [x + radius + GAP, top]),
            Beside::Left => tops.map(|top| [x - radius - GAP - width, top]),
            Beside::Below => lefts.map(|left| [left, y + radius + GAP]),
            Beside::BelowFlushRight => [[lefts[2], y + radius + GAP]; 3],
            Beside::Above => lefts.map(|left| [left, y - radius - GAP - height]),
        }
    }

    fn tab_at(&self, center: [f64; 2]) -> Option<Rectangle> {
        self.tab.map(|tab| Rectangle { corner: [0, 1].map(|axis| center[axis] + tab.corner[axis]), ..tab })
    }

    /// The boxes of a piece that has been laid.
    fn boxes(&self, place: &PiecePlace) -> impl Iterator<Item = Rectangle> {
        std::iter::once(place.words).chain(self.tab_at(place.center))
    }
}

impl Rectangle {
    /// Whether a circle stays clear of the box.
    fn misses(&self, center: [f64; 2], radius: f64) -> bool {
        let [x, y] = [0, 1].map(|axis| {
            let nearest = center[axis].clamp(self.corner[axis], self.corner[axis] + self.size[axis]);
            center[axis] - nearest
        });
        x.hypot(y) >= radius + GAP - 1e-9
    }

    fn is_apart(&self, other: &Self) -> bool {
        let behind = |a: &Self, b: &Self, axis: usize| a.corner[axis] + a.size[axis] + GAP <= b.corner[axis];
        [0, 1].into_iter().any(|axis| behind(self, other, axis) || behind(other, self, axis))
    }
}

/// How many places a grid has on a length; none where it is negative.
fn steps(length: f64) -> u32 {
    const MOST: u32 = 1000;
    if length < 0.0 { 0 } else { (1..MOST).find(|&step| GRID * f64::from(step) > length).unwrap_or(MOST) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn disc(radius: f64) -> Piece {
        Piece { radius, tab: None, words: [50.0, 20.0] }
    }

    #[test]
    fn three_discs_too_wide_to_stand_abreast_nest_on_one_page() {
        let mut packing = Packing::new([194.0, 255.0], ORDERS[0]);
        let places = [(); 3].map(|()| packing.place(&disc(54.0), (0, 0.0)).expect("it fits"));
        assert!(places.iter().all(|place| place.page == 0), "{places:?}");
        assert!(2.0 * 54.0 * 2.0 > 194.0 && places[1].center[0] > places[0].center[0], "{places:?}");
    }

    #[test]
    fn what_fits_on_no_page_is_not_placed() {
        let mut packing = Packing::new([194.0, 255.0], ORDERS[0]);
        assert_eq!(packing.place(&disc(98.0), (0, 0.0)), None);
        assert_eq!(packing.place(&Piece { words: [195.0, 4.0], ..disc(20.0) }, (0, 0.0)), None);
        assert!(packing.place(&disc(90.0), (0, 0.0)).is_some_and(|place| place.page == 0), "below its disc");
        assert!(packing.place(&disc(90.0), (0, 0.0)).is_some_and(|place| place.page == 1), "on the next page");
    }
}
