//! Do planets of several kinds between the same central gears go in together where their teeth do?
//!
//! The first central gear is at rest, and every other gear is turned to the first one that it meets, by any tooth: each of
//! these bodies has one gear, of which all teeth are alike. Meshes between two gears that have been turned then fit or do not.
//! Planets of one gear between the same two central gears turn these against each other by their counts alone, so that no
//! further turn of the whole train changes what fits. Now and then a planet has a second gear in mesh with a gear of its
//! own, which turns to it and changes nothing.

use std::cell::Cell;

use proptest::test_runner::{Config, TestRunner};
use toothmark::exact::{Fraction, fraction, to_float};
use toothmark::gearset::{Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, Gearset};
use toothmark::timing::{Closure, GroupTiming, timing};

use super::margins::least_out;
use super::{NEAR, Standing, float, off_whole};
use crate::support::random::cases;
use crate::support::trains::{Tape, tape};
use crate::support::wheels::{Shape, TO_INPUT, Touch, Wheel, turned};

/// A central gear, alone on its member.
#[derive(Debug, Clone, Copy)]
struct Central {
    shape: Shape,
    teeth: i64,
}

impl Central {
    fn signed(self) -> i64 {
        if self.shape == Shape::Internal { -self.teeth } else { self.teeth }
    }
}

/// Planets of one gear, in mesh with some of the central gears.
#[derive(Debug, Clone)]
struct Kind {
    teeth: i64,
    places: Vec<Fraction>,
    meets: Vec<usize>,
    /// Teeth of a second gear and of the sun that it meets, for a planet on one pin.
    beside: Option<[i64; 2]>,
}

#[derive(Debug, Clone)]
struct Kinds {
    centrals: Vec<Central>,
    kinds: Vec<Kind>,
}

/// A sun and one or two further central gears; planets of two or three kinds, each between two of them or more.
fn kinds(tape: &mut Tape) -> Kinds {
    let kind_teeth: Vec<i64> = (0..tape.between(2, 3)).map(|_| tape.between(5, 9)).collect();
    let mut centrals = vec![Central { shape: Shape::External, teeth: tape.between(6, 12) }];
    for _ in 0..tape.between(1, 2) {
        let shape = tape.pick(&[Shape::Internal, Shape::Internal, Shape::External]);
        let teeth = tape.between(6, 12) + if shape == Shape::Internal { 8 } else { 0 };
        centrals.push(Central { shape, teeth });
    }
    let mut made = Kinds { centrals, kinds: Vec::new() };
    for teeth in kind_teeth {
        let kind = made.kind(tape, teeth);
        made.kinds.push(kind);
    }
    made
}

impl Kinds {
    fn kind(&self, tape: &mut Tape, teeth: i64) -> Kind {
        let mut meets: Vec<usize> = (0..self.centrals.len()).collect();
        if meets.len() > 2 && !tape.once_in(4) {
            meets.remove(tape.below(3));
        }
        // Of two central gears, half of the steps at which one kind alone would go in; now and then any place.
        let [first, second] = [0, 1].map(|at| self.centrals[meets[at]].signed());
        let steps = 2 * (first - second).abs().max(1);
        let parts = if tape.once_in(4) { steps + 1 } else { steps };
        let begin = tape.between(0, parts - 1);
        let pins = if tape.once_in(2) { 1 } else { 2 };
        let mut places = vec![fraction(begin, parts)];
        for _ in 1..pins {
            let further = begin + tape.between(1, (parts - 1).max(1)) / 2 * 2;
            let place = fraction(further.rem_euclid(parts), parts);
            if !places.contains(&place) {
                places.push(place);
            }
        }
        let beside = (places.len() == 1 && tape.once_in(3)).then(|| [tape.between(5, 12), tape.between(5, 12)]);
        Kind { teeth, places, meets, beside }
    }

    fn set(&self) -> Gearset {
        let mut draft = Draft { title: "t".to_owned(), ..Draft::default() };
        draft.members.push(DraftMember::new("c", []));
        for (at, central) in self.centrals.iter().enumerate() {
            let name = format!("G{at}");
            let gear = if central.shape == Shape::Internal {
                DraftGear::ring(name, central.teeth)
            } else {
                DraftGear::sun(name, central.teeth)
            };
            draft.members.push(DraftMember::new(format!("m{at}"), [gear]));
        }
        for (at, kind) in self.kinds.iter().enumerate() {
            let mut gears = vec![DraftGear::planet(format!("g{at}"), kind.teeth)];
            draft
                .meshes
                .extend(kind.meets.iter().map(|central| DraftMesh::of(format!("G{central}"), format!("g{at}"))));
            if let Some([teeth, sun]) = kind.beside {
                gears.push(DraftGear::planet(format!("h{at}"), teeth));
                draft.members.push(DraftMember::new(format!("n{at}"), [DraftGear::sun(format!("H{at}"), sun)]));
                draft.meshes.push(DraftMesh::of(format!("H{at}"), format!("h{at}")));
            }
            let pins = DraftPins::turns(kind.places.iter().cloned());
            draft.planets.push(DraftPlanet::new(format!("p{at}"), "c", pins, gears));
        }
        Gearset::new(draft).unwrap_or_else(|problems| panic!("{self:?}: {problems:?}"))
    }

    /// A planet between central gears in space, its distance from the axis any.
    fn touch(&self, kind: &Kind, place: f64, central: usize) -> Touch {
        let outward = turned([1.0, 0.0, 0.0], TO_INPUT, place);
        let wheel = |shape, teeth, center, tooth| Wheel { shape, teeth: float(teeth), center, axis: TO_INPUT, tooth };
        let planet = wheel(Shape::External, kind.teeth, outward.map(|it| 30.0 * it), outward.map(|it| -it));
        let Central { shape, teeth } = self.centrals[central];
        Touch::new([planet, wheel(shape, teeth, [0.0; 3], [1.0, 0.0, 0.0])], TO_INPUT)
    }

    /// Every mesh of so many pins of each kind, in an order in which each turns one body or none: first the central gears,
    /// the first of them at rest, then the planets.
    fn standing(&self, pins: usize) -> (Vec<Standing>, usize) {
        let mut open = Vec::new();
        let mut bodies = self.centrals.len();
        for kind in &self.kinds {
            for place in kind.places.iter().take(pins) {
                for &central in &kind.meets {
                    let touch = self.touch(kind, to_float(place), central);
                    let [own, other] = touch.passing();
                    let passing = [(bodies, own), (central, other)].into_iter().filter(|&(body, _)| body != 0);
                    open.push(Standing { at_rest: touch.off([0.0, 0.0]), passing: passing.collect() });
                }
                bodies += 1;
            }
        }
        let mut seated = vec![false; bodies];
        seated[0] = true;
        let mut ordered = Vec::new();
        while !open.is_empty() {
            let new = |mesh: &Standing| mesh.passing.iter().filter(|(body, _)| !seated[*body]).count();
            let next = open.iter().position(|mesh| new(mesh) < 2).expect("all hang together");
            let mesh = open.remove(next);
            mesh.passing.iter().for_each(|&(body, _)| seated[body] = true);
            ordered.push(mesh);
        }
        (ordered, bodies)
    }

    /// Whether all fit, those of each kind on so many of its pins.
    fn goes_in(&self, pins: usize) -> bool {
        let (meshes, bodies) = self.standing(pins);
        let mut turns: Vec<Option<f64>> = vec![None; bodies];
        meshes.iter().all(|mesh| {
            let known: f64 = mesh.passing.iter().map(|&(body, teeth)| turns[body].unwrap_or_default() * teeth).sum();
            match mesh.passing.iter().find(|&&(body, _)| turns[body].is_none()) {
                Some(&(body, teeth)) => {
                    turns[body] = Some(-(mesh.at_rest + known) / teeth);
                    true
                }
                None => off_whole(mesh.at_rest + known) < NEAR,
            }
        })
    }

    /// Whether every central gear is met, and no kind stands apart from the others.
    fn hangs_together(&self) -> bool {
        let mut met = vec![0];
        for _ in &self.kinds {
            let meets = self.kinds.iter().filter(|kind| kind.meets.iter().any(|central| met.contains(central)));
            let further: Vec<usize> = meets.flat_map(|kind| kind.meets.clone()).collect();
            met.extend(further);
        }
        (0..self.centrals.len()).all(|central| met.contains(&central))
    }
}

/// What the random trains told.
#[derive(Debug, Clone, Copy, Default)]
struct KindsTold {
    go_in: usize,
    /// Each kind alone does, and all together do not.
    loops_miss: usize,
    misfits: usize,
}

#[track_caller]
fn check(kinds: &Kinds) -> KindsTold {
    let set = kinds.set();
    let groups = timing(&set).groups;
    let assembles = groups.iter().all(|group| group.assembles);
    assert_eq!(assembles, kinds.goes_in(usize::MAX), "whether all go in together: {kinds:?}");
    let mut loops: Vec<_> = Vec::new();
    for closed in groups.iter().flat_map(|group| &group.loops) {
        assert_ne!(closed.closes, Closure::DependsOnIndex, "no gear shares a body with another of a loop: {kinds:?}");
        if !loops.contains(&closed) {
            loops.push(closed);
        }
    }
    let misses = loops.iter().any(|closed| closed.closes == Closure::Misses);
    assert_eq!(misses, !kinds.goes_in(1), "whether the first of each kind go in together: {kinds:?}");
    let mut told = KindsTold { go_in: usize::from(assembles), ..KindsTold::default() };
    told.loops_miss = usize::from(misses && groups.iter().all(GroupTiming::pins_assemble));
    if let [only] = loops[..]
        && let Some(misfit) = &only.misfit
    {
        let (meshes, bodies) = kinds.standing(1);
        let least = least_out(&meshes, bodies).expect("it is out by no more than a tooth shared by four");
        assert!((to_float(misfit) - least).abs() < NEAR, "out by {misfit}, and by {least} in space: {kinds:?}");
        told.misfits += 1;
    }
    told
}

#[expect(clippy::print_stdout, reason = "figures for those who read the documents")]
#[test]
fn planets_of_several_kinds_go_in_together_where_their_teeth_do() {
    let config = Config { source_file: Some(file!()), ..cases(400) };
    let trains = usize::try_from(config.cases).expect("a number of cases");
    let told = Cell::new(KindsTold::default());
    let outcome = TestRunner::new(config).run(&tape(40), |mut tape| {
        let kinds = kinds(&mut tape);
        if kinds.hangs_together() {
            let (before, more) = (told.get(), check(&kinds));
            told.set(KindsTold {
                go_in: before.go_in + more.go_in,
                loops_miss: before.loops_miss + more.loops_miss,
                misfits: before.misfits + more.misfits,
            });
        }
        Ok(())
    });
    outcome.unwrap_or_else(|failure| panic!("{failure}"));
    let told = told.get();
    println!("{trains} trains: {told:?}");
    let enough = told.go_in > trains / 10 && told.loops_miss > trains / 10 && told.misfits > trains / 20;
    assert!(enough, "{told:?} of {trains}");
}
