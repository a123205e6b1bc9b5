//! Rules of what was read of the teeth of a gear.

use crate::gearset::ReadingKind;

/// What readings of teeth must fulfil.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum ReadingRule {
    #[error("the readings of gear {gear:?} are told twice")]
    ReadingsTwice { gear: String },
    #[error("gear {gear:?} is a bevel gear, and these readings are those of spur gears")]
    ReadingsOfBevel { gear: String },
    #[error("nothing was read of gear {gear:?}")]
    NothingRead { gear: String },
    #[error("gear {gear:?} has {teeth} teeth, too few for a span or pins to touch sound flanks")]
    FewTeeth { gear: String, teeth: u16 },
    #[error("gear {gear:?} is a ring, over whose teeth no caliper goes")]
    SpanOfRing { gear: String },
    #[error("a span over {span} of the {teeth} teeth of gear {gear:?} cannot be taken")]
    SpanCount { gear: String, span: i64, teeth: u16 },
    #[error("the span of gear {gear:?} over {span} teeth is told twice")]
    SpanTwice { gear: String, span: i64 },
    #[error("gear {gear:?} reads no more over {more} teeth than over {fewer}")]
    SpansNotRising { gear: String, fewer: i64, more: i64 },
    #[error("{kind} of {value} for gear {gear:?} is out of all proportion")]
    AbsurdReading { gear: String, kind: ReadingKind, value: String },
    #[error("the readings of gear {gear:?} are said to be good to {value}")]
    AbsurdWithin { gear: String, value: String },
    #[error("the roots of gear {gear:?} are beyond its tips")]
    RootBeyondTip { gear: String },
}

impl ReadingRule {
    /// What to write instead, or what to look at.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::ReadingsTwice { .. } | Self::SpanTwice { .. } => "give it once: of several readings their mean",
            Self::ReadingsOfBevel { .. } => "leave it out",
            Self::NothingRead { .. } => "write what was read, such as (spans: {3: Millimetres(18.88)})",
            Self::FewTeeth { .. } => "count the teeth again; below 6 such readings tell nothing",
            Self::SpanOfRing { .. } => "measure between two pins instead: pins: (Millimetres(4.5), Millimetres(145.3))",
            Self::SpanCount { .. } => {
                "take fewer than half of the teeth between the jaws: about one in nine, and one more"
            }
            Self::SpansNotRising { .. } => "measure both again, and look which reading belongs to which count",
            Self::AbsurdReading { .. } => {
                "write a length above 0 and up to 10 metres, such as Millimetres(18.88) or Inches(0.7433)"
            }
            Self::AbsurdWithin { .. } => {
                "write a length above 0 and up to 2 mm, such as Millimetres(0.02) or Inches(0.001)"
            }
            Self::RootBeyondTip { .. } => "look which of the two diameters is which",
        }
    }
}
