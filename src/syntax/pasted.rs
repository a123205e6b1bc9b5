//! Pieces of a text ready to paste: what a count or a name without its quotes should have been, by its signs alone.

use super::tokens::without_quotes;

/// A text is pasted only where it is so short.
const LONGEST: usize = 80;

/// A piece of the source for a hint, where it stands in one line and is short.
pub(super) fn pasted(text: &str) -> Option<&str> {
    let text = text.trim();
    (!text.is_empty() && text.chars().count() <= LONGEST && !text.contains(['\n', '\r'])).then_some(text)
}

/// What stands in the brackets of a group; none where more stands there than the group, as a word that has no comma before
/// it.
pub(super) fn inside(text: &str) -> Option<&str> {
    text.strip_prefix(['(', '[', '{'])?.strip_suffix([')', ']', '}'])
}

/// The count in a word: 24 in `24T`, `"24 teeth"`, `z=24`; 60 in `6O`.
pub(super) fn count_in(written: &str) -> Option<String> {
    let bare = without_quotes(pasted(written)?);
    // A letter O for a zero and an l or I for a one, among digits alone.
    let is_like_a_digit = |letter: char| letter.is_ascii_digit() || matches!(letter, 'O' | 'o' | 'l' | 'I');
    if bare.chars().all(is_like_a_digit) && bare.starts_with(|letter: char| letter.is_ascii_digit()) {
        return Some(bare.replace(['O', 'o'], "0").replace(['l', 'I'], "1"));
    }
    let mut runs = bare.split(|letter: char| !letter.is_ascii_digit()).filter(|run| !run.is_empty());
    let only = runs.next().filter(|_| runs.next().is_none())?;
    let is_word = |letter: char| letter.is_alphanumeric() || matches!(letter, ' ' | '=' | '.' | '+' | '-');
    let is_plain = !bare.starts_with(['-', '.']) && !bare.ends_with('-') && bare.chars().all(is_word);
    // "0x18" and "1e3" have two runs; "#24" is no word.
    (is_plain && only.len() < 10).then(|| only.to_owned())
}

/// A name of several words without quotes, in quotes.
pub(super) fn quoted_name(text: &str) -> Option<String> {
    let text = pasted(text)?;
    let is_of_name = |letter: char| letter.is_alphanumeric() || matches!(letter, ' ' | '_' | '-');
    (text.starts_with(char::is_alphabetic) && text.chars().all(is_of_name)).then(|| format!("{text:?}"))
}

#[cfg(test)]
mod tests {
    use super::count_in;

    #[test]
    fn a_count_is_found_where_there_is_only_one() {
        for (written, count) in [("24T", "24"), ("\"24 teeth\"", "24"), ("z=24", "24"), ("6O", "60"), ("+24", "24")] {
            assert_eq!(count_in(written).as_deref(), Some(count), "{written}");
        }
        for written in ["24.5", "1e3", "0x18", "-24", "#24", "ten", "", "24-", "1_000"] {
            assert_eq!(count_in(written), None, "{written}");
        }
    }
}
