//! The answer to "the marks show this now: is it in time?", for planets that mesh with one another.
//!
//! As for single clusters ([`crate::report::found`]): what could have gone in wrong unnoticed first, then
//! yes or no, then for each way of making the marks which planet on which pin has to be turned,
//! by how many teeth and which way, seen from the side that was looked from.

use super::teeth::TeethSeen;
use super::{MARKS_NOTE, OLD_MARKS_NOTE, TURNING_NOTE, goes_in, name, number_of_teeth, readings, side};
use crate::exact::{Fraction, fraction, multiple};
use crate::gearset::{GearId, Gearset, Mark, MemberId};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{self, counted, length, list, member, mesh, mixed};
use crate::timing::{
    FoundGroup, GroupExplanation, GroupPin, GroupSeating, PinState, PlanetFound, SeatingsKnown, WayOfMarking,
};

/// What the marks of planets that mesh with one another mean.
#[derive(Debug, Clone, Copy)]
pub struct FoundInGroup<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The answer.
    pub found: &'a FoundGroup,
}

impl FoundInGroup<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![Block::Heading(self.heading())];
        blocks.extend(self.unnoticed());
        let mut facts = vec![Fact::new("in time", self.verdict()), Fact::new("read", readings(self.set))];
        facts.extend(self.coarse());
        facts.extend(self.found.explanations.iter().map(|it| Fact::new(name(it.convention), self.answer(it))));
        facts.push(Fact::new("seatings", self.seatings_alike()));
        blocks.push(Block::Facts(facts));
        for explanation in self.found.explanations.iter().filter(|it| !self.is_as_above(it)) {
            blocks.extend(self.what_to_do(explanation));
        }
        blocks.extend(self.notes());
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn heading(&self) -> String {
        let read: Vec<String> = self.found.read.iter().map(|read| member(self.set, read.planet)).collect();
        let pins = self.found.read.first().map_or(0, |read| read.readings.len());
        let (carrier, pins) = (member(self.set, self.found.carrier), counted(pins, "pin"));
        let from = side(self.found.seen);
        format!("Marks of {} on {carrier}, {pins} each, as found, seen from {from}", list(&read))
    }

    fn teeth(&self, gear: GearId) -> TeethSeen<'_> {
        TeethSeen { set: self.set, gear, from: self.found.seen }
    }

    /// The gear in whose teeth a planet is told: the one that was read, or its first in mesh.
    fn gear_of(&self, planet: MemberId) -> Option<GearId> {
        let read = self.found.read.iter().find(|read| read.planet == planet).map(|read| read.gear);
        let own = |gear: &&GearId| self.set.gear(**gear).member() == planet;
        read.or_else(|| self.set.meshes().iter().find_map(|mesh| mesh.gears().both().into_iter().find(own).copied()))
    }

    fn is_as_above(&self, explanation: &GroupExplanation) -> bool {
        let first = &self.found.explanations[0];
        explanation.convention != first.convention && explanation.pins == first.pins
    }

    fn unnoticed(&self) -> Vec<Block> {
        let warning = |explanation: &GroupExplanation| {
            let (pin, seating) = explanation.unnoticed().next()?;
            let then = match pin.state {
                PinState::Out => "They can be turned by hand like that and nobody feels it; put them right",
                PinState::InTime => "The right seating fits as well: read those marks again, to a fraction of a tooth",
            };
            Some(Block::Warning(format!(
                "a WRONG seating fits what was found, and goes in within the backlash: {}, the planets on pin {} may be \
                 away from where they belong ({}), with the gears out by only {}. {then}",
                if_made(explanation.convention),
                pin.pin,
                self.moved(seating),
                self.errors(seating),
            )))
        };
        self.found.explanations.iter().filter(|it| !self.is_as_above(it)).filter_map(warning).collect()
    }

    fn verdict(&self) -> String {
        let Some(first) = self.found.explanations.first() else {
            return "NO: these planets do not go together however they are turned; toothmark timing says why".into();
        };
        let others = self.found.explanations[1..].iter().filter(|it| it.is_in_time());
        let others: Vec<String> = others.map(|it| if_made(it.convention).to_owned()).collect();
        let alike = if_made(WayOfMarking::Alike);
        let fits = |pin: &GroupPin| pin.seatings.iter().any(GroupSeating::could_be);
        let answer = match (first.is_in_time(), first.unnoticed().next().is_some(), others.is_empty()) {
            (true, true, _) => format!("NOT CERTAIN: {alike} it may be, but see the warning"),
            (true, false, _) if first.pins.iter().any(fits) => {
                format!("yes as far as could be read, {alike}; a wrong seating fits as well, see below")
            }
            (true, false, _) if self.found.seatings == SeatingsKnown::TooMany => {
                format!("yes as far as could be read, {alike}; there are too many wrong seatings to look at")
            }
            (true, false, _) => format!("yes, {alike}"),
            (false, _, true) => "NO, whichever way the marks were made".into(),
            (false, _, false) => format!("NO, {alike}; yes, {}", others.join(", or ")),
        };
        let pins = self.found.read.first().map_or(0, |read| read.readings.len());
        let is_unread = |pin: &usize| self.found.read.iter().all(|read| read.readings[pin - 1].is_none());
        let unread: Vec<String> = (1..=pins).filter(is_unread).map(|pin| format!("pin {pin}")).collect();
        if unread.is_empty() { answer } else { format!("{answer}; nothing is known of {}", list(&unread)) }
    }

    /// Which readings cannot tell one seating from another, and which planets were not read.
    fn coarse(&self) -> Vec<Fact> {
        let nothing = self.found.read.iter().filter(|read| read.tells_nothing_alone());
        let nothing: Vec<String> = nothing.map(|read| member(self.set, read.planet)).collect();
        let is_read = |id: &MemberId| self.found.read.iter().any(|read| read.planet == *id);
        let unread = self.found.planets.iter().filter(|id| !is_read(id));
        let unread: Vec<String> = unread.map(|&id| member(self.set, id)).collect();
        let told = |names: Vec<String>, label: &str, end: &str| {
            (!names.is_empty()).then(|| Fact::new(label, format!("{}: {end}", list(&names))))
        };
        let coarse = "these readings cannot tell one right seating from the next, or from what lies between";
        [
            told(nothing, "too coarse", coarse),
            told(unread, "not read", "may stand anywhere that fits what was read of the others"),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn answer(&self, explanation: &GroupExplanation) -> String {
        if self.is_as_above(explanation) {
            return "comes to the same: a set that is right has such marks on the same teeth".into();
        }
        if explanation.is_in_time() {
            return "in time".into();
        }
        let stands = |(pin, planet): (usize, &PlanetFound)| {
            let gear = self.gear_of(planet.planet)?;
            let teeth = self.teeth(gear).in_words(&planet.deviation);
            Some(format!("{} on pin {pin} stands {teeth} of right", member(self.set, planet.planet)))
        };
        let out: Vec<String> = explanation.out().filter_map(stands).collect();
        let doubt = if explanation.could_be || self.found.seatings == SeatingsKnown::TooMany {
            ""
        } else {
            ". Gears could not be in mesh like that: the marks were made in another way, or something was miscounted"
        };
        format!("out against pin {}: {}{doubt}", explanation.reference, list(&out))
    }

    fn seatings_alike(&self) -> String {
        let alone = |read: &crate::timing::PlanetRead| {
            let count = i64::from(self.set.gear(read.gear).tooth_count().get());
            let teeth = multiple(&read.alone, count);
            let word = if teeth > fraction(1, 1) { "teeth" } else { "tooth" };
            let gear = words::gear(self.set, read.gear);
            format!("{} can be turned alone by {} {word} of {gear}", member(self.set, read.planet), mixed(&teeth))
        };
        let alone: Vec<String> = self.found.read.iter().map(alone).collect();
        let count = &self.found.equivalent_seatings;
        format!("{count} on each pin, all equally good; the nearest is meant: {} and be right again", list(&alone))
    }

    /// The tables of one explanation, which is the first or could be.
    fn what_to_do(&self, explanation: &GroupExplanation) -> Vec<Block> {
        let is_first = explanation.convention == WayOfMarking::Alike;
        let better = self.found.explanations.iter().any(|other| other.could_be);
        if !explanation.could_be && (better || !is_first) {
            return Vec::new();
        }
        let (made, reference) = (if_made(explanation.convention), explanation.reference);
        let turned = Table {
            caption: format!(
                "To be turned {made}: teeth, seen from {}; pin {reference} {}",
                side(self.found.seen),
                self.stays()
            ),
            headings: ["pin", "planet", "gear", "stands from right", "sure to", "turn it", "its mark belongs at"]
                .map(String::from)
                .to_vec(),
            rows: explanation.out().filter_map(|(pin, planet)| self.turn_row(pin, planet)).collect(),
        };
        let likely = explanation.pins.iter().flat_map(|pin| likely(pin).map(move |seating| (pin.pin, seating)));
        let seatings = Table {
            caption: format!("Wrong seatings that fit what was read, {made}: each by itself beside the other pins"),
            headings: ["pin", "turned from nearest right", "then out by", "worst", "goes in"]
                .map(String::from)
                .to_vec(),
            rows: likely.map(|(pin, seating)| self.seating_row(pin, seating)).collect(),
        };
        [turned, seatings].into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect()
    }

    /// What the reference does: teeth counted along a central gear say nothing of places.
    fn stays(&self) -> &'static str {
        let found = self.set.found().map(crate::gearset::Found::planets).unwrap_or_default();
        let along = found.iter().flat_map(|planet| &planet.marks).any(|mark| matches!(mark, Mark::Along(..)));
        if along {
            "has those marks to the centre that were counted along a central gear"
        } else {
            "stays as it was read"
        }
    }

    fn turn_row(&self, pin: usize, planet: &PlanetFound) -> Option<Vec<String>> {
        let gear = self.gear_of(planet.planet)?;
        Some(vec![
            pin.to_string(),
            member(self.set, planet.planet),
            words::gear(self.set, gear),
            self.teeth(gear).short(&planet.deviation),
            number_of_teeth(&self.teeth(gear).teeth(&planet.resolution)),
            self.teeth(gear).short(&-&planet.deviation),
            self.teeth(gear).short(&planet.target),
        ])
    }

    fn seating_row(&self, pin: usize, seating: &GroupSeating) -> Vec<String> {
        let wrong = &seating.seating;
        let worst = wrong.meshes.iter().try_fold(0.0, |worst, mesh| Some(f64::max(worst, mesh.arc?)));
        let part = format!("{} of a tooth", mixed(&wrong.largest_error));
        vec![
            pin.to_string(),
            self.moved(seating),
            self.errors(seating),
            worst.map_or(part.clone(), |arc| format!("{part}, {}", length(arc))),
            goes_in(wrong.by_hand, wrong.goes_in_from),
        ]
    }

    /// By how much each planet is turned: `1 ccw on large 30 and 1/5 clockwise on i 18`.
    fn moved(&self, seating: &GroupSeating) -> String {
        let turned = |(&planet, turn): (&MemberId, &Fraction)| {
            let gear = self.gear_of(planet)?;
            Some(format!("{} on {}", self.teeth(gear).short(turn), words::gear(self.set, gear)))
        };
        let turned: Vec<String> = self.found.planets.iter().zip(&seating.seating.turns).filter_map(turned).collect();
        list(&turned)
    }

    fn errors(&self, seating: &GroupSeating) -> String {
        let error = |it: &crate::timing::WrongMesh| format!("{} at {}", mixed(&it.error), mesh(self.set, it.mesh));
        list(&seating.seating.meshes.iter().map(error).collect::<Vec<_>>())
    }

    fn notes(&self) -> Vec<Block> {
        let mut notes = vec![MARKS_NOTE, OLD_MARKS_NOTE];
        if self.found.read.len() > 1 {
            notes.push("read the planets one after the other: bring one mark of each exactly to its line before its others are read");
        }
        if self.found.explanations.first().is_some_and(|first| !first.is_in_time()) {
            notes.push(TURNING_NOTE);
        }
        notes.into_iter().map(|note| Block::Note(note.to_owned())).collect()
    }
}

/// The wrong seatings that could be, the least wrong few; of a pin that is out at least the one that
/// is least wrong.
fn likely(pin: &GroupPin) -> impl Iterator<Item = &GroupSeating> {
    const MOST: usize = 4;
    let shown =
        |&(index, seating): &(usize, &GroupSeating)| seating.could_be() || (index == 0 && pin.state == PinState::Out);
    pin.seatings.iter().enumerate().filter(shown).map(|(_, seating)| seating).take(MOST)
}

/// A convention as a condition.
fn if_made(convention: WayOfMarking) -> &'static str {
    match convention {
        WayOfMarking::Alike => "if the same tooth is marked on every planet of a kind",
        WayOfMarking::RadialInPlace => "if the marks were made in place, each to the centre",
        WayOfMarking::ParallelInPlace => "if the marks were made in place, all the same way",
    }
}
