//! Measured clusters: of a planet, one for every pin, with readings that can be and agree.
//!
//! A reading that is wrong is a problem by itself; every other is still looked at.

use num_traits::{Signed, Zero};

use super::measured_pins;
use super::names::{Names, unfit};
use crate::exact::{Fraction, fraction};
use crate::gearset::index::{DraftCluster, DraftIndex, DraftMeasured, DraftReading, Offset};
use crate::gearset::{
    Draft, Gear, GearId, IndexReading, IndexRule, Measured, MeasuredCluster, MemberId, Mesh, NameRule, Pair, PartKind,
    Problems, Spanned, nearest_name,
};

/// What measured clusters are checked against.
pub(super) struct MeasurementContext<'a> {
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
    pub(super) measured: &'a DraftMeasured,
    pub(super) planet: MemberId,
    /// How many pins there are, where they are sound.
    pins: Option<usize>,
    /// The gears of the planet, in the order of the description.
    gears: Vec<GearId>,
}

pub(super) fn measured(known: &MeasurementContext<'_>, problems: &mut Problems) -> Vec<Option<Measured>> {
    let mut seen = Vec::new();
    let mut checked = Vec::new();
    for measured in &known.draft.measured {
        let entry = known.entry(measured, problems);
        if let Some(entry) = &entry {
            if seen.contains(&entry.planet) {
                let rule = IndexRule::MeasuredTwice { planet: measured.planet.to_string() };
                problems.add(measured.planet.mark(), rule);
            }
            seen.push(entry.planet);
        }
        checked.push(entry.and_then(|entry| known.clusters(&entry, problems)));
    }
    checked
}

impl MeasurementContext<'_> {
    fn entry<'d>(&self, measured: &'d DraftMeasured, problems: &mut Problems) -> Option<Entry<'d>> {
        let planet = self.names.planet(&measured.planet, problems)?;
        let at = measured.planet.mark();
        let Some(index) = planet.index().checked_sub(1 + self.draft.members.len()) else {
            problems.add(at, IndexRule::MeasuredMember { name: measured.planet.to_string() });
            return None;
        };
        // Where the pins themselves are wrong, nothing is said of how many clusters go with them.
        let pins = self.pins[index].as_ref().map(Vec::len);
        let alike = measured.clusters.is_empty() && (measured.pins.is_some() || !measured.central.is_empty());
        let clusters = measured.clusters.len();
        if let Some(pins) = pins.filter(|&pins| clusters < pins && !alike) {
            let planet = measured.planet.to_string();
            problems.add(at, IndexRule::ClusterCount { planet, clusters, pins });
        }
        let on_planet = |(id, gear): (usize, &Option<Gear>)| {
            gear.as_ref().is_some_and(|gear| gear.member() == planet).then_some(GearId(id))
        };
        if let (Some(written), Some(places)) = (&measured.pins, &self.pins[index]) {
            measured_pins::check(written, (&measured.planet, places), problems);
        }
        let gears = self.gears.iter().enumerate().filter_map(on_planet).collect();
        Some(Entry { measured, planet, pins, gears })
    }

    fn clusters(&self, entry: &Entry<'_>, problems: &mut Problems) -> Option<Measured> {
        let clusters = &entry.measured.clusters;
        let central = self.central(entry, problems);
        check_names(entry, problems);
        let sound = self.check_uncertainty(entry, problems);
        let own: Vec<Option<Vec<(usize, IndexReading)>>> = clusters
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
            Some(MeasuredCluster { name: written.name.to_string(), readings })
        };
        let mut checked: Vec<MeasuredCluster> = clusters.iter().enumerate().map(resolved).collect::<Option<_>>()?;
        if clusters.is_empty() {
            // Where no cluster is measured they are alike, and go by the numbers of their pins.
            let alike = |pin: usize| MeasuredCluster { name: pin.to_string(), readings: Vec::new() };
            checked = (1..=entry.pins?).map(alike).collect();
        }
        let DraftMeasured { uncertainty, pins, .. } = entry.measured;
        let (uncertainty, pins) = (uncertainty.as_deref().cloned(), pins.clone());
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
    ) -> Vec<(usize, IndexReading)> {
        let mut sound = Vec::new();
        for (reading, DraftReading { gear: name, offset }) in readings.iter().enumerate() {
            let cluster_name = entry.measured.clusters[cluster].name.to_string();
            let Some(gear) = self.names.gear(name, problems) else { continue };
            let of = |rule: fn(String, String) -> IndexRule| rule(cluster_name.clone(), name.to_string());
            let is_read = offset.value().get().is_some() && offset.radius_of_arc().is_none_or(|it| it.get().is_some());
            if self.gears[gear.0].is_none() || !is_read {
                continue;
            }
            let radius = offset.radius_of_arc().filter(|radius| !radius.is_positive());
            let problem = if !entry.gears.contains(&gear) {
                let (cluster, gear, planet) = (cluster_name, name.to_string(), entry.measured.planet.to_string());
                Some((name.mark(), IndexRule::ReadingOfForeignGear { cluster, gear, planet }))
            } else if entry.gears.first() == Some(&gear) {
                Some((name.mark(), of(|cluster, gear| IndexRule::ReadingOfFirstGear { cluster, gear })))
            } else if let Some(radius) = radius {
                Some((radius.mark(), of(|cluster, gear| IndexRule::RadiusNotPositive { cluster, gear })))
            } else if half_tooth_or_more(offset.teeth(self.count(gear))) {
                let teeth = rounded(offset.teeth(self.count(gear)));
                let rule = IndexRule::HalfTooth { cluster: cluster_name, gear: name.to_string(), teeth };
                Some((offset.value().mark(), rule))
            } else {
                sound.push((reading, IndexReading { gear, offset: offset.clone() }));
                None
            };
            if let Some((at, rule)) = problem {
                problems.add(at, rule);
            }
        }
        sound
    }

    /// The radius of the pitch circle of a gear, in millimetres, by the pitch of its meshes.
    fn pitch_radius(&self, gear: GearId) -> Option<f64> {
        let has = |mesh: &&Mesh| mesh.gears().contains(&gear);
        let pitch = self.meshes.iter().flatten().filter(has).find_map(|mesh| mesh.pitch())?;
        Some(pitch.module() * f64::from(self.count(gear)) / 2.0)
    }

    /// Whether the uncertainty can be what it says, at every gear.
    fn check_uncertainty(&self, entry: &Entry<'_>, problems: &mut Problems) -> bool {
        const MOST: f64 = 0.25;
        let Some(uncertainty) = &entry.measured.uncertainty else { return true };
        if uncertainty.get().is_none() {
            return false;
        }
        let at = uncertainty.mark();
        let planet = entry.measured.planet.to_string();
        if uncertainty.value() < &Fraction::zero() {
            problems.add(at, IndexRule::NegativeUncertainty { planet });
            return false;
        }
        for gear in entry.gears.iter().skip(1).copied().chain(self.central_read(entry)) {
            let in_mesh = self.meshes.iter().flatten().any(|mesh| mesh.gears().contains(&gear));
            match uncertainty.teeth(self.count(gear), self.pitch_radius(gear)) {
                Some(teeth) if teeth < MOST => {}
                None if !in_mesh || self.meshes.iter().any(Option::is_none) => {}
                teeth => {
                    let gear = self.name(gear);
                    let rule = match teeth {
                        Some(_) => IndexRule::LargeUncertainty { planet, gear },
                        None => IndexRule::UncertaintyWithoutRadius { planet, gear },
                    };
                    problems.add(at, rule);
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
        readings: &[(usize, IndexReading)],
        problems: &mut Problems,
    ) {
        for (number, (_, IndexReading { gear, offset })) in readings.iter().enumerate() {
            let count = self.count(*gear);
            let doubt = |offset: &Offset| {
                let radius = offset.radius().or_else(|| self.pitch_radius(*gear));
                entry.measured.uncertainty.as_ref().and_then(|it| it.teeth(count, radius)).unwrap_or(0.0)
            };
            let teeth = offset.teeth(count);
            let contradicts = |(_, other): &&(usize, IndexReading)| {
                let apart = (other.offset.teeth(count) - teeth).abs();
                other.gear == *gear && apart > doubt(&other.offset) + doubt(offset) + ROUNDING
            };
            let Some((_, other)) = readings[..number].iter().find(contradicts) else { continue };
            let (first, second) = (rounded(other.offset.teeth(count)), rounded(teeth));
            let cluster = entry.measured.clusters[cluster].name.to_string();
            problems.add(
                offset.value().mark(),
                IndexRule::Contradiction { cluster, gear: self.name(*gear), first, second },
            );
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
    let thing = PartKind::Cluster;
    let clusters = &entry.measured.clusters;
    for (cluster, DraftCluster { name, .. }) in clusters.iter().enumerate() {
        if let Some(rule) = unfit(name, thing) {
            problems.add(name.mark(), rule);
        }
        if clusters[..cluster].iter().any(|other| other.name == *name) {
            problems.add(name.mark(), NameRule::NameTaken { thing, name: name.to_string() });
        }
    }
}

/// The cluster whose readings a cluster has.
fn like(entry: &Entry<'_>, cluster: usize, other: &Spanned<String>, problems: &mut Problems) -> Option<usize> {
    let clusters = &entry.measured.clusters;
    let Some(found) = clusters.iter().position(|it| it.name == *other) else {
        let nearest = nearest_name(clusters.iter().map(|it| it.name.as_str()), other);
        let rule = NameRule::Unknown { thing: PartKind::Cluster, name: other.to_string(), nearest };
        problems.add(other.mark(), rule);
        return None;
    };
    if matches!(clusters[found].index, DraftIndex::Like(_)) {
        let rule =
            IndexRule::LikeWithoutReadings { cluster: clusters[cluster].name.to_string(), other: other.to_string() };
        problems.add(other.mark(), rule);
        return None;
    }
    Some(found)
}
