//! What becomes of a search that may keep little: a count goes on and comes to the same, a search ends with what it has.

use toothmark::exact::fraction;
use toothmark::search::{Expression, MemoryBound, Options, Requirement, SearchProblem, Space, Wanted};

fn bounded(bytes: u64) -> Options<'static> {
    Options { memory: Some(MemoryBound { bytes, per_found: 0 }), ..Options::default() }
}

/// Two pairs that share nothing but a difference, by which the counts of the second are remembered.
fn pairs() -> SearchProblem {
    let mut space = Space::new();
    let [a, b, c, d] = ["a", "b", "c", "d"].map(|name| space.range(name, 1..=25));
    let difference = space.derived("difference", a - b);
    let mut problem = SearchProblem::new(space);
    let by_code = |values: &[i64]| (values[0] * values[1] + values[2]) % 7 == 0;
    problem.require("pairs", Requirement::code([c, d, difference], by_code));
    problem.choose_in_order([a, b, c, d]);
    problem
}

/// Nothing bounded what a count remembered. Where no more may be, it comes to the same, and says that it was slower.
#[test]
fn a_count_that_remembers_little_comes_to_the_same() {
    let problem = pairs();
    let whole = problem.search(&Wanted::Count, &Options::default()).expect("it can be searched");
    assert!(whole.count > 10_000 && whole.complete && !whole.memory_reached, "{whole:?}");
    for bytes in [0, 300, 3_000, 6_000] {
        let little = problem.search(&Wanted::Count, &bounded(bytes)).expect("it can be searched");
        assert!(little.memory_reached && little.complete, "{bytes} bytes");
        assert_eq!((little.count, &little.excluded), (whole.count, &whole.excluded), "{bytes} bytes");
        assert!(little.visited > whole.visited, "{bytes} bytes: {} and {}", little.visited, whole.visited);
    }
    let enough = problem.search(&Wanted::Count, &bounded(1 << 30)).expect("it can be searched");
    assert_eq!(enough, whole);
}

/// All that was found was kept, ties without end as well: fifteen gigabytes for 470,000 results.
#[test]
fn a_search_that_may_keep_little_ends_with_what_it_has() {
    let mut space = Space::new();
    let [a, b, c] = ["a", "b", "c"].map(|name| space.range(name, 1..=20));
    let mut problem = SearchProblem::new(space);
    problem.require("sum", (Expression::from(a) + b + c).divisible_by(7));
    // Very many are as good as the best.
    problem.minimise(Expression::from(a) - a);
    for wanted in [Wanted::All, Wanted::Best(3), Wanted::Pareto, Wanted::Within(fraction(1, 1))] {
        let whole = problem.search(&wanted, &Options::default()).expect("it can be searched");
        assert!(whole.complete && whole.found.len() > 1_000, "{wanted:?}: {}", whole.found.len());
        let little = problem.search(&wanted, &bounded(100_000)).expect("it can be searched");
        assert!(little.memory_reached && !little.complete && little.undecided > 0, "{wanted:?}");
        assert!((100..1_000).contains(&little.found.len()), "{wanted:?}: {}", little.found.len());
        assert!(little.found.iter().all(|found| whole.found.contains(found)), "{wanted:?}");
        let excluded: u128 = little.excluded.iter().map(|one| one.combinations).sum();
        assert_eq!(little.count + excluded + little.beaten + little.undecided, little.combinations, "{wanted:?}");
        let enough = problem.search(&wanted, &bounded(1 << 30)).expect("it can be searched");
        assert_eq!(enough, whole, "{wanted:?}");
    }
}
