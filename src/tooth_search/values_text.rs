//! Wishes for values of a train other than ratios, as they are written in a request and typed.

use std::ops::Range;
use std::str::FromStr;

use super::fault::TeethFault;
use super::plan::can_be;
use super::problems::{RequestProblem, unknown};
use super::request::{DesignValue, ValueWish, Wish};
use crate::exact::TypedNumber;
use crate::gearset::{Control, Gearset, Spanned};
use crate::syntax::words;

/// A wish for a value of the train, by names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WantedValue {
    /// The ratio of one state over that of another.
    Step(Spanned<String>, Spanned<String>, Spanned<Wish>),
    /// The largest over the smallest forward ratio.
    Spread(Spanned<Wish>),
    /// The speed of a member, in one state or in all.
    Speed(Spanned<String>, Spanned<Wish>, Option<Spanned<String>>),
    /// The torque of a control, in one state or in all.
    Torque(Spanned<String>, Spanned<Wish>, Option<Spanned<String>>),
    /// The efficiency, of one state or of all.
    Efficiency(Spanned<Wish>, Option<Spanned<String>>),
}

words! {
    WantedValue for WantedValue: "a wish for a value of the train", "Speed(\"cluster\", AtMost(4))" {
        Step(
            "Step(\"low\", \"direct\", Near(2.5))";
            from: Spanned<String> = "the state whose ratio is divided, in quotes", "\"low\"";
            to: Spanned<String> = "the state by whose ratio it is divided, in quotes", "\"direct\"";
            wish: Spanned<Wish> = "what is wanted of the step", "Near(2.5)"
        ) => { WantedValue::Step(from, to, wish) }
        Spread("Spread(Between(2.5, 3))"; wish: Spanned<Wish> = "what is wanted of the spread", "Between(2.5, 3)") => {
            WantedValue::Spread(wish)
        }
        Speed(
            "Speed(\"cluster\", AtMost(4))";
            member: Spanned<String> = "the name of a member in quotes", "\"cluster\"";
            wish: Spanned<Wish> = "what is wanted of its speed, in turns per turn of the input", "AtMost(4)";
            state: Option<Spanned<String>> = "the name of a state in quotes", "\"low\"", "every state if left out"
        ) => { WantedValue::Speed(member, wish, state) }
        Torque(
            "Torque(\"low band\", AtMost(3))";
            control: Spanned<String> = "the name of a band or clutch in quotes", "\"low band\"";
            wish: Spanned<Wish> = "what is wanted of its torque, as a multiple of that on the input", "AtMost(3)";
            state: Option<Spanned<String>> = "the name of a state in quotes", "\"low\"", "every state if left out"
        ) => { WantedValue::Torque(control, wish, state) }
        Efficiency(
            "Efficiency(AtLeast(0.95))";
            wish: Spanned<Wish> = "the window that the efficiency is to be in", "AtLeast(0.95)";
            state: Option<Spanned<String>> = "the name of a state in quotes", "\"low\"", "every state if left out"
        ) => { WantedValue::Efficiency(wish, state) }
    }
}

impl WantedValue {
    pub(super) fn wish(&self) -> &Spanned<Wish> {
        match self {
            Self::Step(_, _, wish)
            | Self::Spread(wish)
            | Self::Speed(_, wish, _)
            | Self::Torque(_, wish, _)
            | Self::Efficiency(wish, _) => wish,
        }
    }

    /// The names in it.
    fn names(&self) -> impl Iterator<Item = &Spanned<String>> {
        let (first, second) = match self {
            Self::Step(from, to, _) => (Some(from), Some(to)),
            Self::Speed(name, _, state) | Self::Torque(name, _, state) => (Some(name), state.as_ref()),
            Self::Spread(_) => (None, None),
            Self::Efficiency(_, state) => (None, state.as_ref()),
        };
        first.into_iter().chain(second)
    }

    /// Where it stands in the text that it was read from.
    pub(super) fn place(&self) -> Option<Range<usize>> {
        self.names().next().and_then(Spanned::place).or_else(|| self.wish().place())
    }

    /// What it is a wish for, in words: of one value there is a target, and a window.
    pub(super) fn subject(&self) -> String {
        let kind = if self.wish().window().is_some() { "window" } else { "target" };
        format!("the {kind} of {}", self.value_named())
    }

    /// The value by the names in it.
    pub(super) fn value_named(&self) -> String {
        let names: Vec<&str> = self.names().map(|name| name.as_str()).collect();
        match &names[..] {
            [] => format!("the {}", self.word()),
            [only] => format!("the {} of {only}", self.word()),
            [one, other] if matches!(self, Self::Step(..)) => format!("the step from {one} to {other}"),
            [of, state @ ..] => format!("the {} of {of} in {}", self.word(), state.join(", ")),
        }
    }

    /// What kind of value it is, in a word.
    pub(super) fn word(&self) -> &'static str {
        match self {
            Self::Step(..) => "step",
            Self::Spread(_) => "spread",
            Self::Speed(..) => "speed",
            Self::Torque(..) => "torque",
            Self::Efficiency(..) => "efficiency",
        }
    }

    /// Whether a value that is called so is this one: its name begins with the word, and holds the names.
    pub(super) fn is_called(&self, value: &str) -> bool {
        value.starts_with(self.word()) && self.names().all(|name| value.contains(name.as_str()))
    }

    /// What the names mean for a gearset; one that there is not is told.
    pub(super) fn meant(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Option<ValueWish> {
        let value = match self {
            Self::Step(from, to, _) => {
                let both = [from, to].map(|name| state(set, name, problems));
                let [from, to] = both;
                DesignValue::Step { from: from?, to: to? }
            }
            Self::Spread(_) => DesignValue::Spread,
            Self::Speed(name, _, of) => {
                let of = of.as_ref().map(|of| state(set, of, problems));
                let member = set.member_named(name);
                if member.is_none() {
                    let known: Vec<&str> = set.member_ids().skip(1).map(|member| set.member(member).name()).collect();
                    problems.push(unknown("member", name, known.iter().copied()));
                }
                DesignValue::Speed { member: member?, state: of.map_or(Some(None), |of| of.map(Some))? }
            }
            Self::Torque(name, _, of) => {
                let of = of.as_ref().map(|of| state(set, of, problems));
                let control = set.control_named(name);
                if control.is_none() {
                    let known: Vec<&str> = set.controls().iter().map(Control::name).collect();
                    problems.push(unknown("band or clutch", name, known.iter().copied()));
                }
                DesignValue::Torque { control: control?, state: of.map_or(Some(None), |of| of.map(Some))? }
            }
            Self::Efficiency(_, of) => {
                let of = of.as_ref().map(|of| state(set, of, problems));
                DesignValue::Efficiency { state: of.map_or(Some(None), |of| of.map(Some))? }
            }
        };
        let wish = self.wish();
        if wish.get().is_some_and(|wish| !can_be(wish)) {
            problems.push(RequestProblem::of(&TeethFault::WrongValue(value.name(set)), wish.place()));
            return None;
        }
        Some(ValueWish { value, wish: (**wish).clone() })
    }
}

fn state(set: &Gearset, name: &Spanned<String>, problems: &mut Vec<RequestProblem>) -> Option<String> {
    if set.state_named(name).is_none() {
        problems.push(unknown("state", name, set.states().iter().map(|state| state.name.as_str())));
        return None;
    }
    Some(name.to_string())
}

/// A target, a window open or closed, `largest` or `smallest`: as typed after `=`.
///
/// # Examples
/// ```
/// use toothmark::{exact::fraction, tooth_search::Wish};
/// assert_eq!("2.5..3".parse(), Ok(Wish::Between(fraction(5, 2), fraction(3, 1))));
/// assert_eq!("..3".parse(), Ok(Wish::AtMost(fraction(3, 1))));
/// assert_eq!("0.95..".parse(), Ok(Wish::AtLeast(fraction(19, 20))));
/// assert_eq!("-5/2".parse(), Ok(Wish::Near(fraction(-5, 2))));
/// assert_eq!("2..x".parse::<Wish>(), Err("x".to_owned()));
/// ```
impl FromStr for Wish {
    /// The number that is none.
    type Err = String;

    fn from_str(wish: &str) -> Result<Self, String> {
        let number =
            |text: &str| TypedNumber::read(text).and_then(|typed| typed.with_unit(&[])).map_err(|_| text.to_owned());
        Ok(match (wish, wish.split_once("..").map(|(low, high)| (low.trim(), high.trim()))) {
            ("largest", _) => Self::Largest,
            ("smallest", _) => Self::Smallest,
            (_, Some(("", high))) => Self::AtMost(number(high)?),
            (_, Some((low, ""))) => Self::AtLeast(number(low)?),
            (_, Some((low, high))) => Self::Between(number(low)?, number(high)?),
            (target, None) => Self::Near(number(target)?),
        })
    }
}
