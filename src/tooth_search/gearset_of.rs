//! The gearset that values of the unknowns make.

use super::fitting::put_shifts;
use super::places::PinPlaces;
use super::plan::Unknowns;
use crate::exact::Fraction;
use crate::gearset::{DraftPins, Gearset, Pitch};
use crate::search::Variable;

/// The gearset with the tooth counts and pins of a combination: the values of the unknowns for teeth in the order of
/// the gears, then those for pins in the order of the groups, then those for modules in the order of the meshes. What
/// was measured or found on the parts as they are is left out, and so are the profile shifts of gears that change, but where
/// teeth are fitted: then they have those that were found.
/// `None` where the counts make no gearset, such as a ring no larger than its gear.
pub(super) fn gearset_of(set: &Gearset, unknowns: &Unknowns, values: &[i64]) -> Option<Gearset> {
    let set = with_counts(set, unknowns, values)?;
    let Some(fitting) = &unknowns.fitting else { return Some(set) };
    // What cannot be cut to fit is no result; asked for something else it is told as counted.
    let Some(shifts) = fitting.new_shifts(&set) else { return Some(set) };
    let mut draft = set.draft().clone();
    put_shifts(&set, &shifts, &mut draft);
    Gearset::new(draft).ok()
}

/// The same without a look at teeth.
pub(super) fn with_counts(set: &Gearset, unknowns: &Unknowns, values: &[i64]) -> Option<Gearset> {
    let mut values = values.iter().copied();
    let mut draft = set.draft().clone();
    let open = set.gear_ids().zip(&unknowns.teeth).filter(|(_, unknown)| unknown.is_some());
    draft.set_tooth_counts(open.map(|(gear, _)| gear).zip(values.by_ref()));
    if unknowns.moves_pins {
        draft.pin_circles.clear();
    }
    for (group, places) in set.planet_groups().iter().zip(&unknowns.places) {
        let PinPlaces::Equal(_) = places else { continue };
        let Some(pins) = values.next() else { continue };
        let names: Vec<&str> = group.planets().iter().map(|&planet| set.member(planet).name()).collect();
        for planet in draft.planets.iter_mut().filter(|planet| names.contains(&planet.name.as_str())) {
            planet.pins = DraftPins::Equal(pins).into();
        }
    }
    let modules: Vec<(Variable, Fraction)> = unknowns
        .modules
        .unknowns()
        .into_iter()
        .zip(values)
        .map(|(unknown, value)| (unknown, unknowns.modules.of_value(value)))
        .collect();
    for (mesh, drafted) in set.mesh_ids().zip(&mut draft.meshes) {
        let unknown = unknowns.modules.unknown(mesh);
        if let Some((_, module)) = modules.iter().find(|(other, _)| Some(*other) == unknown) {
            drafted.sizes.pitch = Some(Pitch::Module(module.clone()).into());
        }
    }
    Gearset::new(draft).ok()
}
