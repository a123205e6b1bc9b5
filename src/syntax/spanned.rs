//! A leaf of a draft with the place where it was read, if it was read from a text.
//!
//! Where the text of a leaf could not be read, its fault was told and the leaf is absent: [`Spanned::get`] gives
//! nothing, and no rule complains of it again.

use std::fmt::{self, Debug, Display, Formatter};
use std::ops::{Deref, DerefMut, Range};

/// A value with its place in the text that it comes from; built in code it has none.
///
/// It stands for its value: equal values are equal wherever they stand.
///
/// # Examples
/// ```
/// use toothmark::gearset::Spanned;
/// let name: Spanned<String> = "low drum".into();
/// assert_eq!((name.len(), name.place()), (8, None));
/// ```
#[derive(Clone, Default)]
pub struct Spanned<T> {
    value: T,
    mark: LeafOrigin,
}

/// Where a leaf stands, in its text and in its draft, and whether it could be read.
#[derive(Debug, Clone, Default)]
pub(crate) struct LeafOrigin {
    pub(crate) place: Option<Range<usize>>,
    /// The number of the leaf in its draft.
    pub(crate) order: usize,
    /// The text could not be read, which has been told.
    pub(crate) is_told: bool,
}

impl LeafOrigin {
    /// From this leaf to another.
    pub(crate) fn to(&self, last: &Self) -> Self {
        let place = self.place.clone().zip(last.place.clone());
        let place = place.map(|(first, last)| first.start.min(last.start)..first.end.max(last.end));
        Self { place, order: self.order, is_told: self.is_told || last.is_told }
    }
}

impl<T> Spanned<T> {
    pub(crate) fn at(value: T, mark: LeafOrigin) -> Self {
        Self { value, mark }
    }

    /// The bytes of the text that it was read from.
    pub fn place(&self) -> Option<Range<usize>> {
        self.mark.place.clone()
    }

    /// The value; `None` where its text could not be read, which no checked gearset has.
    pub fn get(&self) -> Option<&T> {
        (!self.mark.is_told).then_some(&self.value)
    }

    /// The value without its place.
    pub fn into_inner(self) -> T {
        self.value
    }

    pub(crate) fn mark(&self) -> &LeafOrigin {
        &self.mark
    }

    pub(crate) fn mark_mut(&mut self) -> &mut LeafOrigin {
        &mut self.mark
    }
}

/// Numbers the marks of a draft as they are given.
pub(crate) fn number_in_order(visit: impl FnOnce(&mut dyn FnMut(&mut LeafOrigin))) {
    let mut number = 0;
    visit(&mut |mark| {
        number += 1;
        mark.order = number;
    });
}

impl<T> From<T> for Spanned<T> {
    fn from(value: T) -> Self {
        Self { value, mark: LeafOrigin::default() }
    }
}

impl From<&str> for Spanned<String> {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl From<&String> for Spanned<String> {
    fn from(text: &String) -> Self {
        text.clone().into()
    }
}

impl From<Spanned<String>> for String {
    fn from(text: Spanned<String>) -> Self {
        text.value
    }
}

impl<T> Deref for Spanned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T> DerefMut for Spanned<T> {
    fn deref_mut(&mut self) -> &mut T {
        &mut self.value
    }
}

impl<T: PartialEq> PartialEq for Spanned<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl<T: Eq> Eq for Spanned<T> {}

impl PartialEq<str> for Spanned<String> {
    fn eq(&self, other: &str) -> bool {
        self.value == other
    }
}

impl PartialEq<&str> for Spanned<String> {
    fn eq(&self, other: &&str) -> bool {
        self.value == *other
    }
}

impl PartialEq<String> for Spanned<String> {
    fn eq(&self, other: &String) -> bool {
        self.value == *other
    }
}

impl<T: Debug> Debug for Spanned<T> {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        self.value.fmt(formatter)
    }
}

impl<T: Display> Display for Spanned<T> {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        self.value.fmt(formatter)
    }
}
