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
mod other_way;
mod reading;
mod torus;
mod way_of_marking;

use num_bigint::BigInt;
use num_traits::Zero;

use super::marks::marks;
use crate::exact::{Congruences, Fraction, part_of_turn};
use crate::gearset::{FoundMarks, GearId, Gearset, MemberId, PlanetGroup, Side, TimingRows};

pub use answer::{
    Explanation, FoundTiming, NearMesh, NearSeating, NoFoundAnswer, PinFound, PlanetFound, PlanetRead, SeatingsKnown,
};
use fitting::Fitting;
use judging::{Agreements, Judged};
pub use other_way::OtherWayRound;
pub use reading::Reading;
use reading::{along, gear_read, readings};
use torus::{TooMuch, Torus};
use way_of_marking::{ExpectedMarks, MarkedPlanet, as_made, expected_marks};
pub use way_of_marking::{MadeMarks, WayOfMarking};

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
    found_as_made(set, None)
}

/// What the marks that were found mean for the timing, if it is known how they were made.
///
/// # Errors
/// As [`found`].
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, gearset::{DraftFound, DraftMark, Gearset, Side}};
/// use toothmark::timing::{MadeMarks, found, found_as_made};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let marks = vec![DraftMark::teeth("d", fraction(0, 1)); 3];
/// let mut draft = set.draft().clone();
/// draft.found = Some(DraftFound { seen: Side::Input, planet: "cluster".into(), marks, beside: vec![], within: None });
/// let set = Gearset::new(draft).unwrap();
/// assert!(!found(&set)?.in_time, "on the same tooth such marks are wrong");
/// assert!(found_as_made(&set, Some(MadeMarks::InPlace))?.in_time);
/// # Ok::<(), toothmark::timing::NoFoundAnswer>(())
/// ```
pub fn found_as_made(set: &Gearset, made: Option<MadeMarks>) -> Result<FoundTiming, NoFoundAnswer> {
    let found = set.found().ok_or(NoFoundAnswer::NothingFound)?;
    let group = set.planet_groups().iter().find(|group| group.planets().contains(&found.planet));
    let group = group.ok_or(NoFoundAnswer::NothingFound)?;
    let name = |id: MemberId| set.member(id).name().to_owned();
    if let Some((other, _)) = found.beside.iter().find(|(planet, _)| !group.planets().contains(planet)) {
        return Err(NoFoundAnswer::OtherGroup { planet: name(found.planet), other: name(*other) });
    }
    let solved = Solved::of(set, group).ok_or_else(|| NoFoundAnswer::TurnsFreely { planet: name(found.planet) })?;
    Found { set, group, read: found, made, solved: &solved }.judge().map_err(|TooMuch| NoFoundAnswer::TooMuchOpen)
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

/// What is judged.
struct Found<'a> {
    set: &'a Gearset,
    group: &'a PlanetGroup,
    read: &'a FoundMarks,
    made: Option<MadeMarks>,
    solved: &'a Solved,
}

impl Found<'_> {
    fn judge(&self) -> Result<FoundTiming, TooMuch> {
        let planets = self.read.planets();
        let places = self.places(&planets);
        let mut torus = Torus::new(&self.solved.basis, &places);
        let read = self.read(&planets, &torus);
        let expected = self.expected(&read, &places);
        let judged = self.judged(&planets, &read);
        // What the readings have in common is worked out first: it may be given up sooner than the seatings.
        let agreements: Vec<_> =
            expected.iter().map(|expected| judged.agreements(&mut torus, expected)).collect::<Result<_, _>>()?;
        let in_time_if = if agreements.iter().any(Agreements::all_agree) {
            Vec::new()
        } else {
            OtherWayRound::ALL.into_iter().filter(|&way| self.is_in_time_if(way, &expected)).collect()
        };
        let fitting = Fitting::new(self.set, self.group, &torus, places);
        let explanations = agreements.iter().map(|all| judged.explain(&mut torus, &fitting, all));
        let mut explanations: Vec<Explanation> = explanations.collect::<Result<_, _>>()?;
        for at in 1..explanations.len() {
            explanations[at].same_as_first = explanations[at].pins == explanations[0].pins;
        }
        Ok(self.answer(AnswerParts { read, explanations, wrong_seatings: fitting.known, in_time_if }))
    }

    /// The place in the group of each planet that was read.
    fn places(&self, planets: &[FoundMarks]) -> Vec<usize> {
        let place = |found: &FoundMarks| self.group.planets().iter().position(|&planet| planet == found.planet);
        planets.iter().filter_map(place).collect()
    }

    fn read(&self, planets: &[FoundMarks], torus: &Torus) -> Vec<PlanetRead> {
        let (places, spacings) = (self.places(planets), self.group.spacings());
        let read = planets.iter().zip(&places).zip(&torus.alone);
        let first = |place| first_gear(&self.solved.rows, place);
        read.map(|((found, &place), alone)| planet_read(self.set, found, first(place), alone, &spacings)).collect()
    }

    fn judged<'a>(&'a self, planets: &[FoundMarks], read: &'a [PlanetRead]) -> Judged<'a> {
        let along = planets.iter().map(|found| found.marks.iter().any(|mark| along(mark).is_some())).collect();
        Judged { set: self.set, read, along, planet_count: self.group.planets().len() }
    }

    /// Where each convention that may have been followed expects the marks.
    fn expected(&self, read: &[PlanetRead], places: &[usize]) -> Vec<ExpectedMarks> {
        let marked = places.iter().zip(read).map(|(&place, read)| MarkedPlanet { place, gear: read.gear });
        let (solved, spacings) = (self.solved, self.group.spacings());
        let marked: Vec<MarkedPlanet> = marked.collect();
        as_made(expected_marks(self.set, &solved.rows, &solved.congruences, &spacings, &marked), self.made)
    }

    /// Whether the set is in time by some convention if the readings were taken the other way round; what leaves too
    /// much open is not told.
    fn is_in_time_if(&self, way: OtherWayRound, expected: &[ExpectedMarks]) -> bool {
        let spacings = self.group.spacings();
        let planets = self.read.planets();
        let again: Option<Vec<FoundMarks>> = planets.iter().map(|found| way.read_again(found, &spacings)).collect();
        let Some(planets) = again.filter(|again| *again != planets) else { return false };
        let mut torus = Torus::new(&self.solved.basis, &self.places(&planets));
        let read = self.read(&planets, &torus);
        let judged = self.judged(&planets, &read);
        let mut agree = expected.iter().map(|expected| judged.agreements(&mut torus, expected));
        agree.any(|agreements| agreements.is_ok_and(|it| it.all_agree()))
    }
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
struct AnswerParts {
    read: Vec<PlanetRead>,
    explanations: Vec<Explanation>,
    wrong_seatings: SeatingsKnown,
    in_time_if: Vec<OtherWayRound>,
}

impl Found<'_> {
    fn answer(&self, judgement: AnswerParts) -> FoundTiming {
        let &Self { set, group, read: found, made, solved } = self;
        let AnswerParts { read, explanations, wrong_seatings, in_time_if } = judgement;
        let spacings = group.spacings();
        let alike = marks(set, &solved.rows, &spacings);
        let alone = if let [_] = group.planets() { read.first() } else { None };
        let is_in_time = |it: &Explanation| it.in_time && it.unnoticed().next().is_none();
        // Where it is not said how the marks were made, the answer is about the same tooth.
        let asked = if made.is_some() { &explanations[..] } else { &explanations[..explanations.len().min(1)] };
        FoundTiming {
            gearset: set.title().to_owned(),
            planet: alone.map(|read| read.planet),
            carrier: group.carrier(),
            seen: found.seen,
            in_time: asked.iter().any(is_in_time),
            gear: alone.map(|read| read.gear),
            equivalent_seatings: solved.equivalent_seatings.clone(),
            alike_radial: alike.radial.serves(),
            alike_parallel: alike.parallel.serves(),
            readings: alone.map(|read| read.readings.clone()).unwrap_or_default(),
            pin_places: spacings.iter().map(|place| seen_place(found.seen, place)).collect(),
            explanations,
            planets: group.planets().to_vec(),
            wrong_seatings,
            read,
            made,
            in_time_if,
        }
    }
}

/// A place from pin 1, counter-clockwise for whoever looks from a side.
fn seen_place(from: Side, place: &Fraction) -> Fraction {
    part_of_turn(&from.seen(place))
}
