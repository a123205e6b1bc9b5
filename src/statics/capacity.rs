//! What can a band or a plate clutch hold by its sizes, and is it enough?
//!
//! What it can hold is that of [`super::friction`]; what it has to hold is its torque, with losses where they are known
//! and make it more. Capacity and demand grow alike with the torque on the input, so that their quotient says for which
//! torque on the input a control is enough. Everything here is an estimate, as friction in oil varies.

use super::force::InputTorque;
use super::friction::{
    Wrapping, band_capacity, band_load, drum_wants_to_turn, plate_capacity, tension_ratio, wrapping,
};
use crate::exact::{Fraction, to_float};
use crate::gearset::{BandSizes, Control, PlateSizes, Sense};
use num_traits::Signed;
use serde::Serialize;

/// What a band or a plate clutch can hold by the sizes given for it: estimates.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Capacity {
    /// How many times the tension of the slack end that of the tight end is.
    pub tension_ratio: Option<f64>,
    /// The torque that the band holds while its drum pulls it on.
    pub band_wrapping_on_newton_metres: Option<f64>,
    /// The torque that it holds while its drum pulls against whoever works it.
    pub band_unwinding_newton_metres: Option<f64>,
    /// Whether the drum pulls the band on, in drive and on overrun; none where it carries no torque or the sense of
    /// the band is not given.
    pub wraps_on: Option<[bool; 2]>,
    /// The tension of the tight end with the torque of the state, without losses.
    pub tight_end_newtons: Option<f64>,
    /// The tension of the slack end.
    pub slack_end_newtons: Option<f64>,
    /// The torque that worn plates carry: the lower of the two, and the one to count on.
    pub plates_worn_in_newton_metres: Option<f64>,
    /// The torque that new plates carry.
    pub plates_new_newton_metres: Option<f64>,
    /// The pressure of the lining at the tight end and at the slack end.
    pub lining_pressure_newtons_per_mm2: Option<[f64; 2]>,
    /// The least pull at the end that is worked, in drive and on overrun, without losses.
    pub least_pull_newtons: Option<[f64; 2]>,
    /// Whether it is enough, as far as that can be told.
    pub verdicts: Vec<CapacityVerdict>,
}

/// Whether a control can hold what it has to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct CapacityVerdict {
    /// When it has to.
    pub when: PowerSense,
    /// What it can hold.
    pub capacity_newton_metres: f64,
    /// What it has to hold, with losses where they make it more.
    pub demand_newton_metres: f64,
    /// The torque on the input for which it is enough.
    pub enough_for_newton_metres: f64,
    /// Whether the capacity is not less than the demand.
    pub holds: bool,
}

/// Which end of the train drives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum PowerSense {
    /// The input.
    #[serde(rename = "in drive")]
    Drive,
    /// The output.
    #[serde(rename = "on overrun")]
    Overrun,
    /// The one or the other, whichever asks for more.
    #[serde(rename = "in both")]
    Either,
}

/// What a control has to hold in a state that applies it.
pub(super) struct Demand<'a> {
    /// Its torque without losses.
    pub(super) torque: &'a Fraction,
    /// Its torque with losses, in drive and on overrun, where they are known.
    pub(super) with_losses: [Option<&'a Fraction>; 2],
    /// Whether no other control can carry it in its place, in drive and on overrun.
    pub(super) alone: [bool; 2],
    /// The torque on the input, of which these follow.
    pub(super) input: &'a InputTorque,
}

/// What a control can hold, beside what it has to where the state applies it; `None` where its sizes say nothing of that.
pub(super) fn capacity(control: &Control, demand: Option<&Demand<'_>>) -> Option<Capacity> {
    match (control.band_sizes(), control.plate_sizes()) {
        (Some(band), _) => Some(capacity_of_band(band, demand)),
        (None, Some(plates)) => capacity_of_plates(plates, demand),
        (None, None) => None,
    }
}

fn capacity_of_band(sizes: &BandSizes, demand: Option<&Demand<'_>>) -> Capacity {
    let mut found = Capacity {
        tension_ratio: tension_ratio(sizes),
        band_wrapping_on_newton_metres: band_capacity(sizes, Wrapping::WrapsOn),
        band_unwinding_newton_metres: band_capacity(sizes, Wrapping::Unwinds),
        ..Capacity::default()
    };
    let Some(demand) = demand else { return found };
    let tensions = band_load(sizes, demand.input.in_newton_metres(demand.torque));
    found.tight_end_newtons = tensions.map(|tensions| tensions.tight);
    found.slack_end_newtons = tensions.map(|tensions| tensions.slack);
    found.lining_pressure_newtons_per_mm2 = tensions.and_then(|tensions| tensions.pressure);
    let Some((wants, from_anchor)) = drum_wants_to_turn(demand.torque).zip(sizes.from_anchor) else { return found };
    // On overrun every torque has the other sign.
    let ways = [wants, wants.other()].map(|wants| wrapping(from_anchor, wants));
    found.wraps_on = Some(ways.map(|way| way == Wrapping::WrapsOn));
    found.least_pull_newtons = tensions.map(|tensions| {
        ways.map(|way| match way {
            Wrapping::WrapsOn => tensions.slack,
            Wrapping::Unwinds => tensions.tight,
        })
    });
    let whens = [(PowerSense::Drive, Sense::Forward), (PowerSense::Overrun, Sense::Backward)];
    for (((when, power), way), alone) in whens.into_iter().zip(ways).zip(demand.alone) {
        if !alone {
            continue;
        }
        let capacity = band_capacity(sizes, way);
        found.verdicts.extend(capacity.map(|capacity| demand.verdict(when, capacity, demand.newton_metres(power))));
    }
    found
}

fn capacity_of_plates(sizes: &PlateSizes, demand: Option<&Demand<'_>>) -> Option<Capacity> {
    let plates = plate_capacity(sizes)?;
    let verdict = demand.filter(|demand| drum_wants_to_turn(demand.torque).is_some()).and_then(|demand| {
        let senses = [(PowerSense::Drive, Sense::Forward), (PowerSense::Overrun, Sense::Backward)];
        let has_to = || senses.into_iter().zip(demand.alone).filter(|(_, alone)| *alone).map(|(sense, _)| sense);
        let most = has_to().map(|(_, power)| demand.newton_metres(power)).reduce(f64::max)?;
        let when = has_to().map(|(when, _)| when).reduce(|_, _| PowerSense::Either)?;
        Some(demand.verdict(when, plates.uniform_wear, most))
    });
    Some(Capacity {
        plates_worn_in_newton_metres: Some(plates.uniform_wear),
        plates_new_newton_metres: Some(plates.uniform_pressure),
        verdicts: verdict.into_iter().collect(),
        ..Capacity::default()
    })
}

impl Demand<'_> {
    /// What has to be held in drive (forward) or on overrun: the torque without losses, or that with them if it is more.
    fn newton_metres(&self, power: Sense) -> f64 {
        let newton_metres = |torque: &Fraction| self.input.in_newton_metres(&torque.abs());
        let with_losses = self.with_losses[usize::from(power == Sense::Backward)];
        let ideal = newton_metres(self.torque);
        with_losses.map_or(ideal, |held| newton_metres(held).max(ideal))
    }

    fn verdict(&self, when: PowerSense, capacity: f64, demand: f64) -> CapacityVerdict {
        // Both grow alike with the torque on the input: enough for capacity / demand times of what it is.
        let share = capacity / demand;
        CapacityVerdict {
            when,
            capacity_newton_metres: capacity,
            demand_newton_metres: demand,
            enough_for_newton_metres: share * to_float(&self.input.amount) * self.input.unit.newton_metres(),
            holds: share >= 1.0,
        }
    }
}
