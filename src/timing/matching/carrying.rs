//! Which pin carries first where pins stand out of their places, as measured or as told by hand, and bushes have
//! clearance?
//!
//! The same rows and seatings as those of [`matching`](super::matching()). Clusters that were not measured are taken to
//! be alike.

use super::MatchRefusal;
use super::answer::{FirstContact, PinDeviation, PinRadii};
use super::matcher::Matcher;
use super::pin_errors::PinErrors;
use super::radii::MeasuredRadii;
use super::settled::SettledSet;
use crate::gearset::{Gearset, Measured, MeasuredCluster, MemberId, TimingRow};
use crate::timing::in_place::meshes_in_place;

/// Which pins carry first, for each two central bodies that the clusters carry torque between.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CarryingOrder {
    /// Where the pins stand against the description; empty where none is measured or told.
    pub pins_off: Vec<PinDeviation>,
    /// Whether radii of the pins are compared with their circle.
    pub pin_radii: PinRadii,
    /// Who carries first, in the best seating of the clusters as found; none where equal ones do not assemble.
    pub first_contacts: Option<Vec<FirstContact>>,
}

/// Which pins of a planet carry first, the pins as measured where nothing else is told of them.
///
/// # Errors
/// Why such planets are not matched; see [`MatchRefusal`].
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{PinError, PinErrors, carrying_order}};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let cluster = set.member_named("cluster").unwrap();
/// let outward = PinError { pin: 2, outward_mm: 0.1, ahead_mm: 0.0 };
/// let told = PinErrors { pins: vec![outward], ..PinErrors::default() };
/// let order = carrying_order(&set, cluster, &told).unwrap();
/// let last = order.first_contacts.unwrap()[0].pins[2];
/// assert_eq!(last.pin, 2, "a pin too far out carries last");
/// ```
pub fn carrying_order(set: &Gearset, planet: MemberId, told: &PinErrors) -> Result<CarryingOrder, MatchRefusal> {
    let measured = set.measured().iter().find(|measured| measured.planet == planet);
    let measured = measured.cloned().unwrap_or_else(|| alike(set, planet));
    let matcher = Matcher::with(set, &measured, told)?;
    let found = matcher.assembles().then(|| matcher.as_found().best).flatten();
    let contacts = found.map(|choice| SettledSet::new(&matcher, &choice).first_contacts());
    Ok(CarryingOrder { pins_off: matcher.pins_off(), pin_radii: matcher.radii.told, first_contacts: contacts })
}

/// Where the pins of a planet stand against the description, as measured or told; empty where neither is.
pub(crate) fn pin_deviations(set: &Gearset, planet: MemberId, told: &PinErrors) -> Vec<PinDeviation> {
    let Some(group) = set.planet_groups().iter().find(|group| group.planets().contains(&planet)) else {
        return Vec::new();
    };
    let measured = set.measured().iter().find(|measured| measured.planet == planet);
    let measured = measured.cloned().unwrap_or_else(|| alike(set, planet));
    let timing = set.matrix().timing(group);
    let of_planet = |row: &TimingRow| row.central.is_some() && set.gear(row.terms[0].gear).member() == planet;
    let rows: Vec<usize> = (0..timing.len()).filter(|&row| of_planet(&timing[row])).collect();
    let spacings = group.spacings();
    let meshes = meshes_in_place(set, &timing.only(&rows));
    let radii = MeasuredRadii::new(&measured, &meshes, spacings.len()).with(&meshes, &told.pins, spacings.len());
    let found = measured.pins.as_ref().and_then(|pins| pins.found(&spacings));
    radii.deviations(told.place(found, radii.circle, spacings.len()).as_deref())
}

/// A cluster on every pin of a planet, none unlike another.
fn alike(set: &Gearset, planet: MemberId) -> Measured {
    let group = set.planet_groups().iter().find(|group| group.planets().contains(&planet));
    let pins = group.map_or(0, |group| group.places().len());
    let cluster = |pin: usize| MeasuredCluster { name: format!("on pin {}", pin + 1), readings: Vec::new() };
    let clusters = (0..pins).map(cluster).collect();
    Measured { planet, uncertainty: None, clusters, central: Vec::new(), pins: None }
}
