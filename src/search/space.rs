//! Which combinations are there?
//!
//! A [`Space`] lists the unknowns with their whole-number values, and quantities derived from them. The
//! combinations are all choices of one value for every unknown; a derived quantity adds none.

use std::ops::RangeInclusive;

use super::expression::{Expression, Variable};

/// The unknowns with their values, in the order in which they were declared.
///
/// # Examples
/// ```
/// let mut space = toothmark::search::Space::new();
/// let sun = space.range("sun", 12..=40);
/// let quarter_modules = space.values("quarter modules", [4, 5, 6, 8]);
/// let difference = space.derived("difference", sun - quarter_modules);
/// assert_eq!(space.combinations(), Some(29 * 4));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Space {
    pub(super) unknowns: Vec<Unknown>,
}

#[derive(Clone, Debug)]
pub(super) struct Unknown {
    pub(super) name: String,
    pub(super) choice: ValueSource,
}

/// Where the value of an unknown comes from.
#[derive(Clone, Debug)]
pub(super) enum ValueSource {
    /// Chosen from values in rising order.
    Free(Vec<i64>),
    /// Computed from unknowns before it.
    Derived(Expression),
}

impl Space {
    /// A space without unknowns, which holds one combination.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds an unknown with the values of a range; an empty range makes the space empty.
    pub fn range(&mut self, name: &str, range: RangeInclusive<i64>) -> Variable {
        self.values(name, range)
    }

    /// Adds an unknown with a list of values; their order and repetitions do not matter.
    pub fn values(&mut self, name: &str, values: impl IntoIterator<Item = i64>) -> Variable {
        let mut values: Vec<i64> = values.into_iter().collect();
        values.sort_unstable();
        values.dedup();
        self.add(name, ValueSource::Free(values))
    }

    /// How many unknowns and derived quantities there are.
    pub(crate) fn len(&self) -> usize {
        self.unknowns.len()
    }

    /// Leaves one combination, that of these values; `None` where it is none of the space.
    pub(super) fn narrow(&mut self, values: &[i64]) -> Option<()> {
        for (unknown, value) in self.unknowns.iter_mut().zip(values) {
            if let ValueSource::Free(choices) = &mut unknown.choice {
                choices.retain(|choice| choice == value);
                choices.first()?;
            }
        }
        Some(())
    }

    /// Adds a quantity that follows from unknowns declared before, such as a difference of tooth counts.
    ///
    /// Requirements that use it instead of the unknowns behind it depend on its value only, so that what
    /// they leave is counted once for each value. It has to be whole; a combination for which it is not, or
    /// for which it has no value, is left out as excluded by it.
    pub fn derived(&mut self, name: &str, expression: impl Into<Expression>) -> Variable {
        self.add(name, ValueSource::Derived(expression.into()))
    }

    fn add(&mut self, name: &str, choice: ValueSource) -> Variable {
        self.unknowns.push(Unknown { name: name.to_owned(), choice });
        Variable(self.unknowns.len() - 1)
    }

    /// How many combinations there are; `None` beyond 128 bits.
    pub fn combinations(&self) -> Option<u128> {
        self.unknowns.iter().try_fold(1_u128, |product, unknown| match &unknown.choice {
            ValueSource::Free(values) => product.checked_mul(u128::try_from(values.len()).ok()?),
            ValueSource::Derived(_) => Some(product),
        })
    }

    /// The name of an unknown.
    ///
    /// # Panics
    /// If the unknown is of another, longer space.
    pub fn name(&self, variable: Variable) -> &str {
        &self.unknowns[variable.0].name
    }
}
