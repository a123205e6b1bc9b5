//! How may the marks have been made, and where does each convention expect them?
//!
//! The same tooth marked on every cluster: then the mark of each pin belongs where the tooth
//! list says. Made in place on a set that was right: then marks that were all made towards
//! the centre belong there again, and those that were all made the same way show the same
//! way again, whatever teeth they are on.

use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, TimingRow};
use crate::timing::cluster::Cluster;

/// How the marks were made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayOfMarking {
    /// On the same tooth of every cluster.
    Alike,
    /// In place, while the set was right, each mark to the centre.
    RadialInPlace,
    /// In place, while the set was right, all marks the same way.
    ParallelInPlace,
}

/// Whether marks can all show the same way: those of bevel planets turn about different axes and
/// have no common direction.
pub(super) fn may_be_parallel(set: &Gearset, equations: &[TimingRow]) -> bool {
    !equations.iter().flat_map(|row| &row.terms).any(|term| set.gear(term.gear).kind().is_bevel())
}

/// The turns, against its own radius, at which each convention expects the mark of every pin;
/// nothing where the set cannot go together, for then no set was ever right.
pub(super) fn expected_turns(
    set: &Gearset,
    equations: &[TimingRow],
    cluster: &Cluster,
    spacings: &[Fraction],
) -> Vec<(WayOfMarking, Vec<Fraction>)> {
    if !spacings.iter().all(|place| cluster.allows(place)) {
        return Vec::new();
    }
    let radial = spacings.iter().map(|_| fraction(0, 1)).collect();
    let mut conventions = vec![
        (WayOfMarking::Alike, spacings.iter().map(|place| cluster.turn(place)).collect()),
        (WayOfMarking::RadialInPlace, radial),
    ];
    if may_be_parallel(set, equations) {
        conventions.push((WayOfMarking::ParallelInPlace, spacings.iter().map(|place| -place).collect()));
    }
    conventions
}
