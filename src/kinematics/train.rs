//! Which linear system is a gearset, and what does a state add to it?
//!
//! The rows of the mesh matrix ([`crate::gearset::MeshMatrix::speeds`]), and one for each planet that says
//! what its speed against the carrier is. Members joined for good, held or clutched are equalities rather
//! than rows. Speeds of planets that no state can name are marked as inner, so that they are eliminated
//! once for the train and not again for each state.

use crate::exact::{Dependencies, Equation, LinearSystem, Merged, Mergers, Solution, Term, Watched};
use crate::gearset::{Gearset, MemberId, MeshId, Pair, Place, Restraint};

/// The equations of a gearset: unknown i is the speed of member i, the case being 0; after
/// them comes, for each planet, its speed relative to its carrier.
pub(super) struct Train<'a> {
    set: &'a Gearset,
    system: LinearSystem,
}

impl<'a> Train<'a> {
    pub(super) fn new(set: &'a Gearset) -> Self {
        Self::observing(set, &[])
    }

    /// With the speed of the first against the second of each pair as further unknowns.
    pub(super) fn observing(set: &'a Gearset, pairs: &[Pair<MemberId>]) -> Self {
        let members = set.members().len();
        let mut unknowns = members;
        let mut equations = set.matrix().speeds();
        let mut inner = Vec::new();
        for planet in set.member_ids() {
            let Place::Pin { carrier, pins } = set.member(planet).place() else { continue };
            equations.push(difference(unknowns, planet, *carrier));
            // A single shaft on a fixed axis may be driven or held like any member of the main axis.
            if *carrier != MemberId::CASE || pins.len() > 1 {
                inner.push(planet.index());
            }
            inner.push(unknowns);
            unknowns += 1;
        }
        for pair in pairs {
            equations.push(difference(unknowns, pair.first, pair.second));
            inner.push(unknowns);
            unknowns += 1;
        }
        Self { set, system: LinearSystem::new(unknowns, equations, &inner) }
    }

    /// The solution for a state in which only these restraints act.
    pub(super) fn solve<'r>(&self, input: MemberId, restraints: impl IntoIterator<Item = &'r Restraint>) -> Solution {
        self.system.solve(&self.set.speed_conditions(input, restraints))
    }

    /// Which quotients of speeds are fixed by which choice of members that turn as one, or stand.
    pub(super) fn merge(&self, members: &[MemberId], mergers: &Mergers) -> Merged {
        let unknowns = members.iter().map(|member| member.index()).collect();
        self.system.merge(&Watched { unknowns, always: self.set.joined_speeds() }, mergers)
    }

    /// The number of the unknown that is a planet's speed relative to its carrier.
    pub(super) fn relative(&self, planet: usize) -> usize {
        self.set.members().len() + planet
    }
}

/// `w_X - w_Y - unknown = 0`: the unknown is the speed of the first against the second.
fn difference(unknown: usize, first: MemberId, second: MemberId) -> Equation {
    [Term::of(1, unknown), Term::of(-1, first.index()), Term::of(1, second.index())].into_iter().collect()
}

/// The meshes that follow from others once the members joined for good are one: whether
/// their gears meet tooth to space depends on how they are set on their members.
pub fn dependent_meshes(set: &Gearset) -> Vec<MeshId> {
    let found = dependencies(set);
    set.mesh_ids().filter(|mesh| found.dependent.contains(&mesh.index())).collect()
}

/// How many meshes are independent of one another at most, once the members joined for good are one.
///
/// # Examples
/// ```
/// use toothmark::{description, kinematics::independent_meshes};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// assert_eq!(independent_meshes(&set), 2);
/// ```
pub fn independent_meshes(set: &Gearset) -> usize {
    dependencies(set).rank
}

fn dependencies(set: &Gearset) -> Dependencies {
    LinearSystem::new(set.members().len(), set.matrix().speeds(), &[]).dependencies(&set.joined_speeds())
}
