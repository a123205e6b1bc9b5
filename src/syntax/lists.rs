//! Lists in square brackets, names with what belongs to them in braces, and how both are laid out.

use std::marker::PhantomData;

use super::form::as_inside;
use super::reader::{Form, Reader};
use super::spanned::LeafOrigin;
use super::thing::{Element, Inside, nothing_else};
use super::tree::Node;
use super::writer::Writer;

impl<F: Form> Form for Vec<F> {
    type Value = Vec<F::Value>;
    const THING: Element = Element {
        name: "a list in square brackets",
        example: "[]",
        rule: "",
        inside: Inside::List(&F::THING),
        meant: nothing_else,
    };
    const IS_OPTIONAL: bool = true;

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value> {
        read_all(node, thing, reader, |item, reader| match &item.key {
            Some(key) => reader.belongs(&F::THING, key.first_token()),
            None => reader.read::<F>(item, &F::THING),
        })
    }

    fn absent() -> Option<Self::Value> {
        Some(Vec::new())
    }

    fn is_absent(value: &Self::Value) -> bool {
        value.is_empty()
    }

    fn write(value: &Self::Value, out: &mut Writer) {
        write_all::<F>(value, ['[', ']'], out);
    }

    fn marks(value: &mut Self::Value, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        for item in value {
            F::marks(item, visit);
        }
    }
}

/// Reads every entry, even where another cannot be read.
fn read_all<T>(
    node: &Node,
    thing: &Element,
    reader: &mut Reader<'_>,
    read: impl Fn(&Node, &mut Reader<'_>) -> Option<T>,
) -> Option<Vec<T>> {
    let group = reader.items(node, thing)?;
    let mut values = Vec::with_capacity(group.items.len());
    values.extend(group.items.iter().filter_map(|item| read(item, reader)));
    (!group.is_cut && values.len() == group.items.len()).then_some(values)
}

fn write_all<F: Form>(values: &[F::Value], [opening, closing]: [char; 2], out: &mut Writer) {
    out.open_list(opening, closing, values.len());
    for value in values {
        out.next();
        F::write(value, out);
    }
    out.close();
}

/// Entries in braces, in their order, each a name with what belongs to it; that no name stands twice is for the
/// rules to check.
#[derive(Debug)]
pub(crate) struct Map<F>(PhantomData<F>);

impl<F: Form> Form for Map<F> {
    type Value = Vec<F::Value>;
    const THING: Element = Element {
        name: "names with what belongs to them, in braces",
        example: "{}",
        rule: "",
        inside: Inside::Named(&F::THING),
        meant: nothing_else,
    };
    const IS_OPTIONAL: bool = true;

    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value> {
        read_all(node, thing, reader, |item, reader| {
            if reader.has_name(item, thing, &F::THING) { reader.read::<F>(item, &F::THING) } else { None }
        })
    }

    fn write(value: &Self::Value, out: &mut Writer) {
        write_all::<F>(value, ['{', '}'], out);
    }

    fn absent() -> Option<Self::Value> {
        <Vec<F> as Form>::absent()
    }

    fn is_absent(value: &Self::Value) -> bool {
        value.is_empty()
    }

    fn marks(value: &mut Self::Value, visit: &mut dyn FnMut(&mut LeafOrigin)) {
        <Vec<F> as Form>::marks(value, visit);
    }
}

/// A list or map that is written with one entry a line.
#[derive(Debug)]
pub(crate) struct EntryPerLine<F>(PhantomData<F>);

impl<F: Form> Form for EntryPerLine<F> {
    type Value = F::Value;
    const THING: Element = F::THING;
    const IS_OPTIONAL: bool = F::IS_OPTIONAL;

    as_inside!(F: read absent marks);

    fn write(value: &Self::Value, out: &mut Writer) {
        out.one_a_line();
        F::write(value, out);
    }
}
