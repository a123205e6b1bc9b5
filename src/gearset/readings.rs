//! What was read of the teeth of a gear, before it is known which teeth they are: spans, pins, diameters.
//!
//! All that was read of one gear is good to the same length where that is said, and to what is usual with its
//! instrument where it is not. A span is told by the number of teeth between the jaws.

use super::{Length, Spanned};
use crate::syntax::{Element, Form, Inside, LeafOrigin, Map, Node, Reader, Writer, fields, nothing_else, tuple};

fields! {
    /// What was read of the teeth of a gear.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftReadings of {
        /// The gear.
        pub gear
    }: "a bracket with what was read of the gear", "(spans: {3: Millimetres(18.88), 4: Millimetres(26.26)})" {
        /// Over so many teeth a caliper reads so much.
        pub spans: Vec<DraftSpan> as Map<DraftSpan> =
            "the list of spans in braces", "{3: Millimetres(18.88), 4: Millimetres(26.26)}";
        /// A reading over two pins of a diameter, in a ring between them; several stand in square brackets.
        pub pins: Vec<DraftPinReading> as OneOrSeveral =
            "a reading with pins, or several in square brackets", "[(Millimetres(4.5), Millimetres(96.76))]";
        /// The diameter over the tips, in a ring inside them.
        pub outside: Option<Spanned<Length>> = "the diameter over the tips", "Millimetres(95.16)", "above 0";
        /// The diameter at the roots.
        pub root: Option<Spanned<Length>> = "the diameter at the roots", "Millimetres(83.9)", "above 0";
        /// What all of these are good to either way.
        pub within: Option<Spanned<Length>> = "what the readings are good to", "Millimetres(0.01)", "above 0";
    }
}

/// A span: over so many teeth a caliper reads so much.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftSpan {
    /// The number of teeth between the jaws.
    pub teeth: Spanned<i64>,
    /// What the caliper reads.
    pub reading: Spanned<Length>,
}

/// A reading over two pins, or between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftPinReading {
    /// The diameter of the pins.
    pub pin: Spanned<Length>,
    /// What the micrometer reads.
    pub reading: Spanned<Length>,
}

tuple! {
    DraftPinReading for DraftPinReading: "the diameter of the pins and the reading", "(Millimetres(4.5), Millimetres(96.76))";
    pin: Spanned<Length> = "the diameter of the pins", "Millimetres(4.5)", "above 0";
    reading: Spanned<Length> = "the reading over or between the pins", "Millimetres(96.76)", "above 0"
    => { DraftPinReading { pin, reading } }
}

/// The number of teeth before the colon of a span.
const SPANNED_TEETH: Element =
    Element { name: "the number of teeth between the jaws", example: "3", ..<i64 as Form>::THING };

/// A number of teeth before a colon, behind it the reading.
impl Form for DraftSpan {
    type Value = Self;
    const THING: Element = Element {
        name: "the reading over so many teeth",
        example: "Millimetres(18.88)",
        rule: "above 0",
        ..<Length as Form>::THING
    };

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        let teeth = <Spanned<i64> as Form>::read(node.key.as_deref()?, &SPANNED_TEETH, reader);
        let reading = <Spanned<Length> as Form>::read(node, thing, reader);
        Some(Self { teeth: teeth?, reading: reading? })
    }

    fn write(value: &Self, out: &mut Writer) {
        <Spanned<i64> as Form>::write(&value.teeth, out);
        out.push(": ");
        <Spanned<Length> as Form>::write(&value.reading, out);
    }

    fn marks(value: &mut Self, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        visit(value.teeth.mark_mut());
        <Spanned<Length> as Form>::marks(&mut value.reading, visit);
    }
}

/// A reading with pins, or several in square brackets.
#[derive(Debug)]
pub(super) struct OneOrSeveral;

impl Form for OneOrSeveral {
    type Value = Vec<DraftPinReading>;
    const THING: Element = Element {
        name: "a reading with pins, or several in square brackets",
        example: "[(Millimetres(4.5), Millimetres(96.76))]",
        rule: "",
        inside: Inside::List(&<DraftPinReading as Form>::THING),
        meant: nothing_else,
    };
    const IS_OPTIONAL: bool = true;

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value> {
        if node.group('(').is_some() {
            let only = <DraftPinReading as Form>::read(node, &<DraftPinReading as Form>::THING, reader)?;
            return Some(vec![only]);
        }
        <Vec<DraftPinReading> as Form>::read(node, thing, reader)
    }

    fn absent() -> Option<Self::Value> {
        <Vec<DraftPinReading> as Form>::absent()
    }

    fn is_absent(value: &Self::Value) -> bool {
        value.is_empty()
    }

    fn write(value: &Self::Value, out: &mut Writer) {
        match &value[..] {
            [only] => <DraftPinReading as Form>::write(only, out),
            several => <Vec<DraftPinReading> as Form>::write(&several.to_vec(), out),
        }
    }

    fn marks(value: &mut Self::Value, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        <Vec<DraftPinReading> as Form>::marks(value, visit);
    }
}

impl DraftReadings {
    /// A gear of which nothing was read yet.
    pub fn new(gear: impl Into<Spanned<String>>) -> Self {
        Self { gear: gear.into(), spans: Vec::new(), pins: Vec::new(), outside: None, root: None, within: None }
    }

    /// Every length that was read, with what it is called.
    pub(super) fn lengths(&self) -> impl Iterator<Item = (ReadingKind, &Spanned<Length>)> {
        let spans = self.spans.iter().map(|span| (ReadingKind::Span, &span.reading));
        let pins =
            self.pins.iter().flat_map(|read| [(ReadingKind::Pin, &read.pin), (ReadingKind::OverPins, &read.reading)]);
        let outside = self.outside.iter().map(|length| (ReadingKind::Outside, length));
        let root = self.root.iter().map(|length| (ReadingKind::Root, length));
        spans.chain(pins).chain(outside).chain(root)
    }
}

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingKind {
    /// Over some teeth.
    Span,
    /// The diameter of pins.
    Pin,
    /// Over pins, or between them.
    OverPins,
    /// The diameter over the tips.
    Outside,
    /// The diameter at the roots.
    Root,
}

impl std::fmt::Display for ReadingKind {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(match self {
            Self::Span => "a span",
            Self::Pin => "a pin diameter",
            Self::OverPins => "a reading with pins",
            Self::Outside => "an outside diameter",
            Self::Root => "a root diameter",
        })
    }
}
