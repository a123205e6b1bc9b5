//! The answer to "the marks show this now: is it in time?", for a person.
//!
//! What could have gone in wrong unnoticed comes first; then yes or no, then what each way
//! of making the marks would mean, and for every cluster that is out which way to turn it.
//! Senses are those of the side that the reader looked from.

mod data;
pub(super) mod group;
mod group_data;
mod teeth;

use self::teeth::TeethSeen;
use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, Mark, Side};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::timing::sided;
use crate::report::words::{self, counted, length, list, member, mesh, mixed, rounded};
use crate::timing::{ByHand, Explanation, FoundTiming, NearSeating, PinFound, PinState, WayOfMarking};
use num_traits::Zero;

/// What old marks are worth.
pub(super) const OLD_MARKS_NOTE: &str = "old marks may be somebody's mistake, and nobody can see how they were made: when in doubt set every planet by the \
     list of toothmark timing and mark the same tooth of each";

/// How marks are read, and how far they can be trusted.
pub(super) const MARKS_NOTE: &str = "all marks may be turned alike: what counts is how they stand against one another. Bring one mark exactly to its \
     line by turning the set with the carrier at rest, then read the others; whole teeth are taken as good to half a \
     tooth, 10 1/3 to a sixth";

/// The same for bevel planets, which have no line to the centre in view.
const BEVEL_MARKS_NOTE: &str = "marks of bevel planets are read from the outer end of each pin, from the direction of the input side; turning the \
     set over changes nothing in that. All may be turned alike: what counts is how they stand against one another. Bring \
     one mark exactly to that direction by turning the set with the carrier at rest, then read the others; whole teeth \
     are taken as good to half a tooth, 10 1/3 to a sixth";

/// How a planet is turned.
pub(super) const TURNING_NOTE: &str = "to turn a planet take it out of mesh and put it back where every gear drops in with its mark nearest to the place \
     given; never force one that nearly drops in, and turn the whole set by hand before closing the case";

/// What the marks of a planet mean.
#[derive(Debug, Clone, Copy)]
pub struct Found<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The answer.
    pub found: &'a FoundTiming,
}

impl Found<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = vec![Block::Heading(self.heading())];
        blocks.extend(self.unnoticed());
        let mut facts = vec![Fact::new("in time", self.verdict()), Fact::new("read", readings(self.set))];
        facts.extend(self.found.explanations.iter().map(|it| Fact::new(self.name(it.convention), self.answer(it))));
        facts.extend(self.alike());
        if self.found.equivalent_seatings > 1 {
            let count = self.found.equivalent_seatings;
            facts.push(Fact::new("seatings", format!("{count} on each pin, all equally good; the nearest is meant")));
        }
        blocks.push(Block::Facts(facts));
        for explanation in self.found.explanations.iter().filter(|it| !self.is_as_above(it)) {
            blocks.extend(self.what_to_do(explanation));
        }
        blocks.extend(self.notes());
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn heading(&self) -> String {
        let (planet, carrier) = (member(self.set, self.found.planet), member(self.set, self.found.carrier));
        let pins = counted(self.found.readings.len(), "pin");
        format!("Marks of {planet} on {carrier}, {pins}, as found, seen from {}", self.seen_from())
    }

    fn is_bevel(&self) -> bool {
        self.set.is_bevel(self.found.planet)
    }

    /// Where the reader stands.
    fn seen_from(&self) -> &'static str {
        if self.is_bevel() { "the outer end of each pin" } else { side(self.found.seen) }
    }

    /// A convention as the subject of an answer.
    fn name(&self, convention: WayOfMarking) -> &'static str {
        if self.is_bevel() && convention == WayOfMarking::RadialInPlace {
            "made in place, like marks"
        } else {
            name(convention)
        }
    }

    /// A convention as a condition.
    fn if_made(&self, convention: WayOfMarking) -> &'static str {
        match convention {
            WayOfMarking::Alike if self.is_cluster() => "if the same tooth of every cluster is marked",
            WayOfMarking::Alike => "if the same tooth of every planet is marked",
            WayOfMarking::RadialInPlace if self.is_bevel() => {
                "if the marks were made in place, each to the same side of the main axis"
            }
            WayOfMarking::RadialInPlace => "if the marks were made in place, each to the centre",
            WayOfMarking::ParallelInPlace => "if the marks were made in place, all the same way",
        }
    }

    /// Whether there are several gears on a pin.
    fn is_cluster(&self) -> bool {
        self.set.member(self.found.planet).gears().len() > 1
    }

    fn teeth(&self) -> TeethSeen<'_> {
        TeethSeen { set: self.set, gear: self.found.gear, from: self.found.seen }
    }

    fn gear(&self) -> String {
        words::gear(self.set, self.found.gear)
    }

    /// Whether an explanation says the same as the first.
    fn is_as_above(&self, explanation: &Explanation) -> bool {
        let first = &self.found.explanations[0];
        explanation.convention != first.convention && explanation.pins == first.pins
    }

    fn unnoticed(&self) -> Vec<Block> {
        let warning = |explanation: &Explanation| {
            let (pin, seating) = explanation.unnoticed().next()?;
            Some(Block::Warning(format!(
                "a WRONG seating fits what was found, and goes in within the backlash: {}, the {} on pin {} may be teeth \
                 away from where it belongs ({}), with the gears out by only {}. {}",
                self.if_made(explanation.convention),
                if self.is_cluster() { "cluster" } else { "planet" },
                pin.pin,
                self.moved(seating),
                self.errors(seating),
                match pin.state {
                    PinState::Out => "It can be turned by hand like that and nobody feels it; put it right",
                    PinState::InTime =>
                        "The right seating fits as well: read that mark again, to a fraction of a tooth",
                },
            )))
        };
        self.found.explanations.iter().filter(|it| !self.is_as_above(it)).filter_map(warning).collect()
    }

    fn verdict(&self) -> String {
        let Some(first) = self.found.explanations.first() else {
            return "NO: these planets do not go together however they are turned; toothmark timing says why".into();
        };
        let others: Vec<String> = self.found.explanations[1..]
            .iter()
            .filter(|it| it.is_in_time())
            .map(|it| self.if_made(it.convention).to_owned())
            .collect();
        let alike = self.if_made(WayOfMarking::Alike);
        let answer = match (self.found.is_in_time(), first.is_in_time(), others.is_empty()) {
            (true, ..) if !first.pins.iter().any(|pin| pin.seatings.iter().any(NearSeating::could_be)) => {
                format!("yes, {alike}")
            }
            (true, ..) => format!("yes as far as could be read, {alike}; a wrong seating fits as well, see below"),
            (false, true, _) => format!("NOT CERTAIN: {alike} it may be, but see the warning"),
            (false, false, true) => "NO, whichever way the marks were made".into(),
            (false, false, false) => format!("NO, {alike}; yes, {}", others.join(", or ")),
        };
        let unread: Vec<String> = (1..)
            .zip(&self.found.readings)
            .filter(|(_, it)| it.is_none())
            .map(|(pin, _)| format!("pin {pin}"))
            .collect();
        if unread.is_empty() { answer } else { format!("{answer}; nothing is known of {}", list(&unread)) }
    }

    /// What was found, by one convention, in a sentence.
    fn answer(&self, explanation: &Explanation) -> String {
        if self.is_as_above(explanation) {
            return "comes to the same: a set that is right has such marks on the same teeth".into();
        }
        if explanation.is_in_time() {
            return "in time".into();
        }
        let out: Vec<String> = explanation.out().map(|pin| self.out(pin)).collect();
        let doubt = if explanation.could_be {
            ""
        } else {
            ". Gears could not be in mesh like that: the marks were made in another way, or something was miscounted"
        };
        format!("out against pin {}: {}{doubt}", explanation.reference, list(&out))
    }

    fn out(&self, pin: &PinFound) -> String {
        format!("pin {} stands {} of right", pin.pin, self.teeth().in_words(&pin.deviation))
    }

    /// Whether marks on the same teeth, set by either convention, could go together.
    fn alike(&self) -> Option<Fact> {
        let has_parallel = self.found.explanations.iter().any(|it| it.convention == WayOfMarking::ParallelInPlace);
        let answer = match (self.found.alike.radial.serves(), self.found.alike.parallel.serves()) {
            (true, _) if self.is_bevel() => "all marks to the same side of the main axis",
            (false, _) if self.is_bevel() => "not with all marks to the same side of the main axis",
            (true, true) => "all marks to the centre, and all the same way",
            (true, false) if has_parallel => "all marks to the centre, but not all the same way",
            (true, false) => "all marks to the centre",
            (false, true) => "all marks the same way, but not all to the centre",
            (false, false) if has_parallel => "neither all marks to the centre nor all the same way",
            (false, false) => "not with all marks to the centre",
        };
        let known = !self.found.explanations.is_empty();
        known.then(|| Fact::new("same tooth, could be", answer))
    }

    /// The tables of one explanation, which is the first or could be.
    fn what_to_do(&self, explanation: &Explanation) -> Vec<Block> {
        // What could not be in mesh is worth a table only where nothing better is known.
        let is_first = explanation.convention == WayOfMarking::Alike;
        let better = self.found.explanations.iter().any(|other| other.could_be);
        if !explanation.could_be && (better || !is_first) {
            return Vec::new();
        }
        let (made, reference) = (self.if_made(explanation.convention), explanation.reference);
        let along = self.set.found().is_some_and(|found| found.marks.iter().any(|it| matches!(it, Mark::Along(..))));
        let stays = match (along, self.is_bevel()) {
            (false, _) => "stays as it was read",
            (true, false) => "has its mark to the centre",
            (true, true) => "has its mark to the input side",
        };
        let turned = Table {
            caption: format!(
                "To be turned {made}: teeth of {}, seen from {}; pin {reference} {stays}",
                self.gear(),
                self.seen_from()
            ),
            headings: ["pin", "stands from right", "sure to", "turn it", "its mark belongs at"]
                .map(String::from)
                .to_vec(),
            rows: explanation.out().map(|pin| self.turn_row(pin)).collect(),
        };
        let seatings = explanation.pins.iter().flat_map(|pin| likely(pin).map(move |seating| (pin, seating)));
        let seatings = Table {
            caption: format!("Wrong seatings that fit what was read, {made}: each by itself beside the others"),
            headings: ["pin", "teeth from right", "then out by", "worst", "goes in"].map(String::from).to_vec(),
            rows: seatings.map(|(pin, seating)| self.seating_row(pin, seating)).collect(),
        };
        [turned, seatings].into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect()
    }

    fn turn_row(&self, pin: &PinFound) -> Vec<String> {
        vec![
            pin.pin.to_string(),
            self.teeth().short(&pin.deviation),
            number_of_teeth(&self.teeth().teeth(&pin.resolution)),
            self.teeth().short(&-&pin.deviation),
            self.teeth().short(&pin.target),
        ]
    }

    fn seating_row(&self, pin: &PinFound, seating: &NearSeating) -> Vec<String> {
        let mut arcs = seating.errors.iter().map(|error| error.arc(self.set));
        let worst = arcs.try_fold(0.0, |worst, arc| Some(f64::max(worst, arc?)));
        let part = format!("{} of a tooth", mixed(&seating.largest_error));
        vec![
            pin.pin.to_string(),
            self.moved(seating),
            self.errors(seating),
            worst.map_or(part.clone(), |arc| format!("{part}, {}", length(arc))),
            goes_in(seating.by_hand, seating.least_backlash),
        ]
    }

    /// By how many teeth each gear is moved: `1 ccw on d 31, 1 ccw on l 37`.
    fn moved(&self, seating: &NearSeating) -> String {
        let teeth = seating.errors.iter().zip(&seating.moved).map(|(error, &moved)| {
            let gears = self.set.mesh(error.mesh).gears();
            let own = gears.both().into_iter().find(|&&gear| self.set.gear(gear).member() == self.found.planet);
            let teeth = self.teeth().seen(&fraction(moved, 1));
            let gear = own.map(|&gear| words::gear(self.set, gear)).unwrap_or_default();
            format!("{} on {gear}", sided(&mixed(&teeth), &teeth))
        });
        let mut each: Vec<String> = teeth.collect();
        each.dedup();
        list(&each)
    }

    fn errors(&self, seating: &NearSeating) -> String {
        let error =
            |error: &crate::timing::MeshError| format!("{} at {}", mixed(&error.teeth), mesh(self.set, error.mesh));
        list(&seating.errors.iter().map(error).collect::<Vec<_>>())
    }

    fn notes(&self) -> Vec<Block> {
        let mut notes = vec![if self.is_bevel() { BEVEL_MARKS_NOTE } else { MARKS_NOTE }, OLD_MARKS_NOTE];
        if self.set.planet_groups().len() > 1 {
            notes.push(
                "these planets are judged by themselves; whether those of other kinds go in beside them, toothmark timing \
                 says",
            );
        }
        if self.found.explanations.first().is_some_and(|first| !first.is_in_time()) {
            notes.push(TURNING_NOTE);
        }
        notes.into_iter().map(|note| Block::Note(note.to_owned())).collect()
    }
}

/// The wrong seatings that could be, the least wrong few; of a cluster that is out at least the one that is least wrong.
fn likely(pin: &PinFound) -> impl Iterator<Item = &NearSeating> {
    const MOST: usize = 4;
    let shown =
        |&(index, seating): &(usize, &NearSeating)| seating.could_be() || (index == 0 && pin.state == PinState::Out);
    pin.seatings.iter().enumerate().filter(shown).map(|(_, seating)| seating).take(MOST)
}

/// Whether a seating goes in, or with which backlash it would.
pub(super) fn goes_in(by_hand: Option<ByHand>, least_backlash: Option<f64>) -> String {
    match (by_hand, least_backlash) {
        (Some(ByHand::Unnoticed), _) => "YES, unnoticed".into(),
        (Some(ByHand::WithForce), _) => "with force, tight all round".into(),
        (Some(ByHand::WillNotEnter), _) => "no, it would bind".into(),
        (None, Some(backlash)) => format!("with a backlash of {} or more", length(backlash)),
        (None, None) => "depends on the backlash".into(),
    }
}

/// What was read on each pin, in words.
pub(super) fn readings(set: &Gearset) -> String {
    let mark = |(index, mark): (usize, Mark)| {
        let shows = match &mark {
            Mark::Teeth(gear, teeth) => format!("{} of {}", sided(&mixed(teeth), teeth), words::gear(set, *gear)),
            Mark::Degrees(degrees) => sided(&format!("{} degrees", rounded(&abs(degrees))), degrees),
            Mark::Along(gear, teeth) => format!("{teeth} along {} to the next mark", words::gear(set, *gear)),
            Mark::Unread => "not read".into(),
        };
        format!("pin {}: {shows}", index + 1)
    };
    let planets = set.found().map(crate::gearset::Found::planets).unwrap_or_default();
    let named = planets.len() > 1;
    let of_planet = |planet: crate::gearset::Found| {
        let marks = planet.marks.into_iter().enumerate().map(mark).collect::<Vec<_>>().join("; ");
        if named { format!("{}: {marks}", member(set, planet.planet)) } else { marks }
    };
    planets.into_iter().map(of_planet).collect::<Vec<_>>().join("; ")
}

/// Teeth as people say them; of a reading in degrees, which gives long fractions, a decimal.
pub(super) fn number_of_teeth(teeth: &Fraction) -> String {
    if *teeth.denom() > 100.into() { rounded(&abs(teeth)) } else { mixed(teeth) }
}

pub(super) fn abs(value: &Fraction) -> Fraction {
    if *value < Fraction::zero() { -value } else { value.clone() }
}

pub(super) fn side(seen: Side) -> &'static str {
    match seen {
        Side::Input => "the input side",
        Side::Output => "the output side",
    }
}

/// A convention as the subject of an answer.
pub(super) fn name(convention: WayOfMarking) -> &'static str {
    match convention {
        WayOfMarking::Alike => "same tooth marked",
        WayOfMarking::RadialInPlace => "made in place, radial",
        WayOfMarking::ParallelInPlace => "made in place, parallel",
    }
}
