//! Which gear of each mesh may drive the other: how few combinations have to be tried?
//!
//! The sign of the torque per tooth says who drives. In the balance of a body on which neither a load nor the case acts
//! from outside, `c_1 f_1 + c_2 f_2 = 0` ties two signs together, `c f = 0` leaves a mesh without torque, and on the
//! body that the input drives `c f + 1 = 0` gives a sign outright. The coefficients c are tooth counts weighted with
//! efficiencies, so that their signs are known beforehand except where an internal mesh acts on its carrier. Worked
//! out here; `tests/all/statics/losses.rs` tries all combinations.

use crate::gearset::{Bodies, Gearset, MemberId, MeshId, Restraint, State};
use num_bigint::Sign;

/// The signs of the torques per tooth as far as the balances tie them together.
#[derive(Debug)]
pub(super) struct TiedSenses {
    /// For each mesh what its sign follows; none where it carries nothing.
    ties: Vec<Option<Tie>>,
}

/// The sign of a mesh is that of a class, or the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Tie {
    /// The mesh that stands for the class; none for what the input gives outright.
    class: Option<usize>,
    turned: bool,
}

/// A balance: meshes with the signs of their coefficients, and whether the input acts on the body.
struct SignedBalance {
    terms: Vec<(usize, Sign)>,
    driven: bool,
}

impl TiedSenses {
    /// `rolls` says which meshes roll with losses, so that their coefficients have weights.
    pub(super) fn new(set: &Gearset, state: &State, rolls: impl Fn(usize) -> bool) -> Self {
        let mut tied =
            Self { ties: (0..set.meshes().len()).map(|mesh| Some(Tie { class: Some(mesh), turned: false })).collect() };
        let balances = balances(set, state, rolls);
        // Each tie takes a class away, so that rounds without a new tie end this.
        while balances.iter().any(|balance| tied.follow(balance)) {}
        tied
    }

    /// Ties what a balance ties; whether that is new.
    fn follow(&mut self, balance: &SignedBalance) -> bool {
        let loaded: Vec<(usize, Tie, Sign)> =
            balance.terms.iter().filter_map(|&(mesh, sign)| Some((mesh, self.ties[mesh]?, sign))).collect();
        match (&loaded[..], balance.driven) {
            // c f + 1 = 0: f has the sign that c has not.
            ([(_, Tie { class: Some(class), turned }, sign)], true) => {
                self.retie(*class, Some(Tie { class: None, turned: (*sign == Sign::Plus) != *turned }))
            }
            ([(_, Tie { class: Some(class), .. }, _)], false) => self.retie(*class, None),
            // c_1 f_1 = -c_2 f_2: coefficients of one sign ask for torques of two.
            ([(_, one, first), (_, other, second)], false) if one.class != other.class => {
                let differ = (first == second) != (one.turned != other.turned);
                let (from, to) = if one.class.is_some() { (one, other) } else { (other, one) };
                from.class.is_some_and(|class| self.retie(class, Some(Tie { class: to.class, turned: differ })))
            }
            _ => false,
        }
    }

    /// All of a class follow another, or carry nothing.
    fn retie(&mut self, class: usize, to: Option<Tie>) -> bool {
        for tie in &mut self.ties {
            if let Some(Tie { class: Some(own), turned }) = *tie
                && own == class
            {
                *tie = to.map(|to| Tie { class: to.class, turned: to.turned != turned });
            }
        }
        true
    }

    /// The classes that have a mesh which rolls with losses and whose sign is open.
    pub(super) fn open_classes(&self, rolls: impl Fn(usize) -> bool) -> Vec<usize> {
        let of = |(mesh, tie): (usize, &Option<Tie>)| tie.filter(|_| rolls(mesh)).and_then(|tie| tie.class);
        let mut classes: Vec<usize> = self.ties.iter().enumerate().filter_map(of).collect();
        classes.sort_unstable();
        classes.dedup();
        classes
    }

    /// The signs for the torque 1 on the input where these classes have the sign of minus; a mesh that carries nothing has
    /// any.
    pub(super) fn with(&self, turned_classes: &[usize]) -> Vec<Sign> {
        let sign = |tie: &Option<Tie>| match tie {
            Some(Tie { class, turned }) if *turned != class.is_some_and(|class| turned_classes.contains(&class)) => {
                Sign::Minus
            }
            _ => Sign::Plus,
        };
        self.ties.iter().map(sign).collect()
    }
}

/// The balances of all bodies on which nothing acts from outside but the input, where the sign of every coefficient is
/// known.
fn balances(set: &Gearset, state: &State, rolls: impl Fn(usize) -> bool) -> Vec<SignedBalance> {
    let bodies = Bodies::in_state(set, state);
    let acted_on = |member| bodies.same(member, state.output) || bodies.same(member, MemberId::CASE);
    let driven_too = |member| {
        let drives =
            |restraint: &Restraint| matches!(restraint, Restraint::Turning(one, _) if bodies.same(*one, member));
        state.restraints.iter().any(drives)
    };
    let firsts = set.member_ids().filter(|&member| bodies.of(member) == member);
    firsts
        .filter(|&body| !acted_on(body) && !driven_too(body))
        .filter_map(|body| {
            let is_of = |member| bodies.same(member, body);
            let mut terms = Vec::new();
            for mesh in set.mesh_ids() {
                match coefficient(set, mesh, is_of, &rolls) {
                    Coefficient::Zero => {}
                    Coefficient::Signed(sign) => terms.push((mesh.index(), sign)),
                    Coefficient::Open => return None,
                }
            }
            Some(SignedBalance { terms, driven: bodies.same(body, state.input) })
        })
        .collect()
}

/// The sign of what a torque of 1 per tooth puts on a body.
enum Coefficient {
    Zero,
    Signed(Sign),
    /// It depends on the efficiency.
    Open,
}

/// With weights p and q the entries of a mesh are `p z_a`, `q z_b` and `-(p z_a + q z_b)`.
fn coefficient(
    set: &Gearset,
    mesh: MeshId,
    is_of: impl Fn(MemberId) -> bool,
    rolls: impl Fn(usize) -> bool,
) -> Coefficient {
    let terms = set.matrix().row(mesh).terms();
    let [first, second, _] = terms.map(|term| term.coefficient.signum());
    let has_weights = rolls(mesh.index()) && first != second;
    match terms.map(|term| is_of(term.member)) {
        // The sum of both has a sign of its own where the counts have one sign, or no weights.
        [true, true, false] | [false, false, true] if has_weights => return Coefficient::Open,
        _ => {}
    }
    let sum: i64 = terms.iter().filter(|term| is_of(term.member)).map(|term| term.coefficient).sum();
    match sum.signum() {
        0 => Coefficient::Zero,
        1 => Coefficient::Signed(Sign::Plus),
        _ => Coefficient::Signed(Sign::Minus),
    }
}
