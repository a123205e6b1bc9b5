//! The question `teeth order`: what whoever cuts the gears needs to know, a sheet a gear and a sheet a cluster.

use super::reading;
use super::shifts::ShiftOptions;
use crate::fit::{BacklashLimits, OrderQuestion, TeethOrder, order};
use crate::gearset::{GearId, Gearset, Length};
use crate::requests::options::options;
use crate::requests::{AskedAbout, NoAnswer, PinsKnown, Question, Refusal, WhatIfOptions, lookups, sizes, values};

options! {
    /// The options of `teeth order`.
    pub struct OrderOptions {
        ..what_if: WhatIfOptions;
        ..shifts: ShiftOptions;
        /// Only these gears; may be repeated
        gear: Vec<String> = values::name, "GEAR";
        /// Gears that are there and stay as they are: their mates take all the backlash; may be repeated, or L,D
        keep: Vec<String> = values::name, "GEAR,...";
        /// The least and the most backlash of every mesh, along the pitch circle: 0.08..0.15, or "3..6 thou"
        backlash_limits: Option<BacklashLimits> = backlash_limits, "LEAST..MOST";
        /// By how much the diameter over the tips may fall short; inside the tips of a ring, by how much it may be larger
        tip_tolerance: Option<Length> = values::length, "LENGTH";
        /// A size of pins at hand, such as 4.5mm; may be repeated, and usual sizes are taken where it is left out
        pin: Vec<f64> = reading::pin, "DIAMETER";
        /// The measured cluster whose index new ones are to have; the first where it is left out
        like: Option<String> = values::name, "CLUSTER";
    }
}

impl Question for OrderOptions {
    type Answer = TeethOrder;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, TeethOrder), NoAnswer> {
        let set = about.gearset_with(&self.shifts.told(&self.what_if), PinsKnown::Needed)?;
        let question = question(&set, self)?;
        let order = order(&set, &question).map_err(|reason| NoAnswer::new(&reason, reason.hint()))?;
        Ok((set, order))
    }
}

/// `0.08..0.15`, `3..6 thou`: a unit that stands at the end is that of both.
fn backlash_limits(text: &str) -> Result<BacklashLimits, Refusal> {
    let hint = "write the least and the most: 0.08..0.15 in millimetres, or \"3..6 thou\"";
    let limits =
        sizes::band(text).map_err(|_| Refusal::new(format!("{text:?} does not say two limits of backlash"), hint))?;
    let [least, most] = limits.map(|length| length.millimetres());
    Ok(BacklashLimits { least, most })
}

fn question(set: &Gearset, options: &OrderOptions) -> Result<OrderQuestion, Refusal> {
    Ok(OrderQuestion {
        gears: gears(set, &options.gear)?,
        kept: gears(set, &options.keep)?,
        backlash: options.backlash_limits,
        tip_tolerance: options.tip_tolerance.as_ref().map(Length::millimetres).filter(|by| *by > 0.0),
        pins: options.pin.clone(),
        like: options.like.clone(),
        shifts: options.shifts.question(set)?,
    })
}

/// Gears by their names, between commas or one a text; a gear whose own name has a comma is taken as it is.
fn gears(set: &Gearset, texts: &[String]) -> Result<Vec<GearId>, Refusal> {
    let mut found = Vec::new();
    for text in texts {
        match lookups::gear(set, text) {
            Ok(gear) => found.push(gear),
            Err(_) => {
                for name in text.split(',') {
                    found.push(lookups::gear(set, name.trim())?);
                }
            }
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_of_backlash_are_two_lengths_of_one_unit() {
        let read =
            |text: &str| backlash_limits(text).map(|limits| [limits.least, limits.most].map(|it| (it * 1e6).round()));
        assert_eq!(read("0.08..0.15").ok(), Some([80_000.0, 150_000.0]));
        assert_eq!(read("0,08 .. 0,15 mm").ok(), Some([80_000.0, 150_000.0]));
        assert_eq!(read("3..6 thou").ok(), Some([76_200.0, 152_400.0]));
        assert_eq!(read("0.003in..0.15mm").ok(), Some([76_200.0, 150_000.0]));
        for text in ["", "0.08", "0.08-0.15", "..0.15", "0.08..", "-0.1..0.1", "a..b"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
