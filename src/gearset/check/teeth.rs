//! Pressure angle and profile shifts: what the pictures of the teeth need beside the counts.

use std::collections::HashSet;

use num_traits::Signed;

use super::meshes::MeshContext;
use crate::exact::fraction;
use crate::gearset::{Problems, SizeRule};

/// Degrees between which every pressure angle lies.
const ANGLES: [i64; 2] = [10, 35];
/// Modules beyond which no gear is shifted.
const LARGEST_SHIFT: i64 = 2;

pub(super) fn check(bodies: &MeshContext<'_>, problems: &mut Problems) {
    if let Some(degrees) = &bodies.draft.pressure_angle {
        let [least, greatest] = ANGLES.map(|angle| fraction(angle, 1));
        if **degrees < least || **degrees > greatest {
            problems.add(degrees.mark(), SizeRule::AbsurdPressureAngle { degrees: (**degrees).clone() });
        }
    }
    let mut known = HashSet::new();
    for given in &bodies.draft.profile_shifts {
        let (gear, modules) = (given.gear.to_string(), (*given.modules).clone());
        if modules.abs() > fraction(LARGEST_SHIFT, 1) {
            problems.add(given.modules.mark(), SizeRule::AbsurdProfileShift { gear: gear.clone(), modules });
        }
        let Some(id) = bodies.names.gear(&given.gear, problems) else { continue };
        if !known.insert(id) {
            problems.add(given.gear.mark(), SizeRule::ProfileShiftTwice { gear });
        } else if bodies.gears[id.index()].as_ref().is_some_and(|gear| gear.kind().is_bevel()) {
            problems.add(given.gear.mark(), SizeRule::ProfileShiftOfBevel { gear });
        }
    }
}
