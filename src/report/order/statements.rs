//! What to order, what to see to before, and what the order takes for granted.

use super::wording::{limits_in_both, pin, pitch, shift};
use crate::fit::{IndexSource, OrderedCluster, OrderedGear, OrderedMesh, TeethOrder};
use crate::gearset::{GearId, Gearset, MeshId};
use crate::report::words::{self, counted, degrees, list, member, rounded, short_list};

pub(super) fn statements(order: &TeethOrder, set: &Gearset) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(not_yet(order, set));
    lines.extend(outside_limits(order, set));
    let (refused, others): (Vec<&OrderedCluster>, Vec<&OrderedCluster>) =
        order.clusters.iter().partition(|cluster| cluster.index_source == IndexSource::Refused);
    lines.extend(refused.iter().map(|cluster| refused_cluster(set, cluster)));
    lines.extend((order.closes && refused.is_empty()).then(|| what_to_order(order, set)));
    lines.extend(others.iter().map(|cluster| how_alike(set, cluster)));
    lines.extend(backlash(order));
    lines.extend(mates(order, set));
    if !order.left_out.is_empty() {
        lines.push(format!("Not ordered: {}, in no mesh of spur gears.", gears(set, &order.left_out)));
    }
    lines
}

/// What has to be seen to before anything is cut.
fn not_yet(order: &TeethOrder, set: &Gearset) -> Option<String> {
    let meshes: Vec<String> = order.faulty_meshes.iter().map(|&mesh| words::mesh(set, mesh)).collect();
    if !order.closes {
        return Some(format!(
            "Order nothing yet: not every mesh closes on its pins, look at {}; toothmark teeth close says by how much.",
            short_list(&meshes)
        ));
    }
    let faulty = order.faulty_gears.iter().map(|&gear| words::gear(set, gear)).chain(meshes);
    let faulty: Vec<String> = faulty.collect();
    (!faulty.is_empty()).then(|| {
        format!(
            "Look first at {}: as they stand toothmark teeth close finds them wrong, and says why.",
            short_list(&faulty)
        )
    })
}

/// Meshes whose backlash does not stay within the limits.
fn outside_limits(order: &TeethOrder, set: &Gearset) -> Option<String> {
    let outside = order.meshes.iter().filter(|mesh| !mesh.is_within_limits);
    let told = |mesh: &OrderedMesh| format!("{} {}", words::mesh(set, mesh.mesh), limits_in_both(mesh.backlash));
    let outside: Vec<String> = outside.map(told).collect();
    (!outside.is_empty()).then(|| {
        format!(
            "The limits of backlash cannot be kept everywhere, for what is kept or a gear of several meshes stands against \
             it: {}.",
            short_list(&outside)
        )
    })
}

fn what_to_order(order: &TeethOrder, set: &Gearset) -> String {
    match &order.gears[..] {
        [only] => one_gear(set, only),
        several => {
            format!("Order {} as listed; each is checked by its span or over its pins.", counted(several.len(), "gear"))
        }
    }
}

fn one_gear(set: &Gearset, gear: &OrderedGear) -> String {
    let span = gear.span.map(|span| {
        let teeth = if span.teeth == 1 { "1 tooth".to_owned() } else { format!("{} teeth", span.teeth) };
        format!("; span over {teeth} {}", limits_in_both(span.limits()))
    });
    let pins = gear.over_pins.map(|pins| {
        let over = if gear.is_ring { "between" } else { "over" };
        format!("; {over} pins of {} {}", pin(pins.pin_mm), limits_in_both(pins.limits()))
    });
    let (span, pins) = (span.unwrap_or_default(), pins.unwrap_or_default());
    format!(
        "Order {}, {}: {}, {} deg, shift {}{span}{pins}.",
        words::gear(set, gear.gear),
        counted(gear.pieces, "piece"),
        pitch(gear),
        rounded(&gear.pressure_angle_degrees),
        shift(gear.shift)
    )
}

/// Clusters that would be made in vain.
fn refused_cluster(set: &Gearset, cluster: &OrderedCluster) -> String {
    format!(
        "Order no {} yet: alike ones do not assemble on {}; toothmark timing says what would.",
        member(set, cluster.planet),
        counted(cluster.pieces, "pin")
    )
}

/// How many of a cluster, with which index, and how nearly alike.
fn how_alike(set: &Gearset, cluster: &OrderedCluster) -> String {
    let name = member(set, cluster.planet);
    let of_source = match cluster.index_source {
        IndexSource::Refused | IndexSource::Free => {
            "any index will do, if all are alike: cut a tooth of each gear on one line".to_owned()
        }
        IndexSource::Needed => "whether all planets go in depends on its index: read it from a cluster that ran here, \
                                and write it under measured"
            .to_owned(),
        IndexSource::Measured => {
            let read = cluster
                .index
                .iter()
                .skip(1)
                .map(|index| format!("{} {} deg", words::gear(set, index.gear), degrees(&index.turns)));
            let good = cluster.good_to.as_ref().map_or_else(String::new, |good_to| format!(", read to {good_to}"));
            let like = cluster.like.as_deref().unwrap_or_default();
            format!(
                "index as on cluster {:?}{good}: {}, counter-clockwise of the tooth of {} seen from the input side",
                like,
                list(&read.collect::<Vec<_>>()),
                words::gear(set, cluster.index[0].gear)
            )
        }
    };
    let alike = match cluster.alike {
        Some(alike) => format!(
            "alike within {} at {} ({:.3} deg)",
            words::length(alike.arc_mm),
            words::gear(set, alike.gear),
            alike.degrees
        ),
        None => "alike within half of the least backlash, which is not told".to_owned(),
    };
    format!("Make {} of {name} {alike}; {of_source}.", cluster.pieces)
}

/// What is not told of the backlash.
fn backlash(order: &TeethOrder) -> Option<String> {
    let limits_are_told = order.gears.iter().all(|gear| gear.thinning.most_mm.is_some());
    let none_is_told = order.meshes.iter().all(|mesh| mesh.backlash.least_mm.is_none_or(|least| least <= 0.0));
    if limits_are_told {
        None
    } else if none_is_told {
        Some(
            "Beware: no backlash is told, so these are teeth without any, which bind. Say --backlash-limits 0.08..0.15, as \
             your maker's book has it."
                .into(),
        )
    } else {
        Some(
            "Only the least backlash is told, so only the thickest tooth is: say the most as well, --backlash-limits \
             0.08..0.15, or agree the other limit with the cutter."
                .into(),
        )
    }
}

/// What is taken for granted of gears that are not ordered.
fn mates(order: &TeethOrder, set: &Gearset) -> Option<String> {
    if order.kept.is_empty() {
        let is_ordered = |gear: &GearId| order.gears.iter().any(|ordered| ordered.gear == *gear);
        let of_meshes = order.meshes.iter().flat_map(|mesh| both(set, mesh.mesh));
        let mut others: Vec<GearId> = of_meshes.filter(|gear| !is_ordered(gear)).collect();
        others.sort_unstable();
        others.dedup();
        return (!others.is_empty()).then(|| {
            format!(
                "{} taken to be cut to the same limits; say --keep for what stays as it is, and the new gear takes all the \
                 backlash.",
                is_or_are(&gears(set, &others), others.len())
            )
        });
    }
    let untold: Vec<GearId> = order.kept.iter().filter(|kept| !kept.is_told).map(|kept| kept.gear).collect();
    (!untold.is_empty()).then(|| {
        format!(
            "{} kept and taken as not thinned, for nothing says otherwise: measure the span, toothmark teeth identify tells \
             the wear, and write it under teeth as thinned.",
            is_or_are(&gears(set, &untold), untold.len())
        )
    })
}

fn is_or_are(names: &str, count: usize) -> String {
    format!("{names} {}", if count == 1 { "is" } else { "are" })
}

fn both(set: &Gearset, mesh: MeshId) -> [GearId; 2] {
    set.mesh(mesh).gears().each()
}

fn gears(set: &Gearset, gears: &[GearId]) -> String {
    short_list(&gears.iter().map(|&gear| words::gear(set, gear)).collect::<Vec<_>>())
}
