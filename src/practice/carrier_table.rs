//! How is a speed worked out, step by step?
//!
//! By superposition, one table a carrier: with the carrier still the first gear turns once, and everything
//! else by the train values; that is taken x times; then everything is turned y times as one, the carrier
//! with it. x and y follow from what is given. The numbers are read off the solved gearset.

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId, PlanetGroup};
use crate::kinematics::{StateMotion, motion_of};
use num_traits::Zero;

/// The motion of the members of one carrier in three rows; turns as seen from the input side.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct CarrierTable {
    /// The carrier.
    pub carrier: MemberId,
    /// The members: central ones first, then planets, the carrier last.
    pub members: Vec<MemberId>,
    /// With the carrier still and the first member turning once.
    pub carrier_still: Vec<Fraction>,
    /// The same with the first member turning x times.
    pub x_times: Vec<Fraction>,
    /// x: how fast the first member turns, seen from the carrier.
    pub times: Fraction,
    /// y: how fast the carrier turns, and everything with it.
    pub added: Fraction,
    /// The speeds as seen from the case; `None` for a bevel planet, which tumbles.
    pub totals: Vec<Option<Fraction>>,
}

/// The tables for a state of a gearset, a table for each carrier that moves anything; the input turns at this
/// speed.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, practice::carrier_tables};
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let table = &carrier_tables(&set, 0, &fraction(100, 1))[0];
/// // Of every row the total is x times the first row, and y.
/// for (share, total) in table.carrier_still.iter().zip(&table.totals) {
///     assert_eq!(Some(&table.times * share + &table.added), *total);
/// }
/// ```
pub fn carrier_tables(set: &Gearset, state: usize, input: &Fraction) -> Vec<CarrierTable> {
    if state >= set.states().len() {
        return Vec::new();
    }
    let motion = motion_of(set, state);
    let mut carriers: Vec<MemberId> = set.planet_groups().iter().map(PlanetGroup::carrier).collect();
    carriers.dedup();
    carriers.into_iter().filter_map(|carrier| table(set, &motion, carrier, input)).collect()
}

fn table(set: &Gearset, motion: &StateMotion, carrier: MemberId, input: &Fraction) -> Option<CarrierTable> {
    let seen = |member| motion.speed(member).map(|share| share * input);
    let added = seen(carrier)?;
    let mut members = Vec::new();
    for mesh in set.meshes().iter().filter(|mesh| mesh.carrier() == carrier) {
        members.extend(mesh.gears().each().map(|gear| set.gear(gear).member()));
    }
    members.sort_by_key(|&member| (set.carrier_of(member).is_some(), member));
    members.dedup();
    // Seen from the carrier a member turns x e times, which is n - y of its speed n.
    let relative = |member: MemberId| match set.carrier_of(member) {
        Some(_) => Some(motion.member(member)?.relative_to_carrier.as_ref()?.value()? * input),
        None => Some(seen(member)? - &added),
    };
    let times = relative(*members.first()?)?;
    if times.is_zero() {
        return None;
    }
    let mut carrier_still =
        members.iter().map(|&member| Some(relative(member)? / &times)).collect::<Option<Vec<Fraction>>>()?;
    let mut totals: Vec<Option<Fraction>> = members.iter().map(|&member| seen(member)).collect();
    members.push(carrier);
    carrier_still.push(Fraction::zero());
    totals.push(Some(added.clone()));
    let x_times = carrier_still.iter().map(|share| share * &times).collect();
    Some(CarrierTable { carrier, members, carrier_still, x_times, times, added, totals })
}
