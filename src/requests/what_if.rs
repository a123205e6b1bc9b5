//! What is asked in place of what a description says: other counts, pins, pitch and backlash, what drives, is driven and
//! is held; and which state is asked about.
//!
//! The words of the program's help are those of the comments here.

use crate::exact::Fraction;
use crate::gearset::{DraftTurns, Gearset, Length, Pitch};
use crate::quick::{Arrangement, WhatIf};

use super::lookups;
use super::options::options;
use super::refusal::Refusal;
use super::values::{self, CountChange, PinsOf};

#[cfg(feature = "cli")]
const WHAT_IF: &str = "Without a description, or in place of what it says";

options! {
    /// Pitch and backlash.
    pub struct ToothSizeArguments {
        /// The module of every mesh, in millimetres
        module: Option<Fraction> = values::module, "MM" excludes "dp" [help_heading = WHAT_IF];
        /// The diametral pitch of every mesh, in teeth per inch of diameter
        dp: Option<Fraction> = values::diametral_pitch, "N" [help_heading = WHAT_IF];
        /// The backlash of every mesh: 0.1mm or 0.004in
        backlash: Option<Length> = values::length, "LENGTH" [help_heading = WHAT_IF];
    }

    /// Pins, pitch and backlash.
    pub struct SizeArguments {
        ..teeth: ToothSizeArguments;
        /// How many pins, equally spaced, or their places in degrees: 3, or "0, 91.5, 180", or cluster=4
        pins: Vec<PinsOf> = values::pins, "PINS" [help_heading = WHAT_IF];
    }

    /// Other counts, pins and sizes in place of those described.
    pub struct WhatIfOptions {
        ..sizes: SizeArguments;
        /// Other tooth counts, such as L=21,l=36
        with: Vec<CountChange> = values::count_change, "GEAR=TEETH,..." [help_heading = WHAT_IF];
    }

    /// What drives, what is driven and what is held.
    pub struct ArrangementOptions {
        /// The member that drives
        input: Option<String> = values::name, "MEMBER" [help_heading = WHAT_IF];
        /// The member that is driven
        output: Option<String> = values::name, "MEMBER" [help_heading = WHAT_IF];
        /// A member that is held; may be repeated
        held: Vec<String> = values::name, "MEMBER" [help_heading = WHAT_IF];
        /// A member that is driven as well, with its turns per turn of the input: "ring 78=-1/2"
        with_speed: Vec<SpeedOf> = values::speed_of, "MEMBER=SPEED" [help_heading = WHAT_IF];
    }

    /// Turns counted by hand.
    pub struct TurnedOption {
        /// Turns counted by hand, good to a quarter of a turn or as said; may be repeated: "low drum held: flywheel 45 for
        /// driven drum 16 within 1/8"
        turned: Vec<DraftTurns> = values::turned, "TURNS";
    }

    /// One of the states.
    pub struct StateOption {
        /// Only this state
        state: Option<String> = values::name, "NAME";
    }
}

/// A member with its turns per turn of the input.
pub type SpeedOf = (String, Fraction);

impl WhatIfOptions {
    /// What is asked in place of what a description says.
    pub fn what_if(&self) -> WhatIf {
        let tooth_counts = self.with.iter().flat_map(|change| change.counts.iter().cloned()).collect();
        WhatIf { tooth_counts, ..self.sizes.what_if() }
    }
}

impl SizeArguments {
    /// The sizes of the teeth, with pins that are told elsewhere.
    pub fn new(pins: Vec<PinsOf>, teeth: ToothSizeArguments) -> Self {
        Self { teeth, pins }
    }

    /// What is asked in place of what a description says.
    pub fn what_if(&self) -> WhatIf {
        let ToothSizeArguments { module, dp, backlash } = &self.teeth;
        let pitch = pitch(module.clone(), dp.clone());
        WhatIf { pins: self.pins.clone(), pitch, backlash: backlash.clone(), ..WhatIf::default() }
    }
}

impl ArrangementOptions {
    pub(super) fn arrangement(&self) -> Arrangement {
        let Self { input, output, held, with_speed } = self;
        Arrangement { held: held.clone(), turning: with_speed.clone(), input: input.clone(), output: output.clone() }
    }
}

impl TurnedOption {
    /// What is asked in place of what a description says, with these turns beside its own.
    pub(super) fn what_if(&self, what_if: &WhatIfOptions) -> WhatIf {
        WhatIf { turned: self.turned.clone(), ..what_if.what_if() }
    }
}

impl StateOption {
    /// The place of the state in the list of states, where one is named.
    pub(super) fn place(&self, set: &Gearset) -> Result<Option<usize>, Refusal> {
        self.state.as_deref().map(|name| lookups::state(set, name)).transpose()
    }
}

/// The pitch that is told as a module or as a diametral pitch.
pub fn pitch(module: Option<Fraction>, dp: Option<Fraction>) -> Option<Pitch> {
    module.map(Pitch::Module).or_else(|| dp.map(Pitch::Diametral))
}
