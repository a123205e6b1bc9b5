//! Members, planets and their gears: counts, carriers, pins, sizes.

use std::collections::HashSet;

use super::Problems;
use super::names::{Names, gears_of};
use crate::exact::{Fraction, fraction, part_of_turn};
use crate::gearset::model::MemberId;
use crate::gearset::{Draft, DraftPlanet, Length, Part, Pitch, Rule};
use num_traits::{Signed, Zero};

/// The largest number of pins that is taken for a carrier.
const MOST_PINS: i64 = 100;

/// Teeth larger or smaller than a factor of this from module 1, or play of more than as
/// many millimetres, are a slip of the unit.
const LARGEST_SIZE: i64 = 1000;

pub(super) fn check_gears(draft: &Draft, problems: &mut Problems) {
    for listed in gears_of(draft) {
        let part = Part::ToothCount { owner: listed.owner, gear: listed.position };
        if let Some(rule) = Rule::of_tooth_count(&listed.gear.name, listed.gear.tooth_count) {
            problems.add(part, rule);
        }
    }
    for (index, planet) in draft.planets.iter().enumerate() {
        if planet.gears.is_empty() {
            let part = Part::OwnerName(crate::gearset::Owner::Planet(index));
            problems.add(part, Rule::PlanetWithoutGears { planet: planet.name.clone() });
        }
    }
}

/// The carrier of every planet, where it is known and on the main axis or the case.
pub(super) fn carriers(draft: &Draft, names: &Names<'_>, problems: &mut Problems) -> Vec<Option<MemberId>> {
    let carrier_of = |(planet, body): (usize, &DraftPlanet)| {
        let part = Part::Carrier { planet };
        let carrier = names.member(&body.carrier, part, problems)?;
        if carrier.index() > draft.members.len() {
            let (planet, carrier) = (body.name.clone(), body.carrier.clone());
            problems.add(part, Rule::CarrierIsPlanet { planet, carrier });
            return None;
        }
        Some(carrier)
    };
    draft.planets.iter().enumerate().map(carrier_of).collect()
}

/// The places of the pins of every planet, in [0, 1), where they are sound.
pub(super) fn pins(draft: &Draft, problems: &mut Problems) -> Vec<Option<Vec<Fraction>>> {
    draft.planets.iter().enumerate().map(|(index, planet)| places(index, planet, problems)).collect()
}

fn places(index: usize, body: &DraftPlanet, problems: &mut Problems) -> Option<Vec<Fraction>> {
    let planet = body.name.clone();
    let part = Part::Pins { planet: index };
    let count = body.pins.count();
    if count < 1 {
        problems.add(part, Rule::TooFewPins { planet, count });
        return None;
    }
    if count > MOST_PINS {
        problems.add(part, Rule::TooManyPins { planet, count });
        return None;
    }
    let places: Vec<_> = body.pins.places().iter().map(part_of_turn).collect();
    let mut taken = HashSet::new();
    for (pin, place) in places.iter().enumerate() {
        if !taken.insert(place) {
            let (planet, place) = (planet.clone(), place.to_string());
            problems.add(Part::PinPlace { planet: index, pin }, Rule::PinsCoincide { planet, place });
        }
    }
    let all_apart = taken.len() == places.len();
    all_apart.then_some(places)
}

pub(super) fn check_sizes(draft: &Draft, problems: &mut Problems) {
    check_pitch(draft.pitch.as_ref(), Part::Pitch, problems);
    check_backlash(draft.backlash.as_ref(), Part::Backlash, problems);
    for (index, mesh) in draft.meshes.iter().enumerate() {
        check_pitch(mesh.pitch.as_ref(), Part::MeshPitch { mesh: index }, problems);
        check_backlash(mesh.backlash.as_ref(), Part::MeshBacklash { mesh: index }, problems);
    }
}

fn check_pitch(pitch: Option<&Pitch>, part: Part, problems: &mut Problems) {
    let Some(pitch) = pitch else { return };
    let what = match pitch {
        Pitch::Module(_) => "module",
        Pitch::Diametral(_) => "diametral pitch",
    };
    let size = pitch.value();
    if !size.is_positive() {
        problems.add(part, Rule::NotPositive { what });
    } else if *size > fraction(LARGEST_SIZE, 1) || *size < fraction(1, LARGEST_SIZE) {
        problems.add(part, Rule::AbsurdSize { what, size: size.to_string() });
    }
}

fn check_backlash(backlash: Option<&Length>, part: Part, problems: &mut Problems) {
    let Some(size) = backlash.map(Length::value) else { return };
    if size < &Fraction::zero() {
        problems.add(part, Rule::NegativeBacklash);
    } else if *size > fraction(LARGEST_SIZE, 1) {
        problems.add(part, Rule::AbsurdSize { what: "backlash", size: size.to_string() });
    }
}
