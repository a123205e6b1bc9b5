//! Is a dial reading of backlash sound, and what does it come to?

use num_traits::Signed;

use crate::exact::fraction;
use crate::gearset::{
    DialEntry, Draft, DraftDial, DraftMesh, Length, Part, Pitch, Problems, Scope, SizeRule, backlash_from_dial,
};

/// Every rule that the dial reading of a mesh breaks, the mesh counted from 0.
pub(super) fn check_dial(draft: &Draft, mesh: &DraftMesh, number: usize, problems: &mut Problems) {
    let Some(dial) = &mesh.dial else { return };
    let at = |entry| Part::Dial { mesh: number, entry };
    let scope = || Scope::Mesh(mesh.gears.clone());
    if !mesh.gears.both().contains(&&dial.gear) {
        problems.add(at(DialEntry::Gear), SizeRule::DialOnAnotherGear { gear: dial.gear.clone(), scope: scope() });
    }
    if !dial.radius.value().is_positive() {
        problems.add(at(DialEntry::Radius), SizeRule::DialRadiusNotPositive { scope: scope() });
    }
    if dial.reading.value().is_negative() {
        problems.add(at(DialEntry::Reading), SizeRule::NegativeDialReading { scope: scope() });
    }
    if pitch(draft, mesh).is_none() {
        problems.add(at(DialEntry::Reading), SizeRule::DialWithoutPitch { scope: scope() });
    }
    let most = fraction(super::bodies::LARGEST_SIZE, 1);
    if let Some(size) = backlash(draft, mesh).map(|length| length.value().clone()).filter(|size| *size > most) {
        problems.add(at(DialEntry::Reading), SizeRule::AbsurdBacklash { scope: scope(), size });
    }
}

/// The backlash at the pitch circle that a dial reading comes to; `None` without one, or where it is not sound.
pub(super) fn backlash(draft: &Draft, mesh: &DraftMesh) -> Option<Length> {
    let DraftDial { gear, reading, radius } = mesh.dial.as_ref()?;
    let of_members = draft.members.iter().flat_map(|member| &member.gears);
    let mut gears = of_members.chain(draft.planets.iter().flat_map(|planet| &planet.gears));
    let teeth = gears.find(|other| other.name == *gear)?.tooth_count;
    let pitch = pitch(draft, mesh).filter(|pitch| pitch.value().is_positive())?;
    radius.value().is_positive().then(|| backlash_from_dial(reading, radius, pitch, teeth))
}

fn pitch<'a>(draft: &'a Draft, mesh: &'a DraftMesh) -> Option<&'a Pitch> {
    mesh.pitch.as_ref().or(draft.pitch.as_ref())
}
