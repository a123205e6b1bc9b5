//! Which values of a train can be wished for beside its ratios, and how do they follow from the counts?
//!
//! Steps and spread are quotients of ratios, whose formulas are multiplied. Speeds are formulas as they are. The torque of a
//! control follows from speeds: with the control let go and the output held, virtual work leaves
//! `T_in w_in + T (w_X - w_Y) = 0` with the two members X and Y that it makes one, so `T / T_in` is one over the speed of the
//! first against the second, per turn of the input. An efficiency depends on which way power flows, and is asked of the train.

use std::collections::BTreeSet;

use num_traits::{Signed, Zero};

use super::answer::FoundValue;
use super::fault::TeethFault;
use super::plan::{FixedWish, TeethPlan, Unknowns, ValueFormula, WishedValue, can_be};
use super::request::{DesignValue, TeethRequest, ValueWish, Wish};
use crate::exact::{Fraction, Polynomial, RationalFunction};
use crate::formula::{FormulasQuestion, StateFormulas, counts, formulas, relative_speed};
use crate::gearset::{ControlId, Efficiency, Gearset, MemberId, Pair, Restraint, State};
use crate::kinematics::{forward_steps, motion_of, motions, observe};
use crate::search::Expression;
use crate::statics::{LoadOptions, loads_of, losses_of};

impl DesignValue {
    /// The value of a gearset, asked of the analyses; `None` where it has none, or where it is of no single state.
    pub(super) fn of(&self, set: &Gearset, mesh_efficiency: Option<Efficiency>) -> Option<Fraction> {
        let place = |name: &str| set.states().iter().position(|state| state.name == name);
        let ratio = |state: &str| motion_of(set, place(state)?).verdict.ratio().cloned();
        Some(
            match self {
                Self::Step { from, to } => ratio(from)? / ratio(to)?,
                Self::Spread => forward_steps(&motions(set)).into_iter().next()?.spread,
                Self::Speed { member, state } => {
                    let state = &set.states()[place(state.as_deref()?)?];
                    let seen = observe(set, std::slice::from_ref(state), &[against(set, *member)]);
                    seen.first()?.relative.first()?.value()?.clone()
                }
                Self::Torque { control, state } => {
                    let loads = loads_of(set, place(state.as_deref()?)?, &LoadOptions::default());
                    loads.control(*control).torque.clone().filter(|_| loads.control(*control).applied)?
                }
                Self::Efficiency { state } => {
                    let losses = losses_of(set, place(state.as_deref()?)?, mesh_efficiency)?;
                    losses.drive.run()?.efficiency.clone()
                }
            }
            .abs(),
        )
    }

    /// What it is called.
    pub(super) fn name(&self, set: &Gearset) -> String {
        let of = |state: &Option<String>| state.as_ref().map(|state| format!(" in {state}")).unwrap_or_default();
        match self {
            Self::Step { from, to } => format!("step from {from} to {to}"),
            Self::Spread => "spread".into(),
            Self::Speed { member, state } => format!("speed of {}{}", set.member(*member).name(), of(state)),
            Self::Torque { control, state } => format!("torque of {}{}", set.control(*control).name(), of(state)),
            Self::Efficiency { state } => format!("efficiency{}", of(state)),
        }
    }

    /// The same value of each state that it is of: where one is named that, else every state in which there is one.
    fn of_states(&self, set: &Gearset, mesh_efficiency: Option<Efficiency>) -> Vec<Self> {
        let with = |state: &State| match self {
            Self::Speed { member, state: None } => Self::Speed { member: *member, state: Some(state.name.clone()) },
            Self::Torque { control, state: None } => {
                Self::Torque { control: *control, state: Some(state.name.clone()) }
            }
            Self::Efficiency { state: None } => Self::Efficiency { state: Some(state.name.clone()) },
            Self::Step { .. } | Self::Spread | Self::Speed { .. } | Self::Torque { .. } | Self::Efficiency { .. } => {
                self.clone()
            }
        };
        // A band or clutch that is applied and carries nothing does so whatever the counts are.
        let carries = |value: &Fraction| !matches!(self, Self::Torque { .. }) || !value.is_zero();
        let is_there = |value: &Self| value.of(set, mesh_efficiency).is_some_and(|value| carries(&value));
        let each = set.states().iter().map(with);
        let mut found: Vec<Self> = each.filter(|value| value == self || is_there(value)).collect();
        // What names its states is of those alone.
        found.dedup();
        found
    }
}

/// What the speed of a member is told against: of a planet its carrier, else the case.
fn against(set: &Gearset, member: MemberId) -> Pair<MemberId> {
    Pair { first: member, second: set.carrier_of(member).unwrap_or(MemberId::CASE) }
}

impl TeethPlan<'_> {
    /// The values that were wished for, of a gearset that was found.
    pub(super) fn values_of(&self, set: &Gearset) -> Vec<FoundValue> {
        let mut found: Vec<FoundValue> = Vec::new();
        for WishedValue { value, name, .. } in &self.values {
            if found.iter().all(|other| other.name != *name) {
                found.push(FoundValue { name: name.clone(), value: value.of(set, self.request.mesh_efficiency) });
            }
        }
        found
    }
}

/// The wishes of a request, each of one state; where a wish is met whatever is found, that is told as well.
pub(super) fn wished(
    set: &Gearset,
    request: &TeethRequest,
    unknowns: &Unknowns,
    met: &mut Vec<FixedWish>,
) -> Result<Vec<WishedValue>, TeethFault> {
    let mut found = Vec::new();
    let needs_ratios = |wished: &ValueWish| matches!(wished.value, DesignValue::Step { .. } | DesignValue::Spread);
    let needs_ratios = request.values.iter().any(needs_ratios);
    let ratios = if needs_ratios { formulas(set, &FormulasQuestion::default()) } else { Vec::new() };
    let has_efficiency = !set.states().is_empty() && losses_of(set, 0, request.mesh_efficiency).is_some();
    let question = ValueQuestion { set, unknowns, ratios, has_efficiency };
    for ValueWish { value, wish } in &request.values {
        let name = value.name(set);
        let is_aim = wish.window().is_none();
        let is_below = match wish {
            Wish::Near(target) => target.is_negative(),
            Wish::Between(_, high) | Wish::AtMost(high) => high.is_negative(),
            Wish::AtLeast(_) | Wish::Largest | Wish::Smallest => false,
        };
        if !can_be(wish) || is_below || (is_aim && matches!(value, DesignValue::Efficiency { .. })) {
            return Err(TeethFault::WrongValue(name));
        }
        let values = value.of_states(set, request.mesh_efficiency);
        if values.is_empty() {
            return Err(question.untold(value, name));
        }
        let wanted = values.into_iter().map(|value| question.wished(value, wish, request.mesh_efficiency));
        let wanted = wanted.collect::<Result<Vec<_>, _>>()?;
        // Of a value in every state those that cannot change and are well are no matter; where none can, they are told.
        let (open, fixed): (Vec<_>, Vec<_>) = wanted.into_iter().partition(|(_, fixed)| fixed.is_none());
        let mut fixed: Vec<FixedValue> = fixed.into_iter().filter_map(|(_, fixed)| fixed).collect();
        if let Some(wrong) = fixed.iter().position(|fixed| is_aim && open.is_empty() || !fixed.is_met) {
            return Err(fixed.swap_remove(wrong).fault);
        }
        if open.is_empty() {
            met.extend(fixed.into_iter().map(|fixed| fixed.value));
        }
        found.extend(open.into_iter().map(|(wished, _)| wished));
    }
    Ok(found)
}

/// A value in which nothing may change.
struct FixedValue {
    value: FixedWish,
    is_met: bool,
    fault: TeethFault,
}

/// What wishes are worked out from.
struct ValueQuestion<'a> {
    set: &'a Gearset,
    unknowns: &'a Unknowns,
    ratios: Vec<StateFormulas>,
    /// Whether the efficiency of any mesh is known.
    has_efficiency: bool,
}

/// A value as factors, with what has to be zero for it and what not.
#[derive(Default)]
struct Factors {
    quotients: Vec<RationalFunction>,
    conditions: Vec<Polynomial>,
    nonzero: Vec<Polynomial>,
}

impl ValueQuestion<'_> {
    /// Why a value cannot be told.
    fn untold(&self, value: &DesignValue, name: String) -> TeethFault {
        match value {
            DesignValue::Spread => TeethFault::NoSpread,
            DesignValue::Efficiency { .. } if !self.has_efficiency => TeethFault::NoEfficiency,
            DesignValue::Efficiency { .. }
            | DesignValue::Step { .. }
            | DesignValue::Speed { .. }
            | DesignValue::Torque { .. } => TeethFault::NoValue(name),
        }
    }

    fn wished(
        &self,
        value: DesignValue,
        wish: &Wish,
        mesh_efficiency: Option<Efficiency>,
    ) -> Result<(WishedValue, Option<FixedValue>), TeethFault> {
        let name = value.name(self.set);
        let untold = || self.untold(&value, name.clone());
        let now = value.of(self.set, mesh_efficiency).ok_or_else(untold)?;
        if matches!(value, DesignValue::Efficiency { .. }) {
            return Ok((WishedValue { value, name, wish: wish.clone(), formula: None }, None));
        }
        let (formula, gears) = match &value {
            DesignValue::Spread => self.spread()?,
            DesignValue::Step { .. }
            | DesignValue::Speed { .. }
            | DesignValue::Torque { .. }
            | DesignValue::Efficiency { .. } => {
                let factors = self.factors(&value).ok_or_else(untold)?;
                (self.formula(&factors), factors.gears())
            }
        };
        let name_of = |gear: &usize| self.set.gears()[*gear].name().to_owned();
        let fixed = gears.iter().all(|&gear| self.unknowns.teeth[gear].is_none()).then(|| FixedValue {
            value: FixedWish { name: name.clone(), value: now.clone() },
            is_met: wish.is_met_by(&now),
            fault: TeethFault::FixedValue { value: name.clone(), now, gears: gears.iter().map(name_of).collect() },
        });
        Ok((WishedValue { value, name, wish: wish.clone(), formula: Some(formula) }, fixed))
    }

    /// A value as a product; `None` where there is no formula.
    fn factors(&self, value: &DesignValue) -> Option<Factors> {
        match value {
            DesignValue::Step { from, to } => {
                let mut found = Factors::default();
                found.add_ratio(self.ratio(from)?)?;
                found.add_ratio(self.ratio(to)?)?;
                let divisor = found.quotients.pop()?.reciprocal()?;
                found.quotients.push(divisor);
                Some(found)
            }
            DesignValue::Speed { member, state } => {
                let state = self.set.state_named(state.as_deref()?)?;
                let speed = relative_speed(self.set, state, against(self.set, *member));
                let formula = speed.speed.formula()?.clone();
                Some(Factors { quotients: vec![formula], conditions: speed.conditions, nonzero: speed.nonzero })
            }
            DesignValue::Torque { control, state } => self.torque(*control, self.set.state_named(state.as_deref()?)?),
            DesignValue::Spread | DesignValue::Efficiency { .. } => None,
        }
    }

    fn ratio(&self, state: &str) -> Option<&StateFormulas> {
        self.ratios.iter().find(|formula| formula.state == state)
    }

    /// The torque of a control by virtual work: see the head of this file.
    fn torque(&self, control: ControlId, state: &State) -> Option<Factors> {
        if state.restraints.iter().any(|restraint| matches!(restraint, Restraint::Turning(..))) {
            return None;
        }
        let mut let_go = state.clone();
        let_go.restraints.retain(|restraint| *restraint != Restraint::Control(control));
        let_go.restraints.push(Restraint::Held(state.output));
        let speed = relative_speed(self.set, &let_go, self.set.control(control).made_one());
        let formula = speed.speed.formula()?;
        // What the speed is divided by must not be zero, and neither must the speed itself.
        let nonzero = [speed.nonzero.clone(), formula.numerator().factors(), formula.denominator().factors()].concat();
        Some(Factors { quotients: vec![formula.reciprocal()?], conditions: speed.conditions, nonzero })
    }

    fn formula(&self, factors: &Factors) -> ValueFormula {
        let expression = |polynomial: &Polynomial| self.unknowns.expression(polynomial);
        let quotient = |factor: &RationalFunction| expression(factor.numerator()) / expression(factor.denominator());
        let value = factors.quotients.iter().map(quotient).reduce(|product, next| product * next);
        ValueFormula {
            value: value.unwrap_or_else(|| 1.into()).absolute(),
            conditions: factors.conditions.iter().map(expression).collect(),
            nonzero: factors.nonzero.iter().map(expression).collect(),
            keep_sign: Vec::new(),
        }
    }

    /// The largest over the smallest ratio of the states that go forwards between one input and one output; states between
    /// the two keep their signs, so that it is of the same ones at other counts.
    fn spread(&self) -> Result<(ValueFormula, BTreeSet<usize>), TeethFault> {
        let ends = forward_steps(&motions(self.set)).into_iter().next().ok_or(TeethFault::NoSpread)?;
        let is_between = |formula: &&StateFormulas| formula.input == ends.input && formula.output == ends.output;
        let mut all = Factors::default();
        let (mut forwards, mut keep_sign) = (Vec::new(), Vec::new());
        for state in self.ratios.iter().filter(is_between) {
            let mut one = Factors::default();
            let (Some(()), Some(factor)) = (one.add_ratio(state), state.verdict.ratio()) else { continue };
            let ratio = self.unknowns.expression(factor.numerator()) / self.unknowns.expression(factor.denominator());
            let is_forwards = factor.value(&counts(self.set)).is_some_and(|ratio| ratio.is_positive());
            let zero = Fraction::zero();
            let keeps = if is_forwards { ratio.clone().at_least(zero) } else { ratio.clone().at_most(zero) };
            if one.gears().iter().any(|&gear| self.unknowns.teeth[gear].is_some()) {
                keep_sign.push((state.state.clone(), keeps));
            }
            forwards.extend(is_forwards.then_some(ratio));
            all.conditions.extend(one.conditions);
            all.nonzero.extend(one.nonzero);
            all.quotients.extend(one.quotients);
        }
        let largest = forwards.iter().cloned().reduce(Expression::larger).ok_or(TeethFault::NoSpread)?;
        let smallest = forwards.into_iter().reduce(Expression::smaller).ok_or(TeethFault::NoSpread)?;
        Ok((ValueFormula { value: largest / smallest, keep_sign, ..self.formula(&all) }, all.gears()))
    }
}

impl Factors {
    /// Adds the ratio of a state; `None` where it does not drive.
    fn add_ratio(&mut self, state: &StateFormulas) -> Option<()> {
        let ratio = state.verdict.ratio()?;
        self.conditions.extend(state.conditions.iter().cloned());
        self.nonzero.extend(state.nonzero.iter().cloned());
        self.nonzero.push(ratio.denominator().clone());
        self.quotients.push(ratio.clone());
        Some(())
    }

    /// The gears that it hangs on.
    fn gears(&self) -> BTreeSet<usize> {
        let parts = self.quotients.iter().flat_map(|factor| [factor.numerator(), factor.denominator()]);
        parts.chain(&self.conditions).flat_map(Polynomial::unknowns).collect()
    }
}
