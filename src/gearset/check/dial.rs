//! Is a dial reading of backlash sound, and what does it come to?

use num_traits::Signed;

use crate::exact::fraction;
use crate::gearset::{
    Draft, DraftBacklash, DraftDial, DraftMesh, Length, Pitch, Problems, SizeRule, Spanned, backlash_from_dial,
};

/// Every rule that the dial reading of a mesh breaks.
pub(super) fn check_dial(draft: &Draft, mesh: &DraftMesh, dial: &DraftDial, problems: &mut Problems) {
    let scope = || super::scope_of(mesh);
    if !mesh.gears.contains(&dial.gear) {
        let rule = SizeRule::DialOnAnotherGear { gear: dial.gear.to_string(), scope: scope() };
        problems.add(dial.gear.mark(), rule);
    }
    if !dial.radius.value().is_positive() {
        problems.add(dial.radius.mark(), SizeRule::DialRadiusNotPositive { scope: scope() });
    }
    if dial.reading.value().is_negative() {
        problems.add(dial.reading.mark(), SizeRule::NegativeDialReading { scope: scope() });
    }
    if pitch(draft, mesh).is_none() {
        problems.add(dial.reading.mark(), SizeRule::DialWithoutPitch { scope: scope() });
    }
    let most = fraction(super::LARGEST_SIZE, 1);
    if let Some(size) = backlash(draft, mesh).map(|length| length.value().clone()).filter(|size| *size > most) {
        problems.add(dial.reading.mark(), SizeRule::AbsurdBacklash { scope: scope(), size });
    }
}

/// The backlash at the pitch circle that a dial reading comes to; `None` without one, or where it is not sound.
pub(super) fn backlash(draft: &Draft, mesh: &DraftMesh) -> Option<Length> {
    let DraftBacklash::Dial(DraftDial { gear, reading, radius }) = &**mesh.sizes.backlash.as_ref()? else {
        return None;
    };
    let of_members = draft.members.iter().flat_map(|member| &member.gears);
    let mut gears = of_members.chain(draft.planets.iter().flat_map(|planet| &planet.gears));
    let teeth = *gears.find(|other| other.name == *gear)?.tooth_count.get()?;
    let pitch = pitch(draft, mesh)?.get().filter(|pitch| pitch.value().is_positive())?;
    let radius = radius.get().filter(|radius| radius.value().is_positive())?;
    Some(backlash_from_dial(reading.get()?, radius, pitch, teeth))
}

fn pitch<'a>(draft: &'a Draft, mesh: &'a DraftMesh) -> Option<&'a Spanned<Pitch>> {
    mesh.sizes.pitch.as_ref().or(draft.pitch.as_ref())
}
