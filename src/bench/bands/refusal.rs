//! Which questions about bands are refused.

use super::question::{BandQuestion, BandsQuestion};
use crate::exact::{fraction, to_float};
use num_traits::Signed;

/// Why nothing is told of a band.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum CannotSetBand {
    #[error("no band is given")]
    NoBand,
    #[error("{count} bands are more than {most}")]
    TooManyBands { count: usize, most: usize },
    #[error("{band} lies {degrees} degrees round its drum")]
    Wrap { band: String, degrees: String },
    #[error("the {what} of {band}, {value}, is none")]
    NoSize { band: String, what: &'static str, value: String },
}

impl CannotSetBand {
    /// What to write instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoBand => {
                "give its sizes, --wrap 330 --drum 190 --gap 0.5, or name a description that has bands with their sizes"
            }
            Self::TooManyBands { .. } => "ask about one of them with --band",
            Self::Wrap { .. } => "write degrees above 0 and up to 720, such as --wrap 330",
            Self::NoSize { .. } => "look at the number and its unit; a gap is 0 or more",
        }
    }
}

/// Everything that is wrong with a question.
pub(super) fn wrong(question: &BandsQuestion) -> Vec<CannotSetBand> {
    match question.bands.len() {
        0 => vec![CannotSetBand::NoBand],
        count if count > super::MOST_BANDS => vec![CannotSetBand::TooManyBands { count, most: super::MOST_BANDS }],
        _ => question.bands.iter().flat_map(wrong_band).collect(),
    }
}

fn wrong_band(band: &BandQuestion) -> Vec<CannotSetBand> {
    let name = || band.name.clone();
    let turns = band.sizes.wrap.as_ref().map(|wrap| wrap.turns());
    let wrap = turns.filter(|turns| !turns.is_positive() || *turns > fraction(2, 1));
    let wrap =
        wrap.map(|turns| CannotSetBand::Wrap { band: name(), degrees: format!("{:.1}", to_float(&turns) * 360.0) });
    let radius = band.sizes.radius.as_ref().map(|radius| radius.millimetres());
    let friction = band.sizes.friction.as_ref().map(|friction| to_float(friction));
    let sizes = [
        ("radius of the drum", radius, 0.001..=10_000.0),
        ("friction", friction, 1e-6..=2.0),
        ("pull", band.sizes.pull.as_ref().map(|pull| pull.newtons()), 1e-6..=1e9),
        ("lining", band.lining_mm, 0.0..=100.0),
        ("gap", band.gap_mm, 0.0..=100.0),
        ("wear", band.wear_mm, 0.0..=100.0),
        ("run-out", band.run_out_mm, 0.0..=10.0),
    ];
    let sizes = sizes.into_iter().filter_map(|(what, value, range)| {
        let value = value.filter(|value| !range.contains(value))?;
        Some(CannotSetBand::NoSize { band: name(), what, value: value.to_string() })
    });
    wrap.into_iter().chain(sizes).collect()
}
