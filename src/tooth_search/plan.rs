//! A request as a problem: unknowns, requirements, goals.

use super::answer::{self, Counting, TeethAnswer};
use super::goals;
use super::modules::Modules;
use super::places::Places;
use super::request::{TeethRange, TeethRequest, Wish};
use super::rules;
use crate::exact::{Fraction, Polynomial, fraction};
use crate::formula::{FormulaVerdict, RatioFormula, ratios};
use crate::gearset::{GearId, Gearset, MOST_PINS, MemberId, ToothCount};
use crate::search::{Expression, Fault, Options, Outcome, Problem, Space, Variable, Wanted};

/// So many choices of a value are made for all that serve, before the best are searched for by themselves: where few
/// serve, finding and counting them at once is less work.
const FEW_VISITS: u128 = 20_000;

/// A request that was checked and made a problem.
#[derive(Debug, Clone)]
pub struct TeethPlan<'a> {
    pub(super) set: &'a Gearset,
    pub(super) request: &'a TeethRequest,
    pub(super) problem: Problem,
    pub(super) unknowns: Unknowns,
    pub(super) wishes: Vec<WishedRatio>,
    /// The ratio of every state that drives, as described.
    pub(super) ratios_now: Vec<(String, Fraction)>,
}

/// Tooth counts and pins, as they stand in the problem.
#[derive(Debug, Clone)]
pub(super) struct Unknowns {
    /// For every gear the unknown, if its count may change.
    pub(super) teeth: Vec<Option<Variable>>,
    /// The counts as described.
    pub(super) now: Vec<i64>,
    /// The pins of every group of planets.
    pub(super) places: Vec<Places>,
    /// The modules of the meshes.
    pub(super) modules: Modules,
}

/// Why a request cannot be searched.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TeethFault {
    /// Nothing may change.
    #[error("no gear is named whose teeth may change, and no other number of pins")]
    NothingMayChange,
    /// A gear is named twice.
    #[error("the teeth of gear {0:?} are given twice")]
    GearTwice(String),
    /// A range holds no count.
    #[error("gear {gear:?} is to have from {fewest} to {most} teeth, which is no range of counts from 1 on")]
    EmptyRange {
        /// The gear.
        gear: String,
        /// The fewest teeth.
        fewest: u16,
        /// The most.
        most: u16,
    },
    /// More teeth than any gear has.
    #[error("gear {gear:?} is to have up to {teeth} teeth, which no gear has")]
    TooManyTeeth {
        /// The gear.
        gear: String,
        /// The most that it is to have.
        teeth: u16,
    },
    /// Two choices of pins for planets that share them.
    #[error("the pins of planet {0:?} are given twice")]
    PinsTwice(String),
    /// No pins to choose from.
    #[error("the planet {0:?} is to have no pins")]
    NoPins(String),
    /// More pins than any carrier holds.
    #[error("the planet {planet:?} is to have {pins} pins, more than any carrier holds")]
    TooManyPins {
        /// The planet.
        planet: String,
        /// How many it is to have.
        pins: u32,
    },
    /// No modules to choose from.
    #[error("the mesh of {0:?} is to have no module, or one of 0 or less")]
    NoModules(String),
    /// Teeth larger or smaller than a description takes.
    #[error("the mesh of {mesh:?} is to have a module of {module}, which is out of all proportion")]
    AbsurdModule {
        /// The mesh.
        mesh: String,
        /// The module.
        module: Fraction,
    },
    /// Two choices of modules for meshes that share a gear.
    #[error("the module of {0:?} is given twice: meshes that share a gear share it")]
    ModulesTwice(String),
    /// A state that is not there.
    #[error("there is no state {0:?}")]
    NoSuchState(String),
    /// A state without a ratio.
    #[error("in state {0:?} the output is not driven, so that there is no ratio to wish for")]
    NoRatio(String),
    /// A formula that cannot be used.
    #[error("the ratio of state {0:?} is too long a formula")]
    TooLong(String),
    /// A target of 0, or a window that ends before it begins.
    #[error("what is wanted of the ratio of state {0:?} cannot be")]
    WrongWish(String),
    /// The problem itself cannot be searched.
    #[error(transparent)]
    Problem(#[from] Fault),
}

impl TeethFault {
    /// What to ask instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingMayChange => "name gears with their ranges, such as teeth: { \"L\": (15, 30) }",
            Self::GearTwice(_) => "name every gear once",
            Self::EmptyRange { .. } => "write the fewest teeth first, from 1 on",
            Self::TooManyTeeth { .. } => "write counts up to 10000",
            Self::PinsTwice(_) => "name one planet of those that mesh with one another, with every number to try",
            Self::NoPins(_) => "write the numbers of pins to try, such as [3, 4]",
            Self::TooManyPins { .. } => "write numbers of pins from 1 to 100, such as [3, 4]",
            Self::NoModules(_) => "write modules in millimetres above 0, such as [\"2\", \"2.5\"]",
            Self::AbsurdModule { .. } => "write modules in millimetres from 1/1000 to 1000, such as [2, 2.5]",
            Self::ModulesTwice(_) => "name one of the meshes, with every module to try",
            Self::NoSuchState(_) | Self::NoRatio(_) => "wish for the ratio of a state that drives",
            Self::TooLong(_) => "leave this state out, or search a part of the train",
            Self::WrongWish(_) => "write a target other than 0, or a window from the lower to the higher ratio",
            Self::Problem(_) => "narrow the ranges, or ask for less at once",
        }
    }
}

impl Unknowns {
    fn new(set: &Gearset, request: &TeethRequest, space: &mut Space) -> Result<Self, TeethFault> {
        let mut teeth: Vec<Option<Variable>> = vec![None; set.gears().len()];
        for &TeethRange { gear, fewest, most } in &request.ranges {
            let name = set.gear(gear).name();
            if teeth[gear.index()].is_some() {
                return Err(TeethFault::GearTwice(name.to_owned()));
            }
            if fewest == 0 || fewest > most {
                return Err(TeethFault::EmptyRange { gear: name.to_owned(), fewest, most });
            }
            if ToothCount::new(most.into()).is_none() {
                return Err(TeethFault::TooManyTeeth { gear: name.to_owned(), teeth: most });
            }
            teeth[gear.index()] = Some(space.range(name, i64::from(fewest)..=i64::from(most)));
        }
        let mut places: Vec<Places> = set.planet_groups().iter().map(Places::given).collect();
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
                places[group] = Places::Equal(pins);
            }
        }
        let modules = Modules::new(set, &request.modules, space)?;
        let nothing = request.ranges.is_empty() && request.pins.is_empty() && request.modules.is_empty();
        let now = set.gears().iter().map(|gear| i64::from(gear.tooth_count().get())).collect();
        if nothing { Err(TeethFault::NothingMayChange) } else { Ok(Self { teeth, now, places, modules }) }
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

/// A state whose ratio is wished for, as an expression.
#[derive(Debug, Clone)]
pub(super) struct WishedRatio {
    pub(super) state: String,
    pub(super) wish: Wish,
    pub(super) numerator: Expression,
    pub(super) denominator: Expression,
    /// What has to be zero for the train to move at all.
    pub(super) conditions: Vec<Expression>,
}

impl WishedRatio {
    pub(super) fn ratio(&self) -> Expression {
        self.numerator.clone() / self.denominator.clone()
    }

    /// The name of the requirement that the ratio lies in a window.
    pub(super) fn window_name(&self, low: &Fraction, high: &Fraction) -> String {
        format!("ratio of {} from {low} to {high}", self.state)
    }
}

impl<'a> TeethPlan<'a> {
    /// The request as a problem; requirements and goals of one's own can be added to
    /// [`TeethPlan::problem_mut`].
    ///
    /// # Errors
    /// [`TeethFault`] where the request does not fit the gearset.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, tooth_search::{TeethFault, TeethPlan, TeethRequest}};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let fault = TeethPlan::new(&set, &TeethRequest::new([])).unwrap_err();
    /// assert_eq!(fault, TeethFault::NothingMayChange);
    /// ```
    pub fn new(set: &'a Gearset, request: &'a TeethRequest) -> Result<Self, TeethFault> {
        let mut space = Space::new();
        let unknowns = Unknowns::new(set, request, &mut space)?;
        let wishes = wishes(set, request, &unknowns)?;
        let mut plan =
            Self { set, request, problem: Problem::new(space), unknowns, wishes, ratios_now: answer::ratios(set) };
        rules::add(&mut plan);
        goals::add(&mut plan);
        Ok(plan)
    }

    /// The problem.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// The gearset whose teeth may change.
    pub fn set(&self) -> &Gearset {
        self.set
    }

    /// The problem, to add requirements and goals to.
    pub fn problem_mut(&mut self) -> &mut Problem {
        &mut self.problem
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

    /// Finds what is wanted, exhaustively, and counts all that serve.
    ///
    /// # Errors
    /// [`TeethFault::Problem`] where the question cannot be searched.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, search::{Options, Wanted}, tooth_search::*};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let ranges = ["L", "l"].map(|name| set.gear_named(name).unwrap());
    /// let ranges = ranges.map(|gear| TeethRange { gear, fewest: 15, most: 45 });
    /// let mut request = TeethRequest::new(ranges);
    /// request.ratios.push(RatioWish { state: "low".into(), wish: Wish::Near(fraction(5, 2)) });
    /// let plan = TeethPlan::new(&set, &request).unwrap();
    /// let answer = plan.search(&Wanted::Best(1), &Options::default()).unwrap();
    /// assert!(answer.complete);
    /// // With sums of 57 on three pins, 19 with 38 is nearest.
    /// let (state, ratio) = &answer.results[0].ratios[0];
    /// assert_eq!((state.as_str(), ratio), ("low", &fraction(52, 21)));
    /// assert_eq!(answer.results[0].teeth.iter().map(|(_, teeth)| *teeth).collect::<Vec<_>>(), [19, 38]);
    /// ```
    pub fn search(&self, wanted: &Wanted, options: &Options<'_>) -> Result<TeethAnswer, TeethFault> {
        let (outcome, count, counting) = self.found_and_counted(wanted, options)?;
        let part = options.part.map(|part| [part.index + 1, part.of]);
        Ok(TeethAnswer { part, ..self.finished(outcome, count, counting) })
    }

    /// What is wanted, and how many serve.
    fn found_and_counted(
        &self,
        wanted: &Wanted,
        options: &Options<'_>,
    ) -> Result<(Outcome, u128, Counting), TeethFault> {
        if let (Wanted::Best(_) | Wanted::Pareto, None) = (wanted, options.part) {
            self.problem.check_goals(wanted)?;
            if let Some(all) = self.problem.all_in_few(FEW_VISITS, options.stop)? {
                let (count, counting) = (all.count, Counting::of(&all));
                return Ok((all.cut_down_to(wanted), count, counting));
            }
        }
        let outcome = self.problem.search(wanted, options)?;
        match wanted {
            Wanted::All | Wanted::Count => {
                let (count, counting) = (outcome.count, Counting::of(&outcome));
                Ok((outcome, count, counting))
            }
            Wanted::Best(_) | Wanted::Within(_) | Wanted::Pareto => {
                let counted = self.problem.search(&Wanted::Count, &Options { progress: None, ..*options })?;
                // Parts of a count need not be cut as parts of another question are.
                let found = if options.part.is_none() { outcome.count } else { 0 };
                let (count, counting) = Counting::of(&counted).with_at_least(counted.count, found);
                Ok((outcome, count, counting))
            }
        }
    }

    /// What is wanted where so many results are asked for, or all: of several goals what nothing beats in every one.
    pub(super) fn wanted(&self, results: Option<usize>) -> Wanted {
        match results {
            None => Wanted::All,
            Some(results) if self.goal_names().len() == 1 => Wanted::Best(results),
            Some(_) => Wanted::Pareto,
        }
    }

    /// What each measure is, in words.
    pub fn goal_names(&self) -> Vec<String> {
        goals::names(self)
    }
}

fn wishes(set: &Gearset, request: &TeethRequest, unknowns: &Unknowns) -> Result<Vec<WishedRatio>, TeethFault> {
    let formulas = if request.ratios.is_empty() { Vec::new() } else { ratios(set) };
    let wish = |wished: &super::request::RatioWish| {
        let state = &wished.state;
        let formula = formulas.iter().find(|formula| formula.state == *state);
        let formula = formula.ok_or_else(|| TeethFault::NoSuchState(state.clone()))?;
        if !can_be(&wished.wish) {
            return Err(TeethFault::WrongWish(state.clone()));
        }
        wished_ratio(formula, wished.wish.clone(), unknowns)
    };
    request.ratios.iter().map(wish).collect()
}

/// Whether a wish could be met by any ratio.
pub(super) fn can_be(wish: &Wish) -> bool {
    match wish {
        Wish::Near(target) => *target != fraction(0, 1),
        Wish::Between(low, high) => low <= high,
        Wish::Largest | Wish::Smallest => true,
    }
}

fn wished_ratio(formula: &RatioFormula, wish: Wish, unknowns: &Unknowns) -> Result<WishedRatio, TeethFault> {
    match &formula.verdict {
        FormulaVerdict::Drives(ratio) => Ok(WishedRatio {
            state: formula.state.clone(),
            wish,
            numerator: unknowns.expression(ratio.numerator()),
            denominator: unknowns.expression(ratio.denominator()),
            conditions: formula.conditions.iter().map(|zero| unknowns.expression(zero)).collect(),
        }),
        FormulaVerdict::TooLong => Err(TeethFault::TooLong(formula.state.clone())),
        FormulaVerdict::Locked | FormulaVerdict::Neutral | FormulaVerdict::OutputHeld => {
            Err(TeethFault::NoRatio(formula.state.clone()))
        }
    }
}
