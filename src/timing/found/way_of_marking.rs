//! How may the marks have been made, and where does each convention expect them?
//!
//! The same tooth marked on every planet of a kind: then the mark of each pin belongs where the tooth
//! list says. Made in place on a set that was right: then marks that were all made towards
//! the centre belong there again, and those that were all made the same way show the same
//! way again, whatever teeth they are on. For each pin its own tooth, the one nearest the line to the centre: then the
//! mark belongs beside that line, as far off as the tooth list puts that tooth.

use num_bigint::BigInt;
use num_traits::Zero;
use serde::Serialize;

use crate::exact::{Congruences, Fraction, fraction, multiple, nearest_integer};
use crate::gearset::{GearId, Gearset, TimingRows};
use crate::timing::solver::Solver;

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
    /// On each pin its own tooth, the one nearest the line to the centre by the tooth list.
    #[serde(rename = "each pin")]
    EachPin,
}

/// What somebody knows of how the marks were made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum MadeMarks {
    /// On the same tooth of every planet of a kind.
    SameTooth,
    /// In place, while the set was right: all to the centre, or all the same way.
    InPlace,
    /// On each pin its own tooth, the one nearest the line to the centre.
    EachPin,
}

impl MadeMarks {
    /// Whether marks that were made like this may follow a convention.
    fn allows(self, convention: WayOfMarking) -> bool {
        match convention {
            WayOfMarking::Alike => self == Self::SameTooth,
            WayOfMarking::RadialInPlace | WayOfMarking::ParallelInPlace => self == Self::InPlace,
            WayOfMarking::EachPin => self == Self::EachPin,
        }
    }
}

/// Where one convention expects the marks.
pub(super) struct ExpectedMarks {
    pub(super) convention: WayOfMarking,
    /// For each pin the turn of each planet that was read, against its own radius.
    pub(super) turns: Vec<Vec<Fraction>>,
}

/// A planet that was read: its place in the group, and the gear in whose teeth it is told.
#[derive(Clone, Copy)]
pub(super) struct MarkedPlanet {
    pub(super) place: usize,
    pub(super) gear: GearId,
}

/// Where each convention that is allowed expects the marks of the planets `read`; nothing where the set cannot go
/// together, for then no set was ever right.
pub(super) fn expected_marks(
    set: &Gearset,
    rows: &TimingRows,
    congruences: &Congruences,
    spacings: &[Fraction],
    read: &[MarkedPlanet],
) -> Vec<ExpectedMarks> {
    // P t = Z x (mod 1), solved for every pin.
    let listed = spacings.iter().map(|place| congruences.solve(&rows.right_sides(place)).ok());
    let Some(listed) = listed.collect::<Option<Vec<_>>>() else { return Vec::new() };
    let of_read = |turns: &Vec<Fraction>| read.iter().map(|it| turns[it.place].clone()).collect();
    let alike = ExpectedMarks { convention: WayOfMarking::Alike, turns: listed.iter().map(of_read).collect() };
    let in_place = |convention: WayOfMarking, turn: fn(&Fraction) -> Fraction| ExpectedMarks {
        convention,
        turns: spacings.iter().map(|place| vec![turn(place); read.len()]).collect(),
    };
    let radial = in_place(WayOfMarking::RadialInPlace, |_| Fraction::zero());
    let parallel = in_place(WayOfMarking::ParallelInPlace, |place| -place);
    // The list of what to mark is made from the turns nearest to zero.
    let solver = Solver::new(rows);
    let nearest =
        spacings.iter().zip(&listed).map(|(place, turns)| solver.turns(place).unwrap_or_else(|| turns.clone()));
    let beside_line =
        |turns: Vec<Fraction>| read.iter().map(|it| beside_line(set, it.gear, &turns[it.place])).collect();
    let each_pin = ExpectedMarks { convention: WayOfMarking::EachPin, turns: nearest.map(beside_line).collect() };
    let parallel = may_be_parallel(set, rows).then_some(parallel);
    [alike, radial].into_iter().chain(parallel).chain([each_pin]).collect()
}

/// Those that marks made like this may follow; all where nothing is known. Marks for each pin that are all on the line
/// are not told apart from radial ones unless they are asked for.
pub(super) fn as_made(expected: Vec<ExpectedMarks>, made: Option<MadeMarks>) -> Vec<ExpectedMarks> {
    let is_on_line = |it: &ExpectedMarks| it.turns.iter().flatten().all(Zero::is_zero);
    let is_meant = |it: &ExpectedMarks| match made {
        Some(made) => made.allows(it.convention),
        None => it.convention != WayOfMarking::EachPin || !is_on_line(it),
    };
    expected.into_iter().filter(is_meant).collect()
}

/// `(P t - m) / P`, m the integer nearest to `P t`: how far the tooth nearest the line of centres is turned from it.
fn beside_line(set: &Gearset, gear: GearId, turn: &Fraction) -> Fraction {
    let count: i64 = set.gear(gear).tooth_count().get().into();
    let teeth = multiple(turn, count);
    let nearest: BigInt = nearest_integer(&teeth);
    (teeth - Fraction::from(nearest)) / fraction(count, 1)
}

/// Whether marks can all show the same way: those of bevel planets turn about different axes and
/// have no common direction.
fn may_be_parallel(set: &Gearset, rows: &TimingRows) -> bool {
    !rows.iter().flat_map(|row| &row.terms).any(|term| set.gear(term.gear).kind().is_bevel())
}
