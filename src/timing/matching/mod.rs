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
//! are weighed as arcs, without a pitch as parts of a tooth. Measured pins move x. Floats throughout, for readings are
//! no exact numbers: what they lose is below a billionth of a tooth. Worked out here.

mod central_ties;
mod matcher;
mod problem;
mod search;
mod seatings;
mod set;
mod tension;

pub use central_ties::{FixedGears, FixedRelation};

use crate::exact::Fraction;
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PinOff};
use matcher::Matcher;

/// How well the measured clusters of one planet fit as a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Matching {
    /// The planet.
    pub planet: MemberId,
    /// The carrier of its pins.
    pub carrier: MemberId,
    /// The names of the clusters, in the order in which they were found.
    pub clusters: Vec<String>,
    /// The gear from whose mark the others are measured.
    pub reference: GearId,
    /// Where the pins were found against the description; `None` where they were not measured.
    pub pins: Option<Vec<PinOff>>,
    /// How many pins there are; clusters after so many are spares.
    pub pin_count: usize,
    /// Central gears that are fixed to one another.
    pub fixed: Vec<FixedGears>,
    /// How errors are weighed against one another.
    pub weighing: Weighing,
    /// The clusters as found and turned as equal ones would be; `None` where equal ones do not go together.
    pub listed: Option<Seated>,
    /// The clusters as found in their best seating; `None` where in every one some mesh is a quarter of
    /// a tooth off or more.
    pub as_found: Option<Seated>,
    /// The best order and seating of all; `None` where none is better than the clusters as found.
    pub exchanged: Option<Seated>,
    /// Whether every order and seating was looked at.
    pub search: MatchSearch,
    /// How each cluster differs from the one that is most like all others.
    pub differences: Vec<Difference>,
}

/// How errors at different meshes are weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weighing {
    /// Against half the backlash of each mesh: 1 is as much as goes in.
    Backlash,
    /// As arcs at the pitch circle, in millimetres.
    Millimetres,
    /// As parts of a tooth.
    Teeth,
}

/// Whether all orders and seatings were looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MatchSearch {
    /// Every one.
    Complete,
    /// There were too many: a better one may exist.
    GivenUp,
}

/// The set in one order and seating.
#[derive(Debug, Clone, PartialEq)]
pub struct Seated {
    /// The largest error, weighed as [`Matching::weighing`] says.
    pub level: f64,
    /// The least that the largest error can be, if every reading is off by its uncertainty the better way.
    pub least: f64,
    /// The most that it has to be, if every reading is off by its uncertainty the worse way.
    pub most: f64,
    /// Whether the set turns within the backlash, never sure to where it is not known how fixed gears stand; `None`
    /// where backlash or pitch is not given.
    pub verdict: Option<Verdict>,
    /// The pins in order.
    pub pins: Vec<SeatedPin>,
    /// For each two central bodies that the clusters carry torque between, and each sense, who carries first; gears
    /// that are fixed to one another only where it is known how they stand and what their backlash is.
    pub first_contacts: Vec<FirstContact>,
    /// Where it matters by which teeth fixed central gears go in: how they stand then.
    pub fixed_turns: Vec<FixedTurn>,
}

/// How central gears that are fixed to one another stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedTurn {
    /// The gear whose mark it is told for.
    pub gear: GearId,
    /// How far its mark tooth stands from the line to the first pin while the mark of the cluster there points to
    /// the centre, counter-clockwise seen from the input side, in turns.
    pub turn: f64,
}

/// Whether something stays within the backlash, as far as uncertain readings tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It does, whatever the readings are off by.
    Within,
    /// It does not, whatever the readings are off by.
    Beyond,
    /// That depends on how much the readings are off.
    CannotBeTold,
}

/// One pin with its cluster.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatedPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The cluster on it, by its position in [`Matching::clusters`].
    pub cluster: usize,
    /// The place of the pin in turns, as described.
    pub place: Fraction,
    /// How far the mark of the first gear is turned from the line to the centre, against the cluster on
    /// the first pin, counter-clockwise seen from the input side, in turns; of all equal seatings the one nearest to
    /// zero.
    pub turn: f64,
    /// What each mesh is off.
    pub residuals: Vec<Residual>,
}

/// What one mesh is off from the middle of its backlash.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// The mesh.
    pub mesh: MeshId,
    /// In teeth; positive: the cluster's gear is ahead, counter-clockwise seen from the input side.
    pub teeth: f64,
    /// How much of that is uncertain, to either side: by the readings with every gear where it stands, by the
    /// place of the pin with the cluster settled between its meshes.
    pub uncertainty: f64,
    /// Whether it is within half the backlash; `None` where backlash or pitch is not given.
    pub verdict: Option<Verdict>,
}

/// Which pin carries first where clusters carry torque from one central body to another.
///
/// Clusters turn on their pins until both meshes touch, so this does not depend on their turns.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstContact {
    /// The meshes in which a central body pushes the clusters clockwise, seen from the input side: several where its
    /// gears are fixed to one another, and then whichever touches first carries.
    pub pushing: Vec<MeshId>,
    /// The meshes in which another central body holds against it.
    pub holding: Vec<MeshId>,
    /// The pins in the order in which they begin to carry, the first with nothing left.
    pub pins: Vec<ContactPin>,
    /// By how much what is left may be wrong, in teeth of the first holding mesh, as the readings are uncertain.
    pub uncertainty: f64,
}

/// A pin that waits until it carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactPin {
    /// The pin, counted from 1.
    pub pin: usize,
    /// How much play is left there when the first begins to carry, in teeth of the first holding mesh.
    pub left: f64,
}

/// How a cluster differs from the one that is most like all others.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// The cluster, by its position in [`Matching::clusters`].
    pub cluster: usize,
    /// Whether the readings can tell it from that one.
    pub told_apart: bool,
    /// For each gear in mesh the difference of the index in teeth, less whole teeth nearest to zero: more than half a
    /// tooth one way is less than half a tooth the other way.
    pub gears: Vec<(GearId, f64)>,
}

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
/// use toothmark::{description, timing::{matching, Verdict}};
/// let set = description::read(r#"Gearset(
///     title: "t", pitch: Module(2.5), backlash: Millimetres(0.1),
///     members: {"a": [Sun("A", 30)], "b": [Sun("B", 24)], "carrier": []},
///     planets: {"cluster": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 30), Gear("q", 36)])},
///     meshes: [("A", "p"), ("B", "q")],
///     measured: {"cluster": (clusters: {"1": Index([]), "2": Index([Teeth("q", 0.01)]), "3": Like("1")})},
/// )"#).unwrap();
/// let matched = &matching(&set).unwrap()[0];
/// assert_eq!(matched.as_found.as_ref().unwrap().verdict, Some(Verdict::Within));
/// assert!(matched.exchanged.is_none(), "every order is as good");
/// ```
pub fn matching(set: &Gearset) -> Result<Vec<Matching>, MatchRefusal> {
    if set.measured().is_empty() {
        return Err(MatchRefusal::NothingMeasured);
    }
    set.measured().iter().map(|measured| Matcher::new(set, measured).map(|matcher| matcher.matching())).collect()
}
