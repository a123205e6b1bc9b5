//! How does a request become a plan: its unknowns, the formulas of its ratios, its rules and goals?

use std::collections::BTreeSet;

use super::fault::TeethFault;
use super::plan::{FixedWish, TeethPlan, Unknowns, WishedRatio, can_be, ratios_of};
use super::request::{RatioWish, TeethRequest, Wish};
use super::{goals, rules, sense, values};
use crate::exact::Polynomial;
use crate::formula::{FormulaVerdict, FormulasQuestion, StateFormulas, counts, formulas};
use crate::gearset::Gearset;
use crate::search::{SearchProblem, Space};

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
        let mut fixed_wishes = Vec::new();
        let mut wishes = wishes(set, request, &unknowns, &mut fixed_wishes)?;
        let ratios_now = ratios_of(set);
        let turned_wishes = sense::turn_wishes(&space, &mut wishes, &ratios_now)?;
        let problem = SearchProblem::new(space);
        let values = values::wished(set, request, &unknowns, &mut fixed_wishes)?;
        let mut plan = Self {
            set,
            request,
            problem,
            unknowns,
            wishes,
            ratios_now,
            values,
            turned_wishes,
            fixed_wishes,
            own_goal: None,
        };
        rules::add(&mut plan);
        goals::add(&mut plan);
        Ok(plan)
    }

    /// What each measure is, in words.
    pub fn goal_names(&self) -> Vec<String> {
        self.own_goal.clone().map_or_else(|| goals::names(self), |own| vec![own])
    }
}

/// The wishes for ratios; those that are met whatever is found are told as well.
fn wishes(
    set: &Gearset,
    request: &TeethRequest,
    unknowns: &Unknowns,
    fixed: &mut Vec<FixedWish>,
) -> Result<Vec<WishedRatio>, TeethFault> {
    let formulas = if request.ratios.is_empty() { Vec::new() } else { formulas(set, &FormulasQuestion::default()) };
    let mut wishes = Vec::new();
    for RatioWish { state, wish } in &request.ratios {
        let formula = formulas.iter().find(|formula| formula.state == *state);
        let formula = formula.ok_or_else(|| TeethFault::NoSuchState(state.clone()))?;
        if !can_be(wish) {
            return Err(TeethFault::WrongWish(state.clone()));
        }
        fixed.extend(can_change(set, formula, wish, unknowns)?);
        wishes.push(wished_ratio(formula, wish.clone(), unknowns)?);
    }
    Ok(wishes)
}

/// Whether a wish asks for anything: a ratio in which nothing may change is as near as it is, as large and as small; within
/// its window it is well, which is given, and outside of it nothing serves.
fn can_change(
    set: &Gearset,
    formula: &StateFormulas,
    wish: &Wish,
    unknowns: &Unknowns,
) -> Result<Option<FixedWish>, TeethFault> {
    let Some(ratio) = formula.verdict.ratio() else { return Ok(None) };
    let polynomials = [ratio.numerator(), ratio.denominator()].into_iter().chain(&formula.conditions);
    let gears: BTreeSet<usize> = polynomials.flat_map(Polynomial::unknowns).collect();
    if gears.iter().any(|&gear| unknowns.teeth[gear].is_some()) {
        return Ok(None);
    }
    let Some(now) = ratio.value(&counts(set)) else { return Ok(None) };
    if wish.window().is_some() && wish.is_met_by(&now) {
        return Ok(Some(FixedWish { name: format!("ratio of {}", formula.state), value: now }));
    }
    let name = |gear: &usize| set.gears()[*gear].name().to_owned();
    let gears = gears.iter().map(name).collect();
    Err(TeethFault::FixedRatio { state: formula.state.clone(), ratio: now, gears })
}

fn wished_ratio(formula: &StateFormulas, wish: Wish, unknowns: &Unknowns) -> Result<WishedRatio, TeethFault> {
    match &formula.verdict {
        FormulaVerdict::Drives(ratio) => Ok(WishedRatio {
            state: formula.state.clone(),
            wish,
            numerator: unknowns.expression(ratio.numerator()),
            denominator: unknowns.expression(ratio.denominator()),
            conditions: formula.conditions.iter().map(|zero| unknowns.expression(zero)).collect(),
            nonzero: formula.nonzero.iter().chain([ratio.denominator()]).map(|one| unknowns.expression(one)).collect(),
        }),
        FormulaVerdict::TooLong => Err(TeethFault::TooLong(formula.state.clone())),
        FormulaVerdict::Locked | FormulaVerdict::Neutral | FormulaVerdict::OutputHeld => {
            Err(TeethFault::NoRatio(formula.state.clone()))
        }
    }
}
