//! How much backlash has every mesh now, which pin binds, which carries first, and by how much later the others?
//!
//! Backlash is that of the teeth as they fit at their centre distance ([`mesh_backlash`](crate::tooth::mesh_backlash)),
//! or as it is described; pins out of their places, bushes with clearance and gears that run out change the distance.
//! Who carries first is worked out as for measured clusters ([`carrying_order`](crate::timing::carrying_order)). Rigid
//! bodies throughout; shares of the load are told only where a stiffness is given. Fit, not strength.

mod answer;
mod carrying;
mod meshes;
mod question;
mod refusal;

pub use answer::{
    BacklashOfMesh, BacklashOnPin, BacklashSizes, BacklashSurvey, BacklashUntold, BacklashVerdict, CarryingContact,
    ContactsUntold, GroupBacklash, LoadCase, PinShare, PinStand, RunOut, SharedByPins,
};
pub use question::{BacklashQuestion, BushClearance, PinOf, SharedForce, SharingQuestion, ToldPin};
pub use refusal::BacklashRefusal;

use crate::gearset::{Gearset, PlanetGroup};
use carrying::CarryingPins;
use meshes::PinnedMeshes;
use question::CheckedQuestion;

/// The backlash of every mesh, and which pins carry first.
///
/// # Errors
/// Everything about the question that is not of this gearset, or out of all proportion; where no backlash can be told
/// of any planets, why.
///
/// # Examples
/// ```
/// use toothmark::description;
/// use toothmark::fit::{BacklashQuestion, BacklashVerdict, PinOf, ToldPin, backlash};
/// let text = description::example("peat-railway-tractor").unwrap();
/// let set = description::read(text).unwrap();
/// let of = PinOf { planet: None, pin: 2 };
/// let inward = ToldPin { of, outward_mm: -0.3, ahead_mm: 0.0 };
/// let question = BacklashQuestion { pins: vec![inward], ..BacklashQuestion::default() };
/// let group = &backlash(&set, &question).unwrap().groups[0];
/// assert_eq!(group.meshes[0].verdict, Some(BacklashVerdict::Binds));
/// assert_eq!(group.meshes[0].now_on_pin, 2);
/// ```
pub fn backlash(set: &Gearset, question: &BacklashQuestion) -> Result<BacklashSurvey, Vec<BacklashRefusal>> {
    let checked = CheckedQuestion::new(set, question)?;
    let groups: Vec<GroupBacklash> = set.planet_groups().iter().map(|group| of_group(set, group, &checked)).collect();
    if groups.iter().all(|group| group.untold.is_some()) {
        let lacks_pitch = groups.iter().any(|group| group.untold == Some(BacklashUntold::NoPitch));
        return Err(vec![if lacks_pitch { BacklashRefusal::NoPitch } else { BacklashRefusal::NoMesh }]);
    }
    let binds = |group: &GroupBacklash| group.pins.iter().any(|pin| pin.verdict == Some(BacklashVerdict::Binds));
    Ok(BacklashSurvey {
        gearset: set.title().to_owned(),
        binds: groups.iter().any(binds),
        groups,
        run_outs: question.run_outs.clone(),
    })
}

fn of_group(set: &Gearset, group: &PlanetGroup, question: &CheckedQuestion<'_>) -> GroupBacklash {
    let mut told = GroupBacklash {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        pin_count: group.places().len(),
        untold: why_untold(set, group),
        meshes: Vec::new(),
        pins: Vec::new(),
        contacts: Vec::new(),
        has_measured_clusters: has_measured_clusters(set, group),
        contacts_untold: None,
        worst_contact: None,
    };
    if told.untold.is_some() {
        return told;
    }
    let pinned = PinnedMeshes::new(set, group, question);
    let Some((pinned, Ok(meshes))) = pinned.map(|pinned| {
        let meshes = pinned.backlashes();
        (pinned, meshes)
    }) else {
        told.untold = Some(BacklashUntold::NotPlaced);
        return told;
    };
    told.pins = pinned.pins(&meshes);
    told.meshes = meshes;
    match (CarryingPins { set, group, question, meshes: &pinned.meshes }).contacts() {
        Ok(contacts) => told.contacts = contacts,
        Err(reason) => told.contacts_untold = Some(reason),
    }
    told.worst_contact = worst(&told.contacts);
    told
}

fn has_measured_clusters(set: &Gearset, group: &PlanetGroup) -> bool {
    let own = set.measured().iter().filter(|measured| group.planets().contains(&measured.planet));
    own.flat_map(|measured| &measured.clusters).any(|cluster| !cluster.readings.is_empty())
}

fn why_untold(set: &Gearset, group: &PlanetGroup) -> Option<BacklashUntold> {
    if group.planets().iter().any(|&planet| set.is_bevel(planet)) {
        return Some(BacklashUntold::Bevel);
    }
    let has_pitch = group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some());
    if group.meshes().is_empty() {
        Some(BacklashUntold::NotPlaced)
    } else {
        (!has_pitch).then_some(BacklashUntold::NoPitch)
    }
}

/// The contact in which the last pin comes latest, of those that some state loads; of all where none is known to.
fn worst(contacts: &[CarryingContact]) -> Option<usize> {
    /// Less than half a micrometre is nothing.
    const NOTHING: f64 = 5e-4;
    let is_loaded = |contact: &CarryingContact| !contact.load_cases.is_empty();
    let some_are = contacts.iter().any(is_loaded);
    let latest = |contact: &CarryingContact| contact.contact.pins.last().and_then(|pin| pin.mm_left).unwrap_or(0.0);
    let asked = contacts.iter().enumerate().filter(|(_, contact)| is_loaded(contact) || !some_are);
    let late = asked.map(|(at, contact)| (at, latest(contact))).filter(|(_, latest)| *latest >= NOTHING);
    late.fold(None, |worst: Option<(usize, f64)>, it| worst.filter(|worst| worst.1 >= it.1).or(Some(it))).map(|it| it.0)
}
