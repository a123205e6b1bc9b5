//! How it is said: of a cluster, of a plain planet, of bevel planets, of planets that mesh with one another; and how far
//! a planet is turned, in teeth of one of its gears, as the reader sees it.

use crate::exact::{Fraction, fraction, multiple};
use crate::gearset::{FoundMarks, GearId, Gearset, MarkReading, Side};
use crate::report::render::document::Block;
use crate::report::timing::sided;
use crate::report::words::{self, degrees, member, mixed, rounded};
use crate::timing::{FoundTiming, PinFound, PlanetFound, WayOfMarking};
use num_traits::{Signed, Zero};

/// What old marks are worth.
const OLD_MARKS_NOTE: &str = "old marks may be somebody's mistake, and nobody can see how they were made: when in doubt set every planet by the \
     list of toothmark timing and mark the same tooth of each";

/// How marks are read, and how far they can be trusted.
const MARKS_NOTE: &str = "all marks may be turned alike: what counts is how they stand against one another. Bring one mark exactly to its \
     line by turning the set with the carrier at rest, then read the others; whole teeth are taken as good to half a \
     tooth, 10 1/3 to a sixth";

/// The same for bevel planets, which have no line to the centre in view.
const BEVEL_MARKS_NOTE: &str = "marks of bevel planets are read from the outer end of each pin, from the direction of the input side; turning the \
     set over changes nothing in that. All may be turned alike: what counts is how they stand against one another. Bring \
     one mark exactly to that direction by turning the set with the carrier at rest, then read the others; whole teeth \
     are taken as good to half a tooth, 10 1/3 to a sixth";

/// How a planet is turned.
const TURNING_NOTE: &str = "to turn a planet take it out of mesh and put it back where every gear drops in with its mark nearest to the place \
     given; never force one that nearly drops in, and turn the whole set by hand before closing the case";

/// What is judged, for the choice of words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlanetKind {
    /// One planet of several gears.
    Cluster,
    /// One planet of one gear.
    Plain,
    /// Planets that mesh with one another.
    Meshed,
}

/// The words for one answer.
#[derive(Clone, Copy)]
pub(super) struct Wording<'a> {
    answer: &'a FoundTiming,
    set: &'a Gearset,
    pub(super) kind: PlanetKind,
}

impl<'a> Wording<'a> {
    pub(super) fn of(answer: &'a FoundTiming, set: &'a Gearset) -> Self {
        let kind = match answer.planet.map(|planet| set.member(planet).gears().len()) {
            None => PlanetKind::Meshed,
            Some(1) => PlanetKind::Plain,
            Some(_) => PlanetKind::Cluster,
        };
        Self { answer, set, kind }
    }

    pub(super) fn is_bevel(&self) -> bool {
        self.answer.planet.is_some_and(|planet| self.set.is_bevel(planet))
    }

    /// Where the reader stands.
    pub(super) fn seen_from(&self) -> &'static str {
        if self.is_bevel() { "the outer end of each pin" } else { self.answer.seen.name() }
    }

    /// A convention as the subject of an answer.
    pub(super) fn name(&self, convention: WayOfMarking) -> &'static str {
        match convention {
            WayOfMarking::Alike => "same tooth marked",
            WayOfMarking::RadialInPlace if self.is_bevel() => "made in place, like marks",
            WayOfMarking::RadialInPlace => "made in place, radial",
            WayOfMarking::ParallelInPlace => "made in place, parallel",
            WayOfMarking::EachPin => "made for each pin",
        }
    }

    /// A convention as a condition.
    pub(super) fn if_made(&self, convention: WayOfMarking) -> &'static str {
        match (convention, self.kind) {
            (WayOfMarking::Alike, PlanetKind::Cluster) => "if the same tooth of every cluster is marked",
            (WayOfMarking::Alike, PlanetKind::Plain) => "if the same tooth of every planet is marked",
            (WayOfMarking::Alike, PlanetKind::Meshed) => "if the same tooth is marked on every planet of a kind",
            (WayOfMarking::RadialInPlace, _) if self.is_bevel() => {
                "if the marks were made in place, each to the same side of the main axis"
            }
            (WayOfMarking::RadialInPlace, _) => "if the marks were made in place, each to the centre",
            (WayOfMarking::ParallelInPlace, _) => "if the marks were made in place, all the same way",
            (WayOfMarking::EachPin, _) => {
                "if for each pin its own tooth is marked, the one nearest the line to the centre"
            }
        }
    }

    /// What may stand in a wrong seating.
    pub(super) fn may_be_away(&self, pin: usize) -> String {
        match self.kind {
            PlanetKind::Cluster => format!("cluster on pin {pin} may be teeth away from where it belongs"),
            PlanetKind::Plain => format!("planet on pin {pin} may be teeth away from where it belongs"),
            PlanetKind::Meshed => format!("planets on pin {pin} may be away from where they belong"),
        }
    }

    /// What follows from a wrong seating that goes in unnoticed.
    pub(super) fn set_in_time(&self, pin: &PinFound) -> &'static str {
        match (self.kind, pin.in_time) {
            (PlanetKind::Meshed, false) => "They can be turned by hand like that and nobody feels it; set them in time",
            (_, false) => "It can be turned by hand like that and nobody feels it; set it in time",
            (PlanetKind::Meshed, true) => {
                "The right seating fits as well: read those marks again, to a fraction of a tooth"
            }
            (_, true) => "The right seating fits as well: read that mark again, to a fraction of a tooth",
        }
    }

    /// Whether marks on the same teeth, set by either convention, could go together.
    pub(super) fn alike(&self) -> Option<&'static str> {
        let has_parallel = self.answer.explanations.iter().any(|it| it.convention == WayOfMarking::ParallelInPlace);
        let said = match (self.answer.alike_radial, self.answer.alike_parallel) {
            (true, _) if self.is_bevel() => "all marks to the same side of the main axis",
            (false, _) if self.is_bevel() => "not with all marks to the same side of the main axis",
            (true, true) => "all marks to the centre, and all the same way",
            (true, false) if has_parallel => "all marks to the centre, but not all the same way",
            (true, false) => "all marks to the centre",
            (false, true) => "all marks the same way, but not all to the centre",
            (false, false) if has_parallel => "neither all marks to the centre nor all the same way",
            (false, false) => "not with all marks to the centre",
        };
        (!self.answer.explanations.is_empty()).then_some(said)
    }

    /// Whether teeth were counted along a central gear, which says nothing of places.
    pub(super) fn is_along(&self) -> bool {
        let read = self.set.found().map(FoundMarks::planets).unwrap_or_default();
        read.iter().flat_map(|planet| &planet.marks).any(|mark| matches!(mark, MarkReading::Along(..)))
    }

    /// What the reference does: teeth counted along a central gear say nothing of places.
    pub(super) fn stays(&self) -> &'static str {
        match (self.is_along(), self.kind) {
            (false, _) => "stays as it was read",
            (true, PlanetKind::Meshed) => "has those marks to the centre that were counted along a central gear",
            (true, _) if self.is_bevel() => "has its mark to the input side",
            (true, _) => "has its mark to the centre",
        }
    }

    /// What the wrong seatings of a pin are beside.
    pub(super) fn the_others(&self) -> &'static str {
        if self.kind == PlanetKind::Meshed { "the other pins" } else { "the others" }
    }

    pub(super) fn teeth(&self, gear: GearId) -> TeethSeen<'a> {
        TeethSeen { set: self.set, gear, from: self.answer.seen }
    }
}

/// The gear that turns are told in, and where the reader stands.
#[derive(Clone, Copy)]
pub(super) struct TeethSeen<'a> {
    set: &'a Gearset,
    gear: GearId,
    from: Side,
}

impl TeethSeen<'_> {
    /// A turn to carry out: `1 tooth of d 31 clockwise`. A part of a tooth cannot be counted, and is told in degrees,
    /// unless it is as little as decimals leave of a third or a seventh of a tooth.
    pub(super) fn turn_it(self, planet: &PlanetFound) -> String {
        let teeth = self.seen(&planet.turn_by_teeth);
        let whole = teeth.round();
        let is_counted = !whole.is_zero() && (&teeth - &whole).abs() <= fraction(1, 20);
        let amount = if is_counted {
            format!("{} of {}", in_full(&whole), words::gear(self.set, self.gear))
        } else {
            match degrees(&planet.deviation.abs()).as_str() {
                "1" => "1 degree".into(),
                amount => format!("{amount} degrees"),
            }
        };
        format!("{amount} {}", sense_in_full(&teeth))
    }

    /// Where a mark belongs: `10 1/3 teeth counter-clockwise of`, or `on`.
    pub(super) fn beside(&self, turn: &Fraction) -> String {
        let teeth = self.seen(&self.teeth(turn));
        if teeth.is_zero() { "on".into() } else { format!("{} {} of", in_full(&teeth), sense_in_full(&teeth)) }
    }

    /// A turn as the reader sees it: from the output side the other way round, but for bevel planets, which are looked
    /// at from the outer end of their pin.
    pub(super) fn seen(&self, turn: &Fraction) -> Fraction {
        self.set.turn_seen(self.from, self.set.gear(self.gear).member(), turn)
    }

    /// A turn with its side: `10 1/3 clockwise`.
    pub(super) fn short(&self, turn: &Fraction) -> String {
        let teeth = self.seen(&self.teeth(turn));
        sided(&number_of_teeth(&teeth), &teeth)
    }

    /// The same in words: `1 tooth of d 31 clockwise`.
    pub(super) fn in_words(&self, turn: &Fraction) -> String {
        let teeth = self.seen(&self.teeth(turn));
        let word = if teeth.abs() > fraction(1, 1) { "teeth" } else { "tooth" };
        sided(&format!("{} {word} of {}", number_of_teeth(&teeth), words::gear(self.set, self.gear)), &teeth)
    }

    /// A part of a turn, without a side to look from.
    pub(super) fn size(&self, turn: &Fraction) -> String {
        number_of_teeth(&self.teeth(turn))
    }

    pub(super) fn teeth(&self, turn: &Fraction) -> Fraction {
        multiple(turn, self.set.gear(self.gear).tooth_count().get().into())
    }
}

fn in_full(teeth: &Fraction) -> String {
    let word = if teeth.abs() > fraction(1, 1) { "teeth" } else { "tooth" };
    format!("{} {word}", number_of_teeth(teeth))
}

fn sense_in_full(teeth: &Fraction) -> &'static str {
    if teeth.is_positive() { "counter-clockwise" } else { "clockwise" }
}

/// Teeth as people say them; of a reading in degrees, which gives long fractions, a decimal.
fn number_of_teeth(teeth: &Fraction) -> String {
    if *teeth.denom() > 100.into() { rounded(&teeth.abs()) } else { mixed(teeth) }
}

/// What was read on each pin, in words.
pub(in crate::report) fn readings(set: &Gearset) -> String {
    let planets = set.found().map(FoundMarks::planets).unwrap_or_default();
    let named = planets.len() > 1;
    let of_planet = |planet: FoundMarks| {
        let marks = planet.marks.iter().zip(1..).map(|(mark, pin)| format!("pin {pin}: {}", shows(set, mark)));
        let marks = marks.collect::<Vec<_>>().join("; ");
        if named { format!("{}: {marks}", member(set, planet.planet)) } else { marks }
    };
    planets.into_iter().map(of_planet).collect::<Vec<_>>().join("; ")
}

pub(super) fn shows(set: &Gearset, mark: &MarkReading) -> String {
    match mark {
        MarkReading::Teeth(gear, teeth) => format!("{} of {}", sided(&mixed(teeth), teeth), words::gear(set, *gear)),
        MarkReading::Degrees(degrees) => sided(&format!("{} degrees", rounded(&degrees.abs())), degrees),
        MarkReading::Along(gear, teeth) => format!("{teeth} along {} to the next mark", words::gear(set, *gear)),
        MarkReading::Unread => "not read".into(),
    }
}

/// What is to be said beside every answer of its kind.
pub(super) fn notes(answer: &FoundTiming, set: &Gearset) -> impl Iterator<Item = Block> {
    let wording = Wording::of(answer, set);
    let mut notes = vec![if wording.is_bevel() { BEVEL_MARKS_NOTE } else { MARKS_NOTE }, OLD_MARKS_NOTE];
    if wording.kind != PlanetKind::Meshed && set.planet_groups().len() > 1 {
        notes.push(
            "these planets are judged by themselves; whether those of other kinds go in beside them, toothmark timing \
             says",
        );
    }
    if answer.read.len() > 1 {
        notes.push(
            "read the planets one after the other: bring one mark of each exactly to its line before its others are read",
        );
    }
    if answer.explanations.first().is_some_and(|first| !first.in_time) {
        notes.push(TURNING_NOTE);
    }
    notes.into_iter().map(|note| Block::Note(note.to_owned()))
}
