//! What in a request stands against something else in it?
//!
//! Such a request can be searched: what is aimed at lies outside of what is allowed, a gear may change whose member is to
//! stay, counts are allowed that another wish rules out. Whoever typed a flag beside a file may not know both.

use std::ops::Range;

use super::counts_text::{CountRange, WantedCounts, WantedTeeth};
use super::request::Wish;
use super::text::RequestText;
use crate::exact::Fraction;
use crate::gearset::{Gear, GearKind, Gearset, Spanned};

/// Two parts of a request that stand against one another.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Contradiction {
    /// The field of each.
    pub fields: [&'static str; 2],
    /// Where each stands in the text that it was read from; `None` for what was added.
    pub places: [Option<Range<usize>>; 2],
    /// What it is, with nothing of where.
    pub sentence: String,
}

impl RequestText {
    /// What in the request stands against something else in it, in the order of the fields.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, tooth_search::RequestText};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let mut text = RequestText::default();
    /// text.allow_teeth("L", 15, 30);
    /// text.wish_ratio("low", "2.75").unwrap();
    /// text.wish_ratio("low", "2..2.5").unwrap();
    /// assert_eq!(text.contradictions(&set)[0].sentence, "the target of low lies outside its window");
    /// ```
    pub fn contradictions(&self, set: &Gearset) -> Vec<Contradiction> {
        let kept = self.kept.iter().flat_map(|member| self.free_gears_of(set, member));
        let few = self.fewest_teeth.iter().flat_map(|fewest| self.gears_below(set, fewest));
        let ratios = self.ratios.iter().map(|it| WishedAim {
            field: "ratios",
            of: it.state.to_string(),
            wish: &it.wish,
            place: it.state.place(),
        });
        let values = self.values.iter().map(|it| WishedAim {
            field: it.word(),
            of: it.value_named(),
            wish: it.wish(),
            place: it.place(),
        });
        let aims: Vec<WishedAim<'_>> = ratios.chain(values).collect();
        kept.chain(few).chain(outside(&aims)).collect()
    }

    /// The gears of a member that is to stay which may change.
    fn free_gears_of(&self, set: &Gearset, member: &Spanned<String>) -> Vec<Contradiction> {
        let is_of = |gear: &str| {
            set.gear_named(gear).is_some_and(|gear| set.member(set.gear(gear).member()).name() == member.as_str())
        };
        let free = self.teeth.iter().filter(|it| is_of(&it.gear));
        let told = free.map(|WantedTeeth { gear, .. }| Contradiction {
            fields: ["teeth", "kept"],
            places: [gear.place(), member.place()],
            sentence: format!("{} may change, and {} with it is to stay", gear.as_str(), member.as_str()),
        });
        told.collect()
    }

    /// The external gears none of whose counts is so large as is asked for.
    fn gears_below(&self, set: &Gearset, fewest: &Spanned<i64>) -> Vec<Contradiction> {
        let is_external = |gear: &Gear| gear.kind() != GearKind::Internal;
        let largest = |counts: &WantedCounts| match counts {
            WantedCounts::Range(range) => *range.most,
            WantedCounts::OneOf(list) => list.iter().map(|range: &CountRange| *range.most).max().unwrap_or(0),
        };
        let below = self.teeth.iter().filter(|it| {
            let gear = set.gear_named(&it.gear).map(|gear| set.gear(gear));
            gear.is_some_and(is_external) && largest(&it.counts) < **fewest
        });
        let told = below.map(|it| Contradiction {
            fields: ["teeth", "fewest_teeth"],
            places: [it.gear.place(), fewest.place()],
            sentence: format!(
                "{} is to have {} teeth at most, and {fewest} at least",
                it.gear.as_str(),
                largest(&it.counts)
            ),
        });
        told.collect()
    }
}

/// What is wished of something, a target or a window.
struct WishedAim<'a> {
    field: &'static str,
    of: String,
    wish: &'a Wish,
    place: Option<Range<usize>>,
}

/// The targets that lie outside of a window for the same.
fn outside(aims: &[WishedAim<'_>]) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for target in aims {
        let Wish::Near(value) = target.wish else { continue };
        let is_outside = |other: &&WishedAim<'_>| is_against(target, other, value);
        found.extend(aims.iter().filter(is_outside).map(|window| Contradiction {
            fields: [target.field, window.field],
            places: [target.place.clone(), window.place.clone()],
            sentence: format!("the target of {} lies outside its window", target.of),
        }));
    }
    found
}

/// Whether a target is outside with either sign, as a reverse may be told with either.
fn is_against(target: &WishedAim<'_>, window: &WishedAim<'_>, value: &Fraction) -> bool {
    let is_within = window.wish.is_met_by(value) || window.wish.is_met_by(&-value);
    target.field == window.field && target.of == window.of && !is_within
}
