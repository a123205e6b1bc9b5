//! What is told of marks that were found.
//!
//! A [`FoundTiming`] holds what was read and one [`Explanation`] for each way in which the marks may have been made; that
//! says of each pin whether it is in time, how far each planet on it is turned from right, and which wrong seatings fit.
//! Turns are counter-clockwise seen from the input side, whichever side was looked from; of bevel planets, from the
//! outer end of each pin.

use num_bigint::BigInt;
use serde::Serialize;

use super::other_way::OtherWayRound;
use super::reading::Reading;
use super::way_of_marking::{MadeMarks, WayOfMarking};
use crate::exact::Fraction;
use crate::gearset::{GearId, MemberId, MeshId, Side};
use crate::timing::by_hand::ByHand;

/// What the marks of planets mean: of one kind, or of several that mesh with one another.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FoundTiming {
    /// The title of the gearset.
    pub gearset: String,
    /// The planet, if it meshes with no other.
    pub planet: Option<MemberId>,
    /// The carrier of the pins.
    pub carrier: MemberId,
    /// The side that was looked from.
    pub seen: Side,
    /// Whether the set is in time if the marks were made as `made` says, or, where that is not known, on the same tooth
    /// of every planet of a kind; and no wrong seating that goes in unnoticed fits what was read as well.
    pub in_time: bool,
    /// The gear in whose teeth the answer is given, if the planet meshes with no other.
    pub gear: Option<GearId>,
    /// In how many ways the planets of one pin can be seated that look the same and are equally good.
    #[serde(serialize_with = "crate::exact::serialize_integer")]
    #[cfg_attr(feature = "report", schemars(with = "i64"))]
    pub equivalent_seatings: BigInt,
    /// Whether the same tooth of every planet of a kind could go together with all marks to the centre.
    pub alike_radial: bool,
    /// Whether it could with all marks the same way.
    pub alike_parallel: bool,
    /// What was read on each pin, null for a mark that was not seen; empty for planets that mesh with one another.
    pub readings: Vec<Option<Reading>>,
    /// What was found, under each convention by which the marks may have been made, as far as `made` allows it, that of
    /// the same tooth first; empty where the set cannot go together at all.
    pub explanations: Vec<Explanation>,
    /// The planets that are judged together: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// Whether the wrong seatings that fit are known.
    pub wrong_seatings: SeatingsKnown,
    /// The planets whose marks were read.
    pub read: Vec<PlanetRead>,
    /// What is known of how the marks were made.
    pub made: Option<MadeMarks>,
    /// The place of each pin, in turns from pin 1, counter-clockwise seen from the side that was looked from.
    pub pin_places: Vec<Fraction>,
    /// Where the set is in time by no convention: what may have been taken the other way round, so that it is.
    pub in_time_if: Vec<OtherWayRound>,
}

impl FoundTiming {
    /// The explanation to go by: one by which gears could be in mesh as they were found, of several that which leaves
    /// the fewest planets out, of as many the first.
    pub fn likeliest(&self) -> Option<&Explanation> {
        self.explanations.iter().min_by_key(|it| (!it.could_be, it.out().count()))
    }
}

/// A planet whose marks were read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlanetRead {
    /// The planet.
    pub planet: MemberId,
    /// The gear in whose teeth the answer is given: the one that was read, or the first in mesh.
    pub gear: GearId,
    /// By how much of a turn this planet can be turned alone and be right again.
    pub right_again_after: Fraction,
    /// What was read on each pin; null for a mark that was not seen.
    pub readings: Vec<Option<Reading>>,
    /// Whether its readings are so coarse that none tells one seating from another by itself.
    pub too_coarse: bool,
}

/// Whether wrong seatings were looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum SeatingsKnown {
    /// All that fit are listed.
    #[serde(rename = "all that fit")]
    Every,
    /// There are too many to look at.
    #[serde(rename = "too many")]
    TooMany,
}

/// What was found, if the marks were made by one convention.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Explanation {
    /// The convention.
    pub convention: WayOfMarking,
    /// Whether every mark that was read is where it should be, within what can be read.
    pub in_time: bool,
    /// Whether gears could be in mesh like that: all pins that are out are at once near seatings that could be, as far
    /// as seatings are known.
    pub could_be: bool,
    /// The pin that the others are judged against, counted from 1: of those that leave the fewest out the first.
    pub reference: usize,
    /// Each pin on which a mark was read.
    pub pins: Vec<PinFound>,
    /// Whether it says the same of every pin as the first convention, and is not that.
    pub same_as_first: bool,
}

impl Explanation {
    /// The planets that have to be turned, each with its pin.
    pub fn out(&self) -> impl Iterator<Item = (&PinFound, &PlanetFound)> {
        let all = self.pins.iter().flat_map(|pin| pin.planets.iter().map(move |planet| (pin, planet)));
        all.filter(|(_, planet)| !planet.in_time)
    }

    /// The wrong seatings that fit what was read and go in unnoticed.
    pub fn unnoticed(&self) -> impl Iterator<Item = (&PinFound, &NearSeating)> {
        let all = self.pins.iter().flat_map(|pin| pin.wrong_seatings.iter().map(move |seating| (pin, seating)));
        all.filter(|(_, seating)| seating.by_hand == Some(ByHand::Unnoticed))
    }
}

/// The planets of one pin as they were found.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PinFound {
    /// The pin, counted from 1.
    pub pin: usize,
    /// Whether it is the reference, or agrees with it.
    pub in_time: bool,
    /// What is said of the one planet, if it meshes with no other; as in `planets`.
    pub deviation: Option<Fraction>,
    /// The same in teeth.
    pub teeth: Option<Fraction>,
    /// Where its mark belongs.
    pub target: Option<Fraction>,
    /// How far the deviation may be off.
    pub resolution: Option<Fraction>,
    /// The wrong seatings beside the other pins that agree which fit what was read, the one that is least out first. Of
    /// two pins that agree the reference is not judged.
    pub wrong_seatings: Vec<NearSeating>,
    /// Each planet whose mark was read on this pin.
    pub planets: Vec<PlanetFound>,
    /// Of a pin that is out, which of its wrong seatings it most likely stands in, counted from 0; of those that could
    /// be the one nearest to what was read, or else of all.
    pub stands_in: Option<usize>,
}

/// One planet as it was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct PlanetFound {
    /// The planet.
    pub planet: MemberId,
    /// Whether it is in time with its fellows; of a pin that is out as few planets are out as can be.
    pub in_time: bool,
    /// How far it is turned from the nearest right seating beside its fellows that agree, in turns.
    pub deviation: Fraction,
    /// The same in teeth of `gear`.
    pub teeth: Fraction,
    /// Where its mark belongs while its fellows stay where they were read: the turn from its own radius.
    pub target: Fraction,
    /// How far the deviation may be off, in turns, by the resolution of the readings.
    pub resolution: Fraction,
    /// The gear in whose teeth it is told.
    pub gear: GearId,
    /// By how many teeth of that gear to turn it so that it is right, counter-clockwise positive seen from the input
    /// side: whole ones where a wrong seating fits.
    pub turn_by_teeth: Fraction,
}

/// A wrong seating that fits what was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NearSeating {
    /// How far the planet is turned from right there, at its best, if it meshes with no other.
    pub turn: Option<Fraction>,
    /// The largest error, in teeth.
    pub largest_error: Fraction,
    /// Whether it goes in unnoticed; null where a pitch or a backlash is not given.
    pub within_backlash: Option<bool>,
    /// The least backlash, the same at every mesh, with which it goes in; null where a pitch is not given.
    pub least_backlash_mm: Option<f64>,
    /// Every mesh.
    pub meshes: Vec<NearMesh>,
    /// How far each planet is turned, in turns: one by itself as near to what was read as can be, of planets that mesh
    /// with one another each from the nearest right seating.
    pub turns: Vec<Fraction>,
    /// The largest error as an arc at the pitch circle; null where a pitch is not given.
    pub largest_error_mm: Option<f64>,
    /// What a hand notices; null where a pitch or a backlash is not given.
    pub by_hand: Option<ByHand>,
    /// Whether planets could be turned like that at all: they go in, unnoticed or with force, or, where that is not
    /// known, no error is more than a quarter of a tooth.
    pub could_be: bool,
}

/// One mesh of a wrong seating that fits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct NearMesh {
    /// The gears in mesh.
    pub mesh: MeshId,
    /// By how many whole teeth the planets are off at it, in the sense of their turns.
    pub moved: i64,
    /// The error that is left over, in teeth.
    pub error: Fraction,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoFoundAnswer {
    /// The gearset holds no readings.
    #[error("no marks are given as found")]
    NothingFound,
    /// Planets were read that are set by themselves.
    #[error("planets {planet:?} and {other:?} do not mesh with one another, so their marks are not judged together")]
    OtherGroup {
        /// The planet.
        planet: String,
        /// The other.
        other: String,
    },
    /// No mesh keeps a planet from turning.
    #[error(
        "no mesh keeps planet {planet:?}, or one that it meshes with, from turning, so there is no right place for a mark"
    )]
    TurnsFreely {
        /// The planet.
        planet: String,
    },
    /// What was read leaves more open than can be looked at.
    #[error("what was read leaves more open than can be looked at")]
    TooMuchOpen,
}
