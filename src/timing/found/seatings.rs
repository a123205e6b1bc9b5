//! Which wrong seatings lie near what was read, and does the backlash let them in?
//!
//! Turned by u from right, gear i stands nearest to a seating where it is moved by
//! `n_i = round(P_i u)` whole teeth; between the turns at which one of these changes, the
//! choice is the same. A choice has its best turn, at which the largest error
//! `|P_i u - n_i|` is least; it fits what was read if that turn does. It goes in within the
//! backlash if for every two gears `|P_j n_i - P_i n_j|` is at most
//! `P_j b_i + P_i b_j`, b the play in teeth (as in [`crate::timing::wrong_seating`]).

use std::collections::BTreeSet;
use std::convert::Infallible;

use num_bigint::BigInt;
use num_traits::{One, Signed, ToPrimitive};

use super::agreement::Beside;
use crate::exact::{Fraction, fraction, multiple, nearest_zero};
use crate::gearset::{Gearset, TimingRow};
use crate::timing::by_hand::{ByHand, EASE_BY_FORCE, Room, Sizes, by_hand};
use crate::timing::margin::MeshError;
use crate::timing::wrong_seating::{Seating, seating};

/// A wrong seating that fits what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct NearSeating {
    /// How far the cluster is turned from right there, at its best, counter-clockwise seen from
    /// the input side.
    pub turn: Fraction,
    /// By how many teeth the gear in each mesh has been moved, in the same sense, in the order
    /// of the meshes of the group.
    pub moved: Vec<i64>,
    /// The largest error, in teeth.
    pub largest_error: Fraction,
    /// The error at each mesh, in the same order.
    pub errors: Vec<MeshError>,
    /// What a hand notices; `None` where a pitch or a backlash is not given.
    pub by_hand: Option<ByHand>,
    /// The least backlash, in millimetres and the same at every mesh, with which it goes in;
    /// `None` where a pitch is not given.
    pub least_backlash: Option<f64>,
}

impl NearSeating {
    /// Whether gears could be turned like that at all: they [go in](ByHand::goes_in), or, where it is not known what a
    /// hand notices, no error is more than a quarter of a tooth. Play of a quarter of the pitch is half a tooth worn away.
    pub fn could_be(&self) -> bool {
        self.by_hand.map_or_else(|| self.largest_error <= fraction(1, 4), ByHand::goes_in)
    }
}

/// The wrong seatings whose best turn fits one of the ways to judge, the one that is least out
/// first.
pub(super) fn seatings_near(set: &Gearset, equations: &[TimingRow], near: &[Beside]) -> Vec<NearSeating> {
    let counts: Vec<i64> = equations.iter().map(|row| row.terms[0].tooth_count.abs()).collect();
    let mut found: Vec<NearSeating> = Vec::new();
    let mut seen = BTreeSet::new();
    for around in near {
        for turn in turns_between_changes(&counts, around) {
            let moved: Vec<i64> = counts.iter().map(|&count| rounded(&multiple(&turn, count))).collect();
            if is_right(&counts, &moved) || !seen.insert(moved.clone()) {
                continue;
            }
            let seating = near_seating(set, equations, &counts, moved);
            let fits = |near: &Beside| (&seating.turn - &near.turn).abs() <= near.resolution;
            if near.iter().any(fits) && seating.largest_error < fraction(1, 2) {
                found.push(seating);
            }
        }
    }
    found.sort_by(|a, b| (&a.largest_error, &a.moved).cmp(&(&b.largest_error, &b.moved)));
    found
}

/// One turn between every two at which the nearest tooth of some gear changes.
fn turns_between_changes(counts: &[i64], near: &Beside) -> Vec<Fraction> {
    let (low, high) = (&near.turn - &near.resolution, &near.turn + &near.resolution);
    let mut changes = vec![low.clone(), high.clone()];
    for &count in counts {
        let first = multiple(&low, count).floor().to_integer();
        let last = multiple(&high, count).ceil().to_integer();
        let mut tooth = first;
        while tooth <= last {
            let change = Fraction::new(&tooth * 2 + BigInt::one(), BigInt::from(2 * count));
            if change > low && change < high {
                changes.push(change);
            }
            tooth += BigInt::one();
        }
    }
    changes.sort();
    changes.dedup();
    let two = BigInt::from(2);
    if changes.len() == 1 { changes } else { changes.windows(2).map(|pair| (&pair[0] + &pair[1]) / &two).collect() }
}

fn rounded(value: &Fraction) -> i64 {
    (value - nearest_zero(value)).to_integer().to_i64().expect("a turn of a gear has at most as many teeth")
}

/// Whether all gears are moved in proportion, which is a right seating.
fn is_right(counts: &[i64], moved: &[i64]) -> bool {
    counts.iter().zip(moved).all(|(count, teeth)| count * moved[0] == counts[0] * teeth)
}

fn near_seating(set: &Gearset, equations: &[TimingRow], counts: &[i64], moved: Vec<i64>) -> NearSeating {
    let Seating { largest_error, errors } = seating(counts, &moved);
    let factor = |play: Vec<f64>| play_factor(counts, &moved, &play);
    let goes_in = |rooms: &[Room]| Ok::<_, Infallible>(factor(rooms.iter().map(Room::play).collect()) <= 1.0);
    let sizes = Sizes::of(set, equations);
    let felt = |rooms: Vec<Room>| {
        let Ok(felt) = by_hand(&rooms, EASE_BY_FORCE, goes_in);
        felt
    };
    let per_millimetre: Option<Vec<f64>> = sizes.circular_pitch.iter().map(|pitch| Some(1.0 / (*pitch)?)).collect();
    NearSeating {
        turn: (&errors[0] + fraction(moved[0], 1)) / BigInt::from(counts[0]),
        largest_error,
        errors: equations.iter().zip(errors).map(|(row, teeth)| MeshError { mesh: row.mesh, teeth }).collect(),
        by_hand: sizes.rooms().map(felt),
        least_backlash: per_millimetre.map(factor),
        moved,
    }
}

/// The least factor by which the play of every gear has to be multiplied for this seating.
fn play_factor(counts: &[i64], moved: &[i64], play: &[f64]) -> f64 {
    let float = |whole: i64| f64::from(i32::try_from(whole).expect("products of two tooth counts"));
    let mut factor = 0.0;
    for i in 0..counts.len() {
        for j in 0..i {
            let difference = (counts[j] * moved[i] - counts[i] * moved[j]).abs();
            if difference != 0 {
                let shared = float(counts[j]) * play[i] + float(counts[i]) * play[j];
                factor = f64::max(factor, float(difference) / shared);
            }
        }
    }
    factor
}
