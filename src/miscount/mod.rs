//! Which tooth count is wrong?
//!
//! Everything that is known of a gearset speaks for or against its counts: the meshes of one pin ask for one centre
//! distance, pins were measured on a circle, the planets were on their pins, their tips passed one another, and turns were
//! counted by hand ([`Evidence`]). Where some of it disagrees, every change of one gear and of two by up to two teeth is
//! tried. One explains something if less evidence disagrees with it than with the counts as they are, and, of two gears, than
//! with either of its changes alone. A set with profile shift can disagree in its lengths and be right.

mod evidence;
mod search;
mod sentence;

use std::collections::BTreeMap;

use serde::Serialize;

use self::evidence::Witnesses;
use crate::gearset::{GearId, Gearset};

pub use self::evidence::{Evidence, EvidenceKind};
pub(crate) use self::sentence::sentence;

/// By so many teeth a gear is miscounted at most.
pub const MOST_MISCOUNTED: i64 = 2;

/// So many explanations are listed at most.
pub const MOST_EXPLANATIONS: usize = 60;

/// What is known of the counts of a gearset, and what could be wrong with them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CountCheck {
    /// What comes of it.
    pub verdict: CountVerdict,
    /// Everything that speaks for or against the counts.
    pub evidence: Vec<Evidence>,
    /// Whether all that disagrees are lengths, which a profile shift that is not described would explain.
    pub profile_shift_explains: bool,
    /// Whether every change of one gear and of two was tried; large trains have too many.
    pub all_tried: bool,
    /// How many changes explain something, those beyond the listed ones included.
    pub explanations: usize,
}

/// What comes of the evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum CountVerdict {
    /// Nothing speaks for or against the counts.
    #[serde(rename = "nothing to compare")]
    NothingToCompare,
    /// Nothing speaks against them.
    #[serde(rename = "consistent")]
    Consistent,
    /// Lengths alone disagree, and no other count of a single gear would put that right: profile shift would.
    #[serde(rename = "profile shift")]
    ProfileShift,
    /// Other counts agree with more of what is known.
    #[serde(rename = "miscounted")]
    Miscounted,
    /// Something disagrees, and no change that was tried makes it better.
    #[serde(rename = "unexplained")]
    Unexplained,
}

/// Other counts, and what they agree with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Miscount {
    /// The gears that would have been miscounted, with the number of teeth that they would have.
    pub changes: BTreeMap<GearId, u16>,
    /// What agrees with these counts.
    pub agrees_with: Vec<String>,
    /// What does not.
    pub disagrees_with: Vec<String>,
}

/// What is known of the counts, and the changes that explain what disagrees: fewer gears first, then those that less
/// disagrees with, then those that more agrees with, then those of fewer teeth.
///
/// # Examples
/// ```
/// use toothmark::{description, miscount::{CountVerdict, miscounts}};
/// let set = description::read(r#"Gearset(
///     title: "Millrace winch",
///     members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 61)], "carrier": []},
///     planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])},
///     meshes: [("S", "p"), ("R", "p")],
/// )"#).unwrap();
/// // 24 + 18 is 42 and 61 - 18 is 43; 24 + 61 is no multiple of three.
/// let (check, found) = miscounts(&set);
/// assert_eq!(check.verdict, CountVerdict::Miscounted);
/// assert_eq!(found[0].changes, [(set.gear_named("R").unwrap(), 60)].into());
/// assert!(found[0].disagrees_with.is_empty());
/// ```
pub fn miscounts(set: &Gearset) -> (CountCheck, Vec<Miscount>) {
    let witnesses = Witnesses::new(set);
    let evidence = witnesses.evidence(set);
    let against = || evidence.iter().filter(|evidence| evidence.agrees == Some(false));
    let profile_shift_explains = against().next().is_some() && against().all(|evidence| evidence.kind.is_a_length());
    let found =
        if against().next().is_some() { search::explanations(set, &witnesses, &evidence) } else { search::none() };
    let one_gear_explains =
        found.listed.iter().any(|miscount| miscount.changes.len() == 1 && miscount.disagrees_with.is_empty());
    let verdict = match (against().next(), evidence.iter().any(|evidence| evidence.agrees == Some(true))) {
        (None, false) => CountVerdict::NothingToCompare,
        (None, true) => CountVerdict::Consistent,
        (Some(_), _) if profile_shift_explains && !one_gear_explains => CountVerdict::ProfileShift,
        (Some(_), _) if found.count > 0 => CountVerdict::Miscounted,
        (Some(_), _) => CountVerdict::Unexplained,
    };
    let check =
        CountCheck { verdict, evidence, profile_shift_explains, all_tried: found.all_tried, explanations: found.count };
    (check, found.listed)
}
