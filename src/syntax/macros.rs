//! The shape of a structure told once, beside the structure.
//!
//! From each list follow the reading, the writing, the words of messages and the reference. A field, entry or value is
//! told as `name: Type = "what it is", "an example"`, with a third text for the values that are taken where not all
//! are; where a type is written in another form than its own, `as Form` names it. The first text is a noun phrase with
//! its article, the comment of a field the sentence that explains it.

/// A structure of fields in round brackets: `(pitch: Module(2.5), efficiency: "0.98")`. With `of { name }`, a
/// name stands before the brackets: `"cluster": (carrier: ...)`.
macro_rules! fields {
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $name:ident
            $(of { $(#[$key_attribute:meta])* $key_visibility:vis $key:ident })?: $what:literal, $example:literal
        {
            $(
                $(#[doc = $help:literal])*
                $field_visibility:vis $field:ident: $type:ty $(as $form:ty)? = $field_what:literal, $field_example:literal
                $(, $field_rule:literal)?;
            )*
        }
    ) => {
        $(#[$attribute])*
        $visibility struct $name {
            $($(#[$key_attribute])* $key_visibility $key: $crate::syntax::Spanned<String>,)?
            $($(#[doc = $help])* $field_visibility $field: $type,)*
        }

        impl $crate::syntax::Form for $name {
            type Value = Self;
            const THING: $crate::syntax::Element = $crate::syntax::Element {
                name: $what,
                example: $example,
                rule: "",
                inside: $crate::syntax::Inside::Fields(&[$($crate::syntax::Field {
                    word: stringify!($field),
                    help: concat!($($help),*),
                    thing: $crate::syntax::Element {
                        name: $field_what,
                        example: $field_example,
                        rule: concat!($($field_rule)?),
                        ..<$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::THING
                    },
                    is_needed: !<$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::IS_OPTIONAL,
                }),*]),
                meant: $crate::syntax::nothing_else,
            };

            fn read(
                node: &$crate::syntax::Node,
                thing: &$crate::syntax::Element,
                reader: &mut $crate::syntax::Reader<'_>,
            ) -> Option<Self> {
                $(let $key = reader.read::<$crate::syntax::Spanned<String>>(node.key.as_deref()?, &<String as $crate::syntax::Form>::THING);)?
                let mut values = reader.fields(node, thing)?.into_iter();
                let $crate::syntax::Inside::Fields(fields) = thing.inside else { return None };
                let mut fields = fields.iter();
                // Each is read even where another is not sound, so that all that is wrong is told.
                $(let $field = reader.read_or_absent::<$crate::syntax::fields!(@form $type $(as $form)?)>(
                    values.next()?,
                    &fields.next()?.thing,
                );)*
                Some(Self { $($key: $key?,)? $($field: $field?,)* })
            }

            fn write(value: &Self, out: &mut $crate::syntax::Writer) {
                $(
                    <$crate::syntax::Spanned<String> as $crate::syntax::Form>::write(&value.$key, out);
                    out.push(": ");
                )?
                let word = Self::THING.word();
                out.open_fields(if word.starts_with(char::is_alphabetic) { word } else { "" });
                $(if !<$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::is_absent(&value.$field) {
                    out.field(stringify!($field));
                    <$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::write(&value.$field, out);
                })*
                out.close();
            }

            fn marks(value: &mut Self, visit: &mut dyn FnMut(&mut $crate::syntax::LeafOrigin)) {
                $(visit(value.$key.mark_mut());)?
                $(<$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::marks(&mut value.$field, visit);)*
            }
        }
    };
    (@form $type:ty) => { $type };
    (@form $type:ty as $form:ty) => { $form };
}

/// A name before a colon with one value behind it: `"low drum": [Sun("L", 20)]`.
macro_rules! entry {
    (
        $(#[$attribute:meta])*
        $visibility:vis struct $name:ident {
            $(#[$key_attribute:meta])* $key_visibility:vis $key:ident;
            $(#[doc = $help:literal])*
            $field_visibility:vis $field:ident: $type:ty $(as $form:ty)? = $what:literal, $example:literal $(, $rule:literal)?;
        }
    ) => {
        $(#[$attribute])*
        $visibility struct $name {
            $(#[$key_attribute])* $key_visibility $key: $crate::syntax::Spanned<String>,
            $(#[doc = $help])* $field_visibility $field: $type,
        }

        impl $crate::syntax::Form for $name {
            type Value = Self;
            const THING: $crate::syntax::Element = $crate::syntax::Element {
                name: $what,
                example: $example,
                rule: concat!($($rule)?),
                ..<$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::THING
            };

            fn read(
                node: &$crate::syntax::Node,
                thing: &$crate::syntax::Element,
                reader: &mut $crate::syntax::Reader<'_>,
            ) -> Option<Self> {
                let $key = reader.read::<$crate::syntax::Spanned<String>>(
                    node.key.as_deref()?,
                    &<String as $crate::syntax::Form>::THING,
                );
                let $field = <$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::read(node, thing, reader);
                Some(Self { $key: $key?, $field: $field? })
            }

            fn write(value: &Self, out: &mut $crate::syntax::Writer) {
                <$crate::syntax::Spanned<String> as $crate::syntax::Form>::write(&value.$key, out);
                out.push(": ");
                <$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::write(&value.$field, out);
            }

            fn marks(value: &mut Self, visit: &mut dyn FnMut(&mut $crate::syntax::LeafOrigin)) {
                visit(value.$key.mark_mut());
                <$crate::syntax::fields!(@form $type $(as $form)?) as $crate::syntax::Form>::marks(&mut value.$field, visit);
            }
        }
    };
}

/// One of several words, each with its entries in round brackets, and the value that it stands for: what is built of
/// the entries, which is as well the pattern that they are taken from when it is written.
///
/// A function behind `meant` gives the text to write for what somebody wrote in words of their own.
/// `Word() => { ... }` stands alone; `Word["example", inner: Form] => { ... }` has the brackets of its inner form.
macro_rules! words {
    (
        $name:ident for $value:ty: $what:literal, $example:literal $(, meant $meant:path)? {
            $($word:ident $body:tt => $built:tt)+
        }
    ) => {
        impl $crate::syntax::Form for $name {
            type Value = $value;
            const THING: $crate::syntax::Element = $crate::syntax::Element {
                name: $what,
                example: $example,
                rule: "",
                inside: $crate::syntax::Inside::Kinds(&[$($crate::syntax::Alternative {
                    word: stringify!($word),
                    thing: $crate::syntax::words!(@thing $word $body),
                }),+]),
                meant: $crate::syntax::words!(@meant $($meant)?),
            };

            fn read(
                node: &$crate::syntax::Node,
                thing: &$crate::syntax::Element,
                reader: &mut $crate::syntax::Reader<'_>,
            ) -> Option<$value> {
                let kind = reader.kind(node, thing)?;
                $(if kind.word == stringify!($word) {
                    $crate::syntax::words!(@read $body node kind reader);
                    return Some($crate::syntax::words!(@bare $built));
                })+
                None
            }

            fn write(value: &$value, out: &mut $crate::syntax::Writer) {
                match value {
                    $($crate::syntax::words!(@bare $built) => $crate::syntax::words!(@write $word $body out),)+
                    #[allow(unreachable_patterns, reason = "most lists of words are complete")]
                    _ => {}
                }
            }

            fn marks(value: &mut $value, visit: &mut dyn FnMut(&mut $crate::syntax::LeafOrigin)) {
                let _ = &visit;
                match value {
                    $($crate::syntax::words!(@bare $built) => $crate::syntax::words!(@marks $body visit),)+
                    #[allow(unreachable_patterns, reason = "most lists of words are complete")]
                    _ => {}
                }
            }
        }
    };
    (@bare { $($built:tt)+ }) => { $($built)+ };

    (@meant) => { $crate::syntax::nothing_else };
    (@meant $meant:path) => { $meant };

    (@thing $word:ident ()) => {
        $crate::syntax::Element {
            name: stringify!($word),
            example: stringify!($word),
            rule: "",
            inside: $crate::syntax::Inside::Nothing,
            meant: $crate::syntax::nothing_else,
        }
    };
    (@thing $word:ident [$example:literal, $entry:ident: $form:ty]) => {
        $crate::syntax::Element {
            name: stringify!($word),
            example: $example,
            rule: "",
            ..<$form as $crate::syntax::Form>::THING
        }
    };
    (@thing $word:ident ($name:literal, $example:literal; $($entry:tt)+)) => {
        $crate::syntax::Element { name: $name, ..$crate::syntax::words!(@thing $word ($example; $($entry)+)) }
    };
    (@thing $word:ident ($example:literal; $($entry:ident: $form:ty = $what:literal, $entry_example:literal $(, $rule:literal)?);+)) => {
        $crate::syntax::Element {
            name: stringify!($word),
            example: $example,
            rule: "",
            inside: $crate::syntax::Inside::Entries {
                needed: $crate::syntax::Element::needed(&[$(<$form as $crate::syntax::Form>::IS_OPTIONAL),+]),
                things: &[$($crate::syntax::Element {
                    name: $what,
                    example: $entry_example,
                    rule: concat!($($rule)?),
                    ..<$form as $crate::syntax::Form>::THING
                }),+],
            },
            meant: $crate::syntax::nothing_else,
        }
    };

    (@read () $node:ident $kind:ident $reader:ident) => {};
    (@read [$example:literal, $entry:ident: $form:ty] $node:ident $kind:ident $reader:ident) => {
        let $entry = <$form as $crate::syntax::Form>::read($node, &$kind.thing, $reader)?;
    };
    (@read ($name:literal, $example:literal; $($entry:tt)+) $node:ident $kind:ident $reader:ident) => {
        $crate::syntax::words!(@read ($example; $($entry)+) $node $kind $reader)
    };
    (@read ($example:literal; $($entry:ident: $form:ty = $what:literal, $entry_example:literal $(, $rule:literal)?);+)
        $node:ident $kind:ident $reader:ident) => {
        let mut entries = $reader.entries($node, &$kind.thing)?.into_iter();
        let $crate::syntax::Inside::Entries { things, .. } = $kind.thing.inside else { return None };
        let mut things = things.iter();
        $(let $entry = $reader.read_or_absent::<$form>(entries.next()?, things.next()?);)+
        $(let $entry = $entry?;)+
    };

    (@write $word:ident () $out:ident) => { $out.push(stringify!($word)) };
    (@write $word:ident [$example:literal, $entry:ident: $form:ty] $out:ident) => {
        <$form as $crate::syntax::Form>::write($entry, $out)
    };
    (@write $word:ident ($name:literal, $example:literal; $($entry:tt)+) $out:ident) => {
        $crate::syntax::words!(@write $word ($example; $($entry)+) $out)
    };
    (@write $word:ident ($example:literal; $($entry:ident: $form:ty = $what:literal, $entry_example:literal $(, $rule:literal)?);+) $out:ident) => {{
        $out.open_fields(stringify!($word));
        $(if !<$form as $crate::syntax::Form>::is_absent($entry) {
            $out.next();
            <$form as $crate::syntax::Form>::write($entry, $out);
        })+
        $out.close();
    }};

    (@marks () $visit:ident) => { {} };
    (@marks [$example:literal, $entry:ident: $form:ty] $visit:ident) => {
        <$form as $crate::syntax::Form>::marks($entry, $visit)
    };
    (@marks ($name:literal, $example:literal; $($entry:tt)+) $visit:ident) => {
        $crate::syntax::words!(@marks ($example; $($entry)+) $visit)
    };
    (@marks ($example:literal; $($entry:ident: $form:ty = $what:literal, $entry_example:literal $(, $rule:literal)?);+) $visit:ident) => {{
        $(<$form as $crate::syntax::Form>::marks($entry, $visit);)+
    }};
}

/// Entries in round brackets without a word: `("S", "p")`; as with [`words`] the value is the pattern as well.
macro_rules! tuple {
    ($name:ident for $value:ty: $what:literal, $example:literal; $($entry:ident: $form:ty = $entry_what:literal, $entry_example:literal $(, $rule:literal)?);+ => $built:tt) => {
        impl $crate::syntax::Form for $name {
            type Value = $value;
            const THING: $crate::syntax::Element = $crate::syntax::Element {
                name: $what,
                ..$crate::syntax::words!(@thing tuple ($example; $($entry: $form = $entry_what, $entry_example $(, $rule)?);+))
            };

            fn read(
                node: &$crate::syntax::Node,
                thing: &$crate::syntax::Element,
                reader: &mut $crate::syntax::Reader<'_>,
            ) -> Option<$value> {
                let bare = $crate::syntax::Alternative { word: "", thing: *thing };
                if node.group('(').is_none() {
                    return reader.belongs(thing, node.first_token());
                }
                $crate::syntax::words!(@read ($example; $($entry: $form = $entry_what, $entry_example $(, $rule)?);+) node bare reader);
                Some($crate::syntax::words!(@bare $built))
            }

            fn write(value: &$value, out: &mut $crate::syntax::Writer) {
                let $crate::syntax::words!(@bare $built) = value;
                out.open_fields("");
                $(if !<$form as $crate::syntax::Form>::is_absent($entry) {
                    out.next();
                    <$form as $crate::syntax::Form>::write($entry, out);
                })+
                out.close();
            }

            fn marks(value: &mut $value, visit: &mut dyn FnMut(&mut $crate::syntax::LeafOrigin)) {
                let $crate::syntax::words!(@bare $built) = value;
                $(<$form as $crate::syntax::Form>::marks($entry, visit);)+
            }
        }
    };
}

pub(crate) use {entry, fields, tuple, words};
