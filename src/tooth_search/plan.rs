//! A request as a problem: unknowns, requirements, goals.

use super::fault::TeethFault;
use super::fitting::{ToothFitting, moves_pins};
use super::modules::Modules;
use super::places::PinPlaces;
use super::request::{DesignValue, TeethChoice, TeethRange, TeethRequest, Wish};
use crate::exact::{Fraction, Polynomial, decimal, fraction};
use crate::gearset::{GearId, Gearset, MOST_PINS, MemberId, ToothCount};
use crate::kinematics::motions;
use crate::search::{Expression, Measure, Requirement, SearchProblem, Space, Variable};
use serde::Serialize;

/// A request that was checked and made a problem.
#[derive(Debug, Clone)]
pub struct TeethPlan<'a> {
    pub(super) set: &'a Gearset,
    pub(super) request: &'a TeethRequest,
    pub(super) problem: SearchProblem,
    pub(super) unknowns: Unknowns,
    pub(super) wishes: Vec<WishedRatio>,
    /// The ratio of every state that drives, as described.
    pub(super) ratios_now: Vec<(String, Fraction)>,
    /// The wishes for values other than ratios.
    pub(super) values: Vec<WishedValue>,
    /// The wishes that were taken with the other sign.
    pub(super) turned_wishes: Vec<TurnedWish>,
    /// The wishes that are met whatever is found.
    pub(super) fixed_wishes: Vec<FixedWish>,
    /// What is aimed at in place of what the request asks for, by its name.
    pub(super) own_goal: Option<String>,
}

/// Tooth counts and pins, as they stand in the problem.
#[derive(Debug, Clone)]
pub(super) struct Unknowns {
    /// For every gear the unknown, if its count may change.
    pub(super) teeth: Vec<Option<Variable>>,
    /// The counts as described.
    pub(super) now: Vec<i64>,
    /// The pins of every group of planets.
    pub(super) places: Vec<PinPlaces>,
    /// The modules of the meshes.
    pub(super) modules: Modules,
    /// How teeth that are cut anew are fitted, if anything is asked of them.
    pub(super) fitting: Option<ToothFitting>,
    /// Whether other counts may stand on other pin circles.
    pub(super) moves_pins: bool,
}

impl Unknowns {
    pub(super) fn new(set: &Gearset, request: &TeethRequest, space: &mut Space) -> Result<Self, TeethFault> {
        let teeth = open_counts(set, request, space)?;
        let mut places: Vec<PinPlaces> = set.planet_groups().iter().map(PinPlaces::given).collect();
        for (planet, counts) in &request.pins {
            let name = set.member(*planet).name();
            let group = set.planet_groups().iter().position(|group| group.planets().contains(planet));
            if counts.is_empty() || counts.contains(&0) {
                return Err(TeethFault::NoPins(name.to_owned()));
            }
            // Every pin is a place that is worked out, so that their number has to be one that can be.
            if let Some(&pins) = counts.iter().find(|&&pins| i64::from(pins) > MOST_PINS) {
                return Err(TeethFault::TooManyPins { planet: name.to_owned(), pins });
            }
            if let Some(group) = group {
                if places[group].unknown().is_some() {
                    return Err(TeethFault::PinsTwice(name.to_owned()));
                }
                let pins = space.values(&format!("pins of {name}"), counts.iter().map(|&count| i64::from(count)));
                places[group] = PinPlaces::Equal(pins);
            }
        }
        let modules = Modules::new(set, &request.modules, space)?;
        let nothing = teeth.iter().all(Option::is_none) && request.pins.is_empty() && request.modules.is_empty();
        let now = set.gears().iter().map(|gear| i64::from(gear.tooth_count().get())).collect();
        if nothing {
            Err(TeethFault::NothingMayChange)
        } else {
            Ok(Self {
                fitting: ToothFitting::new(set, request, &teeth),
                moves_pins: moves_pins(request),
                teeth,
                now,
                places,
                modules,
            })
        }
    }

    /// The count of a gear: an unknown, or what is described.
    pub(super) fn count(&self, gear: GearId) -> Expression {
        match self.teeth[gear.index()] {
            Some(unknown) => unknown.into(),
            None => self.now[gear.index()].into(),
        }
    }

    /// A polynomial in the counts.
    pub(super) fn expression(&self, polynomial: &Polynomial) -> Expression {
        let factor = |polynomial: &Polynomial| self.sum(polynomial);
        let factors = polynomial.factors();
        factors.iter().map(factor).reduce(|product, next| product * next).unwrap_or_else(|| 1.into())
    }

    fn sum(&self, polynomial: &Polynomial) -> Expression {
        let mut sum: Option<Expression> = None;
        for (monomial, coefficient) in polynomial.terms() {
            let mut product: Option<Expression> = None;
            let mut known = Fraction::from_integer(coefficient.clone());
            for power in monomial.powers() {
                match self.teeth[power.unknown] {
                    None => {
                        let count = fraction(self.now[power.unknown], 1);
                        known *= count.pow(i32::try_from(power.exponent).unwrap_or(i32::MAX));
                    }
                    Some(unknown) => {
                        let factor = Expression::from(unknown).power(power.exponent);
                        product = Some(product.map_or(factor.clone(), |product| product * factor));
                    }
                }
            }
            let term = product.map_or_else(|| known.clone().into(), |product| known.clone() * product);
            sum = Some(sum.map_or(term.clone(), |sum| sum + term));
        }
        sum.unwrap_or_else(|| 0.into())
    }
}

/// For every gear the unknown that its count is, if it may change.
fn open_counts(set: &Gearset, request: &TeethRequest, space: &mut Space) -> Result<Vec<Option<Variable>>, TeethFault> {
    let mut teeth: Vec<Option<Variable>> = vec![None; set.gears().len()];
    let mut open = |gear: GearId, counts: &mut dyn Iterator<Item = u16>| {
        let name = set.gear(gear).name();
        let now = set.gear(gear).tooth_count().get();
        // What a gear has now is at hand.
        let is_at_hand =
            |count: &u16| *count == now || request.stock.as_ref().is_none_or(|stock| stock.contains(count));
        let counts: Vec<i64> = counts.filter(is_at_hand).map(i64::from).collect();
        if counts.is_empty() {
            return Err(TeethFault::NothingInStock(name.to_owned()));
        }
        match teeth[gear.index()].replace(space.values(name, counts)) {
            Some(_) => Err(TeethFault::GearTwice(name.to_owned())),
            None => Ok(()),
        }
    };
    for &TeethRange { gear, fewest, most } in &request.ranges {
        let name = set.gear(gear).name();
        if fewest == 0 || fewest > most {
            return Err(TeethFault::EmptyRange { gear: name.to_owned(), fewest, most });
        }
        if ToothCount::new(most.into()).is_none() {
            return Err(TeethFault::TooManyTeeth { gear: name.to_owned(), teeth: most });
        }
        open(gear, &mut (fewest..=most))?;
    }
    for TeethChoice { gear, counts } in &request.choices {
        let name = set.gear(*gear).name();
        if counts.is_empty() || counts.contains(&0) {
            return Err(TeethFault::NoCounts(name.to_owned()));
        }
        if let Some(&teeth) = counts.iter().find(|&&count| ToothCount::new(count.into()).is_none()) {
            return Err(TeethFault::TooManyTeeth { gear: name.to_owned(), teeth });
        }
        open(*gear, &mut counts.iter().copied())?;
    }
    Ok(teeth)
}

/// A state whose ratio is wished for, as an expression.
#[derive(Debug, Clone)]
pub(super) struct WishedRatio {
    pub(super) state: String,
    pub(super) wish: Wish,
    pub(super) numerator: Expression,
    pub(super) denominator: Expression,
    /// What has to be zero for the train to move at all.
    pub(super) conditions: Vec<Expression>,
    /// Where none of these is zero the ratio is what the formula says.
    pub(super) nonzero: Vec<Expression>,
}

/// A value of the train that is wished for.
#[derive(Debug, Clone)]
pub(super) struct WishedValue {
    /// The value, of one state where it is of one.
    pub(super) value: DesignValue,
    /// What it is called.
    pub(super) name: String,
    pub(super) wish: Wish,
    /// The value as a formula; `None` for an efficiency, which is asked of the train.
    pub(super) formula: Option<ValueFormula>,
}

/// A value as an expression in the counts, without its sign.
#[derive(Debug, Clone)]
pub(super) struct ValueFormula {
    pub(super) value: Expression,
    /// What has to be zero for it.
    pub(super) conditions: Vec<Expression>,
    /// Where none of these is zero the train has the value.
    pub(super) nonzero: Vec<Expression>,
    /// Ratios that have to keep the sign that they have, by their states: more than 0, and less.
    pub(super) keep_sign: Vec<(String, Requirement)>,
}

/// A wish for a ratio whose sign no counts can give, as it was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct TurnedWish {
    /// The state.
    pub state: String,
    /// The target, or the two ends of the window, that were taken.
    pub taken: Vec<Fraction>,
}

/// A wish for a value that nothing which may change is in, and that is met as it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct FixedWish {
    /// What the value is called, such as the ratio of a state.
    pub name: String,
    /// The value, whatever is found.
    pub value: Fraction,
}

impl WishedRatio {
    pub(super) fn ratio(&self) -> Expression {
        self.numerator.clone() / self.denominator.clone()
    }
}

/// The requirement that a value lies in the window that a wish is, with its name; `None` where it is none.
pub(super) fn window(what: &str, value: Expression, wish: &Wish) -> Option<(String, Requirement)> {
    let ends = wish.window()?;
    let told = ends.map(|end| end.map(as_typed).unwrap_or_default());
    Some(match ends {
        [Some(low), Some(high)] => {
            (format!("{what} from {} to {}", told[0], told[1]), value.within(low.clone(), high.clone()))
        }
        [Some(low), None] => (format!("{what} at least {}", told[0]), value.at_least(low.clone())),
        [None, Some(high)] => (format!("{what} at most {}", told[1]), value.at_most(high.clone())),
        [None, None] => return None,
    })
}

/// A number as people type it: with decimals where a few of them are all of it.
fn as_typed(value: &Fraction) -> String {
    const DECIMALS: i64 = 1_000_000;
    if (value * fraction(DECIMALS, 1)).is_integer() { decimal(value, 12) } else { value.to_string() }
}

impl TeethPlan<'_> {
    /// The problem.
    pub fn problem(&self) -> &SearchProblem {
        &self.problem
    }

    /// The gearset whose teeth may change.
    pub fn set(&self) -> &Gearset {
        self.set
    }

    /// The problem, to add requirements and, for a Pareto set, goals to; one goal alone is [`TeethPlan::minimise`].
    pub fn problem_mut(&mut self) -> &mut SearchProblem {
        &mut self.problem
    }

    /// Aims at a measure of one's own, the smaller the better, in place of everything that the request aims at, the
    /// targets of its ratios too; windows and other requirements hold as before. The answer tells the measure by its name.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, search::{Measure, Options, Wanted}, tooth_search::*};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let gears = ["S", "p", "R"].map(|name| set.gear_named(name).unwrap());
    /// let request = TeethRequest::new(gears.map(|gear| TeethRange { gear, fewest: 12, most: 99 }));
    /// let mut plan = TeethPlan::new(&set, &request).unwrap();
    /// let ring = plan.teeth(gears[2]).unwrap();
    /// plan.minimise("ring off 80 teeth", Measure::code([ring], |z| Some(fraction((z[0] - 80).abs(), 1))));
    /// let answer = plan.search(&Wanted::Best(1), &Options::default()).unwrap();
    /// assert_eq!(answer.goals, ["ring off 80 teeth"]);
    /// assert!(answer.results[0].teeth.contains(&(gears[2], 80)));
    /// ```
    pub fn minimise(&mut self, name: &str, measure: impl Into<Measure>) {
        self.problem.forget_goals();
        self.problem.minimise(measure);
        self.own_goal = Some(name.to_owned());
    }

    /// The unknown that is the tooth count of a gear, if it may change.
    pub fn teeth(&self, gear: GearId) -> Option<Variable> {
        self.unknowns.teeth[gear.index()]
    }

    /// The unknown that is the number of pins of a planet, if it may change.
    pub fn pins(&self, planet: MemberId) -> Option<Variable> {
        let group = self.set.planet_groups().iter().position(|group| group.planets().contains(&planet))?;
        self.unknowns.places[group].unknown()
    }
}

/// Whether a wish could be met by any ratio.
pub(super) fn can_be(wish: &Wish) -> bool {
    match wish {
        Wish::Near(target) => *target != fraction(0, 1),
        Wish::Between(low, high) => low <= high,
        Wish::AtMost(_) | Wish::AtLeast(_) | Wish::Largest | Wish::Smallest => true,
    }
}

/// Whether any of these gears may have another count.
pub(super) fn changes(plan: &TeethPlan<'_>, gears: &[GearId]) -> bool {
    gears.iter().any(|gear| plan.unknowns.teeth[gear.index()].is_some())
}

/// The ratio of every state that drives.
pub(super) fn ratios_of(set: &Gearset) -> Vec<(String, Fraction)> {
    motions(set)
        .into_iter()
        .filter_map(|motion| Some((motion.state.clone(), motion.verdict.ratio()?.clone())))
        .collect()
}
