//! Are the speeds of random trains right? Asked by substitution, by a dense slow twin, and by what
//! must not change when a train is relabelled, turned round or cut with finer teeth.
//!
//! The twin writes down every condition of a state as a dense row over all speeds, those of
//! the planets and those relative to the carriers among them, and brings the matrix to
//! reduced echelon form over the fractions, without any of the library's short cuts.

use num_traits::{One, Signed, Zero};
use proptest::prelude::*;
use proptest::sample::Index;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{
    Action, CASE, Draft, DraftConditions, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, DraftState,
    GearKind, Gearset, Given, MemberId, Pair, Place, Restraint, State,
};
use toothmark::kinematics::{Drive, RatiosQuestion, Speed, StateMotion, Verdict, motions, ratios};

use crate::support::random::cases;
use crate::support::sets::{file_stems, read_example};
use crate::support::trains::train;

type Row = Vec<Fraction>;

/// Rows over the speeds of all members, the speeds relative to the carrier, and 1.
struct Twin<'a> {
    set: &'a Gearset,
    planets: Vec<(usize, usize)>,
}

impl<'a> Twin<'a> {
    fn new(set: &'a Gearset) -> Self {
        let planets = set.member_ids().filter_map(|id| Some((id.index(), set.carrier_of(id)?.index()))).collect();
        Self { set, planets }
    }

    fn width(&self) -> usize {
        self.set.members().len() + self.planets.len() + 1
    }

    fn row(&self, terms: &[(i64, usize)]) -> Row {
        let mut row = vec![Fraction::zero(); self.width()];
        for &(factor, at) in terms {
            row[at] += fraction(factor, 1);
        }
        row
    }

    fn same(&self, pair: Pair<MemberId>) -> Row {
        self.row(&[(1, pair.first.index()), (-1, pair.second.index())])
    }

    fn restraint(&self, state: &State, restraint: &Restraint) -> Row {
        match restraint {
            Restraint::Held(member) => self.row(&[(1, member.index())]),
            Restraint::Joined(pair) => self.same(*pair),
            Restraint::Control(control) => match self.set.control(*control).action() {
                Action::Band(member) => self.row(&[(1, member.index())]),
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => self.same(pair),
            },
            Restraint::Turning(member, speed) => {
                self.row(&[(speed.denominator(), member.index()), (-speed.numerator(), state.input.index())])
            }
        }
    }

    /// The rows of the train itself: the case, meshes, planets on their pins, joins.
    fn train(&self) -> Vec<Row> {
        let mut rows = vec![self.row(&[(1, 0)])];
        for mesh in self.set.meshes() {
            let (a, b) = (self.set.gear(mesh.gears().first), self.set.gear(mesh.gears().second));
            let carrier = mesh.carrier().index();
            let (p, q) = (a.signed_tooth_count(), b.signed_tooth_count());
            rows.push(self.row(&[(p, a.member().index()), (-p, carrier), (q, b.member().index()), (-q, carrier)]));
        }
        for (number, &(planet, carrier)) in self.planets.iter().enumerate() {
            rows.push(self.row(&[(1, planet), (-1, carrier), (-1, self.set.members().len() + number)]));
        }
        rows.extend(self.set.joins().iter().map(|pair| self.same(*pair)));
        rows
    }

    fn conditions(&self, state: &State, restraints: &[Restraint]) -> Vec<Row> {
        let mut rows = self.train();
        rows.extend(restraints.iter().map(|restraint| self.restraint(state, restraint)));
        rows
    }

    /// Whether the conditions leave the input no speed but 0.
    fn locks(&self, state: &State, restraints: &[Restraint]) -> bool {
        let mut rows = self.conditions(state, restraints);
        let rank = reduce(&mut rows);
        rows.push(self.row(&[(1, state.input.index())]));
        reduce(&mut rows) == rank
    }

    /// Every speed with the input turning once, `None` where it is free; and the freedom.
    fn speeds(&self, state: &State) -> (Vec<Option<Fraction>>, usize) {
        let mut rows = self.conditions(state, &state.restraints);
        rows.push(self.row(&[(1, state.input.index()), (-1, self.width() - 1)]));
        let rank = reduce(&mut rows);
        let unknowns = self.width() - 1;
        let mut speeds = vec![None; unknowns];
        for row in &rows {
            let mut filled = (0..unknowns).filter(|&at| !row[at].is_zero());
            if let (Some(only), None) = (filled.next(), filled.next()) {
                speeds[only] = Some(-&row[unknowns]);
            }
        }
        (speeds, unknowns - rank)
    }
}

/// Brings rows to reduced echelon form, drops those of zeros and returns their number.
fn reduce(rows: &mut Vec<Row>) -> usize {
    let mut rank = 0;
    for column in 0..rows[0].len() {
        let Some(pivot) = (rank..rows.len()).find(|&row| !rows[row][column].is_zero()) else { continue };
        rows.swap(rank, pivot);
        let scale = rows[rank][column].recip();
        rows[rank].iter_mut().for_each(|entry| *entry *= &scale);
        let pivot_row = rows[rank].clone();
        for (_, row) in rows.iter_mut().enumerate().filter(|(at, row)| *at != rank && !row[column].is_zero()) {
            let factor = row[column].clone();
            row.iter_mut()
                .zip(&pivot_row)
                .filter(|(_, from)| !from.is_zero())
                .for_each(|(to, from)| *to -= &factor * from);
        }
        rank += 1;
    }
    rows.truncate(rank);
    rank
}

#[track_caller]
fn check_against_twin(set: &Gearset) {
    let twin = Twin::new(set);
    for (state, motion) in set.states().iter().zip(motions(set)) {
        if twin.locks(state, &state.restraints) {
            let Verdict::Locked { by } = &motion.verdict else { panic!("{} is locked: {motion:?}", state.name) };
            let mut without = by.clone();
            assert!(twin.locks(state, by), "{by:?} lock {}", state.name);
            for left_out in by {
                without.retain(|restraint| restraint != left_out);
                assert!(!twin.locks(state, &without), "{:?} is locked without {left_out:?}", state.name);
                without.clone_from(by);
            }
            continue;
        }
        let (speeds, freedom) = twin.speeds(state);
        assert_eq!(motion.freedom, freedom, "freedom of {:?}", state.name);
        check_speeds(&twin, &motion, &speeds);
        let solid = twin
            .planets
            .iter()
            .enumerate()
            .all(|(number, _)| speeds[set.members().len() + number].as_ref().is_some_and(Zero::is_zero))
            && (1..=set.draft().members.len())
                .all(|at| speeds[at].as_ref().is_none_or(|speed| speed.is_zero() || speed.is_one()));
        let expected = match &speeds[state.output.index()] {
            None => Verdict::Neutral,
            Some(speed) if speed.is_zero() => Verdict::OutputHeld,
            Some(speed) => {
                let drive = if solid { Drive::Solid } else { Drive::Rolling };
                Verdict::Drives { ratio: speed.recip(), drive }
            }
        };
        assert_eq!(motion.verdict, expected, "verdict on {:?}", state.name);
    }
}

#[track_caller]
fn check_speeds(twin: &Twin<'_>, motion: &StateMotion, speeds: &[Option<Fraction>]) {
    let as_speed = |value: &Option<Fraction>| value.clone().map_or(Speed::Free, Speed::Determined);
    let mut relative = twin.set.members().len();
    for (at, member) in motion.members.iter().enumerate() {
        assert_eq!(member.member.index(), at + 1, "every member but the case, in order");
        if member.speed != Speed::WithoutMeaning {
            assert_eq!(member.speed, as_speed(&speeds[at + 1]), "speed of member {at} in {:?}", motion.state);
        }
        let on_pin = matches!(twin.set.member(member.member).place(), Place::Pin { .. });
        assert_eq!(member.relative_to_carrier.is_some(), on_pin, "planets have a carrier");
        if let Some(speed) = &member.relative_to_carrier {
            assert_eq!(*speed, as_speed(&speeds[relative]), "relative speed of member {at} in {:?}", motion.state);
            relative += 1;
        }
    }
}

/// The sum of a row over the determined speeds of a motion; `None` where one has no value.
fn substituted(row: &Row, motion: &StateMotion) -> Option<Fraction> {
    let relative = motion.members.iter().filter_map(|member| member.relative_to_carrier.as_ref());
    let speeds = motion.members.iter().map(|member| &member.speed).chain(relative);
    let used = row[1..row.len() - 1].iter().zip(speeds).filter(|(factor, _)| !factor.is_zero());
    used.map(|(factor, speed)| Some(factor * speed.value()?)).sum()
}

/// What a motion says by names, in the order of the names.
fn by_name(set: &Gearset, motion: &StateMotion) -> (String, usize, Vec<String>) {
    let lines = motion.members.iter().map(|member| {
        format!("{:?} {:?} {:?}", set.member(member.member).name(), member.speed, member.relative_to_carrier)
    });
    let mut lines: Vec<String> = lines.collect();
    lines.extend(motion.one_way_conflicts.iter().map(|conflict| set.control(conflict.control).name().to_owned()));
    lines.sort();
    let verdict = match &motion.verdict {
        Verdict::Locked { .. } => "locked".to_owned(),
        Verdict::Drives { .. } | Verdict::Neutral | Verdict::OutputHeld => format!("{:?}", motion.verdict),
    };
    (verdict, motion.freedom, lines)
}

fn shuffle<T>(list: &mut [T], order: &[Index]) {
    for at in (1..list.len()).rev() {
        list.swap(at, order[at % order.len()].index(at + 1));
    }
}

/// A draft with the ends of every state exchanged.
fn exchanged(draft: &Draft, set: &Gearset) -> Draft {
    let mut draft = draft.clone();
    for (of_draft, state) in draft.states.iter_mut().zip(set.states()) {
        if let DraftConditions::Given(given) = &mut of_draft.conditions {
            let name = |id: MemberId| Some(set.member(id).name().into());
            (given.input, given.output) = (name(state.output), name(state.input));
        }
    }
    (draft.input, draft.output) = (draft.output.take(), draft.input.take());
    draft
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn every_answer_is_that_of_the_dense_twin(draft in train()) {
        let Ok(set) = Gearset::new(draft) else { return Err(TestCaseError::reject("refused")) };
        check_against_twin(&set);
    }

    #[test]
    fn determined_speeds_fulfil_every_mesh_and_every_restraint(draft in train()) {
        let Ok(set) = Gearset::new(draft) else { return Err(TestCaseError::reject("refused")) };
        let twin = Twin::new(&set);
        for (state, motion) in set.states().iter().zip(motions(&set)) {
            for row in twin.conditions(state, &state.restraints) {
                prop_assert!(substituted(&row, &motion).is_none_or(|sum| sum.is_zero()), "{:?}", motion);
            }
            let input = &motion.members[state.input.index() - 1].speed;
            prop_assert!(*input == Speed::Locked || *input == Speed::Determined(Fraction::one()), "{:?}", motion);
        }
    }

    #[test]
    fn another_order_and_other_gear_names_change_nothing(draft in train(), order in prop::collection::vec(any::<Index>(), 7)) {
        let Ok(set) = Gearset::new(draft.clone()) else { return Err(TestCaseError::reject("refused")) };
        let mut other = draft;
        shuffle(&mut other.members, &order);
        shuffle(&mut other.planets, &order);
        shuffle(&mut other.meshes, &order);
        shuffle(&mut other.joins, &order);
        shuffle(&mut other.controls, &order);
        for gears in other.members.iter_mut().map(|body| &mut body.gears).chain(other.planets.iter_mut().map(|body| &mut body.gears)) {
            shuffle(gears, &order);
            for gear in gears {
                gear.name.insert(0, '~');
            }
        }
        for mesh in &mut other.meshes {
            mesh.gears.first.insert(0, '~');
            mesh.gears.second.insert(0, '~');
            std::mem::swap(&mut mesh.gears.first, &mut mesh.gears.second);
        }
        let other = Gearset::new(other).expect("the same gearset in another order");
        for (one, another) in motions(&set).iter().zip(&motions(&other)) {
            prop_assert_eq!(by_name(&set, one), by_name(&other, another));
        }
    }

    #[test]
    fn exchanging_input_and_output_inverts_the_ratio(draft in train()) {
        let Ok(set) = Gearset::new(draft.clone()) else { return Err(TestCaseError::reject("refused")) };
        // Speeds given per turn of the input do not stay what they are.
        let turned = |state: &State| state.restraints.iter().any(|restraint| matches!(restraint, Restraint::Turning(..)));
        let fixed: Vec<bool> = set.states().iter().map(|state| !turned(state)).collect();
        let mut other = exchanged(&draft, &set);
        for (state, fixed) in other.states.iter_mut().zip(&fixed) {
            if let (DraftConditions::Given(given), false) = (&mut state.conditions, fixed) {
                given.turning.clear();
            }
        }
        let other = Gearset::new(other).expect("the same gearset with its ends exchanged");
        for (number, (one, another)) in motions(&set).iter().zip(&motions(&other)).enumerate() {
            if let (Some(ratio), true) = (one.verdict.ratio(), fixed[number]) {
                prop_assert_eq!(another.verdict.ratio(), Some(&ratio.recip()), "{:?} {:?}", one, another);
            }
        }
    }

    #[test]
    fn a_pair_with_all_its_counts_multiplied_turns_as_before(draft in train(), factor in 2i64..7) {
        let Ok(set) = Gearset::new(draft.clone()) else { return Err(TestCaseError::reject("refused")) };
        let meshes_of = |name: &str| draft.meshes.iter().filter(|mesh| mesh.gears.both().iter().any(|gear| *gear == name)).count();
        let alone = |mesh: &&DraftMesh| mesh.gears.both().iter().all(|name| meshes_of(name) == 1);
        let Some(pair) = draft.meshes.iter().find(alone) else { return Ok(()) };
        let mut other = draft.clone();
        let planet_gears = other.planets.iter_mut().flat_map(|body| &mut body.gears);
        let gears = other.members.iter_mut().flat_map(|body| &mut body.gears).chain(planet_gears);
        gears.filter(|gear| pair.gears.both().contains(&&gear.name)).for_each(|gear| *gear.tooth_count *= factor);
        let other = Gearset::new(other).expect("the same gearset with finer teeth in one pair");
        prop_assert_eq!(motions(&set), motions(&other));
    }

    #[test]
    fn a_second_driven_member_adds_its_speed_in_proportion(sun in 6i64..60, ring in 61i64..120, speed in -9i64..9) {
        // The law of the carrier (Willis 1841): sun w_s + ring w_r = (sun + ring) w_c, with the sun turning once.
        let set = one_planet_set(sun, ring, speed);
        let carrier = motions(&set)[0].members[2].speed.clone();
        prop_assert_eq!(carrier, Speed::Determined(fraction(sun * 7 + ring * speed, 7 * (sun + ring))));
    }
}

fn gear(name: &str, kind: GearKind, tooth_count: i64) -> DraftGear {
    DraftGear::new(name, kind, tooth_count)
}

fn member(name: &str, gears: Vec<DraftGear>) -> DraftMember {
    DraftMember::new(name, gears)
}

fn mesh(first: &str, second: &str) -> DraftMesh {
    DraftMesh::of(first, second)
}

/// Sun, ring, carrier; the ring turns at `sevenths` / 7 of the sun's speed.
fn one_planet_set(sun: i64, ring: i64, sevenths: i64) -> Gearset {
    let turning = toothmark::gearset::DraftTurning { member: "ring".into(), speed: fraction(sevenths, 7).into() };
    let given =
        Given { turning: vec![turning], input: Some("sun".into()), output: Some("carrier".into()), ..Given::default() };
    let members = vec![
        member("sun", vec![gear("S", GearKind::External, sun)]),
        member("ring", vec![gear("R", GearKind::Internal, ring)]),
        member("carrier", Vec::new()),
    ];
    let planet = DraftPlanet {
        name: "planet".into(),
        carrier: "carrier".into(),
        pins: DraftPins::Equal(1).into(),
        gears: vec![gear("p", GearKind::External, 20)],
    };
    let states = vec![DraftState { name: "both".into(), conditions: DraftConditions::Given(Box::new(given)) }];
    let meshes = vec![mesh("S", "p"), mesh("R", "p")];
    Gearset::new(Draft { members, planets: vec![planet], meshes, states, ..Draft::default() })
        .expect("a plain planetary set")
}

#[test]
fn five_hundred_gearsets_in_series_give_the_exact_product() {
    let shaft = |number: usize| format!("shaft {number}");
    let counts = |number: i64| (20 + number % 7, 61 + number % 11);
    let mut draft = Draft::default();
    let mut expected = Fraction::one();
    for stage in 0..500 {
        let (sun, ring) = counts(i64::try_from(stage).unwrap());
        draft.members.push(member(&shaft(stage), vec![gear(&format!("S{stage}"), GearKind::External, sun)]));
        draft
            .members
            .push(member(&format!("ring {stage}"), vec![gear(&format!("R{stage}"), GearKind::Internal, ring)]));
        draft.joins.push(Pair::of(format!("ring {stage}"), CASE));
        let planet = format!("p{stage}");
        let pins = DraftPins::Equal(3);
        let gears = vec![gear(&planet, GearKind::External, 20)];
        draft.planets.push(DraftPlanet::new(planet.clone(), shaft(stage + 1), pins, gears));
        draft.meshes.push(mesh(&format!("S{stage}"), &planet));
        draft.meshes.push(mesh(&planet, &format!("R{stage}")));
        // Ring held: 1 + ring / sun turns of the sun for one of the carrier.
        expected *= fraction(sun + ring, sun);
    }
    draft.members.push(member(&shaft(500), Vec::new()));
    (draft.input, draft.output) = (Some(shaft(0).into()), Some(shaft(500).into()));
    draft.states.push(DraftState { name: "on".into(), conditions: DraftConditions::Apply(Vec::new()) });
    let set = Gearset::new(draft).unwrap();
    let motion = &motions(&set)[0];
    assert_eq!(motion.verdict, Verdict::Drives { ratio: expected.clone(), drive: Drive::Rolling }, "the product");
    assert!(expected.is_positive() && expected.numer().bits() > 1000, "a product of many digits");
}

/// Revolutions per minute are turns for one turn of the input times those of the input.
#[test]
fn speeds_are_in_proportion_to_that_of_the_input() {
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        let per_turn = ratios(&set, &RatiosQuestion::default());
        let rpm = fraction(3600, 7);
        let in_rpm = ratios(&set, &RatiosQuestion { input_rpm: Some(rpm.clone()), ..RatiosQuestion::default() });
        for (state, scaled) in per_turn.states.iter().zip(&in_rpm.states) {
            for (member, scaled) in state.members.iter().zip(&scaled.members) {
                let expected = [&member.speed, &member.relative_to_carrier].map(|it| it.as_ref().map(|it| it * &rpm));
                assert_eq!([&scaled.speed, &scaled.relative_to_carrier].map(Clone::clone), expected, "{name}");
            }
        }
    }
}
