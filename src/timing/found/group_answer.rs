//! What is told of the marks of planets that mesh with one another.
//!
//! A [`FoundGroup`] holds what was read of each planet and one [`GroupExplanation`] for each way in which the
//! marks may have been made; that says of each pin whether it is in time, how far each planet on it is
//! turned from right, and which wrong seatings fit. Turns are counter-clockwise seen from the input side. Worked
//! out by [`super::group`].

use num_bigint::BigInt;
use num_traits::Zero;

use super::PinState;
use super::reading::Reading;
use super::way_of_marking::WayOfMarking;
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, MemberId, Side};
use crate::timing::by_hand::ByHand;
use crate::timing::marks::Marks;
use crate::timing::wrong::WrongSeating;

/// What the marks of planets that mesh with one another mean.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundGroup {
    /// All planets of the group.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// The side that was looked from.
    pub seen: Side,
    /// The planets whose marks were read.
    pub read: Vec<PlanetRead>,
    /// In how many ways the planets of one pin can be seated that look the same.
    pub equivalent_seatings: BigInt,
    /// Whether the same tooth of every planet, set radially or in parallel, could go together.
    pub alike: Marks,
    /// What was found, under each convention by which the marks may have been made, that of the
    /// same tooth on every planet first; empty where the set cannot go together at all.
    pub explanations: Vec<GroupExplanation>,
    /// Whether the wrong seatings that fit are known.
    pub seatings: SeatingsKnown,
}

/// A planet whose marks were read.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanetRead {
    /// The planet.
    pub planet: MemberId,
    /// The gear in whose teeth the answer is given: the one that was read, or the first in mesh.
    pub gear: GearId,
    /// What was read on each pin; `None` for a mark that was not seen.
    pub readings: Vec<Option<Reading>>,
    /// By how much of a turn this planet can be turned alone and be right again.
    pub alone: Fraction,
}

impl PlanetRead {
    /// Whether its readings are so coarse that none tells one seating from another by itself.
    pub fn tells_nothing_alone(&self) -> bool {
        let half = &self.alone / BigInt::from(2);
        self.readings.iter().flatten().all(|reading| reading.resolution.is_zero() || reading.resolution >= half)
    }
}

/// Whether wrong seatings were looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatingsKnown {
    /// All that fit are listed.
    Every,
    /// There are too many to look at.
    TooMany,
}

/// What was found, if the marks were made by one convention.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupExplanation {
    /// The convention.
    pub convention: WayOfMarking,
    /// The pin that the others are judged against, counted from 1.
    pub reference: usize,
    /// Each pin on which a mark was read.
    pub pins: Vec<GroupPin>,
    /// Whether gears could be in mesh like that: all pins that are out are at once near seatings
    /// that [could be](GroupSeating::could_be), as far as seatings are known.
    pub could_be: bool,
}

impl GroupExplanation {
    /// Whether every mark that was read is where it should be, within what can be read.
    pub fn is_in_time(&self) -> bool {
        self.pins.iter().all(|pin| pin.state == PinState::InTime)
    }

    /// The planets that have to be turned, each with its pin.
    pub fn out(&self) -> impl Iterator<Item = (usize, &PlanetFound)> {
        let all = self.pins.iter().flat_map(|pin| pin.planets.iter().map(move |planet| (pin.pin, planet)));
        all.filter(|(_, planet)| planet.state == PinState::Out)
    }

    /// The wrong seatings that fit what was read and go in within the backlash given.
    pub fn unnoticed(&self) -> impl Iterator<Item = (&GroupPin, &GroupSeating)> {
        let all = self.pins.iter().flat_map(|pin| pin.seatings.iter().map(move |seating| (pin, seating)));
        all.filter(|(_, seating)| seating.seating.by_hand == Some(ByHand::Unnoticed))
    }
}

/// The planets of one pin as they were found.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// Whether it is in time with the reference.
    pub state: PinState,
    /// Each planet whose mark was read on this pin.
    pub planets: Vec<PlanetFound>,
    /// The wrong seatings beside the other pins that agree which fit what was read, the one that is
    /// least out first.
    pub seatings: Vec<GroupSeating>,
}

/// One planet as it was found.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanetFound {
    /// The planet.
    pub planet: MemberId,
    /// Whether it is in time with its fellows; of a pin that is out as few planets are out as can be.
    pub state: PinState,
    /// How far it is turned from the nearest right seating, in turns, counter-clockwise seen from the
    /// input side.
    pub deviation: Fraction,
    /// The same in teeth of [`PlanetRead::gear`].
    pub teeth: Fraction,
    /// Where its mark belongs while its fellows stay where they were read: the turn from its own
    /// radius, in the same sense.
    pub target: Fraction,
    /// How far the deviation may be off, in turns.
    pub resolution: Fraction,
}

/// A wrong seating that fits what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupSeating {
    /// The seating, with the signs that fit.
    pub seating: WrongSeating,
}

impl GroupSeating {
    /// Whether gears could be turned like that at all: they [go in](ByHand::goes_in), or, where it is not known what a
    /// hand notices, no error is more than a quarter of a tooth.
    pub fn could_be(&self) -> bool {
        self.seating.by_hand.map_or_else(|| self.seating.largest_error <= fraction(1, 4), ByHand::goes_in)
    }
}

impl FoundGroup {
    /// Whether the set is in time if the same tooth of every planet is marked, and no wrong seating
    /// that goes in unnoticed fits what was read as well.
    pub fn is_in_time(&self) -> bool {
        self.explanations.first().is_some_and(|first| first.is_in_time() && first.unnoticed().next().is_none())
    }
}
