//! How much room is between gears that lie side by side and are not in mesh?
//!
//! A gear lies beside its own fellows on the other pins, and beside every gear that meshes with the
//! same third gear, for the face of that one covers both: neighbouring planets on one sun, a long
//! pinion and the small sun. Between external gears the room is `d - r_a - r_b`, from a gear to the
//! tips of a ring around it `r_b - d - r_a`, with the tip radii r and d from centre to centre. Tips
//! are full: addendum one module, moved by the profile shift. Worked out here.

use super::NotPlaced;
use super::pins::{Count, PinCircles, form_with, module};
use crate::exact::Fraction;
use crate::gearset::{GearId, Gearset, Pair, PlanetGroup};
use crate::tooth::Teeth;

/// The room between two gears that are not in mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The gears; twice the same for a gear and its fellow on another pin.
    pub gears: Pair<GearId>,
    /// The pin of each where the room is least, counted from 1; `None` on the main axis.
    pub pins: Pair<Option<usize>>,
    /// From tip to tip, in modules of the first gear; below zero the tips overlap.
    pub modules: f64,
    /// The same in millimetres, where every mesh of the group has a pitch.
    pub millimetres: Option<f64>,
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
    let described = |gear| set.gear(gear).tooth_count().get();
    let sizes = Sizes { set, group, count: &described, places: group.places() };
    let circles = PinCircles::new(set, group)?;
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    let gap = |pair: [GearId; 2]| {
        let least = least_gap(&sizes, &circles, pair)?;
        Some(Gap {
            gears: Pair { first: pair[0], second: pair[1] },
            pins: least.pins,
            modules: least.room / module(set, group, pair[0]),
            millimetres: has_pitch.then_some(least.room),
        })
    };
    Ok(side_by_side(set, group).into_iter().filter_map(gap).collect())
}

/// The least room between any two gears of a group that lie side by side, in modules, with these tooth counts and
/// places of pins in place of those described; `None` where no two do.
pub(crate) fn least_room(sizes: &Sizes<'_>) -> Result<Option<f64>, NotPlaced> {
    let circles = PinCircles::with(sizes.set, sizes.group, sizes.count)?;
    let room =
        |pair: [GearId; 2]| Some(least_gap(sizes, &circles, pair)?.room / module(sizes.set, sizes.group, pair[0]));
    Ok(side_by_side(sizes.set, sizes.group).into_iter().filter_map(room).reduce(f64::min))
}

/// A group with tooth counts and places of pins that need not be those described.
pub(crate) struct Sizes<'a> {
    pub(crate) set: &'a Gearset,
    pub(crate) group: &'a PlanetGroup,
    pub(crate) count: Count<'a>,
    pub(crate) places: &'a [Fraction],
}

/// Every pair of gears that lie side by side without being in mesh, each once.
fn side_by_side(set: &Gearset, group: &PlanetGroup) -> Vec<[GearId; 2]> {
    let mut gears: Vec<GearId> =
        group.meshes().iter().flat_map(|&mesh| set.mesh(mesh).gears().both().map(|&gear| gear)).collect();
    gears.sort();
    gears.dedup();
    let share = |a: GearId, b: GearId| {
        gears.iter().any(|&third| in_mesh(set, group, [a, third]) && in_mesh(set, group, [b, third]))
    };
    let mut pairs = Vec::new();
    for (at, &a) in gears.iter().enumerate() {
        for &b in &gears[at..] {
            let one_body = set.gear(a).member() == set.gear(b).member();
            let lies_beside = a == b || (!one_body && share(a, b) && !in_mesh(set, group, [a, b]));
            if lies_beside && [a, b].iter().any(|&gear| set.carrier_of(set.gear(gear).member()).is_some()) {
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
        a != b && gears.both().contains(&&a) && gears.both().contains(&&b)
    })
}

/// The room between two gears where it is least, in millimetres.
pub(super) struct Least {
    pub(super) room: f64,
    pins: Pair<Option<usize>>,
}

/// The least room between two gears over all pins; `None` for a gear that has no fellow, and for two
/// gears that could touch nowhere, such as two rings.
pub(super) fn least_gap(sizes: &Sizes<'_>, circles: &PinCircles, pair: [GearId; 2]) -> Option<Least> {
    let Sizes { set, group, .. } = *sizes;
    let [a, b] = pair.map(|gear| form_with(set, gear, module(set, group, gear), sizes.count));
    let room = |distance: f64| match (a.teeth, b.teeth) {
        (Teeth::External, Teeth::External) => distance - a.tip_radius() - b.tip_radius(),
        (Teeth::External, Teeth::Internal) => b.tip_radius() - distance - a.tip_radius(),
        (Teeth::Internal, Teeth::External) => a.tip_radius() - distance - b.tip_radius(),
        (Teeth::Internal, Teeth::Internal) => f64::NEG_INFINITY,
    };
    let [of_a, of_b] = pair.map(|gear| centers(sizes, circles, gear));
    let mut least: Option<Least> = None;
    for (pin_a, [x, y]) in &of_a {
        for (pin_b, [p, q]) in &of_b {
            if pair[0] == pair[1] && pin_a >= pin_b {
                continue;
            }
            let room = room((x - p).hypot(y - q));
            if least.as_ref().is_none_or(|least| room < least.room) {
                least = Some(Least { room, pins: Pair { first: *pin_a, second: *pin_b } });
            }
        }
    }
    least
}

/// Where the axes of a gear stand: with their pins, or one on the main axis.
fn centers(sizes: &Sizes<'_>, circles: &PinCircles, gear: GearId) -> Vec<(Option<usize>, [f64; 2])> {
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
