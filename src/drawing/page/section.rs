//! The section of a gearset: pictures, controls, what is said, table, further parts.
//!
//! Everything that the script fills in or answers to is an element here with a class that says
//! what it is; ids begin with that of the section. Controls are plain buttons and fields.

use super::data::data;
use super::figure::{Figure, rims_alone};
use super::lever::diagrams;
use super::rims::{hue, legend};
use super::{Extra, PageGroup, PageSet, open_group};
use crate::drawing::layout::Layout;
use crate::drawing::notes;
use crate::drawing::svg::{Attributes, Svg};
use crate::gearset::{Gearset, MemberId, Place};

/// What is said of the picture, and of what it does not show.
const CAUTION: &str = "This is a picture of motion: it proves no gear strong enough. Before you turn real gears by \
                       hand, stop the engine and see that it cannot start; keep fingers, sleeves and rags \
                       clear of the teeth.";

pub(super) fn section(html: &mut Svg, number: usize, of_page: &PageSet<'_>, groups: &[PageGroup]) {
    let (set, id) = (of_page.set, format!("set-{number}"));
    let heading = format!("{id}-heading");
    html.open("section", &[("class", "gearset".into()), ("id", id.clone()), ("aria-labelledby", heading.clone())]);
    html.words("h1", &[("id", heading)], set.title());
    if set.states().is_empty() {
        html.words("p", &[], "No states are described, so that nothing turns: add states to the description.");
    } else {
        html.open("div", &[("class", "keeps".into())]);
        states(html, set);
        switch(html, "run", "", "run");
        html.close("div");
    }
    html.words("p", &[("class", "says".into()), ("role", "status".into()), ("aria-live", "polite".into())], "");
    html.open("div", &[("class", "works".into())]);
    pictures(html, set, groups, &id);
    beside(html, of_page.set, &id);
    html.close("div");
    for extra in &of_page.extras {
        further(html, extra);
    }
    html.open("script", &[("type", "application/json".into()), ("class", "data".into())]);
    html.markup(&data(set));
    html.close("script");
    html.close("section");
}

/// What moves, and how it is set going.
fn pictures(html: &mut Svg, set: &Gearset, groups: &[PageGroup], id: &str) {
    html.open("div", &[]);
    if !set.states().is_empty() {
        motion(html);
        view(html);
    }
    html.open("div", &[("class", "figures".into())]);
    for (index, group) in groups.iter().enumerate() {
        figure(html, set, group, index, id);
    }
    html.close("div");
    if !set.states().is_empty() {
        controls(html, set, id);
    }
    html.close("div");
}

/// What stands beside the pictures, or below them on a narrow screen.
fn beside(html: &mut Svg, set: &Gearset, id: &str) {
    html.open("div", &[]);
    if !set.states().is_empty() {
        table(html, set);
        diagrams(html, set, id);
    }
    html.words("p", &[("class", "caution".into())], CAUTION);
    html.close("div");
}

fn button(html: &mut Svg, class: &str, further: Attributes<'_>, words: &str) {
    let own = [("type", "button".to_owned()), ("class", class.to_owned())];
    html.words("button", &[&own, further].concat(), words);
}

/// A button that is pressed or not; the script presses those that are to begin with.
fn switch(html: &mut Svg, class: &str, value: &str, words: &str) {
    button(html, class, &[("value", value.into()), ("aria-pressed", "false".into())], words);
}

fn states(html: &mut Svg, set: &Gearset) {
    open_group(html, "bar states", "state");
    for (index, state) in set.states().iter().enumerate() {
        switch(html, "state", &index.to_string(), &state.name);
    }
    html.close("div");
}

fn motion(html: &mut Svg) {
    open_group(html, "bar motion", "motion");
    switch(html, "backward", "", "input backward");
    html.open("label", &[]);
    html.markup("input, turns per minute ");
    let range = [("min", "1"), ("max", "60"), ("value", "6"), ("type", "range"), ("class", "pace")];
    html.empty("input", &range.map(|(key, value)| (key, value.to_owned())));
    html.words("output", &[("class", "pace-told".into())], "6");
    html.close("label");
    html.close("div");
}

/// From where it is seen, and what of it.
fn view(html: &mut Svg) {
    open_group(html, "bar sides", "view");
    html.words("span", &[], "seen from the");
    switch(html, "side", "input", "input side");
    switch(html, "side", "output", "output side");
    switch(html, "follow", "", "follow the carrier");
    switch(html, "layer", "pitch", "pitch circles");
    switch(html, "layer", "arrows", "arrows");
    html.close("div");
}

fn controls(html: &mut Svg, set: &Gearset, id: &str) {
    open_group(html, "bar steps", "steps");
    html.open("label", &[]);
    html.markup("one tooth of ");
    html.open("select", &[("class", "step-gear".into())]);
    for gear in set.gear_ids() {
        html.words("option", &[("value", gear.index().to_string())], &notes::gear(set, gear));
    }
    html.close("select");
    html.close("label");
    button(html, "step", &[("aria-describedby", format!("{id}-step"))], "step");
    html.open("label", &[]);
    html.markup("turns of the input ");
    let turns = [
        ("type", "text"),
        ("class", "turns"),
        ("value", "1"),
        ("size", "7"),
        ("maxlength", "40"),
        ("autocomplete", "off"),
    ];
    html.empty("input", &turns.map(|(key, value)| (key, value.to_owned())));
    html.close("label");
    button(html, "turn", &[], "turn");
    html.words("span", &[("class", "turned".into())], "");
    button(html, "assembled", &[], "back to as assembled");
    html.close("div");
    html.words("p", &[("class", "note".into()), ("id", format!("{id}-step"))], STEP_NOTE);
}

const STEP_NOTE: &str = "A step passes one tooth of that gear through its mesh; where it stands against its carrier, \
                         it is one tooth of its turn in space. A turn may be a fraction, such as 1/3 or -2.5.";

fn figure(html: &mut Svg, set: &Gearset, group: &PageGroup, index: usize, id: &str) {
    let name = notes::group_name(set, &group.timed);
    let id = format!("{id}-{}", index + 1);
    html.open("figure", &[("data-group", index.to_string())]);
    match &group.layout {
        Err(reason) => {
            let words = format!("{name} is not drawn: {}", notes::reason(set, reason));
            html.words("p", &[("class", "warning".into())], &words);
            rims_alone(html, set, group, &id);
            html.open("figcaption", &[]);
            html.words("span", &[("class", "seen".into())], "Seen from the input side");
            html.close("figcaption");
            legend(html, set, &group.members);
        }
        Ok(layout) => {
            if let Some(warning) = notes::warning(set, &group.timed, layout) {
                html.words("p", &[("class", "warning".into())], &warning);
            }
            Figure { set, group, layout, id }.draw(html);
            html.open("figcaption", &[]);
            html.words("span", &[("class", "seen".into())], "Seen from the input side");
            html.words("span", &[], &format!("{name}. {}.", notes::scale(set, layout).replace("Scale 1:1, ", "")));
            html.close("figcaption");
            legend(html, set, &group.members);
            planes(html, set, layout);
        }
    }
    if !set.states().is_empty() {
        open_group(html, "bar returns", &format!("returns, {name}"));
        button(html, "return", &[("value", "marks".into())], "to the next return of the marks");
        button(html, "return", &[("value", "everything".into())], "to the next return of every tooth");
        html.words("span", &[("class", "returned".into())], "");
        html.close("div");
    }
    html.close("figure");
}

fn planes(html: &mut Svg, set: &Gearset, layout: &Layout) {
    if layout.planes.len() < 2 {
        return;
    }
    html.open("label", &[]);
    html.markup("shown ");
    html.open("select", &[("class", "planes".into())]);
    html.words("option", &[("value", String::new())], "all planes over each other");
    for (index, plane) in layout.planes.iter().enumerate() {
        let name = format!("plane {}: {}", index + 1, notes::plane_name(set, plane));
        html.words("option", &[("value", (index + 1).to_string())], &name);
    }
    html.close("select");
    html.close("label");
}

/// The columns of the table: the class of its cells, the heading, and what a cell says before its value where
/// the screen is too narrow for columns.
const COLUMNS: [[&str; 3]; 5] = [
    ["speed", "turns per turn of the input", "turns per input turn"],
    ["pace", "turns per minute", "turns per minute"],
    ["sense", "sense in this view", "sense"],
    ["place", "stands at", "stands at"],
    ["torque", "torque", "torque"],
];

/// A row for each member; what depends on the state is filled in by the script. Roles are named, since a
/// narrow screen takes the rows apart.
fn table(html: &mut Svg, set: &Gearset) {
    html.open("div", &[("class", "speeds".into())]);
    html.open("table", &[("role", "table".into())]);
    html.words("caption", &[], "Speeds and torques in this state");
    html.open("thead", &[("role", "rowgroup".into())]);
    html.open("tr", &[("role", "row".into())]);
    for heading in std::iter::once("member").chain(COLUMNS.map(|[_, heading, _]| heading)) {
        html.words("th", &[("scope", "col".into()), ("role", "columnheader".into())], heading);
    }
    html.close("tr");
    html.close("thead");
    html.open("tbody", &[("role", "rowgroup".into())]);
    for member in set.member_ids().filter(|&member| *set.member(member).place() != Place::Case) {
        row(html, set, member);
    }
    html.close("tbody");
    html.close("table");
    html.close("div");
    html.words("p", &[("class", "note".into())], LEGEND);
}

const LEGEND: &str = "Press a member to light it up. Stands at: degrees from where it stood as \
                       assembled, in the sense of the input. Torque: from outside, the input having 1, without losses.";

/// The row of a member: a button that lights it up, and cells that the script fills in.
fn row(html: &mut Svg, set: &Gearset, member: MemberId) {
    html.open("tr", &[("data-member", member.index().to_string()), ("role", "row".into())]);
    html.open("th", &[("scope", "row".into()), ("role", "rowheader".into())]);
    html.open(
        "button",
        &[
            ("type", "button".into()),
            ("class", "member".into()),
            ("aria-pressed", "false".into()),
            ("value", member.index().to_string()),
            ("style", format!("--hue: {}", hue(member))),
        ],
    );
    html.words("span", &[("class", "swatch".into()), ("aria-hidden", "true".into())], "");
    html.words("span", &[], set.member(member).name());
    html.close("button");
    html.words("span", &[("class", "role".into())], "");
    html.close("th");
    for [class, _, label] in COLUMNS {
        html.words("td", &[("class", class.into()), ("role", "cell".into()), ("data-label", label.into())], "");
    }
    html.close("tr");
}

/// Opens at a click, and prints as it stands.
fn further(html: &mut Svg, extra: &Extra) {
    let mut attributes = vec![("class", "extra".to_owned())];
    attributes.extend(extra.state.map(|state| ("data-state", state.to_string())));
    html.open("details", &attributes);
    html.words("summary", &[], &extra.heading);
    html.markup(&extra.html);
    html.close("details");
}
