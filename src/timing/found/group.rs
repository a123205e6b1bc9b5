//! The marks of planets that mesh with one another: which planet on which pin is out?
//!
//! A pin is a point: the turns of those of its planets whose marks were read, modulo right
//! seatings ([`super::torus`]). For a convention with expected turns `e_k` the pins that are
//! right among themselves are the most whose boxes of readings, less `e_k`, share a point; what
//! they have in common means nothing, for marks may stand on any tooth of each planet, and
//! the set can be rolled. On a pin that is out as few planets as possible are out. Planets
//! that were not read may stand anywhere that fits. The wrong seatings that fit are those of
//! [`crate::timing::wrong`], or their mirror images. Worked out here.

use num_bigint::BigInt;
use num_traits::{Signed, Zero};

use super::group_answer::{
    FoundGroup, GroupExplanation, GroupPin, GroupSeating, PlanetFound, PlanetRead, SeatingsKnown,
};
use super::reading::{Reading, along, gear_of_answer, readings};
use super::torus::{Shared, TooMuch, Torus, TurnBox};
use super::way_of_marking::{WayOfMarking, may_be_parallel};
use super::{NoFoundAnswer, PinState};
use crate::exact::{Congruences, Fraction, fraction, multiple, nearest_zero};
use crate::gearset::{Found, Gearset, MemberId, PlanetGroup, TimingRow, TimingRows};
use crate::timing::marks::marks;
use crate::timing::solver::Solver;
use crate::timing::wrong::{FoundSeatings, SeatingQuestion, WrongSeating, of_group};

/// What the marks of planets that mesh with one another mean for the timing.
///
/// # Errors
/// [`NoFoundAnswer`] where no marks are given, where planets were read that do not mesh with one
/// another, or where there would be too much to look at.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, gearset::{DraftFound, DraftMark, Gearset, Side}};
/// use toothmark::timing::found_in_group;
/// let set = description::read(description::example("ferry-capstan").unwrap()).unwrap();
/// let mut draft = set.draft().clone();
/// let marks = [0, 0, 1].map(|teeth| DraftMark::teeth("large", fraction(teeth, 1))).to_vec();
/// draft.found = Some(DraftFound { seen: Side::Input, planet: "cluster".into(), marks, beside: vec![], within: None });
/// let found = found_in_group(&Gearset::new(draft).unwrap()).unwrap();
/// let out: Vec<usize> = found.explanations[0].out().map(|(pin, _)| pin).collect();
/// assert_eq!(out, [3], "one tooth of the large gear is half a tooth of the small one");
/// ```
pub fn found_in_group(set: &Gearset) -> Result<FoundGroup, NoFoundAnswer> {
    let found = set.found().ok_or(NoFoundAnswer::NothingFound)?;
    let group = set.planet_groups().iter().find(|group| group.planets().contains(&found.planet));
    let group = group.ok_or(NoFoundAnswer::NothingFound)?;
    let name = |id: MemberId| set.member(id).name().to_owned();
    let stranger = found.beside.iter().map(|(planet, _)| *planet).find(|planet| !group.planets().contains(planet));
    if let Some(other) = stranger {
        return Err(NoFoundAnswer::OtherGroup { planet: name(found.planet), other: name(other) });
    }
    let equations = set.matrix().timing(group);
    let congruences = Congruences::new(&equations.matrix());
    let Some((period, count)) = congruences.period().zip(congruences.solutions_modulo_one()) else {
        return Err(NoFoundAnswer::TurnsFreely { planet: name(found.planet) });
    };
    let solved = Solved { basis: period.basis().to_vec(), equivalent_seatings: count, equations };
    analyse(set, group, found, solved).map_err(|TooMuch| NoFoundAnswer::TooMuchOpen)
}

/// The conditions of a group, and the right seatings by which their solutions differ.
struct Solved {
    equations: TimingRows,
    basis: Vec<Vec<Fraction>>,
    equivalent_seatings: BigInt,
}

fn analyse(set: &Gearset, group: &PlanetGroup, found: &Found, solved: Solved) -> Result<FoundGroup, TooMuch> {
    let equations = &solved.equations;
    let spacings = group.spacings();
    let planets = found.planets();
    let place = |found: &Found| group.planets().iter().position(|&planet| planet == found.planet);
    let places: Vec<usize> = planets.iter().filter_map(place).collect();
    let mut torus = Torus::new(&solved.basis, &places);
    let read = |(at, found): (usize, &Found)| PlanetRead {
        planet: found.planet,
        gear: gear_of_answer(set, found, &rows_of(equations, places[at])),
        readings: readings(set, found, &spacings),
        alone: torus.alone[at].clone(),
    };
    let read: Vec<PlanetRead> = planets.iter().enumerate().map(read).collect();
    let along = planets.iter().map(|found| found.marks.iter().any(|mark| along(mark).is_some())).collect();
    let mut judged = Judged { set, read: &read, along, wrong: Vec::new() };
    // What the readings have in common is worked out first: it may be given up sooner than the seatings.
    let mut agreements = Vec::new();
    for (convention, turns) in expected_turns(set, group, equations, &places) {
        agreements.push((convention, judged.agreements(&mut torus, convention, &turns)?));
    }
    let (wrong, seatings) = wrong_seatings(set, group, &places);
    judged.wrong = wrong;
    let explanations = agreements.iter().map(|(convention, all)| judged.explain(&mut torus, *convention, all));
    Ok(FoundGroup {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        seen: found.seen,
        equivalent_seatings: solved.equivalent_seatings,
        alike: marks(set, equations, &spacings),
        explanations: explanations.collect::<Result<_, _>>()?,
        seatings,
        read,
    })
}

/// The rows with a gear of one planet, that gear first.
fn rows_of(equations: &[TimingRow], planet: usize) -> Vec<TimingRow> {
    let own = |row: &TimingRow| {
        let term = *row.terms.iter().find(|term| term.planet == planet)?;
        Some(TimingRow { terms: vec![term], ..row.clone() })
    };
    equations.iter().filter_map(own).collect()
}

/// Every wrong seating and its mirror image, with the turns of the planets that were read.
fn wrong_seatings(set: &Gearset, group: &PlanetGroup, read: &[usize]) -> (Vec<Wrong>, SeatingsKnown) {
    /// More than anybody would look through.
    const MOST: usize = 5000;
    let every = match of_group(set, group, &SeatingQuestion::default(), MOST).found {
        FoundSeatings::Every(every) => every,
        FoundSeatings::TooMany => return (Vec::new(), SeatingsKnown::TooMany),
        FoundSeatings::OnePin | FoundSeatings::DoesNotGoTogether => Vec::new(),
    };
    let both = every.into_iter().flat_map(|seating| [mirrored(&seating), seating]);
    let wrong =
        both.map(|seating| Wrong { turns: read.iter().map(|&at| seating.turns[at].clone()).collect(), seating });
    (wrong.collect(), SeatingsKnown::Every)
}

fn mirrored(seating: &WrongSeating) -> WrongSeating {
    let mut mirrored = seating.clone();
    mirrored.turns.iter_mut().for_each(|turn| *turn = -&*turn);
    for mesh in &mut mirrored.meshes {
        (mesh.teeth, mesh.error) = (-mesh.teeth, -&mesh.error);
    }
    mirrored
}

/// The turns at which each convention expects the marks of every pin, of each planet that was read;
/// nothing where the set cannot go together.
fn expected_turns(
    set: &Gearset,
    group: &PlanetGroup,
    equations: &TimingRows,
    read: &[usize],
) -> Vec<(WayOfMarking, Vec<Vec<Fraction>>)> {
    let spacings = group.spacings();
    let solver = Solver::new(equations);
    let listed: Option<Vec<Vec<Fraction>>> = spacings.iter().map(|place| solver.turns(place)).collect();
    let Some(listed) = listed else { return Vec::new() };
    let of_read = |turns: &Vec<Fraction>| read.iter().map(|&at| turns[at].clone()).collect();
    let all =
        |turn: &dyn Fn(&Fraction) -> Fraction| spacings.iter().map(|place| vec![turn(place); read.len()]).collect();
    let mut conventions = vec![
        (WayOfMarking::Alike, listed.iter().map(of_read).collect()),
        (WayOfMarking::RadialInPlace, all(&|_| Fraction::zero())),
    ];
    if may_be_parallel(set, equations) {
        conventions.push((WayOfMarking::ParallelInPlace, all(&|place| -place)));
    }
    conventions
}

/// A wrong seating with the turns of the planets that were read.
struct Wrong {
    turns: Vec<Fraction>,
    seating: WrongSeating,
}

/// What every convention is tried on.
struct Judged<'a> {
    set: &'a Gearset,
    read: &'a [PlanetRead],
    /// Whether the marks of each planet were counted along a central gear.
    along: Vec<bool>,
    wrong: Vec<Wrong>,
}

/// How marks are taken to have been made, and which reading of each planet to be exact, by its pin.
struct Assumed {
    convention: WayOfMarking,
    exact: Vec<Option<usize>>,
}

/// What one pin is beside the others, once for each reading that may be exact.
struct Beside {
    boxes: Vec<TurnBox>,
    /// The one of the reading that leaves the fewest pins out.
    best: usize,
    /// Those in which the pin is judged by another: of two that agree the reference is not judged.
    judging: Vec<TurnBox>,
}

impl Judged<'_> {
    /// The pins that agree, once for each choice of readings that may be exact.
    fn agreements(
        &self,
        torus: &mut Torus,
        convention: WayOfMarking,
        expected: &[Vec<Fraction>],
    ) -> Result<Vec<Shared>, TooMuch> {
        let mut all = Vec::new();
        for exact in self.exact_readings()? {
            let assumed = Assumed { convention, exact };
            let of_pin = |&pin: &usize| self.box_of(torus, pin, &assumed, &expected[pin]);
            let boxes = self.pins().iter().map(of_pin).collect();
            all.push(Shared::most(torus, boxes)?);
        }
        Ok(all)
    }

    /// The pins on which a mark was read.
    fn pins(&self) -> Vec<usize> {
        let pins = self.read.first().map_or(0, |read| read.readings.len());
        (0..pins).filter(|&pin| self.read.iter().any(|planet| planet.readings[pin].is_some())).collect()
    }

    fn explain(
        &self,
        torus: &mut Torus,
        convention: WayOfMarking,
        all: &[Shared],
    ) -> Result<GroupExplanation, TooMuch> {
        let pins = self.pins();
        let best = (0..all.len()).rev().max_by_key(|&at| all[at].rank()).unwrap_or(0);
        let mut found = Vec::new();
        // Whether all pins that are out could be where they are, once for each reading that may be exact.
        let mut could_be = vec![true; all.len()];
        for (index, &pin) in pins.iter().enumerate() {
            let beside = beside(torus, all, index, best)?;
            let state = if all[best].agrees[index] { PinState::InTime } else { PinState::Out };
            if state == PinState::Out {
                for (could_be, it) in could_be.iter_mut().zip(&beside.boxes) {
                    let fits = self.fitting(torus, std::slice::from_ref(it))?;
                    *could_be &= fits.iter().any(GroupSeating::could_be);
                }
            }
            found.push(self.pin(torus, pin, state, &beside)?);
        }
        Ok(GroupExplanation {
            convention,
            reference: pins[all[best].first()] + 1,
            pins: found,
            could_be: could_be.contains(&true),
        })
    }

    /// Which reading of each planet is exact, by its pin: any that shows 0, for one mark of each planet was
    /// brought to its line before the others were read; none where no mark does.
    fn exact_readings(&self) -> Result<Vec<Vec<Option<usize>>>, TooMuch> {
        const MOST: usize = 1000;
        let mut all = vec![Vec::new()];
        for (read, along) in self.read.iter().zip(&self.along) {
            let zero = |reading: &Option<Reading>| !along && reading.as_ref().is_some_and(|it| it.turn.is_zero());
            let zeros = read.readings.iter().enumerate().filter(|(_, reading)| zero(reading));
            let mut exact: Vec<Option<usize>> = zeros.map(|(pin, _)| Some(pin)).collect();
            if exact.is_empty() {
                exact.push(None);
            }
            all = all.iter().flat_map(|some| exact.iter().map(|&pin| [&some[..], &[pin]].concat())).collect();
            if all.len() > MOST {
                return Err(TooMuch);
            }
        }
        Ok(all)
    }

    fn box_of(&self, torus: &Torus, pin: usize, assumed: &Assumed, expected: &[Fraction]) -> TurnBox {
        let reading = |(planet, read): (usize, &PlanetRead)| {
            let reading = read.readings[pin].as_ref()?;
            // Marks made in place stand anywhere on a tooth.
            let in_place = self.along[planet] && assumed.convention != WayOfMarking::Alike;
            let resolution = match (assumed.exact[planet] == Some(pin), in_place) {
                (true, _) => Fraction::zero(),
                (false, true) => fraction(1, 2 * self.tooth_count(planet)),
                (false, false) => reading.resolution.clone(),
            };
            Some((&reading.turn - &expected[planet], resolution))
        };
        torus.box_of(&self.read.iter().enumerate().map(reading).collect::<Vec<_>>())
    }

    fn tooth_count(&self, planet: usize) -> i64 {
        self.set.gear(self.read[planet].gear).tooth_count().get().into()
    }

    fn pin(&self, torus: &mut Torus, pin: usize, state: PinState, beside: &Beside) -> Result<GroupPin, TooMuch> {
        let read: Vec<usize> = (0..self.read.len()).filter(|&at| self.read[at].readings[pin].is_some()).collect();
        let (right, off) = stand(torus, &read, &beside.boxes[beside.best], state)?;
        let mut resolution = vec![Fraction::zero(); off.len()];
        for it in &beside.boxes {
            let center = it.center.iter().zip(&off).map(|(center, off)| center - off).collect();
            let apart = torus.nearest(&TurnBox { center, half: it.half.clone() }, &[])?.unwrap_or_default();
            for (at, resolution) in resolution.iter_mut().enumerate() {
                let widest = (apart[at].abs() + &it.half[at]).min(torus.half(at));
                *resolution = widest.max(resolution.clone());
            }
        }
        let planet = |&at: &usize| PlanetFound {
            planet: self.read[at].planet,
            state: if right.contains(&at) { PinState::InTime } else { PinState::Out },
            teeth: multiple(&off[at], self.tooth_count(at)),
            target: self.read[at].readings[pin]
                .as_ref()
                .map(|it| nearest_zero(&(&it.turn - &off[at])))
                .unwrap_or_default(),
            resolution: resolution[at].clone(),
            deviation: off[at].clone(),
        };
        Ok(GroupPin {
            pin: pin + 1,
            state,
            planets: read.iter().map(planet).collect(),
            seatings: self.fitting(torus, &beside.judging)?,
        })
    }

    /// The wrong seatings that are in one of the boxes, up to right ones.
    fn fitting(&self, torus: &mut Torus, boxes: &[TurnBox]) -> Result<Vec<GroupSeating>, TooMuch> {
        let mut fitting: Vec<GroupSeating> = Vec::new();
        for wrong in &self.wrong {
            let mut fits = false;
            for it in boxes {
                let center = it.center.iter().zip(&wrong.turns).map(|(center, turn)| center - turn).collect();
                fits = fits || !torus.seatings_in(&TurnBox { center, half: it.half.clone() })?.is_empty();
            }
            if fits {
                fitting.push(GroupSeating { seating: wrong.seating.clone() });
            }
        }
        fitting.sort_by(|a, b| {
            let key = |it: &GroupSeating| (it.seating.largest_error.clone(), it.seating.turns.clone());
            key(a).cmp(&key(b))
        });
        Ok(fitting)
    }
}

fn beside(torus: &mut Torus, all: &[Shared], index: usize, best: usize) -> Result<Beside, TooMuch> {
    let (mut boxes, mut judging) = (Vec::new(), Vec::new());
    for shared in all {
        let it = shared.beside(torus, index)?;
        if (index != shared.first() || shared.others(index).count() > 1) && !judging.contains(&it) {
            judging.push(it.clone());
        }
        boxes.push(it);
    }
    Ok(Beside { boxes, best, judging })
}

/// Which of the planets that were read on a pin are right, as many as can be, and how far each is off.
fn stand(
    torus: &mut Torus,
    read: &[usize],
    off: &TurnBox,
    state: PinState,
) -> Result<(Vec<usize>, Vec<Fraction>), TooMuch> {
    if state == PinState::InTime {
        let nearest = torus.nearest(off, read)?.unwrap_or_else(|| off.center.clone());
        return Ok((read.to_vec(), nearest));
    }
    let mut subsets: Vec<Vec<usize>> = vec![Vec::new()];
    for &at in read {
        let longer: Vec<Vec<usize>> = subsets.iter().map(|subset| [&subset[..], &[at]].concat()).collect();
        subsets.extend(longer);
    }
    subsets.retain(|subset| subset.len() < read.len());
    subsets.sort_by_key(|subset| std::cmp::Reverse(subset.len()));
    for right in subsets {
        if let Some(nearest) = torus.nearest(off, &right)? {
            return Ok((right, nearest));
        }
    }
    Ok((Vec::new(), off.center.clone()))
}
