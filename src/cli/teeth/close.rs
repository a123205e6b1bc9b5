//! `toothmark teeth close`: whether all meshes close on their pins, with which shifts, and what that makes of the teeth.

use clap::{Args, ValueEnum};
use toothmark::fit::{CloseQuestion, SplitWay};
use toothmark::quick::WhatIf;

use crate::cli::common::AnswerForm;
use crate::cli::exit::Exit;
use crate::cli::lookups;
use crate::cli::output::answer;
use crate::cli::source::{PinsKnown, SourceArguments};
use crate::cli::trouble::Trouble;
use crate::cli::values::{self, PinCircleOf, Shifts};

#[derive(Debug, Args)]
pub(super) struct CloseArguments {
    #[command(flatten)]
    source: SourceArguments,
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
    #[command(flatten)]
    form: AnswerForm,
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

pub(super) fn close(arguments: &CloseArguments) -> Result<Exit, Trouble> {
    let told = WhatIf {
        pin_circles: arguments.pin_circle.clone(),
        shifts: arguments.shift.iter().flat_map(|given| given.shifts.iter().cloned()).collect(),
        ..WhatIf::default()
    };
    let set = arguments.source.gearset_with(told, PinsKnown::OrNot)?;
    let mesh = arguments.at.as_deref().map(|name| lookups::mesh(&set, name)).transpose()?;
    let question = CloseQuestion { split: arguments.split.way(), mesh };
    let fit = toothmark::fit::close(&set, &question).map_err(|reason| Trouble::new(&reason, reason.hint()))?;
    answer(&set, &fit, arguments.form)
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
