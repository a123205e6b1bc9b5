//! The answer to "will it go together and how is each planet turned", for a person.
//!
//! A group of planets that goes together gets its marks, its tooth list from both sides and
//! what its central gears show; one that does not gets the reasons and the ways out
//! ([`self::refused`]).

mod data;
mod refused;
pub(super) mod room;

use crate::exact::{Fraction, fraction, part_of_turn};
use crate::gearset::{Action, Gearset, MemberId, Mesh, MeshId};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{self, counted, degrees, length, list, member, mesh, mixed, with_decimal};
use crate::timing::{
    ByHand, CentralSpacing, Closure, GearTurn, GroupTiming, Loop, Margin, MarginSearch, MeshError, PinTiming,
};
use num_bigint::BigInt;
use num_traits::{One, Signed, Zero};

/// The timing of a gearset's groups of planets.
#[derive(Debug, Clone)]
pub struct Timing<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The groups.
    pub groups: &'a [GroupTiming],
}

/// A side from which the pins are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum View {
    InputSide,
    OutputSide,
}

impl View {
    fn name(self) -> &'static str {
        match self {
            Self::InputSide => "the input side",
            Self::OutputSide => "the output side",
        }
    }

    /// Turning the stack over flips every sense of rotation.
    pub(super) fn seen(self, counter_clockwise_from_input_side: &Fraction) -> Fraction {
        match self {
            Self::InputSide => counter_clockwise_from_input_side.clone(),
            Self::OutputSide => -counter_clockwise_from_input_side,
        }
    }
}

impl Timing<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = Vec::new();
        for group in self.groups {
            self.group(group, &mut blocks);
        }
        if self.groups.is_empty() {
            blocks.push(Block::Note("no planets are described, so there is nothing to time".into()));
        } else {
            blocks.extend(cautions(self.set));
        }
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn group(&self, group: &GroupTiming, blocks: &mut Vec<Block>) {
        self.findings(group, blocks);
        if group.pins_go_together() && group.pins.len() > 1 {
            if !group.marks.radial.serves() {
                let how_to_set = if self.is_bevel(group) { how_to_set_bevel_planets() } else { how_to_set() };
                blocks.push(Block::Paragraph(how_to_set.into()));
                blocks.extend([View::InputSide, View::OutputSide].map(|view| Block::Table(self.settings(group, view))));
            }
            blocks.push(Block::Table(self.spacings(&group.central_spacings)));
        }
    }

    /// Whether a group goes together, what to mind, and why not if it does not.
    pub(super) fn findings(&self, group: &GroupTiming, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading(self.heading(group)));
        let mut facts = vec![Fact::new("goes together", verdict(group))];
        facts.extend(self.equal_pins(group));
        facts.extend(self.room(group));
        facts.push(seatings(group));
        if group.pins_go_together() {
            if group.pins.len() > 1 {
                facts.push(Fact::new("marks", self.marks(group)));
            }
            facts.push(self.margin_fact(group));
        }
        blocks.push(Block::Facts(facts));
        blocks.extend(group.margin.as_ref().map(|margin| self.margin_warning(group, margin)));
        blocks.extend(self.room_warnings(group));
        blocks.extend(self.loop_warnings(group));
        if !group.pins_go_together() {
            self.refused(group, blocks);
        }
    }

    fn equal_pins(&self, group: &GroupTiming) -> Vec<Fact> {
        let divisor = &group.spacing_divisor;
        let rule = if divisor.is_zero() {
            "0: any place of a pin will do".to_owned()
        } else if divisor.is_one() {
            "1: one pin only".to_owned()
        } else {
            format!(
                "{divisor}: pins go {} of a turn apart, or any multiple",
                Fraction::new(BigInt::one(), divisor.clone())
            )
        };
        let counts: Vec<String> = group.equal_pin_counts.iter().map(ToString::to_string).collect();
        vec![
            Fact::new("spacing divisor", rule),
            Fact::new("equal pins, 2 to 8", format!("{}{}", list(&counts), self.room_of_equal_pins(group))),
        ]
    }

    fn heading(&self, group: &GroupTiming) -> String {
        let names: Vec<String> = group.planets.iter().map(|&planet| member(self.set, planet)).collect();
        format!("{} on {}, {}", list(&names), member(self.set, group.carrier), counted(group.pins.len(), "pin"))
    }

    fn marks(&self, group: &GroupTiming) -> String {
        let bevel = self.is_bevel(group);
        match (group.marks.radial.serves(), group.marks.parallel.serves()) {
            (true, _) if bevel => {
                "like marks serve: turn the mark of every bevel planet to the same side of the main axis".into()
            }
            (false, _) if bevel => "like marks do NOT serve; set every planet by the tooth list below".into(),
            (true, true) => {
                "radial marks serve (every mark to the centre), and so do parallel marks (all the same way)".into()
            }
            (true, false) => "radial marks serve (every mark to the centre); parallel marks do NOT".into(),
            (false, true) => "parallel marks serve (all marks point the same way); radial marks do NOT".into(),
            (false, false) => {
                "neither radial nor parallel marks serve; set every planet by the tooth list below".into()
            }
        }
    }

    fn is_bevel(&self, group: &GroupTiming) -> bool {
        group.planets.iter().any(|&planet| self.set.is_bevel(planet))
    }

    fn margin_fact(&self, group: &GroupTiming) -> Fact {
        let Some(margin) = &group.margin else {
            let answer = match (group.margin_search, group.pins.len()) {
                (MarginSearch::GivenUp, _) => "not known: there are too many seatings to look at",
                (MarginSearch::Complete, 1) => "none: one pin has no fellow to differ from",
                (MarginSearch::Complete, _) => "none: whatever goes in is right",
            };
            return Fact::new("nearest wrong seating", answer);
        };
        let arc = margin.largest_arc(self.set).map(|arc| format!(", {} at the pitch circle", length(arc)));
        let answer = format!(
            "{} of a tooth{}; then out by {}",
            with_decimal(&margin.teeth),
            arc.unwrap_or_default(),
            self.errors(&margin.errors)
        );
        Fact::new("nearest wrong seating", answer)
    }

    pub(super) fn errors(&self, errors: &[MeshError]) -> String {
        let error = |error: &MeshError| format!("{} at {}", mixed(&error.teeth), mesh(self.set, error.mesh));
        list(&errors.iter().map(error).collect::<Vec<_>>())
    }

    /// What the margin means for the one who closes the case.
    fn margin_warning(&self, group: &GroupTiming, margin: &Margin) -> Block {
        match margin.by_hand {
            Some(ByHand::Unnoticed) => Block::Warning(
                "a planet can be put in WRONG without anyone noticing: a wrong seating stays within the backlash. Set \
                 every planet by its marks or by the list, and turn the whole set by hand before closing the case"
                    .into(),
            ),
            Some(ByHand::WithForce | ByHand::WillNotEnter) => Block::Note(
                "no wrong seating fits within the backlash given; a planet that nearly drops in is wrong or dirty"
                    .into(),
            ),
            None => Block::Note(self.what_is_missing(group, margin)),
        }
    }

    /// Which sizes would tell whether a wrong seating goes in unnoticed.
    fn what_is_missing(&self, group: &GroupTiming, margin: &Margin) -> String {
        let meshes: Vec<MeshId> = margin.errors.iter().map(|error| error.mesh).collect();
        let without = |given: &dyn Fn(&Mesh) -> bool| {
            let names: Vec<String> =
                meshes.iter().filter(|&&id| !given(self.set.mesh(id))).map(|&id| mesh(self.set, id)).collect();
            let all = names.len() == meshes.len();
            (!names.is_empty()).then(|| if all { String::new() } else { format!(" for {}", list(&names)) })
        };
        let pitch = without(&|mesh| mesh.pitch().is_some()).map(|names| format!("a pitch{names}"));
        let backlash = without(&|mesh| mesh.backlash().is_some()).map(|names| format!("a backlash{names}"));
        let wanted: Vec<String> = pitch.into_iter().chain(backlash).collect();
        let planet = if group.planets.len() == 1 { "a planet" } else { "the planets of a pin" };
        let consequence = format!("{planet} can be put in wrong without anyone noticing");
        let threshold = margin.least_backlash.map_or_else(
            || format!("whether {consequence} depends on the backlash"),
            |arc| format!("with a backlash of {} or more at the pitch circle, {consequence}", length(arc)),
        );
        format!("{threshold}; add {} to the description to have it checked", list(&wanted))
    }

    /// The loops with other planets that do not close, or that may not.
    fn loop_warnings(&self, group: &GroupTiming) -> impl Iterator<Item = Block> {
        let warning = |closed: &Loop| {
            let meshes = list(&closed.meshes.iter().map(|&id| mesh(self.set, id)).collect::<Vec<_>>());
            match &closed.closure {
                Closure::Closes => None,
                Closure::Misses(misfit) => Some(format!(
                    "these cannot all mesh, however the first planets are turned: {meshes}; the worst of them is out by \
                     {} of a tooth or more. Pins of one kind have to stand elsewhere against those of the other, or \
                     tooth counts have to change",
                    with_decimal(misfit)
                )),
                Closure::DependsOnIndex => Some(format!(
                    "these meshes close a loop: {meshes}. Whether all of them can be right at once depends on how the \
                     gears of one body stand against each other (their index), or on an angle between planets, neither \
                     of which the description gives: try it with one planet of each kind first. What is said here \
                     holds from the first pin to the others"
                )),
            }
        };
        group.loops.iter().filter_map(warning).map(Block::Warning).collect::<Vec<_>>().into_iter()
    }

    /// How each planet is turned, seen from one side.
    fn settings(&self, group: &GroupTiming, view: View) -> Table {
        let headings = ["pin", "pin at, degrees", "gear", "part of a turn", "degrees", "teeth", "nearest tooth"];
        let marks = if self.is_bevel(group) {
            "marks from the input side's direction, seen from the outer end of each pin"
        } else {
            "from the line to the centre to the mark"
        };
        Table {
            caption: format!("Seen from {}: {marks}, counter-clockwise (ccw) positive", view.name()),
            headings: headings.map(String::from).to_vec(),
            rows: group.pins.iter().flat_map(|pin| self.pin_rows(pin, view)).collect(),
        }
    }

    fn pin_rows(&self, pin: &PinTiming, view: View) -> Vec<Vec<String>> {
        let place = degrees(&part_of_turn(&view.seen(&pin.place)));
        let turns = pin.turns.iter().flatten();
        turns
            .flat_map(|planet| {
                let place = place.clone();
                planet.gears.iter().map(move |gear| {
                    let [turn, teeth] = [&planet.turn, &gear.teeth].map(|value| self.seen(view, gear, value));
                    vec![
                        pin.pin.to_string(),
                        place.clone(),
                        words::gear(self.set, gear.gear),
                        turn.to_string(),
                        degrees(&turn),
                        teeth_with_side(&teeth),
                        nearest_tooth(&teeth),
                    ]
                })
            })
            .collect()
    }

    /// A turn of a planet as a view shows it: bevel planets are looked at from the outer end
    /// of their pin, whichever side the set is seen from.
    pub(super) fn seen(&self, view: View, gear: &GearTurn, value: &Fraction) -> Fraction {
        if self.set.gear(gear.gear).kind().is_bevel() { value.clone() } else { view.seen(value) }
    }

    pub(super) fn spacings(&self, spacings: &[CentralSpacing]) -> Table {
        let mut rows = Vec::new();
        for spacing in spacings {
            let name = words::gear(self.set, spacing.gear);
            let mut seen: Vec<&Fraction> = Vec::new();
            for pitches in &spacing.pitches {
                if !seen.contains(&pitches) {
                    seen.push(pitches);
                    rows.push(vec![name.clone(), mixed(pitches), unmarked(pitches)]);
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
}

fn verdict(group: &GroupTiming) -> String {
    if !group.pins_go_together() {
        let refused: Vec<String> =
            group.pins.iter().filter(|pin| pin.turns.is_none()).map(|pin| pin.pin.to_string()).collect();
        let pins = if refused.len() == 1 { "pin" } else { "pins" };
        return format!("NO: with pin 1 set, nothing fits on {pins} {}", list(&refused));
    }
    if !group.goes_together() {
        return "NO: these planets do not go in beside those of another kind, see the warning".into();
    }
    let open = group.loops.iter().any(|closed| closed.closure == Closure::DependsOnIndex);
    match (open, group.pins.len(), group.marks.radial.serves()) {
        (true, _, _) => "by themselves yes; together with the other planets not known, see the warning".into(),
        (_, 1, _) => "yes: one pin always does".into(),
        (_, _, true) => "yes".into(),
        _ => "yes, when every planet is turned as listed below".into(),
    }
}

/// What to do with the tooth list.
fn how_to_set() -> &'static str {
    "Mark every planet alike. On pin 1 the mark points straight to the centre. On each other pin it stands to the side of \
     the line from the pin to the centre, by so many teeth of whichever gear you count on; with the nearest whole tooth \
     set there, that gear meshes only where it should"
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

/// What to do with the tooth list of bevel planets, whose pins stand across the main axis.
fn how_to_set_bevel_planets() -> &'static str {
    "Mark every planet alike. On pin 1 the mark points along the main axis, to the input side. On each other pin it stands \
     so many teeth round from that direction, looking from the outer end of the pin inward; turning the set over changes \
     nothing in that. With the nearest whole tooth set there, that gear meshes only where it should"
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

/// The nearest whole tooth; halfway between two, both.
fn nearest_tooth(teeth: &Fraction) -> String {
    let size = teeth.abs();
    let between = size.fract() == fraction(1, 2);
    let nearest = if between { format!("{} or {}", size.floor(), size.ceil()) } else { size.round().to_string() };
    if nearest == "0" { nearest } else { sided(&nearest, teeth) }
}

fn unmarked(pitches: &Fraction) -> String {
    if pitches.is_integer() { (pitches - Fraction::one()).to_string() } else { "no tooth falls on both lines".into() }
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
