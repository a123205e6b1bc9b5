//! The answer to "do these clusters belong together, and how are they best put in?".
//!
//! First in which order the clusters go in and whether the set turns freely then, which cluster is the odd one, how each
//! is set and who carries first; in full what was found, every residual, and whether another order or another seating
//! would do better. Records have a row for each mesh on each pin, for the clusters as
//! found and, where that does better, exchanged.

pub(in crate::report) mod contacts;
mod cures;
mod fixed;
mod screen;
mod seated;
pub(in crate::report) mod sizes;

use self::cures::{cautions, cures};
use self::seated::{Way, seated};
use self::sizes::{arc, no_minus_zero, part_of_tooth, signed};
use crate::gearset::Gearset;
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Fact, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, gear, key, list, mesh, quoted};
use crate::timing::{
    ClusterDifference, FixedIndex, GroupMatching, Matching, NeededBacklash, PinDeviation, PinRadii, PlayVerdict,
    Residual, Seated, SeatedPin, Weighing,
};

impl Answer for Matching {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let tables =
            Block::group_by_group(&self.groups, |group| heading(set, group), |group| screen::tables(set, group));
        [Block::Statements(screen::statements(set, self))].into_iter().chain(tables).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let mut blocks = Block::group_by_group(&self.groups, |group| heading(set, group), |group| rests_on(set, group));
        blocks.extend(cautions(self));
        blocks
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("what was found, what every mesh is off, other orders")
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "planet",
            "order",
            "pin",
            "place",
            "cluster",
            "turn_degrees",
            "mesh_first",
            "mesh_second",
            "residual_teeth",
            "residual_mm",
            "uncertainty_teeth",
            "half_backlash_mm",
            "verdict",
        ];
        Records { fields, rows: self.groups.iter().flat_map(|group| records_of(set, group)).collect() }
    }

    fn outcome(&self) -> Outcome {
        (!self.binds()).into()
    }
}

fn records_of(set: &Gearset, group: &GroupMatching) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for (order, seated) in [("as found", &group.as_found), ("exchanged", &group.exchanged)] {
        for pin in seated.iter().flat_map(|seated| &seated.pins) {
            let start = [csv_name(set.member(group.planet).name()), order.to_owned()];
            rows.extend(pin.residuals.iter().map(|residual| [&start[..], &record(set, pin, residual)].concat()));
        }
    }
    rows
}

fn record(set: &Gearset, pin: &SeatedPin, residual: &Residual) -> Vec<String> {
    let [first, second] = set.mesh(residual.mesh).gears().each().map(|gear| csv_name(set.gear(gear).name()));
    let size = |size: Option<f64>| size.map(|size| format!("{size:.6}")).unwrap_or_default();
    vec![
        pin.pin.to_string(),
        pin.place.to_string(),
        csv_name(&pin.cluster),
        format!("{:.6}", pin.turn_degrees),
        first,
        second,
        format!("{:.6}", residual.teeth),
        size(residual.mm),
        format!("{:.6}", residual.uncertainty_teeth),
        size(residual.half_backlash_mm),
        residual.verdict.as_ref().map(key).unwrap_or_default(),
    ]
}

/// What a set of clusters is headed with.
fn heading(set: &Gearset, group: &GroupMatching) -> String {
    words::group(set, &[group.planet], group.carrier, group.pin_count)
}

/// Whether the set matches, and what is known of its parts.
fn findings(set: &Gearset, group: &GroupMatching) -> Vec<Block> {
    let mut facts = vec![Fact::new(&format!("{}s", thing(set, group)), alike(set, group))];
    facts.extend(spares(group));
    facts.extend(pins_off(&group.pins_off));
    facts.extend(radii(group));
    facts.extend(fixed::fixed(set, group));
    match &group.as_found {
        None => facts.push(Fact::new("set matches", no_seating(set, group))),
        Some(as_found) => {
            facts.push(Fact::new("set matches", matches(set, as_found)));
            facts.push(Fact::new("turns freely", freely(set, group, as_found)));
        }
    }
    vec![Block::Facts(facts)]
}

/// What was found, then how the clusters are put in and what that leaves.
fn rests_on(set: &Gearset, group: &GroupMatching) -> Vec<Block> {
    findings(set, group).into_iter().chain(settings(set, group)).collect()
}

/// How the clusters are put in, and whether another order or seating does better.
fn settings(set: &Gearset, group: &GroupMatching) -> Vec<Block> {
    let way = if group.reseated { Way::Reseated } else { Way::Listed };
    let as_found = group.as_found.iter().flat_map(|as_found| seated(set, group, as_found, way));
    as_found.chain(cures(set, group)).collect()
}

/// What goes on the pins: a planet of one gear is no cluster.
fn thing(set: &Gearset, group: &GroupMatching) -> &'static str {
    if set.member(group.planet).gears().len() == 1 { "planet" } else { "cluster" }
}

/// Which clusters are alike, and what the others differ in.
fn alike(set: &Gearset, group: &GroupMatching) -> String {
    let alike: Vec<String> =
        group.differences.iter().filter(|it| !it.told_apart).map(|it| quoted(&it.cluster)).collect();
    let first = match alike.len() {
        1 if group.clusters.len() == 1 => format!("{} is alone on its carrier", list(&alike)),
        1 => format!("measured against {}, which is most like the others", list(&alike)),
        2 => format!("{} are a pair", list(&alike)),
        _ => format!("{} are alike", list(&alike)),
    };
    let others = group.differences.iter().filter(|it| it.told_apart).map(|it| off_by(set, it));
    std::iter::once(first).chain(others).collect::<Vec<_>>().join("; ")
}

fn off_by(set: &Gearset, difference: &ClusterDifference) -> String {
    /// Less than that is nothing that a reading could tell.
    const NOTHING: f64 = 1e-9;
    let mut gears = Vec::new();
    for (id, teeth) in difference.teeth.iter().filter(|(_, teeth)| teeth.abs() > NOTHING) {
        let arc = difference.mm.get(id).map(|mm| format!(", {},", arc(mm.abs()))).unwrap_or_default();
        gears.push(format!("{} of a tooth{arc} at {}", signed(*teeth), gear(set, *id)));
    }
    format!("{} is off by {}", quoted(&difference.cluster), list(&gears))
}

/// Which clusters are left over.
fn spares(group: &GroupMatching) -> Option<Fact> {
    let names: Vec<String> = group.spares.iter().map(|name| quoted(name)).collect();
    (!names.is_empty()).then(|| Fact::new("spare clusters", format!("{}, tried on every pin as well", list(&names))))
}

/// Where the pins were found.
fn pins_off(pins: &[PinDeviation]) -> Option<Fact> {
    let pin = |(found, number): (&PinDeviation, usize)| {
        let degrees = no_minus_zero(format!("{:+.3}", found.degrees));
        format!("pin {number} {degrees}, give or take {:.3}", found.uncertainty_degrees)
    };
    let told = pins.iter().zip(1..).skip(1).map(pin).collect::<Vec<_>>().join("; ");
    (!pins.is_empty()).then(|| {
        Fact::new(
            "pins",
            format!(
                "as measured, in degrees from where they should be against pin 1 (+: ccw seen from the input side): {told}"
            ),
        )
    })
}

/// How far out the pins stand.
fn radii(group: &GroupMatching) -> Option<Fact> {
    let circle = group.pin_circle_mm.map(|circle| format!("{circle:.3} mm")).unwrap_or_default();
    let told = match group.pin_radii {
        PinRadii::NotMeasured => return None,
        PinRadii::NoPitch => "not compared with the pin circle, which is not known without a pitch".to_owned(),
        PinRadii::Unlike => format!(
            "NOT COMPARED: some are more than 1 mm from the pin circle of {circle}, in millimetres and in inches; look at \
             the pitch and the order of the pins"
        ),
        PinRadii::Compared => {
            let pins: Vec<String> =
                group.pins_off.iter().zip(1..).filter_map(|(pin, number)| outward(pin, number)).collect();
            format!(
                "as measured, in mm from the pin circle of {circle} (+: further out), which changes the backlash: {}",
                pins.join("; ")
            )
        }
    };
    Some(Fact::new("pin radii", told))
}

fn outward(pin: &PinDeviation, number: usize) -> Option<String> {
    let (outward, uncertainty) = (pin.outward_mm?, pin.outward_uncertainty_mm?);
    let outward = no_minus_zero(format!("{outward:+.3}"));
    Some(format!("pin {number} {outward}, give or take {uncertainty:.3}"))
}

fn no_seating(set: &Gearset, group: &GroupMatching) -> String {
    if group.all_looked_at {
        let thing = thing(set, group);
        format!("NO: however the {thing}s are turned, some mesh is a quarter of a tooth off or more")
    } else {
        "NO seating was found in which no mesh is a quarter of a tooth off or more".to_owned()
    }
}

/// What the set needs, and where.
fn matches(set: &Gearset, seated: &Seated) -> String {
    let size = needed(&seated.needs);
    format!("within {size}: so much backlash it needs at {}, and no mesh needs more", mesh(set, seated.needs.mesh))
}

/// The backlash that a set needs, an arc if every pitch is given.
fn needed(needs: &NeededBacklash) -> String {
    needs.mm.map_or_else(|| part_of_tooth(needs.teeth), arc)
}

fn freely(set: &Gearset, group: &GroupMatching, seated: &Seated) -> String {
    let share = share(seated);
    match (group.weighing, seated.verdict) {
        (Weighing::Backlash, Some(PlayVerdict::Within)) => {
            format!("yes: the set takes {share} of the backlash where it takes most")
        }
        (Weighing::Backlash, Some(PlayVerdict::Beyond)) => {
            let tight: Vec<String> = seated.tight_meshes.iter().map(|&id| mesh(set, id)).collect();
            format!("NO: the set takes {share} of the backlash: expect a tight spot at {}", list(&tight))
        }
        (Weighing::Backlash, _) if group.has_fixed_gears(FixedIndex::Unknown) => format!(
            "cannot be told: against one another the {}s take {share} of the backlash, and how they stand against the \
             fixed gears is not known",
            thing(set, group)
        ),
        (Weighing::Backlash, _) => {
            format!("cannot be told: the set takes {share} of the backlash, depending on how far the readings are off")
        }
        (Weighing::Millimetres, _) => "depends on the backlash: add it to the description to have it checked".into(),
        (Weighing::Teeth, _) => "depends on pitch and backlash: add them to the description to have it checked".into(),
    }
}

/// The part of the backlash that is taken, and between which bounds if readings are uncertain.
fn share(seated: &Seated) -> String {
    let [level, least, most] = [seated.level, seated.least, seated.most].map(|level| format!("{:.0} %", level * 100.0));
    if most == least { level } else { format!("{level} (between {least} and {most})") }
}
