//! Where alike planets do not assemble: made to which different indexes do they?
//!
//! A gear that may stand as it likes on its planet has a turn of its own, u, so that each row is a condition on gears
//! instead of planets: `sum P u = Z x (mod 1)`. If these have a solution on every pin, so has the set, with the gears of
//! each planet made to stand as its pin asks. Planets on the pins x and y may be alike just where a turn of all their
//! gears takes one into the other, which is where `D (x - y)` is whole: these are a class. Worked out here.

use num_bigint::BigInt;
use num_traits::Signed;
use serde::Serialize;

use super::solver::Solver;
use super::tooth_marks::{ToothMark, nearest_tooth, space};
use crate::exact::{Fraction, multiple, nearest_zero};
use crate::gearset::{GearId, Gearset, MemberId, PlanetGroup, TimingRow, TimingRows};

/// Planets that are made alike, for some of the pins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct IndexClass {
    /// Its letter: A is the class of pin 1.
    pub class: String,
    /// The pins that it is for, counted from 1.
    pub pins: Vec<usize>,
    /// The planets on each of these pins that have more than one gear in mesh.
    pub planets: Vec<IndexedPlanet>,
}

/// How the gears of a planet stand against one another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct IndexedPlanet {
    /// The planet.
    pub planet: MemberId,
    /// Its gears in mesh, the one that is marked first.
    pub gears: Vec<IndexedGear>,
    /// For each pin of the class the tooth of the marked gear that stands nearest to the line of centres, counted from
    /// its index tooth.
    pub marks: Vec<ToothMark>,
}

/// How a gear stands on a planet of a class, against how it stands on one of class A.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct IndexedGear {
    /// The gear.
    pub gear: GearId,
    /// How far its index tooth stands from that of the marked gear, in turns, counter-clockwise seen from the input side;
    /// in class A it is 0, whatever angle that stands for.
    pub turns: Fraction,
}

/// The classes with which the planets of a group assemble; empty where no index makes them.
pub(super) fn index_classes(set: &Gearset, group: &PlanetGroup, rows: &TimingRows, solver: &Solver) -> Vec<IndexClass> {
    let spacings = group.spacings();
    let (gears, by_gear) = rows.by_gear();
    let free = Solver::new(&by_gear);
    let classes = alike_pins(&spacings, &solver.spacing_divisor());
    let seated = |pins: &Vec<usize>| Some(SeatedClass { pins: pins.clone(), turns: free.turns(&spacings[pins[0]])? });
    let Some(seated) = classes.iter().map(seated).collect::<Option<Vec<_>>>() else { return Vec::new() };
    let problem = ClassProblem { set, group, rows, solver, spacings: &spacings, gears: &gears };
    let marked = problem.marked_gears(&seated);
    seated.iter().enumerate().map(|(at, class)| problem.class(at, class, &marked)).collect()
}

/// The positions of pins whose planets may be alike.
fn alike_pins(spacings: &[Fraction], divisor: &BigInt) -> Vec<Vec<usize>> {
    let mut classes: Vec<Vec<usize>> = Vec::new();
    for (pin, place) in spacings.iter().enumerate() {
        let is_alike = |class: &&mut Vec<usize>| ((place - &spacings[class[0]]) * divisor).is_integer();
        match classes.iter_mut().find(is_alike) {
            Some(class) => class.push(pin),
            None => classes.push(vec![pin]),
        }
    }
    classes
}

/// A class with the turn of each gear on its first pin.
struct SeatedClass {
    pins: Vec<usize>,
    turns: Vec<Fraction>,
}

struct ClassProblem<'a> {
    set: &'a Gearset,
    group: &'a PlanetGroup,
    rows: &'a [TimingRow],
    solver: &'a Solver,
    spacings: &'a [Fraction],
    gears: &'a [GearId],
}

impl ClassProblem<'_> {
    /// Of each planet with several gears the one whose teeth stand nearest to the line of centres on the worst pin.
    fn marked_gears(&self, classes: &[SeatedClass]) -> Vec<(MemberId, usize)> {
        let off_line = |&gear: &usize| {
            let on_pins = classes.iter().flat_map(|class| self.marks(class, gear));
            on_pins.map(|mark| mark.off_line.abs()).max()
        };
        let marked = |&planet: &MemberId| {
            let own = self.gears_of(planet);
            if own.len() < 2 { None } else { Some((planet, own.into_iter().min_by_key(off_line)?)) }
        };
        self.group.planets().iter().filter_map(marked).collect()
    }

    /// The positions of the gears of a planet.
    fn gears_of(&self, planet: MemberId) -> Vec<usize> {
        (0..self.gears.len()).filter(|&gear| self.set.gear(self.gears[gear]).member() == planet).collect()
    }

    fn class(&self, at: usize, class: &SeatedClass, marked: &[(MemberId, usize)]) -> IndexClass {
        let indexed = |&(planet, marked): &(MemberId, usize)| {
            let others = self.gears_of(planet).into_iter().filter(|&gear| gear != marked);
            let from_marked = |gear: usize| IndexedGear {
                gear: self.gears[gear],
                turns: self.nearest(gear, &(&class.turns[gear] - &class.turns[marked])),
            };
            IndexedPlanet {
                planet,
                gears: [marked].into_iter().chain(others).map(from_marked).collect(),
                marks: self.marks(class, marked),
            }
        };
        IndexClass {
            class: letter(at),
            pins: class.pins.iter().map(|pin| pin + 1).collect(),
            planets: marked.iter().map(indexed).collect(),
        }
    }

    /// Every tooth of a gear is as good as the next: of all turns that differ by whole teeth the one nearest to none.
    fn nearest(&self, gear: usize, turns: &Fraction) -> Fraction {
        let count = self.set.gear(self.gears[gear]).tooth_count().get().into();
        nearest_zero(&multiple(turns, count)) / BigInt::from(count)
    }

    /// The tooth of a gear nearest to the line of centres on each pin of a class.
    fn marks(&self, class: &SeatedClass, gear: usize) -> Vec<ToothMark> {
        class.pins.iter().filter_map(|&pin| self.mark(class, gear, pin)).collect()
    }

    /// Planets that are alike turn as a whole from the first pin of their class to another.
    fn mark(&self, class: &SeatedClass, gear: usize, pin: usize) -> Option<ToothMark> {
        let with_gear = |row: &&TimingRow| row.terms.iter().any(|term| term.gear == self.gears[gear]);
        let row = self.rows.iter().find(with_gear)?;
        let term = row.terms.iter().find(|term| term.gear == self.gears[gear])?;
        let from_first = self.solver.turns(&(&self.spacings[pin] - &self.spacings[class.pins[0]]))?;
        let turn = &class.turns[gear] + &from_first[term.planet];
        let (nearest, off_line) = nearest_tooth(&multiple(&turn, term.tooth_count.abs()));
        let space = row.central.map(|_| space(row.place_coefficient, term.tooth_count, &self.spacings[pin], &off_line));
        Some(ToothMark { pin: pin + 1, tooth: -nearest, space, off_line })
    }
}

/// A, B, and so on to Z, then A2.
fn letter(at: usize) -> String {
    let letter = ('A'..='Z').cycle().nth(at).unwrap_or('A');
    if at < 26 { letter.to_string() } else { format!("{letter}{}", at / 26 + 1) }
}
