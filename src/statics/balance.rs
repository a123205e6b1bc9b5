//! Which linear equations are the equilibrium of a gearset, and what does a state add to them?
//!
//! One equation for each member but the case. Unknowns are the torques that engine, load and holds
//! put on members, then those of the controls and of the joins of single states, then those of the
//! joins for good, the torque per tooth of each mesh, and the sums of controls that do the same. The last three
//! kinds are in every state, so they are eliminated once for the train; a state says of the others which of
//! them are not zero.

use super::beside::{BesideOthers, side_by_side};
use crate::exact::{Conditions, Equality, Equation, Fraction, LinearSystem, Solution, Term};
use crate::gearset::{Bodies, ControlId, Gearset, MemberId, MeshId, MeshMatrix, Pair, Restraint, State};

/// The equilibrium of a gearset.
pub(super) struct Balance<'a> {
    set: &'a Gearset,
    system: LinearSystem,
    numbers: Numbers,
}

/// Which unknown is which; 0 is always zero.
struct Numbers {
    /// For each member, the torque of engine, load or hold; 0 where no state has one.
    outside: Vec<usize>,
    /// The first control's torque; the others follow.
    controls: usize,
    /// For each state, the torque of the first pair that it joins.
    joined: Vec<usize>,
    joins: usize,
    meshes: usize,
    /// For each state the controls that do the same, and the unknown that is their sum.
    shared: Vec<Vec<(usize, Vec<BesideOthers>)>>,
    count: usize,
}

/// The torques of one state, for the torque 1 on its input.
pub(super) struct Torques<'b> {
    numbers: &'b Numbers,
    state: usize,
    solution: Solution,
}

impl<'a> Balance<'a> {
    /// For each member `M^T f + what acts from outside + what controls and joins put on it = 0`.
    pub(super) fn new(set: &'a Gearset, matrix: &MeshMatrix) -> Self {
        let numbers = Numbers::new(set);
        let mut equations = matrix.torques(numbers.meshes);
        for (equation, &unknown) in equations.iter_mut().zip(&numbers.outside).filter(|(_, unknown)| **unknown != 0) {
            equation.extend([Term::of(1, unknown)]);
        }
        let controls = set.controls().iter().enumerate();
        let controls = controls.map(|(index, control)| (control.made_one(), numbers.controls + index));
        let joined = set.states().iter().zip(&numbers.joined).flat_map(|(state, &first)| {
            joined_pairs(state).enumerate().map(move |(index, pair)| (pair, first + index))
        });
        let joins = set.joins().iter().enumerate().map(|(index, pair)| (*pair, numbers.joins + index));
        // What makes two members one puts a torque on the first and its opposite on the second.
        for (pair, unknown) in controls.chain(joined).chain(joins) {
            equations[pair.first.index()].extend([Term::of(1, unknown)]);
            equations[pair.second.index()].extend([Term::of(-1, unknown)]);
        }
        // The case needs no balance: what it is bolted to takes what is left.
        equations[MemberId::CASE.index()] = Equation::default();
        // S - (t_1 + t_2 + ...) = 0: what controls carry together can be known where the part of each is open.
        let sum = |(sum, controls): &(usize, Vec<BesideOthers>)| {
            let part = |beside: &BesideOthers| Term::of(-beside.sign, numbers.controls + beside.control.index());
            controls.iter().map(part).chain([Term::of(1, *sum)]).collect::<Equation>()
        };
        equations.extend(numbers.shared.iter().flatten().map(sum));
        let inner: Vec<usize> = (numbers.joins..numbers.count).collect();
        Self { set, system: LinearSystem::new(numbers.count, equations, &inner), numbers }
    }

    /// The torques of a state, by its place in the list of states.
    pub(super) fn solve(&self, state: usize) -> Torques<'_> {
        let numbers = &self.numbers;
        let given = &self.set.states()[state];
        let mut acts = vec![false; numbers.joins];
        acts[numbers.outside[given.output.index()]] = true;
        acts[numbers.outside[given.input.index()]] = true;
        let mut joined = numbers.joined[state];
        for restraint in &given.restraints {
            let unknown = match restraint {
                Restraint::Control(control) => numbers.controls + control.index(),
                Restraint::Held(member) | Restraint::Turning(member, _) => numbers.outside[member.index()],
                Restraint::Joined(_) => {
                    joined += 1;
                    joined - 1
                }
            };
            acts[unknown] = true;
        }
        let idle = (1..numbers.joins).filter(|&unknown| !acts[unknown]).map(Equality::held).collect();
        let conditions = Conditions::of(numbers.outside[given.input.index()], idle);
        Torques { numbers, state, solution: self.system.solve(&conditions) }
    }
}

impl Numbers {
    fn new(set: &Gearset) -> Self {
        let mut outside = vec![0; set.members().len()];
        let mut count = 1;
        let mut give = |member: MemberId| {
            if outside[member.index()] == 0 {
                outside[member.index()] = count;
                count += 1;
            }
        };
        for state in set.states() {
            give(state.input);
            give(state.output);
            for restraint in &state.restraints {
                if let Restraint::Held(member) | Restraint::Turning(member, _) = restraint {
                    give(*member);
                }
            }
        }
        let controls = count;
        count += set.controls().len();
        let mut joined = Vec::with_capacity(set.states().len());
        for state in set.states() {
            joined.push(count);
            count += joined_pairs(state).count();
        }
        let joins = count;
        let meshes = joins + set.joins().len();
        count = meshes + set.meshes().len();
        let bodies = Bodies::for_good(set);
        let mut number = |controls: Vec<BesideOthers>| {
            count += 1;
            (count - 1, controls)
        };
        let shared = set
            .states()
            .iter()
            .map(|state| side_by_side(set, &bodies, state).into_iter().map(&mut number).collect())
            .collect();
        Self { outside, controls, joined, joins, meshes, shared, count }
    }
}

impl Torques<'_> {
    /// Whether anything takes up a torque on the input.
    pub(super) fn exist(&self) -> bool {
        self.solution.driver_can_turn
    }

    fn value(&self, unknown: usize) -> Option<&Fraction> {
        self.solution.values[unknown].as_ref()
    }

    /// What engine, load or hold puts on a member.
    pub(super) fn outside(&self, member: MemberId) -> Option<&Fraction> {
        self.value(self.numbers.outside[member.index()])
    }

    /// What a control puts on its first member.
    pub(super) fn control(&self, control: ControlId) -> Option<&Fraction> {
        self.value(self.numbers.controls + control.index())
    }

    /// What a pair that the state joins has on its first member.
    pub(super) fn joined(&self, index: usize) -> Option<&Fraction> {
        self.value(self.numbers.joined[self.state] + index)
    }

    /// What a join puts on its first member.
    pub(super) fn join(&self, index: usize) -> Option<&Fraction> {
        self.value(self.numbers.joins + index)
    }

    /// The controls of the state that do the same, and what they put together on the first member of the first.
    pub(super) fn shared(&self) -> impl Iterator<Item = (&Vec<BesideOthers>, Option<&Fraction>)> {
        self.numbers.shared[self.state].iter().map(|(sum, controls)| (controls, self.value(*sum)))
    }

    /// The torque per tooth of a mesh.
    pub(super) fn mesh(&self, mesh: MeshId) -> Option<&Fraction> {
        self.value(self.numbers.meshes + mesh.index())
    }
}

/// The pairs that a state joins, in order.
pub(super) fn joined_pairs(state: &State) -> impl Iterator<Item = Pair<MemberId>> + '_ {
    state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Joined(pair) => Some(*pair),
        Restraint::Control(_) | Restraint::Held(_) | Restraint::Turning(..) => None,
    })
}
