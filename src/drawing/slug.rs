//! Names of planets as parts of file names: plain lower-case letters, digits and hyphens.

use crate::gearset::Gearset;
use crate::timing::GroupTiming;

/// What is kept of a name.
const MOST: usize = 40;

/// A group by its planets.
pub(super) fn group(set: &Gearset, timed: &GroupTiming) -> String {
    let names: Vec<String> = timed.planets.iter().map(|&planet| slug(set.member(planet).name())).collect();
    names.join("-and-")
}

/// Nothing but lower-case letters, digits and single hyphens between them.
fn slug(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' })
        .collect();
    let words: Vec<&str> = plain.split('-').filter(|word| !word.is_empty()).collect();
    let slug: String = words.join("-").chars().take(MOST).collect();
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "planet".into() } else { slug.into() }
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn no_name_leads_out_of_the_folder() {
        assert_eq!(slug("../../etc/Pass wd"), "etc-pass-wd");
        assert_eq!(slug("Übersetzung <b>"), "bersetzung-b");
        assert_eq!(slug("\u{202e}"), "planet");
    }
}
