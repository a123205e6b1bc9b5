//! Do the planets of every group assemble, and how is each one turned: the whole answer.
//!
//! For each group the conditions are solved once, then asked for every pin: the turn of each planet, in teeth of each
//! of its gears. A group that assembles gets its marks and its margin; one that does not gets the reasons and the
//! remedies. The room that neighbours leave one another stands beside that, since it decides as well whether a number
//! of pins can be built.

use num_bigint::BigInt;
use num_traits::Zero;
use serde::Serialize;

use super::all_pins::{PushedTogether, pushed_together};
use super::by_hand::{ByHand, could_be};
use super::convention::{MarkingConvention, convention};
use super::index_classes::index_classes;
use super::loops::{Closure, Loop, loops, missed_loops};
use super::margin::{MarginSearch, MeshError, SeatingError, closest_seating, margin};
use super::marks::{CentralSpacing, central_spacings, marks};
use super::pin_timing::{GearTurn, PinTiming};
use super::refusal::{ClosestSeating, MeshRefusal, refusals};
use super::remedies::{GroupsApart, Remediable, Remedies, remedies};
use super::settings::{PlanetSetting, settings};
use super::solver::{Solver, rows_assemble};
use super::tooth_marks::GroupToMark;
use crate::clearance::{Gap, equal_pins_clear, known_gaps};
use crate::exact::{ExactFit, Fraction, Target, TooManyClasses, multiple};
use crate::gearset::{GearId, Gearset, MemberId, PlanetGroup, TimingRow, TimingRows};

/// The numbers of equal pins that are always tried.
const PIN_COUNTS: std::ops::RangeInclusive<u32> = 2..=8;

/// Whether and how the planets of every group assemble.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Timing {
    /// The title of the gearset.
    pub gearset: String,
    /// The groups of planets that are set together, in the order of the description.
    pub groups: Vec<GroupTiming>,
}

/// The timing of one group: the planets on each pin of one carrier that are set together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GroupTiming {
    /// The planets: one, or those that mesh with one another.
    pub planets: Vec<MemberId>,
    /// The carrier of their pins.
    pub carrier: MemberId,
    /// How many pins there are.
    #[serde(rename = "pins")]
    pub pin_count: usize,
    /// Whether the planets on every pin mesh with all their gears at once, and with those of other kinds as far as the
    /// description can tell.
    #[serde(rename = "goes_together")]
    pub assembles: bool,
    /// D: a place x, in turns from the first pin, is allowed if and only if D x is whole; 0: any place is.
    #[serde(serialize_with = "crate::exact::serialize_integer")]
    #[cfg_attr(feature = "report", schemars(with = "i64"))]
    pub spacing_divisor: BigInt,
    /// g: in how many ways the planets of one pin can be seated that look the same; none where no mesh keeps some
    /// planet from turning.
    #[serde(serialize_with = "crate::exact::serialize_integer_or_none")]
    #[cfg_attr(feature = "report", schemars(with = "Option<i64>"))]
    pub equivalent_seatings: Option<BigInt>,
    /// Whether radial marks serve for the pins as described: the mark of every planet points to the centre.
    pub radial_marks: bool,
    /// Whether parallel marks serve: the marks of all planets point the same way in space.
    pub parallel_marks: bool,
    /// How far the nearest wrong seating is out at its worst mesh, in teeth; none where there is no wrong seating,
    /// where there is one pin only, or where the group does not assemble.
    pub margin: Option<Fraction>,
    /// How the planets on each pin are turned.
    #[serde(rename = "pins_list")]
    pub pins: Vec<PinTiming>,
    /// Of 2 to 8 equal pins, the numbers that assemble.
    pub equal_pin_counts: Vec<u32>,
    /// Whether a wrong seating stays within the backlash of every mesh: the nearest one, or one whose errors fall where
    /// the backlash is larger. None where there is no margin, or where a pitch or a backlash is not given.
    pub within_backlash: Option<bool>,
    /// The least backlash, in millimetres at the pitch circle and the same at every mesh, with which a wrong seating
    /// goes in: the nearest one, or one whose errors fall on finer gears. None where there is no margin, or where a
    /// pitch is not given.
    pub least_backlash_mm: Option<f64>,
    /// Why it does not assemble; empty where the planets of every pin do.
    pub refusals: Vec<MeshRefusal>,
    /// The loops that meshes of this group close with others of the set.
    pub loops: Vec<Loop>,
    /// For a group that does not assemble: what would.
    #[serde(rename = "ways_out")]
    pub remedies: Option<Remedies>,
    /// The room between gears that lie side by side and are not in mesh; empty where the centre distances do not
    /// follow, or nothing lies side by side.
    pub room: Vec<Gap>,
    /// For each of the equal pin counts whether neighbours clear one another; none where that is not known.
    pub equal_pins_clear: Vec<Option<bool>>,
    /// What a hand notices at the wrong seating that goes in most easily; none as for `within_backlash`.
    pub by_hand: Option<ByHand>,
    /// The error of the nearest wrong seating at its worst mesh as an arc at the pitch circle, in millimetres; none
    /// where there is no margin, or where a pitch is not given.
    pub margin_mm: Option<f64>,
    /// What the nearest wrong seating is out at each mesh.
    pub margin_errors: Vec<MeshError>,
    /// Whether every wrong seating was looked at.
    pub margin_search: MarginSearch,
    /// For a group that does not assemble: how close its worst pin comes.
    pub closest: Option<ClosestSeating>,
    /// What each central gear shows between neighbouring lines of centres.
    pub central_spacings: Vec<CentralSpacing>,
    /// The simplest marking convention that serves.
    pub convention: MarkingConvention,
    /// Whether planets could be put in wrong at all: a wrong seating goes in, unnoticed or with force, or, where that is
    /// not known, is out by a quarter of a tooth or less. Where they could not, whatever drops in freely is right. None
    /// where they do not assemble, or not every seating was looked at.
    pub wrong_could_be: Option<bool>,
    /// How each planet with marks is set on each pin, counted in whole teeth; empty where no mark is needed.
    pub settings: Vec<PlanetSetting>,
    /// How the pins are numbered round the carrier.
    pub pin_order: PinOrder,
    /// For a group whose pins do not assemble: whether all could be pushed together at once, and the backlash left. None
    /// where a pitch is not given, where they come nowhere near, or where that would be too long to look for.
    pub pushed_together: Option<PushedTogether>,
}

/// How pins are numbered round their carrier, seen from the input side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum PinOrder {
    /// One after the other counter-clockwise; so one or two pins as well.
    CounterClockwise,
    /// One after the other clockwise.
    Clockwise,
    /// Neither way round.
    Mixed,
}

/// The timing of every group of planets.
///
/// # Examples
/// ```
/// use toothmark::{description, timing::timing};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let group = &timing(&set).groups[0];
/// assert!(group.assembles && group.parallel_marks);
/// assert_eq!(group.spacing_divisor, 57.into());
/// assert_eq!(group.margin.as_ref().unwrap().to_string(), "5/68");
/// ```
pub fn timing(set: &Gearset) -> Timing {
    let whole = WholeSet { loops: loops(set), apart: GroupsApart::new(set) };
    let groups = set.planet_groups().iter().map(|group| time_group(set, group, &whole)).collect();
    Timing { gearset: set.title().to_owned(), groups }
}

/// The timing of one group of planets.
///
/// # Examples
/// ```
/// use toothmark::{description, timing::timing_of};
/// let set = description::read(description::example("orchard-truck").unwrap()).unwrap();
/// let group = timing_of(&set, &set.planet_groups()[0]);
/// let turns = group.pins.iter().flat_map(|pin| pin.turns.iter().flat_map(|turns| turns.values()));
/// assert_eq!(turns.map(ToString::to_string).collect::<Vec<_>>(), ["0", "1/3", "-1/3"]);
/// ```
pub fn timing_of(set: &Gearset, group: &PlanetGroup) -> GroupTiming {
    time_group(set, group, &WholeSet { loops: loops(set), apart: GroupsApart::new(set) })
}

/// Whether the planets of a group assemble, and nothing else of its timing, with the loops of the gearset that miss.
pub(crate) fn group_assembles(set: &Gearset, group: &PlanetGroup, missed: &[Loop]) -> bool {
    rows_assemble(&set.matrix().timing(group), &group.spacings()) && !missed.iter().any(|it| it.is_with(group))
}

/// Whether the planets of every group assemble, and nothing else of their timing.
pub(crate) fn all_assemble(set: &Gearset) -> bool {
    let missed = missed_loops(set);
    set.planet_groups().iter().all(|group| group_assembles(set, group, &missed))
}

/// Whether meshes keep the planets of a group from turning on their pins.
pub(crate) fn planets_are_kept(set: &Gearset, group: &PlanetGroup) -> bool {
    Solver::new(&set.matrix().timing(group)).equivalent_seatings().is_some()
}

impl Timing {
    /// Whether the planets of every group assemble.
    pub fn assembles(&self) -> bool {
        self.groups.iter().all(|group| group.assembles)
    }
}

impl GroupTiming {
    /// Whether the planets on every pin mesh with all their gears once those on the first do.
    pub fn pins_assemble(&self) -> bool {
        self.pins.iter().all(|pin| pin.turns.is_some())
    }

    /// The refusals, each combination of meshes once, at the first pin where it is worst.
    pub fn refusals_at_their_worst(&self) -> Vec<&MeshRefusal> {
        let mut worst: Vec<&MeshRefusal> = Vec::new();
        for refusal in &self.refusals {
            match worst.iter_mut().find(|other| other.meshes == refusal.meshes) {
                Some(other) if refusal.misfit > other.misfit => *other = refusal,
                Some(_) => {}
                None => worst.push(refusal),
            }
        }
        worst
    }
}

/// What the whole gearset has to do with each of its groups.
struct WholeSet {
    loops: Vec<Loop>,
    apart: GroupsApart,
}

fn time_group(set: &Gearset, group: &PlanetGroup, whole: &WholeSet) -> GroupTiming {
    let rows = set.matrix().timing(group);
    let (solver, spacings) = (Solver::new(&rows), group.spacings());
    let spacing_divisor = solver.spacing_divisor();
    let pins = pins(group, &rows, &solver, &spacings);
    let refused = pins.iter().any(|pin| pin.turns.is_none());
    let loops: Vec<Loop> = whole.loops.iter().filter(|closed| closed.is_with(group)).cloned().collect();
    let (nearest_wrong, margin_search) =
        if refused { Default::default() } else { nearest_wrong(set, &rows, &spacings) };
    let misses = loops.iter().any(|closed| closed.closes == Closure::Misses);
    let assembles = !refused && !misses;
    let marks = marks(set, &rows, &spacings);
    let convention = if assembles {
        convention(&rows, group.planets().len(), pins.len(), marks)
    } else {
        MarkingConvention::Refused
    };
    let to_mark = GroupToMark { set, rows: &rows, planets: group.planets(), pins: &pins, spacings: &spacings };
    let settings = if convention.has_marks() { settings(&to_mark.marks(), &pins) } else { Vec::new() };
    // N equal pins stand at the multiples of 1/N: they are allowed if and only if N divides D.
    let equal_pin_counts: Vec<u32> = PIN_COUNTS.filter(|&count| (&spacing_divisor % count).is_zero()).collect();
    let by_hand = nearest_wrong.as_ref().and_then(|wrong| wrong.by_hand);
    let of_nearest_wrong = |size: fn(&SeatingError) -> Option<f64>| nearest_wrong.as_ref().and_then(size);
    GroupTiming {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        pin_count: pins.len(),
        assembles,
        equivalent_seatings: solver.equivalent_seatings(),
        radial_marks: marks.radial.serves(),
        parallel_marks: marks.parallel.serves(),
        wrong_could_be: (assembles && margin_search == MarginSearch::Complete)
            .then(|| nearest_wrong.as_ref().is_some_and(|wrong| could_be(wrong.by_hand, &wrong.teeth))),
        margin: nearest_wrong.as_ref().map(|wrong| wrong.teeth.clone()),
        within_backlash: by_hand.map(|by_hand| by_hand == ByHand::Unnoticed),
        least_backlash_mm: of_nearest_wrong(|wrong| wrong.least_backlash_mm),
        pushed_together: if refused { pushed_together(set, &rows, &solver, &spacings) } else { None },
        refusals: if refused { refusals(&solver, &rows, &spacings) } else { Vec::new() },
        loops,
        remedies: refused.then(|| {
            let classes = if misses { Vec::new() } else { index_classes(set, group, &rows, &solver) };
            remedies(&Remediable { set, apart: &whole.apart }, group, &spacing_divisor, classes)
        }),
        room: known_gaps(set, group),
        equal_pins_clear: equal_pins_clear(set, group, &equal_pin_counts),
        by_hand,
        margin_mm: of_nearest_wrong(|wrong| wrong.mm),
        margin_errors: nearest_wrong.map(|wrong| wrong.errors).unwrap_or_default(),
        margin_search,
        closest: if refused { closest(set, &rows, &solver, &pins, &spacings) } else { None },
        central_spacings: central_spacings(set, &rows, group.places()),
        convention,
        settings,
        pin_order: pin_order(&spacings),
        pins,
        equal_pin_counts,
        spacing_divisor,
    }
}

fn pin_order(spacings: &[Fraction]) -> PinOrder {
    let further = |pair: &[Fraction]| pair[0] < pair[1];
    if spacings.windows(2).all(further) {
        PinOrder::CounterClockwise
    } else if !spacings[1..].windows(2).any(further) {
        PinOrder::Clockwise
    } else {
        PinOrder::Mixed
    }
}

/// A wrong seating is one that differs from its fellows on the other pins; on a single pin there are none.
fn nearest_wrong(set: &Gearset, rows: &TimingRows, spacings: &[Fraction]) -> (Option<SeatingError>, MarginSearch) {
    if spacings.len() == 1 {
        return Default::default();
    }
    match margin(set, rows) {
        Ok(margin) => (margin, MarginSearch::Complete),
        Err(TooManyClasses) => (None, MarginSearch::GivenUp),
    }
}

fn pins(group: &PlanetGroup, rows: &[TimingRow], solver: &Solver, spacings: &[Fraction]) -> Vec<PinTiming> {
    let gears = gears_in_mesh(rows, group.planets().len());
    let pin = |(index, place): (usize, &Fraction)| {
        let turns = solver.turns(place);
        let gears = turns.iter().flatten().enumerate().flat_map(|(planet, turn)| {
            gears[planet].iter().map(move |&(gear, count)| GearTurn {
                gear,
                planet: group.planets()[planet],
                teeth: multiple(turn, count),
            })
        });
        PinTiming {
            pin: index + 1,
            place: group.places()[index].clone(),
            gears: gears.collect(),
            turns: turns.map(|turns| group.planets().iter().copied().zip(turns).collect()),
        }
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

/// The seating of the refused pin that comes least close, at its closest; of several the first.
fn closest(
    set: &Gearset,
    rows: &TimingRows,
    solver: &Solver,
    pins: &[PinTiming],
    spacings: &[Fraction],
) -> Option<ClosestSeating> {
    let mut apart: Vec<(usize, &Fraction)> = Vec::new();
    for (pin, place) in pins.iter().zip(spacings).filter(|(pin, _)| pin.turns.is_none()) {
        // Where a place is allowed from another its errors are the same; from the mirror image of that, with other signs.
        let is_new = |&(_, other): &(usize, &Fraction)| {
            [place - other, place + other].iter().all(|between| solver.turns(between).is_none())
        };
        if apart.iter().all(is_new) {
            apart.push((pin.pin, place));
        }
    }
    let closest = |(pin, place): (usize, &Fraction)| {
        let target = Target { offset: rows.right_sides(place), ..Target::integers(rows.len()) };
        let seating = closest_seating(set, rows, &target, ExactFit::Counted).ok()??;
        Some(ClosestSeating { pin, seating })
    };
    let worse = |worst: ClosestSeating, next: ClosestSeating| {
        if next.seating.teeth > worst.seating.teeth { next } else { worst }
    };
    apart.into_iter().filter_map(closest).reduce(worse)
}
