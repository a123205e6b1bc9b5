//! Measured clusters: of a planet, one for every pin, with readings that can be and agree.
//!
//! A reading that is wrong is a problem by itself; every other is still looked at.

use num_traits::{Signed, Zero};

use super::measured_pins as pins;
use super::names::Names;
use crate::exact::{Fraction, fraction};
use crate::gearset::index::{DraftCluster, DraftIndex, DraftMeasured, DraftReading, Offset};
use crate::gearset::nearest::nearest_name;
use crate::gearset::{
    Draft, Gear, GearId, IndexRule, Measured, MeasuredCluster, MemberId, Mesh, NameRule, Pair, Part, Problems, Reading,
    Thing,
};

/// What measured clusters are checked against.
pub(super) struct Known<'a> {
    pub(super) draft: &'a Draft,
    pub(super) names: &'a Names<'a>,
    pub(super) gears: &'a [Option<Gear>],
    pub(super) meshes: &'a [Option<Mesh>],
    /// The places of the pins of each planet, where they are sound.
    pub(super) pins: &'a [Option<Vec<Fraction>>],
    pub(super) joins: &'a [Option<Pair<MemberId>>],
}

/// One entry, with what its planet is.
pub(super) struct Entry<'a> {
    pub(super) number: usize,
    pub(super) measured: &'a DraftMeasured,
    pub(super) planet: MemberId,
    pins: i64,
    /// The gears of the planet, in the order of the description.
    gears: Vec<GearId>,
}

pub(super) fn measured(known: &Known<'_>, problems: &mut Problems) -> Vec<Option<Measured>> {
    let mut seen = Vec::new();
    let mut checked = Vec::new();
    for (number, measured) in known.draft.measured.iter().enumerate() {
        let part = Part::MeasuredPlanet { measured: number };
        let entry = known.entry(number, measured, problems);
        if let Some(entry) = &entry {
            if seen.contains(&entry.planet) {
                problems.add(part, IndexRule::MeasuredTwice { planet: measured.planet.clone() });
            }
            seen.push(entry.planet);
        }
        checked.push(entry.and_then(|entry| known.clusters(&entry, problems)));
    }
    checked
}

impl Known<'_> {
    fn entry<'d>(&self, number: usize, measured: &'d DraftMeasured, problems: &mut Problems) -> Option<Entry<'d>> {
        let part = Part::MeasuredPlanet { measured: number };
        let planet = self.names.member(&measured.planet, part, problems)?;
        let Some(index) = planet.index().checked_sub(1 + self.draft.members.len()) else {
            problems.add(part, IndexRule::MeasuredMember { name: measured.planet.clone() });
            return None;
        };
        let pins = self.draft.planets[index].pins.count();
        let alike = measured.clusters.is_empty() && (measured.pins.is_some() || !measured.central.is_empty());
        if i64::try_from(measured.clusters.len()).is_ok_and(|clusters| clusters < pins) && !alike {
            let (planet, clusters) = (measured.planet.clone(), measured.clusters.len());
            problems.add(part, IndexRule::ClusterCount { planet, clusters, pins });
        }
        let on_planet = |(id, gear): (usize, &Option<Gear>)| {
            gear.as_ref().is_some_and(|gear| gear.member() == planet).then_some(GearId(id))
        };
        if let (Some(written), Some(places)) = (&measured.pins, &self.pins[index]) {
            pins::check(number, written, (&measured.planet, places), problems);
        }
        let gears = self.gears.iter().enumerate().filter_map(on_planet).collect();
        Some(Entry { number, measured, planet, pins, gears })
    }

    fn clusters(&self, entry: &Entry<'_>, problems: &mut Problems) -> Option<Measured> {
        let clusters = &entry.measured.clusters;
        let central = self.central(entry, problems);
        check_names(entry, problems);
        let sound = self.check_uncertainty(entry, problems);
        let own: Vec<Option<Vec<(usize, Reading)>>> = clusters
            .iter()
            .enumerate()
            .map(|(cluster, written)| match &written.index {
                DraftIndex::Readings(readings) => Some(self.readings(entry, cluster, readings, problems)),
                DraftIndex::Like(_) => None,
            })
            .collect();
        if sound {
            for (cluster, readings) in own.iter().enumerate() {
                self.check_agreement(entry, cluster, readings.as_deref().unwrap_or_default(), problems);
            }
        }
        let resolved = |(cluster, written): (usize, &DraftCluster)| {
            let source = match &written.index {
                DraftIndex::Readings(_) => cluster,
                DraftIndex::Like(other) => like(entry, cluster, other, problems)?,
            };
            let readings = own[source].as_ref()?.iter().map(|(_, reading)| reading.clone()).collect();
            Some(MeasuredCluster { name: written.name.clone(), readings })
        };
        let mut checked: Vec<MeasuredCluster> = clusters.iter().enumerate().map(resolved).collect::<Option<_>>()?;
        if clusters.is_empty() {
            // Where no cluster is measured they are alike, and go by the numbers of their pins.
            let alike = |pin: i64| MeasuredCluster { name: pin.to_string(), readings: Vec::new() };
            checked = (1..=entry.pins).map(alike).collect();
        }
        let DraftMeasured { uncertainty, pins, .. } = entry.measured;
        let (uncertainty, pins) = (uncertainty.clone(), pins.clone());
        Some(Measured { planet: entry.planet, uncertainty, clusters: checked, central, pins })
    }

    pub(super) fn count(&self, gear: GearId) -> u16 {
        self.gears[gear.0].as_ref().map_or(1, |gear| gear.tooth_count().get())
    }

    fn name(&self, gear: GearId) -> String {
        self.gears[gear.0].as_ref().map(|gear| gear.name().to_owned()).unwrap_or_default()
    }

    /// The readings that are sound, each with its position.
    fn readings(
        &self,
        entry: &Entry<'_>,
        cluster: usize,
        readings: &[DraftReading],
        problems: &mut Problems,
    ) -> Vec<(usize, Reading)> {
        let mut sound = Vec::new();
        for (reading, DraftReading { gear: name, offset }) in readings.iter().enumerate() {
            let (measured, cluster_name) = (entry.number, entry.measured.clusters[cluster].name.clone());
            let part = Part::ReadingGear { measured, cluster, reading };
            let Some(gear) = self.names.gear(name, part, problems) else { continue };
            let of = |rule: fn(String, String) -> IndexRule| rule(cluster_name.clone(), name.clone());
            if self.gears[gear.0].is_none() {
                continue;
            }
            let problem = if !entry.gears.contains(&gear) {
                let (cluster, gear, planet) = (cluster_name.clone(), name.clone(), entry.measured.planet.clone());
                Some((part, IndexRule::ReadingOfForeignGear { cluster, gear, planet }))
            } else if entry.gears.first() == Some(&gear) {
                Some((part, of(|cluster, gear| IndexRule::ReadingOfFirstGear { cluster, gear })))
            } else if matches!(offset, Offset::Arc { radius, .. } if !radius.is_positive()) {
                let part = Part::ReadingRadius { measured, cluster, reading };
                Some((part, of(|cluster, gear| IndexRule::RadiusNotPositive { cluster, gear })))
            } else if half_tooth_or_more(offset.teeth(self.count(gear))) {
                let teeth = rounded(offset.teeth(self.count(gear)));
                let (cluster_name, gear) = (cluster_name.clone(), name.clone());
                let part = Part::ReadingOffset { measured, cluster, reading };
                Some((part, IndexRule::HalfTooth { cluster: cluster_name, gear, teeth }))
            } else {
                sound.push((reading, Reading { gear, offset: offset.clone() }));
                None
            };
            if let Some((part, rule)) = problem {
                problems.add(part, rule);
            }
        }
        sound
    }

    /// The radius of the pitch circle of a gear, in millimetres, by the pitch of its meshes.
    fn pitch_radius(&self, gear: GearId) -> Option<f64> {
        let has = |mesh: &&Mesh| mesh.gears().both().contains(&&gear);
        let pitch = self.meshes.iter().flatten().filter(has).find_map(|mesh| mesh.pitch())?;
        Some(pitch.module() * f64::from(self.count(gear)) / 2.0)
    }

    /// Whether the uncertainty can be what it says, at every gear.
    fn check_uncertainty(&self, entry: &Entry<'_>, problems: &mut Problems) -> bool {
        const MOST: f64 = 0.25;
        let Some(uncertainty) = &entry.measured.uncertainty else { return true };
        let part = Part::Uncertainty { measured: entry.number };
        let planet = entry.measured.planet.clone();
        if uncertainty.value() < &Fraction::zero() {
            problems.add(part, IndexRule::NegativeUncertainty { planet });
            return false;
        }
        for gear in entry.gears.iter().skip(1).copied().chain(self.central_read(entry)) {
            let in_mesh = self.meshes.iter().flatten().any(|mesh| mesh.gears().both().contains(&&gear));
            match uncertainty.teeth(self.count(gear), self.pitch_radius(gear)) {
                Some(teeth) if teeth < MOST => {}
                None if !in_mesh || self.meshes.iter().any(Option::is_none) => {}
                teeth => {
                    let gear = self.name(gear);
                    let rule = match teeth {
                        Some(_) => IndexRule::LargeUncertainty { planet, gear },
                        None => IndexRule::UncertaintyWithoutRadius { planet, gear },
                    };
                    problems.add(part, rule);
                    return false;
                }
            }
        }
        true
    }

    /// Readings of one gear are no further apart than both may be off.
    fn check_agreement(
        &self,
        entry: &Entry<'_>,
        cluster: usize,
        readings: &[(usize, Reading)],
        problems: &mut Problems,
    ) {
        for (number, (position, Reading { gear, offset })) in readings.iter().enumerate() {
            let count = self.count(*gear);
            let doubt = |offset: &Offset| {
                let radius = offset.radius().or_else(|| self.pitch_radius(*gear));
                entry.measured.uncertainty.as_ref().and_then(|it| it.teeth(count, radius)).unwrap_or(0.0)
            };
            let teeth = offset.teeth(count);
            let contradicts = |(_, other): &&(usize, Reading)| {
                let apart = (other.offset.teeth(count) - teeth).abs();
                other.gear == *gear && apart > doubt(&other.offset) + doubt(offset) + ROUNDING
            };
            let Some((_, other)) = readings[..number].iter().find(contradicts) else { continue };
            let part = Part::ReadingOffset { measured: entry.number, cluster, reading: *position };
            let (first, second) = (rounded(other.offset.teeth(count)), rounded(teeth));
            let cluster = entry.measured.clusters[cluster].name.clone();
            problems.add(part, IndexRule::Contradiction { cluster, gear: self.name(*gear), first, second });
        }
    }
}

/// What floats lose between readings that are the same in different units.
const ROUNDING: f64 = 1e-9;

pub(super) fn half_tooth_or_more(teeth: f64) -> bool {
    teeth.abs() >= 0.5 - ROUNDING
}

/// A number of teeth as it goes into a sentence: to thousandths.
pub(super) fn rounded(teeth: f64) -> Fraction {
    let exact = Fraction::from_float(teeth).unwrap_or_else(Fraction::zero);
    (exact * fraction(1000, 1)).round() / fraction(1000, 1)
}

fn check_names(entry: &Entry<'_>, problems: &mut Problems) {
    let thing = Thing::Cluster;
    let clusters = &entry.measured.clusters;
    for (cluster, DraftCluster { name, .. }) in clusters.iter().enumerate() {
        let part = Part::ClusterName { measured: entry.number, cluster };
        if name.trim().is_empty() {
            problems.add(part, NameRule::EmptyName { thing });
        } else if clusters[..cluster].iter().any(|other| other.name == *name) {
            problems.add(part, NameRule::NameTaken { thing, name: name.clone() });
        }
    }
}

/// The cluster whose readings a cluster has.
fn like(entry: &Entry<'_>, cluster: usize, other: &str, problems: &mut Problems) -> Option<usize> {
    let clusters = &entry.measured.clusters;
    let part = Part::LikeCluster { measured: entry.number, cluster };
    let Some(found) = clusters.iter().position(|it| it.name == other) else {
        let nearest = nearest_name(clusters.iter().map(|it| it.name.as_str()), other);
        problems.add(part, NameRule::Unknown { thing: Thing::Cluster, name: other.to_owned(), nearest });
        return None;
    };
    if matches!(clusters[found].index, DraftIndex::Like(_)) {
        let (cluster, other) = (clusters[cluster].name.clone(), other.to_owned());
        problems.add(part, IndexRule::LikeWithoutReadings { cluster, other });
        return None;
    }
    Some(found)
}
