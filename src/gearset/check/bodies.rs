//! Members, planets and their gears: counts, carriers, pins, sizes.
//!
//! Every number of a draft is looked at here, except the speeds that a state gives. Limits
//! lie far beyond what is built: what is beyond them is a slip.

use std::collections::HashSet;

use super::dial::check_dial;
use super::names::{Names, gears_of};
use super::{LARGEST_SIZE, scope_of};
use crate::exact::{Fraction, fraction, part_of_turn};
use crate::gearset::MemberId;
use crate::gearset::{
    BandSizes, ControlSize, Draft, DraftBacklash, DraftMesh, DraftPlanet, Efficiency, Length, Pitch, PlanetRule,
    PlateSizes, Problems, Scope, SizeRule, Spanned,
};
use crate::syntax::LeafOrigin;
use num_traits::{Signed, Zero};

/// The largest number of pins that is taken for a carrier.
pub const MOST_PINS: i64 = 100;

pub(super) fn check_gears(draft: &Draft, problems: &mut Problems) {
    for listed in gears_of(draft) {
        if let Some(rule) = SizeRule::of_tooth_count(&listed.gear.name, *listed.gear.tooth_count) {
            problems.add(listed.gear.tooth_count.mark(), rule);
        }
    }
    for planet in &draft.planets {
        if planet.gears.is_empty() {
            problems.add(planet.name.mark(), PlanetRule::PlanetWithoutGears { planet: planet.name.to_string() });
        }
    }
}

/// The carrier of every planet, where it is known and on the main axis or the case.
pub(super) fn carriers(draft: &Draft, names: &Names<'_>, problems: &mut Problems) -> Vec<Option<MemberId>> {
    let carrier_of = |body: &DraftPlanet| {
        let carrier = names.member(&body.carrier, problems)?;
        if carrier.index() > draft.members.len() {
            let (planet, carrier) = (body.name.to_string(), body.carrier.to_string());
            problems.add(body.carrier.mark(), PlanetRule::CarrierIsPlanet { planet, carrier });
            return None;
        }
        Some(carrier)
    };
    draft.planets.iter().map(carrier_of).collect()
}

/// The places of the pins of every planet, in [0, 1), where they are sound.
pub(super) fn pins(draft: &Draft, problems: &mut Problems) -> Vec<Option<Vec<Fraction>>> {
    draft.planets.iter().map(|planet| places(planet, problems)).collect()
}

fn places(body: &DraftPlanet, problems: &mut Problems) -> Option<Vec<Fraction>> {
    let planet = body.name.to_string();
    let count = body.pins.get()?.count();
    if count < 1 {
        problems.add(body.pins.mark(), PlanetRule::TooFewPins { planet, count });
        return None;
    }
    if count > MOST_PINS {
        problems.add(body.pins.mark(), PlanetRule::TooManyPins { planet, count });
        return None;
    }
    let mut places = Vec::new();
    let mut taken = HashSet::new();
    for (place, leaf) in body.pins.places(MOST_PINS) {
        let place = part_of_turn(&place);
        // Nothing can be said of pins of which one could not be read.
        if leaf.is_some_and(|leaf| leaf.get().is_none()) {
            return None;
        }
        if !taken.insert(place.clone()) {
            let (planet, place) = (planet.clone(), place.clone());
            problems.add(leaf.map_or(body.pins.mark(), Spanned::mark), PlanetRule::PinsCoincide { planet, place });
        }
        places.push(place);
    }
    (taken.len() == places.len()).then_some(places)
}

pub(super) fn check_sizes(draft: &Draft, problems: &mut Problems) {
    let whole_set = || Scope::WholeSet;
    check_pitch(draft.pitch.as_ref(), whole_set, problems);
    if let Some(backlash) = &draft.backlash {
        check_backlash(backlash, backlash.mark(), whole_set, problems);
    }
    check_efficiency(draft.efficiency.as_ref(), whole_set, problems);
    for mesh @ DraftMesh { sizes, .. } in &draft.meshes {
        let scope = || scope_of(mesh);
        check_pitch(sizes.pitch.as_ref(), scope, problems);
        match sizes.backlash.as_ref().map(|backlash| (&**backlash, backlash.mark())) {
            Some((DraftBacklash::AtPitchCircle(size), mark)) => check_backlash(size, mark, scope, problems),
            Some((DraftBacklash::Dial(dial), _)) => check_dial(draft, mesh, dial, problems),
            None => {}
        }
        check_efficiency(sizes.efficiency.as_ref(), scope, problems);
    }
}

fn check_pitch(pitch: Option<&Spanned<Pitch>>, scope: impl Fn() -> Scope, problems: &mut Problems) {
    let Some(pitch) = pitch else { return };
    let size = pitch.value();
    if !size.is_positive() {
        problems.add(
            pitch.mark(),
            match **pitch {
                Pitch::Module(_) => SizeRule::ModuleNotPositive { scope: scope() },
                Pitch::Diametral(_) => SizeRule::DiametralPitchNotPositive { scope: scope() },
            },
        );
    } else if !pitch.is_within_reason() {
        let (scope, size) = (scope(), size.clone());
        problems.add(
            pitch.mark(),
            match **pitch {
                Pitch::Module(_) => SizeRule::AbsurdModule { scope, size },
                Pitch::Diametral(_) => SizeRule::AbsurdDiametralPitch { scope, size },
            },
        );
    }
}

fn check_efficiency(efficiency: Option<&Spanned<Fraction>>, scope: impl Fn() -> Scope, problems: &mut Problems) {
    let Some(given) = efficiency.filter(|size| Efficiency::new(size).is_none()) else { return };
    let (scope, size) = (scope(), (**given).clone());
    let within = size.is_positive() && size <= fraction(1, 1);
    problems.add(
        given.mark(),
        if within { SizeRule::AbsurdEfficiency { scope } } else { SizeRule::EfficiencyOutOfRange { scope, size } },
    );
}

/// The sizes of bands and clutches.
pub(super) fn check_controls(draft: &Draft, problems: &mut Problems) {
    for control in &draft.controls {
        let wrap = control.band_sizes().and_then(|sizes| sizes.wrap.as_deref());
        let of_band = control.band_sizes().map(BandSizes::numbers);
        let of_plates = control.plate_sizes().map(PlateSizes::numbers);
        for (size, value, mark) in of_band.or(of_plates).unwrap_or_default() {
            let control = control.name.to_string();
            if !value.is_positive() {
                problems.add(mark, SizeRule::ControlSizeNotPositive { control, size });
            } else if *value > fraction(size.most(wrap), 1) {
                problems.add(mark, SizeRule::AbsurdControlSize { control, size, value: value.clone() });
            } else if size == ControlSize::Faces && !value.is_integer() {
                problems.add(mark, SizeRule::BrokenFaces { control, value: value.clone() });
            }
        }
        let radii =
            control.plate_sizes().and_then(|sizes| sizes.inner_radius.as_ref().zip(sizes.outer_radius.as_ref()));
        if let Some((inner, outer)) = radii
            && let (Some(inside), Some(outside)) = (inner.get(), outer.get())
            && inside.exact_millimetres() >= outside.exact_millimetres()
        {
            let control = control.name.to_string();
            problems.add(inner.mark(), SizeRule::InnerRadiusNotInside { control });
        }
    }
}

fn check_backlash(backlash: &Length, at: &LeafOrigin, scope: impl Fn() -> Scope, problems: &mut Problems) {
    let size = backlash.value();
    if size < &Fraction::zero() {
        problems.add(at, SizeRule::NegativeBacklash { scope: scope() });
    } else if *size > fraction(LARGEST_SIZE, 1) {
        problems.add(at, SizeRule::AbsurdBacklash { scope: scope(), size: size.clone() });
    }
}
