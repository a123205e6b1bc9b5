//! Reads a tree by the shape that it should have, and tells every place where it has another.

use std::cell::OnceCell;
use std::collections::HashSet;
use std::mem::replace;
use std::ops::Range;

use super::flaw::Flaw;
use super::line_index::LineIndex;
use super::nearest::nearest_name;
use super::pasted::{inside, pasted, quoted_name};
use super::slips::{decimal, entries_alone, in_brackets, name_first};
use super::spanned::LeafOrigin;
use super::thing::{Alternative, Element, Field, Inside, Root};
use super::tree::{BracketGroup, Node, NodeKind};
use super::wording::{
    belongs, enumerated, forms, found, in_double_quotes, missing_comma, shortened, too_few, too_many, unquoted,
};
use super::writer::Writer;

/// A way in which a value is written; mostly the type of the value itself.
pub(crate) trait Form {
    /// What is written so.
    type Value;

    /// What it is, in words for people.
    const THING: Element;

    /// Whether a field or entry of this form may be left out.
    const IS_OPTIONAL: bool = false;

    /// Reads what a node holds, by the thing that it stands for; `None` where that has been told to be wrong.
    fn read(node: &Node, thing: &Element, reader: &mut Reader<'_>) -> Option<Self::Value>;

    /// What is meant where nothing is written.
    fn absent() -> Option<Self::Value> {
        None
    }

    /// Whether nothing need be written.
    fn is_absent(_value: &Self::Value) -> bool {
        false
    }

    /// Writes a value so that it reads in again as the same.
    fn write(value: &Self::Value, out: &mut Writer);

    /// Visits the marks of all leaves in the order in which they are written.
    fn marks(_value: &mut Self::Value, _visit: &mut dyn FnMut(&mut LeafOrigin)) {}
}

/// What is read from, and what is wrong with it so far.
pub(crate) struct Reader<'a> {
    source: &'a str,
    flaws: Vec<(Range<usize>, Flaw)>,
    /// A part larger than a leaf is missing or cannot be read.
    is_broken: bool,
    /// A leaf could not be read since this was set to false.
    is_leaf_unread: bool,
    lines: OnceCell<LineIndex<'a>>,
}

/// What came of reading a text.
pub(crate) struct ReadOutcome<T> {
    /// The value, if every part of it is there; a leaf in it may be absent.
    pub(crate) value: Option<T>,
    /// What is wrong, in no order.
    pub(crate) flaws: Vec<(Range<usize>, Flaw)>,
}

impl<'a> Reader<'a> {
    /// Reads a whole text.
    pub(super) fn whole<F: Form>(source: &'a str, root: &Root) -> ReadOutcome<F::Value> {
        let (node, flaws) = super::tree::parse(source, root);
        let is_broken = !flaws.is_empty();
        let mut reader = Reader { source, flaws, is_broken, is_leaf_unread: false, lines: OnceCell::new() };
        let signs = reader.flaws.len();
        let value = reader.root::<F>(&node, root);
        // Where an entry is missing at the end of the file, that says more than that a bracket is not closed.
        let told: HashSet<Range<usize>> = reader.flaws[signs..].iter().map(|(place, _)| place.clone()).collect();
        let mut number = 0;
        reader.flaws.retain(|(place, _)| {
            number += 1;
            number > signs || !told.contains(place)
        });
        ReadOutcome { value: value.filter(|_| !reader.is_broken), flaws: reader.flaws }
    }

    fn root<F: Form>(&mut self, node: &Node, root: &Root) -> Option<F::Value> {
        let word = root.thing.word();
        let (what, example) = (root.what, root.thing.example);
        let is_word = node.word().is_some_and(|place| &self.source[place] == word);
        match &node.kind {
            NodeKind::Told => None,
            NodeKind::Word if is_word => {
                let here = found(self.source, node.after.clone());
                let message = format!("{word} is followed by {here} instead of its round brackets");
                self.break_at(node.after.clone(), Flaw::shape(message, format!("write {example}")))
            }
            NodeKind::Group(BracketGroup { opening: '(', word, .. }) if is_word || word.is_none() => {
                F::read(node, &root.thing, self)
            }
            NodeKind::Nothing if node.place.is_empty() => self.break_at(0..0, Flaw::Empty { example }),
            NodeKind::Word | NodeKind::Text | NodeKind::Group(_) | NodeKind::Nothing => {
                let place = node.first_token();
                let found = found(self.source, place.clone());
                self.break_at(place, Flaw::NoBeginning { what, word, example, found })
            }
        }
    }

    pub(crate) fn text(&self, place: Range<usize>) -> &'a str {
        &self.source[place]
    }

    fn line_of(&self, byte: usize) -> usize {
        self.lines.get_or_init(|| LineIndex::new(self.source)).line(byte)
    }

    /// Tells that a part is missing or cannot be read.
    pub(crate) fn break_at<T>(&mut self, place: Range<usize>, flaw: Flaw) -> Option<T> {
        self.flaws.push((place, flaw));
        self.is_broken = true;
        None
    }

    /// Tells that a leaf cannot be read; what is beside it still can.
    pub(crate) fn leaf_at(&mut self, place: Range<usize>, flaw: Flaw) {
        self.flaws.push((place, flaw));
        self.is_leaf_unread = true;
    }

    /// What is read meanwhile, and whether a leaf in it could not be read.
    pub(crate) fn noting_leaves<T>(&mut self, read: impl FnOnce(&mut Self) -> T) -> (T, bool) {
        let before = replace(&mut self.is_leaf_unread, false);
        let value = read(self);
        (value, replace(&mut self.is_leaf_unread, before))
    }

    /// Reads a value where a thing belongs.
    pub(crate) fn read<F: Form>(&mut self, node: &Node, thing: &Element) -> Option<F::Value> {
        match (&node.kind, node.run_on) {
            (NodeKind::Told, _) => None,
            (NodeKind::Nothing, _) => self.belongs(thing, node.place.clone()),
            (_, Some(start)) => self.run_on(node, start, thing),
            _ => F::read(node, thing, self),
        }
    }

    /// Reads a field or entry, or takes what is meant where it is left out; one that is missing has been told.
    pub(crate) fn read_or_absent<F: Form>(&mut self, node: Option<&Node>, thing: &Element) -> Option<F::Value> {
        match node {
            Some(node) => self.read::<F>(node, thing),
            None => F::absent(),
        }
    }

    pub(crate) fn belongs<T>(&mut self, thing: &Element, place: Range<usize>) -> Option<T> {
        let flaw = belongs(thing, self.source, place.clone());
        self.break_at(place, flaw)
    }

    /// An entry that something follows other than a comma.
    fn run_on<T>(&mut self, node: &Node, start: usize, thing: &Element) -> Option<T> {
        if let Some(flaw) = self.meant(node, thing) {
            return self.break_at(node.extent(), flaw);
        }
        if let (NodeKind::Word, Inside::Kinds(kinds)) = (&node.kind, thing.inside)
            && let Some(kind) = self.kind_of(kinds, node)
            && !kind.is_bare()
        {
            return self.without_brackets(kind, node);
        }
        let wanted = matches!(node.kind, NodeKind::Word).then_some(thing);
        let flaw = missing_comma(self.source, node.after.clone(), (start, self.line_of(start)), wanted);
        self.break_at(node.after.clone(), flaw)
    }

    /// What is written at a place in words of somebody's own, with the text that it stands for.
    fn meant(&self, node: &Node, thing: &Element) -> Option<Flaw> {
        let written = pasted(self.text(node.extent()))?;
        let name = || {
            let is_value = node.key.is_some() && thing.is_name();
            is_value.then(|| quoted_name(written)).flatten()
        };
        let meant = (thing.meant)(written).or_else(name)?;
        Some(Flaw::shape(format!("{} belongs here, not {}", thing.name, shortened(written)), format!("write {meant}")))
    }

    /// The kind that the word of a node names.
    fn kind_of(&self, kinds: &'static [Alternative], node: &Node) -> Option<&'static Alternative> {
        let word = self.text(node.word()?);
        kinds.iter().find(|kind| kind.word == word)
    }

    fn without_brackets<T>(&mut self, kind: &Alternative, node: &Node) -> Option<T> {
        let here = found(self.source, node.after.clone());
        let message = format!("{} is followed by {here} instead of its round brackets", kind.word);
        let behind = pasted(self.text(node.place.end..node.extent().end));
        let behind = behind.filter(|text| text.starts_with('"') || text.starts_with(|it: char| it.is_ascii_digit()));
        match behind {
            Some(entries) => {
                let hint = format!("write {}({entries})", kind.word);
                self.break_at(node.extent(), Flaw::shape(message, hint))
            }
            None => self.break_at(node.after.clone(), Flaw::shape(message, format!("write {}", kind.thing.example))),
        }
    }

    /// Which of several words a value begins with.
    pub(crate) fn kind(&mut self, node: &Node, thing: &Element) -> Option<&'static Alternative> {
        let Inside::Kinds(kinds) = thing.inside else { return None };
        let Some(word) = node.word().filter(|place| is_name(self.text(place.clone()))) else {
            if let Some(flaw) = self.meant(node, thing) {
                return self.break_at(node.extent(), flaw);
            }
            return self.belongs(thing, node.first_token());
        };
        // A unit in the brackets is one of the words for it.
        if let (Some(kind), NodeKind::Group(group)) = (self.kind_of(kinds, node), &node.kind)
            && let ([item], Inside::Entries { things: [Element { inside: Inside::Nothing, .. }], .. }) =
                (group.items.as_slice(), kind.thing.inside)
            && let Some(written) = pasted(self.text(item.extent()))
            && written.ends_with(|letter: char| letter.is_alphabetic() || matches!(letter, '"' | '°'))
            && !matches!(item.kind, NodeKind::Text)
            && let Some(meant) = (thing.meant)(written)
        {
            let message = format!("a number alone stands in the brackets of {}, not {written}", kind.word);
            return self.break_at(node.extent(), Flaw::shape(message, format!("write {meant}")));
        }
        match (self.kind_of(kinds, node), &node.kind) {
            (None, _) if let Some(meant) = pasted(self.text(node.extent())).and_then(thing.meant) => {
                let message = format!("{} is not one of the words for {}", self.text(word.clone()), thing.name);
                self.break_at(node.extent(), Flaw::shape(message, format!("write {meant}")))
            }
            (None, _) => {
                let flaw = unknown_word(thing.name, kinds, self.text(word.clone()));
                self.break_at(word, flaw)
            }
            (Some(kind), NodeKind::Word) if !kind.is_bare() => self.without_brackets(kind, node),
            (Some(kind), NodeKind::Group(_)) if kind.is_bare() => {
                let place = word.end..node.place.end;
                let message = format!("{} stands alone, without brackets", kind.word);
                self.break_at(place, Flaw::shape(message, format!("write {}", kind.word)))
            }
            (kind, _) => kind,
        }
    }

    /// The entries in round brackets, one for each that there may be; none where they are too few or too many.
    pub(crate) fn entries<'n>(&mut self, node: &'n Node, thing: &Element) -> Option<Vec<Option<&'n Node>>> {
        let Inside::Entries { needed, things } = thing.inside else { return None };
        let NodeKind::Group(group) = &node.kind else { return self.belongs(thing, node.first_token()) };
        let mut items: Vec<&Node> = group.items.iter().collect();
        // At the end of the file an entry is only missing where one is needed.
        let is_missing = |item: &&Node| matches!(item.kind, NodeKind::Nothing) && item.place.is_empty();
        if items.len() > needed && items.last().is_some_and(is_missing) {
            items.pop();
        }
        if let Some(flaw) = self.entries_meant(node, thing, group) {
            return self.break_at(node.extent(), flaw);
        }
        let is_named = |(at, item): (usize, &&Node)| Some((at.min(things.len() - 1), item.key.as_ref()?.first_token()));
        if let Some((at, place)) = items.iter().enumerate().find_map(is_named) {
            return self.belongs(&things[at], place);
        }
        if let ([Element { inside: Inside::List(_), .. }], Some(first)) = (things, items.first())
            && first.group('[').is_none()
        {
            return self.list_belongs(&things[0], first);
        }
        if let Some(surplus) = items.get(things.len()) {
            let place = surplus.first_token();
            return self.break_at(place, too_many(thing, needed, things));
        }
        if items.len() < needed && !group.is_cut {
            let place = node.place.end - 1..node.place.end;
            return self.break_at(place, too_few(thing, needed, things, items.len()));
        }
        for (item, thing) in items.iter().zip(things).skip(needed) {
            if matches!(thing.inside, Inside::Fields(_)) && item.group('(').is_none() {
                let (place, here) = (item.first_token(), found(self.source, item.first_token()));
                let hint = format!("write {}, or leave it out", thing.example);
                return self.break_at(place, Flaw::shape(format!("{} belongs here, not {here}", thing.name), hint));
            }
        }
        let count = items.len();
        Some(items.into_iter().map(Some).chain(std::iter::repeat_n(None, things.len() - count)).collect())
    }

    /// The values of fields in round brackets, one for each field that there may be.
    pub(crate) fn fields<'n>(&mut self, node: &'n Node, thing: &Element) -> Option<Vec<Option<&'n Node>>> {
        let Inside::Fields(fields) = thing.inside else { return None };
        let group = match &node.kind {
            NodeKind::Group(group) if group.opening == '(' => group,
            NodeKind::Group(group) if group.word.is_none() && !group.is_cut => {
                let written = self.text(node.place.clone());
                let inner = pasted(written).and_then(inside).map(str::trim);
                let hint =
                    inner.filter(|inner| inner.contains(':')).map(|inner| format!("write {}({inner})", thing.named()));
                let flaw = belongs(thing, self.source, node.first_token());
                return match hint {
                    Some(hint) => self.break_at(node.extent(), Flaw::shape(flaw.to_string(), hint)),
                    None => self.break_at(node.first_token(), flaw),
                };
            }
            NodeKind::Word | NodeKind::Text | NodeKind::Group(_) | NodeKind::Nothing | NodeKind::Told => {
                return self.belongs(thing, node.first_token());
            }
        };
        if group.word.as_ref().is_some_and(|word| self.text(word.clone()) != thing.word()) {
            return self.belongs(thing, node.first_token());
        }
        let mut values = vec![None; fields.len()];
        let mut unknown: Vec<&str> = Vec::new();
        let mut items = group.items.iter().peekable();
        let mut before: Option<&Node> = None;
        while let Some(item) = items.next() {
            if self.is_parted_by_a_comma(fields, before, item, items.peek().copied()) {
                if item.key.is_none() && matches!(item.kind, NodeKind::Word) && is_name(self.text(item.place.clone())) {
                    let word = self.text(item.place.clone());
                    values[fields.iter().position(|field| field.word == word)?] = items.next();
                }
                continue;
            }
            before = Some(item);
            match (self.field_at(thing, fields, group, item), &item.key) {
                (Some(at), Some(key)) if values[at].is_some() => {
                    let message = format!("the field {:?} is given twice", fields[at].word);
                    let _: Option<()> =
                        self.break_at(key.place.clone(), Flaw::shape(message, "leave one of the two out"));
                }
                (Some(at), _) => values[at] = Some(item),
                (None, key) => unknown.push(self.text(key.as_ref().map_or(item, |key| key).place.clone())),
            }
        }
        let missing = fields.iter().zip(&values).filter(|(field, value)| field.is_needed && value.is_none());
        for (field, _) in missing.filter(|_| !group.is_cut) {
            // A field with a slip in its name is not missing as well.
            if unknown.iter().all(|word| nearest_name([field.word], word).is_none()) {
                let place = node.place.end - 1..node.place.end;
                let message = format!("the field {:?} of {} is missing before this place", field.word, thing.name);
                let hint = format!("add {}: {}", field.word, field.thing.example);
                let _: Option<()> = self.break_at(place, Flaw::shape(message, hint));
            }
        }
        Some(values)
    }

    /// Tells a comma that stands for a colon, `title, "Winch"`, or for a decimal point, `efficiency: 0,98`.
    fn is_parted_by_a_comma(
        &mut self,
        fields: &[Field],
        before: Option<&Node>,
        item: &Node,
        next: Option<&Node>,
    ) -> bool {
        if item.key.is_some() || !matches!(item.kind, NodeKind::Word) {
            return false;
        }
        if let Some(before) = before
            && let Some(number) = decimal(self.source, [before, item])
        {
            let flaw = Flaw::shape("a decimal point is wanted, not a comma", format!("write {number}"));
            let _: Option<()> = self.break_at(before.place.start..item.place.end, flaw);
            return true;
        }
        let word = self.text(item.place.clone());
        let is_comma = self.text(item.after.clone()) == ",";
        let value = next
            .filter(|next| is_comma && next.key.is_none() && !matches!(next.kind, NodeKind::Nothing | NodeKind::Told));
        let Some(value) = value.filter(|_| fields.iter().any(|field| field.word == word)) else { return false };
        let (place, hint) = match pasted(self.text(value.extent())) {
            Some(text) => (item.place.start..value.extent().end, format!("write {word}: {text}")),
            None => (item.after.clone(), "write : in place of the comma".to_owned()),
        };
        let message = format!("a colon belongs between {word} and its value, not a comma");
        let _: Option<()> = self.break_at(place, Flaw::shape(message, hint));
        true
    }

    /// Which field an entry is; where its name has a slip that is told, and what was meant is taken if that is clear.
    fn field_at(&mut self, thing: &Element, fields: &[Field], group: &BracketGroup, item: &Node) -> Option<usize> {
        let Some(key) = &item.key else {
            self.no_field(thing, fields, item, group);
            return None;
        };
        let word = self.field_word(thing, fields, key);
        let position = |word: &str| fields.iter().position(|field| field.word == word);
        position(word).or_else(|| {
            self.unknown_field(thing, fields, key, item);
            let meant = nearest_name(fields.iter().map(|field| field.word), word)?;
            let is_given = |other: &Node| other.key.as_ref().is_some_and(|key| self.text(key.place.clone()) == meant);
            position(&meant).filter(|_| !group.items.iter().any(is_given))
        })
    }

    /// The name of a field; one in quotes is told, and taken without them.
    fn field_word(&mut self, thing: &Element, fields: &[Field], key: &Node) -> &'a str {
        let word = self.text(key.place.clone());
        if matches!(key.kind, NodeKind::Word) {
            return word;
        }
        self.field_belongs(thing, fields, key.first_token());
        word.trim_matches(['"', '\''])
    }

    fn field_belongs(&mut self, thing: &Element, fields: &[Field], place: Range<usize>) {
        let known: Vec<&str> = fields.iter().map(|field| field.word).collect();
        let here = found(self.source, place.clone());
        let text = self.text(place.clone());
        let hint = if super::wording::stray(text).is_some() {
            "leave this character out".to_owned()
        } else {
            let all = || format!("the fields of {} are {}", thing.name, enumerated(&known, "and"));
            unquoted(text, &known).unwrap_or_else(all)
        };
        let _: Option<()> =
            self.break_at(place, Flaw::shape(format!("the name of a field belongs here, not {here}"), hint));
    }

    /// An entry without a colon where fields belong.
    fn no_field(&mut self, thing: &Element, fields: &[Field], item: &Node, group: &BracketGroup) {
        match item.kind {
            NodeKind::Told => {}
            NodeKind::Nothing if group.is_cut && self.text(item.place.clone()).is_empty() => {}
            NodeKind::Word if !is_name(self.text(item.place.clone())) => {
                self.field_belongs(thing, fields, item.first_token());
            }
            NodeKind::Word => {
                let word = self.text(item.place.clone());
                let known = fields.iter().find(|field| field.word == word);
                self.colon(item, known.map_or("...", |field| field.thing.example));
            }
            NodeKind::Text | NodeKind::Group(_) | NodeKind::Nothing => {
                self.field_belongs(thing, fields, item.first_token());
            }
        }
    }

    fn unknown_field(&mut self, thing: &Element, fields: &[Field], key: &Node, item: &Node) {
        if !matches!(key.kind, NodeKind::Word) {
            return;
        }
        let found = self.text(key.place.clone());
        let known: Vec<&str> = fields.iter().map(|field| field.word).collect();
        let nearest =
            nearest_name(known.iter().copied(), found).map_or(String::new(), |name| format!("write {name}; "));
        // The word may be the unit of a field: "module: 2.5".
        let with_unit = format!("{found} {}", self.text(item.extent()));
        let meant = fields
            .iter()
            .filter(|field| matches!(field.thing.inside, Inside::Kinds(_)))
            .find_map(|field| Some((field.word, pasted(&with_unit).and_then(field.thing.meant)?)));
        let place = if meant.is_some() { key.place.start..item.extent().end } else { key.place.clone() };
        let hint = match meant {
            Some((word, meant)) => format!("write {word}: {meant}"),
            None => format!("{nearest}the fields are {}", enumerated(&known, "and")),
        };
        let _: Option<()> = self.break_at(place, Flaw::shape(format!("{} has no field {found:?}", thing.name), hint));
    }

    /// A name that is not followed by a colon.
    fn colon(&mut self, item: &Node, example: &str) {
        let key = shortened(self.text(item.place.clone()));
        let here = found(self.source, item.after.clone());
        let message = format!("a colon belongs between {key} and {here}");
        let behind = self.text(item.place.end..item.extent().end).trim_start();
        let is_value = |text: &&str| text.starts_with(['[', '(', '"']);
        let value = behind.strip_prefix('=').or_else(|| Some(behind).filter(is_value)).and_then(pasted);
        let place = if value.is_some() { item.extent() } else { item.after.clone() };
        let hint = format!("write {key}: {}", value.unwrap_or(example));
        let _: Option<()> = self.break_at(place, Flaw::shape(message, hint));
    }

    /// The entries of a list in square brackets, or of names with what belongs to them in braces.
    pub(crate) fn items<'n>(&mut self, node: &'n Node, thing: &Element) -> Option<&'n BracketGroup> {
        let opening = if matches!(thing.inside, Inside::Named(_)) { '{' } else { '[' };
        match node.group(opening) {
            Some(group) => Some(group),
            None => self.list_belongs(thing, node),
        }
    }

    /// Something else stands where a list belongs, often what belongs into the list.
    fn list_belongs<T>(&mut self, thing: &Element, node: &Node) -> Option<T> {
        let flaw = belongs(thing, self.source, node.first_token());
        let (opening, closing) = if matches!(thing.inside, Inside::Named(_)) { ('{', '}') } else { ('[', ']') };
        if let Some(meant) = in_brackets(self.source, thing, node) {
            return self.break_at(node.extent(), Flaw::shape(flaw.to_string(), format!("write {meant}")));
        }
        let hint = {
            // A list over several lines is not pasted; its brackets are named.
            let is_long = self.text(node.place.clone()).contains('\n');
            let group = if let NodeKind::Group(group) = &node.kind { Some(group) } else { None };
            let group = group.filter(|group| is_long && group.word.is_none());
            group.map(|group| format!("write {opening} in place of {}, and {closing} where it closes", group.opening))
        };
        let flaw = hint.map_or(flaw.clone(), |hint| Flaw::shape(flaw.to_string(), hint));
        self.break_at(node.first_token(), flaw)
    }

    /// What is meant by entries that have changed places, have names or colons, or are parted by a decimal comma.
    fn entries_meant(&self, node: &Node, thing: &Element, group: &BracketGroup) -> Option<Flaw> {
        let Inside::Entries { things, .. } = thing.inside else { return None };
        let word = group.word.clone().map_or("", |word| self.text(word));
        if let ([_], [whole, decimals]) = (things, group.items.as_slice())
            && let Some(number) = decimal(self.source, [whole, decimals])
        {
            let hint = format!("write {word}({number})");
            return Some(Flaw::shape("a decimal point is wanted, not a comma", hint));
        }
        if let Some(right) = name_first(self.source, thing, group) {
            let [name, number] = [things[0].name, things[1].name];
            return Some(Flaw::shape(format!("{name} comes first, then {number}"), format!("write {right}")));
        }
        if !group.is_cut && group.items.iter().any(|item| item.key.is_some()) && word == thing.word() {
            let right = entries_alone(self.source, word, group).filter(|_| node.run_on.is_none())?;
            let is_field = |item: &Node| item.key.as_ref().is_some_and(|key| matches!(key.kind, NodeKind::Word));
            let sentence = if group.items.iter().any(is_field) {
                format!("the entries of {word} stand without names of fields")
            } else {
                "a comma belongs here, not a colon".to_owned()
            };
            return Some(Flaw::shape(sentence, format!("write {right}")));
        }
        None
    }

    /// Whether an entry in braces has a name with a colon; one that has not is told.
    pub(crate) fn has_name(&mut self, item: &Node, thing: &Element, inner: &Element) -> bool {
        match &item.kind {
            _ if item.key.is_some() => return true,
            NodeKind::Told => {}
            NodeKind::Word if self.is_name_of_words(item) => {}
            NodeKind::Text | NodeKind::Word => {
                let is_list = matches!(inner.inside, Inside::List(_));
                let nothing = format!("[], or {}: {}", self.text(item.place.clone()), inner.example);
                self.colon(item, if is_list { &nothing } else { inner.example });
            }
            NodeKind::Group(_) | NodeKind::Nothing => {
                let place = item.first_token();
                let text = self.text(place.clone());
                let hint = in_double_quotes(text)
                    .unwrap_or_else(|| format!("write {}, such as {}", thing.name, thing.example));
                let hint = if super::wording::stray(text).is_some() { "leave this character out".into() } else { hint };
                let message = format!("a name in quotes belongs here, not {}", found(self.source, place.clone()));
                let _: Option<()> = self.break_at(place, Flaw::shape(message, hint));
            }
        }
        self.is_broken = true;
        false
    }
}

impl Reader<'_> {
    /// Whether an entry in braces begins with a name of several words without quotes; that is told.
    fn is_name_of_words(&mut self, item: &Node) -> bool {
        let written = self.text(item.extent());
        let Some(bare) = written.split_once(':').map(|(name, _)| name.trim()) else { return false };
        let Some(name) = quoted_name(bare) else { return false };
        let place = item.place.start..item.place.start + bare.len();
        let message = format!("a name in quotes belongs here, not {}", shortened(bare));
        let _: Option<()> = self.break_at(place, Flaw::shape(message, format!("write {name}")));
        true
    }
}

/// Whether a word begins as names do, and not as numbers do.
fn is_name(word: &str) -> bool {
    word.starts_with(|letter: char| letter.is_alphabetic() || letter == '_')
}

fn unknown_word(thing: &str, kinds: &[Alternative], found: &str) -> Flaw {
    let known: Vec<&str> = kinds.iter().map(|kind| kind.word).collect();
    let hint = match nearest_name(known.iter().copied(), found) {
        Some(nearest) => format!("write {nearest}; the words are {}", enumerated(&known, "and")),
        None => format!("write {}", forms(kinds, "")),
    };
    Flaw::shape(format!("{found} is not one of the words for {thing}"), hint)
}
