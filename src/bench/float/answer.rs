//! Which washers to fit: the finished answer.

use super::question::FloatQuestion;
use crate::exact::Fraction;
use serde::Serialize;

/// Which washers give each gap the float that is wanted.
///
/// Every exact number is in [`EndFloat::unit`].
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct EndFloat {
    /// The best three choices, the best first, in each the stack of every gap: nearest to the best float (of several gaps
    /// their distances together), then the fewest washers, then the thinnest first.
    pub stacks: Vec<WasherStack>,
    /// Where there is no choice, how thick a washer is missing or how much has to come off; of the first such gap, or of
    /// [`EndFloat::washer_for`].
    pub missing: Option<Fraction>,
    /// The unit of every exact number.
    pub unit: FloatUnit,
    /// How many choices there are, equal washers counted once; none where several gaps share washers in too many ways to
    /// be counted.
    pub choices: Option<u64>,
    /// Every gap, as it was asked about.
    pub gaps: Vec<GapFloat>,
    /// The most washers in one gap.
    pub most_in_stack: usize,
    /// Whether some reading says nothing of what it is good to, and is taken as good to 0.01 mm.
    pub usual_error_taken: bool,
    /// Where every gap could be served alone and not all together: a washer of which one more is enough.
    pub one_too_few_of: Option<Fraction>,
    /// Where no such washer is enough: the gap for which the missing washer is to be made, so that those at hand are
    /// enough for the others.
    pub washer_for: Option<String>,
    /// How many washers there are to choose from.
    pub washers_at_hand: usize,
}

/// The unit of the exact numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum FloatUnit {
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetres,
    /// Inches.
    #[serde(rename = "in")]
    Inches,
}

/// The washers of one gap, and the float with them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct WasherStack {
    /// The washers, the thinnest first; empty where none is to be fitted.
    pub washers: Vec<Fraction>,
    /// The float with them.
    pub float: Fraction,
    /// Which choice it belongs to, from 1.
    pub choice: usize,
    /// The gap, where it has a name.
    pub gap: Option<String>,
    /// The least and the greatest float that there may be, all readings out as far as they may be: worst case.
    pub float_worst_case: [Fraction; 2],
    /// By how much the float may be out, all readings out at random: the root of the sum of squares.
    pub root_of_squares: f64,
    /// Whether the float is within what is wanted even in the worst case.
    pub is_sure: bool,
}

/// A gap: its float now, and what is wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GapFloat {
    /// Its name, if it has one.
    pub gap: Option<String>,
    /// The float without any of the washers; below 0 where parts are longer than the space.
    pub float_now: Fraction,
    /// The least and the greatest float that is wanted.
    pub wanted: [Fraction; 2],
    /// The best float.
    pub best: Fraction,
    /// How many stacks would serve it if it had all washers to itself; none for a gear that is pressed on.
    pub stacks_alone: Option<u64>,
    /// Where no stack serves, how thick a washer alone would give the best float, or how much has to come off.
    pub missing: Option<Fraction>,
    /// What to do about that.
    pub remedy: Option<FloatRemedy>,
    /// The stack nearest to what is wanted, where none serves.
    pub nearest: Option<WasherStack>,
    /// How much further a gear is to be pressed on for the best float; below 0: to be drawn off.
    pub press_by: Option<Fraction>,
    /// The least and the greatest press that leave what is wanted.
    pub press_within: Option<[Fraction; 2]>,
    /// How far the float now may be out in the worst case, washers not counted.
    pub worst_case: Fraction,
    /// The same, all readings out at random.
    pub root_of_squares: f64,
}

/// What helps a gap that no stack serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FloatRemedy {
    /// A washer of the missing thickness.
    MakeWasher,
    /// So much off a washer or a face that is in the gap: washers only take float away.
    TakeOff,
}

impl EndFloat {
    /// The stacks of a choice, from 1.
    pub fn of_choice(&self, choice: usize) -> impl Iterator<Item = &WasherStack> {
        self.stacks.iter().filter(move |stack| stack.choice == choice)
    }

    /// Whether every gap can be served.
    pub fn serves(&self) -> bool {
        !self.stacks.is_empty() || self.gaps.iter().all(|gap| gap.press_by.is_some())
    }
}

impl FloatUnit {
    /// The unit in which somebody asks: that of the first reading.
    pub(super) fn of(question: &FloatQuestion) -> Self {
        let first = question.gaps.first().and_then(|gap| gap.measured.readings().next());
        match first.map(|reading| &reading.length) {
            Some(crate::gearset::Length::Inches(_)) => Self::Inches,
            _ => Self::Millimetres,
        }
    }

    /// A length in this unit.
    pub(super) fn of_millimetres(self, millimetres: &Fraction) -> Fraction {
        match self {
            Self::Millimetres => millimetres.clone(),
            Self::Inches => millimetres / crate::exact::fraction(127, 5),
        }
    }

    /// A number in this unit in millimetres.
    pub fn in_millimetres(self, value: &Fraction) -> Fraction {
        match self {
            Self::Millimetres => value.clone(),
            Self::Inches => value * crate::exact::fraction(127, 5),
        }
    }
}
