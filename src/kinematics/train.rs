//! Which linear system is a gearset, and what does a state add to it?
//!
//! One row for each mesh, by the law of the rolling pair (see the module above), and one for each
//! planet that says what its speed against the carrier is. Members joined for good, held or clutched
//! are equalities rather than rows. Speeds of planets that no state can name are marked as inner, so
//! that they are eliminated once for the train and not again for each state.

use crate::exact::{
    Conditions, Dependencies, Equality, Equation, LinearSystem, Merged, Mergers, Solution, Term, Watched,
};
use crate::gearset::{Action, Gearset, MemberId, Mesh, MeshId, Pair, Place, Restraint};

/// The equations of a gearset: unknown i is the speed of member i, the case being 0; after
/// them comes, for each planet, its speed relative to its carrier.
pub(super) struct Train<'a> {
    set: &'a Gearset,
    system: LinearSystem,
    joins: Vec<Equality>,
}

impl<'a> Train<'a> {
    pub(super) fn new(set: &'a Gearset) -> Self {
        Self::observing(set, &[])
    }

    /// With the speed of the first against the second of each pair as further unknowns.
    pub(super) fn observing(set: &'a Gearset, pairs: &[Pair<MemberId>]) -> Self {
        let members = set.members().len();
        let mut unknowns = members;
        let mut equations: Vec<Equation> = set.meshes().iter().map(|mesh| mesh_row(set, mesh)).collect();
        let mut inner = Vec::new();
        for planet in set.member_ids() {
            let Place::Pin { carrier, pins } = set.member(planet).place() else { continue };
            equations.push(terms([(1, unknowns), (-1, planet.index()), (1, carrier.index())]));
            // A single shaft on a fixed axis may be driven or held like any member of the main axis.
            if *carrier != MemberId::CASE || pins.len() > 1 {
                inner.push(planet.index());
            }
            inner.push(unknowns);
            unknowns += 1;
        }
        for pair in pairs {
            equations.push(terms([(1, unknowns), (-1, pair.first.index()), (1, pair.second.index())]));
            inner.push(unknowns);
            unknowns += 1;
        }
        let joins = set.joins().iter().map(equality).collect();
        Self { set, system: LinearSystem::new(unknowns, equations, &inner), joins }
    }

    /// The solution for a state in which only these restraints act.
    pub(super) fn solve<'r>(&self, input: MemberId, restraints: impl IntoIterator<Item = &'r Restraint>) -> Solution {
        let mut conditions =
            Conditions { driver: input.index(), equalities: self.joins.clone(), equations: Vec::new() };
        for restraint in restraints {
            self.restrain(&mut conditions, input, restraint);
        }
        self.system.solve(&conditions)
    }

    fn restrain(&self, conditions: &mut Conditions, input: MemberId, restraint: &Restraint) {
        let equalities = &mut conditions.equalities;
        match restraint {
            Restraint::Held(member) => equalities.push(Equality::held(member.index())),
            Restraint::Joined(pair) => equalities.push(equality(pair)),
            Restraint::Control(control) => equalities.push(match self.set.control(*control).action() {
                Action::Band(member) => Equality::held(member.index()),
                Action::Clutch(pair) | Action::OneWayClutch(pair, _) => equality(&pair),
            }),
            Restraint::Turning(member, speed) => {
                conditions
                    .equations
                    .push(terms([(speed.denominator(), member.index()), (-speed.numerator(), input.index())]));
            }
        }
    }

    /// Which quotients of speeds are fixed by which choice of members that turn as one, or stand.
    pub(super) fn merge(&self, members: &[MemberId], mergers: &Mergers) -> Merged {
        let unknowns = members.iter().map(|member| member.index()).collect();
        self.system.merge(&Watched { unknowns, always: self.joins.clone() }, mergers)
    }

    /// The number of the unknown that is a planet's speed relative to its carrier.
    pub(super) fn relative(&self, planet: usize) -> usize {
        self.set.members().len() + planet
    }
}

fn terms<const N: usize>(terms: [(i64, usize); N]) -> Equation {
    terms.into_iter().map(|(coefficient, unknown)| Term { coefficient, unknown }).collect()
}

fn equality(pair: &Pair<MemberId>) -> Equality {
    Equality::of(pair.first.index(), pair.second.index())
}

fn mesh_row(set: &Gearset, mesh: &Mesh) -> Equation {
    terms(mesh_coefficients(set, mesh).map(|(coefficient, member)| (coefficient, member.index())))
}

/// The coefficients of a mesh: `+z_a` at A, `+z_b` at B, `-(z_a + z_b)` at the carrier.
pub(crate) fn mesh_coefficients(set: &Gearset, mesh: &Mesh) -> [(i64, MemberId); 3] {
    let [a, b] = mesh.gears().both().map(|&gear| set.gear(gear));
    let (z_a, z_b) = (a.signed_tooth_count(), b.signed_tooth_count());
    [(z_a, a.member()), (z_b, b.member()), (-(z_a + z_b), mesh.carrier())]
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
    let members = set.members().len();
    let rows: Vec<Equation> = set.meshes().iter().map(|mesh| mesh_row(set, mesh)).collect();
    let joins: Vec<Equality> = set.joins().iter().map(equality).collect();
    LinearSystem::new(members, rows, &[]).dependencies(&joins)
}
