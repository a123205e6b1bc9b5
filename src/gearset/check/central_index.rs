//! Readings of central gears: of such as are fixed to another in mesh with the clusters, one for each.

use num_traits::Signed;

use super::indexes::{Entry, MeasurementContext, half_tooth_or_more, rounded};
use crate::gearset::index::DraftReading;
use crate::gearset::{Gear, GearId, IndexReading, IndexRule, MemberId, Problems};

impl MeasurementContext<'_> {
    /// The readings of central gears that are sound.
    pub(super) fn central(&self, entry: &Entry<'_>, problems: &mut Problems) -> Vec<IndexReading> {
        let mut sound: Vec<IndexReading> = Vec::new();
        for DraftReading { gear: written, offset } in &entry.measured.central {
            let Some(gear) = self.names.gear(written, problems) else { continue };
            let (count, name, at) = (self.count(gear), written.to_string(), written.mark());
            let fixed = self.fixed_to(entry, gear);
            let radius = offset.radius_of_arc().filter(|radius| !radius.is_positive());
            let (at, rule) = if self.are_unsound() {
                continue;
            } else if fixed.len() < 2 {
                (at, IndexRule::CentralNotFixed { gear: name, planet: entry.measured.planet.to_string() })
            } else if fixed.first() == Some(&gear) {
                (at, IndexRule::CentralFirst { gear: name })
            } else if sound.iter().any(|other| other.gear == gear) {
                (at, IndexRule::CentralTwice { gear: name })
            } else if let Some(radius) = radius {
                (radius.mark(), IndexRule::CentralRadiusNotPositive { gear: name })
            } else if half_tooth_or_more(offset.teeth(count)) {
                let rule = IndexRule::CentralHalfTooth { gear: name, teeth: rounded(offset.teeth(count)) };
                (offset.value().mark(), rule)
            } else {
                sound.push(IndexReading { gear, offset: offset.clone() });
                continue;
            };
            problems.add(at, rule);
        }
        sound
    }

    /// The central gears that an entry has readings of.
    pub(super) fn central_read(&self, entry: &Entry<'_>) -> Vec<GearId> {
        let is_read = |name: &str| entry.measured.central.iter().any(|reading| reading.gear == name);
        let gears = self.gears.iter().enumerate();
        gears
            .filter(|(_, gear)| gear.as_ref().is_some_and(|gear| is_read(gear.name())))
            .map(|(at, _)| GearId(at))
            .collect()
    }

    /// Whether gears, meshes or joins have problems of their own, so that nothing can be said of what is fixed.
    fn are_unsound(&self) -> bool {
        self.gears.iter().any(Option::is_none)
            || self.meshes.iter().any(Option::is_none)
            || self.joins.iter().any(Option::is_none)
    }

    /// The central gears in mesh with the planet that are on one body with a gear, itself among them, in order.
    fn fixed_to(&self, entry: &Entry<'_>, gear: GearId) -> Vec<GearId> {
        let member = |gear: GearId| self.gears[gear.0].as_ref().map(Gear::member);
        let mut central: Vec<GearId> = Vec::new();
        for mesh in self.meshes.iter().flatten() {
            let [a, b] = mesh.gears().each();
            central.extend((member(a) == Some(entry.planet)).then_some(b));
            central.extend((member(b) == Some(entry.planet)).then_some(a));
        }
        central.sort();
        central.dedup();
        if !central.contains(&gear) {
            return Vec::new();
        }
        let body = self.body(member(gear));
        central.retain(|&other| member(other).is_some_and(|member| body.contains(&member)));
        central
    }

    /// Every member that is joined to one for good.
    fn body(&self, member: Option<MemberId>) -> Vec<MemberId> {
        let mut body: Vec<MemberId> = member.into_iter().collect();
        let mut done = 0;
        while done < body.len() {
            for join in self.joins.iter().flatten() {
                let other = if join.first == body[done] {
                    join.second
                } else if join.second == body[done] {
                    join.first
                } else {
                    continue;
                };
                if !body.contains(&other) {
                    body.push(other);
                }
            }
            done += 1;
        }
        body
    }
}
