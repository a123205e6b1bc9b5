//! Clusters that are not alike: how well does a measured set fit, and would another order do better?
//!
//! Cluster j on pin k, turned by t against the pin's own radius, stands at the mesh of gear i by
//!
//! `e = P t - Z x + index - phi (mod 1)`
//!
//! teeth off, where the central gear may be turned by any phi, the same for all pins; P, Z and x as in
//! [`MeshMatrix::timing`](crate::gearset::MeshMatrix::timing). What all clusters have in common is taken in by phi, and turning the
//! whole set changes nothing. Central gears that are fixed to one another share a phase
//! ([`FixedGears`]), and then what the clusters have in common is felt. The best seating makes the largest quotient of
//! an error to half the backlash as small as can be, then the largest of the others, and so on; without backlash errors
//! are weighed as arcs, without a pitch as parts of a tooth. Measured pins move x, and their radii change the backlash of
//! each mesh: what it is short of at either flank, s, adds to an error, `(|e| + s) / half backlash`. Floats throughout,
//! for readings are no exact numbers: what they lose is below a billionth of a tooth. Worked out here.

mod answer;
mod carrying;
mod central_ties;
mod contacts;
mod differences;
mod matcher;
mod pin_errors;
mod problem;
mod radii;
mod search;
mod seatings;
mod set;
mod settled;
mod tension;

pub use answer::{
    ClusterDifference, ClusterOrder, ContactPin, FirstContact, FixedGears, FixedIndex, FixedTurn, GroupMatching,
    MatchCure, Matching, NeededBacklash, PinDeviation, PinRadii, PlayVerdict, Residual, Seated, SeatedPin, Weighing,
};
pub(crate) use carrying::pin_deviations;
pub use carrying::{CarryingOrder, carrying_order};
pub use pin_errors::{PinError, PinErrors};

use crate::gearset::{Gearset, Measured};
use matcher::Matcher;

/// Why a set cannot be matched.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MatchRefusal {
    /// No cluster has been measured.
    #[error("no cluster has been measured, so there is nothing to match")]
    NothingMeasured,
    /// Planets that mesh with one another are not matched.
    #[error("planet {planet:?} meshes with another planet, and only clusters between central gears are matched")]
    MeshedPlanets {
        /// The planet.
        planet: String,
    },
    /// Bevel planets are not matched.
    #[error("planet {planet:?} has bevel gears, whose index is not matched")]
    Bevel {
        /// The planet.
        planet: String,
    },
}

/// Whether measured radii of pins can be compared with the pin circle; `None` where planets are not matched.
pub(crate) fn pin_radii(set: &Gearset, measured: &Measured) -> Option<PinRadii> {
    Matcher::new(set, measured).ok().map(|matcher| matcher.radii.told)
}

impl MatchRefusal {
    /// What to write instead, or what to do.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingMeasured => {
                "measure the clusters and add them before the controls, such as measured: {\"cluster\": (clusters: \
                 {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)]), \"three\": Like(\"one\")})}"
            }
            Self::MeshedPlanets { .. } | Self::Bevel { .. } => {
                "toothmark timing tells how such planets are set when they are alike; compare their readings by hand"
            }
        }
    }
}

/// How well every measured set of clusters fits, in the order of the description.
///
/// # Errors
/// Why some set cannot be matched; see [`MatchRefusal`].
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{PlayVerdict, matching}};
/// let set = description::read(r#"Gearset(
///     title: "t", pitch: Module(2.5), backlash: Millimetres(0.1),
///     members: {"a": [Sun("A", 30)], "b": [Sun("B", 24)], "carrier": []},
///     planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 30), Gear("q", 36)])},
///     meshes: [("A", "p"), ("B", "q")],
///     measured: {"cluster": (clusters: {"1": Index([]), "2": Index([Teeth("q", 0.01)]), "3": Like("1")})},
/// )"#).unwrap();
/// let matched = &matching(&set).unwrap().groups[0];
/// assert_eq!(matched.as_found.as_ref().unwrap().verdict, Some(PlayVerdict::Within));
/// assert!(matched.exchanged.is_none(), "every order is as good");
/// ```
pub fn matching(set: &Gearset) -> Result<Matching, MatchRefusal> {
    if set.measured().is_empty() {
        return Err(MatchRefusal::NothingMeasured);
    }
    let groups = set.measured().iter().map(|measured| Matcher::new(set, measured).map(|matcher| matcher.matching()));
    Ok(Matching { gearset: set.title().to_owned(), groups: groups.collect::<Result<_, _>>()? })
}
