//! Which trains are the speeds measured on?
//!
//! Gearsets of sun, planet, ring and carrier, in two arrangements: in series, reduction
//! and step-up by turns so that numbers stay small; and coupled, where neighbours share
//! one or two members at random and every state holds or clutches other members, so
//! that several gearsets must be solved together. Four states each, all fully
//! determined; motion passes from one end of the train to the other.

use num_traits::Zero;
use toothmark::exact::{Conditions, Equality, Equation, LinearSystem, Term};

/// The equations of a train, and what holds in each of its states.
pub(crate) struct Train {
    /// How many members there are, planets included, the case not.
    pub(crate) members: usize,
    /// Each mesh: coefficient and member, three times.
    pub(crate) meshes: Vec<[(i32, usize); 3]>,
    /// The planets.
    pub(crate) planets: Vec<usize>,
    /// The equalities of each state; member 1 drives.
    pub(crate) states: Vec<Conditions>,
}

impl Train {
    /// The train ready to be solved.
    pub(crate) fn system(&self) -> LinearSystem {
        let equation = |mesh: &[(i32, usize); 3]| -> Equation {
            mesh.iter().map(|&(teeth, unknown)| Term::of(teeth.into(), unknown)).collect()
        };
        let equations = self.meshes.iter().map(equation).collect();
        LinearSystem::new(self.members + 1, equations, &self.planets)
    }

    /// `size` tells the larger gearsets from the smaller ones.
    fn new(members: usize, size: impl Fn(usize) -> usize) -> Self {
        let mut train = Self { members, meshes: vec![], planets: vec![], states: vec![] };
        for set in 0..members / 4 {
            let [sun, planet, ring, carrier] = [1, 2, 3, 4].map(|part| 4 * set + part);
            let step = i32::try_from(size(set)).expect("a small number");
            let (suns, planets) = (24 + 3 * step, 18 + 2 * step);
            train.mesh([(suns, sun), (planets, planet)], carrier);
            train.mesh([(planets, planet), (-(suns + 2 * planets), ring)], carrier);
            train.planets.push(planet);
        }
        for pair in (members / 4 * 4 + 1..members).step_by(2) {
            train.mesh([(30, pair), (20, pair + 1)], 0);
        }
        train
    }

    fn mesh(&mut self, [a, b]: [(i32, usize); 2], carrier: usize) {
        self.meshes.push([a, b, (-(a.0 + b.0), carrier)]);
    }
}

/// Gearsets in series; the last may be followed by a pair of gears.
pub(crate) fn in_series(members: usize) -> Train {
    let mut train = Train::new(members, |set| set / 2 % 5);
    let sets = members / 4;
    // Even gearsets are driven at the sun, odd ones at the carrier.
    let [input, output] = [[1, 4], [4, 1]].map(|part| move |set: usize| 4 * set + part[set % 2]);
    for state in 0..4 {
        let mut equalities = vec![];
        for set in 0..sets {
            let clutched = state > 0 && (set / 2 + state) % 4 == 0;
            equalities.push(if clutched {
                Equality::of(4 * set + 1, 4 * set + 4)
            } else {
                Equality::held(4 * set + 3)
            });
            if set + 1 < sets {
                equalities.push(Equality::of(output(set), input(set + 1)));
            }
        }
        if 4 * sets < members {
            equalities.push(Equality::of(output(sets - 1), 4 * sets + 1));
        }
        train.states.push(Conditions::of(1, equalities));
    }
    train
}

/// How many coupled gearsets share two members with their neighbours; one such block
/// shares one member with the next.
const BLOCK: usize = 3;

/// Gearsets coupled at random, but the same for every run.
pub(crate) fn coupled(members: usize) -> Train {
    let mut train = Train::new(members, |set| set % 5);
    let system = train.system();
    let sets = members / 4;
    let mut random = Random(0x9E37_79B9);
    let couplings = Couplings::new(members, &mut random);
    for _ in 0..4 {
        train.states.push(determined(&system, sets, &couplings, &mut random));
    }
    train
}

/// What couples the gearsets of a train.
struct Couplings {
    /// The members that are one.
    joins: Vec<Equality>,
    /// The members by which motion has to pass from block to block and out; none may stand still.
    links: Vec<usize>,
}

impl Couplings {
    fn new(members: usize, random: &mut Random) -> Self {
        let sets = members / 4;
        let (mut joins, mut links) = (vec![], vec![central(sets - 1, 2)]);
        for set in 1..sets {
            let (before, after) = (random.below(3), random.below(3));
            let alone = set % BLOCK == 0;
            for member in 0..if alone { 1 } else { 2 } {
                let before = central(set - 1, before + member);
                joins.push(Equality::of(before, central(set, after + member)));
            }
            if alone {
                links.push(central(set - 1, before));
            }
        }
        if 4 * sets < members {
            joins.push(Equality::of(central(sets - 1, 0), 4 * sets + 1));
        }
        Self { joins, links }
    }
}

/// Conditions that hold or clutch members at random until nothing is free, while every link turns.
fn determined(system: &LinearSystem, sets: usize, couplings: &Couplings, random: &mut Random) -> Conditions {
    let mut conditions = Conditions::of(1, couplings.joins.clone());
    let mut freedom = system.solve(&conditions).freedom;
    let mut patience = 1000 * sets;
    while freedom > 0 {
        let (set, member) = (random.below(sets), random.below(3));
        let one = central(set, member);
        conditions.equalities.push(if random.below(3) == 0 {
            Equality::of(one, central(set, member + 1))
        } else {
            Equality::held(one)
        });
        let solution = system.solve(&conditions);
        let is_zero = |&link: &usize| solution.values[link].as_ref().is_some_and(Zero::is_zero);
        if solution.driver_can_turn && solution.freedom < freedom && !couplings.links.iter().any(is_zero) {
            freedom = solution.freedom;
        } else {
            conditions.equalities.pop();
            patience = patience.checked_sub(1).expect("such conditions exist");
        }
    }
    conditions
}

/// Sun, ring or carrier of a gearset.
fn central(set: usize, which: usize) -> usize {
    4 * set + [1, 3, 4][which % 3]
}

/// A linear congruential generator; the multiplier is one of those in Knuth, "The Art of Computer
/// Programming", volume 2, section 3.3.4, table 1.
struct Random(u64);

impl Random {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        usize::try_from(self.0 >> 33).expect("31 bits") % bound
    }
}
