//! A gearset on paper: SVG pictures of exact size, in millimetres.
//!
//! [`draw`] gives every picture as a file name and its text; nothing is written here. `page` is the moving picture. A
//! group of planets is laid out by `layout`, its pictures are composed on sheets by `face` and `disc`, and a sheet
//! larger than the paper is cut into pages by `pages`; `print` puts them into one file. Line styles, not colours, tell
//! things apart, and every picture says from which side it is seen.

mod chart;
mod disc;
mod discs;
mod face;
mod layout;
mod lever;
mod notes;
mod numbers;
mod overview;
mod packing;
#[cfg(feature = "report")]
pub mod page;
mod pages;
mod phases;
mod print;
mod rotor;
mod seating;
mod sheet;
mod slug;
mod svg;
mod write;

use crate::gearset::{Gearset, Side};
use crate::timing::{GroupTiming, timing};

pub use chart::{ChartScale, Charted, chart};
pub use layout::{Layout, MeshMisfit, NotDrawn, PlacedGear, PlacedMark, layout};
pub use lever::lever;
pub use print::print_page;
pub use rotor::rotor_pictures;

/// What is to be drawn, and on what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Request {
    /// The paper of the pages.
    pub paper: Paper,
    /// Which pictures; `None` for all.
    pub only: Option<Pictures>,
}

/// A size of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm.
    A4,
    /// 8.5 x 11 in, 215.9 x 279.4 mm.
    Letter,
}

impl Paper {
    /// Width and height, in millimetres.
    pub fn size(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::Letter => [215.9, 279.4],
        }
    }

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "US letter",
        }
    }
}

/// A kind of pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pictures {
    /// The face views, each whole.
    Faces,
    /// The face views cut into pages of paper.
    Pages,
    /// Paper discs of each planet to cut out, cut into pages as well.
    Discs,
}

/// The pictures of a gearset.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawings {
    /// The pictures, group by group.
    pub pictures: Vec<Picture>,
    /// What could not be drawn, or not as it should stand, in words.
    pub remarks: Vec<String>,
}

/// One picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// What it is: pages and discs have the size of the paper.
    pub kind: Pictures,
    /// A file name of plain letters, ending in `.svg`.
    pub file_name: String,
    /// The picture.
    pub svg: String,
}

/// Draws every group of planets of a gearset.
///
/// # Examples
/// ```
/// use toothmark::description;
/// use toothmark::drawing::{Paper, Pictures, Request, draw};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let drawings = draw(&set, Request { paper: Paper::A4, only: Some(Pictures::Faces) });
/// assert!(drawings.remarks.is_empty());
/// assert_eq!(drawings.pictures[0].file_name, "face-cluster-plane-1.svg");
/// ```
pub fn draw(set: &Gearset, request: Request) -> Drawings {
    let mut drawings = Drawings { pictures: Vec::new(), remarks: Vec::new() };
    let wanted = |pictures| request.only.is_none_or(|only| only == pictures);
    for (group, timed) in set.planet_groups().iter().zip(&timing(set).groups) {
        let stem = drawings.unused_stem(&slug::group(set, timed));
        let layout = match layout(set, group, timed) {
            Ok(layout) => layout,
            Err(reason) => {
                drawings.remarks.push(format!(
                    "{} is not drawn: {}",
                    notes::group_name(set, timed),
                    notes::reason(set, &reason)
                ));
                continue;
            }
        };
        drawings.remarks.extend(misfit_remark(set, timed, &layout));
        if wanted(Pictures::Faces) {
            for (name, sheet) in face::sheets(set, timed, &layout, &[Side::Input, Side::Output]) {
                drawings.add(Pictures::Faces, format!("face-{stem}-{name}.svg"), write::whole(&sheet));
            }
        }
        if wanted(Pictures::Pages) {
            for side in [Side::Input, Side::Output] {
                for (name, sheet) in face::sheets(set, timed, &layout, &[side]) {
                    let name = format!("page-{stem}-{name}-{}", side.key());
                    drawings.add_pages(Pictures::Pages, &name, &sheet, request.paper);
                }
            }
        }
        if wanted(Pictures::Discs) {
            for (name, sheet) in discs::sheets(set, timed, &layout, request.paper) {
                drawings.add_pages(Pictures::Discs, &format!("disc-{stem}-{name}"), &sheet, request.paper);
            }
        }
    }
    if set.planet_groups().is_empty() {
        drawings.remarks.push("no planets are described, so there is nothing to draw".into());
    }
    drawings
}

/// A small picture of a group for a sheet of text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroupPicture {
    /// Which group it shows: its planets, their carrier and how many pins.
    pub group: String,
    /// The picture, 145 mm wide and at most 78 mm high.
    pub svg: String,
}

/// A small picture of each group that can be drawn, with all its planes over each other, not to scale.
///
/// # Examples
/// ```
/// use toothmark::{description, drawing::overviews};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// assert_eq!(overviews(&set)[0].group, "\"cluster\" on \"flywheel\", 3 pins");
/// ```
pub fn overviews(set: &Gearset) -> Vec<GroupPicture> {
    let groups = set.planet_groups().iter().zip(timing(set).groups);
    let overview = |(group, timed): (_, GroupTiming)| {
        let layout = layout(set, group, &timed).ok()?;
        let svg = write::whole(&overview::sheet(set, &timed, &layout));
        Some(GroupPicture { group: notes::group_name(set, &timed), svg })
    };
    groups.filter_map(overview).collect()
}

/// What the remarks say of a group that is not right as drawn, or not beside other planets.
fn misfit_remark(set: &Gearset, timed: &GroupTiming, layout: &Layout) -> Option<String> {
    let group = notes::group_name(set, timed);
    let misfit = layout.worst_misfit().map(|worst| notes::misfit(set, worst));
    Some(match (timed.pins_assemble(), misfit) {
        (true, Some(misfit)) => format!("{group} is drawn with a mesh that is not right: {misfit}"),
        (true, None) if timed.assembles => return None,
        (true, None) => format!("{group} does not go in beside planets of another kind"),
        (false, misfit) => {
            let misfit = misfit.unwrap_or_else(|| notes::UNSEEN_MISFIT.into());
            format!("{group} does not go together: it is drawn as close as it comes, {misfit}")
        }
    })
}

impl Drawings {
    fn add(&mut self, kind: Pictures, file_name: String, svg: String) {
        self.pictures.push(Picture { kind, file_name, svg });
    }

    fn add_pages(&mut self, kind: Pictures, stem: &str, sheet: &sheet::Sheet, paper: Paper) {
        match pages::pages(sheet, paper) {
            Ok(pages) => {
                for page in pages {
                    self.add(kind, format!("{stem}-row-{}-column-{}.svg", page.row, page.column), page.svg);
                }
            }
            Err(pages::TooMany(most)) => {
                let instead = if kind == Pictures::Discs {
                    "mark the planets themselves by the degrees and teeth that toothmark timing tells"
                } else {
                    "print the whole picture on a plotter (--only faces)"
                };
                let paper = paper.name();
                self.remarks
                    .push(format!("{stem}: more than {most} pages of {paper} would be too many to join; {instead}"));
            }
        }
    }

    /// The stem, with a number behind it where an earlier group has the same.
    fn unused_stem(&self, stem: &str) -> String {
        let used = |stem: &str| {
            let starts = ["face", "page", "disc"].map(|kind| format!("{kind}-{stem}-"));
            self.pictures.iter().any(|picture| starts.iter().any(|start| picture.file_name.starts_with(start)))
        };
        let numbered = (2..).map(|number| format!("{stem}-{number}"));
        std::iter::once(stem.to_owned()).chain(numbered).find(|stem| !used(stem)).unwrap_or_default()
    }
}
