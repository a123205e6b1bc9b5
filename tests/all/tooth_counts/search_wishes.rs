//! Does a search understand what is wished for, and say so where it cannot be?
//!
//! The twins build the gearset of every combination and ask the analyses of it.

use num_traits::Signed;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::Gearset;
use toothmark::kinematics::motions;
use toothmark::search::{Options, Wanted};
use toothmark::tooth_search::{
    RatioWish, RequestText, SearchOrigin, TeethAnswer, TeethPlan, TeethRange, TeethRequest, Wish,
};

use crate::support::sets::read_example;

fn ranges(set: &Gearset, gears: &[(&str, u16, u16)]) -> Vec<TeethRange> {
    let range = |&(name, fewest, most): &(&str, u16, u16)| TeethRange {
        gear: set.gear_named(name).expect("it is there"),
        fewest,
        most,
    };
    gears.iter().map(range).collect()
}

/// Every gearset with counts of these ranges.
fn every(set: &Gearset, ranges: &[TeethRange]) -> Vec<Gearset> {
    ranges.iter().fold(vec![set.clone()], |sets, range| {
        let counts = range.fewest..=range.most;
        let with = |set: &Gearset| {
            let each = counts.clone().map(|count| set.with_tooth_counts([(range.gear, count.into())]));
            each.collect::<Result<Vec<_>, _>>().expect("the counts can be described")
        };
        sets.iter().flat_map(with).collect()
    })
}

/// Input turns per output turn, where the state drives.
fn ratio(set: &Gearset, state: &str) -> Option<Fraction> {
    motions(set).into_iter().find(|motion| motion.state == state)?.verdict.ratio().cloned()
}

fn is_forwards(set: &Gearset) -> bool {
    ratio(set, "reverse").is_some_and(|ratio| ratio.is_positive())
}

fn all(set: &Gearset, request: &TeethRequest) -> TeethAnswer {
    let plan = TeethPlan::new(set, request).expect("the request is sound");
    plan.search(&Wanted::All, &Options::default()).expect("it is sound")
}

fn asked(set: &Gearset, text: &str) -> TeethAnswer {
    let text = RequestText::read(text).expect("it is a request");
    let request = text.request(set).expect("it is sound");
    let plan = TeethPlan::new(set, &request).expect("so is the plan");
    plan.answer(&SearchOrigin::new(set, &text, Some(3)), &Options::default()).expect("it can be searched")
}

/// A reverse of 2.5 was taken for one that turns the output forwards, which no counts gave: what was listed was as far off
/// as could be, and nobody was told.
#[test]
fn the_sign_of_a_wish_is_turned_only_where_no_counts_can_give_it() {
    let set = read_example("inspection-railcar");
    let some_forwards = ranges(&set, &[("R", 20, 33), ("r", 24, 37)]);
    let none_forwards = ranges(&set, &[("R", 27, 33), ("r", 24, 30)]);
    for (gears, meant) in [(none_forwards, vec![fraction(-5, 2)]), (some_forwards, Vec::new())] {
        let forwards = every(&set, &gears).iter().filter(|set| is_forwards(set)).count();
        assert_eq!(forwards == 0, !meant.is_empty(), "{forwards} of them turn it forwards");
        let mut request = TeethRequest::new(gears);
        request.ratios.push(RatioWish { state: "reverse".into(), wish: Wish::Near(fraction(5, 2)) });
        let answer = all(&set, &request);
        let turned: Vec<Fraction> = answer.wishes_turned.iter().flat_map(|turned| turned.taken.clone()).collect();
        assert_eq!(turned, meant);
        if !meant.is_empty() {
            request.ratios[0].wish = Wish::Near(fraction(-5, 2));
            let literal = all(&set, &request);
            let measures =
                |answer: &TeethAnswer| answer.results.iter().map(|it| it.measures.clone()).collect::<Vec<_>>();
            assert_eq!(measures(&answer), measures(&literal), "the same is found");
            assert!(literal.wishes_turned.is_empty());
        }
        for found in &answer.results {
            let now_forwards = is_forwards(&found.set);
            assert_eq!(found.senses_changed, if now_forwards { vec!["reverse".to_owned()] } else { Vec::new() });
            // What was taken with the other sign is not missed by it.
            let is_missed = meant.is_empty() && !now_forwards;
            assert_eq!(found.senses_missed, if is_missed { vec!["reverse".to_owned()] } else { Vec::new() });
        }
    }
    let mut window = TeethRequest::new(ranges(&set, &[("R", 27, 33), ("r", 24, 30)]));
    let wish = Wish::Between(fraction(2, 1), fraction(3, 1));
    window.ratios.push(RatioWish { state: "reverse".into(), wish });
    let answer = all(&set, &window);
    assert_eq!(answer.wishes_turned[0].taken, [fraction(-3, 1), fraction(-2, 1)]);
    assert!(!answer.results.is_empty());
}

/// L alone cannot change, as the sum of L and l has to stay 57: the answer was that nothing serves.
#[test]
fn the_gear_that_has_to_be_free_as_well_is_named() {
    let set = read_example("inspection-railcar");
    let proposed = |text: &str| {
        let answer = asked(&set, text);
        let named =
            |one: &toothmark::tooth_search::FreeAsWell| (set.gear(one.gear).name().to_owned(), one.fewest, one.most);
        answer.free_as_well.iter().map(named).collect::<Vec<_>>()
    };
    // 57 - 30 = 27 and 57 - 15 = 42 teeth.
    let alone = r#"Search(teeth: {"L": (15, 30)}, ratios: {"low": Between(2.4, 2.6)})"#;
    assert_eq!(proposed(alone), [("l".into(), 27, 42)]);
    let both = r#"Search(teeth: {"L": (15, 30), "l": (27, 42)}, ratios: {"low": Between(2.4, 2.6)})"#;
    assert_eq!(proposed(both), [], "something serves");
    // No counts bring low near 90.
    let never = r#"Search(teeth: {"L": (15, 30)}, ratios: {"low": Between(90, 91)})"#;
    assert_eq!(proposed(never), [], "what does not help is not proposed");
    let two = r#"Search(teeth: {"L": (18, 22), "R": (29, 33)}, ratios: {"low": Near(2.5), "reverse": Near(-2)})"#;
    assert_eq!(proposed(two), [("l".into(), 35, 39)], "one that helps is enough");

    // Where both gears of the mesh are free, another pair of them is not what is missing.
    let margin = r#"Search(teeth: {"L": (19, 21), "l": (33, 38)}, ratios: {"low": Between(2, 2.75)}, margin: "1/8")"#;
    assert_eq!(proposed(margin), []);

    // Every gearset with L and l in these ranges, one by one: some serve as the request says.
    let gears = ranges(&set, &[("L", 15, 30), ("l", 27, 42)]);
    let serves = |set: &Gearset| {
        let low = ratio(set, "low").expect("it drives");
        let count = |name| set.gear(set.gear_named(name).expect("it is there")).tooth_count().get();
        (fraction(12, 5)..=fraction(13, 5)).contains(&low)
            && count("L") + count("l") == 57
            && toothmark::timing::timing(set).groups[0].assembles
    };
    assert!(every(&set, &gears).iter().any(serves));
}

/// The sun of a plain planet set cannot change alone, nor with the planet where the ring stays and three pins have to fit;
/// the ring as well has to.
#[test]
fn of_a_plain_planet_as_many_gears_are_named_as_it_takes() {
    let set = read_example("millrace-winch");
    let answer = asked(&set, r#"Search(teeth: {"S": (20, 28)}, ratios: {"ring held": Between(3.6, 4)})"#);
    assert!(!answer.free_as_well.is_empty());
    let further = answer.free_as_well.iter().map(|one| (set.gear(one.gear).name(), one.fewest, one.most));
    let gears: Vec<(&str, u16, u16)> = [("S", 20, 28)].into_iter().chain(further).collect();
    let serves = |set: &Gearset| {
        let count = |name| i64::from(set.gear(set.gear_named(name).expect("it is there")).tooth_count().get());
        count("R") == count("S") + 2 * count("p")
            && (count("R") + count("S")) % 3 == 0
            && (fraction(18, 5)..=fraction(4, 1)).contains(&ratio(set, "ring held").expect("it drives"))
    };
    assert!(every(&set, &ranges(&set, &gears)).iter().any(serves), "{gears:?}");
    assert!(!every(&set, &ranges(&set, &gears[..1])).iter().any(serves));
}
