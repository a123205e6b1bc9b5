//! The timing of every group of planets in a gearset.
//!
//! For each group the conditions are solved once, then asked for every pin: the turn of
//! each planet, in teeth of each of its gears. A group that goes together gets its marks
//! and its margin; one that does not gets the reasons and the ways out.

use num_bigint::BigInt;
use num_traits::Zero;

use super::loops::{Closure, Loop, loops};
use super::margin::{Margin, MarginSearch, closest_seating, margin};
use super::marks::{CentralSpacing, Marks, central_spacings, marks};
use super::refusal::{self, ClosestSeating, Refusal};
use super::solver::{Method, Solver};
use super::ways_out::{WaysOut, ways_out};
use crate::exact::{ExactFit, Fraction, Target, TooManyClasses, multiple};
use crate::gearset::{GearId, Gearset, MemberId, PlanetGroup, TimingRow, TimingRows};

/// The numbers of equal pins that are always tried.
const PIN_COUNTS: std::ops::RangeInclusive<u32> = 2..=8;

/// The timing of one group: the planets on each pin of one carrier that are set together.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupTiming {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// D: a place x, in turns from the first pin, goes together if and only if D x is whole;
    /// 0: any place does.
    pub spacing_divisor: BigInt,
    /// Of 2 to 8 equal pins, the numbers that go together.
    pub equal_pin_counts: Vec<u32>,
    /// g: in how many ways the planets of one pin can be seated that look the same; `None`
    /// where no mesh keeps some planet from turning.
    pub equivalent_seatings: Option<BigInt>,
    /// Which conventions of marks serve for the pins as described.
    pub marks: Marks,
    /// How the planets on each pin are turned.
    pub pins: Vec<PinTiming>,
    /// What each central gear shows between neighbouring lines of centres.
    pub central_spacings: Vec<CentralSpacing>,
    /// The nearest wrong seating; `None` where there is none, where there is one pin only,
    /// or where the group does not go together.
    pub margin: Option<Margin>,
    /// Whether every wrong seating was looked at.
    pub margin_search: MarginSearch,
    /// Why it does not go together; empty where it does.
    pub refusals: Vec<Refusal>,
    /// For a group that does not go together: how close its worst pin comes.
    pub closest: Option<ClosestSeating>,
    /// For a group that does not go together: what would.
    pub ways_out: Option<WaysOut>,
    /// The loops that meshes of this group close with others of the set.
    pub loops: Vec<Loop>,
}

impl GroupTiming {
    /// Whether the planets on every pin mesh with all their gears at once, and with those
    /// of other kinds as far as the description can tell.
    pub fn goes_together(&self) -> bool {
        self.pins_go_together() && !self.loops.iter().any(|closed| matches!(closed.closure, Closure::Misses(_)))
    }

    /// The refusals, each combination of meshes once, at the first pin where it is worst.
    pub fn refusals_at_their_worst(&self) -> Vec<&Refusal> {
        let mut worst: Vec<&Refusal> = Vec::new();
        for refusal in &self.refusals {
            match worst.iter_mut().find(|other| other.meshes == refusal.meshes) {
                Some(other) if refusal.misfit > other.misfit => *other = refusal,
                Some(_) => {}
                None => worst.push(refusal),
            }
        }
        worst
    }

    /// Whether the planets on every pin mesh with all their gears once those on the first do.
    pub fn pins_go_together(&self) -> bool {
        self.pins.iter().all(|pin| pin.turns.is_some())
    }
}

/// How the planets on one pin are turned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PinTiming {
    /// The pin, counted from 1.
    pub pin: usize,
    /// Its place in turns, counter-clockwise seen from the input side, as described.
    pub place: Fraction,
    /// The turn of each planet of the group; `None` where the pin does not go together
    /// with the first.
    pub turns: Option<Vec<PlanetTurn>>,
}

/// How one planet is turned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanetTurn {
    /// The planet.
    pub planet: MemberId,
    /// Its turn relative to its own radius (mark to the centre: 0), against the planet on
    /// the first pin, counter-clockwise seen from the input side, in turns; of all
    /// equivalent seatings the one nearest to zero (halfway between two: the positive one;
    /// for several planets the first planet decides, then the second, and so on).
    pub turn: Fraction,
    /// For each of its gears in mesh, how many teeth that is.
    pub gears: Vec<GearTurn>,
}

/// A turn in teeth of one gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GearTurn {
    /// The gear.
    pub gear: GearId,
    /// The teeth from the line of centres to the mark, counter-clockwise positive.
    pub teeth: Fraction,
}

/// The timing of every group of planets, in the order of the description.
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{Method, timing}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let group = &timing(&set, Method::Quickest)[0];
/// assert!(group.goes_together() && group.marks.parallel.serves());
/// assert_eq!(group.spacing_divisor, 57.into());
/// assert_eq!(group.margin.as_ref().unwrap().teeth.to_string(), "5/68");
/// ```
pub fn timing(set: &Gearset, method: Method) -> Vec<GroupTiming> {
    let loops = loops(set);
    set.planet_groups().iter().map(|group| time_group(set, group, method, &loops)).collect()
}

fn time_group(set: &Gearset, group: &PlanetGroup, method: Method, loops: &[Loop]) -> GroupTiming {
    let rows = set.matrix().timing(group);
    let solver = Solver::new(&rows, method);
    let spacings = group.spacings();
    let spacing_divisor = solver.spacing_divisor();
    let mut timing = GroupTiming {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        equal_pin_counts: PIN_COUNTS.filter(|&count| (&spacing_divisor % count).is_zero()).collect(),
        equivalent_seatings: solver.equivalent_seatings(),
        marks: marks(set, &rows, &spacings),
        pins: pins(group, &rows, &solver, &spacings),
        central_spacings: central_spacings(set, &rows, group.places()),
        margin: None,
        margin_search: MarginSearch::Complete,
        refusals: Vec::new(),
        closest: None,
        ways_out: None,
        loops: loops
            .iter()
            .filter(|closed| closed.meshes.iter().any(|mesh| group.meshes().contains(mesh)))
            .cloned()
            .collect(),
        spacing_divisor,
    };
    if timing.pins_go_together() {
        if spacings.len() > 1 {
            match margin(set, &rows) {
                Ok(margin) => timing.margin = margin,
                Err(TooManyClasses) => timing.margin_search = MarginSearch::GivenUp,
            }
        }
    } else {
        timing.refusals = refusals(&solver, &rows, &spacings);
        timing.closest = closest(set, &rows, &timing, &spacings);
        timing.ways_out = Some(ways_out(set, group, &timing.spacing_divisor));
    }
    timing
}

fn pins(group: &PlanetGroup, rows: &[TimingRow], solver: &Solver, spacings: &[Fraction]) -> Vec<PinTiming> {
    let gears = gears_in_mesh(rows, group.planets().len());
    let planet_turn = |planet: usize, turn: Fraction| PlanetTurn {
        planet: group.planets()[planet],
        gears: gears[planet].iter().map(|&(gear, count)| GearTurn { gear, teeth: multiple(&turn, count) }).collect(),
        turn,
    };
    let pin = |(index, place): (usize, &Fraction)| PinTiming {
        pin: index + 1,
        place: group.places()[index].clone(),
        turns: solver
            .turns(place)
            .map(|turns| turns.into_iter().enumerate().map(|(planet, turn)| planet_turn(planet, turn)).collect()),
    };
    spacings.iter().enumerate().map(pin).collect()
}

/// For each planet of a group its gears in mesh with their tooth counts, each gear once.
fn gears_in_mesh(rows: &[TimingRow], planets: usize) -> Vec<Vec<(GearId, i64)>> {
    let mut gears: Vec<Vec<(GearId, i64)>> = vec![Vec::new(); planets];
    for term in rows.iter().flat_map(|row| &row.terms) {
        let of_planet = &mut gears[term.planet];
        if !of_planet.iter().any(|&(gear, _)| gear == term.gear) {
            of_planet.push((term.gear, term.tooth_count.abs()));
        }
    }
    gears
}

fn refusals(solver: &Solver, rows: &TimingRows, spacings: &[Fraction]) -> Vec<Refusal> {
    match solver {
        Solver::General { congruences, .. } if rows.planet_count() > 1 => {
            refusal::of_meshed_planets(congruences.dependencies(), rows, spacings)
        }
        Solver::General { .. } | Solver::Closed(_) => refusal::of_cluster(rows, spacings),
    }
}

/// The seating of the refused pin that comes least close, at its closest; of several the first.
fn closest(set: &Gearset, rows: &TimingRows, timing: &GroupTiming, spacings: &[Fraction]) -> Option<ClosestSeating> {
    timing
        .pins
        .iter()
        .zip(spacings)
        .filter(|(pin, _)| pin.turns.is_none())
        .filter_map(|(pin, place)| {
            let target = Target { offset: rows.right_sides(place), ..Target::integers(rows.len()) };
            let seating = closest_seating(set, rows, &target, ExactFit::Counted).ok()??;
            Some(ClosestSeating { pin: pin.pin, seating })
        })
        .reduce(|worst, next| if next.seating.teeth > worst.seating.teeth { next } else { worst })
}
