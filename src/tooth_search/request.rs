//! What is asked of other tooth counts.

use crate::exact::{Fraction, fraction, to_float};
use crate::fit::ToothLimits;
use crate::gearset::{ControlId, Efficiency, GearId, MemberId, MeshId, Spanned};
use crate::syntax::{Maybe, fields, words};

/// Which gears may change, which ratios are wanted, and what must hold.
///
/// What is not asked for is taken as usual: the pins stay as described, planets have to go together
/// at them, every planet keeps one centre distance in all its meshes, and tips of neighbours stay
/// half a module apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TeethRequest {
    /// The gears that may change; all others stay as they are.
    pub ranges: Vec<TeethRange>,
    /// Further gears that may change, to counts of a list.
    pub choices: Vec<TeethChoice>,
    /// The counts that one has or can cut, where that is not any: a gear that changes has one of these.
    pub stock: Option<Vec<u16>>,
    /// Members that stay as they are, whichever gears may change.
    pub kept: Vec<MemberId>,
    /// Gears that have one count, two by two: the same gear on both sides of a pair, or one sun in two sets.
    pub tied: Vec<[GearId; 2]>,
    /// For planets that may have other numbers of equal pins: a planet, and the numbers to try.
    pub pins: Vec<(MemberId, Vec<u32>)>,
    /// For meshes that may have other modules: a mesh, and the modules to try, in millimetres. Meshes that share a gear
    /// share its module.
    pub modules: Vec<(MeshId, Vec<Fraction>)>,
    /// What is wanted of the ratio of states: of one state a target and a window, say.
    pub ratios: Vec<RatioWish>,
    /// What is wanted of steps, of the spread, of speeds, torques and efficiencies.
    pub values: Vec<ValueWish>,
    /// The efficiency of every mesh, in place of those described.
    pub mesh_efficiency: Option<Efficiency>,
    /// What the meshes of a planet share.
    pub center_distances: CenterDistances,
    /// Which marks are to serve.
    pub marks: MarksWanted,
    /// The nearest wrong seating is to be out by at least this part of a tooth.
    pub least_margin: Option<Fraction>,
    /// Tips of gears that are not in mesh are to stay at least so many modules apart; `None`: they may touch.
    pub least_room: Option<Fraction>,
    /// No gear with external teeth is to have fewer.
    pub fewest_teeth: Option<u16>,
    /// Whether teeth that meet may have a common factor.
    pub common_factors: CommonFactors,
    /// At most so many bodies are to change: a sun, a ring, the clusters of one kind.
    pub most_parts: Option<u32>,
    /// What it costs that a member changes, where that is not 1.
    pub costs: Vec<(MemberId, u32)>,
    /// The members that change are to cost so much at most.
    pub most_cost: Option<u32>,
    /// What is better, beside the ratios.
    pub goals: Vec<Goal>,
    /// What teeth have to be that are cut anew; `None`: nothing is asked of them, but where shift keeps the pin circle.
    pub fit: Option<FitWish>,
}

/// The counts that a gear may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TeethRange {
    /// The gear.
    pub gear: GearId,
    /// The fewest teeth.
    pub fewest: u16,
    /// The most teeth.
    pub most: u16,
}

/// The counts of a list that a gear may have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TeethChoice {
    /// The gear.
    pub gear: GearId,
    /// The counts, in any order.
    pub counts: Vec<u16>,
}

/// What is wanted of the ratio of a state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RatioWish {
    /// The state, by its name.
    pub state: String,
    /// The wish.
    pub wish: Wish,
}

/// What is wanted of a ratio: input turns per output turn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wish {
    /// As near to this as can be, by `|ratio / target - 1|`; of several such wishes the worst counts.
    Near(Fraction),
    /// From the first to the second, both included.
    Between(Fraction, Fraction),
    /// This or less.
    AtMost(Fraction),
    /// This or more.
    AtLeast(Fraction),
    /// As large as can be, whatever its sign.
    Largest,
    /// As small as can be, whatever its sign.
    Smallest,
}

impl Wish {
    /// The ends of the window that it is, if it is one; where it is open there is no end.
    pub(super) fn window(&self) -> Option<[Option<&Fraction>; 2]> {
        match self {
            Self::Between(low, high) => Some([Some(low), Some(high)]),
            Self::AtMost(high) => Some([None, Some(high)]),
            Self::AtLeast(low) => Some([Some(low), None]),
            Self::Near(_) | Self::Largest | Self::Smallest => None,
        }
    }

    /// Whether a value is within the window, if it is one.
    pub(super) fn is_met_by(&self, value: &Fraction) -> bool {
        self.window()
            .is_none_or(|[low, high]| low.is_none_or(|low| value >= low) && high.is_none_or(|high| value <= high))
    }
}

/// A wish for a value of the train other than a ratio.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ValueWish {
    /// The value.
    pub value: DesignValue,
    /// The wish; all values are told without their sign.
    pub wish: Wish,
}

/// A value of the train that can be wished for; without its sign.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum DesignValue {
    /// The ratio of one state over that of another, each by its name.
    Step {
        /// The state whose ratio is divided.
        from: String,
        /// The state by whose ratio it is divided.
        to: String,
    },
    /// The largest over the smallest ratio of the states that go forwards, which have to stay so.
    Spread,
    /// Turns of a member per turn of the input: of a planet against its carrier, as its bush sees it, of any other against
    /// the case.
    Speed {
        /// The member.
        member: MemberId,
        /// The state; every state where it is told, if none.
        state: Option<String>,
    },
    /// The torque that a band or clutch takes up, over that on the input, without losses.
    Torque {
        /// The control.
        control: ControlId,
        /// The state; every state that applies it, if none.
        state: Option<String>,
    },
    /// The power that comes out over that which is put in.
    Efficiency {
        /// The state; every state that drives, if none.
        state: Option<String>,
    },
}

words! {
    Wish for Wish: "what is wanted of a ratio", "Near(2.75)" {
        Near("Near(2.75)"; target: Fraction = "the ratio that is wanted", "2.75", "other than 0") => { Wish::Near(target) }
        Between(
            "Between(2.5, 3)";
            low: Fraction = "the lowest ratio", "2.5";
            high: Fraction = "the highest ratio", "3", "no less than the lowest"
        ) => { Wish::Between(low, high) }
        AtMost("AtMost(3)"; high: Fraction = "the highest value", "3") => { Wish::AtMost(high) }
        AtLeast("AtLeast(2.5)"; low: Fraction = "the lowest value", "2.5") => { Wish::AtLeast(low) }
        Largest() => { Wish::Largest }
        Smallest() => { Wish::Smallest }
    }
}

/// What the meshes of one planet with gears on the main axis share.
///
/// The sum of a mesh is that of both tooth counts, their difference for a ring; times the module it is twice the
/// centre distance without profile shift.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum CenterDistances {
    /// Equal sums; where they are not equal now, they may differ as far as they do.
    #[default]
    Equal,
    /// Sums of which any two differ by so many teeth at most, which profile shift has to make up for.
    Within(Fraction),
    /// Equal as above, and the centre distance stays what it is: case and carrier are kept.
    Kept,
    /// The centre distance stays what it is, and each sum may be so many teeth away from what it asks for: profile shift
    /// makes up for them.
    KeptByShift(Fraction),
    /// Nothing.
    Free,
}

words! {
    CenterDistances for CenterDistances: "what the meshes of a planet share", "Equal" {
        Equal() => { CenterDistances::Equal }
        Within("Within(2)"; teeth: Fraction = "the number of teeth that sums may differ by", "2", "from 0 on") => {
            CenterDistances::Within(teeth)
        }
        Kept() => { CenterDistances::Kept }
        KeptByShift("KeptByShift(2)"; teeth: Fraction = "the number of teeth that sums may differ by", "2", "from 0 on") => {
            CenterDistances::KeptByShift(teeth)
        }
        Free() => { CenterDistances::Free }
    }
}

fields! {
    /// What teeth have to be that are cut anew; what is not said is as usual.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct FitWish: "limits of teeth that are cut anew", "(contact_ratio: 1.3, largest_shift: 0.6)" {
        /// The least contact ratio; 1 else.
        pub contact_ratio: Option<Spanned<Fraction>> = "the least contact ratio", "1.3", "from 1 to 3";
        /// The least thickness of a tip, in modules; 0.2 else.
        pub tip_thickness: Option<Spanned<Fraction>> = "the least thickness of a tip in modules", "0.3", "from 0 to 1";
        /// The least clearance from a tip to the root opposite, in modules; none else.
        pub root_clearance: Option<Spanned<Fraction>> = "the least root clearance in modules", "0.2", "from 0 to 1";
        /// The least profile shift of a gear; else -1.5, or the largest where that is less.
        pub least_shift: Option<Spanned<Fraction>> = "the least profile shift in modules", "-0.5", "from -2 to 2";
        /// The largest profile shift of a gear; else 1.5, or the least where that is more.
        pub largest_shift: Option<Spanned<Fraction>> = "the largest profile shift in modules", "0.6", "from -2 to 2";
        /// Whether a rack may undercut them.
        pub undercut: UndercutWanted as Maybe<UndercutWanted> = "whether teeth may be undercut", "Avoided";
    }
}

impl FitWish {
    /// As limits of teeth.
    pub(super) fn limits(&self) -> ToothLimits {
        let usual = ToothLimits::default();
        let or = |wish: &Option<Spanned<Fraction>>, usual: f64| wish.as_deref().map_or(usual, to_float);
        let [least, largest] = usual.shifts;
        ToothLimits {
            least_contact_ratio: or(&self.contact_ratio, usual.least_contact_ratio),
            least_tip: or(&self.tip_thickness, usual.least_tip),
            least_root_clearance: or(&self.root_clearance, usual.least_root_clearance),
            shifts: [
                or(&self.least_shift, least.min(or(&self.largest_shift, largest))),
                or(&self.largest_shift, largest.max(or(&self.least_shift, least))),
            ],
            may_be_undercut: self.undercut == UndercutWanted::Allowed,
        }
    }
}

/// Whether teeth may be undercut.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum UndercutWanted {
    /// They may not.
    #[default]
    Avoided,
    /// They may.
    Allowed,
}

words! {
    UndercutWanted for UndercutWanted: "whether teeth may be undercut", "Avoided" {
        Avoided() => { UndercutWanted::Avoided }
        Allowed() => { UndercutWanted::Allowed }
    }
}

/// Which marks are to serve.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum MarksWanted {
    /// Any, a list of teeth included.
    #[default]
    Any,
    /// Radial marks.
    Radial,
    /// Parallel marks.
    Parallel,
}

words! {
    MarksWanted for MarksWanted: "which marks are to serve", "Radial" {
        Any() => { MarksWanted::Any }
        Radial() => { MarksWanted::Radial }
        Parallel() => { MarksWanted::Parallel }
    }
}

/// Whether teeth that meet may have a common factor.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum CommonFactors {
    /// They may.
    #[default]
    Allowed,
    /// They may not: every mesh is to hunt.
    Avoided,
    /// They may, but where they have none now: a mesh that hunts goes on to.
    Kept,
}

words! {
    CommonFactors for CommonFactors: "whether teeth that meet may have a common factor", "Avoided" {
        Allowed() => { CommonFactors::Allowed }
        Avoided() => { CommonFactors::Avoided }
        Kept() => { CommonFactors::Kept }
    }
}

/// What is better, beside the ratios.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// As few parts changed as can be.
    FewestParts,
    /// As few teeth in all gears together as can be.
    FewestTeeth,
    /// Parts changed that cost as little as can be, by [`TeethRequest::costs`].
    LeastCost,
}

words! {
    Goal for Goal: "what is better, beside the ratios", "FewestParts" {
        FewestParts() => { Goal::FewestParts }
        FewestTeeth() => { Goal::FewestTeeth }
        LeastCost() => { Goal::LeastCost }
    }
}

impl TeethRequest {
    /// A request in which only these gears may change.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, tooth_search::{CenterDistances, TeethRange, TeethRequest}};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let gear = set.gear_named("S").unwrap();
    /// let mut request = TeethRequest::new([TeethRange { gear, fewest: 20, most: 28 }]);
    /// assert_eq!((request.least_room, &request.center_distances), (Some(fraction(1, 2)), &CenterDistances::Equal));
    /// // The case and the carrier are kept.
    /// request.center_distances = CenterDistances::Kept;
    /// ```
    pub fn new(ranges: impl IntoIterator<Item = TeethRange>) -> Self {
        Self {
            ranges: ranges.into_iter().collect(),
            choices: Vec::new(),
            stock: None,
            kept: Vec::new(),
            tied: Vec::new(),
            pins: Vec::new(),
            modules: Vec::new(),
            ratios: Vec::new(),
            values: Vec::new(),
            mesh_efficiency: None,
            center_distances: CenterDistances::Equal,
            marks: MarksWanted::Any,
            least_margin: None,
            least_room: Some(fraction(1, 2)),
            fewest_teeth: None,
            common_factors: CommonFactors::Allowed,
            most_parts: None,
            costs: Vec::new(),
            most_cost: None,
            goals: Vec::new(),
            fit: None,
        }
    }

    /// The gears that may change, each with the fewest and the most teeth that it may have.
    pub(super) fn free_gears(&self) -> Vec<TeethRange> {
        let of_list = |choice: &TeethChoice| {
            let (fewest, most) = (*choice.counts.iter().min()?, *choice.counts.iter().max()?);
            Some(TeethRange { gear: choice.gear, fewest, most })
        };
        self.ranges.iter().copied().chain(self.choices.iter().filter_map(of_list)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A least shift above the usual largest left nothing to choose from, and the search said that nothing serves.
    #[test]
    fn one_limit_of_shifts_alone_leaves_something() {
        let shift = |tenths| Some(Spanned::from(fraction(tenths, 10)));
        let shifts = |least_shift, largest_shift| {
            let fit = FitWish { least_shift, largest_shift, ..FitWish::default() };
            fit.limits().shifts.map(|shift| shift.to_string())
        };
        assert_eq!(shifts(shift(18), None), ["1.8", "1.8"]);
        assert_eq!(shifts(None, shift(-18)), ["-1.8", "-1.8"]);
        assert_eq!(shifts(shift(-2), shift(3)), ["-0.2", "0.3"]);
    }
}
