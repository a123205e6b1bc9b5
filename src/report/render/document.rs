//! An answer as a document: what is said, before it is known how it is shown.
//!
//! Blocks hold plain text, names from a file included; every renderer escapes what its
//! own form of output could misread.

/// A document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// What it is about.
    pub title: String,
    /// What it says.
    pub blocks: Vec<Block>,
}

/// A part of a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// Begins a section.
    Heading(String),
    /// The answer in plain words, a statement a line: the first says what to do.
    Statements(Vec<String>),
    /// Running text.
    Paragraph(String),
    /// Short answers, each with what it answers.
    Facts(Vec<Fact>),
    /// A table.
    Table(Table),
    /// Something that will go wrong if it is passed over.
    Warning(String),
    /// Something that is good to know.
    Note(String),
    /// Something to be copied as it stands: lines that whoever wrote them has escaped.
    Source {
        /// What it is written in.
        language: &'static str,
        /// The lines.
        text: String,
    },
    /// A picture, for forms of output that can show one.
    Picture(CaptionedPicture),
}

impl Block {
    /// A table.
    pub(in crate::report) fn table(caption: impl Into<String>, headings: &[&str], rows: Vec<Vec<String>>) -> Self {
        Self::Table(Table::new(caption, headings, rows))
    }

    /// A table that is left out where it has no rows.
    pub(in crate::report) fn table_of_some(
        caption: impl Into<String>,
        headings: &[&str],
        rows: Vec<Vec<String>>,
    ) -> Option<Self> {
        (!rows.is_empty()).then(|| Self::table(caption, headings, rows))
    }

    /// What there is of each group in turn, headed with its name where there are several.
    pub(in crate::report) fn group_by_group<G>(
        groups: &[G],
        heading: impl Fn(&G) -> String,
        blocks: impl Fn(&G) -> Vec<Self>,
    ) -> Vec<Self> {
        let mut all = Vec::new();
        for group in groups {
            let blocks = blocks(group);
            if groups.len() > 1 && !blocks.is_empty() {
                all.push(Self::Heading(heading(group)));
            }
            all.extend(blocks);
        }
        all
    }

    /// What stands at the foot of every answer about teeth.
    pub(in crate::report) fn fit_not_strength() -> Self {
        Self::Note("fit, not strength: what these teeth bear is not told".into())
    }

    /// The note where an answer needs states and none are described.
    pub(in crate::report) fn no_states(consequence: &str) -> Self {
        Self::Note(format!(
            "no states are described, so {consequence}; add states to the description, such as \"low\": Apply([\"low \
             band\"])"
        ))
    }
}

/// A picture as an SVG element that is safe to show: whoever drew it has escaped its names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaptionedPicture {
    /// What it shows.
    pub caption: String,
    /// The element, from `<svg` to `</svg>`.
    pub svg: String,
}

/// A short answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// What is answered.
    pub subject: String,
    /// The answer.
    pub answer: String,
}

impl Fact {
    pub(in crate::report) fn new(subject: &str, answer: impl Into<String>) -> Self {
        Self { subject: subject.to_owned(), answer: answer.into() }
    }
}

/// A table with one heading a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What the table shows; empty where the heading above it says so already.
    pub caption: String,
    /// The heading of each column.
    pub headings: Vec<String>,
    /// The cells, row by row, as many in each as there are headings.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    pub(in crate::report) fn new(caption: impl Into<String>, headings: &[&str], rows: Vec<Vec<String>>) -> Self {
        Self { caption: caption.into(), headings: headings.iter().map(ToString::to_string).collect(), rows }
    }

    /// As many rows as fit on a screen, and in the caption of how many they are the first.
    pub(in crate::report) fn beginning(mut self, most: usize) -> Self {
        let count = self.rows.len();
        if count > most {
            self.rows.truncate(most);
            self.caption = format!("{} (the first {most} of {count})", self.caption);
        }
        self
    }

    /// The rows that [`Table::beginning`] leaves out, if there are any.
    pub(in crate::report) fn rest(mut self, most: usize) -> Option<Self> {
        (self.rows.len() > most).then(|| {
            self.rows.drain(..most);
            self.caption.push_str(", continued");
            self
        })
    }
}

/// A flat table for other programs to read: one kind of record, every row complete.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Records {
    /// The name of each field.
    pub fields: Vec<&'static str>,
    /// The records.
    pub rows: Vec<Vec<String>>,
}
