//! Random trains for the other tests.
//!
//! A train is built from a tape of random numbers: every choice takes the next number, and
//! once the tape is at its end every choice is the simplest one. proptest shortens the tape
//! and lowers its numbers, so a failure is shown on a small train. Drafts are sound by
//! construction: rings are larger than what runs inside them, nothing stands alone. Tooth
//! counts favour common factors and neighbours of counts in use.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{
    Angle, BandSizes, BearingSizes, CASE, Draft, DraftAction, DraftBacklash, DraftBearing, DraftConditions,
    DraftControl, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, DraftState, DraftTurning, Force, GearKind,
    Gearset, Given, Length, MeshSizes, Pair, Pitch, PlateSizes, Sense, Side, Spanned,
};
use toothmark::kinematics::{Verdict, motions};

/// Beginnings of names, the plain one first.
const STEMS: [&str; 12] = [
    "m",
    "sun ",
    "say \"when\" ",
    "back\\slash\\",
    "Zahnrad größer ",
    "⚙ ",
    "two  blanks ",
    "a\tb",
    "two\nlines",
    "}{)(",
    "// ",
    "'",
];

/// Random numbers that are used up choice by choice.
#[derive(Debug, Clone)]
pub(crate) struct Tape {
    numbers: std::vec::IntoIter<u16>,
}

impl Tape {
    /// A whole number in `0..limit`; 0 at the end of the tape.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        (usize::from(self.numbers.next().unwrap_or(0)) * limit) >> 16
    }

    /// True about once in `times`; never at the end of the tape.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) + 1 == times
    }

    pub(crate) fn pick<T: Clone>(&mut self, choices: &[T]) -> T {
        choices[self.below(choices.len())].clone()
    }

    /// A whole number from `low` to `high`.
    pub(crate) fn between(&mut self, low: i64, high: i64) -> i64 {
        low + (0..high - low).nth(self.below(usize::try_from(high - low + 1).unwrap_or(1))).unwrap_or(high - low)
    }

    /// Up to `most` different elements.
    fn some<T: Clone>(&mut self, choices: &[T], most: usize) -> Vec<T> {
        let mut left = choices.to_vec();
        let number = self.below(most.min(left.len()) + 1);
        (0..number).map(|_| left.remove(self.below(left.len()))).collect()
    }
}

/// Tapes of up to so many numbers.
pub(crate) fn tape(most: usize) -> impl Strategy<Value = Tape> {
    vec(any::<u16>(), 0..most).prop_map(|numbers| Tape { numbers: numbers.into_iter() })
}

/// A sound train of any kind, with controls and states.
pub(crate) fn train() -> impl Strategy<Value = Draft> {
    tape(320).prop_map(|tape| Builder::new(tape).train())
}

/// As [`train`], but shorter.
pub(crate) fn small_train() -> impl Strategy<Value = Draft> {
    tape(70).prop_map(|tape| Builder::new(tape).train())
}

/// One cluster of 1..=4 gears on a carrier, its gears each in mesh with a sun, a ring or both.
pub(crate) fn cluster() -> impl Strategy<Value = Draft> {
    tape(60).prop_map(|tape| Builder::new(tape).cluster(80))
}

/// As [`cluster`], with fewer teeth.
pub(crate) fn small_cluster() -> impl Strategy<Value = Draft> {
    tape(60).prop_map(|tape| Builder::new(tape).cluster(30))
}

/// A long and a short pinion in mesh on one carrier, the long one in mesh with a central gear.
pub(crate) fn meshed_pair() -> impl Strategy<Value = Draft> {
    tape(60).prop_map(|tape| Builder::new(tape).meshed_pair())
}

/// The same with the pitch of one mesh of every planet not known: no answer then says what backlash the planets of all pins
/// need together, which takes longer to work out than all else and is asked of other tests.
pub(crate) fn with_a_pitch_unknown(mut draft: Draft) -> Draft {
    let common = draft.pitch.take();
    for mesh in &mut draft.meshes {
        mesh.sizes.pitch = mesh.sizes.pitch.take().or_else(|| common.clone());
    }
    for planet in &draft.planets {
        let is_of = |mesh: &&mut DraftMesh| {
            mesh.gears.both().into_iter().any(|name| planet.gears.iter().any(|gear| *gear.name == **name))
        };
        if let Some(mesh) = draft.meshes.iter_mut().rev().find(is_of) {
            mesh.sizes.pitch = None;
        }
    }
    draft
}

fn written(pair: Pair<String>) -> Pair<Spanned<String>> {
    Pair::of(pair.first, pair.second)
}

fn millimetres(size: i64) -> Spanned<Length> {
    Length::Millimetres(fraction(size, 1)).into()
}

struct Builder {
    tape: Tape,
    draft: Draft,
    names: usize,
    counts: Vec<i64>,
}

impl Builder {
    fn new(tape: Tape) -> Self {
        Self { tape, draft: Draft::default(), names: 0, counts: vec![18] }
    }

    fn name(&mut self) -> String {
        self.names += 1;
        let stem = if self.tape.once_in(3) { self.tape.pick(&STEMS) } else { STEMS[0] };
        format!("{stem}{}", self.names)
    }

    /// A tooth count: any, a multiple of 6 or of 5, or next to one that is in use.
    fn count(&mut self, most: i64) -> i64 {
        let count = match self.tape.below(4) {
            0 => self.tape.between(6, most),
            1 => 6 * self.tape.between(1, most / 6),
            2 => 5 * self.tape.between(2, most / 5),
            _ => (self.tape.pick(&self.counts.clone()) + self.tape.between(-1, 1)).clamp(3, most),
        };
        self.counts.push(count);
        count
    }

    fn gear(&mut self, kind: GearKind, tooth_count: i64) -> DraftGear {
        DraftGear::new(self.name(), kind, tooth_count)
    }

    fn member(&mut self) -> usize {
        let name = self.name();
        self.draft.members.push(DraftMember::new(name, []));
        self.draft.members.len() - 1
    }

    /// A new gear on a new member or on one that is there, other than the carrier.
    fn central(&mut self, carrier: &str, kind: GearKind, tooth_count: i64) -> String {
        let gear = self.gear(kind, tooth_count);
        let others: Vec<usize> =
            (0..self.draft.members.len()).filter(|&member| self.draft.members[member].name != carrier).collect();
        let member = if self.tape.once_in(3) && !others.is_empty() { self.tape.pick(&others) } else { self.member() };
        let name = gear.name.to_string();
        self.draft.members[member].gears.push(gear);
        name
    }

    /// Something of the main axis that can mesh with a planet gear, now and then a gear that is there.
    fn partner(&mut self, carrier: &str, planet: &DraftGear, most: i64) -> String {
        let fits = |gear: &&DraftGear| match (planet.kind, gear.kind) {
            (GearKind::External, GearKind::External) | (GearKind::BevelPlanet, GearKind::BevelCentral(_)) => true,
            (GearKind::External, GearKind::Internal) => *gear.tooth_count > *planet.tooth_count,
            (GearKind::Internal, GearKind::External) => *gear.tooth_count < *planet.tooth_count,
            _ => false,
        };
        let off_carrier = self.draft.members.iter().filter(|member| member.name != carrier);
        let known: Vec<String> =
            off_carrier.flat_map(|member| &member.gears).filter(fits).map(|gear| gear.name.to_string()).collect();
        if self.tape.once_in(5) && !known.is_empty() {
            return self.tape.pick(&known);
        }
        let count = self.count(most);
        match planet.kind {
            GearKind::BevelPlanet => {
                let side = self.tape.pick(&[Side::Input, Side::Output]);
                self.central(carrier, GearKind::BevelCentral(side), count)
            }
            GearKind::Internal => self.central(carrier, GearKind::External, count.min(*planet.tooth_count - 1)),
            GearKind::External if self.tape.below(2) == 0 => self.central(carrier, GearKind::External, count),
            GearKind::External | GearKind::BevelCentral(_) => {
                self.central(carrier, GearKind::Internal, *planet.tooth_count + count)
            }
        }
    }

    fn mesh(&mut self, first: &str, second: &str) {
        let known = self.draft.meshes.iter().any(|mesh| {
            let names = mesh.gears.both();
            names.iter().any(|name| **name == *first) && names.iter().any(|name| **name == *second)
        });
        if !known {
            let (first, second) = if self.tape.below(2) == 0 { (first, second) } else { (second, first) };
            let gears = Pair::of(first, second);
            let pitch = self.tape.once_in(6).then(|| Pitch::Module(fraction(self.tape.between(1, 40), 8)).into());
            let backlash = self.tape.once_in(6).then(|| {
                let size = Length::Inches(fraction(self.tape.between(0, 20), 1000));
                DraftBacklash::AtPitchCircle(size).into()
            });
            self.draft.meshes.push(DraftMesh { gears, sizes: MeshSizes { pitch, backlash, efficiency: None } });
        }
    }

    fn pins(&mut self) -> DraftPins {
        let number = self.tape.between(1, 8);
        match self.tape.below(4) {
            0 | 1 => DraftPins::Equal(number),
            kind => {
                let steps = self.tape.pick(&[12, 19, 57, 60]);
                let places = self.tape.some(&(0..steps).collect::<Vec<i64>>(), 5);
                let places = if places.is_empty() { vec![0] } else { places };
                let turns = if kind == 2 { 1 } else { 360 };
                let places: Vec<Fraction> = places.iter().map(|&place| fraction(place * turns, steps)).collect();
                if kind == 2 { DraftPins::turns(places) } else { DraftPins::degrees(places) }
            }
        }
    }

    /// A planet of up to `most_gears` gears of one kind, each in mesh with one or two central gears.
    fn planet(&mut self, carrier: &str, pins: DraftPins, kind: GearKind, most_gears: i64) -> usize {
        let mut gears = Vec::new();
        for _ in 0..self.tape.between(1, most_gears) {
            let count = self.count(40);
            let gear = self.gear(kind, if kind == GearKind::Internal { count + 4 } else { count });
            for _ in 0..self.tape.between(1, 2) {
                let partner = self.partner(carrier, &gear, 60);
                self.mesh(&gear.name, &partner);
            }
            gears.push(gear);
        }
        let name = self.name();
        self.draft.planets.push(DraftPlanet::new(name, carrier, pins, gears));
        self.draft.planets.len() - 1
    }

    /// A second planet that meshes with a gear of the first, its pins shifted.
    fn short_pinion(&mut self, long: usize, carrier: &str) {
        let first = self.draft.planets[long].clone();
        let partner = self.tape.pick(&first.gears);
        let pins = match &*first.pins {
            DraftPins::Turns(places) => DraftPins::turns(places.iter().map(|place| &**place + fraction(1, 36))),
            DraftPins::Equal(_) | DraftPins::Degrees(_) => (*first.pins).clone(),
        };
        let count = self.count(40);
        let gear = self.gear(GearKind::External, if partner.kind == GearKind::Internal { 2 } else { count });
        self.mesh(&partner.name, &gear.name);
        let mut gears = vec![gear];
        if self.tape.below(3) > 0 {
            let central = self.partner(carrier, &gears[0], 60);
            self.mesh(&gears[0].name.clone(), &central);
        }
        if self.tape.once_in(3) {
            let count = self.count(40);
            gears.push(self.gear(GearKind::External, count));
            let central = self.partner(carrier, &gears[1], 60);
            self.mesh(&gears[1].name.clone(), &central);
        }
        let name = self.name();
        self.draft.planets.push(DraftPlanet::new(name, carrier, pins, gears));
    }

    fn planets_of(&mut self, carrier: &str) {
        for _ in 0..self.tape.between(1, 2) {
            let kind = [GearKind::BevelPlanet, GearKind::Internal].get(self.tape.below(6).wrapping_sub(4));
            let kind = kind.copied().unwrap_or(GearKind::External);
            let pins = self.pins();
            let planet = self.planet(carrier, pins, kind, 4);
            if kind != GearKind::BevelPlanet && self.tape.once_in(4) {
                self.short_pinion(planet, carrier);
            }
        }
    }

    fn train(mut self) -> Draft {
        self.draft.title = self.name();
        for _ in 0..self.tape.between(1, 3) {
            let carrier = self.member();
            let carrier = self.draft.members[carrier].name.clone();
            self.planets_of(&carrier);
        }
        for _ in 0..self.tape.below(3) {
            self.planet(CASE, DraftPins::Equal(1), GearKind::External, 3);
        }
        let idle = self.tape.once_in(6).then(|| self.gear(GearKind::External, 17));
        self.draft.members[0].gears.extend(idle);
        self.draft.pitch = self.tape.once_in(3).then(|| Pitch::Diametral(fraction(self.tape.between(1, 80), 4)).into());
        self.draft.backlash =
            self.tape.once_in(3).then(|| Length::Millimetres(fraction(self.tape.between(0, 9), 20)).into());
        self.uses();
        self.sizes();
        self.draft
    }

    /// Joins, controls and states.
    fn uses(&mut self) {
        let shafts = self.draft.planets.iter().filter(|body| body.carrier == *CASE && body.pins.count() == 1);
        let mut turning: Vec<String> = shafts.map(|body| body.name.to_string()).collect();
        turning.splice(0..0, self.draft.members.iter().map(|member| member.name.to_string()));
        let all: Vec<String> = turning.iter().cloned().chain([CASE.to_owned()]).collect();
        for _ in 0..self.tape.below(3) {
            let join = self.two(&all);
            self.draft.joins.extend(join.map(written));
        }
        for _ in 0..self.tape.below(6) {
            let Some(pair) = self.two(&all) else { break };
            let sense = self.tape.pick(&[Sense::Forward, Sense::Backward]);
            let band = self.tape.pick(&turning);
            let kind = self.tape.below(4);
            let name = self.name();
            self.draft.controls.push(match kind {
                0 | 1 => DraftControl::band(name, band),
                2 => DraftControl::clutch_with(name, written(pair), PlateSizes::default()),
                _ => DraftControl::one_way_clutch(name, written(pair), sense),
            });
        }
        for _ in 0..if self.tape.once_in(3) { 2 } else { 0 } {
            let Some(members) = self.two(&all) else { break };
            // A shaft beside the main axis bears on the case alone.
            let shafts: Vec<&String> = self.draft.planets.iter().map(|body| &*body.name).collect();
            let elsewhere = |name: &String, other: &String| shafts.contains(&name) && other != CASE;
            if !elsewhere(&members.first, &members.second) && !elsewhere(&members.second, &members.first) {
                let diameter =
                    self.tape.once_in(2).then(|| Length::Inches(fraction(self.tape.between(1, 40), 16)).into());
                let width =
                    self.tape.once_in(2).then(|| Length::Millimetres(fraction(self.tape.between(1, 80), 2)).into());
                let sizes = BearingSizes { diameter, width, ..BearingSizes::default() };
                self.draft.bearings.push(DraftBearing { members: written(members), sizes });
            }
        }
        let Some(ends) = self.two(&turning) else { return };
        (self.draft.input, self.draft.output) = (Some(ends.first.into()), Some(ends.second.into()));
        for _ in 0..self.tape.between(1, 4) {
            let name = self.name();
            let conditions = if self.tape.below(2) == 0 { self.given(&turning, &all) } else { self.apply() };
            self.draft.states.push(DraftState { name: name.into(), conditions });
        }
    }

    /// Efficiencies, and the sizes of bands and clutches: last, so that they take nothing from the rest.
    fn sizes(&mut self) {
        self.draft.efficiency = self.tape.once_in(3).then(|| self.efficiency().into());
        for mesh in 0..self.draft.meshes.len() {
            self.draft.meshes[mesh].sizes.efficiency = self.tape.once_in(6).then(|| self.efficiency().into());
        }
        for index in 0..self.draft.controls.len() {
            let DraftControl { name, action } = self.draft.controls[index].clone();
            match action {
                DraftAction::Band(member, _) if self.tape.once_in(3) => {
                    self.draft.controls[index] = DraftControl::band_with(name, member, self.band_sizes());
                }
                DraftAction::Clutch(pair, _) if self.tape.once_in(3) => {
                    self.draft.controls[index] = DraftControl::clutch_with(name, pair, self.plate_sizes());
                }
                DraftAction::Band(..) | DraftAction::Clutch(..) | DraftAction::OneWayClutch(..) => {}
            }
        }
    }

    fn efficiency(&mut self) -> Fraction {
        fraction(self.tape.between(85, 100), 100)
    }

    fn length(&mut self) -> Length {
        let size = fraction(self.tape.between(1, 400), 4);
        if self.tape.once_in(3) { Length::Inches(size) } else { Length::Millimetres(size) }
    }

    fn force(&mut self) -> Force {
        let size = fraction(self.tape.between(1, 4000), 3);
        if self.tape.once_in(3) { Force::PoundsForce(size) } else { Force::Newtons(size) }
    }

    fn band_sizes(&mut self) -> BandSizes {
        let wrap = match self.tape.below(3) {
            0 => None,
            1 => Some(Angle::Degrees(fraction(self.tape.between(1, 700), 2)).into()),
            _ => Some(Angle::Turns(fraction(self.tape.between(1, 12), 12)).into()),
        };
        BandSizes {
            wrap,
            friction: self.tape.once_in(2).then(|| fraction(self.tape.between(1, 50), 100).into()),
            radius: self.tape.once_in(2).then(|| self.length().into()),
            width: self.tape.once_in(3).then(|| self.length().into()),
            from_anchor: self.tape.once_in(2).then(|| self.tape.pick(&[Sense::Forward, Sense::Backward])),
            pull: self.tape.once_in(3).then(|| self.force().into()),
        }
    }

    fn plate_sizes(&mut self) -> PlateSizes {
        PlateSizes {
            faces: self.tape.once_in(2).then(|| fraction(self.tape.between(1, 30), 1).into()),
            friction: self.tape.once_in(2).then(|| fraction(self.tape.between(1, 50), 100).into()),
            outer_radius: self.tape.once_in(2).then(|| millimetres(self.tape.between(101, 200))),
            inner_radius: self.tape.once_in(2).then(|| millimetres(self.tape.between(1, 100))),
            force: self.tape.once_in(2).then(|| self.force().into()),
        }
    }

    fn apply(&mut self) -> DraftConditions {
        let controls: Vec<Spanned<String>> = self.draft.controls.iter().map(|control| control.name.clone()).collect();
        DraftConditions::Apply(self.tape.some(&controls, 4))
    }

    fn given(&mut self, turning: &[String], all: &[String]) -> DraftConditions {
        let held = self.tape.some(turning, 4).into_iter().map(Into::into).collect();
        let joined = if self.tape.once_in(3) { self.two(all).into_iter().map(written).collect() } else { Vec::new() };
        let ends = self.tape.once_in(2).then(|| self.two(turning)).flatten();
        let of_set = self.draft.input.as_deref().cloned();
        let input = ends.as_ref().map_or(of_set, |ends| Some(ends.first.clone()));
        let others: Vec<String> = turning.iter().filter(|&name| Some(name) != input.as_ref()).cloned().collect();
        let driven = if self.tape.once_in(3) { self.tape.some(&others, 2) } else { Vec::new() };
        let driven = driven
            .into_iter()
            .map(|member| {
                let speed = fraction(self.tape.between(-4, 4), self.tape.between(1, 3));
                DraftTurning { member: member.into(), speed: speed.into() }
            })
            .collect();
        let (input, output) = ends.map_or((None, None), |ends| (Some(ends.first.into()), Some(ends.second.into())));
        DraftConditions::Given(Box::new(Given { held, joined, turning: driven, input, output }))
    }

    /// Two different names; `None` where there is only one.
    fn two(&mut self, names: &[String]) -> Option<Pair<String>> {
        let first = self.tape.pick(names);
        let others: Vec<String> = names.iter().filter(|&name| *name != first).cloned().collect();
        (!others.is_empty()).then(|| Pair { first, second: self.tape.pick(&others) })
    }

    /// Places of 1..=8 pins: equal, or some multiples of a fraction of a turn.
    fn cluster(mut self, most: i64) -> Draft {
        let carrier = self.member();
        let carrier = self.draft.members[carrier].name.clone();
        let number = self.tape.between(1, 8);
        let steps = if self.tape.once_in(3) { self.tape.between(number, 24) } else { number };
        let pins = if steps == number {
            DraftPins::Equal(number)
        } else {
            DraftPins::turns((0..number).map(|pin| fraction(pin, steps)))
        };
        // Half of the clusters are made to go together, with the turn `shift` times the place.
        let shift = self.tape.once_in(2).then(|| self.tape.between(-1, 3));
        let mut gears = Vec::new();
        for _ in 0..self.tape.between(1, 4) {
            let count = self.count(most);
            let gear = self.gear(GearKind::External, count);
            for _ in 0..if self.tape.once_in(4) { 2 } else { 1 } {
                let ring = self.tape.once_in(3);
                let drawn = if ring { -count - self.count(most) } else { self.count(most) };
                // The nearest count from there outward with Z = P s (mod steps).
                let step = shift.map_or(0, |shift| (count * shift - drawn).rem_euclid(steps));
                let signed = if ring && step > 0 { drawn + step - steps } else { drawn + step };
                let kind = if ring { GearKind::Internal } else { GearKind::External };
                let central = self.gear(kind, signed.abs());
                self.mesh(&gear.name, &central.name);
                let member = self.member();
                self.draft.members[member].gears.push(central);
            }
            gears.push(gear);
        }
        let name = self.name();
        self.draft.planets.push(DraftPlanet::new(name, carrier, pins, gears));
        self.draft
    }

    fn meshed_pair(mut self) -> Draft {
        let carrier = self.member();
        let carrier = self.draft.members[carrier].name.clone();
        let pins = DraftPins::Equal(self.tape.between(1, 6));
        let long = self.planet(&carrier, pins, GearKind::External, 2);
        self.short_pinion(long, &carrier);
        self.draft
    }
}

#[test]
fn hardly_a_random_train_is_refused_and_every_verdict_occurs() {
    let mut runner = TestRunner::deterministic();
    let strategy = train();
    let (mut refused, mut verdicts) = (0, [0; 4]);
    for _ in 0..300 {
        let draft = strategy.new_tree(&mut runner).unwrap().current();
        let set = Gearset::new(draft);
        refused += i32::from(set.is_err());
        for motion in set.iter().flat_map(motions) {
            verdicts[match motion.verdict {
                Verdict::Drives { .. } => 0,
                Verdict::Locked { .. } => 1,
                Verdict::Neutral => 2,
                Verdict::OutputHeld => 3,
            }] += 1;
        }
    }
    assert!(refused <= 6, "{refused} of 300 trains are refused");
    assert!(verdicts.iter().all(|&number| number >= 3), "drives, locked, neutral, held: {verdicts:?}");
}
