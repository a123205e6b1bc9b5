//! Pressure angle, profile shifts, teeth and pin circles: what gears need beside their counts to be drawn and to be cut.

use std::collections::HashSet;
use std::ops::RangeInclusive;

use num_traits::Signed;

use super::meshes::MeshContext;
use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::{
    DraftPinCircle, DraftTeeth, Gear, GearId, GearKind, Length, MemberId, Mesh, Pitch, Problems, SizeRule, Spanned,
    ToothCutter, ToothRule, ToothSize,
};
use crate::syntax::LeafOrigin;

/// Degrees between which every pressure angle lies.
const ANGLES: [i64; 2] = [10, 35];
/// Modules beyond which no gear is shifted.
const LARGEST_SHIFT: i64 = 2;
/// Millimetres beyond which a thinning is a slip of the unit, and a diameter.
const LARGEST_THINNING: i64 = 10;
const LARGEST_DIAMETER: i64 = 10_000;
/// Modules by which tips and centre distances may lie beside those of teeth without shift.
const FARTHEST: i64 = 4;
/// Digits of a number in a message.
const DIGITS: u32 = 6;

pub(super) fn check(bodies: &MeshContext<'_>, problems: &mut Problems) {
    if let Some(degrees) = &bodies.draft.pressure_angle {
        let [least, greatest] = ANGLES.map(|angle| fraction(angle, 1));
        if **degrees < least || **degrees > greatest {
            problems.add(degrees.mark(), SizeRule::AbsurdPressureAngle { degrees: (**degrees).clone() });
        }
    }
    let mut shifted = HashSet::new();
    for given in &bodies.draft.profile_shifts {
        let gear = given.gear.to_string();
        check_shift(&gear, &given.modules, problems);
        let Some(id) = bodies.names.gear(&given.gear, problems) else { continue };
        if !shifted.insert(id) {
            problems.add(given.gear.mark(), SizeRule::ProfileShiftTwice { gear });
        } else if bodies.gears[id.index()].as_ref().is_some_and(|gear| gear.kind().is_bevel()) {
            problems.add(given.gear.mark(), SizeRule::ProfileShiftOfBevel { gear });
        }
    }
    let mut told = HashSet::new();
    for teeth in &bodies.draft.teeth {
        check_sizes(teeth, problems);
        let Some(id) = bodies.names.gear(&teeth.gear, problems) else { continue };
        let gear = teeth.gear.to_string();
        if !told.insert(id) {
            problems.add(teeth.gear.mark(), ToothRule::TeethTwice { gear });
            continue;
        }
        if let Some(shift) = teeth.shift.as_ref().filter(|_| shifted.contains(&id)) {
            problems.add(shift.mark(), ToothRule::ShiftInBoth { gear });
        }
        if let Some(known) = &bodies.gears[id.index()] {
            check_kind(teeth, known, problems);
        }
    }
}

fn check_shift(gear: &str, modules: &Spanned<Fraction>, problems: &mut Problems) {
    if modules.abs() > fraction(LARGEST_SHIFT, 1) {
        let modules_given = (**modules).clone();
        problems.add(modules.mark(), SizeRule::AbsurdProfileShift { gear: gear.to_owned(), modules: modules_given });
    }
}

/// Every size that is out of all proportion whatever the gear.
fn check_sizes(teeth: &DraftTeeth, problems: &mut Problems) {
    let mut within = |at: &LeafOrigin, size: ToothSize, value: &Fraction, range: RangeInclusive<Fraction>| {
        if !range.contains(value) {
            let value = decimal(value, DIGITS);
            problems.add(at, ToothRule::AbsurdSize { gear: teeth.gear.to_string(), size, value });
        }
    };
    if let Some(depth) = &teeth.depth {
        within(depth.mark(), ToothSize::Addendum, depth.addendum(), fraction(3, 10)..=fraction(8, 5));
        within(depth.mark(), ToothSize::Dedendum, &depth.dedendum(), fraction(0, 1)..=fraction(2, 1));
    }
    if let Some(thinned) = &teeth.thinned {
        let most = fraction(LARGEST_THINNING, 1);
        within(thinned.mark(), ToothSize::Thinning, &thinned.exact_millimetres(), fraction(0, 1)..=most);
    }
    for (size, length) in [(ToothSize::TipDiameter, &teeth.tip), (ToothSize::Bore, &teeth.bore)] {
        let Some(length) = length else { continue };
        let least = fraction(1, LARGEST_DIAMETER);
        within(length.mark(), size, &length.exact_millimetres(), least..=fraction(LARGEST_DIAMETER, 1));
    }
    if let Some((cutter, ToothCutter::Shaper { tooth_count, shift })) = teeth.cut_by.as_ref().map(|it| (it, &**it)) {
        let teeth = fraction(*tooth_count, 1);
        within(cutter.mark(), ToothSize::CutterTeeth, &teeth, fraction(6, 1)..=fraction(300, 1));
        within(cutter.mark(), ToothSize::CutterShift, shift, fraction(-1, 1)..=fraction(1, 1));
    }
    if let Some(depth) = teeth.depth.as_ref().filter(|depth| depth.dedendum() < *depth.addendum()) {
        problems.add(depth.mark(), ToothRule::ShallowRoot { gear: teeth.gear.to_string() });
    }
    if let Some(shift) = &teeth.shift {
        check_shift(&teeth.gear, shift, problems);
    }
}

/// Whether a gear of this kind can have such teeth.
fn check_kind(teeth: &DraftTeeth, known: &Gear, problems: &mut Problems) {
    let gear = teeth.gear.to_string();
    if known.kind().is_bevel() {
        problems.add(teeth.gear.mark(), ToothRule::TeethOfBevel { gear });
        return;
    }
    let Some(cutter) = teeth.cut_by.as_ref().filter(|_| known.kind() == GearKind::Internal) else { return };
    match **cutter {
        ToothCutter::Rack => problems.add(cutter.mark(), ToothRule::RingCutByRack { gear }),
        ToothCutter::Shaper { tooth_count: count, .. } if count >= known.tooth_count().get().into() => {
            let teeth = known.tooth_count().get();
            problems.add(cutter.mark(), ToothRule::CutterTooLarge { gear, count, teeth });
        }
        ToothCutter::Shaper { .. } => {}
    }
}

/// Lengths that have to go with the teeth that mesh: tips, thinning, pin circles.
pub(super) fn check_lengths(bodies: &MeshContext<'_>, meshes: &[Option<Mesh>], problems: &mut Problems) {
    for teeth in &bodies.draft.teeth {
        let found = bodies.draft.gear_named(&teeth.gear).and_then(|id| Some((id, bodies.gears[id.index()].as_ref()?)));
        if let Some((id, gear)) = found.filter(|(_, gear)| !gear.kind().is_bevel()) {
            check_lengths_of(teeth, gear, &modules(id, meshes), problems);
        }
    }
    let mut known = HashSet::new();
    for circle in &bodies.draft.pin_circles {
        let Some(planet) = bodies.names.planet(&circle.planet, problems) else { continue };
        if planet.index() <= bodies.draft.members.len() {
            let member = circle.planet.to_string();
            problems.add(circle.planet.mark(), ToothRule::PinCircleOfCentral { member });
            continue;
        }
        if !known.insert(planet) {
            let planet = circle.planet.to_string();
            problems.add(circle.planet.mark(), ToothRule::PinCircleTwice { planet });
            continue;
        }
        check_pin_circle(circle, planet, bodies, meshes, problems);
    }
}

/// The modules of the meshes of a gear; of one without a pitch none.
fn modules(gear: GearId, meshes: &[Option<Mesh>]) -> Vec<Option<Fraction>> {
    let own = meshes.iter().flatten().filter(|mesh| mesh.gears.contains(&gear));
    // A pitch that is wrong itself is told by its own rule.
    let own = own.filter(|mesh| mesh.pitch.as_ref().is_none_or(Pitch::is_within_reason));
    own.map(|mesh| mesh.pitch.as_ref().map(Pitch::exact_module)).collect()
}

fn check_lengths_of(teeth: &DraftTeeth, gear: &Gear, modules: &[Option<Fraction>], problems: &mut Problems) {
    let name = || teeth.gear.to_string();
    let length = teeth.tip.as_ref().or(teeth.thinned.as_ref());
    let Some(length) = length else { return };
    let module = match modules.first() {
        Some(Some(module)) => module,
        Some(None) => {
            problems.add(length.mark(), ToothRule::LengthWithoutPitch { gear: name() });
            return;
        }
        None => return,
    };
    let Some(tip) = teeth.tip.as_ref().filter(|tip| tip.value().is_positive()) else { return };
    let outward = if gear.kind() == GearKind::Internal { -1 } else { 1 };
    let addendum = teeth.depth.as_deref().map_or_else(|| fraction(1, 1), |depth| depth.addendum().clone());
    let count = gear.tooth_count().get();
    let usual = (fraction(count.into(), 1) + addendum * fraction(2 * outward, 1)) * module;
    if (tip.exact_millimetres() - &usual).abs() > module * fraction(FARTHEST, 1) {
        let (tip_told, usual) = (in_words(tip), in_words(&Length::Millimetres(usual)));
        problems.add(tip.mark(), ToothRule::TipUnlikeTeeth { gear: name(), tip: tip_told, teeth: count, usual });
    }
}

fn check_pin_circle(
    circle: &DraftPinCircle,
    planet: MemberId,
    bodies: &MeshContext<'_>,
    meshes: &[Option<Mesh>],
    problems: &mut Problems,
) {
    let name = circle.planet.to_string();
    if !circle.radius.value().is_positive() {
        problems.add(circle.radius.mark(), ToothRule::PinCircleNotPositive { planet: name });
        return;
    }
    let asked = central_meshes(planet, bodies, meshes);
    if asked.iter().any(|(gears, _)| gears[0].kind().is_bevel()) {
        problems.add(circle.planet.mark(), ToothRule::PinCircleOfBevel { planet: name });
        return;
    }
    if asked.iter().any(|(_, pitch)| pitch.is_none()) {
        problems.add(circle.radius.mark(), ToothRule::PinCircleWithoutPitch { planet: name });
        return;
    }
    let radius = circle.radius.exact_millimetres();
    let nominal = |(gears, pitch): &([&Gear; 2], Option<&Pitch>)| {
        let module = pitch.filter(|pitch| pitch.is_within_reason()).map(Pitch::exact_module)?;
        let teeth = gears[0].signed_tooth_count() + gears[1].signed_tooth_count();
        Some((&module * fraction(teeth.abs(), 2), module))
    };
    let distances: Vec<(Fraction, Fraction)> = asked.iter().filter_map(nominal).collect();
    let is_unlike =
        |(distance, module): &(Fraction, Fraction)| (distance - &radius).abs() > module * fraction(FARTHEST, 1);
    if let Some((distance, _)) = distances.first().filter(|_| distances.iter().all(is_unlike)) {
        let (radius, asked) = (in_words(&circle.radius), in_words(&Length::Millimetres(distance.clone())));
        problems.add(circle.radius.mark(), ToothRule::PinCircleUnlikeMeshes { planet: name, radius, asked });
    }
}

/// The meshes of a planet with gears that turn on the main axis, each with its pitch.
fn central_meshes<'a>(
    planet: MemberId,
    bodies: &'a MeshContext<'_>,
    meshes: &'a [Option<Mesh>],
) -> Vec<([&'a Gear; 2], Option<&'a Pitch>)> {
    let is_central = |gear: &Gear| gear.member().index() <= bodies.draft.members.len();
    let of_planet = |mesh: &'a Mesh| {
        let [a, b] = mesh.gears.each().map(|gear| bodies.gears[gear.index()].as_ref());
        let gears = [a?, b?];
        let is_its = gears.iter().any(|gear| gear.member() == planet) && gears.iter().any(|gear| is_central(gear));
        is_its.then_some((gears, mesh.pitch.as_ref()))
    };
    meshes.iter().flatten().filter_map(of_planet).collect()
}

/// A length with its unit.
fn in_words(length: &Length) -> String {
    match length {
        Length::Millimetres(size) => format!("{} mm", decimal(size, DIGITS)),
        Length::Inches(size) => format!("{} in", decimal(size, DIGITS)),
    }
}
