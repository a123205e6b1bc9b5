//! Turns counted by hand, as people type them: `low drum held: flywheel 45 for driven drum 16 within 1/8`.
//!
//! Before the colon stands what is held, behind it a member with its turns, `for`, and another with its own. A name may
//! end in a number, as those of a stack do: the turns are the last number, which a part of a turn may follow.

use crate::exact::{Fraction, parse};
use crate::gearset::{Draft, DraftTurns, DraftTurnsOf, Spanned};

/// What somebody typed about turns; `None` where it is not of that form.
///
/// # Examples
/// ```
/// use toothmark::exact::fraction;
/// use toothmark::quick::turns;
/// let read = turns("low drum held: flywheel 45 1/4 turns for driven drum 16 within 1/8").unwrap();
/// assert_eq!(read.held[0].as_str(), "low drum");
/// assert_eq!(read.first.member.as_str(), "flywheel");
/// assert_eq!([&*read.first.turns, &*read.second.turns], [&fraction(181, 4), &fraction(16, 1)]);
/// assert_eq!(read.within.as_deref(), Some(&fraction(1, 8)));
/// assert_eq!(turns("flywheel 45"), None);
/// ```
pub fn turns(text: &str) -> Option<DraftTurns> {
    let (held, counts) = match text.rsplit_once(':') {
        Some((held, counts)) => {
            (Some(held.trim().strip_suffix("held")?.trim()).filter(|held| !held.is_empty()), counts)
        }
        None => (None, text),
    };
    let (counts, within) = match counts.rsplit_once(" within ") {
        Some((counts, within)) => (counts, Some(parse(without_unit(within).trim_end_matches(" of a"))?)),
        None => (counts, None),
    };
    // A name may hold the word itself.
    let mut parted = counts.match_indices(" for ").map(|(at, word)| (&counts[..at], &counts[at + word.len()..]));
    let [first, second] = parted.find_map(|(first, second)| Some([turns_of(first)?, turns_of(second)?]))?;
    let held = held.into_iter().map(Spanned::from).collect();
    Some(DraftTurns { held, first, second, within: within.map(Spanned::from) })
}

/// A name and, from the first word on from which it can be one, a number.
fn turns_of(text: &str) -> Option<DraftTurnsOf> {
    let text = without_unit(text.trim());
    let number = |at: usize| Some((text[..at].trim(), parse(&text[at..])?)).filter(|(name, _)| !name.is_empty());
    let (member, turns): (&str, Fraction) = text.match_indices(' ').find_map(|(at, _)| number(at))?;
    Some(DraftTurnsOf { member: member.into(), turns: turns.into() })
}

fn without_unit(text: &str) -> &str {
    let text = text.trim();
    text.strip_suffix("turns").or_else(|| text.strip_suffix("turn")).unwrap_or(text).trim_end()
}

/// Parts the names of what is held, `low drum and sun` or `low drum, sun`, where they are no name as they stand.
pub(super) fn part_names(draft: &Draft, turns: &DraftTurns) -> DraftTurns {
    let is_known = |name: &str| {
        let mut planets = draft.planets.iter().map(|planet| &planet.name);
        draft.members.iter().any(|member| member.name == *name) || planets.any(|planet| *planet == *name)
    };
    let parted = |name: &Spanned<String>| -> Vec<Spanned<String>> {
        if is_known(name) {
            return vec![name.clone()];
        }
        let names = name.split(',').flat_map(|names| names.split(" and "));
        names.map(str::trim).filter(|name| !name.is_empty()).map(Spanned::from).collect()
    };
    DraftTurns { held: turns.held.iter().flat_map(parted).collect(), ..turns.clone() }
}
