//! The marks show this now: is the set in time, and if not, what has to be turned?
//!
//! A reading gives the turn of a cluster against its own radius, with a resolution. Since
//! the whole set can be rolled with the carrier at rest, a turn that all marks have in
//! common means nothing; what counts is how far each is from where its convention expects
//! it, against the others. For a convention with expected turns `e_k`, the clusters that
//! are right among themselves are the largest number whose `t_k - e_k` agree modulo 1/g
//! within the resolution; every other is out, and the seatings near what was found say
//! where it is. Worked out here.

mod agreement;
mod effort;
mod group;
mod group_answer;
mod reading;
mod seatings;
mod torus;
mod way_of_marking;

use num_traits::{Signed, Zero};

use super::by_hand::ByHand;
use super::cluster::{Cluster, gear_pairs};
use super::marks::{Marks, marks};
use crate::exact::{Fraction, fraction, multiple, nearest_zero};
use crate::gearset::{Found, GearId, Gearset, MemberId, PlanetGroup, Side, TimingRow};

use agreement::{Agreement, Beside};
use effort::{MOST_STEPS, steps};
pub use group::found_in_group;
pub use group_answer::{FoundGroup, GroupExplanation, GroupPin, GroupSeating, PlanetFound, PlanetRead, SeatingsKnown};
pub use reading::Reading;
use reading::{along, gear_of_answer, readings};
pub use seatings::NearSeating;
use seatings::seatings_near;
pub use way_of_marking::WayOfMarking;
use way_of_marking::expected_turns;

/// What the marks of one kind of planet mean.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundTiming {
    /// The planet whose marks were read.
    pub planet: MemberId,
    /// The carrier of its pins.
    pub carrier: MemberId,
    /// The side that was looked from.
    pub seen: Side,
    /// The gear in whose teeth the answer is given: the one that was read, or the first in mesh.
    pub gear: GearId,
    /// What was read on each pin; `None` for a mark that was not seen.
    pub readings: Vec<Option<Reading>>,
    /// g: how many seatings of a cluster look the same and are equally good.
    pub equivalent_seatings: i64,
    /// Whether the same tooth of every cluster, set radially or in parallel, could go together.
    pub alike: Marks,
    /// What was found, under each convention by which the marks may have been made, that of
    /// the same tooth on every cluster first; empty where the set cannot go together at all.
    pub explanations: Vec<Explanation>,
}

impl FoundTiming {
    /// Whether the set is in time if the same tooth of every cluster is marked, and no wrong
    /// seating that goes in unnoticed fits what was read as well.
    pub fn is_in_time(&self) -> bool {
        self.explanations.first().is_some_and(|first| first.is_in_time() && first.unnoticed().next().is_none())
    }
}

/// What was found, if the marks were made by one convention.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The convention.
    pub convention: WayOfMarking,
    /// The pin that the others are judged against, counted from 1: of those that leave the
    /// fewest clusters out the first.
    pub reference: usize,
    /// Each pin whose mark was read.
    pub pins: Vec<PinFound>,
    /// Whether gears could be in mesh like that: all clusters that are out are at once near
    /// seatings that [could be](NearSeating::could_be).
    pub could_be: bool,
}

impl Explanation {
    /// Whether every mark that was read is where it should be, within what can be read.
    pub fn is_in_time(&self) -> bool {
        self.pins.iter().all(|pin| pin.state == PinState::InTime)
    }

    /// The clusters that have to be turned.
    pub fn out(&self) -> impl Iterator<Item = &PinFound> {
        self.pins.iter().filter(|pin| pin.state == PinState::Out)
    }

    /// The wrong seatings that fit what was read and go in within the backlash given.
    pub fn unnoticed(&self) -> impl Iterator<Item = (&PinFound, &NearSeating)> {
        let all = self.pins.iter().flat_map(|pin| pin.seatings.iter().map(move |seating| (pin, seating)));
        all.filter(|(_, seating)| seating.by_hand == Some(ByHand::Unnoticed))
    }
}

/// One cluster as it was found.
#[derive(Debug, Clone, PartialEq)]
pub struct PinFound {
    /// The pin, counted from 1.
    pub pin: usize,
    /// Whether it is in time with the reference.
    pub state: PinState,
    /// How far it is turned from the nearest right seating beside the other clusters that agree,
    /// in turns, counter-clockwise seen from the input side.
    pub deviation: Fraction,
    /// The same in teeth of [`FoundTiming::gear`].
    pub teeth: Fraction,
    /// Where its mark belongs while those others stay where they were read: the turn from its own
    /// radius, in the same sense.
    pub target: Fraction,
    /// How far the deviation may be off, in turns, by the resolution of the readings.
    pub resolution: Fraction,
    /// The wrong seatings beside those others that fit what was read, the one that is least out
    /// first. A cluster with one other that agrees is not judged where it is the reference.
    pub seatings: Vec<NearSeating>,
}

/// Whether a cluster is in time with the reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinState {
    /// It is the reference, or agrees with it.
    InTime,
    /// It is not.
    Out,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoFoundAnswer {
    /// The gearset holds no readings.
    #[error("no marks are given as found")]
    NothingFound,
    /// The planet meshes with other planets of its carrier: [`found_in_group`] judges them.
    #[error("planet {planet:?} meshes with other planets; its marks are judged with theirs")]
    MeshedPlanets {
        /// The planet.
        planet: String,
    },
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

/// What the marks that were found mean for the timing.
///
/// # Errors
/// [`NoFoundAnswer`] where no marks are given, where they are those of planets that mesh
/// with one another, or where there would be too much to look at.
///
/// # Examples
/// ```
/// use toothmark::{description, gearset::{DraftFound, DraftMark, Gearset, Side}, timing::found};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let mut draft = set.draft().clone();
/// let marks = [0, -10, 9].map(|teeth| DraftMark::teeth("d", toothmark::exact::fraction(teeth, 1)));
/// let (planet, marks) = ("cluster".into(), marks.into());
/// draft.found = Some(DraftFound { seen: Side::Input, planet, marks, beside: vec![], within: None });
/// let found = found(&Gearset::new(draft).unwrap()).unwrap();
/// let out: Vec<usize> = found.explanations[0].out().map(|pin| pin.pin).collect();
/// assert_eq!(out, [3]);
/// ```
pub fn found(set: &Gearset) -> Result<FoundTiming, NoFoundAnswer> {
    let found = set.found().ok_or(NoFoundAnswer::NothingFound)?;
    let group = set.planet_groups().iter().find(|group| group.planets() == [found.planet]);
    let name = |id: MemberId| set.member(id).name().to_owned();
    let group = group.ok_or_else(|| NoFoundAnswer::MeshedPlanets { planet: name(found.planet) })?;
    if let Some((other, _)) = found.beside.first() {
        return Err(NoFoundAnswer::OtherGroup { planet: name(found.planet), other: name(*other) });
    }
    analyse(set, group, found)
}

fn analyse(set: &Gearset, group: &PlanetGroup, found: &Found) -> Result<FoundTiming, NoFoundAnswer> {
    let equations = set.matrix().timing(group);
    let spacings = group.spacings();
    let cluster = Cluster::new(&gear_pairs(&equations));
    let readings = readings(set, found, &spacings);
    let gear = gear_of_answer(set, found, &equations);
    let judged = Judged { set, equations: &equations, readings: &readings, cluster: &cluster, gear };
    judged.check_effort()?;
    let conventions = expected_turns(set, &equations, &cluster, &spacings);
    Ok(FoundTiming {
        planet: found.planet,
        carrier: group.carrier(),
        seen: found.seen,
        gear,
        equivalent_seatings: cluster.equivalent_seatings,
        alike: marks(set, &equations, &spacings),
        explanations: conventions.into_iter().map(|(convention, turns)| judged.explain(convention, &turns)).collect(),
        readings,
    })
}

/// What every convention is tried on.
struct Judged<'a> {
    set: &'a Gearset,
    equations: &'a [TimingRow],
    readings: &'a [Option<Reading>],
    cluster: &'a Cluster,
    gear: GearId,
}

impl Judged<'_> {
    fn read(&self) -> Vec<(usize, &Reading)> {
        self.readings.iter().enumerate().filter_map(|(pin, reading)| Some((pin, reading.as_ref()?))).collect()
    }

    fn check_effort(&self) -> Result<(), NoFoundAnswer> {
        let read = self.read();
        let counts: Vec<i64> = self.equations.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
        let readings: Vec<&Reading> = read.iter().map(|&(_, reading)| reading).collect();
        let steps = steps(&readings, &counts, self.exact_readings(&read).len());
        if steps > MOST_STEPS { Err(NoFoundAnswer::TooMuchOpen) } else { Ok(()) }
    }

    fn explain(&self, convention: WayOfMarking, expected: &[Fraction]) -> Explanation {
        let read = self.read();
        let offset = |&(pin, reading): &(usize, &Reading)| Reading {
            turn: &reading.turn - &expected[pin],
            resolution: self.resolution(convention, reading),
        };
        let offsets: Vec<Reading> = read.iter().map(offset).collect();
        let agreements: Vec<Agreement> = self
            .exact_readings(&read)
            .into_iter()
            .map(|exact| Agreement::of(with_exact(&offsets, exact), self.cluster.equivalent_seatings))
            .collect();
        let best = agreements.iter().rev().max_by_key(|agreement| agreement.rank()).expect("one at least");
        let out = || (0..read.len()).filter(|&index| !best.agrees[index]);
        let could_be = |agreement: &Agreement| {
            let mut seatings = out().map(|index| seatings_near(self.set, self.equations, &[agreement.beside(index)]));
            seatings.all(|seatings| seatings.iter().any(NearSeating::could_be))
        };
        Explanation {
            convention,
            could_be: agreements.iter().any(could_be),
            reference: read[best.first()].0 + 1,
            pins: read.iter().enumerate().map(|(index, &read)| self.pin(read, index, best, &agreements)).collect(),
        }
    }

    /// Which reading is exact: a mark that was brought to its line shows 0, and where several
    /// show 0 it may be any of them; none where no mark does.
    fn exact_readings(&self, read: &[(usize, &Reading)]) -> Vec<Option<usize>> {
        let from_lines = !self.set.found().is_some_and(|found| found.marks.iter().any(|mark| along(mark).is_some()));
        let zero = |index: &usize| from_lines && read[*index].1.turn.is_zero();
        let exact: Vec<Option<usize>> = (0..read.len()).filter(zero).map(Some).collect();
        if exact.is_empty() { vec![None] } else { exact }
    }

    /// Marks made in place stand anywhere on a tooth: counted along a central gear, each of them
    /// is good to half a tooth, the first as well.
    fn resolution(&self, convention: WayOfMarking, reading: &Reading) -> Fraction {
        match (self.set.found().and_then(|found| found.marks.iter().find_map(along)), convention) {
            (None, _) | (_, WayOfMarking::Alike) => reading.resolution.clone(),
            (Some(_), WayOfMarking::RadialInPlace | WayOfMarking::ParallelInPlace) => {
                fraction(1, 2 * i64::from(self.set.gear(self.gear).tooth_count().get()))
            }
        }
    }

    fn pin(&self, (pin, reading): (usize, &Reading), index: usize, best: &Agreement, all: &[Agreement]) -> PinFound {
        let deviation = best.beside(index).turn;
        let resolution = all.iter().map(|agreement| {
            let Beside { turn, resolution } = agreement.beside(index);
            agreement.nearest(&(turn - &deviation)).abs() + resolution
        });
        // Of two clusters that agree the reference is not the one that is judged.
        let judging = all.iter().filter(|agreement| index != agreement.first() || agreement.others(index).count() > 1);
        let mut near: Vec<Beside> = Vec::new();
        for beside in judging.map(|agreement| agreement.beside(index)) {
            if !near.contains(&beside) {
                near.push(beside);
            }
        }
        PinFound {
            pin: pin + 1,
            state: if best.agrees[index] { PinState::InTime } else { PinState::Out },
            teeth: multiple(&deviation, self.set.gear(self.gear).tooth_count().get().into()),
            target: nearest_zero(&(&reading.turn - &deviation)),
            resolution: resolution.max().unwrap_or_default(),
            seatings: seatings_near(self.set, self.equations, &near),
            deviation,
        }
    }
}

/// The readings, one of them without any doubt.
fn with_exact(readings: &[Reading], exact: Option<usize>) -> Vec<Reading> {
    let mut readings = readings.to_vec();
    if let Some(exact) = exact {
        readings[exact].resolution = Fraction::zero();
    }
    readings
}
