//! What of the planets of a group is worth a second look.

use super::{CenterDistance, InspectedGroup, Remark, RemarkKind, RemarkedPart, with_counts};
use crate::clearance::{AskedDistance, Faces, Gap, asked_distances, known_gaps, leaves_no_distance};
use crate::gearset::{GearId, Gearset, MemberId, PlanetGroup};
use crate::timing::{Loop, PinRadii, group_assembles, pin_radii, planets_are_kept};

/// What there is to see of a group of a gearset whose loops that miss are known.
pub(super) fn inspected(set: &Gearset, group: &PlanetGroup, missed: &[Loop]) -> InspectedGroup {
    let gaps = known_gaps(set, group);
    let distances = group.planets().iter().flat_map(|&planet| {
        asked_distances(set, planet).into_iter().map(move |AskedDistance { mesh, modules, millimetres }| {
            CenterDistance { planet, mesh, modules, millimetres }
        })
    });
    InspectedGroup {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        pins: group.places().len(),
        assembles: group_assembles(set, group, missed),
        is_kept: planets_are_kept(set, group),
        least_room: gaps
            .into_iter()
            .filter(|gap| gap.faces == Faces::Meet)
            .min_by(|a, b| a.modules.total_cmp(&b.modules)),
        center_distances: distances.collect(),
    }
}

/// Everything worth a second look in a group.
pub(super) fn of_group(set: &Gearset, group: &InspectedGroup) -> Vec<Remark> {
    let mut remarks: Vec<Remark> = (!group.assembles).then(|| does_not_assemble(set, group)).into_iter().collect();
    remarks.extend((!group.is_kept).then(|| loose_planets(set, group)));
    remarks.extend(group.least_room.filter(Gap::is_foul).map(|gap| overlapping_tips(set, &gap)));
    for &planet in &group.planets {
        remarks.extend(no_center_distance(set, planet));
        remarks.extend(unequal_center_distance(set, planet));
        remarks.extend(another_pin_circle(set, planet));
    }
    remarks
}

fn does_not_assemble(set: &Gearset, group: &InspectedGroup) -> Remark {
    let pins = if group.pins == 1 { "1 pin".to_owned() } else { format!("{} pins", group.pins) };
    let does = if group.planets.len() == 1 { "does" } else { "do" };
    Remark {
        kind: RemarkKind::DoesNotAssemble,
        text: format!(
            "{} on {pins} {does} not assemble as described: timing says by how much, and what would",
            names(set, group)
        ),
        parts: members(group),
    }
}

fn names(set: &Gearset, group: &InspectedGroup) -> String {
    group.planets.iter().map(|&planet| quoted(set, planet)).collect::<Vec<_>>().join(" and ")
}

fn members(group: &InspectedGroup) -> Vec<RemarkedPart> {
    group.planets.iter().copied().map(RemarkedPart::Member).collect()
}

fn overlapping_tips(set: &Gearset, gap: &Gap) -> Remark {
    let [first, second] = gap.gears.each();
    let pair = |gear: GearId| set.gear(gear).with_count();
    let which = if first == second {
        format!("{} and its neighbour on the next pin", pair(first))
    } else {
        format!("{} and {}", pair(first), pair(second))
    };
    let by =
        gap.millimetres.map_or_else(|| format!("{:.2} modules", -gap.modules), |length| format!("{:.2} mm", -length));
    Remark {
        kind: RemarkKind::OverlappingTips,
        text: format!("tips of {which} overlap by {by}: with full teeth this cannot be built"),
        parts: [first, second].into_iter().take(if first == second { 1 } else { 2 }).map(RemarkedPart::Gear).collect(),
    }
}

fn no_center_distance(set: &Gearset, planet: MemberId) -> Option<Remark> {
    let mesh = set.mesh_ids().find(|&mesh| leaves_no_distance(set, mesh, planet))?;
    Some(Remark {
        kind: RemarkKind::NoCenterDistance,
        text: format!(
            "the counts and profile shifts of {} leave no mesh at any centre distance",
            with_counts(set, mesh)
        ),
        parts: vec![RemarkedPart::Member(planet), RemarkedPart::Mesh(mesh)],
    })
}

/// The first pair of meshes of this planet with spur gears of the main axis whose distances differ.
fn unequal_center_distance(set: &Gearset, planet: MemberId) -> Option<Remark> {
    let distances = asked_distances(set, planet);
    let (first, others) = distances.split_first()?;
    let second = others.iter().find(|other| first.is_that_of(other) == Some(false))?;
    let distance = |asked: &AskedDistance| format!("{} for {}", length(asked), with_counts(set, asked.mesh));
    Some(Remark {
        kind: RemarkKind::UnequalCenterDistance,
        text: format!(
            "{} stands at two distances from the centre: {}, {}. With {}profile shift both can be right; without, a \
             count is off",
            quoted(set, planet),
            distance(first),
            distance(second),
            if set.draft().profile_shifts.is_empty() { "" } else { "other " },
        ),
        parts: vec![RemarkedPart::Member(planet), RemarkedPart::Mesh(first.mesh), RemarkedPart::Mesh(second.mesh)],
    })
}

fn another_pin_circle(set: &Gearset, planet: MemberId) -> Option<Remark> {
    let measured = set.measured().iter().find(|measured| measured.planet == planet)?;
    let asked = asked_distances(set, planet);
    (pin_radii(set, measured) == Some(PinRadii::Unlike)).then(|| Remark {
        kind: RemarkKind::AnotherPinCircle,
        text: format!(
            "the pins of {} were measured on another circle than its meshes ask for ({}): measure again, or look at the \
             module and the counts",
            quoted(set, planet),
            asked.first().map(length).unwrap_or_default()
        ),
        parts: vec![RemarkedPart::Member(planet)],
    })
}

fn loose_planets(set: &Gearset, group: &InspectedGroup) -> Remark {
    let them = if group.planets.len() == 1 { "its pin" } else { "their pins" };
    Remark {
        kind: RemarkKind::LoosePlanets,
        text: format!("no mesh keeps {} from turning on {them}: has one been left out?", names(set, group)),
        parts: members(group),
    }
}

/// A distance as it is known.
fn length(asked: &AskedDistance) -> String {
    let (value, unit) = asked.millimetres.map_or((asked.modules, "modules"), |length| (length, "mm"));
    let digits = format!("{value:.3}");
    format!("{} {unit}", digits.trim_end_matches('0').trim_end_matches('.'))
}

fn quoted(set: &Gearset, planet: MemberId) -> String {
    format!("\"{}\"", set.member(planet).name())
}
