//! What a job calls the pins of a gearset.

use crate::gearset::{Gearset, MemberId, Place};

/// A pin by the name that a job has for it.
pub(super) struct PinName {
    /// `pin 2`, behind the name of its planet where several kinds of planets have pins.
    pub(super) name: String,
    /// The planet that runs on it.
    pub(super) planet: MemberId,
    /// Its number, from 1.
    pub(super) pin: usize,
}

/// Every pin of every planet, by name.
pub(super) fn pins(set: &Gearset) -> Vec<PinName> {
    let of_planets = set.member_ids().filter_map(|planet| match set.member(planet).place() {
        Place::Pin { pins, .. } => Some((planet, pins.len())),
        Place::Case | Place::MainAxis => None,
    });
    let of_planets: Vec<(MemberId, usize)> = of_planets.collect();
    let is_only = of_planets.len() == 1;
    let mut pins = Vec::new();
    for (planet, count) in of_planets {
        let before = if is_only { String::new() } else { format!("{} ", set.member(planet).name()) };
        pins.extend((1..=count).map(|pin| PinName { name: format!("{before}pin {pin}"), planet, pin }));
    }
    pins
}

/// What a job calls a pin of a planet: `pin 2`, or `short pinion pin 2` where several kinds of planets have pins.
pub fn pin_name(set: &Gearset, planet: MemberId, pin: usize) -> String {
    let named = pins(set).into_iter().find(|named| (named.planet, named.pin) == (planet, pin));
    named.map(|named| named.name).unwrap_or_default()
}
