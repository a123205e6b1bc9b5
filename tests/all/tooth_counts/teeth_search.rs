//! Does the search for other tooth counts find what trying every combination finds?
//!
//! Random requests on gearsets of every kind. The twin builds the gearset of every combination and asks
//! the public analyses whether it serves: timing, clearance, motions, comparison; of the search it
//! knows only the request. It lists what each combination breaks, so that near misses are checked as well.

use std::collections::BTreeSet;
use std::num::NonZeroUsize;

use num_integer::Integer;
use num_traits::{Signed, Zero};
use proptest::prelude::*;
use toothmark::clearance::{Faces, Gap, NotPlaced, gaps};
use toothmark::comparison::{PartChange, changes};
use toothmark::drawing::layout;
use toothmark::exact::{Fraction, Polynomial, fraction, to_float};
use toothmark::formula::{FormulasQuestion, formulas};
use toothmark::gearset::{DraftPins, Gear, GearId, GearKind, Gearset, MemberId, MeshId, Pair, Pitch, PlanetGroup};
use toothmark::kinematics::motions;
use toothmark::search::{Options, Wanted, WorkShare};
use toothmark::timing::{GroupTiming, MarginSearch, timing};
use toothmark::tooth_search::{
    CenterDistances, CommonFactors, CountWish, Counted, Goal, MarksWanted, RatioWish, RequestSource, RequestText,
    TeethAnswer, TeethChoice, TeethFault, TeethFound, TeethPlan, TeethRange, TeethRequest, Wish,
};

use crate::support::random::cases;
use crate::support::sets::{read_example, read_file, read_set};
use crate::support::trains::{Tape, tape, with_a_pitch_unknown};

/// All tooth counts and all numbers of pins of a gearset.
type Counts = (Vec<u16>, Vec<usize>);

fn counts(set: &Gearset) -> Counts {
    let pins = set.planet_groups().iter().map(|group| group.places().len()).collect();
    (set.gears().iter().map(|gear| gear.tooth_count().get()).collect(), pins)
}

/// The gearsets: one cluster of two or three gears, plain planets, planets in mesh, two carriers, bevel gears, an
/// internal planet; with given unequal pins, profile shifts and two pitches.
fn gearset(at: usize) -> Gearset {
    const NAMES: [&str; 12] = [
        "millrace-winch",
        "inspection-railcar",
        "slipway-screw",
        "barn-hoist-three-centre",
        "lock-keepers-astern-gear",
        "double-stepped-hoist",
        "cross-coupled-two-set",
        "common-sun-two-set",
        "bevel-reducer",
        "hoop-reducer",
        "profile-shift-swap",
        "five-speed-hub-two-suns",
    ];
    if let Some(name) = NAMES.get(at) {
        return read_example(name);
    }
    let changed = |name: &str, from: &str, to: &str| {
        let source = read_file(&format!("gearsets/{name}.ron"));
        assert!(source.contains(from), "{name}: {from}");
        read_set(name, &source.replacen(from, to, 1))
    };
    match at - NAMES.len() {
        0 => changed("millrace-winch", "pins: Equal(3)", "pins: Turns([0, \"1/4\", \"4/7\"])"),
        1 => {
            changed("inspection-railcar", "states: {", "profile_shifts: {\"l\": \"1/4\", \"L\": -0.25},\n    states: {")
        }
        2 => changed("inspection-railcar", "(\"L\", \"l\")", "(\"L\", \"l\", (pitch: Module(2.375)))"),
        _ => {
            changed("lock-keepers-astern-gear", "states: {", "profile_shifts: {\"i\": 0.3, \"o\": 0.3},\n    states: {")
        }
    }
}
const SETS: usize = 16;

#[derive(Debug, Clone)]
struct Case {
    set: Gearset,
    request: TeethRequest,
}

fn case() -> impl Strategy<Value = Case> {
    tape(60).prop_map(|mut tape| {
        let set = gearset(tape.below(SETS));
        let request = request(&mut tape, &set);
        Case { set, request }
    })
}

fn request(tape: &mut Tape, set: &Gearset) -> TeethRequest {
    let mut gears: Vec<GearId> = set.gear_ids().collect();
    let mut ranges = Vec::new();
    for _ in 0..2 + tape.below(2) {
        let gear = gears.remove(tape.below(gears.len()));
        let now = set.gear(gear).tooth_count().get();
        let [fewer, more] = [tape.below(3), 1 + tape.below(2)].map(|count| u16::try_from(count).expect("it is small"));
        ranges.push(TeethRange { gear, fewest: now.saturating_sub(fewer).max(1), most: now + more });
    }
    let mut request = TeethRequest::new(ranges);
    if tape.once_in(3) {
        let group = tape.pick(set.planet_groups());
        request.pins.push((group.planets()[0], tape.pick(&[vec![3, 4], vec![1, 2, 5], vec![2, 3, 6]])));
    }
    if tape.once_in(4) {
        request.tied.push([request.ranges[0].gear, request.ranges[1].gear]);
    }
    request.ratios = wishes(tape, set);
    request.ratios.retain(|wished| may_change(set, wished, &request.ranges));
    request.center_distances = match tape.below(5) {
        0 | 1 => CenterDistances::Free,
        2 => CenterDistances::Equal,
        3 => CenterDistances::Kept,
        _ => CenterDistances::Within(tape.pick(&[fraction(1, 1), fraction(2, 1), fraction(1, 2)])),
    };
    request.marks = tape.pick(&[MarksWanted::Any, MarksWanted::Any, MarksWanted::Radial, MarksWanted::Parallel]);
    request.least_margin = tape.once_in(4).then(|| tape.pick(&[fraction(1, 20), fraction(1, 8), fraction(1, 5)]));
    request.least_room = tape.pick(&[None, Some(fraction(1, 2)), Some(fraction(-4, 1)), Some(fraction(0, 1))]);
    request.fewest_teeth = tape.once_in(6).then(|| tape.pick(&[17, 24]));
    if tape.once_in(4) {
        request.common_factors = tape.pick(&[CommonFactors::Avoided, CommonFactors::Kept]);
    }
    at_hand(tape, set, &mut request);
    request.most_parts = tape.once_in(4).then(|| tape.pick(&[0, 1, 2, 3]));
    if tape.once_in(3) {
        request.goals =
            tape.pick(&[vec![Goal::FewestTeeth], vec![Goal::FewestParts, Goal::FewestTeeth], vec![Goal::LeastCost]]);
    }
    request
}

/// Counts of a list and of a stock, members that stay, and what parts cost.
fn at_hand(tape: &mut Tape, set: &Gearset, request: &mut TeethRequest) {
    if tape.once_in(5) {
        let members: Vec<MemberId> = set.member_ids().skip(1).collect();
        request.kept.push(tape.pick(&members));
    }
    if tape.once_in(4) {
        let range = request.ranges.pop().expect("there are two or more");
        let counts = (range.fewest..=range.most).filter(|_| tape.once_in(2)).collect::<Vec<_>>();
        match counts[..] {
            [] => request.ranges.push(range),
            _ => request.choices.push(TeethChoice { gear: range.gear, counts }),
        }
    }
    if tape.once_in(5) {
        let around = request.ranges.iter().flat_map(|range| range.fewest..=range.most);
        request.stock = Some(around.filter(|_| tape.once_in(2)).collect());
        let now = |gear: GearId| set.gear(gear).tooth_count().get();
        let serves = |gear: GearId, count: u16| {
            count == now(gear) || request.stock.as_ref().is_none_or(|stock| stock.contains(&count))
        };
        if !request.choices.iter().all(|it| it.counts.iter().any(|&count| serves(it.gear, count))) {
            request.stock = None;
        }
    }
    if tape.once_in(4) {
        let members: Vec<MemberId> = set.member_ids().skip(1).collect();
        request.costs = vec![(tape.pick(&members), tape.pick(&[0, 2, 5]))];
        request.most_cost = tape.once_in(2).then(|| tape.pick(&[1, 2, 5]));
    }
}

/// Wishes for states that drive, about the ratios as they are.
fn wishes(tape: &mut Tape, set: &Gearset) -> Vec<RatioWish> {
    let ratio = |motion: &toothmark::kinematics::StateMotion| motion.verdict.ratio().cloned();
    let driving: Vec<(String, Fraction)> =
        motions(set).iter().filter_map(|motion| Some((motion.state.clone(), ratio(motion)?))).collect();
    let mut wishes: Vec<RatioWish> = Vec::new();
    for _ in 0..tape.below(3) {
        let (state, now) = tape.pick(&driving);
        let off = now.abs() / fraction(tape.between(4, 60), 1);
        let wish = match tape.below(7) {
            0 | 1 => Wish::Between(&now - &off, &now + &off),
            2 => Wish::Near(&now + off),
            3 => Wish::Largest,
            4 => Wish::AtMost(&now + &off),
            5 => Wish::AtLeast(&now - &off),
            _ => Wish::Smallest,
        };
        // A target and a window of one state go together.
        let is_window = |wish: &Wish| matches!(wish, Wish::Between(..) | Wish::AtMost(_) | Wish::AtLeast(_));
        if wishes.iter().all(|wished| wished.state != state || is_window(&wished.wish) != is_window(&wish)) {
            wishes.push(RatioWish { state, wish });
        }
    }
    wishes
}

/// Whether a gear of a range changes the ratio wished for, or could: one that cannot is refused before the search.
fn may_change(set: &Gearset, wished: &RatioWish, ranges: &[TeethRange]) -> bool {
    let found = formulas(set, &FormulasQuestion::default());
    let formula = found.iter().find(|formula| formula.state == wished.state).expect("it is a state");
    let ratio = formula.verdict.ratio().expect("it drives");
    let polynomials = [ratio.numerator(), ratio.denominator()].into_iter().chain(&formula.conditions);
    let gears: BTreeSet<usize> = polynomials.flat_map(Polynomial::unknowns).collect();
    ranges.iter().any(|range| gears.contains(&range.gear.index()))
}

impl Case {
    /// Every combination: as counts of the ranges and numbers of the pins.
    fn combinations(&self) -> Vec<Vec<i64>> {
        let ranges = self.free().into_iter().map(|(_, counts)| counts.into_iter().map(i64::from).collect());
        let pins = self.request.pins.iter().map(|(_, pins)| pins.iter().map(|&pins| i64::from(pins)).collect());
        let choices: Vec<Vec<i64>> = ranges.chain(pins).collect();
        choices.iter().fold(vec![Vec::new()], |combinations, choices| {
            let with = |combination: &Vec<i64>| {
                choices.iter().map(|&choice| [combination.as_slice(), &[choice]].concat()).collect::<Vec<_>>()
            };
            combinations.iter().flat_map(with).collect()
        })
    }

    /// The gears that may change with the counts that they may have.
    fn free(&self) -> Vec<(GearId, Vec<u16>)> {
        let ranges = self.request.ranges.iter().map(|range| (range.gear, (range.fewest..=range.most).collect()));
        let choices = self.request.choices.iter().map(|choice| (choice.gear, choice.counts.clone()));
        let mut free: Vec<(GearId, Vec<u16>)> = ranges.chain(choices).collect();
        for (gear, counts) in &mut free {
            let now = self.set.gear(*gear).tooth_count().get();
            counts
                .retain(|count| self.request.stock.as_ref().is_none_or(|stock| *count == now || stock.contains(count)));
        }
        free
    }

    /// The gearset of a combination, if it is one. Other teeth than those described have no profile shift.
    fn built(&self, combination: &[i64]) -> Option<Gearset> {
        let free = self.free();
        let (teeth, pins) = combination.split_at(free.len());
        let mut draft = self.set.draft().clone();
        for ((gear, _), &count) in free.iter().zip(teeth) {
            let name = self.set.gear(*gear).name();
            for gear in draft.gears_mut().filter(|gear| gear.name == name) {
                gear.tooth_count = count.into();
            }
            if count != i64::from(self.set.gear(*gear).tooth_count().get()) {
                draft.profile_shifts.retain(|shift| shift.gear != name);
            }
        }
        for ((planet, _), &count) in self.request.pins.iter().zip(pins) {
            let group = self.set.planet_groups().iter().find(|group| group.planets().contains(planet));
            let names = group.expect("it is a planet").planets().iter().map(|&planet| self.set.member(planet).name());
            let names: Vec<&str> = names.collect();
            for planet in draft.planets.iter_mut().filter(|planet| names.contains(&planet.name.as_str())) {
                planet.pins = DraftPins::Equal(count).into();
            }
        }
        Gearset::new(draft).ok()
    }

    fn varies(&self, gear: GearId) -> bool {
        self.free().iter().any(|(free, _)| *free == gear)
    }

    /// The kinds of requirements that a gearset breaks.
    fn broken(&self, set: &Gearset) -> BTreeSet<&'static str> {
        let mut broken = BTreeSet::new();
        let mut hold = |kind, holds: bool| {
            if !holds {
                broken.insert(kind);
            }
        };
        let teeth_alone = Gearset::new(with_a_pitch_unknown(set.draft().clone())).expect("it was sound with it");
        let groups = timing(&teeth_alone).groups;
        hold("together", groups.iter().all(GroupTiming::pins_assemble));
        hold("loops", groups.iter().all(|group| !group.pins_assemble() || group.assembles));
        hold("marks", groups.iter().all(|group| self.marks_serve(group)));
        hold("margin", set.planet_groups().iter().zip(&groups).all(|(_, group)| self.is_far(group)));
        hold("room", set.planet_groups().iter().all(|group| self.has_room(set, group)));
        hold("ratio", self.request.ratios.iter().all(|wished| has_ratio(set, wished)));
        hold("hunting", self.hunts(set));
        let is_kept = |name: &String| self.request.kept.iter().any(|&kept| self.set.member(kept).name() == name);
        hold("kept", !changed_parts(&self.set, set).iter().any(is_kept));
        hold("cost", self.request.most_cost.is_none_or(|most| self.cost(set) <= most));
        hold("few teeth", self.request.fewest_teeth.is_none_or(|fewest| self.all_have(set, fewest)));
        hold("parts", self.request.most_parts.is_none_or(|most| parts_changed(&self.set, set) <= most));
        hold("sums", self.sums_agree(set));
        let count = |gear: GearId| set.gear(gear).tooth_count();
        hold("tied", self.request.tied.iter().all(|&[one, other]| count(one) == count(other)));
        hold("circle", self.request.center_distances != CenterDistances::Kept || self.circles_stay(set));
        broken
    }

    fn hunts(&self, set: &Gearset) -> bool {
        let hunts = |set: &Gearset, mesh: MeshId| {
            let [a, b] = set.mesh(mesh).gears().each().map(|gear| set.gear(gear).tooth_count().get());
            a.gcd(&b) == 1
        };
        match self.request.common_factors {
            CommonFactors::Allowed => true,
            CommonFactors::Avoided => set.mesh_ids().all(|mesh| hunts(set, mesh)),
            CommonFactors::Kept => set.mesh_ids().all(|mesh| hunts(set, mesh) || !hunts(&self.set, mesh)),
        }
    }

    /// What the parts that change cost.
    fn cost(&self, set: &Gearset) -> u32 {
        let of_part = |name: &String| {
            let told = self.request.costs.iter().find(|(member, _)| self.set.member(*member).name() == name);
            told.map_or(1, |(_, cost)| *cost)
        };
        changed_parts(&self.set, set).iter().map(of_part).sum()
    }

    fn marks_serve(&self, group: &GroupTiming) -> bool {
        match self.request.marks {
            MarksWanted::Any => true,
            MarksWanted::Radial => group.radial_marks,
            MarksWanted::Parallel => group.parallel_marks,
        }
    }

    /// A group that does not go together has no margin, and breaks another requirement anyway.
    fn is_far(&self, group: &GroupTiming) -> bool {
        let Some(least) = &self.request.least_margin else { return true };
        group.margin_search == MarginSearch::Complete && group.margin.as_ref().is_none_or(|margin| margin >= least)
    }

    fn has_room(&self, set: &Gearset, group: &PlanetGroup) -> bool {
        let least = self.request.least_room.as_ref().map(to_float);
        match gaps(set, group) {
            Ok(gaps) => {
                let lies_apart = |gap: &Gap| gap.faces == Faces::InOnePlane && self.overlaps_now(gap.gears);
                least.is_none_or(|least| gaps.iter().all(|gap| gap.modules >= least - 1e-9 || lies_apart(gap)))
            }
            Err(NotPlaced::Bevel(_) | NotPlaced::NoMesh | NotPlaced::NoDistance(_)) => true,
            Err(_) => false,
        }
    }

    /// Whether two gears are in one another's way as described: they cannot be in one plane then.
    fn overlaps_now(&self, gears: Pair<GearId>) -> bool {
        let now = self.set.planet_groups().iter().filter_map(|group| gaps(&self.set, group).ok()).flatten();
        now.into_iter().any(|gap| gap.gears == gears && gap.modules < 0.0)
    }

    fn all_have(&self, set: &Gearset, fewest: u16) -> bool {
        let is_asked = |&gear: &GearId| self.varies(gear) && set.gear(gear).kind() != GearKind::Internal;
        set.gear_ids().filter(is_asked).all(|gear| set.gear(gear).tooth_count().get() >= fewest)
    }

    /// Whether the centre distances of every planet agree where one of them may change.
    fn sums_agree(&self, set: &Gearset) -> bool {
        set.member_ids().all(|planet| {
            let meshes = central_meshes(set, planet);
            // Every two of them: sums of 56, 57 and 58 are two apart, and passed for one when each was held to the first alone.
            let pairs =
                meshes.iter().enumerate().flat_map(|(at, &other)| meshes[..at].iter().map(move |&one| (one, other)));
            pairs.into_iter().all(|(first, other)| {
                let asked = [first, other]
                    .iter()
                    .any(|&mesh| set.mesh(mesh).gears().both().iter().any(|&&gear| self.varies(gear)));
                let apart = |set: &Gearset| (distance(set, first) - distance(set, other)).abs();
                match &self.request.center_distances {
                    _ if !asked => true,
                    // Shift that keeps the pin circle is held against closings one by one, in `fit::searching`.
                    CenterDistances::Free | CenterDistances::KeptByShift(_) => true,
                    CenterDistances::Equal | CenterDistances::Kept => apart(set) <= apart(&self.set),
                    CenterDistances::Within(teeth) => {
                        apart(set) <= teeth * module(set, first).min(module(set, other)) / fraction(2, 1)
                    }
                }
            })
        })
    }

    fn circles_stay(&self, set: &Gearset) -> bool {
        set.member_ids().all(|planet| {
            let first = central_meshes(set, planet).first().copied();
            first.is_none_or(|mesh| distance(set, mesh) == distance(&self.set, mesh))
        })
    }

    /// The measure of every goal, and whether more is better.
    fn measures(&self, set: &Gearset) -> Vec<(Fraction, bool)> {
        let mut measures = Vec::new();
        let off = self.request.ratios.iter().filter_map(|wished| match &wished.wish {
            Wish::Near(target) => Some((ratio(set, &wished.state)? / target - fraction(1, 1)).abs()),
            Wish::Between(..) | Wish::AtMost(_) | Wish::AtLeast(_) | Wish::Largest | Wish::Smallest => None,
        });
        measures.extend(off.max().map(|worst| (worst, false)));
        for wished in &self.request.ratios {
            let size = ratio(set, &wished.state).expect("it serves").abs();
            match wished.wish {
                Wish::Largest => measures.push((size, true)),
                Wish::Smallest => measures.push((size, false)),
                Wish::Near(_) | Wish::Between(..) | Wish::AtMost(_) | Wish::AtLeast(_) => {}
            }
        }
        let mut goals = self.request.goals.clone();
        let by_cost = !self.request.costs.is_empty() && self.request.most_cost.is_none();
        if goals.is_empty() && by_cost {
            goals.push(Goal::LeastCost);
        } else if measures.is_empty() && goals.is_empty() {
            goals.push(Goal::FewestParts);
        }
        measures.extend(goals.iter().map(|goal| match goal {
            Goal::FewestParts => (fraction(parts_changed(&self.set, set).into(), 1), false),
            Goal::LeastCost => (fraction(self.cost(set).into(), 1), false),
            Goal::FewestTeeth => {
                let teeth = set.gears().iter().map(|gear| i64::from(gear.tooth_count().get())).sum();
                (fraction(teeth, 1), false)
            }
        }));
        measures
    }
}

fn ratio(set: &Gearset, state: &str) -> Option<Fraction> {
    motions(set).iter().find(|motion| motion.state == state)?.verdict.ratio().cloned()
}

fn has_ratio(set: &Gearset, wished: &RatioWish) -> bool {
    ratio(set, &wished.state).is_some_and(|ratio| match &wished.wish {
        Wish::Between(low, high) => (low..=high).contains(&&ratio),
        Wish::AtMost(high) => ratio <= *high,
        Wish::AtLeast(low) => ratio >= *low,
        Wish::Near(_) | Wish::Largest | Wish::Smallest => true,
    })
}

/// Bodies whose gears or pins differ, each once.
fn parts_changed(before: &Gearset, after: &Gearset) -> u32 {
    u32::try_from(changed_parts(before, after).len()).expect("a few")
}

/// Their names.
fn changed_parts(before: &Gearset, after: &Gearset) -> BTreeSet<String> {
    let name = |change: PartChange| match change {
        PartChange::Gone { member } | PartChange::New { member, .. } | PartChange::Teeth { member, .. } => member,
        PartChange::Pins { carrier, .. } => carrier,
    };
    changes(before, after).into_iter().map(name).collect()
}

fn central_meshes(set: &Gearset, planet: MemberId) -> Vec<MeshId> {
    if set.carrier_of(planet).is_none() {
        return Vec::new();
    }
    let is_central = |mesh: &MeshId| {
        let gears = set.mesh(*mesh).gears().both().map(|&gear| set.gear(gear));
        gears.iter().any(|gear| gear.member() == planet)
            && gears.iter().any(|gear| set.carrier_of(gear.member()).is_none())
            && !gears[0].kind().is_bevel()
    };
    set.mesh_ids().filter(is_central).collect()
}

fn module(set: &Gearset, mesh: MeshId) -> Fraction {
    match set.mesh(mesh).pitch() {
        None => fraction(1, 1),
        Some(Pitch::Module(module)) => module.clone(),
        Some(Pitch::Diametral(pitch)) => fraction(127, 5) / pitch,
    }
}

/// The centre distance without shift: half the signed sum of the counts.
fn distance(set: &Gearset, mesh: MeshId) -> Fraction {
    let [a, b] = set.mesh(mesh).gears().both().map(|&gear| set.gear(gear));
    let signed = |gear: &Gear| {
        let count = i64::from(gear.tooth_count().get());
        if gear.kind() == GearKind::Internal { -count } else { count }
    };
    module(set, mesh) * fraction((signed(a) + signed(b)).abs(), 2)
}

/// What serves, in no order, with the measures.
struct Serving {
    counts: Counts,
    measures: Vec<(Fraction, bool)>,
}

fn dominates(one: &Serving, other: &Serving) -> bool {
    let pairs: Vec<_> = one.measures.iter().zip(&other.measures).collect();
    let as_good = pairs.iter().all(|((a, larger), (b, _))| if *larger { a >= b } else { a <= b });
    as_good && pairs.iter().any(|((a, _), (b, _))| a != b)
}

fn sorted<'a>(found: impl IntoIterator<Item = &'a TeethFound>) -> Vec<(Counts, Vec<Fraction>)> {
    let mut found: Vec<_> = found.into_iter().map(|found| (counts(&found.set), found.measures.clone())).collect();
    found.sort();
    found
}

fn sorted_twin<'a>(serving: impl IntoIterator<Item = &'a Serving>) -> Vec<(Counts, Vec<Fraction>)> {
    let plain = |one: &Serving| (one.counts.clone(), one.measures.iter().map(|(measure, _)| measure.clone()).collect());
    let mut serving: Vec<_> = serving.into_iter().map(plain).collect();
    serving.sort();
    serving
}

#[track_caller]
fn adds_up(answer: &TeethAnswer, combinations: usize) {
    let number = |count: usize| u128::try_from(count).expect("it is small");
    let excluded: u128 = answer.excluded.iter().map(|one| one.combinations).sum();
    assert!(answer.proven, "nothing was left");
    assert_eq!(answer.combinations, number(combinations), "the whole space");
    let listed = number(answer.results.len());
    assert_eq!(listed + excluded + answer.beaten, answer.combinations, "everything is accounted for");
    assert_eq!(answer.count + answer.counting.excluded, answer.counting.combinations, "also by the count");
}

/// The kind of a requirement of the search.
fn kind(name: &str) -> &'static str {
    let kinds = [
        ("keeps one centre distance", "sums"),
        ("have one count", "tied"),
        ("stays on its pin circle", "circle"),
        ("stays as it is", "kept"),
        ("parts changed cost", "cost"),
        ("hunt", "hunting"),
        ("ratio of", "ratio"),
        ("the output is driven in", "ratio"),
        ("the train moves in", "ratio"),
        ("parts changed", "parts"),
        ("assembles", "together"),
        ("go in side by side", "loops"),
        ("marks serve on", "marks"),
        ("stay", "room"),
        ("reach one another", "room"),
        ("a wrong seating of", "margin"),
        ("teeth or more", "few teeth"),
    ];
    kinds.iter().find(|(part, _)| name.contains(part)).unwrap_or_else(|| panic!("{name}")).1
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn other_tooth_counts_found_are_those_that_every_analysis_lets_pass(case in case()) {
        let combinations = case.combinations();
        let mut serving = Vec::new();
        let mut breaking_one: Vec<(Counts, &'static str)> = Vec::new();
        for set in combinations.iter().filter_map(|combination| case.built(combination)) {
            let broken = case.broken(&set);
            match (broken.len(), broken.first()) {
                (0, _) => serving.push(Serving { counts: counts(&set), measures: case.measures(&set) }),
                (1, Some(kind)) => breaking_one.push((counts(&set), *kind)),
                _ => {}
            }
        }
        let plan = TeethPlan::new(&case.set, &case.request).expect("the request is sound");
        let search =
            |wanted: &Wanted| -> TeethAnswer { plan.search(wanted, &Options::default()).expect("it is sound") };

        let all = search(&Wanted::All);
        adds_up(&all, combinations.len());
        prop_assert_eq!(sorted(&all.results), sorted_twin(&serving));
        prop_assert_eq!(all.count, u128::try_from(serving.len()).expect("a few"));
        prop_assert_eq!(all.counted, Counted::All);
        for found in &all.results {
            for (state, told) in &found.ratios {
                prop_assert_eq!(Some(told.clone()), ratio(&found.set, state));
            }
        }

        if let [_] = plan.goal_names()[..] {
            let best = search(&Wanted::Best(2));
            adds_up(&best, combinations.len());
            let cost = |one: &Serving| {
                let (measure, larger) = &one.measures[0];
                if *larger { -measure.clone() } else { measure.clone() }
            };
            let mut costs: Vec<Fraction> = serving.iter().map(cost).collect();
            costs.sort();
            let last = costs.get(1).or(costs.last());
            let meant = serving.iter().filter(|one| last.is_some_and(|last| cost(one) <= *last));
            prop_assert_eq!(sorted(&best.results), sorted_twin(meant));
            prop_assert_eq!(best.count, all.count);
        }
        let front = search(&Wanted::Pareto);
        adds_up(&front, combinations.len());
        let meant = serving.iter().filter(|one| !serving.iter().any(|other| dominates(other, one)));
        prop_assert_eq!(sorted(&front.results), sorted_twin(meant));

        if serving.is_empty() {
            for miss in plan.near_misses(&Options::default()).expect("it is sound").found {
                let kind = kind(&miss.without);
                let place = breaking_one.iter().find(|(counts_of, _)| *counts_of == counts(&miss.found.set));
                prop_assert_eq!(place.map(|(_, kind)| *kind), Some(kind), "{}", miss.without);
                let most = breaking_one.iter().filter(|(_, broken)| *broken == kind).count();
                prop_assert!((1..=u128::try_from(most).expect("a few")).contains(&miss.count), "{}", miss.without);
            }
        }
    }
}

/// The random requests are no test where nothing, or everything, serves.
#[test]
fn the_random_requests_have_some_answers_and_some_without() {
    use proptest::strategy::ValueTree as _;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut kinds = [0; 3];
    for _ in 0..60 {
        let case = case().new_tree(&mut runner).expect("there is one").current();
        let plan = TeethPlan::new(&case.set, &case.request).expect("the request is sound");
        let outcome = plan.problem().search(&Wanted::Count, &Options::default()).expect("it is sound");
        let kind = match outcome.count {
            0 => 0,
            some if some < outcome.combinations => 1,
            _ => 2,
        };
        kinds[kind] += 1;
    }
    assert!(kinds[0] >= 10 && kinds[1] >= 15, "none, some, all: {kinds:?}");
}

/// With A held and B driving, nothing turns where A and B mesh alike: B is held through the cluster. Numerator and
/// denominator of the ratio had the factor that is zero there in common, and the formula still said 1.
#[test]
fn a_train_that_locks_at_special_counts_is_not_found_by_its_formula() {
    let set = read_set(
        "two suns",
        r#"Gearset(title: "Two suns",
            members: { "A": [Sun("A", 20)], "B": [Sun("B", 22)], "C": [], "out": [] },
            planets: { "p": (carrier: "C", pins: Equal(1), gears: [Gear("a", 20), Gear("b", 20)]) },
            meshes: [("A", "a"), ("B", "b")], joins: [("B", "out")],
            states: { "s": Given(held: ["A"], input: "B", output: "out") })"#,
    );
    let gear = set.gear_named("B").expect("it is there");
    let mut request = TeethRequest::new([TeethRange { gear, fewest: 19, most: 22 }]);
    request.center_distances = CenterDistances::Free;
    request.ratios.push(RatioWish { state: "s".into(), wish: Wish::Between(fraction(1, 1), fraction(1, 1)) });
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    let answer = plan.search(&Wanted::All, &Options::default()).expect("it is sound");
    let mut found: Vec<u16> = answer.results.iter().map(|found| found.teeth[0].1).collect();
    found.sort_unstable();
    assert_eq!(found, [19, 21, 22]);
}

/// A ratio that is aimed at has no value where the output would stand. Its goal set such counts aside before they had
/// broken a requirement, the account of the count missed them, and `merge` took the result for one that was edited.
#[test]
fn counts_without_a_ratio_are_in_the_account() {
    let set = read_example("hoop-reducer");
    let range = |(name, fewest, most)| TeethRange { gear: set.gear_named(name).expect("it is there"), fewest, most };
    let mut request = TeethRequest::new([("b", 32, 34), ("A", 30, 31), ("B", 28, 30)].map(range));
    (request.center_distances, request.least_room) = (CenterDistances::Free, None);
    request.ratios.push(RatioWish { state: "held sun fast".into(), wish: Wish::Near(fraction(135, 1)) });
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    adds_up(&plan.search(&Wanted::All, &Options::default()).expect("it is sound"), 18);
}

/// The nearest miss without "R goes round p" was a ring inside of its planet, which is no gearset, and ended the
/// program.
#[test]
fn a_ring_that_does_not_go_round_is_no_near_miss() {
    let set = read_example("millrace-winch");
    let [ring, planet] = ["R", "p"].map(|name| set.gear_named(name).expect("it is there"));
    let mut request = TeethRequest::new([
        TeethRange { gear: ring, fewest: 10, most: 12 },
        TeethRange { gear: planet, fewest: 12, most: 13 },
    ]);
    request.center_distances = CenterDistances::Free;
    request.least_room = None;
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    assert_eq!(plan.problem().search(&Wanted::Count, &Options::default()).expect("it is sound").count, 0);
    for miss in plan.near_misses(&Options::default()).expect("it is sound").found {
        assert!(!miss.without.contains("goes round"), "{}", miss.without);
    }
}

/// Pins were asked for once for each of two planets that share them: one choice did nothing, and everything was counted
/// as often as it had numbers.
#[test]
fn pins_of_planets_in_mesh_are_chosen_once() {
    let set = read_example("lock-keepers-astern-gear");
    let planets = set.planet_groups()[0].planets().to_vec();
    let mut request = TeethRequest::new([]);
    request.pins = planets.iter().map(|&planet| (planet, vec![3, 4])).collect();
    let fault = TeethPlan::new(&set, &request).expect_err("they are one choice");
    assert!(matches!(&fault, TeethFault::PinsTwice(name) if name == "outer planet"), "{fault}");
    assert!(fault.hint().contains("one planet"), "{}", fault.hint());
}

/// The carrier is another one as soon as its pins stand elsewhere; it was not counted.
#[test]
fn another_pin_circle_is_another_carrier() {
    let set = read_example("millrace-winch");
    let ranges = [("S", 24, 26), ("p", 18, 20), ("R", 60, 66)].map(|(name, fewest, most)| TeethRange {
        gear: set.gear_named(name).expect("it is there"),
        fewest,
        most,
    });
    let most = |parts: u32| {
        let mut request = TeethRequest::new(ranges);
        request.most_parts = Some(parts);
        let plan = TeethPlan::new(&set, &request).expect("the request is sound");
        plan.search(&Wanted::All, &Options::default()).expect("it is sound").results
    };
    // 24, 18, 60 as it is; any other with R = S + 2 p has another sum of S and p, or another S and p.
    assert!(most(3).iter().all(|found| parts_changed(&set, &found.set) <= 3));
    assert!(most(4).iter().any(|found| parts_changed(&set, &found.set) == 4));
}

/// A search that is stopped has not counted all, and does not say that it has.
#[test]
fn a_stopped_search_has_counted_some_only() {
    let set = read_example("inspection-railcar");
    let ranges: Vec<TeethRange> = set.gear_ids().map(|gear| TeethRange { gear, fewest: 15, most: 45 }).collect();
    let request = TeethRequest::new(ranges);
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    let stop = std::sync::atomic::AtomicBool::new(true);
    let options = Options { stop: Some(&stop), ..Options::default() };
    let answer = plan.search(&Wanted::Pareto, &options).expect("it is sound");
    assert!(!answer.proven);
    assert_eq!(answer.counted, Counted::AtLeast);
    assert!(answer.count >= u128::try_from(answer.results.len()).expect("a few"));
    assert!(!answer.undecided.is_zero());
}

/// What breaks a limit of descriptions was dropped after it had been counted: 120 pins, a module of 5000, and counts at
/// which a dial showed more backlash than a description takes. "serve 5" and "nothing serves" stood together.
#[test]
fn whatever_is_counted_can_be_described() {
    let railcar = read_example("inspection-railcar");
    let planet = railcar.member_named("cluster").expect("it is there");
    let [gear, other] = ["L", "l"].map(|name| railcar.gear_named(name).expect("it is there"));
    let mesh = railcar.mesh_named("L with l").expect("it is there");
    let fault = |change: &dyn Fn(&mut TeethRequest)| {
        let mut request = TeethRequest::new([]);
        change(&mut request);
        TeethPlan::new(&railcar, &request).expect_err("it is beyond a limit").to_string()
    };
    let pins = fault(&|request| request.pins.push((planet, vec![3, 101])));
    assert!(pins.contains("101 pins, more than any carrier holds"), "{pins}");
    for (size, written) in [(fraction(1001, 1), "1001"), (fraction(1, 1001), "1/1001")] {
        let module = fault(&|request| request.modules.push((mesh, vec![fraction(2, 1), size.clone()])));
        assert!(module.contains(&format!("a module of {written}, which is out of all proportion")), "{module}");
    }
    let teeth = fault(&|request| request.ranges.push(TeethRange { gear, fewest: 9_999, most: 10_001 }));
    assert!(teeth.contains("up to 10001 teeth, which no gear has"), "{teeth}");

    // Module 2.5: at 25 mm a dial on 20 teeth shows what there is at the pitch circle, on 21 teeth 1.05 of it.
    let dial = "(\"L\", \"l\", (backlash: Dial(\"L\", Millimetres(980), Millimetres(25))))";
    let text = read_file("gearsets/inspection-railcar.ron").replace("(\"L\", \"l\")", dial);
    let set = read_set("with a dial", &text);
    let mut request = TeethRequest::new([
        TeethRange { gear, fewest: 17, most: 23 },
        TeethRange { gear: other, fewest: 34, most: 40 },
    ]);
    request.least_room = None;
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    for wanted in [Wanted::All, Wanted::Best(2)] {
        let answer = plan.search(&wanted, &Options::default()).expect("it is sound");
        assert!(answer.results.iter().all(|found| found.teeth[0].1 <= 20), "{:?}", answer.results);
        adds_up(&answer, 49);
        assert_eq!(answer.count, 4, "17 with 40 to 20 with 37");
    }
}

/// Margins are those of a seating that is wrong, and the least is kept.
#[test]
fn a_least_margin_is_that_of_the_timing() {
    let set = read_example("inspection-railcar");
    let [small, large] = ["L", "l"].map(|name| set.gear_named(name).expect("it is there"));
    let mut request = TeethRequest::new([
        TeethRange { gear: small, fewest: 18, most: 24 },
        TeethRange { gear: large, fewest: 33, most: 39 },
    ]);
    request.least_margin = Some(fraction(5, 68));
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    let answer = plan.search(&Wanted::All, &Options::default()).expect("it is sound");
    assert!(answer.results.iter().any(|found| counts(&found.set) == counts(&set)), "as it is it has 5/68");
    for found in &answer.results {
        let group = &timing(&found.set).groups[0];
        assert!(group.margin.as_ref().is_none_or(|margin| *margin >= fraction(5, 68)));
        assert_ne!(group.within_backlash, Some(true));
    }
}

/// The railcar's low and driving meshes, with a module of their own each: every pair of counts and module is tried.
#[test]
fn a_mesh_may_have_another_module_if_its_planet_keeps_one_distance() {
    let set = read_example("inspection-railcar");
    let [low_sun, low_planet] = ["L", "l"].map(|name| set.gear_named(name).unwrap());
    let mesh = set.mesh_named("L with l").unwrap();
    let ranges = [low_sun, low_planet].map(|gear| TeethRange { gear, fewest: 12, most: 60 });
    let choices = [fraction(2, 1), fraction(5, 2), fraction(5, 4)];
    let mut request = TeethRequest::new(ranges);
    request.modules.push((mesh, choices.to_vec()));
    request.least_room = None;
    let found = TeethPlan::new(&set, &request).unwrap().search(&Wanted::All, &Options::default()).unwrap();
    let mut seen: Vec<(u16, u16, Fraction)> =
        found.results.iter().map(|one| (one.teeth[0].1, one.teeth[1].1, one.modules[0].module.clone())).collect();
    seen.sort();
    // The other gears have 57 teeth of module 2.5 together: 142.5 mm. Three pins.
    let mut meant = Vec::new();
    for (sun, planet) in (12..=60_u16).flat_map(|sun| (12..=60_u16).map(move |planet| (sun, planet))) {
        for module in &choices {
            let sums = module * fraction(i64::from(sun + planet), 1) == fraction(285, 2);
            let changed = set.with_tooth_counts([(low_sun, sun.into()), (low_planet, planet.into())]).unwrap();
            if sums && timing(&changed).groups[0].assembles {
                meant.push((sun, planet, module.clone()));
            }
        }
    }
    assert_eq!(seen, meant);
    assert!(seen.iter().any(|(_, _, module)| *module != fraction(5, 2)), "another module serves: {seen:?}");
    for one in &found.results {
        assert_eq!(one.set.mesh(mesh).pitch(), Some(&Pitch::Module(one.modules[0].module.clone())));
        let layout = PinRadius::of(&one.set);
        assert!((layout.0 - 71.25).abs() < 1e-9, "the pins stay where they are");
    }
}

/// The radius of the first planet's pin circle, laid out.
struct PinRadius(f64);

impl PinRadius {
    fn of(set: &Gearset) -> Self {
        let group = &set.planet_groups()[0];
        let layout = layout(set, group, &timing(set).groups[0]).expect("it can be laid out");
        assert!(layout.is_nominal, "every mesh has the distance of its planet");
        let [x, y] = layout.marks[0].center;
        Self(x.hypot(y))
    }
}

#[test]
fn modules_are_told_once_for_meshes_that_share_a_gear_and_written_as_numbers() {
    let set = read_example("millrace-winch");
    let ask = |modules: &[(&str, &[i64])]| {
        let mut text = RequestText::default();
        text.allow_teeth("S", 20, 30);
        for (mesh, sizes) in modules {
            text.allow_modules(mesh, sizes.iter().map(|&size| fraction(size, 1)).collect());
        }
        text
    };
    let twice = ask(&[("S with p", &[2, 3]), ("R with p", &[2])]).request(&set).unwrap();
    assert!(matches!(TeethPlan::new(&set, &twice), Err(TeethFault::ModulesTwice(_))));
    for sizes in [&[][..], &[0]] {
        let none = ask(&[("S with p", sizes)]).request(&set).unwrap();
        assert!(matches!(TeethPlan::new(&set, &none), Err(TeethFault::NoModules(_))));
    }
    let wrong = ask(&[("S with q", &[2]), ("S with p", &[-2, -1])]).request(&set).unwrap_err();
    assert_eq!(wrong.len(), 3, "{wrong:?}");
    assert_eq!(wrong[0].to_string(), "there is no mesh \"S with q\"");
    // One module for both meshes: the winch grows and shrinks with it, and nothing else changes.
    let request = ask(&[("S with p", &[2, 3])]).request(&set).unwrap();
    let found = TeethPlan::new(&set, &request).unwrap().search(&Wanted::All, &Options::default()).unwrap();
    assert!(found.results.iter().all(|one| one.modules.len() == 2 && one.modules[0].module == one.modules[1].module));
}

/// Ranges and windows that are upside down were told only after all names were right.
#[test]
fn every_problem_of_a_request_is_told_at_once() {
    let text = RequestSource::read_bytes(
        br#"Search(
            teeth: { "L": (30, 15), "Q": (3, 4) },
            pins: { "clutter": [3], "cluster": [0] },
            ratios: { "lo": Near("x"), "low": Between("3", "2"), "reverse": Near("0") },
        )"#,
    );
    let faults = text.unwrap().request(&read_example("inspection-railcar")).unwrap_err();
    let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
    let begin = [
        "gear \"L\" is to have from 30 to 15 teeth",
        "there is no gear \"Q\"",
        "there is no planet \"clutter\"",
        "planet \"cluster\" cannot have 0 pins",
        "there is no state \"lo\"",
        "a number belongs here, not \"x\"",
        "what is wanted of the ratio of state \"low\" cannot be",
        "what is wanted of the ratio of state \"reverse\" cannot be",
    ];
    assert_eq!(told.len(), begin.len(), "{told:#?}");
    for (told, begin) in told.iter().zip(begin) {
        assert!(told.starts_with(begin), "{told:?} is not {begin:?}");
    }
    let lines: Vec<usize> = faults.iter().map(|fault| fault.start.line).collect();
    assert_eq!(lines, [2, 2, 3, 3, 4, 4, 4, 4], "each in its own line");
}

/// The best are proven before what serves is counted: the count took minutes in which an answer that stood was not shown.
#[test]
fn an_answer_stands_before_what_serves_is_counted() {
    let set = read_example("inspection-railcar");
    let ranges = set.gear_ids().map(|gear| TeethRange { gear, fewest: 17, most: 42 });
    let mut request = TeethRequest::new(ranges);
    let wish = Wish::Near(fraction(11, 4));
    request.ratios.push(RatioWish { state: "low".into(), wish });
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    let threads = |count| Options { threads: NonZeroUsize::new(count), ..Options::default() };
    let found = plan.search(&Wanted::Best(3), &threads(1)).expect("it is sound");
    let counted = |wish: CountWish, options: &Options<'_>| {
        let mut answer = found.clone();
        plan.count(&mut answer, wish, options).expect("it is sound");
        assert!(answer.proven, "a count proves nothing and loses nothing");
        assert_eq!(answer.results.len(), found.results.len());
        (answer.count, answer.counted)
    };
    // Every combination that serves, one by one.
    let all = plan.problem().search(&Wanted::All, &Options::default()).expect("it is sound").found.len();
    let all = u128::try_from(all).expect("a number of combinations");
    assert_eq!(counted(CountWish::Exact, &threads(1)), (all, Counted::All));
    assert_eq!(counted(CountWish::Exact, &threads(2)), (all, Counted::All));
    let (count, how) = counted(CountWish::None, &threads(1));
    assert_eq!((count, how), (found.count, Counted::AtLeast), "what the search came across");
    assert!(count < all);
    let bounded = counted(CountWish::AtLeast, &threads(1));
    assert!((count..=all).contains(&bounded.0));
    assert_eq!(bounded, counted(CountWish::AtLeast, &threads(2)), "a bounded count is the same on any machine");
    let stop = std::sync::atomic::AtomicBool::new(true);
    let (stopped, how) = counted(CountWish::Exact, &Options { stop: Some(&stop), ..Options::default() });
    assert!((count..all).contains(&stopped));
    assert_eq!(how, Counted::AtLeast);
}

/// A wish for reverse, whose ratio holds no gear that may change: it was searched for, and what was found was no nearer.
#[test]
fn a_wish_that_no_count_can_change_is_told_before_the_search() {
    let set = read_example("inspection-railcar");
    let gear = |name: &str| set.gear_named(name).expect("it is there");
    let asked = |gears: &[&str], wish: Wish| {
        let ranges = gears.iter().map(|name| TeethRange { gear: gear(name), fewest: 15, most: 45 });
        let mut request = TeethRequest::new(ranges);
        request.ratios.push(RatioWish { state: "reverse".into(), wish });
        TeethPlan::new(&set, &request).map(|_| ())
    };
    // Of reverse D d R r: by hand, 1 over 1 - (R d) / (r D) = 1 - (31 * 31) / (26 * 26) = -285 / 676.
    let fixed = TeethFault::FixedRatio {
        state: "reverse".into(),
        ratio: fraction(-676, 285),
        gears: ["D", "R", "d", "r"].map(String::from).to_vec(),
    };
    assert_eq!(asked(&["L", "l"], Wish::Near(fraction(-5, 2))), Err(fixed.clone()));
    assert_eq!(asked(&["L", "l"], Wish::Largest), Err(fixed.clone()));
    assert_eq!(asked(&["L", "l"], Wish::Between(fraction(-2, 1), fraction(-1, 1))), Err(fixed.clone()));
    assert_eq!(asked(&["L", "l"], Wish::Between(fraction(-3, 1), fraction(-2, 1))), Ok(()), "it is within");
    assert_eq!(asked(&["L", "r"], Wish::Near(fraction(-5, 2))), Ok(()));
    assert!(fixed.to_string().contains("by the teeth of D, R, d, r"), "{fixed}");
}

/// One of 64 parts took five times as long as the whole: what is best in so small a share is far from the best of all, and
/// nothing told it so.
#[test]
fn a_part_does_less_than_the_whole() {
    let set = read_example("town-bus-pre-selector");
    let mut text = RequestText::default();
    for (kind, fewest, most) in [("S", 16, 40), ("R", 60, 90), ("p", 14, 40)] {
        (1..=3).for_each(|at| text.allow_teeth(&format!("{kind}{at}"), fewest, most));
    }
    for (state, ratio) in [("first", "4.2"), ("second", "2.4"), ("third", "1.5")] {
        text.wish_ratio(state, ratio).expect("a number");
    }
    let request = text.request(&set).expect("every name is there");
    let plan = TeethPlan::new(&set, &request).expect("the request is sound");
    let visited = |part| {
        let options = Options { threads: NonZeroUsize::new(1), part, ..Options::default() };
        plan.search(&Wanted::Best(10), &options).expect("it is sound").visited
    };
    let (part, whole) = (visited(Some(WorkShare { index: 0, of: 64 })), visited(None));
    assert!(2 * part < whole, "{part} of {whole}");
}
