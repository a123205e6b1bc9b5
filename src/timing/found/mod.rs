//! The marks show this now: is the set in time, and if not, what has to be turned?
//!
//! A pin is a point: the turns, against its radius, of those of its planets whose marks were read, modulo right seatings
//! ([`torus`]); a cluster is a group of one planet. A reading is good to a resolution, so the readings of a pin are a box
//! ([`reading`]). Since the whole set can be rolled with the carrier at rest, what all marks have in common means
//! nothing; what counts is how far each is from where its convention expects it ([`way_of_marking`]), against the others
//! ([`judging`]). Planets that were not read may stand anywhere that fits. The wrong seatings near what was found say
//! where a planet is that is out ([`fitting`]).

mod agreement;
mod answer;
mod fitting;
mod judging;
mod reading;
mod torus;
mod way_of_marking;

use num_bigint::BigInt;
use num_traits::Zero;

use super::marks::marks;
use crate::exact::{Congruences, Fraction};
use crate::gearset::{FoundMarks, GearId, Gearset, MemberId, PlanetGroup, TimingRows};

pub use answer::{
    Explanation, FoundTiming, NearMesh, NearSeating, NoFoundAnswer, PinFound, PlanetFound, PlanetRead, SeatingsKnown,
};
use fitting::Fitting;
use judging::Judged;
pub use reading::Reading;
use reading::{along, gear_read, readings};
use torus::{TooMuch, Torus};
pub use way_of_marking::WayOfMarking;
use way_of_marking::expected_marks;

/// What the marks that were found mean for the timing.
///
/// # Errors
/// [`NoFoundAnswer`] where no marks are given, where planets were read that do not mesh with one
/// another, or where there would be too much to look at.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, gearset::{DraftFound, DraftMark, Gearset, Side}, timing::found};
/// let with_marks = |name: &str, planet: &str, gear: &str, teeth: [i64; 3]| {
///     let set = description::read(description::example(name).unwrap()).unwrap();
///     let marks = teeth.map(|teeth| DraftMark::teeth(gear, fraction(teeth, 1))).into();
///     let mut draft = set.draft().clone();
///     draft.found = Some(DraftFound { seen: Side::Input, planet: planet.into(), marks, beside: vec![], within: None });
///     found(&Gearset::new(draft).unwrap()).unwrap()
/// };
/// let cluster = with_marks("inspection-railcar", "cluster", "d", [0, -10, 9]);
/// assert_eq!(cluster.explanations[0].out().map(|(pin, _)| pin.pin).collect::<Vec<_>>(), [3]);
/// // A planet that meshes with another: one tooth of its large gear is half a tooth of the small one.
/// let meshed = with_marks("ferry-capstan", "cluster", "large", [0, 0, 1]);
/// assert_eq!(meshed.explanations[0].out().map(|(pin, _)| pin.pin).collect::<Vec<_>>(), [3]);
/// ```
pub fn found(set: &Gearset) -> Result<FoundTiming, NoFoundAnswer> {
    let found = set.found().ok_or(NoFoundAnswer::NothingFound)?;
    let group = set.planet_groups().iter().find(|group| group.planets().contains(&found.planet));
    let group = group.ok_or(NoFoundAnswer::NothingFound)?;
    let name = |id: MemberId| set.member(id).name().to_owned();
    if let Some((other, _)) = found.beside.iter().find(|(planet, _)| !group.planets().contains(planet)) {
        return Err(NoFoundAnswer::OtherGroup { planet: name(found.planet), other: name(*other) });
    }
    let solved = Solved::of(set, group).ok_or_else(|| NoFoundAnswer::TurnsFreely { planet: name(found.planet) })?;
    judge(set, group, found, &solved).map_err(|TooMuch| NoFoundAnswer::TooMuchOpen)
}

/// The conditions of a group, and the right seatings by which their solutions differ.
struct Solved {
    rows: TimingRows,
    congruences: Congruences,
    basis: Vec<Vec<Fraction>>,
    equivalent_seatings: BigInt,
}

impl Solved {
    /// Nothing where some planet turns freely.
    fn of(set: &Gearset, group: &PlanetGroup) -> Option<Self> {
        let rows = set.matrix().timing(group);
        let congruences = Congruences::new(&rows.matrix());
        let basis = congruences.period()?.basis().to_vec();
        Some(Self { equivalent_seatings: congruences.solutions_modulo_one()?, basis, rows, congruences })
    }
}

fn judge(set: &Gearset, group: &PlanetGroup, found: &FoundMarks, solved: &Solved) -> Result<FoundTiming, TooMuch> {
    let planets = found.planets();
    let place = |found: &FoundMarks| group.planets().iter().position(|&planet| planet == found.planet);
    let places: Vec<usize> = planets.iter().filter_map(place).collect();
    let spacings = group.spacings();
    let mut torus = Torus::new(&solved.basis, &places);
    let read = planets.iter().zip(&places).zip(&torus.alone);
    let read: Vec<PlanetRead> = read
        .map(|((found, &place), alone)| planet_read(set, found, first_gear(&solved.rows, place), alone, &spacings))
        .collect();
    let along = planets.iter().map(|found| found.marks.iter().any(|mark| along(mark).is_some())).collect();
    let judged = Judged { set, read: &read, along, planet_count: group.planets().len() };
    // What the readings have in common is worked out first: it may be given up sooner than the seatings.
    let expected = expected_marks(set, &solved.rows, &solved.congruences, &spacings, &places);
    let agreements: Vec<_> =
        expected.iter().map(|expected| judged.agreements(&mut torus, expected)).collect::<Result<_, _>>()?;
    let fitting = Fitting::new(set, group, &torus, places);
    let explanations = agreements.iter().map(|all| judged.explain(&mut torus, &fitting, all));
    let mut explanations: Vec<Explanation> = explanations.collect::<Result<_, _>>()?;
    for at in 1..explanations.len() {
        explanations[at].same_as_first = explanations[at].pins == explanations[0].pins;
    }
    Ok(answer(set, group, found, AnswerParts { read, explanations, wrong_seatings: fitting.known, solved }))
}

/// The first gear in mesh of the planet at a place in the group.
fn first_gear(rows: &TimingRows, place: usize) -> GearId {
    let term = rows.iter().flat_map(|row| &row.terms).find(|term| term.planet == place);
    term.expect("a planet whose marks may be read is in mesh").gear
}

/// A planet whose marks were read, in teeth of its first gear where no gear was named.
fn planet_read(
    set: &Gearset,
    found: &FoundMarks,
    first: GearId,
    alone: &Fraction,
    spacings: &[Fraction],
) -> PlanetRead {
    let gear = gear_read(set, found).unwrap_or(first);
    let readings = readings(set, found, spacings);
    // Half a period either way leaves nothing out.
    let half = alone / BigInt::from(2);
    let too_coarse = readings.iter().flatten().all(|it| it.resolution.is_zero() || it.resolution >= half);
    PlanetRead { planet: found.planet, gear, right_again_after: alone.clone(), readings, too_coarse }
}

/// What the answer is put together from.
struct AnswerParts<'a> {
    read: Vec<PlanetRead>,
    explanations: Vec<Explanation>,
    wrong_seatings: SeatingsKnown,
    solved: &'a Solved,
}

fn answer(set: &Gearset, group: &PlanetGroup, found: &FoundMarks, judgement: AnswerParts<'_>) -> FoundTiming {
    let AnswerParts { read, explanations, wrong_seatings, solved } = judgement;
    let alike = marks(set, &solved.rows, &group.spacings());
    let alone = if let [_] = group.planets() { read.first() } else { None };
    FoundTiming {
        gearset: set.title().to_owned(),
        planet: alone.map(|read| read.planet),
        carrier: group.carrier(),
        seen: found.seen,
        in_time: explanations.first().is_some_and(|first| first.in_time && first.unnoticed().next().is_none()),
        gear: alone.map(|read| read.gear),
        equivalent_seatings: solved.equivalent_seatings.clone(),
        alike_radial: alike.radial.serves(),
        alike_parallel: alike.parallel.serves(),
        readings: alone.map(|read| read.readings.clone()).unwrap_or_default(),
        explanations,
        planets: group.planets().to_vec(),
        wrong_seatings,
        read,
    }
}
