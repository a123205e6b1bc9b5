//! What is put together when a set is matched: the rows of a cluster, its places on the pins, and ways to fill them.
//!
//! On pin k row i asks for the turn `(n + Z x - index) / P` of its cluster, for any whole n, against the phase of its
//! central gear: a link between two places on a line ([`super::tension`]). Whatever searches or judges a set begins
//! here.

use num_integer::Integer;

use super::tension::Link;
use crate::gearset::TimingRow;

/// A mesh of the cluster with a central gear, the signs such that the cluster's count is positive.
#[derive(Debug, Clone, Copy)]
pub(super) struct ClusterRow {
    /// P: the teeth of the cluster's gear.
    pub(super) count: i64,
    /// The error, in teeth, that counts as 1.
    pub(super) tolerance: f64,
}

/// What is to be put together.
#[derive(Debug)]
pub(super) struct MatchProblem {
    pub(super) rows: Vec<ClusterRow>,
    /// For each pin and row the part of a tooth of `Z x`.
    pub(super) places: Vec<Vec<f64>>,
    /// For each pin and row what each flank is short of by the radius of the pin, in teeth; negative: what it has more.
    pub(super) shortages: Vec<Vec<f64>>,
    /// For each cluster and row the index in teeth.
    pub(super) index: Vec<Vec<f64>>,
    /// For each row the phase of central gears that it hangs on, counted from 0.
    pub(super) phases: Vec<usize>,
    /// Whether the pins are spaced equally, so that turning the set on is no other order.
    pub(super) turns_on: bool,
}

/// A way to put the set together: on each pin a cluster, and the turn that each row asks for.
#[derive(Debug, Clone)]
pub(super) struct SetChoice {
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

impl MatchProblem {
    /// The level at which some mesh is a quarter of a tooth out, so that two pins are half a tooth apart.
    pub(super) fn limit(&self) -> f64 {
        0.25 / self.rows.iter().map(|row| row.tolerance).fold(0.0, f64::max)
    }

    /// The clusters that are tried on the first pin: of such as are the same the first stands for all.
    pub(super) fn firsts(&self, orders: Orders) -> Vec<usize> {
        let spares = self.index.len() - self.places.len();
        match orders {
            Orders::AsFound => vec![0],
            Orders::All if self.turns_on => (0..=spares).collect(),
            Orders::All => {
                let is_new = |&cluster: &usize| !(0..cluster).any(|other| self.are_same(other, cluster));
                (0..self.index.len()).filter(is_new).collect()
            }
        }
    }

    /// Whether two clusters have the same index.
    pub(super) fn are_same(&self, a: usize, b: usize) -> bool {
        self.index[a].iter().zip(&self.index[b]).all(|(a, b)| a.total_cmp(b).is_eq())
    }

    /// The links between pins, which come first, and phases.
    pub(super) fn links<'a>(&'a self, turns: &'a [Vec<f64>]) -> impl Iterator<Item = Link> + 'a {
        let pins = self.places.len();
        turns.iter().enumerate().flat_map(move |(pin, turns)| {
            turns.iter().zip(&self.rows).enumerate().map(move |(row, (&length, of))| Link {
                from: pins + self.phases[row],
                to: pin,
                length,
                tolerance: of.tolerance / float(of.count),
                doubt: self.turn_shortage(pin, row),
            })
        })
    }

    pub(super) fn nodes(&self) -> usize {
        self.places.len() + self.phases.iter().map(|phase| phase + 1).max().unwrap_or_default()
    }

    /// How many turns of a cluster look the same: the common divisor of its counts.
    pub(super) fn common(&self) -> i64 {
        self.rows.iter().fold(0, |common, row| common.gcd(&row.count))
    }

    /// For each two rows the level that a turn between what they ask for on two pins takes, over that turn.
    pub(super) fn shares(&self) -> Vec<(usize, usize, f64)> {
        let rows = self.rows.len();
        let pairs = (0..rows).flat_map(|i| (0..i).map(move |j| (i, j)));
        pairs.map(|(i, j)| (i, j, 0.5 / (self.turn_tolerance(i) + self.turn_tolerance(j)))).collect()
    }

    /// What each flank of a row is short of on a pin, in turns of the cluster.
    pub(super) fn turn_shortage(&self, pin: usize, row: usize) -> f64 {
        self.shortages[pin][row] / float(self.rows[row].count)
    }

    /// What two rows are short of together on a pin, in turns of the cluster.
    pub(super) fn pair_shortage(&self, pin: usize, i: usize, j: usize) -> f64 {
        self.turn_shortage(pin, i) + self.turn_shortage(pin, j)
    }

    /// The error, in turns of the cluster, that counts as 1.
    pub(super) fn turn_tolerance(&self, row: usize) -> f64 {
        self.rows[row].tolerance / float(self.rows[row].count)
    }
}

/// The level below which a set has to be, to be better than one of this level by more than what is lost in
/// floats; below 0 where nothing can be better.
pub(super) fn better_than(level: f64) -> f64 {
    const PART: f64 = 1e-6;
    level * (1.0 - PART) - PART * PART.sqrt()
}

/// Z: the teeth of the central gear, the sign such that the cluster's count is positive.
pub(super) fn central_count(row: &TimingRow) -> i64 {
    row.place_coefficient * row.terms[0].tooth_count.signum()
}

/// A tooth count, or a number of teeth below one, as a float.
pub(super) fn float(count: i64) -> f64 {
    f64::from(i32::try_from(count).expect("tooth counts have at most five digits"))
}

/// What floats lose, in whichever measure.
pub(super) const NOTHING: f64 = 1e-9;

/// A turn less so many parts of one that it is nearest to zero.
pub(super) fn nearest_zero(turn: f64, parts: f64) -> f64 {
    turn - (turn * parts).round() / parts
}
