//! The manual: what people want to do, a chapter each.
//!
//! A chapter is a Markdown file beside this one and a line in the list below. The library shows it as the documentation
//! of a module, the program with `toothmark manual`. Its commands are run by the tests, what it shows of their answers
//! is compared with what the program prints, and its Rust is run as doc tests.

use crate::syntax::nearest_name;

/// One chapter of the manual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chapter {
    /// Its name, which is that of its file without the ending.
    pub name: &'static str,
    /// What it says, as Markdown. Its first line is its title.
    pub text: &'static str,
}

/// Tells every chapter once: a module that it documents, and its place in the manual.
macro_rules! chapters {
    ($($name:ident),* $(,)?) => {
        $(
            #[doc = include_str!(concat!(stringify!($name), ".md"))]
            pub mod $name {}
        )*

        const CHAPTERS: &[Chapter] = &[
            $(Chapter { name: stringify!($name), text: include_str!(concat!(stringify!($name), ".md")) }),*
        ];
    };
}

chapters![
    start,
    timing,
    found,
    matching,
    teeth,
    bench,
    record,
    wrong,
    paper,
    ratios,
    loads,
    counts,
    teaching,
    description,
    programs,
    mathematics,
    exactness,
];

impl Chapter {
    /// What the chapter is headed with.
    pub fn title(&self) -> &'static str {
        self.text.lines().next().unwrap_or_default().trim_start_matches(['#', ' '])
    }
}

/// Every chapter, in the order of the manual.
///
/// # Examples
/// ```
/// use toothmark::manual::chapters;
/// assert!(chapters().iter().all(|chapter| chapter.text.starts_with("# ")));
/// ```
pub fn chapters() -> &'static [Chapter] {
    CHAPTERS
}

/// The chapter of a name, if there is one.
///
/// # Examples
/// ```
/// use toothmark::manual::chapter;
/// assert_eq!(chapter("timing").map(|chapter| chapter.title()), Some("Time the planets and mark them"));
/// assert_eq!(chapter("no such chapter"), None);
/// ```
pub fn chapter(name: &str) -> Option<&'static Chapter> {
    CHAPTERS.iter().find(|chapter| chapter.name == name)
}

/// The name of the chapter that is nearest to a name, if one is near.
///
/// # Examples
/// ```
/// use toothmark::manual::nearest_chapter;
/// assert_eq!(nearest_chapter("timng").as_deref(), Some("timing"));
/// ```
pub fn nearest_chapter(name: &str) -> Option<String> {
    nearest_name(CHAPTERS.iter().map(|chapter| chapter.name), name)
}
