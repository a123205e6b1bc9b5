//! The answer to "will it go together and how is each planet turned".
//!
//! For a person first whether the planets assemble and how they are set ([`self::statements`]), with a list where marks
//! all alike do not serve ([`self::lists`]), or the reasons and the remedies where they do not assemble
//! ([`self::refused`]); in full every count and place. For a table program there is a record a gear and pin.

mod lists;
mod refused;
mod room;
mod statements;

use std::collections::BTreeMap;

use crate::exact::{Fraction, decimal};
use crate::gearset::{Action, Gearset, MemberId, Mesh, MeshId};
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome, bears_on_gears};
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, length, list, mesh, mixed, with_decimal};
use crate::timing::{CentralSpacing, GearTurn, GroupTiming, MarginSearch, MeshError, PinTiming, Timing};
use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

pub(super) use lists::nearest_tooth;
use refused::{reasons, ways_out};
pub(super) use room::{pair, word};
use statements::statements;
pub(super) use statements::{WHATEVER_DROPS_IN, of_group, pin_order};

impl Answer for Timing {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        if self.groups.is_empty() {
            return vec![Block::Statements(vec!["No planets are described, so there is nothing to time.".into()])];
        }
        let mut blocks = vec![Block::Statements(statements(set, &self.groups))];
        blocks.extend(Block::group_by_group(&self.groups, |group| heading(set, group), |group| needed(set, group)));
        blocks
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        if self.groups.is_empty() {
            return Vec::new();
        }
        let mut blocks = Block::group_by_group(&self.groups, |group| heading(set, group), |group| in_full(set, group));
        blocks.extend(cautions(set));
        blocks
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        let assembled = self.groups.iter().any(GroupTiming::pins_assemble);
        (!self.groups.is_empty()).then_some(if assembled {
            "other numbers of pins, the room, the nearest wrong seating, every gear on every pin from both sides"
        } else {
            "which gears refuse one another, other numbers of pins, the room"
        })
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        // Unequal centre distances are told with the counts that would make them equal.
        remark == RemarkKind::Miscount || (bears_on_gears(remark) && remark != RemarkKind::UnequalCenterDistance)
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

/// The list of a group whose marks are not all alike, or what would assemble instead.
pub(super) fn needed(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    if !group.pins_assemble() {
        return ways_out(set, group);
    }
    lists::to_count(set, group).into_iter().collect()
}

/// Counts, room and seatings of a group, then how every gear stands on every pin.
fn in_full(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    let mut blocks = facts(set, group);
    if !group.pins_assemble() {
        blocks.extend(reasons(set, group));
    } else if group.pin_count > 1 {
        blocks.extend(lists::every_gear(set, group));
        blocks.push(Block::Table(spacings(set, &group.central_spacings)));
    }
    blocks
}

/// Which pins could be used, the room, the seatings and the nearest wrong one.
pub(super) fn facts(set: &Gearset, group: &GroupTiming) -> Vec<Block> {
    let mut facts = equal_pins(group).to_vec();
    facts.extend(room::room(set, group));
    facts.extend(room::overlaps(set, group));
    facts.push(seatings(group));
    facts.extend(group.pins_assemble().then(|| margin(set, group)));
    let missing = group.margin.as_ref().filter(|_| group.by_hand.is_none()).map(|_| what_is_missing(set, group));
    [Block::Facts(facts)].into_iter().chain(missing.map(Block::Note)).collect()
}

/// What the answer is headed with for one group.
pub(super) fn heading(set: &Gearset, group: &GroupTiming) -> String {
    words::group(set, &group.planets, group.carrier, group.pin_count)
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

/// Which sizes would tell whether a wrong seating goes in unnoticed.
fn what_is_missing(set: &Gearset, group: &GroupTiming) -> String {
    let pitch = without(set, group, |mesh| mesh.pitch().is_some()).map(|names| format!("a pitch{names}"));
    let backlash = without(set, group, |mesh| mesh.backlash().is_some()).map(|names| format!("a backlash{names}"));
    let wanted: Vec<String> = pitch.into_iter().chain(backlash).collect();
    format!("add {} to the description to learn whether a wrong seating goes in", list(&wanted))
}

/// The meshes of a group for which something is not given, unless it is given for none of them.
fn without(set: &Gearset, group: &GroupTiming, is_given: fn(&Mesh) -> bool) -> Option<String> {
    let meshes: Vec<MeshId> = group.margin_errors.iter().map(|error| error.mesh).collect();
    let without: Vec<String> = meshes.iter().filter(|&&id| !is_given(set.mesh(id))).map(|&id| mesh(set, id)).collect();
    let all = without.len() == meshes.len();
    (!without.is_empty()).then(|| if all { String::new() } else { format!(" for {}", list(&without)) })
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

/// The cautions that this gearset calls for.
pub(super) fn cautions(set: &Gearset) -> Vec<Block> {
    let of_planets = [caution_of_views(set), caution_of_planets(set)].into_iter().flatten();
    of_planets.chain(cautions_of_taking_apart(set)).chain([caution_of_strength()]).collect()
}

/// What to beware of where places and senses are read.
pub(super) fn caution_of_views(set: &Gearset) -> Option<Block> {
    let caution = "say from which side you look: once a unit is turned over, every sense turns over with it. Marks that \
                   are on the parts already may be somebody's mistake";
    (!set.planet_groups().is_empty()).then(|| Block::Note(caution.into()))
}

/// What to beware of where planets are put in.
pub(super) fn caution_of_planets(set: &Gearset) -> Option<Block> {
    let caution =
        "do not force a planet that nearly drops in, and do not run a unit that binds at one place of every turn";
    (!set.planet_groups().is_empty()).then(|| Block::Note(caution.into()))
}

/// What to beware of where a unit is taken apart.
pub(super) fn cautions_of_taking_apart(set: &Gearset) -> Vec<Block> {
    let applies = |control: fn(&Action<MemberId>) -> bool| set.controls().iter().any(|it| control(&it.action()));
    let clutch = applies(|action| matches!(action, Action::Clutch(_))).then_some(CAUTION_OF_SPRINGS);
    let has_bands = applies(|action| matches!(action, Action::Band(_)));
    let drums = has_bands.then_some("drums are heavy: lift a stack with a second person or a hoist");
    let dust = has_bands.then_some(CAUTION_OF_DUST);
    [clutch, drums, dust].into_iter().flatten().map(|caution| Block::Note(caution.into())).collect()
}

/// What to beware of where a clutch is taken apart or set.
pub(super) const CAUTION_OF_SPRINGS: &str = "clutch springs are under load: a proper compressor, and eye protection";

/// What to beware of at the linings of bands.
pub(super) const CAUTION_OF_DUST: &str = "lining dust: treat it as asbestos; wet, no air line, bag it";

/// What no answer of this kind says.
pub(super) fn caution_of_strength() -> Block {
    let caution =
        "this is geometry: it does not say that a gear is strong enough; the maker's book and local rules come first";
    Block::Note(caution.into())
}
