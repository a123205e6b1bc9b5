//! How a value is written in a text: read from its tree, written out, and described for people.

use std::marker::PhantomData;
use std::ops::Range;

use super::flaw::Flaw;
use super::reader::{Form, ReadOutcome, Reader};
use super::spanned::{LeafOrigin, Spanned};
use super::thing::{Element, Root};
use super::tree::{BracketGroup, Node, NodeKind};
use super::writer::Writer;

/// Reads a whole text: its value, or every flaw with its place.
pub(crate) fn read<F: Form>(source: &str, root: &Root) -> ReadOutcome<F::Value> {
    Reader::whole::<F>(source, root)
}

/// Writes a whole text.
pub(crate) fn write<F: Form>(value: &F::Value) -> String {
    let mut out = Writer::default();
    F::write(value, &mut out);
    out.finish()
}

/// Writes a value as it stands among others in a line.
pub(crate) fn write_in_line<F: Form>(value: &F::Value) -> String {
    let mut out = Writer::in_line();
    F::write(value, &mut out);
    out.finish()
}

/// What was read and what is wrong with it, as two.
impl<T> ReadOutcome<T> {
    pub(crate) fn into_parts(self) -> (Option<T>, Vec<(Range<usize>, Flaw)>) {
        (self.value, self.flaws)
    }
}

impl<T: Form<Value = T>> Form for Spanned<T> {
    type Value = Self;
    const THING: Element = T::THING;

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self> {
        let (value, is_told) = reader.noting_leaves(|reader| T::read(node, thing, reader));
        Some(Self::at(value?, LeafOrigin { place: Some(node.essence()), order: 0, is_told }))
    }

    fn write(value: &Self, out: &mut Writer) {
        T::write(value, out);
    }

    fn marks(value: &mut Self, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        visit(value.mark_mut());
        T::marks(value, visit);
    }
}

impl<F: Form> Form for Option<F> {
    type Value = Option<F::Value>;
    const THING: Element = F::THING;
    const IS_OPTIONAL: bool = true;

    /// As RON has it, `None` and `Some(...)` may be written as well.
    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value> {
        match &node.kind {
            NodeKind::Word if reader.text(node.place.clone()) == "None" => Some(None),
            NodeKind::Group(BracketGroup { word: Some(word), items, is_cut: false, .. })
                if reader.text(word.clone()) == "Some" && items.len() == 1 && items[0].key.is_none() =>
            {
                reader.read::<F>(&items[0], thing).map(Some)
            }
            NodeKind::Word | NodeKind::Text | NodeKind::Group(_) | NodeKind::Nothing | NodeKind::Told => {
                F::read(node, thing, reader).map(Some)
            }
        }
    }

    fn absent() -> Option<Self::Value> {
        Some(None)
    }

    fn is_absent(value: &Self::Value) -> bool {
        value.is_none()
    }

    fn write(value: &Self::Value, out: &mut Writer) {
        if let Some(value) = value {
            F::write(value, out);
        }
    }

    fn marks(value: &mut Self::Value, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        if let Some(value) = value {
            F::marks(value, visit);
        }
    }
}

/// The parts of a form that are those of the form inside.
macro_rules! as_inside {
    ($form:ident: $($part:ident)+) => { $($crate::syntax::form::as_inside!(@$part $form);)+ };
    (@read $form:ident) => {
        fn read(node: &$crate::syntax::Node, thing: &$crate::syntax::Element, reader: &mut $crate::syntax::Reader<'_>) -> Option<Self::Value> {
            $form::read(node, thing, reader)
        }
    };
    (@absent $form:ident) => {
        fn absent() -> Option<Self::Value> {
            $form::absent()
        }

        fn is_absent(value: &Self::Value) -> bool {
            $form::is_absent(value)
        }
    };
    (@write $form:ident) => {
        fn write(value: &Self::Value, out: &mut $crate::syntax::Writer) {
            $form::write(value, out);
        }
    };
    (@marks $form:ident) => {
        fn marks(value: &mut Self::Value, visit: &mut dyn FnMut(&mut $crate::syntax::LeafOrigin)) {
            $form::marks(value, visit);
        }
    };
}
pub(super) use as_inside;

impl<F: Form> Form for Box<F> {
    type Value = Box<F::Value>;
    const THING: Element = F::THING;
    const IS_OPTIONAL: bool = F::IS_OPTIONAL;

    as_inside!(F: write marks);

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value> {
        F::read(node, thing, reader).map(Box::new)
    }

    fn absent() -> Option<Self::Value> {
        F::absent().map(Box::new)
    }

    fn is_absent(value: &Self::Value) -> bool {
        F::is_absent(value)
    }
}

/// Written only where it says something; the default is meant where it is left out.
#[derive(Debug)]
pub(crate) struct Maybe<F>(PhantomData<F>);

impl<F: Form<Value: Default + PartialEq>> Form for Maybe<F> {
    type Value = F::Value;
    const THING: Element = F::THING;
    const IS_OPTIONAL: bool = true;

    as_inside!(F: read write marks);

    fn absent() -> Option<Self::Value> {
        Some(F::Value::default())
    }

    fn is_absent(value: &Self::Value) -> bool {
        *value == F::Value::default()
    }
}

/// Written even where it is empty.
#[derive(Debug)]
pub(crate) struct Needed<F>(PhantomData<F>);

impl<F: Form> Form for Needed<F> {
    type Value = F::Value;
    const THING: Element = F::THING;

    as_inside!(F: read write marks);
}
