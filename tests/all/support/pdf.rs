//! What did a browser print? Its PDF is read back: the size of every page and the straight lines on it, in millimetres.
//!
//! As much of the format as a browser writes: a page names its contents, these are one deflated stream of operators,
//! and a matrix (PDF 1.7, 8.3.4) takes their coordinates to points of 1/72 inch from the lower left corner.

use miniz_oxide::inflate::decompress_to_vec_zlib;

/// A printed page.
#[derive(Debug)]
pub(crate) struct PrintedPage {
    /// Width and height.
    pub(crate) size: [f64; 2],
    /// Straight lines from their beginning to their end, from the upper left corner.
    pub(crate) lines: Vec<[[f64; 2]; 2]>,
}

const MILLIMETRES_A_POINT: f64 = 25.4 / 72.0;

/// The pages of a PDF.
pub(crate) fn printed_pages(pdf: &[u8]) -> Vec<PrintedPage> {
    let text = String::from_utf8_lossy(pdf);
    let pages = text.split("/Type /Page\n").skip(1);
    let page = |page: &str| {
        let dictionary = page.split("endobj").next().expect("a page ends");
        let media = dictionary.split("/MediaBox [").nth(1).and_then(|rest| rest.split(']').next()).expect("its box");
        let corners: Vec<f64> = media.split_whitespace().map(|number| number.parse().expect("a number")).collect();
        assert_eq!(corners[..2], [0.0, 0.0], "a page begins at its corner");
        let contents = dictionary.split("/Contents ").nth(1).and_then(|rest| rest.split(' ').next());
        let height = corners[3];
        let placed = |[x, y]: [f64; 2]| [x * MILLIMETRES_A_POINT, (height - y) * MILLIMETRES_A_POINT];
        let lines = lines(&stream(pdf, contents.expect("its contents"))).into_iter().map(|line| line.map(placed));
        PrintedPage { size: [corners[2], height].map(|length| length * MILLIMETRES_A_POINT), lines: lines.collect() }
    };
    pages.map(page).collect()
}

/// The stream of an object, inflated.
fn stream(pdf: &[u8], object: &str) -> String {
    let object = after(pdf, format!("\n{object} 0 obj\n").as_bytes());
    let stream = decompress_to_vec_zlib(after(object, b" stream\n"));
    String::from_utf8_lossy(&stream.expect("it can be inflated")).into_owned()
}

/// What stands behind a mark.
fn after<'a>(bytes: &'a [u8], mark: &[u8]) -> &'a [u8] {
    let at = bytes.windows(mark.len()).position(|window| window == mark).expect("the mark is there");
    &bytes[at + mark.len()..]
}

/// The straight lines that are drawn, in points.
fn lines(operators: &str) -> Vec<[[f64; 2]; 2]> {
    let mut matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let (mut saved, mut lines, mut at) = (Vec::new(), Vec::new(), [0.0; 2]);
    let mut numbers: Vec<f64> = Vec::new();
    for word in operators.split_whitespace() {
        if let Ok(number) = word.parse() {
            numbers.push(number);
            continue;
        }
        match (word, numbers.as_slice()) {
            ("q", _) => saved.push(matrix),
            ("Q", _) => matrix = saved.pop().expect("what is restored was saved"),
            ("cm", &[a, b, c, d, x, y]) => {
                let ([ax, ay], [bx, by]) = (turned(matrix, [a, b]), turned(matrix, [c, d]));
                let [x, y] = moved(matrix, [x, y]);
                matrix = [ax, ay, bx, by, x, y];
            }
            ("m", &[x, y]) => at = moved(matrix, [x, y]),
            ("l", &[x, y]) => {
                let end = moved(matrix, [x, y]);
                lines.push([at, end]);
                at = end;
            }
            _ => {}
        }
        numbers.clear();
    }
    lines
}

fn turned([a, b, c, d, ..]: [f64; 6], [x, y]: [f64; 2]) -> [f64; 2] {
    [a * x + c * y, b * x + d * y]
}

fn moved(matrix: [f64; 6], point: [f64; 2]) -> [f64; 2] {
    let [x, y] = turned(matrix, point);
    [x + matrix[4], y + matrix[5]]
}
