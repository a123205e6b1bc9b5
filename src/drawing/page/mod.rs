//! A page with gearsets that turn, for a browser, complete in itself.
//!
//! Each gearset is a section with its pictures, controls and table. The page carries exact
//! fractions; its script (`page.js`) works every angle out of them anew and keeps no angle as a
//! float, so that teeth stay in mesh however long they turn. Nothing is loaded, and the page's own
//! policy forbids it. Names are text in the markup (`svg`) and in the data (`data`).

mod data;
mod figure;
mod lever;
mod rims;
mod section;
mod words;

use super::layout::{Layout, NotDrawn, layout};
use super::notes;
use super::svg::Svg;
use crate::gearset::{Gearset, MemberId, Place, PlanetGroup};
use crate::syntax::markup;
use crate::timing::{GroupTiming, timing};

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");
/// Large type, black on white or white on black, pictures first.
const PROJECTOR: &str = "<button type=\"button\" class=\"projector\" aria-pressed=\"false\">for a projector</button>";

/// A gearset of a page.
#[derive(Debug, Clone)]
pub struct PageSet<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// What stands below all else, in this order.
    pub extras: Vec<Extra>,
}

/// A further part of a section, already as HTML.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Extra {
    /// Its heading, as plain text, at which the part opens.
    pub heading: String,
    /// The part as HTML, taken as it is: names in it have to be escaped, and ids to be none.
    pub html: String,
    /// The state, by its place in [`Gearset::states`], in which alone it is shown; `None` for all.
    pub state: Option<usize>,
}

/// A page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovingPage {
    /// The text of the page.
    pub html: String,
    /// What could not be drawn, or not as it should stand, in words.
    pub remarks: Vec<String>,
}

/// The page of some gearsets, side by side.
///
/// # Examples
/// ```
/// use toothmark::{description, drawing::page::{PageSet, page}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let page = page(&[PageSet { set: &set, extras: Vec::new() }]);
/// assert!(page.remarks.is_empty());
/// // What the band has to hold for a torque of 1 on the input.
/// assert!(page.html.contains("310/171 = 1.81287"));
/// ```
pub fn page(sets: &[PageSet<'_>]) -> MovingPage {
    let mut remarks = Vec::new();
    let mut body = Svg::default();
    for (number, of_page) in sets.iter().enumerate() {
        let groups = groups(of_page.set);
        remarks.extend(groups.iter().filter_map(|group| group.remark(of_page.set)));
        section::section(&mut body, number + 1, of_page, &groups);
    }
    let titles: Vec<&str> = sets.iter().map(|of_page| of_page.set.title()).collect();
    let title = markup(&titles.join("; "));
    let html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src 'unsafe-inline'\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"color-scheme\" content=\"light dark\"/>\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<p class=\"bar whole\">{PROJECTOR}</p>\n<main>\n{}</main>\n\
         <script>\n{SCRIPT}</script>\n</body>\n</html>\n",
        body.finish()
    );
    MovingPage { html, remarks }
}

/// A group of planets as far as it can be drawn.
struct PageGroup {
    timed: GroupTiming,
    /// The members on the main axis that it shows.
    members: Vec<MemberId>,
    layout: Result<Layout, NotDrawn>,
}

fn groups(set: &Gearset) -> Vec<PageGroup> {
    let timed = timing(set).groups;
    let groups = set.planet_groups().iter().zip(timed);
    let mut groups: Vec<PageGroup> = groups.map(|(group, timed)| page_group(set, group, timed)).collect();
    let shown: Vec<MemberId> = groups.iter().flat_map(|group| group.members.iter().copied()).collect();
    // A member without a gear and without pins stands round the first group.
    let others = set.member_ids().filter(|&member| is_on_main_axis(set, member) && !shown.contains(&member));
    if let Some(first) = groups.first_mut() {
        first.members.extend(others);
    }
    groups
}

/// A group laid out, with its carrier and the members of its gears.
fn page_group(set: &Gearset, group: &PlanetGroup, timed: GroupTiming) -> PageGroup {
    let gears = group.meshes().iter().flat_map(|&mesh| set.mesh(mesh).gears().each());
    let of_gears: Vec<MemberId> = gears.map(|gear| set.gear(gear).member()).collect();
    let is_shown = |member: &MemberId| *member == timed.carrier || of_gears.contains(member);
    let members = set.member_ids().filter(|&member| is_on_main_axis(set, member)).filter(is_shown).collect();
    let layout = layout(set, group, &timed);
    PageGroup { timed, members, layout }
}

fn is_on_main_axis(set: &Gearset, member: MemberId) -> bool {
    *set.member(member).place() == Place::MainAxis
}

impl PageGroup {
    /// What is not as it should be.
    fn remark(&self, set: &Gearset) -> Option<String> {
        let name = notes::group_name(set, &self.timed);
        match &self.layout {
            Err(reason) => Some(format!("{name} is not drawn: {}", notes::reason(set, reason))),
            Ok(layout) => notes::warning(set, &self.timed, layout).map(|warning| format!("{name}: {warning}")),
        }
    }
}

/// The beginning of a part with a name of its own.
fn open_group(html: &mut Svg, class: &str, label: &str) {
    html.open("div", &[("class", class.into()), ("role", "group".into()), ("aria-label", label.into())]);
}
