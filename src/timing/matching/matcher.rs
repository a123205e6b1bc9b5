//! The work behind [`matching`](super::matching()): the rows of a measured set, its seatings, what they leave.
//!
//! Each row is written with the cluster's count positive, so that a row that is ahead is ahead
//! counter-clockwise whatever the kind of gear.

use super::central_ties::{CentralTies, FixedGears, FixedRelation};
use super::problem::{ClusterRow, MatchProblem, Orders, SetChoice, better_than, central_count, float};
use super::seatings::ClusterSeating;
use super::tension::{Link, least_level, strict_places};
use super::{
    ContactPin, Difference, FirstContact, FixedTurn, MatchRefusal, MatchSearch, Matching, Residual, Seated, SeatedPin,
    Verdict, Weighing,
};
use crate::exact::{Fraction, multiple, part_of_turn, to_float};
use crate::gearset::{GearId, GearKind, Gearset, Measured, Mesh, Offset, PinOff, PlanetGroup, TimingRow, TimingRows};
use crate::timing::solver::Solver;

/// Everything about one set that the answer is made from.
pub(super) struct Matcher<'a> {
    set: &'a Gearset,
    measured: &'a Measured,
    group: &'a PlanetGroup,
    equations: TimingRows,
    weighing: Weighing,
    problem: MatchProblem,
    ties: CentralTies,
    /// Where the pins were found, if they were measured.
    pins: Option<Vec<PinOff>>,
    /// For each cluster and row how much its index may be off, in teeth.
    index_doubts: Vec<Vec<f64>>,
    /// For each pin and row how much it may be off by the place of the pin, in teeth, with the cluster settled.
    pin_doubts: Vec<Vec<f64>>,
}

impl<'a> Matcher<'a> {
    pub(super) fn new(set: &'a Gearset, measured: &'a Measured) -> Result<Self, MatchRefusal> {
        let group = set
            .planet_groups()
            .iter()
            .find(|group| group.planets().contains(&measured.planet))
            .expect("every planet belongs to a group");
        let equations = set.matrix().timing(group);
        check(set, group, &equations)?;
        let ties = CentralTies::new(set, group, &equations, measured);
        let weighing = weighing(set, &equations);
        let spacings = group.spacings();
        let rows = equations.iter().map(|row| ClusterRow {
            count: row.terms[0].tooth_count.abs(),
            tolerance: tolerance(set.mesh(row.mesh), weighing),
        });
        let pins = measured.pins.as_ref().and_then(|pins| pins.found(&spacings));
        let place = |(pin, place): (usize, &Fraction), (row, offset): (&TimingRow, &f64)| {
            let moved = pins.as_ref().map_or(0.0, |pins| pins[pin].turns);
            to_float(&part_of_turn(&multiple(place, central_count(row)))) + moved * float(central_count(row)) + offset
        };
        let gear = |row: &TimingRow| (row.terms[0].gear, set.gear(row.terms[0].gear).tooth_count().get());
        let problem = MatchProblem {
            rows: rows.collect(),
            places: spacings
                .iter()
                .enumerate()
                .map(|pin| equations.iter().zip(&ties.offsets).map(|row| place(pin, row)).collect())
                .collect(),
            index: measured
                .clusters
                .iter()
                .map(|cluster| equations.iter().map(|row| cluster.index(gear(row).0, gear(row).1)).collect())
                .collect(),
            phases: ties.phases.clone(),
            turns_on: pins.is_none() && are_equal(&spacings),
        };
        let index_doubts = (0..measured.clusters.len())
            .map(|cluster| equations.iter().map(|row| doubt(set, measured, cluster, row)).collect())
            .collect();
        let pin_doubts = pin_doubts(&equations, pins.as_deref(), spacings.len());
        Ok(Self { set, measured, group, equations, weighing, problem, ties, pins, index_doubts, pin_doubts })
    }

    /// How much a mesh may be off, in teeth, with this cluster on this pin.
    fn doubt(&self, pin: usize, cluster: usize, row: usize) -> f64 {
        self.index_doubts[cluster][row] + self.pin_doubts[pin][row] + self.ties.doubts[row]
    }

    pub(super) fn matching(&self) -> Matching {
        let listed = self.listed();
        let limit = self.problem.limit();
        let start = listed.as_ref().map_or(limit, |listed| better_than(listed.level).min(limit));
        let seated = self.problem.search(Orders::AsFound, start);
        let as_found = seated.best.or_else(|| listed.clone().filter(|listed| listed.level < limit));
        let start = as_found.as_ref().map_or(limit, |choice| better_than(choice.level));
        let any = self.problem.search(Orders::All, start);
        Matching {
            planet: self.measured.planet,
            carrier: self.group.carrier(),
            clusters: self.measured.clusters.iter().map(|cluster| cluster.name.clone()).collect(),
            reference: self.set.member(self.measured.planet).gears()[0],
            pins: self.pins.clone(),
            pin_count: self.group.places().len(),
            fixed: self.ties.fixed.clone(),
            weighing: self.weighing,
            listed: listed.map(|choice| self.seated(&choice)),
            as_found: as_found.map(|choice| self.seated(&choice)),
            exchanged: any.best.map(|choice| self.seated(&choice)),
            search: if seated.complete && any.complete { MatchSearch::Complete } else { MatchSearch::GivenUp },
            differences: self.differences(),
        }
    }

    /// The clusters as found, turned as equal ones would be.
    fn listed(&self) -> Option<SetChoice> {
        let solver = Solver::new(&self.equations);
        let pin = |(pin, spacing): (usize, &Fraction)| -> Option<Vec<f64>> {
            let exact = to_float(&solver.turns(spacing)?[0]);
            let moved = self.pins.as_ref().map_or(0.0, |pins| pins[pin].turns);
            let turn = |(index, equation): (&f64, &TimingRow)| {
                exact + (moved * float(central_count(equation)) - index) / float(equation.terms[0].tooth_count.abs())
            };
            Some(self.problem.index[pin].iter().zip(self.equations.iter()).map(turn).collect())
        };
        let alike: Vec<Vec<f64>> = self.group.spacings().iter().enumerate().map(pin).collect::<Option<_>>()?;
        // Fixed central gears leave open by which teeth the first cluster goes in; the others follow it.
        let with_first = |first: ClusterSeating| {
            let more: Vec<f64> = first.turns.iter().zip(&alike[0]).map(|(turn, alike)| turn - alike).collect();
            let on = |pin: &Vec<f64>| pin.iter().zip(&more).map(|(turn, more)| turn + more).collect();
            let turns: Vec<Vec<f64>> = alike.iter().map(on).collect();
            let links: Vec<Link> = self.problem.links(&turns).collect();
            let level = least_level(self.problem.nodes(), &links, 0.0);
            SetChoice { clusters: (0..turns.len()).collect(), turns, level }
        };
        let firsts = self.problem.first_seatings(0, self.problem.limit());
        firsts.into_iter().map(with_first).min_by(|a, b| a.level.total_cmp(&b.level))
    }

    fn seated(&self, choice: &SetChoice) -> Seated {
        let links: Vec<Link> = self.problem.links(&choice.turns).collect();
        let places = strict_places(self.problem.nodes(), &links);
        let pin_count = choice.clusters.len();
        let off = |pin: usize, row: usize| {
            places[pin] - places[pin_count + self.problem.phases[row]] - choice.turns[pin][row]
        };
        let residual = |pin: usize, row: usize| {
            let teeth = off(pin, row) * float(self.problem.rows[row].count);
            let uncertainty = self.doubt(pin, choice.clusters[pin], row);
            let verdict = self.verdict(
                (teeth.abs() - uncertainty) / self.problem.rows[row].tolerance,
                (teeth.abs() + uncertainty) / self.problem.rows[row].tolerance,
            );
            Residual { mesh: self.equations[row].mesh, teeth, uncertainty, verdict }
        };
        let pin = |pin: usize| SeatedPin {
            pin: pin + 1,
            cluster: choice.clusters[pin],
            place: self.group.places()[pin].clone(),
            turn: nearest_zero(places[pin] - places[0], float(self.problem.common())),
            residuals: (0..self.equations.len()).map(|row| residual(pin, row)).collect(),
        };
        let least = self.level_with_doubt(choice, &links, -1.0).min(choice.level);
        let most = self.level_with_doubt(choice, &links, 1.0).max(choice.level);
        Seated {
            level: choice.level,
            least,
            most,
            verdict: self.verdict(least, most),
            pins: (0..pin_count).map(pin).collect(),
            first_contacts: self.first_contacts(pin_count, off),
            fixed_turns: self.fixed_turns(|phase| places[pin_count + phase] - places[0]),
        }
    }

    /// How the central gears that are fixed to others stand, where it matters which of their teeth.
    fn fixed_turns(&self, phase_at: impl Fn(usize) -> f64) -> Vec<FixedTurn> {
        let fixed_turn = |&(phase, gear): &(usize, GearId)| {
            let row = self.ties.phases.iter().position(|of_row| *of_row == phase)?;
            let common = float(self.problem.common_of_phase(row));
            if common + 0.5 > float(self.problem.rows[row].count) {
                return None;
            }
            let turn = nearest_zero(-phase_at(phase), common);
            let ratio = float(central_count(&self.equations[row])) / float(self.problem.rows[row].count);
            Some(FixedTurn { gear, turn: turn / ratio })
        };
        self.ties.shared.iter().filter_map(fixed_turn).collect()
    }

    fn verdict(&self, least: f64, most: f64) -> Option<Verdict> {
        // How fixed gears stand that were not measured may take any play.
        let is_open = |fixed: &FixedGears| matches!(fixed.relation, FixedRelation::Unknown { .. });
        let most = if self.ties.fixed.iter().any(is_open) { f64::INFINITY } else { most };
        let verdict = if most <= 1.0 + NOTHING {
            Verdict::Within
        } else if least > 1.0 + NOTHING {
            Verdict::Beyond
        } else {
            Verdict::CannotBeTold
        };
        (self.weighing == Weighing::Backlash).then_some(verdict)
    }

    /// The level when every reading is off by its uncertainty: the worse way, or with the sign -1 the better.
    fn level_with_doubt(&self, choice: &SetChoice, links: &[Link], sign: f64) -> f64 {
        let rows = self.problem.rows.len();
        let doubtful = |(at, link): (usize, &Link)| {
            let row = at % rows;
            let pin = at / rows;
            let doubt = self.doubt(pin, choice.clusters[pin], row) / float(self.problem.rows[row].count);
            Link { doubt: sign * doubt, ..*link }
        };
        let links: Vec<Link> = links.iter().enumerate().map(doubtful).collect();
        least_level(self.problem.nodes(), &links, 0.0)
    }

    /// For each two central bodies, one pushing the clusters clockwise and one holding, the pins in order.
    fn first_contacts(&self, pins: usize, off: impl Fn(usize, usize) -> f64) -> Vec<FirstContact> {
        let count = |row: usize| float(self.problem.rows[row].count);
        let doubt = |row: usize| {
            let most = |doubts: &[Vec<f64>]| doubts.iter().map(|doubts| doubts[row]).fold(0.0, f64::max);
            (most(&self.index_doubts) + most(&self.pin_doubts) + self.ties.doubts[row]) / count(row)
        };
        let play = |row: usize| self.problem.turn_tolerance(row);
        let contact = |[pushing, holding]: [&Vec<usize>; 2]| {
            let ahead =
                |pin: usize| reach(pushing, |row| off(pin, row), play) + reach(holding, |row| -off(pin, row), play);
            let ahead: Vec<f64> = (0..pins).map(ahead).collect();
            let most = |side: &[usize]| side.iter().map(|&row| doubt(row)).fold(0.0, f64::max);
            let meshes = |side: &[usize]| side.iter().map(|&row| self.equations[row].mesh).collect();
            FirstContact {
                pushing: meshes(pushing),
                holding: meshes(holding),
                pins: in_turn(&ahead, count(holding[0])),
                uncertainty: 2.0 * (most(pushing) + most(holding)) * count(holding[0]),
            }
        };
        let sides = self.sides();
        let pairs = sides.iter().flat_map(|a| sides.iter().filter(move |&b| b != a).map(move |b| [a, b]));
        if pins > 1 { pairs.map(contact).collect() } else { Vec::new() }
    }

    /// The central bodies that can carry torque for clusters, each by its rows: gears that are fixed to one another
    /// push together where it is known how they stand and what play each has; at different ratios they lock the set.
    fn sides(&self) -> Vec<Vec<usize>> {
        let rows = 0..self.equations.len();
        let side = |row: usize| -> Vec<usize> {
            rows.clone().filter(|&other| self.ties.bodies[other] == self.ties.bodies[row]).collect()
        };
        let is_known = |side: &Vec<usize>| {
            let phase = self.ties.phases[side[0]];
            let together = side.iter().all(|&row| self.ties.phases[row] == phase);
            side.len() == 1 || (together && self.weighing == Weighing::Backlash)
        };
        rows.clone()
            .map(side)
            .enumerate()
            .filter(|(row, side)| side[0] == *row && is_known(side))
            .map(|it| it.1)
            .collect()
    }

    /// Each cluster against the one whose largest difference to any other is least. Turned by a whole tooth a gear is
    /// the same, so a difference is that nearest to zero.
    fn differences(&self) -> Vec<Difference> {
        let index = &self.problem.index;
        let difference = |a: usize, b: usize, row: usize| nearest_zero(index[a][row] - index[b][row], 1.0);
        let row_apart = |a: usize, b: usize, row: usize| difference(a, b, row).abs();
        let rows = 0..self.equations.len();
        let apart = |a: usize, b: usize| rows.clone().map(|row| row_apart(a, b, row)).fold(0.0, f64::max);
        let total = |a: usize| (0..index.len()).map(|b| apart(a, b)).sum::<f64>();
        let typical = (0..index.len()).min_by(|&a, &b| total(a).total_cmp(&total(b))).unwrap_or_default();
        let gear = |row: usize| self.equations[row].terms[0].gear;
        let of_cluster = |cluster: usize| {
            let told = |row: usize| {
                row_apart(cluster, typical, row)
                    > self.index_doubts[cluster][row] + self.index_doubts[typical][row] + NOTHING
            };
            let mut gears: Vec<(GearId, f64)> =
                rows.clone().map(|row| (gear(row), difference(cluster, typical, row))).collect();
            gears.sort_by_key(|(gear, _)| *gear);
            gears.dedup_by_key(|(gear, _)| *gear);
            Difference { cluster, told_apart: rows.clone().any(told), gears }
        };
        (0..index.len()).map(of_cluster).collect()
    }
}

/// How far the tooth of a body that touches first reaches, in turns of the cluster; the play of one that is alone is
/// the same on every pin and is left out.
fn reach(side: &[usize], off: impl Fn(usize) -> f64, play: impl Fn(usize) -> f64) -> f64 {
    match side {
        [only] => off(*only),
        _ => side.iter().map(|&row| off(row) - play(row)).fold(f64::NEG_INFINITY, f64::max),
    }
}

/// The pins in the order in which they begin to carry, with what is left at a gear of so many teeth.
fn in_turn(ahead: &[f64], count: f64) -> Vec<ContactPin> {
    let most = ahead.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let waits = |(pin, ahead): (usize, &f64)| {
        let left = (most - ahead) * count;
        ContactPin { pin: pin + 1, left: if left < NOTHING { 0.0 } else { left } }
    };
    let mut pins: Vec<ContactPin> = ahead.iter().enumerate().map(waits).collect();
    pins.sort_by(|a, b| a.left.total_cmp(&b.left));
    pins
}

/// What floats lose, in whichever measure.
const NOTHING: f64 = 1e-9;

/// A turn less so many parts of one that it is nearest to zero.
fn nearest_zero(turn: f64, parts: f64) -> f64 {
    turn - (turn * parts).round() / parts
}

/// Whether pins stand one equal step after the other.
fn are_equal(spacings: &[Fraction]) -> bool {
    let count = spacings.len();
    spacings.iter().all(|place| crate::exact::multiple_is_integer(place, i64::try_from(count).unwrap_or(i64::MAX)))
        && (1..count).all(|pin| spacings[pin] == part_of_turn(&(&spacings[1] * Fraction::from_integer(pin.into()))))
}

/// Whether this kind of set is matched at all.
fn check(set: &Gearset, group: &PlanetGroup, equations: &[TimingRow]) -> Result<(), MatchRefusal> {
    let planet = || set.member(group.planets()[0]).name().to_owned();
    if group.planets().len() > 1 {
        return Err(MatchRefusal::MeshedPlanets { planet: planet() });
    }
    let is_bevel = |row: &TimingRow| set.gear(row.terms[0].gear).kind() == GearKind::BevelPlanet;
    if equations.iter().any(is_bevel) {
        return Err(MatchRefusal::Bevel { planet: planet() });
    }
    Ok(())
}

/// Against backlash where every mesh has one and a pitch, as arcs where every mesh has a pitch.
fn weighing(set: &Gearset, equations: &[TimingRow]) -> Weighing {
    let all = |given: fn(&Mesh) -> bool| equations.iter().all(|row| given(set.mesh(row.mesh)));
    match (all(|mesh| mesh.pitch().is_some()), all(|mesh| mesh.backlash().is_some())) {
        (true, true) => Weighing::Backlash,
        (true, false) => Weighing::Millimetres,
        (false, _) => Weighing::Teeth,
    }
}

/// The error in teeth that counts as 1.
fn tolerance(mesh: &Mesh, weighing: Weighing) -> f64 {
    /// What a mesh without any backlash is taken to have, in millimetres.
    const LEAST: f64 = 1e-4;
    /// Beyond half a tooth the next seating begins.
    const MOST: f64 = 0.249;
    let tooth = mesh.pitch().map_or(1.0, crate::gearset::Pitch::circular_pitch);
    match (weighing, mesh.backlash()) {
        (Weighing::Backlash, Some(backlash)) => (backlash.millimetres().max(LEAST) / 2.0 / tooth).min(MOST),
        (Weighing::Millimetres, _) => 1.0 / tooth,
        (Weighing::Backlash | Weighing::Teeth, _) => 1.0,
    }
}

/// How much the index of a gear of a cluster may be off, in teeth: the mean of readings is no worse than
/// the worst of them.
fn doubt(set: &Gearset, measured: &Measured, cluster: usize, row: &TimingRow) -> f64 {
    let gear = row.terms[0].gear;
    let Some(uncertainty) = &measured.uncertainty else { return 0.0 };
    if set.member(measured.planet).gears().first() == Some(&gear) {
        return 0.0;
    }
    let count = set.gear(gear).tooth_count().get();
    let pitch_radius = set.mesh(row.mesh).pitch().map(|pitch| pitch.module() * f64::from(count) / 2.0);
    let radii: Vec<Option<f64>> = measured.clusters[cluster].of(gear).map(Offset::radius).collect();
    let radii = if radii.is_empty() { vec![None] } else { radii };
    let of_reading = |radius: Option<f64>| uncertainty.teeth(count, radius.or(pitch_radius)).unwrap_or(0.0);
    radii.into_iter().map(of_reading).fold(0.0, f64::max)
}

/// For each pin and row how much the place of the pin may set the mesh off, in teeth.
///
/// A pin that is out by dx sets row i off by `Z_i dx / P_i` of a turn of the cluster; half-way between the least
/// and the most of these the cluster settles.
fn pin_doubts(equations: &[TimingRow], pins: Option<&[PinOff]>, count: usize) -> Vec<Vec<f64>> {
    let planet = |row: &TimingRow| float(row.terms[0].tooth_count.abs());
    let share = |row: &TimingRow| float(central_count(row)) / planet(row);
    let most = equations.iter().map(share).fold(f64::NEG_INFINITY, f64::max);
    let least = equations.iter().map(share).fold(f64::INFINITY, f64::min);
    let off = |pin: usize, row: &TimingRow| {
        let uncertainty = pins.map_or(0.0, |pins| pins[pin].uncertainty);
        (share(row) - f64::midpoint(most, least)).abs() * uncertainty * planet(row)
    };
    (0..count).map(|pin| equations.iter().map(|row| off(pin, row)).collect()).collect()
}
