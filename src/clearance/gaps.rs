//! How much room is between gears that lie side by side and are not in mesh?
//!
//! A gear lies beside its own fellows on the other pins and those of a planet in mesh with it, and beside every
//! gear that meshes with the same third gear, for the face of that one covers both: neighbouring planets on one sun, a
//! long pinion and the small sun. Between external gears the room is `d - r_a - r_b`, from a gear to the
//! tips of a ring around it `r_b - d - r_a`, with the tip radii r and d from centre to centre. The tips are
//! those of the teeth as they fit (`TeethInMesh`). Worked out here.

use super::NotPlaced;
use super::fitted::{Count, TeethInMesh, as_described};
use super::pins::{PinCircles, module};
use crate::exact::{Fraction, fraction};
use crate::gearset::{GearId, Gearset, Pair, PlanetGroup};
use crate::tooth::{Teeth, ToothForm};
use serde::Serialize;

/// The room between two gears that are not in mesh.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Gap {
    /// The gears; twice the same for a gear and its fellow on another pin.
    pub gears: Pair<GearId>,
    /// From tip to tip, in modules of the first gear; below zero the tips overlap.
    pub modules: f64,
    /// The same in millimetres, where every mesh of the group has a pitch.
    pub millimetres: Option<f64>,
    /// The pin of each where the room is least, counted from 1; `None` on the main axis.
    pub pins: Pair<Option<usize>>,
    /// Whether they have to lie in one plane.
    pub faces: Faces,
    /// Whether that is room enough.
    pub tips: Tips,
}

impl Gap {
    /// Whether the two are certain to be in one another's way.
    pub fn is_foul(&self) -> bool {
        self.faces == Faces::Meet && self.tips == Tips::Overlap
    }
}

/// Whether the faces of two gears lie side by side along the axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum Faces {
    /// They do, for each is its fellow on another pin, or meshes with that fellow.
    #[serde(rename = "meet")]
    Meet,
    /// They do if they are in one plane. If not, the gear that meshes with both is long enough for both, one behind the
    /// other: so it is with the short planets and the large sun of a set of long and short planets.
    #[serde(rename = "in one plane")]
    InOnePlane,
}

/// How the tips of two gears pass one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Tips {
    /// They overlap, or touch.
    Overlap,
    /// By less than half a module, which is commonly thought too near (common practice, no source).
    Close,
    /// With room to spare.
    Clear,
}

impl Tips {
    /// How tips pass that are so many modules apart.
    fn apart(modules: f64) -> Self {
        const CLOSE: f64 = 0.5;
        match modules {
            room if room <= 0.0 => Self::Overlap,
            room if room < CLOSE => Self::Close,
            _ => Self::Clear,
        }
    }
}

/// The least room between any two gears of a group that lie side by side, in the order of the gears.
///
/// # Errors
/// [`NotPlaced`] where the centre distances do not follow from the description.
///
/// # Examples
/// ```
/// use toothmark::{clearance::gaps, description};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let gaps = gaps(&set, &set.planet_groups()[0]).unwrap();
/// // Three clusters at 28.5 modules from the axis: 57 sin 60 degrees from pin to pin, less 37 + 2.
/// let largest = gaps.iter().find(|gap| set.gear(gap.gears.first).name() == "l").unwrap();
/// assert!((largest.modules - (57.0 * 0.75_f64.sqrt() - 39.0)).abs() < 1e-9);
/// ```
pub fn gaps(set: &Gearset, group: &PlanetGroup) -> Result<Vec<Gap>, NotPlaced> {
    gaps_at(set, group, group.places())
}

/// The same with the planets of the group on so many pins, spaced equally, instead of where they are described.
///
/// # Errors
/// As [`gaps`].
///
/// # Examples
/// ```
/// use toothmark::{clearance::gaps_of_equal_pins, description};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let room = |pins| {
///     let gaps = gaps_of_equal_pins(&set, &set.planet_groups()[0], pins).unwrap();
///     gaps.iter().map(|gap| gap.modules).fold(f64::INFINITY, f64::min)
/// };
/// assert!(room(3) > 10.0 && room(5) < 0.0, "57 sin 36 degrees is less than 37 + 2");
/// ```
pub fn gaps_of_equal_pins(set: &Gearset, group: &PlanetGroup, pins: u32) -> Result<Vec<Gap>, NotPlaced> {
    let places: Vec<Fraction> = (0..pins).map(|pin| fraction(pin.into(), pins.into())).collect();
    gaps_at(set, group, &places)
}

/// The room between gears that lie side by side, on the pins as described; empty where it is not known.
pub(crate) fn known_gaps(set: &Gearset, group: &PlanetGroup) -> Vec<Gap> {
    if pins_are_placed(set, group) { gaps(set, group).unwrap_or_default() } else { Vec::new() }
}

/// For each number of equal pins whether neighbours clear one another; `None` where that is not known.
pub(crate) fn equal_pins_clear(set: &Gearset, group: &PlanetGroup, counts: &[u32]) -> Vec<Option<bool>> {
    let placed = pins_are_placed(set, group);
    let clear = |&pins: &u32| {
        let gaps = gaps_of_equal_pins(set, group, pins).ok().filter(|_| placed)?;
        Some(!gaps.iter().any(Gap::is_foul))
    };
    counts.iter().map(clear).collect()
}

/// Whether it is known where the pins stand: it is not where meshes of one planet ask for different distances and no
/// pitch says which modules they have.
fn pins_are_placed(set: &Gearset, group: &PlanetGroup) -> bool {
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    PinCircles::new(set, group).is_ok_and(|circles| has_pitch || circles.is_nominal())
}

fn gaps_at(set: &Gearset, group: &PlanetGroup, places: &[Fraction]) -> Result<Vec<Gap>, NotPlaced> {
    gaps_with(&SizedGroup { set, group, count: &as_described(set), places })
}

/// A group with tooth counts and places of pins that need not be those described.
#[derive(Clone, Copy)]
pub(crate) struct SizedGroup<'a> {
    pub(crate) set: &'a Gearset,
    pub(crate) group: &'a PlanetGroup,
    pub(crate) count: Count<'a>,
    pub(crate) places: &'a [Fraction],
}

/// A group with its teeth, on its pin circles.
#[derive(Clone, Copy)]
pub(super) struct PlacedGroup<'a> {
    pub(super) sizes: &'a SizedGroup<'a>,
    pub(super) teeth: &'a TeethInMesh,
    pub(super) circles: &'a PinCircles,
}

/// The least room between any two gears that lie side by side, with other counts and places than described.
pub(crate) fn gaps_with(sizes: &SizedGroup<'_>) -> Result<Vec<Gap>, NotPlaced> {
    gaps_of_teeth(sizes, &TeethInMesh::of_group(sizes.set, sizes.group, sizes.count))
}

/// The same with these teeth.
pub(crate) fn gaps_of_teeth(sizes: &SizedGroup<'_>, teeth: &TeethInMesh) -> Result<Vec<Gap>, NotPlaced> {
    let SizedGroup { set, group, .. } = *sizes;
    let circles = PinCircles::of_teeth(set, group, teeth)?;
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    let gap = |pair: [GearId; 2]| {
        let least = least_gap(&PlacedGroup { sizes, teeth, circles: &circles }, pair)?;
        let modules = least.room / module(set, group, pair[0]);
        Some(Gap {
            gears: Pair { first: pair[0], second: pair[1] },
            modules,
            millimetres: has_pitch.then_some(least.room),
            pins: least.pins,
            faces: if pair[0] == pair[1] || in_mesh(set, group, pair) { Faces::Meet } else { Faces::InOnePlane },
            tips: Tips::apart(modules),
        })
    };
    Ok(side_by_side(set, group).into_iter().filter_map(gap).collect())
}

/// Every pair of gears that lie side by side without being in mesh, on whichever pins, each once.
fn side_by_side(set: &Gearset, group: &PlanetGroup) -> Vec<[GearId; 2]> {
    let mut gears: Vec<GearId> = group.meshes().iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect();
    gears.sort();
    gears.dedup();
    let share = |a: GearId, b: GearId| {
        gears.iter().any(|&third| in_mesh(set, group, [a, third]) && in_mesh(set, group, [b, third]))
    };
    let mut pairs = Vec::new();
    for (at, &a) in gears.iter().enumerate() {
        for &b in &gears[at..] {
            let one_body = set.gear(a).member() == set.gear(b).member();
            let on_pins = [a, b].map(|gear| set.carrier_of(set.gear(gear).member()).is_some());
            let meets_fellow = in_mesh(set, group, [a, b]) && on_pins == [true; 2];
            let shares = !one_body && share(a, b) && !in_mesh(set, group, [a, b]);
            if (a == b || meets_fellow || shares) && on_pins.contains(&true) {
                pairs.push([a, b]);
            }
        }
    }
    pairs
}

/// Whether two gears are in mesh.
pub(super) fn in_mesh(set: &Gearset, group: &PlanetGroup, [a, b]: [GearId; 2]) -> bool {
    group.meshes().iter().any(|&mesh| {
        let gears = set.mesh(mesh).gears();
        a != b && gears.contains(&a) && gears.contains(&b)
    })
}

/// The room between two gears where it is least, in millimetres.
pub(super) struct Least {
    pub(super) room: f64,
    pins: Pair<Option<usize>>,
}

/// The least room between two gears over all pins; `None` for a gear that has no fellow.
pub(super) fn least_gap(placed: &PlacedGroup<'_>, pair: [GearId; 2]) -> Option<Least> {
    let PlacedGroup { sizes, circles, .. } = *placed;
    let SizedGroup { set, group, .. } = *sizes;
    let [a, b] = pair.map(|gear| placed.teeth.form(gear));
    let [of_a, of_b] = pair.map(|gear| centers(sizes, circles, gear));
    let mut least: Option<Least> = None;
    for (pin_a, [x, y]) in &of_a {
        for (pin_b, [p, q]) in &of_b {
            if (pair[0] == pair[1] && pin_a >= pin_b) || (pin_a == pin_b && in_mesh(set, group, pair)) {
                continue;
            }
            let room = room(&a, &b, (x - p).hypot(y - q));
            if least.as_ref().is_none_or(|least| room < least.room) {
                least = Some(Least { room, pins: Pair { first: *pin_a, second: *pin_b } });
            }
        }
    }
    least
}

/// The room between the tips of two gears whose axes are so far apart. A ring is a hoop that is as thick as its teeth at
/// least, so that two of them have no more room than the teeth of the one have around the roots of the other, or roots
/// beside roots.
fn room(a: &ToothForm, b: &ToothForm, distance: f64) -> f64 {
    let around = |ring: &ToothForm, reach: f64| ring.tip_radius() - distance - reach;
    match (a.teeth, b.teeth) {
        (Teeth::External, Teeth::External) => distance - a.tip_radius() - b.tip_radius(),
        (Teeth::External, Teeth::Internal) => around(b, a.tip_radius()),
        (Teeth::Internal, Teeth::External) => around(a, b.tip_radius()),
        (Teeth::Internal, Teeth::Internal) => {
            let [of_a, of_b] = [a, b].map(ToothForm::root_radius);
            around(a, of_b).max(around(b, of_a)).max(distance - of_a - of_b)
        }
    }
}

/// Where the axes of a gear stand: with their pins, or one on the main axis.
fn centers(sizes: &SizedGroup<'_>, circles: &PinCircles, gear: GearId) -> Vec<(Option<usize>, [f64; 2])> {
    let planet = sizes.set.gear(gear).member();
    if sizes.set.carrier_of(planet).is_none() {
        return vec![(None, [0.0; 2])];
    }
    let radius = circles.radius(planet);
    let at = |place| {
        let (sin, cos) = circles.direction(planet, place).sin_cos();
        [radius * cos, radius * sin]
    };
    sizes.places.iter().enumerate().map(|(pin, place)| (Some(pin + 1), at(place))).collect()
}
