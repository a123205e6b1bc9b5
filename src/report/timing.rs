//! The answer to "will it go together and how is each planet turned", for a person.

use super::document::{Block, Document, Fact, Table};
use super::words::{counted, degrees, length, list, member, mesh, mixed, rounded, with_decimal};
use crate::exact::{Fraction, fraction, nearest_whole, part_of_turn};
use crate::gearset::Gearset;
use crate::timing::{
    CenterDistance, CentralSpacing, Fit, GearTurn, GroupTiming, Margin, MarginSearch, MeshError, PinTiming, Refusal,
    ToothChange, WaysOut,
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
enum View {
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
    fn seen(self, counter_clockwise_from_input_side: &Fraction) -> Fraction {
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
            blocks.extend(cautions());
        }
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn group(&self, group: &GroupTiming, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading(self.heading(group)));
        let mut facts = vec![Fact::new("goes together", verdict(group))];
        facts.extend(equal_pins(group));
        facts.push(seatings(group));
        if group.goes_together() && group.pins.len() > 1 {
            facts.push(Fact::new("marks", self.marks(group)));
        }
        if group.goes_together() {
            facts.push(self.margin_fact(group));
        }
        blocks.push(Block::Facts(facts));
        blocks.extend(group.margin.as_ref().map(|margin| self.margin_warning(margin)));
        blocks.extend(self.index_warning(group));
        if group.goes_together() {
            if group.pins.len() > 1 && !group.marks.radial.serves() {
                blocks.extend([View::InputSide, View::OutputSide].map(|view| Block::Table(self.settings(group, view))));
            }
            if group.pins.len() > 1 {
                blocks.push(Block::Table(self.spacings(&group.central_spacings)));
            }
        } else {
            self.refused(group, blocks);
        }
    }

    fn heading(&self, group: &GroupTiming) -> String {
        let names: Vec<String> = group.planets.iter().map(|&planet| member(self.set, planet)).collect();
        format!("{} on {}, {}", list(&names), member(self.set, group.carrier), counted(group.pins.len(), "pin"))
    }

    fn marks(&self, group: &GroupTiming) -> String {
        let bevel = group
            .planets
            .iter()
            .flat_map(|&planet| self.set.member(planet).gears())
            .any(|&gear| self.set.gear(gear).kind().is_bevel());
        match (group.marks.radial.serves(), group.marks.parallel.serves()) {
            (true, _) if bevel => {
                "like marks serve: turn the mark of every bevel planet to the same side of the main axis".into()
            }
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

    fn errors(&self, errors: &[MeshError]) -> String {
        let error = |error: &MeshError| format!("{} at {}", mixed(&error.teeth), mesh(self.set, error.mesh));
        list(&errors.iter().map(error).collect::<Vec<_>>())
    }

    /// What the margin means for the one who closes the case.
    fn margin_warning(&self, margin: &Margin) -> Block {
        match margin.unnoticed {
            Some(Fit::WithinBacklash) => Block::Warning(
                "a planet can be put in WRONG without anyone noticing: a wrong seating stays within the backlash. Set \
                 every planet by its marks or by the list, and turn the whole set by hand before closing the case"
                    .into(),
            ),
            Some(Fit::BeyondBacklash) => Block::Note(
                "no wrong seating fits within the backlash given; a planet that nearly drops in is wrong or dirty"
                    .into(),
            ),
            None => Block::Note(match margin.largest_arc(self.set) {
                Some(arc) => format!(
                    "no backlash is given: if the backlash measured at the pitch circle is {} or more, a planet can \
                     be put in wrong without anyone noticing; add backlash to the description to have it checked",
                    length(arc)
                ),
                None => "add pitch and backlash to the description to learn whether a planet could be put in wrong \
                         without anyone noticing"
                    .into(),
            }),
        }
    }

    fn index_warning(&self, group: &GroupTiming) -> Option<Block> {
        if group.index_missing.is_empty() {
            return None;
        }
        let meshes: Vec<String> = group.index_missing.iter().map(|&id| mesh(self.set, id)).collect();
        Some(Block::Warning(format!(
            "these meshes close a loop with others of the set: {}. Whether even one planet of each kind goes in depends \
             on how the gears are set on their members (their index), which the description does not give; what is \
             said here holds from the first pin to the others",
            list(&meshes)
        )))
    }

    /// How each planet is turned, seen from one side.
    fn settings(&self, group: &GroupTiming, view: View) -> Table {
        let headings =
            ["pin", "pin at, degrees", "gear", "turn", "degrees", "teeth from the line of centres", "nearest tooth"];
        Table {
            caption: format!(
                "Seen from {}: where the mark of each planet stands, counted from the line of centres; counter-clockwise (ccw) is positive",
                view.name()
            ),
            headings: headings.map(String::from).to_vec(),
            rows: group.pins.iter().flat_map(|pin| self.pin_rows(pin, view)).collect(),
        }
    }

    fn pin_rows(&self, pin: &PinTiming, view: View) -> Vec<Vec<String>> {
        let place = degrees(&part_of_turn(&view.seen(&pin.place)));
        let turns = pin.turns.iter().flatten();
        turns
            .flat_map(|planet| {
                let turn = view.seen(&planet.turn);
                let place = place.clone();
                planet.gears.iter().map(move |gear| {
                    let teeth = view.seen(&gear.teeth);
                    vec![
                        pin.pin.to_string(),
                        place.clone(),
                        self.gear(gear),
                        turn.to_string(),
                        degrees(&turn),
                        sided(&mixed(&teeth), &teeth),
                        nearest_tooth(&teeth),
                    ]
                })
            })
            .collect()
    }

    fn gear(&self, turn: &GearTurn) -> String {
        let gear = self.set.gear(turn.gear);
        format!("{} {}", gear.name(), gear.tooth_count().get())
    }

    fn spacings(&self, spacings: &[CentralSpacing]) -> Table {
        let mut rows = Vec::new();
        for spacing in spacings {
            let gear = self.set.gear(spacing.gear);
            let name = format!("{} {}", gear.name(), gear.tooth_count().get());
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

    fn refused(&self, group: &GroupTiming, blocks: &mut Vec<Block>) {
        blocks.push(Block::Table(self.refusals(&group.refusals)));
        if let Some(closest) = &group.closest {
            let arc = closest.seating.largest_arc(self.set).map(|arc| format!(": up to {}", length(arc)));
            blocks.push(Block::Paragraph(format!(
                "At its closest, pin {} is out by {}{}",
                closest.pin,
                self.errors(&closest.seating.errors),
                arc.unwrap_or_default()
            )));
            if closest.seating.unnoticed == Some(Fit::WithinBacklash) {
                blocks.push(Block::Warning(
                    "that is within the backlash: it could be pushed together all the same, and would run with tight \
                     spots and no free play. Never force it"
                        .into(),
                ));
            }
        }
        if let Some(ways_out) = &group.ways_out {
            blocks.push(Block::Facts(self.ways_out(group, ways_out)));
        }
    }

    /// Which gears refuse, each combination with the pin where it is worst.
    fn refusals(&self, refusals: &[Refusal]) -> Table {
        let mut worst: Vec<&Refusal> = Vec::new();
        for refusal in refusals {
            match worst.iter_mut().find(|other| other.meshes == refusal.meshes) {
                Some(other) if refusal.misfit > other.misfit => *other = refusal,
                Some(_) => {}
                None => worst.push(refusal),
            }
        }
        let row = |refusal: &&Refusal| {
            let meshes: Vec<String> = refusal.meshes.iter().map(|&id| mesh(self.set, id)).collect();
            vec![list(&meshes), refusal.pin.to_string(), with_decimal(&refusal.misfit)]
        };
        Table {
            caption: "Which gears refuse, and by how much each is out at best when they share it".into(),
            headings: ["these cannot all mesh", "worst on pin", "out by, teeth"].map(String::from).to_vec(),
            rows: worst.iter().map(row).collect(),
        }
    }

    fn ways_out(&self, group: &GroupTiming, ways_out: &WaysOut) -> Vec<Fact> {
        let places = match &ways_out.places {
            Some(places) => {
                let moved = |(place, pin): (&Fraction, &PinTiming)| {
                    let by = (place - &pin.place) * fraction(360, 1);
                    let moved = if by.is_zero() { "stays".to_owned() } else { format!("{} degrees", signed(&by)) };
                    format!("pin {} at {} of a turn ({moved})", pin.pin, part_of_turn(place))
                };
                let moved: Vec<String> = places.iter().zip(&group.pins).map(moved).collect();
                format!("{}; drill them only if the carrier allows it", list(&moved))
            }
            None => "none: two pins would come to the same place".into(),
        };
        let changes: Vec<String> = ways_out.tooth_changes.iter().map(|change| self.tooth_change(change)).collect();
        let changes = if changes.is_empty() { "none found within three teeth".to_owned() } else { changes.join("; ") };
        vec![Fact::new("way out: uneven pins", places), Fact::new("way out: other teeth", changes)]
    }

    fn tooth_change(&self, change: &ToothChange) -> String {
        let gear = |new: &crate::timing::NewCount| {
            let gear = self.set.gear(new.gear);
            format!("{} {} instead of {}", gear.name(), new.tooth_count, gear.tooth_count().get())
        };
        let gears: Vec<String> = change.gears.iter().map(gear).collect();
        let distance = match change.center_distance {
            CenterDistance::Kept => "same centre distance",
            CenterDistance::NeedsProfileShift => "needs profile shift to keep the centre distance",
        };
        format!("{} ({distance})", list(&gears))
    }
}

fn verdict(group: &GroupTiming) -> String {
    if !group.goes_together() {
        let refused: Vec<String> =
            group.pins.iter().filter(|pin| pin.turns.is_none()).map(|pin| pin.pin.to_string()).collect();
        let pins = if refused.len() == 1 { "pin" } else { "pins" };
        return format!("NO: with pin 1 set, nothing fits on {pins} {}", list(&refused));
    }
    match (group.pins.len(), group.marks.radial.serves()) {
        (1, _) => "yes: one pin always does".into(),
        (_, true) => "yes".into(),
        _ => "yes, when every planet is turned as listed below".into(),
    }
}

fn equal_pins(group: &GroupTiming) -> Vec<Fact> {
    let divisor = &group.spacing_divisor;
    let rule = if divisor.is_zero() {
        "0: any place of a pin will do".to_owned()
    } else if divisor.is_one() {
        "1: one pin only".to_owned()
    } else {
        format!("{divisor}: pins go {} of a turn apart, or any multiple", Fraction::new(BigInt::one(), divisor.clone()))
    };
    let counts: Vec<String> = group.equal_pin_counts.iter().map(ToString::to_string).collect();
    vec![
        Fact::new("spacing divisor", rule),
        Fact::new(
            "equal pins, 2 to 8",
            format!("{} (by timing alone; whether they clear one another is not looked at)", list(&counts)),
        ),
    ]
}

fn seatings(group: &GroupTiming) -> Fact {
    let answer = match &group.equivalent_seatings {
        None => "any: no mesh keeps these planets from turning".to_owned(),
        Some(count) if count.is_one() => "1: each planet fits on its pin in one way only".to_owned(),
        Some(count) => format!("{count} on each pin, all equally good"),
    };
    Fact::new("seatings", answer)
}

/// A number of teeth with its side.
fn sided(text: &str, teeth: &Fraction) -> String {
    if teeth.is_zero() {
        "0".into()
    } else {
        format!("{text} {}", if teeth.is_positive() { "ccw" } else { "clockwise" })
    }
}

fn nearest_tooth(teeth: &Fraction) -> String {
    let whole = Fraction::from(nearest_whole(teeth));
    sided(&whole.abs().to_string(), &whole)
}

fn signed(value: &Fraction) -> String {
    let sign = if value.is_positive() { "+" } else { "" };
    format!("{sign}{}", rounded(value))
}

fn unmarked(pitches: &Fraction) -> String {
    if pitches.is_integer() { (pitches - Fraction::one()).to_string() } else { "no tooth falls on both lines".into() }
}

fn cautions() -> [Block; 3] {
    [
        "say from which side you look: the stack is built upside down and turned over, and every sense turns over \
         with it. Old marks may be a previous rebuilder's: trust the list, not the mark",
        "never force a planet that nearly drops in, and never run a unit that turns tight once in a turn. Clutch \
         springs are under load, and the stack is heavy",
        "geometry only: nothing here proves a gear strong enough; your maker's book and local rules come first",
    ]
    .map(|caution| Block::Note(caution.to_owned()))
}
