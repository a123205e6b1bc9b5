//! The answer to "will it go together and how is each planet turned".
//!
//! For a person a group of planets that assembles gets its marks, its tooth list from both sides and what its central
//! gears show; one that does not gets the reasons and the remedies ([`self::refused`]). For a table program there is a
//! record a gear and pin.

mod refused;
mod room;

use std::collections::BTreeMap;

use crate::exact::{Fraction, decimal, fraction, part_of_turn};
use crate::gearset::{Action, Gearset, MemberId, Mesh, MeshId, Side};
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, degrees, length, list, mesh, mixed, with_decimal};
use crate::timing::{CentralSpacing, Closure, GearTurn, GroupTiming, Loop, MarginSearch, MeshError, PinTiming, Timing};
use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

use refused::refused;
pub(super) use room::word;

impl Answer for Timing {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        if self.groups.is_empty() {
            return vec![Block::Note("no planets are described, so there is nothing to time".into())];
        }
        self.groups.iter().flat_map(|group| findings(set, group)).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        if self.groups.is_empty() {
            return Vec::new();
        }
        let mut blocks =
            Block::group_by_group(&self.groups, |group| heading(set, group), |group| settings_and_spacings(set, group));
        blocks.extend(cautions(set));
        blocks
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "carrier",
            "pins",
            "goes_together",
            "spacing_divisor",
            "equivalent_seatings",
            "radial_marks",
            "parallel_marks",
            "margin",
            "pin",
            "place",
            "planet",
            "turn",
            "gear",
            "teeth",
            "teeth_decimal",
        ];
        Records { fields, rows: self.groups.iter().flat_map(|group| records_of(set, group)).collect() }
    }

    fn outcome(&self) -> Outcome {
        self.assembles().into()
    }
}

/// One record for each gear of each planet on each pin; turns are empty where a pin is refused.
fn records_of(set: &Gearset, group: &GroupTiming) -> Vec<Vec<String>> {
    let head = [
        csv_name(set.member(group.carrier).name()),
        group.pin_count.to_string(),
        group.assembles.to_string(),
        group.spacing_divisor.to_string(),
        group.equivalent_seatings.as_ref().map(ToString::to_string).unwrap_or_default(),
        group.radial_marks.to_string(),
        group.parallel_marks.to_string(),
        group.margin.as_ref().map(ToString::to_string).unwrap_or_default(),
    ];
    let rows_of = |pin: &PinTiming| -> Vec<Vec<String>> {
        let start = [head.to_vec(), vec![pin.pin.to_string(), pin.place.to_string()]].concat();
        turned_gears(set, group, pin).iter().map(|cells| [start.as_slice(), cells].concat()).collect()
    };
    group.pins.iter().flat_map(rows_of).collect()
}

/// Planet, turn, gear and its teeth.
fn turned_gears(set: &Gearset, group: &GroupTiming, pin: &PinTiming) -> Vec<[String; 5]> {
    let name = |planet: MemberId| csv_name(set.member(planet).name());
    let turned = |turned: &GearTurn, turns: &BTreeMap<MemberId, Fraction>| {
        let [planet, gear] = [name(turned.planet), csv_name(set.gear(turned.gear).name())];
        [planet, turns[&turned.planet].to_string(), gear, turned.teeth.to_string(), decimal(&turned.teeth, 6)]
    };
    if let Some(turns) = &pin.turns {
        return pin.gears.iter().map(|gear| turned(gear, turns)).collect();
    }
    let refused = |&planet: &MemberId| [name(planet), String::new(), String::new(), String::new(), String::new()];
    group.planets.iter().map(refused).collect()
}

/// Whether a group assembles, what to mind, and why not if it does not.
pub(super) fn findings(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    let mut facts = vec![Fact::new("goes together", verdict(group))];
    facts.extend(equal_pins(group));
    facts.extend(room::room(set, group));
    facts.push(seatings(group));
    if group.pins_assemble() {
        if group.pin_count > 1 {
            facts.push(Fact::new("marks", marks(set, group)));
        }
        facts.push(margin(set, group));
    }
    let mut blocks = vec![Block::Heading(heading(set, group)), Block::Facts(facts)];
    blocks.extend(margin_warning(set, group));
    blocks.extend(room::warnings(set, group));
    blocks.extend(group.loops.iter().filter_map(|closed| loop_warning(set, closed)).map(Block::Warning));
    if !group.pins_assemble() {
        blocks.extend(refused(set, group));
    }
    blocks
}

/// How each planet of a group that assembles is set, and what its central gears show.
fn settings_and_spacings(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    if !group.pins_assemble() || group.pin_count == 1 {
        return Vec::new();
    }
    let mut blocks = Vec::new();
    if !group.radial_marks {
        blocks.push(Block::Paragraph(if is_bevel(set, group) { HOW_TO_SET_BEVEL_PLANETS } else { HOW_TO_SET }.into()));
        blocks.extend([Side::Input, Side::Output].map(|view| Block::Table(settings(set, group, view))));
    }
    blocks.push(Block::Table(spacings(set, &group.central_spacings)));
    blocks
}

fn heading(set: &Gearset, group: &GroupTiming) -> String {
    words::group(set, &group.planets, group.carrier, group.pin_count)
}

fn verdict(group: &GroupTiming) -> String {
    if !group.pins_assemble() {
        let refused: Vec<String> =
            group.pins.iter().filter(|pin| pin.turns.is_none()).map(|pin| pin.pin.to_string()).collect();
        let pins = if refused.len() == 1 { "pin" } else { "pins" };
        return format!("NO: with pin 1 set, nothing fits on {pins} {}", list(&refused));
    }
    if !group.assembles {
        return "NO: these planets do not go in beside those of another kind, see the warning".into();
    }
    let open = group.loops.iter().any(|closed| closed.closes == Closure::DependsOnIndex);
    match (open, group.pin_count, group.radial_marks) {
        (true, _, _) => "by themselves yes; together with the other planets not known, see the warning".into(),
        (_, 1, _) => "yes: one pin always does".into(),
        (_, _, true) => "yes".into(),
        _ => "yes, when every planet is turned as listed below".into(),
    }
}

fn equal_pins(group: &GroupTiming) -> [Fact; 2] {
    let divisor = &group.spacing_divisor;
    let rule = if divisor.is_zero() {
        "0: any place of a pin will do".to_owned()
    } else if divisor.is_one() {
        "1: one pin only".to_owned()
    } else {
        format!("{divisor}: pins go {} of a turn apart, or any multiple", Fraction::new(BigInt::one(), divisor.clone()))
    };
    let counts: Vec<String> = group.equal_pin_counts.iter().map(ToString::to_string).collect();
    [
        Fact::new("spacing divisor", rule),
        Fact::new("equal pins, 2 to 8", format!("{}{}", list(&counts), room::of_equal_pins(group))),
    ]
}

fn seatings(group: &GroupTiming) -> Fact {
    let answer = match (&group.equivalent_seatings, group.planets.len()) {
        (None, _) => "any: no mesh keeps these planets from turning".to_owned(),
        (Some(count), 1) if count.is_one() => "1: the planet fits on its pin in one way only".to_owned(),
        (Some(count), 1) => format!("{count} on each pin, all equally good"),
        (Some(count), planets) => format!("{count} for the {planets} planets of a pin together, all equally good"),
    };
    Fact::new("seatings", answer)
}

fn marks(set: &Gearset, group: &GroupTiming) -> String {
    let bevel = is_bevel(set, group);
    match (group.radial_marks, group.parallel_marks) {
        (true, _) if bevel => {
            "like marks serve: turn the mark of every bevel planet to the same side of the main axis".into()
        }
        (false, _) if bevel => "like marks do NOT serve; set every planet by the tooth list below".into(),
        (true, true) => {
            "radial marks serve (every mark to the centre), and so do parallel marks (all the same way)".into()
        }
        (true, false) => "radial marks serve (every mark to the centre); parallel marks do NOT".into(),
        (false, true) => "parallel marks serve (all marks point the same way); radial marks do NOT".into(),
        (false, false) => "neither radial nor parallel marks serve; set every planet by the tooth list below".into(),
    }
}

fn is_bevel(set: &Gearset, group: &GroupTiming) -> bool {
    group.planets.iter().any(|&planet| set.is_bevel(planet))
}

fn margin(set: &Gearset, group: &GroupTiming) -> Fact {
    let answer = match (&group.margin, group.margin_search, group.pin_count) {
        (None, MarginSearch::GivenUp, _) => "not known: there are too many seatings to look at".into(),
        (None, MarginSearch::Complete, 1) => "none: one pin has no fellow to differ from".into(),
        (None, MarginSearch::Complete, _) => "none: whatever goes in is right".into(),
        (Some(margin), _, _) => {
            let arc = group.margin_mm.map(|arc| format!(", {} at the pitch circle", length(arc)));
            let errors = errors(set, &group.margin_errors);
            format!("{} of a tooth{}; then out by {errors}", with_decimal(margin), arc.unwrap_or_default())
        }
    };
    Fact::new("nearest wrong seating", answer)
}

fn errors(set: &Gearset, errors: &[MeshError]) -> String {
    let error = |error: &MeshError| format!("{} at {}", mixed(&error.teeth), mesh(set, error.mesh));
    list(&errors.iter().map(error).collect::<Vec<_>>())
}

/// What the margin means for the one who closes the case.
fn margin_warning(set: &Gearset, group: &GroupTiming) -> Option<Block> {
    group.margin.as_ref()?;
    Some(match group.within_backlash {
        Some(true) => Block::Warning(
            "a planet can be put in WRONG without anyone noticing: a wrong seating stays within the backlash. Set \
             every planet by its marks or by the list, and turn the whole set by hand before closing the case"
                .into(),
        ),
        Some(false) => Block::Note(
            "no wrong seating fits within the backlash given; a planet that nearly drops in is wrong or dirty".into(),
        ),
        None => Block::Note(what_is_missing(set, group)),
    })
}

/// Which sizes would tell whether a wrong seating goes in unnoticed.
fn what_is_missing(set: &Gearset, group: &GroupTiming) -> String {
    let pitch = without(set, group, |mesh| mesh.pitch().is_some()).map(|names| format!("a pitch{names}"));
    let backlash = without(set, group, |mesh| mesh.backlash().is_some()).map(|names| format!("a backlash{names}"));
    let wanted: Vec<String> = pitch.into_iter().chain(backlash).collect();
    let planet = if group.planets.len() == 1 { "a planet" } else { "the planets of a pin" };
    let consequence = format!("{planet} can be put in wrong without anyone noticing");
    let threshold = group.least_backlash_mm.map_or_else(
        || format!("whether {consequence} depends on the backlash"),
        |arc| format!("with a backlash of {} or more at the pitch circle, {consequence}", length(arc)),
    );
    format!("{threshold}; add {} to the description to have it checked", list(&wanted))
}

/// The meshes of a group for which something is not given, unless it is given for none of them.
fn without(set: &Gearset, group: &GroupTiming, is_given: fn(&Mesh) -> bool) -> Option<String> {
    let meshes: Vec<MeshId> = group.margin_errors.iter().map(|error| error.mesh).collect();
    let without: Vec<String> = meshes.iter().filter(|&&id| !is_given(set.mesh(id))).map(|&id| mesh(set, id)).collect();
    let all = without.len() == meshes.len();
    (!without.is_empty()).then(|| if all { String::new() } else { format!(" for {}", list(&without)) })
}

/// That a loop with other planets does not close, or that it may not.
fn loop_warning(set: &Gearset, closed: &Loop) -> Option<String> {
    let meshes = list(&closed.meshes.iter().map(|&id| mesh(set, id)).collect::<Vec<_>>());
    match closed.closes {
        Closure::Closes => None,
        Closure::Misses => Some(format!(
            "these cannot all mesh, however the first planets are turned: {meshes}; the worst of them is out by {} of a \
             tooth or more. Pins of one kind have to stand elsewhere against those of the other, or tooth counts have to \
             change",
            closed.misfit.as_ref().map(with_decimal).unwrap_or_default()
        )),
        Closure::DependsOnIndex => Some(format!(
            "these meshes close a loop: {meshes}. Whether all of them can be right at once depends on how the gears of one \
             body stand against each other (their index), or on an angle between planets, neither of which the \
             description gives: try it with one planet of each kind first. What is said here holds from the first pin to \
             the others"
        )),
    }
}

/// How each planet is turned, seen from one side.
fn settings(set: &Gearset, group: &GroupTiming, view: Side) -> Table {
    let headings = ["pin", "pin at, degrees", "gear", "part of a turn", "degrees", "teeth", "nearest tooth"];
    let marks = if is_bevel(set, group) {
        "marks from the input side's direction, seen from the outer end of each pin"
    } else {
        "from the line to the centre to the mark"
    };
    Table {
        caption: format!("Seen from {}: {marks}, counter-clockwise (ccw) positive", view.name()),
        headings: headings.map(String::from).to_vec(),
        rows: group.pins.iter().flat_map(|pin| pin_rows(set, pin, view)).collect(),
    }
}

fn pin_rows(set: &Gearset, pin: &PinTiming, view: Side) -> Vec<Vec<String>> {
    let Some(turns) = &pin.turns else { return Vec::new() };
    let row = |turned: &GearTurn| {
        let [turn, teeth] =
            [&turns[&turned.planet], &turned.teeth].map(|value| set.turn_seen(view, turned.planet, value));
        vec![
            pin.pin.to_string(),
            degrees(&part_of_turn(&view.seen(&pin.place))),
            words::gear(set, turned.gear),
            turn.to_string(),
            degrees(&turn),
            teeth_with_side(&teeth),
            nearest_tooth(&teeth),
        ]
    };
    pin.gears.iter().map(row).collect()
}

pub(super) fn spacings(set: &Gearset, spacings: &[CentralSpacing]) -> Table {
    let mut rows = Vec::new();
    for spacing in spacings {
        let name = words::gear(set, spacing.gear);
        let mut seen: Vec<&Fraction> = Vec::new();
        for (pitches, unmarked) in spacing.pitches.iter().zip(&spacing.unmarked_teeth) {
            if !seen.contains(&pitches) {
                seen.push(pitches);
                let unmarked =
                    unmarked.map_or_else(|| "no tooth falls on both lines".into(), |teeth| teeth.to_string());
                rows.push(vec![name.clone(), mixed(pitches), unmarked]);
            }
        }
    }
    let headings = ["central gear", "pitches", "unmarked teeth between marks"];
    Table {
        caption: "Central gears: from one line of centres to the next".into(),
        headings: headings.map(String::from).to_vec(),
        rows,
    }
}

/// What to do with the tooth list.
const HOW_TO_SET: &str = "Mark every planet alike. On pin 1 the mark points straight to the centre. On each other pin it \
     stands to the side of the line from the pin to the centre, by so many teeth of whichever gear you count on; with the \
     nearest whole tooth set there, that gear meshes only where it should";

/// What to do with the tooth list of bevel planets, whose pins stand across the main axis.
const HOW_TO_SET_BEVEL_PLANETS: &str = "Mark every planet alike. On pin 1 the mark points along the main axis, to the \
     input side. On each other pin it stands so many teeth round from that direction, looking from the outer end of the \
     pin inward; turning the set over changes nothing in that. With the nearest whole tooth set there, that gear meshes \
     only where it should";

/// A number of teeth with its side: `10 1/3 ccw`.
pub(super) fn teeth_with_side(teeth: &Fraction) -> String {
    sided(&mixed(teeth), teeth)
}

/// A text about teeth with their side.
pub(super) fn sided(text: &str, teeth: &Fraction) -> String {
    if teeth.is_zero() {
        "0".into()
    } else {
        format!("{text} {}", if teeth.is_positive() { "ccw" } else { "clockwise" })
    }
}

/// The nearest whole tooth; halfway between two, both.
fn nearest_tooth(teeth: &Fraction) -> String {
    let size = teeth.abs();
    let between = size.fract() == fraction(1, 2);
    let nearest = if between { format!("{} or {}", size.floor(), size.ceil()) } else { size.round().to_string() };
    if nearest == "0" { nearest } else { sided(&nearest, teeth) }
}

/// The cautions that this gearset calls for.
pub(super) fn cautions(set: &Gearset) -> Vec<Block> {
    let applies = |control: fn(&Action<MemberId>) -> bool| set.controls().iter().any(|it| control(&it.action()));
    let mut cautions = Vec::new();
    if !set.planet_groups().is_empty() {
        cautions.extend([
            "say from which side you look: once a unit is turned over, every sense turns over with it. Marks that are on \
             the parts already may be somebody's mistake: trust the list",
            "do not force a planet that nearly drops in, and do not run a unit that binds at one place of every turn",
        ]);
    }
    if applies(|action| matches!(action, Action::Clutch(_))) {
        cautions.push("clutch springs are under load: a proper compressor, and eye protection");
    }
    if applies(|action| matches!(action, Action::Band(_))) {
        cautions.push("drums are heavy: lift a stack with a second person or a hoist");
    }
    cautions.push(
        "this is geometry: it does not say that a gear is strong enough; the maker's book and local rules come first",
    );
    cautions.into_iter().map(|caution| Block::Note(caution.to_owned())).collect()
}
