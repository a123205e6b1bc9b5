//! Which questions about end float are refused: sizes that are none, and more than can be gone through.

/// Why no washers can be chosen.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum CannotChooseWashers {
    #[error("no gap is given")]
    NoGap,
    #[error("there are {count} gaps, and at most {most} can be looked at together")]
    TooManyGaps { count: usize, most: usize },
    #[error("one of several gaps has no name")]
    GapWithoutName,
    #[error("two gaps are called {name:?}")]
    SameName { name: String },
    #[error("a {what} of {value} is none that a gearbox has")]
    NoSize { what: &'static str, value: String },
    #[error("a float from {least} to {most} is none that can be wanted")]
    NoBand { least: String, most: String },
    #[error("the best float, {best}, is not within what is wanted, {least} to {most}")]
    BestOutside { best: String, least: String, most: String },
    #[error("a reading good to {value} is none")]
    NoError { value: String },
    #[error("{count} washers at hand are more than {most}")]
    TooManyWashers { count: usize, most: usize },
    #[error("{count} parts in one gap are more than {most}")]
    TooManyParts { count: usize, most: usize },
    #[error("at most {count} washers in one gap cannot be")]
    MostInStack { count: usize, most: usize },
    #[error("the sizes have no common unit that can be counted in")]
    NoCommonUnit,
    #[error("these washers make more sums than can be gone through")]
    TooManySums,
    #[error("these gaps share the washers in more ways than can be gone through")]
    TooManyWays,
}

impl CannotChooseWashers {
    /// What to write instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoGap => {
                "give the space and what stands in it, --space 41.37 --parts 12.02,25.40,0.85, or the float as measured, \
                 --float 0.60, or the clearance of a pressed gear, --pressed-now 0.90"
            }
            Self::TooManyGaps { .. } => "ask about the gaps that share washers, and about the others apart",
            Self::GapWithoutName => "name each gap: --space front=41.37 --wanted front=0.2..0.6",
            Self::SameName { .. } => "give each gap a name of its own",
            Self::NoSize { .. } => {
                "sizes are above 0 and up to 10 m; a float that is measured may be 0: look at the unit"
            }
            Self::NoBand { .. } => "write the least and the greatest float, from 0 up, such as --wanted 0.2..0.6",
            Self::BestOutside { .. } => "leave --best out, and the middle is the best",
            Self::NoError { .. } => "write what a reading is good to, from 0 to 1 mm, such as --within 0.01",
            Self::TooManyWashers { .. } => {
                "leave out those that are too thick for the gap, and most of those that are alike"
            }
            Self::TooManyParts { .. } => "measure parts that stay together as one",
            Self::MostInStack { .. } => "write how many washers may stand in one gap, from 1 to 12, such as --most 3",
            Self::NoCommonUnit => "write the sizes as decimals with up to four places",
            Self::TooManySums => "allow fewer washers in a gap with --most, or leave out those that nobody would fit",
            Self::TooManyWays => "narrow what is wanted, allow fewer washers with --most, or ask gap by gap",
        }
    }
}
