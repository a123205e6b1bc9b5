//! Where pins stand and how gears are shifted: the same for every question about teeth that close.

use crate::fit::{CloseQuestion, SplitWay};
use crate::gearset::Gearset;
use crate::quick::WhatIf;
use crate::requests::options::options;
use crate::requests::values::{self, PinCircleOf, Shifts};
use crate::requests::words::{WordOption, word};
use crate::requests::{Refusal, WhatIfOptions, lookups};

options! {
    /// Pin circles, shifts, and how shifts that are open are shared out.
    pub struct ShiftOptions {
        /// How far the pins stand from the main axis: 71.25mm, or of one planet cluster=71.25mm; may be repeated
        pin_circle: Vec<PinCircleOf> = values::pin_circle, "RADIUS";
        /// Profile shifts of gears, in modules, away from the axis positive: l=-0.467,L=0
        shift: Vec<Shifts> = values::shifts, "GEAR=X,...";
        /// How a shift is shared out that can be chosen; as drawn where it is left out
        split: Option<SplitWay> = word::<SplitWay>, "SPLIT" [value_parser = crate::requests::words::<SplitWay>()];
        /// The mesh whose two gears the split is for, such as "L with l"; the others follow
        at: Option<String> = values::name, "MESH";
    }
}

impl WordOption for SplitWay {
    const THING: &'static str = "split";
    const WORDS: &'static [(&'static str, Self, &'static str)] = &[
        ("as-drawn", Self::AsDrawn, "Described shifts stay, the fewest other gears are shifted"),
        ("equal-sliding", Self::EqualSliding, "Both flanks slide alike at their roots"),
        ("difference-rule", Self::DifferenceRule, "By what the counts lack of 30 (from memory)"),
        ("inverse-ratio", Self::InverseRatio, "By the inverse of the ratio (from memory)"),
        ("logarithm", Self::Logarithm, "By the logarithm of the ratio (from memory)"),
        ("halves", Self::Halves, "Half to each"),
        ("no-undercut", Self::NoUndercut, "As drawn, but moved until no gear is undercut or thin at its tips"),
    ];
}

impl ShiftOptions {
    /// What is told in place of what the description says.
    pub(super) fn told(&self, what_if: &WhatIfOptions) -> WhatIf {
        WhatIf {
            pin_circles: self.pin_circle.clone(),
            shifts: self.shift.iter().flat_map(|given| given.shifts.iter().cloned()).collect(),
            ..what_if.what_if()
        }
    }

    /// How shifts that are open are shared out.
    pub(super) fn question(&self, set: &Gearset) -> Result<CloseQuestion, Refusal> {
        let mesh = self.at.as_deref().map(|name| lookups::mesh(set, name)).transpose()?;
        Ok(CloseQuestion { split: self.split.unwrap_or_default(), mesh })
    }
}
