//! Which meshes pass power in a state?
//!
//! Speeds are the kernel of the mesh rows, torques that of their transpose: with one unknown f a
//! mesh, the mesh puts `z f` on each of its members, and what turns freely is in balance. With
//! one unit of torque on the input and the output taking what comes, a mesh whose f is zero in
//! every solution passes nothing, and one whose f is the same everywhere and not zero is loaded.
//! Where solutions differ the share of the mesh is not determined by statics.

use crate::exact::{Conditions, Equation, LinearSystem, Term};
use crate::gearset::{Action, Gearset, MemberId, Pair, Restraint, State};
use crate::kinematics::mesh_coefficients;
use num_traits::Zero;

/// Whether a mesh passes power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Load {
    Some,
    None,
    NotDetermined,
}

/// The load of every mesh in a state.
pub(super) fn loads(set: &Gearset, state: &State) -> Vec<Load> {
    let bodies = Bodies::new(set, state);
    let meshes = set.meshes().len();
    // Unknown 0 is zero, unknown 1 + m belongs to mesh m, the last is the torque on the input.
    let driver = meshes + 1;
    let mut balances: Vec<Vec<Term>> = vec![Vec::new(); set.members().len()];
    for (index, mesh) in set.meshes().iter().enumerate() {
        for (coefficient, member) in mesh_coefficients(set, mesh) {
            balances[bodies.of(member)].push(Term::of(coefficient, 1 + index));
        }
    }
    let input = bodies.of(state.input);
    balances[input].push(Term::of(1, driver));
    let in_balance = |body: &usize| !bodies.supported.contains(body) && !balances[*body].is_empty();
    let rows: Vec<Equation> =
        (0..balances.len()).filter(in_balance).map(|body| balances[body].iter().copied().collect()).collect();
    let inner: Vec<usize> = (1..=meshes).collect();
    let solution = LinearSystem::new(driver + 1, rows, &inner).solve(&Conditions::of(driver, Vec::new()));
    let load = |mesh: usize| match &solution.values[1 + mesh] {
        _ if !solution.driver_can_turn => Load::None,
        Some(factor) if factor.is_zero() => Load::None,
        Some(_) => Load::Some,
        None => Load::NotDetermined,
    };
    (0..meshes).map(load).collect()
}

/// The bodies of a state: members that turn as one, by the smallest of them.
struct Bodies {
    first: Vec<usize>,
    /// The case, the output and what else takes any torque from outside.
    supported: Vec<usize>,
}

impl Bodies {
    fn new(set: &Gearset, state: &State) -> Self {
        let mut bodies = Self { first: (0..set.members().len()).collect(), supported: Vec::new() };
        for join in set.joins() {
            bodies.join(*join);
        }
        for restraint in &state.restraints {
            if let Some(pair) = made_one(set, restraint) {
                bodies.join(pair);
            }
        }
        let turning = state.restraints.iter().filter_map(|restraint| match restraint {
            Restraint::Turning(member, _) => Some(*member),
            Restraint::Control(_) | Restraint::Held(_) | Restraint::Joined(_) => None,
        });
        let supported = [MemberId::CASE, state.output].into_iter().chain(turning);
        bodies.supported = supported.map(|member| bodies.of(member)).collect();
        bodies
    }

    fn of(&self, member: MemberId) -> usize {
        self.first[member.index()]
    }

    fn join(&mut self, pair: Pair<MemberId>) {
        let [one, other] = pair.both().map(|&member| self.of(member));
        self.first.iter_mut().filter(|body| **body == one.max(other)).for_each(|body| *body = one.min(other));
    }
}

/// The two members that a restraint makes one; the second is the case for one that is held.
pub(super) fn made_one(set: &Gearset, restraint: &Restraint) -> Option<Pair<MemberId>> {
    let held = |member| Some(Pair { first: member, second: MemberId::CASE });
    match restraint {
        Restraint::Held(member) => held(*member),
        Restraint::Joined(pair) => Some(*pair),
        Restraint::Control(control) => match set.control(*control).action() {
            Action::Band(member) => held(member),
            Action::Clutch(pair) | Action::OneWayClutch(pair, _) => Some(pair),
        },
        Restraint::Turning(..) => None,
    }
}
