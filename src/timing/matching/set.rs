//! Of the seatings of each cluster on each pin, which go together best as a whole set?
//!
//! The whole set fits no better than any two of its pins. For every seating that fits with the first pin a
//! row of bits says which seatings on later pins it fits with; going from pin to pin what is left is what all
//! rows so far have in common, and a pin that nothing is left for ends the branch. The pin with the fewest
//! seatings comes first. Worked out here.

use super::problem::{MatchProblem, Orders, SetChoice, better_than};
use super::seatings::ClusterSeating;
use super::tension::{Link, least_level};

/// The search below a level that falls with everything that is found.
pub(super) struct SetSearch<'a> {
    problem: &'a MatchProblem,
    orders: Orders,
    /// The level below which anything has to be.
    best: f64,
    pub(super) found: Option<SetChoice>,
    /// How much may still be looked at.
    pub(super) left: u32,
    /// For each two rows the level that a turn between what they ask for takes, over that turn.
    shares: Vec<(usize, usize, f64)>,
    /// For each pin and these two rows what they are short of.
    shortages: Vec<Vec<f64>>,
    /// The cluster on the first pin.
    first: SeatedCluster,
    /// The other pins, the one with the fewest candidates first.
    pins: Vec<OpenPin>,
    /// For each depth the bits of the candidates that fit with all that are chosen.
    fitting: Vec<Vec<u64>>,
    /// The candidates that are chosen, one a pin, in the order of `pins`.
    chosen: Vec<usize>,
    used: Vec<bool>,
}

/// A cluster in one of its seatings.
#[derive(Debug, Clone)]
struct SeatedCluster {
    pin: usize,
    cluster: usize,
    seating: ClusterSeating,
}

/// A pin and what may go on it.
struct OpenPin {
    number: usize,
    /// The best first.
    candidates: Vec<SeatedCluster>,
    /// For each candidate which of all later pins it fits with, once that was asked.
    fits: Vec<Option<Fits>>,
    /// The first word of its bits.
    word: usize,
}

/// Bits of candidates, and the level below which they were looked at.
struct Fits {
    bits: Vec<u64>,
    below: f64,
}

const BITS: usize = 64;

impl<'a> SetSearch<'a> {
    pub(super) fn new(problem: &'a MatchProblem, orders: Orders, best: f64, left: u32) -> Self {
        let shares = problem.shares();
        let on_pin = |pin: usize| shares.iter().map(|&(i, j, _)| problem.pair_shortage(pin, i, j)).collect();
        Self {
            shortages: (0..problem.places.len()).map(on_pin).collect(),
            problem,
            orders,
            best,
            found: None,
            left,
            shares,
            first: SeatedCluster { pin: 0, cluster: 0, seating: ClusterSeating { turns: Vec::new(), level: 0.0 } },
            pins: Vec::new(),
            fitting: Vec::new(),
            chosen: Vec::new(),
            used: Vec::new(),
        }
    }

    /// Tries every set.
    pub(super) fn run(&mut self) {
        for cluster in self.problem.firsts(self.orders) {
            for seating in self.problem.first_seatings(cluster, self.best) {
                if seating.level < self.best && self.left > 0 {
                    self.begin_with(SeatedCluster { pin: 0, cluster, seating });
                }
            }
        }
    }

    /// Tries everything with this on the first pin.
    fn begin_with(&mut self, first: SeatedCluster) {
        let problem = self.problem;
        self.used = vec![false; problem.index.len()];
        self.used[first.cluster] = true;
        let mut pins: Vec<OpenPin> = Vec::new();
        for number in 1..problem.places.len() {
            let mut candidates = Vec::new();
            for cluster in (0..problem.index.len()).filter(|&cluster| self.is_open(number, cluster, first.cluster)) {
                let seatings = problem.seatings(number, cluster, &first.seating.turns, self.best);
                candidates.extend(seatings.into_iter().map(|seating| SeatedCluster { pin: number, cluster, seating }));
            }
            if candidates.is_empty() {
                return;
            }
            candidates.sort_by(|a, b| a.seating.level.total_cmp(&b.seating.level));
            let fits = candidates.iter().map(|_| None).collect();
            pins.push(OpenPin { number, candidates, fits, word: 0 });
        }
        pins.sort_by_key(|pin| pin.candidates.len());
        let mut words = 0;
        for pin in &mut pins {
            pin.word = words;
            words += pin.candidates.len().div_ceil(BITS);
        }
        self.fitting = vec![vec![u64::MAX; words]; pins.len() + 1];
        let level = first.seating.level;
        (self.first, self.pins) = (first, pins);
        self.chosen.clear();
        self.next_pin(level);
    }

    /// Whether a cluster may go on a pin beside one on the first.
    fn is_open(&self, pin: usize, cluster: usize, first: usize) -> bool {
        match self.orders {
            Orders::AsFound => cluster == pin,
            // Turned on, every set has its first cluster on the first pin.
            Orders::All => cluster != first && (cluster > first || !self.problem.turns_on),
        }
    }

    fn next_pin(&mut self, level: f64) {
        let depth = self.chosen.len();
        if depth == self.pins.len() {
            self.record(level);
            return;
        }
        for number in 0..self.pins[depth].candidates.len() {
            let SeatedCluster { cluster, seating: ClusterSeating { level: alone, .. }, .. } =
                self.pins[depth].candidates[number];
            if alone >= self.best || self.left == 0 {
                break;
            }
            let (word, bit) = (self.pins[depth].word + number / BITS, number % BITS);
            if self.fitting[depth][word] >> bit & 1 == 0 || self.stands_back(cluster) {
                continue;
            }
            self.left -= 1;
            if self.narrow(depth, number) {
                self.used[cluster] = true;
                self.chosen.push(number);
                self.next_pin(f64::max(level, alone));
                self.chosen.pop();
                self.used[cluster] = false;
            }
        }
    }

    /// Of clusters that are the same the first that may be taken stands for all.
    fn stands_back(&self, cluster: usize) -> bool {
        let open =
            |other: usize| !self.used[other] && self.is_open(self.problem.places.len(), other, self.first.cluster);
        self.orders == Orders::All && (0..cluster).any(|other| open(other) && self.problem.are_same(other, cluster))
    }

    /// Leaves of the later pins what fits with a candidate too; whether each of them has something left.
    fn narrow(&mut self, depth: usize, number: usize) -> bool {
        /// What was looked at for a level as much higher as that is looked at again.
        const STALE: f64 = 0.95;
        if self.pins[depth].fits[number].as_ref().is_none_or(|fits| fits.below * STALE > self.best) {
            let fits = self.fits(depth, number);
            self.left = self.left.saturating_sub(u32::try_from(fits.bits.len()).unwrap_or(u32::MAX));
            self.pins[depth].fits[number] = Some(fits);
        }
        let Some(Fits { bits, .. }) = &self.pins[depth].fits[number] else { return false };
        let (so_far, next) = self.fitting.split_at_mut(depth + 1);
        let later = &self.pins[depth + 1..];
        later.iter().all(|pin| {
            let mut any = 0;
            for word in pin.word..pin.word + pin.candidates.len().div_ceil(BITS) {
                let left = so_far[depth][word] & bits[word - later[0].word];
                next[0][word] = left;
                any |= left;
            }
            any != 0
        })
    }

    /// Which candidates of later pins fit with one, cluster and all.
    fn fits(&self, depth: usize, number: usize) -> Fits {
        let one = &self.pins[depth].candidates[number];
        let mut bits = Vec::new();
        for pin in &self.pins[depth + 1..] {
            for some in pin.candidates.chunks(BITS) {
                let fits = |other: &SeatedCluster| other.cluster != one.cluster && self.are_within(one, other);
                bits.push(some.iter().rev().fold(0, |word, other| word << 1 | u64::from(fits(other))));
            }
        }
        Fits { bits, below: self.best }
    }

    /// Whether two clusters, seated on two pins, fit below the level.
    fn are_within(&self, a: &SeatedCluster, b: &SeatedCluster) -> bool {
        let apart = |row: usize| a.seating.turns[row] - b.seating.turns[row];
        let (short_a, short_b) = (&self.shortages[a.pin], &self.shortages[b.pin]);
        self.shares.iter().zip(short_a.iter().zip(short_b)).all(|(&(i, j, share), (short_a, short_b))| {
            ((apart(i) - apart(j)).abs() + short_a + short_b) * share < self.best
        })
    }

    /// The pins are all chosen: does the set as a whole fit better than the best so far?
    fn record(&mut self, pairs: f64) {
        let mut on_pins = vec![&self.first; self.problem.places.len()];
        for (pin, &number) in self.pins.iter().zip(&self.chosen) {
            on_pins[pin.number] = &pin.candidates[number];
        }
        let is_within = |(at, a): (usize, &&SeatedCluster)| on_pins[..at].iter().all(|b| self.are_within(a, b));
        // What was found since the bits were made may rule it out already.
        if !on_pins.iter().enumerate().all(is_within) {
            return;
        }
        let turns: Vec<Vec<f64>> = on_pins.iter().map(|candidate| candidate.seating.turns.clone()).collect();
        let links: Vec<Link> = self.problem.links(&turns).collect();
        let level = least_level(self.problem.nodes(), &links, pairs);
        if level < self.best {
            self.best = better_than(level);
            let clusters = on_pins.iter().map(|candidate| candidate.cluster).collect();
            self.found = Some(SetChoice { clusters, turns, level });
        }
    }
}
