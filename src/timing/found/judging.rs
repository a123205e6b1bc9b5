//! Which pins are in time if the marks were made by one convention, and how far is each planet from right?
//!
//! For a convention with expected turns `e_k` the pins that are right among themselves are the most whose boxes of
//! readings, less `e_k`, share a point ([`super::agreement`]); what they have in common means nothing, for the set can be
//! rolled. Of the readings of 0 of each planet one is taken as exact, any of them, for one mark was brought to its line.
//! On a pin that is out as few planets as possible are out. Worked out here.

use num_traits::{Signed, Zero};

use super::agreement::SharedPoint;
use super::answer::{Explanation, NearSeating, PinFound, PlanetFound, PlanetRead};
use super::fitting::Fitting;
use super::reading::Reading;
use super::torus::{TooMuch, Torus, TurnBox};
use super::way_of_marking::{ExpectedMarks, WayOfMarking};
use crate::exact::{Fraction, fraction, multiple, nearest_zero};
use crate::gearset::{Gearset, MeshId};

/// What every convention is tried on.
pub(super) struct Judged<'a> {
    pub(super) set: &'a Gearset,
    pub(super) read: &'a [PlanetRead],
    /// Whether the marks of each planet were counted along a central gear.
    pub(super) along: Vec<bool>,
    /// How many planets mesh with one another on a pin.
    pub(super) planet_count: usize,
}

/// How marks are taken to have been made, and which reading of each planet to be exact, by its pin.
struct Assumed<'a> {
    expected: &'a ExpectedMarks,
    exact: Vec<Option<usize>>,
}

/// The pins that agree under one convention, once for each choice of readings that may be exact.
pub(super) struct Agreements {
    convention: WayOfMarking,
    all: Vec<SharedPoint>,
    /// That which leaves the fewest pins out, the first of several.
    best: usize,
}

/// What one pin is beside the others.
struct PinAgreement {
    /// Whether it is one of those that agree.
    in_time: bool,
    /// How far it is off, once for each reading that may be exact.
    boxes: Vec<TurnBox>,
    /// The number of that which leaves the fewest pins out.
    best: usize,
    /// Those in which the pin is judged by another: of two that agree the reference is not judged.
    judging: Vec<TurnBox>,
}

/// Which planets of a pin are right, and how far each is off.
struct PinStanding {
    right: Vec<usize>,
    off: Vec<Fraction>,
}

impl Judged<'_> {
    /// The pins on which a mark was read.
    fn pins(&self) -> Vec<usize> {
        let count = self.read.first().map_or(0, |read| read.readings.len());
        let is_read = |&pin: &usize| self.read.iter().any(|planet| planet.readings[pin].is_some());
        (0..count).filter(is_read).collect()
    }

    /// The pins that agree if the marks belong where one convention expects them.
    pub(super) fn agreements(&self, torus: &mut Torus, expected: &ExpectedMarks) -> Result<Agreements, TooMuch> {
        let mut all = Vec::new();
        for exact in self.exact_readings()? {
            let assumed = Assumed { expected, exact };
            let boxes = self.pins().iter().map(|&pin| self.box_of(torus, pin, &assumed)).collect();
            all.push(SharedPoint::most(torus, boxes)?);
        }
        let best = (0..all.len()).rev().max_by_key(|&at| all[at].rank()).unwrap_or(0);
        Ok(Agreements { convention: expected.convention, all, best })
    }

    /// Which reading of each planet is exact, by its pin: any that shows 0, for one mark of each planet was
    /// brought to its line before the others were read; none where no mark does.
    fn exact_readings(&self) -> Result<Vec<Vec<Option<usize>>>, TooMuch> {
        const MOST: usize = 1000;
        let mut all = vec![Vec::new()];
        for (read, along) in self.read.iter().zip(&self.along) {
            let is_zero = |pin: &usize| !along && read.readings[*pin].as_ref().is_some_and(|it| it.turn.is_zero());
            let mut exact: Vec<Option<usize>> = (0..read.readings.len()).filter(is_zero).map(Some).collect();
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

    /// The readings of a pin, less what is expected of it.
    fn box_of(&self, torus: &Torus, pin: usize, assumed: &Assumed<'_>) -> TurnBox {
        let off_expected = |(planet, read): (usize, &PlanetRead)| {
            let reading = read.readings[pin].as_ref()?;
            // Marks made in place stand anywhere on a tooth: counted along a central gear, each is good to half a tooth.
            let in_place = self.along[planet] && assumed.expected.convention != WayOfMarking::Alike;
            let resolution = match (assumed.exact[planet] == Some(pin), in_place) {
                (true, _) => Fraction::zero(),
                (false, true) => fraction(1, 2 * self.tooth_count(planet)),
                (false, false) => reading.resolution.clone(),
            };
            Some((&reading.turn - &assumed.expected.turns[pin][planet], resolution))
        };
        torus.box_of(&self.read.iter().enumerate().map(off_expected).collect::<Vec<_>>())
    }

    fn tooth_count(&self, planet: usize) -> i64 {
        self.set.gear(self.read[planet].gear).tooth_count().get().into()
    }

    /// What a convention says of every pin.
    pub(super) fn explain(
        &self,
        torus: &mut Torus,
        fitting: &Fitting,
        agreements: &Agreements,
    ) -> Result<Explanation, TooMuch> {
        let pins = self.pins();
        let mut found = Vec::new();
        // Whether all pins that are out could be where they are, once for each reading that may be exact.
        let mut could_be = vec![true; agreements.all.len()];
        for (index, &pin) in pins.iter().enumerate() {
            let beside = agreements.beside(torus, index)?;
            for (could_be, it) in could_be.iter_mut().zip(&beside.boxes).filter(|_| !beside.in_time) {
                let fits = fitting.seatings(torus, std::slice::from_ref(it))?;
                *could_be &= fits.iter().any(|seating| seating.could_be);
            }
            let mut planets = self.planets(torus, pin, &beside)?;
            let wrong_seatings = fitting.seatings(torus, &beside.judging)?;
            let stands_in = if beside.in_time { None } else { stands_in(&planets, &wrong_seatings) };
            if let Some(seating) = stands_in.map(|at| &wrong_seatings[at]) {
                self.count_whole_teeth(&mut planets, seating);
            }
            let alone = if self.planet_count == 1 { planets.first() } else { None };
            found.push(PinFound {
                pin: pin + 1,
                in_time: beside.in_time,
                deviation: alone.map(|planet| planet.deviation.clone()),
                teeth: alone.map(|planet| planet.teeth.clone()),
                target: alone.map(|planet| planet.target.clone()),
                resolution: alone.map(|planet| planet.resolution.clone()),
                wrong_seatings,
                planets,
                stands_in,
            });
        }
        Ok(Explanation {
            convention: agreements.convention,
            in_time: found.iter().all(|pin| pin.in_time),
            could_be: could_be.contains(&true),
            reference: pins[agreements.all[agreements.best].first()] + 1,
            pins: found,
            same_as_first: false,
        })
    }

    /// How each planet that was read on a pin stands.
    fn planets(&self, torus: &mut Torus, pin: usize, beside: &PinAgreement) -> Result<Vec<PlanetFound>, TooMuch> {
        let readings = self.read.iter().map(|read| read.readings[pin].as_ref());
        let read: Vec<(usize, &Reading)> = readings.enumerate().filter_map(|(at, it)| Some((at, it?))).collect();
        let places: Vec<usize> = read.iter().map(|&(at, _)| at).collect();
        let best = &beside.boxes[beside.best];
        let PinStanding { right, off } =
            if beside.in_time { in_time(torus, &places, best)? } else { out_of_time(torus, &places, best)? };
        let resolution = resolution(torus, &beside.boxes, &off)?;
        let planet = |&(at, reading): &(usize, &Reading)| PlanetFound {
            planet: self.read[at].planet,
            in_time: right.contains(&at),
            deviation: off[at].clone(),
            teeth: multiple(&off[at], self.tooth_count(at)),
            target: nearest_zero(&(&reading.turn - &off[at])),
            resolution: resolution[at].clone(),
            gear: self.read[at].gear,
            turn_by_teeth: -multiple(&off[at], self.tooth_count(at)),
        };
        Ok(read.iter().map(planet).collect())
    }

    /// A planet by itself in a wrong seating is over by whole teeth of its gear.
    fn count_whole_teeth(&self, planets: &mut [PlanetFound], seating: &NearSeating) {
        let ([planet], 1) = (planets, self.planet_count) else { return };
        let is_of_gear = |mesh: MeshId| self.set.mesh(mesh).gears().both().contains(&&planet.gear);
        let moved = seating.meshes.iter().find(|it| is_of_gear(it.mesh)).map_or(0, |it| it.moved);
        if moved != 0 {
            planet.turn_by_teeth = fraction(-moved, 1);
        }
    }
}

impl Agreements {
    /// Whether every pin agrees.
    pub(super) fn all_agree(&self) -> bool {
        self.all[self.best].all_agree()
    }

    fn beside(&self, torus: &mut Torus, index: usize) -> Result<PinAgreement, TooMuch> {
        let (mut boxes, mut judging) = (Vec::new(), Vec::new());
        for shared in &self.all {
            let it = shared.beside(torus, index)?;
            if (index != shared.first() || shared.others(index).count() > 1) && !judging.contains(&it) {
                judging.push(it.clone());
            }
            boxes.push(it);
        }
        Ok(PinAgreement { in_time: self.all[self.best].agrees[index], boxes, best: self.best, judging })
    }
}

/// The wrong seating that the planets of a pin most likely stand in: that whose turns are nearest to what was read,
/// of those that could be where there are any.
fn stands_in(planets: &[PlanetFound], seatings: &[NearSeating]) -> Option<usize> {
    let could_be = seatings.iter().any(|seating| seating.could_be);
    let away = |seating: &NearSeating| -> Option<Fraction> {
        let turn = seating.turn.as_ref()?;
        planets.first().map(|planet| (turn - &planet.deviation).abs())
    };
    let likely = seatings.iter().enumerate().filter(|(_, seating)| seating.could_be == could_be);
    likely.min_by_key(|&(at, seating)| (away(seating), at)).map(|(at, _)| at)
}

/// All planets of a pin that agrees are right.
fn in_time(torus: &mut Torus, read: &[usize], off: &TurnBox) -> Result<PinStanding, TooMuch> {
    let nearest = torus.nearest(off, read)?.unwrap_or_else(|| off.center.clone());
    Ok(PinStanding { right: read.to_vec(), off: nearest })
}

/// Of the planets of a pin that does not agree as many are right as can be, but not all.
fn out_of_time(torus: &mut Torus, read: &[usize], off: &TurnBox) -> Result<PinStanding, TooMuch> {
    let mut subsets: Vec<Vec<usize>> = vec![Vec::new()];
    for &at in read {
        let longer: Vec<Vec<usize>> = subsets.iter().map(|subset| [&subset[..], &[at]].concat()).collect();
        subsets.extend(longer);
    }
    subsets.retain(|subset| subset.len() < read.len());
    subsets.sort_by_key(|subset| std::cmp::Reverse(subset.len()));
    for right in subsets {
        if let Some(off) = torus.nearest(off, &right)? {
            return Ok(PinStanding { right, off });
        }
    }
    Ok(PinStanding { right: Vec::new(), off: off.center.clone() })
}

/// How far each planet may be from where it is said to stand, by any reading that may be exact.
fn resolution(torus: &mut Torus, boxes: &[TurnBox], off: &[Fraction]) -> Result<Vec<Fraction>, TooMuch> {
    let mut widest = vec![Fraction::zero(); off.len()];
    for it in boxes {
        let center = it.center.iter().zip(off).map(|(center, off)| center - off).collect();
        let apart = torus.nearest(&TurnBox { center, half: it.half.clone() }, &[])?.unwrap_or_default();
        for (at, widest) in widest.iter_mut().enumerate() {
            let here = (apart[at].abs() + &it.half[at]).min(torus.half(at));
            *widest = here.max(widest.clone());
        }
    }
    Ok(widest)
}
