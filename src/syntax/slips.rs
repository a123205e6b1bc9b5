//! What somebody meant who wrote something else than belongs at a place, as text ready to paste.
//!
//! All of it goes by the signs alone: quotes and brackets that are missing or of another kind, a comma or colon in the
//! place of the other, a decimal comma, letters in a count. What units and words of the trade mean is told beside the
//! types, by `Element::meant`.

use super::pasted::{inside, pasted};
use super::thing::{Element, Inside};
use super::tokens::without_quotes;
use super::tree::{BracketGroup, Node, NodeKind};

/// The decimal number in two entries that only a comma parts: `2,5`.
pub(super) fn decimal(source: &str, [whole, decimals]: [&Node; 2]) -> Option<String> {
    let digits = |node: &Node| {
        let text = &source[node.place.clone()];
        (matches!(node.kind, NodeKind::Word) && text.bytes().all(|byte| byte.is_ascii_digit())).then_some(text)
    };
    let sign = |text: &str| text.strip_prefix('-').map_or(0, |_| 1);
    let whole_text = &source[whole.place.clone()];
    let is_whole = whole_text[sign(whole_text)..].bytes().all(|byte| byte.is_ascii_digit());
    let is_next = source.get(whole.place.end..decimals.place.start) == Some(",");
    let decimals = digits(decimals).filter(|_| is_whole && is_next && !whole_text.is_empty())?;
    Some(format!("{whole_text}.{decimals}"))
}

/// The entries of a bracket between commas, without names of fields: `Sun("S", 24)` for `Sun("S": 24)` and for
/// `Sun(name: "S", teeth: 24)`.
pub(super) fn entries_alone(source: &str, word: &str, group: &BracketGroup) -> Option<String> {
    let entry = |item: &Node| {
        let value = &source[item.extent()];
        match &item.key {
            Some(key) if matches!(key.kind, NodeKind::Text) => format!("{}, {value}", &source[key.place.clone()]),
            _ => value.to_owned(),
        }
    };
    let entries: Vec<String> = group.items.iter().map(entry).collect();
    pasted(&format!("{word}({})", entries.join(", "))).map(ToOwned::to_owned)
}

/// The name and the count of a gear that have changed places, put right.
pub(super) fn name_first(source: &str, thing: &Element, group: &BracketGroup) -> Option<String> {
    let Inside::Entries { needed, things: [first, second, ..] } = thing.inside else { return None };
    let [count, name, others @ ..] = group.items.as_slice() else { return None };
    let is_number = |text: &str| text.starts_with(|letter: char| letter.is_ascii_digit());
    let (count, name) = (&source[count.place.clone()], &source[name.place.clone()]);
    let inner = without_quotes(name);
    let is_swapped = group.items.len() >= needed
        && first.is_name()
        && second.is_number()
        && is_number(without_quotes(count))
        && !is_number(inner)
        && inner.chars().all(|letter| letter.is_alphanumeric() || matches!(letter, ' ' | '_' | '-'));
    if !is_swapped {
        return None;
    }
    let mut entries = vec![format!("{inner:?}"), without_quotes(count).to_owned()];
    entries.extend(others.iter().map(|item| source[item.extent()].to_owned()));
    let text = format!("{}({})", thing.word(), entries.join(", "));
    pasted(&text).map(ToOwned::to_owned)
}

/// What stands where a list belongs, in the brackets of the list.
pub(super) fn in_brackets(source: &str, thing: &Element, node: &Node) -> Option<String> {
    let (opening, closing) = match thing.inside {
        Inside::List(_) => ('[', ']'),
        Inside::Named(_) => ('{', '}'),
        Inside::Nothing | Inside::Kinds(_) | Inside::Fields(_) | Inside::Entries { .. } => return None,
    };
    let text = pasted(&source[node.extent()])?;
    let NodeKind::Group(group) = &node.kind else {
        return (matches!(node.kind, NodeKind::Text) && opening == '[').then(|| format!("[{text}]"));
    };
    if group.is_cut {
        return None;
    }
    let Inside::List(inner) = thing.inside else {
        return named_entries(source, group).map(|entries| format!("{{{entries}}}"));
    };
    // One entry alone: a gear with its word, or a pair where the list is one of pairs.
    let is_entry = group.word.is_some()
        || group.opening == '(' && matches!(inner.inside, Inside::Entries { .. }) && !is_of_groups(group);
    if is_entry {
        return Some(format!("{opening}{text}{closing}"));
    }
    if group.items.iter().all(|item| item.key.is_none()) {
        return Some(format!("{opening}{}{closing}", inside(text)?));
    }
    let pair = |item: &Node| {
        let key = item.key.as_ref().filter(|key| matches!(key.kind, NodeKind::Text))?;
        Some(format!("({}, {})", &source[key.place.clone()], &source[item.extent()]))
    };
    let pairs: Option<Vec<String>> = group.items.iter().map(pair).collect();
    pairs.filter(|_| matches!(inner.inside, Inside::Entries { .. })).map(|pairs| format!("[{}]", pairs.join(", ")))
}

/// Entries with a name and a value each, as they stand in braces: `"ring": 2` for `("ring", 2)` as well.
fn named_entries(source: &str, group: &BracketGroup) -> Option<String> {
    let entry = |item: &Node| {
        let (name, value) = match (&item.key, item.group('(')) {
            (Some(key), _) => (&**key, item),
            (None, Some(pair)) => {
                let [name, value] = pair.items.as_slice() else { return None };
                (name, value)
            }
            (None, None) => return None,
        };
        let is_named = matches!(name.kind, NodeKind::Text);
        is_named.then(|| format!("{}: {}", &source[name.place.clone()], &source[value.extent()]))
    };
    let entries: Option<Vec<String>> = group.items.iter().map(entry).collect();
    entries.filter(|_| group.word.is_none()).map(|entries| entries.join(", "))
}

/// Whether brackets hold brackets.
fn is_of_groups(group: &BracketGroup) -> bool {
    group.items.iter().any(|item| matches!(item.kind, NodeKind::Group(_)))
}
