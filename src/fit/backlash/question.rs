//! What is asked about backlash, and what of it cannot be: pins, gears and sizes that there are not.

use super::answer::RunOut;
use super::refusal::BacklashRefusal;
use crate::exact::{Fraction, multiple, multiple_is_integer, part_of_turn};
use crate::gearset::{GearId, Gearset, MemberId, PlanetGroup};
use crate::statics::InputTorque;
use crate::timing::{PinError, PinErrors};

/// What is asked about the backlash of a gearset.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BacklashQuestion {
    /// The clearance of bushes on the diameter, in millimetres: of later ones where several hold for a pin.
    pub clearances: Vec<BushClearance>,
    /// Pins out of their places, in place of what was measured of them.
    pub pins: Vec<ToldPin>,
    /// Gears that run out.
    pub run_outs: Vec<RunOut>,
    /// The state that is asked about, by its place in [`Gearset::states`]; every one where none is.
    pub state: Option<usize>,
    /// How the pins share a load, if that is asked.
    pub sharing: Option<SharingQuestion>,
}

/// Which pin is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PinOf {
    /// The planet; the only one with several pins where none is named.
    pub planet: Option<MemberId>,
    /// The pin, counted from 1.
    pub pin: usize,
}

/// The clearance of a bush, or of all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BushClearance {
    /// The pin; every one where none is named.
    pub of: Option<PinOf>,
    /// On the diameter, in millimetres.
    pub mm: f64,
}

/// A pin out of its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToldPin {
    /// The pin.
    pub of: PinOf,
    /// How much further out than its circle it stands, in millimetres.
    pub outward_mm: f64,
    /// How far along its circle, in millimetres, counter-clockwise seen from the input side.
    pub ahead_mm: f64,
}

/// How stiff the pins are, and what they carry.
#[derive(Debug, Clone, PartialEq)]
pub struct SharingQuestion {
    /// Of one planet with its pin, in newtons per millimetre along the working circle of the pushing gear.
    pub stiffness: f64,
    /// What the pins carry together.
    pub load: SharedForce,
    /// The central gear that floats, if one does.
    pub floats: Option<GearId>,
}

/// What pins carry together.
#[derive(Debug, Clone, PartialEq)]
pub enum SharedForce {
    /// What follows from this torque on the input, state by state.
    Torque(InputTorque),
    /// This force of the pushing gear, in newtons at its working circle.
    Newtons(f64),
}

/// A question whose pins and sizes are those of a gearset.
pub(super) struct CheckedQuestion<'a> {
    pub(super) asked: &'a BacklashQuestion,
    /// Of each planet that something is told of.
    told: Vec<(MemberId, PinError)>,
    clearances: Vec<(Option<(MemberId, usize)>, f64)>,
}

/// Further out of its place, or looser, no pin is: the unit is another, or the pins are in another order.
const MOST_MM: f64 = 1.0;

impl<'a> CheckedQuestion<'a> {
    pub(super) fn new(set: &Gearset, asked: &'a BacklashQuestion) -> Result<Self, Vec<BacklashRefusal>> {
        let mut wrong = Vec::new();
        let mut found = Self { asked, told: Vec::new(), clearances: Vec::new() };
        for told in &asked.pins {
            match checked_pin(set, told) {
                Ok((planet, error)) if found.told.iter().any(|it| it.0 == planet && it.1.pin == error.pin) => {
                    wrong.push(BacklashRefusal::PinTwice { planet: name(set, planet), pin: error.pin });
                }
                Ok(pin) => found.told.push(pin),
                Err(reason) => wrong.push(reason),
            }
        }
        for clearance in &asked.clearances {
            match checked_clearance(set, clearance) {
                Ok(clearance) => found.clearances.push(clearance),
                Err(reason) => wrong.push(reason),
            }
        }
        wrong.extend(asked.run_outs.iter().filter_map(|run_out| check_run_out(set, run_out).err()));
        wrong.extend(asked.sharing.iter().filter_map(|sharing| check_sharing(set, sharing).err()));
        if wrong.is_empty() { Ok(found) } else { Err(wrong) }
    }

    /// What is told of the pins of a planet.
    pub(super) fn pins(&self, planet: MemberId, pin_count: usize) -> PinErrors {
        let of_planet = self.told.iter().filter(|(of, _)| *of == planet);
        let clearances = (1..=pin_count).map(|pin| self.clearance(planet, pin)).collect();
        PinErrors { pins: of_planet.map(|(_, error)| *error).collect(), bush_clearances_mm: clearances }
    }

    /// The clearance of the bush on a pin, in millimetres: the one that is told of it, or of all.
    pub(super) fn clearance(&self, planet: MemberId, pin: usize) -> f64 {
        let of = |of: &Option<(MemberId, usize)>| self.clearances.iter().rev().find(|it| it.0 == *of).map(|it| it.1);
        of(&Some((planet, pin))).or_else(|| of(&None)).unwrap_or(0.0)
    }

    /// How far the teeth of a gear stand out of the middle, in millimetres.
    pub(super) fn eccentricity(&self, gear: GearId) -> f64 {
        let run_outs = self.asked.run_outs.iter().filter(|run_out| run_out.gear == gear);
        run_outs.map(|run_out| run_out.mm / 2.0).sum()
    }
}

fn checked_pin(set: &Gearset, told: &ToldPin) -> Result<(MemberId, PinError), BacklashRefusal> {
    let (planet, pin) = pin_of(set, told.of)?;
    let worst = if told.outward_mm.abs() > told.ahead_mm.abs() { told.outward_mm } else { told.ahead_mm };
    // Not a number either.
    if !(told.outward_mm.abs() <= MOST_MM && told.ahead_mm.abs() <= MOST_MM) {
        return Err(BacklashRefusal::PinTooFar { planet: name(set, planet), pin, mm: worst.to_string() });
    }
    Ok((planet, PinError { pin, outward_mm: told.outward_mm, ahead_mm: told.ahead_mm }))
}

type CheckedClearance = (Option<(MemberId, usize)>, f64);

fn checked_clearance(set: &Gearset, clearance: &BushClearance) -> Result<CheckedClearance, BacklashRefusal> {
    if !(0.0..=MOST_MM).contains(&clearance.mm) {
        return Err(BacklashRefusal::Clearance { mm: clearance.mm.to_string() });
    }
    Ok((clearance.of.map(|of| pin_of(set, of)).transpose()?, clearance.mm))
}

/// The planet and the pin that are meant.
fn pin_of(set: &Gearset, of: PinOf) -> Result<(MemberId, usize), BacklashRefusal> {
    let planet = of.planet.or_else(|| only_planet(set)).ok_or_else(|| which_planet(set))?;
    let group = group_of(set, planet).ok_or_else(|| which_planet(set))?;
    let pins = group.places().len();
    if (1..=pins).contains(&of.pin) {
        Ok((planet, of.pin))
    } else {
        Err(BacklashRefusal::NoSuchPin { planet: name(set, planet), pin: of.pin, pins })
    }
}

/// The only planet there is, or the only one on several pins.
fn only_planet(set: &Gearset) -> Option<MemberId> {
    let planets = |most_pins: usize| -> Vec<MemberId> {
        let groups = set.planet_groups().iter().filter(|group| group.places().len() > most_pins);
        groups.flat_map(PlanetGroup::planets).copied().collect()
    };
    match (&planets(0)[..], &planets(1)[..]) {
        (&[only], _) | (_, &[only]) => Some(only),
        _ => None,
    }
}

fn which_planet(set: &Gearset) -> BacklashRefusal {
    let planets = set.planet_groups().iter().flat_map(PlanetGroup::planets);
    BacklashRefusal::WhichPlanet { planets: planets.map(|&planet| name(set, planet)).collect() }
}

fn check_run_out(set: &Gearset, run_out: &RunOut) -> Result<(), BacklashRefusal> {
    let gear = || set.gear(run_out.gear).name().to_owned();
    if !(0.0..=MOST_MM).contains(&run_out.mm) {
        return Err(BacklashRefusal::RunOut { gear: gear(), mm: run_out.mm.to_string() });
    }
    if is_in_mesh(set, run_out.gear) { Ok(()) } else { Err(BacklashRefusal::NotInMesh { gear: gear() }) }
}

fn check_sharing(set: &Gearset, sharing: &SharingQuestion) -> Result<(), BacklashRefusal> {
    const MOST_STIFFNESS: f64 = 1e7;
    const MOST_NEWTONS: f64 = 1e6;
    // Above zero, and a number.
    let is_within = |value: f64, most: f64| value > 0.0 && value <= most;
    if !is_within(sharing.stiffness, MOST_STIFFNESS) {
        return Err(BacklashRefusal::Stiffness { value: sharing.stiffness.to_string() });
    }
    if let SharedForce::Newtons(force) = sharing.load
        && !is_within(force, MOST_NEWTONS)
    {
        return Err(BacklashRefusal::Force { value: force.to_string() });
    }
    let Some(gear) = sharing.floats else { return Ok(()) };
    let is_central = set.carrier_of(set.gear(gear).member()).is_none() && is_in_mesh(set, gear);
    let gear_name = || set.gear(gear).name().to_owned();
    if !is_central {
        return Err(BacklashRefusal::CannotFloat { gear: gear_name() });
    }
    let among = set
        .planet_groups()
        .iter()
        .filter(|group| group.meshes().iter().any(|&mesh| set.mesh(mesh).gears().contains(&gear)));
    let not_told = among.into_iter().find(|group| !can_share_floating(group));
    let pins = not_told.map(|group| group.places().len());
    pins.map_or(Ok(()), |pins| Err(BacklashRefusal::FloatsAmong { gear: gear_name(), pins }))
}

/// Whether it is told how the pins share among which a gear floats: 2 to 4, one equal step after the other.
fn can_share_floating(group: &PlanetGroup) -> bool {
    let spacings = group.spacings();
    let count = i64::try_from(spacings.len()).unwrap_or(i64::MAX);
    let step = spacings.get(1).cloned().unwrap_or_default();
    let is_at = |(pin, place): (i64, &Fraction)| part_of_turn(&multiple(&step, pin)) == *place;
    (2..=4).contains(&count) && multiple_is_integer(&step, count) && (0..count).zip(&spacings).all(is_at)
}

fn is_in_mesh(set: &Gearset, gear: GearId) -> bool {
    set.meshes().iter().any(|mesh| mesh.gears().contains(&gear))
}

pub(super) fn group_of(set: &Gearset, planet: MemberId) -> Option<&PlanetGroup> {
    set.planet_groups().iter().find(|group| group.planets().contains(&planet))
}

fn name(set: &Gearset, member: MemberId) -> String {
    set.member(member).name().to_owned()
}
