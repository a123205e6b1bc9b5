//! What runs on what: every planet on its pin, other bearings as described.

use crate::gearset::{Bearing, Gearset, Length, MemberId, Pair};

/// One body that runs on another.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RunsOn {
    /// The body that runs.
    pub first: MemberId,
    /// What it runs on.
    pub second: MemberId,
    /// The diameter at which they rub, if it was given.
    pub diameter: Option<Length>,
    /// The width that bears in millimetres, of all bushes together, if it was given for each of them.
    pub width: Option<f64>,
    /// Whether the first is a planet on the pins of the second.
    pub on_pin: bool,
}

/// Every bearing: each planet on its pin, then those of the description.
///
/// # Examples
/// ```
/// use toothmark::{description, running::bearings};
/// let set = description::read(description::example("hill-tramway-car").unwrap()).unwrap();
/// assert!(bearings(&set)[0].on_pin);
/// ```
pub fn bearings(set: &Gearset) -> Vec<RunsOn> {
    let on_pins = set.member_ids().filter_map(|planet| on_pin(set, planet));
    on_pins.chain(set.bearings().iter().filter_map(|bearing| beside_pins(set, bearing))).collect()
}

/// A planet on its pins, with what the bushes that are described for it have in common.
fn on_pin(set: &Gearset, planet: MemberId) -> Option<RunsOn> {
    let carrier = set.carrier_of(planet)?;
    let is_its = |pair: &Pair<MemberId>| pair.contains(&planet);
    let given: Vec<&Bearing> = set.bearings().iter().filter(|bearing| is_its(&bearing.members())).collect();
    let diameter = given.first().and_then(|bearing| bearing.diameter().cloned());
    // Bushes of several diameters share a force in a way that widths do not tell.
    let is_alike = given.iter().all(|bearing| bearing.diameter() == diameter.as_ref());
    let width = |bearing: &&Bearing| bearing.width().filter(|_| is_alike).map(Length::millimetres);
    let width = if given.is_empty() { None } else { given.iter().map(width).sum() };
    Some(RunsOn { first: planet, second: carrier, diameter, width, on_pin: true })
}

fn beside_pins(set: &Gearset, bearing: &Bearing) -> Option<RunsOn> {
    let Pair { first, second } = bearing.members();
    let has_planet = [first, second].into_iter().any(|member| set.carrier_of(member).is_some());
    let (diameter, width) = (bearing.diameter().cloned(), bearing.width().map(Length::millimetres));
    (!has_planet).then_some(RunsOn { first, second, diameter, width, on_pin: false })
}
