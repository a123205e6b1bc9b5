//! The ratio of every state and the speed of any member, as formulas.
//!
//! A formula is derived with the counts open. Where the train as counted does something else, because meshes
//! depend on one another at these counts only or because something cancels, the formula is derived again with all
//! that vanishes at the counts taken for 0, and these conditions are told.

use num_bigint::BigInt;

use super::elimination::{Derivation, Follows, Holds, follow};
use super::parts::follow_at_large;
use super::rows::StateRows;
use crate::exact::{Polynomial, RationalFunction};
use crate::gearset::{Gearset, MemberId, Pair, State};
use crate::kinematics::{MemberMotion, Speed, StateMotion, motion_of, motions, observe};
use serde::Serialize;

/// What is asked of the formulas.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FormulasQuestion {
    /// Only this state, by its place in [`Gearset::states`].
    pub state: Option<usize>,
    /// The speeds of these members as well.
    pub members: Vec<MemberId>,
}

/// The ratio of a state as a formula, and the speeds of members. In every polynomial here unknown i is the tooth count of the gear whose
/// [`index`](crate::gearset::GearId::index) is i, as counted, positive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateFormulas {
    /// The state's name.
    pub state: String,
    /// The member that drives.
    pub input: MemberId,
    /// The member that is driven.
    pub output: MemberId,
    /// What becomes of the output at the counts of the gearset, with the ratio as a formula.
    pub verdict: FormulaVerdict,
    /// What has to be 0 for the verdict: empty where it holds for counts chosen at will.
    pub conditions: Vec<Polynomial>,
    /// What may not be 0 for the verdict to be read off the formula at other counts: polynomials that were divided by and
    /// that positive counts can make 0. Where one of them is, the formula says nothing.
    pub nonzero: Vec<Polynomial>,
    /// What counts chosen at will do, where that is something else.
    pub otherwise: Option<FormulaVerdict>,
    /// The speeds of the members that were asked for.
    pub members: Vec<MemberFormula>,
}

/// What a state does to the output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FormulaVerdict {
    /// The output turns: input turns per output turn.
    Drives(RationalFunction),
    /// The input cannot turn.
    Locked,
    /// The input turns and does not determine the output.
    Neutral,
    /// The input turns and the output stands still.
    OutputHeld,
    /// The formula would have tens of thousands of terms and was not derived.
    TooLong,
}

/// What becomes of the output, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FormulaVerdictKind {
    /// It turns.
    Drives,
    /// The input cannot turn.
    Locked,
    /// The input turns and does not determine it.
    Neutral,
    /// The input turns and it stands still.
    #[serde(rename = "output held")]
    OutputHeld,
    /// The formula would have tens of thousands of terms and was not derived.
    #[serde(rename = "too long")]
    TooLong,
}

impl FormulaVerdict {
    /// The verdict without its formula.
    pub fn kind(&self) -> FormulaVerdictKind {
        match self {
            Self::Drives(_) => FormulaVerdictKind::Drives,
            Self::Locked => FormulaVerdictKind::Locked,
            Self::Neutral => FormulaVerdictKind::Neutral,
            Self::OutputHeld => FormulaVerdictKind::OutputHeld,
            Self::TooLong => FormulaVerdictKind::TooLong,
        }
    }

    /// The ratio, where the state drives: input turns per output turn.
    pub fn ratio(&self) -> Option<&RationalFunction> {
        match self {
            Self::Drives(ratio) => Some(ratio),
            Self::Locked | Self::Neutral | Self::OutputHeld | Self::TooLong => None,
        }
    }
}

/// The speed of a member as formulas.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MemberFormula {
    /// The member.
    pub member: MemberId,
    /// Its speed as seen from the case.
    pub speed: DerivedSpeed,
    /// Its speed as seen from its carrier; `None` for a member that has none.
    pub relative_to_carrier: Option<DerivedSpeed>,
}

/// A speed as derived.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DerivedSpeed {
    /// The speed at the counts of the gearset.
    pub speed: SpeedFormula,
    /// What has to be 0 for it: empty where it holds for counts chosen at will.
    pub conditions: Vec<Polynomial>,
    /// What may not be 0 for the formula to say the speed at other counts, as in [`StateFormulas::nonzero`].
    pub nonzero: Vec<Polynomial>,
    /// The speed with counts chosen at will, where that is something else.
    pub otherwise: Option<SpeedFormula>,
}

/// A speed as a formula, as far as there is one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SpeedFormula {
    /// Turns per turn of the input; positive in its sense.
    Determined(RationalFunction),
    /// Not determined by the input.
    Free,
    /// The input cannot turn.
    Locked,
    /// A bevel planet tumbles: it has a speed as seen from its carrier only.
    WithoutMeaning,
    /// The formula would have tens of thousands of terms and was not derived.
    TooLong,
}

/// How far there is a formula for a speed, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SpeedFormulaKind {
    /// There is one.
    Determined,
    /// The input does not determine the speed.
    Free,
    /// The input cannot turn.
    Locked,
    /// A bevel planet tumbles: it has a speed as seen from its carrier only.
    Tumbles,
    /// The formula would have tens of thousands of terms and was not derived.
    #[serde(rename = "too long")]
    TooLong,
}

impl SpeedFormula {
    /// The speed without its formula.
    pub fn kind(&self) -> SpeedFormulaKind {
        match self {
            Self::Determined(_) => SpeedFormulaKind::Determined,
            Self::Free => SpeedFormulaKind::Free,
            Self::Locked => SpeedFormulaKind::Locked,
            Self::WithoutMeaning => SpeedFormulaKind::Tumbles,
            Self::TooLong => SpeedFormulaKind::TooLong,
        }
    }

    /// The formula, where there is one.
    pub fn formula(&self) -> Option<&RationalFunction> {
        match self {
            Self::Determined(formula) => Some(formula),
            Self::Free | Self::Locked | Self::WithoutMeaning | Self::TooLong => None,
        }
    }

    fn verdict(self) -> FormulaVerdict {
        match self {
            Self::Determined(speed) => speed.reciprocal().map_or(FormulaVerdict::OutputHeld, FormulaVerdict::Drives),
            // The output of a state is no bevel planet, whose speed has no meaning.
            Self::Free | Self::WithoutMeaning => FormulaVerdict::Neutral,
            Self::Locked => FormulaVerdict::Locked,
            Self::TooLong => FormulaVerdict::TooLong,
        }
    }
}

/// The tooth counts of a gearset, as the formulas take them: positive, in the order of the gears.
pub fn counts(set: &Gearset) -> Vec<BigInt> {
    set.gears().iter().map(|gear| gear.tooth_count().get().into()).collect()
}

/// The ratio of every state asked for as a formula, in the order of the description, and the speeds of members per turn
/// of the input.
///
/// # Panics
/// If the state asked for is none of the gearset.
///
/// # Examples
/// ```
/// use toothmark::{description, formula::{FormulasQuestion, counts, formulas}};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let carrier = set.member_named("carrier").unwrap();
/// let ring_held = &formulas(&set, &FormulasQuestion { members: vec![carrier], ..FormulasQuestion::default() })[0];
/// // (sun + ring) / sun, and no planet in it.
/// let ratio = ring_held.verdict.ratio().unwrap();
/// assert_eq!(ratio.numerator().unknowns().len(), 2);
/// assert_eq!(ratio.value(&counts(&set)).unwrap().to_string(), "7/2");
/// let speed = ring_held.members[0].speed.speed.formula().unwrap();
/// assert_eq!(speed.value(&counts(&set)).unwrap().to_string(), "2/7");
/// ```
pub fn formulas(set: &Gearset, question: &FormulasQuestion) -> Vec<StateFormulas> {
    let counts = counts(set);
    let of_state = |state: &State, motion: &StateMotion| state_formulas(set, state, motion, &question.members, &counts);
    match question.state {
        Some(place) => vec![of_state(&set.states()[place], &motion_of(set, place))],
        None => set.states().iter().zip(&motions(set)).map(|(state, motion)| of_state(state, motion)).collect(),
    }
}

fn state_formulas(
    set: &Gearset,
    state: &State,
    motion: &StateMotion,
    members: &[MemberId],
    counts: &[BigInt],
) -> StateFormulas {
    let rows = StateRows::new(set, state);
    let output = rows.column(state.output);
    let known = motion.member(state.output).map_or(&Speed::Free, |found| &found.speed);
    let of_output = derive(rows, state, output, counts, known);
    let ratio = DerivedRatio::new(of_output, counts);
    let known = members.iter().filter_map(|&member| motion.member(member));
    StateFormulas {
        state: state.name.clone(),
        input: state.input,
        output: state.output,
        verdict: ratio.verdict,
        conditions: ratio.conditions,
        nonzero: ratio.nonzero,
        otherwise: ratio.otherwise,
        members: known.map(|known| member_formula(set, state, known, counts)).collect(),
    }
}

/// The speed of the first of two members against the second, per turn of the input, in a state of the gearset or any other,
/// as a formula; against the case it is the speed of the first.
///
/// # Examples
/// ```
/// use toothmark::{description, formula::{counts, relative_speed}, gearset::Pair};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let [sun, carrier] = ["sun", "carrier"].map(|name| set.member_named(name).unwrap());
/// let state = set.state_named("ring held").unwrap();
/// let found = relative_speed(&set, state, Pair { first: sun, second: carrier });
/// // 1 - 2/7 of a turn.
/// assert_eq!(found.speed.formula().unwrap().value(&counts(&set)).unwrap().to_string(), "5/7");
/// ```
pub fn relative_speed(set: &Gearset, state: &State, members: Pair<MemberId>) -> DerivedSpeed {
    let seen = observe(set, std::slice::from_ref(state), &[members]);
    let known = seen.first().and_then(|seen| seen.relative.first()).cloned().unwrap_or(Speed::Free);
    let mut rows = StateRows::new(set, state);
    let column = rows.observe(members.first, members.second);
    derive(rows, state, column, &counts(set), &known)
}

/// The ratio of a state as derived, as [`DerivedSpeed`] is.
struct DerivedRatio {
    verdict: FormulaVerdict,
    conditions: Vec<Polynomial>,
    nonzero: Vec<Polynomial>,
    otherwise: Option<FormulaVerdict>,
}

impl DerivedRatio {
    /// The ratio is one over the speed of the output. A speed p/q that is 0 at the counts has no such inverse: there the
    /// output stands still, which holds only where what vanishes in p does.
    fn new(of_output: DerivedSpeed, counts: &[BigInt]) -> Self {
        let DerivedSpeed { speed, mut conditions, nonzero, otherwise } = of_output;
        let otherwise = otherwise.map(SpeedFormula::verdict);
        let vanishing = speed.formula().and_then(|speed| vanishing_part(speed.numerator(), counts));
        match vanishing {
            None => Self { verdict: speed.verdict(), conditions, nonzero, otherwise },
            Some(vanishing) => {
                conditions.push(vanishing);
                let otherwise = otherwise.or_else(|| Some(speed.verdict()));
                Self { verdict: FormulaVerdict::OutputHeld, conditions, nonzero, otherwise }
            }
        }
    }
}

/// The product of the factors that are 0 at the counts; `None` where none is, and of 0 itself, which is 0 at any.
fn vanishing_part(polynomial: &Polynomial, counts: &[BigInt]) -> Option<Polynomial> {
    let vanishing = polynomial.factors().into_iter().filter(|factor| factor.value(counts) == BigInt::ZERO);
    vanishing.reduce(|product, factor| &product * &factor).filter(|part| !part.is_zero())
}

fn member_formula(set: &Gearset, state: &State, known: &MemberMotion, counts: &[BigInt]) -> MemberFormula {
    let member = known.member;
    let speed = if known.speed == Speed::WithoutMeaning {
        DerivedSpeed {
            speed: SpeedFormula::WithoutMeaning,
            conditions: Vec::new(),
            nonzero: Vec::new(),
            otherwise: None,
        }
    } else {
        let rows = StateRows::new(set, state);
        let column = rows.column(member);
        derive(rows, state, column, counts, &known.speed)
    };
    let against = |(carrier, known): (MemberId, &Speed)| {
        let mut rows = StateRows::new(set, state);
        let column = rows.observe(member, carrier);
        derive(rows, state, column, counts, known)
    };
    let relative_to_carrier = set.carrier_of(member).zip(known.relative_to_carrier.as_ref()).map(against);
    MemberFormula { member, speed, relative_to_carrier }
}

/// The speed in a column, at large if that agrees with what is known at the counts.
fn derive(rows: StateRows, state: &State, column: usize, counts: &[BigInt], known: &Speed) -> DerivedSpeed {
    let driver = rows.column(state.input);
    let at_large = DerivedSpeed::of(follow_at_large(&rows.rows, driver, column), None);
    if at_large.speed == SpeedFormula::TooLong || agrees(&at_large.speed, known, counts) {
        return at_large;
    }
    DerivedSpeed::of(follow(rows.rows, driver, column, Holds::At(counts)), Some(at_large.speed))
}

impl DerivedSpeed {
    fn of(derivation: Option<Derivation>, otherwise: Option<SpeedFormula>) -> Self {
        let (follows, conditions, nonzero) = match derivation {
            Some(found) => (Some(found.follows), found.conditions, found.nonzero),
            None => (None, Vec::new(), Vec::new()),
        };
        Self { speed: speed(follows), conditions, nonzero, otherwise }
    }
}

fn speed(follows: Option<Follows>) -> SpeedFormula {
    match follows {
        Some(Follows::Value(formula)) => SpeedFormula::Determined(formula),
        Some(Follows::Nothing) => SpeedFormula::Free,
        Some(Follows::Contradiction) => SpeedFormula::Locked,
        None => SpeedFormula::TooLong,
    }
}

/// Whether a formula says at the counts what is known of them.
fn agrees(found: &SpeedFormula, known: &Speed, counts: &[BigInt]) -> bool {
    match (found, known) {
        (SpeedFormula::Determined(formula), Speed::Determined(value)) => formula.value(counts).as_ref() == Some(value),
        (SpeedFormula::Free, Speed::Free) | (SpeedFormula::Locked, Speed::Locked) => true,
        _ => false,
    }
}
