//! Two things that belong together.

use serde::Serialize;

/// Two things that belong together, in the order in which they were named; serialised as a list of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema), schemars(with = "[T; 2]"))]
#[serde(into = "[T; 2]", bound = "T: Clone + Serialize")]
pub struct Pair<T> {
    /// The first named.
    pub first: T,
    /// The second named.
    pub second: T,
}

impl<T> From<Pair<T>> for [T; 2] {
    fn from(pair: Pair<T>) -> Self {
        [pair.first, pair.second]
    }
}

impl<T> Pair<T> {
    /// Two things in this order.
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::Pair;
    /// let join: Pair<String> = Pair::of("ring", "case");
    /// assert_eq!(join.both(), ["ring", "case"]);
    /// ```
    pub fn of(first: impl Into<T>, second: impl Into<T>) -> Self {
        Self { first: first.into(), second: second.into() }
    }

    /// The two in order.
    pub fn both(&self) -> [&T; 2] {
        [&self.first, &self.second]
    }

    /// Each of the two, by value.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, gearset::Gearset};
    /// let set: Gearset = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let counts = set.meshes()[0].gears().each().map(|gear| set.gear(gear).tooth_count().get());
    /// assert_eq!(counts, [24, 18]);
    /// ```
    pub fn each(&self) -> [T; 2]
    where
        T: Copy,
    {
        [self.first, self.second]
    }

    /// Whether this is one of the two.
    pub fn contains(&self, one: &T) -> bool
    where
        T: PartialEq,
    {
        self.first == *one || self.second == *one
    }
}
