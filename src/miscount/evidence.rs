//! What is known that depends on the counts, and which counts it agrees with.

use std::collections::BTreeSet;

use num_traits::{Signed, Zero};
use serde::Serialize;

use crate::clearance::{Gap, asked_distance, is_with_main_axis, known_gaps, mesh_module};
use crate::exact::{Fraction, to_float};
use crate::gearset::{
    CountedTurns, GearId, Gearset, MILLIMETRES_PER_INCH, MeasuredPins, MemberId, MeshId, PlanetGroup,
};
use crate::kinematics::turned_by_first;
use crate::timing::{group_assembles, missed_loops};

/// Something that is known and speaks for or against the counts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Evidence {
    /// What it is.
    pub kind: EvidenceKind,
    /// Of which parts, in words.
    pub text: String,
    /// Whether the counts as they are agree with it; none where it cannot be told, such as the room where the centre
    /// distance is not known.
    pub agrees: Option<bool>,
}

/// What speaks for or against counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum EvidenceKind {
    /// The meshes of a planet with spur gears of the main axis ask for one centre distance.
    #[serde(rename = "centre distances")]
    CenterDistances,
    /// A mesh asks for the circle that the pins were measured on, within half of what a tooth more or less makes.
    #[serde(rename = "pin circle")]
    PinCircle,
    /// The planets assemble on their pins.
    #[serde(rename = "assembly")]
    Assembly,
    /// Tips of gears that are not in mesh pass one another.
    #[serde(rename = "room")]
    Room,
    /// Turns that were counted by hand.
    #[serde(rename = "turns")]
    Turns,
}

impl EvidenceKind {
    /// Whether a profile shift would explain that it disagrees.
    pub fn is_a_length(self) -> bool {
        matches!(self, Self::CenterDistances | Self::PinCircle)
    }
}

/// One piece of evidence, to be asked with whatever counts are tried.
pub(super) struct Witness {
    pub(super) text: String,
    /// The gears whose counts it depends on.
    pub(super) gears: BTreeSet<GearId>,
    /// How much work it is to ask, in steps that take about as long as one another.
    pub(super) work: u64,
    fact: WitnessedFact,
}

enum WitnessedFact {
    /// These meshes have one centre distance.
    CenterDistances(Vec<MeshId>),
    /// This mesh has the distance that the radii say: each with how much it may be off, in any unit of length.
    PinCircle {
        mesh: MeshId,
        radius: f64,
        error: f64,
    },
    Assembly(PlanetGroup),
    Room(PlanetGroup),
    Turns(CountedTurns),
}

impl Witness {
    pub(super) fn kind(&self) -> EvidenceKind {
        match self.fact {
            WitnessedFact::CenterDistances(_) => EvidenceKind::CenterDistances,
            WitnessedFact::PinCircle { .. } => EvidenceKind::PinCircle,
            WitnessedFact::Assembly(_) => EvidenceKind::Assembly,
            WitnessedFact::Room(_) => EvidenceKind::Room,
            WitnessedFact::Turns(_) => EvidenceKind::Turns,
        }
    }

    /// Whether it agrees with the counts of this gearset; `None` where that cannot be told.
    pub(super) fn agrees(&self, set: &Gearset) -> Option<bool> {
        match &self.fact {
            WitnessedFact::CenterDistances(meshes) => have_one_distance(set, meshes),
            WitnessedFact::PinCircle { mesh, radius, error } => Some(is_on_circle(set, *mesh, *radius, *error)),
            // Loops run through the whole set and take longest, so they come last.
            WitnessedFact::Assembly(group) => {
                Some(group_assembles(set, group, &[]) && group_assembles(set, group, &missed_loops(set)))
            }
            WitnessedFact::Room(group) => {
                let gaps = known_gaps(set, group);
                (!gaps.is_empty()).then(|| !gaps.iter().any(Gap::is_foul))
            }
            WitnessedFact::Turns(turned) => {
                agree_turns(turned, turned_by_first(set, std::slice::from_ref(turned)).pop()?)
            }
        }
    }
}

/// All evidence on one gearset.
pub(super) struct Witnesses(pub(super) Vec<Witness>);

impl Witnesses {
    pub(super) fn new(set: &Gearset) -> Self {
        let mut found = Vec::new();
        for group in set.planet_groups() {
            found.extend(group.planets().iter().filter_map(|&planet| center_distances(set, group, planet)));
            found.extend(group.planets().iter().flat_map(|&planet| pin_circles(set, group, planet)));
            found.extend(of_group(set, group));
        }
        found.extend(set.turned().iter().map(|turned| turns(set, turned)));
        Self(found)
    }

    /// What each says of the counts as they are.
    pub(super) fn evidence(&self, set: &Gearset) -> Vec<Evidence> {
        // The train is eliminated once for all turns, and loops are looked for once for all groups.
        let mut ratios = turned_by_first(set, set.turned()).into_iter();
        let missed = missed_loops(set);
        let agrees = |witness: &Witness, ratios: &mut std::vec::IntoIter<Option<Fraction>>| match &witness.fact {
            WitnessedFact::Turns(turned) => agree_turns(turned, ratios.next().flatten()),
            WitnessedFact::Assembly(group) => Some(group_assembles(set, group, &missed)),
            WitnessedFact::CenterDistances(_) | WitnessedFact::PinCircle { .. } | WitnessedFact::Room(_) => {
                witness.agrees(set)
            }
        };
        self.0
            .iter()
            .map(|witness| Evidence {
                kind: witness.kind(),
                text: witness.text.clone(),
                agrees: agrees(witness, &mut ratios),
            })
            .collect()
    }
}

/// The meshes of a planet with spur gears of the main axis, where there are two or more.
fn center_distances(set: &Gearset, group: &PlanetGroup, planet: MemberId) -> Option<Witness> {
    let meshes: Vec<MeshId> =
        group.meshes().iter().copied().filter(|&mesh| is_with_main_axis(set, mesh, planet)).collect();
    (meshes.len() > 1).then(|| Witness {
        text: format!("centre distances of {}", set.member(planet).name()),
        gears: gears_of(set, &meshes),
        work: steps(meshes.len()),
        fact: WitnessedFact::CenterDistances(meshes),
    })
}

/// Each mesh of a planet with its pitch, where the radii of its pins were measured.
fn pin_circles(set: &Gearset, group: &PlanetGroup, planet: MemberId) -> Vec<Witness> {
    let measured = set.measured().iter().find(|measured| measured.planet == planet);
    let Some(MeasuredPins::Chords { radii, error, .. }) = measured.and_then(|measured| measured.pins.as_ref()) else {
        return Vec::new();
    };
    let pins = f64::from(u32::try_from(radii.len()).unwrap_or(u32::MAX));
    let radius = radii.iter().map(|radius| to_float(radius)).sum::<f64>() / pins;
    let with_pitch = |&mesh: &MeshId| is_with_main_axis(set, mesh, planet) && set.mesh(mesh).pitch().is_some();
    let witness = |mesh: MeshId| Witness {
        text: format!("measured pin circle and {}", set.mesh_name(mesh)),
        gears: gears_of(set, &[mesh]),
        work: steps(1),
        fact: WitnessedFact::PinCircle { mesh, radius, error: to_float(error) },
    };
    group.meshes().iter().copied().filter(with_pitch).map(witness).collect()
}

/// Assembly, and room, of planets on several pins.
fn of_group(set: &Gearset, group: &PlanetGroup) -> Vec<Witness> {
    let names: Vec<&str> = group.planets().iter().map(|&planet| set.member(planet).name()).collect();
    let (names, pins) = (names.join(" and "), group.places().len());
    let (gears, meshes) = (gears_of(set, group.meshes()), group.meshes().len());
    // Every two meshes are held against one another, and all meshes of the set are looked at for loops.
    let of_assembly = steps(meshes).saturating_mul(steps(meshes)).saturating_add(steps(set.meshes().len()));
    let of_room = steps(meshes).saturating_mul(steps(meshes)).saturating_mul(steps(pins));
    let assembly = Witness {
        text: format!("assembly of {names} on {pins} pins"),
        gears: gears.clone(),
        work: of_assembly.saturating_mul(steps(pins)),
        fact: WitnessedFact::Assembly(group.clone()),
    };
    let room =
        Witness { text: format!("room of {names}"), gears, work: of_room, fact: WitnessedFact::Room(group.clone()) };
    // A group on one pin may still have to close a loop with others, which an assembly of theirs tells.
    if pins > 1 { vec![assembly, room] } else { vec![room] }
}

fn turns(set: &Gearset, turned: &CountedTurns) -> Witness {
    Witness {
        text: set.turns_in_words(turned),
        gears: set.meshes().iter().flat_map(|mesh| mesh.gears().each()).collect(),
        work: steps(set.meshes().len()).saturating_mul(4),
        fact: WitnessedFact::Turns(turned.clone()),
    }
}

fn gears_of(set: &Gearset, meshes: &[MeshId]) -> BTreeSet<GearId> {
    meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect()
}

fn steps(count: usize) -> u64 {
    u64::try_from(count).unwrap_or(u64::MAX)
}

/// Whether all that can be compared with the first are as it; a mesh whose counts leave no distance agrees with nothing.
fn have_one_distance(set: &Gearset, meshes: &[MeshId]) -> Option<bool> {
    let distances: Option<Vec<_>> = meshes.iter().map(|&mesh| asked_distance(set, mesh)).collect();
    let Some(distances) = distances else { return Some(false) };
    let (first, others) = distances.split_first()?;
    let compared: Vec<bool> = others.iter().filter_map(|other| first.is_that_of(other)).collect();
    (!compared.is_empty()).then(|| compared.into_iter().all(|agrees| agrees))
}

/// A tooth more or less moves the centre distance by half a module, so it is the nearest number of teeth within a quarter.
fn is_on_circle(set: &Gearset, mesh: MeshId, radius: f64, error: f64) -> bool {
    let Some(distance) = asked_distance(set, mesh).and_then(|asked| asked.millimetres) else { return false };
    let quarter = mesh_module(set, mesh) / 4.0;
    // The unit of the radii is not described: it is the one that fits.
    [1.0, MILLIMETRES_PER_INCH].iter().any(|unit| (radius * unit - distance).abs() < quarter + error * unit)
}

/// Whether the turns of the first for one of the second lie in the interval that the counts leave; a member that was seen
/// to turn does not stand.
fn agree_turns(turned: &CountedTurns, second_for_first: Option<Fraction>) -> Option<bool> {
    let speed = second_for_first?;
    if speed.is_zero() {
        return Some(false);
    }
    let [least, most] = turned.ratios();
    let ratio = speed.recip().abs();
    Some(least <= ratio && ratio <= most)
}
