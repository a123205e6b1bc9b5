//! What to order, what to see to before, and what the order takes for granted.

use super::wording::{limits_in_both, pin, pitch, shift};
use crate::exact::Fraction;
use crate::fit::{IndexSource, LengthLimits, OrderedCluster, OrderedGear, OrderedIndex, OrderedMesh, TeethOrder};
use crate::gearset::{GearId, Gearset, MeshId};
use crate::report::words::{self, Units, counted, degrees, list, member, rounded, short_list};
use num_traits::{Signed, Zero};

pub(super) fn statements(order: &TeethOrder, set: &Gearset) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(not_yet(order, set));
    lines.extend(outside_limits(order, set));
    lines.extend(order.gears.iter().filter_map(|gear| thicker(set, gear)));
    let (held_up, others): (Vec<&OrderedCluster>, Vec<&OrderedCluster>) = order
        .clusters
        .iter()
        .partition(|cluster| matches!(cluster.index_source, IndexSource::Refused | IndexSource::Needed));
    lines.extend(held_up.chunk_by(|a, b| a.planet == b.planet).map(|same| held_up_cluster(set, same[0])));
    lines.extend((order.closes && held_up.is_empty()).then(|| what_to_order(order, set)));
    for same in others.chunk_by(|a, b| a.planet == b.planet) {
        match same {
            [only] if only.class.is_none() => lines.push(how_alike(set, only)),
            classes => lines.extend(by_class(set, classes)),
        }
    }
    lines.extend(backlash(order, set));
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
    let told = |mesh: &OrderedMesh| {
        format!(
            "{} {}",
            words::mesh(set, mesh.mesh),
            limits_in_both(mesh.backlash, Units::of_gear(set, both(set, mesh.mesh)[0]))
        )
    };
    let outside: Vec<String> = outside.map(told).collect();
    (!outside.is_empty()).then(|| {
        format!(
            "The limits of backlash cannot be kept everywhere, for what is kept or a gear of several meshes stands against \
             it: {}.",
            short_list(&outside)
        )
    })
}

/// A gear whose mates leave so much play that its teeth have to be thicker than its shift makes them.
fn thicker(set: &Gearset, gear: &OrderedGear) -> Option<String> {
    const NOTHING: f64 = 0.0005;
    let thinned = gear.thinning;
    let most = thinned.least_mm.filter(|least| *least < -NOTHING).map(|least| -least)?;
    let least = thinned.most_mm.map(|most| (-most).max(0.0)).filter(|least| *least < most);
    let by = LengthLimits { least_mm: least, most_mm: Some(most) };
    Some(format!(
        "{} has to be thicker than its shift makes it, by {} at the pitch circle: its mates are thinner than the backlash \
         needs. A cutter that is not fed to full depth leaves it so; or give it more shift.",
        words::gear(set, gear.gear),
        limits_in_both(by, Units::of_gear(set, gear.gear))
    ))
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
    let units = Units::of_gear(set, gear.gear);
    let span = gear.span.map(|span| {
        let teeth = if span.teeth == 1 { "1 tooth".to_owned() } else { format!("{} teeth", span.teeth) };
        format!("; span over {teeth} {}", limits_in_both(span.limits(), units))
    });
    let pins = gear.over_pins.map(|pins| {
        let over = if gear.is_ring { "between" } else { "over" };
        format!("; {over} pins of {} {}", pin(pins.pin_mm), limits_in_both(pins.limits(), units))
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

/// Clusters that would be made in vain, or whose index nobody knows yet.
fn held_up_cluster(set: &Gearset, cluster: &OrderedCluster) -> String {
    let name = member(set, cluster.planet);
    if cluster.index_source == IndexSource::Needed {
        return format!(
            "Order no {name} yet: whether all planets go in depends on its index, which nothing tells. Read it from a cluster \
             that ran here, and write it under measured."
        );
    }
    format!(
        "Order no {name} yet: alike ones do not assemble on {}; toothmark timing says what would.",
        counted(cluster.for_pins.len(), "pin")
    )
}

/// So many classes are told with their index; the sheets have all.
const MOST_CLASSES: usize = 3;

/// How many clusters of each class, each with its index.
fn by_class(set: &Gearset, classes: &[&OrderedCluster]) -> Vec<String> {
    let name = member(set, classes[0].planet);
    let pieces =
        classes.iter().map(|cluster| format!("{} of class {} for {}", cluster.pieces, letter(cluster), pins(cluster)));
    let told = classes.iter().take(MOST_CLASSES).map(|cluster| class_index(set, cluster));
    let more = if classes.len() > MOST_CLASSES { " Their sheets tell the others: --full." } else { "" };
    vec![
        format!(
            "Make {name} to {} indexes, for alike ones do not assemble: {}. Letter and number each for its pin; they do not \
             change places.",
            classes.len(),
            list(&pieces.collect::<Vec<_>>())
        ),
        format!("{}{more}", told.collect::<Vec<_>>().join(" ")),
        format!("Make each {}.", within(set, classes[0]).replacen("alike", "true to its index", 1)),
    ]
}

fn letter(cluster: &OrderedCluster) -> &str {
    cluster.class.as_deref().unwrap_or_default()
}

/// `pin 2`, `pins 1 and 3`.
pub(super) fn pins(cluster: &OrderedCluster) -> String {
    let pins: Vec<String> = cluster.for_pins.iter().map(ToString::to_string).collect();
    format!("{} {}", if pins.len() == 1 { "pin" } else { "pins" }, list(&pins))
}

/// `Class B: a tooth of l 39 stands 3.1 deg clockwise of the marked tooth of d 31, seen from the input side.`
fn class_index(set: &Gearset, cluster: &OrderedCluster) -> String {
    let (first, others) = (&cluster.index[0], &cluster.index[1..]);
    let first = words::gear(set, first.gear);
    let class = letter(cluster);
    if others.iter().all(|index| index.turns.is_zero()) {
        return format!("Class {class}: cut a tooth of each gear on one line.");
    }
    let stands =
        |index: &OrderedIndex| format!("{} {}", words::gear(set, index.gear), degrees_with_sense(&index.turns));
    format!(
        "Class {class}: a tooth of {} from the marked one of {first}, seen from the input side.",
        list(&others.iter().map(stands).collect::<Vec<_>>())
    )
}

fn degrees_with_sense(turns: &Fraction) -> String {
    match turns {
        turns if turns.is_zero() => "in line".into(),
        turns if turns.is_positive() => format!("{} deg ccw", degrees(turns)),
        turns => format!("{} deg clockwise", degrees(&-turns)),
    }
}

/// How many of a cluster, with which index, and how nearly alike.
fn how_alike(set: &Gearset, cluster: &OrderedCluster) -> String {
    let name = member(set, cluster.planet);
    let of_source = match cluster.index_source {
        IndexSource::Measured => {
            let read = cluster
                .index
                .iter()
                .skip(1)
                .map(|index| format!("{} {}", words::gear(set, index.gear), degrees_with_sense(&index.turns)));
            let good = cluster.good_to.as_ref().map_or_else(String::new, |good_to| format!(", read to {good_to}"));
            let like = cluster.like.as_deref().unwrap_or_default();
            format!(
                "index as on cluster {:?}{good}: {} of the tooth of {}, seen from the input side",
                like,
                list(&read.collect::<Vec<_>>()),
                words::gear(set, cluster.index[0].gear)
            )
        }
        IndexSource::Refused | IndexSource::Needed | IndexSource::Class | IndexSource::Free => {
            "any index will do, if all are alike: cut a tooth of each gear on one line".to_owned()
        }
    };
    format!("Make {} of {name} {}; {of_source}.", cluster.pieces, within(set, cluster))
}

/// How nearly alike.
fn within(set: &Gearset, cluster: &OrderedCluster) -> String {
    match cluster.alike {
        Some(alike) => format!(
            "alike within {} at {} ({:.3} deg)",
            Units::of_gear(set, alike.gear).length(alike.arc_mm),
            words::gear(set, alike.gear),
            alike.degrees
        ),
        None => "alike within half of the least backlash, which is not told".to_owned(),
    }
}

/// What is not told of the backlash.
fn backlash(order: &TeethOrder, set: &Gearset) -> Option<String> {
    let such_as = match Units::of_set(set) {
        Units::Millimetres => "0.08..0.15",
        Units::Inches => "\"3..6 thou\"",
    };
    let limits_are_told = order.gears.iter().all(|gear| gear.thinning.most_mm.is_some());
    let none_is_told = order.meshes.iter().all(|mesh| mesh.backlash.least_mm.is_none_or(|least| least <= 0.0));
    if limits_are_told {
        None
    } else if none_is_told {
        Some(format!(
            "Beware: no backlash is told, so these are teeth without any, which bind. Say --backlash-limits {such_as}, as \
             your maker's book has it."
        ))
    } else {
        Some(format!(
            "Only the least backlash is told, so only the thickest tooth is: say the most as well, --backlash-limits \
             {such_as}, or agree the other limit with the cutter."
        ))
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
