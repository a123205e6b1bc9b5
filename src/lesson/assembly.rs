//! Why does a group of planets go together, tooth by tooth for the second pin, or why not?
//!
//! From the first pin to the second, x of a turn on, a central gear of Z teeth shows `Z x` pitches; a
//! planet that is turned by t shows `P t` of its own. They mesh as on the first pin where the
//! difference is whole (see `timing`). Two gears of one planet leave the condition
//! `x (Z_a P_b - Z_b P_a) / gcd(P_a, P_b)` whole, whatever t is.

use std::collections::BTreeMap;

use num_integer::Integer;

use super::expression::Arithmetic;
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId, MeshId, PlanetGroup, TimingRow};
use crate::timing::timing;

/// The reasons for one group of planets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LessonAssembly {
    /// The planets.
    pub planets: Vec<MemberId>,
    /// The carrier.
    pub carrier: MemberId,
    /// The number of pins.
    pub pins: usize,
    /// The pin that is looked at, from 1: the second, or the one that is refused.
    pub pin: usize,
    /// How far it is from the first, in turns.
    pub place: Fraction,
    /// Whether the planets on that pin go in.
    pub goes_in: bool,
    /// How far each planet of the group is turned there; empty where it does not go in.
    pub turns: Vec<Fraction>,
    /// The sum for each mesh, or for the two that refuse one another.
    pub sums: Vec<AssemblySum>,
    /// Whether the whole group goes together.
    pub goes_together: bool,
}

/// A number that has to be whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssemblySum {
    /// The meshes it is about: one, or two that contradict one another.
    pub meshes: Vec<MeshId>,
    /// As it is written, and what it comes to.
    pub chain: Vec<Arithmetic>,
}

/// The reasons for every group with more than one pin.
pub(super) fn assemblies(set: &Gearset) -> Vec<LessonAssembly> {
    let groups = set.planet_groups().iter().zip(timing(set).groups);
    let several = groups.filter(|(group, _)| group.places().len() > 1);
    several
        .map(|(group, timed)| {
            let refused = timed.pins.iter().position(|pin| pin.turns.is_none());
            let pin = refused.unwrap_or(1);
            let place = group.spacings()[pin].clone();
            let rows = set.matrix().timing(group);
            let turns: Vec<Fraction> = timed.pins[pin].turns.iter().flat_map(BTreeMap::values).cloned().collect();
            let sums = match refused {
                None => rows.iter().map(|row| sum(row, &turns, &place)).collect(),
                Some(_) => refusals(group, &rows, &place),
            };
            LessonAssembly {
                planets: group.planets().to_vec(),
                carrier: group.carrier(),
                pins: group.places().len(),
                pin: pin + 1,
                place,
                goes_in: refused.is_none(),
                turns,
                sums,
                goes_together: timed.assembles,
            }
        })
        .collect()
}

fn times(count: i64, by: &Fraction) -> Arithmetic {
    Arithmetic::Product(vec![Arithmetic::whole(count), Arithmetic::Number(by.clone())])
}

fn chain(meshes: Vec<MeshId>, written: Arithmetic) -> AssemblySum {
    let value = written.form().map_or_else(|| written.clone(), |form| form.expression());
    AssemblySum { meshes, chain: vec![written, value] }
}

/// `P t - Z x` for a central gear, `P t + Q u` for two planets.
fn sum(row: &TimingRow, turns: &[Fraction], place: &Fraction) -> AssemblySum {
    let mut terms: Vec<Arithmetic> =
        row.terms.iter().map(|term| times(term.tooth_count, &turns[term.planet])).collect();
    if row.central.is_some() {
        terms.push(times(-row.place_coefficient, place));
    }
    chain(vec![row.mesh], Arithmetic::Sum(terms))
}

/// The pairs of gears of one planet that refuse one another at this place; for planets that mesh with
/// one another there is no such short sum.
fn refusals(group: &PlanetGroup, rows: &[TimingRow], place: &Fraction) -> Vec<AssemblySum> {
    if group.planets().len() > 1 {
        return Vec::new();
    }
    let pairs = rows.iter().enumerate().flat_map(|(at, a)| rows[at + 1..].iter().map(move |b| (a, b)));
    let all = pairs.map(|(a, b)| pair_sum(a, b, place));
    all.filter(|sum| !matches!(sum.chain.last(), Some(Arithmetic::Number(value)) if value.is_integer())).collect()
}

/// `x (Z_a P_b - Z_b P_a) / gcd(P_a, P_b)`, an integer where both gears of a planet can mesh at the place x.
fn pair_sum(a: &TimingRow, b: &TimingRow, place: &Fraction) -> AssemblySum {
    let [p, q] = [a, b].map(|row| row.terms[0].tooth_count);
    let written = |z: i64, by: i64| Arithmetic::Product(vec![Arithmetic::whole(z), Arithmetic::whole(by)]);
    let difference = Arithmetic::Sum(vec![written(a.place_coefficient, q), written(-b.place_coefficient, p)]);
    let product = Arithmetic::Product(vec![Arithmetic::Number(place.clone()), difference]);
    let common = p.gcd(&q);
    chain(vec![a.mesh, b.mesh], if common == 1 { product } else { product.over(Arithmetic::whole(common)) })
}
