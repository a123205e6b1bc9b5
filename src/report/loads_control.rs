//! What a band, a clutch or a one-way clutch does in a state, in words.
//!
//! In drive the input has the given torque; on overrun every torque has the other sign.

use super::loads::Loads;
use crate::gearset::Sense;
use crate::statics::{ControlLoad, OneWay, StateLoads, one_way};

impl Loads<'_> {
    /// Whether a one-way clutch holds or overruns.
    pub(super) fn one_way(&self, state: &StateLoads, load: &ControlLoad) -> String {
        let in_drive = one_way(self.set, state, load.control, Sense::Forward);
        let on_overrun = one_way(self.set, state, load.control, Sense::Backward);
        let word = |does: Option<OneWay>| match does {
            Some(OneWay::Holds) => "holds",
            Some(OneWay::LetsGo) => "LETS GO",
            Some(OneWay::Overruns) => "overruns",
            Some(OneWay::Idle) => "carries nothing",
            Some(OneWay::WouldHold) => "is said to run free, but would hold",
            None => "not told",
        };
        let words = [in_drive, on_overrun].map(word);
        if words[0] == words[1] { words[0].to_owned() } else { words.join("; ") }
    }
}
