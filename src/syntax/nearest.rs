//! Which known name was meant by a name that is not known?
//!
//! Names are compared by their edit distance, swapped letters counted as one slip (Damerau,
//! Communications of the ACM 7, 1964, p. 171), in proportion to their length.

/// A name with more letters is no slip of the pen, and the work grows with the letters.
const LONGEST: usize = 200;

/// Names less alike than this are not offered; 1 is identity.
const LEAST_LIKENESS: f64 = 0.5;

/// Of the known names the one that takes the fewest slips of the pen (letters dropped,
/// added, changed or swapped) in proportion to its length; `None` where none is alike.
/// Of several equally near the first in the order of the alphabet.
///
/// # Examples
/// ```
/// use toothmark::gearset::nearest_name;
/// assert_eq!(nearest_name(["low drum", "reverse drum"], "lwo drum").as_deref(), Some("low drum"));
/// assert_eq!(nearest_name(["low drum"], "axle"), None);
/// ```
pub fn nearest_name<'n>(known: impl IntoIterator<Item = &'n str>, name: &str) -> Option<String> {
    if name.chars().nth(LONGEST).is_some() {
        return None;
    }
    known
        .into_iter()
        .filter(|candidate| candidate.chars().nth(LONGEST).is_none())
        .map(|candidate| (strsim::normalized_damerau_levenshtein(candidate, name), candidate))
        .filter(|&(likeness, _)| likeness >= LEAST_LIKENESS)
        .max_by(|(a, first), (b, second)| a.total_cmp(b).then_with(|| second.cmp(first)))
        .map(|(_, candidate)| candidate.to_owned())
}
