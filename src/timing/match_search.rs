//! Which cluster on which pin, and seated by which teeth, so that a measured set fits best?
//!
//! On pin k the rows of gear i ask for a turn of `(n + Z x - index) / P`, for any whole n: a choice
//! of n for every gear is a seating. Two pins alone fit as well as the worst pair of their gears:
//! with `d_i` the difference of what gear i asks for and `s_i` its tolerance in turns, the level is the largest of
//! `|d_i - d_j| / (2 s_i + 2 s_j)` (intervals that meet in pairs meet at once: Helly (1923),
//! Jahresber. DMV 32, 175-176). The whole set fits no better than any two of its pins, so a choice
//! is dropped as soon as two pins are no better than the best set found. Worked out here.

use num_integer::Integer;

use super::tension::{Link, least_level};

/// A mesh of the cluster with a central gear, the signs such that the cluster's count is positive.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    /// P: the teeth of the cluster's gear.
    pub(super) count: i64,
    /// The error, in teeth, that counts as 1.
    pub(super) tolerance: f64,
}

/// What is to be put together.
#[derive(Debug)]
pub(super) struct Problem {
    pub(super) rows: Vec<Row>,
    /// For each pin and row the part of a tooth of `Z x`.
    pub(super) places: Vec<Vec<f64>>,
    /// For each cluster and row the index in teeth.
    pub(super) index: Vec<Vec<f64>>,
    /// Whether the pins are spaced equally, so that turning the set on is no other order.
    pub(super) turns_on: bool,
}

/// A way to put the set together: on each pin a cluster, and the turn that each row asks for.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    pub(super) clusters: Vec<usize>,
    pub(super) turns: Vec<Vec<f64>>,
    pub(super) level: f64,
}

/// Which orders of the clusters are tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Orders {
    AsFound,
    All,
}

/// The best way found, better than the limit, and whether all were looked at.
#[derive(Debug)]
pub(super) struct Searched {
    pub(super) best: Option<Choice>,
    pub(super) complete: bool,
}

/// So many seatings of single pins are looked at before the search gives up.
const MOST_STEPS: u32 = 20_000_000;

/// The level below which a set has to be, to be better than one of this level by more than what is lost in
/// floats; below 0 where nothing can be better.
pub(super) fn better_than(level: f64) -> f64 {
    const PART: f64 = 1e-6;
    level * (1.0 - PART) - PART * PART.sqrt()
}

impl Problem {
    /// The level at which some mesh is a quarter of a tooth out, so that two pins are half a tooth apart.
    pub(super) fn limit(&self) -> f64 {
        0.25 / self.rows.iter().map(|row| row.tolerance).fold(0.0, f64::max)
    }

    /// The best way whose level is below a limit.
    ///
    /// A low limit leaves little to look at, so lower ones are tried first; where one of them is enough, the
    /// best way is found.
    pub(super) fn search(&self, orders: Orders, limit: f64) -> Searched {
        const FIRST: [f64; 4] = [1.0 / 32.0, 1.0 / 16.0, 1.0 / 8.0, 1.0 / 4.0];
        let mut left = MOST_STEPS;
        for part in FIRST.into_iter().chain([1.0]) {
            let searched = self.search_below(orders, limit * part, &mut left);
            if searched.best.is_some() || !searched.complete {
                return searched;
            }
        }
        Searched { best: None, complete: true }
    }

    fn search_below(&self, orders: Orders, limit: f64, left: &mut u32) -> Searched {
        let pins = self.places.len();
        let mut search = Search {
            problem: self,
            orders,
            best: limit,
            found: None,
            left: *left,
            shares: self.shares(),
            seatings: Vec::new(),
            chosen: Choice { clusters: Vec::new(), turns: Vec::new(), level: 0.0 },
            used: vec![false; pins],
        };
        let firsts = if orders == Orders::AsFound || self.turns_on { 1 } else { pins };
        for first in 0..firsts {
            search.begin_with(first);
        }
        *left = search.left;
        Searched { complete: search.left > 0, best: search.found }
    }

    /// The links between pins, which come first, and rows.
    pub(super) fn links<'a>(&'a self, turns: &'a [Vec<f64>]) -> impl Iterator<Item = Link> + 'a {
        let pins = self.places.len();
        turns.iter().enumerate().flat_map(move |(pin, turns)| {
            turns.iter().zip(&self.rows).enumerate().map(move |(row, (&length, of))| Link {
                from: pins + row,
                to: pin,
                length,
                tolerance: of.tolerance / float(of.count),
                doubt: 0.0,
            })
        })
    }

    pub(super) fn nodes(&self) -> usize {
        self.places.len() + self.rows.len()
    }

    /// How many turns of a cluster look the same: the common divisor of its counts.
    pub(super) fn common(&self) -> i64 {
        self.rows.iter().fold(0, |common, row| common.gcd(&row.count))
    }

    /// For each two rows the level that a turn between what they ask for takes, over that turn.
    fn shares(&self) -> Vec<(usize, usize, f64)> {
        let rows = self.rows.len();
        let pairs = (0..rows).flat_map(|i| (0..i).map(move |j| (i, j)));
        pairs.map(|(i, j)| (i, j, self.rows_level(i, 1.0, j, 0.0))).collect()
    }

    fn rows_level(&self, i: usize, turn: f64, j: usize, other: f64) -> f64 {
        (turn - other).abs() / (2.0 * (self.turn_tolerance(i) + self.turn_tolerance(j)))
    }

    fn turn_tolerance(&self, row: usize) -> f64 {
        self.rows[row].tolerance / float(self.rows[row].count)
    }

    /// Every seating of a cluster on a pin that fits with one on the first pin below a limit.
    fn seatings(&self, pin: usize, cluster: usize, first: &[f64], limit: f64) -> Vec<Seating> {
        let wanted: Vec<f64> =
            self.places[pin].iter().zip(&self.index[cluster]).map(|(place, index)| place - index).collect();
        let mut extension =
            Extension { problem: self, wanted: &wanted, first, limit, turns: Vec::new(), found: vec![] };
        let count = self.rows[0].count;
        for teeth in 0..count / self.common() {
            extension.turns.push((float(teeth) + wanted[0]) / float(count));
            extension.extend(0.0);
            extension.turns.pop();
        }
        extension.found.sort_by(|a, b| a.level.total_cmp(&b.level));
        extension.found
    }
}

/// A seating of one cluster on one pin: the turn that each row asks for.
#[derive(Debug, Clone)]
struct Seating {
    turns: Vec<f64>,
    /// How well it fits with the first pin.
    level: f64,
}

struct Extension<'a> {
    problem: &'a Problem,
    wanted: &'a [f64],
    first: &'a [f64],
    limit: f64,
    turns: Vec<f64>,
    found: Vec<Seating>,
}

impl Extension<'_> {
    /// Tries every whole tooth of the next gear that fits with the gears so far.
    fn extend(&mut self, level: f64) {
        let next = self.turns.len();
        let Some(row) = self.problem.rows.get(next) else {
            self.found.push(Seating { turns: self.turns.clone(), level });
            return;
        };
        let count = float(row.count);
        let apart = self.turns[0] - self.first[0];
        let reach = 2.0 * self.limit * (self.problem.turn_tolerance(0) + self.problem.turn_tolerance(next));
        let middle = (self.first[next] + apart) * count - self.wanted[next];
        let mut teeth = (middle - reach * count).ceil();
        while teeth <= middle + reach * count {
            let turn = (teeth + self.wanted[next]) / count;
            let with = |earlier: usize| {
                let other = self.turns[earlier] - self.first[earlier];
                self.problem.rows_level(next, turn - self.first[next], earlier, other)
            };
            let level = (0..next).map(with).fold(level, f64::max);
            if level < self.limit {
                self.turns.push(turn);
                self.extend(level);
                self.turns.pop();
            }
            teeth += 1.0;
        }
    }
}

struct Search<'a> {
    problem: &'a Problem,
    orders: Orders,
    /// The level below which anything has to be.
    best: f64,
    found: Option<Choice>,
    left: u32,
    shares: Vec<(usize, usize, f64)>,
    /// For each pin after the first, and each cluster, the seatings that fit with the first.
    seatings: Vec<Vec<Option<Vec<Seating>>>>,
    /// The pins so far.
    chosen: Choice,
    used: Vec<bool>,
}

impl Search<'_> {
    /// Tries everything with this cluster on the first pin, its marks in line.
    fn begin_with(&mut self, first: usize) {
        let pins = self.problem.places.len();
        let turn = |(row, index): (&Row, &f64)| -index / float(row.count);
        let turns: Vec<f64> = self.problem.rows.iter().zip(&self.problem.index[first]).map(turn).collect();
        self.seatings = vec![vec![None; pins]; pins];
        self.chosen = Choice { clusters: vec![first], turns: vec![turns], level: 0.0 };
        self.used = vec![false; pins];
        self.used[first] = true;
        self.next_pin(0.0);
    }

    fn next_pin(&mut self, level: f64) {
        let pin = self.chosen.clusters.len();
        if pin == self.problem.places.len() {
            self.record(level);
            return;
        }
        for cluster in 0..self.used.len() {
            let is_tried = match self.orders {
                Orders::AsFound => cluster == pin,
                // Of clusters that are the same the first stands for all.
                Orders::All => !self.used[cluster] && !self.same_as_an_earlier(cluster),
            };
            if is_tried {
                self.used[cluster] = true;
                self.try_cluster(pin, cluster, level);
                self.used[cluster] = false;
            }
        }
    }

    fn same_as_an_earlier(&self, cluster: usize) -> bool {
        let same = |a: &Vec<f64>, b: &Vec<f64>| a.iter().zip(b).all(|(a, b)| a.total_cmp(b).is_eq());
        (0..cluster).any(|other| !self.used[other] && same(&self.problem.index[other], &self.problem.index[cluster]))
    }

    fn try_cluster(&mut self, pin: usize, cluster: usize, level: f64) {
        let seatings = match self.seatings[pin][cluster].take() {
            Some(seatings) => seatings,
            None => self.problem.seatings(pin, cluster, &self.chosen.turns[0], self.best),
        };
        for seating in &seatings {
            if seating.level >= self.best || self.left == 0 {
                break;
            }
            self.left -= 1;
            if let Some(level) = self.with_the_others(seating, f64::max(level, seating.level)) {
                self.chosen.clusters.push(cluster);
                self.chosen.turns.push(seating.turns.clone());
                self.next_pin(level);
                self.chosen.clusters.pop();
                self.chosen.turns.pop();
            }
        }
        self.seatings[pin][cluster] = Some(seatings);
    }

    /// The level of a seating with each pin so far alone, if all are below the best.
    fn with_the_others(&self, seating: &Seating, mut level: f64) -> Option<f64> {
        for other in &self.chosen.turns[1..] {
            let apart = |row: usize| seating.turns[row] - other[row];
            for &(i, j, share) in &self.shares {
                level = level.max((apart(i) - apart(j)).abs() * share);
            }
            if level >= self.best {
                return None;
            }
        }
        Some(level)
    }

    /// The pins are all chosen: does the set as a whole fit better than the best so far?
    fn record(&mut self, pairs: f64) {
        let links: Vec<Link> = self.problem.links(&self.chosen.turns).collect();
        let level = least_level(self.problem.nodes(), &links, pairs);
        if level < self.best {
            self.best = better_than(level);
            self.found = Some(Choice { level, ..self.chosen.clone() });
        }
    }
}

/// A tooth count, or a number of teeth below one, as a float.
pub(super) fn float(count: i64) -> f64 {
    f64::from(i32::try_from(count).expect("tooth counts have at most five digits"))
}
