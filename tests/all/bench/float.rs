//! Which washers give the float that is wanted: against every subset, and against sums done by hand.

use std::collections::BTreeSet;

use toothmark::bench::{
    CannotChooseWashers, EndFloat, ExactReading, FloatGap, FloatQuestion, FloatRemedy, MeasuredGap, end_float,
};
use toothmark::exact::{Fraction, fraction, parse};
use toothmark::gearset::Length;

fn number(text: &str) -> Fraction {
    parse(text).unwrap_or_else(|| panic!("{text}"))
}

fn mm(text: &str) -> Length {
    Length::Millimetres(number(text))
}

fn read(unit: fn(&str) -> Length, text: &str) -> Vec<ExactReading> {
    text.split_whitespace().map(|size| ExactReading::new(unit(size))).collect()
}

fn float_of(unit: fn(&str) -> Length, now: &str, wanted: [&str; 2], best: Option<&str>) -> FloatGap {
    let measured = MeasuredGap::Float(ExactReading::new(unit(now)));
    FloatGap { name: None, measured, wanted: wanted.map(unit), best: best.map(unit) }
}

fn ask(gap: FloatGap, washers: Vec<ExactReading>, most: usize) -> EndFloat {
    end_float(&FloatQuestion { gaps: vec![gap], washers, most: Some(most) }).expect("it has an answer")
}

/// 0.05 + 0.02 + 0.02 + 0.01 + 0.01 = 0.11, about a float of 0.3: 0.19 to 0.41.
#[test]
fn a_float_is_sure_that_the_worst_case_leaves_within_what_is_wanted() {
    let good_to = |size: &str, within: &str| ExactReading { length: mm(size), within: Some(mm(within)) };
    let space = good_to("41.37", "0.05");
    let measured = MeasuredGap::Space { space, parts: vec![good_to("12.02", "0.02"), good_to("26.25", "0.02")] };
    let washers = vec![good_to("1.25", "0.01"), good_to("1.55", "0.01")];
    for (least, is_sure) in [("0.2", false), ("0.19", true)] {
        let wanted = [least, "0.41"].map(mm);
        let gap = FloatGap { name: None, measured: measured.clone(), wanted, best: Some(mm("0.3")) };
        let found = ask(gap, washers.clone(), 2);
        assert_eq!((found.stacks[0].is_sure, found.usual_error_taken), (is_sure, false), "{found:?}");
    }
}

/// 0.09 is there and 0.15 to 0.25 is wanted: 0.11 off leaves 0.2. No washer helps, not even the nearest.
#[test]
fn where_there_is_too_little_something_comes_off() {
    let found = ask(float_of(mm, "0.09", ["0.15", "0.25"], None), read(mm, "0.10 0.35"), 3);
    assert_eq!((found.missing, found.gaps[0].remedy), (Some(number("0.11")), Some(FloatRemedy::TakeOff)));
    assert_eq!(found.gaps[0].nearest, None);
}

#[test]
fn a_float_that_is_right_already_needs_no_washer() {
    let found = ask(float_of(mm, "0.3", ["0.2", "0.4"], None), read(mm, "0.05 0.2"), 2);
    assert_eq!(found.stacks[0].washers, []);
    assert_eq!(found.choices, Some(2));
}

/// Space for 1.5 and washers of 0.4 and 2: 0.4 leaves 1.1, 2 leaves 0.5 too little. The one that is thicker is nearer.
#[test]
fn what_is_missing_is_a_washer_or_the_thickness_of_one() {
    let found = ask(float_of(mm, "1.7", ["0.1", "0.3"], None), read(mm, "0.4 2"), 3);
    assert_eq!((found.missing, found.gaps[0].remedy), (Some(number("1.5")), Some(FloatRemedy::MakeWasher)));
    let nearest = found.gaps[0].nearest.as_ref().expect("there are washers");
    assert_eq!((&nearest.washers, &nearest.float), (&vec![number("2")], &number("-0.3")));
    let closed = ask(float_of(mm, "0", ["0.1", "0.3"], None), Vec::new(), 3);
    assert_eq!((closed.missing, closed.gaps[0].nearest.clone()), (Some(number("0.2")), None));
}

/// A gear stands 0.9 off and is wanted at 0.2 to 0.6: 0.9 - 0.4 = 0.5 further, 0.3 to 0.7.
#[test]
fn a_gear_is_pressed_on_by_what_is_too_much() {
    let measured = MeasuredGap::Pressed(ExactReading::new(mm("0.9")));
    let gap = FloatGap { name: Some("gear".into()), measured, wanted: ["0.2", "0.6"].map(mm), best: None };
    let found = ask(gap, Vec::new(), 3);
    assert_eq!(found.gaps[0].press_by, Some(number("0.5")));
    assert_eq!(found.gaps[0].press_within, Some(["0.3", "0.7"].map(number)));
    assert!(found.serves() && found.missing.is_none());
}

/// Numbers that look random: a linear congruential generator, the same in every run.
struct Drawn(u64);

impl Drawn {
    fn from(&mut self, least: i64, most: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let span = u64::try_from(most - least + 1).expect("the most is not less");
        least + i64::try_from((self.0 >> 33) % span).expect("it is small")
    }

    /// A multiple of 0.05 mm, so that many stacks are alike.
    fn length(&mut self, least: i64, most: i64) -> Length {
        Length::Millimetres(fraction(self.from(least, most) * 5, 100))
    }

    fn gap(&mut self, at: usize) -> FloatGap {
        let least = self.from(0, 3);
        let most = least + self.from(0, 3);
        FloatGap {
            name: Some(format!("gap {at}")),
            measured: MeasuredGap::Float(ExactReading::new(self.length(2, 18))),
            wanted: [self.length(least, least), self.length(most, most)],
            best: (self.from(0, 1) == 1).then(|| self.length(least, most)),
        }
    }
}

/// A choice of a stack for every gap, with its distance from the best floats together.
type Choice = (Fraction, usize, Vec<Vec<Fraction>>);

/// Every way to put each washer into one of the gaps or aside.
fn every_choice(question: &FloatQuestion) -> Vec<Choice> {
    let value = |length: &Length| length.exact_millimetres();
    let mut all: BTreeSet<Vec<Vec<Fraction>>> = [vec![Vec::new(); question.gaps.len()]].into();
    for washer in &question.washers {
        let with = |choice: &Vec<Vec<Fraction>>| -> Vec<Vec<Vec<Fraction>>> {
            let into = |gap: usize| {
                let mut choice = choice.clone();
                choice[gap].push(value(&washer.length));
                choice[gap].sort();
                choice
            };
            (0..choice.len()).map(into).collect()
        };
        let more: Vec<_> = all.iter().flat_map(with).collect();
        all.extend(more);
    }
    let choice = |stacks: Vec<Vec<Fraction>>| -> Option<Choice> {
        let mut distance = fraction(0, 1);
        for (gap, stack) in question.gaps.iter().zip(&stacks) {
            let mut readings = gap.measured.readings().map(|reading| value(&reading.length));
            let first = readings.next().expect("a gap has a reading");
            let float = readings.chain(stack.iter().cloned()).fold(first, |float, size| float - size);
            let [least, most] = gap.wanted.each_ref().map(value);
            if float < least || float > most || stack.len() > question.most() {
                return None;
            }
            let best = gap.best.as_ref().map_or((least + most) / fraction(2, 1), value);
            let off = float - best;
            distance += if off < fraction(0, 1) { -off } else { off };
        }
        Some((distance, stacks.iter().map(Vec::len).sum(), stacks))
    };
    let mut found: Vec<Choice> = all.into_iter().filter_map(choice).collect();
    found.sort();
    found
}

#[test]
fn the_best_of_every_subset_is_found() {
    let mut drawn = Drawn(20_407);
    let (mut served, mut helped) = ([0; 4], 0);
    for round in 0..400 {
        let gaps = (0..[1, 1, 2, 3][round % 4]).map(|gap| drawn.gap(gap)).collect();
        let washer_count = drawn.from(0, [9, 9, 6, 5][round % 4]);
        let washers = (0..washer_count).map(|_| ExactReading::new(drawn.length(1, 8))).collect();
        let most = usize::try_from(drawn.from(1, 3)).ok();
        let question = FloatQuestion { gaps, washers, most };
        let found = end_float(&question).expect("it has an answer");
        let wanted = every_choice(&question);
        assert_eq!(found.choices, Some(wanted.len() as u64), "{question:?}");
        let best: Vec<Vec<Vec<Fraction>>> =
            (1..=3).map(|at| found.of_choice(at).map(|stack| stack.washers.clone()).collect()).collect();
        let wanted_best: Vec<_> = wanted.iter().take(3).map(|(_, _, stacks)| stacks.clone()).collect();
        assert_eq!(best[..wanted_best.len()], wanted_best, "round {round}: {question:?}");
        assert_eq!(found.missing.is_some(), wanted.is_empty() && gap_lacks(&found), "{question:?}");
        served[round % 4] += usize::from(!wanted.is_empty());
        helped += usize::from(helps(&found, &question));
    }
    assert!(served.iter().all(|&count| count >= 5) && helped > 0, "{served:?}, {helped}");
}

/// Whether gaps that could each be served lack a washer together; with it all of them are.
#[track_caller]
fn helps(found: &EndFloat, question: &FloatQuestion) -> bool {
    let is_shared = found.gaps.iter().all(|gap| gap.missing.is_none());
    let Some(washer) = found.missing.clone().filter(|_| is_shared) else { return false };
    let mut with = question.clone();
    with.washers.push(ExactReading::new(Length::Millimetres(washer)));
    assert!(!every_choice(&with).is_empty(), "{:?} is of no help: {question:?}", found.missing);
    true
}

/// Whether it can be told what is missing.
fn gap_lacks(found: &EndFloat) -> bool {
    found.gaps.iter().any(|gap| gap.stacks_alone == Some(0))
        || found.one_too_few_of.is_some()
        || found.washer_for.is_some()
}

/// Two gaps want the one washer of 0.5 that there is: another is missing.
#[test]
fn washers_that_several_gaps_want_are_told() {
    let gap = |name: &str| FloatGap { name: Some(name.into()), ..float_of(mm, "0.7", ["0.15", "0.25"], None) };
    let gaps = vec![gap("front"), gap("rear")];
    let found = end_float(&FloatQuestion { gaps, washers: read(mm, "0.5 0.1"), most: None }).unwrap();
    assert!(found.stacks.is_empty() && !found.serves());
    assert_eq!((found.missing, found.one_too_few_of), (Some(number("0.5")), Some(number("0.5"))));
}

/// Another washer of 0.08 was said to do, as the best stacks take three of it: 0.24 has no room for 0.16 and 0.08 then. Two
/// gaps share 0.08, 0.08 and 0.16; the first wants all of 0.24 filled, the second 0.30 to 0.32 of 0.38.
#[test]
fn a_washer_that_is_missing_is_one_that_helps() {
    let gap = |name: &str, now: &str, wanted| FloatGap { name: Some(name.into()), ..float_of(mm, now, wanted, None) };
    let gaps = vec![gap("front", "0.24", ["0", "0"]), gap("rear", "0.38", ["0.06", "0.08"])];
    let question = FloatQuestion { gaps, washers: read(mm, "0.08 0.08 0.16"), most: Some(4) };
    let found = end_float(&question).expect("it has an answer");
    assert_eq!((found.missing, found.one_too_few_of), (Some(number("0.24")), None));
    assert_eq!(found.washer_for.as_deref(), Some("front"));
}

/// 120 washers of 60 sizes and 4 in a stack: a subset at a time would be 8 million stacks.
#[test]
fn the_work_grows_with_the_sums_and_not_with_the_stacks() {
    let washers = (0..120).map(|at| ExactReading::new(Length::Millimetres(fraction(100 + (at % 60) * 5, 100))));
    let gap = float_of(mm, "9.00", ["0.1", "0.3"], None);
    let started = std::time::Instant::now();
    let found = ask(gap, washers.collect(), 4);
    assert!(started.elapsed().as_secs() < 5, "{:?}", started.elapsed());
    // 8.80 = 4 x 1.00 and 4.80 more in steps of 0.05, of which at most two are alike; one washer is at most 3.95.
    assert_eq!(found.stacks[0].float, number("0.2"));
    assert!(found.choices > Some(10_000));
}

#[test]
fn what_is_no_size_is_refused() {
    use CannotChooseWashers as Refused;
    #[track_caller]
    fn refuses(question: &FloatQuestion, is_it: impl Fn(&Refused) -> bool) {
        let reasons = end_float(question).expect_err("it is refused");
        assert!(reasons.iter().any(&is_it), "{reasons:?}");
        assert!(reasons.iter().all(|reason| !reason.hint().is_empty() && !reason.to_string().is_empty()));
    }
    let with = |gap: FloatGap, washers: &str| FloatQuestion { gaps: vec![gap], washers: read(mm, washers), most: None };
    let sound = || float_of(mm, "0.6", ["0.1", "0.3"], None);
    refuses(&FloatQuestion::default(), |it| *it == Refused::NoGap);
    refuses(&with(sound(), "0"), |it| matches!(it, Refused::NoSize { what: "washer", .. }));
    refuses(&with(sound(), "20000"), |it| matches!(it, Refused::NoSize { .. }));
    refuses(&with(float_of(mm, "0.6", ["0.3", "0.1"], None), "0.5"), |it| matches!(it, Refused::NoBand { .. }));
    let best = float_of(mm, "0.6", ["0.1", "0.3"], Some("0.4"));
    refuses(&with(best, "0.5"), |it| matches!(it, Refused::BestOutside { .. }));
    let many = || FloatQuestion { most: Some(13), ..with(sound(), "0.5") };
    refuses(&many(), |it| matches!(it, Refused::MostInStack { .. }));
    refuses(&FloatQuestion { most: Some(0), ..many() }, |it| matches!(it, Refused::MostInStack { .. }));
    let washers = vec![read(mm, "0.5")[0].clone(); 201];
    refuses(&FloatQuestion { washers, ..with(sound(), "") }, |it| matches!(it, Refused::TooManyWashers { .. }));
    let unnamed = FloatQuestion { gaps: vec![sound(), sound()], ..with(sound(), "") };
    refuses(&unnamed, |it| *it == Refused::GapWithoutName);
    let named = || FloatGap { name: Some("a".into()), ..sound() };
    let twice = FloatQuestion { gaps: vec![named(), named()], ..with(sound(), "") };
    refuses(&twice, |it| matches!(it, Refused::SameName { .. }));
    let fine = "0.0000000000000000000000000000001";
    refuses(&with(sound(), fine), |it| *it == Refused::NoCommonUnit);
    let out_by = ExactReading { length: mm("0.5"), within: Some(mm("2")) };
    refuses(&FloatQuestion { washers: vec![out_by], ..with(sound(), "") }, |it| matches!(it, Refused::NoError { .. }));
}
