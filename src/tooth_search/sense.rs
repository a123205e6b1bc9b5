//! Which way does the output turn, and can it turn the way that is wished for?
//!
//! A ratio below 0 turns the output the other way than the input. People tell the ratio of a reverse with either sign, so
//! a wish whose sign no counts of the ranges can give is taken with the other sign, and that is told. Where some counts
//! can, the sign is meant.

use num_traits::{Signed, Zero};

use super::fault::TeethFault;
use super::plan::{TurnedWish, WishedRatio};
use super::request::Wish;
use crate::exact::Fraction;
use crate::gearset::Sense;
use crate::search::{Options, SearchProblem, Space, Wanted};

/// So many choices of a value are made to prove that no counts give a sign; where they do not suffice it may be possible.
const FEW_CHOICES: u128 = 20_000;

/// Gives wishes the other sign where no counts of the space have the one that was asked for.
pub(super) fn turn_wishes(
    space: &Space,
    wishes: &mut [WishedRatio],
    ratios_now: &[(String, Fraction)],
) -> Result<Vec<TurnedWish>, TeethFault> {
    let mut turned = Vec::new();
    for wished in wishes {
        let now = ratios_now.iter().find(|(state, _)| *state == wished.state).map(|(_, ratio)| ratio);
        let (Some(now), Some(sense)) = (now, wished_sense(&wished.wish)) else { continue };
        if sense_of(now) != sense && !may_turn(space, wished, sense)? {
            let (wish, taken) = other_way(&wished.wish);
            wished.wish = wish;
            turned.push(TurnedWish { state: wished.state.clone(), taken });
        }
    }
    Ok(turned)
}

/// The sense in which a ratio turns the output.
fn sense_of(ratio: &Fraction) -> Sense {
    if ratio.is_positive() { Sense::Forward } else { Sense::Backward }
}

/// The sense in which a wish is for the output to turn; `None` where it is for neither.
fn wished_sense(wish: &Wish) -> Option<Sense> {
    match (wish, wish.window()) {
        (Wish::Near(target), _) => Some(sense_of(target)),
        (_, Some([Some(low), _])) if low.is_positive() => Some(Sense::Forward),
        (_, Some([_, Some(high)])) if high.is_negative() => Some(Sense::Backward),
        _ => None,
    }
}

/// The same wish with the other sign, and its numbers.
fn other_way(wish: &Wish) -> (Wish, Vec<Fraction>) {
    match wish {
        Wish::Near(target) => (Wish::Near(-target), vec![-target]),
        Wish::Between(low, high) => (Wish::Between(-high, -low), vec![-high, -low]),
        Wish::AtMost(high) => (Wish::AtLeast(-high), vec![-high]),
        Wish::AtLeast(low) => (Wish::AtMost(-low), vec![-low]),
        Wish::Largest | Wish::Smallest => (wish.clone(), Vec::new()),
    }
}

/// Whether counts of the space could make the output turn this way: `false` is proven.
fn may_turn(space: &Space, wished: &WishedRatio, sense: Sense) -> Result<bool, TeethFault> {
    let mut problem = SearchProblem::new(space.clone());
    let zero = Fraction::zero();
    let sign = match sense {
        Sense::Forward => wished.ratio().at_least(zero),
        Sense::Backward => wished.ratio().at_most(zero),
    };
    problem.require("the sign that is wished for", sign);
    let options = Options { most_choices: Some(FEW_CHOICES), ..Options::default() };
    let found = problem.search(&Wanted::Count, &options)?;
    Ok(!found.complete || found.count > 0)
}

/// The states that turn the output the other way than before.
pub(super) fn turned(ratios: &[(String, Fraction)], before: &[(String, Fraction)]) -> Vec<String> {
    let is_turned = |(state, ratio): &&(String, Fraction)| {
        let earlier = before.iter().find(|(earlier, _)| earlier == state);
        earlier.is_some_and(|(_, earlier)| sense_of(earlier) != sense_of(ratio))
    };
    ratios.iter().filter(is_turned).map(|(state, _)| state.clone()).collect()
}

/// The states that turn the output the other way than is wished for.
pub(super) fn missed(ratios: &[(String, Fraction)], wishes: &[WishedRatio]) -> Vec<String> {
    let is_missed = |(state, ratio): &&(String, Fraction)| {
        let mut wished = wishes.iter().filter(|wished| wished.state == *state);
        wished.any(|wished| wished_sense(&wished.wish).is_some_and(|sense| sense != sense_of(ratio)))
    };
    ratios.iter().filter(is_missed).map(|(state, _)| state.clone()).collect()
}
