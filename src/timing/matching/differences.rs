//! How do clusters differ from the one that is most like all others?
//!
//! That is the one whose differences to all others, each the largest over its gears, have the least sum. Turned by a
//! whole tooth a gear is the same, so a difference is that nearest to zero.

use super::answer::ClusterDifference;
use super::matcher::Matcher;
use super::problem::{NOTHING, nearest_zero};
use crate::gearset::Pitch;

impl Matcher<'_> {
    pub(super) fn differences(&self) -> Vec<ClusterDifference> {
        let clusters = 0..self.problem.index.len();
        let total = |a: usize| clusters.clone().map(|b| self.apart(a, b)).sum::<f64>();
        let typical = clusters.clone().min_by(|&a, &b| total(a).total_cmp(&total(b))).unwrap_or_default();
        clusters.clone().map(|cluster| self.difference(cluster, typical)).collect()
    }

    fn difference(&self, cluster: usize, typical: usize) -> ClusterDifference {
        let rows = 0..self.equations.len();
        let mut found = ClusterDifference {
            cluster: self.measured.clusters[cluster].name.clone(),
            told_apart: rows.clone().any(|row| self.is_told_apart(cluster, typical, row)),
            teeth: [].into(),
            mm: [].into(),
        };
        // A gear in several meshes is told by its first one.
        for row in rows.rev() {
            let (gear, teeth) = (self.equations[row].terms[0].gear, self.row_difference(cluster, typical, row));
            let tooth = self.set.mesh(self.equations[row].mesh).pitch().map(Pitch::circular_pitch);
            found.teeth.insert(gear, teeth);
            found.mm.remove(&gear);
            found.mm.extend(tooth.map(|tooth| (gear, teeth * tooth)));
        }
        found
    }

    /// The largest difference of two clusters.
    fn apart(&self, a: usize, b: usize) -> f64 {
        (0..self.equations.len()).map(|row| self.row_difference(a, b, row).abs()).fold(0.0, f64::max)
    }

    /// The difference of their index in teeth, less whole teeth.
    fn row_difference(&self, a: usize, b: usize, row: usize) -> f64 {
        nearest_zero(self.problem.index[a][row] - self.problem.index[b][row], 1.0)
    }

    /// Whether it is more than their readings may be off by.
    fn is_told_apart(&self, a: usize, b: usize, row: usize) -> bool {
        let doubt = self.index_doubts[a][row] + self.index_doubts[b][row];
        self.row_difference(a, b, row).abs() > doubt + NOTHING
    }
}
