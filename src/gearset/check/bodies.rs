//! Members, planets and their gears: counts, carriers, pins, sizes.
//!
//! Every number of a draft is looked at here, except the speeds that a state gives. Limits
//! lie far beyond what is built: what is beyond them is a slip.

use std::collections::HashSet;

use super::dial::check_dial;
use super::names::{Names, gears_of};
use crate::exact::{Fraction, fraction, part_of_turn};
use crate::gearset::model::MemberId;
use crate::gearset::{
    BandSizes, ControlSize, Draft, DraftMesh, DraftPlanet, Efficiency, Length, Owner, Part, Pitch, PlanetRule,
    PlateSizes, Problems, Scope, SizeRule,
};
use num_traits::{Signed, Zero};

/// The largest number of pins that is taken for a carrier.
const MOST_PINS: i64 = 100;

/// Teeth larger or smaller than a factor of this from module 1, or play of more than as
/// many millimetres, are a slip of the unit.
pub(super) const LARGEST_SIZE: i64 = 1000;

pub(super) fn check_gears(draft: &Draft, problems: &mut Problems) {
    for listed in gears_of(draft) {
        let part = Part::ToothCount { owner: listed.owner, gear: listed.position };
        if let Some(rule) = SizeRule::of_tooth_count(&listed.gear.name, listed.gear.tooth_count) {
            problems.add(part, rule);
        }
    }
    for (index, planet) in draft.planets.iter().enumerate() {
        if planet.gears.is_empty() {
            let part = Part::OwnerName(Owner::Planet(index));
            problems.add(part, PlanetRule::PlanetWithoutGears { planet: planet.name.clone() });
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
            problems.add(part, PlanetRule::CarrierIsPlanet { planet, carrier });
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
        problems.add(part, PlanetRule::TooFewPins { planet, count });
        return None;
    }
    if count > MOST_PINS {
        problems.add(part, PlanetRule::TooManyPins { planet, count });
        return None;
    }
    let places: Vec<_> = body.pins.places().iter().map(part_of_turn).collect();
    let mut taken = HashSet::new();
    for (pin, place) in places.iter().enumerate() {
        if !taken.insert(place) {
            let (planet, place) = (planet.clone(), place.clone());
            problems.add(Part::PinPlace { planet: index, pin }, PlanetRule::PinsCoincide { planet, place });
        }
    }
    let all_apart = taken.len() == places.len();
    all_apart.then_some(places)
}

pub(super) fn check_sizes(draft: &Draft, problems: &mut Problems) {
    check_pitch(draft.pitch.as_ref(), Part::Pitch, || Scope::WholeSet, problems);
    check_backlash(draft.backlash.as_ref(), Part::Backlash, || Scope::WholeSet, problems);
    check_efficiency(draft.efficiency.as_ref(), Part::Efficiency, || Scope::WholeSet, problems);
    for (index, mesh @ DraftMesh { gears, pitch, backlash, efficiency, .. }) in draft.meshes.iter().enumerate() {
        let scope = || Scope::Mesh(gears.clone());
        check_pitch(pitch.as_ref(), Part::MeshPitch { mesh: index }, scope, problems);
        check_backlash(backlash.as_ref(), Part::MeshBacklash { mesh: index }, scope, problems);
        check_dial(draft, mesh, index, problems);
        check_efficiency(efficiency.as_ref(), Part::MeshEfficiency { mesh: index }, scope, problems);
    }
}

fn check_pitch(pitch: Option<&Pitch>, part: Part, scope: impl Fn() -> Scope, problems: &mut Problems) {
    let Some(pitch) = pitch else { return };
    let size = pitch.value();
    let is_absurd = *size > fraction(LARGEST_SIZE, 1) || *size < fraction(1, LARGEST_SIZE);
    if !size.is_positive() {
        problems.add(
            part,
            match pitch {
                Pitch::Module(_) => SizeRule::ModuleNotPositive { scope: scope() },
                Pitch::Diametral(_) => SizeRule::DiametralPitchNotPositive { scope: scope() },
            },
        );
    } else if is_absurd {
        let (scope, size) = (scope(), size.clone());
        problems.add(
            part,
            match pitch {
                Pitch::Module(_) => SizeRule::AbsurdModule { scope, size },
                Pitch::Diametral(_) => SizeRule::AbsurdDiametralPitch { scope, size },
            },
        );
    }
}

fn check_efficiency(efficiency: Option<&Fraction>, part: Part, scope: impl Fn() -> Scope, problems: &mut Problems) {
    let Some(size) = efficiency.filter(|size| Efficiency::new(size).is_none()) else { return };
    let (scope, size) = (scope(), size.clone());
    let within = size.is_positive() && size <= fraction(1, 1);
    problems.add(
        part,
        if within { SizeRule::AbsurdEfficiency { scope } } else { SizeRule::EfficiencyOutOfRange { scope, size } },
    );
}

/// The sizes of bands and clutches.
pub(super) fn check_controls(draft: &Draft, problems: &mut Problems) {
    for (index, control) in draft.controls.iter().enumerate() {
        let wrap = control.band_sizes().and_then(|sizes| sizes.wrap.as_ref());
        let of_band = control.band_sizes().map(BandSizes::numbers);
        let of_plates = control.plate_sizes().map(PlateSizes::numbers);
        for (size, value) in of_band.or(of_plates).unwrap_or_default() {
            let part = Part::ControlSize { control: index, size };
            let control = control.name.clone();
            if !value.is_positive() {
                problems.add(part, SizeRule::ControlSizeNotPositive { control, size });
            } else if *value > fraction(size.most(wrap), 1) {
                problems.add(part, SizeRule::AbsurdControlSize { control, size, value: value.clone() });
            } else if size == ControlSize::Faces && !value.is_integer() {
                problems.add(part, SizeRule::BrokenFaces { control, value: value.clone() });
            }
        }
        let radii =
            control.plate_sizes().and_then(|sizes| sizes.inner_radius.as_ref().zip(sizes.outer_radius.as_ref()));
        if radii.is_some_and(|(inner, outer)| inner.millimetres() >= outer.millimetres()) {
            let part = Part::ControlSize { control: index, size: ControlSize::InnerRadius };
            problems.add(part, SizeRule::InnerRadiusNotInside { control: control.name.clone() });
        }
    }
}

fn check_backlash(backlash: Option<&Length>, part: Part, scope: impl Fn() -> Scope, problems: &mut Problems) {
    let Some(size) = backlash.map(Length::value) else { return };
    if size < &Fraction::zero() {
        problems.add(part, SizeRule::NegativeBacklash { scope: scope() });
    } else if *size > fraction(LARGEST_SIZE, 1) {
        problems.add(part, SizeRule::AbsurdBacklash { scope: scope(), size: size.clone() });
    }
}
