//! Tooth counts as they are written in a request: from the fewest to the most, or those of a list.
//!
//! A list has a word before it, `OneOf([18, 20, (24, 28)])`, as two counts in square brackets alone could be meant as a range.

use crate::gearset::Spanned;
use crate::syntax::{Element, Form, LeafOrigin, Node, Reader, Writer, entry, tuple, words};

entry! {
    /// A gear that may change.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct WantedTeeth {
        /// The gear.
        pub gear;
        /// The counts that it may have.
        pub counts: WantedCounts = "the fewest and the most teeth", "(15, 30)";
    }
}

/// The counts that a gear may have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WantedCounts {
    /// From the fewest to the most.
    Range(CountRange),
    /// Those of a list of counts and ranges.
    OneOf(Vec<CountRange>),
}

/// Tooth counts from the fewest to the most; one count, where both are equal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CountRange {
    /// The fewest.
    pub fewest: Spanned<i64>,
    /// The most.
    pub most: Spanned<i64>,
}

tuple! {
    CountRange for CountRange: "the fewest and the most teeth", "(15, 30)";
    fewest: Spanned<i64> = "the fewest teeth", "15", "from 1 to 10000";
    most: Spanned<i64> = "the most teeth", "30", "from 1 to 10000"
    => { CountRange { fewest, most } }
}

impl From<(i64, i64)> for CountRange {
    fn from((fewest, most): (i64, i64)) -> Self {
        Self { fewest: fewest.into(), most: most.into() }
    }
}

/// A count alone, or a range in round brackets.
#[derive(Debug)]
pub(super) struct CountOrRange;

impl Form for CountOrRange {
    type Value = CountRange;
    const THING: Element = Element { name: "a number of teeth, or a range", ..<i64 as Form>::THING };

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<CountRange> {
        if node.group('(').is_some() {
            return <CountRange as Form>::read(node, &<CountRange as Form>::THING, reader);
        }
        let count = <Spanned<i64> as Form>::read(node, thing, reader)?;
        Some(CountRange { fewest: count.clone(), most: count })
    }

    fn write(value: &CountRange, out: &mut Writer) {
        if value.fewest == value.most {
            <Spanned<i64> as Form>::write(&value.fewest, out);
        } else {
            <CountRange as Form>::write(value, out);
        }
    }

    fn marks(value: &mut CountRange, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        <CountRange as Form>::marks(value, visit);
    }
}

/// The counts of a list, with their word.
#[derive(Debug)]
struct CountsOfList;

words! {
    CountsOfList for WantedCounts: "the counts of a list", "OneOf([18, 20])" {
        OneOf("OneOf([18, 20])"; counts: Vec<CountOrRange> = "the list of counts in square brackets", "[18, 20, (24, 28)]") => {
            WantedCounts::OneOf(counts)
        }
    }
}

/// A range in round brackets, or a list with its word.
impl Form for WantedCounts {
    type Value = Self;
    const THING: Element =
        Element { rule: "or OneOf([18, 20, (24, 28)]), the counts of a list", ..<CountRange as Form>::THING };

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        if node.word().is_some() {
            return <CountsOfList as Form>::read(node, &<CountsOfList as Form>::THING, reader);
        }
        <CountRange as Form>::read(node, thing, reader).map(Self::Range)
    }

    fn write(value: &Self, out: &mut Writer) {
        match value {
            Self::Range(range) => <CountRange as Form>::write(range, out),
            Self::OneOf(_) => <CountsOfList as Form>::write(value, out),
        }
    }

    fn marks(value: &mut Self, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        match value {
            Self::Range(range) => <CountRange as Form>::marks(range, visit),
            Self::OneOf(_) => <CountsOfList as Form>::marks(value, visit),
        }
    }
}
