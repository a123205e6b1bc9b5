//! How is a problem worked out, step by step?
//!
//! Speeds by one table a carrier and the two conditions that fix x and y, then by the formula of relative speeds;
//! torques from the ratio; counts from the distance between axes; planets that go together by the rule of their kind.
//! Every number of the working is found here, once.

use num_traits::{One, Zero};

use super::carrier_table::{CarrierTable, carrier_tables};
use super::problem::{PracticeAnswer, PracticeProblem, PracticeQuestion, Quantity};
use super::train_value::TrainValue;
use super::working_step::{
    AssemblyRule, CarrierTerm, FormulaCheck, GivenCondition, HoldingTorque, PinCountWorking, StateWorking,
    TorqueWorking, WorkingStep,
};
use crate::exact::Fraction;
use crate::gearset::{Action, Gearset, MemberId, Restraint, State};
use crate::timing::timing;

/// The steps of a problem, in the order of what is asked.
pub(super) fn working(problem: &PracticeProblem) -> Vec<WorkingStep> {
    let mut steps = Vec::new();
    let mut shown: Vec<usize> = Vec::new();
    for (place, part) in problem.parts.iter().enumerate() {
        if is_of_motion(part.quantity) && shown.is_empty() {
            steps.push(WorkingStep::TrainValues);
        }
        match part.quantity {
            Quantity::Speed(_) | Quantity::PlanetSpeed(_) if shown.contains(&part.state) => {}
            Quantity::Speed(_) | Quantity::PlanetSpeed(_) => {
                shown.push(part.state);
                steps.push(WorkingStep::Speeds(speeds(problem, part.state, &part.input)));
            }
            Quantity::Delivered(output) => {
                shown.push(part.state);
                // The ratio is that of the speeds for one turn of the input.
                steps.push(WorkingStep::Speeds(speeds(problem, part.state, &Fraction::one())));
                steps.extend(torques(problem, part, output).map(WorkingStep::Torques));
            }
            Quantity::Holding(_) => {}
            Quantity::Teeth(_) => steps.push(WorkingStep::Count(place)),
            Quantity::PinCounts => steps.extend(pin_counts(problem, place).map(WorkingStep::PinCounts)),
        }
    }
    steps
}

/// Whether a question needs the speeds of its state.
fn is_of_motion(quantity: Quantity) -> bool {
    match quantity {
        Quantity::Speed(_) | Quantity::PlanetSpeed(_) | Quantity::Delivered(_) => true,
        Quantity::Holding(_) | Quantity::Teeth(_) | Quantity::PinCounts => false,
    }
}

fn speeds(problem: &PracticeProblem, state: usize, input: &Fraction) -> StateWorking {
    let set = &problem.set;
    let tables = carrier_tables(set, state, input);
    let planet = problem.parts.iter().find_map(|part| match part.quantity {
        Quantity::PlanetSpeed(planet) => Some(planet),
        Quantity::Speed(_)
        | Quantity::Delivered(_)
        | Quantity::Holding(_)
        | Quantity::Teeth(_)
        | Quantity::PinCounts => None,
    });
    let trains = problem.train_values.iter().enumerate();
    StateWorking {
        state,
        given: given(set, &set.states()[state], &tables, input),
        checks: trains.filter_map(|(place, train)| check(set, place, train, &tables)).collect(),
        tables,
        planet,
    }
}

/// What the state holds and drives, then what is fast to one another.
fn given(set: &Gearset, state: &State, tables: &[CarrierTable], input: &Fraction) -> Vec<GivenCondition> {
    let held = state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Held(member) => Some((*member, Fraction::zero())),
        Restraint::Turning(member, speed) => Some((*member, speed.value() * input)),
        Restraint::Control(control) => match set.control(*control).action() {
            Action::Band(member) => Some((member, Fraction::zero())),
            Action::Clutch(_) | Action::OneWayClutch(..) => None,
        },
        Restraint::Joined(_) => None,
    });
    let speeds = held.chain([(state.input, input.clone())]);
    let speeds =
        speeds.filter_map(|(member, speed)| Some(GivenCondition::Speed { member, term: term(tables, member)?, speed }));
    let joined = set.joins().iter().filter_map(|join| {
        let members = [join.first, join.second];
        let [first, second] = members.map(|member| term(tables, member));
        Some(GivenCondition::Joined { members, terms: [first?, second?] })
    });
    speeds.chain(joined).collect()
}

/// The speed of a member in x and y of the first table that it stands in.
fn term(tables: &[CarrierTable], member: MemberId) -> Option<CarrierTerm> {
    tables.iter().enumerate().find_map(|(table, of)| {
        let column = of.members.iter().position(|&other| other == member)?;
        Some(CarrierTerm { table, share: of.carrier_still[column].clone() })
    })
}

fn check(set: &Gearset, train: usize, value: &TrainValue, tables: &[CarrierTable]) -> Option<FormulaCheck> {
    let table = tables.iter().find(|table| table.carrier == value.carrier)?;
    let speed = |gear| {
        let member = set.gear(gear).member();
        table.totals[table.members.iter().position(|&other| other == member)?].clone()
    };
    let (first, last, carrier) = (speed(value.first())?, speed(value.last())?, table.added.clone());
    let value = (&last - &carrier) / (&first - &carrier);
    Some(FormulaCheck { train, first, last, carrier, value })
}

/// Power out is power in, so that the torque delivered is to that of the input as the speeds are inversely.
fn torques(problem: &PracticeProblem, part: &PracticeQuestion, output: MemberId) -> Option<TorqueWorking> {
    let PracticeAnswer::Torque(delivered) = &part.answer else { return None };
    let ratio = delivered / &part.input;
    let holding = problem.parts.iter().filter(|other| other.state == part.state);
    let holding = holding.filter_map(|other| match (other.quantity, &other.answer) {
        (Quantity::Holding(member), PracticeAnswer::Torque(torque)) => {
            Some(HoldingTorque { member, torque: torque.clone() })
        }
        _ => None,
    });
    Some(TorqueWorking {
        input: problem.set.states()[part.state].input,
        torque: part.input.clone(),
        output,
        output_per_input: ratio.recip(),
        ratio,
        delivered: delivered.clone(),
        holding: holding.collect(),
    })
}

fn pin_counts(problem: &PracticeProblem, question: usize) -> Option<PinCountWorking> {
    let [train] = &problem.train_values[..] else { return None };
    let [first, last] = train.planet_gears();
    let rule = match train.meshes.len() {
        3 => AssemblyRule::Pairs,
        _ if first == last => AssemblyRule::Plain,
        _ => AssemblyRule::Stepped,
    };
    let group = timing(&problem.set).groups.into_iter().next()?;
    Some(PinCountWorking { question, rule, spacing_divisor: group.spacing_divisor })
}
