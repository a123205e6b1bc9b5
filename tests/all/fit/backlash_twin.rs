//! Do drawn flanks touch where the backlash and the order of carrying say that they do?
//!
//! A slow twin that knows of no formula but the involute: both central gears stand, a tooth or a space of each on the
//! line to a pin in its place. A planet whose pin stands elsewhere is turned each way until the first point of a central
//! flank lies on its own. The turn between is the backlash of a gear alone, and from the flank of one central gear to
//! that of another the free turn of the planet: a pin that has more of it than its fellow comes later by what it has
//! more.

use proptest::prelude::*;
use toothmark::description;
use toothmark::fit::{BacklashQuestion, PinOf, ToldPin, backlash};
use toothmark::gearset::Gearset;

use crate::support::random::cases;

/// A flank on an axis: it begins on the base circle at an angle, and from there its angle falls, or grows.
#[derive(Debug, Clone, Copy)]
struct Flank {
    base_radius: f64,
    begins: f64,
    grows: f64,
}

impl Flank {
    /// The angle at a radius.
    fn angle(self, radius: f64) -> f64 {
        let roll = ((radius / self.base_radius).powi(2) - 1.0).max(0.0).sqrt();
        self.begins + self.grows * (roll - roll.atan())
    }
}

fn involute(angle: f64) -> f64 {
    angle.tan() - angle
}

/// A gear of a planet in mesh with a central gear, which is a ring where the count is negative.
#[derive(Debug, Clone, Copy)]
struct Mesh {
    module: f64,
    angle: f64,
    planet: f64,
    central: f64,
    backlash: f64,
}

impl Mesh {
    fn base_radius(self, count: f64) -> f64 {
        count.abs() * self.module / 2.0 * self.angle.cos()
    }

    /// Half of what points outward at the pitch circle: a tooth, or a space of the ring.
    fn half(self, count: f64, thinner: f64) -> f64 {
        (std::f64::consts::FRAC_PI_2 * self.module + thinner) / (count.abs() * self.module)
    }

    /// The flank of the central gear that is met where the planet turns counter-clockwise: of a sun the upper one of its
    /// tooth, of a ring that of its space.
    fn central_flank(self) -> Flank {
        let thinner = if self.central > 0.0 { -self.backlash } else { self.backlash };
        let begins = self.half(self.central, thinner) + involute(self.angle);
        Flank { base_radius: self.base_radius(self.central), begins, grows: -1.0 }
    }

    /// The flank of the planet that meets it, while its mark points to where the mesh is: of a tooth there in a ring, of
    /// the tooth clockwise beside its space there at a sun.
    fn planet_flank(self) -> Flank {
        let half = self.half(self.planet, 0.0) + involute(self.angle);
        let base_radius = self.base_radius(self.planet);
        if self.central > 0.0 {
            let tooth = std::f64::consts::PI - std::f64::consts::PI / self.planet;
            Flank { base_radius, begins: tooth + half, grows: -1.0 }
        } else {
            Flank { base_radius, begins: half, grows: -1.0 }
        }
    }

    /// How far a planet on a pin can turn counter-clockwise until it touches: the least over all points of the flank.
    fn touches(self, pin: [f64; 2]) -> f64 {
        let (central, planet) = (self.central_flank(), self.planet_flank());
        let turn = |radius: f64| {
            let at = central.angle(radius);
            let seen = [radius * at.cos() - pin[0], radius * at.sin() - pin[1]];
            let wanted = seen[1].atan2(seen[0]) - planet.angle(seen[0].hypot(seen[1]));
            // Nearest to no turn at all.
            wanted - (wanted / std::f64::consts::TAU).round() * std::f64::consts::TAU
        };
        let pitch = self.central.abs() * self.module / 2.0;
        let depth = 0.6 * self.module;
        least(turn, pitch - depth, pitch + depth)
    }

    /// The same clockwise, in the mirror.
    fn touches_back(self, pin: [f64; 2]) -> f64 {
        -self.touches([pin[0], -pin[1]])
    }
}

/// The least of a function with one hollow, by golden section.
fn least(of: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let part = (5.0_f64.sqrt() - 1.0) / 2.0;
    for _ in 0..120 {
        let (a, b) = (high - part * (high - low), low + part * (high - low));
        if of(a) < of(b) { high = b } else { low = a }
    }
    of(f64::midpoint(low, high))
}

/// A train of two central gears: counts, negative for a ring.
#[derive(Debug, Clone, Copy)]
struct Train {
    meshes: [Mesh; 2],
    is_one_gear: bool,
}

impl Train {
    fn new(counts: [[i32; 2]; 2], module: f64, degrees: f64, backlash: f64) -> Self {
        let mesh = |[central, planet]: [i32; 2]| Mesh {
            module,
            angle: degrees.to_radians(),
            planet: f64::from(planet),
            central: f64::from(central),
            backlash,
        };
        Self { meshes: counts.map(mesh), is_one_gear: counts[0][1] == counts[1][1] && counts[1][0] < 0 }
    }

    fn distance(&self) -> f64 {
        let mesh = self.meshes[0];
        (mesh.planet + mesh.central).abs() * mesh.module / 2.0
    }

    fn set(&self) -> Gearset {
        let [a, b] = self.meshes;
        let central = |name: &str, mesh: Mesh| {
            let kind = if mesh.central > 0.0 { "Sun" } else { "Ring" };
            format!("{kind}(\"{name}\", {})", mesh.central.abs())
        };
        let second = if self.is_one_gear { String::new() } else { format!(", Gear(\"q\", {})", b.planet) };
        let q = if self.is_one_gear { "p" } else { "q" };
        let text = format!(
            "Gearset(title: \"t\", pitch: Module({}), backlash: Millimetres({}), pressure_angle: {},
                members: {{\"a\": [{}], \"b\": [{}], \"carrier\": []}},
                planets: {{\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", {}){second}])}},
                meshes: [(\"A\", \"p\"), (\"B\", \"{q}\")])",
            a.module,
            a.backlash,
            a.angle.to_degrees().round(),
            central("A", a),
            central("B", b),
            a.planet
        );
        description::read(&text).unwrap_or_else(|faults| panic!("{text}: {faults:?}"))
    }

    /// Where a pin stands.
    fn pin(&self, outward: f64, ahead: f64) -> [f64; 2] {
        let (angle, radius) = (ahead / self.distance(), self.distance() + outward);
        [radius * angle.cos(), radius * angle.sin()]
    }
}

/// Trains that assemble on three pins.
const COUNTS: &[[[i32; 2]; 2]] = &[
    [[26, 31], [20, 37]],
    [[31, 26], [20, 37]],
    [[30, 30], [24, 36]],
    [[30, 18], [-66, 18]],
    [[24, 18], [-60, 18]],
    [[-66, 18], [-78, 30]],
    [[18, 36], [-84, 30]],
];

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn drawn_flanks_touch_where_it_is_told(
        counts in prop::sample::select(COUNTS),
        module in prop::sample::select(&[1.25, 2.5, 4.0][..]),
        degrees in prop::sample::select(&[20.0, 25.0][..]),
        backlash_mm in prop::sample::select(&[0.0, 0.08, 0.2][..]),
        outward in -100..100_i32,
        ahead in -100..100_i32,
    ) {
        let train = Train::new(counts, module, degrees, backlash_mm);
        let (outward, ahead) = (f64::from(outward) / 1e3, f64::from(ahead) / 1e3);
        let set = train.set();
        let told = ToldPin { of: PinOf { planet: None, pin: 2 }, outward_mm: outward, ahead_mm: ahead };
        let survey = backlash(&set, &BacklashQuestion { pins: vec![told], ..BacklashQuestion::default() }).unwrap();
        let group = &survey.groups[0];
        let (pin, in_place) = (train.pin(outward, ahead), train.pin(0.0, 0.0));
        for (mesh, found) in train.meshes.iter().zip(&group.meshes) {
            // The arc of the free turn at the planet's working circle, whose part of the distance its count is.
            let working = found.pins[1].center_distance_mm * mesh.planet / (mesh.planet + mesh.central).abs();
            let arc = (mesh.touches(pin) - mesh.touches_back(pin)) * working;
            let told = found.pins[1].now.at_working_circle_mm;
            prop_assert!((arc - told).abs() < 1e-7, "{train:?}: {arc}, not {told}");
        }
        for (pushing, holding) in [(0, 1), (1, 0)] {
            // What pushes clockwise stops the planet counter-clockwise.
            let free = |pin| train.meshes[pushing].touches(pin) - train.meshes[holding].touches_back(pin);
            let mesh = train.meshes[pushing];
            let working = train.distance() * mesh.planet / (mesh.planet + mesh.central).abs();
            let later = (free(pin) - free(in_place)) * working;
            let mesh_id = group.meshes[pushing].mesh;
            let contact = group.contacts.iter().find(|contact| contact.contact.pushing == mesh_id).unwrap();
            let to_come = |pin: usize| contact.contact.pins.iter().find(|it| it.pin == pin).unwrap().mm_to_come.unwrap();
            let told = to_come(2) - to_come(1);
            prop_assert!((later - told).abs() < 1e-6, "{train:?}: {later}, not {told}");
        }
    }
}
