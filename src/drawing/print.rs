//! Every page and disc in one HTML page, a sheet of paper each, to be printed from a browser at its size.
//!
//! A browser that prints a picture alone makes it smaller to fit between its margins. Here the size of the paper is
//! given and there is no margin beside that of the sheets, so that a millimetre stays one.

use super::svg::number;
use super::{Drawings, Paper, Pictures};
use crate::gearset::Gearset;
use crate::syntax::markup;

/// One HTML page, complete in itself, of all pictures that have the size of the paper; `None` where there are none.
///
/// # Examples
/// ```
/// use toothmark::description;
/// use toothmark::drawing::{Paper, Pictures, Request, draw, print_page};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let discs = draw(&set, Request { paper: Paper::A4, only: Some(Pictures::Discs) });
/// let page = print_page(&set, &discs, Paper::A4).unwrap();
/// assert!(page.contains("@page { size: 210mm 297mm; margin: 0; }"));
/// let faces = draw(&set, Request { paper: Paper::A4, only: Some(Pictures::Faces) });
/// assert_eq!(print_page(&set, &faces, Paper::A4), None);
/// ```
pub fn print_page(set: &Gearset, drawings: &Drawings, paper: Paper) -> Option<String> {
    let sheets: Vec<String> = drawings
        .pictures
        .iter()
        .filter(|picture| picture.kind != Pictures::Faces)
        .enumerate()
        .map(|(index, picture)| format!("<div class=\"sheet\">\n{}</div>\n", with_own_ids(&picture.svg, index + 1)))
        .collect();
    let count = sheets.len();
    let plural = if count == 1 { "" } else { "s" };
    let title = markup(set.title());
    (count > 0).then(|| {
        format!(
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<title>{title}</title>\n\
             <style>{}</style>\n</head>\n<body>\n<p>{count} sheet{plural} of {}, to be printed at 100 percent: measure \
             the 100 mm line on the first.</p>\n{}</body>\n</html>\n",
            style(paper),
            paper.name(),
            sheets.concat()
        )
    })
}

fn style(paper: Paper) -> String {
    let [width, height] = paper.size().map(number);
    format!(
        "
@page {{ size: {width}mm {height}mm; margin: 0; }}
body {{ margin: 0; background: white; color: black; font: 11pt/1.4 sans-serif; }}
/* A sheet that is a hair higher than the paper would bring an empty one after it. */
.sheet {{ width: {width}mm; height: calc({height}mm - 0.1mm); overflow: hidden; }}
.sheet + .sheet {{ break-before: page; }}
svg {{ display: block; }}
@media print {{ p {{ display: none; }} }}
@media screen {{ p {{ margin: 4mm; }} .sheet {{ margin: 4mm; outline: 0.3mm solid gray; }} }}
"
    )
}

/// A picture whose patterns and window have ids that no other picture on the page has.
///
/// A name from a description has no plain quotes in a picture, so that none is met here.
fn with_own_ids(svg: &str, number: usize) -> String {
    let uses = [("fill", "rising"), ("fill", "falling"), ("clip-path", "window")];
    uses.iter().fold(svg.to_owned(), |svg, (key, id)| {
        svg.replace(&format!(" id=\"{id}\""), &format!(" id=\"{id}-{number}\""))
            .replace(&format!(" {key}=\"url(#{id})\""), &format!(" {key}=\"url(#{id}-{number})\""))
    })
}
