//! Clusters that are not alike: how well does a measured set fit, and would another order do better?
//!
//! Cluster j on pin k, turned by t against the pin's own radius, stands at the mesh of gear i by
//!
//! `e = P t - Z x + index - phi (mod 1)`
//!
//! teeth off, where the central gear may be turned by any phi, the same for all pins; P, Z and x as in
//! [`equations`](super::equations()). What all clusters have in common is taken in by phi, and turning the
//! whole set changes nothing. The best seating makes the largest quotient of an error to half the backlash as
//! small as can be, then the largest of the others, and so on; without backlash errors are weighed as
//! arcs, without a pitch as parts of a tooth. Floats throughout, for readings are no exact numbers: what
//! they lose is below a billionth of a tooth. Worked out here.

use super::equations::{Equation, equations};
use super::match_search::{Choice, Orders, Problem, Row, better_than, float};
use super::solver::{Method, Solver};
use super::tension::{Link, least_level, strict_places};
use crate::exact::{Fraction, multiple, part_of_turn, to_float};
use crate::gearset::{GearId, GearKind, Gearset, Measured, MemberId, Mesh, MeshId, PlanetGroup};

/// How well the measured clusters of one planet fit as a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Matching {
    /// The planet.
    pub planet: MemberId,
    /// The carrier of its pins.
    pub carrier: MemberId,
    /// The names of the clusters, in the order in which they were found.
    pub clusters: Vec<String>,
    /// The gear from whose mark the others are measured.
    pub reference: GearId,
    /// How errors are weighed against one another.
    pub weighing: Weighing,
    /// The clusters as found and turned as equal ones would be; `None` where equal ones do not go together.
    pub listed: Option<Seated>,
    /// The clusters as found in their best seating; `None` where in every one some mesh is a quarter of
    /// a tooth off or more.
    pub as_found: Option<Seated>,
    /// The best order and seating of all; `None` where none is better than the clusters as found.
    pub exchanged: Option<Seated>,
    /// Whether every order and seating was looked at.
    pub search: MatchSearch,
    /// How each cluster differs from the one that is most like all others.
    pub differences: Vec<Difference>,
}

/// How errors at different meshes are weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weighing {
    /// Against half the backlash of each mesh: 1 is as much as goes in.
    Backlash,
    /// As arcs at the pitch circle, in millimetres.
    Millimetres,
    /// As parts of a tooth.
    Teeth,
}

/// Whether all orders and seatings were looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MatchSearch {
    /// Every one.
    Complete,
    /// There were too many: a better one may exist.
    GivenUp,
}

/// The set in one order and seating.
#[derive(Debug, Clone, PartialEq)]
pub struct Seated {
    /// The largest error, weighed as [`Matching::weighing`] says.
    pub level: f64,
    /// The least that the largest error can be, if every reading is off by its uncertainty the better way.
    pub least: f64,
    /// The most that it has to be, if every reading is off by its uncertainty the worse way.
    pub most: f64,
    /// Whether the set turns within the backlash; `None` where backlash or pitch is not given.
    pub verdict: Option<Verdict>,
    /// The pins in order.
    pub pins: Vec<SeatedPin>,
    /// For each two central gears that the clusters carry torque between, and each sense, who carries first.
    pub first_contacts: Vec<FirstContact>,
}

/// Whether something stays within the backlash, as far as uncertain readings tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It does, whatever the readings are off by.
    Within,
    /// It does not, whatever the readings are off by.
    Beyond,
    /// That depends on how much the readings are off.
    CannotBeTold,
}

/// One pin with its cluster.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatedPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The cluster on it, by its position in [`Matching::clusters`].
    pub cluster: usize,
    /// The place of the pin in turns, as described.
    pub place: Fraction,
    /// How far the mark of the first gear is turned from the line to the centre, against the cluster on
    /// the first pin, counter-clockwise seen from the input side, in turns; of all equal seatings the one nearest to zero.
    pub turn: f64,
    /// What each mesh is off.
    pub residuals: Vec<Residual>,
}

/// What one mesh is off from the middle of its backlash.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// The mesh.
    pub mesh: MeshId,
    /// In teeth; positive: the cluster's gear is ahead, counter-clockwise seen from the input side.
    pub teeth: f64,
    /// How much of that is uncertain, to either side, with every gear where it stands.
    pub uncertainty: f64,
    /// Whether it is within half the backlash; `None` where backlash or pitch is not given.
    pub verdict: Option<Verdict>,
}

/// Which pin carries first where clusters carry torque from one central gear to another.
///
/// Clusters turn on their pins until both meshes touch, so this does not depend on their turns.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstContact {
    /// The mesh in which the central gear pushes the clusters clockwise, seen from the input side.
    pub pushing: MeshId,
    /// The mesh in which another central gear holds against it.
    pub holding: MeshId,
    /// The pins in the order in which they begin to carry, the first with nothing left.
    pub pins: Vec<ContactPin>,
}

/// A pin that waits until it carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// How much play is left there when the first begins to carry, in teeth of the holding mesh.
    pub left: f64,
}

/// How a cluster differs from the one that is most like all others.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// The cluster, by its position in [`Matching::clusters`].
    pub cluster: usize,
    /// Whether the readings can tell it from that one.
    pub told_apart: bool,
    /// For each gear in mesh the difference of the index in teeth.
    pub gears: Vec<(GearId, f64)>,
}

/// Why a set cannot be matched.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MatchRefusal {
    /// No cluster has been measured.
    #[error("no cluster has been measured, so there is nothing to match")]
    NothingMeasured,
    /// Planets that mesh with one another are not matched.
    #[error("planet {planet:?} meshes with another planet, and only clusters between central gears are matched")]
    MeshedPlanets {
        /// The planet.
        planet: String,
    },
    /// Bevel planets are not matched.
    #[error("planet {planet:?} has bevel gears, whose index is not matched")]
    Bevel {
        /// The planet.
        planet: String,
    },
    /// Two central gears are fixed to one another.
    #[error("gears {first:?} and {second:?} cannot be turned against each other, so their own index counts as well")]
    FixedTogether {
        /// One gear.
        first: String,
        /// The other.
        second: String,
    },
}

impl MatchRefusal {
    /// What to write instead, or what to do.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingMeasured => {
                "measure the clusters and add them before the controls, such as measured: {\"cluster\": (clusters: \
                 {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)]), \"three\": Like(\"one\")})}"
            }
            Self::MeshedPlanets { .. } | Self::Bevel { .. } => {
                "toothmark timing tells how such planets are set when they are alike; compare their readings by hand"
            }
            Self::FixedTogether { .. } => {
                "match them with central gears that turn freely while fitting, or try the set on the bench; the \
                 index of central gears is not described"
            }
        }
    }
}

/// How well every measured set of clusters fits, in the order of the description.
///
/// # Errors
/// Why some set cannot be matched; see [`MatchRefusal`].
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{matching, Verdict}};
/// let set = description::read(r#"Gearset(
///     title: "t", pitch: Module(2.5), backlash: Millimetres(0.1),
///     members: {"a": [Sun("A", 30)], "b": [Sun("B", 24)], "carrier": []},
///     planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 30), Gear("q", 36)])},
///     meshes: [("A", "p"), ("B", "q")],
///     measured: {"cluster": (clusters: {"1": Index([]), "2": Index([Teeth("q", 0.01)]), "3": Like("1")})},
/// )"#).unwrap();
/// let matched = &matching(&set).unwrap()[0];
/// assert_eq!(matched.as_found.as_ref().unwrap().verdict, Some(Verdict::Within));
/// assert!(matched.exchanged.is_none(), "every order is as good");
/// ```
pub fn matching(set: &Gearset) -> Result<Vec<Matching>, MatchRefusal> {
    if set.measured().is_empty() {
        return Err(MatchRefusal::NothingMeasured);
    }
    set.measured().iter().map(|measured| Matcher::new(set, measured).map(|matcher| matcher.matching())).collect()
}

/// Everything about one set that the answer is made from.
struct Matcher<'a> {
    set: &'a Gearset,
    measured: &'a Measured,
    group: &'a PlanetGroup,
    equations: Vec<Equation>,
    weighing: Weighing,
    problem: Problem,
    /// For each cluster and row how much its index may be off, in teeth.
    doubts: Vec<Vec<f64>>,
}

impl<'a> Matcher<'a> {
    fn new(set: &'a Gearset, measured: &'a Measured) -> Result<Self, MatchRefusal> {
        let group = set
            .planet_groups()
            .iter()
            .find(|group| group.planets().contains(&measured.planet))
            .expect("every planet belongs to a group");
        let equations = equations(set, group);
        check(set, group, &equations)?;
        let weighing = weighing(set, &equations);
        let spacings = group.spacings();
        let rows = equations.iter().map(|row| Row {
            count: row.terms[0].tooth_count.abs(),
            tolerance: tolerance(set.mesh(row.mesh), weighing),
        });
        let place = |place: &Fraction, row: &Equation| {
            let central = row.place_coefficient * row.terms[0].tooth_count.signum();
            to_float(&part_of_turn(&multiple(place, central)))
        };
        let gear = |row: &Equation| (row.terms[0].gear, set.gear(row.terms[0].gear).tooth_count().get());
        let problem = Problem {
            rows: rows.collect(),
            places: spacings.iter().map(|x| equations.iter().map(|row| place(x, row)).collect()).collect(),
            index: measured
                .clusters
                .iter()
                .map(|cluster| equations.iter().map(|row| cluster.index(gear(row).0, gear(row).1)).collect())
                .collect(),
            turns_on: are_equal(&spacings),
        };
        let doubts = measured.clusters.iter().enumerate();
        let doubts = doubts
            .map(|(cluster, _)| equations.iter().map(|row| doubt(set, measured, cluster, row)).collect())
            .collect();
        Ok(Self { set, measured, group, equations, weighing, problem, doubts })
    }

    fn matching(&self) -> Matching {
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
            weighing: self.weighing,
            listed: listed.map(|choice| self.seated(&choice)),
            as_found: as_found.map(|choice| self.seated(&choice)),
            exchanged: any.best.map(|choice| self.seated(&choice)),
            search: if seated.complete && any.complete { MatchSearch::Complete } else { MatchSearch::GivenUp },
            differences: self.differences(),
        }
    }

    /// The clusters as found, turned as equal ones would be.
    fn listed(&self) -> Option<Choice> {
        let solver = Solver::new(&self.equations, 1, Method::Quickest);
        let turn = |(index, row): (&f64, &Row), turn: f64| turn - index / float(row.count);
        let pin = |(cluster, spacing): (usize, &Fraction)| -> Option<Vec<f64>> {
            let exact = to_float(&solver.turns(spacing)?[0]);
            Some(self.problem.index[cluster].iter().zip(&self.problem.rows).map(|pair| turn(pair, exact)).collect())
        };
        let turns: Vec<Vec<f64>> = self.group.spacings().iter().enumerate().map(pin).collect::<Option<_>>()?;
        let links: Vec<Link> = self.problem.links(&turns).collect();
        let level = least_level(self.problem.nodes(), &links, 0.0);
        Some(Choice { clusters: (0..turns.len()).collect(), turns, level })
    }

    fn seated(&self, choice: &Choice) -> Seated {
        let links: Vec<Link> = self.problem.links(&choice.turns).collect();
        let places = strict_places(self.problem.nodes(), &links);
        let pin_count = choice.clusters.len();
        let off = |pin: usize, row: usize| places[pin] - places[pin_count + row] - choice.turns[pin][row];
        let residual = |pin: usize, row: usize| {
            let teeth = off(pin, row) * float(self.problem.rows[row].count);
            let uncertainty = self.doubts[choice.clusters[pin]][row];
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
        }
    }

    fn verdict(&self, least: f64, most: f64) -> Option<Verdict> {
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
    fn level_with_doubt(&self, choice: &Choice, links: &[Link], sign: f64) -> f64 {
        let rows = self.problem.rows.len();
        let doubtful = |(at, link): (usize, &Link)| {
            let row = at % rows;
            let doubt = self.doubts[choice.clusters[at / rows]][row] / float(self.problem.rows[row].count);
            Link { doubt: sign * doubt, ..*link }
        };
        let links: Vec<Link> = links.iter().enumerate().map(doubtful).collect();
        least_level(self.problem.nodes(), &links, 0.0)
    }

    /// For each two meshes, one pushing the clusters clockwise and one holding, the pins in order.
    fn first_contacts(&self, pins: usize, off: impl Fn(usize, usize) -> f64) -> Vec<FirstContact> {
        let rows = self.equations.len();
        let pairs = (0..rows).flat_map(|a| (0..rows).filter(move |&b| b != a).map(move |b| (a, b)));
        let contact = |(pushing, holding): (usize, usize)| {
            let ahead: Vec<f64> = (0..pins).map(|pin| off(pin, pushing) - off(pin, holding)).collect();
            let most = ahead.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let count = float(self.problem.rows[holding].count);
            let waits = |(pin, ahead): (usize, &f64)| ContactPin { pin: pin + 1, left: (most - ahead) * count };
            let mut pins: Vec<ContactPin> = ahead.iter().enumerate().map(waits).collect();
            pins.sort_by(|a, b| a.left.total_cmp(&b.left));
            FirstContact { pushing: self.equations[pushing].mesh, holding: self.equations[holding].mesh, pins }
        };
        if pins > 1 { pairs.map(contact).collect() } else { Vec::new() }
    }

    /// Each cluster against the one whose largest difference to any other is least.
    fn differences(&self) -> Vec<Difference> {
        let index = &self.problem.index;
        let row_apart = |a: usize, b: usize, row: usize| (index[a][row] - index[b][row]).abs();
        let rows = 0..self.equations.len();
        let apart = |a: usize, b: usize| rows.clone().map(|row| row_apart(a, b, row)).fold(0.0, f64::max);
        let total = |a: usize| (0..index.len()).map(|b| apart(a, b)).sum::<f64>();
        let typical = (0..index.len()).min_by(|&a, &b| total(a).total_cmp(&total(b))).unwrap_or_default();
        let gear = |row: usize| self.equations[row].terms[0].gear;
        let of_cluster = |cluster: usize| {
            let told = |row: usize| {
                row_apart(cluster, typical, row) > self.doubts[cluster][row] + self.doubts[typical][row] + NOTHING
            };
            let mut gears: Vec<(GearId, f64)> =
                rows.clone().map(|row| (gear(row), index[cluster][row] - index[typical][row])).collect();
            gears.sort_by_key(|(gear, _)| *gear);
            gears.dedup_by_key(|(gear, _)| *gear);
            Difference { cluster, told_apart: rows.clone().any(told), gears }
        };
        (0..index.len()).map(of_cluster).collect()
    }
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
    spacings.iter().all(|place| crate::exact::has_whole_multiple(place, i64::try_from(count).unwrap_or(i64::MAX)))
        && (1..count).all(|pin| spacings[pin] == part_of_turn(&(&spacings[1] * Fraction::from_integer(pin.into()))))
}

/// Whether this kind of set is matched at all.
fn check(set: &Gearset, group: &PlanetGroup, equations: &[Equation]) -> Result<(), MatchRefusal> {
    let planet = || set.member(group.planets()[0]).name().to_owned();
    if group.planets().len() > 1 {
        return Err(MatchRefusal::MeshedPlanets { planet: planet() });
    }
    let is_bevel = |row: &Equation| set.gear(row.terms[0].gear).kind() == GearKind::BevelPlanet;
    if equations.iter().any(is_bevel) {
        return Err(MatchRefusal::Bevel { planet: planet() });
    }
    let bodies = bodies(set);
    let mut taken: Vec<(usize, &str)> = vec![(bodies[group.carrier().index()], "the carrier")];
    for row in equations {
        let central = set.gear(row.central.expect("without meshed planets every mesh has a central gear"));
        let body = bodies[central.member().index()];
        if let Some((_, first)) = taken.iter().find(|(other, _)| *other == body) {
            let (first, second) = ((*first).to_owned(), central.name().to_owned());
            return Err(MatchRefusal::FixedTogether { first, second });
        }
        taken.push((body, central.name()));
    }
    Ok(())
}

/// For each member the body that it is part of, members joined for good being one.
fn bodies(set: &Gearset) -> Vec<usize> {
    let mut body: Vec<usize> = set.member_ids().map(MemberId::index).collect();
    for join in set.joins() {
        let [kept, merged] = [body[join.first.index()], body[join.second.index()]];
        body.iter_mut().filter(|body| **body == merged).for_each(|body| *body = kept);
    }
    body
}

/// Against backlash where every mesh has one and a pitch, as arcs where every mesh has a pitch.
fn weighing(set: &Gearset, equations: &[Equation]) -> Weighing {
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
fn doubt(set: &Gearset, measured: &Measured, cluster: usize, row: &Equation) -> f64 {
    let gear = row.terms[0].gear;
    let Some(uncertainty) = &measured.uncertainty else { return 0.0 };
    if set.member(measured.planet).gears().first() == Some(&gear) {
        return 0.0;
    }
    let count = set.gear(gear).tooth_count().get();
    let pitch_radius = set.mesh(row.mesh).pitch().map(|pitch| pitch.module() * f64::from(count) / 2.0);
    let radii: Vec<Option<f64>> = measured.clusters[cluster].of(gear).map(|offset| offset.radius()).collect();
    let radii = if radii.is_empty() { vec![None] } else { radii };
    let of_reading = |radius: Option<f64>| uncertainty.teeth(count, radius.or(pitch_radius)).unwrap_or(0.0);
    radii.into_iter().map(of_reading).fold(0.0, f64::max)
}
