//! Of planets in mesh with one another, how far is the nearest wrong seating out?
//!
//! The planets on the first pin fit. A seating is told by which tooth stands in which space at every mesh, and each is tried:
//! a mesh with a planet not seated before by every tooth of that, every other by the teeth that its planets, seated so, bring
//! near. How far a seating is out at its worst mesh, with the planets turned as well as can be, is told by rounds: sets of
//! meshes with factors such that no turn of any planet changes the sum of what they are out, so that it is shared by the
//! factors. The worst round tells it, by the theorem of Helly that `margin_twin` cites.
//! That this can be had is seen in space, by turns with which the meshes are out by what the library tells.

use std::cell::Cell;

use proptest::test_runner::{Config, TestRunner};
use toothmark::exact::to_float;
use toothmark::timing::{GroupTiming, MarginSearch};

use super::{Meshing, NEAR, Other, Planets, Standing, Teeth, off_whole, only_group, seat};
use crate::support::random::cases;
use crate::support::trains::{Tape, tape};
use crate::support::wheels::Shape;

/// Meshes whose errors, each times a factor, sum up to the same whatever planet is turned; no fewer of them do.
struct Round {
    factors: Vec<f64>,
    /// The sum of the factors without their signs.
    size: f64,
    /// Its last mesh.
    last: usize,
}

impl Round {
    /// Of some meshes, where there is one factor for each.
    fn of(rows: &[Vec<f64>], meshes: &[usize]) -> Option<Self> {
        let chosen: Vec<&Vec<f64>> = meshes.iter().map(|&mesh| &rows[mesh]).collect();
        let shares = cancelling(&chosen)?;
        let mut factors = vec![0.0; rows.len()];
        for (&mesh, share) in meshes.iter().zip(&shares) {
            factors[mesh] = *share;
        }
        let last = *meshes.last()?;
        Some(Self { size: shares.iter().map(|share| share.abs()).sum(), factors, last })
    }

    /// What is out at its worst mesh at least, for the meshes up to its last with so many teeth.
    fn out(&self, teeth: &[f64]) -> f64 {
        let sum: f64 = self.factors.iter().zip(teeth).map(|(factor, teeth)| factor * teeth).sum();
        sum.abs() / self.size
    }
}

/// The factors, none of them zero and the last one 1, with which rows sum up to nothing; `None` where there are none or not
/// these alone.
fn cancelling(rows: &[&Vec<f64>]) -> Option<Vec<f64>> {
    let (last, others) = rows.split_last()?;
    // The unknown factors of the others, column by column, and what they have to bring.
    let mut equations: Vec<Vec<f64>> =
        (0..last.len()).map(|column| others.iter().map(|row| row[column]).chain([-last[column]]).collect()).collect();
    for unknown in 0..others.len() {
        let largest = (unknown..equations.len())
            .max_by(|&a, &b| equations[a][unknown].abs().total_cmp(&equations[b][unknown].abs()))?;
        if equations[largest][unknown].abs() < NEAR {
            return None;
        }
        equations.swap(unknown, largest);
        let pivot = equations[unknown].clone();
        for (at, equation) in equations.iter_mut().enumerate() {
            let times = equation[unknown] / pivot[unknown];
            if at != unknown {
                equation.iter_mut().zip(&pivot).for_each(|(value, pivot)| *value -= times * pivot);
            }
        }
    }
    let (solved, left) = equations.split_at(others.len());
    let is_met = left.iter().all(|equation| equation.last().is_some_and(|value| value.abs() < NEAR));
    let factor = |(at, equation): (usize, &Vec<f64>)| equation[others.len()] / equation[at];
    let factors: Vec<f64> = solved.iter().enumerate().map(factor).chain([1.0]).collect();
    (is_met && factors.iter().all(|factor| factor.abs() > NEAR)).then_some(factors)
}

/// Every seating of bodies that turn, mesh by mesh.
struct Seatings<'a> {
    meshes: &'a [Standing],
    /// Those that end with each mesh.
    rounds: Vec<Vec<Round>>,
    /// How many teeth the body that each mesh is the first of has; 0 for a mesh whose bodies are seated before.
    teeth: Vec<f64>,
    least: f64,
}

/// By how much of a tooth the seating that is nearest of those that are out is out at its worst mesh, below half a tooth.
pub(super) fn least_out(meshes: &[Standing], bodies: usize) -> Option<f64> {
    let mut seatings = Seatings::new(meshes, bodies);
    seatings.go_on(&mut Vec::new(), 0.0);
    (seatings.least < 0.5 - NEAR).then_some(seatings.least)
}

impl<'a> Seatings<'a> {
    fn new(meshes: &'a [Standing], bodies: usize) -> Self {
        let row = |mesh: &Standing| {
            let mut row = vec![0.0; bodies];
            mesh.passing.iter().for_each(|&(body, teeth)| row[body] += teeth);
            row
        };
        let rows: Vec<Vec<f64>> = meshes.iter().map(row).collect();
        let mut rounds: Vec<Vec<Round>> = meshes.iter().map(|_| Vec::new()).collect();
        for chosen in 1_usize..1 << meshes.len() {
            let chosen: Vec<usize> = (0..meshes.len()).filter(|mesh| (chosen >> mesh) & 1 == 1).collect();
            // More of them contain a round of fewer.
            if chosen.len() > bodies + 1 {
                continue;
            }
            if let Some(round) = Round::of(&rows, &chosen) {
                rounds[round.last].push(round);
            }
        }
        let mut seated = vec![false; bodies];
        let mut first_of = |mesh: &Standing| {
            let new: Vec<_> = mesh.passing.iter().filter(|(body, _)| !seated[*body]).collect();
            assert!(new.len() < 2, "one body after the other is seated: {mesh:?}");
            new.first().map_or(0.0, |(body, teeth)| {
                seated[*body] = true;
                teeth.abs()
            })
        };
        let teeth = meshes.iter().map(&mut first_of).collect();
        Self { meshes, rounds, teeth, least: 0.5 }
    }

    /// With so many teeth at the meshes before, of which the worst round is out by so much.
    fn go_on(&mut self, teeth: &mut Vec<f64>, out: f64) {
        let mesh = teeth.len();
        let Some(standing) = self.meshes.get(mesh) else {
            if out > NEAR {
                self.least = self.least.min(out);
            }
            return;
        };
        // What a mesh is out at rest counts like teeth.
        let rest = standing.at_rest;
        let Some(round) = self.rounds[mesh].first() else {
            let mut tooth = 0.0;
            while tooth < self.teeth[mesh] {
                self.try_tooth(teeth, out, rest + tooth);
                tooth += 1.0;
            }
            return;
        };
        // The last factor is 1.
        let middle = -round.factors.iter().zip(teeth.iter()).map(|(factor, teeth)| factor * teeth).sum::<f64>();
        let reach = self.least * round.size;
        let mut tooth = (middle - reach - rest).ceil();
        while tooth <= middle + reach - rest {
            self.try_tooth(teeth, out, rest + tooth);
            tooth += 1.0;
        }
    }

    fn try_tooth(&mut self, teeth: &mut Vec<f64>, out: f64, tooth: f64) {
        teeth.push(tooth);
        let rounds = &self.rounds[teeth.len() - 1];
        let out = rounds.iter().map(|round| round.out(teeth)).fold(out, f64::max);
        if out < self.least {
            self.go_on(teeth, out);
        }
        teeth.pop();
    }
}

impl Planets {
    /// A gear that goes together with one of another planet, turned the other way, two in three times.
    fn fitting_teeth(&self, tape: &mut Tape, [body, gear]: [usize; 2], most: i64) -> i64 {
        let drawn = tape.between(4, most);
        let steps = i64::try_from(self.places.len()).expect("a few pins");
        let fitting = drawn + (self.bodies[body].gears[gear].teeth - drawn).rem_euclid(steps);
        if tape.once_in(3) { drawn } else { fitting }
    }

    /// A planet in mesh with a gear of one that is there.
    fn add_linked(&mut self, tape: &mut Tape, to: [usize; 2], most: i64) -> usize {
        let next = self.add(tape, Shape::External, Teeth { unit: 1, times: [4, 4] });
        self.bodies[next].gears[0].teeth = self.fitting_teeth(tape, to, most);
        self.bodies[next].sense = -self.bodies[to[0]].sense;
        self.link(to, [next, 0]);
        next
    }

    /// A second mesh of two planets that are in mesh.
    fn link_again(&mut self, tape: &mut Tape, body: usize, later: usize, most: i64) {
        let gear = self.add_gear(tape, body, Shape::External, Teeth { unit: 1, times: [4, most] });
        let teeth = self.fitting_teeth(tape, [body, gear], most);
        let other = self.push_gear(tape, later, Shape::External, teeth);
        self.link([body, gear], [later, other]);
    }

    fn add_any_central(&mut self, tape: &mut Tape, at: [usize; 2]) {
        let shape = tape.pick(&[Shape::External, Shape::Internal]);
        self.add_central(tape, at, shape);
    }
}

/// Two to four planets, each in mesh with one before it, some with two of its gears; the more there are, the fewer teeth they
/// have. Some are clusters, and two or more are in mesh with central gears.
fn several(tape: &mut Tape) -> Planets {
    let mut planets = Planets::new(tape);
    let count = tape.between(2, 4);
    let most = [14, 10, 7][usize::try_from(count - 2).expect("two or more")];
    let mut body = planets.add(tape, Shape::External, Teeth { unit: 1, times: [4, most] });
    planets.add_any_central(tape, [body, 0]);
    for at in 1..count {
        let is_cluster = tape.once_in(3);
        let gear = if is_cluster {
            planets.add_gear(tape, body, Shape::External, Teeth { unit: 1, times: [4, most] })
        } else {
            0
        };
        let next = planets.add_linked(tape, [body, gear], most);
        if tape.once_in(3) {
            planets.link_again(tape, body, next, most);
        }
        for _ in 0..if at + 1 == count { tape.between(1, 2) } else { tape.between(0, 1) } {
            let own = if tape.once_in(2) {
                planets.add_gear(tape, next, Shape::External, Teeth { unit: 1, times: [4, most] })
            } else {
                0
            };
            planets.add_any_central(tape, [next, own]);
        }
        // Or a second one in mesh with the same planet.
        body = if tape.once_in(4) { body } else { next };
    }
    planets.fitted()
}

/// Turns of the planets with which the meshes of the first pin are out by what is told, seen in space.
#[track_caller]
fn can_be_out_by(planets: &Planets, standing: &[Standing], errors: &[f64]) {
    let moved = |(mesh, error): (&Standing, &f64)| Standing { at_rest: mesh.at_rest - error, ..mesh.clone() };
    let moved: Vec<Standing> = standing.iter().zip(errors).map(moved).collect();
    let mut found = Vec::new();
    seat(&moved, &mut vec![None; planets.body_count()], &mut found);
    let turns = found.first().unwrap_or_else(|| panic!("no turns with errors of {errors:?}: {planets:?}"));
    for (mesh, error) in planets.meshes.iter().zip(errors) {
        let Meshing { body, other, .. } = *mesh;
        let other = if let Other::Planet(other, _) = other { turns[other] } else { 0.0 };
        let off = planets.touch(mesh, 0.0).off([turns[body], other]);
        assert!(off_whole(off - error) < NEAR, "{off}, not {error}, turned by {turns:?}: {planets:?}");
    }
}

/// Whether there is a margin, which is that of the seatings tried.
#[track_caller]
fn check(planets: &Planets) -> bool {
    let set = planets.set();
    let group: GroupTiming = only_group(&set);
    if !group.assembles || group.pins.len() == 1 {
        assert_eq!(group.margin, None, "no seating is wrong where none is right: {planets:?}");
        return false;
    }
    assert_eq!(group.margin_search, MarginSearch::Complete, "these are small: {planets:?}");
    let standing = planets.standing(0.0);
    let (margin, tried) = (group.margin.as_ref().map(to_float), least_out(&standing, planets.body_count()));
    let is_one = match (margin, tried) {
        (Some(margin), Some(tried)) => (margin - tried).abs() < NEAR,
        (None, None) => true,
        (Some(_), None) | (None, Some(_)) => false,
    };
    assert!(is_one, "a margin of {margin:?}, and {tried:?} by trying: {planets:?}");
    let Some(margin) = margin else { return false };
    let error =
        |mesh| group.margin_errors.iter().find(|error| error.mesh == mesh).map_or(0.0, |it| to_float(&it.teeth));
    let errors: Vec<f64> = set.mesh_ids().map(error).collect();
    let largest = errors.iter().fold(0.0, |largest: f64, error| largest.max(error.abs()));
    assert!((largest - margin).abs() < NEAR, "{errors:?}, not {margin}: {planets:?}");
    can_be_out_by(planets, &standing, &errors);
    true
}

#[expect(clippy::print_stdout, reason = "figures for those who read the documents")]
#[test]
fn planets_in_mesh_with_one_another_are_nearest_to_a_wrong_seating_where_their_teeth_are() {
    let config = Config { source_file: Some(file!()), ..cases(300) };
    let trains = config.cases;
    let [margins, dependencies] = [0, 0].map(Cell::<u32>::new);
    let outcome = TestRunner::new(config).run(&tape(70), |mut tape| {
        let planets = several(&mut tape);
        if check(&planets) {
            margins.set(margins.get() + 1);
            let more = planets.meshes.len() - planets.body_count();
            dependencies.set(dependencies.get() + u32::from(more > 1));
        }
        Ok(())
    });
    outcome.unwrap_or_else(|failure| panic!("{failure}"));
    let [margins, dependencies] = [margins.get(), dependencies.get()];
    println!("{trains} trains: {margins} have a margin, of which {dependencies} have several dependencies");
    assert!(margins > trains / 5 && dependencies > trains / 10, "{margins} and {dependencies} told something");
}

/// A long planet of 6 and a short one of 5 between suns of 4 and 4: of the three meshes 6 u, 6 u + 5 v and 5 v the errors sum
/// up to the same with factors 1, -1 and 1, so that one tooth too many is shared by three.
#[test]
fn one_tooth_too_many_is_shared_by_the_meshes_of_a_round() {
    let mesh = |passing: &[(usize, f64)]| Standing { at_rest: 0.0, passing: passing.to_vec() };
    let meshes = [mesh(&[(0, 6.0)]), mesh(&[(0, 6.0), (1, 5.0)]), mesh(&[(1, 5.0)])];
    let least = least_out(&meshes, 2).expect("a tooth too many");
    assert!((least - 1.0 / 3.0).abs() < NEAR, "{least}");
    // Gears of 3 and 2 on one body: 2 and -3 as factors, so 1 in 5.
    let least = least_out(&[mesh(&[(0, 3.0)]), mesh(&[(0, 2.0)])], 1).expect("a tooth too many");
    assert!((least - 0.2).abs() < NEAR, "{least}");
    assert_eq!(least_out(&[mesh(&[(0, 3.0)])], 1), None, "every tooth of one gear is right");
}
