//! Which pairs of unknowns get a fixed quotient when a few unknowns are set equal, and by which choice?
//!
//! Every choice within bounds is tried, the smallest first: each step of the search sets two
//! unknowns equal and shares what it has worked out with all choices that begin alike (see
//! `directions`). Of the choices that fix a quotient only those are named that rest on
//! nothing needless: no smaller choice contained in one fixes it as well.

use crate::exact::rational::Fraction;

use super::directions::Directions;
use super::equations::Equality;
use crate::exact::checked_integer::CheckedInteger;

/// The unknowns that are watched and what is always equal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Watched {
    /// The unknowns that are watched, by their numbers in the system: none of them inner, none
    /// equal to another, and the first of them unknown 0.
    pub unknowns: Vec<usize>,
    /// What is equal in every choice.
    pub always: Vec<Equality>,
}

/// Which choices there are. Numbers of unknowns are places in [`Watched::unknowns`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mergers {
    /// Every way to part the watched unknowns into sets of equal ones, in which so many
    /// equalities hold at most.
    Any {
        /// For each watched unknown, whether it may be equal to others than unknown 0.
        with_others: Vec<bool>,
        /// The largest number of equalities.
        most: usize,
    },
    /// So many of the equalities given, at most.
    Of {
        /// Pairs that may be set equal.
        pairs: Vec<[usize; 2]>,
        /// The largest number of pairs at once.
        most: usize,
    },
}

/// What is set equal, and what is left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Merger {
    /// Pairs that are equal: for [`Mergers::Any`] one with the first of its set, first the
    /// larger number; for [`Mergers::Of`] the pairs as given.
    pub pairs: Vec<[usize; 2]>,
    /// For [`Mergers::Of`] the places of the pairs among those given.
    pub places: Vec<usize>,
    /// How many values can still be chosen at will.
    pub freedom: usize,
    /// Whether all watched unknowns but the first are equal then, and not all zero.
    pub all_alike: bool,
}

/// A quotient of two watched unknowns that some choices fix.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FixedQuotient {
    /// The two unknowns, the smaller first.
    pub pair: [usize; 2],
    /// The first divided by the second.
    pub quotient: Fraction,
    /// The choices that fix it and rest on nothing needless, smallest first.
    pub mergers: Vec<usize>,
}

/// What all choices lead to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Merged {
    /// Every choice, by the number of its equalities.
    pub mergers: Vec<Merger>,
    /// Every quotient that is fixed, ordered by pair and then by value.
    pub quotients: Vec<FixedQuotient>,
    /// For each watched unknown the choices that make it zero and rest on nothing needless.
    pub zeros: Vec<Vec<usize>>,
}

/// How many choices [`Mergers::Any`] has, for so many unknowns that may be equal to others and
/// so many that may not; the largest `u64` where there are more.
///
/// # Examples
/// ```
/// use toothmark::exact::count_mergers;
/// // Nothing; one of three zero; two of three equal.
/// assert_eq!(count_mergers(3, 0, 1), 1 + 3 + 3);
/// assert_eq!(count_mergers(3, 1, 1), 1 + 4 + 3);
/// ```
pub fn count_mergers(with_others: usize, alone: usize, most: usize) -> u64 {
    // W(n + 1, k) = W(n, k) + (n + 1 - (k - 1)) W(n, k - 1): the next of n things begins a set, or joins one of those that
    // the n and unknown 0 are in with k - 1 equalities (Stirling numbers of the second kind).
    let mut ways = vec![0_u64; most + 1];
    ways[0] = 1;
    for things in 0..with_others {
        for equalities in (0..=most).rev() {
            let sets = u64::try_from((things + 1).saturating_sub(equalities.saturating_sub(1))).unwrap_or(u64::MAX);
            let joined = if equalities == 0 { 0 } else { ways[equalities - 1].saturating_mul(sets) };
            ways[equalities] = ways[equalities].saturating_add(joined);
        }
    }
    // One that can only be zero: W(m + 1, k) = W(m, k) + W(m, k - 1).
    for _ in 0..alone {
        for equalities in (1..=most).rev() {
            ways[equalities] = ways[equalities].saturating_add(ways[equalities - 1]);
        }
    }
    ways.iter().fold(0, |sum, ways| sum.saturating_add(*ways))
}

/// A choice and what it leaves.
struct TriedMerger<T> {
    merger: Merger,
    left: Directions<T>,
}

/// Tries every choice, with numbers of one width.
pub(super) fn merge<T: CheckedInteger>(start: Directions<T>, watched: usize, mergers: &Mergers) -> Option<Merged> {
    let mut search = MergerSearch { found: Vec::new(), pairs: Vec::new(), places: Vec::new() };
    match mergers {
        Mergers::Any { with_others, most } => search.part(start, with_others, 1, *most)?,
        Mergers::Of { pairs, most } => search.choose(start, pairs, 0, *most)?,
    }
    let mut found = search.found;
    found.sort_by_key(|found| found.merger.pairs.len());
    let mut tally = QuotientTally::new(watched, mergers);
    for index in 0..found.len() {
        tally.add(&found, index);
    }
    let quotients = tally.quotients(watched);
    let zeros = tally.zeros;
    Some(Merged { mergers: found.into_iter().map(|found| found.merger).collect(), quotients, zeros })
}

/// The search, with the equalities that hold at the moment.
struct MergerSearch<T> {
    found: Vec<TriedMerger<T>>,
    pairs: Vec<[usize; 2]>,
    places: Vec<usize>,
}

impl<T: CheckedInteger> MergerSearch<T> {
    fn note(&mut self, left: Directions<T>) {
        let (pairs, places) = (self.pairs.clone(), self.places.clone());
        let merger = Merger { pairs, places, freedom: left.freedom(), all_alike: left.all_alike() };
        self.found.push(TriedMerger { merger, left });
    }

    /// Unknown `next` begins a set of its own or joins the first of an earlier one.
    fn part(&mut self, left: Directions<T>, with_others: &[bool], next: usize, most: usize) -> Option<()> {
        if next >= with_others.len() || self.pairs.len() == most {
            self.note(left);
            return Some(());
        }
        // Sets are named by their first members, so that every partition is met once (restricted growth).
        for earlier in 0..next {
            let is_first = self.pairs.iter().all(|pair| pair[0] != earlier);
            if is_first && (earlier == 0 || with_others[earlier] && with_others[next]) {
                self.pairs.push([next, earlier]);
                self.part(left.merged(next, earlier)?, with_others, next + 1, most)?;
                self.pairs.pop();
            }
        }
        self.part(left, with_others, next + 1, most)
    }

    /// The pair at `next` is set equal or not.
    fn choose(&mut self, left: Directions<T>, pairs: &[[usize; 2]], next: usize, most: usize) -> Option<()> {
        if next == pairs.len() || self.pairs.len() == most {
            self.note(left);
            return Some(());
        }
        let [one, other] = pairs[next];
        self.pairs.push(pairs[next]);
        self.places.push(next);
        self.choose(left.merged(one, other)?, pairs, next + 1, most)?;
        self.pairs.pop();
        self.places.pop();
        self.choose(left, pairs, next + 1, most)
    }
}

/// What is known of one pair: quotients with the choice that fixes them.
#[derive(Clone, Default)]
struct Fixed<T> {
    by: Vec<(T, T, usize)>,
    /// How many of them belong to choices smaller than those that are looked at now.
    smaller: usize,
}

/// Quotients and zeros as choice after choice is added, the smallest first.
struct QuotientTally<'a, T> {
    mergers: &'a Mergers,
    size: usize,
    pairs: Vec<Fixed<T>>,
    zeros: Vec<Vec<usize>>,
    smaller_zeros: Vec<usize>,
}

impl<'a, T: CheckedInteger> QuotientTally<'a, T> {
    fn new(watched: usize, mergers: &'a Mergers) -> Self {
        let pairs = vec![Fixed { by: Vec::new(), smaller: 0 }; watched * watched];
        Self { mergers, size: 0, pairs, zeros: vec![Vec::new(); watched], smaller_zeros: vec![0; watched] }
    }

    fn add(&mut self, found: &[TriedMerger<T>], index: usize) {
        let TriedMerger { merger, left } = &found[index];
        // Of two choices of one size neither is contained in the other: only smaller ones are compared with.
        if merger.pairs.len() > self.size {
            self.size = merger.pairs.len();
            self.pairs.iter_mut().for_each(|fixed| fixed.smaller = fixed.by.len());
            self.smaller_zeros = self.zeros.iter().map(Vec::len).collect();
        }
        let watched = self.zeros.len();
        let within = Containment::new(merger, watched, self.mergers);
        let shares = left.shares();
        for one in 1..watched {
            let Some(first) = shares.get(one).and_then(Option::as_ref) else {
                if !self.zeros[one][..self.smaller_zeros[one]].iter().any(|&by| within.holds(&found[by].merger)) {
                    self.zeros[one].push(index);
                }
                continue;
            };
            for (other, second) in shares.iter().enumerate().skip(one + 1) {
                let Some(second) = second else { continue };
                let fixed = &mut self.pairs[one * watched + other];
                if first.direction != second.direction
                    || fixed.by[..fixed.smaller].iter().any(|(_, _, by)| within.holds(&found[*by].merger))
                {
                    continue;
                }
                // x_one / x_other = a/b, in lowest terms and with b positive: equal quotients have equal parts.
                let divisor = first.part.common_divisor(&second.part);
                let divisor = if second.part.is_negative() { -divisor } else { divisor };
                let part = |part: &T| part.clone() / divisor.clone();
                fixed.by.push((part(&first.part), part(&second.part), index));
            }
        }
    }

    fn quotients(&mut self, watched: usize) -> Vec<FixedQuotient> {
        let mut quotients: Vec<FixedQuotient> = Vec::new();
        for (place, fixed) in self.pairs.iter_mut().enumerate() {
            let pair = [place / watched, place % watched];
            fixed.by.sort_by(|a, b| (&a.0, &a.1, a.2).cmp(&(&b.0, &b.1, b.2)));
            let start = quotients.len();
            for run in fixed.by.chunk_by(|a, b| a.0 == b.0 && a.1 == b.1) {
                let (numerator, denominator, _) = &run[0];
                let quotient = Fraction::new_raw(numerator.clone().into(), denominator.clone().into());
                quotients.push(FixedQuotient { pair, quotient, mergers: run.iter().map(|by| by.2).collect() });
            }
            quotients[start..].sort_by(|a, b| a.quotient.cmp(&b.quotient));
        }
        quotients
    }
}

/// A choice, made ready to be asked which smaller choices it contains.
enum Containment<'a> {
    /// For each watched unknown the first of its set.
    Sets(Vec<usize>),
    /// The places of its pairs.
    Places(&'a [usize]),
}

impl<'a> Containment<'a> {
    fn new(merger: &'a Merger, watched: usize, mergers: &Mergers) -> Self {
        if matches!(mergers, Mergers::Of { .. }) {
            return Self::Places(&merger.places);
        }
        let mut first: Vec<usize> = (0..watched).collect();
        merger.pairs.iter().for_each(|&[one, of]| first[one] = of);
        Self::Sets(first)
    }

    /// Whether all that is equal in the smaller choice is equal in this one.
    fn holds(&self, smaller: &Merger) -> bool {
        match self {
            Self::Sets(first) => smaller.pairs.iter().all(|&[one, other]| first[one] == first[other]),
            Self::Places(places) => smaller.places.iter().all(|place| places.contains(place)),
        }
    }
}

#[cfg(test)]
mod tests {
    use num_bigint::BigInt;

    use super::*;
    use crate::exact::{LinearSystem, Term};

    #[test]
    fn as_many_choices_are_tried_as_are_counted() {
        for (with_others, alone) in [(0, 0), (1, 0), (3, 0), (5, 0), (4, 2), (0, 3)] {
            let watched = 1 + with_others + alone;
            let able: Vec<bool> = (0..watched).map(|unknown| unknown <= with_others).collect();
            for most in 0..=watched {
                let mergers = Mergers::Any { with_others: able.clone(), most };
                let start = Directions::<i64>::of(&vec![None; watched], &[]).unwrap();
                let found = merge(start, watched, &mergers).unwrap();
                let number = u64::try_from(found.mergers.len()).unwrap();
                assert_eq!(number, count_mergers(with_others, alone, most), "{with_others}, {alone}, {most}");
                let largest = found.mergers.iter().map(|merger| merger.pairs.len()).max();
                assert_eq!(largest, Some(most.min(watched - 1)), "{with_others}, {alone}, {most}");
            }
        }
    }

    #[test]
    fn numbers_beyond_a_machine_word_are_exact_too() {
        const HUGE: i64 = i64::MAX - 24;
        let terms = [Term::of(HUGE, 1), Term::of(HUGE - 1, 2), Term::of(HUGE - 5, 3)];
        let system = LinearSystem::new(4, vec![terms.into_iter().collect()], &[]);
        let watched = Watched { unknowns: vec![0, 1, 2, 3], always: Vec::new() };
        let found = system.merge(&watched, &Mergers::Of { pairs: vec![[2, 3]], most: 1 });
        let quotient = found.quotients.iter().find(|found| found.pair == [1, 2]).unwrap();
        let sum = BigInt::from(HUGE - 1) + BigInt::from(HUGE - 5);
        assert_eq!(quotient.quotient, Fraction::new(-sum, HUGE.into()));
    }
}
