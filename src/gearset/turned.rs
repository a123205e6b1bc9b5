//! Turns that somebody counted by hand: with these members held, so many turns of one for so many of another.
//!
//! [`DraftTurns`] is what was written down; [`CountedTurns`] points at members that there are, one of which turns against
//! the other. Nobody notes the sense of such turns, so none is kept. Each of the two counts is good to the same part of a
//! turn, so what they say of the ratio is an interval, whose ends are exact.

use super::MemberId;
use crate::exact::{Fraction, fraction};
use crate::syntax::{Spanned, fields, tuple};

fields! {
    /// Turns as somebody wrote them down.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftTurns:
        "turns counted by hand",
        "(held: [\"low drum\"], first: (\"flywheel\", 45), second: (\"driven drum\", 16), within: \"1/4\")"
    {
        /// The members that were held.
        pub held: Vec<Spanned<String>> = "the list of members held in square brackets", "[\"ring\"]";
        /// A member and its turns.
        pub first: DraftTurnsOf = "a member with its turns", "(\"flywheel\", 45)";
        /// Another member and the turns that it made meanwhile.
        pub second: DraftTurnsOf = "a member with its turns", "(\"driven drum\", \"16 1/4\")";
        /// What the turns of each are good to; a quarter of a turn where not given.
        pub within: Option<Spanned<Fraction>> = "what part of a turn both are good to", "\"1/8\"", "from 0 on";
    }
}

/// How often a member turned, as written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftTurnsOf {
    /// The member.
    pub member: Spanned<String>,
    /// Its turns, whichever way round.
    pub turns: Spanned<Fraction>,
}

tuple! {
    DraftTurnsOf for DraftTurnsOf: "a member with its turns", "(\"flywheel\", 45)";
    member: Spanned<String> = "the name of a member in quotes", "\"flywheel\"";
    turns: Spanned<Fraction> = "the turns of the member", "45", "above 0 and up to 100000"
    => { DraftTurnsOf { member, turns } }
}

/// What turns are good to where nothing else is said: a quarter of a turn.
pub(super) fn usual_part_of_turn() -> Fraction {
    fraction(1, 4)
}

/// How often one member turned while another did.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct CountedTurns {
    /// The members that were held.
    pub held: Vec<MemberId>,
    /// The two members, which are neither held nor the same.
    pub members: [MemberId; 2],
    /// The turns of each, more than they may be out.
    pub turns: [Fraction; 2],
    /// How much of a turn each may be out.
    pub within: Fraction,
}

impl CountedTurns {
    /// The least and the greatest number of turns of the first member for one of the second that agree with both counts:
    /// of n turns for m, each good to e, `(n - e) / (m + e)` and `(n + e) / (m - e)`. The smallest ratio is where the
    /// first made as few turns and the second as many as can be; m > e, so that both ends are there.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction};
    /// let set = description::read(r#"Gearset(
    ///     title: "Millrace winch",
    ///     members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []},
    ///     planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])},
    ///     meshes: [("S", "p"), ("R", "p")],
    ///     turned: [(held: ["ring"], first: ("sun", 7), second: ("carrier", 2), within: "1/4")],
    /// )"#).unwrap();
    /// assert_eq!(set.turned()[0].ratios(), [fraction(3, 1), fraction(29, 7)]);
    /// ```
    pub fn ratios(&self) -> [Fraction; 2] {
        let ([first, second], within) = (&self.turns, &self.within);
        [(first - within) / (second + within), (first + within) / (second - within)]
    }
}
