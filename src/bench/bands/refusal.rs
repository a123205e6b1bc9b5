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
    #[error("the {what} of {band}, {value}, cannot be")]
    NoSize { band: String, what: &'static str, value: String, write: &'static str },
    #[error("{problem}")]
    NotInGearset { problem: String },
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
            Self::NoSize { write, .. } => write,
            Self::NotInGearset { .. } => "look at the sizes that are typed in place of those of the description",
        }
    }
}

/// Everything that is wrong with a question.
pub(super) fn wrong(question: &BandsQuestion) -> Vec<CannotSetBand> {
    let told = || question.bands.iter().filter(|band| band.is_told());
    match told().count() {
        0 => vec![CannotSetBand::NoBand],
        count if count > super::MOST_BANDS => vec![CannotSetBand::TooManyBands { count, most: super::MOST_BANDS }],
        _ => told().flat_map(wrong_band).collect(),
    }
}

fn wrong_band(band: &BandQuestion) -> Vec<CannotSetBand> {
    let name = || band.name.clone();
    let turns = band.sizes.wrap.as_ref().map(|wrap| wrap.turns());
    let wrap = turns.filter(|turns| !turns.is_positive() || *turns > fraction(2, 1));
    let wrap =
        wrap.map(|turns| CannotSetBand::Wrap { band: name(), degrees: format!("{:.1}", to_float(&turns) * 360.0) });
    let drum = band.sizes.radius.as_ref().map(|radius| 2.0 * radius.millimetres());
    let friction = band.sizes.friction.as_ref().map(|friction| to_float(friction));
    let pull = band.sizes.pull.as_ref().map(|pull| pull.newtons());
    let sizes = [
        ("drum", drum, " mm", 1.0..=10_000.0, "write its diameter, from 1 mm to 10 m, such as --drum 190"),
        ("friction", friction, "", 1e-6..=2.0, "write a coefficient above 0 and up to 2, such as --friction 0.12"),
        ("pull", pull, " N", 1e-6..=1e9, "write a force above 0, such as --pull \"600 N\""),
        ("lining", band.lining_mm, " mm", 0.0..=100.0, "write its thickness, from 0 to 100 mm, such as --lining 5"),
        ("gap", band.gap_mm, " mm", 0.0..=100.0, "write 0 to 100 mm, such as --gap 0.5"),
        ("wear", band.wear_mm, " mm", 0.0..=100.0, "write 0 to 100 mm, such as --wear 0.1"),
        ("run-out", band.run_out_mm, " mm", 0.0..=10.0, "write what the dial shows over a turn, from 0 to 10 mm"),
    ];
    let sizes = sizes.into_iter().filter_map(|(what, value, unit, range, write)| {
        let value = value.filter(|value| !range.contains(value))?;
        Some(CannotSetBand::NoSize { band: name(), what, value: format!("{value}{unit}"), write })
    });
    wrap.into_iter().chain(sizes).collect()
}
