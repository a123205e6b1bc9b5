//! Where pins stand and how gears are shifted: the same for every question about teeth that close.

use clap::{Args, ValueEnum};
use toothmark::fit::{CloseQuestion, SplitWay};
use toothmark::gearset::Gearset;
use toothmark::quick::WhatIf;

use crate::cli::lookups;
use crate::cli::trouble::Refusal;
use crate::cli::values::{self, PinCircleOf, Shifts};

/// Pin circles, shifts, and how shifts that are open are shared out.
#[derive(Debug, Args)]
pub(super) struct ShiftArguments {
    /// How far the pins stand from the main axis: 71.25mm, or of one planet cluster=71.25mm; may be repeated
    #[arg(long, value_name = "RADIUS", value_parser = values::pin_circle, allow_hyphen_values = true)]
    pin_circle: Vec<PinCircleOf>,
    /// Profile shifts of gears, in modules, away from the axis positive: l=-0.467,L=0
    #[arg(long, value_name = "GEAR=X,...", value_parser = values::shifts, allow_hyphen_values = true)]
    shift: Vec<Shifts>,
    /// How a shift is shared out that can be chosen
    #[arg(long, value_enum, default_value_t)]
    split: SplitArgument,
    /// The mesh whose two gears the split is for, such as "L with l"; the others follow
    #[arg(long, value_name = "MESH", allow_hyphen_values = true)]
    at: Option<String>,
}

/// A way to share out a shift.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
enum SplitArgument {
    /// Described shifts stay, the fewest other gears are shifted
    #[default]
    AsDrawn,
    /// Both flanks slide alike at their roots
    EqualSliding,
    /// By what the counts lack of 30 (from memory)
    DifferenceRule,
    /// By the inverse of the ratio (from memory)
    InverseRatio,
    /// By the logarithm of the ratio (from memory)
    Logarithm,
    /// Half to each
    Halves,
    /// As drawn, but moved until no gear is undercut or thin at its tips
    NoUndercut,
}

impl ShiftArguments {
    /// What is told in place of what the description says.
    pub(super) fn told(&self) -> WhatIf {
        WhatIf {
            pin_circles: self.pin_circle.clone(),
            shifts: self.shift.iter().flat_map(|given| given.shifts.iter().cloned()).collect(),
            ..WhatIf::default()
        }
    }

    /// How shifts that are open are shared out.
    pub(super) fn question(&self, set: &Gearset) -> Result<CloseQuestion, Refusal> {
        let mesh = self.at.as_deref().map(|name| lookups::mesh(set, name)).transpose()?;
        Ok(CloseQuestion { split: self.split.way(), mesh })
    }
}

impl SplitArgument {
    fn way(self) -> SplitWay {
        match self {
            Self::AsDrawn => SplitWay::AsDrawn,
            Self::EqualSliding => SplitWay::EqualSliding,
            Self::DifferenceRule => SplitWay::DifferenceRule,
            Self::InverseRatio => SplitWay::InverseRatio,
            Self::Logarithm => SplitWay::Logarithm,
            Self::Halves => SplitWay::Halves,
            Self::NoUndercut => SplitWay::NoUndercut,
        }
    }
}
