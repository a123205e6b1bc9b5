//! In which ways does a cluster go on a pin, beside the cluster on the first pin?
//!
//! On pin k row i asks for a turn of `(n + Z x - index) / P`, for any whole n: a choice of n for every row is a
//! seating. Two pins alone fit as well as the worst pair of their rows: with `d_i` the difference of
//! what row i asks for and `s_i` its tolerance in turns, the level is the largest of
//! `|d_i - d_j| / (2 s_i + 2 s_j)` (intervals that meet in pairs meet at once: Helly (1923),
//! Jahresber. DMV 32, 175-176). Where two rows hang on one phase, as their central gears are fixed to one another,
//! a pin fits by itself no better than `|a_i - a_j| / (s_i + s_j)`, with a for what the rows ask for. What rows
//! are short of by the radius of their pin adds to these differences. Worked out here.

use num_integer::Integer;

use super::problem::{MatchProblem, float};

/// A seating of one cluster on one pin: the turn that each row asks for.
#[derive(Debug, Clone)]
pub(super) struct ClusterSeating {
    pub(super) turns: Vec<f64>,
    /// How well it fits by itself, and with the first pin.
    pub(super) level: f64,
}

impl MatchProblem {
    /// Every seating of a cluster on the first pin below a limit. Central gears that can be turned leave one: its
    /// marks in line.
    pub(super) fn first_seatings(&self, cluster: usize, limit: f64) -> Vec<ClusterSeating> {
        let wanted = self.wanted(0, cluster);
        let mut extension =
            Extension { problem: self, pin: 0, wanted: &wanted, first: None, limit, turns: vec![], found: vec![] };
        extension.extend(self.level_alone(0));
        extension.found
    }

    /// Every seating of a cluster on a pin that fits with one on the first pin below a limit, the best first.
    pub(super) fn seatings(&self, pin: usize, cluster: usize, first: &[f64], limit: f64) -> Vec<ClusterSeating> {
        let wanted = self.wanted(pin, cluster);
        let mut extension =
            Extension { problem: self, pin, wanted: &wanted, first: Some(first), limit, turns: vec![], found: vec![] };
        let alone = self.level_alone(pin);
        let count = self.rows[0].count;
        for teeth in 0..count / self.common() {
            extension.turns.push((float(teeth) + wanted[0]) / float(count));
            extension.extend(alone);
            extension.turns.pop();
        }
        extension.found.sort_by(|a, b| a.level.total_cmp(&b.level));
        extension.found
    }

    /// The level that a pin takes whatever its cluster: a row that is short of s takes s over its tolerance.
    fn level_alone(&self, pin: usize) -> f64 {
        (0..self.rows.len()).map(|row| self.turn_shortage(pin, row) / self.turn_tolerance(row)).fold(0.0, f64::max)
    }

    /// What each row asks for, in teeth.
    fn wanted(&self, pin: usize, cluster: usize) -> Vec<f64> {
        self.places[pin].iter().zip(&self.index[cluster]).map(|(place, index)| place - index).collect()
    }

    /// The first row that hangs on the same phase.
    fn leader(&self, row: usize) -> usize {
        self.phases.iter().position(|phase| *phase == self.phases[row]).unwrap_or(row)
    }

    /// How many turns of the gears of one phase look the same: the common divisor of their counts.
    pub(super) fn common_of_phase(&self, row: usize) -> i64 {
        let of_phase = self.rows.iter().zip(&self.phases).filter(|(_, phase)| **phase == self.phases[row]);
        of_phase.fold(0, |common, (row, _)| common.gcd(&row.count))
    }
}

struct Extension<'a> {
    problem: &'a MatchProblem,
    pin: usize,
    wanted: &'a [f64],
    /// What the rows of the first pin ask for; `None` where this is the first.
    first: Option<&'a [f64]>,
    limit: f64,
    turns: Vec<f64>,
    found: Vec<ClusterSeating>,
}

impl Extension<'_> {
    /// Tries every whole tooth of the next row that fits with the rows so far.
    fn extend(&mut self, level: f64) {
        let next = self.turns.len();
        if next == self.problem.rows.len() {
            self.found.push(ClusterSeating { turns: self.turns.clone(), level });
            return;
        }
        let count = self.problem.rows[next].count;
        if self.first.is_none() && self.problem.leader(next) == next {
            // The phase takes in a turn that the gears of its rows have in common.
            for teeth in 0..count / self.problem.common_of_phase(next) {
                self.with(float(teeth), level);
            }
            return;
        }
        let (middle, reach) = self.reach(next);
        let (middle, reach) = (middle * float(count) - self.wanted[next], reach * float(count));
        let mut teeth = (middle - reach).ceil();
        while teeth <= middle + reach {
            self.with(teeth, level);
            teeth += 1.0;
        }
    }

    /// Goes on with so many whole teeth of the next row, if that fits below the limit.
    fn with(&mut self, teeth: f64, level: f64) {
        let next = self.turns.len();
        let turn = (teeth + self.wanted[next]) / float(self.problem.rows[next].count);
        let level = (0..next).map(|earlier| self.level(earlier, next, turn)).fold(level, f64::max);
        if level < self.limit {
            self.turns.push(turn);
            self.extend(level);
            self.turns.pop();
        }
    }

    /// Around which turn the next row fits with one of those so far, and how far to either side.
    fn reach(&self, next: usize) -> (f64, f64) {
        let within =
            |earlier: usize| self.limit * (self.problem.turn_tolerance(earlier) + self.problem.turn_tolerance(next));
        let leader = self.problem.leader(next);
        if leader < next {
            (self.turns[leader], within(leader) - self.short_alone(leader, next))
        } else {
            let first = self.first.expect("on the first pin the leading row of a phase is free");
            (self.turns[0] + first[next] - first[0], 2.0 * within(0) - self.short_beside_first(0, next))
        }
    }

    /// The level that two rows of the pin take, by themselves and with the first pin.
    fn level(&self, earlier: usize, next: usize, turn: f64) -> f64 {
        let tolerances = self.problem.turn_tolerance(earlier) + self.problem.turn_tolerance(next);
        let apart = turn - self.turns[earlier];
        let is_one_phase = self.problem.phases[earlier] == self.problem.phases[next];
        let alone = if is_one_phase { apart.abs() + self.short_alone(earlier, next) } else { 0.0 };
        let beside = |first: &[f64]| {
            let apart = (apart - first[next] + first[earlier]).abs();
            f64::midpoint(apart, self.short_beside_first(earlier, next))
        };
        f64::max(alone, self.first.map_or(0.0, beside)) / tolerances
    }

    /// What two rows of the pin are short of.
    fn short_alone(&self, earlier: usize, next: usize) -> f64 {
        self.problem.pair_shortage(self.pin, earlier, next)
    }

    /// What they and those of the first pin are short of.
    fn short_beside_first(&self, earlier: usize, next: usize) -> f64 {
        self.short_alone(earlier, next) + self.problem.pair_shortage(0, earlier, next)
    }
}
