//! What do losses in the meshes leave of the power, and does the train lock itself?
//!
//! Seen from the carrier a mesh passes on the part e of the power that rolls into it: the gear that is
//! driven gets its torque times e. Who drives whom follows from the torques, and these from who
//! drives whom, so every combination that the balances leave open is tried (see `senses`). An answer is right
//! if its senses agree with its torques. Where meshes lose very much, or there are two drives, several can be: which
//! of them holds then depends on how the train came to run. A train in which none delivers power locks itself.
//! Where there are too many combinations the senses without losses are tried, then those that each answer gives, until
//! they agree.
//! Losses of bearings, oil and idling meshes are left out: an estimate, on the high side.
//! Source: the relative-power method, Radzimovsky (1956), Machine Design 28, on losses of planetary drives.

use super::balance::{Balance, Torques};
use super::loads::{MemberLoad, members};
use super::mesh_load::passing_teeth;
use super::senses::TiedSenses;
use super::shared::{carried, shared_loads};
use crate::exact::{Fraction, multiple};
use crate::gearset::{Efficiency, Gearset, MeshId, MeshMatrix, MeshRow, Restraint, Sense, State};
use crate::kinematics::{StateMotion, Verdict, motion_of, motions};
use num_bigint::Sign;
use num_traits::{One, Signed, Zero};
use serde::Serialize;

/// The most senses left open for which every combination of them is tried.
const MOST_TRIED: usize = 10;

/// What losses do in one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateLosses {
    /// The state's name.
    pub state: String,
    /// The input drives with the torque 1.
    pub drive: PowerFlow,
    /// The output drives, and the input takes the torque 1 out (overrun).
    pub overrun: PowerFlow,
    /// Whether every answer that agrees with itself was looked for. Where meshes leave too many combinations of senses
    /// open only the one is told to which the senses without losses lead.
    pub all_looked_for: bool,
}

/// Whether a state passes power on in one direction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PowerFlow {
    /// It does. Of several answers that agree with themselves each is told, the least efficient first; there is one at
    /// least.
    Runs(Vec<Run>),
    /// It locks itself: friction takes more than comes in.
    SelfLocking,
    /// It is not told, for this reason.
    NotTold(LossesUntold),
}

/// Why nothing is told of the losses in one direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum LossesUntold {
    /// The state passes no power on, without losses either.
    #[serde(rename = "passes no power on")]
    NoPower,
    /// Equilibrium leaves open what a mesh carries or a member takes up.
    #[serde(rename = "torques are open")]
    TorquesOpen,
    /// More meshes roll under load than there are combinations to try.
    #[serde(rename = "too many meshes")]
    TooManyMeshes,
    /// A one-way clutch of the state lets go when the output drives.
    #[serde(rename = "lets go")]
    LetsGo,
}

impl PowerFlow {
    /// The power and the torques, where power is passed on; of several answers the least efficient.
    pub fn run(&self) -> Option<&Run> {
        self.runs().first()
    }

    /// Every answer that agrees with itself, the least efficient first.
    pub fn runs(&self) -> &[Run] {
        match self {
            Self::Runs(runs) => runs,
            Self::SelfLocking | Self::NotTold(_) => &[],
        }
    }
}

/// The power and the torques of a state with losses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The power that comes out over that which is put in.
    pub efficiency: Fraction,
    /// The torque that the load puts on the output, for the torque 1 on the input (-1 on overrun).
    pub output_torque: Fraction,
    /// What each control puts on its first member, in the order of the description.
    pub controls: Vec<Option<Fraction>>,
    /// What every mesh loses, as a share of the power that is put in, in the order of the description.
    pub lost: Vec<Fraction>,
}

/// What losses do in every state, in the order of the description; `None` where neither `every_mesh`
/// nor the description gives an efficiency.
///
/// `every_mesh` takes the place of those in the description. A mesh without one loses nothing.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, gearset::Efficiency, statics::losses};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let low = &losses(&set, Efficiency::new(&fraction(98, 100))).unwrap()[0];
/// // Sun 24 in, ring 60 held: (1 + 5/2 e^2) / (1 + 5/2), with e^2 for the two meshes.
/// let run = low.drive.run().unwrap();
/// assert_eq!(run.efficiency, (fraction(1, 1) + fraction(5, 2) * fraction(2401, 2500)) / fraction(7, 2));
/// ```
pub fn losses(set: &Gearset, every_mesh: Option<Efficiency>) -> Option<Vec<StateLosses>> {
    let efficiencies = efficiencies(set, every_mesh)?;
    let ideal = Balance::new(set, set.matrix());
    let states = motions(set).into_iter().enumerate();
    Some(states.map(|(index, motion)| state_losses(set, &efficiencies, &ideal.solve(index), index, &motion)).collect())
}

/// What losses do in one state, by its place in [`Gearset::states`]; otherwise as in [`losses`].
///
/// # Panics
/// If the place is that of no state.
pub fn losses_of(set: &Gearset, state: usize, every_mesh: Option<Efficiency>) -> Option<StateLosses> {
    let efficiencies = efficiencies(set, every_mesh)?;
    let ideal = Balance::new(set, set.matrix());
    Some(state_losses(set, &efficiencies, &ideal.solve(state), state, &motion_of(set, state)))
}

/// The efficiency of every mesh, `every_mesh` in place of those of the description; a mesh without one loses
/// nothing. `None` where there is none at all.
pub(super) fn efficiencies(set: &Gearset, every_mesh: Option<Efficiency>) -> Option<Vec<Efficiency>> {
    let given = |mesh| every_mesh.or_else(|| set.mesh(mesh).efficiency());
    let is_given = set.mesh_ids().any(|mesh| given(mesh).is_some());
    is_given.then(|| set.mesh_ids().map(|mesh| given(mesh).unwrap_or(Efficiency::WITHOUT_LOSS)).collect())
}

fn state_losses(
    set: &Gearset,
    efficiencies: &[Efficiency],
    ideal: &Torques<'_>,
    index: usize,
    motion: &StateMotion,
) -> StateLosses {
    let passing = set.mesh_ids().map(|mesh| passing_teeth(set, mesh, motion).value().cloned()).collect();
    let case = Case { set, efficiencies, index, motion, passing };
    let tied = TiedSenses::new(set, case.state(), |mesh| case.loses(mesh));
    let open = OpenSenses { classes: tied.open_classes(|mesh| case.loses(mesh)), tied };
    StateLosses {
        state: motion.state.clone(),
        drive: case.power_flow(ideal, &open, Sense::Forward),
        overrun: case.power_flow(ideal, &open, Sense::Backward),
        all_looked_for: open.can_all_be_tried(),
    }
}

/// One state whose losses are looked for.
struct Case<'a> {
    set: &'a Gearset,
    efficiencies: &'a [Efficiency],
    index: usize,
    motion: &'a StateMotion,
    /// The teeth of the first gear of each mesh that pass it per turn of the input.
    passing: Vec<Option<Fraction>>,
}

/// The senses that the balances leave open.
struct OpenSenses {
    tied: TiedSenses,
    /// The classes of meshes whose senses are open.
    classes: Vec<usize>,
}

impl OpenSenses {
    fn can_all_be_tried(&self) -> bool {
        self.classes.len() <= MOST_TRIED
    }
}

/// The sign of each torque per tooth.
type Senses = Vec<Sign>;

impl Case<'_> {
    fn state(&self) -> &State {
        &self.set.states()[self.index]
    }

    fn power_flow(&self, ideal: &Torques<'_>, open: &OpenSenses, power: Sense) -> PowerFlow {
        if !matches!(self.motion.verdict, Verdict::Drives { .. }) || !ideal.exist() {
            return PowerFlow::NotTold(LossesUntold::NoPower);
        }
        let Some(first) = self.senses(ideal, power) else { return PowerFlow::NotTold(LossesUntold::TorquesOpen) };
        if open.can_all_be_tried() { self.every_combination(open, power) } else { self.nearest(first, power) }
    }

    /// Every combination that agrees and delivers power.
    fn every_combination(&self, OpenSenses { tied, classes: open }: &OpenSenses, power: Sense) -> PowerFlow {
        let (mut runs, mut is_open) = (Vec::new(), false);
        // Bit i of the number says whether the sense of the open class i is turned round.
        for turned in 0..1_usize << open.len() {
            let turned: Vec<usize> =
                (0..open.len()).filter(|bit| turned >> bit & 1 == 1).map(|bit| open[bit]).collect();
            let mut senses: Senses = tied.with(&turned);
            if power == Sense::Backward {
                for sense in &mut senses {
                    *sense = -*sense;
                }
            }
            match self.attempt(&senses, power) {
                // A mesh that carries nothing agrees with either sense: the answer is the same.
                Attempt::Agrees(Some(run)) if !runs.contains(&*run) => runs.push(*run),
                Attempt::NotTold => is_open = true,
                Attempt::Agrees(_) | Attempt::Leads(_) | Attempt::Fails => {}
            }
        }
        runs.sort_by(|one, other| one.efficiency.cmp(&other.efficiency));
        match (runs.is_empty(), is_open) {
            (false, _) => PowerFlow::Runs(runs),
            (true, true) => PowerFlow::NotTold(LossesUntold::TorquesOpen),
            (true, false) => PowerFlow::SelfLocking,
        }
    }

    /// The answer to which the senses without losses lead.
    fn nearest(&self, first: Senses, power: Sense) -> PowerFlow {
        // Fixed-point iteration on the signs: finitely many, so that it ends in agreement or repeats itself.
        let mut tried: Vec<Senses> = Vec::new();
        let mut senses = first;
        while !tried.contains(&senses) {
            match self.attempt(&senses, power) {
                Attempt::Agrees(Some(run)) => return PowerFlow::Runs(vec![*run]),
                Attempt::Leads(next) => tried.push(std::mem::replace(&mut senses, next)),
                Attempt::Agrees(None) | Attempt::Fails => break,
                Attempt::NotTold => return PowerFlow::NotTold(LossesUntold::TorquesOpen),
            }
        }
        PowerFlow::NotTold(LossesUntold::TooManyMeshes)
    }

    /// Whether a mesh rolls with losses.
    fn loses(&self, mesh: usize) -> bool {
        self.efficiencies[mesh] != Efficiency::WITHOUT_LOSS
            && self.passing[mesh].as_ref().is_some_and(|teeth| !teeth.is_zero())
    }

    /// The signs of the torques per tooth; `None` where one is not told.
    fn senses(&self, torques: &Torques<'_>, power: Sense) -> Option<Senses> {
        let sign = |mesh: MeshId| {
            let sign = torques.mesh(mesh)?.numer().sign();
            Some(if power == Sense::Forward { sign } else { -sign })
        };
        self.set.mesh_ids().map(sign).collect()
    }

    /// The mesh matrix when the torques have these signs: with the efficiency p/q the gear that drives has q times
    /// its count, the one that is driven p times.
    fn matrix(&self, senses: &Senses) -> MeshMatrix {
        self.set.matrix().weighted(|row: &MeshRow| {
            let mesh = row.mesh.index();
            let (p, q) = (self.efficiencies[mesh].numerator(), self.efficiencies[mesh].denominator());
            if !self.loses(mesh) {
                [1, 1]
            } else if self.passing[mesh].as_ref().map(|teeth| teeth.numer().sign()) == Some(senses[mesh]) {
                // f z_a (w_A - w_C) > 0: the mesh gives power to the first gear.
                [p, q]
            } else {
                [q, p]
            }
        })
    }

    fn attempt(&self, senses: &Senses, power: Sense) -> Attempt {
        let balance = Balance::new(self.set, &self.matrix(senses));
        let torques = balance.solve(self.index);
        if !torques.exist() {
            return Attempt::Fails;
        }
        let Some(found) = self.senses(&torques, power) else { return Attempt::NotTold };
        let disagrees = |mesh: usize| self.loses(mesh) && found[mesh] != Sign::NoSign && found[mesh] != senses[mesh];
        if (0..found.len()).any(disagrees) {
            return Attempt::Leads(found);
        }
        let members = members(self.set, &torques, self.state(), self.motion, &shared_loads(self.set, &torques));
        self.run(&torques, &members, power).unwrap_or(Attempt::NotTold)
    }

    /// The powers of torques that agree; `None` where one is not told.
    fn run(&self, torques: &Torques<'_>, members: &[MemberLoad], power: Sense) -> Option<Attempt> {
        let turn = |value: Fraction| if power == Sense::Forward { value } else { -value };
        // Torque times speed of each member: what is positive is put in, what is negative delivered.
        let (mut put_in, mut delivered) = (Fraction::zero(), Fraction::zero());
        for load in members {
            let share = turn(load.power.clone()?);
            if share.is_positive() { put_in += share } else { delivered -= share }
        }
        let state = self.state();
        let output = &members[state.output.index() - 1];
        let comes_out = turn(-output.power.clone()?);
        let second_drive = state.restraints.iter().any(|one| matches!(one, Restraint::Turning(..)));
        let right_way = if power == Sense::Forward { comes_out.is_positive() } else { comes_out.is_negative() };
        if delivered.is_zero() || put_in.is_zero() || !(right_way || second_drive) {
            return Some(Attempt::Agrees(None));
        }
        let lost = self.set.mesh_ids().map(|mesh| self.lost(mesh, torques, &put_in));
        Some(Attempt::Agrees(Some(Box::new(Run {
            efficiency: delivered / &put_in,
            output_torque: turn(output.torque.clone()?),
            controls: self.controls(torques, power).into_iter().map(|torque| Some(turn(torque?))).collect(),
            lost: lost.collect::<Option<_>>()?,
        }))))
    }

    /// What every control carries, with the sign that it has in drive.
    fn controls(&self, torques: &Torques<'_>, power: Sense) -> Vec<Option<Fraction>> {
        let shared = shared_loads(self.set, torques);
        let carries = |control| carried(self.set, &shared, control, torques.control(control), power);
        self.set.control_ids().map(carries).collect()
    }

    /// The power that a mesh loses, as a share of what is put in: the driving gear gives q, the driven one gets p.
    fn lost(&self, mesh: MeshId, torques: &Torques<'_>, put_in: &Fraction) -> Option<Fraction> {
        if !self.loses(mesh.index()) {
            return Some(Fraction::zero());
        }
        let efficiency = self.efficiencies[mesh.index()];
        // Short numbers first: with losses in many meshes torques and powers have thousands of digits.
        let teeth = self.passing[mesh.index()].as_ref()?.abs();
        // |f z_a (w_A - w_C)| (q - p): the driving gear is weighted with q, the driven one with p.
        let lost_by_torque = multiple(&teeth, efficiency.denominator() - efficiency.numerator());
        let lost = torques.mesh(mesh)?.abs() * lost_by_torque;
        Some(if put_in.is_one() { lost } else { lost / put_in })
    }
}

/// What comes of one combination of senses.
enum Attempt {
    /// The torques have these senses; with what is delivered, if anything is.
    Agrees(Option<Box<Run>>),
    /// They have others.
    Leads(Senses),
    /// There is no balance.
    Fails,
    /// A torque or a power is not told.
    NotTold,
}
