//! What a mark shows, as a turn of its cluster with a resolution.
//!
//! A number of teeth is good to half of its last step: whole teeth to half a tooth, `10 1/3`
//! to a sixth. One mark can be brought exactly to its line by rolling the set: one of the
//! readings of 0 is taken as exact.
//!
//! Along a central gear of Z teeth that meshes with the P teeth of a cluster (both signed),
//! the spaces that two marked teeth lie in are `n = Z (x_2 - x_1) - P (t_2 - t_1)` apart;
//! with n counted, the difference of the turns follows. A wrong seating leans by less than
//! half a tooth, which the count cannot show.

use num_bigint::BigInt;
use num_traits::Zero;
use serde::Serialize;

use crate::exact::{Fraction, fraction, multiple, nearest_zero, part_of_turn};
use crate::gearset::{FoundMarks, GearId, Gearset, MarkReading, MeshRow, SignedGear};

/// A reading as a turn of its planet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub struct Reading {
    /// The turn from the pin's own radius to the mark, counter-clockwise seen from the input
    /// side, nearest to zero; for a bevel planet from the direction of the input side, seen from the
    /// outer end of its pin. Where teeth were counted along a central gear only differences of
    /// these have a meaning, and the first pin has 0.
    pub turn: Fraction,
    /// How far the turn may be off, either way.
    pub resolution: Fraction,
}

/// Every reading; `None` for a mark that was not seen.
pub(super) fn readings(set: &Gearset, found: &FoundMarks, spacings: &[Fraction]) -> Vec<Option<Reading>> {
    if let Some(gear) = found.marks.iter().find_map(along) {
        return along_central_gear(set, found, gear, spacings);
    }
    let reading = |mark: &MarkReading| {
        let (turn, resolution) = match mark {
            MarkReading::Teeth(gear, teeth) => (teeth / count(set, *gear), half_step(teeth) / count(set, *gear)),
            MarkReading::Degrees(degrees) => (degrees / fraction(360, 1), &found.within / fraction(360, 1)),
            MarkReading::Along(..) | MarkReading::Unread => return None,
        };
        Some(Reading { turn: nearest_zero(&set.turn_seen(found.seen, found.planet, &turn)), resolution })
    };
    found.marks.iter().map(reading).collect()
}

/// The central gear of a reading along one.
pub(super) fn along(mark: &MarkReading) -> Option<GearId> {
    if let MarkReading::Along(gear, _) = mark { Some(*gear) } else { None }
}

/// Half of the last step of a number: half for a whole one, a sixth for thirds.
fn half_step(value: &Fraction) -> Fraction {
    Fraction::new(1.into(), value.denom() * 2)
}

fn count(set: &Gearset, gear: GearId) -> Fraction {
    fraction(set.gear(gear).tooth_count().get().into(), 1)
}

/// The readings where teeth were counted from mark to mark: with one stretch left out the last
/// follows, for all the way round they come back to the first.
fn along_central_gear(set: &Gearset, found: &FoundMarks, gear: GearId, spacings: &[Fraction]) -> Vec<Option<Reading>> {
    let counts = mesh_along(set, found, gear).map(|gears| gears.map(|gear| gear.tooth_count));
    let Some([central, cluster]) = counts else { return vec![None; found.marks.len()] };
    let step = |(pin, mark): (usize, &MarkReading)| {
        let MarkReading::Along(_, teeth) = mark else { return None };
        let next = &spacings[(pin + 1) % spacings.len()];
        let counted = fraction(central.signum() * teeth, 1);
        Some((multiple(&part_of_turn(&(next - &spacings[pin])), central) - counted) / BigInt::from(cluster))
    };
    let steps: Vec<Option<Fraction>> = found.marks.iter().enumerate().map(step).collect();
    let counted: Fraction = steps.iter().flatten().sum();
    let half_tooth = fraction(1, 2 * cluster.abs());
    let mut turn = Fraction::zero();
    let reading = |(pin, step): (usize, Option<Fraction>)| {
        let resolution = if pin == 0 { Fraction::zero() } else { half_tooth.clone() };
        let reading = Reading { turn: nearest_zero(&turn), resolution };
        turn += step.unwrap_or_else(|| -counted.clone());
        Some(reading)
    };
    steps.into_iter().enumerate().map(reading).collect()
}

/// A central gear and the gear of the planet that meshes with it, in this order.
fn mesh_along(set: &Gearset, found: &FoundMarks, central: GearId) -> Option<[SignedGear; 2]> {
    let both_ways = |row: &MeshRow| [row.gears, [row.gears[1], row.gears[0]]];
    let along = |[one, other]: &[SignedGear; 2]| one.gear == central && other.member == found.planet;
    set.matrix().rows().iter().flat_map(both_ways).find(along)
}

/// The gear that was read; none where no teeth were counted.
pub(super) fn gear_read(set: &Gearset, found: &FoundMarks) -> Option<GearId> {
    found.marks.iter().find_map(|mark| match mark {
        MarkReading::Teeth(gear, _) => Some(*gear),
        MarkReading::Along(gear, _) => mesh_along(set, found, *gear).map(|[_, own]| own.gear),
        MarkReading::Degrees(_) | MarkReading::Unread => None,
    })
}
