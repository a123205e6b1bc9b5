//! A sheet cut into pages of paper that are printed and joined.
//!
//! Every page shows a window of the sheet. Windows of neighbouring pages overlap, and crosses stand
//! in the middle of the overlap, so that each is printed on all pages that meet there. A ruler of
//! 100 mm on every page shows whether the printer keeps the size. Windows with nothing in them
//! become no page.

use super::Paper;
use super::numbers::short;
use super::sheet::{Anchor, Pen, Shape, Sheet, shortened};
use super::svg::{Svg, number};
use super::write::{begin, draw};

/// Paper beside the window, in millimetres: printers leave an edge.
const SIDE: f64 = 8.0;
/// Paper above the window, for the heading.
const TOP: f64 = 18.0;
/// Paper below the window, for the ruler.
const BOTTOM: f64 = 24.0;
/// The length of the ruler, in millimetres.
const RULER: f64 = 100.0;
/// More pages than this nobody joins.
const MOST: usize = 60;

/// A page.
pub(super) struct PaperPage {
    /// Counted from 1.
    pub(super) row: usize,
    /// Counted from 1.
    pub(super) column: usize,
    pub(super) svg: String,
}

/// A sheet would take more pages than this.
#[derive(Debug)]
pub(super) struct TooMany(pub(super) usize);

/// Width and height of what a page shows of a sheet, in millimetres.
pub(super) fn window(paper: Paper) -> [f64; 2] {
    let [width, height] = paper.size();
    [width - 2.0 * SIDE, height - TOP - BOTTOM]
}

/// The pages of a sheet, row by row.
pub(super) fn pages(sheet: &Sheet, paper: Paper) -> Result<Vec<PaperPage>, TooMany> {
    let window = window(paper);
    let [columns, rows] = [0, 1].map(|axis| windows(sheet.size[axis], window[axis] - sheet.overlap, sheet.overlap));
    if columns.saturating_mul(rows) > MOST {
        return Err(TooMany(MOST));
    }
    let mut tiles = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let corner = [start(column, window[0] - sheet.overlap), start(row, window[1] - sheet.overlap)];
            let shapes: Vec<&Shape> = sheet.shapes.iter().filter(|shape| meets(shape, corner, window)).collect();
            if !shapes.is_empty() {
                tiles.push(Tile { row, column, rows, columns, corner, shapes });
            }
        }
    }
    let count = tiles.len();
    let page = |(index, tile): (usize, &Tile<'_>)| PaperPage {
        row: tile.row + 1,
        column: tile.column + 1,
        svg: tile.svg(sheet, paper, &format!("page {} of {count}", index + 1)),
    };
    Ok(tiles.iter().enumerate().map(page).collect())
}

/// How many windows a length takes that begin so far from one another.
fn windows(length: f64, step: f64, overlap: f64) -> usize {
    (1..=MOST).find(|&count| start(count, step) + overlap >= length).unwrap_or(MOST + 1)
}

/// Where a window begins.
fn start(index: usize, step: f64) -> f64 {
    f64::from(u32::try_from(index).unwrap_or(u32::MAX)) * step
}

fn meets(shape: &Shape, corner: [f64; 2], window: [f64; 2]) -> bool {
    let [least, greatest] = shape.bounds();
    [0, 1].into_iter().all(|axis| greatest[axis] > corner[axis] && least[axis] < corner[axis] + window[axis])
}

/// What one page shows.
struct Tile<'a> {
    row: usize,
    column: usize,
    rows: usize,
    columns: usize,
    corner: [f64; 2],
    shapes: Vec<&'a Shape>,
}

impl Tile<'_> {
    fn svg(&self, sheet: &Sheet, paper: Paper, number_of_page: &str) -> String {
        let mut svg = Svg::default();
        let window = window(paper);
        begin(&mut svg, paper.size(), &format!("{}, {number_of_page}", sheet.title));
        let [w, h] = window.map(number);
        svg.open("clipPath", &[("id", "window".into())]);
        let area = [("x", number(SIDE)), ("y", number(TOP)), ("width", w), ("height", h)];
        svg.empty("rect", &area);
        svg.close("clipPath");
        svg.open("g", &[("clip-path", "url(#window)".into())]);
        let moved = format!("translate({} {})", number(SIDE - self.corner[0]), number(TOP - self.corner[1]));
        svg.open("g", &[("transform", moved)]);
        for shape in &self.shapes {
            draw(&mut svg, shape, sheet.weight);
        }
        svg.close("g");
        svg.close("g");
        for shape in self.surroundings(sheet, paper, number_of_page).shapes {
            draw(&mut svg, &shape, 1.0);
        }
        svg.close("svg");
        svg.finish()
    }

    /// Heading, frame, crosses and ruler.
    fn surroundings(&self, sheet: &Sheet, paper: Paper, number_of_page: &str) -> Sheet {
        let [width, height] = window(paper);
        let mut around = Sheet::new(String::new(), 1.0);
        around.bold([SIDE, 10.5], 3.4, Anchor::Start, shortened(&sheet.title, 3.4, width * 0.95));
        let place = if self.is_joined(sheet) {
            format!(": row {} of {}, column {} of {}", self.row + 1, self.rows, self.column + 1, self.columns)
        } else {
            String::new()
        };
        around.words([SIDE, 15.5], 3.0, Anchor::Start, format!("{number_of_page}{place}; paper {}", paper.name()));
        if self.is_joined(sheet) {
            let how = "join the pages so that the crosses fall on one another";
            around.words([SIDE + width, 15.5], 3.0, Anchor::End, how);
        }
        let corners = [[SIDE, TOP], [SIDE + width, TOP], [SIDE + width, TOP + height], [SIDE, TOP + height]];
        for (at, &corner) in corners.iter().enumerate() {
            around.line(corner, corners[(at + 1) % 4], Pen::Thin);
        }
        if self.is_joined(sheet) {
            crosses(&mut around, [width, height], sheet.overlap);
        }
        ruler(&mut around, TOP + height + 9.0);
        around
    }

    fn is_joined(&self, sheet: &Sheet) -> bool {
        sheet.overlap > 0.0 && self.rows * self.columns > 1
    }
}

/// A cross near every corner: where windows overlap, in the middle of the overlap, so that every
/// page that meets there has it at the same place of the sheet.
fn crosses(around: &mut Sheet, window: [f64; 2], overlap: f64) {
    for x in [overlap / 2.0, window[0] - overlap / 2.0] {
        for y in [overlap / 2.0, window[1] - overlap / 2.0] {
            around.cross([SIDE + x, TOP + y], 3.0);
        }
    }
}

/// A ruler with a tick every 10 mm.
fn ruler(around: &mut Sheet, y: f64) {
    around.line([SIDE, y], [SIDE + RULER, y], Pen::Outline);
    for tick in 0..=10 {
        let x = SIDE + RULER / 10.0 * f64::from(tick);
        around.line([x, y], [x, y - if tick % 5 == 0 { 4.0 } else { 2.5 }], Pen::Thin);
        if tick % 5 == 0 {
            around.words([x, y + 4.0], 3.0, Anchor::Middle, short(RULER / 10.0 * f64::from(tick), 0));
        }
    }
    let at = SIDE + RULER + 8.0;
    around.words([at, y - 1.5], 3.0, Anchor::Start, "This line is 100 mm long. If it is not on");
    around.words([at, y + 2.5], 3.0, Anchor::Start, "your paper, print again at 100 percent,");
    around.words([at, y + 6.5], 3.0, Anchor::Start, "without fitting to the page.");
}
