//! Do planets go in where their teeth do, with the turns that the library tells?
//!
//! Random trains, a file for each kind, are laid out in space (`tests/all/support/wheels.rs`) with every gear at any place on its
//! body; the others are turned so that the planets on the first pin fit. On each further pin every tooth of every planet is
//! tried. That no mesh, row or congruence of the library has a part in it makes the twin slow and independent. The trains
//! that told something are counted.

/// Bevel planets in mesh with side gears.
mod bevel;
/// Planets in mesh with one another.
mod chains;
/// Planets with internal teeth.
mod internal;
/// Planets of several kinds between the same central gears.
mod kinds;
/// Of planets in mesh with one another how far the nearest wrong seating is out.
mod margins;

use std::cell::Cell;

use num_traits::Zero;
use proptest::test_runner::{Config, TestRunner};
use toothmark::exact::{Fraction, fraction, nearest_zero, to_float};
use toothmark::gearset::{
    Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, GearKind, Gearset, MeshSizes, Pair, Side,
};
use toothmark::timing::{GroupTiming, timing};

use crate::support::random::cases;
use crate::support::trains::{Tape, tape};
use crate::support::wheels::{Shape, TO_INPUT, Touch, Vector, Wheel, turned};

/// A gear with its first tooth so many turns from the mark of its body.
#[derive(Debug, Clone, Copy)]
struct Toothed {
    shape: Shape,
    teeth: i64,
    index: f64,
}

/// A planet: its gears, and where its first pin stands.
#[derive(Debug, Clone)]
struct Body {
    gears: Vec<Toothed>,
    radius: f64,
    place: f64,
    /// 1 or -1: the sense in which it is to be turned.
    sense: i64,
}

/// What a planet gear is in mesh with.
#[derive(Debug, Clone, Copy)]
enum Other {
    Central(Toothed, Side),
    /// A gear of a planet that comes later.
    Planet(usize, usize),
}

#[derive(Debug, Clone, Copy)]
struct Meshing {
    body: usize,
    gear: usize,
    other: Other,
}

/// A tooth count is drawn from these multiples of a unit.
#[derive(Debug, Clone, Copy)]
struct Teeth {
    unit: i64,
    times: [i64; 2],
}

/// Planets on the pins of one carrier. Each mesh brings one gear that no mesh before it had.
#[derive(Debug, Clone)]
pub(crate) struct Planets {
    bodies: Vec<Body>,
    meshes: Vec<Meshing>,
    places: Vec<Fraction>,
    /// What makes some trains go together: by how much of their place the planets are to be turned.
    shift: i64,
}

fn float(count: i64) -> f64 {
    f64::from(i32::try_from(count).expect("a few teeth"))
}

fn off_whole(value: f64) -> f64 {
    (value - value.round()).abs()
}

/// What is whole in exact numbers is so to a billionth here; what is not is farther off than this.
const NEAR: f64 = 1e-8;

/// How a mesh stands on a pin with all planets at rest, and how many of its teeth pass for a turn of each planet.
#[derive(Debug, Clone)]
pub(crate) struct Standing {
    at_rest: f64,
    pub(crate) passing: Vec<(usize, f64)>,
}

impl Standing {
    fn off(&self, turns: &[Option<f64>]) -> f64 {
        let turned = self.passing.iter().map(|&(body, teeth)| turns[body].unwrap_or_default() * teeth);
        off_whole(self.at_rest + turned.sum::<f64>())
    }
}

impl Planets {
    fn new(tape: &mut Tape) -> Self {
        let pins = tape.between(2, 5);
        let places = if tape.once_in(4) {
            let steps = tape.between(pins + 1, 12);
            (0..pins).map(|pin| fraction(pin, steps)).collect()
        } else {
            (0..pins).map(|pin| fraction(pin, pins)).collect()
        };
        Self { bodies: Vec::new(), meshes: Vec::new(), places, shift: tape.between(-1, 1) }
    }

    /// A further planet with one gear; its pin circle and its first place are any.
    fn add(&mut self, tape: &mut Tape, shape: Shape, teeth: Teeth) -> usize {
        // Each farther out than the one before it: no two stand on one another.
        let (nearest, farther) = (20 + 60 * self.bodies.len(), float(tape.between(0, 400)) / 7.0);
        let radius = float(i64::try_from(nearest).expect("a few planets")) + farther;
        let place = float(tape.between(0, 250)) / 251.0;
        let place = if self.bodies.is_empty() { 0.0 } else { place };
        self.bodies.push(Body { gears: Vec::new(), radius, place, sense: 1 });
        self.add_gear(tape, self.bodies.len() - 1, shape, teeth);
        self.bodies.len() - 1
    }

    fn add_gear(&mut self, tape: &mut Tape, body: usize, shape: Shape, teeth: Teeth) -> usize {
        let teeth = teeth.unit * tape.between(teeth.times[0], teeth.times[1]);
        self.push_gear(tape, body, shape, teeth)
    }

    fn push_gear(&mut self, tape: &mut Tape, body: usize, shape: Shape, teeth: i64) -> usize {
        self.bodies[body].gears.push(Toothed { shape, teeth, index: float(tape.between(0, 996)) / 997.0 });
        self.bodies[body].gears.len() - 1
    }

    /// Puts a gear in mesh with a new one of the main axis, of which two in three let this mesh go together.
    fn add_central(&mut self, tape: &mut Tape, [body, gear]: [usize; 2], shape: Shape) {
        let planet = self.bodies[body].gears[gear];
        let side = tape.pick(&[Side::Input, Side::Output]);
        let outward = if planet.shape == Shape::Internal { -1 } else { 1 };
        let sense = if shape == Shape::Internal || (shape == Shape::Bevel && side == Side::Output) { -1 } else { 1 };
        let steps = i64::try_from(self.places.len()).expect("a few pins");
        let drawn = tape.between(7, 40);
        let wanted = sense * outward * self.shift * self.bodies[body].sense * planet.teeth;
        let fitting = if tape.once_in(3) { drawn } else { drawn + (wanted - drawn).rem_euclid(steps) };
        let teeth = match (planet.shape, shape) {
            (Shape::Internal, _) if fitting >= planet.teeth => {
                planet.teeth - steps + (fitting - planet.teeth).rem_euclid(steps)
            }
            (_, Shape::Internal) => fitting + steps * (planet.teeth / steps + 1),
            _ => fitting,
        };
        let other = Other::Central(Toothed { shape, teeth, index: 0.0 }, side);
        self.meshes.push(Meshing { body, gear, other });
    }

    /// Puts a gear of one planet in mesh with a gear of a later one that no mesh had.
    fn link(&mut self, [body, gear]: [usize; 2], [later, other]: [usize; 2]) {
        self.meshes.push(Meshing { body, gear, other: Other::Planet(later, other) });
    }

    fn wheel(&self, [body, gear]: [usize; 2], place: f64) -> Wheel {
        let Body { gears, radius, place: first, .. } = &self.bodies[body];
        let Toothed { shape, teeth, index } = gears[gear];
        let outward = turned([1.0, 0.0, 0.0], TO_INPUT, first + place);
        // A mark at rest points to the centre; that of a bevel planet, whose axis points outward, to the input side.
        let (center, axis, mark) = match shape {
            Shape::Bevel => ([0.0; 3], outward, TO_INPUT),
            Shape::External | Shape::Internal => (outward.map(|it| it * radius), TO_INPUT, outward.map(|it| -it)),
        };
        Wheel { shape, teeth: float(teeth), center, axis, tooth: turned(mark, axis, index) }
    }

    fn touch(&self, mesh: &Meshing, place: f64) -> Touch {
        let wheel = self.wheel([mesh.body, mesh.gear], place);
        let (other, side) = match mesh.other {
            Other::Planet(body, gear) => (self.wheel([body, gear], place), Side::Input),
            Other::Central(gear, side) => {
                let tooth = turned([1.0, 0.0, 0.0], TO_INPUT, gear.index);
                let teeth = float(gear.teeth);
                (Wheel { shape: gear.shape, teeth, center: [0.0; 3], axis: TO_INPUT, tooth }, side)
            }
        };
        let to_side: Vector = if side == Side::Input { TO_INPUT } else { TO_INPUT.map(|it| -it) };
        Touch::new([wheel, other], to_side)
    }

    /// Turns the new gear of each mesh on its body until the planets at rest fit on the first pin.
    fn fitted(mut self) -> Self {
        for at in 0..self.meshes.len() {
            let touch = self.touch(&self.meshes[at], 0.0);
            let turn = -touch.off([0.0, 0.0]) / touch.passing()[1];
            match &mut self.meshes[at].other {
                Other::Central(gear, _) => gear.index += turn,
                Other::Planet(body, gear) => {
                    let (body, gear) = (*body, *gear);
                    self.bodies[body].gears[gear].index += turn;
                }
            }
        }
        self
    }

    pub(crate) fn body_count(&self) -> usize {
        self.bodies.len()
    }

    /// Every mesh on a pin so far from the first, those of a planet as soon as it may be seated.
    pub(crate) fn standing(&self, place: f64) -> Vec<Standing> {
        let standing = |mesh: &Meshing| {
            let touch = self.touch(mesh, place);
            let [own, other] = touch.passing();
            let mut passing = vec![(mesh.body, own)];
            if let Other::Planet(body, _) = mesh.other {
                passing.push((body, other));
            }
            Standing { at_rest: touch.off([0.0, 0.0]), passing }
        };
        self.meshes.iter().map(standing).collect()
    }

    /// All turns of the planets of a pin that fit, found tooth by tooth.
    fn seatings(&self, place: f64) -> Vec<Vec<f64>> {
        let mut found = Vec::new();
        seat(&self.standing(place), &mut vec![None; self.bodies.len()], &mut found);
        found
    }

    /// Whether the planets of a pin fit, turned so, by where their teeth are.
    fn fits(&self, place: f64, turns: &[f64]) -> bool {
        self.meshes.iter().all(|mesh| {
            let other = if let Other::Planet(body, _) = mesh.other { turns[body] } else { 0.0 };
            self.touch(mesh, place).off([turns[mesh.body], other]).abs() < NEAR
        })
    }

    pub(crate) fn set(&self) -> Gearset {
        let mut draft = Draft { title: "t".to_owned(), ..Draft::default() };
        draft.members.push(DraftMember::new("c", []));
        for (at, body) in self.bodies.iter().enumerate() {
            let gear = |(number, gear): (usize, &Toothed)| {
                let kind = match gear.shape {
                    Shape::External => GearKind::External,
                    Shape::Internal => GearKind::Internal,
                    Shape::Bevel => GearKind::BevelPlanet,
                };
                DraftGear::new(format!("g{at}.{number}"), kind, gear.teeth)
            };
            let pins = DraftPins::turns(self.places.iter().cloned());
            draft.planets.push(DraftPlanet::new(format!("p{at}"), "c", pins, body.gears.iter().enumerate().map(gear)));
        }
        for (at, mesh) in self.meshes.iter().enumerate() {
            let other = match mesh.other {
                Other::Planet(body, gear) => format!("g{body}.{gear}"),
                Other::Central(gear, side) => {
                    let kind = match gear.shape {
                        Shape::External => GearKind::External,
                        Shape::Internal => GearKind::Internal,
                        Shape::Bevel => GearKind::BevelCentral(side),
                    };
                    let central = DraftGear::new(format!("G{at}"), kind, gear.teeth);
                    draft.members.push(DraftMember::new(format!("m{at}"), [central]));
                    format!("G{at}")
                }
            };
            let gears = Pair::of(format!("g{}.{}", mesh.body, mesh.gear), other);
            draft.meshes.push(DraftMesh { gears, sizes: MeshSizes::default() });
        }
        Gearset::new(draft).unwrap_or_else(|problems| panic!("{self:?}: {problems:?}"))
    }
}

/// Goes on with the first mesh that has a planet not seated yet, in each of its teeth; those without have to fit.
fn seat(meshes: &[Standing], turns: &mut Vec<Option<f64>>, found: &mut Vec<Vec<f64>>) {
    let Some((mesh, later)) = meshes.split_first() else {
        found.push(turns.iter().map(|turn| turn.expect("every planet has a mesh")).collect());
        return;
    };
    let Some(&(body, teeth)) = mesh.passing.iter().find(|&&(body, _)| turns[body].is_none()) else {
        if mesh.off(turns) < NEAR {
            seat(later, turns, found);
        }
        return;
    };
    let known: f64 = mesh.passing.iter().map(|&(body, teeth)| turns[body].unwrap_or_default() * teeth).sum();
    let mut tooth = 0.0;
    while tooth < teeth.abs() {
        turns[body] = Some((tooth - mesh.at_rest - known) / teeth);
        seat(later, turns, found);
        tooth += 1.0;
    }
    turns[body] = None;
}

/// The one group of all the planets.
#[track_caller]
pub(crate) fn only_group(set: &Gearset) -> GroupTiming {
    let mut groups = timing(set).groups;
    assert_eq!(groups.len(), 1, "all planets are in mesh");
    groups.remove(0)
}

/// Pins beside the first that go in, and those that do not.
#[derive(Debug, Clone, Copy, Default)]
struct Told {
    pins_in: usize,
    pins_out: usize,
}

#[track_caller]
fn check(planets: &Planets) -> Told {
    let set = planets.set();
    let group = only_group(&set);
    let first = planets.seatings(0.0).len();
    assert_eq!(group.equivalent_seatings, Some(first.into()), "equivalent seatings of {planets:?}");
    let mut told = Told::default();
    for (pin, place) in group.pins.iter().zip(&planets.places) {
        let found = planets.seatings(to_float(place));
        let turns = pin.turns.as_ref().map(|turns| {
            let turn = |at: usize| to_float(&turns[&set.member_named(&format!("p{at}")).expect("a planet")]);
            (0..planets.body_count()).map(turn).collect::<Vec<f64>>()
        });
        assert_eq!(turns.is_some(), !found.is_empty(), "whether pin {} goes in: {planets:?}", pin.pin);
        if let Some(turns) = turns {
            assert!(planets.fits(to_float(place), &turns), "pin {} turned by {turns:?}: {planets:?}", pin.pin);
            let least = found.iter().map(|turns| off_whole(turns[0])).fold(f64::INFINITY, f64::min);
            assert!(turns[0].abs() < least + NEAR, "pin {} turned by {turns:?}, not {least}: {planets:?}", pin.pin);
            assert_eq!(found.len(), first, "as many seatings at every pin: {planets:?}");
            told.pins_in += usize::from(!nearest_zero(place).is_zero());
        } else {
            told.pins_out += 1;
        }
    }
    assert_eq!(group.assembles, told.pins_out == 0, "{planets:?}");
    for count in 2..=8u32 {
        let goes_in = !planets.seatings(1.0 / f64::from(count)).is_empty();
        assert_eq!(group.equal_pin_counts.contains(&count), goes_in, "{count} equal pins of {planets:?}");
    }
    told
}

/// Checks so many random trains; some pins have to go in and some not, in that many trains at least.
#[allow(clippy::print_stdout, reason = "figures for those who read the documents")]
#[track_caller]
fn check_many(usual: u32, build: fn(&mut Tape) -> Planets, at_least: [usize; 2]) {
    let config = Config { source_file: Some(file!()), ..cases(usual) };
    let trains = config.cases;
    let [went_in, did_not] = [Cell::new(0usize), Cell::new(0usize)];
    let outcome = TestRunner::new(config).run(&tape(70), |mut tape| {
        let told = check(&build(&mut tape));
        went_in.set(went_in.get() + usize::from(told.pins_in > 0));
        did_not.set(did_not.get() + usize::from(told.pins_out > 0));
        Ok(())
    });
    outcome.unwrap_or_else(|failure| panic!("{failure}"));
    println!("{trains} trains: pins go in in {}, pins are refused in {}", went_in.get(), did_not.get());
    assert!(went_in.get() >= at_least[0] && did_not.get() >= at_least[1], "{went_in:?} and {did_not:?} told something");
}
