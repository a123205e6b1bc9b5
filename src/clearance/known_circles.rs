//! On which pin circles do planets stand that are known?

use crate::gearset::{Gearset, MemberId, MeshId};

/// The pin circles that are known, by planet, in millimetres.
#[derive(Debug, Clone, Default)]
pub(crate) struct KnownCircles {
    of_planets: Vec<(MemberId, f64)>,
}

impl KnownCircles {
    /// Those that are described.
    pub(crate) fn described(set: &Gearset) -> Self {
        if set.draft().pin_circles.is_empty() {
            return Self::default();
        }
        let described = |planet: MemberId| Some((planet, set.described_pin_circle(planet)?.millimetres()));
        set.member_ids().filter_map(described).collect()
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.of_planets.is_empty()
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = (MemberId, f64)> + '_ {
        self.of_planets.iter().copied()
    }

    /// That of a planet.
    pub(crate) fn of_planet(&self, planet: MemberId) -> Option<f64> {
        self.iter().find(|(other, _)| *other == planet).map(|(_, radius)| radius)
    }

    /// That on which a mesh with a central gear has to close, whether or not it does.
    pub(crate) fn of_mesh(&self, set: &Gearset, mesh: MeshId) -> Option<f64> {
        let members = set.mesh(mesh).gears().each().map(|gear| set.gear(gear).member());
        let mut on_pins = members.into_iter().filter(|&member| set.carrier_of(member).is_some());
        // Two planets that mesh with one another stand where their own circles put them.
        let (planet, None) = (on_pins.next()?, on_pins.next()) else { return None };
        self.of_planet(planet)
    }
}

impl FromIterator<(MemberId, f64)> for KnownCircles {
    fn from_iter<T: IntoIterator<Item = (MemberId, f64)>>(known: T) -> Self {
        Self { of_planets: known.into_iter().collect() }
    }
}

impl Extend<(MemberId, f64)> for KnownCircles {
    fn extend<T: IntoIterator<Item = (MemberId, f64)>>(&mut self, known: T) {
        self.of_planets.extend(known);
    }
}
