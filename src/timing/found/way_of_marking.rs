//! How may the marks have been made, and where does each convention expect them?
//!
//! The same tooth marked on every planet of a kind: then the mark of each pin belongs where the tooth
//! list says. Made in place on a set that was right: then marks that were all made towards
//! the centre belong there again, and those that were all made the same way show the same
//! way again, whatever teeth they are on.

use num_traits::Zero;
use serde::Serialize;

use crate::exact::{Congruences, Fraction};
use crate::gearset::{Gearset, TimingRows};

/// How the marks were made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum WayOfMarking {
    /// On the same tooth of every planet of a kind.
    #[serde(rename = "same tooth")]
    Alike,
    /// In place, while the set was right, each mark to the centre.
    #[serde(rename = "radial in place")]
    RadialInPlace,
    /// In place, while the set was right, all marks the same way.
    #[serde(rename = "parallel in place")]
    ParallelInPlace,
}

/// Where one convention expects the marks.
pub(super) struct ExpectedMarks {
    pub(super) convention: WayOfMarking,
    /// For each pin the turn of each planet that was read, against its own radius.
    pub(super) turns: Vec<Vec<Fraction>>,
}

/// Where each convention expects the marks of the planets `read`; nothing where the set cannot go together, for then no
/// set was ever right.
pub(super) fn expected_marks(
    set: &Gearset,
    rows: &TimingRows,
    congruences: &Congruences,
    spacings: &[Fraction],
    read: &[usize],
) -> Vec<ExpectedMarks> {
    // P t = Z x (mod 1), solved for every pin.
    let listed = spacings.iter().map(|place| congruences.solve(&rows.right_sides(place)).ok());
    let Some(listed) = listed.collect::<Option<Vec<_>>>() else { return Vec::new() };
    let of_read = |turns: &Vec<Fraction>| read.iter().map(|&planet| turns[planet].clone()).collect();
    let alike = ExpectedMarks { convention: WayOfMarking::Alike, turns: listed.iter().map(of_read).collect() };
    let in_place = |convention: WayOfMarking, turn: fn(&Fraction) -> Fraction| ExpectedMarks {
        convention,
        turns: spacings.iter().map(|place| vec![turn(place); read.len()]).collect(),
    };
    let radial = in_place(WayOfMarking::RadialInPlace, |_| Fraction::zero());
    let parallel = in_place(WayOfMarking::ParallelInPlace, |place| -place);
    [alike, radial].into_iter().chain(may_be_parallel(set, rows).then_some(parallel)).collect()
}

/// Whether marks can all show the same way: those of bevel planets turn about different axes and
/// have no common direction.
fn may_be_parallel(set: &Gearset, rows: &TimingRows) -> bool {
    !rows.iter().flat_map(|row| &row.terms).any(|term| set.gear(term.gear).kind().is_bevel())
}
