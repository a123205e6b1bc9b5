//! The work behind [`matching`](super::matching()): the rows of a measured set, its seatings, what they leave.
//!
//! Each row is written with the cluster's count positive, so that a row that is ahead is ahead
//! counter-clockwise whatever the kind of gear.

use super::MatchRefusal;
use super::answer::{
    ClusterDifference, ClusterOrder, FixedIndex, GroupMatching, MatchCure, PinDeviation, PlayVerdict, Residual, Seated,
    Weighing,
};
use super::central_ties::CentralTies;
use super::pin_errors::PinErrors;
use super::problem::{ClusterRow, MatchProblem, Orders, SetChoice, better_than, central_count, float};
use super::radii::MeasuredRadii;
use super::seatings::ClusterSeating;
use super::tension::{Link, least_level};
use crate::clearance::MeshInPlace;
use crate::exact::{Fraction, multiple, multiple_is_integer, part_of_turn, to_float};
use crate::gearset::{
    GearKind, Gearset, Measured, MeasuredCluster, Offset, PinOff, Pitch, PlanetGroup, TimingRow, TimingRows,
};
use crate::timing::in_place::{known_backlash, meshes_in_place};
use crate::timing::solver::Solver;

/// Everything about one set that the answer is made from.
pub(super) struct Matcher<'a> {
    pub(super) set: &'a Gearset,
    pub(super) measured: &'a Measured,
    pub(super) group: &'a PlanetGroup,
    pub(super) equations: TimingRows,
    /// Of each row the mesh in its place; none where it has no pitch, or no place.
    pub(super) meshes: Vec<Option<MeshInPlace>>,
    pub(super) weighing: Weighing,
    pub(super) problem: MatchProblem,
    pub(super) ties: CentralTies,
    /// Where the pins were found, if they were measured.
    pins: Option<Vec<PinOff>>,
    pub(super) radii: MeasuredRadii,
    /// For each pin the clearance of its bush on the diameter, in millimetres; none where none is told.
    pub(super) bushes: Vec<f64>,
    /// For each cluster and row how much its index may be off, in teeth.
    pub(super) index_doubts: Vec<Vec<f64>>,
    /// For each pin and row how much it may be off by the place and the radius of the pin, in teeth, with the cluster
    /// settled.
    pub(super) pin_doubts: Vec<Vec<f64>>,
}

/// The clusters as found.
pub(super) struct AsFound {
    /// Turned as equal ones would be.
    listed: Option<SetChoice>,
    /// In their best seating.
    pub(super) best: Option<SetChoice>,
    /// Whether that is another one than listed.
    reseated: bool,
    /// Whether every seating was looked at.
    complete: bool,
}

impl<'a> Matcher<'a> {
    pub(super) fn new(set: &'a Gearset, measured: &'a Measured) -> Result<Self, MatchRefusal> {
        Self::with(set, measured, &PinErrors::default())
    }

    /// With pins that stand as told by hand.
    pub(super) fn with(set: &'a Gearset, measured: &'a Measured, told: &PinErrors) -> Result<Self, MatchRefusal> {
        let group = set
            .planet_groups()
            .iter()
            .find(|group| group.planets().contains(&measured.planet))
            .expect("every planet belongs to a group");
        let equations = set.matrix().timing(group);
        check(set, group, &equations)?;
        let ties = CentralTies::new(set, group, &equations, measured);
        let meshes = meshes_in_place(set, &equations);
        let weighing = weighing(set, &equations, &meshes);
        let spacings = group.spacings();
        let pins = measured.pins.as_ref().and_then(|pins| pins.found(&spacings));
        let radii = MeasuredRadii::new(measured, &meshes, spacings.len());
        let radii = radii.with(&meshes, &told.pins, spacings.len());
        let pins = told.place(pins, radii.circle, spacings.len());
        let problem = MatchProblem {
            rows: equations
                .iter()
                .zip(&meshes)
                .map(|(row, mesh)| cluster_row(set, row, mesh.as_ref(), weighing))
                .collect(),
            places: places(&equations, &ties, &spacings, pins.as_deref()),
            shortages: radii.shortages.clone(),
            index: measured.clusters.iter().map(|cluster| index(set, &equations, cluster)).collect(),
            phases: ties.phases.clone(),
            turns_on: pins.is_none() && are_equal(&spacings),
        };
        let index_doubts = measured.clusters.iter().map(|cluster| index_doubts(set, &equations, measured, cluster));
        let index_doubts = index_doubts.collect();
        let of_places = pin_doubts(&equations, pins.as_deref(), spacings.len());
        let pin_doubts = of_places.iter().zip(&radii.doubts).map(|(place, radius)| sums(place, radius)).collect();
        Ok(Self {
            set,
            measured,
            group,
            equations,
            meshes,
            weighing,
            problem,
            ties,
            pins,
            radii,
            bushes: told.bush_clearances_mm.clone(),
            index_doubts,
            pin_doubts,
        })
    }

    pub(super) fn matching(&self) -> GroupMatching {
        let limit = self.problem.limit();
        let AsFound { listed, best: as_found, reseated, complete } = self.as_found();
        let start = as_found.as_ref().map_or(limit, |choice| better_than(choice.level));
        let any = self.problem.search(Orders::All, start);
        let clusters: Vec<String> = self.measured.clusters.iter().map(|cluster| cluster.name.clone()).collect();
        let pin_count = self.group.places().len();
        let [listed, as_found, exchanged] =
            [listed, as_found, any.best].map(|choice| choice.map(|choice| self.seated(&choice)));
        let best = exchanged.as_ref().or(as_found.as_ref());
        let binds = best.is_none_or(|best| best.verdict == Some(PlayVerdict::Beyond));
        let differences = self.differences();
        let pins_without_backlash = best.map(pins_without_backlash).unwrap_or_default();
        GroupMatching {
            planet: self.measured.planet,
            carrier: self.group.carrier(),
            pins_off: self.pins_off(),
            weighing: self.weighing,
            all_looked_at: complete && any.complete,
            advised: advised(as_found.as_ref(), exchanged.as_ref()),
            cure: binds.then(|| self.cure(&differences, &pins_without_backlash)),
            differences,
            pin_count,
            fixed_gears: self.ties.fixed.clone(),
            reference: self.set.member(self.measured.planet).gears()[0],
            spares: clusters.iter().skip(pin_count).cloned().collect(),
            reseated,
            binds,
            pin_radii: self.radii.told,
            pin_circle_mm: self.radii.circle,
            pins_without_backlash,
            clusters,
            listed,
            as_found,
            exchanged,
        }
    }

    /// The clusters on the pins on which they were found, in the best seating there is.
    pub(super) fn as_found(&self) -> AsFound {
        let listed = self.listed();
        let limit = self.problem.limit();
        let start = listed.as_ref().map_or(limit, |listed| better_than(listed.level).min(limit));
        let seated = self.problem.search(Orders::AsFound, start);
        let reseated = seated.best.is_some();
        let best = seated.best.or_else(|| listed.clone().filter(|listed| listed.level < limit));
        AsFound { listed, best, reseated, complete: seated.complete }
    }

    /// The backlash of a row with its pin in its place, in millimetres.
    pub(super) fn backlash(&self, row: usize) -> Option<f64> {
        known_backlash(self.set, self.equations[row].mesh, self.meshes[row].as_ref())
    }

    /// What would help a set that binds.
    fn cure(&self, differences: &[ClusterDifference], pins_without_backlash: &[usize]) -> MatchCure {
        if !pins_without_backlash.is_empty() {
            MatchCure::PinCircle
        } else if self.ties.fixed.iter().any(|fixed| fixed.index == FixedIndex::Counts) {
            MatchCure::FixedGears
        } else if !self.assembles() {
            MatchCure::Assembly
        } else if self.pins.is_some() && !differences.iter().any(|difference| difference.told_apart) {
            MatchCure::PinPlaces
        } else {
            MatchCure::OddCluster
        }
    }

    /// Where the pins were found.
    pub(super) fn pins_off(&self) -> Vec<PinDeviation> {
        self.radii.deviations(self.pins.as_deref())
    }

    /// Whether equal clusters assemble on these pins.
    pub(super) fn assembles(&self) -> bool {
        self.turned_as_equal_ones().is_some()
    }

    /// The clusters as found, turned as equal ones would be.
    ///
    /// Fixed central gears leave open by which teeth the first cluster goes in; the others follow it.
    fn listed(&self) -> Option<SetChoice> {
        let alike = self.turned_as_equal_ones()?;
        let firsts = self.problem.first_seatings(0, self.problem.limit());
        let choices = firsts.iter().map(|first| self.following(first, &alike));
        choices.min_by(|a, b| a.level.total_cmp(&b.level))
    }

    /// For each pin and row the turn that it asks for, if the cluster is turned as equal ones would be: by
    /// `t + (Z dx - index) / P`, the pin being out by dx.
    fn turned_as_equal_ones(&self) -> Option<Vec<Vec<f64>>> {
        let solver = Solver::new(&self.equations);
        let on_pin = |(pin, spacing): (usize, &Fraction)| -> Option<Vec<f64>> {
            let exact = to_float(&solver.turns(spacing)?[0]);
            let moved = self.pins.as_ref().map_or(0.0, |pins| pins[pin].turns);
            let turn = |(index, equation): (&f64, &TimingRow)| {
                exact + (moved * float(central_count(equation)) - index) / float(equation.terms[0].tooth_count.abs())
            };
            Some(self.problem.index[pin].iter().zip(self.equations.iter()).map(turn).collect())
        };
        self.group.spacings().iter().enumerate().map(on_pin).collect()
    }

    /// All clusters turned on by as much as the first one is.
    fn following(&self, first: &ClusterSeating, alike: &[Vec<f64>]) -> SetChoice {
        let more: Vec<f64> = first.turns.iter().zip(&alike[0]).map(|(turn, alike)| turn - alike).collect();
        let on = |pin: &Vec<f64>| pin.iter().zip(&more).map(|(turn, more)| turn + more).collect();
        let turns: Vec<Vec<f64>> = alike.iter().map(on).collect();
        let links: Vec<Link> = self.problem.links(&turns).collect();
        let level = least_level(self.problem.nodes(), &links, 0.0);
        SetChoice { clusters: (0..turns.len()).collect(), turns, level }
    }
}

/// Clusters that turn freely stay where they were found.
fn advised(as_found: Option<&Seated>, exchanged: Option<&Seated>) -> Option<ClusterOrder> {
    let is_free = as_found.is_some_and(|as_found| as_found.verdict == Some(PlayVerdict::Within));
    match (as_found, exchanged) {
        (_, Some(_)) if !is_free => Some(ClusterOrder::Exchanged),
        (Some(_), _) => Some(ClusterOrder::AsFound),
        (None, _) => None,
    }
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

/// Against backlash where that of every mesh is known and it has a pitch, as arcs where every mesh has a pitch.
fn weighing(set: &Gearset, equations: &[TimingRow], meshes: &[Option<MeshInPlace>]) -> Weighing {
    let have_pitch = equations.iter().all(|row| set.mesh(row.mesh).pitch().is_some());
    let is_known =
        |(row, mesh): (&TimingRow, &Option<MeshInPlace>)| known_backlash(set, row.mesh, mesh.as_ref()).is_some();
    match (have_pitch, equations.iter().zip(meshes).all(is_known)) {
        (true, true) => Weighing::Backlash,
        (true, false) => Weighing::Millimetres,
        (false, _) => Weighing::Teeth,
    }
}

fn cluster_row(set: &Gearset, row: &TimingRow, mesh: Option<&MeshInPlace>, weighing: Weighing) -> ClusterRow {
    let tooth = set.mesh(row.mesh).pitch().map_or(1.0, Pitch::circular_pitch);
    let tolerance = tolerance(tooth, known_backlash(set, row.mesh, mesh), weighing);
    ClusterRow { count: row.terms[0].tooth_count.abs(), tolerance }
}

/// The error in teeth that counts as 1, with a tooth and a backlash of so many millimetres.
fn tolerance(tooth: f64, backlash: Option<f64>, weighing: Weighing) -> f64 {
    /// What a mesh without any backlash is taken to have, in millimetres.
    const LEAST: f64 = 1e-4;
    /// Beyond half a tooth the next seating begins.
    const MOST: f64 = 0.249;
    match (weighing, backlash) {
        (Weighing::Backlash, Some(backlash)) => (backlash.max(LEAST) / 2.0 / tooth).min(MOST),
        (Weighing::Millimetres, _) => 1.0 / tooth,
        (Weighing::Backlash | Weighing::Teeth, _) => 1.0,
    }
}

/// For each pin and row `Z (x + dx)` and the constant of its phase, in teeth: the pin stands at x as described, of which
/// whole teeth are left out, and is out by dx.
fn places(
    equations: &[TimingRow],
    ties: &CentralTies,
    spacings: &[Fraction],
    pins: Option<&[PinOff]>,
) -> Vec<Vec<f64>> {
    let on_pin = |(pin, place): (usize, &Fraction)| {
        let moved = pins.map_or(0.0, |pins| pins[pin].turns);
        let of_row = |(row, constant): (&TimingRow, &f64)| {
            let count = central_count(row);
            to_float(&part_of_turn(&multiple(place, count))) + moved * float(count) + constant
        };
        equations.iter().zip(&ties.offsets).map(of_row).collect()
    };
    spacings.iter().enumerate().map(on_pin).collect()
}

/// For each row the index of a cluster, in teeth.
fn index(set: &Gearset, equations: &[TimingRow], cluster: &MeasuredCluster) -> Vec<f64> {
    let of_row = |row: &TimingRow| {
        let gear = row.terms[0].gear;
        cluster.index(gear, set.gear(gear).tooth_count().get())
    };
    equations.iter().map(of_row).collect()
}

/// Whether pins stand one equal step after the other.
fn are_equal(spacings: &[Fraction]) -> bool {
    let count = spacings.len();
    spacings.iter().all(|place| multiple_is_integer(place, i64::try_from(count).unwrap_or(i64::MAX)))
        && (1..count).all(|pin| spacings[pin] == part_of_turn(&(&spacings[1] * Fraction::from_integer(pin.into()))))
}

/// How much the index of each gear of a cluster may be off, in teeth.
fn index_doubts(set: &Gearset, equations: &[TimingRow], measured: &Measured, cluster: &MeasuredCluster) -> Vec<f64> {
    equations.iter().map(|row| index_doubt(set, measured, cluster, row)).collect()
}

/// The mean of readings is no worse than the worst of them.
fn index_doubt(set: &Gearset, measured: &Measured, cluster: &MeasuredCluster, row: &TimingRow) -> f64 {
    let gear = row.terms[0].gear;
    let Some(uncertainty) = &measured.uncertainty else { return 0.0 };
    if set.member(measured.planet).gears().first() == Some(&gear) {
        return 0.0;
    }
    let count = set.gear(gear).tooth_count().get();
    let pitch_radius = set.mesh(row.mesh).pitch().map(|pitch| pitch.module() * f64::from(count) / 2.0);
    let radii: Vec<Option<f64>> = cluster.of(gear).map(Offset::radius).collect();
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

fn sums(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a + b).collect()
}

/// The pins on which some mesh has no backlash left, whatever cluster is on them.
fn pins_without_backlash(seated: &Seated) -> Vec<usize> {
    let is_short = |residual: &Residual| residual.half_backlash_mm.is_some_and(|half| half < 0.0);
    let short = seated.pins.iter().filter(|pin| pin.residuals.iter().any(is_short));
    short.map(|pin| pin.pin).collect()
}
